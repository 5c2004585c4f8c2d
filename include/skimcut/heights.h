/*
 * heights - a column of heights told beside a drawing, each with a leader to the line it is the height of, none on another.
 *
 * There is room for HEIGHTS_MOST. Of more the highest are told, and the column knows how many are left out.
 */
#ifndef SKIMCUT_HEIGHTS_H
#define SKIMCUT_HEIGHTS_H

#include <stddef.h>

#include "skimcut/length.h"

struct svg;
struct view;

enum { HEIGHTS_MOST = 16 };

#define HEIGHTS_LEADER_MM 7 /* from the edge of the drawing to the words */

struct heights {
	int    side; /* -1: on the left of the drawing, 1: on the right */
	size_t count, left_out;
	struct height {
		Length z,
		    from; /* what it is the height of ends there, along Y; LENGTH_MAX: at the edge of the drawing */
		double line_mm, at_mm; /* how high on the paper it is, which is for others to say, and its words */
		char   words[64];
	} each[HEIGHTS_MOST]; /* the highest first */
};

void   heights_add(struct heights *heights, Length z, Length from, const char *words);
double heights_width(const struct heights *heights); /* on the paper, with leaders */

/* Once all their lines are placed: words within low..high, as near to their lines as that allows. */
void heights_place(struct heights *heights, double low, double high);

/* `edge_mm` is that of the drawing on the paper; what ends outside the view is seen to end there. */
void heights_draw(const struct heights *heights, const struct svg *svg, const struct view *view, double edge_mm);

#endif
