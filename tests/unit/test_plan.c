#include "planning.h"

/* A job of which only the named lines differ from the usual one; "" leaves a line out, NULL leaves it as it is. */
struct recipe {
	const char *material, *stock, *finished, *cutter, *cut, *machine, *rest;
	enum along  along;
	Length      grid;
};

static const struct recipe USUAL = {
	.material = "material: {group: N, cutting_speed: 100 m/min, feed_per_tooth: 0.1}",
	.stock    = "stock: {length: 100, width: 40, height: 20}",
	.finished = "finished_height: 18",
	.cutter   = "cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide}",
	.cut      = "cut: {clearance: 2.5}",
	.machine  = "machine: {kind: cnc, feed: {max: 5000}}",
	.rest     = "",
};

static const char *
line_of(const char *own, const char *usual)
{
	return own ? own : usual;
}

static const char *
yaml_of(const struct recipe *recipe, char *buffer, size_t size)
{
	struct text out = text_over(buffer, size);

	text_format(&out, "units: mm\n%s\n%s\n%s\n%s\n%s\n%s\n%s\n", line_of(recipe->material, USUAL.material),
	            line_of(recipe->stock, USUAL.stock), line_of(recipe->finished, USUAL.finished),
	            line_of(recipe->cutter, USUAL.cutter), line_of(recipe->cut, USUAL.cut),
	            line_of(recipe->machine, USUAL.machine), line_of(recipe->rest, USUAL.rest));
	return text_end(&out);
}

/* Close it in any case. */
static bool
planned(struct planning *planning, const struct recipe *recipe, char yaml[2048])
{
	struct grid grid = usual_grid(UNITS_MM);

	if (recipe->grid > 0)
		grid.length = recipe->grid;
	if (!planning_open(planning, yaml_of(recipe, yaml, 2048)))
		fail_msg("not a job: %s\n%s", planning->diag.first ? planning->diag.first->text : "", yaml);
	return plan_make(&planning->job, grid, recipe->along == ALONG_AUTO ? ALONG_X : recipe->along, &planning->arena,
	                 &planning->plan, &planning->diag);
}

/* `at`: where the message points, by the first place of these letters; NULL: at the file as a whole. */
struct remark {
	struct recipe recipe;
	enum severity severity;
	const char   *at, *part;
};

