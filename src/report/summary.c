#include "skimcut/summary.h"

#include <stdint.h>

#include "skimcut/caution.h"
#include "skimcut/clock.h"
#include "skimcut/diag.h"
#include "skimcut/handwork.h"
#include "skimcut/paper.h"
#include "skimcut/path.h"
#include "skimcut/plan.h"
#include "skimcut/text.h"
#include "skimcut/weigh.h"
#include "skimcut/weighing.h"
#include "skimcut/wording.h"

enum { COLUMNS = PAPER_COLUMNS, MARGIN = PAPER_MARGIN };

static const char *line_add(struct text *room, const char *format, ...) __attribute__((format(printf, 2, 3)));
static void        title_print(const struct plan *plan, struct text *out);
static void        rates_print(const struct plan *plan, struct text *out);
static void        cuts_print(const struct plan *plan, struct text *out);
static void cut_row_print(const struct plan *plan, size_t index, double feed_s, double rapid_s, struct text *out);
static void stop_print(const struct plan *plan, size_t cut, struct text *out);
static void passes_print(const struct plan *plan, struct text *out);
static void pass_row_print(const struct plan *plan, int64_t index, struct text *out);
static void cautions_print(struct text *out);

void
summary_print(const struct plan *plan, const struct diag *diag, struct text *out)
{
	struct weights     weights = weigh(plan);
	const struct paper paper   = { out, PAPER_PLAIN };

	title_print(plan, out);
	wording_work(plan, &paper);
	wording_hold(plan, &paper);
	wording_cutter(plan, &paper);
	rates_print(plan, out);
	text_char(out, '\n');
	weighing_print(plan, &weights, &paper);
	text_char(out, '\n');
	wording_zero(plan, &paper);
	cuts_print(plan, out);
	passes_print(plan, out);
	if (handwork_wanted(plan))
		handwork_print(plan, out);
	if (diag->first)
		text_char(out, '\n');
	wording_remarks(diag, &paper);
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
	if (job->told.height > 0) {
		lines[count++] = line_add(&room, "caution - not for a fresh block");
		lines[count++] = line_add(&room, "the face measured, %s %s, is at Z %s",
		                          length_figure(job->stock.height, units).text, units_name(units),
		                          length_figure(job->stock.height - plan->zero.z, units).text);
	}
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
	text_format(out, "  %-*s%-18s%s\n", MARGIN - 2, "takes off", wording_removal(plan, false).text,
	            wording_removal(plan, true).text);
}

/* The path is walked once; every cut begins with its note. */
static void
cuts_print(const struct plan *plan, struct text *out)
{
	const struct paper paper = { out, PAPER_PLAIN };
	struct clock       clock = { .rapid = plan->rapid }, before = clock;
	bool               by_hand = handwork_wanted(plan);
	size_t             notes   = 0;
	struct path        path;
	struct step        step;

	text_format(out, "\n%-9s%-6s%10s%13s%11s%8s%10s%9s\n", "Cuts", "kind", "depth", "height left",
	            by_hand ? "knee up" : "Z", "passes", "at feed", "rapid");
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
	text_char(out, '\n');
	wording_measuring(plan, &clock, &paper);
	wording_time(plan, &clock, &paper);
}

static void
cut_row_print(const struct plan *plan, size_t index, double feed_s, double rapid_s, struct text *out)
{
	const struct cut *cut     = &plan->schedule.cuts[index];
	enum units        units   = plan->job->units;
	bool              by_hand = handwork_wanted(plan);

	if (!by_hand && !paper_keeps((int64_t)index, (int64_t)plan->schedule.count)) {
		if (paper_keeps((int64_t)index - 1, (int64_t)plan->schedule.count))
			text_format(out, "      ...   %zu more like these\n",
			            plan->schedule.count - (size_t)2 * PAPER_KEPT);
		return;
	}
	text_format(out, "%7zu  %-6s%10s%13s%11s%8lld%10s%9s\n", index + 1, wording_kind(cut->kind),
	            length_figure(cut->top - cut->floor, units).text, length_figure(cut->floor, units).text,
	            length_figure(by_hand ? handwork_up(plan, index) : cut->floor - plan->zero.z, units).text,
	            (long long)plan->layout.passes, paper_duration(feed_s).text, paper_duration(rapid_s).text);
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
	if (floor != plan->final && plan->hold.parallel > 0)
		text_string(out, "            Are the parallels still tight at all four corners?\n");
	if (floor == plan->final)
		text_string(out, "            Read ________\n");
	else
		text_format(out, "            Read ________ less %s = ________ to go; planned %s.\n",
		            length_figure(plan->final, units).text, length_figure(floor - plan->final, units).text);
}

static void
passes_print(const struct plan *plan, struct text *out)
{
	const struct layout *layout = &plan->layout;
	bool                 is_x   = layout->along == ALONG_X;

	text_format(out, "\nPasses of each cut, at the cutter's centre, from zero (%s)\n",
	            units_name(plan->job->units));
	text_format(out, "%5s  %-6s%10s%11s%11s  %-20s%s\n", "", "travel", is_x ? "at Y" : "at X",
	            is_x ? "from X" : "from Y", is_x ? "to X" : "to Y", "the cut is", "chips to");
	for (int64_t i = 0; i < layout->passes; i++) {
		if (handwork_wanted(plan) || paper_keeps(i, layout->passes))
			pass_row_print(plan, i, out);
		else if (paper_keeps(i - 1, layout->passes))
			text_format(out, "      ...   %lld more, each %s further\n",
			            (long long)layout->passes - 2LL * PAPER_KEPT,
			            length_figure(layout->pitch, plan->job->units).text);
	}
	text_char(out, '\n');
	wording_chips(plan, &(struct paper){ out, PAPER_PLAIN });
}

static void
pass_row_print(const struct plan *plan, int64_t index, struct text *out)
{
	struct pass pass       = layout_pass(&plan->layout, index);
	enum units  units      = plan->job->units;
	bool        is_x       = plan->layout.along == ALONG_X;
	Length      zero_along = is_x ? plan->zero.x : plan->zero.y, zero_across = is_x ? plan->zero.y : plan->zero.x;

	text_format(out, "%5lld  %-6s%10s%11s%11s  %-20s%s\n", (long long)index + 1,
	            wording_travel(plan->layout.along, pass.travel),
	            length_figure((is_x ? pass.from.y : pass.from.x) - zero_across, units).text,
	            length_figure((is_x ? pass.from.x : pass.from.y) - zero_along, units).text,
	            length_figure((is_x ? pass.to.x : pass.to.y) - zero_along, units).text,
	            wording_milling(plan, index), wording_chips_to(plan, index));
}

static void
cautions_print(struct text *out)
{
	text_char(out, '\n');
	for (size_t i = 0; i < CAUTION_COUNT; i++)
		paper_paragraph(out, i == 0 ? "Caution" : "", "%s", CAUTIONS[i]);
}
