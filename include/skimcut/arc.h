/*
 * arc - a circle's arc in the XY plane, as a block tells it: by its centre, or by its radius (NISTIR 6556, 3.5.3).
 */
#ifndef SKIMCUT_ARC_H
#define SKIMCUT_ARC_H

#include <stdbool.h>

#include "skimcut/block.h"
#include "skimcut/length.h"
#include "skimcut/meaning.h"
#include "skimcut/step.h"

#define ARC_WITHOUT_END "an arc tells X or Y, a full circle too"

/*
 * Adds the centre to a step that has its end, its direction, and the axes that were told; X and Y are then both among these.
 * By I and J, the radii at start and end may differ by two grid units. By R, the centre is the nearest whole nanometre; R may be
 * short of half the way between the ends by one.
 */
bool arc_read(const struct language *language, enum units units, const struct block *block, struct point from,
              struct step *step, struct fault *fault);

#endif
