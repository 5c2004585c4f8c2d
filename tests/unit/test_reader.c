#include "planning.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "languages.h"
#include "skimcut/path.h"
#include "skimcut/reader.h"
#include "skimcut/shipped.h"
#include "skimcut/writer.h"

enum { TOLD_BYTES = 1 << 14, PROGRAM_BYTES = 1 << 18 };

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

static void
axes_tell(struct text *out, const struct step *step)
{
	const Length values[] = { step->to.x, step->to.y, step->to.z };
	char         digits[DECIMAL_MAX];

	for (unsigned i = 0; i < 3; i++)
		if (step->axes & 1u << i) {
			decimal_print(digits, values[i], LENGTH_MM, 3);
			text_format(out, " %c%s", (int)('X' + i), digits);
		}
}

/* As a line of a plain story: "rapid X1.000, feed Z2.000 F100.000, end". */
static void
step_tell(struct text *out, const struct step *step)
{
	static const char *const ROTATION[] = { "off", "cw", "ccw" }, *const COOLANT[] = { "none", "mist", "flood" };

	char digits[3][DECIMAL_MAX];

	decimal_print(digits[0], step->feed, LENGTH_MM, 3);
	decimal_print(digits[1], step->centre.x, LENGTH_MM, 3);
	decimal_print(digits[2], step->centre.y, LENGTH_MM, 3);
	text_string(out, out->length > 0 ? ", " : "");
	switch (step->kind) {
	case STEP_TOOL: text_format(out, "tool %d", (int)step->tool); break;
	case STEP_SPINDLE: text_format(out, "spindle %s %d", ROTATION[step->rotation], (int)step->rpm); break;
	case STEP_COOLANT: text_format(out, "coolant %s", COOLANT[step->coolant]); break;
	case STEP_RAPID:
		text_string(out, "rapid");
		axes_tell(out, step);
		break;
	case STEP_FEED:
		text_string(out, "feed");
		axes_tell(out, step);
		text_format(out, " F%s", digits[0]);
		break;
	case STEP_ARC:
		text_string(out, step->clockwise ? "cw" : "ccw");
		axes_tell(out, step);
		text_format(out, " about %s %s F%s", digits[1], digits[2], digits[0]);
		break;
	case STEP_STOP: text_string(out, step->optional ? "stop?" : "stop"); break;
	case STEP_NOTE: text_string(out, "note"); break;
	case STEP_END: text_string(out, "end"); break;
	case STEP_HOME:
		text_format(out, "home %s%s%s", step->axes & AXIS_X ? "X" : "", step->axes & AXIS_Y ? "Y" : "",
		            step->axes & AXIS_Z ? "Z" : "");
		break;
	case STEP_LENGTH: text_format(out, "length %d", (int)step->tool); break;
	}
}

/* In pieces of that size, each in memory of its own. "steps, !line:column fault". */
static void
tell(const struct language *language, struct point zero, const char *program, size_t size, size_t piece,
     struct text *out)
{
	struct reader reader;
	struct step   step;

	reader_begin(&reader, language, zero);
	for (size_t at = 0; at < size; at += piece) {
		size_t part = size - at < piece ? size - at : piece;
		char  *copy = malloc(part);

		assert_non_null(copy);
		memcpy(copy, program + at, part);
		reader_feed(&reader, copy, part);
		while (reader_next(&reader, &step))
			step_tell(out, &step);
		free(copy);
	}
	reader_end(&reader);
	while (reader_next(&reader, &step))
		step_tell(out, &step);
	assert_int_equal(reader.bytes, size);
	if (reader.refused)
		text_format(out, "%s!%zu:%zu %s", out->length > 0 ? ", " : "", reader.fault.line, reader.fault.column,
		            reader.fault.text);
	assert_false(out->failed);
	text_end(out);
}

/* Of what is expected, the part behind "!line:column " is anywhere in the fault. */
static bool
matches(const char *told, const char *expected)
{
	const char *fault = strchr(expected, '!');
	size_t      exact = fault ? (size_t)(strchr(fault, ' ') - expected) + 1 : 0;

	if (!fault)
		return strcmp(told, expected) == 0;
	return strncmp(told, expected, exact) == 0 && strstr(told + exact, expected + exact);
}

static void
expect_in(enum tongue tongue, struct point zero, const char *program, const char *expected)
{
	static char told_text[TOLD_BYTES];

	const struct language language = language_by_hand(tongue);
	struct text           told     = text_over(told_text, sizeof told_text);

	tell(&language, zero, program, strlen(program), strlen(program) + 1, &told);
	if (!matches(told.data, expected))
		fail_msg("'%s' was read as '%s', not '%s'", program, told.data, expected);
}

static void
expect(const char *program, const char *expected)
{
	expect_in(TONGUE_BARE, (struct point){ 0, 0, 0 }, program, expected);
}

struct row {
	const char *program, *expected;
};

/* `before` and `after` stand round every row's blocks. */
static void
expect_rows(const struct row *rows, size_t count, const char *before, const char *after)
{
	char program[1024];

	for (size_t i = 0; i < count; i++) {
		snprintf(program, sizeof program, "%s%s%s", before, rows[i].program, after);
		expect(program, rows[i].expected);
	}
}

/* The published interpreter also takes a program that ends by its second %, and anything at all behind M30. */
static void
a_program_has_one_end_and_perhaps_a_frame(void **state)
{
	static const struct row rows[] = {
		{ "%\nG21\nM30\n%\n", "end" },
		{ "%\nG21\nM30\n", "end" },
		{ "G21\nM2\n", "end" },
		{ "G21\nM30\n", "end" },
		{ "G21\nM30\n%\n", "end" },
		{ "G21\nM30\n\n(c)\n ; c\n%\n\n(c)", "end" },
		{ "\n \t\n%\nM30\n%\n", "end" },
		{ "(c)\n;c\n%\nM30\n%\n", "end" },
		{ " % \t\nM30\n\t%\n", "end" },
		{ "%\r\nG21\r\n\r\nM30\r\n%\r\n", "end" },
		{ "%\nG21\nM30", "end" },
		{ "%\nG21\nM30\n%", "end" },
		{ "%\nM30\r\n%\n", "end" },
		{ "%\nG21\n%\n", "!3:1 the program has no end before its %: M2 or M30" },
		{ "G21\n%\n", "!2:1 the program has no end before its %: M2 or M30" },
		{ "G21\n %\nM30\n", "!2:2 the program has no end before its %: M2 or M30" },
		{ "O7\n%\nM30\n", "!2:1 the program has no end before its %" },
		{ "%\nG21\n", "!2:1 the program has no end: M2 or M30" },
		{ "G21\n\n\n", "!3:1 the program has no end: M2 or M30" },
		{ "", "!1:1 the program has no end: M2 or M30" },
		{ "\n", "!1:1 the program has no end: M2 or M30" },
		{ "%\n%\nM30\n", "!2:1 a % stands here for the second time" },
		{ "M30\n%\n%\n", "end, !3:1 a % stands here for the second time" },
		{ "% text\nM30\n", "!1:1 %: a % stands alone on its line" },
		{ "M30\nG0\n", "end, !2:1 a block stands behind the program's end" },
		{ "%\nM30\n/M3\n%\n", "end, !3:2 a block stands behind the program's end" },
		{ "M30\n%\nM30\n", "end, !3:1 a block stands behind the program's end" },
		{ "M2\nX\n", "end, !2:1 X: a number is missing" },
		{ "\xEF\xBB\xBFG21\nM30\n", "!1:1 a byte 0xEF, which is not ASCII" },
	};

	(void)state;
	expect_rows(rows, COUNT(rows), "", "");
}

