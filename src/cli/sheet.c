#include "call.h"
#include "output.h"

#include "skimcut/sheet.h"
#include "skimcut/topview.h"

bool
sheet_run(struct call *call)
{
	static struct output output;
	struct work          work;

	if (!work_make(call, &work) || !output_open(&output, call->output, work.inputs, &call->diag))
		return false;
	if (call_as(call, "svg")) {
		topview_draw(&work.plan, true, &output.text);
	} else {
		sheet_print(&work.plan, &call->diag, call->operands[0], &output.text);
		call->remarks_shown = true;
	}
	return output_commit(&output, &call->diag);
}
