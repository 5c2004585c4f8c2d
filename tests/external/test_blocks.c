/*
 * The block rules of RS-274/NGC as NISTIR 6556 (2000) has them and as its published reference interpreter keeps them, made
 * into a linter that shares nothing with src/ and that every program of the rs274ngc dialect passes.
 *
 * The linter is narrower than the language where no program of ours goes: no expressions, no parameters, and nothing that only
 * a machine's own tables could tell, such as how many tools it holds.
 */
#include "programs.h"

#include "reading.h"

enum { NONE = -1, AXES = 3, LONGEST = 253, M_MOST = 4, LINE_NUMBER_DIGITS = 5, RANDOM_JOBS = 120 };

static const uint64_t SEED = 0x5eed0fb10c5;

enum g_group {
	G_ONCE, /* in force for its own block */
	G_MOTION,
	G_PLANE,
	G_DISTANCE,
	G_FEED_MODE,
	G_UNITS,
	G_RADIUS,
	G_LENGTH,
	G_RETURN,
	G_OFFSET,
	G_PATH,
	G_GROUPS
};

enum m_group { M_STOP, M_TOOL, M_SPINDLE, M_COOLANT, M_OVERRIDES, M_GROUPS };

/* Table 4 of the report; G in tenths. */
static const struct code {
	int code, group;
} G_CODES[] = {
	{ 0, G_MOTION },      { 10, G_MOTION },     { 20, G_MOTION },     { 30, G_MOTION },     { 382, G_MOTION },
	{ 800, G_MOTION },    { 810, G_MOTION },    { 820, G_MOTION },    { 830, G_MOTION },    { 840, G_MOTION },
	{ 850, G_MOTION },    { 860, G_MOTION },    { 870, G_MOTION },    { 880, G_MOTION },    { 890, G_MOTION },
	{ 170, G_PLANE },     { 180, G_PLANE },     { 190, G_PLANE },     { 900, G_DISTANCE },  { 910, G_DISTANCE },
	{ 930, G_FEED_MODE }, { 940, G_FEED_MODE }, { 200, G_UNITS },     { 210, G_UNITS },     { 400, G_RADIUS },
	{ 410, G_RADIUS },    { 420, G_RADIUS },    { 430, G_LENGTH },    { 490, G_LENGTH },    { 980, G_RETURN },
	{ 990, G_RETURN },    { 540, G_OFFSET },    { 550, G_OFFSET },    { 560, G_OFFSET },    { 570, G_OFFSET },
	{ 580, G_OFFSET },    { 590, G_OFFSET },    { 591, G_OFFSET },    { 592, G_OFFSET },    { 593, G_OFFSET },
	{ 610, G_PATH },      { 611, G_PATH },      { 640, G_PATH },      { 40, G_ONCE },       { 100, G_ONCE },
	{ 280, G_ONCE },      { 300, G_ONCE },      { 530, G_ONCE },      { 920, G_ONCE },      { 921, G_ONCE },
	{ 922, G_ONCE },      { 923, G_ONCE },
}, M_CODES[] = {
	{ 0, M_STOP },    { 1, M_STOP },    { 2, M_STOP },    { 30, M_STOP },   { 60, M_STOP },      { 6, M_TOOL },       { 3, M_SPINDLE },
	{ 4, M_SPINDLE }, { 5, M_SPINDLE }, { 7, M_COOLANT }, { 8, M_COOLANT }, { 9, M_COOLANT },    { 48, M_OVERRIDES }, { 49, M_OVERRIDES },
};

/* What the machine remembers from block to block. NAN: it went where only it knows. */
struct control {
	int    motion; /* G in tenths */
	int    plane;  /* 17, 18 or 19 */
	bool   incremental, inverse_time, inch, ended;
	double feed, at[AXES];
};

struct block {
	bool   given['Z' + 1];
	double value['Z' + 1];
	int    g[G_GROUPS], m[M_GROUPS];
	int    m_count;
};

