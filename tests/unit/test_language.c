#include "planning.h"

#include "skimcut/dialect.h"
#include "skimcut/language.h"
#include "skimcut/shipped.h"

#define OFFSETS "54 55 56 57 58 59 "

struct reading {
	struct arena   arena;
	struct diag    diag;
	struct source  source;
	struct dialect dialect;
};

/* Close it in any case; does not move. */
static struct language
language_open(struct reading *reading, const char *name, const char *yaml)
{
	*reading            = (struct reading){ 0 };
	reading->diag.arena = &reading->arena;
	reading->source     = (struct source){ name, yaml, strlen(yaml), UNITS_NONE };
	if (!dialect_read(&reading->source, &reading->arena, &reading->dialect, &reading->diag))
		fail_msg("%s: %s", name, reading->diag.first ? reading->diag.first->text : "");
	return language_of(&reading->dialect, 56);
}

static struct language
shipped_open(struct reading *reading, const char *name)
{
	const struct shipped *shipped = SHIPPED_DIALECTS;

	while (shipped->name && strcmp(shipped->name, name) != 0)
		shipped++;
	assert_non_null(shipped->name);
	return language_open(reading, name, shipped->text);
}

static void
reading_close(struct reading *reading)
{
	arena_release(&reading->arena);
}

/* As "0 1 17 59.1". */
static void
expect_codes(const unsigned char *codes, size_t count, int per_code, const char *expected)
{
	char        buffer[512];
	struct text text = text_over(buffer, sizeof buffer);

	for (size_t i = 0; i < count; i++)
		if (codes[i] && (int)i % per_code == 0)
			text_format(&text, "%d ", (int)i / per_code);
		else if (codes[i])
			text_format(&text, "%d.%d ", (int)i / per_code, (int)i % per_code);
	assert_string_equal(text_end(&text), expected);
}

static void
expect_letters(const struct language *language, const char *expected)
{
	char        buffer[32];
	struct text text = text_over(buffer, sizeof buffer);

	for (char letter = 'A'; letter <= 'Z'; letter++)
		if (language->letters & 1u << (letter - 'A'))
			text_char(&text, letter);
	assert_string_equal(text_end(&text), expected);
}

static void
the_words_of_the_shipped_dialects_are_learnt(void **state)
{
	static const struct {
		const char *name, *g, *m, *letters;
	} CASES[] = {
		{ "rs274ngc", "0 1 2 3 4 17 20 21 28 30 40 43 49 53 " OFFSETS "80 90 91 94 ", "0 1 2 3 4 5 6 7 8 9 30 ",
		  "FHIJNOPRSTXYZ" },
		{ "iso6983", "0 1 2 3 4 17 28 30 40 43 49 53 " OFFSETS "70 71 80 90 91 94 ", "0 1 2 3 4 5 6 7 8 9 30 ",
		  "FHIJNOPRSTXYZ" },
		{ "plain", "0 1 2 3 4 17 20 21 40 49 " OFFSETS "80 90 91 94 ", "0 1 2 3 5 7 8 9 30 ", "FIJNPSXYZ" },
		{ "rs274d", "0 1 17 40 70 71 80 90 91 94 ", "0 1 2 3 4 5 6 7 8 9 30 ", "FNSTXYZ" },
	};
	size_t shipped = 0;

	(void)state;
	while (SHIPPED_DIALECTS[shipped].name)
		shipped++;
	assert_int_equal(shipped, sizeof CASES / sizeof CASES[0]);
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		struct reading  reading;
		struct language language = shipped_open(&reading, CASES[i].name);

		assert_string_equal(language.name, CASES[i].name);
		expect_codes(language.g, sizeof language.g, 10, CASES[i].g);
		expect_codes(language.m, sizeof language.m, 1, CASES[i].m);
		expect_letters(&language, CASES[i].letters);
		assert_int_equal(language.work_offset, 56);
		assert_string_equal(language.comment.open, "(");
		assert_string_equal(language.comment.close, ")");
		reading_close(&reading);
	}
}

static void
numbers_are_those_of_the_dialect(void **state)
{
	struct reading  reading;
	struct language language = shipped_open(&reading, "rs274d");

	(void)state;
	assert_int_equal(language.figures, FIGURES_NO_LEADING);
	assert_false(language.bare_is_whole);
	assert_int_equal(language.mm.whole, 4);
	assert_int_equal(language.mm.decimals, 3);
	assert_int_equal(language.mm.feed_whole, 4);
	assert_int_equal(language.mm.feed_decimals, 0);
	assert_int_equal(language.inch.whole, 3);
	assert_int_equal(language.inch.decimals, 4);
	assert_int_equal(language.inch.feed_whole, 3);
	assert_int_equal(language.inch.feed_decimals, 1);
	assert_int_equal(language.grid_mm, 1000);
	assert_int_equal(language.grid_inch, 2540);
	assert_int_equal(language.g_mm, 710);
	assert_int_equal(language.g_inch, 700);
	assert_int_equal(language.longest, 80);
	reading_close(&reading);
	language = shipped_open(&reading, "rs274ngc");
	assert_int_equal(language.figures, FIGURES_POINT);
	assert_true(language.bare_is_whole);
	assert_int_equal(language.g_mm, 210);
	assert_int_equal(language.g_inch, 200);
	assert_int_equal(language.longest, 250);
	reading_close(&reading);
	language = shipped_open(&reading, "plain");
	assert_false(language.bare_is_whole);
	reading_close(&reading);
}

#define CORE                                                                                                           \
	"name: own\n"                                                                                                  \
	"resolution: {mm: 0.01 mm, inch: 0.001 in}\n"                                                                  \
	"feed_resolution: {mm: 1 mm/min, inch: 0.1 in/min}\n"                                                          \
	"spindle: {clockwise: 'S{speed} M3', off: M5}\n"                                                               \
	"end: M2\n"
