#include "planning.h"

#include <math.h>

#include "skimcut/sweep.h"

enum { CASES = 20000 };

static const uint64_t SEED = 0x51c0ffee7a11ed01;

/* How a picture is turned: X and Y swapped, X mirrored, Y mirrored, ends swapped. */
enum { SWAPPED = 1, X_MIRRORED = 2, Y_MIRRORED = 4, BACKWARDS = 8, VIEWS = 16 };

static struct point
point_seen(struct point p, int view)
{
	struct point seen = view & SWAPPED ? (struct point){ p.y, p.x, p.z } : p;

	if (view & X_MIRRORED)
		seen.x = -seen.x;
	if (view & Y_MIRRORED)
		seen.y = -seen.y;
	return seen;
}

static struct rect
rect_between(struct point a, struct point b)
{
	return (struct rect){ a.x < b.x ? a.x : b.x, a.x < b.x ? b.x : a.x, a.y < b.y ? a.y : b.y,
		              a.y < b.y ? b.y : a.y };
}

static struct rect
rect_seen(const struct rect *rect, int view)
{
	return rect_between(point_seen((struct point){ rect->left, rect->front, 0 }, view),
	                    point_seen((struct point){ rect->right, rect->back, 0 }, view));
}

static struct sweep
sweep_seen(struct point from, struct point to, Length radius, bool loose, int view)
{
	from = point_seen(from, view);
	to   = point_seen(to, view);
	return view & BACKWARDS ? sweep_make(to, from, radius, loose) : sweep_make(from, to, radius, loose);
}

/* Products of whole numbers below 2^32, and so exact. */
static long double
distance(struct point from, struct point to, Length x, Length y)
{
	long double wx = (long double)(to.x - from.x), wy = (long double)(to.y - from.y);
	long double dx = (long double)(x - from.x), dy = (long double)(y - from.y);
	long double length2 = wx * wx + wy * wy, along = dx * wx + dy * wy;

	if (along <= 0)
		return hypotl(dx, dy);
	if (along >= length2)
		return hypotl((long double)(x - to.x), (long double)(y - to.y));
	return fabsl(wx * dy - wy * dx) / sqrtl(length2);
}

static long double
distance_at(struct point from, struct point to, long double share, const struct rect *rect)
{
	long double x  = (long double)from.x + (long double)(to.x - from.x) * share,
		    y  = (long double)from.y + (long double)(to.y - from.y) * share;
	long double dx = fmaxl(0, fmaxl((long double)rect->left - x, x - (long double)rect->right)),
		    dy = fmaxl(0, fmaxl((long double)rect->front - y, y - (long double)rect->back));

	return hypotl(dx, dy);
}

/* By search: along the way the distance to a rectangle falls, then rises. */
static long double
least_distance(struct point from, struct point to, const struct rect *rect)
{
	long double low = 0, high = 1;

	for (int i = 0; i < 160; i++) {
		long double a = low + (high - low) / 3, b = high - (high - low) / 3;

		if (distance_at(from, to, a, rect) <= distance_at(from, to, b, rect))
			high = b;
		else
			low = a;
	}
	return distance_at(from, to, (low + high) / 2, rect);
}

static struct point
random_point(uint64_t *seed, Length size)
{
	return (struct point){ random_between(seed, -size, size), random_between(seed, -size, size), 0 };
}

/* From some nanometres to metres. */
static Length
random_size(uint64_t *seed, Length most)
{
	Length size = 20;

	while (size < most && !random_chance(seed, 9))
		size *= 3;
	return size < most ? size : most;
}

/* In any direction, but often nearly along an axis; neither along X nor along Y. */
static void
random_slanted(uint64_t *seed, Length size, struct point *from, struct point *to)
{
	Length flat = random_chance(seed, 3) ? random_size(seed, size) : 0;

	do {
		*from = random_point(seed, size);
		*to   = random_point(seed, size);
		if (flat > 0 && random_chance(seed, 2))
			to->x = from->x + random_between(seed, -flat, flat);
		else if (flat > 0)
			to->y = from->y + random_between(seed, -flat, flat);
	} while (from->x == to->x || from->y == to->y);
}

struct near_case {
	struct point from, to;
	Length       radius;
	bool         loose;
	struct rect  rect;
	bool         near;
};

