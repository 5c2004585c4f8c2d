#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdlib.h>
#include <string.h>

#include "planning.h"
#include "skimcut/yaml.h"

struct tree {
	struct arena       arena;
	struct diag        diag;
	struct source      source;
	const struct node *root;
};

/* Does not move once it is opened. */
static void
tree_open(struct tree *tree, const char *name, const char *text, size_t length)
{
	*tree            = (struct tree){ 0 };
	tree->diag.arena = &tree->arena;
	tree->source     = (struct source){ name, text, length, UNITS_NONE };
	tree->root       = yaml_parse(&tree->source, &tree->arena, &tree->diag);
}

static void
tree_close(struct tree *tree)
{
	arena_release(&tree->arena);
}

/* The value at "stock/length"; a test of its own fails when there is none. */
static const struct entry *
entry_at(const struct node *node, const char *path)
{
	const struct entry *entry = NULL;

	for (const char *end; *path; path = *end ? end + 1 : end) {
		char key[64] = "";

		end = path + strcspn(path, "/");
		memcpy(key, path, (size_t)(end - path));
		entry = node_find(node, key);
		if (!entry)
			fail_msg("no %s", key);
		node = entry->value;
	}
	return entry;
}

static const char *
text_at(const struct node *node, const char *path)
{
	return entry_at(node, path)->value->text;
}

static void
expect_only_error(const struct tree *tree, const char *what, const char *part, size_t line, size_t column)
{
	const struct message *first = tree->diag.first;

	if (tree->diag.errors != 1 || !strstr(first->text, part) || first->place.source != &tree->source ||
	    first->place.line != line || first->place.column != column)
		fail_msg("%.40s: %zu errors, the first at %zu:%zu: %s", what, tree->diag.errors,
		         first ? first->place.line : 0, first ? first->place.column : 0, first ? first->text : "");
}

static void
every_key_and_value_knows_its_place(void **state)
{
	static const char *const text = "units: inch\n"
					"cut:\n"
					"  rough:   50 thou # deep\n"
					"  measure: [test, skim]\n"
					"stock: {length: 6, \"wide\": 2}\n"
					"list:\n"
					"- first\n"
					"- key: second\n";
	static const struct {
		const char *path, *key, *value;
	} cases[] = {
		{ "units", "units", "inch" },        { "cut", "cut", "rough" },
		{ "cut/rough", "rough", "50 thou" }, { "cut/measure", "measure", "[test" },
		{ "stock", "stock", "{length" },     { "stock/length", "length", "6" },
		{ "stock/wide", "\"wide", "2}" },    { "list", "list", "- first" },
	};
	struct tree         tree;
	const struct entry *item;

	(void)state;
	tree_open(&tree, "job.yaml", text, strlen(text));
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		const struct entry *entry = entry_at(tree.root, cases[i].path);

		assert_true(place_is_at(entry->place, text, cases[i].key));
		assert_true(place_is_at(entry->value->place, text, cases[i].value));
		assert_ptr_equal(entry->place.source, &tree.source);
	}
	item = entry_at(tree.root, "cut/measure")->value->entries;
	assert_null(item->key);
	assert_true(place_is_at(item->place, text, "test"));
	assert_true(place_is_at(item->next->value->place, text, "skim"));
	assert_null(item->next->next);
	item = entry_at(tree.root, "list")->value->entries;
	assert_true(place_is_at(item->place, text, "first"));
	assert_true(place_is_at(item->next->place, text, "key:"));
	tree_close(&tree);
}

