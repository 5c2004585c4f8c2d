#include <dirent.h>
#include <fcntl.h>
#include <limits.h>
#include <poll.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <termios.h>
#include <time.h>
#include <unistd.h>

#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>

#include <cmocka.h>
#include <jansson.h>

#include "folder.h"

#include "skimcut/version.h"

/* The program as people run it: a process with two pipes, in a folder of its own that is gone afterwards. */

enum { ARGUMENTS_MAX = 12, OUT_MAX = 1 << 20, ERR_MAX = 1 << 16 };

struct pipe_end {
	int    file;
	char  *bytes;
	size_t length, room;
};

/* What the last run left. */
static struct {
	int  status; /* -1: a signal ended it */
	char out[OUT_MAX], err[ERR_MAX];
} ran;

static char binary[PATH_MAX];

/* Which of its streams are a terminal in the runs to come. */
enum { TERMINAL_OUT = 1, TERMINAL_ERR = 2 };
static unsigned terminals;

static const char JOB[] = "units: inch\n"
			  "title: gate hinge\n"
			  "material: low-carbon steel\n"
			  "stock: {length: 6, width: 2.5, height: 1.1}\n"
			  "finished_height: 1\n"
			  "cutter: {kind: shell mill, diameter: 3, teeth: 5, edge: carbide}\n";

/* A pass of one cutter over twice its width. */
static const char REFUSED[] = "units: inch\n"
			      "material: low-carbon steel\n"
			      "stock: {length: 6, width: 6, height: 1.1}\n"
			      "finished_height: 1\n"
			      "cutter: {kind: shell mill, diameter: 3, teeth: 5, edge: carbide}\n"
			      "cut: {pattern: single}\n";

/* Names that a page and JSON have to take as they are. */
static const char SHOP[] =
    "units: inch\n"
    "title: \"gate \\\"hinge\\\" \\e[31m%s\"\n"
    "material: low-carbon steel\n"
    "stock: {length: 6, width: 2.5, height: 1.1}\n"
    "finished_height: 1\n"
    "cutters:\n"
    "  narrow: {kind: shell mill, diameter: 2, teeth: 4, edge: carbide, number: 1}\n"
    "  \"right \\\\ \\\"one\\\"\": {kind: shell mill, diameter: 3, teeth: 5, edge: carbide, number: 2}\n";

/* Millions of blocks: it is at work long enough to be disturbed. */
static const char BIG[] = "units: mm\n"
			  "material: brass\n"
			  "stock: {length: 500, width: 500, height: 30}\n"
			  "finished_height: 10\n"
			  "cutter: {kind: end mill, diameter: 2, teeth: 2, edge: hss, nose_radius: 0}\n"
			  "cut: {pattern: zigzag, along: x, stepover: 5 %, rough: 0.02, skim: 0.02, test_cut: 0}\n";

/* Long enough to be stopped in, and no longer. */
static const char SLOW[] =
    "units: mm\n"
    "material: brass\n"
    "stock: {length: 500, width: 500, height: 13}\n"
    "finished_height: 10\n"
    "cutter: {kind: end mill, diameter: 2, teeth: 2, edge: hss, nose_radius: 0}\n"
    "cut: {pattern: zigzag, along: x, stepover: 5 %, rough: 0.02, skim: 0.02, test_cut: 0, measure: []}\n";

/* The job in one cut, by hand. */
static const char SKIM[] = "units: mm\n"
			   "material: brass\n"
			   "stock: {length: 40, width: 30, height: 10.2}\n"
			   "finished_height: 10\n"
			   "cutter: {kind: face mill, diameter: 40, teeth: 4, edge: carbide}\n";
static const char GOOD[] = "G21 G17 G90 G94 G54\nT1 M6\nG43 H1\nG0 Z30\nS500 M3\nX70 Y16\nZ2.5\nG1 Z0 F50\nX-30\n"
			   "G0 Z30\nM5\nM30\n";
static const char BAD[]  = "G21 G17 G90 G94 G54\nT1 M6\nG43 H1\nG0 Z30\nS500 M3\nX70 Y16\nZ2.5\nG1 Z0 F50\nG0 X-30\n"
			   "G0 Z30\nM5\nM30\n";

/* A dialect in which a job that measures or has coolant cannot be written. */
static const char SILENT[] = "name: silent\n"
			     "resolution: {mm: 0.001 mm, inch: 0.0001 in}\n"
			     "feed_resolution: {mm: 1 mm/min, inch: 0.1 in/min}\n"
			     "begin: 'G17 {units} G90 G94'\n"
			     "spindle: {clockwise: 'S{speed} M3', off: M5}\n"
			     "end: M2\n";

/* The same with a stop. */
static const char OWN[] = "name: own\n"
			  "resolution: {mm: 0.001 mm, inch: 0.0001 in}\n"
			  "feed_resolution: {mm: 1 mm/min, inch: 0.1 in/min}\n"
			  "begin: 'G17 {units} G90 G94'\n"
			  "spindle: {clockwise: 'S{speed} M3', off: M5}\n"
			  "stop: M0\n"
			  "end: M2\n";

static void run(const char *input, ...);
static void run_into(int out, const char *input, const char *const *arguments);
static void ends_open(bool terminal, int ends[2]);
static int  start(const char *const *arguments, const int files[3], rlim_t file_size);
static void drain(struct pipe_end ends[2], int input, const char *text);
static int  status_of(pid_t process);
static void write_file(const char *path, const char *text);
static void read_file(const char *path, char *text, size_t room);
static int  entries(const char *name_begins);
static void wait_for_temporary(void);
static int  folder_fill(void **state);

/* --- what is said, and where --- */

/* A page for a small terminal: so many lines, so many columns, all of them ended. */
static void
assert_page(const char *page, const char *name)
{
	size_t lines = 0;

	for (const char *line = page; *line; lines++) {
		size_t length = strcspn(line, "\n");

		if (length > 80 || line[length] != '\n')
			print_error("help of '%s': %.*s\n", name, (int)length, line);
		assert_true(length <= 80);
		assert_int_equal(line[length], '\n');
		line += length + 1;
	}
	if (lines > 24)
		print_error("help of '%s': %zu lines\n", name, lines);
	assert_in_range(lines, 8, 24);
}

static void
help_goes_to_standard_output_and_fits_a_small_terminal(void **state)
{
	const char *const spellings[] = { "--help", "-h" };

	(void)state;
	for (size_t i = 0; i < 2; i++) {
		run(NULL, spellings[i], NULL);
		assert_int_equal(ran.status, 0);
		assert_string_equal(ran.err, "");
		assert_page(ran.out, "");
	}
	for (const char *const *said =
	         (const char *const[]){ "skimcut plan JOB ", "skimcut program JOB ", "skimcut prove JOB PROGRAM ",
	                                "skimcut sheet JOB ", "skimcut cutters JOB ", "skimcut list posts|materials ",
	                                "skimcut new ", "skimcut schema ", "-m, --measured HEIGHT ", "    --as FORM ",
	                                "    --units mm|inch ", "-n, --dry-run ", "0 done, 1 refused", NULL };
	     *said; said++) {
		if (!strstr(ran.out, *said))
			print_error("the help does not say '%s'\n", *said);
		assert_non_null(strstr(ran.out, *said));
	}
}

/* From behind the nth empty line to the next one, or to the end. */
static const char *
page_part(const char *page, int n, char *part, size_t room)
{
	const char *end;

	for (; n > 0; n--) {
		page = strstr(page, "\n\n");
		assert_non_null(page);
		page += 2;
	}
	end = strstr(page, "\n\n");
	snprintf(part, room, "%.*s\n", (int)(end ? (size_t)(end - page) : strlen(page) - 1), page);
	return part;
}

/* An option that is on the page is taken, and one that is not is refused: no page can lag behind the table. */
static void
every_verb_has_a_page_with_its_own_options_and_no_others(void **state)
{
	static const struct {
		const char *verb, *head, *options;
	} CASES[] = {
		{ "plan", "skimcut plan [OPTION]... JOB\n", "--post NAME|FILE, --measured HEIGHT, --as text|json" },
		{ "program", "skimcut program [OPTION]... JOB\n",
		  "--output FILE, --post NAME|FILE, --measured HEIGHT, --dry-run" },
		{ "prove", "skimcut prove [OPTION]... JOB PROGRAM\n",
		  "--post NAME|FILE, --measured HEIGHT, --as text|json" },
		{ "sheet", "skimcut sheet [OPTION]... JOB\n",
		  "--output FILE, --post NAME|FILE, --measured HEIGHT, --as html|svg" },
		{ "cutters", "skimcut cutters [OPTION]... JOB\n", "--post NAME|FILE, --as text|json" },
		{ "list", "skimcut list [OPTION]... posts|materials\n", "" },
		{ "new", "skimcut new [OPTION]...\n", "--units mm|inch" },
		{ "schema", "skimcut schema [OPTION]...\n", "" },
	};
	static const char *const ALL[][2] = { { "--output", "x" },   { "--post", "plain" }, { "--measured", "1" },
		                              { "--dry-run", NULL }, { "--as", "text" },    { "--units", "mm" } };
	char                     part[1024], shown[256];

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		const char *verb = CASES[i].verb;
		static char page[OUT_MAX];
		size_t      lines = 0;

		run(NULL, verb, "--help", NULL);
		assert_int_equal(ran.status, 0);
		assert_string_equal(ran.err, "");
		strcpy(page, ran.out);
		assert_page(page, verb);
		assert_int_equal(strncmp(page, CASES[i].head, strlen(CASES[i].head)), 0);
		page_part(page, 2, part, sizeof part);
		for (const char *c = part; *c; c++)
			lines += *c == '\n';
		for (size_t k = 0; k < sizeof ALL / sizeof ALL[0]; k++) {
			bool own = strstr(CASES[i].options, ALL[k][0]) != NULL;

			assert_int_equal(strstr(part, ALL[k][0]) != NULL, own);
			lines -= own;
			run(NULL, verb, ALL[k][0], ALL[k][1], NULL);
			assert_int_equal(strstr(ran.err, "does not take") == NULL, own);
		}
		assert_int_equal(lines, 2);
		assert_non_null(strstr(part, "-q, --quiet "));
		assert_non_null(strstr(part, "-h, --help "));
		for (const char *option = CASES[i].options; *option; option += strspn(option, ", ")) {
			snprintf(shown, sizeof shown, "%.*s ", (int)strcspn(option, ","), option);
			assert_non_null(strstr(part, shown));
			option += strcspn(option, ",");
		}
		snprintf(shown, sizeof shown, "  skimcut %s", verb);
		assert_int_equal(strncmp(page_part(page, 3, part, sizeof part), shown, strlen(shown)), 0);
		assert_int_equal(strncmp(page_part(page, 4, part, sizeof part), "Exit status: 0 ", 15), 0);
	}
}

