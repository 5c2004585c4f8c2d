/*
 * weighed - what weighing.h puts on paper, as JSON.
 *
 * Objects; docs/data.md has their keys. Memory that is out: as in json.h.
 */
#ifndef SKIMCUT_WEIGHED_H
#define SKIMCUT_WEIGHED_H

#include "skimcut/json.h"

struct plan;
struct weights;

json_t *weighed_loads(const struct plan *plan, const struct weights *weights);
json_t *weighed_surface(const struct plan *plan, const struct weights *weights);
json_t *weighed_flatness(const struct plan *plan, const struct weights *weights);

/* Null where neither vise nor clamps are described. */
json_t *weighed_grip(const struct plan *plan, const struct weights *weights);

#endif
