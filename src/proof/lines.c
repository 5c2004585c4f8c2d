#include "skimcut/lines.h"

#include <assert.h>
#include <string.h>

static enum line_state last_line(struct lines *lines, const char **line, size_t *length);
static enum line_state too_long(struct lines *lines, const char **line, size_t *length);
static size_t          least(size_t a, size_t b);

void
lines_feed(struct lines *lines, const char *bytes, size_t size)
{
	assert(lines->next == lines->stop && !lines->ending);
	lines->next = bytes;
	lines->stop = bytes + size;
}

/* A line has its end within limit + 2 characters, CR and LF with it, or is too long. */
enum line_state
lines_next(struct lines *lines, const char **line, size_t *length)
{
	const size_t started = lines->started, rest = (size_t)(lines->stop - lines->next);
	const size_t reach = least(rest, lines->limit + 2 - started);
	const char  *from  = lines->next, *end;
	size_t       all;
	int          last;

	if (rest == 0)
		return lines->ending && started > 0 ? last_line(lines, line, length) : LINE_WAITED_FOR;
	end  = memchr(from, '\n', reach);
	all  = end ? (size_t)(end - from) : reach;
	last = all > 0 ? from[all - 1] : started > 0 ? lines->start[started - 1] : '\0';
	if (started > 0 || !end || all > lines->limit) {
		memcpy(lines->start + started, from, least(all, sizeof lines->start - started));
		from = lines->start;
		all += started;
		if (all > lines->limit + (last == '\r'))
			return too_long(lines, line, length);
	}
	lines->started = end ? 0 : all;
	lines->next    = end ? end + 1 : lines->stop;
	*line          = from;
	*length        = all - (last == '\r');
	return end ? LINE_WHOLE : lines->ending ? last_line(lines, line, length) : LINE_WAITED_FOR;
}

static enum line_state
last_line(struct lines *lines, const char **line, size_t *length)
{
	if (lines->started > lines->limit)
		return too_long(lines, line, length);
	*line          = lines->start;
	*length        = lines->started;
	lines->started = 0;
	return LINE_LAST;
}

static enum line_state
too_long(struct lines *lines, const char **line, size_t *length)
{
	*line   = lines->start;
	*length = lines->limit;
	return LINE_TOO_LONG;
}

static inline size_t
least(size_t a, size_t b)
{
	return a < b ? a : b;
}
