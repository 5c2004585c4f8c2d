#include "mutants.h"

#include "skimcut/trial.h"

/*
 * Programs are damaged on purpose, each of them in every place where a kind of damage fits. What is harmful wherever it is planted
 * must be refused; of the rest a second judge, in mutants.h, says what is. What changes nothing must pass.
 */

/* `make mutants` looks everywhere and takes a minute. */
#ifdef MUTANTS_EVERYWHERE
enum { PLACES_MOST = 40, RANDOM_EACH = 300, STYLES_EACH = 40, CUTS_EACH = 60 };
#elif defined(MUTANTS_FEW)
enum { PLACES_MOST = 1, RANDOM_EACH = 1, STYLES_EACH = 1, CUTS_EACH = 2 };
#else
enum { PLACES_MOST = 2, RANDOM_EACH = 8, STYLES_EACH = 4, CUTS_EACH = 6 };
#endif

enum { BOXES = 2, TEXT_MOST = 1 << 15, TOLD_MOST = 4, FINE_ONE_IN = 16 };

static const uint64_t SEED = 20250309;

/* A program to be damaged. */
struct origin {
	const char *name;
	const char *yaml; /* NULL: a sample */
	const char *text; /* NULL: as the library writes it */
	size_t      box_count;
	struct box  boxes[BOXES];
};

#define VISE                                                                                                           \
	"units: mm\nmaterial: aluminium\nstock: {length: 100, width: 60, height: 30}\nfinished_height: 28.4\n"         \
	"cutter: {kind: shell mill, diameter: 50, teeth: 5, edge: carbide}\ncut: {coolant: none}\n"                    \
	"vise: {front_jaw: 40, rear_jaw: 45, jaw_width: 120}\nparallels: [10, 20, 25]\n"

#define CLAMPS                                                                                                         \
	"units: mm\nmaterial: brass\nstock: {length: 150, width: 60, height: 20}\nfinished_height: 18\n"               \
	"cutter: {kind: face mill, diameter: 80, teeth: 6, edge: carbide, number: 7}\n"                                \
	"cut: {along: x, milling: either, measure: [skim]}\n"                                                          \
	"hold: {clamps: [{x: 40, y: -40, length: 40, width: 30, height: 24},\n"                                        \
	"                {x: 30, y: 85, length: 50, width: 30, height: 26}]}\n"

#define CLIMB                                                                                                          \
	"units: mm\nmaterial: grey iron\nstock: {length: 90, width: 140, height: 45}\nfinished_height: 43\n"           \
	"cutter: {kind: face mill, diameter: 50, teeth: 4, edge: carbide, entering_angle: 45 deg, max_depth: 2}\n"     \
	"cut: {pattern: one-way, milling: climb, along: y, test_cut: 0.4, rough: 0.8, skim: 0.2}\n"                    \
	"zero: {x: right, y: back, z: top}\nprogram: {post: iso6983}\n"                                                \
	"machine: {kind: cnc, spindle: {min: 60, max: 6000}, feed: {max: 4000, rapid: 12000}, travel: {x: 400, y: "    \
	"350, z: 300}}\n"

#define ZIGZAG                                                                                                         \
	"units: inch\nmaterial: aluminium\nstock: {length: 6, width: 4, height: 1}\nfinished_height: 0.9\n"            \
	"cutter: {kind: end mill, diameter: 1-1/2 in, teeth: 3, edge: hss, flute_length: 2, number: 12}\n"             \
	"cut: {pattern: zigzag, measure: [], coolant: flood}\nprogram: {post: rs274ngc, work_offset: G54}\n"

#define ONE_LEVEL                                                                                                      \
	"units: mm\nmaterial: brass\nstock: {length: 80, width: 70, height: 12.2}\nfinished_height: 12\n"              \
	"cutter: {kind: shell mill, diameter: 40, teeth: 4, edge: carbide, nose_radius: 0.4}\n"                        \
	"cut: {test_cut: 0}\nzero: {x: centre, y: back, z: bottom}\n"

#define BY_HAND                                                                                                        \
	"units: inch\nmaterial: low-carbon steel\nstock: {length: 7, width: 5, height: 2.1}\nfinished_height: 2\n"     \
	"cutter: {kind: shell mill, diameter: 2-1/2 in, teeth: 6, edge: carbide, entering_angle: 75 deg}\n"            \
	"cut: {test_cut: 20 thou, rough: 40 thou, measure: [test], coolant: mist}\n"                                   \
	"zero: {x: centre, y: centre, z: top}\nprogram: {post: plain}\n"                                               \
	"machine: {kind: manual, spindle: {speeds: [80, 210, 325, 660, 1115]}, feed: {max: 30}}\n"

#define LOW_CLAMP                                                                                                      \
	"units: mm\nmaterial: bronze\nstock: {length: 120, width: 70, height: 25}\nfinished_height: 23\n"              \
	"cutter: {kind: end mill, diameter: 32, teeth: 4, edge: hss, flute_length: 40}\n"                              \
	"cut: {along: x, rough: 1}\nzero: {x: right, y: centre, z: finished}\nprogram: {post: rs274d}\n"               \
	"hold: {clamps: [{x: -45, y: 10, length: 45, width: 30, height: 20}]}\n"

/* There and back, joined by half circles; clamps stand a millimetre beyond their reach. */
#define LINKS                                                                                                          \
	"units: mm\nmaterial: aluminium\nstock: {length: 100, width: 60, height: 20}\nfinished_height: 18\n"           \
	"cutter: {kind: shell mill, diameter: 40, teeth: 4, edge: carbide}\n"                                          \
	"cut: {pattern: zigzag, stepover: 60 %, test_cut: 0.5, rough: 1, cutting_speed: 100 m/min, feed_per_tooth: "   \
	"0.1}\n"                                                                                                       \
	"hold: {clamps: [{x: 155, y: 0, length: 20, width: 40, height: 25},\n"                                         \
	"                {x: -75, y: 20, length: 20, width: 30, height: 25}]}\n"

#define LINKS_LEVEL(above, z, feed)                                                                                    \
	"X-24.0 Y4.0\nZ" above "\nG1 Z" z " F" feed "\nX124.0\nG3 X124.0 Y24.0 I0.0 J10.0\nG1 X-24.0\n"                \
	"G2 X-24.0 Y44.0 R10.0\nG1 X124.0\n"
#define LINKS_STOP "G0 Z30.0\nM5\nM0\nG0 Z30.0\nS600 M3\n"
#define LINKS_TEXT                                                                                                     \
	"%\n(ROUND LINKS)\nG17 G21 G40 G49 G80\nG90 G94 G54\nT1 M6\nG43 H1\nG0 Z30.0\nS600 M3\n" LINKS_LEVEL(          \
	    "4.0", "1.5", "240.0")                                                                                     \
	    LINKS_STOP     LINKS_LEVEL("3.0", "0.875", "240.0") "G0 Z10.0\n" LINKS_LEVEL("3.0", "0.25", "240.0")       \
		LINKS_STOP LINKS_LEVEL("2.5", "0.0", "120.0") "G0 Z30.0\nM5\nM30\n%\n"

