/*
 * What the carving model says remains of the stock: held against the GEOS geometry library (C API) and against closed forms.
 *
 * GEOS draws what is round as a polygon inscribed in it, with q corners a quarter. Drawn with R / cos(pi / (4 q)) the polygon
 * encloses it. So what is truly gone lies between two polygons. The model's must lie inside the outer one always, and what
 * the model may be short of is a step of its own, and for arcs the slack of the chords they are cut into as well.
 */
#include "../unit/planning.h"

#include <math.h>
#include <stdlib.h>

#include <geos_c.h>

#include "skimcut/carve.h"

enum { QUADRANT_SEGMENTS = 96, PROGRAMS = 24, MOVES_MAX = 40, LEVELS_MAX = 4 };

static const uint64_t SEED = 0x5eedca57ab1e0001;
static const double   PI   = 3.14159265358979323846;

/* A chord's margin and the rounding of the ends. */
static const double MARGIN_MM = 12e-6;

static GEOSContextHandle_t geos;
static struct arena        arena;
static struct carve        carve;

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

/* --- the model --- */

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

	carve_take(&carve, &sweep, floor, &taken);
}

/* In chords, thinner by their slack: as the proof does it. */
static void
model_arc(const struct move *move, Length radius)
{
	double       r = arc_radius(move), turn = turn_of(move), sagitta = mm(sagitta_of(carve.step));
	double       start  = atan2(mm(move->from.y - move->centre.y), mm(move->from.x - move->centre.x));
	int          chords = r > sagitta ? (int)ceil(fabs(turn) / (2 * acos(1 - sagitta / r))) : 1;
	struct point at     = move->from;

	for (int k = 1; k <= chords; k++) {
		double       angle = start + turn * k / chords;
		struct point next  = move->to;

		if (k < chords)
			next = point_of(mm(move->centre.x) + r * cos(angle), mm(move->centre.y) + r * sin(angle));
		model_take(at, next, radius - sagitta_of(carve.step) - 4, move->floor);
		at = next;
	}
}

static void
model_make(const struct course *program, enum fineness fineness, size_t without)
{
	assert_true(carve_begin(&carve, &arena, program->length, program->width, program->top, fineness));
	for (size_t i = 0; i < program->count; i++)
		if (i == without)
			continue;
		else if (program->moves[i].arc)
			model_arc(&program->moves[i], program->radius);
		else
			model_take(program->moves[i].from, program->moves[i].to, program->radius,
			           program->moves[i].floor);
	assert_false(carve.full);
}

static double
model_area(Length above)
{
	struct contact contact;
	double         area, volume;

	carve_remaining(&carve, above, &area, &volume, &contact);
	return area;
}

static double
model_volume(Length above)
{
	struct contact contact;
	double         area, volume;

	carve_remaining(&carve, above, &area, &volume, &contact);
	return volume;
}

/* --- the same by GEOS --- */

/* Inside of what is round, or around it. */
enum side { INSIDE, AROUND };

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
 * What stands above a height after every move that goes as low, of cutters thinner by `less`, arcs thinner by `arc_less`: its area.
 */
static double
true_area(const struct course *program, Length above, double less, double arc_less, enum side side, size_t without)
{
	GEOSGeometry *shapes[4 * MOVES_MAX], *all, *swept, *stock, *rest;
	unsigned      count = 0;
	double        area  = -1;

	for (size_t i = 0; i < program->count; i++) {
		const struct move *move   = &program->moves[i];
		double             radius = mm(program->radius) - (move->arc ? arc_less : less);

		if (i != without && move->floor <= above && radius > 0)
			count += shapes_add(move, radius, side, shapes + count);
	}
	all   = GEOSGeom_createCollection_r(geos, GEOS_GEOMETRYCOLLECTION, shapes, count);
	swept = GEOSUnaryUnion_r(geos, all);
	stock = GEOSGeom_createRectangle_r(geos, 0, 0, mm(program->length), mm(program->width));
	rest  = GEOSDifference_r(geos, stock, swept);
	assert_int_equal(GEOSArea_r(geos, rest, &area), 1);
	GEOSGeom_destroy_r(geos, all);
	GEOSGeom_destroy_r(geos, swept);
	GEOSGeom_destroy_r(geos, stock);
	GEOSGeom_destroy_r(geos, rest);
	return area;
}

static size_t
levels_of(const struct course *program, Length levels[LEVELS_MAX + 1])
{
	size_t count = 0;

	for (Length floor = 0; floor <= program->top; floor += 1000)
		for (size_t i = 0; i < program->count; i++)
			if (program->moves[i].floor == floor) {
				levels[count++] = floor;
				break;
			}
	levels[count] = program->top;
	return count;
}

