#include "skimcut/block.h"

#include <assert.h>
#include <stdarg.h>
#include <string.h>

#include "skimcut/text.h"

enum { NUMBER_DIGITS = 15, QUOTE_MAX = 24 };

/* A line, and how far it is read. */
struct cursor {
	const char   *line, *next, *stop;
	const char   *word; /* the letter of the last word, for messages; NULL: none since a comment */
	struct fault *fault;
};

static bool head_take(struct cursor *cursor, const struct comment_marks *own, struct block *block);
static const struct comment_marks *comment_at(const struct cursor *cursor, const struct comment_marks *own);
static bool                        word_take(struct cursor *cursor, struct block *block);
static bool                        number_take(struct cursor *cursor, struct number *number);
static const char                 *digits_take(const char *c, const char *stop, int64_t *value, int *count);
static bool                        number_fault(struct cursor *cursor, int digits, int decimals);
static bool                        comment_skip(struct cursor *cursor, const struct comment_marks *marks);
static bool                        character_fault(struct cursor *cursor);
static bool                        fault_at(struct cursor *cursor, const char *at, const char *what);
static const char                 *blanks_skip(const char *c, const char *stop);
static bool                        begins(const char *c, const char *stop, const char *with);
static bool                        is_blank(char c);
static bool                        is_letter(char c);
static bool                        is_control(char c);

static const struct comment_marks PARENTHESES = { "(", ")" }, SEMICOLON = { ";", "" };

/* What stands where no word begins and no number goes on. */
static const char *const MISPLACED[128] = {
	['.'] = "a number has one point, and a letter before it",
	[','] = "a comma is no decimal point; write a point",
	['+'] = "a sign stands once, between a letter and its number",
	['-'] = "a sign stands once, between a letter and its number",
	['/'] = "a / stands only at the start of a block",
	['%'] = "a % stands alone on its line",
	[')'] = "a ) has no ( before it",
	[':'] = "a number behind a colon is not read; write N or O",
	['#'] = "parameters are not read; write the number itself",
	['='] = "parameters and expressions are not read; write the number itself",
	['['] = "expressions are not read; write the number itself",
	[']'] = "expressions are not read; write the number itself",
	['<'] = "named parameters are not read; write the number itself",
	['>'] = "named parameters are not read; write the number itself",
	['*'] = "checksums and expressions are not read",
};

static const int64_t POWERS_OF_TEN[NUMBER_DIGITS + 1] = {
	1,
	10,
	100,
	1000,
	10000,
	100000,
	1000000,
	10000000,
	100000000,
	1000000000,
	10000000000,
	100000000000,
	1000000000000,
	10000000000000,
	100000000000000,
	1000000000000000,
};

bool
block_split(const char *line, size_t length, const struct comment_marks *marks, struct block *block,
            struct fault *fault)
{
	struct cursor               cursor = { .line = line, .stop = line + length, .fault = fault };
	const struct comment_marks *own    = marks && marks->open && *marks->open ? marks : NULL, *comment;
	const int                   first  = own ? *own->open : ';';

	block->present = 0;
	block->g_count = block->m_count = 0;
	block->percent = block->deleted = false;
	cursor.next                     = blanks_skip(line, cursor.stop);
	if (!head_take(&cursor, own, block))
		return false;
	while (cursor.next < cursor.stop) {
		char c = *cursor.next;
		bool taken;

		if ((c == first || c == '(' || c == ';') && (comment = comment_at(&cursor, own)))
			taken = comment_skip(&cursor, comment);
		else if (is_letter(c))
			taken = word_take(&cursor, block);
		else
			taken = is_blank(c) ? (cursor.next++, true) : character_fault(&cursor);
		if (!taken)
			return false;
	}
	block->empty = block->present == 0 && !block->percent;
	return true;
}

const struct number *
block_word(const struct block *block, char letter)
{
	if (!(block->present & 1u << (letter - 'A')))
		return NULL;
	return letter == 'G' ? block->g : letter == 'M' ? block->m : &block->words[letter - 'A'];
}

char
block_first(const struct block *block, unsigned letters)
{
	const struct number *first = NULL;
	char                 found = '\0';

	for (int i = 0; i < 26; i++) {
		const char           letter = (char)('A' + i);
		const struct number *word   = block_word(block, letter);

		if (word && letters & 1u << i && (!first || word->column < first->column)) {
			first = word;
			found = letter;
		}
	}
	assert(first);
	return found;
}

