#include "values.h"

#include "skimcut/contract.h"
#include "skimcut/job.h"
#include "skimcut/materials.h"
#include "skimcut/text.h"

enum { BYTES = 1 << 18 };

static char    printed[BYTES], again[BYTES];
static json_t *schema;

static int
setup(void **state)
{
	struct text  out = text_over(printed, sizeof printed);
	json_error_t error;

	(void)state;
	if (!contract_json(&out) || out.failed)
		return -1;
	schema = json_loads(text_end(&out), JSON_REJECT_DUPLICATES, &error);
	return schema ? 0 : -1;
}

static int
teardown(void **state)
{
	(void)state;
	json_decref(schema);
	return 0;
}

/* "properties/cut/$ref" and so on; a $ref on the way is followed. */
static const json_t *
found(const char *path)
{
	const json_t *json = schema;
	char          room[256];

	for (const char *from = path; *from;) {
		size_t      length = strcspn(from, "/");
		const char *to;

		snprintf(room, sizeof room, "%.*s", (int)length, from);
		to   = json_string_value(json_object_get(json, "$ref"));
		json = to ? json_object_get(json_object_get(schema, "$defs"), to + strlen("#/$defs/")) : json;
		json = json_is_array(json) ? json_array_get(json, (size_t)atoi(room)) : json_object_get(json, room);
		if (!json)
			fail_msg("there is no %s", path);
		from += length + (from[length] == '/');
	}
	return json;
}

static double
number_at(const char *path)
{
	return json_number_value(found(path));
}

static const char *
text_at(const char *path)
{
	return json_string_value(found(path));
}

static const json_t *
followed(const json_t *json)
{
	const char *to = json_string_value(json_object_get(json, "$ref"));

	return to ? json_object_get(json_object_get(schema, "$defs"), to + strlen("#/$defs/")) : json;
}

/* The mapping's definition inside what stands for a key of it. */
static const json_t *
inner_of(const json_t *json)
{
	const json_t *part;

	if ((part = json_object_get(json, "additionalProperties")) && json_is_object(part))
		return followed(part);
	if ((part = json_object_get(json, "anyOf")))
		return followed(json_array_get(part, 0));
	if ((part = json_object_get(json, "items")))
		return followed(json_object_get(part, "allOf") ? json_array_get(json_object_get(part, "allOf"), 0)
		                                               : part);
	return followed(json);
}

static void
check_mapping(const struct mapping *mapping, const json_t *definition)
{
	const json_t *properties = json_object_get(definition, "properties");

	assert_int_equal(json_object_size(properties), mapping->count);
	assert_true(json_is_false(json_object_get(definition, "additionalProperties")));
	for (size_t i = 0; i < mapping->count; i++) {
		const struct field *field = &mapping->fields[i];
		const json_t       *key   = json_object_get(properties, field->key);
		const char         *said  = json_string_value(json_object_get(key, "description"));

		if (!key || !said || strncmp(said, field->about, strlen(field->about)) != 0)
			fail_msg("%s of %s: '%s'", field->key, mapping->title, said ? said : "nothing");
		for (const struct choice *choice = field->choices; choice && choice->word; choice++) {
			const json_t *one = json_object_get(key, "anyOf")
			                      ? json_array_get(json_object_get(key, "anyOf"), 0)
			                      : key;
			const json_t *word;
			size_t        k;
			bool          found = false;

			json_array_foreach(json_object_get(one, "enum"), k, word)
			    found |= strcmp(json_string_value(word), choice->word) == 0;
			assert_true(found);
		}
		if (field->inner)
			check_mapping(field->inner, inner_of(key));
	}
}

static void
every_key_of_every_mapping_stands_in_it(void **state)
{
	(void)state;
	check_mapping(job_mapping(), schema);
}

static void
it_names_its_draft_and_no_host_of_its_own(void **state)
{
	(void)state;
	assert_string_equal(text_at("$schema"), "https://json-schema.org/draft/2020-12/schema");
	assert_memory_equal(text_at("$id"), "urn:", 4);
	assert_null(strstr(strstr(printed, "$id"), "http"));
}

static void
printing_it_again_gives_the_same_bytes(void **state)
{
	struct text out = text_over(again, sizeof again);

	(void)state;
	assert_true(contract_json(&out));
	assert_string_equal(text_end(&out), printed);
}

