#include <fcntl.h>
#include <getopt.h>
#include <signal.h>
#include <string.h>
#include <unistd.h>

#include "call.h"
#include "output.h"

#include "skimcut/text.h"
#include "skimcut/version.h"

/* `options` are the letters it understands beside those that every verb does. */
struct verb {
	const char *name;
	verb_run   *run;
	size_t      operands;
	const char *operand_names, *options;
};

static const struct verb VERBS[] = {
	{ "plan", plan_run, 1, "one JOB", "pa" },
	{ "program", program_run, 1, "one JOB", "opn" },
	{ "prove", prove_run, 2, "a JOB and a PROGRAM", "pa" },
	{ "cutters", cutters_run, 1, "one JOB", "pa" },
	{ "list", list_run, 1, "one of posts and materials", "" },
	{ "new", new_run, 0, "nothing", "u" },
};

static const char EVERY_VERB[] = "qhV";

static const struct option OPTIONS[] = {
	{ "output", required_argument, NULL, 'o' },
	{ "post", required_argument, NULL, 'p' },
	{ "dry-run", no_argument, NULL, 'n' },
	{ "as", required_argument, NULL, 'a' },
	{ "units", required_argument, NULL, 'u' },
	{ "quiet", no_argument, NULL, 'q' },
	{ "help", no_argument, NULL, 'h' },
	{ "version", no_argument, NULL, 'V' },
	{ 0 },
};

/* clang-format off */
static const char HELP[] =
    "skimcut plans and writes programs that face the top of a block down to size.\n"
    "\n"
    "  skimcut plan JOB                the pass plan, to read at the machine\n"
    "  skimcut program JOB [-o FILE]   the RS-274 program, on standard output\n"
    "  skimcut prove JOB PROGRAM       a program, ours or another's, against the job\n"
    "  skimcut cutters JOB             the shop's cutters for this job, best first\n"
    "  skimcut list posts|materials    dialects of programs; starting values\n"
    "  skimcut new [--units mm|inch]   a commented job to start from\n"
    "\n"
    "  -o, --output FILE       where the program goes: whole, or not at all\n"
    "  -p, --post NAME|FILE    the dialect, instead of the job's\n"
    "  -n, --dry-run           program: do all the work, print the plan, write none\n"
    "      --as text|json      prove, cutters: how it is printed\n"
    "      --units mm|inch     new: of the job to start from (inch)\n"
    "  -q, --quiet             no notes and warnings on standard error\n"
    "  -h, --help              this page\n"
    "  -V, --version           the version\n"
    "\n"
    "JOB is a YAML file; it or PROGRAM may be - for standard input. A first plan:\n"
    "  skimcut new > part.yaml && skimcut plan part.yaml\n"
    "\n"
    "Exit status: 0 done, 1 refused, 2 bad usage or input, 3 the system failed.\n"
    "A cutter does not know what it cuts: read the plan, the machine's manual and\n"
    "your shop's rules, and run every program above the work first.\n";
/* clang-format on */

static bool               options_read(struct call *call, int argc, char *argv[], char *used, bool *talked);
static bool               option_unknown(struct call *call, const char *word);
static void               standard_files_open(void);
static bool               option_take(struct call *call, int letter);
static bool               usage(struct call *call, const char *format, const char *what);
static bool               verb_call(struct call *call, const char *used);
static const char        *option_name(int letter);
static const struct verb *verb_find(struct call *call, const char *name);
static bool               say(struct call *call, const char *text);
static void               messages_print(const struct call *call);

int
main(int argc, char *argv[])
{
	char        used[16] = "";
	struct call call     = { .units = UNITS_INCH };
	bool        talked   = false;
	int         status;

	/* What these tell of is an error of write(), too. */
	signal(SIGPIPE, SIG_IGN);
	signal(SIGXFSZ, SIG_IGN);
	standard_files_open();
	call.diag.arena = &call.arena;
	if (options_read(&call, argc, argv, used, &talked) && !talked)
		verb_call(&call, used);
	messages_print(&call);
	status = diag_status(&call.diag);
	arena_release(&call.arena);
	return status;
}

/* `talked`: --help or --version was asked for and answered. */
static bool
options_read(struct call *call, int argc, char *argv[], char *used, bool *talked)
{
	int letter;

	opterr = 0;
	while ((letter = getopt_long(argc, argv, ":o:p:nqhV", OPTIONS, NULL)) != -1) {
		if (letter == 'h' || letter == 'V') {
			*talked = true;
			return say(call, letter == 'h' ? HELP : "skimcut " SKIMCUT_VERSION "\n");
		}
		if (letter == ':')
			return usage(call, "%s needs a value", argv[optind - 1]);
		if (letter == '?')
			return option_unknown(call, argv[optind - 1]);
		if (!option_take(call, letter))
			return false;
		if (!strchr(used, letter))
			used[strlen(used)] = (char)letter;
	}
	call->operands      = (const char *const *)argv + optind;
	call->operand_count = (size_t)(argc - optind);
	return true;
}

/* getopt leaves the letter in optopt; 0 for a long option, and a long option's letter when it has a value too many. */
static bool
option_unknown(struct call *call, const char *word)
{
	char letter[] = { '-', (char)optopt, '\0' };

	for (const struct option *option = OPTIONS; option->name; option++)
		if (option->val == optopt && strncmp(word, "--", 2) == 0)
			return usage(call, "--%s takes no value", option->name);
	return usage(call, "there is no option %s", optopt ? letter : word);
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

static bool
option_take(struct call *call, int letter)
{
	switch (letter) {
	case 'o': call->output = optarg; break;
	case 'p': call->post = optarg; break;
	case 'n': call->dry_run = true; break;
	case 'q': call->quiet = true; break;
	case 'a':
		if (strcmp(optarg, "text") != 0 && strcmp(optarg, "json") != 0)
			return usage(call, "--as %s is unknown; text or json", optarg);
		call->json = optarg[0] == 'j';
		break;
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
verb_call(struct call *call, const char *used)
{
	const struct verb *verb;

	if (call->operand_count == 0)
		return usage(call, "%s", "what to do? plan, program, prove, cutters, list or new");
	verb = verb_find(call, call->operands[0]);
	if (!verb)
		return false;
	for (const char *letter = used; *letter; letter++)
		if (!strchr(verb->options, *letter) && !strchr(EVERY_VERB, *letter))
			return diag_add(&call->diag, SEVERITY_ERROR, (struct place){ 0 },
			                "'%s' does not take --%s; see 'skimcut --help'", verb->name,
			                option_name(*letter));
	call->operands++;
	call->operand_count--;
	if (call->operand_count != verb->operands)
		return diag_add(&call->diag, SEVERITY_ERROR, (struct place){ 0 },
		                "'%s' takes %s, not %zu names; see 'skimcut --help'", verb->name, verb->operand_names,
		                call->operand_count);
	return verb->run(call);
}

static const char *
option_name(int letter)
{
	const struct option *option = OPTIONS;

	while (option->val != letter)
		option++;
	return option->name;
}

static const struct verb *
verb_find(struct call *call, const char *name)
{
	struct guess guess = guess_for(name);

	for (size_t i = 0; i < sizeof VERBS / sizeof VERBS[0]; i++) {
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

static bool
say(struct call *call, const char *text)
{
	static struct output output;
	const char          *nothing[] = { NULL };

	if (!output_open(&output, NULL, nothing, &call->diag))
		return false;
	text_string(&output.text, text);
	return output_commit(&output, &call->diag);
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
