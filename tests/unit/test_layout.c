#include "planning.h"

#include "skimcut/layout.h"

enum { CASES = 6000 };

/* Twice the coordinates across the travel, so that half of an odd diameter is whole. */
struct reach {
	Length low, high;
};

static Length
across_of(const struct layout *layout, struct point point)
{
	return layout->along == ALONG_X ? point.y : point.x;
}

static struct reach
strip_of(const struct layout_wish *wish, Length centre)
{
	return (struct reach){ 2 * centre - wish->diameter, 2 * centre + wish->diameter };
}

static struct layout_wish
random_wish(uint64_t *state)
{
	static const Length GRIDS[] = { 254, 1000, 2540, 10000, 100000 };

	struct layout_wish wish = {
		.diameter  = random_between(state, 8 * LENGTH_MM, 200 * LENGTH_MM),
		.clearance = random_between(state, 1, 10 * LENGTH_MM),
		.pattern   = (enum pattern)random_between(state, PATTERN_SINGLE, PATTERN_ONE_WAY),
		.milling   = (enum milling)random_between(state, MILLING_CONVENTIONAL, MILLING_EITHER),
		.along     = (enum along)random_between(state, ALONG_X, ALONG_Y),
		.grid      = GRIDS[random_between(state, 0, 4)],
	};
	Length most = wish.diameter * 9 / 10, widest, extents[2], zeros[2];

	wish.stepover = random_between(state, wish.diameter / 20, most);
	/* With more the last pass could take its strip on the other side of its centre. */
	widest       = wish.diameter - wish.stepover - 4 * wish.grid;
	widest       = widest > wish.diameter / 20 ? (widest + wish.diameter / 20) / 2 : wish.diameter / 20;
	wish.overlap = random_between(state, wish.diameter / 20, widest);
	if (wish.pattern == PATTERN_SINGLE)
		wish.overlap = wish.diameter / 20;
	for (int i = 0; i < 2; i++) {
		extents[i] = random_between(state, LENGTH_MM, 500 * LENGTH_MM);
		if (wish.pattern == PATTERN_SINGLE && i != (wish.along == ALONG_X ? 0 : 1))
			extents[i] = random_between(state, LENGTH_MM, wish.diameter - 2 * wish.overlap);
		zeros[i] = (Length[]){ 0, extents[i] / 2, extents[i] }[random_between(state, 0, 2)];
	}
	wish.length = extents[0];
	wish.width  = extents[1];
	wish.zero   = (struct point){ zeros[0], zeros[1], 0 };
	return wish;
}

static void
check_ends(uint64_t seed, const struct layout_wish *wish, const struct layout *layout)
{
	bool   is_x   = wish->along == ALONG_X;
	Length extent = is_x ? wish->length : wish->width, zero = is_x ? wish->zero.x : wish->zero.y;
	Length low = -2 * layout->low - wish->diameter, high = 2 * (layout->high - extent) - wish->diameter;

	holds(seed, low >= 2 * wish->clearance && low <= 2 * (wish->clearance + wish->grid));
	holds(seed, high >= 2 * wish->clearance && high <= 2 * (wish->clearance + wish->grid));
	holds(seed, (layout->low - zero) % wish->grid == 0);
	holds(seed, (layout->high - zero) % wish->grid == 0);
}

/* c = t_x u_y - t_y u_x for a spindle turning clockwise: > 0 conventional, < 0 climb. u points to what the pass cuts. */
static int
vector_rule(const struct layout *layout, const struct pass *pass, int towards)
{
	int t_x = (pass->to.x > pass->from.x) - (pass->to.x < pass->from.x);
	int t_y = (pass->to.y > pass->from.y) - (pass->to.y < pass->from.y);
	int u_x = layout->along == ALONG_Y ? towards : 0, u_y = layout->along == ALONG_X ? towards : 0;

	return t_x * u_y - t_y * u_x;
}

