#include "study/fronts.h"

#include <math.h>

#include "base/alloc.h"
#include "look/climb.h"

void thaw_fronts_begin(thaw_fronts *fronts, const thaw_outcome *work)
{
    *fronts = (thaw_fronts){.n_dyes = work->dyes.n, .n = 1}; /* at the start nothing has climbed */
    for (int i = 0; i < THAW_FRONT_TIMES; i++) {
        const double x = (double)i / (THAW_FRONT_TIMES - 1);
        fronts->t_s[i] = work->spec->leave_s * pow(x, 1.5);
    }
}

/* The hanging rows alone; `wet_kg_m2`: room for all dye of each component, or NULL for what is fixed. */
static thaw_print hanging(const thaw_outcome *w, double *wet_kg_m2)
{
    const thaw_state *s = &w->engine.state;
    const size_t first = thaw_bundle_first_hung(&w->bundle), n = w->bundle.n - first;
    thaw_print print = {.nx = w->bundle.nx, .ny = w->bundle.hung_rows, .cell_m = w->bundle.cell_m,
                        .cloth = w->spec->cloth, .n_components = w->dyes.n};
    for (int c = 0; c < w->dyes.n; c++) {
        print.components[c] = w->dyes.components[c];
        print.rows[c] = w->dyes.rows[c];
        print.fixed_kg_m2[c] = s->fixed_kg_m2[c] + first;
        for (size_t k = 0; wet_kg_m2 && k < n; k++) {
            wet_kg_m2[(size_t)c * n + k] =
                s->fixed_kg_m2[c][first + k] + s->mobile_kg_m2[c][first + k] + s->hydrolysed_kg_m2[c][first + k];
        }
        if (wet_kg_m2) {
            print.fixed_kg_m2[c] = wet_kg_m2 + (size_t)c * n;
        }
    }
    return print;
}

static thaw_status measure(const thaw_print *print, double rows[][THAW_FRONT_TIMES], int at, thaw_error *err)
{
    thaw_climb all, each[THAW_MAX_COMPONENTS];
    thaw_status status = thaw_look_climb(print, 0, &all, each, err);
    if (status == THAW_OK) {
        rows[0][at] = all.median_m;
        for (int c = 0; c < print->n_components; c++) {
            rows[1 + c][at] = each[c].median_m;
        }
    }
    return status;
}

thaw_status thaw_fronts_note(thaw_fronts *fronts, const thaw_outcome *work, thaw_error *err)
{
    const size_t n = work->bundle.n - thaw_bundle_first_hung(&work->bundle);
    const double now_s = work->engine.state.time_s;
    const int at = fronts->n;
    if (work->bundle.hung_rows == 0 || at >= THAW_FRONT_TIMES || now_s < fronts->t_s[at] * (1.0 - 1e-12)) {
        return THAW_OK;
    }
    double *wet = thaw_allocate(n * (size_t)work->dyes.n, sizeof *wet, err);
    if (!wet) {
        return THAW_ERR_MEMORY;
    }
    thaw_print fixed = hanging(work, NULL), all = hanging(work, wet);
    thaw_status status = measure(&fixed, fronts->rinsed_m, at, err);
    if (status == THAW_OK) {
        status = measure(&all, fronts->wet_m, at, err);
    }
    thaw_release(wet);
    if (status == THAW_OK) {
        fronts->n = at + 1;
        while (fronts->n < THAW_FRONT_TIMES && fronts->t_s[fronts->n] <= now_s) { /* a step passed several */
            const int i = fronts->n++;
            for (int r = 0; r <= fronts->n_dyes; r++) {
                fronts->wet_m[r][i] = fronts->wet_m[r][at];
                fronts->rinsed_m[r][i] = fronts->rinsed_m[r][at];
            }
        }
    }
    return status;
}
