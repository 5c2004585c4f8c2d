#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdbool.h>
#include <string.h>

#include "skimcut/text.h"

struct bin {
	char   bytes[256];
	size_t length, limit;
};

static bool
to_bin(struct text *text)
{
	struct bin *bin = text->context;

	if (bin->length + text->length > bin->limit)
		return false;
	memcpy(bin->bytes + bin->length, text->data, text->length);
	bin->length += text->length;
	text->length = 0;
	return true;
}

static void
what_does_not_fit_fails_and_stays_failed(void **state)
{
	char        room[4];
	struct text text = text_over(room, sizeof room);

	(void)state;
	text_string(&text, "abcd");
	assert_false(text.failed);
	text_char(&text, 'e');
	assert_true(text.failed);
	assert_false(text_flush(&text));
	assert_string_equal(text_end(&text), "abc");
	text = text_over(room, 0);
	assert_string_equal(text_end(&text), "");
}

static void
a_stream_passes_everything_on_in_order(void **state)
{
	char        room[3];
	struct bin  bin  = { .limit = sizeof bin.bytes };
	struct text text = text_over(room, sizeof room);

	(void)state;
	text.drain   = to_bin;
	text.context = &bin;
	text_string(&text, "one");
	text_format(&text, " %d %s", 22, "three");
	text_repeat(&text, '=', 5);
	text_format(&text, "%d", -7);
	assert_true(text_flush(&text));
	assert_int_equal(bin.length, strlen("one 22 three=====-7"));
	assert_memory_equal(bin.bytes, "one 22 three=====-7", bin.length);
}

static void
a_stream_that_cannot_write_fails_once_and_for_all(void **state)
{
	char        room[3];
	struct bin  bin  = { .limit = 4 };
	struct text text = text_over(room, sizeof room);

	(void)state;
	text.drain   = to_bin;
	text.context = &bin;
	text_string(&text, "abcdefghij");
	assert_true(text.failed);
	assert_int_equal(bin.length, 3);
	text_string(&text, "k");
	assert_false(text_flush(&text));
	assert_int_equal(bin.length, 3);
}