static void
what_is_cut_off_has_no_end(void **state)
{
	static const char program[] = "%\n(PART)\nN10 G21 G90 G54\nN20 S800 M3\nN30 G0 X-20.5 Y3. Z-.25\nN40 M30\n%\n";
	const struct language language = language_by_hand(TONGUE_POINT);
	const size_t          end      = (size_t)(strstr(program, "M30") - program) + 3;

	(void)state;
	for (size_t size = 0; size < end; size++) {
		char        told_text[512];
		struct text told = text_over(told_text, sizeof told_text);

		tell(&language, (struct point){ 0, 0, 0 }, program, size, 7, &told);
		if (!strstr(told.data, "the program has no end: M2 or M30") &&
		    !strstr(told.data, "a comment is not closed"))
			fail_msg("%zu bytes: %s", size, told.data);
	}
	expect("G21\nG0 X1 Y", "!2:7 the program has no end");
	expect("G21\nG0 X1 Y-", "!2:7 the program has no end");
	expect("G21\nG0 X1 Y-. ", "!2:7 the program has no end");
	expect("G21\nG0 X1", "!2:1 the program has no end");
	expect("G21\n(c)", "!2:1 the program has no end");
	expect("G21\nG81 Y1", "!2:1 the program has no end");
	expect("G21\nG81 Y1 M2", "!2:1 G81 (a canned cycle) is not read");
	expect("G21\nG0 X1 Y\nM2", "!2:7 Y: a number is missing");
	expect("G21\nG0 Y1\nM2 (end", "rapid Y1.000, !3:4 a comment is not closed");
	expect("G21\nG0 Y1 M2", "rapid Y1.000, end");
	expect("M2\nG0", "end, !2:1 a block stands behind");
}

/* The published interpreter refuses O words and semicolons. */
static void
a_line_is_read_as_the_standard_has_it(void **state)
{
	static const struct row rows[] = {
		{ "g0 x1.5", "rapid X1.500, end" },
		{ "G0X1Y2", "rapid X1.000 Y2.000, end" },
		{ "G 0 X 1 . 5", "rapid X1.500, end" },
		{ "\tG0\tX1\t", "rapid X1.000, end" },
		{ "N10 G0 X1", "rapid X1.000, end" },
		{ "N0 G0 X1\nN99999 X2\nN5\nN5X3", "rapid X1.000, rapid X2.000, rapid X3.000, end" },
		{ "N100000 G0 X1", "!2:1 N100000 is no whole number from 0 to 99999" },
		{ "N10.5", "!2:1 N10.5 is no whole number" },
		{ "G0 N10 X1", "!2:4 N10: the number of a block or a program stands before" },
		{ "O1000", "end" },
		{ "O1000 (NAME)\nO2 N3 G0 X1", "rapid X1.000, end" },
		{ "G0 X1 O7", "!2:7 O7: the number" },
		{ "O1.5", "!2:1 O1.5 is no whole number" },
		{ ":1000", "!2:1 :1000: a number behind a colon is not read" },
		{ "/ G0 X5", "rapid X5.000, end" },
		{ "/N10 G0 X5", "rapid X5.000, end" },
		{ "/", "end" },
		{ "N10 / G0 X5", "!2:5 N10 /: a / stands only at the start" },
		{ "X1 G1 F100", "feed X1.000 F100.000, end" },
		{ "G0 X1 ; up to here X2", "rapid X1.000, end" },
		{ "; G0 X1", "end" },
		{ "G0 X1 (\303\244)", "rapid X1.000, end" },
		{ "G0 X1 \303\244", "!2:7 a byte 0xC3" },
		{ "(c) G0 X1 (d) Y1 (MSG, e)", "rapid X1.000 Y1.000, end" },
		{ "G0 X(here)1", "!2:4 X: a number is missing" },
		{ "(a (b) c)", "!2:4 (: a comment stands inside a comment" },
		{ "G0 X1 (a", "!2:7 a comment is not closed" },
		{ "G0 X1 )", "!2:7 X1 ): a ) has no (" },
		{ "() (% ; [ ])", "end" },
		{ "G0 X1\rY2", "!2:6 a CR has no LF behind it" },
		{ "G0 X1\001", "!2:6 a control character, 0x01" },
		{ "%", "!2:1 the program has no end before its %" },
	};

	(void)state;
	expect_rows(rows, COUNT(rows), "G21 G90\n", "\nM2\n");
	expect("G21 G90\nG0 X1\r\nM2\r\n", "rapid X1.000, end");
	expect("G21 G90\nG0 X1\r\r\nM2\n", "!2:6 a CR has no LF behind it");
}

static void
numbers_are_read_or_refused(void **state)
{
	static const struct row rows[] = {
		{ "X1.", "rapid Z9.000, rapid X1.000, end" },
		{ "X.5", "rapid Z9.000, rapid X0.500, end" },
		{ "X-.5", "rapid Z9.000, rapid X-0.500, end" },
		{ "X+1.5", "rapid Z9.000, rapid X1.500, end" },
		{ "X-0.", "rapid Z9.000, rapid X0.000, end" },
		{ "X-0.0000", "rapid Z9.000, rapid X0.000, end" },
		{ "X1.23456789012", "rapid Z9.000, rapid X1.235, end" },
		{ "X001.5", "rapid Z9.000, rapid X1.500, end" },
		{ "X1e2", "rapid Z9.000, !2:3 E2 (an exponent" },
		{ "X1,5", "rapid Z9.000, !2:3 X1,5: a comma is no decimal point" },
		{ "X", "rapid Z9.000, !2:1 X: a number is missing" },
		{ "X.", "rapid Z9.000, !2:1 X.: a number is missing" },
		{ "X--1", "rapid Z9.000, !2:3 X--1: a sign" },
		{ "X1.2.3", "rapid Z9.000, !2:5 X1.2.3: a number has one point" },
		{ "X[1+2]", "rapid Z9.000, !2:2 X[1+2]: expressions are not read" },
		{ "#1=2", "rapid Z9.000, !2:1 #1=2: parameters are not read" },
		{ "X#1", "rapid Z9.000, !2:2 X#1: parameters are not read" },
		{ "G01 X1 F100", "rapid Z9.000, feed X1.000 F100.000, end" },
		{ "G1.0 X1 F100", "rapid Z9.000, feed X1.000 F100.000, end" },
		{ "M03", "rapid Z9.000, spindle cw 0, end" },
		{ "M3.0", "rapid Z9.000, spindle cw 0, end" },
		{ "S1000.0 M3", "rapid Z9.000, spindle cw 1000, end" },
		{ "S1000.5", "rapid Z9.000, !2:1 S1000.5 is no whole number" },
		{ "S-100", "rapid Z9.000, !2:1 S-100 is no whole number" },
		{ "S1000001", "rapid Z9.000, !2:1 S1000001 is no whole number from 0 to 1000000" },
		{ "F-100", "rapid Z9.000, !2:1 F-100 is no feed" },
		{ "F0", "rapid Z9.000, !2:1 F0 is no feed" },
		{ "T1.5", "rapid Z9.000, !2:1 T1.5 is no whole number" },
		{ "T-1", "rapid Z9.000, !2:1 T-1 is no whole number" },
		{ "T0 M6", "rapid Z9.000, tool 0, end" },
		{ "T127 M6", "rapid Z9.000, tool 127, end" },
		{ "G43 H 1", "rapid Z9.000, length 1, end" },
		{ "G43 H1.5", "rapid Z9.000, !2:5 H1.5 is no whole number" },
		{ "M3.5", "rapid Z9.000, !2:1 M3.5 is no code" },
		{ "X10000.1", "rapid Z9.000, !2:1 X10000.1 is longer than 10 m" },
	};

	(void)state;
	expect_rows(rows, COUNT(rows), "G21 G90 G0 Z9\n", "\nM2\n");
}

