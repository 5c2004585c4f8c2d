#include "skimcut/writer.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "skimcut/text.h"
#include "skimcut/yaml.h"

/* What the placeholders of a block stand for; 0 where the block has none. */
struct values {
	int64_t tool, speed;
};

static void        motion_write(struct writer *writer, const struct step *step, const char *word);
static unsigned    axes_to_say(const struct writer *writer, const struct step *step);
static void        motion_word_write(struct writer *writer, const char *word);
static void        axes_write(struct writer *writer, const struct point *to, unsigned axes);
static void        length_write(struct writer *writer, char letter, Length value);
static void        feed_write(struct writer *writer, Speed feed);
static void        arc_write(struct writer *writer, const struct step *step);
static void        arc_centre_write(struct writer *writer, const struct step *step);
static void        arc_radius_write(struct writer *writer, const struct step *step);
static void        arc_chords_write(struct writer *writer, const struct step *step);
static const char *arc_word(const struct writer *writer, const struct step *step);
static void        tool_write(struct writer *writer, const struct step *step);
static void        spindle_write(struct writer *writer, const struct step *step);
static void        coolant_write(struct writer *writer, const struct step *step);
static void        stop_write(struct writer *writer, const struct step *step);
static void        block_write(struct writer *writer, const struct node *block, bool numbered, struct values values);
static void        template_write(struct writer *writer, const struct node *line, bool numbered, struct values values);
static void        placeholder_write(struct writer *writer, enum placeholder placeholder, struct values values,
                                     struct place place);
static void        comment_write(struct writer *writer, const char *text);
static char        comment_letter(const struct comment_style *style, char c);
static void        forget(struct writer *writer);
static void        line_begin(struct writer *writer);
static void        line_word(struct writer *writer, const char *word);
static void        line_number(struct writer *writer, char letter, int64_t count, int decimals, int64_t whole);
static void        line_separate(struct writer *writer);
static void        line_put(struct writer *writer, const char *bytes, size_t size);
static void        line_end(struct writer *writer);
static void        line_send(struct writer *writer);
static void        refuse(struct writer *writer, const char *what, const char *instead);
static size_t      digits_print(char *out, uint64_t value, int64_t least);
static int         decimals_of(int64_t step, int64_t unit);

static const double TWO_PI = 6.28318530717958647692;

bool
writer_begin(struct writer *writer, const struct dialect *dialect, const struct heading *heading, struct text *out,
             struct diag *diag)
{
	enum units units = heading->units;

	*writer = (struct writer){
		.dialect       = dialect,
		.heading       = heading,
		.out           = out,
		.diag          = diag,
		.grid          = dialect_grid(dialect, units),
		.decimals      = decimals_of(per_units_value(&dialect->resolution, units), units_length(units)),
		.feed_decimals = decimals_of(per_units_value(&dialect->feed_resolution, units), units_length(units)),
		.whole         = per_units_value(&dialect->numerals.whole, units),
		.feed_whole    = per_units_value(&dialect->numerals.feed_whole, units),
		.number        = dialect->block_numbers.first,
	};
	if (heading->offset_wanted && !block_holds(dialect->head, "{offset}") &&
	    !block_holds(dialect->begin, "{offset}"))
		refuse(writer, "work offsets", "leave 'work_offset' out and set the machine's own zero");
	block_write(writer, dialect->head, false, (struct values){ 0 });
	for (size_t i = 0; i < heading->line_count; i++)
		comment_write(writer, heading->lines[i]);
	block_write(writer, dialect->begin, true, (struct values){ 0 });
	return !writer->refused && !out->failed;
}

bool
writer_step(struct writer *writer, const struct step *step)
{
	const struct dialect *dialect = writer->dialect;

	switch (step->kind) {
	case STEP_RAPID: motion_write(writer, step, dialect->words.rapid); break;
	case STEP_FEED: motion_write(writer, step, dialect->words.feed); break;
	case STEP_ARC: arc_write(writer, step); break;
	case STEP_TOOL: tool_write(writer, step); break;
	case STEP_SPINDLE: spindle_write(writer, step); break;
	case STEP_COOLANT: coolant_write(writer, step); break;
	case STEP_STOP: stop_write(writer, step); break;
	case STEP_NOTE: comment_write(writer, step->text); break;
	case STEP_END:
		block_write(writer, dialect->end, true, (struct values){ 0 });
		block_write(writer, dialect->tail, false, (struct values){ 0 });
		break;
	case STEP_HOME:
	case STEP_LENGTH: assert(false && "no plan makes these"); break;
	}
	return !writer->refused && !writer->out->failed;
}

