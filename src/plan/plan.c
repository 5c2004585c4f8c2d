#include "skimcut/plan.h"

#include "skimcut/arena.h"
#include "skimcut/cutter.h"
#include "skimcut/dial.h"
#include "skimcut/diag.h"
#include "skimcut/engagement.h"
#include "skimcut/loads.h"
#include "skimcut/quantity.h"

static Length       across(const struct job *job, enum along along);
static void         zero_find(struct plan *plan);
static bool         heights_find(struct plan *plan, struct diag *diag);
static void         waiting_find(struct plan *plan);
static bool         rates_make(struct plan *plan, struct diag *diag);
static double       thin_find(const struct plan *plan);
static Length       fed(const struct plan *plan, Length fz, double thin);
static Length       skim_asked(const struct plan *plan);
static bool         depths_find(struct plan *plan, struct diag *diag);
static bool         depth_limit(const struct plan *plan, const char *key, Length *depth, struct diag *diag);
static void         depth_ease(const struct plan *plan, Length *depth);
static bool         schedule_find(struct plan *plan, struct arena *arena, struct diag *diag);
static bool         layout_find(struct plan *plan, enum along along, struct diag *diag);
static Length       pass_unit_find(const struct plan *plan, enum along along, Length stepover);
static Length       stepover_asked(const struct plan *plan);
static Length       stepover_find(const struct plan *plan, enum pattern pattern, struct diag *diag);
static enum pattern pattern_find(const struct plan *plan, Length width);
static bool         travel_check(const struct plan *plan, struct diag *diag);
static bool reach_check(const struct plan *plan, const char *axis, Length needed, Length travel, struct diag *diag);

/* Rates of a rapid move where the shop does not say: a slow machine, and a hand on a handle. */
static const Speed RAPID_CNC = 2500 * LENGTH_MM, RAPID_MANUAL = 500 * LENGTH_MM;

/* A stepover has at least so many graduations of the dial, or passes are not whole ones of them. */
enum { PASS_LINES = 20 };

/* The same of a roughing cut: equal cuts may differ by one. */
enum { CUT_LINES = 5 };

/* Chips thinner by less are not made up for. */
static const double THIN_LEAST = 1.01;

bool
plan_make(const struct job *job, struct grid grid, enum along along, struct arena *arena, struct plan *plan,
          struct diag *diag)
{
	static const struct easing NONE = { LENGTH_MAX, RATIO_ONE, RATIO_ONE };

	return plan_make_eased(job, grid, along, &NONE, arena, plan, diag);
}

bool
plan_make_eased(const struct job *job, struct grid grid, enum along along, const struct easing *easing,
                struct arena *arena, struct plan *plan, struct diag *diag)
{
	Length width = across(job, along);

	*plan        = (struct plan){ .job = job, .grid = grid, .easing = *easing };
	plan->cutter = job->choose_cutter ? cutter_choose(job->cutters.items, job->cutters.count, width) : &job->cutter;
	plan->coolant = schema_given(&job->cut.bound, "coolant") ? job->cut.coolant
	                                                         : job->material.with[plan->cutter->edge].coolant;
	plan->rapid   = job->machine.feeds.rapid > 0 ? job->machine.feeds.rapid
	              : job_is_manual(job)           ? RAPID_MANUAL
	                                             : RAPID_CNC;
	zero_find(plan);
	if (!heights_find(plan, diag) || !hold_find(job, plan->final, arena, &plan->hold, diag))
		return false;
	waiting_find(plan);
	if (!depths_find(plan, diag) || !schedule_find(plan, arena, diag) || !layout_find(plan, along, diag) ||
	    !rates_make(plan, diag) || !hold_check(&plan->hold, job, plan->cutter, &plan->layout, plan->final, diag) ||
	    !travel_check(plan, diag))
		return false;
	return !diag->no_memory;
}

enum coolant
plan_poured(const struct plan *plan)
{
	return plan->coolant == COOLANT_OIL ? COOLANT_NONE : plan->coolant;
}

struct strip
plan_strip(const struct plan *plan, int64_t pass)
{
	const struct layout *layout = &plan->layout;
	struct strip         strip  = layout_strip(layout, pass, plan->cutter->diameter, plan_width(plan));
	int                  travel = layout_pass(layout, pass).travel;

	if ((layout->along == ALONG_X) == (travel > 0))
		return strip;
	return (struct strip){ -strip.to, -strip.from };
}

