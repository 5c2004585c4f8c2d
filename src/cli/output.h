/*
 * output - a stream that becomes a file all at once or not at all.
 *
 * A new or regular file is written beside itself under a temporary name, and takes its own name only when everything has
 * reached the disk. A signal that ends the program removes the temporary file. Standard output, and what is no regular file
 * (a pipe, a terminal, a printer), is written as it comes.
 */
#ifndef SKIMCUT_CLI_OUTPUT_H
#define SKIMCUT_CLI_OUTPUT_H

#include <stdbool.h>
#include <stdint.h>

#include "skimcut/diag.h"
#include "skimcut/text.h"

enum { OUTPUT_BUFFER = 65536 };

struct output {
	struct text text;               /* write here */
	const char *name;               /* for messages */
	char       *target, *temporary; /* NULL when written as it comes */
	int         file;
	bool        opened; /* by output_open; standard output was there already */
	int         error;  /* errno of the write that failed */
	void (*watch)(void *watcher, const char *bytes,
	              size_t size); /* NULL, or sees everything before it is written */
	void    *watcher;
	uint64_t bytes;
	char     buffer[OUTPUT_BUFFER];
};

/* NULL and "-" are standard output. A target that is one of `inputs` (ended by NULL) is refused as a mistake. */
bool output_open(struct output *output, const char *path, const char *const *inputs, struct diag *diag);

/* Writes the rest, and gives the file its name. False: the target is as it was. */
bool output_commit(struct output *output, struct diag *diag);

/* The target stays as it was. */
void output_abandon(struct output *output);

#endif
