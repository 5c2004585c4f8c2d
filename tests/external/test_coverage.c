/*
 * The discs that a program's feed moves sweep cover the face: held against the GEOS geometry library (C API), from the
 * program's text alone.
 *
 * GEOS draws a buffer as a polygon inscribed in the round one, so what it calls covered is covered. The radius is taken
 * smaller than the cutter's by the nose radius, where the edge does not cut to the full depth, and by two micrometres more.
 */
#include "programs.h"

#include <geos_c.h>

#include "reading.h"

enum { QUADRANT_SEGMENTS = 128, RANDOM_JOBS = 240 };

static const uint64_t SEED = 0x5eed0f6e05c0ffee;

static GEOSContextHandle_t geos;

static struct moves
work_moves(const struct work *work)
{
	struct moves moves = moves_read(work->text, work->dialect.numerals.form != NUMERALS_POINT);

	assert_false(moves.unknown);
	return moves;
}

static double
mm(Length x)
{
	return (double)x / LENGTH_MM;
}

static GEOSGeometry *
line_between(const double from[3], const double to[3])
{
	GEOSCoordSequence *ends = GEOSCoordSeq_create_r(geos, 2, 2);

	GEOSCoordSeq_setXY_r(geos, ends, 0, from[0], from[1]);
	GEOSCoordSeq_setXY_r(geos, ends, 1, to[0], to[1]);
	return GEOSGeom_createLineString_r(geos, ends);
}

/* Where the program's zero is in the stock's frame, from the job alone. */
static void
zero_find(const struct job *job, double zero[3])
{
	const double x = mm(job->stock.length), y = mm(job->stock.width);

	zero[0] = job->zero.x == ZERO_LEFT ? 0 : job->zero.x == ZERO_RIGHT ? x : x / 2;
	zero[1] = job->zero.y == ZERO_FRONT ? 0 : job->zero.y == ZERO_BACK ? y : y / 2;
	zero[2] = job->zero.z == ZERO_BOTTOM ? 0
	                                     : mm(job->zero.z == ZERO_TOP ? job->stock.height : job->finished_height);
}

static GEOSGeometry *
stock_rectangle(const struct job *job)
{
	double zero[3];

	zero_find(job, zero);
	return GEOSGeom_createRectangle_r(geos, -zero[0], -zero[1], mm(job->stock.length) - zero[0],
	                                  mm(job->stock.width) - zero[1]);
}

static bool
is_feed_at(const struct move *move, double z)
{
	return !move->rapid && move->from[2] == z && move->to[2] == z;
}

static bool
is_covered(const struct moves *moves, double z, double radius, const GEOSGeometry *rectangle)
{
	GEOSGeometry **lines = calloc(moves->count, sizeof *lines), *path, *swept;
	unsigned       count = 0;
	bool           covers;

	for (size_t i = 0; i < moves->count; i++)
		if (is_feed_at(&moves->items[i], z))
			lines[count++] = line_between(moves->items[i].from, moves->items[i].to);
	path   = GEOSGeom_createCollection_r(geos, GEOS_MULTILINESTRING, lines, count);
	swept  = GEOSBuffer_r(geos, path, radius, QUADRANT_SEGMENTS);
	covers = GEOSCovers_r(geos, swept, rectangle) == 1;
	GEOSGeom_destroy_r(geos, path);
	GEOSGeom_destroy_r(geos, swept);
	free(lines);
	return covers;
}

static double
sweeping_radius(const struct plan *plan)
{
	return mm(plan->cutter->diameter) / 2 - mm(plan->cutter->nose_radius) - 0.002;
}

/*
 * Every level from the first to the last is swept whole, there are as many as the schedule has cuts, and the last is the
 * deepest that anything goes: the finished height, to the nearest that the program can tell.
 */