/* Rolled in on a quarter of a circle, conventionally, and home between. */
#define ROLL                                                                                                           \
	"units: mm\nmaterial: aluminium\nstock: {length: 120, width: 70, height: 20}\nfinished_height: 18.5\n"         \
	"cutter: {kind: shell mill, diameter: 50, teeth: 4, edge: carbide, number: 3}\n"                               \
	"cut: {pattern: one-way, along: x, stepover: 75 %, cutting_speed: 100 m/min, feed_per_tooth: 0.1}\n"           \
	"program: {post: iso6983}\nhold: {clamps: [{x: 70, y: -60, length: 40, width: 25, height: 24}]}\n"

#define ROLL_LEVEL(z, feed)                                                                                            \
	"G00 X155.0 Y34.0\nZ3.0\nG01 Z" z " F" feed "\nG03 X130.0 Y59.0 R25.0\nG01 X-30.0\nG00 Z10.0\n"                \
	"X155.0 Y-3.0\nZ3.0\nG01 Z" z "\nG03 X130.0 Y22.0 I-25.0 J0.0\nG01 X-30.0\nG00 Z30.0\n"
#define ROLL_STOP "M05\nM00\nG00 Z30.0\nS600 M03\n"
#define ROLL_TEXT                                                                                                      \
	"%\n(ROLLED IN)\nN10 G17 G71 G40 G80\nN20 G90 G94 G54\nN30 G91 G28 Z0.0\nN40 G90\nN50 T3 M06\nN60 G43 H3\n"    \
	"G00 Z30.0\nS600 M03\n" ROLL_LEVEL("0.75", "240.0") ROLL_STOP ROLL_LEVEL("0.25", "240.0")                      \
	    ROLL_STOP ROLL_LEVEL("0.0", "120.0") "M05\nG91 G28 Z0.0\nM30\n%\n"

/* Each row down to the skim before the next, as `levels: any` allows. */
#define ROWS                                                                                                           \
	"units: mm\nmaterial: aluminium\nstock: {length: 80, width: 50, height: 12}\nfinished_height: 11\n"            \
	"cutter: {kind: shell mill, diameter: 40, teeth: 4, edge: carbide, nose_radius: 0}\n"                          \
	"cut: {pattern: zigzag, stepover: 80 %, test_cut: 0, rough: 0.5, measure: [], levels: any,\n"                  \
	"      cutting_speed: 100 m/min, feed_per_tooth: 0.1}\nprogram: {post: plain}\n"

#define ROWS_ROW(y) "G0 X-24.0 Y" y "\nZ3.0\nG1 Z0.6 F240.0\nX104.0\nG0 Z5.0\nX104.0\nZ2.0\nG1 Z0.25\nX-24.0\nG0 Z5.0\n"
#define ROWS_TEXT                                                                                                      \
	"(ROW BY ROW)\nG17 G21 G40 G49 G80\nG90 G94 G54\nG0 Z25.0\nS600 M3\n" ROWS_ROW("12.0")                         \
	    ROWS_ROW("38.0") "G0 X-24.0 Y12.0\nZ2.0\nG1 Z0.0 F120.0\nX104.0\nY38.0\nX-24.0\nG0 Z25.0\nM5\nM2\n"

static const struct origin ORIGINS[] = {
	{ "bearing-pad" },
	{ "bench-plate" },
	{ "brass-coupon" },
	{ "die-block" },
	{ "gearbox-lid" },
	{ "pump-foot" },
	{ "sensor-base" },
	{ "starter-inch" },
	{ "starter-mm" },
	{ "jaws of two heights", VISE, NULL, 2, { { -10, 110, -1000, 0, 20 }, { -10, 110, 60, 1000, 25 } } },
	{ "clamps beside it", CLAMPS, NULL, 2, { { 40, 80, -40, -10, 24 }, { 30, 80, 85, 115, 26 } } },
	{ "climb milling along Y", CLIMB },
	{ "there and back without a stop", ZIGZAG },
	{ "one level", ONE_LEVEL },
	{ "a manual machine", BY_HAND },
	{ "a low clamp at the side", LOW_CLAMP, NULL, 1, { { -45, 0, 10, 40, 20 } } },
	{ "round links", LINKS, LINKS_TEXT, 2, { { 155, 175, 0, 40, 25 }, { -75, -55, 20, 50, 25 } } },
	{ "rolled in", ROLL, ROLL_TEXT, 1, { { 70, 110, -60, -35, 24 } } },
	{ "row by row", ROWS, ROWS_TEXT },
};

/* What the original does in one of its rows. */
struct trace {
	struct deed    deed;
	struct control before;
	bool           cuts, passes; /* passes: cuts straight over more than half of the stock */
};

struct subject {
	const char     *name;
	struct work     work;
	char           *lines;
	struct spelling spelling;
	struct wants    wants;
	struct sheet    sheet;
	struct trace    traces[SHEET_ROWS];
	size_t          first_move, end; /* rows */
};

/* One program at a time. */
static struct subject subject;
static struct sheet   mutant;
static struct judge   judge;
static struct trial   trial;
static char           mutant_text[TEXT_MOST];
static uint64_t       dice;

/* Where damage is planted: a row, and which of the things in it; `amount` is the kind's. */
struct place_in {
	size_t at, sub;
	Length amount;
};

/* Changes `mutant`, which is as the original; false: it does not fit there, and nothing is changed. */
typedef bool change(struct place_in p);

enum expected { MUST, JUDGED };

struct kind {
	const char   *name;
	enum expected expected;
	change       *change;
	size_t        subs; /* 0: 1 */
	Length        amount;
	size_t        planted, refused, passed, strict, escaped;
};

/* --- a program to be damaged --- */

static struct spelling
spelling_of(const struct dialect *dialect, enum units units)
{
	return (struct spelling){
		.fixed         = dialect->numerals.form != NUMERALS_POINT,
		.decimals      = { 3, 4 },
		.feed_decimals = { dialect->feed_resolution.mm == LENGTH_MM ? 0 : 1,
		                   dialect->feed_resolution.inch == LENGTH_INCH / 10 ? 1 : 2 },
		.g_mm      = atoi(dialect->words.mm + 1),
		.g_inch    = atoi(dialect->words.inch + 1),
		.inch      = units == UNITS_INCH,
		.separator = dialect->separator,
		.line_end  = dialect->line_end == LINE_END_CRLF ? "\r\n" : "\n",
	};
}

static Length
no_deeper(const struct cutter *cutter, Length depth)
{
	if (cutter->max_depth > 0 && cutter->max_depth < depth)
		depth = cutter->max_depth;
	return cutter->flute_length > 0 && cutter->flute_length < depth ? cutter->flute_length : depth;
}

static struct wants
wants_of(const struct planning *planning, const struct origin *origin, const char *text)
{
	const struct job    *job    = &planning->job;
	const struct cutter *cutter = planning->plan.cutter;
	Length               x[]    = { 0, job->stock.length / 2, job->stock.length },
	       zero_z[]             = { job->finished_height, job->stock.height, 0 };
	Length y[]                  = { 0, job->stock.width / 2, job->stock.width };

	return (struct wants){
		.job          = job,
		.cutter       = cutter,
		.zero         = { x[job->zero.x], y[job->zero.y], zero_z[job->zero.z] },
		.size         = { job->stock.length, job->stock.width, job->stock.height },
		.final        = job->finished_height,
		.grid         = job->units == UNITS_INCH ? LENGTH_INCH / 10000 : LENGTH_MM / 1000,
		.inner        = (double)cutter->diameter / 2 - (double)cutter->nose_radius,
		.outer        = (double)cutter->diameter / 2,
		.test         = no_deeper(cutter, job->cut.test_cut),
		.rough        = no_deeper(cutter, job->cut.rough),
		.skim         = no_deeper(cutter, job->cut.skim),
		.takes_length = strstr(text, "G43") != NULL,
		.boxes        = origin->boxes,
		.box_count    = origin->box_count,
	};
}

