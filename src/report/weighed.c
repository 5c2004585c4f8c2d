#include "skimcut/weighed.h"

#include "skimcut/amount.h"
#include "skimcut/plan.h"
#include "skimcut/quantity.h"
#include "skimcut/weigh.h"
#include "skimcut/weighing.h"

static json_t *motor_json(const struct plan *plan, const struct weights *weights);
static json_t *met_json(bool known, double value, double wanted);

json_t *
weighed_loads(const struct plan *plan, const struct weights *weights)
{
	enum units          units = plan->job->units;
	const struct cut   *last  = &plan->schedule.cuts[plan->schedule.count - 1];
	bool                rough = weights->rough_depth > 0;
	const struct loads *loads = rough ? &weights->rough : &weights->skim;
	Length              depth = rough ? weights->rough_depth : last->top - last->floor;

	return json_make((const struct member[]){
	    { "of", json_string(rough ? "rough" : "skim") },
	    { "depth", amount_length(depth, units) },
	    { "power", amount_known(true, AMOUNT_POWER, loads->power_w, units) },
	    { "torque", amount_known(true, AMOUNT_TORQUE, loads->torque_n_m, units) },
	    { "tooth_force", amount_known(true, AMOUNT_FORCE, loads->tooth_peak_n, units) },
	    { "teeth_in_cut", json_figure(loads->teeth_in_cut) },
	    { "chip", amount_known(true, AMOUNT_LENGTH, loads->h_max_mm * LENGTH_MM, units) },
	    { "feed_pulls", json_boolean(weights->pulls) },
	    { "motor", motor_json(plan, weights) },
	    JSON_END,
	});
}

json_t *
weighed_grip(const struct plan *plan, const struct weights *weights)
{
	enum units            units   = plan->job->units;
	const struct grip    *grip    = &weights->grip;
	const struct margins *margins = &weights->margins;
	bool                  known = grip->force_known, vise = grip->by_vise;
	double                wanted = (double)plan->job->hold.safety_factor / RATIO_ONE;
	const char           *word   = known ? weighing_margins(margins, wanted) : NULL;

	if (!vise && !grip->by_clamps)
		return json_null();
	return json_make((const struct member[]){
	    { "depth", vise ? amount_length(grip->depth, units) : json_null() },
	    { "out_before", vise ? amount_length(grip->out_before, units) : json_null() },
	    { "out_after", vise ? amount_length(grip->out_after, units) : json_null() },
	    { "force", amount_known(known, AMOUNT_FORCE, grip->force_n + grip->clamps_n, units) },
	    { "cut", known ? json_integer((json_int_t)weights->worst + 1) : json_null() },
	    { "slip_margin", known ? json_figure(margins->slip) : json_null() },
	    { "tip_margin", known ? json_figure(margins->tip) : json_null() },
	    { "wanted", json_figure(wanted) },
	    { "word", word ? json_string(word) : json_null() },
	    JSON_END,
	});
}

json_t *
weighed_surface(const struct plan *plan, const struct weights *weights)
{
	enum units              units   = plan->job->units;
	const struct roughness *surface = &weights->roughness;
	double                  wanted  = (double)plan->job->finish.roughness / 1000;
	bool                    known   = surface->known;

	return json_make((const struct member[]){
	    { "rz_level", amount_known(known, AMOUNT_ROUGHNESS, surface->rz_level_um, units) },
	    { "ra_level", amount_known(known, AMOUNT_ROUGHNESS, surface->ra_level_um, units) },
	    { "rz_proud", amount_known(known, AMOUNT_ROUGHNESS, surface->rz_proud_um, units) },
	    { "ra_proud", amount_known(known, AMOUNT_ROUGHNESS, surface->ra_proud_um, units) },
	    { "wiped", known ? json_boolean(surface->wiped_proud) : json_null() },
	    { "ra_wanted", amount_known(wanted > 0, AMOUNT_ROUGHNESS, wanted, units) },
	    { "met_level", met_json(known, surface->ra_level_um, wanted) },
	    { "met_proud", met_json(known, surface->ra_proud_um, wanted) },
	    JSON_END,
	});
}

json_t *
weighed_flatness(const struct plan *plan, const struct weights *weights)
{
	enum units             units    = plan->job->units;
	const struct flatness *flatness = &weights->flatness;
	double                 wanted   = (double)plan->job->finish.flatness / 1000;
	bool                   known    = flatness->known;

	return json_make((const struct member[]){
	    { "hollow", amount_known(known, AMOUNT_ROUGHNESS, flatness->hollow_um, units) },
	    { "step", amount_known(known, AMOUNT_ROUGHNESS, flatness->step_um, units) },
	    { "worst", amount_known(known, AMOUNT_ROUGHNESS, flatness->worst_um, units) },
	    { "wanted", amount_known(wanted > 0, AMOUNT_ROUGHNESS, wanted, units) },
	    { "met", met_json(known, flatness->worst_um, wanted) },
	    JSON_END,
	});
}

static json_t *
motor_json(const struct plan *plan, const struct weights *weights)
{
	if (weights->available_w <= 0)
		return json_null();
	return json_make((const struct member[]){
	    { "available", amount_known(true, AMOUNT_POWER, weights->available_w, plan->job->units) },
	    { "share", json_figure(weights->share) },
	    { "word", json_string(weighing_share(weights->share)) },
	    JSON_END,
	});
}

/* Nothing wanted is 0. */
static json_t *
met_json(bool known, double value, double wanted)
{
	return known && wanted > 0 ? json_boolean(value <= wanted) : json_null();
}
