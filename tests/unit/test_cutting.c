#include "steps.h"

#include "skimcut/cutting.h"

/* The stock of steps.h under the cutter, with the spindle turning as it should. Does not move once it is opened. */
struct bench {
	struct planning planning;
	struct demand   demand;
	struct carve    carve;
	struct findings findings;
	struct cutting  cutting;
};

static void
bench_open(struct bench *bench, const char *yaml)
{
	*bench          = (struct bench){ .findings = { .line = 1, .units = UNITS_MM } };
	bench->demand   = demand_of(&bench->planning, yaml);
	bench->findings = (struct findings){ .line = 1, .units = UNITS_MM, .zero = bench->demand.zero };
	assert_true(carve_begin(&bench->carve, &bench->planning.arena, bench->demand.length, bench->demand.width,
	                        bench->demand.height, FINENESS_MIDDLE));
	cutting_begin(&bench->cutting, &bench->demand, &bench->carve, &bench->findings);
	bench->cutting.rotation = ROTATION_CLOCKWISE;
	bench->cutting.rpm      = RPM;
}

static void
bench_close(struct bench *bench)
{
	planning_close(&bench->planning);
}

/* One block, straight, all at one height. */
static void
cut(struct bench *bench, double from_x, double from_y, double to_x, double to_y, double floor, double rate)
{
	struct point   from = { mm(from_x), mm(from_y), mm(floor) }, to = { mm(to_x), mm(to_y), mm(floor) };
	struct sweep   way = sweep_make(from, to, bench->demand.outer, false);
	struct contact contact;

	assert_true(carve_meets(&bench->carve, &way, from.z, &contact));
	cutting_take(&bench->cutting, &(struct bite){ from, to, mm(rate), 0, false, &contact });
	cutting_block_end(&bench->cutting, to);
	bench->findings.line++;
}

/* Over the whole face, as it should be milled. */
static void
face(struct bench *bench, double floor, double rate)
{
	cut(bench, 145, 35, -45, 35, floor, rate);
}

static const struct finding *
said(const struct bench *bench, enum property property)
{
	return &bench->findings.of[property];
}

static void
expect_nothing_refused(const struct bench *bench)
{
	for (int i = 0; i < PROPERTIES; i++)
		if (bench->findings.of[i].count > 0)
			fail_msg("%s: %s", PROPERTY_KEYS[i], bench->findings.of[i].text);
}

static void
the_cuts_that_the_job_asks_for_are_taken(void **state)
{
	struct bench bench;

	(void)state;
	bench_open(&bench, JOB);
	face(&bench, 19.25, FEED);
	assert_true(bench.cutting.level.test);
	bench.cutting.measured = true;
	face(&bench, 18.25, FEED);
	assert_false(bench.cutting.level.test || bench.cutting.level.final || bench.cutting.measured);
	face(&bench, 17.25, FEED);
	bench.cutting.measured = true;
	face(&bench, 17, SKIM_FEED);
	assert_true(bench.cutting.level.final);
	expect_nothing_refused(&bench);
	assert_int_equal(bench.cutting.levels, 4);
	assert_int_equal(bench.cutting.deepest, mm(1));
	assert_true(fabs(bench.cutting.volume_mm3 - 100 * 60 * 3) < 1e-6);
	assert_int_equal(carve_highest(&bench.carve), mm(17));
	bench_close(&bench);
}

