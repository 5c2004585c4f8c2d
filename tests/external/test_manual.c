/*
 * Work by hand against values worked by hand, and the throw of chips against sums made here. Nothing of this was read in a book: the
 * readings and cadences are reckoned with pencil and paper from what a turn of the handle moves, and the directions of chips
 * are derived in docs/method.md, with figures computed outside of this program.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "../unit/planning.h"
#include "skimcut/chips.h"
#include "skimcut/choice.h"
#include "skimcut/dial.h"

static const double PI = 3.14159265358979323846;

static Length
mm(double x)
{
	return llround(x * 1e6);
}

static Length
inch(double x)
{
	return llround(x * 25.4e6);
}

/* --- dials --- */

enum { INCH, MM };

/* A turn of the handle, a line of its dial, how far from zero, in one unit; and what the dial reads. All hand-worked. */
static const struct read_off {
	int         unit;
	double      per_turn, line, from_zero;
	bool        back;
	int64_t     turns, tenths;
	const char *shown;
} READ_OFF[] = {
	/* 10 turns to the inch, 100 lines */
	{ INCH, 0.100, 0.001, 0, false, 0, 0, "0 turns + 0" },
	{ INCH, 0.100, 0.001, 0.030, false, 0, 300, "0 turns + 30" },
	{ INCH, 0.100, 0.001, 0.0375, false, 0, 375, "0 turns + 37.5" },
	{ INCH, 0.100, 0.001, 0.100, false, 1, 0, "1 turn + 0" },
	{ INCH, 0.100, 0.001, 0.215, false, 2, 150, "2 turns + 15" },
	{ INCH, 0.100, 0.001, 1.0999, false, 10, 999, "10 turns + 99.9" },
	/* 99.94 lines are 99.9, and so are 99.99: no knee comes up farther than it should */
	{ INCH, 0.100, 0.001, 0.09994, false, 0, 999, "0 turns + 99.9" },
	{ INCH, 0.100, 0.001, 0.09999, false, 0, 999, "0 turns + 99.9" },
	{ INCH, 0.100, 0.001, 0.29996, false, 2, 999, "2 turns + 99.9" },
	/* a tenth of a line is 0.0001: 0.00009 is nothing yet */
	{ INCH, 0.100, 0.001, 0.00009, false, 0, 0, "0 turns + 0" },
	{ INCH, 0.100, 0.001, 0.0001, false, 0, 1, "0 turns + 0.1" },
	/* 5 turns to the inch, 200 lines: 1.2345 is 6 turns, 1.2, and 0.0345 */
	{ INCH, 0.200, 0.001, 1.2345, false, 6, 345, "6 turns + 34.5" },
	{ INCH, 0.200, 0.001, 0.150, false, 0, 1500, "0 turns + 150" },
	{ INCH, 0.200, 0.001, 0.3999, false, 1, 1999, "1 turn + 199.9" },
	{ INCH, 0.200, 0.001, -0.350, true, 1, 1500, "1 turn + 150" },
	/* 8 turns to the inch, 125 lines: an eighth is a turn */
	{ INCH, 0.125, 0.001, 1, false, 8, 0, "8 turns + 0" },
	{ INCH, 0.125, 0.001, 0.300, false, 2, 500, "2 turns + 50" },
	{ INCH, 0.125, 0.001, 0.12496, false, 0, 1249, "0 turns + 124.9" },
	{ INCH, 0.125, 0.001, -0.0625, true, 0, 625, "0 turns + 62.5" },
	/* 2 mm and 100 lines of 0.02 */
	{ MM, 2, 0.02, 7.53, false, 3, 765, "3 turns + 76.5" },
	{ MM, 2, 0.02, 0.25, false, 0, 125, "0 turns + 12.5" },
	{ MM, 2, 0.02, 1.9995, false, 0, 999, "0 turns + 99.9" },
	{ MM, 2, 0.02, 1.9975, false, 0, 998, "0 turns + 99.8" },
	/* 5 mm and 100 lines of 0.05: 62.35 is 12 turns, 60, and 47 lines */
	{ MM, 5, 0.05, 62.35, false, 12, 470, "12 turns + 47" },
	{ MM, 5, 0.05, -12.5, true, 2, 500, "2 turns + 50" },
	{ MM, 5, 0.05, -5, true, 1, 0, "1 turn + 0" },
	{ MM, 5, 0.05, -0.001, false, 0, 0, "0 turns + 0" },
	{ MM, 5, 0.05, -4.999, true, 0, 999, "0 turns + 99.9" },
};

