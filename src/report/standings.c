#include "skimcut/standings.h"

#include <math.h>

#include "skimcut/cutter.h"
#include "skimcut/json.h"
#include "skimcut/paper.h"
#include "skimcut/ranking.h"
#include "skimcut/text.h"

enum { SCHEMA = 1, INDENT = 2, DIGITS = 12 };

static const char *const FITNESS_KEYS[] = { [FITNESS_COVERS]   = "covers",
	                                    [FITNESS_OVERSIZE] = "oversize",
	                                    [FITNESS_PASSES]   = "passes",
	                                    [FITNESS_REFUSED]  = "refused" };

static void        rank_print(size_t place, const struct rank *rank, struct text *out);
static void        way_print(const struct rank *rank, struct text *out);
static void        figures_print(const struct rank *rank, struct text *out);
static void        warnings_print(const struct rank *rank, struct text *out);
static const char *refusal(const struct rank *rank);
static json_t     *rank_json(size_t place, const struct rank *rank);
static json_t     *with_figures(json_t *json, const struct rank *rank);
static json_t     *warnings_json(const struct rank *rank);
static json_t     *known_json(bool known, double value);

void
standings_print(const struct job *job, const struct ranking *ranking, struct text *out)
{
	text_format(out, "%-*s", PAPER_MARGIN, "CUTTERS");
	text_clean(out, job->title, PAPER_COLUMNS - PAPER_MARGIN);
	text_char(out, '\n');
	text_repeat(out, '=', PAPER_COLUMNS);
	text_char(out, '\n');
	for (size_t i = 0; i < ranking->count; i++)
		rank_print(i + 1, &ranking->ranks[i], out);
	text_char(out, '\n');
	paper_paragraph(
	    out, "Order",
	    "one that covers the width in one pass is best, the smallest of these first; up to an inch or half the "
	    "width larger, whichever is more, is usual, and beyond that it shakes and wears for nothing; then those "
	    "that take several "
	    "passes, the quickest first.");
}

bool
standings_json(const struct job *job, const struct ranking *ranking, struct text *out)
{
	json_t *ranks = json_array();

	for (size_t i = 0; i < ranking->count; i++)
		ranks = json_add(ranks, rank_json(i + 1, &ranking->ranks[i]));
	return json_print(json_make((const struct member[]){
			      { "schema", json_integer(SCHEMA) },
			      { "title", json_text(job->title) },
			      { "cutters", ranks },
			      JSON_END,
			  }),
	                  INDENT, DIGITS, out);
}

static void
rank_print(size_t place, const struct rank *rank, struct text *out)
{
	char        label[24];
	struct text text = text_over(label, sizeof label);

	text_format(&text, "%10zu", place);
	paper_paragraph(out, text_end(&text), "%.200s", rank->cutter->bound.name);
	if (rank->fitness == FITNESS_REFUSED) {
		paper_paragraph(out, "", "refused: %.600s", refusal(rank));
		return;
	}
	way_print(rank, out);
	figures_print(rank, out);
	warnings_print(rank, out);
}

static void
way_print(const struct rank *rank, struct text *out)
{
	const struct layout *layout = &rank->plan.layout;
	const struct stock  *stock  = &rank->plan.job->stock;
	enum units           units  = rank->plan.job->units;
	Length               width  = layout->along == ALONG_X ? stock->width : stock->length;
	const char          *along  = layout->along == ALONG_X ? "X" : "Y";

	if (layout->passes == 1)
		paper_paragraph(out, "", "covers %s along %s in one pass, %s to spare%s",
		                length_show(width, units).text, along,
		                length_show(rank->cutter->diameter - width, units).text,
		                rank->fitness == FITNESS_OVERSIZE ? ": oversize" : "");
	else
		paper_paragraph(out, "", "takes %lld passes of %s along %s", (long long)layout->passes,
		                length_show(layout->taken, units).text, along);
}

static void
figures_print(const struct rank *rank, struct text *out)
{
	const struct weights *weights = &rank->weights;
	char                  room[160];
	struct text           text  = text_over(room, sizeof room);
	enum units            units = rank->plan.job->units;

	text_format(&text, "%s in all; ", paper_duration(clock_total_s(&rank->clock)).text);
	if (weights->available_w > 0)
		text_format(&text, "%.0f %% of the motor; ", 100 * weights->share);
	if (weights->grip.force_known && isfinite(margins_least(&weights->margins)))
		text_format(&text, "holds %.1f times its force; ", down_to_tenths(margins_least(&weights->margins)));
	if (weights->roughness.known)
		text_format(&text, "Ra %s to %s in theory", surface_show(weights->roughness.ra_level_um, units).text,
		            surface_show(weights->roughness.ra_proud_um, units).text);
	else
		text_format(&text, "surface not known");
	paper_paragraph(out, "", "%s", text_end(&text));
}

static void
warnings_print(const struct rank *rank, struct text *out)
{
	for (const struct message *message = rank->diag.first; message; message = message->next)
		if (message->severity == SEVERITY_WARNING)
			paper_paragraph(out, "", "! %.600s", message->text);
}

static const char *
refusal(const struct rank *rank)
{
	for (const struct message *message = rank->diag.first; message; message = message->next)
		if (message->severity >= SEVERITY_REFUSED)
			return message->text;
	return "";
}

static json_t *
rank_json(size_t place, const struct rank *rank)
{
	json_t *json = json_make((const struct member[]){
	    { "place", json_integer((json_int_t)place) },
	    { "name", json_text(rank->cutter->bound.name) },
	    { "fitness", json_string(FITNESS_KEYS[rank->fitness]) },
	    { "diameter_mm", json_real((double)rank->cutter->diameter / LENGTH_MM) },
	    JSON_END,
	});

	if (rank->fitness == FITNESS_REFUSED)
		return json_with(json, "reason", json_text(refusal(rank)));
	return with_figures(json, rank);
}

static json_t *
with_figures(json_t *json, const struct rank *rank)
{
	const struct weights   *weights = &rank->weights;
	const struct roughness *surface = &weights->roughness;
	double                  power_w = weights->rough_depth > 0 ? weights->rough.power_w : weights->skim.power_w;

	json = json_with(json, "passes", json_integer((json_int_t)rank->plan.layout.passes));
	json = json_with(json, "along", json_string(rank->plan.layout.along == ALONG_X ? "x" : "y"));
	json = json_with(json, "time_s", json_real(clock_total_s(&rank->clock)));
	json = json_with(json, "power_w", json_real(power_w));
	json = json_with(json, "motor_share", known_json(weights->available_w > 0, weights->share));
	json = json_with(json, "holding_margin",
	                 known_json(weights->grip.force_known, margins_least(&weights->margins)));
	json = json_with(json, "ra_level_um", known_json(surface->known, surface->ra_level_um));
	json = json_with(json, "ra_proud_um", known_json(surface->known, surface->ra_proud_um));
	return json_with(json, "warnings", warnings_json(rank));
}

static json_t *
warnings_json(const struct rank *rank)
{
	json_t *warnings = json_array();

	for (const struct message *message = rank->diag.first; message; message = message->next)
		if (message->severity == SEVERITY_WARNING)
			warnings = json_add(warnings, json_text(message->text));
	return warnings;
}

static json_t *
known_json(bool known, double value)
{
	return known && isfinite(value) ? json_real(value) : json_null();
}
