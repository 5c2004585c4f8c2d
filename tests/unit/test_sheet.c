#include "planning.h"

#include <ctype.h>

#include "skimcut/caution.h"
#include "skimcut/choice.h"
#include "skimcut/markup.h"
#include "skimcut/measured.h"
#include "skimcut/sheet.h"

enum { BYTES = 1 << 20, DEPTH = 40 };

static const char *const NASTY[] = {
	"a block",
	"",
	"  \\t ",
	"</title></style></h1><script>alert(1)</script>",
	"\\\"'><img src=x onerror=alert(2)>",
	"&amp;&#60;b&#62; &lt;!-- <!-- ]]> -->",
	"\\\\\\\"}body{background:url(http://example.org/x)}",
	"tab\\tbell\\abackspace\\bdelete\\x7Fescape\\e[2J\\u0085\\u2028",
	"caf\xc3\xa9 \xe2\x82\xac \xf0\x9f\x94\xa7 \xe5\xb7\xa5",
	"100 %s %n %d %%",
};

static char sheet[BYTES];

static const char *
sheet_of(const struct plan *plan, const struct diag *diag, const char *job)
{
	struct text out = text_over(sheet, sizeof sheet);

	sheet_print(plan, diag, job, &out);
	assert_false(out.failed);
	return text_end(&out);
}

static void
sheet_open(struct planning *planning, const char *yaml, const char *job)
{
	if (!planning_open(planning, yaml) || !planning_plan(planning, ALONG_X))
		fail_msg("no plan: %s\n%s", planning->diag.last ? planning->diag.last->text : "", yaml);
	sheet_of(&planning->plan, &planning->diag, job);
}

static void
expect_part(const char *part)
{
	if (!strstr(sheet, part))
		fail_msg("'%s' is not in\n%s", part, sheet);
}

static void
expect_order(const char *const *parts, size_t count)
{
	const char *at = sheet;

	for (size_t i = 0; i < count; i++) {
		at = strstr(at, parts[i]);
		if (!at)
			fail_msg("'%s' is not where it should be in\n%s", parts[i], sheet);
		at += strlen(parts[i]);
	}
}

#define expect_parts_in_order(...)                                                                                     \
	do {                                                                                                           \
		static const char *const parts[] = { __VA_ARGS__ };                                                    \
		expect_order(parts, sizeof parts / sizeof parts[0]);                                                   \
	} while (0)

static bool
is_void(const char *name)
{
	return strcmp(name, "meta") == 0 || strcmp(name, "input") == 0;
}

/* Behind the tag that begins at `at`, of which the name is left in `name`; NULL when it never ends. */
static const char *
tag_read(const char *at, char name[16], bool *closes, bool *empty)
{
	size_t size = 0;

	*closes = at[1] == '/';
	*empty  = false;
	for (const char *c = at + 1 + *closes; (isalnum((unsigned char)*c) || *c == '!') && size < 15; c++)
		name[size++] = *c;
	name[size] = '\0';
	for (const char *c = at + 1; *c; c++) {
		if (*c == '"' && !(c = strchr(c + 1, '"')))
			return NULL;
		if (*c == '<')
			return NULL;
		if (*c == '>') {
			*empty = c[-1] == '/';
			return c + 1;
		}
	}
	return NULL;
}

/* Every tag that opens closes, in order; between tags there is nothing that a browser could take for one. */
static void
check_balance(uint64_t seed, const char *html)
{
	static char names[DEPTH][16];
	size_t      depth = 0;

	for (const char *c = html; *c;) {
		char name[16];
		bool closes, empty;

		holds(seed, *c != '>');
		if (*c != '<') {
			c++;
			continue;
		}
		c = tag_read(c, name, &closes, &empty);
		holds(seed, c != NULL);
		holds(seed, *name != '\0');
		if (closes) {
			holds(seed, depth > 0 && strcmp(names[depth - 1], name) == 0);
			depth--;
		} else if (*name != '!' && !empty && !is_void(name)) {
			holds(seed, depth < DEPTH);
			memcpy(names[depth++], name, sizeof name);
		}
	}
	holds(seed, depth == 0);
}

/* UTF-8 without controls; nothing that runs, nothing from elsewhere. As plain text a title may say what it likes. */
static void
check_harmless(uint64_t seed, const char *html)
{
	static const char *const NEVER[] = { "<script", "<img",    "<link",  "<iframe",   "<object", "<form",
		                             "src=\"",  "href=\"", "url(\"", " onclick=", " onload=" };

	const char *style = strstr(html, "<style>"), *style_end = strstr(html, "</style>");

	for (size_t i = 0; i < sizeof NEVER / sizeof NEVER[0]; i++)
		holds(seed, strstr(html, NEVER[i]) == NULL);
	holds(seed, style != NULL && style_end != NULL);
	for (const char *c = style; c < style_end; c++)
		holds(seed, strncmp(c, "url(", 4) != 0 && strncmp(c, "@import", 7) != 0);
	for (const unsigned char *c = (const unsigned char *)html; *c; c++) {
		holds(seed, *c == '\n' || (*c >= ' ' && *c != 127));
		holds(seed, c[0] != 0xC2 || c[1] >= 0xA0);
	}
}

