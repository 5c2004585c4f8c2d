/*
 * input - files read whole.
 */
#ifndef SKIMCUT_CLI_INPUT_H
#define SKIMCUT_CLI_INPUT_H

#include <sys/types.h>

#include "skimcut/diag.h"

struct arena;

/*
 * Reads a file of at most YAML_BYTES_MAX and a little; "-" is standard input. NULL: said why, at `place` if that has a source
 * (the line that names the file), else without one.
 */
struct source *input_read(const char *path, struct place place, struct arena *arena, struct diag *diag);

/* A file to be read in parts; "-" is standard input. -1: said why. */
int input_open(const char *path, struct diag *diag);

/* As many bytes as there are, up to `room`; 0 at the end. -1: said why. */
ssize_t input_part(int file, const char *path, char *buffer, size_t room, struct diag *diag);

/* `path` as seen from the folder of the file `from`; path itself when it is absolute. NULL: memory is out. */
const char *input_beside(const char *from, const char *path, struct arena *arena);

#endif
