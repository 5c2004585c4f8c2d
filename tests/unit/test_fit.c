#include "../external/programs.h"

#include <math.h>
#include <stdlib.h>

#include "skimcut/fit.h"
#include "skimcut/quantity.h"
#include "skimcut/trial.h"
#include "skimcut/weigh.h"

/* --- the machine --- */

static double
power_of(const struct plan *plan, size_t cut, int64_t pass)
{
	const struct cut *at  = &plan->schedule.cuts[cut];
	struct cut_case   own = {
		  .cutter     = plan->cutter,
		  .kc11_n_mm2 = plan->job->material.kc11_n_mm2,
		  .mc         = plan->job->material.mc,
		  .ap         = at->top - at->floor,
		  .strip      = plan_strip(plan, pass),
		  .fz         = plan_rates(plan, cut)->fz,
		  .rpm        = plan_rates(plan, cut)->rpm,
	};

	return loads_find(&own).power_w;
}

static double
power_most(const struct plan *plan)
{
	double most = 0;

	for (size_t i = 0; i < plan->schedule.count; i++)
		for (int64_t pass = 0; pass < plan->layout.passes; pass++)
			most = fmax(most, power_of(plan, i, pass));
	return most;
}

/* At the cutter; 0: not told. */
static double
power_there(const struct plan *plan)
{
	const struct spindle *spindle = &plan->job->machine.spindle;
	double                power_w = (double)spindle->power_mw / 1e3 * (double)spindle->efficiency_ratio / 1e6;

	return spindle->base_rpm > plan->rough.rpm ? power_w * (double)plan->rough.rpm / (double)spindle->base_rpm
	                                           : power_w;
}

static Length
deepest_rough(const struct plan *plan)
{
	Length deepest = 0;

	for (size_t i = 0; i + 1 < plan->schedule.count; i++) {
		const struct cut *cut = &plan->schedule.cuts[i];

		if (cut->top - cut->floor > deepest)
			deepest = cut->top - cut->floor;
	}
	return deepest;
}

/* A random job and a motor that most of its cuts are too much for. Takes 4096 bytes; power_w 0: it is not told. */
static void
random_motor(uint64_t *random, int64_t power_w, char *yaml)
{
	char        job[4096], spindle[128];
	struct text out = text_over(job, sizeof job), more = text_over(spindle, sizeof spindle);
	const char *at;

	random_job(random, "a block", &out);
	if (power_w > 0) {
		text_format(&more, "power: %lld W, efficiency: %d %%, ", (long long)power_w,
		            (int)random_between(random, 50, 100));
		if (random_chance(random, 3))
			text_format(&more, "base_speed: %d rpm, ", (int)random_between(random, 100, 3000));
	}
	text_end(&more);
	out = text_over(yaml, 4096);
	at  = strstr(job, "spindle: {");
	if (at) {
		at += strlen("spindle: {");
		text_bytes(&out, job, (size_t)(at - job));
		text_format(&out, "%s%s", spindle, at);
	} else {
		text_format(&out, "%smachine: {kind: manual, spindle: {%smin: 10 rpm}}\n", job, spindle);
	}
	text_end(&out);
}

static bool
fitted(struct planning *planning, enum along along)
{
	return fit_make(&planning->job, usual_grid(planning->job.units), along, &planning->arena, &planning->plan,
	                &planning->diag);
}

static bool
is_eased(const struct plan *plan)
{
	return plan->easing.depth < LENGTH_MAX || plan->easing.stepover_ratio < RATIO_ONE ||
	       plan->easing.feed_ratio < RATIO_ONE;
}

static bool
same_cuts(const struct plan *a, const struct plan *b)
{
	if (a->schedule.count != b->schedule.count)
		return false;
	for (size_t i = 0; i < a->schedule.count; i++)
		if (a->schedule.cuts[i].floor != b->schedule.cuts[i].floor)
			return false;
	return true;
}

static void
expect_equal_cuts(const struct plan *plan, uint64_t seed)
{
	const struct settings *cut   = &plan->job->cut;
	Length                 least = LENGTH_MAX, most = 0, top = plan->job->stock.height;

	for (size_t i = 0; i < plan->schedule.count; i++) {
		const struct cut *at    = &plan->schedule.cuts[i];
		Length            depth = at->top - at->floor;

		holds(seed, at->top == top && depth > 0);
		top = at->floor;
		holds(seed, depth <= (at->kind == CUT_TEST    ? cut->test_cut
		                      : at->kind == CUT_ROUGH ? cut->rough
		                                              : cut->skim));
		holds(seed, at->kind == CUT_SKIM || depth <= plan->easing.depth || depth <= plan->depths.skim);
		if (at->kind != CUT_ROUGH)
			continue;
		least = smaller(least, depth);
		most  = depth > most ? depth : most;
	}
	holds(seed, top == plan->final);
	holds(seed, most == 0 || most - least <= plan->grid.length);
}

