#include "skimcut/quantity.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "skimcut/text.h"

/* A numeral as it is written: top / bottom, bottom > 0. */
struct numeral {
	int64_t top, bottom;
};

/* The system of units in which a number without a unit means this one; the first three are enum units. */
enum bare { BARE_NEVER = UNITS_NONE, BARE_MM = UNITS_MM, BARE_INCH = UNITS_INCH, BARE_ALWAYS };

/* One unit is top / bottom of the quantity's small unit; bottom is 1 unless it `rounds`. */
struct unit {
	enum quantity quantity;
	const char   *name;
	int64_t       top, bottom;
	enum bare     bare;
	bool          rounds;
};

enum { DIGITS_MAX = 15 };

/*
 * 1 in = 25.4 mm; 1 lbf = 4.4482216152605 N exactly (0.45359237 kg x 9.80665 m/s2); 1 hp = 550 ft lbf/s =
 * 745.69987158227 W. Twelve digits of the last two are kept, a millionth of the rounding that follows.
 */
static const struct unit UNITS[] = {
	{ QUANTITY_LENGTH, "in", LENGTH_INCH, 1, BARE_INCH, false },
	{ QUANTITY_LENGTH, "inch", LENGTH_INCH, 1, BARE_NEVER, false },
	{ QUANTITY_LENGTH, "thou", LENGTH_INCH / 1000, 1, BARE_NEVER, false },
	{ QUANTITY_LENGTH, "ft", LENGTH_FOOT, 1, BARE_NEVER, false },
	{ QUANTITY_LENGTH, "mm", LENGTH_MM, 1, BARE_MM, false },
	{ QUANTITY_LENGTH, "cm", 10 * LENGTH_MM, 1, BARE_NEVER, false },
	{ QUANTITY_LENGTH, "m", 1000 * LENGTH_MM, 1, BARE_NEVER, false },
	{ QUANTITY_LENGTH, "um", LENGTH_MM / 1000, 1, BARE_NEVER, false },
	{ QUANTITY_LENGTH, "uin", 254, 10, BARE_NEVER, true }, /* of roughness, where a nanometre is nothing */
	{ QUANTITY_FEED, "in/min", LENGTH_INCH, 1, BARE_INCH, false },
	{ QUANTITY_FEED, "ft/min", LENGTH_FOOT, 1, BARE_NEVER, false },
	{ QUANTITY_FEED, "mm/min", LENGTH_MM, 1, BARE_MM, false },
	{ QUANTITY_FEED, "m/min", 1000 * LENGTH_MM, 1, BARE_NEVER, false },
	{ QUANTITY_CUTTING_SPEED, "ft/min", LENGTH_FOOT, 1, BARE_INCH, false },
	{ QUANTITY_CUTTING_SPEED, "m/min", 1000 * LENGTH_MM, 1, BARE_MM, false },
	{ QUANTITY_CUTTING_SPEED, "m/s", 60000 * LENGTH_MM, 1, BARE_NEVER, false },
	{ QUANTITY_ROTATION, "rpm", 1, 1, BARE_ALWAYS, false },
	{ QUANTITY_ROTATION, "1/min", 1, 1, BARE_NEVER, false },
	{ QUANTITY_RATIO, "%", RATIO_ONE / 100, 1, BARE_NEVER, false },
	{ QUANTITY_ANGLE, "deg", 1000000, 1, BARE_ALWAYS, false },
	{ QUANTITY_POWER, "W", 1000, 1, BARE_NEVER, false },
	{ QUANTITY_POWER, "kW", 1000000, 1, BARE_NEVER, false },
	{ QUANTITY_POWER, "hp", 745699871582, 1000000, BARE_NEVER, true },
	{ QUANTITY_FORCE, "N", 1000, 1, BARE_NEVER, false },
	{ QUANTITY_FORCE, "kN", 1000000, 1, BARE_NEVER, false },
	{ QUANTITY_FORCE, "lbf", 444822161526, 100000000, BARE_NEVER, true },
	{ QUANTITY_FACTOR, "", RATIO_ONE, 1, BARE_ALWAYS, false },
	{ QUANTITY_COUNT, "", 1, 1, BARE_ALWAYS, false },
};

