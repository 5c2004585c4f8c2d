#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdlib.h>
#include <string.h>

#include "skimcut/arena.h"
#include "skimcut/diag.h"
#include "skimcut/text.h"

static struct source
source_of(const char *text)
{
	return (struct source){ "pad.yaml", text, strlen(text), UNITS_INCH };
}

static void
expect_printed(const struct diag *diag, enum severity least, const char *printed)
{
	char        room[4096];
	struct text out = text_over(room, sizeof room);

	diag_print(diag, least, "skimcut", &out);
	assert_string_equal(text_end(&out), printed);
}

static void
a_message_has_its_place_its_line_and_a_caret(void **state)
{
	struct arena  arena  = { 0 };
	struct diag   diag   = { .arena = &arena };
	struct source source = source_of("units: inch\ncut: {stepover: 130 %}\n");

	(void)state;
	assert_false(
	    diag_add(&diag, SEVERITY_ERROR, (struct place){ &source, 2, 17 }, "stepover %s is too much", "130 %"));
	diag_add(&diag, SEVERITY_NOTE, (struct place){ &source, 0, 0 }, "a note");
	diag_add(&diag, SEVERITY_WARNING, (struct place){ 0 }, "of no file");
	expect_printed(&diag, SEVERITY_NOTE,
	               "pad.yaml:2:17: error: stepover 130 % is too much\n"
	               "    cut: {stepover: 130 %}\n"
	               "                    ^\n"
	               "pad.yaml: note: a note\n"
	               "skimcut: warning: of no file\n");
	expect_printed(&diag, SEVERITY_SYSTEM, "");
	arena_release(&arena);
}

static void
the_caret_stays_below_its_place(void **state)
{
	static const struct {
		const char *text;
		size_t      line, column;
		const char *shown;
	} cases[] = {
		{ "\ta: b", 1, 5, "    \ta: b\n    \t   ^\n" },
		{ "\xc3\xa9\xe2\x82\xac: b", 1, 5, "    \xc3\xa9\xe2\x82\xac: b\n        ^\n" },
		{ "a\x1b[2J\x7f\xc2\x9b\xff: b", 1, 10, "    a [2J   : b\n             ^\n" },
		{ "one\r\ntwo\r\n", 2, 1, "    two\n    ^\n" },
		{ "one\rtwo", 2, 3, "    two\n      ^\n" },
		{ "one", 1, 9, "    one\n       ^\n" }, /* past the end */
		{ "one", 5, 1, "" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct arena  arena  = { 0 };
		struct diag   diag   = { .arena = &arena };
		struct source source = source_of(cases[i].text);
		char          expected[256];
		struct text   out = text_over(expected, sizeof expected);

		text_format(&out, "pad.yaml:%zu:%zu: error: x\n%s", cases[i].line, cases[i].column, cases[i].shown);
		diag_add(&diag, SEVERITY_ERROR, (struct place){ &source, cases[i].line, cases[i].column }, "x");
		expect_printed(&diag, SEVERITY_NOTE, text_end(&out));
		arena_release(&arena);
	}
}

static void
of_a_long_line_the_part_around_the_place_is_shown(void **state)
{
	char          line[1001], room[4096];
	struct arena  arena = { 0 };
	struct diag   diag  = { .arena = &arena };
	struct text   out   = text_over(room, sizeof room);
	struct source source;
	const char   *shown, *caret;

	(void)state;
	memset(line, 'a', 1000);
	line[1000] = '\0';
	line[700]  = 'X';
	source     = source_of(line);
	diag_add(&diag, SEVERITY_ERROR, (struct place){ &source, 1, 701 }, "x");
	diag_print(&diag, SEVERITY_NOTE, "skimcut", &out);
	shown = strchr(text_end(&out), '\n') + 1;
	caret = strchr(shown, '\n') + 1;
	assert_true(caret - shown <= 4 + 100 + 1);
	assert_int_equal(shown[strcspn(caret, "^")], 'X');
	arena_release(&arena);
}

static void
the_exit_status_is_that_of_the_worst(void **state)
{
	static const struct {
		enum severity severity;
		int           status;
	} cases[] = {
		{ SEVERITY_NOTE, 0 },  { SEVERITY_WARNING, 0 }, { SEVERITY_REFUSED, 1 },
		{ SEVERITY_ERROR, 2 }, { SEVERITY_SYSTEM, 3 },
	};
	struct arena arena = { 0 };
	struct diag  diag  = { .arena = &arena };

	(void)state;
	assert_int_equal(diag_status(&diag), 0);
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		diag_add(&diag, cases[i].severity, (struct place){ 0 }, "x");
		diag_add(&diag, SEVERITY_NOTE, (struct place){ 0 }, "x");
		assert_int_equal(diag_status(&diag), cases[i].status);
	}
	assert_int_equal(diag.errors, 3);
	diag = (struct diag){ .arena = &arena };
	assert_false(diag_no_memory(&diag));
	assert_int_equal(diag_status(&diag), 3);
	expect_printed(&diag, SEVERITY_SYSTEM, "skimcut: error: out of memory\n");
	arena_release(&arena);
}

