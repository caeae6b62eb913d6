#include "study/border.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/alloc.h"
#include "study/chance.h"
#include "study/climb_set.h"
#include "study/ice_line.h"

/* What the search does: lines of sets, each a set of runs at one ice line. */
#define USUAL_SETS 3.0             /* the wanted end itself and two more: for telling the progress */
#define CLOSE_CELLS 0.75           /* a set this near the wanted end, in cells, is the answer */
#define LINE_STEP_M 0.005          /* the answer, for a tape */

typedef struct search {
    const thaw_border_plan *plan;
    thaw_border_figures *figures;
    double *scratch;               /* own, n */
    double cell_m;
    thaw_climb_set best;           /* own: the set whose line is nearest to the answer so far */
    double sets_done, sets_in_all; /* for the progress */
    char phase[64];
} search;

static bool tell(void *user, double share)
{
    const search *s = user;
    return !s->plan->progress ||
           s->plan->progress(s->plan->user, s->phase, fmin(1.0, (s->sets_done + share) / s->sets_in_all));
}

static thaw_border_ends ends_of(const search *s, const thaw_climb_set *set)
{
    return (thaw_border_ends){.line_m = set->line_m,
                              .p10_m = thaw_climb_set_end_m(set, 0.1, s->scratch),
                              .p50_m = thaw_climb_set_end_m(set, 0.5, s->scratch),
                              .p90_m = thaw_climb_set_end_m(set, 0.9, s->scratch),
                              .sure_m = thaw_climb_set_end_m(set, s->plan->sure, s->scratch)};
}

/* Lines lie on rows of cells, as the cloth is cut into them. */
static double on_a_row_m(const search *s, double line_m)
{
    return s->cell_m * round(line_m / s->cell_m);
}

/* The runs at a line; noted, and kept as the best. */
static thaw_status try_line(search *s, double line_m, thaw_border_ends *out, thaw_error *err)
{
    thaw_specification *moved = thaw_allocate(1, sizeof *moved, err);
    thaw_climb_set set;
    if (!moved) {
        return THAW_ERR_MEMORY;
    }
    thaw_ice_line_move(s->plan->spec, line_m, s->plan->hangs_free, moved);
    snprintf(s->phase, sizeof s->phase, "ice up to %.0f cm", 100.0 * line_m);
    thaw_status status = thaw_climb_set_run(moved, s->plan->n, tell, s, &set, err);
    thaw_release(moved);
    if (status == THAW_OK) {
        *out = ends_of(s, &set);
        s->figures->tried[s->figures->n_tried++] = *out;
        thaw_climb_set_release(&s->best);
        s->best = set;
        s->sets_done += 1.0;
        s->sets_in_all = fmax(s->sets_in_all, s->sets_done);
    }
    return status;
}

/* Next line to try: what the last one missed by, kept between a line that is low enough and one that is too high. While
 * none is known to be low enough, no lower than the lowest: it decides. */
static double next_line_m(const search *s, const thaw_border_ends *last, double lowest_m, double good_m, double bad_m)
{
    const double guess_m = on_a_row_m(s, last->line_m - (last->sure_m - s->plan->end_m));
    if (good_m < lowest_m) {
        return fmax(lowest_m, fmin(guess_m, bad_m - s->cell_m));
    }
    return guess_m > good_m + 0.5 * s->cell_m && guess_m < bad_m - 0.5 * s->cell_m ? guess_m
                                                                                 : on_a_row_m(s, 0.5 * (good_m + bad_m));
}

/* Ends with s->best at or beside the answer, and *line_m the line, or the lowest line where none is low enough. */
static thaw_status search_line(search *s, thaw_border_ends *last, bool *is_met, thaw_error *err)
{
    const double end_m = s->plan->end_m, close_m = CLOSE_CELLS * s->cell_m;
    const double lowest_m = s->cell_m * ceil(s->plan->lowest_m / s->cell_m - 1e-9);
    double good_m = lowest_m - s->cell_m, bad_m = on_a_row_m(s, end_m) + s->cell_m; /* neither tried yet */
    *last = s->figures->naive;
    *is_met = last->sure_m <= end_m + close_m;
    while (!*is_met && s->figures->n_tried < THAW_BORDER_TRIED - 1) {
        bad_m = last->sure_m > end_m ? last->line_m : bad_m;
        good_m = last->sure_m <= end_m ? last->line_m : good_m;
        if (bad_m - good_m < 1.5 * s->cell_m) {
            break;
        }
        const thaw_status status = try_line(s, next_line_m(s, last, lowest_m, good_m, bad_m), last, err);
        if (status != THAW_OK) {
            return status;
        }
        *is_met = fabs(last->sure_m - end_m) <= close_m;
    }
    if (!*is_met && good_m >= lowest_m) { /* ends jump over the wanted one between two rows: the lower row is safe */
        *is_met = true;
        return last->line_m > good_m + 0.5 * s->cell_m ? try_line(s, good_m, last, err) : THAW_OK;
    }
    return THAW_OK;
}

