/*
 * standings - a ranking of cutters as a page for a person or as JSON for a program.
 */
#ifndef SKIMCUT_STANDINGS_H
#define SKIMCUT_STANDINGS_H

#include <stdbool.h>

struct job;
struct ranking;
struct text;

void standings_print(const struct job *job, const struct ranking *ranking, struct text *out);

/* One object; its keys are documented in docs/cutters.md. False: memory is out. */
bool standings_json(const struct job *job, const struct ranking *ranking, struct text *out);

#endif