static void
words_that_exclude_one_another_do_not_stand_together(void **state)
{
	static const struct row rows[] = {
		{ "X1 X2", "!2:4 X2: the letter stands twice" },
		{ "F1 F2", "!2:4 F2: the letter stands twice" },
		{ "G0 G1 X1", "!2:4 G1 and G0 exclude one another" },
		{ "G1 G1 X1", "!2:4 G1 and G1 exclude one another" },
		{ "G90 G21 G17 G40 G49 G80 G94 G54", "end" },
		{ "G80 G1 X1", "!2:5 G1 and G80 exclude" },
		{ "G20 G21", "!2:5 G21 and G20 exclude" },
		{ "G28 G53", "!2:5 G53 and G28 exclude" },
		{ "G54 G54", "!2:5 G54 and G54 exclude" },
		{ "M3 M8", "spindle cw 0, coolant flood, end" },
		{ "M5 M9", "spindle off 0, coolant none, end" },
		{ "M7 M8", "!2:4 M8 and M7 exclude" },
		{ "M3 M5", "!2:4 M5 and M3 exclude" },
		{ "M8 M9", "!2:4 M9 and M8 exclude" },
		{ "T1 M6 M3 M8 M1", "tool 1, spindle cw 0, coolant flood, stop?, end" },
		{ "M6 M3 M8 M48 M0", "!2:14 M0: a block has no more than four M words" },
		{ "M0 M30", "!2:4 M30 and M0 exclude" },
		{ "S1000 M3 G0 X1", "spindle cw 1000, rapid X1.000, end" },
		{ "T1 M6", "tool 1, end" },
		{ "M6 T1", "tool 1, end" },
		{ "M6", "!2:1 M6 changes to no tool: T was never told" },
		{ "X1", "!2:1 X, Y or Z stand without a motion" },
		{ "G0 X1\nG80\nX2", "rapid X1.000, !4:1 X, Y or Z stand without a motion" },
		{ "G80 X1", "!2:5 G80 ends all motion" },
		{ "G1", "!2:1 G1 tells no X, Y or Z" },
		{ "G1 F100", "!2:1 G1 tells no X, Y or Z" },
		{ "N1 G00", "!2:4 G00 tells no X, Y or Z" },
		{ "G2 I1", "!2:1 G2 tells no X, Y or Z" },
		{ "G1 X1 I1", "!2:7 I1 belongs to an arc, G2 or G3" },
		{ "G1 X1 R1", "!2:7 R1 belongs to an arc" },
		{ "P1", "!2:1 P1 belongs to G4" },
		{ "G0 X1 A1", "!2:7 A1 (an axis that turns) is not read" },
		{ "E1", "!2:1 E1 (an exponent" },
		{ "D1", "!2:1 D1 (a cutter's radius) is not read" },
		{ "L1", "!2:1 L1 (a count of repeats) is not read" },
		{ "F100", "end" },
		{ "S100", "end" },
		{ "T1", "end" },
	};

	(void)state;
	expect_rows(rows, COUNT(rows), "G21 G90\n", "\nM2\n");
}

static void
a_tools_length_takes_away_where_z_stands(void **state)
{
	static const struct row rows[] = {
		{ "G43 H1", "length 1, end" },
		{ "G43 H0", "length 0, end" },
		{ "G0 X0\nG43 Z5 H1", "rapid X0.000, length 1, rapid Z5.000, end" },
		{ "G0 G43 Z5 H1", "length 1, rapid Z5.000, end" },
		{ "G43 Z5 H1", "!2:5 X, Y or Z stand without a motion" },
		{ "G43", "!2:1 G43 needs H" },
		{ "H1", "!2:1 H1 belongs to G43" },
		{ "G49 H1", "!2:5 H1 belongs to G43" },
		{ "G49", "end" },
		{ "G43 H2\nG49\nG49", "length 2, length 0, end" },
		{ "G43 H2\nG43 H2", "length 2, length 2, end" },
		{ "G43 H0\nG49", "length 0, end" },
		{ "G0 X1 Z5\nG43 H2\nG91 X1 Z1",
		  "rapid X1.000 Z5.000, length 2, !4:8 Z1 counts from where the axis stands" },
		{ "G0 X1 Z5\nG43 H2\nG91 X1", "rapid X1.000 Z5.000, length 2, rapid X2.000, end" },
		{ "G43 H2\nG0 X1 Z5\nG49\nG91 Z1", "length 2, rapid X1.000 Z5.000, length 0, !5:5 Z1 counts" },
		{ "G0 Z5\nG43 H2 Z6\nG91 Z1", "rapid Z5.000, length 2, rapid Z6.000, rapid Z7.000, end" },
		{ "G43.1 Z1", "!2:1 G43.1 (a tool length other than by G43 H) is not read" },
		{ "G44 H1", "!2:1 G44 (a tool length other than by G43 H) is not read" },
	};

	(void)state;
	expect_rows(rows, COUNT(rows), "G21 G90\n", "\nM2\n");
}