static char *
copy(const char *text)
{
	char *new = malloc(strlen(text) + 1);

	assert_non_null(new);
	return strcpy(new, text);
}

static bool
goes_straight(const struct trace *trace, int axis)
{
	return trace->deed.to[!axis] == trace->before.at[!axis] &&
	       2 * llabs(trace->deed.to[axis] - trace->before.at[axis]) > subject.wants.size[axis];
}

static void
traces_make(void)
{
	struct control control = { .motion = -1 };

	subject.first_move = subject.end = 0;
	for (size_t i = 0; i < subject.sheet.count; i++) {
		struct trace *trace = &subject.traces[i];
		struct deed  *deed  = &trace->deed;
		Length        z;

		trace->before = control;
		assert_true(row_obey(&subject.sheet, &subject.sheet.rows[i], &subject.wants, &control, deed));
		z           = deed->to[2];
		trace->cuts = deed->moves && deed->motion > 0 && z == trace->before.at[2] &&
		              z < subject.wants.size[2] &&
		              (deed->to[0] != trace->before.at[0] || deed->to[1] != trace->before.at[1]);
		trace->passes = trace->cuts && deed->motion == 1 &&
		                (goes_straight(trace, 0) || goes_straight(trace, 1));
		if (deed->moves && subject.first_move == 0)
			subject.first_move = i;
		if (deed->ends)
			subject.end = i;
		if (deed->moves)
			control_arrive(&control, deed);
		if (deed->stops || deed->changes_tool)
			control.known = 0;
		if (deed->homes)
			control.known &= ~deed->home_axes;
	}
	assert_true(subject.end > subject.first_move);
}

static void
subject_open(const struct origin *origin)
{
	char path[256];

	snprintf(path, sizeof path, "samples/%s.yaml", origin->name);
	if (!work_open(&subject.work, origin->yaml ? copy(origin->yaml) : file_read(path), NULL))
		fail_msg("%s: no plan: %s", origin->name, subject.work.planning.diag.first->text);
	snprintf(path, sizeof path, "tests/reference/%s/program.nc", origin->name);
	if (origin->yaml && !origin->text) {
		work_write(&subject.work);
	} else {
		free(subject.work.text);
		subject.work.text = origin->text ? copy(origin->text) : file_read(path);
	}
	trial            = (struct trial){ 0 }; /* its memory went with the last subject */
	subject.name     = origin->name;
	subject.spelling = spelling_of(&subject.work.dialect, subject.work.planning.job.units);
	subject.wants    = wants_of(&subject.work.planning, origin, subject.work.text);
	subject.lines    = copy(subject.work.text);
	sheet_read(&subject.sheet, subject.lines, &subject.spelling);
	traces_make();
	sheet_copy(&mutant, &subject.sheet);
	dice = SEED;
}

static void
subject_close(void)
{
	work_close(&subject.work);
	free(subject.lines);
}

static bool
proves_at(const char *text, size_t length, enum fineness fineness)
{
	struct planning *planning = &subject.work.planning;

	assert_true(
	    trial_begin(&trial, &planning->job, &planning->plan, &subject.work.dialect, &planning->arena, fineness));
	trial_feed(&trial, text, length);
	return trial_end(&trial);
}

/* As a file is proved that can be read again. */
static bool
proves(const char *text, size_t length)
{
	for (int fineness = FINENESS_COARSE; fineness < FINENESSES; fineness++) {
		if (proves_at(text, length, (enum fineness)fineness))
			return true;
		if (!proof_wants_finer(&trial.proof))
			break;
	}
	return false;
}

static size_t
mutant_print(void)
{
	struct text out = text_over(mutant_text, sizeof mutant_text);

	sheet_print(&mutant, &out);
	assert_false(out.failed);
	return out.length;
}

/* --- kinds of damage --- */

#define ROW   (&mutant.rows[p.at])
#define TRACE (&subject.traces[p.at])

/* A letter and its numbers in one amount. */
#define CODE(letter, code)      ((Length)(letter)*10000 + (code))
#define CODES(letter, from, to) ((Length)(letter)*10000 + (from)*100 + (to))

static Length
on_grid(int axis, double nm)
{
	return length_near((Length)nm - subject.wants.zero[axis], subject.wants.grid);
}

/* The row at or before this one that tells the letter; SHEET_ROWS: none since the machine last stood still. */
static size_t
told_before(size_t at, char letter)
{
	for (size_t i = at + 1; i-- > 0 && !subject.traces[i].deed.stops;)
		if (row_word(&mutant.rows[i], letter))
			return i;
	return SHEET_ROWS;
}

static char
across(size_t at)
{
	return goes_straight(&subject.traces[at], 0) ? 'Y' : 'X';
}

static bool
length_add(size_t at, char letter, Length amount)
{
	struct word *word = at < SHEET_ROWS ? row_word(&mutant.rows[at], letter) : NULL;

	if (word)
		word_set_length(&mutant, word, word_length(&mutant, word) + amount);
	return word != NULL;
}

static bool
word_drop(struct row *row, struct word *word)
{
	if (word)
		row_remove(row, word);
	return word != NULL;
}

static bool
row_drop(struct place_in p)
{
	sheet_delete(&mutant, p.at);
	return true;
}

static size_t
next_move(size_t at)
{
	do
		at++;
	while (at < mutant.count && !subject.traces[at].deed.moves);
	return at;
}

static bool
motion_tell(struct row *row, int motion)
{
	struct word *word = row_motion(row);

	if (word)
		word_whole(word, motion);
	else if (row->count < ROW_WORDS)
		word_whole(row_add(row, 'G', ""), motion);
	return true;
}

/* The rows behind go on as they did. */
static bool
motion_change(struct place_in p, int motion)
{
	size_t next = next_move(p.at);

	if (next < mutant.count && !subject.traces[next].deed.homes)
		motion_tell(&mutant.rows[next], subject.traces[next].deed.motion);
	return motion_tell(ROW, motion);
}

static bool
pass_drop(struct place_in p)
{
	return TRACE->passes && row_drop(p);
}

/* To either side, by so many thousandths of the cutter's diameter; 0: by one grid unit. */
static bool
pass_shift(struct place_in p)
{
	Length grid = subject.wants.grid;
	Length by   = p.amount ? length_near(subject.wants.cutter->diameter / 1000 * p.amount, grid) : grid;

	return TRACE->passes && length_add(told_before(p.at, across(p.at)), across(p.at), p.sub ? -by : by);
}

/* Its pass goes over what holds the part. */
static bool
pass_into_obstacle(struct place_in p)
{
	const struct box *box    = &subject.wants.boxes[p.sub];
	char              letter = across(p.at);
	int               axis   = axis_of(letter);
	size_t            row    = TRACE->passes ? told_before(p.at, letter) : SHEET_ROWS;

	if (p.sub >= subject.wants.box_count || row == SHEET_ROWS)
		return false;
	word_set_length(
	    &mutant, row_word(&mutant.rows[row], letter),
	    on_grid(axis, LENGTH_MM * (axis ? fmax(fmin(box->back, 120), box->front) : (box->left + box->right) / 2)));
	return true;
}

