#include "skimcut/tables.h"

#include "skimcut/handwork.h"
#include "skimcut/markup.h"
#include "skimcut/paper.h"
#include "skimcut/plan.h"
#include "skimcut/text.h"
#include "skimcut/wording.h"

enum { SENTENCE = 1024 };

/* That a box stands for. */
struct thing {
	const char *one, *many;
};

static const struct thing PASS = { "pass", "passes" }, CUT = { "cut", "cuts" };

static void rate_row_print(const char *name, const struct rates *rates, struct shown removal, enum units units,
                           struct text *out);
static bool has_across(const struct plan *plan);
static void pass_row_print(const struct plan *plan, int64_t index, struct text *out);
static void passes_between_print(const struct plan *plan, size_t columns, struct text *out);
static bool has_knee(const struct plan *plan);
static void cuts_caption_print(const struct plan *plan, struct text *out);
static void cut_rows_print(const struct plan *plan, size_t index, size_t columns, struct text *out);
static void cuts_between_print(const struct plan *plan, size_t columns, struct text *out);
static void boxes_print(const char *prefix, const struct thing *thing, int64_t first, int64_t count, struct text *out);
static void box_print(const char *prefix, const struct thing *thing, int64_t first, int64_t last, struct text *out);
static void stop_row_print(const struct plan *plan, size_t cut, size_t columns, struct text *out);
static void head_print(const char *const *names, size_t count, unsigned without, struct text *out);
static void cell(struct text *out, const char *format, ...) __attribute__((format(printf, 2, 3)));

static const char BLANK[] = "<span class=\"blank\"></span>";

void
tables_rates(const struct plan *plan, struct text *out)
{
	static const char *const HEADS[] = {
		"cuts", "spindle", "at the edge", "table feed", "each tooth", "takes off"
	};
	static const size_t count = sizeof HEADS / sizeof HEADS[0];

	text_string(out, "<div class=\"wide\"><table>\n<caption>Speeds and feeds</caption>\n");
	head_print(HEADS, count, 0, out);
	text_string(out, "<tbody>\n");
	if (plan->schedule.count > 1)
		rate_row_print("test and rough", &plan->rough, wording_removal(plan, false), plan->job->units, out);
	rate_row_print("skim", &plan->skim, wording_removal(plan, true), plan->job->units, out);
	text_string(out, "</tbody>\n</table></div>\n");
}

void
tables_passes(const struct plan *plan, struct text *out)
{
	const struct layout *layout  = &plan->layout;
	bool                 is_x    = layout->along == ALONG_X;
	const char *const    HEADS[] = { "pass",
		                         "travel",
                                      is_x ? "at Y" : "at X",
                                      is_x ? "Y dial" : "X dial",
                                      is_x ? "from X" : "from Y",
                                      is_x ? "to X" : "to Y",
		                         "the cut is",
		                         "chips to" };
	const size_t         count = sizeof HEADS / sizeof HEADS[0], dial = 3;
	bool                 has_dial = has_across(plan);

	text_format(out,
	            "<section class=\"wide\" aria-label=\"Table of passes\" tabindex=\"0\"><table class=\"passes\">\n"
	            "<caption><span>Passes of each cut: the cutter's centre, from zero, in %s</span></caption>\n",
	            plan->job->units == UNITS_INCH ? "inches" : "millimetres");
	head_print(HEADS, count, has_dial ? 0 : 1u << dial, out);
	text_string(out, "<tbody>\n");
	for (int64_t i = 0; i < layout->passes; i++) {
		if (handwork_wanted(plan) || paper_keeps(i, layout->passes))
			pass_row_print(plan, i, out);
		else if (paper_keeps(i - 1, layout->passes))
			passes_between_print(plan, count - !has_dial, out);
	}
	text_string(out, "</tbody>\n</table></section>\n");
}

void
tables_cuts(const struct plan *plan, struct text *out)
{
	static const char *const HEADS[] = { "cut",       "kind", "depth",       "Z",       "knee up",
		                             "knee dial", "feed", "height left", "measured" };
	const size_t             heads   = sizeof HEADS / sizeof HEADS[0];
	bool                     by_hand = handwork_wanted(plan);
	const unsigned           without = by_hand ? 1u << 3 | (unsigned)!has_knee(plan) << 5 : 1u << 4 | 1u << 5;
	size_t                   columns = heads - (by_hand ? 1u + !has_knee(plan) : 2u);
	int64_t                  count   = (int64_t)plan->schedule.count;

	text_string(out,
	            "<section class=\"wide\" aria-label=\"Table of cuts\" tabindex=\"0\"><table class=\"cuts\">\n");
	cuts_caption_print(plan, out);
	head_print(HEADS, heads, without, out);
	for (int64_t i = 0; i < count; i++) {
		if (by_hand || paper_keeps(i, count))
			cut_rows_print(plan, (size_t)i, columns, out);
		else if (paper_keeps(i - 1, count))
			cuts_between_print(plan, columns, out);
	}
	text_string(out, "</table></section>\n");
}

