#include "planning.h"

#include <math.h>

#include "skimcut/engagement.h"

static const uint64_t SEED = 0x7c3a5d1e9b2f4680;

static void
expect_mm(double is, double should_be)
{
	if (fabs(is - should_be) > 1e-9)
		fail_msg("%.12f, not %.12f", is, should_be);
}

static void
the_approach_of_plain_cases_is_as_by_hand(void **state)
{
	const Length mm = LENGTH_MM;

	(void)state;
	expect_mm(engagement_approach_mm(100 * mm, -50 * mm, 50 * mm), 50);  /* a slot */
	expect_mm(engagement_approach_mm(100 * mm, -80 * mm, 80 * mm), 50);  /* wider than the cutter */
	expect_mm(engagement_approach_mm(100 * mm, -30 * mm, 30 * mm), 10);  /* 30, 40, 50 */
	expect_mm(engagement_approach_mm(100 * mm, 30 * mm, 50 * mm), 40);   /* one edge, the centre outside */
	expect_mm(engagement_approach_mm(100 * mm, -50 * mm, -30 * mm), 40); /* the other edge */
	expect_mm(engagement_approach_mm(100 * mm, 30 * mm, 40 * mm), 10);   /* both edges inside, the centre not */
	expect_mm(engagement_approach_mm(100 * mm, 0, 50 * mm), 50);
	expect_mm(engagement_approach_mm(100 * mm, 50 * mm, 60 * mm), 0);
	expect_mm(engagement_approach_mm(100 * mm, -70 * mm, -60 * mm), 0);
}

/* By search: the foremost and the hindmost point of the front arc over the strip. */
static void
the_approach_holds_for_random_strips(void **state)
{
	uint64_t seed = SEED;

	(void)state;
	for (int i = 0; i < 300; i++) {
		const uint64_t before = seed;
		Length         d      = random_between(&seed, 10 * LENGTH_MM, 200 * LENGTH_MM);
		Length         from   = random_between(&seed, -d * 6 / 10, d * 4 / 10),
		       to             = from + random_between(&seed, 1000, d);
		double r = (double)d / 2, foremost = 0, hindmost = INFINITY;

		for (int k = 0; k <= 20000; k++) {
			double at = (double)from + (double)(to - from) * k / 20000;

			if (fabs(at) > r)
				continue;
			foremost = fmax(foremost, sqrt(r * r - at * at));
			hindmost = fmin(hindmost, sqrt(r * r - at * at));
		}
		if (hindmost > r)
			continue;
		/* Near the cutter's side the arc is steep: the search is coarse there, and only there. */
		holds(before, fabs(engagement_approach_mm(d, from, to) - (foremost - hindmost) / LENGTH_MM) <
		                  2e-2 * r / LENGTH_MM);
	}
}

static void
what_is_taken_off_is_depth_times_width_times_feed(void **state)
{
	(void)state;
	expect_mm(engagement_removal_mm3_min(3 * LENGTH_MM, 70 * LENGTH_MM, 687 * LENGTH_MM), 144270);
	expect_mm(engagement_removal_mm3_min(0, 70 * LENGTH_MM, 687 * LENGTH_MM), 0);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_approach_of_plain_cases_is_as_by_hand),
		cmocka_unit_test(the_approach_holds_for_random_strips),
		cmocka_unit_test(what_is_taken_off_is_depth_times_width_times_feed),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
