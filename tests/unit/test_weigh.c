#include "planning.h"

#include <math.h>

#include "skimcut/quantity.h"
#include "skimcut/weigh.h"

/*
 * What most cases share, worked by hand: D = 100, one pass over 60 whose centre line runs 20 from one edge of the work and 40 from the other
 * - so phi_s = acos(-0.4) - acos(0.8) = 1.338827 rad, less than the pitch of four teeth: one cuts at a time. 0.2 mm a tooth at
 * 500 rpm, 400 mm/min:
 *
 *     h_m = 0.2 * 1.2 / 1.338827 = 0.179262,  kc = 2000 h_m^-0.25 = 3073.67
 *     P  = 1 * 60 * 400 * kc / 60e6 = 1229.47 W for each millimetre of depth
 *     Ft = 2000 * 0.2^0.75 = 598.140 N,  in the plane sqrt(1 + 0.4^2) Ft = 644.216 N, for each millimetre of depth
 */
static const double POWER_W = 1229.47, PLANE_N = 644.216;

struct recipe {
	const char *stock, *finished, *cut, *machine, *rest;
	enum along  along;
};

static const struct recipe USUAL = {
	.stock    = "stock: {length: 80, width: 60, height: 20}",
	.finished = "finished_height: 18",
	.cut      = "cut: {pattern: single, test_cut: 0.75, rough: 1, skim: 0.25, feed_per_tooth: 0.2}",
	.machine  = "machine: {kind: cnc, spindle: {speeds: [500], power: 2 kW, efficiency: 80 %}, feed: {max: 5000}}",
	.rest     = "",
};

static const char *
line_of(const char *own, const char *usual)
{
	return own ? own : usual;
}

/* Close it. */
static struct weights
weighed(struct planning *planning, const struct recipe *recipe)
{
	char        yaml[2048];
	struct text out = text_over(yaml, sizeof yaml);

	text_format(&out,
	            "units: mm\nmaterial: {group: P, cutting_speed: 160 m/min, feed_per_tooth: 0.2, kc1.1: 2000, mc: "
	            "0.25}\n"
	            "cutter: {kind: face mill, diameter: 100, teeth: 4, edge: carbide, nose_radius: 0.8}\n"
	            "%s\n%s\n%s\n%s\n%s\n",
	            line_of(recipe->stock, USUAL.stock), line_of(recipe->finished, USUAL.finished),
	            line_of(recipe->cut, USUAL.cut), line_of(recipe->machine, USUAL.machine),
	            line_of(recipe->rest, USUAL.rest));
	text_end(&out);
	if (!planning_open(planning, yaml) ||
	    !planning_plan(planning, recipe->along == ALONG_AUTO ? ALONG_X : recipe->along))
		fail_msg("no plan: %s\n%s", planning->diag.first->text, yaml);
	return weigh(&planning->plan);
}

static void
expect_near(double is, double wanted, double share)
{
	if (!(fabs(is - wanted) <= share * fabs(wanted)))
		fail_msg("%.9g is not %.9g", is, wanted);
}

static void
the_deepest_roughing_cut_takes_its_power(void **state)
{
	struct planning planning;
	struct weights  weights = weighed(&planning, &USUAL);

	(void)state;
	assert_int_equal(planning.plan.schedule.count, 3);
	assert_int_equal(weights.rough_depth, LENGTH_MM);
	expect_near(weights.rough.power_w, POWER_W, 1e-5);
	expect_near(weights.rough.plane_peak_n, PLANE_N, 1e-5);
	expect_near(weights.available_w, 1600, 1e-12);
	expect_near(weights.share, POWER_W / 1600, 1e-5);
	/* Half the feed per tooth and a quarter of the depth: 0.5^0.75 / 4. */
	expect_near(weights.skim.power_w, POWER_W * pow(0.5, 0.75) / 4, 1e-5);
	planning_close(&planning);
}

