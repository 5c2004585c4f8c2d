/*
 * cutting - what happens where the cutter is in the work: how deep and wide, at what rates, which way, in what order.
 *
 * Judges the properties CUTS, MILLING, and of SWITCHES and MACHINE what only matters in the cut; and adds up the figures.
 */
#ifndef SKIMCUT_CUTTING_H
#define SKIMCUT_CUTTING_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "skimcut/carve.h"
#include "skimcut/demand.h"
#include "skimcut/finding.h"
#include "skimcut/step.h"

/* Cuts at one height, one after the other. */
struct level {
	Length floor;
	Length allowed; /* depth */
	bool   test, final;
};

struct cutting {
	const struct demand *demand;
	struct carve        *carve;
	struct findings     *findings;
	enum rotation        rotation; /* the spindle's */
	int64_t              rpm;      /* 0: none told */
	enum coolant         coolant;
	bool                 length_due;                     /* a tool was called, and its length not taken */
	bool                 with_length, begun_with_length; /* the tool's is in force; it was at the first cut */
	bool                 measured;                       /* the machine has stopped since the last cut */
	/* Figures. */
	double  cut_s, volume_mm3, conventional_mm2, climb_mm2;
	Length  deepest;
	int64_t levels; /* begun */
	/* Its own. */
	struct level level;
	Length       least_rough, most_rough; /* 0: none yet */
	bool         off_lines;               /* a roughing cut's floor is on no line of the dial that cuts come in */
	double       left_mm2, right_mm2;     /* cut by the block at hand, on either side of its way */
	double       way_mm;                  /* of that block's way, in the cut */
	double       wrong_mm2;               /* in blocks that cut more the wrong way than the right */
};

/* A straight piece of the way at feed, along or up, in which something stands. */
struct bite {
	struct point          from, to;
	Speed                 feed;
	Length                slack;   /* the true way is no further than this beside it */
	bool                  chord;   /* of an arc; otherwise the block as it was told */
	const struct contact *contact; /* the highest of what stands in the way */
};

/* All three outlive it and stay where they are. */
void cutting_begin(struct cutting *cutting, const struct demand *demand, struct carve *carve,
                   struct findings *findings);

void cutting_take(struct cutting *cutting, const struct bite *bite);

/* The block, which may have been several bites, is over at this point. */
void cutting_block_end(struct cutting *cutting, struct point at);

#endif