static const char *frame_skip(const char **text, bool *framed);
static const char *line_fault(struct control *control, const char *line, size_t length);
static const char *line_clean(const char *line, size_t length, char *clean);
static const char *words_read(const char *clean, struct block *block);
static const char *number_skip(const char **c);
static const char *word_read(const char **c, struct block *block);
static const char *code_read(double value, int scale, const struct code *codes, size_t count, int *groups);
static const char *values_fault(const struct block *block);
static void        modes_take(struct control *control, const struct block *block);
static const char *once_fault(const struct control *control, const struct block *block, int motion);
static const char *owner_fault(const struct block *block, int motion);
static const char *motion_fault(struct control *control, const struct block *block, int motion);
static const char *arc_fault(const struct control *control, const struct block *block, const double to[AXES]);
static bool        has_axes(const struct block *block);
static bool        takes_axes(int once);
static bool        is_cycle(int motion);
static bool        is_arc(int motion);

/* NULL when there is none. */
static const char *
program_fault(const char *text)
{
	struct control control = { .motion = NONE, .plane = 17 };
	bool           framed  = false;
	const char    *fault   = frame_skip(&text, &framed);

	while (!fault && *text) {
		size_t length = strcspn(text, "\n"), blank = strspn(text, " \t\r");

		if (framed && text[blank] == '%' && strspn(text + blank + 1, " \t\r") == length - blank - 1)
			return NULL;
		if (length > LONGEST + (text[length] == '\0'))
			return "line too long";
		fault = line_fault(&control, text, length);
		if (control.ended)
			return fault;
		text += length + (text[length] == '\n');
	}
	return fault ? fault : "no end";
}

/* Blank lines, then the opening %, alone in its line. */
static const char *
frame_skip(const char **text, bool *framed)
{
	const char *first = *text + strspn(*text, " \t\r\n");

	if (*first != '%')
		return NULL;
	*framed = true;
	first += 1 + strspn(first + 1, " \t\r");
	if (*first != '\n')
		return "bad character";
	*text = first + 1;
	return NULL;
}

/* In the order of the report's section 3.8, as far as one thing can depend on another. */
static const char *
line_fault(struct control *control, const char *line, size_t length)
{
	char         clean[LONGEST + 2];
	struct block block = { .m_count = 0 };
	const char  *fault = line_clean(line, length, clean);
	int          motion;

	for (int i = 0; i < G_GROUPS; i++)
		block.g[i] = NONE;
	for (int i = 0; i < M_GROUPS; i++)
		block.m[i] = NONE;
	if (!fault)
		fault = words_read(clean, &block);
	if (!fault)
		fault = values_fault(&block);
	if (fault)
		return fault;
	modes_take(control, &block);
	motion = block.g[G_MOTION];
	if (motion == NONE && has_axes(&block) && !takes_axes(block.g[G_ONCE]))
		motion = control->motion;
	fault = once_fault(control, &block, motion);
	if (!fault)
		fault = owner_fault(&block, motion);
	if (!fault)
		fault = motion_fault(control, &block, motion);
	control->ended = block.m[M_STOP] == 2 || block.m[M_STOP] == 30;
	return fault;
}

/* Without blanks, in capitals; a comment becomes a '(' that no number can hold. */
static const char *
line_clean(const char *line, size_t length, char *clean)
{
	bool comment = false;

	for (const char *c = line; c < line + length; c++) {
		if (comment && *c == '(')
			return "nested comment";
		if (comment) {
			comment = *c != ')';
			continue;
		}
		comment = *c == '(';
		if (!strchr(" \t\r", *c))
			*clean++ = (char)toupper((unsigned char)*c);
	}
	*clean = '\0';
	return comment ? "comment without an end" : NULL;
}

