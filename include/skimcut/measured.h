/*
 * measured - the height found at the machine: what is left is planned anew from there.
 *
 * The job's stock is then as high as that; what it was told to be stays in job->told, and the program's zero where it was. There is
 * no second test cut, unless less than half of the first has come off; and the skim is the same, unless what is left above it is
 * less than half a skim: then it takes that, too.
 */
#ifndef SKIMCUT_MEASURED_H
#define SKIMCUT_MEASURED_H

#include <stdbool.h>

struct diag;
struct job;

/* `written` as a person writes it, a bare number in the job's units. Wants a job that intake_read took. False: refused. */
bool measured_take(struct job *job, const char *written, struct diag *diag);

#endif
