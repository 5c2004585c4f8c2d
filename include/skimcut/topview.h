/*
 * topview - the passes of one cut, seen from above: outline, centre lines, where they begin and end, what stands beside.
 */
#ifndef SKIMCUT_TOPVIEW_H
#define SKIMCUT_TOPVIEW_H

#include <stdbool.h>

struct plan;
struct text;

/* A document of its own begins with an XML declaration and names SVG's namespace. */
void topview_draw(const struct plan *plan, bool alone, struct text *out);

#endif
