#include "skimcut/wording.h"

#include <string.h>

#include "skimcut/chips.h"
#include "skimcut/clock.h"
#include "skimcut/cutter.h"
#include "skimcut/diag.h"
#include "skimcut/engagement.h"
#include "skimcut/handwork.h"
#include "skimcut/paper.h"
#include "skimcut/text.h"

static void         jaws_say(const struct plan *plan, const struct paper *paper);
static struct shown height_show(Length above, enum units units);
static void         sweep_say(const struct plan *plan, const struct paper *paper);
static void         return_say(const struct plan *plan, const struct paper *paper);

const char *
wording_kind(enum cut_kind kind)
{
	static const char *const KINDS[] = { [CUT_TEST] = "test", [CUT_ROUGH] = "rough", [CUT_SKIM] = "skim" };

	return KINDS[kind];
}

const char *
wording_travel(enum along along, int travel)
{
	if (along == ALONG_X)
		return travel > 0 ? "+X" : "-X";
	return travel > 0 ? "+Y" : "-Y";
}

/* With the centre line over what is cut, the other half of the cutter is in the work too. */
const char *
wording_milling(const struct plan *plan, int64_t pass)
{
	const struct layout *layout = &plan->layout;
	struct strip         strip  = layout_strip(layout, pass, plan->cutter->diameter, plan_width(plan));
	bool                 mixed  = strip.from < 0 && strip.to > 0;

	if (layout_pass(layout, pass).climb)
		return mixed ? "mostly climb" : "climb";
	return mixed ? "mostly conventional" : "conventional";
}

const char *
wording_chips_to(const struct plan *plan, int64_t pass)
{
	unsigned towards = chips_find(plan, pass).towards;

	return towards ? chips_corner(towards) + strlen("the ") : "";
}

struct shown
wording_removal(const struct plan *plan, bool skim)
{
	struct shown shown = { "" };
	struct text  text  = text_over(shown.text, sizeof shown.text);
	Length depth = schedule_deepest(&plan->schedule, skim ? 1u << CUT_SKIM : 1u << CUT_TEST | 1u << CUT_ROUGH);
	double mm3_min;

	mm3_min = engagement_removal_mm3_min(depth, plan->layout.taken, skim ? plan->skim.vf : plan->rough.vf);
	if (depth == 0)
		text_string(&text, "-");
	else if (plan->job->units == UNITS_INCH)
		text_format(&text, "%.2f in3/min", mm3_min / (25.4 * 25.4 * 25.4));
	else
		text_format(&text, "%.1f cm3/min", mm3_min / 1000);
	text_end(&text);
	return shown;
}

void
wording_work(const struct plan *plan, const struct paper *paper)
{
	const struct job *job   = plan->job;
	enum units        units = job->units;

	paper_say(paper, "The work", "%.80s, %s x %s x %s %s (length, width, height)", job->material.name,
	          length_figure(job->stock.length, units).text, length_figure(job->stock.width, units).text,
	          length_figure(job->stock.height, units).text, units_name(units));
	if (job->told.height > 0)
		paper_say(paper, "Measured", "%s %s at the machine; it was %s to begin with",
		          length_figure(job->stock.height, units).text, units_name(units),
		          length_figure(job->told.height, units).text);
	paper_say(paper, "Comes off", "%s %s, to leave %s %s",
	          length_figure(job->stock.height - plan->final, units).text, units_name(units),
	          length_figure(plan->final, units).text, units_name(units));
}

void
wording_hold(const struct plan *plan, const struct paper *paper)
{
	const struct obstacle *clamps = plan->hold.obstacles;
	size_t                 count  = plan->job->hold.clamps.count;
	bool                   vise   = plan->job->vise.bound.node != NULL;
	Length                 top    = 0;

	if (vise) {
		jaws_say(plan, paper);
		clamps += 2;
	}
	for (size_t i = 0; i < count; i++)
		if (clamps[i].top > top)
			top = clamps[i].top;
	if (count > 0)
		paper_say(paper, vise ? "" : "Held", "by %zu %s %s the finished face", count,
		          count == 1 ? "clamp," : "clamps, the highest",
		          height_show(top - plan->final, plan->job->units).text);
}

