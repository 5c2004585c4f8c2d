#include "skimcut/carve.h"

#include <math.h>

#include "skimcut/arena.h"

/* Lists by number; 0 is none. The first begins at 0, each ends where the next begins. */
struct cell {
	Length   end; /* x */
	Length   height;
	uint32_t next;
};

struct band {
	Length   end; /* y */
	uint32_t cells;
	uint32_t next;
	uint32_t count; /* of its cells */
};

/* Where in the list of bands one is at work, going on to larger y. */
struct cursor {
	uint32_t band, before; /* 0: there is none before */
	Length   front;        /* of the band */
};

enum { CELLS_MAX = 262144, BANDS_MAX = 65536, FEW = 64 };

static const int64_t STEPS[FINENESSES] = { 512, 4096, 16384 };
static const Length  STEP_LEAST        = 1000;

static uint32_t      cell_add(struct carve *carve, Length end, Length height, uint32_t next);
static uint32_t      band_add(struct carve *carve, Length end, uint32_t cells, uint32_t count, uint32_t next);
static void          steps_take(struct carve *carve, const struct sweep *sweep, Length floor, struct cursor *cursor,
                                struct taken *taken);
static bool          covers(const struct carve *carve, const struct sweep *sweep, const struct rect *core);
static struct cursor cursor_at(const struct carve *carve, Length y);
static void          cursor_next(const struct carve *carve, struct cursor *cursor);
static void          rect_take(struct carve *carve, const struct sweep *sweep, const struct rect *rect, Length floor,
                               struct cursor *cursor, struct taken *taken);
static bool          stands(const struct carve *carve, const struct band *band, const struct rect *rect, Length floor);
static void          band_split(struct carve *carve, uint32_t band, Length y);
static void          cells_take(struct carve *carve, const struct sweep *sweep, uint32_t band, const struct rect *rect,
                                Length floor, struct taken *taken);
static void          cell_split(struct carve *carve, struct band *band, uint32_t cell, Length x);
static void          taken_add(struct taken *taken, const struct sweep *sweep, const struct rect *piece, Length depth);
static void          contact_add(struct taken *taken, double along, double across, double radius);
static double        left_share(const struct sweep *sweep, const struct rect *piece);
static void          bands_merge(struct carve *carve, struct cursor from, Length until);
static void          cells_merge(struct carve *carve, struct band *band);
static bool          bands_alike(const struct carve *carve, const struct band *a, const struct band *b);
static void          band_free(struct carve *carve, uint32_t band);

bool
carve_begin(struct carve *carve, struct arena *arena, Length length, Length width, Length height,
            enum fineness fineness)
{
	*carve = (struct carve){
		.length  = length,
		.width   = width,
		.step    = (width + STEPS[fineness] - 1) / STEPS[fineness],
		.highest = height,
		.cells   = carve->cells ? carve->cells : arena_reserve(arena, CELLS_MAX * sizeof *carve->cells),
		.bands   = carve->bands ? carve->bands : arena_reserve(arena, BANDS_MAX * sizeof *carve->bands),
	};
	if (!carve->cells || !carve->bands)
		return false;
	if (carve->step < STEP_LEAST)
		carve->step = STEP_LEAST;
	carve->new_cell = carve->new_band = 1;
	carve->first                      = band_add(carve, width, cell_add(carve, length, height, 0), 1, 0);
	return true;
}

bool
carve_meets(const struct carve *carve, const struct sweep *sweep, Length above, struct contact *contact)
{
	const struct rect *way     = &sweep->way;
	double             nearest = INFINITY;
	bool               found   = false;
	struct rect        box     = { 0, 0, 0, 0 };

	for (uint32_t b = carve->first; b && box.front < way->back + sweep->radius; b = carve->bands[b].next) {
		box.back = carve->bands[b].end;
		box.left = 0;
		for (uint32_t c = box.back > way->front - sweep->radius ? carve->bands[b].cells : 0; c;
		     c          = carve->cells[c].next) {
			const struct cell *cell = &carve->cells[c];

			box.right = cell->end;
			if (cell->height > above && (!found || cell->height >= contact->height) &&
			    sweep_near(sweep, &box)) {
				struct point at = sweep_contact(sweep, &box);
				double       x = (double)(at.x - sweep->from.x), y = (double)(at.y - sweep->from.y);
				double       away = x * x + y * y;

				if (!found || cell->height > contact->height || away < nearest) {
					*contact = (struct contact){ cell->height, at };
					nearest  = away;
				}
				found = true;
			}
			box.left = cell->end;
		}
		box.front = box.back;
	}
	return found;
}