/* Numbered, because the order matters. */
void
tables_steps(const struct plan *plan, tables_sentence *sentence, struct text *out)
{
	char        buffer[SENTENCE];
	struct text words = text_over(buffer, sizeof buffer);

	text_string(out, "<ol>\n");
	for (size_t i = 0; sentence(plan, i, &words); i++) {
		text_string(out, "<li>");
		markup_text(out, text_end(&words));
		text_string(out, "</li>\n");
		words = text_over(buffer, sizeof buffer);
	}
	text_string(out, "</ol>\n");
}

int64_t
tables_group(int64_t count)
{
	return (count + TABLES_BOXES - 1) / TABLES_BOXES;
}

static void
rate_row_print(const char *name, const struct rates *rates, struct shown removal, enum units units, struct text *out)
{
	text_format(out, "<tr><th scope=\"row\">%s</th>", name);
	cell(out, "%lld rpm", (long long)rates->rpm);
	cell(out, "%s", cutting_show(rates->vc, units).text);
	cell(out, "%s", feed_show(rates->vf, units).text);
	cell(out, "%s", length_show(rates->fz, units).text);
	cell(out, "%s", removal.text);
	text_string(out, "</tr>\n");
}

static bool
has_across(const struct plan *plan)
{
	return handwork_wanted(plan) && dial_across(&plan->job->machine, plan->layout.along)->per_turn > 0;
}

static void
pass_row_print(const struct plan *plan, int64_t index, struct text *out)
{
	struct pass pass       = layout_pass(&plan->layout, index);
	enum units  units      = plan->job->units;
	bool        is_x       = plan->layout.along == ALONG_X;
	Length      zero_along = is_x ? plan->zero.x : plan->zero.y, zero_across = is_x ? plan->zero.y : plan->zero.x;

	text_format(out, "<tr><th scope=\"row\">%lld</th>", (long long)index + 1);
	cell(out, "%s", wording_travel(plan->layout.along, pass.travel));
	cell(out, "%s", length_figure((is_x ? pass.from.y : pass.from.x) - zero_across, units).text);
	if (has_across(plan))
		text_format(out, "<td class=\"dial\">%s</td>", handwork_across_show(plan, index).text);
	cell(out, "%s", length_figure((is_x ? pass.from.x : pass.from.y) - zero_along, units).text);
	cell(out, "%s", length_figure((is_x ? pass.to.x : pass.to.y) - zero_along, units).text);
	cell(out, "%s", wording_milling(plan, index));
	cell(out, "%s", wording_chips_to(plan, index));
	text_string(out, "</tr>\n");
}

static void
passes_between_print(const struct plan *plan, size_t columns, struct text *out)
{
	const struct layout *layout = &plan->layout;

	text_format(
	    out, "<tr class=\"more\"><td colspan=\"%zu\">passes %d to %lld go on alike: %lld more, each %s further%s",
	    columns, PAPER_KEPT + 1, (long long)layout->passes - PAPER_KEPT,
	    (long long)layout->passes - 2LL * PAPER_KEPT, length_show(layout->pitch, plan->job->units).text,
	    layout->pattern == PATTERN_ZIGZAG ? ", there and back</td></tr>\n" : "</td></tr>\n");
}

static bool
has_knee(const struct plan *plan)
{
	return handwork_wanted(plan) && plan->job->machine.dials.knee.per_turn > 0;
}

static void
cuts_caption_print(const struct plan *plan, struct text *out)
{
	int64_t passes = plan->layout.passes, group = tables_group(passes), rest = passes % group;

	text_format(out, "<caption><span>Cuts, in %s. ", plan->job->units == UNITS_INCH ? "inches" : "millimetres");
	if (group == 1)
		text_string(out, "Tick a box after its pass.");
	else if (rest == 0)
		text_format(out, "A box stands for %lld passes: tick it after the one whose number it has.",
		            (long long)group);
	else
		text_format(
		    out, "A box stands for %lld passes, the last for %lld: tick it after the one whose number it has.",
		    (long long)group, (long long)rest);
	text_string(out, "</span></caption>\n");
}

/* A body of its own, so that no page ends inside it. */
static void
cut_rows_print(const struct plan *plan, size_t index, size_t columns, struct text *out)
{
	const struct cut *cut   = &plan->schedule.cuts[index];
	enum units        units = plan->job->units;
	struct shown      prefix;
	struct text       words = text_over(prefix.text, sizeof prefix.text);

	text_format(out, "<tbody>\n<tr><th scope=\"rowgroup\" rowspan=\"2\">%zu</th>", index + 1);
	cell(out, "%s", wording_kind(cut->kind));
	cell(out, "%s", length_figure(cut->top - cut->floor, units).text);
	cell(out, "%s",
	     length_figure(handwork_wanted(plan) ? handwork_up(plan, index) : cut->floor - plan->zero.z, units).text);
	if (has_knee(plan)) {
		struct reading reading = handwork_knee(plan, index);

		cell(out, "%s", dial_show(&reading).text);
	}
	cell(out, "%s", feed_show(plan_rates(plan, index)->vf, units).text);
	cell(out, "%s", length_figure(cut->floor, units).text);
	text_format(out, "<td rowspan=\"2\" class=\"write\"></td></tr>\n<tr><td colspan=\"%zu\">", columns - 2);
	text_format(&words, "cut %zu, ", index + 1);
	text_end(&words);
	boxes_print(prefix.text, &PASS, 1, plan->layout.passes, out);
	text_string(out, "</td></tr>\n");
	if (plan_stops_after(plan, index) || index + 1 == plan->schedule.count)
		stop_row_print(plan, index, columns, out);
	text_string(out, "</tbody>\n");
}

