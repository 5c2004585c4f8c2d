#include "skimcut/caution.h"

const char *const CAUTIONS[] = {
	"Eye protection on, hair and sleeves tied back; no gloves, rings or rags near a turning spindle.",
	"No hand near the work before the cutter has stopped. Switched off is not stopped.",
	"Chips are hot and sharp. Clear them with a brush, everything standing still, and set a guard where they fly.",
	"Part down on its seat, vise, cutter and drawbar tight, idle axes and gibs locked; on a manual mill the quill "
	"up and locked.",
	"Speeds and feeds are starting values. Listen, look at the chips, and slow down when in doubt.",
	"A program is proved on paper, from the figures in the job. Run it well above the work first, with a hand on "
	"the "
	"stop.",
	"The machine's manual, the cutter maker's limits, local codes and the advice of someone trained and licensed "
	"for the work "
	"come before anything printed here.",
};
const size_t CAUTION_COUNT = sizeof CAUTIONS / sizeof CAUTIONS[0];

const char *const PROGRAM_CAUTIONS[] = {
	"caution - check zero, tool length and holding",
	"caution - run it above the work first, hand on the stop",
	"caution - machine manual and local codes first",
};
const size_t PROGRAM_CAUTION_COUNT = sizeof PROGRAM_CAUTIONS / sizeof PROGRAM_CAUTIONS[0];