/*
 * First the rectangle of the cutter's full width, exactly. If the sweep ends inside the stock, or is slanted, the rest in steps:
 * between two lines across, what both of them have inside the sweep lies inside it altogether, because it is convex.
 */
void
carve_take(struct carve *carve, const struct sweep *sweep, Length floor, struct taken *taken)
{
	struct cursor cursor = cursor_at(carve, sweep->way.front - sweep->radius), from = cursor;
	struct rect   core;
	bool          whole = false;

	if (sweep_core(sweep, &core)) {
		struct cursor at = cursor;

		rect_take(carve, sweep, &core, floor, &at, taken);
		whole = covers(carve, sweep, &core);
	}
	if (!whole)
		steps_take(carve, sweep, floor, &cursor, taken);
	bands_merge(carve, from, sweep->way.back + sweep->radius);
	carve->takes++;
	if (carve->highest > floor && (carve->cell_count <= FEW || carve->takes >= carve->cell_count))
		carve_highest(carve);
}

Length
carve_highest(struct carve *carve)
{
	Length highest = 0;

	for (uint32_t b = carve->takes > 0 ? carve->first : 0; b; b = carve->bands[b].next)
		for (uint32_t c = carve->bands[b].cells; c; c = carve->cells[c].next)
			if (carve->cells[c].height > highest)
				highest = carve->cells[c].height;
	if (carve->takes > 0)
		carve->highest = highest;
	carve->takes = 0;
	return carve->highest;
}

struct taken
taken_nothing(void)
{
	return (struct taken){ .from_mm = INFINITY, .to_mm = -INFINITY, .low_mm = INFINITY, .high_mm = -INFINITY };
}

bool
carve_remaining(const struct carve *carve, Length above, double *area_mm2, double *volume_mm3, struct contact *contact)
{
	const double mm    = LENGTH_MM;
	Length       front = 0;
	bool         found = false;

	*area_mm2 = *volume_mm3 = 0;
	for (uint32_t b = carve->first; b; b = carve->bands[b].next) {
		Length back = carve->bands[b].end, left = 0;

		for (uint32_t c = carve->bands[b].cells; c; c = carve->cells[c].next) {
			const struct cell *cell = &carve->cells[c];

			if (cell->height > above) {
				double area = (double)(cell->end - left) / mm * ((double)(back - front) / mm);

				*area_mm2 += area;
				*volume_mm3 += area * ((double)(cell->height - above) / mm);
				if (!found || cell->height > contact->height)
					*contact = (struct contact){ cell->height,
						                     { left + (cell->end - left) / 2,
						                       front + (back - front) / 2, 0 } };
				found = true;
			}
			left = cell->end;
		}
		front = back;
	}
	return found;
}

static uint32_t
cell_add(struct carve *carve, Length end, Length height, uint32_t next)
{
	uint32_t c = carve->free_cell;

	if (c)
		carve->free_cell = carve->cells[c].next;
	else
		c = carve->new_cell++;
	carve->cell_count++;
	carve->cells[c] = (struct cell){ end, height, next };
	return c;
}

static uint32_t
band_add(struct carve *carve, Length end, uint32_t cells, uint32_t count, uint32_t next)
{
	uint32_t b = carve->free_band;

	if (b)
		carve->free_band = carve->bands[b].next;
	else
		b = carve->new_band++;
	carve->band_count++;
	carve->bands[b] = (struct band){ end, cells, next, count };
	return b;
}

static void
steps_take(struct carve *carve, const struct sweep *sweep, Length floor, struct cursor *cursor, struct taken *taken)
{
	Length front = sweep->way.front - sweep->radius, back = sweep->way.back + sweep->radius, y;
	Length left = 0, right = 0, last_left, last_right;
	bool   inside = false;

	carve->rounded = true;
	y              = front <= 0 ? 0 : length_up(front, carve->step);
	for (Length last_y = y; last_y < carve->width && y <= back; y = last_y + carve->step) {
		bool was_inside = inside;

		if (y > carve->width)
			y = carve->width;
		last_left  = left;
		last_right = right;
		inside     = sweep_chord(sweep, y, &left, &right);
		if (inside && was_inside) {
			struct rect rect = { left > last_left ? left : last_left,
				             right < last_right ? right : last_right, last_y, y };

			rect_take(carve, sweep, &rect, floor, cursor, taken);
		}
		last_y = y;
	}
}

