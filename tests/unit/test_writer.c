#include "planning.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "skimcut/shipped.h"
#include "skimcut/writer.h"

enum { PROGRAM_BYTES = 1 << 17, X_Y = AXIS_X | AXIS_Y };

#define UM           1000
#define COUNT(array) (sizeof(array) / sizeof(array)[0])

/* A dialect and what was written in it; close it. */
struct bench {
	struct arena   arena;
	struct diag    diag;
	struct source  source;
	struct dialect dialect;
	struct heading heading;
	struct writer  writer;
	struct text    out;
	char           yaml[1024];
	char           program[PROGRAM_BYTES];
};

static struct bench bench;

static void
bench_open(const char *yaml)
{
	bench.arena   = (struct arena){ 0 };
	bench.diag    = (struct diag){ .arena = &bench.arena };
	bench.source  = (struct source){ "own.yaml", yaml, strlen(yaml), UNITS_NONE };
	bench.heading = (struct heading){ .units = UNITS_MM, .work_offset = 54 };
	bench.out     = text_over(bench.program, sizeof bench.program);
	if (!dialect_read(&bench.source, &bench.arena, &bench.dialect, &bench.diag))
		fail_msg("no dialect: %s\n%s", bench.diag.first ? bench.diag.first->text : "", yaml);
}

/* The least that a dialect has, and `own` lines. Its blocks: G21 or G20 begins, S turns clockwise, O stops turning, E ends. */
static void
bench_open_own(const char *own)
{
	struct text out = text_over(bench.yaml, sizeof bench.yaml);

	text_format(&out, "name: own\nresolution: {mm: 0.001 mm, inch: 0.0001 in}\n"
	                  "feed_resolution: {mm: 1 mm/min, inch: 0.1 in/min}\n");
	if (strncmp(own, "begin:", 6) != 0)
		text_string(&out, "begin: '{units}'\n");
	if (strncmp(own, "spindle:", 8) != 0)
		text_string(&out, "spindle: {clockwise: 'S{speed}', off: O}\n");
	text_format(&out, "end: E\n%s\n", own);
	assert_false(out.failed);
	bench_open(text_end(&out));
}

static void
bench_close(void)
{
	arena_release(&bench.arena);
}

static bool
begin(void)
{
	return writer_begin(&bench.writer, &bench.dialect, &bench.heading, &bench.out, &bench.diag);
}

static bool
write_steps(const struct step *steps, size_t count)
{
	bool written = begin();

	for (size_t i = 0; i < count; i++)
		written = written && writer_step(&bench.writer, &steps[i]);
	return written;
}

static void
expect(const char *program)
{
	assert_null(bench.diag.first);
	assert_string_equal(text_end(&bench.out), program);
}

static struct step
rapid(unsigned axes, Length x, Length y, Length z)
{
	return (struct step){ .kind = STEP_RAPID, .axes = axes, .to = { x * UM, y * UM, z * UM } };
}

static struct step
feed(unsigned axes, Length x, Length y, Length z, Speed feed_mm_min)
{
	return (struct step){
		.kind = STEP_FEED, .axes = axes, .to = { x * UM, y * UM, z * UM }, .feed = feed_mm_min * LENGTH_MM
	};
}

static struct step
arc(bool clockwise, Length x, Length y, Length centre_x, Length centre_y)
{
	return (struct step){ .kind      = STEP_ARC,
		              .axes      = X_Y,
		              .to        = { x * UM, y * UM, 0 },
		              .centre    = { centre_x * UM, centre_y * UM, 0 },
		              .clockwise = clockwise,
		              .feed      = 250 * LENGTH_MM };
}

static struct step
spindle(enum rotation rotation, int64_t rpm)
{
	return (struct step){ .kind = STEP_SPINDLE, .rotation = rotation, .rpm = rpm };
}

static struct step
coolant(enum coolant kind)
{
	return (struct step){ .kind = STEP_COOLANT, .coolant = kind };
}

static struct step
tool(int64_t number)
{
	return (struct step){ .kind = STEP_TOOL, .tool = number };
}

static struct step
words(enum step_kind kind, const char *text)
{
	return (struct step){ .kind = kind, .text = text };
}

/*
 * Every kind of step; microns. The quarter circles have a radius of 4 um, so that without arcs each is two short lines: over
 * its middle, 2.83 um along and across from the centre, to its end.
 */
