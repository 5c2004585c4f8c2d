#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "../unit/languages.h"
#include "skimcut/reader.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

struct outcome {
	size_t       steps, line, deleted;
	uint64_t     digest;
	bool         refused, ended;
	struct fault fault;
};

static void read_it(const struct language *language, const char *program, size_t size, size_t cut,
                    struct outcome *outcome);
static void take(struct reader *reader, struct outcome *outcome);
static void mix(struct outcome *outcome, int64_t value);
static void check(bool holds);

/*
 * The first byte chooses a language, the second the place where the program is cut in two, the rest is the program. It is read
 * in any case: to its end, which nothing follows, or to a fault that says where and what; and the same wherever it is cut.
 */
int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{

	struct language language;
	struct outcome  whole = { 0 }, halves = { 0 };
	const char     *program = size > 2 ? (const char *)data + 2 : "";

	if (size < 2)
		return 0;
	language = language_by_hand((enum tongue)(data[0] % TONGUES));
	read_it(&language, program, size - 2, size - 2, &whole);
	read_it(&language, program, size - 2, (size - 2) * data[1] / 255, &halves);
	check(whole.refused || whole.ended);
	if (whole.refused)
		check(whole.fault.line >= 1 && whole.fault.column >= 1 && whole.fault.text[0] &&
		      memchr(whole.fault.text, '\0', sizeof whole.fault.text));
	check(whole.steps == halves.steps && whole.digest == halves.digest && whole.line == halves.line &&
	      whole.deleted == halves.deleted && whole.refused == halves.refused && whole.ended == halves.ended);
	check(!whole.refused || (whole.fault.line == halves.fault.line && whole.fault.column == halves.fault.column &&
	                         strcmp(whole.fault.text, halves.fault.text) == 0));
	return 0;
}

static void
read_it(const struct language *language, const char *program, size_t size, size_t cut, struct outcome *outcome)
{
	static const struct point ZERO = { 3 * LENGTH_MM, -7 * LENGTH_MM, 20 * LENGTH_MM };

	struct reader reader;

	reader_begin(&reader, language, ZERO);
	reader_feed(&reader, program, cut);
	take(&reader, outcome);
	reader_feed(&reader, program + cut, size - cut);
	take(&reader, outcome);
	reader_end(&reader);
	take(&reader, outcome);
	check(reader.bytes == size);
	outcome->line    = reader.line;
	outcome->deleted = reader.deleted;
	outcome->refused = reader.refused;
	outcome->fault   = reader.fault;
}

static void
take(struct reader *reader, struct outcome *outcome)
{
	struct step step;

	while (reader_next(reader, &step)) {
		check(!outcome->ended);
		check(reader->line >= 1 && reader->line <= reader->bytes);
		check(llabs(step.to.x) <= LENGTH_MAX && llabs(step.to.y) <= LENGTH_MAX &&
		      llabs(step.to.z) <= LENGTH_MAX);
		check(llabs(step.centre.x) <= LENGTH_MAX && llabs(step.centre.y) <= LENGTH_MAX);
		check(step.feed >= 0 && step.rpm >= 0 && step.tool >= 0);
		check((step.kind != STEP_RAPID && step.kind != STEP_FEED && step.kind != STEP_HOME) || step.axes != 0);
		check(step.kind != STEP_ARC || (step.axes & (AXIS_X | AXIS_Y)) == (AXIS_X | AXIS_Y));
		outcome->ended = step.kind == STEP_END;
		outcome->steps++;
		mix(outcome, step.kind);
		mix(outcome, step.axes);
		mix(outcome, step.to.x);
		mix(outcome, step.to.y);
		mix(outcome, step.to.z);
		mix(outcome, step.centre.x);
		mix(outcome, step.centre.y);
		mix(outcome, step.clockwise + 2 * step.optional);
		mix(outcome, step.feed);
		mix(outcome, step.rotation);
		mix(outcome, step.rpm);
		mix(outcome, step.coolant);
		mix(outcome, step.tool);
		mix(outcome, (int64_t)reader->line);
	}
}

static void
mix(struct outcome *outcome, int64_t value)
{
	outcome->digest = (outcome->digest ^ (uint64_t)value) * UINT64_C(1099511628211);
}

static void
check(bool holds)
{
	if (!holds)
		abort();
}
