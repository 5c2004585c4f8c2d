#include "skimcut/cutting.h"

#include <math.h>

static void         mean_check(const struct cutting *cutting, double area_mm2, struct point at);
static void         level_begin(struct cutting *cutting, Length floor, const struct point *at);
static void         order_check(const struct cutting *cutting, Length floor, const struct point *at);
static void         stop_check(const struct cutting *cutting, bool final, const struct point *at);
static void         rough_check(struct cutting *cutting, Length above, Length floor, const struct point *at);
static void         depth_check(struct cutting *cutting, const struct contact *contact);
static void         edges_check(const struct cutting *cutting, Speed feed, const struct point *at);
static void         supplies_check(const struct cutting *cutting, const struct point *at);
static void         width_check(const struct cutting *cutting, const struct sweep *way, const struct taken *taken);
static Length       widest(const struct demand *demand, bool along_x, bool along_y);
static void         width_refuse(const struct cutting *cutting, Length wide, Length most, const struct point *at);
static void         figures_take(struct cutting *cutting, const struct bite *bite, const struct sweep *way,
                                 const struct taken *taken);
static struct shown show(const struct cutting *cutting, Length length);

/* Of the face's area, what may be cut mostly the wrong way: corners, where both ways meet. */
static const double WRONG_SHARE = 0.001;

static const double PI = 3.14159265358979323846;

void
cutting_begin(struct cutting *cutting, const struct demand *demand, struct carve *carve, struct findings *findings)
{
	*cutting = (struct cutting){ .demand = demand, .carve = carve, .findings = findings };
}

/* What is cut is as deep as the start is low; surely gone is only what is above the end, and inside by the slack. */
void
cutting_take(struct cutting *cutting, const struct bite *bite)
{
	Length       inner = cutting->demand->inner - bite->slack;
	struct taken taken = taken_nothing();
	struct sweep way;

	if (cutting->levels == 0 || bite->from.z != cutting->level.floor)
		level_begin(cutting, bite->from.z, &bite->contact->at);
	depth_check(cutting, bite->contact);
	edges_check(cutting, bite->feed, &bite->contact->at);
	supplies_check(cutting, &bite->contact->at);
	cutting->measured = false;
	if (inner <= 0)
		return;
	taken.front_mm = (double)cutting->demand->cutter->diameter / 2 / LENGTH_MM;
	way            = sweep_make(bite->from, bite->to, inner, false);
	carve_take(cutting->carve, &way, bite->to.z, &taken);
	if (!bite->chord)
		width_check(cutting, &way, &taken);
	figures_take(cutting, bite, &way, &taken);
}

/* With a spindle that turns clockwise, what is cut on the left of the way is cut conventionally. */
void
cutting_block_end(struct cutting *cutting, struct point at)
{
	const struct demand *demand  = cutting->demand;
	bool                 turned  = cutting->rotation == ROTATION_COUNTERCLOCKWISE;
	double               against = turned ? cutting->right_mm2 : cutting->left_mm2;
	double               with    = turned ? cutting->left_mm2 : cutting->right_mm2;
	double               wrong = demand->milling == MILLING_CLIMB ? against : with, all = against + with;

	if (all <= 0)
		return;
	mean_check(cutting, all, at);
	cutting->left_mm2 = cutting->right_mm2 = cutting->way_mm = 0;
	cutting->conventional_mm2 += against;
	cutting->climb_mm2 += with;
	if (demand->milling == MILLING_EITHER || 2 * wrong <= all)
		return;
	cutting->wrong_mm2 += wrong;
	if (cutting->wrong_mm2 >
	    WRONG_SHARE * ((double)demand->length / LENGTH_MM) * ((double)demand->width / LENGTH_MM))
		findings_refuse(cutting->findings, PROPERTY_MILLING, &at, 0,
		                "%.0f %% of this cut is %s milling, on a way that ends", 100 * wrong / all,
		                demand->milling == MILLING_CLIMB ? "conventional" : "climb");
}

/* Of a whole block, however its way runs; the carving's step is what it may be wrong by. */
static void
mean_check(const struct cutting *cutting, double area_mm2, struct point at)
{
	Length most = widest(cutting->demand, false, false);
	double mean = cutting->way_mm > 0 ? area_mm2 / cutting->way_mm * LENGTH_MM : 0;

	if (mean > (double)(most + 2 * cutting->carve->step))
		width_refuse(cutting, (Length)mean, most, &at);
}

