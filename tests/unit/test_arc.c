#include "planning.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "languages.h"
#include "skimcut/arc.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

static bool
read_arc(enum units units, const char *line, struct point from, struct point to, bool clockwise, struct step *step,
         struct fault *fault)
{
	const struct language language = language_by_hand(TONGUE_BARE);
	struct block          block;

	*step = (struct step){ .kind = STEP_ARC, .axes = AXIS_X, .to = to, .clockwise = clockwise };
	if (!block_split(line, strlen(line), NULL, &block, fault))
		fail_msg("'%s': %s", line, fault->text);
	return arc_read(&language, units, &block, from, step, fault);
}

static struct point
mm(Length x, Length y)
{
	return (struct point){ x * LENGTH_MM, y * LENGTH_MM, 0 };
}

static void
a_centre_counts_from_the_start(void **state)
{
	static const struct {
		const char *line;
		Length      from_x, from_y, to_x, to_y, x, y;
	} cases[] = {
		{ "X0 I-5 J0", 5, 0, 0, 5, 0, 0 },
		{ "X0 I-5", 5, 0, 0, 5, 0, 0 },
		{ "X5 J5", 10, 20, 5, 25, 10, 25 },
		{ "X3 I3 J4", 3, 7, 3, 7, 6, 11 },
	};
	struct step  step;
	struct fault fault;

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		assert_true(read_arc(UNITS_MM, cases[i].line, mm(cases[i].from_x, cases[i].from_y),
		                     mm(cases[i].to_x, cases[i].to_y), false, &step, &fault));
		assert_int_equal(step.centre.x, cases[i].x * LENGTH_MM);
		assert_int_equal(step.centre.y, cases[i].y * LENGTH_MM);
		assert_int_equal(step.axes, AXIS_X | AXIS_Y);
	}
}

/* From the right to the top of the circle of radius 5 about 0; the other one with these ends has its centre at (5, 5). */
static void
a_radius_has_its_centre_on_the_right_side(void **state)
{
	static const struct {
		const char *line;
		bool        clockwise;
		Length      x, y;
	} cases[] = {
		{ "X0 R5", false, 0, 0 },
		{ "X0 R5", true, 5, 5 },
		{ "X0 R-5", false, 5, 5 },
		{ "X0 R-5", true, 0, 0 },
	};
	struct step  step;
	struct fault fault;

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		assert_true(read_arc(UNITS_MM, cases[i].line, mm(5, 0), mm(0, 5), cases[i].clockwise, &step, &fault));
		assert_int_equal(step.centre.x, cases[i].x * LENGTH_MM);
		assert_int_equal(step.centre.y, cases[i].y * LENGTH_MM);
	}
}

static void
a_radius_finds_the_circle_its_ends_were_taken_from(void **state)
{
	uint64_t random = 2236067977;

	(void)state;
	for (int i = 0; i < 20000; i++) {
		const uint64_t     seed      = random;
		const Length       radius    = random_between(&random, 100000, 500 * LENGTH_MM);
		const double       start     = (double)random_between(&random, 0, 6283) / 1000;
		const double       sweep     = (double)random_between(&random, 100, 6183) / 1000;
		const bool         clockwise = random_chance(&random, 2), longer = sweep > 3.14159265358979;
		const double       end    = clockwise ? start - sweep : start + sweep;
		const struct point centre = mm(random_between(&random, -500, 500), random_between(&random, -500, 500));
		const struct point from   = { centre.x + llround((double)radius * cos(start)),
			                      centre.y + llround((double)radius * sin(start)), 0 };
		const struct point to     = { centre.x + llround((double)radius * cos(end)),
			                      centre.y + llround((double)radius * sin(end)), 0 };
		const double       turn   = fabs(sweep - 3.14159265358979);
		struct step        step;
		struct fault       fault;
		char               line[64];

		snprintf(line, sizeof line, "X0 R%s%d.%06d", longer ? "-" : "", (int)(radius / LENGTH_MM),
		         (int)(radius % LENGTH_MM));
		if (!read_arc(UNITS_MM, line, from, to, clockwise, &step, &fault))
			fail_msg("seed %llu: %s", (unsigned long long)seed, fault.text);
		/* Ends rounded by half a nanometre move the centre by 1 / sin of a quarter of what is short of a half turn. */
		if (turn > 0.05) {
			double off = hypot((double)(step.centre.x - centre.x), (double)(step.centre.y - centre.y));

			holds(seed, off < 2 + 4 / sin(turn / 2) + 4 / sin(sweep / 2));
		}
	}
}

