#include "call.h"
#include "input.h"
#include "output.h"

#include <string.h>
#include <unistd.h>

#include "skimcut/trial.h"
#include "skimcut/verdict.h"

static bool        program_prove(struct call *call, const struct work *work, int file, struct trial *trial);
static bool        program_read(struct call *call, int file, struct trial *trial);
static bool        verdict_say(struct call *call, const struct trial *trial);
static const char *shown_name(const char *path);

bool
prove_run(struct call *call)
{
	static struct output output;
	static struct trial  trial;
	const char *const   *names = call->operands;
	struct work          work;
	bool                 done;
	int                  file;

	if (strcmp(names[0], "-") == 0 && strcmp(names[1], "-") == 0)
		return diag_add(&call->diag, SEVERITY_ERROR, (struct place){ 0 },
		                "job and program cannot both come from standard input");
	if (!work_make(call, &work))
		return false;
	file = input_open(names[1], &call->diag);
	if (file < 0)
		return false;
	done = program_prove(call, &work, file, &trial);
	if (file != STDIN_FILENO)
		close(file);
	if (!done || !output_open(&output, NULL, work.inputs, &call->diag))
		return false;
	call->remarks_shown = true; /* they are the plan's */
	if (!call_as(call, "json"))
		verdict_print(&trial, shown_name(names[1]), shown_name(names[0]), &output.text);
	else if (!verdict_json(&trial, shown_name(names[1]), shown_name(names[0]), &output.text))
		return diag_no_memory(&call->diag);
	return output_commit(&output, &call->diag) && verdict_say(call, &trial);
}

/* Coarse first, and finer only when that might change the verdict; what cannot be read twice, finely at once. */
static bool
program_prove(struct call *call, const struct work *work, int file, struct trial *trial)
{
	off_t start = lseek(file, 0, SEEK_CUR);
	bool  again = start >= 0;

	for (int fineness = again ? FINENESS_COARSE : FINENESS_FINE; fineness < FINENESSES; fineness++) {
		if (!trial_begin(trial, &work->job, &work->plan, &work->dialect, &call->arena, (enum fineness)fineness))
			return diag_no_memory(&call->diag);
		if (!program_read(call, file, trial))
			return false;
		if (trial_end(trial) || !proof_wants_finer(&trial->proof) || !again)
			return true;
		if (lseek(file, start, SEEK_SET) < 0)
			return true;
	}
	return true;
}

/* After a fault the rest is not needed. */
static bool
program_read(struct call *call, int file, struct trial *trial)
{
	static char buffer[65536];
	ssize_t     size;

	while (!trial->reader.refused &&
	       (size = input_part(file, call->operands[1], buffer, sizeof buffer, &call->diag)) != 0) {
		if (size < 0)
			return false;
		trial_feed(trial, buffer, (size_t)size);
	}
	return true;
}

/* For the exit status, and for an editor that reads places. */
static bool
verdict_say(struct call *call, const struct trial *trial)
{
	static struct source  program;
	const struct finding *first = trial_first_refusal(trial);
	struct place          place = { .source = &program };

	if (!first)
		return true;
	program = (struct source){ shown_name(call->operands[1]), NULL, 0, UNITS_NONE };
	if (first->line > 0) {
		place.line   = first->line;
		place.column = first->column > 0 ? first->column : 1;
	}
	return diag_add(&call->diag, SEVERITY_REFUSED, place, "not proved: %s", first->text);
}

static const char *
shown_name(const char *path)
{
	return strcmp(path, "-") == 0 ? "standard input" : path;
}
