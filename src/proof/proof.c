#include "skimcut/proof.h"

#include <math.h>

#include "skimcut/block.h"
#include "skimcut/text.h"

static void         switches_take(struct proof *proof, const struct step *step);
static void         spindle_take(struct proof *proof, const struct step *step);
static void         rest_check(struct proof *proof, const char *when);
static void         unknown_after_rest(struct proof *proof, bool topped);
static void         home_take(struct proof *proof, const struct step *step);
static void         motion_take(struct proof *proof, const struct step *step);
static struct point end_of(const struct proof *proof, const struct step *step);
static bool         start_is_known(struct proof *proof, const struct step *step, struct point to);
static void         arrive(struct proof *proof, const struct step *step, struct point to);
static void         range_check(struct proof *proof, const struct step *step);
static void         axis_check(struct proof *proof, const char *name, Length at, struct range *range, Length travel);
static void         rapid_judge(struct proof *proof, struct point from, struct point to);
static void         feed_judge(struct proof *proof, const struct step *step, struct point from, struct point to);
static void         arc_judge(struct proof *proof, const struct step *step, struct point from, struct point to);
static void   way_judge(struct proof *proof, const struct step *step, struct point from, struct point to, Length slack);
static bool   is_beside(const struct proof *proof, struct point from, struct point to, Length reach);
static void   holding_check(struct proof *proof, const struct sweep *way, Length low);
static void   floor_check(struct proof *proof, const struct sweep *way, Length low);
static void   face_judge(struct proof *proof);
static Length reach(struct proof *proof, Length low);
static Length top_of_all(const struct proof *proof);
static bool   is_above_all(const struct proof *proof);
static struct shown show(const struct proof *proof, Length length);

/* Chords of an arc leave it by no more than this share of the carving's step, or by the least. */
static const Length SAGITTA_SHARE = 16, SAGITTA_LEAST = 1000;

static const double TWO_PI = 6.28318530717958647692;

bool
proof_begin(struct proof *proof, const struct demand *demand, struct arena *arena, enum fineness fineness)
{
	struct carve carve = proof->carve;

	*proof = (struct proof){
		.demand   = demand,
		.findings = { .units = demand->units, .zero = demand->zero },
		.clock    = { .rapid = demand->rapid },
	};
	if (!carve_begin(&carve, arena, demand->length, demand->width, demand->height, fineness))
		return false;
	proof->carve = carve;
	cutting_begin(&proof->cutting, demand, &proof->carve, &proof->findings);
	return true;
}

void
proof_step(struct proof *proof, const struct step *step, size_t line)
{
	proof->findings.line = line;
	switch (step->kind) {
	case STEP_RAPID:
	case STEP_FEED:
	case STEP_ARC: motion_take(proof, step); break;
	case STEP_HOME: home_take(proof, step); break;
	default: switches_take(proof, step); break;
	}
}

void
proof_end(struct proof *proof, const struct fault *fault)
{
	struct finding *findings = proof->findings.of;

	proof->findings.line = fault ? fault->line : 0;
	if (!proof->tool_called)
		proof->assumed |= ASSUMED_TOOL_IS_IN;
	if (!fault) {
		face_judge(proof);
		return;
	}
	findings_refuse(&proof->findings, PROPERTY_WORDS, NULL, 0, "%s", fault->text);
	findings[PROPERTY_WORDS].column = fault->column;
	for (int i = 0; i < PROPERTIES; i++)
		if (findings[i].found == FOUND_HOLDS)
			findings[i].found = FOUND_OPEN;
}

bool
proof_holds(const struct proof *proof)
{
	for (int i = 0; i < PROPERTIES; i++)
		if (proof->findings.of[i].found != FOUND_HOLDS)
			return false;
	return true;
}

bool
proof_wants_finer(const struct proof *proof)
{
	return proof->carve.rounded && !proof_holds(proof) && proof->findings.of[PROPERTY_WORDS].found == FOUND_HOLDS;
}

