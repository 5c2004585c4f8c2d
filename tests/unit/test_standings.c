#include "planning.h"
#include "values.h"

#include "skimcut/ranking.h"
#include "skimcut/standings.h"

enum { WIDEST = 78, BYTES = 1 << 18 };

/* As a double-quoted YAML text has them; no two become one. */
static const char *const NAMES[] = { "mill",
	                             "%s %n 100 %%",
	                             "\\e[2J\\e[31mred\\a",
	                             "two\\nlines\\u2028more\\u0085lines",
	                             "caf\xc3\xa9 \xf0\x9f\x94\xa7 \xe2\x82\xac 5",
	                             "\\\" \\\\ ' # { } , : [ ] & * ! |",
	                             "</script><b>&amp;",
	                             "tab\\there\\x7F\\x9B",
	                             "nan inf null true" };
enum { NAME_COUNT = sizeof NAMES / sizeof NAMES[0] };

#define INCH_JOB                                                                                                       \
	"units: inch\ntitle: gate hinge\nmaterial: low-carbon steel\nstock: {length: 6, width: 2.5, height: 1.1}\n"    \
	"finished_height: 1\n"
#define INCH_SHOP                                                                                                      \
	"cutters:\n"                                                                                                   \
	"  small: {kind: end mill, diameter: 0.75, teeth: 4, edge: hss, number: 1}\n"                                  \
	"  huge: {kind: face mill, diameter: 8, teeth: 8, edge: carbide, nose_radius: 1/32 in, number: 2}\n"           \
	"  right: {kind: shell mill, diameter: 3, teeth: 5, edge: carbide, nose_radius: 1/32 in, number: 3}\n"         \
	"  larger: {kind: shell mill, diameter: 3.4, teeth: 5, edge: carbide, nose_radius: 1/32 in, number: 4}\n"      \
	"  narrow: {kind: shell mill, diameter: 2, teeth: 4, edge: carbide, nose_radius: 1/32 in, number: 5}\n"

struct standings {
	struct planning planning;
	struct ranking  ranking;
};

static char printed[BYTES], words[BYTES], json_text[BYTES];

static void
page_print(const struct standings *standings)
{
	struct text out = text_over(printed, sizeof printed);
	size_t      k   = 0;

	standings_print(&standings->planning.job, &standings->ranking, &out);
	assert_false(out.failed);
	text_end(&out);
	for (const char *c = printed; *c; c++)
		if (*c != ' ' && *c != '\n')
			words[k++] = *c;
		else if (k > 0 && words[k - 1] != ' ')
			words[k++] = ' ';
	words[k] = '\0';
}

static json_t *
json_make(const struct standings *standings)
{
	struct text  out = text_over(json_text, sizeof json_text);
	json_error_t error;
	json_t      *root;

	assert_true(standings_json(&standings->planning.job, &standings->ranking, &out));
	assert_false(out.failed);
	root = json_loads(text_end(&out), JSON_REJECT_DUPLICATES, &error);
	if (!root)
		fail_msg("%d: %s\n%s", error.line, error.text, json_text);
	return root;
}

static void
standings_open(struct standings *standings, const char *yaml)
{
	if (!planning_open(&standings->planning, yaml))
		fail_msg("%s\n%s", standings->planning.diag.last->text, yaml);
	assert_true(ranking_make(&standings->planning.job, usual_grid(standings->planning.job.units),
	                         &standings->planning.arena, &standings->ranking));
	page_print(standings);
}

static void
expect(const char *part)
{
	if (!strstr(words, part))
		fail_msg("'%s' is not in\n%s", part, printed);
}