Length
plan_width(const struct plan *plan)
{
	return across(plan->job, plan->layout.along);
}

/* The knee's graduation, if the skim is a whole number of them and a roughing cut many: nobody sets a knee between two lines for nothing. */
Length
plan_depth_unit(const struct plan *plan, const struct depths *depths)
{
	Length line  = job_is_manual(plan->job) ? plan->job->machine.dials.knee.graduation : 0;
	bool   whole = line > 0 && line % plan->grid.length == 0 && depths->skim % line == 0;

	return whole && depths->rough >= CUT_LINES * line && (depths->test == 0 || depths->test >= line)
	         ? line
	         : plan->grid.length;
}

const struct rates *
plan_rates(const struct plan *plan, size_t cut)
{
	return plan->schedule.cuts[cut].kind == CUT_SKIM ? &plan->skim : &plan->rough;
}

double
plan_cutting_mm(const struct plan *plan)
{
	const struct stock *stock  = &plan->job->stock;
	bool                is_x   = plan->layout.along == ALONG_X;
	Length              length = is_x ? stock->length : stock->width, width = is_x ? stock->width : stock->length;
	double              cutting = 0;

	for (int64_t i = 0; i < plan->layout.passes; i++) {
		struct strip strip = layout_strip(&plan->layout, i, plan->cutter->diameter, width);

		if (strip.from < strip.to)
			cutting += (double)length / LENGTH_MM +
			           engagement_approach_mm(plan->cutter->diameter, strip.from, strip.to);
	}
	return cutting;
}

double
plan_cutting_s(const struct plan *plan)
{
	double travel_mm = plan_cutting_mm(plan), seconds = 0;

	for (size_t i = 0; i < plan->schedule.count; i++)
		seconds += 60 * travel_mm / ((double)plan_rates(plan, i)->vf / LENGTH_MM);
	return seconds;
}

double
plan_least_s(const struct plan *plan)
{
	const struct stock *stock = &plan->job->stock;
	double travel_mm          = (double)stock->length / LENGTH_MM * ((double)stock->width / (double)plan->widest);
	double seconds            = 0;

	for (size_t i = 0; i < plan->schedule.count; i++)
		seconds += 60 * travel_mm / ((double)plan_rates(plan, i)->vf / LENGTH_MM);
	return seconds;
}

bool
plan_stops_after(const struct plan *plan, size_t cut)
{
	const struct schedule *schedule = &plan->schedule;
	unsigned               measure  = plan->job->cut.measure;

	if (cut + 1 >= schedule->count)
		return false;
	return (schedule->cuts[cut].kind == CUT_TEST && measure & 1u << MEASURE_TEST) ||
	       (schedule->cuts[cut + 1].kind == CUT_SKIM && measure & 1u << MEASURE_SKIM);
}

size_t
plan_first_stop(const struct plan *plan)
{
	size_t cut = 0;

	while (cut < plan->schedule.count && !plan_stops_after(plan, cut))
		cut++;
	return cut;
}

static Length
across(const struct job *job, enum along along)
{
	return along == ALONG_X ? job->stock.width : job->stock.length;
}

static void
zero_find(struct plan *plan)
{
	const struct job *job = plan->job;
	const Length      x[] = {
		     [ZERO_LEFT] = 0, [ZERO_CENTRE_X] = job->stock.length / 2, [ZERO_RIGHT] = job->stock.length
	};
	const Length y[] = { [ZERO_FRONT] = 0, [ZERO_CENTRE_Y] = job->stock.width / 2, [ZERO_BACK] = job->stock.width };
	const Length z[] = {
		[ZERO_FINISHED] = job->finished_height,
		[ZERO_TOP]      = job->told.height > 0 ? job->told.height : job->stock.height,
		[ZERO_BOTTOM]   = 0,
	};

	plan->zero = (struct point){ x[job->zero.x], y[job->zero.y], z[job->zero.z] };
}

static bool
heights_find(struct plan *plan, struct diag *diag)
{
	const struct job *job   = plan->job;
	struct place      place = schema_place(&job->bound, "finished_height");
	Length            zero = plan->zero.z, grid = plan->grid.length, moved;

	plan->final = zero + length_near(job->finished_height - zero, grid);
	moved       = plan->final > job->finished_height ? plan->final - job->finished_height
	                                                 : job->finished_height - plan->final;
	if (job->stock.height - plan->final < grid)
		return diag_add(diag, SEVERITY_REFUSED, place,
		                "what is to come off is less than %s, the least that the program can tell",
		                length_show(grid, job->units).text);
	if (plan->final <= 0 || moved > job->cut.skim)
		return diag_add(diag, SEVERITY_REFUSED, place,
		                "the nearest height that the program can tell is %s, and that is not what you want",
		                length_show(plan->final, job->units).text);
	if (moved > 0)
		diag_add(diag, SEVERITY_NOTE, place,
		         "the finished height becomes %s, the nearest that the program can tell",
		         length_show(plan->final, job->units).text);
	return true;
}

