#include "skimcut/sheet.h"

#include <string.h>

#include "skimcut/caution.h"
#include "skimcut/choice.h"
#include "skimcut/clock.h"
#include "skimcut/depthview.h"
#include "skimcut/diag.h"
#include "skimcut/handwork.h"
#include "skimcut/markup.h"
#include "skimcut/paper.h"
#include "skimcut/plan.h"
#include "skimcut/sideview.h"
#include "skimcut/tables.h"
#include "skimcut/text.h"
#include "skimcut/topview.h"
#include "skimcut/version.h"
#include "skimcut/weigh.h"
#include "skimcut/weighing.h"
#include "skimcut/wording.h"

enum { SENTENCE = 1024, TITLE_COLUMNS = 60 };

static void             head_print(const char *title, struct text *out);
static void             style_string(struct text *out, const char *string);
static void             title_print(const struct plan *plan, const char *title, const char *job, struct text *out);
static void             job_print(const struct plan *plan, const char *job, const struct paper *paper);
static void             program_print(const struct plan *plan, const struct paper *paper);
static void             first_print(const struct diag *diag, struct text *out);
static void             setup_print(const struct plan *plan, const struct paper *paper);
static tables_sentence *before(const struct plan *plan);
static tables_sentence  program_before;
static void             run_above_say(const struct plan *plan, struct text *out);
static void             passes_print(const struct plan *plan, const struct paper *paper);
static void             cuts_print(const struct plan *plan, const struct clock *clock, const struct paper *paper);
static void             feed_print(const struct plan *plan, const struct paper *paper);
static void             weights_print(const struct plan *plan, const struct clock *clock, const struct paper *paper);
static void             remarks_print(const struct diag *diag, const struct paper *paper);
static void             cautions_print(struct text *out);
static void             section_begin(struct text *out, const char *id, const char *heading);
static void             figure_begin(struct text *out, const char *what);
static void             figure_end(struct text *out, const char *caption);
static void             dial_say(const struct plan *plan, const char *label, const char *what, const struct dial *dial,
                                 const struct paper *paper);
static bool             is_blank(const char *string);
static size_t           count_of(const struct diag *diag, enum severity severity);

/*
 * In millimetres and points, so that paper and screen agree; the text column fits A4 and Letter inside the margin. Shades are only
 * black, white and one light grey, which a printer may leave out.
 */
