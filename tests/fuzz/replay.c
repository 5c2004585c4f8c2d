#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static long     replay(const char *path, long damaged);
static size_t   damage(uint8_t *bytes, const uint8_t *whole, size_t size);
static uint64_t random_below(uint64_t limit);

static uint64_t seed = 0x5eedf22d00d1e5;

/*
 * replay [-n COUNT] FILE...: every file goes once through the fuzz target this is linked with, and COUNT times damaged, always the
 * same way; what is no file is passed over. A short run for machines without libFuzzer.
 */
int
main(int argc, char *argv[])
{
	int  first  = 1;
	long inputs = 0, damaged = 0;

	if (argc > 2 && strcmp(argv[1], "-n") == 0) {
		damaged = strtol(argv[2], NULL, 10);
		first   = 3;
	}
	for (int i = first; i < argc; i++)
		inputs += replay(argv[i], damaged);
	printf("%s: %ld inputs\n", argv[0], inputs);
	return inputs > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

/* Copies of exactly their size, so that a sanitizer sees the first byte read behind one. */
static long
replay(const char *path, long damaged)
{
	struct stat status;
	uint8_t    *whole, *copy;
	FILE       *file;
	size_t      size, left;

	if (stat(path, &status) < 0 || !S_ISREG(status.st_mode))
		return 0;
	file = fopen(path, "rb");
	if (!file)
		return 0;
	whole = malloc(status.st_size > 0 ? (size_t)status.st_size : 1);
	size  = whole ? fread(whole, 1, (size_t)status.st_size, file) : 0;
	fclose(file);
	if (!whole)
		return 0;
	LLVMFuzzerTestOneInput(whole, size);
	for (long k = 0; k < damaged; k++) {
		copy = malloc(size > 0 ? size : 1);
		if (!copy)
			break;
		left = damage(copy, whole, size);
		copy = realloc(copy, left > 0 ? left : 1);
		if (copy)
			LLVMFuzzerTestOneInput(copy, left);
		free(copy);
	}
	free(whole);
	return 1 + damaged;
}

/* Up to four places: a byte changed, a bit flipped, a piece over another; and now and then the end cut off. */
static size_t
damage(uint8_t *bytes, const uint8_t *whole, size_t size)
{
	memcpy(bytes, whole, size);
	if (size == 0)
		return 0;
	for (uint64_t places = 1 + random_below(4); places > 0; places--) {
		size_t at = random_below(size), from = random_below(size), room = size - (at > from ? at : from);

		switch (random_below(3)) {
		case 0: bytes[at] = (uint8_t)random_below(256); break;
		case 1: bytes[at] ^= (uint8_t)(1u << random_below(8)); break;
		default: memmove(bytes + at, bytes + from, random_below(room < 16 ? room + 1 : 16)); break;
		}
	}
	return random_below(4) == 0 ? random_below(size + 1) : size;
}

static uint64_t
random_below(uint64_t limit)
{
	seed ^= seed << 13;
	seed ^= seed >> 7;
	seed ^= seed << 17;
	return seed % limit;
}