static void
every_shipped_dialect_says_every_step(void **state)
{
	static const struct {
		const char   *post;
		enum rotation again; /* the plain one turns one way only */
		const char   *program;
	} cases[] = {
		{ "rs274ngc", ROTATION_COUNTERCLOCKWISE,
		  "%\n(PART ONE)\nG17 G21 G40 G49 G80\nG90 G94 G55\nT3 M6\nG43 H3\nS800 M3\nG0 Z30.0\n(CUT 1)\n"
		  "X-20.0 Y12.5\nM8\nZ2.0\nG1 Z-0.5 F250.0\nX60.0\nG3 X60.004 Y12.504 I0.0 J0.004\n"
		  "G2 X60.008 Y12.508 I0.004 J0.0\nM7\nM9\nM5\n(MEASURE)\nM0\nS700 M4\nG0 Z30.0\nX-20.0 Y12.5\n"
		  "G1 Z-1.0 F250.0\nX60.0 F125.0\nM5\nM30\n%\n" },
		{ "iso6983", ROTATION_COUNTERCLOCKWISE,
		  "%\n(PART ONE)\nN10 G17 G71 G40 G80\nN20 G90 G94 G55\nN30 T3 M06\nN40 G43 H3\nN50 S800 M03\n"
		  "N60 G00 Z30.0\n(CUT 1)\nN70 X-20.0 Y12.5\nN80 M08\nN90 Z2.0\nN100 G01 Z-0.5 F250.0\nN110 X60.0\n"
		  "N120 G03 X60.004 Y12.504 I0.0 J0.004\nN130 G02 X60.008 Y12.508 I0.004 J0.0\nN140 M07\nN150 M09\n"
		  "N160 M05\n(MEASURE)\nN170 M00\nN180 S700 M04\nN190 G00 Z30.0\nN200 X-20.0 Y12.5\n"
		  "N210 G01 Z-1.0 F250.0\nN220 X60.0 F125.0\nN230 M05\nN240 M30\n%\n" },
		{ "rs274d", ROTATION_COUNTERCLOCKWISE,
		  "%\r\n(PART ONE)\r\nN0001G17G71G40G80G90G94\r\nN0002T3M06\r\nN0003S800M03\r\nN0004G00Z30000\r\n"
		  "(CUT 1)\r\nN0005X-20000Y12500\r\nN0006M08\r\nN0007Z2000\r\nN0008G01Z-500F250\r\nN0009X60000\r\n"
		  "N0010X60003Y12501\r\nN0011X60004Y12504\r\nN0012X60005Y12507\r\nN0013X60008Y12508\r\nN0014M07\r\n"
		  "N0015M09\r\nN0016M05\r\n(MEASURE)\r\nN0017M00\r\nN0018S700M04\r\nN0019G00Z30000\r\n"
		  "N0020X-20000Y12500\r\nN0021G01Z-1000F250\r\nN0022X60000F125\r\nN0023M05\r\nN0024M30\r\n%\r\n" },
		{ "plain", ROTATION_CLOCKWISE,
		  "(PART ONE)\nG17 G21 G40 G49 G80\nG90 G94 G55\nS800 M3\nG0 Z30.0\n(CUT 1)\nX-20.0 Y12.5\nM8\nZ2.0\n"
		  "G1 Z-0.5 F250.0\nX60.0\nG3 X60.004 Y12.504 I0.0 J0.004\nG2 X60.008 Y12.508 I0.004 J0.0\nM7\nM9\nM5\n"
		  "(MEASURE)\nM0\nS700 M3\nG0 Z30.0\nX-20.0 Y12.5\nG1 Z-1.0 F250.0\nX60.0 F125.0\nM5\nM2\n" },
	};
	static const char *const lines[] = { "part one" };

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		const struct step steps[] = {
			tool(3),
			spindle(ROTATION_CLOCKWISE, 800),
			rapid(AXIS_Z, 0, 0, 40000),
			words(STEP_NOTE, "cut 1"),
			rapid(X_Y, -20000, 12500, 0),
			coolant(COOLANT_FLOOD),
			rapid(AXIS_Z, 0, 0, 12000),
			feed(AXIS_Z, 0, 0, 9500, 250),
			feed(X_Y, 60000, 12500, 0, 250),
			arc(false, 60004, 12504, 60000, 12504),
			arc(true, 60008, 12508, 60008, 12504),
			coolant(COOLANT_MIST),
			coolant(COOLANT_NONE),
			spindle(ROTATION_OFF, 0),
			words(STEP_STOP, "measure"),
			spindle(cases[i].again, 700),
			rapid(AXIS_Z, 0, 0, 40000),
			rapid(X_Y, -20000, 12500, 0),
			feed(AXIS_Z, 0, 0, 9000, 250),
			feed(X_Y, 60000, 12500, 0, 125),
			spindle(ROTATION_OFF, 0),
			{ .kind = STEP_END },
		};
		const struct shipped *shipped = SHIPPED_DIALECTS;

		while (shipped->name && strcmp(shipped->name, cases[i].post) != 0)
			shipped++;
		assert_non_null(shipped->name);
		bench_open(shipped->text);
		bench.heading.work_offset = 55;
		bench.heading.zero        = (struct point){ 0, 0, 10 * LENGTH_MM };
		bench.heading.lines       = lines;
		bench.heading.line_count  = 1;
		assert_true(write_steps(steps, COUNT(steps)));
		expect(cases[i].program);
		bench_close();
	}
}

