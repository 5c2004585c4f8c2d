#include "skimcut/ranking.h"

#include <stdlib.h>

#include "skimcut/arena.h"
#include "skimcut/choice.h"
#include "skimcut/cutter.h"

static bool         rank_make(const struct job *job, const struct cutter *cutter, struct grid grid, struct arena *arena,
                              struct rank *rank);
static enum fitness fitness_of(const struct plan *plan);
static int          compare(const void *a, const void *b);

bool
ranking_make(const struct job *job, struct grid grid, struct arena *arena, struct ranking *ranking)
{
	const struct cutter *cutters = job->cutters.count > 0 ? job->cutters.items : &job->cutter;

	ranking->count = job->cutters.count > 0 ? job->cutters.count : 1;
	ranking->ranks = arena_take(arena, ranking->count * sizeof *ranking->ranks);
	if (!ranking->ranks)
		return false;
	for (size_t i = 0; i < ranking->count; i++)
		if (!rank_make(job, &cutters[i], grid, arena, &ranking->ranks[i]))
			return false;
	qsort(ranking->ranks, ranking->count, sizeof *ranking->ranks, compare);
	return true;
}

bool
ranking_plan(const struct job *job, struct grid grid, struct arena *arena, struct plan *plan, struct diag *diag)
{
	struct ranking ranking;

	if (!job->choose_cutter)
		return choice_make(job, grid, arena, plan, diag);
	if (!ranking_make(job, grid, arena, &ranking))
		return diag_no_memory(diag);
	diag_append(diag, &ranking.ranks[0].diag);
	*plan     = ranking.ranks[0].plan;
	plan->job = job; /* that named none */
	return ranking.ranks[0].fitness != FITNESS_REFUSED;
}

/* Its plan is of a job of its own, that names it. */
static bool
rank_make(const struct job *job, const struct cutter *cutter, struct grid grid, struct arena *arena, struct rank *rank)
{
	struct job *own = arena_take(arena, sizeof *own);

	if (!own)
		return false;
	*own               = *job;
	own->cutter        = *cutter;
	own->choose_cutter = false;
	*rank              = (struct rank){ .cutter = cutter, .fitness = FITNESS_REFUSED, .diag = { .arena = arena } };
	if (choice_make(own, grid, arena, &rank->plan, &rank->diag)) {
		rank->fitness = fitness_of(&rank->plan);
		rank->weights = weigh(&rank->plan);
		rank->clock   = choice_time(&rank->plan);
	}
	return !rank->diag.no_memory;
}

static enum fitness
fitness_of(const struct plan *plan)
{
	const struct stock *stock = &plan->job->stock;
	Length              width = plan->layout.along == ALONG_X ? stock->width : stock->length;

	if (plan->layout.passes > 1)
		return FITNESS_PASSES;
	return cutter_oversize(plan->cutter, width) ? FITNESS_OVERSIZE : FITNESS_COVERS;
}

/* What is alike stays in the shop's order. */
static int
compare(const void *a, const void *b)
{
	const struct rank *one = a, *two = b;
	double             time = clock_total_s(&one->clock) - clock_total_s(&two->clock);
	Length             size = one->cutter->diameter - two->cutter->diameter;

	if (one->fitness != two->fitness)
		return one->fitness < two->fitness ? -1 : 1;
	if (one->fitness == FITNESS_PASSES && time != 0)
		return time < 0 ? -1 : 1;
	if (size != 0 && one->fitness != FITNESS_REFUSED)
		return size < 0 ? -1 : 1;
	return one->cutter < two->cutter ? -1 : 1;
}
