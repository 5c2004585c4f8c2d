#include "planning.h"

#include "skimcut/caution.h"
#include "skimcut/choice.h"
#include "skimcut/measured.h"
#include "skimcut/summary.h"

enum { WIDEST = 80, BYTES = 1 << 16 };

/* As a double-quoted YAML text has them. */
static const char *const TITLES[] = {
	"a block",
	"",
	"tab\\tbell\\abackspace\\bdelete\\x7F",
	"\\e[2J\\e[31mred\\e]0;title\\a",
	"two\\nlines\\r\\nand\\u2028more\\u0085lines",
	"100 %s %n %d %%",
	"caf\xc3\xa9 \xe2\x82\xac 5 \xf0\x9f\x94\xa7 \xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9",
	"(a) ; % {speed} <b> & \\\" '",
};

static char summary[BYTES];

static const char *
summary_of(const struct plan *plan, const struct diag *diag)
{
	struct text out = text_over(summary, sizeof summary);

	summary_print(plan, diag, &out);
	assert_false(out.failed);
	return text_end(&out);
}

static const char *
planned_summary(struct planning *planning, const char *yaml, enum along along)
{
	if (!planning_open(planning, yaml) || !planning_plan(planning, along))
		fail_msg("no plan: %s\n%s", planning->diag.last ? planning->diag.last->text : "", yaml);
	return summary_of(&planning->plan, &planning->diag);
}

static void
expect_part(const char *part)
{
	if (!strstr(summary, part))
		fail_msg("'%s' is not in\n%s", part, summary);
}

/* Lines in characters, of valid UTF-8 without controls but the line's end. */
static void
check_lines(uint64_t seed, const char *text)
{
	size_t columns = 0;

	for (const unsigned char *c = (const unsigned char *)text; *c; c++) {
		holds(seed, *c == '\n' || (*c >= ' ' && *c != 0x7f));
		holds(seed, c[0] != 0xC2 || c[1] >= 0xA0);
		columns = *c == '\n' ? 0 : columns + ((*c & 0xC0) != 0x80);
		holds(seed, columns <= WIDEST);
	}
	holds(seed, text[strlen(text) - 1] == '\n');
}

/* Every word of every caution, in order. */
static void
check_cautions(uint64_t seed, const char *text)
{
	const char *at = strstr(text, "\nCaution");

	holds(seed, at != NULL);
	for (size_t i = 0; i < CAUTION_COUNT; i++)
		for (const char *word = CAUTIONS[i]; *word; word += strspn(word, " ")) {
			size_t length = strcspn(word, " ");
			char   copy[64];

			memcpy(copy, word, length);
			copy[length] = '\0';
			at           = strstr(at, copy);
			holds(seed, at != NULL);
			at += length;
			word += length;
		}
}

static void
check_heading(uint64_t seed, const struct plan *plan)
{
	const char *lines[SUMMARY_HEADING_LINES];
	char        buffer[SUMMARY_HEADING_BYTES];
	size_t      count = summary_heading(plan, lines, buffer);

	holds(seed, count > PROGRAM_CAUTION_COUNT && count <= SUMMARY_HEADING_LINES);
	for (size_t i = 0; i < count; i++)
		holds(seed, strlen(lines[i]) > 0 && strlen(lines[i]) < SUMMARY_HEADING_BYTES / 2);
	for (size_t i = 0; i < PROGRAM_CAUTION_COUNT; i++)
		holds(seed, strcmp(lines[count - PROGRAM_CAUTION_COUNT + i], PROGRAM_CAUTIONS[i]) == 0);
}

