#include "skimcut/meaning.h"

#include <assert.h>

#define BIT(letter) (1u << ((letter) - 'A'))

enum {
	G_CLOCKWISE        = 20,
	G_COUNTERCLOCKWISE = 30,
	G_DWELL            = 40,
	G_LENGTH           = 430,
	BLOCK_NUMBER_MAX   = 99999, /* NISTIR 6556, 3.3.1 */
	PROGRAM_NUMBER_MAX = 999999999,
};

/* Codes from `first` to `last`, of G in tenths. */
struct refusal {
	int         first, last;
	const char *what;
};

static bool letters_check(const struct language *language, const struct block *block, struct fault *fault);
static bool company_check(const struct block *block, int motion, const struct orders *orders, struct fault *fault);
static bool g_add(const struct language *language, const struct number *word, struct orders *orders,
                  struct fault *fault);
static bool m_add(const struct language *language, const struct number *word, struct orders *orders,
                  struct fault *fault);
static bool order_add(struct orders *orders, enum group group, int code, char letter, const struct number *word,
                      struct fault *fault);
static bool unread(const struct refusal *rows, int code, char letter, const struct number *word, struct fault *fault);
static bool foreign(const struct language *language, char letter, const struct number *word, struct fault *fault);
static bool units_check(enum units units, char letter, const struct number *word, struct fault *fault);
static bool bare_fault(char letter, const struct number *word, int decimals, struct fault *fault);
static bool figures_read(const struct language *language, int whole, int decimals, char letter, struct number *number,
                         struct fault *fault);
static int64_t nanometres(const struct number *number, enum units units);
static int64_t power_of_ten(int exponent);

static const int64_t  TENTH    = INT64_C(100000000000000);
static const Speed    FEED_MAX = 1000000 * LENGTH_MM;
static const unsigned READ     = BIT('F') | BIT('G') | BIT('H') | BIT('I') | BIT('J') | BIT('M') | BIT('N') | BIT('O') |
                             BIT('P') | BIT('R') | BIT('S') | BIT('T') | BIT('X') | BIT('Y') | BIT('Z');
static const unsigned CODES = BIT('G') | BIT('M'), LABELS = BIT('N') | BIT('O'), ARC = BIT('I') | BIT('J') | BIT('R'),
		      COMPANIONS = ARC | BIT('H') | BIT('P');

static const unsigned char G_GROUPS[1000] = {
	[0] = GROUP_MOTION,   [10] = GROUP_MOTION,    [20] = GROUP_MOTION,    [30] = GROUP_MOTION,
	[40] = GROUP_ONCE,    [170] = GROUP_PLANE,    [200] = GROUP_UNITS,    [210] = GROUP_UNITS,
	[280] = GROUP_ONCE,   [300] = GROUP_ONCE,     [400] = GROUP_RADIUS,   [430] = GROUP_LENGTH,
	[490] = GROUP_LENGTH, [530] = GROUP_ONCE,     [540] = GROUP_OFFSET,   [550] = GROUP_OFFSET,
	[560] = GROUP_OFFSET, [570] = GROUP_OFFSET,   [580] = GROUP_OFFSET,   [590] = GROUP_OFFSET,
	[800] = GROUP_MOTION, [900] = GROUP_DISTANCE, [910] = GROUP_DISTANCE, [940] = GROUP_FEED_MODE,
};

static const unsigned char M_GROUPS[100] = {
	[0] = GROUP_STOP,    [1] = GROUP_STOP,    [2] = GROUP_STOP,  [3] = GROUP_SPINDLE,
	[4] = GROUP_SPINDLE, [5] = GROUP_SPINDLE, [6] = GROUP_TOOL,  [7] = GROUP_COOLANT,
	[8] = GROUP_COOLANT, [9] = GROUP_COOLANT, [30] = GROUP_STOP,
};

