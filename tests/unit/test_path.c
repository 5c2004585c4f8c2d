#include "planning.h"

#include "skimcut/path.h"

enum { JOBS = 400 };

/* The machine as the steps leave it. */
struct machine_state {
	unsigned       known;
	struct point   at;
	bool           turning, wet, ended, stopped;
	int64_t        rpm;
	enum step_kind before;
	int64_t        motions, tools, stops, notes;
	/* What was cut so far. */
	size_t  cut;
	int64_t passes; /* of this cut */
};

static bool
is_clear(const struct plan *plan, struct point centre)
{
	const struct stock *stock = &plan->job->stock;
	Length              x     = centre.x < 0 ? -centre.x : centre.x > stock->length ? centre.x - stock->length : 0;
	Length              y     = centre.y < 0 ? -centre.y : centre.y > stock->width ? centre.y - stock->width : 0;

	return 4 * (x * x + y * y) >= plan->cutter->diameter * plan->cutter->diameter;
}

static bool
on_grid(const struct plan *plan, const struct step *step)
{
	Length grid = plan->grid.length;

	return (!(step->axes & AXIS_X) || (step->to.x - plan->zero.x) % grid == 0) &&
	       (!(step->axes & AXIS_Y) || (step->to.y - plan->zero.y) % grid == 0) &&
	       (!(step->axes & AXIS_Z) || (step->to.z - plan->zero.z) % grid == 0);
}

static void
move(struct machine_state *machine, const struct step *step)
{
	if (step->axes & AXIS_X)
		machine->at.x = step->to.x;
	if (step->axes & AXIS_Y)
		machine->at.y = step->to.y;
	if (step->axes & AXIS_Z)
		machine->at.z = step->to.z;
	machine->known |= step->axes;
}

static void
check_rapid(uint64_t seed, const struct plan *plan, const struct machine_state *machine, const struct step *step)
{
	if (machine->motions == 0)
		holds(seed, step->axes == AXIS_Z && step->to.z == plan->retract);
	if (step->axes & (AXIS_X | AXIS_Y)) {
		holds(seed, !(step->axes & AXIS_Z));
		holds(seed, machine->known & AXIS_Z && machine->at.z >= plan->safe);
	} else if (machine->motions > 0) {
		/* Up or down, it stays outside of the block; down, the last of the way is at feed. */
		holds(seed, is_clear(plan, machine->at));
		holds(seed, step->to.z > plan->schedule.cuts[machine->cut].floor);
		holds(seed, step->to.z >= machine->at.z ||
		                step->to.z >= plan->schedule.cuts[machine->cut].floor + plan->job->cut.clearance);
	}
}

static void
check_feed(uint64_t seed, const struct plan *plan, struct machine_state *machine, const struct step *step)
{
	Length floor = plan->schedule.cuts[machine->cut].floor;

	holds(seed, machine->known == (AXIS_X | AXIS_Y | AXIS_Z));
	holds(seed, machine->turning && machine->rpm == plan_rates(plan, machine->cut)->rpm);
	holds(seed, machine->wet == (plan->coolant != COOLANT_NONE));
	holds(seed, step->feed > 0 && step->feed % plan->grid.feed == 0);
	holds(seed, step->feed == plan_rates(plan, machine->cut)->vf);
	if (step->axes == AXIS_Z) {
		holds(seed, is_clear(plan, machine->at));
		holds(seed, step->to.z == floor);
		return;
	}
	holds(seed, step->axes == (AXIS_X | AXIS_Y));
	holds(seed, machine->at.z == floor);
	holds(seed, is_clear(plan, machine->at) && is_clear(plan, step->to));
	/* A pass along the layout's axis, or a link across it in the air. */
	if (plan->layout.along == ALONG_X ? machine->at.y == step->to.y : machine->at.x == step->to.x) {
		struct pass pass = layout_pass(&plan->layout, machine->passes);

		holds(seed, machine->at.x == pass.from.x && machine->at.y == pass.from.y);
		holds(seed, step->to.x == pass.to.x && step->to.y == pass.to.y);
		machine->passes++;
	} else {
		holds(seed, plan->layout.along == ALONG_X ? machine->at.x == step->to.x : machine->at.y == step->to.y);
	}
	holds(seed, machine->passes <= plan->layout.passes);
}

