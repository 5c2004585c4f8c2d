#include "call.h"
#include "output.h"

#include "skimcut/summary.h"

bool
plan_run(struct call *call)
{
	static struct output output;
	struct work          work;

	if (call->json)
		return diag_add(&call->diag, SEVERITY_ERROR, (struct place){ 0 },
		                "--as json is for 'prove'; a plan is printed as text");
	if (!work_make(call, &work) || !output_open(&output, NULL, work.inputs, &call->diag))
		return false;
	summary_print(&work.plan, &call->diag, &output.text);
	call->remarks_shown = true;
	return output_commit(&output, &call->diag);
}
