#include "skimcut/loads.h"

#include <math.h>

/* In the cut: the angles of the engaged arc, and what turns sin(phi) into a force. */
struct arc {
	double in, out, pitch;
	double scale_n, exponent; /* F = scale sin(phi)^exponent */
};

/* On the work, seen along the cutter's travel. */
struct push {
	double tangential_n; /* summed without direction, as the spindle feels it */
	double ahead_n, left_n;
};

struct span {
	double from, to, r; /* nanometres */
};

static struct span   span_within(const struct cutter *cutter, struct strip strip);
static double        angle_at(double y, double r);
static double        sine_at(double y, double r);
static double        sine_most(struct span span);
static void          peaks_find(const struct arc *arc, struct loads *loads);
static void          peak_raise(const struct arc *arc, double phi, double margin, struct loads *loads);
static struct push   push_at(const struct arc *arc, double phi);
static double        feed_mean(const struct arc *arc, struct span span);
static inline double to_mm(double nm);

static const double PI = 3.14159265358979323846;

/* The radial force of a tooth for each newton of the tangential one; 0.3 to 0.6 is common (from memory). */
static const double RADIAL = 0.4;

/* Moments of one tooth pitch that are looked at, and steps of the integral over the arc; even. */
enum { MOMENTS = 180 };

struct loads
loads_find(const struct cut_case *cut)
{
	const struct cutter *cutter = cut->cutter;
	struct span          span   = span_within(cutter, cut->strip);
	struct loads         loads  = { 0 };
	double               sin_kappa, width_mm, chip_mm, feed_mm, vf_mm_min, turn = (double)cut->rpm * (2 * PI / 60);
	struct arc           arc;

	if (cut->ap <= 0 || cut->fz <= 0 || cut->rpm <= 0 || cutter->teeth <= 0 || cutter->entering_angle_udeg <= 0 ||
	    span.from >= span.to)
		return loads;
	arc       = (struct arc){ .in       = angle_at(span.to, span.r),
		                  .out      = angle_at(span.from, span.r),
		                  .pitch    = 2 * PI / (double)cutter->teeth,
		                  .exponent = 1 - cut->mc };
	sin_kappa = sin((double)cutter->entering_angle_udeg * (PI / 180e6));
	width_mm  = to_mm((double)cut->ap) / sin_kappa;
	feed_mm   = to_mm((double)cut->fz);
	chip_mm   = feed_mm * sin_kappa;
	vf_mm_min = feed_mm * (double)cutter->teeth * (double)cut->rpm;

	arc.scale_n        = width_mm * cut->kc11_n_mm2 * pow(chip_mm, arc.exponent);
	loads.phi_in_rad   = arc.in;
	loads.phi_s_rad    = arc.out - arc.in;
	loads.teeth_in_cut = loads.phi_s_rad / arc.pitch;
	loads.h_mean_mm    = chip_mm * ((span.to - span.from) / span.r) / loads.phi_s_rad;
	loads.h_max_mm     = chip_mm * sine_most(span);
	loads.kc_n_mm2     = cut->kc11_n_mm2 * pow(loads.h_mean_mm, -cut->mc);
	loads.tooth_mean_n = width_mm * loads.h_mean_mm * loads.kc_n_mm2;
	loads.tooth_peak_n = width_mm * cut->kc11_n_mm2 * pow(loads.h_max_mm, arc.exponent);
	loads.power_w      = to_mm((double)cut->ap) * to_mm(span.to - span.from) * vf_mm_min * loads.kc_n_mm2 / 60000;
	loads.torque_n_m   = loads.power_w / turn;
	loads.feed_mean_n  = feed_mean(&arc, span);
	peaks_find(&arc, &loads);
	return loads;
}

double
loads_thin_factor(const struct cutter *cutter, struct strip strip)
{
	struct span span = span_within(cutter, strip);
	double      sine;

	if (span.from >= span.to)
		return 1;
	sine = sine_most(span);
	return sine * LOADS_THIN_MOST <= 1 ? LOADS_THIN_MOST : 1 / sine;
}

