/*
 * tables - rates, passes and cuts as tables of a sheet: boxes to tick, and room to write a height.
 *
 * Of a long table the first and last rows are there, and one that says how many are between. HTML, everything escaped.
 */
#ifndef SKIMCUT_TABLES_H
#define SKIMCUT_TABLES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct plan;
struct text;

void tables_rates(const struct plan *plan, struct text *out);

/* The passes of one cut; for a machine worked by hand what the dial across them reads, where it is told. */
void tables_passes(const struct plan *plan, struct text *out);

/* With a box for every pass, or for as many as tables_group says; and what is done at a stop. */
void tables_cuts(const struct plan *plan, struct text *out);

/* Steps, numbered. `sentence` writes the one of an index; false past the last. */
typedef bool tables_sentence(const struct plan *plan, size_t index, struct text *out);
void         tables_steps(const struct plan *plan, tables_sentence *sentence, struct text *out);

/* So many things, at least 1, to a box, the last box perhaps fewer: then there are no more than TABLES_BOXES. */
enum { TABLES_BOXES = 20 };
int64_t tables_group(int64_t count);

#endif
