#include "skimcut/dialect.h"

#include <stdlib.h>
#include <string.h>

#include "skimcut/diag.h"
#include "skimcut/yaml.h"

static const char *const PLACEHOLDER_WORDS[PLACEHOLDERS] = {
	[PLACEHOLDER_UNITS] = "{units}", [PLACEHOLDER_OFFSET] = "{offset}", [PLACEHOLDER_NUMBER] = "{number}",
	[PLACEHOLDER_TOOL] = "{tool}",   [PLACEHOLDER_SPEED] = "{speed}",
};

static const struct choice NUMERALS[] = {
	{ "point", NUMERALS_POINT, "1.5" },
	{ "all-digits", NUMERALS_ALL_DIGITS, "no point, every digit: 0015000 with 3 before and 4 behind" },
	{ "no-leading-zeros", NUMERALS_NO_LEADING, "no point: 15000" },
	{ "no-trailing-zeros", NUMERALS_NO_TRAILING, "no point: 0015" },
	{ 0 },
};

static const struct choice BARES[] = {
	{ "unclear", BARE_UNCLEAR, "one control reads 12 units, another 12 of its smallest steps" },
	{ "whole", BARE_WHOLE, "12 units" },
	{ 0 },
};

static const struct choice ARCS[] = {
	{ "centre", ARCS_CENTRE, "I and J from the arc's start" },
	{ "radius", ARCS_RADIUS, "R; half circles and more are refused" },
	{ "none", ARCS_NONE, "short lines" },
	{ 0 },
};

static const struct choice REPEATS[] = {
	{ "motion", REPEAT_MOTION, NULL },
	{ "coordinates", REPEAT_COORDINATES, NULL },
	{ "feed", REPEAT_FEED, NULL },
	{ 0 },
};

static const struct choice LINE_ENDS[] = { { "lf", LINE_END_LF, NULL }, { "crlf", LINE_END_CRLF, NULL }, { 0 } };

static const struct choice CASES[] = {
	{ "upper", COMMENT_UPPER, NULL },
	{ "as-written", COMMENT_AS_WRITTEN, NULL },
	{ 0 },
};

/* clang-format off */
static const struct field RESOLUTION_FIELDS[] = {
	{ "mm", FIELD_LENGTH, offsetof(struct per_units, mm), "1 um", "1 mm", 0, 0, "in a program in millimetres", .required = true },
	{ "inch", FIELD_LENGTH, offsetof(struct per_units, inch), "0.00001 in", "0.1 in", 0, 0, "in a program in inches",
	  .required = true },
};
static const struct mapping RESOLUTION = { "the resolution", RESOLUTION_FIELDS, 2, sizeof(struct per_units) };

static const struct field FEED_RESOLUTION_FIELDS[] = {
	{ "mm", FIELD_FEED, offsetof(struct per_units, mm), "0.001 mm/min", "1 mm/min", 0, 0, "in a program in millimetres",
	  .required = true },
	{ "inch", FIELD_FEED, offsetof(struct per_units, inch), "0.0001 in/min", "1 in/min", 0, 0, "in a program in inches",
	  .required = true },
};
static const struct mapping FEED_RESOLUTION = { "the feed's resolution", FEED_RESOLUTION_FIELDS, 2, sizeof(struct per_units) };

static const struct field WHOLE_FIELDS[] = {
	{ "mm", FIELD_COUNT, offsetof(struct per_units, mm), "1", "9", "5", 0, "in a program in millimetres" },
	{ "inch", FIELD_COUNT, offsetof(struct per_units, inch), "1", "9", "4", 0, "in a program in inches" },
};
static const struct mapping WHOLE = { "digits before the point", WHOLE_FIELDS, 2, sizeof(struct per_units) };

