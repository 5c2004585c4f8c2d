/*
 * mutants - programs taken apart into words, changed, put together again; and a second judge of what they do.
 *
 * The judge shares nothing with src/proof. It follows the heights of spots, one in the middle of each field that the edges of the
 * passes and a coarse raster cut the face into, and never finds more than there is: what it calls harmful must be refused.
 */
#ifndef SKIMCUT_TESTS_MUTANTS_H
#define SKIMCUT_TESTS_MUTANTS_H

#include "../external/programs.h"

#include <ctype.h>
#include <math.h>

#include "skimcut/cutter.h"

enum { ROW_WORDS = 14, SHEET_ROWS = 300, NUMBER_ROOM = 24, AXES = 3 };

struct word {
	char letter, number[NUMBER_ROOM];
};

struct row {
	const char *text; /* of a line that has no words; else NULL */
	size_t      count;
	struct word words[ROW_WORDS];
};

/* How numbers are written. */
struct spelling {
	bool        fixed;       /* without a point */
	int         decimals[2]; /* mm, inch */
	int         feed_decimals[2];
	int         g_mm, g_inch;
	bool        inch; /* of the program as it was */
	const char *separator, *line_end;
};

struct sheet {
	const struct spelling *spelling;
	size_t                 count;
	struct row             rows[SHEET_ROWS];
};

/* What a control remembers. Positions are in the stock's frame. */
struct control {
	Length        at[AXES];
	unsigned      known;
	bool          topped; /* Z is home, or changed tools there */
	bool          inch, units_told, incremental, ended;
	int           motion; /* -1: none */
	Speed         feed;   /* 0: none */
	int64_t       rpm, tool, called, length;
	enum rotation rotation;
	enum coolant  coolant;
};

/* What one row does, in this order. */
struct deed {
	bool          changes_tool, speeds, turns, cools, takes_length, moves, homes, stops, optional, ends;
	enum rotation rotation;
	enum coolant  coolant;
	int           motion;
	unsigned      axes, home_axes;
	Length        to[AXES], centre[2];
};

/* What a job wants, in numbers. */
struct box {
	double left, right, front, back, top; /* mm in the stock's frame */
};

struct wants {
	const struct job    *job;
	const struct cutter *cutter;
	Length               zero[AXES], size[AXES];
	Length               final, grid;
	double               inner, outer;
	Length               test, rough, skim;
	bool                 takes_length; /* the dialect does */
	const struct box    *boxes;
	size_t               box_count;
};

enum { FIELDS = 120 };

struct judge {
	const struct wants *wants;
	struct control      control;
	/* The face. */
	size_t nx, ny;
	double x[FIELDS], y[FIELDS], wide[FIELDS], deep[FIELDS], height[FIELDS][FIELDS];
	/* The cuts. */
	bool    cut_yet, is_test, measured, rested; /* rested: and has not moved since */
	int64_t length;                             /* the tool's, in force at the first cut */
	Length  level, least, most;
	double  with, against, wrong_area;
	/* All of the way. */
	Length   low[AXES], high[AXES];
	unsigned ranged;
	/* The first harm. */
	const char *harm;
	size_t      line;
};

static inline int
axis_of(char letter)
{
	return letter == 'X' ? 0 : letter == 'Y' ? 1 : letter == 'Z' ? 2 : -1;
}

/* --- rows and words --- */

static inline struct word *
row_word(struct row *row, char letter)
{
	for (size_t i = 0; i < row->count; i++)
		if (row->words[i].letter == letter)
			return &row->words[i];
	return NULL;
}

static inline struct word *
row_code(struct row *row, char letter, int code)
{
	for (size_t i = 0; i < row->count; i++)
		if (row->words[i].letter == letter && atoi(row->words[i].number) == code)
			return &row->words[i];
	return NULL;
}

static inline struct word *
row_motion(struct row *row)
{
	struct word *word = NULL;

	for (int code = 0; !word && code < 4; code++)
		word = row_code(row, 'G', code);
	return word;
}

static inline struct word *
row_add(struct row *row, char letter, const char *number)
{
	struct word *word = &row->words[row->count++];

	assert_true(row->count <= ROW_WORDS);
	word->letter = letter;
	snprintf(word->number, sizeof word->number, "%s", number);
	return word;
}

static inline void
row_remove(struct row *row, struct word *word)
{
	size_t at = (size_t)(word - row->words);

	memmove(word, word + 1, (row->count - at - 1) * sizeof *word);
	row->count--;
}

static inline void
word_whole(struct word *word, int64_t value)
{
	snprintf(word->number, sizeof word->number, "%lld", (long long)value);
}

static inline void
sheet_delete(struct sheet *sheet, size_t at)
{
	memmove(&sheet->rows[at], &sheet->rows[at + 1], (sheet->count - at - 1) * sizeof sheet->rows[0]);
	sheet->count--;
}

static inline struct row *
sheet_insert(struct sheet *sheet, size_t at)
{
	assert_true(sheet->count < SHEET_ROWS);
	memmove(&sheet->rows[at + 1], &sheet->rows[at], (sheet->count - at) * sizeof sheet->rows[0]);
	sheet->count++;
	sheet->rows[at] = (struct row){ 0 };
	return &sheet->rows[at];
}

