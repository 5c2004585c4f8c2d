#include <dirent.h>
#include <fcntl.h>
#include <limits.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>

#include <cmocka.h>

#include "folder.h"

#include "output.h"

#include "skimcut/arena.h"

static const char *const NO_INPUTS[] = { NULL };

static const char OLD[] = "the old program\n", NEW[] = "the new program\n";

static struct output output;
static struct arena  arena;
static struct diag   diag;

static bool write_whole(const char *path, size_t times);
static void refused_untouched(const char *path, const char *const *inputs, int status, const char *said);
static int  in_child(void (*act)(void));
static void signalled_halfway(void);
static void signal_ignored(void);
static void reader_gone(void);
static void outgrown(void);
static void closed_output(void);
static void put(const char *path, const char *text);
static void assert_holds(const char *path, const char *text);
static void assert_no_temporary(void);
static int  fresh_start(void **state);
static int  release(void **state);

/* --- a file --- */

static void
a_new_file_is_there_whole_after_the_commit_and_not_before(void **state)
{
	(void)state;
	assert_true(output_open(&output, "new.nc", NO_INPUTS, &diag));
	text_string(&output.text, NEW);
	assert_int_equal(access("new.nc", F_OK), -1);
	assert_true(output_commit(&output, &diag));
	assert_holds("new.nc", NEW);
	assert_int_equal(output.bytes, sizeof NEW - 1);
	assert_no_temporary();
}

static void
a_text_of_many_buffers_is_written_whole(void **state)
{
	const size_t times = 3 * OUTPUT_BUFFER / (sizeof NEW - 1) + 1;
	struct stat  status;

	(void)state;
	assert_true(write_whole("long.nc", times));
	assert_int_equal(stat("long.nc", &status), 0);
	assert_int_equal(status.st_size, times * (sizeof NEW - 1));
	assert_int_equal(output.bytes, times * (sizeof NEW - 1));
}

static void
an_empty_file_is_a_file_too(void **state)
{
	(void)state;
	assert_true(write_whole("nothing.nc", 0));
	assert_holds("nothing.nc", "");
}

static void
the_umask_decides_about_a_new_file_and_the_old_one_about_its_follower(void **state)
{
	static const mode_t MODES[] = { 0600, 0640, 0644, 0664, 0755, 0777, 0200 };
	struct stat         status;
	mode_t              mask = umask(027);

	(void)state;
	assert_true(write_whole("masked.nc", 1));
	umask(mask);
	assert_int_equal(stat("masked.nc", &status), 0);
	assert_int_equal(status.st_mode & 0777, 0640);
	for (size_t i = 0; i < sizeof MODES / sizeof MODES[0]; i++) {
		put("moded.nc", OLD);
		assert_int_equal(chmod("moded.nc", MODES[i]), 0);
		assert_true(write_whole("moded.nc", 1));
		assert_int_equal(stat("moded.nc", &status), 0);
		assert_int_equal(status.st_mode & 0777, MODES[i]);
		assert_int_equal(unlink("moded.nc"), 0);
	}
}

static void
what_is_abandoned_leaves_the_old_file_and_nothing_else(void **state)
{
	(void)state;
	put("kept.nc", OLD);
	assert_true(output_open(&output, "kept.nc", NO_INPUTS, &diag));
	for (size_t i = 0; i < OUTPUT_BUFFER; i++)
		text_string(&output.text, NEW);
	output_abandon(&output);
	assert_holds("kept.nc", OLD);
	assert_no_temporary();
	output_abandon(&output);
}

static void
a_link_stays_and_the_file_it_names_is_replaced(void **state)
{
	struct stat status;

	(void)state;
	assert_int_equal(mkdir("far", 0777), 0);
	put("far/program.nc", OLD);
	assert_int_equal(symlink("far/program.nc", "link.nc"), 0);
	assert_int_equal(symlink("link.nc", "link-to-link.nc"), 0);
	assert_true(write_whole("link-to-link.nc", 1));
	assert_int_equal(lstat("link.nc", &status), 0);
	assert_true(S_ISLNK(status.st_mode));
	assert_int_equal(lstat("link-to-link.nc", &status), 0);
	assert_true(S_ISLNK(status.st_mode));
	assert_holds("far/program.nc", NEW);
	assert_holds("link.nc", NEW);
}

