/*
 * schema - one table per mapping says what its keys are; one walker binds YAML to structs by it.
 *
 * The same rows make the parser, the reference pages in docs/ and the JSON Schema. A new key is a new row. Limits and
 * defaults are written as a person would write them in the file, and read by the same code.
 *
 * Every struct bound from a mapping begins with a struct bound, so that a later check can name the place of any value.
 */
#ifndef SKIMCUT_SCHEMA_H
#define SKIMCUT_SCHEMA_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "skimcut/diag.h"
#include "skimcut/quantity.h"

struct arena;
struct node;
struct text;

struct bound {
	const struct node *node;  /* NULL: the mapping was left out, and everything in it has its default */
	struct place       place; /* the mapping's, or that of the one around it */
	const char *name; /* the key it stands under in a mapping of names; or the name given instead of a mapping */
};

enum field_kind {
	FIELD_LENGTH, /* int64_t, as quantity.h says of each; from here to FIELD_COUNT in the order of enum quantity */
	FIELD_FEED,
	FIELD_CUTTING_SPEED,
	FIELD_ROTATION,
	FIELD_RATIO,
	FIELD_ANGLE,
	FIELD_POWER,
	FIELD_FORCE,
	FIELD_FACTOR,
	FIELD_COUNT,
	FIELD_TEXT,    /* const char * */
	FIELD_CHOICE,  /* an enum: one of `choices` */
	FIELD_CHOICES, /* unsigned: 1 << value for each of `choices` in a list, which may be empty or one word */
	FIELD_MAPPING, /* the struct that `inner` describes */
	FIELD_NAME_OR_MAPPING, /* the same; a word instead of a mapping is left in bound.name for others to look up */
	FIELD_NAMED,           /* struct named: names, each with a mapping that `inner` describes */
	FIELD_LIST,            /* struct named: a list of such mappings; they have no bound.name */
	FIELD_LENGTHS,         /* struct numbers */
	FIELD_FEEDS,           /* struct numbers */
	FIELD_ROTATIONS,       /* struct numbers */
	FIELD_LINES,           /* const struct node *: one text or a list of texts; NULL when left out */
};

/* A choice's words end with a NULL word. */
struct choice {
	const char *word;
	int         value;
	const char *about;
};

struct field {
	const char           *key;
	enum field_kind       kind;
	size_t                offset;
	const char           *least, *most; /* inclusive; NULL: no limit but quantity.h's */
	const char           *standard;     /* what it is when left out; NULL: 0, or required */
	const char           *standard_mm;  /* the same in a file in millimetres; NULL: as above */
	const char           *about;        /* for the reference page: one phrase */
	bool                  required;     /* and, if it is a list of numbers, not empty */
	const struct choice  *choices;
	const struct mapping *inner;
};

struct mapping {
	const char         *title; /* for the reference page and for messages: "the cutter" */
	const struct field *fields;
	size_t              count;
	size_t              size; /* of the struct */
};

struct named {
	void  *items; /* structs of inner->size, in the file's order */
	size_t count;
};

struct numbers {
	const int64_t *values;
	size_t         count;
};

/*
 * Fills `into` from `node`: every error is reported, none stops the walk. NULL: everything gets its default, and nothing is
 * missed. A bare number is in the units of the file it stands in; a default is chosen by `units`.
 */
bool schema_bind(const struct mapping *mapping, const struct node *node, struct place place, enum units units,
                 void *into, struct arena *arena, struct diag *diag);

/* Of a number's kind, or of a list of numbers. */
enum quantity schema_quantity(enum field_kind kind);

/* Where the value of `key` stands; the mapping's own place when it was left out. */
struct place schema_place(const struct bound *bound, const char *key);
bool         schema_given(const struct bound *bound, const char *key);

/* The reference page's tables, in Markdown: this mapping and those inside it. */
void schema_page(const struct mapping *mapping, struct text *out);

#endif
