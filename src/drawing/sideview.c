#include "skimcut/sideview.h"

#include <math.h>

#include "skimcut/caption.h"
#include "skimcut/dimension.h"
#include "skimcut/heights.h"
#include "skimcut/label.h"
#include "skimcut/plan.h"
#include "skimcut/svg.h"
#include "skimcut/text.h"
#include "skimcut/view.h"

struct setup {
	const struct plan *plan;
	bool               vise;
	size_t             first_clamp; /* of the obstacles, which begin with the jaws */
	Length             centre;      /* of the cutter, along Y */
	struct view        view;
	Length             bottom, top; /* what is drawn to scale; heights over it are cut off */
	int                off;         /* how many are */
	struct svg         svg;
	struct heights     left, right;
};

static void   extents_find(struct setup *setup);
static void   heights_gather(struct setup *setup);
static void   clamps_gather(struct setup *setup);
static void   height_add(struct setup *setup, struct heights *heights, Length z, Length from, const char *name);
static void   paper_find(struct setup *setup);
static void   scales_find(struct setup *setup, double room_width, double room_height);
static void   column_place(const struct setup *setup, struct heights *heights);
static double line_mm(const struct setup *setup, Length z);
static void   begin(const struct setup *setup);
static void   seat_draw(const struct setup *setup);
static void   jaws_draw(const struct setup *setup);
static void   ground_draw(const struct svg *svg, double left, double right, double y);
static void   clamps_draw(const struct setup *setup);
static void   part_draw(const struct setup *setup);
static void   cutter_draw(const struct setup *setup);
static Length zero_height(const struct plan *plan);
static void   column_draw(const struct setup *setup, const struct heights *heights);
static void   captions_draw(const struct setup *setup);
static void   left_out_tell(struct caption *caption, size_t count);
static int    rows_below(const struct setup *setup);
static double words_mm(const struct setup *setup);
static double ground_mm(const struct setup *setup);
static double break_mm(const struct setup *setup);
static double edge_mm(const struct setup *setup, int side);

static const double WIDTH_MM = 180, HEIGHT_MM = 100, GAP_MM = 2;

/* What is not known is drawn so large on the paper: how thick jaws and bed are, how wide the parallels, how tall the cutter. */
static const double JAW_MM = 9, BED_MM = 7, PARALLEL_MM = 3, CUTTER_MM = 12;

static const double HATCH_MM = 2, DIMENSION_MM = 8, OFF_MM = 4.5;

/* Smaller than this on paper a part cannot be made out. */
static const double LEGIBLE_MM = 6;

void
sideview_draw(const struct plan *plan, struct text *out)
{
	struct setup setup = {
		.plan        = plan,
		.vise        = plan->job->vise.bound.node,
		.first_clamp = plan->job->vise.bound.node ? 2 : 0,
		.svg         = { .out = out, .width_mm = WIDTH_MM },
		.left        = { .side = -1 },
		.right       = { .side = 1 },
	};

	extents_find(&setup);
	heights_gather(&setup);
	paper_find(&setup);
	column_place(&setup, &setup.left);
	column_place(&setup, &setup.right);
	begin(&setup);
	seat_draw(&setup);
	if (setup.vise)
		jaws_draw(&setup);
	clamps_draw(&setup);
	part_draw(&setup);
	cutter_draw(&setup);
	column_draw(&setup, &setup.left);
	column_draw(&setup, &setup.right);
	captions_draw(&setup);
	svg_end(&setup.svg);
}

/* Where passes run along Y the cutter is drawn half way. Heights up to half as high again as all that stands up are to scale. */
static void
extents_find(struct setup *setup)
{
	const struct plan *plan = setup->plan;
	Length             limit;

	setup->centre = plan->layout.along == ALONG_X ? plan->layout.first : plan->job->stock.width / 2;
	setup->view   = view_side(plan, setup->centre);
	setup->bottom = setup->vise ? -plan->hold.parallel : 0;
	setup->top    = plan->hold.highest > plan->job->stock.height ? plan->hold.highest : plan->job->stock.height;
	limit         = setup->top + (setup->top - setup->bottom) / 2;
	if (plan->retract <= limit)
		setup->top = plan->retract;
	else if (plan->safe <= limit)
		setup->top = plan->safe;
	setup->off = job_is_manual(plan->job) ? 0 : (plan->safe > setup->top) + (plan->retract > setup->top);
}

