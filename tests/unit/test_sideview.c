#include "drawing.h"

#include "skimcut/sideview.h"

static const uint64_t SEED = 0x5eed0f51de0e3301;

enum { RANDOM_JOBS = 300 };

static struct drawing drawing;

static void
draw(const struct plan *plan)
{
	struct text out = text_over(drawing.text, sizeof drawing.text);

	sideview_draw(plan, &out);
	assert_false(out.failed);
	text_end(&out);
	drawing_measure(&drawing);
}

static void
draw_job(const char *stock, const char *finished, const char *more)
{
	char            yaml[JOB_ROOM];
	struct planning planning;

	snprintf(yaml, sizeof yaml,
	         "units: mm\ntitle: \"<b>\"\nmaterial: low-carbon steel\nstock: {%s}\nfinished_height: %s\n"
	         "cutter: {kind: face mill, teeth: 4, edge: carbide, diameter: 50}\n%s",
	         stock, finished, more);
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
	holds(seed, drawing.width <= 180 && drawing.height <= 100);
	holds(seed, strstr(drawing.text, "random") == NULL);
}

static void
no_label_stands_on_another_or_off_the_paper(void **state)
{
	(void)state;
	each_held(SEED, RANDOM_JOBS, labels_and_lines_stay_on_the_paper);
}

static void
heights_are_told_over_the_bottom_of_the_part(void **state)
{
	static const char *const WANTED[] = { "front jaw 10.000",
		                              "12.000 rear jaw",
		                              "40.000 finished, Z zero",
		                              "42.000 stock",
		                              "0.000 part&#39;s bottom",
		                              "-20.000 vise bed",
		                              "parallels 20.000",
		                              "44.500 lowest rapids",
		                              "67.000 the cutter waits",
		                              "90.000",
		                              "vise" };

	(void)state;
	draw_job("length: 100, width: 90, height: 42", "40",
	         "vise: {front_jaw: 30, rear_jaw: 32, jaw_width: 100}\nparallels: [20]\n");
	for (size_t i = 0; i < sizeof WANTED / sizeof WANTED[0]; i++)
		if (!has_label(&drawing, WANTED[i]))
			fail_msg("no label '%s' in\n%s", WANTED[i], drawing.text);
	assert_int_equal(times(&drawing, "is not told"), 0);
}

static void
a_part_whose_hold_is_not_told_stands_on_its_seat(void **state)
{
	(void)state;
	draw_job("length: 100, width: 60, height: 42", "40", "");
	assert_true(has_label(&drawing, "How the part is held is not told: it is drawn on its seat."));
	assert_int_equal(times(&drawing, "<g class=\"jaws\">"), 0);
	assert_int_equal(times(&drawing, "jaws, bed"), 0);
}

static void
what_has_no_known_size_is_said_to_be_not_to_scale(void **state)
{
	(void)state;
	draw_job("length: 100, width: 60, height: 42", "40",
	         "vise: {front_jaw: 30, rear_jaw: 32, jaw_width: 100}\nparallels: [20]\n");
	assert_true(
	    has_label(&drawing, "Not to scale: how thick jaws, bed and parallels are; how tall the cutter is."));
}

static void
clamps_of_one_height_are_told_together(void **state)
{
	(void)state;
	draw_job("length: 100, width: 60, height: 42", "40",
	         "hold:\n  clamps:\n    - {x: -30, y: 10, length: 25, width: 20, height: 30}\n"
	         "    - {x: 105, y: 10, length: 25, width: 20, height: 30}\n"
	         "    - {x: 40, y: -30, length: 20, width: 25, height: 12.5}\n");
	assert_true(has_label(&drawing, "2 clamps: 30.000"));
	assert_true(has_label(&drawing, "clamp 3: 12.500"));
	assert_int_equal(times(&drawing, "data-obstacle="), 3);
}

/* 30 clamps in a row before the part, each 0.5 mm higher than the one before; with the front jaw there is one height more. */
static void
draw_clamps(int clamps, const char *vise)
{
	char        buffer[JOB_ROOM];
	struct text more = text_over(buffer, sizeof buffer);

	text_format(&more, "%shold:\n  clamps:\n", vise);
	for (int i = 0; i < clamps; i++)
		text_format(&more, "    - {x: %d, y: -90, length: 10, width: 20, height: %d.%d}\n", 20 * i, 10 + i / 2,
		            i % 2 * 5);
	draw_job("length: 900, width: 60, height: 42", "40", text_end(&more));
}

