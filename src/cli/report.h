/* What a command tells where no screen is wanted: figures as JSON, or the folder alone. */
#ifndef THAW_CLI_REPORT_H
#define THAW_CLI_REPORT_H

#include <stdbool.h>

#include <thawprint/status.h>

#include "options.h"

/* Text of a result's JSON, which the caller frees with thaw_text_free. */
typedef thaw_status report_json(const void *result, char **out, thaw_error *err);

/* For --json and -q; false: the screen is wanted. *exit is set to EXIT_DONE or what went wrong, also when false. */
bool report_short(const options *given, report_json *json, const void *result, const char *dir, int *exit);

#endif