/* The published interpreter reads planes, cycles, offsets of zeros, compensation and path control; none of these is read here. */
static void
codes_do_what_the_standard_says_or_are_refused(void **state)
{
	static const struct row rows[] = {
		{ "G4 P1.5", "end" },
		{ "G4 P0", "end" },
		{ "G4", "!2:1 G4 needs P" },
		{ "G4 X1", "!2:1 G4 needs P" },
		{ "G4 P1 X1", "!2:7 G4 waits and does not move" },
		{ "G4 P1 G0", "!2:7 G0 tells no X, Y or Z" },
		{ "G4 S2", "!2:1 G4 needs P" },
		{ "G4 P-1", "!2:4 P-1 is no time to wait" },
		{ "G17 G40 G94", "end" },
		{ "G10 L2 P1", "!2:5 L2 (a count of repeats) is not read" },
		{ "G18", "!2:1 G18 (another plane than XY) is not read" },
		{ "G41 D1", "!2:5 D1 (a cutter's radius) is not read" },
		{ "G81 X1 Y1 Z-1 R1", "!2:1 G81 (a canned cycle) is not read" },
		{ "G92 X0", "!2:1 G92 (a shift of the zero) is not read" },
		{ "G93", "!2:1 G93 (inverse time feed) is not read" },
		{ "G95", "!2:1 G95 (feed per revolution) is not read" },
		{ "G64", "!2:1 G64 (path control) is not read" },
		{ "G100", "!2:1 G100 is no code" },
		{ "G1.1", "!2:1 G1.1 is not known" },
		{ "M48", "!2:1 M48 (the override switches) is not read" },
		{ "M60", "!2:1 M60 (a change of pallets) is not read" },
		{ "M98 P1", "!2:1 M98 (a subprogram) is not read" },
		{ "M100", "!2:1 M100 is no code" },
		{ "M-1", "!2:1 M-1 is no code" },
		{ "M0", "stop, end" },
		{ "M00\nM1", "stop, stop?, end" },
		{ "G54", "end" },
		{ "G55", "!2:1 G55 is another zero than the job's, G54" },
		{ "G59", "!2:1 G59 is another zero" },
		{ "G91 X1", "!2:5 X, Y or Z stand without a motion" },
		{ "G0 X1\nG91 X1\nX-.5\nG90 X1", "rapid X1.000, rapid X2.000, rapid X1.500, rapid X1.000, end" },
		{ "G91 G0 X1", "!2:8 X1 counts from where the axis stands, which is not known; tell it once with G90" },
		{ "G91 G0 X0", "!2:8 X0 counts from where the axis stands" },
		{ "G0 X1\nG91 Y1", "rapid X1.000, !3:5 Y1 counts" },
		{ "G0 X1\nG91 X1\nX9999\nX1", "rapid X1.000, rapid X2.000, !4:1 X9999 leads farther than 10 m" },
	};

	(void)state;
	expect_rows(rows, COUNT(rows), "G21 G90\n", "\nM2\n");
}

static void
a_retract_goes_home_by_way_of_its_point(void **state)
{
	static const struct row rows[] = {
		{ "G28", "home XYZ, end" },
		{ "G30", "home XYZ, end" },
		{ "G28 Z5", "rapid Z5.000, home Z, end" },
		{ "G30 Z5", "rapid Z5.000, home Z, end" },
		{ "G91 G28 Z0\nG90", "home Z, end" },
		{ "G91 G28 X0 Y0 Z0", "home XYZ, end" },
		{ "G28 X0 Y1", "rapid X0.000 Y1.000, home XY, end" },
		{ "G0 X2 Z3\nG28 X2 Z3", "rapid X2.000 Z3.000, home XZ, end" },
		{ "G0 X2 Z3\nG28 X2 Z4", "rapid X2.000 Z3.000, rapid Z4.000, home XZ, end" },
		{ "G0 X2 Z3\nG91 G28 X0 Z4", "rapid X2.000 Z3.000, rapid Z7.000, home XZ, end" },
		{ "G91 G28 Z1", "!2:9 Z1 counts from where the axis stands" },
		{ "G0 G28 Z0", "!2:1 G0 and G28 both want X, Y and Z" },
		{ "G1 G30 Z0", "!2:1 G1 and G30 both want" },
		{ "G0 X1\nG28 Z5\nX2", "rapid X1.000, rapid Z5.000, home Z, rapid X2.000, end" },
		{ "G80 G28 Z5", "rapid Z5.000, home Z, end" },
		{ "G28.1", "!2:1 G28.1 (about reference points, other than G28 and G30) is not read" },
		{ "G0 Z1\nG91 G28 Z0\nG0 Z1", "rapid Z1.000, home Z, !4:4 Z1 counts from where the axis stands" },
		{ "G0 X1 Z1\nG91 G28 Z0\nG90 G0 X2 Z1", "rapid X1.000 Z1.000, home Z, rapid X2.000 Z1.000, end" },
		{ "G53 G0 Z0", "home Z, end" },
		{ "G0 G53 Z0", "home Z, end" },
		{ "G0 X1\nG53 Z0.0", "rapid X1.000, home Z, end" },
		{ "G53 G0 X5 Y6 Z0", "home XYZ, end" },
		{ "G53 G0 Y6", "home Y, end" },
		{ "G53 Z0", "!2:1 G53 is read with G0 and G90 only" },
		{ "G53 G1 Z0 F1", "!2:1 G53 is read with G0 and G90 only" },
		{ "G91 G53 G0 Z0", "!2:5 G53 is read with G0 and G90 only" },
		{ "G53", "!2:1 G53 tells no X, Y or Z" },
		{ "G53 G0", "!2:1 G53 tells no X, Y or Z" },
		{ "G53 G0 Z-1", "!2:8 Z-1 of the machine is a height that nobody knows here" },
	};

	(void)state;
	expect_rows(rows, COUNT(rows), "G21 G90\n", "\nM2\n");
	expect("G91 G28 Z0\nM2\n", "home Z, end"); /* in any units */
}

static void
feed_and_spindle_hold_until_they_are_told_anew(void **state)
{
	static const struct row rows[] = {
		{ "G1 X1\nX2 F100\nX3\nF50\nX4", "feed X1.000 F0.000, feed X2.000 F100.000, feed X3.000 F100.000, "
		                                 "feed X4.000 F50.000, end" },
		{ "F100 G0 X1\nG1 X2", "rapid X1.000, feed X2.000 F100.000, end" },
		{ "G1 X1 F100\nG20 X1\nX2 F10\nG20 X3\nG21 X1",
		  "feed X1.000 F100.000, feed X25.400 F0.000, feed X50.800 F254.000, "
		  "feed X76.200 F254.000, feed X1.000 F0.000, end" },
		{ "G1 X1 F100\nG20 X1 F10", "feed X1.000 F100.000, feed X25.400 F254.000, end" },
		{ "G1 X1 F100\nG21 X2", "feed X1.000 F100.000, feed X2.000 F100.000, end" },
		{ "M3", "spindle cw 0, end" },
		{ "M3 S800\nS900\nM4\nM5\nS700\nM3",
		  "spindle cw 800, spindle cw 900, spindle ccw 900, spindle off 0, spindle cw 700, end" },
		{ "S800\nM4", "spindle ccw 800, end" },
		{ "S800 M5", "spindle off 0, end" },
		{ "S800 M3 T1\nM6\nS900", "spindle cw 800, tool 1, end" },
		{ "S800 M3\nM0\nS900", "spindle cw 800, stop, spindle cw 900, end" },
		{ "T3\nM6\nT4\nG0 X1\nM6", "tool 3, rapid X1.000, tool 4, end" },
		{ "M7\nM8\nM9", "coolant mist, coolant flood, coolant none, end" },
		{ "G0 Z5 M5 M9 G43 H2 T7 M6 S10", "tool 7, spindle off 0, coolant none, length 2, rapid Z5.000, end" },
		{ "G0 Z5 M0", "rapid Z5.000, stop, end" },
		{ "G0 Z5 M30 (c)\n%", "rapid Z5.000, end, !4:1 a block stands behind" },
	};

	(void)state;
	expect_rows(rows, COUNT(rows), "G21 G90\n", "\nM2\n");
	expect("F100\nM2\n", "!1:1 F100 has no units");
	expect("G0 X1\nM2\n", "!1:4 X1 has no units");
	expect("G0 X1 G21\nM2\n", "rapid X1.000, end");
}

