/*
 * engagement - how the cutter meets the work: how soon it is in full cut, and how much it takes off.
 *
 *     A = sqrt(R^2 - dmin^2) - sqrt(R^2 - dmax^2)      approach
 *     Q = ap ae vf                                     removal rate
 *
 * The strip that is cut runs along the feed at distances from..to from the cutter's centre line, signed; dmin and dmax are
 * the least and the largest of them within the cutter. The front of the cutter is in the work for a travel of L + A
 * exactly. For a centred cut A is the textbooks' (D - sqrt(D^2 - W^2)) / 2; general rule: own derivation.
 */
#ifndef SKIMCUT_ENGAGEMENT_H
#define SKIMCUT_ENGAGEMENT_H

#include "skimcut/length.h"

/* Wants from < to and diameter > 0. A strip that the cutter does not reach gives 0. */
double engagement_approach_mm(Length diameter, Length from, Length to);

double engagement_removal_mm3_min(Length ap, Length ae, Speed vf);

#endif