static void
help_is_of_the_verb_in_whatever_order_it_is_asked_for(void **state)
{
	static const char *const CASES[][5] = {
		{ "sheet", "--help" },
		{ "--help", "sheet" },
		{ "sheet", "-h" },
		{ "-h", "sheet" },
		{ "-qh", "sheet" },
		{ "sheet", "job.yaml", "-o", "x", "--help" },
		{ "--help", "sheet", "-n" },
		{ "--help", "--bad", "sheet" },
		{ "sheet", "absent.yaml", "-h" },
		{ "--help", "--version", "sheet" },
		{ "-o", "--help", "-h", "sheet" },
	};
	static char page[OUT_MAX];

	(void)state;
	run(NULL, "sheet", "--help", NULL);
	strcpy(page, ran.out);
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		const char *const *a = CASES[i];

		run(NULL, a[0], a[1], a[2], a[3], a[4], NULL);
		assert_int_equal(ran.status, 0);
		assert_string_equal(ran.err, "");
		assert_string_equal(ran.out, page);
	}
	run(NULL, "--help", "sheep", NULL);
	assert_int_equal(ran.status, 2);
	assert_string_equal(ran.out, "");
	assert_non_null(strstr(ran.err, "did you mean 'sheet'?"));
	run(NULL, "--version", "--help", NULL);
	assert_int_equal(strncmp(ran.out, "skimcut " SKIMCUT_VERSION "\n", strlen("skimcut " SKIMCUT_VERSION "\n")), 0);
}

static void
the_version_is_one_line(void **state)
{
	(void)state;
	run(NULL, "--version", NULL);
	assert_int_equal(ran.status, 0);
	assert_string_equal(ran.out, "skimcut " SKIMCUT_VERSION "\n");
	run(NULL, "-V", NULL);
	assert_string_equal(ran.out, "skimcut " SKIMCUT_VERSION "\n");
}

static void
a_bad_command_line_is_said_on_standard_error_and_is_status_2(void **state)
{
	static const struct {
		const char *arguments[5], *said;
	} CASES[] = {
		{ { NULL }, "what to do?" },
		{ { "paln", "job.yaml" }, "did you mean 'plan'?" },
		{ { "progam", "job.yaml" }, "did you mean 'program'?" },
		{ { "PLAN", "job.yaml" }, "did you mean 'plan'?" },
		{ { "engrave", "job.yaml" }, "there is no 'engrave'" },
		{ { "" }, "there is no ''" },
		{ { "plan" }, "'plan' takes" },
		{ { "plan", "job.yaml", "job.yaml" }, "'plan' takes" },
		{ { "program" }, "'program' takes" },
		{ { "list" }, "posts" },
		{ { "list", "posts", "materials" }, "posts" },
		{ { "list", "post" }, "posts" },
		{ { "list", "cutters" }, "posts or materials" },
		{ { "new", "part.yaml" }, "'new' takes" },
		{ { "plan", "--colour", "job.yaml" }, "there is no option --colour" },
		{ { "plan", "-x", "job.yaml" }, "there is no option -x" },
		{ { "plan", "job.yaml", "-x" }, "there is no option -x" },
		{ { "-xq", "plan", "job.yaml" }, "there is no option -x" },
		{ { "plan", "-qx", "job.yaml" }, "there is no option -x" },
		{ { "plan", "--quiet=no", "job.yaml" }, "--quiet" },
		{ { "program", "job.yaml", "-o" }, "-o needs a value" },
		{ { "program", "job.yaml", "--post" }, "--post needs a value" },
		{ { "plan", "job.yaml", "-o", "x" }, "'plan' does not take" },
		{ { "plan", "-n", "job.yaml" }, "'plan' does not take" },
		{ { "plan", "--units", "mm", "job.yaml" }, "'plan' does not take" },
		{ { "program", "--as", "text", "job.yaml" },
		  "'program' does not take --as; see 'skimcut program --help'" },
		{ { "program", "job.yaml", "--units", "mm" }, "'program' does not take" },
		{ { "list", "-p", "plain", "posts" }, "'list' does not take" },
		{ { "new", "-n" }, "'new' does not take" },
		{ { "prove" }, "'prove' takes" },
		{ { "prove", "job.yaml" }, "'prove' takes" },
		{ { "prove", "job.yaml", "good.nc", "good.nc" }, "'prove' takes" },
		{ { "prove", "-n", "job.yaml", "good.nc" }, "'prove' does not take" },
		{ { "prove", "job.yaml", "good.nc", "-ox" }, "'prove' does not take" },
		{ { "prove", "--as=yaml", "job.yaml", "good.nc" }, "--as yaml is unknown; text or json" },
		{ { "prove", "--as=", "job.yaml", "good.nc" }, "text or json" },
		{ { "prove", "job.yaml", "good.nc", "--as" }, "--as needs a value" },
		{ { "prove", "-", "-" }, "standard input" },
		{ { "prove", "-q", "job.yaml", "absent.nc" }, "absent.nc" },
		{ { "prove", "absent.yaml", "good.nc" }, "absent.yaml" },
		{ { "prove", "-q", "job.yaml", "." }, "directory" },
		{ { "prove", "-q", "job.yaml", "" }, "No such file" },
		{ { "prove", "-prs274", "job.yaml", "good.nc" }, "there is no post 'rs274'" },
		{ { "cutter", "job.yaml" }, "did you mean 'cutters'?" },
		{ { "cutters" }, "'cutters' takes" },
		{ { "cutters", "job.yaml", "job.yaml" }, "'cutters' takes" },
		{ { "cutters", "-n", "job.yaml" }, "'cutters' does not take" },
		{ { "cutters", "job.yaml", "-ox" }, "'cutters' does not take" },
		{ { "cutters", "--units", "mm", "job.yaml" }, "'cutters' does not take" },
		{ { "cutters", "--as=yaml", "job.yaml" }, "--as yaml is unknown; text or json" },
		{ { "cutters", "job.yaml", "--as" }, "--as needs a value" },
		{ { "cutters", "absent.yaml" }, "absent.yaml" },
		{ { "cutters", "." }, "directory" },
		{ { "cutters", "-prs274", "job.yaml" }, "there is no post 'rs274'" },
		{ { "new", "--units", "cm" }, "--units cm" },
		{ { "new", "--units", "" }, "mm or inch" },
		{ { "plan", "--as", "text json", "job.yaml" }, "--as text json is unknown; text or json;" },
		{ { "plan", "--as", "tex", "job.yaml" }, "text or json" },
		{ { "plan", "--as", "xt", "job.yaml" }, "text or json" },
		{ { "plan", "--as", "texts", "job.yaml" }, "text or json" },
		{ { "plan", "--as", " ", "job.yaml" }, "text or json" },
		{ { "plan", "--as", "html", "job.yaml" }, "text or json; see 'skimcut plan --help'" },
		{ { "sheet", "--as", "json", "job.yaml" }, "--as json is unknown; html or svg" },
		{ { "sheet", "--as", "html svg", "job.yaml" }, "html or svg" },
		{ { "sheet" }, "'sheet' takes one JOB" },
		{ { "sheet", "-n", "job.yaml" }, "'sheet' does not take" },
		{ { "sheet", "-q", "job.yaml", "-ojob.yaml" }, "made from" },
		{ { "schema", "job.yaml" }, "'schema' takes nothing" },
		{ { "schema", "--as", "json" }, "'schema' does not take" },
		{ { "cutters", "-m", "1.05", "job.yaml" }, "'cutters' does not take --measured" },
		{ { "plan", "job.yaml", "-m" }, "-m needs a value" },
		{ { "plan", "job.yaml", "--measured", "high" }, "--measured" },
		{ { "plan", "job.yaml", "--measured" }, "--measured needs a value" },
		{ { "plan", "job.yaml", "--help=plan" }, "--help takes no value" },
		{ { "plan", "" }, "No such file" },
		{ { "plan", "absent.yaml" }, "absent.yaml" },
		{ { "plan", "." }, "directory" },
		{ { "plan", "job.yaml/job.yaml" }, "Not a directory" },
		{ { "plan", "job.yaml", "-p", "rs274" }, "there is no post 'rs274'" },
		{ { "plan", "job.yaml", "-p", "" }, "there is no post ''" },
		{ { "plan", "job.yaml", "-p", "./absent.yaml" }, "absent.yaml" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		const char *const *a = CASES[i].arguments;

		run(NULL, a[0], a[1], a[2], a[3], NULL);
		if (ran.status != 2 || !strstr(ran.err, CASES[i].said) || ran.out[0])
			print_error("case %zu: %s %s: status %d, said: %s", i, a[0] ? a[0] : "",
			            a[0] && a[1] ? a[1] : "", ran.status, ran.err);
		assert_int_equal(ran.status, 2);
		assert_non_null(strstr(ran.err, CASES[i].said));
		assert_string_equal(ran.out, "");
		if (strncmp(ran.err, "skimcut: error: ", 16) != 0)
			print_error("case %zu: %s", i, ran.err);
		assert_int_equal(strncmp(ran.err, "skimcut: error: ", 16), 0);
	}
}

static void
an_option_that_a_verb_does_not_take_is_named(void **state)
{
	(void)state;
	run(NULL, "plan", "job.yaml", "--output", "x.nc", NULL);
	assert_non_null(strstr(ran.err, "-o"));
}

static void
a_name_that_begins_with_a_dash_goes_behind_two(void **state)
{
	(void)state;
	write_file("-job.yaml", JOB);
	run(NULL, "plan", "--", "-job.yaml", NULL);
	assert_int_equal(ran.status, 0);
}

static void
a_plan_goes_to_standard_output_and_nothing_else_does(void **state)
{
	(void)state;
	run(NULL, "plan", "job.yaml", NULL);
	assert_int_equal(ran.status, 0);
	assert_string_equal(ran.err, "");
	assert_non_null(strstr(ran.out, "gate hinge"));
	assert_non_null(strstr(ran.out, "Note"));
	assert_null(strstr(ran.out, "note:"));
	run(NULL, "plan", "--as", "text", "job.yaml", NULL);
	assert_int_equal(ran.status, 0);
}

static void
a_program_goes_to_standard_output_and_its_notes_to_standard_error(void **state)
{
	(void)state;
	run(NULL, "program", "job.yaml", NULL);
	assert_int_equal(ran.status, 0);
	assert_int_equal(strncmp(ran.out, "%\n", 2), 0);
	assert_string_equal(ran.out + strlen(ran.out) - 2, "%\n");
	assert_null(strstr(ran.out, "note:"));
	assert_non_null(strstr(ran.err, "job.yaml: note: "));
}

static void
quiet_silences_notes_and_warnings_and_no_refusal(void **state)
{
	(void)state;
	run(NULL, "-q", "program", "job.yaml", NULL);
	assert_int_equal(ran.status, 0);
	assert_string_equal(ran.err, "");
	run(NULL, "program", "--quiet", "refused.yaml", NULL);
	assert_int_equal(ran.status, 1);
	assert_non_null(strstr(ran.err, "refused: "));
}

/* --- on a terminal --- */

static void
environment_set(const char *name, const char *value)
{
	if (value)
		setenv(name, value, 1);
	else
		unsetenv(name);
}

/* What begins with ESC [ and ends with m, left out. */
static size_t
colours_drop(char *text)
{
	char  *to      = text;
	size_t colours = 0;

	for (const char *from = text; *from; from++) {
		if (from[0] == '\33' && from[1] == '[') {
			from += strcspn(from, "m");
			colours++;
			continue;
		}
		*to++ = *from;
	}
	*to = '\0';
	return colours;
}

static void
messages_are_coloured_on_a_terminal_that_is_asked_for_it(void **state)
{
	static const struct {
		unsigned    terminals;
		const char *term, *no_color;
		bool        coloured;
	} CASES[] = {
		{ TERMINAL_ERR, "xterm", NULL, true },
		{ TERMINAL_ERR, "vt100", "", true },
		{ TERMINAL_ERR | TERMINAL_OUT, "xterm", NULL, true },
		{ TERMINAL_ERR, "xterm", "1", false },
		{ TERMINAL_ERR, "xterm", "0", false },
		{ TERMINAL_ERR, "dumb", NULL, false },
		{ TERMINAL_ERR, "", NULL, false },
		{ TERMINAL_ERR, NULL, NULL, false },
		{ TERMINAL_OUT, "xterm", NULL, false },
		{ 0, "xterm", NULL, false },
	};
	static char plain[ERR_MAX];

	(void)state;
	run(NULL, "plan", "refused.yaml", NULL);
	strcpy(plain, ran.err);
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		size_t colours;

		terminals = CASES[i].terminals;
		environment_set("TERM", CASES[i].term);
		environment_set("NO_COLOR", CASES[i].no_color);
		run(NULL, "plan", "refused.yaml", NULL);
		assert_int_equal(ran.status, 1);
		colours = colours_drop(ran.err);
		if ((colours > 0) != CASES[i].coloured)
			print_error("case %zu: %zu colours\n", i, colours);
		/* On and off, for the word and for the caret. */
		assert_int_equal(colours, CASES[i].coloured ? 4 : 0);
		assert_string_equal(ran.err, plain);
	}
	unsetenv("NO_COLOR");
	terminals = 0;
}

