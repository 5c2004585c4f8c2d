#include "planning.h"

#include <math.h>

#include "skimcut/chips.h"

/* 100 x 90 mm under a cutter of 63: three passes and an overlap. */
#define WORK                                                                                                           \
	"units: mm\nmaterial: {group: K, cutting_speed: 100 m/min, feed_per_tooth: 0.1}\n"                             \
	"stock: {length: 100, width: 90, height: 20}\nfinished_height: 18\n"                                           \
	"cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide}\n"

static void
plan_open(struct planning *planning, const char *yaml, enum along along)
{
	if (!planning_open(planning, yaml) || !planning_plan(planning, along))
		fail_msg("no plan: %s\n%s", planning->diag.first->text, yaml);
	assert_true(planning->plan.layout.passes > 1);
}

static void
a_corner_has_its_name(void **state)
{
	static const struct {
		unsigned    sides;
		const char *name;
	} CASES[] = {
		{ SIDE_RIGHT, "the right" },
		{ SIDE_BACK, "the back" },
		{ SIDE_LEFT, "the left" },
		{ SIDE_FRONT, "the front" },
		{ SIDE_BACK | SIDE_RIGHT, "the back right" },
		{ SIDE_BACK | SIDE_LEFT, "the back left" },
		{ SIDE_FRONT | SIDE_RIGHT, "the front right" },
		{ SIDE_FRONT | SIDE_LEFT, "the front left" },
		{ 0, "" },
		/* No corner has these. */
		{ SIDE_RIGHT | SIDE_LEFT, "the left or the right" },
		{ SIDE_BACK | SIDE_FRONT, "" },
		{ SIDE_RIGHT | SIDE_BACK | SIDE_LEFT, "" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++)
		assert_string_equal(chips_corner(CASES[i].sides), CASES[i].name);
}

static void
sides_are_listed_in_turn(void **state)
{
	static const struct {
		unsigned    sides;
		const char *words;
	} CASES[] = {
		{ 0, "" },
		{ SIDE_FRONT, "front" },
		{ SIDE_RIGHT | SIDE_FRONT, "right and front" },
		{ SIDE_BACK | SIDE_LEFT | SIDE_FRONT, "back, left and front" },
		{ SIDE_RIGHT | SIDE_BACK | SIDE_LEFT, "right, back and left" },
		{ SIDE_RIGHT | SIDE_BACK | SIDE_LEFT | SIDE_FRONT, "right, back, left and front" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++)
		assert_string_equal(chips_sides(CASES[i].sides).text, CASES[i].words);
}

/* A stepover of 5 % and an overlap as wide: the last pass has nothing left. */
static void
a_pass_that_cuts_nothing_throws_nothing(void **state)
{
	struct planning planning;
	struct chips    last, before;
	int64_t         passes;

	(void)state;
	plan_open(&planning, WORK "cut: {stepover: 5 %, pattern: one-way}\n", ALONG_X);
	passes = planning.plan.layout.passes;
	last   = chips_find(&planning.plan, passes - 1);
	before = chips_find(&planning.plan, passes - 2);
	assert_true(plan_strip(&planning.plan, passes - 1).from >= plan_strip(&planning.plan, passes - 1).to);
	assert_true(last.x == 0 && last.y == 0);
	assert_int_equal(last.towards | last.guard | last.stand, 0);
	assert_true(before.towards != 0 && before.guard != 0 && before.stand != 0);
	planning_close(&planning);
}

/* The strip and the travel decide, and nothing else. */
static void
passes_that_cut_alike_throw_alike(void **state)
{
	struct planning planning;
	struct chips    second, third;

	(void)state;
	plan_open(&planning, WORK "cut: {stepover: 30 %, pattern: one-way}\n", ALONG_X);
	assert_true(planning.plan.layout.passes > 3);
	second = chips_find(&planning.plan, 1);
	third  = chips_find(&planning.plan, 2);
	assert_true(second.x == third.x && second.y == third.y);
	assert_true(second.towards == third.towards && second.guard == third.guard && second.stand == third.stand);
	planning_close(&planning);
}

/* Conventional and climb by turns, from one end to the other: always to the right of the travel. */
static void
the_way_back_of_a_zigzag_throws_to_the_other_side(void **state)
{
	static const enum along ALONGS[] = { ALONG_X, ALONG_Y };

	(void)state;
	for (size_t i = 0; i < 2; i++) {
		struct planning planning;

		plan_open(&planning, WORK "cut: {stepover: 30 %, pattern: zigzag}\n", ALONGS[i]);
		for (int64_t k = 0; k < planning.plan.layout.passes; k++) {
			struct chips chips  = chips_find(&planning.plan, k);
			int          travel = layout_pass(&planning.plan.layout, k).travel;
			/* The right of +X is the front, of +Y the right. */
			double right = ALONGS[i] == ALONG_X ? -chips.y * travel : chips.x * travel;
			double ahead = ALONGS[i] == ALONG_X ? chips.x * travel : chips.y * travel;

			assert_true(right > 0);
			assert_true(fabs(hypot(chips.x, chips.y) - 1) < 1e-12);
			if (k > 0)
				assert_true(layout_pass(&planning.plan.layout, k).climb ? ahead < 0 : ahead > 0);
		}
		planning_close(&planning);
	}
}

/* A line drawn through the travel changes climb into conventional, and the forward part of the throw into a backward one. */
static void
a_climb_cut_is_the_mirror_of_a_conventional_one(void **state)
{
	struct planning one, other;
	struct chips    conventional, climb;

	(void)state;
	plan_open(&one, WORK "cut: {stepover: 40 %, pattern: one-way}\n", ALONG_X);
	plan_open(&other, WORK "cut: {stepover: 40 %, pattern: one-way, milling: climb}\n", ALONG_X);
	conventional = chips_find(&one.plan, 1);
	climb        = chips_find(&other.plan, 1);
	assert_true(conventional.x < 0 && climb.x > 0); /* both travel to -X */
	assert_true(fabs(conventional.x + climb.x) < 1e-9 && fabs(conventional.y - climb.y) < 1e-9);
	planning_close(&one);
	planning_close(&other);
}

/* Both go to the same sides, so the guard is as wide as both; whoever stood where the other throws is sent elsewhere, and never behind. */
static void
what_either_throws_is_guarded_and_nobody_stands_there(void **state)
{
	static const struct {
		unsigned towards, one, other, stand;
	} CASES[] = {
		{ SIDE_RIGHT, SIDE_RIGHT, SIDE_RIGHT, SIDE_LEFT },
		{ SIDE_RIGHT, SIDE_RIGHT | SIDE_BACK, SIDE_RIGHT | SIDE_FRONT, SIDE_LEFT },
		{ SIDE_RIGHT, SIDE_RIGHT, SIDE_RIGHT | SIDE_BACK | SIDE_LEFT, SIDE_FRONT },
		{ SIDE_BACK | SIDE_RIGHT, SIDE_BACK | SIDE_RIGHT, SIDE_BACK | SIDE_RIGHT | SIDE_LEFT, SIDE_FRONT },
		{ SIDE_BACK | SIDE_RIGHT, SIDE_BACK | SIDE_RIGHT, SIDE_BACK | SIDE_RIGHT | SIDE_FRONT, SIDE_LEFT },
		{ SIDE_FRONT, SIDE_FRONT | SIDE_RIGHT, SIDE_FRONT | SIDE_LEFT, 0 },
		{ SIDE_FRONT, SIDE_FRONT, SIDE_FRONT, SIDE_LEFT | SIDE_RIGHT },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++)
		for (int turned = 0; turned < 2; turned++) {
			struct chips chips = { .x = 1, .towards = CASES[i].towards, .guard = CASES[i].one };
			struct chips other = { .y = 1, .towards = CASES[i].towards, .guard = CASES[i].other };
			struct chips wide  = turned ? other : chips;

			chips_widen(&wide, turned ? &chips : &other);
			assert_int_equal(wide.guard, CASES[i].one | CASES[i].other);
			assert_int_equal(wide.stand, CASES[i].stand);
			assert_int_equal(wide.towards, CASES[i].towards);
			assert_int_equal(wide.stand & wide.guard, 0);
		}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_corner_has_its_name),
		cmocka_unit_test(sides_are_listed_in_turn),
		cmocka_unit_test(a_pass_that_cuts_nothing_throws_nothing),
		cmocka_unit_test(passes_that_cut_alike_throw_alike),
		cmocka_unit_test(the_way_back_of_a_zigzag_throws_to_the_other_side),
		cmocka_unit_test(a_climb_cut_is_the_mirror_of_a_conventional_one),
		cmocka_unit_test(what_either_throws_is_guarded_and_nobody_stands_there),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
