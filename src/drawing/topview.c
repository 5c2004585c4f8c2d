#include "skimcut/topview.h"

#include <math.h>

#include "skimcut/caption.h"
#include "skimcut/chips.h"
#include "skimcut/dimension.h"
#include "skimcut/label.h"
#include "skimcut/plan.h"
#include "skimcut/svg.h"
#include "skimcut/text.h"
#include "skimcut/view.h"
#include "skimcut/workholding.h"

/* Passes nearer than this on paper are thinned out; then they are fewer than PASSES_DRAWN in the room that there is. */
#define PASSES_APART_MM 2.0
enum { PASSES_DRAWN = 100, CHIPS_DRAWN = 2 };

/* On the paper, beside the view. */
struct margins {
	double left, right, top, bottom;
};

struct sight {
	const struct plan *plan;
	bool               is_x, linked; /* the passes run along X; they are linked at depth */
	struct view        view;
	struct svg         svg;
	struct margins     margins;
	struct rooms       labels, lines; /* where there are any */
	int64_t            drawn[PASSES_DRAWN], every;
	size_t             count;
	int64_t            chips[CHIPS_DRAWN]; /* passes that throw them differently */
	size_t             chips_count;
};

static void           chips_choose(struct sight *sight);
static struct margins margins_find(const struct sight *sight);
static double         above_mm(const struct sight *sight);
static double         number_mm(const struct sight *sight);
static int            rows_below(const struct sight *sight);
static void           paper_find(struct sight *sight);
static void           passes_choose(struct sight *sight);
static void           begin(const struct sight *sight);
static void           passes_draw(struct sight *sight);
static struct room    line_room(const struct svg *svg, const struct pass *pass);
static void           pass_ends_draw(const struct sight *sight, const struct pass *pass);
static void           stock_draw(struct sight *sight);
static double         words_mm(const struct sight *sight);
static void           numbers_draw(struct sight *sight, int travel);
static double         number_apart(const struct sight *sight);
static double         across_mm(const struct sight *sight, int64_t pass);
static void           number_draw(struct sight *sight, int64_t pass, double at);
static void           names_draw(struct sight *sight);
static void           chips_draw(const struct sight *sight);
static void           captions_draw(const struct sight *sight);
static void           passes_tell(const struct sight *sight, struct caption *caption);
static void           legend_draw(const struct sight *sight, struct caption *caption);
static const char    *beside(const struct plan *plan);
static const char    *stepping(const struct layout *layout);

static const double WIDTH_MM = 180, HEIGHT_MM = 120;

static const double TITLE_MM = 7, CHIPS_MM = 10, DIMENSION_MM = 9, GAP_MM = 2, LEADER_MM = 3.5, LEADER_LEAST_MM = 0.3;

void
topview_draw(const struct plan *plan, bool alone, struct text *out)
{
	struct sight sight = {
		.plan   = plan,
		.is_x   = plan->layout.along == ALONG_X,
		.linked = plan->layout.pattern == PATTERN_ZIGZAG && plan->layout.passes > 1,
		.view   = view_above(plan),
		.svg    = { .out = out, .width_mm = WIDTH_MM, .alone = alone },
	};

	chips_choose(&sight);
	paper_find(&sight);
	passes_choose(&sight);
	if (sight.every > 1) { /* that takes a row of words, and at a smaller scale it is so all the more */
		paper_find(&sight);
		passes_choose(&sight);
	}
	begin(&sight);
	workholding_draw(&sight.svg, &plan->hold, &sight.view);
	passes_draw(&sight);
	stock_draw(&sight);
	numbers_draw(&sight, 1);
	numbers_draw(&sight, -1);
	names_draw(&sight);
	chips_draw(&sight);
	captions_draw(&sight);
	svg_end(&sight.svg);
}

/* The first pass, and the first of the second, the third and the last that throws to another side. */
static void
chips_choose(struct sight *sight)
{
	const struct plan *plan = sight->plan;
	const int64_t      last = plan->layout.passes - 1, passes[] = { 0, 1, 2, last };
	unsigned           before = 0;

	for (size_t i = 0; i < sizeof passes / sizeof passes[0] && sight->chips_count < CHIPS_DRAWN; i++) {
		struct chips chips = passes[i] <= last ? chips_find(plan, passes[i]) : (struct chips){ 0 };

		if (chips.towards == 0 || chips.towards == before)
			continue;
		before                             = chips.towards;
		sight->chips[sight->chips_count++] = passes[i];
	}
}

