#include <assert.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "skimcut/arena.h"
#include "skimcut/choice.h"
#include "skimcut/dialect.h"
#include "skimcut/diag.h"
#include "skimcut/intake.h"
#include "skimcut/job.h"
#include "skimcut/path.h"
#include "skimcut/plan.h"
#include "skimcut/shipped.h"
#include "skimcut/summary.h"
#include "skimcut/text.h"
#include "skimcut/trial.h"
#include "skimcut/writer.h"

/* Proving a program takes as long as it is, about five blocks a pass: longer ones are not written. */
enum { PASSES_WRITTEN_MAX = 20000 / 5, YAML_ROOM = 8192 };

/* What a job is made from; when they are used up, 0 follows. */
struct bytes {
	const uint8_t *next, *stop;
};

/* A job on its way to a program. */
struct chain {
	struct arena   arena;
	struct diag    diag;
	char           yaml[YAML_ROOM];
	struct source  job_source, post_source;
	struct job     job;
	struct dialect dialect;
	struct plan    plan;
	struct trial   trial;
};

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void    chain_try(struct chain *chain);
static void    job_write(struct bytes *bytes, const char *post, struct text *out);
static void    material_write(struct bytes *bytes, struct text *out);
static void    cutter_write(struct bytes *bytes, struct text *out);
static void    cut_write(struct bytes *bytes, struct text *out);
static void    machine_write(struct bytes *bytes, struct text *out);
static void    vise_write(struct bytes *bytes, Length final, struct text *out);
static void    clamps_write(struct bytes *bytes, Length final, struct text *out);
static void    word_write(struct bytes *bytes, const char *before, const char *const *words, struct text *out);
static void    number_write(struct bytes *bytes, const char *before, int64_t least, int64_t most, struct text *out);
static Length  size_write(struct bytes *bytes, const char *before, Length least, Length most, struct text *out);
static void    length_write(const char *before, Length length, struct text *out);
static Length  size_take(struct bytes *bytes, Length least, Length most);
static bool    chance_take(struct bytes *bytes, int64_t one_in);
static int64_t take(struct bytes *bytes, int64_t least, int64_t most);
static bool    chain_plan(struct chain *chain);
static bool    is_short(const struct chain *chain);
static bool    chain_write(struct chain *chain, struct text *out);
static bool    chain_feed(struct text *text);
static void    fail(const struct chain *chain, const char *what);

/* What is planned is proved; what is not planned or not written is refused, and it is said why. */
int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	static struct chain chain;

	struct bytes          bytes   = { data, data + size };
	const struct shipped *shipped = SHIPPED_DIALECTS;
	struct text           yaml    = text_over(chain.yaml, sizeof chain.yaml);

	for (int64_t k = take(&bytes, 0, 3); k > 0 && shipped[1].name; k--)
		shipped++;
	job_write(&bytes, shipped->name, &yaml);
	text_end(&yaml);
	assert(!yaml.failed);
	chain.arena       = (struct arena){ 0 };
	chain.diag        = (struct diag){ .arena = &chain.arena };
	chain.job_source  = (struct source){ "job.yaml", chain.yaml, yaml.length, UNITS_NONE };
	chain.post_source = (struct source){ shipped->name, shipped->text, strlen(shipped->text), UNITS_NONE };
	chain.trial       = (struct trial){ 0 };
	chain_try(&chain);
	arena_release(&chain.arena);
	return 0;
}

static void
chain_try(struct chain *chain)
{
	static char buffer[4096];

	struct text out = text_over(buffer, sizeof buffer);

	out.drain   = chain_feed;
	out.context = &chain->trial;
	if (!chain_plan(chain))
		return;
	if (!trial_begin(&chain->trial, &chain->job, &chain->plan, &chain->dialect, &chain->arena, FINENESS_MIDDLE))
		fail(chain, "out of memory");
	if (!chain_write(chain, &out))
		return;
	text_flush(&out);
	if (!trial_end(&chain->trial))
		fail(chain, "planned and not proved");
}

