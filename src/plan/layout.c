#include "skimcut/layout.h"

/* The stock as seen from the passes. */
struct frame {
	Length along, across;           /* its extents */
	Length zero_along, zero_across; /* where the grid is counted from */
};

static struct frame frame_find(const struct layout_wish *wish);
static int          travel_sign(enum along along);
static int          left_sign(enum along along, int travel);
static void         single_lay(const struct layout_wish *wish, const struct frame *frame, struct layout *layout);
static void         passes_lay(const struct layout_wish *wish, const struct frame *frame, struct layout *layout);
static Length       grid_down(Length x, Length zero, Length grid);
static Length       grid_up(Length x, Length zero, Length grid);

struct layout
layout_make(const struct layout_wish *wish)
{
	struct frame  frame  = frame_find(wish);
	Length        beyond = wish->diameter - wish->diameter / 2 + wish->clearance;
	struct layout layout = {
		.along   = wish->along,
		.pattern = wish->pattern,
		.low     = grid_down(-beyond, frame.zero_along, wish->grid),
		.high    = grid_up(frame.along + beyond, frame.zero_along, wish->grid),
		.travel  = travel_sign(wish->along),
	};

	/* Conventional: the uncut stock is on the left of the travel. */
	layout.side = left_sign(layout.along, layout.travel) * (wish->milling == MILLING_CLIMB ? -1 : 1);
	if (wish->pattern == PATTERN_SINGLE)
		single_lay(wish, &frame, &layout);
	else
		passes_lay(wish, &frame, &layout);
	return layout;
}

struct pass
layout_pass(const struct layout *layout, int64_t index)
{
	bool        back   = layout->pattern == PATTERN_ZIGZAG && index % 2 == 1;
	Length      across = layout->first + index * layout->pitch * layout->side;
	struct pass pass   = { .travel = back ? -layout->travel : layout->travel };
	Length from = pass.travel > 0 ? layout->low : layout->high, to = pass.travel > 0 ? layout->high : layout->low;

	if (layout->along == ALONG_X) {
		pass.from = (struct point){ from, across, 0 };
		pass.to   = (struct point){ to, across, 0 };
	} else {
		pass.from = (struct point){ across, from, 0 };
		pass.to   = (struct point){ across, to, 0 };
	}
	pass.climb = layout->side != left_sign(layout->along, pass.travel);
	return pass;
}

/* From where the pass before reached, or the edge that passes start from, to where this one reaches, or the far edge. */
struct strip
layout_strip(const struct layout *layout, int64_t index, Length diameter, Length width)
{
	Length start = layout->side > 0 ? 0 : width, end = width - start, radius = diameter / 2;
	Length centre = layout->first + index * layout->pitch * layout->side;
	Length from   = index > 0 ? centre - (layout->pitch - radius) * layout->side : start;
	Length to     = centre + radius * layout->side;

	if ((to - end) * layout->side > 0)
		to = end;
	return layout->side > 0 ? (struct strip){ from - centre, to - centre }
	                        : (struct strip){ to - centre, from - centre };
}

static struct frame
frame_find(const struct layout_wish *wish)
{
	if (wish->along == ALONG_X)
		return (struct frame){ wish->length, wish->width, wish->zero.x, wish->zero.y };
	return (struct frame){ wish->width, wish->length, wish->zero.y, wish->zero.x };
}

static int
travel_sign(enum along along)
{
	return along == ALONG_X ? -1 : 1;
}

/* The left of a travel to +X is +Y, of one to +Y is -X, seen from above. */
static int
left_sign(enum along along, int travel)
{
	return along == ALONG_X ? travel : -travel;
}

/*
 * What hangs over is D - W. A quarter of it goes over the edge on the layout's side, where the teeth of a conventional cut
 * enter; rounding is towards the middle.
 */
static void
single_lay(const struct layout_wish *wish, const struct frame *frame, struct layout *layout)
{
	Length spare = wish->diameter - frame->across, middle = frame->across / 2;

	layout->passes = 1;
	layout->taken  = frame->across;
	layout->first  = layout->side > 0
	                   ? grid_up(middle - spare / 4, frame->zero_across, wish->grid)
	                   : grid_down(frame->across - middle + spare / 4, frame->zero_across, wish->grid);
}

static void
passes_lay(const struct layout_wish *wish, const struct frame *frame, struct layout *layout)
{
	Length cover = frame->across + wish->overlap, stepover = length_down(wish->stepover, wish->grid), radius, pitch,
	       last;
	int64_t passes = (cover + stepover - 1) / stepover;

	if (passes > PASSES_MAX)
		return;
	radius         = wish->diameter - wish->diameter / 2;
	pitch          = length_up((cover + passes - 1) / passes, wish->grid);
	layout->passes = (cover + pitch - 1) / pitch; /* on a coarse grid the rounding may have saved passes */
	layout->pitch  = pitch;
	layout->taken  = pitch < frame->across ? pitch : frame->across;
	last           = (layout->passes - 1) * pitch;
	if (layout->side > 0) {
		Length by_first = grid_down(pitch - radius, frame->zero_across, wish->grid);
		Length by_last  = grid_up(cover - radius, frame->zero_across, wish->grid) - last;

		layout->first = by_first < by_last ? by_first : by_last;
	} else {
		Length by_first = grid_up(frame->across - pitch + radius, frame->zero_across, wish->grid);
		Length by_last  = grid_down(frame->across - cover + radius, frame->zero_across, wish->grid) + last;

		layout->first = by_first > by_last ? by_first : by_last;
	}
}

static Length
grid_down(Length x, Length zero, Length grid)
{
	return zero + length_down(x - zero, grid);
}

static Length
grid_up(Length x, Length zero, Length grid)
{
	return zero + length_up(x - zero, grid);
}
