#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdbool.h>
#include <string.h>

#include "planning.h"
#include "skimcut/schema.h"
#include "skimcut/yaml.h"

/* A table with every kind of field; nothing in it is a job's. */

struct wheel {
	struct bound bound;
	Length       bore;
	int64_t      spokes;
};

struct cart {
	struct bound       bound;
	Length             reach, track, least_only, most_only;
	Speed              feed, speed;
	int64_t            rotation, share, angle_udeg, power_mw, force_mn, count;
	const char        *text;
	int                colour;
	unsigned           colours;
	struct wheel       wheel, spare;
	struct named       wheels, row;
	struct numbers     lengths, rotations;
	const struct node *lines;
};

enum { RED, GREEN, BLUE };

static const struct choice COLOURS[] = {
	{ "red", RED, "like rust" }, { "green", GREEN, NULL }, { "blue", BLUE, NULL }, { 0 }
};

/* clang-format off */
static const struct field WHEEL_FIELDS[] = {
	{ "bore", FIELD_LENGTH, offsetof(struct wheel, bore), 0, 0, 0, 0, "of the hub", .required = true },
	{ "spokes", FIELD_COUNT, offsetof(struct wheel, spokes), "3", "99", "12", 0, "how many" },
};
static const struct mapping WHEEL = { "a wheel", WHEEL_FIELDS, 2, sizeof(struct wheel) };

static const struct field CART_FIELDS[] = {
	{ "reach", FIELD_LENGTH, offsetof(struct cart, reach), "1 mm", "100 mm", 0, 0, "how far", .required = true },
	{ "track", FIELD_LENGTH, offsetof(struct cart, track), 0, 0, "2 in", "50 mm", "how wide" },
	{ "least_only", FIELD_LENGTH, offsetof(struct cart, least_only), "1/2 in", 0, 0, 0, "at least" },
	{ "most_only", FIELD_LENGTH, offsetof(struct cart, most_only), 0, "1/2 in", 0, 0, "at most" },
	{ "feed", FIELD_FEED, offsetof(struct cart, feed), "1 mm/min", "1.5 m/min", 0, 0, "a feed" },
	{ "speed", FIELD_CUTTING_SPEED, offsetof(struct cart, speed), "1 m/min", "500 m/min", 0, 0, "a speed" },
	{ "rotation", FIELD_ROTATION, offsetof(struct cart, rotation), "0 rpm", "5000 rpm", "80 rpm", 0, "turning" },
	{ "share", FIELD_RATIO, offsetof(struct cart, share), "5 %", "90 %", "70 %", 0, "a share" },
	{ "angle", FIELD_ANGLE, offsetof(struct cart, angle_udeg), "10 deg", "95 deg", "90 deg", 0, "an angle" },
	{ "power", FIELD_POWER, offsetof(struct cart, power_mw), "1 W", "20 kW", 0, 0, "a power" },
	{ "force", FIELD_FORCE, offsetof(struct cart, force_mn), "1 N", "20 kN", 0, 0, "a force" },
	{ "count", FIELD_COUNT, offsetof(struct cart, count), "1", "60", "4", 0, "a number of things" },
	{ "text", FIELD_TEXT, offsetof(struct cart, text), 0, 0, "untitled", 0, "a text" },
	{ "colour", FIELD_CHOICE, offsetof(struct cart, colour), 0, 0, "green", 0, "a colour", .choices = COLOURS },
	{ "colours", FIELD_CHOICES, offsetof(struct cart, colours), 0, 0, "red, green, blue", 0, "some", .choices = COLOURS },
	{ "wheel", FIELD_MAPPING, offsetof(struct cart, wheel), 0, 0, 0, 0, "the wheel", .inner = &WHEEL },
	{ "spare", FIELD_NAME_OR_MAPPING, offsetof(struct cart, spare), 0, 0, 0, 0, "another", .inner = &WHEEL },
	{ "wheels", FIELD_NAMED, offsetof(struct cart, wheels), 0, 0, 0, 0, "by name", .inner = &WHEEL },
	{ "row", FIELD_LIST, offsetof(struct cart, row), 0, 0, 0, 0, "one behind the other", .inner = &WHEEL },
	{ "lengths", FIELD_LENGTHS, offsetof(struct cart, lengths), "1 mm", "50 mm", 0, 0, "in a row" },
	{ "rotations", FIELD_ROTATIONS, offsetof(struct cart, rotations), "1 rpm", "9 rpm", 0, 0, "in a row" },
	{ "lines", FIELD_LINES, offsetof(struct cart, lines), 0, 0, 0, 0, "of text" },
};
static const struct mapping CART = { "the cart", CART_FIELDS, sizeof CART_FIELDS / sizeof CART_FIELDS[0], sizeof(struct cart) };
/* clang-format on */

