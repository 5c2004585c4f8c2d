#include "recipe.h"

#include "skimcut/measured.h"

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
	/* 505 rpm, 5 teeth of 0.1 mm: 252.5 mm/min are 63 turns of 4 mm, and 60 are 94.8 m/min of a feed that may have been 253; of the saddle's handle along Y */
	{ { .machine = "machine: {kind: manual, dials: {x: {per_turn: 4, graduation: 0.05}}}" },
	  SEVERITY_WARNING,
	  "{x: {per",
	  "the feed would take 63 turns of the handle a minute, more than a hand keeps evenly: a cutting_speed of 94.8 "
	  "m/min or less brings it to 60" },
	{ { .machine = "machine: {kind: manual, dials: {y: {per_turn: 2, graduation: 0.05}}}",
	    .along   = ALONG_Y,
	    .cut     = "cut: {feed_per_tooth: 0.1}" },
	  SEVERITY_WARNING,
	  "{y: {per",
	  "the feed would take 126 turns of the handle a minute" },
	/* a table that is held to 200 mm/min is no slower for a slower spindle, nor is a spindle that has no slower speed */
	{ { .machine = "machine: {kind: manual, feed: {max: 200}, dials: {x: {per_turn: 2, graduation: 0.02}}}" },
	  SEVERITY_WARNING,
	  "{x: {per",
	  "keeps evenly: a smaller feed_per_tooth or fewer teeth bring it down" },
	{ { .machine = "machine: {kind: manual, spindle: {speeds: [900, 490]}, dials: {x: {per_turn: 2, graduation: "
	               "0.02}}}" },
	  SEVERITY_WARNING,
	  "{x: {per",
	  "keeps evenly: a smaller feed_per_tooth or fewer teeth bring it down" },
	/* a power feed without a setting near it leaves it to the hand */
	{ { .machine = "machine: {kind: manual, dials: {x: {per_turn: 4, graduation: 0.05}}, power_feed: {rates: "
	               "[20]}}" },
	  SEVERITY_WARNING,
	  "{x: {per",
	  "the feed would take 63 turns of the handle a minute" },
	/* a power feed of the other axis is none */
	{ { .machine = "machine: {kind: manual, dials: {x: {per_turn: 4, graduation: 0.05}}, power_feed: {rates: "
	               "[250], axes: y}}" },
	  SEVERITY_WARNING,
	  "{x: {per",
	  "the feed would take 63 turns of the handle a minute" },
	{ { .machine = "machine: {kind: cnc, dials: {x: {per_turn: 5, graduation: 0.05}}}" },
	  SEVERITY_NOTE,
	  "{kind: cnc",
	  "dials and power feed are for 'kind: manual'" },
	{ { .machine = "machine: {kind: cnc, power_feed: {rates: [50]}}" },
	  SEVERITY_NOTE,
	  "{kind: cnc",
	  "this machine has a control, and they were not looked at" },
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
		{ { .machine = "machine: {kind: manual, dials: {x: {per_turn: 5, graduation: 0.05}}}" },
		  "of the handle" },
		{ { .machine = "machine: {kind: manual, dials: {y: {per_turn: 4, graduation: 0.05}}}" },
		  "of the handle" },
		{ { .machine =
		        "machine: {kind: manual, dials: {x: {per_turn: 4, graduation: 0.05}}, power_feed: {rates: "
		        "[250]}}" },
		  "of the handle" },
		{ { .machine = "machine: {kind: cnc, dials: {x: {per_turn: 4, graduation: 0.05}}}" }, "of the handle" },
		{ { .machine =
		        "machine: {kind: manual, dials: {x: {per_turn: 5, graduation: 0.05}}, power_feed: {rates: "
		        "[50]}}" },
		  "not looked at" },
		{ { .machine = "machine: {kind: cnc}" }, "not looked at" },
		{ { .machine = "" }, "not looked at" },
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

