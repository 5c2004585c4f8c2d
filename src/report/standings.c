#include "skimcut/standings.h"

#include <jansson.h>
#include <math.h>

#include "skimcut/cutter.h"
#include "skimcut/paper.h"
#include "skimcut/ranking.h"
#include "skimcut/text.h"

enum { SCHEMA = 1, TEXT_BYTES = 4096 };

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
static json_t     *known_json(bool known, double value);
static json_t     *text_json(const char *string);
static int         json_take(const char *buffer, size_t size, void *out);

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
	json_t *ranks = json_array(), *root;
	bool    done  = ranks != NULL;

	for (size_t i = 0; i < ranking->count; i++)
		done &= json_array_append_new(ranks, rank_json(i + 1, &ranking->ranks[i])) == 0;
	root = json_pack("{s:i, s:o, s:o}", "schema", SCHEMA, "title", text_json(job->title), "cutters", ranks);
	done &= root && json_dump_callback(root, json_take, out, JSON_INDENT(2) | JSON_REAL_PRECISION(12)) == 0;
	json_decref(root);
	text_char(out, '\n');
	return done;
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
	const struct weights *weights = &rank->weights;
	json_t               *json    = json_pack("{s:i, s:o, s:s, s:f}", "place", (int)place, "name",
	                                          text_json(rank->cutter->bound.name), "fitness", FITNESS_KEYS[rank->fitness],
	                                          "diameter_mm", (double)rank->cutter->diameter / LENGTH_MM);
	json_t               *warnings;

	if (rank->fitness == FITNESS_REFUSED) {
		json_object_set_new(json, "reason", text_json(refusal(rank)));
		return json;
	}
	warnings = json_array();
	for (const struct message *message = rank->diag.first; message; message = message->next)
		if (message->severity == SEVERITY_WARNING)
			json_array_append_new(warnings, text_json(message->text));
	json_object_set_new(json, "passes", json_integer((json_int_t)rank->plan.layout.passes));
	json_object_set_new(json, "along", json_string(rank->plan.layout.along == ALONG_X ? "x" : "y"));
	json_object_set_new(json, "time_s", json_real(clock_total_s(&rank->clock)));
	json_object_set_new(json, "power_w",
	                    json_real(weights->rough_depth > 0 ? weights->rough.power_w : weights->skim.power_w));
	json_object_set_new(json, "motor_share", known_json(weights->available_w > 0, weights->share));
	json_object_set_new(json, "holding_margin",
	                    known_json(weights->grip.force_known, margins_least(&weights->margins)));
	json_object_set_new(json, "ra_level_um", known_json(weights->roughness.known, weights->roughness.ra_level_um));
	json_object_set_new(json, "ra_proud_um", known_json(weights->roughness.known, weights->roughness.ra_proud_um));
	json_object_set_new(json, "warnings", warnings);
	return json;
}

static json_t *
known_json(bool known, double value)
{
	return known && isfinite(value) ? json_real(value) : json_null();
}

/* JSON is UTF-8, and so is what libyaml lets through; control characters become blanks. */
static json_t *
text_json(const char *string)
{
	char        room[TEXT_BYTES];
	struct text text = text_over(room, sizeof room);

	text_clean(&text, string, TEXT_BYTES / 4 - 1);
	return json_string(text_end(&text));
}

static int
json_take(const char *buffer, size_t size, void *out)
{
	text_bytes(out, buffer, size);
	return 0;
}
