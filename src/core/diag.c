#include "skimcut/diag.h"

#include <stdint.h>
#include <string.h>

#include "skimcut/arena.h"
#include "skimcut/text.h"

enum { SHOWN_COLUMNS = 100 };

static const char *const SEVERITY_NAMES[] = {
	[SEVERITY_NOTE] = "note",   [SEVERITY_WARNING] = "warning", [SEVERITY_REFUSED] = "refused",
	[SEVERITY_ERROR] = "error", [SEVERITY_SYSTEM] = "error",
};

/* Bold, for those who do not tell the colours apart: red, magenta, cyan. */
static const char *const SEVERITY_COLOURS[] = {
	[SEVERITY_NOTE] = "\33[1;36m",  [SEVERITY_WARNING] = "\33[1;35m", [SEVERITY_REFUSED] = "\33[1;31m",
	[SEVERITY_ERROR] = "\33[1;31m", [SEVERITY_SYSTEM] = "\33[1;31m",
};
static const char COLOUR_OFF[] = "\33[0m";

static void        message_print(const struct message *message, bool colour, const char *program, struct text *out);
static void        severity_print(enum severity severity, bool colour, struct text *out);
static void        caret_print(const struct message *message, bool colour, struct text *out);
static void        paint(const char *word, enum severity severity, bool colour, struct text *out);
static void        character_print(const char *c, const char *next, struct text *out);
static const char *characters_skip(const char *from, const char *end, size_t count);

bool
diag_add(struct diag *diag, enum severity severity, struct place place, const char *format, ...)
{
	char            buffer[1024];
	struct text     text = text_over(buffer, sizeof buffer - 1);
	struct message *message;
	va_list         values;

	if (severity > diag->worst)
		diag->worst = severity;
	if (severity >= SEVERITY_REFUSED && ++diag->errors > DIAG_MAX) {
		diag->dropped++;
		return false;
	}
	va_start(values, format);
	text_formatv(&text, format, values);
	va_end(values);
	message = arena_take(diag->arena, sizeof *message);
	if (!message)
		return diag_no_memory(diag);
	*message = (struct message){ NULL, severity, place, arena_copy(diag->arena, buffer, text.length) };
	if (!message->text)
		return diag_no_memory(diag);
	if (diag->last)
		diag->last->next = message;
	else
		diag->first = message;
	diag->last = message;
	return false;
}

bool
diag_no_memory(struct diag *diag)
{
	diag->no_memory = true;
	return false;
}

void
diag_append(struct diag *diag, const struct diag *more)
{
	diag->errors += more->errors;
	diag->dropped += more->dropped;
	if (more->worst > diag->worst)
		diag->worst = more->worst;
	diag->no_memory |= more->no_memory;
	if (!more->first)
		return;
	if (diag->last)
		diag->last->next = more->first;
	else
		diag->first = more->first;
	diag->last = more->last;
}

int
diag_status(const struct diag *diag)
{
	enum severity worst = diag->no_memory ? SEVERITY_SYSTEM : diag->worst;

	return worst >= SEVERITY_REFUSED ? (int)worst - SEVERITY_REFUSED + 1 : 0;
}

void
diag_print(const struct diag *diag, enum severity least, const char *program, struct text *out)
{
	for (const struct message *message = diag->first; message; message = message->next)
		if (message->severity >= least)
			message_print(message, diag->colour, program, out);
	if (diag->dropped > 0) {
		text_string(out, program);
		severity_print(SEVERITY_ERROR, diag->colour, out);
		text_format(out, "%zu more like these\n", diag->dropped);
	}
	if (diag->no_memory) {
		text_string(out, program);
		severity_print(SEVERITY_SYSTEM, diag->colour, out);
		text_string(out, "out of memory\n");
	}
}

const char *
source_line(const struct source *source, size_t line, size_t *length)
{
	const char *start = source->text, *end, *stop;

	if (!start)
		return NULL;
	end = start + source->length;
	for (; line > 1; line--) {
		while (start < end && *start != '\n' && *start != '\r')
			start++;
		if (start == end)
			return NULL;
		start += start[0] == '\r' && start[1] == '\n' ? 2 : 1;
	}
	for (stop = start; stop < end && *stop != '\n' && *stop != '\r'; stop++)
		;
	*length = (size_t)(stop - start);
	return start;
}

static void
message_print(const struct message *message, bool colour, const char *program, struct text *out)
{
	struct place place = message->place;

	text_clean(out, place.source ? place.source->name : program, SIZE_MAX);
	if (place.source && place.line > 0)
		text_format(out, ":%zu:%zu", place.line, place.column);
	severity_print(message->severity, colour, out);
	text_clean(out, message->text, SIZE_MAX);
	text_char(out, '\n');
	if (place.source && place.line > 0)
		caret_print(message, colour, out);
}

static void
severity_print(enum severity severity, bool colour, struct text *out)
{
	text_string(out, ": ");
	paint(SEVERITY_NAMES[severity], severity, colour, out);
	text_string(out, ": ");
}

/* The line, at most SHOWN_COLUMNS of it with the place inside, control characters as blanks; tabs stay above and below. */
static void
caret_print(const struct message *message, bool colour, struct text *out)
{
	struct place place = message->place;
	size_t       length, column = place.column - 1;
	const char  *line = source_line(place.source, place.line, &length), *end, *stop;

	if (!line)
		return;
	end = line + length;
	if (column >= SHOWN_COLUMNS) {
		line   = characters_skip(line, end, column - SHOWN_COLUMNS / 2);
		column = SHOWN_COLUMNS / 2;
	}
	stop = characters_skip(line, end, SHOWN_COLUMNS);
	text_string(out, "    ");
	for (const char *c = line, *next; c < stop; c = next) {
		next = characters_skip(c, stop, 1);
		character_print(c, next, out);
	}
	text_string(out, "\n    ");
	for (const char *c = line, *caret = characters_skip(line, stop, column); c < caret;
	     c = characters_skip(c, stop, 1))
		text_char(out, *c == '\t' ? '\t' : ' ');
	paint("^", message->severity, colour, out);
	text_char(out, '\n');
}

/* What is no character, or one that a terminal would obey, is a blank, so that the caret stays below its place. */
static void
character_print(const char *c, const char *next, struct text *out)
{
	char        raw[5] = "", clean[5];
	struct text text   = text_over(clean, sizeof clean);

	if ((size_t)(next - c) < sizeof raw)
		memcpy(raw, c, (size_t)(next - c));
	text_clean(&text, raw, 1);
	if (*c == '\t')
		text_char(out, '\t');
	else if (text.length > 0)
		text_bytes(out, clean, text.length);
	else
		text_char(out, ' ');
}

/* UTF-8: a byte 10xxxxxx goes on with the character before it. */
static const char *
characters_skip(const char *from, const char *end, size_t count)
{
	for (; count > 0 && from < end; count--)
		do
			from++;
		while (from < end && ((unsigned char)*from & 0xC0) == 0x80);
	return from;
}

static void
paint(const char *word, enum severity severity, bool colour, struct text *out)
{
	text_string(out, colour ? SEVERITY_COLOURS[severity] : "");
	text_string(out, word);
	text_string(out, colour ? COLOUR_OFF : "");
}
