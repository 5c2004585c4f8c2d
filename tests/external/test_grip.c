/*
 * What others say on friction and clamping, against the margins of a grip. Every case says where it is from, and whether it was
 * read there or is from memory. No worked clamping example of a book could be read.
 */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "skimcut/arena.h"
#include "skimcut/diag.h"
#include "skimcut/grip.h"
#include "skimcut/intake.h"
#include "skimcut/job.h"
#include "skimcut/quantity.h"

/* A vise that presses so hard, with that friction. */
static double
slip_margin(double force_n, double friction, double cut_n)
{
	static const int something = 0;
	const struct job job       = {
		      .stock = { .length = 100 * LENGTH_MM, .width = 50 * LENGTH_MM, .height = 30 * LENGTH_MM },
		      .vise  = { .bound             = { .node = (const void *)&something },
		                 .front_jaw         = 20 * LENGTH_MM,
		                 .rear_jaw          = 20 * LENGTH_MM,
		                 .jaw_width         = 150 * LENGTH_MM,
		                 .clamping_force_mn = llround(1000 * force_n),
		                 .friction_ratio    = llround(friction * RATIO_ONE) },
	};
	struct grip grip = grip_find(&job, &(struct hold){ 0 }, 28 * LENGTH_MM);

	return grip_margins(&job, &grip, cut_n, 30 * LENGTH_MM).slip;
}

/*
 * A cut of 2000 N. Fixture practice, from memory: two faces share the friction, F = S F_cut / 2 mu; reckoned as if there were but one,
 * twice as much. The tolerance is half a unit of the last digit printed.
 */
static const struct pressed {
	double safety, friction, two_faces_kn, one_face_kn, rounding_kn;
} PRESSED[] = {
	{ 1.5, 0.20, 7.50, 15.0, 0.005 },
	{ 2.0, 0.15, 13.33, 26.67, 0.005 },
	{ 2.5, 0.15, 16.67, 33.33, 0.005 },
	{ 3.0, 0.10, 30.0, 60.0, 0.05 },
};

static void
the_force_that_fixture_practice_asks_for_has_its_safety(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof PRESSED / sizeof PRESSED[0]; i++) {
		const struct pressed *row = &PRESSED[i];
		double                two = slip_margin(1000 * row->two_faces_kn, row->friction, 2000);
		double                one = slip_margin(1000 * row->one_face_kn, row->friction, 2000);

		if (fabs(two / row->safety - 1) > row->rounding_kn / row->two_faces_kn + 1e-9 ||
		    fabs(one / (2 * row->safety) - 1) > row->rounding_kn / row->one_face_kn + 1e-9)
			fail_msg("S %g, mu %g: %f and %f", row->safety, row->friction, two, one);
	}
}

/* A screw vise: F = 2 pi T eta / p, 60 N m on a pitch of 5 mm, from memory; its margin over the third row above, 1.36. */
static void
a_screw_presses_and_holds_as_reckoned(void **state)
{
	static const struct {
		double efficiency, force_kn;
	} screws[] = { { 0.25, 18.85 }, { 0.30, 22.62 }, { 0.40, 30.16 } };

	(void)state;
	for (size_t i = 0; i < sizeof screws / sizeof screws[0]; i++) {
		double force_n = 2 * 3.14159265358979323846 * 60 * screws[i].efficiency / 0.005;

		assert_true(fabs(force_n / 1000 - screws[i].force_kn) <= 0.005);
		assert_true(fabs(slip_margin(force_n, 0.15, 2000) / 2.5 - screws[i].force_kn / 16.67) <= 0.001);
	}
	assert_true(fabs(slip_margin(22620, 0.15, 2000) / 2.5 - 1.36) <= 0.005);
}

/* Of rest, but where it says sliding. */
static const struct ranged {
	const char *source;
	double      least, most;
} FRICTIONS[] = {
	/* Read. */
	{ "Gieck, 7th ed., quoted at a national laboratory: steel on steel, for design", 0.15, 0.30 },
	{ "the same, sliding", 0.10, 0.30 },
	{ "a university's physics textbook: cast iron on steel, greasy, from sliding to rest", 0.133, 0.21 },
	/* From memory: wet ground jaws 0.10, usual 0.15, dry machined faces 0.20. */
	{ "fixture practice, smooth jaws", 0.10, 0.20 },
	/* Read; what is clean and dry in a laboratory is not for clamping, so the default stays below it. */
	{ "friction table of a science wiki: mild steel on mild steel, dry, from sliding to rest", 0, 0.57 },
	{ "the same, hard steel on hard steel", 0, 0.42 },
	{ "a university's physics textbook: aluminium on mild steel, dry, sliding", 0, 0.47 },
	{ "the same, cast iron on steel, dry, sliding", 0, 0.23 },
	{ "the same, brass on steel, greasy", 0, 0.19 },
	{ "the same, aluminium on aluminium, greasy", 0, 0.3 },
};

static void
the_friction_taken_unasked_lies_in_every_design_range(void **state)
{
	static const char           yaml[] = "units: mm\nmaterial: brass\nstock: {length: 100, width: 40, height: 20}\n"
					     "finished_height: 18\n"
					     "cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide}\n"
					     "vise: {front_jaw: 10, rear_jaw: 10, jaw_width: 100}\n"
					     "hold: {clamps: [{x: -60, y: 0, length: 20, width: 20, height: 15}]}\n";
	static const struct library none;
	struct arena                arena  = { 0 };
	struct diag                 diag   = { .arena = &arena };
	struct source               source = { "job.yaml", yaml, strlen(yaml), UNITS_NONE };
	struct job                  job;

	(void)state;
	assert_true(intake_read(&source, &none, &arena, &job, &diag));
	for (size_t i = 0; i < sizeof FRICTIONS / sizeof FRICTIONS[0]; i++) {
		double vise = (double)job.vise.friction_ratio / RATIO_ONE;
		double hold = (double)job.hold.friction_ratio / RATIO_ONE;

		if (vise < FRICTIONS[i].least || vise > FRICTIONS[i].most || hold < FRICTIONS[i].least ||
		    hold > FRICTIONS[i].most)
			fail_msg("%s: %g in a vise, %g under clamps", FRICTIONS[i].source, vise, hold);
	}
	/* From memory: 2 to 2.5 usual, with a floor near 2.5 where it is a product of many; 3 in roughing. */
	assert_true(job.hold.safety_factor >= 2 * RATIO_ONE && job.hold.safety_factor <= 3 * RATIO_ONE);
	arena_release(&arena);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_force_that_fixture_practice_asks_for_has_its_safety),
		cmocka_unit_test(a_screw_presses_and_holds_as_reckoned),
		cmocka_unit_test(the_friction_taken_unasked_lies_in_every_design_range),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
