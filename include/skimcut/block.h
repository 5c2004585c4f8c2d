/*
 * block - one line of a program, split into its words; nothing is known yet of what they do.
 *
 * NISTIR 6556, 3.3: letters of either case, blanks anywhere, even inside a number, comments in parentheses that do not nest; and
 * what other controllers take beside it: a comment behind a semicolon, an O word at the start. Anything else is a fault.
 */
#ifndef SKIMCUT_BLOCK_H
#define SKIMCUT_BLOCK_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "skimcut/length.h"

enum { FAULT_TEXT = 200 };

/* What a program says that it may not. Line and column count from 1. */
struct fault {
	size_t line, column;
	char   text[FAULT_TEXT]; /* one sentence without its full stop */
};

/* +-whole.fraction as it was written. At most 15 digits before the point and 15 behind. */
struct number {
	int64_t  whole;    /* >= 0 */
	int64_t  fraction; /* in units of 1e-15, >= 0 */
	int      digits;   /* before the point, or all there are */
	int      decimals; /* behind it */
	bool     negative, point;
	unsigned column; /* of the letter */
};

enum { BLOCK_CODES = 16, BLOCK_M_CODES = 4 };

struct block {
	bool          empty;   /* nothing but blanks and comments */
	bool          percent; /* % alone */
	bool          deleted; /* begins with / */
	unsigned      present; /* 1 << (letter - 'A'): the letters told, G and M included */
	struct number words[26];
	struct number g[BLOCK_CODES], m[BLOCK_M_CODES];
	size_t        g_count, m_count;
};

/* A comment that a dialect has beside ( ) and ;. `close` "": up to the end of the line. */
struct comment_marks {
	const char *open, *close; /* open NULL: none */
};

/* `line` without its end. False: fault has the column and what is wrong there, its line is the caller's. */
bool block_split(const char *line, size_t length, const struct comment_marks *marks, struct block *block,
                 struct fault *fault);

/* The letter's number, of G and M the first; NULL when it was not told. */
const struct number *block_word(const struct block *block, char letter);

/* Of these letters (1 << (letter - 'A')), some of which are told, the one that stands first. */
char block_first(const struct block *block, unsigned letters);

/* As it stands in the program, less its blanks and a plus sign: "X-1.50". */
struct shown word_show(char letter, const struct number *word);

/*
 * These return false, so that a refusal can be `return fault_say(...)`. word_fault puts the word before the text; block_fault
 * points at the first of these letters.
 */
bool fault_say(struct fault *fault, size_t column, const char *format, ...) __attribute__((format(printf, 3, 4)));
bool word_fault(struct fault *fault, char letter, const struct number *word, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
bool block_fault(struct fault *fault, const struct block *block, unsigned letters, const char *text);

#endif
