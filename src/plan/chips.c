#include "skimcut/chips.h"

#include <math.h>

#include "skimcut/text.h"

/* A direction: forward along the travel, and to its left. */
struct fling {
	double forward, left;
};

static struct fling fling_find(double phi_in, double phi_out);
static struct fling to_machine(struct fling flung, enum along along, int travel);
static unsigned     towards(double x, double y);
static unsigned     sides_reached(double phi_in, double phi_out, enum along along, int travel);
static unsigned     stand_find(const struct chips *chips);
static unsigned     opposite(unsigned sides);

static const double PI = 3.14159265358979323846;

/* Chips bounce: a side is reached when the fan comes this near to its direction. Common practice, no source. */
static const double BESIDE_RAD = 0.785398163397448;

/* In turning order, counter-clockwise from the right. */
static const unsigned    SIDES[]      = { SIDE_RIGHT, SIDE_BACK, SIDE_LEFT, SIDE_FRONT };
static const char *const SIDE_NAMES[] = { "right", "back", "left", "front" };

struct chips
chips_find(const struct plan *plan, int64_t pass)
{
	double       radius = (double)plan->cutter->diameter / 2;
	struct strip strip  = plan_strip(plan, pass);
	int          travel = layout_pass(&plan->layout, pass).travel;
	double       to = fmin((double)strip.to / radius, 1), from = fmax((double)strip.from / radius, -1);
	struct chips chips = { 0 };
	struct fling flung;
	double       length;

	if (from >= to)
		return chips;
	flung         = to_machine(fling_find(acos(to), acos(from)), plan->layout.along, travel);
	length        = hypot(flung.forward, flung.left);
	chips.x       = flung.forward / length;
	chips.y       = flung.left / length;
	chips.towards = towards(chips.x, chips.y);
	chips.guard   = sides_reached(acos(to), acos(from), plan->layout.along, travel) | chips.towards;
	chips.stand   = stand_find(&chips);
	return chips;
}

void
chips_widen(struct chips *chips, const struct chips *other)
{
	chips->guard |= other->guard;
	chips->stand = stand_find(chips);
}

const char *
chips_corner(unsigned sides)
{
	switch (sides) {
	case SIDE_RIGHT: return "the right";
	case SIDE_BACK: return "the back";
	case SIDE_LEFT: return "the left";
	case SIDE_FRONT: return "the front";
	case SIDE_BACK | SIDE_RIGHT: return "the back right";
	case SIDE_BACK | SIDE_LEFT: return "the back left";
	case SIDE_FRONT | SIDE_RIGHT: return "the front right";
	case SIDE_FRONT | SIDE_LEFT: return "the front left";
	case SIDE_LEFT | SIDE_RIGHT: return "the left or the right";
	default: return "";
	}
}

struct shown
chips_sides(unsigned sides)
{
	struct shown shown = { "" };
	struct text  text  = text_over(shown.text, sizeof shown.text);
	int          left  = 0;

	for (size_t i = 0; i < 4; i++)
		left += (sides & SIDES[i]) != 0;
	for (size_t i = 0; i < 4; i++)
		if (sides & SIDES[i]) {
			left--;
			text_format(&text, "%s%s", SIDE_NAMES[i], left > 1 ? ", " : left == 1 ? " and " : "");
		}
	text_end(&text);
	return shown;
}

/*
 * A tooth at phi, counted from the left of the travel and turning clockwise, goes cos(phi) forward and -sin(phi) to the left; its
 * chip is as thick as sin(phi). From phi_in to phi_out the integrals of sin cos and of sin^2 are
 *     [sin(phi)^2 / 2]   and   [phi / 2 - sin(2 phi) / 4].
 */
static struct fling
fling_find(double phi_in, double phi_out)
{
	double forward = (sin(phi_out) * sin(phi_out) - sin(phi_in) * sin(phi_in)) / 2;
	double right   = (phi_out - phi_in) / 2 - (sin(2 * phi_out) - sin(2 * phi_in)) / 4;

	return (struct fling){ forward, -right };
}

/* `forward` becomes X, `left` becomes Y. */
static struct fling
to_machine(struct fling flung, enum along along, int travel)
{
	if (along == ALONG_X)
		return (struct fling){ flung.forward * travel, flung.left * travel };
	return (struct fling){ -flung.left * travel, flung.forward * travel };
}

/* One side within 22.5 degrees of it, else the two beside it: tan(22.5 deg) = sqrt(2) - 1. */
static unsigned
towards(double x, double y)
{
	const double narrow = 0.41421356237309505;
	unsigned     sides  = 0;

	if (fabs(x) >= narrow * fabs(y))
		sides |= x > 0 ? SIDE_RIGHT : SIDE_LEFT;
	if (fabs(y) >= narrow * fabs(x))
		sides |= y > 0 ? SIDE_BACK : SIDE_FRONT;
	return sides;
}

static unsigned
sides_reached(double phi_in, double phi_out, enum along along, int travel)
{
	struct fling forward = to_machine((struct fling){ 1, 0 }, along, travel);
	double       heading = atan2(forward.left, forward.forward);
	unsigned     reached = 0;

	for (int i = 0; i < 4; i++) {
		double turned = fmod(heading - i * PI / 2 + 4 * PI,
		                     2 * PI); /* clockwise from the travel to this side */

		if (turned >= phi_in - BESIDE_RAD && turned <= phi_out + BESIDE_RAD)
			reached |= SIDES[i];
		if (turned - 2 * PI >= phi_in - BESIDE_RAD)
			reached |= SIDES[i];
	}
	return reached;
}

/* Behind a machine there is no place to work from. */
static unsigned
stand_find(const struct chips *chips)
{
	unsigned free = (SIDE_FRONT | SIDE_LEFT | SIDE_RIGHT) & ~chips->guard;

	return opposite(chips->towards) & free ? opposite(chips->towards) & free : free;
}

static unsigned
opposite(unsigned sides)
{
	unsigned other = 0;

	for (size_t i = 0; i < 4; i++)
		if (sides & SIDES[i])
			other |= SIDES[(i + 2) % 4];
	return other;
}
