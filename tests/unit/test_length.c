#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include "planning.h"
#include "skimcut/length.h"

static const uint64_t SEED = 0x9e3779b97f4a7c15;

static void
rounding_goes_the_way_it_says_for_both_signs(void **state)
{
	static const struct {
		Length x, step, down, up, near;
	} cases[] = {
		{ 0, 1000, 0, 0, 0 },
		{ 1, 1000, 0, 1000, 0 },
		{ 999, 1000, 0, 1000, 1000 },
		{ 500, 1000, 0, 1000, 1000 },
		{ 499, 1000, 0, 1000, 0 },
		{ -1, 1000, -1000, 0, 0 },
		{ -500, 1000, -1000, 0, -1000 },
		{ -501, 1000, -1000, 0, -1000 },
		{ -499, 1000, -1000, 0, 0 },
		{ -2000, 1000, -2000, -2000, -2000 },
		{ 7, 3, 6, 9, 6 },
		{ 8, 3, 6, 9, 9 },
		{ -7, 3, -9, -6, -6 },
		{ 5, 1, 5, 5, 5 },
		{ LENGTH_MAX, 2540, 9999997780, 10000000320, 10000000320 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		assert_int_equal(length_down(cases[i].x, cases[i].step), cases[i].down);
		assert_int_equal(length_up(cases[i].x, cases[i].step), cases[i].up);
		assert_int_equal(length_near(cases[i].x, cases[i].step), cases[i].near);
	}
}

/* By what the words mean, not by how it is reckoned. */
static void
rounding_holds_for_random_lengths(void **state)
{
	uint64_t seed = SEED;

	(void)state;
	for (int i = 0; i < 20000; i++) {
		const uint64_t before = seed;
		Length x = random_between(&seed, -LENGTH_MAX, LENGTH_MAX), step = random_between(&seed, 1, 30000000);
		Length down = length_down(x, step), up = length_up(x, step), near = length_near(x, step);

		holds(before, down % step == 0 && up % step == 0 && (near == down || near == up));
		holds(before, down <= x && x - down < step && up >= x && up - x < step);
		holds(before, near == down ? 2 * (x - down) <= step : 2 * (up - x) <= step);
	}
}

static void
decimals_are_exact_and_zero_has_no_sign(void **state)
{
	static const struct {
		int64_t     value, unit;
		int         decimals;
		const char *text;
	} cases[] = {
		{ 0, LENGTH_MM, 3, "0.000" },
		{ -1, LENGTH_MM, 3, "0.000" },
		{ -499, LENGTH_MM, 3, "0.000" },
		{ -500, LENGTH_MM, 3, "-0.001" },
		{ 500, LENGTH_MM, 3, "0.001" },
		{ 27940000, LENGTH_INCH, 4, "1.1000" },
		{ 25400, LENGTH_INCH, 4, "0.0010" },
		{ 396875, LENGTH_INCH, 6, "0.015625" },
		{ -LENGTH_INCH, LENGTH_MM, 1, "-25.4" },
		{ LENGTH_MAX, LENGTH_MM, 3, "10000.000" },
		{ 1, LENGTH_MM, 9, "0.000001000" },
		{ 1500000, LENGTH_MM, 0, "2" },
		{ -1500000, LENGTH_MM, 0, "-2" },
		{ 1499999, LENGTH_MM, 0, "1" },
		{ 7, 3, 4, "2.3333" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		char text[DECIMAL_MAX];

		assert_int_equal(decimal_print(text, cases[i].value, cases[i].unit, cases[i].decimals),
		                 strlen(cases[i].text));
		assert_string_equal(text, cases[i].text);
	}
}

static void
numbers_are_shown_as_a_shop_writes_them(void **state)
{
	(void)state;
	assert_string_equal(length_show(27940000, UNITS_INCH).text, "1.1 in");
	assert_string_equal(length_show(50 * 25400, UNITS_INCH).text, "0.05 in");
	assert_string_equal(length_show(0, UNITS_MM).text, "0 mm");
	assert_string_equal(length_show(-1250000, UNITS_MM).text, "-1.25 mm");
	assert_string_equal(length_figure(27940000, UNITS_INCH).text, "1.1000");
	assert_string_equal(length_figure(27940000, UNITS_MM).text, "27.940");
	assert_string_equal(feed_show(290 * LENGTH_MM, UNITS_MM).text, "290 mm/min");
	assert_string_equal(feed_show(1157 * LENGTH_INCH / 100, UNITS_INCH).text, "11.57 in/min");
	assert_string_equal(cutting_show(120000 * LENGTH_MM, UNITS_MM).text, "120 m/min");
	assert_string_equal(cutting_show(300 * LENGTH_FOOT, UNITS_INCH).text, "300 ft/min");
	assert_string_equal(units_name(UNITS_INCH), "in");
	assert_string_equal(units_name(UNITS_MM), "mm");
}

/* The digits, read back as a whole number, are the nearest there is, and there are as many behind the point as asked. */
static void
random_decimals_are_the_nearest(void **state)
{
	uint64_t seed = SEED;

	(void)state;
	for (int i = 0; i < 20000; i++) {
		const uint64_t before   = seed;
		int            decimals = (int)random_between(&seed, 0, 9);
		int64_t        ten = 1, unit = random_between(&seed, 1, 1000000), value, digits = 0, off;
		char           text[DECIMAL_MAX];
		const char    *point;
		size_t         length;

		for (int j = 0; j < decimals; j++)
			ten *= 10;
		value  = random_between(&seed, -1000000000, 1000000000);
		length = decimal_print(text, value, unit, decimals);
		for (const char *c = text; *c; c++)
			if (*c >= '0' && *c <= '9')
				digits = digits * 10 + (*c - '0');
		point = strchr(text, '.');
		holds(before, length == strlen(text));
		holds(before, point ? (int)strlen(point + 1) == decimals && point > text : decimals == 0);
		holds(before, (text[0] == '-') == (value < 0 && digits > 0));
		off = digits * unit - (value < 0 ? -value : value) * ten;
		holds(before, 2 * off <= unit && 2 * off > -unit);
	}
}

static void
what_rounds_to_zero_is_shown_without_a_sign_and_the_largest_fits(void **state)
{
	(void)state;
	assert_string_equal(length_show(-1, UNITS_MM).text, "0 mm");
	assert_string_equal(length_show(-126, UNITS_INCH).text, "0 in");
	assert_string_equal(length_show(-127, UNITS_INCH).text, "-0.00001 in");
	assert_string_equal(length_figure(-1, UNITS_MM).text, "0.000");
	assert_string_equal(length_figure(-1270, UNITS_INCH).text, "-0.0001");
	assert_string_equal(length_show(100 * LENGTH_MM, UNITS_MM).text, "100 mm");
	assert_string_equal(length_show(-LENGTH_MAX, UNITS_MM).text, "-10000 mm");
	assert_string_equal(length_show(LENGTH_MAX, UNITS_INCH).text, "393.70079 in");
	assert_string_equal(feed_show(1000 * LENGTH_MAX, UNITS_MM).text, "10000000 mm/min");
	assert_string_equal(cutting_show(120 * 1000 * LENGTH_MM, UNITS_INCH).text, "394 ft/min");
	assert_string_equal(cutting_show(120 * 1000 * LENGTH_MM + 100 * LENGTH_MM, UNITS_MM).text, "120.1 m/min");
	assert_int_equal(units_length(UNITS_INCH), 25400000);
	assert_int_equal(units_length(UNITS_MM), 1000000);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(rounding_goes_the_way_it_says_for_both_signs),
		cmocka_unit_test(rounding_holds_for_random_lengths),
		cmocka_unit_test(decimals_are_exact_and_zero_has_no_sign),
		cmocka_unit_test(numbers_are_shown_as_a_shop_writes_them),
		cmocka_unit_test(random_decimals_are_the_nearest),
		cmocka_unit_test(what_rounds_to_zero_is_shown_without_a_sign_and_the_largest_fits),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
