#include "study/trial.h"

#include <math.h>

#include "base/alloc.h"
#include "base/error.h"
#include "study/outcome.h"

#define MOST_CELL_M 0.012          /* at 16 mm time to leave, bleed and grain no longer follow fine runs; at 8 mm they do */
#define CELLS 12000.0              /* of a run, where the cloth is so large */

double thaw_trial_cell_m(const thaw_specification *spec)
{
    return fmax(spec->cell_m, fmin(MOST_CELL_M, sqrt(thaw_specification_area_m2(spec) / CELLS)));
}

typedef struct asker {
    const thaw_trial *trial;
    const thaw_outcome *work;
    thaw_trial_keep_on keep_on;
    void *user;
    thaw_status status;            /* of noting the fronts */
    thaw_error *err;
} asker;

static bool ask(void *user, double share, double time_s)
{
    asker *a = user;
    (void)time_s;
    if (a->trial->fronts) {
        a->status = thaw_fronts_note(a->trial->fronts, a->work, a->err);
    }
    return a->status == THAW_OK && (!a->keep_on || a->keep_on(a->user, share));
}

static thaw_status run(const thaw_trial *trial, thaw_outcome *work, thaw_trial_keep_on keep_on, void *user,
                       thaw_preview_figures *figures, thaw_error *err)
{
    thaw_print print;
    asker a = {trial, work, keep_on, user, THAW_OK, err};
    thaw_status status = thaw_outcome_prepare(work, err);
    if (status == THAW_OK) {
        if (trial->fronts) {
            thaw_fronts_begin(trial->fronts, work);
        }
        status = thaw_engine_run(&work->engine, ask, &a, err);
        status = a.status != THAW_OK ? a.status : status;
    }
    return status == THAW_OK ? thaw_outcome_conclude(work, &print, figures, err) : status;
}

thaw_status thaw_trial_run(const thaw_trial *trial, thaw_trial_keep_on keep_on, void *user, thaw_preview_figures *out,
                           thaw_error *err)
{
    thaw_variation *variation = thaw_allocate(1, sizeof *variation, err);
    thaw_outcome *work = thaw_allocate(1, sizeof *work, err);
    thaw_preview_figures *figures = thaw_allocate(1, sizeof *figures, err);
    thaw_status status = variation && work && figures ? THAW_OK : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        if (trial->n_members > 0) {
            thaw_unknowns_vary(trial->spec, trial->member, trial->n_members, false, variation);
            work->variation = variation;
        } else {
            variation->spec = *trial->spec;
        }
        variation->spec.cell_m = trial->cell_m;
        work->spec = &variation->spec;
        work->is_rough = true;
        status = run(trial, work, keep_on, user, figures, err);
    }
    if (status == THAW_OK) {
        *out = *figures;
    }
    thaw_outcome_clear(work);
    thaw_release(figures);
    thaw_release(work);
    thaw_release(variation);
    return status;
}
