#include "skimcut/demand.h"

#include "skimcut/cutter.h"
#include "skimcut/quantity.h"
#include "skimcut/rates.h"

static Length  limited(Length depth, const struct demand *demand);
static Length  widest(const struct demand *demand, const struct settings *cut, Length across);
static int64_t slowest(const struct machine *machine);

struct demand
demand_make(const struct job *job, const struct plan *plan)
{
	const struct settings *cut      = &job->cut;
	const struct cutter   *cutter   = plan->cutter;
	struct starting        starting = job->material.with[cutter->edge];
	struct demand          demand   = {
			   .units       = job->units,
			   .zero        = plan->zero,
			   .length      = job->stock.length,
			   .width       = job->stock.width,
			   .height      = job->stock.height,
			   .finished    = job->finished_height,
			   .grid        = plan->grid.length,
			   .unit        = plan->depth_unit,
			   .levels      = cut->levels,
			   .measure     = cut->measure,
			   .milling     = cut->milling,
			   .cutter      = cutter,
			   .outer       = cutter->diameter - cutter->diameter / 2,
			   .inner       = cutter->diameter / 2 - cutter->nose_radius,
			   .edge_height = cutter_depth_limit(cutter),
			   .machine     = job->machine.bound.node ? &job->machine : NULL,
			   .vc          = cut->cutting_speed > 0 ? cut->cutting_speed : starting.vc,
			   .slowest_rpm = slowest(&job->machine),
			   .fz          = cut->feed_per_tooth > 0 ? cut->feed_per_tooth : starting.fz,
			   .coolant     = cut->coolant == COOLANT_OIL ? COOLANT_NONE : cut->coolant,
			   .rapid       = plan->rapid,
			   .hold        = &plan->hold,
	};

	demand.coolant_asked = schema_given(&cut->bound, "coolant");
	demand.final         = demand.zero.z + length_near(demand.finished - demand.zero.z, demand.grid);
	demand.test          = limited(cut->test_cut, &demand);
	demand.rough         = limited(cut->rough, &demand);
	demand.skim          = limited(cut->skim, &demand);
	demand.skim_fz       = cut->skim_feed_per_tooth > 0 ? cut->skim_feed_per_tooth : rates_skim_fz(demand.fz);
	demand.fz            = (Length)((double)demand.fz * plan->thin); /* for chips that would be thinner */
	demand.skim_fz       = (Length)((double)demand.skim_fz * plan->thin_skim);
	demand.wide_x        = widest(&demand, cut, job->stock.width);
	demand.wide_y        = widest(&demand, cut, job->stock.length);
	if (cut->test_cut == 0)
		demand.measure &= ~(1u << MEASURE_TEST);
	return demand;
}

bool
demand_is_final(const struct demand *demand, Length floor)
{
	Length off = floor > demand->finished ? floor - demand->finished : demand->finished - floor;

	return 2 * off <= demand->grid;
}

Length
demand_reach(const struct demand *demand, Length above)
{
	Length height = above < demand->edge_height ? above : demand->edge_height;

	return demand->outer + (height > 0 ? cutter_flare(demand->cutter, height) : 0);
}

/* To what the program can tell, as everything in a program is. */
static Length
limited(Length depth, const struct demand *demand)
{
	return length_down(depth < demand->edge_height ? depth : demand->edge_height, demand->grid);
}

/* The stepover; or all of it, when the cutter covers that. */
static Length
widest(const struct demand *demand, const struct settings *cut, Length across)
{
	bool may = cut->pattern == PATTERN_AUTO || cut->pattern == PATTERN_SINGLE;

	if (may && cutter_covers(demand->cutter, across))
		return across;
	return demand->cutter->diameter * cut->stepover_ratio / RATIO_ONE;
}

/* 1 when nothing is known. */
static int64_t
slowest(const struct machine *machine)
{
	const struct numbers *speeds  = &machine->spindle.speeds;
	int64_t               slowest = machine->spindle.min_rpm > 1 ? machine->spindle.min_rpm : 1;

	for (size_t i = 0; i < speeds->count; i++)
		if (i == 0 || speeds->values[i] < slowest)
			slowest = speeds->values[i];
	return slowest;
}