static const struct field NUMBER_FIELDS[] = {
	{ "form", FIELD_CHOICE, offsetof(struct number_style, form), 0, 0, "point", 0, "how a number is written", .choices = NUMERALS },
	{ "bare", FIELD_CHOICE, offsetof(struct number_style, bare), 0, 0, "unclear", 0,
	  "what X12 is in a program that is proved, where the form is with a point; unclear is refused", .choices = BARES },
	{ "whole", FIELD_MAPPING, offsetof(struct number_style, whole), 0, 0, 0, 0, "for coordinates; a larger one is refused",
	  .inner = &WHOLE },
	{ "feed_whole", FIELD_MAPPING, offsetof(struct number_style, feed_whole), 0, 0, 0, 0, "for feeds", .inner = &WHOLE },
};
static const struct mapping NUMBER = { "numerals", NUMBER_FIELDS,
	sizeof NUMBER_FIELDS / sizeof NUMBER_FIELDS[0], sizeof(struct number_style) };

static const struct field WORDS_FIELDS[] = {
	{ "rapid", FIELD_TEXT, offsetof(struct words, rapid), 0, 0, "G0", 0, "rapid motion" },
	{ "feed", FIELD_TEXT, offsetof(struct words, feed), 0, 0, "G1", 0, "motion at feed" },
	{ "arc_clockwise", FIELD_TEXT, offsetof(struct words, arc_clockwise), 0, 0, "G2", 0, "seen from above" },
	{ "arc_counterclockwise", FIELD_TEXT, offsetof(struct words, arc_counterclockwise), 0, 0, "G3", 0, "seen from above" },
	{ "mm", FIELD_TEXT, offsetof(struct words, mm), 0, 0, "G21", 0, "what {units} becomes in millimetres" },
	{ "inch", FIELD_TEXT, offsetof(struct words, inch), 0, 0, "G20", 0, "what {units} becomes in inches" },
};
static const struct mapping WORDS = { "the words", WORDS_FIELDS, sizeof WORDS_FIELDS / sizeof WORDS_FIELDS[0], sizeof(struct words) };

static const struct field BLOCK_NUMBER_FIELDS[] = {
	{ "first", FIELD_COUNT, offsetof(struct block_numbers, first), "0", "99999", "10", 0, "of the first block" },
	{ "step", FIELD_COUNT, offsetof(struct block_numbers, step), "1", "1000", "10", 0, "from block to block" },
	{ "last", FIELD_COUNT, offsetof(struct block_numbers, last), "1", "99999", "9999", 0,
	  "the largest; the next block has `first` again" },
	{ "digits", FIELD_COUNT, offsetof(struct block_numbers, digits), "1", "5", "1", 0, "at least so many, with zeros in front" },
};
static const struct mapping BLOCK_NUMBERS = { "block numbers", BLOCK_NUMBER_FIELDS,
	sizeof BLOCK_NUMBER_FIELDS / sizeof BLOCK_NUMBER_FIELDS[0], sizeof(struct block_numbers) };

static const struct field COMMENT_FIELDS[] = {
	{ "open", FIELD_TEXT, offsetof(struct comment_style, open), 0, 0, "(", 0, "what begins a comment" },
	{ "close", FIELD_TEXT, offsetof(struct comment_style, close), 0, 0, ")", 0, "what ends it; `''` for the end of the line" },
	{ "letters", FIELD_TEXT, offsetof(struct comment_style, letters), 0, 0,
	  "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 .,:+-/=", 0, "what may stand in one; anything else becomes `-`, or a blank" },
	{ "case", FIELD_CHOICE, offsetof(struct comment_style, letter_case), 0, 0, "upper", 0, "small letters", .choices = CASES },
	{ "longest", FIELD_COUNT, offsetof(struct comment_style, longest), "20", "400", "70", 0, "characters in one" },
};
static const struct mapping COMMENT = { "comments", COMMENT_FIELDS,
	sizeof COMMENT_FIELDS / sizeof COMMENT_FIELDS[0], sizeof(struct comment_style) };

