#include "planning.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "skimcut/hold.h"
#include "skimcut/path.h"

/*
 * 63 mm over 40: one pass along X, its centre from -34 to 134 at Y 25.75. The edges so reach from -65.5 to 165.5 in X and from
 * -5.75 to 57.25 in Y.
 */
#define SMALL                                                                                                          \
	"units: mm\nmaterial: brass\nstock: {length: 100, width: 40, height: 20}\nfinished_height: 18\n"               \
	"cut: {clearance: 2.5}\n"
#define FACE_MILL "cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide}\n"

/* Of either sign, exact to the nanometre. */
static void
put_length(struct text *out, const char *key, Length x)
{
	text_format(out, "%s: %s%lld.%03d um", key, x < 0 ? "-" : "", llabs(x) / 1000, (int)(llabs(x) % 1000));
}

static void
put_clamp(struct text *out, const struct clamp *clamp)
{
	put_length(out, "{x", clamp->x);
	put_length(out, ", y", clamp->y);
	put_length(out, ", length", clamp->length);
	put_length(out, ", width", clamp->width);
	put_length(out, ", height", clamp->height);
	text_string(out, "}");
}

/* Does not move once it is opened. */
static void
held_open(struct planning *planning, const char *yaml, struct hold *hold)
{
	if (!planning_open(planning, yaml))
		fail_msg("not a job: %s\n%s", planning->diag.first ? planning->diag.first->text : "", yaml);
	assert_true(hold_find(&planning->job, planning->job.finished_height, &planning->arena, hold, &planning->diag));
}

static void
a_part_that_nothing_holds_has_nothing_beside_it(void **state)
{
	static const char *const rests[] = { "", "hold: {}\n", "hold: {clamps: []}\n", "parallels: [10, 20]\n" };

	(void)state;
	for (size_t i = 0; i < sizeof rests / sizeof rests[0]; i++) {
		char            yaml[512];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		struct hold     hold;

		text_format(&out, "%s%s%s", SMALL, FACE_MILL, rests[i]);
		held_open(&planning, text_end(&out), &hold);
		assert_int_equal(hold.count, 0);
		assert_int_equal(hold.highest, 0);
		assert_int_equal(hold.parallel, 0);
		planning_close(&planning);
	}
}

static void
jaws_fill_what_is_before_and_behind_the_part(void **state)
{
	static const char yaml[] = SMALL FACE_MILL "vise: {front_jaw: 40, rear_jaw: 45, jaw_width: 150}\n"
						   "parallels: [30]\n";
	struct planning                  planning;
	struct hold                      hold;
	const struct obstacle           *front, *rear;

	(void)state;
	held_open(&planning, yaml, &hold);
	assert_int_equal(hold.count, 2);
	front = &hold.obstacles[0];
	rear  = &hold.obstacles[1];
	assert_string_equal(front->name, "the front jaw");
	assert_string_equal(rear->name, "the rear jaw");
	assert_int_equal(front->left, -25 * LENGTH_MM);
	assert_int_equal(front->right, 125 * LENGTH_MM);
	assert_int_equal(front->front, -LENGTH_MAX);
	assert_int_equal(front->back, 0);
	assert_int_equal(rear->left, front->left);
	assert_int_equal(rear->right, front->right);
	assert_int_equal(rear->front, 40 * LENGTH_MM);
	assert_int_equal(rear->back, LENGTH_MAX);
	assert_int_equal(front->top, 10 * LENGTH_MM);
	assert_int_equal(rear->top, 15 * LENGTH_MM);
	assert_int_equal(hold.highest, 15 * LENGTH_MM);
	assert_true(place_is_at(rear->place, yaml, "{front_jaw"));
	planning_close(&planning);
}

