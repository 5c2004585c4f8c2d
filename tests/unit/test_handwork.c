#include "handles.h"

#include <stdio.h>

#include "skimcut/handwork.h"
#include "skimcut/measured.h"
#include "skimcut/paper.h"
#include "skimcut/summary.h"

enum { SENTENCE = 960 };

typedef bool telling(const struct plan *plan, size_t index, struct text *out);

/* 100 x 90 mm from 20 down to 16 under a cutter of 63: a test cut to 19.25, three of 1 mm, a skim; passes along X. */
#define WORK                                                                                                           \
	"units: mm\nmaterial: {group: K, cutting_speed: 100 m/min, feed_per_tooth: 0.1}\n"                             \
	"stock: {length: 100, width: 90, height: 20}\nfinished_height: 16\n"                                           \
	"cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide}\n"
/* As wide as one pass. */
#define NARROW                                                                                                         \
	"units: mm\nmaterial: brass\nstock: {length: 100, width: 40, height: 20}\nfinished_height: 16\n"               \
	"cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide}\n"
/* Told, so that thin chips change nothing: 130 rpm and 5 teeth of 0.1 mm make 65 mm/min, of 0.05 mm 32. */
#define FED "cut: {feed_per_tooth: 0.1}\n"
#define DIALS                                                                                                          \
	"x: {per_turn: 5, graduation: 0.05}, y: {per_turn: 5, graduation: 0.05}, knee: {per_turn: 2, graduation: "     \
	"0.02}"
#define MANUAL(more) "machine: {kind: manual, spindle: {speeds: [130]}" more "}\n"

static void
plan_open(struct planning *planning, const char *yaml, const char *measured)
{
	if (!planning_open(planning, yaml))
		fail_msg("not a job: %s\n%s", planning->diag.first->text, yaml);
	if (measured)
		assert_true(measured_take(&planning->job, measured, &planning->diag));
	if (!planning_plan(planning, ALONG_X))
		fail_msg("no plan: %s\n%s", planning->diag.first->text, yaml);
}

/* Sentence `index`; NULL past the last. Room for a longer one than may be. */
static const char *
told(telling *tell, const struct plan *plan, size_t index)
{
	static char buffer[4 * SENTENCE];
	struct text out = text_over(buffer, sizeof buffer);

	return tell(plan, index, &out) ? text_end(&out) : NULL;
}

static const char *
fed(const struct plan *plan, bool skim)
{
	static char buffer[4 * SENTENCE];
	struct text out = text_over(buffer, sizeof buffer);

	handwork_feed(plan, skim, &out);
	return text_end(&out);
}

/* The first of them that has `part` in it; SIZE_MAX: none. */
static size_t
index_of(telling *tell, const struct plan *plan, const char *part)
{
	const char *sentence;

	for (size_t i = 0; (sentence = told(tell, plan, i)); i++)
		if (strstr(sentence, part))
			return i;
	return SIZE_MAX;
}

static void
expect_sentence(const char *sentence, uint64_t seed)
{
	size_t size = strlen(sentence);

	if (size == 0 || size >= SENTENCE || sentence[size - 1] != '.' || sentence[0] == ' ' ||
	    strstr(sentence, "  ") || strstr(sentence, "..") || strchr(sentence, '\n'))
		fail_msg("seed %llu: %zu bytes: '%s'", (unsigned long long)seed, size, sentence);
}

/* NULL: all of them are there, in this order; else the one that is not. */
static const char *
missing_of(const char *sentence, const char *const *parts, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		const char *at = strstr(sentence, parts[i]);

		if (!at)
			return parts[i];
		sentence = at + strlen(parts[i]);
	}
	return NULL;
}

/*
 * What keeps a hand, the work or the edges whole, of every manual plan: in one sentence of its list, in this order. A handle's word and
 * figures are looked for elsewhere.
 */
static const struct rule {
	telling    *tell;
	bool        fresh_only; /* not where a height was measured: nothing is set up anew */
	const char *parts[9];
} RULES[] = {
	{ handwork_before, true, { "Quill up and locked, and left so", "Gibs snug" } },
	{ handwork_before,
	  true,
	  { "edge finder", "Lower the knee until the finder is clear", "dial to zero there",
	    "Spindle off and standing still, the finder out" } },
	{ handwork_before,
	  true,
	  { "Spindle off: cutter in, drawbar tight", "Turn it round by hand", "clears jaws and clamps" } },
	{ handwork_before,
	  false,
	  { "highest spot", "spindle off and standing still", "raise the knee until the edge just nips a feeler",
	    "note the reading", "Lower the knee, feeler out, the work clear of the cutter",
	    "come up again to that reading and the feeler's thickness more", "set the knee's dial to zero there" } },
	{ handwork_before,
	  false,
	  { "Lower the knee by ", "take the work clear of the cutter beyond the start of pass 1", "start the spindle",
	    "clockwise seen from above" } },
	{ handwork_between,
	  false,
	  { "The work clear of the cutter, beyond the start of the pass", " unlocked. Bring the ", " dial ",
	    "so that backlash does not count", "gone past, half a turn back and again" } },
	{ handwork_between,
	  false,
	  { "Knee unlocked, bring it up", "its turns counted", "in air, and never down to it",
	    "lower it by half a turn and come up again" } },
	{ handwork_between, false, { "Lock knee and ", " stays free" } },
	{ handwork_between,
	  false,
	  { "from air into air, and do not stop in the cut", "labouring motor: feed out, stop, ask why" } },
	{ handwork_between, false, { "unlock the knee and lower it by ", " before you go back over the work" } },
	{ handwork_stop,
	  false,
	  { "Spindle off, and wait until it STANDS STILL: no hand goes near before", "well away from the cutter" } },
	{ handwork_stop,
	  false,
	  { "Brush the chips off", "If not, the part has moved: seat it, and none of these readings holds any more",
	    "measure its highest spot and plan anew with --measured" } },
	{ handwork_stop, false, { "burr", "Measure four corners and the middle", "the highest counts" } },
	{ handwork_stop,
	  false,
	  { "The highest less ", "counted from the reading of this cut",
	    "If that is not as planned, plan anew with --measured and the highest" } },
	{ handwork_stop,
	  false,
	  { "below the reading of this cut", "the work clear of the cutter beyond the start of pass 1", "nobody near",
	    "only then the spindle on" } },
};

