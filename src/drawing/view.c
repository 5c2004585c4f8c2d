#include "skimcut/view.h"

#include "skimcut/plan.h"

static void        stretch(struct view *view, Length left, Length right, Length front, Length back);
static struct view wider(const struct view *view, Length by);
static void        clamps_take(struct view *view, const struct view *limit, const struct plan *plan);

/* Parts of the larger side: what is shown around it all, of the jaws beside the stock, and how far away clamps may be. */
enum { AROUND = 80, JAWS = 10, NEAR = 4 };

struct view
view_above(const struct plan *plan)
{
	const struct stock *stock  = &plan->job->stock;
	struct pass         first  = layout_pass(&plan->layout, 0);
	struct pass         last   = layout_pass(&plan->layout, plan->layout.passes - 1);
	Length              radius = plan->cutter->diameter - plan->cutter->diameter / 2, size;
	struct view         view   = { 0, stock->length, 0, stock->width }, limit;

	stretch(&view, first.from.x - radius, first.from.x + radius, first.from.y - radius, first.from.y + radius);
	stretch(&view, first.to.x, first.to.x, first.to.y, first.to.y);
	stretch(&view, last.from.x, last.from.x, last.from.y, last.from.y);
	stretch(&view, last.to.x, last.to.x, last.to.y, last.to.y);
	size  = view.right - view.left > view.back - view.front ? view.right - view.left : view.back - view.front;
	limit = wider(&view, size / NEAR);
	if (plan->job->vise.bound.node)
		stretch(&view, view.left, view.right, -size / JAWS, stock->width + size / JAWS);
	clamps_take(&view, &limit, plan);
	return wider(&view, size / AROUND);
}

struct view
view_side(const struct plan *plan, Length centre)
{
	struct view view = { -LENGTH_MAX, LENGTH_MAX, 0, plan->job->stock.width }, limit;

	stretch(&view, view.left, view.right, centre - plan->reach, centre + plan->reach);
	limit = wider(&view, (view.back - view.front) / NEAR);
	clamps_take(&view, &limit, plan);
	return view;
}

bool
view_sees(const struct view *view, const struct obstacle *obstacle, struct view *seen)
{
	seen->left  = obstacle->left > view->left ? obstacle->left : view->left;
	seen->right = obstacle->right < view->right ? obstacle->right : view->right;
	seen->front = obstacle->front > view->front ? obstacle->front : view->front;
	seen->back  = obstacle->back < view->back ? obstacle->back : view->back;
	return seen->left < seen->right && seen->front < seen->back;
}

static void
stretch(struct view *view, Length left, Length right, Length front, Length back)
{
	view->left  = left < view->left ? left : view->left;
	view->right = right > view->right ? right : view->right;
	view->front = front < view->front ? front : view->front;
	view->back  = back > view->back ? back : view->back;
}

static struct view
wider(const struct view *view, Length by)
{
	return (struct view){ view->left - by, view->right + by, view->front - by, view->back + by };
}

/* As much of them as is within the limit. */
static void
clamps_take(struct view *view, const struct view *limit, const struct plan *plan)
{
	for (size_t i = plan->job->vise.bound.node ? 2 : 0; i < plan->hold.count; i++) {
		struct view seen;

		if (view_sees(limit, &plan->hold.obstacles[i], &seen))
			stretch(view, seen.left, seen.right, seen.front, seen.back);
	}
}
