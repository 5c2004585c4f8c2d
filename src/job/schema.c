#include "skimcut/schema.h"

#include <string.h>

#include "skimcut/arena.h"
#include "skimcut/quantity.h"
#include "skimcut/text.h"
#include "skimcut/yaml.h"

/* Where a walk stands; the same for all fields of one mapping but for the field itself. */
struct walk {
	const struct field *field;
	struct place        place; /* of the value, or of the mapping when it was left out */
	enum units          units;
	struct arena       *arena;
	struct diag        *diag;
};

static bool         not_a_mapping(const struct mapping *mapping, struct place place, struct diag *diag);
static bool         keys_check(const struct mapping *mapping, const struct node *node, struct diag *diag);
static bool         is_key(const struct mapping *mapping, const char *word, struct guess *guess);
static bool         is_misspelt(const struct mapping *mapping, const struct node *node, const char *key);
static bool         field_bind(const struct walk *walk, const struct node *value, char *into);
static bool         field_default(const struct walk *walk, char *into);
static bool         choices_default(const struct walk *walk, const char *standard, unsigned *into);
static bool         left_blank(const struct walk *walk, const struct node *value);
static bool         number_bind(const struct walk *walk, const struct node *value, int64_t *into);
static bool         limits_check(const struct walk *walk, const char *written, int64_t value, enum units bare);
static int64_t      limit_of(const struct field *field, const char *written, int64_t none);
static struct shown limit_show(const struct field *field, bool is_least, enum units bare);
static bool         text_bind(const struct walk *walk, const struct node *value, const char **into);
static bool         choice_bind(const struct walk *walk, const struct node *value, int *into);
static bool         choices_bind(const struct walk *walk, const struct node *value, unsigned *into);
static bool         named_bind(const struct walk *walk, const struct node *value, struct named *into);
static bool         numbers_bind(const struct walk *walk, const struct node *value, struct numbers *into);
static void        *items_take(const struct walk *walk, const struct node *value, size_t size, size_t *count);
static bool         lines_check(const struct walk *walk, const struct node *value);
static bool         is_quantity(enum field_kind kind);
static bool         wrong_kind(const struct walk *walk, struct place place, const char *wanted);
static void         choice_words(const struct choice *choices, struct text *out);
static void         row_print(const struct field *field, struct text *out);
static void         kind_print(const struct field *field, struct text *out);
static bool         stood_before(const struct mapping *mapping, size_t index);

_Static_assert((int)FIELD_COUNT == (int)QUANTITY_COUNT, "the first field kinds are the quantities");
_Static_assert(sizeof(enum units) == sizeof(int), "a choice is written through an int");

bool
schema_bind(const struct mapping *mapping, const struct node *node, struct place place, enum units units, void *into,
            struct arena *arena, struct diag *diag)
{
	struct bound *bound = into;
	bool          ok    = true;

	*bound = (struct bound){ .node = node, .place = node ? node->place : place, .name = bound->name };
	if (node && node->kind != NODE_MAPPING)
		return not_a_mapping(mapping, node->place, diag);
	if (node)
		ok = keys_check(mapping, node, diag);
	for (size_t i = 0; i < mapping->count; i++) {
		const struct field *field = &mapping->fields[i];
		const struct entry *entry = node_find(node, field->key);
		struct walk         walk  = { field, entry ? entry->value->place : bound->place, units, arena, diag };
		char               *spot  = (char *)into + field->offset;

		if (entry)
			ok &= field_bind(&walk, entry->value, spot);
		else if (field->required && node && is_misspelt(mapping, node, field->key))
			ok = false; /* the misspelt key was named */
		else if (field->required && node)
			ok = diag_add(diag, SEVERITY_ERROR, bound->place, "%s has no '%s' (%s)", mapping->title,
			              field->key, field->about);
		else
			ok &= field_default(&walk, spot);
	}
	return ok;
}

struct place
schema_place(const struct bound *bound, const char *key)
{
	const struct entry *entry = node_find(bound->node, key);

	return entry ? entry->value->place : bound->place;
}