static void
arcs_are_read_from_where_the_cutter_stands(void **state)
{
	static const struct row rows[] = {
		{ "G2 X0 Y-5 I-5 J0", "cw X0.000 Y-5.000 about 0.000 0.000 F100.000, end" },
		{ "G3 X0 Y5 I-5 J0", "ccw X0.000 Y5.000 about 0.000 0.000 F100.000, end" },
		{ "G2 X0 Y-5 I-5", "cw X0.000 Y-5.000 about 0.000 0.000 F100.000, end" },
		{ "G2 X-5 I-5", "cw X-5.000 Y0.000 about 0.000 0.000 F100.000, end" },
		{ "G2 X0 Y-5", "!3:4 an arc needs either I and J, or R" },
		{ "G2 I-5 J0", "!3:1 G2 tells no X, Y or Z" },
		{ "G2 X5 I-5 J0", "cw X5.000 Y0.000 about 0.000 0.000 F100.000, end" },
		{ "G2 X0 Y-5 I-5\nI1", "cw X0.000 Y-5.000 about 0.000 0.000 F100.000, !4:1 an arc tells X or Y" },
		{ "G2 X0 Y-5 I-5\nX-5 Y0 J5",
		  "cw X0.000 Y-5.000 about 0.000 0.000 F100.000, cw X-5.000 Y0.000 about 0.000 0.000 F100.000, end" },
		{ "G2 X0 Y-5 I-5\nX-5 Y0", "cw X0.000 Y-5.000 about 0.000 0.000 F100.000, !4:1 an arc needs" },
		{ "G2 X0 Y-5 R5", "cw X0.000 Y-5.000 about 0.000 0.000 F100.000, end" },
		{ "G2 X0 Y-5 R-5", "cw X0.000 Y-5.000 about 5.000 -5.000 F100.000, end" },
		{ "G3 X-5 Y0 R5", "ccw X-5.000 Y0.000 about 0.000 0.000 F100.000, end" },
		{ "G3 X-5 Y0 R4.999999", "ccw X-5.000 Y0.000 about 0.000 0.000 F100.000, end" },
		{ "G3 X-5 Y0 R4.999", "!3:11 R4.999 does not reach: the arc's ends are 10 mm apart" },
		{ "G2 X5 Y0 R5", "!3:10 a full circle by R" },
		{ "G2 X0 Y-5 R5 I1", "!3:11 an arc needs either I and J, or R" },
		{ "G3 X0 Y5.0019 I-5 J0", "ccw X0.000 Y5.002 about 0.000 0.000 F100.000, end" },
		{ "G3 X0 Y5.0021 I-5 J0", "!3:15 the arc's radius is 5 mm at its start and 5.0021 mm at its end" },
		{ "G2 X0 Y-5 I0 J0", "!3:11 the arc has no radius" },
		{ "G2 X0 Y-5 Z-1 I-5", "cw X0.000 Y-5.000 Z-1.000 about 0.000 0.000 F100.000, end" },
		{ "G2 Z-1 I-5", "!3:4 an arc tells X or Y" },
		{ "G2 X0 Y-5 I-5 K0", "!3:15 K0 (an arc's centre along Z) is not read" },
		{ "G2 X0 Y-5 I-5 P2", "!3:15 P2 belongs to G4" },
		{ "G91 G2 X-5 Y-5 I-5", "cw X0.000 Y-5.000 about 0.000 0.000 F100.000, end" },
		{ "G91 G2 X-5 Y-5 Z1 I-5", "!3:16 Z1 counts from where the axis stands" },
		{ "G90.1", "!3:1 G90.1 (how an arc's centre counts) is not read" },
		{ "G28 X6\nG2 X0 Y5 I-5", "rapid X6.000, home X, !4:4 an arc begins where X and Y are not known" },
	};
	char program[256];

	(void)state;
	for (size_t i = 0; i < COUNT(rows); i++) {
		char expected[256];

		snprintf(program, sizeof program, "G21 G90\nG0 X5 Y0 F100\n%s\nM2\n", rows[i].program);
		snprintf(expected, sizeof expected, "rapid X5.000 Y0.000, %s", rows[i].expected);
		expect(program, expected);
	}
	expect("G20 G0 X1 Y0\nG3 X0 Y1.00019 I-1 J0 F10\nM2\n",
	       "rapid X25.400 Y0.000, ccw X0.000 Y25.405 about 0.000 0.000 F254.000, end");
	expect("G20 G0 X1 Y0\nG3 X0 Y1.00021 I-1 J0 F10\nM2\n", "rapid X25.400 Y0.000, !2:16 0.0002 in between them");
	expect("G21 G2 X0 Y5 I-5\nM2\n", "!1:8 an arc begins where X and Y are not known");
	expect("G21 G0 X5\nG2 X0 I-5\nM2\n", "rapid X5.000, !2:4 an arc begins where X and Y are not known");
}

static void
positions_are_told_in_the_stocks_frame(void **state)
{
	const struct point zero = { 10 * LENGTH_MM, -20 * LENGTH_MM, 30 * LENGTH_MM };

	(void)state;
	expect_in(
	    TONGUE_POINT, zero,
	    "G21 G90\nG0 X1.0 Y2.0 Z3.0\nX0\nG91 X1.0\nG1 Y-1.0 F5\nG90 G2 X3.0 Y1.0 I1.0 J0\nG28 Z3.0\nZ4.0 G0\nM2\n",
	    "rapid X11.000 Y-18.000 Z33.000, rapid X10.000, rapid X11.000, feed Y-19.000 F5.000, "
	    "cw X13.000 Y-19.000 about 12.000 -19.000 F5.000, home Z, rapid Z34.000, end");
	expect_in(TONGUE_POINT, (struct point){ LENGTH_MAX, 0, 0 }, "G21 G0 X-1.0\nX0.001\nM2\n",
	          "rapid X9999.000, !2:1 X0.001 leads farther than 10 m");
}