static void
level_begin(struct cutting *cutting, Length floor, const struct point *at)
{
	const struct demand *demand = cutting->demand;
	bool                 first = cutting->levels == 0, final = demand_is_final(demand, floor);
	bool                 test  = first && demand->test > 0 && !final;
	Length               above = first ? demand->height : cutting->level.floor, left = floor - demand->final;

	if (first) {
		cutting->begun_with_length = cutting->with_length;
	} else {
		order_check(cutting, floor, at);
		stop_check(cutting, final, at);
	}
	if (!final && left < demand->skim)
		findings_refuse(cutting->findings, PROPERTY_CUTS, at, demand->skim - left,
		                "leaves %s for the skim, which is to take %s", show(cutting, left).text,
		                show(cutting, demand->skim).text);
	if (!final && !test && floor < above && demand->levels == LEVELS_EQUAL)
		rough_check(cutting, above, floor, at);
	cutting->level = (struct level){
		.floor   = floor,
		.allowed = final ? demand->skim
		         : test  ? demand->test
		                 : demand->rough,
		.test    = test,
		.final   = final,
	};
	cutting->levels++;
}

static void
order_check(const struct cutting *cutting, Length floor, const struct point *at)
{
	Length above = cutting->level.floor, stands;

	if (cutting->demand->levels == LEVELS_ANY)
		return;
	if (floor > above) {
		findings_refuse(cutting->findings, PROPERTY_CUTS, at, floor - above,
		                "goes back up by %s for a cut; 'levels: any' in the job would allow it",
		                show(cutting, floor - above).text);
		return;
	}
	stands = carve_highest(cutting->carve) - above;
	if (stands > 0)
		findings_refuse(
		    cutting->findings, PROPERTY_CUTS, at, stands,
		    "begins the next cut while stock stands %s above the last; 'levels: any' in the job would "
		    "allow it",
		    show(cutting, stands).text);
}

static void
stop_check(const struct cutting *cutting, bool final, const struct point *at)
{
	unsigned measure = cutting->demand->measure;

	if (cutting->measured)
		return;
	if (cutting->level.test && measure & 1u << MEASURE_TEST)
		findings_refuse(cutting->findings, PROPERTY_SWITCHES, at, 0,
		                "goes on after the test cut without a stop to measure");
	else if (final && measure & 1u << MEASURE_SKIM)
		findings_refuse(cutting->findings, PROPERTY_SWITCHES, at, 0,
		                "begins the skim without a stop to measure");
}

/* Equal to a line of a dial only while every floor is on one; a floor that is not makes them equal to the smallest step, or refused. */
static void
rough_check(struct cutting *cutting, Length above, Length floor, const struct point *at)
{
	const struct demand *demand = cutting->demand;
	Length               depth  = above - floor;

	cutting->off_lines |= (floor - demand->final) % demand->unit != 0;
	if (cutting->most_rough == 0)
		cutting->least_rough = cutting->most_rough = depth;
	cutting->least_rough = depth < cutting->least_rough ? depth : cutting->least_rough;
	cutting->most_rough  = depth > cutting->most_rough ? depth : cutting->most_rough;
	if (cutting->most_rough - cutting->least_rough > (cutting->off_lines ? demand->grid : demand->unit))
		findings_refuse(cutting->findings, PROPERTY_CUTS, at, cutting->most_rough - cutting->least_rough,
		                "roughing cuts of %s and %s are not equal; 'levels: any' in the job would allow them",
		                show(cutting, cutting->most_rough).text, show(cutting, cutting->least_rough).text);
}

static void
depth_check(struct cutting *cutting, const struct contact *contact)
{
	const struct level *level = &cutting->level;
	Length              depth = contact->height - level->floor;

	if (depth > cutting->deepest)
		cutting->deepest = depth;
	if (depth > level->allowed)
		findings_refuse(cutting->findings, PROPERTY_CUTS, &contact->at, depth - level->allowed,
		                "cuts %s deep, and %s is allowed for %s", show(cutting, depth).text,
		                show(cutting, level->allowed).text,
		                level->test    ? "the test cut"
		                : level->final ? "the skim"
		                               : "roughing");
}

