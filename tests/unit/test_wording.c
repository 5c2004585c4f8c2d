#include "planning.h"

#include <stdlib.h>

#include "skimcut/chips.h"
#include "skimcut/choice.h"
#include "skimcut/clock.h"
#include "skimcut/handwork.h"
#include "skimcut/measured.h"
#include "skimcut/paper.h"
#include "skimcut/wording.h"

static char page[1 << 14];

static const char BLOCK[] = "units: mm\ntitle: a block\nmaterial: low-carbon steel\n"
			    "stock: {length: 150, width: 60, height: 25}\nfinished_height: 20\n"
			    "cutter: {kind: face mill, diameter: 80, teeth: 5, edge: carbide, nose_radius: 0.8}\n";

typedef void saying(const struct plan *plan, const struct paper *paper);

/* What is said, in `page`, on either kind of paper. */
static const char *
said(saying *say, const struct plan *plan, enum paper_kind kind)
{
	struct text        out   = text_over(page, sizeof page);
	const struct paper paper = { &out, kind };

	say(plan, &paper);
	assert_false(out.failed);
	return text_end(&out);
}

static void
plan_open(struct planning *planning, const char *more, enum along along)
{
	static char yaml[4096];
	struct text out = text_over(yaml, sizeof yaml);

	text_string(&out, BLOCK);
	text_string(&out, more);
	if (!planning_open(planning, text_end(&out)) || !planning_plan(planning, along))
		fail_msg("no plan: %s\n%s", planning->diag.last ? planning->diag.last->text : "", yaml);
}

static void
expect_said(saying *say, const struct plan *plan, const char *const *parts, size_t count)
{
	/* On the page of 78 columns a sentence goes over line ends. */
	said(say, plan, PAPER_MARKUP);
	for (size_t i = 0; i < count; i++)
		if (!strstr(page, parts[i]))
			fail_msg("'%s' is not in\n%s", parts[i], page);
}

#define expect(say, plan, ...)                                                                                         \
	do {                                                                                                           \
		static const char *const parts[] = { __VA_ARGS__ };                                                    \
		expect_said(say, plan, parts, sizeof parts / sizeof parts[0]);                                         \
	} while (0)

static void
a_way_and_a_cut_have_their_words(void **state)
{
	(void)state;
	assert_string_equal(wording_travel(ALONG_X, 1), "+X");
	assert_string_equal(wording_travel(ALONG_X, -1), "-X");
	assert_string_equal(wording_travel(ALONG_Y, 1), "+Y");
	assert_string_equal(wording_travel(ALONG_Y, -1), "-Y");
	assert_string_equal(wording_kind(CUT_TEST), "test");
	assert_string_equal(wording_kind(CUT_ROUGH), "rough");
	assert_string_equal(wording_kind(CUT_SKIM), "skim");
}

/* 60 under 80: 20 hang over, three quarters of it at the back where more than half is then cut against the feed. */
static void
one_pass_tells_what_hangs_over(void **state)
{
	struct planning planning;

	(void)state;
	plan_open(&planning, "", ALONG_X);
	expect(wording_cutter, &planning.plan, "<dt>Cutter</dt>", "face mill, 80.000 mm, 5 teeth, carbide",
	       "It covers the 60.000 mm across the passes with 20.000 to spare: 5.000 over the front edge, 15.000 over "
	       "the back.");
	assert_string_equal(wording_milling(&planning.plan, 0), "mostly conventional");
	planning_close(&planning);
}

static void
several_passes_tell_how_many(void **state)
{
	struct planning planning;

	(void)state;
	plan_open(&planning, "cut: {stepover: 50 %}\n", ALONG_Y);
	expect(wording_cutter, &planning.plan, "It does not cover the 150.000 mm across the passes in one",
	       "This plan has 4 passes");
	planning_close(&planning);
	plan_open(&planning, "cut: {stepover: 50 %, pattern: one-way}\n", ALONG_X);
	expect(wording_cutter, &planning.plan, "It could cover the 60.000 mm across the passes in one",
	       "This plan has 2 passes");
	planning_close(&planning);
}

static void
the_work_and_its_zero_have_their_figures(void **state)
{
	struct planning planning;

	(void)state;
	plan_open(&planning, "zero: {x: right, y: back, z: bottom}\n", ALONG_X);
	expect(wording_work, &planning.plan, "low-carbon steel, 150.000 x 60.000 x 25.000 mm (length, width, height)",
	       "<dt>Comes off</dt>\n<dd>5.000 mm, to leave 20.000 mm</dd>");
	assert_null(strstr(page, "Measured"));
	expect(wording_zero, &planning.plan,
	       "X is the right edge, Y the back edge, Z the bottom of the stock. A cutter that just touches the "
	       "stock&#39;s highest spot stands at Z 25.000.",
	       "down to Z 20.000: jaws, clamps and stops are below that, or outside.");
	planning_close(&planning);
}

