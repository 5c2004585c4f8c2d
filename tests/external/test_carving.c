/*
 * What the carving model says remains of the stock: held against the GEOS geometry library (C API) and against closed forms.
 *
 * GEOS draws what is round as a polygon inscribed in it, with q corners a quarter. Drawn with R / cos(pi / (4 q)) the polygon
 * encloses it. So what is truly gone lies between two polygons. The model's must lie inside the outer one always, and what
 * the model may be short of is a step of its own, and for arcs the slack of the chords they are cut into as well.
 *
 * Straight passes are given to the model itself, arcs to the proof, which cuts them into chords.
 */
#include "../unit/planning.h"

#include <math.h>
#include <stdlib.h>

#include <geos_c.h>

#include "skimcut/carve.h"
#include "skimcut/proof.h"

enum { QUADRANT_SEGMENTS = 96, PROGRAMS = 30, FINE_EVERY = 10, MOVES_MAX = 40, LEVELS_MAX = 4 };

static const uint64_t SEED = 0x5eedca57ab1e0001;
static const double   PI   = 3.14159265358979323846;

/* A chord's margin and the rounding of the ends. */
static const double MARGIN_MM = 12e-6;

static GEOSContextHandle_t geos;
static struct arena        arena;
static struct proof        proof;
static struct demand       demand;
static double              widest_share; /* of step x outline: the most by which the model was over the truth */

struct move {
	struct point from, to, centre;
	bool         arc, clockwise;
	Length       floor;
};

struct course {
	Length      length, width, top, radius;
	struct move moves[MOVES_MAX];
	size_t      count;
};

static double
mm(Length x)
{
	return (double)x / LENGTH_MM;
}

static struct point
point_of(double x_mm, double y_mm)
{
	return (struct point){ llround(x_mm * LENGTH_MM), llround(y_mm * LENGTH_MM), 0 };
}

static void
stock_begin(Length length, Length width, Length top, enum fineness fineness)
{
	static const struct hold   HOLD;
	static const struct cutter CUTTER = { .number = 1, .teeth = 1, .diameter = 20 * LENGTH_MM };

	demand = (struct demand){
		.length = length,
		.width  = width,
		.height = top,
		.grid   = 1,
		.unit   = 1,
		.cutter = &CUTTER,
		.hold   = &HOLD,
	};
	assert_true(proof_begin(&proof, &demand, &arena, fineness));
	proof_step(&proof, &(struct step){ .kind = STEP_SPINDLE, .rotation = ROTATION_CLOCKWISE, .rpm = 100 }, 1);
}

/* How far the chords of an arc may be from it, either way. */
static Length
sagitta_of(Length step)
{
	return step / 16 > 1000 ? step / 16 : 1000;
}

/* With the sign of its sense; a whole turn where both ends are one. */
static double
turn_of(const struct move *move)
{
	double x0 = mm(move->from.x - move->centre.x), y0 = mm(move->from.y - move->centre.y);
	double x1 = mm(move->to.x - move->centre.x), y1 = mm(move->to.y - move->centre.y);
	double turn = atan2(x0 * y1 - y0 * x1, x0 * x1 + y0 * y1);

	if (move->clockwise)
		return turn >= 0 ? turn - 2 * PI : turn;
	return turn <= 0 ? turn + 2 * PI : turn;
}

static double
arc_radius(const struct move *move)
{
	return hypot(mm(move->from.x - move->centre.x), mm(move->from.y - move->centre.y));
}

static void
model_take(struct point from, struct point to, Length radius, Length floor)
{
	struct taken taken = taken_nothing();
	struct sweep sweep = sweep_make(from, to, radius, false);

	carve_take(&proof.carve, &sweep, floor, &taken);
}

/*
 * Over its start, down, along; what the proof has to say about it is of no interest here. All arcs in one stock are of one radius of
 * the cutter.
 */