static void
check_page(uint64_t seed)
{
	static const char *const NOT_NUMBERS[] = { " nan ", " inf ", "inf%", "-inf", "(null)", " -0" };
	size_t                   columns = 0, lines = 0;

	for (const unsigned char *c = (const unsigned char *)printed; *c; c++) {
		holds(seed, *c == '\n' || (*c >= ' ' && *c != 0x7f));
		holds(seed, c[0] != 0xC2 || c[1] >= 0xA0);
		columns = *c == '\n' ? 0 : columns + ((*c & 0xC0) != 0x80);
		lines += *c == '\n';
		if (columns > WIDEST)
			fail_msg("seed %llu: a line is too long in\n%s", (unsigned long long)seed, printed);
	}
	holds(seed, lines > 3 && printed[strlen(printed) - 1] == '\n');
	for (size_t i = 0; i < sizeof NOT_NUMBERS / sizeof NOT_NUMBERS[0]; i++) {
		const char *at = strstr(words, NOT_NUMBERS[i]);

		if (at && !strstr(words, "nan inf null true"))
			fail_msg("seed %llu: '%s' in\n%s", (unsigned long long)seed, NOT_NUMBERS[i], printed);
	}
}

static const json_t *
member(const json_t *object, const char *key)
{
	const json_t *value = json_object_get(object, key);

	if (!value)
		fail_msg("there is no '%s' in %s", key, json_text);
	return value;
}

static void
check_real(const json_t *entry, const char *key, bool known, double value)
{
	const json_t *json = member(entry, key);

	if (!known) {
		assert_true(json_is_null(json));
		return;
	}
	assert_true(json_is_real(json));
	assert_true(fabs(json_real_value(json) - value) <= 1e-9 * fabs(value));
}

/* Every key that docs/cutters.md has, and no other. */
static void
check_json(uint64_t seed, const struct standings *standings)
{
	static const char *const FITNESS[] = { [FITNESS_COVERS]   = "covers",
		                               [FITNESS_OVERSIZE] = "oversize",
		                               [FITNESS_PASSES]   = "passes",
		                               [FITNESS_REFUSED]  = "refused" };
	json_t                  *root      = json_make(standings);
	const json_t            *cutters   = member(root, "cutters");

	holds(seed, json_object_size(root) == 3);
	holds(seed, json_integer_value(member(root, "schema")) == 1);
	holds(seed, json_is_string(member(root, "title")));
	holds(seed, json_array_size(cutters) == standings->ranking.count);
	for (size_t i = 0; i < standings->ranking.count; i++) {
		const struct rank    *rank    = &standings->ranking.ranks[i];
		const struct weights *weights = &rank->weights;
		const json_t         *entry   = json_array_get(cutters, i), *warnings;

		holds(seed, json_integer_value(member(entry, "place")) == (json_int_t)i + 1);
		holds(seed, json_is_string(member(entry, "name")));
		holds(seed, strcmp(json_string_value(member(entry, "fitness")), FITNESS[rank->fitness]) == 0);
		check_real(entry, "diameter_mm", true, (double)rank->cutter->diameter / 1e6);
		if (rank->fitness == FITNESS_REFUSED) {
			holds(seed, json_object_size(entry) == 5);
			holds(seed, json_string_length(member(entry, "reason")) > 0);
			continue;
		}
		holds(seed, json_object_size(entry) == 13);
		holds(seed, json_integer_value(member(entry, "passes")) == rank->plan.layout.passes);
		holds(seed, strcmp(json_string_value(member(entry, "along")),
		                   rank->plan.layout.along == ALONG_X ? "x" : "y") == 0);
		check_real(entry, "time_s", true, clock_total_s(&rank->clock));
		holds(seed, json_real_value(member(entry, "power_w")) > 0);
		check_real(entry, "motor_share", weights->available_w > 0, weights->share);
		check_real(entry, "holding_margin", weights->grip.force_known, margins_least(&weights->margins));
		check_real(entry, "ra_level_um", weights->roughness.known, weights->roughness.ra_level_um);
		check_real(entry, "ra_proud_um", weights->roughness.known, weights->roughness.ra_proud_um);
		warnings = member(entry, "warnings");
		holds(seed, json_array_size(warnings) == messages_of(&rank->diag, SEVERITY_WARNING));
	}
	json_decref(root);
}

