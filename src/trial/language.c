#include "skimcut/language.h"

#include <string.h>

#include "skimcut/yaml.h"

static void          block_learn(struct language *language, const struct node *block);
static void          line_learn(struct language *language, const char *line);
static const char   *placeholder_learn(struct language *language, const char *at);
static const char   *word_learn(struct language *language, const char *at);
static const char   *comment_skip(const struct language *language, const char *at);
static int           tenths_of(const char *code);
static struct digits digits_of(const struct dialect *dialect, enum units units);
static int           decimals_of(int64_t step, int64_t unit);

struct language
language_of(const struct dialect *dialect, int work_offset)
{
	static const enum figures FIGURES[] = {
		[NUMERALS_POINT]       = FIGURES_POINT,
		[NUMERALS_ALL_DIGITS]  = FIGURES_ALL_DIGITS,
		[NUMERALS_NO_LEADING]  = FIGURES_NO_LEADING,
		[NUMERALS_NO_TRAILING] = FIGURES_NO_TRAILING,
	};
	const struct node *const blocks[] = {
		dialect->head,
		dialect->begin,
		dialect->tool,
		dialect->stop,
		dialect->end,
		dialect->tail,
		dialect->spindle.off,
		dialect->spindle.clockwise,
		dialect->spindle.counterclockwise,
		dialect->coolant.off,
		dialect->coolant.mist,
		dialect->coolant.flood,
		dialect->also,
	};
	struct language language = {
		.name          = dialect->name,
		.figures       = FIGURES[dialect->numerals.form],
		.bare_is_whole = dialect->numerals.bare == BARE_WHOLE,
		.mm            = digits_of(dialect, UNITS_MM),
		.inch          = digits_of(dialect, UNITS_INCH),
		.grid_mm       = dialect_grid(dialect, UNITS_MM).length,
		.grid_inch     = dialect_grid(dialect, UNITS_INCH).length,
		.g_mm          = tenths_of(dialect->words.mm),
		.g_inch        = tenths_of(dialect->words.inch),
		.longest       = (size_t)dialect->longest_block,
		.work_offset   = work_offset,
	};

	if (dialect->comment.bound.node)
		language.comment = (struct comment_marks){ dialect->comment.open, dialect->comment.close };
	line_learn(&language, "X Y Z F");
	line_learn(&language, dialect->words.rapid);
	line_learn(&language, dialect->words.feed);
	line_learn(&language, dialect->words.mm);
	line_learn(&language, dialect->words.inch);
	if (dialect->block_numbers.bound.node)
		line_learn(&language, "N");
	if (dialect->arcs != ARCS_NONE) {
		line_learn(&language, dialect->arcs == ARCS_CENTRE ? "I J" : "R");
		line_learn(&language, dialect->words.arc_clockwise);
		line_learn(&language, dialect->words.arc_counterclockwise);
	}
	for (size_t i = 0; i < sizeof blocks / sizeof blocks[0]; i++)
		block_learn(&language, blocks[i]);
	return language;
}

static void
block_learn(struct language *language, const struct node *block)
{
	if (block && block->kind == NODE_SCALAR)
		line_learn(language, block->text);
	for (const struct entry *entry = block ? block->entries : NULL; entry; entry = entry->next)
		line_learn(language, entry->value->text);
}

/* What is no word and no comment teaches nothing; the reader will say what it is. */
static void
line_learn(struct language *language, const char *line)
{
	while (*line) {
		if (*line == '{')
			line = placeholder_learn(language, line);
		else if ((*line | 0x20) >= 'a' && (*line | 0x20) <= 'z')
			line = word_learn(language, line);
		else
			line = comment_skip(language, line);
	}
}

/* The work offsets are all of them: which one is the job's is another question. */
static const char *
placeholder_learn(struct language *language, const char *at)
{
	size_t           length;
	enum placeholder placeholder = placeholder_find(at, &length);

	if (placeholder == PLACEHOLDERS)
		return at + 1;
	for (int g = 540; placeholder == PLACEHOLDER_OFFSET && g <= 590; g += 10)
		language->g[g] = 1;
	return at + length;
}

static const char *
word_learn(struct language *language, const char *at)
{
	size_t digits = strspn(at + 1, "0123456789."), count = 1 + digits;
	int    tenths = tenths_of(at);
	char   letter = (char)(*at & ~0x20);

	if (letter != 'G' && letter != 'M')
		language->letters |= 1u << (letter - 'A');
	else if (letter == 'G' && digits > 0 && tenths < 1000)
		language->g[tenths] = 1;
	else if (letter == 'M' && digits > 0 && tenths < 1000 && tenths % 10 == 0)
		language->m[tenths / 10] = 1;
	return at + count;
}

static const char *
comment_skip(const struct language *language, const char *at)
{
	const struct comment_marks *marks = &language->comment;
	const char                 *end   = NULL;

	if (*at == ';')
		return at + strlen(at);
	if (*at == '(')
		end = strchr(at, ')');
	else if (marks->open && strncmp(at, marks->open, strlen(marks->open)) == 0)
		return *marks->close && (end = strstr(at, marks->close)) ? end + strlen(marks->close) : at + strlen(at);
	return end ? end + 1 : at + 1;
}

/* G1 is 10, G59.1 is 591; what is no such code is 1000. */
static int
tenths_of(const char *code)
{
	int         whole = 0, tenths = 0;
	const char *c = code + 1;

	for (; *c >= '0' && *c <= '9'; c++)
		whole = whole < 1000 ? 10 * whole + (*c - '0') : whole;
	if (*c == '.' && c[1] >= '0' && c[1] <= '9')
		tenths = c[1] - '0';
	return whole < 100 ? 10 * whole + tenths : 1000;
}

static struct digits
digits_of(const struct dialect *dialect, enum units units)
{
	int64_t unit = units_length(units);

	return (struct digits){
		.whole         = (int)per_units_value(&dialect->numerals.whole, units),
		.decimals      = decimals_of(per_units_value(&dialect->resolution, units), unit),
		.feed_whole    = (int)per_units_value(&dialect->numerals.feed_whole, units),
		.feed_decimals = decimals_of(per_units_value(&dialect->feed_resolution, units), unit),
	};
}

/* dialect_read has seen to it that the step is a power of ten of its unit. */
static int
decimals_of(int64_t step, int64_t unit)
{
	int decimals = 0;

	for (; step < unit; step *= 10)
		decimals++;
	return decimals;
}
