#include "skimcut/weighing.h"

#include <math.h>

#include "skimcut/paper.h"
#include "skimcut/quantity.h"
#include "skimcut/text.h"
#include "skimcut/weigh.h"

/* Of SI, for those who think in inches. */
static const double N_PER_LBF = 4.4482216152605, NM_PER_LBF_FT = 1.3558179483314;

static void         loads_print(const struct plan *plan, const struct weights *weights, const struct paper *paper);
static void         grip_print(const struct plan *plan, const struct weights *weights, const struct paper *paper);
static void         margins_print(const struct plan *plan, const struct weights *weights, const struct paper *paper);
static void         surface_print(const struct plan *plan, const struct weights *weights, const struct paper *paper);
static void         flatness_print(const struct plan *plan, const struct flatness *flatness, const struct paper *paper);
static void         coolant_print(const struct plan *plan, const struct paper *paper);
static struct shown force_show(double force_n, enum units units);
static struct shown torque_show(double torque_n_m, enum units units);
static struct shown number_show(double value, int decimals, const char *unit);

void
weighing_print(const struct plan *plan, const struct weights *weights, const struct paper *paper)
{
	loads_print(plan, weights, paper);
	grip_print(plan, weights, paper);
	surface_print(plan, weights, paper);
	coolant_print(plan, paper);
}

/* Common practice, no source. */
const char *
weighing_coolant(const struct plan *plan)
{
	enum edge edge  = plan->cutter->edge;
	char      group = plan->job->material.group;
	bool      hot   = edge == EDGE_CARBIDE && (group == 'P' || group == 'M' || group == 'K' || group == 'H');

	if (plan->coolant == COOLANT_NONE)
		return hot              ? "coolant that comes and goes cracks hot carbide"
		     : edge == EDGE_HSS ? "watch the colour of chips and edges: high-speed steel softens when it is hot"
		                        : "blow the chips away, and watch that none stick to the edges";
	if (hot)
		return "only if it never stops: coolant that comes and goes cracks hot carbide";
	return edge == EDGE_HSS ? "it keeps high-speed steel from softening"
	                        : "it keeps chips from sticking to the edges";
}

const char *
weighing_share(double share)
{
	return share < 0.5 ? "easy" : share < 0.8 ? "firm" : "near its limit";
}

const char *
weighing_margins(const struct margins *margins, double wanted)
{
	double least = margins_least(margins);

	if (isinf(margins->slip) || isinf(margins->tip))
		return NULL;
	return least >= 2 * wanted ? "held fast" : least >= wanted ? "held" : "too little";
}

static void
loads_print(const struct plan *plan, const struct weights *weights, const struct paper *paper)
{
	enum units          units = plan->job->units;
	bool                rough = weights->rough_depth > 0;
	const struct loads *loads = rough ? &weights->rough : &weights->skim;
	const struct cut   *last  = &plan->schedule.cuts[plan->schedule.count - 1];

	paper_say(paper, "Loads",
	          "%s %s deep: %s and %s at the cutter; a tooth bears %s at the most, %.1f of %lld are in the cut",
	          rough ? "roughing" : "the one cut",
	          length_show(rough ? weights->rough_depth : last->top - last->floor, units).text,
	          power_show(loads->power_w, units).text, torque_show(loads->torque_n_m, units).text,
	          force_show(loads->tooth_peak_n, units).text, loads->teeth_in_cut, (long long)plan->cutter->teeth);
	if (weights->available_w > 0)
		paper_say(paper, "", "The motor gives %s at the cutter there: %.0f %% of it is taken, %s.",
		          power_show(weights->available_w, units).text, 100 * weights->share,
		          weighing_share(weights->share));
	else
		paper_say(paper, "", "What the motor gives is not described: see for yourself that it is enough.");
	paper_say(paper, "", "Chips are %s thick at the most; the feed %s the table.",
	          length_show((Length)(loads->h_max_mm * LENGTH_MM), units).text,
	          weights->pulls ? "at times pulls" : "pushes against");
}

static void
grip_print(const struct plan *plan, const struct weights *weights, const struct paper *paper)
{
	const struct job  *job  = plan->job;
	const struct grip *grip = &weights->grip;

	if (!grip->by_vise && !grip->by_clamps) {
		paper_say(paper, "Grip", "not described, so not weighed: see for yourself that it will hold");
		return;
	}
	if (grip->by_vise)
		paper_say(paper, "Grip", "%s deep in the jaws; %s stands out before, %s after: %.1f times the grip",
		          length_show(grip->depth, job->units).text, length_show(grip->out_before, job->units).text,
		          length_show(grip->out_after, job->units).text,
		          grip->depth > 0 ? (double)grip->out_before / (double)grip->depth : 0);
	else
		paper_say(paper, "Grip", "clamped down on the table");
	if (grip->force_known)
		margins_print(plan, weights, paper);
	else
		paper_say(paper, "", "%s is told, so no force was checked.",
		          grip->by_vise ? "No clamping force" : "Not every clamp's force");
}

