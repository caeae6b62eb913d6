/* The members of a set as files of a folder. */
#ifndef THAW_API_SET_FOLDER_H
#define THAW_API_SET_FOLDER_H

#include <stdbool.h>

#include "model/member.h"
#include "scenario/scenario.h"
#include "thawprint/chances.h"

typedef struct thaw_set_folder {
    char path[4096];               /* of the members */
    char set[32];                  /* digest of the scenario, and whether only luck differs */
    int n;
    int n_pictures;
    char pictures[THAW_MAX_PICTURES][64]; /* painted areas that lie beside the scenario */
} thaw_set_folder;

thaw_status thaw_set_folder_name(const thaw_scenario *scenario, const thaw_chances_options *options, const char *dir,
                                 thaw_set_folder *out, thaw_error *err);
/* *found is false, and *out untouched, where there is no such file or it is another set's, not whole, or no member that
 * this scenario can have. */
thaw_status thaw_set_folder_load(const thaw_set_folder *folder, int m, bool *found, thaw_member *out, thaw_error *err);
thaw_status thaw_set_folder_store(const thaw_set_folder *folder, int m, const thaw_member *member, thaw_error *err);
/* The plan: n and only_luck, and the resolved scenario, beside the members. scenario_path: of that scenario. */
thaw_status thaw_set_folder_write_plan(const thaw_set_folder *folder, const thaw_scenario *scenario,
                                       const thaw_chances_options *options, thaw_error *err);
thaw_status thaw_set_folder_read_plan(const char *dir, thaw_chances_options *out, char scenario_path[4096 + 32],
                                      thaw_error *err);
/* Members, plan and folder; the scenario moves up to where the results are. */
thaw_status thaw_set_folder_remove(const thaw_set_folder *folder, thaw_error *err);

#endif