/* What may be piped on, printed or saved is the same bytes on a terminal. */
static void
a_plan_a_program_and_a_page_have_no_colours_anywhere(void **state)
{
	static const char *const CASES[][3] = { { "plan", "job.yaml" },     { "program", "job.yaml" },
		                                { "cutters", "shop.yaml" }, { "plan", "--help" },
		                                { "list", "materials" },    { "new" } };
	static char              plain[OUT_MAX];

	(void)state;
	setenv("TERM", "xterm", 1);
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		run(NULL, CASES[i][0], CASES[i][1], NULL);
		strcpy(plain, ran.out);
		terminals = TERMINAL_OUT | TERMINAL_ERR;
		run(NULL, CASES[i][0], CASES[i][1], NULL);
		terminals = 0;
		assert_int_equal(ran.status, 0);
		assert_string_equal(ran.out, plain);
		assert_null(strchr(ran.out, '\33'));
	}
}

/* What stays to be seen of what was written to a terminal: a carriage return goes back to the beginning of the line. */
static void
screen(const char *bytes, char *shown)
{
	char *line = shown, *at = shown, *end = shown;

	for (; *bytes; bytes++) {
		if (*bytes == '\r') {
			at = line;
		} else if (*bytes == '\n') {
			*end++ = '\n';
			line = at = end;
		} else {
			*at++ = *bytes;
			end   = at > end ? at : end;
		}
	}
	while (end > line && end[-1] == ' ')
		end--;
	*end = '\0';
}

/*
 * A run that is stopped for a second when it has begun, so that it is a long one on any machine. Standard output goes to `out`;
 * -1: a pipe.
 */
static void
run_slowly(int out, const char *const *arguments)
{
	struct pipe_end ends[2] = { { -1, ran.out, 0, OUT_MAX - 1 }, { -1, ran.err, 0, ERR_MAX - 1 } };
	int             said[2], printed[2] = { -1, out };
	pid_t           process;

	ends_open(terminals & TERMINAL_ERR, said);
	if (out < 0)
		ends_open(false, printed);
	fcntl(said[0], F_SETFD, FD_CLOEXEC);
	fcntl(printed[0], F_SETFD, FD_CLOEXEC);
	process = start(arguments, (const int[]){ -1, printed[1], said[1] }, RLIM_INFINITY);
	close(printed[1]);
	close(said[1]);
	nanosleep(&(struct timespec){ 0, 60000000 }, NULL);
	kill(process, SIGSTOP);
	nanosleep(&(struct timespec){ 1, 50000000 }, NULL);
	kill(process, SIGCONT);
	ends[0].file = printed[0];
	ends[1].file = said[0];
	drain(ends, -1, NULL);
	ran.status = status_of(process);
}

static void
a_long_program_says_on_a_terminal_how_far_it_is_and_wipes_it(void **state)
{
	static const char *const CASES[][6] = { { "program", "slow.yaml", "-o", "slow.nc" },
		                                { "program", "slow.yaml", "--dry-run" },
		                                { "program", "slow.yaml" },
		                                { "program", "slow.yaml", "-q", "--dry-run" } };
	static char              shown[ERR_MAX], plain[ERR_MAX];

	(void)state;
	environment_set("TERM", "dumb");
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		bool to_file = i == 2, is_quiet = i == 3;

		for (int on = 0; on < 2; on++) {
			terminals = on ? TERMINAL_ERR : 0;
			run_slowly(to_file ? open("slow.out", O_WRONLY | O_CREAT | O_TRUNC, 0666) : -1, CASES[i]);
			terminals = 0;
			assert_int_equal(ran.status, 0);
			if (!on || is_quiet) {
				assert_null(strchr(ran.err, '\r'));
				strcpy(plain, ran.err);
				continue;
			}
			if (!strstr(ran.err, "\rskimcut: cut "))
				print_error("case %zu: no progress: %s\n", i, ran.err);
			assert_non_null(strstr(ran.err, "\rskimcut: cut "));
			screen(ran.err, shown);
			assert_string_equal(shown, plain);
		}
	}
	unlink("slow.nc");
	unlink("slow.out");
}

/* --- statuses --- */

static void
a_refused_job_is_status_1_and_writes_nothing(void **state)
{
	static const char *const VERBS[] = { "plan", "program" };

	(void)state;
	for (size_t i = 0; i < 2; i++) {
		run(NULL, VERBS[i], "refused.yaml", NULL);
		assert_int_equal(ran.status, 1);
		assert_string_equal(ran.out, "");
		assert_non_null(strstr(ran.err, "refused.yaml:6:16: refused: "));
	}
	run(NULL, "program", "refused.yaml", "-o", "refused.nc", NULL);
	assert_int_equal(ran.status, 1);
	assert_int_equal(access("refused.nc", F_OK), -1);
	assert_int_equal(entries(".skimcut-"), 0);
}

