/*
 * sideview - the set-up seen from the right end of the machine: seat, vise, parallels, part, the finished line, the cutter, heights.
 */
#ifndef SKIMCUT_SIDEVIEW_H
#define SKIMCUT_SIDEVIEW_H

struct plan;
struct text;

void sideview_draw(const struct plan *plan, struct text *out);

#endif