/* --- what is no file --- */

static void
a_dash_and_no_name_are_standard_output(void **state)
{
	static const char *const NAMES[] = { NULL, "-" };

	(void)state;
	for (size_t i = 0; i < 2; i++) {
		int kept = dup(STDOUT_FILENO), file = open("standard.txt", O_WRONLY | O_CREAT | O_TRUNC, 0666);

		fflush(stdout);
		dup2(file, STDOUT_FILENO);
		close(file);
		assert_true(write_whole(NAMES[i], 1));
		assert_true(fcntl(STDOUT_FILENO, F_GETFD) >= 0);
		dup2(kept, STDOUT_FILENO);
		close(kept);
		assert_holds("standard.txt", NEW);
		assert_int_equal(access("-", F_OK), -1);
	}
}

static void
a_pipe_with_a_name_is_written_as_it_comes_and_stays_a_pipe(void **state)
{
	char        text[64];
	struct stat status;
	int         reader;

	(void)state;
	assert_int_equal(mkfifo("fifo", 0600), 0);
	reader = open("fifo", O_RDONLY | O_NONBLOCK);
	assert_true(write_whole("fifo", 1));
	assert_int_equal(read(reader, text, sizeof text), sizeof NEW - 1);
	close(reader);
	assert_int_equal(lstat("fifo", &status), 0);
	assert_true(S_ISFIFO(status.st_mode));
}

static void
a_full_device_is_status_3(void **state)
{
	(void)state;
	assert_false(write_whole("/dev/full", 1));
	assert_int_equal(diag_status(&diag), 3);
	assert_string_equal(diag.first->text, "cannot write '/dev/full': No space left on device");
}

/* --- targets that cannot be --- */

static void
a_target_that_cannot_be_is_refused_before_anything_is_written(void **state)
{
	(void)state;
	put("plain-file", OLD);
	assert_int_equal(mkdir("folder.nc", 0777), 0);
	assert_int_equal(symlink("absent.nc", "dangling.nc"), 0);
	assert_int_equal(symlink("circle.nc", "circle.nc"), 0);
	refused_untouched("folder.nc", NO_INPUTS, 2, "'folder.nc' is a folder; name a file in it");
	refused_untouched("folder.nc/", NO_INPUTS, 2, "'folder.nc/' is a folder; name a file in it");
	refused_untouched("dangling.nc", NO_INPUTS, 2, "'dangling.nc' is a link that leads nowhere");
	refused_untouched("circle.nc", NO_INPUTS, 2, "cannot write 'circle.nc': Too many levels of symbolic links");
	refused_untouched("absent/x.nc", NO_INPUTS, 2, "cannot write 'absent/x.nc': No such file or directory");
	refused_untouched("plain-file/x.nc", NO_INPUTS, 2, "cannot write 'plain-file/x.nc': Not a directory");
	refused_untouched("plain-file/", NO_INPUTS, 2, "cannot write 'plain-file/': Not a directory");
	assert_holds("plain-file", OLD);
	assert_int_equal(access("absent.nc", F_OK), -1);
	if (geteuid() == 0)
		return; /* a folder's permissions do not stop root */
	assert_int_equal(mkdir("locked", 0555), 0);
	refused_untouched("locked/x.nc", NO_INPUTS, 3, "cannot write 'locked/x.nc': Permission denied");
}

static void
a_target_without_a_name_is_refused(void **state)
{
	(void)state;
	assert_false(write_whole("", 1));
	assert_int_equal(diag_status(&diag), 2);
	assert_no_temporary();
}

