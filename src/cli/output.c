#include "output.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdatomic.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static const int ENDING_SIGNALS[] = { SIGINT, SIGTERM, SIGHUP, SIGQUIT };

/* Of a file that is not there yet: the umask decides. No file has this mode. */
static const mode_t NEW_FILE = (mode_t)-1;

/* For the signal handler alone: what to remove. */
static _Atomic(char *) unfinished;

_Static_assert(ATOMIC_POINTER_LOCK_FREE == 2, "it is read in a signal handler");

static bool  target_find(struct output *output, const char *path, const char *const *inputs, mode_t *mode,
                         struct diag *diag);
static bool  is_input(const struct stat *target, const char *const *inputs);
static bool  special_open(struct output *output, const char *path, struct diag *diag);
static bool  temporary_open(struct output *output, mode_t mode, struct diag *diag);
static char *temporary_name(const char *target);
static bool  finish(struct output *output);
static void  folder_sync(const char *path);
static bool  drain(struct text *text);
static bool  fail(const struct output *output, int error, struct diag *diag);
static void  signals_catch(void);
static void  on_signal(int number);

bool
output_open(struct output *output, const char *path, const char *const *inputs, struct diag *diag)
{
	mode_t mode = 0;

	memset(output, 0, offsetof(struct output, buffer));
	output->text         = text_over(output->buffer, sizeof output->buffer);
	output->text.drain   = drain;
	output->text.context = output;
	output->name         = "standard output";
	output->file         = STDOUT_FILENO;
	if (!path || strcmp(path, "-") == 0)
		return true;
	output->name   = path;
	output->file   = -1;
	output->opened = true;
	if (!target_find(output, path, inputs, &mode, diag))
		return false;
	return output->target ? temporary_open(output, mode, diag) : special_open(output, path, diag);
}

bool
output_commit(struct output *output, struct diag *diag)
{
	bool done = text_flush(&output->text);

	if (!done)
		fail(output, output->error, diag);
	else if (output->opened && !finish(output))
		done = fail(output, errno, diag);
	output_abandon(output);
	return done;
}

void
output_abandon(struct output *output)
{
	if (output->file >= 0 && output->opened)
		close(output->file);
	output->file = -1;
	if (output->temporary)
		unlink(output->temporary);
	unfinished = NULL;
	free(output->temporary);
	free(output->target);
	output->temporary = output->target = NULL;
}

/* output->target stays NULL for what is no regular file. A link is followed: the file it names is replaced, not the link. */
static bool
target_find(struct output *output, const char *path, const char *const *inputs, mode_t *mode, struct diag *diag)
{
	struct stat status;

	if (path[0] == '\0')
		return diag_add(diag, SEVERITY_ERROR, (struct place){ 0 }, "the output has no name");
	if (stat(path, &status) < 0) {
		if (errno != ENOENT)
			return fail(output, errno, diag);
		if (lstat(path, &status) == 0)
			return diag_add(diag, SEVERITY_ERROR, (struct place){ 0 },
			                "'%.200s' is a link that leads nowhere", path);
		*mode          = NEW_FILE;
		output->target = strdup(path);
		return output->target || diag_no_memory(diag);
	}
	if (S_ISDIR(status.st_mode))
		return diag_add(diag, SEVERITY_ERROR, (struct place){ 0 }, "'%.200s' is a folder; name a file in it",
		                path);
	if (is_input(&status, inputs))
		return diag_add(diag, SEVERITY_ERROR, (struct place){ 0 },
		                "'%.200s' is what it is made from; name another file", path);
	if (!S_ISREG(status.st_mode))
		return true;
	if (!(status.st_mode & 0222))
		return diag_add(diag, SEVERITY_ERROR, (struct place){ 0 }, "'%.200s' is write-protected", path);
	*mode          = status.st_mode & 0777;
	output->target = realpath(path, NULL);
	return output->target || fail(output, errno, diag);
}

static bool
is_input(const struct stat *target, const char *const *inputs)
{
	for (; *inputs; inputs++) {
		struct stat input;

		if ((strcmp(*inputs, "-") == 0 ? fstat(STDIN_FILENO, &input) : stat(*inputs, &input)) == 0 &&
		    input.st_dev == target->st_dev && input.st_ino == target->st_ino)
			return true;
	}
	return false;
}

static bool
special_open(struct output *output, const char *path, struct diag *diag)
{
	output->file = open(path, O_WRONLY | O_NOCTTY | O_CLOEXEC);
	return output->file >= 0 || fail(output, errno, diag);
}

