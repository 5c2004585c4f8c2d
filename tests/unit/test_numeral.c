#include "planning.h"
#include "values.h"

#include <regex.h>

#include "skimcut/numeral.h"
#include "skimcut/schema.h"

static const struct field DEPTH  = { "depth", FIELD_LENGTH, 0, "0 mm", "300 mm", NULL, NULL, "", false, NULL, NULL };
static const struct field PLACE  = { "x", FIELD_LENGTH, 0, NULL, NULL, NULL, NULL, "", false, NULL, NULL };
static const struct field TEETH  = { "teeth", FIELD_COUNT, 0, "1", "60", NULL, NULL, "", false, NULL, NULL };
static const struct field SPEEDS = { "speeds", FIELD_ROTATIONS, 0, NULL, NULL, NULL, NULL, "", false, NULL, NULL };
static const struct field RATES  = { "rates", FIELD_FEEDS, 0, "1 mm/min", NULL, NULL, NULL, "", false, NULL, NULL };
static const struct field POWER  = { "power", FIELD_POWER, 0, NULL, NULL, NULL, NULL, "", false, NULL, NULL };
static const struct field GAP    = { "gap", FIELD_LENGTH, 0, NULL, NULL, "0.1 in", "3 mm", "", false, NULL, NULL };
static const struct field TITLE  = { "title", FIELD_TEXT, 0, NULL, NULL, NULL, NULL, "", false, NULL, NULL };

static void
numbers_and_lists_of_them_are_wanted(void **state)
{
	(void)state;
	assert_true(numeral_wanted(&DEPTH) && numeral_wanted(&TEETH) && numeral_wanted(&SPEEDS));
	assert_false(numeral_wanted(&TITLE));
	assert_true(numeral_hangs_on_units(&DEPTH) && numeral_hangs_on_units(&RATES));
	assert_false(numeral_hangs_on_units(&TEETH) || numeral_hangs_on_units(&SPEEDS));
	assert_false(numeral_hangs_on_units(&POWER) || numeral_hangs_on_units(&TITLE));
}

/* 300 mm are 11.811023622... in, and a limit that is rounded is rounded outward. */
static void
limits_are_those_of_a_bare_number_in_the_files_units(void **state)
{
	json_t *mm = numeral_limits(&DEPTH, UNITS_MM), *inch = numeral_limits(&DEPTH, UNITS_INCH);
	double  most = json_number_value(at(inch, "maximum"));

	(void)state;
	assert_int_equal(json_integer_value(at(mm, "maximum")), 300);
	assert_int_equal(json_integer_value(at(mm, "minimum")), 0);
	assert_true(most * 25.4 >= 300 && most * 25.4 < 300.00001);
	text_is(mm, "type/0", "number");
	text_is(mm, "type/1", "string");
	json_decref(mm);
	json_decref(inch);
}

/* 1 mm/min is 0.0393700787... in/min. */
static void
a_least_that_has_no_end_is_rounded_outward(void **state)
{
	json_t *rates = numeral_limits(&RATES, UNITS_INCH);
	double  least = json_number_value(at(rates, "items/minimum"));

	(void)state;
	assert_true(least * 25.4 <= 1 && least * 25.4 > 0.99999);
	json_decref(rates);
}

static void
what_means_the_same_in_every_file_has_its_limits_at_once(void **state)
{
	json_t *teeth = numeral_json(&TEETH), *depth = numeral_json(&DEPTH);

	(void)state;
	text_is(teeth, "type/0", "integer");
	assert_int_equal(json_integer_value(at(teeth, "minimum")), 1);
	assert_int_equal(json_integer_value(at(teeth, "maximum")), 60);
	assert_null(json_object_get(depth, "maximum"));
	json_decref(teeth);
	json_decref(depth);
}

static void
a_default_is_that_of_the_files_units(void **state)
{
	json_t *mm = numeral_limits(&GAP, UNITS_MM), *inch = numeral_limits(&GAP, UNITS_INCH);

	(void)state;
	text_is(mm, "default", "3 mm");
	text_is(inch, "default", "0.1 in");
	json_decref(mm);
	json_decref(inch);
}

static bool
matches(const struct field *field, const char *written)
{
	json_t *json  = numeral_json(field);
	json_t *items = json_object_get(json, "items");
	regex_t pattern;
	bool    matched;

	assert_int_equal(regcomp(&pattern, json_string_value(at(items ? items : json, "pattern")), REG_EXTENDED), 0);
	matched = regexec(&pattern, written, 0, NULL, 0) == 0;
	regfree(&pattern);
	json_decref(json);
	return matched;
}

static void
texts_match_that_are_a_number_and_a_unit(void **state)
{
	static const struct {
		const struct field *field;
		const char         *written;
		bool                matched;
	} CASES[] = {
		{ &DEPTH, "1/2 in", true },      { &DEPTH, "1-1/2in", true }, { &DEPTH, "1 1/2 in", true },
		{ &DEPTH, ".5", true },          { &DEPTH, "+3 mm", true },   { &DEPTH, "-3 mm", false },
		{ &PLACE, "-3 mm", true },       { &DEPTH, "1/0 in", false }, { &DEPTH, "3 rpm", false },
		{ &DEPTH, "", false },           { &DEPTH, "1,5", false },    { &POWER, "2 hp", true },
		{ &POWER, "2", false },          { &SPEEDS, "80 rpm", true }, { &RATES, "4 in/min", true },
		{ &RATES, "4 in/min x", false }, { &TEETH, "5", true },       { &TEETH, "five", false },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++)
		if (matches(CASES[i].field, CASES[i].written) != CASES[i].matched)
			fail_msg("'%s' of %s", CASES[i].written, CASES[i].field->key);
}

static void
a_bare_number_is_refused_where_a_unit_must_be(void **state)
{
	json_t *power = numeral_json(&POWER);

	(void)state;
	text_is(power, "type", "string");
	json_decref(power);
}

static void
a_list_says_what_its_items_are(void **state)
{
	json_t *speeds = numeral_json(&SPEEDS);

	(void)state;
	text_is(speeds, "type", "array");
	assert_true(json_is_string(at(speeds, "items/pattern")));
	json_decref(speeds);
}

static json_t *
all_of_it(const void *context)
{
	(void)context;
	return json_add(json_add(json_array(), numeral_json(&TEETH)), numeral_limits(&RATES, UNITS_INCH));
}

static void
memory_that_runs_out_leaves_nothing(void **state)
{
	(void)state;
	assert_true(fails_whole(all_of_it, NULL) > 20);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(numbers_and_lists_of_them_are_wanted),
		cmocka_unit_test(limits_are_those_of_a_bare_number_in_the_files_units),
		cmocka_unit_test(a_least_that_has_no_end_is_rounded_outward),
		cmocka_unit_test(what_means_the_same_in_every_file_has_its_limits_at_once),
		cmocka_unit_test(a_default_is_that_of_the_files_units),
		cmocka_unit_test(texts_match_that_are_a_number_and_a_unit),
		cmocka_unit_test(a_bare_number_is_refused_where_a_unit_must_be),
		cmocka_unit_test(a_list_says_what_its_items_are),
		cmocka_unit_test(memory_that_runs_out_leaves_nothing),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
