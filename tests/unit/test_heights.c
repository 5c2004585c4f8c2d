#include "drawing.h"

#include "skimcut/heights.h"
#include "skimcut/label.h"
#include "skimcut/view.h"

static struct drawing drawing;

static const struct view VIEW = { -LENGTH_MAX, LENGTH_MAX, 0, 100 * LENGTH_MM };

static void
they_stand_highest_first_and_equals_in_the_order_they_came(void **state)
{
	static const char *const WANTED[] = { "40 top", "30 first", "30 second", "20 low" };

	struct heights heights = { .side = 1 };

	(void)state;
	heights_add(&heights, 30, LENGTH_MAX, "30 first");
	heights_add(&heights, 20, LENGTH_MAX, "20 low");
	heights_add(&heights, 40, LENGTH_MAX, "40 top");
	heights_add(&heights, 30, LENGTH_MAX, "30 second");
	assert_int_equal(heights.count, 4);
	for (size_t i = 0; i < heights.count; i++)
		assert_string_equal(heights.each[i].words, WANTED[i]);
}

/* Whatever order they come in. */
static void
of_too_many_the_lowest_are_left_out_and_counted(void **state)
{
	enum { ADDED = HEIGHTS_MOST + 7 };

	static const int STEPS[] = { 1, ADDED - 1, 5 }; /* none shares a factor with 23 */

	(void)state;
	for (size_t k = 0; k < sizeof STEPS / sizeof STEPS[0]; k++) {
		struct heights heights = { .side = -1 };

		for (int i = 0; i < ADDED; i++)
			heights_add(&heights, (Length)i * STEPS[k] % ADDED, LENGTH_MAX, "clamp");
		assert_int_equal(heights.count, HEIGHTS_MOST);
		assert_int_equal(heights.left_out, ADDED - HEIGHTS_MOST);
		for (int i = 0; i < HEIGHTS_MOST; i++)
			assert_int_equal(heights.each[i].z, ADDED - 1 - i);
	}
}

static void
a_column_is_as_wide_as_its_widest_words_and_the_leader(void **state)
{
	struct heights heights = { .side = 1 };

	(void)state;
	assert_true(heights_width(&heights) < HEIGHTS_LEADER_MM);
	heights_add(&heights, 1, LENGTH_MAX, "wide words");
	heights_add(&heights, 2, LENGTH_MAX, "narrow");
	assert_true(heights_width(&heights) >= label_width("wide words") + HEIGHTS_LEADER_MM);
	assert_true(heights_width(&heights) < label_width("wide words and more") + HEIGHTS_LEADER_MM);
}

/* Three lines at one height: the middle one keeps its place. Those that end in the view are led to where they do. */
static void
words_are_moved_apart_and_led_to_their_lines(void **state)
{
	for (int side = -1; side <= 1; side += 2) {
		struct heights heights = { .side = side };
		struct text    out;
		struct svg     svg = drawing_paper(&drawing, &out);
		const char    *at = drawing.text, *line = drawing.text;
		struct label   label;

		heights_add(&heights, 3, 50 * LENGTH_MM, "a");
		heights_add(&heights, 2, LENGTH_MAX, "b");
		heights_add(&heights, 1, 101 * LENGTH_MM, "c");
		for (size_t i = 0; i < heights.count; i++)
			heights.each[i].line_mm = 40;
		heights_place(&heights, 2, 90);
		heights_draw(&heights, &svg, &VIEW, 80);
		text_end(&out);
		for (int i = 0; i < 3; i++) {
			assert_true(label_next(&at, &label));
			assert_true(is_near(label.base, 40 + LABEL_TEXT_MM / 2 + (i - 1) * LABEL_ROW_MM));
			assert_true(side > 0 ? label.left > 80 : label.right < 80);
			line = strstr(i == 0 ? line : line + 1, "<line ");
			assert_true(is_near(attribute_of(line, "x1"), i == 0 ? 35 : 80));
			assert_true(is_near(attribute_of(line, "y1"), 40));
			line = strstr(line + 1, "<line ");
			assert_true(is_near(attribute_of(line, "y2"), 40 + (i - 1) * LABEL_ROW_MM));
		}
	}
	(void)state;
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(they_stand_highest_first_and_equals_in_the_order_they_came),
		cmocka_unit_test(of_too_many_the_lowest_are_left_out_and_counted),
		cmocka_unit_test(a_column_is_as_wide_as_its_widest_words_and_the_leader),
		cmocka_unit_test(words_are_moved_apart_and_led_to_their_lines),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