/* Depth first, then stepover, then feed: each only where there was no more to take of the one before. */
static void
expect_order(const struct plan *plan, uint64_t seed)
{
	const struct easing *easing = &plan->easing;
	struct weights       w      = weigh(plan);
	Length               least  = plan->depths.skim > FIT_DEPTH_LEAST ? plan->depths.skim : FIT_DEPTH_LEAST;

	holds(seed, easing->stepover_ratio <= RATIO_ONE && easing->feed_ratio <= RATIO_ONE);
	if (easing->stepover_ratio < RATIO_ONE || easing->feed_ratio < RATIO_ONE)
		holds(seed, w.rough_depth <= least || w.rough.power_w < w.skim.power_w);
	if (easing->feed_ratio < RATIO_ONE)
		holds(seed, plan->job->cut.pattern == PATTERN_SINGLE || easing->stepover_ratio <= RATIO_ONE / 2);
	holds(seed, plan->job->cut.pattern != PATTERN_SINGLE || easing->stepover_ratio == RATIO_ONE);
}

/* Each of the three is said where less is taken than the job asks, and only there. */
static void
expect_said(const struct planning *fit, const struct plan *asked, uint64_t seed)
{
	const struct plan    *plan  = &fit->plan;
	const struct message *depth = message_with(&fit->diag, SEVERITY_NOTE, "roughing cuts become"),
			     *step  = message_with(&fit->diag, SEVERITY_NOTE, "the stepover becomes"),
			     *feed  = message_with(&fit->diag, SEVERITY_NOTE, "the feed per tooth becomes");
	char text[128];

	if (step && !strstr(step->text, "motor"))
		step = NULL; /* that is for the corner's sake */
	holds(seed, !depth == !(deepest_rough(plan) < deepest_rough(asked)));
	holds(seed, !step == !(plan->layout.taken < asked->layout.taken));
	holds(seed, !feed == !(plan->easing.feed_ratio < RATIO_ONE));
	if (depth) {
		struct text out = text_over(text, sizeof text);

		text_format(&out, "become %s or less", length_show(deepest_rough(plan), fit->job.units).text);
		holds(seed, strstr(depth->text, text_end(&out)));
		holds(seed, depth->place.line > 0);
	}
}

static void
a_fitted_plan_never_takes_more_than_the_motor_gives(void **state)
{
	uint64_t random = 314159265358979, made = 0, eased = 0, refused = 0;

	(void)state;
	for (int i = 0; i < 600; i++) {
		uint64_t        seed = random;
		char            yaml[4096];
		struct planning asked, fit;
		enum along      along = i % 2 == 0 ? ALONG_X : ALONG_Y;

		random_motor(&random, random_between(&random, 1, random_chance(&random, 2) ? 400 : 6000), yaml);
		assert_true(planning_open(&asked, yaml) && planning_open(&fit, yaml));
		if (!planning_plan(&asked, along)) {
			holds(seed, !fitted(&fit, along) && fit.diag.errors == asked.diag.errors);
		} else if (fitted(&fit, along)) {
			struct weights weights = weigh(&fit.plan);

			made++;
			eased += is_eased(&fit.plan);
			holds(seed, fit.diag.errors == 0);
			holds(seed, weights.share <= 1);
			holds(seed, power_most(&fit.plan) <= power_there(&fit.plan) * (1 + 1e-9));
			holds(seed, is_eased(&fit.plan) == (weigh(&asked.plan).share > 1));
			expect_equal_cuts(&fit.plan, seed);
			expect_order(&fit.plan, seed);
			expect_said(&fit, &asked.plan, seed);
		} else {
			refused++;
			holds(seed, fit.diag.errors == 1);
			holds(seed, weigh(&asked.plan).share > 1);
			holds(seed, message_with(&fit.diag, SEVERITY_REFUSED, "even a light cut takes"));
			holds(seed, power_most(&fit.plan) > power_there(&fit.plan));
			expect_order(&fit.plan, seed);
			holds(seed, fit.plan.easing.feed_ratio <= RATIO_ONE * 6 / 10);
		}
		planning_close(&asked);
		planning_close(&fit);
	}
	assert_true(made > 150 && eased > 50 && refused > 50);
}

static bool
same_passes(const struct layout *one, const struct layout *other)
{
	return one->along == other->along && one->pattern == other->pattern && one->passes == other->passes &&
	       one->first == other->first && one->pitch == other->pitch && one->side == other->side &&
	       one->taken == other->taken && one->low == other->low && one->high == other->high &&
	       one->travel == other->travel;
}

