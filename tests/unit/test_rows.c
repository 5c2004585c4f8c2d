#include "planning.h"
#include "values.h"

#include "skimcut/chips.h"
#include "skimcut/clock.h"
#include "skimcut/handwork.h"
#include "skimcut/rows.h"

/*
 * Worked by hand. 0.1000 in come off 1.1: a test cut of 0.030, the 0.060 left of roughing in two of 0.030, a skim of 0.010. The 3 in
 * cutter covers 2.5 in: one pass, 0.5 in to spare, three quarters of it, 0.375, on one side. It begins and ends the cutter's radius
 * and 0.1 of clearance beyond the ends: at 7.6 and -1.6.
 */
#define INCH_JOB                                                                                                       \
	"units: inch\ntitle: pump foot\nmaterial: low-carbon steel\nstock: {length: 6, width: 2.5, height: 1.1}\n"     \
	"finished_height: 1\ncutter: {kind: shell mill, diameter: 3, teeth: 5, edge: carbide, number: 7}\n"            \
	"cut: {along: x, test_cut: 0.03, rough: 0.03}\n"

/* Two passes by hand: knee 2 mm a turn in lines of 0.02, saddle 4 mm in lines of 0.05; cuts of 0.5, 1.25 and 0.25: one turn of the knee in all. */
#define MM_JOB                                                                                                         \
	"units: mm\ntitle: tap block\nmaterial: aluminium\nstock: {length: 160, width: 80, height: 42}\n"              \
	"finished_height: 40\ncutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide, nose_radius: 0.4}\n"    \
	"cut: {along: x, pattern: one-way, test_cut: 0.5, rough: 1.25, skim: 0.25, cutting_speed: 120}\n"              \
	"zero: {x: centre, y: front, z: bottom}\n"                                                                     \
	"machine: {kind: manual, spindle: {speeds: [200, 400, 600], power: 2 kW}, dials: {x: {per_turn: 5, "           \
	"graduation: 0.05}, y: {per_turn: 4, graduation: 0.05}, knee: {per_turn: 2, graduation: 0.02}}, "              \
	"power_feed: {rates: [100, 400]}}\n"                                                                           \
	"hold: {clamps: [{x: -30, y: 10, length: 25, width: 20, height: 20, force: 5 kN}]}\n"

static void
plan_open(struct planning *planning, const char *yaml)
{
	if (!planning_open(planning, yaml) || !planning_plan(planning, ALONG_X))
		fail_msg("%s", planning->diag.last->text);
}

static void
cuts_have_depth_height_and_what_is_left(void **state)
{
	static const double DEPTHS[] = { 0.03, 0.03, 0.03, 0.01 }, HEIGHTS[] = { 1.07, 1.04, 1.01, 1 };
	static const double LEFT[]  = { 0.07, 0.04, 0.01, 0 };
	static const char  *KINDS[] = { "test", "rough", "rough", "skim" };
	static const bool   STOPS[] = { true, false, true, false };
	struct planning     planning;
	json_t             *cuts;
	struct clock        clock;

	(void)state;
	plan_open(&planning, INCH_JOB);
	clock = (struct clock){ .rapid = planning.plan.rapid };
	cuts  = rows_cuts(&planning.plan, &clock);
	assert_int_equal(json_array_size(cuts), 4);
	for (size_t i = 0; i < 4; i++) {
		const json_t *cut = json_array_get(cuts, i);

		text_is(cut, "kind", KINDS[i]);
		assert_true(json_number_value(at(cut, "depth/job")) == DEPTHS[i]);
		assert_true(json_number_value(at(cut, "height/job")) == HEIGHTS[i]);
		assert_true(json_number_value(at(cut, "left/job")) == LEFT[i]);
		assert_true(json_number_value(at(cut, "z/job")) == LEFT[i]);
		assert_true(json_is_true(at(cut, "stop_after")) == STOPS[i]);
		assert_true(json_is_null(at(cut, "knee")) && json_is_null(at(cut, "up")));
	}
	assert_int_equal(clock.stops, 2);
	json_decref(cuts);
	planning_close(&planning);
}

/* Each cut's share of the time is taken between its own note and the next. */
static void
the_cuts_times_are_the_clocks(void **state)
{
	struct planning planning;
	struct clock    clock;
	double          feed_s = 0, rapid_s = 0;
	json_t         *cuts;

	(void)state;
	plan_open(&planning, INCH_JOB);
	clock = (struct clock){ .rapid = planning.plan.rapid };
	cuts  = rows_cuts(&planning.plan, &clock);
	for (size_t i = 0; i < json_array_size(cuts); i++) {
		feed_s += json_number_value(at(json_array_get(cuts, i), "feed_s"));
		rapid_s += json_number_value(at(json_array_get(cuts, i), "rapid_s"));
	}
	assert_true(clock.feed_s > 60 && fabs(feed_s - clock.feed_s) < 1e-6 * feed_s);
	assert_true(clock.rapid_s > 0 && fabs(rapid_s - clock.rapid_s) < 1e-6 * rapid_s);
	json_decref(cuts);
	planning_close(&planning);
}

