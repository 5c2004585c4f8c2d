/*
 * caution - what has to be said wherever a person reads what to do: on the plan, and before a program's first block.
 */
#ifndef SKIMCUT_CAUTION_H
#define SKIMCUT_CAUTION_H

#include <stddef.h>

/* Sentences for paper. */
extern const char *const CAUTIONS[];
extern const size_t      CAUTION_COUNT;

/* The same in the few letters that a program's comments have. */
extern const char *const PROGRAM_CAUTIONS[];
extern const size_t      PROGRAM_CAUTION_COUNT;

#endif
