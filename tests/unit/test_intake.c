#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdbool.h>
#include <string.h>

#include "planning.h"
#include "skimcut/intake.h"
#include "skimcut/job.h"
#include "skimcut/yaml.h"

#define HEAD                                                                                                           \
	"units: inch\n"                                                                                                \
	"material: low-carbon steel\n"                                                                                 \
	"stock: {length: 6, width: 2.5, height: 1.100}\n"                                                              \
	"finished_height: 1.000\n"
#define CUTTER_LINE "cutter: {kind: shell mill, diameter: 3, teeth: 5, edge: carbide}\n"
#define SHOP_LINE   "shop: shop.yaml\n"

/* A shelf with one shop's file on it. */
struct shelf {
	const char    *text; /* NULL: an empty shelf */
	struct source *opened;
};

static const struct source *
shelf_open(void *context, const char *path, struct place place, struct arena *arena, struct diag *diag)
{
	struct shelf *shelf = context;

	if (!shelf->text || strcmp(path, "shop.yaml") != 0) {
		diag_add(diag, SEVERITY_ERROR, place, "%s is not on the shelf", path);
		return NULL;
	}
	shelf->opened = arena_take(arena, sizeof *shelf->opened);
	if (!shelf->opened)
		return NULL;
	*shelf->opened = (struct source){ "shop.yaml", shelf->text, strlen(shelf->text), UNITS_NONE };
	return shelf->opened;
}

struct reading {
	struct arena  arena;
	struct diag   diag;
	struct source source;
	struct shelf  shelf;
	struct job    job;
	bool          ok;
};

/* Does not move once it is opened. `shop` NULL: there is none. */
static void
reading_open(struct reading *reading, const char *text, const char *shop)
{
	struct library library = { shelf_open, &reading->shelf };

	*reading            = (struct reading){ 0 };
	reading->diag.arena = &reading->arena;
	reading->source     = (struct source){ "job.yaml", text, strlen(text), UNITS_NONE };
	reading->shelf.text = shop;
	reading->ok         = intake_read(&reading->source, &library, &reading->arena, &reading->job, &reading->diag);
}

static void
expect_ok(const struct reading *reading)
{
	if (!reading->ok || reading->diag.first)
		fail_msg("%zu errors: %s", reading->diag.errors, reading->diag.first ? reading->diag.first->text : "");
}

static void
reading_close(struct reading *reading)
{
	arena_release(&reading->arena);
}

static void
what_a_job_leaves_out_has_its_default(void **state)
{
	static const struct {
		const char *text;
		Length      test_cut, rough, skim, clearance, retract, nose_radius;
		enum units  units;
	} cases[] = {
		{ HEAD CUTTER_LINE, 30 * 25400, 50 * 25400, 10 * 25400, 100 * 25400, 1000 * 25400, 793750, UNITS_INCH },
		{ "units: mm\nmaterial: brass\nstock: {length: 80, width: 40, height: 20}\nfinished_height: 18\n"
		  "cutter: {kind: shell mill, diameter: 50, teeth: 5, edge: carbide}\n",
		  750000, 1250000, 250000, 2500000, 25000000, 800000, UNITS_MM },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct reading    reading;
		const struct job *job = &reading.job;

		reading_open(&reading, cases[i].text, NULL);
		expect_ok(&reading);
		assert_int_equal(job->units, cases[i].units);
		assert_int_equal(reading.source.units, cases[i].units);
		assert_string_equal(job->title, "untitled");
		assert_null(job->shop);
		assert_int_equal(job->cut.test_cut, cases[i].test_cut);
		assert_int_equal(job->cut.rough, cases[i].rough);
		assert_int_equal(job->cut.skim, cases[i].skim);
		assert_int_equal(job->cut.clearance, cases[i].clearance);
		assert_int_equal(job->cut.retract, cases[i].retract);
		assert_int_equal(job->cut.pattern, PATTERN_AUTO);
		assert_int_equal(job->cut.milling, MILLING_CONVENTIONAL);
		assert_int_equal(job->cut.stepover_ratio, 700000);
		assert_int_equal(job->cut.along, ALONG_AUTO);
		assert_int_equal(job->cut.measure, 1u << MEASURE_TEST | 1u << MEASURE_SKIM);
		assert_int_equal(job->cut.cutting_speed, 0);
		assert_int_equal(job->cut.feed_per_tooth, 0);
		assert_false(schema_given(&job->cut.bound, "coolant"));
		assert_int_equal(job->cutter.nose_radius, cases[i].nose_radius);
		assert_int_equal(job->cutter.entering_angle_udeg, 90000000);
		assert_int_equal(job->cutter.number, 1);
		assert_int_equal(job->cutter.max_depth, 0);
		assert_string_equal(job->cutter.bound.name, "cutter");
		assert_false(job->choose_cutter);
		assert_int_equal(job->zero.x, ZERO_LEFT);
		assert_int_equal(job->zero.y, ZERO_FRONT);
		assert_int_equal(job->zero.z, ZERO_FINISHED);
		assert_string_equal(job->program.post, "rs274ngc");
		assert_int_equal(job->program.number, 0);
		assert_int_equal(job->program.work_offset, 54);
		assert_null(job->machine.bound.node);
		assert_null(job->vise.bound.node);
		assert_int_equal(job->parallels.count, 0);
		assert_int_equal(job->hold.clamps.count, 0);
		assert_int_equal(job->cut.levels, LEVELS_EQUAL);
		reading_close(&reading);
	}
}

