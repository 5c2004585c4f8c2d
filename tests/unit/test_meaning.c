#include "planning.h"

#include <stdio.h>

#include "languages.h"
#include "skimcut/meaning.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

__extension__ typedef __int128 Wide;

static struct block block;
static struct fault fault;

static bool
gather(const struct language *language, int motion, const char *line, struct orders *orders)
{
	if (!block_split(line, strlen(line), NULL, &block, &fault))
		fail_msg("'%s': %s", line, fault.text);
	return orders_gather(language, &block, motion, orders, &fault);
}

static bool
read_x(enum tongue tongue, enum units units, const char *word, Length *value)
{
	const struct language language = language_by_hand(tongue);

	if (!block_split(word, strlen(word), NULL, &block, &fault))
		fail_msg("'%s': %s", word, fault.text);
	return length_read(&language, units, 'X', block_word(&block, 'X'), value, &fault);
}

static bool
read_f(enum tongue tongue, enum units units, const char *word, Speed *value)
{
	const struct language language = language_by_hand(tongue);

	if (!block_split(word, strlen(word), NULL, &block, &fault))
		fail_msg("'%s': %s", word, fault.text);
	return feed_read(&language, units, block_word(&block, 'F'), value, &fault);
}

/* Of the thousand codes these are read, when the dialect has them; every other is told by its name, or as unknown. */
static void
a_code_is_read_or_refused_by_name(void **state)
{
	static const int READ[] = { 0,   10,  20,  30,  40,  170, 200, 210, 280, 300, 400, 430,
		                    490, 530, 540, 550, 560, 570, 580, 590, 800, 900, 910, 940 };
	struct language  all = language_by_hand(TONGUE_POINT), none = all;
	struct orders    orders;
	char             line[16];
	size_t           read = 0;

	(void)state;
	memset(all.g, 1, sizeof all.g);
	memset(all.m, 1, sizeof all.m);
	memset(none.g, 0, sizeof none.g);
	memset(none.m, 0, sizeof none.m);
	for (int code = 0; code < 1000; code++) {
		bool known = false;

		for (size_t i = 0; i < COUNT(READ); i++)
			known |= READ[i] == code;
		snprintf(line, sizeof line,
		         code % 20 == 10 ? "G%02d.%d"
		         : code % 10     ? "G%d.%d"
		                         : "G%d",
		         code / 10, code % 10);
		assert_int_equal(gather(&all, -1, line, &orders), known);
		if (!known)
			assert_non_null(strstr(fault.text, "not read") ? fault.text : strstr(fault.text, "not known"));
		read += known;
		assert_int_equal(gather(&none, -1, line, &orders), code == 200 || code == 210);
		if (known && code != 200 && code != 210)
			assert_non_null(strstr(fault.text, "is no word of the dialect 'point'"));
	}
	assert_int_equal(read, COUNT(READ));
	for (int code = 0; code < 100; code++) {
		bool known = code <= 9 || code == 30;

		snprintf(line, sizeof line, code % 2 ? "M%02d" : "M%d.0", code);
		assert_int_equal(gather(&all, -1, line, &orders), known);
		assert_false(gather(&none, -1, line, &orders));
		if (known)
			assert_non_null(strstr(fault.text, "is no word of the dialect 'point'"));
	}
}