bool
schema_given(const struct bound *bound, const char *key)
{
	return node_find(bound->node, key) != NULL;
}

void
schema_page(const struct mapping *mapping, struct text *out)
{
	text_format(out, "\n### %s\n\n", mapping->title);
	text_string(out, "| key | value | left out | what it is |\n|---|---|---|---|\n");
	for (size_t i = 0; i < mapping->count; i++)
		row_print(&mapping->fields[i], out);
	for (size_t i = 0; i < mapping->count; i++)
		if (mapping->fields[i].inner && !stood_before(mapping, i))
			schema_page(mapping->fields[i].inner, out);
}

static bool
not_a_mapping(const struct mapping *mapping, struct place place, struct diag *diag)
{
	char        buffer[256];
	struct text keys = text_over(buffer, sizeof buffer);

	for (size_t i = 0; i < mapping->count; i++)
		if (mapping->fields[i].required)
			text_format(&keys, "%s: ..., ", mapping->fields[i].key);
	return diag_add(diag, SEVERITY_ERROR, place, "%s is a mapping of keys and values, {%s...}", mapping->title,
	                text_end(&keys));
}

static bool
keys_check(const struct mapping *mapping, const struct node *node, struct diag *diag)
{
	bool ok = true;

	for (const struct entry *entry = node->entries; entry; entry = entry->next) {
		struct guess guess;

		if (is_key(mapping, entry->key, &guess))
			continue;
		if (guess.best)
			ok = diag_add(diag, SEVERITY_ERROR, entry->place, "%s has no key '%.40s'; did you mean '%s'?",
			              mapping->title, entry->key, guess.best);
		else
			ok = diag_add(diag, SEVERITY_ERROR, entry->place, "%s has no key '%.40s'", mapping->title,
			              entry->key);
	}
	return ok;
}

/* A key of the mapping; if not, the guess says which was meant. */
static bool
is_key(const struct mapping *mapping, const char *word, struct guess *guess)
{
	*guess = guess_for(word);
	for (size_t i = 0; i < mapping->count; i++) {
		if (strcmp(mapping->fields[i].key, word) == 0)
			return true;
		guess_offer(guess, mapping->fields[i].key);
	}
	return false;
}

static bool
is_misspelt(const struct mapping *mapping, const struct node *node, const char *key)
{
	for (const struct entry *entry = node->entries; entry; entry = entry->next) {
		struct guess guess;

		if (!is_key(mapping, entry->key, &guess) && guess.best && strcmp(guess.best, key) == 0)
			return true;
	}
	return false;
}

static bool
field_bind(const struct walk *walk, const struct node *value, char *into)
{
	const struct field *field = walk->field;

	if (left_blank(walk, value))
		return false;
	if (is_quantity(field->kind))
		return number_bind(walk, value, (int64_t *)(void *)into);
	switch (field->kind) {
	case FIELD_TEXT: return text_bind(walk, value, (const char **)(void *)into);
	case FIELD_CHOICE: return choice_bind(walk, value, (int *)(void *)into);
	case FIELD_CHOICES: return choices_bind(walk, value, (unsigned *)(void *)into);
	case FIELD_NAMED:
	case FIELD_LIST: return named_bind(walk, value, (struct named *)(void *)into);
	case FIELD_LENGTHS:
	case FIELD_FEEDS:
	case FIELD_ROTATIONS: return numbers_bind(walk, value, (struct numbers *)(void *)into);
	case FIELD_LINES: *(const struct node **)(void *)into = value; return lines_check(walk, value);
	case FIELD_NAME_OR_MAPPING:
		if (value->kind == NODE_SCALAR) {
			*(struct bound *)(void *)into = (struct bound){ NULL, value->place, value->text };
			return true;
		}
		return schema_bind(field->inner, value, value->place, walk->units, into, walk->arena, walk->diag);
	default: return schema_bind(field->inner, value, value->place, walk->units, into, walk->arena, walk->diag);
	}
}

