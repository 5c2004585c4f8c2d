#include "../external/programs.h"

#include "values.h"

#include "skimcut/trial.h"
#include "skimcut/verdict.h"

enum { PAGE = 1 << 16, COLUMNS = 78 };

static const char JOB_MM[]   = "units: mm\n"
			       "material: brass\n"
			       "stock: {length: 40, width: 30, height: 10.2}\n"
			       "finished_height: 10\n"
			       "cutter: {kind: face mill, diameter: 40, teeth: 4, edge: carbide}\n";
static const char JOB_INCH[] = "units: inch\n"
			       "material: brass\n"
			       "stock: {length: 4, width: 2, height: 1.01}\n"
			       "finished_height: 1\n"
			       "cutter: {kind: face mill, diameter: 3, teeth: 4, edge: carbide}\n";

#define HEAD "G21 G17 G90 G94 G54\nT1 M6\nG43 H1\nG0 Z30\nS500 M3\nX70 Y16\nZ2.5\n"
#define GOOD HEAD "G1 Z0 F50\nX-30\nG0 Z30\nM5\nM30\n"
/* A rapid through the part, twice. */
#define THROUGH HEAD "G0 Z0\nX-30\nX70\nG0 Z30\nM5\nM30\n"
/* Nothing at all. */
#define NOTHING "%\n"

static const char *const PROPERTIES_DOCUMENTED[PROPERTIES] = { "face",    "floor",    "cuts",    "rapids",  "descents",
	                                                       "holding", "switches", "milling", "machine", "words" };

/* One program tried against one job. Does not move once it is opened. */
struct bench {
	struct work  work;
	struct trial trial;
	char         page[PAGE];
	json_t      *json;
};

static void
bench_open(struct bench *bench, const char *job, const char *program)
{
	memset(bench, 0, sizeof *bench);
	assert_true(work_open(&bench->work, strcpy(calloc(1, strlen(job) + 1), job), "rs274ngc"));
	assert_true(trial_begin(&bench->trial, &bench->work.planning.job, &bench->work.planning.plan,
	                        &bench->work.dialect, &bench->work.planning.arena, FINENESS_MIDDLE));
	trial_feed(&bench->trial, program, strlen(program));
	trial_end(&bench->trial);
}

static void
bench_close(struct bench *bench)
{
	json_decref(bench->json);
	work_close(&bench->work);
}

static void
print_text(struct bench *bench, const char *program, const char *job)
{
	struct text out = text_over(bench->page, PAGE);

	verdict_print(&bench->trial, program, job, &out);
	text_end(&out);
	assert_false(out.failed);
}

static void
print_json(struct bench *bench, const char *program, const char *job)
{
	struct text  out = text_over(bench->page, PAGE);
	json_error_t error;

	assert_true(verdict_json(&bench->trial, program, job, &out));
	text_end(&out);
	assert_false(out.failed);
	json_decref(bench->json);
	bench->json = json_loads(bench->page, JSON_REJECT_DUPLICATES, &error);
	if (!bench->json)
		fail_msg("no JSON: line %d: %s\n%s", error.line, error.text, bench->page);
	assert_true(json_is_object(bench->json));
}

/* Lines of at most 78 columns, ended, of what a terminal can show. */
static void
expect_page(const char *page)
{
	for (const char *line = page; *line;) {
		size_t size = strcspn(line, "\n"), columns = 0;

		assert_int_equal(line[size], '\n');
		for (size_t i = 0; i < size; i++) {
			unsigned char c = (unsigned char)line[i];

			columns += (c & 0xC0) != 0x80;
			assert_true(c >= ' ' && c != 0x7F);
		}
		if (columns > COLUMNS)
			fail_msg("%zu columns: %.*s", columns, (int)size, line);
		line += size + 1;
	}
}

static const json_t *
member(const json_t *object, const char *key)
{
	const json_t *value = json_object_get(object, key);

	if (!value)
		fail_msg("there is no '%s'", key);
	return value;
}

static void
a_proved_program_is_told_so(void **state)
{
	struct bench bench;

	(void)state;
	bench_open(&bench, JOB_MM, GOOD);
	print_text(&bench, "part.nc", "part.yaml");
	expect_page(bench.page);
	assert_int_equal(strncmp(bench.page, "PROOF         part.nc, against part.yaml\n====", 45), 0);
	for (int i = 0; i < PROPERTIES; i++)
		assert_non_null(strstr(bench.page, PROPERTY_NAMES[i]));
	assert_non_null(strstr(bench.page, "\nPROVED "));
	assert_null(strstr(bench.page, "NOT PROVED"));
	assert_null(strstr(bench.page, "REFUSED"));
	assert_non_null(strstr(bench.page, "0.24 cm3 in 1 cut,"));
	assert_non_null(strstr(bench.page, "For granted   nothing stands up beside the stock"));
	assert_non_null(strstr(bench.page, "the job describes none."));
	bench_close(&bench);
}

