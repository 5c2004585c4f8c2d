#include "skimcut/verdict.h"

#include "skimcut/json.h"
#include "skimcut/paper.h"
#include "skimcut/text.h"
#include "skimcut/trial.h"

enum { SCHEMA = 1, INDENT = 2, DIGITS = 12, PROPERTY_COLUMNS = 62 };

struct assumption {
	enum assumed what;
	const char  *key, *text;
};

static const struct assumption ASSUMPTIONS[] = {
	{ ASSUMED_NOTHING_BY, "nothing-beside",
	  "nothing stands up beside the stock: the job tells of no vise and no clamps" },
	{ ASSUMED_NO_LIMITS, "no-machine", "the machine can do all this: the job describes none" },
	{ ASSUMED_CHANGE_ABOVE, "tool-change-above",
	  "the machine changes tools, and homes Z, above everything that stands up" },
	{ ASSUMED_HOME_AS_TOLD, "home-as-told", "G28 and G30 move only the axes that they name" },
	{ ASSUMED_BLOCKS_RUN, "deleted-blocks-run", "the switch for blocks that begin with / is off, so they are run" },
	{ ASSUMED_TOOL_IS_IN, "tool-is-in", "the program calls no tool, so the job's is in the spindle" },
	{ ASSUMED_NO_OFFSET, "work-offset",
	  "the program names no work offset, so the machine's own zero is the job's" },
	{ ASSUMED_MODES, "usual-modes",
	  "the program does not tell all of G17, G40, G90 and G94, so the machine starts with them" },
};

static const char *const FOUND_WORDS[] = {
	[FOUND_HOLDS] = "holds", [FOUND_REFUSED] = "refused", [FOUND_OPEN] = "open"
};

static void    finding_print(int number, const char *name, const struct finding *finding, struct text *out);
static void    figures_print(const struct trial *trial, struct text *out);
static json_t *property_json(int property, const struct finding *finding, enum units units);
static json_t *figures_json(const struct trial *trial);
static json_t *assumed_json(unsigned assumed);
static double  conventional_share(const struct proof *proof);

void
verdict_print(const struct trial *trial, const char *program, const char *job, struct text *out)
{
	const struct proof *proof   = &trial->proof;
	int                 refused = 0, open = 0;

	paper_paragraph(out, "PROOF", "%.200s, against %.200s", program, job);
	text_repeat(out, '=', PAPER_COLUMNS);
	text_char(out, '\n');
	for (int i = 0; i < PROPERTIES; i++) {
		finding_print(i + 1, PROPERTY_NAMES[i], &proof->findings.of[i], out);
		refused += proof->findings.of[i].found == FOUND_REFUSED;
		open += proof->findings.of[i].found == FOUND_OPEN;
	}
	text_char(out, '\n');
	figures_print(trial, out);
	for (size_t i = 0; i < sizeof ASSUMPTIONS / sizeof ASSUMPTIONS[0]; i++)
		if (proof->assumed & ASSUMPTIONS[i].what)
			paper_paragraph(out, "For granted", "%s.", ASSUMPTIONS[i].text);
	text_char(out, '\n');
	if (proof_holds(proof))
		paper_paragraph(
		    out, "PROVED",
		    "on paper: the job's figures were believed, and nobody has seen the machine. Run it above "
		    "the work first, with a hand on the stop.");
	else if (open > 0)
		paper_paragraph(out, "NOT PROVED", "%d refused, and %d open because the program could not be read on.",
		                refused, open);
	else
		paper_paragraph(out, "NOT PROVED", "%d of %d refused%s.", refused, PROPERTIES,
		                proof->carve.full
		                    ? "; what is left of the stock became too intricate to be followed, so it "
		                      "may be less than it seems"
		                    : "");
}

bool
verdict_json(const struct trial *trial, const char *program, const char *job, struct text *out)
{
	const struct proof *proof      = &trial->proof;
	enum units          units      = trial->demand.units;
	json_t             *properties = json_array();

	for (int i = 0; i < PROPERTIES; i++)
		properties = json_add(properties, property_json(i, &proof->findings.of[i], units));
	return json_print(json_make((const struct member[]){
			      { "schema", json_integer(SCHEMA) },
			      { "program", json_text(program) },
			      { "job", json_text(job) },
			      { "proved", json_boolean(proof_holds(proof)) },
			      { "units", json_string(job_word(UNITS_WORDS, (int)units)) },
			      { "properties", properties },
			      { "figures", figures_json(trial) },
			      { "assumed", assumed_json(proof->assumed) },
			      JSON_END,
			  }),
	                  INDENT, DIGITS, out);
}

