/*
 * reading - a reader of program text for the outside checks alone. It shares nothing with src/: it takes the text apart its
 * own way, in floating point, and knows just what the shipped dialects write. Arcs are not among that: no plan has any.
 */
#ifndef SKIMCUT_TESTS_READING_H
#define SKIMCUT_TESTS_READING_H

#include <ctype.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* From and to in millimetres from the program's zero; NAN while nobody knows. */
struct move {
	bool   rapid;
	double from[3], to[3];
	double feed;
};

struct moves {
	struct move *items;
	size_t       count, room;
	bool         unknown; /* a word that this reader does not know */
};

/*
 * A sign, digits, a point, digits: one digit at least, and none of strtod's exponents, 0X or blanks. Returns where it ends;
 * NULL: it is no number.
 */
static inline const char *
number_read(const char *text, double *value)
{
	const char *c      = text + (*text == '+' || *text == '-');
	size_t      digits = 0;
	double      place  = 0;

	*value = 0;
	for (; isdigit((unsigned char)*c) || (*c == '.' && place == 0); c++) {
		if (*c == '.') {
			place = 1;
			continue;
		}
		*value = 10 * *value + (*c - '0');
		place *= 10;
		digits++;
	}
	if (place > 1)
		*value /= place;
	if (*text == '-')
		*value = -*value;
	return digits > 0 ? c : NULL;
}

/* Plane, units, nothing compensated but the tool's length, no cycle, absolute, feed per minute, a work offset. */
static inline bool
is_set_up(double g)
{
	static const double SET_UP[] = { 17, 20, 21, 40, 43, 49, 54, 55, 56, 57, 58, 59, 70, 71, 80, 90, 94 };

	for (size_t i = 0; i < sizeof SET_UP / sizeof SET_UP[0]; i++)
		if (g == SET_UP[i])
			return true;
	return false;
}

/* `fixed`: numbers have no point and count thousandths of a millimetre or ten-thousandths of an inch. */
static inline struct moves
moves_read(const char *text, bool fixed)
{
	struct moves moves = { 0 };
	double       at[3] = { NAN, NAN, NAN }, unit = 1, feed = NAN;
	int          motion = -1;

	for (const char *line = text; *line; line += strcspn(line, "\n"), line += *line == '\n') {
		double to[3] = { at[0], at[1], at[2] };
		bool   moved = false, comment = false;

		for (const char *c = line; *c && *c != '\n';) {
			char        letter = *c++;
			const char *behind;
			double      value;

			if (letter == '(' || comment) {
				comment = letter != ')';
				continue;
			}
			if (strchr("% \r", letter))
				continue;
			behind = number_read(c, &value);
			if (!behind) {
				moves.unknown = true;
				continue;
			}
			c = behind;
			switch (letter) {
			case 'G':
				if (value == 0 || value == 1)
					motion = (int)value;
				else if (value == 20 || value == 70)
					unit = 25.4;
				else if (!is_set_up(value))
					moves.unknown = true;
				break;
			case 'X':
			case 'Y':
			case 'Z':
				to[letter - 'X'] = value * unit / (fixed ? unit == 1 ? 1000 : 10000 : 1);
				moved            = true;
				break;
			case 'F': feed = value * unit; break;
			case 'N':
			case 'M':
			case 'S':
			case 'T':
			case 'H': break;
			default: moves.unknown = true; break;
			}
		}
		if (!moved)
			continue;
		moves.unknown |= motion < 0;
		if (moves.count == moves.room) {
			moves.room  = moves.room ? 2 * moves.room : 256;
			moves.items = realloc(moves.items, moves.room * sizeof *moves.items);
			if (!moves.items)
				abort();
		}
		moves.items[moves.count++] = (struct move){ .rapid = motion == 0,
			                                    .from  = { at[0], at[1], at[2] },
			                                    .to    = { to[0], to[1], to[2] },
			                                    .feed  = feed };
		memcpy(at, to, sizeof at);
	}
	return moves;
}

#endif