static void
a_refusal_is_told_with_its_line_and_how_many_more(void **state)
{
	struct bench bench;

	(void)state;
	bench_open(&bench, JOB_MM, THROUGH);
	print_text(&bench, "part.nc", "part.yaml");
	expect_page(bench.page);
	assert_non_null(strstr(bench.page,
	                       "  4  no rapid meets material                                       REFUSED\n"
	                       "              line 9: rapid meets stock 0.2 mm below its top at X40.000\n"
	                       "              Y16.000\n"
	                       "              and 1 more like it\n"));
	assert_non_null(strstr(bench.page, "\nNOT PROVED    2 of 10 refused.\n"));
	/* Of the program as a whole there is no line. */
	assert_non_null(strstr(bench.page, "REFUSED\n              1200.000 mm2 of the face still stand"));
	bench_close(&bench);
}

static void
what_could_not_be_read_leaves_the_rest_open(void **state)
{
	struct bench bench;

	(void)state;
	bench_open(&bench, JOB_MM, HEAD "G81 X3\n");
	print_text(&bench, "part.nc", "part.yaml");
	expect_page(bench.page);
	assert_non_null(strstr(bench.page,
	                       " 10  every word is one of the dialect                              REFUSED\n"
	                       "              line 8: G81 (a canned cycle) is not read\n"));
	assert_non_null(
	    strstr(bench.page, "  1  the whole face comes to its height                            open\n"));
	assert_non_null(
	    strstr(bench.page, "NOT PROVED    1 refused, and 9 open because the program could not be read on."));
	bench_close(&bench);
}

