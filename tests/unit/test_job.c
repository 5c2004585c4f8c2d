#include "planning.h"

#include <stdio.h>

#include "skimcut/materials.h"

static const char BASE[] = "units: inch\n"
			   "material: low-carbon steel\n"
			   "stock: {length: 6, width: 2.5, height: 1.100}\n"
			   "finished_height: 1.000\n"
			   "cutter: {kind: shell mill, diameter: 3, teeth: 5, edge: carbide}\n";

static const char SHOP[] = "units: mm\n"
			   "machine: {kind: cnc, spindle: {max: 8000}, feed: {max: 5000}}\n"
			   "cut: {clearance: 3, rough: 0.9}\n"
			   "cutters:\n"
			   "  face mill 63: {kind: face mill, diameter: 63, teeth: 5, edge: carbide}\n"
			   "  fly cutter: {kind: fly cutter, diameter: 80, edge: hss}\n";

/* A job with a shop, both in memory. */
struct visit {
	struct planning planning;
	struct source   shop;
	const char     *path; /* what the job asked for */
};

static const struct source *
visit_shop(void *context, const char *path, struct place place, struct arena *arena, struct diag *diag)
{
	struct visit *visit = context;

	(void)arena;
	visit->path = path;
	if (visit->shop.text)
		return &visit->shop;
	diag_add(diag, SEVERITY_ERROR, place, "there is no shop");
	return NULL;
}

static bool
visit_open(struct visit *visit, const char *job, const char *shop)
{
	struct planning *planning = &visit->planning;
	struct library   library  = { visit_shop, visit };

	*visit               = (struct visit){ .shop = { "shop.yaml", shop, shop ? strlen(shop) : 0, UNITS_NONE } };
	planning->diag.arena = &planning->arena;
	planning->source     = (struct source){ "job.yaml", job, strlen(job), UNITS_NONE };
	return job_read(&planning->source, &library, &planning->arena, &planning->job, &planning->diag);
}

static void
visit_close(struct visit *visit)
{
	planning_close(&visit->planning);
}

static void
a_short_job_has_its_defaults(void **state)
{
	struct planning   planning;
	const struct job *job = &planning.job;

	(void)state;
	assert_true(planning_open(&planning, BASE));
	assert_null(planning.diag.first);
	assert_string_equal(job->title, "untitled");
	assert_int_equal(job->units, UNITS_INCH);
	assert_string_equal(job->material.name, "low-carbon steel");
	assert_int_equal(job->stock.height - job->finished_height, LENGTH_INCH / 10);
	assert_int_equal(job->cutter.diameter, 3 * LENGTH_INCH);
	assert_int_equal(job->cutter.entering_angle_udeg, 90000000);
	assert_int_equal(job->cutter.nose_radius, LENGTH_INCH / 32);
	assert_int_equal(job->cutter.max_depth, 0);
	assert_int_equal(job->cutter.number, 1);
	assert_false(job->choose_cutter);
	assert_int_equal(job->cut.pattern, PATTERN_AUTO);
	assert_int_equal(job->cut.milling, MILLING_CONVENTIONAL);
	assert_int_equal(job->cut.stepover_ratio, 700000);
	assert_int_equal(job->cut.test_cut, 30 * 25400);
	assert_int_equal(job->cut.rough, 50 * 25400);
	assert_int_equal(job->cut.skim, 10 * 25400);
	assert_int_equal(job->cut.measure, 1u << MEASURE_TEST | 1u << MEASURE_SKIM);
	assert_int_equal(job->cut.clearance, LENGTH_INCH / 10);
	assert_int_equal(job->cut.retract, LENGTH_INCH);
	assert_int_equal(job->zero.z, ZERO_FINISHED);
	assert_string_equal(job->program.post, "rs274ngc");
	assert_int_equal(job->program.work_offset, 54);
	assert_null(job->machine.bound.node);
	assert_null(job->vise.bound.node);
	planning_close(&planning);
}

static void
the_job_wins_over_the_shop_key_by_key(void **state)
{
	static const char job_text[] = "units: inch\nshop: far/shop.yaml\nmaterial: brass\n"
				       "stock: {length: 6, width: 2.5, height: 1.1}\nfinished_height: 1\n"
				       "cutter: face mill 63\ncut: {rough: 0.040}\nmachine: {spindle: {max: 3000}}\n";

	struct visit      visit;
	const struct job *job = &visit.planning.job;

	(void)state;
	assert_true(visit_open(&visit, job_text, SHOP));
	assert_string_equal(visit.path, "far/shop.yaml");
	assert_int_equal(job->cut.rough, LENGTH_INCH / 25);
	assert_int_equal(job->cut.clearance, 3 * LENGTH_MM); /* the shop's own units */
	assert_int_equal(job->machine.kind, MACHINE_CNC);
	assert_int_equal(job->machine.spindle.max_rpm, 3000);
	assert_int_equal(job->machine.feeds.max, 5000 * LENGTH_MM);
	assert_int_equal(job->cutter.diameter, 63 * LENGTH_MM);
	assert_string_equal(job->cutter.bound.name, "face mill 63");
	assert_int_equal(job->cutters.count, 2);
	assert_int_equal(((const struct cutter *)job->cutters.items)[1].teeth, 1); /* a fly cutter has one */
	visit_close(&visit);
}

