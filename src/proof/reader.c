#include "skimcut/reader.h"

#include <assert.h>
#include <string.h>

#include "skimcut/arc.h"

#define BIT(letter) (1u << ((letter) - 'A'))

enum {
	G_RAPID         = 0,
	G_LINE          = 10,
	G_CLOCKWISE     = 20,
	G_DWELL         = 40,
	G_LENGTH        = 430,
	G_MACHINE       = 530,
	G_NO_MOTION     = 800,
	G_INCREMENTAL   = 910,
	M_OPTIONAL_STOP = 1,
	M_END           = 2,
	M_END_REWIND    = 30,
	NONE            = -1,
	AXES            = AXIS_X | AXIS_Y | AXIS_Z,
	RPM_MAX         = 1000000,
	NUMBER_MAX      = 999999999, /* of a tool or a length */
};

static const unsigned AXIS_WORDS = BIT('X') | BIT('Y') | BIT('Z'), ARC_WORDS = BIT('I') | BIT('J') | BIT('R'),
		      VALUE_WORDS = BIT('F') | BIT('S') | BIT('T');
static const char LETTERS[]       = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz";

static bool         line_take(struct reader *reader);
static bool         line_read(struct reader *reader, const char *line, size_t length, bool last);
static bool         breaks_off(const char *line, size_t length, size_t column);
static bool         ends_program(const struct block *block);
static bool         line_refuse(struct reader *reader, const char *line, size_t length);
static bool         end_refuse(struct reader *reader, size_t column);
static bool         refuse(struct reader *reader);
static bool         percent_take(struct reader *reader, size_t column);
static bool         block_obey(struct reader *reader, const struct block *block);
static bool         modes_take(struct reader *reader, const struct orders *orders);
static bool         values_take(struct reader *reader, const struct block *block);
static bool         switches_take(struct reader *reader, const struct block *block, const struct orders *orders);
static void         spindle_take(struct reader *reader, enum rotation rotation);
static bool         tool_length_take(struct reader *reader, const struct block *block, const struct orders *orders);
static bool         motion_take(struct reader *reader, const struct block *block, const struct orders *orders);
static bool         dwell_check(struct reader *reader, const struct block *block, const struct number *word);
static bool         home_take(struct reader *reader, const struct block *block, const struct orders *orders);
static bool         machine_take(struct reader *reader, const struct block *block, const struct number *word);
static void         home_push(struct reader *reader, unsigned axes, bool others);
static bool         move_take(struct reader *reader, const struct block *block, int motion, unsigned axes);
static bool         target_read(struct reader *reader, const struct block *block, unsigned axes, struct point *to);
static bool         coordinate_read(struct reader *reader, const struct block *block, char letter, Length *value);
static void         forget(struct reader *reader, unsigned axes);
static Length      *along(struct point *point, unsigned axis);
static char         axis_letter(unsigned axis);
static unsigned     axes_told(const struct block *block);
static struct step *push(struct reader *reader, enum step_kind kind);

void
reader_begin(struct reader *reader, const struct language *language, struct point zero)
{
	memset(reader, 0, sizeof *reader);
	reader->language    = language;
	reader->zero        = zero;
	reader->motion      = NONE;
	reader->lines.limit = language->longest < LINE_MAX_LENGTH ? language->longest : LINE_MAX_LENGTH;
}

/* Behind a fault nothing more is read. */
void
reader_feed(struct reader *reader, const char *bytes, size_t size)
{
	reader->bytes += size;
	if (!reader->refused)
		lines_feed(&reader->lines, bytes, size);
}

void
reader_end(struct reader *reader)
{
	reader->lines.ending = true;
}

bool
reader_next(struct reader *reader, struct step *step)
{
	while (reader->head == reader->count) {
		reader->head = reader->count = 0;
		if (reader->refused || !line_take(reader))
			return false;
	}
	*step = reader->queue[reader->head++];
	return true;
}