static void
a_dial_reads_what_a_hand_would_count(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof READ_OFF / sizeof READ_OFF[0]; i++) {
		const struct read_off *row = &READ_OFF[i];
		Length (*unit)(double)     = row->unit == INCH ? inch : mm;
		struct dial    dial        = { .per_turn = unit(row->per_turn), .graduation = unit(row->line) };
		struct reading reading     = dial_read(&dial, unit(row->from_zero));

		if (reading.back != row->back || reading.turns != row->turns || reading.tenths != row->tenths)
			fail_msg("row %zu: %s%lld turns, %lld tenths", i, reading.back ? "back " : "",
			         (long long)reading.turns, (long long)reading.tenths);
		assert_string_equal(dial_show(&reading).text, row->shown);
	}
}

/* feed / lead = turns a minute; 60 / turns = seconds a turn. Hand-worked. */
static const struct cadence {
	int    unit;
	double vf, per_turn, turns_min, s_per_turn;
	bool   too_fast; /* over one turn a second */
} CADENCES[] = {
	{ INCH, 6, 0.200, 30, 2.0, false },
	{ INCH, 12, 0.200, 60, 1.0, false },
	{ INCH, 12.1, 0.200, 60.5, 0.9917, true },
	{ INCH, 1, 0.200, 5, 12, false },
	{ INCH, 10, 0.100, 100, 0.6, true },
	{ INCH, 4.5, 0.125, 36, 1.6667, false },
	{ MM, 100, 5, 20, 3, false },
	{ MM, 90, 2, 45, 1.3333, false },
	{ MM, 500, 5, 100, 0.6, true },
	{ MM, 25, 5, 5, 12, false },
	{ INCH, 8, 0.250, 32, 1.875, false },
};

static void
a_feed_is_so_many_turns_a_minute(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof CADENCES / sizeof CADENCES[0]; i++) {
		const struct cadence *row = &CADENCES[i];
		Length (*unit)(double)    = row->unit == INCH ? inch : mm;
		struct machine machine    = { .dials = { .x = { .per_turn = unit(row->per_turn) },
			                                 .y = { .per_turn = unit(3 * row->per_turn) } } };
		struct feeding x = dial_feeding(&machine, ALONG_X, unit(row->vf), unit(row->vf) / 2, unit(row->vf));
		struct feeding y = dial_feeding(&machine, ALONG_Y, unit(row->vf), unit(row->vf) / 2, unit(row->vf));

		if (fabs(x.turns_min - row->turns_min) > 1e-9 * row->turns_min)
			fail_msg("row %zu: %.9f turns a minute", i, x.turns_min);
		if (fabs(x.s_per_turn - row->s_per_turn) > 5e-5)
			fail_msg("row %zu: %.6f s a turn", i, x.s_per_turn);
		assert_int_equal(x.too_fast, row->too_fast);
		/* Another handle of three times the lead turns a third as often. */
		assert_true(fabs(3 * y.turns_min - x.turns_min) < 1e-6);
		assert_false(x.has_power || y.has_power);
		assert_int_equal(x.setting, 0);
	}
}

