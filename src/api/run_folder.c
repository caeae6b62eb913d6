#include "api/run_folder.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "api/read_file.h"
#include "base/alloc.h"
#include "base/error.h"
#include "base/file.h"
#include "output/figures_read.h"
#include "output/record_json.h"

#define LONGEST_PATH 3200

static const thaw_facts NO_FACTS = {.melted_h = NAN, .rinsed_h = NAN, .climb_cm = NAN, .white_percent = NAN};

static thaw_status check_folder(const char *path, thaw_error *err)
{
    static const char *const needed[] = {"scenario.yaml", "figures.json"};
    char file[LONGEST_PATH];
    thaw_folder_settle(path);
    if (thaw_file_look(path) != THAW_FILE_FOLDER) {
        return thaw_fail(err, THAW_ERR_SCENARIO, "%s: there is no such folder; name one that preview wrote, as out/moon-scarf", path);
    }
    for (int i = 0; i < 2; i++) {
        snprintf(file, sizeof file, "%s/%s", path, needed[i]);
        if (thaw_file_look(file) != THAW_FILE_REGULAR) {
            return thaw_fail(err, THAW_ERR_SCENARIO, "%s: holds no run of preview: there is no %s in it", path, needed[i]);
        }
    }
    return THAW_OK;
}

static thaw_status read_forecast(thaw_run_folder *f, thaw_error *err)
{
    char path[LONGEST_PATH], digest[17], *text = NULL;
    size_t n = 0;
    thaw_figures_names names;
    thaw_figures_origin origin;
    thaw_error why = {0};
    snprintf(path, sizeof path, "%s/figures.json", f->path);
    thaw_status status = thaw_scenario_read_file(path, "figures", &text, &n, err);
    if (status == THAW_OK && thaw_figures_read(text, n, &f->forecast, &names, &origin, &why) != THAW_OK) {
        status = thaw_fail(err, THAW_ERR_SCENARIO, "%s/%s", f->path, why.text);
    }
    thaw_release(text);
    f->forecast.n_dyes = 0; /* their names are gone with this call */
    thaw_scenario_digest(f->scenario, digest);
    if (status == THAW_OK && strcmp(origin.digest, digest) != 0) {
        status = thaw_fail(err, THAW_ERR_SCENARIO, "%s: its scenario.yaml is not the one that its figures come from; run preview into it again",
                           f->path);
    }
    return status;
}

static thaw_status read_record(thaw_run_folder *f, thaw_error *err)
{
    char path[LONGEST_PATH];
    snprintf(path, sizeof path, "%s/record.json", f->path);
    f->facts = NO_FACTS;
    if (thaw_file_look(path) == THAW_FILE_MISSING) {
        return THAW_OK;
    }
    thaw_status status = thaw_scenario_read_file(path, "record", &f->record, &f->record_n, err);
    if (status == THAW_OK) {
        status = thaw_record_read(f->record, f->record_n, path, &f->facts, err);
    }
    f->has_record = status == THAW_OK;
    return status;
}

thaw_status thaw_run_folder_open(const char *path, thaw_run_folder *out, thaw_error *err)
{
    char file[LONGEST_PATH];
    if (strlen(path) >= sizeof out->path) {
        return thaw_fail(err, THAW_ERR_SCENARIO, "the name of the folder is too long");
    }
    thaw_run_folder *f = thaw_allocate(1, sizeof *f, err);
    thaw_status status = f ? check_folder(path, err) : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        snprintf(f->path, sizeof f->path, "%s", path);
        snprintf(file, sizeof file, "%s/scenario.yaml", path);
        status = thaw_scenario_load(file, &f->scenario, err);
    }
    if (status == THAW_OK) {
        status = read_forecast(f, err);
    }
    if (status == THAW_OK) {
        status = read_record(f, err);
    }
    if (status == THAW_OK) {
        *out = *f;
    } else if (f) {
        thaw_run_folder_close(f);
    }
    thaw_release(f);
    return status;
}

void thaw_run_folder_close(thaw_run_folder *folder)
{
    thaw_scenario_destroy(folder->scenario);
    thaw_release(folder->record);
    folder->scenario = NULL;
    folder->record = NULL;
}
