/*
 * progress - a line on standard error that says how far the writing of a program has come.
 *
 * For a terminal only. It appears when a second has gone by, changes at most ten times a second, and is gone before anything
 * else is printed.
 */
#ifndef SKIMCUT_CLI_PROGRESS_H
#define SKIMCUT_CLI_PROGRESS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct path;

struct progress {
	bool    wanted;
	int64_t due_ns; /* not before that */
	size_t  shown;  /* columns of the line that stands there */
};

/* `wanted`: it was not switched off. Without a terminal there is none all the same. */
void progress_begin(struct progress *progress, bool wanted);

/* Looks at the clock, so: once a buffer. */
void progress_show(struct progress *progress, const struct path *path);

/* Wipes the line. */
void progress_end(struct progress *progress);

#endif
