#include "planning.h"

#include <math.h>

#include "skimcut/surface.h"

static const uint64_t SEED = 0x51f0a93c7d2e8b46;

static void
expect_um(double is, double should_be)
{
	if (fabs(is - should_be) > 1e-9 * fmax(1, fabs(should_be)))
		fail_msg("%.12f um, not %.12f um", is, should_be);
}

static void
the_marks_of_plain_cases_are_as_by_hand(void **state)
{
	const struct cutter cutter = { .teeth = 2, .nose_radius = 5 * LENGTH_MM };
	struct roughness    rough  = surface_roughness(&cutter, 4 * LENGTH_MM);

	(void)state;
	assert_true(rough.known && !rough.wiped_level && !rough.wiped_proud);
	expect_um(rough.rz_level_um, 5000 - 1000 * sqrt(21));
	expect_um(rough.rz_proud_um, 2000); /* 3, 4, 5 */
	expect_um(rough.ra_proud_um, 2000 * 4 / (9 * sqrt(3)));
}

static void
one_tooth_is_level_and_proud_at_once(void **state)
{
	const struct cutter cutter = { .teeth = 1, .nose_radius = LENGTH_MM };
	struct roughness    rough  = surface_roughness(&cutter, 300000);

	(void)state;
	assert_true(rough.rz_level_um > 0);
	expect_um(rough.rz_proud_um, rough.rz_level_um);
	expect_um(rough.ra_proud_um, rough.ra_level_um);
}

static void
fine_marks_keep_their_digits(void **state)
{
	const struct cutter cutter = { .teeth = 1, .nose_radius = 20 * LENGTH_MM };

	(void)state;
	assert_true(fabs(surface_roughness(&cutter, 1000).rz_level_um / (1e-6 / (8 * 20) * 1000) - 1) < 1e-9);
}

static void
without_a_nose_radius_only_a_flat_tells(void **state)
{
	struct cutter cutter = { .teeth = 4 };

	(void)state;
	assert_false(surface_roughness(&cutter, 100000).known);
	cutter.flat = 399999; /* one proud edge leaves marks, and nobody knows how high */
	assert_false(surface_roughness(&cutter, 100000).known);
	assert_true(surface_roughness(&cutter, 100000).wiped_level);
	cutter.flat = 400000;
	assert_true(surface_roughness(&cutter, 100000).known);
	assert_true(surface_roughness(&cutter, 100000).wiped_proud);
	expect_um(surface_roughness(&cutter, 100000).rz_proud_um, 0);
}

static void
a_flat_wipes_what_is_no_longer_than_it_and_nothing_else(void **state)
{
	struct cutter    cutter = { .teeth = 4, .nose_radius = 800000 };
	struct roughness bare   = surface_roughness(&cutter, 100000), rough;

	(void)state;
	cutter.flat = 99999;
	rough       = surface_roughness(&cutter, 100000);
	assert_false(rough.wiped_level);
	expect_um(rough.rz_level_um, bare.rz_level_um);
	cutter.flat = 100000;
	rough       = surface_roughness(&cutter, 100000);
	assert_true(rough.wiped_level && !rough.wiped_proud);
	expect_um(rough.rz_level_um, 0);
	expect_um(rough.ra_level_um, 0);
	expect_um(rough.rz_proud_um, bare.rz_proud_um);
	cutter.flat = LENGTH_MM;
	expect_um(surface_roughness(&cutter, 100000).ra_proud_um, 0);
}

/* Where the corner is no longer round enough the marks go on growing from where they were. */
static void
marks_further_apart_are_higher_without_a_jump(void **state)
{
	const struct cutter cutter = { .teeth = 1, .nose_radius = 100000 };
	double              before = 0;

	(void)state;
	for (Length f = 1000; f <= 400000; f += 1000) {
		double rz = surface_roughness(&cutter, f).rz_level_um;

		assert_true(rz > before && rz <= (double)f / 2000 + 1e-9);
		before = rz;
	}
	expect_um(surface_roughness(&cutter, 200000).rz_level_um, 100);
	assert_true(surface_roughness(&cutter, 199999).rz_level_um > 99);
	expect_um(surface_roughness(&cutter, 200001).rz_level_um, 100.0005);
}

static void
the_feed_for_a_roughness_is_the_fastest_that_leaves_no_more(void **state)
{
	uint64_t seed = SEED;

	(void)state;
	for (int i = 0; i < 2000; i++) {
		const uint64_t before = seed;
		struct cutter  cutter = { .teeth       = random_between(&seed, 1, 12),
			                  .nose_radius = random_between(&seed, 1000, 20 * LENGTH_MM),
			                  .flat = random_chance(&seed, 2) ? 0 : random_between(&seed, 1, 2000000) };
		Length         ra = random_between(&seed, 25, 100000), fz = surface_feed_for(&cutter, ra);

		holds(before, fz > 0 && fz >= cutter.flat);
		holds(before, surface_roughness(&cutter, fz).ra_level_um <= (double)ra / 1000 * (1 + 1e-12));
		holds(before, surface_roughness(&cutter, fz + 1).ra_level_um > (double)ra / 1000 * (1 - 1e-12));
	}
}

