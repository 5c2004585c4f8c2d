#include "skimcut/amount.h"

#include <math.h>

#include "skimcut/job.h"

static double of_one(enum amount amount, enum units job);

/*
 * Divisors, by which what the plan reckons in becomes these: a quotient of whole numbers is rounded only once. 1 in = 25.4 mm, 1 lbf =
 * 4.4482216152605 N, 1 hp = 550 lbf ft/s.
 */
static const struct {
	const char *key, *si, *mm, *inch;
	double      per_si, per_mm, per_inch;
} KINDS[AMOUNTS] = {
	[AMOUNT_LENGTH]        = { "length", "m", "mm", "in", 1e9, 1e6, 25.4e6 },
	[AMOUNT_FEED]          = { "feed", "m/s", "mm/min", "in/min", 60e9, 1e6, 25.4e6 },
	[AMOUNT_CUTTING_SPEED] = { "cutting_speed", "m/s", "m/min", "ft/min", 60e9, 1e9, 304.8e6 },
	[AMOUNT_REMOVAL]       = { "removal", "m3/s", "cm3/min", "in3/min", 60e9, 1e3, 16387.064 },
	[AMOUNT_FORCE]         = { "force", "N", "N", "lbf", 1, 1, 4.4482216152605 },
	[AMOUNT_TORQUE]        = { "torque", "N m", "N m", "lbf ft", 1, 1, 1.3558179483314004 },
	[AMOUNT_POWER]         = { "power", "W", "kW", "hp", 1, 1000, 745.69987158227022 },
	[AMOUNT_ROUGHNESS]     = { "roughness", "m", "um", "uin", 1e6, 1, 0.0254 },
};

json_t *
amount_units(enum units job)
{
	const struct member of_job[] = { { "job", json_string(job_word(UNITS_WORDS, (int)job)) }, JSON_END };
	json_t             *units    = json_make(of_job);

	for (int i = 0; i < AMOUNTS; i++) {
		const char *name = job == UNITS_INCH ? KINDS[i].inch : KINDS[i].mm;

		units = json_with(units, KINDS[i].key,
		                  json_make((const struct member[]){
				      { "si", json_string(KINDS[i].si) }, { "job", json_string(name) }, JSON_END }));
	}
	return units;
}

/*
 * A whole number below 2^53, divided once: the double nearest to the quotient, of which the fifteen digits printed are right. In
 * metres a length has no more than eleven.
 */
json_t *
amount_exact(enum amount amount, int64_t value, enum units job)
{
	return json_make((const struct member[]){
	    { "si", json_real((double)value / KINDS[amount].per_si) },
	    { "job", json_real((double)value / of_one(amount, job)) },
	    JSON_END,
	});
}

json_t *
amount_known(bool known, enum amount amount, double value, enum units job)
{
	if (!known || !isfinite(value))
		return json_null();
	return json_make((const struct member[]){
	    { "si", json_figure(value / KINDS[amount].per_si) },
	    { "job", json_figure(value / of_one(amount, job)) },
	    JSON_END,
	});
}

json_t *
amount_length(Length length, enum units job)
{
	return amount_exact(AMOUNT_LENGTH, length, job);
}

json_t *
amount_point(Length x, Length y, enum units job)
{
	return json_make(
	    (const struct member[]){ { "x", amount_length(x, job) }, { "y", amount_length(y, job) }, JSON_END });
}

json_t *
amount_range(Length from, Length to, enum units job)
{
	return json_make((const struct member[]){
	    { "from", amount_length(from, job) }, { "to", amount_length(to, job) }, JSON_END });
}

json_t *
amount_given(Length length, enum units job)
{
	return length != 0 ? amount_length(length, job) : json_null();
}

static double
of_one(enum amount amount, enum units job)
{
	return job == UNITS_INCH ? KINDS[amount].per_inch : KINDS[amount].per_mm;
}
