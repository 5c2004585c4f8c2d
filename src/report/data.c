#include "skimcut/data.h"

#include "skimcut/amount.h"
#include "skimcut/caution.h"
#include "skimcut/clock.h"
#include "skimcut/cutter.h"
#include "skimcut/diag.h"
#include "skimcut/engagement.h"
#include "skimcut/json.h"
#include "skimcut/plan.h"
#include "skimcut/rows.h"
#include "skimcut/text.h"
#include "skimcut/weigh.h"
#include "skimcut/weighed.h"
#include "skimcut/weighing.h"
#include "skimcut/wording.h"

enum { INDENT = 2, DIGITS = 15 };

static json_t *root_json(const struct plan *plan, const struct diag *diag);
static json_t *stock_json(const struct plan *plan);
static json_t *hold_json(const struct plan *plan);
static json_t *obstacle_json(const struct plan *plan, const struct obstacle *obstacle);
static json_t *end_json(const struct plan *plan, Length at, Length zero);
static json_t *cutter_json(const struct plan *plan);
static json_t *over_json(const struct plan *plan);
static json_t *layout_json(const struct plan *plan);
static json_t *rates_json(const struct plan *plan, bool skim);
static json_t *zero_json(const struct plan *plan);
static json_t *heights_json(const struct plan *plan);
static json_t *keep_clear_json(const struct plan *plan);
static json_t *measuring_json(const struct plan *plan, const struct clock *clock);
static json_t *time_json(const struct plan *plan, const struct clock *clock);
static json_t *remarks_json(const struct diag *diag);
static json_t *remark_json(const struct message *message);
static json_t *cautions_json(void);

bool
data_json(const struct plan *plan, const struct diag *diag, struct text *out)
{
	return json_print(root_json(plan, diag), INDENT, DIGITS, out);
}

static json_t *
root_json(const struct plan *plan, const struct diag *diag)
{
	enum units            units   = plan->job->units;
	const struct job     *job     = plan->job;
	const struct machine *machine = &job->machine;
	const struct weights  weights = weigh(plan);
	struct clock          clock   = { .rapid = plan->rapid };
	json_t               *cuts    = rows_cuts(plan, &clock);
	const char            group[] = { job->material.group, '\0' };

	return json_make((const struct member[]){
	    { "schema", json_integer(DATA_SCHEMA) },
	    { "title", json_text(job->title) },
	    { "units", amount_units(units) },
	    { "material", json_make((const struct member[]){
			      { "name", json_text(job->material.name) }, { "group", json_string(group) }, JSON_END }) },
	    { "machine",
	      !machine->bound.node ? json_null() : json_string(machine->kind == MACHINE_MANUAL ? "manual" : "cnc") },
	    { "stock", stock_json(plan) },
	    { "told_height", amount_given(job->told.height, units) },
	    { "finished_height", amount_length(plan->final, units) },
	    { "comes_off", amount_length(job->stock.height - plan->final, units) },
	    { "hold", hold_json(plan) },
	    { "cutter", cutter_json(plan) },
	    { "layout", layout_json(plan) },
	    { "rough", rates_json(plan, false) },
	    { "skim", rates_json(plan, true) },
	    { "loads", weighed_loads(plan, &weights) },
	    { "grip", weighed_grip(plan, &weights) },
	    { "surface", weighed_surface(plan, &weights) },
	    { "flatness", weighed_flatness(plan, &weights) },
	    { "coolant", json_string(job_word(COOLANTS, (int)plan->coolant)) },
	    { "coolant_reason", json_string(weighing_coolant(plan)) },
	    { "zero", zero_json(plan) },
	    { "heights", heights_json(plan) },
	    { "keep_clear", keep_clear_json(plan) },
	    { "cuts", cuts },
	    { "passes", rows_passes(plan) },
	    { "measuring", measuring_json(plan, &clock) },
	    { "time", time_json(plan, &clock) },
	    { "handwork", rows_handwork(plan) },
	    { "remarks", remarks_json(diag) },
	    { "cautions", cautions_json() },
	    JSON_END,
	});
}

static json_t *
stock_json(const struct plan *plan)
{
	const struct stock *stock = &plan->job->stock;
	enum units          units = plan->job->units;

	return json_make((const struct member[]){
	    { "length", amount_length(stock->length, units) },
	    { "width", amount_length(stock->width, units) },
	    { "height", amount_length(stock->height, units) },
	    JSON_END,
	});
}