static void
job_write(struct bytes *bytes, const char *post, struct text *out)
{
	static const char *const UNITS[] = { "mm", "inch", NULL }, *const X[] = { "left", "centre", "right", NULL },
				 *const Y[]     = { "front", "centre", "back", NULL },
				 *const Z[]     = { "finished", "top", "bottom", NULL };
	static const Length             SIZES[] = { 300 * LENGTH_MM, 30 * LENGTH_MM, 2000 * LENGTH_MM };

	Length most = SIZES[take(bytes, 0, 2)], final;

	word_write(bytes, "units: ", UNITS, out);
	material_write(bytes, out);
	final = size_write(bytes, "\nfinished_height: ", 500000, 120 * LENGTH_MM, out);
	length_write(
	    "\nstock: {height: ", final + size_take(bytes, 10000, (chance_take(bytes, 3) ? 20 : 3) * LENGTH_MM), out);
	size_write(bytes, ", length: ", LENGTH_MM, most, out);
	size_write(bytes, ", width: ", LENGTH_MM, most, out);
	if (chance_take(bytes, 4)) {
		text_string(out, "}\ncutters:\n  one: ");
		cutter_write(bytes, out);
		text_string(out, "  other: ");
		cutter_write(bytes, out);
	} else {
		text_string(out, "}\ncutter: ");
		cutter_write(bytes, out);
	}
	cut_write(bytes, out);
	word_write(bytes, "zero: {x: ", X, out);
	word_write(bytes, ", y: ", Y, out);
	word_write(bytes, ", z: ", Z, out);
	text_format(out, "}\nprogram: {post: %s", post);
	if (chance_take(bytes, 4))
		number_write(bytes, ", number: ", 1, 99999999, out);
	if (chance_take(bytes, 4))
		number_write(bytes, ", work_offset: G", 54, 59, out);
	text_string(out, "}\n");
	machine_write(bytes, out);
	vise_write(bytes, final, out);
	clamps_write(bytes, final, out);
}

static void
material_write(struct bytes *bytes, struct text *out)
{
	static const char *const        ISO_GROUPS[] = { "P", "M", "K", "N", "S", "H", NULL },
				 *const WETS[]       = { "none", "mist", "flood", NULL },
				 *const NAMES[] = { "brass", "aluminium", "low-carbon steel", "grey cast iron", NULL };

	if (chance_take(bytes, 3)) {
		word_write(bytes, "\nmaterial: ", NAMES, out);
		return;
	}
	word_write(bytes, "\nmaterial: {group: ", ISO_GROUPS, out);
	word_write(bytes, ", coolant: ", WETS, out);
	number_write(bytes, ", cutting_speed: ", 60, 600, out);
	number_write(bytes, " m/min, feed_per_tooth: ", 40, 600, out);
	text_string(out, " um}");
}

static void
cutter_write(struct bytes *bytes, struct text *out)
{
	static const char *const KINDS[]      = { "face mill", "shell mill", "end mill", NULL };
	static const char *const EDGE_WORDS[] = { "carbide", "hss", NULL };
	static const Length      SIZES[]      = { 125 * LENGTH_MM, 25 * LENGTH_MM, 500 * LENGTH_MM };

	Length diameter;

	word_write(bytes, "{kind: ", KINDS, out);
	word_write(bytes, ", edge: ", EDGE_WORDS, out);
	number_write(bytes, ", teeth: ", 1, 60, out);
	number_write(bytes, ", number: ", 1, 9999, out);
	diameter = size_write(bytes, ", diameter: ", LENGTH_MM, SIZES[take(bytes, 0, 2)], out);
	if (chance_take(bytes, 2))
		length_write(", nose_radius: ", 0, out);
	else
		size_write(bytes, ", nose_radius: ", 0, diameter / take(bytes, 3, 12), out);
	if (chance_take(bytes, 2)) {
		number_write(bytes, ", entering_angle: ", 10, 94, out);
		number_write(bytes, ".", 0, 9, out);
		text_string(out, " deg");
	}
	if (chance_take(bytes, 3))
		size_write(bytes, ", max_depth: ", 50000, 6 * LENGTH_MM, out);
	if (chance_take(bytes, 4))
		size_write(bytes, ", flute_length: ", 500000, 40 * LENGTH_MM, out);
	text_string(out, "}\n");
}

static void
cut_write(struct bytes *bytes, struct text *out)
{
	static const char *const        PATTERNS[] = { "auto", "single", "one-way", "zigzag", NULL },
				 *const MILLINGS[] = { "conventional", "climb", "either", NULL },
				 *const EITHER[] = { "either", NULL }, *const ALONGS[] = { "auto", "x", "y", NULL },
				 *const MEASURES[] = { "[test, skim]", "[]", "[test]", "[skim]", NULL },
				 *const LEVELS[]   = { "equal", "any", NULL },
				 *const WETS[]     = { "none", "mist", "flood", NULL };

	const int64_t pattern = take(bytes, 0, 3);
	Length        rough, clearance;

	text_format(out, "cut: {pattern: %s", PATTERNS[pattern]);
	word_write(bytes, ", milling: ", pattern == 3 ? EITHER : MILLINGS, out);
	word_write(bytes, ", along: ", ALONGS, out);
	word_write(bytes, ", measure: ", MEASURES, out);
	word_write(bytes, ", levels: ", LEVELS, out);
	if (chance_take(bytes, 2)) {
		number_write(bytes, ", stepover: ", 5, 89, out);
		number_write(bytes, ".", 0, 9, out);
		text_string(out, " %");
	}
	rough = size_write(bytes, ", rough: ", 50000, 5 * LENGTH_MM, out);
	size_write(bytes, ", skim: ", 10000, rough, out);
	if (chance_take(bytes, 3))
		length_write(", test_cut: ", 0, out);
	else
		size_write(bytes, ", test_cut: ", 1000, rough, out);
	clearance = size_write(bytes, ", clearance: ", 100000, 8 * LENGTH_MM, out);
	size_write(bytes, ", retract: ", clearance + LENGTH_MM, 60 * LENGTH_MM, out);
	if (chance_take(bytes, 3))
		word_write(bytes, ", coolant: ", WETS, out);
	if (chance_take(bytes, 4)) {
		number_write(bytes, ", cutting_speed: ", 30, 9000, out);
		text_string(out, " ft/min");
	}
	if (chance_take(bytes, 4)) {
		number_write(bytes, ", feed_per_tooth: ", 40, 600, out);
		number_write(bytes, " um, skim_feed_per_tooth: ", 5, 40, out);
		text_string(out, " um");
	}
	text_string(out, "}\n");
}