static inline void
sheet_copy(struct sheet *to, const struct sheet *from)
{
	to->spelling = from->spelling;
	to->count    = from->count;
	memcpy(to->rows, from->rows, from->count * sizeof from->rows[0]);
}

/* Comments stand on lines of their own in these programs. Changes `text`, which must outlive the sheet. */
static inline void
sheet_read(struct sheet *sheet, char *text, const struct spelling *spelling)
{
	*sheet = (struct sheet){ .spelling = spelling };
	for (char *line = strtok(text, "\r\n"); line; line = strtok(NULL, "\r\n")) {
		struct row *row = &sheet->rows[sheet->count++];

		assert_true(sheet->count <= SHEET_ROWS);
		*row = (struct row){ 0 };
		if (!isupper((unsigned char)*line)) {
			row->text = line;
			continue;
		}
		while (*line) {
			char   letter = *line++, number[NUMBER_ROOM];
			size_t digits = strspn(line, "+-.0123456789");

			snprintf(number, sizeof number, "%.*s", (int)digits, line);
			row_add(row, letter, number);
			line += digits + strspn(line + digits, " ");
		}
	}
}

static inline void
row_print(const struct sheet *sheet, const struct row *row, struct text *out)
{
	if (row->text)
		text_string(out, row->text);
	for (size_t i = 0; i < row->count; i++)
		text_format(out, "%s%c%s", i ? sheet->spelling->separator : "", row->words[i].letter,
		            row->words[i].number);
}

static inline void
sheet_print(const struct sheet *sheet, struct text *out)
{
	for (size_t i = 0; i < sheet->count; i++) {
		row_print(sheet, &sheet->rows[i], out);
		text_string(out, sheet->spelling->line_end);
	}
	text_end(out);
}

/* --- numbers --- */

static inline double
ten_to(int decimals)
{
	return decimals == 0 ? 1 : 10 * ten_to(decimals - 1);
}

static inline Length
number_nm(const struct spelling *spelling, const char *number, bool inch, const int decimals[2])
{
	double scale = spelling->fixed ? ten_to(decimals[inch]) : 1;

	return llround(strtod(number, NULL) / scale * (double)(inch ? LENGTH_INCH : LENGTH_MM));
}

/* In the program's own units. */
static inline Length
word_length(const struct sheet *sheet, const struct word *word)
{
	return number_nm(sheet->spelling, word->number, sheet->spelling->inch, sheet->spelling->decimals);
}

static inline void
number_print(const struct spelling *spelling, int decimals, Length value, char number[NUMBER_ROOM])
{
	double units = (double)value / (double)(spelling->inch ? LENGTH_INCH : LENGTH_MM);

	if (spelling->fixed) {
		snprintf(number, NUMBER_ROOM, "%lld", (long long)llround(units * ten_to(decimals)));
		return;
	}
	snprintf(number, NUMBER_ROOM, "%.*f", decimals, units);
	for (size_t end = strlen(number); number[end - 1] == '0' && number[end - 2] != '.'; end--)
		number[end - 1] = '\0';
}

static inline void
word_set_length(const struct sheet *sheet, struct word *word, Length value)
{
	number_print(sheet->spelling, sheet->spelling->decimals[sheet->spelling->inch], value, word->number);
}

static inline void
row_add_length(const struct sheet *sheet, struct row *row, char letter, Length value)
{
	word_set_length(sheet, row_add(row, letter, ""), value);
}

static inline void
row_add_feed(const struct sheet *sheet, struct row *row, Speed value)
{
	struct word *word = row_add(row, 'F', "");

	number_print(sheet->spelling, sheet->spelling->feed_decimals[sheet->spelling->inch], value, word->number);
}

/* --- what a row does --- */

/* Modal groups of NISTIR 6556, as far as these programs go; 0: not known. */
static inline int
group_of(const struct spelling *spelling, char letter, int code)
{
	if (letter == 'M')
		return code <= 2 || code == 30 ? 21 : code <= 5 ? 22 : code == 6 ? 23 : code <= 9 ? 24 : 0;
	if (code == spelling->g_mm || code == spelling->g_inch)
		return 1;
	if (code >= 54 && code <= 59)
		return 2;
	switch (code) {
	case 0:
	case 1:
	case 2:
	case 3:
	case 80: return 3;
	case 4:
	case 28:
	case 30:
	case 53: return 4;
	case 43:
	case 49: return 5;
	case 17: return 6;
	case 40: return 7;
	case 90:
	case 91: return 8;
	case 94: return 9;
	default: return 0;
	}
}

static inline bool
row_is_plain(const struct sheet *sheet, const struct row *row)
{
	unsigned letters = 0, groups = 0;

	for (size_t i = 0; i < row->count; i++) {
		const struct word *word = &row->words[i];
		bool               code = word->letter == 'G' || word->letter == 'M';
		int group = code ? group_of(sheet->spelling, word->letter, atoi(word->number)) : word->letter - 'A';
		unsigned *told = code ? &groups : &letters;

		if ((code && group == 0) || *told & 1u << group || !strpbrk(word->number, "0123456789"))
			return false;
		*told |= 1u << group;
	}
	return true;
}

