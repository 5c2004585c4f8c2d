/* Memory that runs out, at every allocation in turn: a clean failure each time, and exit status 3. */

#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdbool.h>
#include <string.h>

#include "planning.h"
#include "skimcut/choice.h"
#include "skimcut/dialect.h"
#include "skimcut/shipped.h"
#include "skimcut/trial.h"
#include "skimcut/yaml.h"

void *__real_malloc(size_t size);
void *__wrap_malloc(size_t size);

static long mallocs_left = -1;      /* below 0: as many as are wanted */
static bool has_failed, fails_once; /* once: after the first failure there is memory again */

void *
__wrap_malloc(size_t size)
{
	if (mallocs_left == 0) {
		has_failed = true;
		if (fails_once)
			mallocs_left = -1;
		return NULL;
	}
	if (mallocs_left > 0)
		mallocs_left--;
	return __real_malloc(size);
}

static const char *const JOB  = "units: inch\n"
				"shop: shop.yaml\n"
				"title: &name pump foot\n"
				"material: low-carbon steel\n"
				"stock: {length: 6, width: 2.5, height: 1.100}\n"
				"finished_height: 1.000\n"
				"cut: {measure: [test], rough: 40 thou}\n";
static const char *const SHOP = "units: mm\n"
				"cutters:\n"
				"  small: {kind: end mill, diameter: 20, teeth: 4, edge: hss}\n"
				"  large: {kind: shell mill, diameter: 80, teeth: 6, edge: carbide}\n"
				"cut: {clearance: 3, along: auto}\n"
				"machine: {kind: manual, spindle: {speeds: [80, 210, 660]}, travel: {x: 700, y: 300}}\n"
				"vise: {front_jaw: 20, rear_jaw: 20, jaw_width: 150}\n"
				"hold: {clamps: [{x: -200, y: 0, length: 9, width: 9, height: 9}]}\n"
				"parallels: [10, 20]\n";
static const char *const BAD  = "units: mm\n"
				"titel: pad\n"
				"stock: {length: wide, width: [], height: -1, length: 2}\n"
				"cut: {stepover: 130 %, pattern: spiral}\n";

static const struct source *
shop_open(void *context, const char *path, struct place place, struct arena *arena, struct diag *diag)
{
	struct source *source = arena_take(arena, sizeof *source);

	(void)context;
	(void)path;
	(void)place;
	if (!source) {
		diag_no_memory(diag);
		return NULL;
	}
	*source = (struct source){ "shop.yaml", SHOP, strlen(SHOP), UNITS_NONE };
	return source;
}

static bool
read_job(struct arena *arena, struct job *job, struct diag *diag)
{
	struct source       *source  = arena_take(arena, sizeof *source);
	const struct library library = { shop_open, NULL };

	if (!source)
		return diag_no_memory(diag);
	*source = (struct source){ "job.yaml", JOB, strlen(JOB), UNITS_NONE };
	return intake_read(source, &library, arena, job, diag);
}

static bool
a_job_with_its_shop(struct arena *arena, struct diag *diag)
{
	struct job job;

	return read_job(arena, &job, diag);
}

static bool
the_best_plan(struct arena *arena, struct diag *diag)
{
	struct job  job;
	struct plan plan;

	return read_job(arena, &job, diag) && choice_make(&job, usual_grid(job.units), arena, &plan, diag);
}

static bool
a_dialect_read(struct arena *arena, struct dialect *dialect, struct diag *diag)
{
	const struct shipped *shipped = SHIPPED_DIALECTS;
	struct source         source;

	while (strcmp(shipped->name, "rs274ngc") != 0)
		shipped++;
	source = (struct source){ shipped->name, shipped->text, strlen(shipped->text), UNITS_NONE };
	return dialect_read(&source, arena, dialect, diag);
}

static bool
a_dialect(struct arena *arena, struct diag *diag)
{
	struct dialect dialect;

	return a_dialect_read(arena, &dialect, diag);
}

