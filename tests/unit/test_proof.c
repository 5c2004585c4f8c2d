#include "steps.h"

#include <stdlib.h>

#include "skimcut/block.h"
#include "skimcut/carve.h"
#include "skimcut/proof.h"

enum { ALL_AXES = AXIS_X | AXIS_Y | AXIS_Z };

/* How the good program is changed: step `number` is replaced, or dropped, or the new one is put in before it. */
enum how { UNCHANGED, REPLACE, DROP, INSERT };

struct change {
	enum how    how;
	size_t      number;
	struct step step;
};

/* `others` may be refused as well: 1 << enum property. */
struct refusal {
	struct change changes[4];
	enum property property;
	size_t        line;
	const char   *text;
	double        amount_mm;
	unsigned      others;
};

/* One job, the program in hand, and what became of it. Does not move once it is opened. */
struct rig {
	struct planning planning;
	struct demand   demand;
	struct proof    proof;
	struct script   script;
};

static void
rig_open(struct rig *rig, const char *yaml)
{
	*rig        = (struct rig){ 0 };
	rig->demand = demand_of(&rig->planning, yaml);
}

static void
rig_close(struct rig *rig)
{
	planning_close(&rig->planning);
}

static bool
rig_prove_at(struct rig *rig, enum fineness fineness)
{
	assert_true(proof_begin(&rig->proof, &rig->demand, &rig->planning.arena, fineness));
	for (size_t i = 0; i < rig->script.count; i++)
		proof_step(&rig->proof, &rig->script.steps[i], i + 1);
	proof_end(&rig->proof, NULL);
	return proof_holds(&rig->proof);
}

static bool
rig_prove(struct rig *rig)
{
	return rig_prove_at(rig, FINENESS_MIDDLE);
}

static void
rig_tell(const struct rig *rig)
{
	for (int i = 0; i < PROPERTIES; i++)
		if (rig->proof.findings.of[i].found != FOUND_HOLDS)
			print_error("  %s, line %zu: %s\n", PROPERTY_KEYS[i], rig->proof.findings.of[i].line,
			            rig->proof.findings.of[i].text);
}

static void
expect_proved(struct rig *rig)
{
	if (rig_prove(rig))
		return;
	rig_tell(rig);
	fail_msg("refused");
}

/* Of this property, and of no other. */
static const struct finding *
expect_refused(struct rig *rig, enum property property)
{
	unsigned refused = 0;

	rig_prove(rig);
	for (int i = 0; i < PROPERTIES; i++)
		refused |= (unsigned)(rig->proof.findings.of[i].found == FOUND_REFUSED) << i;
	if (refused != 1u << property)
		rig_tell(rig);
	assert_int_equal(refused, 1u << property);
	return &rig->proof.findings.of[property];
}

/* What only a few steps are needed for: they begin above everything, at X 145, Y 35, with the spindle turning. */
static void
rig_begin(struct rig *rig)
{
	rig->script = (struct script){ .count = 0 };
	add(&rig->script, tool(4));
	add(&rig->script, tool_length(4));
	add_start(&rig->script);
	add(&rig->script, rapid_xy(145, 35));
}

/* The count of refusals of one property, whatever becomes of the others. */
static uint64_t
refusals(struct rig *rig, enum property property)
{
	rig_prove(rig);
	return rig->proof.findings.of[property].count;
}

static void
changes_make(struct script *script, const struct change changes[4])
{
	for (size_t i = 0; i < 4 && changes[i].how != UNCHANGED; i++)
		switch (changes[i].how) {
		case REPLACE: script->steps[changes[i].number - 1] = changes[i].step; break;
		case DROP: drop(script, changes[i].number); break;
		default: insert(script, changes[i].number, changes[i].step); break;
		}
}

static void
each_refused(const char *yaml, const struct refusal *refusals, size_t count)
{
	struct rig rig;
	int        wrong = 0;

	rig_open(&rig, yaml);
	for (size_t i = 0; i < count; i++) {
		const struct refusal *expected = &refusals[i];
		const struct finding *finding  = &rig.proof.findings.of[expected->property];
		unsigned              others   = 0;

		rig.script = good();
		changes_make(&rig.script, expected->changes);
		rig_prove(&rig);
		for (int k = 0; k < PROPERTIES; k++)
			if (rig.proof.findings.of[k].found == FOUND_REFUSED && k != (int)expected->property)
				others |= 1u << k;
		if (finding->found == FOUND_REFUSED && strcmp(finding->text, expected->text) == 0 &&
		    finding->line == expected->line && finding->amount == mm(expected->amount_mm) &&
		    (others & ~expected->others) == 0)
			continue;
		wrong++;
		print_error("case %zu, wanted %s, line %zu, %.6f mm: %s\n", i, PROPERTY_KEYS[expected->property],
		            expected->line, expected->amount_mm, expected->text);
		print_error(" has line %zu, %.6f mm: %s\n", finding->line, (double)finding->amount / 1e6,
		            finding->text);
		rig_tell(&rig);
	}
	rig_close(&rig);
	assert_int_equal(wrong, 0);
}

static void
a_good_program_is_proved_however_fine_it_is_carved(void **state)
{
	struct rig rig;

	(void)state;
	rig_open(&rig, JOB);
	rig.script = good();
	for (int fineness = FINENESS_COARSE; fineness < FINENESSES; fineness++) {
		if (!rig_prove_at(&rig, (enum fineness)fineness))
			rig_tell(&rig);
		assert_true(proof_holds(&rig.proof));
		assert_false(proof_wants_finer(&rig.proof));
		assert_int_equal(rig.proof.cutting.levels, 4);
		assert_int_equal(rig.proof.cutting.deepest, mm(1));
		assert_true(fabs(rig.proof.cutting.volume_mm3 - 100 * 60 * 3) < 1e-6);
		/* The centre line is 5 mm behind the middle. */
		assert_true(fabs(rig.proof.cutting.conventional_mm2 - 4 * 100 * 35) < 1e-6);
		assert_true(fabs(rig.proof.cutting.climb_mm2 - 4 * 100 * 25) < 1e-6);
		assert_int_equal(rig.proof.clock.stops, 2);
		assert_int_equal(rig.proof.assumed, ASSUMED_CHANGE_ABOVE);
	}
	rig_close(&rig);
}

/* Every pass at feed is 190 mm and 2.5 mm down; in the cut it is what the front of the cutter needs from edge to edge. */
static void
times_are_those_of_the_way(void **state)
{
	const double off      = 40; /* half the diameter */
	const double approach = off - sqrt(off * off - 35 * 35);
	const double cut      = 3 * (100 + approach) / FEED * 60 + (100 + approach) / SKIM_FEED * 60;
	struct rig   rig;

	(void)state;
	rig_open(&rig, JOB);
	rig.script = good();
	expect_proved(&rig);
	assert_true(fabs(rig.proof.cutting.cut_s - cut) < 0.01);
	assert_true(fabs(rig.proof.clock.feed_s - (3 * 192.5 / FEED + 192.5 / SKIM_FEED) * 60) < 1e-6);
	rig_close(&rig);
}

