#include "skimcut/summary.h"

#include <stdint.h>

#include "skimcut/caution.h"
#include "skimcut/clock.h"
#include "skimcut/cutter.h"
#include "skimcut/diag.h"
#include "skimcut/engagement.h"
#include "skimcut/paper.h"
#include "skimcut/path.h"
#include "skimcut/plan.h"
#include "skimcut/text.h"
#include "skimcut/weigh.h"
#include "skimcut/weighing.h"
#include "skimcut/weigh.h"
#include "skimcut/weighing.h"

enum { COLUMNS = PAPER_COLUMNS, MARGIN = PAPER_MARGIN, ROWS_SHOWN = 24, ROWS_KEPT = 8 };

static const char  *line_add(struct text *room, const char *format, ...) __attribute__((format(printf, 2, 3)));
static void         title_print(const struct plan *plan, struct text *out);
static void         work_print(const struct plan *plan, struct text *out);
static void         hold_print(const struct plan *plan, struct text *out);
static void         jaws_print(const struct plan *plan, struct text *out);
static struct shown height_show(Length above, enum units units);
static void         cutter_print(const struct plan *plan, struct text *out);
static void         rates_print(const struct plan *plan, struct text *out);
static struct shown removal_show(const struct plan *plan, bool skim);
static void         zero_print(const struct plan *plan, struct text *out);
static void         sweep_print(const struct plan *plan, struct text *out);
static void         cuts_print(const struct plan *plan, struct text *out);
static void   cut_row_print(const struct plan *plan, size_t index, double feed_s, double rapid_s, struct text *out);
static void   stop_print(const struct plan *plan, size_t cut, struct text *out);
static double cutting_s(const struct plan *plan);
static void   passes_print(const struct plan *plan, struct text *out);
static void   pass_row_print(const struct plan *plan, int64_t index, struct text *out);
static void   chips_print(const struct plan *plan, struct text *out);
static void   return_print(const struct plan *plan, struct text *out);
static void   time_print(const struct plan *plan, const struct clock *clock, struct text *out);
static void   remarks_print(const struct diag *diag, struct text *out);
static void   cautions_print(struct text *out);
static bool   is_shown(int64_t index, int64_t count);
static const char *travel_word(enum along along, int travel);
static const char *milling_word(const struct plan *plan, int64_t index);
static Length      width_across(const struct plan *plan);

void
summary_print(const struct plan *plan, const struct diag *diag, struct text *out)
{
	struct weights weights = weigh(plan);

	title_print(plan, out);
	work_print(plan, out);
	hold_print(plan, out);
	cutter_print(plan, out);
	rates_print(plan, out);
	weighing_print(plan, &weights, out);
	zero_print(plan, out);
	cuts_print(plan, out);
	passes_print(plan, out);
	remarks_print(diag, out);
	cautions_print(out);
}

size_t
summary_heading(const struct plan *plan, const char *lines[SUMMARY_HEADING_LINES], char buffer[SUMMARY_HEADING_BYTES])
{
	const struct job    *job    = plan->job;
	const struct cutter *cutter = plan->cutter;
	enum units           units  = job->units;
	struct text          room   = text_over(buffer, SUMMARY_HEADING_BYTES);
	size_t               count  = 0;

	lines[count++] = line_add(&room, "pass program - %.200s", job->title);
	if (job->program.number > 0)
		lines[count++] = line_add(&room, "program %lld", (long long)job->program.number);
	lines[count++] = line_add(
	    &room, "%.80s, %s x %s x %s %s, to %s", job->material.name, length_figure(job->stock.length, units).text,
	    length_figure(job->stock.width, units).text, length_figure(job->stock.height, units).text,
	    units_name(units), length_figure(plan->final, units).text);
	lines[count++] = line_add(&room, "tool %lld, %.80s, %s %s", (long long)cutter->number, cutter->bound.name,
	                          length_figure(cutter->diameter, units).text, units_name(units));
	lines[count++] = line_add(&room, "zero - X %s, Y %s, Z %s", job_word(ZERO_XS, (int)job->zero.x),
	                          job_word(ZERO_YS, (int)job->zero.y), job_word(ZERO_ZS, (int)job->zero.z));
	lines[count++] = line_add(&room, "caution - jaws and clamps below Z %s",
	                          length_figure(plan->final - plan->zero.z, units).text);
	for (size_t i = 0; i < PROGRAM_CAUTION_COUNT; i++)
		lines[count++] = PROGRAM_CAUTIONS[i];
	return count;
}