/* Its ends change places. */
static bool
pass_turn(struct place_in p)
{
	char         letter = across(p.at) == 'Y' ? 'X' : 'Y', number[NUMBER_ROOM];
	size_t       start  = p.at > 0 ? told_before(p.at - 1, letter) : SHEET_ROWS;
	struct word *from, *to = row_word(ROW, letter);

	if (!TRACE->passes || start == SHEET_ROWS || subject.traces[start].cuts || !to)
		return false;
	from = row_word(&mutant.rows[start], letter);
	memcpy(number, from->number, sizeof number);
	memcpy(from->number, to->number, sizeof number);
	memcpy(to->number, number, sizeof number);
	return true;
}

/* Does the row bring the cutter down to where the next cuts? */
static bool
opens_level(size_t at)
{
	const struct deed *deed = &subject.traces[at].deed;
	size_t             next = next_move(at);

	return next < mutant.count && subject.traces[next].cuts && deed->axes == AXIS_Z && deed->motion == 1;
}

static bool
descent_move(struct place_in p)
{
	return opens_level(p.at) && length_add(p.at, 'Z', p.amount * subject.wants.grid);
}

/* All descents to that height, of which this is the first. */
static bool
level_move(struct place_in p)
{
	Length z = TRACE->deed.to[2];

	for (size_t i = 0; i < p.at; i++)
		if (opens_level(i) && subject.traces[i].deed.to[2] == z)
			return false;
	if (!descent_move(p))
		return false;
	for (size_t i = p.at + 1; i < mutant.count; i++)
		if (opens_level(i) && subject.traces[i].deed.to[2] == z)
			length_add(i, 'Z', p.amount * subject.wants.grid);
	return true;
}

static bool
last_level_move(struct place_in p)
{
	return is_final(&subject.wants, TRACE->deed.to[2]) && level_move(p);
}

static bool
last_level_2_um_deeper(struct place_in p)
{
	p.amount = subject.wants.grid == 1000 ? -2 : -1;
	return last_level_move(p);
}

/* Every cut at the height of this one, if this is the first. amount: of the skim. */
static bool
level_skip(struct place_in p)
{
	Length z = TRACE->deed.to[2];

	if (!TRACE->cuts || is_final(&subject.wants, z) != p.amount)
		return false;
	for (size_t i = 0; i < p.at; i++)
		if (subject.traces[i].cuts && subject.traces[i].deed.to[2] == z)
			return false;
	for (size_t i = mutant.count; i-- > p.at;)
		if (subject.traces[i].cuts && subject.traces[i].deed.to[2] == z)
			sheet_delete(&mutant, i);
	return true;
}

static bool
motion_swap(struct place_in p)
{
	const struct deed *deed = &TRACE->deed;

	return deed->moves && !deed->homes && deed->motion < 2 && motion_change(p, !deed->motion);
}

static bool
cut_at_rapid(struct place_in p)
{
	return TRACE->passes && motion_change(p, 0);
}

static bool
retract_drop(struct place_in p)
{
	const struct deed *deed = &TRACE->deed;

	return deed->moves && deed->motion == 0 && !deed->homes && deed->axes == AXIS_Z &&
	       TRACE->before.known & AXIS_Z && deed->to[2] > TRACE->before.at[2] && row_drop(p);
}

/* To the finished face, into the stock, about its top, and only a little. */
static bool
rapid_lower(struct place_in p)
{
	const struct wants *wants = &subject.wants;
	const struct deed  *deed  = &TRACE->deed;
	const Length        to[]  = { wants->final,   (wants->final + wants->size[2]) / 2, wants->size[2] - wants->grid,
		                      wants->size[2], wants->size[2] + wants->grid,        deed->to[2] - LENGTH_MM };
	struct word        *word  = row_word(ROW, 'Z');

	if (!word || !deed->moves || deed->homes || deed->motion != 0 || to[p.sub] >= deed->to[2])
		return false;
	word_set_length(&mutant, word, on_grid(2, (double)to[p.sub]));
	return true;
}

/* Where nobody knows how high the cutter is. */
static bool
is_first_height(size_t at)
{
	const struct trace *trace = &subject.traces[at];

	return trace->deed.moves && trace->before.known == 0 && trace->deed.axes == AXIS_Z && !trace->deed.homes;
}

static bool
first_height_drop(struct place_in p)
{
	return is_first_height(p.at) && !TRACE->before.topped && row_drop(p);
}

static bool
first_height_incremental(struct place_in p)
{
	if (!is_first_height(p.at))
		return false;
	row_add(sheet_insert(&mutant, p.at + 1), 'G', "90");
	row_add(sheet_insert(&mutant, p.at), 'G', "91");
	return true;
}

/* No tool is called, and its length is in force only before this height, or only behind it. */
static bool
length_halfway(struct place_in p)
{
	bool   cut    = false;
	size_t called = 0;

	for (size_t i = 0; i < p.at; i++)
		cut |= subject.traces[i].cuts;
	while (called < p.at && !row_code(&mutant.rows[called], 'M', 6))
		called++;
	if (!cut || !is_first_height(p.at) || !row_code(&mutant.rows[called + 1], 'G', 43))
		return false;
	if (p.sub == 0)
		row_add(sheet_insert(&mutant, p.at), 'G', "49");
	else
		*sheet_insert(&mutant, p.at) = mutant.rows[called + 1];
	if (p.sub == 1)
		sheet_delete(&mutant, called + 1);
	sheet_delete(&mutant, called);
	return true;
}

/* A code by another of as many digits. */
static bool
code_replace(struct place_in p)
{
	struct word *word = row_code(ROW, (char)(p.amount / 10000), (int)(p.amount / 100 % 100));

	if (word)
		snprintf(word->number, sizeof word->number, "%0*d", (int)strlen(word->number), (int)(p.amount % 100));
	return word != NULL;
}

static bool
code_drop(struct place_in p)
{
	return word_drop(ROW, row_code(ROW, (char)(p.amount / 10000), (int)(p.amount % 10000)));
}

static bool
row_with_code_drop(struct place_in p)
{
	return row_code(ROW, (char)(p.amount / 10000), (int)(p.amount % 10000)) && row_drop(p);
}

static bool
coolant_drop(struct place_in p)
{
	return (row_code(ROW, 'M', 7) || row_code(ROW, 'M', 8)) && row_drop(p);
}

static bool
arc_flip(struct place_in p)
{
	p.amount = row_code(ROW, 'G', 2) ? CODES('G', 2, 3) : CODES('G', 3, 2);
	return code_replace(p);
}

static bool
arc_word_move(struct place_in p)
{
	return length_add(p.at, "IJR"[p.sub], p.amount * subject.wants.grid);
}

static bool
offset_change(struct place_in p)
{
	int own = subject.wants.job->program.work_offset;

	p.amount = CODES('G', own, 54 + (Length)p.sub);
	return own != 54 + (int)p.sub && code_replace(p);
}

static bool
units_swap(struct place_in p)
{
	int mm = subject.spelling.g_mm, inch = subject.spelling.g_inch;

	p.amount = subject.spelling.inch ? CODES('G', inch, mm) : CODES('G', mm, inch);
	return code_replace(p);
}

