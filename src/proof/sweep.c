#include "skimcut/sweep.h"

#include <math.h>
#include <stdint.h>

/* More than rounding can add up to in the formulas below, at 10 m, seen across the outline. */
static const Length MARGIN = 2;

/* Of a share of the way; on the longest that is a hundredth of the margin. */
static const double ROUNDING = 1e-12;

static bool         rects_near(const struct rect *a, const struct rect *b, Length radius);
static Length       gap(Length low, Length high, Length other_low, Length other_high);
static bool         slanted_near(const struct sweep *sweep, const struct rect *rect);
static bool         crosses(const struct sweep *sweep, const struct rect *rect, double *from, double *to);
static struct point clamp(struct point at, const struct rect *rect);
static bool         clip(double at, double step, double low, double high, double *from, double *to);
static double       way_distance2(const struct sweep *sweep, Length x, Length y);
static double       end_distance2(struct point end, const struct rect *rect);
static void         chord_of_end(struct point end, Length radius, Length y, double *left, double *right);
static void         chord_of_side(const struct sweep *sweep, double beside, Length y, double *left, double *right);
static void         widen(double x, double *left, double *right);

struct sweep
sweep_make(struct point from, struct point to, Length radius, bool loose)
{
	struct sweep sweep = { .from = from, .to = to, .radius = radius };
	double       x = (double)(to.x - from.x), y = (double)(to.y - from.y);

	sweep.way = (struct rect){ from.x < to.x ? from.x : to.x, from.x < to.x ? to.x : from.x,
		                   from.y < to.y ? from.y : to.y, from.y < to.y ? to.y : from.y };
	sweep.straight = loose || from.x == to.x || from.y == to.y;
	if (x == 0 || y == 0) {
		sweep.length_nm = fabs(x + y);
		sweep.along_x   = x > 0 ? 1 : x < 0 ? -1 : 0;
		sweep.along_y   = y > 0 ? 1 : y < 0 ? -1 : 0;
		return sweep;
	}
	sweep.length_nm = sqrt(x * x + y * y);
	sweep.along_x   = x / sweep.length_nm;
	sweep.along_y   = y / sweep.length_nm;
	return sweep;
}

bool
sweep_near(const struct sweep *sweep, const struct rect *rect)
{
	return rects_near(&sweep->way, rect, sweep->radius) && (sweep->straight || slanted_near(sweep, rect));
}

bool
sweep_core(const struct sweep *sweep, struct rect *core)
{
	*core = sweep->way;
	if (sweep->way.left == sweep->way.right && sweep->way.front == sweep->way.back)
		return false;
	if (sweep->way.left == sweep->way.right) {
		core->left -= sweep->radius;
		core->right += sweep->radius;
		return true;
	}
	core->front -= sweep->radius;
	core->back += sweep->radius;
	return sweep->way.front == sweep->way.back;
}

/* The outline at any y is a point of one of the discs at the ends or of one of the lines that touch both. */
bool
sweep_chord(const struct sweep *sweep, Length y, Length *left, Length *right)
{
	const Length radius = sweep->radius - MARGIN;
	double       from = INFINITY, to = -INFINITY;

	if (radius <= 0)
		return false;
	chord_of_end(sweep->from, radius, y, &from, &to);
	chord_of_end(sweep->to, radius, y, &from, &to);
	chord_of_side(sweep, (double)radius, y, &from, &to);
	chord_of_side(sweep, -(double)radius, y, &from, &to);
	if (!(from < to))
		return false;
	*left  = (Length)ceil(from);
	*right = (Length)floor(to);
	return *left < *right;
}

/* On a slanted way: where it runs in, or of the rectangle's corners and the points nearest to the way's ends the nearest to it. */
struct point
sweep_contact(const struct sweep *sweep, const struct rect *rect)
{
	const struct point points[] = {
		clamp(sweep->from, rect),        clamp(sweep->to, rect),        { rect->left, rect->front, 0 },
		{ rect->right, rect->front, 0 }, { rect->left, rect->back, 0 }, { rect->right, rect->back, 0 },
	};
	struct point best = points[0];
	double       from = 0, to = 1;

	if (sweep->straight)
		return clamp(clamp(best, &sweep->way), rect);
	if (crosses(sweep, rect, &from, &to)) {
		best.x = sweep->from.x + (Length)(from * (double)(sweep->to.x - sweep->from.x));
		best.y = sweep->from.y + (Length)(from * (double)(sweep->to.y - sweep->from.y));
		return clamp(best, rect);
	}
	for (size_t i = 1; i < sizeof points / sizeof points[0]; i++)
		if (way_distance2(sweep, points[i].x, points[i].y) < way_distance2(sweep, best.x, best.y))
			best = points[i];
	return best;
}