static void
what_still_stands_is_found_however_narrow(void **state)
{
	static const double DEPTHS[] = { 16.9995, 17.0005 };
	struct rig          rig;

	(void)state;
	rig_open(&rig, JOB);
	/* 39.2 mm from the centre line the corner is cut to its full depth: 10 um are left standing at the back. */
	for (int k = 0; k < 2; k++) {
		rig.script = good();
		for (size_t i = 0; i < rig.script.count; i++)
			if (rig.script.steps[i].axes & AXIS_Y)
				rig.script.steps[i].to.y = mm(k == 0 ? 20.8 : 20.79);
		if (k == 0) {
			rig.demand.milling = MILLING_EITHER;
			expect_proved(&rig);
			continue;
		}
		assert_int_equal(refusals(&rig, PROPERTY_FACE), 1);
		assert_string_equal(rig.proof.findings.of[PROPERTY_FACE].text,
		                    "1.000 mm2 of the face still stand, up to 3 mm too high, the highest around at "
		                    "X-50.000 Y59.995");
		assert_int_equal(rig.proof.findings.of[PROPERTY_FACE].line, 0);
		assert_int_equal(rig.proof.findings.of[PROPERTY_FACE].amount, mm(3));
	}
	/* Half a micrometre is what the program cannot tell. */
	for (int k = 0; k < 2; k++) {
		rig.script                    = good();
		rig.script.steps[30 - 1].to.z = mm(DEPTHS[k]);
		rig.demand.milling            = MILLING_EITHER;
		if (k == 1)
			rig.demand.skim -= 1000;
		assert_int_equal(refusals(&rig, PROPERTY_FACE), 0);
		assert_int_equal(refusals(&rig, PROPERTY_FLOOR), 0);
	}
	rig_close(&rig);
}

static void
what_is_not_cut_to_its_height_is_told_with_its_area(void **state)
{
	const struct refusal REFUSALS[] = {
		{ { { DROP, 31 } },
		  PROPERTY_FACE,
		  0,
		  "6000.000 mm2 of the face still stand, up to 0.25 mm too high, the highest around at X-50.000 "
		  "Y30.000",
		  0.25 },
		{ { { REPLACE, 30, feed_z(17.002, SKIM_FEED) } },
		  PROPERTY_FACE,
		  0,
		  "6000.000 mm2 of the face still stand, up to 0.002 mm too high, the highest around at X-50.000 "
		  "Y30.000",
		  0.002,
		  1 << PROPERTY_CUTS },
	};

	(void)state;
	each_refused(JOB, REFUSALS, sizeof REFUSALS / sizeof REFUSALS[0]);
}

static void
inches_are_told_in_inches(void **state)
{
	static const char yaml[] = "units: inch\nmaterial: brass\nstock: {length: 4, width: 2, height: 1}\n"
				   "finished_height: 0.95\n"
				   "cutter: {kind: face mill, diameter: 3, teeth: 5, edge: carbide}\n";
	struct rig        rig;

	(void)state;
	rig_open(&rig, yaml);
	add(&rig.script, end());
	expect_refused(&rig, PROPERTY_FACE);
	assert_string_equal(
	    rig.proof.findings.of[PROPERTY_FACE].text,
	    "8.0000 in2 of the face still stand, up to 0.05 in too high, the highest around at X2.0000 Y1.0000");
	rig_close(&rig);
}

static void
what_is_cut_too_low_is_told_where_it_happens(void **state)
{
	const struct refusal REFUSALS[] = {
		/* Two micrometres. */
		{ { { REPLACE, 30, feed_z(16.998, SKIM_FEED) } },
		  PROPERTY_FLOOR,
		  31,
		  "cuts 0.002 mm below the finished face, on a way that ends at X-145.000 Y35.000",
		  0.002,
		  1 << PROPERTY_CUTS },
		{ { { REPLACE, 16, feed_z(16, FEED) } },
		  PROPERTY_FLOOR,
		  17,
		  "cuts 1 mm below the finished face, on a way that ends at X-145.000 Y35.000",
		  1,
		  1 << PROPERTY_CUTS | 1 << PROPERTY_DESCENTS | 1 << PROPERTY_MACHINE | 1 << PROPERTY_SWITCHES },
	};

	(void)state;
	each_refused(JOB, REFUSALS, sizeof REFUSALS / sizeof REFUSALS[0]);
}

static void
cuts_are_judged_one_by_one(void **state)
{
	const struct refusal REFUSALS[] = {
		{ { { REPLACE, 7, feed_z(19.249, FEED) } },
		  PROPERTY_CUTS,
		  8,
		  "cuts 0.751 mm deep, and 0.75 mm is allowed for the test cut at X0.000 Y35.000",
		  0.001 },
		{ { { DROP, 17 } },
		  PROPERTY_CUTS,
		  21,
		  "cuts 2 mm deep, and 1.25 mm is allowed for roughing at X0.000 Y35.000",
		  0.75 },
		{ { { REPLACE, 16, feed_z(18.248, FEED) } },
		  PROPERTY_CUTS,
		  22,
		  "roughing cuts of 1.002 mm and 0.998 mm are not equal; 'levels: any' in the job would allow them at "
		  "X0.000 Y35.000",
		  0.004 },
		{ { { REPLACE, 21, feed_z(17.24, FEED) } },
		  PROPERTY_CUTS,
		  22,
		  "leaves 0.24 mm for the skim, which is to take 0.25 mm at X0.000 Y35.000",
		  0.01 },
		{ { { REPLACE, 21, feed_z(17.2505, FEED) } },
		  PROPERTY_CUTS,
		  31,
		  "cuts 0.2505 mm deep, and 0.25 mm is allowed for the skim at X0.000 Y35.000",
		  0.0005 },
	};

	(void)state;
	each_refused(JOB, REFUSALS, sizeof REFUSALS / sizeof REFUSALS[0]);
}

/* Cuts in any order, none too deep, none a whole one. */
static struct script
piecemeal(void)
{
	struct script script = good();

	/* The second cut stops in the middle, the third begins there, and the rest of the second comes last. */
	script.steps[17 - 1] = feed_xy(50, 35, FEED);
	insert(&script, 23, feed_z(45, FEED));
	insert(&script, 24, rapid_xy(-80, 35));
	insert(&script, 25, rapid_z(20));
	insert(&script, 26, feed_z(18.25, FEED));
	insert(&script, 27, feed_xy(50, 35, FEED));
	return script;
}

static void
levels_any_allows_cuts_that_are_not_equal_nor_whole(void **state)
{
	struct rig rig;

	(void)state;
	rig_open(&rig, JOB);
	for (int k = 0; k < 3; k++) {
		rig.script = good();
		if (k == 0)
			rig.script.steps[16 - 1].to.z = mm(18.5);
		if (k == 1)
			rig.script.steps[21 - 1].to.z = mm(17.45);
		if (k == 2) {
			/* The first roughing cut is left in the middle; what is left of it is no deeper than roughing may be. */
			rig.script.steps[17 - 1]      = feed_xy(50, 35, FEED);
			rig.script.steps[16 - 1].to.z = mm(18.3);
		}
		rig.demand.levels = LEVELS_EQUAL;
		rig.demand.rough  = k == 2 ? mm(2) : mm(1.25);
		rig.demand.skim   = k == 1 ? mm(0.45) : mm(0.25);
		expect_refused(&rig, PROPERTY_CUTS);
		assert_non_null(
		    strstr(rig.proof.findings.of[PROPERTY_CUTS].text, "'levels: any' in the job would allow"));
		rig.demand.levels = LEVELS_ANY;
		expect_proved(&rig);
	}
	rig_close(&rig);
}

static void
a_cut_that_goes_back_up_wants_levels_any(void **state)
{
	struct rig            rig;
	const struct finding *finding;

	(void)state;
	rig_open(&rig, JOB);
	rig.script       = piecemeal();
	rig.demand.rough = mm(2);
	finding          = expect_refused(&rig, PROPERTY_CUTS);
	assert_string_equal(finding->text,
	                    "begins the next cut while stock stands 1 mm above the last; 'levels: any' in "
	                    "the job would allow it at X-67.653 Y0.015");
	rig.demand.levels = LEVELS_ANY;
	expect_proved(&rig);
	rig_close(&rig);
}

static void
a_single_cut_is_a_skim(void **state)
{
	static const struct {
		double removal;
		bool   proved;
	} CASES[] = { { 0.25, true }, { 0.1, true }, { 0.251, false } };

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		struct rig rig;

		rig_open(&rig, JOB);
		rig.demand.height = mm(17 + CASES[i].removal);
		rig_begin(&rig);
		add(&rig.script, feed_z(17, SKIM_FEED));
		add(&rig.script, feed_xy(-45, 35, SKIM_FEED));
		add(&rig.script, rapid_z(45));
		add(&rig.script, spindle(ROTATION_OFF, 0));
		add(&rig.script, end());
		if (CASES[i].proved)
			expect_proved(&rig);
		else
			expect_refused(&rig, PROPERTY_CUTS);
		rig_close(&rig);
	}
}

