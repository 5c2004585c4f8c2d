#include "skimcut/materials.h"

/* As books print them: m/min and micrometres. */
struct figures {
	int          vc_m_min, fz_um;
	enum coolant coolant;
};

struct row {
	const char    *name;
	char           group;
	int            kc11_n_mm2, mc_percent;
	struct figures with[EDGES];
};

/*
 * Sources, one letter a figure in the comment of its row: kc1.1 mc; carbide; high-speed steel.
 *   K  Kalpakjian & Schmid, Manufacturing Engineering and Technology, table 24.2 (read): the low end of the starting range
 *   C  Carvill, Mechanical Engineer's Data Handbook, p. 187, at 0.2 mm/tooth (read)
 *   D  Dietrich & Tschaetsch, Praxis der Zerspanungstechnik, 11th ed. (the pair was read in a second-hand copy)
 *   T  the same classic set of Kienzle's law, which German handbooks repeat; of several alloys the heavier (from memory)
 *   R  a cautious value in, or on the slow side of, the ranges that handbooks agree on (from memory)
 * Coolant is common practice, no source: carbide on steel and iron runs dry, because a coolant that comes and goes cracks
 * inserts; aluminium, copper alloys and titanium want it; iron is dry with any edge; plastics are blown clear.
 */
/* clang-format off */
static const struct row ROWS[] = {
	/* D D; K K, R (C: 28) R */ { "low-carbon steel", 'P', 1780, 17, { { 120, 130, COOLANT_NONE }, { 25, 100, COOLANT_FLOOD } } },
	/* T T; R (C: 75 at 0.7 % C) R, R R */ { "medium-carbon steel", 'P', 2220, 14, { { 100, 120, COOLANT_NONE }, { 20, 100, COOLANT_FLOOD } } },
	/* T T; K K, R (C: 10) R */ { "alloy steel", 'P', 2500, 26, { { 90, 100, COOLANT_NONE }, { 10, 80, COOLANT_FLOOD } } },
	/* T T; R R, R R */ { "tool steel", 'P', 2300, 21, { { 70, 100, COOLANT_NONE }, { 10, 80, COOLANT_FLOOD } } },
	/* T T; R (C: 115) K, R R */ { "stainless steel", 'M', 2350, 21, { { 90, 130, COOLANT_NONE }, { 12, 80, COOLANT_FLOOD } } },
	/* T T; R (C: 110) R, R (C: 20) R */ { "grey iron", 'K', 1160, 26, { { 100, 150, COOLANT_NONE }, { 18, 120, COOLANT_NONE } } },
	/* T T; R R, R R */ { "ductile iron", 'K', 1480, 17, { { 90, 130, COOLANT_NONE }, { 15, 100, COOLANT_NONE } } },
	/* T T; R (K: 610, C: 600) K, R (C: 100) R */
	{ "aluminium", 'N', 830, 23, { { 300, 130, COOLANT_FLOOD }, { 80, 130, COOLANT_FLOOD } } },
	/* T T; R R, R R */ { "cast aluminium", 'N', 830, 23, { { 300, 130, COOLANT_FLOOD }, { 60, 130, COOLANT_FLOOD } } },
	/* T T; R R, R (C: 45) R */ { "brass", 'N', 1180, 15, { { 150, 120, COOLANT_NONE }, { 40, 100, COOLANT_NONE } } },
	/* T T; R R, R (C: 35) R */ { "bronze", 'N', 1780, 17, { { 120, 100, COOLANT_FLOOD }, { 30, 100, COOLANT_FLOOD } } },
	/* R R; R R, R R */ { "plastic", 'N', 300, 20, { { 200, 150, COOLANT_NONE }, { 100, 150, COOLANT_NONE } } },
	/* T T; R (K: 50) R, R R */ { "titanium", 'S', 1370, 21, { { 45, 100, COOLANT_FLOOD }, { 9, 70, COOLANT_FLOOD } } },
	/* R R; R (K: 30) K */ { "nickel alloy", 'S', 2600, 25, { { 25, 100, COOLANT_FLOOD }, { 0 } /* not advised */ } },
	/* R R; R R */ { "hardened steel", 'H', 4000, 25, { { 50, 80, COOLANT_NONE }, { 0 } /* not advised */ } },
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
		.name       = row->name,
		.group      = row->group,
		.kc11_n_mm2 = row->kc11_n_mm2,
		.mc         = row->mc_percent / 100.0,
		.with       = { [EDGE_CARBIDE] = starting(row->with[EDGE_CARBIDE]),
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
