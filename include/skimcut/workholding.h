/*
 * workholding - jaws and clamps as they are drawn from above: their outlines, and their names where there is room.
 */
#ifndef SKIMCUT_WORKHOLDING_H
#define SKIMCUT_WORKHOLDING_H

struct hold;
struct rooms;
struct svg;
struct view;

/* Without the sides at which the view ends before they do. */
void workholding_draw(const struct svg *svg, const struct hold *hold, const struct view *view);

/*
 * Where a name may stand: between `top` and `bottom` on the paper, never on another label, and on what is drawn only if there is no
 * other place. Both have the rooms of the names afterwards.
 */
struct naming {
	double        top, bottom;
	struct rooms *drawn, *labels;
};

/* In the middle or the corners of what it names if that is large enough, else beside it; without a place it is left out. */
void workholding_name(const struct svg *svg, const struct hold *hold, const struct view *view,
                      const struct naming *naming);

#endif
