#include "skimcut/paper.h"

#include <stdarg.h>
#include <stdint.h>

#include "skimcut/markup.h"
#include "skimcut/text.h"

enum { SENTENCES = 1024 };

static void   plain_print(struct text *out, const char *label, const char *words);
static void   markup_print(struct text *out, const char *label, const char *words);
static size_t word_columns(const char *word, size_t *bytes);

void
paper_say(const struct paper *paper, const char *label, const char *format, ...)
{
	char        raw[SENTENCES];
	struct text words = text_over(raw, sizeof raw);
	va_list     values;

	va_start(values, format);
	text_formatv(&words, format, values);
	va_end(values);
	if (paper->kind == PAPER_PLAIN)
		plain_print(paper->out, label, text_end(&words));
	else
		markup_print(paper->out, label, text_end(&words));
}

void
paper_paragraph(struct text *out, const char *label, const char *format, ...)
{
	char        raw[SENTENCES];
	struct text words = text_over(raw, sizeof raw);
	va_list     values;

	va_start(values, format);
	text_formatv(&words, format, values);
	va_end(values);
	plain_print(out, label, text_end(&words));
}

bool
paper_keeps(int64_t index, int64_t count)
{
	return count <= PAPER_ROWS || index < PAPER_KEPT || index >= count - PAPER_KEPT;
}

struct shown
paper_duration(double seconds)
{
	struct shown shown = { "" };
	struct text  text  = text_over(shown.text, sizeof shown.text);
	int64_t      whole = (int64_t)seconds;

	whole += (double)whole < seconds;
	if (whole >= 3600)
		text_format(&text, "%lld:%02d:%02d", (long long)(whole / 3600), (int)(whole / 60 % 60),
		            (int)(whole % 60));
	else
		text_format(&text, "%d:%02d", (int)(whole / 60), (int)(whole % 60));
	text_end(&text);
	return shown;
}

static void
plain_print(struct text *out, const char *label, const char *words)
{
	char        clean[SENTENCES];
	struct text text   = text_over(clean, sizeof clean);
	size_t      column = PAPER_MARGIN, bytes;

	text_clean(&text, words, SIZE_MAX);
	text_format(out, "%-*s", PAPER_MARGIN, label);
	for (const char *word = text_end(&text); *word; word += bytes) {
		size_t columns;

		if (*word == ' ') {
			bytes = 1;
			continue;
		}
		columns = word_columns(word, &bytes);
		if (column > PAPER_MARGIN && column + 1 + columns > PAPER_COLUMNS) {
			text_char(out, '\n');
			text_repeat(out, ' ', PAPER_MARGIN);
			column = PAPER_MARGIN;
		} else if (column > PAPER_MARGIN) {
			text_char(out, ' ');
			column++;
		}
		text_bytes(out, word, bytes);
		column += columns;
	}
	text_char(out, '\n');
}

static void
markup_print(struct text *out, const char *label, const char *words)
{
	if (*label) {
		text_string(out, "<dt>");
		markup_text(out, label);
		text_string(out, "</dt>\n");
	}
	text_string(out, "<dd>");
	markup_text(out, words);
	text_string(out, "</dd>\n");
}

/* Up to the next blank, at most a line's worth; bytes 10xxxxxx of UTF-8 take no column. */
static size_t
word_columns(const char *word, size_t *bytes)
{
	size_t columns = 0, size = 0;

	while (word[size] && word[size] != ' ') {
		bool starts = ((unsigned char)word[size] & 0xC0) != 0x80;

		if (starts && columns == PAPER_COLUMNS - PAPER_MARGIN)
			break;
		columns += starts;
		size++;
	}
	*bytes = size;
	return columns;
}
