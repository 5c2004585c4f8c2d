#include "../external/programs.h"
#include "handles.h"
#include "recipe.h"

#include <math.h>

#include "skimcut/cutter.h"
#include "skimcut/dial.h"
#include "skimcut/trial.h"

static void
every_depth_is_held_to_the_cutters_least_limit(void **state)
{
	static const struct {
		struct recipe recipe;
		struct depths depths;
	} cases[] = {
		{ { 0 }, { 750000, 1250000, 250000 } },
		{ { .cutter = "cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide, max_depth: 1}" },
		  { 750000, 1000000, 250000 } },
		{ { .cutter = "cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide, max_depth: 0.0909}" },
		  { 90000, 90000, 90000 } },
		{ { .cutter = "cutter: {kind: end mill, diameter: 63, teeth: 5, edge: hss, max_depth: 2, flute_length: "
		              "0.7}" },
		  { 700000, 700000, 250000 } },
		{ { .cut = "cut: {test_cut: 0, rough: 2.0009, skim: 0.1239}" }, { 0, 2000000, 123000 } },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct planning planning;
		char            yaml[2048];

		assert_true(planned(&planning, &cases[i].recipe, yaml));
		assert_int_equal(planning.plan.depths.test, cases[i].depths.test);
		assert_int_equal(planning.plan.depths.rough, cases[i].depths.rough);
		assert_int_equal(planning.plan.depths.skim, cases[i].depths.skim);
		planning_close(&planning);
	}
}

static void
the_zero_is_where_the_job_says(void **state)
{
	static const struct {
		const char  *zero;
		struct point at;
	} cases[] = {
		{ "", { 0, 0, 18 * LENGTH_MM } },
		{ "zero: {x: left, y: front, z: bottom}", { 0, 0, 0 } },
		{ "zero: {x: centre, y: centre, z: top}", { 50 * LENGTH_MM, 20 * LENGTH_MM, 20 * LENGTH_MM } },
		{ "zero: {x: right, y: back, z: finished}", { 100 * LENGTH_MM, 40 * LENGTH_MM, 18 * LENGTH_MM } },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct planning planning;
		char            yaml[2048];

		assert_true(planned(&planning, &(struct recipe){ .rest = cases[i].zero }, yaml));
		assert_int_equal(planning.plan.zero.x, cases[i].at.x);
		assert_int_equal(planning.plan.zero.y, cases[i].at.y);
		assert_int_equal(planning.plan.zero.z, cases[i].at.z);
		planning_close(&planning);
	}
}

static void
heights_are_on_the_grid_and_rounded_to_safety(void **state)
{
	static const struct recipe odd = { .stock    = "stock: {length: 100, width: 40, height: 20.0003}",
		                           .finished = "finished_height: 18.0006",
		                           .cut      = "cut: {clearance: 2.5002, retract: 25.0004}",
		                           .rest     = "zero: {z: bottom}" };
	struct planning            planning;
	char                       yaml[2048];

	(void)state;
	assert_true(planned(&planning, &odd, yaml));
	assert_int_equal(planning.plan.final, 18001000);
	assert_int_equal(planning.plan.safe, 22501000);
	assert_int_equal(planning.plan.retract, 45001000);
	planning_close(&planning);
}