/* A cut is done when it has all its passes and something else begins: the cutter goes up to `safe` or higher. */
static void
count_cut(uint64_t seed, const struct plan *plan, struct machine_state *machine, const struct step *step)
{
	if (step->kind != STEP_RAPID || step->axes != AXIS_Z || machine->passes < plan->layout.passes)
		return;
	holds(seed, step->to.z >= plan->safe);
	machine->passes = 0;
	machine->cut++;
}

static void
check_step(uint64_t seed, const struct plan *plan, struct machine_state *machine, const struct step *step)
{
	holds(seed, !machine->ended);
	switch (step->kind) {
	case STEP_TOOL:
		holds(seed, machine->motions == 0 && !machine->turning);
		holds(seed, step->tool == plan->cutter->number);
		machine->tools++;
		break;
	case STEP_SPINDLE:
		holds(seed, step->rotation != ROTATION_COUNTERCLOCKWISE);
		holds(seed, (step->rotation == ROTATION_OFF) == (step->rpm == 0));
		machine->turning = step->rotation != ROTATION_OFF;
		machine->rpm     = step->rpm;
		break;
	case STEP_COOLANT:
		holds(seed, step->coolant == COOLANT_NONE || step->coolant == plan->coolant);
		machine->wet = step->coolant != COOLANT_NONE;
		break;
	case STEP_RAPID:
	case STEP_FEED:
		holds(seed, machine->tools == 1 && on_grid(plan, step));
		if (step->kind == STEP_RAPID) {
			size_t done = machine->cut;

			count_cut(seed, plan, machine, step);
			if (machine->cut == done)
				check_rapid(seed, plan, machine, step);
			else
				holds(seed, is_clear(plan, machine->at));
		} else {
			holds(seed, machine->cut < plan->schedule.count);
			check_feed(seed, plan, machine, step);
		}
		move(machine, step);
		machine->motions++;
		break;
	case STEP_STOP:
		holds(seed, !machine->turning && !machine->wet && machine->at.z == plan->retract);
		holds(seed, machine->cut > 0 && plan_stops_after(plan, machine->cut - 1));
		holds(seed, step->text && step->text[0]);
		machine->stops++;
		break;
	case STEP_NOTE:
		holds(seed, step->text && step->text[0]);
		machine->notes++;
		break;
	case STEP_END:
		holds(seed, !machine->turning && !machine->wet && machine->at.z == plan->retract);
		machine->ended = true;
		break;
	default: holds(seed, step->kind == STEP_TOOL);
	}
}

static void
walk(uint64_t seed, const struct plan *plan)
{
	struct machine_state machine = { 0 };
	int64_t              stops   = 0;
	struct path          path;
	struct step          step;

	path_start(&path, plan);
	while (path_next(&path, &step))
		check_step(seed, plan, &machine, &step);
	holds(seed, machine.ended && machine.tools == 1);
	holds(seed, machine.cut == plan->schedule.count);
	for (size_t i = 0; i < plan->schedule.count; i++)
		stops += plan_stops_after(plan, i);
	holds(seed, machine.stops == stops);
	holds(seed, machine.notes == (int64_t)plan->schedule.count);
	holds(seed, !path_next(&path, &step));
}

static void
every_path_over_random_jobs_is_safe(void **state)
{
	uint64_t random = 31415926535, wet = 0, zigzag = 0, one_way = 0, stopping = 0;
	int      planned = 0;

	(void)state;
	for (int i = 0; i < JOBS; i++) {
		uint64_t        seed = random;
		enum along      along;
		char            yaml[4096];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		random_job(&random, "a block", &out);
		holds(seed, !out.failed);
		holds(seed, planning_open(&planning, yaml));
		along = random_chance(&random, 2) ? ALONG_X : ALONG_Y;
		if (planning_plan(&planning, along)) {
			const struct plan *plan = &planning.plan;

			walk(seed, plan);
			planned++;
			wet += plan->coolant != COOLANT_NONE;
			zigzag += plan->layout.pattern == PATTERN_ZIGZAG && plan->layout.passes > 1;
			one_way += plan->layout.pattern == PATTERN_ONE_WAY && plan->layout.passes > 1;
			stopping += plan->schedule.count > 1 && plan_stops_after(plan, plan->schedule.count - 2);
		}
		planning_close(&planning);
	}
	/* The cases are worth something only if all of these came up. */
	assert_true(planned > JOBS / 2 && wet > 50 && zigzag > 20 && one_way > 50 && stopping > 50);
}

