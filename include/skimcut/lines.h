/*
 * lines - a text that comes in chunks, line by line.
 *
 * A line ends in LF, or in CR LF; neither is part of it. Lines are handed out as they lie in the chunk; only one that a chunk's
 * end cuts is copied. A line over the limit is found without waiting for its end.
 */
#ifndef SKIMCUT_LINES_H
#define SKIMCUT_LINES_H

#include <stdbool.h>
#include <stddef.h>

enum { LINE_MAX_LENGTH = 511 };

enum line_state {
	LINE_WAITED_FOR, /* it wants more, or has all */
	LINE_WHOLE,
	LINE_LAST,     /* without an end of its own */
	LINE_TOO_LONG, /* what is handed out is the first `limit` characters */
};

/* Starts as (struct lines){ .limit = ... }, at most LINE_MAX_LENGTH. */
struct lines {
	size_t      limit; /* characters in a line */
	const char *next, *stop;
	bool        ending;                     /* no other chunk will come */
	char        start[LINE_MAX_LENGTH + 1]; /* of a line whose end has not come yet, and a CR */
	size_t      started;
};

/* Only when the last chunk has been used up; `bytes` must last until that. */
void lines_feed(struct lines *lines, const char *bytes, size_t size);

/* The line lasts until the next call. */
enum line_state lines_next(struct lines *lines, const char **line, size_t *length);

#endif