/* A slash, a line number, then words and comments in any order. */
static const char *
words_read(const char *clean, struct block *block)
{
	const char *c = clean + (*clean == '/'), *fault = NULL;

	if (*c == 'N')
		fault = number_skip(&c);
	while (!fault && *c) {
		if (*c == '(')
			c++;
		else
			fault = word_read(&c, block);
	}
	return fault;
}

static const char *
number_skip(const char **c)
{
	size_t digits = strspn(*c + 1, "0123456789");

	*c += 1 + digits;
	return digits == 0 ? "no number" : digits > LINE_NUMBER_DIGITS ? "line number too large" : NULL;
}

static const char *
word_read(const char **c, struct block *block)
{
	char        letter = **c;
	double      value;
	const char *behind;

	if (!strchr("ABCDFGHIJKLMPQRSTXYZ", letter))
		return "bad character";
	behind = number_read(*c + 1, &value);
	if (!behind)
		return "no number";
	*c = behind;
	if (letter == 'G')
		return code_read(value, 10, G_CODES, sizeof G_CODES / sizeof G_CODES[0], block->g);
	if (letter == 'M' && ++block->m_count > M_MOST)
		return "too many M words";
	if (letter == 'M')
		return code_read(value, 1, M_CODES, sizeof M_CODES / sizeof M_CODES[0], block->m);
	if (block->given[(int)letter])
		return "word twice";
	block->given[(int)letter] = true;
	block->value[(int)letter] = value;
	return NULL;
}

static const char *
code_read(double value, int scale, const struct code *codes, size_t count, int *groups)
{
	double scaled = value * scale;

	for (size_t i = 0; i < count; i++) {
		if (fabs(scaled - codes[i].code) > 1e-6)
			continue;
		if (groups[codes[i].group] != NONE)
			return "two of one group";
		groups[codes[i].group] = codes[i].code;
		return NULL;
	}
	return "unknown code";
}

static const char *
values_fault(const struct block *block)
{
	for (const char *letter = "FST"; *letter; letter++)
		if (block->value[(int)*letter] < 0)
			return "below zero";
	for (const char *letter = "DHLT"; *letter; letter++)
		if (block->value[(int)*letter] != floor(block->value[(int)*letter]))
			return "not whole";
	return block->given['P'] && block->value['P'] < 0 ? "below zero" : NULL;
}

static void
modes_take(struct control *control, const struct block *block)
{
	if (block->g[G_FEED_MODE] != NONE)
		control->inverse_time = block->g[G_FEED_MODE] == 930;
	if (block->given['F'])
		control->feed = block->value['F'];
	if (block->g[G_PLANE] != NONE)
		control->plane = block->g[G_PLANE] / 10;
	if (block->g[G_UNITS] != NONE && control->inch != (block->g[G_UNITS] == 200)) {
		control->inch = !control->inch;
		for (int i = 0; i < AXES; i++)
			control->at[i] *= control->inch ? 1 / 25.4 : 25.4;
	}
	if (block->g[G_DISTANCE] != NONE)
		control->incremental = block->g[G_DISTANCE] == 910;
}

/* What G4, G10, G28, G30, G53 and G92 want, and who has the axis words when there are two. */
static const char *
once_fault(const struct control *control, const struct block *block, int motion)
{
	int  once = block->g[G_ONCE];
	bool axes = has_axes(block);

	if (takes_axes(once) && motion != NONE && motion != 800)
		return "two that want axis words";
	if (once == 40 && !block->given['P'])
		return "G4 without P";
	if (once == 100 && !(block->given['L'] && block->value['L'] == 2 && block->given['P']))
		return "G10 without L2 and P";
	if (once == 920 && !axes)
		return "no axis word";
	if (once == 530 && (!axes || control->incremental || (motion != 0 && motion != 10)))
		return "G53 out of place";
	return NULL;
}

