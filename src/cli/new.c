#include "call.h"
#include "output.h"

#include <string.h>

#include "skimcut/shipped.h"
#include "skimcut/text.h"

bool
new_run(struct call *call)
{
	static struct output  output;
	const char           *nothing[] = { NULL }, *wanted = call->units == UNITS_MM ? "mm" : "inch";
	const struct shipped *starter = SHIPPED_STARTERS;

	while (strcmp(starter->name, wanted) != 0)
		starter++;
	if (!output_open(&output, NULL, nothing, &call->diag))
		return false;
	text_string(&output.text, starter->text);
	return output_commit(&output, &call->diag);
}