/* Behind a job of planning.h: a shop of cutters with hostile names, and now and then a vise. */
static void
append_shop(uint64_t *random, char *yaml, size_t size)
{
	size_t      length = strlen(yaml);
	struct text out    = text_over(yaml + length, size - length);
	int64_t     count  = random_between(random, 1, NAME_COUNT);

	text_string(&out, "cutters:\n");
	for (int64_t i = 0; i < count; i++) {
		text_format(&out, "  \"%s", NAMES[i]);
		if (random_chance(random, 4))
			for (int k = (int)random_between(random, 1, 60); k > 0; k--)
				text_string(&out, random_chance(random, 2) ? " w\xc3\xa9w" : "long");
		text_format(
		    &out, "\": {kind: %s, diameter: %d um, teeth: %d, edge: %s, number: %d, nose_radius: %d um}\n",
		    random_chance(random, 2) ? "face mill" : "end mill", (int)random_between(random, 3000, 200000),
		    (int)random_between(random, 1, 12), random_chance(random, 2) ? "hss" : "carbide", (int)i + 1,
		    (int)random_between(random, 0, 300));
	}
	if (random_chance(random, 2))
		text_format(&out,
		            "vise: {front_jaw: %d um, rear_jaw: %d um, jaw_width: 100 mm, clamping_force: %d N}\n",
		            (int)random_between(random, 1000, 30000), (int)random_between(random, 1000, 30000),
		            (int)random_between(random, 500, 90000));
	assert_false(out.failed);
	text_end(&out);
}

static void
random_shops_with_hostile_names_fill_a_page_and_an_object(void **state)
{
	static char      yaml[BYTES];
	struct standings standings;
	uint64_t         random = 8987551792, of[4] = { 0 };

	(void)state;
	for (int i = 0; i < 120; i++) {
		uint64_t    seed = random;
		struct text out  = text_over(yaml, sizeof yaml / 2);

		random_job(&random, NAMES[random_between(&random, 0, NAME_COUNT - 1)], &out);
		holds(seed, !out.failed);
		text_end(&out);
		append_shop(&random, yaml, sizeof yaml);
		standings_open(&standings, yaml);
		check_page(seed);
		check_json(seed, &standings);
		for (size_t k = 0; k < standings.ranking.count; k++)
			of[standings.ranking.ranks[k].fitness]++;
		planning_close(&standings.planning);
	}
	for (int k = 0; k < 4; k++)
		if (of[k] < 10)
			fail_msg("only %d of fitness %d", (int)of[k], k);
}

/* 2.5 in of width: 3 in covers it, 3.4 in too, 8 in is far over; 2 in and 0.75 in take passes. */
static void
the_shop_is_ranked_as_the_page_says(void **state)
{
	static const char *const PARTS[] = {
		" 1 right covers 2.5 in along X in one pass, 0.5 in to spare ",
		" 2 larger covers 2.5 in along X in one pass, 0.9 in to spare ",
		" 3 huge covers 2.5 in along X in one pass, 5.5 in to spare: oversize ",
		" 4 narrow takes 2 passes of ",
		" 5 small takes ",
		" Order one that covers the width in one pass is best",
	};
	struct standings standings;
	const char      *at = words;

	(void)state;
	standings_open(&standings, INCH_JOB INCH_SHOP "cut: {along: x}\n");
	assert_int_equal(strncmp(printed, "CUTTERS       gate hinge\n=====", 30), 0);
	for (size_t i = 0; i < sizeof PARTS / sizeof PARTS[0]; i++) {
		at = strstr(at, PARTS[i]);
		if (!at)
			fail_msg("'%s' is not next in\n%s", PARTS[i], printed);
	}
	check_json(0, &standings);
	planning_close(&standings.planning);
}