/* False: there is no other, or it is refused. */
static bool
line_take(struct reader *reader)
{
	enum line_state state;
	const char     *line;
	size_t          length;

	state = lines_next(&reader->lines, &line, &length);
	if (state == LINE_WHOLE || state == LINE_LAST)
		return line_read(reader, line, length, state == LINE_LAST);
	if (state == LINE_TOO_LONG)
		return line_refuse(reader, line, length);
	return reader->lines.ending && !reader->ended && end_refuse(reader, 1);
}

/* Of a last line without its end nobody knows what is missing: it is not obeyed, unless it ends the program. */
static bool
line_read(struct reader *reader, const char *line, size_t length, bool last)
{
	struct block block;
	bool         read;

	reader->line++;
	if (!block_split(line, length, &reader->language->comment, &block, &reader->fault))
		return last && !reader->ended && breaks_off(line, length, reader->fault.column)
		         ? end_refuse(reader, reader->fault.column)
		         : refuse(reader);
	if (last && !reader->ended && !ends_program(&block))
		return end_refuse(reader, 1);
	reader->deleted += block.deleted;
	if (block.percent)
		read = percent_take(reader, (size_t)((const char *)memchr(line, '%', length) - line) + 1);
	else
		read = block.empty || block_obey(reader, &block);
	return read || refuse(reader);
}

/* Is the fault in the last word, of which there is a letter only, with a sign or a point perhaps? */
static bool
breaks_off(const char *line, size_t length, size_t column)
{
	while (length > 0 && strchr(" \t+-.", line[length - 1]))
		length--;
	return length > 0 && column == length && strchr(LETTERS, line[length - 1]);
}

static bool
ends_program(const struct block *block)
{
	for (size_t i = 0; i < block->m_count; i++)
		if (block->m[i].fraction == 0 && (block->m[i].whole == M_END || block->m[i].whole == M_END_REWIND))
			return true;
	return false;
}

/* Too long; but what is no text at all is told as that. */
static bool
line_refuse(struct reader *reader, const char *line, size_t length)
{
	struct block block;

	reader->line++;
	for (size_t i = 0; i < length; i++)
		if ((unsigned char)line[i] < ' ' && line[i] != '\t' &&
		    !block_split(line, length, &reader->language->comment, &block, &reader->fault))
			return refuse(reader);
	fault_say(&reader->fault, length + 1, "the line is longer than %zu characters", length);
	return refuse(reader);
}

static bool
end_refuse(struct reader *reader, size_t column)
{
	fault_say(&reader->fault, column, "the program has no end: M2 or M30");
	return refuse(reader);
}

/* A block is obeyed whole or not at all. */
static bool
refuse(struct reader *reader)
{
	reader->refused    = true;
	reader->fault.line = reader->line > 0 ? reader->line : 1;
	reader->head = reader->count = 0;
	return false;
}

static bool
percent_take(struct reader *reader, size_t column)
{
	const bool opens = !reader->begun && !reader->framed, closes = reader->ended && !reader->closed;

	if (!opens && !closes)
		return fault_say(&reader->fault, column,
		                 reader->begun && !reader->ended ? "the program has no end before its %%: M2 or M30"
		                                                 : "a %% stands here for the second time");
	*(opens ? &reader->framed : &reader->closed) = true;
	return true;
}

/* In the order of NISTIR 6556, table 8, save that what the words mean is settled first. */
static bool
block_obey(struct reader *reader, const struct block *block)
{
	struct orders orders;

	reader->begun = true;
	if (reader->ended)
		return block_fault(&reader->fault, block, ~0u, "a block stands behind the program's end");
	if (!orders_gather(reader->language, block, reader->motion, &orders, &reader->fault))
		return false;
	reader->told |= reader->moved ? 0 : orders.told;
	if (orders.told && !modes_take(reader, &orders))
		return false;
	if (block->present & VALUE_WORDS && !values_take(reader, block))
		return false;
	if (!switches_take(reader, block, &orders) || !motion_take(reader, block, &orders))
		return false;
	if (orders_have(&orders, GROUP_STOP)) {
		const int code = orders.codes[GROUP_STOP];

		reader->ended                                                = code == M_END || code == M_END_REWIND;
		push(reader, reader->ended ? STEP_END : STEP_STOP)->optional = code == M_OPTIONAL_STOP;
		reader->known                                                = 0; /* a hand may have moved it */
	}
	return true;
}

