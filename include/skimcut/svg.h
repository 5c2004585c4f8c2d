/*
 * svg - a drawing to scale, on paper measured in millimetres.
 *
 * The work's coordinates become the paper's here and nowhere else: paper = origin + work / scale, Y (or Z) upwards on the drawing.
 * Line types are those of ISO 128-2, black on white: what a line means is told by its kind and its width, never by a colour.
 */
#ifndef SKIMCUT_SVG_H
#define SKIMCUT_SVG_H

#include <stdbool.h>
#include <stdint.h>

#include "skimcut/length.h"
#include "skimcut/scale.h"

struct text;

enum line_kind {
	LINE_EDGE,    /* 01.2 continuous, wide: what is seen */
	LINE_THIN,    /* 01.1 continuous, narrow: dimensions, leaders, hatching */
	LINE_HIDDEN,  /* 02.1 dashed, narrow */
	LINE_CENTRE,  /* 04.1 long dash, dot, narrow: centre lines and paths */
	LINE_OUTLINE, /* 05.1 long dash, two dots, narrow: what was there before, what moves, what is beside */
};

struct svg {
	struct text *out;
	double       width_mm, height_mm; /* of the paper */
	bool         alone;               /* a document of its own, not a part of an HTML page */
	double       left_mm, bottom_mm;  /* of the work's origin on it, the latter from the top edge, as SVG does */
	struct scale across, up;          /* usually the same */
};

/* Paper coordinates of the work's: in SVG's sense, y downwards. */
double svg_x(const struct svg *svg, Length x);
double svg_y(const struct svg *svg, Length y);

/*
 * `id` is unique in the document; title and description are for those who hear the drawing read. The element says where the origin is
 * and the scales: data-left, data-bottom, data-across, data-up ("1:5"). An origin in whole ten thousandths of a millimetre is told exactly.
 */
void svg_begin(const struct svg *svg, const char *id, const char *title, const char *description);
void svg_end(const struct svg *svg);

/* What follows is about this: a group with a class of its own ("passes"), for those who read the drawing back. */
void svg_group(const struct svg *svg, const char *what);
void svg_group_end(const struct svg *svg);

/* In the work's coordinates. */
void svg_line(const struct svg *svg, enum line_kind kind, Length x1, Length y1, Length x2, Length y2);
void svg_box(const struct svg *svg, enum line_kind kind, Length left, Length bottom, Length right, Length top);
void svg_circle(const struct svg *svg, enum line_kind kind, Length x, Length y, Length diameter);

/* A line that says which it is, for those who read the drawing back: data-NAME="number". */
void svg_numbered_line(const struct svg *svg, enum line_kind kind, const char *name, int64_t number, Length x1,
                       Length y1, Length x2, Length y2);

/* On the paper, in millimetres, for what has no size in the work. */
void svg_paper_line(const struct svg *svg, enum line_kind kind, double x1, double y1, double x2, double y2);
void svg_paper_box(const struct svg *svg, enum line_kind kind, double left, double top, double right, double bottom);

/* White paper over what is drawn; a narrow line with a zigzag: cut off here. */
void svg_blank(const struct svg *svg, double left, double top, double right, double bottom);
void svg_break(const struct svg *svg, double x1, double x2, double y);

/* The head of an arrow: its tip, and a direction that is not 0. A small circle, white inside: where something begins. */
void svg_arrow(const struct svg *svg, double x, double y, double dx, double dy);
void svg_dot(const struct svg *svg, double x, double y);

/* The mark of a zero point: a circle of four fields, two black. */
void svg_zero(const struct svg *svg, double x, double y);

/* Text, escaped, on the paper: height_mm is that of its capitals, which stand on y; `anchor` is start, middle or end. */
void svg_text(const struct svg *svg, double x, double y, const char *anchor, double height_mm, const char *string);

#define SVG_EM 1.4 /* the size of a font over the height of its capitals */

#endif
