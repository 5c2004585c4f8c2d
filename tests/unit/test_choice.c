#include "planning.h"

#include "skimcut/choice.h"
#include "skimcut/clock.h"
#include "skimcut/fit.h"
#include "skimcut/path.h"

#define MATERIAL "material: {group: N, cutting_speed: 100 m/min, feed_per_tooth: 0.1}\n"
#define CUTTER   "cutter: {kind: face mill, diameter: 40, teeth: 4, edge: carbide, nose_radius: 0}\n"

static bool
chosen(struct planning *planning, const char *yaml)
{
	if (!planning_open(planning, yaml))
		fail_msg("not a job: %s", planning->diag.first ? planning->diag.first->text : "");
	return choice_make(&planning->job, usual_grid(planning->job.units), &planning->arena, &planning->plan,
	                   &planning->diag);
}

/* Less than 0: there is no such plan. */
static double
time_along(const char *yaml, enum along along)
{
	struct planning planning;
	double          seconds = -1;

	assert_true(planning_open(&planning, yaml));
	if (planning_plan(&planning, along)) {
		struct clock clock = choice_time(&planning.plan);

		seconds = clock_total_s(&clock);
	}
	planning_close(&planning);
	return seconds;
}

static void
the_direction_of_less_time_wins(void **state)
{
	static const struct {
		const char *stock;
		enum along  along;
	} cases[] = {
		{ "stock: {length: 300, width: 60, height: 20}\n", ALONG_X },
		{ "stock: {length: 60, width: 300, height: 20}\n", ALONG_Y },
		{ "stock: {length: 300, width: 30, height: 20}\n", ALONG_X },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		char            yaml[1024];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		struct clock    clock;
		double          x, y;

		text_format(&out, "units: mm\n" MATERIAL CUTTER "%sfinished_height: 18\n", cases[i].stock);
		text_end(&out);
		x = time_along(yaml, ALONG_X);
		y = time_along(yaml, ALONG_Y);
		assert_true(cases[i].along == ALONG_X ? x < y : y < x);
		assert_true(chosen(&planning, yaml));
		assert_int_equal(planning.plan.layout.along, cases[i].along);
		clock = choice_time(&planning.plan);
		assert_true(clock_total_s(&clock) <= x && clock_total_s(&clock) <= y);
		planning_close(&planning);
	}
}

/* Of one pattern, whatever the job says; less than 0: there is no such plan. */
static double
time_of(const char *yaml, enum along along, enum pattern pattern)
{
	struct planning planning;
	double          seconds = -1;
	struct plan     plan;

	assert_true(planning_open(&planning, yaml));
	planning.job.cut.pattern = pattern;
	planning.job.cut.along   = along;
	if (fit_make(&planning.job, usual_grid(planning.job.units), along, &planning.arena, &plan, &planning.diag) &&
	    plan.layout.pattern == pattern) {
		struct clock clock = choice_time(&plan);

		seconds = clock_total_s(&clock);
	}
	planning_close(&planning);
	return seconds;
}

/* Everything that the job allows, tried: directions and patterns; with `auto` a single pass, wherever one covers, and no other. */
static double
least_time(const char *yaml, const struct job *job)
{
	double least = -1;

	for (int along = ALONG_X; along <= ALONG_Y; along++)
		for (int pattern = PATTERN_SINGLE; pattern <= PATTERN_ONE_WAY; pattern++) {
			double seconds;

			if ((job->cut.along != ALONG_AUTO && (int)job->cut.along != along) ||
			    (job->cut.pattern != PATTERN_AUTO && (int)job->cut.pattern != pattern) ||
			    (pattern == PATTERN_ZIGZAG && job->cut.milling != MILLING_EITHER))
				continue;
			seconds = time_of(yaml, (enum along)along, (enum pattern)pattern);
			if (seconds >= 0 && (least < 0 || seconds < least))
				least = seconds;
			if (pattern == PATTERN_SINGLE && seconds >= 0)
				break;
		}
	return least;
}

