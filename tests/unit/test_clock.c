#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdbool.h>

#include "planning.h"
#include "skimcut/clock.h"

static const double PI = 3.14159265358979323846;

/* At X0 Y0 Z0, rapid 6 m/min, so that 100 mm take a second; feeds of 600 mm/min take ten. */
static struct clock
clock_at_zero(void)
{
	struct clock clock = { .rapid = 6000 * LENGTH_MM };
	struct step  step  = { .kind = STEP_RAPID, .axes = AXIS_X | AXIS_Y | AXIS_Z };

	clock_take(&clock, &step);
	return clock;
}

static void
take(struct clock *clock, enum step_kind kind, unsigned axes, Length x, Length y, Length z)
{
	struct step step = { .kind = kind,
		             .axes = axes,
		             .to   = { x * LENGTH_MM, y * LENGTH_MM, z * LENGTH_MM },
		             .feed = 600 * LENGTH_MM };

	clock_take(clock, &step);
}

static void
expect_seconds(double is, double should_be)
{
	if (fabs(is - should_be) > 1e-9)
		fail_msg("%.12f s, not %.12f s", is, should_be);
}

static void
straight_moves_take_their_length_over_their_rate(void **state)
{
	struct clock clock = clock_at_zero();

	(void)state;
	take(&clock, STEP_RAPID, AXIS_X, 100, 0, 0);
	expect_seconds(clock.rapid_s, 1);
	take(&clock, STEP_FEED, AXIS_X | AXIS_Y, 130, 40, 0);
	expect_seconds(clock.feed_s, 5);
	take(&clock, STEP_FEED, AXIS_X | AXIS_Y | AXIS_Z, 132, 43, 6);
	expect_seconds(clock.feed_s, 5.7);
	expect_seconds(clock_total_s(&clock), 6.7);
}

static void
an_axis_that_is_not_told_stays_where_it_is(void **state)
{
	struct clock clock = clock_at_zero();

	(void)state;
	take(&clock, STEP_FEED, AXIS_X, 100, 999, 999);
	expect_seconds(clock.feed_s, 10);
	take(&clock, STEP_FEED, AXIS_Y, 999, 50, 999);
	expect_seconds(clock.feed_s, 15);
}

static void
a_move_from_nowhere_takes_no_time(void **state)
{
	struct clock clock = { .rapid = 6000 * LENGTH_MM };

	(void)state;
	take(&clock, STEP_RAPID, AXIS_Z, 0, 0, 100);
	expect_seconds(clock_total_s(&clock), 0);
	take(&clock, STEP_RAPID, AXIS_X | AXIS_Z, 50, 0, 200);
	expect_seconds(clock.rapid_s, 1);
}

static void
arcs_take_radius_times_angle(void **state)
{
	static const struct {
		Length to_x, to_y;
		bool   clockwise;
		double turns, climb_mm;
	} cases[] = {
		/* from (0, 0) round the centre (-50, 0) */
		{ -50, 50, false, 0.25, 0 }, { -50, 50, true, 0.75, 0 },  { -100, 0, false, 0.5, 0 },
		{ -100, 0, true, 0.5, 0 },   { -50, -50, true, 0.25, 0 }, { -50, -50, false, 0.75, 0 },
		{ 0, 0, false, 1, 0 },       { 0, 0, true, 1, 0 },        { 0, 0, true, 1, 30 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct clock clock = clock_at_zero();
		double       flat  = cases[i].turns * 2 * PI * 50;
		struct step  step  = {
			  .kind      = STEP_ARC,
			  .axes      = AXIS_X | AXIS_Y | (cases[i].climb_mm > 0 ? AXIS_Z : 0),
			  .to        = { cases[i].to_x * LENGTH_MM, cases[i].to_y * LENGTH_MM,
			                 (Length)cases[i].climb_mm * LENGTH_MM },
			  .centre    = { -50 * LENGTH_MM, 0, 0 },
			  .clockwise = cases[i].clockwise,
			  .feed      = 600 * LENGTH_MM,
		};

		clock_take(&clock, &step);
		expect_seconds(clock.feed_s, sqrt(flat * flat + cases[i].climb_mm * cases[i].climb_mm) / 10);
	}
}

static void
stops_are_counted_and_the_rest_is_free(void **state)
{
	static const enum step_kind kinds[] = { STEP_TOOL, STEP_SPINDLE, STEP_COOLANT, STEP_STOP,
		                                STEP_NOTE, STEP_STOP,    STEP_END };

	struct clock clock = clock_at_zero();

	(void)state;
	for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++)
		take(&clock, kinds[i], 0, 0, 0, 0);
	assert_int_equal(clock.stops, 2);
	expect_seconds(clock_total_s(&clock), 0);
}

