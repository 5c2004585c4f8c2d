#include "planning.h"

#include "skimcut/schedule.h"

enum { CASES = 5000 };

struct sample {
	Length        top, final, grid;
	struct depths depths;
};

static Length
depth_of(const struct cut *cut)
{
	return cut->top - cut->floor;
}

static struct schedule
made(const struct sample *sample, struct arena *arena)
{
	struct schedule schedule;

	assert_true(schedule_make(sample->top, sample->final, sample->grid, &sample->depths, arena, &schedule));
	return schedule;
}

static struct sample
random_sample(uint64_t *state)
{
	static const Length GRIDS[] = { 1, 254, 1000, 2540, 10000, 100000, LENGTH_MM };

	struct sample sample = { .grid = GRIDS[random_between(state, 0, 6)] };
	Length        finest = sample.grid > 10000 ? sample.grid : 10000;

	sample.final        = random_between(state, -LENGTH_MM, 80 * LENGTH_MM);
	sample.depths.rough = random_between(state, finest, 4 * LENGTH_MM);
	sample.depths.skim  = random_between(state, finest, random_chance(state, 5) ? 4 * LENGTH_MM : 2 * finest);
	sample.depths.test  = random_chance(state, 3) ? 0 : random_between(state, finest, 2 * LENGTH_MM);
	sample.top          = sample.final +
	             random_between(state, 1, random_chance(state, 4) ? 2 * sample.depths.skim : 30 * LENGTH_MM);
	return sample;
}

/* Depths as they count: from the top rounded up, so that the first cut is a whole number of units too. */
static void
check(uint64_t seed, const struct sample *sample, const struct schedule *schedule)
{
	const Length limits[] = {
		[CUT_TEST] = sample->depths.test, [CUT_ROUGH] = sample->depths.rough, [CUT_SKIM] = sample->depths.skim
	};
	Length grid = sample->grid, at = sample->top, roughed = 0, deepest = 0, shallowest = LENGTH_MAX,
	       before = LENGTH_MAX;
	Length skim = sample->depths.skim / grid * grid, test = sample->depths.test / grid * grid;
	size_t roughs = 0, last = schedule->count - 1;

	for (size_t i = 0; i < schedule->count; i++) {
		const struct cut *cut   = &schedule->cuts[i];
		Length            whole = depth_of(cut);

		holds(seed, cut->top == at);
		holds(seed, depth_of(cut) > 0);
		holds(seed, depth_of(cut) <= limits[cut->kind]);
		holds(seed, (cut->floor - sample->final) % grid == 0);
		holds(seed, (cut->kind == CUT_SKIM) == (i == last));
		holds(seed, cut->kind != CUT_TEST || i == 0);
		at = cut->floor;
		if (whole % grid != 0) {
			holds(seed, i == 0);
			whole += grid - whole % grid;
		}
		holds(seed, whole <= limits[cut->kind]);
		if (cut->kind != CUT_ROUGH)
			continue;
		holds(seed, whole <= before);
		before     = whole;
		deepest    = depth_of(cut) > deepest ? depth_of(cut) : deepest;
		shallowest = smaller(depth_of(cut), shallowest);
		roughed += whole;
		roughs++;
	}
	holds(seed, at == sample->final);
	holds(seed, roughs == 0 || deepest - shallowest <= grid);
	/* One cut less would be too deep. */
	holds(seed, roughs == 0 || roughed > (Length)(roughs - 1) * (sample->depths.rough / grid * grid));
	/* Nothing is kept back from the skim, nor from the test cut by anything but the skim. */
	if (schedule->count == 1)
		holds(seed, sample->top - sample->final <= skim);
	else
		holds(seed, depth_of(&schedule->cuts[last]) == skim);
	if (schedule->count > 1 && test > 0)
		holds(seed, schedule->cuts[0].kind == CUT_TEST);
	if (roughs > 0 && test > 0) {
		Length first = depth_of(&schedule->cuts[0]), second = depth_of(&schedule->cuts[1]);

		/* Or it shares with one roughing cut that would have been a sliver. */
		holds(seed, test - first < grid || (roughs == 1 && first - second < 2 * grid && second - first < grid));
	}
}

static void
every_promise_holds_for_random_heights_and_limits(void **state)
{
	uint64_t random = 20240611, counts[4] = { 0 };

	(void)state;
	for (int i = 0; i < CASES; i++) {
		uint64_t        seed   = random;
		struct sample   sample = random_sample(&random);
		struct arena    arena  = { 0 };
		size_t          count  = schedule_count(sample.top, sample.final, sample.grid, &sample.depths);
		struct schedule schedule;

		holds(seed, count > 0);
		schedule = made(&sample, &arena);
		holds(seed, schedule.count == count);
		check(seed, &sample, &schedule);
		counts[count < 3 ? count : 3]++;
		arena_release(&arena);
	}
	/* The cases are worth something only if all of these came up. */
	assert_true(counts[1] > 100 && counts[2] > 100 && counts[3] > 1000);
}

