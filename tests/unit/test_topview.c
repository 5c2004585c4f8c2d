#include "drawing.h"

#include <math.h>

#include "skimcut/topview.h"

static const uint64_t SEED = 0x5eed0f70b71e0011;

enum { RANDOM_JOBS = 300 };

static struct drawing drawing;

static void
draw(const struct plan *plan, bool alone)
{
	struct text out = text_over(drawing.text, sizeof drawing.text);

	topview_draw(plan, alone, &out);
	assert_false(out.failed);
	text_end(&out);
	drawing_measure(&drawing);
}

/* A stock, a cutter's diameter, and how it is cut; in millimetres. */
static void
draw_cut(const char *size, int diameter, const char *cut, enum along along, const char *more)
{
	char            yaml[JOB_ROOM];
	struct planning planning;

	snprintf(yaml, sizeof yaml,
	         "units: mm\ntitle: a plate\nmaterial: low-carbon steel\nstock: {%s, height: 20}\nfinished_height: 19\n"
	         "cutter: {kind: end mill, teeth: 4, edge: carbide, diameter: %d}\ncut: {%s}\n%s",
	         size, diameter, cut, more);
	if (!planning_open(&planning, yaml) || !planning_plan(&planning, along))
		fail_msg("no plan for %s", yaml);
	draw(&planning.plan, false);
	planning_close(&planning);
}

static void
draw_job(const char *size, const char *cut, enum along along, const char *more)
{
	draw_cut(size, 10, cut, along, more);
}

static void
labels_and_lines_stay_on_the_paper(const struct plan *plan, uint64_t seed)
{
	for (int alone = 0; alone < 2; alone++) {
		draw(plan, alone);
		labels_hold(&drawing, seed);
		lines_hold(&drawing, seed);
		holds(seed, drawing.width <= 180 && drawing.height <= 120);
	}
}

static void
no_label_stands_on_another_or_off_the_paper(void **state)
{
	(void)state;
	each_held(SEED, RANDOM_JOBS, labels_and_lines_stay_on_the_paper);
}

static void
few_passes_are_all_drawn_and_numbered(void **state)
{
	(void)state;
	draw_job("length: 100, width: 60", "pattern: one-way, stepover: 60 %", ALONG_X, "");
	assert_true(has_label(&drawing,
	                      "11 passes in each cut, 5.500 apart, from the back to the front; back above the work."));
	assert_int_equal(times(&drawing, "data-pass="), 11);
	assert_int_equal(times(&drawing, "is drawn"), 0);
	for (int pass = 1; pass <= 11; pass++) {
		char number[16];

		snprintf(number, sizeof number, "%d", pass);
		assert_true(has_label(&drawing, number));
	}
}

static void
many_passes_are_thinned_out_and_the_drawing_says_so(void **state)
{
	(void)state;
	draw_job("length: 2000, width: 1000", "pattern: one-way, stepover: 25 %", ALONG_X, "");
	assert_true(has_label(&drawing, "Every 20th of 401 passes is drawn, and the last."));
	assert_non_null(strstr(drawing.text, "data-pass=\"1\""));
	assert_non_null(strstr(drawing.text, "data-pass=\"21\""));
	assert_non_null(strstr(drawing.text, "data-pass=\"401\""));
	assert_null(strstr(drawing.text, "data-pass=\"2\""));
	assert_int_equal(times(&drawing, "data-pass="), 21);
	assert_true(has_label(&drawing, "1"));
	assert_true(has_label(&drawing, "401"));
}

/* As many as a job may have. */
static void
ten_thousand_passes_can_be_drawn(void **state)
{
	static const enum along  WAYS[]     = { ALONG_X, ALONG_Y };
	static const char *const SIZES[]    = { "length: 700, width: 999.9", "length: 999.9, width: 700" };
	static const char *const PATTERNS[] = { "pattern: one-way, stepover: 5 %", "pattern: zigzag, stepover: 5 %" };

	(void)state;
	for (size_t i = 0; i < 2; i++)
		for (size_t k = 0; k < 2; k++) {
			draw_cut(SIZES[i], 2, PATTERNS[k], WAYS[i], "");
			assert_int_equal(times(&drawing, "of 10000 passes is drawn, and the last"), 1);
			assert_int_equal(times(&drawing, "data-pass=\"10000\""), 1);
			assert_true(times(&drawing, "data-pass=") < 100);
			assert_true(has_label(&drawing, "1"));
			assert_true(has_label(&drawing, "10000"));
			labels_hold(&drawing, 0);
			lines_hold(&drawing, 0);
		}
}

