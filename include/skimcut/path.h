/*
 * path - the plan, walked: a generator of steps.
 *
 * Memory does not grow with the program: steps are made a pass at a time. Rapids across happen at plan->safe or above,
 * the cutter goes down only in air, at feed over the last of it, and leaves every level wholly before it is lifted.
 */
#ifndef SKIMCUT_PATH_H
#define SKIMCUT_PATH_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "skimcut/plan.h"
#include "skimcut/step.h"

enum path_stage { PATH_OPENING, PATH_CUT, PATH_PASS, PATH_LEAVING, PATH_CLOSING, PATH_DONE };

enum { PATH_QUEUE = 8 };

struct path {
	const struct plan *plan;
	enum path_stage    stage;
	size_t             cut; /* the cut that the last step belongs to; schedule.count once all are done */
	int64_t            pass;
	bool               turning, wet; /* spindle and coolant are on */
	int64_t            rpm;
	struct step        queue[PATH_QUEUE];
	size_t             head, count;
	char               note[128];
};

void path_start(struct path *path, const struct plan *plan);

/* False at the end. step->text lives until the next call. */
bool path_next(struct path *path, struct step *step);

#endif
