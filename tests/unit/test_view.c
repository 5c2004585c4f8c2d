#include "drawing.h"

#include "skimcut/view.h"

static const uint64_t SEED = 0x5eed0f71e3a10011;

enum { RANDOM_JOBS = 300 };

static const Length MM = LENGTH_MM;

static void
open_plan(struct planning *planning, const char *hold)
{
	char yaml[JOB_ROOM];

	snprintf(yaml, sizeof yaml,
	         "units: mm\nmaterial: low-carbon steel\nstock: {length: 100, width: 60, height: 20}\n"
	         "finished_height: 19\ncutter: {kind: end mill, teeth: 4, edge: carbide, diameter: 10}\n"
	         "cut: {pattern: one-way}\n%s",
	         hold);
	if (!planning_open(planning, yaml) || !planning_plan(planning, ALONG_X))
		fail_msg("no plan for %s", yaml);
}

static bool
is_in(const struct view *view, Length x, Length y)
{
	return x > view->left && x < view->right && y > view->front && y < view->back;
}

static void
all_that_moves_is_in_the_view(const struct plan *plan, uint64_t seed)
{
	const struct stock *stock  = &plan->job->stock;
	struct view         view   = view_above(plan);
	Length              radius = plan->cutter->diameter / 2;
	struct point        first  = layout_pass(&plan->layout, 0).from;

	holds(seed, is_in(&view, 0, 0) && is_in(&view, stock->length, stock->width));
	holds(seed,
	      is_in(&view, first.x - radius, first.y - radius) && is_in(&view, first.x + radius, first.y + radius));
	for (int64_t i = 0; i < plan->layout.passes; i++) {
		struct pass pass = layout_pass(&plan->layout, i);

		holds(seed, is_in(&view, pass.from.x, pass.from.y) && is_in(&view, pass.to.x, pass.to.y));
	}
	view = view_side(plan, stock->width / 2);
	holds(seed, view.front <= 0 && view.front <= stock->width / 2 - plan->reach);
	holds(seed, view.back >= stock->width && view.back >= stock->width / 2 + plan->reach);
}

static void
the_work_and_all_passes_are_seen(void **state)
{
	(void)state;
	each_held(SEED, RANDOM_JOBS, all_that_moves_is_in_the_view);
}

/* Of jaws without an end a little is seen; the view does not grow with them. */
static void
jaws_are_seen_as_far_as_the_view_goes(void **state)
{
	struct planning planning;
	struct view     view, seen;

	(void)state;
	open_plan(&planning, "vise: {front_jaw: 30, rear_jaw: 30, jaw_width: 80}\nparallels: [20]\n");
	view = view_above(&planning.plan);
	assert_true(view_sees(&view, &planning.plan.hold.obstacles[0], &seen));
	assert_true(seen.left == 10 * MM && seen.right == 90 * MM && seen.back == 0 && seen.front == view.front);
	assert_true(view.front < -5 * MM && view.front > -60 * MM);
	assert_true(view_sees(&view, &planning.plan.hold.obstacles[1], &seen));
	assert_true(seen.front == 60 * MM && seen.back == view.back && view.back > 65 * MM && view.back < 120 * MM);
	planning_close(&planning);
}

/* The first is near, the second long, the third far away. */
static void
of_clamps_what_is_near_is_seen(void **state)
{
	struct planning        planning;
	struct view            view, side, seen;
	const struct obstacle *clamps;

	(void)state;
	open_plan(&planning, "hold: {clamps: [{x: 30, y: -30, length: 20, width: 20, height: 10}, "
	                     "{x: 50, y: 75, length: 20, width: 900, height: 10}, "
	                     "{x: 30, y: 700, length: 20, width: 20, height: 10}]}\n");
	clamps = planning.plan.hold.obstacles;
	view   = view_above(&planning.plan);
	side   = view_side(&planning.plan, 30 * MM);
	assert_true(view_sees(&view, &clamps[0], &seen));
	assert_true(seen.left == clamps[0].left && seen.right == clamps[0].right);
	assert_true(seen.front == clamps[0].front && seen.back == clamps[0].back);
	assert_true(view_sees(&view, &clamps[1], &seen) && seen.back == view.back && view.back < clamps[1].back);
	assert_true(view.back < 300 * MM && !view_sees(&view, &clamps[2], &seen));
	assert_true(view_sees(&side, &clamps[0], &seen) && seen.back == clamps[0].back);
	assert_true(!view_sees(&side, &clamps[2], &seen) && side.back < 300 * MM);
	planning_close(&planning);
}

static void
what_only_touches_the_view_is_not_seen(void **state)
{
	static const struct view VIEW = { 0, 100, 0, 50 };
	static const struct {
		struct obstacle obstacle;
		bool            is_seen;
	} ROWS[] = {
		{ { .left = -10, .right = 0, .front = 0, .back = 50 }, false },
		{ { .left = -10, .right = 1, .front = 0, .back = 50 }, true },
		{ { .left = 100, .right = 110, .front = 0, .back = 50 }, false },
		{ { .left = 99, .right = 110, .front = 0, .back = 50 }, true },
		{ { .left = 10, .right = 20, .front = 50, .back = 60 }, false },
		{ { .left = 10, .right = 20, .front = -9, .back = 0 }, false },
		{ { .left = -LENGTH_MAX, .right = LENGTH_MAX, .front = -LENGTH_MAX, .back = 1 }, true },
	};

	(void)state;
	for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
		struct view seen;

		assert_int_equal(view_sees(&VIEW, &ROWS[i].obstacle, &seen), ROWS[i].is_seen);
		if (ROWS[i].is_seen)
			assert_true(seen.left >= 0 && seen.right <= 100 && seen.front >= 0 && seen.back <= 50);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_work_and_all_passes_are_seen),
		cmocka_unit_test(jaws_are_seen_as_far_as_the_view_goes),
		cmocka_unit_test(of_clamps_what_is_near_is_seen),
		cmocka_unit_test(what_only_touches_the_view_is_not_seen),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
