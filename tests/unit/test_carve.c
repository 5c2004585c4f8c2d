#include "planning.h"

#include <math.h>

#include "skimcut/carve.h"

enum { MOVES_MAX = 24, LINES_MAX = 2 * MOVES_MAX + 2, CELLS_BOUND = 262144, BANDS_BOUND = 65536 };

static const uint64_t SEED = 0xca57ab1e5eed0001;

/* A pass: what it sweeps, and how low. */
struct move {
	struct point from, to;
	Length       radius, floor;
};

/* One model in one arena, begun anew for every case. */
static struct arena arena;
static struct carve carve;

static void
begin(Length length, Length width, Length height, enum fineness fineness)
{
	assert_true(carve_begin(&carve, &arena, length, width, height, fineness));
}

static struct taken
take_by(struct point from, struct point to, Length radius, Length floor)
{
	struct taken taken = taken_nothing();
	struct sweep sweep = sweep_make(from, to, radius, false);

	carve_take(&carve, &sweep, floor, &taken);
	return taken;
}

static struct taken
take(const struct move *move)
{
	return take_by(move->from, move->to, move->radius, move->floor);
}

static struct taken
pass_x(Length from, Length to, Length y, Length radius, Length floor)
{
	return take_by((struct point){ from, y, 0 }, (struct point){ to, y, 0 }, radius, floor);
}

static struct taken
pass_y(Length from, Length to, Length x, Length radius, Length floor)
{
	return take_by((struct point){ x, from, 0 }, (struct point){ x, to, 0 }, radius, floor);
}

static double
area_above(Length height)
{
	struct contact contact;
	double         area, volume;

	carve_remaining(&carve, height, &area, &volume, &contact);
	return area;
}

static double
volume_above(Length height)
{
	struct contact contact;
	double         area, volume;

	carve_remaining(&carve, height, &area, &volume, &contact);
	return volume;
}

static bool
nothing_stands_above(Length height)
{
	struct contact contact;
	double         area, volume;

	return !carve_remaining(&carve, height, &area, &volume, &contact);
}

/* The highest that stands at the point or touches it. */
static Length
height_at(Length x, Length y)
{
	struct contact contact = { -1, { 0, 0, 0 } };
	struct point   at      = { x, y, 0 };
	struct sweep   needle  = sweep_make(at, at, 1, false);

	return carve_meets(&carve, &needle, -1, &contact) ? contact.height : -1;
}

static void
expect_near(double is, double should_be, double tolerance)
{
	if (!(fabs(is - should_be) <= tolerance))
		fail_msg("%.9f, not %.9f", is, should_be);
}

static double
mm(Length x)
{
	return (double)x / LENGTH_MM;
}

/* From micrometres to metres. */
static Length
random_size(uint64_t *seed, Length least, Length most)
{
	Length size = least;

	while (size < most && !random_chance(seed, 6))
		size *= 3;
	return random_between(seed, least, smaller(size, most));
}

/* --- along X and Y: exactly --- */

static void
a_new_model_stands_whole(void **state)
{
	struct contact contact;
	double         area, volume;

	(void)state;
	begin(30 * LENGTH_MM, 20 * LENGTH_MM, 10 * LENGTH_MM, FINENESS_COARSE);
	assert_int_equal(carve.cell_count, 1);
	assert_int_equal(carve.band_count, 1);
	assert_int_equal(carve_highest(&carve), 10 * LENGTH_MM);
	assert_false(carve.full || carve.rounded);
	assert_true(carve_remaining(&carve, 7 * LENGTH_MM, &area, &volume, &contact));
	expect_near(area, 600, 1e-9);
	expect_near(volume, 1800, 1e-9);
	assert_int_equal(contact.height, 10 * LENGTH_MM);
	assert_true(nothing_stands_above(10 * LENGTH_MM));
	assert_false(nothing_stands_above(10 * LENGTH_MM - 1));
}

static void
a_step_is_a_share_of_the_width_and_a_micrometre_at_least(void **state)
{
	static const Length SHARES[FINENESSES] = { 512, 4096, 16384 };

	(void)state;
	for (enum fineness fineness = 0; fineness < FINENESSES; fineness++)
		for (Length width = 1; width < 4000 * LENGTH_MM; width = width * 3 + 1) {
			begin(LENGTH_MM, width, LENGTH_MM, fineness);
			if (width <= 1000 * SHARES[fineness])
				assert_int_equal(carve.step, 1000);
			else
				assert_true(carve.step * SHARES[fineness] >= width &&
				            (carve.step - 1) * SHARES[fineness] < width);
		}
}

/* The last pass short by a nanometre across leaves a nanometre, and one high by a nanometre leaves that. */
static void
passes_that_cover_leave_nothing_and_a_nanometre_less_leaves_a_nanometre(void **state)
{
	const Length length = 90 * LENGTH_MM, width = 50 * LENGTH_MM, radius = 10 * LENGTH_MM;
	const Length top = 20 * LENGTH_MM, floor = 19 * LENGTH_MM;

	(void)state;
	for (enum fineness fineness = 0; fineness < FINENESSES; fineness++)
		for (int along_y = 0; along_y < 2; along_y++)
			for (int planted = 0; planted < 4; planted++) {
				Length run = along_y ? width : length, across = along_y ? length : width;
				Length from = -radius, to = run + radius, centre = radius;

				begin(length, width, top, fineness);
				for (int k = 0; centre - radius < across; k++) {
					Length y = centre, z = floor;

					if (planted == 1 && k == 1)
						y++; /* the one before ends a nanometre short of it */
					if (planted == 2 && k == 1)
						z++;
					if (planted == 3 && centre + radius >= across)
						y -= centre + radius - across + 1;
					if (along_y)
						pass_y(k % 2 ? to : from, k % 2 ? from : to, y, radius, z);
					else
						pass_x(k % 2 ? to : from, k % 2 ? from : to, y, radius, z);
					centre += 2 * radius;
				}
				assert_false(carve.rounded || carve.full);
				if (planted == 0) {
					assert_true(nothing_stands_above(floor));
					assert_int_equal(carve.cell_count, 1);
					assert_int_equal(carve.band_count, 1);
					assert_int_equal(carve_highest(&carve), floor);
				} else if (planted == 2) {
					assert_int_equal(carve_highest(&carve), floor + 1);
					expect_near(area_above(floor), mm(run) * 20, 1e-9);
					expect_near(volume_above(floor), mm(run) * 20 * 1e-6, 1e-12);
				} else {
					/* What passes in the middle miss, the next has: its centre is one further. */
					assert_false(nothing_stands_above(floor));
					expect_near(area_above(floor), mm(run) * 1e-6, 1e-12);
					assert_int_equal(carve_highest(&carve), top);
				}
			}
}

