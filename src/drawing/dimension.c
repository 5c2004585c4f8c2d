#include "skimcut/dimension.h"

#include <math.h>
#include <stdbool.h>

#include "skimcut/label.h"
#include "skimcut/svg.h"

static void figure_draw(const struct svg *svg, struct rooms *rooms, double x, double y, const char *anchor,
                        const char *figure);

/* One as long as this has its arrow heads inside. */
static const double HEADS_INSIDE_MM = 7, TAIL_MM = 5;

void
dimension_across(const struct svg *svg, struct rooms *rooms, double x1, double x2, double y, const char *figure)
{
	bool   inside = x2 - x1 >= fmax(HEADS_INSIDE_MM, label_width(figure));
	double tail   = inside ? 0 : TAIL_MM;

	svg_paper_line(svg, LINE_THIN, x1 - tail, y, x2 + tail, y);
	svg_arrow(svg, x1, y, inside ? -1 : 1, 0);
	svg_arrow(svg, x2, y, inside ? 1 : -1, 0);
	if (inside)
		figure_draw(svg, rooms, (x1 + x2) / 2, y - 1, "middle", figure);
	else
		figure_draw(svg, rooms, x2 + tail + 1, y + LABEL_TEXT_MM / 2, "start", figure);
}

void
dimension_up(const struct svg *svg, struct rooms *rooms, double x, double y1, double y2, const char *figure)
{
	bool   inside = y2 - y1 >= HEADS_INSIDE_MM;
	double tail   = inside ? 0 : TAIL_MM;

	svg_paper_line(svg, LINE_THIN, x, y1 - tail, x, y2 + tail);
	svg_arrow(svg, x, y1, 0, inside ? -1 : 1);
	svg_arrow(svg, x, y2, 0, inside ? 1 : -1);
	figure_draw(svg, rooms, x - 1, (y1 + y2 + LABEL_TEXT_MM) / 2, "end", figure);
}

static void
figure_draw(const struct svg *svg, struct rooms *rooms, double x, double y, const char *anchor, const char *figure)
{
	label_draw(svg, x, y, anchor, figure);
	if (rooms)
		label_keep(rooms, label_room(x, y, anchor, figure));
}
