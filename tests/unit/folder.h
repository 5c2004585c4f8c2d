/*
 * folder - a folder of its own for a test program that writes files: entered before the tests, gone after them.
 */
#ifndef SKIMCUT_TESTS_FOLDER_H
#define SKIMCUT_TESTS_FOLDER_H

#include <ftw.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

static char folder[] = "/tmp/skimcut-test-XXXXXX", folder_before[PATH_MAX];

static inline int
folder_make(void **state)
{
	(void)state;
	return getcwd(folder_before, sizeof folder_before) && mkdtemp(folder) && chdir(folder) == 0 ? 0 : -1;
}

static inline int
folder_remove_one(const char *path, const struct stat *status, int kind, struct FTW *walk)
{
	(void)status;
	(void)kind;
	(void)walk;
	return remove(path);
}

static inline int
folder_remove(void **state)
{
	(void)state;
	return chdir(folder_before) == 0 ? nftw(folder, folder_remove_one, 16, FTW_DEPTH | FTW_PHYS) : -1;
}

#endif