/* 2 m is 78.74015748 in: outwards, so that what is just at the limit passes; 5000 m/min is 16404.1995 ft/min. */
static void
limits_of_bare_numbers_are_in_the_units_of_the_file(void **state)
{
	(void)state;
	assert_true(number_at("$defs/the-stock-in-mm/properties/length/maximum") == 2000);
	assert_true(number_at("$defs/the-stock-in-mm/properties/length/minimum") == 1);
	assert_true(number_at("$defs/the-stock-in-inch/properties/length/maximum") == 78.7401575);
	assert_true(number_at("$defs/the-stock-in-inch/properties/length/minimum") == 0.03937);
	assert_true(number_at("$defs/cut-in-mm/properties/cutting_speed/maximum") == 5000);
	assert_true(number_at("$defs/cut-in-inch/properties/cutting_speed/maximum") >= 5000000 / 304.8);
	assert_true(number_at("$defs/cut-in-inch/properties/cutting_speed/maximum") < 5000000 / 304.8 + 0.001);
	assert_true(number_at("$defs/a-clamp-in-mm/properties/x/minimum") == -2000);
	assert_true(number_at("$defs/a-clamp-in-inch/properties/x/minimum") == -78.7401575);
}

static void
limits_that_hang_on_no_units_stand_with_the_key(void **state)
{
	(void)state;
	assert_true(number_at("$defs/a-cutter/properties/teeth/maximum") == 60);
	assert_true(number_at("$defs/a-cutter/properties/entering_angle/minimum") == 10);
	assert_true(number_at("$defs/the-spindle/properties/speeds/items/maximum") == 100000);
	assert_true(number_at("$defs/a-material-of-your-own/properties/mc/minimum") == 0.01);
}

static void
only_numbers_that_may_stand_bare_are_numbers(void **state)
{
	(void)state;
	assert_string_equal(text_at("properties/finished_height/type/0"), "number");
	assert_string_equal(text_at("properties/cut/properties/stepover/type"), "string");
	assert_string_equal(text_at("properties/vise/properties/clamping_force/type"), "string");
	assert_string_equal(text_at("$defs/the-spindle/properties/power/type"), "string");
	assert_string_equal(text_at("$defs/the-spindle/properties/max/type/0"), "integer");
	assert_string_equal(text_at("$defs/hold/properties/safety/type/0"), "number");
}

static void
defaults_are_those_of_the_rows(void **state)
{
	(void)state;
	assert_string_equal(text_at("$defs/cut-in-inch/properties/rough/default"), "50 thou");
	assert_string_equal(text_at("$defs/cut-in-mm/properties/rough/default"), "1.25 mm");
	assert_string_equal(text_at("properties/cut/properties/stepover/default"), "70 %");
	assert_string_equal(text_at("properties/cut/properties/measure/default/1"), "skim");
	assert_true(number_at("$defs/a-cutter/properties/number/default") == 1);
	assert_true(number_at("$defs/hold/properties/safety/default") == 2.5);
}

static void
what_must_be_there_is_what_the_rows_require(void **state)
{
	const json_t *required;

	(void)state;
	assert_string_equal(text_at("required/0"), "units");
	required = found("$defs/the-job-whole/required");
	assert_int_equal(json_array_size(required), 4);
	assert_int_equal(json_array_size(found("$defs/a-cutter-whole/required")), 3);
	/* A list is taken whole from one file, so its items are whole whatever the shop has. */
	assert_int_equal(json_array_size(found("$defs/hold/properties/clamps/items/allOf/1/required")), 5);
}

static void
a_material_is_one_of_the_table_or_a_mapping(void **state)
{
	const json_t *names = found("properties/material/anyOf/1/enum");

	(void)state;
	assert_int_equal(json_array_size(names), materials_count());
	for (size_t i = 0; i < materials_count(); i++)
		assert_string_equal(json_string_value(json_array_get(names, i)), materials_at(i).name);
}

static json_t *
make(const void *context)
{
	struct text out = text_over(again, sizeof again);

	(void)context;
	return contract_json(&out) ? json_string(text_end(&out)) : NULL;
}

static void
memory_that_runs_out_is_said(void **state)
{
	(void)state;
	assert_true(fails_whole(make, NULL) > 1000);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_key_of_every_mapping_stands_in_it),
		cmocka_unit_test(it_names_its_draft_and_no_host_of_its_own),
		cmocka_unit_test(printing_it_again_gives_the_same_bytes),
		cmocka_unit_test(limits_of_bare_numbers_are_in_the_units_of_the_file),
		cmocka_unit_test(limits_that_hang_on_no_units_stand_with_the_key),
		cmocka_unit_test(only_numbers_that_may_stand_bare_are_numbers),
		cmocka_unit_test(defaults_are_those_of_the_rows),
		cmocka_unit_test(what_must_be_there_is_what_the_rows_require),
		cmocka_unit_test(a_material_is_one_of_the_table_or_a_mapping),
		cmocka_unit_test(memory_that_runs_out_is_said),
	};

	return cmocka_run_group_tests(tests, setup, teardown);
}
