/*
 * trial - a program's text, read back and carved: the whole of the proof, fed with bytes as they come.
 *
 * Memory does not grow with the program, and nothing is allocated after it has begun.
 */
#ifndef SKIMCUT_TRIAL_H
#define SKIMCUT_TRIAL_H

#include <stdbool.h>
#include <stddef.h>

#include "skimcut/language.h"
#include "skimcut/proof.h"
#include "skimcut/reader.h"

struct arena;
struct job;
struct plan;

struct trial {
	struct language language;
	struct demand   demand;
	struct reader   reader;
	struct proof    proof;
};

/* Starts as (struct trial){ 0 }, does not move, and may be begun anew with another fineness. False: memory is out. */
bool trial_begin(struct trial *trial, const struct job *job, const struct plan *plan, const struct dialect *dialect,
                 struct arena *arena, enum fineness fineness);

void trial_feed(struct trial *trial, const char *bytes, size_t size);

/* The text is over. True: proved. */
bool trial_end(struct trial *trial);

/* The refusal that stands first in the program; NULL when it is proved. */
const struct finding *trial_first_refusal(const struct trial *trial);

#endif