static void
what_a_job_says_is_what_it_gets(void **state)
{
	struct reading       reading;
	const struct job    *job = &reading.job;
	const struct cutter *cutters;
	const struct clamp  *clamps;

	(void)state;
	reading_open(
	    &reading,
	    "units: inch\n"
	    "title: pump foot\n"
	    "material: {name: bell metal, group: N, cutting_speed: 90 m/min, feed_per_tooth: 0.1 mm, coolant: "
	    "mist}\n"
	    "stock: {length: 6, width: 64 mm, height: 1-1/8 in}\n"
	    "finished_height: 1\n"
	    "cutter: big\n"
	    "cutters:\n"
	    "  small: {kind: end mill, diameter: 3/4 in, teeth: 4, edge: hss, flute_length: 1.5}\n"
	    "  big: {kind: face mill, diameter: 4, teeth: 6, edge: carbide, entering_angle: 45 deg, number: 7}\n"
	    "  fly: {kind: fly cutter, diameter: 2, edge: hss}\n"
	    "cut: {pattern: zigzag, stepover: 60 %, along: y, measure: [], coolant: none, skim: 5 thou, levels: any}\n"
	    "zero: {x: right, y: centre, z: bottom}\n"
	    "program: {post: plain, number: 12, work_offset: G57}\n"
	    "machine:\n"
	    "  kind: manual\n"
	    "  spindle: {min: 80, max: 2720, speeds: [80, 660, 2720], power: 2 hp, efficiency: 75 %}\n"
	    "  feed: {max: 30, rapid: 100 in/min}\n"
	    "  travel: {x: 30, y: 12}\n"
	    "vise: {front_jaw: 2, rear_jaw: 2, jaw_width: 6, clamping_force: 2000 lbf}\n"
	    "parallels: [1/2 in, 1]\n"
	    "hold:\n"
	    "  clamps:\n"
	    "    - {x: -1-1/2 in, y: 0, length: 1, width: 20 mm, height: 7/8 in}\n"
	    "    - {x: 6, y: -5 mm, length: 1, width: 1, height: 1}\n",
	    NULL);
	expect_ok(&reading);
	assert_string_equal(job->title, "pump foot");
	assert_string_equal(job->material.name, "bell metal");
	assert_int_equal(job->material.group, 'N');
	assert_int_equal(job->material.with[EDGE_HSS].vc, 90000000000);
	assert_int_equal(job->material.with[EDGE_CARBIDE].fz, 100000);
	assert_int_equal(job->material.with[EDGE_CARBIDE].coolant, COOLANT_MIST);
	assert_int_equal(job->stock.width, 64000000);
	assert_int_equal(job->stock.height, 28575000);
	assert_string_equal(job->cutter.bound.name, "big");
	assert_int_equal(job->cutter.diameter, 101600000);
	assert_int_equal(job->cutter.number, 7);
	assert_int_equal(job->cutter.entering_angle_udeg, 45000000);
	assert_false(job->choose_cutter);
	assert_int_equal(job->cutters.count, 3);
	cutters = job->cutters.items;
	assert_int_equal(cutters[0].kind, CUTTER_END_MILL);
	assert_int_equal(cutters[0].flute_length, 38100000);
	assert_int_equal(cutters[2].teeth, 1);
	assert_int_equal(job->cut.milling, MILLING_EITHER);
	assert_int_equal(job->cut.measure, 0);
	assert_true(schema_given(&job->cut.bound, "coolant"));
	assert_int_equal(job->cut.skim, 127000);
	assert_int_equal(job->zero.x, ZERO_RIGHT);
	assert_int_equal(job->zero.y, ZERO_CENTRE_Y);
	assert_int_equal(job->zero.z, ZERO_BOTTOM);
	assert_int_equal(job->program.number, 12);
	assert_int_equal(job->program.work_offset, 57);
	assert_int_equal(job->machine.kind, MACHINE_MANUAL);
	assert_int_equal(job->machine.spindle.speeds.count, 3);
	assert_int_equal(job->machine.spindle.power_mw, 1491400);
	assert_int_equal(job->machine.feeds.max, 762000000);
	assert_int_equal(job->machine.feeds.rapid, 2540000000);
	assert_int_equal(job->machine.travel.x, 762000000);
	assert_int_equal(job->machine.travel.z, 0);
	assert_int_equal(job->vise.clamping_force_mn, 8896443);
	assert_int_equal(job->vise.friction_ratio, 150000);
	assert_int_equal(job->parallels.count, 2);
	assert_int_equal(job->cut.levels, LEVELS_ANY);
	assert_int_equal(job->hold.clamps.count, 2);
	clamps = job->hold.clamps.items;
	assert_int_equal(clamps[0].x, -38100000);
	assert_int_equal(clamps[0].y, 0);
	assert_int_equal(clamps[0].width, 20000000);
	assert_int_equal(clamps[0].height, 22225000);
	assert_int_equal(clamps[1].y, -5000000);
	assert_int_equal(clamps[1].length, 25400000);
	assert_null(clamps[1].bound.name);
	assert_int_equal(clamps[1].bound.place.line, clamps[0].bound.place.line + 1);
	reading_close(&reading);
}

