#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>
#include <string.h>

#include "skimcut/block.h"
#include "skimcut/text.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

static const struct comment_marks ROUND = { "(", ")" }, BRACES = { "{", "}" }, SLASHES = { "//", "" },
				  STARS = { "(*", "*)" }, QUOTES = { "'", "'" }, REMARK = { "REM", "" };

/* From a copy of exactly its size. What was read, "/ X-1.5@3 G1@1", or the fault, "!3 text". */
static const char *
split(const char *line, size_t length, const struct comment_marks *marks)
{
	static char out_text[1024];

	char         copy[512];
	struct text  out   = text_over(out_text, sizeof out_text);
	struct fault fault = { 0 };
	struct block block;

	assert_true(length <= sizeof copy);
	memcpy(copy, line, length);
	memset(copy + length, '7', sizeof copy - length);
	if (!block_split(copy, length, marks, &block, &fault)) {
		text_format(&out, "!%zu %s", fault.column, fault.text);
		return text_end(&out);
	}
	text_string(&out, block.empty ? "empty " : "");
	text_string(&out, block.percent ? "percent " : "");
	text_string(&out, block.deleted ? "/ " : "");
	for (size_t i = 0; i < block.g_count; i++)
		text_format(&out, "%s@%u ", word_show('G', &block.g[i]).text, block.g[i].column);
	for (size_t i = 0; i < block.m_count; i++)
		text_format(&out, "%s@%u ", word_show('M', &block.m[i]).text, block.m[i].column);
	for (char letter = 'A'; letter <= 'Z'; letter++)
		if (letter != 'G' && letter != 'M' && block_word(&block, letter))
			text_format(&out, "%s@%u ", word_show(letter, block_word(&block, letter)).text,
			            block_word(&block, letter)->column);
	if (out.length > 0)
		out.length--;
	return text_end(&out);
}

struct row {
	const char *line, *read; /* a fault's text may go on */
};

static void
expect(const struct row *rows, size_t count, const struct comment_marks *marks)
{
	for (size_t i = 0; i < count; i++) {
		const char *read = split(rows[i].line, strlen(rows[i].line), marks);
		size_t      size = *rows[i].read == '!' ? strlen(rows[i].read) : SIZE_MAX;

		if (strncmp(read, rows[i].read, size) != 0)
			fail_msg("'%s' was read as '%s', not '%s'", rows[i].line, read, rows[i].read);
	}
}

static void
words_may_stand_in_any_case_order_and_spacing(void **state)
{
	static const struct row rows[] = {
		{ "", "empty" },
		{ " \t ", "empty" },
		{ "G1X2.5Y-3", "G1@1 X2.5@3 Y-3@7" },
		{ "y-3 x2.5 g1", "G1@10 X2.5@5 Y-3@1" },
		{ "G 1 X 1 . 5", "G1@1 X1.5@5" },
		{ "\tG1\tX-\t.5 ", "G1@2 X-.5@5" },
		{ "X+1.5", "X1.5@1" },
		{ "X001.50", "X001.50@1" },
		{ "X1.", "X1.@1" },
		{ "X-0.", "X-0.@1" },
		{ "g0g1g2m3m4", "G0@1 G1@3 G2@5 M3@7 M4@9" },
		{ "A1B2C3D4E5F6H7I8J9K1L2", "A1@1 B2@3 C3@5 D4@7 E5@9 F6@11 H7@13 I8@15 J9@17 K1@19 L2@21" },
		{ "N1 P2 Q3 R4 S5 T6 U7 V8 W9 X1 Y2 Z3",
		  "N1@1 P2@4 Q3@7 R4@10 S5@13 T6@16 U7@19 V8@22 W9@25 X1@28 Y2@31 Z3@34" },
	};

	(void)state;
	expect(rows, COUNT(rows), &ROUND);
}

static void
a_number_is_kept_to_its_fifteenth_digit_on_both_sides(void **state)
{
	static const struct {
		const char *line;
		int64_t     whole, fraction;
		int         digits, decimals;
		bool        negative, point;
	} cases[] = {
		{ "X12", 12, 0, 2, 0, false, false },
		{ "X-12.", 12, 0, 2, 0, true, true },
		{ "X.5", 0, INT64_C(500000000000000), 0, 1, false, true },
		{ "X007.250", 7, INT64_C(250000000000000), 3, 3, false, true },
		{ "X999999999999999.999999999999999", INT64_C(999999999999999), INT64_C(999999999999999), 15, 15, false,
		  true },
		{ "X-0.000000000000001", 0, 1, 1, 15, true, true },
	};
	struct block block;
	struct fault fault;

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		const struct number *x;

		assert_true(block_split(cases[i].line, strlen(cases[i].line), NULL, &block, &fault));
		x = block_word(&block, 'X');
		assert_int_equal(x->whole, cases[i].whole);
		assert_int_equal(x->fraction, cases[i].fraction);
		assert_int_equal(x->digits, cases[i].digits);
		assert_int_equal(x->decimals, cases[i].decimals);
		assert_int_equal(x->negative, cases[i].negative);
		assert_int_equal(x->point, cases[i].point);
		assert_string_equal(word_show('X', x).text, cases[i].line);
	}
}