/* Above everything that stands up, the stock or what holds it. */
static void
waiting_find(struct plan *plan)
{
	const struct job *job   = plan->job;
	Length            stock = job->stock.height, zero = plan->zero.z, grid = plan->grid.length;
	Length            highest = plan->hold.highest > stock ? plan->hold.highest : stock;
	Length            safe = highest + job->cut.clearance, retract = stock + job->cut.retract;

	plan->safe    = zero + length_up(safe - zero, grid);
	plan->retract = zero + length_up((safe > retract ? safe : retract) - zero, grid);
}

static bool
rates_make(struct plan *plan, struct diag *diag)
{
	const struct job      *job      = plan->job;
	const struct cutter   *cutter   = plan->cutter;
	const struct settings *cut      = &job->cut;
	struct starting        starting = job->material.with[cutter->edge];
	Speed                  vc       = cut->cutting_speed > 0 ? cut->cutting_speed : starting.vc;
	Length                 fz       = cut->feed_per_tooth > 0 ? cut->feed_per_tooth : starting.fz;
	Length                 skim_fz  = cut->skim_feed_per_tooth > 0 ? cut->skim_feed_per_tooth : rates_skim_fz(fz);

	plan->thin      = thin_find(plan);
	plan->vc_wanted = vc;
	if (vc == 0 || fz == 0)
		return diag_add(diag, SEVERITY_REFUSED, schema_place(&job->bound, "material"),
		                "%s edges are not advised for %s; take another cutter, or give a cutting_speed and "
		                "feed_per_tooth that you can answer for",
		                cutter->edge == EDGE_HSS ? "high-speed steel" : "carbide", job->material.name);
	if (skim_fz > fz)
		return diag_add(diag, SEVERITY_ERROR, schema_place(&cut->bound, "skim_feed_per_tooth"),
		                "the skim's feed per tooth is larger than the roughing feed, which is %s",
		                length_show(fz, job->units).text);
	plan->thin_skim = cut->skim_feed_per_tooth > 0 ? 1 : plan->thin;
	plan->rough     = rates_find(vc, fed(plan, fz, plan->thin), cutter->diameter, cutter->teeth, &job->machine,
	                             plan->grid.feed);
	plan->skim = rates_find(vc, fed(plan, skim_fz, plan->thin_skim), cutter->diameter, cutter->teeth, &job->machine,
	                        plan->grid.feed);
	if (plan->rough.limits & RATE_FEED_ZERO || plan->skim.limits & RATE_FEED_ZERO)
		return diag_add(diag, SEVERITY_REFUSED,
		                plan->skim.limits & RATE_FEED_MAX ? schema_place(&job->machine.feeds.bound, "max")
		                                                  : cutter->bound.place,
		                "the feed would be slower than %s, the slowest that the program can tell",
		                feed_show(plan->grid.feed, job->units).text);
	if (plan->rough.limits & RATE_SPINDLE_MIN && plan->rough.vc > vc + vc / 2)
		return diag_add(
		    diag, SEVERITY_REFUSED, schema_place(&job->machine.bound, "spindle"),
		    "the slowest speed, %lld rpm, makes %s at the edges of this cutter, which should run at %s; "
		    "take a smaller cutter",
		    (long long)plan->rough.rpm, cutting_show(plan->rough.vc, job->units).text,
		    cutting_show(vc, job->units).text);
	return true;
}

/* Of the widest pass, which is the first or the second; next to nothing is nothing, and what is eased is not raised again. */
static double
thin_find(const struct plan *plan)
{
	const struct easing *easing = &plan->easing;
	double               first  = loads_thin_factor(plan->cutter, plan_strip(plan, 0));
	double               second = loads_thin_factor(plan->cutter, plan_strip(plan, plan->layout.passes > 1));
	double               thin   = first < second ? first : second;

	if (plan->job->cut.feed_per_tooth > 0 || easing->stepover_ratio < RATIO_ONE || easing->feed_ratio < RATIO_ONE)
		return 1;
	return thin < THIN_LEAST ? 1 : thin;
}

