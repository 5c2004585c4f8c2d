#include "input.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "skimcut/arena.h"
#include "skimcut/yaml.h"

/* Some editors put it before the text; it is no part of it. */
static const char BYTE_ORDER_MARK[] = "\xEF\xBB\xBF";

/* With or without the mark, more than yaml_parse takes, so that it can say so. */
enum { ROOM = YAML_BYTES_MAX + sizeof BYTE_ORDER_MARK };

static int            file_open(const char *path);
static struct source *source_read(int file, const char *path, struct place place, struct arena *arena,
                                  struct diag *diag);
static ssize_t        read_all(int file, char *buffer, size_t room, size_t size);
static void          *no_memory(struct diag *diag);
static void          *fail(const char *path, struct place place, struct diag *diag);

struct source *
input_read(const char *path, struct place place, struct arena *arena, struct diag *diag)
{
	bool           is_standard = strcmp(path, "-") == 0;
	int            file        = file_open(path);
	struct source *source;

	if (file < 0)
		return fail(path, place, diag);
	source = source_read(file, path, place, arena, diag);
	if (!is_standard)
		close(file);
	if (source && is_standard)
		source->name = "standard input";
	return source;
}

int
input_open(const char *path, struct diag *diag)
{
	int file = file_open(path);

	if (file < 0)
		fail(path, (struct place){ 0 }, diag);
	return file;
}

ssize_t
input_part(int file, const char *path, char *buffer, size_t room, struct diag *diag)
{
	ssize_t size = read_all(file, buffer, room, 0);

	if (size < 0)
		fail(path, (struct place){ 0 }, diag);
	return size;
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

static int
file_open(const char *path)
{
	return strcmp(path, "-") == 0 ? STDIN_FILENO : open(path, O_RDONLY | O_NOCTTY | O_CLOEXEC);
}

/*
 * A regular file says how much room it takes. What fills that all the same, because it grows or is made while it is read, and
 * anything else, may take all the room that there is.
 */
static struct source *
source_read(int file, const char *path, struct place place, struct arena *arena, struct diag *diag)
{
	struct source *source = arena_take(arena, sizeof *source);
	struct stat    status;
	size_t         room = 1;
	ssize_t        size;
	char          *text;

	if (fstat(file, &status) < 0)
		return fail(path, place, diag);
	if (S_ISREG(status.st_mode) && status.st_size < ROOM)
		room = (size_t)status.st_size + 1;
	text = arena_take(arena, room + 1);
	if (!source || !text)
		return no_memory(diag);
	size = read_all(file, text, room, 0);
	if (size == (ssize_t)room && room < ROOM) {
		char *larger = arena_take(arena, ROOM + 1);

		if (!larger)
			return no_memory(diag);
		text = memcpy(larger, text, room);
		size = read_all(file, text, ROOM, room);
	}
	if (size < 0)
		return fail(path, place, diag);
	*source = (struct source){ path, text, (size_t)size, UNITS_NONE };
	if (strncmp(text, BYTE_ORDER_MARK, strlen(BYTE_ORDER_MARK)) == 0) {
		source->text += strlen(BYTE_ORDER_MARK);
		source->length -= strlen(BYTE_ORDER_MARK);
	}
	return source;
}

/* From `size` on. */
static ssize_t
read_all(int file, char *buffer, size_t room, size_t size)
{
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

static void *
no_memory(struct diag *diag)
{
	diag_no_memory(diag);
	return NULL;
}
