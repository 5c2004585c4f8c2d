/*
 * weighing - loads, grip and surface on the pass plan: margins as numbers, and a plain word for each.
 */
#ifndef SKIMCUT_WEIGHING_H
#define SKIMCUT_WEIGHING_H

struct plan;
struct text;
struct weights;

void weighing_print(const struct plan *plan, const struct weights *weights, struct text *out);

#endif
