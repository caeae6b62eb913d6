/* Grain of a part of the cloth. */
#ifndef THAW_TESTS_GRAIN_H
#define THAW_TESTS_GRAIN_H

#include "small.h"

#include <stdlib.h>

#include "look/measure.h"

/* Of the dry look of a part of the cloth: rows and columns i0 .. i1. */
static inline double grain_of(const thaw_outcome *w, int i0, int i1, int j0, int j1)
{
    thaw_print print = {.nx = i1 - i0, .ny = j1 - j0, .cell_m = w->bundle.cell_m, .cloth = w->spec->cloth,
                        .n_components = w->dyes.n};
    thaw_error err = {0};
    thaw_look_figures look;
    const size_t n = (size_t)print.nx * (size_t)print.ny;
    double *parts[2 * THAW_MAX_COMPONENTS + 1] = {NULL};
    const thaw_engine *e = &w->engine;
    for (int p = 0; p < 2 * w->dyes.n + 1; p++) {
        const double *from = p == 2 * w->dyes.n ? e->state.saturation
                                                : (p % 2 ? e->state.mobile_kg_m2 : e->state.fixed_kg_m2)[p / 2];
        parts[p] = calloc(n, sizeof(double));
        for (size_t k = 0; k < n; k++) {
            parts[p][k] = from[(size_t)(j0 + (int)(k / (size_t)print.nx)) * (size_t)w->bundle.nx + (size_t)i0 +
                               k % (size_t)print.nx];
        }
    }
    for (int c = 0; c < w->dyes.n; c++) {
        print.components[c] = w->dyes.components[c];
        print.rows[c] = w->dyes.rows[c];
        print.fixed_kg_m2[c] = parts[2 * c];
        print.loose_kg_m2[c] = parts[2 * c + 1];
    }
    print.saturation = parts[2 * w->dyes.n];
    const thaw_colour *colours[] = {w->spec->dye[0].colour};
    assert_done(thaw_look_measure(&print, 1, colours, &look, &err), &err);
    for (int p = 0; p < 2 * w->dyes.n + 1; p++) {
        free(parts[p]);
    }
    return 0.5 * (look.grain_weft_m + look.grain_warp_m);
}

#endif