/* A hand has no Z: heights are told from where the cutter touches. */
static void
by_hand_zero_is_where_the_cutter_touches(void **state)
{
	struct planning planning;

	(void)state;
	plan_open(&planning, "zero: {x: right, y: back, z: bottom}\nmachine: {kind: manual}\n", ALONG_X);
	expect(wording_zero, &planning.plan,
	       "<dt>Zero</dt>\n<dd>X is the right edge, Y the back edge. The knee&#39;s zero is where the cutter just "
	       "touches the stock&#39;s highest spot; the finished face is 5.000 mm up from there.</dd>",
	       "down to the finished face: jaws, clamps and stops are below that, or outside.");
	assert_null(strstr(page, "Z "));
	assert_null(strstr(page, "Heights"));
	said(wording_chips, &planning.plan, PAPER_MARKUP);
	assert_null(strstr(page, "go up to Z"));
	planning_close(&planning);
}

/* 5 to come off, of which 2 are off: what is touched is the face that is there. */
static void
a_measured_face_is_what_is_touched(void **state)
{
	static const struct {
		const char *machine, *words;
	} CASES[] = {
		{ "",
		  "A cutter that just touches the face that was measured stands at Z 3.000: correct the Z zero if it "
		  "does not." },
		{ "machine: {kind: manual}\n", "The knee&#39;s zero is where the cutter just touches the face that was "
		                               "measured; the finished face is 3.000 mm up from there." },
	};

	(void)state;
	for (size_t i = 0; i < 2; i++) {
		char            yaml[1024];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		text_format(&out, "%s%s", BLOCK, CASES[i].machine);
		assert_true(planning_open(&planning, text_end(&out)));
		assert_true(measured_take(&planning.job, "23", &planning.diag));
		assert_true(planning_plan(&planning, ALONG_X));
		assert_non_null(strstr(said(wording_zero, &planning.plan, PAPER_MARKUP), CASES[i].words));
		assert_null(strstr(page, "highest spot"));
		expect(wording_work, &planning.plan,
		       "<dt>Measured</dt>\n<dd>23.000 mm at the machine; it was 25.000 to begin with</dd>",
		       "<dd>3.000 mm, to leave 20.000 mm</dd>");
		planning_close(&planning);
	}
}

/* Jaws of 40 on parallels of 25: the finished face is 45 above the bed. */
static void
vise_and_clamps_are_said_and_nothing_where_there_are_none(void **state)
{
	struct planning planning;

	(void)state;
	plan_open(&planning, "", ALONG_X);
	assert_string_equal(said(wording_hold, &planning.plan, PAPER_PLAIN), "");
	planning_close(&planning);
	plan_open(&planning, "vise: {front_jaw: 40, rear_jaw: 40, jaw_width: 150}\nparallels: [25]\n", ALONG_X);
	expect(wording_hold, &planning.plan, "in the vise, on 25 mm parallels; jaws 5 mm below the finished face");
	planning_close(&planning);
	plan_open(
	    &planning,
	    "hold: {clamps: [{x: -60, y: 20, length: 30, width: 20, height: 15}, {x: 180, y: 20, length: 30, width: "
	    "20, height: 12}]}\n",
	    ALONG_X);
	expect(wording_hold, &planning.plan,
	       "<dt>Held</dt>\n<dd>by 2 clamps, the highest 5 mm below the finished face");
	planning_close(&planning);
}

/* 80 mm, 5 teeth; of the roughing cuts the deepest is told: depth x 60 mm x feed. */
static void
removal_is_that_of_the_deepest_cut_of_its_kind(void **state)
{
	struct planning planning;
	Length          depth = 0;
	struct shown    shown;
	double          cm3;

	(void)state;
	plan_open(&planning, "cut: {test_cut: 0.5, rough: 2, skim: 0.2}\n", ALONG_X);
	for (size_t i = 0; i + 1 < planning.plan.schedule.count; i++) {
		const struct cut *cut = &planning.plan.schedule.cuts[i];

		depth = cut->top - cut->floor > depth ? cut->top - cut->floor : depth;
	}
	cm3   = (double)depth / 1e6 * 60 * (double)planning.plan.rough.vf / 1e6 / 1000;
	shown = wording_removal(&planning.plan, false);
	assert_true(strtod(shown.text, NULL) > cm3 - 0.051 && strtod(shown.text, NULL) < cm3 + 0.051);
	assert_non_null(strstr(shown.text, " cm3/min"));
	planning_close(&planning);
	plan_open(&planning, "cut: {test_cut: 0, rough: 5, skim: 5}\n", ALONG_X);
	assert_int_equal(planning.plan.schedule.count, 1);
	assert_string_equal(wording_removal(&planning.plan, false).text, "-");
	planning_close(&planning);
}