static void
model_arc(const struct move *move, Length radius)
{
	struct step step = { .kind = STEP_RAPID, .feed = 100 * LENGTH_MM, .text = "" };

	demand.inner = demand.outer = radius;
	step.to                     = move->from;
	step.to.z                   = demand.height + LENGTH_MM;
	step.axes                   = AXIS_Z;
	proof_step(&proof, &step, 1);
	step.axes = AXIS_X | AXIS_Y;
	proof_step(&proof, &step, 1);
	step.kind = STEP_FEED;
	step.axes = AXIS_Z;
	step.to.z = move->floor;
	proof_step(&proof, &step, 1);
	step.kind      = STEP_ARC;
	step.axes      = AXIS_X | AXIS_Y;
	step.to        = move->to;
	step.centre    = move->centre;
	step.clockwise = move->clockwise;
	proof_step(&proof, &step, 1);
}

static void
model_make(const struct course *program, enum fineness fineness, size_t without)
{
	stock_begin(program->length, program->width, program->top, fineness);
	for (size_t i = 0; i < program->count; i++)
		if (i == without)
			continue;
		else if (program->moves[i].arc)
			model_arc(&program->moves[i], program->radius);
		else
			model_take(program->moves[i].from, program->moves[i].to, program->radius,
			           program->moves[i].floor);
}

static double
model_area(Length above)
{
	struct contact contact;
	double         area, volume;

	carve_remaining(&proof.carve, above, &area, &volume, &contact);
	return area;
}

static double
model_volume(Length above)
{
	struct contact contact;
	double         area, volume;

	carve_remaining(&proof.carve, above, &area, &volume, &contact);
	return volume;
}

/* Inside of what is round, or around it. */
enum side { INSIDE, AROUND };

struct rest {
	double area;
	double outline; /* of what is gone, where it runs through the stock */
};

static GEOSGeometry *
sequence_line(const double (*points)[2], unsigned count, bool ring)
{
	GEOSCoordSequence *sequence = GEOSCoordSeq_create_r(geos, count, 2);

	for (unsigned i = 0; i < count; i++)
		GEOSCoordSeq_setXY_r(geos, sequence, i, points[i][0], points[i][1]);
	return ring      ? GEOSGeom_createLinearRing_r(geos, sequence)
	     : count > 1 ? GEOSGeom_createLineString_r(geos, sequence)
	                 : GEOSGeom_createPoint_r(geos, sequence);
}

static GEOSGeometry *
capsule(struct point from, struct point to, double radius_mm, enum side side)
{
	const double  ends[2][2] = { { mm(from.x), mm(from.y) }, { mm(to.x), mm(to.y) } };
	bool          still      = from.x == to.x && from.y == to.y;
	GEOSGeometry *line       = sequence_line(ends, still ? 1 : 2, false), *swept;

	if (side == AROUND)
		radius_mm /= cos(PI / (4 * QUADRANT_SEGMENTS));
	swept = GEOSBuffer_r(geos, line, radius_mm, QUADRANT_SEGMENTS);
	GEOSGeom_destroy_r(geos, line);
	return swept;
}

/*
 * Half of what an arc sweeps, or all of it, but for the discs at the ends: between two radii. A point beside the arc is as far from
 * it as its own radius says.
 */
static GEOSGeometry *
sector(const struct move *move, double start, double turn, double radius_mm, enum side side)
{
	enum { STEPS = 2 * QUADRANT_SEGMENTS };

	double r = arc_radius(move), wide = 1 / cos(turn / STEPS / 2), inner = fmax(r - radius_mm, 0),
	       outer = r + radius_mm, points[2 * STEPS + 3][2];

	inner *= side == INSIDE ? wide : 1;
	outer *= side == AROUND ? wide : 1;
	for (int k = 0; k <= STEPS; k++) {
		double angle = start + turn * k / STEPS;

		points[k][0]                 = mm(move->centre.x) + outer * cos(angle);
		points[k][1]                 = mm(move->centre.y) + outer * sin(angle);
		points[2 * STEPS + 1 - k][0] = mm(move->centre.x) + inner * cos(angle);
		points[2 * STEPS + 1 - k][1] = mm(move->centre.y) + inner * sin(angle);
	}
	points[2 * STEPS + 2][0] = points[0][0];
	points[2 * STEPS + 2][1] = points[0][1];
	if (inner == 0) { /* the middle once */
		points[STEPS + 2][0] = points[0][0];
		points[STEPS + 2][1] = points[0][1];
		return GEOSGeom_createPolygon_r(geos, sequence_line(points, STEPS + 3, true), NULL, 0);
	}
	return GEOSGeom_createPolygon_r(geos, sequence_line(points, 2 * STEPS + 3, true), NULL, 0);
}

