#include "planning.h"

#include "skimcut/dialect.h"
#include "skimcut/shipped.h"
#include "skimcut/yaml.h"

/* The least that a dialect has; a line that stands in `own` under the same key takes the place of one here. */
static const char *const LEAST[] = {
	"name: own",
	"resolution: {mm: 0.001 mm, inch: 0.0001 in}",
	"feed_resolution: {mm: 1 mm/min, inch: 0.1 in/min}",
	"begin: 'G17 {units}'",
	"spindle: {clockwise: 'S{speed} M3', off: M5}",
	"end: M2",
};

struct reading {
	struct arena   arena;
	struct diag    diag;
	struct source  source;
	struct dialect dialect;
	char           yaml[2048];
};

/* Close it in any case. `own`: one line, or several. */
static bool
read_own(struct reading *reading, const char *own)
{
	struct text out = text_over(reading->yaml, sizeof reading->yaml);

	for (size_t i = 0; i < sizeof LEAST / sizeof LEAST[0]; i++)
		if (strncmp(own, LEAST[i], strcspn(LEAST[i], ":") + 1) != 0)
			text_format(&out, "%s\n", LEAST[i]);
	text_format(&out, "%s\n", own);
	reading->arena  = (struct arena){ 0 };
	reading->diag   = (struct diag){ .arena = &reading->arena };
	reading->source = (struct source){ "own.yaml", text_end(&out), out.length, UNITS_NONE };
	return dialect_read(&reading->source, &reading->arena, &reading->dialect, &reading->diag);
}

static void
reading_close(struct reading *reading)
{
	arena_release(&reading->arena);
}

static void
every_shipped_dialect_loads_without_a_word(void **state)
{
	size_t count = 0;

	(void)state;
	for (const struct shipped *shipped = SHIPPED_DIALECTS; shipped->name; shipped++, count++) {
		struct arena   arena  = { 0 };
		struct diag    diag   = { .arena = &arena };
		struct source  source = { shipped->name, shipped->text, strlen(shipped->text), UNITS_NONE };
		struct dialect dialect;

		if (!dialect_read(&source, &arena, &dialect, &diag))
			fail_msg("%s: %s", shipped->name, diag.first ? diag.first->text : "");
		assert_null(diag.first);
		assert_string_equal(dialect.name, shipped->name);
		assert_true(strlen(dialect.about) > 0 && strlen(dialect.about) < 70);
		assert_non_null(dialect.stop);
		assert_non_null(dialect.coolant.flood);
		assert_non_null(dialect.coolant.mist);
		arena_release(&arena);
	}
	assert_int_equal(count, 4);
}

static void
what_is_left_out_has_its_default(void **state)
{
	struct reading        reading;
	const struct dialect *dialect = &reading.dialect;

	(void)state;
	assert_true(read_own(&reading, "about: the least"));
	assert_null(reading.diag.first);
	assert_string_equal(dialect->separator, " ");
	assert_string_equal(dialect->words.rapid, "G0");
	assert_int_equal(dialect->numerals.form, NUMERALS_POINT);
	assert_int_equal(dialect->arcs, ARCS_CENTRE);
	assert_int_equal(dialect->line_end, LINE_END_LF);
	assert_int_equal(dialect->repeat, 0);
	assert_int_equal(dialect->longest_block, 80);
	assert_null(dialect->block_numbers.bound.node);
	assert_null(dialect->comment.bound.node);
	assert_null(dialect->coolant.bound.node);
	assert_null(dialect->tool);
	assert_null(dialect->stop);
	reading_close(&reading);
}

static void
a_grid_is_that_of_the_units(void **state)
{
	struct reading reading;

	(void)state;
	assert_true(read_own(&reading, "resolution: {mm: 0.01 mm, inch: 0.001 in}"));
	assert_int_equal(dialect_grid(&reading.dialect, UNITS_MM).length, 10000);
	assert_int_equal(dialect_grid(&reading.dialect, UNITS_MM).feed, LENGTH_MM);
	assert_int_equal(dialect_grid(&reading.dialect, UNITS_INCH).length, 25400);
	assert_int_equal(dialect_grid(&reading.dialect, UNITS_INCH).feed, 2540000);
	reading_close(&reading);
}

