#include "skimcut/dial.h"

#include "skimcut/text.h"

static Speed setting_find(const struct numbers *rates, Speed vf, Speed least, Speed most);
static Speed apart(Speed a, Speed b);

struct reading
dial_read(const struct dial *dial, Length from_zero)
{
	Length         way = from_zero < 0 ? -from_zero : from_zero, rest = way % dial->per_turn;
	struct reading reading = { .back = from_zero < 0, .turns = way / dial->per_turn };

	reading.tenths = 10 * rest / dial->graduation;
	reading.back &= reading.turns > 0 || reading.tenths > 0;
	return reading;
}

struct shown
dial_show(const struct reading *reading)
{
	struct shown shown = { "" };
	struct text  text  = text_over(shown.text, sizeof shown.text);

	text_format(&text, "%lld %s + %lld", (long long)reading->turns, reading->turns == 1 ? "turn" : "turns",
	            (long long)(reading->tenths / 10));
	if (reading->tenths % 10 > 0)
		text_format(&text, ".%lld", (long long)(reading->tenths % 10));
	text_end(&text);
	return shown;
}

struct feeding
dial_feeding(const struct machine *machine, enum along along, Speed vf, Speed least, Speed most)
{
	const struct dial       *dial    = dial_along(machine, along);
	const struct power_feed *power   = &machine->power_feed;
	struct feeding           feeding = { .has_power = power->rates.count > 0 && power->axes & 1u << along };

	if (feeding.has_power)
		feeding.setting = setting_find(&power->rates, vf, least, most);
	if (dial->per_turn > 0) {
		feeding.turns_min  = (double)vf / (double)dial->per_turn;
		feeding.s_per_turn = 60 / feeding.turns_min;
		feeding.too_fast   = feeding.turns_min > DIAL_TURNS_MOST;
	}
	return feeding;
}

const struct dial *
dial_along(const struct machine *machine, enum along along)
{
	return along == ALONG_X ? &machine->dials.x : &machine->dials.y;
}

const struct dial *
dial_across(const struct machine *machine, enum along along)
{
	return along == ALONG_X ? &machine->dials.y : &machine->dials.x;
}

/* Of two that are as near, the slower. */
static Speed
setting_find(const struct numbers *rates, Speed vf, Speed least, Speed most)
{
	Speed best = 0;

	for (size_t i = 0; i < rates->count; i++) {
		Speed rate = rates->values[i];

		if (rate > most || rate < least)
			continue;
		if (best == 0 || apart(rate, vf) < apart(best, vf) ||
		    (apart(rate, vf) == apart(best, vf) && rate < best))
			best = rate;
	}
	return best;
}

static Speed
apart(Speed a, Speed b)
{
	return a > b ? a - b : b - a;
}