static bool
units_drop(struct place_in p)
{
	p.amount = CODE('G', subject.spelling.inch ? subject.spelling.g_inch : subject.spelling.g_mm);
	return code_drop(p);
}

static bool
whole_scale(struct place_in p)
{
	struct word *word = row_word(ROW, 'S');

	if (word)
		word_whole(word, atoll(word->number) * p.amount);
	return word != NULL;
}

static bool
whole_change(struct place_in p)
{
	struct word *word = row_word(ROW, (char)p.amount);

	if (word)
		word_whole(word, atoll(word->number) + 1);
	return word != NULL;
}

static bool
letter_drop(struct place_in p)
{
	return word_drop(ROW, row_word(ROW, (char)p.amount));
}

static bool
first_feed_drop(struct place_in p)
{
	for (size_t i = 0; i < p.at; i++)
		if (row_word(&mutant.rows[i], 'F'))
			return false;
	p.amount = 'F';
	return letter_drop(p);
}

static bool
feed_ten_times(struct place_in p)
{
	const struct spelling *spelling = &subject.spelling;
	struct word           *word     = row_word(ROW, 'F');

	if (word)
		number_print(spelling, spelling->feed_decimals[spelling->inch],
		             10 * number_nm(spelling, word->number, spelling->inch, spelling->feed_decimals),
		             word->number);
	return word != NULL;
}

static bool
stop_early(struct place_in p)
{
	struct row row  = *ROW;
	size_t     pass = p.at;

	if (!row_code(ROW, 'M', 0))
		return false;
	while (pass > 0 && !subject.traces[pass].passes)
		pass--;
	row_drop(p);
	*sheet_insert(&mutant, pass) = row;
	return true;
}

/* amount 1: with another value. */
static bool
word_twice(struct place_in p)
{
	struct word *word;

	if (p.sub >= ROW->count || ROW->count == ROW_WORDS)
		return false;
	word  = &ROW->words[ROW->count++];
	*word = ROW->words[p.sub];
	if (p.amount)
		word_whole(word, atoll(word->number) + p.amount);
	return true;
}

static bool
words_swap(struct place_in p)
{
	struct word *x = row_word(ROW, 'X'), *y = row_word(ROW, 'Y');

	if (x)
		x->letter = 'Y';
	if (y)
		y->letter = 'X';
	return x || y;
}

/* All of X, or of Y. */
static bool
mirror(struct place_in p)
{
	for (size_t i = 0; i < mutant.count && p.at == 0; i++) {
		struct word *word = row_word(&mutant.rows[i], "XY"[p.sub]);

		if (word)
			word_set_length(&mutant, word, -word_length(&mutant, word));
	}
	return p.at == 0;
}

static struct word *
coordinate(struct place_in p)
{
	return row_word(ROW, "XYZIJR"[p.sub]);
}

static bool
coordinate_scale(struct place_in p)
{
	struct word *word = coordinate(p);

	return word && word_length(&mutant, word) != 0 &&
	       length_add(p.at, word->letter, (p.amount - 1) * word_length(&mutant, word));
}

static bool
coordinate_nudge(struct place_in p)
{
	return length_add(p.at, "XYZIJR"[p.sub], p.amount * subject.wants.grid);
}

static bool
coordinate_drop(struct place_in p)
{
	return word_drop(ROW, coordinate(p));
}

static bool
coordinate_of_another(struct place_in p)
{
	struct word *word = coordinate(p);

	if (word)
		word->letter = word->letter == 'Z' ? 'X' : 'Z';
	return word != NULL;
}

/* sub counts the digits of all coordinates in the row. */
static bool
digit_drop(struct place_in p)
{
	for (struct word *word = ROW->words; word < ROW->words + ROW->count; word++)
		for (char *c = word->number; *c && strchr("XYZIJR", word->letter); c++)
			if (isdigit((unsigned char)*c) && p.sub-- == 0) {
				memmove(c, c + 1, strlen(c));
				return true;
			}
	return false;
}

/* Down to the finished face, where it is; amount 1: on the middle of the part. sub: at feed or at rapid. */
static bool
descent_insert(struct place_in p)
{
	const struct wants *wants = &subject.wants;
	struct row         *row;

	if (p.at <= subject.first_move || p.at > subject.end)
		return false;
	row = sheet_insert(&mutant, p.at);
	row_add(row, 'G', p.sub ? "0" : "1");
	for (int axis = p.amount ? 0 : 2; axis < AXES; axis++)
		word_set_length(&mutant, row_add(row, "XYZ"[axis], ""),
		                on_grid(axis, axis < 2 ? (double)wants->size[axis] / 2 : (double)wants->final));
	return true;
}

static void
row_fill(struct row *row, const char *words)
{
	while (*words) {
		size_t length = strcspn(words, " ");
		char   number[NUMBER_ROOM];

		snprintf(number, sizeof number, "%.*s", (int)length - 1, words + 1);
		row_add(row, *words, number);
		words += length + strspn(words + length, " ");
	}
}

static const char *const READ[] = {
	"M5",     "M9",        "M0",         "M1", "M30", "M4",    "M3",    "G49", "G91", "G90", "G80",
	"G28 Z0", "G53 G0 Z0", "G91 G28 Z0", "M8", "S1",  "G4 P1", "T1 M6", "G20", "G21", "G71", "G40 G94 G17",
};

static const char *const UNREAD[] = {
	"G92 X0",       "G92 Z0", "G52 X1", "G10 L2 P1 Z1", "G81 Z-1 R2", "G18",    "G41 D1", "G93", "G95",
	"G68 X0 Y0 R9", "G51 X0", "G16",    "G43.1 Z1",     "M98 P1",     "M6 T99", "G59",    "A5",
};

enum { READ_COUNT = sizeof READ / sizeof READ[0], UNREAD_COUNT = sizeof UNREAD / sizeof UNREAD[0] };

static bool
read_words_insert(struct place_in p)
{
	if (p.at < 1 || p.at > subject.end)
		return false;
	row_fill(sheet_insert(&mutant, p.at), READ[p.sub]);
	return true;
}

static bool
unread_words_insert(struct place_in p)
{
	if (p.at < 1 || p.at > subject.end)
		return false;
	row_fill(sheet_insert(&mutant, p.at), UNREAD[p.sub]);
	return true;
}

static bool
block_drop(struct place_in p)
{
	return ROW->count > 0 && row_drop(p);
}

static bool
block_twice(struct place_in p)
{
	struct row row = *ROW;

	if (row.count > 0)
		*sheet_insert(&mutant, p.at) = row;
	return row.count > 0;
}

static bool
blocks_swap(struct place_in p)
{
	struct row row = *ROW;

	if (p.at + 1 >= mutant.count || row.count == 0 || ROW[1].count == 0)
		return false;
	ROW[0] = ROW[1];
	ROW[1] = row;
	return true;
}

