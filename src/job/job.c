#include "skimcut/job.h"

const struct choice UNITS_WORDS[] = { { "inch", UNITS_INCH, NULL }, { "mm", UNITS_MM, NULL }, { 0 } };

static const struct choice GROUPS[] = {
	{ "P", 'P', "steel" },
	{ "M", 'M', "stainless steel" },
	{ "K", 'K', "cast iron" },
	{ "N", 'N', "non-ferrous" },
	{ "S", 'S', "heat-resistant" },
	{ "H", 'H', "hardened" },
	{ 0 },
};

const struct choice CUTTER_KINDS[] = {
	{ "shell mill", CUTTER_SHELL_MILL, NULL },
	{ "face mill", CUTTER_FACE_MILL, NULL },
	{ "end mill", CUTTER_END_MILL, NULL },
	{ "fly cutter", CUTTER_FLY_CUTTER, NULL },
	{ 0 },
};

const struct choice EDGE_KINDS[] = {
	{ "carbide", EDGE_CARBIDE, NULL },
	{ "hss", EDGE_HSS, "high-speed steel" },
	{ 0 },
};

static const struct choice PATTERNS[] = {
	{ "auto", PATTERN_AUTO,
	  "single if the cutter covers the width, else one-way, or with `milling: either` the quicker of one-way and zigzag" },
	{ "single", PATTERN_SINGLE, "one pass" },
	{ "zigzag", PATTERN_ZIGZAG, "there and back, conventional and climb in turn" },
	{ "one-way", PATTERN_ONE_WAY, "every pass in one direction, back above the work" },
	{ 0 },
};

static const struct choice MILLINGS[] = {
	{ "conventional", MILLING_CONVENTIONAL, "against the feed: takes up a screw's backlash" },
	{ "climb", MILLING_CLIMB, "with the feed: only where the table has no backlash" },
	{ "either", MILLING_EITHER, NULL },
	{ 0 },
};

const struct choice COOLANTS[] = {
	{ "none", COOLANT_NONE, "dry" },
	{ "mist", COOLANT_MIST, NULL },
	{ "flood", COOLANT_FLOOD, NULL },
	{ "oil", COOLANT_OIL, "cutting oil by hand, brushed on behind the cutter; no program speaks of it" },
	{ 0 },
};

static const struct choice ALONGS[] = {
	{ "auto", ALONG_AUTO, "whichever takes less time" },
	{ "x", ALONG_X, NULL },
	{ "y", ALONG_Y, NULL },
	{ 0 },
};

static const struct choice POWERED_AXES[] = { { "x", ALONG_X, NULL }, { "y", ALONG_Y, NULL }, { 0 } };

static const struct choice MEASURES[] = {
	{ "test", MEASURE_TEST, "after the test cut" },
	{ "skim", MEASURE_SKIM, "before the skim" },
	{ 0 },
};

static const struct choice LEVELS[] = {
	{ "equal", LEVELS_EQUAL, "equal cuts, each over the whole face" },
	{ "any", LEVELS_ANY, "any that are not too deep" },
	{ 0 },
};

const struct choice ZERO_XS[] = {
	{ "left", ZERO_LEFT, "the left edge" },
	{ "centre", ZERO_CENTRE_X, "the middle of the length" },
	{ "right", ZERO_RIGHT, "the right edge" },
	{ 0 },
};

const struct choice ZERO_YS[] = {
	{ "front", ZERO_FRONT, "the front edge" },
	{ "centre", ZERO_CENTRE_Y, "the middle of the width" },
	{ "back", ZERO_BACK, "the back edge" },
	{ 0 },
};

const struct choice ZERO_ZS[] = {
	{ "finished", ZERO_FINISHED, "the finished face" },
	{ "top", ZERO_TOP, "the top of the stock" },
	{ "bottom", ZERO_BOTTOM, "the bottom of the stock" },
	{ 0 },
};

static const struct choice WORK_OFFSETS[] = {
	{ "G54", 54, NULL },
	{ "G55", 55, NULL },
	{ "G56", 56, NULL },
	{ "G57", 57, NULL },
	{ "G58", 58, NULL },
	{ "G59", 59, NULL },
	{ 0 },
};