/* One block; none when nothing would change. */
static void
motion_write(struct writer *writer, const struct step *step, const char *word)
{
	unsigned axes = axes_to_say(writer, step);

	if (axes == 0)
		return;
	line_begin(writer);
	motion_word_write(writer, word);
	axes_write(writer, &step->to, axes);
	if (step->kind != STEP_RAPID)
		feed_write(writer, step->feed);
	line_end(writer);
}

static unsigned
axes_to_say(const struct writer *writer, const struct step *step)
{
	unsigned same = (step->to.x == writer->at.x ? AXIS_X : 0) | (step->to.y == writer->at.y ? AXIS_Y : 0) |
	                (step->to.z == writer->at.z ? AXIS_Z : 0);

	if (writer->dialect->repeat & 1u << REPEAT_COORDINATES)
		return step->axes;
	return step->axes & ~(same & writer->known);
}

static void
motion_word_write(struct writer *writer, const char *word)
{
	if (writer->motion != word || writer->dialect->repeat & 1u << REPEAT_MOTION)
		line_word(writer, word);
	writer->motion = word;
}

static void
axes_write(struct writer *writer, const struct point *to, unsigned axes)
{
	const struct point *zero = &writer->heading->zero;

	if (axes & AXIS_X) {
		length_write(writer, 'X', to->x - zero->x);
		writer->at.x = to->x;
	}
	if (axes & AXIS_Y) {
		length_write(writer, 'Y', to->y - zero->y);
		writer->at.y = to->y;
	}
	if (axes & AXIS_Z) {
		length_write(writer, 'Z', to->z - zero->z);
		writer->at.z = to->z;
	}
	writer->known |= axes;
}

static void
length_write(struct writer *writer, char letter, Length value)
{
	assert(value % writer->grid.length == 0);
	line_number(writer, letter, value / writer->grid.length, writer->decimals, writer->whole);
}

static void
feed_write(struct writer *writer, Speed feed)
{
	if (feed == writer->feed && !(writer->dialect->repeat & 1u << REPEAT_FEED))
		return;
	assert(feed > 0 && feed % writer->grid.feed == 0);
	line_number(writer, 'F', feed / writer->grid.feed, writer->feed_decimals, writer->feed_whole);
	writer->feed = feed;
}

static void
arc_write(struct writer *writer, const struct step *step)
{
	enum arcs form = writer->dialect->arcs;

	assert((writer->known & (AXIS_X | AXIS_Y)) == (AXIS_X | AXIS_Y));
	if (form == ARCS_CENTRE)
		arc_centre_write(writer, step);
	else if (form == ARCS_RADIUS)
		arc_radius_write(writer, step);
	else
		arc_chords_write(writer, step);
}

/* X and Y always: NISTIR 6556 3.5.3 wants one of them even when a circle closes. I and J count from the arc's start. */
static void
arc_centre_write(struct writer *writer, const struct step *step)
{
	struct point from = writer->at;

	line_begin(writer);
	motion_word_write(writer, arc_word(writer, step));
	axes_write(writer, &step->to, step->axes | AXIS_X | AXIS_Y);
	length_write(writer, 'I', step->centre.x - from.x);
	length_write(writer, 'J', step->centre.y - from.y);
	feed_write(writer, step->feed);
	line_end(writer);
}

/*
 * A radius tells two arcs apart by less or more than half a circle, and half a circle badly: only less is written. The radius
 * is rounded up, since one that is short of half the chord has no arc.
 */
