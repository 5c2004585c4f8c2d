/*
 * shipped - the YAML files that are compiled into the program: the dialects of post/ and the starter jobs of samples/.
 */
#ifndef SKIMCUT_SHIPPED_H
#define SKIMCUT_SHIPPED_H

struct shipped {
	const char *name; /* of the file, without folder and ending */
	const char *text;
};

/* Each ends with a NULL name. */
extern const struct shipped SHIPPED_DIALECTS[];
extern const struct shipped SHIPPED_STARTERS[];

#endif
