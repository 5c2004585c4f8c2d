/*
 * numeral - what a file may say where a number is wanted, as JSON Schema.
 *
 * A field is a row of a binding table. Memory that is out: as in json.h.
 */
#ifndef SKIMCUT_NUMERAL_H
#define SKIMCUT_NUMERAL_H

#include <stdbool.h>

#include "skimcut/json.h"
#include "skimcut/length.h"

struct field;

/* Its value is a number, or a list of numbers. */
bool numeral_wanted(const struct field *field);

/* It is, and without a unit it means one thing in a file in inches and another in a file in millimetres. */
bool numeral_hangs_on_units(const struct field *field);

/*
 * Both want such a field. What a file may say: a number, a text with a unit, or either, with its limits where they are the same in every
 * file. And the limits of a bare number in a file in these units: where its digits end, a limit is too wide rather than too narrow.
 */
json_t *numeral_json(const struct field *field);
json_t *numeral_limits(const struct field *field, enum units units);

#endif