/* 60 mm in passes of 20 by a cutter of 30, of which no pass may take more than 21. */
static void
a_pass_takes_no_more_than_the_stepover(void **state)
{
	static const char   yaml[]  = JOB_HEAD "cutter: {kind: end mill, diameter: 30, teeth: 5, edge: carbide}\n"
					       "cut: {milling: either, pattern: one-way}\n";
	static const double FIRST[] = { 5, 6, 6.001 };

	(void)state;
	for (size_t i = 0; i < 3; i++) {
		struct rig            rig;
		const struct finding *finding;

		rig_open(&rig, yaml);
		rig.demand.height = mm(17.25);
		add(&rig.script, rapid_z(45));
		add(&rig.script, spindle(ROTATION_CLOCKWISE, RPM));
		for (double y = FIRST[i]; y < 60; y += 20) {
			add(&rig.script, rapid_xy(145, y));
			add(&rig.script, rapid_z(17));
			add(&rig.script, feed_xy(-45, y, SKIM_FEED));
			add(&rig.script, rapid_z(45));
		}
		add(&rig.script, spindle(ROTATION_OFF, 0));
		add(&rig.script, end());
		if (i < 2) {
			expect_proved(&rig);
		} else {
			finding = expect_refused(&rig, PROPERTY_CUTS);
			assert_string_equal(finding->text,
			                    "cuts 21.001 mm wide, and the stepover allows 21 mm, on a way that "
			                    "ends at X-145.000 Y6.001");
			assert_int_equal(finding->amount, mm(0.001));
			assert_int_equal(finding->line, 5);
		}
		rig_close(&rig);
	}
}

/* --- rapids --- */

static void
a_rapid_that_touches_is_refused_and_one_a_nanometre_away_is_not(void **state)
{
	static const struct {
		double      x, y, z;
		const char *text;
		double      amount_mm;
	} CASES[] = {
		{ 50, 30, 20.000001, NULL, 0 },
		{ 50, 30, 20, "rapid touches the top of the stock at X0.000 Y35.000", 0 },
		{ 50, 30, 19.9999, "rapid meets stock 0.0001 mm below its top at X0.000 Y35.000", 0.0001 },
		{ 50, 30, 12.5, "rapid meets stock 7.5 mm below its top at X0.000 Y35.000", 7.5 },
		/* 40 mm beside the edge the edges pass by. */
		{ 140, 30, 19, NULL, 0 },
		{ 139.999999, 30, 19, "rapid meets stock 1 mm below its top at X0.000 Y35.000", 1 },
		{ 140, -39.999999, 19, NULL, 0 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		struct rig            rig;
		const struct finding *finding = &rig.proof.findings.of[PROPERTY_RAPIDS];

		rig_open(&rig, JOB);
		rig_begin(&rig);
		add(&rig.script, rapid_z(CASES[i].z));
		add(&rig.script, rapid_xy(CASES[i].x, CASES[i].y));
		assert_int_equal(refusals(&rig, PROPERTY_RAPIDS), CASES[i].text != NULL);
		if (CASES[i].text) {
			assert_string_equal(finding->text, CASES[i].text);
			assert_int_equal(finding->line, 7);
			assert_int_equal(finding->amount, mm(CASES[i].amount_mm));
		}
		rig_close(&rig);
	}
}

/* The straight way passes the corner 42.8 mm away; the machine may first do X and then Y. */
static void
a_rapid_may_take_any_way_between_its_ends(void **state)
{
	struct rig rig;

	(void)state;
	rig_open(&rig, JOB);
	for (int at_feed = 0; at_feed < 2; at_feed++) {
		rig_begin(&rig);
		add(&rig.script, rapid_xy(200, 30));
		add(&rig.script, rapid_z(19));
		add(&rig.script, at_feed ? feed_xy(50, -100, FEED) : rapid_xy(50, -100));
		assert_int_equal(refusals(&rig, PROPERTY_RAPIDS), !at_feed);
		assert_int_equal(refusals(&rig, PROPERTY_DESCENTS), 0);
		assert_int_equal(rig.proof.cutting.levels, 0);
	}
	rig_close(&rig);
}

/* With X or Y it is not certain that the cutter is up before it moves. */
static void
straight_up_out_of_the_work_is_no_contact(void **state)
{
	static const struct {
		double   x;
		unsigned refusals;
	} CASES[] = { { 50, 0 }, { 50.000001, 1 }, { 49, 1 } };
	struct rig rig;

	(void)state;
	rig_open(&rig, JOB);
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		rig_begin(&rig);
		add(&rig.script, rapid_z(19.25));
		add(&rig.script, feed_xy(50, 35, FEED));
		add(&rig.script, rapid(ALL_AXES, CASES[i].x, 35, 45));
		assert_int_equal(refusals(&rig, PROPERTY_RAPIDS), CASES[i].refusals);
	}
	rig_close(&rig);
}

static void
what_was_cut_is_free_for_rapids_above_its_floor(void **state)
{
	static const double HEIGHTS[] = { 19.250001, 19.25 };
	struct rig          rig;

	(void)state;
	rig_open(&rig, JOB);
	for (size_t i = 0; i < 2; i++) {
		rig.script = good();
		insert(&rig.script, 9, rapid_z(HEIGHTS[i]));
		insert(&rig.script, 10, rapid_xy(145, 35));
		if (i == 0)
			expect_proved(&rig);
		else
			assert_string_equal(expect_refused(&rig, PROPERTY_RAPIDS)->text,
			                    "rapid touches the top of the stock at X-100.000 Y35.000");
	}
	rig_close(&rig);
}

/* --- where nobody knows where it stands --- */