/* An address only as text, and in the one name that a drawing may have. */
static void
check_addresses(uint64_t seed, const char *html)
{
	static const char NAMESPACE[] = "xmlns=\"http://www.w3.org/2000/svg\"";

	for (const char *at = html; (at = strstr(at, "=\"http")); at++)
		holds(seed, strncmp(at - strlen("xmlns"), NAMESPACE, strlen(NAMESPACE)) == 0);
}

static void
check_ids(uint64_t seed, const char *html)
{
	for (const char *at = html; (at = strstr(at, " id=\"")); at++) {
		char   id[80];
		size_t size = strcspn(at + 5, "\"") + 6;

		holds(seed, size < sizeof id);
		memcpy(id, at, size);
		id[size] = '\0';
		holds(seed, strstr(at + 1, id) == NULL);
	}
}

static void
check_cautions(uint64_t seed, const char *html)
{
	const char *at = strstr(html, ">Cautions</h2>");

	for (size_t i = 0; i < CAUTION_COUNT; i++) {
		char        buffer[1024];
		struct text text = text_over(buffer, sizeof buffer);

		markup_text(&text, CAUTIONS[i]);
		holds(seed, at && (at = strstr(at, text_end(&text))) != NULL);
	}
}

static void
random_sheets_are_balanced_and_harmless_whatever_the_title(void **state)
{
	static char yaml[BYTES];
	uint64_t    random = 8314462618, made = 0;

	(void)state;
	for (int i = 0; i < 200; i++) {
		uint64_t    seed  = random;
		const char *title = NASTY[random_between(&random, 0, (int64_t)(sizeof NASTY / sizeof NASTY[0]) - 1)];
		struct text out   = text_over(yaml, sizeof yaml);
		struct planning planning;

		random_job(&random, title, &out);
		if (!planning_open(&planning, yaml))
			fail_msg("seed %llu: %s", (unsigned long long)seed, planning.diag.first->text);
		if (choice_make(&planning.job, usual_grid(planning.job.units), &planning.arena, &planning.plan,
		                &planning.diag)) {
			sheet_of(&planning.plan, &planning.diag, "<jobs>/\"a\" & 'b'.yaml");
			check_balance(seed, sheet);
			check_harmless(seed, sheet);
			check_addresses(seed, sheet);
			check_ids(seed, sheet);
			check_cautions(seed, sheet);
			made++;
		}
		planning_close(&planning);
	}
	assert_true(made > 100);
}

static const char PUMP_FOOT[] = "units: inch\ntitle: pump foot\nmaterial: low-carbon steel\n"
				"stock: {length: 6, width: 2.5, height: 1.100}\nfinished_height: 1.000\n"
				"cutter: {kind: shell mill, diameter: 3, teeth: 5, edge: carbide, number: 3}\n"
				"program: {number: 1001, work_offset: G55}\n";

static void
a_sheet_has_its_parts_in_order(void **state)
{
	struct planning planning;

	(void)state;
	sheet_open(&planning, PUMP_FOOT, "pump-foot.yaml");
	expect_parts_in_order(
	    "<!DOCTYPE html>\n<html lang=\"en\">", "<meta charset=\"utf-8\">", "default-src 'none'",
	    "name=\"viewport\"", "<title>pump foot</title>", "<main>", "<h1>pump foot</h1>", "<dt>The work</dt>",
	    "<dt>Comes off</dt>", "<dt>Cutter</dt>", "<dd>pump-foot.yaml</dd>", "<dd>not described</dd>",
	    "<dd>1001, post rs274ngc, work offset G55</dd>", "<dt>Part number</dt>", "<dt>Made by</dt>",
	    "<dt>Date</dt>", "<caption>Speeds and feeds</caption>", "<td>501 rpm</td>", ">Read this first</h2>",
	    "manual", ">Set-up</h2>", "<figure>", "<figcaption>", "<dt>Held</dt>", ">Before the first cut</h2>", "<ol>",
	    ">Passes</h2>", "<figure>", "<figcaption>", "class=\"passes\"", "<dt>Chips</dt>", ">Cuts</h2>", "<figure>",
	    "<figcaption>", "class=\"cuts\"", ">Loads, grip, surface, coolant, time</h2>", "<dt>Loads</dt>",
	    "<dt>Grip</dt>", "<dt>Surface</dt>", "<dt>Coolant</dt>", "<dt>Time</dt>", ">Notes and warnings</h2>",
	    ">Cautions</h2>", "</main>\n</body>\n</html>\n");
	planning_close(&planning);
}

