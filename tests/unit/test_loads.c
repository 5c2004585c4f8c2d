#include "planning.h"

#include <math.h>

#include "skimcut/loads.h"

#define MM LENGTH_MM

static const uint64_t SEED   = 0x51d0c7e2a94b36f8;
static const double   PI     = 3.14159265358979323846;
static const double   RADIAL = 0.4;

static struct cutter
cutter_of(Length diameter, int64_t teeth, int64_t entering_deg)
{
	return (struct cutter){ .kind                = CUTTER_FACE_MILL,
		                .diameter            = diameter,
		                .teeth               = teeth,
		                .entering_angle_udeg = entering_deg * 1000000 };
}

/* 1000 N/mm2 at every thickness, 2 mm deep, 0.1 mm a tooth, 300 rev/min. */
static struct loads
plain(const struct cutter *cutter, Length from, Length to)
{
	struct cut_case cut = { .cutter     = cutter,
		                .kc11_n_mm2 = 1000,
		                .mc         = 0,
		                .ap         = 2 * MM,
		                .strip      = { from, to },
		                .fz         = MM / 10,
		                .rpm        = 300 };

	return loads_find(&cut);
}

static void
near(double is, double should_be, double tolerance)
{
	if (!(fabs(is - should_be) <= tolerance * fmax(1, fabs(should_be))))
		fail_msg("%.12g, not %.12g", is, should_be);
}

static void
nothing(struct loads loads)
{
	const struct loads zero = { 0 };

	assert_memory_equal(&loads, &zero, sizeof zero);
}

/* 60 of 100 mm, the 3-4-5 triangle: chips from 0.08 to 0.1 mm. */
static void
a_centred_cut_is_as_by_hand(void **state)
{
	const struct cutter cutter = cutter_of(100 * MM, 4, 90);
	const struct loads  loads  = plain(&cutter, -30 * MM, 30 * MM);

	(void)state;
	near(loads.phi_in_rad, acos(0.6), 1e-12);
	near(loads.phi_s_rad, 2 * asin(0.6), 1e-12);
	near(loads.teeth_in_cut, 4 * asin(0.6) / PI, 1e-12);
	near(loads.h_max_mm, 0.1, 1e-12);
	near(loads.h_mean_mm, 0.1 * 0.6 / asin(0.6), 1e-12);
	near(loads.kc_n_mm2, 1000, 1e-12);
	near(loads.tooth_peak_n, 200, 1e-12);
	near(loads.tooth_mean_n, 2000 * loads.h_mean_mm, 1e-12);
	near(loads.tangential_peak_n, 200, 1e-12); /* one tooth at a time: 74 degrees of 90 */
	near(loads.plane_peak_n, 200 * sqrt(1.16), 1e-12);
	near(loads.power_w, 2 * 60 * 120 * 1000.0 / 60000, 1e-12);
	near(loads.torque_n_m, loads.power_w / (10 * PI), 1e-12);
}

static void
a_cut_to_the_left_edge_begins_with_no_chip(void **state)
{
	const struct cutter cutter = cutter_of(100 * MM, 4, 90);
	const struct loads  loads  = plain(&cutter, 25 * MM, 50 * MM);

	(void)state;
	near(loads.phi_in_rad, 0, 0);
	near(loads.phi_s_rad, PI / 3, 1e-12);
	near(loads.h_max_mm, 0.1 * sqrt(0.75), 1e-12);
	near(loads.tangential_peak_n, 200 * sqrt(0.75), 1e-8); /* the moment before it leaves */
}

static void
a_cut_to_the_right_edge_ends_with_no_chip(void **state)
{
	const struct cutter cutter = cutter_of(100 * MM, 4, 90);
	const struct loads  loads  = plain(&cutter, -50 * MM, -25 * MM);

	(void)state;
	near(loads.phi_in_rad, 2 * PI / 3, 1e-12);
	near(loads.phi_in_rad + loads.phi_s_rad, PI, 1e-12);
	near(loads.h_max_mm, 0.1 * sqrt(0.75), 1e-12);
	near(loads.tangential_peak_n, 200 * sqrt(0.75), 1e-8); /* the moment after it enters */
}