static const struct near_case NEAR_CASES[] = {
	/* beside a way along X: an edge at the radius, and a nanometre nearer */
	{ { 0, 0, 0 }, { 1000, 0, 0 }, 50, false, { 200, 300, 50, 90 }, false },
	{ { 0, 0, 0 }, { 1000, 0, 0 }, 50, false, { 200, 300, 49, 90 }, true },
	{ { 0, 0, 0 }, { 1000, 0, 0 }, 50, false, { 1000, 1200, 50, 90 }, false },
	{ { 0, 0, 0 }, { 1000, 0, 0 }, 50, false, { 1000, 1200, 49, 90 }, true },
	/* ahead of it */
	{ { 0, 0, 0 }, { 1000, 0, 0 }, 50, false, { 1050, 1060, -10, 10 }, false },
	{ { 0, 0, 0 }, { 1000, 0, 0 }, 50, false, { 1049, 1060, -10, 10 }, true },
	/* its round end: 30, 40, 50 */
	{ { 0, 0, 0 }, { 1000, 0, 0 }, 50, false, { 1030, 1060, 40, 90 }, false },
	{ { 0, 0, 0 }, { 1000, 0, 0 }, 50, false, { 1029, 1060, 40, 90 }, true },
	{ { 0, 0, 0 }, { 1000, 0, 0 }, 50, false, { 1030, 1060, 39, 90 }, true },
	{ { 0, 0, 0 }, { 1000, 0, 0 }, 50, false, { 1040, 1060, 31, 90 }, false },
	/* on it, around it, a point, a line */
	{ { 0, 0, 0 }, { 1000, 0, 0 }, 50, false, { -500, 1500, -500, 500 }, true },
	{ { 0, 0, 0 }, { 1000, 0, 0 }, 50, false, { 500, 501, -1, 1 }, true },
	{ { 0, 0, 0 }, { 1000, 0, 0 }, 50, false, { 700, 700, 49, 49 }, true },
	{ { 0, 0, 0 }, { 1000, 0, 0 }, 50, false, { 700, 700, 50, 50 }, false },
	{ { 0, 0, 0 }, { 1000, 0, 0 }, 50, false, { -700, 700, 50, 50 }, false },
	{ { 0, 0, 0 }, { 1000, 0, 0 }, 1, false, { 500, 600, 0, 10 }, true },
	{ { 0, 0, 0 }, { 1000, 0, 0 }, 1, false, { 500, 600, 1, 10 }, false },
	{ { 0, 0, 0 }, { 1000, 0, 0 }, 0, false, { 500, 600, -10, 10 }, false },
	/* standing still */
	{ { 7, 7, 0 }, { 7, 7, 0 }, 50, false, { 37, 99, 47, 99 }, false },
	{ { 7, 7, 0 }, { 7, 7, 0 }, 50, false, { 36, 99, 47, 99 }, true },
	{ { 7, 7, 0 }, { 7, 7, 0 }, 50, false, { 57, 99, -90, 90 }, false },
	{ { 7, 7, 0 }, { 7, 7, 0 }, 50, false, { 56, 99, -90, 90 }, true },
	/* loose: the corners that the straight way cuts off count */
	{ { 0, 0, 0 }, { 1000, 600, 0 }, 50, true, { 10, 20, 580, 590 }, true },
	{ { 0, 0, 0 }, { 1000, 600, 0 }, 50, false, { 10, 20, 580, 590 }, false },
	{ { 0, 0, 0 }, { 1000, 600, 0 }, 50, true, { 10, 20, 650, 690 }, false },
	{ { 0, 0, 0 }, { 1000, 600, 0 }, 50, true, { 10, 20, 649, 690 }, true },
	{ { 0, 0, 0 }, { 1000, 600, 0 }, 50, true, { -70, -30, 640, 690 }, false },
	{ { 0, 0, 0 }, { 1000, 600, 0 }, 50, true, { -70, -29, 640, 690 }, true },
	/* the largest stock and cutter */
	{ { -2000000000, 0, 0 },
	  { 4000000000, 0, 0 },
	  250000000,
	  false,
	  { 0, 2000000000, 250000000, 2000000000 },
	  false },
	{ { -2000000000, 0, 0 },
	  { 4000000000, 0, 0 },
	  250000000,
	  false,
	  { 0, 2000000000, 249999999, 2000000000 },
	  true },
	{ { 0, 0, 0 }, { 0, 0, 0 }, 250000000, false, { 150000000, 2000000000, 200000000, 2000000000 }, false },
	{ { 0, 0, 0 }, { 0, 0, 0 }, 250000000, false, { 149999999, 2000000000, 200000000, 2000000000 }, true },
};