static const struct remark REMARKS[] = {
	{ { .finished = "finished_height: 18.0004", .rest = "zero: {z: bottom}" },
	  SEVERITY_NOTE,
	  "18.0004",
	  "the finished height becomes 18 mm" },
	{ { .material = "material: hardened steel",
	    .cutter   = "cutter: {kind: face mill, diameter: 63, teeth: 5, edge: hss}" },
	  SEVERITY_REFUSED,
	  "hardened steel",
	  "high-speed steel edges are not advised for hardened steel" },
	{ { .material = "material: {group: N, cutting_speed: 1 m/min, feed_per_tooth: 0.005}" },
	  SEVERITY_REFUSED,
	  "{kind: face",
	  "the feed would be slower than 1 mm/min" },
	{ { .machine = "machine: {kind: cnc, spindle: {min: 2000 rpm}}" },
	  SEVERITY_REFUSED,
	  "{min",
	  "the slowest speed, 2000 rpm" },
	{ { .machine = "machine: {kind: cnc, spindle: {min: 600 rpm}}" },
	  SEVERITY_WARNING,
	  "{min",
	  "600 rpm, which is faster than the 505 rpm wanted" },
	{ { .machine = "machine: {kind: cnc, spindle: {max: 400 rpm}}" },
	  SEVERITY_NOTE,
	  "{max",
	  "the spindle is at its fastest, 400 rpm" },
	{ { .machine = "machine: {kind: cnc, spindle: {speeds: [80, 400, 900]}}" },
	  SEVERITY_NOTE,
	  "{speeds",
	  "the next spindle speed down from 505 rpm is 400 rpm" },
	{ { .machine = "machine: {kind: cnc, feed: {max: 100}}" },
	  SEVERITY_NOTE,
	  "{max",
	  "the table is at its fastest feed, 100 mm/min" },
	{ { .cut    = "cut: {rough: 1.75}",
	    .cutter = "cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide, max_depth: 0.5}" },
	  SEVERITY_NOTE,
	  "1.75",
	  "rough becomes 0.5 mm, the deepest cut that the cutter allows" },
	{ { .cut    = "cut: {test_cut: 0.65}",
	    .cutter = "cutter: {kind: end mill, diameter: 63, teeth: 5, edge: carbide, flute_length: 0.5}" },
	  SEVERITY_NOTE,
	  "0.65",
	  "test_cut becomes 0.5 mm, the deepest cut that the cutter allows" },
	{ { .cut    = "cut: {skim: 0.65}",
	    .cutter = "cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide, max_depth: 0.6}" },
	  SEVERITY_NOTE,
	  "0.65",
	  "skim becomes 0.6 mm" },
	{ { .cut = "cut: {rough: 1.0005}" },
	  SEVERITY_NOTE,
	  "1.0005",
	  "rough becomes 1 mm, a whole number of the program's smallest steps" },
	{ { .cut = "cut: {skim: 0.07}", .grid = LENGTH_MM / 10 },
	  SEVERITY_REFUSED,
	  "0.07",
	  "skim is finer than 0.1 mm" },
	{ { .finished = "finished_height: 19.9993", .rest = "zero: {z: bottom}", .grid = LENGTH_MM / 1000 },
	  SEVERITY_NOTE,
	  "19.9993",
	  "one cut" },
	{ { .finished = "finished_height: 19.96", .rest = "zero: {z: bottom}", .grid = LENGTH_MM / 10 },
	  SEVERITY_REFUSED,
	  "19.96",
	  "what is to come off is less than 0.1 mm" },
	{ { .stock    = "stock: {length: 100, width: 40, height: 1000}",
	    .finished = "finished_height: 500",
	    .cut      = "cut: {rough: 0.04, skim: 0.03, test_cut: 0}" },
	  SEVERITY_REFUSED,
	  "0.04",
	  "taking off 500 mm would need more than 10000 cuts" },
	{ { .stock = "stock: {length: 100, width: 80, height: 20}", .cut = "cut: {pattern: single}" },
	  SEVERITY_REFUSED,
	  "single",
	  "one pass over 80 mm takes a cutter of 86.3 mm or more; this one is 63 mm" },
	{ { .cutter = "cutter: {kind: end mill, diameter: 10, teeth: 4, edge: hss, nose_radius: 0}",
	    .cut    = "cut: {test_cut: 1, rough: 1.25, skim: 1}",
	    .grid   = LENGTH_MM },
	  SEVERITY_REFUSED,
	  "{kind: end",
	  "the cutter is too small for steps of 1 mm" },
	{ { .stock  = "stock: {length: 100, width: 1000, height: 20}",
	    .cutter = "cutter: {kind: end mill, diameter: 1, teeth: 4, edge: hss, nose_radius: 0}",
	    .cut    = "cut: {stepover: 5 %}" },
	  SEVERITY_REFUSED,
	  "{kind: end",
	  "covering 1000 mm would take more than 10000 passes" },
	{ { .machine = "machine: {kind: cnc, travel: {x: 167.9}}" },
	  SEVERITY_REFUSED,
	  "167.9",
	  "the passes need 168 mm of travel in x, and the machine has 167.9 mm" },
	{ { .machine = "machine: {kind: cnc, travel: {y: 107.9}}", .along = ALONG_Y, .cut = "cut: {stepover: 90 %}" },
	  SEVERITY_REFUSED,
	  "107.9",
	  "the passes need 108 mm of travel in y" },
	/* 200 + 3.15 across in 44.1 mm: five passes, 40.63 apart */
	{ { .stock   = "stock: {length: 100, width: 200, height: 20}",
	    .machine = "machine: {kind: cnc, travel: {y: 162.5}}" },
	  SEVERITY_REFUSED,
	  "162.5",
	  "the passes need 162.52 mm of travel in y" },
	{ { .machine = "machine: {kind: cnc, travel: {z: 26.9}}" },
	  SEVERITY_REFUSED,
	  "26.9",
	  "the passes need 27 mm of travel in z" },
	{ { .cutter = "cutter: {kind: face mill, diameter: 80, teeth: 5, edge: carbide}" },
	  SEVERITY_WARNING,
	  "{kind: face",
	  "a 80 mm cutter is large for a width of 40 mm" },
	{ { .cut = "cut: {rough: 3.82}" }, SEVERITY_WARNING, "3.82", "roughing cuts over 3.81 mm" },
	{ { .cut = "cut: {milling: climb}", .machine = "machine: {kind: manual}" },
	  SEVERITY_WARNING,
	  "climb",
	  "climb milling pulls the table" },
	{ { .stock   = "stock: {length: 100, width: 90, height: 20}",
	    .cut     = "cut: {pattern: zigzag}",
	    .machine = "machine: {kind: manual}" },
	  SEVERITY_WARNING,
	  "zigzag",
	  "climb milling pulls the table" },
	{ { .material = "material: {group: P, cutting_speed: 100 m/min, feed_per_tooth: 0.1}",
	    .cut      = "cut: {coolant: flood}" },
	  SEVERITY_WARNING,
	  "flood",
	  "carbide on steel runs dry" },
	{ { .material = "material: {group: H, cutting_speed: 100 m/min, feed_per_tooth: 0.1, coolant: mist}" },
	  SEVERITY_WARNING,
	  "{clearance",
	  "carbide on steel runs dry" },
	{ { .cut = "cut: {measure: []}" }, SEVERITY_WARNING, "[]", "no stop to measure before the last cut" },
	{ { .cut = "cut: {measure: [test]}" }, SEVERITY_WARNING, "[test]", "no stop to measure before the last cut" },
	{ { .finished = "finished_height: 19.75" }, SEVERITY_NOTE, "19.75", "it all comes off in one cut" },
	{ { .cut = "cut: {test_cut: 0 mm}" }, SEVERITY_NOTE, "0 mm}", "there is no test cut" },
	{ { .machine = "" }, SEVERITY_NOTE, NULL, "no machine is described" },
	{ { 0 }, SEVERITY_NOTE, NULL, "how the part is held is not described" },
	{ { .rest = "vise: {front_jaw: 10, rear_jaw: 40, jaw_width: 100}\nparallels: [5, 9]" },
	  SEVERITY_REFUSED,
	  "{front_jaw",
	  "the rear jaw stands 13 mm above the finished face" },
	{ { .rest = "vise: {front_jaw: 10, rear_jaw: 10, jaw_width: 100}" },
	  SEVERITY_WARNING,
	  "{front_jaw",
	  "no clamping force is told" },
	{ { .rest = "hold: {clamps: [{x: 10, y: 10, length: 9, width: 9, height: 1}]}" },
	  SEVERITY_WARNING,
	  "{x: 10",
	  "no clamping force is told" },
	{ { .rest = "hold: {clamps: [{x: 10, y: 10, length: 9, width: 9, height: 19}]}" },
	  SEVERITY_REFUSED,
	  "{x: 10",
	  "clamp 1 stands 1 mm above the finished face" },
	{ { .rest = "hold: {clamps: [{x: -200, y: 0, length: 9, width: 9, height: 20}, {x: -300, y: 0, length: 9, "
	            "width: 9, height: 20.001}]}" },
	  SEVERITY_NOTE,
	  "{x: -300",
	  "clamp 2 stands 0.001 mm above the stock: rapid moves pass over it" },
	{ { .rest = "hold: {clamps: [{x: -200, y: 0, length: 9, width: 9, height: 43}]}" },
	  SEVERITY_NOTE,
	  "{x: -200",
	  "clamp 1 stands 23 mm above the stock: rapid moves pass over it, and the cutter waits above it" },
	{ { .rest = "vise: {front_jaw: 16, rear_jaw: 10, jaw_width: 100}" },
	  SEVERITY_WARNING,
	  "{front_jaw",
	  "the front jaw is only 2 mm below the finished face" },
};

