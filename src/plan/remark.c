#include "skimcut/remark.h"

#include <stdlib.h>

#include "skimcut/cutter.h"
#include "skimcut/dial.h"
#include "skimcut/diag.h"
#include "skimcut/grip.h"
#include "skimcut/plan.h"
#include "skimcut/schedule.h"
#include "skimcut/weigh.h"

static void        rates_remark(const struct plan *plan, struct diag *diag);
static void        cutter_remark(const struct plan *plan, struct diag *diag);
static void        milling_remark(const struct plan *plan, struct diag *diag);
static void        coolant_remark(const struct plan *plan, struct diag *diag);
static void        measure_remark(const struct plan *plan, struct diag *diag);
static void        waiting_remark(const struct plan *plan, struct diag *diag);
static void        hand_remark(const struct plan *plan, struct diag *diag);
static Speed       evenly_turned(const struct plan *plan, double turns_min);
static int64_t     slowest_rpm(const struct spindle *spindle);
static void        machine_remark(const struct plan *plan, struct diag *diag);
static bool        told_remark(const struct plan *plan, struct arena *arena, struct diag *diag);
static size_t      nearest_cut(const struct schedule *schedule, Length height);
static const char *cuts_are(const struct plan *plan);
static void        depths_remark(const struct plan *plan, Length was, struct diag *diag);

/* Roughing deeper than this wants a rigid, square set-up; common practice, no source. */
static const Length ROUGH_USUAL = 150 * LENGTH_INCH / 1000;

bool
remark_make(const struct plan *plan, struct arena *arena, struct diag *diag)
{
	rates_remark(plan, diag);
	cutter_remark(plan, diag);
	milling_remark(plan, diag);
	coolant_remark(plan, diag);
	measure_remark(plan, diag);
	if (plan->job->told.height > 0 && !told_remark(plan, arena, diag))
		return false;
	waiting_remark(plan, diag);
	hand_remark(plan, diag);
	machine_remark(plan, diag);
	return !diag->no_memory;
}

static void
rates_remark(const struct plan *plan, struct diag *diag)
{
	const struct machine *machine = &plan->job->machine;
	const struct rates   *rates   = &plan->rough;
	Speed                 wanted  = plan->vc_wanted;
	struct place          spindle = schema_place(&machine->bound, "spindle");
	enum units            units   = plan->job->units;

	if (rates->limits & RATE_SPINDLE_MAX)
		diag_add(diag, SEVERITY_NOTE, spindle,
		         "the spindle is at its fastest, %lld rpm; %s would take %lld rpm",
		         (long long)machine->spindle.max_rpm, cutting_show(wanted, units).text,
		         (long long)rates->wanted_rpm);
	if (rates->limits & RATE_SPINDLE_STEP)
		diag_add(diag, SEVERITY_NOTE, spindle, "the next spindle speed down from %lld rpm is %lld rpm",
		         (long long)rates->wanted_rpm, (long long)rates->rpm);
	if (rates->limits & RATE_SPINDLE_MIN)
		diag_add(diag, SEVERITY_WARNING, spindle,
		         "the spindle is at its slowest, %lld rpm, which is faster than the %lld rpm wanted: the edges "
		         "wear sooner",
		         (long long)rates->rpm, (long long)rates->wanted_rpm);
	if (rates->limits & RATE_FEED_MAX)
		diag_add(diag, SEVERITY_NOTE, schema_place(&machine->bound, "feed"),
		         "the table is at its fastest feed, %s: each tooth takes %s", feed_show(rates->vf, units).text,
		         length_show(rates->fz, units).text);
}

static void
cutter_remark(const struct plan *plan, struct diag *diag)
{
	const struct cutter *cutter = plan->cutter;
	Length               width  = plan_width(plan);
	enum units           units  = plan->job->units;

	if (cutter_oversize(cutter, width))
		diag_add(diag, SEVERITY_WARNING, cutter->bound.place,
		         "a %s cutter is large for a width of %s; one up to an inch larger than the width shakes and "
		         "wears less",
		         length_show(cutter->diameter, units).text, length_show(width, units).text);
	if (plan->depths.rough > ROUGH_USUAL)
		diag_add(diag, SEVERITY_WARNING, schema_place(&plan->job->cut.bound, "rough"),
		         "roughing cuts over %s want a rigid machine and a part held deep and square",
		         length_show(ROUGH_USUAL, units).text);
}

/* Of a zigzag the second pass is the other way about. */
static void
milling_remark(const struct plan *plan, struct diag *diag)
{
	const struct job *job   = plan->job;
	struct place      place = schema_place(&job->cut.bound,
                                          schema_given(&job->cut.bound, "milling") ? "milling" : "pattern");

	if (!layout_pass(&plan->layout, plan->layout.passes > 1).climb)
		return;
	if (job_is_manual(job))
		diag_add(diag, SEVERITY_WARNING, place,
		         "climb milling pulls the table through the backlash of a manual machine's screws: lock the "
		         "idle axis, cut light, or use 'pattern: one-way' with 'milling: conventional'");
}

