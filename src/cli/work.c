#include "call.h"
#include "input.h"

#include <string.h>

#include "skimcut/ranking.h"
#include "skimcut/intake.h"
#include "skimcut/measured.h"
#include "skimcut/shipped.h"
#include "skimcut/text.h"

/* What intake_read needs to find the shop's file. */
struct folder {
	const char  *job_path;
	const char **shop; /* where to leave the path it opened */
};

static const struct source  *shop_open(void *context, const char *path, struct place place, struct arena *arena,
                                       struct diag *diag);
static bool                  as_begun(struct call *call, struct work *work, struct grid grid);
static bool                  dialect_make(struct call *call, struct work *work, const char *job_path);
static const struct shipped *shipped_find(const char *name, struct guess *guess);
static bool                  looks_like_file(const char *post);

bool
work_make(struct call *call, struct work *work)
{
	struct grid grid;

	if (!work_read(call, work))
		return false;
	grid = dialect_grid(&work->dialect, work->job.units);
	if (call->measured && (!as_begun(call, work, grid) || !measured_take(&work->job, call->measured, &call->diag)))
		return false;
	return ranking_plan(&work->job, grid, &call->arena, &work->plan, &call->diag);
}

/*
 * What the first plan chose is on the machine: the rest is cut with the same cutter, in the same direction, whatever would be best for
 * so little. A first plan that was refused chose nothing.
 */
static bool
as_begun(struct call *call, struct work *work, struct grid grid)
{
	struct diag unheard = { .arena = &call->arena };
	struct job *job = &work->job, *first = arena_take(&call->arena, sizeof *first);
	struct plan plan;

	if (!first)
		return diag_no_memory(&call->diag);
	*first = *job;
	if (!ranking_plan(first, grid, &call->arena, &plan, &unheard))
		return !unheard.no_memory || diag_no_memory(&call->diag);
	job->cutter        = *plan.cutter;
	job->choose_cutter = false;
	job->cut.along     = plan.layout.along;
	if (job->cut.pattern == PATTERN_AUTO && plan.layout.pattern != PATTERN_SINGLE)
		job->cut.pattern = plan.layout.pattern;
	return true;
}

bool
work_read(struct call *call, struct work *work)
{
	const char    *path    = call->operands[0];
	struct folder  folder  = { path, &work->inputs[1] };
	struct library library = { shop_open, &folder };
	struct source *source;

	*work  = (struct work){ .inputs = { path } };
	source = input_read(path, (struct place){ 0 }, &call->arena, &call->diag);
	return source && intake_read(source, &library, &call->arena, &work->job, &call->diag) &&
	       dialect_make(call, work, path);
}

struct source *
shipped_source(const struct shipped *shipped, struct call *call)
{
	struct source *source = arena_take(&call->arena, sizeof *source);

	if (source)
		*source = (struct source){ shipped->name, shipped->text, strlen(shipped->text), UNITS_NONE };
	else
		diag_no_memory(&call->diag);
	return source;
}

static const struct source *
shop_open(void *context, const char *path, struct place place, struct arena *arena, struct diag *diag)
{
	struct folder *folder = context;

	*folder->shop = input_beside(folder->job_path, path, arena);
	if (!*folder->shop) {
		diag_no_memory(diag);
		return NULL;
	}
	return input_read(*folder->shop, place, arena, diag);
}

/* A name that was compiled in, else a file: from the job's folder when the job names it, from here when the command does. */
static bool
dialect_make(struct call *call, struct work *work, const char *job_path)
{
	const char           *post  = call->post ? call->post : work->job.program.post;
	struct place          place = call->post ? (struct place){ 0 } : schema_place(&work->job.program.bound, "post");
	struct guess          guess = guess_for(post);
	const struct shipped *shipped = shipped_find(post, &guess);
	struct source        *source;

	if (!shipped && !looks_like_file(post)) {
		if (guess.best)
			return diag_add(&call->diag, SEVERITY_ERROR, place,
			                "there is no post '%.40s'; did you mean '%s'?", post, guess.best);
		return diag_add(
		    &call->diag, SEVERITY_ERROR, place,
		    "there is no post '%.40s'; 'skimcut list posts' shows them, and ./FILE.yaml is one of your own",
		    post);
	}
	if (shipped) {
		source = shipped_source(shipped, call);
	} else {
		const char *path = call->post ? post : input_beside(job_path, post, &call->arena);

		if (!path)
			return diag_no_memory(&call->diag);
		work->inputs[work->inputs[1] ? 2 : 1] = path;
		source                                = input_read(path, place, &call->arena, &call->diag);
	}
	return source && dialect_read(source, &call->arena, &work->dialect, &call->diag);
}

static const struct shipped *
shipped_find(const char *name, struct guess *guess)
{
	for (const struct shipped *shipped = SHIPPED_DIALECTS; shipped->name; shipped++) {
		if (strcmp(shipped->name, name) == 0)
			return shipped;
		guess_offer(guess, shipped->name);
	}
	return NULL;
}

static bool
looks_like_file(const char *post)
{
	size_t length = strlen(post);

	return strchr(post, '/') || (length > 5 && strcmp(post + length - 5, ".yaml") == 0);
}
