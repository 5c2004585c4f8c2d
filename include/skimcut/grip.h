/*
 * grip - whether the part stays where it is: how deep it is held, and what margins there are against slipping and tipping.
 *
 * The model is simple; docs/method.md has it with its drawing, and what it leaves out. The taller jaw counts for clearance, the lower
 * for grip. Without a clamping force only the geometry is known. Heights are above the stock's bottom.
 */
#ifndef SKIMCUT_GRIP_H
#define SKIMCUT_GRIP_H

#include <stdbool.h>

#include "skimcut/hold.h"
#include "skimcut/job.h"
#include "skimcut/length.h"

struct grip {
	bool   by_vise, by_clamps;
	Length jaw;                   /* top of the lower jaw; below 0 where it ends below the part */
	Length depth;                 /* of the part between the jaws: by the lower jaw, less the parallels */
	Length out_before, out_after; /* what stands out above the lower jaw, before and after */
	Length contact;               /* of the jaws with the part, along X */
	double lost_share;            /* of the clamping force, because the part sits off the vise's screw */
	bool   force_known;           /* the vise's; without a vise, that of every clamp */
	double force_n;  /* that presses on the part, less what is lost: the vise's, without one the clamps' */
	double clamps_n; /* what clamps beside a vise add to it, as far as it is known */
};

struct grip grip_find(const struct job *job, const struct hold *hold, Length final);

/* Margins of a cut whose force in the plane acts at this height > 0; force_n of a grip must be known. No force: INFINITY. */
struct margins {
	double slip, tip; /* times the force that would just move it */
};

struct margins grip_margins(const struct job *job, const struct grip *grip, double plane_n, Length height);

#endif