static void
arc_radius_write(struct writer *writer, const struct step *step)
{
	double from_x = (double)(writer->at.x - step->centre.x), from_y = (double)(writer->at.y - step->centre.y);
	double to_x = (double)(step->to.x - step->centre.x), to_y = (double)(step->to.y - step->centre.y);
	double turn   = from_x * to_y - from_y * to_x;
	Length radius = length_up((Length)ceil(sqrt(from_x * from_x + from_y * from_y)), writer->grid.length);

	if (step->clockwise ? turn >= 0 : turn <= 0) {
		refuse(writer, "half circles and more", "use a dialect with 'arcs: centre'");
		return;
	}
	line_begin(writer);
	motion_word_write(writer, arc_word(writer, step));
	axes_write(writer, &step->to, step->axes | AXIS_X | AXIS_Y);
	length_write(writer, 'R', radius);
	feed_write(writer, step->feed);
	line_end(writer);
}

/*
 * Lines between points of the circle, rounded to the grid, so short that none leaves it by more than a grid unit e:
 *     R (1 - cos(angle / 2)) <= e   for   angle = 2 acos(1 - e / R)
 */
static void
arc_chords_write(struct writer *writer, const struct step *step)
{
	const struct point from = writer->at, zero = writer->heading->zero;
	const double       grid   = (double)writer->grid.length;
	double             from_x = (double)(from.x - step->centre.x), from_y = (double)(from.y - step->centre.y);
	double             to_x = (double)(step->to.x - step->centre.x), to_y = (double)(step->to.y - step->centre.y);
	double             radius = sqrt(from_x * from_x + from_y * from_y);
	double             sweep  = atan2(from_x * to_y - from_y * to_x, from_x * to_x + from_y * to_y);
	double             start  = atan2(from_y, from_x);
	struct step        chord  = { .kind = STEP_FEED, .axes = step->axes | AXIS_X | AXIS_Y, .feed = step->feed };
	int64_t            chords;

	if (step->clockwise ? sweep >= 0 : sweep <= 0)
		sweep += step->clockwise ? -TWO_PI : TWO_PI;
	chords = radius > grid ? (int64_t)ceil(fabs(sweep) / (2 * acos(1 - grid / radius))) : 1;
	for (int64_t k = 1; k <= chords; k++) {
		double angle = start + sweep * (double)k / (double)chords;

		chord.to.x = zero.x +
		             length_near(step->centre.x - zero.x + (Length)(radius * cos(angle)), writer->grid.length);
		chord.to.y = zero.y +
		             length_near(step->centre.y - zero.y + (Length)(radius * sin(angle)), writer->grid.length);
		chord.to.z = zero.z +
		             length_near(from.z - zero.z + (step->to.z - from.z) / chords * k, writer->grid.length);
		if (k == chords)
			chord.to = step->to;
		motion_write(writer, &chord, writer->dialect->words.feed);
	}
}

static const char *
arc_word(const struct writer *writer, const struct step *step)
{
	return step->clockwise ? writer->dialect->words.arc_clockwise : writer->dialect->words.arc_counterclockwise;
}

/* The first tool may be in the spindle already; any other has to be changed to. */
static void
tool_write(struct writer *writer, const struct step *step)
{
	if (writer->dialect->tool)
		block_write(writer, writer->dialect->tool, true, (struct values){ .tool = step->tool });
	else if (writer->tools > 0)
		refuse(writer, "tool changes", "write one program for each tool");
	writer->tools++;
	forget(writer);
}

static void
spindle_write(struct writer *writer, const struct step *step)
{
	const struct spindle_blocks *spindle = &writer->dialect->spindle;
	const struct node           *block   = step->rotation == ROTATION_OFF       ? spindle->off
	                                     : step->rotation == ROTATION_CLOCKWISE ? spindle->clockwise
	                                                                            : spindle->counterclockwise;

	if (!block)
		refuse(writer, "a spindle that turns counterclockwise", "use another post");
	block_write(writer, block, true, (struct values){ .speed = step->rpm });
}

