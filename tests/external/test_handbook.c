/*
 * Worked examples that others have printed, against what the library reckons: speed, feed, time, units, and which way of
 * milling is which. Every case says where it is from, and whether the answer was read there, or the problem alone was read and
 * the answer reckoned again, or all is from memory.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdbool.h>

#include "skimcut/clock.h"
#include "skimcut/engagement.h"
#include "skimcut/job.h"
#include "skimcut/layout.h"
#include "skimcut/quantity.h"
#include "skimcut/rates.h"
#include "skimcut/text.h"

#define M_MIN (1000 * LENGTH_MM)

/* Lengths in nanometres, vc in nm/min, n in rev/min, feed in mm/min. */
struct example {
	const char *source;
	Speed       vc;
	Length      diameter, fz;
	int64_t     teeth;
	double      n, feed_mm_min;
	double      tolerance; /* relative; what the book's own rounding leaves */
};

static const struct example EXAMPLES[] = {
	/* Answer read. 385 rev/min and 415.8 mm/min in print: n was rounded up there before the feed was taken. */
	{ "course notes on Kalpakjian & Schmid (2016), question 2", 145 * M_MIN, 120 * LENGTH_MM, 180000, 6, 385, 415.8,
	  2e-3 },
	/* Answer read. vc 14.13 m/min, N 150, feed 120 mm/min. */
	{ "El-Hofy, Fundamentals of Machining Processes, 2nd ed., p. 189", 14137167000, 30 * LENGTH_MM, 100000, 8, 150,
	  120, 1e-4 },
	/* Answer read: fr 1534.5 from N rounded to 279. */
	{ "Groover lecture set, example 3", 70 * M_MIN, 80 * LENGTH_MM, 250000, 22, 279, 1534.5, 2e-3 },
	/* Problem read, answer reckoned again: 318.31 rev/min, 9.5493 in/min. */
	{ "Groover, face mill 3 in, 250 ft/min", 250 * LENGTH_FOOT, 3 * LENGTH_INCH, 6 * LENGTH_INCH / 1000, 5, 318.310,
	  9.54930 * 25.4, 1e-5 },
	/* Problem read, answer reckoned again: 358.10 rev/min, 8.5944 in/min. */
	{ "Groover, face mill 4 in, 375 ft/min", 375 * LENGTH_FOOT, 4 * LENGTH_INCH, 6 * LENGTH_INCH / 1000, 4, 358.099,
	  8.59437 * 25.4, 1e-5 },
	/* Problem read, answer reckoned again: 169.77 rev/min, 169.77 mm/min. */
	{ "after DeGarmo, face mill 75 mm", 40 * M_MIN, 75 * LENGTH_MM, 100000, 10, 169.765, 169.765, 1e-5 },
	/* Problem read, answer reckoned again: 272.84 rev/min, 341.05 mm/min. */
	{ "Groover, peripheral, 70 mm", 60 * M_MIN, 70 * LENGTH_MM, 250000, 5, 272.837, 341.046, 1e-5 },
	/* Problem read, answer reckoned again: 291.78 rev/min, 437.68 mm/min. */
	{ "Groover, peripheral, 60 mm", 55 * M_MIN, 60 * LENGTH_MM, 300000, 5, 291.784, 437.676, 1e-5 },
	/* Problem read, answer reckoned again: 293.82 rev/min, 293.82 mm/min. */
	{ "Groover, peripheral, 65 mm", 60 * M_MIN, 65 * LENGTH_MM, 200000, 5, 293.825, 293.825, 1e-5 },
	/* Problem read, answer reckoned again: 136.42 rev/min, 10.913 in/min. */
	{ "Groover, slab mill 3.5 in", 125 * LENGTH_FOOT, 7 * LENGTH_INCH / 2, 8 * LENGTH_INCH / 1000, 10, 136.419,
	  10.9135 * 25.4, 1e-5 },
	/* From memory: 5.94 1/s and 6.42 mm/s in print; 356.507 and 385.028 reckoned again. */
	{ "Groover, face mill 150 mm, aluminium", 168 * M_MIN, 150 * LENGTH_MM, 270000, 4, 356.507, 385.028, 1e-5 },
	/* From memory: 636.6 rev/min, 25.46 in/min. */
	{ "Groover, face mill 3 in, 500 ft/min", 500 * LENGTH_FOOT, 3 * LENGTH_INCH, LENGTH_INCH / 100, 4, 636.620,
	  25.4648 * 25.4, 1e-5 },
	/* From memory: N 100, v 500 mm/min; the edge's speed is that of N. */
	{ "Kalpakjian & Schmid, example 24.1", 15707963268, 50 * LENGTH_MM, 250000, 20, 100, 500, 1e-6 },
	/* From memory: N 100, v 600 mm/min, 0.6 mm a tooth. */
	{ "Kalpakjian & Schmid, example 24.2", 47123889804, 150 * LENGTH_MM, 600000, 10, 100, 600, 1e-6 },
};