static void
no_line_is_too_long_for_random_jobs_with_nasty_titles(void **state)
{
	static char yaml[BYTES], huge[10001];
	uint64_t    random = 6626070150, made = 0;

	(void)state;
	for (int i = 0; i < 300; i++) {
		uint64_t        seed  = random;
		int64_t         which = random_between(&random, 0, (int64_t)(sizeof TITLES / sizeof TITLES[0]));
		struct text     out   = text_over(yaml, sizeof yaml);
		struct planning planning;

		memset(huge, random_chance(&random, 2) ? 'w' : ' ', sizeof huge - 1);
		for (size_t k = 1; random_chance(&random, 2) && k < sizeof huge - 2; k += 3)
			memcpy(huge + k, "\xc3\xa9", 2);
		random_job(&random, which < (int64_t)(sizeof TITLES / sizeof TITLES[0]) ? TITLES[which] : huge, &out);
		holds(seed, !out.failed);
		if (!planning_open(&planning, yaml))
			fail_msg("seed %llu: %s", (unsigned long long)seed, planning.diag.first->text);
		if (choice_make(&planning.job, usual_grid(planning.job.units), &planning.arena, &planning.plan,
		                &planning.diag)) {
			summary_of(&planning.plan, &planning.diag);
			check_lines(seed, summary);
			check_cautions(seed, summary);
			check_heading(seed, &planning.plan);
			for (const struct message *m = planning.diag.first; m; m = m->next)
				holds(seed, strstr(summary, m->severity == SEVERITY_WARNING ? "\nWARNING" : "\nNote"));
			made++;
		}
		planning_close(&planning);
	}
	assert_true(made > 150);
}

/*
 * 2.5 in under 3 in: 0.5 hang over, 0.125 at the front. 120 m/min is 501 rpm, 0.13 mm and 5 teeth then 12.82 in/min. The first
 * cut: 0.93 in down and 1.03 in up at 98.4 in/min, 9.2 and 0.1 in at 12.8: 44.8 s.
 */
static void
a_worked_example_has_its_figures(void **state)
{
	static const char        yaml[]  = "units: inch\ntitle: pump foot\nmaterial: low-carbon steel\n"
					   "stock: {length: 6, width: 2.5, height: 1.100}\nfinished_height: 1.000\n"
					   "cutter: {kind: shell mill, diameter: 3, teeth: 5, edge: carbide, number: 3}\n"
					   "program: {number: 1001}\n";
	static const char *const parts[] = {
		"PASS PLAN     pump foot\n",
		"low-carbon steel, 6.0000 x 2.5000 x 1.1000 in",
		"0.1000 in, to leave 1.0000 in",
		"shell mill, 3.0000 in, 5 teeth, carbide",
		"spindle     501               501 rpm",
		"none, cut dry",
		" 0.1000.\n", /* where a cutter stands that touches the top */
		"rapid moves across at Z 0.2000 or above",
		"1  test      0.0300       1.0700     0.0700       1      0:44     0:02\n",
		"2  rough     0.0300       1.0400     0.0400       1",
		"3  rough     0.0300       1.0100     0.0100       1",
		"4  skim      0.0100       1.0000     0.0000       1",
		"Read ________ less 1.0000 = ________ to go; planned 0.0700.",
		"________ to go; planned 0.0100.",
		"2 stops",
		"1  -X        1.3750     7.6000    -1.6000  mostly conventional back",
		"to the back: put a guard right, back and left; stand at the\n",
	};
	const char     *lines[SUMMARY_HEADING_LINES];
	char            buffer[SUMMARY_HEADING_BYTES];
	struct planning planning;
	size_t          count;

	(void)state;
	planned_summary(&planning, yaml, ALONG_X);
	for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++)
		expect_part(parts[i]);
	count = summary_heading(&planning.plan, lines, buffer);
	assert_int_equal(count, 6 + PROGRAM_CAUTION_COUNT);
	assert_string_equal(lines[5], "caution - jaws and clamps below Z 0.0000");
	assert_non_null(strstr(lines[0], "pump foot"));
	assert_string_equal(lines[1], "program 1001");
	assert_string_equal(lines[2], "low-carbon steel, 6.0000 x 2.5000 x 1.1000 in, to 1.0000");
	assert_string_equal(lines[3], "tool 3, cutter, 3.0000 in");
	assert_string_equal(lines[4], "zero - X left, Y front, Z finished");
	planning_close(&planning);
}