/* Nor is anything said of it. */
static void
an_ample_motor_or_one_not_told_changes_nothing(void **state)
{
	uint64_t random = 161803398874, made = 0;

	(void)state;
	for (int i = 0; i < 200; i++) {
		uint64_t        seed = random;
		char            yaml[4096];
		struct planning asked, fit;
		enum along      along = i % 2 == 0 ? ALONG_X : ALONG_Y;

		random_motor(&random, i % 4 < 2 ? 0 : 200000, yaml);
		assert_true(planning_open(&asked, yaml) && planning_open(&fit, yaml));
		if (planning_plan(&asked, along)) {
			made++;
			if (i % 4 >= 2 && weigh(&asked.plan).share > 1) {
				planning_close(&asked);
				planning_close(&fit);
				continue;
			}
			holds(seed, fitted(&fit, along));
			holds(seed, !is_eased(&fit.plan) && same_cuts(&fit.plan, &asked.plan));
			holds(seed, same_passes(&fit.plan.layout, &asked.plan.layout));
			holds(seed, fit.plan.rough.vf == asked.plan.rough.vf && fit.plan.skim.vf == asked.plan.skim.vf);
			holds(seed, fit.plan.rough.rpm == asked.plan.rough.rpm);
			holds(seed, !message_with(&fit.diag, SEVERITY_NOTE, "motor"));
		}
		planning_close(&asked);
		planning_close(&fit);
	}
	assert_true(made > 100);
}

/* --- by hand --- */

#define HEAD     "units: mm\nmaterial: low-carbon steel\n"
#define STOCK    "stock: {length: 100, width: 50, height: 20}\nfinished_height: 17\n"
#define CUTTER   "cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide, nose_radius: 0.8}\n"
#define MOTOR(W) "machine: {kind: cnc, spindle: {max: 8000, power: " W "}, feed: {max: 5000}}\n"
#define CLAMPS(N)                                                                                                      \
	"hold: {clamps: [{x: -90, y: 0, length: 30, width: 20, height: 10, force: " N "}, {x: 170, y: 0, length: 30, " \
	"width: 20, height: 10, force: " N "}]}\n"

static bool
fitted_yaml(struct planning *planning, const char *yaml)
{
	if (!planning_open(planning, yaml))
		fail_msg("not a job: %s\n%s", planning->diag.first->text, yaml);
	return fitted(planning, ALONG_X);
}

static const struct message *
expect_message(const struct planning *planning, enum severity severity, const char *part, const char *at)
{
	const struct message *message = message_with(&planning->diag, severity, part);

	if (!message) {
		for (message = planning->diag.first; message; message = message->next)
			print_error("%s\n", message->text);
		fail_msg("not said: %s", part);
	} else if (!place_is_at(message->place, planning->source.text, at)) {
		fail_msg("line %zu column %zu: %s", message->place.line, message->place.column, message->text);
	}
	return message;
}

/* The last number with a unit behind `before` in the message. */
static Length
length_said(const struct message *message, const char *before, enum units units)
{
	const char *at   = strstr(message->text, before);
	double      said = at ? strtod(at + strlen(before), NULL) : 0;

	if (!at || said <= 0)
		fail_msg("no length: %s", message->text);
	return (Length)llround(said * (double)(units == UNITS_INCH ? LENGTH_INCH : LENGTH_MM));
}

static void
a_motor_of_one_watt_is_refused(void **state)
{
	static const char *const PATTERNS[] = { "", "cut: {pattern: single}\n", "cut: {pattern: zigzag}\n",
		                                "cut: {pattern: one-way}\n" };

	(void)state;
	for (size_t i = 0; i < sizeof PATTERNS / sizeof PATTERNS[0]; i++) {
		char            yaml[1024];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		text_format(&out, "%s%s", HEAD STOCK CUTTER MOTOR("1 W"), PATTERNS[i]);
		text_end(&out);
		assert_false(fitted_yaml(&planning, yaml));
		assert_int_equal(planning.diag.errors, 1);
		expect_message(&planning, SEVERITY_REFUSED, "even a light cut takes", "1 W");
		assert_null(message_with(&planning.diag, SEVERITY_NOTE, "become"));
		planning_close(&planning);
	}
}