static void
a_slot_engages_half_the_cutter(void **state)
{
	const struct cutter cutter = cutter_of(100 * MM, 4, 90);
	const struct loads  loads  = plain(&cutter, -50 * MM, 50 * MM);

	(void)state;
	near(loads.phi_in_rad, 0, 0);
	near(loads.phi_s_rad, PI, 1e-12);
	near(loads.teeth_in_cut, 2, 1e-12);
	near(loads.h_mean_mm, 0.2 / PI, 1e-12);
	/* Two teeth a quarter turn apart: most when they are at 45 and 135 degrees; together they push straight to the right. */
	near(loads.tangential_peak_n, 200 * sqrt(2), 1e-4);
	near(loads.plane_peak_n, 200 * sqrt(1.16), 1e-4);
}

static void
a_tooth_that_comes_in_as_another_goes_out_does_not_cut_with_it(void **state)
{
	const struct cutter two = cutter_of(100 * MM, 2, 90), six = cutter_of(100 * MM, 6, 90);

	(void)state;
	near(plain(&two, -50 * MM, 50 * MM).tangential_peak_n, 200, 1e-9);
	near(plain(&six, -25 * MM, 25 * MM).tangential_peak_n, 200, 1e-9); /* 60 degrees of 60 */
}

static void
one_tooth_alone_is_the_peak_of_all(void **state)
{
	const struct cutter cutter = cutter_of(100 * MM, 1, 45);

	(void)state;
	for (Length at = -50 * MM; at < 50 * MM; at += 10 * MM) {
		struct loads loads = plain(&cutter, at, at + 10 * MM);

		near(loads.tangential_peak_n, loads.tooth_peak_n, 1e-7);
		near(loads.plane_peak_n, loads.tooth_peak_n * sqrt(1.16), 1e-7);
	}
}

static void
what_hangs_over_the_cutter_counts_for_nothing(void **state)
{
	const struct cutter cutter = cutter_of(100 * MM, 5, 90);
	struct loads        wide = plain(&cutter, -80 * MM, 20 * MM), just = plain(&cutter, -50 * MM, 20 * MM);

	(void)state;
	assert_memory_equal(&wide, &just, sizeof wide);
	wide = plain(&cutter, -LENGTH_MAX, LENGTH_MAX);
	just = plain(&cutter, -50 * MM, 50 * MM);
	assert_memory_equal(&wide, &just, sizeof wide);
}

static void
a_strip_out_of_reach_asks_nothing(void **state)
{
	const struct cutter cutter = cutter_of(100 * MM, 5, 90);

	(void)state;
	nothing(plain(&cutter, 50 * MM, 60 * MM));
	nothing(plain(&cutter, -70 * MM, -50 * MM));
	nothing(plain(&cutter, 10 * MM, 10 * MM));
	near(loads_thin_factor(&cutter, (struct strip){ 50 * MM, 60 * MM }), 1, 0);
}

static void
what_is_not_a_cut_asks_nothing(void **state)
{
	const struct cutter   cutter = cutter_of(100 * MM, 5, 90);
	const struct cut_case good   = { &cutter, 1000, 0.2, MM, { -MM, MM }, MM / 10, 300 };
	struct cut_case       bad[3] = { good, good, good };

	(void)state;
	bad[0].ap = bad[1].fz = bad[2].rpm = 0;
	assert_true(loads_find(&good).power_w > 0);
	for (size_t i = 0; i < 3; i++)
		nothing(loads_find(&bad[i]));
}

static void
a_slanted_edge_cuts_wider_and_thinner_chips(void **state)
{
	const struct cutter square = cutter_of(100 * MM, 5, 90), slanted = cutter_of(100 * MM, 5, 30);
	const struct loads  a = plain(&square, -30 * MM, 30 * MM), b = plain(&slanted, -30 * MM, 30 * MM);

	(void)state;
	near(b.h_max_mm, a.h_max_mm / 2, 1e-12);
	near(b.h_mean_mm, a.h_mean_mm / 2, 1e-12);
	near(b.tooth_mean_n, a.tooth_mean_n, 1e-12); /* with mc = 0 the same section, the same force */
	near(b.power_w, a.power_w, 1e-12);
}