/* A word that no code of its block uses. */
static const char *
owner_fault(const struct block *block, int motion)
{
	int  once  = block->g[G_ONCE];
	bool dwell = motion == 820 || motion == 860 || motion == 880 || motion == 890;

	if (block->given['D'] && block->g[G_RADIUS] != 410 && block->g[G_RADIUS] != 420)
		return "word without its code";
	if (block->given['H'] != (block->g[G_LENGTH] == 430))
		return block->given['H'] ? "word without its code" : "G43 without H";
	if ((block->given['I'] || block->given['J'] || block->given['K']) && !is_arc(motion) && motion != 870)
		return "word without its code";
	if (block->given['L'] && !is_cycle(motion) && once != 100)
		return "word without its code";
	if (block->given['P'] && !dwell && once != 40 && once != 100)
		return "word without its code";
	if (block->given['Q'] && motion != 830)
		return "word without its code";
	if (block->given['R'] && !is_arc(motion) && !is_cycle(motion))
		return "word without its code";
	return NULL;
}

static const char *
motion_fault(struct control *control, const struct block *block, int motion)
{
	int         once  = block->g[G_ONCE];
	bool        axes  = has_axes(block);
	bool        lost  = takes_axes(once) || once == 530 || is_cycle(motion);
	const char *fault = NULL;
	double      to[AXES];

	if (block->g[G_MOTION] != NONE)
		control->motion = block->g[G_MOTION];
	if (axes && (motion == NONE || motion == 800) && !takes_axes(once))
		return "axis words without motion";
	if (motion != NONE && motion != 800) {
		if (!axes)
			return "no axis word";
		if (motion != 0 && control->inverse_time && !block->given['F'])
			return "no feed";
		if (motion != 0 && !(control->feed > 0))
			return "no feed";
	}
	for (int i = 0; i < AXES; i++) {
		to[i] = control->at[i];
		if (block->given['X' + i])
			to[i] = block->value['X' + i] + (control->incremental ? control->at[i] : 0);
	}
	if (is_arc(motion))
		fault = arc_fault(control, block, to);
	for (int i = 0; i < AXES; i++)
		control->at[i] = lost ? NAN : to[i];
	return fault;
}

/* The centre counts from the start; R goes the short way when it is positive, and must span the chord. */
static const char *
arc_fault(const struct control *control, const struct block *block, const double to[AXES])
{
	const int    first  = control->plane == 17 ? 0 : control->plane == 18 ? 2 : 1;
	const int    second = (first + 1) % AXES, third = (first + 2) % AXES;
	const bool   centre    = block->given['I' + first] || block->given['I' + second];
	const double tolerance = control->inch ? 0.0002 : 0.002;
	double       chord_1 = to[first] - control->at[first], chord_2 = to[second] - control->at[second], from, behind;

	if (!block->given['X' + first] && !block->given['X' + second])
		return "no axis word";
	if (block->given['I' + third])
		return "centre out of the plane";
	if (centre == block->given['R'])
		return centre ? "radius and centre" : "no centre";
	if (block->given['R']) {
		double chord = hypot(chord_1, chord_2);

		if (chord == 0)
			return "no way round";
		return chord / 2 > fabs(block->value['R']) * (1 + 1e-12) ? "radius too small" : NULL;
	}
	from   = hypot(block->value['I' + first], block->value['I' + second]);
	behind = hypot(chord_1 - block->value['I' + first], chord_2 - block->value['I' + second]);
	if (from == 0 || behind == 0)
		return "radius zero";
	return fabs(from - behind) > tolerance ? "radii differ" : NULL;
}

static bool
has_axes(const struct block *block)
{
	for (const char *letter = "ABCXYZ"; *letter; letter++)
		if (block->given[(int)*letter])
			return true;
	return false;
}

/* G10, G28, G30 and G92 are motions of their own, or none. */
static bool
takes_axes(int once)
{
	return once == 100 || once == 280 || once == 300 || once == 920;
}

static bool
is_cycle(int motion)
{
	return motion > 800;
}

static bool
is_arc(int motion)
{
	return motion == 20 || motion == 30;
}

struct sentence {
	const char *text, *fault; /* NULL: the reference interpreter takes it */
};

