#include <fcntl.h>
#include <getopt.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "call.h"
#include "output.h"

#include "skimcut/text.h"
#include "skimcut/version.h"

/*
 * A verb, and what its page of help says. `options` are the letters it understands beside those that every verb does, `forms`
 * what --as may say, the usual one first, `done` what the exit statuses 0 and 1 mean.
 */
struct verb {
	const char *name;
	verb_run   *run;
	size_t      operands;
	const char *operand_names, *operands_shown, *options, *forms[3];
	const char *line, *about, *example, *done;
};

/* clang-format off */
static const struct verb VERBS[] = {
	{ "plan", plan_run, 1, "one JOB", "JOB", "pma", { "text", "json" },
	  "the pass plan, to read at the machine",
	  "Finds speeds, feeds, cuts, passes and stops to measure, weighs the cut against\n"
	  "the motor and the grip, and prints it for a person at the machine. No file is\n"
	  "written.\n",
	  "  skimcut plan part.yaml\n"
	  "  skimcut plan part.yaml --measured 1.068     what is left, from this height\n",
	  "0 planned, 1 refused: not safe, or more than the machine bears" },
	{ "program", program_run, 1, "one JOB", "JOB", "opmn", { NULL },
	  "the RS-274 program, proved before it is written",
	  "Writes the program of the plan, reads it back, carves the stock with it, and\n"
	  "lets go of it only if ten properties hold. A FILE is there whole or not at all;\n"
	  "without -o the program goes to standard output.\n",
	  "  skimcut program part.yaml -o part.nc\n"
	  "  skimcut program part.yaml --dry-run         all the work, and only the plan\n",
	  "0 written and proved, 1 refused, and nothing is written" },
	{ "prove", prove_run, 2, "a JOB and a PROGRAM", "JOB PROGRAM", "pma", { "text", "json" },
	  "a program, ours or another's, against the job",
	  "Reads PROGRAM, carves the stock with it, and prints what it found about each of\n"
	  "ten properties: height, depth, rapids, holding, switches, limits, words. Of a\n"
	  "program made with --measured, the same height is to be told again.\n",
	  "  skimcut prove part.yaml part.nc\n"
	  "  skimcut prove part.yaml - --as json <part.nc\n",
	  "0 proved, 1 not proved, or the job is refused" },
	{ "sheet", sheet_run, 1, "one JOB", "JOB", "opma", { "html", "svg" },
	  "drawings and tables to print, one HTML file",
	  "Draws setup, passes and depths to scale and prints the tables, with boxes to\n"
	  "tick and lines to write measured heights on. It is for black and white paper, A4\n"
	  "or Letter, and needs nothing but a browser. As svg: the passes alone.\n",
	  "  skimcut sheet part.yaml -o part.html\n"
	  "  skimcut sheet part.yaml --as svg -o part.svg\n",
	  "0 written, 1 refused" },
	{ "cutters", cutters_run, 1, "one JOB", "JOB", "pa", { "text", "json" },
	  "the shop's cutters for this job, best first",
	  "Plans the job with every cutter of the shop and ranks them: those that cover the\n"
	  "width, then those that take several passes, the quickest first. Says why of each\n"
	  "that cannot do it.\n",
	  "  skimcut cutters part.yaml\n",
	  "0 one of them at least can do it, 1 none can" },
	{ "list", list_run, 1, "one of posts and materials", "posts|materials", "", { NULL },
	  "dialects of programs; starting speeds and feeds",
	  "posts: the names that --post and a job's post take. materials: the names that a\n"
	  "job's material takes, with cutting speeds and feeds per tooth to start from.\n",
	  "  skimcut list materials\n",
	  "0 listed" },
	{ "new", new_run, 0, "nothing", "", "u", { NULL },
	  "a commented job to start from",
	  "Prints a job with every usual key and what it is for. It plans as it is; change\n"
	  "it to your block, your cutter and your machine.\n",
	  "  skimcut new > part.yaml\n"
	  "  skimcut new --units mm > part.yaml\n",
	  "0 printed" },
	{ "schema", schema_run, 0, "nothing", "", "", { NULL },
	  "the JSON Schema of a job, for editors",
	  "Prints the schema (draft 2020-12) of a job and of a shop. An editor with a YAML\n"
	  "language server completes and checks the keys with it.\n",
	  "  skimcut schema > job.schema.json\n",
	  "0 printed" },
};
/* clang-format on */

enum { VERB_COUNT = sizeof VERBS / sizeof VERBS[0] };

static const char EVERY_VERB[] = "q"; /* help and version never get as far as a verb */

