#include "skimcut/text.h"

#include <ctype.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

enum { WORD_MAX = 48 };

static bool          make_room(struct text *text);
static size_t        character_size(const unsigned char *c);
static unsigned char second_least(unsigned char first);
static unsigned char second_most(unsigned char first);
static size_t        edits(const char *a, const char *b);
static size_t        least(size_t a, size_t b);

struct text
text_over(char *buffer, size_t capacity)
{
	return (struct text){ .data = buffer, .capacity = capacity };
}

void
text_bytes(struct text *text, const char *bytes, size_t size)
{
	while (size > 0) {
		size_t part = least(text->capacity - text->length, size);

		if (part == 0 && !make_room(text))
			return;
		memcpy(text->data + text->length, bytes, part);
		text->length += part;
		bytes += part;
		size -= part;
	}
}

void
text_string(struct text *text, const char *string)
{
	text_bytes(text, string, strlen(string));
}

void
text_char(struct text *text, char c)
{
	text_bytes(text, &c, 1);
}

void
text_repeat(struct text *text, char c, size_t count)
{
	while (count-- > 0)
		text_char(text, c);
}

void
text_clean(struct text *text, const char *string, size_t columns)
{
	const unsigned char *c = (const unsigned char *)string;

	while (*c && columns > 0) {
		size_t size = character_size(c);

		if (size == 1)
			text_char(text, (char)(*c < ' ' || *c == 127 ? ' ' : *c));
		else
			text_bytes(text, (const char *)c, size);
		columns -= size > 0;
		c += size > 0 ? size : 1;
	}
}

void
text_format(struct text *text, const char *format, ...)
{
	va_list values;

	va_start(values, format);
	text_formatv(text, format, values);
	va_end(values);
}

void
text_formatv(struct text *text, const char *format, va_list values)
{
	char line[1024];
	int  size = vsnprintf(line, sizeof line, format, values);

	if (size < 0) {
		text->failed = true;
		return;
	}
	text_bytes(text, line, least((size_t)size, sizeof line - 1));
}

const char *
text_end(struct text *text)
{
	if (text->capacity == 0)
		return "";
	text->data[least(text->length, text->capacity - 1)] = '\0';
	return text->data;
}

bool
text_flush(struct text *text)
{
	if (text->drain && !text->failed && text->length > 0 && !text->drain(text))
		text->failed = true;
	return !text->failed;
}

struct guess
guess_for(const char *word)
{
	size_t near = strlen(word) / 3;

	return (struct guess){ .word = word, .distance = (near > 0 ? near : 1) + 1 };
}

void
guess_offer(struct guess *guess, const char *candidate)
{
	size_t distance = edits(guess->word, candidate);

	if (distance < guess->distance) {
		guess->distance = distance;
		guess->best     = candidate;
	}
}

/* For one byte at least; only a stream can. */
static bool
make_room(struct text *text)
{
	if (text->failed || !text->drain || !text->drain(text))
		text->failed = true;
	return !text->failed;
}

/* Bytes of the UTF-8 character at c (RFC 3629, section 4); 0: it is none. */
static size_t
character_size(const unsigned char *c)
{
	size_t size = c[0] < 0x80 ? 1 : c[0] < 0xC2 ? 0 : c[0] < 0xE0 ? 2 : c[0] < 0xF0 ? 3 : c[0] < 0xF5 ? 4 : 0;

	for (size_t i = 1; i < size; i++)
		if ((c[i] & 0xC0) != 0x80)
			return 0;
	if (size == 3 && c[0] == 0xEF && c[1] == 0xBF && c[2] >= 0xBE)
		return 0; /* U+FFFE and U+FFFF are no characters: XML 1.0, section 2.2 */
	return size > 1 && (c[1] < second_least(c[0]) || c[1] > second_most(c[0])) ? 0 : size;
}

/* No form longer than needed, and no controls U+0080 to U+009F, which terminals obey. */
static unsigned char
second_least(unsigned char first)
{
	return first == 0xC2 || first == 0xE0 ? 0xA0 : first == 0xF0 ? 0x90 : 0x80;
}

/* No halves of surrogate pairs, nothing above U+10FFFF. */
static unsigned char
second_most(unsigned char first)
{
	return first == 0xED ? 0x9F : first == 0xF4 ? 0x8F : 0xBF;
}

/*
 * Letters inserted, dropped, changed, or swapped with a neighbour, that make b of a, upper and lower case alike: the
 * usual table of distances between beginnings, of which three rows are kept. Words over WORD_MAX letters are never near.
 */
static size_t
edits(const char *a, const char *b)
{
	size_t rows[3][WORD_MAX + 1];
	size_t na = strlen(a), nb = strlen(b);

	if (na > WORD_MAX || nb > WORD_MAX)
		return SIZE_MAX;
	for (size_t j = 0; j <= nb; j++)
		rows[0][j] = j;
	for (size_t i = 1; i <= na; i++) {
		size_t *row = rows[i % 3], *above = rows[(i + 2) % 3], *two_above = rows[(i + 1) % 3];

		row[0] = i;
		for (size_t j = 1; j <= nb; j++) {
			int ca = tolower((unsigned char)a[i - 1]), cb = tolower((unsigned char)b[j - 1]);

			row[j] = least(above[j - 1] + (ca != cb), least(above[j], row[j - 1]) + 1);
			if (i > 1 && j > 1 && ca == tolower((unsigned char)b[j - 2]) &&
			    cb == tolower((unsigned char)a[i - 2]))
				row[j] = least(row[j], two_above[j - 2] + 1);
		}
	}
	return rows[na % 3][nb];
}

static size_t
least(size_t a, size_t b)
{
	return a < b ? a : b;
}