static inline bool
arc_centre_find(const struct sheet *sheet, struct row *row, const struct control *control, struct deed *deed,
                Length grid)
{
	struct word *i = row_word(row, 'I'), *j = row_word(row, 'J'), *r = row_word(row, 'R');
	double       dx = (double)(deed->to[0] - control->at[0]), dy = (double)(deed->to[1] - control->at[1]);
	double       chord = hypot(dx, dy);

	if ((control->known & 3) != 3 || (r != NULL) == (i || j) || !(deed->axes & 3))
		return false;
	if (r) {
		double radius = (double)number_nm(sheet->spelling, r->number, control->inch, sheet->spelling->decimals);
		double side   = (deed->motion == 2) == (radius > 0) ? 1 : -1,
		       square = radius * radius - chord * chord / 4;

		if (chord == 0 || radius == 0 || fabs(radius) < chord / 2 - (double)grid)
			return false;
		square          = square > 0 ? sqrt(square) : 0;
		deed->centre[0] = control->at[0] + llround(dx / 2 + side * square * dy / chord);
		deed->centre[1] = control->at[1] + llround(dy / 2 - side * square * dx / chord);
		return true;
	}
	for (int axis = 0; axis < 2; axis++) {
		struct word *word = axis ? j : i;

		deed->centre[axis] = control->at[axis] + (word ? number_nm(sheet->spelling, word->number, control->inch,
		                                                           sheet->spelling->decimals)
		                                               : 0);
	}
	dx = hypot((double)(control->at[0] - deed->centre[0]), (double)(control->at[1] - deed->centre[1]));
	dy = hypot((double)(deed->to[0] - deed->centre[0]), (double)(deed->to[1] - deed->centre[1]));
	return dx > 0 && dy > 0 && fabs(dx - dy) <= 2.0 * (double)grid + 10;
}

/* NISTIR 6556, table 8. False: nobody can say for certain what the row does. The control's position is left as it was. */
static inline bool
row_obey(const struct sheet *sheet, struct row *row, const struct wants *wants, struct control *control,
         struct deed *deed)
{
	const struct spelling *spelling = sheet->spelling;
	bool                   inch     = control->inch;
	struct word           *word     = NULL;
	int                    once     = 0;

	*deed = (struct deed){ 0 };
	if (row->text || row->count == 0)
		return true;
	if (control->ended || !row_is_plain(sheet, row))
		return false;
	for (size_t i = 0; i < row->count; i++) {
		int code = atoi(row->words[i].number);

		if (row->words[i].letter != 'G')
			continue;
		switch (group_of(spelling, 'G', code)) {
		case 1:
			control->inch       = code == spelling->g_inch;
			control->units_told = true;
			break;
		case 2:
			if (code != wants->job->program.work_offset)
				return false;
			break;
		case 3: control->motion = code == 80 ? -1 : code; break;
		case 4: once = code; break;
		case 8: control->incremental = code == 91; break;
		default: break;
		}
	}
	if (control->inch != inch)
		control->feed = 0;
	if ((word = row_word(row, 'F')))
		control->feed = number_nm(spelling, word->number, control->inch, spelling->feed_decimals);
	if ((word = row_word(row, 'S'))) {
		deed->speeds = true;
		control->rpm = atoll(word->number);
	}
	if ((word = row_word(row, 'T')))
		control->called = atoll(word->number);
	if (row_code(row, 'M', 6)) {
		deed->changes_tool = true;
		control->tool      = control->called;
	}
	deed->turns    = row_code(row, 'M', 3) || row_code(row, 'M', 4) || row_code(row, 'M', 5);
	deed->rotation = row_code(row, 'M', 3) ? ROTATION_CLOCKWISE
	               : row_code(row, 'M', 4) ? ROTATION_COUNTERCLOCKWISE
	                                       : ROTATION_OFF;
	deed->cools    = row_code(row, 'M', 7) || row_code(row, 'M', 8) || row_code(row, 'M', 9);
	deed->coolant  = row_code(row, 'M', 7) ? COOLANT_MIST : row_code(row, 'M', 8) ? COOLANT_FLOOD : COOLANT_NONE;
	if (row_code(row, 'G', 43) || row_code(row, 'G', 49)) {
		word = row_word(row, 'H');
		if (row_code(row, 'G', 43) && !word)
			return false;
		deed->takes_length = word || control->length != 0;
		control->length    = row_code(row, 'G', 49) ? 0 : atoll(word->number);
	}
	deed->stops    = row_code(row, 'M', 0) || row_code(row, 'M', 1);
	deed->optional = row_code(row, 'M', 1);
	deed->ends     = row_code(row, 'M', 2) || row_code(row, 'M', 30);
	/* A zero is one in any units. */
	for (int axis = 0; axis < AXES; axis++) {
		deed->to[axis] = control->at[axis];
		if (!(word = row_word(row, "XYZ"[axis])))
			continue;
		if ((!control->units_told && strpbrk(word->number, "123456789")) ||
		    (control->incremental && once == 0 && !(control->known & 1u << axis)))
			return false;
		deed->axes |= 1u << axis;
		deed->to[axis] = number_nm(spelling, word->number, control->inch, spelling->decimals) +
		                 (control->incremental ? control->at[axis] : wants->zero[axis]);
	}
	if (once == 4)
		return deed->axes == 0 && row_word(row, 'P');
	deed->motion = once ? 0 : control->motion;
	if (once == 28 || once == 30 || once == 53) {
		deed->homes     = true;
		deed->home_axes = deed->axes ? deed->axes : 7;
		deed->moves     = once != 53 && deed->axes != 0 && memcmp(deed->to, control->at, sizeof deed->to) != 0;
		return once != 53 || (control->motion == 0 && !control->incremental && deed->axes != 0);
	}
	if (deed->axes == 0)
		return !row_motion(row) && !row_word(row, 'I') && !row_word(row, 'J') && !row_word(row, 'R');
	if (deed->motion < 0)
		return false;
	deed->moves = true;
	return deed->motion < 2 || arc_centre_find(sheet, row, control, deed, wants->grid);
}