/* Both gaps are below the radius when they are squared: no overflow under a radius of 2 m. */
static bool
rects_near(const struct rect *a, const struct rect *b, Length radius)
{
	Length x = gap(a->left, a->right, b->left, b->right), y = gap(a->front, a->back, b->front, b->back);

	return x < radius && y < radius &&
	       (uint64_t)x * (uint64_t)x + (uint64_t)y * (uint64_t)y < (uint64_t)radius * (uint64_t)radius;
}

static Length
gap(Length low, Length high, Length other_low, Length other_high)
{
	return other_low > high ? other_low - high : low > other_high ? low - other_high : 0;
}

static bool
slanted_near(const struct sweep *sweep, const struct rect *rect)
{
	double reach = (double)(sweep->radius + MARGIN), limit = reach * reach, from = 0, to = 1;

	return crosses(sweep, rect, &from, &to) || end_distance2(sweep->from, rect) < limit ||
	       end_distance2(sweep->to, rect) < limit || way_distance2(sweep, rect->left, rect->front) < limit ||
	       way_distance2(sweep, rect->right, rect->front) < limit ||
	       way_distance2(sweep, rect->left, rect->back) < limit ||
	       way_distance2(sweep, rect->right, rect->back) < limit;
}

/* The way, cut by the rectangle's four sides one after the other; something is left. */
static bool
crosses(const struct sweep *sweep, const struct rect *rect, double *from, double *to)
{
	return clip((double)sweep->from.x, (double)(sweep->to.x - sweep->from.x), (double)rect->left,
	            (double)rect->right, from, to) &&
	       clip((double)sweep->from.y, (double)(sweep->to.y - sweep->from.y), (double)rect->front,
	            (double)rect->back, from, to);
}

/* step is not 0. */
static bool
clip(double at, double step, double low, double high, double *from, double *to)
{
	double enter = ((step > 0 ? low : high) - at) / step, leave = ((step > 0 ? high : low) - at) / step;

	*from = enter > *from ? enter : *from;
	*to   = leave < *to ? leave : *to;
	return *from <= *to;
}

static struct point
clamp(struct point at, const struct rect *rect)
{
	at.x = at.x < rect->left ? rect->left : at.x > rect->right ? rect->right : at.x;
	at.y = at.y < rect->front ? rect->front : at.y > rect->back ? rect->back : at.y;
	return at;
}

/* Squared, from a point to the way. */
static double
way_distance2(const struct sweep *sweep, Length x, Length y)
{
	double dx = (double)(x - sweep->from.x), dy = (double)(y - sweep->from.y);
	double along = dx * sweep->along_x + dy * sweep->along_y;

	along = along < 0 ? 0 : along > sweep->length_nm ? sweep->length_nm : along;
	dx -= along * sweep->along_x;
	dy -= along * sweep->along_y;
	return dx * dx + dy * dy;
}

static double
end_distance2(struct point end, const struct rect *rect)
{
	double x = (double)gap(end.x, end.x, rect->left, rect->right);
	double y = (double)gap(end.y, end.y, rect->front, rect->back);

	return x * x + y * y;
}

/* (R - y) (R + y) and not R R - y y, which would lose what is small. */
static void
chord_of_end(struct point end, Length radius, Length y, double *left, double *right)
{
	Length off = y - end.y;
	double half;

	if (off <= -radius || off >= radius)
		return;
	half = sqrt((double)(radius - off) * (double)(radius + off));
	widen((double)end.x - half, left, right);
	widen((double)end.x + half, left, right);
}

/* The line so far beside the way, left positive. */
static void
chord_of_side(const struct sweep *sweep, double beside, Length y, double *left, double *right)
{
	double x0   = (double)sweep->from.x - beside * sweep->along_y;
	double y0   = (double)sweep->from.y + beside * sweep->along_x;
	double rise = sweep->length_nm * sweep->along_y, share;

	if (rise == 0)
		return;
	share = ((double)y - y0) / rise;
	if (share < -ROUNDING || share > 1 + ROUNDING)
		return;
	share = share < 0 ? 0 : share > 1 ? 1 : share;
	widen(x0 + share * sweep->length_nm * sweep->along_x, left, right);
}

static void
widen(double x, double *left, double *right)
{
	*left  = x < *left ? x : *left;
	*right = x > *right ? x : *right;
}