static struct margins
margins_find(const struct sight *sight)
{
	const struct plan *plan   = sight->plan;
	double             number = number_mm(sight);
	int                travel = plan->layout.travel;
	bool               low = travel > 0 || sight->linked, high = travel < 0 || sight->linked; /* numbers there */
	struct shown       width = length_figure(plan->job->stock.width, plan->job->units);

	return (struct margins){
		.left   = GAP_MM + label_width(width.text) + 2 * GAP_MM + (sight->is_x && low ? number : 0),
		.right  = GAP_MM + (sight->is_x && high ? number : 0),
		.top    = GAP_MM + above_mm(sight) + (!sight->is_x && high ? number : 0),
		.bottom = (!sight->is_x && low ? number : 0) + DIMENSION_MM + rows_below(sight) * LABEL_ROW_MM + GAP_MM,
	};
}

/* Beyond the end of a pass, outwards: a leader and the largest number. */
static double
number_mm(const struct sight *sight)
{
	char        buffer[24];
	struct text number = text_over(buffer, sizeof buffer);

	text_format(&number, "%lld", (long long)sight->plan->layout.passes);
	return LEADER_MM + (sight->is_x ? label_width(text_end(&number)) : LABEL_ROW_MM);
}

/* Where the title and the chips above the view end. */
static double
above_mm(const struct sight *sight)
{
	return (sight->svg.alone ? TITLE_MM : 0) + (sight->chips_count > 0 ? CHIPS_MM : 0);
}

/* Of words below the view. */
static int
rows_below(const struct sight *sight)
{
	return sight->every > 1 ? 5 : 4;
}

static void
paper_find(struct sight *sight)
{
	struct margins margins = sight->margins = margins_find(sight);
	struct svg    *svg                      = &sight->svg;
	struct view   *view                     = &sight->view;
	double         room                     = WIDTH_MM - margins.left - margins.right;
	struct scale   scale                    = scale_find(view->right - view->left, view->back - view->front, room,
	                                                     HEIGHT_MM - margins.top - margins.bottom);
	double         spare                    = room - scale_mm(scale, view->right - view->left);

	svg->across    = scale;
	svg->up        = scale;
	svg->left_mm   = round(10 * (margins.left + spare / 2 - scale_mm(scale, view->left))) / 10;
	svg->bottom_mm = round(10 * (margins.top + scale_mm(scale, view->back))) / 10;
	svg->height_mm = floor(margins.top + scale_mm(scale, view->back - view->front) + margins.bottom);
}

/* Every n-th, counted from the first; the last always. Links change the travel at every pass, so n is odd: both ways are drawn. */
static void
passes_choose(struct sight *sight)
{
	const struct layout *layout = &sight->plan->layout;
	double               apart = scale_mm(sight->svg.up, layout->pitch), least = PASSES_APART_MM;
	int64_t              last = layout->passes - 1;

	sight->count = 0;
	sight->every = last < 2 ? 1 : scale_every(least / apart);
	if (sight->linked && sight->every % 2 == 0)
		sight->every++;
	for (int64_t i = 0; i < last && sight->count + 1 < PASSES_DRAWN; i += sight->every)
		if (i == 0 || (double)(last - i) * apart >= least)
			sight->drawn[sight->count++] = i;
	sight->drawn[sight->count++] = last;
}

static void
begin(const struct sight *sight)
{
	const struct plan *plan  = sight->plan;
	const struct job  *job   = plan->job;
	enum units         units = job->units;
	char               buffer[512];
	struct text        description = text_over(buffer, sizeof buffer);

	text_format(&description, "Stock %s by %s %s; %lld %s along %s, each cut the same.",
	            length_figure(job->stock.length, units).text, length_figure(job->stock.width, units).text,
	            units_name(units), (long long)plan->layout.passes, plan->layout.passes == 1 ? "pass" : "passes",
	            sight->is_x ? "X" : "Y");
	svg_begin(&sight->svg, "drawing-passes", "The passes of each cut, seen from above", text_end(&description));
	if (!sight->svg.alone)
		return;
	description = text_over(buffer, sizeof buffer);
	text_clean(&description, job->title, 40);
	svg_text(&sight->svg, GAP_MM, TITLE_MM - GAP_MM, "start", 3.5, text_end(&description));
}

