#include "planning.h"
#include "values.h"

#include "skimcut/weigh.h"
#include "skimcut/weighed.h"
#include "skimcut/weighing.h"

#define BLOCK                                                                                                          \
	"units: mm\nmaterial: aluminium\nstock: {length: 160, width: 80, height: 42}\nfinished_height: 40\n"           \
	"cutter: {kind: face mill, diameter: 100, teeth: 5, edge: carbide, nose_radius: 0.4}\n"
#define VISE "vise: {front_jaw: 30, rear_jaw: 30, jaw_width: 150, clamping_force: 20 kN}\n"

static void
weigh_open(struct planning *planning, const char *yaml, struct weights *weights)
{
	if (!planning_open(planning, yaml) || !planning_plan(planning, ALONG_X))
		fail_msg("%s", planning->diag.last->text);
	*weights = weigh(&planning->plan);
}

/* The figures are weigh's; their units are SI's and the job's. */
static void
loads_are_those_of_the_deepest_roughing_cut(void **state)
{
	struct planning planning;
	struct weights  weights;
	json_t         *loads;

	(void)state;
	weigh_open(&planning, BLOCK "machine: {kind: cnc, spindle: {power: 5 kW, efficiency: 80 %}}\n", &weights);
	loads = weighed_loads(&planning.plan, &weights);
	text_is(loads, "of", "rough");
	is_near(loads, "depth/job", (double)weights.rough_depth / LENGTH_MM);
	is_near(loads, "power/si", weights.rough.power_w);
	is_near(loads, "power/job", weights.rough.power_w / 1000);
	is_near(loads, "torque/si", weights.rough.torque_n_m);
	is_near(loads, "tooth_force/si", weights.rough.tooth_peak_n);
	is_near(loads, "chip/si", weights.rough.h_max_mm / 1000);
	is_near(loads, "motor/available/job", 4);
	is_near(loads, "motor/share", weights.share);
	text_is(loads, "motor/word", weights.share < 0.5 ? "easy" : "firm");
	json_decref(loads);
	planning_close(&planning);
}

static void
where_there_is_only_the_skim_it_is_weighed(void **state)
{
	struct planning planning;
	struct weights  weights;
	json_t         *loads;

	(void)state;
	weigh_open(
	    &planning,
	    "units: mm\nmaterial: aluminium\nstock: {length: 160, width: 80, height: 40.1}\nfinished_height: 40\n"
	    "cutter: {kind: face mill, diameter: 100, teeth: 5, edge: carbide}\n",
	    &weights);
	loads = weighed_loads(&planning.plan, &weights);
	text_is(loads, "of", "skim");
	quantity_is(loads, "depth", 0.0001, 0.1);
	is_near(loads, "power/si", weights.skim.power_w);
	assert_true(json_is_null(at(loads, "motor")));
	json_decref(loads);
	planning_close(&planning);
}

static void
a_share_and_a_margin_have_the_words_of_the_page(void **state)
{
	static const struct {
		double      share, slip, tip;
		const char *taken, *held;
	} CASES[] = {
		{ 0.49, 9, 5, "easy", "held fast" },
		{ 0.5, 5, 4.9, "firm", "held" },
		{ 0.79, 2.5, 8, "firm", "held" },
		{ 0.8, 8, 2.49, "near its limit", "too little" },
		{ 1.2, 0.1, 0.1, "near its limit", "too little" },
	};
	struct planning planning;
	struct weights  weights;

	(void)state;
	weigh_open(&planning, BLOCK VISE "machine: {kind: cnc, spindle: {power: 5 kW}}\n", &weights);
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		json_t *loads, *grip;

		weights.share   = CASES[i].share;
		weights.margins = (struct margins){ CASES[i].slip, CASES[i].tip };
		loads           = weighed_loads(&planning.plan, &weights);
		grip            = weighed_grip(&planning.plan, &weights);
		text_is(loads, "motor/word", CASES[i].taken);
		text_is(grip, "word", CASES[i].held);
		is_near(grip, "wanted", 2.5);
		json_decref(loads);
		json_decref(grip);
	}
	planning_close(&planning);
}

/* 12 mm of the part stand out of jaws of 30; 10 when 2 are off. */
static void
a_vise_tells_what_stands_out(void **state)
{
	struct planning planning;
	struct weights  weights;
	json_t         *grip;

	(void)state;
	weigh_open(&planning, BLOCK VISE, &weights);
	grip = weighed_grip(&planning.plan, &weights);
	quantity_is(grip, "depth", 0.03, 30);
	quantity_is(grip, "out_before", 0.012, 12);
	quantity_is(grip, "out_after", 0.01, 10);
	is_near(grip, "force/si", 20000);
	assert_int_equal(json_integer_value(at(grip, "cut")), weights.worst + 1);
	json_decref(grip);
	planning_close(&planning);
}