/* Lines at which anything may change, and a height for every field between them. */
struct grid_of_fields {
	Length x[LINES_MAX], y[LINES_MAX];
	int    columns, rows;
	Length height[LINES_MAX][LINES_MAX];
};

static void
line_add(Length *lines, int *count, Length at, Length limit)
{
	int i = *count;

	if (at <= 0 || at >= limit)
		return;
	for (int k = 0; k < *count; k++)
		if (lines[k] == at)
			return;
	for (; i > 0 && lines[i - 1] > at; i--)
		lines[i] = lines[i - 1];
	lines[i] = at;
	(*count)++;
}

static void
fields_make(struct grid_of_fields *fields, Length length, Length width, Length height, const struct move *moves,
            int count)
{
	fields->columns = fields->rows = 0;
	fields->x[fields->columns++] = fields->y[fields->rows++] = 0;
	for (int i = 0; i < count; i++) {
		line_add(fields->x, &fields->columns, moves[i].from.x - moves[i].radius, length);
		line_add(fields->x, &fields->columns, moves[i].from.x + moves[i].radius, length);
		line_add(fields->y, &fields->rows, moves[i].from.y - moves[i].radius, width);
		line_add(fields->y, &fields->rows, moves[i].from.y + moves[i].radius, width);
	}
	fields->x[fields->columns] = length;
	fields->y[fields->rows]    = width;
	for (int r = 0; r < fields->rows; r++)
		for (int c = 0; c < fields->columns; c++) {
			Length *field = &fields->height[r][c];

			*field = height;
			for (int i = 0; i < count; i++) {
				const struct move *move    = &moves[i];
				bool               along_x = move->from.y == move->to.y;
				Length             centre  = along_x ? move->from.y : move->from.x;
				Length             low     = along_x ? fields->y[r] : fields->x[c];

				if (low >= centre - move->radius && low<centre + move->radius && * field> move->floor)
					*field = move->floor;
			}
		}
}

/* From well outside to well outside. */
static struct move
random_through(uint64_t *seed, Length length, Length width, Length top)
{
	bool   along_x = random_chance(seed, 2), back = random_chance(seed, 2);
	Length extent = along_x ? length : width, across = along_x ? width : length;
	Length radius = random_between(seed, 1, random_chance(seed, 3) ? across : 1 + across / 8);
	Length low = -radius - random_between(seed, 0, 1000), high = extent + radius + random_between(seed, 0, 1000);
	Length at        = random_between(seed, -radius, across + radius);
	struct move move = { { back ? high : low, at, 0 },
		             { back ? low : high, at, 0 },
		             radius,
		             top - random_between(seed, 0, 5) * (random_chance(seed, 2) ? 1 : 1000) };

	if (!along_x) {
		move.from = (struct point){ at, move.from.x, 0 };
		move.to   = (struct point){ at, move.to.x, 0 };
	}
	return move;
}

static void
check_fields(uint64_t seed, const struct grid_of_fields *fields, Length above)
{
	double area = 0, volume = 0;
	Length highest = 0;

	for (int r = 0; r < fields->rows; r++)
		for (int c = 0; c < fields->columns; c++) {
			Length height = fields->height[r][c], x = fields->x[c], y = fields->y[r];
			double own = mm(fields->x[c + 1] - x) * mm(fields->y[r + 1] - y);

			highest = height > highest ? height : highest;
			if (height > above) {
				area += own;
				volume += own * mm(height - above);
			}
			/* Somewhere strictly inside, if there is such a place. */
			if (fields->x[c + 1] - x > 1 && fields->y[r + 1] - y > 1)
				holds(seed, height_at(x + (fields->x[c + 1] - x) / 2, y + (fields->y[r + 1] - y) / 2) ==
				                height);
		}
	holds(seed, fabs(area_above(above) - area) <= 1e-12 * mm(carve.length) * mm(carve.width));
	holds(seed, fabs(volume_above(above) - volume) <= 1e-12 * mm(carve.length) * mm(carve.width));
	holds(seed, nothing_stands_above(above) == (highest <= above));
	holds(seed, carve_highest(&carve) == highest);
}

/* Rows that differ from the one before are bands, and runs of one height in them cells: no more than there is to tell apart. */
static void
check_count(uint64_t seed, const struct grid_of_fields *fields)
{
	size_t bands = 0, cells = 0;

	for (int r = 0; r < fields->rows; r++) {
		const Length *row = fields->height[r], *before = r > 0 ? fields->height[r - 1] : NULL;

		if (before && memcmp(row, before, (size_t)fields->columns * sizeof *row) == 0)
			continue;
		bands++;
		for (int c = 0; c < fields->columns; c++)
			cells += c == 0 || row[c] != row[c - 1];
	}
	holds(seed, carve.band_count == bands);
	holds(seed, carve.cell_count == cells);
}

static void
passes_along_x_and_y_are_cut_out_exactly(void **state)
{
	static struct grid_of_fields fields;
	uint64_t                     seed = SEED;

	(void)state;
	for (int i = 0; i < 3000; i++) {
		const uint64_t before = seed;
		Length         length = random_size(&seed, 1000, 2000 * LENGTH_MM);
		Length         width  = random_size(&seed, 1000, 2000 * LENGTH_MM);
		Length         top    = random_between(&seed, 10000, 500 * LENGTH_MM);
		int            count  = (int)random_between(&seed, 1, MOVES_MAX);
		struct move    moves[MOVES_MAX];
		double         volume;

		begin(length, width, top, (enum fineness)random_between(&seed, 0, FINENESSES - 1));
		volume = volume_above(0);
		for (int k = 0; k < count; k++) {
			struct taken taken;

			moves[k] = random_through(&seed, length, width, top);
			taken    = take(&moves[k]);
			volume -= taken.volume_mm3;
			holds(before, carve.highest >= carve_highest(&carve));
		}
		fields_make(&fields, length, width, top, moves, count);
		check_fields(before, &fields, top - random_between(&seed, 0, 6000));
		holds(before, !carve.rounded && !carve.full);
		holds(before, fabs(volume_above(0) - volume) <= 1e-11 * mm(length) * mm(width) * mm(top));
		check_count(before, &fields);
	}
}

