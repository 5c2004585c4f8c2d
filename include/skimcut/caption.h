/*
 * caption - the rows of words below a drawing, from the left edge of its paper.
 */
#ifndef SKIMCUT_CAPTION_H
#define SKIMCUT_CAPTION_H

#include <stdint.h>

#include "skimcut/svg.h"

struct caption {
	const struct svg *svg;
	double            base; /* on which the next row stands */
};

/* Of so many rows, at the bottom of the paper; caption_top is where the room for them begins. */
double         caption_top(const struct svg *svg, int rows);
struct caption caption_begin(const struct svg *svg, int rows);

/* One row: words; or a piece of a line and what it stands for. */
void caption_row(struct caption *caption, const char *words);
void caption_legend(struct caption *caption, enum line_kind kind, const char *words);

/* "10th", as in "every 10th". */
struct shown caption_ordinal(int64_t number);

#endif