static void
below_its_base_speed_a_motor_gives_less(void **state)
{
	static const struct {
		const char *spindle;
		double      available_w;
	} CASES[] = {
		{ "{speeds: [500], power: 2 kW, efficiency: 80 %, base_speed: 1000}", 800 },
		{ "{speeds: [500], power: 2 kW, efficiency: 80 %, base_speed: 501}", 1600 * 500.0 / 501 },
		{ "{speeds: [500], power: 2 kW, efficiency: 80 %, base_speed: 500}", 1600 },
		{ "{speeds: [500], power: 2 kW, efficiency: 80 %, base_speed: 250}", 1600 },
		{ "{speeds: [500], power: 2 kW, efficiency: 80 %}", 1600 },
		{ "{speeds: [500], power: 2 kW}", 1400 },
		{ "{speeds: [500]}", 0 },
		{ "{speeds: [500], base_speed: 1000}", 0 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char            machine[256];
		struct text     out    = text_over(machine, sizeof machine);
		struct recipe   recipe = USUAL;
		struct planning planning;
		struct weights  weights;

		text_format(&out, "machine: {kind: cnc, spindle: %s, feed: {max: 5000}}", CASES[i].spindle);
		recipe.machine = text_end(&out);
		weights        = weighed(&planning, &recipe);
		expect_near(weights.available_w, CASES[i].available_w, 1e-12);
		expect_near(weights.share, CASES[i].available_w > 0 ? POWER_W / CASES[i].available_w : 0, 1e-5);
		planning_close(&planning);
	}
}

/* Two roughing cuts of 0.2, and a skim of 0.3 at the same feed. */
static void
a_heavier_skim_counts(void **state)
{
	struct recipe   recipe = { .finished = "finished_height: 19.3",
		                   .cut      = "cut: {pattern: single, test_cut: 0, rough: 0.3, skim: 0.3, "
		                                 "feed_per_tooth: 0.2, skim_feed_per_tooth: 0.2}" };
	struct planning planning;
	struct weights  weights = weighed(&planning, &recipe);

	(void)state;
	assert_int_equal(planning.plan.schedule.count, 3);
	assert_int_equal(weights.rough_depth, LENGTH_MM / 5);
	expect_near(weights.rough.power_w, 0.2 * POWER_W, 1e-5);
	expect_near(weights.share, 0.3 * POWER_W / 1600, 1e-5);
	planning_close(&planning);
}

static void
a_test_cut_may_be_the_deepest(void **state)
{
	struct recipe   recipe = { .finished = "finished_height: 17.15",
		                   .cut      = "cut: {pattern: single, test_cut: 1.1, rough: 1.1}" };
	struct planning planning;
	struct weights  weights = weighed(&planning, &recipe);

	(void)state;
	assert_int_equal(weights.rough_depth, 11 * LENGTH_MM / 10);
	expect_near(weights.share, 1.1 * POWER_W / 1600, 1e-5);
	planning_close(&planning);
}

static void
without_roughing_only_the_skim_weighs(void **state)
{
	static const struct loads NOTHING = { 0 };

	struct recipe   recipe = { .finished = "finished_height: 19.8",
		                   .cut = "cut: {pattern: single, feed_per_tooth: 0.2, skim_feed_per_tooth: 0.2}" };
	struct planning planning;
	struct weights  weights = weighed(&planning, &recipe);

	(void)state;
	assert_int_equal(planning.plan.schedule.count, 1);
	assert_int_equal(weights.rough_depth, 0);
	assert_memory_equal(&weights.rough, &NOTHING, sizeof NOTHING);
	expect_near(weights.skim.power_w, 0.2 * POWER_W, 1e-5);
	expect_near(weights.share, 0.2 * POWER_W / 1600, 1e-5);
	planning_close(&planning);
}

/*
 * Half of the cutter in the work, where the teeth leave it (climb): tangential -1 / 1.75, radial 0.4 times the integral of sin^1.75 over a
 * quarter turn, which is less than pi / 2: it pulls. Where they come in (conventional) both push. Over the middle the radial part wins.
 */
static void
a_table_is_pulled_by_climb_milling_at_the_edge(void **state)
{
	static const struct {
		const char *stock, *cut;
		bool        pulls;
	} CASES[] = {
		{ "width: 95", "pattern: one-way, stepover: 50 %", false },
		{ "width: 95", "pattern: one-way, stepover: 50 %, milling: climb", true },
		{ "width: 95", "pattern: zigzag, stepover: 50 %", true },
		{ "width: 45", "pattern: zigzag, stepover: 50 %", false },
		{ "width: 45", "pattern: one-way, stepover: 50 %, milling: climb", true },
		{ "width: 60", "pattern: single, milling: climb", false },
		{ "width: 60", "pattern: single", false },
		{ "width: 95", "pattern: zigzag, stepover: 50 %, test_cut: 3, rough: 3", true },
		{ "width: 95", "pattern: one-way, stepover: 50 %, test_cut: 3, rough: 3", false },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char            stock[128], cut[256];
		struct text     stock_out = text_over(stock, sizeof stock), cut_out = text_over(cut, sizeof cut);
		struct recipe   recipe = USUAL;
		struct planning planning;
		struct weights  weights;

		text_format(&stock_out, "stock: {length: 80, %s, height: 20}", CASES[i].stock);
		text_format(&cut_out, "cut: {%s}", CASES[i].cut);
		recipe.stock    = text_end(&stock_out);
		recipe.finished = "finished_height: 15";
		recipe.cut      = text_end(&cut_out);
		weights         = weighed(&planning, &recipe);
		if (weights.pulls != CASES[i].pulls)
			fail_msg("%s, %s", CASES[i].stock, CASES[i].cut);
		planning_close(&planning);
	}
}

/* Clamps press 5000 N: slip 2 * 0.15 * 5000 / 644.216 = 2.32841 for 1 mm, and the part is too wide to tip first. */
#define CLAMPED(FRICTION)                                                                                              \
	"hold: {friction: " FRICTION ", clamps: [{x: -60, y: 0, length: 30, width: 20, height: 10, force: 2 kN}, "     \
	"{x: 110, y: 0, length: 30, width: 20, height: 10, force: 3 kN}]}"

static void
the_worst_cut_is_the_deepest_that_slips(void **state)
{
	struct recipe   recipe = { .rest = CLAMPED("15 %") };
	struct planning planning;
	struct weights  weights = weighed(&planning, &recipe);

	(void)state;
	assert_int_equal(weights.worst, 1);
	expect_near(weights.margins.slip, 1500 / PLANE_N, 1e-4);
	expect_near(weights.margins.tip, 5000 * 30 / (PLANE_N * 19.25), 1e-4);
	expect_near((double)weights.safe_depth, LENGTH_MM * 1500 / PLANE_N / 2.5, 1e-4);
	planning_close(&planning);
}

/* Of cuts alike the highest tips soonest; with friction of 1 it tips before it slips. */
static void
the_worst_cut_is_the_highest_that_tips(void **state)
{
	struct recipe   recipe = { .finished = "finished_height: 16.75",
		                   .cut      = "cut: {pattern: single, test_cut: 1, rough: 1}",
		                   .rest     = CLAMPED("100 %") };
	struct planning planning;
	struct weights  weights = weighed(&planning, &recipe);

	(void)state;
	assert_int_equal(planning.plan.schedule.count, 4);
	assert_int_equal(weights.worst, 0);
	expect_near(weights.margins.tip, 5000 * 30 / (PLANE_N * 20), 1e-4);
	assert_true(margins_least(&weights.margins) == weights.margins.tip);
	expect_near((double)weights.safe_depth, LENGTH_MM * 5000 * 30 / (PLANE_N * 20) / 2.5, 1e-4);
	planning_close(&planning);
}

static void
a_skim_can_be_the_worst(void **state)
{
	struct recipe   recipe = { .finished = "finished_height: 19.3",
		                   .cut      = "cut: {pattern: single, test_cut: 0, rough: 0.3, skim: 0.3, "
		                                 "feed_per_tooth: 0.2, skim_feed_per_tooth: 0.2}",
		                   .rest     = CLAMPED("15 %") };
	struct planning planning;
	struct weights  weights = weighed(&planning, &recipe);

	(void)state;
	assert_int_equal(weights.worst, 2);
	expect_near(weights.margins.slip, 1500 / (0.3 * PLANE_N), 1e-4);
	planning_close(&planning);
}

static void
without_a_force_there_are_no_margins(void **state)
{
	static const char *const HOLDS[] = {
		"",
		"hold: {clamps: [{x: -60, y: 0, length: 30, width: 20, height: 10, force: 2 kN}, {x: 110, y: 0, "
		"length: "
		"30, width: 20, height: 10}]}",
		"vise: {front_jaw: 12, rear_jaw: 12, jaw_width: 100}",
	};

	(void)state;
	for (size_t i = 0; i < sizeof HOLDS / sizeof HOLDS[0]; i++) {
		struct recipe   recipe = { .rest = HOLDS[i] };
		struct planning planning;
		struct weights  weights = weighed(&planning, &recipe);

		assert_false(weights.grip.force_known);
		assert_true(weights.margins.slip == 0 && weights.margins.tip == 0);
		assert_int_equal(weights.safe_depth, 0);
		planning_close(&planning);
	}
}

/* f^2 / 8 r of 0.1 mm over 0.8 mm; and of 0.05 mm, where the table feeds no faster. */
static void
roughness_is_that_of_the_skim_as_it_is_fed(void **state)
{
	struct recipe   slow = { .machine = "machine: {kind: cnc, spindle: {speeds: [500]}, feed: {max: 100}}" };
	struct planning planning;
	struct weights  weights = weighed(&planning, &USUAL);

	(void)state;
	expect_near(weights.roughness.rz_level_um, 1.5625, 1e-2);
	planning_close(&planning);
	weights = weighed(&planning, &slow);
	expect_near(weights.roughness.rz_level_um, 1.5625 / 4, 1e-2);
	planning_close(&planning);
}

/*
 * Half a thousandth off square. Along X the far edge is 40 from the centre line: 50 - sqrt(50^2 - 40^2) = 20. Along Y the work is
 * 80 wide, the line 35 from one edge and 45 from the other: 50 - sqrt(50^2 - 45^2) = 28.2055.
 */
static void
flatness_is_across_the_travel(void **state)
{
	static const char *const CUTS[] = { "cut: {pattern: single}", "cut: {pattern: single, milling: climb}" };

	(void)state;
	for (size_t i = 0; i < sizeof CUTS / sizeof CUTS[0]; i++)
		for (int along = ALONG_X; along <= ALONG_Y; along++) {
			struct recipe   recipe = { .cut     = CUTS[i],
				                   .machine = "machine: {kind: cnc, spindle: {speeds: [500]}, tram: "
				                                "{error: 0.1, over: 200}}",
				                   .along   = (enum along)along };
			struct planning planning;
			struct weights  weights = weighed(&planning, &recipe);

			assert_true(weights.flatness.known);
			expect_near(weights.flatness.hollow_um, along == ALONG_X ? 10 : 14.10275, 1e-5);
			planning_close(&planning);
		}
}

static struct loads
loads_of(const struct plan *plan, size_t cut, int64_t pass)
{
	const struct cut   *at    = &plan->schedule.cuts[cut];
	const struct rates *rates = at->kind == CUT_SKIM ? &plan->skim : &plan->rough;
	struct cut_case     own   = {
		      .cutter     = plan->cutter,
		      .kc11_n_mm2 = plan->job->material.kc11_n_mm2,
		      .mc         = plan->job->material.mc,
		      .ap         = at->top - at->floor,
		      .strip      = plan_strip(plan, pass),
		      .fz         = rates->fz,
		      .rpm        = rates->rpm,
	};

	return loads_find(&own);
}

/* What is weighed is the worst there is: no pass of any cut is heavier, moves the part sooner or pulls when nothing is said to. */
static void
expect_worst(const struct plan *plan, const struct weights *weights, uint64_t seed)
{
	double heaviest = 0, least = INFINITY;
	bool   pulls = false;

	for (size_t i = 0; i < plan->schedule.count; i++)
		for (int64_t pass = 0; pass < plan->layout.passes; pass++) {
			struct loads   loads   = loads_of(plan, i, pass);
			struct margins margins = { 0 };

			heaviest = fmax(heaviest, loads.power_w);
			pulls |= loads.feed_mean_n < 0;
			if (weights->grip.force_known) {
				margins = grip_margins(plan->job, &weights->grip, loads.plane_peak_n,
				                       plan->schedule.cuts[i].top);
				least   = fmin(least, margins_least(&margins));
			}
		}
	holds(seed, heaviest <= fmax(weights->rough.power_w, weights->skim.power_w) * (1 + 1e-9));
	holds(seed, weights->pulls == pulls);
	if (weights->grip.force_known) {
		holds(seed, weights->worst < plan->schedule.count);
		holds(seed, fabs(margins_least(&weights->margins) - least) <= 1e-9 * least);
	} else {
		holds(seed, weights->margins.slip == 0 && weights->margins.tip == 0);
	}
}

/* On the usual grid and on a coarse one, where passes are less alike. */
static void
no_pass_of_any_cut_is_worse_than_what_was_weighed(void **state)
{
	uint64_t random = 141421356237, planned = 0;

	(void)state;
	for (int i = 0; i < 300; i++) {
		uint64_t        seed = random;
		char            yaml[4096];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		struct grid     grid;

		random_job(&random, "a block", &out);
		text_format(
		    &out,
		    "hold: {clamps: [{x: -900 mm, y: 0, length: 30 mm, width: 20 mm, height: 1 mm, force: %d N}]}\n",
		    (int)random_between(&random, 100, 9000));
		text_end(&out);
		assert_true(planning_open(&planning, yaml));
		grid = usual_grid(planning.job.units);
		if (i % 2 == 1)
			grid.length = LENGTH_MM / 20;
		if (plan_make(&planning.job, grid, i % 4 < 2 ? ALONG_X : ALONG_Y, &planning.arena, &planning.plan,
		              &planning.diag)) {
			struct weights weights = weigh(&planning.plan);

			planned++;
			expect_worst(&planning.plan, &weights, seed);
		}
		planning_close(&planning);
	}
	assert_true(planned > 150);
}

/*
 * 130 rev/min, 5 teeth, 0.1 mm and a skim of 0.05: 65 and 32 mm/min. A tenth faster is 71.5 and 35.2; half is 32.5; the skim's chip
 * of 0.0492 mm comes to 0.02 at 13 mm/min.
 */
static void
a_power_feed_may_be_faster_where_nothing_held_it_and_slower_until_it_rubs(void **state)
{
	static const struct {
		const char *rates, *machine;
		Speed       rough, skim; /* mm/min */
	} cases[] = {
		{ "[32.4, 71.6, 15.9]", "", 0, 32 },   { "[32.5, 71.5]", "", 71, 32 },
		{ "[32.5, 16]", "", 32, 32 },          { "[16]", "", 0, 16 },
		{ "[71]", ", feed: {max: 65}", 0, 0 }, { "[65]", ", feed: {max: 65}", 65, 0 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		char            yaml[1024];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		struct weights  weights;

		text_format(&out,
		            "units: mm\nmaterial: {group: K, cutting_speed: 30 m/min, feed_per_tooth: 0.1}\n"
		            "stock: {length: 100, width: 40, height: 20}\nfinished_height: 18\n"
		            "cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide}\n"
		            "cut: {skim_feed_per_tooth: 0.05}\n"
		            "machine: {kind: manual, spindle: {speeds: [130]}%s, power_feed: {rates: %s}}\n",
		            cases[i].machine, cases[i].rates);
		assert_true(planning_open(&planning, text_end(&out)) && planning_plan(&planning, ALONG_X));
		weights = weigh(&planning.plan);
		assert_int_equal(weigh_feeding(&planning.plan, &weights, false).setting / LENGTH_MM, cases[i].rough);
		assert_int_equal(weigh_feeding(&planning.plan, &weights, true).setting / LENGTH_MM, cases[i].skim);
		/* As if the motor were near its limit, or the grip. */
		weights.share = 0.95;
		assert_true(weigh_feeding(&planning.plan, &weights, false).setting <= planning.plan.rough.vf);
		weights.share            = 0;
		weights.grip.force_known = true;
		weights.margins          = (struct margins){ 2.6, 9 };
		assert_true(weigh_feeding(&planning.plan, &weights, false).setting <= planning.plan.rough.vf);
		weights.skim.h_max_mm = 0.025;
		assert_true(weigh_feeding(&planning.plan, &weights, true).setting != 16 * LENGTH_MM);
		planning_close(&planning);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_power_feed_may_be_faster_where_nothing_held_it_and_slower_until_it_rubs),
		cmocka_unit_test(the_deepest_roughing_cut_takes_its_power),
		cmocka_unit_test(below_its_base_speed_a_motor_gives_less),
		cmocka_unit_test(a_heavier_skim_counts),
		cmocka_unit_test(a_test_cut_may_be_the_deepest),
		cmocka_unit_test(without_roughing_only_the_skim_weighs),
		cmocka_unit_test(a_table_is_pulled_by_climb_milling_at_the_edge),
		cmocka_unit_test(the_worst_cut_is_the_deepest_that_slips),
		cmocka_unit_test(the_worst_cut_is_the_highest_that_tips),
		cmocka_unit_test(a_skim_can_be_the_worst),
		cmocka_unit_test(without_a_force_there_are_no_margins),
		cmocka_unit_test(roughness_is_that_of_the_skim_as_it_is_fed),
		cmocka_unit_test(flatness_is_across_the_travel),
		cmocka_unit_test(no_pass_of_any_cut_is_worse_than_what_was_weighed),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
