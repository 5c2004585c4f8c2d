#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdalign.h>
#include <stdlib.h>
#include <string.h>

#include "skimcut/arena.h"

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

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(what_is_taken_is_zero_and_aligned_and_its_own),
		cmocka_unit_test(a_piece_may_be_larger_than_a_chunk),
		cmocka_unit_test(a_copy_ends_with_a_nul),
		cmocka_unit_test(no_memory_is_null_and_does_no_harm),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
