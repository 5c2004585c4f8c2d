#include "planning.h"

#include "skimcut/schema.h"
#include "skimcut/yaml.h"

/* A table with every kind of field, as a rack of tools might have it. */
struct shelf {
	struct bound bound;
	Length       depth;
};

struct rack {
	struct bound       bound;
	Length             width, gap;
	Speed              feed, speed;
	int64_t            rpm, share, angle, power, force, count;
	const char        *label;
	bool               locked;
	int                colour;
	unsigned           days;
	struct shelf       top, either;
	struct named       shelves;
	struct numbers     holes, speeds;
	const struct node *lines;
};

static const struct choice COLOURS[] = { { "grey", 3, "plain" }, { "green", 5, NULL }, { 0 } };
static const struct choice DAYS[]    = { { "mon", 0, NULL }, { "tue", 1, NULL }, { "wed", 2, NULL }, { 0 } };

/* clang-format off */
static const struct field SHELF_FIELDS[] = {
	{ "depth", FIELD_LENGTH, offsetof(struct shelf, depth), "1 mm", 0, 0, 0, "front to back", .required = true },
};
static const struct mapping SHELF = { "a shelf", SHELF_FIELDS, 1, sizeof(struct shelf) };

static const struct field RACK_FIELDS[] = {
	{ "width", FIELD_LENGTH, offsetof(struct rack, width), "10 mm", "2 m", 0, 0, "left to right", .required = true },
	{ "gap", FIELD_LENGTH, offsetof(struct rack, gap), 0, "1 in", "1/4 in", "6 mm", "between shelves" },
	{ "feed", FIELD_FEED, offsetof(struct rack, feed), "1 mm/min", "1 m/min", 0, 0, "f" },
	{ "speed", FIELD_CUTTING_SPEED, offsetof(struct rack, speed), 0, "100 m/min", 0, 0, "v" },
	{ "rpm", FIELD_ROTATION, offsetof(struct rack, rpm), 0, 0, 0, 0, "n" },
	{ "share", FIELD_RATIO, offsetof(struct rack, share), "5 %", "90 %", "70 %", 0, "s" },
	{ "angle", FIELD_ANGLE, offsetof(struct rack, angle), 0, 0, "90 deg", 0, "k" },
	{ "power", FIELD_POWER, offsetof(struct rack, power), 0, 0, 0, 0, "p" },
	{ "force", FIELD_FORCE, offsetof(struct rack, force), 0, 0, 0, 0, "F" },
	{ "count", FIELD_COUNT, offsetof(struct rack, count), "1", "9", "4", 0, "of shelves" },
	{ "label", FIELD_TEXT, offsetof(struct rack, label), 0, 0, "none", 0, "on the side" },
	{ "locked", FIELD_FLAG, offsetof(struct rack, locked), 0, 0, "yes", 0, "at night" },
	{ "colour", FIELD_CHOICE, offsetof(struct rack, colour), 0, 0, "grey", 0, "of the paint", .choices = COLOURS },
	{ "days", FIELD_CHOICES, offsetof(struct rack, days), 0, 0, "mon, tue, wed", 0, "open", .choices = DAYS },
	{ "top", FIELD_MAPPING, offsetof(struct rack, top), 0, 0, 0, 0, "the highest", .inner = &SHELF },
	{ "either", FIELD_NAME_OR_MAPPING, offsetof(struct rack, either), 0, 0, 0, 0, "a shelf", .inner = &SHELF },
	{ "shelves", FIELD_NAMED, offsetof(struct rack, shelves), 0, 0, 0, 0, "all of them", .inner = &SHELF },
	{ "holes", FIELD_LENGTHS, offsetof(struct rack, holes), "1 mm", "50 mm", 0, 0, "drilled" },
	{ "speeds", FIELD_ROTATIONS, offsetof(struct rack, speeds), "1 rpm", 0, 0, 0, "belts" },
	{ "lines", FIELD_LINES, offsetof(struct rack, lines), 0, 0, 0, 0, "printed" },
};
static const struct mapping RACK = { "the rack", RACK_FIELDS, sizeof RACK_FIELDS / sizeof RACK_FIELDS[0], sizeof(struct rack) };
/* clang-format on */