static void
nobody_knows_where_the_machine_stands(void **state)
{
	static const char across[] = "moves across while nobody knows how high the cutter is; tell Z alone first";
	static const char down[] =
	    "comes down while nobody knows from how high; go to a height above all that stands up "
	    "first";
	static const char place[] = "is not above all that stands up while nobody knows where the cutter is across";

	const struct {
		struct step   steps[6];
		size_t        line; /* 0: not refused */
		enum property property;
		const char   *text;
	} CASES[] = {
		{ { rapid_z(20.000001), rapid_xy(145, 35) }, 0, PROPERTY_RAPIDS, NULL },
		{ { rapid_z(20), rapid_xy(145, 35) }, 1, PROPERTY_DESCENTS, down },
		{ { feed_z(20, FEED), rapid_xy(145, 35) }, 1, PROPERTY_DESCENTS, down },
		{ { rapid_xy(145, 35) }, 1, PROPERTY_RAPIDS, across },
		{ { feed_xy(145, 35, FEED) }, 1, PROPERTY_RAPIDS, across },
		{ { rapid(ALL_AXES, 145, 35, 45) }, 1, PROPERTY_RAPIDS, across },
		{ { rapid_z(45), rapid_z(19) }, 2, PROPERTY_DESCENTS, place },
		{ { rapid_z(45), rapid(AXIS_X, 145, 0, 0), rapid_z(19) }, 3, PROPERTY_DESCENTS, place },
		{ { rapid_z(45), rapid(AXIS_X, 145, 0, 0), rapid(AXIS_Y, 0, 35, 0), rapid_z(19) },
		  0,
		  PROPERTY_DESCENTS,
		  NULL },
		/* A stop: someone may have moved it. */
		{ { rapid_z(45), rapid_xy(145, 35), stop(false), rapid_xy(145, 35) }, 4, PROPERTY_RAPIDS, across },
		{ { rapid_z(45), rapid_xy(145, 35), stop(true), rapid_xy(145, 35) }, 4, PROPERTY_RAPIDS, across },
		{ { rapid_z(45), rapid_xy(145, 35), stop(false), rapid_z(45), rapid_z(19) },
		  5,
		  PROPERTY_DESCENTS,
		  place },
		{ { rapid_z(45), rapid_xy(145, 35), stop(false), rapid_z(19) }, 4, PROPERTY_DESCENTS, down },
		/* A change of tools is done above everything. */
		{ { tool(4), rapid_xy(145, 35), rapid_z(19) }, 0, PROPERTY_RAPIDS, NULL },
		{ { tool(4), tool_length(4), rapid_xy(145, 35), rapid_z(19) }, 0, PROPERTY_RAPIDS, NULL },
		{ { tool(4), rapid_z(19) }, 2, PROPERTY_DESCENTS, place },
		{ { tool(4), rapid(ALL_AXES, 145, 35, 19) }, 2, PROPERTY_DESCENTS, place },
		/* Another length, another height. */
		{ { rapid_z(45), rapid_xy(145, 35), tool_length(4), rapid_xy(100, 35) }, 4, PROPERTY_RAPIDS, across },
		{ { rapid_z(45), rapid_xy(145, 35), tool_length(0), rapid_z(19) }, 4, PROPERTY_DESCENTS, down },
		/* Home. */
		{ { home(AXIS_Z), rapid_xy(145, 35), rapid_z(19) }, 0, PROPERTY_RAPIDS, NULL },
		{ { rapid_z(45), rapid_xy(145, 35), rapid_z(19), home(AXIS_Z), rapid_xy(50, 30) },
		  0,
		  PROPERTY_RAPIDS,
		  NULL },
		{ { rapid_z(45), rapid_xy(145, 35), home(AXIS_X | AXIS_Y), rapid_z(19) }, 4, PROPERTY_DESCENTS, place },
		{ { rapid_z(45), rapid_xy(145, 35), home(ALL_AXES), rapid_z(19) }, 4, PROPERTY_DESCENTS, place },
		{ { home(ALL_AXES) },
		  1,
		  PROPERTY_RAPIDS,
		  "goes home across while the cutter is not above all that stands up; send Z home first" },
		{ { rapid_z(45), rapid_xy(145, 35), rapid_z(19), home(AXIS_Y) },
		  4,
		  PROPERTY_RAPIDS,
		  "goes home across while the cutter is not above all that stands up; send Z home first" },
		/* From above, but from where is not known: the way down counts. */
		{ { tool(4), rapid_xy(50, 30), rapid_z(19) },
		  3,
		  PROPERTY_RAPIDS,
		  "rapid meets stock 1 mm below its top at X-50.000 Y30.000" },
		{ { tool(4), rapid_xy(50, 30), feed_z(19, FEED) },
		  3,
		  PROPERTY_DESCENTS,
		  "comes down onto stock, to 1 mm below its top at X-50.000 Y30.000" },
	};
	struct rig rig;

	(void)state;
	rig_open(&rig, JOB);
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		const struct finding *finding = &rig.proof.findings.of[CASES[i].property];

		rig.script = (struct script){ .count = 0 };
		for (size_t k = 0; k < 6 && CASES[i].steps[k].text; k++)
			add(&rig.script, CASES[i].steps[k]);
		if (!CASES[i].text) {
			if (refusals(&rig, PROPERTY_RAPIDS) + refusals(&rig, PROPERTY_DESCENTS) > 0)
				print_error("case %zu: %s\n", i, finding->text);
			assert_int_equal(refusals(&rig, PROPERTY_RAPIDS) + refusals(&rig, PROPERTY_DESCENTS), 0);
			continue;
		}
		if (refusals(&rig, CASES[i].property) == 0 || strcmp(finding->text, CASES[i].text) != 0)
			print_error("case %zu: %s\n", i, finding->text);
		assert_int_not_equal(refusals(&rig, CASES[i].property), 0);
		assert_string_equal(finding->text, CASES[i].text);
		assert_int_equal(finding->line, CASES[i].line);
		assert_int_equal(
		    refusals(&rig, CASES[i].property == PROPERTY_RAPIDS ? PROPERTY_DESCENTS : PROPERTY_RAPIDS), 0);
	}
	rig_close(&rig);
}

/* On a machine worked by hand, or one that nobody described, the tool is changed wherever the cutter stands. */
static void
only_a_cnc_machine_changes_tools_above_everything(void **state)
{
	static const char *const YAML[] = { JOB_HEAD JOB_CUTTER "machine: {kind: manual}\n", JOB_HEAD JOB_CUTTER };

	(void)state;
	for (size_t i = 0; i < 2; i++) {
		struct rig rig;

		rig_open(&rig, YAML[i]);
		rig.script = good();
		expect_proved(&rig);
		assert_int_equal(rig.proof.assumed & ASSUMED_CHANGE_ABOVE, 0);
		drop(&rig.script, 3);
		assert_int_equal(refusals(&rig, PROPERTY_RAPIDS), 1);
		rig_close(&rig);
	}
}

/* --- descents --- */

static void
no_descent_touches_the_stock(void **state)
{
	static const struct {
		double      x, z;
		const char *text;
		double      amount_mm;
	} CASES[] = {
		{ 50, 20.000001, NULL, 0 },
		{ 50, 20, "comes down onto stock, to 0 mm below its top at X-50.000 Y35.000", 0 },
		{ 50, 19, "comes down onto stock, to 1 mm below its top at X-50.000 Y35.000", 1 },
		{ 140, 17, NULL, 0 },
		{ 139.999999, 17, "comes down onto stock, to 3 mm below its top at X0.000 Y35.000", 3 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		struct rig            rig;
		const struct finding *finding = &rig.proof.findings.of[PROPERTY_DESCENTS];

		rig_open(&rig, JOB);
		rig_begin(&rig);
		add(&rig.script, rapid_xy(CASES[i].x, 35));
		add(&rig.script, feed_z(CASES[i].z, FEED));
		assert_int_equal(refusals(&rig, PROPERTY_DESCENTS), CASES[i].text != NULL);
		if (CASES[i].text) {
			assert_string_equal(finding->text, CASES[i].text);
			assert_int_equal(finding->line, 7);
			assert_int_equal(finding->amount, mm(CASES[i].amount_mm));
		}
		rig_close(&rig);
	}
}

/* A ramp into the work is a descent onto it, one that ends in the air before it is none. */
static void
a_ramp_is_a_descent(void **state)
{
	static const double ENDS[] = { 140, 139.9 };
	struct rig          rig;

	(void)state;
	rig_open(&rig, JOB);
	for (size_t i = 0; i < 2; i++) {
		rig_begin(&rig);
		add(&rig.script, feed(AXIS_X | AXIS_Z, ENDS[i], 0, 19.25, FEED));
		assert_int_equal(refusals(&rig, PROPERTY_DESCENTS), i);
	}
	rig_close(&rig);
}

/* --- arcs --- */

/* In from the right, once around at 35 mm: with 39.2 mm on either side that is the whole face. */
static void
a_full_circle_cuts_all_around(void **state)
{
	struct rig            rig;
	const struct finding *finding;
	double                area;

	(void)state;
	for (int k = 0; k < 4; k++) {
		const double radius = k == 3 ? 45 : 35;

		rig_open(&rig, JOB);
		rig.demand.height  = mm(17.25);
		rig.demand.milling = MILLING_EITHER;
		rig_begin(&rig);
		add(&rig.script, rapid_xy(145, 30));
		add(&rig.script, rapid_z(17));
		add(&rig.script, feed_xy(50 + radius, 30, SKIM_FEED));
		add(&rig.script, arc(k == 1, 50 + radius, 30, 50, 30));
		add(&rig.script, rapid_z(45));
		add(&rig.script, spindle(ROTATION_OFF, 0));
		add(&rig.script, end());
		rig.script.steps[8].feed = mm(SKIM_FEED);
		if (k == 2) /* half of it */
			rig.script.steps[8].to.x = mm(15);
		if (k < 2) {
			expect_proved(&rig);
			assert_true(fabs(rig.proof.cutting.volume_mm3 - 100 * 60 * 0.25) < 1e-3);
		} else {
			finding = expect_refused(&rig, PROPERTY_FACE);
			area    = strtod(finding->text, NULL);
			/* k 3: a core of 5.8 mm is left standing, seen too large by a step or so. */
			if (k == 3)
				assert_true(area > 105.68 && area < 105.68 + 4 * 36.5 * 60 / 4096);
			else
				assert_true(area > 100);
		}
		rig_close(&rig);
	}
}

/* 105 mm around the middle, no corner is met; 95 mm, they are. The short way is the one through the stock. */
static void
an_arc_passes_where_it_passes(void **state)
{
	static const struct {
		double radius;
		bool   clockwise;
		double to_x, to_y;
		bool   meets;
	} CASES[] = {
		{ 105, true, 105, 0, false },   { 95, true, 95, 0, true },      { 105, false, 105, 0, false },
		{ 105, true, -105, 0, false },  { 105, false, -105, 0, false }, { 105, true, 0, -105, false },
		{ 105, false, 0, -105, false },
	};
	struct rig rig;

	(void)state;
	rig_open(&rig, JOB_HEAD JOB_CUTTER);
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		rig_begin(&rig);
		add(&rig.script, rapid_xy(50 + CASES[i].radius, 30));
		add(&rig.script, rapid_z(19.25));
		add(&rig.script, arc(CASES[i].clockwise, 50 + CASES[i].to_x, 30 + CASES[i].to_y, 50, 30));
		rig_prove(&rig);
		assert_int_equal(rig.proof.cutting.levels > 0, CASES[i].meets);
		assert_int_equal(refusals(&rig, PROPERTY_RAPIDS), 0);
	}
	/* From behind to the right: the one way is through the air, the other around the front. */
	for (int clockwise = 0; clockwise < 2; clockwise++) {
		rig_begin(&rig);
		add(&rig.script, rapid_xy(50, 135));
		add(&rig.script, rapid_z(19.25));
		add(&rig.script, arc(clockwise, 155, 30, 155, 135));
		rig_prove(&rig);
		/* Around its own corner of 105 mm radius, inward; or outward, three quarters of the circle. */
		assert_int_equal(rig.proof.cutting.levels > 0, !clockwise);
	}
	rig_close(&rig);
}