static void
coolant_write(struct writer *writer, const struct step *step)
{
	const struct coolant_blocks *coolant = &writer->dialect->coolant;

	if (step->coolant == COOLANT_FLOOD && !coolant->flood)
		refuse(writer, "flood coolant", "use 'coolant: none' and apply it by hand, or another post");
	if (step->coolant == COOLANT_MIST && !coolant->mist)
		refuse(writer, "mist coolant", "use 'coolant: none' and apply it by hand, or another post");
	block_write(writer,
	            step->coolant == COOLANT_FLOOD  ? coolant->flood
	            : step->coolant == COOLANT_MIST ? coolant->mist
	                                            : coolant->off,
	            true, (struct values){ 0 });
}

static void
stop_write(struct writer *writer, const struct step *step)
{
	if (!writer->dialect->stop)
		refuse(writer, "a stop to measure", "use 'measure: []', or another post");
	comment_write(writer, step->text);
	block_write(writer, writer->dialect->stop, true, (struct values){ 0 });
	forget(writer);
}

static void
block_write(struct writer *writer, const struct node *block, bool numbered, struct values values)
{
	if (!block)
		return;
	if (block->kind == NODE_SCALAR)
		template_write(writer, block, numbered, values);
	for (const struct entry *entry = block->entries; entry; entry = entry->next)
		template_write(writer, entry->value, numbered, values);
}

static void
template_write(struct writer *writer, const struct node *line, bool numbered, struct values values)
{
	const char *c = line->text;

	writer->length = 0;
	if (numbered)
		line_begin(writer);
	line_separate(writer);
	while (*c) {
		size_t plain = strcspn(c, "{"), length;

		line_put(writer, c, plain);
		c += plain;
		if (*c) {
			placeholder_write(writer, placeholder_find(c, &length), values, line->place);
			c += length;
		}
	}
	line_end(writer);
}

static void
placeholder_write(struct writer *writer, enum placeholder placeholder, struct values values, struct place place)
{
	const struct heading *heading = writer->heading;
	const struct words   *words   = &writer->dialect->words;
	const char           *units   = heading->units == UNITS_INCH ? words->inch : words->mm;
	char                  digits[24];

	switch (placeholder) {
	case PLACEHOLDER_UNITS: line_put(writer, units, strlen(units)); break;
	case PLACEHOLDER_OFFSET:
		line_put(writer, "G", 1);
		line_put(writer, digits, digits_print(digits, (uint64_t)heading->work_offset, 1));
		break;
	case PLACEHOLDER_NUMBER:
		if (heading->number == 0) {
			if (!writer->refused)
				diag_add(writer->diag, SEVERITY_REFUSED, place,
				         "this line needs the job's 'program: {number: ...}'");
			writer->refused = true;
		}
		line_put(writer, digits, digits_print(digits, (uint64_t)heading->number, 1));
		break;
	case PLACEHOLDER_TOOL: line_put(writer, digits, digits_print(digits, (uint64_t)values.tool, 1)); break;
	case PLACEHOLDER_SPEED: line_put(writer, digits, digits_print(digits, (uint64_t)values.speed, 1)); break;
	case PLACEHOLDERS: /* dialect_read let none through */ break;
	}
}

/* Only letters of the dialect's own list get in, and none of them ends a comment. What is too long is cut. */
static void
comment_write(struct writer *writer, const char *text)
{
	const struct comment_style *style = &writer->dialect->comment;
	int64_t room = writer->dialect->longest_block - (int64_t)strlen(style->open) - (int64_t)strlen(style->close);

	if (!style->bound.node)
		return;
	if (room > style->longest)
		room = style->longest;
	writer->length = 0;
	line_put(writer, style->open, strlen(style->open));
	for (const char *c = text; *c && room > 0; c++) {
		char letter = comment_letter(style, *c);

		if (((unsigned char)*c & 0xC0) == 0x80) /* the rest of a character that has its letter */
			continue;
		line_put(writer, &letter, 1);
		room--;
	}
	line_put(writer, style->close, strlen(style->close));
	line_send(writer);
}

static char
comment_letter(const struct comment_style *style, char c)
{
	if (style->letter_case == COMMENT_UPPER && c >= 'a' && c <= 'z')
		c = (char)(c - 'a' + 'A');
	if (strchr(style->letters, c))
		return c;
	return strchr(style->letters, '-') ? '-' : ' ';
}

