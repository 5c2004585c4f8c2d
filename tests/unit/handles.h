/*
 * handles - random jobs for a machine that is worked by hand.
 */
#ifndef SKIMCUT_TESTS_HANDLES_H
#define SKIMCUT_TESTS_HANDLES_H

#include "planning.h"

/* A turn and a line of a handle, as shops have them. */
struct handle {
	Length per_turn, line;
};

static inline struct handle
random_handle(uint64_t *random)
{
	static const struct handle HANDLES[] = {
		{ LENGTH_INCH / 10, LENGTH_INCH / 1000 }, { LENGTH_INCH / 5, LENGTH_INCH / 1000 },
		{ LENGTH_INCH / 8, LENGTH_INCH / 1000 },  { LENGTH_INCH / 4, LENGTH_INCH / 2000 },
		{ 2 * LENGTH_MM, LENGTH_MM / 50 },        { 5 * LENGTH_MM, LENGTH_MM / 20 },
		{ 5 * LENGTH_MM / 2, LENGTH_MM / 100 },   { 4 * LENGTH_MM, LENGTH_MM / 40 },
	};

	return HANDLES[random_between(random, 0, sizeof HANDLES / sizeof HANDLES[0] - 1)];
}

static inline void
handle_yaml(struct text *out, const char *key, const struct handle *handle)
{
	text_format(out, "%s: {", key);
	yaml_length(out, "per_turn", handle->per_turn);
	yaml_length(out, ", graduation", handle->line);
	text_char(out, '}');
}

/* A line: the three dials, or what there is of them; speeds, and at times a power feed. */
static inline void
manual_yaml(uint64_t *random, const struct handle *knee, struct text *out)
{
	struct handle x = random_handle(random), y = random_handle(random);

	text_string(out,
	            "machine: {kind: manual, spindle: {speeds: [80, 135, 210, 325, 660, 1115, 1750, 2720]}, dials: {");
	if (!random_chance(random, 6)) {
		handle_yaml(out, "x", &x);
		text_string(out, ", ");
	}
	if (!random_chance(random, 6)) {
		handle_yaml(out, "y", &y);
		text_string(out, ", ");
	}
	if (knee->per_turn > 0)
		handle_yaml(out, "knee", knee);
	text_string(out, "}");
	if (random_chance(random, 2))
		text_format(out, ", power_feed: {rates: [%d mm/min, %d mm/min, %d mm/min], axes: %s}",
		            (int)random_between(random, 10, 60), (int)random_between(random, 61, 200),
		            (int)random_between(random, 201, 900), random_chance(random, 3) ? "[x, y]" : "x");
	if (random_chance(random, 3))
		text_string(out, ", tram: {error: 0.02 mm, over: 200 mm}");
	text_string(out, "}\n");
}

/*
 * random_job on such a machine; most skims are whole lines of the knee's dial. per_turn 0: that has none. Takes 4096 bytes with
 * a short title.
 */
static inline void
random_manual_job(uint64_t *random, const char *title, const struct handle *knee, struct text *out)
{
	char        job[3500];
	struct text text = text_over(job, sizeof job);
	const char *skim, *behind, *machine;

	random_job(random, title, &text);
	assert_false(text.failed);
	skim    = strstr(job, ", skim: ");
	behind  = strchr(skim + 2, ',');
	machine = strstr(job, "machine: {");
	if (!machine)
		machine = job + strlen(job);
	if (knee->per_turn > 0 && !random_chance(random, 5)) {
		text_bytes(out, job, (size_t)(skim - job));
		yaml_length(out, ", skim", knee->line * random_between(random, 1, 300000 / knee->line));
		text_bytes(out, behind, (size_t)(machine - behind));
	} else {
		text_bytes(out, job, (size_t)(machine - job));
	}
	manual_yaml(random, knee, out);
	text_end(out);
}

#endif