static void
a_default_gives_way_to_what_the_job_says(void **state)
{
	struct reading reading;

	(void)state;
	reading_open(&reading, HEAD CUTTER_LINE "cut: {rough: 5 thou}\n", NULL);
	expect_ok(&reading);
	assert_int_equal(reading.job.cut.skim, 127000);
	assert_int_equal(reading.job.cut.test_cut, 127000);
	reading_close(&reading);
	reading_open(&reading, HEAD "cutter: {kind: end mill, diameter: 2 mm, teeth: 2, edge: hss}\n", NULL);
	expect_ok(&reading);
	assert_int_equal(reading.job.cutter.nose_radius, 0); /* an end mill's corner is sharp */
	reading_close(&reading);
	reading_open(&reading, HEAD "cutter: {kind: face mill, diameter: 2 mm, teeth: 2, edge: hss}\n", NULL);
	expect_ok(&reading);
	assert_int_equal(reading.job.cutter.nose_radius, 500000);
	reading_close(&reading);
	reading_open(&reading, HEAD CUTTER_LINE "cut: {pattern: one-way}\n", NULL);
	expect_ok(&reading);
	assert_int_equal(reading.job.cut.milling, MILLING_CONVENTIONAL);
	reading_close(&reading);
}

static void
what_is_just_equal_agrees(void **state)
{
	static const char *const texts[] = {
		HEAD CUTTER_LINE "cut: {rough: 0.02, skim: 0.02, test_cut: 0.02}\n",
		HEAD CUTTER_LINE "cut: {clearance: 0.5, retract: 0.5}\n",
		HEAD "cutter: {kind: end mill, diameter: 1, teeth: 2, edge: hss, nose_radius: 0.25}\n",
		HEAD CUTTER_LINE "machine: {kind: cnc, spindle: {min: 800, max: 800, speeds: [800]}}\n",
		HEAD CUTTER_LINE "machine: {kind: cnc, spindle: {min: 80}}\n",
	};

	(void)state;
	for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
		struct reading reading;

		reading_open(&reading, texts[i], NULL);
		expect_ok(&reading);
		reading_close(&reading);
	}
}

static void
as_many_clamps_as_a_table_holds_and_no_more(void **state)
{
	(void)state;
	for (int count = CLAMPS_MAX; count <= CLAMPS_MAX + 1; count++) {
		char           text[8192];
		struct text    out = text_over(text, sizeof text);
		struct reading reading;

		text_string(&out, HEAD CUTTER_LINE "hold:\n  clamps:\n");
		for (int i = 0; i < count; i++)
			text_format(&out, "    - {x: %d, y: -4, length: 1, width: 1, height: 1}\n", i - 20);
		reading_open(&reading, text_end(&out), NULL);
		assert_false(out.failed);
		if (count == CLAMPS_MAX) {
			expect_ok(&reading);
			assert_int_equal(reading.job.hold.clamps.count, CLAMPS_MAX);
		} else {
			assert_false(reading.ok);
			assert_int_equal(reading.diag.errors, 1);
			assert_string_equal(reading.diag.first->text, "there are 65 clamps; 64 are the most");
			assert_true(place_is_at(reading.diag.first->place, text, "{x: 44"));
		}
		reading_close(&reading);
	}
}

/* A list is taken whole: the shop's clamps are not the job's. */
static void
the_jobs_clamps_stand_instead_of_the_shops(void **state)
{
	static const char *const shop = "units: mm\n"
					"vise: {front_jaw: 40, rear_jaw: 40, jaw_width: 150}\n"
					"hold: {clamps: [{x: -90, y: 0, length: 40, width: 40, height: 20}]}\n";
	struct reading           reading;
	const struct clamp      *clamps;

	(void)state;
	reading_open(&reading, HEAD CUTTER_LINE SHOP_LINE, shop);
	expect_ok(&reading);
	assert_int_equal(reading.job.hold.clamps.count, 1);
	clamps = reading.job.hold.clamps.items;
	assert_int_equal(clamps[0].x, -90000000);
	assert_true(place_is_at(clamps[0].bound.place, shop, "{x: -90"));
	reading_close(&reading);
	reading_open(&reading, HEAD CUTTER_LINE SHOP_LINE "hold: {clamps: []}\n", shop);
	expect_ok(&reading);
	assert_int_equal(reading.job.hold.clamps.count, 0);
	assert_non_null(reading.job.vise.bound.node);
	reading_close(&reading);
}

static void
without_a_cutter_named_one_is_to_be_chosen(void **state)
{
	struct reading reading;

	(void)state;
	reading_open(&reading, HEAD "cutters: {fly: {kind: fly cutter, diameter: 4, edge: hss}}\n", NULL);
	expect_ok(&reading);
	assert_true(reading.job.choose_cutter);
	assert_int_equal(reading.job.cutters.count, 1);
	reading_close(&reading);
}

