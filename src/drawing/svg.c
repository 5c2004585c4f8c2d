#include "skimcut/svg.h"

#include <math.h>

#include "skimcut/markup.h"
#include "skimcut/text.h"

static void number_print(struct text *out, double value, int decimals);
static void attribute(struct text *out, const char *name, double mm);
static void style_print(struct text *out, enum line_kind kind);
static void line_print(const struct svg *svg, enum line_kind kind, double x1, double y1, double x2, double y2);
static void rectangle_print(const struct svg *svg, double left, double top, double right, double bottom);
static void point_print(struct text *out, double x, double y);

/*
 * ISO 128-2: wide lines are twice the narrow ones; a long dash is 24 widths, a dash 12, a gap 3, a dot half a width (from memory).
 * The narrow ones are 0.25 mm.
 */
static const struct style {
	const char *name, *width, *dashes;
} STYLES[] = {
	[LINE_EDGE]    = { "edge", "0.5", NULL },
	[LINE_THIN]    = { "thin", "0.25", NULL },
	[LINE_HIDDEN]  = { "hidden", "0.25", "3 0.75" },
	[LINE_CENTRE]  = { "centre", "0.25", "6 0.75 0.125 0.75" },
	[LINE_OUTLINE] = { "outline", "0.25", "6 0.75 0.125 0.75 0.125 0.75" },
};

static const double HEAD_MM = 2.5, HEAD_HALF_MM = 0.5, DOT_MM = 0.7, ZERO_MM = 1.6, ZIGZAG_MM = 1.5;

double
svg_x(const struct svg *svg, Length x)
{
	return svg->left_mm + scale_mm(svg->across, x);
}

double
svg_y(const struct svg *svg, Length y)
{
	return svg->bottom_mm - scale_mm(svg->up, y);
}

