/*
 * recipe - a small job in millimetres that differs from a usual one in the lines that matter.
 */
#ifndef SKIMCUT_TESTS_RECIPE_H
#define SKIMCUT_TESTS_RECIPE_H

#include "planning.h"

/* A job of which only the named lines differ from the usual one; "" leaves a line out, NULL leaves it as it is. */
struct recipe {
	const char *material, *stock, *finished, *cutter, *cut, *machine, *rest;
	enum along  along;
	Length      grid;
};

static const struct recipe USUAL = {
	.material = "material: {group: N, cutting_speed: 100 m/min, feed_per_tooth: 0.1}",
	.stock    = "stock: {length: 100, width: 40, height: 20}",
	.finished = "finished_height: 18",
	.cutter   = "cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide}",
	.cut      = "cut: {clearance: 2.5}",
	.machine  = "machine: {kind: cnc, feed: {max: 5000}}",
	.rest     = "",
};

static inline const char *
line_of(const char *own, const char *usual)
{
	return own ? own : usual;
}

static inline const char *
yaml_of(const struct recipe *recipe, char *buffer, size_t size)
{
	struct text out = text_over(buffer, size);

	text_format(&out, "units: mm\n%s\n%s\n%s\n%s\n%s\n%s\n%s\n", line_of(recipe->material, USUAL.material),
	            line_of(recipe->stock, USUAL.stock), line_of(recipe->finished, USUAL.finished),
	            line_of(recipe->cutter, USUAL.cutter), line_of(recipe->cut, USUAL.cut),
	            line_of(recipe->machine, USUAL.machine), line_of(recipe->rest, USUAL.rest));
	return text_end(&out);
}

/* Close it in any case. */
static inline bool
planned(struct planning *planning, const struct recipe *recipe, char yaml[2048])
{
	struct grid grid = usual_grid(UNITS_MM);

	if (recipe->grid > 0)
		grid.length = recipe->grid;
	if (!planning_open(planning, yaml_of(recipe, yaml, 2048)))
		fail_msg("not a job: %s\n%s", planning->diag.first ? planning->diag.first->text : "", yaml);
	return plan_make(&planning->job, grid, recipe->along == ALONG_AUTO ? ALONG_X : recipe->along, &planning->arena,
	                 &planning->plan, &planning->diag) &&
	       remark_make(&planning->plan, &planning->arena, &planning->diag);
}

#endif