struct binding {
	struct arena  arena;
	struct diag   diag;
	struct source source;
	struct cart   cart;
	bool          ok;
};

/* Does not move once it is opened. */
static void
binding_open(struct binding *binding, const char *text, enum units units)
{
	const struct node *root;

	*binding            = (struct binding){ 0 };
	binding->diag.arena = &binding->arena;
	binding->source     = (struct source){ "cart.yaml", text, strlen(text), units };
	root                = yaml_parse(&binding->source, &binding->arena, &binding->diag);
	assert_non_null(root);
	binding->ok = schema_bind(&CART, root, root->place, units, &binding->cart, &binding->arena, &binding->diag);
}

static void
binding_close(struct binding *binding)
{
	arena_release(&binding->arena);
}

static void
every_kind_of_value_is_bound(void **state)
{
	static const char *const text = "reach: 3\n"
					"track: 1-1/2 in\n"
					"feed: 300\n"
					"speed: 300 ft/min\n"
					"rotation: 1115\n"
					"share: 45 %\n"
					"angle: 45\n"
					"power: 2.2 kW\n"
					"force: 500 N\n"
					"count: 5\n"
					"text: pump foot\n"
					"colour: blue\n"
					"colours: [red, blue]\n"
					"wheel: {bore: 25, spokes: 8}\n"
					"spare: big wheel\n"
					"wheels: {small: {bore: 10}, big wheel: {bore: 30, spokes: 20}}\n"
					"row: [{bore: 12}, {bore: 14, spokes: 16}]\n"
					"lengths: [10, 1/2 in, 20]\n"
					"rotations: [1, 9 rpm]\n"
					"lines: [one, two]\n";
	struct binding           binding;
	const struct cart       *cart = &binding.cart;
	const struct wheel      *wheels;

	(void)state;
	binding_open(&binding, text, UNITS_MM);
	assert_true(binding.ok);
	assert_int_equal(cart->reach, 3000000);
	assert_int_equal(cart->track, 38100000);
	assert_int_equal(cart->feed, 300000000);
	assert_int_equal(cart->speed, 91440000000);
	assert_int_equal(cart->rotation, 1115);
	assert_int_equal(cart->share, 450000);
	assert_int_equal(cart->angle_udeg, 45000000);
	assert_int_equal(cart->power_mw, 2200000);
	assert_int_equal(cart->force_mn, 500000);
	assert_int_equal(cart->count, 5);
	assert_string_equal(cart->text, "pump foot");
	assert_int_equal(cart->colour, BLUE);
	assert_int_equal(cart->colours, 1u << RED | 1u << BLUE);
	assert_int_equal(cart->wheel.bore, 25000000);
	assert_int_equal(cart->wheel.spokes, 8);
	assert_null(cart->spare.bound.node);
	assert_string_equal(cart->spare.bound.name, "big wheel");
	assert_true(place_is_at(cart->spare.bound.place, text, "big wheel"));
	assert_int_equal(cart->wheels.count, 2);
	wheels = cart->wheels.items;
	assert_string_equal(wheels[0].bound.name, "small");
	assert_int_equal(wheels[0].bore, 10000000);
	assert_int_equal(wheels[0].spokes, 12);
	assert_string_equal(wheels[1].bound.name, "big wheel");
	assert_int_equal(wheels[1].spokes, 20);
	assert_true(place_is_at(wheels[1].bound.place, text, "{bore: 30"));
	assert_int_equal(cart->row.count, 2);
	wheels = cart->row.items;
	assert_null(wheels[0].bound.name);
	assert_int_equal(wheels[0].bore, 12000000);
	assert_int_equal(wheels[0].spokes, 12);
	assert_int_equal(wheels[1].bore, 14000000);
	assert_int_equal(wheels[1].spokes, 16);
	assert_true(place_is_at(wheels[1].bound.place, text, "{bore: 14"));
	assert_true(place_is_at(schema_place(&wheels[1].bound, "spokes"), text, "16}"));
	assert_int_equal(cart->lengths.count, 3);
	assert_int_equal(cart->lengths.values[0], 10000000);
	assert_int_equal(cart->lengths.values[1], 12700000);
	assert_int_equal(cart->rotations.count, 2);
	assert_int_equal(cart->rotations.values[1], 9);
	assert_string_equal(cart->lines->entries->next->value->text, "two");
	binding_close(&binding);
}