/* Into `shapes`, at most four. */
static unsigned
shapes_add(const struct move *move, double radius_mm, enum side side, GEOSGeometry **shapes)
{
	double start, turn;

	if (!move->arc) {
		shapes[0] = capsule(move->from, move->to, radius_mm, side);
		return 1;
	}
	start     = atan2(mm(move->from.y - move->centre.y), mm(move->from.x - move->centre.x));
	turn      = turn_of(move);
	shapes[0] = capsule(move->from, move->from, radius_mm, side);
	shapes[1] = capsule(move->to, move->to, radius_mm, side);
	shapes[2] = sector(move, start, turn / 2, radius_mm, side);
	shapes[3] = sector(move, start + turn / 2, turn / 2, radius_mm, side);
	return 4;
}

/*
 * What stands above a height after every move that goes as low, of cutters thinner by `less`, in arcs by `arc_less`.
 */
static struct rest
rest_of(const struct course *program, Length above, double less, double arc_less, enum side side, size_t without)
{
	GEOSGeometry *shapes[4 * MOVES_MAX], *all, *swept, *stock, *stands, *edge, *inner_edge;
	unsigned      count = 0;
	struct rest   rest  = { -1, 0 };

	for (size_t i = 0; i < program->count; i++) {
		const struct move *move   = &program->moves[i];
		double             radius = mm(program->radius) - (move->arc ? arc_less : less);

		if (i != without && move->floor <= above && radius > 0)
			count += shapes_add(move, radius, side, shapes + count);
	}
	all    = GEOSGeom_createCollection_r(geos, GEOS_GEOMETRYCOLLECTION, shapes, count);
	swept  = GEOSUnaryUnion_r(geos, all);
	stock  = GEOSGeom_createRectangle_r(geos, 0, 0, mm(program->length), mm(program->width));
	stands = GEOSDifference_r(geos, stock, swept);
	if (!GEOSisEmpty_r(geos, swept)) {
		edge       = GEOSBoundary_r(geos, swept);
		inner_edge = GEOSClipByRect_r(geos, edge, 0, 0, mm(program->length), mm(program->width));
		assert_int_equal(GEOSLength_r(geos, inner_edge, &rest.outline), 1);
		GEOSGeom_destroy_r(geos, edge);
		GEOSGeom_destroy_r(geos, inner_edge);
	}
	assert_int_equal(GEOSArea_r(geos, stands, &rest.area), 1);
	GEOSGeom_destroy_r(geos, all);
	GEOSGeom_destroy_r(geos, swept);
	GEOSGeom_destroy_r(geos, stock);
	GEOSGeom_destroy_r(geos, stands);
	return rest;
}

static size_t
levels_of(const struct course *program, Length levels[MOVES_MAX + 1])
{
	size_t count = 0;

	for (Length floor = 0; floor < program->top; floor += LENGTH_MM)
		for (size_t i = 0; i < program->count; i++)
			if (program->moves[i].floor == floor) {
				levels[count++] = floor;
				break;
			}
	levels[count] = program->top;
	return count;
}

struct truth {
	Length      levels[MOVES_MAX + 1]; /* lowest first; the last is the top, over which nothing stands */
	struct rest rests[MOVES_MAX];
	size_t      count;
	double      volume;
};

