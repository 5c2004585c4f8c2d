#include "drawing.h"

#include "skimcut/caption.h"
#include "skimcut/label.h"

static struct drawing drawing;

static void
rows_fill_the_room_at_the_bottom_of_the_paper(void **state)
{
	enum { ROWS = 4 };

	struct text    out;
	struct svg     svg     = drawing_paper(&drawing, &out);
	struct caption caption = caption_begin(&svg, ROWS);
	const char    *at      = drawing.text;
	struct label   label;
	double         above = caption_top(&svg, ROWS);

	(void)state;
	for (int i = 0; i < ROWS; i++)
		caption_row(&caption, "a row of words <&>");
	text_end(&out);
	for (int i = 0; i < ROWS; i++) {
		assert_true(label_next(&at, &label));
		assert_string_equal(label.words, "a row of words &lt;&amp;&gt;");
		assert_true(label.base - LABEL_TEXT_MM > above && label.left > 0);
		above = label.base + 1;
	}
	assert_true(above < svg.height_mm && above + LABEL_ROW_MM > svg.height_mm);
}

static void
a_legend_shows_the_line_beside_the_words(void **state)
{
	struct text    out;
	struct svg     svg     = drawing_paper(&drawing, &out);
	struct caption caption = caption_begin(&svg, 2);
	const char    *line, *at = drawing.text;
	struct label   label, next;

	(void)state;
	caption_legend(&caption, LINE_OUTLINE, "clamps");
	caption_row(&caption, "below");
	line = strstr(text_end(&out), "<line ");
	assert_true(line && label_next(&at, &label) && label_next(&at, &next));
	assert_non_null(strstr(line, "class=\"outline\""));
	assert_true(attribute_of(line, "x1") > 0 && attribute_of(line, "x2") < label.left);
	assert_true(attribute_of(line, "y1") < label.base && attribute_of(line, "y1") > label.base - LABEL_TEXT_MM);
	assert_true(is_near(next.base - label.base, LABEL_ROW_MM));
}

static void
ordinals_end_as_they_are_spoken(void **state)
{
	(void)state;
	assert_string_equal(caption_ordinal(1).text, "1st");
	assert_string_equal(caption_ordinal(2).text, "2nd");
	assert_string_equal(caption_ordinal(3).text, "3rd");
	assert_string_equal(caption_ordinal(4).text, "4th");
	assert_string_equal(caption_ordinal(10).text, "10th");
	assert_string_equal(caption_ordinal(11).text, "11th");
	assert_string_equal(caption_ordinal(13).text, "13th");
	assert_string_equal(caption_ordinal(21).text, "21st");
	assert_string_equal(caption_ordinal(112).text, "112th");
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(rows_fill_the_room_at_the_bottom_of_the_paper),
		cmocka_unit_test(a_legend_shows_the_line_beside_the_words),
		cmocka_unit_test(ordinals_end_as_they_are_spoken),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
