#include "../external/programs.h"

#include <stdlib.h>

#include "skimcut/measured.h"
#include "skimcut/ranking.h"
#include "skimcut/trial.h"

#define WORK                                                                                                           \
	"units: mm\nmaterial: {group: K, cutting_speed: 100 m/min, feed_per_tooth: 0.1}\n"                             \
	"stock: {length: 100, width: 90, height: 20}\nfinished_height: 16\n"                                           \
	"cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide}\n"

static const char *
written(Length height, char buffer[64])
{
	struct text out = text_over(buffer, 64);

	text_format(&out, "%lld.%03d um", (long long)(height / 1000), (int)(height % 1000));
	return text_end(&out);
}

/* --- by hand --- */

/* From 20 mm to 16 with a skim of 0.25. */
static const struct {
	const char   *written;
	Length        height;   /* that is taken; 0: it is not */
	enum severity severity; /* of the one message, when it is not */
	const char   *part;
} WRITTEN[] = {
	{ "19.2", 19200000, 0, NULL },
	{ "19.2 mm", 19200000, 0, NULL },
	{ "0.75 in", 19050000, 0, NULL },
	{ "3/4 in", 19050000, 0, NULL },
	{ "1.92 cm", 19200000, 0, NULL },
	{ "19.999999", 19999999, 0, NULL },
	/* half of the skim is left, and a nanometre less */
	{ "16.125", 16125000, 0, NULL },
	{ "16.124999", 0, SEVERITY_REFUSED, "the skim needs 0.125 mm" },
	{ "16", 0, SEVERITY_REFUSED, "there is nothing left to cut" },
	{ "15.999", 0, SEVERITY_REFUSED, "is below the finished height, 16 mm" },
	{ "0.1", 0, SEVERITY_REFUSED, "is below the finished height" },
	{ "20.001", 0, SEVERITY_REFUSED, "is above the stock, which was 20 mm" },
	{ "1 in", 0, SEVERITY_REFUSED, "is above the stock" },
	{ "-19.2", 0, SEVERITY_REFUSED, "is below the finished height" },
	{ "", 0, SEVERITY_ERROR, "--measured: " },
	{ " ", 0, SEVERITY_ERROR, "--measured: " },
	{ "nineteen", 0, SEVERITY_ERROR, "--measured: " },
	{ "19,2", 0, SEVERITY_ERROR, "--measured: " },
	{ "19.2 kg", 0, SEVERITY_ERROR, "--measured: " },
	{ "19.2 rpm", 0, SEVERITY_ERROR, "--measured: " },
	{ "19.2 %", 0, SEVERITY_ERROR, "--measured: " },
	{ "1/3 in", 0, SEVERITY_ERROR, "--measured: " },
	{ "1e9", 0, SEVERITY_ERROR, "--measured: " },
	{ "99999999999999999999", 0, SEVERITY_ERROR, "--measured: " },
};

static void
a_height_is_taken_as_a_person_writes_it_or_refused(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof WRITTEN / sizeof WRITTEN[0]; i++) {
		struct planning planning;
		struct job      before;
		bool            taken;

		assert_true(planning_open(&planning, WORK));
		memcpy(&before, &planning.job, sizeof before);
		taken = measured_take(&planning.job, WRITTEN[i].written, &planning.diag);
		if (taken != (WRITTEN[i].height > 0))
			fail_msg("'%s' is %s", WRITTEN[i].written, taken ? "taken" : "refused");
		if (taken) {
			assert_null(planning.diag.first);
			assert_int_equal(planning.job.stock.height, WRITTEN[i].height);
			assert_int_equal(planning.job.told.height, 20 * LENGTH_MM);
			assert_int_equal(planning.job.told.test_cut, 750000);
			assert_int_equal(planning.job.told.skim, 250000);
		} else {
			const struct message *message = planning.diag.first;

			assert_memory_equal(&before, &planning.job, sizeof before);
			assert_ptr_equal(message, planning.diag.last);
			if (message->severity != WRITTEN[i].severity || !strstr(message->text, WRITTEN[i].part) ||
			    !strstr(message->text, "--measured"))
				fail_msg("'%s': %s", WRITTEN[i].written, message->text);
			assert_int_equal(message->place.line, 0);
			assert_int_equal(diag_status(&planning.diag), message->severity == SEVERITY_REFUSED ? 1 : 2);
		}
		planning_close(&planning);
	}
}

