#include "../external/programs.h"

#include <math.h>

#include "skimcut/trial.h"

/* Whole, or in pieces of `piece` bytes, each in a place of its own. */
static bool
try_text(struct trial *trial, struct work *work, const char *text, size_t size, size_t piece, enum fineness fineness)
{
	assert_true(trial_begin(trial, &work->planning.job, &work->planning.plan, &work->dialect, &work->planning.arena,
	                        fineness));
	for (size_t at = 0; at < size; at += piece) {
		size_t length = size - at < piece ? size - at : piece;
		char  *part   = malloc(length);

		assert_non_null(part);
		memcpy(part, text + at, length);
		trial_feed(trial, part, length);
		free(part);
	}
	return trial_end(trial);
}

static bool
try_whole(struct trial *trial, struct work *work)
{
	return try_text(trial, work, work->text, strlen(work->text), strlen(work->text), FINENESS_MIDDLE);
}

static void
expect_proved(bool proved, const struct trial *trial, const struct work *work, uint64_t seed)
{
	const struct finding *first = trial_first_refusal(trial);

	if (!proved)
		fail_msg("seed %llu, %s: line %zu: %s\n%s", (unsigned long long)seed, work->dialect.name, first->line,
		         first->text, work->yaml);
	assert_null(first);
}

/* What was found and reckoned, to the bit. */
static void
expect_same(const struct trial *a, const struct trial *b)
{
	assert_memory_equal(&a->proof.findings, &b->proof.findings, sizeof a->proof.findings);
	assert_true(a->proof.cutting.cut_s == b->proof.cutting.cut_s);
	assert_true(a->proof.cutting.volume_mm3 == b->proof.cutting.volume_mm3);
	assert_true(a->proof.cutting.conventional_mm2 == b->proof.cutting.conventional_mm2);
	assert_true(a->proof.cutting.climb_mm2 == b->proof.cutting.climb_mm2);
	assert_int_equal(a->proof.cutting.deepest, b->proof.cutting.deepest);
	assert_int_equal(a->proof.cutting.levels, b->proof.cutting.levels);
	assert_true(a->proof.clock.feed_s == b->proof.clock.feed_s && a->proof.clock.rapid_s == b->proof.clock.rapid_s);
	assert_int_equal(a->proof.clock.stops, b->proof.clock.stops);
	assert_int_equal(a->proof.assumed, b->proof.assumed);
	assert_int_equal(a->reader.line, b->reader.line);
	assert_int_equal(a->reader.bytes, b->reader.bytes);
}

static void
pieces_try(struct work *work, uint64_t seed)
{
	static const size_t PIECES[] = { 1, 2, 3, 7, 64, 510, 511, 512, 4096 };

	struct trial whole = { 0 }, cut = { 0 };

	expect_proved(try_whole(&whole, work), &whole, work, seed);
	assert_int_equal(whole.reader.bytes, strlen(work->text));
	for (size_t i = 0; i < sizeof PIECES / sizeof PIECES[0]; i++) {
		expect_proved(try_text(&cut, work, work->text, strlen(work->text), PIECES[i], FINENESS_MIDDLE), &cut,
		              work, seed);
		expect_same(&cut, &whole);
	}
}

static void
every_sample_is_proved_in_pieces_of_any_size(void **state)
{
	(void)state;
	each_sample(NULL, pieces_try);
	each_sample("plain", pieces_try);
	each_sample("iso6983", pieces_try);
}

static void
reckoning_agrees_with_the_plan(struct work *work, uint64_t seed)
{
	const struct plan  *plan   = &work->planning.plan;
	const struct stock *stock  = &plan->job->stock;
	const double        mm     = LENGTH_MM;
	struct trial        trial  = { 0 };
	double              volume = (double)stock->length / mm * ((double)stock->width / mm) *
	                ((double)(stock->height - plan->final) / mm);
	struct clock clock = choice_time(plan);
	int64_t      stops = 0;

	expect_proved(try_whole(&trial, work), &trial, work, seed);
	for (size_t i = 0; i < plan->schedule.count; i++)
		stops += plan_stops_after(plan, i);
	holds(seed, fabs(trial.proof.cutting.volume_mm3 - volume) < 1e-6 * volume);
	holds(seed, (size_t)trial.proof.cutting.levels == plan->schedule.count);
	holds(seed, fabs(trial.proof.clock.feed_s - clock.feed_s) < 1e-6 * clock.feed_s);
	holds(seed, fabs(trial.proof.clock.rapid_s - clock.rapid_s) < 1e-6 * clock.rapid_s + 1e-6);
	holds(seed, trial.proof.clock.stops == stops && clock.stops == stops);
	for (size_t i = 0; i < plan->schedule.count; i++) {
		Length depth = (i == 0 ? stock->height : plan->schedule.cuts[i].top) - plan->schedule.cuts[i].floor;

		holds(seed, trial.proof.cutting.deepest >= depth);
	}
	holds(seed, trial.proof.cutting.cut_s > 0 && trial.proof.cutting.cut_s < trial.proof.clock.feed_s);
}