/* What of the strip is under the cutter; from >= to: nothing. */
static struct span
span_within(const struct cutter *cutter, struct strip strip)
{
	double r = (double)cutter->diameter / 2;

	return (struct span){ fmax((double)strip.from, -r), fmin((double)strip.to, r), r };
}

/* acos(y / r), and exact to the last digits near the cutter's sides too, where acos is not. */
static double
angle_at(double y, double r)
{
	return atan2(sqrt((r - y) * (r + y)), y);
}

static double
sine_at(double y, double r)
{
	return sqrt((r - y) * (r + y)) / r;
}

/* The largest sin(phi) of the arc: 1 where the centre line runs over the strip, else that of the nearer edge. */
static double
sine_most(struct span span)
{
	if (span.from <= 0 && span.to >= 0)
		return 1;
	return sine_at(span.from > 0 ? span.from : span.to, span.r);
}

/*
 * All moments repeat after one pitch, so one tooth is put at MOMENTS places of it. Between them the sums are smooth, and too low by no
 * more than about 1 - cos(pitch / 2 MOMENTS) < 2e-4. Where they are not smooth is looked at apart: just after a tooth comes in and
 * just before one goes out; and where a chip is thickest. Two teeth of which one comes in as the other goes out do not cut together.
 */
static void
peaks_find(const struct arc *arc, struct loads *loads)
{
	double margin = fmin(1e-9, (arc->out - arc->in) / 4);

	for (int i = 0; i < MOMENTS; i++)
		peak_raise(arc, arc->in + arc->pitch * i / MOMENTS, margin, loads);
	peak_raise(arc, arc->in + margin, margin, loads);
	peak_raise(arc, arc->out - margin, margin, loads);
	if (arc->in < PI / 2 && arc->out > PI / 2)
		peak_raise(arc, PI / 2, margin, loads);
}

/* With one tooth at phi >= arc->in. */
static void
peak_raise(const struct arc *arc, double phi, double margin, struct loads *loads)
{
	double      at  = phi - arc->pitch * floor((phi - arc->in) / arc->pitch);
	struct push all = { 0 };

	while (at < arc->out - margin / 2) {
		if (at > arc->in + margin / 2) {
			struct push push = push_at(arc, at);

			all.tangential_n += push.tangential_n;
			all.ahead_n += push.ahead_n;
			all.left_n += push.left_n;
		}
		at += arc->pitch;
	}
	loads->tangential_peak_n = fmax(loads->tangential_peak_n, all.tangential_n);
	loads->plane_peak_n      = fmax(loads->plane_peak_n, hypot(all.ahead_n, all.left_n));
}

/*
 * One tooth. Its velocity is to (cos phi, -sin phi) and the axis is behind it at (-sin phi, -cos phi), ahead and left of the travel: so
 * the tangential force drags the work along the one, and the radial force pushes it away from the other.
 */
static struct push
push_at(const struct arc *arc, double phi)
{
	double force_n = arc->scale_n * pow(sin(phi), arc->exponent);

	return (struct push){ force_n, force_n * (cos(phi) + RADIAL * sin(phi)),
		              force_n * (RADIAL * cos(phi) - sin(phi)) };
}

/*
 * z / 2 pi times the integral of F (cos phi + RADIAL sin phi) over the arc. The tangential part is the difference of sin^(2 - mc) / (2 - mc)
 * at the ends, so that its sign is certain; the radial part has no closed form and is summed by Simpson's rule.
 */
static double
feed_mean(const struct arc *arc, struct span span)
{
	double power = arc->exponent + 1, step = (arc->out - arc->in) / MOMENTS;
	double tangential = (pow(sine_at(span.from, span.r), power) - pow(sine_at(span.to, span.r), power)) / power;
	double radial     = 0;

	for (int i = 0; i <= MOMENTS; i++) {
		double weight = i == 0 || i == MOMENTS ? 1 : i % 2 == 1 ? 4 : 2;

		radial += weight * pow(fmax(sin(arc->in + step * i), 0), power);
	}
	return arc->scale_n / arc->pitch * (tangential + RADIAL * radial * step / 3);
}

static inline double
to_mm(double nm)
{
	return nm / LENGTH_MM;
}