static inline void
control_arrive(struct control *control, const struct deed *deed)
{
	memcpy(control->at, deed->to, sizeof control->at);
	control->known |= deed->axes | (deed->motion >= 2 ? 3 : 0);
	if (deed->axes & AXIS_Z)
		control->topped = false;
}

/* --- the judge --- */

static inline bool
harmful(struct judge *judge, const char *harm)
{
	if (!judge->harm)
		judge->harm = harm;
	return true;
}

static inline int
by_size(const void *a, const void *b)
{
	double first = *(const double *)a, second = *(const double *)b;

	return first < second ? -1 : first > second;
}

/* Middles and widths of the fields between the marks. */
static inline size_t
fields_make(double *marks, size_t count, double size, double *middles, double *widths)
{
	size_t fields = 0;
	double from   = 0;

	qsort(marks, count, sizeof *marks, by_size);
	for (size_t i = 0; i <= count && fields < FIELDS; i++) {
		double to = i < count ? fmin(fmax(marks[i], 0), size) : size;

		if (to - from < 1)
			continue;
		middles[fields]  = (from + to) / 2;
		widths[fields++] = to - from;
		from             = to;
	}
	return fields;
}

static inline void
face_make(struct judge *judge, const struct sheet *sheet)
{
	enum { RASTER = 16 };
	static double marks[2][4 * SHEET_ROWS + RASTER];

	const struct wants *wants     = judge->wants;
	struct control      control   = judge->control;
	size_t              counts[2] = { 0 };

	for (int axis = 0; axis < 2; axis++)
		for (int i = 0; i < RASTER; i++)
			marks[axis][counts[axis]++] = (double)wants->size[axis] * (i + 0.37) / RASTER;
	for (size_t i = 0; i < sheet->count; i++) {
		struct row  row = sheet->rows[i];
		struct deed deed;

		if (!row_obey(sheet, &row, wants, &control, &deed))
			break;
		for (int axis = 0; axis < 2 && deed.moves && deed.motion > 0; axis++)
			if (counts[axis] + 2 <= sizeof marks[0] / sizeof marks[0][0]) {
				marks[axis][counts[axis]++] = (double)deed.to[axis] - wants->inner;
				marks[axis][counts[axis]++] = (double)deed.to[axis] + wants->inner;
			}
		if (deed.moves)
			control_arrive(&control, &deed);
	}
	judge->nx = fields_make(marks[0], counts[0], (double)wants->size[0], judge->x, judge->wide);
	judge->ny = fields_make(marks[1], counts[1], (double)wants->size[1], judge->y, judge->deep);
	for (size_t i = 0; i < judge->nx; i++)
		for (size_t j = 0; j < judge->ny; j++)
			judge->height[i][j] = (double)wants->size[2];
}

static inline double
face_highest(const struct judge *judge)
{
	double highest = 0;

	for (size_t i = 0; i < judge->nx; i++)
		for (size_t j = 0; j < judge->ny; j++)
			highest = fmax(highest, judge->height[i][j]);
	return highest;
}

static inline double
top_of_everything(const struct judge *judge)
{
	double top = face_highest(judge);

	for (size_t i = 0; i < judge->wants->box_count; i++)
		top = fmax(top, judge->wants->boxes[i].top * LENGTH_MM);
	return top;
}

/* A straight way seen from above; a loose one is anywhere in the rectangle. */
struct way {
	double x, y, dx, dy;
	bool   loose;
};

static inline double
outside(double value, double from, double to)
{
	double low = fmin(from, to), high = fmax(from, to);

	return value < low ? low - value : value > high ? value - high : 0;
}