static void
thin_chips_let_the_feed_rise_up_to_a_limit(void **state)
{
	static const struct {
		Length from, to;
		double factor;
	} rows[] = {
		{ -50 * MM, 50 * MM, 1 },
		{ -30 * MM, 30 * MM, 1 },
		{ 0, 50 * MM, 1 }, /* half the cutter: as thick as they get */
		{ -50 * MM, 0, 1 },
		{ -50 * MM, 1, 1 },
		{ 30 * MM, 50 * MM, 1.25 }, /* sin = 0.8 */
		{ -50 * MM, -30 * MM, 1.25 },
		{ 30 * MM, 70 * MM, 1.25 },
		{ 30 * MM, 40 * MM, 1.25 },            /* not at the edge, and as thin */
		{ 40 * MM, 50 * MM, LOADS_THIN_MOST }, /* 5/3 */
		{ -50 * MM, -49 * MM, LOADS_THIN_MOST },
		{ 50 * MM - 1, 50 * MM, LOADS_THIN_MOST },
	};
	const struct cutter cutter = cutter_of(100 * MM, 5, 45);

	(void)state;
	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
		near(loads_thin_factor(&cutter, (struct strip){ rows[i].from, rows[i].to }), rows[i].factor, 1e-12);
}

static void
a_feed_raised_by_the_factor_makes_full_chips(void **state)
{
	const struct cutter cutter = cutter_of(100 * MM, 5, 45);
	struct cut_case     cut    = { &cutter, 1000, 0.2, MM, { 36 * MM, 50 * MM }, MM / 10, 300 };

	(void)state;
	cut.fz = llround((double)cut.fz * loads_thin_factor(&cutter, cut.strip));
	near(loads_find(&cut).h_max_mm, 0.1 * sqrt(0.5), 1e-5);
}

/* Teeth come from the left and go to the right; on the left they move along the travel, on the right against it. */
static void
conventional_pushes_back_and_a_climb_pulls(void **state)
{
	const struct cutter cutter = cutter_of(100 * MM, 5, 90);
	const double        tooth  = 200 * 5 / (2 * PI);

	(void)state;
	near(plain(&cutter, 0, 50 * MM).feed_mean_n, tooth * (0.5 + RADIAL * PI / 4), 1e-6);
	near(plain(&cutter, -50 * MM, 0).feed_mean_n, tooth * (-0.5 + RADIAL * PI / 4), 1e-6);
	near(plain(&cutter, -50 * MM, 50 * MM).feed_mean_n, tooth * RADIAL * PI / 2, 1e-6);
	assert_true(plain(&cutter, 25 * MM, 50 * MM).feed_mean_n > 0);
	assert_true(plain(&cutter, -50 * MM, -25 * MM).feed_mean_n < 0);
	assert_true(plain(&cutter, -50 * MM, -49 * MM).feed_mean_n < 0);
	assert_true(plain(&cutter, -20 * MM, 20 * MM).feed_mean_n > 0); /* only the radial part */
}

/* Of the two parts of the force along the feed, the mirrored cut turns the sign of one. */
static void
a_mirrored_cut_turns_only_the_drag_round(void **state)
{
	uint64_t seed = SEED;

	(void)state;
	for (int i = 0; i < 300; i++) {
		const uint64_t      before   = seed;
		Length              diameter = random_between(&seed, 10 * MM, 300 * MM), half = diameter / 2;
		const struct cutter cutter = cutter_of(2 * half, random_between(&seed, 1, 20), 75);
		Length              from   = random_between(&seed, -half, half - 1000);
		Length              to     = random_between(&seed, from + 1000, half);
		struct loads        a = plain(&cutter, from, to), b = plain(&cutter, -to, -from);

		holds(before, fabs(a.power_w - b.power_w) <= 1e-9 * a.power_w);
		holds(before, fabs(a.h_max_mm - b.h_max_mm) <= 1e-12);
		holds(before, a.feed_mean_n + b.feed_mean_n > 0);
		holds(before, from + to == 0 || (a.feed_mean_n > b.feed_mean_n) == (from + to > 0));
	}
}

