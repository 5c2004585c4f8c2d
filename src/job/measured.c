#include "skimcut/measured.h"

#include "skimcut/diag.h"
#include "skimcut/job.h"
#include "skimcut/quantity.h"
#include "skimcut/text.h"

static void skim_widen(struct job *job);
static bool height_check(const struct job *job, Length height, struct diag *diag);

/* Less than half of a skim rubs more than it cuts; common practice, no source. */
enum { SKIM_LEAST_PART = 2 };

bool
measured_take(struct job *job, const char *written, struct diag *diag)
{
	char        reason[256];
	struct text why    = text_over(reason, sizeof reason);
	int64_t     height = 0;

	if (!quantity_parse(QUANTITY_LENGTH, written, job->units, &height, &why))
		return diag_add(diag, SEVERITY_ERROR, (struct place){ 0 }, "--measured: %s", text_end(&why));
	if (!height_check(job, height, diag))
		return false;
	if (height == job->stock.height)
		return diag_add(diag, SEVERITY_NOTE, (struct place){ 0 },
		                "--measured %s is the height of the stock: nothing has come off, and the plan is the "
		                "first one",
		                length_show(height, job->units).text),
		       true;
	job->told         = (struct told){ job->stock.height, job->cut.test_cut, job->cut.skim };
	job->stock.height = height;
	if (2 * (job->told.height - height) >= job->cut.test_cut)
		job->cut.test_cut = 0;
	skim_widen(job);
	return true;
}

/* What is left above the skim would rub in a cut of its own when it is less than half a skim: the skim takes it with it. */
static void
skim_widen(struct job *job)
{
	Length left = job->stock.height - job->finished_height, skim = job->cut.skim;
	Length wide = length_up(left, job->units == UNITS_INCH ? LENGTH_INCH / 1000 : LENGTH_MM / 100);

	if (left > skim && 2 * (left - skim) < skim && wide <= job->cut.rough)
		job->cut.skim = wide;
}

static bool
height_check(const struct job *job, Length height, struct diag *diag)
{
	Length     left = height - job->finished_height, least = job->cut.skim / SKIM_LEAST_PART;
	enum units units = job->units;

	if (height > job->stock.height)
		return diag_add(
		    diag, SEVERITY_REFUSED, (struct place){ 0 },
		    "--measured %s is above the stock, which was %s: measure again, or correct the stock's height",
		    length_show(height, units).text, length_show(job->stock.height, units).text);
	if (left == 0)
		return diag_add(diag, SEVERITY_REFUSED, (struct place){ 0 },
		                "--measured %s is the finished height: there is nothing left to cut",
		                length_show(height, units).text);
	if (left < 0)
		return diag_add(diag, SEVERITY_REFUSED, (struct place){ 0 },
		                "--measured %s is below the finished height, %s: if it is true, the part is under size",
		                length_show(height, units).text, length_show(job->finished_height, units).text);
	if (left < least)
		return diag_add(
		    diag, SEVERITY_REFUSED, (struct place){ 0 },
		    "--measured %s leaves %s above the finished height, and the skim needs %s: less rubs more than it "
		    "cuts; leave it, or give a smaller skim",
		    length_show(height, units).text, length_show(left, units).text, length_show(least, units).text);
	return true;
}