static void
chips_are_told_once_for_every_way_they_go(void **state)
{
	struct planning planning;
	struct chips    first;

	(void)state;
	plan_open(&planning, "cut: {pattern: zigzag, stepover: 50 %}\n", ALONG_Y);
	assert_true(planning.plan.layout.passes >= 3);
	first = chips_find(&planning.plan, 0);
	said(wording_chips, &planning.plan, PAPER_MARKUP);
	assert_non_null(strstr(page, chips_corner(first.towards)));
	assert_non_null(strstr(page, "Step over at depth beyond the end, in air."));
	assert_ptr_equal(strstr(page, "<dt>Chips</dt>"), page);
	assert_null(strstr(page + 1, "<dt>Chips</dt>"));
	planning_close(&planning);
}

/* The first pass has more of the work on one side than the last, and throws farther round. */
static void
passes_that_throw_to_one_side_have_one_guard_wide_enough_for_all(void **state)
{
	static const char yaml[] =
	    "units: mm\nmaterial: aluminium\nstock: {length: 116.3, width: 98.26, height: 6.8612}\n"
	    "finished_height: 4.8\ncut: {stepover: 88 %, milling: climb}\n"
	    "cutter: {kind: end mill, diameter: 10.44, teeth: 2, edge: carbide}\n"
	    "machine: {kind: manual, spindle: {max: 4000}, dials: {x: {per_turn: 1.6, graduation: 0.02}}}\n";
	struct planning planning;
	struct chips    first, second;

	(void)state;
	assert_true(planning_open(&planning, yaml) && planning_plan(&planning, ALONG_Y));
	first  = chips_find(&planning.plan, 0);
	second = chips_find(&planning.plan, 1);
	assert_int_equal(first.towards, SIDE_RIGHT);
	assert_int_equal(second.towards, SIDE_RIGHT);
	assert_int_not_equal(first.guard, second.guard);
	assert_int_equal(first.guard | second.guard, SIDE_RIGHT | SIDE_BACK | SIDE_FRONT);
	said(wording_chips, &planning.plan, PAPER_MARKUP);
	assert_non_null(strstr(page, "<dd>to the right: put a guard right, back and front; stand at the left.</dd>"));
	assert_null(strstr(strstr(page, "put a guard") + 1, "put a guard"));
	planning_close(&planning);
}

/* For every side that some pass throws to there is one guard, as wide as all of them need, and nobody is told to stand before it. */
static void
no_pass_throws_beside_its_guard(void **state)
{
	uint64_t random = 1602176634, made = 0, joined = 0;

	(void)state;
	for (int i = 0; i < 400; i++) {
		uint64_t        seed = random;
		char            yaml[4096];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		random_job(&random, "a block", &out);
		holds(seed, planning_open(&planning, yaml));
		if (planning_plan(&planning, random_chance(&random, 2) ? ALONG_X : ALONG_Y)) {
			const int64_t passes = planning.plan.layout.passes;

			said(wording_chips, &planning.plan, PAPER_MARKUP);
			for (int64_t k = 0; k < passes; k++) {
				struct chips chips = chips_find(&planning.plan, k);
				unsigned     guard = chips.guard;
				char         words[160];
				struct text  text = text_over(words, sizeof words);

				for (int64_t other = 0; other < passes; other++)
					if (chips_find(&planning.plan, other).towards == chips.towards)
						guard |= chips_find(&planning.plan, other).guard;
				text_format(&text, "to %s: put a guard %s; ", chips_corner(chips.towards),
				            chips_sides(guard).text);
				holds(seed, chips.towards == 0 || strstr(page, text_end(&text)));
				joined += guard != chips.guard;
			}
			made++;
		}
		planning_close(&planning);
	}
	assert_true(made > 200 && joined > 3);
}

/* A pass beside the work: no corner to name, and nothing read behind an empty word. */
static void
a_pass_that_cuts_nothing_throws_no_chips(void **state)
{
	struct planning planning;

	(void)state;
	plan_open(&planning, "", ALONG_X);
	assert_string_equal(wording_chips_to(&planning.plan, 0), "back");
	planning.plan.layout.first = 500 * LENGTH_MM;
	assert_string_equal(wording_chips_to(&planning.plan, 0), "");
	planning_close(&planning);
}