static void
another_zero_must_be_told_before_the_first_move(void **state)
{
	static const struct row rows[] = {
		{ "G71 G55\nG0 X1.0\nM2\n", "rapid X1.000, end" },
		{ "G71\nG0 X1.0 G55\nM2\n", "rapid X1.000, end" },
		{ "G71\nG0 X1.0\nM2\n", "!2:4 the program moves before it has told the job's zero, G55" },
		{ "G71 G54\nM2\n", "!1:5 G54 is another zero than the job's, G55" },
		{ "G71 G56\nM2\n", "!1:5 G56 is no word of the dialect 'small'" },
		{ "G71 G91\nM2\n", "!1:5 G91 is no word of the dialect 'small'" },
		{ "G71 G55\nG0 X1.0 I2.0\nM2\n", "!2:9 I2.0 is no word of the dialect 'small'" },
		{ "{c}G71 G55 (d) ;e\nM2{f}\n", "end" },
		{ "G71 G55\nG0 X12\nM2\n", "!2:4 X12 has no point" },
	};

	(void)state;
	for (size_t i = 0; i < COUNT(rows); i++)
		expect_in(TONGUE_SMALL, (struct point){ 0, 0, 0 }, rows[i].program, rows[i].expected);
}

static void
fixed_figures_are_read_in_all_three_forms(void **state)
{
	const struct point nowhere = { 0, 0, 0 };

	(void)state;
	expect_in(TONGUE_LEADING, nowhere, "%\r\nN1G71G90\r\nG00X-12500Y5\r\nG01Z0F250\r\nM30\r\n%\r\n",
	          "rapid X-12.500 Y0.005, feed Z0.000 F250.000, end");
	expect_in(TONGUE_TRAILING, nowhere, "G71\nG0X0012Y-00125\nG1X0F025\nM2\n",
	          "rapid X12.000 Y-12.500, feed X0.000 F250.000, end");
	expect_in(TONGUE_ALL, nowhere, "G70\nG0X0010000Y-0000005\nG1X0000000F0105\nM2\n",
	          "rapid X25.400 Y-0.013, feed X0.000 F266.700, end");
	expect_in(TONGUE_LEADING, nowhere, "G71\nG0X1.5\nM2\n", "!2:3 X1.5 has a point");
}

/* Steps and fault are the same however the text is cut. */
static void
a_program_may_come_in_any_pieces(void **state)
{
	static const char *const programs[] = {
		"%\r\n(PART) ; x\r\nN10 G17 G21 G40 G49 G80\r\nG90 G94 G54\r\nT3 M6\r\nG43 H3\r\nS800 M3\r\nG0 "
		"Z30.0\r\n"
		"X-20.0 Y12.5\r\nM8\r\nG1 Z-.5 F250.0\r\nG2 X5.0 Y12.5 I12.5 J0\r\n\r\nG3 X6. Y13.5 Z1. R1.\r\n/G91 "
		"X1. Y-.25 R2.\r\n"
		"G4 P1.5\r\nG28 Z0\r\nG90 G53 G0 X0 Y0\r\nM1\r\nM5 M9\r\nM30\r\n%\r\n(c)\r\n",
		"G21\n\n\nG0 X1.0\nX1.2.3\nM2\n",
		"G21\nG0 X1.0\nX2.0\rX3.0\nM2\n",
		"G21\nG0 X1.0\nM2\nG0 X1.0\n",
		"G21\nG0 X1.0 Y",
		"G21\nG0 X1.0\n",
		"\n\n",
		"G21\n(01234567890123456789012345678901234567890123456789012345678901234567890123456789"
		"01234567890123456789012345678901234567890123456789012345678901234567890123456789"
		"012345678901234567890123456789012345678901234567890123456789012345678901234567890123456789012345678901"
		"23456789)\nM2\n",
	};
	const struct language language = language_by_hand(TONGUE_POINT);
	uint64_t              random   = 2645751311;

	(void)state;
	for (size_t i = 0; i < COUNT(programs); i++) {
		char        whole_text[TOLD_BYTES], pieces_text[TOLD_BYTES];
		struct text whole = text_over(whole_text, sizeof whole_text);
		size_t      size  = strlen(programs[i]);

		tell(&language, (struct point){ 0, 0, 0 }, programs[i], size, size, &whole);
		assert_true(whole.length > 0);
		for (size_t piece = 1; piece < size; piece += piece < 24 ? 1 : (size_t)random_between(&random, 1, 30)) {
			struct text pieces = text_over(pieces_text, sizeof pieces_text);

			tell(&language, (struct point){ 0, 0, 0 }, programs[i], size, piece, &pieces);
			assert_string_equal(whole.data, pieces.data);
		}
	}
}

static void
the_step_is_of_the_line_that_the_reader_names(void **state)
{
	static const char     program[] = "\n%\n\nG21 G90\r\n(c)\nG0 X1.0 M0\n\n/M3\nM2\n\n%\n\n";
	static const size_t   lines[]   = { 6, 6, 8, 9 };
	const struct language language  = language_by_hand(TONGUE_POINT);
	struct reader         reader;
	struct step           step;

	(void)state;
	for (size_t piece = 1; piece < sizeof program; piece++) {
		size_t count = 0;

		reader_begin(&reader, &language, (struct point){ 0, 0, 0 });
		for (size_t at = 0; at < sizeof program - 1; at += piece) {
			const size_t rest = sizeof program - 1 - at;

			reader_feed(&reader, program + at, rest < piece ? rest : piece);
			while (reader_next(&reader, &step)) {
				assert_true(count < COUNT(lines));
				assert_int_equal(reader.line, lines[count]);
				count++;
			}
		}
		reader_end(&reader);
		assert_false(reader_next(&reader, &step));
		assert_false(reader.refused);
		assert_int_equal(count, COUNT(lines));
		assert_int_equal(reader.line, 12);
		assert_int_equal(reader.deleted, 1);
		assert_true(reader.framed);
	}
}

static void
the_longest_line_has_as_many_characters_as_the_dialect_says(void **state)
{
	const struct language language = language_by_hand(TONGUE_SMALL); /* 40 */
	char                  program[128];

	(void)state;
	for (int length = 38; length <= 43; length++)
		for (int crlf = 0; crlf < 2; crlf++)
			for (size_t piece = 1; piece < 60; piece++) {
				char        told_text[256];
				struct text told = text_over(told_text, sizeof told_text);

				snprintf(program, sizeof program, "G71 G55\n(%0*d)%sM2\n", length - 2, 0,
				         crlf ? "\r\n" : "\n");
				tell(&language, (struct point){ 0, 0, 0 }, program, strlen(program), piece, &told);
				assert_string_equal(
				    told.data, length <= 40 ? "end" : "!2:41 the line is longer than 40 characters");
			}
}

