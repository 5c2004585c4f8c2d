#include "planning.h"

#include "skimcut/choice.h"
#include "skimcut/cutter.h"
#include "skimcut/ranking.h"

#define HEAD  "units: mm\nmaterial: low-carbon steel\n"
#define STOCK "stock: {length: 120, width: 60, height: 20}\nfinished_height: 17\n"
#define ALONG "cut: {along: x}\n"

#define MILL(NAME, DIAMETER, TEETH)                                                                                    \
	"  " NAME ": {kind: face mill, diameter: " DIAMETER ", teeth: " TEETH ", edge: carbide, nose_radius: 0.8}\n"

static void
ranked(struct planning *planning, const char *yaml, struct ranking *ranking)
{
	if (!planning_open(planning, yaml))
		fail_msg("not a job: %s\n%s", planning->diag.first->text, yaml);
	assert_true(ranking_make(&planning->job, usual_grid(planning->job.units), &planning->arena, ranking));
}

static double
seconds_of(const struct rank *rank)
{
	return clock_total_s(&rank->clock);
}

/* One letter a rank: the cutter's name. */
static void
expect_order(const struct ranking *ranking, const char *names)
{
	assert_int_equal(ranking->count, strlen(names));
	for (size_t i = 0; i < ranking->count; i++)
		if (ranking->ranks[i].cutter->bound.name[0] != names[i])
			fail_msg("rank %zu of %s is %s", i, names, ranking->ranks[i].cutter->bound.name);
}

/*
 * Over 60 mm: a 50 needs two passes, a 66 just covers (a twentieth stands out on each side, 66.67 would be the least), an 80 covers, 85.4
 * is an inch larger, 90 is half as large again, and more than that is oversize.
 */
static void
the_smallest_that_covers_is_first_and_oversize_ones_follow(void **state)
{
	static const struct {
		const char  *name;
		enum fitness fitness;
	} RANKS[] = {
		{ "c", FITNESS_COVERS },   { "f", FITNESS_COVERS },   { "e", FITNESS_COVERS },
		{ "b", FITNESS_OVERSIZE }, { "a", FITNESS_OVERSIZE },
	};
	struct planning planning;
	struct ranking  ranking;

	(void)state;
	ranked(&planning,
	       HEAD STOCK ALONG "cutters:\n" MILL("a", "160", "9") MILL("b", "91", "7") MILL("c", "67", "5")
	           MILL("d", "50", "4") MILL("e", "90", "6") MILL("f", "80", "6") MILL("g", "66", "5"),
	       &ranking);
	assert_int_equal(ranking.count, 7);
	for (size_t i = 0; i < sizeof RANKS / sizeof RANKS[0]; i++) {
		assert_string_equal(ranking.ranks[i].cutter->bound.name, RANKS[i].name);
		assert_int_equal(ranking.ranks[i].fitness, RANKS[i].fitness);
		assert_int_equal(ranking.ranks[i].plan.layout.passes, 1);
	}
	for (size_t i = 5; i < 7; i++) {
		assert_int_equal(ranking.ranks[i].fitness, FITNESS_PASSES);
		assert_int_equal(ranking.ranks[i].plan.layout.passes, 2);
	}
	assert_true(seconds_of(&ranking.ranks[5]) <= seconds_of(&ranking.ranks[6]));
	planning_close(&planning);
}

/* Teeth make the smaller one the quicker; without them the larger is. */
static void
of_those_that_need_passes_the_quickest_is_first(void **state)
{
	struct planning planning;
	struct ranking  ranking;

	(void)state;
	ranked(&planning,
	       HEAD STOCK ALONG "cutters:\n" MILL("a", "16", "2") MILL("b", "40", "2") MILL("c", "32", "8")
	           MILL("d", "50", "2") MILL("e", "20", "2"),
	       &ranking);
	assert_string_equal(ranking.ranks[0].cutter->bound.name, "c");
	for (size_t i = 0; i < ranking.count; i++) {
		assert_int_equal(ranking.ranks[i].fitness, FITNESS_PASSES);
		assert_true(i == 0 || seconds_of(&ranking.ranks[i - 1]) <= seconds_of(&ranking.ranks[i]));
	}
	planning_close(&planning);
}

