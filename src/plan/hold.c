#include "skimcut/hold.h"

#include "skimcut/arena.h"
#include "skimcut/cutter.h"
#include "skimcut/text.h"

/* The cutter's way: the rectangle in which its centre stays, seen from above, and how low it comes. */
struct way {
	const struct job    *job;
	const struct cutter *cutter;
	Length               left, right, front, back;
	Length               final;
};

enum nearness { CLEAR, NEAR, MET };

static Length     parallel_find(const struct job *job, Length final);
static void       jaws_put(const struct job *job, Length parallel, struct obstacle jaws[2]);
static bool       clamp_put(const struct clamp *clamp, size_t number, struct arena *arena, struct obstacle *obstacle);
static struct way way_find(const struct job *job, const struct cutter *cutter, const struct layout *layout,
                           Length final);
static bool       grip_check(const struct way *way, const struct hold *hold, struct diag *diag);
static enum nearness nearness_of(const struct way *way, const struct obstacle *obstacle);
static Length        reach_at(const struct way *way, Length height);
static bool          comes_nearer(const struct way *way, const struct obstacle *obstacle, Length limit);
static Length        beyond(Length low, Length high, Length from, Length to);
static bool          other_tells(const struct way *way, const struct obstacle jaws[2], size_t index);
static void obstacle_tell(const struct way *way, const struct hold *hold, const struct obstacle *obstacle, bool is_jaw,
                          enum nearness nearness, struct diag *diag);
static void parallels_advise(const struct way *way, struct text *out);
static void move_advise(const struct way *way, const struct obstacle *obstacle, struct text *out);
static struct shown amount_show(Length x, enum units units);
static Length       taller_jaw(const struct vise *vise);
static Length       lower_jaw(const struct vise *vise);

bool
hold_find(const struct job *job, Length final, struct arena *arena, struct hold *hold, struct diag *diag)
{
	const struct clamp *clamps = job->hold.clamps.items;
	size_t              jaws = job->vise.bound.node ? 2 : 0, count = jaws + job->hold.clamps.count;
	struct obstacle    *obstacles;

	*hold = (struct hold){ 0 };
	if (count == 0)
		return true;
	obstacles = arena_take(arena, count * sizeof *obstacles);
	if (!obstacles)
		return diag_no_memory(diag);
	if (jaws > 0) {
		hold->parallel = parallel_find(job, final);
		jaws_put(job, hold->parallel, obstacles);
	}
	for (size_t i = 0; i < job->hold.clamps.count; i++)
		if (!clamp_put(&clamps[i], i + 1, arena, &obstacles[jaws + i]))
			return diag_no_memory(diag);
	for (size_t i = 0; i < count; i++)
		if (obstacles[i].top > hold->highest)
			hold->highest = obstacles[i].top;
	hold->obstacles = obstacles;
	hold->count     = count;
	return true;
}

bool
hold_check(const struct hold *hold, const struct job *job, const struct cutter *cutter, const struct layout *layout,
           Length final, struct diag *diag)
{
	struct way way  = way_find(job, cutter, layout, final);
	bool       vise = job->vise.bound.node, ok = !vise || grip_check(&way, hold, diag);

	for (size_t i = 0; i < hold->count; i++) {
		bool          is_jaw   = vise && i < 2;
		enum nearness nearness = nearness_of(&way, &hold->obstacles[i]);

		ok &= nearness != MET;
		if (nearness == CLEAR || (is_jaw && other_tells(&way, hold->obstacles, i)))
			continue;
		obstacle_tell(&way, hold, &hold->obstacles[i], is_jaw, nearness, diag);
	}
	return ok;
}

static Length
parallel_find(const struct job *job, Length final)
{
	Length wanted = taller_jaw(&job->vise) + job->cut.clearance - final, enough = 0, tallest = 0;

	for (size_t i = 0; i < job->parallels.count; i++) {
		Length parallel = job->parallels.values[i];

		if (parallel >= wanted && (enough == 0 || parallel < enough))
			enough = parallel;
		if (parallel > tallest)
			tallest = parallel;
	}
	return enough > 0 ? enough : tallest;
}

