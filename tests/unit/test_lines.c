#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdlib.h>
#include <string.h>

#include "skimcut/lines.h"
#include "skimcut/text.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

/* Fed in chunks of this size, each in memory of its own: "line|line|" with "line$" for the last and "line>" for a long one. */
static const char *
read_lines(const char *text, size_t size, size_t limit, size_t chunk)
{
	static char out_text[4096];

	struct text  out   = text_over(out_text, sizeof out_text);
	struct lines lines = { .limit = limit };

	for (size_t at = 0; at <= size; at += chunk) {
		size_t          part = size - at < chunk ? size - at : chunk, length;
		char           *copy = malloc(part > 0 ? part : 1);
		const char     *line;
		enum line_state state;

		assert_non_null(copy);
		memcpy(copy, text + at, part);
		if (part > 0)
			lines_feed(&lines, copy, part);
		lines.ending = at + chunk > size;
		while ((state = lines_next(&lines, &line, &length)) != LINE_WAITED_FOR) {
			text_bytes(&out, line, length);
			text_char(&out, state == LINE_WHOLE ? '|' : state == LINE_LAST ? '$' : '>');
			if (state == LINE_TOO_LONG) {
				free(copy);
				return text_end(&out);
			}
		}
		free(copy);
	}
	return text_end(&out);
}

static void
lines_are_the_same_however_the_text_is_cut(void **state)
{
	static const struct {
		const char *text, *lines;
	} cases[] = {
		{ "", "" },
		{ "\n", "|" },
		{ "\r\n\n\r\n", "|||" },
		{ "a\nbb\r\nccc", "a|bb|ccc$" },
		{ "a\r", "a\r$" },
		{ "a\rb\n", "a\rb|" },
		{ "a\r\r\n", "a\r|" },
		{ "12345678\n12345678\r\n12345678", "12345678|12345678|12345678$" },
		{ "123456789\nb\n", "12345678>" },
		{ "a\n123456789\r\nb\n", "a|12345678>" },
		{ "123456789", "12345678>" },
		{ "12345678\r", "12345678>" },
		{ "12345678\rb\n", "12345678>" },
		{ "12345678\r\r\n", "12345678>" },
		{ "1234567\r\r\n", "1234567\r|" },
		{ "a\n12345678901234567890123456789012345678901234567890", "a|12345678>" },
	};

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++)
		for (size_t chunk = 1; chunk <= strlen(cases[i].text) + 1; chunk++)
			assert_string_equal(read_lines(cases[i].text, strlen(cases[i].text), 8, chunk), cases[i].lines);
}

static void
a_line_of_the_most_characters_fits(void **state)
{
	static char text[LINE_MAX_LENGTH + 8], expected[LINE_MAX_LENGTH + 8];

	(void)state;
	memset(text, 'x', sizeof text);
	memset(expected, 'x', sizeof expected);
	memcpy(text + LINE_MAX_LENGTH, "\r\ny\n", 4);
	memcpy(expected + LINE_MAX_LENGTH, "|y|", 4);
	for (size_t chunk = 1; chunk < sizeof text; chunk++)
		assert_string_equal(read_lines(text, LINE_MAX_LENGTH + 4, LINE_MAX_LENGTH, chunk), expected);
	memcpy(text + LINE_MAX_LENGTH, "x\r\ny", 4);
	memcpy(expected + LINE_MAX_LENGTH, ">", 2);
	for (size_t chunk = 1; chunk < sizeof text; chunk++)
		assert_string_equal(read_lines(text, LINE_MAX_LENGTH + 4, LINE_MAX_LENGTH, chunk), expected);
}

static void
a_long_line_is_told_as_soon_as_it_is_too_long(void **state)
{
	struct lines lines = { .limit = 8 };
	const char  *line;
	size_t       length;

	(void)state;
	for (size_t i = 0; i < 8; i++) {
		lines_feed(&lines, "x", 1);
		assert_int_equal(lines_next(&lines, &line, &length), LINE_WAITED_FOR);
	}
	lines_feed(&lines, "x", 1);
	assert_int_equal(lines_next(&lines, &line, &length), LINE_TOO_LONG);
	assert_int_equal(length, 8);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(lines_are_the_same_however_the_text_is_cut),
		cmocka_unit_test(a_line_of_the_most_characters_fits),
		cmocka_unit_test(a_long_line_is_told_as_soon_as_it_is_too_long),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