static void
switches_take(struct proof *proof, const struct step *step)
{
	const struct demand *demand = proof->demand;

	switch (step->kind) {
	case STEP_SPINDLE: spindle_take(proof, step); break;
	case STEP_COOLANT: proof->cutting.coolant = step->coolant; break;
	case STEP_TOOL:
		rest_check(proof, "changes tools");
		if (step->tool != demand->cutter->number)
			findings_refuse(&proof->findings, PROPERTY_SWITCHES, NULL, 0,
			                "calls tool %lld, and the job's is %lld", (long long)step->tool,
			                (long long)demand->cutter->number);
		proof->tool_called        = true;
		proof->cutting.length_due = demand->lengths;
		unknown_after_rest(proof, demand->machine && demand->machine->kind == MACHINE_CNC);
		break;
	case STEP_LENGTH:
		if (step->tool != 0 && step->tool != demand->cutter->number)
			findings_refuse(&proof->findings, PROPERTY_SWITCHES, NULL, 0,
			                "takes the length of tool %lld, and the job's is %lld", (long long)step->tool,
			                (long long)demand->cutter->number);
		proof->cutting.length_due  = proof->tool_called && step->tool == 0 && demand->lengths;
		proof->cutting.with_length = step->tool != 0;
		proof->known &= ~(unsigned)AXIS_Z;
		break;
	case STEP_STOP:
		rest_check(proof, "stops");
		proof->cutting.measured |= !step->optional;
		clock_take(&proof->clock, step);
		unknown_after_rest(proof, false);
		break;
	case STEP_END:
		rest_check(proof, "ends");
		proof->ended = true;
		break;
	default: break;
	}
}

static void
spindle_take(struct proof *proof, const struct step *step)
{
	const struct spindle *spindle = proof->demand->machine ? &proof->demand->machine->spindle : NULL;
	bool                  listed  = !spindle || spindle->speeds.count == 0;
	struct sweep          disc    = sweep_make(proof->at, proof->at, reach(proof, proof->at.z), false);
	struct contact        contact;
	bool                  told = (proof->known & (AXIS_X | AXIS_Y | AXIS_Z)) == (AXIS_X | AXIS_Y | AXIS_Z);

	if (told && step->rotation != proof->cutting.rotation &&
	    carve_meets(&proof->carve, &disc, proof->at.z, &contact))
		findings_refuse(&proof->findings, PROPERTY_SWITCHES, &proof->at, contact.height - proof->at.z,
		                step->rotation == ROTATION_OFF ? "the spindle stops in the work"
		                                               : "the spindle starts in the work");
	proof->cutting.rotation = step->rotation;
	proof->cutting.rpm      = step->rpm;
	if (step->rotation == ROTATION_OFF || !spindle)
		return;
	for (size_t i = 0; i < spindle->speeds.count; i++)
		listed |= spindle->speeds.values[i] == step->rpm;
	if ((spindle->max_rpm > 0 && step->rpm > spindle->max_rpm) || step->rpm < spindle->min_rpm || !listed)
		findings_refuse(&proof->findings, PROPERTY_MACHINE, NULL, 0,
		                "the machine has no spindle speed of %lld rpm", (long long)step->rpm);
}

/* A person may come near, or the machine is left: nothing turns, nothing runs, and the cutter stands clear. */
static void
rest_check(struct proof *proof, const char *when)
{
	if (proof->cutting.rotation != ROTATION_OFF)
		findings_refuse(&proof->findings, PROPERTY_SWITCHES, NULL, 0, "%s with the spindle turning", when);
	else if (proof->cutting.coolant != COOLANT_NONE)
		findings_refuse(&proof->findings, PROPERTY_SWITCHES, NULL, 0, "%s with the coolant running", when);
	else if (proof->moved && !is_above_all(proof))
		findings_refuse(&proof->findings, PROPERTY_SWITCHES, NULL, 0,
		                "%s with the cutter not above all that stands up", when);
}

/* A hand may have moved every axis. */
static void
unknown_after_rest(struct proof *proof, bool topped)
{
	proof->known  = 0;
	proof->moved  = false;
	proof->topped = topped;
	if (topped)
		proof->assumed |= ASSUMED_CHANGE_ABOVE;
}

static void
home_take(struct proof *proof, const struct step *step)
{
	if (step->axes & (AXIS_X | AXIS_Y) && !is_above_all(proof))
		findings_refuse(&proof->findings, PROPERTY_RAPIDS, NULL, 0,
		                "goes home across while the cutter is not above all that stands up; send Z home first");
	else if (step->optional && !is_above_all(proof))
		proof->assumed |= ASSUMED_HOME_AS_TOLD;
	clock_take(&proof->clock, step);
	proof->known &= step->optional ? 0 : ~step->axes;
	proof->assumed |= ASSUMED_CHANGE_ABOVE;
	if (step->axes & AXIS_Z)
		proof->topped = true;
}