static void
the_shop_is_read_first_and_the_job_wins(void **state)
{
	static const char *const shop = "units: mm\n"
					"title: the shop's\n"
					"cutters:\n"
					"  face 80: {kind: face mill, diameter: 80, teeth: 6, edge: carbide}\n"
					"  shell 50: {kind: shell mill, diameter: 50, teeth: 5, edge: carbide}\n"
					"cut: {clearance: 3, rough: 2, retract: 30}\n"
					"machine: {kind: cnc, feed: {max: 1000, rapid: 5000}}\n"
					"parallels: [10, 20]\n";
	static const char *const text = HEAD SHOP_LINE "cutter: face 80\n"
						       "cut: {rough: 0.040}\n"
						       "cutters: {face 80: {teeth: 7}}\n"
						       "machine: {feed: {max: 20}}\n"
						       "parallels: [1]\n";
	struct reading                       reading;
	const struct job                    *job = &reading.job;

	(void)state;
	reading_open(&reading, text, shop);
	expect_ok(&reading);
	assert_int_equal(job->units, UNITS_INCH);
	assert_string_equal(job->shop, "shop.yaml");
	assert_string_equal(job->title, "the shop's");
	assert_int_equal(job->cut.rough, 1016000);
	assert_int_equal(job->cut.clearance, 3000000);
	assert_int_equal(job->cut.skim, 254000); /* a default is the job's */
	assert_int_equal(job->cutter.diameter, 80000000);
	assert_int_equal(job->cutter.teeth, 7);
	assert_string_equal(job->cutter.bound.name, "face 80");
	assert_int_equal(job->cutters.count, 2);
	assert_int_equal(job->machine.kind, MACHINE_CNC);
	assert_int_equal(job->machine.feeds.max, 508000000);
	assert_int_equal(job->machine.feeds.rapid, 5000000000);
	assert_int_equal(job->parallels.count, 1);
	assert_int_equal(job->parallels.values[0], 25400000);
	/* Every value knows which file it was written in. */
	assert_ptr_equal(schema_place(&job->cut.bound, "rough").source, &reading.source);
	assert_true(place_is_at(schema_place(&job->cut.bound, "rough"), text, "0.040"));
	assert_string_equal(schema_place(&job->cut.bound, "clearance").source->name, "shop.yaml");
	assert_true(place_is_at(schema_place(&job->cut.bound, "clearance"), shop, "3, rough"));
	reading_close(&reading);
}

/* One error each, in the job unless it says otherwise. `at` NULL: of the file as a whole. */
struct refusal {
	const char *text, *shop;
	bool        in_shop;
	const char *at, *part;
};

static void
expect_refused(const struct refusal *refusal)
{
	struct reading        reading;
	const struct message *message;

	reading_open(&reading, refusal->text, refusal->shop);
	message = reading.diag.first;
	if (reading.ok || reading.diag.errors != 1 || diag_status(&reading.diag) != 2 ||
	    !strstr(message->text, refusal->part) ||
	    !place_is_at(message->place, refusal->in_shop ? refusal->shop : refusal->text, refusal->at) ||
	    strcmp(message->place.source->name, refusal->in_shop ? "shop.yaml" : "job.yaml") != 0)
		fail_msg("%s: %zu errors, the first at %zu:%zu: %s", refusal->part, reading.diag.errors,
		         message ? message->place.line : 0, message ? message->place.column : 0,
		         message ? message->text : "");
	reading_close(&reading);
}