static void
nothing_that_the_job_allows_is_quicker(void **state)
{
	uint64_t random = 1618033988749895, made = 0, zigzags = 0, back_above = 0;

	(void)state;
	for (int i = 0; i < 500; i++) {
		uint64_t        seed = random;
		char            yaml[4096];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		random_job(&random, "a block", &out);
		if (chosen(&planning, yaml)) {
			struct clock clock = choice_time(&planning.plan);
			double       least = least_time(yaml, &planning.job);

			made++;
			zigzags += planning.plan.layout.pattern == PATTERN_ZIGZAG;
			back_above += planning.plan.layout.pattern == PATTERN_ONE_WAY &&
			              planning.job.cut.milling == MILLING_EITHER;
			holds(seed, planning.plan.job == &planning.job);
			holds(seed, clock_total_s(&clock) <= least + 1e-9);
			holds(seed, plan_least_s(&planning.plan) > 0);
			holds(seed, plan_least_s(&planning.plan) <= plan_cutting_s(&planning.plan) * (1 + 1e-12));
			holds(seed, plan_cutting_s(&planning.plan) < clock.feed_s);
		}
		planning_close(&planning);
	}
	assert_true(made > 250 && zigzags > 10 && back_above > 10);
}

/* Never slower than the other, and a refusal never wins. */
static void
the_choice_is_no_slower_for_random_jobs(void **state)
{
	uint64_t random = 271828182845, made = 0, free = 0;

	(void)state;
	for (int i = 0; i < 200; i++) {
		uint64_t        seed = random;
		char            yaml[4096];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		double          x, y;

		random_job(&random, "a block", &out);
		x = time_along(yaml, ALONG_X);
		y = time_along(yaml, ALONG_Y);
		if (chosen(&planning, yaml)) {
			struct clock clock   = choice_time(&planning.plan);
			double       seconds = clock_total_s(&clock);

			made++;
			holds(seed, planning.diag.errors == 0);
			if (planning.job.cut.along == ALONG_AUTO) {
				free++;
				holds(seed, x < 0 || seconds <= x);
				holds(seed, y < 0 || seconds <= y);
			} else {
				holds(seed, planning.plan.layout.along == planning.job.cut.along);
			}
		} else {
			holds(seed, planning.diag.errors > 0);
			holds(seed, planning.job.cut.along == ALONG_Y || x < 0);
			holds(seed, planning.job.cut.along == ALONG_X || y < 0);
		}
		planning_close(&planning);
	}
	assert_true(made > 100 && free > 30);
}

/*
 * One zigzag cut at one feed. Along x two passes of 100 + 2 x 20.1 and a link of 19.56, 299.96 in all; along y three passes
 * of 37.12 + 2 x 20.1 and two links of 34, 299.96 too.
 */
static void
a_tie_goes_to_the_longer_side(void **state)
{
	static const struct {
		const char *stock;
		enum along  along;
	} cases[] = {
		{ "stock: {length: 100, width: 37.12, height: 20}\n", ALONG_X },
		{ "stock: {length: 37.12, width: 100, height: 20}\n", ALONG_Y },
		{ "stock: {length: 100, width: 100, height: 20}\n", ALONG_X },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		char            yaml[1024];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		double          apart;

		text_format(&out,
		            "units: mm\n" MATERIAL CUTTER "%sfinished_height: 19.8\n"
		            "cut: {pattern: zigzag, stepover: 90 %%, clearance: 0.1}\n",
		            cases[i].stock);
		text_end(&out);
		apart = time_along(yaml, ALONG_X) - time_along(yaml, ALONG_Y);
		assert_true(apart < 1e-9 && apart > -1e-9);
		assert_true(chosen(&planning, yaml));
		assert_int_equal(planning.plan.layout.along, cases[i].along);
		planning_close(&planning);
	}
}

