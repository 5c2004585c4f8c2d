#include "planning.h"

#include "skimcut/cutter.h"

static struct cutter
cutter_of(Length diameter, Length nose_radius)
{
	return (struct cutter){ .diameter = diameter, .nose_radius = nose_radius };
}

static void
an_overlap_is_a_twentieth_or_two_noses(void **state)
{
	const struct {
		Length diameter, nose, overlap;
	} cases[] = {
		{ 100 * LENGTH_MM, 0, 5 * LENGTH_MM },
		{ 100 * LENGTH_MM, 2500000, 5 * LENGTH_MM },
		{ 100 * LENGTH_MM, 2500001, 5000002 },
		{ 3 * LENGTH_INCH, LENGTH_INCH / 32, LENGTH_INCH * 15 / 100 },
		{ LENGTH_INCH, LENGTH_INCH / 16, LENGTH_INCH / 8 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct cutter cutter = cutter_of(cases[i].diameter, cases[i].nose);

		assert_int_equal(cutter_overlap(&cutter), cases[i].overlap);
	}
}

static void
a_cutter_covers_with_its_overlap_on_both_sides(void **state)
{
	struct cutter cutter = cutter_of(100 * LENGTH_MM, 0);

	(void)state;
	assert_true(cutter_covers(&cutter, 90 * LENGTH_MM));
	assert_false(cutter_covers(&cutter, 90 * LENGTH_MM + 1));
	cutter.nose_radius = 10 * LENGTH_MM;
	assert_true(cutter_covers(&cutter, 60 * LENGTH_MM));
	assert_false(cutter_covers(&cutter, 60 * LENGTH_MM + 1));
}

static void
oversize_is_half_as_large_again_and_an_inch(void **state)
{
	const struct {
		Length diameter, width;
		bool   oversize;
	} cases[] = {
		{ 3 * LENGTH_INCH, 2 * LENGTH_INCH, false },    /* half as large again, and not over it */
		{ 3 * LENGTH_INCH + 1, 2 * LENGTH_INCH, true }, /* over both */
		{ 2 * LENGTH_INCH, LENGTH_INCH, false },        /* twice as large, but by an inch only */
		{ 2 * LENGTH_INCH + 1, LENGTH_INCH, true },     /* over an inch */
		{ 13 * LENGTH_INCH, 10 * LENGTH_INCH, false },  /* three inches, but not half as large again */
		{ 2 * LENGTH_INCH, 10 * LENGTH_INCH, false },   /* smaller than the width */
		{ LENGTH_INCH / 2, LENGTH_INCH / 100, false },  /* many times as large, but small */
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct cutter cutter = cutter_of(cases[i].diameter, 0);

		assert_int_equal(cutter_oversize(&cutter, cases[i].width), cases[i].oversize);
	}
}

static void
a_depth_limit_is_the_least_that_was_said(void **state)
{
	const struct {
		Length max_depth, flute_length, limit;
	} cases[] = {
		{ 0, 0, LENGTH_MAX },
		{ 3 * LENGTH_MM, 0, 3 * LENGTH_MM },
		{ 0, 20 * LENGTH_MM, 20 * LENGTH_MM },
		{ 3 * LENGTH_MM, 20 * LENGTH_MM, 3 * LENGTH_MM },
		{ 30 * LENGTH_MM, 20 * LENGTH_MM, 20 * LENGTH_MM },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct cutter cutter = { .max_depth = cases[i].max_depth, .flute_length = cases[i].flute_length };

		assert_int_equal(cutter_depth_limit(&cutter), cases[i].limit);
	}
}

static void
edges_set_at_an_angle_reach_further_out_above(void **state)
{
	static const struct {
		int64_t angle_deg;
		Length  depth, flare;
	} cases[] = {
		{ 90, 2000000, 0 },
		{ 95, 2000000, 0 },
		{ 45, 1000000, 1000000 },
		{ 45, 635000, 635000 },
		{ 45, 1000001, 1001000 },
		{ 60, 1000000, 578000 },
		/* 0.577350 */ { 30, 1000000, 1733000 },
		{ 10, 1000000, 5672000 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct cutter cutter = { .entering_angle_udeg = cases[i].angle_deg * 1000000 };

		assert_int_equal(cutter_flare(&cutter, cases[i].depth), cases[i].flare);
	}
}

static void
the_smallest_that_covers_is_chosen_else_the_largest(void **state)
{
	const struct {
		Length diameters[4]; /* mm */
		Length width;
		size_t chosen;
	} cases[] = {
		{ { 50, 160, 100, 80 }, 70, 3 },  { { 50, 160, 100, 80 }, 73, 2 }, /* 80 mm covers 72 mm */
		{ { 50, 160, 100, 80 }, 10, 0 },  { { 50, 160, 100, 80 }, 144, 1 },
		{ { 50, 160, 100, 80 }, 145, 1 }, /* none covers */
		{ { 50, 20, 160, 160 }, 500, 2 }, /* none covers, and two are the largest: the one named first */
		{ { 160, 100, 100, 50 }, 80, 1 }, /* two cover and are the smallest: the one named first */
		{ { 10, 10, 10, 10 }, 300, 0 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct cutter cutters[4];

		for (size_t k = 0; k < 4; k++)
			cutters[k] = cutter_of(cases[i].diameters[k] * LENGTH_MM, 0);
		assert_int_equal(cutter_choose(cutters, 4, cases[i].width * LENGTH_MM) - cutters, cases[i].chosen);
		assert_ptr_equal(cutter_choose(cutters, 1, cases[i].width * LENGTH_MM), cutters);
	}
}

/* A larger cutter with a round corner may cover less than a smaller one. */
static void
a_round_corner_counts_in_the_choice(void **state)
{
	struct cutter cutters[] = { cutter_of(50 * LENGTH_MM, 10 * LENGTH_MM), cutter_of(40 * LENGTH_MM, 0),
		                    cutter_of(80 * LENGTH_MM, 0) };

	(void)state;
	assert_ptr_equal(cutter_choose(cutters, 3, 36 * LENGTH_MM), &cutters[1]);
	assert_ptr_equal(cutter_choose(cutters, 3, 37 * LENGTH_MM), &cutters[2]);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(an_overlap_is_a_twentieth_or_two_noses),
		cmocka_unit_test(a_cutter_covers_with_its_overlap_on_both_sides),
		cmocka_unit_test(oversize_is_half_as_large_again_and_an_inch),
		cmocka_unit_test(a_depth_limit_is_the_least_that_was_said),
		cmocka_unit_test(edges_set_at_an_angle_reach_further_out_above),
		cmocka_unit_test(the_smallest_that_covers_is_chosen_else_the_largest),
		cmocka_unit_test(a_round_corner_counts_in_the_choice),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
