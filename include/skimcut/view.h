/*
 * view - how much of the set-up a drawing shows: the work, all that moves, and what is near of jaws and clamps.
 *
 * Jaws have no end, and a clamp may be long or far away: of them no more is shown than a part of the rest.
 */
#ifndef SKIMCUT_VIEW_H
#define SKIMCUT_VIEW_H

#include <stdbool.h>

#include "skimcut/length.h"

struct obstacle;
struct plan;

struct view {
	Length left, right, front, back;
};

/* The stock, all passes, the cutter where the first begins; something around them. */
struct view view_above(const struct plan *plan);

/* The stock, and the cutter with its centre there along Y; left and right are LENGTH_MAX away. */
struct view view_side(const struct plan *plan, Length centre);

/* How much of it is seen; false: nothing. */
bool view_sees(const struct view *view, const struct obstacle *obstacle, struct view *seen);

#endif