/* Never below what surely stands. */
static bool
is_sound(const struct course *program, size_t without)
{
	Length levels[LEVELS_MAX + 1];
	size_t count  = levels_of(program, levels);
	double volume = 0, rounding = 1e-9 * mm(program->length) * mm(program->width);
	bool   sound = true;

	for (size_t k = 0; k < count; k++) {
		double area = true_area(program, levels[k], -1e-6, -4e-6, AROUND, without);

		sound = sound && model_area(levels[k]) >= area - rounding;
		volume += area * mm(levels[k + 1] - levels[k]);
	}
	return sound && model_volume(levels[0]) >= volume - rounding * mm(program->top);
}

/* Never above what may stand: every cutter thinner by a step, and in arcs by the slack twice. */
static bool
is_near(const struct course *program)
{
	Length levels[LEVELS_MAX + 1];
	size_t count  = levels_of(program, levels);
	double volume = 0, rounding = 1e-9 * mm(program->length) * mm(program->width);
	double less = mm(carve.step) + MARGIN_MM, slack = mm(sagitta_of(carve.step)) + 8e-6;
	bool   near = true;

	for (size_t k = 0; k < count; k++) {
		double area = true_area(program, levels[k], less, less + 2 * slack, INSIDE, SIZE_MAX);

		near = near && model_area(levels[k]) <= area + rounding;
		volume += area * mm(levels[k + 1] - levels[k]);
	}
	return near && model_volume(levels[0]) <= volume + rounding * mm(program->top);
}

/* --- programs at random --- */