static void
a_helix_down_onto_stock_is_a_descent_and_one_beside_it_is_none(void **state)
{
	struct rig rig;

	(void)state;
	rig_open(&rig, JOB_HEAD JOB_CUTTER);
	for (int beside = 0; beside < 2; beside++) {
		const double x = beside ? 200 : 100;

		rig_begin(&rig);
		add(&rig.script, rapid_xy(x + 20, 30));
		add(&rig.script, helix(false, x + 20, 30, 19.25, x, 30));
		assert_int_equal(refusals(&rig, PROPERTY_DESCENTS) > 0, !beside);
		assert_int_equal(rig.proof.findings.of[PROPERTY_DESCENTS].line, beside ? 0 : 7);
	}
	rig_close(&rig);
}

/* As deep as its start, and gone is only what is above its end. */
static void
a_rise_counts_as_deep_as_it_begins(void **state)
{
	struct rig     rig;
	double         area, volume;
	struct contact contact;

	(void)state;
	rig_open(&rig, JOB_HEAD JOB_CUTTER);
	rig_begin(&rig);
	add(&rig.script, rapid_z(19.25));
	add(&rig.script, feed(AXIS_X | AXIS_Z, -45, 0, 19.5, FEED));
	assert_int_equal(refusals(&rig, PROPERTY_CUTS), 0);
	assert_int_equal(rig.proof.cutting.deepest, mm(0.75));
	assert_true(carve_remaining(&rig.proof.carve, mm(19.25), &area, &volume, &contact));
	assert_int_equal(contact.height, mm(19.5));
	rig.script.steps[5] = rapid_z(19.2);
	assert_int_equal(refusals(&rig, PROPERTY_CUTS), 1);
	rig_close(&rig);
}

/* --- what stands up --- */

#define CLAMPED JOB_HEAD JOB_CUTTER "hold: {clamps: [{x: 40, y: 80, length: 20, width: 20, height: 25}]}\n"
#define CLAMPED_45                                                                                                     \
	JOB_HEAD                                                                                                       \
	"cutter: {kind: face mill, diameter: 80, teeth: 5, edge: carbide, number: 4, entering_angle: 45 deg, "         \
	"max_depth: 3}\n"                                                                                              \
	"hold: {clamps: [{x: 40, y: 85, length: 20, width: 20, height: 25}]}\n"

static void
a_clamp_is_met_where_the_edges_reach_it(void **state)
{
	static const struct {
		double      y, z;
		const char *text;
		double      amount_mm;
	} CASES[] = {
		{ 40, 21, NULL, 0 },
		{ 40.000001, 21, "meets clamp 1, 4 mm below its top, on a way that ends at X-50.000 Y40.000", 4 },
		{ 90, 25, "meets clamp 1, 0 mm below its top, on a way that ends at X-50.000 Y90.000", 0 },
		{ 90, 25.000001, NULL, 0 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++)
		for (int at_feed = 0; at_feed < 2; at_feed++) {
			struct rig            rig;
			const struct finding *finding = &rig.proof.findings.of[PROPERTY_HOLDING];

			rig_open(&rig, CLAMPED);
			rig_begin(&rig);
			add(&rig.script, rapid_xy(200, CASES[i].y));
			add(&rig.script, rapid_z(CASES[i].z));
			add(&rig.script, at_feed ? feed_xy(50, CASES[i].y, FEED) : rapid_xy(50, CASES[i].y));
			assert_int_equal(refusals(&rig, PROPERTY_HOLDING), CASES[i].text != NULL);
			if (CASES[i].text) {
				assert_string_equal(finding->text, CASES[i].text);
				assert_int_equal(finding->line, 8);
				assert_int_equal(finding->amount, mm(CASES[i].amount_mm));
			}
			rig_close(&rig);
		}
}

/* At 45 degrees the edges reach out as far as they stand up, but no higher than they are made for. */
static void
edges_at_an_angle_reach_out_further_up(void **state)
{
	static const struct {
		double y, z;
		bool   meets;
	} CASES[] = {
		{ 42, 22, false },       { 42.000001, 22, true }, { 45, 25, false },
		{ 45.000001, 25, true }, { 42, 10, false },       { 43, 10, true },
	};
	struct rig rig;

	(void)state;
	rig_open(&rig, CLAMPED_45);
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		rig_begin(&rig);
		add(&rig.script, rapid_xy(-200, 200));
		add(&rig.script, rapid_z(CASES[i].z));
		add(&rig.script, feed_xy(-200, CASES[i].y, FEED));
		add(&rig.script, feed_xy(50, CASES[i].y, FEED));
		assert_int_equal(refusals(&rig, PROPERTY_HOLDING) > 0, CASES[i].meets);
	}
	/* Beside the stock, 3 mm below its top. */
	for (int k = 0; k < 2; k++) {
		rig_begin(&rig);
		add(&rig.script, rapid_xy(200, -43 + (k ? 1e-6 : 0)));
		add(&rig.script, rapid_z(17));
		add(&rig.script, rapid(AXIS_X, 50, 0, 0));
		assert_int_equal(refusals(&rig, PROPERTY_RAPIDS), k);
	}
	rig_close(&rig);
}