void
wording_cutter(const struct plan *plan, const struct paper *paper)
{
	const struct cutter *cutter = plan->cutter;
	const struct layout *layout = &plan->layout;
	enum units           units  = plan->job->units;
	Length               width  = plan_width(plan);

	paper_say(paper, "Cutter", "%.80s: %s, %s %s, %lld %s, %s%s", cutter->bound.name,
	          job_word(CUTTER_KINDS, (int)cutter->kind), length_figure(cutter->diameter, units).text,
	          units_name(units), (long long)cutter->teeth, cutter->teeth == 1 ? "tooth" : "teeth",
	          job_word(EDGE_KINDS, (int)cutter->edge), plan->job->choose_cutter ? " (chosen from the shop's)" : "");
	if (layout->pattern == PATTERN_SINGLE)
		paper_say(
		    paper, "",
		    "It covers the %s %s across the passes with %s to spare: %s over the %s edge, %s over the %s.",
		    length_figure(width, units).text, units_name(units),
		    length_figure(cutter->diameter - width, units).text,
		    length_figure(cutter->diameter / 2 - layout->first, units).text,
		    layout->along == ALONG_X ? "front" : "left",
		    length_figure(layout->first + cutter->diameter / 2 - width, units).text,
		    layout->along == ALONG_X ? "back" : "right");
	else
		paper_say(
		    paper, "",
		    "%s the %s %s across the passes in one, with the edges clear. This plan has %lld %s, taking %s or "
		    "less (%lld %% of the cutter).",
		    cutter_covers(cutter, width) ? "It could cover" : "It does not cover",
		    length_figure(width, units).text, units_name(units), (long long)layout->passes,
		    layout->passes == 1 ? "pass" : "passes", length_figure(layout->taken, units).text,
		    (long long)(layout->taken * 100 / cutter->diameter));
}

void
wording_zero(const struct plan *plan, const struct paper *paper)
{
	const struct job *job   = plan->job;
	enum units        units = job->units;
	const char       *spot  = job->told.height > 0 ? "the face that was measured" : "the stock's highest spot";

	if (handwork_wanted(plan)) {
		paper_say(
		    paper, "Zero",
		    "X is %s, Y %s. The knee's zero is where the cutter just touches %s; the finished face is %s %s "
		    "up from there.",
		    job_phrase(ZERO_XS, (int)job->zero.x), job_phrase(ZERO_YS, (int)job->zero.y), spot,
		    length_figure(job->stock.height - plan->final, units).text, units_name(units));
	} else {
		paper_say(paper, "Zero", "X is %s, Y %s, Z %s. A cutter that just touches %s stands at Z %s%s.",
		          job_phrase(ZERO_XS, (int)job->zero.x), job_phrase(ZERO_YS, (int)job->zero.y),
		          job_phrase(ZERO_ZS, (int)job->zero.z), spot,
		          length_figure(job->stock.height - plan->zero.z, units).text,
		          job->told.height > 0 ? ": correct the Z zero if it does not" : "");
		paper_say(paper, "Heights", "rapid moves across at Z %s or above; the cutter waits at Z %s",
		          length_figure(plan->safe - plan->zero.z, units).text,
		          length_figure(plan->retract - plan->zero.z, units).text);
	}
	sweep_say(plan, paper);
}

/* Of the first passes and the last; those between are like the second or third. What goes to one side is told once, and widely. */
void
wording_chips(const struct plan *plan, const struct paper *paper)
{
	const int64_t last = plan->layout.passes - 1, passes[] = { 0, 1, 2, last };
	struct chips  told[4];
	size_t        count = 0;

	for (size_t i = 0; i < sizeof passes / sizeof passes[0] && passes[i] <= last; i++) {
		struct chips chips = chips_find(plan, passes[i]);
		size_t       k     = 0;

		while (k < count && told[k].towards != chips.towards)
			k++;
		if (chips.towards == 0)
			continue;
		if (k < count)
			chips_widen(&told[k], &chips);
		else
			told[count++] = chips;
	}
	for (size_t k = 0; k < count; k++)
		paper_say(paper, k == 0 ? "Chips" : "", "to %s: put a guard %s; %s%s.", chips_corner(told[k].towards),
		          chips_sides(told[k].guard).text,
		          told[k].stand ? "stand at " : "no side is free, so stand behind it",
		          chips_corner(told[k].stand));
	return_say(plan, paper);
}

void
wording_measuring(const struct plan *plan, const struct clock *clock, const struct paper *paper)
{
	const char *text;

	for (size_t i = 0; (text = wording_measure(plan, clock, i)); i++)
		paper_say(paper, i == 0 ? "Measuring" : "", "%s", text);
}

const char *
wording_measure(const struct plan *plan, const struct clock *clock, size_t index)
{
	if (index == 0)
		return "The cutter well away, the part still clamped, chips and burr off: four corners and the middle. "
		       "Where they differ, the seat or the head is not square.";
	if (index == 1 && clock->stops > 0)
		return handwork_wanted(plan)
		         ? "Reads less than the finished height: stop, the part is under size."
		         : "Reads more than it should: lower the Z zero by the difference. Reads less: "
		           "raise it. Reads less than the finished height: stop, the part is under size.";
	return NULL;
}

