#include "planning.h"

#include "skimcut/paper.h"
#include "skimcut/tables.h"
#include "skimcut/wording.h"

enum { BYTES = 1 << 18 };

static char page[BYTES];

static const char BY_HAND[] = "machine: {kind: manual, dials: {x: {per_turn: 5, graduation: 0.05}, y: {per_turn: 4, "
			      "graduation: 0.02}, knee: {per_turn: 2, graduation: 0.02}}}\n";

typedef void table(const struct plan *plan, struct text *out);

static const char *
table_of(table *print, const struct plan *plan)
{
	struct text out = text_over(page, sizeof page);

	print(plan, &out);
	assert_false(out.failed);
	return text_end(&out);
}

/* 80 mm of width and a 16 mm cutter, 5 mm to come off. */
static void
plan_open(struct planning *planning, const char *cut, const char *more)
{
	static char yaml[4096];
	struct text out = text_over(yaml, sizeof yaml);

	text_format(&out,
	            "units: mm\ntitle: a block\nmaterial: brass\nstock: {length: 150, width: 80, height: 25}\n"
	            "finished_height: 20\ncutter: {kind: end mill, diameter: 16, teeth: 4, edge: carbide, nose_radius: "
	            "0.2, flute_length: 30}\ncut: {%s}\n%s",
	            cut, more);
	if (!planning_open(planning, text_end(&out)) || !planning_plan(planning, ALONG_X))
		fail_msg("no plan: %s\n%s", planning->diag.last ? planning->diag.last->text : "", yaml);
}

static size_t
count_of(const char *part)
{
	size_t count = 0;

	for (const char *at = page; (at = strstr(at, part)); at += strlen(part))
		count++;
	return count;
}

static void
expect_part(const char *part)
{
	if (!strstr(page, part))
		fail_msg("'%s' is not in\n%s", part, page);
}

static void
groups_are_equal_and_make_twenty_boxes_or_fewer(void **state)
{
	(void)state;
	for (int64_t count = 1; count <= 10000; count++) {
		int64_t group = tables_group(count), boxes = (count - 1) / group + 1;

		assert_true(group >= 1 && boxes <= TABLES_BOXES);
		if (count <= TABLES_BOXES)
			assert_int_equal(boxes, count);
		else
			assert_true((count - 1) / (group - 1) + 1 > TABLES_BOXES);
	}
}

static void
every_pass_of_every_cut_has_a_box(void **state)
{
	struct planning planning;
	int64_t         passes;
	char            name[80];

	(void)state;
	plan_open(&planning, "rough: 2, skim: 0.2, test_cut: 0.5, stepover: 70 %", "");
	passes = planning.plan.layout.passes;
	assert_true(passes > 1 && passes <= TABLES_BOXES);
	table_of(tables_cuts, &planning.plan);
	assert_int_equal(count_of("type=\"checkbox\""), planning.plan.schedule.count * (size_t)passes);
	for (size_t cut = 1; cut <= planning.plan.schedule.count; cut++)
		for (int64_t pass = 1; pass <= passes; pass++) {
			struct text text = text_over(name, sizeof name);

			text_format(&text, "aria-label=\"cut %zu, pass %lld\">%lld</label>", cut, (long long)pass,
			            (long long)pass);
			expect_part(text_end(&text));
		}
	expect_part("Tick a box after its pass.");
	planning_close(&planning);
}

