#include "input.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "skimcut/arena.h"
#include "skimcut/yaml.h"

enum { ROOM = YAML_BYTES_MAX + 2 }; /* more than yaml_parse takes, so that it can say so */

static ssize_t read_all(int file, char *buffer, size_t room);
static void   *fail(const char *path, struct place place, struct diag *diag);

struct source *
input_read(const char *path, struct place place, struct arena *arena, struct diag *diag)
{
	struct source *source      = arena_take(arena, sizeof *source);
	bool           is_standard = strcmp(path, "-") == 0;
	struct stat    status;
	char          *buffer;
	ssize_t        size;
	size_t         room;
	int            file;

	if (!source) {
		diag_no_memory(diag);
		return NULL;
	}
	file = is_standard ? STDIN_FILENO : open(path, O_RDONLY | O_NOCTTY | O_CLOEXEC);
	if (file < 0 || fstat(file, &status) < 0)
		return fail(path, place, diag);
	/* A regular file says how much room it takes, unless it is made while it is read; anything else may take it all. */
	room   = S_ISREG(status.st_mode) && status.st_size > 0 && status.st_size < ROOM ? (size_t)status.st_size + 1
	                                                                                : ROOM;
	buffer = arena_take(arena, room + 1);
	size   = buffer ? read_all(file, buffer, room) : 0;
	if (size < 0)
		fail(path, place, diag);
	if (!is_standard)
		close(file);
	if (!buffer)
		diag_no_memory(diag);
	if (!buffer || size < 0)
		return NULL;
	/* A byte order mark is no part of the text. */
	if (strncmp(buffer, "\xEF\xBB\xBF", 3) == 0) {
		buffer += 3;
		size -= 3;
	}
	*source = (struct source){ is_standard ? "standard input" : path, buffer, (size_t)size, UNITS_NONE };
	return source;
}

const char *
input_beside(const char *from, const char *path, struct arena *arena)
{
	const char *slash  = strrchr(from, '/');
	size_t      folder = slash && path[0] != '/' ? (size_t)(slash - from) + 1 : 0, size = strlen(path);
	char       *joined = arena_take(arena, folder + size + 1);

	if (!joined)
		return NULL;
	memcpy(joined, from, folder);
	memcpy(joined + folder, path, size + 1);
	return joined;
}

static ssize_t
read_all(int file, char *buffer, size_t room)
{
	size_t size = 0;

	while (size < room) {
		ssize_t part = read(file, buffer + size, room - size);

		if (part < 0 && errno == EINTR)
			continue;
		if (part < 0)
			return -1;
		if (part == 0)
			break;
		size += (size_t)part;
	}
	return (ssize_t)size;
}

/* What the user can put right is a bad input; the rest is the system's. */
static void *
fail(const char *path, struct place place, struct diag *diag)
{
	bool is_theirs = errno == ENOENT || errno == EACCES || errno == EISDIR || errno == ENOTDIR ||
	                 errno == ENAMETOOLONG || errno == ELOOP;

	diag_add(diag, is_theirs ? SEVERITY_ERROR : SEVERITY_SYSTEM, place, "cannot read '%.200s': %s", path,
	         strerror(errno));
	return NULL;
}