static void
what_is_taken_for_granted_is_said(void **state)
{
	static const struct {
		const char *program, *said, *key;
	} CASES[] = {
		{ "G21 G90\n", "names no work offset", "work-offset" },
		{ "/G21 G90 G54\n", "begin with /", "deleted-blocks-run" },
		{ "G21 G90 G54\n", "tool", "tool-is-in" },
		{ "G21 G90 G54\nG28 Z0\n", "homes Z", "tool-change-above" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		struct bench bench;
		bool         listed = false;

		bench_open(&bench, JOB_MM, CASES[i].program);
		print_text(&bench, "part.nc", "part.yaml");
		expect_page(bench.page);
		assert_non_null(strstr(bench.page, "For granted"));
		assert_non_null(strstr(strstr(bench.page, "For granted"), CASES[i].said));
		print_json(&bench, "part.nc", "part.yaml");
		for (size_t k = 0; k < json_array_size(member(bench.json, "assumed")); k++)
			listed |= strcmp(json_string_value(json_array_get(member(bench.json, "assumed"), k)),
			                 CASES[i].key) == 0;
		assert_true(listed);
		bench_close(&bench);
	}
}

static void
inches_are_told_in_inches(void **state)
{
	struct bench bench;

	(void)state;
	bench_open(&bench, JOB_INCH,
	           "G20 G90 G54\nT1 M6\nG43 H1\nG0 Z1\nS300 M3\nX6 Y1\nZ.1\nG1 Z0 F5\nX-2\nG0 Z1\nM5\nM30\n");
	print_text(&bench, "part.nc", "part.yaml");
	expect_page(bench.page);
	assert_non_null(strstr(bench.page, "0.080 in3 in 1 cut, the deepest 0.01 in"));
	bench_close(&bench);
	bench_open(&bench, JOB_INCH, NOTHING);
	print_json(&bench, "part.nc", "part.yaml");
	assert_string_equal(json_string_value(member(bench.json, "units")), "inch");
	bench_close(&bench);
}

/* The keys that docs/proof.md lists, and no other. */
static void
json_has_the_keys_that_are_documented(void **state)
{
	static const char *const KEYS[]    = { "schema", "program",    "job",     "proved",
		                               "units",  "properties", "figures", "assumed" };
	static const char *const FIGURES[] = { "cut_s",       "air_s", "rapid_s",    "stops",
		                               "removed_mm3", "cuts",  "deepest_mm", "conventional_share",
		                               "bytes",       "lines" };
	const json_t            *figures, *properties;
	struct bench             bench;

	(void)state;
	bench_open(&bench, JOB_MM, GOOD);
	print_json(&bench, "part.nc", "part.yaml");
	assert_int_equal(json_object_size(bench.json), sizeof KEYS / sizeof KEYS[0]);
	for (size_t i = 0; i < sizeof KEYS / sizeof KEYS[0]; i++)
		member(bench.json, KEYS[i]);
	assert_int_equal(json_integer_value(member(bench.json, "schema")), 1);
	assert_string_equal(json_string_value(member(bench.json, "program")), "part.nc");
	assert_string_equal(json_string_value(member(bench.json, "job")), "part.yaml");
	assert_true(json_is_true(member(bench.json, "proved")));
	assert_string_equal(json_string_value(member(bench.json, "units")), "mm");
	assert_int_equal(json_array_size(member(bench.json, "assumed")), 3);
	assert_string_equal(json_string_value(json_array_get(member(bench.json, "assumed"), 0)), "nothing-beside");
	properties = member(bench.json, "properties");
	assert_int_equal(json_array_size(properties), PROPERTIES);
	for (size_t i = 0; i < PROPERTIES; i++) {
		const json_t *property = json_array_get(properties, i);

		assert_int_equal(json_object_size(property), 3);
		assert_int_equal(json_integer_value(member(property, "number")), i + 1);
		assert_string_equal(json_string_value(member(property, "name")), PROPERTIES_DOCUMENTED[i]);
		assert_string_equal(json_string_value(member(property, "found")), "holds");
	}
	figures = member(bench.json, "figures");
	assert_int_equal(json_object_size(figures), sizeof FIGURES / sizeof FIGURES[0]);
	for (size_t i = 0; i < sizeof FIGURES / sizeof FIGURES[0]; i++)
		assert_true(json_is_number(member(figures, FIGURES[i])));
	assert_true(fabs(json_real_value(member(figures, "removed_mm3")) - 240) < 1e-9);
	assert_int_equal(json_integer_value(member(figures, "cuts")), 1);
	assert_int_equal(json_integer_value(member(figures, "bytes")), sizeof GOOD - 1);
	assert_int_equal(json_integer_value(member(figures, "lines")), 12);
	assert_true(fabs(json_real_value(member(figures, "deepest_mm")) - 0.2) < 1e-12);
	/* Y16 in 30: a millimetre off the middle. */
	assert_true(fabs(json_real_value(member(figures, "conventional_share")) - 16.0 / 30) < 1e-9);
	bench_close(&bench);
}

static void
json_tells_of_refusals_and_of_what_is_open(void **state)
{
	const json_t *properties, *rapids, *face, *words;
	struct bench  bench;

	(void)state;
	bench_open(&bench, JOB_MM, THROUGH);
	print_json(&bench, "part.nc", "part.yaml");
	assert_true(json_is_false(member(bench.json, "proved")));
	properties = member(bench.json, "properties");
	rapids     = json_array_get(properties, PROPERTY_RAPIDS);
	assert_string_equal(json_string_value(member(rapids, "found")), "refused");
	assert_string_equal(json_string_value(member(rapids, "message")),
	                    "rapid meets stock 0.2 mm below its top at X40.000 Y16.000");
	assert_int_equal(json_integer_value(member(rapids, "count")), 2);
	assert_int_equal(json_integer_value(member(rapids, "line")), 9);
	assert_true(fabs(json_real_value(member(rapids, "amount")) - 0.2) < 1e-12);
	assert_true(fabs(json_number_value(member(member(rapids, "at"), "x")) - 40) < 1e-12);
	assert_true(fabs(json_number_value(member(member(rapids, "at"), "y")) - 16) < 1e-12);
	assert_null(json_object_get(rapids, "column"));
	face = json_array_get(properties, PROPERTY_FACE);
	assert_null(json_object_get(face, "line"));
	bench_close(&bench);
	bench_open(&bench, JOB_MM, HEAD "X1 G81\n");
	print_json(&bench, "part.nc", "part.yaml");
	properties = member(bench.json, "properties");
	words      = json_array_get(properties, PROPERTY_WORDS);
	assert_int_equal(json_integer_value(member(words, "line")), 8);
	assert_int_equal(json_integer_value(member(words, "column")), 4);
	assert_null(json_object_get(words, "at"));
	face = json_array_get(properties, PROPERTY_FACE);
	assert_string_equal(json_string_value(member(face, "found")), "open");
	assert_int_equal(json_object_size(face), 3);
	bench_close(&bench);
}

/* A name of a file may be anything but NUL and slash. */
static void
hostile_names_do_no_harm(void **state)
{
	static char              long_name[5000], wide[3001];
	static const char *const NAMES[] = {
		"",
		" ",
		"a\nb",
		"\x1B[2J\x1B[31m",
		"\"quoted\\\"",
		"bad \xC3",
		"\xFF\xFE\xFD",
		"\xC2\x9B[31m",
		"\xED\xA0\x80",
		"100 % %s %n %d",
		"tab\tbed",
		"\x7F",
		"{\"proved\": true}",
		"\xE2\x80\xA8",
		long_name,
		wide,
	};

	(void)state;
	memset(long_name, 'x', sizeof long_name - 1);
	for (size_t i = 0; i + 3 < sizeof wide; i += 3)
		memcpy(wide + i, "\xE2\x82\xAC", 3);
	for (size_t i = 0; i < sizeof NAMES / sizeof NAMES[0]; i++) {
		struct bench bench;

		bench_open(&bench, JOB_MM, i % 2 ? GOOD : HEAD "G81\n");
		print_text(&bench, NAMES[i], NAMES[sizeof NAMES / sizeof NAMES[0] - 1 - i]);
		expect_page(bench.page);
		print_json(&bench, NAMES[i], NAMES[sizeof NAMES / sizeof NAMES[0] - 1 - i]);
		assert_true(json_is_string(member(bench.json, "program")));
		assert_true(json_is_string(member(bench.json, "job")));
		if (i == 4)
			assert_string_equal(json_string_value(member(bench.json, "program")), NAMES[i]);
		bench_close(&bench);
	}
}

/* In characters of three bytes behind one or two of one, so that a buffer of any round size ends inside a character. */
static void
a_long_name_is_never_cut_inside_a_character(void **state)
{
	struct bench bench;

	(void)state;
	bench_open(&bench, JOB_MM, GOOD);
	for (size_t before = 0; before < 3; before++) {
		static char name[4097];
		size_t      length = before;

		memset(name, 'x', before);
		for (; length + 3 < sizeof name; length += 3)
			memcpy(name + length, "\xE2\x82\xAC", 3);
		name[length] = '\0';
		print_json(&bench, name, name);
		assert_memory_equal(json_string_value(member(bench.json, "program")), name, 1000);
	}
	bench_close(&bench);
}

/* What a program quotes of itself is shown; what it says in a comment is not. */
static void
hostile_programs_do_no_harm(void **state)
{
	static const char *const PROGRAMS[] = {
		"\x1B[31m\n",
		"(\xFF\xFE)\nG81\n",
		"G1 \xC3\xBC\n",
		"\"\\\n",
		"X1\x07\n",
		"%%%%\n",
		"#1=2\n",
		"G1 X1,5\n",
		"\xEF\xBB\xBF%\n",
		"\x7F-ELF\x01\x01\n",
		"N99999999999999999999999999 G1\n",
	};

	(void)state;
	for (size_t i = 0; i < sizeof PROGRAMS / sizeof PROGRAMS[0]; i++) {
		struct bench  bench;
		const json_t *words;

		bench_open(&bench, JOB_MM, PROGRAMS[i]);
		print_text(&bench, "part.nc", "part.yaml");
		expect_page(bench.page);
		assert_non_null(strstr(bench.page, "NOT PROVED    "));
		print_json(&bench, "part.nc", "part.yaml");
		words = json_array_get(member(bench.json, "properties"), PROPERTY_WORDS);
		assert_string_equal(json_string_value(member(words, "found")), "refused");
		assert_true(json_string_length(member(words, "message")) > 5);
		assert_true(json_integer_value(member(words, "line")) >= 1);
		assert_true(json_integer_value(member(words, "column")) >= 1);
		bench_close(&bench);
	}
}

static void
json_goes_through_a_small_buffer_as_well(void **state)
{
	struct bench bench;
	char         small[64];
	struct text  out = text_over(small, sizeof small);

	(void)state;
	bench_open(&bench, JOB_MM, GOOD);
	verdict_json(&bench.trial, "part.nc", "part.yaml", &out);
	assert_true(out.failed);
	bench_close(&bench);
}

static json_t *
make(const void *context)
{
	static char printed[PAGE];
	struct text out = text_over(printed, sizeof printed);

	return verdict_json(context, "part.nc", "part.yaml", &out) ? json_string(text_end(&out)) : NULL;
}

static void
memory_that_runs_out_is_said(void **state)
{
	struct bench bench;

	(void)state;
	bench_open(&bench, JOB_MM, HEAD "G81\n");
	assert_true(fails_whole(make, &bench.trial) > 50);
	bench_close(&bench);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_proved_program_is_told_so),
		cmocka_unit_test(a_refusal_is_told_with_its_line_and_how_many_more),
		cmocka_unit_test(what_could_not_be_read_leaves_the_rest_open),
		cmocka_unit_test(what_is_taken_for_granted_is_said),
		cmocka_unit_test(inches_are_told_in_inches),
		cmocka_unit_test(json_has_the_keys_that_are_documented),
		cmocka_unit_test(json_tells_of_refusals_and_of_what_is_open),
		cmocka_unit_test(hostile_names_do_no_harm),
		cmocka_unit_test(a_long_name_is_never_cut_inside_a_character),
		cmocka_unit_test(hostile_programs_do_no_harm),
		cmocka_unit_test(json_goes_through_a_small_buffer_as_well),
		cmocka_unit_test(memory_that_runs_out_is_said),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
