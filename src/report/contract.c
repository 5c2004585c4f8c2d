#include "skimcut/contract.h"

#include <stdlib.h>
#include <string.h>

#include "skimcut/job.h"
#include "skimcut/json.h"
#include "skimcut/materials.h"
#include "skimcut/numeral.h"
#include "skimcut/quantity.h"
#include "skimcut/schema.h"
#include "skimcut/text.h"

/*
 * The rows make four trees of definitions, one definition to a mapping. KEYS says which keys there are and what a value looks like.
 * MM and INCH hold bare numbers to their limits, for one system of units each. WHOLE says what must be there: of the whole of it a
 * job that names a shop is let off, because the shop may give any of it.
 */
enum tree { TREE_KEYS, TREE_MM, TREE_INCH, TREE_WHOLE, TREES };

enum { TEXT_BYTES = 4096, INDENT = 1, DIGITS = 15 };

static const char *const SUFFIXES[TREES] = { "", "-in-mm", "-in-inch", "-whole" };

static json_t *root_json(json_t *definitions);
static json_t *conditions_json(json_t *definitions);
static json_t *units_condition(json_t *definitions, const char *word, enum tree tree);
static json_t *whole_condition(json_t *definitions);
static json_t *if_then(json_t *condition, json_t *consequence);
static json_t *has(const char *key);
static json_t *reference(json_t *definitions, const struct mapping *mapping, enum tree tree);
static bool    speaks(const struct mapping *mapping, enum tree tree);
static bool    field_speaks(const struct field *field, enum tree tree);
static json_t *with_keys(json_t *json, json_t *definitions, const struct mapping *mapping);
static json_t *key_json(json_t *definitions, const struct field *field);
static json_t *named_json(json_t *definitions, const struct field *field);
static json_t *items_json(json_t *definitions, const struct mapping *inner);
static json_t *described(json_t *json, const struct field *field);
static void    description_print(const struct field *field, struct text *out);
static json_t *default_json(const struct field *field);
static json_t *rest_json(json_t *definitions, const struct mapping *mapping, enum tree tree);
static json_t *rest_key_json(json_t *definitions, const struct field *field, enum tree tree);
static json_t *choice_json(const struct field *field);
static json_t *materials_json(void);
static json_t *array_of(json_t *items);
static json_t *object_of(json_t *values);
static json_t *typed(const char *name);
static json_t *scalar(bool also_none);
static json_t *just(const char *key, json_t *value);
static json_t *one(json_t *item);
static json_t *two(json_t *first, json_t *second);

bool
contract_json(struct text *out)
{
	json_t *definitions = json_object(), *root = root_json(definitions);

	return json_print(json_with(root, "$defs", definitions), INDENT, DIGITS, out);
}

static json_t *
root_json(json_t *definitions)
{
	json_t *root = json_make((const struct member[]){
	    { "$schema", json_string("https://json-schema.org/draft/2020-12/schema") },
	    { "$id", json_string("urn:skimcut:job:1") },
	    { "description", json_string("a job for skimcut, or a shop's file") },
	    JSON_END,
	});

	root = with_keys(root, definitions, job_mapping());
	root = json_with(root, "required", one(json_string("units")));
	return json_with(root, "allOf", conditions_json(definitions));
}

static json_t *
conditions_json(json_t *definitions)
{
	json_t *conditions = json_array();

	conditions = json_add(conditions, units_condition(definitions, job_word(UNITS_WORDS, UNITS_MM), TREE_MM));
	conditions = json_add(conditions, units_condition(definitions, job_word(UNITS_WORDS, UNITS_INCH), TREE_INCH));
	return json_add(conditions, whole_condition(definitions));
}

static json_t *
units_condition(json_t *definitions, const char *word, enum tree tree)
{
	json_t *condition = just("properties", just("units", just("const", json_string(word))));

	condition = json_with(condition, "required", one(json_string("units")));
	return if_then(condition, reference(definitions, job_mapping(), tree));
}

/*
 * No shop, and one of the keys that every job needs or else none of those that a shop's file is made of. Text and choices do not
 * tell one from the other: both have units, and may have a title.
 */
