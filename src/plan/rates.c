#include "skimcut/rates.h"

#include <assert.h>
#include <math.h>

static int64_t spindle_fit(int64_t wanted, const struct spindle *spindle, unsigned *limits);
static int64_t step_down(int64_t wanted, const struct numbers *speeds, unsigned *limits);

static const double PI = 3.14159265358979323846;

/* Below this the edge rubs more than it cuts; common practice, no source. */
static const Length SKIM_FEED_LEAST = LENGTH_MM / 20;

struct rates
rates_find(Speed vc, Length fz, Length diameter, int64_t teeth, const struct machine *machine, Speed feed_step)
{
	struct rates rates = { 0 };

	assert(vc > 0 && fz > 0 && diameter > 0 && teeth > 0 && feed_step > 0);
	rates.wanted_rpm = (int64_t)floor((double)vc / (PI * (double)diameter));
	if (rates.wanted_rpm < 1)
		rates.wanted_rpm = 1;
	rates.rpm = spindle_fit(rates.wanted_rpm, &machine->spindle, &rates.limits);
	assert(rates.rpm > 0);
	rates.vc = (Speed)floor(PI * (double)diameter * (double)rates.rpm + 0.5);
	rates.vf = fz * teeth * rates.rpm;
	if (machine->feeds.max > 0 && rates.vf > machine->feeds.max) {
		rates.vf = machine->feeds.max;
		rates.limits |= RATE_FEED_MAX;
	}
	rates.vf = length_down(rates.vf, feed_step);
	rates.fz = rates.vf / (teeth * rates.rpm);
	if (rates.vf == 0)
		rates.limits |= RATE_FEED_ZERO;
	return rates;
}

Length
rates_skim_fz(Length rough_fz)
{
	Length half = rough_fz / 2;

	if (half >= SKIM_FEED_LEAST)
		return half;
	return rough_fz < SKIM_FEED_LEAST ? rough_fz : SKIM_FEED_LEAST;
}

static int64_t
spindle_fit(int64_t wanted, const struct spindle *spindle, unsigned *limits)
{
	int64_t rpm = wanted;

	if (spindle->max_rpm > 0 && rpm > spindle->max_rpm) {
		rpm = spindle->max_rpm;
		*limits |= RATE_SPINDLE_MAX;
	}
	if (spindle->speeds.count > 0)
		return step_down(rpm, &spindle->speeds, limits);
	if (rpm < spindle->min_rpm) {
		rpm = spindle->min_rpm;
		*limits |= RATE_SPINDLE_MIN;
	}
	return rpm;
}

/* The fastest step that is no faster than wanted; the slowest of all when every one is. */
static int64_t
step_down(int64_t wanted, const struct numbers *speeds, unsigned *limits)
{
	int64_t below = 0, slowest = speeds->values[0];

	for (size_t i = 0; i < speeds->count; i++) {
		int64_t speed = speeds->values[i];

		if (speed <= wanted && speed > below)
			below = speed;
		if (speed < slowest)
			slowest = speed;
	}
	if (below == 0) {
		*limits |= RATE_SPINDLE_MIN;
		return slowest;
	}
	if (below < wanted)
		*limits |= RATE_SPINDLE_STEP;
	return below;
}