static struct kind KINDS[] = {
	{ "a pass left out", MUST, pass_drop },
	{ "a pass half a step aside", JUDGED, pass_shift, 2, 350 },
	{ "a pass a whole step aside", JUDGED, pass_shift, 2, 700 },
	{ "a pass a little aside", JUDGED, pass_shift, 2, 20 },
	{ "a pass one unit aside", JUDGED, pass_shift, 2, 0 },
	{ "a pass the other way", JUDGED, pass_turn },
	{ "a pass into jaw or clamp", JUDGED, pass_into_obstacle, BOXES },
	{ "a level one unit deeper", JUDGED, level_move, 1, -1 },
	{ "a level one unit higher", JUDGED, level_move, 1, 1 },
	{ "a level 100 units deeper", JUDGED, level_move, 1, -100 },
	{ "the last level one unit deeper", MUST, last_level_move, 1, -1 },
	{ "the last level 2 um deeper", MUST, last_level_2_um_deeper },
	{ "the last level one unit higher", MUST, last_level_move, 1, 1 },
	{ "one descent a unit deeper", JUDGED, descent_move, 1, -1 },
	{ "one descent a unit higher", JUDGED, descent_move, 1, 1 },
	{ "the skim left out", MUST, level_skip, 1, true },
	{ "another level left out", JUDGED, level_skip, 1, false },
	{ "G0 for G1, or back", JUDGED, motion_swap },
	{ "a cut at rapid", JUDGED, cut_at_rapid },
	{ "a retract left out", JUDGED, retract_drop },
	{ "a rapid lower", JUDGED, rapid_lower, 6 },
	{ "the first height left out", MUST, first_height_drop },
	{ "the first height by G91", MUST, first_height_incremental },
	{ "the spindle not started", MUST, row_with_code_drop, 1, CODE('M', 3) },
	{ "the spindle backwards", MUST, code_replace, 1, CODES('M', 3, 4) },
	{ "the spindle not stopped", MUST, row_with_code_drop, 1, CODE('M', 5) },
	{ "S0", MUST, whole_scale, 1, 0 },
	{ "S ten times", MUST, whole_scale, 1, 10 },
	{ "S left out", JUDGED, letter_drop, 1, 'S' },
	{ "the first F left out", MUST, first_feed_drop },
	{ "F left out", JUDGED, letter_drop, 1, 'F' },
	{ "F ten times", MUST, feed_ten_times },
	{ "units swapped", MUST, units_swap },
	{ "units left out", MUST, units_drop },
	{ "another work offset", MUST, offset_change, 6 },
	{ "another tool", MUST, whole_change, 1, 'T' },
	{ "another tool's length", MUST, whole_change, 1, 'H' },
	{ "no tool called", JUDGED, row_with_code_drop, 1, CODE('M', 6) },
	{ "no length taken", MUST, row_with_code_drop, 1, CODE('G', 43) },
	{ "a length for half of the cuts", MUST, length_halfway, 2 },
	{ "an arc the other way", JUDGED, arc_flip },
	{ "an arc's centre 10 units off", JUDGED, arc_word_move, 3, 10 },
	{ "an arc's centre 1000 units off", JUDGED, arc_word_move, 3, 1000 },
	{ "a stop left out", MUST, row_with_code_drop, 1, CODE('M', 0) },
	{ "a stop by choice", MUST, code_replace, 1, CODES('M', 0, 1) },
	{ "a stop before the cut", MUST, stop_early },
	{ "coolant not stopped", MUST, row_with_code_drop, 1, CODE('M', 9) },
	{ "coolant left out", JUDGED, coolant_drop },
	{ "a word twice", MUST, word_twice, ROW_WORDS, 0 },
	{ "a word twice, not alike", JUDGED, word_twice, ROW_WORDS, 1 },
	{ "G91 for G90", JUDGED, code_replace, 1, CODES('G', 90, 91) },
	{ "G90 for G91", JUDGED, code_replace, 1, CODES('G', 91, 90) },
	{ "X and Y swapped", JUDGED, words_swap },
	{ "mirrored", JUDGED, mirror, 2 },
	{ "a coordinate ten times", JUDGED, coordinate_scale, 6, 10 },
	{ "a coordinate's sign", JUDGED, coordinate_scale, 6, -1 },
	{ "a coordinate left out", JUDGED, coordinate_drop, 6 },
	{ "a coordinate one unit more", JUDGED, coordinate_nudge, 6, 1 },
	{ "a coordinate one unit less", JUDGED, coordinate_nudge, 6, -1 },
	{ "a coordinate of another axis", JUDGED, coordinate_of_another, 6 },
	{ "a digit left out", JUDGED, digit_drop, 20 },
	{ "down onto the middle", JUDGED, descent_insert, 2, true },
	{ "down where it is", JUDGED, descent_insert, 2, false },
	{ "words that are read, put in", JUDGED, read_words_insert, READ_COUNT },
	{ "words that are not, put in", MUST, unread_words_insert, UNREAD_COUNT },
	{ "a block left out", JUDGED, block_drop },
	{ "a block twice", JUDGED, block_twice },
	{ "two blocks swapped", JUDGED, blocks_swap },
};

enum { KIND_COUNT = sizeof KINDS / sizeof KINDS[0] };

static struct kind several = { "up to three at random", JUDGED }, cut_short = { "cut short", MUST };

/* --- planting --- */

static void
escape_tell(const struct kind *kind, const char *harm)
{
	size_t      at = 0;
	char        was[256], is[256];
	struct text before = text_over(was, sizeof was), after = text_over(is, sizeof is);

	while (at < mutant.count && at < subject.sheet.count &&
	       memcmp(&mutant.rows[at], &subject.sheet.rows[at], sizeof mutant.rows[0]) == 0)
		at++;
	row_print(&mutant, &subject.sheet.rows[at], &before);
	row_print(&mutant, &mutant.rows[at], &after);
	print_message("ESCAPED: %s: %s: row %zu, '%s' now '%s': %s (row %zu)\n", subject.name, kind->name, at + 1,
	              text_end(&before), text_end(&after), harm, judge.line);
}

/*
 * The mutant that is there. Carved coarsely, a proof refuses more: what is harmful and refused then is carved finely only now and
 * again, what seems harmless always.
 */
static void
try_mutant(struct kind *kind)
{
	size_t      length = mutant_print();
	bool        proved = proves_at(mutant_text, length, FINENESS_COARSE);
	bool        must   = kind->expected == MUST;
	const char *harm   = must ? "harmful wherever it is" : judge_sheet(&judge, &subject.wants, &mutant);

	if (!proved && (!harm || kind->planted % FINE_ONE_IN == 0))
		proved = proves(mutant_text, length);
	kind->planted++;
	kind->refused += !proved;
	kind->passed += proved && !harm;
	kind->strict += !proved && !harm;
	if (proved && harm && kind->escaped++ < TOLD_MOST)
		escape_tell(kind, harm);
	sheet_copy(&mutant, &subject.sheet);
}

/* In all places where it fits, or in PLACES_MOST of them for each of what there is in a row, evenly. */
static void
plant(struct kind *kind)
{
	const size_t subs = kind->subs ? kind->subs : 1, most = PLACES_MOST * (1 + (subs - 1) / 4);
	size_t       fits = 0, seen = 0;

	for (int counting = 1; counting >= 0; counting--)
		for (size_t i = 0; i < subject.sheet.count * subs; i++) {
			if (!kind->change((struct place_in){ i / subs, i % subs, kind->amount }))
				continue;
			if (counting)
				fits++;
			else if (fits <= most || seen * most / fits != (seen + 1) * most / fits)
				try_mutant(kind);
			seen += !counting;
			sheet_copy(&mutant, &subject.sheet);
		}
}