static void
what_is_planned_is_proved_and_reckoned_alike(void **state)
{
	(void)state;
	each_sample(NULL, reckoning_agrees_with_the_plan);
	each_random(20260301, 150, NULL, reckoning_agrees_with_the_plan);
}

/* Straight passes along X or Y are cut out exactly, however fine the steps beside others would be. */
static void
fineness_try(struct work *work, uint64_t seed)
{
	struct trial trials[FINENESSES] = { 0 };

	for (int fineness = FINENESS_COARSE; fineness < FINENESSES; fineness++) {
		struct trial *trial = &trials[fineness];

		expect_proved(try_text(trial, work, work->text, strlen(work->text), 65536, (enum fineness)fineness),
		              trial, work, seed);
		assert_false(trial->proof.carve.rounded || trial->proof.carve.full);
		expect_same(trial, &trials[FINENESS_COARSE]);
	}
}

static void
fineness_changes_nothing_for_straight_passes(void **state)
{
	(void)state;
	each_sample(NULL, fineness_try);
	each_random(7, 20, NULL, fineness_try);
}

static void
a_trial_begun_anew_remembers_nothing(struct work *work, uint64_t seed)
{
	static const char BAD[] = "%\nG21 G17 G90\nG0 X1\nM3 S99999\nG81 X3 Z-5 R2 F1\n";

	struct trial fresh = { 0 }, used = { 0 };

	expect_proved(try_whole(&fresh, work), &fresh, work, seed);
	assert_false(try_text(&used, work, BAD, sizeof BAD - 1, 5, FINENESS_FINE));
	assert_non_null(trial_first_refusal(&used));
	expect_proved(try_whole(&used, work), &used, work, seed);
	expect_same(&used, &fresh);
}

static void
a_failed_trial_leaves_no_trace_in_the_next(void **state)
{
	(void)state;
	each_sample("rs274ngc", a_trial_begun_anew_remembers_nothing);
}

/* Neither by what is fed nor by what is begun anew. */
static void
memory_try(struct work *work, uint64_t seed)
{
	struct trial trial = { 0 };
	struct arena before;

	expect_proved(try_whole(&trial, work), &trial, work, seed);
	before = work->planning.arena;
	expect_proved(try_text(&trial, work, work->text, strlen(work->text), 1, FINENESS_FINE), &trial, work, seed);
	assert_memory_equal(&work->planning.arena, &before, sizeof before);
}

static void
nothing_is_allocated_once_it_has_begun(void **state)
{
	(void)state;
	each_sample(NULL, memory_try);
}

/* A small job to change programs of. */
static const char JOB[] = "units: mm\n"
			  "material: brass\n"
			  "stock: {length: 40, width: 30, height: 10.2}\n"
			  "finished_height: 10\n"
			  "cutter: {kind: face mill, diameter: 40, teeth: 4, edge: carbide}\n";

#define PROGRAM_HEAD "G21 G17 G90 G94 G54\nT1 M6\nG43 H1\nG0 Z30\nS500 M3\nX70 Y16\nZ2.5\n"
#define PROGRAM_CUT  "G1 Z0 F50\nX-30\n"
#define PROGRAM_TAIL "G0 Z30\nM5\nM30\n"

static void
job_open(struct work *work)
{
	assert_true(work_open(work, strcpy(calloc(1, sizeof JOB), JOB), "rs274ngc"));
}

