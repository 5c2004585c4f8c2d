#include "steps.h"

#include "skimcut/materials.h"
#include "skimcut/measured.h"

#define HEAD "units: mm\nmaterial: {group: K, cutting_speed: 100 m/min, feed_per_tooth: 0.1}\n"

static void
what_a_job_says_is_demanded(void **state)
{
	struct planning planning;
	struct demand   demand = demand_of(&planning, JOB "cut: {levels: any, milling: climb, coolant: mist}\n");

	(void)state;
	assert_int_equal(demand.units, UNITS_MM);
	assert_int_equal(demand.zero.x, mm(100));
	assert_int_equal(demand.zero.y, 0);
	assert_int_equal(demand.zero.z, mm(17));
	assert_int_equal(demand.length, mm(100));
	assert_int_equal(demand.width, mm(60));
	assert_int_equal(demand.height, mm(20));
	assert_int_equal(demand.finished, mm(17));
	assert_int_equal(demand.final, mm(17));
	assert_int_equal(demand.grid, 1000);
	assert_int_equal(demand.test, 750000);
	assert_int_equal(demand.rough, 1250000);
	assert_int_equal(demand.skim, 250000);
	assert_int_equal(demand.levels, LEVELS_ANY);
	assert_int_equal(demand.milling, MILLING_CLIMB);
	assert_int_equal(demand.measure, 1 << MEASURE_TEST | 1 << MEASURE_SKIM);
	assert_int_equal(demand.cutter->number, 4);
	assert_int_equal(demand.outer, mm(40));
	assert_int_equal(demand.inner, mm(40 - 0.8));
	assert_int_equal(demand.edge_height, LENGTH_MAX);
	assert_int_equal(demand.vc, 100 * INT64_C(1000) * LENGTH_MM);
	assert_int_equal(demand.fz, 100000);
	assert_int_equal(demand.skim_fz, 50000);
	assert_int_equal(demand.slowest_rpm, 50);
	assert_true(demand.coolant_asked);
	assert_int_equal(demand.coolant, COOLANT_MIST);
	assert_ptr_equal(demand.machine, &planning.job.machine);
	assert_ptr_equal(demand.hold, &planning.plan.hold);
	planning_close(&planning);
}

static void
what_a_job_leaves_out_is_not_demanded(void **state)
{
	struct planning planning;
	struct demand   demand = demand_of(&planning, JOB_HEAD JOB_CUTTER "cut: {test_cut: 0}\n");

	(void)state;
	assert_null(demand.machine);
	assert_int_equal(demand.slowest_rpm, 1);
	assert_false(demand.coolant_asked);
	assert_int_equal(demand.test, 0);
	/* Without a test cut there is no stop behind it. */
	assert_int_equal(demand.measure, 1 << MEASURE_SKIM);
	planning_close(&planning);
}

static void
rates_of_the_cut_come_before_those_of_the_material(void **state)
{
	struct planning planning;
	struct demand   demand;

	(void)state;
	demand = demand_of(&planning,
	                   JOB "cut: {cutting_speed: 80 m/min, feed_per_tooth: 0.2, skim_feed_per_tooth: 0.03}\n");
	assert_int_equal(demand.vc, 80 * INT64_C(1000) * LENGTH_MM);
	assert_int_equal(demand.fz, 200000);
	assert_int_equal(demand.skim_fz, 30000);
	planning_close(&planning);
	demand = demand_of(&planning, "units: mm\nmaterial: aluminium\nstock: {length: 100, width: 60, height: 20}\n"
	                              "finished_height: 17\n" JOB_CUTTER);
	assert_int_equal(demand.vc, planning.job.material.with[EDGE_CARBIDE].vc);
	assert_int_equal(demand.fz, planning.job.material.with[EDGE_CARBIDE].fz);
	assert_true(demand.vc > 0 && demand.fz > 0);
	planning_close(&planning);
}

