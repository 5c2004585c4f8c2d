#include "skimcut/length.h"

#include <assert.h>
#include <stdbool.h>
#include <string.h>

static int64_t      power_of_ten(int exponent);
static int64_t      divide_near(int64_t value, int64_t by);
static struct shown show(int64_t value, int64_t unit, int decimals, bool trimmed, const char *suffix);

Length
length_down(Length x, Length step)
{
	Length rest = x % step;

	return x - (rest < 0 ? rest + step : rest);
}

Length
length_up(Length x, Length step)
{
	return -length_down(-x, step);
}

Length
length_near(Length x, Length step)
{
	return divide_near(x, step) * step;
}

Length
units_length(enum units units)
{
	return units == UNITS_INCH ? LENGTH_INCH : LENGTH_MM;
}

const char *
units_name(enum units units)
{
	return units == UNITS_INCH ? "in" : "mm";
}

size_t
decimal_print(char out[DECIMAL_MAX], int64_t value, int64_t unit, int decimals)
{
	int64_t  scaled = divide_near(value * power_of_ten(decimals), unit);
	uint64_t rest   = scaled < 0 ? -(uint64_t)scaled : (uint64_t)scaled;
	char     digits[DECIMAL_MAX];
	size_t   at = sizeof digits, length = 0;

	for (int i = 0; i <= decimals || rest > 0; i++) {
		if (i == decimals && decimals > 0)
			digits[--at] = '.';
		digits[--at] = (char)('0' + rest % 10);
		rest /= 10;
	}
	if (scaled < 0)
		out[length++] = '-';
	memcpy(out + length, digits + at, sizeof digits - at);
	length += sizeof digits - at;
	out[length] = '\0';
	return length;
}

struct shown
length_show(Length x, enum units units)
{
	return show(x, units_length(units), units == UNITS_INCH ? 5 : 4, true, units == UNITS_INCH ? " in" : " mm");
}

struct shown
length_figure(Length x, enum units units)
{
	return show(x, units_length(units), units == UNITS_INCH ? 4 : 3, false, "");
}

struct shown
feed_show(Speed feed, enum units units)
{
	return show(feed, units_length(units), units == UNITS_INCH ? 2 : 1, true,
	            units == UNITS_INCH ? " in/min" : " mm/min");
}

struct shown
cutting_show(Speed speed, enum units units)
{
	return units == UNITS_INCH ? show(speed, LENGTH_FOOT, 0, false, " ft/min")
	                           : show(speed, 1000 * LENGTH_MM, 1, true, " m/min");
}

static struct shown
show(int64_t value, int64_t unit, int decimals, bool trimmed, const char *suffix)
{
	struct shown shown  = { "" };
	size_t       length = decimal_print(shown.text, value, unit, decimals);

	if (trimmed && decimals > 0) {
		while (shown.text[length - 1] == '0')
			length--;
		if (shown.text[length - 1] == '.')
			length--;
	}
	assert(length + strlen(suffix) < sizeof shown.text);
	memcpy(shown.text + length, suffix, strlen(suffix) + 1);
	return shown;
}

/* value / by to the nearest whole number, halves away from zero; by > 0. */
static int64_t
divide_near(int64_t value, int64_t by)
{
	int64_t half = by / 2, rest = value % by, whole = value / by;

	if (rest > half || (by % 2 == 0 && rest == half))
		return whole + 1;
	if (rest < -half || (by % 2 == 0 && rest == -half))
		return whole - 1;
	return whole;
}

static int64_t
power_of_ten(int exponent)
{
	int64_t power = 1;

	assert(exponent >= 0 && exponent <= 9);
	while (exponent-- > 0)
		power *= 10;
	return power;
}
