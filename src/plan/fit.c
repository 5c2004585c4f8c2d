#include "skimcut/fit.h"

#include "skimcut/diag.h"
#include "skimcut/quantity.h"
#include "skimcut/remark.h"
#include "skimcut/weigh.h"

static bool ease(const struct plan *plan, const struct weights *weights, bool narrower, struct easing *easing);
static bool stall_refuse(const struct plan *plan, const struct weights *weights, struct diag *diag);
static void easing_remark(const struct plan *plan, const struct weights *weights, Length asked, struct diag *diag);
static bool grip_judge(const struct plan *plan, const struct weights *weights, struct diag *diag);
static void edges_remark(const struct plan *plan, const struct weights *weights, struct diag *diag);
static void finish_remark(const struct plan *plan, const struct weights *weights, struct diag *diag);

/* Steps by which stepover and feed are taken back, and how far. */
static const int64_t EASE_STEP = 850000, STEPOVER_LEAST = 400000, FEED_LEAST = 500000;

/* A skim that is next to nothing of the corner rubs, too; common practice, no source. */
enum { SKIM_OF_NOSE = 8 };

/* No depth below this is worth advising. */
static const Length SAFE_LEAST = LENGTH_MM / 20;

bool
fit_make(const struct job *job, struct grid grid, enum along along, struct arena *arena, struct plan *plan,
         struct diag *diag)
{
	struct easing easing   = { LENGTH_MAX, RATIO_ONE, RATIO_ONE };
	Length        asked    = 0;    /* that a pass would take */
	bool          narrower = true; /* passes may be */

	for (;;) {
		struct diag    tried = { .arena = diag->arena };
		bool           made  = plan_make_eased(job, grid, along, &easing, arena, plan, &tried);
		struct weights weights;

		if (!made && easing.stepover_ratio < RATIO_ONE && !tried.no_memory) {
			easing.stepover_ratio = RATIO_ONE; /* several passes have no room: less feed instead */
			narrower              = false;
			continue;
		}
		if (!made) {
			diag_append(diag, &tried);
			return false;
		}
		weights = weigh(plan);
		asked   = asked > 0 ? asked : plan->layout.taken;
		if (weights.share > 1 && ease(plan, &weights, narrower, &easing))
			continue;
		diag_append(diag, &tried);
		if (weights.share > 1)
			return stall_refuse(plan, &weights, diag);
		if (!remark_make(plan, arena, diag))
			return false;
		easing_remark(plan, &weights, asked, diag);
		edges_remark(plan, &weights, diag);
		finish_remark(plan, &weights, diag);
		return grip_judge(plan, &weights, diag) && !diag->no_memory;
	}
}

/* False: there is nothing left to take back. */
static bool
ease(const struct plan *plan, const struct weights *weights, bool narrower, struct easing *easing)
{
	Length least = plan->depths.skim > FIT_DEPTH_LEAST ? plan->depths.skim : FIT_DEPTH_LEAST;
	Length depth = (Length)((double)weights->rough_depth / weights->share);

	if (weights->rough_depth > least && weights->rough.power_w >= weights->skim.power_w) {
		easing->depth = depth < least                ? least
		              : depth < weights->rough_depth ? depth
		                                             : weights->rough_depth - plan->grid.length;
		return true;
	}
	if (narrower && plan->job->cut.pattern != PATTERN_SINGLE && easing->stepover_ratio > STEPOVER_LEAST) {
		easing->stepover_ratio = easing->stepover_ratio * EASE_STEP / RATIO_ONE;
		return true;
	}
	if (easing->feed_ratio > FEED_LEAST) {
		easing->feed_ratio = easing->feed_ratio * EASE_STEP / RATIO_ONE;
		return true;
	}
	return false;
}

static bool
stall_refuse(const struct plan *plan, const struct weights *weights, struct diag *diag)
{
	return diag_add(diag, SEVERITY_REFUSED, schema_place(&plan->job->machine.spindle.bound, "power"),
	                "even a light cut takes %s at the cutter, and the motor gives %s there at %lld rpm: take a "
	                "smaller cutter, or one with fewer teeth",
	                power_show(weights->share * weights->available_w, plan->job->units).text,
	                power_show(weights->available_w, plan->job->units).text, (long long)plan->rough.rpm);
}

static void
easing_remark(const struct plan *plan, const struct weights *weights, Length asked, struct diag *diag)
{
	const struct easing *easing = &plan->easing;
	struct place         power  = schema_place(&plan->job->machine.spindle.bound, "power");
	enum units           units  = plan->job->units;

	if (plan->thin > 1)
		diag_add(diag, SEVERITY_NOTE, plan->cutter->bound.place,
		         "the passes are narrow for the cutter, which makes thin chips: the feed per tooth is raised "
		         "by %.0f %%",
		         100 * (plan->thin - 1));
	if (easing->depth < LENGTH_MAX)
		diag_add(diag, SEVERITY_NOTE, power,
		         "roughing cuts become %s or less: the motor gives %s at the cutter, at %lld rpm",
		         length_show(weights->rough_depth, units).text, power_show(weights->available_w, units).text,
		         (long long)plan->rough.rpm);
	if (plan->layout.taken < asked)
		diag_add(diag, SEVERITY_NOTE, power, "the stepover becomes %s: more is too much for the motor",
		         length_show(plan->layout.taken, units).text);
	if (easing->feed_ratio < RATIO_ONE)
		diag_add(diag, SEVERITY_NOTE, power, "the feed per tooth becomes %s: more is too much for the motor",
		         length_show(plan->rough.fz, units).text);
	if (weights->pulls && plan->job->machine.bound.node && plan->job->machine.kind == MACHINE_MANUAL)
		diag_add(diag, SEVERITY_WARNING, plan->job->machine.bound.place,
		         "the cutting force pulls the table along: snug the gib of the moving axis, or choose "
		         "conventional milling");
}

