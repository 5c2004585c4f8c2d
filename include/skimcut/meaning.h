/*
 * meaning - what the codes and the numbers of one block mean in a language, one dialect's part of RS-274.
 *
 * A word that the language lacks, or that nobody here reads, is a fault, and so are two codes of one modal group.
 */
#ifndef SKIMCUT_MEANING_H
#define SKIMCUT_MEANING_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "skimcut/block.h"
#include "skimcut/length.h"

/* Of a program in these units. */
struct digits {
	int whole, decimals; /* of coordinates */
	int feed_whole, feed_decimals;
};

enum figures {
	FIGURES_POINT,       /* 1.5 */
	FIGURES_ALL_DIGITS,  /* 0015000: digits.whole and digits.decimals of them */
	FIGURES_NO_LEADING,  /* 15000 */
	FIGURES_NO_TRAILING, /* 0015 */
};

/* What a program may say, as its dialect has it. Without a point only figures of 0 are clear, unless bare_is_whole. */
struct language {
	const char          *name;
	enum figures         figures;
	bool                 bare_is_whole; /* X12 is 12 units, as NISTIR 6556 has it; else it is a fault */
	struct digits        mm, inch;
	Length               grid_mm, grid_inch; /* an arc's radii may differ by two of them */
	int                  g_mm, g_inch;       /* tenths: 210 and 200, or 710 and 700 */
	unsigned char        g[1000];            /* 1: a G code in tenths that may stand in a program */
	unsigned char        m[100];
	unsigned             letters; /* 1 << (letter - 'A'), G and M aside */
	struct comment_marks comment;
	size_t               longest; /* characters in a line, its end not counted; over LINE_MAX_LENGTH it is that */
	int                  work_offset; /* 54 to 59, the job's; any other is a fault */
};

/* NISTIR 6556, table 4: at most one code of a group in a block. */
enum group {
	GROUP_NONE, /* not read */
	GROUP_ONCE, /* G4 G28 G30 G53 */
	GROUP_MOTION,
	GROUP_PLANE,
	GROUP_DISTANCE,
	GROUP_FEED_MODE,
	GROUP_UNITS,
	GROUP_RADIUS,
	GROUP_LENGTH,
	GROUP_OFFSET,
	GROUP_STOP,
	GROUP_TOOL,
	GROUP_SPINDLE,
	GROUP_COOLANT,
	GROUPS
};

/* The codes of one block, of the groups that are in `told`. */
struct orders {
	unsigned             told;          /* 1 << enum group */
	int                  codes[GROUPS]; /* of G in tenths */
	const struct number *words[GROUPS];
};

/*
 * Every letter and every code, and whether each letter stands beside the code it belongs to. `motion` is the one in force, in
 * tenths of G.
 */
bool orders_gather(const struct language *language, const struct block *block, int motion, struct orders *orders,
                   struct fault *fault);

bool orders_have(const struct orders *orders, enum group group);

/* G20 and G70 are inches, G21 and G71 millimetres, whatever a dialect says; a code of its own is what it says. */
bool units_read(const struct language *language, const struct number *word, int code, enum units *units,
                struct fault *fault);

/* Coordinates to the nearest nanometre, |value| <= LENGTH_MAX; without units a fault. */
bool length_read(const struct language *language, enum units units, char letter, const struct number *word,
                 Length *value, struct fault *fault);

/* 0 < feed <= 1000 m/min. */
bool feed_read(const struct language *language, enum units units, const struct number *word, Speed *feed,
               struct fault *fault);

/* A whole number from 0 to `most`; 1000.0 is one. */
bool whole_read(char letter, const struct number *word, int64_t most, int64_t *value, struct fault *fault);

#endif