/* An option as getopt_long has it, and as the help tells of it. */
struct setting {
	struct option option;
	const char   *value, *about;
};

/* clang-format off */
static const struct setting SETTINGS[] = {
	{ { "output",   required_argument, NULL, 'o' }, "FILE", "where it goes; it is there whole or not at all" },
	{ { "post",     required_argument, NULL, 'p' }, "NAME|FILE", "the dialect, instead of the job's" },
	{ { "measured", required_argument, NULL, 'm' }, "HEIGHT", "go on from this height, the highest measured" },
	{ { "dry-run",  no_argument,       NULL, 'n' }, "", "do all the work, print the plan, write nothing" },
	{ { "as",       required_argument, NULL, 'a' }, "FORM", "how it is printed: text, json, html or svg" },
	{ { "units",    required_argument, NULL, 'u' }, "mm|inch", "of the job to start from; inch if not told" },
	{ { "quiet",    no_argument,       NULL, 'q' }, "", "no notes, warnings or progress on standard error" },
	{ { "help",     no_argument,       NULL, 'h' }, "", "this page, or behind a verb the page about it" },
	{ { "version",  no_argument,       NULL, 'V' }, "", "the version" },
};
/* clang-format on */

enum { SETTING_COUNT = sizeof SETTINGS / sizeof SETTINGS[0] };

/* Those that one letter stands for, too. */
static const char LETTERS[] = ":o:p:m:nqhV";

static const char HELP_HEAD[] = "skimcut plans and writes programs that face the top of a block down to size.\n\n";
static const char HELP_FOOT[] = "\nJOB is a YAML file ('skimcut new' prints one); - is standard input.\n"
				"Exit status: 0 done, 1 refused, 2 bad usage or input, 3 the system failed.\n"
				"Read the plan and the machine's manual; run every program above the work first.\n";

/* Where the second columns of a page begin. */
enum { VERB_COLUMN = 32, SETTING_COLUMN = 26 };

/* What a command line may ask for instead of work. */
enum talk { TALK_NONE, TALK_HELP, TALK_VERSION };

static void        standard_files_open(void);
static bool        colour_wanted(void);
static bool        options_read(struct call *call, int argc, char *argv[], char *used, enum talk *talk);
static bool        option_bad(struct call *call, int letter, const char *word);
static bool        option_take(struct call *call, int letter);
static bool        usage(struct call *call, const char *format, const char *what);
static bool        talk_say(struct call *call, enum talk talk);
static void        help_print(struct text *out);
static void        verb_help_print(const struct verb *verb, struct text *out);
static void        setting_print(const struct setting *setting, const char *value, const char *about, struct text *out);
static void        forms_write(const struct verb *verb, const char *between, struct text *out);
static bool        verb_call(struct call *call, const char *used);
static bool        nothing_asked(struct call *call);
static bool        form_find(struct call *call, const struct verb *verb);
static const char *option_name(int letter);
static const struct verb *verb_find(struct call *call, const char *name);
static void               messages_print(const struct call *call);

int
main(int argc, char *argv[])
{
	char        used[16] = "";
	struct call call     = { .units = UNITS_INCH };
	enum talk   talk     = TALK_NONE;
	int         status;

	/* What these tell of is an error of write(), too. */
	signal(SIGPIPE, SIG_IGN);
	signal(SIGXFSZ, SIG_IGN);
	standard_files_open();
	call.diag.arena  = &call.arena;
	call.diag.colour = colour_wanted();
	if (options_read(&call, argc, argv, used, &talk)) {
		if (talk == TALK_NONE)
			verb_call(&call, used);
		else
			talk_say(&call, talk);
	}
	messages_print(&call);
	status = diag_status(&call.diag);
	arena_release(&call.arena);
	return status;
}

/*
 * With a standard stream closed, a file opened later would get its number and be written to in its stead. /dev/null takes
 * the number, the wrong way round, so that using the stream still fails.
 */
static void
standard_files_open(void)
{
	for (int file = STDIN_FILENO; file <= STDERR_FILENO; file++)
		if (fcntl(file, F_GETFD) < 0)
			(void)!open("/dev/null", file == STDIN_FILENO ? O_WRONLY : O_RDONLY);
}

/* NO_COLOR, set and not empty, is how people say no to every program at once. */
static bool
colour_wanted(void)
{
	const char *no = getenv("NO_COLOR"), *terminal = getenv("TERM");

	return isatty(STDERR_FILENO) && !(no && no[0]) && terminal && terminal[0] && strcmp(terminal, "dumb") != 0;
}