static void
truth_make(const struct course *program, double less, double arc_less, enum side side, size_t without,
           struct truth *truth)
{
	truth->count  = levels_of(program, truth->levels);
	truth->volume = 0;
	for (size_t k = 0; k < truth->count; k++) {
		truth->rests[k] = rest_of(program, truth->levels[k], less, arc_less, side, without);
		truth->volume += truth->rests[k].area * mm(truth->levels[k + 1] - truth->levels[k]);
	}
}

/* What surely stands: rounding and more is taken off it. */
static void
truth_least(const struct course *program, size_t without, struct truth *truth)
{
	truth_make(program, -1e-6, -4e-6, AROUND, without, truth);
}

/* A program's rounding, in mm2. */
static double
rounding_of(const struct course *program)
{
	return 1e-9 * mm(program->length) * mm(program->width);
}

/* Never below what surely stands, at any level, nor is the sum over the levels of area x height. */
static bool
is_sound(const struct course *program, const struct truth *least)
{
	const double rounding = rounding_of(program);
	bool         sound    = true;

	for (size_t k = 0; k < least->count; k++)
		sound = sound && model_area(least->levels[k]) >= least->rests[k].area - rounding;
	return sound && model_volume(least->levels[0]) >= least->volume - rounding * mm(program->top);
}

/* Never above what may stand: every cutter thinner by a step, and in arcs by the slack twice. */
static bool
is_near(const struct course *program)
{
	const double less = mm(proof.carve.step) + MARGIN_MM, slack = mm(sagitta_of(proof.carve.step)) + 8e-6;
	const double rounding = rounding_of(program);
	struct truth most;
	bool         near = true;

	truth_make(program, less, less + 2 * slack, INSIDE, SIZE_MAX, &most);
	for (size_t k = 0; k < most.count; k++)
		near = near && model_area(most.levels[k]) <= most.rests[k].area + rounding;
	return near && model_volume(most.levels[0]) <= most.volume + rounding * mm(program->top);
}

static void
share_note(const struct truth *least)
{
	for (size_t k = 0; k < least->count; k++) {
		const struct rest *rest = &least->rests[k];

		if (rest->outline > 0)
			widest_share = fmax(widest_share, (model_area(least->levels[k]) - rest->area) /
			                                      (mm(proof.carve.step) * rest->outline));
	}
}

/* A place on the stock or a little beside it. One draw after the other: no compiler's order makes other programs of a seed. */
static struct point
place_make(uint64_t *seed, const struct course *program)
{
	double x = (double)random_between(seed, -100, 1100) / 1000;
	double y = (double)random_between(seed, -100, 1100) / 1000;

	return point_of(x * mm(program->length), y * mm(program->width));
}

static void
move_make(uint64_t *seed, const struct course *program, struct move *move)
{
	double reach = mm(program->radius), r, start, turn;

	move->arc       = random_chance(seed, 3);
	move->clockwise = random_chance(seed, 2);
	move->from      = place_make(seed, program);
	move->to        = place_make(seed, program);
	if (random_chance(seed, 5))
		move->to.x = move->from.x;
	else if (random_chance(seed, 5))
		move->to.y = move->from.y;
	if (!move->arc)
		return;
	r            = reach * (double)random_between(seed, 100, 3000) / 1000;
	start        = (double)random_between(seed, 0, 6283) / 1000;
	turn         = (double)random_between(seed, 50, 6200) / 1000;
	move->centre = move->from;
	move->from   = point_of(mm(move->centre.x) + r * cos(start), mm(move->centre.y) + r * sin(start));
	move->to     = move->from;
	if (!random_chance(seed, 4))
		move->to = point_of(mm(move->centre.x) + r * cos(start + turn),
		                    mm(move->centre.y) + r * sin(start + turn));
}

static void
moves_make(uint64_t *seed, struct course *program)
{
	int64_t levels = random_between(seed, 1, LEVELS_MAX);

	for (size_t i = 0; i < program->count; i++) {
		move_make(seed, program, &program->moves[i]);
		program->moves[i].floor = (8 - 2 * random_between(seed, 0, levels - 1)) * LENGTH_MM;
	}
}