/* A default takes the same road as what a person writes. */
static bool
field_default(const struct walk *walk, char *into)
{
	const struct field *field = walk->field;
	const char *standard = walk->units == UNITS_MM && field->standard_mm ? field->standard_mm : field->standard;
	struct node value    = { .kind = NODE_SCALAR, .place = walk->place, .text = standard };

	if (field->kind == FIELD_MAPPING || field->kind == FIELD_NAME_OR_MAPPING)
		return schema_bind(field->inner, NULL, walk->place, walk->units, into, walk->arena, walk->diag);
	if (!standard)
		return true;
	if (field->kind == FIELD_CHOICES)
		return choices_default(walk, standard, (unsigned *)(void *)into);
	return field_bind(walk, &value, into);
}

/* "test, skim": the words of a list. */
static bool
choices_default(const struct walk *walk, const char *standard, unsigned *into)
{
	for (const struct choice *choice = walk->field->choices; choice->word; choice++)
		if (strstr(standard, choice->word))
			*into |= 1u << choice->value;
	return true;
}

static bool
left_blank(const struct walk *walk, const struct node *value)
{
	if (value->kind != NODE_SCALAR || value->text[0] != '\0' || walk->field->kind == FIELD_TEXT)
		return false;
	diag_add(walk->diag, SEVERITY_ERROR, value->place, "'%s' has no value", walk->field->key);
	return true;
}

static bool
number_bind(const struct walk *walk, const struct node *value, int64_t *into)
{
	char        reason[256];
	struct text why = text_over(reason, sizeof reason);
	enum units  bare;

	if (value->kind != NODE_SCALAR)
		return wrong_kind(walk, value->place, "one number");
	bare = value->place.source ? value->place.source->units : UNITS_NONE;
	if (!quantity_parse(schema_quantity(walk->field->kind), value->text, bare, into, &why))
		return diag_add(walk->diag, SEVERITY_ERROR, value->place, "%s: %s", walk->field->key, text_end(&why));
	return limits_check(walk, value->text, *into, bare);
}

static bool
limits_check(const struct walk *walk, const char *written, int64_t value, enum units bare)
{
	const struct field *field = walk->field;
	int64_t least = limit_of(field, field->least, INT64_MIN), most = limit_of(field, field->most, INT64_MAX);

	if (value >= least && value <= most)
		return true;
	if (field->least && field->most)
		return diag_add(walk->diag, SEVERITY_ERROR, walk->place, "%s %.40s is out of range; use %s to %s",
		                field->key, written, limit_show(field, true, bare).text,
		                limit_show(field, false, bare).text);
	return diag_add(walk->diag, SEVERITY_ERROR, walk->place, "%s %.40s is too %s; use %s or %s", field->key,
	                written, value < least ? "small" : "large", limit_show(field, value < least, bare).text,
	                value < least ? "more" : "less");
}

static int64_t
limit_of(const struct field *field, const char *written, int64_t none)
{
	struct text unheard = { 0 };
	int64_t     limit   = none;

	if (written)
		quantity_parse(schema_quantity(field->kind), written, UNITS_NONE, &limit, &unheard);
	return limit;
}

/*
 * As the table has it; in a file in inches, a length or speed in those, rounded inwards to what is shown, so that what is
 * offered is taken.
 */
static struct shown
limit_show(const struct field *field, bool is_least, enum units bare)
{
	const char *written               = is_least ? field->least : field->most;
	Length (*inwards)(Length, Length) = is_least ? length_up : length_down;
	int64_t      limit                = limit_of(field, written, 0);
	struct shown shown                = { "" };
	struct text  text                 = text_over(shown.text, sizeof shown.text);

	if (bare == UNITS_INCH && schema_quantity(field->kind) == QUANTITY_LENGTH)
		return length_show(inwards(limit, LENGTH_INCH / 100000), bare);
	if (bare == UNITS_INCH && field->kind == FIELD_FEED)
		return feed_show(inwards(limit, LENGTH_INCH / 100), bare);
	if (bare == UNITS_INCH && field->kind == FIELD_CUTTING_SPEED)
		return cutting_show(inwards(limit, LENGTH_FOOT), bare);
	text_string(&text, written);
	text_end(&text);
	return shown;
}

