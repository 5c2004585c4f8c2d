/*
 * dimension - the distance between two lines of a drawing: a line with arrow heads, and its figure above it or on its left.
 *
 * Where there is no room between the two, the heads stand outside, and so does the figure of a dimension across. The figure's room is
 * kept where `rooms` is not NULL.
 */
#ifndef SKIMCUT_DIMENSION_H
#define SKIMCUT_DIMENSION_H

struct rooms;
struct svg;

/* On the paper: from x1 to x2 at the height y, from y1 down to y2 at x. */
void dimension_across(const struct svg *svg, struct rooms *rooms, double x1, double x2, double y, const char *figure);
void dimension_up(const struct svg *svg, struct rooms *rooms, double x, double y1, double y2, const char *figure);

#endif
