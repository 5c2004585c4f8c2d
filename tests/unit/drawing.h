/*
 * drawing - for the tests of the drawings: random jobs with jaws and clamps, and an SVG read crudely, by looking for its texts and lines.
 */
#ifndef SKIMCUT_TESTS_DRAWING_H
#define SKIMCUT_TESTS_DRAWING_H

#include "planning.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "skimcut/svg.h"

enum { SHEET_ROOM = 1 << 18, LABELS_MOST = 256, JOB_ROOM = 8192 };

/* Of the font's size, on the average. */
static const double FONT = 3.5, LETTER = 0.62, NARROW = 0.4;

struct drawing {
	char   text[SHEET_ROOM];
	double width, height;
};

struct label {
	double left, right, base;
	char   words[200];
};

/* Paper of 180 mm by 100 for a drawing of its own: the work's 0,0 is at 10,90, it is half as wide and five times as high. */
static inline struct svg
drawing_paper(struct drawing *drawing, struct text *out)
{
	*out = text_over(drawing->text, sizeof drawing->text);
	return (struct svg){ .out       = out,
		             .width_mm  = 180,
		             .height_mm = 100,
		             .left_mm   = 10,
		             .bottom_mm = 90,
		             .across    = { 1, 2 },
		             .up        = { 5, 1 } };
}

/* As far as a label tells where it is. */
static inline bool
is_near(double mm, double wanted_mm)
{
	return fabs(mm - wanted_mm) < 0.0101;
}

/* What stands behind `name="` in the element at `at`. */
static inline double
attribute_of(const char *at, const char *name)
{
	char        wanted[32];
	const char *end = strchr(at, '>'), *found;

	snprintf(wanted, sizeof wanted, " %s=\"", name);
	found = strstr(at, wanted);
	if (!found || !end || found > end)
		fail_msg("no %s in %.200s", name, at);
	return strtod(found + strlen(wanted), NULL);
}

/* A drawing whose text is complete: its size on paper. */
static inline void
drawing_measure(struct drawing *drawing)
{
	const char *box = strstr(drawing->text, "viewBox=\"0 0 ");

	assert_non_null(box);
	assert_int_equal(sscanf(box, "viewBox=\"0 0 %lf %lf\"", &drawing->width, &drawing->height), 2);
}

static inline bool
label_next(const char **at, struct label *label)
{
	const char *text = strstr(*at, "<text "), *words, *end;
	double      x, wide = 0;

	if (!text)
		return false;
	words = strchr(text, '>') + 1;
	end   = strstr(words, "</text>");
	assert_true((size_t)(end - words) < sizeof label->words);
	snprintf(label->words, sizeof label->words, "%.*s", (int)(end - words), words);
	for (const char *c = words; c < end; c++) {
		double letter = strchr(" .,:;fijlrt", *c) ? NARROW : ((unsigned char)*c & 0xC0) != 0x80 ? LETTER : 0;

		if (*c == '&')
			c = strchr(c, ';');
		wide += letter * attribute_of(text, "font-size");
	}
	x            = attribute_of(text, "x");
	label->base  = attribute_of(text, "y");
	label->left  = strstr(text, "anchor=\"start\"") == strstr(text, "anchor=\"") ? x
	             : strstr(text, "anchor=\"end\"") == strstr(text, "anchor=\"")   ? x - wide
	                                                                             : x - wide / 2;
	label->right = label->left + wide;
	*at          = end;
	return true;
}

static inline bool
has_label(const struct drawing *drawing, const char *words)
{
	const char  *at = drawing->text;
	struct label label;

	while (label_next(&at, &label))
		if (strcmp(label.words, words) == 0)
			return true;
	return false;
}

static inline size_t
times(const struct drawing *drawing, const char *words)
{
	size_t count = 0;

	for (const char *at = drawing->text; (at = strstr(at, words)); at++)
		count++;
	return count;
}