static const struct field SPINDLE_FIELDS[] = {
	{ "clockwise", FIELD_LINES, offsetof(struct spindle_blocks, clockwise), 0, 0, 0, 0, "`{speed}` is filled in", .required = true },
	{ "counterclockwise", FIELD_LINES, offsetof(struct spindle_blocks, counterclockwise), 0, 0, 0, 0, "the same" },
	{ "off", FIELD_LINES, offsetof(struct spindle_blocks, off), 0, 0, 0, 0, "stops it", .required = true },
};
static const struct mapping SPINDLE = { "spindle", SPINDLE_FIELDS,
	sizeof SPINDLE_FIELDS / sizeof SPINDLE_FIELDS[0], sizeof(struct spindle_blocks) };

static const struct field COOLANT_FIELDS[] = {
	{ "mist", FIELD_LINES, offsetof(struct coolant_blocks, mist), 0, 0, 0, 0, "left out, a job with mist is refused" },
	{ "flood", FIELD_LINES, offsetof(struct coolant_blocks, flood), 0, 0, 0, 0, "the same for flood" },
	{ "off", FIELD_LINES, offsetof(struct coolant_blocks, off), 0, 0, 0, 0, "stops either", .required = true },
};
static const struct mapping COOLANT = { "coolant", COOLANT_FIELDS,
	sizeof COOLANT_FIELDS / sizeof COOLANT_FIELDS[0], sizeof(struct coolant_blocks) };

static const struct field DIALECT_FIELDS[] = {
	{ "name", FIELD_TEXT, offsetof(struct dialect, name), 0, 0, 0, 0, "what it is called", .required = true },
	{ "about", FIELD_TEXT, offsetof(struct dialect, about), 0, 0, "", 0, "one line for `skimcut list posts`" },
	{ "resolution", FIELD_MAPPING, offsetof(struct dialect, resolution), 0, 0, 0, 0, "the smallest step of a coordinate",
	  .inner = &RESOLUTION, .required = true },
	{ "feed_resolution", FIELD_MAPPING, offsetof(struct dialect, feed_resolution), 0, 0, 0, 0, "the smallest step of a feed",
	  .inner = &FEED_RESOLUTION, .required = true },
	{ "numerals", FIELD_MAPPING, offsetof(struct dialect, numerals), 0, 0, 0, 0, "how numbers look", .inner = &NUMBER },
	{ "words", FIELD_MAPPING, offsetof(struct dialect, words), 0, 0, 0, 0, "the codes of motion and units", .inner = &WORDS },
	{ "separator", FIELD_TEXT, offsetof(struct dialect, separator), 0, 0, " ", 0, "between words" },
	{ "line_end", FIELD_CHOICE, offsetof(struct dialect, line_end), 0, 0, "lf", 0, "behind every line", .choices = LINE_ENDS },
	{ "block_numbers", FIELD_MAPPING, offsetof(struct dialect, block_numbers), 0, 0, 0, 0, "N words; left out, there are none",
	  .inner = &BLOCK_NUMBERS },
	{ "repeat", FIELD_CHOICES, offsetof(struct dialect, repeat), 0, 0, 0, 0,
	  "what every motion block says again; left out, only what changes", .choices = REPEATS },
	{ "comment", FIELD_MAPPING, offsetof(struct dialect, comment), 0, 0, 0, 0, "left out, there are none", .inner = &COMMENT },
	{ "arcs", FIELD_CHOICE, offsetof(struct dialect, arcs), 0, 0, "centre", 0, "how an arc is told", .choices = ARCS },
	{ "longest_block", FIELD_COUNT, offsetof(struct dialect, longest_block), "30", "500", "80", 0,
	  "characters in a line; a longer block is refused, a longer comment cut" },
	{ "head", FIELD_LINES, offsetof(struct dialect, head), 0, 0, 0, 0, "lines before everything, never numbered" },
	{ "begin", FIELD_LINES, offsetof(struct dialect, begin), 0, 0, 0, 0,
	  "puts the machine in a known state; `{units}`, `{offset}` and `{number}` are filled in", .required = true },
	{ "tool", FIELD_LINES, offsetof(struct dialect, tool), 0, 0, 0, 0,
	  "changes the tool and takes its length, `{tool}`; left out, the tool is in the spindle when the program starts" },
	{ "spindle", FIELD_MAPPING, offsetof(struct dialect, spindle), 0, 0, 0, 0, "turns it", .inner = &SPINDLE, .required = true },
	{ "coolant", FIELD_MAPPING, offsetof(struct dialect, coolant), 0, 0, 0, 0, "left out, a job with coolant is refused",
	  .inner = &COOLANT },
	{ "stop", FIELD_LINES, offsetof(struct dialect, stop), 0, 0, 0, 0,
	  "waits for the person; left out, a job that measures is refused" },
	{ "end", FIELD_LINES, offsetof(struct dialect, end), 0, 0, 0, 0, "ends the program", .required = true },
	{ "tail", FIELD_LINES, offsetof(struct dialect, tail), 0, 0, 0, 0, "lines after everything, never numbered" },
	{ "also", FIELD_LINES, offsetof(struct dialect, also), 0, 0, 0, 0,
	  "more words that a program may hold to be proved: `N O G91`; skimcut writes none of them" },
};
static const struct mapping DIALECT = { "the dialect", DIALECT_FIELDS,
	sizeof DIALECT_FIELDS / sizeof DIALECT_FIELDS[0], sizeof(struct dialect) };