/* 0.5 mm up: 25 lines of 0.02; 2 mm in all: one turn. */
static void
a_cut_has_the_reading_of_the_knee(void **state)
{
	struct planning planning;
	struct clock    clock;
	json_t         *cuts;

	(void)state;
	plan_open(&planning, MM_JOB);
	clock = (struct clock){ .rapid = planning.plan.rapid };
	cuts  = rows_cuts(&planning.plan, &clock);
	assert_int_equal(json_integer_value(at(cuts, "0/knee/turns")), 0);
	assert_true(json_real_value(at(cuts, "0/knee/graduations")) == 25);
	assert_true(json_is_false(at(cuts, "0/knee/back")));
	text_is(cuts, "0/knee/text", "0 turns + 25");
	assert_int_equal(json_integer_value(at(cuts, "2/knee/turns")), 1);
	quantity_is(cuts, "0/up", 0.0005, 0.5);
	quantity_is(cuts, "2/up", 0.002, 2);
	json_decref(cuts);
	planning_close(&planning);
}

/* The first pass of two is the farther one; its Y is a whole number of the saddle's lines. */
static void
a_pass_has_the_reading_of_the_dial_across_it(void **state)
{
	struct planning planning;
	json_t         *passes;

	(void)state;
	plan_open(&planning, MM_JOB);
	passes = rows_passes(&planning.plan);
	assert_int_equal(json_array_size(passes), 2);
	for (size_t i = 0; i < 2; i++) {
		const json_t *pass  = json_array_get(passes, i);
		double        y     = json_number_value(at(pass, "from/y/job"));
		double        turns = (double)json_integer_value(at(pass, "dial/turns"));
		double        lines = json_real_value(at(pass, "dial/graduations"));

		assert_true(fabs(turns * 4 + lines * 0.05 - fabs(y)) < 0.0026);
		assert_true(json_is_true(at(pass, "dial/back")) == (y < 0));
	}
	json_decref(passes);
	planning_close(&planning);
}

static void
a_list_of_sides_is(const json_t *list, unsigned sides)
{
	static const struct {
		enum side   side;
		const char *word;
	} WORDS[] = { { SIDE_RIGHT, "right" }, { SIDE_BACK, "back" }, { SIDE_LEFT, "left" }, { SIDE_FRONT, "front" } };
	const json_t *word;
	size_t        i, count = 0;

	for (size_t k = 0; k < sizeof WORDS / sizeof WORDS[0]; k++) {
		bool listed = false;

		json_array_foreach(list, i, word) listed |= strcmp(json_string_value(word), WORDS[k].word) == 0;
		assert_int_equal(listed, (sides & WORDS[k].side) != 0);
		count += listed;
	}
	assert_int_equal(json_array_size(list), count);
}

/* Of wide passes there and back, one of which leaves no side free. */
static void
chips_have_their_sides_and_stand_may_be_none(void **state)
{
	struct planning planning;
	json_t         *passes;
	size_t          nowhere = 0;

	(void)state;
	plan_open(&planning, "units: mm\nmaterial: brass\nstock: {length: 160, width: 105, height: 20.5}\n"
	                     "finished_height: 20\ncutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide}\n"
	                     "cut: {pattern: zigzag, stepover: 90 %, milling: either}\n");
	passes = rows_passes(&planning.plan);
	for (size_t i = 0; i < json_array_size(passes); i++) {
		struct chips  chips = chips_find(&planning.plan, (int64_t)i);
		const json_t *told  = at(json_array_get(passes, i), "chips");

		is_near(told, "x", chips.x);
		is_near(told, "y", chips.y);
		a_list_of_sides_is(at(told, "towards"), chips.towards);
		a_list_of_sides_is(at(told, "guard"), chips.guard);
		a_list_of_sides_is(at(told, "stand"), chips.stand);
		nowhere += json_array_size(at(told, "stand")) == 0;
	}
	assert_int_equal(nowhere, 1);
	json_decref(passes);
	planning_close(&planning);
}

