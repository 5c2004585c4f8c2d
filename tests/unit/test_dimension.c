#include "drawing.h"

#include "skimcut/dimension.h"
#include "skimcut/label.h"

static struct drawing drawing;

/* Where there is no room between the heads they stand outside, and so does the figure. */
static void
a_short_dimension_has_its_figure_outside(void **state)
{
	static struct rooms rooms;
	struct text         out;
	struct svg          svg = drawing_paper(&drawing, &out);

	(void)state;
	dimension_across(&svg, &rooms, 20, 100, 50, "80.000");
	dimension_across(&svg, &rooms, 20, 30, 60, "10.000");
	dimension_up(&svg, &rooms, 20, 70, 90, "20.000");
	assert_int_equal(rooms.count, 3);
	assert_true(rooms.taken[0].left > 20 && rooms.taken[0].right < 100 && rooms.taken[0].bottom < 50.01);
	assert_true(rooms.taken[1].left > 30);
	assert_true(rooms.taken[2].right < 20);
}

/* Heads are told by their tips, and by where their backs are: 2.5 mm from them. */
static void
heads_point_at_the_lines_from_where_there_is_room(void **state)
{
	struct text out;
	struct svg  svg = drawing_paper(&drawing, &out);

	(void)state;
	dimension_across(&svg, NULL, 20, 100, 50, "80.000");
	dimension_up(&svg, NULL, 40, 60, 64, "4.000");
	text_end(&out);
	assert_non_null(strstr(drawing.text, "<polygon points=\"20.0000,50.0000 22.5000,"));
	assert_non_null(strstr(drawing.text, "<polygon points=\"100.0000,50.0000 97.5000,"));
	assert_non_null(strstr(drawing.text, "<polygon points=\"40.0000,60.0000 39.5000,57.5000 "));
	assert_non_null(strstr(drawing.text, "<polygon points=\"40.0000,64.0000 40.5000,66.5000 "));
	assert_int_equal(times(&drawing, "<line "), 2);
	assert_non_null(strstr(drawing.text, "<line x1=\"20.0000\" y1=\"50.0000\" x2=\"100.0000\" y2=\"50.0000\""));
	assert_non_null(strstr(drawing.text, "<line x1=\"40.0000\" y1=\"55.0000\" x2=\"40.0000\" y2=\"69.0000\""));
	assert_true(has_label(&drawing, "80.000"));
	assert_true(has_label(&drawing, "4.000"));
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_short_dimension_has_its_figure_outside),
		cmocka_unit_test(heads_point_at_the_lines_from_where_there_is_room),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