/* Start and end are put on the circle by their angles, so the length is known beforehand; the nanometre they are rounded to
 * is all that may differ. */
static void
random_arcs_take_radius_times_the_angle_they_were_made_of(void **state)
{
	uint64_t seed = 0x9e3779b97f4a7c15;

	(void)state;
	for (int i = 0; i < 5000; i++) {
		const uint64_t before = seed;
		double         radius = (double)random_between(&seed, 1000000, 300000000);
		double         start  = (double)random_between(&seed, -3141592, 3141592) / 1e6;
		double         sweep  = (double)random_between(&seed, 1000, 6282000) / 1e6;
		bool           turn   = random_chance(&seed, 2);
		Length         rise   = random_chance(&seed, 2) ? random_between(&seed, -50000000, 50000000) : 0;
		struct point   centre = { random_between(&seed, -100000000, 100000000),
			                  random_between(&seed, -100000000, 100000000), 0 };
		double         end    = turn ? start - sweep : start + sweep;
		struct clock   clock  = { .rapid = 1 };
		struct step    step   = {
			     .kind = STEP_RAPID,
			     .axes = AXIS_X | AXIS_Y | AXIS_Z,
			     .to = { centre.x + llround(radius * cos(start)), centre.y + llround(radius * sin(start)), 5 },
		};

		clock_take(&clock, &step);
		step.kind = STEP_ARC;
		step.to = (struct point){ centre.x + llround(radius * cos(end)), centre.y + llround(radius * sin(end)),
			                  5 + rise };
		step.centre    = centre;
		step.clockwise = turn;
		step.feed      = 60;
		clock_take(&clock, &step);
		holds(before, fabs(clock.feed_s - hypot(radius * sweep, (double)rise)) < 10);
		holds(before, clock.at.x == step.to.x && clock.at.y == step.to.y && clock.at.z == step.to.z);
	}
}

static void
an_arc_without_a_height_keeps_it(void **state)
{
	struct clock clock = { .rapid = 6000 * LENGTH_MM };
	struct step  arc   = { .kind   = STEP_ARC,
		               .axes   = AXIS_X | AXIS_Y,
		               .to     = { 0, 0, 999 * LENGTH_MM },
		               .centre = { 50 * LENGTH_MM, 0, 0 },
		               .feed   = 600 * LENGTH_MM };

	(void)state;
	take(&clock, STEP_RAPID, AXIS_X | AXIS_Y, 0, 0, 0);
	clock_take(&clock, &arc);
	expect_seconds(clock.feed_s, 2 * PI * 5);
	take(&clock, STEP_FEED, AXIS_Z, 0, 0, 30);
	expect_seconds(clock.feed_s, 2 * PI * 5);
	take(&clock, STEP_FEED, AXIS_X | AXIS_Z, 30, 0, 70);
	expect_seconds(clock.feed_s, 2 * PI * 5 + 5);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(straight_moves_take_their_length_over_their_rate),
		cmocka_unit_test(an_axis_that_is_not_told_stays_where_it_is),
		cmocka_unit_test(a_move_from_nowhere_takes_no_time),
		cmocka_unit_test(arcs_take_radius_times_angle),
		cmocka_unit_test(random_arcs_take_radius_times_the_angle_they_were_made_of),
		cmocka_unit_test(an_arc_without_a_height_keeps_it),
		cmocka_unit_test(stops_are_counted_and_the_rest_is_free),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
