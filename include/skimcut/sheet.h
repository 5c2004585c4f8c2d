/*
 * sheet - setup and passes on paper: one HTML file with its drawings inside, for A4 or Letter, in black and white.
 *
 * It loads nothing and runs nothing.
 */
#ifndef SKIMCUT_SHEET_H
#define SKIMCUT_SHEET_H

struct diag;
struct plan;
struct text;

/* `diag` has the plan's notes and warnings; `job` is the name of the job's file. */
void sheet_print(const struct plan *plan, const struct diag *diag, const char *job, struct text *out);

#endif
