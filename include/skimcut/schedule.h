/*
 * schedule - how the height comes off: a test cut, equal roughing cuts, one skim.
 *
 * The cuts add up to top - final exactly. None is deeper than its limit; any two roughing cuts differ by at most one grid
 * unit (of the program, or a line of a dial), larger first; the last is the skim, or all there is when that is less. Every floor is a whole number of grid units
 * above `final`; what the top stands above the last whole unit comes off with the first cut, which is no deeper for it.
 */
#ifndef SKIMCUT_SCHEDULE_H
#define SKIMCUT_SCHEDULE_H

#include <stdbool.h>
#include <stddef.h>

#include "skimcut/length.h"

struct arena;

enum cut_kind { CUT_TEST, CUT_ROUGH, CUT_SKIM };

struct cut {
	enum cut_kind kind;
	Length        top, floor; /* heights before and after */
};

struct schedule {
	const struct cut *cuts; /* in the arena, highest first */
	size_t            count;
};

struct depths {
	Length test; /* 0: none */
	Length rough, skim;
};

enum { CUTS_MAX = 10000 };

/* How many cuts it takes; 0: more than CUTS_MAX. Wants top > final, grid > 0, rough and skim >= grid, test 0 or >= grid. */
size_t schedule_count(Length top, Length final, Length grid, const struct depths *depths);

/* The same wants, and a count that is not 0. False: memory is out. */
bool schedule_make(Length top, Length final, Length grid, const struct depths *depths, struct arena *arena,
                   struct schedule *schedule);

/* The deepest cut of these kinds, a bit of 1 << enum cut_kind each; 0: there is none. */
Length schedule_deepest(const struct schedule *schedule, unsigned kinds);

#endif
