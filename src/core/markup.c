#include "skimcut/markup.h"

#include <stdint.h>

#include "skimcut/text.h"

static bool escape(struct text *clean);

void
markup_text(struct text *out, const char *string)
{
	char        buffer[256];
	struct text clean = { .data = buffer, .capacity = sizeof buffer, .drain = escape, .context = out };

	text_clean(&clean, string, SIZE_MAX);
	text_flush(&clean);
}

/* A stream's drain, so that nothing is cut. */
static bool
escape(struct text *clean)
{
	struct text *out = clean->context;

	for (const char *c = clean->data; c < clean->data + clean->length; c++)
		switch (*c) {
		case '&': text_string(out, "&amp;"); break;
		case '<': text_string(out, "&lt;"); break;
		case '>': text_string(out, "&gt;"); break;
		case '"': text_string(out, "&quot;"); break;
		case '\'': text_string(out, "&#39;"); break;
		default: text_char(out, *c);
		}
	clean->length = 0;
	return !out->failed;
}
