/*
 * cutter - does it cover the width, and is it the right size for it?
 *
 * A face is clean to its edges when the cutter reaches past them by `overlap`: a twentieth of the diameter, and never less
 * than twice the nose radius, because the edge's corner is round and does not cut to the full diameter at the full depth.
 */
#ifndef SKIMCUT_CUTTER_H
#define SKIMCUT_CUTTER_H

#include <stdbool.h>
#include <stddef.h>

#include "skimcut/job.h"

Length cutter_overlap(const struct cutter *cutter);

/* In one pass, reaching past both edges. */
bool cutter_covers(const struct cutter *cutter, Length width);

/* More than half as large again as the width, and more than an inch: it wears and shakes for nothing. */
bool cutter_oversize(const struct cutter *cutter, Length width);

/* No cut may be deeper: the least of what was said of depth and flutes; LENGTH_MAX when nothing was. */
Length cutter_depth_limit(const struct cutter *cutter);

/*
 * How far the edges reach beyond the diameter at the face, on one side, at this height above it: depth cot(kappa_r), rounded
 * up to a micrometre; 0 for a square shoulder.
 */
Length cutter_flare(const struct cutter *cutter, Length depth);

/* The smallest that covers the width; else the largest. Wants count > 0. */
const struct cutter *cutter_choose(const struct cutter *cutters, size_t count, Length width);

#endif