static void
every_cut_keeps_its_figures_in_order(void **state)
{
	uint64_t seed = SEED;

	(void)state;
	for (int i = 0; i < 500; i++) {
		const uint64_t      before   = seed;
		Length              diameter = random_between(&seed, 3 * MM, 500 * MM);
		const struct cutter cutter   = cutter_of(diameter, random_between(&seed, 1, 60),
		                                         random_between(&seed, 10, 90));
		Length              from     = random_between(&seed, -diameter, diameter / 2 - 1000);
		struct cut_case     cut      = {
				 .cutter     = &cutter,
				 .kc11_n_mm2 = (double)random_between(&seed, 50, 10000),
				 .mc         = (double)random_between(&seed, 1, 60) / 100,
				 .ap         = random_between(&seed, 1000, 10 * MM),
				 .strip = { from, random_between(&seed, from > -diameter / 2 ? from + 1000 : 1000 - diameter / 2,
			                                         diameter) },
				 .fz  = random_between(&seed, 5000, 2 * MM),
				 .rpm = random_between(&seed, 1, 20000),
		};
		struct loads loads = loads_find(&cut);
		double       slack = 1 + 1e-6;

		holds(before, loads.phi_in_rad >= 0 && loads.phi_s_rad > 0);
		holds(before, loads.phi_in_rad + loads.phi_s_rad <= PI * slack);
		holds(before, loads.h_mean_mm > 0 && loads.h_mean_mm <= loads.h_max_mm * slack);
		holds(before, loads.h_max_mm <= (double)cut.fz / MM * slack);
		holds(before, loads.tooth_mean_n <= loads.tooth_peak_n * slack);
		holds(before, loads.tooth_peak_n <= loads.tangential_peak_n * (1 + 1e-3));
		holds(before, loads.tangential_peak_n <= (floor(loads.teeth_in_cut) + 1) * loads.tooth_peak_n * slack);
		holds(before, loads.plane_peak_n <= loads.tangential_peak_n * sqrt(1.16) * slack);
		holds(before, fabs(loads.feed_mean_n) <= loads.plane_peak_n * slack);
		holds(before, loads.torque_n_m > 0 && isfinite(loads.torque_n_m));
	}
}

/* The largest and the smallest that a job may ask for. */
static void
extremes_stay_finite(void **state)
{
	static const struct {
		Length  diameter, ap, fz;
		int64_t teeth, rpm;
		double  kc11, mc;
	} rows[] = {
		{ 1000 * MM, 100 * MM, 2 * MM, 100, 100000, 10000, 0.6 },
		{ 1 * MM, 1, 1, 1, 1, 50, 0.6 },
		{ 1 * MM, 1, 1, 100, 1, 10000, 0.01 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		const struct cutter cutter   = cutter_of(rows[i].diameter, rows[i].teeth, 10);
		Length              r        = rows[i].diameter / 2;
		const struct strip  strips[] = {
			 { -r, r }, { r - 1, r }, { -r, 1 - r }, { 0, 1 }, { r / 2, r / 2 + 1 }
		};

		for (size_t k = 0; k < sizeof strips / sizeof strips[0]; k++) {
			struct cut_case cut   = { &cutter,   rows[i].kc11, rows[i].mc, rows[i].ap,
				                  strips[k], rows[i].fz,   rows[i].rpm };
			struct loads    loads = loads_find(&cut);

			assert_true(isfinite(loads.power_w) && loads.power_w > 0);
			assert_true(isfinite(loads.plane_peak_n) && loads.plane_peak_n > 0);
			assert_true(isfinite(loads.feed_mean_n));
			assert_true(loads.tangential_peak_n >= loads.tooth_peak_n * (1 - 1e-3));
		}
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_centred_cut_is_as_by_hand),
		cmocka_unit_test(a_cut_to_the_left_edge_begins_with_no_chip),
		cmocka_unit_test(a_cut_to_the_right_edge_ends_with_no_chip),
		cmocka_unit_test(a_slot_engages_half_the_cutter),
		cmocka_unit_test(a_tooth_that_comes_in_as_another_goes_out_does_not_cut_with_it),
		cmocka_unit_test(one_tooth_alone_is_the_peak_of_all),
		cmocka_unit_test(what_hangs_over_the_cutter_counts_for_nothing),
		cmocka_unit_test(a_strip_out_of_reach_asks_nothing),
		cmocka_unit_test(what_is_not_a_cut_asks_nothing),
		cmocka_unit_test(a_slanted_edge_cuts_wider_and_thinner_chips),
		cmocka_unit_test(thin_chips_let_the_feed_rise_up_to_a_limit),
		cmocka_unit_test(a_feed_raised_by_the_factor_makes_full_chips),
		cmocka_unit_test(conventional_pushes_back_and_a_climb_pulls),
		cmocka_unit_test(a_mirrored_cut_turns_only_the_drag_round),
		cmocka_unit_test(every_cut_keeps_its_figures_in_order),
		cmocka_unit_test(extremes_stay_finite),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