/* What gives the other words of the block their meaning. */
static bool
modes_take(struct reader *reader, const struct orders *orders)
{
	const struct language *language = reader->language;

	if (orders_have(orders, GROUP_UNITS)) {
		enum units units;

		if (!units_read(language, orders->words[GROUP_UNITS], orders->codes[GROUP_UNITS], &units,
		                &reader->fault))
			return false;
		if (units != reader->units)
			reader->feed = 0;
		reader->units = units;
	}
	if (orders_have(orders, GROUP_DISTANCE))
		reader->incremental = orders->codes[GROUP_DISTANCE] == G_INCREMENTAL;
	if (orders_have(orders, GROUP_OFFSET)) {
		if (orders->codes[GROUP_OFFSET] != 10 * language->work_offset)
			return word_fault(&reader->fault, 'G', orders->words[GROUP_OFFSET],
			                  "is another zero than the job's, G%d", language->work_offset);
		reader->offset_told = true;
	}
	return true;
}

static bool
values_take(struct reader *reader, const struct block *block)
{
	const struct number *feed = block_word(block, 'F'), *rpm = block_word(block, 'S'),
			    *tool = block_word(block, 'T');

	reader->tool_told |= tool != NULL;
	return (!feed || feed_read(reader->language, reader->units, feed, &reader->feed, &reader->fault)) &&
	       (!rpm || whole_read('S', rpm, RPM_MAX, &reader->rpm, &reader->fault)) &&
	       (!tool || whole_read('T', tool, NUMBER_MAX, &reader->tool, &reader->fault));
}

/* After a change of tools the spindle has stopped (NISTIR 6556, 3.6.3): S alone does not start it again. */
static bool
switches_take(struct reader *reader, const struct block *block, const struct orders *orders)
{
	static const enum rotation ROTATIONS[] = {
		[3] = ROTATION_CLOCKWISE, [4] = ROTATION_COUNTERCLOCKWISE, [5] = ROTATION_OFF
	};
	static const enum coolant COOLANTS[] = { [7] = COOLANT_MIST, [8] = COOLANT_FLOOD, [9] = COOLANT_NONE };

	if (orders_have(orders, GROUP_TOOL)) {
		if (!reader->tool_told)
			return word_fault(&reader->fault, 'M', orders->words[GROUP_TOOL],
			                  "changes to no tool: T was never told");
		push(reader, STEP_TOOL)->tool = reader->tool;
		reader->known                 = 0;
		reader->rotation              = ROTATION_OFF;
	}
	if (orders_have(orders, GROUP_SPINDLE))
		spindle_take(reader, ROTATIONS[orders->codes[GROUP_SPINDLE]]);
	else if (block->present & BIT('S') && reader->rotation != ROTATION_OFF)
		spindle_take(reader, reader->rotation);
	if (orders_have(orders, GROUP_COOLANT))
		push(reader, STEP_COOLANT)->coolant = COOLANTS[orders->codes[GROUP_COOLANT]];
	return !orders_have(orders, GROUP_LENGTH) || tool_length_take(reader, block, orders);
}

static void
spindle_take(struct reader *reader, enum rotation rotation)
{
	struct step *step = push(reader, STEP_SPINDLE);

	step->rotation   = rotation;
	step->rpm        = rotation == ROTATION_OFF ? 0 : reader->rpm;
	reader->rotation = rotation;
}

/* Where the cutter's lowest face stands is known again when Z is told. */
static bool
tool_length_take(struct reader *reader, const struct block *block, const struct orders *orders)
{
	const bool           on     = orders->codes[GROUP_LENGTH] == G_LENGTH;
	const struct number *number = block_word(block, 'H');
	int64_t              length = 0;

	if (on && !number)
		return word_fault(&reader->fault, 'G', orders->words[GROUP_LENGTH], "needs H, the number of a length");
	if (on && !whole_read('H', number, NUMBER_MAX, &length, &reader->fault))
		return false;
	if (on || reader->length != 0) {
		push(reader, STEP_LENGTH)->tool = length;
		forget(reader, AXIS_Z);
	}
	reader->length = length;
	return true;
}

