/*
 * arena - memory that lives as long as the job and is released in one go.
 *
 * Starts as (struct arena){ 0 }. Every taker checks for NULL: memory can run out.
 */
#ifndef SKIMCUT_ARENA_H
#define SKIMCUT_ARENA_H

#include <stddef.h>

struct arena {
	struct chunk *chunks; /* newest first */
	char         *free;
	size_t        left;
};

void *arena_take(struct arena *arena, size_t size);    /* zeroed, aligned for anything; NULL when memory is out */
void *arena_reserve(struct arena *arena, size_t size); /* the same, not zeroed: what is never touched costs nothing */
char *arena_copy(struct arena *arena, const char *bytes, size_t size); /* with a NUL behind */
void  arena_release(struct arena *arena);

#endif
