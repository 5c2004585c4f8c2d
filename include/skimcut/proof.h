/*
 * proof - a program's steps against what the job demands: the stock is carved with them, and ten properties are judged.
 *
 * It may refuse a good program by the width of a hair; it never passes a bad one. What it takes for granted is said in
 * `assumed`. Give it every step with its line, the fault if the reader had one, and then the end.
 */
#ifndef SKIMCUT_PROOF_H
#define SKIMCUT_PROOF_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "skimcut/carve.h"
#include "skimcut/clock.h"
#include "skimcut/cutting.h"
#include "skimcut/demand.h"
#include "skimcut/finding.h"
#include "skimcut/step.h"

struct arena;
struct fault;

enum assumed {
	ASSUMED_CHANGE_ABOVE = 1,   /* the machine changes tools, and homes, with Z above everything */
	ASSUMED_BLOCKS_RUN   = 2,   /* blocks that begin with / are run */
	ASSUMED_NO_OFFSET    = 4,   /* the program names no work offset */
	ASSUMED_TOOL_IS_IN   = 8,   /* the program calls no tool: the job's is in the spindle */
	ASSUMED_HOME_AS_TOLD = 16,  /* G28 and G30 move only the axes that are told */
	ASSUMED_MODES        = 32,  /* a mode that the program does not tell is the usual one when it starts */
	ASSUMED_NOTHING_BY   = 64,  /* the job tells of no vise and no clamps */
	ASSUMED_NO_LIMITS    = 128, /* the job describes no machine */
};

struct range {
	Length low, high;
	bool   begun;
};

struct proof {
	const struct demand *demand;
	struct carve         carve;
	struct findings      findings;
	struct cutting       cutting;
	unsigned             assumed;
	struct clock         clock; /* feed_s: in the cut and in air */
	/* Its own. */
	struct point at;
	unsigned     known;  /* axes */
	bool         topped; /* Z is above everything, wherever that is */
	bool         moved;  /* since nobody knew where it stands */
	bool         tool_called, ended;
	struct range x, y, z;            /* where it has been */
	Length       flare_above, flare; /* the last reach that was asked for */
};

/* Starts as (struct proof){ 0 }, does not move, and may be begun anew with another fineness. False: memory is out. */
bool proof_begin(struct proof *proof, const struct demand *demand, struct arena *arena, enum fineness fineness);

void proof_step(struct proof *proof, const struct step *step, size_t line);

/* `fault` NULL: the program was read to its end. Otherwise what was not refused by then stays open. */
void proof_end(struct proof *proof, const struct fault *fault);

/* All ten. */
bool proof_holds(const struct proof *proof);

/* It refused something that a finer carving might not. */
bool proof_wants_finer(const struct proof *proof);

#endif