static bool
text_bind(const struct walk *walk, const struct node *value, const char **into)
{
	if (value->kind != NODE_SCALAR)
		return wrong_kind(walk, value->place, "a text");
	*into = value->text;
	return true;
}

static bool
choice_bind(const struct walk *walk, const struct node *value, int *into)
{
	char        buffer[512];
	struct text words = text_over(buffer, sizeof buffer);

	if (value->kind != NODE_SCALAR)
		return wrong_kind(walk, value->place, "one word");
	for (const struct choice *choice = walk->field->choices; choice->word; choice++) {
		if (strcmp(choice->word, value->text) == 0) {
			*into = choice->value;
			return true;
		}
	}
	choice_words(walk->field->choices, &words);
	return diag_add(walk->diag, SEVERITY_ERROR, value->place, "%s cannot be '%.40s'; it is one of: %s",
	                walk->field->key, value->text, text_end(&words));
}

static bool
choices_bind(const struct walk *walk, const struct node *value, unsigned *into)
{
	bool ok     = true;
	int  choice = 0;

	if (value->kind == NODE_MAPPING)
		return wrong_kind(walk, value->place, "a list of words");
	if (value->kind == NODE_SCALAR) {
		ok = choice_bind(walk, value, &choice);
		if (ok)
			*into = 1u << choice;
		return ok;
	}
	for (const struct entry *entry = value->entries; entry; entry = entry->next) {
		if (choice_bind(walk, entry->value, &choice))
			*into |= 1u << choice;
		else
			ok = false;
	}
	return ok;
}

static bool
named_bind(const struct walk *walk, const struct node *value, struct named *into)
{
	const struct mapping *inner = walk->field->inner;
	bool                  named = walk->field->kind == FIELD_NAMED, ok = true;
	char                 *item;

	if (value->kind != (named ? NODE_MAPPING : NODE_LIST))
		return wrong_kind(walk, value->place,
		                  named ? "a mapping of names" : "a list of mappings, [{...}, ...]");
	item = into->items = items_take(walk, value, inner->size, &into->count);
	if (!item)
		return false;
	for (const struct entry *entry = value->entries; entry; entry = entry->next, item += inner->size) {
		((struct bound *)(void *)item)->name = entry->key;
		ok &= schema_bind(inner, entry->value, entry->place, walk->units, item, walk->arena, walk->diag);
	}
	return ok;
}

static bool
numbers_bind(const struct walk *walk, const struct node *value, struct numbers *into)
{
	bool     ok = true;
	int64_t *values;

	if (value->kind != NODE_LIST)
		return wrong_kind(walk, value->place, "a list of numbers");
	into->values = values = items_take(walk, value, sizeof *values, &into->count);
	if (!values)
		return false;
	if (walk->field->required && into->count == 0)
		return diag_add(walk->diag, SEVERITY_ERROR, value->place, "%s is an empty list", walk->field->key);
	for (const struct entry *entry = value->entries; entry; entry = entry->next) {
		struct walk each = *walk;

		each.place = entry->place;
		ok &= number_bind(&each, entry->value, values++);
	}
	return ok;
}

static void *
items_take(const struct walk *walk, const struct node *value, size_t size, size_t *count)
{
	void *items;

	*count = 0;
	for (const struct entry *entry = value->entries; entry; entry = entry->next)
		++*count;
	items = arena_take(walk->arena, (*count > 0 ? *count : 1) * size);
	if (!items)
		diag_no_memory(walk->diag);
	return items;
}

static bool
lines_check(const struct walk *walk, const struct node *value)
{
	bool ok = true;

	if (value->kind == NODE_MAPPING)
		return wrong_kind(walk, value->place, "a text or a list of texts");
	for (const struct entry *entry = value->entries; entry; entry = entry->next)
		if (entry->value->kind != NODE_SCALAR)
			ok = wrong_kind(walk, entry->value->place, "a list of texts");
	return ok;
}

