#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include "skimcut/arena.h"
#include "skimcut/choice.h"
#include "skimcut/data.h"
#include "skimcut/dialect.h"
#include "skimcut/diag.h"
#include "skimcut/intake.h"
#include "skimcut/job.h"
#include "skimcut/path.h"
#include "skimcut/plan.h"
#include "skimcut/shipped.h"
#include "skimcut/sheet.h"
#include "skimcut/summary.h"
#include "skimcut/text.h"
#include "skimcut/writer.h"

/* Walking a plan takes as long as the plan is: longer ones are planned, and no more. */
enum { STEPS_MAX = 20000, PASSES_WALKED_MAX = STEPS_MAX / 5 };

static const char SHOP[] = "units: mm\n"
			   "machine:\n"
			   "  kind: cnc\n"
			   "  spindle: {speeds: [100, 800, 3000], power: 3 kW}\n"
			   "  feed: {max: 2000, rapid: 5 m/min}\n"
			   "  travel: {x: 500, y: 300, z: 300}\n"
			   "cutters:\n"
			   "  big: {kind: face mill, diameter: 63, teeth: 5, edge: carbide, max_depth: 3}\n"
			   "  small: {kind: end mill, diameter: 12, teeth: 4, edge: hss}\n";

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const struct source *shop_open(void *context, const char *path, struct place place, struct arena *arena,
                                      struct diag *diag);
static void                 job_try(const struct job *job, size_t which, struct arena *arena, struct diag *diag);
static bool                 is_short(const struct job *job, struct grid grid, struct arena *arena);
static void program_write(const struct plan *plan, const struct dialect *dialect, struct text *out, struct diag *diag);
static bool forget(struct text *text);

/* A job's text, all the way to its plan and its program in one of the dialects; its length says in which. */
int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct arena   arena   = { 0 };
	struct diag    diag    = { .arena = &arena };
	struct library library = { shop_open, NULL };
	char           buffer[4096];
	struct text    nowhere = text_over(buffer, sizeof buffer);
	struct source  source;
	struct job     job;
	char          *text = arena_copy(&arena, (const char *)data, size);

	if (!text)
		return 0;
	nowhere.drain = forget;
	source        = (struct source){ "job.yaml", text, size, UNITS_NONE };
	if (intake_read(&source, &library, &arena, &job, &diag))
		job_try(&job, size, &arena, &diag);
	diag_print(&diag, SEVERITY_NOTE, "fuzz", &nowhere);
	arena_release(&arena);
	return 0;
}

static const struct source *
shop_open(void *context, const char *path, struct place place, struct arena *arena, struct diag *diag)
{
	static const struct source shop = { "shop.yaml", SHOP, sizeof SHOP - 1, UNITS_NONE };

	(void)context;
	(void)arena;
	if (strcmp(path, "absent") != 0)
		return &shop;
	diag_add(diag, SEVERITY_ERROR, place, "cannot read '%.200s'", path);
	return NULL;
}

static void
job_try(const struct job *job, size_t which, struct arena *arena, struct diag *diag)
{
	const struct shipped *shipped = SHIPPED_DIALECTS;
	char                  buffer[4096];
	struct text           nowhere = text_over(buffer, sizeof buffer);
	struct source        *source  = arena_take(arena, sizeof *source); /* messages point at it after this */
	struct dialect        dialect;
	struct plan           plan;
	struct grid           grid;

	nowhere.drain = forget;
	while (shipped[1].name && which-- % 4 != 0)
		shipped++;
	if (!source)
		return;
	*source = (struct source){ shipped->name, shipped->text, strlen(shipped->text), UNITS_NONE };
	if (!dialect_read(source, arena, &dialect, diag))
		return;
	grid = dialect_grid(&dialect, job->units);
	if (!is_short(job, grid, arena) || !choice_make(job, grid, arena, &plan, diag))
		return;
	summary_print(&plan, diag, &nowhere);
	sheet_print(&plan, diag, "job.yaml", &nowhere);
	data_json(&plan, diag, &nowhere);
	program_write(&plan, &dialect, &nowhere, diag);
}

static bool
is_short(const struct job *job, struct grid grid, struct arena *arena)
{
	static const enum along ALONGS[] = { ALONG_X, ALONG_Y };
	struct diag             unheard  = { .arena = arena };

	for (size_t i = 0; i < 2; i++) {
		struct plan plan;

		if (plan_make(job, grid, ALONGS[i], arena, &plan, &unheard) &&
		    (int64_t)plan.schedule.count * plan.layout.passes > PASSES_WALKED_MAX)
			return false;
	}
	return true;
}

static void
program_write(const struct plan *plan, const struct dialect *dialect, struct text *out, struct diag *diag)
{
	const struct job *job = plan->job;
	char              buffer[SUMMARY_HEADING_BYTES];
	const char       *lines[SUMMARY_HEADING_LINES];
	struct heading    heading = {
		   .units         = job->units,
		   .zero          = plan->zero,
		   .work_offset   = job->program.work_offset,
		   .offset_wanted = schema_given(&job->program.bound, "work_offset"),
		   .number        = job->program.number,
		   .lines         = lines,
		   .line_count    = summary_heading(plan, lines, buffer),
	};
	struct writer writer;
	struct path   path;
	struct step   step;

	if (!writer_begin(&writer, dialect, &heading, out, diag))
		return;
	path_start(&path, plan);
	for (int steps = 0; steps < STEPS_MAX && path_next(&path, &step); steps++)
		if (!writer_step(&writer, &step))
			return;
}

static bool
forget(struct text *text)
{
	text->length = 0;
	return true;
}