static void
jaws_stand_before_and_behind_the_part(void **state)
{
	static const char yaml[] = JOB_HEAD JOB_CUTTER "vise: {front_jaw: 50, rear_jaw: 52, jaw_width: 120}\n"
						       "parallels: [38]\n";
	static const struct {
		double      x, y, z;
		const char *text;
	} CASES[] = {
		{ -200, -60, 12, NULL }, /* 120 mm wide: from -10 to 110 */
		{ -50, -60, 12, NULL },
		{ -49.9, -60, 12, "meets the front jaw, 0 mm below its top, on a way that ends at X-149.900 Y-60.000" },
		{ 50, -60, 12.000001, NULL },
		{ 50, 160, 13, "meets the rear jaw, 1 mm below its top, on a way that ends at X-50.000 Y160.000" },
		{ 50, 160, 14.000001, NULL },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		struct rig            rig;
		const struct finding *finding = &rig.proof.findings.of[PROPERTY_HOLDING];

		rig_open(&rig, yaml);
		rig_begin(&rig);
		add(&rig.script, rapid_xy(-200, CASES[i].y));
		add(&rig.script, rapid_z(CASES[i].z));
		add(&rig.script, feed_xy(CASES[i].x, CASES[i].y, FEED));
		assert_int_equal(refusals(&rig, PROPERTY_HOLDING), CASES[i].text != NULL);
		if (CASES[i].text)
			assert_string_equal(finding->text, CASES[i].text);
		rig_close(&rig);
	}
}

static void
below_the_stock_is_the_table(void **state)
{
	struct rig            rig;
	const struct finding *finding = &rig.proof.findings.of[PROPERTY_HOLDING];

	(void)state;
	rig_open(&rig, JOB_HEAD JOB_CUTTER);
	rig_begin(&rig);
	add(&rig.script, rapid_xy(200, 30));
	add(&rig.script, rapid_z(0.000001));
	assert_int_equal(refusals(&rig, PROPERTY_HOLDING), 0);
	add(&rig.script, rapid_z(-1.5));
	assert_int_equal(refusals(&rig, PROPERTY_HOLDING), 1);
	assert_string_equal(
	    finding->text,
	    "goes 1.5 mm below the stock's bottom, where the table is, on a way that ends at X100.000 Y30.000");
	assert_int_equal(finding->line, 8);
	assert_int_equal(finding->amount, mm(1.5));
	rig_close(&rig);
}

/* --- switches --- */

static void
what_is_switched_wrongly_is_refused(void **state)
{
	const struct refusal REFUSALS[] = {
		{ { { REPLACE, 1, tool(5) } }, PROPERTY_SWITCHES, 1, "calls tool 5, and the job's is 4", 0 },
		{ { { REPLACE, 2, tool_length(5) } },
		  PROPERTY_SWITCHES,
		  2,
		  "takes the length of tool 5, and the job's is 4",
		  0 },
		{ { { DROP, 4 } }, PROPERTY_SWITCHES, 7, "cuts with the spindle off at X0.000 Y35.000", 0 },
		{ { { REPLACE, 4, spindle(ROTATION_CLOCKWISE, 0) } },
		  PROPERTY_SWITCHES,
		  8,
		  "cuts, and no spindle speed is set at X0.000 Y35.000",
		  0,
		  1 << PROPERTY_MACHINE },
		{ { { REPLACE, 4, spindle(ROTATION_COUNTERCLOCKWISE, RPM) } },
		  PROPERTY_SWITCHES,
		  8,
		  "cuts with the spindle turning backwards at X0.000 Y35.000",
		  0,
		  1 << PROPERTY_MILLING },
		{ { { REPLACE, 7, feed_z(19.25, 0) } }, PROPERTY_SWITCHES, 7, "moves at feed, and no feed is set", 0 },
		{ { { DROP, 10 } }, PROPERTY_SWITCHES, 10, "stops with the spindle turning", 0 },
		{ { { INSERT, 8, coolant(COOLANT_FLOOD) } },
		  PROPERTY_SWITCHES,
		  12,
		  "stops with the coolant running",
		  0 },
		{ { { REPLACE, 9, rapid_z(19) }, { REPLACE, 10, spindle(ROTATION_OFF, 0) } },
		  PROPERTY_SWITCHES,
		  11,
		  "stops with the cutter not above all that stands up",
		  0 },
		{ { { DROP, 33 } }, PROPERTY_SWITCHES, 33, "ends with the spindle turning", 0 },
		{ { { INSERT, 31, coolant(COOLANT_MIST) } },
		  PROPERTY_SWITCHES,
		  35,
		  "ends with the coolant running",
		  0 },
		{ { { DROP, 32 } }, PROPERTY_SWITCHES, 33, "ends with the cutter not above all that stands up", 0 },
		{ { { DROP, 34 } }, PROPERTY_SWITCHES, 0, "the program does not end", 0 },
		{ { { INSERT, 10, tool(4) }, { INSERT, 11, tool_length(4) } },
		  PROPERTY_SWITCHES,
		  10,
		  "changes tools with the spindle turning",
		  0 },
		{ { { DROP, 11 } },
		  PROPERTY_SWITCHES,
		  16,
		  "goes on after the test cut without a stop to measure at X0.000 Y35.000",
		  0 },
		{ { { REPLACE, 11, stop(true) } },
		  PROPERTY_SWITCHES,
		  17,
		  "goes on after the test cut without a stop to measure at X0.000 Y35.000",
		  0 },
		{ { { DROP, 25 } },
		  PROPERTY_SWITCHES,
		  30,
		  "begins the skim without a stop to measure at X0.000 Y35.000",
		  0 },
		{ { { REPLACE, 8, feed_xy(50, 35, FEED) },
		    { INSERT, 9, spindle(ROTATION_OFF, 0) },
		    { INSERT, 10, spindle(ROTATION_CLOCKWISE, RPM) },
		    { INSERT, 11, feed_xy(-45, 35, FEED) } },
		  PROPERTY_SWITCHES,
		  9,
		  "the spindle stops in the work at X-50.000 Y35.000",
		  0.75 },
		{ { { DROP, 4 },
		    { REPLACE, 7, feed_xy(60, 35, FEED) },
		    { INSERT, 8, spindle(ROTATION_CLOCKWISE, RPM) },
		    { INSERT, 9, feed_xy(-45, 35, FEED) } },
		  PROPERTY_SWITCHES,
		  7,
		  "cuts with the spindle off at X0.000 Y35.000",
		  0 },
	};

	(void)state;
	each_refused(JOB, REFUSALS, sizeof REFUSALS / sizeof REFUSALS[0]);
}

static void
a_tools_length_is_wanted_where_the_dialect_has_one(void **state)
{
	struct rig            rig;
	const struct finding *finding;

	(void)state;
	rig_open(&rig, JOB);
	rig.script = good();
	drop(&rig.script, 2);
	expect_proved(&rig);
	rig.demand.lengths = true;
	finding            = expect_refused(&rig, PROPERTY_SWITCHES);
	assert_string_equal(finding->text, "cuts without the length of its tool, G43 H4 at X0.000 Y35.000");
	assert_int_equal(finding->line, 7);
	insert(&rig.script, 2, tool_length(4));
	expect_proved(&rig);
	/* Taken, and given up again. */
	insert(&rig.script, 3, tool_length(0));
	expect_refused(&rig, PROPERTY_SWITCHES);
	/* It was in the spindle before. */
	rig.script = good();
	drop(&rig.script, 2);
	drop(&rig.script, 1);
	expect_proved(&rig);
	assert_int_equal(rig.proof.assumed, ASSUMED_TOOL_IS_IN);
	rig_close(&rig);
}

/* The cutter comes down beside the work and feeds to a hair before it: there it may still start, a hair further it may not. */
static void
the_spindle_starts_in_air(void **state)
{
	static const double AT[] = { 140, 139 };
	struct rig          rig;

	(void)state;
	rig_open(&rig, JOB);
	for (size_t i = 0; i < 2; i++) {
		rig_begin(&rig);
		add(&rig.script, rapid_z(19.25));
		add(&rig.script, feed_xy(AT[i], 35, FEED));
		add(&rig.script, spindle(ROTATION_OFF, 0));
		assert_int_equal(refusals(&rig, PROPERTY_SWITCHES), 1 + i); /* it does not end, either */
	}
	rig_close(&rig);
}