/* Fronts of one dye over the members, from the dyed end. */
static void fill_front(const search *s, int row, thaw_border_front *front)
{
    static const double shares[3] = {0.1, 0.5, 0.9};
    const thaw_climb_set *set = &s->best;
    for (int t = 0; t < THAW_BORDER_TIMES; t++) {
        for (int q = 0; q < 3; q++) {
            for (int m = 0; m < set->n; m++) {
                const thaw_fronts *f = &set->fronts[m];
                s->scratch[m] = isfinite(set->ends_m[m]) && t < f->n ? s->figures->line_m + f->wet_m[row][t] : NAN;
            }
            front->wet_m[q][t] = thaw_quantile(s->scratch, set->n, shares[q]);
            for (int m = 0; m < set->n; m++) {
                const thaw_fronts *f = &set->fronts[m];
                s->scratch[m] = isfinite(set->ends_m[m]) && t < f->n ? s->figures->line_m + f->rinsed_m[row][t] : NAN;
            }
            front->rinsed_m[q][t] = thaw_quantile(s->scratch, set->n, shares[q]);
        }
    }
}

static void fill_fronts(search *s)
{
    thaw_border_figures *f = s->figures;
    const thaw_fronts *any = NULL;
    for (int m = 0; m < s->best.n && !any; m++) {
        any = isfinite(s->best.ends_m[m]) ? &s->best.fronts[m] : NULL;
    }
    for (int t = 0; t < THAW_BORDER_TIMES; t++) {
        f->times_s[t] = f->leave_s * pow((double)t / (THAW_BORDER_TIMES - 1), 1.5);
    }
    f->n_fronts = any->n_dyes + 1 < THAW_BORDER_FRONTS ? any->n_dyes + 1 : THAW_BORDER_FRONTS;
    for (int r = 0; r < f->n_fronts; r++) {
        fill_front(s, r, &f->fronts[r]);
    }
}

/* How many runs dripped from the free end, and how much those. */
static void fill_drips(search *s)
{
    thaw_border_figures *f = s->figures;
    f->n_dripping = 0;
    f->drip_kg[1] = 0.0;
    for (int m = 0; m < s->best.n; m++) {
        const double kg = s->best.drips_kg[m];
        s->scratch[m] = kg >= THAW_BORDER_DRIP_KG ? kg : NAN;
        f->n_dripping += kg >= THAW_BORDER_DRIP_KG;
        f->drip_kg[1] = kg >= THAW_BORDER_DRIP_KG ? fmax(f->drip_kg[1], kg) : f->drip_kg[1];
    }
    f->drip_kg[0] = f->n_dripping > 0 ? thaw_quantile(s->scratch, s->best.n, 0.5) : 0.0;
}

/* The answer stands on what its set missed by: less than a cell. */
static void fill_answer(search *s, const thaw_border_ends *last)
{
    thaw_border_figures *f = s->figures;
    const double exact_m = f->is_met ? fmin(last->line_m - (last->sure_m - f->end_m), f->end_m) : last->line_m;
    f->line_m = f->is_met && fabs(exact_m - last->line_m) < 1.5 * s->cell_m ? LINE_STEP_M * floor(exact_m / LINE_STEP_M + 1e-6)
                                                                        : last->line_m;
    f->line_m = fmax(f->line_m, fmin(s->plan->lowest_m, last->line_m)); /* hands still fold that much */
    const double off_m = f->line_m - last->line_m;
    f->ends = *last;
    f->ends.line_m += off_m;
    f->ends.p10_m += off_m;
    f->ends.p50_m += off_m;
    f->ends.p90_m += off_m;
    f->ends.sure_m += off_m;
    f->n_came_through = s->best.n_came_through;
    f->doubt_m = thaw_climb_set_doubt_m(&s->best, f->sure, s->scratch);
    f->leave_s = s->best.leave_s;
    fill_drips(s);
    fill_fronts(s);
}