/* `at`: where the message points, by the first place of these letters. */
static void
every_error_has_its_place(void **state)
{
	static const struct {
		const char *own, *at, *part;
	} cases[] = {
		{ "resolution: {mm: 0.002 mm, inch: 0.0001 in}", "0.002", "a resolution is 1, 0.1, 0.01 and so on" },
		{ "resolution: {mm: 0.001 mm, inch: 0.0005 in}", "0.0005", "a resolution is 1, 0.1, 0.01 and so on" },
		{ "resolution: {mm: 0.0001 in, inch: 0.0001 in}", "0.0001", "a resolution is 1, 0.1, 0.01 and so on" },
		{ "feed_resolution: {mm: 0.25 mm/min, inch: 0.1 in/min}", "0.25", "a resolution is 1, 0.1, 0.01" },
		{ "resolution: {mm: 0.0001 mm, inch: 0.0001 in}", "0.0001", "out of range" },
		{ "resolution: {mm: 0.001, inch: 0.0001 in}", "0.001,", "mm:" },
		{ "resolution: {mm: 0.001 mm}", "{mm: 0.001", "has no 'inch'" },
		{ "end: 'M2 {tools}'", "'M2 {", "'{tools}' is nothing that this block can fill in" },
		{ "end: 'M2 {tool'", "'M2 {", "is nothing that this block can fill in" },
		{ "end: ['M9', 'M2 {speed}']", "'M2 {", "'{speed}' is nothing that this block can fill in" },
		{ "begin: 'T{tool}'", "'T{", "'{tool}' is nothing" },
		{ "tool: 'T{tool} S{speed}'", "'T{", "'{speed}' is nothing" },
		{ "stop: 'M0 {units}'", "'M0 {", "'{units}' is nothing" },
		{ "spindle: {clockwise: 'M3 {tool}', off: M5}", "'M3 {", "'{tool}' is nothing" },
		{ "spindle: {clockwise: M3, off: 'M5 S{speed}'}", "'M5 ", "'{speed}' is nothing" },
		{ "spindle: {clockwise: M3, counterclockwise: '{offset}', off: M5}", "'{offset", "is nothing" },
		{ "coolant: {flood: '{number}', off: M9}", "'{number", "is nothing" },
		{ "coolant: {mist: '{number}', off: M9}", "'{number", "is nothing" },
		{ "coolant: {mist: M7, off: '{number}'}", "'{number", "is nothing" },
		{ "head: '%{speed}'", "'%{", "is nothing" },
		{ "tail: '{tool}%'", "'{tool", "is nothing" },
		{ "end: \"M2\\u00a0\"", "\"M2", "a block is printable ASCII" },
		{ "end: [M5, \"M2\\n\"]", "\"M2", "a block is printable ASCII" },
		{ "end: [M5, \"M2\\t\"]", "\"M2", "a block is printable ASCII" },
		{ "comment: {letters: 'ABC'}", "'ABC", "have '-' or a blank among them" },
		{ "words: {rapid: G..}", "G..", "is a code like G1" },
		{ "words: {rapid: G1.}", "G1.", "is a code like G1" },
		{ "words: {rapid: G1.2.3}", "G1.2", "is a code like G1" },
		{ "comment: {letters: 'ABC-)D'}", "'ABC", "none that begins or ends a comment" },
		{ "comment: {letters: 'ABC-(D'}", "'ABC", "none that begins or ends a comment" },
		{ "comment: {open: ';', close: '', letters: 'AB-;'}", "'AB-;", "none that begins or ends a comment" },
		{ "comment: {letters: \"AB\\n\"}", "\"AB", "a comment's letters are printable ASCII" },
		{ "comment: {letters: \"AB\\u00e9\"}", "\"AB", "a comment's letters are printable ASCII" },
		{ "comment: {open: ''}", "''", "a comment begins with something" },
		{ "comment: {open: \"(\\n\"}", "\"(", "at most 8 characters of printable ASCII" },
		{ "comment: {close: '))))))))))'}", "'))", "at most 8 characters of printable ASCII" },
		{ "comment: {longest: 7}", "7}", "longest" },
		{ "words: {rapid: ''}", "''", "rapid" },
		{ "words: {feed: ''}", "''", "feed" },
		{ "words: {mm: ''}", "''", "mm" },
		{ "words: {rapid: \"G0\\nG1\"}", "\"G0", "rapid" },
		{ "words: {arc_clockwise: ''}", "''", "arc_clockwise" },
		{ "separator: \"\\n\"", "\"\\n", "separated" },
		{ "separator: 'M3'", "'M3'", "separated" },
		{ "block_numbers: {first: 100, last: 50}", "50", "the last block number is below the first" },
		{ "coolant: {flood: M8}", "{flood", "has no 'off'" },
		{ "spindle: {clockwise: M3}", "{clockwise: M3}", "has no 'off'" },
		{ "spindle: {off: M5}", "{off", "has no 'clockwise'" },
		{ "ends: M2", "ends", "has no key 'ends'; did you mean 'end'?" },
		{ "comment: {opens: '('}", "opens", "did you mean 'open'?" },
		{ "arcs: center", "center", "it is one of: centre, radius, none" },
		{ "numerals: {form: points}", "points", "it is one of: point, all-digits" },
		{ "numerals: {whole: {mm: 12}}", "12}", "12 is out of range" },
		{ "longest_block: 20", "20", "out of range" },
		{ "end: {M2: 1}", "{M2", "a text or a list of texts" },
		{ "end: [[M2]]", "[M2]", "a list of texts" },
		{ "end:", NULL, "'end' has no value" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct reading        reading;
		bool                  read    = read_own(&reading, cases[i].own);
		const struct message *message = message_with(&reading.diag, SEVERITY_ERROR, cases[i].part);

		if (read || !message)
			fail_msg("%s: %s", cases[i].own,
			         read                 ? "is read"
			         : reading.diag.first ? reading.diag.first->text
			                              : "");
		assert_ptr_equal(message->place.source, &reading.source);
		if (cases[i].at && !place_is_at(message->place, reading.yaml, cases[i].at))
			fail_msg("%s: points at %zu:%zu", cases[i].own, message->place.line, message->place.column);
		assert_int_equal(diag_status(&reading.diag), 2);
		reading_close(&reading);
	}
}

static void
what_is_required_is_missed_at_the_top(void **state)
{
	static const char *const keys[] = { "name", "resolution", "feed_resolution", "begin", "spindle", "end" };

	(void)state;
	for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
		char                  yaml[1024], part[64];
		struct text           out = text_over(yaml, sizeof yaml), wanted = text_over(part, sizeof part);
		struct arena          arena = { 0 };
		struct diag           diag  = { .arena = &arena };
		struct source         source;
		struct dialect        dialect;
		const struct message *message;

		for (size_t k = 0; k < sizeof LEAST / sizeof LEAST[0]; k++)
			if (strncmp(keys[i], LEAST[k], strcspn(LEAST[k], ":")) != 0 ||
			    strlen(keys[i]) != strcspn(LEAST[k], ":"))
				text_format(&out, "%s\n", LEAST[k]);
		text_format(&wanted, "has no '%s'", keys[i]);
		source = (struct source){ "own.yaml", text_end(&out), out.length, UNITS_NONE };
		assert_false(dialect_read(&source, &arena, &dialect, &diag));
		message = message_with(&diag, SEVERITY_ERROR, text_end(&wanted));
		assert_non_null(message);
		assert_int_equal(message->place.line, 1);
		assert_int_equal(message->place.column, 1);
		arena_release(&arena);
	}
}