static const char STYLE[] =
    ":root{color-scheme:only light}\n"
    "*{box-sizing:border-box}\n"
    "body{margin:0;background:#fff;color:#000;font:11pt/1.35 sans-serif;font-variant-numeric:tabular-nums}\n"
    "main{max-width:194mm;margin:0 auto;padding:4mm}\n"
    "h1{font-size:20pt;line-height:1.15;margin:0 0 3mm;overflow-wrap:anywhere}\n"
    "h2{font-size:14pt;margin:7mm 0 2mm;border-bottom:0.6mm solid #000}\n"
    "h3{font-size:11pt;margin:4mm 0 0}\n"
    "h2,h3,caption{break-after:avoid}\n"
    "p,ol,ul{margin:1.5mm 0}\n"
    "ol,ul{padding-left:7mm}\n"
    "li{margin:0.8mm 0;break-inside:avoid}\n"
    "dl{display:grid;grid-template-columns:max-content 1fr;gap:0.8mm 3mm;margin:2mm 0}\n"
    "dt{grid-column:1;font-weight:bold}\n"
    "dd{grid-column:2;margin:0;min-width:0;overflow-wrap:anywhere;break-inside:avoid}\n"
    ".pair{display:grid;grid-template-columns:1fr 1fr;border:0.6mm solid #000}\n"
    ".pair dl{align-content:start;margin:0;padding:2mm 3mm}\n"
    ".pair dl+dl{border-left:0.2mm solid #000}\n"
    ".first{border:0.6mm solid #000;padding:0 3mm 1mm;margin-top:4mm;break-inside:avoid}\n"
    ".first h2{border:0;margin:2mm 0 0}\n"
    "figure{margin:3mm 0;break-inside:avoid}\n"
    "figcaption{font-size:9.5pt;margin-top:1mm}\n"
    "svg{display:block;max-width:100%;height:auto}figure .wide{margin:0;padding:0}\n"
    ".wide{overflow-x:auto;margin:3mm 0;padding:0 0.2mm}\n"
    "table{border-collapse:collapse;width:100%}\n"
    "caption span{display:inline-block}\n"
    "caption{text-align:left;font-weight:bold;padding-bottom:1mm}\n"
    "th,td{border:0.2mm solid #000;padding:0.8mm 1.5mm;text-align:left;vertical-align:top}\n"
    "td{white-space:nowrap}\n"
    "td[colspan],.passes td.dial{white-space:normal}.dial{min-width:27mm}\n"
    "thead{display:table-header-group;break-inside:avoid}\n"
    "thead th{background:#eee;vertical-align:bottom}\n"
    "tr,.cuts tbody{break-inside:avoid}\n"
    "thead+tbody,thead+tbody tr:first-child{break-before:avoid}\n"
    ".cuts tbody{border-top:0.6mm solid #000}\n"
    ".cuts .write{width:30mm}\n"
    ".boxes{display:flex;gap:2mm;line-height:7.5mm}\n"
    ".boxes div{display:flex;flex-wrap:wrap;gap:0 1mm}\n"
    "label{display:inline-flex;align-items:center;gap:1mm;min-width:11mm;min-height:7.5mm}\n"
    ".many label{min-width:17mm}\n"
    "input{appearance:none;position:relative;flex:none;width:5mm;height:5mm;margin:0;border:0.4mm solid "
    "#000;background:#fff}\n"
    "input:checked::after{content:\"\";position:absolute;left:1.3mm;top:0;width:1.6mm;height:3.2mm;border:solid "
    "#000;border-width:0 0.6mm 0.6mm 0;transform:rotate(45deg)}\n"
    ":focus-visible{outline:0.8mm solid #000;outline-offset:0.5mm}\n"
    ".blank{display:inline-block;min-width:20mm;height:1.3em;border-bottom:0.3mm solid #000;vertical-align:bottom}\n"
    "dd .blank{width:100%}\n"
    "@media screen and (max-width:150mm){dl,.pair{display:block}dd{margin:0 0 1mm}.pair "
    "dl+dl{border-left:0;border-top:0.2mm solid #000}table{font-size:9.5pt}th,td{padding:0.8mm}"
    "td{white-space:normal}.passes td{white-space:nowrap}.cuts .write,.cuts thead th:last-child{display:none}"
    ".boxes,.stop p,.stop ol,caption span{max-width:calc(100vw - 20mm)}.wide svg{max-width:none;width:150mm}}\n"
    "@media print{main{max-width:none;padding:0}body{font-size:9.5pt}h2{margin-top:5mm}.wide{overflow:visible}}\n"
    "@page{margin:12mm 12mm 15mm;font-size:9pt;@bottom-right{content:\"page \" counter(page) \" of \" counter(pages)}";

void
sheet_print(const struct plan *plan, const struct diag *diag, const char *job, struct text *out)
{
	const struct paper paper = { out, PAPER_MARKUP };
	struct clock       clock = choice_time(plan);
	const char        *title = is_blank(plan->job->title) ? "untitled" : plan->job->title;

	head_print(title, out);
	title_print(plan, title, job, out);
	first_print(diag, out);
	setup_print(plan, &paper);
	section_begin(out, "before", "Before the first cut");
	tables_steps(plan, before(plan), out);
	text_string(out, "</section>\n");
	passes_print(plan, &paper);
	cuts_print(plan, &clock, &paper);
	weights_print(plan, &clock, &paper);
	remarks_print(diag, &paper);
	cautions_print(out);
	text_string(out, "</main>\n</body>\n</html>\n");
}