/* Of linked passes, drawn ones go both ways: every n-th with n odd. */
static void
thinned_links_leave_passes_of_both_ways(void **state)
{
	(void)state;
	draw_job("length: 2000, width: 1000", "pattern: zigzag, stepover: 25 %", ALONG_X, "");
	assert_true(has_label(&drawing, "Every 21st of 401 passes is drawn, and the last; the links are not."));
	assert_non_null(strstr(drawing.text, "data-pass=\"22\""));
	assert_non_null(strstr(drawing.text, "<g class=\"links\">\n</g>"));
}

static void
links_are_drawn_where_all_passes_are(void **state)
{
	(void)state;
	draw_job("length: 100, width: 30", "pattern: zigzag, stepover: 60 %", ALONG_Y, "");
	assert_null(strstr(drawing.text, "<g class=\"links\">\n</g>"));
	assert_true(
	    has_label(&drawing, "17 passes in each cut, 5.912 apart, from the right to the left; linked at depth."));
}

static void
of_passes_that_lie_in_one_line_first_and_last_are_told_apart(void **state)
{
	(void)state;
	draw_job("length: 2000, width: 20", "pattern: one-way, stepover: 60 %", ALONG_X, "");
	assert_true(has_label(&drawing, "Of 4 passes the first and the last are drawn."));
	assert_true(has_label(&drawing, "1"));
	assert_true(has_label(&drawing, "4"));
	labels_hold(&drawing, 0);
}

static void
jaws_and_clamps_are_named(void **state)
{
	(void)state;
	draw_job("length: 100, width: 60", "pattern: one-way, stepover: 60 %", ALONG_X,
	         "vise: {front_jaw: 30, rear_jaw: 30, jaw_width: 80}\nparallels: [20]\n"
	         "hold: {clamps: [{x: -30, y: 10, length: 20, width: 30, height: 15}]}\n");
	assert_true(has_label(&drawing, "front jaw"));
	assert_true(has_label(&drawing, "rear jaw"));
	assert_true(has_label(&drawing, "clamp 1"));
	assert_true(has_label(&drawing, "the cutter, 10.000, where pass 1 begins; jaws and clamps"));
}

/* Both ways of linked passes throw to different sides: test_chips.c has the sides. */
static void
chips_are_told_for_both_ways(void **state)
{
	(void)state;
	draw_job("length: 100, width: 60", "pattern: zigzag, stepover: 60 %", ALONG_X, "");
	assert_int_equal(times(&drawing, ">chips of pass 1: to the "), 1);
	assert_int_equal(times(&drawing, ">chips of pass 2: to the "), 1);
	draw_job("length: 100, width: 8", "pattern: single", ALONG_X, "");
	assert_int_equal(times(&drawing, ">chips of pass "), 1);
}

static void
a_drawing_alone_has_the_title_and_no_other_markup(void **state)
{
	static const char YAML[] =
	    "units: inch\ntitle: \"</svg><script>&\\\"'\"\nmaterial: brass\nstock: {length: 5, width: 3, height: 1.1}\n"
	    "finished_height: 1\ncutter: {kind: face mill, teeth: 4, edge: carbide, diameter: 4}\n";

	struct planning planning;

	(void)state;
	assert_true(planning_open(&planning, YAML) && planning_plan(&planning, ALONG_X));
	draw(&planning.plan, true);
	assert_non_null(strstr(drawing.text, ">&lt;/svg&gt;&lt;script&gt;&amp;&quot;&#39;</text>"));
	assert_int_equal(times(&drawing, "<script"), 0);
	assert_int_equal(times(&drawing, "</svg>"), 1);
	assert_true(
	    has_label(&drawing, "Seen from above: X to the right, Y to the back. Scale 1:2, figures in inches."));
	assert_true(has_label(&drawing, "5.0000"));
	assert_true(has_label(&drawing, "3.0000"));
	draw(&planning.plan, false);
	assert_null(strstr(drawing.text, "script"));
	planning_close(&planning);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(no_label_stands_on_another_or_off_the_paper),
		cmocka_unit_test(few_passes_are_all_drawn_and_numbered),
		cmocka_unit_test(many_passes_are_thinned_out_and_the_drawing_says_so),
		cmocka_unit_test(ten_thousand_passes_can_be_drawn),
		cmocka_unit_test(thinned_links_leave_passes_of_both_ways),
		cmocka_unit_test(links_are_drawn_where_all_passes_are),
		cmocka_unit_test(of_passes_that_lie_in_one_line_first_and_last_are_told_apart),
		cmocka_unit_test(jaws_and_clamps_are_named),
		cmocka_unit_test(chips_are_told_for_both_ways),
		cmocka_unit_test(a_drawing_alone_has_the_title_and_no_other_markup),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
