/*
 * hold - how the part is held, and what stands up beside it: jaws and clamps, in the stock's frame.
 *
 * In a vise the jaws close along Y: the front one fills everything in front of the stock, the rear one everything behind it, over
 * the jaws' width, which is centred on the stock's length. Their height over the stock's bottom is that over the vise's bed less the
 * parallels, of which the smallest is taken that lifts the finished face above the taller jaw by the clearance; when none does, the
 * tallest. A clamp is as the job says it.
 */
#ifndef SKIMCUT_HOLD_H
#define SKIMCUT_HOLD_H

#include <stdbool.h>
#include <stddef.h>

#include "skimcut/diag.h"
#include "skimcut/job.h"
#include "skimcut/layout.h"
#include "skimcut/length.h"

struct arena;

/* A box from far below up to `top`. */
struct obstacle {
	Length       left, right, front, back; /* without an end: LENGTH_MAX away */
	Length       top;
	const char  *name;  /* "the front jaw", "clamp 2" */
	struct place place; /* of what says so in the job */
};

struct hold {
	Length parallel; /* 0: none, or no vise */
	const struct obstacle
	      *obstacles; /* with a vise the front jaw, the rear jaw; then the clamps in the job's order */
	size_t count;
	Length highest; /* top of the tallest obstacle; 0 when there is none */
};

/* False: memory is out. */
bool hold_find(const struct job *job, Length final, struct arena *arena, struct hold *hold, struct diag *diag);

/*
 * Every obstacle against the way of the cutter down to `final`: refused is one that it would meet, warned of one that it passes
 * with less than the clearance. A jaw that does not reach the part is refused as well. False: refused.
 */
bool hold_check(const struct hold *hold, const struct job *job, const struct cutter *cutter,
                const struct layout *layout, Length final, struct diag *diag);

#endif