static void
columns_count_characters_whatever_ends_the_lines(void **state)
{
	static const struct {
		const char *text;
		size_t      line, column; /* of the value of b */
	} cases[] = {
		{ "{\xc3\xa9\xe2\x82\xac\xf0\x9f\x94\xa7: 1, b: 2}", 1, 13 },
		{ "a: 1\r\nb: 2\r\n", 2, 4 },
		{ "a: 1\rb: 2\r", 2, 4 },
		{ "# not to be seen\n\n---\na: 1\nb:  2\n...\n", 5, 5 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct tree  tree;
		struct place place;

		tree_open(&tree, "job.yaml", cases[i].text, strlen(cases[i].text));
		place = entry_at(tree.root, "b")->value->place;
		assert_string_equal(text_at(tree.root, "b"), "2");
		assert_int_equal(place.line, cases[i].line);
		assert_int_equal(place.column, cases[i].column);
		tree_close(&tree);
	}
}

static void
scalars_are_read_as_text_and_blanks_as_nothing(void **state)
{
	static const char *const text = "blank:\n"
					"null: ~\n"
					"single: 'it''s'\n"
					"double: \"a\\tb\\u00e9\"\n"
					"plain: 1-1/2 in   # not this\n"
					"yes: no\n"
					"folded: >-\n"
					"  one\n"
					"  two\n"
					"empty: []\n"
					"none: {}\n";
	struct tree              tree;

	(void)state;
	tree_open(&tree, "job.yaml", text, strlen(text));
	assert_string_equal(text_at(tree.root, "blank"), "");
	assert_string_equal(text_at(tree.root, "null"), "~");
	assert_string_equal(text_at(tree.root, "single"), "it's");
	assert_string_equal(text_at(tree.root, "double"), "a\tb\xc3\xa9");
	assert_string_equal(text_at(tree.root, "plain"), "1-1/2 in");
	assert_string_equal(text_at(tree.root, "yes"), "no");
	assert_string_equal(text_at(tree.root, "folded"), "one two");
	assert_int_equal(entry_at(tree.root, "empty")->value->kind, NODE_LIST);
	assert_null(entry_at(tree.root, "empty")->value->entries);
	assert_int_equal(entry_at(tree.root, "none")->value->kind, NODE_MAPPING);
	assert_int_equal(tree.root->values, 10);
	tree_close(&tree);
}

static void
only_a_mapping_has_keys(void **state)
{
	struct tree tree;

	(void)state;
	tree_open(&tree, "job.yaml", "[a, b]", 6);
	assert_null(node_find(NULL, "a"));
	assert_null(node_find(tree.root, "a"));
	assert_null(node_find(tree.root->entries->value, "a"));
	tree_close(&tree);
	tree_open(&tree, "job.yaml", "a: b", 4);
	assert_null(node_find(tree.root, "b"));
	assert_null(node_find(tree.root, ""));
	tree_close(&tree);
}

static void
every_key_that_stands_twice_is_reported_and_the_first_kept(void **state)
{
	static const char *const text = "a: 1\n"
					"b: {c: 2, c: 3}\n"
					"'a': 4\n"
					"a: 5\n"
					"d: 6\n";
	struct tree              tree;
	const struct message    *message;

	(void)state;
	tree_open(&tree, "job.yaml", text, strlen(text));
	assert_non_null(tree.root);
	assert_int_equal(tree.diag.errors, 3);
	message = tree.diag.first;
	assert_true(place_is_at(message->place, text, "c: 3"));
	assert_string_equal(message->text, "'c' stands here twice; the first is on line 2");
	message = message->next;
	assert_true(place_is_at(message->place, text, "'a'"));
	assert_string_equal(message->text, "'a' stands here twice; the first is on line 1");
	assert_true(place_is_at(message->next->place, text, "a: 5"));
	assert_string_equal(text_at(tree.root, "a"), "1");
	assert_string_equal(text_at(tree.root, "b/c"), "2");
	assert_string_equal(text_at(tree.root, "d"), "6");
	tree_close(&tree);
}

static void
what_is_refused_has_a_reason_and_a_place(void **state)
{
	static const struct {
		const char *text, *part;
		size_t      line, column;
	} cases[] = {
		{ "", "the file is empty", 1, 1 },
		{ "# one\n# two\n", "the file is empty", 3, 1 },
		{ "a: 1\n---\nb: 2\n", "a second document begins here", 2, 1 },
		{ "a: !!str b\n", "tags such as tag:yaml.org,2002:str have no meaning", 1, 4 },
		{ "a: !mine [b]\n", "tags such as !mine", 1, 4 },
		{ "a: !!map {b: 1}\n", "tags such as", 1, 4 },
		{ "!!str a: b\n", "tags such as", 1, 1 },
		{ "a: &x [1, *x]\n", "the alias stands inside what it repeats", 1, 11 },
		{ "a: &x {b: {c: *x}}\n", "the alias stands inside what it repeats", 1, 15 },
		{ "a: *x\nb: &x 1\n", "the alias has no anchor before it", 1, 4 },
		{ "? [a, b]\n: c\n", "a key is a plain word", 1, 3 },
		{ "? {a: b}\n: c\n", "a key is a plain word", 1, 3 },
		{ "a: &x b\n*x : c\n", "a key is a plain word", 2, 1 },
		{ "a: \"b\\0c\"\n", "the text has a NUL in it", 1, 4 },
		{ "\"b\\0c\": a\n", "the text has a NUL in it", 1, 1 },
		{ "cut:\n\trough: 1\n", "this is a tab, and YAML indents with blanks", 2, 1 },
		{ "stepover: % 70\n", "the number comes before the sign", 1, 11 },
		{ "a: 1\nb: \xc3\xa9\xff\n", "save the file as UTF-8", 2, 5 },
		{ "a: \xe9t\xe9\n", "invalid trailing UTF-8 octet; save the file as UTF-8", 1, 5 },
		{ "a: 1\nb: \x01\n", "control characters are not allowed", 2, 4 },
		{ "a: {b: 1\n", "did not find expected", 2, 1 },
		{ "a: 1\nb: x\xc2\x85y\n", "an invisible line separator", 2, 5 },
		{ "\xc3\xa9: x\xe2\x80\xa8y\n", "an invisible line separator", 1, 5 },
		{ "a: 1\rb: \xff\r", "save the file as UTF-8", 2, 4 },
		{ "a: x\xe2\x80\xa9y\n", "an invisible line separator", 1, 5 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct tree tree;

		tree_open(&tree, "job.yaml", cases[i].text, strlen(cases[i].text));
		assert_null(tree.root);
		expect_only_error(&tree, cases[i].text, cases[i].part, cases[i].line, cases[i].column);
		tree_close(&tree);
	}
}

static void
a_nul_byte_is_found_at_its_place(void **state)
{
	static const char text[] = "a: 1\nb: \0x\n";
	struct tree       tree;

	(void)state;
	tree_open(&tree, "job.yaml", text, sizeof text - 1);
	assert_null(tree.root);
	expect_only_error(&tree, "a NUL byte", "control characters are not allowed", 2, 4);
	tree_close(&tree);
}

/* One file for each limit: `size` of what is limited, in a text that the caller gives back with free. */
static char *
nested(size_t size)
{
	struct text text = text_over(malloc(2 * size + 1), 2 * size + 1);

	text_repeat(&text, '[', size);
	text_repeat(&text, ']', size);
	return (char *)(uintptr_t)text_end(&text);
}

static char *
nested_in_both_ways(size_t size)
{
	struct text text = text_over(malloc(8 * size + 1), 8 * size + 1);

	for (size_t i = 0; i < size; i++)
		text_string(&text, i % 2 == 0 ? "{a: " : "[");
	for (size_t i = size; i-- > 0;)
		text_char(&text, i % 2 == 0 ? '}' : ']');
	return (char *)(uintptr_t)text_end(&text);
}

static char *
listed(size_t size)
{
	struct text text = text_over(malloc(4 * size + 1), 4 * size + 1);

	for (size_t i = 0; i < size; i++)
		text_string(&text, "- x\n");
	return (char *)(uintptr_t)text_end(&text);
}

static char *
mapped(size_t size)
{
	struct text text = text_over(malloc(32 * size + 1), 32 * size + 1);

	for (size_t i = 0; i < size; i++)
		text_format(&text, "key%zu: x\n", i);
	return (char *)(uintptr_t)text_end(&text);
}

static char *
anchored(size_t size)
{
	struct text text = text_over(malloc(32 * size + 1), 32 * size + 1);

	for (size_t i = 0; i < size; i++)
		text_format(&text, "- &a%zu x\n", i);
	return (char *)(uintptr_t)text_end(&text);
}

static char *
long_in_bytes(size_t size)
{
	struct text text = text_over(malloc(size + 1), size + 1);

	text_string(&text, "a: b\n#");
	text_repeat(&text, '=', size - text.length);
	return (char *)(uintptr_t)text_end(&text);
}

/* A list of 1000 values, 98 times that list again, and one list with what is missing, in a list: size in all. */
static char *
unfolded(size_t size)
{
	struct text text = text_over(malloc(16384), 16384);

	text_string(&text, "- &a [");
	for (size_t i = 0; i < 999; i++)
		text_string(&text, "x,");
	text_string(&text, "]\n");
	for (size_t i = 0; i < 98; i++)
		text_string(&text, "- *a\n");
	text_string(&text, "- [");
	for (size_t i = 0; i < size - 99002; i++)
		text_string(&text, "x,");
	text_string(&text, "]\n");
	return (char *)(uintptr_t)text_end(&text);
}

static void
each_limit_lets_pass_what_it_names_and_no_more(void **state)
{
	static const struct {
		char *(*make)(size_t size);
		size_t      most;
		const char *part;
		size_t      line, column; /* of the error one above */
	} cases[] = {
		{ nested, YAML_DEPTH_MAX, "nested deeper than 32 levels", 1, 33 },
		{ nested_in_both_ways, YAML_DEPTH_MAX, "nested deeper than 32 levels", 1, 81 },
		{ listed, YAML_ENTRIES_MAX, "more than 1000 entries", 1001, 3 },
		{ mapped, YAML_ENTRIES_MAX, "more than 1000 entries", 1001, 1 },
		{ anchored, YAML_ANCHORS_MAX, "more than 100 anchors", 101, 3 },
		{ long_in_bytes, YAML_BYTES_MAX, "the file is larger than 1 MiB", 0, 0 },
		{ unfolded, YAML_VALUES_MAX, "the aliases unfold to more than 100000 values", 100, 3 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		for (size_t over = 0; over < 2; over++) {
			char       *text = cases[i].make(cases[i].most + over);
			struct tree tree;

			tree_open(&tree, "job.yaml", text, strlen(text));
			if (over) {
				assert_null(tree.root);
				expect_only_error(&tree, cases[i].part, cases[i].part, cases[i].line, cases[i].column);
			} else {
				assert_non_null(tree.root);
				assert_int_equal(tree.diag.errors, 0);
			}
			tree_close(&tree);
			free(text);
		}
	}
}

static void
depth_is_not_added_up_over_neighbours(void **state)
{
	char        room[1024];
	struct text text = text_over(room, sizeof room);
	struct tree tree;

	(void)state;
	for (int i = 0; i <= YAML_DEPTH_MAX; i++)
		text_format(&text, "- [{a: %d}]\n", i);
	text_end(&text);
	tree_open(&tree, "job.yaml", room, text.length);
	assert_non_null(tree.root);
	assert_null(tree.diag.first);
	tree_close(&tree);
}

/* Unfolded, a thousand million values; it must fail long before. */
static void
an_alias_bomb_does_not_go_off(void **state)
{
	char        room[4096];
	struct text text = text_over(room, sizeof room);
	struct tree tree;

	(void)state;
	text_string(&text, "a0: &a0 x\n");
	for (int i = 1; i < 10; i++) {
		text_format(&text, "a%d: &a%d [", i, i);
		for (int j = 0; j < 10; j++)
			text_format(&text, "*a%d,", i - 1);
		text_string(&text, "]\n");
	}
	text_end(&text);
	tree_open(&tree, "job.yaml", room, text.length);
	assert_null(tree.root);
	assert_int_equal(tree.diag.errors, 1);
	assert_non_null(message_with(&tree.diag, SEVERITY_ERROR, "unfold"));
	tree_close(&tree);
}

static void
an_alias_repeats_the_last_anchor_of_its_name(void **state)
{
	static const char *const text = "a: &x {k: 1}\nb: *x\nc: &x 2\nd: *x\n";
	struct tree              tree;

	(void)state;
	tree_open(&tree, "job.yaml", text, strlen(text));
	assert_string_equal(text_at(tree.root, "b/k"), "1");
	assert_true(place_is_at(entry_at(tree.root, "b")->place, text, "b:"));
	assert_string_equal(text_at(tree.root, "d"), "2");
	assert_int_equal(tree.root->values, 7);
	tree_close(&tree);
}

static void
of_two_mappings_the_upper_wins_key_by_key(void **state)
{
	static const char *const over_text  = "units: inch\n"
					      "cut: {rough: 1, deep: {x: 1}}\n"
					      "list: [a]\n"
					      "swapped: word\n";
	static const char *const under_text = "units: mm\n"
					      "below: 8\n"
					      "cut: {skim: 2, rough: 3, deep: {y: 2, x: 4}}\n"
					      "list: [b, c]\n"
					      "swapped: {key: 1}\n";
	static const char *const order[]    = { "units", "cut", "list", "swapped", "below" };
	struct tree              over, under;
	struct arena             arena = { 0 };
	const struct node       *merged;
	const struct entry      *entry;

	(void)state;
	tree_open(&over, "over.yaml", over_text, strlen(over_text));
	tree_open(&under, "under.yaml", under_text, strlen(under_text));
	merged = node_merge(over.root, under.root, &arena);
	assert_string_equal(text_at(merged, "units"), "inch");
	assert_string_equal(text_at(merged, "below"), "8");
	assert_string_equal(text_at(merged, "cut/rough"), "1");
	assert_string_equal(text_at(merged, "cut/skim"), "2");
	assert_string_equal(text_at(merged, "cut/deep/x"), "1");
	assert_string_equal(text_at(merged, "cut/deep/y"), "2");
	assert_string_equal(text_at(merged, "swapped"), "word");
	assert_null(entry_at(merged, "list")->value->entries->next);
	assert_true(place_is_at(entry_at(merged, "cut/rough")->value->place, over_text, "1,"));
	assert_ptr_equal(entry_at(merged, "cut/rough")->value->place.source, &over.source);
	assert_true(place_is_at(entry_at(merged, "cut/skim")->value->place, under_text, "2, rough"));
	assert_ptr_equal(entry_at(merged, "cut/skim")->value->place.source, &under.source);
	assert_ptr_equal(merged->place.source, &over.source);
	entry = merged->entries;
	for (size_t i = 0; i < sizeof order / sizeof order[0]; i++, entry = entry->next)
		assert_string_equal(entry->key, order[i]);
	assert_null(entry);
	assert_null(node_find(over.root, "below"));
	assert_string_equal(text_at(under.root, "cut/rough"), "3");
	tree_close(&over);
	tree_close(&under);
	arena_release(&arena);
}

static void
a_mapping_with_nothing_in_it_gives_way(void **state)
{
	struct tree        none, some;
	struct arena       arena = { 0 };
	const struct node *merged;

	(void)state;
	tree_open(&none, "none.yaml", "{}", 2);
	tree_open(&some, "some.yaml", "{a: 1}", 6);
	merged = node_merge(none.root, some.root, &arena);
	assert_string_equal(text_at(merged, "a"), "1");
	merged = node_merge(some.root, none.root, &arena);
	assert_string_equal(text_at(merged, "a"), "1");
	assert_null(node_merge(none.root, none.root, &arena)->entries);
	tree_close(&none);
	tree_close(&some);
	arena_release(&arena);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_key_and_value_knows_its_place),
		cmocka_unit_test(columns_count_characters_whatever_ends_the_lines),
		cmocka_unit_test(scalars_are_read_as_text_and_blanks_as_nothing),
		cmocka_unit_test(only_a_mapping_has_keys),
		cmocka_unit_test(every_key_that_stands_twice_is_reported_and_the_first_kept),
		cmocka_unit_test(what_is_refused_has_a_reason_and_a_place),
		cmocka_unit_test(a_nul_byte_is_found_at_its_place),
		cmocka_unit_test(each_limit_lets_pass_what_it_names_and_no_more),
		cmocka_unit_test(depth_is_not_added_up_over_neighbours),
		cmocka_unit_test(an_alias_bomb_does_not_go_off),
		cmocka_unit_test(an_alias_repeats_the_last_anchor_of_its_name),
		cmocka_unit_test(of_two_mappings_the_upper_wins_key_by_key),
		cmocka_unit_test(a_mapping_with_nothing_in_it_gives_way),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
