#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>

#include <cmocka.h>

#include "folder.h"

#include "input.h"

#include "skimcut/arena.h"
#include "skimcut/diag.h"
#include "skimcut/yaml.h"

struct reading {
	struct arena arena;
	struct diag  diag;
};

static struct reading *reading_start(struct reading *reading);
static void            write_bytes(const char *path, const char *bytes, size_t size);
static struct source  *read_from_standard_input(struct reading *reading, int file);

static void
a_file_is_read_whole_with_a_nul_behind(void **state)
{
	static const char TEXT[] = "units: mm\n\0behind a NUL";
	struct reading    reading;
	struct source    *source;

	(void)state;
	write_bytes("job.yaml", TEXT, sizeof TEXT - 1);
	source = input_read("job.yaml", (struct place){ 0 }, &reading_start(&reading)->arena, &reading.diag);
	assert_non_null(source);
	assert_int_equal(source->length, sizeof TEXT - 1);
	assert_memory_equal(source->text, TEXT, sizeof TEXT);
	assert_string_equal(source->name, "job.yaml");
	assert_int_equal(source->units, UNITS_NONE);
	assert_int_equal(diag_status(&reading.diag), 0);
	arena_release(&reading.arena);
}

static void
an_empty_file_is_an_empty_text(void **state)
{
	struct reading reading;
	struct source *source;

	(void)state;
	write_bytes("empty", "", 0);
	source = input_read("empty", (struct place){ 0 }, &reading_start(&reading)->arena, &reading.diag);
	assert_non_null(source);
	assert_int_equal(source->length, 0);
	assert_string_equal(source->text, "");
	arena_release(&reading.arena);
}

static void
a_byte_order_mark_is_no_part_of_the_text(void **state)
{
	static const char TEXT[] = "\xEF\xBB\xBFunits: mm\n";
	struct reading    reading;
	struct source    *source;

	(void)state;
	write_bytes("marked.yaml", TEXT, sizeof TEXT - 1);
	source = input_read("marked.yaml", (struct place){ 0 }, &reading_start(&reading)->arena, &reading.diag);
	assert_non_null(source);
	assert_string_equal(source->text, "units: mm\n");
	assert_int_equal(source->length, strlen("units: mm\n"));
	arena_release(&reading.arena);
}

/* Or what stands behind the limit would be left out without a word. */
static void
a_marked_file_over_the_limit_is_still_over_it(void **state)
{
	char          *bytes = malloc(YAML_BYTES_MAX + 100);
	struct reading reading;
	struct source *source;

	(void)state;
	memset(bytes, 'x', YAML_BYTES_MAX + 100);
	memcpy(bytes, "\xEF\xBB\xBF", 3);
	write_bytes("marked-large.yaml", bytes, YAML_BYTES_MAX + 100);
	source = input_read("marked-large.yaml", (struct place){ 0 }, &reading_start(&reading)->arena, &reading.diag);
	assert_non_null(source);
	assert_true(source->length > YAML_BYTES_MAX);
	arena_release(&reading.arena);
	free(bytes);
}

/* YAML's own limit is checked by yaml_parse, which must therefore see that there is more. */
static void
a_file_over_the_limit_is_cut_behind_it_and_one_at_the_limit_is_not(void **state)
{
	static const size_t SIZES[] = { YAML_BYTES_MAX - 1, YAML_BYTES_MAX, YAML_BYTES_MAX + 1, YAML_BYTES_MAX + 2,
		                        3 * YAML_BYTES_MAX };
	char               *bytes   = malloc(3 * YAML_BYTES_MAX);

	(void)state;
	memset(bytes, '#', 3 * YAML_BYTES_MAX);
	for (size_t i = 0; i < sizeof SIZES / sizeof SIZES[0]; i++) {
		struct reading reading;
		struct source *source;

		write_bytes("large", bytes, SIZES[i]);
		source = input_read("large", (struct place){ 0 }, &reading_start(&reading)->arena, &reading.diag);
		assert_non_null(source);
		if (SIZES[i] <= YAML_BYTES_MAX)
			assert_int_equal(source->length, SIZES[i]);
		else
			assert_true(source->length > YAML_BYTES_MAX && source->length <= YAML_BYTES_MAX + 4);
		assert_int_equal(strlen(source->text), source->length);
		arena_release(&reading.arena);
	}
	free(bytes);
}