static void
straight_and_loose_ways_are_told_to_the_nanometre(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof NEAR_CASES / sizeof *NEAR_CASES; i++)
		for (int view = 0; view < VIEWS; view++) {
			const struct near_case *wants = &NEAR_CASES[i];
			struct sweep sweep = sweep_seen(wants->from, wants->to, wants->radius, wants->loose, view);
			struct rect  rect  = rect_seen(&wants->rect, view);

			if (sweep_near(&sweep, &rect) != wants->near)
				fail_msg("case %zu, seen as %d", i, view);
		}
}

static void
a_sweep_knows_its_way(void **state)
{
	struct sweep sweep = sweep_make((struct point){ 5, 9, 1 }, (struct point){ 8, 5, 1 }, 77, false);

	(void)state;
	assert_true(sweep.length_nm == 5);
	assert_true(sweep.along_x == 0.6 && sweep.along_y == -0.8);
	assert_false(sweep.straight);
	assert_int_equal(sweep.way.left, 5);
	assert_int_equal(sweep.way.right, 8);
	assert_int_equal(sweep.way.front, 5);
	assert_int_equal(sweep.way.back, 9);
	sweep = sweep_make((struct point){ 5, 9, 1 }, (struct point){ 5, 2, 1 }, 77, false);
	assert_true(sweep.straight && sweep.length_nm == 7 && sweep.along_x == 0 && sweep.along_y == -1);
	sweep = sweep_make((struct point){ 5, 9, 1 }, (struct point){ -1, 9, 1 }, 77, false);
	assert_true(sweep.straight && sweep.length_nm == 6 && sweep.along_x == -1 && sweep.along_y == 0);
	sweep = sweep_make((struct point){ 5, 9, 1 }, (struct point){ 5, 9, 8 }, 77, false);
	assert_true(sweep.straight && sweep.length_nm == 0 && sweep.along_x == 0 && sweep.along_y == 0);
	sweep = sweep_make((struct point){ 5, 9, 1 }, (struct point){ 8, 5, 1 }, 77, true);
	assert_true(sweep.straight);
}

/* A point of the rectangle, picked at random or on its edge, that is truly nearer than the radius. */
static void
no_point_within_reach_is_ever_missed(void **state)
{
	uint64_t seed = SEED;
	int      near = 0;

	(void)state;
	for (int i = 0; i < CASES; i++) {
		const uint64_t before = seed;
		Length         size   = random_size(&seed, 4000 * LENGTH_MM);
		Length         radius = random_between(&seed, 1, smaller(size, 1500 * LENGTH_MM));
		struct point   from, to;
		struct rect    rect = rect_between(random_point(&seed, size), random_point(&seed, size));
		struct sweep   sweep;
		bool           says;

		random_slanted(&seed, size, &from, &to);
		sweep = sweep_make(from, to, radius, false);
		says  = sweep_near(&sweep, &rect);
		for (int k = 0; k < 12; k++) {
			Length x = random_between(&seed, rect.left, rect.right);
			Length y = random_between(&seed, rect.front, rect.back);

			x = k % 3 == 1 ? rect.left : k % 3 == 2 ? rect.right : x;
			y = k / 3 == 1 ? rect.front : k / 3 == 2 ? rect.back : y;
			holds(before, says || distance(from, to, x, y) >= (long double)radius);
		}
		near += says;
	}
	assert_in_range(near, CASES / 10, CASES * 9 / 10);
}