static bool
is_quantity(enum field_kind kind)
{
	return kind <= FIELD_COUNT;
}

enum quantity
schema_quantity(enum field_kind kind)
{
	return kind == FIELD_LENGTHS   ? QUANTITY_LENGTH
	     : kind == FIELD_FEEDS     ? QUANTITY_FEED
	     : kind == FIELD_ROTATIONS ? QUANTITY_ROTATION
	                               : (enum quantity)kind;
}

static bool
wrong_kind(const struct walk *walk, struct place place, const char *wanted)
{
	return diag_add(walk->diag, SEVERITY_ERROR, place, "'%s' wants %s", walk->field->key, wanted);
}

static void
choice_words(const struct choice *choices, struct text *out)
{
	for (const struct choice *choice = choices; choice->word; choice++)
		text_format(out, "%s%s", choice == choices ? "" : ", ", choice->word);
}

/* Two keys can have one kind of mapping. */
static bool
stood_before(const struct mapping *mapping, size_t index)
{
	for (size_t i = 0; i < index; i++)
		if (mapping->fields[i].inner == mapping->fields[index].inner)
			return true;
	return false;
}

static void
row_print(const struct field *field, struct text *out)
{
	text_format(out, "| `%s` | ", field->key);
	kind_print(field, out);
	if (field->least && field->most)
		text_format(out, ", %s to %s", field->least, field->most);
	else if (field->least)
		text_format(out, ", %s or more", field->least);
	else if (field->most)
		text_format(out, ", %s or less", field->most);
	text_string(out, " | ");
	if (field->required)
		text_string(out, "**required**");
	else if (field->standard && *field->standard)
		text_format(out, "`%s`", field->standard);
	if (field->standard_mm)
		text_format(out, "; in mm files `%s`", field->standard_mm);
	text_format(out, " | %s", field->about);
	for (const struct choice *choice = field->choices; choice && choice->word; choice++)
		if (choice->about)
			text_format(out, "; `%s`: %s", choice->word, choice->about);
	text_string(out, " |\n");
}

static void
kind_print(const struct field *field, struct text *out)
{
	static const char *const WORDS[] = {
		[FIELD_LENGTH]          = "length",
		[FIELD_FEED]            = "feed: ",
		[FIELD_CUTTING_SPEED]   = "speed: ",
		[FIELD_ROTATION]        = "rev/min",
		[FIELD_RATIO]           = "share, with %",
		[FIELD_ANGLE]           = "degrees",
		[FIELD_POWER]           = "power: ",
		[FIELD_FORCE]           = "force: ",
		[FIELD_FACTOR]          = "number",
		[FIELD_COUNT]           = "whole number",
		[FIELD_TEXT]            = "text",
		[FIELD_CHOICE]          = "one of ",
		[FIELD_CHOICES]         = "any of ",
		[FIELD_MAPPING]         = "mapping: ",
		[FIELD_NAME_OR_MAPPING] = "a name, or ",
		[FIELD_NAMED]           = "names, each with ",
		[FIELD_LIST]            = "list, each ",
		[FIELD_LENGTHS]         = "list of lengths",
		[FIELD_FEEDS]           = "list of feeds: ",
		[FIELD_ROTATIONS]       = "list of rev/min",
		[FIELD_LINES]           = "text or list of texts",
	};

	text_string(out, WORDS[field->kind]);
	if (field->kind == FIELD_FEED || field->kind == FIELD_CUTTING_SPEED || field->kind == FIELD_POWER ||
	    field->kind == FIELD_FORCE || field->kind == FIELD_FEEDS)
		quantity_units(schema_quantity(field->kind), out);
	for (const struct choice *choice = field->choices; choice && choice->word; choice++)
		text_format(out, "%s`%s`", choice == field->choices ? "" : ", ", choice->word);
	if (field->inner)
		text_string(out, field->inner->title);
}