/* How far a spot is from the way; *side is positive on its left. */
static inline double
way_off(const struct way *way, double x, double y, double *side)
{
	double length = way->dx * way->dx + way->dy * way->dy, px = x - way->x, py = y - way->y, share;

	if (way->loose)
		return hypot(outside(x, way->x, way->x + way->dx), outside(y, way->y, way->y + way->dy));
	share = length > 0 ? fmin(fmax((px * way->dx + py * way->dy) / length, 0), 1) : 0;
	if (side)
		*side = way->dx * py - way->dy * px;
	return hypot(px - share * way->dx, py - share * way->dy);
}

/* Does a spot at or above this height stand within the radius of the way? */
static inline bool
way_meets(const struct judge *judge, const struct way *way, double radius, double low)
{
	for (size_t i = 0; i < judge->nx; i++) {
		if (outside(judge->x[i], way->x, way->x + way->dx) >= radius)
			continue;
		for (size_t j = 0; j < judge->ny; j++)
			if (judge->height[i][j] >= low && way_off(way, judge->x[i], judge->y[j], NULL) < radius - 1)
				return true;
	}
	return false;
}

static inline bool
way_meets_box(const struct judge *judge, const struct way *way, double radius, double low)
{
	enum { SPOTS = 64 };

	for (size_t i = 0; i < judge->wants->box_count; i++) {
		const struct box *box  = &judge->wants->boxes[i];
		double            left = box->left * LENGTH_MM, right = box->right * LENGTH_MM;
		double            front = box->front * LENGTH_MM, back = box->back * LENGTH_MM;

		if (low >= box->top * LENGTH_MM)
			continue;
		for (int k = 0; k <= SPOTS && !way->loose; k++)
			if (hypot(outside(way->x + way->dx * k / SPOTS, left, right),
			          outside(way->y + way->dy * k / SPOTS, front, back)) < radius - 1)
				return true;
		if (way->loose) {
			double x = fmax(fmax(left - fmax(way->x, way->x + way->dx), 0),
			                fmin(way->x, way->x + way->dx) - right);
			double y = fmax(fmax(front - fmax(way->y, way->y + way->dy), 0),
			                fmin(way->y, way->y + way->dy) - back);

			if (hypot(x, y) < radius - 1)
				return true;
		}
	}
	return false;
}

static inline bool
is_final(const struct wants *wants, Length z)
{
	return 2 * llabs(z - wants->job->finished_height) <= wants->grid;
}

/* True: harmful, as with all that follow. */
static inline bool
level_judge(struct judge *judge, Length z)
{
	const struct wants *wants = judge->wants;
	const struct job   *job   = wants->job;
	bool   final = is_final(wants, z), first = !judge->cut_yet, test = first && wants->test > 0 && !final;
	Length above = first ? wants->size[2] : judge->level, drop = above - z;

	if (!first && job->cut.levels == LEVELS_EQUAL && z > judge->level + wants->grid)
		return harmful(judge, "a cut goes back up");
	if (!first && job->cut.levels == LEVELS_EQUAL && face_highest(judge) > (double)(judge->level + wants->grid))
		return harmful(judge, "a cut begins before the last is whole");
	if (!first && judge->is_test && job->cut.measure & 1u << MEASURE_TEST && !judge->measured)
		return harmful(judge, "no stop after the test cut");
	if (!first && final && job->cut.measure & 1u << MEASURE_SKIM && !judge->measured)
		return harmful(judge, "no stop before the skim");
	if (!final && z - wants->final < wants->skim - wants->grid + 1)
		return harmful(judge, "the skim is not left whole");
	if (!final && !test && job->cut.levels == LEVELS_EQUAL) {
		judge->least = judge->most == 0 || drop < judge->least ? drop : judge->least;
		judge->most  = drop > judge->most ? drop : judge->most;
		if (judge->most - judge->least > wants->grid)
			return harmful(judge, "roughing cuts are not equal");
	}
	if (first)
		judge->length = judge->control.length;
	judge->cut_yet = true;
	judge->is_test = test;
	judge->level   = z;
	return false;
}

static inline bool
rates_judge(struct judge *judge, bool final)
{
	const struct job      *job     = judge->wants->job;
	const struct cutter   *cutter  = judge->wants->cutter;
	const struct control  *control = &judge->control;
	const struct starting *with    = &job->material.with[cutter->edge];
	Speed                  vc      = job->cut.cutting_speed > 0 ? job->cut.cutting_speed : with->vc;
	double fz = (double)(job->cut.feed_per_tooth > 0 ? job->cut.feed_per_tooth : with->fz), slowest = 0;
	double skim = job->cut.skim_feed_per_tooth > 0 ? (double)job->cut.skim_feed_per_tooth
	                                               : fmax(fz / 2, fmin(fz, 0.05 * LENGTH_MM));

	if (control->rotation != ROTATION_CLOCKWISE || control->rpm <= 0)
		return harmful(judge, "cuts with a spindle that does not turn, or not forwards");
	if (control->feed <= 0)
		return harmful(judge, "cuts without a feed");
	if (schema_given(&job->cut.bound, "coolant") && control->coolant != job->cut.coolant)
		return harmful(judge, "cuts without the coolant that is asked for");
	if (judge->wants->takes_length &&
	    (control->length != judge->length || (control->tool != 0 && control->length != cutter->number)))
		return harmful(judge, "cuts without the tool's length");
	for (size_t i = 0; i < job->machine.spindle.speeds.count; i++)
		slowest = i == 0 ? (double)job->machine.spindle.speeds.values[i]
		                 : fmin(slowest, (double)job->machine.spindle.speeds.values[i]);
	slowest = fmax(slowest, (double)job->machine.spindle.min_rpm);
	if (3.14159265 * (double)cutter->diameter * (double)control->rpm > 1.001 * (double)vc &&
	    (double)control->rpm > fmax(slowest, 1))
		return harmful(judge, "the edges run too fast");
	if ((double)control->feed > 1.001 * (final ? skim : fz) * (double)(cutter->teeth * control->rpm))
		return harmful(judge, "each tooth takes too much");
	return false;
}