struct shown
word_show(char letter, const struct number *word)
{
	struct shown shown = { "" };
	struct text  out   = text_over(shown.text, sizeof shown.text);

	text_format(&out, "%c%s", letter, word->negative ? "-" : "");
	if (word->digits > 0)
		text_format(&out, "%0*lld", word->digits, (long long)word->whole);
	if (word->point)
		text_char(&out, '.');
	if (word->decimals > 0)
		text_format(&out, "%0*lld", word->decimals,
		            (long long)(word->fraction / POWERS_OF_TEN[NUMBER_DIGITS - word->decimals]));
	text_end(&out);
	return shown;
}

bool
fault_say(struct fault *fault, size_t column, const char *format, ...)
{
	struct text out = text_over(fault->text, sizeof fault->text);
	va_list     values;

	fault->column = column;
	va_start(values, format);
	text_formatv(&out, format, values);
	va_end(values);
	text_end(&out);
	return false;
}

bool
word_fault(struct fault *fault, char letter, const struct number *word, const char *format, ...)
{
	struct text out = text_over(fault->text, sizeof fault->text);
	va_list     values;

	fault->column = word->column;
	text_string(&out, word_show(letter, word).text);
	text_char(&out, ' ');
	va_start(values, format);
	text_formatv(&out, format, values);
	va_end(values);
	text_end(&out);
	return false;
}

bool
block_fault(struct fault *fault, const struct block *block, unsigned letters, const char *text)
{
	return fault_say(fault, block_word(block, block_first(block, letters))->column, "%s", text);
}

/* A % that is alone, or the / of a block that a switch leaves out. */
static bool
head_take(struct cursor *cursor, const struct comment_marks *own, struct block *block)
{
	if (cursor->next == cursor->stop || comment_at(cursor, own))
		return true;
	if (*cursor->next == '/') {
		block->deleted = true;
		cursor->next++;
	} else if (*cursor->next == '%') {
		const char *behind = blanks_skip(cursor->next + 1, cursor->stop);

		block->percent = true;
		if (behind < cursor->stop && is_control(*behind))
			cursor->next = behind;
		if (behind < cursor->stop)
			return character_fault(cursor);
		cursor->next = cursor->stop;
	}
	return true;
}

/* The marks of the comment that begins here; the dialect's own come first. */
static const struct comment_marks *
comment_at(const struct cursor *cursor, const struct comment_marks *own)
{
	if (own && begins(cursor->next, cursor->stop, own->open))
		return own;
	return *cursor->next == '(' ? &PARENTHESES : *cursor->next == ';' ? &SEMICOLON : NULL;
}

/* NISTIR 6556, 3.3.3: the line number comes first, a letter stands once, M stands four times at most. */
static bool
word_take(struct cursor *cursor, struct block *block)
{
	const char     letter = (char)(*cursor->next & ~0x20);
	const unsigned bit = 1u << (letter - 'A'), before_n = 1u << ('O' - 'A');
	struct number *number = &block->words[letter - 'A'];

	cursor->word = cursor->next;
	if (letter == 'G') {
		if (block->g_count == BLOCK_CODES)
			return fault_at(cursor, cursor->next, "a block has no more than 16 G words");
		number = &block->g[block->g_count++];
	} else if (letter == 'M') {
		if (block->m_count == BLOCK_M_CODES)
			return fault_at(cursor, cursor->next, "a block has no more than four M words");
		number = &block->m[block->m_count++];
	} else if (block->present & bit) {
		return fault_at(cursor, cursor->next, "the letter stands twice in one block");
	} else if ((letter == 'N' && block->present & ~before_n) || (letter == 'O' && block->present)) {
		return fault_at(cursor, cursor->next,
		                "the number of a block or a program stands before its other words");
	}
	block->present |= bit;
	return number_take(cursor, number);
}

/* The blanks behind the number go with it, as those inside it. */
static bool
number_take(struct cursor *cursor, struct number *number)
{
	const char *c = cursor->next + 1, *const stop = cursor->stop;
	int64_t whole, fraction                       = 0;
	int     digits, decimals                      = 0;

	number->column   = (unsigned)(cursor->next - cursor->line) + 1;
	number->negative = number->point = false;
	c                                = blanks_skip(c, stop);
	if (c < stop && (*c == '-' || *c == '+'))
		number->negative = *c++ == '-';
	c = digits_take(c, stop, &whole, &digits);
	if (c < stop && *c == '.') {
		number->point = true;
		c             = digits_take(c + 1, stop, &fraction, &decimals);
	}
	cursor->next = c;
	if (digits + decimals == 0 || digits > NUMBER_DIGITS || decimals > NUMBER_DIGITS)
		return number_fault(cursor, digits, decimals);
	number->whole    = whole;
	number->fraction = fraction * POWERS_OF_TEN[NUMBER_DIGITS - decimals];
	number->digits   = digits;
	number->decimals = decimals;
	return true;
}