static const struct choice MACHINE_KINDS[] = { { "manual", MACHINE_MANUAL, NULL },
	                                       { "cnc", MACHINE_CNC, NULL },
	                                       { 0 } };

/* clang-format off */
/* The rows: key, kind, where to, least, most, default, default in mm, what it is; then what only some need. */

static const struct field OWN_MATERIAL_FIELDS[] = {
	{ "name", FIELD_TEXT, offsetof(struct own_material, name), 0, 0, "own material", 0, "what the plan calls it" },
	{ "group", FIELD_CHOICE, offsetof(struct own_material, group), 0, 0, 0, 0, "ISO 513 group",
	  .choices = GROUPS, .required = true },
	{ "cutting_speed", FIELD_CUTTING_SPEED, offsetof(struct own_material, cutting_speed), "1 m/min", "5000 m/min", 0, 0,
	  "for the cutter at hand", .required = true },
	{ "feed_per_tooth", FIELD_LENGTH, offsetof(struct own_material, feed_per_tooth), "0.005 mm", "2 mm", 0, 0,
	  "for the cutter at hand", .required = true },
	{ "coolant", FIELD_CHOICE, offsetof(struct own_material, coolant), 0, 0, "none", 0, "what the cut wants",
	  .choices = COOLANTS },
	{ "kc1.1", FIELD_FACTOR, offsetof(struct own_material, kc11_factor), "50", "10000", 0, 0,
	  "specific cutting force at 1 mm of chip, in N/mm2; left out, the heaviest of its group" },
	{ "mc", FIELD_FACTOR, offsetof(struct own_material, mc_factor), "0.01", "0.6", 0, 0,
	  "how it falls with the thickness: kc = kc1.1 h^-mc; left out, the group's" },
};
static const struct mapping OWN_MATERIAL = { "a material of your own", OWN_MATERIAL_FIELDS,
	sizeof OWN_MATERIAL_FIELDS / sizeof OWN_MATERIAL_FIELDS[0], sizeof(struct own_material) };

static const struct field STOCK_FIELDS[] = {
	{ "length", FIELD_LENGTH, offsetof(struct stock, length), "1 mm", "2 m", 0, 0, "along X, left to right", .required = true },
	{ "width", FIELD_LENGTH, offsetof(struct stock, width), "1 mm", "2 m", 0, 0, "along Y, away from you", .required = true },
	{ "height", FIELD_LENGTH, offsetof(struct stock, height), "0.5 mm", "1 m", 0, 0,
	  "from what it stands on to its **highest** spot", .required = true },
};
static const struct mapping STOCK = { "the stock", STOCK_FIELDS,
	sizeof STOCK_FIELDS / sizeof STOCK_FIELDS[0], sizeof(struct stock) };

static const struct field CUTTER_FIELDS[] = {
	{ "kind", FIELD_CHOICE, offsetof(struct cutter, kind), 0, 0, 0, 0, "what it is", .choices = CUTTER_KINDS, .required = true },
	{ "diameter", FIELD_LENGTH, offsetof(struct cutter, diameter), "1 mm", "500 mm", 0, 0,
	  "of the circle that the edges cut at the face", .required = true },
	{ "teeth", FIELD_COUNT, offsetof(struct cutter, teeth), "1", "60", 0, 0,
	  "cutting edges; required, but for a fly cutter, which has one" },
	{ "edge", FIELD_CHOICE, offsetof(struct cutter, edge), 0, 0, 0, 0, "what the edges are made of",
	  .choices = EDGE_KINDS, .required = true },
	{ "entering_angle", FIELD_ANGLE, offsetof(struct cutter, entering_angle_udeg), "10 deg", "95 deg", "90 deg", 0,
	  "kappa_r, 90 for a square shoulder" },
	{ "nose_radius", FIELD_LENGTH, offsetof(struct cutter, nose_radius), "0 mm", "20 mm", "1/32 in", "0.8 mm",
	  "of the edge's corner (an end mill's is 0 when left out); passes overlap so that it leaves no ridge" },
	{ "max_depth", FIELD_LENGTH, offsetof(struct cutter, max_depth), "0.05 mm", "200 mm", 0, 0,
	  "the deepest cut its maker allows; no cut is deeper" },
	{ "flute_length", FIELD_LENGTH, offsetof(struct cutter, flute_length), "0.5 mm", "300 mm", 0, 0,
	  "of an end mill; no cut is deeper" },
	{ "flat", FIELD_LENGTH, offsetof(struct cutter, flat), "0 mm", "20 mm", "0 mm", 0,
	  "length of a flat on the edges at the face, that wipes the marks away" },
	{ "number", FIELD_COUNT, offsetof(struct cutter, number), "1", "9999", "1", 0, "of the tool in the machine" },
};
static const struct mapping CUTTER = { "a cutter", CUTTER_FIELDS,
	sizeof CUTTER_FIELDS / sizeof CUTTER_FIELDS[0], sizeof(struct cutter) };