static void
what_is_not_told_is_not_told_of_on_the_page_and_null_as_json(void **state)
{
	static const char *const KEYS[] = { "motor_share", "holding_margin" };
	struct standings         standings;
	json_t                  *root;

	(void)state;
	standings_open(&standings, INCH_JOB "cutter: {kind: end mill, diameter: 3, teeth: 5, edge: hss}\n");
	assert_null(strstr(words, "of the motor"));
	assert_null(strstr(words, "times its force"));
	expect("surface not known");
	root = json_make(&standings);
	for (size_t i = 0; i < 2; i++)
		assert_true(json_is_null(member(json_array_get(member(root, "cutters"), 0), KEYS[i])));
	assert_true(json_is_null(member(json_array_get(member(root, "cutters"), 0), "ra_proud_um")));
	json_decref(root);
	planning_close(&standings.planning);
	standings_open(&standings,
	               INCH_JOB "cutter: {kind: end mill, diameter: 3, teeth: 5, edge: carbide, nose_radius: 1/32 in}\n"
	                        "machine: {kind: cnc, spindle: {power: 3 hp}}\n"
	                        "vise: {front_jaw: 0.6, rear_jaw: 0.66, jaw_width: 6, clamping_force: 4000 lbf}\n");
	expect("% of the motor; holds ");
	expect(" times its force; ");
	planning_close(&standings.planning);
}

/* As on the plan's page of the same job. */
static void
roughness_is_in_the_units_of_the_job(void **state)
{
	struct standings standings;

	(void)state;
	standings_open(&standings, INCH_JOB INCH_SHOP);
	expect(" uin in theory");
	planning_close(&standings.planning);
	standings_open(&standings,
	               "units: mm\nmaterial: brass\nstock: {length: 50, width: 20, height: 22}\nfinished_height: 20\n"
	               "cutter: {kind: face mill, diameter: 40, teeth: 4, edge: carbide}\n");
	expect(" um in theory");
	planning_close(&standings.planning);
}

static size_t
check_messages(const struct rank *rank, const json_t *entry)
{
	size_t longest = 0, k = 0;

	for (const struct message *message = rank->diag.first; message; message = message->next) {
		const json_t *said;

		if (message->severity == SEVERITY_WARNING && rank->fitness != FITNESS_REFUSED)
			said = json_array_get(member(entry, "warnings"), k++);
		else if (message->severity == SEVERITY_REFUSED)
			said = member(entry, "reason");
		else
			continue;
		expect(message->text);
		assert_string_equal(json_string_value(said), message->text);
		if (strlen(message->text) > longest)
			longest = strlen(message->text);
	}
	return longest;
}

/* A way out stands at the end of a message. */
static void
reasons_and_warnings_are_whole_on_the_page_and_as_json(void **state)
{
	static const char *const JOBS[] = {
		INCH_JOB INCH_SHOP "vise: {front_jaw: 0.6, rear_jaw: 0.66, jaw_width: 6, clamping_force: 100 lbf}\n",
		INCH_JOB INCH_SHOP
		"vise: {front_jaw: 0.6, rear_jaw: 0.66, jaw_width: 6, clamping_force: 9000 lbf, offset: 1}\n",
	};

	size_t longest = 0;

	(void)state;
	for (size_t i = 0; i < sizeof JOBS / sizeof JOBS[0]; i++) {
		struct standings standings;
		json_t          *root;

		standings_open(&standings, JOBS[i]);
		root = json_make(&standings);
		for (size_t k = 0; k < standings.ranking.count; k++) {
			size_t length = check_messages(&standings.ranking.ranks[k],
			                               json_array_get(member(root, "cutters"), k));

			longest = length > longest ? length : longest;
		}
		json_decref(root);
		planning_close(&standings.planning);
	}
	assert_true(longest > 130);
}

/* Names that differ only at their ends stay apart for a program that looks one up. */
static void
a_name_as_json_is_as_long_as_it_was_written(void **state)
{
	static char      yaml[BYTES], name[201];
	struct standings standings;
	json_t          *root;

	(void)state;
	memset(name, 'w', sizeof name - 1);
	for (int i = 0; i < 2; i++) {
		struct text out = text_over(yaml, sizeof yaml);

		name[sizeof name - 2] = (char)('a' + i);
		text_format(&out, "%scutters:\n  %s: {kind: face mill, diameter: 3, teeth: 5, edge: carbide}\n",
		            INCH_JOB, name);
		standings_open(&standings, text_end(&out));
		root = json_make(&standings);
		assert_string_equal(json_string_value(member(json_array_get(member(root, "cutters"), 0), "name")),
		                    name);
		json_decref(root);
		planning_close(&standings.planning);
	}
}