static void
rules_check(const struct plan *plan, uint64_t seed)
{
	for (size_t i = 0; i < sizeof RULES / sizeof RULES[0]; i++) {
		const struct rule *rule    = &RULES[i];
		size_t             count   = 0;
		bool               is_said = rule->fresh_only && plan->job->told.height > 0;

		while (count < 9 && rule->parts[count])
			count++;
		for (size_t k = 0; !is_said && told(rule->tell, plan, k); k++)
			is_said = !missing_of(told(rule->tell, plan, k), rule->parts, count);
		if (!is_said)
			fail_msg("seed %llu: nobody says: %s, ... %s", (unsigned long long)seed, rule->parts[0],
			         rule->parts[count - 1]);
	}
}

/* Nowhere is a cut deeper for what a dial reads, and nowhere is a line left out. */
static void
knee_check(const struct plan *plan, uint64_t seed)
{
	const struct dial *knee = &plan->job->machine.dials.knee;

	for (size_t i = 0; i < plan->schedule.count; i++) {
		Length         up = plan->job->stock.height - plan->schedule.cuts[i].floor;
		struct reading reading;
		Length         read_off;

		holds(seed, handwork_up(plan, i) == up && up > 0);
		if (knee->per_turn == 0)
			continue;
		reading  = handwork_knee(plan, i);
		read_off = reading.turns * knee->per_turn + reading.tenths * knee->graduation / 10;
		holds(seed, !reading.back && read_off <= up && up - read_off <= knee->graduation / 10 + 1);
	}
}

static void
expect_columns(const char *page, uint64_t seed)
{
	for (const char *line = page; *line; line += strcspn(line, "\n") + 1)
		if (strcspn(line, "\n") > PAPER_COLUMNS)
			fail_msg("seed %llu: too wide: %.*s", (unsigned long long)seed, (int)strcspn(line, "\n"), line);
}

static void
page_check(const struct planning *planning, const char *page, uint64_t seed)
{
	static telling *const TELLINGS[] = { handwork_before, handwork_between, handwork_stop };
	const struct plan    *plan       = &planning->plan;
	const char           *sentence;

	for (size_t k = 0; k < 3; k++) {
		size_t count = 0;

		while ((sentence = told(TELLINGS[k], plan, count))) {
			expect_sentence(sentence, seed);
			count++;
		}
		holds(seed, count == (k > 0 ? 5 : plan->job->told.height > 0 ? 3 : 6));
		holds(seed, !told(TELLINGS[k], plan, count + 1));
	}
	for (int skim = 0; skim < 2; skim++) {
		expect_sentence(fed(plan, skim), seed);
		holds(seed, fed(plan, skim)[0] >= 'a' && fed(plan, skim)[0] <= 'z');
	}
	rules_check(plan, seed);
	knee_check(plan, seed);
	expect_columns(page, seed);
	holds(seed, strstr(page, "\nBefore") && strstr(page, "\nEach pass     1."));
	holds(seed, strstr(page, "\nBefore") < strstr(page, "\nEach pass     1."));
	/* Columns of nobody's dial are not there. */
	holds(seed, !strstr(page, "\nKnee dial") == (planning->job.machine.dials.knee.per_turn == 0));
	holds(seed, !strstr(page, plan->layout.along == ALONG_X ? "\nY dial" : "\nX dial") ==
	                (dial_across(&planning->job.machine, plan->layout.along)->per_turn == 0));
}

static void
every_sentence_ends_and_every_line_fits(void **state)
{
	static char page[1 << 18];
	uint64_t    random = 1618033988, made = 0, measured = 0;

	(void)state;
	for (int i = 0; i < 450; i++) {
		const uint64_t  seed = random;
		struct handle   none = { 0, 0 }, knee = random_chance(&random, 6) ? none : random_handle(&random);
		char            yaml[4096], height[64];
		struct text     out = text_over(yaml, sizeof yaml), at = text_over(height, sizeof height);
		struct planning planning;
		bool            again = random_chance(&random, 3);

		random_manual_job(&random, "pad", &knee, &out);
		if (!planning_open(&planning, yaml))
			fail_msg("seed %llu: %s\n%s", (unsigned long long)seed, planning.diag.first->text, yaml);
		if (again) {
			Length h = random_between(&random, planning.job.finished_height, planning.job.stock.height);

			text_format(&at, "%lld.%06d mm", (long long)(h / LENGTH_MM), (int)(h % LENGTH_MM));
			again = measured_take(&planning.job, text_end(&at), &planning.diag);
		}
		if (planning.diag.errors == 0 && planning_plan(&planning, i % 2 ? ALONG_X : ALONG_Y)) {
			out = text_over(page, sizeof page);
			summary_print(&planning.plan, &planning.diag, &out);
			holds(seed, !out.failed);
			page_check(&planning, text_end(&out), seed);
			holds(seed, !strstr(page, "\n            STOP.") == !strstr(page, "\nAt a stop"));
			holds(seed, !strstr(page, "more like these") && !strstr(page, "more, each"));
			made++;
			measured += again;
		}
		planning_close(&planning);
	}
	assert_true(made >= 300 && measured > 50);
}

