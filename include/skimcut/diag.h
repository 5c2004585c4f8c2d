/*
 * diag - what went wrong or is worth saying, where, and how badly.
 *
 * Everything that can fail takes a diag and leaves its reason there; the command line prints it and picks the exit status.
 */
#ifndef SKIMCUT_DIAG_H
#define SKIMCUT_DIAG_H

#include <stdbool.h>
#include <stddef.h>

#include "skimcut/length.h"

struct arena;
struct text;

/* A file as it was read. Its bare numbers are in `units`. */
struct source {
	const char *name;
	const char *text; /* with a NUL behind; NULL: nobody has it any more, and lines cannot be shown */
	size_t      length;
	enum units  units;
};

/* Counted from 1, columns in characters; line 0: the file as a whole; no source: the program as a whole. */
struct place {
	const struct source *source;
	size_t               line, column;
};

enum severity {
	SEVERITY_NOTE,    /* said, not to be acted on */
	SEVERITY_WARNING, /* think before cutting */
	SEVERITY_REFUSED, /* understood, and not done, because it is not safe; exit 1 */
	SEVERITY_ERROR,   /* a bad input or a bad command; exit 2 */
	SEVERITY_SYSTEM,  /* disk or memory; printed as an error; exit 3 */
};

struct message {
	const struct message *next;
	enum severity         severity;
	struct place          place;
	const char           *text;
};

/* Starts as (struct diag){ .arena = ... }. */
struct diag {
	struct arena   *arena;
	struct message *first, *last;
	size_t          errors;    /* of REFUSED and above */
	size_t          dropped;   /* of those, past DIAG_MAX and not kept */
	enum severity   worst;     /* of everything said, kept or not */
	bool            no_memory; /* memory ran out, here or elsewhere */
	bool            colour;    /* printed on a terminal that shows it: the severity and the caret */
};

enum { DIAG_MAX = 40 };

/* Returns false, so that a failure can be `return diag_add(...)`. The text is one sentence without its full stop. */
bool diag_add(struct diag *diag, enum severity severity, struct place place, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
bool diag_no_memory(struct diag *diag);

void diag_append(struct diag *diag, const struct diag *more); /* both in one arena */

/* 0 done, 1 refused, 2 bad input, 3 the system failed: the worst of what was said. */
int diag_status(const struct diag *diag);

/*
 * Every message from `least` up: "file:line:column: error: text", then the line it speaks of with a caret below. `program`
 * stands in for the file where there is none.
 */
void diag_print(const struct diag *diag, enum severity least, const char *program, struct text *out);

/* The 1-based line of a source without its end, for those who show it; NULL past the end. */
const char *source_line(const struct source *source, size_t line, size_t *length);

#endif