static const struct refusal G_REFUSALS[] = {
	{ 50, 59, "a spline" },
	{ 70, 89, "lathe diameters" },
	{ 90, 90, "an exact stop" },
	{ 100, 109, "a change of offsets" },
	{ 120, 139, "a circular pocket" },
	{ 150, 160, "polar coordinates" },
	{ 180, 190, "another plane than XY" },
	{ 270, 299, "about reference points, other than G28 and G30" },
	{ 301, 309, "about reference points, other than G28 and G30" },
	{ 310, 310, "a move that a signal ends" },
	{ 320, 339, "threading" },
	{ 380, 389, "probing" },
	{ 410, 429, "cutter radius compensation" },
	{ 431, 440, "a tool length other than by G43 H" },
	{ 500, 519, "scaling" },
	{ 520, 520, "a shift of the zero" },
	{ 541, 541, "a work offset beyond G59" },
	{ 591, 593, "a work offset beyond G59" },
	{ 600, 600, "an approach from one side" },
	{ 610, 649, "path control" },
	{ 650, 670, "a macro call" },
	{ 680, 690, "rotated coordinates" },
	{ 700, 710, "units by a code of another dialect" },
	{ 730, 790, "a canned cycle" },
	{ 810, 899, "a canned cycle" },
	{ 901, 911, "how an arc's centre counts" },
	{ 920, 929, "a shift of the zero" },
	{ 930, 930, "inverse time feed" },
	{ 950, 950, "feed per revolution" },
	{ 960, 970, "constant cutting speed" },
	{ 980, 990, "the return of canned cycles" },
	{ 0, -1, NULL },
};

static const struct refusal M_REFUSALS[] = {
	{ 10, 11, "a clamp" },
	{ 13, 14, "spindle and coolant in one" },
	{ 19, 19, "a spindle turned to an angle" },
	{ 40, 45, "a gear" },
	{ 48, 49, "the override switches" },
	{ 60, 60, "a change of pallets" },
	{ 96, 99, "a subprogram" },
	{ 0, -1, NULL },
};

static const struct {
	unsigned    letters;
	const char *what;
} LETTER_REFUSALS[] = {
	{ BIT('A') | BIT('B') | BIT('C'), "an axis that turns" },
	{ BIT('U') | BIT('V') | BIT('W'), "an axis other than X, Y and Z" },
	{ BIT('D'), "a cutter's radius" },
	{ BIT('E'), "an exponent, or an axis other than X, Y and Z" },
	{ BIT('K'), "an arc's centre along Z" },
	{ BIT('L'), "a count of repeats" },
	{ BIT('Q'), "a depth of a canned cycle" },
};

bool
orders_gather(const struct language *language, const struct block *block, int motion, struct orders *orders,
              struct fault *fault)
{
	orders->told = 0;
	if (!letters_check(language, block, fault))
		return false;
	for (size_t i = 0; i < block->g_count; i++)
		if (!g_add(language, &block->g[i], orders, fault))
			return false;
	for (size_t i = 0; i < block->m_count; i++)
		if (!m_add(language, &block->m[i], orders, fault))
			return false;
	return !(block->present & COMPANIONS) || company_check(block, motion, orders, fault);
}

bool
orders_have(const struct orders *orders, enum group group)
{
	return orders->told & 1u << group;
}

bool
units_read(const struct language *language, const struct number *word, int code, enum units *units, struct fault *fault)
{
	const bool inch = code == 200 || code == 700, mm = code == 210 || code == 710;

	if (inch ? code == language->g_mm : mm && code == language->g_inch)
		return word_fault(fault, 'G', word,
		                  "means %s everywhere, and the dialect '%.40s' has it the other way about",
		                  inch ? "inches" : "millimetres", language->name);
	*units = inch || (!mm && code == language->g_inch) ? UNITS_INCH : UNITS_MM;
	return true;
}

bool
length_read(const struct language *language, enum units units, char letter, const struct number *word, Length *value,
            struct fault *fault)
{
	const struct digits *digits = units == UNITS_INCH ? &language->inch : &language->mm;
	struct number        number = *word;

	*value = 0;
	if (language->figures == FIGURES_POINT && word->whole == 0 && word->fraction == 0)
		return true; /* in any units */
	if (!units_check(units, letter, word, fault))
		return false;
	if (language->figures != FIGURES_POINT) {
		if (!figures_read(language, digits->whole, digits->decimals, letter, &number, fault))
			return false;
	} else if (!word->point && !language->bare_is_whole) {
		return bare_fault(letter, word, digits->decimals, fault);
	}
	if (number.whole <= LENGTH_MAX / LENGTH_MM) {
		*value = nanometres(&number, units);
		if (*value <= LENGTH_MAX && *value >= -LENGTH_MAX)
			return true;
	}
	return word_fault(fault, letter, word, "is longer than 10 m");
}

