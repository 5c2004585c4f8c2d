#include "skimcut/weigh.h"

#include <math.h>

#include "skimcut/quantity.h"
#include "skimcut/text.h"

static bool         bears_a_tenth(const struct plan *plan, const struct weights *weights, const struct rates *rates);
static struct loads cut_loads(const struct plan *plan, const struct rates *rates, Length depth);
static struct loads pass_loads(const struct plan *plan, const struct rates *rates, Length depth, int64_t pass);
static double       available(const struct spindle *spindle, int64_t rpm);
static double       share_of(const struct loads *loads, double available_w);
static void         grip_weigh(const struct plan *plan, struct weights *weights);

struct weights
weigh(const struct plan *plan)
{
	const struct job *job  = plan->job;
	const struct cut *skim = &plan->schedule.cuts[plan->schedule.count - 1];
	struct weights weights = { .rough_depth = schedule_deepest(&plan->schedule, 1u << CUT_TEST | 1u << CUT_ROUGH) };

	if (weights.rough_depth > 0)
		weights.rough = cut_loads(plan, &plan->rough, weights.rough_depth);
	weights.skim        = cut_loads(plan, &plan->skim, skim->top - skim->floor);
	weights.available_w = available(&job->machine.spindle, plan->rough.rpm);
	weights.share       = fmax(share_of(&weights.rough, weights.available_w),
	                           share_of(&weights.skim, weights.available_w));
	weights.pulls       = weights.rough.feed_mean_n < 0 || weights.skim.feed_mean_n < 0;
	grip_weigh(plan, &weights);
	weights.roughness = surface_roughness(plan->cutter, plan->skim.fz);
	weights.flatness  = surface_flatness(job, plan->cutter, &plan->layout, plan_width(plan));
	return weights;
}

struct feeding
weigh_feeding(const struct plan *plan, const struct weights *weights, bool skim)
{
	const struct rates *rates = skim ? &plan->skim : &plan->rough;
	double              h_mm  = skim ? weights->skim.h_max_mm : weights->rough.h_max_mm;
	Speed               vf = rates->vf, rubs = h_mm > 0 ? (Speed)((double)vf * fmin(WEIGH_RUBS_MM / h_mm, 1)) : 0;
	Speed most = bears_a_tenth(plan, weights, rates) ? vf + vf / 10 : vf, max = plan->job->machine.feeds.max;

	return dial_feeding(&plan->job->machine, plan->layout.along, vf, rubs > vf / 2 ? rubs : vf / 2,
	                    max > 0 && most > max ? max : most);
}

double
margins_least(const struct margins *margins)
{
	return margins->slip < margins->tip ? margins->slip : margins->tip;
}

double
down_to_tenths(double margin)
{
	return floor(margin * 10) / 10;
}

struct shown
power_show(double power_w, enum units units)
{
	const double w_per_hp = 745.699871582;
	struct shown shown    = { "" };
	struct text  text     = text_over(shown.text, sizeof shown.text);

	if (units == UNITS_INCH)
		text_format(&text, "%.2f hp", power_w / w_per_hp);
	else
		text_format(&text, "%.2f kW", power_w / 1000);
	text_end(&text);
	return shown;
}

static bool
bears_a_tenth(const struct plan *plan, const struct weights *weights, const struct rates *rates)
{
	double wanted = (double)plan->job->hold.safety_factor / RATIO_ONE;

	if (rates->limits & RATE_FEED_MAX || plan->easing.feed_ratio < RATIO_ONE || 1.1 * weights->share > 1)
		return false;
	return !weights->grip.force_known || margins_least(&weights->margins) >= 1.1 * wanted;
}

/* Of all passes the heaviest, the largest force in the plane and the least along the feed. */
static struct loads
cut_loads(const struct plan *plan, const struct rates *rates, Length depth)
{
	const int64_t last     = plan->layout.passes - 1,
		      passes[] = { 0, 1, 2, last }; /* those between are like the second or third */
	struct loads worst     = pass_loads(plan, rates, depth, 0);

	for (size_t i = 1; i < sizeof passes / sizeof passes[0] && passes[i] <= last; i++) {
		struct loads loads   = pass_loads(plan, rates, depth, passes[i]);
		double       plane_n = fmax(loads.plane_peak_n, worst.plane_peak_n);
		double       feed_n  = fmin(loads.feed_mean_n, worst.feed_mean_n);

		if (loads.power_w > worst.power_w)
			worst = loads;
		worst.plane_peak_n = plane_n;
		worst.feed_mean_n  = feed_n;
	}
	return worst;
}

static struct loads
pass_loads(const struct plan *plan, const struct rates *rates, Length depth, int64_t pass)
{
	struct cut_case cut = {
		.cutter     = plan->cutter,
		.kc11_n_mm2 = plan->job->material.kc11_n_mm2,
		.mc         = plan->job->material.mc,
		.ap         = depth,
		.strip      = plan_strip(plan, pass),
		.fz         = rates->fz,
		.rpm        = rates->rpm,
	};

	return loads_find(&cut);
}

/* Below its base speed a motor gives constant torque, and so power in proportion to the speed. */
static double
available(const struct spindle *spindle, int64_t rpm)
{
	double power_w = (double)spindle->power_mw / 1000 * ((double)spindle->efficiency_ratio / RATIO_ONE);

	if (spindle->base_rpm > 0 && rpm < spindle->base_rpm)
		power_w *= (double)rpm / (double)spindle->base_rpm;
	return power_w;
}

static double
share_of(const struct loads *loads, double available_w)
{
	return available_w > 0 ? loads->power_w / available_w : 0;
}

/*
 * Force grows with depth, so the depth that keeps the margin wanted is in proportion: reckoned at the top of the stock, where some
 * cut of that depth will be, and for the rates of every cut.
 */
static void
grip_weigh(const struct plan *plan, struct weights *weights)
{
	const struct job *job    = plan->job;
	double            wanted = (double)job->hold.safety_factor / RATIO_ONE, worst = 0;

	weights->grip = grip_find(job, &plan->hold, plan->final);
	if (!weights->grip.force_known)
		return;
	for (size_t i = 0; i < plan->schedule.count; i++) {
		const struct cut *above = i > 0 ? &plan->schedule.cuts[i - 1] : NULL;
		const struct cut *cut   = &plan->schedule.cuts[i];
		struct loads      loads;
		struct margins    margins;
		Length            safe;

		if (above && above->kind == cut->kind && above->top - above->floor == cut->top - cut->floor)
			continue; /* the same, lower down */
		loads   = cut_loads(plan, plan_rates(plan, i), cut->top - cut->floor);
		margins = grip_margins(job, &weights->grip, loads.plane_peak_n, cut->top);
		if (i == 0 || margins_least(&margins) < worst) {
			worst            = margins_least(&margins);
			weights->margins = margins;
			weights->worst   = i;
		}
		margins = grip_margins(job, &weights->grip, loads.plane_peak_n, job->stock.height);
		safe    = (Length)fmin((double)(cut->top - cut->floor) * margins_least(&margins) / wanted, LENGTH_MAX);
		if (i == 0 || safe < weights->safe_depth)
			weights->safe_depth = safe;
	}
}