void
wording_time(const struct plan *plan, const struct clock *clock, const struct paper *paper)
{
	paper_say(paper, "Time",
	          "%s at feed, %s of it in the cut; %s at rapid (%s); %s in all, %.1f times the face swept once a cut "
	          "at these "
	          "feeds; %lld %s not counted",
	          paper_duration(clock->feed_s).text, paper_duration(plan_cutting_s(plan)).text,
	          paper_duration(clock->rapid_s).text, feed_show(plan->rapid, plan->job->units).text,
	          paper_duration(clock_total_s(clock)).text, clock_total_s(clock) / plan_least_s(plan),
	          (long long)clock->stops, clock->stops == 1 ? "stop" : "stops");
}

void
wording_remarks(const struct diag *diag, const struct paper *paper)
{
	for (const struct message *message = diag->first; message; message = message->next)
		if (message->severity <= SEVERITY_WARNING)
			paper_say(paper, message->severity == SEVERITY_WARNING ? "WARNING" : "Note", "%s.",
			          message->text);
}

static void
jaws_say(const struct plan *plan, const struct paper *paper)
{
	const struct hold *hold  = &plan->hold;
	enum units         units = plan->job->units;
	struct shown       front = height_show(hold->obstacles[0].top - plan->final, units);
	struct shown       rear  = height_show(hold->obstacles[1].top - plan->final, units);
	char               buffer[64];
	struct text        seat = text_over(buffer, sizeof buffer);

	if (hold->parallel > 0)
		text_format(&seat, "on %s parallels", length_show(hold->parallel, units).text);
	else
		text_string(&seat, "on its bed");
	text_end(&seat);
	if (hold->obstacles[0].top == hold->obstacles[1].top)
		paper_say(paper, "Held", "in the vise, %s; jaws %s the finished face", buffer, front.text);
	else
		paper_say(paper, "Held", "in the vise, %s; front jaw %s, rear jaw %s the finished face", buffer,
		          front.text, rear.text);
}

/* "0.15 in below". */
static struct shown
height_show(Length above, enum units units)
{
	struct shown shown = { "" };
	struct text  text  = text_over(shown.text, sizeof shown.text);

	if (above != 0)
		text_format(&text, "%s %s", length_show(above > 0 ? above : -above, units).text,
		            above > 0 ? "above" : "below");
	else
		text_string(&text, "level with");
	text_end(&text);
	return shown;
}

/* The box that the cutter sweeps below the waiting height. */
static void
sweep_say(const struct plan *plan, const struct paper *paper)
{
	const struct layout *layout = &plan->layout;
	enum units           units  = plan->job->units;
	Length               last   = layout->first + (layout->passes - 1) * layout->pitch * layout->side;
	Length               near   = (layout->side > 0 ? layout->first : last) - plan->reach;
	Length               far    = (layout->side > 0 ? last : layout->first) + plan->reach;
	Length               low = layout->low - plan->reach, high = layout->high + plan->reach;
	bool                 is_x = layout->along == ALONG_X;

	struct shown down = { "the finished face" };

	if (!handwork_wanted(plan)) {
		struct text text = text_over(down.text, sizeof down.text);

		text_format(&text, "Z %s", length_figure(plan->final - plan->zero.z, units).text);
		text_end(&text);
	}
	paper_say(paper, "Keep clear",
	          "X %s to %s, Y %s to %s, down to %s: jaws, clamps and stops are below that, or outside.",
	          length_figure((is_x ? low : near) - plan->zero.x, units).text,
	          length_figure((is_x ? high : far) - plan->zero.x, units).text,
	          length_figure((is_x ? near : low) - plan->zero.y, units).text,
	          length_figure((is_x ? far : high) - plan->zero.y, units).text, down.text);
}

/* What a hand on a handle has to know. */
static void
return_say(const struct plan *plan, const struct paper *paper)
{
	paper_say(paper, "Travel", "is the cutter's, over the work: where the table moves, it goes the other way.");
	if (plan->layout.pattern == PATTERN_ZIGZAG && plan->layout.passes > 1)
		paper_say(paper, "", "Step over at depth beyond the end, in air.");
	else if (!handwork_wanted(plan))
		paper_say(paper, "", "After each pass go up to Z %s, back, and down again beyond the end, in air.",
		          length_figure(plan->safe - plan->zero.z, plan->job->units).text);
}