static void
what_contradicts_itself_is_refused_at_its_place(void **state)
{
#define STOCK_OF(height, finished)                                                                                     \
	"units: inch\nmaterial: brass\nstock: {length: 6, width: 2, height: " height "}\nfinished_height: " finished   \
	"\n" CUTTER_LINE
	static const struct refusal refusals[] = {
		{ STOCK_OF("1.1", "1.2"), .at = "1.2",
		  .part = "the finished height is above the stock, which is 1.1 in" },
		{ STOCK_OF("1.1", "27.940001 mm"), .at = "27.94", .part = "the finished height is above the stock" },
		{ STOCK_OF("1.1", "27.94 mm"), .at = "27.94", .part = "there is nothing to cut" },
		{ HEAD CUTTER_LINE "cut: {skim: 60 thou}\n", .at = "60 thou",
		  .part = "the skim is deeper than a roughing cut, which is 0.05 in" },
		{ HEAD CUTTER_LINE "cut: {test_cut: 1.5 mm}\n", .at = "1.5 mm",
		  .part = "the test cut is deeper than a roughing cut" },
		{ HEAD CUTTER_LINE "cut: {rough: 0.02, test_cut: 0.03}\n", .at = "0.03",
		  .part = "the test cut is deeper than a roughing cut, which is 0.02 in" },
		{ HEAD CUTTER_LINE "cut: {pattern: zigzag, milling: conventional}\n", .at = "conventional",
		  .part = "a zigzag cuts conventional and climb in turn" },
		{ HEAD CUTTER_LINE "cut: {pattern: zigzag, milling: climb}\n", .at = "climb",
		  .part = "a zigzag cuts conventional and climb in turn" },
		{ HEAD CUTTER_LINE "cut: {retract: 0.05}\n", .at = "0.05",
		  .part = "the retract height is less than the clearance" },
		{ HEAD CUTTER_LINE "cut: {clearance: 1.5}\n", .at = "1.5}",
		  .part = "the retract height is less than the clearance" },
		{ HEAD "cutter: {kind: end mill, diameter: 1, edge: hss}\n", .at = "{kind",
		  .part = "the cutter has no 'teeth'" },
		{ HEAD CUTTER_LINE "cutters: {spare: {kind: end mill, diameter: 1, edge: hss}}\n", .at = "{kind: end",
		  .part = "the cutter has no 'teeth'" },
		{ HEAD "cutter: {kind: end mill, diameter: 1, teeth: 2, edge: hss, nose_radius: 0.3}\n", .at = "0.3}",
		  .part = "leaves no flat face" },
		{ HEAD CUTTER_LINE "machine: {kind: cnc, spindle: {min: 900, max: 800}}\n", .at = "900",
		  .part = "the slowest speed is above the fastest" },
		{ HEAD CUTTER_LINE "machine: {kind: cnc, spindle: {max: 800, speeds: [100, 900]}}\n", .at = "[100",
		  .part = "900 rpm is outside" },
		{ HEAD CUTTER_LINE "machine: {kind: cnc, spindle: {min: 200, speeds: [100, 900]}}\n", .at = "[100",
		  .part = "100 rpm is outside" },
		{ HEAD, .at = "units", .part = "there is no cutter; describe one under 'cutter'" },
		{ HEAD "cutters: {}\n", .at = "units", .part = "there is no cutter" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof refusals / sizeof refusals[0]; i++)
		expect_refused(&refusals[i]);
}

static void
a_name_that_nobody_knows_gets_a_suggestion(void **state)
{
#define SHELF_OF_TWO                                                                                                   \
	"cutters: {shell mill 3 in: {kind: shell mill, diameter: 3, teeth: 5, edge: carbide}, fly: {kind: fly "        \
	"cutter, diameter: 2, edge: hss}}\n"
#define MATERIAL_OF(name)                                                                                              \
	"units: inch\nmaterial: " name "\nstock: {length: 6, width: 2, height: 2}\nfinished_height: 1\n" CUTTER_LINE
	static const struct refusal refusals[] = {
		{ MATERIAL_OF("low carbon steel"), .at = "low carbon", .part = "did you mean 'low-carbon steel'?" },
		{ MATERIAL_OF("Brass"), .at = "Brass", .part = "there is no material 'Brass'; did you mean 'brass'?" },
		{ MATERIAL_OF("cheese"), .at = "cheese", .part = "'skimcut list materials' shows them" },
		{ HEAD "cutter: shell mil 3 in\n" SHELF_OF_TWO, .at = "shell mil 3",
		  .part = "the shop has no cutter 'shell mil 3 in'; did you mean 'shell mill 3 in'?" },
		{ HEAD "cutter: rotary thing\n" SHELF_OF_TWO, .at = "rotary",
		  .part = "there is no cutter 'rotary thing' among: shell mill 3 in, fly" },
		{ HEAD "cutter: shell mill 3 in\n", .at = "shell mill 3", .part = "nor any 'cutters'; describe it" },
		{ HEAD CUTTER_LINE "cut: {patern: auto}\n", .at = "patern", .part = "did you mean 'pattern'?" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof refusals / sizeof refusals[0]; i++)
		expect_refused(&refusals[i]);
}

static void
what_is_wrong_with_the_shop_is_said_of_the_right_file(void **state)
{
	static const struct refusal refusals[] = {
		{ HEAD CUTTER_LINE SHOP_LINE, NULL, .at = "shop.yaml", .part = "is not on the shelf" },
		{ HEAD CUTTER_LINE "shop:\n", NULL, .at = "shop:", .part = "'shop' has no value" },
		{ HEAD CUTTER_LINE "shop: [a, b]\n", NULL, .at = "[a", .part = "'shop' wants a text" },
		{ HEAD CUTTER_LINE SHOP_LINE, "units: mm\nmachine: {kind: robot}\n", true, "robot",
		  "kind cannot be 'robot'" },
		{ HEAD CUTTER_LINE SHOP_LINE, "units: mm\ncut: {clearance: 200}\n", true, "200",
		  "out of range; use 0.1 mm to 100 mm" },
		{ HEAD CUTTER_LINE SHOP_LINE, "units: mm\ncuters: {}\n", true, "cuters", "did you mean 'cutters'" },
		{ HEAD CUTTER_LINE SHOP_LINE, "units: mm\nshop: other.yaml\n", true, "shop: other",
		  "cannot name another" },
		{ HEAD CUTTER_LINE SHOP_LINE, "machine: {kind: cnc}\n", true, "machine", "begins with its own 'units" },
		{ HEAD CUTTER_LINE SHOP_LINE, "units: metric\n", true, "units", "begins with its own 'units" },
		{ HEAD CUTTER_LINE SHOP_LINE, "[units, mm]\n", true, "[", "begins with its own 'units" },
		{ HEAD CUTTER_LINE SHOP_LINE, "", true, "", "the file is empty" },
		{ HEAD CUTTER_LINE SHOP_LINE, "units: mm\ntitle: a\n\"title\": b\n", true, "\"title",
		  "stands here twice" },
		{ HEAD SHOP_LINE "cutter: blunt\n",
		  "units: mm\ncutters: {blunt: {kind: end mill, diameter: 9, edge: hss}}\n", true, "{kind",
		  "no 'teeth'" },
		{ HEAD CUTTER_LINE SHOP_LINE, "units: mm\ncut: {skim: 2}\n", true, "2}", "the skim is deeper" },
		{ "material: brass\nstock: {length: 6, width: 2, height: 2}\nfinished_height: 1\n" CUTTER_LINE
		      SHOP_LINE,
		  "units: inch\n", .at = "material", .part = "no 'units'" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof refusals / sizeof refusals[0]; i++)
		expect_refused(&refusals[i]);
}

static void
every_error_of_both_files_is_collected(void **state)
{
	static const char *const text = "units: inch\n"
					"material: brass\n"
					"stock: {length: -6, width: 2}\n"
					"finished_height: high\n"
					"shop: shop.yaml\n"
					"titel: x\n";
	static const char *const shop = "units: mm\n"
					"cut: {stepover: 130 %, rough: x}\n"
					"cut: {}\n";
	struct reading           reading;
	size_t                   in_shop = 0;

	(void)state;
	reading_open(&reading, text, shop);
	assert_false(reading.ok);
	assert_int_equal(reading.diag.errors, 7);
	for (const struct message *message = reading.diag.first; message; message = message->next)
		in_shop += strcmp(message->place.source->name, "shop.yaml") == 0;
	assert_int_equal(in_shop, 3);
	reading_close(&reading);
}

static void
contradictions_are_collected_too(void **state)
{
	struct reading reading;

	(void)state;
	reading_open(&reading,
	             "units: inch\n"
	             "material: cheese\n"
	             "stock: {length: 6, width: 2, height: 1}\n"
	             "finished_height: 1\n"
	             "cutter: {kind: end mill, diameter: 1, edge: hss}\n"
	             "cut: {skim: 60 thou, test_cut: 60 thou, retract: 0.05, pattern: zigzag, milling: climb}\n"
	             "machine: {kind: cnc, spindle: {min: 900, max: 800}}\n",
	             NULL);
	assert_false(reading.ok);
	assert_int_equal(reading.diag.errors, 8);
	reading_close(&reading);
}

static void
units_that_are_wrong_are_one_error_and_no_more(void **state)
{
	static const struct refusal refusals[] = {
		{ "units: furlong\nmaterial: brass\nstock: {length: 6, width: 20, height: 2}\n"
		  "finished_height: 1\ncutter: {kind: end mill, diameter: 9, teeth: 2, edge: hss}\n",
		  .at = "furlong", .part = "units cannot be 'furlong'; it is one of: inch, mm" },
		{ "material: brass\nstock: {length: 6, width: 20, height: 2}\n"
		  "finished_height: 1\ncutter: {kind: end mill, diameter: 9, teeth: 2, edge: hss}\n",
		  .at = "material", .part = "the job has no 'units'" },
		{ "units: [mm]\nmaterial: brass\nstock: {length: 6, width: 20, height: 2}\n"
		  "finished_height: 1\ncutter: {kind: end mill, diameter: 9, teeth: 2, edge: hss}\n",
		  .at = "[mm]", .part = "'units' wants one word" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof refusals / sizeof refusals[0]; i++)
		expect_refused(&refusals[i]);
}

static void
an_empty_file_is_told_how_to_begin(void **state)
{
	static const char *const texts[] = { "", " \n\t\n" };

	(void)state;
	for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
		struct reading reading;

		reading_open(&reading, texts[i], NULL);
		assert_false(reading.ok);
		assert_non_null(message_with(&reading.diag, SEVERITY_NOTE, "skimcut new"));
		reading_close(&reading);
	}
}

static void
what_random_jobs_say_is_read(void **state)
{
	uint64_t seed = 0x853c49e6748fea9b;

	(void)state;
	for (int i = 0; i < 300; i++) {
		const uint64_t before = seed;
		char           room[4096];
		struct text    text = text_over(room, sizeof room);
		struct reading reading;

		random_job(&seed, "pad", &text);
		reading_open(&reading, room, NULL);
		holds(before, reading.ok);
		holds(before, reading.job.finished_height < reading.job.stock.height);
		holds(before, reading.job.cut.skim <= reading.job.cut.rough);
		holds(before, reading.job.cut.test_cut <= reading.job.cut.rough);
		holds(before, reading.job.cut.clearance <= reading.job.cut.retract);
		reading_close(&reading);
	}
}

#define OWN_MATERIAL(group, figures)                                                                                   \
	"units: mm\nmaterial: {group: " group ", cutting_speed: 90 m/min, feed_per_tooth: 0.1" figures "}\n"           \
	"stock: {length: 80, width: 40, height: 20}\nfinished_height: 18\n"                                            \
	"cutter: {kind: shell mill, diameter: 50, teeth: 5, edge: carbide}\n"

static void
what_a_material_of_ones_own_leaves_out_is_the_heaviest_of_its_group(void **state)
{
	static const struct {
		const char *text;
		double      kc11_n_mm2, mc;
	} rows[] = {
		{ OWN_MATERIAL("P", ""), 2500, 0.26 },
		{ OWN_MATERIAL("M", ""), 2350, 0.21 },
		{ OWN_MATERIAL("K", ""), 1480, 0.17 },
		{ OWN_MATERIAL("N", ""), 1780, 0.17 },
		{ OWN_MATERIAL("S", ""), 2600, 0.25 },
		{ OWN_MATERIAL("H", ""), 4000, 0.25 },
		{ OWN_MATERIAL("N", ", kc1.1: 512.5"), 512.5, 0.17 },
		{ OWN_MATERIAL("N", ", mc: 0.3"), 1780, 0.3 },
		{ OWN_MATERIAL("H", ", kc1.1: 50, mc: 0.01"), 50, 0.01 },
		{ OWN_MATERIAL("P", ", kc1.1: 10000, mc: 0.6"), 10000, 0.6 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		struct reading reading;

		reading_open(&reading, rows[i].text, NULL);
		expect_ok(&reading);
		if (reading.job.material.kc11_n_mm2 != rows[i].kc11_n_mm2 || reading.job.material.mc != rows[i].mc)
			fail_msg("%zu: %f, %f", i, reading.job.material.kc11_n_mm2, reading.job.material.mc);
		reading_close(&reading);
	}
}

static void
a_material_with_a_name_brings_its_forces(void **state)
{
	struct reading reading;

	(void)state;
	reading_open(&reading, HEAD CUTTER_LINE, NULL);
	expect_ok(&reading);
	assert_true(reading.job.material.kc11_n_mm2 == 1780);
	assert_true(reading.job.material.mc == 0.17);
	reading_close(&reading);
}

static void
what_no_material_asks_is_refused(void **state)
{
	static const char *const texts[] = {
		OWN_MATERIAL("P", ", kc1.1: 49"), OWN_MATERIAL("P", ", kc1.1: 10001"),
		OWN_MATERIAL("P", ", kc1.1: 0"),  OWN_MATERIAL("P", ", kc1.1: 2 kN"),
		OWN_MATERIAL("P", ", mc: 0"),     OWN_MATERIAL("P", ", mc: 0.61"),
		OWN_MATERIAL("P", ", mc: -0.2"),  OWN_MATERIAL("P", ", mc: 20 %"),
	};

	(void)state;
	for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
		struct reading reading;

		reading_open(&reading, texts[i], NULL);
		if (reading.ok || reading.diag.errors != 1)
			fail_msg("%zu: %zu errors", i, reading.diag.errors);
		reading_close(&reading);
	}
}

static void
what_is_to_be_weighed_is_read(void **state)
{
	struct reading      reading;
	const struct job   *job = &reading.job;
	const struct clamp *clamps;

	(void)state;
	reading_open(&reading,
	             HEAD "cutter: {kind: shell mill, diameter: 3, teeth: 5, edge: carbide, flat: 1.2 mm}\n"
	                  "machine: {kind: cnc, spindle: {max: 6000, power: 5 hp, base_speed: 1500}, "
	                  "tram: {error: 1 thou, over: 8}}\n"
	                  "vise: {front_jaw: 1, rear_jaw: 1, jaw_width: 6, offset: -1-1/2 in}\n"
	                  "hold: {safety: 3, friction: 15 %, clamps: [{x: 6, y: 0, length: 1, width: 1, height: 1, "
	                  "force: 5 kN}]}\n"
	                  "finish: {roughness: 1.6 um, flatness: 1 thou}\n",
	             NULL);
	expect_ok(&reading);
	assert_int_equal(job->cutter.flat, 1200000);
	assert_int_equal(job->machine.spindle.base_rpm, 1500);
	assert_int_equal(job->machine.tram.error, 25400);
	assert_int_equal(job->machine.tram.over, 203200000);
	assert_int_equal(job->vise.offset, -38100000);
	assert_int_equal(job->hold.safety_factor, 3000000);
	assert_int_equal(job->hold.friction_ratio, 150000);
	clamps = job->hold.clamps.items;
	assert_int_equal(clamps[0].force_mn, 5000000);
	assert_int_equal(job->finish.roughness, 1600);
	assert_int_equal(job->finish.flatness, 25400);
	reading_close(&reading);
}

static void
handles_and_power_feed_are_read(void **state)
{
	struct reading        reading;
	const struct machine *machine = &reading.job.machine;

	(void)state;
	reading_open(&reading,
	             HEAD CUTTER_LINE "machine: {kind: manual, dials: {x: {per_turn: 0.2, graduation: 1 thou}, knee: "
	                              "{per_turn: 2 mm, graduation: "
	                              "0.02 mm}}, power_feed: {rates: [8, 3/4 in/min, 100 mm/min], axes: [x, y]}}\n",
	             NULL);
	expect_ok(&reading);
	assert_int_equal(machine->dials.x.per_turn, 5080000);
	assert_int_equal(machine->dials.x.graduation, 25400);
	assert_int_equal(machine->dials.knee.per_turn, 2000000);
	assert_int_equal(machine->dials.knee.graduation, 20000);
	assert_int_equal(machine->dials.y.per_turn, 0);
	assert_int_equal(machine->power_feed.rates.count, 3);
	assert_int_equal(machine->power_feed.rates.values[0], 203200000);
	assert_int_equal(machine->power_feed.rates.values[1], 19050000);
	assert_int_equal(machine->power_feed.rates.values[2], 100000000);
	assert_int_equal(machine->power_feed.axes, 1 << ALONG_X | 1 << ALONG_Y);
	reading_close(&reading);
}

/* A power feed drives the table along X unless something else is said; without one there are no rates. */
static void
of_handles_not_told_nothing_is_known(void **state)
{
	struct reading reading;

	(void)state;
	reading_open(&reading, HEAD CUTTER_LINE "machine: {kind: manual, power_feed: {rates: [8]}}\n", NULL);
	expect_ok(&reading);
	assert_int_equal(reading.job.machine.power_feed.axes, 1 << ALONG_X);
	assert_int_equal(reading.job.machine.dials.x.per_turn, 0);
	assert_int_equal(reading.job.machine.dials.knee.per_turn, 0);
	reading_close(&reading);
	/* Nor is it where none is told of. */
	reading_open(&reading, HEAD CUTTER_LINE "machine: {kind: manual, dials: {}}\n", NULL);
	expect_ok(&reading);
	assert_int_equal(reading.job.machine.power_feed.rates.count, 0);
	reading_close(&reading);
}

static void
a_power_feed_has_a_rate(void **state)
{
	static const char *const KINDS[] = { "manual", "cnc" };

	(void)state;
	for (size_t i = 0; i < 2; i++) {
		char           room[1024];
		struct text    text = text_over(room, sizeof room);
		struct reading reading;

		text_format(&text, HEAD CUTTER_LINE "machine: {kind: %s, power_feed: {rates: [], axes: x}}\n",
		            KINDS[i]);
		reading_open(&reading, text_end(&text), NULL);
		assert_false(reading.ok);
		assert_int_equal(reading.diag.errors, 1);
		assert_string_equal(reading.diag.first->text, "rates is an empty list");
		assert_true(place_is_at(reading.diag.first->place, room, "[]"));
		reading_close(&reading);
	}
}

/* At the place of the one that is wrong: the lengths are those of turn and line. */
static void
a_turn_is_a_whole_number_of_lines(void **state)
{
	static const struct {
		const char *dials, *at; /* NULL: it is */
	} rows[] = {
		{ "x: {per_turn: 0.2, graduation: 0.001}", NULL },
		{ "x: {per_turn: 0.125, graduation: 0.001}", NULL },
		{ "x: {per_turn: 0.1, graduation: 0.03}", "0.03" },
		{ "y: {per_turn: 0.125, graduation: 0.002}", "0.002" },
		{ "knee: {per_turn: 0.01, graduation: 0.02}", "0.02" },
		{ "x: {per_turn: 0.02, graduation: 0.02}", NULL },
		{ "x: {per_turn: 0.1, graduation: 0.01 mm}", NULL },
		{ "x: {per_turn: 0.1, graduation: 0.02 mm}", NULL },
		{ "x: {per_turn: 0.1, graduation: 0.05 mm}", "0.05" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
		char           room[1024];
		struct text    text = text_over(room, sizeof room);
		struct reading reading;

		text_format(&text, HEAD CUTTER_LINE "machine: {kind: manual, dials: {%s}}\n", rows[i].dials);
		reading_open(&reading, text_end(&text), NULL);
		if (reading.ok != !rows[i].at)
			fail_msg("%s is %s", rows[i].dials, reading.ok ? "taken" : "refused");
		if (rows[i].at) {
			assert_int_equal(reading.diag.errors, 1);
			assert_non_null(message_with(&reading.diag, SEVERITY_ERROR, "a whole number of graduations"));
			assert_true(place_is_at(reading.diag.first->place, room, rows[i].at));
		}
		reading_close(&reading);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(what_a_job_leaves_out_has_its_default),
		cmocka_unit_test(what_a_job_says_is_what_it_gets),
		cmocka_unit_test(a_default_gives_way_to_what_the_job_says),
		cmocka_unit_test(what_is_just_equal_agrees),
		cmocka_unit_test(as_many_clamps_as_a_table_holds_and_no_more),
		cmocka_unit_test(the_jobs_clamps_stand_instead_of_the_shops),
		cmocka_unit_test(without_a_cutter_named_one_is_to_be_chosen),
		cmocka_unit_test(the_shop_is_read_first_and_the_job_wins),
		cmocka_unit_test(what_contradicts_itself_is_refused_at_its_place),
		cmocka_unit_test(a_name_that_nobody_knows_gets_a_suggestion),
		cmocka_unit_test(what_is_wrong_with_the_shop_is_said_of_the_right_file),
		cmocka_unit_test(every_error_of_both_files_is_collected),
		cmocka_unit_test(contradictions_are_collected_too),
		cmocka_unit_test(units_that_are_wrong_are_one_error_and_no_more),
		cmocka_unit_test(an_empty_file_is_told_how_to_begin),
		cmocka_unit_test(what_random_jobs_say_is_read),
		cmocka_unit_test(what_a_material_of_ones_own_leaves_out_is_the_heaviest_of_its_group),
		cmocka_unit_test(a_material_with_a_name_brings_its_forces),
		cmocka_unit_test(what_no_material_asks_is_refused),
		cmocka_unit_test(what_is_to_be_weighed_is_read),
		cmocka_unit_test(handles_and_power_feed_are_read),
		cmocka_unit_test(of_handles_not_told_nothing_is_known),
		cmocka_unit_test(a_power_feed_has_a_rate),
		cmocka_unit_test(a_turn_is_a_whole_number_of_lines),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