static void
coolant_remark(const struct plan *plan, struct diag *diag)
{
	const struct job *job = plan->job;

	if (plan->coolant != COOLANT_NONE && plan->cutter->edge == EDGE_CARBIDE &&
	    (job->material.group == 'P' || job->material.group == 'H'))
		diag_add(diag, SEVERITY_WARNING, schema_place(&job->cut.bound, "coolant"),
		         "carbide on steel runs dry unless the coolant never stops: coolant that comes and goes cracks "
		         "the edges");
}

static void
measure_remark(const struct plan *plan, struct diag *diag)
{
	const struct job *job = plan->job;

	if (plan->schedule.count == 1 && job->told.height == 0)
		diag_add(diag, SEVERITY_NOTE, schema_place(&job->bound, "finished_height"),
		         "it all comes off in one cut, so there is no stop to measure: be sure of the stock's height "
		         "and of the zero");
	else if (plan->schedule.count > 1 && !(job->cut.measure & 1u << MEASURE_SKIM))
		diag_add(diag, SEVERITY_WARNING, schema_place(&job->cut.bound, "measure"),
		         "there is no stop to measure before the last cut");
	if (job->cut.test_cut == 0 && job->told.height == 0 && plan->schedule.count > 1)
		diag_add(diag, SEVERITY_NOTE, schema_place(&job->cut.bound, "test_cut"),
		         "there is no test cut: the first cut is a full one");
}

static void
waiting_remark(const struct plan *plan, struct diag *diag)
{
	const struct job      *job     = plan->job;
	const struct obstacle *tallest = plan->hold.obstacles;

	if (plan->hold.highest <= job->stock.height)
		return;
	while (tallest->top < plan->hold.highest)
		tallest++;
	diag_add(diag, SEVERITY_NOTE, tallest->place, "%s stands %s above the stock: rapid moves pass over it%s",
	         tallest->name, length_show(tallest->top - job->stock.height, job->units).text,
	         tallest->top + job->cut.clearance > job->stock.height + job->cut.retract
	             ? ", and the cutter waits above it"
	             : "");
}

static void
hand_remark(const struct plan *plan, struct diag *diag)
{
	const struct job   *job     = plan->job;
	const struct rates *rates   = &plan->rough;
	struct weights      weights = weigh(plan);
	struct feeding      feeding = weigh_feeding(plan, &weights, false);
	bool                held    = rates->limits & RATE_FEED_MAX || plan->easing.feed_ratio < RATIO_ONE;
	struct place        place   = schema_place(&job->machine.bound, "dials");
	Speed               vc;

	if (!job_is_manual(job) || !feeding.too_fast || feeding.setting > 0)
		return;
	vc = held ? 0 : evenly_turned(plan, feeding.turns_min);
	if (vc > 0)
		diag_add(diag, SEVERITY_WARNING, place,
		         "the feed would take %.0f turns of the handle a minute, more than a hand keeps evenly: a "
		         "cutting_speed of %s or less brings it to %d",
		         feeding.turns_min, cutting_show(vc, job->units).text, DIAL_TURNS_MOST);
	else
		diag_add(diag, SEVERITY_WARNING, place,
		         "the feed would take %.0f turns of the handle a minute, more than a hand keeps evenly: a "
		         "smaller feed_per_tooth or fewer teeth bring it down",
		         feeding.turns_min);
}

/*
 * The cutting speed at which a hand keeps up; 0: the spindle has none so slow. The feed goes down with it, and the chip stays as
 * thick. What the feed was rounded down by counts, and the speed is rounded down to the digit that is told: it is slow enough.
 */
static Speed
evenly_turned(const struct plan *plan, double turns_min)
{
	const struct rates *rates = &plan->rough;
	double share = DIAL_TURNS_MOST / turns_min * (double)rates->vf / (double)(rates->vf + plan->grid.feed);

	if ((double)rates->rpm * share < (double)slowest_rpm(&plan->job->machine.spindle))
		return 0;
	return length_down((Speed)((double)rates->vc * share),
	                   plan->job->units == UNITS_INCH ? LENGTH_FOOT : 100 * LENGTH_MM);
}

static int64_t
slowest_rpm(const struct spindle *spindle)
{
	int64_t slowest = spindle->speeds.count > 0 ? spindle->speeds.values[0] : spindle->min_rpm;

	for (size_t i = 1; i < spindle->speeds.count; i++)
		if (spindle->speeds.values[i] < slowest)
			slowest = spindle->speeds.values[i];
	return slowest;
}