/* --- round and slanted: on the safe side, and near --- */

static long double
distance(const struct move *move, Length x, Length y)
{
	long double wx = (long double)(move->to.x - move->from.x), wy = (long double)(move->to.y - move->from.y);
	long double dx = (long double)(x - move->from.x), dy = (long double)(y - move->from.y);
	long double length2 = wx * wx + wy * wy, along = dx * wx + dy * wy;

	if (along <= 0)
		return hypotl(dx, dy);
	if (along >= length2)
		return hypotl((long double)(x - move->to.x), (long double)(y - move->to.y));
	return fabsl(wx * dy - wy * dx) / sqrtl(length2);
}

/* How high it stands at the point when every cutter is thinner by `less`. */
static Length
true_height(const struct move *moves, int count, Length top, Length x, Length y, Length less)
{
	Length height = top;

	for (int i = 0; i < count; i++)
		if (moves[i].floor < height && distance(&moves[i], x, y) <= (long double)(moves[i].radius - less))
			height = moves[i].floor;
	return height;
}

static struct move
random_move(uint64_t *seed, Length length, Length width, Length top)
{
	Length      most   = length > width ? length : width;
	Length      radius = random_between(seed, most / 40 + 1, random_chance(seed, 3) ? most : most / 6 + 1);
	struct move move   = {
		  { random_between(seed, -radius, length + radius), random_between(seed, -radius, width + radius), 0 },
		  { random_between(seed, -radius, length + radius), random_between(seed, -radius, width + radius), 0 },
		  radius,
		  top - random_between(seed, 0, 4) * 1000
	};

	if (random_chance(seed, 4))
		move.to.x = move.from.x + random_between(seed, -1, 1) * random_between(seed, 0, 100);
	else if (random_chance(seed, 4))
		move.to.y = move.from.y + random_between(seed, -1, 1) * random_between(seed, 0, 100);
	else if (random_chance(seed, 8))
		move.to = move.from;
	return move;
}

/* Anywhere, or just outside the sweep of a move. */
static void
random_probe(uint64_t *seed, const struct move *moves, int count, Length *x, Length *y)
{
	const struct move *move  = &moves[random_between(seed, 0, count - 1)];
	double             share = (double)random_between(seed, 0, 1000) / 1000;
	double             angle = (double)random_between(seed, 0, 6283185) / 1e6;
	double             dx = (double)(move->to.x - move->from.x), dy = (double)(move->to.y - move->from.y);

	*x = random_between(seed, 0, carve.length);
	*y = random_between(seed, 0, carve.width);
	if (random_chance(seed, 4))
		return;
	if (random_chance(seed, 2) && (dx != 0 || dy != 0))
		angle = atan2(dx, -dy) + (random_chance(seed, 2) ? 3.14159265358979 : 0);
	else
		share = random_chance(seed, 2) ? 0 : 1;
	*x = move->from.x + (Length)(dx * share + (double)(move->radius + 1) * cos(angle));
	*y = move->from.y + (Length)(dy * share + (double)(move->radius + 1) * sin(angle));
	*x = *x < 0 ? 0 : *x > carve.length ? carve.length : *x;
	*y = *y < 0 ? 0 : *y > carve.width ? carve.width : *y;
}

/* The margin of a chord, in distance. */
static const Length CHORD_MARGIN = 10;

static void
check_probes(uint64_t before, uint64_t *seed, const struct move *moves, int count, Length top, int probes)
{
	for (int k = 0; k < probes; k++) {
		Length x, y, height;

		random_probe(seed, moves, count, &x, &y);
		height = height_at(x, y);
		holds(before, height >= true_height(moves, count, top, x, y, 0));
		if (!carve.full)
			holds(before, height <= true_height(moves, count, top, x, y, carve.step + CHORD_MARGIN));
	}
}

static void
what_is_gone_in_the_model_is_gone_in_truth_and_the_rest_is_a_step_away_at_most(void **state)
{
	uint64_t seed = SEED + 1;

	(void)state;
	for (int i = 0; i < 1200; i++) {
		const uint64_t before   = seed;
		Length         length   = random_size(&seed, 40000, 2000 * LENGTH_MM);
		Length         width    = random_size(&seed, 40000, 2000 * LENGTH_MM);
		Length         top      = 20000, volume_margin;
		enum fineness  fineness = random_chance(&seed, 12) ? FINENESS_FINE
		                        : random_chance(&seed, 4)  ? FINENESS_MIDDLE
		                                                   : FINENESS_COARSE;
		int            count    = (int)random_between(&seed, 1, MOVES_MAX / 2);
		struct move    moves[MOVES_MAX];
		double         volume;

		begin(length, width, top, fineness);
		volume        = volume_above(0);
		volume_margin = top;
		for (int k = 0; k < count; k++) {
			struct taken taken;

			moves[k] = random_move(&seed, length, width, top);
			taken    = take(&moves[k]);
			volume -= taken.volume_mm3;
			holds(before, taken.left_mm2 >= 0 && taken.right_mm2 >= 0);
			holds(before, (taken.volume_mm3 > 0) == (taken.left_mm2 + taken.right_mm2 > 0));
			holds(before, taken.volume_mm3 == 0 || (taken.low_mm >= -mm(moves[k].radius + 1) &&
			                                        taken.high_mm <= mm(moves[k].radius + 1)));
			holds(before, carve.highest >= carve_highest(&carve));
		}
		check_probes(before, &seed, moves, count, top, 120);
		/* What all passes took and what remains is what there was. */
		holds(before, fabs(volume_above(0) - volume) <= 1e-9 * mm(length) * mm(width) * mm(volume_margin));
	}
}

