/*
 * pages - the reference tables of docs/job.md and docs/posts.md, printed from the rows that the parser reads by.
 */
#include <stdio.h>
#include <string.h>

#include "skimcut/dialect.h"
#include "skimcut/job.h"
#include "skimcut/schema.h"
#include "skimcut/text.h"

static bool
to_standard_output(struct text *text)
{
	size_t size = text->length;

	text->length = 0;
	return fwrite(text->data, 1, size, stdout) == size;
}

int
main(int argc, char *argv[])
{
	char        buffer[4096];
	struct text out = text_over(buffer, sizeof buffer);

	if (argc != 2 || (strcmp(argv[1], "job") != 0 && strcmp(argv[1], "posts") != 0)) {
		fputs("usage: pages job|posts\n", stderr);
		return 2;
	}
	out.drain = to_standard_output;
	schema_page(strcmp(argv[1], "job") == 0 ? job_mapping() : dialect_mapping(), &out);
	return text_flush(&out) && fflush(stdout) == 0 ? 0 : 3;
}
