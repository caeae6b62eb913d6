#include "study/timetable.h"

#include <math.h>
#include <stdatomic.h>

#include "base/alloc.h"
#include "base/crew.h"
#include "base/error.h"
#include "data/workroom.h"
#include "study/drying.h"
#include "study/trial.h"

#define COLDER_BY_K 5.0
#define COLDEST_ROOM_K 274.15      /* below, the melt would freeze again, which is not computed */
#define LONGER_S 86400.0
#define HALF 0.5

enum { USUAL, COLDER, HALF_POWDER, N_WHAT_IFS };

typedef struct work {
    const thaw_specification *specs[N_WHAT_IFS];
    thaw_preview_figures *results[N_WHAT_IFS];
    thaw_status statuses[N_WHAT_IFS];
    thaw_error *errors;            /* own elsewhere, one each */
    double cell_m;
    thaw_what_ifs_progress progress;
    void *user;
    atomic_bool stop;
    atomic_int n_done;
} work;

typedef struct piece {
    work *work;
    bool may_tell;
} piece;

static bool keep_on(void *user, double share)
{
    const piece *p = user;
    work *w = p->work;
    if (p->may_tell && w->progress && !w->progress(w->user, (atomic_load(&w->n_done) + share) / N_WHAT_IFS)) {
        atomic_store(&w->stop, true);
    }
    return !atomic_load(&w->stop);
}

static void run_one(void *user, int i, bool first)
{
    work *w = user;
    piece p = {w, first};
    if (w->specs[i]) {
        const thaw_trial trial = {.spec = w->specs[i], .cell_m = w->cell_m};
        w->statuses[i] = thaw_trial_run(&trial, keep_on, &p, w->results[i], &w->errors[i]);
    }
    atomic_fetch_add(&w->n_done, 1);
}

static void make_colder(thaw_specification *spec)
{
    spec->room_k -= COLDER_BY_K;
    for (int h = 0; h < spec->n_hours; h++) {
        spec->hours[h].t_k -= COLDER_BY_K;
    }
}

static bool is_computed(const thaw_specification *spec)
{
    bool fits = spec->room_k >= COLDEST_ROOM_K;
    for (int h = 0; h < spec->n_hours; h++) {
        fits = fits && spec->hours[h].t_k >= COLDEST_ROOM_K;
    }
    return fits;
}

thaw_status thaw_what_ifs_run(const thaw_specification *spec, thaw_what_ifs_progress progress, void *user,
                              thaw_what_ifs *out, thaw_error *err)
{
    thaw_specification *specs = thaw_allocate(N_WHAT_IFS, sizeof *specs, err);
    thaw_what_ifs *found = thaw_allocate(1, sizeof *found, err);
    thaw_error *errors = thaw_allocate(N_WHAT_IFS, sizeof *errors, err);
    thaw_status status = specs && found && errors ? THAW_OK : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        work w = {.errors = errors, .cell_m = thaw_trial_cell_m(spec), .progress = progress, .user = user,
                  .results = {&found->usual, &found->colder, &found->half}};
        for (int i = 0; i < N_WHAT_IFS; i++) {
            specs[i] = *spec;
            specs[i].leave_s += LONGER_S;
            w.specs[i] = &specs[i];
        }
        make_colder(&specs[COLDER]);
        found->has_colder = is_computed(&specs[COLDER]);
        found->colder_k = specs[COLDER].room_k;
        w.specs[COLDER] = found->has_colder ? w.specs[COLDER] : NULL;
        for (int z = 0; z < spec->n_dye; z++) {
            specs[HALF_POWDER].dye[z].mass_kg *= HALF;
        }
        specs[HALF_POWDER].leave_s = specs[USUAL].leave_s;
        thaw_crew_run(N_WHAT_IFS, run_one, &w);
        for (int i = 0; status == THAW_OK && i < N_WHAT_IFS; i++) {
            status = w.statuses[i] == THAW_OK ? THAW_OK : thaw_fail(err, w.statuses[i], "%s", errors[i].text);
        }
    }
    if (status == THAW_OK) {
        *out = *found;
    }
    thaw_release(errors);
    thaw_release(found);
    thaw_release(specs);
    return status;
}

static double fixed_kg(const thaw_preview_figures *f)
{
    double sum = 0.0;
    for (int d = 0; d < f->n_dyes; d++) {
        sum += f->dyes[d].fixed_kg;
    }
    return sum;
}

/* A time of the full run, moved as the coarse ones were. */
static double moved_s(double middle_s, double usual_s, double changed_s)
{
    return usual_s > 0.0 ? middle_s * changed_s / usual_s : NAN;
}

static double melt_s(const thaw_preview_figures *f)
{
    return f->melted ? f->melt_all_s : INFINITY;
}

static double later(double a, double b)
{
    return isnan(a) ? b : isnan(b) ? a : fmax(a, b);
}

static void fill_colder(const thaw_specification *spec, const thaw_what_ifs *w, thaw_supplies_figures *f)
{
    if (!w->has_colder) {
        return;
    }
    thaw_specification cold = *spec;
    make_colder(&cold);
    f->colder_k = w->colder_k;
    f->colder_ice_gone_s = moved_s(f->ice_gone.p50, melt_s(&w->usual), melt_s(&w->colder));
    f->colder_ready_s = moved_s(f->ready.p50, w->usual.ready_s, w->colder.ready_s);
    f->colder_dry_s = thaw_drying_find(&cold).usual_s;
}

void thaw_timetable_fill(const thaw_specification *spec, const thaw_preview_figures *run, const thaw_what_ifs *what_ifs,
                         thaw_supplies_figures *figures)
{
    thaw_supplies_figures *f = figures;
    const thaw_drying drying = thaw_drying_find(spec);
    const double usual_kg = fixed_kg(&what_ifs->usual);
    f->fixed_kg = fixed_kg(run);
    f->washed_kg = run->dye_kg - f->fixed_kg;
    f->half_fixed = usual_kg > 0.0 ? fixed_kg(&what_ifs->half) / usual_kg : NAN;
    f->leave_s = run->leave_s;
    f->fixed_share_of_end = run->fixed_share_of_end;
    f->room_k = spec->room_k;
    f->longer_ice_gone_s = melt_s(&what_ifs->usual);
    f->longer_ready_s = what_ifs->usual.ready_s;
    f->dry_low_s = drying.low_s;
    f->dry_s = drying.usual_s;
    f->dry_high_s = drying.high_s;
    f->ice_on_s = THAW_SOAK_MOST_S + THAW_SET_UP_S + (spec->starts_dry ? drying.usual_s : 0.0);
    /* Ice is to be gone nine times out of ten; the dye, which loses little by an hour, half of the times. */
    f->rinse_s = later(f->ready.p50, isfinite(f->ice_gone.p90) ? f->ice_gone.p90 : f->ice_gone.p50);
    f->rinse_safe_s = later(f->ready.p90, f->ice_gone.p90);
    f->n_members = run->n_members;
    fill_colder(spec, what_ifs, f);
}
