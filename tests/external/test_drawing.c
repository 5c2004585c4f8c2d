/*
 * The drawings read back: their SVG through libxml2, the coordinates brought back to the work with the origin and the scales that the
 * drawing tells, and held against the plan. On paper they are told to a ten thousandth of a millimetre.
 */
#include "programs.h"

#include <libxml/parser.h>
#include <libxml/tree.h>
#include <math.h>

#include "../unit/drawing.h"
#include "skimcut/depthview.h"
#include "skimcut/sideview.h"
#include "skimcut/topview.h"

enum { RANDOM_JOBS = 200, NODES_MOST = 512 };

static const uint64_t SEED = 0x5eed0fd5a3199e77;

static const double TOLD_MM = 0.000051;

static struct drawing drawing;

/* A drawing and what brings its paper back to the work: mm = (paper - origin) times so much. */
struct reading {
	xmlDoc *document;
	double  left, bottom, across, up;
};

struct nodes {
	xmlNode *each[NODES_MOST];
	size_t   count;
};

static double
number_of(xmlNode *node, const char *name)
{
	xmlChar *text = xmlGetProp(node, BAD_CAST name);
	char    *end;
	double   value;

	if (!text)
		fail_msg("%s has no %s", (const char *)node->name, name);
	value = strtod((const char *)text, &end);
	assert_true(end > (const char *)text && *end == '\0');
	xmlFree(text);
	return value;
}

static bool
is_class(xmlNode *node, const char *what)
{
	xmlChar *class = xmlGetProp(node, BAD_CAST "class");
	bool is        = class && strcmp((const char *)class, what) == 0;

	xmlFree(class);
	return is;
}

/* Real over drawn. */
static double
scale_of(xmlNode *node, const char *name)
{
	xmlChar *text = xmlGetProp(node, BAD_CAST name);
	long     drawn, real;

	assert_non_null(text);
	assert_int_equal(sscanf((const char *)text, "%ld:%ld", &drawn, &real), 2);
	xmlFree(text);
	return (double)real / (double)drawn;
}

static struct reading
reading_open(struct text *out, uint64_t seed)
{
	struct reading reading;
	xmlNode       *root;

	holds(seed, !out->failed);
	text_end(out);
	reading.document = xmlReadMemory(drawing.text, (int)strlen(drawing.text), NULL, NULL, XML_PARSE_NONET);
	holds(seed, reading.document != NULL);
	root = xmlDocGetRootElement(reading.document);
	holds(seed, strcmp((const char *)root->name, "svg") == 0);
	reading.left   = number_of(root, "data-left");
	reading.bottom = number_of(root, "data-bottom");
	reading.across = scale_of(root, "data-across");
	reading.up     = scale_of(root, "data-up");
	return reading;
}

/* Elements of a name, in groups of that class. */
static void
nodes_gather(xmlNode *node, const char *group, const char *name, bool inside, struct nodes *nodes)
{
	for (; node; node = node->next) {
		bool is_group = node->type == XML_ELEMENT_NODE && is_class(node, group);

		if (node->type == XML_ELEMENT_NODE && inside && strcmp((const char *)node->name, name) == 0) {
			assert_true(nodes->count < NODES_MOST);
			nodes->each[nodes->count++] = node;
		}
		nodes_gather(node->children, group, name, inside || is_group, nodes);
	}
}

static struct nodes
nodes_of(const struct reading *reading, const char *group, const char *name)
{
	struct nodes nodes = { .count = 0 };

	nodes_gather(xmlDocGetRootElement(reading->document), group, name, false, &nodes);
	return nodes;
}

static bool
is_across(const struct reading *reading, double paper, Length x)
{
	return fabs((paper - reading->left) * reading->across - (double)x / LENGTH_MM) <= TOLD_MM * reading->across;
}

static bool
is_up(const struct reading *reading, double paper, Length y)
{
	return fabs((reading->bottom - paper) * reading->up - (double)y / LENGTH_MM) <= TOLD_MM * reading->up;
}

static bool
is_line(const struct reading *reading, xmlNode *line, Length x1, Length y1, Length x2, Length y2)
{
	return is_across(reading, number_of(line, "x1"), x1) && is_up(reading, number_of(line, "y1"), y1) &&
	       is_across(reading, number_of(line, "x2"), x2) && is_up(reading, number_of(line, "y2"), y2);
}

/* Corners are each told to the last digit, and width and height once more. */
static bool
is_box(const struct reading *reading, xmlNode *box, Length left, Length bottom, Length right, Length top)
{
	double x = number_of(box, "x"), y = number_of(box, "y");

	return is_across(reading, x, left) && is_up(reading, y, top) &&
	       fabs(number_of(box, "width") * reading->across - (double)(right - left) / LENGTH_MM) <=
	           TOLD_MM * reading->across &&
	       fabs(number_of(box, "height") * reading->up - (double)(top - bottom) / LENGTH_MM) <=
	           TOLD_MM * reading->up;
}

