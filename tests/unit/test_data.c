#include "planning.h"
#include "values.h"

#include "skimcut/data.h"

enum { BYTES = 1 << 19 };

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

static char printed[BYTES], again[BYTES];

static json_t *
data_open(struct planning *planning, const char *yaml)
{
	struct text  out = text_over(printed, sizeof printed);
	json_error_t error;
	json_t      *root;

	if (!planning_open(planning, yaml) || !planning_plan(planning, ALONG_X))
		fail_msg("%s", planning->diag.last->text);
	assert_true(data_json(&planning->plan, &planning->diag, &out));
	assert_false(out.failed);
	root = json_loads(text_end(&out), JSON_REJECT_DUPLICATES, &error);
	if (!root)
		fail_msg("%d: %s\n%s", error.line, error.text, printed);
	return root;
}

static void
a_job_in_inches_has_inches_beside_metres(void **state)
{
	struct planning planning;
	json_t         *root = data_open(&planning, INCH_JOB);

	(void)state;
	assert_int_equal(json_integer_value(at(root, "schema")), DATA_SCHEMA);
	text_is(root, "title", "pump foot");
	text_is(root, "units/job", "inch");
	text_is(root, "units/feed/job", "in/min");
	quantity_is(root, "stock/height", 0.02794, 1.1);
	quantity_is(root, "finished_height", 0.0254, 1);
	quantity_is(root, "comes_off", 0.00254, 0.1);
	quantity_is(root, "cutter/to_spare", 0.0127, 0.5);
	quantity_is(root, "zero/touch_z", 0.00254, 0.1);
	quantity_is(root, "heights/safe_z", 0.00508, 0.2);
	quantity_is(root, "passes/0/from/x", 0.19304, 7.6);
	quantity_is(root, "passes/0/to/x", -0.04064, -1.6);
	text_is(root, "passes/0/travel", "-x");
	assert_true(json_is_true(at(root, "passes/0/mixed")));
	json_decref(root);
	planning_close(&planning);
}

/* n = 120 m/min / (pi 63 mm) = 606, the next step down is 600: vc = pi 63 600 = 118.752 m/min. */
static void
a_job_in_millimetres_has_millimetres_beside_metres(void **state)
{
	struct planning planning;
	json_t         *root = data_open(&planning, MM_JOB);

	(void)state;
	text_is(root, "machine", "manual");
	text_is(root, "units/length/job", "mm");
	quantity_is(root, "stock/length", 0.16, 160);
	quantity_is(root, "comes_off", 0.002, 2);
	quantity_is(root, "zero/from_stock/x", 0.08, 80);
	quantity_is(root, "hold/obstacles/0/left", -0.11, -110);
	quantity_is(root, "hold/obstacles/0/right", -0.085, -85);
	quantity_is(root, "hold/obstacles/0/above_finished", -0.02, -20);
	quantity_is(root, "hold/obstacles/0/top_z", 0.02, 20);
	assert_int_equal(json_integer_value(at(root, "rough/rpm")), 600);
	is_near(root, "rough/cutting_speed/job", 118.752202);
	is_near(root, "rough/cutting_speed/si", 118.752202 / 60);
	is_near(root, "grip/force/si", 5000);
	is_near(root, "loads/motor/available/si", 1400);
	is_near(root, "loads/motor/available/job", 1.4);
	json_decref(root);
	planning_close(&planning);
}