/* Rapids pass over the tallest of stock, jaws and clamps; the cutter waits as far above the stock as the job says, or higher. */
static void
rapids_pass_above_whatever_stands_up(void **state)
{
	static const struct {
		const char *rest;
		Length      safe, retract;
	} cases[] = {
		{ "vise: {front_jaw: 10, rear_jaw: 10, jaw_width: 100}", 22500000, 45000000 },
		{ "hold: {clamps: [{x: -200, y: 0, length: 9, width: 9, height: 20}]}", 22500000, 45000000 },
		{ "hold: {clamps: [{x: -200, y: 0, length: 9, width: 9, height: 30.0001}]}", 32501000, 45000000 },
		{ "hold: {clamps: [{x: -200, y: 0, length: 9, width: 9, height: 42.5}, {x: -220, y: 0, length: 9, "
		  "width: 9, height: 30}]}",
		  45000000, 45000000 },
		{ "hold: {clamps: [{x: -200, y: 0, length: 9, width: 9, height: 30}, {x: -220, y: 0, length: 9, "
		  "width: 9, height: 60}]}",
		  62500000, 62500000 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct planning planning;
		char            yaml[2048];

		assert_true(planned(&planning, &(struct recipe){ .rest = cases[i].rest }, yaml));
		assert_int_equal(planning.plan.safe, cases[i].safe);
		assert_int_equal(planning.plan.retract, cases[i].retract);
		planning_close(&planning);
	}
}

/* What is proved of somebody's program is no wish about our own. */
static void
levels_change_nothing_in_a_plan(void **state)
{
	struct planning equal, any;
	char            yaml[2048], other[2048];

	(void)state;
	assert_true(planned(
	    &equal, &(struct recipe){ .finished = "finished_height: 14", .cut = "cut: {levels: equal}" }, yaml));
	assert_true(
	    planned(&any, &(struct recipe){ .finished = "finished_height: 14", .cut = "cut: {levels: any}" }, other));
	assert_int_equal(equal.job.cut.levels, LEVELS_EQUAL);
	assert_int_equal(any.job.cut.levels, LEVELS_ANY);
	assert_int_equal(equal.plan.schedule.count, any.plan.schedule.count);
	for (size_t i = 0; i < equal.plan.schedule.count; i++)
		assert_int_equal(equal.plan.schedule.cuts[i].floor, any.plan.schedule.cuts[i].floor);
	planning_close(&equal);
	planning_close(&any);
}

/* Nearest to 0.4 mm in steps of 1 mm is what the block stands on. */
static void
the_finished_height_never_becomes_the_bottom(void **state)
{
	static const struct recipe thin = { .stock    = "stock: {length: 100, width: 40, height: 5}",
		                            .finished = "finished_height: 0.4",
		                            .rest     = "zero: {z: bottom}",
		                            .cut      = "cut: {skim: 1, test_cut: 1, rough: 1.25}",
		                            .grid     = LENGTH_MM };
	struct planning            planning;
	char                       yaml[2048];

	(void)state;
	assert_true(!planned(&planning, &thin, yaml) || planning.plan.final > 0);
	planning_close(&planning);
}

/* What a corner of radius r leaves flat is D - 2 r wide; wider steps leave ridges between the passes. */
static void
passes_leave_no_ridge_from_a_round_corner(void **state)
{
	static const char *const cuts[] = { "cut: {stepover: 90 %}", "cut: {stepover: 70 %}",
		                            "cut: {pattern: zigzag}" };

	(void)state;
	for (size_t i = 0; i < sizeof cuts / sizeof cuts[0]; i++) {
		struct recipe   recipe = { .stock  = "stock: {length: 100, width: 300, height: 20}",
			                   .cutter = "cutter: {kind: face mill, diameter: 40, teeth: 3, edge: carbide, "
			                               "nose_radius: 8}",
			                   .cut    = cuts[i] };
		struct planning planning;
		char            yaml[2048];

		assert_true(planned(&planning, &recipe, yaml));
		assert_true(planning.plan.layout.passes > 1);
		assert_true(planning.plan.layout.pitch <= (40 - 2 * 8) * LENGTH_MM);
		planning_close(&planning);
	}
}

static void
the_skim_feeds_half_but_does_not_rub(void **state)
{
	static const struct {
		const char *material, *cut;
		Length      fz; /* um, before the feed is rounded to 1 mm/min: 505 rpm and 5 teeth make 0.4 um of it */
	} cases[] = {
		{ "feed_per_tooth: 0.3", "clearance: 2", 150 },
		{ "feed_per_tooth: 0.08", "clearance: 2", 50 },
		{ "feed_per_tooth: 0.04", "clearance: 2", 40 },
		{ "feed_per_tooth: 0.3", "skim_feed_per_tooth: 0.03", 30 },
		{ "feed_per_tooth: 0.3", "feed_per_tooth: 0.2", 100 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		char        material[128], cut[128], yaml[2048];
		struct text material_text = text_over(material, sizeof material), cut_text = text_over(cut, sizeof cut);
		struct planning planning;

		text_format(&material_text, "material: {group: N, cutting_speed: 100 m/min, %s}", cases[i].material);
		text_format(&cut_text, "cut: {%s}", cases[i].cut);
		assert_true(planned(
		    &planning, &(struct recipe){ .material = text_end(&material_text), .cut = text_end(&cut_text) },
		    yaml));
		assert_true(planning.plan.skim.fz <= cases[i].fz * 1000);
		assert_true(planning.plan.skim.fz > cases[i].fz * 1000 - 400);
		assert_ptr_equal(plan_rates(&planning.plan, planning.plan.schedule.count - 1), &planning.plan.skim);
		assert_ptr_equal(plan_rates(&planning.plan, 0), &planning.plan.rough);
		planning_close(&planning);
	}
}

static void
stops_follow_the_test_cut_and_come_before_the_skim(void **state)
{
	static const struct {
		const char *cut, *finished;
		const char *stops; /* of every cut, s: it stops behind it */
	} cases[] = {
		{ "cut: {measure: [test, skim]}", "finished_height: 18", "ss-" },
		{ "cut: {measure: [test, skim]}", "finished_height: 17.5", "s-s-" },
		{ "cut: {measure: [test, skim]}", "finished_height: 16", "s--s-" },
		{ "cut: {measure: [test]}", "finished_height: 16", "s----" },
		{ "cut: {measure: [skim]}", "finished_height: 16", "---s-" },
		{ "cut: {measure: []}", "finished_height: 16", "-----" },
		{ "cut: {measure: [test, skim]}", "finished_height: 19", "s-" },
		{ "cut: {measure: [test, skim]}", "finished_height: 19.8", "-" },
		{ "cut: {measure: [test], test_cut: 0}", "finished_height: 19", "--" },
		{ "cut: {measure: [skim], test_cut: 0}", "finished_height: 19", "s-" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct planning planning;
		char            yaml[2048];

		assert_true(
		    planned(&planning, &(struct recipe){ .cut = cases[i].cut, .finished = cases[i].finished }, yaml));
		assert_int_equal(planning.plan.schedule.count, strlen(cases[i].stops));
		for (size_t k = 0; k < planning.plan.schedule.count; k++)
			if (plan_stops_after(&planning.plan, k) != (cases[i].stops[k] == 's'))
				fail_msg("%s, %s: cut %zu", cases[i].cut, cases[i].finished, k + 1);
		assert_int_equal(plan_first_stop(&planning.plan), strcspn(cases[i].stops, "s"));
		planning_close(&planning);
	}
}

static void
the_pattern_follows_from_width_and_milling(void **state)
{
	static const struct {
		const char  *width, *cut;
		enum pattern pattern;
	} cases[] = {
		{ "56.7", "cut: {milling: climb}", PATTERN_SINGLE },
		{ "56.8", "cut: {milling: climb}", PATTERN_ONE_WAY },
		{ "56.8", "cut: {clearance: 2}", PATTERN_ONE_WAY },
		{ "56.8", "cut: {milling: either}", PATTERN_ZIGZAG },
		{ "40", "cut: {milling: either}", PATTERN_SINGLE },
		{ "40", "cut: {pattern: zigzag}", PATTERN_ZIGZAG },
		{ "40", "cut: {pattern: one-way}", PATTERN_ONE_WAY },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		char            stock[128], yaml[2048];
		struct text     out = text_over(stock, sizeof stock);
		struct planning planning;

		text_format(&out, "stock: {length: 100, width: %s, height: 20}", cases[i].width);
		assert_true(planned(&planning, &(struct recipe){ .stock = text_end(&out), .cut = cases[i].cut }, yaml));
		assert_int_equal(planning.plan.layout.pattern, cases[i].pattern);
		planning_close(&planning);
	}
}

/* The width that counts is the one across the passes. */
static void
a_cutter_is_chosen_for_the_width_across(void **state)
{
	static const struct recipe shop   = { .stock    = "stock: {length: 100, width: 40, height: 20}",
		                              .cutter   = "cutters:\n"
		                                            "  large: {kind: face mill, diameter: 125, teeth: 8, edge: hss}\n"
		                                            "  small: {kind: face mill, diameter: 50, teeth: 4, edge: hss}\n",
		                              .material = "material: aluminium" };
	struct recipe              across = shop;
	struct planning            planning;
	char                       yaml[2048];

	(void)state;
	assert_true(planned(&planning, &shop, yaml));
	assert_string_equal(planning.plan.cutter->bound.name, "small");
	planning_close(&planning);
	across.along = ALONG_Y;
	assert_true(planned(&planning, &across, yaml));
	assert_string_equal(planning.plan.cutter->bound.name, "large");
	planning_close(&planning);
}

static void
coolant_is_the_jobs_else_the_materials(void **state)
{
	static const struct {
		struct recipe recipe;
		enum coolant  coolant;
	} cases[] = {
		{ { .material = "material: aluminium" }, COOLANT_FLOOD },
		{ { .material = "material: aluminium", .cut = "cut: {coolant: none}" }, COOLANT_NONE },
		{ { .material = "material: aluminium", .cut = "cut: {coolant: mist}" }, COOLANT_MIST },
		{ { .material = "material: low-carbon steel" }, COOLANT_NONE },
		{ { .material = "material: low-carbon steel",
		    .cutter   = "cutter: {kind: face mill, diameter: 63, teeth: 5, edge: hss}" },
		  COOLANT_FLOOD },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct planning planning;
		char            yaml[2048];

		assert_true(planned(&planning, &cases[i].recipe, yaml));
		assert_int_equal(planning.plan.coolant, cases[i].coolant);
		planning_close(&planning);
	}
}

static void
a_rapid_rate_is_the_machines_or_a_cautious_guess(void **state)
{
	static const struct {
		const char *machine;
		Speed       rapid; /* mm/min */
	} cases[] = {
		{ "machine: {kind: cnc, feed: {rapid: 12000}}", 12000 },
		{ "machine: {kind: cnc}", 2500 },
		{ "machine: {kind: manual}", 500 },
		{ "machine: {kind: manual, feed: {rapid: 900}}", 900 },
		{ "", 2500 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct planning planning;
		char            yaml[2048];

		assert_true(planned(&planning, &(struct recipe){ .machine = cases[i].machine }, yaml));
		assert_int_equal(planning.plan.rapid, cases[i].rapid * LENGTH_MM);
		planning_close(&planning);
	}
}

/* --- by hand --- */

#define MANUAL(dials) "machine: {kind: manual, feed: {max: 5000}, dials: {" dials "}}"
#define KNEE          "knee: {per_turn: 2, graduation: 0.02}"
#define Y_DIAL        "y: {per_turn: 5, graduation: 0.05}"

/* From 20 mm to 18; the usual grid is 0.001 mm. */
static void
cuts_come_in_lines_of_the_knees_dial_where_the_skim_does(void **state)
{
	static const struct {
		const char *machine, *cut;
		Length      unit; /* um */
		Length      grid;
	} cases[] = {
		{ MANUAL(KNEE), "cut: {skim: 0.24}", 20, 0 },
		{ MANUAL(KNEE), "cut: {skim: 0.02, rough: 0.1, test_cut: 0.02}", 20, 0 },
		/* too few lines to divide */
		{ MANUAL(KNEE), "cut: {skim: 0.02, rough: 0.099, test_cut: 0.02}", 1, 0 },
		/* 12.5 lines */
		{ MANUAL(KNEE), "cut: {skim: 0.25}", 1, 0 },
		/* a cut of less than a line */
		{ MANUAL(KNEE), "cut: {skim: 0.24, test_cut: 0.019}", 1, 0 },
		{ MANUAL(KNEE), "cut: {skim: 0.24, test_cut: 0.02}", 20, 0 },
		{ MANUAL(KNEE), "cut: {skim: 0.24, test_cut: 0}", 20, 0 },
		/* no whole number of what the program can tell */
		{ MANUAL("knee: {per_turn: 0.1 in, graduation: 0.001 in}"), "cut: {skim: 0.254}", 1, 0 },
		{ MANUAL(KNEE), "cut: {skim: 0.24}", 20, 10000 },
		{ MANUAL("knee: {per_turn: 1, graduation: 0.01}"), "cut: {skim: 0.24}", 10, 10000 },
		{ MANUAL("knee: {per_turn: 1, graduation: 0.01}"), "cut: {skim: 0.24}", 20, 20000 },
		/* another dial, none, or a control's */
		{ MANUAL(Y_DIAL), "cut: {skim: 0.24}", 1, 0 },
		{ "machine: {kind: manual}", "cut: {skim: 0.24}", 1, 0 },
		{ "machine: {kind: cnc, dials: {" KNEE "}}", "cut: {skim: 0.24}", 1, 0 },
		{ "", "cut: {skim: 0.24}", 1, 0 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct recipe   recipe = { .machine = cases[i].machine, .cut = cases[i].cut, .grid = cases[i].grid };
		struct planning planning;
		char            yaml[2048];

		assert_true(planned(&planning, &recipe, yaml));
		if (planning.plan.depth_unit != cases[i].unit * 1000)
			fail_msg("row %zu: cuts in units of %lld nm", i, (long long)planning.plan.depth_unit);
		planning_close(&planning);
	}
}

/* Of the depths that it is asked about, which need not be the plan's own. */
static void
the_unit_of_other_depths_is_their_own(void **state)
{
	static const struct {
		struct depths depths;
		Length        unit;
	} CASES[] = {
		{ { 300000, 1000000, 240000 }, 20000 }, { { 0, 1000000, 240000 }, 20000 },
		{ { 300000, 1000000, 250000 }, 1000 },  { { 19000, 1000000, 240000 }, 1000 },
		{ { 300000, 99000, 80000 }, 1000 },     { { 300000, 100000, 80000 }, 20000 },
	};
	static const struct recipe recipe = { .machine = MANUAL(KNEE), .cut = "cut: {skim: 0.25}" };
	struct planning            planning;
	char                       yaml[2048];

	(void)state;
	assert_true(planned(&planning, &recipe, yaml));
	assert_int_equal(planning.plan.depth_unit, 1000);
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++)
		assert_int_equal(plan_depth_unit(&planning.plan, &CASES[i].depths), CASES[i].unit);
	planning_close(&planning);
}

/* 100 x 40 mm. */
static void
the_width_is_that_across_the_passes(void **state)
{
	struct planning planning;
	char            yaml[2048];

	(void)state;
	assert_true(planned(&planning, &(struct recipe){ .along = ALONG_X }, yaml));
	assert_int_equal(plan_width(&planning.plan), 40 * LENGTH_MM);
	planning_close(&planning);
	assert_true(planned(&planning, &(struct recipe){ .along = ALONG_Y }, yaml));
	assert_int_equal(plan_width(&planning.plan), 100 * LENGTH_MM);
	planning_close(&planning);
}

/* A cutter of 63 overlaps by 3.15 and steps over by 44.1 at the most. */
static void
passes_come_in_lines_of_the_dial_across_where_it_is_fine_enough(void **state)
{
	static const struct {
		const char *machine, *cut, *cutter;
		enum along  along;
		Length      unit; /* um */
	} cases[] = {
		{ MANUAL(Y_DIAL), NULL, NULL, ALONG_X, 50 },
		{ MANUAL(Y_DIAL), NULL, NULL, ALONG_Y, 1 },
		{ MANUAL("x: {per_turn: 5, graduation: 0.02}"), NULL, NULL, ALONG_Y, 20 },
		{ MANUAL(Y_DIAL ", x: {per_turn: 5, graduation: 0.02}"), NULL, NULL, ALONG_X, 50 },
		{ MANUAL(KNEE), NULL, NULL, ALONG_X, 1 },
		{ "machine: {kind: cnc, dials: {" Y_DIAL "}}", NULL, NULL, ALONG_X, 1 },
		/* a line over half of the overlap */
		{ MANUAL("y: {per_turn: 10, graduation: 0.1}"), NULL,
		  "cutter: {kind: end mill, diameter: 4, teeth: 4, edge: hss}", ALONG_X, 100 },
		{ MANUAL("y: {per_turn: 10, graduation: 0.1}"), NULL,
		  "cutter: {kind: end mill, diameter: 3.9, teeth: 4, edge: hss}", ALONG_X, 1 },
		/* and one of over a twentieth of the stepover */
		{ MANUAL("y: {per_turn: 10, graduation: 0.5}"), "cut: {stepover: 20 %}",
		  "cutter: {kind: face mill, diameter: 50, teeth: 4, edge: hss}", ALONG_X, 500 },
		{ MANUAL("y: {per_turn: 10, graduation: 0.5}"), "cut: {stepover: 19.99 %}",
		  "cutter: {kind: face mill, diameter: 50, teeth: 4, edge: hss}", ALONG_X, 1 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct recipe   recipe = { .machine = cases[i].machine,
			                   .cut     = cases[i].cut,
			                   .cutter  = cases[i].cutter,
			                   .along   = cases[i].along,
			                   .stock   = "stock: {length: 100, width: 90, height: 20}" };
		struct planning planning;
		char            yaml[2048];

		assert_true(planned(&planning, &recipe, yaml));
		if (planning.plan.pass_unit != cases[i].unit * 1000)
			fail_msg("row %zu: passes in units of %lld nm", i, (long long)planning.plan.pass_unit);
		assert_int_equal(planning.plan.layout.pitch % planning.plan.pass_unit, 0);
		planning_close(&planning);
	}
}

/* A last pass that rounds out by a whole line may not cut mostly the other way, nor leave a ridge. */
static void
a_stepover_leaves_room_for_the_lines_that_passes_come_in(void **state)
{
	static const struct recipe recipe = {
		.material = "material: aluminium",
		.stock    = "stock: {length: 16, width: 219.8, height: 32.8}",
		.finished = "finished_height: 32.3",
		.cutter   = "cutter: {kind: shell mill, diameter: 5.18, teeth: 5, edge: hss, nose_radius: 0.5009}",
		.machine  = "machine: {kind: manual, dials: {y: {per_turn: 12.5, graduation: 0.1}}}",
		.cut      = "cut: {along: x, stepover: 79 %}",
	};
	struct planning planning;
	char            yaml[2048];

	(void)state;
	assert_true(planned(&planning, &recipe, yaml));
	assert_int_equal(planning.plan.pass_unit, 100000);
	assert_true(planning.plan.layout.pitch <= 5180000 - 2 * 500900 - 500900 - 200000);
	for (int64_t i = 0; i < planning.plan.layout.passes; i++)
		assert_false(layout_pass(&planning.plan.layout, i).climb);
	planning_close(&planning);
}

/* Floors are whole lines above the finished one, so that only the first cut takes what the top stands above a line. */
static void
lines_check(const struct plan *plan, Length line, uint64_t seed)
{
	const struct schedule *schedule = &plan->schedule;
	const struct settings *cut      = &plan->job->cut;
	Length                 least = LENGTH_MAX, most = 0, at = plan->job->stock.height;

	for (size_t i = 0; i < schedule->count; i++) {
		Length depth = schedule->cuts[i].top - schedule->cuts[i].floor;

		holds(seed, schedule->cuts[i].top == at && depth > 0);
		at = schedule->cuts[i].floor;
		holds(seed, (at - plan->final) % line == 0);
		holds(seed, i == 0 || depth % line == 0);
		holds(seed, depth <= (schedule->cuts[i].kind == CUT_TEST    ? cut->test_cut
		                      : schedule->cuts[i].kind == CUT_ROUGH ? cut->rough
		                                                            : cut->skim));
		if (schedule->cuts[i].kind == CUT_ROUGH) {
			least = smaller(least, depth);
			most  = depth > most ? depth : most;
		}
	}
	holds(seed, at == plan->final);
	holds(seed, most == 0 || most - least <= line);
}

static void
passes_check(const struct plan *plan, Length line, uint64_t seed)
{
	const struct cutter *cutter = plan->cutter;
	const struct layout *layout = &plan->layout;
	struct strip         last   = layout_strip(layout, layout->passes - 1, cutter->diameter, plan_width(plan));
	Length               middle = layout->first + (layout->passes - 1) * layout->pitch * layout->side;

	holds(seed, layout->side > 0 ? middle + last.to == plan_width(plan) : middle + last.from == 0);
	if (layout->pattern != PATTERN_SINGLE) {
		holds(seed, layout->pitch <= cutter->diameter * plan->job->cut.stepover_ratio / RATIO_ONE);
		holds(seed,
		      layout->pitch <= cutter->diameter - cutter_overlap(cutter) - cutter->nose_radius - 2 * line);
	}
	for (int64_t i = 0; i < plan->layout.passes; i++) {
		struct pass pass = layout_pass(&plan->layout, i);

		holds(seed, (plan->layout.along == ALONG_X ? pass.from.y - plan->zero.y : pass.from.x - plan->zero.x) %
		                    line ==
		                0);
	}
}

static void
random_manual_plans_are_set_in_whole_lines(void **state)
{
	uint64_t random = 4135667696, whole = 0, odd = 0, across = 0;

	(void)state;
	for (int i = 0; i < 800; i++) {
		const uint64_t     seed  = random;
		struct handle      knee  = random_handle(&random);
		enum along         along = i % 2 ? ALONG_X : ALONG_Y;
		char               yaml[4096];
		struct text        out = text_over(yaml, sizeof yaml);
		struct planning    planning;
		const struct plan *plan = &planning.plan;

		random_manual_job(&random, "pad", &knee, &out);
		holds(seed, planning_open(&planning, yaml));
		if (planning_plan(&planning, along)) {
			Length grid = plan->grid.length, line = dial_across(&planning.job.machine, along)->graduation;
			bool   fine = line > 0 && 2 * line <= cutter_overlap(plan->cutter) &&
			            20 * line <= plan->cutter->diameter * 3 / 10; /* no stepover is less here */

			if (knee.line % grid == 0 && plan->depths.skim % knee.line == 0 &&
			    plan->depths.rough >= 5 * knee.line &&
			    (plan->depths.test == 0 || plan->depths.test >= knee.line)) {
				holds(seed, plan->depth_unit == knee.line);
				whole++;
			} else {
				holds(seed, plan->depth_unit == grid);
				odd++;
			}
			lines_check(plan, plan->depth_unit, seed);
			passes_check(plan, plan->pass_unit, seed);
			holds(seed, plan->pass_unit == grid || plan->pass_unit == line);
			if (fine && line % grid == 0) {
				holds(seed, plan->pass_unit == line);
				across++;
			}
		}
		planning_close(&planning);
	}
	assert_true(whole > 150 && odd > 100 && across > 100);
}

static void
plans_in_whole_lines_are_proved_in_every_dialect(void **state)
{
	uint64_t random = 1054571817, done = 0, whole = 0;
	size_t   dialects = 0;

	(void)state;
	while (SHIPPED_DIALECTS[dialects].name)
		dialects++;
	for (int i = 0; i < 240; i++) {
		const uint64_t seed  = random;
		struct handle  knee  = random_handle(&random);
		char          *yaml  = calloc(1, 4096);
		struct text    out   = text_over(yaml, 4096);
		struct trial   trial = { 0 };
		struct work    work;

		random_manual_job(&random, "pad", &knee, &out);
		if (work_open(&work, yaml, SHIPPED_DIALECTS[(size_t)i % dialects].name)) {
			struct planning *planning = &work.planning;

			lines_check(&planning->plan, planning->plan.depth_unit, seed);
			passes_check(&planning->plan, planning->plan.pass_unit, seed);
			work_write(&work);
			assert_true(trial_begin(&trial, &planning->job, &planning->plan, &work.dialect,
			                        &planning->arena, FINENESS_MIDDLE));
			trial_feed(&trial, work.text, strlen(work.text));
			if (!trial_end(&trial))
				fail_msg("seed %llu, %s: line %zu: %s\n%s", (unsigned long long)seed, work.dialect.name,
				         trial_first_refusal(&trial)->line, trial_first_refusal(&trial)->text, yaml);
			done++;
			whole += planning->plan.depth_unit == knee.line;
		}
		work_close(&work);
	}
	assert_true(done > 120 && whole > 40);
}

/*
 * 505 rev/min, 5 teeth: 252 whole mm/min with 0.1 mm, 126 with 0.05. Two cuts and a skim of 100 mm in one pass: 200 / 252 + 100 / 126
 * minutes. Of 126 mm at 44.1 mm a pass it is 126 / 44.1 as long, however many passes it takes.
 */
static void
the_least_time_is_the_face_swept_once_a_cut(void **state)
{
	static const struct recipe one = { 0 }, several = { .stock = "stock: {length: 100, width: 126, height: 20}" };
	struct planning            planning;
	char                       yaml[2048];

	(void)state;
	assert_true(planned(&planning, &one, yaml));
	assert_int_equal(planning.plan.schedule.count, 3);
	assert_true(fabs(plan_least_s(&planning.plan) - 60 * (200 / 252.0 + 100 / 126.0)) < 1e-3);
	planning_close(&planning);
	assert_true(planned(&planning, &several, yaml));
	assert_int_equal(planning.plan.layout.passes, 3);
	assert_int_equal(planning.plan.widest, 44100000);
	assert_true(fabs(plan_least_s(&planning.plan) - 126 / 44.1 * 60 * (200 / 252.0 + 100 / 126.0)) < 1e-3);
	planning_close(&planning);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_depth_is_held_to_the_cutters_least_limit),
		cmocka_unit_test(the_zero_is_where_the_job_says),
		cmocka_unit_test(heights_are_on_the_grid_and_rounded_to_safety),
		cmocka_unit_test(rapids_pass_above_whatever_stands_up),
		cmocka_unit_test(levels_change_nothing_in_a_plan),
		cmocka_unit_test(the_finished_height_never_becomes_the_bottom),
		cmocka_unit_test(passes_leave_no_ridge_from_a_round_corner),
		cmocka_unit_test(the_skim_feeds_half_but_does_not_rub),
		cmocka_unit_test(stops_follow_the_test_cut_and_come_before_the_skim),
		cmocka_unit_test(the_least_time_is_the_face_swept_once_a_cut),
		cmocka_unit_test(the_pattern_follows_from_width_and_milling),
		cmocka_unit_test(a_cutter_is_chosen_for_the_width_across),
		cmocka_unit_test(coolant_is_the_jobs_else_the_materials),
		cmocka_unit_test(a_rapid_rate_is_the_machines_or_a_cautious_guess),
		cmocka_unit_test(cuts_come_in_lines_of_the_knees_dial_where_the_skim_does),
		cmocka_unit_test(the_unit_of_other_depths_is_their_own),
		cmocka_unit_test(the_width_is_that_across_the_passes),
		cmocka_unit_test(passes_come_in_lines_of_the_dial_across_where_it_is_fine_enough),
		cmocka_unit_test(a_stepover_leaves_room_for_the_lines_that_passes_come_in),
		cmocka_unit_test(random_manual_plans_are_set_in_whole_lines),
		cmocka_unit_test(plans_in_whole_lines_are_proved_in_every_dialect),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