static void
what_is_no_number_is_told_with_the_word_it_stands_in(void **state)
{
	static const struct row rows[] = {
		{ "X", "!1 X: a number is missing" },
		{ "G1 X Y2", "!4 X: a number is missing" },
		{ "X-", "!1 X-: a number is missing" },
		{ "X.", "!1 X.: a number is missing" },
		{ "X-.", "!1 X-.: a number is missing" },
		{ "X(here)1", "!1 X: a number is missing" },
		{ "X1(here)2", "!9 2: a number has a letter before it" },
		{ "X--1", "!3 X--1: a sign stands once" },
		{ "X1-2", "!3 X1-2: a sign stands once" },
		{ "G1 X1.2.3 Y1", "!8 X1.2.3: a number has one point" },
		{ "X..5", "!3 X..5: a number has one point" },
		{ "X1,5", "!3 X1,5: a comma is no decimal point" },
		{ "X1\t,5", "!4 ,5: a comma is no decimal point" },
		{ "1", "!1 1: a number has a letter before it" },
		{ "X#1", "!2 X#1: parameters are not read" },
		{ "#1=2", "!1 #1=2: parameters are not read" },
		{ "X[1+2]", "!2 X[1+2]: expressions are not read" },
		{ "X1 = 2", "!4 X1 =: parameters and expressions are not read" },
		{ "G1 X1*2", "!6 X1*2: checksums" },
		{ "X1 \"", "!4 \" means nothing here" },
		{ "X1@", "!3 @ means nothing here" },
		{ ":1000", "!1 :1000: a number behind a colon is not read" },
	};
	char line[512], expected[64];

	(void)state;
	expect(rows, COUNT(rows), &ROUND);
	for (int digits = 16; digits <= 400; digits += 96) {
		snprintf(line, sizeof line, "G1 Y%0*d.5", digits, 1);
		snprintf(expected, sizeof expected, "!4 Y has a number of %d digits", digits + 1);
		assert_memory_equal(split(line, strlen(line), NULL), expected, strlen(expected));
		snprintf(line, sizeof line, "Y.%0*d", digits, 1);
		snprintf(expected, sizeof expected, "!1 Y has a number of %d digits", digits);
		assert_memory_equal(split(line, strlen(line), NULL), expected, strlen(expected));
	}
}

static void
a_letter_stands_once_save_g_and_m(void **state)
{
	static const struct row rows[] = {
		{ "X1 Y2 X3", "!7 X3: the letter stands twice" },
		{ "N1 N2", "!4 N2: the letter stands twice" },
		{ "M6 M3 M8 M1", "M6@1 M3@4 M8@7 M1@10" },
		{ "M6 M3 M8 M48 M0", "!14 M0: a block has no more than four M words" },
		{ "G0G1G2G3G4G5G6G7G8G9G0G1G2G3G4G5", "G0@1 G1@3 G2@5 G3@7 G4@9 G5@11 G6@13 G7@15 G8@17 G9@19 G0@21 "
		                                      "G1@23 G2@25 G3@27 G4@29 G5@31" },
		{ "G0G1G2G3G4G5G6G7G8G9G0G1G2G3G4G5G6", "!33 G6: a block has no more than 16 G words" },
		{ "G1 N10", "!4 N10: the number of a block" },
		{ "X1 O10", "!4 O10: the number of a block" },
		{ "N1 O10", "!4 O10: the number of a block" },
		{ "O10 N1 G1", "G1@8 N1@5 O10@1" },
		{ "/ O10 N1", "/ N1@7 O10@3" },
	};

	(void)state;
	expect(rows, COUNT(rows), &ROUND);
}

static void
a_comment_ends_where_its_mark_says_and_holds_no_other(void **state)
{
	static const struct row round[] = {
		{ "(c)", "empty" },
		{ "()", "empty" },
		{ "(c) G1 (d)X2(e)", "G1@5 X2@11" },
		{ "G1 ; X2 ( ; \303\244 %", "G1@1" },
		{ ";", "empty" },
		{ "(% ; [1+2] \303\244 { // 'a')", "empty" },
		{ "(a (b) c)", "!4 (: a comment stands inside a comment" },
		{ "G1 (a", "!4 a comment is not closed: a ) is missing" },
		{ "a)", "!2 a): a ) has no ( before it" },
		{ "G1 )", "!4 G1 ): a ) has no ( before it" },
		{ "{c}", "!1 { means nothing here" },
	};
	static const struct row braces[]  = { { "{c}G1{d}", "G1@4" },
		                              { "(c){d};e", "empty" },
		                              { "{a{b}", "!3 {: a comment stands" },
		                              { "{c", "!1 a comment is not closed: a } is missing" } };
	static const struct row slashes[] = { { "G1 // X2", "G1@1" },
		                              { "//c", "empty" },
		                              { "/ G1 // X2", "/ G1@3" },
		                              { "G1 /", "!4 G1 /: a / stands only" } };
	static const struct row stars[]   = { { "(* c ) *)G1", "G1@10" }, { "(c)(* d *)", "empty" } };
	static const struct row quotes[]  = { { "'c'G1'd'", "G1@4" } };
	static const struct row remark[]  = { { "REM c", "empty" }, { "R5 X1", "R5@1 X1@4" }, { "X1REM", "X1@1" } };

	(void)state;
	expect(round, COUNT(round), &ROUND);
	expect(round, COUNT(round), NULL);
	expect(round, COUNT(round), &(struct comment_marks){ NULL, NULL });
	expect(round, COUNT(round), &(struct comment_marks){ ";", "" });
	expect(braces, COUNT(braces), &BRACES);
	expect(slashes, COUNT(slashes), &SLASHES);
	expect(stars, COUNT(stars), &STARS);
	expect(quotes, COUNT(quotes), &QUOTES);
	expect(remark, COUNT(remark), &REMARK);
}

