/*
 * data - the plan as JSON: everything that the pass plan says, for a program.
 *
 * One object; docs/data.md documents its keys. Every length and speed is there in SI and in the job's units.
 */
#ifndef SKIMCUT_DATA_H
#define SKIMCUT_DATA_H

#include <stdbool.h>

struct diag;
struct plan;
struct text;

enum { DATA_SCHEMA = 1 };

/* `diag` has the plan's notes and warnings. False: memory is out. */
bool data_json(const struct plan *plan, const struct diag *diag, struct text *out);

#endif