static const struct field SETTINGS_FIELDS[] = {
	{ "pattern", FIELD_CHOICE, offsetof(struct settings, pattern), 0, 0, "auto", 0, "how passes follow one another",
	  .choices = PATTERNS },
	{ "milling", FIELD_CHOICE, offsetof(struct settings, milling), 0, 0, "conventional", 0,
	  "which way the teeth meet the work; with `pattern: zigzag` it can only be `either`", .choices = MILLINGS },
	{ "stepover", FIELD_RATIO, offsetof(struct settings, stepover_ratio), "5 %", "90 %", "70 %", 0,
	  "the most a pass may take, as a share of the cutter's diameter" },
	{ "along", FIELD_CHOICE, offsetof(struct settings, along), 0, 0, "auto", 0, "the direction of the passes", .choices = ALONGS },
	{ "test_cut", FIELD_LENGTH, offsetof(struct settings, test_cut), "0 mm", "10 mm", "30 thou", "0.75 mm",
	  "the first cut, on a set-up nobody has tried; 0 for none" },
	{ "rough", FIELD_LENGTH, offsetof(struct settings, rough), "0.01 mm", "50 mm", "50 thou", "1.25 mm",
	  "no roughing cut is deeper, nor deeper than the cutter's `max_depth`" },
	{ "skim", FIELD_LENGTH, offsetof(struct settings, skim), "0.01 mm", "5 mm", "10 thou", "0.25 mm", "the last cut" },
	{ "measure", FIELD_CHOICES, offsetof(struct settings, measure), 0, 0, "test, skim", 0,
	  "stops to measure; `[]` for none", .choices = MEASURES },
	{ "levels", FIELD_CHOICE, offsetof(struct settings, levels), 0, 0, "equal", 0,
	  "what a program is held to when it is proved", .choices = LEVELS },
	{ "clearance", FIELD_LENGTH, offsetof(struct settings, clearance), "0.1 mm", "100 mm", "0.1 in", "2.5 mm",
	  "air kept between the cutter and stock, jaws and clamps where they must not touch" },
	{ "retract", FIELD_LENGTH, offsetof(struct settings, retract), "1 mm", "500 mm", "1 in", "25 mm",
	  "how far above the stock the cutter waits at the start, at stops and at the end" },
	{ "cutting_speed", FIELD_CUTTING_SPEED, offsetof(struct settings, cutting_speed), "1 m/min", "5000 m/min", 0, 0,
	  "instead of the material's" },
	{ "feed_per_tooth", FIELD_LENGTH, offsetof(struct settings, feed_per_tooth), "0.005 mm", "2 mm", 0, 0,
	  "instead of the material's" },
	{ "skim_feed_per_tooth", FIELD_LENGTH, offsetof(struct settings, skim_feed_per_tooth), "0.005 mm", "2 mm", 0, 0,
	  "for the skim; left out, half the roughing feed but at least 0.05 mm, if the roughing feed is that much" },
	{ "coolant", FIELD_CHOICE, offsetof(struct settings, coolant), 0, 0, 0, 0, "instead of the material's", .choices = COOLANTS },
};
static const struct mapping SETTINGS = { "cut", SETTINGS_FIELDS,
	sizeof SETTINGS_FIELDS / sizeof SETTINGS_FIELDS[0], sizeof(struct settings) };

