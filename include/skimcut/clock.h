/*
 * clock - how long steps take at the feeds they name and at the machine's rapid rate.
 *
 * Acceleration, tool changes and the person's own time at a stop are not counted; stops are counted, not timed.
 */
#ifndef SKIMCUT_CLOCK_H
#define SKIMCUT_CLOCK_H

#include <stdint.h>

#include "skimcut/step.h"

/* Starts as (struct clock){ .rapid = ... }, rapid > 0. */
struct clock {
	Speed        rapid;
	double       feed_s, rapid_s;
	int64_t      stops;
	struct point at; /* of the axes in `known` */
	unsigned     known;
};

void   clock_take(struct clock *clock, const struct step *step);
double clock_total_s(const struct clock *clock);

#endif