/* Steel edges that hardened steel ruins, and one that would not turn slow enough. */
static void
refused_ones_are_last_in_the_shops_order_and_say_why(void **state)
{
	struct planning planning;
	struct ranking  ranking;

	(void)state;
	ranked(&planning,
	       "units: mm\nmaterial: hardened steel\n" STOCK ALONG
	       "machine: {kind: cnc, spindle: {min: 160, max: 4000}}\ncutters:\n"
	       "  z: {kind: end mill, diameter: 20, teeth: 4, edge: hss}\n" MILL("y", "200", "9") MILL(
		   "x", "40", "5") "  w: {kind: end mill, diameter: 12, teeth: 4, edge: hss}\n" MILL("v", "80", "6"),
	       &ranking);
	expect_order(&ranking, "vxzyw");
	assert_int_equal(ranking.ranks[0].fitness, FITNESS_COVERS);
	assert_int_equal(ranking.ranks[1].fitness, FITNESS_PASSES);
	for (size_t i = 0; i < ranking.count; i++) {
		assert_int_equal(ranking.ranks[i].fitness == FITNESS_REFUSED, i >= 2);
		assert_int_equal(messages_of(&ranking.ranks[i].diag, SEVERITY_REFUSED), i >= 2);
	}
	assert_non_null(message_with(&ranking.ranks[2].diag, SEVERITY_REFUSED, "high-speed steel"));
	assert_non_null(message_with(&ranking.ranks[3].diag, SEVERITY_REFUSED, "take a smaller cutter"));
	assert_non_null(message_with(&ranking.ranks[4].diag, SEVERITY_REFUSED, "high-speed steel"));
	planning_close(&planning);
}

/* What the motor cannot drive even lightly is refused with the rest. */
static void
a_cutter_that_stalls_the_motor_is_refused(void **state)
{
	struct planning planning;
	struct ranking  ranking;

	(void)state;
	ranked(&planning,
	       HEAD STOCK ALONG
	       "machine: {kind: cnc, spindle: {max: 8000, power: 60 W}}\ncutters:\n" MILL("a", "80", "12")
	           MILL("b", "10", "2"),
	       &ranking);
	expect_order(&ranking, "ba");
	assert_int_equal(ranking.ranks[1].fitness, FITNESS_REFUSED);
	assert_non_null(message_with(&ranking.ranks[1].diag, SEVERITY_REFUSED, "even a light cut takes"));
	assert_true(ranking.ranks[0].weights.share > 0 && ranking.ranks[0].weights.share <= 1);
	planning_close(&planning);
}

