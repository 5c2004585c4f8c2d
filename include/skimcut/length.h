/*
 * length - exactly: a whole number of nanometres, |Length| <= LENGTH_MAX.
 *
 * 1 in = 25.4 mm by definition, so every inch, thou and 1/64 in that a shop speaks of is a whole number too. A speed is a
 * Length per minute: a feed per tooth times teeth times rev/min is exact. No floating point touches either.
 */
#ifndef SKIMCUT_LENGTH_H
#define SKIMCUT_LENGTH_H

#include <stddef.h>
#include <stdint.h>

typedef int64_t Length; /* nm */
typedef int64_t Speed;  /* nm/min: table feeds and cutting speeds */

#define LENGTH_MM   INT64_C(1000000)
#define LENGTH_INCH INT64_C(25400000)
#define LENGTH_FOOT (12 * LENGTH_INCH)
#define LENGTH_MAX  (10000 * LENGTH_MM)

enum units { UNITS_NONE, UNITS_MM, UNITS_INCH };

/* A point or a displacement; X along the stock's length, Y along its width away from the operator, Z up. */
struct point {
	Length x, y, z;
};

/* Whole multiples of `step` > 0: the nearest at or below x, at or above x, and the nearest (halves away from zero). */
Length length_down(Length x, Length step);
Length length_up(Length x, Length step);
Length length_near(Length x, Length step);

/* One inch or one millimetre; and the words for it. */
Length      units_length(enum units units);
const char *units_name(enum units units);

enum { DECIMAL_MAX = 32 };

/*
 * value / unit with `decimals` digits (0 to 9) behind the point, rounded to the nearest, halves away from zero; rounding
 * comes before the sign, so nothing prints as -0.000. Returns the characters written, less the NUL.
 * Wants |value| * 10^decimals < 2^62 and unit > 0.
 */
size_t decimal_print(char out[DECIMAL_MAX], int64_t value, int64_t unit, int decimals);

/* A number made to be dropped into a message: length_show(x, units).text lives to the end of the full expression. */
struct shown {
	char text[DECIMAL_MAX + 8];
};

struct shown length_show(Length x, enum units units); /* "0.05 in": as short as it can be told */
struct shown length_figure(Length     x,
                           enum units units);         /* "0.0500": a column's worth: four places of inch, three of mm */
struct shown feed_show(Speed feed, enum units units); /* "11.4 in/min" */
struct shown cutting_show(Speed speed, enum units units); /* "394 ft/min" */

#endif