static void
time_counts_stops_and_measuring_says_what_to_do_with_the_zero(void **state)
{
	struct planning    planning;
	struct text        out   = text_over(page, sizeof page);
	const struct paper paper = { &out, PAPER_MARKUP };
	struct clock       clock;

	(void)state;
	plan_open(&planning, "cut: {measure: [test]}\n", ALONG_X);
	clock = choice_time(&planning.plan);
	wording_time(&planning.plan, &clock, &paper);
	wording_measuring(&planning.plan, &clock, &paper);
	assert_non_null(strstr(text_end(&out), "; 1 stop not counted</dd>"));
	assert_non_null(strstr(page, "lower the Z zero by the difference"));
	planning_close(&planning);
	out = text_over(page, sizeof page);
	plan_open(&planning, "cut: {measure: [test]}\nmachine: {kind: manual}\n", ALONG_X);
	clock = choice_time(&planning.plan);
	wording_measuring(&planning.plan, &clock, &paper);
	assert_null(strstr(text_end(&out), "Z zero"));
	planning_close(&planning);
}

static void
measuring_has_as_many_paragraphs_as_it_needs(void **state)
{
	static const struct {
		const char *yaml;
		size_t      count;
	} CASES[] = {
		{ "cut: {measure: [test]}\n", 2 },
		{ "cut: {measure: []}\n", 1 },
		{ "cut: {measure: [test]}\nmachine: {kind: manual}\n", 2 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		struct planning planning;
		struct clock    clock;
		size_t          count = 0;

		plan_open(&planning, CASES[i].yaml, ALONG_X);
		clock = choice_time(&planning.plan);
		while (wording_measure(&planning.plan, &clock, count))
			count++;
		assert_int_equal(count, CASES[i].count);
		assert_null(wording_measure(&planning.plan, &clock, count + 1));
		planning_close(&planning);
	}
}

static void
remarks_are_notes_and_warnings_and_no_more(void **state)
{
	struct planning    planning;
	struct text        out   = text_over(page, sizeof page);
	const struct paper paper = { &out, PAPER_MARKUP };

	(void)state;
	plan_open(&planning, "", ALONG_X);
	diag_add(&planning.diag, SEVERITY_WARNING, (struct place){ 0 }, "mind <the> gap");
	diag_add(&planning.diag, SEVERITY_REFUSED, (struct place){ 0 }, "not this one");
	wording_remarks(&planning.diag, &paper);
	assert_non_null(strstr(text_end(&out), "<dt>WARNING</dt>\n<dd>mind &lt;the&gt; gap.</dd>"));
	assert_non_null(strstr(page, "<dt>Note</dt>"));
	assert_null(strstr(page, "not this one"));
	planning_close(&planning);
}

/* So that a list of descriptions on the sheet is one, and a block of the plan has its margin. */
static void
every_paragraph_begins_with_its_label(void **state)
{
	static saying *const SAYINGS[] = { wording_work, wording_cutter, wording_zero, wording_chips };

	uint64_t random = 299792458, made = 0;

	(void)state;
	for (int i = 0; i < 100; i++) {
		uint64_t        seed = random;
		char            yaml[4096];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		random_job(&random, "a block", &out);
		holds(seed, planning_open(&planning, yaml));
		if (planning_plan(&planning, ALONG_X)) {
			for (size_t k = 0; k < sizeof SAYINGS / sizeof SAYINGS[0]; k++) {
				said(SAYINGS[k], &planning.plan, PAPER_MARKUP);
				holds(seed, strncmp(page, "<dt>", 4) == 0);
				said(SAYINGS[k], &planning.plan, PAPER_PLAIN);
				holds(seed, *page != ' ');
			}
			for (int64_t pass = 0; pass < planning.plan.layout.passes; pass++)
				holds(seed, layout_pass(&planning.plan.layout, pass).climb ==
				                (strstr(wording_milling(&planning.plan, pass), "climb") != NULL));
			made++;
		}
		planning_close(&planning);
	}
	assert_true(made > 50);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_way_and_a_cut_have_their_words),
		cmocka_unit_test(one_pass_tells_what_hangs_over),
		cmocka_unit_test(several_passes_tell_how_many),
		cmocka_unit_test(the_work_and_its_zero_have_their_figures),
		cmocka_unit_test(by_hand_zero_is_where_the_cutter_touches),
		cmocka_unit_test(a_measured_face_is_what_is_touched),
		cmocka_unit_test(vise_and_clamps_are_said_and_nothing_where_there_are_none),
		cmocka_unit_test(removal_is_that_of_the_deepest_cut_of_its_kind),
		cmocka_unit_test(chips_are_told_once_for_every_way_they_go),
		cmocka_unit_test(passes_that_throw_to_one_side_have_one_guard_wide_enough_for_all),
		cmocka_unit_test(no_pass_throws_beside_its_guard),
		cmocka_unit_test(a_pass_that_cuts_nothing_throws_no_chips),
		cmocka_unit_test(time_counts_stops_and_measuring_says_what_to_do_with_the_zero),
		cmocka_unit_test(measuring_has_as_many_paragraphs_as_it_needs),
		cmocka_unit_test(remarks_are_notes_and_warnings_and_no_more),
		cmocka_unit_test(every_paragraph_begins_with_its_label),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
