/*
 * summary - the pass plan in plain text, at most 80 columns, for a person at the machine.
 *
 * And the comment lines with which a program begins.
 */
#ifndef SKIMCUT_SUMMARY_H
#define SKIMCUT_SUMMARY_H

#include <stddef.h>

struct diag;
struct plan;
struct text;

/* `diag` has the plan's notes and warnings. */
void summary_print(const struct plan *plan, const struct diag *diag, struct text *out);

enum { SUMMARY_HEADING_LINES = 12, SUMMARY_HEADING_BYTES = 2048 };

/* Fills `lines` with pointers into `buffer` or to constants; returns how many. A long title is cut, never a caution. */
size_t summary_heading(const struct plan *plan, const char *lines[SUMMARY_HEADING_LINES],
                       char buffer[SUMMARY_HEADING_BYTES]);

#endif