/* Three cuts by hand, and two in a program: both stop. */
static void
what_the_page_says_in_words_is_there_in_words(void **state)
{
	static const struct {
		const char *yaml, *reason, *word;
		size_t      measuring;
	} CASES[] = {
		{ MM_JOB, "it keeps chips from sticking to the edges", "held", 2 },
		{ INCH_JOB "vise: {front_jaw: 0.6, rear_jaw: 0.6, jaw_width: 6, clamping_force: 2500 lbf}\n"
		           "parallels: [1/4 in]\n",
		  "coolant that comes and goes cracks hot carbide", "held fast", 2 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		struct planning planning;
		json_t         *root = data_open(&planning, CASES[i].yaml);

		text_is(root, "coolant_reason", CASES[i].reason);
		text_is(root, "grip/word", CASES[i].word);
		assert_int_equal(json_array_size(at(root, "measuring")), CASES[i].measuring);
		assert_non_null(strstr(json_string_value(at(root, "measuring/0")), "four corners and the middle"));
		json_decref(root);
		planning_close(&planning);
	}
}

static void
what_is_not_known_is_null(void **state)
{
	struct planning planning;
	json_t         *root = data_open(&planning, INCH_JOB);

	(void)state;
	assert_true(json_is_null(at(root, "machine")));
	assert_true(json_is_null(at(root, "told_height")));
	assert_true(json_is_null(at(root, "grip")));
	assert_true(json_is_null(at(root, "loads/motor")));
	assert_true(json_is_null(at(root, "handwork")));
	assert_true(json_is_null(at(root, "flatness/worst")));
	assert_true(json_is_null(at(root, "passes/0/dial")));
	json_decref(root);
	planning_close(&planning);
}

static void
remarks_have_their_place(void **state)
{
	struct planning planning;
	json_t         *root    = data_open(&planning, MM_JOB);
	const json_t   *remarks = at(root, "remarks");
	size_t          placed  = 0;

	(void)state;
	assert_int_equal(json_array_size(remarks),
	                 messages_of(&planning.diag, SEVERITY_NOTE) + messages_of(&planning.diag, SEVERITY_WARNING));
	for (size_t i = 0; i < json_array_size(remarks); i++) {
		const json_t *remark = json_array_get(remarks, i);

		if (!json_is_integer(at(remark, "line")))
			continue;
		placed++;
		text_is(remark, "file", "job.yaml");
		assert_true(json_integer_value(at(remark, "line")) <= 10);
	}
	assert_true(placed > 0);
	json_decref(root);
	planning_close(&planning);
}

/* No -0, and where one half of a quantity is 0, so is the other. */
static void
check_numbers(uint64_t seed, json_t *json)
{
	const json_t *si = json_object_get(json, "si"), *job = json_object_get(json, "job");
	const char   *key;
	json_t       *value;
	size_t        i;

	if (json_is_real(json))
		holds(seed, json_real_value(json) != 0 || !signbit(json_real_value(json)));
	if (json_is_real(si))
		holds(seed, (json_real_value(si) == 0) == (json_real_value(job) == 0));
	json_array_foreach(json, i, value) check_numbers(seed, value);
	json_object_foreach(json, key, value) check_numbers(seed, value);
}

static void
any_job_comes_back_whole(void **state)
{
	uint64_t random = 77001;
	int      told   = 0;

	(void)state;
	for (int i = 0; i < 300; i++) {
		uint64_t        seed = random;
		char            yaml[4096];
		struct text     text = text_over(yaml, sizeof yaml), out = text_over(printed, sizeof printed);
		struct planning planning;
		json_t         *root;

		random_job(&random, "two\\nlines \\\"quoted\\\" caf\xc3\xa9 \\e[31m", &text);
		if (planning_open(&planning, yaml) && planning_plan(&planning, ALONG_Y)) {
			const struct schedule *schedule = &planning.plan.schedule;

			holds(seed, data_json(&planning.plan, &planning.diag, &out) && !out.failed);
			root = json_loads(text_end(&out), JSON_REJECT_DUPLICATES, NULL);
			holds(seed, root != NULL);
			holds(seed, json_array_size(at(root, "cuts")) == schedule->count);
			holds(seed, (int64_t)json_array_size(at(root, "passes")) == planning.plan.layout.passes);
			for (size_t k = 0; k < schedule->count; k++) {
				double si = json_real_value(at(json_array_get(at(root, "cuts"), k), "height/si"));

				holds(seed, llround(si * 1e9) == schedule->cuts[k].floor);
			}
			check_numbers(seed, root);
			told++;
			json_decref(root);
		}
		planning_close(&planning);
	}
	assert_true(told > 100);
}

static json_t *
make(const void *context)
{
	const struct planning *planning = context;
	struct text            out      = text_over(again, sizeof again);

	return data_json(&planning->plan, &planning->diag, &out) ? json_string(text_end(&out)) : NULL;
}

static void
memory_that_runs_out_is_said(void **state)
{
	struct planning planning;

	(void)state;
	json_decref(data_open(&planning, MM_JOB));
	assert_true(fails_whole(make, &planning) > 500);
	planning_close(&planning);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_job_in_inches_has_inches_beside_metres),
		cmocka_unit_test(a_job_in_millimetres_has_millimetres_beside_metres),
		cmocka_unit_test(what_the_page_says_in_words_is_there_in_words),
		cmocka_unit_test(what_is_not_known_is_null),
		cmocka_unit_test(remarks_have_their_place),
		cmocka_unit_test(any_job_comes_back_whole),
		cmocka_unit_test(memory_that_runs_out_is_said),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
