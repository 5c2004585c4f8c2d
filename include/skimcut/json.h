/*
 * json - JSON put together and written out, with jansson.
 *
 * All of these take the values that they are given, also when they fail. What could not be made is NULL, and so becomes everything
 * around it: memory that is out anywhere is seen at the root.
 */
#ifndef SKIMCUT_JSON_H
#define SKIMCUT_JSON_H

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>

struct text;

/* A member of an object; JSON_END stands behind the last. */
struct member {
	const char *key;
	json_t     *value;
};

#define JSON_END                                                                                                       \
	{                                                                                                              \
		NULL, NULL                                                                                             \
	}

json_t *json_make(const struct member *members);

/* The same object and the same list, with one more. */
json_t *json_with(json_t *object, const char *key, json_t *value);
json_t *json_add(json_t *list, json_t *value);

/* Somebody else's text as text_clean has it, at most 1023 characters of it. */
json_t *json_text(const char *string);

/* A number to nine digits: more differ from one C library to the next. No number, or one without an end: null. */
json_t *json_figure(double value);

/* Indented, numbers to so many digits, with an end of line behind it. False: memory is out; whether `out` took it, `out` says. */
bool json_print(json_t *root, size_t indent, size_t digits, struct text *out);

#endif
