/*
 * label - words on a drawing, in the smallest text there is, and the rooms they take: none is to stand on another.
 *
 * Places are the paper's, in millimetres, y downwards; a label stands on `y`, and `anchor` is start, middle or end. How wide it is nobody
 * knows who has not the font: it is reckoned as wide as it gets in a wide one.
 */
#ifndef SKIMCUT_LABEL_H
#define SKIMCUT_LABEL_H

#include <stdbool.h>
#include <stddef.h>

struct svg;

#define LABEL_TEXT_MM 2.5 /* the smallest that ISO 3098 has */
#define LABEL_ROW_MM  4.2 /* from one line of such text to the next */

void   label_draw(const struct svg *svg, double x, double y, const char *anchor, const char *string);
void   label_over(const struct svg *svg, double x, double y, const char *anchor,
                  const char *string); /* white behind it, over what is drawn */
double label_width(const char *string);

/* The rooms that are taken on a drawing. What there is no more space for is not kept. */
enum { ROOMS_MOST = 256 };

struct rooms {
	size_t count;
	struct room {
		double left, top, right, bottom;
	} taken[ROOMS_MOST];
};

struct room label_room(double x, double y, const char *anchor, const char *string);
void        label_keep(struct rooms *rooms, struct room room);

/* Takes the room of such a label if all of it is free and on the paper. */
bool label_take(struct rooms *rooms, const struct svg *svg, double x, double y, const char *anchor, const char *string);

/*
 * Moves labels apart so that neighbours are at least `least` from one another and all stay within low..high, each as near to where it
 * was as that allows; in rising order before and after. Where there is not room for all, they go on beyond `high`.
 */
void label_spread(double *at, size_t count, double least, double low, double high);

#endif