static json_t *
hold_json(const struct plan *plan)
{
	const struct job  *job       = plan->job;
	const struct hold *hold      = &plan->hold;
	json_t            *obstacles = json_array();

	for (size_t i = 0; i < hold->count; i++)
		obstacles = json_add(obstacles, obstacle_json(plan, &hold->obstacles[i]));
	return json_make((const struct member[]){
	    { "vise", json_boolean(job->vise.bound.node) },
	    { "clamps", json_integer((json_int_t)job->hold.clamps.count) },
	    { "parallel", amount_given(hold->parallel, plan->job->units) },
	    { "obstacles", obstacles },
	    JSON_END,
	});
}

static json_t *
obstacle_json(const struct plan *plan, const struct obstacle *obstacle)
{
	enum units         units = plan->job->units;
	const struct point zero  = plan->zero;

	return json_make((const struct member[]){
	    { "name", json_text(obstacle->name) },
	    { "left", end_json(plan, obstacle->left, zero.x) },
	    { "right", end_json(plan, obstacle->right, zero.x) },
	    { "front", end_json(plan, obstacle->front, zero.y) },
	    { "back", end_json(plan, obstacle->back, zero.y) },
	    { "top_z", amount_length(obstacle->top - zero.z, units) },
	    { "above_finished", amount_length(obstacle->top - plan->final, units) },
	    JSON_END,
	});
}

/* A jaw has no end on its far side. */
static json_t *
end_json(const struct plan *plan, Length at, Length zero)
{
	return at <= -LENGTH_MAX || at >= LENGTH_MAX ? json_null() : amount_length(at - zero, plan->job->units);
}

static json_t *
cutter_json(const struct plan *plan)
{
	enum units           units  = plan->job->units;
	const struct cutter *cutter = plan->cutter;
	Length               width  = plan_width(plan);
	bool                 single = plan->layout.pattern == PATTERN_SINGLE;

	return json_make((const struct member[]){
	    { "name", json_text(cutter->bound.name) },
	    { "kind", json_string(job_word(CUTTER_KINDS, (int)cutter->kind)) },
	    { "diameter", amount_length(cutter->diameter, units) },
	    { "teeth", json_integer(cutter->teeth) },
	    { "edge", json_string(job_word(EDGE_KINDS, (int)cutter->edge)) },
	    { "number", json_integer(cutter->number) },
	    { "chosen", json_boolean(plan->job->choose_cutter) },
	    { "covers", json_boolean(cutter_covers(cutter, width)) },
	    { "to_spare", single ? amount_length(cutter->diameter - width, units) : json_null() },
	    { "over", single ? over_json(plan) : json_null() },
	    JSON_END,
	});
}

static json_t *
over_json(const struct plan *plan)
{
	enum units           units  = plan->job->units;
	const struct layout *layout = &plan->layout;
	Length               radius = plan->cutter->diameter / 2;
	bool                 is_x   = layout->along == ALONG_X;
	json_t              *near = json_make((const struct member[]){ { "edge", json_string(is_x ? "front" : "left") },
	                                                               { "by", amount_length(radius - layout->first, units) },
	                                                               JSON_END });
	json_t              *far  = json_make(
			  (const struct member[]){ { "edge", json_string(is_x ? "back" : "right") },
	                                           { "by", amount_length(layout->first + radius - plan_width(plan), units) },
	                                           JSON_END });

	return json_add(json_add(json_array(), near), far);
}

static json_t *
layout_json(const struct plan *plan)
{
	enum units               units      = plan->job->units;
	static const char *const PATTERNS[] = { [PATTERN_AUTO]    = "auto",
		                                [PATTERN_SINGLE]  = "single",
		                                [PATTERN_ZIGZAG]  = "zigzag",
		                                [PATTERN_ONE_WAY] = "one-way" };

	const struct layout *layout = &plan->layout;
	double               share  = (double)layout->taken / (double)plan->cutter->diameter;

	return json_make((const struct member[]){
	    { "pattern", json_string(PATTERNS[layout->pattern]) },
	    { "along", json_string(layout->along == ALONG_X ? "x" : "y") },
	    { "passes", json_integer(layout->passes) },
	    { "width", amount_length(plan_width(plan), units) },
	    { "taken", amount_length(layout->taken, units) },
	    { "taken_share", json_figure(share) },
	    { "pitch", amount_length(layout->pitch, units) },
	    JSON_END,
	});
}

static json_t *
rates_json(const struct plan *plan, bool skim)
{
	enum units          units   = plan->job->units;
	const struct rates *rates   = skim ? &plan->skim : &plan->rough;
	unsigned            kinds   = skim ? 1u << CUT_SKIM : 1u << CUT_TEST | 1u << CUT_ROUGH;
	Length              depth   = schedule_deepest(&plan->schedule, kinds);
	double              removal = engagement_removal_mm3_min(depth, plan->layout.taken, rates->vf);

	return json_make((const struct member[]){
	    { "rpm", json_integer(rates->rpm) },
	    { "cutting_speed", amount_exact(AMOUNT_CUTTING_SPEED, rates->vc, units) },
	    { "feed", amount_exact(AMOUNT_FEED, rates->vf, units) },
	    { "feed_per_tooth", amount_length(rates->fz, units) },
	    { "deepest", amount_given(depth, units) },
	    { "removal", amount_known(depth > 0, AMOUNT_REMOVAL, removal, units) },
	    JSON_END,
	});
}

