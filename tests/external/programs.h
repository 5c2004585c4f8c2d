/*
 * programs - program text for the outside checks to look at: of a job in memory, by the library, and of every sample, by the
 * program itself.
 */
#ifndef SKIMCUT_TESTS_PROGRAMS_H
#define SKIMCUT_TESTS_PROGRAMS_H

#include "../unit/planning.h"

#include <glob.h>
#include <stdio.h>
#include <stdlib.h>

#include "skimcut/choice.h"
#include "skimcut/intake.h"
#include "skimcut/dialect.h"
#include "skimcut/path.h"
#include "skimcut/shipped.h"
#include "skimcut/summary.h"
#include "skimcut/writer.h"

enum { TEXT_ROOM = 1 << 20 };

/* One job, planned and written in a dialect. Does not move once it is opened. */
struct work {
	struct planning planning;
	struct source   post;
	struct dialect  dialect;
	char           *yaml, *text;
};

static inline char *
file_read(const char *path)
{
	FILE *file = fopen(path, "rb");
	char *text = calloc(1, TEXT_ROOM);

	if (!file || !text || fread(text, 1, TEXT_ROOM - 1, file) == 0)
		fail_msg("cannot read %s", path);
	fclose(file);
	return text;
}

static inline const struct source *
samples_shop_open(void *context, const char *path, struct place place, struct arena *arena, struct diag *diag)
{
	char           name[256];
	char          *text;
	struct source *source = arena_take(arena, sizeof *source);

	(void)context;
	(void)place;
	(void)diag;
	snprintf(name, sizeof name, "samples/%s", path);
	text    = file_read(name);
	*source = (struct source){ path, arena_copy(arena, text, strlen(text)), strlen(text), UNITS_NONE };
	free(text);
	return source;
}

/* Takes `yaml`. post NULL: the job's own. False: the job cannot be planned. Close it in either case. */
static inline bool
work_open(struct work *work, char *yaml, const char *post)
{
	static const struct library SHOPS = { samples_shop_open, NULL };

	const struct shipped *shipped  = SHIPPED_DIALECTS;
	struct planning      *planning = &work->planning;

	*work                = (struct work){ .yaml = yaml, .text = calloc(1, TEXT_ROOM) };
	planning->diag.arena = &planning->arena;
	planning->source     = (struct source){ "job.yaml", yaml, strlen(yaml), UNITS_NONE };
	if (!intake_read(&planning->source, &SHOPS, &planning->arena, &planning->job, &planning->diag))
		return false;
	if (!post)
		post = planning->job.program.post;
	while (strcmp(shipped->name, post) != 0)
		shipped++;
	work->post = (struct source){ shipped->name, shipped->text, strlen(shipped->text), UNITS_NONE };
	assert_true(dialect_read(&work->post, &planning->arena, &work->dialect, &planning->diag));
	return choice_make(&planning->job, dialect_grid(&work->dialect, planning->job.units), &planning->arena,
	                   &planning->plan, &planning->diag);
}

static inline void
work_close(struct work *work)
{
	planning_close(&work->planning);
	free(work->yaml);
	free(work->text);
}

static inline void
work_write(struct work *work)
{
	const struct job *job = &work->planning.job;
	char              buffer[SUMMARY_HEADING_BYTES];
	const char       *lines[SUMMARY_HEADING_LINES];
	struct heading    heading = {
		   .units = job->units, .zero = work->planning.plan.zero, .work_offset = 54, .lines = lines
	};
	struct text   out = text_over(work->text, TEXT_ROOM - 1);
	struct writer writer;
	struct path   path;
	struct step   step;

	heading.line_count = summary_heading(&work->planning.plan, lines, buffer);
	assert_true(writer_begin(&writer, &work->dialect, &heading, &out, &work->planning.diag));
	path_start(&path, &work->planning.plan);
	while (path_next(&path, &step))
		assert_true(writer_step(&writer, &step));
	text_end(&out);
}

/* The same by the program itself, from the job's file. */
static inline void
work_run(struct work *work, const char *path)
{
	char  command[1024];
	FILE *program;

	snprintf(command, sizeof command, "%s program -q -p %s %s", SKIMCUT, work->dialect.name, path);
	program = popen(command, "r");
	if (!program || fread(work->text, 1, TEXT_ROOM - 1, program) == 0 || pclose(program) != 0)
		fail_msg("failed: %s", command);
}

/* Every job of samples/; shops are none. post NULL: in its own dialect. */
static inline void
each_sample(const char *post, void (*check)(struct work *work, uint64_t index))
{
	glob_t files;

	assert_int_equal(glob("samples/*.yaml", 0, NULL, &files), 0);
	assert_true(files.gl_pathc > 4);
	for (size_t i = 0; i < files.gl_pathc; i++) {
		struct work work;

		if (strncmp(files.gl_pathv[i], "samples/shop-", 13) == 0)
			continue;
		if (!work_open(&work, file_read(files.gl_pathv[i]), post))
			fail_msg("no plan: %s", files.gl_pathv[i]);
		work_run(&work, files.gl_pathv[i]);
		check(&work, i);
		work_close(&work);
	}
	globfree(&files);
}

/* `count` random jobs that can be planned. post NULL: each shipped dialect in turn. */
static inline void
each_random(uint64_t seed, int count, const char *post, void (*check)(struct work *work, uint64_t seed))
{
	size_t dialects = 0;

	while (SHIPPED_DIALECTS[dialects].name)
		dialects++;
	for (int tries = 0, done = 0; done < count; tries++) {
		const uint64_t before = seed;
		char          *yaml   = calloc(1, 4096);
		struct text    out    = text_over(yaml, 4096);
		struct work    work;

		random_job(&seed, "random", &out);
		if (work_open(&work, yaml, post ? post : SHIPPED_DIALECTS[(size_t)tries % dialects].name)) {
			work_write(&work);
			check(&work, before);
			done++;
		}
		work_close(&work);
		assert_true(tries < 10 * count);
	}
}

#endif
