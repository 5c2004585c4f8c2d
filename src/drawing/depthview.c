#include "skimcut/depthview.h"

#include <math.h>

#include "skimcut/caption.h"
#include "skimcut/label.h"
#include "skimcut/plan.h"
#include "skimcut/svg.h"
#include "skimcut/text.h"

/* All are drawn up to so many; of more, every n-th so that there are no more than so many, and what must not be missed. */
enum { CUTS_SHOWN = 14, CUTS_KEPT = 10 };

/* One level of the drawing: the stock's top, or the floor of a cut. */
struct level {
	bool   is_stock;
	size_t cut;
	Length height;
	double at; /* of its label, on the paper */
};

struct drawn {
	struct level each[CUTS_SHOWN + 1];
	size_t       count;
	int64_t      every;
};

static struct drawn drawn_find(const struct plan *plan);
static bool         is_kept(const struct plan *plan, size_t cut, int64_t every);
static struct svg   paper_find(const struct plan *plan, struct drawn *drawn, struct text *out);
static void         begin(const struct svg *svg, const struct plan *plan);
static void         part_draw(const struct svg *svg, const struct plan *plan);
static void         levels_draw(const struct svg *svg, const struct plan *plan, const struct drawn *drawn);
static void         level_label(const struct svg *svg, const struct plan *plan, const struct level *level);
static void         headings_draw(const struct svg *svg, enum units units);
static void         captions_draw(const struct svg *svg, const struct plan *plan, const struct drawn *drawn);

static const double WIDTH_MM = 180;

/* From top to bottom: the headings, the levels, what is seen of the part below the finished face, the captions. */
static const double HEADINGS_MM = 9, LEVELS_MM = 60, PART_MM = 9, CAPTIONS_MM = 11;

/* From left to right: which cut, the work, its depth, what it leaves, what is to be done. */
static const double CUT_MM = 36, WORK_LEFT_MM = 46, DEPTH_MM = 114, LEFT_MM = 142, STOP_MM = 146, LEADER_MM = 8;
static const Length WORK = 40 * LENGTH_MM;

void
depthview_draw(const struct plan *plan, struct text *out)
{
	struct drawn drawn = drawn_find(plan);
	struct svg   svg   = paper_find(plan, &drawn, out);

	begin(&svg, plan);
	part_draw(&svg, plan);
	levels_draw(&svg, plan, &drawn);
	headings_draw(&svg, plan->job->units);
	captions_draw(&svg, plan, &drawn);
	svg_end(&svg);
}

static struct drawn
drawn_find(const struct plan *plan)
{
	const struct schedule *schedule = &plan->schedule;
	struct drawn           drawn    = { .count = 1, .every = 1 };

	drawn.each[0] = (struct level){ .is_stock = true, .height = schedule->cuts[0].top };
	if (schedule->count > CUTS_SHOWN)
		drawn.every = scale_every((double)schedule->count / CUTS_KEPT);
	for (size_t i = 0; i < schedule->count; i++)
		if (is_kept(plan, i, drawn.every))
			drawn.each[drawn.count++] = (struct level){ .cut = i, .height = schedule->cuts[i].floor };
	return drawn;
}

/* There are two stops at the most: after the test cut, which is the first, and before the skim. */
static bool
is_kept(const struct plan *plan, size_t cut, int64_t every)
{
	return cut == 0 || cut + 1 == plan->schedule.count || plan_stops_after(plan, cut) ||
	       (int64_t)(cut + 1) % every == 0;
}

static struct svg
paper_find(const struct plan *plan, struct drawn *drawn, struct text *out)
{
	const Length removal = plan->schedule.cuts[0].top - plan->final;
	double       at[CUTS_SHOWN + 1], labels = (double)(drawn->count - 1) * LABEL_ROW_MM, tall;
	struct svg   svg = { .out = out, .width_mm = WIDTH_MM, .left_mm = WORK_LEFT_MM, .across = { 1, 1 } };

	svg.up        = scale_find(0, removal, 0, LEVELS_MM);
	tall          = ceil(fmax(scale_mm(svg.up, removal), labels));
	svg.height_mm = HEADINGS_MM + tall + PART_MM + CAPTIONS_MM;
	svg.bottom_mm = round(HEADINGS_MM + (tall + scale_mm(svg.up, removal)) / 2 + scale_mm(svg.up, plan->final));
	for (size_t i = 0; i < drawn->count; i++)
		at[i] = svg_y(&svg, drawn->each[i].height);
	label_spread(at, drawn->count, LABEL_ROW_MM, HEADINGS_MM, HEADINGS_MM + tall);
	for (size_t i = 0; i < drawn->count; i++)
		drawn->each[i].at = at[i];
	return svg;
}

