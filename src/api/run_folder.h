/* The folder that preview wrote: its scenario, its forecast, and what was recorded there. */
#ifndef THAW_API_RUN_FOLDER_H
#define THAW_API_RUN_FOLDER_H

#include "scenario/scenario.h"
#include "thawprint/record.h"

typedef struct thaw_run_folder {
    char path[3072];
    thaw_scenario *scenario;       /* own */
    thaw_preview_figures forecast; /* what figures.json holds; NaN for the rest */
    thaw_facts facts;              /* NaN where nothing was recorded */
    bool has_record;
    char *record;                  /* own: record.json as it stands; NULL: none */
    size_t record_n;
} thaw_run_folder;

/* THAW_ERR_SCENARIO where the folder holds no run or a file is at fault; *out untouched on failure. */
thaw_status thaw_run_folder_open(const char *path, thaw_run_folder *out, thaw_error *err);
void thaw_run_folder_close(thaw_run_folder *folder);

#endif