/* What keeps later sums and products inside 64 bits; far above anything a machine shop has. */
static const int64_t LARGEST[QUANTITIES] = {
	[QUANTITY_LENGTH]        = LENGTH_MAX,
	[QUANTITY_FEED]          = 1000 * LENGTH_MAX,
	[QUANTITY_CUTTING_SPEED] = 1000 * LENGTH_MAX,
	[QUANTITY_ROTATION]      = 1000000,
	[QUANTITY_RATIO]         = 1000 * RATIO_ONE,
	[QUANTITY_ANGLE]         = 360000000,
	[QUANTITY_POWER]         = 1000000000000,
	[QUANTITY_FORCE]         = 1000000000000,
	[QUANTITY_FACTOR]        = 1000000 * RATIO_ONE,
	[QUANTITY_COUNT]         = 1000000000,
};

static bool               numeral_parse(const char **cursor, struct numeral *numeral, struct text *why);
static bool               digits_parse(const char **cursor, struct numeral *numeral, int *digits);
static bool               fraction_parse(const char **cursor, struct numeral *numeral);
static const struct unit *unit_find(enum quantity quantity, const char *name, enum units bare);
static bool               unit_apply(const struct unit *unit, struct numeral numeral, int64_t *value, const char **why);
static bool               unit_round(const struct unit *unit, struct numeral numeral, int64_t *value, const char **why);
static bool               unit_exact(const struct unit *unit, struct numeral numeral, int64_t *value, const char **why);
static int64_t            common_divisor(int64_t a, int64_t b);
static bool               is_digit(char c);

bool
quantity_parse(enum quantity quantity, const char *text, enum units bare, int64_t *value, struct text *why)
{
	const char        *cursor = text, *reason;
	struct numeral     numeral;
	const struct unit *unit;
	int64_t            result;

	if (!numeral_parse(&cursor, &numeral, why))
		return false;
	while (*cursor == ' ')
		cursor++;
	unit = unit_find(quantity, cursor, bare);
	if (!unit) {
		if (*cursor == ',')
			text_format(why, "'%.40s' has a comma: write the decimal point as a point", text);
		else if (*cursor && quantity == QUANTITY_COUNT)
			text_format(why, "'%.40s' is not a whole number", text);
		else if (*cursor && quantity == QUANTITY_FACTOR)
			text_format(why, "'%.40s' is not a plain number", text);
		else if (*cursor)
			text_format(why, "'%.40s' is not one of the units ", cursor);
		else
			text_format(why, "'%.40s' needs a unit: ", text);
		if (quantity < QUANTITY_FACTOR && *cursor != ',')
			quantity_units(quantity, why);
		return false;
	}
	if (!unit_apply(unit, numeral, &result, &reason)) {
		text_format(why, "'%.40s' %s", text, reason);
		return false;
	}
	if (result > LARGEST[quantity] || result < -LARGEST[quantity]) {
		text_format(why, "'%.40s' is too large", text);
		return false;
	}
	*value = result;
	return true;
}

void
quantity_units(enum quantity quantity, struct text *out)
{
	const char *between = "";

	for (size_t i = 0; i < sizeof UNITS / sizeof UNITS[0]; i++) {
		if (UNITS[i].quantity != quantity)
			continue;
		text_format(out, "%s%s", between, UNITS[i].name);
		between = ", ";
	}
}

/* [+-] digits [. digits] | [+-] a/b | [+-] whole (- or blank) a/b */
static bool
numeral_parse(const char **cursor, struct numeral *numeral, struct text *why)
{
	const char *start    = *cursor;
	bool        negative = *start == '-';
	int         digits   = 0;

	if (*start == '-' || *start == '+')
		++*cursor;
	if (!digits_parse(cursor, numeral, &digits)) {
		text_format(why, digits > DIGITS_MAX ? "'%.40s' has too many digits" : "'%.40s' is not a number",
		            start);
		return false;
	}
	if (numeral->bottom == 1 && !fraction_parse(cursor, numeral)) {
		text_format(why, "'%.40s' is not a fraction like 3/4 or 1-1/2", start);
		return false;
	}
	if (negative)
		numeral->top = -numeral->top;
	return true;
}