/* The nearest that is a tenth too fast at the most, and not slower than half. In in/min, hand-worked; ends with 0. */
static const struct powered {
	double rates[8], vf, setting;
} POWERED[] = {
	{ { 2, 4, 8, 16 }, 4, 4 },
	{ { 2, 4, 8, 16 }, 4.9, 4 },
	/* 8 is nearer to 7, but 7.7 is the most that 7 bears */
	{ { 2, 4, 8, 16 }, 7, 4 },
	/* 8.03 is the most that 7.3 bears */
	{ { 2, 4, 8, 16 }, 7.3, 8 },
	/* a tenth over exactly */
	{ { 2, 11 }, 10, 11 },
	{ { 2, 11.01 }, 10, 0 },
	/* half exactly, and a little less */
	{ { 5, 11.01 }, 10, 5 },
	{ { 4.99, 11.01 }, 10, 0 },
	{ { 2, 4, 8, 16 }, 3, 2 },
	{ { 2, 4, 8, 16 }, 30, 16 },
	{ { 2, 4, 8, 16 }, 33, 0 },
	/* 1.98 is the most that 1.8 bears, and 2.002 that 1.82 bears */
	{ { 2, 4, 8, 16 }, 1.8, 0 },
	{ { 2, 4, 8, 16 }, 1.82, 2 },
	/* in any order, and one twice */
	{ { 16, 2, 8, 4, 8 }, 8.5, 8 },
	/* as near above as below: the slower */
	{ { 10, 9 }, 9.5, 9 },
	{ { 9, 10 }, 9.5, 9 },
	{ { 0.5 }, 1, 0.5 },
	{ { 0.5 }, 30, 0 },
};

static void
a_power_feed_is_set_to_the_nearest_that_is_neither_too_fast_nor_rubs(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof POWERED / sizeof POWERED[0]; i++) {
		int64_t        rates[8];
		size_t         count = 0;
		struct machine machine;
		struct feeding x, y;

		for (; count < 8 && POWERED[i].rates[count] > 0; count++)
			rates[count] = inch(POWERED[i].rates[count]);
		machine = (struct machine){ .power_feed = { .rates = { rates, count }, .axes = 1u << ALONG_X } };
		x       = dial_feeding(&machine, ALONG_X, inch(POWERED[i].vf), inch(POWERED[i].vf) / 2,
		                       inch(1.1 * POWERED[i].vf));
		y       = dial_feeding(&machine, ALONG_Y, inch(POWERED[i].vf), inch(POWERED[i].vf) / 2,
		                       inch(1.1 * POWERED[i].vf));
		if (x.setting != inch(POWERED[i].setting))
			fail_msg("row %zu: %.3f in/min", i, (double)x.setting / 25.4e6);
		assert_true(x.has_power);
		assert_false(y.has_power);
		assert_int_equal(y.setting, 0);
	}
}

/* --- chips --- */

/* A pass that cuts the strip from..to across it, in the machine's sense: Y for passes along X, X for passes along Y. */
struct throwing {
	struct job    job;
	struct cutter cutter;
	struct plan   plan;
};

static void
throwing_make(struct throwing *throwing, enum along along, int travel, Length diameter, Length from, Length to)
{
	*throwing = (struct throwing){ .cutter = { .diameter = diameter } };
	if (along == ALONG_X)
		throwing->job.stock.width = to - from;
	else
		throwing->job.stock.length = to - from;
	throwing->plan.job    = &throwing->job;
	throwing->plan.cutter = &throwing->cutter;
	throwing->plan.layout = (struct layout){
		.along = along, .pattern = PATTERN_ONE_WAY, .passes = 1, .first = -from, .side = 1, .travel = travel
	};
}

/* What is thrown by the teeth at 10000 places round the cutter, in the machine's frame: X to the right, Y to the back. */
struct sum {
	double x, y;        /* of velocities times chip thickness */
	bool   straight[4]; /* some tooth throws straight to the right, back, left, front */
	double nearest[4];  /* how near any comes to that, radians */
	size_t teeth;       /* that cut */
};