/* The radius is set within some nanometres of what a search along the way says. */
static void
a_slanted_way_is_told_within_four_nanometres(void **state)
{
	uint64_t seed = SEED + 1;
	int      near = 0, not_near = 0;

	(void)state;
	for (int i = 0; i < CASES / 4; i++) {
		const uint64_t before = seed;
		Length         size   = random_size(&seed, 4000 * LENGTH_MM);
		struct point   from, to, corner = random_point(&seed, size);
		struct rect    rect = rect_between(corner,
		                                   (struct point){ corner.x + random_between(&seed, 0, size / 8),
		                                                   corner.y + random_between(&seed, 0, size / 8), 0 });
		long double    least;
		Length         radius;
		struct sweep   sweep;

		random_slanted(&seed, size, &from, &to);
		least  = least_distance(from, to, &rect);
		radius = (Length)llroundl(least) + random_between(&seed, -6, 6);
		if (radius <= 0 || radius >= 2000 * LENGTH_MM)
			continue;
		sweep = sweep_make(from, to, radius, false);
		if (sweep_near(&sweep, &rect)) {
			holds(before, least < (long double)radius + 4);
			near++;
		} else {
			holds(before, least > (long double)radius - 1e-6L);
			not_near++;
		}
	}
	assert_true(near > CASES / 50 && not_near > CASES / 50);
}

static void
a_core_is_the_full_width_of_a_way_along_an_axis(void **state)
{
	static const struct point FROM = { 100, 30, 0 }, TO = { 900, 30, 0 };
	static const struct rect  CORE = { 100, 900, -20, 80 };

	(void)state;
	for (int view = 0; view < VIEWS; view++) {
		struct sweep sweep = sweep_seen(FROM, TO, 50, false, view);
		struct rect  core, wants = rect_seen(&CORE, view);

		assert_true(sweep_core(&sweep, &core));
		assert_memory_equal(&core, &wants, sizeof core);
		sweep = sweep_seen(FROM, (struct point){ 900, 31, 0 }, 50, false, view);
		assert_false(sweep_core(&sweep, &core));
		sweep = sweep_seen(FROM, FROM, 50, false, view);
		assert_true(!sweep_core(&sweep, &core) || core.left == core.right || core.front == core.back);
	}
}

/* Of a sweep two nanometres narrower, to whole nanometres inside it: three at most, measured across its outline. */
static void
check_chord(uint64_t seed, const struct sweep *sweep, Length y)
{
	const long double radius = (long double)sweep->radius;
	Length            left = 0, right = 0;
	/* Nearer than that to the outline's ends in Y a chord may be a nanometre long, or none. */
	bool inside = y > sweep->way.front - sweep->radius + 4 && y < sweep->way.back + sweep->radius - 4;

	if (!sweep_chord(sweep, y, &left, &right)) {
		holds(seed, !inside || sweep->radius < 20);
		return;
	}
	holds(seed, y > sweep->way.front - sweep->radius && y < sweep->way.back + sweep->radius);
	holds(seed, left < right);
	holds(seed, distance(sweep->from, sweep->to, left, y) <= radius + 1e-9L);
	holds(seed, distance(sweep->from, sweep->to, right, y) <= radius + 1e-9L);
	holds(seed, distance(sweep->from, sweep->to, left - 1, y) >= radius - 3.0L);
	holds(seed, distance(sweep->from, sweep->to, right + 1, y) >= radius - 3.0L);
}

static void
a_chord_stays_inside_and_is_short_by_three_nanometres_at_most(void **state)
{
	uint64_t seed = SEED + 2;

	(void)state;
	for (int i = 0; i < CASES; i++) {
		const uint64_t before = seed;
		Length         size   = random_size(&seed, 2000 * LENGTH_MM);
		Length         radius = random_between(&seed, 1, smaller(size, 1000 * LENGTH_MM));
		struct point   from, to;
		struct sweep   sweep;
		Length         front, back;

		random_slanted(&seed, size, &from, &to);
		if (random_chance(&seed, 8))
			to = from;
		else if (random_chance(&seed, 8))
			to.x = from.x;
		else if (random_chance(&seed, 8))
			to.y = from.y;
		sweep = sweep_make(from, to, radius, false);
		front = sweep.way.front - radius;
		back  = sweep.way.back + radius;
		for (int k = 0; k < 8; k++)
			check_chord(before, &sweep, random_between(&seed, front - 3, back + 3));
		for (Length off = -2; off <= 2; off++) {
			check_chord(before, &sweep, front + off);
			check_chord(before, &sweep, back + off);
			check_chord(before, &sweep, sweep.from.y + radius + off);
			check_chord(before, &sweep, sweep.to.y - radius + off);
			check_chord(before, &sweep, sweep.from.y + off);
		}
	}
}