/* Every limit to the nanometre. */
static void
depths_are_judged_to_the_nanometre(void **state)
{
	static const struct {
		double      floors[3];
		const char *said;
	} CASES[] = {
		{ { 19.25 }, NULL },
		{ { 19.249999 }, "cuts 0.75 mm deep, and 0.75 mm is allowed for the test cut at X0.000 Y35.000" },
		{ { 19.25, 18 }, NULL },
		{ { 19.25, 17.99 }, "cuts 1.26 mm deep, and 1.25 mm is allowed for roughing at X0.000 Y35.000" },
		{ { 19.25, 18.25, 17.25 }, NULL },
		{ { 19.25, 18.25, 17.249 },
		  "leaves 0.249 mm for the skim, which is to take 0.25 mm at X0.000 Y35.000" },
		{ { 19.25, 17 }, "cuts 2.25 mm deep, and 0.25 mm is allowed for the skim at X0.000 Y35.000" },
		/* With a test cut the first is that, however deep it would be otherwise. */
		{ { 18.75 }, "cuts 1.25 mm deep, and 0.75 mm is allowed for the test cut at X0.000 Y35.000" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		struct bench bench;

		bench_open(&bench, JOB);
		for (size_t k = 0; k < 3 && CASES[i].floors[k] > 0; k++)
			face(&bench, CASES[i].floors[k], SKIM_FEED);
		if (CASES[i].said)
			assert_string_equal(said(&bench, PROPERTY_CUTS)->text, CASES[i].said);
		else
			assert_int_equal(said(&bench, PROPERTY_CUTS)->count, 0);
		bench_close(&bench);
	}
}

static void
without_a_test_cut_the_first_is_roughing(void **state)
{
	struct bench bench;

	(void)state;
	bench_open(&bench, JOB "cut: {test_cut: 0}\n");
	face(&bench, 18.75, FEED);
	face(&bench, 17.5, FEED);
	face(&bench, 17.25, FEED);
	assert_string_equal(said(&bench, PROPERTY_CUTS)->text,
	                    "roughing cuts of 1.25 mm and 0.25 mm are not equal; 'levels: any' in the job would allow "
	                    "them at X0.000 Y35.000");
	assert_int_equal(said(&bench, PROPERTY_CUTS)->line, 3);
	bench_close(&bench);
}

/* By one smallest step of the program, which is a micrometre. */
static void
roughing_cuts_may_differ_by_one_step(void **state)
{
	static const double SECOND[] = { 17.751, 17.75, 17.749, 17.752, 17.748 };

	(void)state;
	for (size_t i = 0; i < 5; i++) {
		struct bench bench;

		bench_open(&bench, JOB "cut: {test_cut: 0}\n");
		face(&bench, 18.875, FEED);
		face(&bench, SECOND[i], FEED);
		assert_int_equal(said(&bench, PROPERTY_CUTS)->count, i >= 3);
		bench_close(&bench);
	}
}

/* The job's limit, the cutter's, and the machine's slowest speed. */
static void
the_edges_bear_what_the_job_says(void **state)
{
	static const struct {
		int64_t     rpm;
		double      rate;
		const char *said;
	} CASES[] = {
		{ 397, 198.5, NULL }, /* 99.78 m/min */
		{ 398, 199,
		  "the edges run at 100 m/min, and the job's cutting_speed allows 100 m/min at X0.000 Y35.000" },
		{ 390, 195, NULL },
		{ 390, 195.1,
		  "each tooth takes 0.1001 mm, and the job's feed_per_tooth allows 0.1 mm at X0.000 Y35.000" },
		{ 100, 50, NULL },
		{ 100, 51, "each tooth takes 0.102 mm, and the job's feed_per_tooth allows 0.1 mm at X0.000 Y35.000" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		struct bench bench;

		bench_open(&bench, JOB);
		bench.cutting.rpm = CASES[i].rpm;
		face(&bench, 19.25, CASES[i].rate);
		if (!CASES[i].said)
			expect_nothing_refused(&bench);
		else
			assert_string_equal(said(&bench, PROPERTY_MACHINE)->text, CASES[i].said);
		bench_close(&bench);
	}
}

static void
only_a_spindle_that_turns_clockwise_cuts(void **state)
{
	static const struct {
		enum rotation rotation;
		int64_t       rpm;
		const char   *said;
	} CASES[] = {
		{ ROTATION_OFF, 0, "cuts with the spindle off at X0.000 Y35.000" },
		{ ROTATION_CLOCKWISE, 0, "cuts, and no spindle speed is set at X0.000 Y35.000" },
		{ ROTATION_COUNTERCLOCKWISE, RPM, "cuts with the spindle turning backwards at X0.000 Y35.000" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		struct bench bench;

		bench_open(&bench, JOB);
		bench.cutting.rotation = CASES[i].rotation;
		bench.cutting.rpm      = CASES[i].rpm;
		face(&bench, 19.25, FEED);
		assert_string_equal(said(&bench, PROPERTY_SWITCHES)->text, CASES[i].said);
		bench_close(&bench);
	}
}

/* What stands in the cutter's way, once it is cut, is conventional on its left and climb on its right, on any heading. */
static void
the_left_of_the_way_is_conventional(void **state)
{
	static const struct {
		double from_x, from_y, to_x, to_y, left_mm2;
	} CASES[] = {
		{ 145, 35, -45, 35, 3500 },         { -45, 35, 145, 35, 2500 },       { 145, 24, -45, 24, 2400 },
		{ -45, 24, 145, 24, 3600 },         { 60, -45, 60, 105, 2352 },       { 60, 105, 60, -45, 2352 },
		{ 20, -45, 20, 105, 20 * 60 },      { 20, 105, 20, -45, 2352 },       { 145, -20, -45, -20, 0 },
		{ -45, -20, 145, -20, 19.2 * 100 }, { 145, 80, -45, 80, 19.2 * 100 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++)
		for (int backwards = 0; backwards < 2; backwards++) {
			struct bench bench;
			double       all, left;

			bench_open(&bench, JOB "cut: {milling: either}\n");
			if (backwards)
				bench.cutting.rotation = ROTATION_COUNTERCLOCKWISE;
			cut(&bench, CASES[i].from_x, CASES[i].from_y, CASES[i].to_x, CASES[i].to_y, 19.25, FEED);
			all  = bench.cutting.conventional_mm2 + bench.cutting.climb_mm2;
			left = backwards ? bench.cutting.climb_mm2 : bench.cutting.conventional_mm2;
			assert_true(fabs(left - CASES[i].left_mm2) < 1e-6);
			assert_true(fabs(all * 0.75 - bench.cutting.volume_mm3) < 1e-6);
			assert_int_equal(said(&bench, PROPERTY_MILLING)->count, 0);
			bench_close(&bench);
		}
}

/* A thousandth of the face, 6 mm2, may be cut in blocks that go mostly the other way. */
static void
a_corner_may_be_cut_the_other_way(void **state)
{
	static const struct {
		double y;
		bool   refused;
	} CASES[] = { { -39.15, false }, { -39.141, false }, { -39.139, true }, { -30, true } };

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		struct bench bench;

		bench_open(&bench, JOB);
		/* To -X the stock is on the right: climb. */
		cut(&bench, 145, CASES[i].y, -45, CASES[i].y, 19.25, FEED);
		assert_int_equal(said(&bench, PROPERTY_MILLING)->count, CASES[i].refused);
		if (CASES[i].refused)
			assert_string_equal(
			    said(&bench, PROPERTY_MILLING)->text,
			    i == 3 ? "100 % of this cut is climb milling, on a way that ends at X-145.000 Y-30.000"
				   : "100 % of this cut is climb milling, on a way that ends at X-145.000 Y-39.139");
		bench_close(&bench);
	}
}

static void
climb_is_asked_for_and_conventional_refused(void **state)
{
	struct bench bench;

	(void)state;
	bench_open(&bench, JOB "cut: {milling: climb}\n");
	cut(&bench, -45, 35, 145, 35, 19.25, FEED);
	expect_nothing_refused(&bench);
	bench.cutting.measured = true;
	cut(&bench, 145, 35, -45, 35, 18.25, FEED);
	assert_string_equal(said(&bench, PROPERTY_MILLING)->text,
	                    "58 % of this cut is conventional milling, on a way that ends at X-145.000 Y35.000");
	bench_close(&bench);
}

/* In pieces, a block is judged as the one cut that it is. */
static void
the_pieces_of_an_arc_are_one_block(void **state)
{
	static const double Y[] = { 12, 35 }; /* the first piece climbs, both together do not */
	struct bench        bench;

	(void)state;
	bench_open(&bench, JOB);
	for (int k = 0; k < 2; k++) {
		struct point   from = { mm(145), mm(Y[k]), mm(19.25) }, to = { mm(-45), mm(Y[k]), mm(19.25) };
		struct contact contact = { mm(20), from };

		cutting_take(&bench.cutting, &(struct bite){ from, to, mm(FEED), 1000, true, &contact });
	}
	assert_int_equal(said(&bench, PROPERTY_MILLING)->count, 0);
	cutting_block_end(&bench.cutting, (struct point){ 0, 0, 0 });
	assert_true(said(&bench, PROPERTY_MILLING)->count == 1);
	assert_true(bench.cutting.climb_mm2 > bench.cutting.conventional_mm2);
	/* The slack beside each piece is not certainly cut. */
	assert_true(fabs(bench.cutting.climb_mm2 + bench.cutting.conventional_mm2 - 6000) < 1e-6);
	bench_close(&bench);
}

static void
what_is_not_certainly_cut_stands(void **state)
{
	struct point   from = { mm(145), mm(-20), mm(19.25) }, to = { mm(-45), mm(-20), mm(19.25) };
	struct contact contact = { mm(20), { 0, 0, 0 } };
	struct bench   bench;

	(void)state;
	bench_open(&bench, JOB "cut: {milling: either}\n");
	/* More slack than radius: nothing is certain. */
	cutting_take(&bench.cutting, &(struct bite){ from, to, mm(FEED), mm(40), true, &contact });
	assert_true(bench.cutting.volume_mm3 == 0);
	assert_int_equal(bench.cutting.levels, 1);
	cutting_take(&bench.cutting, &(struct bite){ from, to, mm(FEED), mm(0.2), true, &contact });
	assert_true(fabs(bench.cutting.volume_mm3 - 19 * 100 * 0.75) < 1e-6);
	bench_close(&bench);
}

/* Full width into the stock is more than a stepover of it, whatever the round corner leaves at the floor. */
static void
a_slot_is_as_wide_as_the_cutter(void **state)
{
	static const char yaml[] = JOB_HEAD
	    "cutter: {kind: face mill, diameter: 32, teeth: 5, edge: carbide, nose_radius: 5}\n"
	    "cut: {milling: either, pattern: one-way}\n";
	struct bench bench;

	(void)state;
	bench_open(&bench, yaml);
	assert_int_equal(bench.demand.wide_x, mm(22.4));
	bench.cutting.rpm = 100;
	cut(&bench, 145, 30, -45, 30, 19.25, 20);
	assert_int_equal(said(&bench, PROPERTY_CUTS)->count, 1);
	bench_close(&bench);
}

/* Of a strip, from its near edge; the cutter's own edge where it does not reach so far. */
static void
the_width_of_a_cut_is_what_it_takes_across_the_way(void **state)
{
	static const char yaml[] = JOB_HEAD "cutter: {kind: end mill, diameter: 32, teeth: 5, edge: carbide}\n"
					    "cut: {milling: either, pattern: one-way}\n";
	static const struct {
		double first, second; /* reach of the first and of the second pass, in Y */
		bool   refused;
	} CASES[] = { { 22.4, 44.8, false }, { 22.4, 44.801, true }, { 22.401, 22.401, true }, { 5, 27.4, false } };

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++)
		for (int along_y = 0; along_y < 2; along_y++) {
			struct bench bench;

			bench_open(&bench, yaml);
			bench.cutting.rpm = 100;
			for (int k = 0; k < 2; k++) {
				double at = (k == 0 ? CASES[i].first : CASES[i].second) - 16;

				if (k == 1 && CASES[i].second <= CASES[i].first)
					break;
				if (along_y)
					cut(&bench, at, -45, at, 105, 19.25, 20);
				else
					cut(&bench, 145, at, -45, at, 19.25, 20);
			}
			assert_int_equal(said(&bench, PROPERTY_CUTS)->count, CASES[i].refused);
			if (CASES[i].refused)
				assert_int_equal(said(&bench, PROPERTY_CUTS)->amount, mm(0.001));
			bench_close(&bench);
		}
}

/* It is once over the whole face, and once with a step in it. */
static void
the_order_of_cuts_is_judged_unless_any_will_do(void **state)
{
	static const char *const YAML[] = { JOB "cut: {milling: either, test_cut: 0}\n",
		                            JOB "cut: {milling: either, test_cut: 0, levels: any}\n" };

	(void)state;
	for (size_t i = 0; i < 2; i++) {
		struct bench          bench;
		const struct finding *finding = said(&bench, PROPERTY_CUTS);

		bench_open(&bench, YAML[i]);
		cut(&bench, 145, 35, 50, 35, 19.5, FEED);
		cut(&bench, 145, 35, 50, 35, 19, FEED);
		assert_int_equal(finding->count, i == 0);
		if (i == 0)
			assert_non_null(strstr(finding->text,
			                       "begins the next cut while stock stands 0.5 mm above the last; "
			                       "'levels: any' in the job would allow it"));
		bench_close(&bench);
		bench_open(&bench, YAML[i]);
		/* The left half, then the right half not as deep. */
		cut(&bench, -45, 35, 10, 35, 19, FEED);
		cut(&bench, 145, 35, 50, 35, 19.25, FEED);
		assert_int_equal(finding->count > 0, i == 0);
		if (i == 0)
			assert_string_equal(finding->text,
			                    "goes back up by 0.25 mm for a cut; 'levels: any' in the job would "
			                    "allow it at X0.000 Y35.000");
		bench_close(&bench);
	}
}

/* In the cut it is from where the front of the cutter comes in to where it leaves; in air it is not at all. */
static void
the_time_in_the_cut_is_that_of_the_front(void **state)
{
	const double front = 40;
	const double early = sqrt(front * front - 35 * 35); /* at the far edge of the stock, 35 mm off the way */
	struct bench bench;

	(void)state;
	bench_open(&bench, JOB);
	face(&bench, 19.25, 100);
	assert_true(fabs(bench.cutting.cut_s - (100 + front - early) / 100 * 60) < 1e-6);
	bench_close(&bench);
	/* The way ends in the stock. */
	bench_open(&bench, JOB);
	cut(&bench, 145, 35, 80, 35, 19.25, 100);
	assert_true(fabs(bench.cutting.cut_s - (100 + 39.2 - 80) / 100 * 60) < 0.02);
	bench_close(&bench);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_cuts_that_the_job_asks_for_are_taken),
		cmocka_unit_test(depths_are_judged_to_the_nanometre),
		cmocka_unit_test(without_a_test_cut_the_first_is_roughing),
		cmocka_unit_test(roughing_cuts_may_differ_by_one_step),
		cmocka_unit_test(the_edges_bear_what_the_job_says),
		cmocka_unit_test(only_a_spindle_that_turns_clockwise_cuts),
		cmocka_unit_test(the_left_of_the_way_is_conventional),
		cmocka_unit_test(a_corner_may_be_cut_the_other_way),
		cmocka_unit_test(climb_is_asked_for_and_conventional_refused),
		cmocka_unit_test(the_pieces_of_an_arc_are_one_block),
		cmocka_unit_test(what_is_not_certainly_cut_stands),
		cmocka_unit_test(a_slot_is_as_wide_as_the_cutter),
		cmocka_unit_test(the_width_of_a_cut_is_what_it_takes_across_the_way),
		cmocka_unit_test(the_order_of_cuts_is_judged_unless_any_will_do),
		cmocka_unit_test(the_time_in_the_cut_is_that_of_the_front),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