static const struct field ZERO_FIELDS[] = {
	{ "x", FIELD_CHOICE, offsetof(struct zero, x), 0, 0, "left", 0, "on the stock", .choices = ZERO_XS },
	{ "y", FIELD_CHOICE, offsetof(struct zero, y), 0, 0, "front", 0, "on the stock", .choices = ZERO_YS },
	{ "z", FIELD_CHOICE, offsetof(struct zero, z), 0, 0, "finished", 0, "the height that the program calls 0", .choices = ZERO_ZS },
};
static const struct mapping ZERO = { "zero", ZERO_FIELDS, sizeof ZERO_FIELDS / sizeof ZERO_FIELDS[0], sizeof(struct zero) };

static const struct field PROGRAM_FIELDS[] = {
	{ "post", FIELD_TEXT, offsetof(struct program, post), 0, 0, "rs274ngc", 0,
	  "a dialect that `skimcut list posts` names, or the path of your own" },
	{ "number", FIELD_COUNT, offsetof(struct program, number), "1", "99999999", 0, 0, "the program's number" },
	{ "work_offset", FIELD_CHOICE, offsetof(struct program, work_offset), 0, 0, "G54", 0, "where the machine keeps this zero",
	  .choices = WORK_OFFSETS },
};
static const struct mapping PROGRAM = { "program", PROGRAM_FIELDS,
	sizeof PROGRAM_FIELDS / sizeof PROGRAM_FIELDS[0], sizeof(struct program) };

static const struct field SPINDLE_FIELDS[] = {
	{ "min", FIELD_ROTATION, offsetof(struct spindle, min_rpm), "0 rpm", "100000 rpm", 0, 0, "slowest speed" },
	{ "max", FIELD_ROTATION, offsetof(struct spindle, max_rpm), "1 rpm", "100000 rpm", 0, 0, "fastest speed" },
	{ "speeds", FIELD_ROTATIONS, offsetof(struct spindle, speeds), "1 rpm", "100000 rpm", 0, 0,
	  "of a belt or gear machine: the next one down is taken" },
	{ "power", FIELD_POWER, offsetof(struct spindle, power_mw), "1 W", "200 kW", 0, 0, "of the motor" },
	{ "efficiency", FIELD_RATIO, offsetof(struct spindle, efficiency_ratio), "10 %", "100 %", "70 %", 0, "of the drive, from motor to cutter" },
	{ "base_speed", FIELD_ROTATION, offsetof(struct spindle, base_rpm), "1 rpm", "100000 rpm", 0, 0,
	  "below it the motor gives less power, in proportion; left out, it gives all of it at every speed" },
};
static const struct mapping SPINDLE = { "the spindle", SPINDLE_FIELDS,
	sizeof SPINDLE_FIELDS / sizeof SPINDLE_FIELDS[0], sizeof(struct spindle) };

static const struct field FEEDS_FIELDS[] = {
	{ "max", FIELD_FEED, offsetof(struct feeds, max), "1 mm/min", "100 m/min", 0, 0, "fastest cutting feed" },
	{ "rapid", FIELD_FEED, offsetof(struct feeds, rapid), "1 mm/min", "200 m/min", 0, 0,
	  "rate of a rapid move, for the time reckoned; left out: 2.5 m/min, by hand 0.5 m/min" },
};
static const struct mapping FEEDS = { "the feed", FEEDS_FIELDS, sizeof FEEDS_FIELDS / sizeof FEEDS_FIELDS[0], sizeof(struct feeds) };