bool
feed_read(const struct language *language, enum units units, const struct number *word, Speed *feed,
          struct fault *fault)
{
	const struct digits *digits = units == UNITS_INCH ? &language->inch : &language->mm;
	struct number        number = *word;

	if (!units_check(units, 'F', word, fault))
		return false;
	if (language->figures != FIGURES_POINT &&
	    !figures_read(language, digits->feed_whole, digits->feed_decimals, 'F', &number, fault))
		return false;
	*feed = number.whole <= FEED_MAX / LENGTH_MM ? nanometres(&number, units) : FEED_MAX + 1;
	if (*feed > FEED_MAX)
		return word_fault(fault, 'F', word, "is faster than 1000 m/min");
	return *feed > 0 || word_fault(fault, 'F', word, "is no feed: it must be more than 0");
}

bool
whole_read(char letter, const struct number *word, int64_t most, int64_t *value, struct fault *fault)
{
	if (word->fraction != 0 || word->whole > most || (word->negative && word->whole != 0))
		return word_fault(fault, letter, word, "is no whole number from 0 to %lld", (long long)most);
	*value = word->whole;
	return true;
}

/* Not read here; read here and not in the dialect; and the two letters whose numbers are looked at and forgotten. */
static bool
letters_check(const struct language *language, const struct block *block, struct fault *fault)
{
	const unsigned unknown = block->present & ~READ, strange = block->present & READ & ~CODES & ~language->letters;
	int64_t        ignored;

	if (unknown) {
		char   letter = block_first(block, unknown);
		size_t i      = 0;

		while (!(LETTER_REFUSALS[i].letters & BIT(letter)))
			i++;
		return word_fault(fault, letter, block_word(block, letter), "(%s) is not read",
		                  LETTER_REFUSALS[i].what);
	}
	if (strange) {
		char letter = block_first(block, strange);

		return foreign(language, letter, block_word(block, letter), fault);
	}
	if (!(block->present & LABELS))
		return true;
	return (!(block->present & BIT('O')) ||
	        whole_read('O', block_word(block, 'O'), PROGRAM_NUMBER_MAX, &ignored, fault)) &&
	       (!(block->present & BIT('N')) ||
	        whole_read('N', block_word(block, 'N'), BLOCK_NUMBER_MAX, &ignored, fault));
}

/* The dialect's own codes of units come before whatever those codes mean elsewhere. */
static bool
g_add(const struct language *language, const struct number *word, struct orders *orders, struct fault *fault)
{
	int  code;
	bool of_units;

	if (word->negative || word->whole > 99 || word->fraction % TENTH != 0)
		return word_fault(fault, 'G', word, "is no code");
	code     = (int)(10 * word->whole + word->fraction / TENTH);
	of_units = code == language->g_mm || code == language->g_inch;
	if (!of_units && G_GROUPS[code] == GROUP_NONE)
		return unread(G_REFUSALS, code, 'G', word, fault);
	if (!of_units && !language->g[code])
		return foreign(language, 'G', word, fault);
	return order_add(orders, of_units ? GROUP_UNITS : G_GROUPS[code], code, 'G', word, fault);
}

static bool
m_add(const struct language *language, const struct number *word, struct orders *orders, struct fault *fault)
{
	if (word->negative || word->whole > 99 || word->fraction != 0)
		return word_fault(fault, 'M', word, "is no code");
	if (M_GROUPS[word->whole] == GROUP_NONE)
		return unread(M_REFUSALS, (int)word->whole, 'M', word, fault);
	if (!language->m[word->whole])
		return foreign(language, 'M', word, fault);
	return order_add(orders, M_GROUPS[word->whole], (int)word->whole, 'M', word, fault);
}

