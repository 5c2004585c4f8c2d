#include "drawing.h"

#include "skimcut/depthview.h"

static const uint64_t SEED = 0x5eed0fdeb70e0011;

enum { RANDOM_JOBS = 300 };

static struct drawing drawing;

static void
draw(const struct plan *plan)
{
	struct text out = text_over(drawing.text, sizeof drawing.text);

	depthview_draw(plan, &out);
	assert_false(out.failed);
	text_end(&out);
	drawing_measure(&drawing);
}

static void
draw_job(const char *height, const char *cut)
{
	char            yaml[JOB_ROOM];
	struct planning planning;

	snprintf(yaml, sizeof yaml,
	         "units: mm\ntitle: \"<b>\"\nmaterial: low-carbon steel\nstock: {length: 100, width: 60, height: %s}\n"
	         "finished_height: 20\ncutter: {kind: face mill, teeth: 4, edge: carbide, diameter: 50}\ncut: {%s}\n",
	         height, cut);
	if (!planning_open(&planning, yaml) || !planning_plan(&planning, ALONG_X))
		fail_msg("no plan for %s", yaml);
	draw(&planning.plan);
	planning_close(&planning);
}

static void
labels_and_lines_stay_on_the_paper(const struct plan *plan, uint64_t seed)
{
	draw(plan);
	labels_hold(&drawing, seed);
	lines_hold(&drawing, seed);
	holds(seed, drawing.width <= 180 && drawing.height <= 90);
	holds(seed, strstr(drawing.text, "random") == NULL);
}

static void
no_label_stands_on_another_or_off_the_paper(void **state)
{
	(void)state;
	each_held(SEED, RANDOM_JOBS, labels_and_lines_stay_on_the_paper);
}

static void
every_cut_has_its_kind_its_depth_and_what_it_leaves(void **state)
{
	static const char *const WANTED[] = { "1 test",  "0.500", "23.000", "the stock", "22.500",
		                              "2 rough", "1.150", "21.350", "3 rough",   "20.200",
		                              "4 skim",  "0.200", "20.000", "finished" };

	(void)state;
	draw_job("23", "test_cut: 0.5, rough: 1.5, skim: 0.2");
	for (size_t i = 0; i < sizeof WANTED / sizeof WANTED[0]; i++)
		if (!has_label(&drawing, WANTED[i]))
			fail_msg("no label '%s'", WANTED[i]);
	assert_int_equal(times(&drawing, "data-cut="), 4);
	assert_true(has_label(&drawing, "Heights to scale 20:1; width not to scale."));
}

static void
stops_are_marked_where_the_job_wants_them(void **state)
{
	static const struct {
		const char *measure;
		size_t      stops;
	} ROWS[] = { { "[]", 0 }, { "[test]", 1 }, { "[skim]", 1 }, { "[test, skim]", 2 } };

	(void)state;
	for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
		char cut[128];

		snprintf(cut, sizeof cut, "test_cut: 0.5, rough: 1.5, skim: 0.2, measure: %s", ROWS[i].measure);
		draw_job("23", cut);
		assert_int_equal(times(&drawing, ">stop: measure<"), ROWS[i].stops);
	}
}

static void
many_cuts_are_thinned_out_and_the_drawing_says_so(void **state)
{
	(void)state;
	draw_job("70.1", "test_cut: 0.05, rough: 0.5, skim: 0.05, measure: [test, skim]");
	assert_true(has_label(&drawing, "Drawn: every 20th of 102 cuts, the first, the last, and any before a stop."));
	assert_true(has_label(&drawing, "1 test"));
	assert_true(has_label(&drawing, "20 rough"));
	assert_true(has_label(&drawing, "100 rough"));
	assert_true(has_label(&drawing, "101 rough"));
	assert_true(has_label(&drawing, "102 skim"));
	assert_false(has_label(&drawing, "2 rough"));
	assert_int_equal(times(&drawing, "data-cut="), 8);
	assert_int_equal(times(&drawing, ">stop: measure<"), 2);
	labels_hold(&drawing, 0);
}

static void
up_to_fourteen_cuts_are_all_drawn(void **state)
{
	(void)state;
	draw_job("26.7", "test_cut: 0.5, rough: 0.5, skim: 0.2, measure: [test, skim]");
	assert_int_equal(times(&drawing, "data-cut="), 14);
	assert_int_equal(times(&drawing, "Drawn: every"), 0);
	draw_job("27.2", "test_cut: 0.5, rough: 0.5, skim: 0.2, measure: [test, skim]");
	assert_true(has_label(&drawing, "Drawn: every 2nd of 15 cuts, the first, the last, and any before a stop."));
}

static void
thousands_of_cuts_can_be_drawn(void **state)
{
	(void)state;
	draw_job("120", "test_cut: 0.01, rough: 0.0105, skim: 0.01");
	labels_hold(&drawing, 0);
	lines_hold(&drawing, 0);
	assert_true(times(&drawing, "data-cut=") <= 14);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(no_label_stands_on_another_or_off_the_paper),
		cmocka_unit_test(every_cut_has_its_kind_its_depth_and_what_it_leaves),
		cmocka_unit_test(stops_are_marked_where_the_job_wants_them),
		cmocka_unit_test(many_cuts_are_thinned_out_and_the_drawing_says_so),
		cmocka_unit_test(up_to_fourteen_cuts_are_all_drawn),
		cmocka_unit_test(thousands_of_cuts_can_be_drawn),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