static void
a_program_refused_halfway_is_neither_on_disk_nor_on_standard_output(void **state)
{
	char text[64];

	(void)state;
	write_file("silent.yaml", SILENT);
	write_file("old.nc", "the old program\n");
	run(NULL, "program", "job.yaml", "-p", "./silent.yaml", "-o", "old.nc", NULL);
	assert_int_equal(ran.status, 1);
	assert_non_null(strstr(ran.err, "refused: "));
	read_file("old.nc", text, sizeof text);
	assert_string_equal(text, "the old program\n");
	assert_int_equal(entries(".skimcut-"), 0);
	run(NULL, "program", "job.yaml", "-p", "./silent.yaml", NULL);
	assert_int_equal(ran.status, 1);
	assert_string_equal(ran.out, "");
	run(NULL, "program", "-n", "job.yaml", "-p", "./silent.yaml", NULL);
	assert_int_equal(ran.status, 1);
	assert_string_equal(ran.out, "");
}

static void
a_full_disk_is_status_3_whatever_is_printed(void **state)
{
	static const char *const CASES[][4] = { { "plan", "job.yaml", NULL },
		                                { "program", "job.yaml", NULL },
		                                { "program", "-n", "job.yaml", NULL },
		                                { "prove", "job.yaml", "good.nc", NULL },
		                                { "cutters", "job.yaml", NULL },
		                                { "list", "materials", NULL },
		                                { "new", NULL },
		                                { "--help", NULL },
		                                { "--version", NULL } };

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		int full = open("/dev/full", O_WRONLY);

		run_into(full, NULL, CASES[i]);
		assert_int_equal(ran.status, 3);
		assert_non_null(strstr(ran.err, "error: cannot write to standard output: No space left on device\n"));
	}
	run(NULL, "program", "job.yaml", "-o", "/dev/full", NULL);
	assert_int_equal(ran.status, 3);
	assert_non_null(strstr(ran.err, "error: cannot write '/dev/full': No space left on device\n"));
}

static void
a_reader_that_went_away_is_status_3_and_no_signal(void **state)
{
	const char *const arguments[] = { "plan", "job.yaml", NULL };
	int               ends[2];

	(void)state;
	assert_int_equal(pipe(ends), 0);
	close(ends[0]);
	run_into(ends[1], NULL, arguments);
	assert_int_equal(ran.status, 3);
	assert_non_null(strstr(ran.err, "error: cannot write to standard output: Broken pipe\n"));
}

/* --- standard input, the shop, posts --- */

static void
a_dash_reads_the_job_from_standard_input(void **state)
{
	static char from_file[OUT_MAX];

	(void)state;
	run(NULL, "plan", "job.yaml", NULL);
	strcpy(from_file, ran.out);
	run(JOB, "plan", "-", NULL);
	assert_int_equal(ran.status, 0);
	assert_string_equal(ran.out, from_file);
	run("units: inch\nstock: 3\n", "plan", "-", NULL);
	assert_int_equal(ran.status, 2);
	assert_non_null(strstr(ran.err, "standard input:2:8: error: "));
	run("", "plan", "-", NULL);
	assert_int_equal(ran.status, 2);
	assert_non_null(strstr(ran.err, "empty"));
}

static void
the_shop_is_looked_for_beside_the_job(void **state)
{
	(void)state;
	assert_int_equal(mkdir("bench", 0777), 0);
	write_file("bench/shop.yaml",
	           "units: mm\ncutters:\n  big: {kind: face mill, diameter: 80, teeth: 5, edge: carbide}\n");
	write_file("bench/job.yaml", "units: mm\nshop: shop.yaml\nmaterial: brass\nfinished_height: 10\n"
	                             "stock: {length: 90, width: 50, height: 12}\ncutter: big\n");
	run(NULL, "plan", "bench/job.yaml", NULL);
	assert_int_equal(ran.status, 0);
	assert_non_null(strstr(ran.out, "80.000 mm"));
	write_file("bench/shop.yaml",
	           "units: mm\ncutters:\n  big: {kind: face mil, diameter: 80, teeth: 5, edge: carbide}\n");
	run(NULL, "plan", "bench/job.yaml", NULL);
	assert_int_equal(ran.status, 2);
	assert_non_null(strstr(ran.err, "bench/shop.yaml:3:15: error: "));
	assert_int_equal(unlink("bench/shop.yaml"), 0);
	run(NULL, "plan", "bench/job.yaml", NULL);
	assert_int_equal(ran.status, 2);
	assert_non_null(strstr(ran.err, "bench/job.yaml:2:7: error: cannot read 'bench/shop.yaml'"));
}

static void
a_post_on_the_command_line_is_taken_instead_of_the_jobs(void **state)
{
	static char long_way[OUT_MAX];

	(void)state;
	run(NULL, "program", "-q", "job.yaml", "--post", "rs274d", NULL);
	assert_int_equal(ran.status, 0);
	assert_non_null(strstr(ran.out, "N0001G17G70"));
	strcpy(long_way, ran.out);
	run(NULL, "program", "-q", "job.yaml", "-prs274d", NULL);
	assert_string_equal(ran.out, long_way);
	run(NULL, "plan", "job.yaml", "-p", "plain", NULL);
	assert_int_equal(ran.status, 0);
}

static void
a_post_of_ones_own_is_found_from_here_or_from_the_job(void **state)
{
	static char text[OUT_MAX];

	(void)state;
	write_file("own.yaml", OWN);
	run(NULL, "program", "-q", "job.yaml", "-p", "./own.yaml", NULL);
	assert_int_equal(ran.status, 0);
	assert_int_equal(strncmp(ran.out, "G17 G20 G90 G94\n", 16), 0);
	run(NULL, "program", "-q", "job.yaml", "-p", "own.yaml", NULL);
	assert_int_equal(ran.status, 0);
	assert_int_equal(mkdir("rack", 0777), 0);
	write_file("rack/own.yaml", OWN);
	snprintf(text, sizeof text, "%sprogram: {post: own.yaml}\n", JOB);
	write_file("rack/job.yaml", text);
	assert_int_equal(unlink("own.yaml"), 0);
	run(NULL, "program", "-q", "rack/job.yaml", NULL);
	assert_int_equal(ran.status, 0);
	run(NULL, "program", "-q", "rack/job.yaml", "-p", "own.yaml", NULL);
	assert_int_equal(ran.status, 2);
}

static void
a_byte_order_mark_before_the_first_key_does_no_harm(void **state)
{
	static char job[OUT_MAX];

	(void)state;
	snprintf(job, sizeof job, "\xEF\xBB\xBF%s", JOB);
	run(job, "plan", "-", NULL);
	assert_string_equal(ran.err, "");
	assert_int_equal(ran.status, 0);
}

/* The line that a message shows is somebody else's text. */
static void
a_message_brings_no_control_character_to_the_terminal(void **state)
{
	static const char *const LINES[] = {
		"units: cubits # \x1B[31m\n",
		"units: cubits # \x7F\n",
		"units: cubits # \xC2\x9B"
		"31m\n",
		"units: cubits # \x9B"
		"31m\n",
		"units: cubits # \xED\xA0\x80\n",
		"units: \"cu\\e[31mbits\"\n",
		"units: \"cu\\x9B"
		"31mbits\"\n",
		"units: \"cu\\Lbits\"\n",
		"\"un\\e[31mits\": inch\n",
	};

	(void)state;
	for (size_t i = 0; i < sizeof LINES / sizeof LINES[0]; i++) {
		run(LINES[i], "plan", "-", NULL);
		assert_int_equal(ran.status, 2);
		for (const unsigned char *c = (const unsigned char *)ran.err; *c; c++) {
			bool lone = *c >= 0x80 && (c[1] & 0xC0) != 0x80 && (*c & 0xC0) != 0x80;

			if ((*c < ' ' && *c != '\n' && *c != '\t') || *c == 0x7F || (*c == 0xC2 && c[1] < 0xA0) || lone)
				fail_msg("line %zu: byte %02X in: %s", i, *c, ran.err);
		}
	}
}

/* --- program --- */

static void
a_program_is_the_same_on_disk_and_on_standard_output(void **state)
{
	static char written[OUT_MAX];

	(void)state;
	run(NULL, "program", "job.yaml", "-o", "hinge.nc", NULL);
	assert_int_equal(ran.status, 0);
	assert_string_equal(ran.out, "");
	assert_non_null(strstr(ran.err, "note: hinge.nc is written"));
	read_file("hinge.nc", written, sizeof written);
	run(NULL, "program", "job.yaml", NULL);
	assert_string_equal(ran.out, written);
	run(NULL, "program", "job.yaml", "-o", "-", NULL);
	assert_string_equal(ran.out, written);
	assert_int_equal(access("-", F_OK), -1);
}

static void
a_dry_run_prints_the_plan_and_leaves_the_folder_alone(void **state)
{
	static char plan[OUT_MAX];
	int         names;

	(void)state;
	run(NULL, "plan", "job.yaml", NULL);
	strcpy(plan, ran.out);
	names = entries("");
	run(NULL, "program", "-n", "job.yaml", NULL);
	assert_int_equal(ran.status, 0);
	assert_string_equal(ran.out, plan);
	run(NULL, "program", "--dry-run", "job.yaml", "-o", "dry.nc", NULL);
	assert_int_equal(ran.status, 0);
	assert_string_equal(ran.out, plan);
	assert_int_equal(entries(""), names);
}