/* Who asked for help gets it, whatever stands behind that; what is wrong before it is said. */
static bool
options_read(struct call *call, int argc, char *argv[], char *used, enum talk *talk)
{
	struct option options[SETTING_COUNT + 1] = { 0 };
	int           letter;

	for (size_t i = 0; i < SETTING_COUNT; i++)
		options[i] = SETTINGS[i].option;
	opterr = 0;
	while ((letter = getopt_long(argc, argv, LETTERS, options, NULL)) != -1) {
		if (letter == 'h' || letter == 'V')
			*talk = *talk != TALK_NONE ? *talk : letter == 'h' ? TALK_HELP : TALK_VERSION;
		else if (*talk != TALK_NONE)
			continue;
		else if (letter == ':' || letter == '?')
			return option_bad(call, letter, argv[optind - 1]);
		else if (!option_take(call, letter))
			return false;
		else if (!strchr(used, letter))
			used[strlen(used)] = (char)letter;
	}
	call->operands      = (const char *const *)argv + optind;
	call->operand_count = (size_t)(argc - optind);
	return true;
}

/* getopt leaves the letter in optopt; 0 for a long option, and a long option's letter when it has a value too many. */
static bool
option_bad(struct call *call, int letter, const char *word)
{
	char wrong[] = { '-', (char)optopt, '\0' };

	if (letter == ':')
		return usage(call, "%s needs a value", word);
	if (optopt && strncmp(word, "--", 2) == 0)
		return usage(call, "--%s takes no value", option_name(optopt));
	return usage(call, "there is no option %s", optopt ? wrong : word);
}

static bool
option_take(struct call *call, int letter)
{
	switch (letter) {
	case 'o': call->output = optarg; break;
	case 'p': call->post = optarg; break;
	case 'm': call->measured = optarg; break;
	case 'n': call->dry_run = true; break;
	case 'q': call->quiet = true; break;
	case 'a': call->as = optarg; break;
	case 'u':
		if (strcmp(optarg, "mm") != 0 && strcmp(optarg, "inch") != 0)
			return usage(call, "--units %s is unknown; mm or inch", optarg);
		call->units = optarg[0] == 'm' ? UNITS_MM : UNITS_INCH;
		break;
	default: break;
	}
	return true;
}

static bool
usage(struct call *call, const char *format, const char *what)
{
	char        buffer[256];
	struct text text = text_over(buffer, sizeof buffer);

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
	text_format(&text, format, what);
#pragma GCC diagnostic pop
	return diag_add(&call->diag, SEVERITY_ERROR, (struct place){ 0 }, "%s; see 'skimcut --help'", text_end(&text));
}

static bool
talk_say(struct call *call, enum talk talk)
{
	static struct output output;
	const char          *nothing[] = { NULL };
	bool                 of_verb   = talk == TALK_HELP && call->operand_count > 0;
	const struct verb   *verb      = of_verb ? verb_find(call, call->operands[0]) : NULL;

	if ((of_verb && !verb) || !output_open(&output, NULL, nothing, &call->diag))
		return false;
	if (talk == TALK_VERSION)
		text_string(&output.text, "skimcut " SKIMCUT_VERSION "\n");
	else if (verb)
		verb_help_print(verb, &output.text);
	else
		help_print(&output.text);
	return output_commit(&output, &call->diag);
}

static void
help_print(struct text *out)
{
	text_string(out, HELP_HEAD);
	for (const struct verb *verb = VERBS; verb < VERBS + VERB_COUNT; verb++) {
		char        buffer[64];
		struct text left = text_over(buffer, sizeof buffer);

		text_format(&left, "  skimcut %s %s", verb->name, verb->operands_shown);
		text_format(out, "%-*s%s\n", VERB_COLUMN, text_end(&left), verb->line);
	}
	text_char(out, '\n');
	for (size_t i = 0; i < SETTING_COUNT; i++)
		setting_print(&SETTINGS[i], SETTINGS[i].value, SETTINGS[i].about, out);
	text_string(out, HELP_FOOT);
}

static void
verb_help_print(const struct verb *verb, struct text *out)
{
	char        buffer[32];
	struct text forms = text_over(buffer, sizeof buffer);

	forms_write(verb, "|", &forms);
	text_end(&forms);
	text_format(out, "skimcut %s [OPTION]...%s%s\n\n%s\n", verb->name, verb->operands_shown[0] ? " " : "",
	            verb->operands_shown, verb->about);
	for (const struct setting *setting = SETTINGS; setting < SETTINGS + SETTING_COUNT; setting++)
		if (setting->option.val == 'a' && strchr(verb->options, 'a'))
			setting_print(setting, buffer, "how it is printed; the first unless told", out);
		else if (strchr(verb->options, setting->option.val) || strchr("qh", setting->option.val))
			setting_print(setting, setting->value, setting->about, out);
	text_format(out, "\n%s\nExit status: %s,%c2 bad usage or input, 3 the system failed.\n", verb->example,
	            verb->done, strlen(verb->done) < 20 ? ' ' : '\n');
}