static void
a_pass_that_cuts_nothing_has_no_chips(void **state)
{
	struct planning planning;
	json_t         *passes;
	size_t          none = 0;

	(void)state;
	plan_open(&planning, "units: mm\nmaterial: brass\nstock: {length: 60, width: 30, height: 20.5}\n"
	                     "finished_height: 20\ncutter: {kind: face mill, diameter: 40, teeth: 3, edge: carbide}\n"
	                     "cut: {stepover: 5 %, pattern: one-way}\n");
	passes = rows_passes(&planning.plan);
	for (size_t i = 0; i < json_array_size(passes); i++)
		none += json_is_null(at(json_array_get(passes, i), "chips"));
	assert_true(none > 0 && none < json_array_size(passes));
	json_decref(passes);
	planning_close(&planning);
}

static void
work_by_hand_is_told_in_turns_and_in_sentences(void **state)
{
	struct planning planning;
	char            room[1024];
	struct text     first = text_over(room, sizeof room);
	json_t         *handwork;
	double          vf;

	(void)state;
	plan_open(&planning, MM_JOB);
	handwork = rows_handwork(&planning.plan);
	quantity_is(handwork, "knee/per_turn", 0.002, 2);
	quantity_is(handwork, "across/graduation", 0.00005, 0.05);
	vf = (double)planning.plan.rough.vf / LENGTH_MM;
	is_near(handwork, "rough/turns_per_min", vf / 5);
	is_near(handwork, "rough/s_per_turn", 60 / (vf / 5));
	is_near(handwork, "rough/setting/job", 400);
	is_near(handwork, "rough/setting/si", 0.4 / 60);
	assert_true(json_is_true(at(handwork, "rough/power_feed")));
	assert_true(handwork_before(&planning.plan, 0, &first));
	text_is(handwork, "before/0", text_end(&first));
	assert_true(json_array_size(at(handwork, "before")) > 3);
	assert_true(json_array_size(at(handwork, "between")) > 0);
	assert_true(json_array_size(at(handwork, "stop")) > 0);
	json_decref(handwork);
	planning_close(&planning);
}

static void
without_a_stop_nothing_is_said_of_stops(void **state)
{
	struct planning planning;
	json_t         *handwork;

	(void)state;
	plan_open(&planning, "units: mm\nmaterial: brass\nstock: {length: 60, width: 30, height: 20.1}\n"
	                     "finished_height: 20\ncutter: {kind: face mill, diameter: 40, teeth: 3, edge: carbide}\n"
	                     "machine: {kind: manual}\n");
	handwork = rows_handwork(&planning.plan);
	assert_int_equal(json_array_size(at(handwork, "stop")), 0);
	assert_true(json_array_size(at(handwork, "before")) > 0);
	assert_true(json_is_null(at(handwork, "knee")));
	assert_true(json_is_null(at(handwork, "skim/turns_per_min")));
	assert_true(json_is_false(at(handwork, "skim/power_feed")));
	json_decref(handwork);
	planning_close(&planning);
}

static void
only_a_manual_machine_has_handwork(void **state)
{
	struct planning planning;
	json_t         *handwork, *passes;

	(void)state;
	plan_open(&planning, INCH_JOB);
	handwork = rows_handwork(&planning.plan);
	passes   = rows_passes(&planning.plan);
	assert_true(json_is_null(handwork));
	assert_true(json_is_null(at(passes, "0/dial")));
	json_decref(passes);
	planning_close(&planning);
}

static json_t *
all_rows(const void *context)
{
	const struct plan *plan  = context;
	struct clock       clock = { .rapid = plan->rapid };

	return json_add(json_add(json_add(json_array(), rows_cuts(plan, &clock)), rows_passes(plan)),
	                rows_handwork(plan));
}

static void
memory_that_runs_out_leaves_nothing(void **state)
{
	struct planning planning;

	(void)state;
	plan_open(&planning, MM_JOB);
	assert_true(fails_whole(all_rows, &planning.plan) > 300);
	planning_close(&planning);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(cuts_have_depth_height_and_what_is_left),
		cmocka_unit_test(the_cuts_times_are_the_clocks),
		cmocka_unit_test(a_cut_has_the_reading_of_the_knee),
		cmocka_unit_test(a_pass_has_the_reading_of_the_dial_across_it),
		cmocka_unit_test(chips_have_their_sides_and_stand_may_be_none),
		cmocka_unit_test(a_pass_that_cuts_nothing_has_no_chips),
		cmocka_unit_test(work_by_hand_is_told_in_turns_and_in_sentences),
		cmocka_unit_test(without_a_stop_nothing_is_said_of_stops),
		cmocka_unit_test(only_a_manual_machine_has_handwork),
		cmocka_unit_test(memory_that_runs_out_leaves_nothing),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