static void
each_subject(void (*check)(void))
{
	for (size_t i = 0; i < sizeof ORIGINS / sizeof ORIGINS[0]; i++) {
		subject_open(&ORIGINS[i]);
		check();
		subject_close();
	}
}

static size_t
escaped(void)
{
	size_t sum = 0;

	for (size_t i = 0; i < KIND_COUNT; i++)
		sum += KINDS[i].escaped;
	return sum;
}

/* --- tests --- */

static void
judge_both_ways(void)
{
	const char *harm = judge_sheet(&judge, &subject.wants, &subject.sheet);

	if (!proves(subject.work.text, strlen(subject.work.text)))
		fail_msg("%s: line %zu: %s", subject.name, trial_first_refusal(&trial)->line,
		         trial_first_refusal(&trial)->text);
	if (harm)
		fail_msg("%s: row %zu: %s", subject.name, judge.line, harm);
	assert_true(proves(mutant_text, mutant_print()));
}

static void
the_programs_are_good_to_both_judges(void **state)
{
	(void)state;
	each_subject(judge_both_ways);
}

/* The cutter covers all of it, and may take a fifth of its diameter. */
static void
a_cut_too_wide_is_refused_straight_or_not(void **state)
{
	static const struct origin NARROW = {
		"narrow passes",
		"units: mm\nmaterial: aluminium\nstock: {length: 100, width: 20, height: 10.2}\nfinished_height: 10\n"
		"cutter: {kind: shell mill, diameter: 40, teeth: 4, edge: carbide, nose_radius: 0}\n"
		"cut: {pattern: zigzag, stepover: 20 %, test_cut: 0, measure: [], cutting_speed: 100 m/min, "
		"feed_per_tooth: 0.1}\n"
		"program: {post: plain}\n",
		"G17 G21 G90\nG0 Z30.0\nS600 M3\nX-24.0 Y4.0\nZ4.0\nG1 Z0.0 F120.0\nX124.0\nG0 Z30.0\nM5\nM2\n",
	};
	static const char *const WAYS[] = { "X124.0", "X124.0 Y4.001", "X124.0 Y12.0",
		                            "G2 X124.0 Y4.0 I74.0 J-8000.0" };

	(void)state;
	subject_open(&NARROW);
	for (size_t i = 0; i < sizeof WAYS / sizeof WAYS[0]; i++) {
		char        text[512];
		struct text out = text_over(text, sizeof text);

		text_format(&out,
		            "G17 G21 G90\nG0 Z30.0\nS600 M3\nX-24.0 Y4.0\nZ4.0\nG1 Z0.0 F120.0\n%s\nG0 Z30.0\nM5\nM2\n",
		            WAYS[i]);
		text_end(&out);
		if (proves(text, out.length))
			fail_msg("20 mm wide, 8 allowed, and proved: %s", WAYS[i]);
	}
	subject_close();
}

static void
plant_all(void)
{
	for (size_t i = 0; i < KIND_COUNT; i++)
		plant(&KINDS[i]);
}

static void
no_harm_escapes(void **state)
{
	(void)state;
	each_subject(plant_all);
	for (size_t i = 0; i < KIND_COUNT; i++)
		if (KINDS[i].planted == 0)
			fail_msg("planted nowhere: %s", KINDS[i].name);
	assert_int_equal(escaped(), 0);
}

/* Rows may no longer be those of the traces then, which makes it only more random. */
static void
plant_several(void)
{
	for (int i = 0; i < RANDOM_EACH; i++) {
		int64_t wanted = random_between(&dice, 1, 3);

		for (int tries = 0; wanted > 0 && tries < 1000; tries++) {
			const struct kind *kind = &KINDS[random_between(&dice, 0, KIND_COUNT - 1)];
			size_t rows = mutant.count < subject.sheet.count ? mutant.count : subject.sheet.count;
			size_t at   = (size_t)random_between(&dice, 0, (int64_t)rows - 1);
			size_t sub  = (size_t)random_between(&dice, 0, kind->subs ? (int64_t)kind->subs - 1 : 0);

			wanted -= kind->change((struct place_in){ at, sub, kind->amount });
		}
		try_mutant(&several);
	}
}

static void
no_harm_of_several_kinds_at_once_escapes(void **state)
{
	(void)state;
	each_subject(plant_several);
	assert_int_equal(several.escaped, 0);
}

static void
cut_at(size_t length, size_t end)
{
	bool proved = proves(subject.work.text, length);

	cut_short.planted++;
	cut_short.refused += !proved;
	if (length >= end)
		*(proved ? &cut_short.passed : &cut_short.strict) += 1;
	else if (proved && cut_short.escaped++ < TOLD_MOST)
		print_message("ESCAPED: %s: cut short at byte %zu\n", subject.name, length);
}

static void
cut_everywhere(void)
{
	const char *text   = subject.work.text;
	size_t      length = strlen(text), end = length;

	while (text[end - 1] != '0' && text[end - 1] != '2')
		end--;
	for (size_t i = 0; i < CUTS_EACH; i++)
		cut_at(length * i / CUTS_EACH, end);
	for (size_t i = 0; i < length; i++)
		if (text[i] == '\n')
			cut_at(i, end);
	for (size_t i = end - 4; i <= length; i++)
		cut_at(i, end);
}

static void
a_program_cut_short_is_refused(void **state)
{
	(void)state;
	each_subject(cut_everywhere);
	assert_int_equal(cut_short.escaped, 0);
}

/* --- what changes nothing --- */

enum style {
	STYLE_LOWER,
	STYLE_BLANKS,
	STYLE_COMMENTS,
	STYLE_SEMICOLONS,
	STYLE_NUMBERS,
	STYLE_ORDER,
	STYLE_MODAL,
	STYLE_LINE_ENDS,
	STYLE_LEADING,
	STYLE_TRAILING,
	STYLE_PLUS,
	STYLE_BLANK_LINES,
	STYLES
};

static struct {
	const char *name;
	size_t      planted, passed;
} styles[STYLES + 1] = {
	{ "small letters" },
	{ "more blanks, or none" },
	{ "comments in parentheses" },
	{ "comments after ;" },
	{ "other block numbers" },
	{ "words in another order" },
	{ "modal words repeated" },
	{ "the other line ends" },
	{ "leading zeros" },
	{ "trailing zeros" },
	{ "plus signs" },
	{ "blank lines" },
	{ "several of them at random" },
};

static bool
has(unsigned set, enum style style)
{
	return set & 1u << style;
}

/* What the row does not tell and the control knows, told again. */
static void
modal_repeat(const struct trace *trace, const char *feed, struct row *row)
{
	const struct control *before = &trace->before;

	if (!trace->deed.moves || trace->deed.homes || before->incremental)
		return;
	if (!row_motion(row))
		motion_tell(row, trace->deed.motion);
	for (int axis = 0; axis < AXES; axis++)
		if (before->known & 1u << axis && !row_word(row, "XYZ"[axis]))
			row_add_length(&mutant, row, "XYZ"[axis], before -> at[axis] - subject.wants.zero[axis]);
	if (trace->deed.motion > 0 && !row_word(row, 'F'))
		row_add(row, 'F', feed);
}

