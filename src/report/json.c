#include "skimcut/json.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "skimcut/text.h"

/* A character of UTF-8 takes four bytes at the most. */
enum { CHARACTERS = 1023, TEXT_BYTES = 4 * CHARACTERS + 1 };

static int take(const char *buffer, size_t size, void *out);

json_t *
json_make(const struct member *members)
{
	json_t *object = json_object();

	for (; members->key; members++)
		object = json_with(object, members->key, members->value);
	return object;
}

json_t *
json_with(json_t *object, const char *key, json_t *value)
{
	if (json_object_set_new(object, key, value) == 0)
		return object;
	json_decref(object);
	return NULL;
}

json_t *
json_add(json_t *list, json_t *value)
{
	if (json_array_append_new(list, value) == 0)
		return list;
	json_decref(list);
	return NULL;
}

json_t *
json_text(const char *string)
{
	char        room[TEXT_BYTES];
	struct text text = text_over(room, sizeof room);

	text_clean(&text, string, CHARACTERS);
	return json_string(text_end(&text));
}

/* A sum with 0 has no negative zero. */
json_t *
json_figure(double value)
{
	char room[32];

	if (!isfinite(value))
		return json_null();
	snprintf(room, sizeof room, "%.9g", value);
	return json_real(strtod(room, NULL) + 0.0);
}

bool
json_print(json_t *root, size_t indent, size_t digits, struct text *out)
{
	size_t flags = JSON_INDENT(indent) | JSON_REAL_PRECISION(digits);
	bool   done  = root && json_dump_callback(root, take, out, flags) == 0;

	json_decref(root);
	text_char(out, '\n');
	return done;
}

static int
take(const char *buffer, size_t size, void *out)
{
	text_bytes(out, buffer, size);
	return 0;
}