/* A motor that bears half of what the roughing cuts ask: they become half as deep, and nothing else changes. */
static void
depth_alone_is_taken_back_when_that_is_enough(void **state)
{
	struct planning asked, fit;
	char            yaml[1024];
	struct text     out = text_over(yaml, sizeof yaml);
	double          power_w;

	(void)state;
	assert_true(fitted_yaml(&asked, HEAD STOCK CUTTER MOTOR("200 kW") "cut: {pattern: single}\n"));
	power_w = power_most(&asked.plan);
	text_format(&out,
	            "%smachine: {kind: cnc, spindle: {max: 8000, efficiency: 100 %%, power: %.1f W}, feed: {max: "
	            "5000}}\n",
	            HEAD STOCK CUTTER "cut: {pattern: single}\n", power_w / 2);
	text_end(&out);
	assert_true(fitted_yaml(&fit, yaml));
	assert_true(deepest_rough(&fit.plan) <= deepest_rough(&asked.plan) / 2 + LENGTH_MM / 1000);
	assert_true(deepest_rough(&fit.plan) > deepest_rough(&asked.plan) / 3);
	assert_int_equal(fit.plan.rough.vf, asked.plan.rough.vf);
	assert_int_equal(fit.plan.layout.first, asked.plan.layout.first);
	expect_message(&fit, SEVERITY_NOTE, "roughing cuts become", strstr(yaml, "power: ") + strlen("power: "));
	assert_null(message_with(&fit.diag, SEVERITY_NOTE, "the stepover becomes"));
	assert_null(message_with(&fit.diag, SEVERITY_NOTE, "the feed per tooth becomes"));
	planning_close(&asked);
	planning_close(&fit);
}

/* One pass takes it all whatever the stepover, until it is less than the width: then it is the feed that becomes less, and that alone is said. */
static void
a_stepover_that_takes_nothing_back_is_not_said(void **state)
{
	static const char FORMAT[] = HEAD
	    "stock: {length: 100, width: 10, height: 20}\nfinished_height: 19.8\n" CUTTER
	    "cut: {pattern: one-way, feed_per_tooth: 0.2}\n"
	    "machine: {kind: cnc, spindle: {max: 8000, efficiency: 100 %%, power: %.1f W}}\n";
	struct planning asked, fit;
	char            yaml[1024];
	struct text     out = text_over(yaml, sizeof yaml);
	double          power_w;

	(void)state;
	text_format(&out, FORMAT, 200e3);
	text_end(&out);
	assert_true(fitted_yaml(&asked, yaml));
	power_w = power_most(&asked.plan);
	out     = text_over(yaml, sizeof yaml);
	text_format(&out, FORMAT, power_w * 0.9);
	text_end(&out);
	assert_true(fitted_yaml(&fit, yaml));
	assert_int_equal(fit.plan.layout.taken, asked.plan.layout.taken);
	expect_message(&fit, SEVERITY_NOTE, "the feed per tooth becomes", strstr(yaml, "power: ") + strlen("power: "));
	assert_null(message_with(&fit.diag, SEVERITY_NOTE, "the stepover becomes"));
	planning_close(&asked);
	planning_close(&fit);
}

/* --- the grip --- */

/* NULL: none. Warnings and refusals say it in other words. */
static const struct message *
safe_depth_said(const struct planning *planning, const char **before)
{
	const struct message *message = message_with(&planning->diag, SEVERITY_WARNING, "deep would be safe");

	*before = message ? "is wanted: " : "cut no deeper than ";
	return message ? message : message_with(&planning->diag, SEVERITY_REFUSED, *before);
}

/* Roughing, test cut and, where it has to be, the skim as deep as was said: nothing is left to be said. */
static void
expect_safe_depth_is_safe(const struct planning *planning, const char *format)
{
	const char           *before;
	const struct message *message = safe_depth_said(planning, &before);
	Length                depth   = message ? length_said(message, before, planning->job.units) : 0;
	char                  yaml[2048], cut[256];
	struct text           out = text_over(yaml, sizeof yaml), settings = text_over(cut, sizeof cut);
	struct planning       again;

	assert_non_null(message);
	text_format(&settings, "cut: {feed_per_tooth: 0.13, skim_feed_per_tooth: 0.065");
	yaml_length(&settings, ", rough", depth);
	yaml_length(&settings, ", test_cut", smaller(depth, planning->job.cut.test_cut));
	yaml_length(&settings, ", skim", smaller(depth, planning->job.cut.skim));
	text_format(&settings, "}\n");
	text_end(&settings);
	text_format(&out, format, cut);
	text_end(&out);
	assert_true(fitted_yaml(&again, yaml));
	if (message_with(&again.diag, SEVERITY_WARNING, "the grip bears"))
		fail_msg("%s; but then: %s", message->text,
		         message_with(&again.diag, SEVERITY_WARNING, "the grip bears")->text);
	planning_close(&again);
}

