#include "planning.h"

#include <stdlib.h>

#include "skimcut/markup.h"

static char page[1 << 20];

static const char *
marked(const char *string)
{
	struct text out = text_over(page, sizeof page);

	markup_text(&out, string);
	assert_false(out.failed);
	return text_end(&out);
}

static const char *const ENTITIES[] = { "&amp;", "&lt;", "&gt;", "&quot;", "&#39;" };
static const char        MEANT[]    = "&<>\"'";

/* What a browser shows of it; every & begins one of five entities, whole, and nothing else is markup. */
static size_t
shown_of(const char *markup, char *out)
{
	size_t size = 0;

	while (*markup) {
		size_t k = 0;

		assert_null(strchr("<>\"'", *markup));
		if (*markup != '&') {
			out[size++] = *markup++;
			continue;
		}
		while (k < 5 && strncmp(markup, ENTITIES[k], strlen(ENTITIES[k])) != 0)
			k++;
		if (k == 5)
			fail_msg("not an entity: %.12s", markup);
		out[size++] = MEANT[k];
		markup += strlen(ENTITIES[k]);
	}
	out[size] = '\0';
	return size;
}

static void
the_five_that_mean_something_are_told_as_entities(void **state)
{
	static const struct {
		const char *text, *markup;
	} CASES[] = {
		{ "", "" },
		{ "pad, 6 x 2-1/2", "pad, 6 x 2-1/2" },
		{ "<script>alert(1)</script>", "&lt;script&gt;alert(1)&lt;/script&gt;" },
		{ "\" onload=\"x", "&quot; onload=&quot;x" },
		{ "' onload='x", "&#39; onload=&#39;x" },
		{ "a & b", "a &amp; b" },
		{ "&lt;", "&amp;lt;" },
		{ "&#60;b&#62;", "&amp;#60;b&amp;#62;" },
		{ "]]><!--x-->", "]]&gt;&lt;!--x--&gt;" },
		{ "<![CDATA[", "&lt;![CDATA[" },
		{ "?>", "?&gt;" },
		{ "javascript:x()", "javascript:x()" },
		{ "100 % `of` $it{}", "100 % `of` $it{}" },
		{ "\xC3\xBC \xE2\x82\xAC \xF0\x9F\x94\xA9", "\xC3\xBC \xE2\x82\xAC \xF0\x9F\x94\xA9" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++)
		assert_string_equal(marked(CASES[i].text), CASES[i].markup);
}

/* Controls become blanks; bytes that are no UTF-8 are dropped, and what stands between them is escaped all the same. */
static void
what_is_not_fit_for_a_page_is_not_on_it(void **state)
{
	static const struct {
		const char *text, *markup;
	} CASES[] = {
		{ "a\tb\nc\rd", "a b c d" },
		{ "a\x1B[31m\x7F", "a [31m " },
		{ "\x01\x08\x0B\x0C\x1F!", "     !" },
		{ "bad \xC3 end", "bad  end" },
		{ "\xFF\xFE\x80\xBF|", "|" },
		{ "\xC2\x9B|", "|" },         /* a control of two bytes */
		{ "\xC0\xBC|", "|" },         /* < in a form longer than needed */
		{ "\xE0\x80\xBC|", "|" },     /* the same, longer still */
		{ "\xED\xA0\x80|", "|" },     /* half of a pair */
		{ "\xF4\x90\x80\x80|", "|" }, /* beyond the last character */
		{ "\xE2\x82", "" },           /* a character that does not end */
		{ "\xE2\x82<b>", "&lt;b&gt;" },
		{ "<\xC3>", "&lt;&gt;" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++)
		assert_string_equal(marked(CASES[i].text), CASES[i].markup);
}

/* XML 1.0, section 2.2: these two are no characters, and a reader of SVG stops at them. */
static void
what_xml_does_not_know_as_a_character_is_not_there(void **state)
{
	(void)state;
	assert_string_equal(marked("a\xEF\xBF\xBE"
	                           "b"),
	                    "ab");
	assert_string_equal(marked("a\xEF\xBF\xBF"
	                           "b"),
	                    "ab");
	assert_string_equal(marked("a\xEF\xBF\xBD"
	                           "b"),
	                    "a\xEF\xBF\xBD"
	                    "b");
}

static bool
is_utf8(const char *text)
{
	char        again[65536];
	struct text out = text_over(again, sizeof again);

	text_clean(&out, text, SIZE_MAX);
	return strcmp(text_end(&out), text) == 0;
}

/* Text of every length about the most that is kept, with something to escape or of several bytes where it is cut. */
static void
a_very_long_text_is_cut_and_never_inside_an_entity_or_a_character(void **state)
{
	static const char *const PIECES[] = {
		"&", "<>", "\"", "'x", "x", "\xC3\xBC", "\xE2\x82\xAC", "\xF0\x9F\x94\xA9", "a&\xE2\x82\xAC"
	};
	char *text = malloc(20000), *shown = malloc(20000);

	(void)state;
	assert_true(text && shown);
	for (size_t i = 0; i < sizeof PIECES / sizeof PIECES[0]; i++)
		for (size_t size = 4060; size < 4140; size++) {
			struct text out = text_over(text, size + 1);
			size_t      kept;

			text_string(&out, "0123"); /* so that no piece stands where its size would like to */
			text_repeat(&out, 'y', i % 3);
			while (out.length + strlen(PIECES[i]) <= size)
				text_string(&out, PIECES[i]);
			text_end(&out);
			kept = shown_of(marked(text), shown);
			if (!is_utf8(page))
				fail_msg("piece %zu, %zu bytes: cut inside a character", i, size);
			assert_memory_equal(shown, text, kept);
			assert_true(kept == strlen(text) || kept >= 4000);
		}
	free(text);
	free(shown);
}

static void
a_hundred_thousand_bytes_do_no_harm(void **state)
{
	char *text = malloc(100001), *shown = malloc(100001);

	(void)state;
	assert_true(text && shown);
	memset(text, '&', 100000);
	text[100000] = '\0';
	assert_true(shown_of(marked(text), shown) >= 4000);
	free(text);
	free(shown);
}

static void
whatever_is_written_is_nothing_but_text(void **state)
{
	static const char LIKELY[] = "<>&\"'/=;#x!-[]?\\\n\t ";
	uint64_t          random   = 2654435761;
	char              text[400], clean[400], shown[4096];

	(void)state;
	for (int i = 0; i < 5000; i++) {
		const uint64_t seed = random;
		size_t         size = (size_t)random_between(&random, 0, 300);
		struct text    out  = text_over(clean, sizeof clean);

		for (size_t k = 0; k < size; k++)
			text[k] = random_chance(&random, 2) ? LIKELY[random_between(&random, 0, sizeof LIKELY - 2)]
			                                    : (char)random_between(&random, 1, 255);
		text[size] = '\0';
		text_clean(&out, text, SIZE_MAX);
		shown_of(marked(text), shown);
		holds(seed, is_utf8(page));
		holds(seed, strcmp(shown, text_end(&out)) == 0);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_five_that_mean_something_are_told_as_entities),
		cmocka_unit_test(what_is_not_fit_for_a_page_is_not_on_it),
		cmocka_unit_test(what_xml_does_not_know_as_a_character_is_not_there),
		cmocka_unit_test(a_very_long_text_is_cut_and_never_inside_an_entity_or_a_character),
		cmocka_unit_test(a_hundred_thousand_bytes_do_no_harm),
		cmocka_unit_test(whatever_is_written_is_nothing_but_text),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
