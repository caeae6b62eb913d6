/* The sheet by the product's own library: sim/wick for the water, sim/carry for the dye, in the engine's order of
 * an inner step, but with dye that comes and bonds halved before and after each part of the carrying. Faces take a limited second-order
 * concentration, so the answer is its own: it is compared with itself at a tighter tolerance. */
#include <math.h>
#include <stdlib.h>

#include "base/alloc.h"
#include "sheet_problem.h"
#include "sim/carry.h"
#include "sim/wick.h"

#define SOLVER_SHARE 0.02          /* what the solver may leave / tolerance of the water: as in sim/engine_create */
#define COURANT 0.8

typedef struct work {
    const sheet *p;
    thaw_retention *retention;
    thaw_web web;
    thaw_wick wick;
    double *volume, *s, *next, *before, *source, *mobile, *fixed, *rows;
    double waiting_s;              /* since dye was last carried; see carry_on */
    float *fx, *fy, *fl, *dx, *dy, *dl, *inverse, *c, *giving, *gx, *gy, *gl;
    long steps, parts, rounds;
} work;

static double **doubles(work *w, int i)
{
    double **all[] = {&w->volume, &w->s, &w->next, &w->before, &w->source, &w->mobile, &w->fixed, &w->rows};
    return i < (int)(sizeof all / sizeof *all) ? all[i] : NULL;
}

static float **floats(work *w, int i)
{
    float **all[] = {&w->fx, &w->fy, &w->fl, &w->dx, &w->dy, &w->dl, &w->inverse, &w->c, &w->giving, &w->gx, &w->gy, &w->gl};
    return i < (int)(sizeof all / sizeof *all) ? all[i] : NULL;
}

static void clear(work *w)
{
    for (int i = 0; doubles(w, i); i++) {
        thaw_release(*doubles(w, i));
    }
    for (int i = 0; floats(w, i); i++) {
        thaw_release(*floats(w, i));
    }
    thaw_wick_destroy(&w->wick);
    thaw_web_destroy(&w->web);
    thaw_release(w->retention);
}

static int open_work(const sheet *p, double tolerance, work *w)
{
    thaw_error err = {0};
    *w = (work){.p = p, .retention = thaw_allocate(1, sizeof(thaw_retention), &err)};
    int fine = w->retention && thaw_web_create(p->n, p->n, 1.0, NULL, NULL, &w->web, &err) == THAW_OK;
    for (int i = 0; fine && doubles(w, i); i++) {
        fine = (*doubles(w, i) = thaw_allocate(p->cells, sizeof(double), &err)) != NULL;
    }
    for (int i = 0; fine && floats(w, i); i++) {
        fine = (*floats(w, i) = thaw_allocate(p->cells, sizeof(float), &err)) != NULL;
    }
    if (!fine) {
        return 0;
    }
    const size_t n = (size_t)p->n;
    const double g = SHEET_PORES_M * SHEET_D1_M2_S / (p->dx_m * p->dx_m);
    thaw_retention_init(w->retention, 1.0);
    for (size_t k = 0; k < p->cells; k++) {
        w->web.gx[k] = (k + 1) % n ? g : 0.0;
        w->web.gy[k] = k + n < p->cells ? g : 0.0;
        w->volume[k] = SHEET_PORES_M;
        w->s[k] = SHEET_START;
    }
    if (thaw_wick_create(w->retention, &w->web, w->volume, &w->wick, &err) != THAW_OK) {
        return 0;
    }
    w->wick.solver_tolerance = SOLVER_SHARE * tolerance;
    return 1;
}

/* Half of the dye that comes in dt, and half of what bonds. */
static void half_dye(work *w, double dt_s)
{
    const double bonds = -expm1(-0.5 * SHEET_FIX_PER_S * dt_s);
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < w->p->cells; k++) {
        w->mobile[k] += 0.5 * dt_s * SHEET_IN_KG_M3 * w->source[k];
        const double gone = bonds * w->mobile[k];
        w->mobile[k] -= gone;
        w->fixed[k] += gone;
    }
}