static void
check_milling(uint64_t seed, const struct layout_wish *wish, const struct layout *layout, int64_t index, int rule)
{
	struct pass pass  = layout_pass(layout, index);
	int         asked = wish->milling == MILLING_CLIMB ? -1 : 1;
	bool        turns = wish->pattern == PATTERN_ZIGZAG && index % 2 == 1;

	holds(seed, pass.climb == (rule < 0));
	holds(seed, rule == (turns ? -asked : asked));
}

static void
check_pass(uint64_t seed, const struct layout_wish *wish, const struct layout *layout, int64_t index)
{
	struct pass pass = layout_pass(layout, index);
	bool        is_x = wish->along == ALONG_X;
	Length      from = is_x ? pass.from.x : pass.from.y, to = is_x ? pass.to.x : pass.to.y;

	holds(seed, across_of(layout, pass.from) == across_of(layout, pass.to));
	holds(seed, smaller(from, to) == layout->low && from + to == layout->low + layout->high);
	holds(seed, pass.travel == (to > from ? 1 : -1));
	holds(seed, (pass.from.x - wish->zero.x) % wish->grid == 0 && (pass.to.x - wish->zero.x) % wish->grid == 0);
	holds(seed, (pass.from.y - wish->zero.y) % wish->grid == 0 && (pass.to.y - wish->zero.y) % wish->grid == 0);
}

/*
 * Every pass takes a strip off one side of what is left, and at the end nothing is left. A pitch that is rounded up moves the
 * last pass on by up to a grid unit for each; by much of a cutter only where the grid is coarse for so many.
 */
static void
check_cover(uint64_t seed, const struct layout_wish *wish, const struct layout *layout)
{
	Length width  = wish->along == ALONG_X ? wish->width : wish->length;
	bool   drifts = wish->pattern != PATTERN_SINGLE &&
	              layout->passes * wish->grid >= wish->diameter - wish->overlap - layout->pitch;
	struct reach left = { 0, 2 * width }, all = { 2 * LENGTH_MAX, -2 * LENGTH_MAX };

	for (int64_t i = 0; i < layout->passes; i++) {
		Length       centre = across_of(layout, layout_pass(layout, i).from);
		struct reach strip  = strip_of(wish, centre);
		struct reach cut    = { strip.low > left.low ? strip.low : left.low, smaller(strip.high, left.high) };

		check_pass(seed, wish, layout, i);
		holds(seed, cut.high - cut.low <= 2 * layout->taken);
		holds(seed, layout->passes == 1 || cut.high - cut.low <= 2 * layout->pitch);
		holds(seed, cut.low == left.low || cut.high == left.high);
		if (cut.high > cut.low && !drifts) {
			struct pass pass  = layout_pass(layout, i);
			Length      aside = cut.low + cut.high - 4 * centre;

			holds(seed, aside != 0);
			check_milling(seed, wish, layout, i, vector_rule(layout, &pass, aside > 0 ? 1 : -1));
		}
		if (cut.low == left.low)
			left.low = cut.high > left.low ? cut.high : left.low;
		else
			left.high = cut.low;
		all.low  = smaller(all.low, strip.low);
		all.high = strip.high > all.high ? strip.high : all.high;
	}
	holds(seed, left.low >= left.high);
	holds(seed, all.low < 0 && all.high > 2 * width);
}

static void
check_pitch(uint64_t seed, const struct layout_wish *wish, const struct layout *layout)
{
	Length width  = wish->along == ALONG_X ? wish->width : wish->length;
	Length first  = across_of(layout, layout_pass(layout, 0).from);
	Length last   = across_of(layout, layout_pass(layout, layout->passes - 1).from);
	Length beyond = last > first || (last == first && layout->side > 0) ? 2 * (last - width) + wish->diameter
	                                                                    : wish->diameter - 2 * last;

	holds(seed, layout->pitch <= wish->stepover);
	holds(seed, layout->pitch % wish->grid == 0);
	holds(seed, layout->passes * layout->pitch >= width + wish->overlap);
	holds(seed, (layout->passes - 1) * (wish->stepover / wish->grid * wish->grid) < width + wish->overlap);
	holds(seed, beyond > 2 * (wish->overlap - wish->grid));
}

