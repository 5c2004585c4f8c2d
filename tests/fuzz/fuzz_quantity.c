#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "skimcut/quantity.h"
#include "skimcut/text.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check(bool holds);

/* The text as every quantity, in every system of units: a value within bounds, or the old value and a reason. */
int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	char text[256];

	if (size >= sizeof text)
		return 0;
	if (size > 0)
		memcpy(text, data, size);
	text[size] = '\0';
	for (int quantity = 0; quantity < QUANTITIES; quantity++)
		for (int bare = UNITS_NONE; bare <= UNITS_INCH; bare++) {
			char        reason[256];
			struct text why   = text_over(reason, sizeof reason);
			int64_t     value = INT64_MIN;
			bool read = quantity_parse((enum quantity)quantity, text, (enum units)bare, &value, &why);

			check(read == (value != INT64_MIN));
			check(read == (why.length == 0));
			check(!why.failed);
			if (read && quantity == QUANTITY_LENGTH)
				check(value <= LENGTH_MAX && value >= -LENGTH_MAX);
		}
	return 0;
}

static void
check(bool holds)
{
	if (!holds)
		abort();
}