/* Letters that mean nothing without a code. */
static bool
company_check(const struct block *block, int motion, const struct orders *orders, struct fault *fault)
{
	const bool once  = orders_have(orders, GROUP_ONCE);
	unsigned   stray = block->present & COMPANIONS;
	char       letter;

	if (orders_have(orders, GROUP_MOTION))
		motion = orders->codes[GROUP_MOTION];
	if (!once && (motion == G_CLOCKWISE || motion == G_COUNTERCLOCKWISE))
		stray &= ~ARC;
	if (once && orders->codes[GROUP_ONCE] == G_DWELL)
		stray &= ~BIT('P');
	if (orders_have(orders, GROUP_LENGTH) && orders->codes[GROUP_LENGTH] == G_LENGTH)
		stray &= ~BIT('H');
	if (stray == 0)
		return true;
	letter = block_first(block, stray);
	return word_fault(fault, letter, block_word(block, letter), "belongs to %s, which is not there",
	                  letter == 'H'   ? "G43"
	                  : letter == 'P' ? "G4"
	                                  : "an arc, G2 or G3");
}

static bool
order_add(struct orders *orders, enum group group, int code, char letter, const struct number *word,
          struct fault *fault)
{
	if (orders_have(orders, group))
		return word_fault(fault, letter, word, "and %s exclude one another in one block",
		                  word_show(letter, orders->words[group]).text);
	orders->told |= 1u << group;
	orders->codes[group] = code;
	orders->words[group] = word;
	return true;
}

static bool
unread(const struct refusal *rows, int code, char letter, const struct number *word, struct fault *fault)
{
	for (const struct refusal *row = rows; row->what; row++)
		if (code >= row->first && code <= row->last)
			return word_fault(fault, letter, word, "(%s) is not read", row->what);
	return word_fault(fault, letter, word, "is not known");
}

static bool
foreign(const struct language *language, char letter, const struct number *word, struct fault *fault)
{
	return word_fault(fault, letter, word, "is no word of the dialect '%.40s'", language->name);
}

static bool
units_check(enum units units, char letter, const struct number *word, struct fault *fault)
{
	return units != UNITS_NONE ||
	       word_fault(fault, letter, word, "has no units: the program has not told them before it");
}

static bool
bare_fault(char letter, const struct number *word, int decimals, struct fault *fault)
{
	const int64_t split = power_of_ten(decimals);

	return word_fault(fault, letter, word,
	                  "has no point: one controller reads %lld, another %lld.%0*lld; write %s.0",
	                  (long long)word->whole, (long long)(word->whole / split), decimals,
	                  (long long)(word->whole % split), word_show(letter, word).text);
}

/* A number without a point, from which zeros may be left out, to the number it means. */
static bool
figures_read(const struct language *language, int whole, int decimals, char letter, struct number *number,
             struct fault *fault)
{
	const int     all   = whole + decimals;
	const int64_t split = power_of_ten(decimals);
	int64_t       value = number->whole;

	assert(all <= 15);
	if (number->point)
		return word_fault(fault, letter, number, "has a point, and the dialect '%.40s' writes none",
		                  language->name);
	if (number->digits > all || (language->figures == FIGURES_ALL_DIGITS && number->digits < all))
		return word_fault(fault, letter, number, "has %d digits, and the dialect '%.40s' writes %d",
		                  number->digits, language->name, all);
	if (language->figures == FIGURES_NO_TRAILING)
		value *= power_of_ten(all - number->digits);
	number->whole    = value / split;
	number->fraction = value % split * power_of_ten(15 - decimals);
	return true;
}

/*
 * The nearest, halves away from zero: 1e-15 mm are 1e-9 nm, 1e-15 in are 254e-10 nm. Wants whole <= 1e6: then the first term
 * is at most 2.54e13; the second has 254 * 1e15 + 5e9 < 2^63 on its way.
 */
static int64_t
nanometres(const struct number *number, enum units units)
{
	int64_t value = units == UNITS_INCH ? number->whole * LENGTH_INCH +
	                                          (number->fraction * 254 + INT64_C(5000000000)) / INT64_C(10000000000)
	                                    : number->whole * LENGTH_MM + (number->fraction + 500000000) / 1000000000;

	return number->negative ? -value : value;
}

static int64_t
power_of_ten(int exponent)
{
	int64_t power = 1;

	while (exponent-- > 0)
		power *= 10;
	return power;
}
