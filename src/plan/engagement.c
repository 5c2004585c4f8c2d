#include "skimcut/engagement.h"

#include <math.h>

double
engagement_approach_mm(Length diameter, Length from, Length to)
{
	double r = (double)diameter / 2, a = fabs((double)from), b = fabs((double)to);
	double nearest  = from <= 0 && to >= 0 ? 0 : fmin(a, b);
	double farthest = fmin(fmax(a, b), r);

	if (nearest >= r)
		return 0;
	return (sqrt(r * r - nearest * nearest) - sqrt(r * r - farthest * farthest)) / LENGTH_MM;
}

double
engagement_removal_mm3_min(Length ap, Length ae, Speed vf)
{
	return (double)ap / LENGTH_MM * ((double)ae / LENGTH_MM) * ((double)vf / LENGTH_MM);
}