/* Its round ends are outside the stock. */
static bool
covers(const struct carve *carve, const struct sweep *sweep, const struct rect *core)
{
	bool beyond_x = core->right <= 0 || core->left >= carve->length;
	bool beyond_y = core->back <= 0 || core->front >= carve->width;

	if (sweep->way.front != sweep->way.back)
		return beyond_x || (core->front <= 0 && core->back >= carve->width);
	return beyond_y || (core->left <= 0 && core->right >= carve->length);
}

static struct cursor
cursor_at(const struct carve *carve, Length y)
{
	struct cursor cursor = { carve->first, 0, 0 };

	while (carve->bands[cursor.band].end <= y && carve->bands[cursor.band].next)
		cursor_next(carve, &cursor);
	return cursor;
}

static void
cursor_next(const struct carve *carve, struct cursor *cursor)
{
	cursor->front  = carve->bands[cursor->band].end;
	cursor->before = cursor->band;
	cursor->band   = carve->bands[cursor->band].next;
}

static void
rect_take(struct carve *carve, const struct sweep *sweep, const struct rect *rect, Length floor, struct cursor *cursor,
          struct taken *taken)
{
	struct rect in = { rect->left > 0 ? rect->left : 0, rect->right < carve->length ? rect->right : carve->length,
		           rect->front > 0 ? rect->front : 0, rect->back < carve->width ? rect->back : carve->width };

	if (in.left >= in.right || in.front >= in.back)
		return;
	while (cursor->band && cursor->front < in.back) {
		struct band *band = &carve->bands[cursor->band];

		if (band->end > in.front && stands(carve, band, &in, floor)) {
			if (CELLS_MAX - carve->cell_count < 2 * (size_t)band->count + 4 ||
			    BANDS_MAX - carve->band_count < 4) {
				carve->full = true;
				return;
			}
			if (band->end > in.back)
				band_split(carve, cursor->band, in.back);
			if (cursor->front < in.front) {
				band_split(carve, cursor->band, in.front);
				cursor_next(carve, cursor);
			}
			in.front = cursor->front;
			cells_take(carve, sweep, cursor->band, &in, floor, taken);
		}
		if (carve->bands[cursor->band].end >= in.back)
			return;
		cursor_next(carve, cursor);
	}
}

static bool
stands(const struct carve *carve, const struct band *band, const struct rect *rect, Length floor)
{
	Length left = 0;

	for (uint32_t c = band->cells; c && left < rect->right; c = carve->cells[c].next) {
		if (carve->cells[c].height > floor && carve->cells[c].end > rect->left)
			return true;
		left = carve->cells[c].end;
	}
	return false;
}

/* The new one is behind. */
static void
band_split(struct carve *carve, uint32_t band, Length y)
{
	struct band *old   = &carve->bands[band];
	uint32_t     first = 0, *link = &first;

	for (uint32_t c = old->cells; c; c = carve->cells[c].next) {
		*link = cell_add(carve, carve->cells[c].end, carve->cells[c].height, 0);
		link  = &carve->cells[*link].next;
	}
	old->next = band_add(carve, old->end, first, old->count, old->next);
	old->end  = y;
}

/* rect->front is the band's; its back may be behind the band's end. */
static void
cells_take(struct carve *carve, const struct sweep *sweep, uint32_t band, const struct rect *rect, Length floor,
           struct taken *taken)
{
	struct band *in   = &carve->bands[band];
	Length       left = 0;

	for (uint32_t c = in->cells; c && left < rect->right; c = carve->cells[c].next) {
		struct cell *cell = &carve->cells[c];

		if (cell->height > floor && cell->end > rect->left) {
			struct rect piece = { left, 0, rect->front, in->end };

			if (left < rect->left) {
				cell_split(carve, in, c, rect->left);
				left = rect->left;
				continue;
			}
			if (cell->end > rect->right)
				cell_split(carve, in, c, rect->right);
			piece.right = cell->end;
			taken_add(taken, sweep, &piece, cell->height - floor);
			cell->height = floor;
		}
		left = cell->end;
	}
}

static void
cell_split(struct carve *carve, struct band *band, uint32_t cell, Length x)
{
	struct cell *old = &carve->cells[cell];

	old->next = cell_add(carve, old->end, old->height, old->next);
	old->end  = x;
	band->count++;
}

/*
 * The front of the cutter reaches a point `across` from the way when the centre is sqrt(R^2 - across^2) short of it. Over a
 * piece that is first and last so at a corner, or where an edge touches the front along its own direction.
 */