static const double SIDE_X[] = { 1, 0, -1, 0 }, SIDE_Y[] = { 0, 1, 0, -1 };

static struct sum
sum_make(enum along along, int travel, double radius, double from, double to)
{
	enum { PLACES = 10000 };
	const double step = 2 * PI / PLACES, ahead_x = along == ALONG_X ? travel : 0,
		     ahead_y = along == ALONG_Y ? travel : 0;
	struct sum sum       = { .nearest = { PI, PI, PI, PI } };

	for (int i = 0; i < PLACES; i++) {
		double angle = (i + 0.5) * step, x = cos(angle), y = sin(angle);
		double thick = x * ahead_x + y * ahead_y, across = radius * (along == ALONG_X ? y : x);

		if (thick <= 0 || across < from || across > to)
			continue;
		/* Clockwise seen from above: from the front over the left to the back. */
		sum.x += thick * y;
		sum.y -= thick * x;
		sum.teeth++;
		for (int side = 0; side < 4; side++) {
			double turned = acos(fmax(-1, fmin(1, y * SIDE_X[side] - x * SIDE_Y[side])));

			sum.nearest[side] = fmin(sum.nearest[side], turned);
			sum.straight[side] |= turned < 1.01 * step;
		}
	}
	return sum;
}

static unsigned
bit(int side)
{
	static const unsigned BITS[] = { SIDE_RIGHT, SIDE_BACK, SIDE_LEFT, SIDE_FRONT };

	return BITS[side];
}

/* From the travel, counter-clockwise, degrees. */
static double
turned_deg(const struct chips *chips, enum along along, int travel)
{
	double ahead_x = along == ALONG_X ? travel : 0, ahead_y = along == ALONG_Y ? travel : 0;

	return atan2(ahead_x * chips->y - ahead_y * chips->x, ahead_x * chips->x + ahead_y * chips->y) * 180 / PI;
}

/* The share of the diameter that is cut, on which side of the travel the stock is; weighted by chip thickness. Figures computed outside. */
static const struct direction {
	double from, to; /* across the travel from the centre line, left positive, in radii */
	double deg;
} DIRECTIONS[] = {
	{ 0.5, 1, -39.3 },   /* conventional, 0.25 D, stock on the left */
	{ 0, 1, -57.5 },     /* conventional, 0.5 D */
	{ -0.4, 1, -70.3 },  /* conventional, 0.7 D */
	{ -1, 0, -122.5 },   /* climb, 0.5 D, stock on the right */
	{ -1, 0.4, -109.7 }, /* climb, 0.7 D */
	{ -1, 1, -90 },      /* slot */
	{ -0.5, 0.5, -90 },  /* centred */
};

static void
chips_go_where_the_table_of_directions_says(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof DIRECTIONS / sizeof DIRECTIONS[0]; i++)
		for (int way = 0; way < 4; way++) {
			enum along along  = way < 2 ? ALONG_X : ALONG_Y;
			int        travel = way % 2 == 0 ? 1 : -1;
			/* The left of +X is +Y; of +Y it is -X. */
			int             left = along == ALONG_X ? travel : -travel;
			double          a = DIRECTIONS[i].from * left, b = DIRECTIONS[i].to * left;
			struct throwing throwing;
			struct chips    chips;
			double          deg;

			throwing_make(&throwing, along, travel, mm(80), mm(40 * fmin(a, b)), mm(40 * fmax(a, b)));
			chips = chips_find(&throwing.plan, 0);
			deg   = turned_deg(&chips, along, travel);
			if (fabs(deg - DIRECTIONS[i].deg) > 0.05)
				fail_msg("row %zu, way %d: %.2f degrees", i, way, deg);
		}
}

