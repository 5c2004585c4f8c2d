/*
 * scale - how large things are drawn: a ratio of the preferred series of ISO 5455; and how many of them, where not all can be.
 */
#ifndef SKIMCUT_SCALE_H
#define SKIMCUT_SCALE_H

#include <stdint.h>

#include "skimcut/length.h"

/* Drawn size to real size: 1:5, 2:1. */
struct scale {
	int64_t drawn, real;
};

/*
 * The largest that brings `width` x `height` of the work, either of which may be 0, into a room of so many millimetres on paper: from
 * 1000:1 to 1:10000, which is taken when none is small enough.
 */
struct scale scale_find(Length width, Length height, double room_width_mm, double room_height_mm);
struct shown scale_show(struct scale scale);         /* "1:5" */
double       scale_mm(struct scale scale, Length x); /* on paper */

/* Every so many of them are drawn: the smallest of 1, 2, 5, 10, 20 ... that is not less than `least`. */
int64_t scale_every(double least);

#endif