/* No cut is deeper than the cutter's maker allows; and a limit counts in whole steps of the program. */
static void
depths_are_limited_by_the_cutter_and_whole_steps(void **state)
{
	static const struct {
		const char *cutter, *cut;
		Length      test, rough, skim;
	} CASES[] = {
		{ "max_depth: 1", "", 750000, 1000000, 250000 },
		{ "max_depth: 0.6", "", 600000, 600000, 250000 },
		{ "max_depth: 0.2", "", 200000, 200000, 200000 },
		{ "flute_length: 0.9", "", 750000, 900000, 250000 },
		{ "max_depth: 0.9994", "", 750000, 999000, 250000 },
		{ "max_depth: 5", "test_cut: 0.5009, rough: 1.0001, skim: 0.1999", 500000, 1000000, 199000 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char            yaml[1024];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		struct demand   demand;

		text_format(&out,
		            JOB_HEAD "cutter: {kind: end mill, diameter: 80, teeth: 5, edge: carbide, %s}\ncut: {%s}\n",
		            CASES[i].cutter, CASES[i].cut);
		demand = demand_of(&planning, text_end(&out));
		assert_int_equal(demand.test, CASES[i].test);
		assert_int_equal(demand.rough, CASES[i].rough);
		assert_int_equal(demand.skim, CASES[i].skim);
		planning_close(&planning);
	}
}

static void
a_pass_may_be_as_wide_as_the_stepover_or_as_the_stock_that_the_cutter_covers(void **state)
{
	static const struct {
		const char *cut;
		double      diameter, wide_x, wide_y;
	} CASES[] = {
		{ "pattern: auto", 80, 60, 56 },    { "pattern: auto", 66, 46.2, 46.2 },
		{ "pattern: auto", 67, 60, 46.9 },  { "pattern: single", 80, 60, 56 },
		{ "pattern: one-way", 80, 56, 56 }, { "pattern: zigzag", 80, 56, 56 },
		{ "pattern: auto", 120, 60, 100 },  { "stepover: 33.3 %", 50, 16.65, 16.65 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char            yaml[1024];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		struct demand   demand;

		text_format(&out,
		            JOB_HEAD "cutter: {kind: face mill, diameter: %g, teeth: 5, edge: carbide}\ncut: {%s}\n",
		            CASES[i].diameter, CASES[i].cut);
		demand = demand_of(&planning, text_end(&out));
		assert_int_equal(demand.wide_x, mm(CASES[i].wide_x));
		assert_int_equal(demand.wide_y, mm(CASES[i].wide_y));
		planning_close(&planning);
	}
}

static void
the_slowest_speed_is_the_least_of_the_steps_or_of_the_range(void **state)
{
	static const struct {
		const char *spindle;
		int64_t     slowest;
	} CASES[] = {
		{ "speeds: [390, 200, 800]", 200 },
		{ "min: 300, max: 900", 300 },
		{ "max: 900", 1 },
		{ "min: 0, max: 900", 1 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char            yaml[1024];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		text_format(&out, JOB_HEAD JOB_CUTTER "machine: {kind: cnc, spindle: {%s}}\n", CASES[i].spindle);
		assert_int_equal(demand_of(&planning, text_end(&out)).slowest_rpm, CASES[i].slowest);
		planning_close(&planning);
	}
}

/* The grid is counted from the zero, so a finished height between two steps is the nearer of them. */
static void
the_finished_face_is_the_nearest_that_the_program_can_tell(void **state)
{
	struct planning planning;
	struct demand   demand = demand_of(&planning, HEAD "stock: {length: 100, width: 60, height: 20.0004}\n"
	                                                     "finished_height: 17.0003\nzero: {z: bottom}\n" JOB_CUTTER);

	(void)state;
	assert_int_equal(demand.finished, 17000300);
	assert_int_equal(demand.final, 17000000);
	assert_true(demand_is_final(&demand, 17000000));
	assert_true(demand_is_final(&demand, 17000300));
	assert_true(demand_is_final(&demand, 17000800));
	assert_true(demand_is_final(&demand, 16999800));
	assert_false(demand_is_final(&demand, 17000801));
	assert_false(demand_is_final(&demand, 16999799));
	assert_false(demand_is_final(&demand, mm(20)));
	assert_false(demand_is_final(&demand, 0));
	planning_close(&planning);
}

static void
edges_reach_out_as_their_angle_has_it_and_no_further_than_they_stand_up(void **state)
{
	static const struct {
		const char *cutter;
		double      above, reach;
	} CASES[] = {
		{ "entering_angle: 90 deg", 5, 40 },
		{ "entering_angle: 95 deg", 5, 40 },
		{ "entering_angle: 45 deg, max_depth: 3", -1, 40 },
		{ "entering_angle: 45 deg, max_depth: 3", 0, 40 },
		{ "entering_angle: 45 deg, max_depth: 3", 2, 42 },
		{ "entering_angle: 45 deg, max_depth: 3", 3, 43 },
		{ "entering_angle: 45 deg, max_depth: 3", 30, 43 },
		{ "entering_angle: 45 deg", 30, 70 },
		/* sqrt(3), rounded up to the micrometre */
		{ "entering_angle: 30 deg, max_depth: 3", 1, 41.733 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char            yaml[1024];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		struct demand   demand;

		text_format(&out, JOB_HEAD "cutter: {kind: face mill, diameter: 80, teeth: 5, edge: carbide, %s}\n",
		            CASES[i].cutter);
		demand = demand_of(&planning, text_end(&out));
		assert_int_equal(demand_reach(&demand, mm(CASES[i].above)), mm(CASES[i].reach));
		planning_close(&planning);
	}
}

/* Of a diameter that has no half in whole nanometres, what is met is the larger part and what is cut the smaller. */
static void
an_odd_diameter_is_rounded_to_the_safe_side(void **state)
{
	struct planning planning;
	struct demand   demand = demand_of(
	      &planning,
	      JOB_HEAD "cutter: {kind: face mill, diameter: 80.000001, teeth: 5, edge: carbide, nose_radius: 0}\n");

	(void)state;
	assert_int_equal(demand.outer, 40000001);
	assert_int_equal(demand.inner, 40000000);
	planning_close(&planning);
}

/* What a plan brings its cuts to: a line of the knee's dial, when the skim is whole lines, else the program's smallest step. */
static void
equal_cuts_may_differ_by_what_they_come_in(void **state)
{
	static const struct {
		const char *machine;
		Length      unit;
	} CASES[] = {
		{ "", 1000 },
		{ "machine: {kind: cnc, dials: {knee: {per_turn: 2, graduation: 0.05}}}\n", 1000 },
		{ "machine: {kind: manual}\n", 1000 },
		{ "machine: {kind: manual, dials: {knee: {per_turn: 2, graduation: 0.05}}}\n", 50000 },
		{ "machine: {kind: manual, dials: {knee: {per_turn: 2, graduation: 0.02}}}\n", 1000 },
		{ "machine: {kind: manual, dials: {x: {per_turn: 2, graduation: 0.05}}}\n", 1000 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char            yaml[1024];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		struct demand   demand;

		text_format(&out, JOB_HEAD JOB_CUTTER "%s", CASES[i].machine);
		demand = demand_of(&planning, text_end(&out));
		assert_int_equal(demand.unit, CASES[i].unit);
		assert_int_equal(demand.grid, 1000);
		planning_close(&planning);
	}
}

/* From there the rest is demanded, and its first cut is no test cut; the zero is where it was. */
static void
a_height_that_was_measured_is_what_there_is(void **state)
{
	struct planning planning;
	struct demand   demand;

	(void)state;
	assert_true(planning_open(&planning, JOB_HEAD JOB_CUTTER));
	assert_true(measured_take(&planning.job, "19.1", &planning.diag));
	assert_true(planning_plan(&planning, ALONG_X));
	demand = demand_make(&planning.job, &planning.plan);
	assert_int_equal(demand.height, mm(19.1));
	assert_int_equal(demand.zero.z, mm(17));
	assert_int_equal(demand.test, 0);
	assert_int_equal(demand.skim, 250000);
	assert_int_equal(demand.measure, 1 << MEASURE_SKIM);
	planning_close(&planning);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(what_a_job_says_is_demanded),
		cmocka_unit_test(what_a_job_leaves_out_is_not_demanded),
		cmocka_unit_test(rates_of_the_cut_come_before_those_of_the_material),
		cmocka_unit_test(depths_are_limited_by_the_cutter_and_whole_steps),
		cmocka_unit_test(a_pass_may_be_as_wide_as_the_stepover_or_as_the_stock_that_the_cutter_covers),
		cmocka_unit_test(the_slowest_speed_is_the_least_of_the_steps_or_of_the_range),
		cmocka_unit_test(the_finished_face_is_the_nearest_that_the_program_can_tell),
		cmocka_unit_test(edges_reach_out_as_their_angle_has_it_and_no_further_than_they_stand_up),
		cmocka_unit_test(an_odd_diameter_is_rounded_to_the_safe_side),
		cmocka_unit_test(equal_cuts_may_differ_by_what_they_come_in),
		cmocka_unit_test(a_height_that_was_measured_is_what_there_is),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
