/*
 * surface - how smooth and how flat the face comes out, in theory.
 *
 *     Rz = r - sqrt(r^2 - f^2 / 4),  about f^2 / (8 r),  Ra = 0.2566 Rz     f between marks, r nose radius
 *     hollow = sin(delta) (sqrt(R^2 - dmin^2) - sqrt(R^2 - dmax^2)),  step = pitch tan(delta),  sin(delta) = error / over
 *
 * f is the feed per tooth if all edges stand level, and per revolution if one stands proud; a flat on the edges that is no shorter
 * than f wipes the marks away, a shorter one is not counted. Where f > 2 r the corner is no longer round enough, and Rz = f / 2.
 *
 * delta is how far the spindle is off square: along the travel it leaves a hollow, across it a step between passes. R is the
 * radius of the cutter, d how far a spot of the face is from the nearest pass's centre line.
 */
#ifndef SKIMCUT_SURFACE_H
#define SKIMCUT_SURFACE_H

#include <stdbool.h>

#include "skimcut/job.h"
#include "skimcut/layout.h"
#include "skimcut/length.h"

struct roughness {
	bool   known;                    /* the nose radius is told, or the flat wipes whatever one edge leaves */
	bool   wiped_level, wiped_proud; /* by the flat: the marks are next to nothing, and told as 0 */
	double rz_level_um, ra_level_um; /* all edges level */
	double rz_proud_um, ra_proud_um; /* one edge does all of it */
};

struct roughness surface_roughness(const struct cutter *cutter, Length fz);

/* The fastest feed per tooth that comes to no more than this Ra with all edges level; 0: neither nose radius nor flat told. */
Length surface_feed_for(const struct cutter *cutter, Length ra);

struct flatness {
	bool   known; /* the job says how true the spindle stands */
	double delta_rad;
	double hollow_um; /* the tilt all along the travel */
	double step_um;   /* between neighbouring passes, the tilt all across it; 0 with one pass */
	double worst_um;  /* no more than this out of flat, whichever way it leans */
};

/* "63.0 uin", "1.60 um". */
struct shown surface_show(double um, enum units units);

/* `width` is that of the work across the travel. */
struct flatness surface_flatness(const struct job *job, const struct cutter *cutter, const struct layout *layout,
                                 Length width);

#endif