/* By how much a bare disc and a bare slanted way come out short, at every fineness. */
static void
a_finer_model_finds_less_beside_a_slanted_edge(void **state)
{
	const Length length = 100 * LENGTH_MM, width = 80 * LENGTH_MM, radius = 20 * LENGTH_MM;
	double       before = INFINITY;

	(void)state;
	for (enum fineness fineness = 0; fineness < FINENESSES; fineness++) {
		double short_of;

		begin(length, width, LENGTH_MM, fineness);
		take_by((struct point){ 30 * LENGTH_MM, 30 * LENGTH_MM, 0 },
		        (struct point){ 70 * LENGTH_MM, 50 * LENGTH_MM, 0 }, radius, 0);
		assert_true(carve.rounded);
		short_of = acos(-1) * 400 + 40 * sqrt(2000) - (8000 - area_above(0));
		assert_true(short_of > 0 && short_of < before / 2);
		assert_true(short_of < mm(carve.step) * (2 * acos(-1) * 20 + 2 * sqrt(2000)));
		before = short_of;
	}
}

/* --- memory --- */

static void
every_completed_level_is_one_band_and_one_cell_again(void **state)
{
	const Length length = 120 * LENGTH_MM, width = 90 * LENGTH_MM;
	size_t       most = 0;
	uint64_t     seed = SEED + 2;

	(void)state;
	begin(length, width, 400 * LENGTH_MM, FINENESS_COARSE);
	for (int level = 1; level <= 60; level++) {
		Length floor = (400 - level) * LENGTH_MM, radius = random_between(&seed, 8, 30) * LENGTH_MM;

		for (Length at = -3 * width; at < 2 * length; at += radius * 3 / 2) {
			struct point from = { -length, at, 0 }, to = { 2 * length, at, 0 };

			if (level % 3 == 1) {
				from = (struct point){ at, 2 * width, 0 };
				to   = (struct point){ at, -width, 0 };
			} else if (level % 3 == 2) {
				to.y += 2 * width;
			}
			take_by(from, to, radius, floor);
			most = carve.cell_count > most ? carve.cell_count : most;
		}
		assert_int_equal(carve.cell_count, 1);
		assert_int_equal(carve.band_count, 1);
		assert_int_equal(carve.highest, floor);
		assert_true(nothing_stands_above(floor));
	}
	assert_false(carve.full);
	assert_in_range(most, 100, 40 * 512);
}

/* What lies against what is cut already becomes one with it, on whichever side. */
static void
passes_side_by_side_are_one_band_in_either_order(void **state)
{
	const Length length = 90 * LENGTH_MM, radius = 5 * LENGTH_MM;

	(void)state;
	for (int down = 0; down < 2; down++)
		for (int along_y = 0; along_y < 2; along_y++) {
			begin(length, length, 20 * LENGTH_MM, FINENESS_COARSE);
			for (Length k = 0; k < 9; k++) {
				Length at = down ? length - radius - 2 * k * radius : radius + 2 * k * radius;

				if (along_y)
					pass_y(-radius, length + radius, at, radius, 10 * LENGTH_MM);
				else
					pass_x(-radius, length + radius, at, radius, 10 * LENGTH_MM);
				assert_int_equal(carve.cell_count, k < 8 ? 2 : 1);
				assert_int_equal(carve.band_count, k < 8 && !along_y ? 2 : 1);
			}
		}
}

/* Unfinished levels: whatever is left over is bounded by the lines there are, not by the passes. */
static void
passes_without_end_do_not_grow_the_model(void **state)
{
	uint64_t seed    = SEED + 3;
	size_t   most[2] = { 0, 0 };

	(void)state;
	begin(100 * LENGTH_MM, 100 * LENGTH_MM, 100 * LENGTH_MM, FINENESS_COARSE);
	for (int k = 0; k < 3000; k++) {
		struct move move = {
			{ random_between(&seed, 0, 100) * LENGTH_MM, random_between(&seed, 0, 100) * LENGTH_MM, 0 },
			{ random_between(&seed, 0, 100) * LENGTH_MM, random_between(&seed, 0, 100) * LENGTH_MM, 0 },
			10 * LENGTH_MM,
			100 * LENGTH_MM - k * 1000
		};

		take(&move);
		if (carve.cell_count > most[k / 1500])
			most[k / 1500] = carve.cell_count;
		assert_true(carve.cell_count < CELLS_BOUND && carve.band_count < BANDS_BOUND);
	}
	assert_false(carve.full);
	assert_true(most[1] < 3 * most[0] / 2);
}

/* Thin slanted passes, each on its own height, until there is no room for more. */
static void
a_full_model_says_so_and_stays_on_the_safe_side(void **state)
{
	enum { PASSES = 40 };

	const Length length = 60 * LENGTH_MM, width = 40 * LENGTH_MM, top = 20 * LENGTH_MM;
	uint64_t     seed = SEED + 4;
	struct move  moves[PASSES];
	int          filled = 0;
	double       volume;

	(void)state;
	begin(length, width, top, FINENESS_FINE);
	volume = volume_above(0);
	for (int k = 0; k < PASSES; k++) {
		struct taken taken;

		moves[k] = (struct move){ { random_between(&seed, -5, 50) * LENGTH_MM, -5 * LENGTH_MM, 0 },
			                  { random_between(&seed, -5, 50) * LENGTH_MM, width + 5 * LENGTH_MM, 0 },
			                  LENGTH_MM / 2,
			                  top - LENGTH_MM - k * 1000 };
		taken    = take(&moves[k]);
		volume -= taken.volume_mm3;
		filled += carve.full;
		assert_true(carve.cell_count < CELLS_BOUND && carve.band_count < BANDS_BOUND);
		assert_true(carve.highest >= carve_highest(&carve));
	}
	assert_in_range(filled, 1, PASSES - 4);
	assert_true(carve.full);
	check_probes(SEED, &seed, moves, PASSES, top, 400);
	expect_near(volume_above(0), volume, 1e-6);
	/* One pass over it all, and there is room again; what was said stays said. */
	pass_x(-60 * LENGTH_MM, 120 * LENGTH_MM, 20 * LENGTH_MM, 60 * LENGTH_MM, LENGTH_MM);
	assert_true(carve.full);
	assert_true(carve_highest(&carve) >= LENGTH_MM);
	begin(length, width, top, FINENESS_COARSE);
	assert_false(carve.full || carve.rounded);
	assert_int_equal(carve.cell_count, 1);
}

