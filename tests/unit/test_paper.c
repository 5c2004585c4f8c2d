#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdbool.h>
#include <string.h>

#include "skimcut/paper.h"
#include "skimcut/text.h"

static char page[8192];

/* What is printed, in `page`. */
#define print(...)                                                                                                     \
	do {                                                                                                           \
		struct text out = text_over(page, sizeof page);                                                        \
                                                                                                                       \
		paper_paragraph(&out, __VA_ARGS__);                                                                    \
		text_end(&out);                                                                                        \
	} while (0)

static size_t
columns_of(const char *line, size_t size)
{
	size_t columns = 0;

	for (size_t i = 0; i < size; i++)
		columns += ((unsigned char)line[i] & 0xC0) != 0x80;
	return columns;
}

/* Every line ends, none is wider than the page, none begins or ends with a blank behind the margin. */
static void
expect_paragraph(void)
{
	for (const char *line = page; *line;) {
		size_t size = strcspn(line, "\n");

		assert_int_equal(line[size], '\n');
		assert_true(columns_of(line, size) <= PAPER_COLUMNS);
		assert_true(size > PAPER_MARGIN);
		assert_int_not_equal(line[PAPER_MARGIN], ' ');
		assert_int_not_equal(line[size - 1], ' ');
		if (line > page)
			assert_int_equal(strspn(line, " "), PAPER_MARGIN);
		line += size + 1;
	}
}

static void
a_short_text_stands_beside_its_label(void **state)
{
	(void)state;
	print("Time", "%d:%02d in the cut", 4, 12);
	assert_string_equal(page, "Time          4:12 in the cut\n");
	print("", "and more");
	assert_string_equal(page, "              and more\n");
}

static void
a_long_text_is_broken_between_words(void **state)
{
	(void)state;
	print("Note", "%s",
	      "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen");
	assert_string_equal(page, "Note          one two three four five six seven eight nine ten eleven twelve\n"
	                          "              thirteen fourteen fifteen sixteen\n");
	expect_paragraph();
}

/* 64 columns: a word that just fits, and one that does not. */
static void
a_line_is_filled_to_its_last_column(void **state)
{
	char text[80];

	(void)state;
	for (size_t length = 60; length <= 64; length++) {
		memset(text, 'x', length);
		memcpy(text + length, " y", 3);
		print("", "%s", text);
		expect_paragraph();
		assert_int_equal(strcspn(page, "\n"), PAPER_MARGIN + (length <= 62 ? length + 2 : length));
	}
}

static void
a_word_longer_than_a_line_is_cut_in_pieces(void **state)
{
	char text[400];

	(void)state;
	for (size_t length = 65; length < 390; length += 13) {
		size_t found = 0;

		memset(text, 'x', length);
		text[length] = '\0';
		print("", "a %s b", text);
		expect_paragraph();
		for (const char *c = page; *c; c++)
			found += *c == 'x';
		assert_int_equal(found, length);
	}
}

/* Letters of two to four bytes take one column, and are never cut. */
static void
columns_are_letters_and_not_bytes(void **state)
{
	static const char *const LETTERS[] = { "\xC3\xBC", "\xE2\x82\xAC", "\xF0\x9F\x94\xA9" };
	char                     text[900];

	(void)state;
	for (size_t i = 0; i < 3; i++) {
		struct text letters = text_over(text, sizeof text);

		for (int k = 0; k < 150; k++)
			text_string(&letters, LETTERS[i]);
		print("", "%s", text_end(&letters));
		expect_paragraph();
		for (const char *line = page; *line; line += strcspn(line, "\n") + 1)
			assert_int_equal((strcspn(line, "\n") - PAPER_MARGIN) % strlen(LETTERS[i]), 0);
	}
}

static void
what_is_not_fit_for_a_terminal_is_not_printed(void **state)
{
	static const char *const TEXTS[] = { "a\x1B[31mb", "a\nb\rc",      "tab\tbed", "bad \xC3 end",
		                             "\xFF\xFE",   "\xC2\x9B[31m", "\x7F" };

	(void)state;
	for (size_t i = 0; i < sizeof TEXTS / sizeof TEXTS[0]; i++) {
		size_t lines = 0;

		print("Name", "is %s!", TEXTS[i]);
		for (const unsigned char *c = (const unsigned char *)page; *c; c++) {
			lines += *c == '\n';
			assert_true(*c == '\n' || (*c >= ' ' && *c != 0x7F));
			assert_false(*c == 0xC2 && c[1] < 0xA0);
			assert_false(*c >= 0xF8);
		}
		assert_int_equal(lines, 1);
	}
}

static void
nothing_to_say_is_a_label_and_a_line(void **state)
{
	(void)state;
	print("Empty", "%s", "");
	assert_string_equal(page, "Empty         \n");
	print("Blank", "%s", "   ");
	assert_string_equal(page, "Blank         \n");
}