/* A quarter of what hangs over on the one side, three on the other; at most one grid unit nearer to the middle. */
static void
check_single(uint64_t seed, const struct layout_wish *wish, const struct layout *layout)
{
	Length width  = wish->along == ALONG_X ? wish->width : wish->length;
	Length centre = across_of(layout, layout_pass(layout, 0).from), spare = wish->diameter - width;
	Length low = wish->diameter - 2 * centre, high = wish->diameter + 2 * (centre - width);
	Length small = smaller(low, high), large = low + high - small;

	holds(seed, layout->passes == 1 && layout->taken == width);
	holds(seed, low + high == 2 * spare);
	holds(seed, 2 * small >= spare - 4);
	holds(seed, 2 * small <= spare + 4 * wish->grid + 4);
	holds(seed, large >= small || 8 * wish->grid > spare);
}

static void
every_promise_holds_for_random_blocks_and_cutters(void **state)
{
	uint64_t random = 777000777, singles = 0, many = 0;

	(void)state;
	for (int i = 0; i < CASES; i++) {
		uint64_t           seed   = random;
		struct layout_wish wish   = random_wish(&random);
		struct layout      layout = layout_make(&wish);

		holds(seed, layout.passes > 0);
		holds(seed, layout.along == wish.along && layout.pattern == wish.pattern);
		check_ends(seed, &wish, &layout);
		if (wish.pattern == PATTERN_SINGLE)
			check_single(seed, &wish, &layout);
		else
			check_pitch(seed, &wish, &layout);
		check_cover(seed, &wish, &layout);
		singles += layout.passes == 1;
		many += layout.passes > 10;
	}
	assert_true(singles > 500 && many > 500);
}