/* What the first plan's program has cut away is not there for this one, and a fresh block would be: 1.07 left of 1.1, to 1.0. */
static void
a_program_from_a_measured_face_says_so_and_where_it_is(void **state)
{
	static const struct {
		const char *zero, *number, *line;
	} CASES[] = {
		{ "zero: {z: top}\n", "program: {number: 7}\n", "the face measured, 1.0700 in, is at Z -0.0300" },
		{ "zero: {z: finished}\n", "", "the face measured, 1.0700 in, is at Z 0.0700" },
		{ "zero: {z: bottom}\n", "", "the face measured, 1.0700 in, is at Z 1.0700" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++)
		for (int again = 0; again < 2; again++) {
			const char     *lines[SUMMARY_HEADING_LINES];
			char            buffer[SUMMARY_HEADING_BYTES], yaml[1024];
			struct text     out   = text_over(yaml, sizeof yaml);
			size_t          count = 0, first, cautions = 0;
			struct planning planning;

			text_format(&out,
			            "units: inch\ntitle: pump foot\nmaterial: low-carbon steel\n"
			            "stock: {length: 6, width: 2.5, height: 1.100}\nfinished_height: 1.000\n"
			            "cutter: {kind: shell mill, diameter: 3, teeth: 5, edge: carbide, number: 3}\n%s%s",
			            CASES[i].zero, CASES[i].number);
			assert_true(planning_open(&planning, text_end(&out)));
			assert_true(!again || measured_take(&planning.job, "1.07", &planning.diag));
			assert_true(planning_plan(&planning, ALONG_X));
			check_heading(0, &planning.plan);
			count = summary_heading(&planning.plan, lines, buffer);
			first = *CASES[i].number ? 3 : 2;
			assert_int_equal(count, first + 3 + PROGRAM_CAUTION_COUNT + (again ? 2u : 0));
			for (size_t k = 0; k < count; k++)
				cautions += strstr(lines[k], "fresh block") || strstr(lines[k], "the face measured");
			assert_int_equal(cautions, again ? 2 : 0);
			if (again) {
				assert_string_equal(lines[first], "caution - not for a fresh block");
				assert_string_equal(lines[first + 1], CASES[i].line);
				assert_non_null(strstr(lines[first - 1], "x 1.0700 in, to 1.0000"));
			}
			planning_close(&planning);
		}
}

static void
how_the_part_is_held_is_told_in_one_place(void **state)
{
	static const struct {
		const char *rest, *part;
	} cases[] = {
		{ "vise: {front_jaw: 1.6, rear_jaw: 1.6, jaw_width: 6}\nparallels: [1.25, 0.75, 1, 0.5]\n",
		  "\nHeld          in the vise, on 0.75 in parallels; jaws 0.15 in below the\n"
		  "              finished face\n" },
		{ "vise: {front_jaw: 1.6, rear_jaw: 1.54, jaw_width: 6}\nparallels: [0.75]\n",
		  "\nHeld          in the vise, on 0.75 in parallels; front jaw 0.15 in below, rear\n"
		  "              jaw 0.21 in below the finished face\n" },
		{ "vise: {front_jaw: 0.9, rear_jaw: 0.9, jaw_width: 6}\n",
		  "\nHeld          in the vise, on its bed; jaws 0.1 in below the finished face\n" },
		{ "hold: {clamps: [{x: 1, y: 1, length: 1, width: 1, height: 0.75}]}\n",
		  "\nHeld          by 1 clamp, 0.25 in below the finished face\n" },
		{ "hold: {clamps: [{x: -5, y: 1, length: 1, width: 1, height: 1}, {x: 1, y: 1, length: 1, width: 1, "
		  "height: 0.5}]}\n",
		  "\nHeld          by 2 clamps, the highest level with the finished face\n" },
		{ "vise: {front_jaw: 0.9, rear_jaw: 0.9, jaw_width: 6}\n"
		  "hold: {clamps: [{x: -5, y: 1, length: 1, width: 1, height: 1.5}]}\n",
		  "\n              by 1 clamp, 0.5 in above the finished face\n" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		char            yaml[1024];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		text_format(
		    &out,
		    "units: inch\nmaterial: low-carbon steel\nstock: {length: 6, width: 2.5, height: 1.100}\n"
		    "finished_height: 1.000\ncutter: {kind: shell mill, diameter: 3, teeth: 5, edge: carbide}\n%s",
		    cases[i].rest);
		planned_summary(&planning, text_end(&out), ALONG_X);
		expect_part(cases[i].part);
		check_lines(0, summary);
		assert_null(strstr(summary, "how the part is held is not described"));
		planning_close(&planning);
	}
}

/* Without vise and clamps the plan has no such line, and says why. */
static void
nothing_is_told_of_a_hold_that_is_not_described(void **state)
{
	struct planning planning;

	(void)state;
	planned_summary(&planning,
	                "units: mm\nmaterial: plastic\nstock: {length: 50, width: 20, height: 52}\nfinished_height: "
	                "50\ncutter: {kind: end mill, diameter: 40, teeth: 2, edge: hss}\nparallels: [10]\n",
	                ALONG_X);
	assert_null(strstr(summary, "\nHeld"));
	expect_part("how the part is held is not described");
	planning_close(&planning);
}

static size_t
count_of(const char *text, const char *part)
{
	size_t count = 0;

	for (const char *at = strstr(text, part); at; at = strstr(at + 1, part))
		count++;
	return count;
}

/* 100 mm off in 199 roughing cuts and a skim of 0.5; 500 + 0.5 in steps of 7 mm: 72 passes. */
static void
long_tables_are_thinned_and_say_so(void **state)
{
	static const char yaml[] = "units: mm\nmaterial: plastic\nstock: {length: 50, width: 500, height: 150}\n"
				   "finished_height: 50\n"
				   "cutter: {kind: end mill, diameter: 10, teeth: 2, edge: hss, nose_radius: 0}\n"
				   "cut: {rough: 0.5, skim: 0.5, test_cut: 0.5, pattern: one-way}\n";
	struct planning   planning;

	(void)state;
	planned_summary(&planning, yaml, ALONG_X);
	assert_int_equal(planning.plan.schedule.count, 200);
	assert_int_equal(planning.plan.layout.passes, 72);
	expect_part("...   184 more like these\n");
	expect_part("...   56 more, each 6.952 further\n");
	expect_part("\n      8  rough");
	expect_part("\n    193  rough");
	expect_part("\n    200  skim");
	expect_part("\n   72  -X");
	assert_null(strstr(summary, "\n      9  rough"));
	assert_null(strstr(summary, "\n    192  rough"));
	assert_int_equal(count_of(summary, "STOP."), 2);
	assert_true(count_of(summary, "\n") < 130);
	check_lines(0, summary);
	planning_close(&planning);
}

static void
a_short_table_is_shown_whole(void **state)
{
	static const char yaml[] = "units: mm\nmaterial: plastic\nstock: {length: 50, width: 160, height: 62}\n"
				   "finished_height: 50\n"
				   "cutter: {kind: end mill, diameter: 10, teeth: 2, edge: hss, nose_radius: 0}\n"
				   "cut: {rough: 0.5, skim: 0.5, test_cut: 0.5, milling: either}\n";
	struct planning   planning;

	(void)state;
	planned_summary(&planning, yaml, ALONG_X);
	assert_int_equal(planning.plan.schedule.count, 24);
	assert_int_equal(planning.plan.layout.passes, 23);
	assert_null(strstr(summary, "..."));
	assert_int_equal(count_of(summary, "  rough  "), 22);
	assert_int_equal(count_of(summary, "  -X  ") + count_of(summary, "  +X  "), 23);
	expect_part("Chips         to the back: put a guard back and left; stand at the front.\n"
	            "              to the front: put a guard left and front; stand at the right.\n");
	planning_close(&planning);
}

/* Only the pattern of a single pass splits what hangs over in four. */
static void
what_hangs_over_is_said_where_one_pass_covers(void **state)
{
	static const char *const patterns[] = { "single", "one-way", "zigzag" };

	(void)state;
	for (size_t i = 0; i < 3; i++) {
		char            yaml[512];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		text_format(&out,
		            "units: mm\nmaterial: plastic\nstock: {length: 50, width: 20, height: 52}\n"
		            "finished_height: 50\n"
		            "cutter: {kind: end mill, diameter: 40, teeth: 2, edge: hss, nose_radius: 0}\n"
		            "cut: {pattern: %s}\n",
		            patterns[i]);
		planned_summary(&planning, text_end(&out), ALONG_X);
		assert_int_equal(planning.plan.layout.passes, 1);
		assert_int_equal(strstr(summary, "to spare") != NULL, i == 0);
		planning_close(&planning);
	}
}

static void
a_highest_block_keeps_its_lines_short(void **state)
{
	static const char yaml[] = "units: mm\nmaterial: plastic\nstock: {length: 2000, width: 2000, height: 1000}\n"
				   "finished_height: 998\nzero: {x: right, y: back, z: bottom}\n"
				   "cutter: {kind: end mill, diameter: 1, teeth: 1, edge: hss, nose_radius: 0}\n"
				   "cut: {feed_per_tooth: 0.005, retract: 500}\n";
	struct planning   planning;

	(void)state;
	planned_summary(&planning, yaml, ALONG_X);
	check_lines(0, summary);
	planning_close(&planning);
}

/* The figures of the block are what a person measures first. */
static void
a_long_name_leaves_the_figures_in_place(void **state)
{
	static char     yaml[4096], name[1501];
	struct text     out = text_over(yaml, sizeof yaml);
	struct planning planning;

	(void)state;
	memset(name, 'n', sizeof name - 1);
	text_string(&out, "units: mm\nmaterial: {name: ");
	text_string(&out, name);
	text_string(&out, ", group: N, cutting_speed: 100 m/min, feed_per_tooth: 0.1}\n"
	                  "stock: {length: 123, width: 45, height: 67}\nfinished_height: 65\n"
	                  "cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide}\n");
	planned_summary(&planning, text_end(&out), ALONG_X);
	check_lines(0, summary);
	check_heading(0, &planning.plan);
	expect_part("123.000");
	planning_close(&planning);
}

/* A pass of no more than half the cutter is conventional through and through only if the centre line is beside it. */
static void
the_cut_is_mostly_so_where_the_centre_line_runs_over_it(void **state)
{
	static const struct {
		const char *width, *settings, *word;
	} cases[] = {
		{ "20", "{pattern: zigzag}", "  mostly conventional " }, /* the line is 2 mm inside */
		{ "20", "{pattern: one-way, milling: climb}", "  mostly climb " },
		{ "60", "{pattern: one-way, stepover: 40 %}", "  conventional " },
		{ "60", "{pattern: one-way, stepover: 40 %, milling: climb}", "  climb " },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		char            yaml[512];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		text_format(
		    &out,
		    "units: mm\nmaterial: brass\nstock: {length: 80, width: %s, height: 52}\nfinished_height: 50\n"
		    "cutter: {kind: end mill, diameter: 40, teeth: 2, edge: hss}\ncut: %s\n",
		    cases[i].width, cases[i].settings);
		planned_summary(&planning, text_end(&out), ALONG_X);
		expect_part(cases[i].word);
		planning_close(&planning);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(no_line_is_too_long_for_random_jobs_with_nasty_titles),
		cmocka_unit_test(a_worked_example_has_its_figures),
		cmocka_unit_test(a_program_from_a_measured_face_says_so_and_where_it_is),
		cmocka_unit_test(how_the_part_is_held_is_told_in_one_place),
		cmocka_unit_test(nothing_is_told_of_a_hold_that_is_not_described),
		cmocka_unit_test(long_tables_are_thinned_and_say_so),
		cmocka_unit_test(a_short_table_is_shown_whole),
		cmocka_unit_test(what_hangs_over_is_said_where_one_pass_covers),
		cmocka_unit_test(the_cut_is_mostly_so_where_the_centre_line_runs_over_it),
		cmocka_unit_test(a_highest_block_keeps_its_lines_short),
		cmocka_unit_test(a_long_name_leaves_the_figures_in_place),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
