#include "skimcut/heights.h"

#include <math.h>
#include <stdbool.h>

#include "skimcut/label.h"
#include "skimcut/svg.h"
#include "skimcut/text.h"
#include "skimcut/view.h"

static const double GAP_MM = 2;

void
heights_add(struct heights *heights, Length z, Length from, const char *words)
{
	struct height *each = heights->each;
	size_t         at;
	struct text    copy;

	if (heights->count < HEIGHTS_MOST)
		heights->count++;
	else if (heights->left_out++, z <= each[HEIGHTS_MOST - 1].z)
		return;
	for (at = heights->count - 1; at > 0 && each[at - 1].z < z; at--)
		each[at] = each[at - 1];
	each[at] = (struct height){ .z = z, .from = from };
	copy     = text_over(each[at].words, sizeof each[at].words);
	text_string(&copy, words);
	text_end(&copy);
}

double
heights_width(const struct heights *heights)
{
	double wide = 0;

	for (size_t i = 0; i < heights->count; i++)
		wide = fmax(wide, label_width(heights->each[i].words));
	return heights->count > 0 ? wide + HEIGHTS_LEADER_MM + GAP_MM : GAP_MM;
}

void
heights_place(struct heights *heights, double low, double high)
{
	double at[HEIGHTS_MOST];

	for (size_t i = 0; i < heights->count; i++)
		at[i] = heights->each[i].line_mm;
	label_spread(at, heights->count, LABEL_ROW_MM, low, high);
	for (size_t i = 0; i < heights->count; i++)
		heights->each[i].at_mm = at[i];
}

void
heights_draw(const struct heights *heights, const struct svg *svg, const struct view *view, double edge_mm)
{
	int    side  = heights->side;
	double words = edge_mm + side * HEIGHTS_LEADER_MM;

	for (size_t i = 0; i < heights->count; i++) {
		const struct height *height = &heights->each[i];
		bool                 ends   = height->from > view->front && height->from < view->back;
		double               from   = ends ? svg_x(svg, height->from) : edge_mm;

		svg_paper_line(svg, LINE_THIN, from, height->line_mm, edge_mm + side, height->line_mm);
		svg_paper_line(svg, LINE_THIN, edge_mm + side, height->line_mm, words - side, height->at_mm);
		label_draw(svg, words, height->at_mm + LABEL_TEXT_MM / 2, side > 0 ? "start" : "end", height->words);
	}
}