static void
radii_may_differ_by_two_grid_units(void **state)
{
	static const struct {
		enum units units;
		Length     to_y; /* nm */
		bool       read;
	} cases[] = {
		{ UNITS_MM, 5000000, true },      { UNITS_MM, 5001900, true },      { UNITS_MM, 5002000, true },
		{ UNITS_MM, 5002001, false },     { UNITS_MM, 5002100, false },     { UNITS_MM, 4998000, true },
		{ UNITS_MM, 4997999, false },     { UNITS_INCH, 127004826, true },  { UNITS_INCH, 127005080, true },
		{ UNITS_INCH, 127005081, false }, { UNITS_INCH, 127005334, false },
	};
	struct step  step;
	struct fault fault;

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		const struct point from = { 5 * units_length(cases[i].units), 0, 0 }, to = { 0, cases[i].to_y, 0 };

		if (read_arc(cases[i].units, "X0 I-5", from, to, false, &step, &fault) != cases[i].read)
			fail_msg("case %zu", i);
	}
	assert_false(read_arc(UNITS_MM, "X0 I-5", mm(5, 0), mm(0, 7), false, &step, &fault));
	assert_string_equal(
	    fault.text, "the arc's radius is 5 mm at its start and 7 mm at its end; 0.002 mm between them is the most");
	assert_int_equal(fault.column, 4);
}

/* At the far ends of what may be told the squares are past what a double holds exactly; a limit met exactly still is. */
static void
the_largest_radii_are_told_apart_to_a_nanometre(void **state)
{
	const struct point from = { LENGTH_MAX - 1, 0, 0 };
	struct step        step;
	struct fault       fault;

	(void)state;
	for (Length off = -3; off <= 3; off++) {
		const struct point to = { 0, LENGTH_MAX - 1 - 2000 + off, 0 };

		assert_int_equal(read_arc(UNITS_MM, "X0 I-9999.999999", from, to, false, &step, &fault), off >= 0);
	}
}

static void
a_radius_reaches_or_is_refused(void **state)
{
	static const struct {
		const char *line;
		bool        read;
	} cases[] = {
		{ "X0 R5", true },        { "X0 R5.000001", true },  { "X0 R-5.000001", true },
		{ "X0 R4.999999", true }, { "X0 R4.999998", false }, { "X0 R-4.999", false },
		{ "X0 R4.999", false },
	};
	struct step  step;
	struct fault fault;

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		assert_int_equal(read_arc(UNITS_MM, cases[i].line, mm(-5, 0), mm(5, 0), true, &step, &fault),
		                 cases[i].read);
		if (cases[i].read)
			assert_true(llabs(step.centre.x) <= 1 && llabs(step.centre.y) < 4000);
	}
	assert_string_equal(fault.text, "R4.999 does not reach: the arc's ends are 10 mm apart");
}

static void
what_is_no_arc_is_refused(void **state)
{
	static const struct {
		const char *line;
		Length      to_x, to_y;
		const char *fault;
	} cases[] = {
		{ "X0", 0, 5, "either I and J, or R" },
		{ "X0 I1 R5", 0, 5, "either I and J, or R" },
		{ "X0 J1 R5", 0, 5, "either I and J, or R" },
		{ "X0 I0 J0", 0, 5, "no radius" },
		{ "X0 R0", 0, 5, "no radius" },
		{ "X0 I-5 J5", 0, 5, "no radius" },
		{ "X0 R5", 5, 0, "a full circle by R" },
		{ "X0 R-5", 5, 0, "a full circle by R" },
		{ "X0 I10000", 5, 0, "farther than 10 m" },
		{ "X0 J10000.001", 5, 0, "J10000.001 is longer than 10 m" },
		{ "X0 R9000 ", 5, 10, NULL },
		{ "X0 R10000", 5, 10, "farther than 10 m" },
	};
	struct step  step;
	struct fault fault;

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		bool read = read_arc(UNITS_MM, cases[i].line, mm(5, 0), mm(cases[i].to_x, cases[i].to_y), true, &step,
		                     &fault);

		assert_int_equal(read, cases[i].fault == NULL);
		if (!read && !strstr(fault.text, cases[i].fault))
			fail_msg("'%s': %s", cases[i].line, fault.text);
	}
	assert_false(read_arc(UNITS_MM, "X5 J10000", mm(5, 1), mm(5, 1), true, &step, &fault));
	assert_string_equal(fault.text, "the arc's centre is farther than 10 m away");
	assert_false(read_arc(UNITS_MM, "X5 J-10000", mm(5, -1), mm(5, -1), true, &step, &fault));
	assert_true(read_arc(UNITS_MM, "X5 J10000", mm(5, 0), mm(5, 0), true, &step, &fault));
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_centre_counts_from_the_start),
		cmocka_unit_test(a_radius_has_its_centre_on_the_right_side),
		cmocka_unit_test(a_radius_finds_the_circle_its_ends_were_taken_from),
		cmocka_unit_test(radii_may_differ_by_two_grid_units),
		cmocka_unit_test(the_largest_radii_are_told_apart_to_a_nanometre),
		cmocka_unit_test(a_radius_reaches_or_is_refused),
		cmocka_unit_test(what_is_no_arc_is_refused),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