/* From 20 mm to 16 with a test cut of 0.75, a skim of 0.25; what becomes of the two. Hand-worked. */
static void
the_test_cut_stays_until_half_of_it_is_off_and_the_skim_takes_what_would_rub(void **state)
{
	static const struct {
		const char *cut, *written;
		Length      test, skim;
	} CASES[] = {
		{ "", "19.999999", 750000, 250000 },
		/* a little less than half of the test cut is off, and half of it */
		{ "", "19.625001", 750000, 250000 },
		{ "", "19.625", 0, 250000 },
		{ "", "19.25", 0, 250000 },
		/* half of a skim is left above it, and a nanometre less; in whole hundredths */
		{ "", "16.375", 0, 250000 },
		{ "", "16.374999", 0, 380000 },
		{ "", "16.30", 0, 300000 },
		{ "", "16.250001", 0, 260000 },
		{ "", "16.25", 0, 250000 },
		{ "", "16.2", 0, 250000 },
		/* nor is it then deeper than a roughing cut may be */
		{ "cut: {rough: 0.3, test_cut: 0.3}\n", "16.3", 0, 300000 },
		{ "cut: {rough: 0.3, test_cut: 0.3}\n", "16.300001", 0, 250000 },
		{ "cut: {rough: 0.25, test_cut: 0.25}\n", "16.26", 0, 250000 },
		{ "cut: {test_cut: 0}\n", "19.999", 0, 250000 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char            yaml[1024];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		text_format(&out, WORK "%s", CASES[i].cut);
		assert_true(planning_open(&planning, text_end(&out)));
		assert_true(measured_take(&planning.job, CASES[i].written, &planning.diag));
		if (planning.job.cut.test_cut != CASES[i].test || planning.job.cut.skim != CASES[i].skim)
			fail_msg("%s%s: a test cut of %lld nm, a skim of %lld", CASES[i].cut, CASES[i].written,
			         (long long)planning.job.cut.test_cut, (long long)planning.job.cut.skim);
		assert_int_equal(planning.job.told.skim, 250000);
		planning_close(&planning);
	}
}

/* A cutter that cannot take all of it leaves the skim as it was: 0.35 are a cut of 0.1 and the skim. */
static void
a_skim_is_not_widened_to_less_than_is_left(void **state)
{
	static const struct {
		const char *max_depth;
		size_t      count;
		Length      skim;
	} CASES[] = { { "0.35", 1, 350000 }, { "0.349", 2, 250000 }, { "0.3", 2, 250000 } };

	(void)state;
	for (size_t i = 0; i < 3; i++) {
		char              yaml[1024];
		struct text       out = text_over(yaml, sizeof yaml);
		struct planning   planning;
		const struct cut *last;

		text_format(&out,
		            "units: mm\nmaterial: {group: K, cutting_speed: 100 m/min, feed_per_tooth: 0.1}\n"
		            "stock: {length: 100, width: 50, height: 20}\nfinished_height: 16\n"
		            "cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide, max_depth: %s}\n",
		            CASES[i].max_depth);
		assert_true(planning_open(&planning, text_end(&out)));
		assert_true(measured_take(&planning.job, "16.35", &planning.diag));
		assert_true(planning_plan(&planning, ALONG_X));
		last = &planning.plan.schedule.cuts[planning.plan.schedule.count - 1];
		assert_int_equal(planning.plan.schedule.count, CASES[i].count);
		assert_int_equal(last->top - last->floor, CASES[i].skim);
		planning_close(&planning);
	}
}

/* Thousandths, where a hand would be thinking in them. */
static void
in_inches_a_wider_skim_is_whole_thousandths(void **state)
{
	struct planning planning;

	(void)state;
	assert_true(planning_open(&planning, "units: inch\nmaterial: low-carbon steel\nstock: {length: 5, width: 2, "
	                                     "height: 1.1}\nfinished_height: 1\ncutter: {kind: shell mill, diameter: "
	                                     "2.5, teeth: 5, edge: carbide}\ncut: {skim: 0.010}\n"));
	assert_true(measured_take(&planning.job, "1.0132", &planning.diag));
	assert_int_equal(planning.job.cut.skim, 14 * LENGTH_INCH / 1000);
	planning_close(&planning);
}

/* A bare number is in the units of the job. */
static void
a_bare_number_is_in_the_jobs_units(void **state)
{
	struct planning planning;

	(void)state;
	assert_true(planning_open(&planning, "units: inch\nmaterial: low-carbon steel\nstock: {length: 5, width: 2, "
	                                     "height: 1.1}\nfinished_height: 1\ncutter: {kind: shell mill, diameter: "
	                                     "2.5, teeth: 5, edge: carbide}\n"));
	assert_true(measured_take(&planning.job, "1.068", &planning.diag));
	assert_int_equal(planning.job.stock.height, 27127200);
	planning_close(&planning);
}

static void
the_height_of_the_stock_changes_nothing_and_says_so(void **state)
{
	struct planning planning;
	struct job      before;

	(void)state;
	assert_true(planning_open(&planning, WORK));
	memcpy(&before, &planning.job, sizeof before);
	assert_true(measured_take(&planning.job, "20", &planning.diag));
	assert_memory_equal(&before, &planning.job, sizeof before);
	assert_non_null(message_with(&planning.diag, SEVERITY_NOTE, "nothing has come off"));
	assert_int_equal(planning.diag.errors, 0);
	planning_close(&planning);
}

/* --- at random --- */

/* At times just at a limit or beside it. */
static Length
random_height(uint64_t *random, const struct job *job)
{
	Length limits[] = { job->stock.height, job->finished_height, job->finished_height + job->cut.skim / 2 };

	if (random_chance(random, 4))
		return limits[random_between(random, 0, 2)] + random_between(random, -2, 2);
	if (random_chance(random, 4))
		return random_between(random, job->finished_height, job->finished_height + 2 * job->cut.skim);
	return random_between(random, job->finished_height - job->cut.skim / 4, job->stock.height + job->cut.skim / 8);
}

static void
what_is_too_high_or_leaves_less_than_half_the_skim_is_refused(void **state)
{
	uint64_t random = 66260701, taken = 0, above = 0, below = 0, thin = 0, widened = 0;

	(void)state;
	for (int i = 0; i < 2000; i++) {
		const uint64_t  seed = random;
		char            yaml[4096], buffer[64];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		Length          height, stock, finished, skim, test, wide;
		bool            ok;

		random_job(&random, "pad", &out);
		holds(seed, planning_open(&planning, yaml));
		stock    = planning.job.stock.height;
		finished = planning.job.finished_height;
		skim     = planning.job.cut.skim;
		test     = planning.job.cut.test_cut;
		height   = random_height(&random, &planning.job);
		ok       = measured_take(&planning.job, written(height, buffer), &planning.diag);
		above += height > stock;
		below += height < finished;
		thin += height >= finished && 2 * (height - finished) < skim - 1;
		if (height > stock ||
		    2 * (height - finished) < skim - 1) { /* of an odd skim, half a nanometre is nothing */
			holds(seed, !ok && planning.diag.errors == 1);
			holds(seed, message_with(&planning.diag, SEVERITY_REFUSED,
			                         height > stock       ? "is above the stock"
			                         : height < finished  ? "is below the finished height"
			                         : height == finished ? "is the finished height: there is nothing left"
			                                              : "rubs more than it cuts"));
			holds(seed, planning.job.stock.height == stock && planning.job.told.height == 0 &&
			                planning.job.cut.test_cut == test);
		} else {
			holds(seed, ok && planning.diag.errors == 0);
			holds(seed, planning.job.stock.height == height);
			holds(seed,
			      planning.job.cut.test_cut == (height == stock || 2 * (stock - height) < test ? test : 0));
			holds(seed, planning.job.told.height == (height == stock ? 0 : stock));
			holds(seed, planning.job.told.test_cut == (height == stock ? 0 : test));
			taken += height < stock;
		}
		wide = planning.job.cut.skim;
		holds(seed, planning.job.finished_height == finished);
		if (wide != skim) { /* to all that is left, and a last digit more */
			const Length digit = planning.job.units == UNITS_INCH ? LENGTH_INCH / 1000 : LENGTH_MM / 100;

			holds(seed, height < stock && ok && wide <= planning.job.cut.rough && wide % digit == 0);
			holds(seed, wide >= height - finished && wide - digit < height - finished);
			holds(seed, height - finished > skim && 2 * (height - finished) < 3 * skim);
			widened++;
		}
		planning_close(&planning);
	}
	assert_true(taken > 1000 && above > 50 && below > 50 && thin > 50 && widened > 50);
}

static bool
replanned(struct work *work)
{
	struct planning *planning = &work->planning;

	return ranking_plan(&planning->job, dialect_grid(&work->dialect, planning->job.units), &planning->arena,
	                    &planning->plan, &planning->diag);
}

/* Less than half of what the first plan's test cut was to be is off. */
static bool
test_is_to_come(const struct job *job)
{
	return job->told.test_cut > 0 && 2 * (job->told.height - job->stock.height) < job->told.test_cut;
}

/* From the height to the finished height, and with the first plan's skim where as much is left; a wider one is all there is. */
static void
cuts_check(const struct plan *plan, const struct plan *first, Length height, uint64_t seed)
{
	const struct schedule *schedule = &plan->schedule;
	const struct cut      *last     = &schedule->cuts[schedule->count - 1];
	const bool             widened  = plan->job->cut.skim > plan->job->told.skim;
	Length                 at       = height;

	for (size_t i = 0; i < schedule->count; i++) {
		const struct cut *cut = &schedule->cuts[i];

		holds(seed, cut->kind == (cut == last                            ? CUT_SKIM
		                          : i == 0 && test_is_to_come(plan->job) ? CUT_TEST
		                                                                 : CUT_ROUGH));
		holds(seed, cut->top == at && cut->floor < at);
		holds(seed, cut->top - cut->floor <= (cut == last ? plan->job->cut.skim : plan->job->cut.rough));
		at = cut->floor;
	}
	holds(seed, at == plan->final && plan->final == first->final);
	if (!widened)
		holds(seed, plan->depths.skim == first->depths.skim);
	if (!widened && height - plan->final >= first->depths.skim)
		holds(seed, last->top - last->floor == first->depths.skim);
	else if (!widened)
		holds(seed, schedule->count == 1);
	for (size_t i = 0; i + 1 < schedule->count; i++)
		holds(seed, !plan_stops_after(plan, i) || schedule->cuts[i].kind == CUT_TEST ||
		                schedule->cuts[i + 1].kind == CUT_SKIM);
}

static void
expect_proved(struct work *work, uint64_t seed)
{
	struct planning *planning = &work->planning;
	struct trial     trial    = { 0 };

	work_write(work);
	assert_true(
	    trial_begin(&trial, &planning->job, &planning->plan, &work->dialect, &planning->arena, FINENESS_MIDDLE));
	trial_feed(&trial, work->text, strlen(work->text));
	if (!trial_end(&trial))
		fail_msg("seed %llu, %s: line %zu: %s\n%s", (unsigned long long)seed, work->dialect.name,
		         trial_first_refusal(&trial)->line, trial_first_refusal(&trial)->text, work->yaml);
}

/* In every dialect in turn, with every zero. */
static void
the_rest_is_planned_from_the_same_zero_and_proved(void **state)
{
	uint64_t random = 8314462618, zeros[3] = { 0 }, single = 0, done = 0;
	size_t   dialects = 0;

	(void)state;
	while (SHIPPED_DIALECTS[dialects].name)
		dialects++;
	for (int i = 0; i < 320; i++) {
		const uint64_t seed = random;
		char          *yaml = calloc(1, 4096), buffer[64];
		struct text    out  = text_over(yaml, 4096);
		struct work    work;

		random_job(&random, "pad", &out);
		if (work_open(&work, yaml, SHIPPED_DIALECTS[(size_t)i % dialects].name)) {
			struct job        *job    = &work.planning.job;
			struct plan        first  = work.planning.plan;
			Length             least  = job->finished_height + (job->cut.skim + 1) / 2;
			Length             height = least < job->stock.height
			                              ? random_between(&random, least, job->stock.height - 1)
			                              : 0;
			const struct plan *plan   = &work.planning.plan;

			if (height > 0 && random_chance(&random, 4))
				height = smaller(height, least + job->cut.skim / 2);
			if (height > 0) {
				holds(seed, measured_take(job, written(height, buffer), &work.planning.diag));
				if (!replanned(&work))
					holds(seed, message_with(&work.planning.diag, SEVERITY_REFUSED,
					                         "the least that the program"));
				else {
					holds(seed, plan->zero.x == first.zero.x && plan->zero.y == first.zero.y &&
					                plan->zero.z == first.zero.z);
					cuts_check(plan, &first, height, seed);
					expect_proved(&work, seed);
					zeros[job->zero.z]++;
					single += plan->schedule.count == 1;
					done++;
				}
			}
		}
		work_close(&work);
	}
	assert_true(done > 150 && single > 5);
	assert_true(zeros[ZERO_TOP] > 20 && zeros[ZERO_FINISHED] > 20 && zeros[ZERO_BOTTOM] > 20);
}

/* The top that was told is the zero, though nothing is there any more. */
static void
zero_at_the_top_stays_at_the_top_that_was(void **state)
{
	static const struct {
		const char *zero;
		Length      z;
	} CASES[] = { { "top", 20 * LENGTH_MM }, { "finished", 16 * LENGTH_MM }, { "bottom", 0 } };

	(void)state;
	for (size_t i = 0; i < 3; i++) {
		char            yaml[1024];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		text_format(&out, WORK "zero: {z: %s}\n", CASES[i].zero);
		assert_true(planning_open(&planning, text_end(&out)));
		assert_true(measured_take(&planning.job, "19.2", &planning.diag));
		assert_true(planning_plan(&planning, ALONG_X));
		assert_int_equal(planning.plan.zero.z, CASES[i].z);
		planning_close(&planning);
	}
}

/* --- the program itself --- */

static int
status_of(const char *command)
{
	FILE *program = popen(command, "r");
	char  byte[4096];
	int   status;

	assert_non_null(program);
	while (fread(byte, 1, sizeof byte, program) > 0)
		;
	status = pclose(program);
	return status & 0x7F ? -1 : status >> 8;
}

/* What is made from a height is proved from the same height, and from no other. */
static void
program_and_proof_agree_on_the_height(void **state)
{
	static const struct {
		const char *made, *proved;
		int         status;
	} CASES[] = {
		{ "-m 1.065", "-m 1.065", 0 },
		{ "--measured 1.065", "-m '27.051 mm'", 0 },
		{ "-m 1.065", "", 1 },
		{ "", "-m 1.065", 1 },
		{ "", "", 0 },
		{ "-m 1.1", "", 0 }, /* nothing has come off */
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char        command[1024];
		struct text out = text_over(command, sizeof command);
		int         status;

		text_format(&out,
		            SKIMCUT " program -q %s samples/starter-inch.yaml | " SKIMCUT
		                    " prove -q %s samples/starter-inch.yaml - 2>&1",
		            CASES[i].made, CASES[i].proved);
		status = status_of(text_end(&out));
		if (status != CASES[i].status)
			fail_msg("%s: exit %d", command, status);
	}
}

/* For the skim alone the second would be quicker; but the first is in the spindle. */
static void
the_rest_is_cut_with_the_cutter_that_began(void **state)
{
	static const char JOB[] =
	    "units: mm\\nmaterial: grey iron\\nstock: {length: 200, width: 100, height: %s}\\n"
	    "finished_height: 30\\ncut: {rough: 3, test_cut: %s}\\ncutters:\\n"
	    "  deep: {kind: face mill, diameter: 50, teeth: 4, edge: carbide, max_depth: 3}\\n"
	    "  quick: {kind: face mill, diameter: 63, teeth: 6, edge: carbide, max_depth: 0.6}\\n";
	static const struct {
		const char *height, *test_cut, *options, *cutter;
	} CASES[] = {
		{ "40", "0.5", "", "deep" },
		{ "40", "0.5", "-m 30.25", "deep" },
		{ "30.25", "0", "", "quick" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char        command[1024], job[700];
		struct text out = text_over(command, sizeof command);

		snprintf(job, sizeof job, JOB, CASES[i].height, CASES[i].test_cut);
		text_format(&out, "printf '%s' | " SKIMCUT " plan -q %s - | grep -q '^Cutter *%s:'", job,
		            CASES[i].options, CASES[i].cutter);
		if (status_of(text_end(&out)) != 0)
			fail_msg("not so: %s", command);
	}
}

static void
a_height_that_is_refused_is_refused_by_every_verb(void **state)
{
	static const char *const VERBS[] = { "plan", "program", "sheet" };

	(void)state;
	for (size_t i = 0; i < 3; i++)
		for (int bad = 0; bad < 2; bad++) {
			char        command[1024];
			struct text out = text_over(command, sizeof command);

			text_format(&out, SKIMCUT " %s -q -m %s samples/starter-inch.yaml 2>&1", VERBS[i],
			            bad ? "'one inch'" : "1.2");
			assert_int_equal(status_of(text_end(&out)), 1 + bad);
		}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_height_is_taken_as_a_person_writes_it_or_refused),
		cmocka_unit_test(the_test_cut_stays_until_half_of_it_is_off_and_the_skim_takes_what_would_rub),
		cmocka_unit_test(a_skim_is_not_widened_to_less_than_is_left),
		cmocka_unit_test(in_inches_a_wider_skim_is_whole_thousandths),
		cmocka_unit_test(a_bare_number_is_in_the_jobs_units),
		cmocka_unit_test(the_height_of_the_stock_changes_nothing_and_says_so),
		cmocka_unit_test(what_is_too_high_or_leaves_less_than_half_the_skim_is_refused),
		cmocka_unit_test(the_rest_is_planned_from_the_same_zero_and_proved),
		cmocka_unit_test(zero_at_the_top_stays_at_the_top_that_was),
		cmocka_unit_test(program_and_proof_agree_on_the_height),
		cmocka_unit_test(the_rest_is_cut_with_the_cutter_that_began),
		cmocka_unit_test(a_height_that_is_refused_is_refused_by_every_verb),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