/* Half a nanometre of the middle goes to the jaws. */
static void
jaws_put(const struct job *job, Length parallel, struct obstacle jaws[2])
{
	const struct vise *vise = &job->vise;
	Length             half = length_down(job->stock.length - vise->jaw_width, 2) / 2;
	Length             left = half - vise->offset, right = job->stock.length - half - vise->offset;

	jaws[0] = (struct obstacle){
		.left  = left,
		.right = right,
		.front = -LENGTH_MAX,
		.back  = 0,
		.top   = vise->front_jaw - parallel,
		.name  = "the front jaw",
		.place = vise->bound.place,
	};
	jaws[1]       = jaws[0];
	jaws[1].front = job->stock.width;
	jaws[1].back  = LENGTH_MAX;
	jaws[1].top   = vise->rear_jaw - parallel;
	jaws[1].name  = "the rear jaw";
}

static bool
clamp_put(const struct clamp *clamp, size_t number, struct arena *arena, struct obstacle *obstacle)
{
	char        buffer[32];
	struct text name = text_over(buffer, sizeof buffer);

	text_format(&name, "clamp %zu", number);
	*obstacle = (struct obstacle){
		.left  = clamp->x,
		.right = clamp->x + clamp->length,
		.front = clamp->y,
		.back  = clamp->y + clamp->width,
		.top   = clamp->height,
		.name  = arena_copy(arena, buffer, name.length),
		.place = clamp->bound.place,
	};
	return obstacle->name != NULL;
}

/* All passes, with their run in and out beyond the stock; what lies between them is on the way across. */
static struct way
way_find(const struct job *job, const struct cutter *cutter, const struct layout *layout, Length final)
{
	Length first = layout->first, last = first + (layout->passes - 1) * layout->pitch * layout->side;
	Length near = first < last ? first : last, far = first < last ? last : first;

	return layout->along == ALONG_X ? (struct way){ job, cutter, layout->low, layout->high, near, far, final }
	                                : (struct way){ job, cutter, near, far, layout->low, layout->high, final };
}

/* How well they hold is not weighed; but a jaw that ends below the part does not hold it at all. */
static bool
grip_check(const struct way *way, const struct hold *hold, struct diag *diag)
{
	const struct obstacle *jaws = hold->obstacles, *lower = &jaws[jaws[1].top < jaws[0].top];
	char                   buffer[256];
	struct text            advice = text_over(buffer, sizeof buffer);

	if (lower->top > 0)
		return true;
	parallels_advise(way, &advice);
	return diag_add(diag, SEVERITY_REFUSED, lower->place, "on %s parallels the part stands above %s; %s",
	                length_show(hold->parallel, way->job->units).text, lower->name, text_end(&advice));
}

/* The clearance is wanted above what is below the finished face, and beside what is not. */
static enum nearness
nearness_of(const struct way *way, const struct obstacle *obstacle)
{
	Length clearance = way->job->cut.clearance, reach = reach_at(way, obstacle->top);

	if (obstacle->top < way->final)
		return way->final - obstacle->top < clearance && comes_nearer(way, obstacle, reach) ? NEAR : CLEAR;
	if (comes_nearer(way, obstacle, reach))
		return MET;
	return comes_nearer(way, obstacle, reach + clearance) ? NEAR : CLEAR;
}

/* Of the edges from the centre; above the deepest cut that the cutter is made for, it grows no wider. */
static Length
reach_at(const struct way *way, Length height)
{
	const struct cutter *cutter = way->cutter;
	Length               above  = height > way->final ? height - way->final : 0;

	if (cutter->max_depth > 0 && above > cutter->max_depth)
		above = cutter->max_depth;
	return cutter->diameter - cutter->diameter / 2 + cutter_flare(cutter, above);
}