static void
bare_numbers_are_in_the_units_of_their_file(void **state)
{
	struct binding binding;

	(void)state;
	binding_open(&binding, "{reach: 3, track: 2 mm, feed: 12, speed: 300, lengths: [1]}", UNITS_INCH);
	assert_true(binding.ok);
	assert_int_equal(binding.cart.reach, 76200000);
	assert_int_equal(binding.cart.track, 2000000);
	assert_int_equal(binding.cart.feed, 304800000);
	assert_int_equal(binding.cart.speed, 91440000000);
	assert_int_equal(binding.cart.lengths.values[0], 25400000);
	binding_close(&binding);
}

static void
what_is_left_out_has_its_default(void **state)
{
	static const struct {
		enum units units;
		Length     track;
	} cases[] = { { UNITS_INCH, 50800000 }, { UNITS_MM, 50000000 } };

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct binding     binding;
		const struct cart *cart = &binding.cart;

		binding_open(&binding, "{reach: 10 mm}", cases[i].units);
		assert_true(binding.ok);
		assert_int_equal(cart->track, cases[i].track);
		assert_int_equal(cart->feed, 0);
		assert_int_equal(cart->rotation, 80);
		assert_int_equal(cart->share, 700000);
		assert_int_equal(cart->angle_udeg, 90000000);
		assert_int_equal(cart->count, 4);
		assert_string_equal(cart->text, "untitled");
		assert_int_equal(cart->colour, GREEN);
		assert_int_equal(cart->colours, 7);
		assert_int_equal(cart->wheels.count, 0);
		assert_int_equal(cart->row.count, 0);
		assert_int_equal(cart->lengths.count, 0);
		assert_null(cart->lines);
		/* A mapping that is left out has its defaults too, and misses nothing. */
		assert_int_equal(cart->wheel.spokes, 12);
		assert_int_equal(cart->wheel.bore, 0);
		assert_null(cart->wheel.bound.node);
		assert_int_equal(cart->wheel.bound.place.line, 1);
		assert_null(cart->spare.bound.name);
		binding_close(&binding);
	}
}

static void
a_mapping_that_is_nowhere_is_all_defaults(void **state)
{
	struct arena arena = { 0 };
	struct diag  diag  = { .arena = &arena };
	struct cart  cart  = { 0 };

	(void)state;
	assert_true(schema_bind(&CART, NULL, (struct place){ 0 }, UNITS_MM, &cart, &arena, &diag));
	assert_int_equal(cart.track, 50000000);
	assert_int_equal(cart.reach, 0);
	assert_null(diag.first);
	arena_release(&arena);
}

static void
lists_of_choices_may_be_empty_or_one_word(void **state)
{
	static const struct {
		const char *text;
		unsigned    colours;
	} cases[] = {
		{ "{reach: 1, colours: []}", 0 },
		{ "{reach: 1, colours: blue}", 1u << BLUE },
		{ "{reach: 1, colours: [blue, blue]}", 1u << BLUE },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct binding binding;

		binding_open(&binding, cases[i].text, UNITS_MM);
		assert_true(binding.ok);
		assert_int_equal(binding.cart.colours, cases[i].colours);
		binding_close(&binding);
	}
}