static void
what_nothing_pulls_at_has_no_margin_and_no_word(void **state)
{
	struct planning planning;
	struct weights  weights;
	json_t         *grip;

	(void)state;
	weigh_open(&planning, BLOCK VISE, &weights);
	weights.margins = (struct margins){ INFINITY, INFINITY };
	grip            = weighed_grip(&planning.plan, &weights);
	assert_true(json_is_null(at(grip, "slip_margin")));
	assert_true(json_is_null(at(grip, "tip_margin")));
	assert_true(json_is_null(at(grip, "word")));
	assert_true(json_is_object(at(grip, "force")));
	json_decref(grip);
	planning_close(&planning);
}

static void
what_is_not_described_is_null(void **state)
{
	static const char *const UNKNOWN[] = { "force", "cut", "slip_margin", "tip_margin", "word" };
	struct planning          planning;
	struct weights           weights;
	json_t                  *json;

	(void)state;
	weigh_open(&planning, BLOCK, &weights);
	json = weighed_grip(&planning.plan, &weights);
	assert_true(json_is_null(json));
	json = weighed_flatness(&planning.plan, &weights);
	assert_true(json_is_null(at(json, "worst")));
	assert_true(json_is_null(at(json, "met")));
	json_decref(json);
	planning_close(&planning);
	weigh_open(&planning, BLOCK "hold: {clamps: [{x: -30, y: 10, length: 25, width: 20, height: 20}]}\n", &weights);
	json = weighed_grip(&planning.plan, &weights);
	assert_true(json_is_null(at(json, "depth")));
	for (size_t i = 0; i < sizeof UNKNOWN / sizeof UNKNOWN[0]; i++)
		assert_true(json_is_null(at(json, UNKNOWN[i])));
	json_decref(json);
	planning_close(&planning);
}

/* What is wanted is met by the same figure, and by no larger one. */
static void
a_finish_is_met_up_to_what_is_wanted(void **state)
{
	struct planning planning;
	struct weights  weights;

	(void)state;
	weigh_open(
	    &planning,
	    BLOCK "machine: {kind: cnc, tram: {error: 0.02, over: 200}}\nfinish: {roughness: 1.6 um, flatness: 0.02}\n",
	    &weights);
	for (int step = -1; step <= 1; step++) {
		json_t *surface, *flatness;

		weights.roughness.ra_level_um = 1.6 + step * 0.001;
		weights.roughness.ra_proud_um = 1.6 + (step + 1) * 0.001;
		weights.flatness.worst_um     = 20 + step * 0.001;
		surface                       = weighed_surface(&planning.plan, &weights);
		flatness                      = weighed_flatness(&planning.plan, &weights);
		assert_int_equal(json_is_true(at(surface, "met_level")), step <= 0);
		assert_int_equal(json_is_true(at(surface, "met_proud")), step < 0);
		assert_int_equal(json_is_true(at(flatness, "met")), step <= 0);
		is_near(surface, "ra_wanted/si", 1.6e-6);
		is_near(flatness, "wanted/job", 20);
		json_decref(surface);
		json_decref(flatness);
	}
	planning_close(&planning);
}

struct weighing {
	const struct plan *plan;
	struct weights     weights;
};

static json_t *
all_of_it(const void *context)
{
	const struct weighing *weighing = context;
	json_t                *json     = json_array();

	json = json_add(json, weighed_loads(weighing->plan, &weighing->weights));
	json = json_add(json, weighed_grip(weighing->plan, &weighing->weights));
	json = json_add(json, weighed_surface(weighing->plan, &weighing->weights));
	return json_add(json, weighed_flatness(weighing->plan, &weighing->weights));
}

static void
memory_that_runs_out_leaves_nothing(void **state)
{
	struct planning planning;
	struct weighing weighing;

	(void)state;
	weigh_open(&planning,
	           BLOCK VISE "machine: {kind: cnc, spindle: {power: 5 kW}, tram: {error: 0.02, over: 200}}\n",
	           &weighing.weights);
	weighing.plan = &planning.plan;
	assert_true(fails_whole(all_of_it, &weighing) > 100);
	planning_close(&planning);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(loads_are_those_of_the_deepest_roughing_cut),
		cmocka_unit_test(where_there_is_only_the_skim_it_is_weighed),
		cmocka_unit_test(a_share_and_a_margin_have_the_words_of_the_page),
		cmocka_unit_test(a_vise_tells_what_stands_out),
		cmocka_unit_test(what_nothing_pulls_at_has_no_margin_and_no_word),
		cmocka_unit_test(what_is_not_described_is_null),
		cmocka_unit_test(a_finish_is_met_up_to_what_is_wanted),
		cmocka_unit_test(memory_that_runs_out_leaves_nothing),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
