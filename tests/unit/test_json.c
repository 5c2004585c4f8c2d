#include "planning.h"
#include "values.h"

#include "skimcut/json.h"

enum { BYTES = 1 << 16, DIGITS = 15 };

static char printed[BYTES];

static const char *
print(json_t *root, size_t indent, size_t digits)
{
	struct text out = text_over(printed, sizeof printed);

	assert_true(json_print(root, indent, digits, &out));
	assert_false(out.failed);
	return text_end(&out);
}

static void
members_keep_their_order(void **state)
{
	(void)state;
	assert_string_equal(print(json_make((const struct member[]){
				      { "z", json_integer(1) },
				      { "a", json_null() },
				      { "m", json_string("b") },
				      JSON_END,
				  }),
	                          0, DIGITS),
	                    "{\"z\": 1, \"a\": null, \"m\": \"b\"}\n");
	assert_string_equal(print(json_make((const struct member[]){ JSON_END }), 0, DIGITS), "{}\n");
}

static void
one_more_is_the_last(void **state)
{
	json_t *list = json_add(json_add(json_array(), json_integer(2)), json_integer(1));

	(void)state;
	assert_string_equal(print(json_with(json_with(json_object(), "b", list), "a", json_true()), 0, DIGITS),
	                    "{\"b\": [2, 1], \"a\": true}\n");
}

static json_t *
some_of_everything(const void *context)
{
	json_t *list = json_array();

	(void)context;
	for (int i = 0; i < 9; i++)
		list = json_add(list, json_make((const struct member[]){
					  { "figure", json_figure(i / 7.0) },
					  { "text", json_text("quoted \" and long enough to be kept apart") },
					  { "none", json_null() },
					  JSON_END,
				      }));
	return json_with(json_make((const struct member[]){ { "list", list }, { "after", json_integer(1) }, JSON_END }),
	                 "last", json_text("x"));
}

static void
what_could_not_be_made_takes_all_that_is_around_it(void **state)
{
	(void)state;
	assert_null(json_make((const struct member[]){ { "a", json_integer(1) }, { "b", NULL }, JSON_END }));
	assert_null(json_make((const struct member[]){ { "a", NULL }, { "b", json_integer(1) }, JSON_END }));
	assert_null(json_with(json_object(), "a", NULL));
	assert_null(json_with(NULL, "a", json_integer(1)));
	assert_null(json_add(json_array(), NULL));
	assert_null(json_add(NULL, json_integer(1)));
	assert_true(fails_whole(some_of_everything, NULL) > 50);
}

