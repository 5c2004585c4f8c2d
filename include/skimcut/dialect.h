/*
 * dialect - how one family of controllers wants its programs written, as a file in post/ or a user's own says it.
 *
 * After dialect_read everything is checked: resolutions are a power of ten of their unit, every {placeholder} of a block is
 * one that the block can fill, and no letter allowed in a comment can end it.
 */
#ifndef SKIMCUT_DIALECT_H
#define SKIMCUT_DIALECT_H

#include <stdbool.h>
#include <stdint.h>

#include "skimcut/length.h"
#include "skimcut/schema.h"
#include "skimcut/step.h"

enum numerals {
	NUMERALS_POINT,       /* 1.5 */
	NUMERALS_ALL_DIGITS,  /* 0015000 with 3.4 digits */
	NUMERALS_NO_LEADING,  /* 15000 */
	NUMERALS_NO_TRAILING, /* 0015 */
};

enum bare { BARE_UNCLEAR, BARE_WHOLE };
enum arcs { ARCS_CENTRE, ARCS_RADIUS, ARCS_NONE };
enum repeat { REPEAT_MOTION, REPEAT_COORDINATES, REPEAT_FEED };
enum line_end { LINE_END_LF, LINE_END_CRLF };
enum comment_case { COMMENT_UPPER, COMMENT_AS_WRITTEN };

/* One value for programs in millimetres, one for programs in inches. */
struct per_units {
	struct bound bound;
	int64_t      mm, inch;
};

struct number_style {
	struct bound     bound;
	enum numerals    form;
	enum bare        bare;              /* a number without its point, in a program read */
	struct per_units whole, feed_whole; /* digits before the point */
};

struct words {
	struct bound bound;
	const char  *rapid, *feed, *arc_clockwise, *arc_counterclockwise; /* the last two "" when there are none */
	const char  *mm, *inch;
};

struct block_numbers {
	struct bound bound; /* bound.node NULL: blocks have none */
	int64_t      first, step, last, digits;
};

struct comment_style {
	struct bound      bound; /* bound.node NULL: there are no comments */
	const char       *open, *close;
	const char       *letters;
	enum comment_case letter_case;
	int64_t           longest;
};

/* Blocks are templates: lists of lines, NULL where the dialect has none. */
struct spindle_blocks {
	struct bound       bound;
	const struct node *clockwise, *counterclockwise, *off;
};

struct coolant_blocks {
	struct bound       bound;
	const struct node *mist, *flood, *off;
};

struct dialect {
	struct bound          bound;
	const char           *name, *about;
	struct per_units      resolution, feed_resolution; /* Length, Speed */
	struct number_style   numerals;
	struct words          words;
	const char           *separator;
	enum line_end         line_end;
	struct block_numbers  block_numbers;
	unsigned              repeat; /* 1 << enum repeat: said in every block, changed or not */
	struct comment_style  comment;
	enum arcs             arcs;
	int64_t               longest_block; /* characters, the line's end not counted */
	const struct node    *head, *begin, *tool, *stop, *end, *tail;
	const struct node    *also; /* words that a program of others may hold beside */
	struct spindle_blocks spindle;
	struct coolant_blocks coolant;
};

bool dialect_read(struct source *source, struct arena *arena, struct dialect *dialect, struct diag *diag);

/* What a program in these units can tell apart. */
struct grid dialect_grid(const struct dialect *dialect, enum units units);

/* The value for these units. */
int64_t per_units_value(const struct per_units *pair, enum units units);

const struct mapping *dialect_mapping(void);

/* The placeholders a template's line may hold; for each, the values are the writer's. */
enum placeholder {
	PLACEHOLDER_UNITS,  /* {units}: the dialect's word for the job's */
	PLACEHOLDER_OFFSET, /* {offset}: G54 to G59 */
	PLACEHOLDER_NUMBER, /* {number}: the program's */
	PLACEHOLDER_TOOL,   /* {tool} */
	PLACEHOLDER_SPEED,  /* {speed}: rev/min */
	PLACEHOLDERS
};

/* The placeholder that begins at `at` ("{units}...") and its length in characters; PLACEHOLDERS: none that is known. */
enum placeholder placeholder_find(const char *at, size_t *length);

/* Any line of the block has this in it; a block that is not there has nothing. */
bool block_holds(const struct node *block, const char *placeholder);

#endif