static bool
motion_take(struct reader *reader, const struct block *block, const struct orders *orders)
{
	const unsigned axes = axes_told(block);
	const bool     told = orders_have(orders, GROUP_MOTION);

	if (told)
		reader->motion = orders->codes[GROUP_MOTION] == G_NO_MOTION ? NONE : orders->codes[GROUP_MOTION];
	if (orders_have(orders, GROUP_ONCE) && orders->codes[GROUP_ONCE] == G_MACHINE)
		return machine_take(reader, block, orders->words[GROUP_ONCE]);
	if (orders_have(orders, GROUP_ONCE) && orders->codes[GROUP_ONCE] != G_DWELL)
		return home_take(reader, block, orders);
	if (orders_have(orders, GROUP_ONCE) && !dwell_check(reader, block, orders->words[GROUP_ONCE]))
		return false;
	if (axes == 0 && told && reader->motion != NONE)
		return word_fault(&reader->fault, 'G', orders->words[GROUP_MOTION], "tells no X, Y or Z to go to");
	if (axes == 0)
		return !(block->present & ARC_WORDS) || block_fault(&reader->fault, block, ARC_WORDS, ARC_WITHOUT_END);
	if (reader->motion == NONE)
		return block_fault(&reader->fault, block, AXIS_WORDS,
		                   told ? "G80 ends all motion, and X, Y or Z stand beside it"
		                        : "X, Y or Z stand without a motion: no G0, G1, G2 or G3 is in force");
	return move_take(reader, block, reader->motion, axes);
}

static bool
dwell_check(struct reader *reader, const struct block *block, const struct number *word)
{
	const struct number *time = block_word(block, 'P');

	if (!time)
		return word_fault(&reader->fault, 'G', word, "needs P, the time to wait");
	if (time->negative)
		return word_fault(&reader->fault, 'P', time, "is no time to wait");
	return !(block->present & AXIS_WORDS) ||
	       block_fault(&reader->fault, block, AXIS_WORDS,
	                   "G4 waits and does not move: put X, Y and Z into another block");
}

/* By way of a point, on the axes that are told; an axis that stands there already does not move to it. */
static bool
home_take(struct reader *reader, const struct block *block, const struct orders *orders)
{
	const unsigned axes  = axes_told(block);
	unsigned       away  = axes;
	Length         value = 0;

	if (orders_have(orders, GROUP_MOTION) && reader->motion != NONE)
		return word_fault(&reader->fault, 'G', orders->words[GROUP_MOTION], "and %s both want X, Y and Z",
		                  word_show('G', orders->words[GROUP_ONCE]).text);
	for (unsigned axis = AXIS_X; axis <= AXIS_Z; axis <<= 1) {
		if (axes & axis && !coordinate_read(reader, block, axis_letter(axis), &value))
			return false;
		if (reader->incremental
		        ? value == 0
		        : reader->known & axis && value + *along(&reader->zero, axis) == *along(&reader->at, axis))
			away &= ~axis;
	}
	if (away != 0 && !move_take(reader, block, G_RAPID, away))
		return false;
	home_push(reader, axes != 0 ? axes : AXES, true);
	return true;
}

/* Where the machine's zero lies is not known, save that Z0 is its top. */
static bool
machine_take(struct reader *reader, const struct block *block, const struct number *word)
{
	const unsigned axes  = axes_told(block);
	Length         value = 0;

	if (axes == 0)
		return word_fault(&reader->fault, 'G', word, "tells no X, Y or Z to go to");
	if (reader->motion != G_RAPID || reader->incremental)
		return word_fault(&reader->fault, 'G', word, "is read with G0 and G90 only");
	for (unsigned axis = AXIS_X; axis <= AXIS_Z; axis <<= 1)
		if (axes & axis && !coordinate_read(reader, block, axis_letter(axis), &value))
			return false;
	if (axes & AXIS_Z && value != 0)
		return word_fault(&reader->fault, 'Z', block_word(block, 'Z'),
		                  "of the machine is a height that nobody knows here; only Z0, its top, is read");
	home_push(reader, axes, false);
	return true;
}