static void
levels_check(const struct work *work, const struct moves *moves, uint64_t seed)
{
	const struct plan *plan      = &work->planning.plan;
	const struct job  *job       = &work->planning.job;
	GEOSGeometry      *rectangle = stock_rectangle(job);
	double             last = INFINITY, deepest = INFINITY, zero[3];
	size_t             levels = 0;

	zero_find(job, zero);
	for (size_t i = 0; i < moves->count; i++) {
		double z = moves->items[i].to[2];

		deepest = fmin(deepest, z);
		if (!is_feed_at(&moves->items[i], z) || z == last)
			continue;
		holds(seed, z < last);
		holds(seed, is_covered(moves, z, sweeping_radius(plan), rectangle));
		last = z;
		levels++;
	}
	holds(seed, levels == plan->schedule.count);
	holds(seed, last == deepest);
	holds(seed, fabs(last + zero[2] - mm(job->finished_height)) <= mm(plan->grid.length) / 2 + 1e-6);
	GEOSGeom_destroy_r(geos, rectangle);
}

/* Rapids across pass above the stock, and whatever goes down below its top goes down beside it. */
static void
descents_check(const struct work *work, const struct moves *moves, uint64_t seed)
{
	const struct job *job       = &work->planning.job;
	GEOSGeometry     *rectangle = stock_rectangle(job);
	double            radius    = mm(work->planning.plan.cutter->diameter) / 2, zero[3], top, distance;

	zero_find(job, zero);
	top = mm(job->stock.height) - zero[2];
	for (size_t i = 0; i < moves->count; i++) {
		const struct move *move   = &moves->items[i];
		bool               across = move->from[0] != move->to[0] || move->from[1] != move->to[1];

		if (i == 0)
			holds(seed, isnan(move->to[0]) && isnan(move->to[1]) && move->to[2] > top);
		else if (move->rapid && across)
			holds(seed, move->from[2] > top && move->to[2] > top);
		if (isnan(move->from[2]) || move->to[2] >= move->from[2] || move->to[2] > top)
			continue;
		GEOSGeometry *line = line_between(move->from, move->to);

		GEOSDistance_r(geos, line, rectangle, &distance);
		holds(seed, distance > radius);
		GEOSGeom_destroy_r(geos, line);
	}
	GEOSGeom_destroy_r(geos, rectangle);
}

static void
work_check(struct work *work, uint64_t seed)
{
	struct moves moves = work_moves(work);

	levels_check(work, &moves, seed);
	descents_check(work, &moves, seed);
	free(moves.items);
}

static void
the_samples_are_swept_whole(void **state)
{
	(void)state;
	each_sample(NULL, work_check);
}

static void
random_jobs_are_swept_whole_in_every_dialect(void **state)
{
	(void)state;
	each_random(SEED, RANDOM_JOBS, NULL, work_check);
}

/* The check can see: without any one of its passes, and with a strip of ten micrometres left, the face is not covered. */
static void
a_missing_pass_and_a_narrow_strip_are_seen(void **state)
{
	struct work   work;
	struct moves  moves;
	GEOSGeometry *rectangle;
	double        z;

	(void)state;
	assert_true(work_open(&work, file_read("samples/sensor-base.yaml"), NULL));
	work_write(&work);
	moves     = work_moves(&work);
	rectangle = stock_rectangle(&work.planning.job);
	z         = mm(work.planning.plan.final - work.planning.plan.zero.z);
	assert_true(is_covered(&moves, z, sweeping_radius(&work.planning.plan), rectangle));
	for (size_t i = 0; i < moves.count; i++) {
		struct move kept = moves.items[i];

		if (!is_feed_at(&kept, z) || kept.from[0] == kept.to[0])
			continue;
		moves.items[i].rapid = true;
		assert_false(is_covered(&moves, z, sweeping_radius(&work.planning.plan), rectangle));
		moves.items[i] = kept;
	}
	/* Three passes of pitch p reach 3 p across: a radius short by the overlap and ten micrometres leaves the far edge. */
	assert_false(is_covered(&moves, z, mm(work.planning.plan.cutter->diameter) / 2 - 4.012, rectangle));
	GEOSGeom_destroy_r(geos, rectangle);
	free(moves.items);
	work_close(&work);
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
	return 0;
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_samples_are_swept_whole),
		cmocka_unit_test(random_jobs_are_swept_whole_in_every_dialect),
		cmocka_unit_test(a_missing_pass_and_a_narrow_strip_are_seen),
	};

	return cmocka_run_group_tests(tests, geos_start, geos_stop);
}
