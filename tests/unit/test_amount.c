#include "planning.h"
#include "values.h"

#include "skimcut/amount.h"

static void
nine_digits(const json_t *root, const char *path, double value)
{
	assert_true(fabs(json_real_value(at(root, path)) - value) <= 5e-9 * value);
}

/* One of each in the unit that jobs are reckoned in, by the definitions of inch, pound-force and horsepower. */
static void
every_quantity_is_there_in_si_and_in_the_jobs_units(void **state)
{
	static const struct {
		enum amount amount;
		double      value, si, mm, inch;
	} CASES[] = {
		{ AMOUNT_LENGTH, 25400000, 0.0254, 25.4, 1 },
		{ AMOUNT_FEED, 254e6, 0.254 / 60, 254, 10 },
		{ AMOUNT_CUTTING_SPEED, 120e9, 2, 120, 393.7007874 },
		{ AMOUNT_REMOVAL, 16387.064, 16387.064e-9 / 60, 16.387064, 1 },
		{ AMOUNT_FORCE, 1000, 1000, 1000, 224.8089431 },
		{ AMOUNT_TORQUE, 10, 10, 10, 7.375621493 },
		{ AMOUNT_POWER, 1500, 1500, 1.5, 2.011533134 },
		{ AMOUNT_ROUGHNESS, 1.6, 1.6e-6, 1.6, 62.99212598 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		json_t *mm   = amount_known(true, CASES[i].amount, CASES[i].value, UNITS_MM);
		json_t *inch = amount_known(true, CASES[i].amount, CASES[i].value, UNITS_INCH);

		nine_digits(mm, "si", CASES[i].si);
		nine_digits(inch, "si", CASES[i].si);
		nine_digits(mm, "job", CASES[i].mm);
		nine_digits(inch, "job", CASES[i].inch);
		json_decref(mm);
		json_decref(inch);
	}
}

static void
units_are_named_for_both_halves(void **state)
{
	json_t *mm = amount_units(UNITS_MM), *inch = amount_units(UNITS_INCH);

	(void)state;
	text_is(mm, "job", "mm");
	text_is(inch, "job", "inch");
	assert_int_equal(json_object_size(mm), 1 + AMOUNTS);
	assert_int_equal(json_object_size(inch), 1 + AMOUNTS);
	text_is(mm, "length/job", "mm");
	text_is(inch, "length/job", "in");
	text_is(mm, "cutting_speed/job", "m/min");
	text_is(inch, "cutting_speed/job", "ft/min");
	text_is(inch, "power/job", "hp");
	text_is(mm, "roughness/job", "um");
	text_is(inch, "roughness/si", "m");
	json_decref(mm);
	json_decref(inch);
}

/* 15 digits of the job's unit give every nanometre back. */
static void
a_length_comes_back_to_the_nanometre(void **state)
{
	static const double PER_JOB[] = { [UNITS_MM] = 1e6, [UNITS_INCH] = 25.4e6 };

	uint64_t random = 90125;

	(void)state;
	for (int i = 0; i < 20000; i++) {
		uint64_t   seed   = random;
		enum units units  = i % 2 ? UNITS_MM : UNITS_INCH;
		Length     length = random_between(&random, -LENGTH_MAX, LENGTH_MAX);
		json_t    *json   = amount_length(length, units);
		char       room[64];

		snprintf(room, sizeof room, "%.15g", json_real_value(at(json, "job")));
		holds(seed, llround(strtod(room, NULL) * PER_JOB[units]) == length);
		snprintf(room, sizeof room, "%.15g", json_real_value(at(json, "si")));
		holds(seed, llround(strtod(room, NULL) * 1e9) == length);
		json_decref(json);
	}
}

static void
what_is_not_known_or_is_no_number_is_null(void **state)
{
	json_t *nothing[] = {
		amount_known(false, AMOUNT_POWER, 1, UNITS_MM),
		amount_known(true, AMOUNT_POWER, INFINITY, UNITS_MM),
		amount_known(true, AMOUNT_POWER, NAN, UNITS_INCH),
		amount_given(0, UNITS_MM),
	};
	json_t *known = amount_known(true, AMOUNT_POWER, 0, UNITS_MM), *given = amount_given(-1, UNITS_MM);

	(void)state;
	for (size_t i = 0; i < sizeof nothing / sizeof nothing[0]; i++) {
		assert_true(json_is_null(nothing[i]));
		json_decref(nothing[i]);
	}
	assert_true(json_real_value(at(known, "si")) == 0 && json_real_value(at(known, "job")) == 0);
	assert_true(json_real_value(at(given, "si")) == -1e-9);
	json_decref(known);
	json_decref(given);
}

static void
points_and_ranges_have_both_their_ends(void **state)
{
	json_t *point = amount_point(LENGTH_INCH, -2 * LENGTH_INCH, UNITS_INCH);
	json_t *range = amount_range(-LENGTH_MM, 3 * LENGTH_MM, UNITS_MM);

	(void)state;
	quantity_is(point, "x", 0.0254, 1);
	quantity_is(point, "y", -0.0508, -2);
	quantity_is(range, "from", -0.001, -1);
	quantity_is(range, "to", 0.003, 3);
	json_decref(point);
	json_decref(range);
}

static json_t *
all_of_it(const void *context)
{
	(void)context;
	return json_add(json_add(json_add(json_array(), amount_units(UNITS_MM)), amount_point(1, 2, UNITS_MM)),
	                amount_known(true, AMOUNT_FORCE, 1, UNITS_INCH));
}

static void
memory_that_runs_out_leaves_nothing(void **state)
{
	(void)state;
	assert_true(fails_whole(all_of_it, NULL) > 50);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_quantity_is_there_in_si_and_in_the_jobs_units),
		cmocka_unit_test(units_are_named_for_both_halves),
		cmocka_unit_test(a_length_comes_back_to_the_nanometre),
		cmocka_unit_test(what_is_not_known_or_is_no_number_is_null),
		cmocka_unit_test(points_and_ranges_have_both_their_ends),
		cmocka_unit_test(memory_that_runs_out_leaves_nothing),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
