#include "skimcut/yaml.h"

#include <string.h>
#include <yaml.h>

#include "skimcut/arena.h"

struct anchor {
	struct anchor *next;
	const char    *name;
	struct node   *node; /* values == 0 while its end has not been read */
};

struct reading {
	const struct source *source;
	struct arena        *arena;
	struct diag         *diag;
	yaml_parser_t       *parser;
	struct anchor       *anchors;
	size_t               anchor_count;
	size_t               depth;
};

static bool               lines_check(const struct source *source, struct diag *diag);
static const struct node *document_read(struct reading *reading);
static bool               event_read(struct reading *reading, yaml_event_t *event);
static bool               event_expect(struct reading *reading, yaml_event_type_t type, const char *otherwise);
static const struct node *node_read(struct reading *reading, yaml_event_t *event);
static const struct node *scalar_read(struct reading *reading, const yaml_event_t *event);
static const struct node *collection_read(struct reading *reading, const yaml_event_t *event);
static const struct node *alias_read(struct reading *reading, const yaml_event_t *event);
static struct node       *node_make(struct reading *reading, enum node_kind kind, yaml_mark_t mark);
static bool head_check(struct reading *reading, struct node *node, const yaml_char_t *anchor, const yaml_char_t *tag);
static const char   *key_read(struct reading *reading, const yaml_event_t *event);
static bool          is_twin(struct reading *reading, const struct node *mapping, const struct entry *entry);
static struct entry *entry_append(struct arena *arena, struct entry **tail, struct entry entry);
static bool          fail(struct reading *reading, yaml_mark_t mark, const char *text);
static bool          fail_as_libyaml(struct reading *reading);
static const char   *hint(const yaml_parser_t *parser, struct place place);
static char          character_at(struct place place);
static struct place  place_of_mark(const struct reading *reading, yaml_mark_t mark);
static struct place  place_of_byte(const struct source *source, size_t offset);

const struct node *
yaml_parse(const struct source *source, struct arena *arena, struct diag *diag)
{
	yaml_parser_t      parser;
	struct reading     reading = { .source = source, .arena = arena, .diag = diag, .parser = &parser };
	const struct node *root;

	if (source->length > YAML_BYTES_MAX) {
		diag_add(diag, SEVERITY_ERROR, (struct place){ .source = source }, "the file is larger than 1 MiB");
		return NULL;
	}
	if (!lines_check(source, diag))
		return NULL;
	if (!yaml_parser_initialize(&parser)) {
		diag_no_memory(diag);
		return NULL;
	}
	yaml_parser_set_encoding(&parser, YAML_UTF8_ENCODING);
	yaml_parser_set_input_string(&parser, (const unsigned char *)source->text, source->length);
	root = document_read(&reading);
	yaml_parser_delete(&parser);
	return root;
}

const struct entry *
node_find(const struct node *mapping, const char *key)
{
	if (!mapping || mapping->kind != NODE_MAPPING)
		return NULL;
	for (const struct entry *entry = mapping->entries; entry; entry = entry->next)
		if (strcmp(entry->key, key) == 0)
			return entry;
	return NULL;
}

const struct node *
node_merge(const struct node *over, const struct node *under, struct arena *arena)
{
	struct node  *merged = arena_take(arena, sizeof *merged);
	struct entry *tail   = NULL;

	if (!merged)
		return NULL;
	*merged         = *over;
	merged->entries = NULL;
	for (const struct entry *entry = over->entries; entry; entry = entry->next) {
		const struct entry *below = node_find(under, entry->key);
		struct entry        kept  = *entry;

		if (below && entry->value->kind == NODE_MAPPING && below->value->kind == NODE_MAPPING)
			kept.value = node_merge(entry->value, below->value, arena);
		if (!kept.value || !entry_append(arena, &tail, kept))
			return NULL;
		if (!merged->entries)
			merged->entries = tail;
	}
	for (const struct entry *entry = under->entries; entry; entry = entry->next) {
		if (node_find(over, entry->key))
			continue;
		if (!entry_append(arena, &tail, *entry))
			return NULL;
		if (!merged->entries)
			merged->entries = tail;
	}
	return merged;
}

/* YAML 1.1 also ends a line at U+0085, U+2028 and U+2029, editors do not: line numbers would part company. */
static bool
lines_check(const struct source *source, struct diag *diag)
{
	static const char *const SEPARATORS[] = { "\xC2\x85", "\xE2\x80\xA8", "\xE2\x80\xA9" };

	for (size_t i = 0; i < sizeof SEPARATORS / sizeof SEPARATORS[0]; i++) {
		const char *found = strstr(source->text, SEPARATORS[i]);

		if (found)
			return diag_add(diag, SEVERITY_ERROR, place_of_byte(source, (size_t)(found - source->text)),
			                "an invisible line separator; end lines with the Enter key alone");
	}
	return true;
}