struct binding {
	struct arena  arena;
	struct diag   diag;
	struct source source;
	struct rack   rack;
};

static bool
binding_open(struct binding *binding, const char *text, enum units units)
{
	const struct node *root;

	*binding            = (struct binding){ .source = { "rack.yaml", text, strlen(text), units } };
	binding->diag.arena = &binding->arena;
	root                = yaml_parse(&binding->source, &binding->arena, &binding->diag);
	assert_non_null(root);
	return schema_bind(&RACK, root, root->place, units, &binding->rack, &binding->arena, &binding->diag);
}

static void
every_kind_of_field_is_bound(void **state)
{
	static const char text[] =
	    "width: 24\ngap: 3 mm\nfeed: 10\nspeed: 300\nrpm: 80\nshare: 50 %\nangle: 45\npower: 1 kW\n"
	    "force: 2 kN\ncount: 3\nlabel: left one\nlocked: no\ncolour: green\ndays: [tue]\n"
	    "top: {depth: 9}\neither: some name\nshelves: {a: {depth: 1}, b b: {depth: 2}}\n"
	    "holes: [1/4, 6 mm]\nspeeds: [80, 135]\nlines: [one, two]\n";

	struct binding      binding;
	const struct rack  *rack = &binding.rack;
	const struct shelf *shelves;

	(void)state;
	assert_true(binding_open(&binding, text, UNITS_INCH));
	assert_null(binding.diag.first);
	assert_int_equal(rack->width, 24 * LENGTH_INCH);
	assert_int_equal(rack->gap, 3 * LENGTH_MM);
	assert_int_equal(rack->feed, 10 * LENGTH_INCH);
	assert_int_equal(rack->speed, 300 * LENGTH_FOOT);
	assert_int_equal(rack->rpm, 80);
	assert_int_equal(rack->share, 500000);
	assert_int_equal(rack->angle, 45000000);
	assert_int_equal(rack->power, 1000000);
	assert_int_equal(rack->force, 2000000);
	assert_int_equal(rack->count, 3);
	assert_string_equal(rack->label, "left one");
	assert_false(rack->locked);
	assert_int_equal(rack->colour, 5);
	assert_int_equal(rack->days, 2);
	assert_int_equal(rack->top.depth, 9 * LENGTH_INCH);
	assert_string_equal(rack->either.bound.name, "some name");
	assert_null(rack->either.bound.node);
	shelves = rack->shelves.items;
	assert_int_equal(rack->shelves.count, 2);
	assert_string_equal(shelves[1].bound.name, "b b");
	assert_int_equal(shelves[1].depth, 2 * LENGTH_INCH);
	assert_int_equal(rack->holes.count, 2);
	assert_int_equal(rack->holes.values[0], 6350000);
	assert_int_equal(rack->holes.values[1], 6 * LENGTH_MM);
	assert_int_equal(rack->speeds.values[1], 135);
	assert_int_equal(rack->lines->kind, NODE_LIST);
	assert_true(place_is_at(schema_place(&rack->bound, "speeds"), text, "[80, 135]"));
	assert_true(schema_given(&rack->bound, "speeds"));
	assert_false(schema_given(&rack->bound, "absent"));
	arena_release(&binding.arena);
}

