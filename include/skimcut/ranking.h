/*
 * ranking - every cutter of the shop for one job, the best first.
 *
 * First those that cover the width in one pass and are not oversize, the smallest first; then oversize ones, the smallest first; then
 * those that need several passes, the quickest first; last those with which the job is refused.
 */
#ifndef SKIMCUT_RANKING_H
#define SKIMCUT_RANKING_H

#include <stdbool.h>
#include <stddef.h>

#include "skimcut/clock.h"
#include "skimcut/diag.h"
#include "skimcut/plan.h"
#include "skimcut/weigh.h"

enum fitness { FITNESS_COVERS, FITNESS_OVERSIZE, FITNESS_PASSES, FITNESS_REFUSED };

struct rank {
	const struct cutter *cutter;
	enum fitness         fitness;
	struct plan          plan; /* not when refused; nor the rest */
	struct weights       weights;
	struct clock         clock;
	struct diag          diag; /* what was said of it */
};

struct ranking {
	struct rank *ranks; /* in the arena */
	size_t       count;
};

/* Of the shop's cutters, or of the job's own where there is no shop. False: memory is out. */
bool ranking_make(const struct job *job, struct grid grid, struct arena *arena, struct ranking *ranking);

/* The job's plan: with its cutter, or with the best of the shop where it names none. False: refused or failed. */
bool ranking_plan(const struct job *job, struct grid grid, struct arena *arena, struct plan *plan, struct diag *diag);

#endif