/* At most 15 digits and at least one: top < 10^15 and bottom <= 10^15. */
static bool
digits_parse(const char **cursor, struct numeral *numeral, int *digits)
{
	const char *c     = *cursor;
	bool        point = false;

	*numeral = (struct numeral){ 0, 1 };
	for (; is_digit(*c) || (*c == '.' && !point); c++) {
		if (*c == '.') {
			point = true;
			continue;
		}
		if (++*digits > DIGITS_MAX)
			return false;
		numeral->top = numeral->top * 10 + (*c - '0');
		if (point)
			numeral->bottom *= 10;
	}
	*cursor = c;
	return *digits > 0;
}

/* What may follow a whole number: "/4", "-1/2" or " 1/2". No fraction there is no failure. a, b < 10^4. */
static bool
fraction_parse(const char **cursor, struct numeral *numeral)
{
	const char    *c = *cursor;
	struct numeral above, below;
	int            digits = 0;

	if (*c == '/') {
		above        = *numeral;
		numeral->top = 0;
	} else if (*c == '-' ? is_digit(c[1]) : *c == ' ' && is_digit(c[strspn(c, " ")])) {
		bool blank = *c++ == ' ';

		while (blank && *c == ' ')
			c++;
		if (!digits_parse(&c, &above, &digits) || *c != '/')
			return false;
		if (blank && !is_digit(c[1])) /* a unit that begins with a digit: 80 1/min */
			return true;
	} else {
		return true;
	}
	c++;
	digits = 0;
	if (!is_digit(*c) || !digits_parse(&c, &below, &digits) || *c == '/')
		return false;
	if (above.bottom != 1 || below.bottom != 1 || below.top == 0 || above.top > 9999 || below.top > 9999 ||
	    numeral->top > 1000000000)
		return false;
	*numeral = (struct numeral){ numeral->top * below.top + above.top, below.top };
	*cursor  = c;
	return true;
}

static const struct unit *
unit_find(enum quantity quantity, const char *name, enum units bare)
{
	for (size_t i = 0; i < sizeof UNITS / sizeof UNITS[0]; i++) {
		const struct unit *unit = &UNITS[i];

		if (unit->quantity != quantity)
			continue;
		if (*name ? strcmp(unit->name, name) == 0
		          : unit->bare == BARE_ALWAYS || (bare != UNITS_NONE && (int)unit->bare == (int)bare))
			return unit;
	}
	return NULL;
}

static bool
unit_apply(const struct unit *unit, struct numeral numeral, int64_t *value, const char **why)
{
	return unit->rounds ? unit_round(unit, numeral, value, why) : unit_exact(unit, numeral, value, why);
}

/* A power or a force is a measured thing: to the nearest, halves away from zero. */
static bool
unit_round(const struct unit *unit, struct numeral numeral, int64_t *value, const char **why)
{
	double result = (double)numeral.top / (double)numeral.bottom * (double)unit->top / (double)unit->bottom;

	*why = "is too large";
	if (fabs(result) >= (double)LARGEST[unit->quantity])
		return false;
	*value = (int64_t)(result < 0 ? ceil(result - 0.5) : floor(result + 0.5));
	return true;
}

/* top of the numeral times top of the unit over bottom. Common factors go first, so that what overflows is too large. */
static bool
unit_exact(const struct unit *unit, struct numeral numeral, int64_t *value, const char **why)
{
	int64_t across = common_divisor(unit->top, numeral.bottom), bottom = numeral.bottom / across, along, top;

	along = common_divisor(numeral.top < 0 ? -numeral.top : numeral.top, bottom);
	*why  = "is too large";
	if (__builtin_mul_overflow(numeral.top / along, unit->top / across, &top))
		return false;
	bottom /= along;
	assert(bottom > 0);
	*why   = unit->quantity <= QUANTITY_CUTTING_SPEED
	           ? "is no whole number of nanometres: write a decimal of fewer places"
	       : unit->quantity == QUANTITY_COUNT || unit->quantity == QUANTITY_ROTATION ? "is not a whole number"
	                                                                                 : "has too many decimals";
	*value = top / bottom;
	return bottom == 1;
}

/* Never 0: common_divisor(0, b) is b. */
static int64_t
common_divisor(int64_t a, int64_t b)
{
	while (b != 0) {
		int64_t rest = a % b;

		a = b;
		b = rest;
	}
	return a;
}

static bool
is_digit(char c)
{
	return c >= '0' && c <= '9';
}
