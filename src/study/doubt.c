#include "study/doubt.h"

#include <math.h>
#include <stdatomic.h>

#include "base/alloc.h"
#include "base/crew.h"
#include "base/error.h"
#include "study/paired.h"
#include "study/trial.h"

#define BEYOND 0.2                 /* of chance below P10 and above P90 together */

void thaw_doubt_range(double middle, const double *members, int n, thaw_spread scale, double out[2])
{
    double sum = 0.0, squares = 0.0;
    int known = 0, beyond = 0;
    for (int m = 0; m < n; m++) {
        if (isfinite(members[m])) {
            const double y = thaw_spread_to(members[m], scale);
            sum += y;
            squares += y * y;
            known++;
        }
        beyond += isinf(members[m]);
    }
    out[0] = out[1] = NAN;
    if (isfinite(middle) && known >= THAW_DOUBT_LEAST) {
        const double mean = sum / known, variance = fmax(0.0, squares / known - mean * mean) * known / (known - 1);
        const double half = thaw_student_quantile(BEYOND, known - 1) * sqrt(variance);
        out[0] = thaw_spread_moved(middle, -half, scale);
        out[1] = thaw_spread_moved(middle, half, scale);
    }
    if (isfinite(middle) && beyond > 0) {
        out[1] = INFINITY;
    }
}

typedef struct set {
    const thaw_specification *spec;
    thaw_preview_figures *members; /* own, one each */
    thaw_error *errors;            /* own, one each */
    thaw_status statuses[THAW_DOUBT_MEMBERS];
    thaw_doubt_full_run full_run;
    thaw_doubt_progress progress;
    void *user;
    thaw_error *err;               /* of the full run */
    thaw_status full_status;
    atomic_int n_done;
    atomic_bool stop;
} set;

static bool keep_on(void *user, double share)
{
    const set *s = user;
    (void)share;
    return !atomic_load(&s->stop);
}

static thaw_status run_member(set *s, int m, thaw_error *err)
{
    const thaw_trial trial = {s->spec, m, THAW_DOUBT_MEMBERS, thaw_trial_cell_m(s->spec), NULL};
    return thaw_trial_run(&trial, keep_on, s, &s->members[m], err);
}

/* A member whose numerics fail is left out; any other failure, or a stop, ends the set. */
static bool ends_set(thaw_status status)
{
    return status != THAW_OK && status != THAW_ERR_UNPHYSICAL;
}

/* Piece 0 is the full run, the others are members. */
static void take_piece(void *user, int i, bool first)
{
    set *s = user;
    const int m = i - 1;
    if (i == 0) {
        s->full_status = s->full_run ? s->full_run(s->user, s->err) : THAW_OK;
        if (s->full_status != THAW_OK) {
            atomic_store(&s->stop, true);
        }
        return;
    }
    s->statuses[m] = atomic_load(&s->stop) ? THAW_ERR_CANCELLED : run_member(s, m, &s->errors[m]);
    const int done = atomic_fetch_add(&s->n_done, 1) + 1;
    if (ends_set(s->statuses[m]) || (first && s->progress && !s->progress(s->user, (double)done / THAW_DOUBT_MEMBERS))) {
        atomic_store(&s->stop, true);
    }
}

static thaw_status run_members(set *s, thaw_error *err)
{
    thaw_crew_run(THAW_DOUBT_MEMBERS + 1, take_piece, s);
    if (s->full_status != THAW_OK) {
        return s->full_status;
    }
    for (int m = 0; m < THAW_DOUBT_MEMBERS; m++) {
        if (ends_set(s->statuses[m]) && s->statuses[m] != THAW_ERR_CANCELLED) {
            return thaw_fail(err, s->statuses[m], "%s", s->errors[m].text);
        }
    }
    return atomic_load(&s->stop) ? thaw_fail(err, THAW_ERR_CANCELLED, "stopped") : THAW_OK;
}

static void fill_ranges(const set *s, thaw_preview_figures *figures)
{
    figures->n_members = 0;
    for (int m = 0; m < THAW_DOUBT_MEMBERS; m++) {
        figures->n_members += s->statuses[m] == THAW_OK;
    }
    for (int h = 0; h < thaw_headline_count(); h++) {
        const thaw_headline *headline = thaw_headline_at(h);
        double members[THAW_DOUBT_MEMBERS];
        for (int m = 0; m < THAW_DOUBT_MEMBERS && headline->range != THAW_HEADLINE_NOWHERE; m++) {
            members[m] = s->statuses[m] == THAW_OK ? thaw_headline_value(headline, &s->members[m]) : NAN;
        }
        if (headline->range != THAW_HEADLINE_NOWHERE) {
            const double middle = *(const double *)((const char *)figures + headline->value);
            thaw_doubt_range(middle, members, THAW_DOUBT_MEMBERS, headline->spread,
                             (double *)((char *)figures + headline->range));
        }
    }
}

void thaw_doubt_leave_out(thaw_preview_figures *figures)
{
    figures->n_members = 0;
    for (int h = 0; h < thaw_headline_count(); h++) {
        if (thaw_headline_at(h)->range != THAW_HEADLINE_NOWHERE) {
            double *range = (double *)((char *)figures + thaw_headline_at(h)->range);
            range[0] = range[1] = NAN;
        }
    }
}

thaw_status thaw_doubt_find(const thaw_specification *spec, thaw_doubt_full_run full_run, thaw_doubt_progress progress,
                            void *user, thaw_preview_figures *figures, thaw_error *err)
{
    set s = {.spec = spec, .full_run = full_run, .progress = progress, .user = user, .err = err};
    s.errors = thaw_allocate(THAW_DOUBT_MEMBERS, sizeof *s.errors, err);
    s.members = thaw_allocate(THAW_DOUBT_MEMBERS, sizeof *s.members, err);
    thaw_status status = s.errors && s.members ? run_members(&s, err) : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        fill_ranges(&s, figures);
    }
    thaw_release(s.members);
    thaw_release(s.errors);
    return status;
}