static void
of_too_many_heights_the_drawing_says_how_many_are_left_out(void **state)
{
	(void)state;
	draw_clamps(16, "");
	assert_true(has_label(&drawing, "clamp 1: 10.000"));
	assert_int_equal(times(&drawing, "left out"), 0);
	draw_clamps(17, "");
	assert_true(has_label(&drawing, "Of the heights at the left the lowest is left out."));
	assert_false(has_label(&drawing, "clamp 1: 10.000"));
	assert_true(has_label(&drawing, "clamp 2: 10.500"));
	labels_hold(&drawing, 0);
	draw_clamps(30, "vise: {front_jaw: 29, rear_jaw: 30, jaw_width: 100}\nparallels: [20]\n");
	assert_true(has_label(&drawing, "Of the heights at the left the 15 lowest are left out."));
	assert_true(has_label(&drawing, "clamp 30: 24.500"));
	assert_false(has_label(&drawing, "front jaw 9.000"));
	assert_true(drawing.height <= 100);
	labels_hold(&drawing, 0);
	lines_hold(&drawing, 0);
}

static void
one_scale_is_told_once_and_two_are_told_apart(void **state)
{
	(void)state;
	draw_job("length: 100, width: 60, height: 42", "40", "");
	assert_true(has_label(&drawing, "Seen from the right, the front at the left. Scale 1:2."));
	draw_job("length: 2000, width: 1000, height: 20", "19", "");
	assert_true(
	    has_label(&drawing, "Seen from the right, the front at the left. Scale of widths 1:10, of heights 1:1."));
}

/* The zero of Z is told with the height it is at. */
static void
the_zero_is_told_with_its_height(void **state)
{
	(void)state;
	draw_job("length: 100, width: 60, height: 42", "40", "zero: {z: top}\n");
	assert_true(has_label(&drawing, "42.000 stock, Z zero"));
	assert_true(has_label(&drawing, "40.000 finished"));
	draw_job("length: 100, width: 60, height: 42", "40", "zero: {z: bottom}\n");
	assert_true(has_label(&drawing, "0.000 part&#39;s bottom, Z zero"));
}

/* By hand the knee is counted from where the cutter touches, and nothing moves at rapid. */
static void
by_hand_the_zero_is_where_the_cutter_touches(void **state)
{
	(void)state;
	draw_job("length: 100, width: 60, height: 42", "40", "machine: {kind: manual}\ncut: {retract: 200 mm}\n");
	assert_true(has_label(&drawing, "42.000 stock, knee zero"));
	assert_true(has_label(&drawing, "40.000 finished"));
	assert_false(has_label(&drawing, "242.000 the cutter waits"));
	assert_null(strstr(drawing.text, "rapids"));
	assert_int_equal(times(&drawing, "<polyline"), 1);
}

static void
heights_far_above_are_cut_off(void **state)
{
	(void)state;
	draw_job("length: 100, width: 60, height: 42", "40", "cut: {retract: 200 mm}\n");
	assert_true(has_label(&drawing, "242.000 the cutter waits"));
	labels_hold(&drawing, 0);
	lines_hold(&drawing, 0);
	assert_int_equal(times(&drawing, "<polyline"), 2);
	draw_job("length: 100, width: 60, height: 42", "40", "cut: {retract: 5 mm}\n");
	assert_int_equal(times(&drawing, "<polyline"), 1);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(no_label_stands_on_another_or_off_the_paper),
		cmocka_unit_test(heights_are_told_over_the_bottom_of_the_part),
		cmocka_unit_test(a_part_whose_hold_is_not_told_stands_on_its_seat),
		cmocka_unit_test(what_has_no_known_size_is_said_to_be_not_to_scale),
		cmocka_unit_test(clamps_of_one_height_are_told_together),
		cmocka_unit_test(of_too_many_heights_the_drawing_says_how_many_are_left_out),
		cmocka_unit_test(one_scale_is_told_once_and_two_are_told_apart),
		cmocka_unit_test(the_zero_is_told_with_its_height),
		cmocka_unit_test(by_hand_the_zero_is_where_the_cutter_touches),
		cmocka_unit_test(heights_far_above_are_cut_off),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
