/* Scenario files: load, override, describe. All quantities inside are SI. */
#ifndef THAWPRINT_SCENARIO_H
#define THAWPRINT_SCENARIO_H

#include <stddef.h>
#include <stdint.h>

#include "thawprint/status.h"

typedef struct thaw_scenario thaw_scenario;

/* Read and validate a scenario file. On failure *out is untouched and err->text holds every fault
 * found, each as `FILE:LINE:COLUMN: message`, the source line, a caret and a remedy. */
thaw_status thaw_scenario_load(const char *path, thaw_scenario **out, thaw_error *err);
/* The same with files of cloths and dyes of one's own. NULL: `cloths.yaml` and `dyes.yaml` beside the scenario, where
 * there are such files, as thaw_scenario_load does. */
thaw_status thaw_scenario_load_own(const char *path, const char *cloths, const char *dyes, thaw_scenario **out,
                                   thaw_error *err);
/* The demo that is built in. */
thaw_status thaw_scenario_demo(thaw_scenario **out, thaw_error *err);
/* A value to put in place of what the file says: path "ice.kind", "room.temperature", "fold.scrunch.to"; an entry of
 * a list by number, "ice.2.mass". */
typedef struct thaw_override {
    const char *path, *value;
} thaw_override;

/* The same with n values overridden. */
thaw_status thaw_scenario_load_varied(const char *path, const char *cloths, const char *dyes,
                                      const thaw_override *overrides, int n, thaw_scenario **out, thaw_error *err);
/* The same with a file that holds a kitchen (docs/learn.md); NULL: none. */
thaw_status thaw_scenario_load_kitchen(const char *path, const char *cloths, const char *dyes, const char *kitchen,
                                       const thaw_override *overrides, int n, thaw_scenario **out, thaw_error *err);
void thaw_scenario_destroy(thaw_scenario *scenario);

/* Override detail ("draft", "normal", "fine") or seed after loading. */
thaw_status thaw_scenario_set_detail(thaw_scenario *scenario, const char *word, thaw_error *err);
void thaw_scenario_set_seed(thaw_scenario *scenario, uint64_t seed);

uint64_t thaw_scenario_seed(const thaw_scenario *scenario);
const char *thaw_scenario_name(const thaw_scenario *scenario);
const char *thaw_scenario_title(const thaw_scenario *scenario);

/* What a kitchen changes in this scenario, in words ("heat exchange x 1.27, conductivity of cotton twill x 0.52"); "" where
 * none is applied. Returns the length it would have, as snprintf does. */
int thaw_scenario_kitchen(const thaw_scenario *scenario, char *out, size_t size);

/* The resolved scenario as YAML text, every value explicit; loading it again gives the same run.
 * Caller frees with thaw_text_free. */
thaw_status thaw_scenario_resolved(const thaw_scenario *scenario, char **out, thaw_error *err);
/* A table for people: each resolved value, its unit and whether it was given, a default or derived;
 * then grid size, memory and rough time. Caller frees with thaw_text_free. */
thaw_status thaw_scenario_describe(const thaw_scenario *scenario, char **out, thaw_error *err);
void thaw_text_free(char *text);

/* 64-bit digest (FNV-1a) of the resolved scenario, as 16 hex digits and a final NUL. */
void thaw_scenario_digest(const thaw_scenario *scenario, char out[17]);

#endif