static void
taken_add(struct taken *taken, const struct sweep *sweep, const struct rect *piece, Length depth)
{
	const double mm = LENGTH_MM, radius = taken->front_mm > 0 ? taken->front_mm : (double)sweep->radius / mm;
	const double x[2] = { (double)(piece->left - sweep->from.x) / mm, (double)(piece->right - sweep->from.x) / mm };
	const double y[2] = { (double)(piece->front - sweep->from.y) / mm, (double)(piece->back - sweep->from.y) / mm };
	const double tx = sweep->along_x, ty = sweep->along_y;
	double       area = (x[1] - x[0]) * (y[1] - y[0]), share = left_share(sweep, piece);

	taken->volume_mm3 += area * ((double)depth / mm);
	taken->left_mm2 += area * share;
	taken->right_mm2 += area * (1 - share);
	for (int i = 0; i < 2; i++) {
		for (int j = 0; j < 2; j++)
			contact_add(taken, x[i] * tx + y[j] * ty, y[j] * tx - x[i] * ty, radius);
		if (ty != 0) {
			double across = ty > 0 ? radius * tx : -radius * tx, at = (y[i] * tx - across) / ty;

			if (at > x[0] && at < x[1])
				contact_add(taken, at * tx + y[i] * ty, across, radius);
		}
		if (tx != 0) {
			double across = tx > 0 ? -radius * ty : radius * ty, at = (across + x[i] * ty) / tx;

			if (at > y[0] && at < y[1])
				contact_add(taken, x[i] * tx + at * ty, across, radius);
		}
	}
}

static void
contact_add(struct taken *taken, double along, double across, double radius)
{
	double at = along - sqrt(fabs(across) < radius ? (radius - across) * (radius + across) : 0);

	taken->from_mm = at < taken->from_mm ? at : taken->from_mm;
	taken->to_mm   = at > taken->to_mm ? at : taken->to_mm;
	taken->low_mm  = across < taken->low_mm ? across : taken->low_mm;
	taken->high_mm = across > taken->high_mm ? across : taken->high_mm;
}

/* Of a piece's area, what lies to the left of the way: exact along X and Y, else as if the piece were its own middle line. */
static double
left_share(const struct sweep *sweep, const struct rect *piece)
{
	double tx = sweep->along_x, ty = sweep->along_y, low, high, zero;

	if (ty == 0) {
		low  = (double)(piece->front - sweep->from.y);
		high = (double)(piece->back - sweep->from.y);
		zero = 0;
	} else {
		low  = (double)(piece->left - sweep->from.x);
		high = (double)(piece->right - sweep->from.x);
		zero = ((double)(piece->front - sweep->from.y) + (double)(piece->back - piece->front) / 2) * tx / ty;
	}
	zero = zero < low ? low : zero > high ? high : zero;
	if (ty == 0 ? tx >= 0 : ty < 0)
		return (high - zero) / (high - low);
	return (zero - low) / (high - low);
}

/* From the band before `from` on: neighbours that have become alike are one. */
static void
bands_merge(struct carve *carve, struct cursor from, Length until)
{
	uint32_t     b    = from.before ? from.before : from.band;
	struct band *band = &carve->bands[b];

	cells_merge(carve, band);
	while (band->next) {
		uint32_t     n    = band->next;
		struct band *next = &carve->bands[n];

		cells_merge(carve, next);
		if (bands_alike(carve, band, next)) {
			band->end  = next->end;
			band->next = next->next;
			band_free(carve, n);
		} else if (band->end >= until) {
			return;
		} else {
			band = next;
		}
	}
}

static void
cells_merge(struct carve *carve, struct band *band)
{
	for (uint32_t c = band->cells; c;) {
		struct cell *cell = &carve->cells[c];
		uint32_t     next = cell->next;

		if (next && carve->cells[next].height == cell->height) {
			cell->end               = carve->cells[next].end;
			cell->next              = carve->cells[next].next;
			carve->cells[next].next = carve->free_cell;
			carve->free_cell        = next;
			carve->cell_count--;
			band->count--;
		} else {
			c = next;
		}
	}
}

static bool
bands_alike(const struct carve *carve, const struct band *a, const struct band *b)
{
	uint32_t c = a->cells, d = b->cells;

	if (a->count != b->count)
		return false;
	while (c && carve->cells[c].end == carve->cells[d].end && carve->cells[c].height == carve->cells[d].height) {
		c = carve->cells[c].next;
		d = carve->cells[d].next;
	}
	return !c;
}

static void
band_free(struct carve *carve, uint32_t band)
{
	for (uint32_t c = carve->bands[band].cells, next; c; c = next) {
		next                 = carve->cells[c].next;
		carve->cells[c].next = carve->free_cell;
		carve->free_cell     = c;
		carve->cell_count--;
	}
	carve->bands[band].next = carve->free_band;
	carve->free_band        = band;
	carve->band_count--;
}
