/*
 * layout - where the passes of one level run.
 *
 *      y (across)                                 along x, conventional: the uncut stock is on the left of the travel
 *      ^     .- - - - - - - - - - - - - - - -.
 *      |  <--:-- pass 1 -------------------- :- -o     the cutter's centre waits at `high`, clear of the stock
 *      |     :===============================:
 *      |  <--:-- pass 2 -------------------- :- -o     one pitch further on
 *      |     :===============================:
 *      0     '- - - - - - - - - - - - - - - -'
 *                                              -> x (along)
 *
 * Work to cover W, diameter D, stepover s, overlap o: n = ceil((W + o) / s) passes of pitch p = ceil((W + o) / n), on the
 * grid, so that n p >= W + o and p <= s; where rounding up has saved whole passes, n is ceil((W + o) / p) after all. The
 * centre of the last pass is W + o - D/2 from the starting edge, rounded away from it, and that of the others p i before it: what
 * rounding adds up to is spared by the first, never left over for the last. No pass takes more than p.
 *
 * One pass that covers it all takes the same line wherever it starts: 3/4 of what hangs over is on the side that makes more
 * than half of the cut conventional (or climb, when that was asked for).
 *
 * Along x every first pass travels to -X and along y to +Y: a spindle turning clockwise throws chips to the right of its
 * travel, which is then the back of the machine or its right, not the person in front of it.
 */
#ifndef SKIMCUT_LAYOUT_H
#define SKIMCUT_LAYOUT_H

#include <stdbool.h>
#include <stdint.h>

#include "skimcut/job.h"
#include "skimcut/length.h"

enum { PASSES_MAX = 10000 };

/* Wants everything > 0 and stepover >= grid; pattern not AUTO, along not AUTO, and SINGLE only if the cutter covers. */
struct layout_wish {
	Length       length, width; /* of the stock, along X and Y */
	Length       diameter, stepover, overlap, clearance;
	enum pattern pattern;
	enum milling milling; /* EITHER: as CONVENTIONAL, for the first pass */
	enum along   along;
	struct point zero; /* coordinates are whole grid units from here */
	Length       grid;
};

struct layout {
	enum along   along;
	enum pattern pattern;
	int64_t      passes; /* 0: more than PASSES_MAX */
	Length       first;  /* centre line of the first pass across the travel */
	Length       pitch;  /* from one pass to the next, >= 0 */
	int          side;   /* +1 or -1: where the next pass lies across the travel, and the uncut stock of this one */
	Length       taken;  /* width that a pass cuts */
	Length       low, high; /* where passes begin and end along the travel: cutter and clearance beyond the stock */
	int          travel;    /* of the first pass: +1 or -1 along its axis */
};

struct pass {
	struct point from, to; /* z is not set */
	int          travel;   /* +1 or -1 along the layout's axis */
	bool         climb;    /* more climb than conventional */
};

struct layout layout_make(const struct layout_wish *wish);

/* 0 <= index < passes. */
struct pass layout_pass(const struct layout *layout, int64_t index);

/* What a pass of a cutter of this diameter cuts of a work this wide: across the travel, from its centre line. */
struct strip {
	Length from, to;
};

struct strip layout_strip(const struct layout *layout, int64_t index, Length diameter, Length width);

#endif
