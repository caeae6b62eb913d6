/* A small text file as a whole, with messages that say what it should have been. */
#ifndef THAW_API_READ_FILE_H
#define THAW_API_READ_FILE_H

#include <stddef.h>

#include "thawprint/status.h"

/* `what`: "scenario", "cloths and dyes". The caller releases *text. */
thaw_status thaw_scenario_read_file(const char *path, const char *what, char **text, size_t *n, thaw_error *err);

#endif