/* Behind the lines that are there, each with its own NUL. */
static const char *
line_add(struct text *room, const char *format, ...)
{
	const char *line = room->data + room->length;
	va_list     values;

	va_start(values, format);
	text_formatv(room, format, values);
	va_end(values);
	text_char(room, '\0');
	return line;
}

static void
title_print(const struct plan *plan, struct text *out)
{
	text_format(out, "%-*s", MARGIN, "PASS PLAN");
	text_clean(out, plan->job->title, COLUMNS - MARGIN);
	text_char(out, '\n');
	text_repeat(out, '=', COLUMNS);
	text_char(out, '\n');
}

static void
work_print(const struct plan *plan, struct text *out)
{
	const struct job *job   = plan->job;
	enum units        units = job->units;

	paper_paragraph(out, "The work", "%.80s, %s x %s x %s %s (length, width, height)", job->material.name,
	                length_figure(job->stock.length, units).text, length_figure(job->stock.width, units).text,
	                length_figure(job->stock.height, units).text, units_name(units));
	paper_paragraph(out, "Comes off", "%s %s, to leave %s %s",
	                length_figure(job->stock.height - plan->final, units).text, units_name(units),
	                length_figure(plan->final, units).text, units_name(units));
}

static void
hold_print(const struct plan *plan, struct text *out)
{
	const struct hold     *hold   = &plan->hold;
	const struct obstacle *clamps = hold->obstacles;
	size_t                 count  = plan->job->hold.clamps.count;
	Length                 top    = 0;

	if (plan->job->vise.bound.node) {
		jaws_print(plan, out);
		clamps += 2;
	}
	for (size_t i = 0; i < count; i++)
		if (clamps[i].top > top)
			top = clamps[i].top;
	if (count > 0)
		paper_paragraph(out, clamps > hold->obstacles ? "" : "Held", "by %zu %s %s the finished face", count,
		                count == 1 ? "clamp," : "clamps, the highest",
		                height_show(top - plan->final, plan->job->units).text);
}