static void
program_make(uint64_t *seed, struct course *program)
{
	Length smallest;

	program->length = random_between(seed, 20, 300) * LENGTH_MM;
	program->width  = random_between(seed, 15, 200) * LENGTH_MM;
	program->width += random_between(seed, 0, LENGTH_MM);
	program->top    = 10 * LENGTH_MM;
	smallest        = smaller(program->length, program->width);
	program->radius = random_between(seed, smallest / 12, smallest / 3);
	program->count  = (size_t)random_between(seed, 5, random_chance(seed, 4) ? MOVES_MAX : 12);
	moves_make(seed, program);
}

static void
random_programs_leave_what_geos_says(void **state)
{
	uint64_t seed = SEED;

	(void)state;
	for (int i = 0; i < PROGRAMS; i++) {
		const uint64_t before = seed;
		struct course  program;
		struct truth   least;

		program_make(&seed, &program);
		truth_least(&program, SIZE_MAX, &least);
		for (enum fineness fineness = 0; fineness < FINENESSES; fineness++) {
			if (fineness == FINENESS_FINE && i % FINE_EVERY != 0)
				continue;
			model_make(&program, fineness, SIZE_MAX);
			holds(before, is_sound(&program, &least));
			/* Many moves in all directions at the finest may be more than there is memory for. */
			holds(before, proof.carve.full ? fineness == FINENESS_FINE : is_near(&program));
			if (!proof.carve.full)
				share_note(&least);
		}
	}
}

/* Slots from front to back, more of them than there is memory for at the finest: what was not cut off any more still stands. */
static void
a_full_model_is_sound(void **state)
{
	uint64_t      seed   = SEED + 4;
	struct course course = {
		.length = 300 * LENGTH_MM,
		.width  = 200 * LENGTH_MM,
		.top    = 10 * LENGTH_MM,
		.radius = 2 * LENGTH_MM,
		.count  = MOVES_MAX,
	};
	struct truth least;

	(void)state;
	moves_make(&seed, &course);
	for (size_t i = 0; i < course.count; i++) {
		course.moves[i].arc    = false;
		course.moves[i].from.y = -10 * LENGTH_MM;
		course.moves[i].to.y   = 210 * LENGTH_MM;
	}
	truth_least(&course, SIZE_MAX, &least);
	model_make(&course, FINENESS_FINE, SIZE_MAX);
	assert_true(proof.carve.full);
	assert_true(is_sound(&course, &least));
	assert_false(is_near(&course));
}

/* The check itself: a move that GEOS does not know of, or one that the model does not. */
static void
a_move_too_many_is_seen(void **state)
{
	uint64_t seed = SEED + 1;
	int      seen = 0, courses = 5;

	(void)state;
	for (int i = 0; i < courses; i++) {
		struct course course;
		struct truth  least;

		program_make(&seed, &course);
		course.count    = 5;
		course.moves[2] = (struct move){ .from  = { course.length / 2, course.width / 2, 0 },
			                         .to    = { course.length / 2 + 1000, course.width / 2 + 7000, 0 },
			                         .floor = LENGTH_MM };
		model_make(&course, FINENESS_MIDDLE, SIZE_MAX);
		truth_least(&course, 2, &least);
		seen += !is_sound(&course, &least);
		model_make(&course, FINENESS_MIDDLE, 2);
		seen += !is_near(&course);
	}
	assert_int_equal(seen, 2 * courses);
}

/* The check itself: a cutter 20 um too thin, on either side, where a step is little more than one. */
static void
a_cutter_too_thin_is_seen(void **state)
{
	uint64_t seed = SEED + 2;

	(void)state;
	for (int i = 0; i < 4; i++) {
		const uint64_t before = seed;
		struct course  course = {
			 .length = 30 * LENGTH_MM,
			 .width  = 20 * LENGTH_MM,
			 .top    = 10 * LENGTH_MM,
			 .radius = 4 * LENGTH_MM,
			 .count  = 4,
		};
		struct course thin;
		struct truth  least;

		moves_make(&seed, &course);
		thin = course;
		thin.radius -= 20000;
		model_make(&course, FINENESS_FINE, SIZE_MAX);
		truth_least(&course, SIZE_MAX, &least);
		holds(before, is_sound(&course, &least) && is_near(&course));
		truth_least(&thin, SIZE_MAX, &least);
		holds(before, !is_sound(&course, &least));
		model_make(&thin, FINENESS_FINE, SIZE_MAX);
		holds(before, !is_near(&course));
	}
}