static const struct node *
document_read(struct reading *reading)
{
	yaml_event_t       event;
	const struct node *root;

	if (!event_expect(reading, YAML_STREAM_START_EVENT, "") ||
	    !event_expect(reading, YAML_DOCUMENT_START_EVENT, "the file is empty"))
		return NULL;
	if (!event_read(reading, &event))
		return NULL;
	root = node_read(reading, &event);
	yaml_event_delete(&event);
	if (!root || !event_expect(reading, YAML_DOCUMENT_END_EVENT, "") ||
	    !event_expect(reading, YAML_STREAM_END_EVENT, "a second document begins here; one file holds one"))
		return NULL;
	return root;
}

static bool
event_read(struct reading *reading, yaml_event_t *event)
{
	return yaml_parser_parse(reading->parser, event) ? true : fail_as_libyaml(reading);
}

static bool
event_expect(struct reading *reading, yaml_event_type_t type, const char *otherwise)
{
	yaml_event_t event;
	bool         expected;

	if (!event_read(reading, &event))
		return false;
	expected = event.type == type;
	if (!expected)
		fail(reading, event.start_mark, otherwise);
	yaml_event_delete(&event);
	return expected;
}

static const struct node *
node_read(struct reading *reading, yaml_event_t *event)
{
	switch (event->type) {
	case YAML_SCALAR_EVENT: return scalar_read(reading, event);
	case YAML_ALIAS_EVENT: return alias_read(reading, event);
	default: /* libyaml gives nothing else where a value stands */ return collection_read(reading, event);
	}
}

static const struct node *
scalar_read(struct reading *reading, const yaml_event_t *event)
{
	struct node *node = node_make(reading, NODE_SCALAR, event->start_mark);

	if (!node || !head_check(reading, node, event->data.scalar.anchor, event->data.scalar.tag))
		return NULL;
	if (memchr(event->data.scalar.value, '\0', event->data.scalar.length)) {
		fail(reading, event->start_mark, "the text has a NUL in it");
		return NULL;
	}
	node->text = arena_copy(reading->arena, (const char *)event->data.scalar.value, event->data.scalar.length);
	if (!node->text) {
		diag_no_memory(reading->diag);
		return NULL;
	}
	node->values = 1;
	return node;
}

static const struct node *
collection_read(struct reading *reading, const yaml_event_t *start)
{
	bool              is_mapping = start->type == YAML_MAPPING_START_EVENT;
	yaml_event_type_t end        = is_mapping ? YAML_MAPPING_END_EVENT : YAML_SEQUENCE_END_EVENT;
	struct node      *node       = node_make(reading, is_mapping ? NODE_MAPPING : NODE_LIST, start->start_mark);
	struct entry     *tail       = NULL;
	size_t            values     = 1;

	if (!node || !head_check(reading, node,
	                         is_mapping ? start->data.mapping_start.anchor : start->data.sequence_start.anchor,
	                         is_mapping ? start->data.mapping_start.tag : start->data.sequence_start.tag))
		return NULL;
	if (++reading->depth > YAML_DEPTH_MAX) {
		fail(reading, start->start_mark, "nested deeper than 32 levels");
		return NULL;
	}
	for (size_t count = 0;; count++) {
		struct entry entry = { 0 };
		yaml_event_t event;
		bool         taken;

		if (!event_read(reading, &event))
			return NULL;
		if (event.type == end) {
			yaml_event_delete(&event);
			break;
		}
		entry.place = place_of_mark(reading, event.start_mark);
		taken       = count < YAML_ENTRIES_MAX || fail(reading, event.start_mark, "more than 1000 entries");
		if (is_mapping) {
			entry.key = taken ? key_read(reading, &event) : NULL;
			taken     = entry.key != NULL;
			yaml_event_delete(&event);
			if (taken && !event_read(reading, &event))
				return NULL;
		}
		if (taken)
			entry.value = node_read(reading, &event);
		if (taken || !is_mapping)
			yaml_event_delete(&event);
		if (!entry.value)
			return NULL;
		values += entry.value->values;
		if (values > YAML_VALUES_MAX) {
			diag_add(reading->diag, SEVERITY_ERROR, entry.place,
			         "the aliases unfold to more than 100000 values");
			return NULL;
		}
		if (is_mapping && is_twin(reading, node, &entry))
			continue;
		if (!entry_append(reading->arena, &tail, entry)) {
			diag_no_memory(reading->diag);
			return NULL;
		}
		if (!node->entries)
			node->entries = tail;
	}
	reading->depth--;
	node->values = values;
	return node;
}

static const struct node *
alias_read(struct reading *reading, const yaml_event_t *event)
{
	const char *name = (const char *)event->data.alias.anchor;

	for (const struct anchor *anchor = reading->anchors; anchor; anchor = anchor->next) {
		if (strcmp(anchor->name, name) != 0)
			continue;
		if (anchor->node->values > 0)
			return anchor->node;
		fail(reading, event->start_mark, "the alias stands inside what it repeats");
		return NULL;
	}
	fail(reading, event->start_mark, "the alias has no anchor before it");
	return NULL;
}

