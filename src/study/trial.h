/* A coarse run of which only the numbers count: a member of a set, or a what-if beside another coarse run. Coarse runs are
 * compared with coarse runs of the same seed only: cells shift some numbers. */
#ifndef THAW_STUDY_TRIAL_H
#define THAW_STUDY_TRIAL_H

#include <stdbool.h>

#include "model/specification.h"
#include "study/fronts.h"
#include "thawprint/preview.h"

typedef struct thaw_trial {
    const thaw_specification *spec;
    int member, n_members;         /* of the set about spec (study/unknowns.h); n_members 0: as spec stands */
    double cell_m;
    thaw_fronts *fronts;           /* filled if not NULL and cloth hangs */
} thaw_trial;

/* Asked after each step; false stops the run, which then ends with THAW_ERR_CANCELLED. */
typedef bool (*thaw_trial_keep_on)(void *user, double share);

/* On failure the outputs are untouched, but for fronts. */
thaw_status thaw_trial_run(const thaw_trial *trial, thaw_trial_keep_on keep_on, void *user, thaw_preview_figures *out,
                           thaw_error *err);

/* Cells of a trial: coarse, but not so coarse that times, shares and lengths leave those of finer runs. */
double thaw_trial_cell_m(const thaw_specification *spec);

#endif