/* A stock of 100 x 80 x 10 mm, cut down to 9. */
static void
block_begin(enum fineness fineness)
{
	stock_begin(100 * LENGTH_MM, 80 * LENGTH_MM, 10 * LENGTH_MM, fineness);
}

static double
model_gone(void)
{
	return 8000 - model_area(9 * LENGTH_MM);
}

/* What all outlines of that length together may be short of, in mm2. */
static double
shortfall(double outline)
{
	return outline * (mm(proof.carve.step) + 2 * mm(sagitta_of(proof.carve.step)) + 1e-5);
}

static void
expect_gone(double area, double perimeter)
{
	double gone = model_gone();

	if (gone > area + 1e-6 || gone < area - shortfall(perimeter))
		fail_msg("%.6f mm2 are gone, %.6f should be", gone, area);
}

/* Shared by two discs of radius R that are d apart: 2 R^2 (a - sin a cos a), cos a = d / 2R. */
static double
lens_area(double r, double d)
{
	double a = acos(d / (2 * r));

	return 2 * r * r * (a - sin(a) * cos(a));
}

static void
what_is_round_has_the_area_of_its_closed_form(void **state)
{
	const Length floor = 9 * LENGTH_MM;

	(void)state;
	for (enum fineness fineness = 0; fineness < FINENESSES; fineness++) {
		struct move arc = { .centre = point_of(50, 40),
			            .from   = point_of(65, 40),
			            .to     = point_of(65, 40),
			            .arc    = true,
			            .floor  = floor };

		/* A disc. */
		block_begin(fineness);
		model_take(point_of(50, 40), point_of(50, 40), 20 * LENGTH_MM, floor);
		expect_gone(PI * 400, 2 * PI * 20);
		/* Two discs of 10, 12 apart: each a circle, the lens between them once. */
		block_begin(fineness);
		model_take(point_of(40, 40), point_of(40, 40), 10 * LENGTH_MM, floor);
		model_take(point_of(52, 40), point_of(52, 40), 10 * LENGTH_MM, floor);
		expect_gone(2 * PI * 100 - lens_area(10, 12), 4 * PI * 10);
		/* A full circle of 15 with a cutter of 5: a ring from 10 to 20; with one of 15, a disc of 30. */
		block_begin(fineness);
		model_arc(&arc, 5 * LENGTH_MM);
		expect_gone(PI * (400 - 100), 2 * PI * 30);
		block_begin(fineness);
		model_arc(&arc, 15 * LENGTH_MM);
		expect_gone(PI * 900, 2 * PI * 30);
		/* A quarter: a quarter of the ring and two half discs. */
		arc.to = point_of(50, 55);
		block_begin(fineness);
		model_arc(&arc, 5 * LENGTH_MM);
		expect_gone(PI * 300 / 4 + PI * 25, PI / 2 * 30 + 2 * PI * 5);
		/* A slanted slot: a rectangle and two half discs. */
		block_begin(fineness);
		model_take(point_of(30, 30), point_of(60, 50), 4 * LENGTH_MM, floor);
		expect_gone(8 * hypot(30, 20) + PI * 16, 2 * hypot(30, 20) + 2 * PI * 4);
	}
}