static struct node *
node_make(struct reading *reading, enum node_kind kind, yaml_mark_t mark)
{
	struct node *node = arena_take(reading->arena, sizeof *node);

	if (!node) {
		diag_no_memory(reading->diag);
		return NULL;
	}
	node->kind  = kind;
	node->place = place_of_mark(reading, mark);
	return node;
}

/* What may stand before any value: an anchor, which is remembered, and a tag, which is refused. */
static bool
head_check(struct reading *reading, struct node *node, const yaml_char_t *name, const yaml_char_t *tag)
{
	struct anchor *anchor;

	if (tag)
		return diag_add(reading->diag, SEVERITY_ERROR, node->place, "tags such as %.40s have no meaning here",
		                (const char *)tag);
	if (!name)
		return true;
	if (++reading->anchor_count > YAML_ANCHORS_MAX)
		return diag_add(reading->diag, SEVERITY_ERROR, node->place, "more than 100 anchors");
	anchor = arena_take(reading->arena, sizeof *anchor);
	if (!anchor)
		return diag_no_memory(reading->diag);
	anchor->next     = reading->anchors;
	anchor->node     = node;
	anchor->name     = arena_copy(reading->arena, (const char *)name, strlen((const char *)name));
	reading->anchors = anchor;
	return anchor->name || diag_no_memory(reading->diag);
}

static const char *
key_read(struct reading *reading, const yaml_event_t *event)
{
	const struct node *key;

	if (event->type != YAML_SCALAR_EVENT) {
		fail(reading, event->start_mark, "a key is a plain word");
		return NULL;
	}
	key = scalar_read(reading, event);
	return key ? key->text : NULL;
}

/* A key for the second time is an error, and left out so that the rest of the file can be looked at. */
static bool
is_twin(struct reading *reading, const struct node *mapping, const struct entry *entry)
{
	const struct entry *first = node_find(mapping, entry->key);

	if (first)
		diag_add(reading->diag, SEVERITY_ERROR, entry->place,
		         "'%.40s' stands here twice; the first is on line %zu", entry->key, first->place.line);
	return first != NULL;
}

static struct entry *
entry_append(struct arena *arena, struct entry **tail, struct entry entry)
{
	struct entry *kept = arena_take(arena, sizeof *kept);

	if (!kept)
		return NULL;
	*kept      = entry;
	kept->next = NULL;
	if (*tail)
		(*tail)->next = kept;
	*tail = kept;
	return kept;
}

static bool
fail(struct reading *reading, yaml_mark_t mark, const char *text)
{
	return diag_add(reading->diag, SEVERITY_ERROR, place_of_mark(reading, mark), "%s", text);
}

static bool
fail_as_libyaml(struct reading *reading)
{
	const yaml_parser_t *parser = reading->parser;
	struct place         place;

	if (parser->error == YAML_MEMORY_ERROR)
		return diag_no_memory(reading->diag);
	place = parser->error == YAML_READER_ERROR ? place_of_byte(reading->source, parser->problem_offset)
	                                           : place_of_mark(reading, parser->problem_mark);
	return diag_add(reading->diag, SEVERITY_ERROR, place, "%s%s%s%s",
	                parser->problem ? parser->problem : "not YAML", parser->context ? ", " : "",
	                parser->context ? parser->context : "", hint(parser, place));
}

/* libyaml says what stopped it; this says what to do, where that is plain. */
static const char *
hint(const yaml_parser_t *parser, struct place place)
{
	char c = character_at(place);

	if (parser->error == YAML_READER_ERROR && parser->problem && strstr(parser->problem, "UTF-8"))
		return "; save the file as UTF-8";
	if (parser->error == YAML_SCANNER_ERROR && c == '\t')
		return "; this is a tab, and YAML indents with blanks";
	if (parser->error == YAML_SCANNER_ERROR && c == '%')
		return "; the number comes before the sign: 70 %";
	return "";
}

/* The first byte of the character that stands there; columns count characters. */
static char
character_at(struct place place)
{
	size_t      length, column = 1;
	const char *line = source_line(place.source, place.line, &length);

	for (size_t i = 0; line && i < length; i++) {
		column += i > 0 && ((unsigned char)line[i] & 0xC0) != 0x80;
		if (column == place.column)
			return line[i];
	}
	return '\0';
}

/* libyaml counts lines and columns from 0. This is the only place that knows. */
static struct place
place_of_mark(const struct reading *reading, yaml_mark_t mark)
{
	return (struct place){ reading->source, mark.line + 1, mark.column + 1 };
}

static struct place
place_of_byte(const struct source *source, size_t offset)
{
	struct place place = { source, 1, 1 };

	for (size_t i = 0; i < offset && i < source->length; i++) {
		char c = source->text[i];

		if (c == '\n' || (c == '\r' && source->text[i + 1] != '\n')) {
			place.line++;
			place.column = 1;
		} else if (((unsigned char)c & 0xC0) != 0x80) {
			place.column++;
		}
	}
	return place;
}