static void
somebody_elses_text_is_cleaned_and_cut_at_characters(void **state)
{
	static const struct {
		const char *raw, *clean;
		size_t      columns;
	} cases[] = {
		{ "plain", "plain", 80 },
		{ "a\tb\nc\x1b[31m\x7f", "a b c [31m ", 80 },
		{ "caf\xc3\xa9s", "caf\xc3\xa9", 4 },
		{ "\xe2\x82\xac\xf0\x9f\x94\xa7!", "\xe2\x82\xac\xf0\x9f\x94\xa7", 2 },
		{ "a\xffz\xc3", "az", 80 }, /* no UTF-8 at all, and cut short */
		{ "a\xc2\x9bz", "az", 80 }, /* U+009B, which terminals obey */
		{ "a\xc0\xafz", "az", 80 }, /* too long a form of a slash */
		{ "a\xe2\x82", "a", 80 },
		{ "", "", 3 },
		{ "abc", "", 0 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		char        room[64];
		struct text text = text_over(room, sizeof room);

		text_clean(&text, cases[i].raw, cases[i].columns);
		assert_string_equal(text_end(&text), cases[i].clean);
	}
}

static void
a_guess_is_near_or_there_is_none(void **state)
{
	static const char *const keys[] = {
		"title", "material", "stock", "finished_height", "cut", "cutter", "cutters"
	};
	static const struct {
		const char *word, *best;
	} cases[] = {
		{ "titel", "title" },
		{ "Title", "title" },
		{ "materal", "material" },
		{ "finishedheight", "finished_height" },
		{ "cuter", "cutter" },
		{ "cutterz", "cutter" },
		{ "stok", "stock" },
		{ "x", NULL },
		{ "temperature", NULL },
		{ "", NULL },
		{ "a word that is longer than any key of any file could ever be, and then some", NULL },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct guess guess = guess_for(cases[i].word);

		for (size_t j = 0; j < sizeof keys / sizeof keys[0]; j++)
			guess_offer(&guess, keys[j]);
		if (cases[i].best)
			assert_string_equal(guess.best, cases[i].best);
		else
			assert_null(guess.best);
	}
}

/* Forms that are too long, halves of UTF-16 pairs and what lies past U+10FFFF are not UTF-8; their neighbours are. */
static void
what_only_looks_like_utf8_is_dropped(void **state)
{
	static const struct {
		const char *raw;
		bool        kept;
	} cases[] = {
		{ "\xc2\xa0", true },          { "\xdf\xbf", true },          { "\xe0\xa0\x80", true },
		{ "\xed\x9f\xbf", true },      { "\xee\x80\x80", true },      { "\xf0\x90\x80\x80", true },
		{ "\xf4\x8f\xbf\xbf", true },  { "\xc1\xbf", false },         { "\xe0\x80\xaf", false },
		{ "\xe0\x9f\xbf", false },     { "\xed\xa0\x80", false },     { "\xed\xbf\xbf", false },
		{ "\xf0\x80\x80\xaf", false }, { "\xf0\x8f\xbf\xbf", false }, { "\xf4\x90\x80\x80", false },
		{ "\xf5\x80\x80\x80", false },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		char        room[64];
		struct text text = text_over(room, sizeof room);

		text_clean(&text, cases[i].raw, 80);
		if (strcmp(text_end(&text), cases[i].kept ? cases[i].raw : "") != 0)
			fail_msg("case %zu: %zu bytes", i, text.length);
	}
}

static void
a_format_of_more_than_1023_bytes_loses_its_end(void **state)
{
	char        room[2048], lengthy[1501];
	struct text text = text_over(room, sizeof room);

	(void)state;
	memset(lengthy, 'a', 1500);
	lengthy[1500] = '\0';
	text_format(&text, "%s", lengthy);
	assert_int_equal(text.length, 1023);
	assert_false(text.failed);
	text_format(&text, "%d", 7);
	assert_int_equal(text_end(&text)[1023], '7');
}

static void
near_is_a_third_of_the_letters_and_never_over_48(void **state)
{
	static const struct {
		const char *word, *candidate;
		bool        near;
	} cases[] = {
		{ "ab", "ac", true },
		{ "ab", "cd", false },
		{ "ab", "ba", true },
		{ "abcdef", "abcdxy", true },
		{ "abcdef", "abcxyz", false },
		{ "abcdef", "abcd", true },
		{ "abcdef", "abcdefgh", true },
		{ "abcdef", "abcdefghi", false },
		{ "abcdef", "badcef", true },
		{ "ABCDEF", "abcdef", true },
		{ "aaaaaaaaaaaabbbbbbbbbbbbccccccccccccdddddddddddd",
		  "aaaaaaaaaaaabbbbbbbbbbbbccccccccccccdddddddddddx", true },
		{ "aaaaaaaaaaaabbbbbbbbbbbbccccccccccccddddddddddddd",
		  "aaaaaaaaaaaabbbbbbbbbbbbccccccccccccdddddddddddd", false },
		{ "aaaaaaaaaaaabbbbbbbbbbbbccccccccccccdddddddddddd",
		  "aaaaaaaaaaaabbbbbbbbbbbbccccccccccccddddddddddddd", false },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct guess guess = guess_for(cases[i].word);

		guess_offer(&guess, cases[i].candidate);
		if ((guess.best != NULL) != cases[i].near)
			fail_msg("'%s' and '%s'", cases[i].word, cases[i].candidate);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(what_does_not_fit_fails_and_stays_failed),
		cmocka_unit_test(a_stream_passes_everything_on_in_order),
		cmocka_unit_test(a_stream_that_cannot_write_fails_once_and_for_all),
		cmocka_unit_test(somebody_elses_text_is_cleaned_and_cut_at_characters),
		cmocka_unit_test(a_guess_is_near_or_there_is_none),
		cmocka_unit_test(what_only_looks_like_utf8_is_dropped),
		cmocka_unit_test(a_format_of_more_than_1023_bytes_loses_its_end),
		cmocka_unit_test(near_is_a_third_of_the_letters_and_never_over_48),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