static void
passes_hold(const struct reading *reading, const struct plan *plan, uint64_t seed)
{
	struct nodes lines  = nodes_of(reading, "passes", "line");
	int64_t      before = 0, step = 0;

	holds(seed, lines.count > 0);
	for (size_t i = 0; i < lines.count; i++) {
		int64_t     number = (int64_t)number_of(lines.each[i], "data-pass");
		struct pass pass   = layout_pass(&plan->layout, number - 1);

		holds(seed, number > before && number <= plan->layout.passes);
		if (i > 0 && i + 1 < lines.count) {
			holds(seed, step == 0 || number - before == step);
			step = number - before;
		}
		before = number;
		holds(seed, is_line(reading, lines.each[i], pass.from.x, pass.from.y, pass.to.x, pass.to.y));
	}
	holds(seed, (int64_t)number_of(lines.each[0], "data-pass") == 1);
	holds(seed, before == plan->layout.passes);
}

static void
links_hold(const struct reading *reading, const struct plan *plan, uint64_t seed)
{
	struct nodes lines  = nodes_of(reading, "links", "line");
	size_t       drawn  = nodes_of(reading, "passes", "line").count;
	bool         linked = plan->layout.pattern == PATTERN_ZIGZAG && (int64_t)drawn == plan->layout.passes;

	holds(seed, lines.count == (linked ? drawn - 1 : 0));
	for (size_t i = 0; i < lines.count; i++) {
		struct point from = layout_pass(&plan->layout, (int64_t)i).to;
		struct point to   = layout_pass(&plan->layout, (int64_t)i + 1).from;

		holds(seed, is_line(reading, lines.each[i], from.x, from.y, to.x, to.y));
	}
}

/* Every side that is drawn of a jaw or a clamp is one, as far as it goes. */
static void
beside_holds(const struct reading *reading, const struct plan *plan, uint64_t seed)
{
	struct nodes lines = nodes_of(reading, "beside", "line");

	holds(seed, plan->hold.count > 0 || lines.count == 0);
	for (size_t i = 0; i < lines.count; i++) {
		xmlNode *line  = lines.each[i];
		bool     found = false;

		for (size_t k = 0; k < plan->hold.count && !found; k++) {
			const struct obstacle *obstacle = &plan->hold.obstacles[k];
			double                 x1 = number_of(line, "x1"), x2 = number_of(line, "x2");
			double                 y1 = number_of(line, "y1"), y2 = number_of(line, "y2");

			found = (x1 == x2 &&
			         (is_across(reading, x1, obstacle->left) || is_across(reading, x1, obstacle->right))) ||
			        (y1 == y2 &&
			         (is_up(reading, y1, obstacle->front) || is_up(reading, y1, obstacle->back)));
		}
		holds(seed, found);
	}
}

static void
topview_holds(const struct plan *plan, bool alone, uint64_t seed)
{
	const struct stock *stock = &plan->job->stock;
	struct text         out   = text_over(drawing.text, sizeof drawing.text);
	struct pass         first = layout_pass(&plan->layout, 0);
	struct reading      reading;
	struct nodes        boxes, circles;

	topview_draw(plan, alone, &out);
	reading = reading_open(&out, seed);
	passes_hold(&reading, plan, seed);
	links_hold(&reading, plan, seed);
	beside_holds(&reading, plan, seed);
	boxes = nodes_of(&reading, "stock", "rect");
	holds(seed, boxes.count == 1 && is_box(&reading, boxes.each[0], 0, 0, stock->length, stock->width));
	circles = nodes_of(&reading, "cutter", "circle");
	holds(seed, circles.count == 1 && is_across(&reading, number_of(circles.each[0], "cx"), first.from.x) &&
	                is_up(&reading, number_of(circles.each[0], "cy"), first.from.y));
	holds(seed, fabs(2 * number_of(circles.each[0], "r") * reading.across -
	                 (double)plan->cutter->diameter / LENGTH_MM) <= 2 * TOLD_MM * reading.across);
	holds(seed, has_label(&drawing, length_figure(stock->length, plan->job->units).text));
	holds(seed, has_label(&drawing, length_figure(stock->width, plan->job->units).text));
	xmlFreeDoc(reading.document);
}

static void
jaws_hold(const struct reading *reading, const struct plan *plan, uint64_t seed)
{
	struct nodes boxes = nodes_of(reading, "jaws", "rect"), parallels = nodes_of(reading, "parallels", "rect");
	Length       lift = plan->hold.parallel;

	if (!plan->job->vise.bound.node) {
		holds(seed, boxes.count == 0 && parallels.count == 0);
		return;
	}
	holds(seed, boxes.count == 2 && parallels.count == (lift > 0 ? 2 : 0));
	for (size_t i = 0; i < boxes.count; i++) {
		double y = number_of(boxes.each[i], "y");

		holds(seed, is_up(reading, y, plan->hold.obstacles[i].top));
		holds(seed, fabs(number_of(boxes.each[i], "height") * reading->up -
		                 (double)(plan->hold.obstacles[i].top + lift) / LENGTH_MM) <= TOLD_MM * reading->up);
	}
	for (size_t i = 0; i < parallels.count; i++) {
		holds(seed, is_up(reading, number_of(parallels.each[i], "y"), 0));
		holds(seed, fabs(number_of(parallels.each[i], "height") * reading->up - (double)lift / LENGTH_MM) <=
		                TOLD_MM * reading->up);
	}
	holds(seed, is_across(reading, number_of(boxes.each[1], "x"), plan->job->stock.width));
}

