#include "call.h"
#include "output.h"

#include "skimcut/path.h"
#include "skimcut/summary.h"
#include "skimcut/text.h"
#include "skimcut/writer.h"

static bool program_try(const struct work *work, struct diag *diag);
static bool program_write(const struct work *work, struct text *out, struct diag *diag);
static bool forget_all(struct text *text);
static bool plan_print(struct call *call, const struct work *work, struct output *output);

/* A file is written under another name, and is not there if anything is refused. What goes elsewhere is tried first. */
bool
program_run(struct call *call)
{
	static struct output output;
	struct work          work;

	if (!work_make(call, &work))
		return false;
	if (call->dry_run)
		return program_try(&work, &call->diag) && plan_print(call, &work, &output);
	if (!output_open(&output, call->output, work.inputs, &call->diag))
		return false;
	if ((output.temporary || program_try(&work, &call->diag)) &&
	    (program_write(&work, &output.text, &call->diag) || output.text.failed)) {
		if (!output_commit(&output, &call->diag))
			return false;
		if (output.name == call->output)
			diag_add(&call->diag, SEVERITY_NOTE, (struct place){ 0 }, "%.200s is written, %llu bytes",
			         call->output, (unsigned long long)output.bytes);
		return true;
	}
	output_abandon(&output);
	return false;
}

static bool
program_try(const struct work *work, struct diag *diag)
{
	char        buffer[4096];
	struct text nowhere = text_over(buffer, sizeof buffer);

	nowhere.drain = forget_all;
	return program_write(work, &nowhere, diag);
}

static bool
program_write(const struct work *work, struct text *out, struct diag *diag)
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
	struct writer writer;
	struct path   path;
	struct step   step;

	if (!writer_begin(&writer, &work->dialect, &heading, out, diag))
		return false;
	path_start(&path, &work->plan);
	while (path_next(&path, &step))
		if (!writer_step(&writer, &step))
			return false;
	return true;
}

static bool
forget_all(struct text *text)
{
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