static void
a_program_by_hand_is_proved(void **state)
{
	static const char *const PROGRAMS[] = {
		PROGRAM_HEAD PROGRAM_CUT           PROGRAM_TAIL,
		"%\nO7\n" PROGRAM_HEAD PROGRAM_CUT PROGRAM_TAIL "%\n",
		"g21g17g90g94g54\nt1m6\ng43h1\ng0z30\ns500m3\nx70y16\nz2.5\ng1z0f50\nx-30\ng0z30\nm5\nm30",
		"G21 G17 G90 G94\r\nT1 M6\r\nG43 H1\r\nG0 Z30\r\nM3 S500\r\nY16 X70\r\nZ2.5\r\nG1 F50 Z0\r\nX-30\r\nG0 "
		"Z30\r\nM5\r\nM2\r\n",
		"N1 G21 (metric)\nN2 T1 M6 ; the only one\nN3 G43 H1\n/N4 G0 Z30\nN5 M3 S500\nN6 G0 X70 Y16\nN7 G0 "
		"Z2.5\nN8 G1 Z0 "
		"F50\nN9 G1 X-30 Y16\nN10 G0 Z30\nN11 M5\nN12 M30\n",
		"G20 G90\nT1 M6 G43 H1\nG0 Z1.2\nS500 M3\nX2.76 Y.63\nZ.1\nG1 Z0 F1.9\nX-1.2\nG0 Z1.2\nM5\nM30\n",
		"G21 G90\nG0 Z30\nS500 M3\nG0 X70 Y16\nG91 Z-27.5\nG1 Z-2.5 F50\nX-100\nG90 G0 Z30\nM5\nM30\n",
	};
	static const unsigned ASSUMED[] = {
		0,
		0,
		0,
		ASSUMED_NO_OFFSET,
		ASSUMED_NO_OFFSET | ASSUMED_BLOCKS_RUN,
		ASSUMED_NO_OFFSET,
		ASSUMED_NO_OFFSET | ASSUMED_TOOL_IS_IN,
	};
	struct work  work;
	struct trial trial = { 0 };

	(void)state;
	job_open(&work);
	for (size_t i = 0; i < sizeof PROGRAMS / sizeof PROGRAMS[0]; i++) {
		bool proved = try_text(&trial, &work, PROGRAMS[i], strlen(PROGRAMS[i]), 9, FINENESS_COARSE);

		expect_proved(proved, &trial, &work, i);
		assert_int_equal(trial.proof.assumed & ~(unsigned)ASSUMED_MODES,
		                 ASSUMED[i] | ASSUMED_NOTHING_BY | ASSUMED_NO_LIMITS);
		assert_true(fabs(trial.proof.cutting.volume_mm3 - 40 * 30 * 0.2) < 1e-6);
	}
	work_close(&work);
}

/* The line and the text of the refusal that stands first. */
static void
the_first_refusal_is_that_of_the_first_line(void **state)
{
	static const struct {
		const char   *program;
		enum property property;
		size_t        line, column;
	} CASES[] = {
		{ PROGRAM_HEAD "G1 Z-0.002 F50\nX-30\n" PROGRAM_TAIL, PROPERTY_FLOOR, 9, 0 },
		{ PROGRAM_HEAD PROGRAM_CUT "G0 Z30\nM30\n", PROPERTY_SWITCHES, 11, 0 },
		/* Before what is said of the program as a whole. */
		{ PROGRAM_HEAD "G1 Z0 F50\nX20\n" PROGRAM_TAIL, PROPERTY_FACE, 0, 0 },
		{ PROGRAM_HEAD "G1 Z0 F50\nX20\nG0 Z30\nM30\n", PROPERTY_SWITCHES, 11, 0 },
		{ PROGRAM_HEAD "G1 Z0 F5000\nG41 X-30\n", PROPERTY_WORDS, 9, 1 },
		{ PROGRAM_HEAD "G1 Z0 F50\nX-30 F5000\nG0 G41 X-30\n", PROPERTY_MACHINE, 9, 0 },
		{ "", PROPERTY_WORDS, 1, 1 },
		{ PROGRAM_HEAD, PROPERTY_WORDS, 7, 1 },
	};
	struct work  work;
	struct trial trial = { 0 };

	(void)state;
	job_open(&work);
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		const struct finding *first;

		assert_false(
		    try_text(&trial, &work, CASES[i].program, strlen(CASES[i].program), 1000, FINENESS_COARSE));
		first = trial_first_refusal(&trial);
		if (first != &trial.proof.findings.of[CASES[i].property] || first->line != CASES[i].line)
			print_error("case %zu: line %zu: %s\n", i, first->line, first->text);
		assert_ptr_equal(first, &trial.proof.findings.of[CASES[i].property]);
		assert_int_equal(first->line, CASES[i].line);
		assert_int_equal(first->column, CASES[i].column);
	}
	work_close(&work);
}

static void
what_a_fault_leaves_unread_is_open(void **state)
{
	static const char PROGRAM[] = PROGRAM_HEAD PROGRAM_CUT "G81 X3\n" PROGRAM_TAIL;
	struct work                                work;
	struct trial                               trial = { 0 };

	(void)state;
	job_open(&work);
	assert_false(try_text(&trial, &work, PROGRAM, sizeof PROGRAM - 1, 3, FINENESS_COARSE));
	for (int i = 0; i < PROPERTIES; i++)
		assert_int_equal(trial.proof.findings.of[i].found, i == PROPERTY_WORDS ? FOUND_REFUSED : FOUND_OPEN);
	work_close(&work);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_sample_is_proved_in_pieces_of_any_size),
		cmocka_unit_test(what_is_planned_is_proved_and_reckoned_alike),
		cmocka_unit_test(fineness_changes_nothing_for_straight_passes),
		cmocka_unit_test(a_failed_trial_leaves_no_trace_in_the_next),
		cmocka_unit_test(nothing_is_allocated_once_it_has_begun),
		cmocka_unit_test(a_program_by_hand_is_proved),
		cmocka_unit_test(the_first_refusal_is_that_of_the_first_line),
		cmocka_unit_test(what_a_fault_leaves_unread_is_open),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