void
svg_begin(const struct svg *svg, const char *id, const char *title, const char *description)
{
	struct text *out = svg->out;

	if (svg->alone)
		text_string(out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
	text_format(out, "<svg%s", svg->alone ? " xmlns=\"http://www.w3.org/2000/svg\"" : "");
	text_string(out, " width=\"");
	number_print(out, svg->width_mm, 2);
	text_string(out, "mm\" height=\"");
	number_print(out, svg->height_mm, 2);
	text_string(out, "mm\" viewBox=\"0 0 ");
	number_print(out, svg->width_mm, 2);
	text_char(out, ' ');
	number_print(out, svg->height_mm, 2);
	text_format(out, "\" id=\"%s\" role=\"img\" aria-labelledby=\"%s-title %s-desc\"", id, id, id);
	attribute(out, "data-left", svg->left_mm);
	attribute(out, "data-bottom", svg->bottom_mm);
	text_format(out, " data-across=\"%s\" data-up=\"%s\"", scale_show(svg->across).text, scale_show(svg->up).text);
	text_string(out, " fill=\"none\" stroke=\"#000\" font-family=\"sans-serif\">\n");
	text_format(out, "<title id=\"%s-title\">", id);
	markup_text(out, title);
	text_format(out, "</title>\n<desc id=\"%s-desc\">", id);
	markup_text(out, description);
	text_string(out, "</desc>\n");
	svg_blank(svg, 0, 0, svg->width_mm, svg->height_mm);
}

void
svg_end(const struct svg *svg)
{
	text_string(svg->out, "</svg>\n");
}

void
svg_group(const struct svg *svg, const char *what)
{
	text_format(svg->out, "<g class=\"%s\">\n", what);
}

void
svg_group_end(const struct svg *svg)
{
	text_string(svg->out, "</g>\n");
}

void
svg_line(const struct svg *svg, enum line_kind kind, Length x1, Length y1, Length x2, Length y2)
{
	svg_paper_line(svg, kind, svg_x(svg, x1), svg_y(svg, y1), svg_x(svg, x2), svg_y(svg, y2));
}

void
svg_box(const struct svg *svg, enum line_kind kind, Length left, Length bottom, Length right, Length top)
{
	svg_paper_box(svg, kind, svg_x(svg, left), svg_y(svg, top), svg_x(svg, right), svg_y(svg, bottom));
}

void
svg_circle(const struct svg *svg, enum line_kind kind, Length x, Length y, Length diameter)
{
	text_string(svg->out, "<circle");
	attribute(svg->out, "cx", svg_x(svg, x));
	attribute(svg->out, "cy", svg_y(svg, y));
	attribute(svg->out, "r", scale_mm(svg->across, diameter) / 2);
	style_print(svg->out, kind);
	text_string(svg->out, "/>\n");
}

void
svg_numbered_line(const struct svg *svg, enum line_kind kind, const char *name, int64_t number, Length x1, Length y1,
                  Length x2, Length y2)
{
	line_print(svg, kind, svg_x(svg, x1), svg_y(svg, y1), svg_x(svg, x2), svg_y(svg, y2));
	text_format(svg->out, " data-%s=\"%lld\"/>\n", name, (long long)number);
}

void
svg_paper_line(const struct svg *svg, enum line_kind kind, double x1, double y1, double x2, double y2)
{
	line_print(svg, kind, x1, y1, x2, y2);
	text_string(svg->out, "/>\n");
}

void
svg_paper_box(const struct svg *svg, enum line_kind kind, double left, double top, double right, double bottom)
{
	rectangle_print(svg, left, top, right, bottom);
	style_print(svg->out, kind);
	text_string(svg->out, "/>\n");
}

void
svg_blank(const struct svg *svg, double left, double top, double right, double bottom)
{
	rectangle_print(svg, left, top, right, bottom);
	text_string(svg->out, " fill=\"#fff\" stroke=\"none\"/>\n");
}

void
svg_break(const struct svg *svg, double x1, double x2, double y)
{
	double       middle = (x1 + x2) / 2;
	struct text *out    = svg->out;

	if (x2 - x1 < 4 * ZIGZAG_MM) {
		svg_paper_line(svg, LINE_THIN, x1, y, x2, y);
		return;
	}
	text_string(out, "<polyline points=\"");
	point_print(out, x1, y);
	point_print(out, middle - ZIGZAG_MM, y);
	point_print(out, middle - ZIGZAG_MM / 2, y - ZIGZAG_MM);
	point_print(out, middle + ZIGZAG_MM / 2, y + ZIGZAG_MM);
	point_print(out, middle + ZIGZAG_MM, y);
	point_print(out, x2, y);
	text_char(out, '"');
	style_print(out, LINE_THIN);
	text_string(out, "/>\n");
}

void
svg_arrow(const struct svg *svg, double x, double y, double dx, double dy)
{
	double       length = hypot(dx, dy), along_x = dx / length, along_y = dy / length;
	double       back_x = x - HEAD_MM * along_x, back_y = y - HEAD_MM * along_y;
	struct text *out = svg->out;

	text_string(out, "<polygon points=\"");
	point_print(out, x, y);
	point_print(out, back_x - HEAD_HALF_MM * along_y, back_y + HEAD_HALF_MM * along_x);
	point_print(out, back_x + HEAD_HALF_MM * along_y, back_y - HEAD_HALF_MM * along_x);
	text_string(out, "\" fill=\"#000\" stroke=\"none\"/>\n");
}

void
svg_dot(const struct svg *svg, double x, double y)
{
	text_string(svg->out, "<circle");
	attribute(svg->out, "cx", x);
	attribute(svg->out, "cy", y);
	attribute(svg->out, "r", DOT_MM);
	text_string(svg->out, " fill=\"#fff\" stroke-width=\"0.25\"/>\n");
}

void
svg_zero(const struct svg *svg, double x, double y)
{
	struct text *out = svg->out;

	text_string(out, "<circle class=\"zero\"");
	attribute(out, "cx", x);
	attribute(out, "cy", y);
	attribute(out, "r", ZERO_MM);
	text_string(out, " fill=\"#fff\" stroke-width=\"0.25\"/>\n");
	for (int side = 1; side >= -1; side -= 2) {
		text_string(out, "<path d=\"M ");
		point_print(out, x, y);
		text_string(out, "L ");
		point_print(out, x, y - side * ZERO_MM);
		text_format(out, "A %.1f %.1f 0 0 1 ", ZERO_MM, ZERO_MM);
		point_print(out, x + side * ZERO_MM, y);
		text_string(out, "Z\" fill=\"#000\" stroke=\"none\"/>\n");
	}
}

void
svg_text(const struct svg *svg, double x, double y, const char *anchor, double height_mm, const char *string)
{
	struct text *out = svg->out;

	text_string(out, "<text x=\"");
	number_print(out, x, 2);
	text_string(out, "\" y=\"");
	number_print(out, y, 2);
	text_string(out, "\" font-size=\"");
	number_print(out, height_mm * SVG_EM, 2);
	text_format(out, "\" text-anchor=\"%s\" fill=\"#000\" stroke=\"none\">", anchor);
	markup_text(out, string);
	text_string(out, "</text>\n");
}

/* No locale, and the same digits everywhere. */
static void
number_print(struct text *out, double value, int decimals)
{
	const int64_t unit = decimals == 2 ? 100 : 10000;
	char          digits[DECIMAL_MAX];

	text_bytes(out, digits, decimal_print(digits, llround(value * (double)unit), unit, decimals));
}

static void
attribute(struct text *out, const char *name, double mm)
{
	text_format(out, " %s=\"", name);
	number_print(out, mm, 4);
	text_char(out, '"');
}

static void
style_print(struct text *out, enum line_kind kind)
{
	const struct style *style = &STYLES[kind];

	text_format(out, " class=\"%s\" stroke-width=\"%s\"", style->name, style->width);
	if (style->dashes)
		text_format(out, " stroke-dasharray=\"%s\"", style->dashes);
}

static void
line_print(const struct svg *svg, enum line_kind kind, double x1, double y1, double x2, double y2)
{
	text_string(svg->out, "<line");
	attribute(svg->out, "x1", x1);
	attribute(svg->out, "y1", y1);
	attribute(svg->out, "x2", x2);
	attribute(svg->out, "y2", y2);
	style_print(svg->out, kind);
}

static void
rectangle_print(const struct svg *svg, double left, double top, double right, double bottom)
{
	text_string(svg->out, "<rect");
	attribute(svg->out, "x", left);
	attribute(svg->out, "y", top);
	attribute(svg->out, "width", right - left);
	attribute(svg->out, "height", bottom - top);
}

static void
point_print(struct text *out, double x, double y)
{
	number_print(out, x, 4);
	text_char(out, ',');
	number_print(out, y, 4);
	text_char(out, ' ');
}
