/*
 * demand - what a job asks of a program that faces it, in numbers.
 *
 * Taken from the job and, where the job leaves a choice, from the plan: which cutter, which parallels, whether cuts come in lines of a dial. Nothing here knows how a
 * plan divides the height or lays its passes.
 */
#ifndef SKIMCUT_DEMAND_H
#define SKIMCUT_DEMAND_H

#include <stdbool.h>
#include <stdint.h>

#include "skimcut/hold.h"
#include "skimcut/job.h"
#include "skimcut/plan.h"

/* Lengths in the stock's frame; 0 where a limit is not known. */
struct demand {
	enum units           units;
	struct point         zero;
	Length               length, width, height;
	Length               finished, grid;    /* a floor within half a grid unit of it is the finished face */
	Length               final;             /* on the grid */
	Length               unit;              /* equal cuts differ by no more */
	Length               test, rough, skim; /* no cut is deeper; the skim leaves what is below it no less */
	enum levels          levels;
	unsigned             measure; /* 1 << enum measure; without a test cut there is no MEASURE_TEST */
	enum milling         milling;
	const struct cutter *cutter;
	Length inner, outer;           /* radius that is cut to the full depth, and that the edges reach at the face */
	Length edge_height;            /* how far above the face they reach; LENGTH_MAX: not said */
	Length wide_x, wide_y;         /* the widest cut that a pass along X, or along Y, may take */
	const struct machine *machine; /* NULL: none is known */
	Speed                 vc;      /* at the edges */
	int64_t               slowest_rpm; /* of the machine, which may be faster than vc asks for */
	Length                fz, skim_fz;
	bool                  coolant_asked; /* for `coolant`, by the job itself */
	enum coolant          coolant;
	bool                  lengths; /* the dialect takes a tool's length */
	Speed                 rapid;   /* for reckoning time */
	const struct hold    *hold;
};

struct demand demand_make(const struct job *job, const struct plan *plan);

/* Is this floor the finished face? */
bool demand_is_final(const struct demand *demand, Length floor);

/* How far the cutter reaches from its centre, at this height above its face and below. */
Length demand_reach(const struct demand *demand, Length above);

#endif
