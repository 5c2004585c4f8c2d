#include "drawing.h"

#include <math.h>

static struct drawing drawing;

static void
paper_and_work_are_joined_by_origin_and_scale(void **state)
{
	struct text out;
	struct svg  svg = drawing_paper(&drawing, &out);

	(void)state;
	assert_float_equal(svg_x(&svg, 0), 10, 1e-9);
	assert_float_equal(svg_x(&svg, 30 * LENGTH_MM), 25, 1e-9);
	assert_float_equal(svg_x(&svg, -4 * LENGTH_MM), 8, 1e-9);
	assert_float_equal(svg_y(&svg, 0), 90, 1e-9);
	assert_float_equal(svg_y(&svg, 3 * LENGTH_MM), 75, 1e-9);
}

static void
a_line_has_four_decimals_and_its_kind(void **state)
{
	static const struct {
		enum line_kind kind;
		const char    *style;
	} ROWS[] = {
		{ LINE_EDGE, "class=\"edge\" stroke-width=\"0.5\"/>" },
		{ LINE_THIN, "class=\"thin\" stroke-width=\"0.25\"/>" },
		{ LINE_HIDDEN, "class=\"hidden\" stroke-width=\"0.25\" stroke-dasharray=\"3 0.75\"/>" },
		{ LINE_CENTRE, "class=\"centre\" stroke-width=\"0.25\" stroke-dasharray=\"6 0.75 0.125 0.75\"/>" },
		{ LINE_OUTLINE,
		  "class=\"outline\" stroke-width=\"0.25\" stroke-dasharray=\"6 0.75 0.125 0.75 0.125 0.75\"/>" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
		struct text out;
		struct svg  svg = drawing_paper(&drawing, &out);

		svg_line(&svg, ROWS[i].kind, 0, 0, 1234567, -LENGTH_MM);
		assert_ptr_equal(
		    strstr(text_end(&out), "<line x1=\"10.0000\" y1=\"90.0000\" x2=\"10.6173\" y2=\"95.0000\" "),
		    drawing.text);
		assert_non_null(strstr(drawing.text, ROWS[i].style));
	}
}

static void
a_line_can_say_which_it_is(void **state)
{
	struct text out;
	struct svg  svg = drawing_paper(&drawing, &out);

	(void)state;
	svg_numbered_line(&svg, LINE_CENTRE, "pass", 17, 0, 0, LENGTH_MM, 0);
	assert_non_null(strstr(text_end(&out), " data-pass=\"17\"/>"));
}

static void
the_drawing_tells_its_paper_its_origin_and_its_scales(void **state)
{
	static const char *const WANTED[] = {
		"width=\"180.00mm\" height=\"100.00mm\" viewBox=\"0 0 180.00 100.00\"",
		"data-left=\"10.0000\" data-bottom=\"90.0000\" data-across=\"1:2\" data-up=\"5:1\"",
		"id=\"x\" role=\"img\" aria-labelledby=\"x-title x-desc\"",
		"<title id=\"x-title\">Title</title>",
		"<desc id=\"x-desc\">About it</desc>",
	};
	struct text out;
	struct svg  svg = drawing_paper(&drawing, &out);

	(void)state;
	svg_begin(&svg, "x", "Title", "About it");
	svg_end(&svg);
	text_end(&out);
	for (size_t i = 0; i < sizeof WANTED / sizeof WANTED[0]; i++)
		assert_non_null(strstr(drawing.text, WANTED[i]));
}

static void
only_a_drawing_that_stands_alone_is_a_document(void **state)
{
	for (int alone = 0; alone < 2; alone++) {
		struct text out;
		struct svg  svg = drawing_paper(&drawing, &out);

		svg.alone = alone;
		svg_begin(&svg, "x", "Title", "About it");
		svg_end(&svg);
		text_end(&out);
		assert_int_equal(strncmp(drawing.text, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg ", 44) == 0,
		                 alone);
		assert_int_equal(strstr(drawing.text, " xmlns=\"http://www.w3.org/2000/svg\"") != NULL, alone);
	}
	(void)state;
}

static void
strings_of_others_cannot_be_anything_but_text(void **state)
{
	static const char HOSTILE[] = "</text><script>x('\"&')</script>\x01\xff";
	struct text       out;
	struct svg        svg = drawing_paper(&drawing, &out);

	(void)state;
	svg_begin(&svg, "x", HOSTILE, HOSTILE);
	svg_text(&svg, 10, 10, "start", 2.5, HOSTILE);
	svg_end(&svg);
	text_end(&out);
	assert_null(strstr(drawing.text, "<script"));
	assert_null(strchr(drawing.text, '\x01'));
	assert_null(strchr(drawing.text, '\xff'));
	for (const char *at = drawing.text; (at = strstr(at, "x(")); at++)
		assert_int_equal(strncmp(at, "x(&#39;&quot;&amp;&#39;)&lt;/script&gt;", 39), 0);
}

static void
a_text_has_two_decimals_and_a_font_for_its_height(void **state)
{
	struct text out;
	struct svg  svg = drawing_paper(&drawing, &out);

	(void)state;
	svg_text(&svg, 1.239, 2, "middle", 2.5, "a");
	assert_string_equal(text_end(&out), "<text x=\"1.24\" y=\"2.00\" font-size=\"3.50\" text-anchor=\"middle\" "
	                                    "fill=\"#000\" stroke=\"none\">a</text>\n");
}

static void
a_break_that_is_too_short_for_a_zigzag_is_a_line(void **state)
{
	struct text out;
	struct svg  svg = drawing_paper(&drawing, &out);

	(void)state;
	svg_break(&svg, 10, 12, 20);
	assert_null(strstr(text_end(&out), "polyline"));
	svg_break(&svg, 10, 40, 20);
	assert_non_null(strstr(text_end(&out), "<polyline points=\"10.0000,20.0000 "));
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(paper_and_work_are_joined_by_origin_and_scale),
		cmocka_unit_test(a_line_has_four_decimals_and_its_kind),
		cmocka_unit_test(a_line_can_say_which_it_is),
		cmocka_unit_test(the_drawing_tells_its_paper_its_origin_and_its_scales),
		cmocka_unit_test(only_a_drawing_that_stands_alone_is_a_document),
		cmocka_unit_test(strings_of_others_cannot_be_anything_but_text),
		cmocka_unit_test(a_text_has_two_decimals_and_a_font_for_its_height),
		cmocka_unit_test(a_break_that_is_too_short_for_a_zigzag_is_a_line),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