static void
finding_print(int number, const char *name, const struct finding *finding, struct text *out)
{
	text_format(out, "%3d  %-*s", number, PROPERTY_COLUMNS, name);
	text_string(out, finding->found == FOUND_REFUSED ? "REFUSED" : FOUND_WORDS[finding->found]);
	text_char(out, '\n');
	if (finding->found != FOUND_REFUSED)
		return;
	if (finding->line > 0)
		paper_paragraph(out, "", "line %zu: %s", finding->line, finding->text);
	else
		paper_paragraph(out, "", "%s", finding->text);
	if (finding->count > 1)
		paper_paragraph(out, "", "and %llu more like it", (unsigned long long)finding->count - 1);
}

static void
figures_print(const struct trial *trial, struct text *out)
{
	const struct proof *proof = &trial->proof;
	bool                inch  = trial->demand.units == UNITS_INCH;
	double              air_s = proof->clock.feed_s - proof->cutting.cut_s;

	paper_paragraph(out, "Time", "%s in the cut, %s at feed in air, %s at rapid; %lld stop%s not counted",
	                paper_duration(proof->cutting.cut_s).text, paper_duration(air_s > 0 ? air_s : 0).text,
	                paper_duration(proof->clock.rapid_s).text, (long long)proof->clock.stops,
	                proof->clock.stops == 1 ? "" : "s");
	if (proof->cutting.levels > 0) {
		paper_paragraph(out, "Comes off", "%.*f %s in %lld cut%s, the deepest %s", inch ? 3 : 2,
		                proof->cutting.volume_mm3 / (inch ? 16387.064 : 1000), inch ? "in3" : "cm3",
		                (long long)proof->cutting.levels, proof->cutting.levels == 1 ? "" : "s",
		                length_show(proof->cutting.deepest, trial->demand.units).text);
		paper_paragraph(out, "Milling", "%.0f %% of the area conventional", 100 * conventional_share(proof));
	}
	paper_paragraph(out, "Program", "%llu bytes, %zu lines", (unsigned long long)trial->reader.bytes,
	                trial->reader.line);
}

static json_t *
property_json(int property, const struct finding *finding, enum units units)
{
	const double one  = (double)units_length(units);
	json_t      *json = json_make((const struct member[]){
		 { "number", json_integer(property + 1) },
		 { "name", json_string(PROPERTY_KEYS[property]) },
		 { "found", json_string(FOUND_WORDS[finding->found]) },
		 JSON_END,
        });

	if (finding->found != FOUND_REFUSED)
		return json;
	json = json_with(json, "message", json_text(finding->text));
	json = json_with(json, "count", json_integer((json_int_t)finding->count));
	json = json_with(json, "amount", json_real((double)finding->amount / one));
	if (finding->line > 0)
		json = json_with(json, "line", json_integer((json_int_t)finding->line));
	if (finding->column > 0)
		json = json_with(json, "column", json_integer((json_int_t)finding->column));
	if (finding->placed)
		json = json_with(json, "at",
		                 json_make((const struct member[]){
				     { "x", json_real((double)finding->at.x / one) },
				     { "y", json_real((double)finding->at.y / one) },
				     JSON_END,
				 }));
	return json;
}

static json_t *
figures_json(const struct trial *trial)
{
	const struct proof   *proof   = &trial->proof;
	const struct cutting *cutting = &proof->cutting;

	return json_make((const struct member[]){
	    { "cut_s", json_real(cutting->cut_s) },
	    { "air_s", json_real(proof->clock.feed_s - cutting->cut_s) },
	    { "rapid_s", json_real(proof->clock.rapid_s) },
	    { "stops", json_integer((json_int_t)proof->clock.stops) },
	    { "removed_mm3", json_real(cutting->volume_mm3) },
	    { "cuts", json_integer((json_int_t)cutting->levels) },
	    { "deepest_mm", json_real((double)cutting->deepest / LENGTH_MM) },
	    { "conventional_share", json_real(conventional_share(proof)) },
	    { "bytes", json_integer((json_int_t)trial->reader.bytes) },
	    { "lines", json_integer((json_int_t)trial->reader.line) },
	    JSON_END,
	});
}

static json_t *
assumed_json(unsigned assumed)
{
	json_t *json = json_array();

	for (size_t i = 0; i < sizeof ASSUMPTIONS / sizeof ASSUMPTIONS[0]; i++)
		if (assumed & ASSUMPTIONS[i].what)
			json = json_add(json, json_string(ASSUMPTIONS[i].key));
	return json;
}

/* 0 when nothing was cut. */
static double
conventional_share(const struct proof *proof)
{
	double all = proof->cutting.conventional_mm2 + proof->cutting.climb_mm2;

	return all > 0 ? proof->cutting.conventional_mm2 / all : 0;
}
