/*
 * chips - where a pass throws its chips: where a guard goes, and where nobody stands.
 *
 * A tooth throws along its own way. Over the engaged arc, seen from above and turning clockwise, the sum of those ways weighted by
 * the chip's thickness is where most of it goes; the ways at entry and exit are the ends of the fan. Derivation: docs/method.md.
 */
#ifndef SKIMCUT_CHIPS_H
#define SKIMCUT_CHIPS_H

#include <stdint.h>

#include "skimcut/plan.h"

/* Of the machine, seen from where the operator stands, which is the front. */
enum side { SIDE_RIGHT = 1, SIDE_BACK = 2, SIDE_LEFT = 4, SIDE_FRONT = 8 };

/*
 * x, y: where most goes, as a unit vector, X to the right and Y to the back; both 0 when the pass cuts nothing. `towards`: the same in
 * words, one side, or two that meet in a corner. `guard`: every side that the fan reaches. `stand`: the side or corner opposite, as
 * far as no chips reach it, and never the back; 0: nowhere but behind the guard.
 */
struct chips {
	double   x, y;
	unsigned towards, guard, stand;
};

struct chips chips_find(const struct plan *plan, int64_t pass);

/* Where either throws: both go to the same sides. */
void chips_widen(struct chips *chips, const struct chips *other);

/* "the back left", "the front", "the left or the right"; for `guard`, which may have more than two: "back, left and front". */
const char  *chips_corner(unsigned sides);
struct shown chips_sides(unsigned sides);

#endif
