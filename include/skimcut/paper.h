/*
 * paper - text for a page of 78 columns, labels in a margin on the left.
 */
#ifndef SKIMCUT_PAPER_H
#define SKIMCUT_PAPER_H

#include "skimcut/length.h"

struct text;

enum { PAPER_COLUMNS = 78, PAPER_MARGIN = 14 };

/* Words behind the margin, with the label beside the first line. A word longer than a line has one to itself, cut in pieces. */
void paper_paragraph(struct text *out, const char *label, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* 0:07, 12:30, 1:02:03; to the next whole second. */
struct shown paper_duration(double seconds);

#endif
