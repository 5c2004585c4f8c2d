#include "skimcut/label.h"

#include <math.h>
#include <string.h>

#include "skimcut/svg.h"

/* Over the height of capitals: what stands above them, and what hangs below the line. */
static const double ABOVE = 1.1, BELOW = 0.35;

void
label_draw(const struct svg *svg, double x, double y, const char *anchor, const char *string)
{
	svg_text(svg, x, y, anchor, LABEL_TEXT_MM, string);
}

void
label_over(const struct svg *svg, double x, double y, const char *anchor, const char *string)
{
	struct room room = label_room(x, y, anchor, string);

	svg_blank(svg, room.left, room.top, room.right, room.bottom);
	label_draw(svg, x, y, anchor, string);
}

/* In a wide sans-serif font, of whose letters none is wider. */
double
label_width(const char *string)
{
	double wide = 0;

	for (const char *c = string; *c; c++)
		if (((unsigned char)*c & 0xC0) != 0x80)
			wide += strchr(" .,:;'!|-()[]/Ifijlrt", *c)               ? 0.42
			      : strchr("%@MWmw", *c) || (unsigned char)*c >= 0x80 ? 1.0
			      : *c >= 'A' && *c <= 'Z'                            ? 0.79
			                                                          : 0.64;
	return wide * SVG_EM * LABEL_TEXT_MM;
}

struct room
label_room(double x, double y, const char *anchor, const char *string)
{
	double width = label_width(string);
	double left  = strcmp(anchor, "start") == 0 ? x : strcmp(anchor, "end") == 0 ? x - width : x - width / 2;

	return (struct room){ left, y - ABOVE * LABEL_TEXT_MM, left + width, y + BELOW * LABEL_TEXT_MM };
}

void
label_keep(struct rooms *rooms, struct room room)
{
	if (rooms->count < ROOMS_MOST)
		rooms->taken[rooms->count++] = room;
}

bool
label_take(struct rooms *rooms, const struct svg *svg, double x, double y, const char *anchor, const char *string)
{
	struct room wanted = label_room(x, y, anchor, string);

	if (wanted.left < 0 || wanted.top < 0 || wanted.right > svg->width_mm || wanted.bottom > svg->height_mm ||
	    rooms->count == ROOMS_MOST)
		return false;
	for (size_t i = 0; i < rooms->count; i++) {
		const struct room *taken = &rooms->taken[i];

		if (wanted.left < taken->right && taken->left < wanted.right && wanted.top < taken->bottom &&
		    taken->top < wanted.bottom)
			return false;
	}
	label_keep(rooms, wanted);
	return true;
}

/*
 * With b(i) = at(i) - i least, apart means that b never falls. The nearest b that never falls, in least squares, comes of pooling
 * neighbours that fall into their mean until none does; to keep all of it within limits it is cut off at them. A pool is a run of
 * equal values.
 */
void
label_spread(double *at, size_t count, double least, double low, double high)
{
	double most = high - (double)(count > 0 ? count - 1 : 0) * least;

	for (size_t i = 0; i < count; i++) {
		size_t start = i;
		double mean = at[i] - (double)i * least, sum = mean;

		while (start > 0 && at[start - 1] > mean) {
			double pool = at[start - 1];

			while (start > 0 && at[start - 1] == pool) {
				sum += pool;
				start--;
			}
			mean = sum / (double)(i - start + 1);
		}
		for (size_t k = start; k <= i; k++)
			at[k] = mean;
	}
	for (size_t i = 0; i < count; i++)
		at[i] = fmax(low, fmin(most, at[i])) + (double)i * least;
}
