#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include "skimcut/materials.h"

#define M_MIN (1000 * LENGTH_MM)

static void
every_group_of_iso_513_is_there(void **state)
{
	char groups[64] = "";

	(void)state;
	assert_true(materials_count() >= 12);
	assert_true(materials_count() < sizeof groups);
	for (size_t i = 0; i < materials_count(); i++) {
		groups[i] = materials_at(i).group;
		assert_string_not_equal(materials_group(groups[i]), "");
	}
	for (const char *c = "PMKNSH"; *c; c++)
		assert_non_null(strchr(groups, *c));
	assert_string_equal(materials_group('X'), "");
}

static void
names_are_the_shops_and_stand_once(void **state)
{
	static const char *const wanted[] = { "low-carbon steel", "medium-carbon steel",
		                              "alloy steel",      "tool steel",
		                              "stainless steel",  "grey iron",
		                              "ductile iron",     "aluminium",
		                              "cast aluminium",   "brass",
		                              "bronze",           "titanium",
		                              "plastic" };

	(void)state;
	for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
		int found = 0;

		for (size_t j = 0; j < materials_count(); j++)
			found += strcmp(materials_at(j).name, wanted[i]) == 0;
		if (found != 1)
			fail_msg("%s: %d times", wanted[i], found);
	}
}

/*
 * Cautious ranges that handbooks agree on, by group (from memory), carbide and high-speed steel: cutting speed in m/min. Brass,
 * bronze and plastics run slower than aluminium; nickel slower than titanium.
 */
static void
speeds_and_feeds_are_inside_the_handbooks_ranges(void **state)
{
	static const struct {
		char group;
		int  carbide_least, carbide_most, hss_least, hss_most;
	} ranges[] = {
		{ 'P', 60, 180, 10, 30 },   { 'M', 80, 150, 12, 20 }, { 'K', 90, 150, 15, 25 },
		{ 'N', 100, 900, 30, 120 }, { 'S', 20, 60, 8, 12 },   { 'H', 40, 100, 0, 0 },
	};

	(void)state;
	for (size_t i = 0; i < materials_count(); i++) {
		struct material material = materials_at(i);

		for (size_t j = 0; j < sizeof ranges / sizeof ranges[0]; j++) {
			if (ranges[j].group != material.group)
				continue;
			assert_in_range(material.with[EDGE_CARBIDE].vc, ranges[j].carbide_least * M_MIN,
			                ranges[j].carbide_most * M_MIN);
			if (material.with[EDGE_HSS].vc > 0)
				assert_in_range(material.with[EDGE_HSS].vc, ranges[j].hss_least * M_MIN,
				                ranges[j].hss_most * M_MIN);
		}
		for (int edge = 0; edge < EDGES; edge++) {
			const struct starting *with = &material.with[edge];

			assert_int_equal(with->vc > 0, with->fz > 0);
			if (with->fz > 0)
				assert_in_range(with->fz, 50000, 250000);
		}
		assert_true(material.with[EDGE_HSS].vc < material.with[EDGE_CARBIDE].vc);
	}
}

/* Common practice, no source. */
static void
carbide_on_steel_and_iron_runs_dry_and_aluminium_wet(void **state)
{
	(void)state;
	for (size_t i = 0; i < materials_count(); i++) {
		struct material material = materials_at(i);

		if (strchr("PKH", material.group))
			assert_int_equal(material.with[EDGE_CARBIDE].coolant, COOLANT_NONE);
		if (strstr(material.name, "aluminium"))
			assert_int_equal(material.with[EDGE_CARBIDE].coolant, COOLANT_FLOOD);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_group_of_iso_513_is_there),
		cmocka_unit_test(names_are_the_shops_and_stand_once),
		cmocka_unit_test(speeds_and_feeds_are_inside_the_handbooks_ranges),
		cmocka_unit_test(carbide_on_steel_and_iron_runs_dry_and_aluminium_wet),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
