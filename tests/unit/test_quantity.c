#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "planning.h"
#include "skimcut/quantity.h"
#include "skimcut/text.h"

static const uint64_t SEED = 0x2545f4914f6cdd1d;

struct good {
	enum quantity quantity;
	const char   *text;
	enum units    bare;
	int64_t       value;
};

struct bad {
	enum quantity quantity;
	const char   *text;
	enum units    bare;
	const char   *why; /* a part of the reason */
};

static const struct good GOOD[] = {
	{ QUANTITY_LENGTH, "1.1", UNITS_INCH, 27940000 },
	{ QUANTITY_LENGTH, "1.1", UNITS_MM, 1100000 },
	{ QUANTITY_LENGTH, "-0.5", UNITS_MM, -500000 },
	{ QUANTITY_LENGTH, "+0.5", UNITS_MM, 500000 },
	{ QUANTITY_LENGTH, "50 thou", UNITS_MM, 1270000 },
	{ QUANTITY_LENGTH, "50thou", UNITS_NONE, 1270000 },
	{ QUANTITY_LENGTH, "1.5 mm", UNITS_INCH, 1500000 },
	{ QUANTITY_LENGTH, "25 um", UNITS_INCH, 25000 },
	{ QUANTITY_LENGTH, "2.5 cm", UNITS_NONE, 25000000 },
	{ QUANTITY_LENGTH, "1.25 m", UNITS_NONE, 1250000000 },
	{ QUANTITY_LENGTH, "3/4 in", UNITS_MM, 19050000 },
	{ QUANTITY_LENGTH, "3/4", UNITS_INCH, 19050000 },
	{ QUANTITY_LENGTH, "1-1/2 in", UNITS_MM, 38100000 },
	{ QUANTITY_LENGTH, "1 1/2 in", UNITS_MM, 38100000 },
	{ QUANTITY_LENGTH, "-1-1/2 in", UNITS_MM, -38100000 },
	{ QUANTITY_LENGTH, "1/64 in", UNITS_NONE, 396875 },
	{ QUANTITY_LENGTH, "1/3 ft", UNITS_NONE, 101600000 },
	{ QUANTITY_LENGTH, "2 ft", UNITS_NONE, 609600000 },
	{ QUANTITY_LENGTH, "6 inch", UNITS_NONE, 152400000 },
	{ QUANTITY_LENGTH, ".5", UNITS_MM, 500000 },
	{ QUANTITY_LENGTH, "5.", UNITS_MM, 5000000 },
	{ QUANTITY_LENGTH, "0.000001 mm", UNITS_NONE, 1 },
	{ QUANTITY_LENGTH, "10 m", UNITS_NONE, LENGTH_MAX },
	{ QUANTITY_LENGTH, "0.00000500000 in", UNITS_NONE, 127 },
	{ QUANTITY_LENGTH, "1 in", UNITS_MM, 25400000 },
	{ QUANTITY_LENGTH, "-3/4 in", UNITS_MM, -19050000 },
	{ QUANTITY_LENGTH, "0/4", UNITS_INCH, 0 },
	{ QUANTITY_LENGTH, "-0", UNITS_MM, 0 },
	{ QUANTITY_LENGTH, "-10 m", UNITS_NONE, -LENGTH_MAX },
	{ QUANTITY_FEED, "2 in/min", UNITS_MM, 50800000 },
	{ QUANTITY_FEED, "2 mm/min", UNITS_INCH, 2000000 },
	{ QUANTITY_FEED, "12", UNITS_INCH, 304800000 },
	{ QUANTITY_FEED, "300", UNITS_MM, 300000000 },
	{ QUANTITY_FEED, "0.5 m/min", UNITS_INCH, 500000000 },
	{ QUANTITY_FEED, "1 ft/min", UNITS_MM, 304800000 },
	{ QUANTITY_CUTTING_SPEED, "300 ft/min", UNITS_MM, 91440000000 },
	{ QUANTITY_CUTTING_SPEED, "90 m/min", UNITS_INCH, 90000000000 },
	{ QUANTITY_CUTTING_SPEED, "300", UNITS_INCH, 91440000000 },
	{ QUANTITY_CUTTING_SPEED, "90", UNITS_MM, 90000000000 },
	{ QUANTITY_CUTTING_SPEED, "2.8 m/s", UNITS_NONE, 168000000000 },
	{ QUANTITY_ROTATION, "1115", UNITS_NONE, 1115 },
	{ QUANTITY_ROTATION, "1115 rpm", UNITS_MM, 1115 },
	{ QUANTITY_ROTATION, "80 1/min", UNITS_MM, 80 },
	{ QUANTITY_RATIO, "70 %", UNITS_NONE, 700000 },
	{ QUANTITY_RATIO, "12.5%", UNITS_MM, 125000 },
	{ QUANTITY_ANGLE, "45 deg", UNITS_NONE, 45000000 },
	{ QUANTITY_ANGLE, "90", UNITS_NONE, 90000000 },
	{ QUANTITY_POWER, "3.5 hp", UNITS_NONE, 2609950 },
	{ QUANTITY_POWER, "2.2 kW", UNITS_NONE, 2200000 },
	{ QUANTITY_POWER, "0.00000000000001 hp", UNITS_NONE, 0 },
	{ QUANTITY_POWER, "750 W", UNITS_NONE, 750000 },
	{ QUANTITY_FORCE, "2000 lbf", UNITS_NONE, 8896443 },
	{ QUANTITY_FORCE, "22.5 kN", UNITS_NONE, 22500000 },
	{ QUANTITY_FORCE, "100 N", UNITS_NONE, 100000 },
	{ QUANTITY_COUNT, "5", UNITS_NONE, 5 },
	{ QUANTITY_COUNT, "5.0", UNITS_NONE, 5 },
};

