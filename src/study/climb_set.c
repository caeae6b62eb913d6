#include "study/climb_set.h"

#include <math.h>
#include <stdatomic.h>

#include "base/alloc.h"
#include "base/crew.h"
#include "base/error.h"
#include "study/chance.h"
#include "study/trial.h"

#define LEAST_CELL_M 0.010
#define Z90 1.2815515655446004     /* standard normal quantile of 90 % */

double thaw_climb_cell_m(const thaw_specification *spec)
{
    return fmax(LEAST_CELL_M, thaw_trial_cell_m(spec));
}

typedef struct work {
    const thaw_specification *spec;
    thaw_climb_set *set;
    thaw_climb_progress progress;
    void *user;
    atomic_int n_done;
    atomic_bool stop;
    atomic_flag failed;            /* the first failure is the one that is told */
    thaw_status status;
    thaw_error error;
} work;

typedef struct piece {
    work *work;
    bool may_tell;
} piece;

static bool keep_on(void *user, double share)
{
    const piece *p = user;
    work *w = p->work;
    if (p->may_tell && w->progress && !w->progress(w->user, fmin(1.0, (atomic_load(&w->n_done) + share) / w->set->n))) {
        atomic_store(&w->stop, true);
    }
    return !atomic_load(&w->stop);
}

/* A member whose numerics fail is left out; any other failure ends the set. */
static void run_one(void *user, int m, bool first)
{
    work *w = user;
    piece p = {w, first};
    thaw_error err = {0};
    thaw_preview_figures figures;
    w->set->ends_m[m] = w->set->drips_kg[m] = NAN;
    if (atomic_load(&w->stop)) {
        return;
    }
    const thaw_trial trial = {w->spec, m, w->set->n, w->set->cell_m, &w->set->fronts[m]};
    const thaw_status status = thaw_trial_run(&trial, keep_on, &p, &figures, &err);
    atomic_fetch_add(&w->n_done, 1);
    if (status == THAW_OK) {
        w->set->ends_m[m] = w->set->line_m + figures.climb_m[1];
        w->set->drips_kg[m] = figures.free_end_kg;
    } else if (status != THAW_ERR_UNPHYSICAL && !atomic_flag_test_and_set(&w->failed)) {
        w->status = status;
        w->error = err;
        atomic_store(&w->stop, true);
    }
}

thaw_status thaw_climb_set_run(const thaw_specification *spec, int n, thaw_climb_progress progress, void *user,
                               thaw_climb_set *out, thaw_error *err)
{
    thaw_climb_set set = {.n = n, .line_m = spec->hang.from_m, .leave_s = spec->leave_s, .cell_m = thaw_climb_cell_m(spec)};
    work w = {.spec = spec, .set = &set, .progress = progress, .user = user, .failed = ATOMIC_FLAG_INIT};
    set.ends_m = thaw_allocate((size_t)n, sizeof *set.ends_m, err);
    set.drips_kg = thaw_allocate((size_t)n, sizeof *set.drips_kg, err);
    set.fronts = thaw_allocate((size_t)n, sizeof *set.fronts, err);
    thaw_status status = set.ends_m && set.drips_kg && set.fronts ? THAW_OK : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        thaw_crew_run(n, run_one, &w);
        status = w.status == THAW_OK ? THAW_OK : thaw_fail(err, w.status, "%s", w.error.text);
    }
    for (int m = 0; status == THAW_OK && m < n; m++) {
        set.n_came_through += isfinite(set.ends_m[m]);
    }
    if (status == THAW_OK && (2 * set.n_came_through < n || set.n_came_through < 2)) {
        status = thaw_fail(err, THAW_ERR_UNPHYSICAL, "only %d of %d runs came through", set.n_came_through, n);
    }
    if (status != THAW_OK) {
        thaw_climb_set_release(&set);
        return status;
    }
    *out = set;
    return THAW_OK;
}

void thaw_climb_set_release(thaw_climb_set *set)
{
    thaw_release(set->ends_m);
    thaw_release(set->drips_kg);
    thaw_release(set->fronts);
    *set = (thaw_climb_set){0};
}

double thaw_climb_set_end_m(const thaw_climb_set *set, double share, double *scratch)
{
    for (int m = 0; m < set->n; m++) {
        scratch[m] = set->ends_m[m];
    }
    return thaw_quantile(scratch, set->n, share);
}

double thaw_climb_set_doubt_m(const thaw_climb_set *set, double share, double *scratch)
{
    const double off = Z90 * sqrt(share * (1.0 - share) / set->n_came_through);
    return 0.5 * (thaw_climb_set_end_m(set, fmin(1.0, share + off), scratch) -
                  thaw_climb_set_end_m(set, fmax(0.0, share - off), scratch));
}
