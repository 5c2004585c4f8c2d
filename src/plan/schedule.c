#include "skimcut/schedule.h"

#include "skimcut/arena.h"

/* The three parts of a schedule in whole grid units. */
struct parts {
	int64_t test, rough, skim; /* how much each takes */
	int64_t roughs;            /* into how many cuts the roughing is divided */
};

static struct parts parts_find(Length top, Length final, Length grid, const struct depths *depths);
static int64_t      drop_after(int64_t k, int64_t n, int64_t drop);
static int64_t      least(int64_t a, int64_t b);

size_t
schedule_count(Length top, Length final, Length grid, const struct depths *depths)
{
	struct parts parts = parts_find(top, final, grid, depths);
	int64_t      count = (parts.test > 0) + parts.roughs + 1;

	return count <= CUTS_MAX ? (size_t)count : 0;
}

bool
schedule_make(Length top, Length final, Length grid, const struct depths *depths, struct arena *arena,
              struct schedule *schedule)
{
	struct parts parts = parts_find(top, final, grid, depths);
	size_t       count = schedule_count(top, final, grid, depths);
	struct cut  *cuts = arena_take(arena, count * sizeof *cuts), *cut = cuts;
	Length       roughing_from = final + (parts.skim + parts.rough) * grid, at = top;

	if (!cuts)
		return false;
	*schedule = (struct schedule){ cuts, count };
	if (parts.test > 0) {
		*cut++ = (struct cut){ CUT_TEST, at, roughing_from };
		at     = roughing_from;
	}
	for (int64_t k = 1; k <= parts.roughs; k++) {
		Length floor = roughing_from - drop_after(k, parts.roughs, parts.rough) * grid;

		*cut++ = (struct cut){ CUT_ROUGH, at, floor };
		at     = floor;
	}
	*cut = (struct cut){ CUT_SKIM, at, final };
	return true;
}

Length
schedule_deepest(const struct schedule *schedule, unsigned kinds)
{
	Length deepest = 0;

	for (const struct cut *cut = schedule->cuts; cut < schedule->cuts + schedule->count; cut++)
		if (kinds & 1u << cut->kind && cut->top - cut->floor > deepest)
			deepest = cut->top - cut->floor;
	return deepest;
}

/*
 * From the top rounded up to a whole unit: the skim first, for it is promised; then the test cut; the rest is roughing.
 * A limit counts in whole units below it, so that no cut is deeper than asked. Where less is left to roughing than the test
 * cut takes, the two share it, so that no sliver rubs.
 */
static struct parts
parts_find(Length top, Length final, Length grid, const struct depths *depths)
{
	int64_t      whole = length_up(top - final, grid) / grid, rough_limit = depths->rough / grid;
	struct parts parts = { 0 };

	parts.skim  = least(whole, depths->skim / grid);
	parts.test  = least(whole - parts.skim, depths->test / grid);
	parts.rough = whole - parts.skim - parts.test;
	if (parts.rough > 0 && parts.rough < parts.test && parts.test <= rough_limit) {
		int64_t both = parts.test + parts.rough;

		parts.test  = both - both / 2;
		parts.rough = both / 2;
	}
	parts.roughs = (parts.rough + rough_limit - 1) / rough_limit;
	return parts;
}

/*
 * How far down after k of n cuts: k floor(drop / n) + min(k, drop mod n).
 *
 * The first drop mod n cuts are ceil(drop / n), the others floor(drop / n): they differ by one at most, larger first, and
 * k = n gives drop itself. n was chosen so that drop / n <= limit, and the limit is whole, so ceil(drop / n) <= limit.
 */
static int64_t
drop_after(int64_t k, int64_t n, int64_t drop)
{
	return k * (drop / n) + least(k, drop % n);
}

static int64_t
least(int64_t a, int64_t b)
{
	return a < b ? a : b;
}
