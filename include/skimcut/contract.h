/*
 * contract - a binding table as JSON Schema (draft 2020-12), for editors that check and complete a job while it is written.
 *
 * It is made from the rows that the parser reads by. What they cannot say (a name of the shop's, two keys that contradict each
 * other) only skimcut itself finds out.
 */
#ifndef SKIMCUT_CONTRACT_H
#define SKIMCUT_CONTRACT_H

#include <stdbool.h>

struct text;

/* Of a job's file; a shop's file, which has none of a job's own keys, passes it too. False: memory is out. */
bool contract_json(struct text *out);

#endif