/* Strips of a nanometre. */
static void
too_many_bands_are_full_as_well(void **state)
{
	const Length width = 70000;
	int          k     = 0;

	(void)state;
	begin(10 * LENGTH_MM, 2 * width, LENGTH_MM, FINENESS_COARSE);
	/* From the back to the front, so that the place to cut is found at once. */
	for (; k < width && !carve.full; k++)
		pass_x(-10, 10 * LENGTH_MM + 10, 2 * width - 2 * k - 1, 1, 1000 + k % 2);
	assert_true(carve.full);
	assert_true(carve.band_count < BANDS_BOUND && carve.band_count > BANDS_BOUND - 8);
	assert_int_equal(height_at(5000, 1), LENGTH_MM);
	expect_near(area_above(2000), 10 * mm(2 * width - (Length)carve.band_count * 2 + 2), 1e-4);
}

/* To split a band copies its cells. */
static void
bands_of_many_cells_are_full_before_the_last_cell(void **state)
{
	const Length length = 10 * LENGTH_MM;
	size_t       most = 0, last = 0;

	(void)state;
	begin(length, length, LENGTH_MM, FINENESS_COARSE);
	for (Length k = 0; k < 1000; k++)
		pass_y(-10, length + 10, length - 4000 - 3 * k, 1, 1000);
	assert_int_equal(carve.band_count, 1);
	last = carve.cell_count;
	assert_true(last > 2000);
	/* From the left edge just into the first cell. */
	for (Length k = 0; !carve.full; k++) {
		pass_x(-10, 10, length - 10 - 3 * k, 1, 1000);
		most = carve.cell_count > most ? carve.cell_count : most;
		assert_true(most < CELLS_BOUND);
	}
	/* There was no room for two more of them. */
	assert_true(most > CELLS_BOUND - 2 * last - 8);
	expect_near(area_above(2000), 100 - 1000 * 2e-6 * 10, 1e-3);
}

/* --- what was taken --- */

/* How a picture is turned, seen from a way along X to the right. */
struct turn {
	bool along_y, back;
};

static const struct turn TURNS[] = {
	{ false, false },
	{ false, true },
	{ true, false },
	{ true, true },
};

/*
 * Along: from `start` before the stock of this length. Across: the way's own line is at 0, left positive, and the stock reaches
 * from `low` to `high`.
 */
static struct taken
turned_pass(const struct turn *turn, Length length, Length low, Length high, Length start, Length run, Length radius,
            Length floor)
{
	bool   mirrored = turn->along_y != turn->back; /* left of the way is towards smaller coordinates */
	Length centre   = mirrored ? high : -low;
	Length from = turn->back ? length - start : start, to = turn->back ? from - run : from + run;

	return turn->along_y ? pass_y(from, to, centre, radius, floor) : pass_x(from, to, centre, radius, floor);
}

static void
turned_begin(const struct turn *turn, Length length, Length low, Length high, Length height)
{
	if (turn->along_y)
		begin(high - low, length, height, FINENESS_COARSE);
	else
		begin(length, high - low, height, FINENESS_COARSE);
}

struct span {
	Length low, high; /* of the stock, from the way */
};

static const struct span STRIPS[] = {
	{ -50 * LENGTH_MM, 50 * LENGTH_MM },
	{ -30 * LENGTH_MM, 40 * LENGTH_MM },
	{ 10 * LENGTH_MM, 30 * LENGTH_MM },
	{ -37 * LENGTH_MM, -5 * LENGTH_MM },
	{ -80 * LENGTH_MM, 20 * LENGTH_MM },
	{ 0, 49 * LENGTH_MM },
	{ -49999999, 1 },
};

/* In mm: R = 50, the stock 200 along, the way from 70 before it to 80 behind it. */
static void
what_a_pass_takes_is_as_by_hand_in_all_four_directions(void **state)
{
	const double radius = 50, run = 200, before = 70, depth = 2;

	(void)state;
	for (size_t t = 0; t < sizeof TURNS / sizeof *TURNS; t++)
		for (size_t s = 0; s < sizeof STRIPS / sizeof *STRIPS; s++) {
			const struct span *strip = &STRIPS[s];
			double             low = fmax(mm(strip->low), -radius), high = fmin(mm(strip->high), radius);
			double near_by = low > 0 ? low : high < 0 ? -high : 0, away = fmax(fabs(low), fabs(high));
			double first = sqrt(radius * radius - near_by * near_by),
			       last  = sqrt(radius * radius - away * away);
			struct taken taken;

			turned_begin(&TURNS[t], 200 * LENGTH_MM, strip->low, strip->high, 12 * LENGTH_MM);
			taken = turned_pass(&TURNS[t], 200 * LENGTH_MM, strip->low, strip->high, -70 * LENGTH_MM,
			                    350 * LENGTH_MM, 50 * LENGTH_MM, 10 * LENGTH_MM);
			expect_near(taken.low_mm, low, 1e-9);
			expect_near(taken.high_mm, high, 1e-9);
			expect_near(taken.left_mm2, run * fmax(0, high - fmax(low, 0)), 1e-6);
			expect_near(taken.right_mm2, run * fmax(0, fmin(high, 0) - low), 1e-6);
			expect_near(taken.volume_mm3, run * (high - low) * depth, 1e-6);
			expect_near(taken.from_mm, before - first, 1e-9);
			expect_near(taken.to_mm, before + run - last, 1e-9);
			/* L + A */
			expect_near(taken.to_mm - taken.from_mm, run + first - last, 1e-9);
			assert_false(carve.rounded);
		}
}

/* A chamfer's inner circle of 30 clears what the edges, at 50, have long reached. */
static void
the_front_of_the_cutter_may_be_wider_than_what_it_clears(void **state)
{
	struct taken taken = taken_nothing();
	struct sweep sweep = sweep_make((struct point){ -70 * LENGTH_MM, 40 * LENGTH_MM, 0 },
	                                (struct point){ 280 * LENGTH_MM, 40 * LENGTH_MM, 0 }, 30 * LENGTH_MM, false);

	(void)state;
	begin(200 * LENGTH_MM, 80 * LENGTH_MM, 12 * LENGTH_MM, FINENESS_COARSE);
	taken.front_mm = 50;
	carve_take(&carve, &sweep, 10 * LENGTH_MM, &taken);
	expect_near(taken.from_mm, 70 - 50, 1e-9);
	expect_near(taken.to_mm, 70 + 200 - 40, 1e-9);
	expect_near(taken.low_mm, -30, 1e-9);
	expect_near(taken.high_mm, 30, 1e-9);
	expect_near(taken.volume_mm3, 200 * 60 * 2, 1e-6);
}

