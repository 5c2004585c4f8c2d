/*
 * values - of a tree of JSON, found by a path like "cuts/0/z/job".
 */
#ifndef SKIMCUT_TESTS_VALUES_H
#define SKIMCUT_TESTS_VALUES_H

#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <jansson.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static inline const json_t *
at(const json_t *json, const char *path)
{
	for (const char *from = path; *from;) {
		size_t length = strcspn(from, "/");
		char   room[64];

		snprintf(room, sizeof room, "%.*s", (int)length, from);
		json = json_is_array(json) ? json_array_get(json, (size_t)atoi(room)) : json_object_get(json, room);
		if (!json)
			fail_msg("there is no %s", path);
		from += length + (from[length] == '/');
	}
	return json;
}

static inline void
text_is(const json_t *root, const char *path, const char *text)
{
	assert_string_equal(json_string_value(at(root, path)), text);
}

/* Bit for bit: a decimal of up to 15 digits comes back as it was. */
static inline void
quantity_is(const json_t *root, const char *path, double si, double job)
{
	const json_t *quantity = at(root, path);
	double        is_si = json_real_value(at(quantity, "si")), is_job = json_real_value(at(quantity, "job"));

	if (is_si != si || is_job != job)
		fail_msg("%s is %.17g and %.17g, not %.17g and %.17g", path, is_si, is_job, si, job);
}

static inline void
is_near(const json_t *root, const char *path, double value)
{
	double is = json_number_value(at(root, path));

	if (fabs(is - value) > 1e-6 * fabs(value))
		fail_msg("%s is %.10g, not %.10g", path, is, value);
}

/* Counts what jansson allocates, and fails it. */
struct pool {
	long left;    /* allocations that succeed before one fails; below 0: all */
	bool is_once; /* after that they succeed again */
	bool failed;
	long used; /* allocations that are not free yet */
};

static struct pool pool = { .left = -1 };

static inline void *
pool_take(size_t size)
{
	void *memory;

	if (pool.left == 0) {
		pool.left   = pool.is_once ? -1 : 0;
		pool.failed = true;
		return NULL;
	}
	if (pool.left > 0)
		pool.left--;
	memory = malloc(size);
	pool.used += memory != NULL;
	return memory;
}

static inline void
pool_give(void *memory)
{
	pool.used -= memory != NULL;
	free(memory);
}

/* One allocation fails, or that one and all that follow: `make` returns NULL, and nothing is left behind. False: none failed. */
static inline bool
fails_at(long step, bool is_once, json_t *(*make)(const void *context), const void *context)
{
	json_t *json;

	pool = (struct pool){ .left = step, .is_once = is_once };
	json = make(context);
	if (pool.failed == (json != NULL))
		fail_msg("allocation %ld %s, and there is %s", step, pool.failed ? "failed" : "did not fail",
		         json ? "a result" : "none");
	json_decref(json);
	if (pool.used != 0)
		fail_msg("allocation %ld failed, and %ld are left", step, pool.used);
	return pool.failed;
}

/* With allocations failing in turn, each of the first hundred and then one in every hundredth part. Returns about how many there are. */
static inline long
fails_whole(json_t *(*make)(const void *context), const void *context)
{
	json_malloc_t usual_malloc;
	json_free_t   usual_free;
	long          step = 0;

	json_get_alloc_funcs(&usual_malloc, &usual_free);
	json_set_alloc_funcs(pool_take, pool_give);
	while (fails_at(step, false, make, context) && fails_at(step, true, make, context))
		step += 1 + step / 100;
	pool.left = -1;
	json_set_alloc_funcs(usual_malloc, usual_free);
	return step;
}

#endif
