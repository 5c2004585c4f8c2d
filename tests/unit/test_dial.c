#include "planning.h"

#include <math.h>
#include <stdlib.h>

#include "skimcut/dial.h"

/* Whole lines make a turn, as intake.h has seen to. */
static struct dial
random_dial(uint64_t *random)
{
	Length line = random_between(random, 1000, LENGTH_MM);

	return (struct dial){ .per_turn = line * random_between(random, 1, 400), .graduation = line };
}

/* Less than a tenth of a line short of the length, on either side of zero: a knee set by it is never higher than its cut. */
static void
a_reading_is_the_last_tenth_of_a_line_before_the_length(void **state)
{
	uint64_t random = 271828182845, backs = 0, short_of = 0;

	(void)state;
	for (int i = 0; i < 20000; i++) {
		const uint64_t seed = random;
		struct dial    dial = random_dial(&random);
		Length x = random_between(&random, -LENGTH_MAX, LENGTH_MAX) / random_between(&random, 1, 100000);
		struct reading reading = dial_read(&dial, x);
		/* Ten times as far, so that a tenth is whole. */
		Length left = 10 * llabs(x) - 10 * reading.turns * dial.per_turn - reading.tenths * dial.graduation;

		holds(seed, left >= 0 && left < dial.graduation);
		holds(seed, reading.tenths >= 0 && reading.tenths < 10 * (dial.per_turn / dial.graduation));
		holds(seed, reading.turns >= 0);
		holds(seed, !reading.back || x < 0);
		holds(seed, reading.back || x >= 0 || (reading.turns == 0 && reading.tenths == 0));
		backs += reading.back;
		short_of += left > 0;
	}
	assert_true(backs > 5000 && short_of > 5000);
}

static void
whole_turns_and_lines_are_read_as_they_are(void **state)
{
	uint64_t random = 57721566;

	(void)state;
	for (int i = 0; i < 5000; i++) {
		const uint64_t seed  = random;
		struct dial    dial  = random_dial(&random);
		int64_t        turns = random_between(&random, 0, 40);
		int64_t        lines = random_between(&random, 0, dial.per_turn / dial.graduation - 1);
		Length         x     = turns * dial.per_turn + lines * dial.graduation;
		struct reading there = dial_read(&dial, x), back = dial_read(&dial, -x);

		holds(seed, there.turns == turns && there.tenths == 10 * lines && !there.back);
		holds(seed, back.turns == turns && back.tenths == 10 * lines && back.back == (x > 0));
	}
}

