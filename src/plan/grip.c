#include "skimcut/grip.h"

#include <math.h>

#include "skimcut/quantity.h"

static void   vise_find(const struct job *job, Length parallel, Length final, struct grip *grip);
static Length contact_find(const struct job *job);
static double clamps_force_n(const struct job *job, bool *known);
static double vise_tip(const struct job *job, const struct grip *grip, double plane_n, Length height);
static double clamps_tip(const struct job *job, const struct grip *grip, double plane_n, Length height);
static Length least(Length a, Length b);
static Length at_least_nothing(Length x);

struct grip
grip_find(const struct job *job, const struct hold *hold, Length final)
{
	struct grip grip = { .by_vise = job->vise.bound.node, .by_clamps = job->hold.clamps.count > 0 };
	bool        all;

	if (grip.by_vise) {
		vise_find(job, hold->parallel, final, &grip);
		grip.clamps_n = clamps_force_n(job, &all);
	} else {
		grip.force_n = clamps_force_n(job, &grip.force_known);
	}
	return grip;
}

/* Two faces bear friction: both jaws; under a clamp, the part's top and bottom. */
struct margins
grip_margins(const struct job *job, const struct grip *grip, double plane_n, Length height)
{
	double under_clamps = (double)job->hold.friction_ratio / RATIO_ONE;
	double mu           = grip->by_vise ? (double)job->vise.friction_ratio / RATIO_ONE : under_clamps;

	if (plane_n <= 0)
		return (struct margins){ INFINITY, INFINITY };
	return (struct margins){
		.slip = 2 * (mu * grip->force_n + under_clamps * grip->clamps_n) / plane_n,
		.tip  = grip->by_vise ? vise_tip(job, grip, plane_n, height) : clamps_tip(job, grip, plane_n, height),
	};
}

/* What is not between the jaws is pressed by nothing. */
static void
vise_find(const struct job *job, Length parallel, Length final, struct grip *grip)
{
	const struct vise *vise = &job->vise;
	double             off  = fabs((double)vise->offset);

	grip->jaw         = least(vise->front_jaw, vise->rear_jaw) - parallel;
	grip->depth       = at_least_nothing(least(grip->jaw, final));
	grip->out_before  = at_least_nothing(job->stock.height - grip->jaw);
	grip->out_after   = at_least_nothing(final - grip->jaw);
	grip->contact     = contact_find(job);
	grip->lost_share  = fmin(2 * off / (double)vise->jaw_width, 1);
	grip->force_known = vise->clamping_force_mn > 0;
	if (grip->depth > 0)
		grip->force_n = (double)vise->clamping_force_mn / 1000 * (1 - grip->lost_share);
}

/*
 * Counted from the screw, the part is [o - L/2, o + L/2] and a jaw [-J/2, J/2]: they overlap from -min(L/2 - o, J/2) to
 * min(L/2 + o, J/2). All is doubled, so that only the last division rounds, down.
 */
static Length
contact_find(const struct job *job)
{
	Length length = job->stock.length, jaw = job->vise.jaw_width, off = 2 * job->vise.offset;

	return at_least_nothing(least(length - off, jaw) + least(length + off, jaw)) / 2;
}

/* Of all clamps; what one does not tell counts as nothing, and then not all is known. */
static double
clamps_force_n(const struct job *job, bool *known)
{
	const struct clamp *clamps = job->hold.clamps.items;
	double              force  = 0;

	*known = job->hold.clamps.count > 0;
	for (size_t i = 0; i < job->hold.clamps.count; i++) {
		*known &= clamps[i].force_mn > 0;
		force += (double)clamps[i].force_mn / 1000;
	}
	return force;
}

/*
 * Q the pressing force, F the cut's at the height H, e of that above the jaw, g the grip's depth, l the contact, W the width:
 *     over the jaw that is pushed:  F e <= Q (g/2 + mu W)   the other jaw presses at half its depth, and drags the far face down
 *     over an end of the part:      F H <= mu Q l           both jaws drag with mu Q, on the whole at l/2 from the end or further
 */
static double
vise_tip(const struct job *job, const struct grip *grip, double plane_n, Length height)
{
	double mu    = (double)job->vise.friction_ratio / RATIO_ONE;
	double along = mu * grip->force_n * (double)grip->contact / (plane_n * (double)height);
	double lever = (double)grip->depth / 2 + mu * (double)job->stock.width;

	if (height <= grip->jaw)
		return along;
	return fmin(along, grip->force_n * lever / (plane_n * (double)(height - grip->jaw)));
}

/* Over the nearer edge on the table, the clamps pressing over the part's middle. */
static double
clamps_tip(const struct job *job, const struct grip *grip, double plane_n, Length height)
{
	double side = (double)least(job->stock.length, job->stock.width);

	return grip->force_n * (side / 2) / (plane_n * (double)height);
}

static Length
least(Length a, Length b)
{
	return a < b ? a : b;
}

static Length
at_least_nothing(Length x)
{
	return x > 0 ? x : 0;
}