static void
move_make(uint64_t *seed, const struct course *program, struct move *move)
{
	double reach = mm(program->radius), x = mm(program->length), y = mm(program->width), r, start, turn;

	*move      = (struct move){ .arc = random_chance(seed, 3), .clockwise = random_chance(seed, 2) };
	move->from = point_of((double)random_between(seed, -100, 1100) / 1000 * x,
	                      (double)random_between(seed, -100, 1100) / 1000 * y);
	move->to   = point_of((double)random_between(seed, -100, 1100) / 1000 * x,
	                      (double)random_between(seed, -100, 1100) / 1000 * y);
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
program_make(uint64_t *seed, struct course *program)
{
	Length  smallest;
	int64_t levels = random_between(seed, 1, LEVELS_MAX);

	program->length = random_between(seed, 20, 300) * LENGTH_MM;
	program->width  = random_between(seed, 15, 200) * LENGTH_MM + random_between(seed, 0, LENGTH_MM);
	program->top    = 10000;
	smallest        = smaller(program->length, program->width);
	program->radius = random_between(seed, smallest / 12, smallest / 3);
	program->count  = (size_t)random_between(seed, 5, MOVES_MAX);
	for (size_t i = 0; i < program->count; i++) {
		move_make(seed, program, &program->moves[i]);
		program->moves[i].floor = 8000 - 2000 * random_between(seed, 0, levels - 1);
	}
}

static void
random_programs_leave_what_geos_says(void **state)
{
	uint64_t seed = SEED;

	(void)state;
	for (int i = 0; i < PROGRAMS; i++) {
		const uint64_t before = seed;
		struct course  program;

		program_make(&seed, &program);
		for (enum fineness fineness = 0; fineness < FINENESSES; fineness++) {
			if (fineness == FINENESS_FINE && program.count > 12)
				continue; /* as many cells as there is memory for */
			model_make(&program, fineness, SIZE_MAX);
			holds(before, is_sound(&program, SIZE_MAX));
			holds(before, is_near(&program));
		}
	}
}

/* The check itself: a move that GEOS does not know of, or one that the model does not. */
static void
a_move_too_many_is_seen(void **state)
{
	uint64_t seed = SEED + 1;
	int      seen = 0, courses = 8;

	(void)state;
	for (int i = 0; i < courses; i++) {
		struct course course;

		program_make(&seed, &course);
		course.count    = 5;
		course.moves[2] = (struct move){ .from  = { course.length / 2, course.width / 2, 0 },
			                         .to    = { course.length / 2 + 1000, course.width / 2 + 7000, 0 },
			                         .floor = 1000 };
		model_make(&course, FINENESS_MIDDLE, SIZE_MAX);
		seen += !is_sound(&course, 2);
		model_make(&course, FINENESS_MIDDLE, 2);
		seen += !is_near(&course);
	}
	assert_int_equal(seen, 2 * courses);
}

/* --- closed forms of plane geometry --- */

/* A stock of 100 x 80 x 10 mm, cut down by 1 mm. */
static void
stock_begin(enum fineness fineness)
{
	assert_true(carve_begin(&carve, &arena, 100 * LENGTH_MM, 80 * LENGTH_MM, 10 * LENGTH_MM, fineness));
}

static double
model_gone(void)
{
	return 8000 - model_area(9 * LENGTH_MM);
}

static void
expect_gone(double area, double perimeter)
{
	double gone = model_gone();

	if (gone > area + 1e-6 || gone < area - perimeter * (mm(carve.step) + 2 * mm(sagitta_of(carve.step)) + 1e-5))
		fail_msg("%.6f mm2 are gone, %.6f should be", gone, area);
}

static void
what_is_round_has_the_area_of_its_closed_form(void **state)
{
	const Length floor = 9 * LENGTH_MM;

	(void)state;
	for (enum fineness fineness = 0; fineness < FINENESSES; fineness++) {
		struct move  arc       = { .centre = point_of(50, 40),
			                   .from   = point_of(65, 40),
			                   .to     = point_of(65, 40),
			                   .arc    = true,
			                   .floor  = floor };
		const double half_lens = acos(6.0 / 10);

		/* A disc. */
		stock_begin(fineness);
		model_take(point_of(50, 40), point_of(50, 40), 20 * LENGTH_MM, floor);
		expect_gone(PI * 400, 2 * PI * 20);
		/* Two discs of 10, 12 apart: each a circle, the lens between them once: 2 R^2 (a - sin a cos a), cos a = d / 2R. */
		stock_begin(fineness);
		model_take(point_of(40, 40), point_of(40, 40), 10 * LENGTH_MM, floor);
		model_take(point_of(52, 40), point_of(52, 40), 10 * LENGTH_MM, floor);
		expect_gone(2 * PI * 100 - 200 * (half_lens - sin(half_lens) * cos(half_lens)), 4 * PI * 10);
		/* A full circle of 15 with a cutter of 5: a ring from 10 to 20; with one of 15, a disc of 30. */
		stock_begin(fineness);
		model_arc(&arc, 5 * LENGTH_MM);
		expect_gone(PI * (400 - 100), 2 * PI * 30);
		stock_begin(fineness);
		model_arc(&arc, 15 * LENGTH_MM);
		expect_gone(PI * 900, 2 * PI * 30);
		/* A quarter: a quarter of the ring and two half discs. */
		arc.to = point_of(50, 55);
		stock_begin(fineness);
		model_arc(&arc, 5 * LENGTH_MM);
		expect_gone(PI * 300 / 4 + PI * 25, PI / 2 * 30 + 2 * PI * 5);
		/* A slanted slot: a rectangle and two half discs. */
		stock_begin(fineness);
		model_take(point_of(30, 30), point_of(60, 50), 4 * LENGTH_MM, floor);
		expect_gone(8 * hypot(30, 20) + PI * 16, 2 * hypot(30, 20) + 2 * PI * 4);
	}
}

/* Two passes over the whole stock with a gap between them, however they run: what stands between is found. */
static void
a_strip_of_ten_micrometres_is_left_standing(void **state)
{
	static const double ANGLES[] = { 0, 90, 1e-4, 0.01, 1, 17, 45, 73, 89.99, 120, 179 };

	(void)state;
	for (enum fineness fineness = 0; fineness < FINENESSES; fineness++)
		for (size_t i = 0; i < sizeof ANGLES / sizeof ANGLES[0]; i++)
			for (int gap_um = -1000; gap_um <= 10; gap_um += 1010) {
				double       angle = ANGLES[i] * PI / 180, ax = cos(angle), ay = sin(angle);
				const double off = 60 + gap_um / 2e3;

				stock_begin(fineness);
				for (int side = -1; side <= 1; side += 2) {
					double x = 50 - side * off * ay, y = 40 + side * off * ax;

					model_take(point_of(x - 200 * ax, y - 200 * ay),
					           point_of(x + 200 * ax, y + 200 * ay), 60 * LENGTH_MM, 9 * LENGTH_MM);
				}
				if (gap_um > 0 ? model_area(9 * LENGTH_MM) < 0.79 : model_area(9 * LENGTH_MM) > 0)
					fail_msg("at %g degrees, %d um: %.6f mm2 stand", ANGLES[i], gap_um,
					         model_area(9 * LENGTH_MM));
			}
}

static void
two_micrometres_of_depth_are_seen(void **state)
{
	struct sweep   over = sweep_make(point_of(-90, 40), point_of(190, 40), 60 * LENGTH_MM, false);
	struct contact contact;

	(void)state;
	stock_begin(FINENESS_COARSE);
	model_take(over.from, over.to, over.radius, 9 * LENGTH_MM + 2000);
	assert_true(carve_meets(&carve, &over, 9 * LENGTH_MM, &contact));
	assert_int_equal(contact.height, 9 * LENGTH_MM + 2000);
	assert_true(fabs(model_volume(9 * LENGTH_MM) - 8000 * 0.002) < 1e-9);
	model_take(over.from, over.to, over.radius, 9 * LENGTH_MM);
	assert_false(carve_meets(&carve, &over, 9 * LENGTH_MM, &contact));
	assert_true(model_volume(9 * LENGTH_MM) == 0);
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
	return 0;
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(random_programs_leave_what_geos_says),
		cmocka_unit_test(a_move_too_many_is_seen),
		cmocka_unit_test(what_is_round_has_the_area_of_its_closed_form),
		cmocka_unit_test(a_strip_of_ten_micrometres_is_left_standing),
		cmocka_unit_test(two_micrometres_of_depth_are_seen),
	};

	return cmocka_run_group_tests(tests, geos_start, geos_stop);
}