static void
somebody_elses_text_is_cleaned(void **state)
{
	static const struct {
		const char *text, *cleaned;
	} CASES[] = {
		{ "", "" },
		{ "a\nb\tc", "a b c" },
		{ "\x1b[31m", " [31m" },
		{ "caf\xc3\xa9 \xf0\x9f\x94\xa7", "caf\xc3\xa9 \xf0\x9f\x94\xa7" },
		{ "bad \xc3", "bad " },
		{ "\xff\xfe\xed\xa0\x80", "" },
		{ "\"\\ {", "\"\\ {" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		json_t *json = json_text(CASES[i].text);

		assert_string_equal(json_string_value(json), CASES[i].cleaned);
		json_decref(json);
	}
}

/* In characters of one to four bytes, from the last that is whole to what is far too long. */
static void
a_long_text_loses_its_end_and_no_part_of_a_character(void **state)
{
	static const char *const CHARACTERS[] = { "x", "\xc3\xa9", "\xe2\x82\xac", "\xf0\x9f\x94\xa7" };
	static const size_t      COUNTS[]     = { 1022, 1023, 1024, 3000 };
	static char              text[4 * 3000 + 1];

	(void)state;
	for (size_t size = 1; size <= 4; size++)
		for (size_t i = 0; i < sizeof COUNTS / sizeof COUNTS[0]; i++) {
			size_t  kept = COUNTS[i] < 1023 ? COUNTS[i] : 1023;
			json_t *json;

			for (size_t k = 0; k < COUNTS[i]; k++)
				memcpy(text + k * size, CHARACTERS[size - 1], size);
			text[COUNTS[i] * size] = '\0';
			json                   = json_text(text);
			assert_int_equal(json_string_length(json), kept * size);
			assert_memory_equal(json_string_value(json), text, kept * size);
			json_decref(json);
		}
}

static void
a_figure_has_nine_digits(void **state)
{
	static const struct {
		double      value;
		const char *figure;
	} CASES[] = {
		{ 0, "0.0" },
		{ -0.0, "0.0" },
		{ 1.0 / 3, "0.333333333" },
		{ -2.0 / 3, "-0.666666667" },
		{ 123456789.4, "123456789.0" },
		{ 1234567894, "1234567890.0" },
		{ 1e-300 / 3, "3.33333333e-301" },
		{ 0.1 + 0.2, "0.3" },
		{ 0.99999999951, "1.0" },
		{ INFINITY, "null" },
		{ -INFINITY, "null" },
		{ NAN, "null" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char room[64];

		snprintf(room, sizeof room, "[%s]\n", CASES[i].figure);
		assert_string_equal(print(json_add(json_array(), json_figure(CASES[i].value)), 0, DIGITS), room);
	}
}

/* Half of the ninth digit, which is at worst that of 1.00000000. */
static void
a_figure_is_near_what_it_stands_for(void **state)
{
	uint64_t random = 4711;

	(void)state;
	for (int i = 0; i < 20000; i++) {
		uint64_t seed  = random;
		double   value = ldexp((double)random_between(&random, -1000000000, 1000000000),
		                       (int)random_between(&random, -200, 200));
		json_t  *json  = json_figure(value);

		holds(seed, fabs(json_real_value(json) - value) <= 5.000001e-9 * fabs(value));
		json_decref(json);
	}
}

static void
it_is_printed_as_it_was_asked_for(void **state)
{
	(void)state;
	assert_string_equal(
	    print(json_make((const struct member[]){ { "a", json_add(json_array(), json_real(1.0 / 3)) }, JSON_END }),
	          2, 12),
	    "{\n  \"a\": [\n    0.333333333333\n  ]\n}\n");
	assert_string_equal(print(json_add(json_array(), json_real(1.0 / 3)), 1, 4), "[\n 0.3333\n]\n");
}

static bool
drained(struct text *text)
{
	size_t *bytes = text->context;

	*bytes += text->length;
	text->length = 0;
	return true;
}

static void
it_goes_through_a_small_stream_whole(void **state)
{
	char        room[16];
	size_t      bytes  = 0;
	struct text stream = { .data = room, .capacity = sizeof room, .drain = drained, .context = &bytes };

	(void)state;
	print(some_of_everything(NULL), 2, DIGITS);
	assert_true(json_print(some_of_everything(NULL), 2, DIGITS, &stream));
	assert_true(text_flush(&stream));
	assert_int_equal(bytes, strlen(printed));
}

/* Memory is not out; the text knows that it has failed. */
static void
a_text_that_is_full_is_another_matter_than_memory(void **state)
{
	char        room[16];
	struct text small = text_over(room, sizeof room), text = text_over(printed, sizeof printed);

	(void)state;
	assert_true(json_print(some_of_everything(NULL), 2, DIGITS, &small));
	assert_true(small.failed);
	assert_false(json_print(NULL, 2, DIGITS, &text));
	assert_false(text.failed);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(members_keep_their_order),
		cmocka_unit_test(one_more_is_the_last),
		cmocka_unit_test(what_could_not_be_made_takes_all_that_is_around_it),
		cmocka_unit_test(somebody_elses_text_is_cleaned),
		cmocka_unit_test(a_long_text_loses_its_end_and_no_part_of_a_character),
		cmocka_unit_test(a_figure_has_nine_digits),
		cmocka_unit_test(a_figure_is_near_what_it_stands_for),
		cmocka_unit_test(it_is_printed_as_it_was_asked_for),
		cmocka_unit_test(it_goes_through_a_small_stream_whole),
		cmocka_unit_test(a_text_that_is_full_is_another_matter_than_memory),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
