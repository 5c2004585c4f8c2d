#include "skimcut/cutter.h"

#include <math.h>

static bool better(const struct cutter *a, const struct cutter *b, Length width);

static const double PI = 3.14159265358979323846;

Length
cutter_overlap(const struct cutter *cutter)
{
	Length share = cutter->diameter / 20, corner = 2 * cutter->nose_radius;

	return share > corner ? share : corner;
}

bool
cutter_covers(const struct cutter *cutter, Length width)
{
	return cutter->diameter >= width + 2 * cutter_overlap(cutter);
}

bool
cutter_oversize(const struct cutter *cutter, Length width)
{
	Length spare = cutter->diameter - width;

	return spare > LENGTH_INCH && 2 * spare > width;
}

Length
cutter_depth_limit(const struct cutter *cutter)
{
	Length limit = LENGTH_MAX;

	if (cutter->max_depth > 0 && cutter->max_depth < limit)
		limit = cutter->max_depth;
	if (cutter->flute_length > 0 && cutter->flute_length < limit)
		limit = cutter->flute_length;
	return limit;
}

Length
cutter_flare(const struct cutter *cutter, Length depth)
{
	double kappa_r = (double)cutter->entering_angle_udeg * (PI / 180e6);

	if (cutter->entering_angle_udeg >= 90000000)
		return 0;
	/* A picometre less: more than tan is wrong by, so that 45 degrees give the depth itself with every library. */
	return length_up((Length)ceil((double)depth / tan(kappa_r) - 1e-3), LENGTH_MM / 1000);
}

const struct cutter *
cutter_choose(const struct cutter *cutters, size_t count, Length width)
{
	const struct cutter *best = &cutters[0];

	for (size_t i = 1; i < count; i++)
		if (better(&cutters[i], best, width))
			best = &cutters[i];
	return best;
}

/* Of two that cover the smaller, of two that do not the larger; on a tie the one that stands first in the shop's file. */
static bool
better(const struct cutter *a, const struct cutter *b, Length width)
{
	bool a_covers = cutter_covers(a, width), b_covers = cutter_covers(b, width);

	if (a_covers != b_covers)
		return a_covers;
	return a_covers ? a->diameter < b->diameter : a->diameter > b->diameter;
}
