#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include "skimcut/finding.h"

static const struct point HERE = { 12 * LENGTH_MM, -3 * LENGTH_MM / 2, 7 };

static void
every_property_has_a_key_and_a_name_of_its_own(void **state)
{
	(void)state;
	for (int i = 0; i < PROPERTIES; i++) {
		assert_true(strlen(PROPERTY_KEYS[i]) >= 4 && !strchr(PROPERTY_KEYS[i], ' '));
		/* The verdict has 62 columns for it. */
		assert_true(strlen(PROPERTY_NAMES[i]) > 10 && strlen(PROPERTY_NAMES[i]) <= 60);
		for (int k = 0; k < i; k++) {
			assert_string_not_equal(PROPERTY_KEYS[i], PROPERTY_KEYS[k]);
			assert_string_not_equal(PROPERTY_NAMES[i], PROPERTY_NAMES[k]);
		}
	}
}

static void
nothing_refused_holds(void **state)
{
	struct findings findings = { .units = UNITS_MM };

	(void)state;
	for (int i = 0; i < PROPERTIES; i++)
		assert_int_equal(findings.of[i].found, FOUND_HOLDS);
}

static void
a_place_is_told_in_the_programs_coordinates(void **state)
{
	struct findings findings = { .line = 41, .units = UNITS_MM, .zero = { 10 * LENGTH_MM, 5 * LENGTH_MM, 99 } };
	const struct finding *finding = &findings.of[PROPERTY_RAPIDS];

	(void)state;
	findings_refuse(&findings, PROPERTY_RAPIDS, &HERE, 310000, "rapid meets stock %s below its top", "0.31 mm");
	assert_int_equal(finding->found, FOUND_REFUSED);
	assert_int_equal(finding->line, 41);
	assert_int_equal(finding->count, 1);
	assert_int_equal(finding->amount, 310000);
	assert_true(finding->placed);
	assert_int_equal(finding->at.x, 2 * LENGTH_MM);
	assert_int_equal(finding->at.y, -13 * LENGTH_MM / 2);
	assert_string_equal(finding->text, "rapid meets stock 0.31 mm below its top at X2.000 Y-6.500");
	findings.units = UNITS_INCH;
	findings_refuse(&findings, PROPERTY_HOLDING, &(struct point){ 10 * LENGTH_MM + LENGTH_INCH, 5 * LENGTH_MM, 0 },
	                1, "meets it");
	assert_string_equal(findings.of[PROPERTY_HOLDING].text, "meets it at X1.0000 Y0.0000");
}

static void
without_a_place_nothing_is_put_behind_the_text(void **state)
{
	struct findings findings = { .line = 3, .units = UNITS_MM };

	(void)state;
	findings_refuse(&findings, PROPERTY_WORDS, NULL, 0, "%s", "100 % of it");
	assert_string_equal(findings.of[PROPERTY_WORDS].text, "100 % of it");
	assert_false(findings.of[PROPERTY_WORDS].placed);
}

static void
only_the_first_line_that_is_refused_is_kept(void **state)
{
	struct findings       findings = { .line = 3, .units = UNITS_MM };
	const struct finding *finding  = &findings.of[PROPERTY_CUTS];

	(void)state;
	findings_refuse(&findings, PROPERTY_CUTS, &HERE, 5, "first");
	findings.line = 4;
	findings_refuse(&findings, PROPERTY_CUTS, NULL, 500, "second");
	assert_string_equal(finding->text, "first at X12.000 Y-1.500");
	assert_int_equal(finding->line, 3);
	assert_int_equal(finding->amount, 5);
	assert_int_equal(finding->count, 2);
	assert_int_equal(findings.of[PROPERTY_MILLING].count, 0);
}

/* Of one line, the worst; and everything about it belongs together. */
static void
of_several_refusals_of_a_line_the_largest_is_kept_whole(void **state)
{
	struct findings       findings = { .line = 3, .units = UNITS_MM };
	const struct finding *finding  = &findings.of[PROPERTY_CUTS];

	(void)state;
	findings_refuse(&findings, PROPERTY_CUTS, &HERE, 5, "first");
	findings_refuse(&findings, PROPERTY_CUTS, &HERE, 4, "smaller");
	assert_string_equal(finding->text, "first at X12.000 Y-1.500");
	findings_refuse(&findings, PROPERTY_CUTS, NULL, 6, "larger");
	assert_string_equal(finding->text, "larger");
	assert_int_equal(finding->amount, 6);
	assert_false(finding->placed);
	assert_int_equal(finding->count, 3);
}

static void
a_text_that_is_too_long_loses_its_end(void **state)
{
	struct findings findings = { .line = 1, .units = UNITS_MM };
	char            long_one[2 * FINDING_TEXT];

	(void)state;
	memset(long_one, 'x', sizeof long_one - 1);
	long_one[sizeof long_one - 1] = '\0';
	findings_refuse(&findings, PROPERTY_WORDS, &HERE, 0, "%s", long_one);
	assert_int_equal(strlen(findings.of[PROPERTY_WORDS].text), FINDING_TEXT - 1);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_property_has_a_key_and_a_name_of_its_own),
		cmocka_unit_test(nothing_refused_holds),
		cmocka_unit_test(a_place_is_told_in_the_programs_coordinates),
		cmocka_unit_test(without_a_place_nothing_is_put_behind_the_text),
		cmocka_unit_test(only_the_first_line_that_is_refused_is_kept),
		cmocka_unit_test(of_several_refusals_of_a_line_the_largest_is_kept_whole),
		cmocka_unit_test(a_text_that_is_too_long_loses_its_end),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