/* Whoever takes the speed that is named has no such warning again, whatever the handle and the spindle's speeds. */
static void
a_cutting_speed_that_is_named_is_slow_enough_for_a_hand(void **state)
{
	static const char *const SPEEDS[] = { "max: 3000 rpm", "speeds: [40, 80, 135, 210, 325, 660, 1115, 1750]" };

	uint64_t random = 6674301, named = 0;

	(void)state;
	for (int i = 0; i < 300; i++) {
		const uint64_t        seed = random;
		char                  machine[256], material[128], cut[128], yaml[2048], speed[32] = "";
		struct text           out    = text_over(machine, sizeof machine);
		struct text           own    = text_over(material, sizeof material);
		struct recipe         recipe = { .machine = machine, .material = material };
		struct planning       planning;
		const struct message *message;

		text_format(&out,
		            "machine: {kind: manual, spindle: {%s}, dials: {x: {per_turn: %d um, graduation: %d um}}}",
		            SPEEDS[i % 2], (int)random_between(&random, 20, 500) * 10, 10);
		text_end(&out);
		text_format(&own, "material: {group: N, cutting_speed: %d m/min, feed_per_tooth: %d um}",
		            (int)random_between(&random, 60, 300), (int)random_between(&random, 50, 250));
		text_end(&own);
		if (planned(&planning, &recipe, yaml) &&
		    (message = message_with(&planning.diag, SEVERITY_WARNING, "a cutting_speed of "))) {
			const char *from = strstr(message->text, "a cutting_speed of ") + strlen("a cutting_speed of ");

			memcpy(speed, from, (size_t)(strstr(from, " or less") - from));
		}
		planning_close(&planning);
		if (!*speed)
			continue;
		named++;
		recipe.cut = cut;
		out        = text_over(cut, sizeof cut);
		text_format(&out, "cut: {clearance: 2.5, cutting_speed: %s}", speed);
		text_end(&out);
		if (planned(&planning, &recipe, yaml) &&
		    message_with(&planning.diag, SEVERITY_WARNING, "turns of the handle a minute"))
			fail_msg("seed %llu: at %s %s\n%s", (unsigned long long)seed, speed,
			         message_with(&planning.diag, SEVERITY_WARNING, "turns of the handle")->text, yaml);
		planning_close(&planning);
	}
	assert_true(named > 100);
}

/* Lines of a knee's dial may serve the first plan and not the second: with a test cut of less than a line there are none. */
static void
the_first_plan_is_that_which_was_made_then(void **state)
{
	static const struct recipe recipe = {
		.material = "material: {group: N, cutting_speed: 100 m/min, feed_per_tooth: 0.1}",
		.stock    = "stock: {length: 100, width: 40, height: 30.03}",
		.finished = "finished_height: 25",
		.cut      = "cut: {test_cut: 0.03, rough: 0.5, skim: 0.25}",
		.machine  = "machine: {kind: manual, dials: {knee: {per_turn: 1, graduation: 0.05}}}",
	};
	struct planning planning;
	char            yaml[2048];

	(void)state;
	assert_true(planning_open(&planning, yaml_of(&recipe, yaml, sizeof yaml)));
	assert_true(measured_take(&planning.job, "29.98", &planning.diag));
	assert_true(planning_plan(&planning, ALONG_X));
	assert_non_null(
	    message_with(&planning.diag, SEVERITY_NOTE, "0.02 mm less than the 30 mm that cut 1 was to leave"));
	assert_non_null(message_with(&planning.diag, SEVERITY_NOTE, "of 0.5 mm at the most instead of 0.475 mm"));
	planning_close(&planning);
}

/*
 * From 20 mm to 16: 0.75, three of 1 mm, 0.25, so floors at 19.25, 18.25, 17.25, 16.25. Hand-worked. All that is noted, in order,
 * but for the holding, which is told nothing of.
 */
