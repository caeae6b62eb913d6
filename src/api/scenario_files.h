/* The resolved scenario as files of a batch. */
#ifndef THAW_API_SCENARIO_FILES_H
#define THAW_API_SCENARIO_FILES_H

#include "base/file.h"
#include "thawprint/scenario.h"

/* Adds `name` and the pictures of painted areas, which lie beside it. */
thaw_status thaw_scenario_into_batch(const thaw_scenario *scenario, const char *name, thaw_batch *batch, thaw_error *err);

#endif