static void
no_cutter_named_leaves_the_choice_to_the_plan(void **state)
{
	static const char job_text[] = "units: inch\nshop: shop.yaml\nmaterial: brass\n"
				       "stock: {length: 6, width: 2.5, height: 1.1}\nfinished_height: 1\n";

	struct visit visit;

	(void)state;
	assert_true(visit_open(&visit, job_text, SHOP));
	assert_true(visit.planning.job.choose_cutter);
	visit_close(&visit);
}

static void
a_material_of_ones_own_serves_any_edge(void **state)
{
	static const char job_text[] =
	    "units: mm\nmaterial: {name: horn, group: N, cutting_speed: 80, feed_per_tooth: 0.2, "
	    "coolant: mist}\nstock: {length: 60, width: 20, height: 11}\nfinished_height: 10\n"
	    "cutter: {kind: end mill, diameter: 12, teeth: 2, edge: hss}\n";

	struct planning planning;

	(void)state;
	assert_true(planning_open(&planning, job_text));
	assert_string_equal(planning.job.material.name, "horn");
	assert_int_equal(planning.job.material.group, 'N');
	for (int edge = 0; edge < EDGES; edge++) {
		assert_int_equal(planning.job.material.with[edge].vc, 80000 * LENGTH_MM);
		assert_int_equal(planning.job.material.with[edge].fz, 200000);
		assert_int_equal(planning.job.material.with[edge].coolant, COOLANT_MIST);
	}
	planning_close(&planning);
}

static void
a_zigzag_makes_the_milling_either_unless_it_is_given(void **state)
{
	struct planning planning;
	char            yaml[1024];

	(void)state;
	snprintf(yaml, sizeof yaml, "%scut: {pattern: zigzag}\n", BASE);
	assert_true(planning_open(&planning, yaml));
	assert_int_equal(planning.job.cut.milling, MILLING_EITHER);
	planning_close(&planning);
}

static void
defaults_give_way_to_what_is_written(void **state)
{
	struct planning planning;
	char            yaml[1024];

	(void)state;
	snprintf(yaml, sizeof yaml, "%scut: {rough: 5 thou}\n", BASE);
	assert_true(planning_open(&planning, yaml));
	assert_int_equal(planning.job.cut.skim, 5 * 25400);
	assert_int_equal(planning.job.cut.test_cut, 5 * 25400);
	planning_close(&planning);
}

struct fault {
	const char *remove, *add; /* a line of BASE that begins so is left out; a line put behind */
	const char *at, *why;
};

static const struct fault FAULTS[] = {
	{ "units", "", NULL, "the job has no 'units'" },
	{ "units", "units: cubits", "cubits", "units cannot be 'cubits'" },
	{ "material", "material: low carbon steal", "low carbon", "did you mean 'low-carbon steel'?" },
	{ "material", "material: butter", "butter", "there is no material 'butter'; 'skimcut list materials'" },
	{ "finished", "finished_height: 1.2", "1.2", "above the stock, which is 1.1 in high" },
	{ "finished", "finished_height: 1.1", "1.1\n", "nothing to cut" },
	{ "cutter", "", NULL, "there is no cutter; describe one" },
	{ "cutter", "cutter: shell mill", "shell mill", "nor any 'cutters'" },
	{ "cutter", "cutter: {kind: end mill, diameter: 1, edge: hss}", "{kind: end", "no 'teeth'" },
	{ "cutter", "cutter: {kind: end mill, diameter: 1, teeth: 2, edge: hss, nose_radius: 0.3}", "0.3",
	  "leaves no flat face" },
	{ NULL, "cut: {rough: 20 thou, skim: 30 thou}", "30 thou", "the skim is deeper than a roughing cut" },
	{ NULL, "cut: {rough: 20 thou, test_cut: 30 thou}", "30 thou", "the test cut is deeper than a roughing cut" },
	{ NULL, "cut: {pattern: zigzag, milling: climb}", "climb", "a zigzag cuts conventional and climb in turn" },
	{ NULL, "cut: {retract: 0.05}", "0.05", "the retract height is less than the clearance" },
	{ NULL, "cut: {clearance: 2}", "2}", "the retract height is less than the clearance" },
	{ NULL, "machine: {kind: cnc, spindle: {min: 500, max: 400}}", "500",
	  "the slowest speed is above the fastest" },
	{ NULL, "machine: {kind: cnc, spindle: {max: 400, speeds: [80, 500]}}", "[80", "500 rpm is outside" },
	{ NULL, "vise: {front_jaw: 1}", "{front", "the vise has no 'rear_jaw'" },
};

