/*
 * rows - what comes one after another in a plan, as JSON: cuts, passes, and what is done by hand.
 *
 * docs/data.md has the keys. Memory that is out: as in json.h.
 */
#ifndef SKIMCUT_ROWS_H
#define SKIMCUT_ROWS_H

#include "skimcut/json.h"

struct clock;
struct plan;

/* A list of the cuts. The clock walks the plan, from where it stands. */
json_t *rows_cuts(const struct plan *plan, struct clock *clock);

/* A list of the passes of every cut. */
json_t *rows_passes(const struct plan *plan);

/* An object; null where the machine is not worked by hand. */
json_t *rows_handwork(const struct plan *plan);

#endif