static const struct bad BAD[] = {
	{ QUANTITY_LENGTH, "", UNITS_MM, "not a number" },
	{ QUANTITY_LENGTH, ".", UNITS_MM, "not a number" },
	{ QUANTITY_LENGTH, "-", UNITS_MM, "not a number" },
	{ QUANTITY_LENGTH, "--1", UNITS_MM, "not a number" },
	{ QUANTITY_LENGTH, "mm", UNITS_MM, "not a number" },
	{ QUANTITY_LENGTH, ".inf", UNITS_MM, "not a number" },
	{ QUANTITY_LENGTH, ".nan", UNITS_MM, "not a number" },
	{ QUANTITY_LENGTH, "inf", UNITS_MM, "not a number" },
	{ QUANTITY_LENGTH, "nan", UNITS_MM, "not a number" },
	{ QUANTITY_LENGTH, "-inf", UNITS_MM, "not a number" },
	{ QUANTITY_LENGTH, "/2 in", UNITS_MM, "not a number" },
	{ QUANTITY_LENGTH, " 1 mm", UNITS_MM, "not a number" },
	{ QUANTITY_LENGTH, "1.5e-3 mm", UNITS_MM, "not one of the units" },
	{ QUANTITY_LENGTH, "1,000.5 mm", UNITS_MM, "comma" },
	{ QUANTITY_LENGTH, "1\"", UNITS_INCH, "not one of the units" },
	{ QUANTITY_LENGTH, "1e3", UNITS_MM, "not one of the units in, inch" },
	{ QUANTITY_LENGTH, "0x10", UNITS_MM, "not one of the units" },
	{ QUANTITY_LENGTH, "1.2.3", UNITS_MM, "not one of the units" },
	{ QUANTITY_LENGTH, "1_000", UNITS_MM, "not one of the units" },
	{ QUANTITY_LENGTH, "1,5", UNITS_MM, "comma" },
	{ QUANTITY_LENGTH, "1.1", UNITS_NONE, "needs a unit" },
	{ QUANTITY_LENGTH, "1 furlong", UNITS_MM, "'furlong' is not one of" },
	{ QUANTITY_LENGTH, "1 MM", UNITS_MM, "'MM' is not one of" },
	{ QUANTITY_LENGTH, "1 mm x", UNITS_MM, "'mm x' is not one of" },
	{ QUANTITY_LENGTH, "1/3 in", UNITS_NONE, "no whole number of nanometres" },
	{ QUANTITY_LENGTH, "1/3 mm", UNITS_NONE, "no whole number of nanometres" },
	{ QUANTITY_LENGTH, "0.0000001 mm", UNITS_NONE, "no whole number of nanometres" },
	{ QUANTITY_LENGTH, "0.0000001 in", UNITS_NONE, "no whole number of nanometres" },
	{ QUANTITY_LENGTH, "1/0 in", UNITS_NONE, "not a fraction" },
	{ QUANTITY_LENGTH, "1/ in", UNITS_NONE, "not a fraction" },
	{ QUANTITY_LENGTH, "1/2/3 in", UNITS_NONE, "not a fraction" },
	{ QUANTITY_LENGTH, "1.5/2 in", UNITS_NONE, "not one of the units" },
	{ QUANTITY_LENGTH, "1-2 in", UNITS_NONE, "not a fraction" },
	{ QUANTITY_LENGTH, "1-1.5/2 in", UNITS_NONE, "not a fraction" },
	{ QUANTITY_LENGTH, "10.000001 m", UNITS_NONE, "too large" },
	{ QUANTITY_LENGTH, "-10.000001 m", UNITS_NONE, "too large" },
	{ QUANTITY_LENGTH, "999999999999999 m", UNITS_NONE, "too large" },
	{ QUANTITY_LENGTH, "9999999999999999", UNITS_MM, "too many digits" },
	{ QUANTITY_LENGTH, "0.0000000000000001", UNITS_MM, "too many digits" },
	{ QUANTITY_FEED, "1.1", UNITS_NONE, "needs a unit: in/min" },
	{ QUANTITY_CUTTING_SPEED, "90", UNITS_NONE, "needs a unit: ft/min" },
	{ QUANTITY_ROTATION, "1000001", UNITS_MM, "too large" },
	{ QUANTITY_RATIO, "0.7", UNITS_INCH, "needs a unit: %" },
	{ QUANTITY_RATIO, "70", UNITS_MM, "needs a unit: %" },
	{ QUANTITY_RATIO, "0.00001 %", UNITS_MM, "too many decimals" },
	{ QUANTITY_POWER, "3", UNITS_INCH, "needs a unit: W, kW, hp" },
	{ QUANTITY_POWER, "999999999999999 hp", UNITS_NONE, "too large" },
	{ QUANTITY_POWER, "0.000000000000001 hp", UNITS_NONE, "too many d" },
	{ QUANTITY_FORCE, "3", UNITS_MM, "needs a unit: N, kN, lbf" },
	{ QUANTITY_FORCE, "3 kg", UNITS_MM, "N, kN, lbf" },
	{ QUANTITY_ROTATION, "135.5", UNITS_MM, "not a whole number" },
	{ QUANTITY_COUNT, "2.5", UNITS_MM, "not a whole number" },
	{ QUANTITY_COUNT, "2 mm", UNITS_MM, "not a whole number" },
	{ QUANTITY_FEED, "10 rpm", UNITS_MM, "not one of the units in/min" },
	{ QUANTITY_CUTTING_SPEED, "10 mm/min", UNITS_MM, "not one of the units ft/min" },
};

