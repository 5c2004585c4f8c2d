/*
 * carve - the stock that remains, seen from above: how high it may still stand, everywhere.
 *
 *      y                                        Bands across, cells in each band, a height in each cell: no spot of the
 *      ^  +-------------+------+  band          stock stands higher than its cell says.
 *      |  |  20.3       | 22.0 |
 *      |  +------+------+------+  band          A straight pass along X or Y is cut out exactly, to the nanometre. Round ends
 *      |  | 20.3 |    22.0     |                and slanted passes are cut out in steps of `step` across Y, and only what
 *      |  +------+-------------+  -> x          lies wholly inside: what is not certainly gone still stands.
 *
 * So a height is never too low: what is left standing is always found, however narrow, and what is found at most `step` beside
 * a round or slanted edge may be gone in truth.
 */
#ifndef SKIMCUT_CARVE_H
#define SKIMCUT_CARVE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "skimcut/length.h"
#include "skimcut/sweep.h"

struct arena;

/* Steps across the stock's width, from coarse to fine. */
enum fineness { FINENESS_COARSE, FINENESS_MIDDLE, FINENESS_FINE, FINENESSES };

struct carve {
	Length       length, width;
	Length       step;
	Length       highest; /* nothing stands higher; may be above what does */
	bool         rounded; /* some sweep was cut out in steps */
	bool         full;    /* memory was full: from then on some of what was cut still stands here */
	struct cell *cells;
	struct band *bands;
	uint32_t     first; /* band, the one at y 0 */
	uint32_t     free_cell, free_band, new_cell, new_band;
	size_t       cell_count, band_count;
	size_t       takes;
};

/* What stands in a sweep's way. */
struct contact {
	Length       height;
	struct point at; /* x and y */
};

/* What a sweep has cut off, added up. */
struct taken {
	double front_mm; /* radius of the cutter's front, when it is more than the sweep's; 0: that */
	double volume_mm3;
	double left_mm2, right_mm2; /* of the cutter's way, seen along it */
	double from_mm,
	    to_mm; /* of the way, from its start: the front of the cutter was in the work; from > to: never */
	double low_mm, high_mm; /* across the way, left positive: the strip that was cut; low > high: none */
};

/* Starts as (struct carve){ 0 }, and may be begun anew. False: memory is out. Wants length, width, height > 0. */
bool carve_begin(struct carve *carve, struct arena *arena, Length length, Length width, Length height,
                 enum fineness fineness);

/* Does anything in the sweep's way stand above this height? If so, the highest of it, and of that the nearest to the start. */
bool carve_meets(const struct carve *carve, const struct sweep *sweep, Length above, struct contact *contact);

/* Cuts off what stands above `floor` in the sweep. Not for loose sweeps. */
void carve_take(struct carve *carve, const struct sweep *sweep, Length floor, struct taken *taken);

/* The height of the highest cell, found anew if something was taken since. */
Length carve_highest(struct carve *carve);

/* Nothing yet. */
struct taken taken_nothing(void);

/* What stands above this height: its area and volume, and where it is highest. False: nothing does. */
bool carve_remaining(const struct carve *carve, Length above, double *area_mm2, double *volume_mm3,
                     struct contact *contact);

#endif
