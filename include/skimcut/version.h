/*
 * version - said once.
 */
#ifndef SKIMCUT_VERSION_H
#define SKIMCUT_VERSION_H

#define SKIMCUT_VERSION "0.1.0"

#endif