static void
nothing_a_program_is_made_from_is_written_over(void **state)
{
	static const char *const TARGETS[] = { "in/job.yaml", "in/shop.yaml", "in/post.yaml", "in/link", "in/hard" };
	static char              text[OUT_MAX];

	(void)state;
	assert_int_equal(mkdir("in", 0777), 0);
	snprintf(text, sizeof text, "%sshop: shop.yaml\nprogram: {post: post.yaml}\n", JOB);
	write_file("in/job.yaml", text);
	write_file("in/shop.yaml", "units: mm\n");
	write_file("in/post.yaml", OWN);
	assert_int_equal(symlink("job.yaml", "in/link"), 0);
	assert_int_equal(link("in/shop.yaml", "in/hard"), 0);
	for (size_t i = 0; i < sizeof TARGETS / sizeof TARGETS[0]; i++) {
		run(NULL, "program", "in/job.yaml", "-o", TARGETS[i], NULL);
		assert_int_equal(ran.status, 2);
		assert_non_null(strstr(ran.err, TARGETS[i]));
	}
	read_file("in/job.yaml", text, sizeof text);
	assert_int_equal(strncmp(text, JOB, sizeof JOB - 1), 0);
	read_file("in/shop.yaml", text, sizeof text);
	assert_string_equal(text, "units: mm\n");
}

static void
a_job_on_standard_input_is_not_written_over_either(void **state)
{
	const char *const arguments[] = { "program", "-", "-o", "redirected.yaml", NULL };
	static char       text[OUT_MAX];
	pid_t             process;
	int               files[3] = { -1, -1, -1 };

	(void)state;
	write_file("redirected.yaml", JOB);
	files[0] = open("redirected.yaml", O_RDONLY);
	files[1] = files[2] = open("/dev/null", O_WRONLY);
	process             = start(arguments, files, RLIM_INFINITY);
	close(files[0]);
	close(files[1]);
	assert_int_equal(status_of(process), 2);
	read_file("redirected.yaml", text, sizeof text);
	assert_string_equal(text, JOB);
}

static void
what_is_said_to_be_written_is_there_even_with_standard_output_closed(void **state)
{
	const char *const arguments[] = { "program", "job.yaml", "-o", "closed.nc", NULL };
	pid_t             process;
	int               files[3] = { -1, -1, -1 };

	(void)state;
	files[0] = files[2] = open("/dev/null", O_RDWR);
	process             = start(arguments, files, RLIM_INFINITY);
	close(files[0]);
	if (status_of(process) == 0)
		assert_int_equal(access("closed.nc", R_OK), 0);
	assert_int_equal(entries(".skimcut-"), 0);
}

/* As with `ulimit -f`: what would be a signal has to be an error of write(). */
static void
a_file_that_may_grow_no_further_leaves_the_old_one(void **state)
{
	const char *const arguments[] = { "program", "big.yaml", "-o", "limit.nc", NULL };
	char              text[64];
	int               said[2], files[3] = { -1, -1, -1 };
	struct pipe_end   ends[2] = { { -1, ran.out, 0, OUT_MAX - 1 }, { -1, ran.err, 0, ERR_MAX - 1 } };
	pid_t             process;

	(void)state;
	write_file("limit.nc", "the old program\n");
	assert_int_equal(pipe(said), 0);
	files[2] = said[1];
	process  = start(arguments, files, 200000);
	close(said[1]);
	ends[1].file = said[0];
	drain(ends, -1, NULL);
	assert_int_equal(status_of(process), 3);
	assert_non_null(strstr(ran.err, "error: cannot write 'limit.nc': File too large\n"));
	read_file("limit.nc", text, sizeof text);
	assert_string_equal(text, "the old program\n");
	assert_int_equal(entries(".skimcut-"), 0);
}

static void
an_ending_signal_halfway_leaves_the_old_program_alone(void **state)
{
	static const int  SIGNALS[]   = { SIGTERM, SIGINT, SIGHUP };
	const char *const arguments[] = { "program", "big.yaml", "-o", "signal.nc", NULL };
	char              text[64];

	(void)state;
	write_file("signal.nc", "the old program\n");
	for (size_t i = 0; i < sizeof SIGNALS / sizeof SIGNALS[0]; i++) {
		int   nowhere = open("/dev/null", O_RDWR), files[3] = { nowhere, nowhere, nowhere }, status;
		pid_t process = start(arguments, files, RLIM_INFINITY);

		close(nowhere);
		wait_for_temporary();
		assert_int_equal(kill(process, SIGNALS[i]), 0);
		assert_int_equal(waitpid(process, &status, 0), process);
		assert_true(WIFSIGNALED(status));
		assert_int_equal(WTERMSIG(status), SIGNALS[i]);
		read_file("signal.nc", text, sizeof text);
		assert_string_equal(text, "the old program\n");
		assert_int_equal(entries(".skimcut-"), 0);
	}
}

/* --- prove --- */

static void
a_proved_program_is_status_0_and_a_page(void **state)
{
	(void)state;
	run(NULL, "prove", "skim.yaml", "good.nc", NULL);
	assert_int_equal(ran.status, 0);
	assert_string_equal(ran.err, "");
	assert_int_equal(strncmp(ran.out, "PROOF         good.nc, against skim.yaml\n", 41), 0);
	assert_non_null(strstr(ran.out, "\nPROVED "));
	run(NULL, "prove", "--as", "text", "skim.yaml", "good.nc", NULL);
	assert_int_equal(ran.status, 0);
	assert_non_null(strstr(ran.out, "\nPROVED "));
}

static void
a_program_not_proved_is_status_1_a_page_and_a_place(void **state)
{
	(void)state;
	run(NULL, "prove", "skim.yaml", "bad.nc", NULL);
	assert_int_equal(ran.status, 1);
	assert_non_null(strstr(ran.out, "\nNOT PROVED "));
	assert_non_null(strstr(ran.out, "line 9: rapid meets stock 0.2 mm below its top"));
	assert_string_equal(
	    ran.err, "bad.nc:9:1: refused: not proved: rapid meets stock 0.2 mm below its top at X40.000 Y16.000\n");
	run(NULL, "prove", "-q", "skim.yaml", "bad.nc", NULL);
	assert_int_equal(ran.status, 1);
	assert_non_null(strstr(ran.err, "refused: "));
	/* Of the first line nothing can be shown, since it was not kept. */
	write_file("first.nc", "G81\n");
	run(NULL, "prove", "skim.yaml", "first.nc", NULL);
	assert_string_equal(ran.err, "first.nc:1:1: refused: not proved: G81 (a canned cycle) is not read\n");
}

static void
a_job_that_is_refused_proves_nothing(void **state)
{
	(void)state;
	run(NULL, "prove", "refused.yaml", "good.nc", NULL);
	assert_int_equal(ran.status, 1);
	assert_string_equal(ran.out, "");
	assert_non_null(strstr(ran.err, "refused.yaml:6:16: refused: "));
	run(NULL, "prove", "good.nc", "job.yaml", NULL);
	assert_int_equal(ran.status, 2);
	assert_string_equal(ran.out, "");
	assert_non_null(strstr(ran.err, "good.nc:1:"));
}

/* Through a pipe, which can be read only once, and redirected from a file, which stands where it stands. */
static void
a_program_or_a_job_comes_from_standard_input(void **state)
{
	static char       text[OUT_MAX];
	const char *const arguments[] = { "prove", "skim.yaml", "-", NULL };
	static const char REST[]      = "THIS LINE IS NOT OF THE PROGRAM\n";
	static const char SLANTED[] = "G21 G17 G90 G94 G54\nT1 M6\nG43 H1\nG0 Z30\nS500 M3\nX70 Y17\nZ2.5\nG1 Z0 F50\n"
				      "X-30 Y15\nG0 X70\nZ30\nM5\nM30\n";

	(void)state;
	run(GOOD, "prove", "skim.yaml", "-", NULL);
	assert_int_equal(ran.status, 0);
	assert_non_null(strstr(ran.out, "standard input"));
	run(BAD, "prove", "skim.yaml", "-", NULL);
	assert_int_equal(ran.status, 1);
	assert_int_equal(strncmp(ran.err, "standard input:9:1: refused: ", 29), 0);
	run(SKIM, "prove", "-", "good.nc", NULL);
	assert_int_equal(ran.status, 0);
	for (int k = 0; k < 4; k++) {
		int   in, out = open("printed", O_RDWR | O_CREAT | O_TRUNC, 0666);
		pid_t process;

		/* Behind a slanted pass, what is refused is carved again, finer, from where the program began. */
		snprintf(text, sizeof text, "%s%s", k < 2 ? "" : REST, k % 2 ? SLANTED : GOOD);
		write_file("program.nc", text);
		in = open("program.nc", O_RDONLY);
		lseek(in, k < 2 ? 0 : (off_t)(sizeof REST - 1), SEEK_SET);
		process = start(arguments, (const int[]){ in, out, out }, RLIM_INFINITY);
		close(in);
		close(out);
		assert_int_equal(status_of(process), k % 2);
		read_file("printed", text, sizeof text);
		if (k % 2)
			assert_non_null(strstr(text, "line 10: rapid touches the top of the stock"));
	}
}

static const json_t *
member(const json_t *object, const char *key)
{
	const json_t *value = json_object_get(object, key);

	if (!value)
		fail_msg("there is no '%s' in %s", key, ran.out);
	return value;
}

