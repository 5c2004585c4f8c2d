/*
 * amount - a quantity as JSON: in SI and in the units of a job, side by side.
 *
 * docs/data.md says to how many digits, json.h what happens when memory is out.
 */
#ifndef SKIMCUT_AMOUNT_H
#define SKIMCUT_AMOUNT_H

#include <stdint.h>

#include "skimcut/json.h"
#include "skimcut/length.h"

/* With the unit in which a value is handed over, which is the one that plans are reckoned in. */
enum amount {
	AMOUNT_LENGTH,        /* nm */
	AMOUNT_FEED,          /* nm/min */
	AMOUNT_CUTTING_SPEED, /* nm/min */
	AMOUNT_REMOVAL,       /* mm3/min */
	AMOUNT_FORCE,         /* N */
	AMOUNT_TORQUE,        /* N m */
	AMOUNT_POWER,         /* W */
	AMOUNT_ROUGHNESS,     /* um */
	AMOUNTS
};

/* An object that names the units: of the job, and both of each kind of quantity. */
json_t *amount_units(enum units job);

/* |value| < 2^53. */
json_t *amount_exact(enum amount amount, int64_t value, enum units job);

/* What was computed, if it is known and is a number that ends; else null. */
json_t *amount_known(bool known, enum amount amount, double value, enum units job);

json_t *amount_length(Length length, enum units job);
json_t *amount_point(Length x, Length y, enum units job);
json_t *amount_range(Length from, Length to, enum units job);

/* Of what is 0 where there is none: then null. */
json_t *amount_given(Length length, enum units job);

#endif
