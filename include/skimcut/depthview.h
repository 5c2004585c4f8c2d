/*
 * depthview - how the height comes off: every cut's floor, the test cut, the stops, the skim.
 */
#ifndef SKIMCUT_DEPTHVIEW_H
#define SKIMCUT_DEPTHVIEW_H

struct plan;
struct text;

void depthview_draw(const struct plan *plan, struct text *out);

#endif
