/*
 * writer - steps to the text of a program, in a dialect.
 *
 * Every coordinate must be a whole number of grid units from `zero`: the writer never rounds. What the dialect cannot say (a
 * block it lacks, a number its digits cannot hold, a line over its length) is refused in diag. Nothing is allocated.
 */
#ifndef SKIMCUT_WRITER_H
#define SKIMCUT_WRITER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "skimcut/dialect.h"
#include "skimcut/diag.h"
#include "skimcut/length.h"
#include "skimcut/step.h"

struct text;

/* What a program says before its first block. */
struct heading {
	enum units         units;
	struct point       zero;
	int                work_offset;
	bool               offset_wanted; /* by name: a dialect without {offset} is then refused */
	int64_t            number;        /* 0: none */
	const char *const *lines;         /* comments */
	size_t             line_count;
};

enum { WRITER_LINE = 512 };

struct writer {
	const struct dialect *dialect;
	const struct heading *heading;
	struct text          *out;
	struct diag          *diag;
	struct grid           grid;
	int                   decimals, feed_decimals;
	int64_t               whole, feed_whole; /* digits before the point */
	int64_t               number;            /* of the next block */
	int64_t               tools;             /* tool steps so far */
	/* What the machine remembers; forgotten at a stop, so that a program can be taken up again from there. */
	const char  *motion;
	unsigned     known; /* axes */
	struct point at;
	Speed        feed; /* 0: none told */
	/* The line being made. */
	char   line[WRITER_LINE];
	size_t length;
	bool   too_long, refused;
};

/* Writes all that stands before the first step. heading and dialect outlive the writer. */
bool writer_begin(struct writer *writer, const struct dialect *dialect, const struct heading *heading, struct text *out,
                  struct diag *diag);

/* STEP_END writes all that stands behind the last. False: refused, or `out` failed; the rest of the program is worthless. */
bool writer_step(struct writer *writer, const struct step *step);

#endif