static void
stops_that_the_job_does_not_want_may_be_missing(void **state)
{
	struct rig rig;

	(void)state;
	rig_open(&rig, JOB "cut: {measure: []}\n");
	rig.script = good();
	expect_proved(&rig);
	drop(&rig.script, 25);
	drop(&rig.script, 11);
	expect_proved(&rig);
	rig_close(&rig);
	rig_open(&rig, JOB "cut: {test_cut: 0}\n");
	rig.script = good();
	assert_int_equal(refusals(&rig, PROPERTY_SWITCHES), 0);
	drop(&rig.script, 11);
	assert_int_equal(refusals(&rig, PROPERTY_SWITCHES), 0);
	rig_close(&rig);
}

static void
coolant_is_the_jobs_where_the_job_says_so(void **state)
{
	struct rig rig;

	(void)state;
	rig_open(&rig, JOB "cut: {coolant: flood}\n");
	rig.script = good();
	assert_string_equal(expect_refused(&rig, PROPERTY_SWITCHES)->text,
	                    "cuts with coolant 'none', and the job asks for 'flood' at X0.000 Y35.000");
	assert_int_equal(rig.proof.findings.of[PROPERTY_SWITCHES].line, 8);

	rig.script = good();
	/* On before each cut, off before each rest. */
	for (size_t i = rig.script.count; i > 0; i--) {
		if (rig.script.steps[i - 1].kind != STEP_SPINDLE)
			continue;
		insert(&rig.script, rig.script.steps[i - 1].rotation == ROTATION_OFF ? i : i + 1,
		       coolant(rig.script.steps[i - 1].rotation == ROTATION_OFF ? COOLANT_NONE : COOLANT_FLOOD));
	}
	expect_proved(&rig);

	rig_close(&rig);
}

/* --- milling --- */

static void
a_cut_mostly_the_other_way_is_refused(void **state)
{
	struct rig            rig;
	const struct finding *finding;

	(void)state;
	rig_open(&rig, JOB);
	rig.script = good();
	for (size_t i = 0; i < rig.script.count; i++)
		if (rig.script.steps[i].axes & AXIS_Y)
			rig.script.steps[i].to.y = mm(24);
	finding = expect_refused(&rig, PROPERTY_MILLING);
	assert_string_equal(finding->text,
	                    "60 % of this cut is climb milling, on a way that ends at X-145.000 Y24.000");
	assert_int_equal(finding->line, 8);
	assert_int_equal(finding->count, 4);
	rig.demand.milling = MILLING_CLIMB;
	expect_proved(&rig);
	rig.script = good();
	finding    = expect_refused(&rig, PROPERTY_MILLING);
	assert_string_equal(finding->text,
	                    "58 % of this cut is conventional milling, on a way that ends at X-145.000 Y35.000");
	rig.demand.milling = MILLING_EITHER;
	expect_proved(&rig);
	rig_close(&rig);
}

/* --- the machine --- */

static void
what_the_machine_or_the_edges_cannot_do_is_refused(void **state)
{
	const struct refusal REFUSALS[] = {
		{ { { REPLACE, 4, spindle(ROTATION_CLOCKWISE, 2001) } },
		  PROPERTY_MACHINE,
		  4,
		  "the machine has no spindle speed of 2001 rpm",
		  0 },
		{ { { REPLACE, 4, spindle(ROTATION_CLOCKWISE, 49) } },
		  PROPERTY_MACHINE,
		  4,
		  "the machine has no spindle speed of 49 rpm",
		  0 },
		{ { { REPLACE, 4, spindle(ROTATION_CLOCKWISE, 500) } },
		  PROPERTY_MACHINE,
		  8,
		  "the edges run at 125.7 m/min, and the job's cutting_speed allows 100 m/min at X0.000 Y35.000",
		  0 },
		{ { { REPLACE, 7, feed_z(19.25, 401) } },
		  PROPERTY_MACHINE,
		  7,
		  "the feed of 401 mm/min is over the machine's fastest, 400 mm/min",
		  0 },
		{ { { REPLACE, 8, feed_xy(-45, 35, 196) } },
		  PROPERTY_MACHINE,
		  8,
		  "each tooth takes 0.1005 mm, and the job's feed_per_tooth allows 0.1 mm at X0.000 Y35.000",
		  0.000512 },
		{ { { REPLACE, 31, feed_xy(-45, 35, FEED) } },
		  PROPERTY_MACHINE,
		  31,
		  "each tooth takes 0.1 mm, and the job's skim_feed_per_tooth allows 0.05 mm at X0.000 Y35.000",
		  0.05 },
		{ { { REPLACE, 5, rapid_xy(206, 35) } },
		  PROPERTY_MACHINE,
		  8,
		  "needs 251 mm of travel in X, and the machine has 250 mm",
		  1 },
		{ { { INSERT, 6, rapid_xy(145, 190) }, { INSERT, 7, rapid_xy(145, 35) } },
		  PROPERTY_MACHINE,
		  6,
		  "needs 155 mm of travel in Y, and the machine has 150 mm",
		  5 },
		{ { { REPLACE, 3, rapid_z(118) } },
		  PROPERTY_MACHINE,
		  21,
		  "needs 100.75 mm of travel in Z, and the machine has 100 mm",
		  0.75 },
	};

	(void)state;
	each_refused(JOB, REFUSALS, sizeof REFUSALS / sizeof REFUSALS[0]);
}

static void
in_air_only_the_machine_limits_the_feed(void **state)
{
	struct rig rig;

	(void)state;
	rig_open(&rig, JOB);
	rig.script              = good();
	rig.script.steps[7 - 1] = feed_z(19.25, 400);
	rig.script.steps[4 - 1] = spindle(ROTATION_CLOCKWISE, 2000);
	insert(&rig.script, 8, spindle(ROTATION_CLOCKWISE, RPM));
	expect_proved(&rig);
	rig_close(&rig);
}

static void
a_machine_with_steps_has_no_speeds_between_them(void **state)
{
	static const char yaml[] = JOB_HEAD JOB_CUTTER "machine: {kind: manual, spindle: {speeds: [200, 390, 800]}}\n";
	struct rig                          rig;

	(void)state;
	rig_open(&rig, yaml);
	rig.script = good();
	expect_proved(&rig);
	rig.script.steps[4 - 1].rpm  = 380;
	rig.script.steps[8 - 1].feed = mm(190);
	assert_string_equal(expect_refused(&rig, PROPERTY_MACHINE)->text,
	                    "the machine has no spindle speed of 380 rpm");
	rig_close(&rig);
}

/* Faster than the edges should run, but the machine has no slower speed. */
static void
the_slowest_speed_of_the_machine_is_allowed(void **state)
{
	static const char yaml[] = JOB_HEAD JOB_CUTTER "machine: {kind: cnc, spindle: {min: 420, max: 2000}}\n";
	struct rig                          rig;

	(void)state;
	rig_open(&rig, yaml);
	rig.script = good();
	for (size_t i = 0; i < rig.script.count; i++)
		if (rig.script.steps[i].kind == STEP_SPINDLE && rig.script.steps[i].rpm > 0)
			rig.script.steps[i].rpm = 420;
	expect_proved(&rig);
	rig.script.steps[4 - 1].rpm = 421;
	expect_refused(&rig, PROPERTY_MACHINE);
	rig_close(&rig);
}

/* --- the rest --- */