static void
an_inch_program_counts_in_inches_from_its_zero(void **state)
{
	struct step steps[] = { rapid(X_Y, 25400, 0, 0),
		                { .kind = STEP_FEED, .axes = AXIS_X, .to = { 2540, 0, 0 }, .feed = 83 * 2540000 } };

	(void)state;
	bench_open_own("begin: '{units} {offset} O{number}'");
	bench.heading = (struct heading){
		.units = UNITS_INCH, .zero = { 2 * LENGTH_INCH, -LENGTH_INCH / 2, 0 }, .work_offset = 59, .number = 1001
	};
	assert_true(write_steps(steps, COUNT(steps)));
	expect("G20 G59 O1001\nG0 X-1.0 Y0.5\nG1 X-1.9999 F8.3\n");
	bench_close();
}

static void
only_what_changes_is_said_unless_the_dialect_repeats(void **state)
{
	static const struct {
		const char *own, *program;
	} cases[] = {
		{ "repeat: []", "G21\nG0 X1.0 Y2.0\nX3.0\nG1 X5.0 F100\nY9.0\nX6.0 F90\nE\n" },
		{ "about: none", "G21\nG0 X1.0 Y2.0\nX3.0\nG1 X5.0 F100\nY9.0\nX6.0 F90\nE\n" },
		{ "repeat: motion", "G21\nG0 X1.0 Y2.0\nG0 X3.0\nG1 X5.0 F100\nG1 Y9.0\nG1 X6.0 F90\nE\n" },
		{ "repeat: feed", "G21\nG0 X1.0 Y2.0\nX3.0\nG1 X5.0 F100\nY9.0 F100\nX6.0 F90\nE\n" },
		{ "repeat: [coordinates]",
		  "G21\nG0 X1.0 Y2.0\nX3.0 Y2.0\nX3.0 Y2.0\nG1 X5.0 Y2.0 F100\nX5.0 Y9.0\nX6.0 Y9.0 F90\nE\n" },
		{ "repeat: [motion, coordinates, feed]",
		  "G21\nG0 X1.0 Y2.0\nG0 X3.0 Y2.0\nG0 X3.0 Y2.0\nG1 X5.0 Y2.0 F100\nG1 X5.0 Y9.0 F100\n"
		  "G1 X6.0 Y9.0 F90\nE\n" },
	};

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		const struct step steps[] = {
			rapid(X_Y, 1000, 2000, 0),     rapid(X_Y, 3000, 2000, 0),
			rapid(X_Y, 3000, 2000, 0), /* goes nowhere */
			feed(X_Y, 5000, 2000, 0, 100), feed(X_Y, 5000, 9000, 0, 100),
			feed(X_Y, 6000, 9000, 0, 90),  { .kind = STEP_END },
		};

		bench_open_own(cases[i].own);
		assert_true(write_steps(steps, COUNT(steps)));
		expect(cases[i].program);
		bench_close();
	}
}

static void
all_is_said_again_after_a_stop_and_a_tool(void **state)
{
	const struct step steps[] = {
		feed(X_Y, 1000, 2000, 0, 100), words(STEP_STOP, ""),          feed(X_Y, 1000, 2000, 0, 100), tool(4),
		feed(X_Y, 1000, 2000, 0, 100), feed(X_Y, 1000, 3000, 0, 100),
	};

	(void)state;
	bench_open_own("stop: M0\ntool: 'T{tool} M6'");
	assert_true(write_steps(steps, COUNT(steps)));
	expect("G21\nG1 X1.0 Y2.0 F100\nM0\nG1 X1.0 Y2.0 F100\nT4 M6\nG1 X1.0 Y2.0 F100\nY3.0\n");
	bench_close();
}

/* The first tool may be in the spindle already. */
static void
a_dialect_without_tools_says_nothing_of_the_first(void **state)
{
	const struct step steps[] = { tool(3), rapid(AXIS_Z, 0, 0, 1000) };

	(void)state;
	bench_open_own("about: none");
	assert_true(write_steps(steps, COUNT(steps)));
	expect("G21\nG0 Z1.0\n");
	bench_close();
}

