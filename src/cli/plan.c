#include "call.h"
#include "output.h"

#include "skimcut/data.h"
#include "skimcut/summary.h"

bool
plan_run(struct call *call)
{
	static struct output output;
	struct work          work;

	if (!work_make(call, &work) || !output_open(&output, NULL, work.inputs, &call->diag))
		return false;
	call->remarks_shown = true;
	if (!call_as(call, "json"))
		summary_print(&work.plan, &call->diag, &output.text);
	else if (!data_json(&work.plan, &call->diag, &output.text))
		return diag_no_memory(&call->diag);
	return output_commit(&output, &call->diag);
}
