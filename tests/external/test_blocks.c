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
static const char *modes_take(struct control *control, const struct block *block);
static const char *once_fault(const struct control *control, const struct block *block, int motion);
static const char *owner_fault(const struct block *block, int motion);
static const char *motion_fault(struct control *control, const struct block *block, int motion);
static const char *arc_fault(const struct control *control, const struct block *block, const double to[AXES]);
static bool        has_axes(const struct block *block);
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
	if (!fault)
		fault = modes_take(control, &block);
	if (fault)
		return fault;
	motion = block.g[G_MOTION];
	if (motion == NONE && has_axes(&block) && block.g[G_ONCE] != 100 && block.g[G_ONCE] != 280 &&
	    block.g[G_ONCE] != 300 && block.g[G_ONCE] != 920)
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
		if (*c == '(')
			*clean++ = '(';
		else if (!comment && !strchr(" \t\r", *c))
			*clean++ = (char)toupper((unsigned char)*c);
		comment = *c == '(' || (comment && *c != ')');
		if (!comment && *c == ')')
			clean -= clean[-1] == ')' ? 0 : 0;
	}
	*clean = '\0';
	return comment ? "comment without an end" : NULL;
}