static void
block_numbers_wrap_around_and_keep_their_digits(void **state)
{
	static const struct {
		const char *own, *program;
	} cases[] = {
		{ "block_numbers: {first: 5, step: 5, last: 12, digits: 3}\nhead: H\ntail: [T]",
		  "H\nN005 G21\nN010 G0 X0.0\nN005 X1.0\nN010 X0.0\nN005 X1.0\nN010 E\nT\n" },
		{ "block_numbers: {}", "N10 G21\nN20 G0 X0.0\nN30 X1.0\nN40 X0.0\nN50 X1.0\nN60 E\n" },
		{ "block_numbers: {first: 0, step: 1, last: 3}\nseparator: ''",
		  "N0G21\nN1G0X0.0\nN2X1.0\nN3X0.0\nN0X1.0\nN1E\n" },
		{ "block_numbers: {first: 7, last: 7, digits: 5}",
		  "N00007 G21\nN00007 G0 X0.0\nN00007 X1.0\nN00007 X0.0\nN00007 X1.0\nN00007 E\n" },
	};
	const struct step steps[] = { rapid(AXIS_X, 0, 0, 0),
		                      rapid(AXIS_X, 1000, 0, 0),
		                      rapid(AXIS_X, 0, 0, 0),
		                      rapid(AXIS_X, 1000, 0, 0),
		                      { .kind = STEP_END } };

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		bench_open_own(cases[i].own);
		assert_true(write_steps(steps, COUNT(steps)));
		expect(cases[i].program);
		bench_close();
	}
}

static void
every_line_ends_as_the_dialect_says(void **state)
{
	static const char *const lines[] = { "title" };
	const struct step        steps[] = { words(STEP_NOTE, "note"), rapid(AXIS_X, 0, 0, 0), { .kind = STEP_END } };

	(void)state;
	bench_open_own("line_end: crlf\ncomment: {}\nhead: '%'\ntail: '%'");
	bench.heading.lines      = lines;
	bench.heading.line_count = 1;
	assert_true(write_steps(steps, COUNT(steps)));
	expect("%\r\n(TITLE)\r\nG21\r\n(NOTE)\r\nG0 X0.0\r\nE\r\n%\r\n");
	bench_close();
}

#define WHOLE_4 "numerals: {whole: {mm: 4}, feed_whole: {mm: 4}, form: "

/* NULL: refused, the number has too many digits. */
static void
numbers_take_the_form_of_the_dialect(void **state)
{
	static const struct {
		const char *own;
		Length      um;
		const char *word;
	} cases[] = {
		{ WHOLE_4 "point}", 0, "0.0" },
		{ WHOLE_4 "point}", 1, "0.001" },
		{ WHOLE_4 "point}", -1, "-0.001" },
		{ WHOLE_4 "point}", 1500, "1.5" },
		{ WHOLE_4 "point}", -20000, "-20.0" },
		{ WHOLE_4 "point}", 9999999, "9999.999" },
		{ WHOLE_4 "point}", -10000000, NULL },
		{ WHOLE_4 "no-leading-zeros}", 0, "0" },
		{ WHOLE_4 "no-leading-zeros}", 1, "1" },
		{ WHOLE_4 "no-leading-zeros}", -1, "-1" },
		{ WHOLE_4 "no-leading-zeros}", 1500, "1500" },
		{ WHOLE_4 "no-leading-zeros}", 9999999, "9999999" },
		{ WHOLE_4 "no-leading-zeros}", 10000000, NULL },
		{ WHOLE_4 "no-trailing-zeros}", 0, "0" },
		{ WHOLE_4 "no-trailing-zeros}", 1, "0000001" },
		{ WHOLE_4 "no-trailing-zeros}", 1500, "00015" },
		{ WHOLE_4 "no-trailing-zeros}", -20000, "-002" },
		{ WHOLE_4 "no-trailing-zeros}", 1000000, "1" },
		{ WHOLE_4 "no-trailing-zeros}", -9999999, "-9999999" },
		{ WHOLE_4 "no-trailing-zeros}", -10000000, NULL },
		{ WHOLE_4 "all-digits}", 0, "0000000" },
		{ WHOLE_4 "all-digits}", 1, "0000001" },
		{ WHOLE_4 "all-digits}", -1, "-0000001" },
		{ WHOLE_4 "all-digits}", 1500, "0001500" },
		{ WHOLE_4 "all-digits}", 9999999, "9999999" },
		{ WHOLE_4 "all-digits}", 10000000, NULL },
		{ "numerals: {whole: {mm: 1}, form: point}", -9999, "-9.999" },
		{ "numerals: {whole: {mm: 1}, form: point}", 10000, NULL },
		{ "about: five by default", 99999999, "99999.999" },
		{ "about: five by default", 100000000, NULL },
	};

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct step step = rapid(AXIS_Y, 0, cases[i].um, 0);
		char        program[64];

		bench_open_own(cases[i].own);
		if (cases[i].word) {
			snprintf(program, sizeof program, "G21\nG0 Y%s\n", cases[i].word);
			assert_true(write_steps(&step, 1));
			expect(program);
		} else {
			if (write_steps(&step, 1))
				fail_msg("%s: %lld um is written", cases[i].own, (long long)cases[i].um);
			assert_non_null(message_with(&bench.diag, SEVERITY_REFUSED, "numbers of so many digits"));
			assert_int_equal(bench.diag.errors, 1);
		}
		bench_close();
	}
}