/*
 * A thousand times the speed turns a thousand times as fast: whole rev/min then hide nothing but the sixth digit. Feeds are
 * told to the nm/min.
 */
static void
speeds_and_feeds_are_those_of_the_books(void **state)
{
	const struct machine none = { 0 };

	(void)state;
	for (size_t i = 0; i < sizeof EXAMPLES / sizeof EXAMPLES[0]; i++) {
		const struct example *example = &EXAMPLES[i];
		struct rates rates = rates_find(1000 * example->vc, example->fz, example->diameter, example->teeth,
		                                &none, 1);
		double       n = (double)rates.rpm / 1000, feed = (double)rates.vf / LENGTH_MM / 1000;

		if (fabs(n / example->n - 1) > example->tolerance ||
		    fabs(feed / example->feed_mm_min - 1) > example->tolerance)
			fail_msg("%s: n %f, feed %f mm/min", example->source, n, feed);
		rates = rates_find(example->vc, example->fz, example->diameter, example->teeth, &none, 1);
		assert_true((double)rates.rpm <= example->n && (double)rates.rpm > example->n - 1.5);
	}
}

/* The travel is the book's, by its own convention; L length of the work, A approach, D diameter. */
struct timed {
	const char *source, *convention;
	double      travel_mm, feed_mm_min, seconds, tolerance;
};

static const struct timed TIMED[] = {
	/* Answer read: travel 321 mm, 2.68 min. */
	{ "El-Hofy, p. 189", "L + run-in + 2 allowances", 321, 120, 2.675 * 60, 1e-3 },
	/* Problem read, answer reckoned again: 1.2966 min. */
	{ "Groover, face mill 3 in", "L + A", (12 + 0.38197) * 25.4, 9.54930 * 25.4, 1.2966 * 60, 1e-4 },
	/* The same, its part (c): 14.882 in, 1.5584 min. */
	{ "Groover, face mill 3 in (c)", "lead-in + L + A + radius + 0.5 in", 14.882 * 25.4, 9.54930 * 25.4,
	  1.5584 * 60, 1e-4 },
	/* Problem read, answer reckoned again: 1.620, 1.841 and 2.062 min. */
	{ "after DeGarmo", "L", 275, 169.765, 1.620 * 60, 5e-4 },
	{ "after DeGarmo", "L + D/2", 312.5, 169.765, 1.841 * 60, 5e-4 },
	{ "after DeGarmo", "L + D", 350, 169.765, 2.062 * 60, 5e-4 },
	/* Problem read, answer reckoned again: 1.2324, 1.5341 and 2.5722 min; A = sqrt(d (D - d)). */
	{ "Groover, peripheral, 70 mm", "L + A", 420.316, 341.046, 1.2324 * 60, 1e-4 },
	{ "Groover, peripheral, 60 mm", "L + A", 671.424, 437.676, 1.5341 * 60, 1e-4 },
	{ "Groover, peripheral, 65 mm", "L + A", 755.767, 293.825, 2.5722 * 60, 1e-4 },
	/* From memory; editions differ: about 52 s, or 70.1 s. */
	{ "Groover, face mill 150 mm", "L + A", 333.542, 385.028, 51.977, 1e-4 },
	{ "Groover, face mill 150 mm", "L + D", 450, 385.028, 70.125, 1e-4 },
	/* From memory: 0.50 min. */
	{ "Groover, face mill 3 in, 500 ft/min", "L + 2 A", 12.76394 * 25.4, 25.4648 * 25.4, 0.50 * 60, 5e-3 },
	/* From memory: 37.5 s; lc = sqrt(D d). */
	{ "Kalpakjian & Schmid, example 24.1", "L + lc", 312.247, 500, 37.5, 1e-3 },
	/* From memory: 65 s; lc = D/2. */
	{ "Kalpakjian & Schmid, example 24.2", "L + 2 lc", 650, 600, 65, 1e-6 },
};

/* The strip that is cut, from the cutter's centre line; in millimetres. A peripheral cut is one of depth d at the edge. */
struct approach {
	const char *source;
	double      diameter, from, to, approach, tolerance;
};

