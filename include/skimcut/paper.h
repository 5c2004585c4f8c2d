/*
 * paper - what a person reads, a label and its sentences at a time: for a page of 78 columns, or for a page of HTML.
 */
#ifndef SKIMCUT_PAPER_H
#define SKIMCUT_PAPER_H

#include <stdbool.h>
#include <stdint.h>

#include "skimcut/length.h"

struct text;

enum { PAPER_COLUMNS = 78, PAPER_MARGIN = 14 };

/* At most 1023 bytes at a time. Plain: labels in a margin on the left. Markup: a dt for a label that is not empty, and a dd for what is said. */
enum paper_kind { PAPER_PLAIN, PAPER_MARKUP };

struct paper {
	struct text    *out;
	enum paper_kind kind;
};

void paper_say(const struct paper *paper, const char *label, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/*
 * The same on a plain page: words behind the margin, with the label beside the first line. A word longer than a line has one to
 * itself, cut in pieces.
 */
void paper_paragraph(struct text *out, const char *label, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* A long table keeps its first and its last rows. Is this one of them? */
enum { PAPER_ROWS = 24, PAPER_KEPT = 8 };
bool paper_keeps(int64_t index, int64_t count);

/* 0:07, 12:30, 1:02:03; to the next whole second. */
struct shown paper_duration(double seconds);

#endif