static void
motion_take(struct proof *proof, const struct step *step)
{
	const struct machine *machine = proof->demand->machine;
	struct point          from = proof->at, to = end_of(proof, step);

	if (step->kind != STEP_RAPID && step->feed <= 0)
		findings_refuse(&proof->findings, PROPERTY_SWITCHES, NULL, 0, "moves at feed, and no feed is set");
	else
		clock_take(&proof->clock, step);
	if (step->kind != STEP_RAPID && machine && machine->feeds.max > 0 && step->feed > machine->feeds.max)
		findings_refuse(&proof->findings, PROPERTY_MACHINE, NULL, 0,
		                "the feed of %s is over the machine's fastest, %s",
		                feed_show(step->feed, proof->demand->units).text,
		                feed_show(machine->feeds.max, proof->demand->units).text);
	if (start_is_known(proof, step, to)) {
		if (step->kind == STEP_RAPID)
			rapid_judge(proof, from, to);
		else if (step->kind == STEP_FEED)
			feed_judge(proof, step, from, to);
		else
			arc_judge(proof, step, from, to);
	}
	arrive(proof, step, to);
}

static struct point
end_of(const struct proof *proof, const struct step *step)
{
	struct point to = proof->at;

	if (step->axes & AXIS_X)
		to.x = step->to.x;
	if (step->axes & AXIS_Y)
		to.y = step->to.y;
	if (step->axes & AXIS_Z)
		to.z = step->to.z;
	return to;
}

/*
 * While nobody knows how high the cutter is, it may only be sent up, or down to where nothing is; and while nobody knows where it
 * is across, it may only move above everything. False: there is nothing to judge, or it is refused.
 */
static bool
start_is_known(struct proof *proof, const struct step *step, struct point to)
{
	const unsigned across     = AXIS_X | AXIS_Y;
	bool           high       = proof->topped || proof->known & AXIS_Z;
	bool           ends_above = step->axes & AXIS_Z ? to.z > top_of_all(proof) : is_above_all(proof);

	if (proof->topped && !(step->axes & AXIS_Z))
		return false;
	if (high && (proof->known & across) == across)
		return true;
	if (!high && step->axes != AXIS_Z)
		findings_refuse(&proof->findings, PROPERTY_RAPIDS, NULL, 0,
		                "moves across while nobody knows how high the cutter is; tell Z alone first");
	else if (!high && !ends_above)
		findings_refuse(&proof->findings, PROPERTY_DESCENTS, NULL, 0,
		                "comes down while nobody knows from how high; go to a height above all that stands up "
		                "first");
	else if (high && (!is_above_all(proof) || !ends_above))
		findings_refuse(&proof->findings, PROPERTY_DESCENTS, NULL, 0,
		                "is not above all that stands up while nobody knows where the cutter is across");
	return false;
}

static void
arrive(struct proof *proof, const struct step *step, struct point to)
{
	proof->at    = to;
	proof->moved = true;
	proof->known |= step->axes;
	if (step->axes & AXIS_Z)
		proof->topped = false;
	range_check(proof, step);
}

static void
range_check(struct proof *proof, const struct step *step)
{
	const struct machine *machine = proof->demand->machine;

	if (!machine)
		return;
	if (step->axes & AXIS_X)
		axis_check(proof, "X", proof->at.x, &proof->x, machine->travel.x);
	if (step->axes & AXIS_Y)
		axis_check(proof, "Y", proof->at.y, &proof->y, machine->travel.y);
	if (step->axes & AXIS_Z)
		axis_check(proof, "Z", proof->at.z, &proof->z, machine->travel.z);
}

static void
axis_check(struct proof *proof, const char *name, Length at, struct range *range, Length travel)
{
	Length needed;

	range->low   = !range->begun || at < range->low ? at : range->low;
	range->high  = !range->begun || at > range->high ? at : range->high;
	range->begun = true;
	needed       = range->high - range->low;
	if (travel > 0 && needed > travel)
		findings_refuse(&proof->findings, PROPERTY_MACHINE, NULL, needed - travel,
		                "needs %s of travel in %s, and the machine has %s", show(proof, needed).text, name,
		                show(proof, travel).text);
}