/* A thousand million bytes on one line, or none at all that are text, are refused within the first five hundred. */
static void
a_line_without_end_is_refused_at_once(void **state)
{
	static const struct {
		const char *pattern;
		size_t      size;
		const char *fault;
	} cases[] = {
		{ "X1.0 ", 5, "!1:254 the line is longer than 253 characters" },
		{ "(", 1, "!1:254 the line is longer than 253 characters" },
		{ "1", 1, "!1:254 the line is longer than 253 characters" },
		{ "\0", 1, "!1:1 a control character, 0x00" },
		{ "G0 X1.0\r", 8, "!1:8 a CR has no LF behind it" },
		{ "(\177", 2, "!1:254 the line is longer" },
	};
	static char           chunk[1 << 16];
	const struct language language = language_by_hand(TONGUE_POINT);
	struct reader         reader;
	struct step           step;

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		char        told_text[256];
		struct text told = text_over(told_text, sizeof told_text);

		for (size_t at = 0; at < sizeof chunk; at++)
			chunk[at] = cases[i].pattern[at % cases[i].size];
		tell(&language, (struct point){ 0, 0, 0 }, chunk, 512, 1, &told);
		assert_true(matches(told.data, cases[i].fault));
		reader_begin(&reader, &language, (struct point){ 0, 0, 0 });
		for (int chunks = 0; chunks < 16384; chunks++) {
			reader_feed(&reader, chunk, sizeof chunk);
			assert_false(reader_next(&reader, &step));
			assert_true(reader.refused);
		}
		assert_int_equal(reader.bytes, (uint64_t)1 << 30);
	}
}

static void
nobody_knows_what_is_in_a_binary_file_but_it_is_no_program(void **state)
{
	const struct language language = language_by_hand(TONGUE_BARE);
	uint64_t              random   = 3316624790;
	char                  bytes[2048];

	(void)state;
	for (int i = 0; i < 2000; i++) {
		const uint64_t seed = random;
		char           told_text[TOLD_BYTES];
		struct text    told = text_over(told_text, sizeof told_text);
		size_t         size = (size_t)random_between(&random, 1, sizeof bytes);

		for (size_t at = 0; at < size; at++)
			bytes[at] = (char)random_next(&random);
		tell(&language, (struct point){ 0, 0, 0 }, bytes, size,
		     (size_t)random_between(&random, 1, (int64_t)size), &told);
		holds(seed, strchr(told.data, '!'));
	}
}

/* What is harmless changes nothing: blanks, small letters, comments, numbers, the order of words, words said again. */
static void
harmless_changes_change_nothing(void **state)
{
	static const char plain[] = "G21 G90\nT3 M6\nG43 H3\nS800 M3\nG0 X-20.0 Y12.5\nZ2.0\nG1 Z-0.5 F250.0\nX60.0\n"
				    "G3 X60.0 Y12.5 I5.0 J0\nG0 Z30.0\nM5\nM30\n";
	static const char same[] =
	    "(C)\n%\n/g90g21 (c)\n  m06 t03;c\nN1 h3 G43\nN1 M3 S800\n\nO5N7y12.50 x-020. g00\ng0 z 2. 0\n"
	    "F250 Z-.5 G01\nG1 X60. F250.\nJ-0. I+5.000 Y12.5 G03 X60.00\n(c) G00 Z30.\nM5.0\n(c)\nm30 (d)\n\t%\n";
	const struct language language = language_by_hand(TONGUE_POINT);
	char                  a_text[TOLD_BYTES], b_text[TOLD_BYTES];
	struct text           a = text_over(a_text, sizeof a_text), b = text_over(b_text, sizeof b_text);

	(void)state;
	tell(&language, (struct point){ 0, 0, 0 }, plain, sizeof plain - 1, 1000, &a);
	assert_string_equal(a.data,
	                    "tool 3, length 3, spindle cw 800, rapid X-20.000 Y12.500, rapid Z2.000, "
	                    "feed Z-0.500 F250.000, feed X60.000 F250.000, "
	                    "ccw X60.000 Y12.500 about 65.000 12.500 F250.000, rapid Z30.000, spindle off 0, end");
	tell(&language, (struct point){ 0, 0, 0 }, same, sizeof same - 1, 1000, &b);
	assert_string_equal(a.data, b.data);
}

struct written {
	struct arena   arena;
	struct diag    diag;
	struct source  source;
	struct dialect dialect;
	struct heading heading;
	struct writer  writer;
	struct text    out;
	char           bytes[PROGRAM_BYTES];
};

static struct written written;

static void
written_open(const char *post, enum units units, struct point zero)
{
	const struct shipped *shipped = SHIPPED_DIALECTS;

	while (shipped->name && strcmp(shipped->name, post) != 0)
		shipped++;
	assert_non_null(shipped->name);
	written.arena   = (struct arena){ 0 };
	written.diag    = (struct diag){ .arena = &written.arena };
	written.source  = (struct source){ post, shipped->text, strlen(shipped->text), UNITS_NONE };
	written.heading = (struct heading){ .units = units, .zero = zero, .work_offset = 54 };
	written.out     = text_over(written.bytes, sizeof written.bytes);
	assert_true(dialect_read(&written.source, &written.arena, &written.dialect, &written.diag));
}

static void
written_close(void)
{
	arena_release(&written.arena);
}

/* Where a walked path stands, and what of it a writer says: nobody knows where the machine stands after a tool or a stop. */
struct walked {
	struct point at;
	unsigned     known;
};

static bool
walk(struct walked *walked, const struct step *step)
{
	struct point to = walked->at;
	bool         moves;

	if (step->kind == STEP_NOTE)
		return false;
	if (step->kind == STEP_TOOL || step->kind == STEP_STOP)
		walked->known = 0;
	if (step->kind != STEP_RAPID && step->kind != STEP_FEED && step->kind != STEP_ARC)
		return true;
	to.x  = step->axes & AXIS_X ? step->to.x : to.x;
	to.y  = step->axes & AXIS_Y ? step->to.y : to.y;
	to.z  = step->axes & AXIS_Z ? step->to.z : to.z;
	moves = step->axes & ~walked->known || to.x != walked->at.x || to.y != walked->at.y || to.z != walked->at.z;
	walked->at = to;
	walked->known |= step->axes;
	return moves || step->kind == STEP_ARC;
}

static void
compare(uint64_t seed, const struct walked *walked, const struct step *planned, const struct step *read)
{
	const bool moves = planned->kind == STEP_RAPID || planned->kind == STEP_FEED || planned->kind == STEP_ARC;

	holds(seed, read->kind == planned->kind);
	holds(seed, !moves || (read->axes & ~walked->known) == 0);
	holds(seed, !moves || (read->to.x == walked->at.x && read->to.y == walked->at.y && read->to.z == walked->at.z));
	holds(seed, planned->kind != STEP_FEED || read->feed == planned->feed);
	holds(seed, planned->kind != STEP_ARC ||
	                (read->centre.x == planned->centre.x && read->centre.y == planned->centre.y &&
	                 read->clockwise == planned->clockwise && read->feed == planned->feed));
	holds(seed,
	      planned->kind != STEP_SPINDLE || (read->rotation == planned->rotation && read->rpm == planned->rpm));
	holds(seed, planned->kind != STEP_COOLANT || read->coolant == planned->coolant);
	holds(seed, planned->kind != STEP_TOOL || read->tool == planned->tool);
	holds(seed, planned->kind != STEP_STOP || !read->optional);
}