static void
sideview_holds(const struct plan *plan, uint64_t seed)
{
	const struct stock *stock = &plan->job->stock;
	struct text         out   = text_over(drawing.text, sizeof drawing.text);
	struct reading      reading;
	struct nodes        boxes, clamps, lines;

	sideview_draw(plan, &out);
	reading = reading_open(&out, seed);
	boxes   = nodes_of(&reading, "part", "rect");
	holds(seed, boxes.count == 1 && is_box(&reading, boxes.each[0], 0, 0, stock->width, plan->final));
	lines = nodes_of(&reading, "stock", "line");
	holds(seed,
	      lines.count == 3 && is_line(&reading, lines.each[2], 0, stock->height, stock->width, stock->height));
	jaws_hold(&reading, plan, seed);
	clamps = nodes_of(&reading, "clamps", "line");
	for (size_t i = 0; i < clamps.count; i++)
		if (xmlHasProp(clamps.each[i], BAD_CAST "data-obstacle")) {
			size_t number = (size_t)number_of(clamps.each[i], "data-obstacle") - 1;

			holds(seed, number < plan->hold.count);
			holds(seed, is_up(&reading, number_of(clamps.each[i], "y1"), plan->hold.obstacles[number].top));
		}
	lines = nodes_of(&reading, "cutter", "line");
	holds(seed, is_up(&reading, number_of(lines.each[0], "y1"), plan->final));
	xmlFreeDoc(reading.document);
}

static void
depthview_holds(const struct plan *plan, uint64_t seed)
{
	const struct schedule *schedule = &plan->schedule;
	struct text            out      = text_over(drawing.text, sizeof drawing.text);
	struct reading         reading;
	struct nodes           lines;
	size_t                 stops = 0, before = 0;

	depthview_draw(plan, &out);
	reading = reading_open(&out, seed);
	lines   = nodes_of(&reading, "levels", "line");
	holds(seed, lines.count == schedule->count || (lines.count < schedule->count && schedule->count > 14));
	for (size_t i = 0; i < lines.count; i++) {
		size_t number = (size_t)number_of(lines.each[i], "data-cut");

		holds(seed, number > before && number <= schedule->count);
		holds(seed, is_up(&reading, number_of(lines.each[i], "y1"), schedule->cuts[number - 1].floor));
		holds(seed, is_up(&reading, number_of(lines.each[i], "y2"), schedule->cuts[number - 1].floor));
		holds(seed,
		      has_label(&drawing, length_figure(schedule->cuts[number - 1].floor, plan->job->units).text));
		before = number;
	}
	holds(seed, before == schedule->count);
	for (size_t i = 0; i < schedule->count; i++)
		stops += plan_stops_after(plan, i);
	holds(seed, times(&drawing, ">stop: measure<") == stops);
	xmlFreeDoc(reading.document);
}

static void
drawings_hold(const struct plan *plan, uint64_t seed)
{
	topview_holds(plan, false, seed);
	topview_holds(plan, true, seed);
	sideview_holds(plan, seed);
	depthview_holds(plan, seed);
}

static void
sample_holds(struct work *work, uint64_t index)
{
	drawings_hold(&work->planning.plan, index);
}

static void
the_drawings_of_every_sample_say_what_the_plan_says(void **state)
{
	(void)state;
	each_sample(NULL, sample_holds);
}

static void
the_drawings_of_random_jobs_say_what_their_plans_say(void **state)
{
	(void)state;
	each_held(SEED, RANDOM_JOBS, drawings_hold);
}

/* The sample's, by the program itself. */
static void
the_program_prints_the_passes_as_a_document(void **state)
{
	FILE    *program = popen(SKIMCUT " sheet samples/pump-foot.yaml --as svg", "r");
	size_t   length;
	xmlDoc  *document;
	xmlNode *root;

	(void)state;
	assert_non_null(program);
	length = fread(drawing.text, 1, sizeof drawing.text - 1, program);
	assert_int_equal(pclose(program), 0);
	document = xmlReadMemory(drawing.text, (int)length, NULL, NULL, XML_PARSE_NONET);
	assert_non_null(document);
	root = xmlDocGetRootElement(document);
	assert_string_equal((const char *)root->ns->href, "http://www.w3.org/2000/svg");
	xmlFreeDoc(document);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_drawings_of_every_sample_say_what_the_plan_says),
		cmocka_unit_test(the_drawings_of_random_jobs_say_what_their_plans_say),
		cmocka_unit_test(the_program_prints_the_passes_as_a_document),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