/*
 * Many machines move each axis at its own fastest, so the way may be anywhere between the ends, and as low as the lower of them.
 * Straight up the cutter leaves nothing but what it was in.
 */
static void
rapid_judge(struct proof *proof, struct point from, struct point to)
{
	Length         low = proof->topped || to.z < from.z ? to.z : from.z;
	struct sweep   way;
	struct contact contact;

	if (low > top_of_all(proof) || (from.x == to.x && from.y == to.y && to.z >= from.z && !proof->topped))
		return;
	way = sweep_make(from, to, reach(proof, low), true);
	holding_check(proof, &way, low);
	if (low <= proof->carve.highest && carve_meets(&proof->carve, &way, low - 1, &contact)) {
		if (contact.height > low)
			findings_refuse(&proof->findings, PROPERTY_RAPIDS, &contact.at, contact.height - low,
			                "rapid meets stock %s below its top", show(proof, contact.height - low).text);
		else
			findings_refuse(&proof->findings, PROPERTY_RAPIDS, &contact.at, 0,
			                "rapid touches the top of the stock");
	}
}

static void
feed_judge(struct proof *proof, const struct step *step, struct point from, struct point to)
{
	way_judge(proof, step, from, to, 0);
	cutting_block_end(&proof->cutting, to);
}

/* In chords: no point of one is further than the slack from the arc, nor the other way about. */
static void
arc_judge(struct proof *proof, const struct step *step, struct point from, struct point to)
{
	double       from_x = (double)(from.x - step->centre.x), from_y = (double)(from.y - step->centre.y);
	double       to_x = (double)(to.x - step->centre.x), to_y = (double)(to.y - step->centre.y);
	double       radius = sqrt(from_x * from_x + from_y * from_y), end_radius = sqrt(to_x * to_x + to_y * to_y);
	double       start   = atan2(from_y, from_x);
	double       sweep   = atan2(from_x * to_y - from_y * to_x, from_x * to_x + from_y * to_y);
	Length       sagitta = proof->carve.step / SAGITTA_SHARE > SAGITTA_LEAST ? proof->carve.step / SAGITTA_SHARE
	                                                                         : SAGITTA_LEAST;
	double       wider   = fmax(radius, end_radius), angle;
	Length       slack   = sagitta + (Length)ceil(fabs(radius - end_radius)) + 2;
	int64_t      chords;
	struct point at = from;

	if (step->clockwise ? sweep >= 0 : sweep <= 0)
		sweep += step->clockwise ? -TWO_PI : TWO_PI;
	angle  = wider > (double)sagitta ? 2 * acos(1 - (double)sagitta / wider) : TWO_PI / 4;
	chords = (int64_t)ceil(fabs(sweep) / angle);
	for (int64_t k = 1; k <= chords; k++) {
		double       share = (double)k / (double)chords;
		struct point next  = to;

		if (k < chords) {
			next.x = step->centre.x + (Length)(radius * cos(start + sweep * share));
			next.y = step->centre.y + (Length)(radius * sin(start + sweep * share));
			next.z = from.z + (Length)((double)(to.z - from.z) * share);
		}
		way_judge(proof, step, at, next, slack);
		at = next;
	}
	cutting_block_end(&proof->cutting, to);
}

/* The cutter's way at feed, straight, and anywhere within the slack of it. */
static void
way_judge(struct proof *proof, const struct step *step, struct point from, struct point to, Length slack)
{
	bool           down = to.z < from.z || proof->topped;
	Length         low  = down ? to.z : from.z;
	struct sweep   way;
	struct contact contact;

	if (low > top_of_all(proof) || (low == proof->carve.highest && !down && low > proof->demand->hold->highest))
		return;
	if (from.x == to.x && from.y == to.y && !down)
		return;
	if (low > 0 && low > proof->demand->hold->highest && is_beside(proof, from, to, reach(proof, low) + slack))
		return;
	way = sweep_make(from, to, reach(proof, low) + slack, false);
	holding_check(proof, &way, low);
	floor_check(proof, &way, low);
	if (down && carve_meets(&proof->carve, &way, low - 1, &contact))
		findings_refuse(&proof->findings, PROPERTY_DESCENTS, &contact.at, contact.height - low,
		                "comes down onto stock, to %s below its top", show(proof, contact.height - low).text);
	else if (!down && carve_meets(&proof->carve, &way, low, &contact))
		cutting_take(&proof->cutting, &(struct bite){ from, to, step->feed, slack, slack > 0, &contact });
}