/* Water that crossed the edges in the last step joins what waits; exchange at the mean of the step. */
static void add_edges(work *w, double dt_s)
{
    const size_t n = (size_t)w->p->n, cells = w->p->cells;
    const double per_area = 0.25 * SHEET_PORES_M * dt_s / (w->p->dx_m * w->p->dx_m), *s = w->s, *t = w->next;
    const float keep = w->waiting_s > 0.0 ? 1.0f : 0.0f;
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < cells; k++) {
        const size_t r = (k + 1) % n ? k + 1 : k, d = k + n < cells ? k + n : k;
        w->dx[k] = keep * w->dx[k] + (r == k ? 0.0f : (float)(per_area * (s[k] + s[r] + t[k] + t[r])));
        w->dy[k] = keep * w->dy[k] + (d == k ? 0.0f : (float)(per_area * (s[k] + s[d] + t[k] + t[d])));
        w->fx[k] = keep * w->fx[k] + (float)w->wick.fx[k];
        w->fy[k] = keep * w->fy[k] + (float)w->wick.fy[k];
        w->before[k] = keep > 0.0f ? w->before[k] : s[k];
    }
    w->waiting_s += dt_s;
}

static void set_inverse(work *w, double share)
{
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < w->p->cells; k++) {
        w->inverse[k] = 1.0f / (float)(SHEET_PORES_M * (w->before[k] + share * (w->next[k] - w->before[k])));
    }
}

/* Carry what waits, if it fills a part at the Courant number of the scheme or must go. So dye takes its own steps,
 * longer or shorter than those of the water: its scheme is second order in space and time together, and a step far
 * below its Courant number would change what it smears, not only how exactly. */
static void carry_on(work *w, int must)
{
    double tub = 0.0;
    const thaw_carry_edges edges = {w->fx, w->fy, w->fl, w->dx, w->dy, w->dl, (float)SHEET_DM_M2_S};
    set_inverse(w, 0.0);
    const double courant = thaw_carry_courant(&w->web, &edges, w->inverse, w->c, w->rows);
    if (!must && courant < 0.7 * COURANT) {
        return;
    }
    const int parts = 1 + (int)(courant / COURANT);
    const thaw_carry_work scratch = {w->c, w->giving, w->gx, w->gy, w->gl, w->rows};
    for (int part = 0; part < parts; part++) {
        half_dye(w, w->waiting_s / parts);
        thaw_carry_step(&w->web, &edges, 1.0 / parts, w->inverse, w->mobile, &scratch, &tub);
        set_inverse(w, (part + 1.0) / parts);
        half_dye(w, w->waiting_s / parts);
    }
    w->parts += parts;
    w->waiting_s = 0.0;
}

static void set_source(work *w, double rate)
{
    for (size_t k = 0; k < w->p->cells; k++) {
        w->source[k] = rate * w->p->source_m_s[k];
    }
}

/* From one switch of the source to the next, with the engine's control of the step. */
static int run_stretch(work *w, double length_s, double tolerance, double *inner_s)
{
    double done = 0.0, error;
    while (done < length_s - 1e-9) {
        double dt = fmin(*inner_s, length_s - done);
        w->rounds += thaw_wick_step(&w->wick, dt, w->s, w->source, w->next, &error);
        if (!(error <= tolerance)) {
            *inner_s = dt * (isfinite(error) ? fmax(0.3, 0.8 * sqrt(tolerance / error)) : 0.3);
            if (*inner_s < 1e-6) {
                return 0;
            }
            continue;
        }
        add_edges(w, dt);
        carry_on(w, done + dt >= length_s - 1e-9);
        double *old = w->s;
        w->s = w->next;
        w->next = old;
        done += dt;
        w->steps++;
        const double grow = fmin(2.0, 0.8 * sqrt(tolerance / fmax(error, 1e-12)));
        *inner_s = dt >= 0.999 * *inner_s || grow < 1.0 ? dt * grow : *inner_s;
    }
    return 1;
}

int sheet_by_product(const sheet *p, double tolerance, sheet_result *out)
{
    work w;
    double t = 0.0, until, inner_s = 1.0;
    int fine = open_work(p, tolerance, &w);
    while (fine && t < SHEET_END_S - 1e-6) {
        set_source(&w, sheet_rate(p, t, &until));
        fine = run_stretch(&w, until - t, tolerance, &inner_s);
        t = until;
    }
    for (size_t k = 0; fine && k < p->cells; k++) {
        out->fixed[k] = w.fixed[k];
        w.mobile[k] /= SHEET_PORES_M;
    }
    if (fine) {
        out->steps = w.steps;
        out->work = w.rounds;
        sheet_books(p, w.s, w.mobile, w.fixed, out);
    }
    clear(&w);
    return fine;
}