static void
what_is_refused_is_told_by_its_name(void **state)
{
	static const struct {
		const char *line, *fault;
	} cases[] = {
		{ "G10 P1", "G10 (a change of offsets) is not read" },
		{ "G18", "G18 (another plane than XY) is not read" },
		{ "G19", "another plane" },
		{ "G28.1", "reference points" },
		{ "G30.1", "reference points" },
		{ "G33", "threading" },
		{ "G38.2", "probing" },
		{ "G41 H1", "G41 (cutter radius compensation) is not read" },
		{ "G42", "cutter radius compensation" },
		{ "G43.1", "a tool length other than by G43 H" },
		{ "G44", "a tool length other than by G43 H" },
		{ "G50", "scaling" },
		{ "G51", "scaling" },
		{ "G52", "a shift of the zero" },
		{ "G54.1", "a work offset beyond G59" },
		{ "G59.1", "a work offset beyond G59" },
		{ "G59.3", "a work offset beyond G59" },
		{ "G61", "path control" },
		{ "G61.1", "path control" },
		{ "G64", "path control" },
		{ "G65", "a macro call" },
		{ "G68", "rotated coordinates" },
		{ "G70", "units by a code of another dialect" },
		{ "G73", "a canned cycle" },
		{ "G81", "a canned cycle" },
		{ "G89", "a canned cycle" },
		{ "G90.1", "how an arc's centre counts" },
		{ "G91.1", "how an arc's centre counts" },
		{ "G92", "a shift of the zero" },
		{ "G92.3", "a shift of the zero" },
		{ "G93", "inverse time feed" },
		{ "G95", "feed per revolution" },
		{ "G96", "constant cutting speed" },
		{ "G98", "the return of canned cycles" },
		{ "G1.1", "G1.1 is not known" },
		{ "G100", "G100 is no code" },
		{ "G1.05", "G1.05 is no code" },
		{ "G-1", "G-1 is no code" },
		{ "M10", "a clamp" },
		{ "M13", "spindle and coolant in one" },
		{ "M19", "a spindle turned to an angle" },
		{ "M41", "a gear" },
		{ "M48", "the override switches" },
		{ "M60", "a change of pallets" },
		{ "M98 P1", "M98 (a subprogram) is not read" },
		{ "M99", "a subprogram" },
		{ "M77", "M77 is not known" },
		{ "M100", "M100 is no code" },
		{ "M-1", "M-1 is no code" },
		{ "M3.5", "M3.5 is no code" },
		{ "A1", "A1 (an axis that turns) is not read" },
		{ "B1", "an axis that turns" },
		{ "C1", "an axis that turns" },
		{ "D1", "a cutter's radius" },
		{ "X1E2", "E2 (an exponent, or an axis other than X, Y and Z) is not read" },
		{ "K1", "an arc's centre along Z" },
		{ "L1", "a count of repeats" },
		{ "Q1", "a depth of a canned cycle" },
		{ "U1", "an axis other than X, Y and Z" },
		{ "V1", "an axis other than X, Y and Z" },
		{ "W1", "an axis other than X, Y and Z" },
		{ "N100000", "N100000 is no whole number from 0 to 99999" },
		{ "N10.5", "N10.5 is no whole number" },
		{ "N-1", "N-1 is no whole number" },
		{ "O1.5", "O1.5 is no whole number" },
	};
	struct language language = language_by_hand(TONGUE_POINT);
	struct orders   orders;

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		assert_false(gather(&language, -1, cases[i].line, &orders));
		if (!strstr(fault.text, cases[i].fault))
			fail_msg("'%s': %s", cases[i].line, fault.text);
	}
}

static void
two_codes_of_one_group_exclude_one_another(void **state)
{
	static const char *const GROUP[]  = { "G4 G28 G30 G53",
		                              "G0 G1 G2 G3 G80",
		                              "G90 G91",
		                              "G20 G21",
		                              "G43 G49",
		                              "G54 G55 G56 G57 G58 G59",
		                              "M0 M1 M2 M30",
		                              "M3 M4 M5",
		                              "M7 M8 M9",
		                              "M6",
		                              "G17",
		                              "G40",
		                              "G94" };
	struct language          language = language_by_hand(TONGUE_POINT);
	struct orders            orders;
	char                     line[16];

	(void)state;
	for (size_t a = 0; a < COUNT(GROUP); a++)
		for (size_t b = 0; b < COUNT(GROUP); b++)
			for (const char *first = GROUP[a]; first; first = strchr(first + 1, ' '))
				for (const char *second = GROUP[b]; second; second = strchr(second + 1, ' ')) {
					snprintf(line, sizeof line, "%.*s %.*s", (int)strcspn(first + 1, " ") + 1,
					         first, (int)strcspn(second + 1, " ") + 1, second);
					if (gather(&language, -1, line, &orders) != (a != b))
						fail_msg("'%s'", line);
					if (a == b)
						assert_non_null(strstr(fault.text, "exclude one another in one block"));
				}
	assert_true(gather(&language, -1, "G90 G21 G17 G40 G49 G80 G94 G54 M6 M3 M8 M1", &orders));
	assert_int_equal(orders.codes[GROUP_LENGTH], 490);
	assert_int_equal(orders.codes[GROUP_STOP], 1);
	assert_int_equal(orders.words[GROUP_OFFSET]->column, 29);
	assert_false(orders_have(&orders, GROUP_ONCE));
}

