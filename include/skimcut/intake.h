/*
 * intake - the job's file and its shop's file, read into a struct job.
 *
 * Both are bound by the tables of job.h, what the job says wins, names are looked up, and what contradicts itself is said.
 */
#ifndef SKIMCUT_INTAKE_H
#define SKIMCUT_INTAKE_H

#include <stdbool.h>

#include "skimcut/diag.h"

struct arena;
struct job;

/*
 * Opens the shop's file for intake_read: a path as the job gives it, and the place that names it. The source it returns lives as
 * long as the arena. NULL: it could not, and said why in diag.
 */
struct library {
	const struct source *(*open)(void *context, const char *path, struct place place, struct arena *arena,
	                             struct diag *diag);
	void *context;
};

/* Sets source->units as it reads. False: nothing in *job is to be used, and diag has every error of both files. */
bool intake_read(struct source *source, const struct library *library, struct arena *arena, struct job *job,
                 struct diag *diag);

#endif