static void
margins_print(const struct plan *plan, const struct weights *weights, const struct paper *paper)
{
	const struct margins *margins = &weights->margins;
	double                wanted  = (double)plan->job->hold.safety_factor / RATIO_ONE;
	struct shown          force   = force_show(weights->grip.force_n + weights->grip.clamps_n, plan->job->units);
	const char           *word    = weighing_margins(margins, wanted);

	if (!word) {
		paper_say(paper, "", "Pressed with %s, and no force against it.", force.text);
		return;
	}
	paper_say(
	    paper, "",
	    "Pressed with %s it bears %.1f times the force of cut %zu before it slips, %.1f times before it tips; %.1f "
	    "is wanted: %s.",
	    force.text, down_to_tenths(margins->slip), weights->worst + 1, down_to_tenths(margins->tip), wanted, word);
}

static void
surface_print(const struct plan *plan, const struct weights *weights, const struct paper *paper)
{
	const struct roughness *roughness = &weights->roughness;
	const struct flatness  *flatness  = &weights->flatness;
	const struct finish    *finish    = &plan->job->finish;
	enum units              units     = plan->job->units;

	if (!roughness->known)
		paper_say(paper, "Surface", "how smooth: not known without the edges' nose radius or flat");
	else if (roughness->wiped_proud)
		paper_say(paper, "Surface", "in theory the flat on the edges wipes all marks away");
	else if (plan->cutter->teeth == 1)
		paper_say(paper, "Surface", "in theory Rz %s, Ra %s", surface_show(roughness->rz_level_um, units).text,
		          surface_show(roughness->ra_level_um, units).text);
	else
		paper_say(
		    paper, "Surface",
		    "in theory Rz %s, Ra %s if all edges stand level; Rz %s, Ra %s if one stands proud",
		    surface_show(roughness->rz_level_um, units).text, surface_show(roughness->ra_level_um, units).text,
		    surface_show(roughness->rz_proud_um, units).text, surface_show(roughness->ra_proud_um, units).text);
	if (finish->roughness > 0 && roughness->known)
		paper_say(paper, "", "Ra %s is wanted: %s.", surface_show((double)finish->roughness / 1000, units).text,
		          roughness->ra_proud_um * 1000 <= (double)finish->roughness   ? "met"
		          : roughness->ra_level_um * 1000 <= (double)finish->roughness ? "met if the edges stand level"
		                                                                       : "not met");
	if (flatness->known)
		flatness_print(plan, flatness, paper);
	else if (finish->flatness > 0)
		paper_say(paper, "", "How flat: not known without the machine's tram.");
	paper_say(paper, "", "Parallel it is only if seat, parallels and head are true: check.");
}

static void
flatness_print(const struct plan *plan, const struct flatness *flatness, const struct paper *paper)
{
	enum units units  = plan->job->units;
	Length     wanted = plan->job->finish.flatness;

	if (plan->layout.passes > 1)
		paper_say(paper, "",
		          "The spindle's tilt leaves a hollow of %s if it leans along the passes, steps of %s if "
		          "across them; %s out "
		          "of flat at the worst.",
		          surface_show(flatness->hollow_um, units).text, surface_show(flatness->step_um, units).text,
		          surface_show(flatness->worst_um, units).text);
	else
		paper_say(paper, "", "The spindle's tilt leaves a hollow of %s at the worst.",
		          surface_show(flatness->worst_um, units).text);
	if (wanted > 0)
		paper_say(paper, "", "%s is wanted: %s.", surface_show((double)wanted / 1000, units).text,
		          flatness->worst_um * 1000 <= (double)wanted ? "met" : "not met");
}

static void
coolant_print(const struct plan *plan, const struct paper *paper)
{
	static const char *const WORDS[] = { [COOLANT_NONE]  = "none, cut dry",
		                             [COOLANT_MIST]  = "mist",
		                             [COOLANT_FLOOD] = "flood",
		                             [COOLANT_OIL]   = "oil, by hand" };

	paper_say(paper, "Coolant", "%s: %s", WORDS[plan->coolant], weighing_coolant(plan));
}

static struct shown
force_show(double force_n, enum units units)
{
	return units == UNITS_INCH ? number_show(force_n / N_PER_LBF, 0, " lbf") : number_show(force_n, 0, " N");
}

static struct shown
torque_show(double torque_n_m, enum units units)
{
	return units == UNITS_INCH ? number_show(torque_n_m / NM_PER_LBF_FT, 1, " lbf ft")
	                           : number_show(torque_n_m, 1, " N m");
}

static struct shown
number_show(double value, int decimals, const char *unit)
{
	struct shown shown = { "" };
	struct text  text  = text_over(shown.text, sizeof shown.text);

	text_format(&text, "%.*f%s", decimals, value, unit);
	text_end(&text);
	return shown;
}