/* Stock 300 wide under 6 mm at half of it: 301.2 mm at 3 a pass is 101 passes, 6 to a box, and 5 in the last of 17. */
static void
many_passes_share_boxes_and_the_table_says_so(void **state)
{
	static const char yaml[] = "units: mm\ntitle: a plate\nmaterial: brass\n"
				   "stock: {length: 200, width: 300, height: 20.1}\nfinished_height: 20\n"
				   "cutter: {kind: end mill, diameter: 6, teeth: 2, edge: carbide, nose_radius: 0.2}\n"
				   "cut: {rough: 0.2, skim: 0.2, test_cut: 0, stepover: 50 %}\n";
	struct planning   planning;

	(void)state;
	if (!planning_open(&planning, yaml) || !planning_plan(&planning, ALONG_X))
		fail_msg("no plan: %s", planning.diag.last ? planning.diag.last->text : "");
	assert_int_equal(planning.plan.layout.passes, 101);
	assert_int_equal(planning.plan.schedule.count, 1);
	table_of(tables_cuts, &planning.plan);
	assert_int_equal(count_of("type=\"checkbox\""), 17);
	expect_part("A box stands for 6 passes, the last for 5: tick it after the one whose number it has.");
	expect_part("aria-label=\"cut 1, passes 1 to 6\">6</label>");
	expect_part("aria-label=\"cut 1, passes 97 to 101\">101</label>");
	table_of(tables_passes, &planning.plan);
	assert_int_equal(count_of("<tr><th scope=\"row\">"), 2 * PAPER_KEPT);
	expect_part("passes 9 to 93 go on alike: 85 more, each ");
	expect_part("<tr><th scope=\"row\">8</th>");
	expect_part("<tr><th scope=\"row\">94</th>");
	expect_part("<tr><th scope=\"row\">101</th>");
	planning_close(&planning);
}

/* Forty in twenty boxes: none is for fewer, and of a last one nothing is said. */
static void
boxes_that_come_out_even_have_no_last_one(void **state)
{
	struct planning planning;

	(void)state;
	plan_open(&planning, "rough: 2, skim: 0.2, test_cut: 0.5, stepover: 70 %", "");
	planning.plan.layout.passes = 40;
	table_of(tables_cuts, &planning.plan);
	expect_part("A box stands for 2 passes: tick it after the one whose number it has.");
	expect_part("aria-label=\"cut 1, passes 39 to 40\">40</label>");
	planning_close(&planning);
}

/* 5 mm at 0.05: a hundred cuts, of which 16 have rows of their own and 84 share boxes of 5. */
static void
many_cuts_are_thinned_and_those_between_still_have_boxes(void **state)
{
	struct planning planning;
	size_t          count;

	(void)state;
	plan_open(&planning, "rough: 0.05, skim: 0.05, test_cut: 0.05, measure: [test, skim]", "");
	count = planning.plan.schedule.count;
	assert_int_equal(count, 100);
	table_of(tables_cuts, &planning.plan);
	assert_int_equal(count_of("<th scope=\"rowgroup\""), 2 * PAPER_KEPT);
	expect_part("cuts 9 to 92 go on alike: 84 more, 0.05 mm deep or less; a box here stands for 5 cuts");
	expect_part("aria-label=\"cuts 9 to 13\">13</label>");
	expect_part("aria-label=\"cuts 89 to 92\">92</label>");
	assert_int_equal(count_of("<strong>Stop after cut 1.</strong>"), 1);
	assert_int_equal(count_of("<strong>Stop after cut 99.</strong>"), 1);
	assert_int_equal(count_of("<strong>Done.</strong>"), 1);
	planning_close(&planning);
}

static void
every_cut_has_its_figures_and_room_for_the_height_measured(void **state)
{
	struct planning planning;

	(void)state;
	plan_open(&planning, "rough: 2.5, skim: 0.2, test_cut: 0.3", "zero: {z: top}\n");
	table_of(tables_cuts, &planning.plan);
	expect_part("<th scope=\"col\">cut</th><th scope=\"col\">kind</th><th scope=\"col\">depth</th><th "
	            "scope=\"col\">Z</th><th scope=\"col\">feed</th><th scope=\"col\">height left</th><th "
	            "scope=\"col\">measured</th>");
	expect_part("<td>test</td><td>0.300</td><td>-0.300</td>");
	expect_part("<td>24.700</td><td rowspan=\"2\" class=\"write\"></td></tr>");
	expect_part("<td>skim</td><td>0.200</td><td>-5.000</td>");
	assert_int_equal(count_of("class=\"write\"></td>"), planning.plan.schedule.count);
	planning_close(&planning);
}