/* clang-format on */

static void resolution_check(const struct per_units *pair, struct diag *diag);
static void step_check(const struct per_units *pair, const char *key, int64_t step, int64_t unit, struct diag *diag);
static void comment_check(const struct comment_style *comment, struct diag *diag);
static void templates_check(const struct dialect *dialect, struct diag *diag);
static void template_check(const struct node *block, unsigned allowed, struct diag *diag);
static void line_check(const struct node *line, unsigned allowed, struct diag *diag);
static void words_check(const struct dialect *dialect, struct diag *diag);
static void code_check(const struct bound *bound, const char *key, const char *word, struct diag *diag);
static void units_check(const struct words *words, struct diag *diag);
static bool is_code(const char *word, int number);
static void mark_check(const struct bound *bound, const char *key, const char *mark, struct diag *diag);

static const char DIGITS[] = "0123456789";

bool
dialect_read(struct source *source, struct arena *arena, struct dialect *dialect, struct diag *diag)
{
	const struct node *root = yaml_parse(source, arena, diag);

	*dialect = (struct dialect){ 0 };
	if (!root)
		return false;
	source->units = UNITS_NONE;
	if (!schema_bind(&DIALECT, root, root->place, UNITS_NONE, dialect, arena, diag) || diag->errors > 0)
		return false;
	resolution_check(&dialect->resolution, diag);
	resolution_check(&dialect->feed_resolution, diag);
	if (dialect->comment.bound.node)
		comment_check(&dialect->comment, diag);
	templates_check(dialect, diag);
	words_check(dialect, diag);
	return diag->errors == 0 && !diag->no_memory;
}

struct grid
dialect_grid(const struct dialect *dialect, enum units units)
{
	return (struct grid){ per_units_value(&dialect->resolution, units),
		              per_units_value(&dialect->feed_resolution, units) };
}

int64_t
per_units_value(const struct per_units *pair, enum units units)
{
	return units == UNITS_INCH ? pair->inch : pair->mm;
}

const struct mapping *
dialect_mapping(void)
{
	return &DIALECT;
}

bool
block_holds(const struct node *block, const char *placeholder)
{
	bool found = block && block->kind == NODE_SCALAR && strstr(block->text, placeholder);

	for (const struct entry *entry = block ? block->entries : NULL; entry; entry = entry->next)
		found |= entry->value->kind == NODE_SCALAR && strstr(entry->value->text, placeholder) != NULL;
	return found;
}