/* The first takes y 20 to 40 down to 11, the second all of 0 to 60 down to 10, from y 20. */
static void
a_second_pass_takes_what_the_first_has_left(void **state)
{
	(void)state;
	for (int back = 0; back < 2; back++) {
		Length from = back ? 160 * LENGTH_MM : -60 * LENGTH_MM, to = back ? -60 * LENGTH_MM : 160 * LENGTH_MM;
		struct taken taken;

		begin(100 * LENGTH_MM, 60 * LENGTH_MM, 12 * LENGTH_MM, FINENESS_COARSE);
		taken = pass_x(-60 * LENGTH_MM, 160 * LENGTH_MM, 30 * LENGTH_MM, 10 * LENGTH_MM, 11 * LENGTH_MM);
		expect_near(taken.volume_mm3, 2000, 1e-9);
		taken = pass_x(from, to, 20 * LENGTH_MM, 50 * LENGTH_MM, 10 * LENGTH_MM);
		expect_near(taken.volume_mm3, 100 * (40 * 2 + 20 * 1), 1e-9);
		expect_near(back ? taken.right_mm2 : taken.left_mm2, 100 * 40, 1e-9);
		expect_near(back ? taken.left_mm2 : taken.right_mm2, 100 * 20, 1e-9);
		/* A third finds nothing, nor does one that is higher. */
		for (Length floor = 10; floor < 12; floor++) {
			taken = pass_x(from, to, 20 * LENGTH_MM, 50 * LENGTH_MM, floor * LENGTH_MM);
			assert_true(taken.volume_mm3 == 0 && taken.left_mm2 == 0 && taken.right_mm2 == 0);
			assert_true(taken.from_mm > taken.to_mm && taken.low_mm > taken.high_mm);
		}
	}
}

/* 110 mm from outside to the middle: 40 x 60 and half a disc of 30. */
static void
a_pass_that_ends_in_the_stock_takes_half_a_disc_more(void **state)
{
	const double whole = 40 * 60 + acos(-1) * 30 * 30 / 2;

	(void)state;
	for (size_t t = 0; t < sizeof TURNS / sizeof *TURNS; t++) {
		struct taken taken;
		double       loss, step;

		turned_begin(&TURNS[t], 100 * LENGTH_MM, -40 * LENGTH_MM, 40 * LENGTH_MM, 12 * LENGTH_MM);
		taken = turned_pass(&TURNS[t], 100 * LENGTH_MM, -40 * LENGTH_MM, 40 * LENGTH_MM, -70 * LENGTH_MM,
		                    110 * LENGTH_MM, 30 * LENGTH_MM, 10 * LENGTH_MM);
		step  = mm(carve.step);
		loss  = whole - taken.volume_mm3 / 2;
		assert_true(carve.rounded);
		assert_true(loss > 0 && loss < step * acos(-1) * 30);
		expect_near(taken.left_mm2 + taken.right_mm2, whole - loss, 1e-6);
		expect_near(taken.left_mm2, taken.right_mm2, step * 60);
		expect_near(taken.low_mm, -30, 1e-9);
		expect_near(taken.high_mm, 30, 1e-9);
		expect_near(taken.from_mm, 70 - 30, 1e-9);
		expect_near(taken.to_mm, 110, 1e-9);
		expect_near(area_above(10 * LENGTH_MM), 8000 - whole + loss, 1e-6);
	}
}

/* By points on a fine raster: how far the centre has come when the front arc is at one. */
static void
what_a_slanted_pass_takes_is_as_a_raster_says(void **state)
{
	enum { RASTER = 200 };

	const Length length = 80 * LENGTH_MM, width = 50 * LENGTH_MM;
	uint64_t     seed = SEED + 5;

	(void)state;
	for (int i = 0; i < 40; i++) {
		const uint64_t before = seed;
		double         radius, least = INFINITY, most = -INFINITY, low = INFINITY, high = -INFINITY, slack;
		double         left = 0, right = 0, field = mm(length) * mm(width) / (RASTER * RASTER);
		struct move    move = random_move(&seed, length, width, 20000);
		struct taken   taken;
		struct sweep   sweep = sweep_make(move.from, move.to, move.radius, false);

		move.floor = 0;
		radius     = mm(move.radius);
		if (sweep.length_nm == 0)
			continue;
		begin(length, width, LENGTH_MM, FINENESS_MIDDLE);
		taken = take(&move);
		for (int r = 0; r <= RASTER; r++)
			for (int c = 0; c <= RASTER; c++) {
				Length x = length * c / RASTER, y = width * r / RASTER;
				double dx = mm(x - move.from.x), dy = mm(y - move.from.y), weight = field;
				double along  = dx * sweep.along_x + dy * sweep.along_y;
				double across = dy * sweep.along_x - dx * sweep.along_y;

				if (distance(&move, x, y) > (long double)(move.radius - carve.step))
					continue;
				along -= sqrt(radius * radius - across * across);
				least = fmin(least, along);
				most  = fmax(most, along);
				low   = fmin(low, across);
				high  = fmax(high, across);
				weight *= (r % RASTER == 0 ? 0.5 : 1) * (c % RASTER == 0 ? 0.5 : 1);
				if (across > 0)
					left += weight;
				else
					right += weight;
			}
		if (least > most)
			continue;
		/* The raster sees no more than there is, but for where the steps end. */
		holds(before, taken.from_mm <= least + mm(carve.step) && taken.to_mm >= most - mm(carve.step));
		holds(before, taken.low_mm <= low + 1e-6 && taken.high_mm >= high - 1e-6);
		/* And not much less: a field of the raster, felt along where the arc is steep. */
		slack = mm(length) / RASTER + mm(carve.step);
		slack = slack + sqrt(2 * radius * 2 * slack);
		holds(before, taken.from_mm >= least - slack && taken.to_mm <= most + slack);
		holds(before, taken.low_mm >= low - slack && taken.high_mm <= high + slack);
		slack = (mm(length + width) * 2) * (mm(length) / RASTER + mm(carve.step));
		holds(before, fabs(taken.left_mm2 - left) < slack && fabs(taken.right_mm2 - right) < slack);
		holds(before, fabs(taken.volume_mm3 - taken.left_mm2 - taken.right_mm2) < 1e-6);
	}
}