static void
heights_gather(struct setup *setup)
{
	const struct plan *plan  = setup->plan;
	const struct job  *job   = plan->job;
	struct heights    *right = &setup->right;
	Length             zero = zero_height(plan), width = job->stock.width;

	if (!job_is_manual(job)) {
		height_add(setup, right, plan->retract, LENGTH_MAX, "the cutter waits");
		height_add(setup, right, plan->safe, LENGTH_MAX, "lowest rapids");
	}
	height_add(setup, right, job->stock.height, width, job->told.height > 0 ? "stock, measured" : "stock");
	height_add(setup, right, plan->final, width, "finished");
	if (setup->vise) {
		height_add(setup, right, plan->hold.obstacles[1].top, LENGTH_MAX, "rear jaw");
		height_add(setup, &setup->left, plan->hold.obstacles[0].top, LENGTH_MAX, "front jaw");
	}
	height_add(setup, right, 0, width, "part's bottom");
	if (setup->vise && plan->hold.parallel > 0)
		height_add(setup, right, -plan->hold.parallel, LENGTH_MAX, "vise bed");
	if (zero != job->stock.height && zero != plan->final && zero != 0)
		height_add(setup, right, zero, width, "zero");
	clamps_gather(setup);
}

/* Those of one height together. */
static void
clamps_gather(struct setup *setup)
{
	const struct obstacle *obstacles = setup->plan->hold.obstacles;

	for (size_t first = setup->first_clamp, i = first; i < setup->plan->hold.count; i++) {
		char        buffer[32];
		struct text name = text_over(buffer, sizeof buffer);
		size_t      same = 0, before = 0;

		for (size_t k = first; k < setup->plan->hold.count; k++)
			if (obstacles[k].top == obstacles[i].top) {
				same++;
				before += k < i;
			}
		if (before > 0)
			continue;
		if (same == 1)
			text_format(&name, "%.20s:", obstacles[i].name);
		else
			text_format(&name, "%zu clamps:", same);
		height_add(setup, &setup->left, obstacles[i].top, obstacles[i].front, text_end(&name));
	}
}

/* The figure is next to the drawing. */
static void
height_add(struct setup *setup, struct heights *heights, Length z, Length from, const char *name)
{
	char         buffer[64];
	struct text  words  = text_over(buffer, sizeof buffer);
	struct shown figure = length_figure(z, setup->plan->job->units);

	if (heights->side < 0)
		text_format(&words, "%s %s", name, figure.text);
	else
		text_format(&words, "%s %s%s", figure.text, name,
		            z != zero_height(setup->plan)     ? ""
		            : job_is_manual(setup->plan->job) ? ", knee zero"
		                                              : ", Z zero");
	heights_add(heights, z, from, text_end(&words));
}

/* The labels may want more room than the drawing: HEIGHTS_MOST above five rows of words just have it. */
static void
paper_find(struct setup *setup)
{
	struct svg  *svg   = &setup->svg;
	const size_t count = setup->left.count > setup->right.count ? setup->left.count : setup->right.count;
	double       jaw = setup->vise ? JAW_MM : 0, left = heights_width(&setup->left) + jaw + GAP_MM;
	double       room  = WIDTH_MM - left - heights_width(&setup->right) - jaw - GAP_MM, drawn, labels;
	double       above = GAP_MM + CUTTER_MM + (setup->off > 0 ? GAP_MM + (setup->off + 0.5) * OFF_MM : 0);
	double below = (setup->vise ? BED_MM : 0) + HATCH_MM + DIMENSION_MM + GAP_MM + rows_below(setup) * LABEL_ROW_MM;

	scales_find(setup, room, HEIGHT_MM - above - below);
	drawn  = above + scale_mm(svg->up, setup->top - setup->bottom) + below;
	labels = GAP_MM + (double)count * LABEL_ROW_MM + DIMENSION_MM + GAP_MM + rows_below(setup) * LABEL_ROW_MM;
	svg->height_mm = ceil(fmin(HEIGHT_MM, fmax(drawn, labels)));
	svg->left_mm   = round(10 * (left + (room - scale_mm(svg->across, setup->view.back - setup->view.front)) / 2 -
                                   scale_mm(svg->across, setup->view.front))) /
	               10;
	svg->bottom_mm = round(10 * (svg->height_mm - below + scale_mm(svg->up, setup->bottom))) / 10;
}