static const struct sentence FRAMES[] = {
	{ "%\nG21\nM30\n%\n", NULL },
	{ "%\nG21\n%\n", NULL },
	{ "%\nG21\nM30\n", NULL },
	{ "%\nG21\n", "no end" },
	{ "G21\nM2\n", NULL },
	{ "G21\nM30\n", NULL },
	{ "G21\n", "no end" },
	{ "G21\nM30\n%\n", NULL },
	{ "G21\n%\n", "bad character" },
	{ "(A)\n%\nG21\n%\n", "bad character" },
	{ "\n\n%\nG21\n%\n", NULL },
	{ "% PART\nG21\n%\n", "bad character" },
	{ " % \nG21\n % \n", NULL },
	{ "G21\nM30\nX1 X2\n", NULL },
	{ "%\nG21\nM30\nX1 X2\n%\n", NULL },
	{ "%\r\nG21\r\nM30\r\n%\r\n", NULL },
	{ "%\nG21\nM30\n%", NULL },
	{ "%\n\nG21\n\nM30\n%\n", NULL },
	{ "", "no end" },
	{ "\xEF\xBB\xBF%\nG21\n%\n", "bad character" },
};

/* Each stands alone between two % lines, with whatever it needs before it. */
static const struct sentence BLOCKS[] = {
	{ "g0 x1 y2", NULL },
	{ "G0X1Y2", NULL },
	{ "G 0 X 1 . 5", NULL },
	{ "G0\tX1", NULL },
	{ "N10 G0 X1", NULL },
	{ "N0", NULL },
	{ "N99999", NULL },
	{ "N100000", "line number too large" },
	{ "N10.5", "bad character" },
	{ "N10", NULL },
	{ "F10\nG1 N10 X1", "bad character" },
	{ "N20\nN20\nN10", NULL },
	{ "O1000", "bad character" },
	{ ":1000", "bad character" },
	{ "/ G0 X5", NULL },
	{ "/N10 G0 X5", NULL },
	{ "N10 / G0 X5", "bad character" },
	{ "/", NULL },
	{ "X1 G1 F100", NULL },
	{ "G0 X1 ; GO", "bad character" },
	{ "; GO", "bad character" },

	{ "(COMMENT)", NULL },
	{ "(\xC3\xA9T\xC3\xA9)", NULL },
	{ "G0 X1 (COMMENT)", NULL },
	{ "(COMMENT) G0 X1", NULL },
	{ "G0 X(HERE)1", "no number" },
	{ "(A) G0 X1 (B)", NULL },
	{ "(A (B) C)", "nested comment" },
	{ "(A", "comment without an end" },
	{ "A)", "no number" },
	{ "G0 X1)", "bad character" },
	{ "(MSG, TEXT)", NULL },
	{ "()", NULL },
	{ "(50 % ; [1])", NULL },

	{ "G0 X1.", NULL },
	{ "G0 X.5", NULL },
	{ "G0 X-.5 Y+1.5", NULL },
	{ "G0 X-0.0000", NULL },
	{ "G0 X1.23456789012", NULL },
	{ "G0 X001.5", NULL },
	{ "G0 X1e2", "bad character" },
	{ "G0 X1,5", "bad character" },
	{ "G0 X", "no number" },
	{ "G0 X.", "no number" },
	{ "G0 X--1", "no number" },
	{ "G0 X1.2.3", "bad character" },
	{ "G00 X1 M03", NULL },
	{ "G1.0 X1 F10 M3.0", NULL },
	{ "S1000.5", NULL },
	{ "S-100", "below zero" },
	{ "F-100", "below zero" },
	{ "F0\nG1 X1", "no feed" },
	{ "T1.5", "not whole" },
	{ "T0 M6", NULL },
	{ "T-1", "below zero" },

	{ "G0 X1 X1", "word twice" },
	{ "F1 F1", "word twice" },
	{ "S1 S1", "word twice" },
	{ "T1 T1", "word twice" },
	{ "G0 G1 X1 F10", "two of one group" },
	{ "G1 G1 X1 F10", "two of one group" },
	{ "G90 G21 G17 G40 G49 G80 G94 G54", NULL },
	{ "G80 G1 X1 F10", "two of one group" },
	{ "M3 M8", NULL },
	{ "M5 M9", NULL },
	{ "M7 M8", "two of one group" },
	{ "M3 M5", "two of one group" },
	{ "M8 M9", "two of one group" },
	{ "M6 M3 M8 M48", NULL },
	{ "M6 M3 M8 M48 M0", "too many M words" },
	{ "M0 M30", "two of one group" },
	{ "M5 M9 M30", NULL },
	{ "S1000 M3 G0 X1", NULL },
	{ "M6 T1", NULL },
	{ "M6", NULL },
	{ "X1", "axis words without motion" },
	{ "G0 X1\nG80\nX2", "axis words without motion" },
	{ "G80 X1", "axis words without motion" },
	{ "F10\nG1", "no axis word" },
	{ "G1 F100", "no axis word" },
	{ "G0", "no axis word" },
	{ "F10\nG1 X1 I1", "word without its code" },
	{ "F10\nG1 X1 R1", "word without its code" },
	{ "P1", "word without its code" },
	{ "G0 A1 B2 C3", NULL },
	{ "G0 E1", "bad character" },
	{ "G0 U1", "bad character" },
	{ "D1", "word without its code" },
	{ "L1", "word without its code" },

	{ "G43 H1", NULL },
	{ "G43 H 1", NULL },
	{ "G0 X1\nG43 Z5 H1", NULL },
	{ "G0 X1\nG80\nG43 Z5 H1", "axis words without motion" },
	{ "G0 G43 Z5 H1", NULL },
	{ "G43", "G43 without H" },
	{ "G43 H0", NULL },
	{ "H1", "word without its code" },
	{ "G43.1 Z1", "unknown code" },
	{ "G44 H1", "unknown code" },
	{ "G49", NULL },

	{ "G4 P1.5", NULL },
	{ "G4", "G4 without P" },
	{ "G4 X1 P1", "axis words without motion" },
	{ "G4 S2", "G4 without P" },
	{ "G4 P-1", "below zero" },
	{ "G10 L2 P1 X0 Y0 Z0", NULL },
	{ "G10 L1 P1 X0", "G10 without L2 and P" },
	{ "G17\nG18\nG19", NULL },
	{ "G20 G21", "two of one group" },
	{ "G28", NULL },
	{ "G91 G28 Z0\nG90", NULL },
	{ "G28 X0 Y0", NULL },
	{ "G0 G28 Z0", "two that want axis words" },
	{ "F10\nG1 G28 Z0", "two that want axis words" },
	{ "G28.1", "unknown code" },
	{ "G30 Z0", NULL },
	{ "G40", NULL },
	{ "G41 D1", NULL },
	{ "G50", "unknown code" },
	{ "G53 G0 Z0", NULL },
	{ "G0 Z1\nG53 Z0", NULL },
	{ "G0 Z1\nG80\nG53 Z0", "G53 out of place" },
	{ "F10\nG53 G1 Z0", NULL },
	{ "G91\nG53 G0 Z0", "G53 out of place" },
	{ "G53", "G53 out of place" },
	{ "G54\nG59\nG59.1\nG59.3", NULL },
	{ "G54.1 P1", "unknown code" },
	{ "G61\nG61.1\nG64", NULL },
	{ "G64 P0.01", "word without its code" },
	{ "G65", "unknown code" },
	{ "F10\nG81 X1 Y1 Z-1 R1", NULL },
	{ "G90\nG91", NULL },
	{ "G90.1", "unknown code" },
	{ "G91.1", "unknown code" },
	{ "G92 X0", NULL },
	{ "G92.1", NULL },
	{ "G92", "no axis word" },
	{ "G93\nG1 X1 F2", NULL },
	{ "F2\nG93\nG1 X1", "no feed" },
	{ "G94", NULL },
	{ "G95", "unknown code" },
	{ "G96", "unknown code" },
	{ "G98\nG99", NULL },
	{ "G5", "unknown code" },
	{ "G100", "unknown code" },
	{ "G1.1 X1", "unknown code" },

	{ "G1 X1", "no feed" },
	{ "G2 X1 I1", "no feed" },
	{ "M3", NULL },
	{ "F10\nG1 X1", NULL },
	{ "F100\nS100", NULL },
	{ "G0 X1 F10", NULL },
	{ "G21 F100\nG20\nG1 X1", NULL },

	{ "M00", NULL },
	{ "M0\nM1\nM60", NULL },
	{ "M3\nM4\nM5", NULL },
	{ "M7\nM8\nM9\nM48\nM49", NULL },
	{ "M10", "unknown code" },
	{ "M19", "unknown code" },
	{ "M98 P1", "unknown code" },
	{ "M99", "unknown code" },
	{ "M100", "unknown code" },
	{ "M-1", "unknown code" },
	{ "M3.5", "unknown code" },

	{ "G2 X5 Y5 I5 J0 F10", NULL },
	{ "G3 X5 Y5 I0 J5 F10", NULL },
	{ "G2 X5 Y5 I5 F10", NULL },
	{ "G2 X5 Y5 F10", "no centre" },
	{ "G2 X10 I5 F10", NULL },
	{ "G2 I5 J0 F10", "no axis word" },
	{ "G2 X0 Y0 I5 J0 F10", NULL },
	{ "G2 X5 Y5 I5 F10\nX10 Y0 J-5", NULL },
	{ "G2 X5 Y5 R5 F10", NULL },
	{ "G2 X5 Y5 R-5 F10", NULL },
	{ "G2 X10 Y0 R4.999 F10", "radius too small" },
	{ "G2 X10 Y0 R4.999999 F10", "radius too small" },
	{ "G2 X10 Y0 R5 F10", NULL },
	{ "G2 X0 Y0 R5 F10", "no way round" },
	{ "G2 X5 Y5 R5 I5 F10", "radius and centre" },
	{ "G21\nG2 X10.0019 Y0 I5 J0 F10", NULL },
	{ "G21\nG2 X10.0021 Y0 I5 J0 F10", "radii differ" },
	{ "G20\nG2 X10.00019 Y0 I5 J0 F10", NULL },
	{ "G20\nG2 X10.00021 Y0 I5 J0 F10", "radii differ" },
	{ "G2 X5 Y5 I0 J0 F10", "radius zero" },
	{ "G2 X5 Y5 Z1 I5 J0 F10", NULL },
	{ "G2 X5 Y5 I5 K1 F10", "centre out of the plane" },
	{ "G18\nG2 X5 Z5 I0 K5 F10", NULL },
	{ "G2 X5 Y5 I5 P2 F10", "word without its code" },
	{ "G91\nG2 X5 Y5 I5 J0 F10", NULL },
};