/* All of the way lies on one side of the stock, where the cutter does not reach it. */
static bool
is_beside(const struct proof *proof, struct point from, struct point to, Length reach)
{
	const Length right = proof->demand->length + reach, back = proof->demand->width + reach;

	return (from.x <= -reach && to.x <= -reach) || (from.x >= right && to.x >= right) ||
	       (from.y <= -reach && to.y <= -reach) || (from.y >= back && to.y >= back);
}

static void
holding_check(struct proof *proof, const struct sweep *way, Length low)
{
	const struct hold *hold  = proof->demand->hold;
	struct sweep       wider = *way;

	if (low <= 0)
		findings_refuse(&proof->findings, PROPERTY_HOLDING, &way->to, -low,
		                "goes %s below the stock's bottom, where the table is, on a way that ends",
		                show(proof, -low).text);
	if (low > hold->highest)
		return;
	for (const struct obstacle *obstacle = hold->obstacles; obstacle < hold->obstacles + hold->count; obstacle++) {
		struct rect box = { obstacle->left, obstacle->right, obstacle->front, obstacle->back };

		wider.radius = way->radius - reach(proof, low) + demand_reach(proof->demand, obstacle->top - low);
		if (obstacle->top >= low && sweep_near(&wider, &box))
			findings_refuse(&proof->findings, PROPERTY_HOLDING, &way->to, obstacle->top - low,
			                "meets %s, %s below its top, on a way that ends", obstacle->name,
			                show(proof, obstacle->top - low).text);
	}
}

static void
floor_check(struct proof *proof, const struct sweep *way, Length low)
{
	const struct demand *demand = proof->demand;
	struct rect          stock  = { 0, demand->length, 0, demand->width };

	if (low < demand->finished && !demand_is_final(demand, low) && sweep_near(way, &stock))
		findings_refuse(&proof->findings, PROPERTY_FLOOR, &way->to, demand->final - low,
		                "cuts %s below the finished face, on a way that ends",
		                show(proof, demand->final - low).text);
}

static void
face_judge(struct proof *proof)
{
	const struct demand *demand = proof->demand;
	Length               limit  = demand->finished + demand->grid / 2;
	struct contact       contact;
	double               area, volume;

	if (!proof->ended)
		findings_refuse(&proof->findings, PROPERTY_SWITCHES, NULL, 0, "the program does not end");
	if (!carve_remaining(&proof->carve, limit, &area, &volume, &contact))
		return;
	if (demand->units == UNITS_INCH)
		findings_refuse(&proof->findings, PROPERTY_FACE, &contact.at, contact.height - demand->final,
		                "%.4f in2 of the face still stand, up to %s too high, the highest around",
		                area / 645.16, show(proof, contact.height - demand->final).text);
	else
		findings_refuse(&proof->findings, PROPERTY_FACE, &contact.at, contact.height - demand->final,
		                "%.3f mm2 of the face still stand, up to %s too high, the highest around", area,
		                show(proof, contact.height - demand->final).text);
}

/* Of the edges from the centre, at the top of anything that still stands. */
static Length
reach(struct proof *proof, Length low)
{
	Length above = proof->carve.highest - low;

	if (proof->flare == 0 || above != proof->flare_above) {
		proof->flare_above = above;
		proof->flare       = demand_reach(proof->demand, above);
	}
	return proof->flare;
}

static Length
top_of_all(const struct proof *proof)
{
	Length stands = proof->demand->hold->highest;

	return proof->carve.highest > stands ? proof->carve.highest : stands;
}

static bool
is_above_all(const struct proof *proof)
{
	return proof->topped || (proof->known & AXIS_Z && proof->at.z > top_of_all(proof));
}

static struct shown
show(const struct proof *proof, Length length)
{
	return length_show(length, proof->demand->units);
}