static void
every_contradiction_is_said_at_its_place(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof FAULTS / sizeof FAULTS[0]; i++) {
		const struct fault   *fault = &FAULTS[i];
		char                  yaml[1024];
		struct text           out = text_over(yaml, sizeof yaml);
		struct planning       planning;
		const struct message *message;

		for (const char *line = BASE; *line; line = strchr(line, '\n') + 1)
			if (!fault->remove || strncmp(line, fault->remove, strlen(fault->remove)) != 0)
				text_bytes(&out, line, (size_t)(strchr(line, '\n') + 1 - line));
		text_format(&out, "%s\n", fault->add);
		if (planning_open(&planning, text_end(&out)))
			fail_msg("%s %s: read", fault->remove ? fault->remove : "", fault->add);
		message = message_with(&planning.diag, SEVERITY_ERROR, fault->why);
		if (!message)
			fail_msg("%s: %s", fault->add, planning.diag.first ? planning.diag.first->text : "");
		if (fault->at && !place_is_at(message->place, yaml, fault->at))
			fail_msg("%s: at %zu:%zu", fault->add, message->place.line, message->place.column);
		planning_close(&planning);
	}
}

struct shop_fault {
	const char *job, *shop;
	const char *file, *why;
};

static const struct shop_fault SHOP_FAULTS[] = {
	{ "units: mm\nshop: s\n", NULL, "job.yaml", "there is no shop" },
	{ "units: mm\nshop: s\n", "", "shop.yaml", "the file is empty" },
	{ "units: mm\nshop: s\n", "cut: {rough: 1}\n", "shop.yaml", "begins with its own 'units" },
	{ "units: mm\nshop: s\n", "units: furlongs\n", "shop.yaml", "begins with its own 'units" },
	{ "units: mm\nshop: s\n", "[1, 2]\n", "shop.yaml", "begins with its own 'units" },
	{ "units: mm\nshop: s\n", "units: mm\nshop: t\n", "shop.yaml", "cannot name another shop" },
	{ "shop: s\n", "units: mm\n", "job.yaml", "no 'units' of its own" },
	{ "units: mm\nshop: s\n", "units: inch\nmachine: {kind: robot}\n", "shop.yaml", "kind cannot be 'robot'" },
	{ "units: mm\nshop: s\ncut: {skim: x}\n", "units: inch\ncut: {rough: y}\n", "shop.yaml",
	  "rough: 'y' is not a number" },
	{ "units: mm\nshop: s\ncut: {skim: x}\n", "units: inch\ncut: {rough: y}\n", "job.yaml",
	  "skim: 'x' is not a number" },
	{ "units: mm\nshop: {a: b}\n", "units: mm\n", "job.yaml", "'shop' wants a text" },
	{ "units: mm\nshop:\n", "units: mm\n", "job.yaml", "'shop' has no value" },
};

static void
an_error_names_the_file_it_is_in(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof SHOP_FAULTS / sizeof SHOP_FAULTS[0]; i++) {
		const struct shop_fault *fault = &SHOP_FAULTS[i];
		struct visit             visit;
		const struct message    *message;

		assert_false(visit_open(&visit, fault->job, fault->shop));
		message = message_with(&visit.planning.diag, SEVERITY_ERROR, fault->why);
		if (!message)
			fail_msg("%s%s: %s", fault->job, fault->shop ? fault->shop : "",
			         visit.planning.diag.first ? visit.planning.diag.first->text : "");
		assert_string_equal(message->place.source->name, fault->file);
		visit_close(&visit);
	}
}

static void
an_empty_job_is_told_where_to_start(void **state)
{
	struct planning planning;

	(void)state;
	assert_false(planning_open(&planning, "\n \n"));
	assert_non_null(message_with(&planning.diag, SEVERITY_NOTE, "skimcut new"));
	planning_close(&planning);
}

static void
words_and_phrases_come_from_the_tables(void **state)
{
	(void)state;
	assert_string_equal(job_word(CUTTER_KINDS, CUTTER_FLY_CUTTER), "fly cutter");
	assert_string_equal(job_word(COOLANTS, 99), "");
	assert_string_equal(job_phrase(ZERO_XS, ZERO_LEFT), "the left edge");
	assert_string_equal(job_phrase(CUTTER_KINDS, CUTTER_FLY_CUTTER), "");
	assert_string_equal(job_mapping()->title, "the job");
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_short_job_has_its_defaults),
		cmocka_unit_test(the_job_wins_over_the_shop_key_by_key),
		cmocka_unit_test(no_cutter_named_leaves_the_choice_to_the_plan),
		cmocka_unit_test(a_material_of_ones_own_serves_any_edge),
		cmocka_unit_test(a_zigzag_makes_the_milling_either_unless_it_is_given),
		cmocka_unit_test(defaults_give_way_to_what_is_written),
		cmocka_unit_test(every_contradiction_is_said_at_its_place),
		cmocka_unit_test(an_error_names_the_file_it_is_in),
		cmocka_unit_test(an_empty_job_is_told_where_to_start),
		cmocka_unit_test(words_and_phrases_come_from_the_tables),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