/* ---- what would help ---- */

static thaw_status try_remedy(search *s, const thaw_specification *base, thaw_remedy remedy, double before_m, thaw_error *err)
{
    thaw_border_figures *f = s->figures;
    thaw_border_remedy *r = &f->remedies[f->n_remedies];
    thaw_specification *changed = thaw_allocate(1, sizeof *changed, err);
    thaw_climb_set set;
    if (!changed) {
        return THAW_ERR_MEMORY;
    }
    *changed = *base;
    *r = (thaw_border_remedy){.key = thaw_remedy_key(remedy), .before_m = before_m};
    thaw_status status = THAW_OK;
    if (thaw_remedy_apply(remedy, f->end_m, changed, r->what, sizeof r->what)) {
        snprintf(s->phase, sizeof s->phase, "what would help: %s", r->key);
        status = thaw_climb_set_run(changed, s->plan->n, tell, s, &set, err);
        if (status == THAW_OK) {
            r->after_m = thaw_climb_set_end_m(&set, s->plan->sure, s->scratch);
            r->is_enough = r->after_m <= f->end_m;
            f->n_remedies++;
            thaw_climb_set_release(&set);
        }
        s->sets_done += 1.0;
    }
    thaw_release(changed);
    return status;
}

/* By how much they help; all together stays last. */
static void sort_remedies(thaw_border_figures *f)
{
    const bool has_all = f->n_remedies > 0 && strcmp(f->remedies[f->n_remedies - 1].key, thaw_remedy_key(THAW_REMEDY_ALL)) == 0;
    const int n = f->n_remedies - has_all;
    for (int i = 1; i < n; i++) {
        for (int at = i; at > 0 && f->remedies[at].after_m < f->remedies[at - 1].after_m; at--) {
            const thaw_border_remedy swap = f->remedies[at];
            f->remedies[at] = f->remedies[at - 1];
            f->remedies[at - 1] = swap;
        }
    }
}

static int count_remedies(const thaw_specification *base, double end_m, thaw_specification *scratch)
{
    char what[160];
    int n = 0;
    for (int r = 0; r < THAW_REMEDIES; r++) {
        *scratch = *base;
        n += thaw_remedy_apply((thaw_remedy)r, end_m, scratch, what, sizeof what);
    }
    return n;
}

static thaw_status find_remedies(search *s, thaw_error *err)
{
    thaw_border_figures *f = s->figures;
    thaw_specification *base = thaw_allocate(2, sizeof *base, err);
    thaw_status status = base ? THAW_OK : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        thaw_ice_line_move(s->plan->spec, f->line_m, s->plan->hangs_free, &base[0]);
        s->sets_in_all = s->sets_done + count_remedies(&base[0], f->end_m, &base[1]);
    }
    for (int r = 0; status == THAW_OK && r < THAW_REMEDIES; r++) {
        status = try_remedy(s, &base[0], (thaw_remedy)r, f->ends.sure_m, err);
    }
    thaw_release(base);
    if (status == THAW_OK) {
        sort_remedies(f);
    }
    return status;
}

thaw_status thaw_border_find(const thaw_border_plan *plan, thaw_border_figures *figures, thaw_error *err)
{
    search s = {.plan = plan, .figures = figures, .cell_m = thaw_climb_cell_m(plan->spec), .sets_in_all = USUAL_SETS};
    thaw_border_ends last = {0};
    figures->n = plan->n;
    figures->end_m = plan->end_m;
    figures->sure = plan->sure;
    s.scratch = thaw_allocate((size_t)plan->n, sizeof *s.scratch, err);
    thaw_status status = s.scratch ? try_line(&s, on_a_row_m(&s, plan->end_m), &figures->naive, err) : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        status = search_line(&s, &last, &figures->is_met, err);
    }
    if (status == THAW_OK) {
        fill_answer(&s, &last);
        status = figures->is_met ? THAW_OK : find_remedies(&s, err);
    }
    thaw_climb_set_release(&s.best);
    thaw_release(s.scratch);
    return status;
}