enum placeholder
placeholder_find(const char *at, size_t *length)
{
	for (int i = 0; i < PLACEHOLDERS; i++) {
		*length = strlen(PLACEHOLDER_WORDS[i]);
		if (strncmp(at, PLACEHOLDER_WORDS[i], *length) == 0)
			return (enum placeholder)i;
	}
	return PLACEHOLDERS;
}

static void
resolution_check(const struct per_units *pair, struct diag *diag)
{
	step_check(pair, "mm", pair->mm, LENGTH_MM, diag);
	step_check(pair, "inch", pair->inch, LENGTH_INCH, diag);
}

static void
step_check(const struct per_units *pair, const char *key, int64_t step, int64_t unit, struct diag *diag)
{
	while (step > 0 && step < unit)
		step *= 10;
	if (step != unit)
		diag_add(diag, SEVERITY_ERROR, schema_place(&pair->bound, key),
		         "a resolution is 1, 0.1, 0.01 and so on of its unit");
}

static void
comment_check(const struct comment_style *comment, struct diag *diag)
{
	if (comment->open[0] == '\0')
		diag_add(diag, SEVERITY_ERROR, schema_place(&comment->bound, "open"),
		         "a comment begins with something");
	mark_check(&comment->bound, "open", comment->open, diag);
	mark_check(&comment->bound, "close", comment->close, diag);
	if (!strpbrk(comment->letters, "- "))
		diag_add(diag, SEVERITY_ERROR, schema_place(&comment->bound, "letters"),
		         "a comment's letters have '-' or a blank among them, for what is not");
	for (const char *c = comment->letters; *c; c++)
		if (*c < ' ' || *c > '~' || (*c != ' ' && strchr(comment->open, *c)) || strchr(comment->close, *c)) {
			diag_add(diag, SEVERITY_ERROR, schema_place(&comment->bound, "letters"),
			         "a comment's letters are printable ASCII, and none that begins or ends a comment");
			return;
		}
}

static void
templates_check(const struct dialect *dialect, struct diag *diag)
{
	const unsigned frame = 1u << PLACEHOLDER_UNITS | 1u << PLACEHOLDER_OFFSET | 1u << PLACEHOLDER_NUMBER;

	template_check(dialect->head, frame, diag);
	template_check(dialect->begin, frame, diag);
	template_check(dialect->tool, 1u << PLACEHOLDER_TOOL, diag);
	template_check(dialect->spindle.clockwise, 1u << PLACEHOLDER_SPEED, diag);
	template_check(dialect->spindle.counterclockwise, 1u << PLACEHOLDER_SPEED, diag);
	template_check(dialect->spindle.off, 0, diag);
	template_check(dialect->coolant.mist, 0, diag);
	template_check(dialect->coolant.flood, 0, diag);
	template_check(dialect->coolant.off, 0, diag);
	template_check(dialect->stop, 0, diag);
	template_check(dialect->end, frame, diag);
	template_check(dialect->tail, frame, diag);
	template_check(dialect->also, 0, diag);
	if (!block_holds(dialect->head, "{units}") && !block_holds(dialect->begin, "{units}"))
		diag_add(diag, SEVERITY_ERROR, schema_place(&dialect->bound, "begin"),
		         "neither head nor begin says {units}: an inch would be read as a millimetre");
}

static void
template_check(const struct node *block, unsigned allowed, struct diag *diag)
{
	if (!block)
		return;
	if (block->kind == NODE_SCALAR)
		line_check(block, allowed, diag);
	else if (!block->entries)
		diag_add(diag, SEVERITY_ERROR, block->place, "an empty block says nothing; leave the key out instead");
	for (const struct entry *entry = block->entries; entry; entry = entry->next)
		line_check(entry->value, allowed, diag);
}