static void
feeds_take_their_own_digits(void **state)
{
	static const struct {
		const char *own, *word;
		Speed       mm_min;
	} cases[] = {
		{ "numerals: {feed_whole: {mm: 3}, form: point}", "250", 250 },
		{ "numerals: {feed_whole: {mm: 3}, form: all-digits}", "025", 25 },
		{ WHOLE_4 "no-trailing-zeros}", "025", 250 },
		{ WHOLE_4 "no-leading-zeros}", "250", 250 },
		{ "numerals: {feed_whole: {mm: 3}, form: point}", NULL, 1000 },
	};

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct step step = feed(AXIS_Z, 0, 0, 0, cases[i].mm_min);

		bench_open_own(cases[i].own);
		if (cases[i].word) {
			assert_true(write_steps(&step, 1));
			assert_string_equal(strchr(text_end(&bench.out), 'F') + 1,
			                    strcat(strcpy(bench.yaml, cases[i].word), "\n"));
		} else {
			assert_false(write_steps(&step, 1));
			assert_int_equal(bench.diag.errors, 1);
		}
		bench_close();
	}
}

static void
a_block_over_the_longest_is_refused(void **state)
{
	const struct step fits        = rapid(AXIS_X | AXIS_Y | AXIS_Z, 12345000, 12345678, 12345000);
	const struct step long_by_one = rapid(AXIS_X | AXIS_Y | AXIS_Z, 12345000, -12345678, 12345000);

	(void)state;
	/* G0 X12345.0 Y12345.678 Z12345.0 */
	bench_open_own("longest_block: 31");
	assert_true(write_steps(&fits, 1));
	expect("G21\nG0 X12345.0 Y12345.678 Z12345.0\n");
	bench_close();
	bench_open_own("longest_block: 31");
	assert_false(write_steps(&long_by_one, 1));
	assert_non_null(message_with(&bench.diag, SEVERITY_REFUSED, "a block this long"));
	assert_false(writer_step(&bench.writer, &long_by_one));
	assert_int_equal(bench.diag.errors, 1);
	bench_close();
	bench_open_own("begin: '{units} A12345678901234567890123456'\nlongest_block: 30");
	assert_false(begin());
	assert_int_equal(bench.diag.errors, 1);
	bench_close();
}

static void
what_the_dialect_cannot_say_is_refused_once(void **state)
{
	const struct {
		const char *own, *part;
		struct step step;
	} cases[] = {
		{ "about: none", "flood coolant", coolant(COOLANT_FLOOD) },
		{ "about: none", "mist coolant", coolant(COOLANT_MIST) },
		{ "coolant: {mist: M7, off: M9}", "flood coolant", coolant(COOLANT_FLOOD) },
		{ "coolant: {flood: M8, off: M9}", "mist coolant", coolant(COOLANT_MIST) },
		{ "about: none", "a stop to measure", words(STEP_STOP, "") },
		{ "about: none", "tool changes", tool(2) },
		{ "about: none", "counterclockwise", spindle(ROTATION_COUNTERCLOCKWISE, 500) },
	};

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct step           first = tool(1);
		const struct message *message;

		bench_open_own(cases[i].own);
		assert_true(write_steps(&first, 1));
		assert_false(writer_step(&bench.writer, &cases[i].step));
		assert_false(writer_step(&bench.writer, &cases[i].step));
		message = message_with(&bench.diag, SEVERITY_REFUSED, cases[i].part);
		assert_non_null(message);
		assert_non_null(strstr(message->text, "'own'"));
		assert_ptr_equal(message->place.source, &bench.source);
		assert_int_equal(bench.diag.errors, 1);
		assert_ptr_equal(bench.diag.first, bench.diag.last);
		bench_close();
	}
}

static void
what_the_heading_needs_is_refused_once(void **state)
{
	(void)state;
	bench_open_own("about: none");
	bench.heading.offset_wanted = true;
	assert_false(begin());
	assert_non_null(message_with(&bench.diag, SEVERITY_REFUSED, "work offsets"));
	assert_int_equal(bench.diag.errors, 1);
	bench_close();

	bench_open_own("head: '{offset}'");
	bench.heading.offset_wanted = true;
	assert_true(begin());
	expect("G54\nG21\n");
	bench_close();

	bench_open_own("begin: 'O{number} P{number} {units}'");
	assert_false(begin());
	assert_non_null(message_with(&bench.diag, SEVERITY_REFUSED, "program: {number: ...}"));
	assert_int_equal(bench.diag.errors, 1);
	bench_close();
}

static void
a_spindle_off_and_a_dry_job_need_no_coolant_block(void **state)
{
	const struct step steps[] = { coolant(COOLANT_NONE), spindle(ROTATION_CLOCKWISE, 12345),
		                      spindle(ROTATION_OFF, 0) };

	(void)state;
	bench_open_own("about: none");
	assert_true(write_steps(steps, COUNT(steps)));
	expect("G21\nS12345\nO\n");
	bench_close();
}