static json_t *
whole_condition(json_t *definitions)
{
	const struct mapping *job = job_mapping();
	json_t               *own = json_array(), *lent = json_array(), *condition;

	for (size_t i = 0; i < job->count; i++) {
		const struct field *field = &job->fields[i];

		if (field->kind == FIELD_TEXT || field->kind == FIELD_CHOICE)
			continue;
		if (field->required)
			own = json_add(own, has(field->key));
		else
			lent = json_add(lent, has(field->key));
	}
	own       = json_add(own, just("not", just("anyOf", lent)));
	condition = just("not", has("shop"));
	return if_then(json_with(condition, "anyOf", own), reference(definitions, job, TREE_WHOLE));
}

static json_t *
if_then(json_t *condition, json_t *consequence)
{
	return json_with(just("if", condition), "then", consequence);
}

/* A strict validator wants to see that what is required is a key. */
static json_t *
has(const char *key)
{
	json_t *json = just("properties", just(key, json_true()));

	return json_with(json, "required", one(json_string(key)));
}

/* To a mapping's definition, which is made when it is first spoken of. */
static json_t *
reference(json_t *definitions, const struct mapping *mapping, enum tree tree)
{
	char        room[TEXT_BYTES];
	struct text text = text_over(room, sizeof room);
	const char *name;
	json_t     *definition;

	text_format(&text, "#/$defs/%s%s", mapping->title, SUFFIXES[tree]);
	text_end(&text);
	for (char *c = room; *c; c++)
		if (*c == ' ')
			*c = '-';
	name = room + strlen("#/$defs/");
	if (!json_object_get(definitions, name)) {
		if (tree == TREE_KEYS)
			definition = with_keys(just("title", json_string(mapping->title)), definitions, mapping);
		else
			definition = rest_json(definitions, mapping, tree);
		if (json_object_set_new(definitions, name, definition) != 0)
			return NULL;
	}
	return just("$ref", json_string(room));
}

/* The tree has something to say of the mapping; of a key. */
static bool
speaks(const struct mapping *mapping, enum tree tree)
{
	for (size_t i = 0; i < mapping->count; i++)
		if (field_speaks(&mapping->fields[i], tree))
			return true;
	return false;
}

static bool
field_speaks(const struct field *field, enum tree tree)
{
	if (tree == TREE_WHOLE && field->required)
		return true;
	if (tree == TREE_WHOLE && field->kind == FIELD_LIST)
		return false; /* its items are always whole, because lists are not merged */
	if ((tree == TREE_MM || tree == TREE_INCH) && numeral_hangs_on_units(field))
		return true;
	return field->inner && speaks(field->inner, tree);
}

static json_t *
with_keys(json_t *json, json_t *definitions, const struct mapping *mapping)
{
	json_t *properties = json_object();

	for (size_t i = 0; i < mapping->count; i++) {
		const struct field *field = &mapping->fields[i];

		properties = json_with(properties, field->key, described(key_json(definitions, field), field));
	}
	json = json_with(json, "type", json_string("object"));
	json = json_with(json, "properties", properties);
	return json_with(json, "additionalProperties", json_false());
}

static json_t *
key_json(json_t *definitions, const struct field *field)
{
	if (numeral_wanted(field))
		return numeral_json(field);
	switch (field->kind) {
	case FIELD_CHOICE: return choice_json(field);
	case FIELD_CHOICES: return just("anyOf", two(choice_json(field), array_of(choice_json(field))));
	case FIELD_MAPPING: return reference(definitions, field->inner, TREE_KEYS);
	case FIELD_NAME_OR_MAPPING: return named_json(definitions, field);
	case FIELD_NAMED: return object_of(reference(definitions, field->inner, TREE_KEYS));
	case FIELD_LIST: return array_of(items_json(definitions, field->inner));
	default: return scalar(true);
	}
}

/* A material's name is one of a table; a cutter's, the shop knows. */
static json_t *
named_json(json_t *definitions, const struct field *field)
{
	json_t *name = strcmp(field->key, "material") == 0 ? materials_json() : scalar(false);

	return just("anyOf", two(reference(definitions, field->inner, TREE_KEYS), name));
}

static json_t *
items_json(json_t *definitions, const struct mapping *inner)
{
	json_t *items = reference(definitions, inner, TREE_KEYS);

	if (!speaks(inner, TREE_WHOLE))
		return items;
	return just("allOf", two(items, reference(definitions, inner, TREE_WHOLE)));
}

