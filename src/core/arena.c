#include "skimcut/arena.h"

#include <stdalign.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* The hostile build sets 1: every taking is then a malloc of its own, whose overruns the sanitizer sees. */
#ifndef ARENA_CHUNK
#define ARENA_CHUNK 32768
#endif

struct chunk {
	struct chunk *next;
	alignas(max_align_t) char bytes[];
};

static bool add_chunk(struct arena *arena, size_t size);

void *
arena_take(struct arena *arena, size_t size)
{
	void *taken = arena_reserve(arena, size);

	return taken ? memset(taken, 0, size) : NULL;
}

void *
arena_reserve(struct arena *arena, size_t size)
{
	const size_t align = alignof(max_align_t);
	char        *taken;

	if (size > SIZE_MAX / 2)
		return NULL;
	size = (size > 0 ? size + align - 1 : align) / align * align;
	if (size > arena->left && !add_chunk(arena, size))
		return NULL;
	taken = arena->free;
	arena->free += size;
	arena->left -= size;
	return taken;
}

char *
arena_copy(struct arena *arena, const char *bytes, size_t size)
{
	char *copy = arena_take(arena, size + 1);

	return copy ? memcpy(copy, bytes, size) : NULL;
}

void
arena_release(struct arena *arena)
{
	while (arena->chunks) {
		struct chunk *chunk = arena->chunks;

		arena->chunks = chunk->next;
		free(chunk);
	}
	*arena = (struct arena){ 0 };
}

static bool
add_chunk(struct arena *arena, size_t size)
{
	size_t        room  = size > ARENA_CHUNK ? size : ARENA_CHUNK;
	struct chunk *chunk = malloc(sizeof *chunk + room);

	if (!chunk)
		return false;
	chunk->next   = arena->chunks;
	arena->chunks = chunk;
	arena->free   = chunk->bytes;
	arena->left   = room;
	return true;
}
