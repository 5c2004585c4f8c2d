/*
 * dial - lengths and feeds as a hand at a handle has them: turns, graduations, turns a minute.
 */
#ifndef SKIMCUT_DIAL_H
#define SKIMCUT_DIAL_H

#include <stdbool.h>
#include <stdint.h>

#include "skimcut/job.h"
#include "skimcut/length.h"

/* How far a handle is turned from its zero: whole turns, and graduations of the next, to the tenth of one that is no farther. */
struct reading {
	bool    back; /* below zero: turned the other way */
	int64_t turns;
	int64_t tenths; /* of a graduation */
};

/* Wants a dial that is there, per_turn > 0. */
struct reading dial_read(const struct dial *dial, Length from_zero);

/* "2 turns + 15", "0 turns + 7.5"; the way is not told. */
struct shown dial_show(const struct reading *reading);

/* A hand turns a handle evenly so often a minute and no faster; common practice, no source. */
enum { DIAL_TURNS_MOST = 60 };

/* How the table is fed at vf along an axis: by a setting of its power feed, or by hand. */
struct feeding {
	Speed  setting;   /* of the power feed: the nearest that is allowed; 0: there is none */
	bool   has_power; /* on this axis */
	double turns_min; /* of the handle, at vf; 0: nothing is told of its dial */
	double s_per_turn;
	bool   too_fast; /* more than DIAL_TURNS_MOST */
};

/* `along` is X or Y; a setting may be from `least` to `most`. */
struct feeding dial_feeding(const struct machine *machine, enum along along, Speed vf, Speed least, Speed most);

/* The dial of an axis across the passes, and of the one along them. */
const struct dial *dial_across(const struct machine *machine, enum along along);
const struct dial *dial_along(const struct machine *machine, enum along along);

#endif
