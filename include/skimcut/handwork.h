/*
 * handwork - what a person does at a machine worked by hand, in order, and what its dials read.
 *
 * For machine: {kind: manual} only. Sentences end with a full stop.
 */
#ifndef SKIMCUT_HANDWORK_H
#define SKIMCUT_HANDWORK_H

#include <stdbool.h>
#include <stddef.h>

#include "skimcut/dial.h"
#include "skimcut/length.h"

struct plan;
struct text;

bool handwork_wanted(const struct plan *plan);

/*
 * What is done before the first cut, between passes, and at every stop to measure: sentence `index` of each, in order. False: past
 * the last.
 */
bool handwork_before(const struct plan *plan, size_t index, struct text *out);
bool handwork_between(const struct plan *plan, size_t index, struct text *out);
bool handwork_stop(const struct plan *plan, size_t index, struct text *out);

/* How the table is fed, for roughing or for the skim: one sentence, that begins with a small letter. */
void handwork_feed(const struct plan *plan, bool skim, struct text *out);

/* The same in figures. */
struct feeding handwork_feeding(const struct plan *plan, bool skim);

/* How far the knee rises from the touch-off zero for a cut. */
Length handwork_up(const struct plan *plan, size_t cut);

/* From the touch-off zero, up, to the floor of a cut; across, from the edge that is zero, to a pass. The dial must be there. */
struct reading handwork_knee(const struct plan *plan, size_t cut);
struct reading handwork_across(const struct plan *plan, int64_t pass);

/* "2 turns + 15, saddle to the front": the way the handle's slide goes, which is the opposite of the cutter's over the work. */
struct shown handwork_across_show(const struct plan *plan, int64_t pass);

/* The blocks of the pass plan. */
void handwork_print(const struct plan *plan, struct text *out);

#endif