static void
machine_write(struct bytes *bytes, struct text *out)
{
	static const char *const KINDS[] = { "cnc", "manual", NULL };

	if (chance_take(bytes, 2))
		return;
	word_write(bytes, "machine:\n  kind: ", KINDS, out);
	text_string(out, "\n  spindle: {efficiency: 70 %");
	if (chance_take(bytes, 2)) {
		number_write(bytes, ", min: ", 0, 300, out);
		number_write(bytes, " rpm, max: ", 300, 12000, out);
		text_string(out, " rpm");
	}
	if (chance_take(bytes, 3)) {
		number_write(bytes, ", speeds: [", 1, 600, out);
		number_write(bytes, " rpm, ", 1, 3000, out);
		text_string(out, " rpm]");
	}
	text_string(out, "}\n");
	if (chance_take(bytes, 2)) {
		number_write(bytes, "  feed: {max: ", 50, 6000, out);
		text_string(out, " mm/min}\n");
	}
	if (chance_take(bytes, 2)) {
		size_write(bytes, "  travel: {x: ", 50 * LENGTH_MM, 3000 * LENGTH_MM, out);
		size_write(bytes, ", y: ", 50 * LENGTH_MM, 3000 * LENGTH_MM, out);
		size_write(bytes, ", z: ", 20 * LENGTH_MM, 400 * LENGTH_MM, out);
		text_string(out, "}\n");
	}
}

/* Jaws of heights about that of the part on its parallels. */
static void
vise_write(struct bytes *bytes, Length final, struct text *out)
{
	Length parallel;

	if (chance_take(bytes, 2))
		return;
	parallel = size_write(bytes, "parallels: [", LENGTH_MM, 60 * LENGTH_MM, out);
	size_write(bytes, ", ", LENGTH_MM, 60 * LENGTH_MM, out);
	size_write(bytes, "]\nvise: {front_jaw: ", LENGTH_MM, parallel + final, out);
	size_write(bytes, ", rear_jaw: ", LENGTH_MM, parallel + final, out);
	size_write(bytes, ", jaw_width: ", 10 * LENGTH_MM, 300 * LENGTH_MM, out);
	text_string(out, "}\n");
}

static void
clamps_write(struct bytes *bytes, Length final, struct text *out)
{
	int64_t clamps = chance_take(bytes, 2) ? take(bytes, 1, 3) : 0;

	for (int64_t i = 0; i < clamps; i++) {
		size_write(bytes, i == 0 ? "hold: {clamps: [{x: " : ", {x: ", -300 * LENGTH_MM, 600 * LENGTH_MM, out);
		size_write(bytes, ", y: ", -300 * LENGTH_MM, 600 * LENGTH_MM, out);
		size_write(bytes, ", length: ", LENGTH_MM, 60 * LENGTH_MM, out);
		size_write(bytes, ", width: ", LENGTH_MM, 60 * LENGTH_MM, out);
		size_write(bytes, ", height: ", LENGTH_MM, final + 20 * LENGTH_MM, out);
		text_string(out, i + 1 == clamps ? "}]}\n" : "}");
	}
}

/* `words` end with a NULL. */
static void
word_write(struct bytes *bytes, const char *before, const char *const *words, struct text *out)
{
	int64_t count = 0;

	while (words[count])
		count++;
	text_string(out, before);
	text_string(out, words[take(bytes, 0, count - 1)]);
}

static void
number_write(struct bytes *bytes, const char *before, int64_t least, int64_t most, struct text *out)
{
	text_format(out, "%s%lld", before, (long long)take(bytes, least, most));
}

static Length
size_write(struct bytes *bytes, const char *before, Length least, Length most, struct text *out)
{
	Length size = size_take(bytes, least, most);

	length_write(before, size, out);
	return size;
}

