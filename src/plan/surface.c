#include "skimcut/surface.h"

#include <math.h>

#include "skimcut/engagement.h"
#include "skimcut/text.h"

static double       height_um(Length f, Length r);
static struct strip left_by(const struct layout *layout, int64_t index, Length width);
static Length       fall_over(const struct layout *layout, Length diameter, Length width);

/* Ra over Rz of a profile of parabolas, 4 / (9 sqrt(3)); arcs have less, by 0.3 % at f = r / 2 and 29 % at f = 2 r. */
static const double RA_OF_RZ = 0.25660011963983367;

struct roughness
surface_roughness(const struct cutter *cutter, Length fz)
{
	Length           f = fz * cutter->teeth, flat = cutter->flat, r = cutter->nose_radius;
	struct roughness roughness = { .wiped_level = flat > 0 && flat >= fz, .wiped_proud = flat > 0 && flat >= f };

	roughness.known = r > 0 || roughness.wiped_proud;
	if (!roughness.known)
		return roughness;
	roughness.rz_level_um = roughness.wiped_level ? 0 : height_um(fz, r);
	roughness.rz_proud_um = roughness.wiped_proud ? 0 : height_um(f, r);
	roughness.ra_level_um = RA_OF_RZ * roughness.rz_level_um;
	roughness.ra_proud_um = RA_OF_RZ * roughness.rz_proud_um;
	return roughness;
}

/* height_um, solved for f: f^2 = 4 Rz (2 r - Rz) up to Rz = r, and f = 2 Rz from there. Rounded down. */
Length
surface_feed_for(const struct cutter *cutter, Length ra)
{
	double r = (double)cutter->nose_radius, rz = (double)ra / RA_OF_RZ;
	Length fz = 0;

	if (r > 0)
		fz = (Length)(rz < r ? 2 * sqrt(rz * (2 * r - rz)) : 2 * rz);
	return fz > cutter->flat ? fz : cutter->flat;
}

struct shown
surface_show(double um, enum units units)
{
	struct shown shown = { "" };
	struct text  text  = text_over(shown.text, sizeof shown.text);
	bool         inch  = units == UNITS_INCH;
	double       value = inch ? um / 0.0254 : um;

	if (!inch && value < 10)
		text_format(&text, "%.2f um", value);
	else if (floor(value * 10 + 0.5) == 10 * floor(value + 0.5) || value >= 100)
		text_format(&text, "%.0f%s", value, inch ? " uin" : " um");
	else
		text_format(&text, "%.1f%s", value, inch ? " uin" : " um");
	text_end(&text);
	return shown;
}

/*
 * Across the travel, u from the centre line, the lowest that the tilted circle of the edges comes is
 *
 *     e(u) = sin(delta) (u sin(lean) - cos(lean) sqrt(R^2 - u^2))
 *
 * and of all passes the lowest is left. Lean 0 leaves the hollow: each spot is cut lowest from the nearest centre line.
 *
 * Lean 90 degrees leaves sloping planes, a step apart. With its low side where the next pass goes, the face is out by one step.
 * With its low side where the passes before have been, the last pass slopes all over its width, which is what the face is out by
 * from a level plane; from one that leans as the cutter does it is the steps that the last pass has left. It may be held to the
 * better of these. Every lean between is out by no more than sqrt(hollow^2 + fall^2): held against points in tests/external/.
 */
struct flatness
surface_flatness(const struct job *job, const struct cutter *cutter, const struct layout *layout, Length width)
{
	const struct tram *tram      = &job->machine.tram;
	struct flatness    flatness  = { .known = tram->over > 0 };
	double             hollow_mm = 0, fall_um;

	if (!flatness.known)
		return flatness;
	flatness.delta_rad = asin((double)tram->error / (double)tram->over);
	for (int64_t i = 0; i < layout->passes; i++) {
		struct strip strip = left_by(layout, i, width);

		if (strip.from < strip.to)
			hollow_mm = fmax(hollow_mm, engagement_approach_mm(cutter->diameter, strip.from, strip.to));
	}
	flatness.hollow_um = 1000 * hollow_mm * sin(flatness.delta_rad);
	flatness.step_um   = layout->passes > 1 ? (double)layout->pitch / 1000 * tan(flatness.delta_rad) : 0;
	fall_um            = (double)fall_over(layout, cutter->diameter, width) / 1000 * tan(flatness.delta_rad);
	flatness.worst_um  = sqrt(flatness.hollow_um * flatness.hollow_um + fall_um * fall_um);
	return flatness;
}

/*
 * r - sqrt(r^2 - f^2 / 4), without its cancellation: how high arcs of radius r that stand f apart meet.
 *
 * From f = 2 r on they do not meet, and it is what runs up behind the corner that counts, of which nothing is told. With f / 2
 * the height goes on from r, and an edge stays below it whose trailing side rises at no more than 26 degrees.
 */
static double
height_um(Length f, Length r)
{
	double a = (double)f / 2, b = (double)r;

	return (a < b ? a * a / (b + sqrt(b * b - a * a)) : a) / 1000;
}

/* Half-way to its neighbours, or to the edge of the work: across the travel, from the pass's centre line. */
static struct strip
left_by(const struct layout *layout, int64_t index, Length width)
{
	Length       centre = layout->first + index * layout->pitch * layout->side, half = layout->pitch / 2;
	bool         has_left  = layout->side > 0 ? index > 0 : index + 1 < layout->passes;
	bool         has_right = layout->side > 0 ? index + 1 < layout->passes : index > 0;
	struct strip strip     = { -centre, width - centre };

	if (has_left && strip.from < -half)
		strip.from = -half;
	if (has_right && strip.to > half)
		strip.to = half;
	return strip;
}

/* What the cutter's slope counts over: max(p, min(L, m p)), L the width of the last pass in the work, m the steps beside it. */
static Length
fall_over(const struct layout *layout, Length diameter, Length width)
{
	Length last, reach, steps;

	if (layout->passes <= 1)
		return 0;
	last  = layout->first + (layout->passes - 1) * layout->pitch * layout->side;
	reach = diameter / 2 + (layout->side > 0 ? width - last : last);
	steps = width > reach ? length_up(width - reach, layout->pitch) : 0;
	steps = steps < reach ? steps : reach;
	return steps > layout->pitch ? steps : layout->pitch;
}