static void
forget(struct writer *writer)
{
	writer->motion = NULL;
	writer->known  = 0;
	writer->feed   = 0;
}

static void
line_begin(struct writer *writer)
{
	const struct block_numbers *numbers = &writer->dialect->block_numbers;

	writer->length = 0;
	if (!numbers->bound.node)
		return;
	writer->line[0] = 'N';
	writer->length  = 1 + digits_print(writer->line + 1, (uint64_t)writer->number, numbers->digits);
	writer->number  = writer->number + numbers->step > numbers->last ? numbers->first
	                                                                 : writer->number + numbers->step;
}

static void
line_word(struct writer *writer, const char *word)
{
	line_separate(writer);
	line_put(writer, word, strlen(word));
}

/*
 * `count` units of the last decimal place, in the dialect's form: so many digits at least, zeros cut off behind as far as
 * the form allows, the point (if it has one) before the decimals.
 */
static void
line_number(struct writer *writer, char letter, int64_t count, int decimals, int64_t whole)
{
	enum numerals form    = writer->dialect->numerals.form;
	bool          pointed = form == NUMERALS_POINT && decimals > 0;
	char          digits[24], word[32];
	size_t        all, before, kept, length = 0;

	all = digits_print(digits, count < 0 ? -(uint64_t)count : (uint64_t)count,
	                   form == NUMERALS_POINT        ? decimals + 1
	                   : form == NUMERALS_NO_LEADING ? 1
	                                                 : whole + decimals);
	if ((int64_t)all > whole + decimals) {
		refuse(writer, "numbers of so many digits", "look at the zero and the units, or use another post");
		return;
	}
	before = pointed ? all - (size_t)decimals : all;
	kept   = all;
	if (pointed || form == NUMERALS_NO_TRAILING)
		while (kept > (pointed ? before + 1 : 1) && digits[kept - 1] == '0')
			kept--;
	word[length++] = letter;
	if (count < 0)
		word[length++] = '-';
	for (size_t i = 0; i < kept; i++) {
		if (i == before)
			word[length++] = '.';
		word[length++] = digits[i];
	}
	line_separate(writer);
	line_put(writer, word, length);
}

static void
line_separate(struct writer *writer)
{
	if (writer->length > 0)
		line_put(writer, writer->dialect->separator, strlen(writer->dialect->separator));
}

static void
line_put(struct writer *writer, const char *bytes, size_t size)
{
	if (size > (size_t)writer->dialect->longest_block - writer->length) {
		writer->too_long = true;
		return;
	}
	memcpy(writer->line + writer->length, bytes, size);
	writer->length += size;
}

static void
line_end(struct writer *writer)
{
	if (writer->too_long)
		refuse(writer, "a block this long",
		       "raise the dialect's longest_block if the machine allows it, or use another post");
	line_send(writer);
}

/* The line's end is not counted in its length, and has room behind the longest. */
static void
line_send(struct writer *writer)
{
	if (writer->dialect->line_end == LINE_END_CRLF)
		writer->line[writer->length++] = '\r';
	writer->line[writer->length++] = '\n';
	text_bytes(writer->out, writer->line, writer->length);
	writer->too_long = false;
}

/* Once: what follows the first refusal is worthless. */
static void
refuse(struct writer *writer, const char *what, const char *instead)
{
	if (!writer->refused)
		diag_add(writer->diag, SEVERITY_REFUSED,
		         (struct place){ .source = writer->dialect->bound.place.source },
		         "the dialect '%.40s' has no way to say %s; %s", writer->dialect->name, what, instead);
	writer->refused = true;
}

/* At least so many digits, with zeros in front. `out` holds 20 or `least`. */
static size_t
digits_print(char *out, uint64_t value, int64_t least)
{
	char   digits[24];
	size_t at = sizeof digits;

	for (; value > 0 || least > 0; least--, value /= 10)
		digits[--at] = (char)('0' + value % 10);
	memcpy(out, digits + at, sizeof digits - at);
	return sizeof digits - at;
}

static int
decimals_of(int64_t step, int64_t unit)
{
	int decimals = 0;

	for (; step < unit; step *= 10)
		decimals++;
	return decimals;
}