static void
no_feed_is_told_for_an_edge_that_is_not(void **state)
{
	struct cutter cutter = { .teeth = 4 };

	(void)state;
	assert_int_equal(surface_feed_for(&cutter, 1600), 0);
	cutter.flat = 1500000;
	assert_int_equal(surface_feed_for(&cutter, 1600), 1500000);
}

static struct flatness
flatness_of(Length error, Length over, Length diameter, const struct layout *layout, Length width)
{
	const struct job    job    = { .machine.tram = { .error = error, .over = over } };
	const struct cutter cutter = { .diameter = diameter, .teeth = 1 };

	return surface_flatness(&job, &cutter, layout, width);
}

static void
without_a_tram_nothing_is_known_and_with_none_to_read_all_is_flat(void **state)
{
	const struct layout two = { .passes = 2, .first = 20 * LENGTH_MM, .pitch = 40 * LENGTH_MM, .side = 1 };
	struct flatness     flat;

	(void)state;
	assert_false(flatness_of(0, 0, 100 * LENGTH_MM, &two, 80 * LENGTH_MM).known);
	flat = flatness_of(0, 200 * LENGTH_MM, 100 * LENGTH_MM, &two, 80 * LENGTH_MM);
	assert_true(flat.known);
	expect_um(flat.hollow_um, 0);
	expect_um(flat.step_um, 0);
	expect_um(flat.worst_um, 0);
}

/* Sine 0.6, so cosine 0.8 and tangent 0.75; no spindle, but easy to follow. R 50. */
static void
plain_cases_are_as_by_hand(void **state)
{
	const Length        mm      = LENGTH_MM;
	const struct layout centred = { .passes = 1, .first = 30 * LENGTH_MM, .side = 1 };
	const struct layout aside   = { .passes = 1, .first = 40 * LENGTH_MM, .side = 1 };
	const struct layout outside = { .passes = 1, .first = -30 * LENGTH_MM, .side = 1 };
	const struct layout two     = { .passes = 2, .first = 20 * LENGTH_MM, .pitch = 60 * LENGTH_MM, .side = 1 };
	const struct layout many    = { .passes = 9, .first = 5 * LENGTH_MM, .pitch = 10 * LENGTH_MM, .side = 1 };
	const struct layout more    = { .passes = 13, .first = 5 * LENGTH_MM, .pitch = 10 * LENGTH_MM, .side = 1 };
	const struct layout few     = { .passes = 4, .first = 5 * LENGTH_MM, .pitch = 10 * LENGTH_MM, .side = 1 };
	struct flatness     flat    = flatness_of(3 * mm, 5 * mm, 100 * mm, &centred, 60 * mm);

	(void)state;
	expect_um(flat.delta_rad, asin(0.6));
	expect_um(flat.hollow_um, 0.6 * 10000);
	expect_um(flat.step_um, 0);
	expect_um(flat.worst_um, flat.hollow_um);
	flat = flatness_of(3 * mm, 5 * mm, 100 * mm, &aside, 70 * mm); /* from -40 to 30 */
	expect_um(flat.hollow_um, 0.6 * 20000);
	flat = flatness_of(3 * mm, 5 * mm, 100 * mm, &outside, 10 * mm); /* from 30 to 40 */
	expect_um(flat.hollow_um, 0.6 * 10000);
	flat = flatness_of(3 * mm, 5 * mm, 100 * mm, &two, 120 * mm); /* -20 to 30, and -30 to 40 */
	expect_um(flat.hollow_um, 0.6 * 20000);
	expect_um(flat.step_um, 0.75 * 60000);
	expect_um(flat.worst_um, sqrt(12000.0 * 12000 + 45000.0 * 45000));
	flat = flatness_of(3 * mm, 5 * mm, 100 * mm, &many, 90 * mm); /* the last is 55 wide, 4 steps are beside it */
	expect_um(flat.step_um, 0.75 * 10000);
	expect_um(flat.worst_um, hypot(flat.hollow_um, 0.75 * 40000));
	flat = flatness_of(3 * mm, 5 * mm, 100 * mm, &more, 130 * mm); /* 8 steps, which are more than 55 */
	expect_um(flat.worst_um, hypot(flat.hollow_um, 0.75 * 55000));
	flat = flatness_of(3 * mm, 5 * mm, 100 * mm, &few,
	                   40 * mm); /* none beside the last: there is still the first, the other way */
	expect_um(flat.worst_um, hypot(flat.hollow_um, 0.75 * 10000));
}