/* What the edges bear. */
static void
edges_check(const struct cutting *cutting, Speed feed, const struct point *at)
{
	const struct demand *demand = cutting->demand;
	Length               fz     = cutting->level.final ? demand->skim_fz : demand->fz, tooth;
	double               vc     = PI * (double)demand->cutter->diameter * (double)cutting->rpm;

	if (cutting->rotation == ROTATION_OFF || cutting->rpm <= 0) {
		findings_refuse(cutting->findings, PROPERTY_SWITCHES, at, 0,
		                cutting->rotation == ROTATION_OFF ? "cuts with the spindle off"
		                                                  : "cuts, and no spindle speed is set");
		return;
	}
	if (cutting->rotation == ROTATION_COUNTERCLOCKWISE)
		findings_refuse(cutting->findings, PROPERTY_SWITCHES, at, 0, "cuts with the spindle turning backwards");
	if (vc > (double)demand->vc * (1 + 1e-9) && cutting->rpm > demand->slowest_rpm)
		findings_refuse(cutting->findings, PROPERTY_MACHINE, at, 0,
		                "the edges run at %s, and the job's cutting_speed allows %s",
		                cutting_show((Speed)vc, demand->units).text,
		                cutting_show(demand->vc, demand->units).text);
	if (feed <= fz * demand->cutter->teeth * cutting->rpm)
		return;
	tooth = feed / (demand->cutter->teeth * cutting->rpm);
	findings_refuse(cutting->findings, PROPERTY_MACHINE, at, tooth - fz,
	                "each tooth takes %s, and the job's %s allows %s", show(cutting, tooth).text,
	                cutting->level.final ? "skim_feed_per_tooth" : "feed_per_tooth", show(cutting, fz).text);
}

static void
supplies_check(const struct cutting *cutting, const struct point *at)
{
	const struct demand *demand = cutting->demand;

	if (cutting->with_length != cutting->begun_with_length)
		findings_refuse(cutting->findings, PROPERTY_SWITCHES, at, 0,
		                cutting->with_length ? "cuts with the length of its tool, and did without before"
		                                     : "cuts without the length of its tool, which it had before");
	if (cutting->length_due)
		findings_refuse(cutting->findings, PROPERTY_SWITCHES, at, 0,
		                "cuts without the length of its tool, G43 H%lld", (long long)demand->cutter->number);
	if (demand->coolant_asked && cutting->coolant != demand->coolant)
		findings_refuse(cutting->findings, PROPERTY_SWITCHES, at, 0,
		                "cuts with coolant '%s', and the job asks for '%s'",
		                job_word(COOLANTS, (int)cutting->coolant), job_word(COOLANTS, (int)demand->coolant));
}

/*
 * What is cut anywhere along the way, seen across it. A slanted way meets edges of the stock and of earlier cuts at an angle, and is
 * allowed what that adds; of it and of arcs the mean is judged as well, when the block is over. Touching both sides it is a slot as
 * wide as the cutter.
 */
static void
width_check(const struct cutting *cutting, const struct sweep *way, const struct taken *taken)
{
	const struct demand *demand = cutting->demand;
	double               slant  = fmin(fabs(way->along_x), fabs(way->along_y));
	Length most = widest(demand, way->way.front == way->way.back, way->way.left == way->way.right), wide;

	if (taken->low_mm > taken->high_mm)
		return;
	wide = (Length)((taken->high_mm - taken->low_mm) * LENGTH_MM + 0.5);
	if (wide >= 2 * way->radius - 2)
		wide = demand->cutter->diameter;
	if ((double)wide > (double)most + slant * (double)(demand->length + demand->width))
		width_refuse(cutting, wide, most, &way->to);
}

/* Neither along X nor along Y: the larger of the two. */
static Length
widest(const struct demand *demand, bool along_x, bool along_y)
{
	if (along_x)
		return demand->wide_x;
	return along_y || demand->wide_y > demand->wide_x ? demand->wide_y : demand->wide_x;
}

static void
width_refuse(const struct cutting *cutting, Length wide, Length most, const struct point *at)
{
	findings_refuse(cutting->findings, PROPERTY_CUTS, at, wide - most,
	                "cuts %s wide, and the stepover allows %s, on a way that ends", show(cutting, wide).text,
	                show(cutting, most).text);
}

static void
figures_take(struct cutting *cutting, const struct bite *bite, const struct sweep *way, const struct taken *taken)
{
	double length = way->length_nm / LENGTH_MM;
	double from   = taken->from_mm > 0 ? taken->from_mm : 0;
	double to     = taken->to_mm < length ? taken->to_mm : length;

	if (from < to) {
		cutting->way_mm += to - from;
		cutting->cut_s += bite->feed > 0 ? (to - from) * LENGTH_MM / (double)bite->feed * 60 : 0;
	}
	cutting->volume_mm3 += taken->volume_mm3;
	cutting->left_mm2 += taken->left_mm2;
	cutting->right_mm2 += taken->right_mm2;
}

static struct shown
show(const struct cutting *cutting, Length length)
{
	return length_show(length, cutting->demand->units);
}