/* Of the corner above the lowest face: its nose's arc; beyond it the slope of the edges. */
static inline double
corner_height(const struct wants *wants, double off)
{
	double nose = wants->outer - wants->inner, kappa = (double)wants->cutter->entering_angle_udeg / 57295779.5;

	if (kappa < 1.57)
		return off <= wants->outer ? 0 : (off - wants->outer) * tan(kappa);
	if (off <= wants->inner)
		return 0;
	return off > wants->outer ? INFINITY : nose - sqrt(nose * nose - (off - wants->inner) * (off - wants->inner));
}

/* The widest strip that a way may cut; a slanted one has the better of both sides, and what its slant adds over them. */
static inline double
widest(const struct wants *wants, const struct way *way)
{
	const struct settings *cut  = &wants->job->cut;
	double                 most = 0, slant = fmin(fabs(way->dx), fabs(way->dy)) / hypot(way->dx, way->dy);

	for (int axis = 0; axis < 2; axis++) {
		double wide = (double)wants->cutter->diameter * (double)cut->stepover_ratio / 1e6;

		if (cut->pattern <= PATTERN_SINGLE && cutter_covers(wants->cutter, wants->size[axis]))
			wide = (double)wants->size[axis];
		if ((axis ? way->dx : way->dy) != 0)
			most = fmax(most, wide);
	}
	return most + slant * (double)(wants->size[0] + wants->size[1]);
}

/* At feed at one height. `slack`: of an arc, whose true way may be as far beside it. */
static inline bool
cut_judge(struct judge *judge, const struct way *way, Length z, double slack)
{
	const struct wants *wants = judge->wants;
	double              low = (double)z, deepest = 0, least = INFINITY, most = -INFINITY, side = 0, allowed;
	double              length = hypot(way->dx, way->dy);
	double              reach  = wants->outer + slack +
	               (wants->cutter->entering_angle_udeg < 90000000 ? (double)wants->size[2] - low : 0);

	for (size_t i = 0; i < judge->nx; i++)
		for (size_t j = 0; j < judge->ny; j++)
			if (judge->height[i][j] - low > deepest &&
			    way_off(way, judge->x[i], judge->y[j], NULL) < wants->inner - slack)
				deepest = judge->height[i][j] - low;
	if (deepest <= 100)
		return false;
	if (wants->final - z > wants->grid / 2)
		return harmful(judge, "cuts below the finished face");
	if ((!judge->cut_yet || z != judge->level) && level_judge(judge, z))
		return true;
	allowed = (double)(is_final(wants, z) ? wants->skim : judge->is_test ? wants->test : wants->rough);
	if (deepest > allowed + 1)
		return harmful(judge, "cuts too deep");
	if (rates_judge(judge, is_final(wants, z)))
		return true;
	judge->measured = false;
	for (size_t i = 0; i < judge->nx; i++) {
		if (outside(judge->x[i], way->x, way->x + way->dx) > reach)
			continue;
		for (size_t j = 0; j < judge->ny; j++) {
			double *height = &judge->height[i][j], off, floor;

			if (*height <= low)
				continue;
			off   = way_off(way, judge->x[i], judge->y[j], &side);
			floor = low + corner_height(wants, off - slack);
			if (floor >= *height)
				continue;
			if (off < wants->inner - slack) {
				*(side > 0 ? &judge->against : &judge->with) += judge->wide[i] * judge->deep[j];
				least = fmin(least, side / length);
				most  = fmax(most, side / length);
			}
			*height = floor;
		}
	}
	return length > 0 && most - least > widest(wants, way) + 2 * slack + 1000 && harmful(judge, "cuts too wide");
}

static inline bool
milling_judge(struct judge *judge)
{
	enum milling milling = judge->wants->job->cut.milling;
	double       wrong   = milling == MILLING_CLIMB ? judge->against : judge->with;

	if (milling != MILLING_EITHER && 2 * wrong > 1.001 * (judge->with + judge->against))
		judge->wrong_area += wrong;
	judge->with = judge->against = 0;
	return judge->wrong_area > 0.002 * (double)judge->wants->size[0] * (double)judge->wants->size[1] &&
	       harmful(judge, "cuts the wrong way");
}