static void
a_grip_that_would_not_bear_it_is_refused_and_a_weak_one_warned_of(void **state)
{
	static const struct {
		const char   *hold, *at;
		enum severity severity; /* NOTE: neither */
		const char   *part;
	} CASES[] = {
		{ CLAMPS("700 N"), "{clamps", SEVERITY_REFUSED, "would make the part slip" },
		{ CLAMPS("1 kN"), "{clamps", SEVERITY_WARNING, "before the part would slip" },
		{ CLAMPS("1.5 kN"), "{clamps", SEVERITY_WARNING, "before the part would slip" },
		{ CLAMPS("1.9 kN"), "{clamps", SEVERITY_WARNING, "before the part would slip" },
		{ CLAMPS("2.1 kN"), NULL, SEVERITY_NOTE, NULL },
		{ "vise: {front_jaw: 10, rear_jaw: 10, jaw_width: 120, clamping_force: 900 N}\n", "{front",
		  SEVERITY_REFUSED, "would make the part" },
		{ "vise: {front_jaw: 10, rear_jaw: 10, jaw_width: 120, clamping_force: 3 kN}\n", "{front",
		  SEVERITY_WARNING, "before the part would" },
		{ "vise: {front_jaw: 10, rear_jaw: 10, jaw_width: 120, clamping_force: 4.2 kN}\n", NULL, SEVERITY_NOTE,
		  NULL },
		{ "vise: {front_jaw: 10, rear_jaw: 10, jaw_width: 120, clamping_force: 3 kN}\nhold: {safety: 1}\n",
		  NULL, SEVERITY_NOTE, NULL },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char            yaml[2048], format[2048];
		struct text     out = text_over(yaml, sizeof yaml), again = text_over(format, sizeof format);
		struct planning planning;
		struct weights  weights;

		text_format(&out, "%scut: {feed_per_tooth: 0.13}\n%s", HEAD STOCK CUTTER, CASES[i].hold);
		text_end(&out);
		text_format(&again, "%s%%s%s", HEAD STOCK CUTTER, CASES[i].hold);
		text_end(&again);
		assert_int_equal(fitted_yaml(&planning, yaml), CASES[i].severity != SEVERITY_REFUSED);
		weights = weigh(&planning.plan);
		if (CASES[i].severity == SEVERITY_NOTE) {
			assert_null(message_with(&planning.diag, SEVERITY_WARNING, "the grip bears"));
			assert_true(margins_least(&weights.margins) >=
			            (double)planning.job.hold.safety_factor / RATIO_ONE);
		} else {
			expect_message(&planning, CASES[i].severity, CASES[i].part, CASES[i].at);
			assert_true((margins_least(&weights.margins) < 1) == (CASES[i].severity == SEVERITY_REFUSED));
			expect_safe_depth_is_safe(&planning, format);
		}
		planning_close(&planning);
	}
}

/* The same over many forces, of clamps and of a vise: by slipping, by tipping, with test cut and roughing nearly alike. */
static void
the_depth_said_to_be_safe_is_safe(void **state)
{
	static const char *const HEIGHTS[] = { "height: 20}\nfinished_height: 17", "height: 60}\nfinished_height: 57.3",
		                               "height: 60}\nfinished_height: 58.8" };
	uint64_t                 random = 57721566490, said = 0;

	(void)state;
	for (int i = 0; i < 200; i++) {
		char            yaml[2048], format[2048];
		struct text     out = text_over(yaml, sizeof yaml), again = text_over(format, sizeof format);
		struct planning planning;
		const char     *height = random_word(&random, HEIGHTS, 3), *before;
		struct margins  least;
		bool            made;
		int             newtons = (int)random_between(&random, 400, 4000);
		int             mu      = (int)random_between(&random, 10, 90);
		char            hold[512];
		struct text     held = text_over(hold, sizeof hold);

		if (i % 2 == 0)
			text_format(
			    &held,
			    "hold: {friction: %d %%, clamps: [{x: -90, y: 0, length: 30, width: 20, height: 10, "
			    "force: %d N}]}\n",
			    mu, newtons);
		else
			text_format(&held,
			            "vise: {front_jaw: 15, rear_jaw: 15, jaw_width: 120, friction: %d %%, "
			            "clamping_force: %d N}\n",
			            mu, newtons);
		text_end(&held);
		text_format(&out, "%sstock: {length: 100, width: 50, %s\n%scut: {feed_per_tooth: 0.13}\n%s", HEAD,
		            height, CUTTER, hold);
		text_end(&out);
		text_format(&again, "%sstock: {length: 100, width: 50, %s\n%s%%s", HEAD, height, CUTTER);
		for (const char *c = hold; *c; c++)
			text_string(&again, *c == '%' ? "%%" : (char[]){ *c, 0 });
		text_end(&again);
		made  = fitted_yaml(&planning, yaml);
		least = weigh(&planning.plan).margins;
		assert_true(made == (margins_least(&least) >= 1));
		assert_true(!made || !message_with(&planning.diag, SEVERITY_WARNING, "the grip bears") ==
		                         (margins_least(&least) >= 2.5));
		if (safe_depth_said(&planning, &before)) {
			said++;
			expect_safe_depth_is_safe(&planning, format);
		}
		planning_close(&planning);
	}
	assert_true(said > 30);
}