static void
durations_are_told_to_the_next_whole_second(void **state)
{
	static const struct {
		double      seconds;
		const char *shown;
	} CASES[] = {
		{ 0, "0:00" },           { 0.001, "0:01" },       { 1, "0:01" },       { 59, "0:59" },
		{ 59.2, "1:00" },        { 60, "1:00" },          { 61.5, "1:02" },    { 750, "12:30" },
		{ 3599, "59:59" },       { 3599.5, "1:00:00" },   { 3600, "1:00:00" }, { 3723, "1:02:03" },
		{ 360000, "100:00:00" }, { 86399.9, "24:00:00" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++)
		assert_string_equal(paper_duration(CASES[i].seconds).text, CASES[i].shown);
}

static const char *
said(enum paper_kind kind, const char *label, const char *words)
{
	struct text        out   = text_over(page, sizeof page);
	const struct paper paper = { &out, kind };

	paper_say(&paper, label, "%s", words);
	assert_false(out.failed);
	return text_end(&out);
}

static void
plain_paper_is_a_plain_page(void **state)
{
	static const struct {
		const char *label, *words;
	} CASES[] = {
		{ "Time", "4:12 in the cut" },
		{ "", "and more" },
		{ "Name", "a <b> & \"c\"" },
		{ "Note",
		  "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen" },
		{ "Empty", "" },
	};
	char other[sizeof page];

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		memcpy(other, said(PAPER_PLAIN, CASES[i].label, CASES[i].words), sizeof other);
		print(CASES[i].label, "%s", CASES[i].words);
		assert_string_equal(other, page);
	}
}

static void
markup_is_a_term_and_what_is_said_of_it(void **state)
{
	(void)state;
	assert_string_equal(said(PAPER_MARKUP, "Time", "4:12 in the cut"), "<dt>Time</dt>\n<dd>4:12 in the cut</dd>\n");
	/* Without a label it is said of the term before. */
	assert_string_equal(said(PAPER_MARKUP, "", "and more"), "<dd>and more</dd>\n");
	/* Lines are the browser's to break. */
	said(PAPER_MARKUP, "",
	     "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen "
	     "seventeen");
	assert_ptr_equal(strchr(page, '\n'), page + strlen(page) - 1);
}

static void
nobodys_words_are_markup(void **state)
{
	(void)state;
	assert_string_equal(said(PAPER_MARKUP, "<b>", "</dd><script>&\"'\n\x1B\xFF"),
	                    "<dt>&lt;b&gt;</dt>\n<dd>&lt;/dd&gt;&lt;script&gt;&amp;&quot;&#39;  </dd>\n");
}

/* A sentence is at most 1023 bytes before it is escaped; the tags close in any case. */
static void
a_term_closes_whatever_is_said_of_it(void **state)
{
	char words[3000];

	(void)state;
	for (size_t length = 1000; length < sizeof words; length += 37) {
		size_t size;

		memset(words, '&', length);
		words[length] = '\0';
		size          = strlen(said(PAPER_MARKUP, "Name", words));
		assert_memory_equal(page, "<dt>Name</dt>\n<dd>&amp;", 23);
		assert_string_equal(page + size - 11, "&amp;</dd>\n");
	}
}

static void
a_short_table_is_whole_and_a_long_one_keeps_both_ends(void **state)
{
	(void)state;
	for (int64_t count = 1; count <= 60; count++) {
		int64_t kept = 0;

		for (int64_t i = 0; i < count; i++)
			kept += paper_keeps(i, count);
		assert_int_equal(kept, count <= PAPER_ROWS ? count : 2 * PAPER_KEPT);
		assert_true(paper_keeps(0, count) && paper_keeps(count - 1, count));
	}
	assert_true(paper_keeps(7, 10000));
	assert_false(paper_keeps(8, 10000));
	assert_false(paper_keeps(9991, 10000));
	assert_true(paper_keeps(9992, 10000));
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_short_text_stands_beside_its_label),
		cmocka_unit_test(a_long_text_is_broken_between_words),
		cmocka_unit_test(a_line_is_filled_to_its_last_column),
		cmocka_unit_test(a_word_longer_than_a_line_is_cut_in_pieces),
		cmocka_unit_test(columns_are_letters_and_not_bytes),
		cmocka_unit_test(what_is_not_fit_for_a_terminal_is_not_printed),
		cmocka_unit_test(nothing_to_say_is_a_label_and_a_line),
		cmocka_unit_test(a_short_table_is_whole_and_a_long_one_keeps_both_ends),
		cmocka_unit_test(durations_are_told_to_the_next_whole_second),
		cmocka_unit_test(plain_paper_is_a_plain_page),
		cmocka_unit_test(markup_is_a_term_and_what_is_said_of_it),
		cmocka_unit_test(nobodys_words_are_markup),
		cmocka_unit_test(a_term_closes_whatever_is_said_of_it),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