/* A file system that makes its files as they are read says 0 for their size. */
static void
a_file_that_does_not_know_its_size_is_read_whole(void **state)
{
	char           expected[4096];
	struct reading reading;
	struct source *source;
	struct stat    status;
	FILE          *file = fopen("/proc/version", "r");

	(void)state;
	assert_non_null(file);
	expected[fread(expected, 1, sizeof expected - 1, file)] = '\0';
	fclose(file);
	assert_int_equal(stat("/proc/version", &status), 0);
	assert_int_equal(status.st_size, 0);
	source = input_read("/proc/version", (struct place){ 0 }, &reading_start(&reading)->arena, &reading.diag);
	assert_non_null(source);
	assert_string_equal(source->text, expected);
	arena_release(&reading.arena);
}

static void
a_dash_is_standard_input_file_or_pipe_and_stays_open(void **state)
{
	static const char TEXT[] = "units: inch\n";
	struct reading    reading;
	struct source    *source;
	int               ends[2];

	(void)state;
	write_bytes("job.yaml", TEXT, sizeof TEXT - 1);
	source = read_from_standard_input(reading_start(&reading), open("job.yaml", O_RDONLY));
	assert_non_null(source);
	assert_string_equal(source->text, TEXT);
	assert_string_equal(source->name, "standard input");
	arena_release(&reading.arena);

	assert_int_equal(pipe(ends), 0);
	assert_int_equal(write(ends[1], TEXT, 5), 5);
	assert_int_equal(write(ends[1], TEXT + 5, sizeof TEXT - 6), sizeof TEXT - 6);
	close(ends[1]);
	source = read_from_standard_input(reading_start(&reading), ends[0]);
	assert_non_null(source);
	assert_string_equal(source->text, TEXT);
	arena_release(&reading.arena);
}

static void
a_pipe_with_a_name_is_read_to_its_end(void **state)
{
	enum { LENGTH = 200000 };
	struct reading reading;
	struct source *source;
	pid_t          writer;

	(void)state;
	assert_int_equal(mkfifo("fifo", 0600), 0);
	writer = fork();
	assert_true(writer >= 0);
	if (writer == 0) {
		int file = open("fifo", O_WRONLY);

		for (int i = 0; i < LENGTH / 10; i++)
			if (write(file, "#23456789\n", 10) != 10)
				_exit(1);
		_exit(0);
	}
	source = input_read("fifo", (struct place){ 0 }, &reading_start(&reading)->arena, &reading.diag);
	assert_non_null(source);
	assert_int_equal(source->length, LENGTH);
	assert_int_equal(waitpid(writer, NULL, 0), writer);
	arena_release(&reading.arena);
}

static void
what_a_person_can_put_right_is_status_2_and_names_the_file(void **state)
{
	static const struct {
		const char *path, *said;
	} CASES[] = {
		{ "absent.yaml", "cannot read 'absent.yaml': No such file or directory" },
		{ "", "cannot read '': No such file or directory" },
		{ ".", "cannot read '.': Is a directory" },
		{ "job.yaml/x", "cannot read 'job.yaml/x': Not a directory" },
		{ "circle", "cannot read 'circle': Too many levels of symbolic links" },
		{ "nowhere", "cannot read 'nowhere': No such file or directory" },
	};

	(void)state;
	write_bytes("job.yaml", "x", 1);
	assert_int_equal(symlink("circle", "circle"), 0);
	assert_int_equal(symlink("absent", "nowhere"), 0);
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
		struct reading reading;

		assert_null(
		    input_read(CASES[i].path, (struct place){ 0 }, &reading_start(&reading)->arena, &reading.diag));
		assert_int_equal(diag_status(&reading.diag), 2);
		assert_string_equal(reading.diag.first->text, CASES[i].said);
		assert_null(reading.diag.first->place.source);
		arena_release(&reading.arena);
	}
}