/* A feed per tooth with what thin chips add to it and easing takes away. */
static Length
fed(const struct plan *plan, Length fz, double thin)
{
	Length raised = (Length)((double)fz * thin);

	return raised * plan->easing.feed_ratio / RATIO_ONE;
}

static bool
depths_find(struct plan *plan, struct diag *diag)
{
	const struct settings *cut = &plan->job->cut;

	plan->depths = (struct depths){ cut->test_cut, cut->rough, skim_asked(plan) };
	if (!depth_limit(plan, "test_cut", &plan->depths.test, diag) ||
	    !depth_limit(plan, "rough", &plan->depths.rough, diag) ||
	    !depth_limit(plan, "skim", &plan->depths.skim, diag))
		return false;
	depth_ease(plan, &plan->depths.test);
	depth_ease(plan, &plan->depths.rough);
	return true;
}

/* A skim made wider takes all that is left, or there is no sense in it: where the cutter cannot, it is the one that was told. */
static Length
skim_asked(const struct plan *plan)
{
	const struct job *job = plan->job;

	return job->told.height > 0 && job->cut.skim > job->told.skim &&
	               job->stock.height - plan->final > cutter_depth_limit(plan->cutter)
	         ? job->told.skim
	         : job->cut.skim;
}

/* Never to less than the skim takes. */
static void
depth_ease(const struct plan *plan, Length *depth)
{
	Length eased = length_down(plan->easing.depth, plan->grid.length);

	if (*depth > eased)
		*depth = eased > plan->depths.skim ? eased : plan->depths.skim;
}

/* Down to the cutter's limit, then to whole grid units. 0 is no cut at all, and stays that. */
static bool
depth_limit(const struct plan *plan, const char *key, Length *depth, struct diag *diag)
{
	const struct job *job   = plan->job;
	struct place      place = schema_place(&job->cut.bound, key);
	Length            asked = *depth, limit = cutter_depth_limit(plan->cutter), grid = plan->grid.length;

	if (asked == 0)
		return true;
	*depth = length_down(asked < limit ? asked : limit, grid);
	if (*depth == 0)
		return diag_add(diag, SEVERITY_REFUSED, place,
		                "%s is finer than %s, the least that the program can tell", key,
		                length_show(grid, job->units).text);
	if (asked > limit)
		diag_add(diag, SEVERITY_NOTE, place, "%s becomes %s, the deepest cut that the cutter allows", key,
		         length_show(*depth, job->units).text);
	else if (*depth != asked)
		diag_add(diag, SEVERITY_NOTE, place, "%s becomes %s, a whole number of the program's smallest steps",
		         key, length_show(*depth, job->units).text);
	return true;
}

static bool
schedule_find(struct plan *plan, struct arena *arena, struct diag *diag)
{
	const struct job *job = plan->job;

	plan->depth_unit = plan_depth_unit(plan, &plan->depths);
	if (schedule_count(job->stock.height, plan->final, plan->depth_unit, &plan->depths) == 0)
		return diag_add(diag, SEVERITY_REFUSED, schema_place(&job->cut.bound, "rough"),
		                "taking off %s would need more than %d cuts; allow deeper ones",
		                length_show(job->stock.height - plan->final, job->units).text, CUTS_MAX);
	return schedule_make(job->stock.height, plan->final, plan->depth_unit, &plan->depths, arena, &plan->schedule) ||
	       diag_no_memory(diag);
}

