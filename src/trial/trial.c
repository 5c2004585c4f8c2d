#include "skimcut/trial.h"

static void steps_take(struct trial *trial);

/* What gives motion its meaning; a program had better say it. */
static const unsigned MODES = 1u << GROUP_PLANE | 1u << GROUP_RADIUS | 1u << GROUP_DISTANCE | 1u << GROUP_FEED_MODE;

bool
trial_begin(struct trial *trial, const struct job *job, const struct plan *plan, const struct dialect *dialect,
            struct arena *arena, enum fineness fineness)
{
	trial->language       = language_of(dialect, job->program.work_offset);
	trial->demand         = demand_make(job, plan);
	trial->demand.lengths = trial->language.g[430] != 0;
	reader_begin(&trial->reader, &trial->language, plan->zero);
	return proof_begin(&trial->proof, &trial->demand, arena, fineness);
}

void
trial_feed(struct trial *trial, const char *bytes, size_t size)
{
	reader_feed(&trial->reader, bytes, size);
	steps_take(trial);
}

bool
trial_end(struct trial *trial)
{
	const struct reader *reader = &trial->reader;

	reader_end(&trial->reader);
	steps_take(trial);
	if (reader->deleted > 0)
		trial->proof.assumed |= ASSUMED_BLOCKS_RUN;
	if (!reader->offset_told)
		trial->proof.assumed |= ASSUMED_NO_OFFSET;
	if (MODES & ~reader->told)
		trial->proof.assumed |= ASSUMED_MODES;
	if (trial->demand.hold->count == 0)
		trial->proof.assumed |= ASSUMED_NOTHING_BY;
	if (!trial->demand.machine)
		trial->proof.assumed |= ASSUMED_NO_LIMITS;
	proof_end(&trial->proof, reader->refused ? &reader->fault : NULL);
	return proof_holds(&trial->proof);
}

/* What is of the program as a whole, line 0, comes last. */
const struct finding *
trial_first_refusal(const struct trial *trial)
{
	const struct finding *first = NULL;

	for (const struct finding *finding = trial->proof.findings.of; finding < trial->proof.findings.of + PROPERTIES;
	     finding++)
		if (finding->found == FOUND_REFUSED && (!first || finding->line - 1 < first->line - 1))
			first = finding;
	return first;
}

static void
steps_take(struct trial *trial)
{
	struct step step;

	while (reader_next(&trial->reader, &step))
		proof_step(&trial->proof, &step, trial->reader.line);
}