static void
a_program_stops_with_its_spindle_off_and_asks_for_the_parallels(void **state)
{
	struct planning planning;

	(void)state;
	plan_open(&planning, "rough: 2.5, skim: 0.2, test_cut: 0.3, measure: [test]",
	          "vise: {front_jaw: 40, rear_jaw: 40, jaw_width: 150}\nparallels: [25]\n");
	table_of(tables_cuts, &planning.plan);
	expect_part(
	    "<strong>Stop after cut 1.</strong> Spindle off and standing still. Are the parallels still tight at "
	    "all four corners?");
	expect_part("The height should be 24.700. Read <span class=\"blank\"></span> less 20.000 = <span "
	            "class=\"blank\"></span> to go; planned 4.700.");
	expect_part("<strong>Done.</strong> Spindle off and standing still.");
	assert_null(strstr(page, "<ol>"));
	planning_close(&planning);
}

/* 0.3 up is 15 lines of 0.02; 5 up are 2 turns and 50. */
static void
a_machine_worked_by_hand_has_its_dials_and_the_steps_of_a_stop(void **state)
{
	struct planning planning;

	(void)state;
	plan_open(&planning, "rough: 5, skim: 0.5, test_cut: 0.3, measure: [test]", BY_HAND);
	table_of(tables_cuts, &planning.plan);
	expect_part("<th scope=\"col\">depth</th><th scope=\"col\">knee up</th><th scope=\"col\">knee dial</th><th "
	            "scope=\"col\">feed</th>");
	expect_part("<td>test</td><td>0.300</td><td>0.300</td><td>0 turns + 15</td>");
	expect_part("<td>skim</td><td>0.500</td><td>5.000</td><td>2 turns + 50</td>");
	assert_null(strstr(page, "<th scope=\"col\">Z</th>"));
	expect_part("<strong>Stop after cut 1.</strong></p>\n<ol>\n<li>Spindle off, and wait until it STANDS STILL");
	assert_int_equal(count_of("<ol>"), 1);
	table_of(tables_passes, &planning.plan);
	expect_part("<th scope=\"col\">Y dial</th>");
	expect_part(", saddle to the front</td>");
	planning_close(&planning);
}

/* Without dials the knee's height is told all the same, and nothing of what a dial would read. */
static void
without_dials_the_knee_comes_up_by_so_much(void **state)
{
	struct planning planning;

	(void)state;
	plan_open(&planning, "rough: 5, skim: 0.5, test_cut: 0.3", "machine: {kind: manual}\nzero: {z: bottom}\n");
	table_of(tables_cuts, &planning.plan);
	expect_part("<th scope=\"col\">knee up</th><th scope=\"col\">feed</th>");
	expect_part("<td>test</td><td>0.300</td><td>0.300</td>");
	assert_null(strstr(page, "knee dial"));
	assert_null(strstr(page, "turns +"));
	table_of(tables_passes, &planning.plan);
	assert_null(strstr(page, "dial"));
	planning_close(&planning);
}

/* The list is long, so it is told once; every stop has its height, and room for what is read. */
static void
the_steps_of_a_stop_are_told_at_the_first(void **state)
{
	static const char AGAIN[] = "<p>Spindle off and standing still; the steps are those of the first stop.</p>";

	struct planning planning;
	const char     *again;

	(void)state;
	plan_open(&planning, "rough: 2.5, skim: 0.5, test_cut: 0.3, measure: [test, skim]", BY_HAND);
	assert_int_equal(planning.plan.schedule.count, 4);
	table_of(tables_cuts, &planning.plan);
	assert_int_equal(count_of("<ol>"), 1);
	assert_int_equal(count_of(AGAIN), 1);
	assert_true(strstr(page, "Stop after cut 1.") < strstr(page, "<ol>"));
	again = strstr(page, "<strong>Stop after cut 3.</strong></p>\n");
	assert_non_null(again);
	assert_true(strstr(page, "<ol>") < again && again < strstr(page, AGAIN));
	assert_int_equal(count_of("The height should be "), 3);
	expect_part("The height should be 20.500. Read <span class=\"blank\"></span> less 20.000 = ");
	expect_part("<strong>Done.</strong> Spindle off and standing still.</p>\n<p>The height should be 20.000.");
	planning_close(&planning);
	/* The first of them may be the one before the skim. */
	plan_open(&planning, "rough: 2.5, skim: 0.5, test_cut: 0.3, measure: [skim]", BY_HAND);
	table_of(tables_cuts, &planning.plan);
	expect_part("<strong>Stop after cut 3.</strong></p>\n<ol>");
	assert_int_equal(count_of(AGAIN), 0);
	planning_close(&planning);
}