static void
an_input_is_no_target_by_whatever_name(void **state)
{
	const char *const inputs[]  = { "job.yaml", "shop.yaml", NULL };
	const char *const targets[] = { "job.yaml", "./job.yaml", "soft", "hard", "shop.yaml", "around/../job.yaml" };

	(void)state;
	put("job.yaml", OLD);
	put("shop.yaml", OLD);
	assert_int_equal(mkdir("around", 0777), 0);
	assert_int_equal(symlink("job.yaml", "soft"), 0);
	assert_int_equal(link("shop.yaml", "hard"), 0);
	for (size_t i = 0; i < sizeof targets / sizeof targets[0]; i++) {
		char said[128];

		snprintf(said, sizeof said, "'%s' is what it is made from; name another file", targets[i]);
		refused_untouched(targets[i], inputs, 2, said);
	}
	assert_holds("job.yaml", OLD);
	assert_holds("shop.yaml", OLD);
}

static void
a_missing_input_does_no_harm(void **state)
{
	const char *const inputs[] = { "absent.yaml", NULL };

	(void)state;
	assert_true(output_open(&output, "beside.nc", inputs, &diag));
	assert_true(output_commit(&output, &diag));
	assert_int_equal(access("beside.nc", F_OK), 0);
}

/* --- what happens halfway --- */

static void
a_write_that_fails_halfway_leaves_the_old_file(void **state)
{
	(void)state;
	put("outgrown.nc", OLD);
	assert_int_equal(in_child(outgrown), 3);
	assert_holds("outgrown.nc", OLD);
	assert_no_temporary();
}

static void
a_target_that_became_a_folder_meanwhile_fails_and_cleans_up(void **state)
{
	(void)state;
	assert_true(output_open(&output, "turned.nc", NO_INPUTS, &diag));
	text_string(&output.text, NEW);
	assert_int_equal(mkdir("turned.nc", 0777), 0);
	assert_false(output_commit(&output, &diag));
	assert_int_equal(diag_status(&diag), 3);
	assert_no_temporary();
}

static void
an_ending_signal_removes_the_temporary_file_and_still_ends_the_program(void **state)
{
	int status;

	(void)state;
	put("signalled.nc", OLD);
	status = in_child(signalled_halfway);
	assert_int_equal(status, -SIGTERM);
	assert_holds("signalled.nc", OLD);
	assert_no_temporary();
}

static void
a_signal_that_was_ignored_stays_ignored(void **state)
{
	(void)state;
	assert_int_equal(in_child(signal_ignored), 0);
	assert_holds("ignored.nc", NEW);
}

static void
a_reader_that_went_away_is_an_error_and_no_signal(void **state)
{
	(void)state;
	assert_int_equal(in_child(reader_gone), 3);
}

/* The temporary file then gets the number of standard output. */
static void
a_file_is_written_even_when_standard_output_is_closed(void **state)
{
	(void)state;
	assert_int_equal(in_child(closed_output), 0);
	assert_holds("closed.nc", NEW);
	assert_no_temporary();
}

int
main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, fresh_start, release)
	const struct CMUnitTest tests[] = {
		TEST(a_new_file_is_there_whole_after_the_commit_and_not_before),
		TEST(a_text_of_many_buffers_is_written_whole),
		TEST(an_empty_file_is_a_file_too),
		TEST(the_umask_decides_about_a_new_file_and_the_old_one_about_its_follower),
		TEST(what_is_abandoned_leaves_the_old_file_and_nothing_else),
		TEST(a_link_stays_and_the_file_it_names_is_replaced),
		TEST(a_dash_and_no_name_are_standard_output),
		TEST(a_pipe_with_a_name_is_written_as_it_comes_and_stays_a_pipe),
		TEST(a_full_device_is_status_3),
		TEST(a_target_that_cannot_be_is_refused_before_anything_is_written),
		TEST(a_target_without_a_name_is_refused),
		TEST(an_input_is_no_target_by_whatever_name),
		TEST(a_missing_input_does_no_harm),
		TEST(a_write_that_fails_halfway_leaves_the_old_file),
		TEST(a_target_that_became_a_folder_meanwhile_fails_and_cleans_up),
		TEST(an_ending_signal_removes_the_temporary_file_and_still_ends_the_program),
		TEST(a_signal_that_was_ignored_stays_ignored),
		TEST(a_reader_that_went_away_is_an_error_and_no_signal),
		TEST(a_file_is_written_even_when_standard_output_is_closed),
	};