static void
as_json_it_is_one_object_whatever_becomes_of_it(void **state)
{
	static const char *const PROGRAMS[] = { "good.nc", "bad.nc", "job.yaml" };

	(void)state;
	for (int i = 0; i < 3; i++) {
		json_error_t error;
		json_t      *root;

		run(NULL, "prove", "--as", "json", "skim.yaml", PROGRAMS[i], NULL);
		assert_int_equal(ran.status, i > 0);
		root = json_loads(ran.out, JSON_REJECT_DUPLICATES, &error);
		if (!root)
			fail_msg("%d: %s\n%s", error.line, error.text, ran.out);
		assert_int_equal(json_is_true(member(root, "proved")), i == 0);
		assert_string_equal(json_string_value(member(root, "program")), PROGRAMS[i]);
		assert_string_equal(json_string_value(member(root, "job")), "skim.yaml");
		assert_int_equal(json_array_size(member(root, "properties")), 10);
		json_decref(root);
	}
}

static void
what_program_writes_prove_proves(void **state)
{
	static const char *const POSTS[] = { "rs274ngc", "iso6983", "plain", "rs274d" };
	static const char *const JOBS[]  = { "job.yaml", "skim.yaml" };

	(void)state;
	for (size_t i = 0; i < 4; i++)
		for (size_t k = 0; k < 2; k++) {
			run(NULL, "program", "-q", "-p", POSTS[i], JOBS[k], "-o", "written.nc", NULL);
			assert_int_equal(ran.status, 0);
			run(NULL, "prove", "-p", POSTS[i], JOBS[k], "written.nc", NULL);
			assert_int_equal(ran.status, 0);
		}
}

/* --- cutters --- */

static void
the_shops_cutters_are_a_page_best_first(void **state)
{
	static char page[OUT_MAX];
	const char *right, *narrow;

	(void)state;
	run(NULL, "cutters", "shop.yaml", NULL);
	assert_int_equal(ran.status, 0);
	assert_int_equal(strncmp(ran.out, "CUTTERS       gate \"hinge\" ", 27), 0);
	assert_null(strchr(ran.out, '\x1B'));
	right  = strstr(ran.out, " 1    right ");
	narrow = strstr(ran.out, " 2    narrow\n");
	assert_non_null(right);
	assert_non_null(narrow);
	assert_true(right < narrow);
	strcpy(page, ran.out);
	run(NULL, "cutters", "--as", "text", "shop.yaml", NULL);
	assert_int_equal(ran.status, 0);
	assert_string_equal(ran.out, page);
	/* A dialect rounds feeds in its own way. */
	run(NULL, "cutters", "-p", "rs274d", "shop.yaml", NULL);
	assert_int_equal(ran.status, 0);
	assert_non_null(strstr(ran.out, " 1    right "));
	run(NULL, "cutters", "-q", "shop.yaml", NULL);
	assert_string_equal(ran.out, page);
	assert_string_equal(ran.err, "");
	run(SHOP, "cutters", "-", NULL);
	assert_int_equal(ran.status, 0);
	assert_string_equal(ran.out, page);
	/* Its own cutter, where there is no shop. */
	run(NULL, "cutters", "job.yaml", NULL);
	assert_int_equal(ran.status, 0);
	assert_non_null(strstr(ran.out, "\n         1    "));
	assert_null(strstr(ran.out, "\n         2    "));
}

static void
cutters_as_json_are_one_object(void **state)
{
	json_error_t  error;
	json_t       *root;
	const json_t *cutters;

	(void)state;
	for (int i = 0; i < 2; i++) {
		run(i ? SHOP : NULL, "cutters", "--as", "json", i ? "-" : "shop.yaml", NULL);
		assert_int_equal(ran.status, 0);
		root = json_loads(ran.out, JSON_REJECT_DUPLICATES, &error);
		if (!root)
			fail_msg("%d: %s\n%s", error.line, error.text, ran.out);
		cutters = member(root, "cutters");
		assert_int_equal(json_array_size(cutters), 2);
		assert_string_equal(json_string_value(member(json_array_get(cutters, 0), "name")), "right \\ \"one\"");
		assert_string_equal(json_string_value(member(json_array_get(cutters, 1), "fitness")), "passes");
		json_decref(root);
	}
}

static void
without_a_cutter_that_can_do_it_the_list_is_printed_and_status_is_1(void **state)
{
	static char  job[OUT_MAX];
	json_error_t error;
	json_t      *root;

	(void)state;
	run(NULL, "cutters", "refused.yaml", NULL);
	assert_int_equal(ran.status, 1);
	assert_non_null(strstr(ran.out, "refused: "));
	assert_int_equal(strncmp(ran.err, "refused.yaml:", 13), 0);
	assert_non_null(strstr(ran.err, ": refused: no cutter"));
	run(NULL, "cutters", "-q", "--as=json", "refused.yaml", NULL);
	assert_int_equal(ran.status, 1);
	assert_non_null(strstr(ran.err, "refused: no cutter"));
	root = json_loads(ran.out, JSON_REJECT_DUPLICATES, &error);
	assert_non_null(root);
	assert_non_null(
	    strstr(json_string_value(member(json_array_get(member(root, "cutters"), 0), "reason")), "one pass"));
	json_decref(root);
	/* One of two is enough. */
	snprintf(job, sizeof job, "%scut: {pattern: single}\n", SHOP);
	run(job, "cutters", "-", NULL);
	assert_int_equal(ran.status, 0);
	assert_non_null(strstr(ran.out, "refused: "));
	/* A job that cannot be read ranks nothing. */
	run("units: inch\nstock: 3\n", "cutters", "-", NULL);
	assert_int_equal(ran.status, 2);
	assert_string_equal(ran.out, "");
	assert_non_null(strstr(ran.err, "standard input:2:8: error: "));
}

/* What is first on the list is what the plan takes. */
static void
a_plan_without_a_cutter_takes_the_best_of_the_list(void **state)
{
	(void)state;
	run(NULL, "plan", "shop.yaml", NULL);
	assert_int_equal(ran.status, 0);
	assert_non_null(strstr(ran.out, "3.0000 in, 5 teeth"));
	run(NULL, "program", "-q", "shop.yaml", NULL);
	assert_int_equal(ran.status, 0);
	assert_non_null(strstr(ran.out, "T2 "));
	assert_null(strstr(ran.out, "T1 "));
}

/* --- program proves itself --- */

#define DIALECT                                                                                                        \
	"name: own\n"                                                                                                  \
	"resolution: {mm: 0.001 mm, inch: 0.0001 in}\n"                                                                \
	"feed_resolution: {mm: 1 mm/min, inch: 0.1 in/min}\n"

/* A dialect that writes a wrong thing; what is wrong with it is for the proof to find. */
static void
a_program_that_is_not_proved_goes_nowhere(void **state)
{
	static const struct {
		const char *dialect, *said;
	} CASES[] = {
		/* The spindle never stops. */
		{ DIALECT
		  "begin: 'G17 {units} G90 G94'\nspindle: {clockwise: 'S{speed} M3', off: M3}\nstop: M0\nend: M2\n",
		  "line 10: stops with the spindle turning" },
		{ DIALECT
		  "begin: 'G17 {units} G90 G94'\nspindle: {clockwise: 'S{speed} M3', off: M9}\nstop: M0\nend: M2\n",
		  "line 10: stops with the spindle turning" },
		/* It turns backwards. */
		{ DIALECT
		  "begin: 'G17 {units} G90 G94'\nspindle: {clockwise: 'S{speed} M4', off: M5}\nstop: M0\nend: M2\n",
		  "line 7: cuts with the spindle turning backwards" },
		/* It does not turn. */
		{ DIALECT
		  "begin: 'G17 {units} G90 G94'\nspindle: {clockwise: 'S{speed}', off: M5}\nstop: M0\nend: M2\n",
		  "line 7: cuts with the spindle off" },
		/* A stop that goes on by itself. */
		{ DIALECT
		  "begin: 'G17 {units} G90 G94'\nspindle: {clockwise: 'S{speed} M3', off: M5}\nstop: G4 P1\nend: M2\n",
		  "without a stop to measure" },
		{ DIALECT
		  "begin: 'G17 {units} G90 G94'\nspindle: {clockwise: 'S{speed} M3', off: M5}\nstop: M1\nend: M2\n",
		  "without a stop to measure" },
		/* No end. */
		{ DIALECT
		  "begin: 'G17 {units} G90 G94'\nspindle: {clockwise: 'S{speed} M3', off: M5}\nstop: M0\nend: M0\n",
		  "the program has no end" },
		/* Cuts at rapid; and the other way about. */
		{ DIALECT
		  "begin: 'G17 {units} G90 G94'\nwords: {feed: G0}\nspindle: {clockwise: 'S{speed} M3', off: M5}\n"
		  "stop: M0\nend: M2\n",
		  "line 7: rapid meets stock" },
		{ DIALECT "begin: 'G17 {units} G90 G94'\nwords: {rapid: G1, feed: G0}\n"
		          "spindle: {clockwise: 'S{speed} M3', off: M5}\nstop: M0\nend: M2\n",
		  "line 2: moves at feed, and no feed is set" },
		/* From where it stands. */
		{ DIALECT
		  "begin: 'G17 {units} G91 G94'\nspindle: {clockwise: 'S{speed} M3', off: M5}\nstop: M0\nend: M2\n",
		  "line 2: Z1.1 counts from where the axis stands" },
		/* From another zero. */
		{ DIALECT
		  "begin: 'G17 {units} G90 G94 G55'\nspindle: {clockwise: 'S{speed} M3', off: M5}\nstop: M0\nend: M2\n",
		  "line 1: G55 is another zero" },
		/* Another tool, another length. */
		{ DIALECT
		  "begin: 'G17 {units} G90 G94'\ntool: 'T{tool}0 M6'\nspindle: {clockwise: 'S{speed} M3', off: M5}\n"
		  "stop: M0\nend: M2\n",
		  "line 2: calls tool 10" },
		{ DIALECT "begin: 'G17 {units} G90 G94'\ntool: ['T{tool} M6', 'G43 H{tool}1']\n"
		          "spindle: {clockwise: 'S{speed} M3', off: M5}\nstop: M0\nend: M2\n",
		  "line 3: takes the length of tool 11" },
		/* What the reader does not know. */
		{ DIALECT
		  "begin: ['G17 {units} G90 G94', G68 R5]\nspindle: {clockwise: 'S{speed} M3', off: M5}\nstop: M0\n"
		  "end: M2\n",
		  "line 2: G68 (rotated coordinates) is not read" },
		/* Ten times the speed. */
		{ DIALECT
		  "begin: 'G17 {units} G90 G94'\nspindle: {clockwise: 'S{speed}0 M3', off: M5}\nstop: M0\nend: M2\n",
		  "the edges run at" },
		/* It is never told that the program is in inches. */
		{ DIALECT
		  "begin: 'G17 G90 G94 ({units})'\nspindle: {clockwise: 'S{speed} M3', off: M5}\nstop: M0\nend: M2\n",
		  "has no units" },
	};
	char text[64];

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		write_file("wrong.yaml", CASES[i].dialect);
		write_file("old.nc", "the old program\n");
		unlink("new.nc");
		for (int k = 0; k < 4; k++) {
			static const char *const OUTPUTS[][2] = {
				{ "-o", "old.nc" }, { "-o", "new.nc" }, { "-o", "-" }, { "-n", NULL }
			};

			run(NULL, "program", "job.yaml", "-p", "./wrong.yaml", OUTPUTS[k][0], OUTPUTS[k][1], NULL);
			if (ran.status != 1 || !strstr(ran.err, CASES[i].said))
				print_error("case %zu: status %d, wanted '%s', said: %s\n", i, ran.status,
				            CASES[i].said, ran.err);
			assert_int_equal(ran.status, 1);
			assert_string_equal(ran.out, "");
			assert_non_null(strstr(ran.err, "refused: the program is not proved, so it is not written: "));
			assert_non_null(strstr(ran.err, CASES[i].said));
			assert_non_null(strstr(ran.err, "'own'"));
			assert_non_null(strstr(ran.err, "report it"));
			assert_non_null(strstr(ran.err, "skimcut --version"));
		}
		read_file("old.nc", text, sizeof text);
		assert_string_equal(text, "the old program\n");
		assert_int_equal(access("new.nc", F_OK), -1);
		assert_int_equal(entries(".skimcut-"), 0);
	}
}

