#include "skimcut/choice.h"

#include "skimcut/arena.h"
#include "skimcut/clock.h"
#include "skimcut/fit.h"
#include "skimcut/path.h"

struct candidate {
	struct plan plan;
	struct diag diag;
	bool        made;
};

static bool             candidate_find(const struct job *job, struct grid grid, enum along along, struct arena *arena,
                                       struct candidate *candidate);
static struct candidate candidate_make(const struct job *job, struct grid grid, enum along along, struct arena *arena);
static bool             beats(const struct candidate *other, const struct candidate *first);

bool
choice_make(const struct job *job, struct grid grid, struct arena *arena, struct plan *plan, struct diag *diag)
{
	enum along       longer = job->stock.width > job->stock.length ? ALONG_Y : ALONG_X;
	struct candidate first, other;

	if (!candidate_find(job, grid, job->cut.along == ALONG_AUTO ? longer : job->cut.along, arena, &first))
		return diag_no_memory(diag);
	if (job->cut.along == ALONG_AUTO) {
		if (!candidate_find(job, grid, longer == ALONG_X ? ALONG_Y : ALONG_X, arena, &other))
			return diag_no_memory(diag);
		if (beats(&other, &first))
			first = other;
	}
	diag_append(diag, &first.diag);
	*plan = first.plan;
	return first.made;
}

struct clock
choice_time(const struct plan *plan)
{
	struct clock clock = { .rapid = plan->rapid };
	struct path  path;
	struct step  step;

	path_start(&path, plan);
	while (path_next(&path, &step))
		clock_take(&clock, &step);
	return clock;
}

/* Of one direction the quicker pattern, where the job leaves it open. False: memory is out, and which is best must not depend on it. */
static bool
candidate_find(const struct job *job, struct grid grid, enum along along, struct arena *arena,
               struct candidate *candidate)
{
	struct job      *one_way;
	struct candidate other;

	*candidate = candidate_make(job, grid, along, arena);
	if (candidate->diag.no_memory)
		return false;
	if (!candidate->made || job->cut.pattern != PATTERN_AUTO || candidate->plan.layout.pattern != PATTERN_ZIGZAG)
		return true;
	one_way = arena_take(arena, sizeof *one_way);
	if (!one_way)
		return false;
	*one_way             = *job;
	one_way->cut.pattern = PATTERN_ONE_WAY;
	other                = candidate_make(one_way, grid, along, arena);
	other.plan.job       = job; /* that leaves it open */
	if (beats(&other, candidate))
		*candidate = other;
	return !other.diag.no_memory;
}

static struct candidate
candidate_make(const struct job *job, struct grid grid, enum along along, struct arena *arena)
{
	struct candidate candidate = { .diag = { .arena = arena } };

	candidate.made = fit_make(job, grid, along, arena, &candidate.plan, &candidate.diag);
	return candidate;
}

static bool
beats(const struct candidate *other, const struct candidate *first)
{
	struct clock theirs, ours;

	if (!other->made || !first->made)
		return other->made;
	theirs = choice_time(&other->plan);
	ours   = choice_time(&first->plan);
	return clock_total_s(&theirs) < clock_total_s(&ours);
}
