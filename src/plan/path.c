#include "skimcut/path.h"

#include <assert.h>

#include "skimcut/text.h"

static void         opening_fill(struct path *path);
static void         cut_fill(struct path *path);
static void         pass_fill(struct path *path);
static void         leaving_fill(struct path *path);
static void         closing_fill(struct path *path);
static struct step *push(struct path *path, enum step_kind kind);
static void         push_spindle(struct path *path, int64_t rpm);
static void         push_coolant(struct path *path, enum coolant coolant);
static void         push_across(struct path *path, enum step_kind kind, struct point to);
static void         push_height(struct path *path, enum step_kind kind, Length z);
static const char  *cut_note(struct path *path);
static const char  *stop_note(struct path *path);

void
path_start(struct path *path, const struct plan *plan)
{
	*path = (struct path){ .plan = plan };
}

bool
path_next(struct path *path, struct step *step)
{
	static void (*const FILL[])(struct path *) = {
		[PATH_OPENING] = opening_fill, [PATH_CUT] = cut_fill,         [PATH_PASS] = pass_fill,
		[PATH_LEAVING] = leaving_fill, [PATH_CLOSING] = closing_fill,
	};

	while (path->head == path->count) {
		if (path->stage == PATH_DONE)
			return false;
		path->head = path->count = 0;
		FILL[path->stage](path);
	}
	*step = path->queue[path->head++];
	return true;
}

static void
opening_fill(struct path *path)
{
	push(path, STEP_TOOL)->tool = path->plan->cutter->number;
	path->stage                 = PATH_CUT;
}

/*
 * To the start of the first pass. After the last cut the cutter is at `safe` or above; at the beginning, and where somebody
 * measured, nobody knows: Z goes up alone, then the spindle turns.
 */
static void
cut_fill(struct path *path)
{
	const struct plan *plan = path->plan;
	int64_t            rpm  = plan_rates(plan, path->cut)->rpm;

	push(path, STEP_NOTE)->text = cut_note(path);
	if (!path->turning)
		push_height(path, STEP_RAPID, plan->retract);
	if (path->rpm != rpm)
		push_spindle(path, rpm);
	push_across(path, STEP_RAPID, layout_pass(&plan->layout, 0).from);
	if (!path->wet && plan_poured(plan) != COOLANT_NONE)
		push_coolant(path, plan_poured(plan));
	path->pass  = 0;
	path->stage = PATH_PASS;
}

/*
 * The first pass, and every one-way pass, comes down from above: at rapid to the clearance over its level, then at feed. A
 * zigzag pass begins beyond the end of the one before, in air, at its depth.
 */
static void
pass_fill(struct path *path)
{
	const struct plan *plan   = path->plan;
	Length             floor  = plan->schedule.cuts[path->cut].floor;
	struct pass        pass   = layout_pass(&plan->layout, path->pass);
	bool               linked = path->pass > 0 && plan->layout.pattern == PATTERN_ZIGZAG;

	if (linked) {
		push_across(path, STEP_FEED, pass.from);
	} else {
		if (path->pass > 0) {
			push_height(path, STEP_RAPID, plan->safe);
			push_across(path, STEP_RAPID, pass.from);
		}
		push_height(path, STEP_RAPID,
		            plan->zero.z +
		                length_up(floor + plan->job->cut.clearance - plan->zero.z, plan->grid.length));
		push_height(path, STEP_FEED, floor);
	}
	push_across(path, STEP_FEED, pass.to);
	if (++path->pass == plan->layout.passes)
		path->stage = PATH_LEAVING;
}

static void
leaving_fill(struct path *path)
{
	const struct plan *plan = path->plan;
	bool               last = path->cut + 1 == plan->schedule.count, stops = plan_stops_after(plan, path->cut);

	push_height(path, STEP_RAPID, last || stops ? plan->retract : plan->safe);
	if (stops) {
		if (path->wet)
			push_coolant(path, COOLANT_NONE);
		push_spindle(path, 0);
		push(path, STEP_STOP)->text = stop_note(path);
	}
	path->cut++;
	path->stage = last ? PATH_CLOSING : PATH_CUT;
}

static void
closing_fill(struct path *path)
{
	if (path->wet)
		push_coolant(path, COOLANT_NONE);
	push_spindle(path, 0);
	push(path, STEP_END);
	path->stage = PATH_DONE;
}

static struct step *
push(struct path *path, enum step_kind kind)
{
	assert(path->count < PATH_QUEUE);
	path->queue[path->count] = (struct step){ .kind = kind };
	return &path->queue[path->count++];
}

/* 0: off. */
static void
push_spindle(struct path *path, int64_t rpm)
{
	struct step *step = push(path, STEP_SPINDLE);

	step->rotation = rpm > 0 ? ROTATION_CLOCKWISE : ROTATION_OFF;
	step->rpm      = rpm;
	path->turning  = rpm > 0;
	path->rpm      = rpm;
}

static void
push_coolant(struct path *path, enum coolant coolant)
{
	push(path, STEP_COOLANT)->coolant = coolant;
	path->wet                         = coolant != COOLANT_NONE;
}

static void
push_across(struct path *path, enum step_kind kind, struct point to)
{
	struct step *step = push(path, kind);

	step->axes = AXIS_X | AXIS_Y;
	step->to   = to;
	step->feed = plan_rates(path->plan, path->cut)->vf;
}

static void
push_height(struct path *path, enum step_kind kind, Length z)
{
	struct step *step = push(path, kind);

	step->axes = AXIS_Z;
	step->to.z = z;
	step->feed = plan_rates(path->plan, path->cut)->vf;
}

static const char *
cut_note(struct path *path)
{
	static const char *const KINDS[] = { [CUT_TEST] = "test cut", [CUT_ROUGH] = "rough", [CUT_SKIM] = "skim" };

	const struct cut *cut   = &path->plan->schedule.cuts[path->cut];
	enum units        units = path->plan->job->units;
	struct text       note  = text_over(path->note, sizeof path->note);

	text_format(&note, "cut %zu of %zu, %s: %s deep, leaves %s", path->cut + 1, path->plan->schedule.count,
	            KINDS[cut->kind], length_figure(cut->top - cut->floor, units).text,
	            length_figure(cut->floor, units).text);
	return text_end(&note);
}

static const char *
stop_note(struct path *path)
{
	const struct cut *cut   = &path->plan->schedule.cuts[path->cut];
	enum units        units = path->plan->job->units;
	struct text       note  = text_over(path->note, sizeof path->note);

	text_format(&note, "when all stands still measure %s %s, %s to go", length_figure(cut->floor, units).text,
	            units_name(units), length_figure(cut->floor - path->plan->final, units).text);
	return text_end(&note);
}
