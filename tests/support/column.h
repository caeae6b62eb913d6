/* A sheet or column of cloth for tests of the water step: uniform cells, one conductivity unless the
 * test changes the edges afterwards, steps whose length follows the step's own error. */
#ifndef THAW_TESTS_COLUMN_H
#define THAW_TESTS_COLUMN_H

#include <stdlib.h>

#include "check.h"
#include "sim/wick.h"

/* Above s = 1 cloth holds a film. The published solutions know none; a slope so steep that the film
 * holds next to nothing stands for them. At psi = 0, s = 1 + 1 / slope. */
#define NO_FILM 300.0

typedef struct cloth {
    double conductivity_m_s, head_m, porosity, pore_m, lambda;
    double film_slope;
} cloth;

typedef struct sheet {
    cloth of;
    int nx, ny;
    size_t n;
    double cell_m, dt_s, longest_s; /* sheet_run: next and longest step */
    thaw_retention retention;
    thaw_web web;
    thaw_wick wick;
    double *volume, *source, *s, *next;
    long steps;
} sheet;

static inline double *column_numbers(size_t n, double value)
{
    double *a = malloc(n * sizeof *a);
    assert_non_null(a);
    for (size_t k = 0; k < n; k++) {
        a[k] = value;
    }
    return a;
}

/* z_m may be NULL: no gravity. All cells start with no water. */
static inline void sheet_open(sheet *t, const cloth *of, int nx, int ny, double cell_m, const double *z_m)
{
    thaw_error err = {0};
    *t = (sheet){.of = *of, .nx = nx, .ny = ny, .n = (size_t)nx * (size_t)ny, .cell_m = cell_m, .dt_s = 1e-3, .longest_s = 1e30};
    thaw_retention_init(&t->retention, of->lambda);
    t->retention.film_slope = of->film_slope;
    assert_int_equal(thaw_web_create(nx, ny, of->head_m, NULL, z_m, &t->web, &err), THAW_OK);
    const double g = of->pore_m / of->porosity * of->conductivity_m_s * of->head_m / (cell_m * cell_m);
    for (int j = 0; j < ny; j++) {
        for (int i = 0; i < nx; i++) {
            const size_t k = (size_t)j * (size_t)nx + (size_t)i;
            t->web.gx[k] = i + 1 < nx ? g : 0.0;
            t->web.gy[k] = j + 1 < ny ? g : 0.0;
        }
    }
    t->volume = column_numbers(t->n, of->pore_m);
    t->source = column_numbers(t->n, 0.0);
    t->s = column_numbers(t->n, 0.0);
    t->next = column_numbers(t->n, 0.0);
    assert_int_equal(thaw_wick_create(&t->retention, &t->web, t->volume, &t->wick, &err), THAW_OK);
    t->wick.solver_tolerance = 1e-6;
    thaw_wick_refresh(&t->wick);
}

static inline void sheet_close(sheet *t)
{
    thaw_wick_destroy(&t->wick);
    thaw_web_destroy(&t->web);
    free(t->volume);
    free(t->source);
    free(t->s);
    free(t->next);
}

/* The last cell of a row is free water at psi = 0, as much as anyone wants; the face to its neighbour is
 * the water's edge, so their middles are half a cell apart. */
static inline void sheet_tub(sheet *t)
{
    assert_int_equal(t->ny, 1);
    t->volume[t->n - 1] = 1e12 * t->of.pore_m;
    t->s[t->n - 1] = 1.0 + 1.0 / t->of.film_slope;
    t->web.gx[t->n - 2] *= 2.0;
    thaw_wick_refresh(&t->wick);
}

static inline double sheet_step(sheet *t, double dt_s)
{
    double error;
    thaw_wick_step(&t->wick, dt_s, t->s, t->source, t->next, &error);
    t->steps++;
    return error;
}

static inline void sheet_take(sheet *t)
{
    double *old = t->s;
    t->s = t->next;
    t->next = old;
}

/* Over duration_s; a step whose error is above `tolerance` is tried again with a shorter one. */
static inline void sheet_run(sheet *t, double duration_s, double tolerance)
{
    double left = duration_s;
    while (left > 1e-12 * duration_s) {
        double dt = fmin(fmin(t->dt_s, t->longest_s), left);
        double error = sheet_step(t, dt);
        double factor = 0.9 * sqrt(tolerance / fmax(error, 1e-3 * tolerance));
        if (!(error <= tolerance)) {
            t->dt_s = dt * fmax(0.2, fmin(factor, 0.9));
            assert_true(t->dt_s > 1e-12 * duration_s);
            continue;
        }
        left -= dt;
        t->dt_s *= dt < t->dt_s ? 1.0 : fmin(factor, 2.0);
        sheet_take(t);
    }
}

#endif
