#include "skimcut/rows.h"

#include <math.h>

#include "skimcut/amount.h"
#include "skimcut/chips.h"
#include "skimcut/clock.h"
#include "skimcut/dial.h"
#include "skimcut/handwork.h"
#include "skimcut/path.h"
#include "skimcut/plan.h"
#include "skimcut/text.h"
#include "skimcut/wording.h"

enum { SENTENCE_BYTES = 4096 };

typedef bool Sentence(const struct plan *plan, size_t index, struct text *out);

static json_t *cut_json(const struct plan *plan, size_t index, double feed_s, double rapid_s);
static json_t *knee_json(const struct plan *plan, size_t cut);
static json_t *pass_json(const struct plan *plan, int64_t index);
static json_t *chips_json(const struct plan *plan, int64_t pass);
static json_t *direction_json(double x);
static json_t *sides_json(unsigned sides);
static json_t *across_json(const struct plan *plan, int64_t pass);
static json_t *reading_json(const struct reading *reading, const char *words);
static json_t *sentences_json(const struct plan *plan, Sentence *sentence);
static json_t *feeding_json(const struct plan *plan, bool skim);
static json_t *dial_json(const struct plan *plan, const struct dial *dial);

/* The path is walked once; every cut begins with its note. */
json_t *
rows_cuts(const struct plan *plan, struct clock *clock)
{
	struct clock before = *clock;
	json_t      *cuts   = json_array();
	size_t       notes  = 0;
	struct path  path;
	struct step  step;

	path_start(&path, plan);
	while (path_next(&path, &step)) {
		clock_take(clock, &step);
		if (step.kind != STEP_NOTE && step.kind != STEP_END)
			continue;
		if (notes > 0)
			cuts = json_add(cuts, cut_json(plan, notes - 1, clock->feed_s - before.feed_s,
			                               clock->rapid_s - before.rapid_s));
		before = *clock;
		notes++;
	}
	return cuts;
}

json_t *
rows_passes(const struct plan *plan)
{
	json_t *passes = json_array();

	for (int64_t i = 0; i < plan->layout.passes; i++)
		passes = json_add(passes, pass_json(plan, i));
	return passes;
}

json_t *
rows_handwork(const struct plan *plan)
{
	if (!handwork_wanted(plan))
		return json_null();
	return json_make((const struct member[]){
	    { "before", sentences_json(plan, handwork_before) },
	    { "stop",
	      plan_first_stop(plan) < plan->schedule.count ? sentences_json(plan, handwork_stop) : json_array() },
	    { "between", sentences_json(plan, handwork_between) },
	    { "rough", feeding_json(plan, false) },
	    { "skim", feeding_json(plan, true) },
	    { "knee", dial_json(plan, &plan->job->machine.dials.knee) },
	    { "across", dial_json(plan, dial_across(&plan->job->machine, plan->layout.along)) },
	    JSON_END,
	});
}

static json_t *
cut_json(const struct plan *plan, size_t index, double feed_s, double rapid_s)
{
	enum units        units = plan->job->units;
	const struct cut *cut   = &plan->schedule.cuts[index];

	return json_make((const struct member[]){
	    { "number", json_integer((json_int_t)index + 1) },
	    { "kind", json_string(wording_kind(cut->kind)) },
	    { "depth", amount_length(cut->top - cut->floor, units) },
	    { "height", amount_length(cut->floor, units) },
	    { "z", amount_length(cut->floor - plan->zero.z, units) },
	    { "left", amount_length(cut->floor - plan->final, units) },
	    { "feed_s", json_figure(feed_s) },
	    { "rapid_s", json_figure(rapid_s) },
	    { "stop_after", json_boolean(plan_stops_after(plan, index)) },
	    { "up", handwork_wanted(plan) ? amount_length(handwork_up(plan, index), units) : json_null() },
	    { "knee", knee_json(plan, index) },
	    JSON_END,
	});
}

static json_t *
knee_json(const struct plan *plan, size_t cut)
{
	struct reading reading;

	if (!handwork_wanted(plan) || plan->job->machine.dials.knee.per_turn == 0)
		return json_null();
	reading = handwork_knee(plan, cut);
	return reading_json(&reading, dial_show(&reading).text);
}