static void
a_refused_direction_falls_back_to_the_other(void **state)
{
	static const char yaml[] = "units: mm\n" MATERIAL CUTTER "stock: {length: 100, width: 30, height: 20}\n"
				   "finished_height: 18\n"
				   "machine: {kind: cnc, travel: {x: 120}}\n";
	struct planning                                   planning;

	(void)state;
	assert_true(time_along(yaml, ALONG_X) < 0);
	assert_true(chosen(&planning, yaml));
	assert_int_equal(planning.plan.layout.along, ALONG_Y);
	assert_int_equal(planning.diag.errors, 0);
	assert_int_equal(messages_of(&planning.diag, SEVERITY_REFUSED), 0);
	planning_close(&planning);
}

static void
a_direction_asked_for_is_not_exchanged(void **state)
{
	static const char yaml[] = "units: mm\n" MATERIAL CUTTER "stock: {length: 100, width: 30, height: 20}\n"
				   "finished_height: 18\ncut: {along: x}\n"
				   "machine: {kind: cnc, travel: {x: 120}}\n";
	struct planning                                   planning;

	(void)state;
	assert_false(chosen(&planning, yaml));
	assert_int_equal(messages_of(&planning.diag, SEVERITY_REFUSED), 1);
	planning_close(&planning);
}

/* Along x, the longer side, is tried first: 100 + 40 + 2 x 2.5 of travel. */
static void
when_both_are_refused_the_first_says_why(void **state)
{
	static const char yaml[] = "units: mm\n" MATERIAL CUTTER "stock: {length: 100, width: 30, height: 20}\n"
				   "finished_height: 18\n"
				   "machine: {kind: cnc, travel: {x: 60, y: 60}}\n";
	struct planning                                   planning;

	(void)state;
	assert_false(chosen(&planning, yaml));
	assert_int_equal(messages_of(&planning.diag, SEVERITY_REFUSED), 1);
	assert_int_equal(planning.diag.errors, 1);
	assert_non_null(message_with(&planning.diag, SEVERITY_REFUSED, "145 mm of travel in x"));
	planning_close(&planning);
}

static void
no_message_is_said_twice(void **state)
{
	static const char yaml[] = "units: mm\n" MATERIAL CUTTER "stock: {length: 100, width: 60, height: 20}\n"
				   "finished_height: 18.0004\nzero: {z: bottom}\ncut: {rough: 1.0005, measure: []}\n";
	struct planning                                   planning;
	size_t                                            count = 0;

	(void)state;
	assert_true(chosen(&planning, yaml));
	for (const struct message *a = planning.diag.first; a; a = a->next, count++)
		for (const struct message *b = a->next; b; b = b->next)
			assert_string_not_equal(a->text, b->text);
	assert_true(count >= 5);
	planning_close(&planning);
}

static void
what_was_said_before_the_choice_stays(void **state)
{
	static const char yaml[] = "units: mm\n" MATERIAL CUTTER "stock: {length: 100, width: 60, height: 20}\n"
				   "finished_height: 18\n";
	struct planning                                   planning;

	(void)state;
	assert_true(planning_open(&planning, yaml));
	diag_add(&planning.diag, SEVERITY_WARNING, (struct place){ 0 }, "said before");
	assert_true(choice_make(&planning.job, usual_grid(UNITS_MM), &planning.arena, &planning.plan, &planning.diag));
	assert_string_equal(planning.diag.first->text, "said before");
	assert_non_null(message_with(&planning.diag, SEVERITY_NOTE, "no machine"));
	planning_close(&planning);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_direction_of_less_time_wins),
		cmocka_unit_test(nothing_that_the_job_allows_is_quicker),
		cmocka_unit_test(the_choice_is_no_slower_for_random_jobs),
		cmocka_unit_test(a_tie_goes_to_the_longer_side),
		cmocka_unit_test(a_refused_direction_falls_back_to_the_other),
		cmocka_unit_test(a_direction_asked_for_is_not_exchanged),
		cmocka_unit_test(when_both_are_refused_the_first_says_why),
		cmocka_unit_test(no_message_is_said_twice),
		cmocka_unit_test(what_was_said_before_the_choice_stays),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
