#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdalign.h>
#include <stdlib.h>
#include <string.h>

#include "skimcut/arena.h"
#include "skimcut/diag.h"
#include "skimcut/text.h"

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

static void
what_is_taken_is_zero_and_aligned_and_its_own(void **state)
{
	struct arena arena = { 0 };
	char        *taken[200];

	(void)state;
	for (size_t i = 0; i < 200; i++) {
		taken[i] = arena_take(&arena, i + 1);
		assert_non_null(taken[i]);
		assert_int_equal((uintptr_t)taken[i] % alignof(max_align_t), 0);
		for (size_t j = 0; j <= i; j++)
			assert_int_equal(taken[i][j], 0);
		memset(taken[i], (int)i + 1, i + 1);
	}
	for (size_t i = 0; i < 200; i++)
		for (size_t j = 0; j <= i; j++)
			assert_int_equal((unsigned char)taken[i][j], i + 1);
	arena_release(&arena);
	assert_null(arena.chunks);
	arena_release(&arena);
}

static void
a_piece_may_be_larger_than_a_chunk(void **state)
{
	struct arena arena = { 0 };
	char        *small = arena_take(&arena, 1), *large = arena_take(&arena, 1000000);

	(void)state;
	assert_non_null(small);
	assert_non_null(large);
	large[999999] = 1;
	arena_release(&arena);
}

static void
a_copy_ends_with_a_nul(void **state)
{
	struct arena arena = { 0 };

	(void)state;
	assert_string_equal(arena_copy(&arena, "pump foot", 4), "pump");
	assert_string_equal(arena_copy(&arena, "", 0), "");
	arena_release(&arena);
}

static void
no_memory_is_null_and_does_no_harm(void **state)
{
	struct arena arena = { 0 };

	(void)state;
	assert_null(arena_take(&arena, SIZE_MAX));
	mallocs_left = 0;
	assert_null(arena_take(&arena, 1));
	assert_null(arena_copy(&arena, "x", 1));
	mallocs_left = 1;
	assert_non_null(arena_take(&arena, 1));
	assert_null(arena_take(&arena, 100000));
	mallocs_left = -1;
	assert_non_null(arena_take(&arena, 1));
	arena_release(&arena);
}

static void
a_released_arena_starts_anew(void **state)
{
	struct arena arena = { 0 };

	(void)state;
	for (int round = 0; round < 3; round++) {
		char *taken = arena_take(&arena, 5000);

		assert_non_null(taken);
		for (size_t i = 0; i < 5000; i++)
			assert_int_equal(taken[i], 0);
		memset(taken, 0x5a, 5000);
		arena_release(&arena);
		assert_null(arena.free);
		assert_int_equal(arena.left, 0);
	}
}

static void
a_size_that_no_machine_has_is_refused(void **state)
{
	static const size_t sizes[] = { SIZE_MAX, SIZE_MAX - 1, SIZE_MAX - 15, SIZE_MAX / 2 + 1 };
	struct arena        arena   = { 0 };
	char               *kept    = arena_copy(&arena, "kept", 4);

	(void)state;
	for (size_t i = 0; i < sizeof sizes / sizeof sizes[0]; i++)
		assert_null(arena_take(&arena, sizes[i]));
	assert_string_equal(kept, "kept");
	arena_release(&arena);
}

static void
a_diag_without_memory_says_that_at_least(void **state)
{
	struct arena arena = { 0 };
	struct diag  diag  = { .arena = &arena };
	char         room[256];
	struct text  out = text_over(room, sizeof room);

	(void)state;
	mallocs_left = 0;
	assert_false(diag_add(&diag, SEVERITY_WARNING, (struct place){ 0 }, "lost"));
	mallocs_left = -1;
	assert_true(diag.no_memory);
	assert_null(diag.first);
	assert_int_equal(diag_status(&diag), 3);
	diag_add(&diag, SEVERITY_ERROR, (struct place){ 0 }, "kept");
	diag_print(&diag, SEVERITY_NOTE, "skimcut", &out);
	assert_string_equal(text_end(&out), "skimcut: error: kept\nskimcut: error: out of memory\n");
	arena_release(&arena);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(what_is_taken_is_zero_and_aligned_and_its_own),
		cmocka_unit_test(a_piece_may_be_larger_than_a_chunk),
		cmocka_unit_test(a_copy_ends_with_a_nul),
		cmocka_unit_test(no_memory_is_null_and_does_no_harm),
		cmocka_unit_test(a_released_arena_starts_anew),
		cmocka_unit_test(a_size_that_no_machine_has_is_refused),
		cmocka_unit_test(a_diag_without_memory_says_that_at_least),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