static void
cuts_between_print(const struct plan *plan, size_t columns, struct text *out)
{
	int64_t count = (int64_t)plan->schedule.count, more = count - 2LL * PAPER_KEPT, group = tables_group(more);

	text_format(
	    out,
	    "<tbody>\n<tr class=\"more\"><td colspan=\"%zu\"><p>cuts %d to %lld go on alike: %lld more, %s deep or "
	    "less",
	    columns, PAPER_KEPT + 1, (long long)count - PAPER_KEPT, (long long)more,
	    length_show(plan->schedule.cuts[PAPER_KEPT].top - plan->schedule.cuts[PAPER_KEPT].floor, plan->job->units)
		.text);
	if (group > 1)
		text_format(out, "; a box here stands for %lld cuts, the last perhaps for fewer", (long long)group);
	text_string(out, "</p>\n");
	boxes_print("", &CUT, PAPER_KEPT + 1, more, out);
	text_string(out, "</td></tr>\n</tbody>\n");
}

/* The number beside a box is that of the last thing it stands for. */
static void
boxes_print(const char *prefix, const struct thing *thing, int64_t first, int64_t count, struct text *out)
{
	int64_t group = tables_group(count), last = first + count - 1;

	text_format(out, "<div class=\"boxes%s\"><span>%s</span><div>", group > 1 ? " many" : "",
	            count == 1 ? thing->one : thing->many);
	for (int64_t at = first; at <= last; at += group)
		box_print(prefix, thing, at, at + group - 1 < last ? at + group - 1 : last, out);
	text_string(out, "</div></div>");
}

static void
box_print(const char *prefix, const struct thing *thing, int64_t first, int64_t last, struct text *out)
{
	text_format(out, "<label><input type=\"checkbox\" aria-label=\"%s", prefix);
	if (first == last)
		text_format(out, "%s %lld", thing->one, (long long)first);
	else
		text_format(out, "%s %lld to %lld", thing->many, (long long)first, (long long)last);
	text_format(out, "\">%lld</label>\n", (long long)last);
}

static void
stop_row_print(const struct plan *plan, size_t cut, size_t columns, struct text *out)
{
	Length     floor = plan->schedule.cuts[cut].floor, left = floor - plan->final;
	enum units units = plan->job->units;

	text_format(out, "<tr class=\"stop\"><td colspan=\"%zu\">", columns);
	if (left == 0)
		text_string(out, "<p><strong>Done.</strong>");
	else
		text_format(out, "<p><strong>Stop after cut %zu.</strong>", cut + 1);
	if (left == 0 || !handwork_wanted(plan))
		text_string(out, " Spindle off and standing still.");
	if (left > 0 && plan->hold.parallel > 0 && !handwork_wanted(plan))
		text_string(out, " Are the parallels still tight at all four corners?");
	text_string(out, "</p>\n");
	if (left > 0 && handwork_wanted(plan) && cut == plan_first_stop(plan))
		tables_steps(plan, handwork_stop, out);
	else if (left > 0 && handwork_wanted(plan))
		text_string(out, "<p>Spindle off and standing still; the steps are those of the first stop.</p>\n");
	text_format(out, "<p>The height should be %s. Read %s", length_figure(floor, units).text, BLANK);
	if (left > 0)
		text_format(out, " less %s = %s to go; planned %s.", length_figure(plan->final, units).text, BLANK,
		            length_figure(left, units).text);
	text_string(out, "</p></td></tr>\n");
}

/* `without`: a bit for each column that is left out. */
static void
head_print(const char *const *names, size_t count, unsigned without, struct text *out)
{
	text_string(out, "<thead><tr>");
	for (size_t i = 0; i < count; i++)
		if (!(without & 1u << i))
			text_format(out, "<th scope=\"col\">%s</th>", names[i]);
	text_string(out, "</tr></thead>\n");
}

static void
cell(struct text *out, const char *format, ...)
{
	char        buffer[256];
	struct text words = text_over(buffer, sizeof buffer);
	va_list     values;

	va_start(values, format);
	text_formatv(&words, format, values);
	va_end(values);
	text_string(out, "<td>");
	markup_text(out, text_end(&words));
	text_string(out, "</td>");
}
