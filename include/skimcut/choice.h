/*
 * choice - of the plans that the job allows, the one that takes the least time.
 */
#ifndef SKIMCUT_CHOICE_H
#define SKIMCUT_CHOICE_H

#include <stdbool.h>

#include "skimcut/plan.h"

/*
 * With `along: auto` both directions are planned and walked, and with `pattern: auto` and `milling: either` zigzag and one-way of each where
 * the cutter does not cover; a tie goes to the stock's longer side, and to the zigzag. The notes and warnings in
 * diag are those of the plan taken; when no plan can be made, those of the first tried.
 */
bool choice_make(const struct job *job, struct grid grid, struct arena *arena, struct plan *plan, struct diag *diag);

/* What the whole plan takes: its path walked. */
struct clock;
struct clock choice_time(const struct plan *plan);

#endif
