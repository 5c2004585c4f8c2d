#include "planning.h"

#include "skimcut/caution.h"
#include "skimcut/summary.h"

/* What every default comment may hold, small letters counted as capitals. */
static const char LETTERS[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789 .,:+-/=";

static bool
any_says(const char *const *sentences, size_t count, const char *part)
{
	for (size_t i = 0; i < count; i++)
		if (strstr(sentences[i], part))
			return true;
	return false;
}

static void
what_can_hurt_is_named(void **state)
{
	static const char *const parts[] = {
		"Eye protection", "gloves", "guard", "Chips", "vise", "manual", "licensed"
	};

	(void)state;
	for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++)
		if (!any_says(CAUTIONS, CAUTION_COUNT, parts[i]))
			fail_msg("no caution says '%s'", parts[i]);
	assert_true(any_says(PROGRAM_CAUTIONS, PROGRAM_CAUTION_COUNT, "zero"));
	assert_true(any_says(PROGRAM_CAUTIONS, PROGRAM_CAUTION_COUNT, "above the work"));
	assert_true(any_says(PROGRAM_CAUTIONS, PROGRAM_CAUTION_COUNT, "manual"));
}

static void
a_caution_is_a_sentence_of_printable_letters(void **state)
{
	(void)state;
	for (size_t i = 0; i < CAUTION_COUNT; i++) {
		size_t length = strlen(CAUTIONS[i]);

		assert_true(length > 20 && length < 300);
		assert_int_equal(CAUTIONS[i][length - 1], '.');
		for (const char *c = CAUTIONS[i]; *c; c++)
			assert_true(*c >= ' ' && *c <= '~');
		assert_null(strstr(CAUTIONS[i], "  "));
	}
}

/* The shortest comments of a shipped dialect hold 60 characters. */
static void
a_programs_caution_fits_every_comment_whole(void **state)
{
	(void)state;
	assert_true(PROGRAM_CAUTION_COUNT > 0 && PROGRAM_CAUTION_COUNT <= SUMMARY_HEADING_LINES - 5);
	for (size_t i = 0; i < PROGRAM_CAUTION_COUNT; i++) {
		assert_true(strlen(PROGRAM_CAUTIONS[i]) <= 60);
		assert_int_equal(strspn(PROGRAM_CAUTIONS[i], LETTERS), strlen(PROGRAM_CAUTIONS[i]));
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(what_can_hurt_is_named),
		cmocka_unit_test(a_caution_is_a_sentence_of_printable_letters),
		cmocka_unit_test(a_programs_caution_fits_every_comment_whole),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
