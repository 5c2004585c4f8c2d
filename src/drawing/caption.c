#include "skimcut/caption.h"

#include <stdbool.h>

#include "skimcut/label.h"
#include "skimcut/text.h"

static const double MARGIN_MM = 2, SAMPLE_MM = 16;

double
caption_top(const struct svg *svg, int rows)
{
	return svg->height_mm - rows * LABEL_ROW_MM - MARGIN_MM;
}

struct caption
caption_begin(const struct svg *svg, int rows)
{
	return (struct caption){ svg, caption_top(svg, rows) + LABEL_TEXT_MM + 1 };
}

void
caption_row(struct caption *caption, const char *words)
{
	label_draw(caption->svg, MARGIN_MM, caption->base, "start", words);
	caption->base += LABEL_ROW_MM;
}

void
caption_legend(struct caption *caption, enum line_kind kind, const char *words)
{
	double level = caption->base - LABEL_TEXT_MM / 2;

	svg_paper_line(caption->svg, kind, MARGIN_MM, level, MARGIN_MM + SAMPLE_MM, level);
	label_draw(caption->svg, MARGIN_MM + SAMPLE_MM + 2, caption->base, "start", words);
	caption->base += LABEL_ROW_MM;
}

struct shown
caption_ordinal(int64_t number)
{
	static const char *const ENDS[] = { "th", "st", "nd", "rd" };

	struct shown shown = { "" };
	struct text  text  = text_over(shown.text, sizeof shown.text);
	bool         teen  = number / 10 % 10 == 1;

	text_format(&text, "%lld%s", (long long)number, ENDS[!teen && number % 10 < 4 ? number % 10 : 0]);
	text_end(&text);
	return shown;
}