/* Two discs that go to different depths: in the lens only the deeper one counts, whichever was first. */
static void
where_two_discs_overlap_the_deeper_one_counts(void **state)
{
	const Length deep[] = { 8 * LENGTH_MM, 9 * LENGTH_MM };

	(void)state;
	for (enum fineness fineness = 0; fineness < FINENESSES; fineness++)
		for (int first = 0; first < 2; first++) {
			double gone, exact = PI * 100 * (2 + 1) - lens_area(10, 12);

			block_begin(fineness);
			model_take(point_of(40, 40), point_of(40, 40), 10 * LENGTH_MM, deep[first]);
			model_take(point_of(52, 40), point_of(52, 40), 10 * LENGTH_MM, deep[1 - first]);
			gone = 8000 * 2 - model_volume(8 * LENGTH_MM);
			if (gone > exact + 1e-6 || gone < exact - shortfall(20 * PI * (2 + 1)))
				fail_msg("%.6f mm3 are gone, %.6f should be", gone, exact);
		}
}

/* Two rings, each over all of the stock but for its own hole: what lies in both holes stands. */
static void
between_two_rings_a_lens_is_left(void **state)
{
	const double outline = 4 * 10 * acos(12.0 / 20), lens = lens_area(10, 12);

	(void)state;
	for (enum fineness fineness = 0; fineness < FINENESSES; fineness++) {
		double stands;

		stock_begin(50 * LENGTH_MM, 40 * LENGTH_MM, 10 * LENGTH_MM, fineness);
		for (double x = 19; x <= 31; x += 12)
			model_arc(&(struct move){ .centre    = point_of(x, 20),
			                          .from      = point_of(x, 45),
			                          .to        = point_of(x, 45),
			                          .arc       = true,
			                          .clockwise = x > 20,
			                          .floor     = 9 * LENGTH_MM },
			          15 * LENGTH_MM);
		stands = model_area(9 * LENGTH_MM);
		if (stands < lens - 1e-6 || stands > lens + shortfall(outline))
			fail_msg("%.6f mm2 stand, %.6f should", stands, lens);
	}
}

/* Two passes over all of the block but for a gap between them, that runs through x, y at an angle. */
static void
passes_take(double x, double y, double angle, double gap_mm)
{
	const double ax = cos(angle), ay = sin(angle);

	for (int side = -1; side <= 1; side += 2) {
		double beside = side * (60 + gap_mm / 2), mid_x = x - beside * ay, mid_y = y + beside * ax;

		model_take(point_of(mid_x - 200 * ax, mid_y - 200 * ay), point_of(mid_x + 200 * ax, mid_y + 200 * ay),
		           60 * LENGTH_MM, 9 * LENGTH_MM);
	}
}

/* Wherever it lies on the steps: found by what is asked of the whole face, and by a fine needle that comes along it. */
static void
a_strip_of_ten_micrometres_is_left_standing(void **state)
{
	static const double ANGLES[] = { 0, 90, 1e-4, 0.01, 1, 17, 45, 73, 89.99, 120, 179 };

	uint64_t seed = SEED + 3;

	(void)state;
	for (enum fineness fineness = 0; fineness < FINENESSES; fineness++)
		for (size_t i = 0; i < sizeof ANGLES / sizeof ANGLES[0]; i++) {
			const double   angle = ANGLES[i] * PI / 180, ax = cos(angle), ay = sin(angle);
			const double   x      = 50 + mm(random_between(&seed, -LENGTH_MM, LENGTH_MM));
			const double   y      = 40 + mm(random_between(&seed, -LENGTH_MM, LENGTH_MM));
			const double   length = fabs(ay) * 100 > fabs(ax) * 80 ? 80 / fabs(ay) : 100 / fabs(ax);
			struct sweep   needle = sweep_make(point_of(x - 200 * ax, y - 200 * ay),
			                                   point_of(x + 200 * ax, y + 200 * ay), 1000, false);
			struct contact contact;
			double         area, volume, off;

			block_begin(fineness);
			passes_take(x, y, angle, 0.010);
			assert_true(carve_meets(&proof.carve, &needle, 9 * LENGTH_MM, &contact));
			assert_true(carve_remaining(&proof.carve, 9 * LENGTH_MM, &area, &volume, &contact));
			off = fabs((mm(contact.at.y) - y) * ax - (mm(contact.at.x) - x) * ay);
			if (area < 0.010 * (length - 5) || fabs(volume - area) > 1e-9 ||
			    off > 0.005 + 2 * mm(proof.carve.step))
				fail_msg("at %g degrees: %.6f mm2 stand, %.6f mm off", ANGLES[i], area, off);
			block_begin(fineness);
			passes_take(x, y, angle, -3 * mm(proof.carve.step));
			if (model_area(9 * LENGTH_MM) > 0)
				fail_msg("at %g degrees: %.6f mm2 stand, and nothing should", ANGLES[i],
				         model_area(9 * LENGTH_MM));
		}
}

