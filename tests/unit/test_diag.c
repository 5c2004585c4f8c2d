#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

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
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