static json_t *
zero_json(const struct plan *plan)
{
	enum units         units = plan->job->units;
	const struct zero *zero  = &plan->job->zero;
	const struct point at    = plan->zero;

	return json_make((const struct member[]){
	    { "x", json_string(job_word(ZERO_XS, (int)zero->x)) },
	    { "y", json_string(job_word(ZERO_YS, (int)zero->y)) },
	    { "z", json_string(job_word(ZERO_ZS, (int)zero->z)) },
	    { "from_stock", json_make((const struct member[]){
				{ "x", amount_length(at.x, units) },
				{ "y", amount_length(at.y, units) },
				{ "z", amount_length(at.z, units) },
				JSON_END,
			    }) },
	    { "touch_z", amount_length(plan->job->stock.height - at.z, units) },
	    JSON_END,
	});
}

static json_t *
heights_json(const struct plan *plan)
{
	enum units units = plan->job->units;

	return json_make((const struct member[]){
	    { "safe_z", amount_length(plan->safe - plan->zero.z, units) },
	    { "retract_z", amount_length(plan->retract - plan->zero.z, units) },
	    JSON_END,
	});
}

/* The box that the cutter sweeps below the waiting height. */
static json_t *
keep_clear_json(const struct plan *plan)
{
	enum units           units  = plan->job->units;
	const struct layout *layout = &plan->layout;
	const struct point   zero   = plan->zero;
	bool                 is_x   = layout->along == ALONG_X;
	Length               last   = layout->first + (layout->passes - 1) * layout->pitch * layout->side;
	Length               near   = (layout->side > 0 ? layout->first : last) - plan->reach;
	Length               far    = (layout->side > 0 ? last : layout->first) + plan->reach;
	Length               low = layout->low - plan->reach, high = layout->high + plan->reach;

	return json_make((const struct member[]){
	    { "x", amount_range((is_x ? low : near) - zero.x, (is_x ? high : far) - zero.x, units) },
	    { "y", amount_range((is_x ? near : low) - zero.y, (is_x ? far : high) - zero.y, units) },
	    { "down_to_z", amount_length(plan->final - zero.z, units) },
	    JSON_END,
	});
}

static json_t *
measuring_json(const struct plan *plan, const struct clock *clock)
{
	json_t     *texts = json_array();
	const char *text;

	for (size_t i = 0; (text = wording_measure(plan, clock, i)); i++)
		texts = json_add(texts, json_text(text));
	return texts;
}

static json_t *
time_json(const struct plan *plan, const struct clock *clock)
{
	return json_make((const struct member[]){
	    { "feed_s", json_figure(clock->feed_s) },
	    { "cutting_s", json_figure(plan_cutting_s(plan)) },
	    { "rapid_s", json_figure(clock->rapid_s) },
	    { "total_s", json_figure(clock_total_s(clock)) },
	    { "least_s", json_figure(plan_least_s(plan)) },
	    { "rapid", amount_exact(AMOUNT_FEED, plan->rapid, plan->job->units) },
	    { "stops", json_integer((json_int_t)clock->stops) },
	    JSON_END,
	});
}

static json_t *
remarks_json(const struct diag *diag)
{
	json_t *remarks = json_array();

	for (const struct message *message = diag->first; message; message = message->next)
		if (message->severity <= SEVERITY_WARNING)
			remarks = json_add(remarks, remark_json(message));
	return remarks;
}

static json_t *
remark_json(const struct message *message)
{
	const struct place *place = &message->place;
	bool                line  = place->source && place->line > 0;

	return json_make((const struct member[]){
	    { "severity", json_string(message->severity == SEVERITY_WARNING ? "warning" : "note") },
	    { "text", json_text(message->text) },
	    { "file", place->source && place->source->name ? json_text(place->source->name) : json_null() },
	    { "line", line ? json_integer((json_int_t)place->line) : json_null() },
	    { "column", line ? json_integer((json_int_t)place->column) : json_null() },
	    JSON_END,
	});
}

static json_t *
cautions_json(void)
{
	json_t *cautions = json_array();

	for (size_t i = 0; i < CAUTION_COUNT; i++)
		cautions = json_add(cautions, json_text(CAUTIONS[i]));
	return cautions;
}
