#include "planning.h"

#include "skimcut/rates.h"

#define M_MIN (1000 * LENGTH_MM)

static const struct machine ANY_MACHINE;

/*
 * Published face-milling problems. What the program can tell is at most one rev/min and one step of the feed below the
 * exact figure, and never above it.
 */
static void
published_examples_come_out_a_step_down(void **state)
{
	const struct {
		Speed   vc;
		Length  fz, diameter;
		int64_t teeth;
		Speed   step;
		double  published_rpm, published_vf; /* vf in steps */
		int64_t rpm;
		Speed   vf; /* in steps */
	} cases[] = {
		/* 145 m/min, 0.18 mm, 120 mm, 6 teeth: 0.18 x 6 x 384 = 414.72 mm/min */
		{ 145 * M_MIN, 180000, 120 * LENGTH_MM, 6, LENGTH_MM, 384.62, 415.39, 384, 414 },
		/* 250 ft/min, 0.006 in, 3 in, 5 teeth: 0.03 x 318 = 9.54 in/min */
		{ 250 * LENGTH_FOOT, LENGTH_INCH * 6 / 1000, 3 * LENGTH_INCH, 5, LENGTH_INCH / 10, 318.31, 95.493, 318,
		  95 },
		/* 2.8 m/s, 0.27 mm, 150 mm, 4 teeth: 1.08 x 356 = 384.48 mm/min */
		{ 168 * M_MIN, 270000, 150 * LENGTH_MM, 4, LENGTH_MM, 356.507, 385.028, 356, 384 },
		/* 500 ft/min, 0.010 in, 3 in, 4 teeth: 0.04 x 636 = 25.44 in/min */
		{ 500 * LENGTH_FOOT, LENGTH_INCH / 100, 3 * LENGTH_INCH, 4, LENGTH_INCH / 10, 636.62, 254.65, 636,
		  254 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct rates rates   = rates_find(cases[i].vc, cases[i].fz, cases[i].diameter, cases[i].teeth,
		                                  &ANY_MACHINE, cases[i].step);
		double       per_rev = (double)(cases[i].fz * cases[i].teeth) / (double)cases[i].step;

		assert_int_equal(rates.rpm, cases[i].rpm);
		assert_int_equal(rates.wanted_rpm, cases[i].rpm);
		assert_int_equal(rates.vf, cases[i].vf * cases[i].step);
		assert_int_equal(rates.limits, 0);
		assert_true((double)rates.rpm <= cases[i].published_rpm);
		assert_true((double)rates.rpm > cases[i].published_rpm - 1);
		assert_true((double)cases[i].vf <= cases[i].published_vf);
		assert_true((double)cases[i].vf > cases[i].published_vf - per_rev - 1);
		assert_true(rates.vc <= cases[i].vc);
		assert_true(rates.fz <= cases[i].fz);
	}
}

/* pi x 120 mm x 384 = 144.7646 m/min; 414 mm/min / (6 x 384) = 0.1796875 mm. */
static void
the_figures_reached_are_those_of_the_rates_taken(void **state)
{
	struct rates rates = rates_find(145 * M_MIN, 180000, 120 * LENGTH_MM, 6, &ANY_MACHINE, LENGTH_MM);

	(void)state;
	assert_int_equal(rates.vc / 1000, 144764589);
	assert_int_equal(rates.fz, 179687);
}

/* 318 rpm wanted: 250 ft/min at 3 in. */
static void
a_spindle_steps_down_and_never_up(void **state)
{
	static const int64_t belt[] = { 660, 80, 325, 135, 318, 1115 }, fast[] = { 400, 900, 319 };
	const struct {
		const int64_t *speeds;
		size_t         count;
		int64_t        rpm;
		unsigned       limits;
	} cases[] = {
		{ belt, 6, 318, 0 },
		{ belt, 4, 135, RATE_SPINDLE_STEP },
		{ belt, 1, 660, RATE_SPINDLE_MIN },
		{ fast, 3, 319, RATE_SPINDLE_MIN },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct machine machine = { .spindle.speeds = { cases[i].speeds, cases[i].count } };
		struct rates   rates   = rates_find(250 * LENGTH_FOOT, LENGTH_INCH / 100, 3 * LENGTH_INCH, 5, &machine,
		                                    LENGTH_INCH / 10);

		assert_int_equal(rates.rpm, cases[i].rpm);
		assert_int_equal(rates.wanted_rpm, 318);
		assert_int_equal(rates.limits, cases[i].limits);
	}
}

static void
a_stepless_spindle_is_held_to_its_range(void **state)
{
	const struct {
		int64_t  min, max, rpm;
		unsigned limits;
	} cases[] = {
		{ 0, 0, 318, 0 },
		{ 318, 318, 318, 0 },
		{ 60, 300, 300, RATE_SPINDLE_MAX },
		{ 319, 4000, 319, RATE_SPINDLE_MIN },
		{ 60, 4000, 318, 0 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct machine machine = { .spindle = { .min_rpm = cases[i].min, .max_rpm = cases[i].max } };
		struct rates   rates   = rates_find(250 * LENGTH_FOOT, LENGTH_INCH / 100, 3 * LENGTH_INCH, 5, &machine,
		                                    LENGTH_INCH / 10);

		assert_int_equal(rates.rpm, cases[i].rpm);
		assert_int_equal(rates.limits, cases[i].limits);
		/* 0.05 in a turn, down to a tenth of an inch a minute */
		assert_int_equal(rates.vf, cases[i].rpm * 5 / 10 * (LENGTH_INCH / 10));
	}
}

static void
the_fastest_and_the_next_step_down_are_both_said(void **state)
{
	static const int64_t speeds[] = { 100, 200, 400 };
	struct machine       machine  = { .spindle = { .max_rpm = 300, .speeds = { speeds, 3 } } };
	struct rates         rates = rates_find(250 * LENGTH_FOOT, LENGTH_INCH / 100, 3 * LENGTH_INCH, 5, &machine, 1);

	(void)state;
	assert_int_equal(rates.rpm, 200);
	assert_int_equal(rates.limits, RATE_SPINDLE_MAX | RATE_SPINDLE_STEP);
}

static void
a_feed_stays_at_or_below_the_fastest_and_on_its_steps(void **state)
{
	const struct {
		Speed    max, step, vf;
		unsigned limits;
	} cases[] = {
		/* 384 rpm, 6 teeth, 0.18 mm: 414.72 mm/min */
		{ 0, 1, 414720000, 0 },
		{ 0, LENGTH_MM, 414 * LENGTH_MM, 0 },
		{ 414720000, LENGTH_MM / 1000, 414720000, 0 },
		{ 414719999, LENGTH_MM / 1000, 414719000, RATE_FEED_MAX },
		{ 300 * LENGTH_MM + 999999, LENGTH_MM, 300 * LENGTH_MM, RATE_FEED_MAX },
		{ 0, LENGTH_INCH / 10, 163 * (LENGTH_INCH / 10), 0 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct machine machine = { .feeds.max = cases[i].max };
		struct rates   rates   = rates_find(145 * M_MIN, 180000, 120 * LENGTH_MM, 6, &machine, cases[i].step);

		assert_int_equal(rates.vf, cases[i].vf);
		assert_int_equal(rates.limits, cases[i].limits);
	}
}

static void
a_feed_finer_than_a_step_is_none(void **state)
{
	const struct machine crawling = { .feeds.max = LENGTH_MM - 1 };
	struct rates         rates    = rates_find(M_MIN, 5000, 500 * LENGTH_MM, 1, &ANY_MACHINE, LENGTH_MM);

	(void)state;
	assert_int_equal(rates.rpm, 1);
	assert_int_equal(rates.vf, 0);
	assert_int_equal(rates.limits, RATE_FEED_ZERO);
	rates = rates_find(145 * M_MIN, 180000, 120 * LENGTH_MM, 6, &crawling, LENGTH_MM);
	assert_int_equal(rates.vf, 0);
	assert_int_equal(rates.limits, RATE_FEED_MAX | RATE_FEED_ZERO);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(published_examples_come_out_a_step_down),
		cmocka_unit_test(the_figures_reached_are_those_of_the_rates_taken),
		cmocka_unit_test(a_spindle_steps_down_and_never_up),
		cmocka_unit_test(a_stepless_spindle_is_held_to_its_range),
		cmocka_unit_test(the_fastest_and_the_next_step_down_are_both_said),
		cmocka_unit_test(a_feed_stays_at_or_below_the_fastest_and_on_its_steps),
		cmocka_unit_test(a_feed_finer_than_a_step_is_none),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
