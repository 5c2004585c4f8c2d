/*
 * materials - where to start: cutting speed and feed per tooth, for carbide and for high-speed steel.
 *
 * Starting values for face milling with a sound cutter in a rigid machine, taken from the slow end of the published ranges.
 * The insert maker's figures for the very insert are better than any table.
 */
#ifndef SKIMCUT_MATERIALS_H
#define SKIMCUT_MATERIALS_H

#include <stddef.h>

#include "skimcut/length.h"
#include "skimcut/step.h"

enum edge { EDGE_CARBIDE, EDGE_HSS, EDGES };

/* vc == 0: not advised with this edge. */
struct starting {
	Speed        vc;
	Length       fz;
	enum coolant coolant;
};

struct material {
	const char     *name;
	char            group;          /* ISO 513: P M K N S H */
	double          kc11_n_mm2, mc; /* kc = kc1.1 h^-mc, h in mm */
	struct starting with[EDGES];
};

size_t          materials_count(void);
struct material materials_at(size_t index);

#endif
