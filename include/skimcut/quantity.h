/*
 * quantity - what a person writes ("1-1/2 in", "70 %", "3.5 hp") as a whole number of a small unit.
 *
 * Nothing else turns text with a unit into a number. Lengths and speeds are exact or refused: 1/3 in is no whole number of
 * nanometres. Horsepower and pounds-force are rounded to the nearest milliwatt and millinewton, microinches to the nanometre.
 */
#ifndef SKIMCUT_QUANTITY_H
#define SKIMCUT_QUANTITY_H

#include <stdbool.h>
#include <stdint.h>

#include "skimcut/length.h"

struct text;

enum quantity {
	QUANTITY_LENGTH,        /* Length; a bare number is in the file's units */
	QUANTITY_FEED,          /* Speed; a bare number is in in/min or mm/min */
	QUANTITY_CUTTING_SPEED, /* Speed; a bare number is in ft/min or m/min */
	QUANTITY_ROTATION,      /* whole rev/min */
	QUANTITY_RATIO,         /* millionths; 70 % is 700 000, and the sign must stand there */
	QUANTITY_ANGLE,         /* millionths of a degree */
	QUANTITY_POWER,         /* milliwatts; the unit must stand there */
	QUANTITY_FORCE,         /* millinewtons; the unit must stand there */
	QUANTITY_FACTOR,        /* millionths of a number without a unit: 2.5 */
	QUANTITY_COUNT,         /* a whole number of things, no unit */
	QUANTITIES
};

#define RATIO_ONE INT64_C(1000000)

/*
 * Reads the whole of `text`. On failure *value is left alone and `why` gets half a sentence that names what is wrong.
 * `bare` is the unit system of a number without a unit; UNITS_NONE wants every length and speed to name its own.
 */
bool quantity_parse(enum quantity quantity, const char *text, enum units bare, int64_t *value, struct text *why);

/* The units a quantity may be written in, "in, thou, ft, mm, cm, m, um", for messages and the reference page. */
void quantity_units(enum quantity quantity, struct text *out);

#endif