/* A hundred cuts and thirty passes: whoever stands at a handle has a row for each, and the dial's reading in it. */
static void
no_table_of_a_hand_is_thinned(void **state)
{
	struct planning planning;

	(void)state;
	plan_open(&planning, "rough: 0.05, skim: 0.05, test_cut: 0.05, stepover: 20 %", BY_HAND);
	assert_int_equal(planning.plan.schedule.count, 100);
	assert_true(planning.plan.layout.passes > PAPER_ROWS);
	table_of(tables_cuts, &planning.plan);
	assert_int_equal(count_of("<th scope=\"rowgroup\""), 100);
	assert_int_equal(count_of(" turns + ") + count_of("1 turn + "), 100);
	assert_null(strstr(page, "go on alike"));
	table_of(tables_passes, &planning.plan);
	assert_int_equal(count_of("scope=\"row\""), planning.plan.layout.passes);
	assert_int_equal(count_of("<td class=\"dial\">"), planning.plan.layout.passes);
	assert_null(strstr(page, "go on alike"));
	planning_close(&planning);
}

/* Of every row: cells, and those of the head, are as many. */
static void
rows_are_as_wide_as_their_heads_in_random_jobs(void **state)
{
	uint64_t random = 1054571817, made = 0;

	(void)state;
	for (int i = 0; i < 200; i++) {
		uint64_t        seed = random;
		char            yaml[4096];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		random_job(&random, "a block", &out);
		holds(seed, planning_open(&planning, yaml));
		if (planning_plan(&planning, random_chance(&random, 2) ? ALONG_X : ALONG_Y)) {
			int64_t passes = planning.plan.layout.passes;
			bool    more   = passes > PAPER_ROWS && !job_is_manual(&planning.job);
			size_t  rows   = (size_t)(more ? 2 * PAPER_KEPT : passes);

			table_of(tables_passes, &planning.plan);
			holds(seed, count_of("scope=\"col\"") == 7);
			holds(seed, count_of("scope=\"row\"") == rows);
			holds(seed, count_of("<td") == rows * 6 + more);
			table_of(tables_cuts, &planning.plan);
			holds(seed, count_of("scope=\"col\"") == 7);
			holds(seed, count_of("<tbody>") == count_of("</tbody>"));
			table_of(tables_rates, &planning.plan);
			holds(seed, count_of("scope=\"col\"") == 6);
			holds(seed, count_of("<td>") == (planning.plan.schedule.count > 1 ? 10 : 5));
			made++;
		}
		planning_close(&planning);
	}
	assert_true(made > 100);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(groups_are_equal_and_make_twenty_boxes_or_fewer),
		cmocka_unit_test(every_pass_of_every_cut_has_a_box),
		cmocka_unit_test(many_passes_share_boxes_and_the_table_says_so),
		cmocka_unit_test(boxes_that_come_out_even_have_no_last_one),
		cmocka_unit_test(many_cuts_are_thinned_and_those_between_still_have_boxes),
		cmocka_unit_test(every_cut_has_its_figures_and_room_for_the_height_measured),
		cmocka_unit_test(a_program_stops_with_its_spindle_off_and_asks_for_the_parallels),
		cmocka_unit_test(a_machine_worked_by_hand_has_its_dials_and_the_steps_of_a_stop),
		cmocka_unit_test(without_dials_the_knee_comes_up_by_so_much),
		cmocka_unit_test(the_steps_of_a_stop_are_told_at_the_first),
		cmocka_unit_test(no_table_of_a_hand_is_thinned),
		cmocka_unit_test(rows_are_as_wide_as_their_heads_in_random_jobs),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