static const char SMALL[] = "units: mm\n"
			    "material: {group: N, cutting_speed: 100 m/min, feed_per_tooth: 0.1, coolant: mist}\n"
			    "stock: {length: 100, width: 40, height: 20}\n"
			    "finished_height: 19\n"
			    "cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide, number: 7}\n";

/*
 * W 40, D 63: 23 hang over, 5.75 at the front and 17.25 at the back. 505 rpm, 252 mm/min and 126 for the skim. Test cut 0.75
 * and skim 0.25.
 */
static void
a_small_path_is_as_by_hand(void **state)
{
	enum { X_Y = AXIS_X | AXIS_Y };

	static const struct step steps[] = {
		{ .kind = STEP_TOOL, .tool = 7 },
		{ .kind = STEP_NOTE, .text = "cut 1 of 2, test cut: 0.750 deep, leaves 19.250" },
		{ .kind = STEP_RAPID, .axes = AXIS_Z, .to = { 0, 0, 45000000 } },
		{ .kind = STEP_SPINDLE, .rotation = ROTATION_CLOCKWISE, .rpm = 505 },
		{ .kind = STEP_RAPID, .axes = X_Y, .to = { 134000000, 25750000, 0 } },
		{ .kind = STEP_COOLANT, .coolant = COOLANT_MIST },
		{ .kind = STEP_RAPID, .axes = AXIS_Z, .to = { 0, 0, 21750000 } },
		{ .kind = STEP_FEED, .axes = AXIS_Z, .to = { 0, 0, 19250000 }, .feed = 252000000 },
		{ .kind = STEP_FEED, .axes = X_Y, .to = { -34000000, 25750000, 0 }, .feed = 252000000 },
		{ .kind = STEP_RAPID, .axes = AXIS_Z, .to = { 0, 0, 45000000 } },
		{ .kind = STEP_COOLANT, .coolant = COOLANT_NONE },
		{ .kind = STEP_SPINDLE },
		{ .kind = STEP_STOP, .text = "19.250 mm, 0.250 to go" },
		{ .kind = STEP_NOTE, .text = "cut 2 of 2, skim: 0.250 deep, leaves 19.000" },
		{ .kind = STEP_RAPID, .axes = AXIS_Z, .to = { 0, 0, 45000000 } },
		{ .kind = STEP_SPINDLE, .rotation = ROTATION_CLOCKWISE, .rpm = 505 },
		{ .kind = STEP_RAPID, .axes = X_Y, .to = { 134000000, 25750000, 0 } },
		{ .kind = STEP_COOLANT, .coolant = COOLANT_MIST },
		{ .kind = STEP_RAPID, .axes = AXIS_Z, .to = { 0, 0, 21500000 } },
		{ .kind = STEP_FEED, .axes = AXIS_Z, .to = { 0, 0, 19000000 }, .feed = 126000000 },
		{ .kind = STEP_FEED, .axes = X_Y, .to = { -34000000, 25750000, 0 }, .feed = 126000000 },
		{ .kind = STEP_RAPID, .axes = AXIS_Z, .to = { 0, 0, 45000000 } },
		{ .kind = STEP_COOLANT, .coolant = COOLANT_NONE },
		{ .kind = STEP_SPINDLE },
		{ .kind = STEP_END },
	};
	struct planning planning;
	struct path     path;
	struct step     step;
	size_t          count = 0;

	(void)state;
	assert_true(planning_open(&planning, SMALL));
	assert_true(planning_plan(&planning, ALONG_X));
	path_start(&path, &planning.plan);
	for (; path_next(&path, &step); count++) {
		const struct step *wanted = &steps[count];

		assert_true(count < sizeof steps / sizeof steps[0]);
		assert_int_equal(step.kind, wanted->kind);
		assert_int_equal(step.axes, wanted->axes);
		assert_int_equal(step.tool, wanted->tool);
		assert_int_equal(step.rotation, wanted->rotation);
		assert_int_equal(step.rpm, wanted->rpm);
		assert_int_equal(step.coolant, wanted->coolant);
		if (step.axes & AXIS_X)
			assert_int_equal(step.to.x, wanted->to.x);
		if (step.axes & AXIS_Y)
			assert_int_equal(step.to.y, wanted->to.y);
		if (step.axes & AXIS_Z)
			assert_int_equal(step.to.z, wanted->to.z);
		if (step.kind == STEP_FEED)
			assert_int_equal(step.feed, wanted->feed);
		if (wanted->text)
			assert_non_null(strstr(step.text, wanted->text));
	}
	assert_int_equal(count, sizeof steps / sizeof steps[0]);
	planning_close(&planning);
}