/* What the program cannot tell is no depth. */
static void
a_hopeless_grip_is_not_told_a_depth(void **state)
{
	static const char *const HOLDS[] = {
		CLAMPS("1 N"), "vise: {front_jaw: 10, rear_jaw: 10, jaw_width: 120, clamping_force: 1 N}\n"
	};

	(void)state;
	for (size_t i = 0; i < sizeof HOLDS / sizeof HOLDS[0]; i++) {
		char            yaml[1024];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;
		const char     *before;

		text_format(&out, "%s%s", HEAD STOCK CUTTER, HOLDS[i]);
		text_end(&out);
		assert_false(fitted_yaml(&planning, yaml));
		assert_non_null(message_with(&planning.diag, SEVERITY_REFUSED, "hold it deeper or harder"));
		assert_null(safe_depth_said(&planning, &before));
		planning_close(&planning);
	}
}

/* Roughing cuts of 0.16 are lighter than a skim of 0.3 at half their feed, until they are as deep as it. */
static void
a_depth_that_is_safe_for_the_skim_is_safe_for_roughing(void **state)
{
	static const char YAML[] = HEAD
	    "stock: {length: 100, width: 50, height: 20}\nfinished_height: 19.38\n" CUTTER
	    "cut: {feed_per_tooth: 0.13, test_cut: 0, rough: 0.3, skim: 0.3}\n" CLAMPS("200 N");
	static const char AGAIN[] = HEAD "stock: {length: 100, width: 50, height: 20}\nfinished_height: 19.38\n" CUTTER
					 "%s" CLAMPS("200 N");
	struct planning planning;

	(void)state;
	fitted_yaml(&planning, YAML);
	assert_int_equal(weigh(&planning.plan).worst, 2);
	expect_safe_depth_is_safe(&planning, AGAIN);
	planning_close(&planning);
}

static void
a_part_off_the_screw_is_warned_of(void **state)
{
	static const char VISE[] = HEAD STOCK CUTTER
	    "vise: {front_jaw: 10, rear_jaw: 10, jaw_width: 120, offset: -15, clamping_force: 90 kN}\n";
	static const char CENTRED[] = HEAD STOCK CUTTER
	    "vise: {front_jaw: 10, rear_jaw: 10, jaw_width: 120, clamping_force: 90 kN}\n";
	struct planning planning;

	(void)state;
	assert_true(fitted_yaml(&planning, VISE));
	expect_message(&planning, SEVERITY_WARNING,
	               "which costs 25 % of the clamping force: put a spacer of the same width", "-15");
	planning_close(&planning);
	assert_true(fitted_yaml(&planning, CENTRED));
	assert_null(message_with(&planning.diag, SEVERITY_WARNING, "screw"));
	planning_close(&planning);
}

/* --- edges and face --- */

/*
 * Over 50 mm and the overlap of 3.15: 9 passes of 5.91, 25.59 from the centre line at the nearest: sin(phi) is 0.583, and 1.5 it is. Two
 * of 26.575: 4.925, and sin(phi) is 0.9877.
 */
static void
thin_chips_are_noted(void **state)
{
	static const struct {
		const char *cut, *by; /* NULL: nothing is said */
	} CASES[] = {
		{ "pattern: one-way, stepover: 10 %", "raised by 50 %" },
		{ "pattern: one-way, stepover: 44 %", "raised by 1 %" },
		{ "pattern: one-way, stepover: 90 %", NULL },
		{ "pattern: single", NULL },
		{ "pattern: one-way, stepover: 10 %, feed_per_tooth: 0.13", NULL },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char            yaml[1024];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		text_format(&out, "%scut: {%s}\n", HEAD STOCK CUTTER, CASES[i].cut);
		text_end(&out);
		assert_true(fitted_yaml(&planning, yaml));
		if (CASES[i].by)
			expect_message(&planning, SEVERITY_NOTE, CASES[i].by, "{kind: face");
		else
			assert_null(message_with(&planning.diag, SEVERITY_NOTE, "thin chips"));
		planning_close(&planning);
	}
}

/* One pass over 20 mm lies 0.75 mm beside the centre line: chips are thinner by a third of a thousandth. */
static void
next_to_nothing_is_not_noted(void **state)
{
	static const char YAML[] = HEAD "stock: {length: 100, width: 20, height: 20}\nfinished_height: 17\n" CUTTER;
	struct planning   planning;

	(void)state;
	assert_true(fitted_yaml(&planning, YAML));
	assert_int_equal(planning.plan.layout.passes, 1);
	assert_null(message_with(&planning.diag, SEVERITY_NOTE, "raised by 0 %"));
	planning_close(&planning);
}

