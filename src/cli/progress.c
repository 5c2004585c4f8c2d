#include "progress.h"

#include <time.h>
#include <unistd.h>

#include "skimcut/path.h"
#include "skimcut/text.h"

/* Not worth a line before; then as often as an eye follows. */
static const int64_t FIRST_NS = 1000000000, NEXT_NS = 100000000;

static int64_t now_ns(void);
static int     percent(const struct path *path);
static void    line_write(struct progress *progress, const char *line, size_t columns);

void
progress_begin(struct progress *progress, bool wanted)
{
	*progress = (struct progress){ .wanted = wanted && isatty(STDERR_FILENO) };
	if (progress->wanted)
		progress->due_ns = now_ns() + FIRST_NS;
}

void
progress_show(struct progress *progress, const struct path *path)
{
	size_t      cuts = path->plan->schedule.count;
	char        buffer[80];
	struct text line = text_over(buffer, sizeof buffer);
	int64_t     now;

	if (!progress->wanted)
		return;
	now = now_ns();
	if (now < progress->due_ns)
		return;
	progress->due_ns = now + NEXT_NS;
	text_format(&line, "skimcut: cut %zu of %zu, %d %%", path->cut < cuts ? path->cut + 1 : cuts, cuts,
	            percent(path));
	text_end(&line);
	line_write(progress, buffer, line.length);
}

void
progress_end(struct progress *progress)
{
	if (progress->shown == 0)
		return;
	line_write(progress, "", 0);
	progress->wanted = false;
}

static int64_t
now_ns(void)
{
	struct timespec now = { 0 };

	clock_gettime(CLOCK_MONOTONIC, &now);
	return (int64_t)now.tv_sec * 1000000000 + now.tv_nsec;
}

/* By passes, which are all about as long. */
static int
percent(const struct path *path)
{
	double passes = (double)path->plan->layout.passes, cuts = (double)path->plan->schedule.count;
	double share = ((double)path->cut * passes + (double)path->pass) / (cuts * passes);

	return share < 1 ? (int)(100 * share) : 100;
}

/* Over the last line, whatever of it sticks out wiped, in words that any terminal knows. A write that fails loses nothing. */
static void
line_write(struct progress *progress, const char *line, size_t columns)
{
	char        buffer[256];
	struct text text = text_over(buffer, sizeof buffer);

	text_char(&text, '\r');
	text_string(&text, line);
	if (columns < progress->shown) {
		text_repeat(&text, ' ', progress->shown - columns);
		text_char(&text, '\r');
		text_string(&text, line);
	}
	progress->shown = columns;
	(void)!write(STDERR_FILENO, text.data, text.length);
}