/* Heights in thousandths of a millimetre, or in ten-thousandths of an inch. */
static void
worked_examples_come_out_as_by_hand(void **state)
{
	const struct {
		const char *name;
		Length      unit, top, final, test, rough, skim; /* in units */
		size_t      count;
		Length      depths[6]; /* in units */
	} cases[] = {
		{ "an inch block, 0.100 off", 2540, 11000, 10000, 300, 500, 100, 4, { 300, 300, 300, 100 } },
		{ "roughing divides evenly", 1000, 12000, 10000, 750, 300, 250, 6, { 750, 250, 250, 250, 250, 250 } },
		{ "a unit is left over", 1000, 12001, 10000, 750, 300, 250, 6, { 750, 251, 250, 250, 250, 250 } },
		{ "two are left over", 1000, 11002, 10000, 0, 300, 250, 4, { 251, 251, 250, 250 } },
		{ "just at the limit", 1000, 11150, 10000, 0, 300, 250, 4, { 300, 300, 300, 250 } },
		{ "one over the limit", 1000, 11151, 10000, 0, 300, 250, 5, { 226, 225, 225, 225, 250 } },
		{ "all of it is skim", 1000, 10250, 10000, 750, 1250, 250, 1, { 250 } },
		{ "less than a skim", 1000, 10100, 10000, 750, 1250, 250, 1, { 100 } },
		{ "a thin test cut", 1000, 10251, 10000, 750, 1250, 250, 2, { 1, 250 } },
		{ "no roughing left", 1000, 11000, 10000, 750, 1250, 250, 2, { 750, 250 } },
		{ "no test cut", 1000, 10500, 10000, 0, 1250, 250, 2, { 250, 250 } },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		Length          unit     = cases[i].unit;
		struct sample   sample   = { cases[i].top * unit,
			                     cases[i].final * unit,
			                     unit,
			                     { cases[i].test * unit, cases[i].rough * unit, cases[i].skim * unit } };
		struct arena    arena    = { 0 };
		struct schedule schedule = made(&sample, &arena);

		if (schedule.count != cases[i].count)
			fail_msg("%s: %zu cuts", cases[i].name, schedule.count);
		for (size_t k = 0; k < schedule.count; k++)
			if (depth_of(&schedule.cuts[k]) != cases[i].depths[k] * unit)
				fail_msg("%s: cut %zu takes %lld nm", cases[i].name, k + 1,
				         (long long)depth_of(&schedule.cuts[k]));
		arena_release(&arena);
	}
}

/* 10.0004 mm to 9 mm in hundredths: the test cut of 0.3 mm ends on a hundredth, and takes the rest with it. */
static void
what_is_finer_than_a_unit_comes_off_first(void **state)
{
	struct sample   sample   = { 10000400, 9 * LENGTH_MM, 10000, { 305000, 500000, 200000 } };
	struct arena    arena    = { 0 };
	struct schedule schedule = made(&sample, &arena);

	(void)state;
	assert_int_equal(schedule.count, 3 + 1);
	assert_int_equal(depth_of(&schedule.cuts[0]), 290400);
	assert_int_equal(depth_of(&schedule.cuts[1]), 260000);
	assert_int_equal(depth_of(&schedule.cuts[2]), 250000);
	assert_int_equal(depth_of(&schedule.cuts[3]), 200000);
	arena_release(&arena);
}

static void
there_are_never_more_cuts_than_the_bound(void **state)
{
	struct sample   sample = { CUTS_MAX * 1000, 0, 1000, { 0, 1000, 1000 } };
	struct arena    arena  = { 0 };
	struct schedule schedule;

	(void)state;
	assert_int_equal(schedule_count(sample.top, 0, 1000, &sample.depths), CUTS_MAX);
	schedule = made(&sample, &arena);
	assert_int_equal(schedule.count, CUTS_MAX);
	check(0, &sample, &schedule);
	assert_int_equal(schedule_count(sample.top + 1, 0, 1000, &sample.depths), 0);
	sample.depths.test = 1000;
	assert_int_equal(schedule_count(sample.top, 0, 1000, &sample.depths), CUTS_MAX);
	assert_int_equal(schedule_count(sample.top + 1, 0, 1000, &sample.depths), 0);
	assert_int_equal(schedule_count(LENGTH_MAX, 0, 1, &(struct depths){ 0, 1, 1 }), 0);
	arena_release(&arena);
}

/* 3 mm: a test cut of 0.4, three of roughing of 0.8, 0.8 and 0.7, a skim of 0.3. Hand-worked. */
static void
the_deepest_cut_is_found_among_its_kinds(void **state)
{
	static const struct {
		unsigned kinds;
		Length   deepest;
	} KINDS[] = {
		{ 1u << CUT_SKIM, 300000 },
		{ 1u << CUT_ROUGH, 800000 },
		{ 1u << CUT_TEST, 400000 },
		{ 1u << CUT_TEST | 1u << CUT_SKIM, 400000 },
		{ ~0u, 800000 },
		{ 0, 0 },
	};
	struct sample   sample   = { 12 * LENGTH_MM, 9 * LENGTH_MM, 100000, { 400000, 800000, 300000 } };
	struct arena    arena    = { 0 };
	struct schedule schedule = made(&sample, &arena);

	(void)state;
	assert_int_equal(schedule.count, 5);
	for (size_t i = 0; i < sizeof KINDS / sizeof KINDS[0]; i++)
		assert_int_equal(schedule_deepest(&schedule, KINDS[i].kinds), KINDS[i].deepest);
	/* Of a kind that is not there: none. */
	sample.top = 9300000;
	schedule   = made(&sample, &arena);
	assert_int_equal(schedule_deepest(&schedule, 1u << CUT_ROUGH | 1u << CUT_TEST), 0);
	assert_int_equal(schedule_deepest(&schedule, ~0u), 300000);
	arena_release(&arena);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_promise_holds_for_random_heights_and_limits),
		cmocka_unit_test(worked_examples_come_out_as_by_hand),
		cmocka_unit_test(what_is_finer_than_a_unit_comes_off_first),
		cmocka_unit_test(the_deepest_cut_is_found_among_its_kinds),
		cmocka_unit_test(there_are_never_more_cuts_than_the_bound),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
