#include <fcntl.h>
#include <poll.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <termios.h>
#include <time.h>
#include <unistd.h>

#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>

#include <cmocka.h>

#include "progress.h"

#include "skimcut/path.h"

/* The clock of progress.c is this one: it stands still until a test moves it. */
static int64_t clock_ms;
static int     looks;

int __wrap_clock_gettime(clockid_t clock, struct timespec *now);

int
__wrap_clock_gettime(clockid_t clock, struct timespec *now)
{
	(void)clock;
	looks++;
	*now = (struct timespec){ clock_ms / 1000, clock_ms % 1000 * 1000000 };
	return 0;
}

/* What standard error is while a test looks at it: a terminal's or a pipe's other end. */
static int  master = -1, error_before = -1;
static char said[8192];

static void
terminal_begin(void)
{
	struct termios state;
	int            slave;

	master = posix_openpt(O_RDWR | O_NOCTTY);
	assert_true(master >= 0 && grantpt(master) == 0 && unlockpt(master) == 0);
	slave = open(ptsname(master), O_RDWR | O_NOCTTY);
	assert_true(slave >= 0 && tcgetattr(slave, &state) == 0);
	state.c_oflag &= ~(tcflag_t)OPOST;
	assert_int_equal(tcsetattr(slave, TCSANOW, &state), 0);
	error_before = dup(STDERR_FILENO);
	dup2(slave, STDERR_FILENO);
	close(slave);
}

static void
pipe_begin(void)
{
	int ends[2];

	assert_int_equal(pipe(ends), 0);
	master       = ends[0];
	error_before = dup(STDERR_FILENO);
	dup2(ends[1], STDERR_FILENO);
	close(ends[1]);
}

/* What has been said since the last time. A terminal passes it on in its own time, so silence is a while without anything. */
static const char *
heard(void)
{
	struct pollfd wait = { master, POLLIN, 0 };
	size_t        size = 0;

	while (size < sizeof said - 1 && poll(&wait, 1, 50) > 0) {
		ssize_t part = read(master, said + size, sizeof said - 1 - size);

		if (part <= 0)
			break;
		size += (size_t)part;
	}
	said[size] = '\0';
	return said;
}

static void
error_restore(void)
{
	dup2(error_before, STDERR_FILENO);
	close(error_before);
	close(master);
}

/* What a reader sees in the end of one line: a carriage return goes back to its beginning. */
static const char *
seen(const char *bytes)
{
	static char line[256];
	size_t      column = 0, width = 0;

	for (; *bytes; bytes++) {
		if (*bytes == '\r') {
			column = 0;
			continue;
		}
		assert_true(*bytes >= ' ' && column < 80);
		line[column++] = *bytes;
		width          = column > width ? column : width;
	}
	while (width > 0 && line[width - 1] == ' ')
		width--;
	line[width] = '\0';
	return line;
}

static struct plan plan;

static struct path
path_at(size_t cut, int64_t pass)
{
	plan.schedule.count = 40;
	plan.layout.passes  = 50;
	return (struct path){ .plan = &plan, .cut = cut, .pass = pass };
}

static void
nothing_is_said_within_a_second_and_then_where_it_is(void **state)
{
	struct progress progress;
	struct path     path = path_at(17, 25);
	char            early[16], line[256];

	(void)state;
	clock_ms = 123456;
	terminal_begin();
	progress_begin(&progress, true);
	for (int i = 0; i < 1000; i++, clock_ms++)
		progress_show(&progress, &path);
	snprintf(early, sizeof early, "%s", heard());
	progress_show(&progress, &path);
	snprintf(line, sizeof line, "%s", heard());
	progress_end(&progress);
	error_restore();
	assert_string_equal(early, "");
	assert_string_equal(seen(line), "skimcut: cut 18 of 40, 43 %");
}

static void
it_says_the_cut_and_the_share_of_passes_done(void **state)
{
	static const struct {
		size_t      cut;
		int64_t     pass;
		const char *line;
	} CASES[] = {
		{ 0, 0, "skimcut: cut 1 of 40, 0 %" },      { 0, 19, "skimcut: cut 1 of 40, 0 %" },
		{ 0, 20, "skimcut: cut 1 of 40, 1 %" },     { 0, 50, "skimcut: cut 1 of 40, 2 %" },
		{ 20, 0, "skimcut: cut 21 of 40, 50 %" },   { 39, 49, "skimcut: cut 40 of 40, 99 %" },
		{ 39, 50, "skimcut: cut 40 of 40, 100 %" }, { 40, 50, "skimcut: cut 40 of 40, 100 %" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		struct progress progress;
		struct path     path = path_at(CASES[i].cut, CASES[i].pass);
		char            line[256];

		terminal_begin();
		progress_begin(&progress, true);
		clock_ms += 1000;
		progress_show(&progress, &path);
		snprintf(line, sizeof line, "%s", heard());
		progress_end(&progress);
		error_restore();
		assert_string_equal(seen(line), CASES[i].line);
	}
}

static void
the_line_changes_at_most_ten_times_a_second(void **state)
{
	struct progress progress;
	size_t          lines = 0;

	(void)state;
	terminal_begin();
	progress_begin(&progress, true);
	for (int i = 0; i < 4000; i++, clock_ms++) {
		struct path path = path_at((size_t)i / 100, i % 50);

		progress_show(&progress, &path);
	}
	for (const char *c = heard(); *c; c++)
		lines += *c == 's';
	progress_end(&progress);
	error_restore();
	assert_in_range(lines, 29, 30);
}

static void
the_line_is_wiped_whole_and_once(void **state)
{
	struct progress progress;
	struct path     first = path_at(8, 0), last = path_at(39, 50);
	char            all[8192];

	(void)state;
	terminal_begin();
	progress_begin(&progress, true);
	clock_ms += 1000;
	progress_show(&progress, &last);
	clock_ms += 100;
	progress_show(&progress, &first);
	snprintf(all, sizeof all, "%s", heard());
	error_restore();
	assert_string_equal(seen(all), "skimcut: cut 9 of 40, 20 %");

	terminal_begin();
	progress_end(&progress);
	snprintf(all + strlen(all), sizeof all - strlen(all), "%s", heard());
	progress_end(&progress);
	assert_string_equal(heard(), "");
	error_restore();
	assert_string_equal(seen(all), "");
	assert_int_equal(all[strlen(all) - 1], '\r');
}

static void
without_a_terminal_or_a_wish_the_clock_is_left_alone(void **state)
{
	(void)state;
	for (int terminal = 0; terminal < 2; terminal++) {
		struct progress progress;
		struct path     path = path_at(3, 3);
		char            all[16];

		if (terminal)
			terminal_begin();
		else
			pipe_begin();
		looks = 0;
		progress_begin(&progress, !terminal);
		clock_ms += 5000;
		progress_show(&progress, &path);
		progress_end(&progress);
		snprintf(all, sizeof all, "%s", heard());
		error_restore();
		assert_string_equal(all, "");
		assert_int_equal(looks, 0);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(nothing_is_said_within_a_second_and_then_where_it_is),
		cmocka_unit_test(it_says_the_cut_and_the_share_of_passes_done),
		cmocka_unit_test(the_line_changes_at_most_ten_times_a_second),
		cmocka_unit_test(the_line_is_wiped_whole_and_once),
		cmocka_unit_test(without_a_terminal_or_a_wish_the_clock_is_left_alone),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
