/*
 * loads - what one cut asks of the edges, the spindle and the table.
 *
 *              ^ travel                     phi is a tooth's angle from the side of the cutter on the left of its travel, turning
 *              |                            clockwise seen from above; a strip of the work that lies from..to across the travel,
 *      phi = 0 o 180                        left positive, is in the cut between cos phi_in = to / R and cos phi_out = from / R.
 *
 *     h   = fz sin(kappa_r) sin(phi)                      chip thickness (circular-arc approximation)
 *     h_m = fz sin(kappa_r) (cos phi_in - cos phi_out) / phi_s        mean over the engaged angle phi_s
 *     kc  = kc1.1 h_m^-mc,  F = b h_m kc,  b = ap / sin(kappa_r)      specific cutting force, mean force of a tooth
 *     P   = ap ae vf kc = z phi_s / 2 pi  F vc            power at the cutter
 *
 * Sources: docs/method.md. Physics is in SI-like units that the names carry; no coordinate comes from here.
 */
#ifndef SKIMCUT_LOADS_H
#define SKIMCUT_LOADS_H

#include <stdint.h>

#include "skimcut/job.h"
#include "skimcut/layout.h"
#include "skimcut/length.h"

struct cut_case {
	const struct cutter *cutter;
	double               kc11_n_mm2, mc;
	Length               ap;
	struct strip         strip; /* clipped to the cutter by loads_find; from < to */
	Length               fz;
	int64_t              rpm;
};

struct loads {
	double phi_in_rad, phi_s_rad;
	double teeth_in_cut; /* on average */
	double h_mean_mm, h_max_mm;
	double kc_n_mm2;                   /* at h_mean */
	double tooth_mean_n, tooth_peak_n; /* tangential, of one tooth while it cuts; at h_max */
	double tangential_peak_n;          /* of all teeth together, at the worst moment */
	double plane_peak_n;               /* the same with the radial part, as one force in the plane of the table */
	double feed_mean_n;         /* on the work, along the cutter's travel: below 0 it pulls the table along */
	double power_w, torque_n_m; /* at the cutter */
};

/* Wants ap, fz, rpm > 0 and a strip that the cutter reaches; otherwise everything is 0. */
struct loads loads_find(const struct cut_case *cut);

/*
 * Chips are thinner than fz sin(kappa_r) when the strip is narrower than half the cutter and lies at its edge: by this factor the
 * feed per tooth may be raised to make them as thick again, 1 to LOADS_THIN_MOST.
 */
#define LOADS_THIN_MOST 1.5
double loads_thin_factor(const struct cutter *cutter, struct strip strip);

#endif