static void
a_percent_is_alone_and_a_slash_is_first(void **state)
{
	static const struct row rows[] = {
		{ "%", "percent" },
		{ " %\t ", "percent" },
		{ "% text", "!1 %: a % stands alone" },
		{ "%%", "!1 %%: a %" },
		{ "G1 %", "!4 G1 %: a % stands alone" },
		{ "% (c)", "!1 %: a %" },
		{ "/%", "!2 %: a %" },
		{ "/", "empty /" },
		{ "/ (c)", "empty /" },
		{ " /N1 G0", "/ G0@6 N1@3" },
		{ "//", "!2 /: a /" },
		{ "N1 / G0", "!4 N1 /: a / stands only at the start" },
		{ "(c)/", "!4 /: a /" },
	};

	(void)state;
	expect(rows, COUNT(rows), &ROUND);
}

/* Outside of a comment only ASCII; nowhere a control character, save the tab. */
static void
every_byte_is_text_or_is_told(void **state)
{
	char line[8], expected[32];

	(void)state;
	for (int byte = 0; byte < 256; byte++) {
		bool control = (byte < ' ' && byte != '\t') || byte == 0x7F;

		snprintf(line, sizeof line, "G1  ");
		line[3] = (char)byte;
		if (byte == '\r')
			snprintf(expected, sizeof expected, "!4 a CR has no LF behind it");
		else if (control)
			snprintf(expected, sizeof expected, "!4 a control character, 0x%02X", (unsigned)byte);
		else if (byte > 0x7E)
			snprintf(expected, sizeof expected, "!4 a byte 0x%02X", (unsigned)byte);
		else
			expected[0] = '\0';
		assert_memory_equal(split(line, 4, &ROUND), expected, strlen(expected));
		for (size_t i = 0; i < 2; i++) {
			const char *read;

			line[3] = "(;"[i];
			line[4] = (char)byte;
			line[5] = i == 0 ? ')' : ' ';
			read    = split(line, 6, &ROUND);
			assert_int_equal(*read == '!', control || (i == 0 && (byte == '(' || byte == ')')));
			if (control)
				assert_memory_equal(read, "!5 a ", 5);
		}
	}
}

static void
the_first_of_some_letters_is_the_leftmost(void **state)
{
	static const char line[] = "Z1 M3 X2 G1 F5";
	struct block      block;
	struct fault      fault;

	(void)state;
	assert_true(block_split(line, strlen(line), NULL, &block, &fault));
	assert_int_equal(block_first(&block, ~0u), 'Z');
	assert_int_equal(block_first(&block, 1u << ('X' - 'A') | 1u << ('F' - 'A') | 1u), 'X');
	assert_int_equal(block_first(&block, 1u << ('G' - 'A') | 1u << ('M' - 'A')), 'M');
	assert_null(block_word(&block, 'Y'));
	assert_false(block_fault(&fault, &block, 1u << ('F' - 'A'), "slow"));
	assert_int_equal(fault.column, 13);
	assert_string_equal(fault.text, "slow");
	assert_false(word_fault(&fault, 'X', block_word(&block, 'X'), "is %d", 2));
	assert_int_equal(fault.column, 7);
	assert_string_equal(fault.text, "X2 is 2");
}

static void
a_fault_longer_than_its_room_is_cut(void **state)
{
	struct fault fault;

	(void)state;
	assert_false(fault_say(&fault, 3, "%0400d", 7));
	assert_int_equal(strlen(fault.text), FAULT_TEXT - 1);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(words_may_stand_in_any_case_order_and_spacing),
		cmocka_unit_test(a_number_is_kept_to_its_fifteenth_digit_on_both_sides),
		cmocka_unit_test(what_is_no_number_is_told_with_the_word_it_stands_in),
		cmocka_unit_test(a_letter_stands_once_save_g_and_m),
		cmocka_unit_test(a_comment_ends_where_its_mark_says_and_holds_no_other),
		cmocka_unit_test(a_percent_is_alone_and_a_slash_is_first),
		cmocka_unit_test(every_byte_is_text_or_is_told),
		cmocka_unit_test(the_first_of_some_letters_is_the_leftmost),
		cmocka_unit_test(a_fault_longer_than_its_room_is_cut),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
