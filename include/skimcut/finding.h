/*
 * finding - the ten properties that a program is proved to have, and what was found about each.
 */
#ifndef SKIMCUT_FINDING_H
#define SKIMCUT_FINDING_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "skimcut/length.h"

enum property {
	PROPERTY_FACE,     /* the whole face is swept at its final height */
	PROPERTY_FLOOR,    /* nothing is cut below it */
	PROPERTY_CUTS,     /* no cut is deeper or wider than allowed, the last one is the skim */
	PROPERTY_RAPIDS,   /* no rapid meets material */
	PROPERTY_DESCENTS, /* no descent onto material */
	PROPERTY_HOLDING,  /* the cutter never meets jaw, parallel, clamp, or what the stock stands on */
	PROPERTY_SWITCHES, /* spindle turning and a feed set before any cut; spindle and coolant off before stops and the end */
	PROPERTY_MILLING, /* the milling direction is the one asked for */
	PROPERTY_MACHINE, /* within the machine's travel, speeds and feeds, and no faster than the job's */
	PROPERTY_WORDS,   /* every word is one that the dialect may contain */
	PROPERTIES
};

/* In a few words, for a person; in one, for a program. */
extern const char *const PROPERTY_NAMES[PROPERTIES];
extern const char *const PROPERTY_KEYS[PROPERTIES];

enum found { FOUND_HOLDS, FOUND_REFUSED, FOUND_OPEN };

enum { FINDING_TEXT = 240 };

struct finding {
	enum found   found;
	size_t       line, column; /* of the first refusal; 0: of the program as a whole */
	uint64_t     count;        /* of refusals */
	bool         placed;       /* `at` is known */
	struct point at;           /* in the program's own coordinates */
	Length       amount;       /* how much too deep, too high and so on; 0 where no length tells it */
	char         text[FINDING_TEXT];
};

/* All ten, and what goes with a refusal: the line at hand, and how a place is told. */
struct findings {
	struct finding of[PROPERTIES];
	size_t         line;
	enum units     units;
	struct point   zero; /* the program's, in the stock's frame */
};

/*
 * Another refusal of a property. Kept is the first line's, and of several there that with the largest amount. `at` is in the stock's frame, NULL: nowhere. Where it is goes
 * behind the text.
 */
void findings_refuse(struct findings *findings, enum property property, const struct point *at, Length amount,
                     const char *format, ...) __attribute__((format(printf, 5, 6)));

#endif
