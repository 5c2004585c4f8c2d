#include <stddef.h>
#include <stdint.h>

#include "skimcut/arena.h"
#include "skimcut/choice.h"
#include "skimcut/dialect.h"
#include "skimcut/diag.h"
#include "skimcut/intake.h"
#include "skimcut/job.h"
#include "skimcut/path.h"
#include "skimcut/plan.h"
#include "skimcut/summary.h"
#include "skimcut/text.h"
#include "skimcut/writer.h"

enum { STEPS_MAX = 20000 };

static const char JOB_MM[] = "units: mm\n"
			     "title: T\xC3\xBCr (links) ; % N1 G0\n"
			     "material: aluminium\n"
			     "stock: {length: 90.5, width: 70, height: 22}\n"
			     "finished_height: 20\n"
			     "cutter: {kind: face mill, diameter: 50, teeth: 4, edge: carbide, number: 12}\n"
			     "cut: {milling: either, coolant: flood}\n"
			     "zero: {x: centre, y: back, z: top}\n"
			     "program: {number: 77}\n";

static const char JOB_INCH[] = "units: inch\n"
			       "title: gate hinge\n"
			       "material: brass\n"
			       "stock: {length: 6, width: 2.5, height: 1.1}\n"
			       "finished_height: 1\n"
			       "cutter: {kind: shell mill, diameter: 3, teeth: 5, edge: hss}\n"
			       "cut: {coolant: mist, test_cut: 0, measure: []}\n"
			       "program: {work_offset: G55}\n";

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void job_write(const char *text, size_t size, const struct dialect *dialect, struct arena *arena);
static void arcs_write(const struct dialect *dialect, enum units units, struct arena *arena);
static bool forget(struct text *text);

/* A dialect's text; what it describes writes a job in millimetres, one in inches, and a few arcs. */
int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct arena   arena = { 0 };
	struct diag    diag  = { .arena = &arena };
	char           buffer[4096];
	struct text    nowhere = text_over(buffer, sizeof buffer);
	char          *text    = arena_copy(&arena, (const char *)data, size);
	struct source  source  = { "dialect.yaml", text, size, UNITS_NONE };
	struct dialect dialect;

	if (!text)
		return 0;
	nowhere.drain = forget;
	if (dialect_read(&source, &arena, &dialect, &diag)) {
		job_write(JOB_MM, sizeof JOB_MM - 1, &dialect, &arena);
		job_write(JOB_INCH, sizeof JOB_INCH - 1, &dialect, &arena);
		arcs_write(&dialect, UNITS_MM, &arena);
		arcs_write(&dialect, UNITS_INCH, &arena);
	}
	diag_print(&diag, SEVERITY_NOTE, "fuzz", &nowhere);
	arena_release(&arena);
	return 0;
}

static void
job_write(const char *text, size_t size, const struct dialect *dialect, struct arena *arena)
{
	struct diag    diag   = { .arena = arena };
	struct source  source = { "job.yaml", text, size, UNITS_NONE };
	char           room[4096], buffer[SUMMARY_HEADING_BYTES];
	const char    *lines[SUMMARY_HEADING_LINES];
	struct text    nowhere = text_over(room, sizeof room);
	struct job     job;
	struct plan    plan;
	struct heading heading;
	struct writer  writer;
	struct path    path;
	struct step    step;

	nowhere.drain = forget;
	if (!intake_read(&source, NULL, arena, &job, &diag) ||
	    !choice_make(&job, dialect_grid(dialect, job.units), arena, &plan, &diag))
		return;
	heading = (struct heading){
		.units         = job.units,
		.zero          = plan.zero,
		.work_offset   = job.program.work_offset,
		.offset_wanted = schema_given(&job.program.bound, "work_offset"),
		.number        = job.program.number,
		.lines         = lines,
		.line_count    = summary_heading(&plan, lines, buffer),
	};
	if (!writer_begin(&writer, dialect, &heading, &nowhere, &diag))
		return;
	path_start(&path, &plan);
	for (int steps = 0; steps < STEPS_MAX && path_next(&path, &step); steps++)
		if (!writer_step(&writer, &step))
			return;
}

/* A quarter, a half and a whole circle, to the right and to the left. */
static void
arcs_write(const struct dialect *dialect, enum units units, struct arena *arena)
{
	static const int ENDS[][2] = { { 1, 1 }, { 2, 0 }, { 0, 0 }, { 1, -1 } };

	struct grid    grid    = dialect_grid(dialect, units);
	const Length   radius  = 1000 * grid.length;
	struct heading heading = { .units = units };
	struct diag    diag    = { .arena = arena };
	char           buffer[4096];
	struct text    nowhere = text_over(buffer, sizeof buffer);

	nowhere.drain = forget;
	for (size_t i = 0; i < 2 * sizeof ENDS / sizeof ENDS[0]; i++) {
		struct step   start = { .kind = STEP_RAPID, .axes = AXIS_X | AXIS_Y | AXIS_Z };
		struct step   arc   = { .kind      = STEP_ARC,
			                .axes      = AXIS_X | AXIS_Y,
			                .centre    = { radius, 0, 0 },
			                .to        = { ENDS[i / 2][0] * radius, ENDS[i / 2][1] * radius, 0 },
			                .clockwise = i % 2 == 0,
			                .feed      = 100 * grid.feed };
		struct writer writer;

		if (writer_begin(&writer, dialect, &heading, &nowhere, &diag) && writer_step(&writer, &start))
			writer_step(&writer, &arc);
	}
}

static bool
forget(struct text *text)
{
	text->length = 0;
	return true;
}