static const struct field TRAVEL_FIELDS[] = {
	{ "x", FIELD_LENGTH, offsetof(struct travel, x), "10 mm", "10 m", 0, 0, "of the table; a plan that needs more is refused" },
	{ "y", FIELD_LENGTH, offsetof(struct travel, y), "10 mm", "10 m", 0, 0, "the same" },
	{ "z", FIELD_LENGTH, offsetof(struct travel, z), "10 mm", "10 m", 0, 0, "of knee or spindle" },
};
static const struct mapping TRAVEL = { "travel", TRAVEL_FIELDS,
	sizeof TRAVEL_FIELDS / sizeof TRAVEL_FIELDS[0], sizeof(struct travel) };

static const struct field TRAM_FIELDS[] = {
	{ "error", FIELD_LENGTH, offsetof(struct tram, error), "0 mm", "5 mm", 0, 0, "what a dial swept round by the spindle reads",
	  .required = true },
	{ "over", FIELD_LENGTH, offsetof(struct tram, over), "10 mm", "1 m", 0, 0, "the diameter of that sweep", .required = true },
};
static const struct mapping TRAM = { "tram", TRAM_FIELDS, sizeof TRAM_FIELDS / sizeof TRAM_FIELDS[0], sizeof(struct tram) };

static const struct field DIAL_FIELDS[] = {
	{ "per_turn", FIELD_LENGTH, offsetof(struct dial, per_turn), "0.1 mm", "50 mm", 0, 0, "how far one turn of the handle moves",
	  .required = true },
	{ "graduation", FIELD_LENGTH, offsetof(struct dial, graduation), "0.001 mm", "1 mm", 0, 0, "one line of the dial", .required = true },
};
static const struct mapping DIAL = { "a dial", DIAL_FIELDS, sizeof DIAL_FIELDS / sizeof DIAL_FIELDS[0], sizeof(struct dial) };

static const struct field DIALS_FIELDS[] = {
	{ "x", FIELD_MAPPING, offsetof(struct dials, x), 0, 0, 0, 0, "of the table's handle", .inner = &DIAL },
	{ "y", FIELD_MAPPING, offsetof(struct dials, y), 0, 0, 0, 0, "of the saddle's handle", .inner = &DIAL },
	{ "knee", FIELD_MAPPING, offsetof(struct dials, knee), 0, 0, 0, 0,
	  "of the knee's crank; cuts become whole graduations where they can", .inner = &DIAL },
};
static const struct mapping DIALS = { "dials", DIALS_FIELDS, sizeof DIALS_FIELDS / sizeof DIALS_FIELDS[0], sizeof(struct dials) };

static const struct field POWER_FEED_FIELDS[] = {
	{ "rates", FIELD_FEEDS, offsetof(struct power_feed, rates), "0.1 mm/min", "10 m/min", 0, 0,
	  "its settings; the nearest is named, a tenth too fast at the most", .required = true },
	{ "axes", FIELD_CHOICES, offsetof(struct power_feed, axes), 0, 0, "x", 0, "of the table, which it moves", .choices = POWERED_AXES },
};
static const struct mapping POWER_FEED = { "the power feed", POWER_FEED_FIELDS,
	sizeof POWER_FEED_FIELDS / sizeof POWER_FEED_FIELDS[0], sizeof(struct power_feed) };

static const struct field MACHINE_FIELDS[] = {
	{ "kind", FIELD_CHOICE, offsetof(struct machine, kind), 0, 0, 0, 0, "worked by handles or by a control", .choices = MACHINE_KINDS,
	  .required = true },
	{ "spindle", FIELD_MAPPING, offsetof(struct machine, spindle), 0, 0, 0, 0, "its speeds", .inner = &SPINDLE },
	{ "feed", FIELD_MAPPING, offsetof(struct machine, feeds), 0, 0, 0, 0, "its feeds", .inner = &FEEDS },
	{ "travel", FIELD_MAPPING, offsetof(struct machine, travel), 0, 0, 0, 0, "how far it moves", .inner = &TRAVEL },
	{ "tram", FIELD_MAPPING, offsetof(struct machine, tram), 0, 0, 0, 0, "how square the spindle stands to the table", .inner = &TRAM },
	{ "dials", FIELD_MAPPING, offsetof(struct machine, dials), 0, 0, 0, 0, "of a manual machine: the plan speaks in turns and graduations",
	  .inner = &DIALS },
	{ "power_feed", FIELD_MAPPING, offsetof(struct machine, power_feed), 0, 0, 0, 0, "of a manual machine, if it has one",
	  .inner = &POWER_FEED },
};
static const struct mapping MACHINE = { "the machine", MACHINE_FIELDS,
	sizeof MACHINE_FIELDS / sizeof MACHINE_FIELDS[0], sizeof(struct machine) };

