#include "skimcut/numeral.h"

#include "skimcut/quantity.h"
#include "skimcut/schema.h"
#include "skimcut/text.h"

enum { PATTERN_BYTES = 1024 };

/* A numeral as quantity.h takes it, less its sign: 12, 1.5, .5, 3/4, 1-1/2, 1 1/2. */
static const char NUMERAL[] = "([0-9]+[.]?[0-9]*|[.][0-9]+|([0-9]+[.]?(-| +))?[0-9]+[.]?/0*[1-9][0-9]*[.]?)";

static bool    is_list(const struct field *field);
static json_t *item_json(const struct field *field);
static void    pattern_print(const struct field *field, struct text *out);
static json_t *limited(json_t *json, const struct field *field, enum units units);
static json_t *limit_json(enum quantity quantity, const char *written, enum units units, bool is_least);
static json_t *types(const char *first, const char *second);
static json_t *list_of(json_t *items);
static bool    parses(enum quantity quantity, const char *written, enum units bare, int64_t *value);

bool
numeral_wanted(const struct field *field)
{
	return field->kind <= FIELD_COUNT || is_list(field);
}

bool
numeral_hangs_on_units(const struct field *field)
{
	enum quantity quantity;
	int64_t       value;

	if (!numeral_wanted(field))
		return false;
	quantity = schema_quantity(field->kind);
	return parses(quantity, "1", UNITS_MM, &value) && !parses(quantity, "1", UNITS_NONE, &value);
}

json_t *
numeral_json(const struct field *field)
{
	json_t *item = item_json(field), *json = is_list(field) ? list_of(item) : item;

	return is_list(field) && field->required ? json_with(json, "minItems", json_integer(1)) : json;
}

json_t *
numeral_limits(const struct field *field, enum units units)
{
	json_t *item = limited(types("number", "string"), field, units);

	return is_list(field) ? list_of(item) : item;
}

static bool
is_list(const struct field *field)
{
	return field->kind == FIELD_LENGTHS || field->kind == FIELD_FEEDS || field->kind == FIELD_ROTATIONS;
}

static json_t *
item_json(const struct field *field)
{
	enum quantity quantity = schema_quantity(field->kind);
	char          room[PATTERN_BYTES];
	struct text   text = text_over(room, sizeof room);
	int64_t       value;
	json_t       *json;

	pattern_print(field, &text);
	if (!parses(quantity, "1", UNITS_MM, &value))
		json = types("string", NULL);
	else
		json = types(parses(quantity, "1/2", UNITS_MM, &value) ? "number" : "integer", "string");
	json = json_with(json, "pattern", json_string(text_end(&text)));
	return parses(quantity, "1", UNITS_NONE, &value) ? limited(json, field, UNITS_NONE) : json;
}

static void
pattern_print(const struct field *field, struct text *out)
{
	enum quantity quantity = schema_quantity(field->kind);
	char          room[PATTERN_BYTES];
	struct text   units = text_over(room, sizeof room);
	int64_t       value;

	quantity_units(quantity, &units);
	text_end(&units);
	text_string(out, field->least && parses(quantity, field->least, UNITS_NONE, &value) && value >= 0 ? "^[+]?"
	                                                                                                  : "^[-+]?");
	text_format(out, "%s *", NUMERAL);
	if (room[0]) {
		text_char(out, '(');
		for (const char *c = room; *c; c++)
			if (*c == ',')
				text_char(out, '|');
			else if (*c != ' ')
				text_char(out, *c);
		text_string(out, parses(quantity, "1", UNITS_MM, &value) ? ")?" : ")");
	}
	text_char(out, '$');
}

/* `units` NONE: the numbers mean the same in every file. */
static json_t *
limited(json_t *json, const struct field *field, enum units units)
{
	enum quantity quantity = schema_quantity(field->kind);

	if (field->least)
		json = json_with(json, "minimum", limit_json(quantity, field->least, units, true));
	if (field->most)
		json = json_with(json, "maximum", limit_json(quantity, field->most, units, false));
	if (field->standard_mm)
		json = json_with(json, "default",
		                 json_string(units == UNITS_MM ? field->standard_mm : field->standard));
	return json;
}

/* What the bare number 1 stands for goes into the limit; to seven places or what fits, and outwards, so that no good number is lost. */
static json_t *
limit_json(enum quantity quantity, const char *written, enum units units, bool is_least)
{
	int64_t limit = 0, one = 1, scale = 10000000, scaled, places;

	parses(quantity, written, UNITS_NONE, &limit);
	parses(quantity, "1", units, &one);
	while (__builtin_mul_overflow(limit, scale, &scaled))
		scale /= 10;
	places = (is_least ? length_down(scaled, one) : length_up(scaled, one)) / one;
	return places % scale == 0 ? json_integer(places / scale) : json_real((double)places / (double)scale);
}

/* {"type": first} or {"type": [first, second]}. */
static json_t *
types(const char *first, const char *second)
{
	json_t *names = json_string(first);

	if (second)
		names = json_add(json_add(json_array(), names), json_string(second));
	return json_with(json_object(), "type", names);
}

static json_t *
list_of(json_t *items)
{
	return json_with(types("array", NULL), "items", items);
}

static bool
parses(enum quantity quantity, const char *written, enum units bare, int64_t *value)
{
	struct text unheard = { 0 };

	return quantity_parse(quantity, written, bare, value, &unheard);
}
