#include "skimcut/clock.h"

#include <math.h>

static double straight_nm(const struct clock *clock, const struct step *step);
static double arc_nm(const struct clock *clock, const struct step *step);
static void   move(struct clock *clock, const struct step *step);

static const double TWO_PI = 6.28318530717958647692;

void
clock_take(struct clock *clock, const struct step *step)
{
	switch (step->kind) {
	case STEP_RAPID:
		clock->rapid_s += 60 * straight_nm(clock, step) / (double)clock->rapid;
		move(clock, step);
		break;
	case STEP_FEED:
		clock->feed_s += 60 * straight_nm(clock, step) / (double)step->feed;
		move(clock, step);
		break;
	case STEP_ARC:
		clock->feed_s += 60 * arc_nm(clock, step) / (double)step->feed;
		move(clock, step);
		break;
	case STEP_STOP: clock->stops++; break;
	case STEP_TOOL:
	case STEP_SPINDLE:
	case STEP_COOLANT:
	case STEP_NOTE:
	case STEP_LENGTH:
	case STEP_END: break;
	case STEP_HOME: clock->known &= ~step->axes; break;
	}
}

double
clock_total_s(const struct clock *clock)
{
	return clock->feed_s + clock->rapid_s;
}

/* An axis whose start is not known adds nothing. */
static double
straight_nm(const struct clock *clock, const struct step *step)
{
	unsigned moved = step->axes & clock->known;
	double   x     = moved & AXIS_X ? (double)(step->to.x - clock->at.x) : 0;
	double   y     = moved & AXIS_Y ? (double)(step->to.y - clock->at.y) : 0;
	double   z     = moved & AXIS_Z ? (double)(step->to.z - clock->at.z) : 0;

	if ((x == 0) + (y == 0) + (z == 0) >= 2)
		return fabs(x + y + z);
	return sqrt(x * x + y * y + z * z);
}

/* Radius times the angle from start to end, (0, 2 pi]; a helix climbs along it. */
static double
arc_nm(const struct clock *clock, const struct step *step)
{
	double from_x = (double)(clock->at.x - step->centre.x), from_y = (double)(clock->at.y - step->centre.y);
	double to_x = (double)(step->to.x - step->centre.x), to_y = (double)(step->to.y - step->centre.y);
	double rise  = step->axes & clock->known & AXIS_Z ? (double)(step->to.z - clock->at.z) : 0;
	double angle = atan2(from_x * to_y - from_y * to_x, from_x * to_x + from_y * to_y);
	double flat;

	if (step->clockwise)
		angle = -angle;
	if (angle <= 0)
		angle += TWO_PI;
	flat = angle * sqrt(from_x * from_x + from_y * from_y);
	return sqrt(flat * flat + rise * rise);
}

static void
move(struct clock *clock, const struct step *step)
{
	if (step->axes & AXIS_X)
		clock->at.x = step->to.x;
	if (step->axes & AXIS_Y)
		clock->at.y = step->to.y;
	if (step->axes & AXIS_Z)
		clock->at.z = step->to.z;
	clock->known |= step->axes;
}