/* In air even at the lowest cut: it is raised from the finished face to where the cutter waits, 1.1 + 1 - 1. */
static void
a_program_is_first_run_above_the_work(void **state)
{
	struct planning planning;

	(void)state;
	sheet_open(&planning, PUMP_FOOT, "pump-foot.yaml");
	expect_part("<li>The zero of G55: X is the left edge, Y the front edge, Z the finished face.</li>");
	expect_part(
	    "<li>The length of tool 3, measured and in the table. Touch the stock&#39;s highest spot with it: it "
	    "must read Z 0.1000 there.</li>");
	assert_int_equal(planning.plan.retract - planning.plan.final, LENGTH_INCH * 11 / 10);
	expect_parts_in_order("<li>The part down on a clean seat without rocking", "<li>The zero of G55",
	                      "<li>The length of tool 3",
	                      "<li>Above the work first: raise the Z zero by 1.1 in or more, run the program in air "
	                      "with a hand on the stop",
	                      "put the zero back, and look twice that you did",
	                      "<li>Then the test cut: single blocks, rapid override low, a hand on the stop");
	assert_null(strstr(sheet, "quill up and locked, and left so"));
	assert_null(strstr(sheet, "At every pass"));
	planning_close(&planning);
}

/* Where nothing is tested, nothing is said of it. */
static void
without_a_test_cut_the_work_comes_after_the_run_in_air(void **state)
{
	struct planning planning;
	char            yaml[2048];
	struct text     out = text_over(yaml, sizeof yaml);

	(void)state;
	text_format(&out, "%scut: {test_cut: 0}\n", PUMP_FOOT);
	sheet_open(&planning, text_end(&out), "pump-foot.yaml");
	expect_part("<li>Then the work: single blocks");
	assert_null(strstr(sheet, "Then the test cut"));
	planning_close(&planning);
}

/* The face that was measured is what a tool is touched off on: the stock's top is gone. */
static void
a_program_for_a_measured_face_is_not_set_up_anew(void **state)
{
	struct planning planning;

	(void)state;
	assert_true(planning_open(&planning, PUMP_FOOT));
	assert_true(measured_take(&planning.job, "1.068", &planning.diag));
	assert_true(planning_plan(&planning, ALONG_X));
	sheet_of(&planning.plan, &planning.diag, "pump-foot.yaml");
	expect_parts_in_order(">Before the first cut</h2>",
	                      "<li>Part, vise and cutter stand as they did when the face was cut; whatever was moved "
	                      "is set up anew.</li>",
	                      "Touch the face that was measured with it: it must read Z 0.0680 there.",
	                      "<li>Then the work: single blocks");
	assert_null(strstr(sheet, "The part down on a clean seat"));
	assert_null(strstr(sheet, "the stock&#39;s highest spot"));
	planning_close(&planning);
}

static void
a_machine_worked_by_hand_has_its_own_lists(void **state)
{
	static const char *const NEVER[] = { "raise the Z zero", "<dt>Program</dt>", "work offset", "<dt>Heights</dt>",
		                             "single blocks" };
	struct planning          planning;
	char                     yaml[2048];
	struct text              out = text_over(yaml, sizeof yaml);
	const char              *zero;

	(void)state;
	text_string(&out, PUMP_FOOT);
	text_string(&out, "machine: {kind: manual, dials: {x: {per_turn: 0.2, graduation: 0.001}, y: {per_turn: 0.2, "
	                  "graduation: 0.001}, knee: {per_turn: 0.1, graduation: 0.001}}}\n");
	sheet_open(&planning, text_end(&out), "pump-foot.yaml");
	expect_parts_in_order(
	    "<dd>worked by hand</dd>", ">Before the first cut</h2>", "<li>The spindle square to the table",
	    "<dt>Y dial</dt>\n<dd>from the zero edge to the cutter&#39;s centre: 0.2 in a turn, "
	    "0.001 in a line</dd>",
	    "<h3>At every pass</h3>", "<li>The work clear of the cutter, beyond the start of the pass",
	    "<li>Knee unlocked, bring it up", "<dt>Feed</dt>\n<dd>test and rough: by hand", "<dd>skim: by hand",
	    "<dt>Knee dial</dt>\n<dd>up from the touch-off zero: 0.1 in a turn, 0.001 in a line</dd>",
	    "<li>Spindle off, and wait until it STANDS STILL");
	for (size_t i = 0; i < sizeof NEVER / sizeof NEVER[0]; i++)
		assert_null(strstr(sheet, NEVER[i]));
	/* Of where zero is there is one word, and that is the knee's. */
	zero = strstr(sheet, "<dt>Zero</dt>");
	assert_non_null(zero);
	assert_null(strstr(zero + 1, "<dt>Zero</dt>"));
	expect_part("<dt>Zero</dt>\n<dd>X is the left edge, Y the front edge. The knee&#39;s zero is where");
	planning_close(&planning);
}