static void
arcs_by_centre_count_from_their_start(void **state)
{
	const struct step steps[] = { rapid(X_Y, 10000, 5000, 0), arc(false, 10000, 5000, 7000, 1000),
		                      arc(true, 15000, 10000, 15000, 5000) };

	(void)state;
	bench_open_own("arcs: centre");
	assert_true(write_steps(steps, COUNT(steps)));
	expect("G21\nG0 X10.0 Y5.0\nG3 X10.0 Y5.0 I-3.0 J-4.0 F250\nG2 X15.0 Y10.0 I5.0 J0.0\n");
	bench_close();
}

static void
arcs_by_radius_are_less_than_half_a_circle(void **state)
{
	static const struct {
		bool        clockwise;
		Length      x, y; /* from 5, 0 around 0, 0 */
		const char *block;
	} cases[] = {
		{ false, 0, 5000, "G3 X0.0 Y5.0 R5.0 F250\n" },
		{ true, 0, -5000, "G2 X0.0 Y-5.0 R5.0 F250\n" },
		{ false, -4000, 3000, "G3 X-4.0 Y3.0 R5.0 F250\n" },
		{ true, -4000, 3000, NULL },   /* the long way round */
		{ false, -4000, -3000, NULL }, /* over half a circle */
		{ false, -5000, 0, NULL },
		{ true, -5000, 0, NULL },
		{ false, 5000, 0, NULL },
		{ true, 5000, 0, NULL },
	};

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		const struct step steps[] = { rapid(X_Y, 5000, 0, 0),
			                      arc(cases[i].clockwise, cases[i].x, cases[i].y, 0, 0) };

		bench_open_own("arcs: radius");
		assert_int_equal(write_steps(steps, 2), cases[i].block != NULL);
		if (cases[i].block) {
			assert_non_null(strstr(text_end(&bench.out), cases[i].block));
		} else {
			assert_non_null(message_with(&bench.diag, SEVERITY_REFUSED, "half circles and more"));
			assert_int_equal(bench.diag.errors, 1);
		}
		bench_close();
	}
}

/* An arc whose start is off the grid's circle by a bit keeps a radius that reaches. */
static void
a_radius_is_never_short_of_half_the_chord(void **state)
{
	const struct step steps[] = { rapid(X_Y, 1000, 0, 0), arc(false, -999, 40, 0, 0) };
	double            radius;

	(void)state;
	bench_open_own("arcs: radius");
	assert_true(write_steps(steps, 2));
	radius = strtod(strchr(text_end(&bench.out), 'R') + 1, NULL);
	assert_true(radius >= hypot(1.999, 0.040) / 2);
	assert_true(radius <= 1.001);
	bench_close();
}

/* Of one line; where a word is missing the value stays. */
static void
words_read(const char *line, double *x, double *y, double *z)
{
	for (; *line && *line != '\n'; line++) {
		double *into = *line == 'X' ? x : *line == 'Y' ? y : *line == 'Z' ? z : NULL;

		if (into)
			*into = strtod(line + 1, NULL);
	}
}

/* Millimetres around the centre; true values of what is read back from the program. */
static void
chords_check(uint64_t seed, const struct step *step, struct point from, const char *program)
{
	double grid = 0.001, x = (double)(from.x - step->centre.x) / 1e6, y = (double)(from.y - step->centre.y) / 1e6;
	double radius = hypot(x, y), turned = 0, z = (double)from.z / 1e6,
	       end_x    = (double)(step->to.x - step->centre.x) / 1e6;
	double end_y    = (double)(step->to.y - step->centre.y) / 1e6,
	       wanted   = atan2(x * end_y - y * end_x, x * end_x + y * end_y);
	double centre_x = (double)step->centre.x / 1e6, centre_y = (double)step->centre.y / 1e6;

	if (step->clockwise ? wanted >= -1e-12 : wanted <= 1e-12)
		wanted += step->clockwise ? -2 * acos(-1) : 2 * acos(-1);
	for (const char *line = program; *line; line = strchr(line, '\n') + 1) {
		double next_x = x + centre_x, next_y = y + centre_y, next_z = z;

		words_read(line, &next_x, &next_y, &next_z);
		next_x -= centre_x;
		next_y -= centre_y;
		holds(seed, fabs(hypot(next_x, next_y) - radius) <= grid);
		holds(seed, hypot((x + next_x) / 2, (y + next_y) / 2) >= radius - 2 * grid);
		holds(seed, step->to.z >= from.z ? next_z >= z : next_z <= z);
		turned += atan2(x * next_y - y * next_x, x * next_x + y * next_y);
		x = next_x;
		y = next_y;
		z = next_z;
	}
	holds(seed, fabs(turned - wanted) < 1e-6);
	holds(seed, fabs(x - end_x) < 1e-7 && fabs(y - end_y) < 1e-7);
	holds(seed, fabs(z - (double)step->to.z / 1e6) < 1e-7);
}