static const struct approach APPROACHES[] = {
	/* Answer read: A 19.4; 19.365 reckoned again. */
	{ "Groover lecture set, example 3, peripheral", 80, 35, 40, 19.365, 1e-4 },
	/* Problem read, answer reckoned again. */
	{ "Groover, face mill 3 in, work 2 in", 76.2, -25.4, 25.4, 0.38197 * 25.4, 1e-4 },
	{ "Groover, peripheral, 70 mm", 70, 28.5, 35, 20.316, 1e-4 },
	{ "Groover, peripheral, 60 mm", 60, 21, 30, 21.424, 1e-4 },
	{ "Groover, peripheral, 65 mm", 65, 25, 32.5, 20.767, 1e-4 },
	{ "Groover, slab mill 3.5 in", 88.9, 44.45 - 7.62, 44.45, 0.97980 * 25.4, 1e-4 },
	/* From memory: A 33.5; 33.542 reckoned again. */
	{ "Groover, face mill 150 mm, work 125 mm", 150, -62.5, 62.5, 33.542, 1e-4 },
	/* Formula read, D = W and D < W (university handout ATMH1283): D/2. */
	{ "handout ATMH1283, slot", 30, -15, 15, 15, 1e-9 },
	/* From memory: travel l + d/2 - ls, ls = 62.450; d 160, b 100. */
	{ "Tabellenbuch Metall, roughing, centred", 160, -50, 50, 80 - 62.450, 1e-4 },
	/* From memory: sqrt(w (D - w)) for an overlap w of 20 and 40 at D 100. */
	{ "Groover, offset cut", 100, 30, 50, 40, 1e-6 },
	{ "Groover, offset cut", 100, 10, 50, 48.990, 1e-4 },
};

static void
approaches_are_those_of_the_books(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof APPROACHES / sizeof APPROACHES[0]; i++) {
		const struct approach *example  = &APPROACHES[i];
		double                 approach = engagement_approach_mm(llround(example->diameter * LENGTH_MM),
		                                                         llround(example->from * LENGTH_MM),
		                                                         llround(example->to * LENGTH_MM));

		if (fabs(approach / example->approach - 1) > example->tolerance)
			fail_msg("%s: %f mm", example->source, approach);
	}
}

/* Lengths in millimetres, the feed in mm/min, Q in mm3/min. */
struct removal {
	const char *source;
	double      ap, ae, vf, q, tolerance;
};

static const struct removal REMOVALS[] = {
	/* Answer read: 460 350 with N rounded to 279. */
	{ "Groover lecture set, example 3", 5, 60, 1534.5, 460350, 1e-4 },
	/* Problem read, answer reckoned again: 2.8648 in3/min, 10.726 in3/min, 63 662, 110 840 and 196 954 mm3/min. */
	{ "Groover, face mill 3 in", 0.150 * 25.4, 2 * 25.4, 9.54930 * 25.4, 2.8648 * 16387.064, 1e-4 },
	{ "Groover, face mill 4 in", 0.32 * 25.4, 3.9 * 25.4, 8.59437 * 25.4, 10.726 * 16387.064, 1e-4 },
	{ "after DeGarmo", 5, 75, 169.765, 63662, 1e-4 },
	{ "Groover, peripheral, 70 mm", 6.5, 50, 341.046, 110840, 1e-4 },
	{ "Groover, peripheral, 60 mm", 9, 50, 437.676, 196954, 1e-4 },
	/* From memory: 4813 mm3/s; 7.64 in3/min; 150 000 mm3/min; 108 000 mm3/min. */
	{ "Groover, face mill 150 mm, aluminium", 6, 125, 385.028, 4813 * 60, 1e-4 },
	{ "Groover, face mill 3 in, 500 ft/min", 0.150 * 25.4, 2 * 25.4, 25.4648 * 25.4, 7.64 * 16387.064, 1e-3 },
	{ "Kalpakjian & Schmid, example 24.1", 3, 100, 500, 150000, 1e-9 },
	{ "Kalpakjian & Schmid, example 24.2", 3, 60, 600, 108000, 1e-9 },
};

static void
removal_rates_are_those_of_the_books(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof REMOVALS / sizeof REMOVALS[0]; i++) {
		const struct removal *example = &REMOVALS[i];
		double                q       = engagement_removal_mm3_min(llround(example->ap * LENGTH_MM),
		                                                           llround(example->ae * LENGTH_MM),
		                                                           llround(example->vf * LENGTH_MM));

		if (fabs(q / example->q - 1) > example->tolerance)
			fail_msg("%s: %f mm3/min", example->source, q);
	}
}

static void
times_are_those_of_the_books(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof TIMED / sizeof TIMED[0]; i++) {
		const struct timed *timed = &TIMED[i];
		struct clock        clock = { .rapid = 1 };
		struct step         step  = { .kind = STEP_RAPID, .axes = AXIS_X | AXIS_Y | AXIS_Z };

		clock_take(&clock, &step);
		step.kind = STEP_FEED;
		step.to.x = llround(timed->travel_mm * LENGTH_MM);
		step.feed = llround(timed->feed_mm_min * LENGTH_MM);
		clock_take(&clock, &step);
		if (fabs(clock_total_s(&clock) / timed->seconds - 1) > timed->tolerance)
			fail_msg("%s, %s: %f s", timed->source, timed->convention, clock_total_s(&clock));
	}
}