static void
only_a_machine_worked_by_hand_wants_it(void **state)
{
	static const struct {
		const char *machine;
		bool        wanted;
	} CASES[] = {
		{ MANUAL(""), true },
		{ MANUAL(", dials: {" DIALS "}"), true },
		{ "machine: {kind: cnc, dials: {" DIALS "}}\n", false },
		{ "", false },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		static char     page[1 << 16];
		char            yaml[2048];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		text_format(&out, WORK "%s", CASES[i].machine);
		plan_open(&planning, text_end(&out), NULL);
		assert_int_equal(handwork_wanted(&planning.plan), CASES[i].wanted);
		out = text_over(page, sizeof page);
		summary_print(&planning.plan, &planning.diag, &out);
		assert_int_equal(strstr(text_end(&out), "handle") != NULL, CASES[i].wanted);
		planning_close(&planning);
	}
}

/* Vise and head before edges, edges before the cutter, that before the touch-off, that before the spindle runs for the first time. */
static void
the_order_before_the_first_cut(void **state)
{
	static const struct {
		const char *hold, *seat;
	} CASES[] = {
		{ "vise: {front_jaw: 10, rear_jaw: 10, jaw_width: 150}\nparallels: [5, 8]\n",
		  "jaws and bed wiped clean, the part on the 5 mm parallels and centred on the screw; tighten, tap it "
		  "down "
		  "with a soft hammer until no parallel can be moved" },
		{ "vise: {front_jaw: 10, rear_jaw: 10, jaw_width: 150}\n",
		  "tap the part down with a soft hammer until it sits on the bed without rocking" },
		{ "", "without rocking, and every clamp and nut tight" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		const char *const ORDER[] = { "spindle square",           CASES[i].seat, "edge finder",
			                      "cutter in, drawbar tight", "Touch off",   "start the spindle" };
		char              yaml[2048];
		struct text       out = text_over(yaml, sizeof yaml);
		struct planning   planning;

		text_format(&out, WORK MANUAL(", dials: {" DIALS "}") "%s", CASES[i].hold);
		plan_open(&planning, text_end(&out), NULL);
		for (size_t k = 0; k < sizeof ORDER / sizeof ORDER[0]; k++)
			if (index_of(handwork_before, &planning.plan, ORDER[k]) != k)
				fail_msg("out of its order: %s", ORDER[k]);
		assert_null(told(handwork_before, &planning.plan, 6));
		assert_non_null(strstr(told(handwork_before, &planning.plan, 5), "start the spindle at 130 rpm"));
		/* Of a tram that nobody told there is nothing to say. */
		assert_int_equal(index_of(handwork_before, &planning.plan, "it was"), SIZE_MAX);
		planning_close(&planning);
	}
}

/* How far the tram was off, where it is told. */
static void
the_tram_that_was_found_is_told(void **state)
{
	struct planning planning;

	(void)state;
	plan_open(&planning, WORK MANUAL(", tram: {error: 0.03, over: 200}"), NULL);
	assert_non_null(strstr(told(handwork_before, &planning.plan, 0), "it was 0.03 mm over 200 mm"));
	planning_close(&planning);
}

/* A middle is found from both edges; of edges there is nothing more to say. */
static void
a_middle_is_halfway_between_two_edges(void **state)
{
	static const struct {
		const char *zero, *words;
		bool        middle;
	} CASES[] = {
		{ "", "find the left edge and the front edge with", false },
		{ "zero: {x: centre}\n", "find the middle of the length and the front edge with", true },
		{ "zero: {y: centre}\n", "find the left edge and the middle of the width with", true },
		{ "zero: {x: right, y: back}\n", "find the right edge and the back edge with", false },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char            yaml[2048];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		const char     *sentence;

		text_format(&out, WORK MANUAL("") "%s", CASES[i].zero);
		plan_open(&planning, text_end(&out), NULL);
		sentence = told(handwork_before, &planning.plan, 2);
		assert_non_null(strstr(sentence, CASES[i].words));
		assert_int_equal(strstr(sentence, "halfway between the readings at both edges") != NULL,
		                 CASES[i].middle);
		planning_close(&planning);
	}
}

static void
at_a_stop_the_spindle_stands_still_before_anything_else(void **state)
{
	static const struct {
		const char *hold, *seat;
	} CASES[] = {
		{ "vise: {front_jaw: 10, rear_jaw: 10, jaw_width: 150}\nparallels: [5, 8]\n",
		  "Try the parallels: are they still tight at all corners?" },
		{ "vise: {front_jaw: 10, rear_jaw: 10, jaw_width: 150}\n",
		  "Try the part: does it sit as tight as before?" },
		{ "", "Try the part: does it sit as tight as before?" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		const char *const ORDER[] = { "STANDS STILL", CASES[i].seat, "Measure four corners",
			                      "The highest less 16.000", "only then the spindle on" };
		char              yaml[2048];
		struct text       out = text_over(yaml, sizeof yaml);
		struct planning   planning;
		const char       *first;

		text_format(&out, WORK MANUAL("") "%s", CASES[i].hold);
		plan_open(&planning, text_end(&out), NULL);
		first = told(handwork_stop, &planning.plan, 0);
		assert_memory_equal(first, "Spindle off", strlen("Spindle off"));
		/* Brushes and callipers come later. */
		assert_null(strstr(first, "chips"));
		assert_null(strstr(first, "easure"));
		for (size_t k = 0; k < sizeof ORDER / sizeof ORDER[0]; k++)
			if (index_of(handwork_stop, &planning.plan, ORDER[k]) != k)
				fail_msg("out of its order: %s", ORDER[k]);
		assert_null(told(handwork_stop, &planning.plan, 5));
		planning_close(&planning);
	}
}

/* Each pass: what moves is unlocked before it is moved and locked before it is fed, and the knee goes back down before the work does. */
static void
a_pass_has_its_order(void **state)
{
	static const struct {
		enum along  along;
		const char *order[5];
	} CASES[] = {
		{ ALONG_X,
		  { "saddle unlocked. Bring the Y dial", "Knee unlocked, bring it up",
		    "Lock knee and saddle; the table handle stays free", "Feed evenly", "Beyond the end back off" } },
		{ ALONG_Y,
		  { "table unlocked. Bring the X dial", "Knee unlocked, bring it up",
		    "Lock knee and table; the saddle handle stays free", "Feed evenly", "Beyond the end back off" } },
	};

	(void)state;
	for (size_t i = 0; i < 2; i++) {
		struct planning planning;

		assert_true(planning_open(&planning, WORK MANUAL("")) && planning_plan(&planning, CASES[i].along));
		for (size_t k = 0; k < 5; k++)
			if (index_of(handwork_between, &planning.plan, CASES[i].order[k]) != k)
				fail_msg("out of its order: %s", CASES[i].order[k]);
		assert_null(told(handwork_between, &planning.plan, 5));
		planning_close(&planning);
	}
}

/* A lever is there where the table is driven, and only there. */
static void
a_power_feed_has_its_stops_set_and_a_hand_on_its_lever(void **state)
{
	static const struct {
		const char *machine;
		bool        is_driven;
	} CASES[] = {
		{ MANUAL(", power_feed: {rates: [65, 32]}"), true },
		{ MANUAL(", power_feed: {rates: [65, 32], axes: y}"), false },
		/* a setting that is not near is not taken */
		{ MANUAL(", power_feed: {rates: [5]}"), false },
		{ MANUAL(", power_feed: {rates: [32]}"), true },
		{ MANUAL(""), false },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char            yaml[2048];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		text_format(&out, WORK FED "%s", CASES[i].machine);
		plan_open(&planning, text_end(&out), NULL);
		assert_int_equal(index_of(handwork_between, &planning.plan,
		                          "do not stop in the cut: a cutter that dwells leaves a mark. The power "
		                          "feed's stops are set, and a hand is on its lever.") != SIZE_MAX,
		                 CASES[i].is_driven);
		planning_close(&planning);
	}
}

static void
no_stop_is_explained_where_there_is_none(void **state)
{
	static const struct {
		const char *cut;
		bool        stops;
	} CASES[] = {
		{ "", true },
		{ "cut: {measure: [skim]}\n", true },
		{ "cut: {measure: [test]}\n", true },
		{ "cut: {measure: []}\n", false },
		{ "cut: {measure: [test], test_cut: 0}\n", false },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		static char     page[1 << 16];
		char            yaml[2048];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		text_format(&out, WORK MANUAL("") "%s", CASES[i].cut);
		plan_open(&planning, text_end(&out), NULL);
		out = text_over(page, sizeof page);
		handwork_print(&planning.plan, &out);
		if ((strstr(text_end(&out), "\nAt a stop") != NULL) != CASES[i].stops)
			fail_msg("'%s': %s", CASES[i].cut, CASES[i].stops ? "nothing of a stop" : "there is no stop");
		planning_close(&planning);
	}
}

/* Up from the top to every floor; 2 mm and 100 lines a turn. Hand-worked. */
static void
the_knee_is_read_up_from_the_touch_off_or_from_the_face_measured(void **state)
{
	static const struct {
		const char *cut, *measured, *readings[6];
	} CASES[] = {
		/* 0.75, 1.75, 2.75, 3.75, 4: a skim of 0.25 is 12.5 lines, so nothing is brought to whole ones */
		{ "", NULL, { "0 turns + 37.5", "0 turns + 87.5", "1 turn + 37.5", "1 turn + 87.5", "2 turns + 0" } },
		/* a skim of 12 lines: 37 + 51 + 50 + 50 + 12 = 200 */
		{ "cut: {skim: 0.24}\n",
		  NULL,
		  { "0 turns + 37", "0 turns + 88", "1 turn + 38", "1 turn + 88", "2 turns + 0" } },
		/* 2.95 in three: 0.984, 0.983, 0.983; then 0.25. 1.967 are 98.35 lines, and the knee comes no farther than 98.3 */
		{ "", "19.2", { "0 turns + 49.2", "0 turns + 98.3", "1 turn + 47.5", "1 turn + 60" } },
		/* 3.2 are 160 lines: 50 + 49 + 49 + 12 */
		{ "cut: {skim: 0.24}\n", "19.2", { "0 turns + 50", "0 turns + 99", "1 turn + 48", "1 turn + 60" } },
		/* 160 lines and half of one, which comes off first */
		{ "cut: {skim: 0.24}\n",
		  "19.21",
		  { "0 turns + 49.5", "0 turns + 99.5", "1 turn + 48.5", "1 turn + 60.5" } },
		{ "", "16.2", { "0 turns + 10" } },
		/* the skim takes what would rub above it */
		{ "", "16.3", { "0 turns + 15" } },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char            yaml[2048];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		size_t          count = 0;

		text_format(&out, WORK MANUAL(", dials: {" DIALS "}") "%s", CASES[i].cut);
		plan_open(&planning, text_end(&out), CASES[i].measured);
		for (; CASES[i].readings[count]; count++) {
			struct reading reading = handwork_knee(&planning.plan, count);

			assert_false(reading.back);
			assert_string_equal(dial_show(&reading).text, CASES[i].readings[count]);
		}
		assert_int_equal(planning.plan.schedule.count, count);
		planning_close(&planning);
	}
}

/* 90 mm in three: 31.05 apart, at 90.45, 59.4 and 28.35. 100 mm in three: 34.4 apart, at 97.15, 62.75 and 28.35. Hand-worked; the
 * work slides the other way than the cutter comes over it. */
static void
a_pass_is_read_from_the_zero_edge_and_which_way_is_told(void **state)
{
	static const struct {
		const char *zero;
		enum along  along;
		const char *readings[3];
	} CASES[] = {
		{ "",
		  ALONG_X,
		  { "18 turns + 9, saddle to the front", "11 turns + 88, saddle to the front",
		    "5 turns + 67, saddle to the front" } },
		{ "zero: {y: back}\n",
		  ALONG_X,
		  { "0 turns + 9, saddle to the front", "6 turns + 12, saddle to the back",
		    "12 turns + 33, saddle to the back" } },
		{ "zero: {y: centre}\n",
		  ALONG_X,
		  { "9 turns + 9, saddle to the front", "2 turns + 88, saddle to the front",
		    "3 turns + 33, saddle to the back" } },
		{ "",
		  ALONG_Y,
		  { "19 turns + 43, table to the left", "12 turns + 55, table to the left",
		    "5 turns + 67, table to the left" } },
		{ "zero: {x: right}\n",
		  ALONG_Y,
		  { "0 turns + 57, table to the right", "7 turns + 45, table to the right",
		    "14 turns + 33, table to the right" } },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char            yaml[2048];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		text_format(&out, WORK FED MANUAL(", dials: {" DIALS "}") "%s", CASES[i].zero);
		assert_true(planning_open(&planning, text_end(&out)) && planning_plan(&planning, CASES[i].along));
		assert_int_equal(planning.plan.layout.passes, 3);
		for (int64_t k = 0; k < 3; k++)
			assert_string_equal(handwork_across_show(&planning.plan, k).text, CASES[i].readings[k]);
		planning_close(&planning);
	}
}

/* Nobody slides anything to come to where he is. */
static void
a_pass_over_the_zero_goes_no_way(void **state)
{
	struct planning planning;

	(void)state;
	plan_open(&planning, WORK FED MANUAL(", dials: {" DIALS "}"), NULL);
	planning.plan.zero.y = layout_pass(&planning.plan.layout, 1).from.y;
	assert_string_equal(handwork_across_show(&planning.plan, 1).text, "0 turns + 0");
	planning.plan.zero.y += 4000; /* less than a tenth of a line of 0.05 mm */
	assert_string_equal(handwork_across_show(&planning.plan, 1).text, "0 turns + 0");
	planning.plan.zero.y += 1000;
	assert_string_equal(handwork_across_show(&planning.plan, 1).text, "0 turns + 0.1, saddle to the back");
	planning_close(&planning);
}

/* As the passes follow one another, so that every one is come to from the same side; the dial's zero, too. */
static void
backlash_is_taken_out_the_way_that_passes_follow(void **state)
{
	static const struct {
		const char *cut;
		enum along  along;
		const char *slide, *cutter, *axis;
	} CASES[] = {
		{ "conventional", ALONG_X, "saddle going to the back", "the cutter to the front", "Y" },
		{ "climb", ALONG_X, "saddle going to the front", "the cutter to the back", "Y" },
		{ "conventional", ALONG_Y, "table going to the right", "the cutter to the left", "X" },
		{ "climb", ALONG_Y, "table going to the left", "the cutter to the right", "X" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char            yaml[2048], words[256];
		struct text     out = text_over(yaml, sizeof yaml), say = text_over(words, sizeof words);
		struct planning planning;
		struct pass     first, second;
		bool            up;

		text_format(&out, WORK MANUAL("") "cut: {milling: %s}\n", CASES[i].cut);
		assert_true(planning_open(&planning, text_end(&out)) && planning_plan(&planning, CASES[i].along));
		first  = layout_pass(&planning.plan.layout, 0);
		second = layout_pass(&planning.plan.layout, 1);
		up     = CASES[i].along == ALONG_X ? second.from.y > first.from.y : second.from.x > first.from.x;
		assert_int_equal(up, strstr(CASES[i].cutter, "back") || strstr(CASES[i].cutter, "right"));
		text_format(&say, "Bring the %s dial to the pass's reading with the %s (%s over the work)",
		            CASES[i].axis, CASES[i].slide, CASES[i].cutter);
		assert_non_null(strstr(told(handwork_between, &planning.plan, 0), text_end(&say)));
		say = text_over(words, sizeof words);
		text_format(
		    &say,
		    "come over the %s zero once more with the %s, the way it will go from pass to pass, and set "
		    "the %s dial to zero there",
		    CASES[i].axis, CASES[i].slide, CASES[i].axis);
		assert_non_null(strstr(told(handwork_before, &planning.plan, 2), text_end(&say)));
		planning_close(&planning);
	}
}

/* By the clearance or more, and never by whole turns, of which one too many would read as right; without a dial, the clearance. */
static void
the_knee_is_backed_off_by_the_clearance_or_more(void **state)
{
	static const struct {
		const char *rest, *by;
	} CASES[] = {
		{ MANUAL(", dials: {" DIALS "}"), "2-1/2 turns" },
		{ MANUAL(", dials: {" DIALS "}") "cut: {clearance: 0.5}\n", "1-1/2 turns" },
		{ MANUAL(", dials: {" DIALS "}") "cut: {clearance: 4}\n", "2-1/2 turns" },
		{ MANUAL(", dials: {" DIALS "}") "cut: {clearance: 4.001}\n", "3-1/2 turns" },
		{ MANUAL(""), "2.5 mm" },
		{ MANUAL("") "cut: {clearance: 4}\n", "4 mm" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char            yaml[2048], words[4][128];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		text_format(&out, WORK "%s", CASES[i].rest);
		plan_open(&planning, text_end(&out), NULL);
		snprintf(words[0], 128, "Lower the knee by %s, take the work clear", CASES[i].by);
		snprintf(words[1], 128, "unlock the knee and lower it by %s before you go back over the work",
		         CASES[i].by);
		snprintf(words[2], 128, "the knee %s below the reading of this cut", CASES[i].by);
		if (index_of(handwork_before, &planning.plan, words[0]) == SIZE_MAX ||
		    index_of(handwork_between, &planning.plan, words[1]) == SIZE_MAX ||
		    index_of(handwork_stop, &planning.plan, words[2]) == SIZE_MAX)
			fail_msg("'%s': not by %s", CASES[i].rest, CASES[i].by);
		planning_close(&planning);
	}
}

/* There and back at one reading of the knee; the way back over the work comes after the last pass only. */
static void
a_zigzag_steps_over_in_air_and_backs_off_at_its_end(void **state)
{
	static const struct {
		const char *yaml, *parts[3];
	} CASES[] = {
		{ WORK MANUAL("") "cut: {pattern: zigzag}\n",
		  { "Beyond the end step over in air to the next pass, at the same knee reading.",
		    "After the last pass unlock the knee and lower it by 2.5 mm before you go back over the work",
		    "then the stop" } },
		{ WORK MANUAL(""),
		  { "Beyond the end back off: unlock the knee and lower it by 2.5 mm before you go back",
		    "Then the next pass; after the last, the stop" } },
		/* one pass is enough, and is the last */
		{ NARROW MANUAL("") "cut: {pattern: zigzag}\n",
		  { "Beyond the end back off: unlock the knee and lower it by 2.5 mm before you go back",
		    "over the work. Then the stop" } },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		size_t          count = CASES[i].parts[2] ? 3 : 2;
		struct planning planning;

		plan_open(&planning, CASES[i].yaml, NULL);
		assert_null(missing_of(told(handwork_between, &planning.plan, 4), CASES[i].parts, count));
		planning_close(&planning);
	}
}

/* A short list: nothing that stands is set up anew, and the knee's zero is that at which the face was cut. */
static void
after_a_measurement_the_dial_is_zero_at_the_face_measured(void **state)
{
	static const char *const NOT_AGAIN[] = { "spindle square", "edge finder", "cutter in", "tap",
		                                 "the stock's highest spot" };
	static const char *const ORDER[]     = { "the work clear of the cutter, bring it up to the reading that it had",
		                                 "when the measured face of 19.200 was cut",
		                                 "set its dial to zero there",
		                                 "or the part was seated anew, touch off on the face's highest spot",
		                                 "spindle off and standing still",
		                                 "the work clear of the cutter" };
	struct planning          planning;

	(void)state;
	plan_open(&planning, WORK MANUAL(", dials: {" DIALS "}"), "19.2");
	assert_non_null(strstr(told(handwork_before, &planning.plan, 0), "stand as they did when the face was cut"));
	assert_non_null(strstr(told(handwork_before, &planning.plan, 0), "Whatever was moved is set up anew"));
	assert_null(missing_of(told(handwork_before, &planning.plan, 1), ORDER, sizeof ORDER / sizeof ORDER[0]));
	assert_int_equal(index_of(handwork_before, &planning.plan, "start the spindle"), 2);
	assert_null(told(handwork_before, &planning.plan, 3));
	for (size_t i = 0; i < sizeof NOT_AGAIN / sizeof NOT_AGAIN[0]; i++)
		assert_int_equal(index_of(handwork_before, &planning.plan, NOT_AGAIN[i]), SIZE_MAX);
	planning_close(&planning);
}

/* Passes along X at 65 mm/min, the skim at 32. Hand-worked. */
static void
how_the_table_is_fed_is_told(void **state)
{
	static const struct {
		const char *machine, *rough, *skim;
		enum along  along;
	} CASES[] = {
		{ "",
		  "by hand at 65 mm/min; the dial of the table handle is not told, so neither is how fast to turn it.",
		  "by hand at 32 mm/min; the dial of the table handle is not told, so neither is how fast to turn it.",
		  ALONG_X },
		/* 65 / 5 = 13 turns a minute; 32 / 5 = 6.4 */
		{ ", dials: {x: {per_turn: 5, graduation: 0.05}}",
		  "by hand, one turn of the table handle every 4.6 s, 13 a minute.",
		  "by hand, one turn of the table handle every 9.4 s, 6.4 a minute.", ALONG_X },
		/* 65 / 10 = 6.5; 32 / 10 = 3.2, a turn in 18.75 s */
		{ ", dials: {x: {per_turn: 10, graduation: 0.1}}",
		  "by hand, one turn of the table handle every 9.2 s, 6.5 a minute.",
		  "by hand, a quarter turn of the table handle every 4.7 s, 3.2 turns a minute.", ALONG_X },
		{ ", dials: {x: {per_turn: 1, graduation: 0.01}}",
		  "by hand it would be 65 turns of the table handle a minute, faster than a hand turns evenly.",
		  "by hand, one turn of the table handle every 1.9 s, 32 a minute.", ALONG_X },
		{ ", dials: {y: {per_turn: 5, graduation: 0.05}}",
		  "by hand, one turn of the saddle handle every 4.6 s, 13 a minute.",
		  "by hand, one turn of the saddle handle every 9.4 s, 6.4 a minute.", ALONG_Y },
		{ ", power_feed: {rates: [100, 20, 60]}",
		  "by power feed at its setting of 60 mm/min, for the plan's 65 mm/min.",
		  "by power feed at its setting of 20 mm/min, for the plan's 32 mm/min.", ALONG_X },
		/* exactly what is wanted, and twice what is wanted */
		{ ", dials: {x: {per_turn: 5, graduation: 0.05}}, power_feed: {rates: [65]}",
		  "by power feed at its setting of 65 mm/min.",
		  "the power feed has no setting near 32 mm/min: by hand, one turn of the table handle every 9.4 "
		  "s, 6.4 a "
		  "minute.",
		  ALONG_X },
		/* a tenth too fast, and a little more than that */
		{ ", power_feed: {rates: [71.5, 35.2]}",
		  "by power feed at its setting of 71.5 mm/min, for the plan's 65 mm/min.",
		  "by power feed at its setting of 35.2 mm/min, for the plan's 32 mm/min.", ALONG_X },
		{ ", power_feed: {rates: [71.6, 85.3]}",
		  "the power feed has no setting near 65 mm/min: by hand at 65 mm/min; the dial of the table "
		  "handle is not "
		  "told, so neither is how fast to turn it.",
		  NULL, ALONG_X },
		/* half of what is wanted and a little less: it would rub */
		{ ", power_feed: {rates: [32.5, 16.2]}",
		  "by power feed at its setting of 32.5 mm/min, for the plan's 65 mm/min.",
		  "by power feed at its setting of 32.5 mm/min, for the plan's 32 mm/min.", ALONG_X },
		{ ", power_feed: {rates: [32.4, 15.9]}",
		  "the power feed has no setting near 65 mm/min: by hand at 65 mm/min; the dial of the table handle is "
		  "not told, so neither is how fast to turn it.",
		  "by power feed at its setting of 32.4 mm/min, for the plan's 32 mm/min.", ALONG_X },
		/* a table that is held to 60 is not driven at 61, however near */
		{ ", feed: {max: 60}, power_feed: {rates: [61, 29]}",
		  "the power feed has no setting near 60 mm/min: by hand at 60 mm/min; the dial of the table handle is "
		  "not told, so neither is how fast to turn it.",
		  "by power feed at its setting of 29 mm/min, for the plan's 32 mm/min.", ALONG_X },
		{ ", feed: {max: 60}, power_feed: {rates: [60, 29]}", "by power feed at its setting of 60 mm/min.",
		  NULL, ALONG_X },
		/* it drives the table along X only */
		{ ", dials: {y: {per_turn: 5, graduation: 0.05}}, power_feed: {rates: [65]}",
		  "by hand, one turn of the saddle handle every 4.6 s, 13 a minute.", NULL, ALONG_Y },
		{ ", power_feed: {rates: [65], axes: [x, y]}", "by power feed at its setting of 65 mm/min.", NULL,
		  ALONG_Y },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char            yaml[2048];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		text_format(&out, WORK FED "machine: {kind: manual, spindle: {speeds: [130]}%s}\n", CASES[i].machine);
		assert_true(planning_open(&planning, text_end(&out)) && planning_plan(&planning, CASES[i].along));
		assert_string_equal(fed(&planning.plan, false), CASES[i].rough);
		if (CASES[i].skim)
			assert_string_equal(fed(&planning.plan, true), CASES[i].skim);
		planning_close(&planning);
	}
}

/* What the loads have held back stays back; what nothing has held may be a tenth faster. */
static void
an_eased_feed_is_not_driven_faster(void **state)
{
	struct planning planning;

	(void)state;
	plan_open(&planning, WORK FED MANUAL(", power_feed: {rates: [66]}"), NULL);
	assert_int_equal(planning.plan.easing.feed_ratio, RATIO_ONE);
	assert_int_equal(handwork_feeding(&planning.plan, false).setting, 66 * LENGTH_MM);
	planning.plan.easing.feed_ratio = RATIO_ONE - 1;
	assert_int_equal(handwork_feeding(&planning.plan, false).setting, 0);
	planning_close(&planning);
}

/* The only cut is the skim, and fed like one. */
static void
one_cut_has_one_feed(void **state)
{
	static char     page[1 << 16];
	struct text     out = text_over(page, sizeof page);
	struct planning planning;

	(void)state;
	plan_open(&planning, WORK FED MANUAL(""), "16.2");
	assert_int_equal(planning.plan.schedule.count, 1);
	handwork_print(&planning.plan, &out);
	assert_non_null(strstr(text_end(&out), "\nFeed          by hand at 32 mm/min"));
	assert_null(strstr(page, "65 mm/min"));
	assert_null(strstr(page, "At a stop"));
	planning_close(&planning);
	/* Of several each has its own. */
	out = text_over(page, sizeof page);
	plan_open(&planning, WORK FED MANUAL(""), NULL);
	handwork_print(&planning.plan, &out);
	assert_non_null(strstr(text_end(&out), "\nFeed          test and rough: by hand at 65 mm/min"));
	assert_non_null(strstr(page, "\n              skim: by hand at 32 mm/min"));
	planning_close(&planning);
}

static size_t
rows_of(const char *page, const char *title)
{
	const char *line = strstr(page, title);
	size_t      rows = 0;

	assert_non_null(line);
	line = strchr(strchr(line + 1, '\n') + 1, '\n') + 1; /* past the title and the heads of the columns */
	while (*line && *line != '\n') {
		rows++;
		line += strcspn(line, "\n") + 1;
	}
	return rows;
}

/* 0.1 mm at a time: a test cut, 38 of roughing, a skim; whoever stands at a handle cannot reckon those between. */
static void
no_table_of_a_hand_is_thinned(void **state)
{
	static char     page[1 << 18];
	struct text     out = text_over(page, sizeof page);
	struct planning planning;

	(void)state;
	plan_open(&planning,
	          WORK MANUAL(", dials: {" DIALS "}") "cut: {rough: 0.1, test_cut: 0.1, skim: 0.1, stepover: 5 %}\n",
	          NULL);
	assert_int_equal(planning.plan.schedule.count, 40);
	assert_true(planning.plan.layout.passes > PAPER_ROWS);
	summary_print(&planning.plan, &planning.diag, &out);
	text_end(&out);
	assert_int_equal(rows_of(page, "\nKnee dial"), 40);
	assert_int_equal(rows_of(page, "\nY dial"), planning.plan.layout.passes);
	assert_int_equal(rows_of(page, "\nPasses of each cut"), planning.plan.layout.passes);
	for (int i = 1; i <= 40; i++) {
		char row[16];

		snprintf(row, sizeof row, "\n%7d  %s", i, i == 1 ? "test" : i == 40 ? "skim" : "rough");
		assert_non_null(strstr(page, row));
	}
	assert_null(strstr(page, "   ...   "));
	planning_close(&planning);
}

/* A hand has no Z: how far the knee comes up, as its dial is read. */
static void
cuts_are_told_by_how_far_the_knee_comes_up(void **state)
{
	static char     page[1 << 16];
	struct text     out = text_over(page, sizeof page);
	struct planning planning;

	(void)state;
	plan_open(&planning, WORK MANUAL(", dials: {" DIALS "}") "zero: {z: bottom}\n", NULL);
	summary_print(&planning.plan, &planning.diag, &out);
	text_end(&out);
	assert_non_null(strstr(page, "\nCuts     kind       depth  height left    knee up  passes"));
	assert_non_null(strstr(page, "\n      1  test       0.750       19.250      0.750  "));
	assert_non_null(strstr(page, "\n      5  skim       0.250       16.000      4.000  "));
	assert_non_null(strstr(page, "\n     1       0.750    0 turns + 37.5\n"));
	assert_non_null(strstr(page, "\n     5       4.000    2 turns + 0\n"));
	planning_close(&planning);
}

/* What the last pass of so fine a stepover overlaps is all that is left to it. */
static void
a_pass_that_cuts_nothing_has_a_row_like_any_other(void **state)
{
	static char     page[1 << 18];
	struct text     out = text_over(page, sizeof page);
	struct planning planning;
	const char     *row;

	(void)state;
	plan_open(&planning, WORK MANUAL("") "cut: {stepover: 5 %}\n", NULL);
	assert_int_equal(planning.plan.layout.passes, 30);
	summary_print(&planning.plan, &planning.diag, &out);
	row = strstr(strstr(text_end(&out), "\nPasses of each cut"), "\n   30  ");
	assert_non_null(row);
	/* It throws to no side. */
	row = strstr(row, "conventional");
	assert_non_null(row);
	row += strlen("conventional");
	row += strspn(row, " -");
	assert_int_equal(*row, '\n');
	planning_close(&planning);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_sentence_ends_and_every_line_fits),
		cmocka_unit_test(only_a_machine_worked_by_hand_wants_it),
		cmocka_unit_test(the_order_before_the_first_cut),
		cmocka_unit_test(the_tram_that_was_found_is_told),
		cmocka_unit_test(a_middle_is_halfway_between_two_edges),
		cmocka_unit_test(at_a_stop_the_spindle_stands_still_before_anything_else),
		cmocka_unit_test(a_pass_has_its_order),
		cmocka_unit_test(a_power_feed_has_its_stops_set_and_a_hand_on_its_lever),
		cmocka_unit_test(no_stop_is_explained_where_there_is_none),
		cmocka_unit_test(the_knee_is_read_up_from_the_touch_off_or_from_the_face_measured),
		cmocka_unit_test(a_pass_is_read_from_the_zero_edge_and_which_way_is_told),
		cmocka_unit_test(a_pass_over_the_zero_goes_no_way),
		cmocka_unit_test(backlash_is_taken_out_the_way_that_passes_follow),
		cmocka_unit_test(the_knee_is_backed_off_by_the_clearance_or_more),
		cmocka_unit_test(a_zigzag_steps_over_in_air_and_backs_off_at_its_end),
		cmocka_unit_test(after_a_measurement_the_dial_is_zero_at_the_face_measured),
		cmocka_unit_test(how_the_table_is_fed_is_told),
		cmocka_unit_test(an_eased_feed_is_not_driven_faster),
		cmocka_unit_test(one_cut_has_one_feed),
		cmocka_unit_test(no_table_of_a_hand_is_thinned),
		cmocka_unit_test(cuts_are_told_by_how_far_the_knee_comes_up),
		cmocka_unit_test(a_pass_that_cuts_nothing_has_a_row_like_any_other),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
