/*
 * The discs that a program's feed moves sweep cover the face: held against the GEOS geometry library (C API), from the
 * program's text alone.
 *
 * GEOS draws a buffer as a polygon inscribed in the round one, so what it calls covered is covered. The radius is taken
 * smaller than the cutter's by the nose radius, where the edge does not cut to the full depth, and by two micrometres more.
 */
#include "../unit/planning.h"

#include <geos_c.h>
#include <stdio.h>

#include "reading.h"
#include "skimcut/choice.h"
#include "skimcut/dialect.h"
#include "skimcut/path.h"
#include "skimcut/shipped.h"
#include "skimcut/summary.h"
#include "skimcut/writer.h"

enum { QUADRANT_SEGMENTS = 128, RANDOM_JOBS = 240, TEXT_ROOM = 1 << 20 };

static const char *const SAMPLES[] = { "bearing-pad", "bench-plate", "brass-coupon", "die-block", "gearbox-lid",
	                               "pump-foot",   "sensor-base", "starter-inch", "starter-mm" };

static const uint64_t SEED = 0x5eed0f6e05c0ffee;

static GEOSContextHandle_t geos;

/* One job, planned and written in a dialect. */
struct work {
	struct planning planning;
	struct source   post;
	struct dialect  dialect;
	char           *yaml, *text;
};

static char *
file_read(const char *path)
{
	FILE *file = fopen(path, "rb");
	char *text = calloc(1, TEXT_ROOM);

	if (!file || !text || fread(text, 1, TEXT_ROOM - 1, file) == 0)
		fail_msg("cannot read %s", path);
	fclose(file);
	return text;
}

static const struct source *
shop_open(void *context, const char *path, struct place place, struct arena *arena, struct diag *diag)
{
	char           name[256];
	char          *text;
	struct source *source = arena_take(arena, sizeof *source);

	(void)context;
	(void)place;
	(void)diag;
	snprintf(name, sizeof name, "samples/%s", path);
	text    = file_read(name);
	*source = (struct source){ path, arena_copy(arena, text, strlen(text)), strlen(text), UNITS_NONE };
	free(text);
	return source;
}

/* False: the job cannot be planned, which is not this test's business. */
static bool
work_open(struct work *work, char *yaml, const char *post)
{
	static const struct library SHOPS = { shop_open, NULL };

	const struct shipped *shipped  = SHIPPED_DIALECTS;
	struct planning      *planning = &work->planning;

	*work                = (struct work){ .yaml = yaml, .text = calloc(1, TEXT_ROOM) };
	planning->diag.arena = &planning->arena;
	planning->source     = (struct source){ "job.yaml", yaml, strlen(yaml), UNITS_NONE };
	if (!job_read(&planning->source, &SHOPS, &planning->arena, &planning->job, &planning->diag))
		return false;
	if (!post)
		post = planning->job.program.post;
	while (strcmp(shipped->name, post) != 0)
		shipped++;
	work->post = (struct source){ shipped->name, shipped->text, strlen(shipped->text), UNITS_NONE };
	assert_true(dialect_read(&work->post, &planning->arena, &work->dialect, &planning->diag));
	return choice_make(&planning->job, dialect_grid(&work->dialect, planning->job.units), &planning->arena,
	                   &planning->plan, &planning->diag);
}

static void
work_close(struct work *work)
{
	planning_close(&work->planning);
	free(work->yaml);
	free(work->text);
}

static void
work_write(struct work *work)
{
	const struct job *job = &work->planning.job;
	char              buffer[SUMMARY_HEADING_BYTES];
	const char       *lines[SUMMARY_HEADING_LINES];
	struct heading    heading = {
		   .units = job->units, .zero = work->planning.plan.zero, .work_offset = 54, .lines = lines
	};
	struct text   out = text_over(work->text, TEXT_ROOM - 1);
	struct writer writer;
	struct path   path;
	struct step   step;

	heading.line_count = summary_heading(&work->planning.plan, lines, buffer);
	assert_true(writer_begin(&writer, &work->dialect, &heading, &out, &work->planning.diag));
	path_start(&path, &work->planning.plan);
	while (path_next(&path, &step))
		assert_true(writer_step(&writer, &step));
	text_end(&out);
}

static void
work_run(struct work *work, const char *command)
{
	FILE *program = popen(command, "r");

	if (!program || fread(work->text, 1, TEXT_ROOM - 1, program) == 0 || pclose(program) != 0)
		fail_msg("failed: %s", command);
}

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

static GEOSGeometry *
stock_rectangle(const struct plan *plan)
{
	double x = -mm(plan->zero.x), y = -mm(plan->zero.y);

	return GEOSGeom_createRectangle_r(geos, x, y, x + mm(plan->job->stock.length), y + mm(plan->job->stock.width));
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

/* Every level from the first to the last is swept whole, and there are as many as the schedule has cuts. */
static void
levels_check(const struct plan *plan, const struct moves *moves, uint64_t seed)
{
	GEOSGeometry *rectangle = stock_rectangle(plan);
	double        last = INFINITY, deepest = INFINITY;
	size_t        levels = 0;

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
	holds(seed, fabs(last - mm(plan->final - plan->zero.z)) < 1e-6 && last == deepest);
	GEOSGeom_destroy_r(geos, rectangle);
}

/* Rapids across pass above the stock, and whatever goes down below its top goes down beside it. */
static void
descents_check(const struct plan *plan, const struct moves *moves, uint64_t seed)
{
	GEOSGeometry *rectangle = stock_rectangle(plan);
	double top = mm(plan->job->stock.height - plan->zero.z), radius = mm(plan->cutter->diameter) / 2, distance;

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
the_samples_are_swept_whole(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof SAMPLES / sizeof SAMPLES[0]; i++) {
		char         path[256], command[512];
		struct work  work;
		struct moves moves;

		snprintf(path, sizeof path, "samples/%s.yaml", SAMPLES[i]);
		snprintf(command, sizeof command, "%s program -q %s", SKIMCUT, path);
		assert_true(work_open(&work, file_read(path), NULL));
		work_run(&work, command);
		moves = work_moves(&work);
		levels_check(&work.planning.plan, &moves, i);
		descents_check(&work.planning.plan, &moves, i);
		free(moves.items);
		work_close(&work);
	}
}

static void
random_jobs_are_swept_whole_in_every_dialect(void **state)
{
	uint64_t seed  = SEED;
	int      swept = 0;

	(void)state;
	for (int tries = 0; swept < RANDOM_JOBS; tries++) {
		const uint64_t before = seed;
		char          *yaml   = calloc(1, 4096);
		struct text    out    = text_over(yaml, 4096);
		struct work    work;

		random_job(&seed, "random", &out);
		if (work_open(&work, yaml, SHIPPED_DIALECTS[tries % 4].name)) {
			struct moves moves;

			work_write(&work);
			moves = work_moves(&work);
			levels_check(&work.planning.plan, &moves, before);
			descents_check(&work.planning.plan, &moves, before);
			free(moves.items);
			swept++;
		}
		work_close(&work);
		assert_true(tries < 10 * RANDOM_JOBS);
	}
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
	rectangle = stock_rectangle(&work.planning.plan);
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
