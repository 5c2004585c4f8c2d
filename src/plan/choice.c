#include "skimcut/choice.h"

#include "skimcut/clock.h"
#include "skimcut/fit.h"
#include "skimcut/path.h"

struct candidate {
	struct plan plan;
	struct diag diag;
	bool        made;
};

static struct candidate candidate_make(const struct job *job, struct grid grid, enum along along, struct arena *arena);
static bool             beats(const struct candidate *other, const struct candidate *first);

bool
choice_make(const struct job *job, struct grid grid, struct arena *arena, struct plan *plan, struct diag *diag)
{
	enum along       longer = job->stock.width > job->stock.length ? ALONG_Y : ALONG_X;
	struct candidate first  = candidate_make(job, grid, job->cut.along == ALONG_AUTO ? longer : job->cut.along,
	                                         arena);

	if (job->cut.along == ALONG_AUTO) {
		struct candidate other = candidate_make(job, grid, longer == ALONG_X ? ALONG_Y : ALONG_X, arena);

		/* Which plan is best must not depend on memory. */
		if (first.diag.no_memory || other.diag.no_memory)
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