/* A block that is there but says nothing would let a job through that must be refused: a stop that does not stop. */
static void
a_block_says_something(void **state)
{
	static const char *const empty[] = { "stop: []",
		                             "end: []",
		                             "spindle: {clockwise: [], off: M5}",
		                             "spindle: {clockwise: M3, off: []}",
		                             "coolant: {flood: [], off: M9}",
		                             "stop: ['']" };

	(void)state;
	for (size_t i = 0; i < sizeof empty / sizeof empty[0]; i++) {
		struct reading reading;

		if (read_own(&reading, empty[i]))
			fail_msg("%s is read", empty[i]);
		reading_close(&reading);
	}
}

static void
all_errors_of_a_dialect_are_said(void **state)
{
	struct reading reading;

	(void)state;
	assert_false(read_own(&reading, "head: '{x}'\nstop: '{y}'\ntail: '{z}'\ncomment: {letters: '-)'}"));
	assert_int_equal(reading.diag.errors, 4);
	reading_close(&reading);
}

static void
what_is_no_mapping_is_no_dialect(void **state)
{
	static const char *const texts[] = { "", "[1, 2]", "a text", "a: [", "name: own\nname: own\n" };

	(void)state;
	for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
		struct arena   arena  = { 0 };
		struct diag    diag   = { .arena = &arena };
		struct source  source = { "own.yaml", texts[i], strlen(texts[i]), UNITS_NONE };
		struct dialect dialect;

		assert_false(dialect_read(&source, &arena, &dialect, &diag));
		assert_true(diag.errors > 0);
		arena_release(&arena);
	}
}

static void
a_placeholder_is_found_whole(void **state)
{
	static const struct {
		const char      *text;
		enum placeholder placeholder;
		size_t           length;
	} cases[] = {
		{ "{units} G40", PLACEHOLDER_UNITS, 7 },
		{ "{offset}", PLACEHOLDER_OFFSET, 8 },
		{ "{number}{tool}", PLACEHOLDER_NUMBER, 8 },
		{ "{tool}", PLACEHOLDER_TOOL, 6 },
		{ "{speed}", PLACEHOLDER_SPEED, 7 },
		{ "{speed", PLACEHOLDERS, 0 },
		{ "{Speed}", PLACEHOLDERS, 0 },
		{ "{}", PLACEHOLDERS, 0 },
		{ "{ speed}", PLACEHOLDERS, 0 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		size_t length;

		assert_int_equal(placeholder_find(cases[i].text, &length), cases[i].placeholder);
		if (cases[i].placeholder != PLACEHOLDERS)
			assert_int_equal(length, cases[i].length);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_shipped_dialect_loads_without_a_word),
		cmocka_unit_test(what_is_left_out_has_its_default),
		cmocka_unit_test(a_grid_is_that_of_the_units),
		cmocka_unit_test(every_error_has_its_place),
		cmocka_unit_test(what_is_required_is_missed_at_the_top),
		cmocka_unit_test(a_block_says_something),
		cmocka_unit_test(all_errors_of_a_dialect_are_said),
		cmocka_unit_test(what_is_no_mapping_is_no_dialect),
		cmocka_unit_test(a_placeholder_is_found_whole),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