static void
ties_keep_the_shops_order(void **state)
{
	static const struct {
		const char *cutters, *order;
	} CASES[] = {
		{ MILL("q", "80", "6") MILL("a", "80", "6") MILL("m", "80", "3"), "qam" },
		{ MILL("m", "80", "3") MILL("q", "80", "6") MILL("a", "80", "6"), "mqa" },
		{ MILL("q", "160", "6") MILL("a", "160", "9") MILL("m", "80", "3"), "mqa" },
		{ MILL("q", "40", "4") MILL("a", "40", "4") MILL("m", "40", "4") MILL("c", "40", "4"), "qamc" },
		{ MILL("q", "40", "4") MILL("z", "80", "4") MILL("a", "40", "4") MILL("y", "80", "4"), "zyqa" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char            yaml[2048];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		struct ranking  ranking;

		text_format(&out, "%scutters:\n%s", HEAD STOCK ALONG, CASES[i].cutters);
		text_end(&out);
		ranked(&planning, yaml, &ranking);
		expect_order(&ranking, CASES[i].order);
		planning_close(&planning);
	}
}

static void
the_plan_is_that_of_the_first(void **state)
{
	struct planning planning;
	struct ranking  ranking;
	struct diag     diag = { 0 };
	struct plan     plan;
	size_t          said = 0;

	(void)state;
	ranked(&planning, HEAD STOCK "cutters:\n" MILL("a", "160", "9") MILL("b", "40", "8") MILL("c", "80", "5"),
	       &ranking);
	diag.arena = &planning.arena;
	assert_true(planning.job.choose_cutter);
	assert_true(ranking_plan(&planning.job, usual_grid(UNITS_MM), &planning.arena, &plan, &diag));
	assert_string_equal(plan.cutter->bound.name, "c");
	assert_ptr_equal(plan.job, &planning.job);
	assert_int_equal(plan.layout.along, ranking.ranks[0].plan.layout.along);
	assert_int_equal(plan.layout.first, ranking.ranks[0].plan.layout.first);
	assert_int_equal(plan.rough.vf, ranking.ranks[0].plan.rough.vf);
	assert_int_equal(diag.errors, 0);
	for (const struct message *one = diag.first, *other = ranking.ranks[0].diag.first; one && other;
	     one = one->next, other = other->next, said++)
		assert_string_equal(one->text, other->text);
	assert_true(said > 0);
	planning_close(&planning);
}

static void
with_nothing_but_refusals_the_first_of_the_shop_says_why(void **state)
{
	static const char YAML[] = "units: mm\nmaterial: hardened steel\n" STOCK "cutters:\n"
				   "  b: {kind: end mill, diameter: 20, teeth: 4, edge: hss}\n"
				   "  a: {kind: end mill, diameter: 80, teeth: 4, edge: hss}\n";
	struct planning   planning;
	struct diag       diag = { 0 };
	struct plan       plan;

	(void)state;
	assert_true(planning_open(&planning, YAML));
	diag.arena = &planning.arena;
	assert_false(ranking_plan(&planning.job, usual_grid(UNITS_MM), &planning.arena, &plan, &diag));
	assert_int_equal(diag.errors, 1);
	assert_non_null(message_with(&diag, SEVERITY_REFUSED, "high-speed steel"));
	planning_close(&planning);
}

/* Named in the shop, or the job's own: the ranking does not change what it is cut with. */
static void
a_cutter_that_is_named_is_kept(void **state)
{
	static const char *const CUTTERS[] = {
		"cutter: b\ncutters:\n" MILL("a", "80", "5") MILL("b", "40", "8"),
		"cutter: {kind: face mill, diameter: 40, teeth: 8, edge: carbide}\ncutters:\n" MILL("a", "80", "5"),
		"cutter: {kind: face mill, diameter: 40, teeth: 8, edge: carbide}\n",
	};

	(void)state;
	for (size_t i = 0; i < sizeof CUTTERS / sizeof CUTTERS[0]; i++) {
		char            yaml[2048];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		struct diag     diag = { 0 };
		struct plan     plan;

		text_format(&out, "%s%s", HEAD STOCK, CUTTERS[i]);
		text_end(&out);
		assert_true(planning_open(&planning, yaml));
		diag.arena = &planning.arena;
		assert_false(planning.job.choose_cutter);
		assert_true(ranking_plan(&planning.job, usual_grid(UNITS_MM), &planning.arena, &plan, &diag));
		assert_ptr_equal(plan.cutter, &planning.job.cutter);
		assert_int_equal(plan.cutter->diameter, 40 * LENGTH_MM);
		planning_close(&planning);
	}
}

static void
without_a_shop_the_jobs_own_cutter_is_ranked(void **state)
{
	static const char YAML[] = HEAD STOCK "cutter: {kind: face mill, diameter: 80, teeth: 5, edge: carbide}\n";
	struct planning                 planning;
	struct ranking                  ranking;
	struct clock                    clock;

	(void)state;
	ranked(&planning, YAML, &ranking);
	assert_int_equal(ranking.count, 1);
	assert_ptr_equal(ranking.ranks[0].cutter, &planning.job.cutter);
	assert_int_equal(ranking.ranks[0].fitness, FITNESS_COVERS);
	clock = choice_time(&ranking.ranks[0].plan);
	assert_true(clock_total_s(&clock) == seconds_of(&ranking.ranks[0]) && seconds_of(&ranking.ranks[0]) > 0);
	planning_close(&planning);
}

/* Each of the shop's is there once, in the order that the header tells, whatever the shop. */
static void
the_order_holds_for_random_shops(void **state)
{
	uint64_t random                  = 1729;
	size_t   of[FITNESS_REFUSED + 1] = { 0 };

	(void)state;
	for (int i = 0; i < 60; i++) {
		uint64_t        seed = random;
		char            yaml[4096];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		struct ranking  ranking;

		text_format(&out,
		            "%smachine: {kind: cnc, spindle: {min: 250, max: 3000, power: %d W}, travel: {x: 260}}\n"
		            "stock: {length: %d, width: %d, height: 20}\nfinished_height: 17\ncutters:\n",
		            HEAD, (int)random_between(&random, 300, 9000), (int)random_between(&random, 20, 140),
		            (int)random_between(&random, 20, 100));
		for (int cutter = 0; cutter < 8; cutter++)
			text_format(&out,
			            "  c%d: {kind: face mill, diameter: %d, teeth: %d, edge: %s, nose_radius: 0.8}\n",
			            cutter, (int)random_between(&random, 2, 18) * 10,
			            (int)random_between(&random, 1, 9), random_chance(&random, 4) ? "hss" : "carbide");
		text_end(&out);
		ranked(&planning, yaml, &ranking);
		holds(seed, ranking.count == 8);
		for (size_t k = 0; k < ranking.count; k++) {
			const struct rank  *rank = &ranking.ranks[k], *last = k > 0 ? &ranking.ranks[k - 1] : NULL;
			const struct stock *stock = &planning.job.stock;

			of[rank->fitness]++;
			for (size_t j = 0; j < k; j++)
				holds(seed, ranking.ranks[j].cutter != rank->cutter);
			holds(seed, (rank->fitness == FITNESS_REFUSED) == (rank->diag.errors > 0));
			if (rank->fitness != FITNESS_REFUSED) {
				Length width = rank->plan.layout.along == ALONG_X ? stock->width : stock->length;

				holds(seed, (rank->fitness == FITNESS_PASSES) == (rank->plan.layout.passes > 1));
				holds(seed,
				      rank->fitness == FITNESS_PASSES ||
				          (rank->fitness == FITNESS_OVERSIZE) == cutter_oversize(rank->cutter, width));
				holds(seed, rank->plan.cutter->diameter == rank->cutter->diameter);
				holds(seed, rank->weights.share <= 1 && seconds_of(rank) > 0);
			}
			if (!last)
				continue;
			holds(seed, last->fitness <= rank->fitness);
			if (last->fitness != rank->fitness)
				continue;
			if (rank->fitness == FITNESS_REFUSED)
				holds(seed, last->cutter < rank->cutter);
			else if (rank->fitness == FITNESS_PASSES)
				holds(seed, seconds_of(last) <= seconds_of(rank));
			else
				holds(seed, last->cutter->diameter < rank->cutter->diameter ||
				                (last->cutter->diameter == rank->cutter->diameter &&
				                 last->cutter < rank->cutter));
		}
		planning_close(&planning);
	}
	for (int fitness = 0; fitness <= FITNESS_REFUSED; fitness++)
		assert_true(of[fitness] > 10);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_smallest_that_covers_is_first_and_oversize_ones_follow),
		cmocka_unit_test(of_those_that_need_passes_the_quickest_is_first),
		cmocka_unit_test(refused_ones_are_last_in_the_shops_order_and_say_why),
		cmocka_unit_test(a_cutter_that_stalls_the_motor_is_refused),
		cmocka_unit_test(ties_keep_the_shops_order),
		cmocka_unit_test(the_plan_is_that_of_the_first),
		cmocka_unit_test(with_nothing_but_refusals_the_first_of_the_shop_says_why),
		cmocka_unit_test(a_cutter_that_is_named_is_kept),
		cmocka_unit_test(without_a_shop_the_jobs_own_cutter_is_ranked),
		cmocka_unit_test(the_order_holds_for_random_shops),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