/* G70 and G71 are these dialects' own; G20 and G21 only when they are listed. */
static void
units_are_told_by_the_dialects_codes(void **state)
{
	struct language language = language_by_hand(TONGUE_LEADING);
	struct orders   orders;

	(void)state;
	assert_true(gather(&language, -1, "G71", &orders));
	assert_int_equal(orders.codes[GROUP_UNITS], 710);
	assert_true(gather(&language, -1, "G70", &orders));
	assert_false(gather(&language, -1, "G70 G71", &orders));
	assert_false(gather(&language, -1, "G21", &orders));
	language.g[210] = 1;
	assert_true(gather(&language, -1, "G21", &orders));
	assert_false(gather(&language, -1, "G21 G71", &orders));
}

static void
a_letter_wants_the_code_it_belongs_to(void **state)
{
	static const struct {
		const char *line;
		int         motion;
		const char *fault; /* NULL: read */
	} cases[] = {
		{ "H1", -1, "H1 belongs to G43" },
		{ "G49 H1", -1, "H1 belongs to G43" },
		{ "G43 H1", -1, NULL },
		{ "P1", -1, "P1 belongs to G4" },
		{ "G28 P1", -1, "P1 belongs to G4" },
		{ "G4 P1", -1, NULL },
		{ "G2 X1 P1 I1", -1, "P1 belongs to G4" },
		{ "X1 I1", -1, "I1 belongs to an arc" },
		{ "X1 I1", 10, "I1 belongs to an arc" },
		{ "G1 X1 I1", 20, "I1 belongs to an arc" },
		{ "G80 J1", 20, "J1 belongs to an arc" },
		{ "X1 R1", 0, "R1 belongs to an arc" },
		{ "G28 X1 I1", 20, "I1 belongs to an arc" },
		{ "G4 P1 I1", 20, "I1 belongs to an arc" },
		{ "X1 I1 J1", 20, NULL },
		{ "X1 R1", 30, NULL },
		{ "G3 X1 J1", -1, NULL },
	};
	struct language language = language_by_hand(TONGUE_POINT);
	struct orders   orders;

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		bool read = gather(&language, cases[i].motion, cases[i].line, &orders);

		if (read != (cases[i].fault == NULL) || (!read && !strstr(fault.text, cases[i].fault)))
			fail_msg("'%s': %s", cases[i].line, read ? "read" : fault.text);
	}
}

static void
a_letter_of_another_dialect_is_refused(void **state)
{
	const char      others[] = "HIJOPR";
	struct language language = language_by_hand(TONGUE_SMALL);
	struct orders   orders;

	(void)state;
	for (size_t i = 0; i < sizeof others - 1; i++) {
		char line[] = "X1.0 ?1";

		line[5] = others[i];
		if (others[i] == 'O')
			strcpy(line, "O1");
		assert_false(gather(&language, 20, line, &orders));
		assert_non_null(strstr(fault.text, "is no word of the dialect 'small'"));
	}
}

