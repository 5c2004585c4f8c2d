/*
 * call - one run of skimcut: what was asked for on the command line, and what every verb works with.
 */
#ifndef SKIMCUT_CLI_CALL_H
#define SKIMCUT_CLI_CALL_H

#include <stdbool.h>
#include <stddef.h>

#include "skimcut/arena.h"
#include "skimcut/dialect.h"
#include "skimcut/diag.h"
#include "skimcut/job.h"
#include "skimcut/plan.h"

struct call {
	const char *const *operands;
	size_t             operand_count;
	const char        *output, *post, *measured; /* NULL: not given */
	const char        *as;                       /* the form of what is printed: one of the verb's */
	enum units         units;
	bool               dry_run, quiet;
	struct arena       arena;
	struct diag        diag;
	bool               remarks_shown; /* notes and warnings are in what was printed already */
};

/* A verb; false when it failed, and the reason is in call->diag. */
typedef bool verb_run(struct call *call);

verb_run plan_run, program_run, prove_run, sheet_run, cutters_run, list_run, new_run, schema_run;

/* It is to be printed in this form. */
bool call_as(const struct call *call, const char *form);

/* What plan, program and prove begin with: the job of operands[0], its dialect, its plan. */
struct work {
	struct job     job;
	struct dialect dialect;
	struct plan    plan;
	const char    *inputs[4]; /* files that were read, NULL behind the last */
};

bool work_make(struct call *call, struct work *work);

/* The same without the plan. */
bool work_read(struct call *call, struct work *work);

/* A file that was compiled in, as if it had been read. NULL: memory is out. */
struct shipped;
struct source *shipped_source(const struct shipped *shipped, struct call *call);

#endif