static bool
a_trial(struct arena *arena, struct diag *diag)
{
	static struct trial trial;

	struct job     job;
	struct plan    plan;
	struct dialect dialect;

	trial = (struct trial){ 0 };
	return read_job(arena, &job, diag) && a_dialect_read(arena, &dialect, diag) &&
	       choice_make(&job, usual_grid(job.units), arena, &plan, diag) &&
	       (trial_begin(&trial, &job, &plan, &dialect, arena, FINENESS_COARSE) || diag_no_memory(diag));
}

/* With memory enough, this one is an error of the job. */
static bool
a_job_full_of_errors(struct arena *arena, struct diag *diag)
{
	static const struct library NO_SHOPS;
	struct source               source = { "bad.yaml", BAD, strlen(BAD), UNITS_NONE };
	struct job                  job;

	return intake_read(&source, &NO_SHOPS, arena, &job, diag);
}

/*
 * Leaves `spare` bytes and `mallocs` more chunks. The bytes count where chunks are large, the chunks where they are small.
 * True: that was enough.
 */
static bool
enough(bool (*work)(struct arena *, struct diag *), int status, long mallocs, size_t spare)
{
	struct arena arena = { 0 };
	struct diag  diag  = { .arena = &arena };
	char         room[8192];
	struct text  out = text_over(room, sizeof room);
	bool         done;

	assert_non_null(arena_take(&arena, 1));
	if (arena.left > spare)
		assert_non_null(arena_take(&arena, arena.left - spare));
	mallocs_left = mallocs;
	has_failed   = false;
	done         = work(&arena, &diag);
	mallocs_left = -1;
	if (done != (!has_failed && status == 0) || diag_status(&diag) != (has_failed ? 3 : status))
		fail_msg("%ld mallocs, %zu bytes: %s, status %d", mallocs, spare, done ? "done" : "not done",
		         diag_status(&diag));
	diag_print(&diag, SEVERITY_NOTE, "skimcut", &out);
	assert_int_equal(strstr(text_end(&out), "skimcut: error: out of memory\n") != NULL, has_failed);
	arena_release(&arena);
	return !has_failed;
}

static void
fails_cleanly_wherever_memory_ends(bool (*work)(struct arena *, struct diag *), int status)
{
	size_t failures = 0;

	for (size_t spare = 0; spare < 32768 && !enough(work, status, 0, spare); spare += sizeof(max_align_t))
		failures++;
	for (int once = 0; once <= 1; once++) {
		fails_once = once == 1;
		for (long mallocs = 0; !enough(work, status, mallocs, 0); mallocs++)
			failures++;
	}
	assert_true(failures > 50);
}

static void
a_job_with_its_shop_fails_cleanly(void **state)
{
	(void)state;
	fails_cleanly_wherever_memory_ends(a_job_with_its_shop, 0);
}

static void
the_best_plan_fails_cleanly(void **state)
{
	(void)state;
	fails_cleanly_wherever_memory_ends(the_best_plan, 0);
}

static void
a_dialect_fails_cleanly(void **state)
{
	(void)state;
	fails_cleanly_wherever_memory_ends(a_dialect, 0);
}

static void
a_trial_fails_cleanly(void **state)
{
	(void)state;
	fails_cleanly_wherever_memory_ends(a_trial, 0);
}

static void
a_job_full_of_errors_fails_cleanly(void **state)
{
	(void)state;
	fails_cleanly_wherever_memory_ends(a_job_full_of_errors, 2);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_job_with_its_shop_fails_cleanly),
		cmocka_unit_test(the_best_plan_fails_cleanly),
		cmocka_unit_test(a_dialect_fails_cleanly),
		cmocka_unit_test(a_trial_fails_cleanly),
		cmocka_unit_test(a_job_full_of_errors_fails_cleanly),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
