#include "skimcut/finding.h"

#include "skimcut/text.h"

const char *const PROPERTY_NAMES[PROPERTIES] = {
	[PROPERTY_FACE]     = "the whole face comes to its height",
	[PROPERTY_FLOOR]    = "nothing is cut below it",
	[PROPERTY_CUTS]     = "cuts are no deeper or wider than allowed, a skim last",
	[PROPERTY_RAPIDS]   = "no rapid meets material",
	[PROPERTY_DESCENTS] = "no descent onto material",
	[PROPERTY_HOLDING]  = "clear of jaws, parallels, clamps and table",
	[PROPERTY_SWITCHES] = "spindle, feed, coolant and stops in order",
	[PROPERTY_MILLING]  = "milled the way that was asked for",
	[PROPERTY_MACHINE]  = "within the machine, no faster than the job",
	[PROPERTY_WORDS]    = "every word is one of the dialect",
};

const char *const PROPERTY_KEYS[PROPERTIES] = {
	[PROPERTY_FACE] = "face",         [PROPERTY_FLOOR] = "floor",       [PROPERTY_CUTS] = "cuts",
	[PROPERTY_RAPIDS] = "rapids",     [PROPERTY_DESCENTS] = "descents", [PROPERTY_HOLDING] = "holding",
	[PROPERTY_SWITCHES] = "switches", [PROPERTY_MILLING] = "milling",   [PROPERTY_MACHINE] = "machine",
	[PROPERTY_WORDS] = "words",
};

void
findings_refuse(struct findings *findings, enum property property, const struct point *at, Length amount,
                const char *format, ...)
{
	struct finding *finding = &findings->of[property];
	struct text     text    = text_over(finding->text, sizeof finding->text);
	va_list         values;

	if (finding->count++ > 0 && (findings->line != finding->line || amount <= finding->amount))
		return;
	finding->found  = FOUND_REFUSED;
	finding->line   = findings->line;
	finding->amount = amount;
	finding->placed = at != NULL;
	va_start(values, format);
	text_formatv(&text, format, values);
	va_end(values);
	if (at) {
		finding->placed = true;
		finding->at     = (struct point){ at->x - findings->zero.x, at->y - findings->zero.y, 0 };
		text_format(&text, " at X%s Y%s", length_figure(finding->at.x, findings->units).text,
		            length_figure(finding->at.y, findings->units).text);
	}
	text_end(&text);
}