/* Microns. Conventional along x begins at the back edge, because the first travel is to -X. */
static void
worked_examples_come_out_as_by_hand(void **state)
{
	const struct {
		const char  *name;
		Length       width, diameter, stepover, overlap;
		enum pattern pattern;
		enum milling milling;
		int64_t      passes;
		Length       pitch, first, last;
	} cases[] = {
		{ "102.5 / 35 is 2.9", 100000, 50000, 35000, 2500, PATTERN_ONE_WAY, MILLING_CONVENTIONAL, 3, 34167,
		  90834, 22500 },
		{ "climb begins at the front", 100000, 50000, 35000, 2500, PATTERN_ONE_WAY, MILLING_CLIMB, 3, 34167,
		  9166, 77500 },
		{ "70 / 35 is 2", 67500, 50000, 35000, 2500, PATTERN_ZIGZAG, MILLING_EITHER, 2, 35000, 57500, 22500 },
		{ "a micron more takes a third", 67501, 50000, 35000, 2500, PATTERN_ZIGZAG, MILLING_EITHER, 3, 23334,
		  69168, 22500 },
		{ "one pass is enough", 30000, 50000, 35000, 2500, PATTERN_ONE_WAY, MILLING_CONVENTIONAL, 1, 32500,
		  22500, 22500 },
		{ "single", 40000, 50000, 35000, 2500, PATTERN_SINGLE, MILLING_CONVENTIONAL, 1, 0, 22500, 22500 },
		{ "single, climb", 40000, 50000, 35000, 2500, PATTERN_SINGLE, MILLING_CLIMB, 1, 0, 17500, 17500 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct layout_wish wish = {
			.length    = 200 * LENGTH_MM,
			.width     = cases[i].width * 1000,
			.diameter  = cases[i].diameter * 1000,
			.stepover  = cases[i].stepover * 1000,
			.overlap   = cases[i].overlap * 1000,
			.clearance = 2 * LENGTH_MM,
			.pattern   = cases[i].pattern,
			.milling   = cases[i].milling,
			.along     = ALONG_X,
			.grid      = 1000,
		};
		struct layout layout = layout_make(&wish);

		if (layout.passes != cases[i].passes || layout.pitch != cases[i].pitch * 1000)
			fail_msg("%s: %lld passes of %lld nm", cases[i].name, (long long)layout.passes,
			         (long long)layout.pitch);
		if (layout_pass(&layout, 0).from.y != cases[i].first * 1000 ||
		    layout_pass(&layout, layout.passes - 1).from.y != cases[i].last * 1000)
			fail_msg("%s: first pass at %lld nm", cases[i].name, (long long)layout_pass(&layout, 0).from.y);
		assert_int_equal(layout_pass(&layout, 0).from.x, 227 * LENGTH_MM);
		assert_int_equal(layout_pass(&layout, 0).to.x, -27 * LENGTH_MM);
	}
}

/* A clockwise spindle throws to the right of its travel: +Y of a travel to -X, +X of one to +Y. */
static void
the_first_pass_throws_its_chips_away_from_the_person(void **state)
{
	struct layout_wish wish = { .length    = 200 * LENGTH_MM,
		                    .width     = 100 * LENGTH_MM,
		                    .diameter  = 50 * LENGTH_MM,
		                    .stepover  = 35 * LENGTH_MM,
		                    .overlap   = 2500000,
		                    .clearance = LENGTH_MM,
		                    .pattern   = PATTERN_ONE_WAY,
		                    .grid      = 1000 };

	(void)state;
	for (wish.milling = MILLING_CONVENTIONAL; wish.milling <= MILLING_EITHER; wish.milling++) {
		struct layout layout;

		wish.along = ALONG_X;
		layout     = layout_make(&wish);
		assert_true(layout_pass(&layout, 0).to.x < layout_pass(&layout, 0).from.x);
		wish.along = ALONG_Y;
		layout     = layout_make(&wish);
		assert_true(layout_pass(&layout, 0).to.y > layout_pass(&layout, 0).from.y);
	}
}

static void
there_are_never_more_passes_than_the_bound(void **state)
{
	struct layout_wish wish = { .length    = 10 * LENGTH_MM,
		                    .width     = PASSES_MAX * 50000 - 50000,
		                    .diameter  = LENGTH_MM,
		                    .stepover  = 50000,
		                    .overlap   = 50000,
		                    .clearance = LENGTH_MM,
		                    .pattern   = PATTERN_ZIGZAG,
		                    .milling   = MILLING_EITHER,
		                    .along     = ALONG_X,
		                    .grid      = 1000 };

	(void)state;
	assert_int_equal(layout_make(&wish).passes, PASSES_MAX);
	wish.width++;
	assert_int_equal(layout_make(&wish).passes, 0);
}

/* What one pass leaves the next begins with: together they are the width, and none is wider than the pitch. */
static void
strips_lie_side_by_side_over_the_whole_width(void **state)
{
	uint64_t seed = 0x51de5171f3a2b4c9;

	(void)state;
	for (int i = 0; i < 5000; i++) {
		const uint64_t      before  = seed;
		struct layout_wish  wish    = random_wish(&seed);
		const struct layout layout  = layout_make(&wish);
		Length              width   = wish.along == ALONG_X ? wish.width : wish.length;
		Length              covered = 0, at = layout.side > 0 ? 0 : width;

		for (int64_t k = 0; k < layout.passes; k++) {
			struct strip strip  = layout_strip(&layout, k, wish.diameter, width);
			Length       centre = layout.first + k * layout.pitch * layout.side;

			if (strip.from >= strip.to) /* the one before reached the far edge already */
				continue;
			holds(before, (layout.side > 0 ? strip.from : strip.to) + centre == at);
			holds(before, layout.passes == 1 || strip.to - strip.from <= layout.pitch);
			holds(before, strip.from >= -wish.diameter / 2 - 1 && strip.to <= wish.diameter / 2 + 1);
			covered += strip.to - strip.from;
			at = (layout.side > 0 ? strip.to : strip.from) + centre;
		}
		holds(before, covered == width);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_promise_holds_for_random_blocks_and_cutters),
		cmocka_unit_test(worked_examples_come_out_as_by_hand),
		cmocka_unit_test(the_first_pass_throws_its_chips_away_from_the_person),
		cmocka_unit_test(there_are_never_more_passes_than_the_bound),
		cmocka_unit_test(strips_lie_side_by_side_over_the_whole_width),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
