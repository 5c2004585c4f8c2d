/*
 * weigh - what a machinist weighs before the button is pressed: will it stall, will it hold, will it be flat.
 *
 * Of a plan as it stands; nothing here changes it. fit.h does, until what is weighed here is not too much.
 */
#ifndef SKIMCUT_WEIGH_H
#define SKIMCUT_WEIGH_H

#include <stdbool.h>
#include <stddef.h>

#include "skimcut/dial.h"
#include "skimcut/grip.h"
#include "skimcut/loads.h"
#include "skimcut/plan.h"
#include "skimcut/surface.h"

struct weights {
	struct loads rough, skim; /* of the deepest cut of their rates; of rough nothing when there is only the skim */
	Length       rough_depth; /* of that cut; 0: there is none */
	double       available_w; /* at the cutter, at the roughing speed; 0: not known */
	double       share;       /* of that, which the heavier of the two takes */
	bool         pulls;       /* some pass pulls the table along */
	struct grip  grip;
	struct margins   margins;    /* of the worst cut; 0 when no clamping force is known */
	size_t           worst;      /* that cut */
	Length           safe_depth; /* no cut deeper than this, and the margin wanted would be kept */
	struct roughness roughness;  /* after the skim */
	struct flatness  flatness;
};

struct weights weigh(const struct plan *plan);

/* A chip thinner than the edge is round rubs; common practice, no source. */
#define WEIGH_RUBS_MM 0.02

/*
 * How the table is fed: a power feed's setting may be slower by as much as the edges bear without rubbing, and faster by a tenth
 * where nothing has held the feed back and what is weighed bears that, too.
 */
struct feeding weigh_feeding(const struct plan *plan, const struct weights *weights, bool skim);

/* The lesser of the two. */
double margins_least(const struct margins *margins);

/* For showing a margin, which must not seem to be more than it is. */
double down_to_tenths(double margin);

/* "1.40 hp", "0.35 kW". */
struct shown power_show(double power_w, enum units units);

#endif