static void
setting_print(const struct setting *setting, const char *value, const char *about, struct text *out)
{
	char        buffer[64];
	struct text left = text_over(buffer, sizeof buffer);

	if (strchr(LETTERS, setting->option.val))
		text_format(&left, "  -%c, ", setting->option.val);
	else
		text_string(&left, "      ");
	text_format(&left, "--%s %s", setting->option.name, value);
	text_format(out, "%-*s%s\n", SETTING_COLUMN, text_end(&left), about);
}

static void
forms_write(const struct verb *verb, const char *between, struct text *out)
{
	for (const char *const *form = verb->forms; *form; form++) {
		text_string(out, form > verb->forms ? between : "");
		text_string(out, *form);
	}
}

static bool
verb_call(struct call *call, const char *used)
{
	const struct verb *verb;

	if (call->operand_count == 0)
		return nothing_asked(call);
	verb = verb_find(call, call->operands[0]);
	if (!verb)
		return false;
	for (const char *letter = used; *letter; letter++)
		if (!strchr(verb->options, *letter) && !strchr(EVERY_VERB, *letter))
			return diag_add(&call->diag, SEVERITY_ERROR, (struct place){ 0 },
			                "'%s' does not take --%s; see 'skimcut %s --help'", verb->name,
			                option_name(*letter), verb->name);
	call->operands++;
	call->operand_count--;
	if (call->operand_count != verb->operands)
		return diag_add(&call->diag, SEVERITY_ERROR, (struct place){ 0 },
		                "'%s' takes %s, not %zu names; see 'skimcut %s --help'", verb->name,
		                verb->operand_names, call->operand_count, verb->name);
	return form_find(call, verb) && verb->run(call);
}

static bool
nothing_asked(struct call *call)
{
	char        buffer[128];
	struct text names = text_over(buffer, sizeof buffer);

	for (size_t i = 0; i < VERB_COUNT; i++)
		text_format(&names, "%s%s", i == 0 ? "" : i + 1 < VERB_COUNT ? ", " : " or ", VERBS[i].name);
	return usage(call, "what to do? %s", text_end(&names));
}

/* One of the verb's, the first when none was asked for. A verb with one form only takes no --as. */
static bool
form_find(struct call *call, const struct verb *verb)
{
	char        buffer[32];
	struct text forms = text_over(buffer, sizeof buffer);

	if (!call->as) {
		call->as = verb->forms[0];
		return true;
	}
	for (const char *const *form = verb->forms; *form; form++)
		if (strcmp(*form, call->as) == 0)
			return true;
	forms_write(verb, " or ", &forms);
	return diag_add(&call->diag, SEVERITY_ERROR, (struct place){ 0 },
	                "--as %.40s is unknown; %s; see 'skimcut %s --help'", call->as, text_end(&forms), verb->name);
}

static const char *
option_name(int letter)
{
	const struct setting *setting = SETTINGS;

	while (setting->option.val != letter)
		setting++;
	return setting->option.name;
}

static const struct verb *
verb_find(struct call *call, const char *name)
{
	struct guess guess = guess_for(name);

	for (size_t i = 0; i < VERB_COUNT; i++) {
		if (strcmp(VERBS[i].name, name) == 0)
			return &VERBS[i];
		guess_offer(&guess, VERBS[i].name);
	}
	if (guess.best)
		diag_add(&call->diag, SEVERITY_ERROR, (struct place){ 0 }, "there is no '%.40s'; did you mean '%s'?",
		         name, guess.best);
	else
		usage(call, "there is no '%.40s'", name);
	return NULL;
}

bool
call_as(const struct call *call, const char *form)
{
	return strcmp(call->as, form) == 0;
}

static void
messages_print(const struct call *call)
{
	static struct output output;
	struct diag          unheard   = { 0 };
	const char          *nothing[] = { NULL };

	output_open(&output, NULL, nothing, &unheard);
	output.file = STDERR_FILENO;
	diag_print(&call->diag, call->quiet || call->remarks_shown ? SEVERITY_REFUSED : SEVERITY_NOTE, "skimcut",
	           &output.text);
	text_flush(&output.text);
}