static void
begin(const struct svg *svg, const struct plan *plan)
{
	char        buffer[256];
	struct text description = text_over(buffer, sizeof buffer);
	enum units  units       = plan->job->units;

	text_format(&description, "From %s %s to %s in %zu %s.", length_figure(plan->schedule.cuts[0].top, units).text,
	            units_name(units), length_figure(plan->final, units).text, plan->schedule.count,
	            plan->schedule.count == 1 ? "cut" : "cuts");
	svg_begin(svg, "depths", "How the height comes off", text_end(&description));
}

/* Finished, with wide edges and cut off below; what was there before stands on it. */
static void
part_draw(const struct svg *svg, const struct plan *plan)
{
	double left = svg_x(svg, 0), right = svg_x(svg, WORK), face = svg_y(svg, plan->final);
	double top = svg_y(svg, plan->schedule.cuts[0].top), below = svg->height_mm - CAPTIONS_MM - 2;

	svg_group(svg, "part");
	svg_paper_line(svg, LINE_EDGE, left, face, left, below);
	svg_paper_line(svg, LINE_EDGE, right, face, right, below);
	svg_break(svg, left - 2, right + 2, below);
	svg_paper_line(svg, LINE_OUTLINE, left, face, left, top);
	svg_paper_line(svg, LINE_OUTLINE, right, face, right, top);
	svg_line(svg, LINE_OUTLINE, 0, plan->schedule.cuts[0].top, WORK, plan->schedule.cuts[0].top);
	svg_group_end(svg);
}

static void
levels_draw(const struct svg *svg, const struct plan *plan, const struct drawn *drawn)
{
	svg_group(svg, "levels");
	for (size_t i = 0; i < drawn->count; i++) {
		const struct level *level = &drawn->each[i];

		if (!level->is_stock)
			svg_numbered_line(svg, level->height == plan->final ? LINE_EDGE : LINE_THIN, "cut",
			                  (int64_t)level->cut + 1, 0, level->height, WORK, level->height);
	}
	svg_group_end(svg);
	for (size_t i = 0; i < drawn->count; i++)
		level_label(svg, plan, &drawn->each[i]);
}

static void
level_label(const struct svg *svg, const struct plan *plan, const struct level *level)
{
	static const char *const KINDS[] = { [CUT_TEST] = "test", [CUT_ROUGH] = "rough", [CUT_SKIM] = "skim" };

	const struct cut *cut   = &plan->schedule.cuts[level->cut];
	enum units        units = plan->job->units;
	double      right = svg_x(svg, WORK), line = svg_y(svg, level->height), base = level->at + LABEL_TEXT_MM / 2;
	char        buffer[64];
	struct text name = text_over(buffer, sizeof buffer);

	svg_paper_line(svg, LINE_THIN, right, line, right + LEADER_MM, level->at);
	label_draw(svg, LEFT_MM, base, "end", length_figure(level->height, units).text);
	if (level->is_stock) {
		label_draw(svg, STOP_MM, base, "start", "the stock");
		return;
	}
	text_format(&name, "%zu %s", level->cut + 1, KINDS[cut->kind]);
	svg_paper_line(svg, LINE_THIN, WORK_LEFT_MM, line, WORK_LEFT_MM - LEADER_MM, level->at);
	label_draw(svg, CUT_MM, base, "end", text_end(&name));
	label_draw(svg, DEPTH_MM, base, "end", length_figure(cut->top - cut->floor, units).text);
	if (plan_stops_after(plan, level->cut)) {
		svg_arrow(svg, STOP_MM, level->at, -1, 0);
		label_draw(svg, STOP_MM + 3.5, base, "start", "stop: measure");
	} else if (level->height == plan->final) {
		label_draw(svg, STOP_MM, base, "start", "finished");
	}
}

static void
headings_draw(const struct svg *svg, enum units units)
{
	const double base  = LABEL_TEXT_MM + 1;
	const char  *depth = units == UNITS_INCH ? "depth, in" : "depth, mm";

	label_draw(svg, CUT_MM, base, "end", "cut");
	label_draw(svg, DEPTH_MM, base, "end", depth);
	label_draw(svg, LEFT_MM, base, "end", "height left");
	svg_paper_line(svg, LINE_THIN, 2, base + 1.5, WIDTH_MM - 2, base + 1.5);
}

static void
captions_draw(const struct svg *svg, const struct plan *plan, const struct drawn *drawn)
{
	struct caption caption = { svg, svg->height_mm - 1 - LABEL_ROW_MM };
	char           buffer[128];
	struct text    words = text_over(buffer, sizeof buffer);

	if (drawn->every > 1)
		text_format(&words, "Drawn: every %s of %zu cuts, the first, the last, and any before a stop.",
		            caption_ordinal(drawn->every).text, plan->schedule.count);
	else
		text_string(&words, "Chain line with two dots: the stock.");
	caption_row(&caption, text_end(&words));
	words = text_over(buffer, sizeof buffer);
	text_format(&words, "Heights to scale %s; width not to scale.", scale_show(svg->up).text);
	caption_row(&caption, text_end(&words));
}
