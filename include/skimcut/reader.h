/*
 * reader - the text of a program to steps: the way back from what a writer, or a person, has written.
 *
 * It shares nothing with the writer. RS-274/NGC as NISTIR 6556 has it, and ISO 6983; of these, what a facing program needs, and
 * nothing is guessed: what is not known for certain is a fault with its line and column, and ends the reading.
 *
 *     reader_begin; then reader_feed any number of times and reader_end, each followed by reader_next until it is false
 *
 * Memory does not grow with the program. Nothing is allocated.
 */
#ifndef SKIMCUT_READER_H
#define SKIMCUT_READER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "skimcut/block.h"
#include "skimcut/length.h"
#include "skimcut/lines.h"
#include "skimcut/meaning.h"
#include "skimcut/step.h"

enum { READER_QUEUE = 12 };

struct reader {
	const struct language *language;
	struct point           zero; /* the program's, in the stock's frame */
	/* For those who ask. */
	uint64_t     bytes;
	size_t       line;    /* of the block that the last step came from */
	size_t       deleted; /* blocks that begin with /, read as if they did not */
	bool         refused;
	struct fault fault;
	/* Its own. */
	struct lines  lines;
	bool          framed, begun, ended, closed; /* % came, a block, M2 or M30, % behind it */
	bool          offset_told;
	bool          moved;
	unsigned      told; /* 1 << enum group: before anything moved */
	enum units    units;
	int           motion; /* tenths of G: 0, 10, 20, 30; -1 none */
	bool          incremental;
	unsigned      known; /* axes */
	struct point  at;    /* in the stock's frame */
	Speed         feed;  /* 0: none, or none since the units changed */
	int64_t       rpm, tool, length;
	bool          tool_told;
	enum rotation rotation;
	struct step   queue[READER_QUEUE];
	size_t        head, count;
};

void reader_begin(struct reader *reader, const struct language *language, struct point zero);

/* `bytes` must last until reader_next says false. */
void reader_feed(struct reader *reader, const char *bytes, size_t size);

/* Nothing more will come: a line without its end is taken as one, and a program without its end is a fault. */
void reader_end(struct reader *reader);

/* False: it wants more, or has all, or refused. Steps that neither move nor switch anything, comments too, are left out. */
bool reader_next(struct reader *reader, struct step *step);

#endif
