/*
 * verdict - what a proof found, as a page for a person or as JSON for a program.
 */
#ifndef SKIMCUT_VERDICT_H
#define SKIMCUT_VERDICT_H

#include <stdbool.h>

struct text;
struct trial;

/* `program` and `job` are names of files. */
void verdict_print(const struct trial *trial, const char *program, const char *job, struct text *out);

/* One object; its keys are documented in docs/proof.md. False: memory is out. */
bool verdict_json(const struct trial *trial, const char *program, const char *job, struct text *out);

#endif