static bool
grip_judge(const struct plan *plan, const struct weights *weights, struct diag *diag)
{
	const struct job *job = plan->job;
	double       wanted = (double)job->hold.safety_factor / RATIO_ONE, least = margins_least(&weights->margins);
	struct place place  = job->vise.bound.node ? job->vise.bound.place : job->hold.bound.place;
	const char  *how    = weights->margins.slip < weights->margins.tip ? "slip" : "tip";
	struct shown safe   = length_show(length_down(weights->safe_depth, plan->grid.length), job->units);
	bool         is_cut = weights->safe_depth >= SAFE_LEAST;

	if (weights->grip.lost_share > 0)
		diag_add(diag, SEVERITY_WARNING, schema_place(&job->vise.bound, "offset"),
		         "the part sits off the vise's screw, which costs %.0f %% of the clamping force: put a spacer "
		         "of the "
		         "same width at the other end of the jaws",
		         100 * weights->grip.lost_share);
	if (!weights->grip.force_known || least >= wanted)
		return true;
	if (least < 1)
		return diag_add(
		    diag, SEVERITY_REFUSED, place,
		    "cut %zu would make the part %s: the grip bears %.1f times its force; hold it deeper or harder%s%s",
		    weights->worst + 1, how, down_to_tenths(least), is_cut ? ", or cut no deeper than " : "",
		    is_cut ? safe.text : "");
	diag_add(diag, SEVERITY_WARNING, place,
	         "the grip bears %.1f times the force of cut %zu before the part would %s, and %.1f is wanted: %s%s",
	         down_to_tenths(least), weights->worst + 1, how, wanted,
	         is_cut ? safe.text : "hold it deeper or harder", is_cut ? " deep would be safe" : "");
	return true;
}

static void
edges_remark(const struct plan *plan, const struct weights *weights, struct diag *diag)
{
	const struct job *job  = plan->job;
	const struct cut *last = &plan->schedule.cuts[plan->schedule.count - 1];
	Length            nose = plan->cutter->nose_radius, skim = last->top - last->floor;
	Length            thinnest = plan->schedule.count == 2 ? last[-1].top - last[-1].floor : 0;

	if (weights->skim.h_max_mm > 0 && weights->skim.h_max_mm < WEIGH_RUBS_MM)
		diag_add(diag, SEVERITY_WARNING, schema_place(&job->cut.bound, "skim_feed_per_tooth"),
		         "the skim's chips are %.3f mm at the thickest: the edge rubs more than it cuts; feed faster",
		         weights->skim.h_max_mm);
	if (thinnest > 0 && thinnest < nose / SKIM_OF_NOSE && job->told.height > 0)
		diag_add(diag, SEVERITY_WARNING, (struct place){ 0 },
		         "a roughing cut of only %s rubs more than it cuts", length_show(thinnest, job->units).text);
	if (skim < nose / SKIM_OF_NOSE)
		diag_add(diag, SEVERITY_WARNING, schema_place(&job->cut.bound, "skim"),
		         "the skim is only %s under a corner of %s: it rubs more than it cuts",
		         length_show(skim, job->units).text, length_show(nose, job->units).text);
}

static void
finish_remark(const struct plan *plan, const struct weights *weights, struct diag *diag)
{
	const struct job    *job    = plan->job;
	const struct finish *finish = &job->finish;
	double               ra_um = (double)finish->roughness / 1000, flat_um = (double)finish->flatness / 1000;
	Length shown = job->units == UNITS_INCH ? LENGTH_INCH / 100000 : LENGTH_MM / 10000; /* as messages show it */
	Length fz    = length_down(surface_feed_for(plan->cutter, finish->roughness), shown);

	if (finish->roughness > 0 && weights->roughness.known && weights->roughness.ra_level_um > ra_um)
		diag_add(
		    diag, SEVERITY_WARNING, schema_place(&finish->bound, "roughness"),
		    "the skim comes to Ra %s in theory, and %s is wanted: a skim_feed_per_tooth of %s would meet it",
		    surface_show(weights->roughness.ra_level_um, job->units).text, surface_show(ra_um, job->units).text,
		    length_show(fz, job->units).text);
	if (finish->flatness > 0 && weights->flatness.known && weights->flatness.worst_um > flat_um)
		diag_add(diag, SEVERITY_WARNING, schema_place(&finish->bound, "flatness"),
		         "a spindle so far off square leaves %s, and %s is wanted: tram it to %s over the same sweep",
		         surface_show(weights->flatness.worst_um, job->units).text,
		         surface_show(flat_um, job->units).text,
		         length_show((Length)((double)job->machine.tram.error * flat_um / weights->flatness.worst_um),
		                     job->units)
		             .text);
}