static void
passes_draw(struct sight *sight)
{
	const struct layout *layout = &sight->plan->layout;
	const struct svg    *svg    = &sight->svg;
	struct pass          first  = layout_pass(layout, 0);

	svg_group(svg, "cutter");
	svg_circle(svg, LINE_OUTLINE, first.from.x, first.from.y, sight->plan->cutter->diameter);
	svg_group_end(svg);
	svg_group(svg, "links");
	for (int64_t i = 0; sight->linked && sight->every == 1 && i + 1 < layout->passes; i++) {
		struct point from = layout_pass(layout, i).to, to = layout_pass(layout, i + 1).from;

		svg_line(svg, LINE_CENTRE, from.x, from.y, to.x, to.y);
	}
	svg_group_end(svg);
	svg_group(svg, "passes");
	for (size_t i = 0; i < sight->count; i++) {
		struct pass pass = layout_pass(layout, sight->drawn[i]);

		svg_numbered_line(svg, LINE_CENTRE, "pass", sight->drawn[i] + 1, pass.from.x, pass.from.y, pass.to.x,
		                  pass.to.y);
		label_keep(&sight->lines, line_room(svg, &pass));
	}
	svg_group_end(svg);
	for (size_t i = 0; i < sight->count; i++) {
		struct pass pass = layout_pass(layout, sight->drawn[i]);

		pass_ends_draw(sight, &pass);
	}
}

/* With its ends, which are wider. */
static struct room
line_room(const struct svg *svg, const struct pass *pass)
{
	double x1 = svg_x(svg, pass->from.x), x2 = svg_x(svg, pass->to.x);
	double y1 = svg_y(svg, pass->from.y), y2 = svg_y(svg, pass->to.y);

	return (struct room){ fmin(x1, x2) - 1, fmin(y1, y2) - 1, fmax(x1, x2) + 1, fmax(y1, y2) + 1 };
}

static void
pass_ends_draw(const struct sight *sight, const struct pass *pass)
{
	const struct svg *svg = &sight->svg;
	double            x = svg_x(svg, pass->to.x), y = svg_y(svg, pass->to.y), half = PASSES_APART_MM / 2 - 0.2;

	svg_dot(svg, svg_x(svg, pass->from.x), svg_y(svg, pass->from.y));
	if (sight->is_x) {
		svg_arrow(svg, x, y, pass->travel, 0);
		svg_paper_line(svg, LINE_THIN, x, y - half, x, y + half);
	} else {
		svg_arrow(svg, x, y, 0, -pass->travel);
		svg_paper_line(svg, LINE_THIN, x - half, y, x + half, y);
	}
}

/* With its dimensions, below the numbers of passes and to the left of them. */
static void
stock_draw(struct sight *sight)
{
	const struct job *job    = sight->plan->job;
	const struct svg *svg    = &sight->svg;
	struct shown      length = length_figure(job->stock.length, job->units);
	struct shown      wide   = length_figure(job->stock.width, job->units);
	double            left = svg_x(svg, 0), right = svg_x(svg, job->stock.length), front = svg_y(svg, 0);
	double            back = svg_y(svg, job->stock.width), below = words_mm(sight) - GAP_MM - 1;
	double beside = svg_x(svg, sight->view.left) - sight->margins.left + 2 * GAP_MM + label_width(wide.text);

	svg_group(svg, "stock");
	svg_box(svg, LINE_EDGE, 0, 0, job->stock.length, job->stock.width);
	svg_group_end(svg);
	svg_zero(svg, svg_x(svg, sight->plan->zero.x), svg_y(svg, sight->plan->zero.y));
	svg_paper_line(svg, LINE_THIN, left, front + 1, left, below + 1);
	svg_paper_line(svg, LINE_THIN, right, front + 1, right, below + 1);
	dimension_across(svg, &sight->labels, left, right, below, length.text);
	svg_paper_line(svg, LINE_THIN, left - 1, front, beside - 1, front);
	svg_paper_line(svg, LINE_THIN, left - 1, back, beside - 1, back);
	dimension_up(svg, &sight->labels, beside, back, front, wide.text);
}