/* Characters of four bytes, up to the last that there is room for and beyond it. */
static void
a_title_of_any_length_is_still_an_object(void **state)
{
	static char      yaml[BYTES];
	struct standings standings;
	json_t          *root;

	(void)state;
	for (int count = 1000; count <= 5000; count += count < 1030 ? 1 : 997) {
		struct text out = text_over(yaml, sizeof yaml);

		text_string(&out, "units: mm\ntitle: \"");
		for (int i = 0; i < count; i++)
			text_string(&out, "\xf0\x9f\x94\xa7");
		text_string(&out,
		            "\"\nmaterial: brass\nstock: {length: 50, width: 20, height: 22}\nfinished_height: 20\n"
		            "cutter: {kind: face mill, diameter: 40, teeth: 4, edge: carbide}\n");
		standings_open(&standings, text_end(&out));
		check_page((uint64_t)count);
		root = json_make(&standings);
		assert_true(json_string_length(member(root, "title")) >= 4 * 1000);
		json_decref(root);
		planning_close(&standings.planning);
	}
}

/* 2.46 rounded to 2.5 would read as enough where 2.5 is wanted. */
static void
a_margin_is_never_rounded_up(void **state)
{
	struct standings standings;

	(void)state;
	standings_open(&standings,
	               INCH_JOB "cutter: {kind: shell mill, diameter: 3, teeth: 5, edge: carbide}\n"
	                        "vise: {front_jaw: 0.6, rear_jaw: 0.66, jaw_width: 6, clamping_force: 4000 lbf}\n");
	standings.ranking.ranks[0].weights.margins = (struct margins){ .slip = 2.46, .tip = 8 };
	page_print(&standings);
	expect("holds 2.4 times its force");
	planning_close(&standings.planning);
}

static void
a_refused_cutter_has_its_reason_and_no_figures(void **state)
{
	struct standings standings;

	(void)state;
	standings_open(&standings, INCH_JOB INCH_SHOP "cut: {pattern: single}\n");
	assert_int_equal(standings.ranking.ranks[standings.ranking.count - 1].fitness, FITNESS_REFUSED);
	expect(" 5 narrow refused: ");
	expect(" 4 small refused: ");
	check_page(0);
	check_json(0, &standings);
	planning_close(&standings.planning);
}

static json_t *
make(const void *context)
{
	const struct standings *standings = context;
	struct text             out       = text_over(json_text, sizeof json_text);

	return standings_json(&standings->planning.job, &standings->ranking, &out) ? json_string(text_end(&out)) : NULL;
}

static void
memory_that_runs_out_is_said(void **state)
{
	struct standings standings;

	(void)state;
	standings_open(&standings, INCH_JOB INCH_SHOP);
	assert_true(fails_whole(make, &standings) > 100);
	planning_close(&standings.planning);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(random_shops_with_hostile_names_fill_a_page_and_an_object),
		cmocka_unit_test(the_shop_is_ranked_as_the_page_says),
		cmocka_unit_test(what_is_not_told_is_not_told_of_on_the_page_and_null_as_json),
		cmocka_unit_test(roughness_is_in_the_units_of_the_job),
		cmocka_unit_test(reasons_and_warnings_are_whole_on_the_page_and_as_json),
		cmocka_unit_test(a_name_as_json_is_as_long_as_it_was_written),
		cmocka_unit_test(a_title_of_any_length_is_still_an_object),
		cmocka_unit_test(a_margin_is_never_rounded_up),
		cmocka_unit_test(a_refused_cutter_has_its_reason_and_no_figures),
		cmocka_unit_test(memory_that_runs_out_is_said),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