/* `mode` of the file that is replaced. */
static bool
temporary_open(struct output *output, mode_t mode, struct diag *diag)
{
	sigset_t all, before;
	mode_t   mask = umask(0);

	umask(mask);
	output->temporary = temporary_name(output->target);
	if (!output->temporary) {
		output_abandon(output);
		return diag_no_memory(diag);
	}
	signals_catch();
	sigfillset(&all);
	sigprocmask(SIG_BLOCK, &all, &before);
	output->file = mkstemp(output->temporary);
	if (output->file >= 0)
		unfinished = output->temporary;
	sigprocmask(SIG_SETMASK, &before, NULL);
	if (output->file < 0) {
		fail(output, errno, diag);
		free(output->temporary);
		output->temporary = NULL;
		output_abandon(output);
		return false;
	}
	if (fchmod(output->file, mode != NEW_FILE ? mode : 0666 & ~mask) == 0)
		return true;
	fail(output, errno, diag);
	output_abandon(output);
	return false;
}

/* In the target's own folder, so that the rename stays on one file system. */
static char *
temporary_name(const char *target)
{
	static const char TEMPLATE[] = ".skimcut-XXXXXX";

	const char *slash  = strrchr(target, '/');
	size_t      folder = slash ? (size_t)(slash - target) + 1 : 0;
	char       *name   = malloc(folder + sizeof TEMPLATE);

	if (!name)
		return NULL;
	memcpy(name, target, folder);
	memcpy(name + folder, TEMPLATE, sizeof TEMPLATE);
	return name;
}

static bool
finish(struct output *output)
{
	int file = output->file;

	output->file = -1;
	if (!output->temporary)
		return close(file) == 0;
	if (fsync(file) < 0) {
		int error = errno;

		close(file);
		errno = error;
		return false;
	}
	if (close(file) < 0 || rename(output->temporary, output->target) < 0)
		return false;
	unfinished = NULL;
	folder_sync(output->target);
	free(output->temporary);
	output->temporary = NULL;
	return true;
}

/* So that the new name, too, survives a power cut. The file is whole either way: what fails here does no harm. */
static void
folder_sync(const char *path)
{
	char *folder = strdup(path), *slash = folder ? strrchr(folder, '/') : NULL;
	int   file;

	if (slash)
		slash[slash == folder] = '\0';
	file = folder ? open(slash ? folder : ".", O_RDONLY | O_CLOEXEC) : -1;
	if (file >= 0) {
		fsync(file);
		close(file);
	}
	free(folder);
}

static bool
drain(struct text *text)
{
	struct output *output = text->context;
	size_t         done   = 0;

	if (output->watch)
		output->watch(output->watcher, text->data, text->length);
	while (done < text->length) {
		ssize_t part = write(output->file, text->data + done, text->length - done);

		if (part < 0 && errno == EINTR)
			continue;
		if (part < 0) {
			output->error = errno;
			return false;
		}
		done += (size_t)part;
	}
	output->bytes += done;
	text->length = 0;
	return true;
}

/* What the user can put right by naming another file is a bad input; the rest is the system's. */
static bool
fail(const struct output *output, int error, struct diag *diag)
{
	bool is_theirs = error == ENOENT || error == ENOTDIR || error == ENAMETOOLONG || error == ELOOP ||
	                 error == EACCES || error == EPERM || error == EROFS;

	if (!output->opened && output->file == STDOUT_FILENO)
		return diag_add(diag, SEVERITY_SYSTEM, (struct place){ 0 }, "cannot write to standard output: %s",
		                strerror(error));
	return diag_add(diag, is_theirs ? SEVERITY_ERROR : SEVERITY_SYSTEM, (struct place){ 0 },
	                "cannot write '%.200s': %s", output->name, strerror(error));
}

/* What is ignored (nohup) stays ignored. A pipe whose reader has gone is an error of write(), not a signal. */
static void
signals_catch(void)
{
	for (size_t i = 0; i < sizeof ENDING_SIGNALS / sizeof ENDING_SIGNALS[0]; i++) {
		struct sigaction action = { .sa_handler = on_signal, .sa_flags = (int)SA_RESETHAND }, before;

		sigemptyset(&action.sa_mask);
		if (sigaction(ENDING_SIGNALS[i], NULL, &before) == 0 && before.sa_handler == SIG_DFL)
			sigaction(ENDING_SIGNALS[i], &action, NULL);
	}
}

static void
on_signal(int number)
{
	char *path = unfinished;

	if (path)
		unlink(path);
	raise(number);
}
