#include "skimcut/materials.h"

/* As books print them: m/min and micrometres. */
struct figures {
	int          vc_m_min, fz_um;
	enum coolant coolant;
};

struct row {
	const char    *name;
	char           group;
	struct figures with[EDGES];
};

/*
 * Sources, one letter a figure in the comment of its row, carbide first:
 *   K  Kalpakjian & Schmid, Manufacturing Engineering and Technology, table 24.2 (read): the low end of the starting range
 *   C  Carvill, Mechanical Engineer's Data Handbook, p. 187, at 0.2 mm/tooth (read)
 *   R  a cautious value in, or on the slow side of, the ranges that handbooks agree on (from memory)
 * Coolant is common practice, no source: carbide on steel and iron runs dry, because a coolant that comes and goes cracks
 * inserts; aluminium, copper alloys and titanium want it; iron is dry with any edge; plastics are blown clear.
 */
/* clang-format off */
static const struct row ROWS[] = {
	/* K K, R (C: 28) R */ { "low-carbon steel", 'P', { { 120, 130, COOLANT_NONE }, { 25, 100, COOLANT_FLOOD } } },
	/* R (C: 75 at 0.7 % C) R, R R */ { "medium-carbon steel", 'P', { { 100, 120, COOLANT_NONE }, { 20, 100, COOLANT_FLOOD } } },
	/* K K, R (C: 10) R */ { "alloy steel", 'P', { { 90, 100, COOLANT_NONE }, { 10, 80, COOLANT_FLOOD } } },
	/* R R, R R */ { "tool steel", 'P', { { 70, 100, COOLANT_NONE }, { 10, 80, COOLANT_FLOOD } } },
	/* R (C: 115) K, R R */ { "stainless steel", 'M', { { 90, 130, COOLANT_NONE }, { 12, 80, COOLANT_FLOOD } } },
	/* R (C: 110) R, R (C: 20) R */ { "grey iron", 'K', { { 100, 150, COOLANT_NONE }, { 18, 120, COOLANT_NONE } } },
	/* R R, R R */ { "ductile iron", 'K', { { 90, 130, COOLANT_NONE }, { 15, 100, COOLANT_NONE } } },
	/* R (K: 610, C: 600) K, R (C: 100) R */
	{ "aluminium", 'N', { { 300, 130, COOLANT_FLOOD }, { 80, 130, COOLANT_FLOOD } } },
	/* R R, R R */ { "cast aluminium", 'N', { { 300, 130, COOLANT_FLOOD }, { 60, 130, COOLANT_FLOOD } } },
	/* R R, R (C: 45) R */ { "brass", 'N', { { 150, 120, COOLANT_NONE }, { 40, 100, COOLANT_NONE } } },
	/* R R, R (C: 35) R */ { "bronze", 'N', { { 120, 100, COOLANT_FLOOD }, { 30, 100, COOLANT_FLOOD } } },
	/* R R, R R */ { "plastic", 'N', { { 200, 150, COOLANT_NONE }, { 100, 150, COOLANT_NONE } } },
	/* R (K: 50) R, R R */ { "titanium", 'S', { { 45, 100, COOLANT_FLOOD }, { 9, 70, COOLANT_FLOOD } } },
	/* R (K: 30) K */ { "nickel alloy", 'S', { { 25, 100, COOLANT_FLOOD }, { 0 } /* not advised */ } },
	/* R R */ { "hardened steel", 'H', { { 50, 80, COOLANT_NONE }, { 0 } /* not advised */ } },
};
/* clang-format on */

static struct starting starting(struct figures figures);

size_t
materials_count(void)
{
	return sizeof ROWS / sizeof ROWS[0];
}

struct material
materials_at(size_t index)
{
	const struct row *row = &ROWS[index];

	return (struct material){
		.name  = row->name,
		.group = row->group,
		.with  = { [EDGE_CARBIDE] = starting(row->with[EDGE_CARBIDE]),
		           [EDGE_HSS]     = starting(row->with[EDGE_HSS]) },
	};
}

static struct starting
starting(struct figures figures)
{
	return (struct starting){
		.vc      = figures.vc_m_min * (1000 * LENGTH_MM),
		.fz      = figures.fz_um * (LENGTH_MM / 1000),
		.coolant = figures.coolant,
	};
}