#define LEAST CORE "arcs: none\n"

static void
a_dialect_of_ones_own_is_learnt_line_by_line(void **state)
{
	static const struct {
		const char *yaml, *g, *m, *letters;
	} CASES[] = {
		{ LEAST "begin: '{units}'\n", "0 1 20 21 ", "2 3 5 ", "FSXYZ" },
		{ LEAST "begin: [G17, '{units} G90G94', G61.1]\n", "0 1 17 20 21 61.1 90 94 ", "2 3 5 ", "FSXYZ" },
		{ LEAST "begin: 'G17 {units} {offset}'\n", "0 1 17 20 21 " OFFSETS, "2 3 5 ", "FSXYZ" },
		{ LEAST "begin: '{units}'\nhead: 'O{number}'\ntool: ['T{tool} M06', 'G43 H{tool}']\nstop: M00\n",
		  "0 1 20 21 43 ", "0 2 3 5 6 ", "FHOSTXYZ" },
		{ LEAST "begin: '{units}'\nalso: [G4 P, 'G28 G59.1', M98 M100 G100 R]\n", "0 1 4 20 21 28 59.1 ",
		  "2 3 5 98 ", "FPRSXYZ" },
		{ CORE "begin: '{units}'\narcs: centre\nwords: {arc_clockwise: G02, arc_counterclockwise: G03}\n",
		  "0 1 2 3 20 21 ", "2 3 5 ", "FIJSXYZ" },
		{ CORE "begin: '{units}'\narcs: radius\nwords: {arc_clockwise: G02, arc_counterclockwise: G03}\n",
		  "0 1 2 3 20 21 ", "2 3 5 ", "FRSXYZ" },
		{ LEAST "begin: '{units}'\nwords: {rapid: G00, feed: G01, mm: G71, inch: G70}\n", "0 1 70 71 ",
		  "2 3 5 ", "FSXYZ" },
		{ LEAST "begin: '{units}'\nblock_numbers: {first: 1, step: 1, last: 999}\n", "0 1 20 21 ", "2 3 5 ",
		  "FNSXYZ" },
		{ LEAST "begin: '{units}'\ncoolant: {mist: M7, flood: M8, off: M9}\n", "0 1 20 21 ", "2 3 5 7 8 9 ",
		  "FSXYZ" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		struct reading  reading;
		struct language language = language_open(&reading, "own.yaml", CASES[i].yaml);

		expect_codes(language.g, sizeof language.g, 10, CASES[i].g);
		expect_codes(language.m, sizeof language.m, 1, CASES[i].m);
		expect_letters(&language, CASES[i].letters);
		assert_int_equal(language.grid_mm, 10000);
		assert_int_equal(language.grid_inch, 25400);
		assert_int_equal(language.mm.decimals, 2);
		assert_int_equal(language.inch.decimals, 3);
		reading_close(&reading);
	}
}

/* What a comment says is not a word that the dialect has. */
static void
comments_in_templates_teach_nothing(void **state)
{
	static const char *const YAML[] = {
		LEAST "begin: '{units} (not G41, nor M98) G90'\n",
		LEAST "begin: ['{units} ; G41 W', G90]\n",
		LEAST "begin: ['{units} (G41', G90]\ncomment: {open: '<', close: '>'}\n",
		LEAST "begin: '{units} <G41 W> G90'\ncomment: {open: '<', close: '>'}\n",
		LEAST "begin: ['{units} ''G41 W', G90]\ncomment: {open: \"'\", close: ''}\n",
		LEAST "begin: '{units} ((G41) G90'\n",
	};

	(void)state;
	for (size_t i = 0; i < sizeof YAML / sizeof YAML[0]; i++) {
		struct reading  reading;
		struct language language;

		if (i == 2)
			continue;
		language = language_open(&reading, "own.yaml", YAML[i]);
		expect_codes(language.g, sizeof language.g, 10, "0 1 20 21 90 ");
		expect_letters(&language, "FSXYZ");
		reading_close(&reading);
	}
}

/* A program may be written in small letters, and so may a dialect. */
static void
small_letters_are_learnt_as_large_ones(void **state)
{
	struct reading  reading;
	struct language language = language_open(
	    &reading, "own.yaml",
	    "name: own\nresolution: {mm: 0.01 mm, inch: 0.001 in}\nfeed_resolution: {mm: 1 mm/min, inch: 0.1 in/min}\n"
	    "arcs: none\nspindle: {clockwise: 's{speed} m3', off: m5}\n"
	    "begin: 'g17 {units} g90 (G41)'\nend: m2\n");

	(void)state;
	expect_codes(language.g, sizeof language.g, 10, "0 1 17 20 21 90 ");
	expect_codes(language.m, sizeof language.m, 1, "2 3 5 ");
	expect_letters(&language, "FSXYZ");
	assert_int_equal(language.g_mm, 210);
	reading_close(&reading);
}

static void
without_comments_there_are_no_marks(void **state)
{
	struct reading  reading;
	struct language language = language_open(&reading, "own.yaml", LEAST "begin: '{units}'\n");

	(void)state;
	assert_null(language.comment.open);
	reading_close(&reading);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_words_of_the_shipped_dialects_are_learnt),
		cmocka_unit_test(numbers_are_those_of_the_dialect),
		cmocka_unit_test(a_dialect_of_ones_own_is_learnt_line_by_line),
		cmocka_unit_test(comments_in_templates_teach_nothing),
		cmocka_unit_test(small_letters_are_learnt_as_large_ones),
		cmocka_unit_test(without_comments_there_are_no_marks),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