/* 90 + 3.15 in steps of 44.1 mm: three one-way passes, over a clamp that stands 30 mm above the stock and out of their way. */
static void
a_path_goes_back_above_the_tallest_clamp(void **state)
{
	static const char clamped[] = "units: mm\n"
				      "material: plastic\n"
				      "stock: {length: 100, width: 90, height: 20}\n"
				      "finished_height: 19\n"
				      "cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide}\n"
				      "cut: {clearance: 2.5, retract: 25}\n"
				      "hold: {clamps: [{x: -110, y: 20, length: 40, width: 40, height: 50}]}\n";
	struct planning   planning;
	struct path       path;
	struct step       step;
	Length            z       = 0;
	int               returns = 0;

	(void)state;
	assert_true(planning_open(&planning, clamped));
	assert_true(planning_plan(&planning, ALONG_X));
	path_start(&path, &planning.plan);
	while (path_next(&path, &step)) {
		if (step.kind == STEP_RAPID && step.axes == (AXIS_X | AXIS_Y)) {
			assert_true(z >= 52500000);
			returns++;
		}
		if ((step.kind == STEP_RAPID || step.kind == STEP_FEED) && step.axes & AXIS_Z)
			z = step.to.z;
	}
	assert_int_equal(returns, 3 * 2);
	assert_int_equal(z, 52500000);
	planning_close(&planning);
}

/* 1000 cuts of 2001 passes, five steps a pass. */
static void
ten_million_steps_take_no_more_memory_than_one(void **state)
{
	static const char big[] = "units: mm\n"
				  "material: plastic\n"
				  "stock: {length: 20, width: 1000, height: 100}\n"
				  "finished_height: 50\n"
				  "cutter: {kind: end mill, diameter: 10, teeth: 2, edge: hss, nose_radius: 0}\n"
				  "cut: {pattern: one-way, stepover: 5 %, rough: 0.05, skim: 0.05, test_cut: 0}\n";
	struct planning   planning;
	struct arena      before;
	struct path       path;
	struct step       step;
	int64_t           steps = 0, passes = 0;

	(void)state;
	_Static_assert(sizeof(struct path) <= 2048, "a path is small");
	assert_true(planning_open(&planning, big));
	assert_true(planning_plan(&planning, ALONG_X));
	before = planning.arena;
	path_start(&path, &planning.plan);
	while (path_next(&path, &step)) {
		steps++;
		passes += step.kind == STEP_FEED && step.axes & AXIS_X;
	}
	assert_int_equal(passes, 1000 * 2001);
	assert_true(steps > 10000000);
	assert_memory_equal(&before, &planning.arena, sizeof before);
	planning_close(&planning);
}

static void
a_path_walked_twice_is_the_same(void **state)
{
	struct planning planning;
	struct path     first, second;
	struct step     a, b;

	(void)state;
	assert_true(planning_open(&planning, SMALL));
	assert_true(planning_plan(&planning, ALONG_Y));
	path_start(&first, &planning.plan);
	path_start(&second, &planning.plan);
	while (path_next(&first, &a)) {
		assert_true(path_next(&second, &b));
		assert_int_equal(a.kind, b.kind);
		assert_int_equal(a.axes, b.axes);
		assert_true(a.to.x == b.to.x && a.to.y == b.to.y && a.to.z == b.to.z && a.feed == b.feed);
		if (a.text)
			assert_string_equal(a.text, b.text);
	}
	assert_false(path_next(&second, &b));
	planning_close(&planning);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_path_over_random_jobs_is_safe),
		cmocka_unit_test(a_small_path_is_as_by_hand),
		cmocka_unit_test(a_path_goes_back_above_the_tallest_clamp),
		cmocka_unit_test(ten_million_steps_take_no_more_memory_than_one),
		cmocka_unit_test(a_path_walked_twice_is_the_same),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