/* Where the words below begin. */
static double
words_mm(const struct sight *sight)
{
	return caption_top(&sight->svg, rows_below(sight));
}

/*
 * Of the passes that travel this way, at the end where they begin: the first and the last, and of those between as many as are apart
 * on the paper. These two may still be too near, and are then drawn apart.
 */
static void
numbers_draw(struct sight *sight, int travel)
{
	const struct layout *layout = &sight->plan->layout;
	int64_t              own[PASSES_DRAWN];
	double               at[PASSES_DRAWN], least = number_apart(sight);
	size_t               count = 0, kept = 0;

	for (size_t i = 0; i < sight->count; i++) {
		/* Y rises upwards, and the paper's downwards. */
		bool    rising = (layout->side > 0) != sight->is_x;
		int64_t pass   = sight->drawn[rising ? i : sight->count - 1 - i];

		if (layout_pass(layout, pass).travel == travel)
			own[count++] = pass;
	}
	for (size_t i = 0; i < count; i++) {
		double here = across_mm(sight, own[i]);

		if (i > 0 && i + 1 < count &&
		    (here - at[kept - 1] < least || across_mm(sight, own[count - 1]) - here < least))
			continue;
		own[kept]  = own[i];
		at[kept++] = here;
	}
	label_spread(at, kept, least, GAP_MM, (sight->is_x ? words_mm(sight) : WIDTH_MM) - GAP_MM);
	for (size_t i = 0; i < kept; i++)
		number_draw(sight, own[i], at[i]);
}

static double
number_apart(const struct sight *sight)
{
	char        buffer[24];
	struct text number = text_over(buffer, sizeof buffer);

	text_format(&number, "%lld ", (long long)sight->plan->layout.passes);
	return sight->is_x ? LABEL_ROW_MM : label_width(text_end(&number));
}

static double
across_mm(const struct sight *sight, int64_t pass)
{
	struct point from = layout_pass(&sight->plan->layout, pass).from;

	return sight->is_x ? svg_y(&sight->svg, from.y) : svg_x(&sight->svg, from.x);
}

/* With a leader when it stands aside. */
static void
number_draw(struct sight *sight, int64_t index, double at)
{
	const struct svg *svg  = &sight->svg;
	struct pass       pass = layout_pass(&sight->plan->layout, index);
	double x = svg_x(svg, pass.from.x), y = svg_y(svg, pass.from.y), label_x = at, label_y = at + LABEL_TEXT_MM / 2;
	double out         = sight->is_x ? -pass.travel : pass.travel; /* beyond the end, on the paper */
	const char *anchor = !sight->is_x ? "middle" : out > 0 ? "start" : "end";
	char        buffer[24];
	struct text number = text_over(buffer, sizeof buffer);

	text_format(&number, "%lld", (long long)index + 1);
	if (sight->is_x) {
		label_x = x + out * LEADER_MM;
		if (fabs(at - y) > LEADER_LEAST_MM)
			svg_paper_line(svg, LINE_THIN, x + out, y, label_x - out / 2, at);
	} else {
		label_y = y + out * LEADER_MM + (out > 0 ? LABEL_TEXT_MM : 0);
		if (fabs(at - x) > LEADER_LEAST_MM)
			svg_paper_line(svg, LINE_THIN, x, y + out, at, y + out * (LEADER_MM - 0.5));
	}
	label_over(svg, label_x, label_y, anchor, text_end(&number));
	label_take(&sight->labels, svg, label_x, label_y, anchor, text_end(&number));
}

static void
names_draw(struct sight *sight)
{
	const struct naming naming = {
		.top    = above_mm(sight),
		.bottom = words_mm(sight) - DIMENSION_MM / 2,
		.drawn  = &sight->lines,
		.labels = &sight->labels,
	};

	workholding_name(&sight->svg, &sight->plan->hold, &sight->view, &naming);
}