/* The policy says what is so: whatever a browser is given beside, it loads and runs nothing. */
static void
head_print(const char *title, struct text *out)
{
	text_string(
	    out,
	    "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
	    "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"
	    "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
	    "<meta name=\"color-scheme\" content=\"only light\">\n<title>");
	markup_text(out, title);
	text_string(out, "</title>\n<style>\n");
	text_string(out, STYLE);
	text_string(out, "@bottom-left{content:\"");
	style_string(out, title);
	text_string(out, "\"}}\n</style>\n</head>\n<body>\n<main>\n");
}

/* In a style sheet: every ASCII character but letters, digits and the blank as its number, so that none can end the string. */
static void
style_string(struct text *out, const char *string)
{
	static const char PLAIN[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789 ";

	char        buffer[4 * TITLE_COLUMNS + 1];
	struct text clean = text_over(buffer, sizeof buffer);

	text_clean(&clean, string, TITLE_COLUMNS);
	for (const char *c = text_end(&clean); *c; c++) {
		if ((unsigned char)*c >= 0x80 || strchr(PLAIN, *c))
			text_char(out, *c);
		else
			text_format(out, "\\%X ", (unsigned)*c);
	}
}

static void
title_print(const struct plan *plan, const char *title, const char *job, struct text *out)
{
	const struct paper paper = { out, PAPER_MARKUP };

	text_string(out, "<header>\n<h1>");
	markup_text(out, title);
	text_string(out, "</h1>\n<div class=\"pair\">\n<dl>\n");
	wording_work(plan, &paper);
	wording_cutter(plan, &paper);
	text_string(out, "</dl>\n<dl>\n");
	job_print(plan, job, &paper);
	text_string(out, "</dl>\n</div>\n");
	tables_rates(plan, out);
	text_string(out, "</header>\n");
}

static void
job_print(const struct plan *plan, const char *job, const struct paper *paper)
{
	static const char *const BLANKS[] = { "Part number", "Made by", "Date" };

	const struct machine *machine = &plan->job->machine;

	paper_say(paper, "Job file", "%s", job);
	paper_say(paper, "Machine", "%s",
	          !machine->bound.node              ? "not described"
	          : machine->kind == MACHINE_MANUAL ? "worked by hand"
	                                            : "CNC");
	if (!handwork_wanted(plan))
		program_print(plan, paper);
	paper_say(paper, "Coolant", "%s", job_word(COOLANTS, (int)plan->coolant));
	paper_say(paper, "Planned by", "skimcut %s", SKIMCUT_VERSION);
	for (size_t i = 0; i < sizeof BLANKS / sizeof BLANKS[0]; i++)
		text_format(paper->out, "<dt>%s</dt>\n<dd><span class=\"blank\"></span></dd>\n", BLANKS[i]);
}

static void
program_print(const struct plan *plan, const struct paper *paper)
{
	const struct program *program = &plan->job->program;
	const struct zero    *zero    = &plan->job->zero;

	if (program->number > 0)
		paper_say(paper, "Program", "%lld, post %s, work offset G%d", (long long)program->number, program->post,
		          program->work_offset);
	else
		paper_say(paper, "Program", "post %s, work offset G%d", program->post, program->work_offset);
	paper_say(paper, "Zero", "X %s, Y %s, Z %s", job_word(ZERO_XS, (int)zero->x), job_word(ZERO_YS, (int)zero->y),
	          job_word(ZERO_ZS, (int)zero->z));
}

/* What comes before anything else that is printed here; the rest is at the end. */
static void
first_print(const struct diag *diag, struct text *out)
{
	size_t warnings = count_of(diag, SEVERITY_WARNING);

	text_string(
	    out, "<section class=\"first\" aria-labelledby=\"first\">\n<h2 id=\"first\">Read this first</h2>\n<ul>\n");
	text_string(out, "<li>This is paper: it has not seen the machine, the vise or the part. ");
	markup_text(out, CAUTIONS[CAUTION_COUNT - 1]);
	text_string(out,
	            "</li>\n<li>No hand near the work before the cutter has <strong>stopped</strong>. Switched off is "
	            "not stopped.</li>\n");
	if (warnings > 0)
		text_format(out, "<li><strong>%zu %s: read under Notes and warnings before you cut.</strong></li>\n",
		            warnings, warnings == 1 ? "warning" : "warnings");
	text_string(out, "</ul>\n</section>\n");
}

static void
setup_print(const struct plan *plan, const struct paper *paper)
{
	struct text *out = paper->out;

	section_begin(out, "setup", "Set-up");
	figure_begin(out, "Drawing of the set-up");
	sideview_draw(plan, out);
	figure_end(out, "The set-up, seen from the right end of the machine.");
	text_string(out, "<dl>\n");
	if (plan->hold.count > 0)
		wording_hold(plan, paper);
	else
		paper_say(paper, "Held",
		          "not described, so not checked: see for yourself that nothing stands in the way");
	wording_zero(plan, paper);
	text_string(out, "</dl>\n</section>\n");
}

static tables_sentence *
before(const struct plan *plan)
{
	return handwork_wanted(plan) ? handwork_before : program_before;
}

/* For a machine that runs a program. */
static bool
program_before(const struct plan *plan, size_t index, struct text *out)
{
	const struct job *job = plan->job;

	switch (index) {
	case 0:
		text_string(out, job->told.height > 0 ? "Part, vise and cutter stand as they did when the face was "
		                                        "cut; whatever was moved is set up anew."
		                                      : "The part down on a clean seat without rocking, vise or clamps "
		                                        "tight. Cutter and holder tight.");
		return true;
	case 1:
		text_format(out, "The zero of G%d: X is %s, Y %s, Z %s.", job->program.work_offset,
		            job_phrase(ZERO_XS, (int)job->zero.x), job_phrase(ZERO_YS, (int)job->zero.y),
		            job_phrase(ZERO_ZS, (int)job->zero.z));
		return true;
	case 2:
		text_format(
		    out,
		    "The length of tool %lld, measured and in the table. Touch %s with it: it must read Z %s there.",
		    (long long)plan->cutter->number,
		    job->told.height > 0 ? "the face that was measured" : "the stock's highest spot",
		    length_figure(job->stock.height - plan->zero.z, job->units).text);
		return true;
	case 3: run_above_say(plan, out); return true;
	case 4:
		text_format(
		    out,
		    "Then %s: single blocks, rapid override low, a hand on the stop until the first cut is under way.",
		    job->cut.test_cut > 0 ? "the test cut" : "the work");
		return true;
	default: return false;
	}
}

/* High enough to show a tool length or a zero that is far off: the waiting height is a person's guess at what is far. */
static void
run_above_say(const struct plan *plan, struct text *out)
{
	text_format(
	    out,
	    "Above the work first: raise the Z zero by %s or more, run the program in air with a hand on the stop, "
	    "and look where the cutter goes. Then put the zero back, and look twice that you did.",
	    length_show(plan->retract - plan->final, plan->job->units).text);
}

static void
passes_print(const struct plan *plan, const struct paper *paper)
{
	enum along   along = plan->layout.along;
	struct text *out   = paper->out;

	section_begin(out, "passes", "Passes");
	figure_begin(out, "Drawing of the passes");
	topview_draw(plan, false, out);
	figure_end(out, "The passes of one cut, seen from above; the front of the machine is below.");
	tables_passes(plan, out);
	text_string(out, "<dl>\n");
	wording_chips(plan, paper);
	if (handwork_wanted(plan))
		dial_say(plan, along == ALONG_X ? "Y dial" : "X dial", "from the zero edge to the cutter's centre",
		         dial_across(&plan->job->machine, along), paper);
	text_string(out, "</dl>\n");
	if (handwork_wanted(plan)) {
		text_string(out, "<h3>At every pass</h3>\n");
		tables_steps(plan, handwork_between, out);
	}
	text_string(out, "</section>\n");
}

static void
cuts_print(const struct plan *plan, const struct clock *clock, const struct paper *paper)
{
	struct text *out = paper->out;

	section_begin(out, "cuts", "Cuts");
	figure_begin(out, "Drawing of the depths");
	depthview_draw(plan, out);
	figure_end(out, "How the height comes off.");
	text_string(out, "<dl>\n");
	if (handwork_wanted(plan)) {
		feed_print(plan, paper);
		dial_say(plan, "Knee dial", "up from the touch-off zero", &plan->job->machine.dials.knee, paper);
	}
	wording_measuring(plan, clock, paper);
	text_string(out, "</dl>\n");
	tables_cuts(plan, out);
	text_string(out, "</section>\n");
}

static void
feed_print(const struct plan *plan, const struct paper *paper)
{
	char        buffer[SENTENCE];
	struct text words = text_over(buffer, sizeof buffer);

	if (plan->schedule.count > 1) {
		handwork_feed(plan, false, &words);
		paper_say(paper, "Feed", "test and rough: %s", text_end(&words));
		words = text_over(buffer, sizeof buffer);
	}
	handwork_feed(plan, true, &words);
	paper_say(paper, plan->schedule.count > 1 ? "" : "Feed", "%s%s", plan->schedule.count > 1 ? "skim: " : "",
	          text_end(&words));
}

static void
weights_print(const struct plan *plan, const struct clock *clock, const struct paper *paper)
{
	struct weights weights = weigh(plan);

	section_begin(paper->out, "loads", "Loads, grip, surface, coolant, time");
	text_string(paper->out, "<dl>\n");
	weighing_print(plan, &weights, paper);
	wording_time(plan, clock, paper);
	text_string(paper->out, "</dl>\n</section>\n");
}

static void
remarks_print(const struct diag *diag, const struct paper *paper)
{
	if (count_of(diag, SEVERITY_WARNING) + count_of(diag, SEVERITY_NOTE) == 0)
		return;
	section_begin(paper->out, "remarks", "Notes and warnings");
	text_string(paper->out, "<dl>\n");
	wording_remarks(diag, paper);
	text_string(paper->out, "</dl>\n</section>\n");
}

static void
cautions_print(struct text *out)
{
	section_begin(out, "cautions", "Cautions");
	text_string(out, "<ul>\n");
	for (size_t i = 0; i < CAUTION_COUNT; i++) {
		text_string(out, "<li>");
		markup_text(out, CAUTIONS[i]);
		text_string(out, "</li>\n");
	}
	text_string(out, "</ul>\n</section>\n");
}

static void
section_begin(struct text *out, const char *id, const char *heading)
{
	text_format(out, "<section aria-labelledby=\"%s\">\n<h2 id=\"%s\">%s</h2>\n", id, id, heading);
}

static void
figure_begin(struct text *out, const char *what)
{
	text_format(out, "<figure>\n<section class=\"wide\" aria-label=\"%s\" tabindex=\"0\">\n", what);
}

static void
figure_end(struct text *out, const char *caption)
{
	text_format(out, "</section>\n<figcaption>%s</figcaption>\n</figure>\n", caption);
}

static void
dial_say(const struct plan *plan, const char *label, const char *what, const struct dial *dial,
         const struct paper *paper)
{
	enum units units = plan->job->units;

	if (dial->per_turn > 0)
		paper_say(paper, label, "%s: %s a turn, %s a line", what, length_show(dial->per_turn, units).text,
		          length_show(dial->graduation, units).text);
}

/* Nothing that a page would show. */
static bool
is_blank(const char *string)
{
	for (const char *c = string; *c; c++)
		if ((unsigned char)*c > ' ' && *c != 127)
			return false;
	return true;
}

static size_t
count_of(const struct diag *diag, enum severity severity)
{
	size_t count = 0;

	for (const struct message *message = diag->first; message; message = message->next)
		count += message->severity == severity;
	return count;
}
