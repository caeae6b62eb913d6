/* Evenly wet cloth in a beaker: what dye does in it, without any flow. */
#ifndef THAW_TESTS_BENCH_H
#define THAW_TESTS_BENCH_H

#include <stdlib.h>
#include <string.h>

#include "check.h"

#include "data/dyes.h"
#include "data/water.h"
#include "sim/uptake.h"

/* Evenly wet cloth, cut off from everything: n cells of one temperature. */
typedef struct bench {
    size_t n;
    thaw_specification spec;
    thaw_dye_list dyes;
    double t_k;
    thaw_warmth warmth;
    double *volume_m;
    thaw_state state;
    thaw_uptake uptake;
} bench;

static inline double *column(size_t n)
{
    double *a = calloc(n, sizeof *a);
    assert_non_null(a);
    return a;
}

static inline void open_bench(bench *b, const thaw_cloth_kind *cloth, size_t n, int n_dyes, const thaw_component *const *dyes,
                       double t_k, double saturation, double soda_kg_m3)
{
    thaw_error err = {0};
    *b = (bench){.n = n, .spec = {.cloth = cloth}, .dyes = {.n = n_dyes}, .t_k = t_k};
    b->warmth = (thaw_warmth){.nx = 1, .ny = 1, .n = 1, .t_k = &b->t_k, .square_of_cell = calloc(n, sizeof(int32_t))};
    assert_non_null(b->warmth.square_of_cell);
    b->volume_m = column(n);
    b->state = (thaw_state){.n = n, .n_components = n_dyes, .saturation = column(n), .soda_kg_m2 = column(n)};
    for (int c = 0; c < n_dyes; c++) {
        b->dyes.components[c] = b->state.components[c] = dyes[c];
        b->state.mobile_kg_m2[c] = column(n);
        b->state.fixed_kg_m2[c] = column(n);
        b->state.hydrolysed_kg_m2[c] = column(n);
        b->state.powder_kg_m2[c] = column(n);
    }
    const double bound_m = cloth->bound_kg_kg * cloth->mass_kg_m2 / THAW_WATER_DENSITY_KG_M3;
    for (size_t k = 0; k < n; k++) {
        b->volume_m[k] = cloth->pore_m;
        b->state.saturation[k] = saturation;
        b->state.soda_kg_m2[k] = soda_kg_m3 * (cloth->pore_m * saturation + bound_m);
    }
    assert_int_equal(thaw_uptake_create(&b->spec, &b->dyes, &b->warmth, b->volume_m, 1, n, &b->uptake, &err), THAW_OK);
}

static inline void close_bench(bench *b)
{
    thaw_uptake_destroy(&b->uptake);
    free(b->warmth.square_of_cell);
    free(b->volume_m);
    free(b->state.saturation);
    free(b->state.soda_kg_m2);
    for (int c = 0; c < b->dyes.n; c++) {
        free(b->state.mobile_kg_m2[c]);
        free(b->state.fixed_kg_m2[c]);
        free(b->state.hydrolysed_kg_m2[c]);
        free(b->state.powder_kg_m2[c]);
    }
}

static inline void wait_s(bench *b, double time_s, int steps)
{
    for (int i = 0; i < steps; i++) {
        thaw_uptake_step(&b->uptake, (int)b->n, 1, time_s / steps, &b->state);
    }
}

static inline const thaw_component *dye_of(const char *id)
{
    for (int i = 0; i < thaw_components_count(); i++) {
        if (strcmp(thaw_components_at(i)->id, id) == 0) {
            return thaw_components_at(i);
        }
    }
    fail_msg("no component %s", id);
    return NULL;
}

#endif
