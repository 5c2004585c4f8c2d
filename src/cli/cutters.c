#include "call.h"
#include "output.h"

#include "skimcut/ranking.h"
#include "skimcut/standings.h"

bool
cutters_run(struct call *call)
{
	static struct output output;
	struct work          work;
	struct ranking       ranking;
	struct grid          grid;

	if (!work_read(call, &work))
		return false;
	grid = dialect_grid(&work.dialect, work.job.units);
	if (!ranking_make(&work.job, grid, &call->arena, &ranking))
		return diag_no_memory(&call->diag);
	if (!output_open(&output, NULL, work.inputs, &call->diag))
		return false;
	if (!call_as(call, "json"))
		standings_print(&work.job, &ranking, &output.text);
	else if (!standings_json(&work.job, &ranking, &output.text))
		return diag_no_memory(&call->diag);
	if (!output_commit(&output, &call->diag))
		return false;
	if (ranking.ranks[0].fitness == FITNESS_REFUSED)
		return diag_add(&call->diag, SEVERITY_REFUSED, schema_place(&work.job.bound, "cutters"),
		                "no cutter can do this job; the list says why of each");
	return true;
}