static void
after_forty_errors_the_rest_is_counted(void **state)
{
	struct arena arena = { 0 };
	struct diag  diag  = { .arena = &arena };
	char         room[8192];
	struct text  out   = text_over(room, sizeof room);
	size_t       lines = 0;

	(void)state;
	for (int i = 0; i < DIAG_MAX + 7; i++)
		diag_add(&diag, SEVERITY_ERROR, (struct place){ 0 }, "error %d", i);
	diag_print(&diag, SEVERITY_NOTE, "skimcut", &out);
	for (const char *c = text_end(&out); *c; c++)
		lines += *c == '\n';
	assert_int_equal(lines, DIAG_MAX + 1);
	assert_non_null(strstr(room, "skimcut: error: 7 more like these\n"));
	arena_release(&arena);
}

static void
one_diag_can_be_laid_behind_another(void **state)
{
	struct arena arena = { 0 };
	struct diag  diag = { .arena = &arena }, more = { .arena = &arena }, none = { .arena = &arena };

	(void)state;
	diag_append(&diag, &none);
	diag_add(&more, SEVERITY_REFUSED, (struct place){ 0 }, "two");
	diag_append(&diag, &more);
	diag_add(&diag, SEVERITY_NOTE, (struct place){ 0 }, "three");
	assert_int_equal(diag.errors, 1);
	expect_printed(&diag, SEVERITY_NOTE, "skimcut: refused: two\nskimcut: note: three\n");
	arena_release(&arena);
}

/* In characters, not bytes, and with the tab that stands before the place above and below alike. */
static void
characters_and_tabs_of_a_long_line_are_counted_once(void **state)
{
	static const size_t columns[] = { 1, 99, 100, 101, 102, 400, 799, 800 };

	(void)state;
	for (size_t i = 0; i < sizeof columns / sizeof columns[0]; i++) {
		char          line[2000], room[4096];
		struct arena  arena = { 0 };
		struct diag   diag  = { .arena = &arena };
		struct text   build = text_over(line, sizeof line), out = text_over(room, sizeof room);
		struct source source;
		const char   *shown, *caret, *c;
		size_t        before = 0;

		for (size_t column = 1; column <= 800; column++)
			text_string(&build, column == columns[i] ? "X" : column % 40 == 0 ? "\t" : "\xc3\xa9");
		source = source_of(text_end(&build));
		diag_add(&diag, SEVERITY_ERROR, (struct place){ &source, 1, columns[i] }, "x");
		diag_print(&diag, SEVERITY_NOTE, "skimcut", &out);
		shown = strchr(text_end(&out), '\n') + 1;
		caret = strchr(shown, '\n') + 1;
		for (c = shown; *c != 'X'; c++) {
			assert_int_not_equal(*c, '\n');
			if (((unsigned char)*c & 0xC0) == 0x80)
				continue;
			assert_int_equal(caret[before] == '\t', *c == '\t');
			before++;
		}
		assert_int_equal(caret[before], '^');
		assert_true(before <= 4 + 100);
		arena_release(&arena);
	}
}

static void
a_message_is_cut_and_cleaned(void **state)
{
	char         lengthy[3000], room[4096];
	struct arena arena = { 0 };
	struct diag  diag  = { .arena = &arena };
	struct text  out   = text_over(room, sizeof room);

	(void)state;
	memset(lengthy, 'a', sizeof lengthy - 1);
	lengthy[sizeof lengthy - 1] = '\0';
	diag_add(&diag, SEVERITY_NOTE, (struct place){ 0 }, "%s", lengthy);
	assert_int_equal(strlen(diag.first->text), 1023);
	diag = (struct diag){ .arena = &arena };
	diag_add(&diag, SEVERITY_NOTE, (struct place){ 0 }, "no '%s'", "\x1b[2Jkey\xff\n");
	diag_print(&diag, SEVERITY_NOTE, "skimcut", &out);
	assert_string_equal(text_end(&out), "skimcut: note: no ' [2Jkey '\n");
	arena_release(&arena);
}