static bool
layout_find(struct plan *plan, enum along along, struct diag *diag)
{
	const struct job    *job     = plan->job;
	const struct cutter *cutter  = plan->cutter;
	Length               width   = across(job, along);
	enum pattern         pattern = pattern_find(plan, width);
	Length               flare   = cutter_flare(cutter, schedule_deepest(&plan->schedule, ~0u));
	struct layout_wish   wish    = {
		     .length    = job->stock.length,
		     .width     = job->stock.width,
		     .diameter  = cutter->diameter,
		     .overlap   = cutter_overlap(cutter),
		     .clearance = job->cut.clearance + flare,
		     .pattern   = pattern,
		     .milling   = job->cut.milling,
		     .along     = along,
		     .zero      = plan->zero,
	};

	plan->pass_unit = pass_unit_find(plan, along, stepover_asked(plan));
	wish.grid       = plan->pass_unit;
	wish.stepover   = stepover_find(plan, pattern, diag);
	if (pattern == PATTERN_SINGLE && !cutter_covers(cutter, width))
		return diag_add(
		    diag, SEVERITY_REFUSED, schema_place(&job->cut.bound, "pattern"),
		    "one pass over %s takes a cutter of %s or more; this one is %s: use one-way, or a larger cutter",
		    length_show(width, job->units).text,
		    length_show(width + 2 * cutter_overlap(cutter), job->units).text,
		    length_show(cutter->diameter, job->units).text);
	if (wish.stepover < wish.grid || wish.overlap < wish.grid)
		return diag_add(diag, SEVERITY_REFUSED, cutter->bound.place, "the cutter is too small for steps of %s",
		                length_show(wish.grid, job->units).text);
	plan->widest = pattern == PATTERN_SINGLE ? width : wish.stepover;
	plan->reach  = cutter->diameter - cutter->diameter / 2 + flare;
	plan->layout = layout_make(&wish);
	if (plan->layout.passes == 0)
		return diag_add(diag, SEVERITY_REFUSED, cutter->bound.place,
		                "covering %s would take more than %d passes; take a larger cutter or stepover",
		                length_show(width, job->units).text, PASSES_MAX);
	return true;
}

/* The graduation of the dial across the passes, if it is fine enough beside what passes overlap by. */
static Length
pass_unit_find(const struct plan *plan, enum along along, Length stepover)
{
	Length line = job_is_manual(plan->job) ? dial_across(&plan->job->machine, along)->graduation : 0;
	bool   fine = 2 * line <= cutter_overlap(plan->cutter) && PASS_LINES * line <= stepover;

	return line > 0 && line % plan->grid.length == 0 && fine ? line : plan->grid.length;
}

static Length
stepover_asked(const struct plan *plan)
{
	Length asked = plan->cutter->diameter * plan->job->cut.stepover_ratio / RATIO_ONE;

	return asked * plan->easing.stepover_ratio / RATIO_ONE;
}

/* A corner rounded by the nose radius leaves a ridge beside a pass unless the next overlaps it. */
static Length
stepover_find(const struct plan *plan, enum pattern pattern, struct diag *diag)
{
	const struct job    *job    = plan->job;
	const struct cutter *cutter = plan->cutter;
	Length               asked  = stepover_asked(plan);
	Length most = cutter->diameter - cutter_overlap(cutter) - cutter->nose_radius - 2 * plan->pass_unit;

	if (asked <= most || pattern == PATTERN_SINGLE)
		return asked;
	diag_add(diag, SEVERITY_NOTE, schema_place(&job->cut.bound, "stepover"),
	         "the stepover becomes %s, so that the edges' round corners leave no ridge",
	         length_show(most, job->units).text);
	return most;
}

static enum pattern
pattern_find(const struct plan *plan, Length width)
{
	const struct settings *cut = &plan->job->cut;

	if (cut->pattern != PATTERN_AUTO)
		return cut->pattern;
	if (cutter_covers(plan->cutter, width) && plan->easing.stepover_ratio == RATIO_ONE)
		return PATTERN_SINGLE;
	return cut->milling == MILLING_EITHER ? PATTERN_ZIGZAG : PATTERN_ONE_WAY;
}

static bool
travel_check(const struct plan *plan, struct diag *diag)
{
	const struct travel *travel = &plan->job->machine.travel;
	const struct layout *layout = &plan->layout;
	Length               along = layout->high - layout->low, across = (layout->passes - 1) * layout->pitch;
	bool                 is_x = layout->along == ALONG_X, enough = true;

	enough &= reach_check(plan, "x", is_x ? along : across, travel->x, diag);
	enough &= reach_check(plan, "y", is_x ? across : along, travel->y, diag);
	enough &= reach_check(plan, "z", plan->retract - plan->final, travel->z, diag);
	return enough;
}

static bool
reach_check(const struct plan *plan, const char *axis, Length needed, Length travel, struct diag *diag)
{
	if (travel == 0 || needed <= travel)
		return true;
	return diag_add(diag, SEVERITY_REFUSED, schema_place(&plan->job->machine.travel.bound, axis),
	                "the passes need %s of travel in %s, and the machine has %s: %s",
	                length_show(needed, plan->job->units).text, axis, length_show(travel, plan->job->units).text,
	                plan->cutter->diameter > travel ? "the cutter alone is larger; take a smaller one"
	                                                : "turn the part, or pass along the other axis");
}
