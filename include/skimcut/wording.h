/*
 * wording - what the pass plan and the sheet say alike, on either kind of paper.
 *
 * Each of the paragraphs begins with its label; none says nothing.
 */
#ifndef SKIMCUT_WORDING_H
#define SKIMCUT_WORDING_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "skimcut/plan.h"

struct clock;
struct diag;
struct paper;

/* "test"; "+X", the cutter's way over the work; "mostly conventional"; "back left", "" when the pass cuts nothing. */
const char *wording_kind(enum cut_kind kind);
const char *wording_travel(enum along along, int travel);
const char *wording_milling(const struct plan *plan, int64_t pass);
const char *wording_chips_to(const struct plan *plan, int64_t pass);

/* Of the deepest cut of its kind: "6.5 cm3/min"; "-" when there is none. */
struct shown wording_removal(const struct plan *plan, bool skim);

/* What it is, how it is held, with what it is cut; where zero is and what is to be kept clear. */
void wording_work(const struct plan *plan, const struct paper *paper);
void wording_hold(const struct plan *plan, const struct paper *paper);
void wording_cutter(const struct plan *plan, const struct paper *paper);
void wording_zero(const struct plan *plan, const struct paper *paper);

/* Where chips go, and what to know of the travel. */
void wording_chips(const struct plan *plan, const struct paper *paper);

/* How to measure, and paragraph `index` of it, NULL past the last; what it takes. `clock` has walked the plan. */
void        wording_measuring(const struct plan *plan, const struct clock *clock, const struct paper *paper);
const char *wording_measure(const struct plan *plan, const struct clock *clock, size_t index);
void        wording_time(const struct plan *plan, const struct clock *clock, const struct paper *paper);

/* Notes and warnings. */
void wording_remarks(const struct diag *diag, const struct paper *paper);

#endif