/* One for both directions if the part can be made out at it. */
static void
scales_find(struct setup *setup, double room_width, double room_height)
{
	const struct stock *stock = &setup->plan->job->stock;
	Length              width = setup->view.back - setup->view.front, height = setup->top - setup->bottom;
	struct scale        both = scale_find(width, height, room_width, room_height);

	setup->svg.across = setup->svg.up = both;
	if (scale_mm(both, stock->height) < LEGIBLE_MM || scale_mm(both, stock->width) < LEGIBLE_MM) {
		setup->svg.across = scale_find(width, 0, room_width, 0);
		setup->svg.up     = scale_find(0, height, 0, room_height);
	}
}

static void
column_place(const struct setup *setup, struct heights *heights)
{
	for (size_t i = 0; i < heights->count; i++)
		heights->each[i].line_mm = line_mm(setup, heights->each[i].z);
	heights_place(heights, GAP_MM, words_mm(setup) - DIMENSION_MM - GAP_MM);
}

/* What is cut off stands in its order above the break, the higher of two on top. */
static double
line_mm(const struct setup *setup, Length z)
{
	bool higher = z == setup->plan->retract && setup->off > 1;

	return z <= setup->top ? svg_y(&setup->svg, z) : break_mm(setup) - OFF_MM * (higher ? 1.7 : 0.7);
}

static void
begin(const struct setup *setup)
{
	const struct job *job   = setup->plan->job;
	enum units        units = job->units;
	char              buffer[256];
	struct text       description = text_over(buffer, sizeof buffer);

	text_format(&description, "The part, %s %s wide, stock %s high, finished %s%s.",
	            length_figure(job->stock.width, units).text, units_name(units),
	            length_figure(job->stock.height, units).text, length_figure(setup->plan->final, units).text,
	            setup->vise                   ? ", in the vise"
	            : setup->plan->hold.count > 0 ? ", under clamps"
	                                          : "");
	svg_begin(&setup->svg, "drawing-setup", "The set-up, seen from the right end of the machine",
	          text_end(&description));
}

/* The bed of the vise, or the table. */
static void
seat_draw(const struct setup *setup)
{
	const struct svg *svg  = &setup->svg;
	double            left = edge_mm(setup, -1), right = edge_mm(setup, 1), bed = svg_y(svg, setup->bottom);

	svg_group(svg, "seat");
	if (setup->vise) {
		svg_paper_box(svg, LINE_EDGE, left, bed, right, bed + BED_MM);
		label_draw(svg, (left + right) / 2, bed + (BED_MM + LABEL_TEXT_MM) / 2, "middle", "vise");
	}
	ground_draw(svg, left - GAP_MM, right + GAP_MM, ground_mm(setup));
	svg_group_end(svg);
}

static void
jaws_draw(const struct setup *setup)
{
	const struct svg      *svg  = &setup->svg;
	const struct obstacle *jaws = setup->plan->hold.obstacles;
	double                 left = svg_x(svg, 0), right = svg_x(svg, setup->plan->job->stock.width);
	double                 bed = svg_y(svg, setup->bottom), seat = svg_y(svg, 0);
	double                 parallel = fmin(PARALLEL_MM, (right - left) / 3);
	char                   buffer[64];
	struct text            words = text_over(buffer, sizeof buffer);

	svg_group(svg, "jaws");
	svg_paper_box(svg, LINE_EDGE, left - JAW_MM, svg_y(svg, jaws[0].top), left, bed);
	svg_paper_box(svg, LINE_EDGE, right, svg_y(svg, jaws[1].top), right + JAW_MM, bed);
	svg_group_end(svg);
	if (setup->plan->hold.parallel == 0)
		return;
	svg_group(svg, "parallels");
	svg_paper_box(svg, LINE_EDGE, left, seat, left + parallel, bed);
	svg_paper_box(svg, LINE_EDGE, right - parallel, seat, right, bed);
	svg_group_end(svg);
	text_format(&words, "parallels %s", length_figure(setup->plan->hold.parallel, setup->plan->job->units).text);
	if (label_width(text_end(&words)) < right - left - 2 * (parallel + 1) && bed - seat > LABEL_ROW_MM)
		label_draw(svg, (left + right) / 2, (seat + bed + LABEL_TEXT_MM) / 2, "middle", text_end(&words));
}