/* What every machine takes for inches must not be sent for millimetres, whatever a dialect's file says of it. */
static void
units_that_mean_something_else_everywhere_are_not_written(void **state)
{
	static const char *const WORDS[] = { "{mm: G20, inch: G21}", "{mm: G70, inch: G71}", "{mm: G21, inch: G21}",
		                             "{mm: G20, inch: G20}", "{inch: G71}",          "{mm: G70}" };
	static const char *const JOBS[]  = { "job.yaml", "skim.yaml" };

	(void)state;
	for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++) {
		char dialect[1024];

		snprintf(dialect, sizeof dialect,
		         DIALECT
		         "begin: 'G17 {units} G90 G94'\nwords: %s\nspindle: {clockwise: 'S{speed} M3', off: M5}\n"
		         "stop: M0\nend: M2\n",
		         WORDS[i]);
		write_file("wrong.yaml", dialect);
		for (size_t k = 0; k < 2; k++) {
			/* The one word that is right, and the units that the job is in. */
			if ((i == 2 && k == 1) || (i == 3 && k == 0) || (i == 4 && k == 1) || (i == 5 && k == 0))
				continue;
			run(NULL, "program", "-q", JOBS[k], "-p", "./wrong.yaml", NULL);
			if (ran.status == 0)
				print_error("%s writes %s\n", JOBS[k], WORDS[i]);
			assert_true(ran.status == 1 || ran.status == 2);
			assert_string_equal(ran.out, "");
		}
	}
}

/* More than any buffer holds, and the fault at its very end. */
static void
nothing_of_a_long_program_is_sent_before_it_is_proved(void **state)
{
	static const char LONG[] =
	    "units: mm\n"
	    "material: brass\n"
	    "stock: {length: 500, width: 500, height: 12}\n"
	    "finished_height: 10\n"
	    "cutter: {kind: end mill, diameter: 5, teeth: 2, edge: hss, nose_radius: 0}\n"
	    "cut: {pattern: zigzag, along: x, rough: 0.02, skim: 0.02, test_cut: 0, measure: []}\n";
	struct stat status;

	(void)state;
	write_file("long.yaml", LONG);
	write_file("wrong.yaml", DIALECT "begin: 'G17 {units} G90 G94'\nspindle: {clockwise: 'S{speed} M3', off: M5}\n"
	                                 "stop: M0\nend: M0\n");
	write_file("right.yaml", DIALECT "begin: 'G17 {units} G90 G94'\nspindle: {clockwise: 'S{speed} M3', off: M5}\n"
	                                 "stop: M0\nend: M2\n");
	run(NULL, "program", "-q", "long.yaml", "-p", "./right.yaml", "-o", "long.nc", NULL);
	assert_int_equal(ran.status, 0);
	assert_int_equal(stat("long.nc", &status), 0);
	assert_true(status.st_size > 200000);
	run(NULL, "program", "-q", "long.yaml", "-p", "./wrong.yaml", NULL);
	assert_int_equal(ran.status, 1);
	assert_string_equal(ran.out, "");
	run(NULL, "program", "-q", "long.yaml", "-p", "./wrong.yaml", "-o", "/dev/stdout", NULL);
	assert_int_equal(ran.status, 1);
	assert_string_equal(ran.out, "");
}

static void
what_is_written_is_said_to_be_proved(void **state)
{
	(void)state;
	run(NULL, "program", "job.yaml", "-o", "said.nc", NULL);
	assert_int_equal(ran.status, 0);
	assert_non_null(strstr(ran.err, "said.nc is written and proved, "));
}

/* --- list and new --- */

static void
posts_are_listed_one_a_line_and_each_can_be_used(void **state)
{
	static char list[OUT_MAX];
	int         posts = 0;

	(void)state;
	run(NULL, "list", "posts", NULL);
	assert_int_equal(ran.status, 0);
	assert_string_equal(ran.err, "");
	strcpy(list, ran.out);
	for (char *line = strtok(list, "\n"); line; line = strtok(NULL, "\n"), posts++) {
		line[strcspn(line, " ")] = '\0';
		run(NULL, "program", "-q", "job.yaml", "-p", line, NULL);
		assert_int_equal(ran.status, 0);
	}
	assert_true(posts >= 4);
}

static void
materials_are_listed_and_each_can_be_used(void **state)
{
	static char list[OUT_MAX];
	int         materials = 0;

	(void)state;
	run(NULL, "list", "materials", NULL);
	assert_int_equal(ran.status, 0);
	assert_string_equal(ran.err, "");
	strcpy(list, ran.out);
	for (char *line = list, *end; (end = strchr(line, '\n')); line = end + 1) {
		char   job[1024], name[32];
		size_t length = 20;

		*end = '\0';
		if (strlen(line) < 25 || line[20] == ' ' || line[21] != ' ')
			continue;
		while (line[length - 1] == ' ')
			length--;
		snprintf(name, sizeof name, "%.*s", (int)length, line);
		snprintf(job, sizeof job,
		         "units: mm\nmaterial: %s\nstock: {length: 90, width: 50, height: 12}\nfinished_height: 10\n"
		         "cutter: {kind: face mill, diameter: 63, teeth: 5, edge: carbide}\n",
		         name);
		run(job, "plan", "-", NULL);
		if (ran.status != 0)
			print_error("material '%s': %s", name, ran.err);
		assert_int_equal(ran.status, 0);
		materials++;
	}
	assert_true(materials >= 13);
}

