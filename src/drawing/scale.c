#include "skimcut/scale.h"

#include <stdbool.h>
#include <stddef.h>

#include "skimcut/text.h"

static bool fits(struct scale scale, Length width, Length height, double room_width_mm, double room_height_mm);

struct scale
scale_find(Length width, Length height, double room_width_mm, double room_height_mm)
{
	static const struct scale SERIES[] = {
		{ 1000, 1 }, { 500, 1 }, { 200, 1 },  { 100, 1 },  { 50, 1 },   { 20, 1 },    { 10, 1 }, { 5, 1 },
		{ 2, 1 },    { 1, 1 },   { 1, 2 },    { 1, 5 },    { 1, 10 },   { 1, 20 },    { 1, 50 }, { 1, 100 },
		{ 1, 200 },  { 1, 500 }, { 1, 1000 }, { 1, 2000 }, { 1, 5000 }, { 1, 10000 },
	};
	size_t i = 0, last = sizeof SERIES / sizeof SERIES[0] - 1;

	while (i < last && !fits(SERIES[i], width, height, room_width_mm, room_height_mm))
		i++;
	return SERIES[i];
}

struct shown
scale_show(struct scale scale)
{
	struct shown shown = { "" };
	struct text  text  = text_over(shown.text, sizeof shown.text);

	text_format(&text, "%lld:%lld", (long long)scale.drawn, (long long)scale.real);
	text_end(&text);
	return shown;
}

double
scale_mm(struct scale scale, Length x)
{
	return (double)(x * scale.drawn) / (double)(scale.real * LENGTH_MM);
}

int64_t
scale_every(double least)
{
	static const int64_t STEPS[] = { 1, 2, 5 };

	for (int64_t ten = 1; ten < INT64_MAX / 100; ten *= 10)
		for (size_t i = 0; i < sizeof STEPS / sizeof STEPS[0]; i++)
			if ((double)(STEPS[i] * ten) >= least)
				return STEPS[i] * ten;
	return INT64_MAX;
}

static bool
fits(struct scale scale, Length width, Length height, double room_width_mm, double room_height_mm)
{
	return scale_mm(scale, width) <= room_width_mm && scale_mm(scale, height) <= room_height_mm;
}