static void
what_is_left_out_has_its_default(void **state)
{
	struct binding binding;

	(void)state;
	assert_true(binding_open(&binding, "width: 24\neither: {depth: 3}\ndays: tue\n", UNITS_INCH));
	assert_int_equal(binding.rack.gap, 6350000);
	assert_int_equal(binding.rack.share, 700000);
	assert_int_equal(binding.rack.count, 4);
	assert_string_equal(binding.rack.label, "none");
	assert_true(binding.rack.locked);
	assert_int_equal(binding.rack.colour, 3);
	assert_int_equal(binding.rack.days, 2);
	assert_int_equal(binding.rack.either.depth, 3 * LENGTH_INCH);
	assert_int_equal(binding.rack.top.depth, 0); /* the shelf is left out, so its depth is not missed */
	assert_null(binding.rack.top.bound.node);
	assert_null(binding.rack.lines);
	assert_true(place_is_at(schema_place(&binding.rack.bound, "gap"), binding.source.text, "width"));
	arena_release(&binding.arena);

	assert_true(binding_open(&binding, "width: 600\ndays: []\n", UNITS_MM));
	assert_int_equal(binding.rack.gap, 6 * LENGTH_MM);
	assert_int_equal(binding.rack.days, 0);
	arena_release(&binding.arena);

	assert_true(binding_open(&binding, "width: 600\n", UNITS_MM));
	assert_int_equal(binding.rack.days, 7);
	arena_release(&binding.arena);
}

struct fault {
	const char *text; /* besides the width */
	const char *at, *why;
};

static const struct fault FAULTS[] = {
	{ "widht: 3", "widht", "the rack has no key 'widht'; did you mean 'width'?" },
	{ "zebra: 3", "zebra", "the rack has no key 'zebra'" },
	{ "gap: 2", "2", "gap 2 is too large; use 1 in or less" },
	{ "top: {depth: 0}", "0", "depth 0 is too small; use 0.03937 in or more" },
	{ "feed: 50", "50", "feed 50 is out of range; use 0.04 in/min to 39.37 in/min" },
	{ "speed: 1000", "1000", "speed 1000 is too large; use 328 ft/min or less" },
	{ "share: 130 %", "130", "share 130 % is out of range; use 5 % to 90 %" },
	{ "count: 0", "0", "count 0 is out of range; use 1 to 9" },
	{ "gap: wide", "wide", "gap: 'wide' is not a number" },
	{ "gap: [1]", "[1]", "'gap' wants one number" },
	{ "gap: ", "gap", "'gap' has no value" },
	{ "label: [a]", "[a]", "'label' wants a text" },
	{ "locked: maybe", "maybe", "'locked' wants yes or no" },
	{ "locked: [no]", "[no]", "'locked' wants yes or no" },
	{ "colour: red", "red", "colour cannot be 'red'; it is one of: grey, green" },
	{ "colour: {a: b}", "{a", "'colour' wants one word" },
	{ "days: [mon, thu]", "thu", "days cannot be 'thu'; it is one of: mon, tue, wed" },
	{ "days: {mon: 1}", "{mon", "'days' wants a list of words" },
	{ "top: 3", "3", "a shelf is a mapping of keys and values, {depth: ..., ...}" },
	{ "top: {}", "{}", "a shelf has no 'depth' (front to back)" },
	{ "top: {dept: 3}", "dept", "a shelf has no key 'dept'; did you mean 'depth'?" },
	{ "either: [1]", "[1]", "a shelf is a mapping" },
	{ "shelves: [1]", "[1]", "'shelves' wants a mapping of names" },
	{ "shelves: {a: 4}", "4", "a shelf is a mapping" },
	{ "holes: 3", "3", "'holes' wants a list of numbers" },
	{ "holes: [3 mm, x]", "x]", "holes: 'x' is not a number" },
	{ "holes: [60 mm]", "60", "holes 60 mm is out of range; use 0.03937 in to 1.9685 in" },
	{ "speeds: [0]", "0", "speeds 0 is too small; use 1 rpm or more" },
	{ "lines: {a: b}", "{a", "'lines' wants a text or a list of texts" },
	{ "lines: [[a]]", "[a]", "'lines' wants a list of texts" },
};