/* `others`: some machines send every axis home (NISTIR 6556, 3.5.8), some only those that are told. */
static void
home_push(struct reader *reader, unsigned axes, bool others)
{
	struct step *step = push(reader, STEP_HOME);

	step->axes     = axes;
	step->optional = others;
	forget(reader, others ? AXES : axes);
}

static bool
move_take(struct reader *reader, const struct block *block, int motion, unsigned axes)
{
	struct step *step = push(reader, motion == G_RAPID ? STEP_RAPID : motion == G_LINE ? STEP_FEED : STEP_ARC);

	if (!target_read(reader, block, axes, &step->to))
		return false;
	if (reader->language->work_offset != 54 && !reader->offset_told)
		return fault_say(&reader->fault, block_word(block, block_first(block, AXIS_WORDS))->column,
		                 "the program moves before it has told the job's zero, G%d",
		                 reader->language->work_offset);
	reader->moved   = true;
	step->axes      = axes;
	step->feed      = motion == G_RAPID ? 0 : reader->feed;
	step->clockwise = motion == G_CLOCKWISE;
	if (step->kind == STEP_ARC && ~reader->known & (AXIS_X | AXIS_Y))
		return block_fault(&reader->fault, block, AXIS_WORDS, "an arc begins where X and Y are not known");
	if (step->kind == STEP_ARC &&
	    !arc_read(reader->language, reader->units, block, reader->at, step, &reader->fault))
		return false;
	reader->at = step->to;
	reader->known |= step->axes;
	return true;
}

/* Axes that are not told stay where they are, at 0 when nobody knows. */
static bool
target_read(struct reader *reader, const struct block *block, unsigned axes, struct point *to)
{
	*to = reader->at;
	for (unsigned axis = AXIS_X; axis <= AXIS_Z; axis <<= 1) {
		const char letter = axis_letter(axis);
		Length    *value = along(to, axis), from = *value;

		if (!(axes & axis))
			continue;
		if (!coordinate_read(reader, block, letter, value))
			return false;
		if (reader->incremental && !(reader->known & axis))
			return word_fault(
			    &reader->fault, letter, block_word(block, letter),
			    "counts from where the axis stands, which is not known; tell it once with G90");
		*value += reader->incremental ? from : *along(&reader->zero, axis);
		if (*value > LENGTH_MAX || *value < -LENGTH_MAX)
			return word_fault(&reader->fault, letter, block_word(block, letter), "leads farther than 10 m");
	}
	return true;
}

static inline bool
coordinate_read(struct reader *reader, const struct block *block, char letter, Length *value)
{
	return length_read(reader->language, reader->units, letter, &block->words[letter - 'A'], value, &reader->fault);
}

static void
forget(struct reader *reader, unsigned axes)
{
	reader->known &= ~axes;
	for (unsigned axis = AXIS_X; axis <= AXIS_Z; axis <<= 1)
		if (axes & axis)
			*along(&reader->at, axis) = 0;
}

static inline Length *
along(struct point *point, unsigned axis)
{
	return axis == AXIS_X ? &point->x : axis == AXIS_Y ? &point->y : &point->z;
}

static inline char
axis_letter(unsigned axis)
{
	return "XYZ"[axis >> 1];
}

static unsigned
axes_told(const struct block *block)
{
	return (block->present & BIT('X') ? AXIS_X : 0u) | (block->present & BIT('Y') ? AXIS_Y : 0u) |
	       (block->present & BIT('Z') ? AXIS_Z : 0u);
}

static inline struct step *
push(struct reader *reader, enum step_kind kind)
{
	assert(reader->count < READER_QUEUE);
	reader->queue[reader->count] = (struct step){ .kind = kind, .text = "" };
	return &reader->queue[reader->count++];
}
