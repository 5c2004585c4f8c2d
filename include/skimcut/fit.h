/*
 * fit - a plan that the machine and the grip can bear.
 *
 * Where the motor's power is known and a cut asks for more, the plan takes less: first depth, in more equal cuts, down to
 * FIT_DEPTH_LEAST; then stepover, then feed per tooth. What was taken back is said, and why. When even that is too much, or the
 * grip would not bear the forces, it is refused.
 */
#ifndef SKIMCUT_FIT_H
#define SKIMCUT_FIT_H

#include <stdbool.h>

#include "skimcut/plan.h"

/* The smallest cut that makes sense: below it the edge rubs; common practice, no source. */
#define FIT_DEPTH_LEAST (LENGTH_MM / 4)

/* As plan_make. */
bool fit_make(const struct job *job, struct grid grid, enum along along, struct arena *arena, struct plan *plan,
              struct diag *diag);

#endif