static void
limits_are_inclusive(void **state)
{
	struct binding binding;

	(void)state;
	binding_open(&binding, "{reach: 1, least_only: 12.7, most_only: 12.7, share: 5 %, count: 60, lengths: [1, 50]}",
	             UNITS_MM);
	assert_true(binding.ok);
	binding_close(&binding);
	binding_open(&binding, "{reach: 100, share: 90 %, count: 1, rotation: 0}", UNITS_MM);
	assert_true(binding.ok);
	binding_close(&binding);
}

/* The message in full, and where it stands. */
static void
what_is_wrong_is_said_where_it_stands(void **state)
{
	static const struct {
		const char *text;
		enum units  units;
		const char *at, *message;
	} cases[] = {
		{ "{reach: 0.999999}", UNITS_MM, "0.99", "reach 0.999999 is out of range; use 1 mm to 100 mm" },
		{ "{reach: 100.000001}", UNITS_MM, "100", "reach 100.000001 is out of range; use 1 mm to 100 mm" },
		{ "{reach: 1 m}", UNITS_MM, "1 m", "reach 1 m is out of range; use 1 mm to 100 mm" },
		{ "{reach: 1, least_only: 12}", UNITS_MM, "12", "least_only 12 is too small; use 1/2 in or more" },
		{ "{reach: 1, most_only: 13}", UNITS_MM, "13", "most_only 13 is too large; use 1/2 in or less" },
		{ "{reach: 1, most_only: 13 in}", UNITS_INCH, "13",
		  "most_only 13 in is too large; use 0.5 in or less" },
		{ "{reach: 1, share: 91 %}", UNITS_MM, "91", "share 91 % is out of range; use 5 % to 90 %" },
		{ "{reach: 1, share: 45}", UNITS_MM, "45", "share: '45' needs a unit: %" },
		{ "{reach: 1, count: 0}", UNITS_MM, "0", "count 0 is out of range; use 1 to 60" },
		{ "{reach: 1, count: 2.5}", UNITS_MM, "2.5", "count: '2.5' is not a whole number" },
		{ "{reach: 1, rotation: fast}", UNITS_MM, "fast", "rotation: 'fast' is not a number" },
		{ "{reach: 1, lengths: [1, 2, 51]}", UNITS_MM, "51", "lengths 51 is out of range; use 1 mm to 50 mm" },
		{ "{reach: 1, rotations: [10]}", UNITS_MM, "10", "rotations 10 is out of range; use 1 rpm to 9 rpm" },
		{ "{reach: 1, lengths: [1, [2]]}", UNITS_MM, "[2]", "'lengths' wants one number" },
		{ "{reach: 1, colour: pink}", UNITS_MM, "pink",
		  "colour cannot be 'pink'; it is one of: red, green, blue" },
		{ "{reach: 1, colours: [red, pink]}", UNITS_MM, "pink",
		  "colours cannot be 'pink'; it is one of: red, green, blue" },
		/* of the wrong kind */
		{ "{reach: [1]}", UNITS_MM, "[1]", "'reach' wants one number" },
		{ "{reach: {a: 1}}", UNITS_MM, "{a", "'reach' wants one number" },
		{ "{reach: 1, text: [a]}", UNITS_MM, "[a]", "'text' wants a text" },
		{ "{reach: 1, colour: [red]}", UNITS_MM, "[red]", "'colour' wants one word" },
		{ "{reach: 1, colours: {red: 1}}", UNITS_MM, "{red", "'colours' wants a list of words" },
		{ "{reach: 1, colours: [[red]]}", UNITS_MM, "[red]", "'colours' wants one word" },
		{ "{reach: 1, wheel: big}", UNITS_MM, "big",
		  "a wheel is a mapping of keys and values, {bore: ..., ...}" },
		{ "{reach: 1, spare: [big]}", UNITS_MM, "[big]",
		  "a wheel is a mapping of keys and values, {bore: ..., ...}" },
		{ "{reach: 1, wheels: big}", UNITS_MM, "big", "'wheels' wants a mapping of names" },
		{ "{reach: 1, wheels: [{bore: 1}]}", UNITS_MM, "[{", "'wheels' wants a mapping of names" },
		{ "{reach: 1, wheels: {big: 3}}", UNITS_MM, "3",
		  "a wheel is a mapping of keys and values, {bore: ..., ...}" },
		{ "{reach: 1, row: {bore: 1}}", UNITS_MM, "{bore", "'row' wants a list of mappings, [{...}, ...]" },
		{ "{reach: 1, row: big}", UNITS_MM, "big", "'row' wants a list of mappings, [{...}, ...]" },
		{ "{reach: 1, row: [{bore: 1}, 7]}", UNITS_MM, "7",
		  "a wheel is a mapping of keys and values, {bore: ..., ...}" },
		{ "{reach: 1, row: [{bore: 1}, [2]]}", UNITS_MM, "[2]",
		  "a wheel is a mapping of keys and values, {bore: ..., ...}" },
		{ "{reach: 1, lengths: 3}", UNITS_MM, "3", "'lengths' wants a list of numbers" },
		{ "{reach: 1, lines: {a: b}}", UNITS_MM, "{a", "'lines' wants a text or a list of texts" },
		{ "{reach: 1, lines: [a, [b]]}", UNITS_MM, "[b]", "'lines' wants a list of texts" },
		/* keys */
		{ "{}", UNITS_MM, "{", "the cart has no 'reach' (how far)" },
		{ "{reach: 1, wheel: {spokes: 4}}", UNITS_MM, "{spokes", "a wheel has no 'bore' (of the hub)" },
		{ "{reach: 1, wheels: {big: {spokes: 4}}}", UNITS_MM, "{spokes", "a wheel has no 'bore' (of the hub)" },
		{ "{reach: 1, row: [{bore: 1}, {spokes: 4}]}", UNITS_MM, "{spokes",
		  "a wheel has no 'bore' (of the hub)" },
		{ "{reach: 1, row: [{bore: 1}, {bore: 2, spoke: 4}]}", UNITS_MM,
		  "spoke:", "a wheel has no key 'spoke'; did you mean 'spokes'?" },
		{ "{reach: 1, row: [{bore: 1}, {bore: 2, spokes: 2}]}", UNITS_MM, "2}",
		  "spokes 2 is out of range; use 3 to 99" },
		{ "{reahc: 1}", UNITS_MM, "reahc", "the cart has no key 'reahc'; did you mean 'reach'?" },
		{ "{reach: 1, Track: 1}", UNITS_MM, "Track", "the cart has no key 'Track'; did you mean 'track'?" },
		{ "{reach: 1, temperature: 1}", UNITS_MM, "temp", "the cart has no key 'temperature'" },
		{ "{reach: 1, wheel: {bore: 1, spoke: 1}}", UNITS_MM,
		  "spoke:", "a wheel has no key 'spoke'; did you mean 'spokes'?" },
		/* nothing there */
		{ "{reach: }", UNITS_MM, "}", "'reach' has no value" },
		{ "{reach: 1, colour: ''}", UNITS_MM, "''", "'colour' has no value" },
		{ "{reach: 1, wheel: }", UNITS_MM, "}", "'wheel' has no value" },
		{ "{reach: 1, wheels: }", UNITS_MM, "}", "'wheels' has no value" },
		{ "{reach: 1, row: }", UNITS_MM, "}", "'row' has no value" },
		{ "{reach: 1, lines: }", UNITS_MM, "}", "'lines' has no value" },
		/* the root */
		{ "a cart", UNITS_MM, "a", "the cart is a mapping of keys and values, {reach: ..., ...}" },
		{ "[1, 2]", UNITS_MM, "[", "the cart is a mapping of keys and values, {reach: ..., ...}" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct binding        binding;
		const struct message *message;

		binding_open(&binding, cases[i].text, cases[i].units);
		message = binding.diag.first;
		if (binding.ok || binding.diag.errors != 1 || strcmp(message->text, cases[i].message) != 0 ||
		    !place_is_at(message->place, cases[i].text, cases[i].at))
			fail_msg("%s: %zu errors, the first in column %zu: %s", cases[i].text, binding.diag.errors,
			         message ? message->place.column : 0, message ? message->text : "");
		binding_close(&binding);
	}
}

/* Limits in millimetres, told in inches, are rounded to the side on which they can be used. */
static void
what_a_message_offers_is_accepted(void **state)
{
	static const struct {
		const char *before, *wrong, *behind;
	} cases[] = {
		{ "{reach: ", "4", "}" },
		{ "{reach: 1, feed: ", "100", "}" },
		{ "{reach: 1, speed: ", "2000", "}" },
		{ "{reach: 1, lengths: [", "9", "]}" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		char           room[256];
		struct text    text = text_over(room, sizeof room);
		struct binding binding;
		char          *least, *most;

		text_format(&text, "%s%s%s", cases[i].before, cases[i].wrong, cases[i].behind);
		binding_open(&binding, text_end(&text), UNITS_INCH);
		assert_false(binding.ok);
		text = text_over(room, sizeof room);
		text_string(&text, binding.diag.first->text);
		text_end(&text);
		binding_close(&binding);
		least    = strstr(room, "use ") + 4;
		most     = strstr(least, " to ") + 4;
		most[-4] = '\0';
		for (int j = 0; j < 2; j++) {
			char        again[256];
			struct text offered = text_over(again, sizeof again);

			text_format(&offered, "%s%s%s", cases[i].before, j == 0 ? least : most, cases[i].behind);
			binding_open(&binding, text_end(&offered), UNITS_INCH);
			if (!binding.ok)
				fail_msg("%s: %s", again, binding.diag.first->text);
			binding_close(&binding);
		}
	}
}

static void
a_list_of_mappings_may_be_empty(void **state)
{
	struct binding binding;

	(void)state;
	binding_open(&binding, "{reach: 1, row: []}", UNITS_MM);
	assert_true(binding.ok);
	assert_int_equal(binding.cart.row.count, 0);
	binding_close(&binding);
}

/* Both of a list's items, and both errors of the second. */
static void
every_error_in_a_list_is_collected(void **state)
{
	static const char *const text = "{reach: 1, row: [{}, {bore: wide, spokes: 1}]}";
	struct binding           binding;

	(void)state;
	binding_open(&binding, text, UNITS_MM);
	assert_false(binding.ok);
	assert_int_equal(binding.diag.errors, 3);
	assert_true(place_is_at(binding.diag.first->place, text, "{}"));
	assert_true(place_is_at(binding.diag.last->place, text, "1}]"));
	binding_close(&binding);
}

static void
a_text_may_be_empty(void **state)
{
	struct binding binding;

	(void)state;
	binding_open(&binding, "{reach: 1, text: }", UNITS_MM);
	assert_true(binding.ok);
	assert_string_equal(binding.cart.text, "");
	binding_close(&binding);
}

static void
every_error_of_a_file_is_collected(void **state)
{
	static const char *const text     = "reach: -1\n"
					    "feed: 10 rpm\n"
					    "colours: [pink, red, beige]\n"
					    "wheel: {bore: wide, spokes: 1}\n"
					    "wheels: {a: {}, b: {bore: 1, hub: 1}}\n"
					    "lengths: [0, 1, x]\n"
					    "weight: 3\n";
	static const char *const places[] = { "-1",    "10 rpm", "pink", "beige", "wide",  "1}\nwheels",
		                              "{}, b", "hub",    "0, 1", "x]",    "weight" };
	struct binding           binding;

	(void)state;
	binding_open(&binding, text, UNITS_MM);
	assert_false(binding.ok);
	assert_int_equal(binding.diag.errors, sizeof places / sizeof places[0]);
	for (size_t i = 0; i < sizeof places / sizeof places[0]; i++) {
		bool found = false;

		for (const struct message *message = binding.diag.first; message; message = message->next)
			found |= place_is_at(message->place, text, places[i]);
		if (!found)
			fail_msg("no error at %s", places[i]);
	}
	binding_close(&binding);
}

static void
places_and_presence_are_known_afterwards(void **state)
{
	static const char *const text = "reach: 10\n"
					"wheel:\n"
					"  bore: 7\n";
	struct binding           binding;

	(void)state;
	binding_open(&binding, text, UNITS_MM);
	assert_true(schema_given(&binding.cart.bound, "reach"));
	assert_true(place_is_at(schema_place(&binding.cart.bound, "reach"), text, "10"));
	assert_false(schema_given(&binding.cart.bound, "track"));
	assert_true(place_is_at(schema_place(&binding.cart.bound, "track"), text, "reach"));
	assert_true(place_is_at(schema_place(&binding.cart.wheel.bound, "bore"), text, "7"));
	assert_true(place_is_at(schema_place(&binding.cart.wheel.bound, "spokes"), text, "bore"));
	assert_false(schema_given(&binding.cart.spare.bound, "bore"));
	assert_true(place_is_at(schema_place(&binding.cart.spare.bound, "bore"), text, "reach"));
	binding_close(&binding);
}

static void
the_reference_page_is_made_of_the_same_rows(void **state)
{
	static const char *const rows[] = {
		"| `reach` | length, 1 mm to 100 mm | **required** | how far |\n",
		"| `track` | length | `2 in`; in mm files `50 mm` | how wide |\n",
		"| `least_only` | length, 1/2 in or more |  | at least |\n",
		"| `feed` | feed: in/min, ft/min, mm/min, m/min, 1 mm/min to 1.5 m/min |  | a feed |\n",
		"| `share` | share, with %, 5 % to 90 % | `70 %` | a share |\n",
		"| `colour` | one of `red`, `green`, `blue` | `green` | a colour; `red`: like rust |\n",
		"| `wheel` | mapping: a wheel |  | the wheel |\n",
		"| `spare` | a name, or a wheel |  | another |\n",
		"| `wheels` | names, each with a wheel |  | by name |\n",
		"| `row` | list, each a wheel |  | one behind the other |\n",
		"| `lines` | text or list of texts |  | of text |\n",
		"| `spokes` | whole number, 3 to 99 | `12` | how many |\n",
	};
	char        room[8192];
	struct text out = text_over(room, sizeof room);
	const char *page, *wheel;

	(void)state;
	schema_page(&CART, &out);
	assert_false(out.failed);
	page = text_end(&out);
	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
		if (!strstr(page, rows[i]))
			fail_msg("no row %sin\n%s", rows[i], page);
	for (size_t i = 0; i < CART.count; i++) {
		char        start[64];
		struct text key = text_over(start, sizeof start);

		text_format(&key, "\n| `%s` | ", CART_FIELDS[i].key);
		assert_non_null(strstr(page, text_end(&key)));
	}
	/* What four keys have in common is told once. */
	assert_ptr_equal(strstr(page, "\n### the cart\n"), page);
	wheel = strstr(page, "\n### a wheel\n");
	assert_non_null(wheel);
	assert_null(strstr(wheel + 1, "\n### a wheel\n"));
}

/* The page says what the most is where that is the only limit. */
static void
the_reference_page_has_the_upper_limit_too(void **state)
{
	char        room[8192];
	struct text out = text_over(room, sizeof room);

	(void)state;
	schema_page(&CART, &out);
	assert_non_null(strstr(text_end(&out), "| `most_only` | length, 1/2 in or less |"));
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_kind_of_value_is_bound),
		cmocka_unit_test(bare_numbers_are_in_the_units_of_their_file),
		cmocka_unit_test(what_is_left_out_has_its_default),
		cmocka_unit_test(a_mapping_that_is_nowhere_is_all_defaults),
		cmocka_unit_test(lists_of_choices_may_be_empty_or_one_word),
		cmocka_unit_test(a_list_of_mappings_may_be_empty),
		cmocka_unit_test(every_error_in_a_list_is_collected),
		cmocka_unit_test(limits_are_inclusive),
		cmocka_unit_test(what_is_wrong_is_said_where_it_stands),
		cmocka_unit_test(what_a_message_offers_is_accepted),
		cmocka_unit_test(a_text_may_be_empty),
		cmocka_unit_test(every_error_of_a_file_is_collected),
		cmocka_unit_test(places_and_presence_are_known_afterwards),
		cmocka_unit_test(the_reference_page_is_made_of_the_same_rows),
		cmocka_unit_test(the_reference_page_has_the_upper_limit_too),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