/* The passes of one side, seen in a mirror, are those of the other. */
static void
it_does_not_matter_from_which_side_the_passes_come(void **state)
{
	uint64_t seed = SEED;

	(void)state;
	for (int i = 0; i < 500; i++) {
		const uint64_t before   = seed;
		Length         diameter = 2 * random_between(&seed, 5 * LENGTH_MM, 100 * LENGTH_MM);
		Length         width    = random_between(&seed, LENGTH_MM, 300 * LENGTH_MM),
		       error            = random_between(&seed, 1, 200000);
		struct layout   left    = { .passes = random_between(&seed, 1, 9),
			                    .first  = random_between(&seed, -diameter / 4, diameter / 4),
			                    .pitch  = 2 * random_between(&seed, 1, diameter / 2),
			                    .side   = 1 };
		struct layout   right   = left;
		struct flatness a, b;

		right.side  = -1;
		right.first = width - left.first;
		a           = flatness_of(error, 200 * LENGTH_MM, diameter, &left, width);
		b           = flatness_of(error, 200 * LENGTH_MM, diameter, &right, width);
		holds(before, a.hollow_um == b.hollow_um && a.step_um == b.step_um && a.worst_um == b.worst_um);
		holds(before, a.worst_um >= a.hollow_um);
	}
}

static const char INCH[] =
    "units: inch\n"
    "material: low-carbon steel\n"
    "stock: {length: 6, width: 5, height: 1.1}\n"
    "finished_height: 1\n"
    "cutter: {kind: face mill, diameter: 3, teeth: 5, edge: carbide, nose_radius: 1/32 in, flat: 0.004}\n"
    "machine: {kind: cnc, tram: {error: 1 thou, over: 8}}\n"
    "finish: {roughness: 1.6 um, flatness: 1 thou}\n";
static const char MM[] =
    "units: mm\n"
    "material: low-carbon steel\n"
    "stock: {length: 152.4, width: 127, height: 27.94}\n"
    "finished_height: 25.4\n"
    "cutter: {kind: face mill, diameter: 76.2, teeth: 5, edge: carbide, nose_radius: 0.79375, flat: 0.1016}\n"
    "machine: {kind: cnc, tram: {error: 0.0254, over: 203.2}}\n"
    "finish: {roughness: 0.0016, flatness: 0.0254}\n";

static void
inches_and_millimetres_leave_the_same_face(void **state)
{
	struct planning inch, mm;
	struct layout   layout = { .passes = 2, .first = LENGTH_INCH, .pitch = 2 * LENGTH_INCH, .side = 1 };

	(void)state;
	assert_true(planning_open(&inch, INCH) && planning_open(&mm, MM));
	for (Length fz = 20000; fz < 500000; fz += 7000) {
		struct roughness a = surface_roughness(&inch.job.cutter, fz), b = surface_roughness(&mm.job.cutter, fz);

		assert_true(a.known && b.known && a.wiped_level == b.wiped_level && a.wiped_proud == b.wiped_proud);
		expect_um(a.rz_level_um, b.rz_level_um);
		expect_um(a.rz_proud_um, b.rz_proud_um);
		expect_um(a.ra_proud_um, b.ra_proud_um);
	}
	assert_int_equal(surface_feed_for(&inch.job.cutter, inch.job.finish.roughness),
	                 surface_feed_for(&mm.job.cutter, mm.job.finish.roughness));
	assert_int_equal(inch.job.finish.flatness, mm.job.finish.flatness);
	for (; layout.passes < 6; layout.passes++) {
		struct flatness a = surface_flatness(&inch.job, &inch.job.cutter, &layout, inch.job.stock.width);
		struct flatness b = surface_flatness(&mm.job, &mm.job.cutter, &layout, mm.job.stock.width);

		assert_true(a.known && b.known && a.step_um > 0);
		expect_um(a.delta_rad, b.delta_rad);
		expect_um(a.hollow_um, b.hollow_um);
		expect_um(a.step_um, b.step_um);
		expect_um(a.worst_um, b.worst_um);
	}
	planning_close(&inch);
	planning_close(&mm);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_marks_of_plain_cases_are_as_by_hand),
		cmocka_unit_test(one_tooth_is_level_and_proud_at_once),
		cmocka_unit_test(fine_marks_keep_their_digits),
		cmocka_unit_test(without_a_nose_radius_only_a_flat_tells),
		cmocka_unit_test(a_flat_wipes_what_is_no_longer_than_it_and_nothing_else),
		cmocka_unit_test(marks_further_apart_are_higher_without_a_jump),
		cmocka_unit_test(the_feed_for_a_roughness_is_the_fastest_that_leaves_no_more),
		cmocka_unit_test(no_feed_is_told_for_an_edge_that_is_not),
		cmocka_unit_test(without_a_tram_nothing_is_known_and_with_none_to_read_all_is_flat),
		cmocka_unit_test(plain_cases_are_as_by_hand),
		cmocka_unit_test(it_does_not_matter_from_which_side_the_passes_come),
		cmocka_unit_test(inches_and_millimetres_leave_the_same_face),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
