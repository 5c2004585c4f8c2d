/*
 * steps - programs as steps, for the tests of what judges them; and a job that one of them faces.
 *
 * 100 x 60 mm, from 20 mm down to 17, by a cutter of 80 mm that covers it: a test cut to 19.25, two roughing cuts of 1 mm, a skim.
 * The passes run from X 145 to -45 at Y 35, where the cutter hangs over the front, its left, by more. The zero is right, front.
 */
#ifndef SKIMCUT_TESTS_STEPS_H
#define SKIMCUT_TESTS_STEPS_H

#include "planning.h"

#include <math.h>

#include "skimcut/demand.h"
#include "skimcut/finding.h"
#include "skimcut/step.h"

#define JOB_HEAD                                                                                                       \
	"units: mm\n"                                                                                                  \
	"material: {group: K, cutting_speed: 100 m/min, feed_per_tooth: 0.1}\n"                                        \
	"stock: {length: 100, width: 60, height: 20}\n"                                                                \
	"finished_height: 17\n"                                                                                        \
	"zero: {x: right}\n"
#define JOB_CUTTER "cutter: {kind: face mill, diameter: 80, teeth: 5, edge: carbide, number: 4}\n"
#define JOB_MACHINE                                                                                                    \
	"machine: {kind: cnc, spindle: {min: 50, max: 2000}, feed: {max: 400}, travel: {x: 250, y: 150, z: 100}}\n"
#define JOB JOB_HEAD JOB_CUTTER JOB_MACHINE

enum { SCRIPT_MAX = 64, RPM = 390, FEED = 195, SKIM_FEED = 97 };

struct script {
	struct step steps[SCRIPT_MAX];
	size_t      count;
};

static inline Length
mm(double x)
{
	return llround(x * 1e6);
}

static inline struct step
rapid(unsigned axes, double x, double y, double z)
{
	return (struct step){ .kind = STEP_RAPID, .axes = axes, .to = { mm(x), mm(y), mm(z) }, .text = "" };
}

static inline struct step
rapid_z(double z)
{
	return rapid(AXIS_Z, 0, 0, z);
}

static inline struct step
rapid_xy(double x, double y)
{
	return rapid(AXIS_X | AXIS_Y, x, y, 0);
}

static inline struct step
feed(unsigned axes, double x, double y, double z, double rate)
{
	struct step step = rapid(axes, x, y, z);

	step.kind = STEP_FEED;
	step.feed = mm(rate);
	return step;
}

static inline struct step
feed_z(double z, double rate)
{
	return feed(AXIS_Z, 0, 0, z, rate);
}

static inline struct step
feed_xy(double x, double y, double rate)
{
	return feed(AXIS_X | AXIS_Y, x, y, 0, rate);
}

static inline struct step
arc(bool clockwise, double x, double y, double centre_x, double centre_y)
{
	struct step step = feed_xy(x, y, FEED);

	step.kind      = STEP_ARC;
	step.clockwise = clockwise;
	step.centre    = (struct point){ mm(centre_x), mm(centre_y), 0 };
	return step;
}

static inline struct step
helix(bool clockwise, double x, double y, double z, double centre_x, double centre_y)
{
	struct step step = arc(clockwise, x, y, centre_x, centre_y);

	step.axes |= AXIS_Z;
	step.to.z = mm(z);
	return step;
}

static inline struct step
spindle(enum rotation rotation, int64_t rpm)
{
	return (struct step){ .kind = STEP_SPINDLE, .rotation = rotation, .rpm = rpm, .text = "" };
}

static inline struct step
coolant(enum coolant which)
{
	return (struct step){ .kind = STEP_COOLANT, .coolant = which, .text = "" };
}

static inline struct step
tool(int64_t number)
{
	return (struct step){ .kind = STEP_TOOL, .tool = number, .text = "" };
}

static inline struct step
tool_length(int64_t number)
{
	return (struct step){ .kind = STEP_LENGTH, .tool = number, .text = "" };
}

static inline struct step
stop(bool optional)
{
	return (struct step){ .kind = STEP_STOP, .optional = optional, .text = "" };
}

static inline struct step
home(unsigned axes)
{
	return (struct step){ .kind = STEP_HOME, .axes = axes, .text = "" };
}

static inline struct step
end(void)
{
	return (struct step){ .kind = STEP_END, .text = "" };
}

static inline void
add(struct script *script, struct step step)
{
	assert_true(script->count < SCRIPT_MAX);
	script->steps[script->count++] = step;
}

/* In front of the step that has this number, counted from 1. */
static inline void
insert(struct script *script, size_t number, struct step step)
{
	assert_true(number >= 1 && number <= script->count + 1 && script->count < SCRIPT_MAX);
	memmove(&script->steps[number], &script->steps[number - 1], (script->count - number + 1) * sizeof step);
	script->steps[number - 1] = step;
	script->count++;
}

static inline void
drop(struct script *script, size_t number)
{
	assert_true(number >= 1 && number <= script->count);
	memmove(&script->steps[number - 1], &script->steps[number], (script->count - number) * sizeof script->steps[0]);
	script->count--;
}

/* From above the right side, down to this floor, once across, and up to `up`. */
static inline void
add_pass(struct script *script, double floor, double rate, double up)
{
	add(script, rapid_xy(145, 35));
	add(script, rapid_z(floor + 2.5));
	add(script, feed_z(floor, rate));
	add(script, feed_xy(-45, 35, rate));
	add(script, rapid_z(up));
}

static inline void
add_start(struct script *script)
{
	add(script, rapid_z(45));
	add(script, spindle(ROTATION_CLOCKWISE, RPM));
}

static inline void
add_stop(struct script *script)
{
	add(script, spindle(ROTATION_OFF, 0));
	add(script, stop(false));
}

/*
 * The program that faces the job above. By numbers: 1 tool, 2 length; 3 to 9 the test cut (3 up, 4 spindle, 5 across, 6 7 down,
 * 8 the pass, 9 up), 10 off, 11 stop; 12 to 18 and 19 to 23 the roughing (17 and 22 the passes), 24 off, 25 stop; 26 to 32 the skim
 * (31 the pass); 33 off, 34 end.
 */
static inline struct script
good(void)
{
	struct script script = { .count = 0 };

	add(&script, tool(4));
	add(&script, tool_length(4));
	add_start(&script);
	add_pass(&script, 19.25, FEED, 45);
	add_stop(&script);
	add_start(&script);
	add_pass(&script, 18.25, FEED, 22.5);
	add_pass(&script, 17.25, FEED, 45);
	add_stop(&script);
	add_start(&script);
	add_pass(&script, 17, SKIM_FEED, 45);
	add(&script, spindle(ROTATION_OFF, 0));
	add(&script, end());
	return script;
}

/* The job's demand. `planning` is to be closed. */
static inline struct demand
demand_of(struct planning *planning, const char *yaml)
{
	if (!planning_open(planning, yaml) || !planning_plan(planning, ALONG_X))
		fail_msg("no plan: %s\n%s", planning->diag.first ? planning->diag.first->text : "", yaml);
	return demand_make(&planning->job, &planning->plan);
}

#endif