/* --- what stands in the way --- */

/* Heights 30, 20, 40 and 40 of a staircase along X, each 10 wide. */
static void
a_contact_is_the_highest_and_of_that_the_nearest(void **state)
{
	struct contact contact;
	struct sweep   sweep;

	(void)state;
	begin(40 * LENGTH_MM, 30 * LENGTH_MM, 40 * LENGTH_MM, FINENESS_COARSE);
	pass_y(-10 * LENGTH_MM, 40 * LENGTH_MM, 5 * LENGTH_MM, 5 * LENGTH_MM, 30 * LENGTH_MM);
	pass_y(-10 * LENGTH_MM, 40 * LENGTH_MM, 15 * LENGTH_MM, 5 * LENGTH_MM, 20 * LENGTH_MM);
	sweep = sweep_make((struct point){ -10 * LENGTH_MM, 12 * LENGTH_MM, 0 },
	                   (struct point){ 60 * LENGTH_MM, 12 * LENGTH_MM, 0 }, LENGTH_MM, false);
	assert_true(carve_meets(&carve, &sweep, 0, &contact));
	assert_int_equal(contact.height, 40 * LENGTH_MM);
	assert_int_equal(contact.at.x, 20 * LENGTH_MM);
	assert_int_equal(contact.at.y, 12 * LENGTH_MM);
	assert_true(carve_meets(&carve, &sweep, 40 * LENGTH_MM - 1, &contact));
	assert_false(carve_meets(&carve, &sweep, 40 * LENGTH_MM, &contact));
	/* Back: the same stair from its other side. */
	sweep = sweep_make(sweep.to, sweep.from, LENGTH_MM, false);
	assert_true(carve_meets(&carve, &sweep, 0, &contact));
	assert_int_equal(contact.at.x, 40 * LENGTH_MM);
	/* As far as the first stair and not a nanometre further. */
	sweep = sweep_make((struct point){ -10 * LENGTH_MM, 12 * LENGTH_MM, 0 },
	                   (struct point){ 9 * LENGTH_MM, 12 * LENGTH_MM, 0 }, LENGTH_MM, false);
	assert_true(carve_meets(&carve, &sweep, 0, &contact));
	assert_int_equal(contact.height, 30 * LENGTH_MM);
	assert_int_equal(contact.at.x, 0);
	assert_false(carve_meets(&carve, &sweep, 30 * LENGTH_MM, &contact));
	/* Cut through: two of one height, and the nearer is named. */
	pass_x(-10 * LENGTH_MM, 50 * LENGTH_MM, 15 * LENGTH_MM, 5 * LENGTH_MM, 10 * LENGTH_MM);
	sweep = sweep_make((struct point){ 25 * LENGTH_MM, 35 * LENGTH_MM, 0 },
	                   (struct point){ 25 * LENGTH_MM, -9 * LENGTH_MM, 0 }, LENGTH_MM, false);
	assert_true(carve_meets(&carve, &sweep, 10 * LENGTH_MM, &contact));
	assert_int_equal(contact.at.y, 30 * LENGTH_MM);
	/* A loose way finds what the straight one passes by. */
	sweep = sweep_make((struct point){ -10 * LENGTH_MM, 5 * LENGTH_MM, 0 },
	                   (struct point){ 5 * LENGTH_MM, 50 * LENGTH_MM, 0 }, LENGTH_MM, true);
	assert_true(carve_meets(&carve, &sweep, 0, &contact));
	sweep = sweep_make(sweep.from, sweep.to, LENGTH_MM, false);
	assert_false(carve_meets(&carve, &sweep, 0, &contact));
}

static void
contacts_of_random_ways_are_as_the_fields_say(void **state)
{
	static struct grid_of_fields fields;
	uint64_t                     seed = SEED + 6;

	(void)state;
	for (int i = 0; i < 2000; i++) {
		const uint64_t before = seed;
		Length         length = random_size(&seed, 1000, 1000 * LENGTH_MM);
		Length         width = random_size(&seed, 1000, 1000 * LENGTH_MM), top = LENGTH_MM, highest = -1;
		int            count = (int)random_between(&seed, 1, MOVES_MAX / 2);
		struct move    moves[MOVES_MAX];

		begin(length, width, top, FINENESS_COARSE);
		for (int k = 0; k < count; k++) {
			moves[k] = random_through(&seed, length, width, top);
			take(&moves[k]);
		}
		fields_make(&fields, length, width, top, moves, count);
		for (int k = 0; k < 12; k++) {
			struct move    move    = random_move(&seed, length, width, top);
			Length         above   = random_between(&seed, -1, 6) * 1000;
			struct sweep   sweep   = sweep_make(move.from, move.to, move.radius, random_chance(&seed, 3));
			struct contact contact = { -1, { 0, 0, 0 } };
			double         nearest = INFINITY, away;
			bool           meets;

			highest = -1;
			above   = top - above;
			for (int r = 0; r < fields.rows; r++)
				for (int c = 0; c < fields.columns; c++) {
					struct rect rect = { fields.x[c], fields.x[c + 1], fields.y[r],
						             fields.y[r + 1] };
					struct rect at   = { move.from.x, move.from.x, move.from.y, move.from.y };

					if (fields.height[r][c] <= above || !sweep_near(&sweep, &rect) ||
					    fields.height[r][c] < highest)
						continue;
					if (fields.height[r][c] > highest)
						nearest = INFINITY;
					highest  = fields.height[r][c];
					at.left  = at.left < rect.left ? rect.left : at.left;
					at.left  = at.left > rect.right ? rect.right : at.left;
					at.front = at.front < rect.front ? rect.front : at.front;
					at.front = at.front > rect.back ? rect.back : at.front;
					away = hypot((double)(at.left - move.from.x), (double)(at.front - move.from.y));
					nearest = fmin(nearest, away);
				}
			meets = carve_meets(&carve, &sweep, above, &contact);
			holds(before, meets == (highest >= 0));
			if (!meets)
				continue;
			holds(before, contact.height == highest);
			holds(before, height_at(contact.at.x, contact.at.y) >= highest);
			away = hypot((double)(contact.at.x - move.from.x), (double)(contact.at.y - move.from.y));
			holds(before, !sweep.straight || away <= nearest);
		}
	}
}