static const struct field VISE_FIELDS[] = {
	{ "front_jaw", FIELD_LENGTH, offsetof(struct vise, front_jaw), "1 mm", "500 mm", 0, 0, "height above the vise's bed",
	  .required = true },
	{ "rear_jaw", FIELD_LENGTH, offsetof(struct vise, rear_jaw), "1 mm", "500 mm", 0, 0, "height above the vise's bed",
	  .required = true },
	{ "jaw_width", FIELD_LENGTH, offsetof(struct vise, jaw_width), "10 mm", "1 m", 0, 0, "along X", .required = true },
	{ "clamping_force", FIELD_FORCE, offsetof(struct vise, clamping_force_mn), "1 N", "1000 kN", 0, 0, "at the handle's usual pull; left out, no force is checked" },
	{ "friction", FIELD_RATIO, offsetof(struct vise, friction_ratio), "2 %", "100 %", "15 %", 0, "between jaw and part" },
	{ "offset", FIELD_LENGTH, offsetof(struct vise, offset), "-1 m", "1 m", "0 mm", 0,
	  "of the part's middle from the vise's screw, along X" },
};
static const struct mapping VISE = { "the vise", VISE_FIELDS, sizeof VISE_FIELDS / sizeof VISE_FIELDS[0], sizeof(struct vise) };

static const struct field CLAMP_FIELDS[] = {
	{ "x", FIELD_LENGTH, offsetof(struct clamp, x), "-2 m", "2 m", 0, 0,
	  "of its left front corner, counted from the stock's; may be negative", .required = true },
	{ "y", FIELD_LENGTH, offsetof(struct clamp, y), "-2 m", "2 m", 0, 0, "the same", .required = true },
	{ "length", FIELD_LENGTH, offsetof(struct clamp, length), "0.1 mm", "2 m", 0, 0, "along X", .required = true },
	{ "width", FIELD_LENGTH, offsetof(struct clamp, width), "0.1 mm", "2 m", 0, 0, "along Y", .required = true },
	{ "height", FIELD_LENGTH, offsetof(struct clamp, height), "0.1 mm", "2 m", 0, 0,
	  "of its top, bolt and nut included, above the stock's bottom", .required = true },
	{ "force", FIELD_FORCE, offsetof(struct clamp, force_mn), "1 N", "1000 kN", 0, 0, "that it presses the part down with" },
};
static const struct mapping CLAMP = { "a clamp", CLAMP_FIELDS, sizeof CLAMP_FIELDS / sizeof CLAMP_FIELDS[0], sizeof(struct clamp) };

static const struct field HOLD_FIELDS[] = {
	{ "clamps", FIELD_LIST, offsetof(struct hold_wish, clamps), 0, 0, 0, 0,
	  "64 at the most", .inner = &CLAMP },
	{ "safety", FIELD_FACTOR, offsetof(struct hold_wish, safety_factor), "1", "20", "2.5", 0,
	  "wanted: how many times the cutting force the grip should bear" },
	{ "friction", FIELD_RATIO, offsetof(struct hold_wish, friction_ratio), "2 %", "100 %", "15 %", 0, "under clamps" },
};
static const struct mapping HOLD = { "hold", HOLD_FIELDS, sizeof HOLD_FIELDS / sizeof HOLD_FIELDS[0], sizeof(struct hold_wish) };

static const struct field FINISH_FIELDS[] = {
	{ "roughness", FIELD_LENGTH, offsetof(struct finish, roughness), "0.02 um", "100 um", 0, 0, "Ra: `1.6 um`, `63 uin`" },
	{ "flatness", FIELD_LENGTH, offsetof(struct finish, flatness), "0.1 um", "5 mm", 0, 0, "of the whole face" },
};
static const struct mapping FINISH = { "the finish", FINISH_FIELDS,
	sizeof FINISH_FIELDS / sizeof FINISH_FIELDS[0], sizeof(struct finish) };