static void
every_remark_has_its_situation_severity_and_place(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof REMARKS / sizeof REMARKS[0]; i++) {
		const struct remark  *remark = &REMARKS[i];
		struct planning       planning;
		char                  yaml[2048];
		bool                  made    = planned(&planning, &remark->recipe, yaml);
		const struct message *message = message_with(&planning.diag, remark->severity, remark->part);

		if (!message)
			fail_msg("nobody says '%s' about\n%s", remark->part, yaml);
		if (!place_is_at(message->place, yaml, remark->at))
			fail_msg("'%s' points at %zu:%zu of\n%s", remark->part, message->place.line,
			         message->place.column, yaml);
		assert_ptr_equal(message->place.source, &planning.source);
		assert_int_equal(made, remark->severity != SEVERITY_REFUSED);
		assert_int_equal(planning.diag.errors, remark->severity == SEVERITY_REFUSED);
		planning_close(&planning);
	}
}

/* The neighbours of the situations above in which nothing is to be said. */
static void
no_remark_appears_without_its_reason(void **state)
{
	static const struct {
		struct recipe recipe;
		const char   *part;
	} cases[] = {
		{ { .finished = "finished_height: 18.0004" }, "the finished height becomes" },
		{ { .machine = "machine: {kind: cnc, spindle: {min: 505 rpm, max: 505 rpm}}" }, "spindle" },
		{ { .machine = "machine: {kind: cnc, spindle: {speeds: [80, 505, 900]}}" }, "spindle" },
		{ { .machine = "machine: {kind: cnc, feed: {max: 253}}" }, "fastest feed" },
		{ { .cutter = "cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide, max_depth: 1.25}" },
		  "becomes" },
		{ { .machine = "machine: {kind: cnc, travel: {x: 168, y: 10, z: 27}}" }, "travel in" },
		{ { .cutter = "cutter: {kind: face mill, diameter: 65, teeth: 5, edge: carbide}" }, "is large" },
		{ { .cut = "cut: {rough: 3.81}" }, "rigid machine" },
		{ { .cut = "cut: {milling: climb}" }, "climb milling" },
		{ { .machine = "machine: {kind: manual}" }, "climb milling" },
		{ { .cut = "cut: {coolant: flood}" }, "carbide on steel" },
		{ { .material = "material: low-carbon steel",
		    .cutter   = "cutter: {kind: face mill, diameter: 63, teeth: 5, edge: hss}" },
		  "carbide on steel" },
		{ { .material = "material: low-carbon steel" }, "carbide on steel" },
		{ { .cut = "cut: {measure: [skim]}" }, "no stop to measure" },
		{ { .finished = "finished_height: 19.749" }, "one cut" },
		{ { .finished = "finished_height: 19.75", .cut = "cut: {test_cut: 0}" }, "no test cut" },
		{ { 0 }, "no machine is described" },
		{ { .rest = "vise: {front_jaw: 10, rear_jaw: 10, jaw_width: 100}" }, "how the part is held" },
		{ { .rest = "vise: {front_jaw: 15.5, rear_jaw: 10, jaw_width: 100}" }, "finished face" },
		{ { .rest = "vise: {front_jaw: 40, rear_jaw: 40, jaw_width: 100}\nparallels: [12, 24.5]" },
		  "finished face" },
		{ { .rest = "hold: {clamps: [{x: 10, y: 10, length: 9, width: 9, height: 1}]}" },
		  "how the part is held" },
		{ { .rest = "hold: {clamps: [{x: -200, y: 0, length: 9, width: 9, height: 20}]}" }, "above the stock" },
		{ { .rest = "hold: {clamps: [{x: -200, y: 0, length: 9, width: 9, height: 42.5}]}" },
		  "the cutter waits" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct planning planning;
		char            yaml[2048];

		if (!planned(&planning, &cases[i].recipe, yaml))
			fail_msg("no plan for\n%s", yaml);
		for (const struct message *message = planning.diag.first; message; message = message->next)
			if (strstr(message->text, cases[i].part))
				fail_msg("'%s' is said of\n%s", message->text, yaml);
		planning_close(&planning);
	}
}

static void
the_usual_job_has_one_note_and_no_more(void **state)
{
	struct planning planning;
	char            yaml[2048];

	(void)state;
	assert_true(planned(&planning, &USUAL, yaml));
	assert_int_equal(messages_of(&planning.diag, SEVERITY_NOTE), 1);
	assert_ptr_equal(planning.diag.first, planning.diag.last);
	planning_close(&planning);
}

/* A single pass cuts conventional when it may cut either way, so a manual machine's screws are safe from it. */
static void
a_plan_without_climb_does_not_warn_of_it(void **state)
{
	static const struct recipe either = { .cut = "cut: {milling: either}", .machine = "machine: {kind: manual}" };
	struct planning            planning;
	char                       yaml[2048];

	(void)state;
	assert_true(planned(&planning, &either, yaml));
	assert_int_equal(planning.plan.layout.passes, 1);
	assert_false(layout_pass(&planning.plan.layout, 0).climb);
	assert_null(message_with(&planning.diag, SEVERITY_WARNING, "climb milling"));
	planning_close(&planning);
}

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

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_remark_has_its_situation_severity_and_place),
		cmocka_unit_test(no_remark_appears_without_its_reason),
		cmocka_unit_test(the_usual_job_has_one_note_and_no_more),
		cmocka_unit_test(a_plan_without_climb_does_not_warn_of_it),
		cmocka_unit_test(every_depth_is_held_to_the_cutters_least_limit),
		cmocka_unit_test(the_zero_is_where_the_job_says),
		cmocka_unit_test(heights_are_on_the_grid_and_rounded_to_safety),
		cmocka_unit_test(rapids_pass_above_whatever_stands_up),
		cmocka_unit_test(levels_change_nothing_in_a_plan),
		cmocka_unit_test(the_finished_height_never_becomes_the_bottom),
		cmocka_unit_test(passes_leave_no_ridge_from_a_round_corner),
		cmocka_unit_test(the_skim_feeds_half_but_does_not_rub),
		cmocka_unit_test(stops_follow_the_test_cut_and_come_before_the_skim),
		cmocka_unit_test(the_pattern_follows_from_width_and_milling),
		cmocka_unit_test(a_cutter_is_chosen_for_the_width_across),
		cmocka_unit_test(coolant_is_the_jobs_else_the_materials),
		cmocka_unit_test(a_rapid_rate_is_the_machines_or_a_cautious_guess),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
