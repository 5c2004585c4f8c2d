#include "drawing.h"

#include <math.h>

#include "skimcut/label.h"

static const uint64_t SEED = 0x5eed0f54e75e7711;

static struct drawing drawing;

/* Measured on a wide sans-serif font, over its size. */
static void
a_text_is_not_wider_than_is_reckoned(void **state)
{
	static const struct {
		const char *words;
		double      ems;
	} ROWS[] = {
		{ "0123456789", 6.36 }, { "front jaw", 4.40 }, { "MMWW", 3.70 }, { "mmww", 3.58 }, { "1:20", 2.25 }
	};

	(void)state;
	for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
		assert_true(label_width(ROWS[i].words) >= ROWS[i].ems * 3.5);
		assert_true(label_width(ROWS[i].words) <= ROWS[i].ems * 3.5 * 1.2);
	}
	assert_float_equal(label_width("\xC3\xA9"), 3.5, 1e-9);
}

/* All of its room: as wide as is reckoned, from above its capitals to below the line. */
static void
a_label_over_lines_has_white_behind_it(void **state)
{
	struct text out;
	struct svg  svg  = drawing_paper(&drawing, &out);
	struct room room = label_room(50, 40, "end", "a <b>");
	const char *white;

	(void)state;
	label_over(&svg, 50, 40, "end", "a <b>");
	white = strstr(text_end(&out), "<rect ");
	assert_non_null(white);
	assert_non_null(strstr(white, " fill=\"#fff\" stroke=\"none\"/>\n<text x=\"50.00\" y=\"40.00\" "));
	assert_non_null(strstr(white, ">a &lt;b&gt;</text>"));
	assert_true(is_near(attribute_of(white, "x"), 50 - label_width("a <b>")));
	assert_true(is_near(attribute_of(white, "width"), room.right - room.left));
	assert_true(is_near(attribute_of(white, "y"), room.top));
	assert_true(is_near(attribute_of(white, "height"), room.bottom - room.top));
	assert_true(room.top < 40 - LABEL_TEXT_MM && room.bottom > 40 && room.bottom - room.top < LABEL_ROW_MM);
}

static void
a_room_is_taken_once_and_only_on_the_paper(void **state)
{
	static struct rooms rooms;
	struct text         out;
	struct svg          svg = drawing_paper(&drawing, &out);

	(void)state;
	assert_true(label_take(&rooms, &svg, 50, 50, "start", "12345"));
	assert_false(label_take(&rooms, &svg, 52, 51, "start", "1"));
	assert_false(label_take(&rooms, &svg, 53, 50, "end", "12345"));
	assert_true(label_take(&rooms, &svg, 50, 54, "start", "12345"));
	assert_true(label_take(&rooms, &svg, 49, 50, "end", "12345"));
	assert_false(label_take(&rooms, &svg, 5, 20, "end", "12345"));
	assert_false(label_take(&rooms, &svg, 175, 20, "start", "12345"));
	assert_false(label_take(&rooms, &svg, 20, 1, "start", "1"));
	assert_false(label_take(&rooms, &svg, 20, 100, "start", "1"));
	assert_int_equal(rooms.count, 3);
}

static void
more_rooms_than_there_is_space_for_are_not_taken(void **state)
{
	static struct rooms rooms;
	struct text         out;
	struct svg          svg = drawing_paper(&drawing, &out);

	(void)state;
	for (int i = 0; i < ROOMS_MOST + 5; i++)
		label_keep(&rooms, (struct room){ 0, 0, 1, 1 });
	assert_int_equal(rooms.count, ROOMS_MOST);
	assert_false(label_take(&rooms, &svg, 50, 50, "start", "1"));
}

static void
spread_labels_keep_order_distance_and_room(void **state)
{
	enum { MOST = 40 };

	uint64_t seed = SEED;

	(void)state;
	for (int i = 0; i < 3000; i++) {
		const uint64_t before = seed;
		double         at[MOST], moved[MOST], low = (double)random_between(&seed, -50, 50), least = 4, room = 0;
		size_t         count = (size_t)random_between(&seed, 0, MOST);

		for (size_t k = 0; k < count; k++)
			at[k] = (k > 0 ? at[k - 1] : low) + (double)random_between(&seed, 0, 8000) / 1000;
		memcpy(moved, at, sizeof at);
		room = (double)count * least + (double)random_between(&seed, 0, 100);
		label_spread(moved, count, least, low, low + room);
		for (size_t k = 0; k < count; k++) {
			holds(before, moved[k] >= low - 1e-9 && moved[k] <= low + room + 1e-9);
			holds(before, k == 0 || moved[k] - moved[k - 1] >= least - 1e-9);
		}
	}
}

/* Found by hand. */
static void
spread_labels_move_no_more_than_they_must(void **state)
{
	double apart[] = { 10, 20, 30 }, near[] = { 10, 11, 40 }, three[] = { 10, 10, 10 }, top[] = { 1, 1 };
	double bottom[] = { 99, 99 }, none[] = { 10, 10, 10 };

	(void)state;
	label_spread(apart, 3, 4, 0, 100);
	assert_float_equal(apart[0], 10, 1e-9);
	assert_float_equal(apart[2], 30, 1e-9);
	label_spread(near, 3, 4, 0, 100);
	assert_float_equal(near[0], 8.5, 1e-9);
	assert_float_equal(near[1], 12.5, 1e-9);
	assert_float_equal(near[2], 40, 1e-9);
	label_spread(three, 3, 4, 0, 100);
	assert_float_equal(three[0], 6, 1e-9);
	assert_float_equal(three[1], 10, 1e-9);
	assert_float_equal(three[2], 14, 1e-9);
	label_spread(top, 2, 4, 0, 100);
	assert_float_equal(top[0], 0, 1e-9);
	assert_float_equal(top[1], 4, 1e-9);
	label_spread(bottom, 2, 4, 0, 100);
	assert_float_equal(bottom[0], 96, 1e-9);
	assert_float_equal(bottom[1], 100, 1e-9);
	label_spread(none, 3, 4, 8, 10);
	assert_float_equal(none[0], 8, 1e-9);
	assert_float_equal(none[2], 16, 1e-9);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_text_is_not_wider_than_is_reckoned),
		cmocka_unit_test(a_label_over_lines_has_white_behind_it),
		cmocka_unit_test(a_room_is_taken_once_and_only_on_the_paper),
		cmocka_unit_test(more_rooms_than_there_is_space_for_are_not_taken),
		cmocka_unit_test(spread_labels_keep_order_distance_and_room),
		cmocka_unit_test(spread_labels_move_no_more_than_they_must),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