static void
fault_expect(const char *text, const char *expected)
{
	const char *fault = program_fault(text);

	if (fault != expected && (!fault || !expected || strcmp(fault, expected) != 0))
		fail_msg("\"%s\": %s, not %s", text, fault ? fault : "taken", expected ? expected : "taken");
}

static void
the_linter_takes_and_refuses_what_the_reference_interpreter_does(void **state)
{
	char text[256];

	(void)state;
	for (size_t i = 0; i < sizeof FRAMES / sizeof FRAMES[0]; i++)
		fault_expect(FRAMES[i].text, FRAMES[i].fault);
	for (size_t i = 0; i < sizeof BLOCKS / sizeof BLOCKS[0]; i++) {
		snprintf(text, sizeof text, "%%\n%s\n%%\n", BLOCKS[i].text);
		fault_expect(text, BLOCKS[i].fault);
	}
}

/* 253 characters and the newline; a carriage return is one of them, and a last line without a newline has one more. */
static void
the_linter_measures_lines_as_the_reference_interpreter_does(void **state)
{
	static const struct {
		int         characters;
		const char *end, *fault;
	} lines[] = {
		{ 253, "\nM2\n", NULL },   { 254, "\nM2\n", "line too long" },   { 300, "\nM2\n", "line too long" },
		{ 252, "\r\nM2\n", NULL }, { 253, "\r\nM2\n", "line too long" },
	};
	char text[512], comment[512];

	(void)state;
	memset(comment, 'A', sizeof comment);
	for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
		snprintf(text, sizeof text, "(%.*s)%s", lines[i].characters - 2, comment, lines[i].end);
		fault_expect(text, lines[i].fault);
	}
	snprintf(text, sizeof text, "M2 (%.*s)", 254 - 5, comment);
	fault_expect(text, NULL);
	snprintf(text, sizeof text, "M2 (%.*s)", 255 - 5, comment);
	fault_expect(text, "line too long");
}