/* A piece of the way at feed; what comes down is taken in small steps. */
static inline bool
feed_judge_piece(struct judge *judge, const double from[AXES], const double to[AXES], double slack)
{
	struct way way = { from[0], from[1], to[0] - from[0], to[1] - from[1], false };
	int        steps;

	if (way_meets_box(judge, &way, judge->wants->outer - slack, fmax(from[2], to[2])))
		return harmful(judge, "meets what holds the part");
	if (fmin(from[2], to[2]) <= 0)
		return harmful(judge, "goes into the table");
	if (from[2] == to[2])
		return cut_judge(judge, &way, llround(from[2]), slack);
	if (way.dx == 0 && way.dy == 0) {
		return to[2] < from[2] &&
		       (way_meets_box(judge, &way, judge->wants->outer, to[2]) ||
		        way_meets(judge, &way, judge->wants->inner, to[2])) &&
		       harmful(judge, "comes down onto something");
	}
	steps = 48;
	for (int k = 0; k < steps; k++) {
		double     share = (double)(k + (to[2] < from[2])) / steps, z = from[2] + (to[2] - from[2]) * share;
		struct way disc = { from[0] + way.dx * share, from[1] + way.dy * share, 0, 0, false };

		if (to[2] < from[2] && (way_meets(judge, &disc, judge->wants->inner - slack, z) ||
		                        way_meets_box(judge, &disc, judge->wants->outer - slack, z)))
			return harmful(judge, "comes down onto something");
		if (to[2] > from[2] && k == 0 && cut_judge(judge, &disc, llround(z), slack + 1))
			return true;
	}
	return false;
}

static inline bool
feed_judge_deed(struct judge *judge, const struct deed *deed)
{
	const Length *at      = judge->control.at;
	double        from[3] = { (double)at[0], (double)at[1], (double)at[2] }, to[3], start[3], sweep, angle, radius;
	const double  turn    = 6.283185307179586;
	int           chords;
	double        cx = (double)deed->centre[0], cy = (double)deed->centre[1];

	for (int axis = 0; axis < AXES; axis++)
		to[axis] = (double)deed->to[axis];
	if (deed->motion == 1)
		return feed_judge_piece(judge, from, to, 0) || milling_judge(judge);
	memcpy(start, from, sizeof start);
	angle = atan2(from[1] - cy, from[0] - cx);
	sweep = atan2(to[1] - cy, to[0] - cx) - angle;
	if (deed->motion == 3)
		sweep += sweep <= 1e-12 ? turn : 0;
	else
		sweep -= sweep >= -1e-12 ? turn : 0;
	radius = hypot(from[0] - cx, from[1] - cy);
	chords = (int)ceil(fabs(sweep) / 0.05);
	for (int k = 1; k <= chords; k++) {
		double share = (double)k / chords, next[3];

		next[0] = k == chords ? to[0] : cx + radius * cos(angle + sweep * share);
		next[1] = k == chords ? to[1] : cy + radius * sin(angle + sweep * share);
		next[2] = start[2] + (to[2] - start[2]) * share;
		if (feed_judge_piece(judge, from, next, radius * 0.0004 + 4.0 * (double)judge->wants->grid))
			return true;
		memcpy(from, next, sizeof from);
	}
	return milling_judge(judge);
}

static inline bool
rapid_judge_deed(struct judge *judge, const struct deed *deed)
{
	const struct control *control = &judge->control;
	Length                low     = control->topped || deed->to[2] < control->at[2] ? deed->to[2] : control->at[2];
	struct way way = { (double)control->at[0], (double)control->at[1], (double)(deed->to[0] - control->at[0]),
		           (double)(deed->to[1] - control->at[1]), true };

	if (way.dx == 0 && way.dy == 0 && !control->topped && deed->to[2] >= control->at[2])
		return false;
	if (low <= 0)
		return harmful(judge, "rapid into the table");
	return (way_meets_box(judge, &way, judge->wants->outer, (double)low) ||
	        way_meets(judge, &way, judge->wants->inner, (double)low)) &&
	       harmful(judge, "rapid meets something");
}

static inline bool
travel_judge(struct judge *judge, unsigned axes)
{
	const struct travel  *travel     = &judge->wants->job->machine.travel;
	const Length          most[AXES] = { travel->x, travel->y, travel->z };
	const struct control *control    = &judge->control;

	for (int axis = 0; axis < AXES; axis++) {
		bool fresh = !(judge->ranged & 1u << axis);

		if (!(axes & 1u << axis))
			continue;
		if (fresh || control->at[axis] < judge->low[axis])
			judge->low[axis] = control->at[axis];
		if (fresh || control->at[axis] > judge->high[axis])
			judge->high[axis] = control->at[axis];
		judge->ranged |= 1u << axis;
		if (most[axis] > 0 && judge->high[axis] - judge->low[axis] > most[axis])
			return harmful(judge, "more travel than there is");
	}
	return false;
}

