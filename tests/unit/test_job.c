#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include "skimcut/job.h"
#include "skimcut/quantity.h"
#include "skimcut/text.h"
#include "skimcut/yaml.h"

static void
every_choice_has_its_word(void **state)
{
	(void)state;
	assert_string_equal(job_word(EDGE_KINDS, EDGE_HSS), "hss");
	assert_string_equal(job_word(CUTTER_KINDS, CUTTER_FLY_CUTTER), "fly cutter");
	assert_string_equal(job_word(ZERO_YS, ZERO_CENTRE_Y), "centre");
	assert_string_equal(job_word(EDGE_KINDS, 99), "");
	assert_string_equal(job_phrase(ZERO_ZS, ZERO_TOP), "the top of the stock");
	assert_string_equal(job_phrase(COOLANTS, COOLANT_FLOOD), "");
	assert_string_equal(job_phrase(COOLANTS, 99), "");
	assert_string_equal(job_mapping()->title, "the job");
}

static const struct field *
field_of(const struct mapping *mapping, const char *key)
{
	for (size_t i = 0; i < mapping->count; i++)
		if (strcmp(mapping->fields[i].key, key) == 0)
			return &mapping->fields[i];
	fail_msg("no '%s' in %s", key, mapping->title);
	return NULL;
}

/* A corner is counted from the stock's and may lie to either side of it; a size or a force is more than nothing. */
static void
only_a_clamps_corner_may_be_negative(void **state)
{
	const struct mapping *clamp = field_of(field_of(job_mapping(), "hold")->inner, "clamps")->inner;

	(void)state;
	assert_int_equal(clamp->size, sizeof(struct clamp));
	for (size_t i = 0; i < clamp->count; i++) {
		const struct field *field = &clamp->fields[i];

		assert_int_equal(field->required, strcmp(field->key, "force") != 0);
		assert_int_equal(field->least[0] == '-', strcmp(field->key, "x") == 0 || strcmp(field->key, "y") == 0);
	}
}

static void
levels_are_equal_unless_the_job_says_any(void **state)
{
	const struct field *levels = field_of(field_of(job_mapping(), "cut")->inner, "levels");

	(void)state;
	assert_string_equal(levels->standard, job_word(levels->choices, LEVELS_EQUAL));
	assert_string_equal(job_word(levels->choices, LEVELS_ANY), "any");
	assert_int_equal(LEVELS_EQUAL, 0);
}

static int64_t
value_of(const struct field *field, const char *written)
{
	enum quantity quantity = schema_quantity(field->kind);
	char          room[256];
	struct text   why   = text_over(room, sizeof room);
	int64_t       value = 0;

	if (!quantity_parse(quantity, written, UNITS_NONE, &value, &why))
		fail_msg("%s: %s", field->key, text_end(&why));
	return value;
}

static void
mapping_check(const struct mapping *mapping)
{
	for (size_t i = 0; i < mapping->count; i++) {
		const struct field *field = &mapping->fields[i];
		int64_t             least = field->least ? value_of(field, field->least) : INT64_MIN;
		int64_t             most  = field->most ? value_of(field, field->most) : INT64_MAX;

		assert_true(strlen(field->about) > 0);
		assert_true(field->offset + sizeof(int) <= mapping->size);
		assert_true(least <= most);
		assert_false(field->required && field->standard);
		if (field->inner)
			mapping_check(field->inner);
		if ((int)field->kind > (int)FIELD_COUNT || !field->standard)
			continue;
		assert_in_range(value_of(field, field->standard), least < 0 ? 0 : least, most);
		if (field->standard_mm)
			assert_in_range(value_of(field, field->standard_mm), least < 0 ? 0 : least, most);
	}
}

static void
limits_and_defaults_of_every_row_can_be_read_and_agree(void **state)
{
	(void)state;
	mapping_check(job_mapping());
}

/* A machine that nobody described is no machine with handles, whatever its kind would be by default. */
static void
handles_are_there_where_a_manual_machine_is_described(void **state)
{
	const struct node node = { 0 };
	struct job        job  = { .machine = { .kind = MACHINE_MANUAL } };

	(void)state;
	assert_false(job_is_manual(&job));
	job.machine.bound.node = &node;
	assert_true(job_is_manual(&job));
	job.machine.kind = MACHINE_CNC;
	assert_false(job_is_manual(&job));
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_choice_has_its_word),
		cmocka_unit_test(only_a_clamps_corner_may_be_negative),
		cmocka_unit_test(handles_are_there_where_a_manual_machine_is_described),
		cmocka_unit_test(levels_are_equal_unless_the_job_says_any),
		cmocka_unit_test(limits_and_defaults_of_every_row_can_be_read_and_agree),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