static void
ground_draw(const struct svg *svg, double left, double right, double y)
{
	svg_paper_line(svg, LINE_EDGE, left, y, right, y);
	for (int i = 1; left + i * 2 * HATCH_MM <= right; i++) {
		double x = left + i * 2 * HATCH_MM;

		svg_paper_line(svg, LINE_THIN, x, y, x - HATCH_MM, y + HATCH_MM);
	}
}

/* Without the sides at which the view ends before they do. */
static void
clamps_draw(const struct setup *setup)
{
	const struct svg *svg = &setup->svg;

	svg_group(svg, "clamps");
	for (size_t i = setup->first_clamp; i < setup->plan->hold.count; i++) {
		const struct obstacle *clamp = &setup->plan->hold.obstacles[i];
		struct view            seen;

		if (!view_sees(&setup->view, clamp, &seen) || clamp->top <= setup->bottom)
			continue;
		svg_numbered_line(svg, LINE_OUTLINE, "obstacle", (int64_t)i + 1, seen.front, clamp->top, seen.back,
		                  clamp->top);
		if (seen.front == clamp->front)
			svg_line(svg, LINE_OUTLINE, seen.front, setup->bottom, seen.front, clamp->top);
		if (seen.back == clamp->back)
			svg_line(svg, LINE_OUTLINE, seen.back, setup->bottom, seen.back, clamp->top);
	}
	svg_group_end(svg);
}

/* Finished; what comes off stands on it. */
static void
part_draw(const struct setup *setup)
{
	const struct plan *plan  = setup->plan;
	const struct svg  *svg   = &setup->svg;
	Length             width = plan->job->stock.width, height = plan->job->stock.height;
	double             left = svg_x(svg, 0), right = svg_x(svg, width), ground = ground_mm(setup) + HATCH_MM;
	double             line = words_mm(setup) - GAP_MM;

	svg_group(svg, "part");
	svg_box(svg, LINE_EDGE, 0, 0, width, plan->final);
	svg_group_end(svg);
	svg_group(svg, "stock");
	svg_line(svg, LINE_OUTLINE, 0, plan->final, 0, height);
	svg_line(svg, LINE_OUTLINE, width, plan->final, width, height);
	svg_line(svg, LINE_OUTLINE, 0, height, width, height);
	svg_group_end(svg);
	svg_paper_line(svg, LINE_THIN, left, ground + 0.5, left, line + 1);
	svg_paper_line(svg, LINE_THIN, right, ground + 0.5, right, line + 1);
	dimension_across(svg, NULL, left, right, line, length_figure(width, plan->job->units).text);
}

/* At the finished face. Above the deepest cut its sides stand upright. */
static void
cutter_draw(const struct setup *setup)
{
	const struct plan *plan  = setup->plan;
	const struct svg  *svg   = &setup->svg;
	Length             final = plan->final, above = final + schedule_deepest(&plan->schedule, ~0u),
	       radius = plan->cutter->diameter / 2;
	double top    = fmin(svg_y(svg, final) - CUTTER_MM, svg_y(svg, above) - GAP_MM);
	double left = svg_x(svg, setup->centre - plan->reach), right = svg_x(svg, setup->centre + plan->reach);
	double middle = svg_x(svg, setup->centre);

	svg_group(svg, "cutter");
	svg_line(svg, LINE_OUTLINE, setup->centre - radius, final, setup->centre + radius, final);
	for (int side = -1; side <= 1; side += 2) {
		double edge = side < 0 ? left : right;

		svg_line(svg, LINE_OUTLINE, setup->centre + side * radius, final, setup->centre + side * plan->reach,
		         above);
		svg_paper_line(svg, LINE_OUTLINE, edge, svg_y(svg, above), edge, top);
	}
	svg_break(svg, left - 1, right + 1, top);
	svg_paper_line(svg, LINE_CENTRE, middle, svg_y(svg, final) + GAP_MM, middle, top - GAP_MM);
	svg_group_end(svg);
	svg_zero(svg, svg_x(svg, plan->zero.y), svg_y(svg, zero_height(plan)));
}

