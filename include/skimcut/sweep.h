/*
 * sweep - what a disc passes over on a straight way, seen from above: all points nearer to the way than the radius.
 *
 *        .-----------------.          It is convex, and both questions asked of it are answered on the safe side:
 *      (  o---------------o  )        sweep_near may say yes two nanometres too far out where the way is slanted,
 *        '-----------------'          and sweep_chord is that of a sweep two nanometres narrower.
 *
 * A loose one may take any way inside the rectangle of which its ends are corners, as rapid moves do on many machines.
 */
#ifndef SKIMCUT_SWEEP_H
#define SKIMCUT_SWEEP_H

#include <stdbool.h>

#include "skimcut/length.h"

struct rect {
	Length left, right, front, back;
};

struct sweep {
	struct point from, to; /* x and y */
	Length       radius;
	struct rect  way;      /* the least rectangle with both ends */
	bool         straight; /* along X or along Y, or standing still, or loose: the way's rectangle says it all */
	double       length_nm;
	double       along_x, along_y; /* unit vector; 0, 0 where nothing moves */
};

struct sweep sweep_make(struct point from, struct point to, Length radius, bool loose);

/* Some point of the rectangle, its edge included, is nearer to the way than the radius. */
bool sweep_near(const struct sweep *sweep, const struct rect *rect);

/* The rectangle that the disc's full width passes over; false when the way is slanted or nothing moves. */
bool sweep_core(const struct sweep *sweep, struct rect *core);

/* A point of a rectangle that is near, near enough itself, and not far from the start. */
struct point sweep_contact(const struct sweep *sweep, const struct rect *rect);

/* Where the line at this y runs through the sweep. False: nowhere. */
bool sweep_chord(const struct sweep *sweep, Length y, Length *left, Length *right);

#endif
