#include "call.h"
#include "output.h"

#include "skimcut/contract.h"

bool
schema_run(struct call *call)
{
	static struct output output;
	const char          *nothing[] = { NULL };

	if (!output_open(&output, NULL, nothing, &call->diag))
		return false;
	if (!contract_json(&output.text))
		return diag_no_memory(&call->diag);
	return output_commit(&output, &call->diag);
}
