/*
 * yaml - a YAML document as a tree in which every key and value knows its place.
 *
 * Reads UTF-8 without a byte order mark, with libyaml. Refused, with a place: a file over YAML_BYTES_MAX, nesting deeper
 * than YAML_DEPTH_MAX, more than YAML_ENTRIES_MAX entries in one mapping or list, tags, a NUL, no document or two, an alias
 * inside its own anchor, more than YAML_ANCHORS_MAX anchors, and aliases that unfold to more than YAML_VALUES_MAX values. A
 * key that stands twice is an error too, but the tree is still made, without the second, so that later checks can find
 * more: look at diag->errors.
 */
#ifndef SKIMCUT_YAML_H
#define SKIMCUT_YAML_H

#include <stdbool.h>
#include <stddef.h>

#include "skimcut/diag.h"

enum {
	YAML_BYTES_MAX   = 1024 * 1024,
	YAML_DEPTH_MAX   = 32,
	YAML_ENTRIES_MAX = 1000,
	YAML_ANCHORS_MAX = 100,
	YAML_VALUES_MAX  = 100000,
};

enum node_kind { NODE_SCALAR, NODE_LIST, NODE_MAPPING };

struct entry {
	struct entry      *next;
	const char        *key;   /* NULL in a list */
	struct place       place; /* the key's; in a list the value's */
	const struct node *value;
};

struct node {
	enum node_kind kind;
	struct place   place;
	const char    *text;    /* of a scalar; a value left blank is "" */
	struct entry  *entries; /* of a mapping or a list, in order */
	size_t
	    values; /* scalars, lists and mappings in it, itself included, aliases unfolded; of no meaning once merged */
};

/* NULL when there is no tree; diag says why. */
const struct node *yaml_parse(const struct source *source, struct arena *arena, struct diag *diag);

/* NULL when `mapping` is NULL, no mapping, or has no such key. */
const struct entry *node_find(const struct node *mapping, const char *key);

/*
 * Two mappings laid over each other: what `over` has wins, mappings in both are merged key by key, everything else is taken
 * whole. Entries keep the places, and so the units, of the file they were written in. NULL: memory is out.
 */
const struct node *node_merge(const struct node *over, const struct node *under, struct arena *arena);

#endif