static json_t *
pass_json(const struct plan *plan, int64_t index)
{
	const struct point zero  = plan->zero;
	enum units         units = plan->job->units;
	struct pass        pass  = layout_pass(&plan->layout, index);
	struct strip       strip = plan_strip(plan, index);
	bool               is_x  = plan->layout.along == ALONG_X;
	const char        *forth = is_x ? "+x" : "+y", *back = is_x ? "-x" : "-y";

	return json_make((const struct member[]){
	    { "number", json_integer(index + 1) },
	    { "travel", json_string(pass.travel > 0 ? forth : back) },
	    { "from", amount_point(pass.from.x - zero.x, pass.from.y - zero.y, units) },
	    { "to", amount_point(pass.to.x - zero.x, pass.to.y - zero.y, units) },
	    { "climb", json_boolean(pass.climb) },
	    { "mixed", json_boolean(strip.from < 0 && strip.to > 0) },
	    { "chips", chips_json(plan, index) },
	    { "dial", across_json(plan, index) },
	    JSON_END,
	});
}

static json_t *
chips_json(const struct plan *plan, int64_t pass)
{
	struct chips chips = chips_find(plan, pass);

	if (chips.towards == 0)
		return json_null();
	return json_make((const struct member[]){
	    { "x", direction_json(chips.x) },
	    { "y", direction_json(chips.y) },
	    { "towards", sides_json(chips.towards) },
	    { "guard", sides_json(chips.guard) },
	    { "stand", sides_json(chips.stand) },
	    JSON_END,
	});
}

/* A sine that is a hair from 0 is 0. */
static json_t *
direction_json(double x)
{
	return json_figure(fabs(x) < 1e-9 ? 0 : x);
}

static json_t *
sides_json(unsigned sides)
{
	static const struct {
		enum side   side;
		const char *word;
	} SIDES[] = { { SIDE_RIGHT, "right" }, { SIDE_BACK, "back" }, { SIDE_LEFT, "left" }, { SIDE_FRONT, "front" } };
	json_t *words = json_array();

	for (size_t i = 0; i < sizeof SIDES / sizeof SIDES[0]; i++)
		if (sides & SIDES[i].side)
			words = json_add(words, json_string(SIDES[i].word));
	return words;
}

static json_t *
across_json(const struct plan *plan, int64_t pass)
{
	struct reading reading;

	if (!handwork_wanted(plan) || dial_across(&plan->job->machine, plan->layout.along)->per_turn == 0)
		return json_null();
	reading = handwork_across(plan, pass);
	return reading_json(&reading, handwork_across_show(plan, pass).text);
}

static json_t *
reading_json(const struct reading *reading, const char *words)
{
	return json_make((const struct member[]){
	    { "turns", json_integer(reading->turns) },
	    { "graduations", json_real((double)reading->tenths / 10) },
	    { "back", json_boolean(reading->back) },
	    { "text", json_text(words) },
	    JSON_END,
	});
}

static json_t *
sentences_json(const struct plan *plan, Sentence *sentence)
{
	json_t *sentences = json_array();

	for (size_t i = 0;; i++) {
		char        room[SENTENCE_BYTES];
		struct text text = text_over(room, sizeof room);

		if (!sentence(plan, i, &text))
			return sentences;
		sentences = json_add(sentences, json_text(text_end(&text)));
	}
}

static json_t *
feeding_json(const struct plan *plan, bool skim)
{
	struct feeding feeding = handwork_feeding(plan, skim);
	bool           dial    = feeding.turns_min > 0;
	char           room[SENTENCE_BYTES];
	struct text    text = text_over(room, sizeof room);

	handwork_feed(plan, skim, &text);
	return json_make((const struct member[]){
	    { "text", json_text(text_end(&text)) },
	    { "power_feed", json_boolean(feeding.has_power) },
	    { "setting",
	      feeding.setting > 0 ? amount_exact(AMOUNT_FEED, feeding.setting, plan->job->units) : json_null() },
	    { "turns_per_min", dial ? json_figure(feeding.turns_min) : json_null() },
	    { "s_per_turn", dial ? json_figure(feeding.s_per_turn) : json_null() },
	    { "too_fast", dial ? json_boolean(feeding.too_fast) : json_null() },
	    JSON_END,
	});
}

static json_t *
dial_json(const struct plan *plan, const struct dial *dial)
{
	if (dial->per_turn == 0)
		return json_null();
	return json_make((const struct member[]){
	    { "per_turn", amount_length(dial->per_turn, plan->job->units) },
	    { "graduation", amount_length(dial->graduation, plan->job->units) },
	    JSON_END,
	});
}
