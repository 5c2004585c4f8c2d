/*
 * markup - somebody else's text in HTML or SVG: it can never be anything but text.
 */
#ifndef SKIMCUT_MARKUP_H
#define SKIMCUT_MARKUP_H

struct text;

/* As text_clean, with & < > " and ' as entities. Fit for content and for attributes in either quotes. */
void markup_text(struct text *out, const char *string);

#endif
