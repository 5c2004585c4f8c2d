#include "call.h"
#include "output.h"

#include <string.h>

#include "skimcut/materials.h"
#include "skimcut/shipped.h"
#include "skimcut/text.h"

struct topic {
	const char *name;
	bool (*print)(struct call *call, struct text *out);
};

static bool posts_print(struct call *call, struct text *out);
static bool materials_print(struct call *call, struct text *out);
static void starting_print(const struct starting *starting, struct text *out);

static const struct topic TOPICS[] = { { "posts", posts_print }, { "materials", materials_print } };

bool
list_run(struct call *call)
{
	static struct output output;
	const char          *nothing[] = { NULL };

	for (size_t i = 0; i < sizeof TOPICS / sizeof TOPICS[0]; i++)
		if (strcmp(TOPICS[i].name, call->operands[0]) == 0)
			return output_open(&output, NULL, nothing, &call->diag) &&
			       TOPICS[i].print(call, &output.text) && output_commit(&output, &call->diag);
	return diag_add(&call->diag, SEVERITY_ERROR, (struct place){ 0 },
	                "there is nothing to list called '%.40s'; posts or materials", call->operands[0]);
}

static bool
posts_print(struct call *call, struct text *out)
{
	for (const struct shipped *shipped = SHIPPED_DIALECTS; shipped->name; shipped++) {
		struct source *source = shipped_source(shipped, call);
		struct dialect dialect;

		if (!source || !dialect_read(source, &call->arena, &dialect, &call->diag))
			return false;
		text_format(out, "%-12s%s\n", shipped->name, dialect.about);
	}
	return true;
}

/* Both systems of units: a table is for looking at. */
static bool
materials_print(struct call *call, struct text *out)
{
	(void)call;
	text_format(out, "%-20s%-5s%-29s%s\n", "", "ISO", "carbide", "high-speed steel");
	text_format(out, "%-20s%-5s%6s%7s%6s%8s  %6s%7s%6s%8s\n", "material", "513", "m/min", "ft/min", "mm", "in",
	            "m/min", "ft/min", "mm", "in");
	for (size_t i = 0; i < materials_count(); i++) {
		struct material material = materials_at(i);

		text_format(out, "%-20s%-5c", material.name, material.group);
		starting_print(&material.with[EDGE_CARBIDE], out);
		text_string(out, "  ");
		starting_print(&material.with[EDGE_HSS], out);
		text_char(out, '\n');
	}
	text_string(out, "\nStarting values, cutting speed and feed per tooth, from the slow end of handbook ranges.\n"
	                 "The maker's figures for the very cutter come before them.\n");
	return true;
}

static void
starting_print(const struct starting *starting, struct text *out)
{
	char metres[DECIMAL_MAX], feet[DECIMAL_MAX], mm[DECIMAL_MAX], inches[DECIMAL_MAX];

	if (starting->vc == 0) {
		text_format(out, "%27s", "not advised");
		return;
	}
	decimal_print(metres, starting->vc, 1000 * LENGTH_MM, 0);
	decimal_print(feet, starting->vc, LENGTH_FOOT, 0);
	decimal_print(mm, starting->fz, LENGTH_MM, 2);
	decimal_print(inches, starting->fz, LENGTH_INCH, 4);
	text_format(out, "%6s%7s%6s%8s", metres, feet, mm, inches);
}