static void
number_restyle(struct word *word, unsigned style)
{
	bool   coordinate = strchr("XYZIJR", word->letter) != NULL, negative = *word->number == '-';
	char   was[NUMBER_ROOM];
	size_t digits = strspn(word->number + negative, "0123456789");

	memcpy(was, word->number, sizeof was);
	if (has(style, STYLE_LEADING) && word->letter != 'N' &&
	    (!subject.spelling.fixed || (coordinate && digits < 7) || strchr("GM", word->letter)))
		snprintf(word->number, sizeof word->number, "%s0%.12s", negative ? "-" : "", was + negative);
	if (has(style, STYLE_TRAILING) && strchr(word->number, '.') && strlen(word->number) < 11)
		strcat(word->number, "00");
	memcpy(was, word->number, sizeof was);
	if (has(style, STYLE_PLUS) && coordinate && !negative)
		snprintf(word->number, sizeof word->number, "+%.14s", was);
}

static void
row_restyle(struct row *row, const struct trace *trace, const char *feed, unsigned style)
{
	struct word *number = row_word(row, 'N');
	size_t       first;

	if (has(style, STYLE_MODAL))
		modal_repeat(trace, feed, row);
	if (has(style, STYLE_NUMBERS) && number && random_chance(&dice, 2)) {
		row_remove(row, number);
	} else if (has(style, STYLE_NUMBERS) && row->count < ROW_WORDS) {
		struct word told = { 'N', "" };

		if (!number) {
			memmove(&row->words[1], &row->words[0], row->count * sizeof told);
			row->words[0] = told;
			row->count++;
		}
		word_whole(&row->words[0], random_between(&dice, 0, 9999));
	}
	first = row->count > 0 && row->words[0].letter == 'N';
	for (size_t i = row->count; has(style, STYLE_ORDER) && i > first + 1; i--) {
		size_t      other = (size_t)random_between(&dice, (int64_t)first, (int64_t)i - 1);
		struct word word  = row->words[i - 1];

		row->words[i - 1] = row->words[other];
		row->words[other] = word;
	}
	for (size_t i = 0; i < row->count; i++)
		number_restyle(&row->words[i], style);
}

static void
blanks_print(unsigned style, int one_in, struct text *out)
{
	if (has(style, STYLE_BLANKS) && random_chance(&dice, one_in))
		text_string(out, random_chance(&dice, 4) ? "\t" : " ");
}

static void
styled_print(const struct row *row, unsigned style, struct text *out)
{
	for (size_t i = 0; i < row->count; i++) {
		const struct word *word = &row->words[i];

		if (i > 0 && !has(style, STYLE_BLANKS))
			text_string(out, subject.spelling.separator);
		blanks_print(style, 3, out);
		text_char(out, has(style, STYLE_LOWER) ? (char)tolower((unsigned char)word->letter) : word->letter);
		for (const char *c = word->number; *c; c++) {
			blanks_print(style, 6, out);
			text_char(out, *c);
		}
		if (has(style, STYLE_COMMENTS) && random_chance(&dice, 6))
			text_string(out, random_chance(&dice, 2) ? "(M5 G0 Z-9.)" : "()");
	}
	if (has(style, STYLE_SEMICOLONS) && random_chance(&dice, 3))
		text_string(out, "; M30 (");
}

static void
sheet_print_styled(unsigned style, struct text *out)
{
	const bool  other             = has(style, STYLE_LINE_ENDS);
	const char *line_end          = other ? strcmp(subject.spelling.line_end, "\n") == 0 ? "\r\n" : "\n"
	                                      : subject.spelling.line_end;
	char        feed[NUMBER_ROOM] = "";

	for (size_t i = 0; i < subject.sheet.count; i++) {
		struct row         row  = subject.sheet.rows[i];
		const struct word *told = row_word(&row, 'F');
		char               line[512];
		struct text        styled = text_over(line, sizeof line);

		if (told)
			memcpy(feed, told->number, sizeof feed);
		row_restyle(&row, &subject.traces[i], feed, style);
		styled_print(&row, style, &styled);
		text_end(&styled);
		if (row.text || styled.failed || styled.length > (size_t)subject.work.dialect.longest_block)
			row_print(&subject.sheet, &subject.sheet.rows[i], out);
		else
			text_string(out, line);
		text_string(out, line_end);
		if (has(style, STYLE_BLANK_LINES) && random_chance(&dice, 3) && i + 1 < subject.sheet.count)
			text_format(out, "%s%s", random_chance(&dice, 2) ? "  " : "", line_end);
	}
	text_end(out);
}

static void
style_try(size_t index, unsigned style)
{
	struct text out = text_over(mutant_text, sizeof mutant_text);
	bool        proved;

	sheet_print_styled(style, &out);
	proved = proves(mutant_text, out.length);
	styles[index].planted++;
	styles[index].passed += proved;
	if (!proved && styles[index].planted - styles[index].passed <= TOLD_MOST)
		print_message("NOT PROVED: %s: %s: line %zu: %s\n", subject.name, styles[index].name,
		              trial_first_refusal(&trial)->line, trial_first_refusal(&trial)->text);
}

static void
style_all(void)
{
	for (unsigned style = 0; style < STYLES; style++)
		for (int i = 0; i < 4; i++)
			style_try(style, 1u << style);
	for (int i = 0; i < STYLES_EACH; i++)
		style_try(STYLES, (unsigned)random_between(&dice, 0, (1 << STYLES) - 1));
}

static void
what_changes_nothing_passes(void **state)
{
	(void)state;
	each_subject(style_all);
	for (size_t i = 0; i <= STYLES; i++) {
		assert_true(styles[i].planted > 0);
		assert_int_equal(styles[i].planted, styles[i].passed);
	}
}

static void
kind_print(const struct kind *kind, struct kind *sum)
{
	print_message("%-32s %7zu %7zu %7zu %7zu %7zu\n", kind->name, kind->planted, kind->refused, kind->passed,
	              kind->strict, kind->escaped);
	sum->planted += kind->planted;
	sum->refused += kind->refused;
	sum->passed += kind->passed;
	sum->strict += kind->strict;
	sum->escaped += kind->escaped;
}

static int
score_print(void **state)
{
	struct kind sum     = { "all damage" };
	size_t      planted = 0, passed = 0;

	(void)state;
	print_message("\n%-32s %7s %7s %7s %7s %7s\n", "damage", "planted", "refused", "passed", "strict", "escaped");
	for (size_t i = 0; i < KIND_COUNT; i++)
		kind_print(&KINDS[i], &sum);
	kind_print(&several, &sum);
	kind_print(&cut_short, &sum);
	kind_print(&sum, &sum);
	print_message(
	    "passed: harmless, and proved; strict: harmless to the second judge, and refused all the same\n\n");
	for (size_t i = 0; i <= STYLES; i++) {
		print_message("%-32s %7zu %7zu\n", styles[i].name, styles[i].planted,
		              styles[i].planted - styles[i].passed);
		planted += styles[i].planted;
		passed += styles[i].passed;
	}
	print_message("%-32s %7zu %7zu\n", "all that changes nothing", planted, planted - passed);
	return 0;
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_programs_are_good_to_both_judges),
		cmocka_unit_test(a_cut_too_wide_is_refused_straight_or_not),
		cmocka_unit_test(no_harm_escapes),
		cmocka_unit_test(no_harm_of_several_kinds_at_once_escapes),
		cmocka_unit_test(a_program_cut_short_is_refused),
		cmocka_unit_test(what_changes_nothing_passes),
	};

	return cmocka_run_group_tests(tests, NULL, score_print);
}