static void
along_the_axes_a_gap_counts_from_the_first_nanometre(void **state)
{
	(void)state;
	for (enum fineness fineness = 0; fineness < FINENESSES; fineness++)
		for (int along_y = 0; along_y < 2; along_y++)
			for (int gap = 0; gap < 4; gap += 2) {
				double exact = gap * 1e-6 * (along_y ? 80 : 100);

				block_begin(fineness);
				passes_take(50.000001, 40.000001, along_y * PI / 2, gap * 1e-6);
				assert_true(fabs(model_area(9 * LENGTH_MM) - exact) < 1e-9);
			}
}

/* One pass of three that is not as deep, found from above and by the pass that comes after it. */
static void
two_micrometres_of_depth_are_seen(void **state)
{
	const Length high = 9 * LENGTH_MM + 2000;

	(void)state;
	for (enum fineness fineness = 0; fineness < FINENESSES; fineness++) {
		struct sweep   over = sweep_make(point_of(-90, 40), point_of(190, 40), 60 * LENGTH_MM, false);
		struct contact contact;
		double         area, volume;

		block_begin(fineness);
		model_take(point_of(-90, 10), point_of(190, 10), 25 * LENGTH_MM, 9 * LENGTH_MM);
		model_take(point_of(-90, 70), point_of(190, 70), 25 * LENGTH_MM, 9 * LENGTH_MM);
		model_take(over.from, over.to, 5 * LENGTH_MM, high);
		assert_true(carve_meets(&proof.carve, &over, 9 * LENGTH_MM, &contact));
		assert_int_equal(contact.height, high);
		assert_true(carve_remaining(&proof.carve, 9 * LENGTH_MM, &area, &volume, &contact));
		assert_int_equal(contact.height, high);
		assert_true(fabs(area - 1000) < 1e-9 && fabs(volume - 1000 * 0.002) < 1e-9);
		assert_true(contact.at.y >= 35 * LENGTH_MM && contact.at.y <= 45 * LENGTH_MM);
		assert_false(carve_meets(&proof.carve, &over, high, &contact));
		model_take(over.from, over.to, over.radius, 9 * LENGTH_MM);
		assert_false(carve_meets(&proof.carve, &over, 9 * LENGTH_MM, &contact));
		assert_false(carve_remaining(&proof.carve, 9 * LENGTH_MM, &area, &volume, &contact));
	}
}

static int
geos_start(void **state)
{
	(void)state;
	geos = GEOS_init_r();
	return geos ? 0 : 1;
}

static int
geos_stop(void **state)
{
	(void)state;
	GEOS_finish_r(geos);
	arena_release(&arena);
	print_message("the model was over the truth by %.2f x step x outline at most\n", widest_share);
	return 0;
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(random_programs_leave_what_geos_says),
		cmocka_unit_test(a_full_model_is_sound),
		cmocka_unit_test(a_move_too_many_is_seen),
		cmocka_unit_test(a_cutter_too_thin_is_seen),
		cmocka_unit_test(what_is_round_has_the_area_of_its_closed_form),
		cmocka_unit_test(where_two_discs_overlap_the_deeper_one_counts),
		cmocka_unit_test(between_two_rings_a_lens_is_left),
		cmocka_unit_test(a_strip_of_ten_micrometres_is_left_standing),
		cmocka_unit_test(along_the_axes_a_gap_counts_from_the_first_nanometre),
		cmocka_unit_test(two_micrometres_of_depth_are_seen),
	};

	return cmocka_run_group_tests(tests, geos_start, geos_stop);
}
