/*
 * remark - what a person should know of a plan: what the machine could not give, what is unusual, what nobody checked.
 *
 * Notes and warnings only; what is refused was refused when the plan was made.
 */
#ifndef SKIMCUT_REMARK_H
#define SKIMCUT_REMARK_H

#include <stdbool.h>

struct arena;
struct diag;
struct plan;

/* False: memory is out. */
bool remark_make(const struct plan *plan, struct arena *arena, struct diag *diag);

#endif
