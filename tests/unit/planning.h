/*
 * planning - jobs for the tests of everything that follows a job: from YAML in memory, and at random.
 *
 * Random tests start from a fixed seed, and `holds` prints the seed of the case that failed.
 */
#ifndef SKIMCUT_TESTS_PLANNING_H
#define SKIMCUT_TESTS_PLANNING_H

#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdbool.h>
#include <string.h>

#include "skimcut/arena.h"
#include "skimcut/diag.h"
#include "skimcut/intake.h"
#include "skimcut/job.h"
#include "skimcut/plan.h"
#include "skimcut/remark.h"
#include "skimcut/text.h"

#define holds(seed, condition)                                                                                         \
	do {                                                                                                           \
		if (!(condition))                                                                                      \
			fail_msg("seed %llu: not so: %s", (unsigned long long)(seed), #condition);                     \
	} while (0)

/* Does not move once it is opened: diag points at the arena. */
struct planning {
	struct arena  arena;
	struct diag   diag;
	struct source source;
	struct job    job;
	struct plan   plan;
};

/* False: the job is in error, and diag says why. Close it in either case. */
static inline bool
planning_open(struct planning *planning, const char *yaml)
{
	static const struct library NO_SHOPS;

	*planning            = (struct planning){ 0 };
	planning->diag.arena = &planning->arena;
	planning->source     = (struct source){ "job.yaml", yaml, strlen(yaml), UNITS_NONE };
	return intake_read(&planning->source, &NO_SHOPS, &planning->arena, &planning->job, &planning->diag);
}

static inline void
planning_close(struct planning *planning)
{
	arena_release(&planning->arena);
}

/* What most controllers tell apart. */
static inline struct grid
usual_grid(enum units units)
{
	return units == UNITS_INCH ? (struct grid){ LENGTH_INCH / 10000, LENGTH_INCH / 10 }
	                           : (struct grid){ LENGTH_MM / 1000, LENGTH_MM };
}

/* In the units of its job. */
static inline bool
planning_plan(struct planning *planning, enum along along)
{
	return plan_make(&planning->job, usual_grid(planning->job.units), along, &planning->arena, &planning->plan,
	                 &planning->diag) &&
	       remark_make(&planning->plan, &planning->arena, &planning->diag);
}

/* The first message of that severity whose text has `part` in it. */
static inline const struct message *
message_with(const struct diag *diag, enum severity severity, const char *part)
{
	for (const struct message *message = diag->first; message; message = message->next)
		if (message->severity == severity && strstr(message->text, part))
			return message;
	return NULL;
}

static inline size_t
messages_of(const struct diag *diag, enum severity severity)
{
	size_t count = 0;

	for (const struct message *message = diag->first; message; message = message->next)
		count += message->severity == severity;
	return count;
}

/* Does the place stand where `needle` first stands in the text? NULL: is it the file as a whole? ASCII only. */
static inline bool
place_is_at(struct place place, const char *text, const char *needle)
{
	const char *at   = needle ? strstr(text, needle) : NULL;
	size_t      line = 1, column = 1;

	if (!at)
		return !needle && place.line == 0;
	for (const char *c = text; c < at; c++) {
		column = *c == '\n' ? 1 : column + 1;
		line += *c == '\n';
	}
	return place.line == line && place.column == column;
}

/* xorshift64; the state is never 0. */
static inline uint64_t
random_next(uint64_t *state)
{
	*state ^= *state << 13;
	*state ^= *state >> 7;
	*state ^= *state << 17;
	return *state;
}

static inline int64_t
random_between(uint64_t *state, int64_t least, int64_t most)
{
	return least + (int64_t)(random_next(state) % (uint64_t)(most - least + 1));
}

static inline bool
random_chance(uint64_t *state, int64_t one_in)
{
	return random_between(state, 1, one_in) == 1;
}

static inline const char *
random_word(uint64_t *state, const char *const *words, int64_t count)
{
	return words[random_between(state, 0, count - 1)];
}

/* Exact to the nanometre, in a unit that every file may use. */
static inline void
yaml_length(struct text *out, const char *key, Length x)
{
	text_format(out, "%s: %lld.%03d um", key, (long long)(x / 1000), (int)(x % 1000));
}

static inline Length
smaller(Length a, Length b)
{
	return a < b ? a : b;
}

/*
 * A job that reads without an error, in YAML with a NUL behind; most of them can be planned. `title` is written between
 * double quotes as it is. At most some dozens of cuts and passes. Without the title it takes less than 2000 bytes.
 */
static inline void
random_job(uint64_t *state, const char *title, struct text *out)
{
	static const char
	    *const        UNITS[]   = { "mm", "inch" },
		   *const COOLANT[] = { "none", "mist", "flood" }, *const GROUP[] = { "P", "M", "K", "N", "S", "H" },
		   *const EDGE[] = { "carbide", "hss" }, *const PATTERN[] = { "auto",   "auto",    "single",
		                                                              "zigzag", "one-way", "one-way" },
		   *const MILLING[] = { "conventional", "climb", "either" }, *const ALONG[] = { "auto", "x", "y" },
		   *const X[] = { "left", "centre", "right" }, *const Y[] = { "front", "centre", "back" },
		   *const Z[]       = { "finished", "top", "bottom" },
		   *const MEASURE[] = { "[]", "[test]", "[skim]", "[test, skim]" };

	Length      diameter = random_between(state, 10 * LENGTH_MM, 160 * LENGTH_MM);
	Length      rough = random_between(state, 300000, 4 * LENGTH_MM), skim = random_between(state, 10000, 500000);
	Length      test      = random_chance(state, 4) ? 0 : random_between(state, 10000, rough);
	Length      clearance = random_between(state, 100000, 5 * LENGTH_MM);
	Length      removal   = random_between(state, 1, random_chance(state, 5) ? 2 * skim : 12 * LENGTH_MM);
	Length      final     = random_between(state, 500000, 80 * LENGTH_MM);
	const char *pattern   = random_word(state, PATTERN, 6);

	text_format(out, "units: %s\ntitle: \"", random_word(state, UNITS, 2));
	text_string(out, title);
	text_format(out,
	            "\"\nmaterial: {group: %s, cutting_speed: %d m/min, feed_per_tooth: %d um, coolant: %s}\n"
	            "stock: {",
	            random_word(state, GROUP, 6), (int)random_between(state, 60, 300),
	            (int)random_between(state, 80, 300), random_word(state, COOLANT, 3));
	yaml_length(out, "length", random_between(state, LENGTH_MM, 300 * LENGTH_MM));
	yaml_length(out, ", width", random_between(state, LENGTH_MM, 300 * LENGTH_MM));
	yaml_length(out, ", height", final + removal);
	yaml_length(out, "}\nfinished_height", final);
	text_format(out, "\ncutter: {kind: face mill, teeth: %d, edge: %s, number: %d",
	            (int)random_between(state, 1, 12), random_word(state, EDGE, 2), (int)random_between(state, 1, 99));
	yaml_length(out, ", diameter", diameter);
	yaml_length(out, ", nose_radius", random_chance(state, 3) ? 0 : random_between(state, 0, diameter / 10));
	if (random_chance(state, 3))
		text_format(out, ", entering_angle: %d deg", (int)random_between(state, 20, 95));
	if (random_chance(state, 3))
		yaml_length(out, ", max_depth", random_between(state, 300000, 6 * LENGTH_MM));
	if (random_chance(state, 3))
		yaml_length(out, ", flute_length", random_between(state, 500000, 40 * LENGTH_MM));
	text_format(out, "}\ncut: {pattern: %s, milling: %s, stepover: %d %%, along: %s, measure: %s", pattern,
	            strcmp(pattern, "zigzag") == 0 ? "either" : random_word(state, MILLING, 3),
	            (int)random_between(state, 30, 90), random_word(state, ALONG, 3), random_word(state, MEASURE, 4));
	yaml_length(out, ", test_cut", test);
	yaml_length(out, ", rough", rough);
	yaml_length(out, ", skim", smaller(skim, rough));
	yaml_length(out, ", clearance", clearance);
	yaml_length(out, ", retract", random_between(state, clearance + LENGTH_MM, 60 * LENGTH_MM));
	if (random_chance(state, 2))
		text_format(out, ", coolant: %s", random_word(state, COOLANT, 3));
	text_format(out, "}\nzero: {x: %s, y: %s, z: %s}\n", random_word(state, X, 3), random_word(state, Y, 3),
	            random_word(state, Z, 3));
	if (random_chance(state, 2))
		text_format(out, "machine: {kind: %s, spindle: {min: 20 rpm, max: %d rpm}, feed: {max: %d mm/min}}\n",
		            random_chance(state, 2) ? "manual" : "cnc", (int)random_between(state, 500, 9000),
		            (int)random_between(state, 200, 4000));
	text_end(out);
}

#endif