static size_t
lines_of(const char *program)
{
	size_t lines = 0;

	for (const char *c = program; *c; c++)
		lines += *c == '\n';
	return lines;
}

/* A chord of a circle of radius R that leaves it by e is sqrt(8 R e) long: there are not many more than that needs. */
static void
chords_stay_on_their_circle(void **state)
{
	uint64_t random = 1618033988;

	(void)state;
	for (int i = 0; i < 300; i++) {
		uint64_t     seed   = random;
		double       radius = (double)random_between(&random, 5, random_chance(&random, 3) ? 200000 : 3000);
		double       start  = (double)random_between(&random, 0, 6283) / 1000;
		double       end    = (double)random_between(&random, 0, 6283) / 1000;
		struct point centre = { random_between(&random, -50000, 50000) * UM,
			                random_between(&random, -50000, 50000) * UM, 0 };
		struct point from   = { centre.x + (Length)(radius * cos(start)) * UM,
			                centre.y + (Length)(radius * sin(start)) * UM,
			                random_between(&random, -5000, 5000) * UM };
		struct step  step   = arc(random_chance(&random, 2), 0, 0, 0, 0);
		struct step  there  = { .kind = STEP_FEED, .axes = X_Y | AXIS_Z, .to = from, .feed = 250 * LENGTH_MM };
		double       true_radius;

		step.centre = centre;
		true_radius = hypot((double)(from.x - centre.x), (double)(from.y - centre.y)) / 1000;
		step.to     = (struct point){ centre.x + (Length)lround(true_radius * cos(end)) * UM,
			                      centre.y + (Length)lround(true_radius * sin(end)) * UM, from.z };
		if (random_chance(&random, 5))
			step.to = from;
		if (random_chance(&random, 3)) {
			step.axes |= AXIS_Z;
			step.to.z += random_between(&random, -3000, 3000) * UM;
		}
		bench_open_own("arcs: none\nlongest_block: 100");
		holds(seed, write_steps(&there, 1));
		bench.out = text_over(bench.program, sizeof bench.program);
		holds(seed, writer_step(&bench.writer, &step));
		chords_check(seed, &step, from, text_end(&bench.out));
		holds(seed,
		      (double)lines_of(bench.program) <= 2 + 2 * acos(-1) * true_radius / sqrt(8 * true_radius) * 1.1);
		bench_close();
	}
}

/* What nobody should write into a job's title, and somebody will. */
static const char *const NASTY[] = {
	"part (two) M3 S9000",
	"a)\nM3 S9000\nG1 X0 F9999 (",
	"a\r\nM30\r\n%",
	"%",
	"; G0 Z-100",
	"#1=2 <name> [3] *4 \\ $ & ~",
	"caf\xc3\xa9 \xe2\x82\xac \xf0\x9f\x94\xa7 \xff\xfe",
	"\x1b[31mred\x07\x7f\t",
	"\xc2\x85next\xe2\x80\xa8line",
	"",
	")))))))))))))",
	"{speed} {units} %s %n",
};

static const char *const STYLES[] = {
	"comment: {}",
	"comment: {case: as-written, letters: ' abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789'}",
	"comment: {open: ';', close: '', longest: 40}",
	"comment: {open: '(*', close: '*)', letters: 'ABC ', longest: 400}\nlongest_block: 30",
};

/* Takes comment lines out of the program, each of them checked, and leaves the rest in `rest`. */
static void
comments_check(const char *program, char *rest)
{
	const struct comment_style *style = &bench.dialect.comment;
	size_t                      open = strlen(style->open), close = strlen(style->close);

	for (const char *line = program; *line;) {
		size_t length = strcspn(line, "\n");

		assert_true(length <= (size_t)bench.dialect.longest_block);
		for (size_t i = 0; i < length; i++)
			assert_true(line[i] >= ' ' && line[i] <= '~');
		if (strncmp(line, style->open, open) == 0) {
			assert_true(length >= open + close && length - open - close <= (size_t)style->longest);
			assert_memory_equal(line + length - close, style->close, close);
			for (size_t i = open; i < length - close; i++)
				assert_non_null(strchr(style->letters, line[i]));
		} else {
			memcpy(rest, line, length);
			rest[length] = '\n';
			rest += length + 1;
		}
		line += length + 1;
	}
	*rest = '\0';
}

