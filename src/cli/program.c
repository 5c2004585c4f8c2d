#include <sys/stat.h>

#include "call.h"
#include "output.h"
#include "progress.h"

#include "skimcut/path.h"
#include "skimcut/summary.h"
#include "skimcut/text.h"
#include "skimcut/trial.h"
#include "skimcut/writer.h"

static bool program_to_file(struct call *call, const struct work *work, struct output *output);
static bool program_to_stream(struct call *call, const struct work *work, struct output *output);
static bool program_try(struct call *call, const struct work *work, uint64_t *sum);
static bool program_write(struct call *call, const struct work *work, bool progress_wanted, struct text *out);
static bool is_file(int file);
static bool prove(struct call *call, const struct work *work, struct trial *trial);
static void trial_watch(void *trial, const char *bytes, size_t size);
static void sum_watch(void *sum, const char *bytes, size_t size);
static bool try_drain(struct text *text);
static bool plan_print(struct call *call, const struct work *work, struct output *output);

/* Nothing leaves unproved: a file takes its name only after its proof, and what goes elsewhere is proved before it is sent. */
bool
program_run(struct call *call)
{
	static struct output output;
	struct work          work;
	uint64_t             sum;
	bool                 done;

	if (!work_make(call, &work))
		return false;
	if (call->dry_run)
		return program_try(call, &work, &sum) && plan_print(call, &work, &output);
	if (!output_open(&output, call->output, work.inputs, &call->diag))
		return false;
	done = output.temporary ? program_to_file(call, &work, &output) : program_to_stream(call, &work, &output);
	output_abandon(&output);
	if (done && output.name == call->output)
		diag_add(&call->diag, SEVERITY_NOTE, (struct place){ 0 }, "%.200s is written and proved, %llu bytes",
		         call->output, (unsigned long long)output.bytes);
	return done;
}

/* Proved with the very bytes that are written, while they are. */
static bool
program_to_file(struct call *call, const struct work *work, struct output *output)
{
	static struct trial trial;

	if (!trial_begin(&trial, &work->job, &work->plan, &work->dialect, &call->arena, FINENESS_MIDDLE))
		return diag_no_memory(&call->diag);
	output->watch   = trial_watch;
	output->watcher = &trial;
	if (!program_write(call, work, true, &output->text) && !output->text.failed)
		return false;
	return (!text_flush(&output->text) || prove(call, work, &trial)) && output_commit(output, &call->diag);
}

/* Made twice, once for the proof; that both were the same is known only when it is out, but then it is said. */
static bool
program_to_stream(struct call *call, const struct work *work, struct output *output)
{
	static uint64_t written; /* for as long as the output */
	uint64_t        proved = 0;

	if (!program_try(call, work, &proved))
		return false;
	output->watch   = sum_watch;
	output->watcher = &written;
	if (!program_write(call, work, is_file(output->file), &output->text) && !output->text.failed)
		return false;
	if (!output_commit(output, &call->diag))
		return false;
	if (written != proved)
		return diag_add(&call->diag, SEVERITY_SYSTEM, (struct place){ 0 },
		                "what was written is not what was proved: do not use it");
	return true;
}

/* The trial and the sum of what is drained from a text that goes nowhere. */
struct attempt {
	struct trial trial;
	uint64_t     sum;
};

static bool
program_try(struct call *call, const struct work *work, uint64_t *sum)
{
	static struct attempt attempt;
	static char           buffer[65536];
	struct text           nowhere = text_over(buffer, sizeof buffer);

	nowhere.drain   = try_drain;
	nowhere.context = &attempt;
	if (!trial_begin(&attempt.trial, &work->job, &work->plan, &work->dialect, &call->arena, FINENESS_MIDDLE))
		return diag_no_memory(&call->diag);
	if (!program_write(call, work, true, &nowhere))
		return false;
	text_flush(&nowhere);
	*sum = attempt.sum;
	return prove(call, work, &attempt.trial);
}

static bool
program_write(struct call *call, const struct work *work, bool progress_wanted, struct text *out)
{
	const struct job *job = &work->job;
	char              buffer[SUMMARY_HEADING_BYTES];
	const char       *lines[SUMMARY_HEADING_LINES];
	struct heading    heading = {
		   .units         = job->units,
		   .zero          = work->plan.zero,
		   .work_offset   = job->program.work_offset,
		   .offset_wanted = schema_given(&job->program.bound, "work_offset"),
		   .number        = job->program.number,
		   .lines         = lines,
		   .line_count    = summary_heading(&work->plan, lines, buffer),
	};
	struct progress progress;
	struct writer   writer;
	struct path     path;
	struct step     step;
	bool            done = true;

	if (!writer_begin(&writer, &work->dialect, &heading, out, &call->diag))
		return false;
	progress_begin(&progress, progress_wanted && !call->quiet);
	path_start(&path, &work->plan);
	while (done && path_next(&path, &step)) {
		size_t before = out->length;

		done = writer_step(&writer, &step);
		if (out->length < before) /* a buffer has gone out */
			progress_show(&progress, &path);
	}
	progress_end(&progress);
	return done;
}

/* What reads along, a terminal or a pager behind a pipe, has the screen to itself. */
static bool
is_file(int file)
{
	struct stat status;

	return fstat(file, &status) == 0 && S_ISREG(status.st_mode);
}

static bool
prove(struct call *call, const struct work *work, struct trial *trial)
{
	const struct finding *first;
	char                  where[40] = "";
	struct text           text      = text_over(where, sizeof where);

	if (trial_end(trial))
		return true;
	first = trial_first_refusal(trial);
	if (first->line > 0)
		text_format(&text, "line %zu: ", first->line);
	text_end(&text);
	return diag_add(
	    &call->diag, SEVERITY_REFUSED, (struct place){ 0 },
	    "the program is not proved, so it is not written: %s%s. This is a defect in skimcut or in the post "
	    "'%.40s', not in the job: please report it to its maker, with the job, its shop and post, and what "
	    "'skimcut --version' says",
	    where, first->text, work->dialect.name);
}

static void
trial_watch(void *trial, const char *bytes, size_t size)
{
	trial_feed(trial, bytes, size);
}

/* FNV-1a of 64 bits. */
static void
sum_watch(void *sum, const char *bytes, size_t size)
{
	uint64_t value = *(uint64_t *)sum;

	for (size_t i = 0; i < size; i++)
		value = (value ^ (unsigned char)bytes[i]) * UINT64_C(1099511628211);
	*(uint64_t *)sum = value;
}

static bool
try_drain(struct text *text)
{
	struct attempt *attempt = text->context;

	trial_feed(&attempt->trial, text->data, text->length);
	sum_watch(&attempt->sum, text->data, text->length);
	text->length = 0;
	return true;
}

static bool
plan_print(struct call *call, const struct work *work, struct output *output)
{
	if (!output_open(output, NULL, work->inputs, &call->diag))
		return false;
	summary_print(&work->plan, &call->diag, &output->text);
	call->remarks_shown = true;
	return output_commit(output, &call->diag);
}
