#include "drawing.h"

#include "skimcut/label.h"
#include "skimcut/view.h"
#include "skimcut/workholding.h"

/* On drawing_paper: 340 mm wide, 20 mm deep. */
static const struct view VIEW = { -20 * LENGTH_MM, 320 * LENGTH_MM, -2 * LENGTH_MM, 18 * LENGTH_MM };

static struct drawing drawing;
static struct rooms   drawn, labels;

static const Length MM = LENGTH_MM;

/* One obstacle, by its edges in millimetres; what is drawn and labelled before is in `drawn` and `labels`. */
static void
draw_one(const char *name, Length left, Length right, Length front, Length back)
{
	const struct obstacle obstacle = {
		.left = left * MM, .right = right * MM, .front = front * MM, .back = back * MM, .name = name
	};
	const struct hold   hold   = { .obstacles = &obstacle, .count = 1 };
	const struct naming naming = { .top = 0, .bottom = 100, .drawn = &drawn, .labels = &labels };
	struct text         out;
	struct svg          svg = drawing_paper(&drawing, &out);

	workholding_draw(&svg, &hold, &VIEW);
	workholding_name(&svg, &hold, &VIEW, &naming);
	text_end(&out);
}

static struct label
name_of(void)
{
	const char  *at = drawing.text;
	struct label label;

	if (!label_next(&at, &label))
		fail_msg("no name in %s", drawing.text);
	return label;
}

static int
begin_clear(void **state)
{
	(void)state;
	drawn.count = labels.count = 0;
	return 0;
}

static void
sides_beyond_the_view_are_not_drawn(void **state)
{
	(void)state;
	draw_one("clamp 1", 100, 200, 2, 8);
	assert_int_equal(times(&drawing, "<line "), 4);
	draw_one("the front jaw", 0, 300, -1000, 0);
	assert_int_equal(times(&drawing, "<line "), 3);
	draw_one("clamp 2", -30, 330, 2, 8);
	assert_int_equal(times(&drawing, "<line "), 2);
	draw_one("clamp 3", 400, 500, 2, 8);
	assert_string_equal(drawing.text, "<g class=\"beside\">\n</g>\n");
}

static void
a_name_stands_in_the_middle_without_its_article(void **state)
{
	struct label label;

	(void)state;
	draw_one("the front jaw", 100, 200, 2, 8);
	label = name_of();
	assert_string_equal(label.words, "front jaw");
	assert_true(is_near((label.left + label.right) / 2, 85));
	assert_true(label.base > 50 && label.base < 80);
}

static void
a_name_goes_to_a_corner_when_the_middle_is_taken(void **state)
{
	(void)state;
	label_keep(&drawn, (struct room){ 80, 60, 90, 70 });
	draw_one("clamp 1", 100, 200, 2, 8);
	assert_true(name_of().left > 60 && name_of().right < 80);
	assert_true(name_of().base < 80 && name_of().base > 70);
}

static void
the_name_of_what_is_small_stands_beside_it(void **state)
{
	(void)state;
	draw_one("clamp 1", 100, 110, 2, 8);
	assert_true(name_of().right < 60);
}

/* Over what is drawn where there is nothing else, never over a label. */
static void
a_name_without_a_free_place_stands_over_lines_or_is_left_out(void **state)
{
	const struct room all = { 0, 0, 180, 100 };

	(void)state;
	label_keep(&drawn, all);
	draw_one("clamp 1", 100, 200, 2, 8);
	assert_true(is_near((name_of().left + name_of().right) / 2, 85));
	label_keep(&labels, all);
	draw_one("clamp 1", 100, 200, 2, 8);
	assert_int_equal(times(&drawing, "<text "), 0);
}

static void
a_name_stands_within_its_limits(void **state)
{
	const struct obstacle obstacle = {
		.left = 100 * MM, .right = 110 * MM, .front = 2 * MM, .back = 8 * MM, .name = "clamp 1"
	};
	const struct hold hold = { .obstacles = &obstacle, .count = 1 };

	(void)state;
	for (double limit = 5; limit < 95; limit += 2.5) {
		const struct naming above = { .top = 0, .bottom = limit, .drawn = &drawn, .labels = &labels };
		const struct naming below = { .top = limit, .bottom = 100, .drawn = &drawn, .labels = &labels };
		struct text         out;
		struct svg          svg = drawing_paper(&drawing, &out);

		drawn.count = labels.count = 0;
		workholding_name(&svg, &hold, &VIEW, &above);
		text_end(&out);
		assert_true(times(&drawing, "<text ") == 0 || name_of().base <= limit);
		drawn.count = labels.count = 0;
		svg                        = drawing_paper(&drawing, &out);
		workholding_name(&svg, &hold, &VIEW, &below);
		text_end(&out);
		assert_true(times(&drawing, "<text ") == 0 || name_of().base - LABEL_TEXT_MM >= limit);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test_setup(sides_beyond_the_view_are_not_drawn, begin_clear),
		cmocka_unit_test_setup(a_name_stands_in_the_middle_without_its_article, begin_clear),
		cmocka_unit_test_setup(a_name_goes_to_a_corner_when_the_middle_is_taken, begin_clear),
		cmocka_unit_test_setup(the_name_of_what_is_small_stands_beside_it, begin_clear),
		cmocka_unit_test_setup(a_name_without_a_free_place_stands_over_lines_or_is_left_out, begin_clear),
		cmocka_unit_test_setup(a_name_stands_within_its_limits, begin_clear),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