static void
text_never_leaves_its_comment(void **state)
{
	static char huge[10001], rest[PROGRAM_BYTES];

	(void)state;
	memset(huge, ')', sizeof huge - 1);
	for (size_t i = 0; i < COUNT(STYLES); i++)
		for (size_t k = 0; k <= COUNT(NASTY); k++) {
			const char       *text    = k < COUNT(NASTY) ? NASTY[k] : huge;
			const struct step steps[] = { words(STEP_NOTE, text),
				                      rapid(AXIS_Z, 0, 0, 1000),
				                      words(STEP_STOP, text),
				                      { .kind = STEP_END } };
			char              own[512];

			snprintf(own, sizeof own, "stop: M0\n%s", STYLES[i]);
			bench_open_own(own);
			bench.heading.lines      = &text;
			bench.heading.line_count = 1;
			assert_true(write_steps(steps, COUNT(steps)));
			comments_check(text_end(&bench.out), rest);
			assert_string_equal(rest, "G21\nG0 Z1.0\nM0\nE\n");
			bench_close();
			bench_open_own("stop: M0");
			bench.heading.lines      = &text;
			bench.heading.line_count = 1;
			assert_true(write_steps(steps, COUNT(steps)));
			expect("G21\nG0 Z1.0\nM0\nE\n");
			bench_close();
		}
}

static void
a_comment_keeps_what_the_dialect_allows(void **state)
{
	static const struct {
		const char *own, *text, *line;
	} cases[] = {
		{ "comment: {}", "Pump foot, 1/2 in: a=b", "G21\n(PUMP FOOT, 1/2 IN: A=B)\n" },
		{ "comment: {}", "caf\xc3\xa9 \xe2\x82\xac!", "G21\n(CAF- --)\n" },
		{ "comment: {case: as-written, letters: 'abcABC -'}", "Cab (abc)", "G21\n(Cab -abc-)\n" },
		{ "comment: {case: upper, letters: 'ABC '}", "Cab abd", "G21\n(CAB AB )\n" },
		{ "comment: {open: ';', close: ''}", "one; two", "G21\n;ONE- TWO\n" },
		{ "comment: {longest: 20}", "abcdefghijklmnopqrstuvwxyz", "G21\n(ABCDEFGHIJKLMNOPQRST)\n" },
		{ "comment: {longest: 20}",
		  "\xc3\xa9"
		  "abcdefghijklmnopqrstuvwxyz",
		  "G21\n(-ABCDEFGHIJKLMNOPQRS)\n" },
		{ "longest_block: 30\ncomment: {longest: 70}", "abcdefghijklmnopqrstuvwxyz0123456789",
		  "G21\n(ABCDEFGHIJKLMNOPQRSTUVWXYZ01)\n" },
		{ "block_numbers: {}\ncomment: {}", "not numbered", "N10 G21\n(NOT NUMBERED)\n" },
	};

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct step note = words(STEP_NOTE, cases[i].text);

		bench_open_own(cases[i].own);
		assert_true(write_steps(&note, 1));
		expect(cases[i].line);
		bench_close();
	}
}

static bool
drain_never(struct text *text)
{
	(void)text;
	return false;
}

static void
a_text_that_fails_is_reported(void **state)
{
	const struct step end = { .kind = STEP_END };
	char              room[6];

	(void)state;
	bench_open_own("about: none");
	bench.out = text_over(room, 3);
	assert_false(begin());
	bench.out = text_over(room, 4);
	assert_true(begin());
	assert_false(writer_step(&bench.writer, &end));
	assert_false(writer_step(&bench.writer, &end));
	bench.out       = text_over(room, 5);
	bench.out.drain = drain_never;
	assert_true(begin());
	assert_false(writer_step(&bench.writer, &end));
	/* It is the file that failed, not the program that is refused. */
	assert_null(bench.diag.first);
	bench_close();
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_shipped_dialect_says_every_step),
		cmocka_unit_test(an_inch_program_counts_in_inches_from_its_zero),
		cmocka_unit_test(only_what_changes_is_said_unless_the_dialect_repeats),
		cmocka_unit_test(all_is_said_again_after_a_stop_and_a_tool),
		cmocka_unit_test(a_dialect_without_tools_says_nothing_of_the_first),
		cmocka_unit_test(block_numbers_wrap_around_and_keep_their_digits),
		cmocka_unit_test(every_line_ends_as_the_dialect_says),
		cmocka_unit_test(numbers_take_the_form_of_the_dialect),
		cmocka_unit_test(feeds_take_their_own_digits),
		cmocka_unit_test(a_block_over_the_longest_is_refused),
		cmocka_unit_test(what_the_dialect_cannot_say_is_refused_once),
		cmocka_unit_test(what_the_heading_needs_is_refused_once),
		cmocka_unit_test(a_spindle_off_and_a_dry_job_need_no_coolant_block),
		cmocka_unit_test(arcs_by_centre_count_from_their_start),
		cmocka_unit_test(arcs_by_radius_are_less_than_half_a_circle),
		cmocka_unit_test(a_radius_is_never_short_of_half_the_chord),
		cmocka_unit_test(chords_stay_on_their_circle),
		cmocka_unit_test(text_never_leaves_its_comment),
		cmocka_unit_test(a_comment_keeps_what_the_dialect_allows),
		cmocka_unit_test(a_text_that_fails_is_reported),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