static void
every_fault_is_said_once_at_its_place(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof FAULTS / sizeof FAULTS[0]; i++) {
		struct binding        binding;
		char                  room[256];
		struct text           text = text_over(room, sizeof room);
		const struct message *first;

		text_format(&text, "%s\n%s", FAULTS[i].text, strstr(FAULTS[i].text, "widht") ? "" : "width: 24\n");
		assert_false(binding_open(&binding, text_end(&text), UNITS_INCH));
		first = binding.diag.first;
		if (binding.diag.errors != 1 || strcmp(first->text, FAULTS[i].why) != 0) {
			if (!first || !strstr(first->text, FAULTS[i].why) || binding.diag.errors != 1)
				fail_msg("%s: %zu: %s", FAULTS[i].text, binding.diag.errors, first ? first->text : "");
		}
		if (strcmp(FAULTS[i].text, "gap: ") != 0 && !place_is_at(first->place, room, FAULTS[i].at))
			fail_msg("%s: at %zu:%zu", FAULTS[i].text, first->place.line, first->place.column);
		arena_release(&binding.arena);
	}
}

static void
all_faults_of_a_file_are_said(void **state)
{
	struct binding binding;

	(void)state;
	assert_false(binding_open(&binding, "gap: 2\nshare: x\ncolour: red\nholes: [x, y]\nzebra: 1\n", UNITS_INCH));
	assert_int_equal(binding.diag.errors, 7); /* and the width is missing */
	assert_non_null(message_with(&binding.diag, SEVERITY_ERROR, "the rack has no 'width' (left to right)"));
	arena_release(&binding.arena);
}

static void
bare_numbers_have_the_units_of_their_own_file(void **state)
{
	struct binding     over, under;
	const struct node *first, *second, *merged;

	(void)state;
	assert_true(binding_open(&over, "width: 24\n", UNITS_INCH));
	assert_true(binding_open(&under, "width: 90\ngap: 5\n", UNITS_MM));
	first  = over.rack.bound.node;
	second = under.rack.bound.node;
	merged = node_merge(first, second, &over.arena);
	assert_true(schema_bind(&RACK, merged, merged->place, UNITS_INCH, &over.rack, &over.arena, &over.diag));
	assert_int_equal(over.rack.width, 24 * LENGTH_INCH);
	assert_int_equal(over.rack.gap, 5 * LENGTH_MM);
	arena_release(&over.arena);
	arena_release(&under.arena);
}

static void
the_page_has_a_row_for_every_key(void **state)
{
	char        room[8192];
	struct text out = text_over(room, sizeof room);
	const char *page, *again;

	(void)state;
	schema_page(&RACK, &out);
	page = text_end(&out);
	assert_false(out.failed);
	for (size_t i = 0; i < RACK.count; i++) {
		char        key[64];
		struct text row = text_over(key, sizeof key);

		text_format(&row, "\n| `%s` | ", RACK_FIELDS[i].key);
		assert_non_null(strstr(page, text_end(&row)));
	}
	assert_non_null(strstr(page, "| `width` | length, 10 mm to 2 m | **required** | left to right |\n"));
	assert_non_null(strstr(page, "| `gap` | length | `1/4 in`; in mm files `6 mm` | between shelves |\n"));
	assert_non_null(strstr(page, "| `colour` | one of `grey`, `green` | `grey` | of the paint; `grey`: plain |\n"));
	again = strstr(page, "### a shelf");
	assert_non_null(again);
	assert_null(strstr(again + 1, "### a shelf"));
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_kind_of_field_is_bound),
		cmocka_unit_test(what_is_left_out_has_its_default),
		cmocka_unit_test(every_fault_is_said_once_at_its_place),
		cmocka_unit_test(all_faults_of_a_file_are_said),
		cmocka_unit_test(bare_numbers_have_the_units_of_their_own_file),
		cmocka_unit_test(the_page_has_a_row_for_every_key),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