#undef TEST

	return cmocka_run_group_tests(tests, folder_make, folder_remove);
}

static bool
write_whole(const char *path, size_t times)
{
	if (!output_open(&output, path, NO_INPUTS, &diag))
		return false;
	while (times-- > 0)
		text_string(&output.text, NEW);
	return output_commit(&output, &diag);
}

static void
refused_untouched(const char *path, const char *const *inputs, int status, const char *said)
{
	diag = (struct diag){ .arena = &arena };
	assert_false(output_open(&output, path, inputs, &diag));
	assert_int_equal(diag_status(&diag), status);
	assert_string_equal(diag.first->text, said);
	assert_null(diag.first->next);
	assert_no_temporary();
}

/* The exit status, or minus the signal that ended it. */
static int
in_child(void (*act)(void))
{
	pid_t process;
	int   status;

	fflush(NULL);
	process = fork();
	assert_true(process >= 0);
	if (process == 0) {
		signal(SIGPIPE, SIG_IGN);
		act();
		_exit(diag_status(&diag));
	}
	assert_int_equal(waitpid(process, &status, 0), process);
	return WIFEXITED(status) ? WEXITSTATUS(status) : -WTERMSIG(status);
}

static void
signalled_halfway(void)
{
	signal(SIGTERM, SIG_DFL);
	if (!output_open(&output, "signalled.nc", NO_INPUTS, &diag))
		return;
	for (size_t i = 0; i < OUTPUT_BUFFER; i++)
		text_string(&output.text, NEW);
	raise(SIGTERM);
}

static void
signal_ignored(void)
{
	signal(SIGHUP, SIG_IGN);
	if (!output_open(&output, "ignored.nc", NO_INPUTS, &diag))
		return;
	text_string(&output.text, NEW);
	raise(SIGHUP);
	output_commit(&output, &diag);
}

static void
reader_gone(void)
{
	int ends[2];

	if (pipe(ends) != 0)
		_exit(99);
	close(ends[0]);
	dup2(ends[1], STDOUT_FILENO);
	write_whole(NULL, 1);
}

static void
outgrown(void)
{
	signal(SIGXFSZ, SIG_IGN);
	setrlimit(RLIMIT_FSIZE, &(struct rlimit){ OUTPUT_BUFFER + 100, OUTPUT_BUFFER + 100 });
	write_whole("outgrown.nc", OUTPUT_BUFFER);
}

static void
closed_output(void)
{
	close(STDOUT_FILENO);
	if (!write_whole("closed.nc", 1) && diag_status(&diag) == 0)
		_exit(99);
}

static void
put(const char *path, const char *text)
{
	FILE *file = fopen(path, "w");

	assert_non_null(file);
	assert_true(fputs(text, file) >= 0);
	assert_int_equal(fclose(file), 0);
}

static void
assert_holds(const char *path, const char *text)
{
	char  found[256];
	FILE *file = fopen(path, "r");

	assert_non_null(file);
	found[fread(found, 1, sizeof found - 1, file)] = '\0';
	fclose(file);
	assert_string_equal(found, text);
}

static void
assert_no_temporary(void)
{
	DIR *here = opendir(".");

	assert_non_null(here);
	for (struct dirent *entry = readdir(here); entry; entry = readdir(here))
		assert_true(strncmp(entry->d_name, ".skimcut-", 9) != 0);
	closedir(here);
}

static int
fresh_start(void **state)
{
	(void)state;
	diag = (struct diag){ .arena = &arena };
	return 0;
}

static int
release(void **state)
{
	(void)state;
	arena_release(&arena);
	arena = (struct arena){ 0 };
	return 0;
}