/* The next step but the lengths of tools, which no plan has. */
static bool
next_planned(struct reader *reader, struct step *step)
{
	bool read = reader_next(reader, step);

	while (read && step->kind == STEP_LENGTH)
		read = reader_next(reader, step);
	return read;
}

static bool
round_trip(uint64_t seed, const char *post, enum tongue tongue, const struct planning *planning)
{
	const struct language language = language_by_hand(tongue);
	struct walked         walked   = { 0 };
	struct path           path;
	struct step           step, read;
	struct reader         reader;
	bool                  whole;

	written_open(post, planning->job.units, planning->plan.zero);
	whole = writer_begin(&written.writer, &written.dialect, &written.heading, &written.out, &written.diag);
	path_start(&path, &planning->plan);
	while (whole && path_next(&path, &step))
		whole = writer_step(&written.writer, &step);
	if (whole) {
		reader_begin(&reader, &language, planning->plan.zero);
		reader_feed(&reader, written.bytes, written.out.length);
		path_start(&path, &planning->plan);
		while (path_next(&path, &step)) {
			if (!walk(&walked, &step))
				continue;
			if (!next_planned(&reader, &read))
				fail_msg("seed %llu: %s: line %zu: %s", (unsigned long long)seed, post,
				         reader.fault.line, reader.refused ? reader.fault.text : "it is over");
			compare(seed, &walked, &step, &read);
		}
		holds(seed, !next_planned(&reader, &read));
		reader_end(&reader);
		holds(seed, !next_planned(&reader, &read));
		holds(seed, !reader.refused);
	}
	written_close();
	return whole;
}

static void
what_was_written_is_read_as_it_was_planned(void **state)
{
	uint64_t random = 3605551275;
	int      trips = 0, fixed = 0;

	(void)state;
	for (int i = 0; i < 400; i++) {
		const uint64_t  seed = random;
		char            yaml[4096];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		random_job(&random, "round trip", &out);
		holds(seed, !out.failed);
		if (planning_open(&planning, yaml) &&
		    planning_plan(&planning, random_chance(&random, 2) ? ALONG_X : ALONG_Y)) {
			trips += round_trip(seed, "rs274ngc", TONGUE_POINT, &planning);
			trips += round_trip(seed, "rs274ngc", TONGUE_BARE, &planning);
			fixed += round_trip(seed, "rs274d", TONGUE_LEADING, &planning);
		}
		planning_close(&planning);
	}
	assert_true(trips > 100);
	assert_true(fixed > 30);
}

static void
arcs_are_read_as_they_were_written(void **state)
{
	uint64_t random = 4123105625;

	(void)state;
	for (int i = 0; i < 2000; i++) {
		const uint64_t   seed          = random;
		const enum units units         = random_chance(&random, 2) ? UNITS_MM : UNITS_INCH;
		const Length     grid          = units_length(units) / (units == UNITS_MM ? 1000 : 10000);
		const double     radius        = (double)(random_between(&random, 5, 100000) * grid);
		const double     start         = (double)random_between(&random, 0, 6283) / 1000,
			     end               = (double)random_between(&random, 0, 6283) / 1000;
		const struct point    zero     = { random_between(&random, -99, 99) * 1000, 12345, 0 };
		const struct point    centre   = { zero.x + random_between(&random, -99999, 99999) * grid,
			                           zero.y - 77 * grid, 0 };
		const struct language language = language_by_hand(TONGUE_POINT);
		struct walked         walked   = { 0 };
		struct reader         reader;
		struct step           read;
		struct step           steps[] = {
				  { .kind = STEP_RAPID,
			            .axes = AXIS_X | AXIS_Y,
			            .to   = { centre.x + length_near((Length)(radius * cos(start)), grid),
			                      centre.y + length_near((Length)(radius * sin(start)), grid), 0 } },
				  { .kind      = STEP_ARC,
			            .axes      = AXIS_X | AXIS_Y | (random_chance(&random, 2) ? AXIS_Z : 0u),
			            .to        = { centre.x + length_near((Length)(radius * cos(end)), grid),
			                           centre.y + length_near((Length)(radius * sin(end)), grid), zero.z + 500 * grid },
			            .centre    = centre,
			            .clockwise = random_chance(&random, 2),
			            .feed      = units_length(units) * 3 },
				  { .kind = STEP_END },
		};

		if (random_chance(&random, 10))
			steps[1].to = steps[0].to;
		written_open("rs274ngc", units, zero);
		holds(seed,
		      writer_begin(&written.writer, &written.dialect, &written.heading, &written.out, &written.diag));
		for (size_t k = 0; k < COUNT(steps); k++)
			holds(seed, writer_step(&written.writer, &steps[k]));
		reader_begin(&reader, &language, zero);
		reader_feed(&reader, written.bytes, written.out.length);
		for (size_t k = 0; k < COUNT(steps); k++) {
			walk(&walked, &steps[k]);
			if (!reader_next(&reader, &read))
				fail_msg("seed %llu: %s", (unsigned long long)seed, reader.fault.text);
			compare(seed, &walked, &steps[k], &read);
		}
		written_close();
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_program_has_one_end_and_perhaps_a_frame),
		cmocka_unit_test(what_is_cut_off_has_no_end),
		cmocka_unit_test(a_line_is_read_as_the_standard_has_it),
		cmocka_unit_test(numbers_are_read_or_refused),
		cmocka_unit_test(words_that_exclude_one_another_do_not_stand_together),
		cmocka_unit_test(a_tools_length_takes_away_where_z_stands),
		cmocka_unit_test(codes_do_what_the_standard_says_or_are_refused),
		cmocka_unit_test(a_retract_goes_home_by_way_of_its_point),
		cmocka_unit_test(feed_and_spindle_hold_until_they_are_told_anew),
		cmocka_unit_test(arcs_are_read_from_where_the_cutter_stands),
		cmocka_unit_test(positions_are_told_in_the_stocks_frame),
		cmocka_unit_test(another_zero_must_be_told_before_the_first_move),
		cmocka_unit_test(fixed_figures_are_read_in_all_three_forms),
		cmocka_unit_test(a_program_may_come_in_any_pieces),
		cmocka_unit_test(the_step_is_of_the_line_that_the_reader_names),
		cmocka_unit_test(the_longest_line_has_as_many_characters_as_the_dialect_says),
		cmocka_unit_test(a_line_without_end_is_refused_at_once),
		cmocka_unit_test(nobody_knows_what_is_in_a_binary_file_but_it_is_no_program),
		cmocka_unit_test(harmless_changes_change_nothing),
		cmocka_unit_test(what_was_written_is_read_as_it_was_planned),
		cmocka_unit_test(arcs_are_read_as_they_were_written),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
