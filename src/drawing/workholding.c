#include "skimcut/workholding.h"

#include <stdbool.h>
#include <string.h>

#include "skimcut/hold.h"
#include "skimcut/label.h"
#include "skimcut/svg.h"
#include "skimcut/view.h"

/* Where a name could stand. */
struct spot {
	double      x, y;
	const char *anchor;
};

enum { INSIDE = 4, SPOTS = 12 };

static void name_draw(const struct svg *svg, const struct view *seen, const char *name, const struct naming *naming);
static bool spot_take(const struct svg *svg, const struct spot *spot, const char *name, bool over,
                      const struct naming *naming);

static const double GAP_MM = 1;

void
workholding_draw(const struct svg *svg, const struct hold *hold, const struct view *view)
{
	svg_group(svg, "beside");
	for (size_t i = 0; i < hold->count; i++) {
		const struct obstacle *obstacle = &hold->obstacles[i];
		struct view            seen;

		if (!view_sees(view, obstacle, &seen))
			continue;
		if (seen.left == obstacle->left)
			svg_line(svg, LINE_OUTLINE, seen.left, seen.front, seen.left, seen.back);
		if (seen.right == obstacle->right)
			svg_line(svg, LINE_OUTLINE, seen.right, seen.front, seen.right, seen.back);
		if (seen.front == obstacle->front)
			svg_line(svg, LINE_OUTLINE, seen.left, seen.front, seen.right, seen.front);
		if (seen.back == obstacle->back)
			svg_line(svg, LINE_OUTLINE, seen.left, seen.back, seen.right, seen.back);
	}
	svg_group_end(svg);
}

void
workholding_name(const struct svg *svg, const struct hold *hold, const struct view *view, const struct naming *naming)
{
	for (size_t i = 0; i < hold->count; i++) {
		const char *name = hold->obstacles[i].name;
		struct view seen;

		if (view_sees(view, &hold->obstacles[i], &seen))
			name_draw(svg, &seen, name + (strncmp(name, "the ", 4) == 0 ? 4 : 0), naming);
	}
}

static void
name_draw(const struct svg *svg, const struct view *seen, const char *name, const struct naming *naming)
{
	const double left = svg_x(svg, seen->left), right = svg_x(svg, seen->right), middle = (left + right) / 2;
	const double back = svg_y(svg, seen->back), front = svg_y(svg, seen->front), row = LABEL_ROW_MM;
	const double level = (front + back + LABEL_TEXT_MM) / 2, below = front + LABEL_TEXT_MM + GAP_MM;
	const bool   large = right - left > label_width(name) + 2 * GAP_MM && front - back > row + GAP_MM;

	/* The first of them are inside. */
	const struct spot spots[SPOTS] = {
		{ middle, level, "middle" },
		{ left + GAP_MM, front - GAP_MM, "start" },
		{ right - GAP_MM, front - GAP_MM, "end" },
		{ left + GAP_MM, back + LABEL_TEXT_MM + GAP_MM, "start" },
		{ left - GAP_MM, level, "end" },
		{ right + GAP_MM, level, "start" },
		{ middle, back - GAP_MM, "middle" },
		{ middle, below, "middle" },
		{ middle, back - GAP_MM - row, "middle" },
		{ middle, below + row, "middle" },
		{ middle, back - GAP_MM - 2 * row, "middle" },
		{ middle, below + 2 * row, "middle" },
	};

	for (int over = 0; over < 2; over++)
		for (size_t i = large ? 0 : INSIDE; i < SPOTS; i++)
			if (spot_take(svg, &spots[i], name, over, naming)) {
				label_over(svg, spots[i].x, spots[i].y, spots[i].anchor, name);
				return;
			}
}

static bool
spot_take(const struct svg *svg, const struct spot *spot, const char *name, bool over, const struct naming *naming)
{
	if (spot->y - LABEL_ROW_MM < naming->top || spot->y > naming->bottom)
		return false;
	if (!over && !label_take(naming->drawn, svg, spot->x, spot->y, spot->anchor, name))
		return false;
	return label_take(naming->labels, svg, spot->x, spot->y, spot->anchor, name);
}