static void
a_name_of_any_length_is_a_message_of_few(void **state)
{
	static char    path[10000];
	struct reading reading;

	(void)state;
	memset(path, 'x', sizeof path - 1);
	assert_null(input_read(path, (struct place){ 0 }, &reading_start(&reading)->arena, &reading.diag));
	assert_int_equal(diag_status(&reading.diag), 2);
	assert_true(strlen(reading.diag.first->text) < 300);
	arena_release(&reading.arena);
}

static void
a_file_that_another_names_is_missed_where_it_is_named(void **state)
{
	struct source  job   = { "job.yaml", "shop: absent.yaml", 17, UNITS_NONE };
	struct place   place = { &job, 1, 7 };
	struct reading reading;

	(void)state;
	assert_null(input_read("absent.yaml", place, &reading_start(&reading)->arena, &reading.diag));
	assert_ptr_equal(reading.diag.first->place.source, &job);
	assert_int_equal(reading.diag.first->place.line, 1);
	assert_int_equal(reading.diag.first->place.column, 7);
	arena_release(&reading.arena);
}

static void
a_path_is_seen_from_the_folder_of_the_file_that_names_it(void **state)
{
	static const struct {
		const char *from, *path, *joined;
	} CASES[] = {
		{ "job.yaml", "shop.yaml", "shop.yaml" },
		{ "parts/job.yaml", "shop.yaml", "parts/shop.yaml" },
		{ "parts/job.yaml", "../shop.yaml", "parts/../shop.yaml" },
		{ "parts/old/job.yaml", "shop.yaml", "parts/old/shop.yaml" },
		{ "/job.yaml", "shop.yaml", "/shop.yaml" },
		{ "parts/job.yaml", "/etc/shop.yaml", "/etc/shop.yaml" },
		{ "job.yaml", "/shop.yaml", "/shop.yaml" },
		{ "-", "shop.yaml", "shop.yaml" },
		{ "parts/job.yaml", "", "parts/" },
	};
	struct arena arena = { 0 };

	(void)state;
	for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++)
		assert_string_equal(input_beside(CASES[i].from, CASES[i].path, &arena), CASES[i].joined);
	arena_release(&arena);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_file_is_read_whole_with_a_nul_behind),
		cmocka_unit_test(an_empty_file_is_an_empty_text),
		cmocka_unit_test(a_byte_order_mark_is_no_part_of_the_text),
		cmocka_unit_test(a_marked_file_over_the_limit_is_still_over_it),
		cmocka_unit_test(a_file_over_the_limit_is_cut_behind_it_and_one_at_the_limit_is_not),
		cmocka_unit_test(a_file_that_does_not_know_its_size_is_read_whole),
		cmocka_unit_test(a_dash_is_standard_input_file_or_pipe_and_stays_open),
		cmocka_unit_test(a_pipe_with_a_name_is_read_to_its_end),
		cmocka_unit_test(what_a_person_can_put_right_is_status_2_and_names_the_file),
		cmocka_unit_test(a_name_of_any_length_is_a_message_of_few),
		cmocka_unit_test(a_file_that_another_names_is_missed_where_it_is_named),
		cmocka_unit_test(a_path_is_seen_from_the_folder_of_the_file_that_names_it),
	};

	return cmocka_run_group_tests(tests, folder_make, folder_remove);
}

static struct reading *
reading_start(struct reading *reading)
{
	*reading            = (struct reading){ 0 };
	reading->diag.arena = &reading->arena;
	return reading;
}

static void
write_bytes(const char *path, const char *bytes, size_t size)
{
	FILE *file = fopen(path, "w");

	assert_non_null(file);
	assert_int_equal(fwrite(bytes, 1, size, file), size);
	assert_int_equal(fclose(file), 0);
}

/* `file` takes the place of standard input meanwhile, and is closed. */
static struct source *
read_from_standard_input(struct reading *reading, int file)
{
	int            kept = dup(STDIN_FILENO);
	struct source *source;

	assert_true(file >= 0);
	dup2(file, STDIN_FILENO);
	close(file);
	source = input_read("-", (struct place){ 0 }, &reading->arena, &reading->diag);
	assert_true(fcntl(STDIN_FILENO, F_GETFD) >= 0);
	if (kept < 0) {
		close(STDIN_FILENO);
	} else {
		dup2(kept, STDIN_FILENO);
		close(kept);
	}
	return source;
}
