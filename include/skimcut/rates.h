/*
 * rates - spindle speed and table feed, brought to what the machine has.
 *
 *     n = vc / (pi D)     rounded down to a whole rev/min, at least 1, then to the machine's range or its next step down
 *     vf = fz z n         rounded down to what a program can tell apart, never over the machine's fastest feed
 *
 * Both are textbook common ground. `rates_find` says in `limits` what it could not have.
 */
#ifndef SKIMCUT_RATES_H
#define SKIMCUT_RATES_H

#include <stdint.h>

#include "skimcut/job.h"
#include "skimcut/length.h"

enum rate_limit {
	RATE_SPINDLE_MAX  = 1,  /* the machine turns no faster */
	RATE_SPINDLE_STEP = 2,  /* the next step down is slower than wanted */
	RATE_SPINDLE_MIN  = 4,  /* the machine turns no slower: the edge runs faster than wanted */
	RATE_FEED_MAX     = 8,  /* the table feeds no faster */
	RATE_FEED_ZERO    = 16, /* the feed is finer than the program can tell: vf is 0 and there is no plan */
};

struct rates {
	int64_t  rpm;
	int64_t  wanted_rpm;
	Speed    vc; /* at rpm, to the nearest nm/min */
	Speed    vf;
	Length   fz; /* at vf, rounded down */
	unsigned limits;
};

/* Wants vc, fz, diameter, teeth > 0 and feed_step > 0. */
struct rates rates_find(Speed vc, Length fz, Length diameter, int64_t teeth, const struct machine *machine,
                        Speed feed_step);

/* The skim's feed per tooth, where nobody said it: half of the roughing feed, but enough for an edge not to rub. */
Length rates_skim_fz(Length rough_fz);

#endif