static json_t *
described(json_t *json, const struct field *field)
{
	char        room[TEXT_BYTES];
	struct text text = text_over(room, sizeof room);

	description_print(field, &text);
	json = json_with(json, "description", json_string(text_end(&text)));
	if (field->standard && *field->standard && !field->standard_mm)
		json = json_with(json, "default", default_json(field));
	return json;
}

static void
description_print(const struct field *field, struct text *out)
{
	text_string(out, field->about);
	for (const struct choice *choice = field->choices; choice && choice->word; choice++)
		if (choice->about)
			text_format(out, "; %s: %s", choice->word, choice->about);
	if (field->least && field->most)
		text_format(out, "; %s to %s", field->least, field->most);
	if (numeral_wanted(field) && schema_quantity(field->kind) < QUANTITY_FACTOR) {
		text_string(out, "; units: ");
		quantity_units(schema_quantity(field->kind), out);
	}
}

/* As it would be written in a file of either units. */
static json_t *
default_json(const struct field *field)
{
	json_t *words = NULL;

	if (field->kind == FIELD_COUNT || field->kind == FIELD_FACTOR)
		return strpbrk(field->standard, ".") ? json_real(strtod(field->standard, NULL))
		                                     : json_integer(strtoll(field->standard, NULL, 10));
	if (field->kind != FIELD_CHOICES)
		return json_string(field->standard);
	words = json_array();
	for (const struct choice *choice = field->choices; choice->word; choice++)
		if (strstr(field->standard, choice->word))
			words = json_add(words, json_string(choice->word));
	return words;
}

/* The other trees let everything through that they do not speak of. */
static json_t *
rest_json(json_t *definitions, const struct mapping *mapping, enum tree tree)
{
	json_t *properties = json_object(), *required = json_array(), *json;

	for (size_t i = 0; i < mapping->count; i++) {
		const struct field *field = &mapping->fields[i];

		if (!field_speaks(field, tree))
			continue;
		properties = json_with(properties, field->key, rest_key_json(definitions, field, tree));
		if (tree == TREE_WHOLE && field->required)
			required = json_add(required, json_string(field->key));
	}
	json = json_with(typed("object"), "properties", properties);
	if (!required || json_array_size(required) > 0)
		return json_with(json, "required", required);
	json_decref(required);
	return json;
}

static json_t *
rest_key_json(json_t *definitions, const struct field *field, enum tree tree)
{
	if (numeral_wanted(field) && tree != TREE_WHOLE)
		return numeral_limits(field, tree == TREE_MM ? UNITS_MM : UNITS_INCH);
	if (!field->inner || !speaks(field->inner, tree))
		return json_true();
	switch (field->kind) {
	case FIELD_NAME_OR_MAPPING: return if_then(typed("object"), reference(definitions, field->inner, tree));
	case FIELD_NAMED: return object_of(reference(definitions, field->inner, tree));
	case FIELD_LIST: return array_of(reference(definitions, field->inner, tree));
	default: return reference(definitions, field->inner, tree);
	}
}

static json_t *
choice_json(const struct field *field)
{
	json_t *words = json_array();

	for (const struct choice *choice = field->choices; choice->word; choice++)
		words = json_add(words, json_string(choice->word));
	return json_with(typed("string"), "enum", words);
}

static json_t *
materials_json(void)
{
	json_t *names = json_array();

	for (size_t i = 0; i < materials_count(); i++)
		names = json_add(names, json_string(materials_at(i).name));
	return json_with(typed("string"), "enum", names);
}

static json_t *
array_of(json_t *items)
{
	return json_with(typed("array"), "items", items);
}

/* A mapping whose keys are names. */
static json_t *
object_of(json_t *values)
{
	return json_with(typed("object"), "additionalProperties", values);
}

static json_t *
typed(const char *name)
{
	return just("type", json_string(name));
}

/* A name or a title may look like a number or a switch; a text may be left blank. */
static json_t *
scalar(bool also_none)
{
	json_t *names = json_add(two(json_string("string"), json_string("number")), json_string("boolean"));

	return just("type", also_none ? json_add(names, json_string("null")) : names);
}

/* {key: value}, [item], [first, second]. */
static json_t *
just(const char *key, json_t *value)
{
	return json_with(json_object(), key, value);
}

static json_t *
one(json_t *item)
{
	return json_add(json_array(), item);
}

static json_t *
two(json_t *first, json_t *second)
{
	return json_add(one(first), second);
}