static void
machine_remark(const struct plan *plan, struct diag *diag)
{
	const struct job *job = plan->job;

	if (job->machine.bound.node && !job_is_manual(job) &&
	    (job->machine.dials.bound.node || job->machine.power_feed.bound.node))
		diag_add(diag, SEVERITY_NOTE, job->machine.bound.place,
		         "dials and power feed are for 'kind: manual'; this machine has a control, and they were not "
		         "looked at");
	if (!job->machine.bound.node)
		diag_add(diag, SEVERITY_NOTE, (struct place){ .source = job->bound.place.source },
		         "no machine is described: speeds, feeds and travel were not checked against one");
	if (job->vise.bound.node && job->parallels.count == 0)
		diag_add(diag, SEVERITY_WARNING, job->vise.bound.place,
		         "without parallels the part can rock over the gap in the vise's bed; list those at hand under "
		         "'parallels'");
	if (plan->hold.count > 0 && !grip_find(job, &plan->hold, plan->final).force_known)
		diag_add(
		    diag, SEVERITY_WARNING, plan->hold.obstacles[0].place,
		    "no clamping force is told, so nobody has checked that the part will hold: see to it yourself");
	else if (plan->hold.count == 0)
		diag_add(diag, SEVERITY_NOTE, (struct place){ .source = job->bound.place.source },
		         "how the part is held is not described and was not checked");
}

/* What a height found at the machine changes: against the floor of the first plan that is nearest to it. */
static bool
told_remark(const struct plan *plan, struct arena *arena, struct diag *diag)
{
	const struct job *job    = plan->job;
	enum units        units  = job->units;
	struct depths     depths = plan->depths;
	Length            height = job->stock.height, test = job->told.test_cut, unit, off;
	struct schedule   first;
	size_t            cut;

	depths.test = length_down(test < depths.rough ? test : depths.rough, plan->grid.length);
	if (depths.skim > job->told.skim)
		depths.skim = job->told.skim;
	unit = plan_depth_unit(plan, &depths);
	if (schedule_count(job->told.height, plan->final, unit, &depths) == 0)
		return true; /* the first plan was refused */
	if (!schedule_make(job->told.height, plan->final, unit, &depths, arena, &first))
		return diag_no_memory(diag);
	cut = nearest_cut(&first, height);
	off = height - first.cuts[cut].floor;
	if (off == 0)
		diag_add(diag, SEVERITY_NOTE, (struct place){ 0 },
		         "planned anew from the %s that were measured, what cut %zu was to leave: %zu %s left",
		         length_show(height, units).text, cut + 1, plan->schedule.count, cuts_are(plan));
	else
		diag_add(diag, SEVERITY_NOTE, (struct place){ 0 },
		         "planned anew from the %s that were measured, %s %s than the %s that cut %zu was to leave: "
		         "%zu %s left",
		         length_show(height, units).text, length_show(off > 0 ? off : -off, units).text,
		         off > 0 ? "more" : "less", length_show(first.cuts[cut].floor, units).text, cut + 1,
		         plan->schedule.count, cuts_are(plan));
	depths_remark(plan, schedule_deepest(&first, 1u << CUT_ROUGH), diag);
	return true;
}

/* Never the last: it leaves what is wanted. */
static size_t
nearest_cut(const struct schedule *schedule, Length height)
{
	size_t nearest = 0;

	for (size_t i = 1; i + 1 < schedule->count; i++)
		if (llabs(schedule->cuts[i].floor - height) < llabs(schedule->cuts[nearest].floor - height))
			nearest = i;
	return nearest;
}

static const char *
cuts_are(const struct plan *plan)
{
	return plan->schedule.count == 1 ? "cut is" : "cuts are";
}

/* `was`: the deepest roughing cut of the first plan; 0: it had none. */
static void
depths_remark(const struct plan *plan, Length was, struct diag *diag)
{
	const struct schedule *schedule = &plan->schedule;
	const struct cut      *last     = &schedule->cuts[schedule->count - 1];
	Length                 is       = schedule_deepest(schedule, 1u << CUT_ROUGH);
	enum units             units    = plan->job->units;
	const char            *test     = plan->job->cut.test_cut > 0  ? "the test cut is still to come; "
	                                : plan->job->told.test_cut > 0 ? "no test cut again; "
	                                                               : "";

	if (schedule->count == 1)
		diag_add(diag, SEVERITY_NOTE, (struct place){ 0 }, "that cut is the skim, %s deep",
		         length_show(last->top - last->floor, units).text);
	else if (was == 0)
		diag_add(diag, SEVERITY_NOTE, (struct place){ 0 },
		         "%sroughing cuts of %s at the most, where none was planned, and the same skim", test,
		         length_show(is, units).text);
	else if (is == was)
		diag_add(diag, SEVERITY_NOTE, (struct place){ 0 },
		         "%sroughing cuts as before, %s at the most, and the same skim", test,
		         length_show(is, units).text);
	else
		diag_add(diag, SEVERITY_NOTE, (struct place){ 0 },
		         "%sroughing cuts of %s at the most instead of %s, and the same skim", test,
		         length_show(is, units).text, length_show(was, units).text);
}