static void
a_number_with_a_point_is_exact(void **state)
{
	static const struct {
		enum units  units;
		const char *word;
		Length      value;
	} cases[] = {
		{ UNITS_MM, "X1.5", 1500000 },
		{ UNITS_MM, "X-.001", -1000 },
		{ UNITS_MM, "X0", 0 },
		{ UNITS_MM, "X-0", 0 },
		{ UNITS_MM, "X0.0000005", 1 },
		{ UNITS_MM, "X-0.0000005", -1 },
		{ UNITS_MM, "X0.00000049999999", 0 },
		{ UNITS_MM, "X1.23456789012", 1234568 },
		{ UNITS_MM, "X0.9999995", 1000000 },
		{ UNITS_MM, "X10000.", LENGTH_MAX },
		{ UNITS_MM, "X-9999.9999999", -LENGTH_MAX },
		{ UNITS_INCH, "X1.", 25400000 },
		{ UNITS_INCH, "X0.0001", 2540 },
		{ UNITS_INCH, "X.015625", 396875 },
		{ UNITS_INCH, "X0.000000019685039", 0 },
		{ UNITS_INCH, "X0.000000019685040", 1 },
		{ UNITS_INCH, "X-0.000000019685040", -1 },
		{ UNITS_INCH, "X393.70078740157", LENGTH_MAX },
	};
	Length value;

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		if (!read_x(TONGUE_POINT, cases[i].units, cases[i].word, &value))
			fail_msg("'%s': %s", cases[i].word, fault.text);
		if (value != cases[i].value)
			fail_msg("'%s' is %lld", cases[i].word, (long long)value);
	}
}

/* value = n / 10^decimals of the unit, in nanometres, the nearest, halves away from zero. */
static void
random_numbers_are_the_nearest_nanometre(void **state)
{
	uint64_t random = 1414213562;

	(void)state;
	for (int i = 0; i < 100000; i++) {
		const uint64_t   seed     = random;
		const enum units units    = random_chance(&random, 2) ? UNITS_MM : UNITS_INCH;
		const int        decimals = (int)random_between(&random, 1, 15);
		const int64_t    whole    = random_between(&random, 0, units == UNITS_MM ? 9999 : 392);
		const bool       negative = random_chance(&random, 2);
		int64_t          scale    = 1, fraction;
		Wide             expected;
		Length           value;
		char             word[64];

		for (int k = 0; k < decimals; k++)
			scale *= 10;
		fraction = random_between(&random, 0, scale - 1);
		expected = ((Wide)whole * scale + fraction) * units_length(units);
		expected = (2 * expected + scale) / (2 * (Wide)scale);
		snprintf(word, sizeof word, "X%s%lld.%0*lld", negative ? "-" : "", (long long)whole, decimals,
		         (long long)fraction);
		holds(seed, read_x(TONGUE_POINT, units, word, &value));
		holds(seed, value == (negative ? -(Length)expected : (Length)expected));
	}
}

static void
printed_lengths_are_read_back_exactly(void **state)
{
	uint64_t random = 1732050807;

	(void)state;
	for (int i = 0; i < 100000; i++) {
		const uint64_t   seed  = random;
		const enum units units = random_chance(&random, 2) ? UNITS_MM : UNITS_INCH;
		const int        most = units == UNITS_MM ? 6 : 5, decimals = (int)random_between(&random, 1, most);
		Length           value = random_between(&random, -LENGTH_MAX / 10, LENGTH_MAX / 10), step, back;
		char             word[DECIMAL_MAX + 1] = "X";

		step = units_length(units);
		for (int k = 0; k < decimals; k++)
			step /= 10;
		value = value / step * step;
		decimal_print(word + 1, value, units_length(units), decimals);
		holds(seed, read_x(TONGUE_POINT, units, word, &back));
		holds(seed, back == value);
	}
}

