/*
 * step - the one vocabulary that joins the makers of motion (a plan walked, a program read) with its takers.
 *
 * Positions are where the cutter's centre stands at its lowest face, in the frame whose origin is the stock's left, front,
 * bottom corner. Before the first move on an axis nobody knows where the machine stands on it.
 */
#ifndef SKIMCUT_STEP_H
#define SKIMCUT_STEP_H

#include <stdbool.h>
#include <stdint.h>

#include "skimcut/length.h"

enum step_kind {
	STEP_TOOL,    /* tool: change to this one, spindle off */
	STEP_SPINDLE, /* rotation, rpm */
	STEP_COOLANT, /* coolant */
	STEP_RAPID,   /* to, axes */
	STEP_FEED,    /* to, axes, feed */
	STEP_ARC,     /* to, centre, clockwise, feed: in the XY plane; `to` equal to the start is a full circle */
	STEP_STOP,    /* text: the machine waits for the person; optional: only when its switch says so */
	STEP_NOTE,    /* text: nothing moves */
	STEP_END,     /* the program is over */
	/* What programs of others do, and a plan never does: */
	STEP_HOME,   /* axes: at rapid to the machine's reference point, which for Z is above everything; optional: the
	                others may go as well */
	STEP_LENGTH, /* tool: heights are told with the length of this one, 0 without; the machine does not move */
};

enum axes {
	AXIS_X = 1,
	AXIS_Y = 2,
	AXIS_Z = 4,
};

enum rotation { ROTATION_OFF, ROTATION_CLOCKWISE, ROTATION_COUNTERCLOCKWISE };

enum coolant { COOLANT_NONE, COOLANT_MIST, COOLANT_FLOOD, COOLANT_OIL /* by hand: no step has it */ };

struct step {
	enum step_kind kind;
	unsigned       axes; /* which members of `to` were told; the others stand where they stood */
	struct point   to;
	struct point   centre;
	bool           clockwise; /* seen from above */
	Speed          feed;
	enum rotation  rotation;
	int64_t        rpm;
	enum coolant   coolant;
	int64_t        tool;
	bool           optional;
	const char    *text; /* lives until the next step is asked for */
};

/* What a program can tell apart: every coordinate, counted from its zero, and every feed is a whole multiple. */
struct grid {
	Length length;
	Speed  feed;
};

#endif