static inline bool
move_judge(struct judge *judge, const struct deed *deed)
{
	struct control *control = &judge->control;
	double          top     = top_of_everything(judge);
	bool            high = control->topped || control->known & AXIS_Z, across = (control->known & 3) == 3;
	bool            from_above = control->topped || (control->known & AXIS_Z && (double)control->at[2] > top);
	bool            to_above   = deed->axes & AXIS_Z ? (double)deed->to[2] > top : from_above;
	Speed           most       = judge->wants->job->machine.feeds.max;

	if (deed->motion > 0 && control->feed <= 0)
		return harmful(judge, "moves at no feed");
	if (deed->motion > 0 && most > 0 && control->feed > most + most / 1000)
		return harmful(judge, "feeds faster than the machine");
	if (!high && deed->axes != AXIS_Z)
		return harmful(judge, "moves across from a height that nobody knows");
	if (!high && !to_above)
		return harmful(judge, "comes down from a height that nobody knows");
	if (high && !across && !(from_above && to_above))
		return harmful(judge, "is low at a place that nobody knows");
	if (high && across && !(control->topped && !(deed->axes & AXIS_Z)) &&
	    (deed->motion == 0 ? rapid_judge_deed(judge, deed) : feed_judge_deed(judge, deed)))
		return true;
	judge->rested = false;
	control_arrive(control, deed);
	return travel_judge(judge, deed->axes);
}

static inline bool
rest_judge(struct judge *judge)
{
	const struct control *control = &judge->control;

	if (control->rotation != ROTATION_OFF)
		return harmful(judge, "rests with the spindle turning");
	if (control->coolant != COOLANT_NONE)
		return harmful(judge, "rests with the coolant running");
	return judge->cut_yet && !judge->rested && !control->topped &&
	       !(control->known & AXIS_Z && (double)control->at[2] > top_of_everything(judge)) &&
	       harmful(judge, "rests low");
}

static inline bool
spindle_judge(struct judge *judge, const struct deed *deed)
{
	struct control       *control = &judge->control;
	const struct machine *machine = &judge->wants->job->machine;
	const struct spindle *spindle = &machine->spindle;
	struct way            disc    = { (double)control->at[0], (double)control->at[1], 0, 0, false };
	bool                  listed  = spindle->speeds.count == 0;

	if (deed->turns && control->known == 7 && deed->rotation != control->rotation &&
	    way_meets(judge, &disc, judge->wants->inner, (double)control->at[2] + 100))
		return harmful(judge, "the spindle starts or stops in the work");
	if (deed->turns)
		control->rotation = deed->rotation;
	if (control->rotation == ROTATION_OFF || !machine->bound.node)
		return false;
	for (size_t i = 0; i < spindle->speeds.count; i++)
		listed |= spindle->speeds.values[i] == control->rpm;
	return (!listed || control->rpm < spindle->min_rpm ||
	        (spindle->max_rpm > 0 && control->rpm > spindle->max_rpm)) &&
	       harmful(judge, "a speed that the machine lacks");
}

static inline bool
row_judge(struct judge *judge, const struct sheet *sheet, struct row *row)
{
	struct control       *control = &judge->control;
	const struct wants   *wants   = judge->wants;
	const struct machine *machine = &wants->job->machine;
	struct deed           deed;

	if (!row_obey(sheet, row, wants, control, &deed))
		return harmful(judge, "a row that nobody understands for certain");
	if (deed.changes_tool) {
		if (rest_judge(judge))
			return true;
		if (control->tool != wants->cutter->number)
			return harmful(judge, "calls another tool");
		judge->rested   = true;
		control->known  = 0;
		control->topped = machine->bound.node && machine->kind == MACHINE_CNC;
	}
	if ((deed.turns || deed.speeds) && spindle_judge(judge, &deed))
		return true;
	if (deed.cools)
		control->coolant = deed.coolant;
	if (deed.takes_length)
		control->known &= ~(unsigned)AXIS_Z;
	if (deed.moves && move_judge(judge, &deed))
		return true;
	if (deed.homes) {
		control->known &= ~deed.home_axes;
		control->topped |= (deed.home_axes & AXIS_Z) != 0;
	}
	if (deed.stops || deed.ends) {
		if (rest_judge(judge))
			return true;
		judge->measured |= deed.stops && !deed.optional;
		judge->rested   = true;
		control->known  = 0;
		control->topped = false;
		control->ended  = deed.ends;
	}
	return false;
}

/* NULL: harmless. */
static inline const char *
judge_sheet(struct judge *judge, const struct wants *wants, const struct sheet *sheet)
{
	memset(judge, 0, offsetof(struct judge, x));
	memset(&judge->cut_yet, 0, sizeof *judge - offsetof(struct judge, cut_yet));
	judge->wants          = wants;
	judge->control.motion = -1;
	face_make(judge, sheet);
	for (size_t i = 0; i < sheet->count; i++) {
		struct row row = sheet->rows[i];

		judge->line = i + 1;
		if (row_judge(judge, sheet, &row))
			return judge->harm;
	}
	judge->line = 0;
	if (!judge->control.ended)
		harmful(judge, "no end");
	if (face_highest(judge) > (double)wants->job->finished_height + (double)wants->grid / 2 + 1)
		harmful(judge, "the face still stands");
	return judge->harm;
}

#endif