static void
figures_without_a_point_mean_what_the_dialect_says(void **state)
{
	static const struct {
		enum tongue tongue;
		enum units  units;
		const char *word;
		Length      value; /* um */
		const char *fault;
	} cases[] = {
		{ TONGUE_BARE, UNITS_MM, "X12", 12000, NULL },
		{ TONGUE_BARE, UNITS_INCH, "X-2", -50800, NULL },
		{ TONGUE_POINT, UNITS_MM, "X12", 0,
		  "X12 has no point: one controller reads 12, another 0.012; write X12.0" },
		{ TONGUE_POINT, UNITS_INCH, "X-12", 0,
		  "X-12 has no point: one controller reads 12, another 0.0012; write X-12.0" },
		{ TONGUE_POINT, UNITS_MM, "X12500", 0, "one controller reads 12500, another 12.500" },
		{ TONGUE_POINT, UNITS_MM, "X00", 0, NULL },
		{ TONGUE_LEADING, UNITS_MM, "X15000", 15000, NULL },
		{ TONGUE_LEADING, UNITS_MM, "X-5", -5, NULL },
		{ TONGUE_LEADING, UNITS_MM, "X0", 0, NULL },
		{ TONGUE_LEADING, UNITS_MM, "X0015000", 15000, NULL },
		{ TONGUE_LEADING, UNITS_MM, "X00015000", 0,
		  "X00015000 has 8 digits, and the dialect 'leading' writes 7" },
		{ TONGUE_LEADING, UNITS_INCH, "X10000", 25400, NULL },
		{ TONGUE_LEADING, UNITS_MM, "X1.5", 0, "X1.5 has a point, and the dialect 'leading' writes none" },
		{ TONGUE_LEADING, UNITS_MM, "X1.", 0, "has a point" },
		{ TONGUE_TRAILING, UNITS_MM, "X0015", 15000, NULL },
		{ TONGUE_TRAILING, UNITS_MM, "X-00150", -15000, NULL },
		{ TONGUE_TRAILING, UNITS_MM, "X0", 0, NULL },
		{ TONGUE_TRAILING, UNITS_MM, "X0000001", 1, NULL },
		{ TONGUE_TRAILING, UNITS_INCH, "X001", 25400, NULL },
		{ TONGUE_TRAILING, UNITS_MM, "X00000015", 0, "8 digits" },
		{ TONGUE_ALL, UNITS_MM, "X0015000", 15000, NULL },
		{ TONGUE_ALL, UNITS_MM, "X-0000000", 0, NULL },
		{ TONGUE_ALL, UNITS_MM, "X15000", 0, "X15000 has 5 digits, and the dialect 'all' writes 7" },
		{ TONGUE_ALL, UNITS_MM, "X0", 0, "1 digits" },
		{ TONGUE_ALL, UNITS_MM, "X00015000", 0, "8 digits" },
		{ TONGUE_POINT, UNITS_NONE, "X1.0", 0, "X1.0 has no units" },
		{ TONGUE_POINT, UNITS_MM, "X10000.000001", 0, "X10000.000001 is longer than 10 m" },
		{ TONGUE_POINT, UNITS_INCH, "X-393.7008", 0, "longer than 10 m" },
		{ TONGUE_POINT, UNITS_MM, "X999999999999999.9", 0, "longer than 10 m" },
		{ TONGUE_POINT, UNITS_INCH, "X9999.9", 0, "longer than 10 m" },
	};
	Length value;

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		bool read = read_x(cases[i].tongue, cases[i].units, cases[i].word, &value);

		if (read != (cases[i].fault == NULL) || (!read && !strstr(fault.text, cases[i].fault)))
			fail_msg("'%s': %s", cases[i].word, read ? "read" : fault.text);
		if (read)
			assert_int_equal(value, cases[i].value * 1000);
	}
}