static void
length_write(const char *before, Length length, struct text *out)
{
	Length size = length < 0 ? -length : length;

	text_format(out, "%s%s%lld.%06lld mm", before, length < 0 ? "-" : "", (long long)(size / LENGTH_MM),
	            (long long)(size % LENGTH_MM));
}

/* Of a drawing in millimetres or inches, of a micrometer, or to the nanometre. */
static Length
size_take(struct bytes *bytes, Length least, Length most)
{
	static const Length STEPS[] = { LENGTH_MM / 10,   LENGTH_INCH / 1000, LENGTH_MM,
		                        LENGTH_INCH / 16, LENGTH_MM / 1000,   1 };

	Length step = STEPS[take(bytes, 0, 5)], size = take(bytes, least, most > least ? most : least);
	Length down = length_down(size, step);

	return down >= least ? down : size;
}

static bool
chance_take(struct bytes *bytes, int64_t one_in)
{
	return take(bytes, 1, one_in) == one_in;
}

/* As many bytes as the range needs. */
static int64_t
take(struct bytes *bytes, int64_t least, int64_t most)
{
	const uint64_t range = (uint64_t)(most - least) + 1;
	uint64_t       value = 0;

	for (uint64_t reached = 1; reached < range && bytes->next < bytes->stop; reached *= 256)
		value = 256 * value + *bytes->next++;
	return least + (int64_t)(value % range);
}

/* A job that contradicts itself is an error, and has a message as well. */
static bool
chain_plan(struct chain *chain)
{
	static const struct library NO_SHOPS = { 0 };

	struct diag *diag = &chain->diag;

	if (!dialect_read(&chain->post_source, &chain->arena, &chain->dialect, diag))
		fail(chain, "a shipped dialect is in error");
	if (!intake_read(&chain->job_source, &NO_SHOPS, &chain->arena, &chain->job, diag)) {
		if (diag->errors == 0)
			fail(chain, "no job, and no reason");
		return false;
	}
	if (!is_short(chain))
		return false;
	if (choice_make(&chain->job, dialect_grid(&chain->dialect, chain->job.units), &chain->arena, &chain->plan,
	                diag)) {
		if (diag->errors > 0)
			fail(chain, "a plan, and a refusal");
		return true;
	}
	if (diag->errors == 0 || (diag->worst != SEVERITY_REFUSED && diag->worst != SEVERITY_ERROR))
		fail(chain, "no plan, and no reason");
	return false;
}

static bool
is_short(const struct chain *chain)
{
	static const enum along ALONGS[] = { ALONG_X, ALONG_Y };

	struct arena arena   = { 0 };
	struct diag  unheard = { .arena = &arena };
	struct plan  plan;
	bool         small = true;

	for (size_t i = 0; i < 2; i++)
		small &= !plan_make(&chain->job, dialect_grid(&chain->dialect, chain->job.units), ALONGS[i], &arena,
		                    &plan, &unheard) ||
		         (int64_t)plan.schedule.count * plan.layout.passes <= PASSES_WRITTEN_MAX;
	arena_release(&arena);
	return small;
}

static bool
chain_write(struct chain *chain, struct text *out)
{
	const struct job *job = &chain->job;
	char              buffer[SUMMARY_HEADING_BYTES];
	const char       *lines[SUMMARY_HEADING_LINES];
	struct heading    heading = {
		   .units         = job->units,
		   .zero          = chain->plan.zero,
		   .work_offset   = job->program.work_offset,
		   .offset_wanted = schema_given(&job->program.bound, "work_offset"),
		   .number        = job->program.number,
		   .lines         = lines,
		   .line_count    = summary_heading(&chain->plan, lines, buffer),
	};
	struct writer writer;
	struct path   path;
	struct step   step;
	bool          written = writer_begin(&writer, &chain->dialect, &heading, out, &chain->diag);

	path_start(&path, &chain->plan);
	while (written && path_next(&path, &step))
		written = writer_step(&writer, &step);
	if (!written && chain->diag.errors == 0)
		fail(chain, "not written, and no reason");
	return written;
}

static bool
chain_feed(struct text *text)
{
	trial_feed(text->context, text->data, text->length);
	text->length = 0;
	return true;
}

static void
fail(const struct chain *chain, const char *what)
{
	static char buffer[65536];

	const struct finding *first = trial_first_refusal(&chain->trial);
	struct text           said  = text_over(buffer, sizeof buffer);

	diag_print(&chain->diag, SEVERITY_NOTE, "skimcut", &said);
	fprintf(stderr, "%s\n%s\n%s\n", what, chain->yaml, text_end(&said));
	if (first)
		fprintf(stderr, "line %zu, column %zu: %s\n", first->line, first->column, first->text);
	abort();
}