static void
line_check(const struct node *line, unsigned allowed, struct diag *diag)
{
	if (line->text[0] == '\0')
		diag_add(diag, SEVERITY_ERROR, line->place, "an empty line says nothing");
	for (const char *c = line->text; *c; c++) {
		enum placeholder placeholder;
		size_t           length;

		if (*c < ' ' || *c > '~') {
			diag_add(diag, SEVERITY_ERROR, line->place, "a block is printable ASCII");
			return;
		}
		if (*c != '{')
			continue;
		placeholder = placeholder_find(c, &length);
		if (placeholder == PLACEHOLDERS || !(allowed & 1u << placeholder)) {
			diag_add(diag, SEVERITY_ERROR, line->place, "'%.*s' is nothing that this block can fill in",
			         (int)strcspn(c, "}") + (strchr(c, '}') != NULL), c);
			return;
		}
		c += length - 1;
	}
}

static void
words_check(const struct dialect *dialect, struct diag *diag)
{
	const struct words *words = &dialect->words;

	code_check(&words->bound, "rapid", words->rapid, diag);
	code_check(&words->bound, "feed", words->feed, diag);
	code_check(&words->bound, "mm", words->mm, diag);
	code_check(&words->bound, "inch", words->inch, diag);
	units_check(words, diag);
	if (dialect->arcs != ARCS_NONE) {
		code_check(&words->bound, "arc_clockwise", words->arc_clockwise, diag);
		code_check(&words->bound, "arc_counterclockwise", words->arc_counterclockwise, diag);
	}
	if (strspn(dialect->separator, " ") != strlen(dialect->separator) || strlen(dialect->separator) > 8)
		diag_add(diag, SEVERITY_ERROR, schema_place(&dialect->bound, "separator"),
		         "words are separated by blanks, at most 8, or by nothing");
	if (dialect->block_numbers.last < dialect->block_numbers.first)
		diag_add(diag, SEVERITY_ERROR, schema_place(&dialect->block_numbers.bound, "last"),
		         "the last block number is below the first");
}

/* A letter and a number: G1, G01, G59.1. */
static void
code_check(const struct bound *bound, const char *key, const char *word, struct diag *diag)
{
	size_t whole = word[0] >= 'A' && word[0] <= 'Z' ? strspn(word + 1, DIGITS) : 0;
	size_t part  = whole > 0 && word[1 + whole] == '.' ? 1 + strspn(word + 2 + whole, DIGITS) : 0;

	if (whole == 0 || part == 1 || whole + part > 6 || word[1 + whole + part] != '\0')
		diag_add(diag, SEVERITY_ERROR, schema_place(bound, key), "'%s' is a code like G1", key);
}

/* The codes that the standards give one meaning cannot have the other. */
static void
units_check(const struct words *words, struct diag *diag)
{
	if (is_code(words->mm, 20) || is_code(words->mm, 70))
		diag_add(diag, SEVERITY_ERROR, schema_place(&words->bound, "mm"), "%s means inches", words->mm);
	if (is_code(words->inch, 21) || is_code(words->inch, 71))
		diag_add(diag, SEVERITY_ERROR, schema_place(&words->bound, "inch"), "%s means millimetres",
		         words->inch);
	if (strcmp(words->mm, words->inch) == 0)
		diag_add(diag, SEVERITY_ERROR, words->bound.place, "inches and millimetres have the same word");
}

static bool
is_code(const char *word, int number)
{
	return word[0] == 'G' && strtol(word + 1, NULL, 10) == number && !strchr(word, '.');
}

static void
mark_check(const struct bound *bound, const char *key, const char *mark, struct diag *diag)
{
	bool printable = true;

	for (const char *c = mark; *c; c++)
		printable &= *c >= ' ' && *c <= '~';
	if (!printable || strlen(mark) > 8)
		diag_add(diag, SEVERITY_ERROR, schema_place(bound, key),
		         "'%s' is at most 8 characters of printable ASCII", key);
}