/* By hand heights are counted from where the cutter touches. */
static Length
zero_height(const struct plan *plan)
{
	return job_is_manual(plan->job) ? plan->job->stock.height : plan->zero.z;
}

static void
column_draw(const struct setup *setup, const struct heights *heights)
{
	const struct svg *svg  = &setup->svg;
	double            edge = edge_mm(setup, heights->side);

	svg_group(svg, "heights");
	heights_draw(heights, svg, &setup->view, edge);
	if (heights->side > 0 && setup->off > 0)
		svg_break(svg, edge - HEIGHTS_LEADER_MM, edge + HEIGHTS_LEADER_MM - 1, break_mm(setup));
	svg_group_end(svg);
}

static void
captions_draw(const struct setup *setup)
{
	const struct svg  *svg     = &setup->svg;
	const struct hold *hold    = &setup->plan->hold;
	enum units         units   = setup->plan->job->units;
	struct caption     caption = caption_begin(svg, rows_below(setup));
	bool               same    = svg->across.drawn == svg->up.drawn && svg->across.real == svg->up.real;
	char               buffer[128];
	struct text        words = text_over(buffer, sizeof buffer);

	text_format(&words, "Seen from the right, the front at the left. Scale %s%s%s%s.", same ? "" : "of widths ",
	            scale_show(svg->across).text, same ? "" : ", of heights ", same ? "" : scale_show(svg->up).text);
	caption_row(&caption, text_end(&words));
	words = text_over(buffer, sizeof buffer);
	text_format(&words, "Heights over the part's bottom, in %s. The cutter is at the finished face.",
	            units == UNITS_INCH ? "inches" : "millimetres");
	caption_row(&caption, text_end(&words));
	caption_row(&caption, setup->vise
	                          ? "Not to scale: how thick jaws, bed and parallels are; how tall the cutter is."
	                          : "Not to scale: how tall the cutter is.");
	words = text_over(buffer, sizeof buffer);
	text_format(&words, "what comes off; the cutter, %s%s",
	            length_figure(setup->plan->cutter->diameter, units).text,
	            hold->count > setup->first_clamp ? "; clamps" : "");
	caption_legend(&caption, LINE_OUTLINE, text_end(&words));
	if (hold->count == 0)
		caption_row(&caption, "How the part is held is not told: it is drawn on its seat.");
	else if (setup->left.left_out > 0)
		left_out_tell(&caption, setup->left.left_out);
}

/* On the right there are never so many. */
static void
left_out_tell(struct caption *caption, size_t count)
{
	char        buffer[128];
	struct text words = text_over(buffer, sizeof buffer);

	if (count == 1)
		text_string(&words, "Of the heights at the left the lowest is left out.");
	else
		text_format(&words, "Of the heights at the left the %zu lowest are left out.", count);
	caption_row(caption, text_end(&words));
}

/* Of words; how the part is held is not told, or what is left out of the heights is. */
static int
rows_below(const struct setup *setup)
{
	return setup->plan->hold.count == 0 || setup->left.left_out > 0 ? 5 : 4;
}

/* Where the words below begin. */
static double
words_mm(const struct setup *setup)
{
	return caption_top(&setup->svg, rows_below(setup));
}

/* The table. */
static double
ground_mm(const struct setup *setup)
{
	return svg_y(&setup->svg, setup->bottom) + (setup->vise ? BED_MM : 0);
}

/* Above it nothing is to scale. */
static double
break_mm(const struct setup *setup)
{
	return svg_y(&setup->svg, setup->top) - CUTTER_MM - GAP_MM;
}

/* Where all that is drawn ends on this side: -1 the front, 1 the back. */
static double
edge_mm(const struct setup *setup, int side)
{
	const struct svg *svg = &setup->svg;
	double            jaw = setup->vise ? JAW_MM : 0;

	return side < 0 ? fmin(svg_x(svg, setup->view.front), svg_x(svg, 0) - jaw)
	                : fmax(svg_x(svg, setup->view.back), svg_x(svg, setup->plan->job->stock.width) + jaw);
}
