#include "planning.h"

#include <math.h>
#include <stdio.h>

#include "skimcut/grip.h"
#include "skimcut/hold.h"
#include "skimcut/quantity.h"

#define STOCK                                                                                                          \
	"units: mm\nmaterial: brass\nstock: {length: 100, width: 40, height: 30}\nfinished_height: 28\n"               \
	"cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide}\n"

/* Does not move once it is opened. */
static struct grip
gripped_open(struct planning *planning, const char *yaml)
{
	struct hold hold;

	if (!planning_open(planning, yaml))
		fail_msg("not a job: %s\n%s", planning->diag.first ? planning->diag.first->text : "", yaml);
	assert_true(hold_find(&planning->job, planning->job.finished_height, &planning->arena, &hold, &planning->diag));
	return grip_find(&planning->job, &hold, planning->job.finished_height);
}

static bool
near(double a, double b)
{
	return fabs(a - b) <= 1e-12 * fmax(fabs(a), fabs(b));
}

/* By hand, in mm and N. */
static void
the_lower_jaw_less_the_parallels_is_the_grip(void **state)
{
	static const struct {
		const char *rest;
		double      jaw, depth, before, after;
	} cases[] = {
		{ "vise: {front_jaw: 20, rear_jaw: 20, jaw_width: 120}\n", 20, 20, 10, 8 },
		{ "vise: {front_jaw: 20, rear_jaw: 18.5, jaw_width: 120}\n", 18.5, 18.5, 11.5, 9.5 },
		{ "vise: {front_jaw: 18.5, rear_jaw: 20, jaw_width: 120}\n", 18.5, 18.5, 11.5, 9.5 },
		{ "vise: {front_jaw: 40, rear_jaw: 41, jaw_width: 120}\nparallels: [20, 30]\n", 20, 20, 10, 8 },
		/* The finished face is level with the jaws, then below them, then the stock's top is too. */
		{ "vise: {front_jaw: 28, rear_jaw: 28, jaw_width: 120}\n", 28, 28, 2, 0 },
		{ "vise: {front_jaw: 29, rear_jaw: 29, jaw_width: 120}\n", 29, 28, 1, 0 },
		{ "vise: {front_jaw: 35, rear_jaw: 35, jaw_width: 120}\n", 35, 28, 0, 0 },
		/* On parallels over the jaws nothing is held. */
		{ "vise: {front_jaw: 40, rear_jaw: 40, jaw_width: 120}\nparallels: [40]\n", 0, 0, 30, 28 },
		{ "vise: {front_jaw: 40, rear_jaw: 40, jaw_width: 120}\nparallels: [45]\n", -5, 0, 35, 33 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		char            yaml[512];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		struct grip     grip;

		text_format(&out, "%s%s", STOCK, cases[i].rest);
		grip = gripped_open(&planning, text_end(&out));
		assert_true(grip.by_vise && !grip.by_clamps && !grip.force_known);
		assert_int_equal(grip.jaw, (Length)(cases[i].jaw * LENGTH_MM));
		assert_int_equal(grip.depth, (Length)(cases[i].depth * LENGTH_MM));
		assert_int_equal(grip.out_before, (Length)(cases[i].before * LENGTH_MM));
		assert_int_equal(grip.out_after, (Length)(cases[i].after * LENGTH_MM));
		planning_close(&planning);
	}
}

static void
a_part_off_the_screw_has_less_jaw_and_less_force(void **state)
{
	static const struct {
		const char *vise;
		double      contact, lost, force_n;
	} cases[] = {
		{ "jaw_width: 120", 100, 0, 10000 },
		{ "jaw_width: 60", 60, 0, 10000 },
		{ "jaw_width: 120, offset: 10", 100, 1. / 6, 10000 - 10000. / 6 },
		{ "jaw_width: 120, offset: -10", 100, 1. / 6, 10000 - 10000. / 6 },
		{ "jaw_width: 120, offset: 30", 80, 0.5, 5000 },
		{ "jaw_width: 120, offset: -30", 80, 0.5, 5000 },
		{ "jaw_width: 60, offset: 20", 60, 2. / 3, 10000 - 20000. / 3 },
		{ "jaw_width: 60, offset: -29", 51, 29. / 30, 10000 - 290000. / 30 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		char            yaml[512];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		struct grip     grip;

		text_format(&out, "%svise: {front_jaw: 20, rear_jaw: 20, clamping_force: 10 kN, %s}\n", STOCK,
		            cases[i].vise);
		grip = gripped_open(&planning, text_end(&out));
		assert_true(grip.force_known);
		assert_int_equal(grip.contact, (Length)(cases[i].contact * LENGTH_MM));
		assert_true(near(grip.lost_share, cases[i].lost));
		assert_true(near(grip.force_n, cases[i].force_n));
		planning_close(&planning);
	}
}

/* Half a nanometre of contact is not counted; and what is beside the jaws touches nothing. */
static void
contact_is_never_overstated(void **state)
{
	static const struct {
		Length length, jaw, offset, contact;
	} cases[] = {
		{ 7, 11, 0, 7 }, { 11, 7, 0, 7 },  { 7, 11, 2, 7 },  { 7, 11, -2, 7 }, { 7, 11, 3, 6 }, { 7, 10, 3, 5 },
		{ 7, 10, 8, 0 }, { 7, 10, -8, 0 }, { 7, 10, 50, 0 }, { 7, 11, 9, 0 },  { 7, 11, 8, 1 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct job job = {
			.stock = { .length = cases[i].length, .width = 10, .height = 10 },
			.vise  = { .bound             = { .node = (const void *)&cases },
			           .front_jaw         = 5,
			           .rear_jaw          = 5,
			           .jaw_width         = cases[i].jaw,
			           .offset            = cases[i].offset,
			           .clamping_force_mn = 1000 },
		};
		struct grip grip = grip_find(&job, &(struct hold){ 0 }, 9);

		if (grip.contact != cases[i].contact)
			fail_msg("case %zu: %lld", i, (long long)grip.contact);
		assert_true(grip.lost_share >= 0 && grip.lost_share <= 1);
		assert_true(grip.force_n >= 0 && (cases[i].contact > 0 || grip.force_n == 0));
	}
}

/*
 * By hand. 10 kN, mu 0.15, grip 20 deep and 100 long, 40 wide; F 1 kN at 30:
 *     slip 2 * 0.15 * 10 / 1 = 3; over the jaw (10 + 0.15 * 40) * 10 / (1 * 10) = 16; over the end 0.15 * 10 * 100 / (1 * 30) = 5.
 */
static void
margins_are_those_reckoned_by_hand(void **state)
{
	static const struct {
		const char *rest;
		double      force_n, height_mm, slip, tip;
	} cases[] = {
		{ "vise: {front_jaw: 20, rear_jaw: 20, jaw_width: 120, clamping_force: 10 kN}\n", 1000, 30, 3, 5 },
		/* The jaw's other edge is no better; the lower one counts for both. */
		{ "vise: {front_jaw: 20, rear_jaw: 25, jaw_width: 120, clamping_force: 10 kN}\n", 1000, 30, 3, 5 },
		/* Held 4 deep: 26 above, so (2 + 6) * 10 / 26. */
		{ "vise: {front_jaw: 4, rear_jaw: 4, jaw_width: 120, clamping_force: 10 kN}\n", 1000, 30, 3, 80. / 26 },
		/* Friction 30 % in narrow jaws, 10 on the end: 0.3 * 10 * 10 / 30. */
		{ "vise: {front_jaw: 20, rear_jaw: 20, jaw_width: 10, clamping_force: 10 kN, friction: 30 %}\n", 2000,
		  30, 3, 0.5 },
		/* A cut level with the jaws, or below them, tips nothing over them: 0.15 * 10 * 100 / 20, / 15. */
		{ "vise: {front_jaw: 20, rear_jaw: 20, jaw_width: 120, clamping_force: 10 kN}\n", 1000, 20, 3, 7.5 },
		{ "vise: {front_jaw: 20, rear_jaw: 20, jaw_width: 120, clamping_force: 10 kN}\n", 1000, 15, 3, 10 },
		/* Half of the force is lost, and 20 of the contact: 0.15 * 5 * 80 / 30. */
		{ "vise: {front_jaw: 20, rear_jaw: 20, jaw_width: 120, clamping_force: 10 kN, offset: 30}\n", 1000, 30,
		  1.5, 2 },
		/* Nothing between the jaws is pressed by nothing. */
		{ "vise: {front_jaw: 20, rear_jaw: 20, jaw_width: 120, clamping_force: 10 kN}\nparallels: [25]\n", 1000,
		  30, 0, 0 },
		/* Clamps, 8 kN in all: 2 * 0.15 * 8; 8 * 20 / 30. */
		{ "hold: {clamps: [{x: -40, y: 0, length: 30, width: 20, height: 20, force: 5 kN}, "
		  "{x: 110, y: 0, length: 30, width: 20, height: 20, force: 3000 N}]}\n",
		  1000, 30, 2.4, 160. / 30 },
		{ "hold: {friction: 20 %, clamps: [{x: -40, y: 0, length: 30, width: 20, height: 20, force: 8 kN}]}\n",
		  500, 25, 6.4, 12.8 },
		/* Clamps beside a vise help against slipping, each with its own friction: 3 + 2 * 0.2 * 5; not against tipping. */
		{ "vise: {front_jaw: 20, rear_jaw: 20, jaw_width: 120, clamping_force: 10 kN}\n"
		  "hold: {friction: 20 %, clamps: [{x: -40, y: 0, length: 30, width: 20, height: 20, force: 5 kN}]}\n",
		  1000, 30, 5, 5 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		char            yaml[1024];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		struct grip     grip;
		struct margins  margins;

		text_format(&out, "%s%s", STOCK, cases[i].rest);
		grip    = gripped_open(&planning, text_end(&out));
		margins = grip_margins(&planning.job, &grip, cases[i].force_n,
		                       (Length)(cases[i].height_mm * LENGTH_MM));
		assert_true(grip.force_known);
		if (!near(margins.slip, cases[i].slip) || !near(margins.tip, cases[i].tip))
			fail_msg("%sslip %.17g, tip %.17g", cases[i].rest, margins.slip, margins.tip);
		planning_close(&planning);
	}
}

/* 2 mm of jaw on a part that ends up 1 mm high, cut at 30: 28 above the jaw, not 29; (0.5 + 0.1 * 5) * 10 / 28. */
static void
the_lever_is_counted_from_the_jaw_though_the_part_ends_below_it(void **state)
{
	struct job job = {
		.stock = { .length = 400 * LENGTH_MM, .width = 5 * LENGTH_MM, .height = 30 * LENGTH_MM },
		.vise  = { .bound             = { .node = (const void *)&job },
		           .front_jaw         = 2 * LENGTH_MM,
		           .rear_jaw          = 2 * LENGTH_MM,
		           .jaw_width         = 400 * LENGTH_MM,
		           .friction_ratio    = RATIO_ONE / 10,
		           .clamping_force_mn = 10000000 },
	};
	struct grip    grip    = grip_find(&job, &(struct hold){ 0 }, LENGTH_MM);
	struct margins margins = grip_margins(&job, &grip, 1000, 30 * LENGTH_MM);

	(void)state;
	assert_int_equal(grip.depth, LENGTH_MM);
	assert_true(near(margins.tip, 10. / 28));
}

static void
forces_that_nobody_told_are_not_known(void **state)
{
	static const char vise[]  = "vise: {front_jaw: 20, rear_jaw: 20, jaw_width: 120",
			  told[]  = ", clamping_force: 10 kN",
			  clamp[] = "{x: -40, y: 0, length: 30, width: 20, height: 20", pressed[] = ", force: 5 kN";
	static const struct {
		const char *vise, *vise_force, *first, *first_force, *second, *second_force;
		bool        known;
		double      force_n, clamps_n;
	} cases[] = {
		{ NULL, "", NULL, "", NULL, "", false, 0, 0 },
		{ vise, "", NULL, "", NULL, "", false, 0, 0 },
		{ vise, told, NULL, "", NULL, "", true, 10000, 0 },
		{ NULL, "", clamp, "", NULL, "", false, 0, 0 },
		{ NULL, "", clamp, pressed, NULL, "", true, 5000, 0 },
		{ NULL, "", clamp, pressed, clamp, pressed, true, 10000, 0 },
		{ NULL, "", clamp, pressed, clamp, "", false, 5000, 0 },
		{ NULL, "", clamp, "", clamp, pressed, false, 5000, 0 },
		{ vise, "", clamp, pressed, NULL, "", false, 0, 5000 },
		{ vise, told, clamp, "", NULL, "", true, 10000, 0 },
		{ vise, told, clamp, pressed, clamp, "", true, 10000, 5000 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		char            yaml[1024];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		struct grip     grip;

		text_string(&out, STOCK);
		if (cases[i].vise)
			text_format(&out, "%s%s}\n", cases[i].vise, cases[i].vise_force);
		if (cases[i].first)
			text_format(&out, "hold: {clamps: [%s%s}", cases[i].first, cases[i].first_force);
		if (cases[i].second)
			text_format(&out, ", %s%s}", cases[i].second, cases[i].second_force);
		if (cases[i].first)
			text_string(&out, "]}\n");
		grip = gripped_open(&planning, text_end(&out));
		assert_int_equal(grip.by_vise, cases[i].vise != NULL);
		assert_int_equal(grip.by_clamps, cases[i].first != NULL);
		assert_int_equal(grip.force_known, cases[i].known);
		assert_true(near(grip.force_n, cases[i].force_n) && near(grip.clamps_n, cases[i].clamps_n));
		planning_close(&planning);
	}
}

static void
no_force_moves_nothing(void **state)
{
	struct planning planning;
	struct grip     grip = gripped_open(&planning, STOCK "vise: {front_jaw: 20, rear_jaw: 20, jaw_width: 120}\n");
	struct margins  margins = grip_margins(&planning.job, &grip, 0, 30 * LENGTH_MM);

	(void)state;
	assert_true(isinf(margins.slip) && margins.slip > 0 && isinf(margins.tip) && margins.tip > 0);
	planning_close(&planning);
}

/* A part in jaws or under clamps, as it is bound; small enough for everything to be doubled. */
struct case_of {
	struct job   job;
	struct clamp clamps[2];
	struct hold  hold;
	Length       final, height;
	double       plane_n;
};

static void
random_case(uint64_t *random, struct case_of *given)
{
	static const int something = 0;
	int64_t          how       = random_between(random, 0, 2); /* vise, clamps, both */
	Length           final     = 2 * random_between(random, LENGTH_MM, 50 * LENGTH_MM);
	Length           removal   = random_between(random, 1, 10 * LENGTH_MM);
	Length           jaw       = random_between(random, LENGTH_MM, 80 * LENGTH_MM);

	*given           = (struct case_of){ .final = final, .height = final + removal };
	given->job.stock = (struct stock){ .length = 2 * random_between(random, 5 * LENGTH_MM, 200 * LENGTH_MM),
		                           .width  = 2 * random_between(random, 5 * LENGTH_MM, 100 * LENGTH_MM),
		                           .height = final + removal };
	given->plane_n   = (double)random_between(random, 1, 20000);
	given->job.hold.friction_ratio = random_between(random, RATIO_ONE / 50, RATIO_ONE / 2);
	if (how != 1) {
		Length jaw_width = 2 * random_between(random, 10 * LENGTH_MM, 100 * LENGTH_MM);

		given->job.vise = (struct vise){
			.bound     = { .node = (const void *)&something },
			.front_jaw = jaw,
			.rear_jaw  = jaw + random_between(random, -LENGTH_MM / 2, LENGTH_MM),
			.jaw_width = jaw_width,
			.offset = random_chance(random, 2) ? 0 : random_between(random, -jaw_width / 3, jaw_width / 3),
			.clamping_force_mn = random_between(random, 1, 50000000),
			.friction_ratio    = random_between(random, RATIO_ONE / 50, RATIO_ONE),
		};
		given->hold.parallel = random_between(random, 0, jaw * 3 / 4);
	}
	if (how != 0) {
		given->clamps[0].force_mn    = random_between(random, 1, 20000000);
		given->clamps[1].force_mn    = random_between(random, 1, 20000000);
		given->job.hold.clamps.count = 2;
	}
}

static struct margins
margins_of(struct case_of *given)
{
	struct grip grip;

	given->job.hold.clamps.items = given->clamps;
	grip                         = grip_find(&given->job, &given->hold, given->final);
	assert_true(grip.force_known);
	return grip_margins(&given->job, &grip, given->plane_n, given->height);
}

static bool
alike(struct margins a, struct margins b, double factor)
{
	return fabs(a.slip * factor - b.slip) <= 1e-9 * b.slip && fabs(a.tip * factor - b.tip) <= 1e-9 * b.tip;
}

static bool
no_less(struct margins a, struct margins b)
{
	return a.slip >= b.slip * (1 - 1e-12) && a.tip >= b.tip * (1 - 1e-12);
}

static void
margins_fall_with_force_and_height(void **state)
{
	uint64_t random = 6674303;

	(void)state;
	for (int i = 0; i < 2000; i++) {
		uint64_t       seed = random;
		struct case_of given, other;
		struct margins before, after;

		random_case(&random, &given);
		before = margins_of(&given);
		holds(seed, isfinite(before.slip) && isfinite(before.tip) && before.slip > 0 && before.tip > 0);

		other = given;
		other.plane_n *= 1 + (double)random_between(&random, 1, 1000) / 100;
		after = margins_of(&other);
		holds(seed, after.slip < before.slip && after.tip < before.tip);

		other = given;
		other.height += random_between(&random, LENGTH_MM / 100, 50 * LENGTH_MM);
		after = margins_of(&other);
		holds(seed, after.slip == before.slip && after.tip < before.tip);
	}
}

static void
margins_rise_with_grip_force_and_friction(void **state)
{
	uint64_t random = 8314462;
	int      deeper = 0;

	(void)state;
	for (int i = 0; i < 2000; i++) {
		uint64_t       seed = random;
		struct case_of given, other;
		struct margins before, after;

		random_case(&random, &given);
		before = margins_of(&given);

		other = given;
		other.job.vise.clamping_force_mn *= 2;
		other.clamps[0].force_mn *= 2;
		other.clamps[1].force_mn *= 2;
		holds(seed, alike(before, margins_of(&other), 2));

		other = given;
		other.job.vise.friction_ratio += random_between(&random, 1, RATIO_ONE / 4);
		other.job.hold.friction_ratio += random_between(&random, 1, RATIO_ONE / 4);
		after = margins_of(&other);
		holds(seed, after.slip > before.slip && after.tip >= before.tip);

		other = given;
		other.hold.parallel /= 2;
		after = margins_of(&other);
		holds(seed, no_less(after, before));
		deeper += after.tip > before.tip;
	}
	if (deeper < 100)
		fail_msg("only %d were held the better for being held deeper", deeper);
}

/* Twice the force pressed and cut: nothing changes. Twice as large, with the same forces: nothing changes either. */
static void
margins_are_numbers_without_a_unit(void **state)
{
	uint64_t random = 1380649;

	(void)state;
	for (int i = 0; i < 2000; i++) {
		uint64_t       seed = random;
		struct case_of given, other;
		struct margins before;

		random_case(&random, &given);
		before = margins_of(&given);

		other = given;
		other.plane_n /= 8;
		holds(seed, margins_of(&other).slip == before.slip * 8 && margins_of(&other).tip == before.tip * 8);

		other = given;
		other.job.stock.length *= 2;
		other.job.stock.width *= 2;
		other.job.stock.height *= 2;
		other.job.vise.front_jaw *= 2;
		other.job.vise.rear_jaw *= 2;
		other.job.vise.jaw_width *= 2;
		other.job.vise.offset *= 2;
		other.hold.parallel *= 2;
		other.final *= 2;
		other.height *= 2;
		holds(seed, alike(before, margins_of(&other), 1));
	}
}

/* To the left or to the right of the screw is the same. */
static void
left_and_right_are_alike(void **state)
{
	uint64_t random = 1602176;

	(void)state;
	for (int i = 0; i < 500; i++) {
		uint64_t       seed = random;
		struct case_of given, other;

		random_case(&random, &given);
		other                 = given;
		other.job.vise.offset = -other.job.vise.offset;
		holds(seed, alike(margins_of(&given), margins_of(&other), 1));
	}
}

/* The table knows no X and Y. */
static void
a_part_under_clamps_may_lie_either_way(void **state)
{
	uint64_t random = 1054571;

	(void)state;
	for (int i = 0; i < 500; i++) {
		uint64_t       seed = random;
		struct case_of given, other;

		random_case(&random, &given);
		if (given.job.vise.bound.node)
			continue;
		other                  = given;
		other.job.stock.length = given.job.stock.width;
		other.job.stock.width  = given.job.stock.length;
		holds(seed, alike(margins_of(&given), margins_of(&other), 1));
	}
}

static void
an_inch_job_and_the_same_in_mm_hold_alike(void **state)
{
	static const char *const pairs[][2] = {
		{ "units: inch\nstock: {length: 5, width: 2, height: 1.25}\nfinished_height: 1.1\n"
		  "cutter: {kind: face mill, diameter: 3, teeth: 5, edge: carbide}\nmaterial: brass\n"
		  "vise: {front_jaw: 1.75, rear_jaw: 1.81, jaw_width: 4, offset: 0.3, clamping_force: 3000 lbf}\n"
		  "parallels: [0.5, 1]\n",
		  "units: mm\nstock: {length: 127, width: 50.8, height: 31.75}\nfinished_height: 27.94\n"
		  "cutter: {kind: face mill, diameter: 76.2, teeth: 5, edge: carbide}\nmaterial: brass\n"
		  "cut: {clearance: 2.54}\n"
		  "vise: {front_jaw: 44.45, rear_jaw: 45.974, jaw_width: 101.6, offset: 7.62, clamping_force: "
		  "13344.665 N}\n"
		  "parallels: [12.7, 25.4]\n" },
		{ "units: inch\nstock: {length: 5, width: 2, height: 1.25}\nfinished_height: 1.1\n"
		  "cutter: {kind: face mill, diameter: 3, teeth: 5, edge: carbide}\nmaterial: brass\n"
		  "hold: {friction: 12 %, clamps: [{x: -2, y: 0, length: 1.5, width: 1, height: 0.8, force: 2000 "
		  "lbf}]}\n",
		  "units: mm\nstock: {length: 127, width: 50.8, height: 31.75}\nfinished_height: 27.94\n"
		  "cutter: {kind: face mill, diameter: 76.2, teeth: 5, edge: carbide}\nmaterial: brass\n"
		  "hold: {friction: 12 %, clamps: [{x: -50.8, y: 0, length: 38.1, width: 25.4, height: 20.32, "
		  "force: 8896.443 N}]}\n" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
		struct planning inch, metric;
		struct grip     a = gripped_open(&inch, pairs[i][0]), b = gripped_open(&metric, pairs[i][1]);
		struct margins  in = grip_margins(&inch.job, &a, 1234.5, inch.job.stock.height);
		struct margins  mm = grip_margins(&metric.job, &b, 1234.5, metric.job.stock.height);

		assert_int_equal(a.depth, b.depth);
		assert_int_equal(a.contact, b.contact);
		assert_true(in.slip > 0 && in.tip > 0 && a.force_known && b.force_known);
		assert_true(alike(in, mm, 1));
		planning_close(&inch);
		planning_close(&metric);
	}
}

/*
 * What docs/method.md says that the margins leave out, by another way: of all motions, the one that the least force starts. In the jaws'
 * plane the part slides by u while it turns by 1 about its end on the seat; what drags is summed over the jaws, point by point.
 */
static double
force_that_moves(double drag_n, double contact, double depth, double height)
{
	double weakest = INFINITY;

	for (double u = 0; u < 64 * height; u += height / 16 + u / 16) {
		double sum = 0;

		for (int i = 0; i < 64; i++)
			for (int j = 0; j < 16; j++)
				sum += hypot(u + depth * (j + 0.5) / 16, contact * (i + 0.5) / 64);
		weakest = fmin(weakest, drag_n * sum / (64 * 16) / (u + height));
	}
	return weakest;
}

static void
slipping_and_tipping_at_once_takes_no_more_than_is_said(void **state)
{
	uint64_t random = 9109383;
	double   worst  = 1;

	(void)state;
	for (int i = 0; i < 400; i++) {
		uint64_t       seed = random;
		struct case_of given;
		struct margins margins;
		struct grip    grip;
		double         least, mu, along, across, lever;

		random_case(&random, &given);
		if (!given.job.vise.bound.node)
			continue;
		given.job.hold.clamps.count = 0;
		margins                     = margins_of(&given);
		grip                        = grip_find(&given.job, &given.hold, given.final);
		least                       = fmin(margins.slip, margins.tip);
		mu                          = (double)given.job.vise.friction_ratio / RATIO_ONE;

		along = force_that_moves(2 * mu * grip.force_n, (double)grip.contact, (double)grip.depth,
		                         (double)given.height) /
		        given.plane_n;
		holds(seed, along * sqrt(2) >= least * (1 - 1e-9));
		if (along < worst * least)
			worst = along / least;

		/* The jaw that presses with what the cut has left of its force: m F e = (Q - m F) lever. */
		lever  = (double)grip.depth / 2 + mu * (double)given.job.stock.width;
		across = grip.force_n * lever / (given.plane_n * (lever + fmax((double)(given.height - grip.jaw), 0)));
		holds(seed, across * (1 + 2 * mu) >= least * (1 - 1e-9));
	}
	if (worst > 0.8)
		fail_msg("nothing came near the bound: %f", worst);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_lower_jaw_less_the_parallels_is_the_grip),
		cmocka_unit_test(a_part_off_the_screw_has_less_jaw_and_less_force),
		cmocka_unit_test(contact_is_never_overstated),
		cmocka_unit_test(margins_are_those_reckoned_by_hand),
		cmocka_unit_test(the_lever_is_counted_from_the_jaw_though_the_part_ends_below_it),
		cmocka_unit_test(forces_that_nobody_told_are_not_known),
		cmocka_unit_test(no_force_moves_nothing),
		cmocka_unit_test(margins_fall_with_force_and_height),
		cmocka_unit_test(margins_rise_with_grip_force_and_friction),
		cmocka_unit_test(margins_are_numbers_without_a_unit),
		cmocka_unit_test(left_and_right_are_alike),
		cmocka_unit_test(a_part_under_clamps_may_lie_either_way),
		cmocka_unit_test(an_inch_job_and_the_same_in_mm_hold_alike),
		cmocka_unit_test(slipping_and_tipping_at_once_takes_no_more_than_is_said),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
