#include "skimcut/arc.h"

#include <math.h>
#include <stdlib.h>

#define BIT(letter) (1u << ((letter) - 'A'))

/* The block, and what its words are read with. */
struct told {
	const struct language *language;
	enum units             units;
	const struct block    *block;
	struct fault          *fault;
};

static bool   by_offsets(const struct told *told, struct point from, struct step *step);
static bool   by_radius(const struct told *told, struct point from, struct step *step);
static bool   word_length(const struct told *told, char letter, Length *value);
static double apart(struct point a, struct point b);

static const unsigned ENDS = BIT('X') | BIT('Y') | BIT('Z'), OFFSETS = BIT('I') | BIT('J'), RADIUS = BIT('R');

bool
arc_read(const struct language *language, enum units units, const struct block *block, struct point from,
         struct step *step, struct fault *fault)
{
	const struct told told   = { language, units, block, fault };
	const bool        offset = block->present & OFFSETS, radius = block->present & RADIUS;

	if (!(step->axes & (AXIS_X | AXIS_Y)))
		return block_fault(fault, block, ENDS, ARC_WITHOUT_END);
	if (offset == radius)
		return block_fault(fault, block, offset ? OFFSETS | RADIUS : ENDS, "an arc needs either I and J, or R");
	step->axes |= AXIS_X | AXIS_Y;
	if (!(radius ? by_radius : by_offsets)(&told, from, step))
		return false;
	return (llabs(step->centre.x) <= LENGTH_MAX && llabs(step->centre.y) <= LENGTH_MAX) ||
	       block_fault(fault, block, OFFSETS | RADIUS, "the arc's centre is farther than 10 m away");
}

/* The limit itself is let through: coordinates are whole and under 2^35, so the radii are right to less than 1e-4 nm. */
static bool
by_offsets(const struct told *told, struct point from, struct step *step)
{
	const Length most = 2 * (told->units == UNITS_INCH ? told->language->grid_inch : told->language->grid_mm);
	Length       i = 0, j = 0;
	double       at_start, at_end;

	if (!word_length(told, 'I', &i) || !word_length(told, 'J', &j))
		return false;
	step->centre = (struct point){ from.x + i, from.y + j, 0 };
	at_start     = apart(from, step->centre);
	at_end       = apart(step->to, step->centre);
	if (at_start == 0 || at_end == 0)
		return block_fault(told->fault, told->block, OFFSETS, "the arc has no radius");
	if (fabs(at_end - at_start) > (double)most + 1e-4)
		return fault_say(told->fault, block_word(told->block, block_first(told->block, OFFSETS))->column,
		                 "the arc's radius is %s at its start and %s at its end; %s between them is the most",
		                 length_show(llround(at_start), told->units).text,
		                 length_show(llround(at_end), told->units).text, length_show(most, told->units).text);
	return true;
}

/*
 * The centre stands sqrt(R^2 - (chord / 2)^2) beside the middle of the chord: to the right of an arc that goes clockwise over
 * less than half a circle; to the left of one that goes the other way, or over more, which R < 0 says.
 */
static bool
by_radius(const struct told *told, struct point from, struct step *step)
{
	const double x = (double)(step->to.x - from.x), y = (double)(step->to.y - from.y),
		     chord = apart(from, step->to);
	Length radius      = 0;
	double squared, aside;

	if (!word_length(told, 'R', &radius))
		return false;
	if (radius == 0)
		return block_fault(told->fault, told->block, RADIUS, "the arc has no radius");
	if (chord == 0)
		return block_fault(told->fault, told->block, RADIUS,
		                   "a full circle by R may lie anywhere; write I and J");
	if (fabs((double)radius) < chord / 2 - 1)
		return word_fault(told->fault, 'R', block_word(told->block, 'R'),
		                  "does not reach: the arc's ends are %s apart",
		                  length_show(llround(chord), told->units).text);
	squared = (double)radius * (double)radius - chord * chord / 4;
	aside   = squared > 0 ? sqrt(squared) / chord : 0;
	if (step->clockwise != (radius > 0))
		aside = -aside;
	step->centre = (struct point){ from.x + llround(x / 2 + aside * y), from.y + llround(y / 2 - aside * x), 0 };
	return true;
}

/* *value is left alone when the letter was not told. */
static bool
word_length(const struct told *told, char letter, Length *value)
{
	const struct number *word = block_word(told->block, letter);

	return !word || length_read(told->language, told->units, letter, word, value, told->fault);
}

static double
apart(struct point a, struct point b)
{
	const double x = (double)(b.x - a.x), y = (double)(b.y - a.y);

	return sqrt(x * x + y * y);
}