/* 30, 40, 50 again: whole numbers, whose chord is short by the margin and no more. */
static void
chords_of_plain_cases_are_as_by_hand(void **state)
{
	struct sweep disc = sweep_make((struct point){ 1000, 0, 0 }, (struct point){ 1000, 0, 0 }, 500, false);
	struct sweep way  = sweep_make((struct point){ 0, 0, 0 }, (struct point){ 3000, 4000, 0 }, 500, false);
	Length       left, right;

	(void)state;
	assert_true(sweep_chord(&disc, 300, &left, &right));
	assert_in_range(left, 600, 603);
	assert_in_range(right, 1397, 1400);
	assert_true(sweep_chord(&disc, 0, &left, &right));
	assert_in_range(left, 500, 503);
	assert_in_range(right, 1497, 1500);
	assert_false(sweep_chord(&disc, 500, &left, &right));
	assert_false(sweep_chord(&disc, -500, &left, &right));
	/* The lines beside it run through x = 3/4 y -+ 500 / 0.8. */
	assert_true(sweep_chord(&way, 2000, &left, &right));
	assert_in_range(left, 875, 878);
	assert_in_range(right, 2122, 2125);
}

/* Cutters of next to nothing. */
static void
a_chord_of_the_least_radii_stays_inside(void **state)
{
	uint64_t seed = SEED + 3;

	(void)state;
	for (Length radius = 0; radius < 24; radius++)
		for (int i = 0; i < 400; i++) {
			const uint64_t before = seed;
			struct point   from, to;
			struct sweep   sweep;
			Length         left, right;

			random_slanted(&seed, random_chance(&seed, 2) ? 100 : 100000, &from, &to);
			sweep = sweep_make(from, i % 4 ? to : from, radius, false);
			for (Length y = sweep.way.front - 30; y <= sweep.way.front + 30; y++)
				if (sweep_chord(&sweep, y, &left, &right)) {
					holds(before, radius > 0 && left < right);
					holds(before,
					      distance(sweep.from, sweep.to, left, y) <= (long double)radius + 1e-9L);
					holds(before,
					      distance(sweep.from, sweep.to, right, y) <= (long double)radius + 1e-9L);
				}
		}
}

static void
the_largest_sizes_do_not_overflow(void **state)
{
	const Length far = LENGTH_MAX, radius = 2000 * LENGTH_MM - 1;
	struct point ends[] = {
		{ -far, -far, 0 }, { far, far, 0 }, { -far, far, 0 }, { far, -far + 1, 0 }, { 0, 0, 0 }
	};
	struct rect all = { -far, far, -far, far }, corner = { far, far, far, far };
	Length      left, right;

	(void)state;
	for (size_t i = 0; i < 5; i++)
		for (size_t j = 0; j < 5; j++)
			for (int loose = 0; loose < 2; loose++) {
				struct sweep sweep = sweep_make(ends[i], ends[j], radius, loose);

				assert_true(sweep_near(&sweep, &all));
				assert_int_equal(sweep_near(&sweep, &corner),
				                 i == 1 || j == 1 ||
				                     (loose && (i == 2 || j == 2) && (i == 3 || j == 3)));
				for (Length y = -far; y <= far; y += far / 7)
					if (sweep_chord(&sweep, y, &left, &right))
						assert_true(left < right);
			}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_sweep_knows_its_way),
		cmocka_unit_test(straight_and_loose_ways_are_told_to_the_nanometre),
		cmocka_unit_test(no_point_within_reach_is_ever_missed),
		cmocka_unit_test(a_slanted_way_is_told_within_four_nanometres),
		cmocka_unit_test(a_core_is_the_full_width_of_a_way_along_an_axis),
		cmocka_unit_test(chords_of_plain_cases_are_as_by_hand),
		cmocka_unit_test(a_chord_stays_inside_and_is_short_by_three_nanometres_at_most),
		cmocka_unit_test(a_chord_of_the_least_radii_stays_inside),
		cmocka_unit_test(the_largest_sizes_do_not_overflow),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
