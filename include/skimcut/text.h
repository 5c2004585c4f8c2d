/*
 * text - characters gathered in a buffer that somebody else owns.
 *
 * A text over a buffer ends where the buffer ends; a text with a `drain` is a stream: when the buffer is full, drain writes
 * it out. What did not fit or could not be written sets `failed`, which stays set: write everything, then look once.
 */
#ifndef SKIMCUT_TEXT_H
#define SKIMCUT_TEXT_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>

struct text {
	char  *data; /* not terminated until text_end */
	size_t length;
	size_t capacity;
	bool (*drain)(
	    struct text *); /* writes data[0, length) out and sets length to 0; NULL: the text is one buffer */
	void *context;      /* drain's own */
	bool  failed;
};

struct text text_over(char *buffer, size_t capacity);

void text_bytes(struct text *text, const char *bytes, size_t size);
void text_string(struct text *text, const char *string);
void text_char(struct text *text, char c);
void text_repeat(struct text *text, char c, size_t count);

/*
 * At most `columns` characters of somebody else's text, fit for a terminal and for paper: control characters become blanks,
 * bytes that are not UTF-8 are dropped.
 */
void text_clean(struct text *text, const char *string, size_t columns);

/* printf's conversions, at most 1023 bytes a call. Nothing here ever sets a locale. */
void text_format(struct text *text, const char *format, ...) __attribute__((format(printf, 2, 3)));
void text_formatv(struct text *text, const char *format, va_list values) __attribute__((format(printf, 2, 0)));

/* Ends the text with a NUL that is not counted, and returns it; what is too long loses its end. Not for streams. */
const char *text_end(struct text *text);

/* Writes a stream's rest out. False when anything ever failed. */
bool text_flush(struct text *text);

/*
 * The best guess at what a misspelt word was meant to be: offer every candidate, then read `best` (NULL: none is near).
 * Near is a third of the word's letters inserted, dropped, changed or swapped with a neighbour, and at least one.
 */
struct guess {
	const char *word;
	const char *best;
	size_t      distance;
};

struct guess guess_for(const char *word);
void         guess_offer(struct guess *guess, const char *candidate);

#endif