/* Every label is on the paper, and none stands on another. */
static inline void
labels_hold(const struct drawing *drawing, uint64_t seed)
{
	static struct label labels[LABELS_MOST];

	const double above = 0.73 * FONT, below = 0.2 * FONT;
	const char  *at    = drawing->text;
	size_t       count = 0;

	while (count < LABELS_MOST && label_next(&at, &labels[count]))
		count++;
	holds(seed, count > 3 && count < LABELS_MOST);
	for (size_t i = 0; i < count; i++) {
		const struct label *a = &labels[i];

		if (a->left < 0 || a->right > drawing->width || a->base < above || a->base + below > drawing->height)
			fail_msg("seed %llu: off the paper: %s", (unsigned long long)seed, a->words);
		for (size_t k = 0; k < i; k++) {
			const struct label *b = &labels[k];

			if (a->left < b->right && b->left < a->right && a->base - above < b->base + below &&
			    b->base - above < a->base + below)
				fail_msg("seed %llu: '%s' stands on '%s'", (unsigned long long)seed, a->words,
				         b->words);
		}
	}
}

/* Every line that the drawing has is on the paper. */
static inline void
lines_hold(const struct drawing *drawing, uint64_t seed)
{
	for (const char *at = drawing->text; (at = strstr(at, "<line ")); at++) {
		holds(seed, attribute_of(at, "x1") >= 0 && attribute_of(at, "x1") <= drawing->width);
		holds(seed, attribute_of(at, "x2") >= 0 && attribute_of(at, "x2") <= drawing->width);
		holds(seed, attribute_of(at, "y1") >= 0 && attribute_of(at, "y1") <= drawing->height);
		holds(seed, attribute_of(at, "y2") >= 0 && attribute_of(at, "y2") <= drawing->height);
	}
}

/* As random_job; one in two has a vise, or clamps, which often make it one that cannot be planned. */
static inline void
random_held_job(uint64_t *state, struct text *out)
{
	random_job(state, "random <&> \\\"'", out);
	if (random_chance(state, 3)) {
		text_string(out, "vise: {");
		yaml_length(out, "front_jaw", random_between(state, 5 * LENGTH_MM, 60 * LENGTH_MM));
		yaml_length(out, ", rear_jaw", random_between(state, 5 * LENGTH_MM, 60 * LENGTH_MM));
		yaml_length(out, ", jaw_width", random_between(state, 20 * LENGTH_MM, 200 * LENGTH_MM));
		text_string(out, "}\nparallels: [5 mm, 10 mm, 20 mm, 40 mm]\n");
	}
	if (random_chance(state, 3)) {
		text_string(out, "hold:\n  clamps:\n");
		for (int64_t clamps = random_between(state, 1, random_chance(state, 9) ? 60 : 5); clamps > 0;
		     clamps--) {
			text_format(out, "    - {x: %d mm, y: %d mm", (int)random_between(state, -100, 350),
			            (int)random_between(state, -100, 350));
			yaml_length(out, ", length", random_between(state, LENGTH_MM, 80 * LENGTH_MM));
			yaml_length(out, ", width", random_between(state, LENGTH_MM, 80 * LENGTH_MM));
			yaml_length(out, ", height", random_between(state, 400000, 30 * LENGTH_MM));
			text_string(out, "}\n");
		}
	}
	text_end(out);
}

/* `count` of them that can be planned. */
static inline void
each_held(uint64_t seed, int count, void (*check)(const struct plan *plan, uint64_t seed))
{
	static char yaml[JOB_ROOM];

	for (int tries = 0, done = 0; done < count; tries++) {
		const uint64_t  before = seed;
		struct text     out    = text_over(yaml, sizeof yaml);
		struct planning planning;

		random_held_job(&seed, &out);
		if (planning_open(&planning, yaml) &&
		    planning_plan(&planning, random_chance(&seed, 2) ? ALONG_X : ALONG_Y)) {
			check(&planning.plan, before);
			done++;
		}
		planning_close(&planning);
		assert_true(tries < 10 * count);
	}
}

#endif