/* In two words there, and in a sentence where the machine is set up. */
static void
a_program_has_its_zero_in_the_title_block(void **state)
{
	struct planning planning;

	(void)state;
	sheet_open(&planning, PUMP_FOOT, "pump-foot.yaml");
	expect_parts_in_order("<dt>Program</dt>\n<dd>1001, post rs274ngc, work offset G55</dd>",
	                      "<dt>Zero</dt>\n<dd>X left, Y front, Z finished</dd>", ">Set-up</h2>", "<dt>Zero</dt>",
	                      "<dt>Heights</dt>");
	planning_close(&planning);
}

static void
warnings_are_announced_at_the_top_and_told_below(void **state)
{
	struct planning planning;

	(void)state;
	sheet_open(&planning, PUMP_FOOT, "pump-foot.yaml");
	assert_null(strstr(sheet, "read under Notes and warnings"));
	diag_add(&planning.diag, SEVERITY_WARNING, (struct place){ 0 }, "mind <the> gap");
	sheet_of(&planning.plan, &planning.diag, "pump-foot.yaml");
	expect_parts_in_order("<strong>1 warning: read under Notes and warnings before you cut.</strong>",
	                      ">Set-up</h2>", ">Notes and warnings</h2>",
	                      "<dt>WARNING</dt>\n<dd>mind &lt;the&gt; gap.</dd>");
	diag_add(&planning.diag, SEVERITY_WARNING, (struct place){ 0 }, "and this");
	sheet_of(&planning.plan, &planning.diag, "pump-foot.yaml");
	expect_part("<strong>2 warnings:");
	planning_close(&planning);
}

static void
other_peoples_texts_are_only_text(void **state)
{
	struct planning planning;

	(void)state;
	sheet_open(&planning,
	           "units: mm\ntitle: \"</style><b>&'\\\"\\\\ \xc3\xa9\"\n"
	           "material: {name: \"<i>m</i>\", group: P, cutting_speed: 100 m/min, feed_per_tooth: 100 um}\n"
	           "stock: {length: 100, width: 60, height: 22}\nfinished_height: 20\n"
	           "cutters: {\"<u>c</u>\": {kind: face mill, diameter: 80, teeth: 5, edge: carbide}}\n"
	           "cutter: \"<u>c</u>\"\n",
	           "<s>.yaml");
	expect_part("<title>&lt;/style&gt;&lt;b&gt;&amp;&#39;&quot;\\ \xc3\xa9</title>");
	expect_part("<h1>&lt;/style&gt;&lt;b&gt;&amp;&#39;&quot;\\ \xc3\xa9</h1>");
	expect_part("@bottom-left{content:\"\\3C \\2F style\\3E \\3C b\\3E \\26 \\27 \\22 \\5C  \xc3\xa9\"}");
	expect_part("&lt;i&gt;m&lt;/i&gt;");
	expect_part("&lt;u&gt;c&lt;/u&gt;");
	expect_part("<dd>&lt;s&gt;.yaml</dd>");
	planning_close(&planning);
}

static void
a_job_without_a_title_still_has_a_heading(void **state)
{
	struct planning planning;

	(void)state;
	sheet_open(&planning,
	           "units: mm\ntitle: \" \\t\"\nmaterial: brass\nstock: {length: 100, width: 60, height: 22}\n"
	           "finished_height: 20\ncutter: {kind: face mill, diameter: 80, teeth: 5, edge: carbide}\n",
	           "job.yaml");
	expect_part("<title>untitled</title>");
	expect_part("<h1>untitled</h1>");
	planning_close(&planning);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_sheet_has_its_parts_in_order),
		cmocka_unit_test(a_program_is_first_run_above_the_work),
		cmocka_unit_test(without_a_test_cut_the_work_comes_after_the_run_in_air),
		cmocka_unit_test(a_program_for_a_measured_face_is_not_set_up_anew),
		cmocka_unit_test(a_program_has_its_zero_in_the_title_block),
		cmocka_unit_test(a_machine_worked_by_hand_has_its_own_lists),
		cmocka_unit_test(warnings_are_announced_at_the_top_and_told_below),
		cmocka_unit_test(other_peoples_texts_are_only_text),
		cmocka_unit_test(a_job_without_a_title_still_has_a_heading),
		cmocka_unit_test(random_sheets_are_balanced_and_harmless_whatever_the_title),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