/* 0.02 mm is what an edge is round by; an eighth of 0.8 mm is 0.1 mm. */
static void
rubbing_is_warned_of(void **state)
{
	static const struct {
		const char *cut, *finished, *part, *at;
	} CASES[] = {
		{ "skim_feed_per_tooth: 0.015", "17", "the skim's chips are 0.015 mm", "0.015" },
		{ "skim_feed_per_tooth: 0.021", "17", NULL, "the skim's chips" },
		{ "skim: 0.09", "17", "the skim is only 0.09 mm under a corner of 0.8 mm", "0.09" },
		{ "skim: 0.1", "17", NULL, "the skim is only" },
		/* Less than a skim is there to be taken. */
		{ "rough: 1", "19.95", "the skim is only 0.05 mm under a corner of 0.8 mm", NULL },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char            yaml[1024];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		text_format(&out,
		            HEAD "stock: {length: 100, width: 50, height: 20}\nfinished_height: %s\n" CUTTER
		                 "cut: {%s}\n",
		            CASES[i].finished, CASES[i].cut);
		text_end(&out);
		assert_true(fitted_yaml(&planning, yaml));
		if (CASES[i].part)
			expect_message(&planning, SEVERITY_WARNING, CASES[i].part,
			               CASES[i].at ? CASES[i].at : "{rough");
		else
			assert_null(message_with(&planning.diag, SEVERITY_WARNING, CASES[i].at));
		planning_close(&planning);
	}
}

/* The feed that was said, asked for: no word of the roughness is left. */
static void
the_feed_said_to_meet_the_roughness_meets_it(void **state)
{
	static const char *const CUTS[] = { "pattern: single", "pattern: one-way, stepover: 10 %",
		                            "pattern: one-way, stepover: 40 %, milling: climb",
		                            "pattern: zigzag, feed_per_tooth: 0.3" };
	uint64_t                 said   = 0;

	(void)state;
	for (size_t cut = 0; cut < sizeof CUTS / sizeof CUTS[0]; cut++)
		for (int ra_nm = 110; ra_nm < 700; ra_nm += 37) {
			char                  yaml[1024];
			struct text           out = text_over(yaml, sizeof yaml);
			struct planning       planning;
			const struct message *message;
			Length                fz;

			text_format(&out, HEAD STOCK CUTTER "finish: {roughness: 0.%03d um}\ncut: {%s}\n", ra_nm,
			            CUTS[cut]);
			text_end(&out);
			assert_true(fitted_yaml(&planning, yaml));
			message = message_with(&planning.diag, SEVERITY_WARNING, "Ra ");
			assert_true(!message == !(weigh(&planning.plan).roughness.ra_level_um > ra_nm / 1e3));
			if (!message) {
				planning_close(&planning);
				continue;
			}
			said++;
			expect_message(&planning, SEVERITY_WARNING, "a skim_feed_per_tooth of ",
			               strstr(yaml, "roughness: ") + strlen("roughness: "));
			fz = length_said(message, "a skim_feed_per_tooth of ", UNITS_MM);
			planning_close(&planning);
			out = text_over(yaml, sizeof yaml);
			text_format(&out, HEAD STOCK CUTTER "finish: {roughness: 0.%03d um}\ncut: {%s", ra_nm,
			            CUTS[cut]);
			yaml_length(&out, ", skim_feed_per_tooth", fz);
			text_format(&out, "}\n");
			text_end(&out);
			assert_true(fitted_yaml(&planning, yaml));
			if (message_with(&planning.diag, SEVERITY_WARNING, "Ra "))
				fail_msg("%s with %.6f mm: %s", CUTS[cut], (double)fz / LENGTH_MM,
				         message_with(&planning.diag, SEVERITY_WARNING, "Ra ")->text);
			planning_close(&planning);
		}
	assert_true(said > 15);
}

