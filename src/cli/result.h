/* What a finished preview prints: its screen, its figures as JSON, or only the folder. */
#ifndef THAW_CLI_RESULT_H
#define THAW_CLI_RESULT_H

#include <thawprint/preview.h>

#include "options.h"

thaw_status result_print(const options *given, const thaw_scenario *scenario, const thaw_preview *preview, const char *dir,
                         thaw_error *err);

#endif