/* In a row above the view, each beside its words. */
static void
chips_draw(const struct sight *sight)
{
	const struct svg *svg    = &sight->svg;
	double            middle = (svg->alone ? TITLE_MM : 0) + CHIPS_MM / 2, reach = CHIPS_MM / 2 - 1;

	svg_group(svg, "chips");
	for (size_t i = 0; i < sight->chips_count; i++) {
		struct chips chips = chips_find(sight->plan, sight->chips[i]);
		double       x     = CHIPS_MM / 2 + (double)i * WIDTH_MM / CHIPS_DRAWN;
		char         buffer[64];
		struct text  words = text_over(buffer, sizeof buffer);

		text_format(&words, "chips of pass %lld: to %s", (long long)sight->chips[i] + 1,
		            chips_corner(chips.towards));
		svg_paper_line(svg, LINE_EDGE, x - reach * chips.x, middle + reach * chips.y, x + (reach - 1) * chips.x,
		               middle - (reach - 1) * chips.y);
		svg_arrow(svg, x + reach * chips.x, middle - reach * chips.y, chips.x, -chips.y);
		label_draw(svg, x + CHIPS_MM / 2, middle + LABEL_TEXT_MM / 2, "start", text_end(&words));
	}
	svg_group_end(svg);
}

static void
captions_draw(const struct sight *sight)
{
	struct caption caption = caption_begin(&sight->svg, rows_below(sight));
	char           buffer[256];
	struct text    words = text_over(buffer, sizeof buffer);

	text_format(&words, "Seen from above: X to the right, Y to the back. Scale %s, figures in %s.",
	            scale_show(sight->svg.up).text, sight->plan->job->units == UNITS_INCH ? "inches" : "millimetres");
	caption_row(&caption, text_end(&words));
	passes_tell(sight, &caption);
	legend_draw(sight, &caption);
}

static void
passes_tell(const struct sight *sight, struct caption *caption)
{
	const struct layout *layout = &sight->plan->layout;
	char                 buffer[256];
	struct text          words = text_over(buffer, sizeof buffer);

	if (layout->passes == 1) {
		caption_row(caption, "One pass, the same in each cut.");
		return;
	}
	text_format(&words, "%lld passes in each cut, %s apart, from the %s; %s.", (long long)layout->passes,
	            length_figure(layout->pitch, sight->plan->job->units).text, stepping(layout),
	            sight->linked ? "linked at depth" : "back above the work");
	caption_row(caption, text_end(&words));
	if (sight->every == 1)
		return;
	words = text_over(buffer, sizeof buffer);
	if (sight->every >= layout->passes)
		text_format(&words, "Of %lld passes the first and the last are drawn.", (long long)layout->passes);
	else
		text_format(&words, "Every %s of %lld passes is drawn, and the last%s.",
		            caption_ordinal(sight->every).text, (long long)layout->passes,
		            sight->linked ? "; the links are not" : "");
	caption_row(caption, text_end(&words));
}

static void
legend_draw(const struct sight *sight, struct caption *caption)
{
	const struct svg *svg  = &sight->svg;
	double            base = caption->base, middle = base - LABEL_TEXT_MM / 2;
	char              buffer[128];
	struct text       words = text_over(buffer, sizeof buffer);

	svg_dot(svg, GAP_MM + 1, middle);
	label_draw(svg, 6, base, "start", "a pass begins");
	svg_arrow(svg, 48, middle, 1, 0);
	svg_paper_line(svg, LINE_THIN, 48, middle - 0.8, 48, middle + 0.8);
	label_draw(svg, 50, base, "start", "it ends");
	svg_zero(svg, 79, middle);
	label_draw(svg, 82, base, "start", "the program's zero");
	caption->base += LABEL_ROW_MM;
	text_format(&words, "the cutter, %s, where pass 1 begins%s",
	            length_figure(sight->plan->cutter->diameter, sight->plan->job->units).text, beside(sight->plan));
	caption_legend(caption, LINE_OUTLINE, text_end(&words));
}

static const char *
beside(const struct plan *plan)
{
	bool vise = plan->job->vise.bound.node, clamps = plan->job->hold.clamps.count > 0;

	return vise && clamps ? "; jaws and clamps" : vise ? "; jaws" : clamps ? "; clamps" : "";
}

/* From the first pass to the last. */
static const char *
stepping(const struct layout *layout)
{
	if (layout->along == ALONG_X)
		return layout->side > 0 ? "front to the back" : "back to the front";
	return layout->side > 0 ? "left to the right" : "right to the left";
}