static const struct field JOB_FIELDS[] = {
	{ "units", FIELD_CHOICE, offsetof(struct job, units), 0, 0, 0, 0, "of bare numbers in this file",
	  .choices = UNITS_WORDS, .required = true },
	{ "shop", FIELD_TEXT, offsetof(struct job, shop), 0, 0, 0, 0,
	  "a file with the same keys, from this file's folder; this file's keys win" },
	{ "title", FIELD_TEXT, offsetof(struct job, title), 0, 0, "untitled", 0, "what the plan and the program are called" },
	{ "material", FIELD_NAME_OR_MAPPING, offsetof(struct job, own_material), 0, 0, 0, 0,
	  "a name that `skimcut list materials` shows, or your own figures", .inner = &OWN_MATERIAL, .required = true },
	{ "stock", FIELD_MAPPING, offsetof(struct job, stock), 0, 0, 0, 0, "the block before it is cut",
	  .inner = &STOCK, .required = true },
	{ "finished_height", FIELD_LENGTH, offsetof(struct job, finished_height), "0.1 mm", "1 m", 0, 0, "the height wanted",
	  .required = true },
	{ "cutter", FIELD_NAME_OR_MAPPING, offsetof(struct job, cutter), 0, 0, 0, 0,
	  "a name in `cutters`; left out, the best of them is taken", .inner = &CUTTER },
	{ "cutters", FIELD_NAMED, offsetof(struct job, cutters), 0, 0, 0, 0, "what the shop has", .inner = &CUTTER },
	{ "cut", FIELD_MAPPING, offsetof(struct job, cut), 0, 0, 0, 0, "how to cut", .inner = &SETTINGS },
	{ "zero", FIELD_MAPPING, offsetof(struct job, zero), 0, 0, 0, 0, "where the program's origin is", .inner = &ZERO },
	{ "program", FIELD_MAPPING, offsetof(struct job, program), 0, 0, 0, 0, "how the program is written", .inner = &PROGRAM },
	{ "machine", FIELD_MAPPING, offsetof(struct job, machine), 0, 0, 0, 0, "what it is cut on", .inner = &MACHINE },
	{ "vise", FIELD_MAPPING, offsetof(struct job, vise), 0, 0, 0, 0, "what holds it",
	  .inner = &VISE },
	{ "parallels", FIELD_LENGTHS, offsetof(struct job, parallels), "1 mm", "500 mm", 0, 0,
	  "heights of the pairs at hand; the lowest that lifts the finished face clear of the jaws is taken" },
	{ "hold", FIELD_MAPPING, offsetof(struct job, hold), 0, 0, 0, 0, "what else stands up beside it, and how safely it is held",
	  .inner = &HOLD },
	{ "finish", FIELD_MAPPING, offsetof(struct job, finish), 0, 0, 0, 0, "what the drawing asks of the face", .inner = &FINISH },
};
static const struct mapping JOB = { "the job", JOB_FIELDS, sizeof JOB_FIELDS / sizeof JOB_FIELDS[0], sizeof(struct job) };
/* clang-format on */

static const struct choice *choice_of(const struct choice *choices, int value);

const struct mapping *
job_mapping(void)
{
	return &JOB;
}

bool
job_is_manual(const struct job *job)
{
	return job->machine.bound.node && job->machine.kind == MACHINE_MANUAL;
}

const char *
job_word(const struct choice *choices, int value)
{
	const char *word = choice_of(choices, value)->word;

	return word ? word : "";
}

const char *
job_phrase(const struct choice *choices, int value)
{
	const char *about = choice_of(choices, value)->about;

	return about ? about : "";
}

/* The last, empty one when there is none. */
static const struct choice *
choice_of(const struct choice *choices, int value)
{
	while (choices->word && choices->value != value)
		choices++;
	return choices;
}