/* Half a nanometre is in the way rather than out of it. */
static void
a_jaw_is_never_narrower_than_it_is(void **state)
{
	static const struct {
		const char *width;
		Length      left;
	} cases[] = {
		{ "149.999999", -25000000 },
		{ "150.000001", -25000001 },
		{ "99.999999", 0 },
		{ "60", 20000000 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		char            yaml[512];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		struct hold     hold;

		text_format(&out, "%s%svise: {front_jaw: 10, rear_jaw: 10, jaw_width: %s}\n", SMALL, FACE_MILL,
		            cases[i].width);
		held_open(&planning, text_end(&out), &hold);
		assert_int_equal(hold.obstacles[0].left, cases[i].left);
		assert_int_equal(hold.obstacles[0].right, 100 * LENGTH_MM - cases[i].left);
		planning_close(&planning);
	}
}

static void
clamps_stand_where_the_job_says(void **state)
{
	static const char yaml[] = SMALL FACE_MILL "vise: {front_jaw: 10, rear_jaw: 10, jaw_width: 100}\n"
						   "hold:\n"
						   "  clamps:\n"
						   "    - {x: -90, y: -5, length: 20, width: 30, height: 25}\n"
						   "    - {x: 200, y: 0, length: 1, width: 2, height: 3}\n";
	struct planning                  planning;
	struct hold                      hold;
	const struct obstacle           *clamp;

	(void)state;
	held_open(&planning, yaml, &hold);
	assert_int_equal(hold.count, 4);
	clamp = &hold.obstacles[2];
	assert_string_equal(clamp->name, "clamp 1");
	assert_int_equal(clamp->left, -90 * LENGTH_MM);
	assert_int_equal(clamp->right, -70 * LENGTH_MM);
	assert_int_equal(clamp->front, -5 * LENGTH_MM);
	assert_int_equal(clamp->back, 25 * LENGTH_MM);
	assert_int_equal(clamp->top, 25 * LENGTH_MM);
	assert_true(place_is_at(clamp->place, yaml, "{x: -90"));
	assert_string_equal(hold.obstacles[3].name, "clamp 2");
	assert_int_equal(hold.obstacles[3].top, 3 * LENGTH_MM);
	assert_int_equal(hold.highest, 25 * LENGTH_MM);
	planning_close(&planning);
}

/* The finished face is 18 above the bottom and wants 2.5 of air: jaws of 30 want 14.5. */
static void
the_smallest_parallel_that_clears_is_taken_else_the_tallest(void **state)
{
	static const struct {
		const char *jaws, *parallels;
		Length      taken;
	} cases[] = {
		{ "front_jaw: 30, rear_jaw: 30", "", 0 },
		{ "front_jaw: 30, rear_jaw: 30", "[]", 0 },
		{ "front_jaw: 30, rear_jaw: 30", "[20]", 20000000 },
		{ "front_jaw: 30, rear_jaw: 30", "[20, 16, 28]", 16000000 },
		{ "front_jaw: 30, rear_jaw: 30", "[16, 14.5, 14.499999]", 14500000 },
		{ "front_jaw: 30, rear_jaw: 30", "[14.499999, 16, 5]", 16000000 },
		{ "front_jaw: 30, rear_jaw: 30", "[5, 14, 10, 14, 5]", 14000000 },
		{ "front_jaw: 30, rear_jaw: 30", "[20, 16, 20, 16]", 16000000 },
		{ "front_jaw: 30, rear_jaw: 32", "[16, 16.5, 14.5]", 16500000 },
		{ "front_jaw: 32, rear_jaw: 30", "[16, 16.5, 14.5]", 16500000 },
		/* It would clear on the bed, but a part does not sit well over the gap in it. */
		{ "front_jaw: 10, rear_jaw: 10", "[5, 3, 8]", 3000000 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		char            yaml[512];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		struct hold     hold;

		text_format(&out, "%s%svise: {%s, jaw_width: 100}\n", SMALL, FACE_MILL, cases[i].jaws);
		if (cases[i].parallels[0])
			text_format(&out, "parallels: %s\n", cases[i].parallels);
		held_open(&planning, text_end(&out), &hold);
		assert_int_equal(hold.parallel, cases[i].taken);
		planning_close(&planning);
	}
}

static void
jaws_that_end_below_the_part_are_no_height(void **state)
{
	struct planning planning;
	struct hold     hold;

	(void)state;
	held_open(&planning, SMALL FACE_MILL "vise: {front_jaw: 10, rear_jaw: 10, jaw_width: 100}\nparallels: [20]\n",
	          &hold);
	assert_int_equal(hold.obstacles[0].top, -10 * LENGTH_MM);
	assert_int_equal(hold.highest, 0);
	planning_close(&planning);
}

/* `at`: where the message points, by the first place of these letters. */
static void
what_is_in_the_way_is_told_with_a_way_out(void **state)
{
	static const struct {
		const char   *rest;
		enum severity severity;
		const char   *at, *text;
	} cases[] = {
		{ "vise: {front_jaw: 10, rear_jaw: 30, jaw_width: 100}\n", SEVERITY_REFUSED, "{front_jaw",
		  "on the vise's bed the rear jaw stands 12 mm above the finished face, in the cutter's way; the part "
		  "is too low for this vise: parallels that lift the face clear of the jaws leave them nothing to "
		  "grip" },
		{ "vise: {front_jaw: 14.5, rear_jaw: 30, jaw_width: 100}\n", SEVERITY_REFUSED, "{front_jaw",
		  "on the vise's bed the rear jaw stands 12 mm above the finished face, in the cutter's way; the part "
		  "is too low for this vise: parallels that lift the face clear of the jaws leave them nothing to "
		  "grip" },
		{ "vise: {front_jaw: 30, rear_jaw: 15, jaw_width: 100}\nparallels: [9, 4]\n", SEVERITY_REFUSED,
		  "{front_jaw",
		  "on 9 mm parallels the front jaw stands 3 mm above the finished face, in the cutter's way; parallels "
		  "of 14.5 mm or a little more lift the face clear of the jaws and leave a grip" },
		{ "vise: {front_jaw: 15, rear_jaw: 18, jaw_width: 100}\n", SEVERITY_REFUSED, "{front_jaw",
		  "on the vise's bed the rear jaw is level with the finished face, in the cutter's way; parallels of "
		  "2.5 mm or a little more lift the face clear of the jaws and leave a grip" },
		{ "vise: {front_jaw: 15, rear_jaw: 17, jaw_width: 100}\n", SEVERITY_WARNING, "{front_jaw",
		  "on the vise's bed the rear jaw is only 1 mm below the finished face, close to the cutter's way; "
		  "parallels of 1.5 mm or a little more lift the face clear of the jaws and leave a grip" },
		{ "vise: {front_jaw: 30, rear_jaw: 40, jaw_width: 100}\nparallels: [30]\n", SEVERITY_REFUSED,
		  "{front_jaw",
		  "on 30 mm parallels the part stands above the front jaw; parallels of 24.5 mm or a little more lift "
		  "the face clear of the jaws and leave a grip" },
		{ "vise: {front_jaw: 15, rear_jaw: 14, jaw_width: 100}\nparallels: [14]\n", SEVERITY_REFUSED,
		  "{front_jaw",
		  "on 14 mm parallels the part stands above the rear jaw; parallels lower than 14 mm leave the part "
		  "between the jaws" },
		{ "hold: {clamps: [{x: -40, y: 10, length: 30, width: 20, height: 25}]}\n", SEVERITY_REFUSED, "{x: -40",
		  "clamp 1 stands 7 mm above the finished face, in the cutter's way; move it 38.25 mm to the front, or "
		  "take a lower one" },
		{ "hold: {clamps: [{x: -66, y: 10, length: 0.1, width: 20, height: 25}]}\n", SEVERITY_WARNING,
		  "{x: -66",
		  "clamp 1 stands 7 mm above the finished face, close to the cutter's way; move it 2.1 mm to the left, "
		  "or take a lower one" },
		{ "hold: {clamps: [{x: -40, y: 50, length: 30, width: 20, height: 17.5}]}\n", SEVERITY_WARNING,
		  "{x: -40",
		  "clamp 1 is only 0.5 mm below the finished face, close to the cutter's way; move it 7.25 mm to the "
		  "back, or take a lower one" },
		/* Of two, the one that is meant; and one that lies on the part. */
		{ "hold: {clamps: [{x: -140, y: 0, length: 9, width: 9, height: 25}, {x: 95, y: 15, length: 40, width: "
		  "10, height: 30}]}\n",
		  SEVERITY_REFUSED, "{x: 95",
		  "clamp 2 stands 12 mm above the finished face, in the cutter's way; move it 33.25 mm to the front, "
		  "or take a lower one" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		char                  yaml[1024];
		struct text           out = text_over(yaml, sizeof yaml);
		struct planning       planning;
		const struct message *message;
		bool                  made;

		text_format(&out, "%s%s%s", SMALL, FACE_MILL, cases[i].rest);
		assert_true(planning_open(&planning, text_end(&out)));
		made    = planning_plan(&planning, ALONG_X);
		message = message_with(&planning.diag, cases[i].severity, cases[i].text);
		if (!message)
			fail_msg("%s: %s", cases[i].rest, planning.diag.first->text);
		assert_string_equal(message->text, cases[i].text);
		assert_true(place_is_at(message->place, yaml, cases[i].at));
		assert_int_equal(made, cases[i].severity != SEVERITY_REFUSED);
		assert_int_equal(planning.diag.errors, cases[i].severity == SEVERITY_REFUSED);
		planning_close(&planning);
	}
}

static void
every_clamp_and_the_taller_jaw_in_the_way_are_told(void **state)
{
	struct planning planning;

	(void)state;
	assert_true(planning_open(
	    &planning, SMALL FACE_MILL
	    "vise: {front_jaw: 30, rear_jaw: 40, jaw_width: 100}\n"
	    "hold: {clamps: [{x: -20, y: 0, length: 9, width: 9, height: 25}, {x: 110, y: 0, length: 9, width: 9, "
	    "height: 25}]}\n"));
	assert_false(planning_plan(&planning, ALONG_X));
	assert_int_equal(planning.diag.errors, 3);
	assert_non_null(message_with(&planning.diag, SEVERITY_REFUSED, "the rear jaw"));
	assert_non_null(message_with(&planning.diag, SEVERITY_REFUSED, "clamp 1"));
	assert_non_null(message_with(&planning.diag, SEVERITY_REFUSED, "clamp 2"));
	planning_close(&planning);
	assert_true(planning_open(&planning, SMALL FACE_MILL "vise: {front_jaw: 17, rear_jaw: 30, jaw_width: 100}\n"));
	assert_false(planning_plan(&planning, ALONG_X));
	assert_non_null(message_with(&planning.diag, SEVERITY_REFUSED, "the rear jaw"));
	assert_non_null(message_with(&planning.diag, SEVERITY_WARNING, "the front jaw"));
	planning_close(&planning);
}

/* '-' nothing is said, 'w' a warning, 'r' refused. */
static char
said_of_clamp(const char *cutter, const struct clamp *clamp)
{
	char            yaml[1024];
	struct text     out = text_over(yaml, sizeof yaml);
	struct planning planning;
	bool            refused, warned;

	text_format(&out, "%s%s", SMALL, cutter);
	text_string(&out, "hold: {clamps: [");
	put_clamp(&out, clamp);
	text_string(&out, "]}\n");
	if (!planning_open(&planning, text_end(&out)))
		fail_msg("not a job: %s\n%s", planning.diag.first->text, yaml);
	refused = !planning_plan(&planning, ALONG_X);
	assert_int_equal(refused, message_with(&planning.diag, SEVERITY_REFUSED, "in the cutter's way") != NULL);
	warned = message_with(&planning.diag, SEVERITY_WARNING, "close to the cutter's way") != NULL;
	assert_false(refused && warned);
	planning_close(&planning);
	return refused ? 'r' : warned ? 'w' : '-';
}

static void
the_way_is_known_to_the_nanometre(void **state)
{
	/* Flat, to the left of the part, as high as the finished face. Only what differs is told. */
	static const struct clamp left = {
		.x = -85500000, .y = 10000000, .length = 20000000, .width = 20000000, .height = 18000000
	};
	static const struct {
		Length x, y, height; /* 0: as above */
		char   said;
	} cases[] = {
		{ .said = 'w' }, /* it touches */
		{ .x = -85499999, .said = 'r' },
		{ .x = -88000000, .said = '-' }, /* the clearance away */
		{ .x = -87999999, .said = 'w' },
		{ .x = 165500000, .said = 'w' },
		{ .x = 165499999, .said = 'r' },
		{ .x = 168000000, .said = '-' },
		{ .x = 50000000, .y = -25750000, .said = 'w' },
		{ .x = 50000000, .y = -25749999, .said = 'r' },
		{ .x = 50000000, .y = -28250000, .said = '-' },
		{ .x = 50000000, .y = 57250000, .said = 'w' },
		{ .x = 50000000, .y = 57249999, .said = 'r' },
		/* Round the corner: 18.9 and 25.2 make 31.5; with the clearance 20.4 and 27.2 make 34. */
		{ .x = 152900000, .y = 50950000, .said = 'w' },
		{ .x = 152899999, .y = 50950000, .said = 'r' },
		{ .x = 152900000, .y = 50949999, .said = 'r' },
		{ .x = 154400000, .y = 52950000, .said = '-' },
		{ .x = 154400000, .y = 52949999, .said = 'w' },
		/* Under the way. */
		{ .x = -85499999, .height = 17999999, .said = 'w' },
		{ .x = -85500000, .height = 17999999, .said = '-' },
		{ .x = 10000000, .height = 15500001, .said = 'w' },
		{ .x = 10000000, .height = 15500000, .said = '-' },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct clamp clamp = left;
		char         said;

		clamp.x      = cases[i].x ? cases[i].x : left.x;
		clamp.y      = cases[i].y ? cases[i].y : left.y;
		clamp.height = cases[i].height ? cases[i].height : left.height;
		said         = said_of_clamp(FACE_MILL, &clamp);
		if (said != cases[i].said)
			fail_msg("case %zu: '%c' instead of '%c'", i, said, cases[i].said);
	}
}

/*
 * Edges at 45 degrees are as much wider as they are higher: 6 mm over the face, 37.5 instead of 31.5 from the centre. They end
 * where the deepest cut does. Their own run out is longer by the deepest cut that is made, 1 mm, so the centre goes to -35. Of
 * an odd diameter the larger half counts, and the centre goes to -34.001.
 */
static void
slanted_edges_reach_further_up_where_the_obstacle_is(void **state)
{
#define SLANTED                                                                                                        \
	"cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide, entering_angle: 45 deg, nose_radius: 0"
	static const struct {
		const char *cutter;
		Length      height, right; /* where it begins to be met */
	} cases[] = {
		{ "cutter: {kind: face mill, diameter: 63.000001, teeth: 5, edge: carbide}\n", 18000000, -65501001 },
		{ SLANTED "}\n", 18000000, -66500000 },
		{ SLANTED "}\n", 19000000, -67500000 },
		{ SLANTED "}\n", 24000000, -72500000 },
		{ SLANTED ", max_depth: 6}\n", 24000000, -72500000 },
		{ SLANTED ", max_depth: 6}\n", 30000000, -72500000 },
		{ SLANTED ", max_depth: 2}\n", 30000000, -68500000 },
	};

	(void)state;
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		struct clamp clamp = {
			.y = 10000000, .length = 20000000, .width = 20000000, .height = cases[i].height
		};

		clamp.x = cases[i].right - clamp.length;
		if (said_of_clamp(cases[i].cutter, &clamp) != 'w')
			fail_msg("case %zu: it is not the same as touching", i);
		clamp.x += 1;
		assert_int_equal(said_of_clamp(cases[i].cutter, &clamp), 'r');
		clamp.x = cases[i].right - clamp.length - 2500000;
		assert_int_equal(said_of_clamp(cases[i].cutter, &clamp), '-');
	}
}

/* Whoever does as the message says, to the hundredth, has nothing more said to him. */
static void
a_clamp_moved_as_advised_is_clear(void **state)
{
	uint64_t random = 1380649, moved = 0;

	(void)state;
	for (int i = 0; i < 200; i++) {
		uint64_t              seed  = random;
		struct clamp          clamp = { .x      = random_between(&random, -100 * LENGTH_MM, 200 * LENGTH_MM),
			                        .y      = random_between(&random, -60 * LENGTH_MM, 100 * LENGTH_MM),
			                        .length = random_between(&random, LENGTH_MM, 60 * LENGTH_MM),
			                        .width  = random_between(&random, LENGTH_MM, 60 * LENGTH_MM),
			                        .height = random_between(&random, 14 * LENGTH_MM, 40 * LENGTH_MM) };
		char                  yaml[1024], where[8];
		struct text           out = text_over(yaml, sizeof yaml);
		struct planning       planning;
		const struct message *message;
		double                by;

		text_string(&out, SMALL FACE_MILL "hold: {clamps: [");
		put_clamp(&out, &clamp);
		text_string(&out, "]}\n");
		assert_true(planning_open(&planning, text_end(&out)));
		planning_plan(&planning, ALONG_X);
		message = message_with(&planning.diag, SEVERITY_REFUSED, "move it ");
		if (!message)
			message = message_with(&planning.diag, SEVERITY_WARNING, "move it ");
		if (message) {
			Length distance;

			holds(seed, sscanf(strstr(message->text, "move it "), "move it %lf mm to the %7[a-z]", &by,
			                   where) == 2);
			distance = (Length)llround(by * 100) * (LENGTH_MM / 100);
			clamp.x += strcmp(where, "left") == 0 ? -distance : strcmp(where, "right") == 0 ? distance : 0;
			clamp.y += strcmp(where, "front") == 0 ? -distance : strcmp(where, "back") == 0 ? distance : 0;
			holds(seed, said_of_clamp(FACE_MILL, &clamp) == '-');
			moved++;
		}
		planning_close(&planning);
	}
	assert_true(moved > 50);
}

/* --- random jobs --- */

/* A job with a vise or clamps or both, of the size of its stock. Some are in the way. */
static void
random_held_job(uint64_t *random, struct text *out)
{
	struct planning planning;
	struct stock    stock;
	Length          final, diameter;
	int64_t         clamps = random_between(random, 0, 3), parallels = random_between(random, 0, 4);

	random_job(random, "a block", out);
	assert_true(planning_open(&planning, text_end(out)));
	stock    = planning.job.stock;
	final    = planning.job.finished_height;
	diameter = planning.job.cutter.diameter;
	planning_close(&planning);
	if (random_chance(random, 2)) {
		Length lift = parallels > 0 ? random_between(random, 0, 20 * LENGTH_MM) : 0;

		put_length(out, "vise: {front_jaw", LENGTH_MM + lift + random_between(random, 0, final));
		put_length(out, ", rear_jaw", LENGTH_MM + lift + random_between(random, 0, final));
		put_length(out, ", jaw_width", random_between(random, 10 * LENGTH_MM, 300 * LENGTH_MM));
		text_string(out, "}\nparallels: [");
		for (int64_t i = 0; i < parallels; i++) {
			Length x = random_between(random, LENGTH_MM, 20 * LENGTH_MM);

			text_format(out, "%s%lld.%03d um", i > 0 ? ", " : "", (long long)(x / 1000), (int)(x % 1000));
		}
		text_string(out, "]\n");
	}
	text_string(out, "hold: {clamps: [");
	for (int64_t i = 0; i < clamps; i++) {
		Length       room  = diameter + 30 * LENGTH_MM;
		struct clamp clamp = { .x      = random_between(random, -2 * room, stock.length + room),
			               .y      = random_between(random, -2 * room, stock.width + room),
			               .length = random_between(random, LENGTH_MM, 60 * LENGTH_MM),
			               .width  = random_between(random, LENGTH_MM, 60 * LENGTH_MM),
			               .height = random_between(random, LENGTH_MM / 10, final + 40 * LENGTH_MM) };

		text_string(out, i > 0 ? ", " : "");
		put_clamp(out, &clamp);
	}
	text_string(out, "]}\n");
	text_end(out);
	assert_false(out->failed);
}

static void
check_parallel(uint64_t seed, const struct plan *plan)
{
	const struct job *job     = plan->job;
	Length            chosen  = plan->hold.parallel;
	Length            jaw     = job->vise.front_jaw > job->vise.rear_jaw ? job->vise.front_jaw : job->vise.rear_jaw;
	bool              at_hand = false;

#define CLEARS(parallel) ((parallel) + plan->final - jaw >= job->cut.clearance)
	for (size_t i = 0; i < job->parallels.count; i++) {
		Length parallel = job->parallels.values[i];

		at_hand |= parallel == chosen;
		holds(seed, !CLEARS(parallel) || (CLEARS(chosen) && chosen <= parallel));
		holds(seed, CLEARS(chosen) || chosen >= parallel);
	}
	holds(seed, at_hand || (chosen == 0 && (job->parallels.count == 0 || !job->vise.bound.node)));
}

static double
reach_nm(const struct plan *plan, const struct obstacle *obstacle, Length face)
{
	double height = (double)(obstacle->top - face), most = (double)plan->cutter->max_depth;
	double kappa_r = (double)plan->cutter->entering_angle_udeg / 1e6 * acos(-1) / 180;

	height = most > 0 && height > most ? most : height > 0 ? height : 0;
	return (double)plan->cutter->diameter / 2 + (kappa_r < acos(-1) / 2 ? height / tan(kappa_r) : 0);
}

static double
distance_nm(const struct obstacle *obstacle, double x, double y)
{
	double beside = fmax(fmax((double)obstacle->left - x, x - (double)obstacle->right), 0);
	double before = fmax(fmax((double)obstacle->front - y, y - (double)obstacle->back), 0);

	return hypot(beside, before);
}

/* Of the rectangle around all passes from an obstacle, by trying points of it; `step` is how far they are apart. */
static double
sampled_nm(const struct plan *plan, const struct obstacle *obstacle, double *step)
{
	enum { POINTS = 40 };

	struct pass first = layout_pass(&plan->layout, 0), last = layout_pass(&plan->layout, plan->layout.passes - 1);
	double      left  = fmin(fmin((double)first.from.x, (double)first.to.x),
	                         fmin((double)last.from.x, (double)last.to.x));
	double      right = fmax(fmax((double)first.from.x, (double)first.to.x),
	                         fmax((double)last.from.x, (double)last.to.x));
	double      front = fmin(fmin((double)first.from.y, (double)first.to.y),
	                         fmin((double)last.from.y, (double)last.to.y));
	double      back  = fmax(fmax((double)first.from.y, (double)first.to.y),
	                         fmax((double)last.from.y, (double)last.to.y));
	double      least = INFINITY;

	for (int i = 0; i <= POINTS; i++)
		for (int k = 0; k <= POINTS; k++)
			least = fmin(least, distance_nm(obstacle, left + (right - left) * i / POINTS,
			                                front + (back - front) * k / POINTS));
	*step = hypot(right - left, back - front) / POINTS;
	return least;
}

static bool
is_refused(const struct diag *diag, const char *name)
{
	for (const struct message *message = diag->first; message; message = message->next)
		if (message->severity == SEVERITY_REFUSED && strstr(message->text, name) &&
		    strstr(message->text, "in the cutter's way"))
			return true;
	return false;
}

/* What is met is refused, and what is refused is met; two micrometres are the rounding of the edges' slant. */
static bool
check_verdict(uint64_t seed, const struct planning *planning, const struct obstacle *obstacle)
{
	const struct plan *plan    = &planning->plan;
	bool               refused = is_refused(&planning->diag, obstacle->name);
	double step, sampled = sampled_nm(plan, obstacle, &step), reach = reach_nm(plan, obstacle, plan->final);

	if (obstacle->top < plan->final) {
		holds(seed, !refused);
		return refused;
	}
	if (strstr(obstacle->name, "jaw")) /* one speaks for both */
		refused = is_refused(&planning->diag, "jaw");
	holds(seed, refused || sampled >= reach - 1);
	holds(seed, !refused || sampled <= reach + step + 2000);
	return refused;
}

/* Between two points that differ in one axis or none. */
static void
check_move(uint64_t seed, const struct plan *plan, struct point from, struct point to)
{
	Length face = from.z < to.z ? from.z : to.z;

	for (const struct obstacle *obstacle = plan->hold.obstacles; obstacle < plan->hold.obstacles + plan->hold.count;
	     obstacle++) {
		if (obstacle->top < face)
			continue;
		for (int i = 0; i <= 64; i++) {
			double x = (double)from.x + (double)(to.x - from.x) * i / 64;
			double y = (double)from.y + (double)(to.y - from.y) * i / 64;

			holds(seed, distance_nm(obstacle, x, y) >= reach_nm(plan, obstacle, face) - 1);
		}
	}
}

static void
check_path(uint64_t seed, const struct plan *plan)
{
	struct point at    = { 0 };
	unsigned     known = 0;
	struct path  path;
	struct step  step;

	holds(seed, plan->retract >= plan->safe && plan->safe >= plan->hold.highest + plan->job->cut.clearance);
	path_start(&path, plan);
	while (path_next(&path, &step)) {
		struct point to = at;

		if (step.kind != STEP_RAPID && step.kind != STEP_FEED)
			continue;
		to.x = step.axes & AXIS_X ? step.to.x : at.x;
		to.y = step.axes & AXIS_Y ? step.to.y : at.y;
		to.z = step.axes & AXIS_Z ? step.to.z : at.z;
		if (known == (AXIS_X | AXIS_Y | AXIS_Z))
			check_move(seed, plan, at, to);
		else
			holds(seed, to.z >= plan->hold.highest + plan->job->cut.clearance);
		if (step.kind == STEP_RAPID && step.axes & (AXIS_X | AXIS_Y))
			holds(seed, to.z >= plan->hold.highest + plan->job->cut.clearance);
		known |= step.axes;
		at = to;
	}
}

static void
no_step_of_a_plan_comes_near_an_obstacle(void **state)
{
	uint64_t random = 299792458;
	int      jaws = 0, clamps = 0, refused = 0, taller = 0;

	(void)state;
	for (int i = 0; i < 600; i++) {
		uint64_t        seed = random;
		char            yaml[4096];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		bool            made;

		random_held_job(&random, &out);
		if (!planning_open(&planning, yaml))
			fail_msg("seed %llu: %s\n%s", (unsigned long long)seed, planning.diag.first->text, yaml);
		made = planning_plan(&planning, random_chance(&random, 2) ? ALONG_X : ALONG_Y);
		if (planning.plan.layout.passes > 0) {
			const struct plan *plan = &planning.plan;

			check_parallel(seed, plan);
			for (size_t k = 0; k < plan->hold.count; k++)
				refused += check_verdict(seed, &planning, &plan->hold.obstacles[k]);
			if (made) {
				check_path(seed, plan);
				jaws += planning.job.vise.bound.node != NULL;
				clamps += planning.job.hold.clamps.count > 0;
				taller += plan->hold.highest > planning.job.stock.height;
			}
		}
		planning_close(&planning);
	}
	/* The cases are worth something only if all of these came up. */
	if (jaws < 50 || clamps < 50 || refused < 50 || taller < 20)
		fail_msg("%d with jaws, %d with clamps, %d refused, %d taller than the stock", jaws, clamps, refused,
		         taller);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_part_that_nothing_holds_has_nothing_beside_it),
		cmocka_unit_test(jaws_fill_what_is_before_and_behind_the_part),
		cmocka_unit_test(a_jaw_is_never_narrower_than_it_is),
		cmocka_unit_test(clamps_stand_where_the_job_says),
		cmocka_unit_test(the_smallest_parallel_that_clears_is_taken_else_the_tallest),
		cmocka_unit_test(jaws_that_end_below_the_part_are_no_height),
		cmocka_unit_test(what_is_in_the_way_is_told_with_a_way_out),
		cmocka_unit_test(every_clamp_and_the_taller_jaw_in_the_way_are_told),
		cmocka_unit_test(the_way_is_known_to_the_nanometre),
		cmocka_unit_test(slanted_edges_reach_further_up_where_the_obstacle_is),
		cmocka_unit_test(a_clamp_moved_as_advised_is_clear),
		cmocka_unit_test(no_step_of_a_plan_comes_near_an_obstacle),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
