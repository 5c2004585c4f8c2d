/*
 * weighing - loads, grip and surface on the pass plan: margins as numbers, and a plain word for each.
 */
#ifndef SKIMCUT_WEIGHING_H
#define SKIMCUT_WEIGHING_H

struct margins;
struct paper;
struct plan;
struct weights;

void weighing_print(const struct plan *plan, const struct weights *weights, const struct paper *paper);

/* Its words, for whoever says the same elsewhere. Why this coolant: a clause without a full stop. */
const char *weighing_coolant(const struct plan *plan);

/* Of the motor's power: "easy", "firm", "near its limit". */
const char *weighing_share(double share);

/* Of the lesser margin: "held fast", "held", "too little". NULL: no force is against it. */
const char *weighing_margins(const struct margins *margins, double wanted);

#endif