static void
a_new_job_plans_as_it_is(void **state)
{
	static const char *const CASES[][4] = { { "new", NULL },
		                                { "new", "--units", "inch", NULL },
		                                { "new", "--units=mm", NULL } };
	static const char *const UNITS[]    = { "\nunits: inch\n", "\nunits: inch\n", "\nunits: mm\n" };
	static char              job[OUT_MAX];

	(void)state;
	for (size_t i = 0; i < 3; i++) {
		run(NULL, CASES[i][0], CASES[i][1], CASES[i][2], NULL);
		assert_int_equal(ran.status, 0);
		assert_string_equal(ran.err, "");
		assert_non_null(strstr(ran.out, UNITS[i]));
		strcpy(job, ran.out);
		run(job, "plan", "-", NULL);
		assert_int_equal(ran.status, 0);
		assert_null(strstr(ran.out, "Warning"));
		run(job, "program", "-", NULL);
		assert_int_equal(ran.status, 0);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(help_goes_to_standard_output_and_fits_a_small_terminal),
		cmocka_unit_test(every_verb_has_a_page_with_its_own_options_and_no_others),
		cmocka_unit_test(help_is_of_the_verb_in_whatever_order_it_is_asked_for),
		cmocka_unit_test(the_version_is_one_line),
		cmocka_unit_test(a_bad_command_line_is_said_on_standard_error_and_is_status_2),
		cmocka_unit_test(an_option_that_a_verb_does_not_take_is_named),
		cmocka_unit_test(a_name_that_begins_with_a_dash_goes_behind_two),
		cmocka_unit_test(a_plan_goes_to_standard_output_and_nothing_else_does),
		cmocka_unit_test(a_program_goes_to_standard_output_and_its_notes_to_standard_error),
		cmocka_unit_test(quiet_silences_notes_and_warnings_and_no_refusal),
		cmocka_unit_test(messages_are_coloured_on_a_terminal_that_is_asked_for_it),
		cmocka_unit_test(a_plan_a_program_and_a_page_have_no_colours_anywhere),
		cmocka_unit_test(a_long_program_says_on_a_terminal_how_far_it_is_and_wipes_it),
		cmocka_unit_test(a_refused_job_is_status_1_and_writes_nothing),
		cmocka_unit_test(a_program_refused_halfway_is_neither_on_disk_nor_on_standard_output),
		cmocka_unit_test(a_full_disk_is_status_3_whatever_is_printed),
		cmocka_unit_test(a_reader_that_went_away_is_status_3_and_no_signal),
		cmocka_unit_test(a_dash_reads_the_job_from_standard_input),
		cmocka_unit_test(the_shop_is_looked_for_beside_the_job),
		cmocka_unit_test(a_post_on_the_command_line_is_taken_instead_of_the_jobs),
		cmocka_unit_test(a_post_of_ones_own_is_found_from_here_or_from_the_job),
		cmocka_unit_test(a_byte_order_mark_before_the_first_key_does_no_harm),
		cmocka_unit_test(a_message_brings_no_control_character_to_the_terminal),
		cmocka_unit_test(a_program_is_the_same_on_disk_and_on_standard_output),
		cmocka_unit_test(a_dry_run_prints_the_plan_and_leaves_the_folder_alone),
		cmocka_unit_test(nothing_a_program_is_made_from_is_written_over),
		cmocka_unit_test(a_job_on_standard_input_is_not_written_over_either),
		cmocka_unit_test(what_is_said_to_be_written_is_there_even_with_standard_output_closed),
		cmocka_unit_test(an_ending_signal_halfway_leaves_the_old_program_alone),
		cmocka_unit_test(a_proved_program_is_status_0_and_a_page),
		cmocka_unit_test(a_program_not_proved_is_status_1_a_page_and_a_place),
		cmocka_unit_test(a_job_that_is_refused_proves_nothing),
		cmocka_unit_test(a_program_or_a_job_comes_from_standard_input),
		cmocka_unit_test(as_json_it_is_one_object_whatever_becomes_of_it),
		cmocka_unit_test(what_program_writes_prove_proves),
		cmocka_unit_test(the_shops_cutters_are_a_page_best_first),
		cmocka_unit_test(cutters_as_json_are_one_object),
		cmocka_unit_test(without_a_cutter_that_can_do_it_the_list_is_printed_and_status_is_1),
		cmocka_unit_test(a_plan_without_a_cutter_takes_the_best_of_the_list),
		cmocka_unit_test(a_program_that_is_not_proved_goes_nowhere),
		cmocka_unit_test(units_that_mean_something_else_everywhere_are_not_written),
		cmocka_unit_test(nothing_of_a_long_program_is_sent_before_it_is_proved),
		cmocka_unit_test(what_is_written_is_said_to_be_proved),
		cmocka_unit_test(posts_are_listed_one_a_line_and_each_can_be_used),
		cmocka_unit_test(materials_are_listed_and_each_can_be_used),
		cmocka_unit_test(a_new_job_plans_as_it_is),
		cmocka_unit_test(a_file_that_may_grow_no_further_leaves_the_old_one),
	};

	return cmocka_run_group_tests(tests, folder_fill, folder_remove);
}

/* The arguments end with a NULL. */
static void
run(const char *input, ...)
{
	const char *arguments[ARGUMENTS_MAX];
	size_t      count = 0;
	va_list     list;

	va_start(list, input);
	do
		arguments[count] = va_arg(list, const char *);
	while (arguments[count++]);
	va_end(list);
	run_into(-1, input, arguments);
}

/* Its standard output is `out`, which is closed here; -1: a pipe, which is read. */
static void
run_into(int out, const char *input, const char *const *arguments)
{
	struct pipe_end ends[2] = { { -1, ran.out, 0, OUT_MAX - 1 }, { -1, ran.err, 0, ERR_MAX - 1 } };
	int             in[2], said[2], printed[2] = { -1, out };
	pid_t           process;

	assert_int_equal(pipe(in), 0);
	ends_open(terminals & TERMINAL_ERR, said);
	if (out < 0)
		ends_open(terminals & TERMINAL_OUT, printed);
	for (int i = 0; i < 2; i++) {
		fcntl(in[i], F_SETFD, FD_CLOEXEC);
		fcntl(said[i], F_SETFD, FD_CLOEXEC);
		if (printed[i] >= 0)
			fcntl(printed[i], F_SETFD, FD_CLOEXEC);
	}
	process = start(arguments, (const int[]){ in[0], printed[1], said[1] }, RLIM_INFINITY);
	close(in[0]);
	close(printed[1]);
	close(said[1]);
	ends[0].file = printed[0];
	ends[1].file = said[0];
	drain(ends, in[1], input);
	ran.status = status_of(process);
}

/* A pipe, or a terminal that passes on what it gets as it is. */
static void
ends_open(bool terminal, int ends[2])
{
	struct termios state;

	if (!terminal) {
		assert_int_equal(pipe(ends), 0);
		return;
	}
	ends[0] = posix_openpt(O_RDWR | O_NOCTTY);
	assert_true(ends[0] >= 0 && grantpt(ends[0]) == 0 && unlockpt(ends[0]) == 0);
	ends[1] = open(ptsname(ends[0]), O_RDWR | O_NOCTTY);
	assert_true(ends[1] >= 0 && tcgetattr(ends[1], &state) == 0);
	state.c_oflag &= ~(tcflag_t)OPOST;
	assert_int_equal(tcsetattr(ends[1], TCSANOW, &state), 0);
}

/* -1 among `files` is a closed one. */
static pid_t
start(const char *const *arguments, const int files[3], rlim_t file_size)
{
	const char *argv[ARGUMENTS_MAX + 1] = { binary };
	pid_t       process;

	for (size_t i = 0; i + 1 < ARGUMENTS_MAX && arguments[i]; i++)
		argv[i + 1] = arguments[i];
	fflush(NULL);
	process = fork();
	assert_true(process >= 0);
	if (process > 0)
		return process;
	for (int i = 0; i < 3; i++)
		if (files[i] < 0)
			close(i);
		else
			dup2(files[i], i);
	for (int i = 3; i < 64; i++)
		close(i);
	setrlimit(RLIMIT_FSIZE, &(struct rlimit){ file_size, file_size });
	setrlimit(RLIMIT_CORE, &(struct rlimit){ 0, 0 });
	execv(binary, (char *const *)(uintptr_t)argv);
	_exit(127);
}

/* Feeds `text` to `input` and reads both ends to the end; -1 is a file that is not there. */
static void
drain(struct pipe_end ends[2], int input, const char *text)
{
	if (input >= 0) {
		/* A job is far smaller than a pipe. */
		if (text)
			assert_int_equal(write(input, text, strlen(text)), (ssize_t)strlen(text));
		close(input);
	}
	while (ends[0].file >= 0 || ends[1].file >= 0) {
		struct pollfd wait[2] = { { ends[0].file, POLLIN, 0 }, { ends[1].file, POLLIN, 0 } };

		assert_true(poll(wait, 2, 60000) > 0);
		for (int i = 0; i < 2; i++) {
			ssize_t part;

			if (ends[i].file < 0 || wait[i].revents == 0)
				continue;
			part = read(ends[i].file, ends[i].bytes + ends[i].length, ends[i].room - ends[i].length);
			if (part > 0) {
				ends[i].length += (size_t)part;
				continue;
			}
			close(ends[i].file);
			ends[i].file = -1;
		}
	}
	for (int i = 0; i < 2; i++)
		ends[i].bytes[ends[i].length] = '\0';
}

static int
status_of(pid_t process)
{
	int status;

	assert_int_equal(waitpid(process, &status, 0), process);
	return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

static void
write_file(const char *path, const char *text)
{
	FILE *file = fopen(path, "w");

	assert_non_null(file);
	assert_true(fputs(text, file) >= 0);
	assert_int_equal(fclose(file), 0);
}

static void
read_file(const char *path, char *text, size_t room)
{
	FILE *file = fopen(path, "r");

	assert_non_null(file);
	text[fread(text, 1, room - 1, file)] = '\0';
	fclose(file);
}

/* Of the folder the test runs in. */
static int
entries(const char *name_begins)
{
	DIR *here  = opendir(".");
	int  count = 0;

	assert_non_null(here);
	for (struct dirent *entry = readdir(here); entry; entry = readdir(here))
		count += strncmp(entry->d_name, name_begins, strlen(name_begins)) == 0;
	closedir(here);
	return count;
}

static void
wait_for_temporary(void)
{
	for (int tries = 0; tries < 20000; tries++) {
		if (entries(".skimcut-") > 0)
			return;
		nanosleep(&(struct timespec){ 0, 1000000 }, NULL);
	}
	fail_msg("no temporary file in 20 seconds");
}

static int
folder_fill(void **state)
{
	if (!realpath(SKIMCUT, binary) || folder_make(state) != 0)
		return -1;
	signal(SIGPIPE, SIG_IGN);
	write_file("job.yaml", JOB);
	write_file("refused.yaml", REFUSED);
	write_file("big.yaml", BIG);
	write_file("slow.yaml", SLOW);
	write_file("shop.yaml", SHOP);
	write_file("skim.yaml", SKIM);
	write_file("good.nc", GOOD);
	write_file("bad.nc", BAD);
	return 0;
}