/* In words: one side when it is within 22.5 degrees, else the corner. Hand-worked for +X from the rows above, then turned. */
static void
the_slot_throws_to_the_right_of_its_travel(void **state)
{
	static const struct {
		enum along along;
		int        travel;
		unsigned   towards, guard, stand;
	} WAYS[] = {
		{ ALONG_X, 1, SIDE_FRONT, SIDE_FRONT | SIDE_RIGHT | SIDE_LEFT, 0 },
		{ ALONG_X, -1, SIDE_BACK, SIDE_BACK | SIDE_RIGHT | SIDE_LEFT, SIDE_FRONT },
		{ ALONG_Y, 1, SIDE_RIGHT, SIDE_RIGHT | SIDE_BACK | SIDE_FRONT, SIDE_LEFT },
		{ ALONG_Y, -1, SIDE_LEFT, SIDE_LEFT | SIDE_BACK | SIDE_FRONT, SIDE_RIGHT },
	};

	(void)state;
	for (size_t i = 0; i < sizeof WAYS / sizeof WAYS[0]; i++) {
		struct throwing throwing;
		struct chips    chips;

		throwing_make(&throwing, WAYS[i].along, WAYS[i].travel, mm(80), mm(-40), mm(40));
		chips = chips_find(&throwing.plan, 0);
		assert_int_equal(chips.towards, WAYS[i].towards);
		assert_int_equal(chips.guard, WAYS[i].guard);
		assert_int_equal(chips.stand, WAYS[i].stand);
	}
}

/* Against the sum over the teeth: where most goes, every side that some tooth throws to, and none that no tooth comes near. */
static void
sides_check(const struct chips *chips, const struct sum *sum, uint64_t seed)
{
	double length = hypot(sum->x, sum->y), x = sum->x / length, y = sum->y / length;
	double stand_x = 0, stand_y = 0;

	for (int side = 0; side < 4; side++) {
		double off        = acos(fmax(-1, fmin(1, x * SIDE_X[side] + y * SIDE_Y[side]))) * 180 / PI;
		bool   is_towards = chips->towards & bit(side), is_guarded = chips->guard & bit(side);

		if (fabs(off - 67.5) > 0.1)
			holds(seed, is_towards == (off < 67.5));
		holds(seed, is_guarded || !is_towards);
		holds(seed, is_guarded || !sum->straight[side]);
		holds(seed, !is_guarded || is_towards || sum->nearest[side] < 50 * PI / 180);
		if (chips->stand & bit(side)) {
			stand_x += SIDE_X[side];
			stand_y += SIDE_Y[side];
		}
	}
	holds(seed, chips->guard != 15);
	holds(seed, (chips->stand & (chips->guard | SIDE_BACK)) == 0);
	holds(seed, chips->stand != 0 || (chips->guard | SIDE_BACK) == 15);
	holds(seed, stand_x * x + stand_y * y < 0.75); /* to one side of it, where the back would be opposite */
}

static void
chips_go_where_the_sum_over_the_teeth_goes(void **state)
{
	uint64_t random = 6022140857, checked = 0;

	(void)state;
	for (int i = 0; i < 1500; i++) {
		const uint64_t  seed     = random;
		Length          diameter = 2 * random_between(&random, mm(5), mm(80));
		Length          from     = random_between(&random, -diameter * 5 / 8, diameter * 45 / 100);
		Length          to       = random_between(&random, from + diameter / 50, diameter / 2);
		enum along      along    = random_chance(&random, 2) ? ALONG_X : ALONG_Y;
		int             travel   = random_chance(&random, 2) ? 1 : -1;
		struct sum      sum      = sum_make(along, travel, (double)diameter / 2, (double)from, (double)to);
		struct throwing throwing;
		struct chips    chips;

		if (sum.teeth < 100) /* too few to sum up */
			continue;
		checked++;
		throwing_make(&throwing, along, travel, diameter, from, to);
		chips = chips_find(&throwing.plan, 0);
		holds(seed, fabs(hypot(chips.x, chips.y) - 1) < 1e-9);
		/* The sine of the angle between them. */
		holds(seed, fabs(chips.x * sum.y - chips.y * sum.x) < 2e-3 * hypot(sum.x, sum.y));
		holds(seed, chips.x * sum.x + chips.y * sum.y > 0);
		sides_check(&chips, &sum, seed);
	}
	assert_true(checked > 1000);
}