static const struct remeasured {
	const char *cut, *height, *notes[3];
} FOUND[] = {
	{ NULL,
	  "19.25",
	  { "planned anew from the 19.25 mm that were measured, what cut 1 was to leave: 4 cuts are left",
	    "no test cut again; roughing cuts as before, 1 mm at the most, and the same skim" } },
	/* 2.95 in three */
	{ NULL,
	  "19.2",
	  { "planned anew from the 19.2 mm that were measured, 0.05 mm less than the 19.25 mm that cut 1 was to leave: "
	    "4 cuts "
	    "are left",
	    "no test cut again; roughing cuts of 0.984 mm at the most instead of 1 mm, and the same skim" } },
	/* 3.07 in three */
	{ NULL,
	  "19.32",
	  { "planned anew from the 19.32 mm that were measured, 0.07 mm more than the 19.25 mm that cut 1 was to "
	    "leave: 4 cuts "
	    "are left",
	    "no test cut again; roughing cuts of 1.024 mm at the most instead of 1 mm, and the same skim" } },
	/* nearer to the second than to the first */
	{ NULL,
	  "18.7",
	  { "planned anew from the 18.7 mm that were measured, 0.45 mm more than the 18.25 mm that cut 2 was to leave: "
	    "3 cuts "
	    "are left",
	    "no test cut again; roughing cuts of 1.225 mm at the most instead of 1 mm, and the same skim" } },
	/* less than half of the test cut is off; 19.8 - 0.75 - 0.25 - 16 are 2.8, in three */
	{ NULL,
	  "19.8",
	  { "planned anew from the 19.8 mm that were measured, 0.55 mm more than the 19.25 mm that cut 1 was to leave: "
	    "5 cuts are left",
	    "the test cut is still to come; roughing cuts of 0.934 mm at the most instead of 1 mm, and the same "
	    "skim" } },
	/* the skim takes what would rub */
	{ NULL,
	  "16.3",
	  { "planned anew from the 16.3 mm that were measured, 0.05 mm more than the 16.25 mm that cut 4 was to leave: "
	    "1 cut is left",
	    "that cut is the skim, 0.3 mm deep" } },
	{ NULL,
	  "16.25",
	  { "planned anew from the 16.25 mm that were measured, what cut 4 was to leave: 1 cut is left",
	    "that cut is the skim, 0.25 mm deep" } },
	{ NULL,
	  "16.2",
	  { "planned anew from the 16.2 mm that were measured, 0.05 mm less than the 16.25 mm that cut 4 was to leave: "
	    "1 cut is "
	    "left",
	    "that cut is the skim, 0.2 mm deep" } },
	/* without a test cut: 3.75 in three of 1.25 */
	{ "cut: {test_cut: 0}",
	  "18.75",
	  { "planned anew from the 18.75 mm that were measured, what cut 1 was to leave: 3 cuts are left",
	    "roughing cuts as before, 1.25 mm at the most, and the same skim" } },
	/* 4 in all, of which 3.75 may be a test cut */
	{ "cut: {test_cut: 3.8, rough: 3.8}",
	  "17",
	  { "planned anew from the 17 mm that were measured, 0.75 mm more than the 16.25 mm that cut 1 was to leave: 2 "
	    "cuts "
	    "are left",
	    "no test cut again; roughing cuts of 0.75 mm at the most, where none was planned, and the same skim" } },
};

static void
what_a_measured_height_changes_is_noted(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof FOUND / sizeof FOUND[0]; i++) {
		struct recipe         recipe = { .finished = "finished_height: 16", .cut = FOUND[i].cut };
		struct planning       planning;
		char                  yaml[2048];
		const struct message *message;
		size_t                count = 0;

		assert_true(planning_open(&planning, yaml_of(&recipe, yaml, sizeof yaml)));
		assert_true(measured_take(&planning.job, FOUND[i].height, &planning.diag));
		assert_true(planning_plan(&planning, ALONG_X));
		for (message = planning.diag.first; message; message = message->next) {
			if (strstr(message->text, "how the part is held"))
				continue;
			assert_int_equal(message->severity, SEVERITY_NOTE);
			assert_int_equal(message->place.line, 0);
			assert_true(FOUND[i].notes[count] != NULL);
			assert_string_equal(message->text, FOUND[i].notes[count]);
			count++;
		}
		assert_null(FOUND[i].notes[count]);
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
		cmocka_unit_test(what_a_measured_height_changes_is_noted),
		cmocka_unit_test(a_cutting_speed_that_is_named_is_slow_enough_for_a_hand),
		cmocka_unit_test(the_first_plan_is_that_which_was_made_then),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
