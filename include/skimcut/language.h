/*
 * language - a dialect as the reader needs it: what a program may say, gathered from what the dialect would write.
 *
 * The words of its blocks and its codes of motion and units, and those that it lists under `also` for programs of others. This is
 * the one place that knows both sides; reader and writer know nothing of each other.
 */
#ifndef SKIMCUT_LANGUAGE_H
#define SKIMCUT_LANGUAGE_H

#include "skimcut/dialect.h"
#include "skimcut/reader.h"

/* The dialect outlives it. `work_offset` is the job's. */
struct language language_of(const struct dialect *dialect, int work_offset);

#endif