static void
lines_are_found_whatever_ends_them(void **state)
{
	static const struct {
		const char *text;
		size_t      line;
		const char *found;
	} cases[] = {
		{ "", 1, "" },       { "", 2, NULL },         { "a\n", 1, "a" },        { "a\n", 2, "" },
		{ "a\n", 3, NULL },  { "a\r\n\r\nb", 2, "" }, { "a\r\n\r\nb", 3, "b" }, { "a\rb\r", 2, "b" },
		{ "a\n\rb", 2, "" }, { "a\n\rb", 3, "b" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct source source = source_of(cases[i].text);
		size_t        length = 0;
		const char   *line   = source_line(&source, cases[i].line, &length);

		if (!cases[i].found) {
			assert_null(line);
			continue;
		}
		assert_non_null(line);
		assert_int_equal(length, strlen(cases[i].found));
		assert_memory_equal(line, cases[i].found, length);
	}
}

/* A message that is not kept was said all the same. */
static void
the_worst_counts_even_when_it_is_not_kept(void **state)
{
	static const struct {
		enum severity many, last;
		int           status;
	} cases[] = {
		{ SEVERITY_REFUSED, SEVERITY_REFUSED, 1 },
		{ SEVERITY_REFUSED, SEVERITY_ERROR, 2 },
		{ SEVERITY_ERROR, SEVERITY_SYSTEM, 3 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct arena arena = { 0 };
		struct diag  diag  = { .arena = &arena };

		for (int j = 0; j < DIAG_MAX; j++)
			diag_add(&diag, cases[i].many, (struct place){ 0 }, "x");
		diag_add(&diag, cases[i].last, (struct place){ 0 }, "x");
		assert_int_equal(diag_status(&diag), cases[i].status);
		arena_release(&arena);
	}
}

static void
what_was_appended_and_printed_is_not_counted_as_left_out(void **state)
{
	struct arena arena = { 0 };
	struct diag  diag = { .arena = &arena }, more = { .arena = &arena };
	char         room[8192];
	struct text  out   = text_over(room, sizeof room);
	size_t       lines = 0, left_out = 0;
	const char  *rest;

	(void)state;
	for (int i = 0; i < DIAG_MAX - 10; i++) {
		diag_add(&diag, SEVERITY_ERROR, (struct place){ 0 }, "one");
		diag_add(&more, SEVERITY_ERROR, (struct place){ 0 }, "two");
	}
	diag_append(&diag, &more);
	diag_print(&diag, SEVERITY_NOTE, "skimcut", &out);
	for (const char *c = text_end(&out); *c; c++)
		lines += *c == '\n';
	rest = strstr(room, " more like these");
	if (rest) {
		while (rest[-1] != ' ')
			rest--;
		left_out = (size_t)strtoul(rest, NULL, 10);
		lines--;
	}
	assert_int_equal(lines + left_out, 2 * (DIAG_MAX - 10));
	arena_release(&arena);
}

/* Nothing but the word and the caret: what was quoted may be of any colour to somebody else. */
static void
the_severity_and_the_caret_alone_are_coloured(void **state)
{
	static const struct {
		enum severity severity;
		const char   *word, *colour;
	} CASES[] = {
		{ SEVERITY_NOTE, "note", "\33[1;36m" },       { SEVERITY_WARNING, "warning", "\33[1;35m" },
		{ SEVERITY_REFUSED, "refused", "\33[1;31m" }, { SEVERITY_ERROR, "error", "\33[1;31m" },
		{ SEVERITY_SYSTEM, "error", "\33[1;31m" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		struct arena  arena  = { 0 };
		struct diag   diag   = { .arena = &arena, .colour = true };
		struct source source = source_of("error: note\n");
		char          expected[512];
		struct text   out = text_over(expected, sizeof expected);

		text_format(&out,
		            "pad.yaml:1:8: %s%s\33[0m: an error\n    error: note\n           %s^\33[0m\n"
		            "skimcut: %s%s\33[0m: of no file\n",
		            CASES[i].colour, CASES[i].word, CASES[i].colour, CASES[i].colour, CASES[i].word);
		diag_add(&diag, CASES[i].severity, (struct place){ &source, 1, 8 }, "an error");
		diag_add(&diag, CASES[i].severity, (struct place){ 0 }, "of no file");
		expect_printed(&diag, SEVERITY_NOTE, text_end(&out));
		arena_release(&arena);
	}
}

static void
what_is_counted_and_what_memory_refused_is_coloured_too(void **state)
{
	struct arena arena = { 0 };
	struct diag  diag  = { .arena = &arena, .colour = true, .dropped = 3, .no_memory = true };

	(void)state;
	expect_printed(&diag, SEVERITY_NOTE,
	               "skimcut: \33[1;31merror\33[0m: 3 more like these\n"
	               "skimcut: \33[1;31merror\33[0m: out of memory\n");
	arena_release(&arena);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_message_has_its_place_its_line_and_a_caret),
		cmocka_unit_test(the_caret_stays_below_its_place),
		cmocka_unit_test(of_a_long_line_the_part_around_the_place_is_shown),
		cmocka_unit_test(the_exit_status_is_that_of_the_worst),
		cmocka_unit_test(after_forty_errors_the_rest_is_counted),
		cmocka_unit_test(one_diag_can_be_laid_behind_another),
		cmocka_unit_test(characters_and_tabs_of_a_long_line_are_counted_once),
		cmocka_unit_test(a_message_is_cut_and_cleaned),
		cmocka_unit_test(lines_are_found_whatever_ends_them),
		cmocka_unit_test(the_worst_counts_even_when_it_is_not_kept),
		cmocka_unit_test(what_was_appended_and_printed_is_not_counted_as_left_out),
		cmocka_unit_test(the_severity_and_the_caret_alone_are_coloured),
		cmocka_unit_test(what_is_counted_and_what_memory_refused_is_coloured_too),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
