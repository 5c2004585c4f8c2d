/*
 * plan - every decision: cutter, rates, depths, passes, heights, and what is to be said about them.
 *
 * A plan is for one direction of passes; choice.h tries the directions. Heights and positions are in the stock's frame, and
 * whole grid units from `zero`. What had to be clamped, and what a person should think about, is left in diag as notes and
 * warnings; what is not safe is refused there.
 */
#ifndef SKIMCUT_PLAN_H
#define SKIMCUT_PLAN_H

#include <stdbool.h>

#include "skimcut/hold.h"
#include "skimcut/job.h"
#include "skimcut/layout.h"
#include "skimcut/rates.h"
#include "skimcut/schedule.h"
#include "skimcut/step.h"

/* How much less than what was asked; fit.h finds it. */
struct easing {
	Length  depth;                      /* no cut is deeper; LENGTH_MAX: as asked */
	int64_t stepover_ratio, feed_ratio; /* of the stepover and of the feed per tooth asked; RATIO_ONE: all of it */
};

struct plan {
	const struct job    *job;
	const struct cutter *cutter;
	struct grid          grid;
	Length               depth_unit;    /* cuts come in these: lines of the knee's dial, else the grid */
	Length               pass_unit;     /* and passes in these: lines of the dial across them, else the grid */
	struct point         zero;          /* the program's origin */
	Length               final;         /* the finished height on the grid */
	struct hold          hold;          /* what stands up beside the part */
	Length               safe, retract; /* rapids across pass at `safe` or above; the cutter waits at `retract` */
	Length               widest;        /* that a pass may take */
	Length               reach;         /* of the edges from the centre, at the top of the deepest cut */
	struct depths        depths;        /* after every limit */
	struct schedule      schedule;
	struct layout        layout;
	struct easing        easing;
	double               thin, thin_skim; /* feed per tooth over that asked, for chips that would be thinner */
	Speed                vc_wanted;       /* before the machine had its say */
	struct rates         rough, skim;
	enum coolant         coolant;
	Speed                rapid; /* for reckoning time */
};

/* `along` is X or Y. False: refused or failed. */
bool plan_make(const struct job *job, struct grid grid, enum along along, struct arena *arena, struct plan *plan,
               struct diag *diag);

/* The same, with less than what the job asks. */
bool plan_make_eased(const struct job *job, struct grid grid, enum along along, const struct easing *easing,
                     struct arena *arena, struct plan *plan, struct diag *diag);

/* What the machine pours: not what a hand brings. */
enum coolant plan_poured(const struct plan *plan);

/* What a pass cuts, across its travel from its centre line, left positive. */
struct strip plan_strip(const struct plan *plan, int64_t pass);

/* Of the work, across the passes. */
Length plan_width(const struct plan *plan);

/* What cuts of these depths come in, for this plan's machine and grid. */
Length plan_depth_unit(const struct plan *plan, const struct depths *depths);

/* The rates of one cut. */
const struct rates *plan_rates(const struct plan *plan, size_t cut);

/* The travel of one cut, all its passes together, for which the front of the cutter is in the work. */
double plan_cutting_mm(const struct plan *plan);

/* How long the front of the cutter is in the work, in all cuts. */
double plan_cutting_s(const struct plan *plan);

/* No passes that take no more, at these feeds, are quicker: the face swept once in each cut. */
double plan_least_s(const struct plan *plan);

/* The machine stops to be measured after this cut. Never after the last. */
bool plan_stops_after(const struct plan *plan, size_t cut);

/* The first of these; schedule.count: there is none. */
size_t plan_first_stop(const struct plan *plan);

#endif