static void
a_reading_is_told_in_turns_and_lines(void **state)
{
	static const struct {
		struct reading reading;
		const char    *shown;
	} CASES[] = {
		{ { false, 0, 0 }, "0 turns + 0" },
		{ { false, 1, 0 }, "1 turn + 0" },
		{ { false, 2, 150 }, "2 turns + 15" },
		{ { false, 0, 75 }, "0 turns + 7.5" },
		{ { true, 1, 5 }, "1 turn + 0.5" },
		{ { false, 11, 1999 }, "11 turns + 199.9" },
		{ { true, 100000, 9999 }, "100000 turns + 999.9" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++)
		assert_string_equal(dial_show(&CASES[i].reading).text, CASES[i].shown);
}

static void
the_dial_along_the_passes_is_not_the_one_across(void **state)
{
	struct machine machine = { .dials = {
				       .x = { .per_turn = 1 }, .y = { .per_turn = 2 }, .knee = { .per_turn = 3 } } };

	(void)state;
	assert_ptr_equal(dial_along(&machine, ALONG_X), &machine.dials.x);
	assert_ptr_equal(dial_across(&machine, ALONG_X), &machine.dials.y);
	assert_ptr_equal(dial_along(&machine, ALONG_Y), &machine.dials.y);
	assert_ptr_equal(dial_across(&machine, ALONG_Y), &machine.dials.x);
}

static void
of_a_handle_without_a_dial_nothing_is_told(void **state)
{
	struct machine machine = { .dials = { .y = { .per_turn = 5 * LENGTH_MM } } };
	struct feeding feeding = dial_feeding(&machine, ALONG_X, 100 * LENGTH_MM, 100 * LENGTH_MM / 2, 110 * LENGTH_MM);

	(void)state;
	assert_true(feeding.turns_min == 0 && feeding.s_per_turn == 0);
	assert_false(feeding.too_fast || feeding.has_power);
	assert_int_equal(feeding.setting, 0);
}

static void
a_power_feed_moves_the_axes_it_is_told_to(void **state)
{
	static const int64_t RATES[] = { 50 * LENGTH_MM };
	static const struct {
		unsigned axes;
		bool     x, y;
	} CASES[] = {
		{ 0, false, false },
		{ 1u << ALONG_X, true, false },
		{ 1u << ALONG_Y, false, true },
		{ 1u << ALONG_X | 1u << ALONG_Y, true, true },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		struct machine machine = { .power_feed = { .rates = { RATES, 1 }, .axes = CASES[i].axes } };

		assert_int_equal(
		    dial_feeding(&machine, ALONG_X, 60 * LENGTH_MM, 60 * LENGTH_MM / 2, 60 * LENGTH_MM).has_power,
		    CASES[i].x);
		assert_int_equal(
		    dial_feeding(&machine, ALONG_Y, 60 * LENGTH_MM, 60 * LENGTH_MM / 2, 60 * LENGTH_MM).has_power,
		    CASES[i].y);
		assert_int_equal(
		    dial_feeding(&machine, ALONG_X, 60 * LENGTH_MM, 60 * LENGTH_MM / 2, 60 * LENGTH_MM).setting,
		    CASES[i].x ? RATES[0] : 0);
		machine.power_feed.rates.count = 0;
		assert_false(
		    dial_feeding(&machine, ALONG_X, 60 * LENGTH_MM, 60 * LENGTH_MM / 2, 60 * LENGTH_MM).has_power);
	}
}

/* From half of the feed to the most that it may be, both themselves; of a single setting. In mm/min. */
static void
a_setting_is_neither_so_slow_that_it_rubs_nor_faster_than_it_may_be(void **state)
{
	static const struct {
		double vf, most, rate;
		bool   taken;
	} CASES[] = {
		{ 100, 110, 50, true },       { 100, 110, 49.999, false }, { 100, 110, 110, true },
		{ 100, 110, 110.001, false }, { 100, 100, 100, true },     { 100, 100, 100.001, false },
		{ 100, 150, 140, true },      { 100, 110, 1, false },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		const int64_t  rate    = llround(CASES[i].rate * LENGTH_MM);
		struct machine machine = { .power_feed = { .rates = { &rate, 1 }, .axes = 1u << ALONG_X } };
		struct feeding feeding = dial_feeding(&machine, ALONG_X, llround(CASES[i].vf * LENGTH_MM),
		                                      llround(CASES[i].vf * LENGTH_MM) / 2,
		                                      llround(CASES[i].most * LENGTH_MM));

		if (feeding.setting != (CASES[i].taken ? rate : 0))
			fail_msg("row %zu: %lld nm/min", i, (long long)feeding.setting);
		assert_true(feeding.has_power);
	}
}

/* Whatever is listed, in whatever order: no other that may be taken is nearer, and of two as near it is the slower. */
static void
no_setting_that_may_be_taken_is_nearer(void **state)
{
	uint64_t random = 11400714819323, none = 0, faster = 0;

	(void)state;
	for (int i = 0; i < 5000; i++) {
		const uint64_t seed  = random;
		size_t         count = (size_t)random_between(&random, 1, 12);
		Speed          vf    = random_between(&random, 1, 500) * LENGTH_MM;
		Speed          most  = vf + vf / random_between(&random, 5, 20);
		int64_t        rates[12];
		struct machine machine = { .power_feed = { .rates = { rates, count }, .axes = 1u << ALONG_Y } };
		struct feeding feeding;
		bool           listed = false;

		for (size_t k = 0; k < count; k++)
			rates[k] = random_between(&random, 1, 600) * LENGTH_MM;
		feeding = dial_feeding(&machine, ALONG_Y, vf, vf / 2, most);
		for (size_t k = 0; k < count; k++) {
			listed |= rates[k] == feeding.setting;
			if (rates[k] > most || 2 * rates[k] < vf)
				continue;
			holds(seed, feeding.setting > 0);
			holds(seed, llabs(feeding.setting - vf) <= llabs(rates[k] - vf));
			holds(seed, llabs(feeding.setting - vf) < llabs(rates[k] - vf) || feeding.setting <= rates[k]);
		}
		holds(seed, listed == (feeding.setting > 0));
		holds(seed, feeding.setting <= most);
		holds(seed, feeding.setting == 0 || 2 * feeding.setting >= vf);
		none += feeding.setting == 0;
		faster += feeding.setting > vf;
	}
	assert_true(none > 200 && faster > 200);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_reading_is_the_last_tenth_of_a_line_before_the_length),
		cmocka_unit_test(whole_turns_and_lines_are_read_as_they_are),
		cmocka_unit_test(a_reading_is_told_in_turns_and_lines),
		cmocka_unit_test(the_dial_along_the_passes_is_not_the_one_across),
		cmocka_unit_test(of_a_handle_without_a_dial_nothing_is_told),
		cmocka_unit_test(a_power_feed_moves_the_axes_it_is_told_to),
		cmocka_unit_test(a_setting_is_neither_so_slow_that_it_rubs_nor_faster_than_it_may_be),
		cmocka_unit_test(no_setting_that_may_be_taken_is_nearer),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