static void
jaws_print(const struct plan *plan, struct text *out)
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
		paper_paragraph(out, "Held", "in the vise, %s; jaws %s the finished face", buffer, front.text);
	else
		paper_paragraph(out, "Held", "in the vise, %s; front jaw %s, rear jaw %s the finished face", buffer,
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

static void
cutter_print(const struct plan *plan, struct text *out)
{
	const struct cutter *cutter = plan->cutter;
	const struct layout *layout = &plan->layout;
	enum units           units  = plan->job->units;
	Length               width  = width_across(plan);

	paper_paragraph(out, "Cutter", "%.80s: %s, %s %s, %lld %s, %s%s", cutter->bound.name,
	                job_word(CUTTER_KINDS, (int)cutter->kind), length_figure(cutter->diameter, units).text,
	                units_name(units), (long long)cutter->teeth, cutter->teeth == 1 ? "tooth" : "teeth",
	                job_word(EDGE_KINDS, (int)cutter->edge),
	                plan->job->choose_cutter ? " (chosen from the shop's)" : "");
	if (layout->pattern == PATTERN_SINGLE)
		paper_paragraph(
		    out, "",
		    "It covers the %s %s across the passes with %s to spare: %s over the %s edge, %s over the %s.",
		    length_figure(width, units).text, units_name(units),
		    length_figure(cutter->diameter - width, units).text,
		    length_figure(cutter->diameter / 2 - layout->first, units).text,
		    layout->along == ALONG_X ? "front" : "left",
		    length_figure(layout->first + cutter->diameter / 2 - width, units).text,
		    layout->along == ALONG_X ? "back" : "right");
	else
		paper_paragraph(
		    out, "",
		    "%s the %s %s across the passes in one, with the edges clear. This plan has %lld %s, taking %s or "
		    "less (%lld %% of the cutter).",
		    cutter_covers(cutter, width) ? "It could cover" : "It does not cover",
		    length_figure(width, units).text, units_name(units), (long long)layout->passes,
		    layout->passes == 1 ? "pass" : "passes", length_figure(layout->taken, units).text,
		    (long long)(layout->taken * 100 / cutter->diameter));
}

static void
rates_print(const struct plan *plan, struct text *out)
{
	const struct rates *rough = &plan->rough, *skim = &plan->skim;
	enum units          units = plan->job->units;

	text_format(out, "\n%-*s%-18s%s\n", MARGIN, "Rates", "test and rough", "skim");
	text_format(out, "  %-*s%-18lld%lld rpm\n", MARGIN - 2, "spindle", (long long)rough->rpm, (long long)skim->rpm);
	text_format(out, "  %-*s%-18s%s\n", MARGIN - 2, "at the edge", cutting_show(rough->vc, units).text,
	            cutting_show(skim->vc, units).text);
	text_format(out, "  %-*s%-18s%s\n", MARGIN - 2, "table feed", feed_show(rough->vf, units).text,
	            feed_show(skim->vf, units).text);
	text_format(out, "  %-*s%-18s%s\n", MARGIN - 2, "each tooth", length_show(rough->fz, units).text,
	            length_show(skim->fz, units).text);
	text_format(out, "  %-*s%-18s%s\n", MARGIN - 2, "takes off", removal_show(plan, false).text,
	            removal_show(plan, true).text);
}

/* Of the deepest cut of its kind; there may be none. */
static struct shown
removal_show(const struct plan *plan, bool skim)
{
	struct shown shown = { "" };
	struct text  text  = text_over(shown.text, sizeof shown.text);
	Length       depth = 0;
	double       mm3_min;

	for (const struct cut *cut = plan->schedule.cuts; cut < plan->schedule.cuts + plan->schedule.count; cut++)
		if ((cut->kind == CUT_SKIM) == skim && cut->top - cut->floor > depth)
			depth = cut->top - cut->floor;
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

static void
zero_print(const struct plan *plan, struct text *out)
{
	const struct job *job   = plan->job;
	enum units        units = job->units;

	text_char(out, '\n');
	paper_paragraph(
	    out, "Zero", "X is %s, Y %s, Z %s. A cutter that just touches the stock's highest spot stands at Z %s.",
	    job_phrase(ZERO_XS, (int)job->zero.x), job_phrase(ZERO_YS, (int)job->zero.y),
	    job_phrase(ZERO_ZS, (int)job->zero.z), length_figure(job->stock.height - plan->zero.z, units).text);
	paper_paragraph(out, "Heights", "rapid moves across at Z %s or above; the cutter waits at Z %s",
	                length_figure(plan->safe - plan->zero.z, units).text,
	                length_figure(plan->retract - plan->zero.z, units).text);
	sweep_print(plan, out);
}

/* The box that the cutter sweeps below the waiting height. */
static void
sweep_print(const struct plan *plan, struct text *out)
{
	const struct layout *layout = &plan->layout;
	enum units           units  = plan->job->units;
	Length               last   = layout->first + (layout->passes - 1) * layout->pitch * layout->side;
	Length               near   = (layout->side > 0 ? layout->first : last) - plan->reach;
	Length               far    = (layout->side > 0 ? last : layout->first) + plan->reach;
	Length               low = layout->low - plan->reach, high = layout->high + plan->reach;
	bool                 is_x = layout->along == ALONG_X;

	paper_paragraph(out, "Keep clear",
	                "X %s to %s, Y %s to %s, down to Z %s: jaws, clamps and stops are below that, or outside.",
	                length_figure((is_x ? low : near) - plan->zero.x, units).text,
	                length_figure((is_x ? high : far) - plan->zero.x, units).text,
	                length_figure((is_x ? near : low) - plan->zero.y, units).text,
	                length_figure((is_x ? far : high) - plan->zero.y, units).text,
	                length_figure(plan->final - plan->zero.z, units).text);
}

/* The path is walked once; every cut begins with its note. */
static void
cuts_print(const struct plan *plan, struct text *out)
{
	struct clock clock = { .rapid = plan->rapid }, before = clock;
	size_t       notes = 0;
	struct path  path;
	struct step  step;

	text_format(out, "\n%-9s%-6s%10s%13s%11s%8s%10s%9s\n", "Cuts", "kind", "depth", "height left", "Z", "passes",
	            "at feed", "rapid");
	path_start(&path, plan);
	while (path_next(&path, &step)) {
		clock_take(&clock, &step);
		if (step.kind != STEP_NOTE && step.kind != STEP_END)
			continue;
		if (notes > 0)
			cut_row_print(plan, notes - 1, clock.feed_s - before.feed_s, clock.rapid_s - before.rapid_s,
			              out);
		before = clock;
		notes++;
	}
	time_print(plan, &clock, out);
}

static void
cut_row_print(const struct plan *plan, size_t index, double feed_s, double rapid_s, struct text *out)
{
	static const char *const KINDS[] = { [CUT_TEST] = "test", [CUT_ROUGH] = "rough", [CUT_SKIM] = "skim" };

	const struct cut *cut   = &plan->schedule.cuts[index];
	enum units        units = plan->job->units;

	if (!is_shown((int64_t)index, (int64_t)plan->schedule.count)) {
		if (is_shown((int64_t)index - 1, (int64_t)plan->schedule.count))
			text_format(out, "      ...   %zu more like these\n",
			            plan->schedule.count - (size_t)2 * ROWS_KEPT);
		return;
	}
	text_format(out, "%7zu  %-6s%10s%13s%11s%8lld%10s%9s\n", index + 1, KINDS[cut->kind],
	            length_figure(cut->top - cut->floor, units).text, length_figure(cut->floor, units).text,
	            length_figure(cut->floor - plan->zero.z, units).text, (long long)plan->layout.passes,
	            paper_duration(feed_s).text, paper_duration(rapid_s).text);
	if (plan_stops_after(plan, index) || index + 1 == plan->schedule.count)
		stop_print(plan, index, out);
}

static void
stop_print(const struct plan *plan, size_t cut, struct text *out)
{
	Length     floor = plan->schedule.cuts[cut].floor;
	enum units units = plan->job->units;

	text_format(out, "            %s. Spindle off and standing still. The height should be %s.\n",
	            floor == plan->final ? "DONE" : "STOP", length_figure(floor, units).text);
	if (floor == plan->final)
		text_string(out, "            Read ________\n");
	else
		text_format(out, "            Read ________ less %s = ________ to go; planned %s.\n",
		            length_figure(plan->final, units).text, length_figure(floor - plan->final, units).text);
}

static void
time_print(const struct plan *plan, const struct clock *clock, struct text *out)
{
	text_char(out, '\n');
	paper_paragraph(
	    out, "Measuring",
	    "The cutter well away, the part still clamped, chips and burr off: four corners and the middle. "
	    "Where they differ, the seat or the head is not square.");
	if (clock->stops > 0)
		paper_paragraph(
		    out, "",
		    "Reads more than it should: lower the Z zero by the difference. Reads less: raise it. Reads "
		    "less than "
		    "the finished height: stop, the part is under size.");
	paper_paragraph(
	    out, "Time", "%s at feed, %s of it in the cut; %s at rapid (%s); %s in all; %lld %s not counted",
	    paper_duration(clock->feed_s).text, paper_duration(cutting_s(plan)).text,
	    paper_duration(clock->rapid_s).text, feed_show(plan->rapid, plan->job->units).text,
	    paper_duration(clock_total_s(clock)).text, (long long)clock->stops, clock->stops == 1 ? "stop" : "stops");
}

static double
cutting_s(const struct plan *plan)
{
	double travel_mm = plan_cutting_mm(plan), seconds = 0;

	for (size_t i = 0; i < plan->schedule.count; i++)
		seconds += 60 * travel_mm / ((double)plan_rates(plan, i)->vf / LENGTH_MM);
	return seconds;
}

static void
passes_print(const struct plan *plan, struct text *out)
{
	const struct layout *layout = &plan->layout;
	bool                 is_x   = layout->along == ALONG_X;

	text_format(out, "\nPasses of each cut, at the cutter's centre, from zero (%s)\n",
	            units_name(plan->job->units));
	text_format(out, "%10s  %-8s%10s%14s%11s   %s\n", "", "travel", is_x ? "at Y" : "at X",
	            is_x ? "from X" : "from Y", is_x ? "to X" : "to Y", "the cut is");
	for (int64_t i = 0; i < layout->passes; i++) {
		if (is_shown(i, layout->passes))
			pass_row_print(plan, i, out);
		else if (is_shown(i - 1, layout->passes))
			text_format(out, "      ...   %lld more, each %s further\n",
			            (long long)layout->passes - 2LL * ROWS_KEPT,
			            length_figure(layout->pitch, plan->job->units).text);
	}
	chips_print(plan, out);
	return_print(plan, out);
}

static void
pass_row_print(const struct plan *plan, int64_t index, struct text *out)
{
	struct pass pass       = layout_pass(&plan->layout, index);
	enum units  units      = plan->job->units;
	bool        is_x       = plan->layout.along == ALONG_X;
	Length      zero_along = is_x ? plan->zero.x : plan->zero.y, zero_across = is_x ? plan->zero.y : plan->zero.x;

	text_format(out, "%10lld  %-8s%10s%14s%11s   %s\n", (long long)index + 1,
	            travel_word(plan->layout.along, pass.travel),
	            length_figure((is_x ? pass.from.y : pass.from.x) - zero_across, units).text,
	            length_figure((is_x ? pass.from.x : pass.from.y) - zero_along, units).text,
	            length_figure((is_x ? pass.to.x : pass.to.y) - zero_along, units).text, milling_word(plan, index));
}

/* A spindle turning clockwise throws to the right of its travel. */
static void
chips_print(const struct plan *plan, struct text *out)
{
	bool zigzag = plan->layout.pattern == PATTERN_ZIGZAG && plan->layout.passes > 1;

	text_char(out, '\n');
	if (plan->layout.along == ALONG_X)
		paper_paragraph(out, "Chips", "fly to the right of the travel: to the back of the machine%s",
		                zigzag ? ", and on every second pass to the FRONT: stand aside, behind a guard" : "");
	else
		paper_paragraph(out, "Chips", "fly to the right of the travel: to the right of the machine%s",
		                zigzag ? ", and on every second pass to the left" : "");
}

/* What a hand on a handle has to know. */
static void
return_print(const struct plan *plan, struct text *out)
{
	const struct machine *machine = &plan->job->machine;

	paper_paragraph(out, "Travel", "is the cutter's, over the work: where the table moves, it goes the other way.");
	if (plan->layout.pattern == PATTERN_ZIGZAG && plan->layout.passes > 1)
		paper_paragraph(out, "", "Step over at depth beyond the end, in air.");
	else
		paper_paragraph(out, "", "After each pass go up to Z %s, back, and down again beyond the end, in air.",
		                length_figure(plan->safe - plan->zero.z, plan->job->units).text);
	if (machine->bound.node && machine->kind == MACHINE_MANUAL)
		paper_paragraph(out, "", "Come to every position from the same side, so that backlash does not count.");
}

static void
remarks_print(const struct diag *diag, struct text *out)
{
	bool any = false;

	for (const struct message *message = diag->first; message; message = message->next) {
		if (message->severity > SEVERITY_WARNING)
			continue;
		if (!any)
			text_char(out, '\n');
		any = true;
		paper_paragraph(out, message->severity == SEVERITY_WARNING ? "WARNING" : "Note", "%s.", message->text);
	}
}

static void
cautions_print(struct text *out)
{
	text_char(out, '\n');
	for (size_t i = 0; i < CAUTION_COUNT; i++)
		paper_paragraph(out, i == 0 ? "Caution" : "", "%s", CAUTIONS[i]);
}

/* All of a short table; the beginning and the end of a long one. */
static bool
is_shown(int64_t index, int64_t count)
{
	return count <= ROWS_SHOWN || index < ROWS_KEPT || index >= count - ROWS_KEPT;
}

static const char *
travel_word(enum along along, int travel)
{
	if (along == ALONG_X)
		return travel > 0 ? "+X" : "-X";
	return travel > 0 ? "+Y" : "-Y";
}

/* With the centre line over what is cut, the other half of the cutter is in the work too. */
static const char *
milling_word(const struct plan *plan, int64_t index)
{
	const struct layout *layout = &plan->layout;
	struct strip         strip  = layout_strip(layout, index, plan->cutter->diameter, width_across(plan));
	bool                 mixed  = strip.from < 0 && strip.to > 0;

	if (layout_pass(layout, index).climb)
		return mixed ? "mostly climb" : "climb";
	return mixed ? "mostly conventional" : "conventional";
}

static Length
width_across(const struct plan *plan)
{
	return plan->layout.along == ALONG_X ? plan->job->stock.width : plan->job->stock.length;
}