static void
what_a_shop_writes_is_read_exactly(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof GOOD / sizeof GOOD[0]; i++) {
		char        room[256];
		struct text why   = text_over(room, sizeof room);
		int64_t     value = -77;

		if (!quantity_parse(GOOD[i].quantity, GOOD[i].text, GOOD[i].bare, &value, &why) ||
		    value != GOOD[i].value)
			fail_msg("'%s': %lld %s", GOOD[i].text, (long long)value, text_end(&why));
	}
}

static void
what_is_wrong_is_said_and_leaves_the_value_alone(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof BAD / sizeof BAD[0]; i++) {
		char        room[256];
		struct text why   = text_over(room, sizeof room);
		int64_t     value = -77;

		if (quantity_parse(BAD[i].quantity, BAD[i].text, BAD[i].bare, &value, &why) || value != -77 ||
		    !strstr(text_end(&why), BAD[i].why))
			fail_msg("'%s': %lld %s", BAD[i].text, (long long)value, text_end(&why));
	}
}

/* Printed with enough digits, a length reads back as itself, in either system. */
static void
random_lengths_survive_being_printed_and_read(void **state)
{
	uint64_t seed = SEED;

	(void)state;
	for (int i = 0; i < 20000; i++) {
		const uint64_t before = seed;
		bool           inch   = random_chance(&seed, 2);
		Length         step   = inch ? 254 : 1,
		       length = random_between(&seed, -LENGTH_MAX / step, LENGTH_MAX / step) * step, back = 0;
		char        room[256], text[DECIMAL_MAX];
		struct text why = text_over(room, sizeof room);

		decimal_print(text, length, inch ? LENGTH_INCH : LENGTH_MM, inch ? 5 : 6);
		holds(before, quantity_parse(QUANTITY_LENGTH, text, inch ? UNITS_INCH : UNITS_MM, &back, &why));
		holds(before, back == length);
	}
}