static void
blocks_check(struct work *work, uint64_t seed)
{
	const char *fault = program_fault(work->text);

	if (fault)
		fail_msg("seed %llu: %s\n%s", (unsigned long long)seed, fault, work->text);
}

static void
programs_of_samples_keep_the_block_rules(void **state)
{
	(void)state;
	each_sample("rs274ngc", blocks_check);
}

static void
programs_of_random_jobs_keep_the_block_rules(void **state)
{
	(void)state;
	each_random(SEED, RANDOM_JOBS, "rs274ngc", blocks_check);
}

/* The first `from` of a good program replaced: the linter sees each. */
static void
damage_to_a_program_is_seen(void **state)
{
	static const struct {
		const char *from, *to, *fault;
	} damages[] = {
		{ "\nM30\n%\n", "\n", "no end" },
		{ "%\n(", "% PROGRAM\n(", "bad character" },
		{ "G43 H3", "G43", "G43 without H" },
		{ "G43 H3", "H3", "word without its code" },
		{ "G43 H3", "G43 H3 M3 M5", "two of one group" },
		{ "G17 ", "G17 G18 ", "two of one group" },
		{ "(TOOL", "((TOOL", "nested comment" },
		{ "HOLDING)", "HOLDING", "comment without an end" },
		{ "\nG0 ", "\n", "axis words without motion" },
		{ "\nG0 Z", "\nG0 Z0 Z", "word twice" },
		{ "\nG0 Z", "\nG0 Z--", "no number" },
		{ " F8.31", "", "no feed" },
		{ " F8.31", " F", "no number" },
		{ " F8.31", " F8.31 N1", "bad character" },
	};
	struct work work;
	char       *text = calloc(1, TEXT_ROOM);

	(void)state;
	assert_true(work_open(&work, file_read("samples/pump-foot.yaml"), "rs274ngc"));
	work_write(&work);
	fault_expect(work.text, NULL);
	for (size_t i = 0; i < sizeof damages / sizeof damages[0]; i++) {
		const char *at = strstr(work.text, damages[i].from);

		if (!at)
			fail_msg("there is no '%s' in\n%s", damages[i].from, work.text);
		snprintf(text, TEXT_ROOM, "%.*s%s%s", (int)(at - work.text), work.text, damages[i].to,
		         at + strlen(damages[i].from));
		fault_expect(text, damages[i].fault);
	}
	free(text);
	work_close(&work);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_linter_takes_and_refuses_what_the_reference_interpreter_does),
		cmocka_unit_test(the_linter_measures_lines_as_the_reference_interpreter_does),
		cmocka_unit_test(programs_of_samples_keep_the_block_rules),
		cmocka_unit_test(programs_of_random_jobs_keep_the_block_rules),
		cmocka_unit_test(damage_to_a_program_is_seen),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
