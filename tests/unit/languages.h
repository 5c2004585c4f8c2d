/*
 * languages - dialects made by hand, for the tests and the fuzzing of what reads a program.
 */
#ifndef SKIMCUT_TESTS_LANGUAGES_H
#define SKIMCUT_TESTS_LANGUAGES_H

#include <string.h>

#include "skimcut/meaning.h"

#define LETTER(letter) (1u << ((letter) - 'A'))

enum tongue {
	TONGUE_POINT,    /* all that is read at all; numbers have a point */
	TONGUE_BARE,     /* the same, and X12 is 12 units */
	TONGUE_LEADING,  /* no point, leading zeros are dropped; G70 G71; few words */
	TONGUE_TRAILING, /* the same with trailing zeros */
	TONGUE_ALL,      /* every digit is written */
	TONGUE_SMALL,    /* comments in braces, lines of 40 characters, zero G55, few words */
	TONGUES
};

static inline struct language
language_by_hand(enum tongue tongue)
{
	static const int      G[]     = { 0,   10,  20,  30,  40,  170, 200, 210, 280, 300, 400, 430,
		                          490, 530, 540, 550, 560, 570, 580, 590, 800, 900, 910, 940 };
	static const int      FEW_G[] = { 0, 10, 170, 400, 800, 900, 940 }, M[] = { 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 30 };
	static const unsigned FEW = LETTER('X') | LETTER('Y') | LETTER('Z') | LETTER('F') | LETTER('N') | LETTER('S') |
	                            LETTER('T');
	static const char *const  NAMES[]   = { "point", "bare", "leading", "trailing", "all", "small" };
	static const enum figures FIGURES[] = { FIGURES_POINT,       FIGURES_POINT,      FIGURES_NO_LEADING,
		                                FIGURES_NO_TRAILING, FIGURES_ALL_DIGITS, FIGURES_POINT };

	struct language language = {
		.name          = NAMES[tongue],
		.figures       = FIGURES[tongue],
		.bare_is_whole = tongue == TONGUE_BARE,
		.mm            = { 4, 3, 4, 0 },
		.inch          = { 3, 4, 3, 1 },
		.grid_mm       = LENGTH_MM / 1000,
		.grid_inch     = LENGTH_INCH / 10000,
		.g_mm          = 210,
		.g_inch        = 200,
		.comment       = { "(", ")" },
		.longest       = 253,
		.work_offset   = 54,
	};

	if (tongue == TONGUE_POINT || tongue == TONGUE_BARE) {
		for (size_t i = 0; i < sizeof G / sizeof G[0]; i++)
			language.g[G[i]] = 1;
		language.letters = FEW | LETTER('I') | LETTER('J') | LETTER('R') | LETTER('H') | LETTER('P') |
		                   LETTER('O');
	} else {
		for (size_t i = 0; i < sizeof FEW_G / sizeof FEW_G[0]; i++)
			language.g[FEW_G[i]] = 1;
		language.letters = FEW;
		language.g_mm    = 710;
		language.g_inch  = 700;
	}
	for (size_t i = 0; i < sizeof M / sizeof M[0]; i++)
		language.m[M[i]] = 1;
	if (tongue == TONGUE_SMALL) {
		language.comment     = (struct comment_marks){ "{", "}" };
		language.longest     = 40;
		language.work_offset = 55;
		language.g[540] = language.g[550] = 1;
	}
	return language;
}

#endif
