#include "planning.h"

#include "skimcut/scale.h"

static const uint64_t SEED = 0x5eed0f54e75e7711;

static double
size_at(int64_t drawn, int64_t real, Length x)
{
	return (double)x / LENGTH_MM * (double)drawn / (double)real;
}

/* The series of ISO 5455, written out. */
static void
a_scale_is_the_largest_of_the_series_that_fits(void **state)
{
	static const int64_t SERIES[][2] = {
		{ 1000, 1 }, { 500, 1 }, { 200, 1 }, { 100, 1 }, { 50, 1 },   { 20, 1 },   { 10, 1 },
		{ 5, 1 },    { 2, 1 },   { 1, 1 },   { 1, 2 },   { 1, 5 },    { 1, 10 },   { 1, 20 },
		{ 1, 50 },   { 1, 100 }, { 1, 200 }, { 1, 500 }, { 1, 1000 }, { 1, 2000 }, { 1, 5000 },
	};
	uint64_t seed = SEED;

	(void)state;
	for (int i = 0; i < 3000; i++) {
		const uint64_t before = seed;
		Length         most   = (Length)1 << random_between(&seed, 10, 33);
		Length         width = random_between(&seed, 0, most), height = random_between(&seed, 1, most);
		double         room_width  = (double)random_between(&seed, 40, 1800) / 10;
		double         room_height = (double)random_between(&seed, 40, 1200) / 10;
		struct scale   scale       = scale_find(width, height, room_width, room_height);
		size_t         place       = 0;

		while (SERIES[place][0] != scale.drawn || SERIES[place][1] != scale.real) {
			place++;
			holds(before, place < sizeof SERIES / sizeof SERIES[0]);
		}
		holds(before, size_at(scale.drawn, scale.real, width) <= room_width &&
		                  size_at(scale.drawn, scale.real, height) <= room_height);
		holds(before, place == 0 || size_at(SERIES[place - 1][0], SERIES[place - 1][1], width) > room_width ||
		                  size_at(SERIES[place - 1][0], SERIES[place - 1][1], height) > room_height);
	}
}

static void
what_is_too_large_for_every_scale_gets_the_smallest(void **state)
{
	struct scale scale = scale_find(LENGTH_MAX, LENGTH_MM, 0.001, 100);

	(void)state;
	assert_string_equal(scale_show(scale).text, "1:10000");
	assert_string_equal(scale_show(scale_find(1, 1, 100, 100)).text, "1000:1");
}

static void
a_scale_is_told_as_drawn_to_real(void **state)
{
	(void)state;
	assert_string_equal(scale_show((struct scale){ 1, 20 }).text, "1:20");
	assert_string_equal(scale_show(scale_find(20 * LENGTH_MM, 10 * LENGTH_MM, 100, 100)).text, "5:1");
	assert_string_equal(scale_show(scale_find(20 * LENGTH_MM, 10 * LENGTH_MM, 99.9, 100)).text, "2:1");
	assert_string_equal(scale_show(scale_find(0, 200 * LENGTH_MM, 0, 100)).text, "1:2");
}

static void
a_length_is_scaled_on_paper(void **state)
{
	(void)state;
	assert_float_equal(scale_mm((struct scale){ 1, 5 }, 60 * LENGTH_MM), 12, 1e-12);
	assert_float_equal(scale_mm((struct scale){ 20, 1 }, -LENGTH_MM / 4), -5, 1e-12);
}

static void
every_so_many_is_a_round_number(void **state)
{
	static const struct {
		double  least;
		int64_t every;
	} ROWS[] = { { 0, 1 },   { 1, 1 },   { 1.01, 2 },   { 2.5, 5 },    { 6, 10 },
		     { 10, 10 }, { 11, 20 }, { 900, 1000 }, { 2001, 5000 } };

	(void)state;
	for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++)
		assert_int_equal(scale_every(ROWS[i].least), ROWS[i].every);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_scale_is_the_largest_of_the_series_that_fits),
		cmocka_unit_test(what_is_too_large_for_every_scale_gets_the_smallest),
		cmocka_unit_test(a_scale_is_told_as_drawn_to_real),
		cmocka_unit_test(a_length_is_scaled_on_paper),
		cmocka_unit_test(every_so_many_is_a_round_number),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