static void
a_feed_is_more_than_nothing_and_may_lack_its_point(void **state)
{
	static const struct {
		enum tongue tongue;
		enum units  units;
		const char *word;
		Speed       value; /* um/min */
		const char *fault;
	} cases[] = {
		{ TONGUE_POINT, UNITS_MM, "F250", 250000, NULL },
		{ TONGUE_POINT, UNITS_MM, "F250.5", 250500, NULL },
		{ TONGUE_POINT, UNITS_INCH, "F10", 254000, NULL },
		{ TONGUE_LEADING, UNITS_MM, "F250", 250000, NULL },
		{ TONGUE_LEADING, UNITS_INCH, "F105", 266700, NULL },
		{ TONGUE_TRAILING, UNITS_MM, "F025", 250000, NULL },
		{ TONGUE_ALL, UNITS_INCH, "F0105", 266700, NULL },
		{ TONGUE_ALL, UNITS_MM, "F250", 0, "3 digits" },
		{ TONGUE_LEADING, UNITS_MM, "F250.", 0, "has a point" },
		{ TONGUE_POINT, UNITS_MM, "F1000000", 1000000000, NULL },
		{ TONGUE_POINT, UNITS_MM, "F1000000.1", 0, "is faster than 1000 m/min" },
		{ TONGUE_POINT, UNITS_INCH, "F39370.08", 0, "is faster than 1000 m/min" },
		{ TONGUE_POINT, UNITS_MM, "F999999999999999", 0, "is faster than 1000 m/min" },
		{ TONGUE_POINT, UNITS_INCH, "F400000000000", 0, "is faster than 1000 m/min" },
		{ TONGUE_POINT, UNITS_MM, "F0", 0, "F0 is no feed" },
		{ TONGUE_POINT, UNITS_MM, "F-100", 0, "F-100 is no feed" },
		{ TONGUE_POINT, UNITS_MM, "F0.0000001", 0, "is no feed" },
		{ TONGUE_POINT, UNITS_NONE, "F100", 0, "F100 has no units" },
	};
	Speed value;

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		bool read = read_f(cases[i].tongue, cases[i].units, cases[i].word, &value);

		if (read != (cases[i].fault == NULL) || (!read && !strstr(fault.text, cases[i].fault)))
			fail_msg("'%s': %s", cases[i].word, read ? "read" : fault.text);
		if (read)
			assert_int_equal(value, cases[i].value * 1000);
	}
}

static void
a_count_is_whole(void **state)
{
	static const struct {
		const char *word;
		int64_t     value; /* -1: refused */
	} cases[] = {
		{ "S1000", 1000 },       { "S1000.0", 1000 }, { "S0", 0 },       { "S-0", 0 },    { "S+5", 5 },
		{ "S1000000", 1000000 }, { "S1000001", -1 },  { "S1000.5", -1 }, { "S-100", -1 }, { "S.1", -1 },
	};

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		int64_t value = -1;

		assert_true(block_split(cases[i].word, strlen(cases[i].word), NULL, &block, &fault));
		assert_int_equal(whole_read('S', block_word(&block, 'S'), 1000000, &value, &fault),
		                 cases[i].value >= 0);
		assert_int_equal(value, cases[i].value);
	}
	assert_string_equal(fault.text, "S.1 is no whole number from 0 to 1000000");
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_code_is_read_or_refused_by_name),
		cmocka_unit_test(what_is_refused_is_told_by_its_name),
		cmocka_unit_test(two_codes_of_one_group_exclude_one_another),
		cmocka_unit_test(units_are_told_by_the_dialects_codes),
		cmocka_unit_test(a_letter_wants_the_code_it_belongs_to),
		cmocka_unit_test(a_letter_of_another_dialect_is_refused),
		cmocka_unit_test(a_number_with_a_point_is_exact),
		cmocka_unit_test(random_numbers_are_the_nearest_nanometre),
		cmocka_unit_test(printed_lengths_are_read_back_exactly),
		cmocka_unit_test(figures_without_a_point_mean_what_the_dialect_says),
		cmocka_unit_test(a_feed_is_more_than_nothing_and_may_lack_its_point),
		cmocka_unit_test(a_count_is_whole),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