static void
the_tram_said_to_meet_the_flatness_meets_it(void **state)
{
	static const char *const CUTS[] = { "pattern: single", "pattern: one-way, stepover: 30 %" };
	uint64_t                 said   = 0;

	(void)state;
	for (size_t cut = 0; cut < sizeof CUTS / sizeof CUTS[0]; cut++)
		for (int error_um = 3; error_um < 400; error_um = error_um * 3 / 2) {
			char                  yaml[1024];
			struct text           out = text_over(yaml, sizeof yaml);
			struct planning       planning;
			const struct message *message;
			Length                error;

			text_format(&out,
			            HEAD STOCK CUTTER "finish: {flatness: 2.3 um}\ncut: {%s}\n"
			                              "machine: {kind: cnc, tram: {error: %d um, over: 150}}\n",
			            CUTS[cut], error_um);
			text_end(&out);
			assert_true(fitted_yaml(&planning, yaml));
			message = message_with(&planning.diag, SEVERITY_WARNING, "off square");
			assert_true(!message == !(weigh(&planning.plan).flatness.worst_um > 2.3));
			if (!message) {
				planning_close(&planning);
				continue;
			}
			said++;
			expect_message(&planning, SEVERITY_WARNING, "tram it to ", "2.3 um");
			error = length_said(message, "tram it to ", UNITS_MM);
			planning_close(&planning);
			out = text_over(yaml, sizeof yaml);
			text_format(&out,
			            HEAD STOCK CUTTER
			            "finish: {flatness: 2.3 um}\ncut: {%s}\nmachine: {kind: cnc, tram: {over: 150",
			            CUTS[cut]);
			yaml_length(&out, ", error", error);
			text_format(&out, "}}\n");
			text_end(&out);
			assert_true(fitted_yaml(&planning, yaml));
			if (message_with(&planning.diag, SEVERITY_WARNING, "off square"))
				fail_msg("%s with %.6f mm: %s", CUTS[cut], (double)error / LENGTH_MM,
				         message_with(&planning.diag, SEVERITY_WARNING, "off square")->text);
			planning_close(&planning);
		}
	assert_true(said > 8);
}

static void
what_pulls_a_manual_table_is_warned_of(void **state)
{
	static const struct {
		const char *kind, *cut;
		bool        warned;
	} CASES[] = {
		{ "manual", "pattern: one-way, stepover: 50 %, milling: climb", true },
		{ "manual", "pattern: zigzag, stepover: 50 %", true },
		{ "manual", "pattern: one-way, stepover: 50 %", false },
		{ "cnc", "pattern: one-way, stepover: 50 %, milling: climb", false },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		char            yaml[1024];
		struct text     out = text_over(yaml, sizeof yaml);
		struct planning planning;

		text_format(&out, "%scut: {%s}\nmachine: {kind: %s}\n", HEAD STOCK CUTTER, CASES[i].cut, CASES[i].kind);
		text_end(&out);
		assert_true(fitted_yaml(&planning, yaml));
		assert_true(!message_with(&planning.diag, SEVERITY_WARNING, "pulls the table along") !=
		            CASES[i].warned);
		planning_close(&planning);
	}
}

/* --- the program --- */

static void
every_fitted_plan_is_proved(void **state)
{
	size_t   dialects = 0;
	uint64_t random = 66260701500, proved = 0, eased = 0;

	(void)state;
	while (SHIPPED_DIALECTS[dialects].name)
		dialects++;
	for (int i = 0; i < 300; i++) {
		uint64_t    seed = random;
		char       *yaml = calloc(1, 4096);
		struct work work;

		random_motor(&random, random_between(&random, 50, 3000), yaml);
		if (work_open(&work, yaml, SHIPPED_DIALECTS[(size_t)i % dialects].name)) {
			struct trial trial = { 0 };

			work_write(&work);
			assert_true(trial_begin(&trial, &work.planning.job, &work.planning.plan, &work.dialect,
			                        &work.planning.arena, FINENESS_MIDDLE));
			trial_feed(&trial, work.text, strlen(work.text));
			if (!trial_end(&trial))
				fail_msg("seed %llu, %s: line %zu: %s\n%s", (unsigned long long)seed, work.dialect.name,
				         trial_first_refusal(&trial)->line, trial_first_refusal(&trial)->text,
				         work.yaml);
			proved++;
			eased += is_eased(&work.planning.plan);
		}
		work_close(&work);
	}
	assert_true(proved > 80 && eased > 40);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_fitted_plan_never_takes_more_than_the_motor_gives),
		cmocka_unit_test(an_ample_motor_or_one_not_told_changes_nothing),
		cmocka_unit_test(a_motor_of_one_watt_is_refused),
		cmocka_unit_test(depth_alone_is_taken_back_when_that_is_enough),
		cmocka_unit_test(a_stepover_that_takes_nothing_back_is_not_said),
		cmocka_unit_test(a_grip_that_would_not_bear_it_is_refused_and_a_weak_one_warned_of),
		cmocka_unit_test(the_depth_said_to_be_safe_is_safe),
		cmocka_unit_test(a_depth_that_is_safe_for_the_skim_is_safe_for_roughing),
		cmocka_unit_test(a_hopeless_grip_is_not_told_a_depth),
		cmocka_unit_test(a_part_off_the_screw_is_warned_of),
		cmocka_unit_test(thin_chips_are_noted),
		cmocka_unit_test(next_to_nothing_is_not_noted),
		cmocka_unit_test(rubbing_is_warned_of),
		cmocka_unit_test(the_feed_said_to_meet_the_roughness_meets_it),
		cmocka_unit_test(the_tram_said_to_meet_the_flatness_meets_it),
		cmocka_unit_test(what_pulls_a_manual_table_is_warned_of),
		cmocka_unit_test(every_fitted_plan_is_proved),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
