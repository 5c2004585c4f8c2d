#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static int replay(const char *path);

/* Every file that is named goes once through the fuzz target this is linked with; what is no file is passed over. */
int
main(int argc, char *argv[])
{
	int inputs = 0;

	for (int i = 1; i < argc; i++)
		inputs += replay(argv[i]);
	printf("%s: %d inputs\n", argv[0], inputs);
	return inputs > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

/* A copy of exactly its size, so that a sanitizer sees the first byte read behind it. */
static int
replay(const char *path)
{
	struct stat status;
	uint8_t    *bytes;
	FILE       *file;
	size_t      size;

	if (stat(path, &status) < 0 || !S_ISREG(status.st_mode))
		return 0;
	file = fopen(path, "rb");
	if (!file)
		return 0;
	bytes = malloc(status.st_size > 0 ? (size_t)status.st_size : 1);
	size  = bytes ? fread(bytes, 1, (size_t)status.st_size, file) : 0;
	fclose(file);
	if (bytes)
		LLVMFuzzerTestOneInput(bytes, size);
	free(bytes);
	return bytes != NULL;
}