/* x^2 + y^2 < limit^2; a limit can be over 3 m, whose square has more than 63 bits. */
static bool
comes_nearer(const struct way *way, const struct obstacle *obstacle, Length limit)
{
	__int128 x = beyond(way->left, way->right, obstacle->left, obstacle->right);
	__int128 y = beyond(way->front, way->back, obstacle->front, obstacle->back);

	return x * x + y * y < (__int128)limit * limit;
}

/* Between two intervals; 0 where they touch. */
static Length
beyond(Length low, Length high, Length from, Length to)
{
	return from > high ? from - high : to < low ? low - to : 0;
}

/* Of two jaws that are as near, the taller is told. */
static bool
other_tells(const struct way *way, const struct obstacle jaws[2], size_t index)
{
	const struct obstacle *jaw = &jaws[index], *other = &jaws[1 - index];

	return nearness_of(way, jaw) == nearness_of(way, other) &&
	       (other->top > jaw->top || (other->top == jaw->top && index == 1));
}

static void
obstacle_tell(const struct way *way, const struct hold *hold, const struct obstacle *obstacle, bool is_jaw,
              enum nearness nearness, struct diag *diag)
{
	enum units  units = way->job->units;
	Length      above = obstacle->top - way->final;
	char        buffer[512];
	struct text said = text_over(buffer, sizeof buffer);

	if (is_jaw && hold->parallel > 0)
		text_format(&said, "on %s parallels ", length_show(hold->parallel, units).text);
	else if (is_jaw)
		text_string(&said, "on the vise's bed ");
	if (above > 0)
		text_format(&said, "%s stands %s above", obstacle->name, length_show(above, units).text);
	else if (above < 0)
		text_format(&said, "%s is only %s below", obstacle->name, length_show(-above, units).text);
	else
		text_format(&said, "%s is level with", obstacle->name);
	text_format(&said, " the finished face, %s the cutter's way; ", nearness == MET ? "in" : "close to");
	if (is_jaw)
		parallels_advise(way, &said);
	else
		move_advise(way, obstacle, &said);
	diag_add(diag, nearness == MET ? SEVERITY_REFUSED : SEVERITY_WARNING, obstacle->place, "%s", text_end(&said));
}

static void
parallels_advise(const struct way *way, struct text *out)
{
	const struct vise *vise   = &way->job->vise;
	Length             wanted = taller_jaw(vise) + way->job->cut.clearance - way->final;

	if (wanted >= lower_jaw(vise))
		text_string(out, "the part is too low for this vise: parallels that lift the face clear of the jaws "
		                 "leave them nothing to grip");
	else if (wanted > 0)
		text_format(out, "parallels of %s or a little more lift the face clear of the jaws and leave a grip",
		            amount_show(wanted, way->job->units).text);
	else
		text_format(out, "parallels lower than %s leave the part between the jaws",
		            length_show(lower_jaw(vise), way->job->units).text);
}

/* The shortest of the four ways out. */
static void
move_advise(const struct way *way, const struct obstacle *obstacle, struct text *out)
{
	Length air = reach_at(way, obstacle->top) + (obstacle->top < way->final ? 0 : way->job->cut.clearance);
	struct {
		Length      by;
		const char *where;
	} moves[] = {
		{ obstacle->right - way->left + air, "left" },
		{ way->right - obstacle->left + air, "right" },
		{ obstacle->back - way->front + air, "front" },
		{ way->back - obstacle->front + air, "back" },
	}, *best = moves;

	for (size_t i = 1; i < sizeof moves / sizeof moves[0]; i++)
		if (moves[i].by < best->by)
			best = &moves[i];
	text_format(out, "move it %s to the %s, or take a lower one", amount_show(best->by, way->job->units).text,
	            best->where);
}

/* Up to what a person can set by hand. */
static struct shown
amount_show(Length x, enum units units)
{
	return length_show(length_up(x, units_length(units) / 100), units);
}

static Length
taller_jaw(const struct vise *vise)
{
	return vise->front_jaw > vise->rear_jaw ? vise->front_jaw : vise->rear_jaw;
}

static Length
lower_jaw(const struct vise *vise)
{
	return vise->front_jaw < vise->rear_jaw ? vise->front_jaw : vise->rear_jaw;
}