/* What a message points at is somewhere that the way leads to. */
static void
a_contact_is_where_the_way_leads(void **state)
{
	uint64_t seed = SEED + 7;

	(void)state;
	for (int i = 0; i < 2000; i++) {
		const uint64_t before = seed;
		struct move    move;
		struct sweep   sweep;
		struct contact contact;

		begin(80 * LENGTH_MM, 50 * LENGTH_MM, LENGTH_MM, FINENESS_COARSE);
		move = random_move(&seed, carve.length, carve.width, LENGTH_MM);
		move.from.x += random_between(&seed, -1, 1) * carve.length;
		move.from.y += random_between(&seed, -1, 1) * carve.width;
		sweep = sweep_make(move.from, move.to, move.radius, random_chance(&seed, 3));
		if (carve_meets(&carve, &sweep, 0, &contact)) {
			struct rect at = { contact.at.x, contact.at.x, contact.at.y, contact.at.y };

			holds(before, sweep_near(&sweep, &at));
		}
	}
}

static void
what_remains_is_added_up_above_the_height_asked(void **state)
{
	struct contact contact;
	double         area, volume;

	(void)state;
	begin(40 * LENGTH_MM, 30 * LENGTH_MM, 40 * LENGTH_MM, FINENESS_COARSE);
	pass_y(-10 * LENGTH_MM, 40 * LENGTH_MM, 5 * LENGTH_MM, 5 * LENGTH_MM, 30 * LENGTH_MM);
	pass_y(-10 * LENGTH_MM, 40 * LENGTH_MM, 15 * LENGTH_MM, 5 * LENGTH_MM, 20 * LENGTH_MM);
	assert_true(carve_remaining(&carve, 0, &area, &volume, &contact));
	expect_near(area, 1200, 1e-9);
	expect_near(volume, 300 * (30 + 20 + 40 + 40), 1e-9);
	assert_int_equal(contact.height, 40 * LENGTH_MM);
	assert_in_range(contact.at.x, 20 * LENGTH_MM, 40 * LENGTH_MM);
	assert_in_range(contact.at.y, 0, 30 * LENGTH_MM);
	assert_true(carve_remaining(&carve, 20 * LENGTH_MM, &area, &volume, &contact));
	expect_near(area, 900, 1e-9);
	expect_near(volume, 300 * (10 + 20 + 20), 1e-9);
	assert_true(carve_remaining(&carve, 40 * LENGTH_MM - 1, &area, &volume, &contact));
	expect_near(area, 600, 1e-9);
	expect_near(volume, 600e-6, 1e-12);
	assert_false(carve_remaining(&carve, 40 * LENGTH_MM, &area, &volume, &contact));
	assert_true(area == 0 && volume == 0);
}

/* A disc that stands still takes what it covers, wherever its centre is. */
static void
a_disc_that_stands_still_takes_what_it_covers(void **state)
{
	static const struct point AT[] = { { 50, 40, 0 }, { 50, -5, 0 }, { 50, 85, 0 }, { -5, 40, 0 }, { 105, 40, 0 } };

	(void)state;
	for (size_t i = 0; i < sizeof AT / sizeof *AT; i++)
		for (Length radius = 20; radius <= 60; radius += 40) {
			struct move move = { .radius = radius * LENGTH_MM, .floor = 0 };
			uint64_t    seed = SEED + 8;

			move.from = (struct point){ AT[i].x * LENGTH_MM, AT[i].y * LENGTH_MM, 0 };
			move.to   = move.from;
			begin(100 * LENGTH_MM, 80 * LENGTH_MM, LENGTH_MM, FINENESS_COARSE);
			take(&move);
			check_probes(SEED, &seed, &move, 1, LENGTH_MM, 400);
		}
}

static int
arena_end(void **state)
{
	(void)state;
	arena_release(&arena);
	return 0;
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_new_model_stands_whole),
		cmocka_unit_test(a_step_is_a_share_of_the_width_and_a_micrometre_at_least),
		cmocka_unit_test(passes_that_cover_leave_nothing_and_a_nanometre_less_leaves_a_nanometre),
		cmocka_unit_test(passes_along_x_and_y_are_cut_out_exactly),
		cmocka_unit_test(what_is_gone_in_the_model_is_gone_in_truth_and_the_rest_is_a_step_away_at_most),
		cmocka_unit_test(a_finer_model_finds_less_beside_a_slanted_edge),
		cmocka_unit_test(a_disc_that_stands_still_takes_what_it_covers),
		cmocka_unit_test(every_completed_level_is_one_band_and_one_cell_again),
		cmocka_unit_test(passes_side_by_side_are_one_band_in_either_order),
		cmocka_unit_test(passes_without_end_do_not_grow_the_model),
		cmocka_unit_test(a_full_model_says_so_and_stays_on_the_safe_side),
		cmocka_unit_test(too_many_bands_are_full_as_well),
		cmocka_unit_test(bands_of_many_cells_are_full_before_the_last_cell),
		cmocka_unit_test(what_a_pass_takes_is_as_by_hand_in_all_four_directions),
		cmocka_unit_test(the_front_of_the_cutter_may_be_wider_than_what_it_clears),
		cmocka_unit_test(a_second_pass_takes_what_the_first_has_left),
		cmocka_unit_test(a_pass_that_ends_in_the_stock_takes_half_a_disc_more),
		cmocka_unit_test(what_a_slanted_pass_takes_is_as_a_raster_says),
		cmocka_unit_test(a_contact_is_the_highest_and_of_that_the_nearest),
		cmocka_unit_test(contacts_of_random_ways_are_as_the_fields_say),
		cmocka_unit_test(a_contact_is_where_the_way_leads),
		cmocka_unit_test(what_remains_is_added_up_above_the_height_asked),
	};

	return cmocka_run_group_tests(tests, NULL, arena_end);
}