/* Whatever the job: the person at the machine stands in front, and the first pass along X must not throw there. */
static void
the_first_pass_along_x_never_throws_to_the_front(void **state)
{
	uint64_t random = 1380649, made = 0, usual = 0;

	(void)state;
	for (int i = 0; i < 600; i++) {
		const uint64_t  seed = random;
		char            yaml[4096];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		random_job(&random, "pad", &out);
		holds(seed, planning_open(&planning, yaml));
		if (planning_plan(&planning, ALONG_X)) {
			struct chips chips = chips_find(&planning.plan, 0);
			struct strip strip = plan_strip(&planning.plan, 0);

			made++;
			holds(seed, chips.y > 0);
			holds(seed, !(chips.towards & SIDE_FRONT));
			holds(seed, !(chips.stand & SIDE_BACK));
			/* From the centre line to an edge, or more: chips are thrown more to the right of the travel than ahead. */
			if (strip.to - strip.from >= planning.plan.cutter->diameter / 2) {
				usual++;
				holds(seed, chips.towards & SIDE_BACK);
			}
		}
		planning_close(&planning);
	}
	assert_true(made > 300 && usual > 100);
}

/* Every pass of real plans, the way back of a zigzag too. */
static void
every_pass_of_a_plan_throws_where_its_own_sum_goes(void **state)
{
	uint64_t random = 299792458, passes = 0, back = 0;

	(void)state;
	for (int i = 0; i < 150; i++) {
		const uint64_t       seed = random;
		char                 yaml[4096];
		struct text          out   = text_over(yaml, sizeof yaml);
		enum along           along = i % 2 == 0 ? ALONG_X : ALONG_Y;
		struct planning      planning;
		const struct layout *layout = &planning.plan.layout;

		random_job(&random, "pad", &out);
		holds(seed, planning_open(&planning, yaml));
		if (planning_plan(&planning, along))
			for (int64_t k = 0; k < layout->passes && k < 3; k++) {
				Length width = along == ALONG_X ? planning.job.stock.width : planning.job.stock.length;
				Length diameter     = planning.plan.cutter->diameter;
				struct strip strip  = layout_strip(layout, k, diameter, width);
				int          travel = layout_pass(layout, k).travel;
				struct sum   sum    = sum_make(along, travel, (double)diameter / 2, (double)strip.from,
				                               (double)strip.to);
				struct chips chips  = chips_find(&planning.plan, k);

				if (sum.teeth < 100)
					continue;
				passes++;
				back += travel != layout->travel;
				holds(seed, fabs(chips.x * sum.y - chips.y * sum.x) < 2e-3 * hypot(sum.x, sum.y));
				sides_check(&chips, &sum, seed);
			}
		planning_close(&planning);
	}
	assert_true(passes > 100 && back > 10);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_dial_reads_what_a_hand_would_count),
		cmocka_unit_test(a_feed_is_so_many_turns_a_minute),
		cmocka_unit_test(a_power_feed_is_set_to_the_nearest_that_is_neither_too_fast_nor_rubs),
		cmocka_unit_test(chips_go_where_the_table_of_directions_says),
		cmocka_unit_test(the_slot_throws_to_the_right_of_its_travel),
		cmocka_unit_test(chips_go_where_the_sum_over_the_teeth_goes),
		cmocka_unit_test(the_first_pass_along_x_never_throws_to_the_front),
		cmocka_unit_test(every_pass_of_a_plan_throws_where_its_own_sum_goes),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