/*
 * Shares of a unit, from their definitions (from memory, but the horsepower in print: 745.6998 W, read): the international
 * inch of 1959, the foot of 12 in, the pound of 0.45359237 kg with g = 9.80665 m/s2, 1 hp = 550 ft lbf/s.
 */
static void
units_are_what_they_are_defined_to_be(void **state)
{
	static const struct {
		enum quantity quantity;
		const char   *written;
		int64_t       value;
	} units[] = {
		{ QUANTITY_LENGTH, "1 in", 25400000 },
		{ QUANTITY_LENGTH, "1 ft", 304800000 },
		{ QUANTITY_LENGTH, "1 thou", 25400 },
		{ QUANTITY_LENGTH, "1/64 in", 396875 },
		{ QUANTITY_CUTTING_SPEED, "1 ft/min", 304800000 },
		{ QUANTITY_CUTTING_SPEED, "1 m/s", 60000000000 },
		{ QUANTITY_FEED, "1 in/min", 25400000 },
		{ QUANTITY_POWER, "1 hp", 745700 },
		{ QUANTITY_POWER, "1000 hp", 745699872 },
		{ QUANTITY_FORCE, "1 lbf", 4448 },
		{ QUANTITY_FORCE, "10000 lbf", 44482216 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
		char        room[64];
		struct text why   = text_over(room, sizeof room);
		int64_t     value = 0;

		assert_true(quantity_parse(units[i].quantity, units[i].written, UNITS_NONE, &value, &why));
		assert_int_equal(value, units[i].value);
	}
}

/*
 * Digitally Controlled Machine Mastery, p. 153 (read), the same in Groover and Kalpakjian (from memory): conventional is when
 * the tooth moves against the motion of the work. The spindle turns clockwise seen from above, w = -z. For a tooth at r from
 * the axis v = w x r; the work moves against the travel. The tooth asked is the one where uncut stock is deepest across the
 * travel, and the sign is v times the work's motion: below 0 they oppose one another.
 */
static void
conventional_is_against_the_work(void **state)
{
	(void)state;
	for (int along = ALONG_X; along <= ALONG_Y; along++)
		for (int climb = 0; climb <= 1; climb++)
			for (int pattern = PATTERN_ZIGZAG; pattern <= PATTERN_ONE_WAY; pattern++) {
				const struct layout_wish wish = {
					.length    = 200 * LENGTH_MM,
					.width     = 180 * LENGTH_MM,
					.diameter  = 50 * LENGTH_MM,
					.stepover  = 20 * LENGTH_MM,
					.overlap   = 3 * LENGTH_MM,
					.clearance = 2 * LENGTH_MM,
					.pattern   = (enum pattern)pattern,
					.milling   = climb ? MILLING_CLIMB : MILLING_CONVENTIONAL,
					.along     = (enum along)along,
					.grid      = 1000,
				};
				struct layout layout = layout_make(&wish);
				struct pass first = layout_pass(&layout, 0), second = layout_pass(&layout, 1), pass[2];

				pass[0] = first;
				pass[1] = second;
				for (int i = 0; i < 2; i++) {
					double travel_x = (double)(pass[i].to.x - pass[i].from.x);
					double travel_y = (double)(pass[i].to.y - pass[i].from.y);
					/* The next pass lies where the uncut stock is; along the travel, both begin on the same axis. */
					double uncut_x = along == ALONG_X ? 0 : (double)(second.from.x - first.from.x);
					double uncut_y = along == ALONG_X ? (double)(second.from.y - first.from.y) : 0;
					double tooth_x = uncut_y, tooth_y = -uncut_x; /* w x r with w = -z */
					double against = tooth_x * -travel_x + tooth_y * -travel_y;

					assert_true(against != 0);
					assert_int_equal(against < 0, !pass[i].climb);
				}
				assert_int_equal(first.climb, climb);
				assert_int_equal(second.climb, pattern == PATTERN_ZIGZAG ? !climb : climb);
			}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(speeds_and_feeds_are_those_of_the_books),
		cmocka_unit_test(approaches_are_those_of_the_books),
		cmocka_unit_test(removal_rates_are_those_of_the_books),
		cmocka_unit_test(times_are_those_of_the_books),
		cmocka_unit_test(units_are_what_they_are_defined_to_be),
		cmocka_unit_test(conventional_is_against_the_work),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
