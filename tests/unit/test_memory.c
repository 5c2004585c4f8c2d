/*
 * Memory runs out at every allocation in turn, from a job's text to its plan: each time it is said, and nothing is lost. What
 * libyaml allocates inside its own library is not reached from here.
 */
#include "planning.h"

#include <stdlib.h>

#include "skimcut/choice.h"
#include "skimcut/dialect.h"
#include "skimcut/shipped.h"

void *__real_malloc(size_t size);
void *__wrap_malloc(size_t size);

static long mallocs_left = -1; /* below 0: as many as are wanted */

void *
__wrap_malloc(size_t size)
{
	if (mallocs_left == 0)
		return NULL;
	if (mallocs_left > 0)
		mallocs_left--;
	return __real_malloc(size);
}

static const char JOB[] = "units: inch\nshop: shop.yaml\ntitle: pump foot\nmaterial: low-carbon steel\n"
			  "stock: {length: 6, width: 5, height: 1.100}\nfinished_height: 1.000\n";

static const char SHOP[] = "units: mm\nmachine: {kind: manual, spindle: {speeds: [80, 135, 210, 325]}}\n"
			   "parallels: [10, 20]\ncutters:\n"
			   "  face mill 63: &a {kind: face mill, diameter: 63, teeth: 5, edge: carbide}\n"
			   "  same: *a\n";

static const struct source *
shop_open(void *context, const char *path, struct place place, struct arena *arena, struct diag *diag)
{
	static const struct source SOURCE = { "shop.yaml", SHOP, sizeof SHOP - 1, UNITS_NONE };

	(void)context;
	(void)path;
	(void)place;
	(void)arena;
	(void)diag;
	return &SOURCE;
}

static bool
everything_made(struct planning *planning)
{
	static const struct library LIBRARY = { shop_open, NULL };

	const struct shipped *shipped = SHIPPED_DIALECTS;
	struct source         post;
	struct dialect        dialect;

	*planning            = (struct planning){ .source = { "job.yaml", JOB, sizeof JOB - 1, UNITS_NONE } };
	planning->diag.arena = &planning->arena;
	post                 = (struct source){ shipped->name, shipped->text, strlen(shipped->text), UNITS_NONE };
	return job_read(&planning->source, &LIBRARY, &planning->arena, &planning->job, &planning->diag) &&
	       dialect_read(&post, &planning->arena, &dialect, &planning->diag) &&
	       choice_make(&planning->job, dialect_grid(&dialect, UNITS_INCH), &planning->arena, &planning->plan,
	                   &planning->diag);
}

static void
memory_that_runs_out_anywhere_is_said(void **state)
{
	long allowed = 0;

	(void)state;
	for (;; allowed++) {
		struct planning planning;
		bool            made;

		mallocs_left = allowed;
		made         = everything_made(&planning);
		mallocs_left = -1;
		if (made)
			assert_int_equal(diag_status(&planning.diag), 0);
		else if (diag_status(&planning.diag) != 3)
			fail_msg("after %ld allocations: status %d", allowed, diag_status(&planning.diag));
		planning_close(&planning);
		if (made)
			break;
	}
	assert_true(allowed > 0);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(memory_that_runs_out_anywhere_is_said),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