/* 1 hp = 550 x 12 x 0.0254 x 0.45359237 x 9.80665 W, 1 lbf = 0.45359237 x 9.80665 N: never more than half a unit off. */
static void
horsepower_and_pounds_are_rounded_to_the_nearest(void **state)
{
	static const struct {
		enum quantity quantity;
		const char   *unit;
		double        worth; /* in mW or mN */
	} units[] = {
		{ QUANTITY_POWER, "hp", 550 * 12 * 0.0254 * 0.45359237 * 9.80665 * 1000 },
		{ QUANTITY_FORCE, "lbf", 0.45359237 * 9.80665 * 1000 },
	};
	uint64_t seed = SEED;

	(void)state;
	for (int i = 0; i < 5000; i++) {
		const uint64_t before = seed;
		size_t         unit   = random_chance(&seed, 2) ? 1 : 0;
		int64_t        parts  = random_between(&seed, -9999999, 9999999), value;
		char           room[256], number[DECIMAL_MAX], text[DECIMAL_MAX + 8];
		struct text    why = text_over(room, sizeof room);

		decimal_print(number, parts, 10000, 4);
		snprintf(text, sizeof text, "%s %s", number, units[unit].unit);
		holds(before, quantity_parse(units[unit].quantity, text, UNITS_NONE, &value, &why));
		holds(before, fabs((double)value - (double)parts / 10000 * units[unit].worth) < 0.50001);
	}
}

static void
many_decimals_of_a_rounded_unit_are_not_too_large(void **state)
{
	static const struct good cases[] = {
		{ QUANTITY_POWER, "1.23456789 hp", UNITS_NONE, 920617 },
		{ QUANTITY_POWER, "3.12345678 hp", UNITS_NONE, 2329161 },
		{ QUANTITY_FORCE, "123.4567891 lbf", UNITS_NONE, 549163 },
		/* rounded up past what 64 bits hold */
		{ QUANTITY_POWER, "0.0000024737233 hp", UNITS_NONE, 2 },
		{ QUANTITY_POWER, "-0.0000024737233 hp", UNITS_NONE, -2 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		char        room[256];
		struct text why   = text_over(room, sizeof room);
		int64_t     value = -77;

		if (!quantity_parse(cases[i].quantity, cases[i].text, cases[i].bare, &value, &why) ||
		    value != cases[i].value)
			fail_msg("'%s': %lld %s", cases[i].text, (long long)value, text_end(&why));
	}
}

static void
units_are_listed_for_people(void **state)
{
	char        room[128];
	struct text out = text_over(room, sizeof room);

	(void)state;
	quantity_units(QUANTITY_POWER, &out);
	assert_string_equal(text_end(&out), "W, kW, hp");
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(what_a_shop_writes_is_read_exactly),
		cmocka_unit_test(what_is_wrong_is_said_and_leaves_the_value_alone),
		cmocka_unit_test(random_lengths_survive_being_printed_and_read),
		cmocka_unit_test(horsepower_and_pounds_are_rounded_to_the_nearest),
		cmocka_unit_test(many_decimals_of_a_rounded_unit_are_not_too_large),
		cmocka_unit_test(units_are_listed_for_people),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