/* Behind the last digit and the blanks. *value means nothing when there are more than NUMBER_DIGITS. */
static inline const char *
digits_take(const char *c, const char *stop, int64_t *value, int *count)
{
	uint64_t sum  = 0;
	int      seen = 0;

	for (; c < stop; c++) {
		unsigned digit = (unsigned)(unsigned char)*c - '0';

		if (digit <= 9) {
			sum = 10 * sum + digit;
			seen++;
		} else if (!is_blank(*c)) {
			break;
		}
	}
	*value = (int64_t)sum;
	*count = seen;
	return c;
}

static bool
number_fault(struct cursor *cursor, int digits, int decimals)
{
	const char  letter = (char)(*cursor->word & ~0x20);
	const char *c      = cursor->next;

	if (digits + decimals > 0)
		return fault_say(cursor->fault, (size_t)(cursor->word - cursor->line) + 1,
		                 "%c has a number of %d digits; at most %d are read before the point, and %d behind it",
		                 letter, digits + decimals, NUMBER_DIGITS, NUMBER_DIGITS);
	if (c < cursor->stop && !is_letter(*c) && *c != '(' && *c != ';')
		return character_fault(cursor);
	return fault_at(cursor, cursor->word, "a number is missing behind the letter");
}

/* No mark opens a comment inside another of its kind: which of the ends would be its own? */
static bool
comment_skip(struct cursor *cursor, const struct comment_marks *marks)
{
	const size_t opening = strlen(marks->open), closing = strlen(marks->close);

	cursor->word = NULL;
	for (const char *c = cursor->next + opening; c < cursor->stop; c++) {
		if (closing > 0 && begins(c, cursor->stop, marks->close)) {
			cursor->next = c + closing;
			return true;
		}
		if (closing > 0 && begins(c, cursor->stop, marks->open))
			return fault_at(cursor, c, "a comment stands inside a comment");
		if (is_control(*c)) {
			cursor->next = c;
			return character_fault(cursor);
		}
	}
	if (closing > 0)
		return fault_say(cursor->fault, (size_t)(cursor->next - cursor->line) + 1,
		                 "a comment is not closed: a %.8s is missing", marks->close);
	cursor->next = cursor->stop;
	return true;
}

static bool
character_fault(struct cursor *cursor)
{
	const size_t        column = (size_t)(cursor->next - cursor->line) + 1;
	const unsigned char c      = (unsigned char)*cursor->next;

	if (c == '\r')
		return fault_say(cursor->fault, column, "a CR has no LF behind it; lines end in LF or in CR LF");
	if (is_control(*cursor->next))
		return fault_say(cursor->fault, column, "a control character, 0x%02X, is no part of a program", c);
	if (c > 0x7E)
		return fault_say(cursor->fault, column, "a byte 0x%02X, which is not ASCII, stands outside a comment",
		                 c);
	if (c >= '0' && c <= '9')
		return fault_at(cursor, cursor->next, "a number has a letter before it");
	if (MISPLACED[c])
		return fault_at(cursor, cursor->next, MISPLACED[c]);
	return fault_say(cursor->fault, column, "%c means nothing here", c);
}

/* Quotes what stands at `at`, with the word before it when it may belong to that. */
static bool
fault_at(struct cursor *cursor, const char *at, const char *what)
{
	const char *from = cursor->word ? cursor->word : at, *to = at;

	while (to<cursor->stop && * to> ' ' && *to < 0x7F && (to <= at || !is_letter(*to)) && *to != '(' && *to != ';')
		to++;
	if (to == at && to < cursor->stop)
		to++;
	if (to - from > QUOTE_MAX || memchr(from, '\t', (size_t)(to - from)))
		from = at;
	if (to - from > QUOTE_MAX)
		to = from + QUOTE_MAX;
	return fault_say(cursor->fault, (size_t)(at - cursor->line) + 1, "%.*s: %s", (int)(to - from), from, what);
}

static inline const char *
blanks_skip(const char *c, const char *stop)
{
	while (c < stop && is_blank(*c))
		c++;
	return c;
}

static bool
begins(const char *c, const char *stop, const char *with)
{
	size_t length = strlen(with);

	return (size_t)(stop - c) >= length && memcmp(c, with, length) == 0;
}

static inline bool
is_blank(char c)
{
	return c == ' ' || c == '\t';
}

static inline bool
is_letter(char c)
{
	return (unsigned char)((c | 0x20) - 'a') < 26;
}

/* A tab is a blank. */
static bool
is_control(char c)
{
	return ((unsigned char)c < ' ' && c != '\t') || c == 0x7F;
}