static void
a_fault_leaves_open_what_was_not_refused_before_it(void **state)
{
	struct fault fault = { .line = 9, .column = 4, .text = "G81 (a canned cycle) is not read" };
	struct rig   rig;

	(void)state;
	rig_open(&rig, JOB);
	rig.script = good();
	assert_true(proof_begin(&rig.proof, &rig.demand, &rig.planning.arena, FINENESS_COARSE));
	rig.script.steps[0] = tool(5);
	for (size_t i = 0; i < 8; i++)
		proof_step(&rig.proof, &rig.script.steps[i], i + 1);
	proof_end(&rig.proof, &fault);
	assert_false(proof_holds(&rig.proof));
	assert_false(proof_wants_finer(&rig.proof));
	for (int i = 0; i < PROPERTIES; i++)
		assert_int_equal(rig.proof.findings.of[i].found,
		                 i == PROPERTY_WORDS || i == PROPERTY_SWITCHES ? FOUND_REFUSED : FOUND_OPEN);
	assert_int_equal(rig.proof.findings.of[PROPERTY_WORDS].line, 9);
	assert_int_equal(rig.proof.findings.of[PROPERTY_WORDS].column, 4);
	assert_string_equal(rig.proof.findings.of[PROPERTY_WORDS].text, fault.text);
	rig_close(&rig);
}

static void
only_the_first_refusal_is_kept_and_all_are_counted(void **state)
{
	struct rig            rig;
	const struct finding *finding = &rig.proof.findings.of[PROPERTY_RAPIDS];

	(void)state;
	rig_open(&rig, JOB);
	rig_begin(&rig);
	add(&rig.script, rapid_z(19));
	for (int i = 0; i < 5; i++)
		add(&rig.script, rapid_xy(50 + i, 30));
	assert_int_equal(refusals(&rig, PROPERTY_RAPIDS), 5);
	assert_int_equal(finding->line, 7);
	assert_true(finding->placed);
	assert_int_equal(finding->at.x, mm(0));
	assert_int_equal(finding->at.y, mm(35));
	rig_close(&rig);
}

/* Round cuts are seen too small: a strip of three hundredths between two slanted passes is there only when seen coarsely. */
static void
what_is_refused_for_its_coarseness_alone_wants_to_be_carved_finer(void **state)
{
	struct rig rig;
	bool       held[FINENESSES];

	(void)state;
	rig_open(&rig, JOB);
	rig.demand.height  = mm(17.25);
	rig.demand.milling = MILLING_EITHER;
	for (int fineness = FINENESS_COARSE; fineness < FINENESSES; fineness++) {
		rig_begin(&rig);
		add(&rig.script, rapid_xy(145, 29.2));
		add(&rig.script, rapid_z(17));
		/* 39.2 mm beside a way from Y 29.2 to 29.7 the whole width of 60 is cut, by a few hundredths. */
		add(&rig.script, feed_xy(-45, 30.2, SKIM_FEED));
		add(&rig.script, rapid_z(45));
		add(&rig.script, spindle(ROTATION_OFF, 0));
		add(&rig.script, end());
		held[fineness] = rig_prove_at(&rig, (enum fineness)fineness);
		if (!held[fineness])
			assert_true(proof_wants_finer(&rig.proof));
	}
	assert_true(held[FINENESS_FINE]);
	rig_close(&rig);
}

/*
 * Of a dial with lines of 0.05 cuts are equal to a line, as a plan's are, as long as each is on one; test_plan has such plans. A floor
 * between two lines is none of a plan's, and one a line lower makes one cut of 21 lines and one of 19.
 */
static void
roughing_cuts_off_the_lines_of_the_knees_dial_are_equal_to_a_step_or_refused(void **state)
{
	static const struct {
		const char *dials;
		double      floor; /* between them */
		bool        proved;
	} CASES[] = {
		{ "dials: {knee: {per_turn: 2, graduation: 0.05}}", 18.25, true },
		{ "dials: {knee: {per_turn: 2, graduation: 0.05}}", 18.249, false },
		{ "dials: {knee: {per_turn: 2, graduation: 0.05}}", 18.225, false },
		{ "dials: {knee: {per_turn: 2, graduation: 0.05}}", 18.2, false },
		{ "dials: {}", 18.25, true },
		{ "dials: {}", 18.225, false },
		/* The skim is no whole number of these lines. */
		{ "dials: {knee: {per_turn: 2, graduation: 0.02}}", 18.245, false },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char        yaml[1024];
		struct text out = text_over(yaml, sizeof yaml);
		struct rig  rig;

		text_format(&out,
		            JOB_HEAD JOB_CUTTER
		            "machine: {kind: manual, spindle: {min: 50, max: 2000}, feed: {max: 400}, %s}\n",
		            CASES[i].dials);
		rig_open(&rig, text_end(&out));
		rig.script           = good();
		rig.script.steps[14] = rapid_z(CASES[i].floor + 2.5);
		rig.script.steps[15] = feed_z(CASES[i].floor, FEED);
		if (CASES[i].proved)
			expect_proved(&rig);
		else
			expect_refused(&rig, PROPERTY_CUTS);
		rig_close(&rig);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_good_program_is_proved_however_fine_it_is_carved),
		cmocka_unit_test(times_are_those_of_the_way),
		cmocka_unit_test(what_still_stands_is_found_however_narrow),
		cmocka_unit_test(what_is_not_cut_to_its_height_is_told_with_its_area),
		cmocka_unit_test(inches_are_told_in_inches),
		cmocka_unit_test(what_is_cut_too_low_is_told_where_it_happens),
		cmocka_unit_test(cuts_are_judged_one_by_one),
		cmocka_unit_test(levels_any_allows_cuts_that_are_not_equal_nor_whole),
		cmocka_unit_test(a_cut_that_goes_back_up_wants_levels_any),
		cmocka_unit_test(a_single_cut_is_a_skim),
		cmocka_unit_test(a_pass_takes_no_more_than_the_stepover),
		cmocka_unit_test(a_rapid_that_touches_is_refused_and_one_a_nanometre_away_is_not),
		cmocka_unit_test(a_rapid_may_take_any_way_between_its_ends),
		cmocka_unit_test(straight_up_out_of_the_work_is_no_contact),
		cmocka_unit_test(what_was_cut_is_free_for_rapids_above_its_floor),
		cmocka_unit_test(nobody_knows_where_the_machine_stands),
		cmocka_unit_test(only_a_cnc_machine_changes_tools_above_everything),
		cmocka_unit_test(no_descent_touches_the_stock),
		cmocka_unit_test(a_ramp_is_a_descent),
		cmocka_unit_test(a_full_circle_cuts_all_around),
		cmocka_unit_test(an_arc_passes_where_it_passes),
		cmocka_unit_test(a_helix_down_onto_stock_is_a_descent_and_one_beside_it_is_none),
		cmocka_unit_test(a_rise_counts_as_deep_as_it_begins),
		cmocka_unit_test(a_clamp_is_met_where_the_edges_reach_it),
		cmocka_unit_test(edges_at_an_angle_reach_out_further_up),
		cmocka_unit_test(jaws_stand_before_and_behind_the_part),
		cmocka_unit_test(below_the_stock_is_the_table),
		cmocka_unit_test(what_is_switched_wrongly_is_refused),
		cmocka_unit_test(a_tools_length_is_wanted_where_the_dialect_has_one),
		cmocka_unit_test(the_spindle_starts_in_air),
		cmocka_unit_test(stops_that_the_job_does_not_want_may_be_missing),
		cmocka_unit_test(coolant_is_the_jobs_where_the_job_says_so),
		cmocka_unit_test(a_cut_mostly_the_other_way_is_refused),
		cmocka_unit_test(what_the_machine_or_the_edges_cannot_do_is_refused),
		cmocka_unit_test(in_air_only_the_machine_limits_the_feed),
		cmocka_unit_test(a_machine_with_steps_has_no_speeds_between_them),
		cmocka_unit_test(the_slowest_speed_of_the_machine_is_allowed),
		cmocka_unit_test(a_fault_leaves_open_what_was_not_refused_before_it),
		cmocka_unit_test(only_the_first_refusal_is_kept_and_all_are_counted),
		cmocka_unit_test(what_is_refused_for_its_coarseness_alone_wants_to_be_carved_finer),
		cmocka_unit_test(roughing_cuts_off_the_lines_of_the_knees_dial_are_equal_to_a_step_or_refused),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
