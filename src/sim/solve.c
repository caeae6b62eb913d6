#include "sim/solve.h"

#include <string.h>

#include "base/alloc.h"

#define MAX_ROUNDS 40
#define MOST_COLUMNS 16384
/* Fewer links than this are not worth waking a second thread. */
#define FEW_LINKS 20000
#define LANES 16

static float **arrays_of(thaw_solver *s, size_t i)
{
    float **all[] = {&s->gx, &s->gy, &s->gl, &s->zx, &s->zy, &s->zl, &s->diagonal, &s->lean, &s->spill, &s->y,
                     &s->w, &s->link, &s->r, &s->shadow, &s->p, &s->v, &s->s, &s->t, &s->ps, &s->ss};
    return i < sizeof all / sizeof *all ? all[i] : NULL;
}

thaw_status thaw_solver_create(const thaw_web *web, thaw_solver *out, thaw_error *err)
{
    thaw_solver s = {.web = web};
    for (size_t a = 0; arrays_of(&s, a); a++) {
        if (!(*arrays_of(&s, a) = thaw_allocate(web->n, sizeof(float), err))) {
            goto fail;
        }
    }
    s.rows = thaw_allocate((size_t)web->ny, sizeof(double), err);
    if (!s.rows || thaw_multigrid_create(web, &s.mg, err) != THAW_OK) {
        goto fail;
    }
    thaw_solver_refresh(&s);
    *out = s;
    return THAW_OK;
fail:
    thaw_solver_destroy(&s);
    return THAW_ERR_MEMORY;
}

void thaw_solver_destroy(thaw_solver *solver)
{
    for (size_t a = 0; arrays_of(solver, a); a++) {
        thaw_release(*arrays_of(solver, a));
    }
    thaw_release(solver->rows);
    thaw_multigrid_destroy(solver->mg);
    *solver = (thaw_solver){0};
}

static void narrow(size_t n, const double *restrict from, float *restrict to)
{
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        to[k] = (float)from[k];
    }
}

void thaw_solver_refresh(thaw_solver *solver)
{
    const thaw_web *w = solver->web;
    narrow(w->n, w->gx, solver->gx);
    narrow(w->n, w->gy, solver->gy);
    narrow(w->n, w->gl, solver->gl);
    narrow(w->n, w->zx, solver->zx);
    narrow(w->n, w->zy, solver->zy);
    narrow(w->n, w->zl, solver->zl);
    thaw_multigrid_refresh(solver->mg, w);
}

void thaw_solver_set(thaw_solver *solver, const double *diagonal, const thaw_web_slope *slope)
{
    const size_t n = solver->web->n;
    narrow(n, slope->lean, solver->lean);
    narrow(n, slope->spill, solver->spill);
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        solver->diagonal[k] = (float)diagonal[k];
    }
    thaw_multigrid_set(solver->mg, solver->diagonal, solver->spill);
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        solver->diagonal[k] += solver->spill[k];
    }
}

static double dot(thaw_solver *solver, const float *a, const float *b)
{
    const size_t nx = (size_t)solver->web->nx, ny = (size_t)solver->web->ny;
    double *rows = solver->rows;
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < ny; j++) {
        double lanes[LANES] = {0}, sum = 0.0;
        const float *ra = a + j * nx, *rb = b + j * nx;
        size_t i = 0;
        for (; i + LANES <= nx; i += LANES) {
            for (size_t v = 0; v < LANES; v++) {
                lanes[v] += (double)ra[i + v] * (double)rb[i + v];
            }
        }
        for (; i < nx; i++) {
            sum += (double)ra[i] * (double)rb[i];
        }
        for (size_t v = 0; v < LANES; v++) {
            sum += lanes[v];
        }
        rows[j] = sum;
    }
    double total = 0.0;
    for (size_t j = 0; j < ny; j++) {
        total += rows[j];
    }
    return total;
}

double thaw_solver_square(thaw_solver *solver, const double *a)
{
    const size_t nx = (size_t)solver->web->nx, ny = (size_t)solver->web->ny;
    double total = 0.0;
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < ny; j++) {
        double sum = 0.0;
        for (size_t i = 0; i < nx; i++) {
            sum += a[j * nx + i] * a[j * nx + i];
        }
        solver->rows[j] = sum;
    }
    for (size_t j = 0; j < ny; j++) {
        total += solver->rows[j];
    }
    return total;
}

/* Flows to the next row of `row`, for one row of cells. */
static void down_row(const thaw_solver *s, size_t row, const float *restrict y, float *restrict q)
{
    const size_t nx = (size_t)s->web->nx;
    const float *restrict g = s->gy + row, *restrict z = s->zy + row, *restrict w = s->w + row;
    const float *restrict here = y + row;
    for (size_t i = 0; i < nx; i++) {
        q[i] = g[i] * ((here[i] - here[i + nx]) + z[i] * (w[i] + w[i + nx]));
    }
}

static void multiply_row(const thaw_solver *s, size_t row, const float *restrict y, float *restrict out)
{
    const size_t nx = (size_t)s->web->nx;
    float q[MOST_COLUMNS];
    const float *restrict g = s->gx + row, *restrict z = s->zx + row, *restrict w = s->w + row;
    const float *restrict here = y + row, *restrict d = s->diagonal + row;
    for (size_t i = 0; i + 1 < nx; i++) {
        q[i] = g[i] * ((here[i] - here[i + 1]) + z[i] * (w[i] + w[i + 1]));
    }
    q[nx - 1] = 0.0f;
    for (size_t i = 0; i < nx; i++) {
        out[i] = d[i] * here[i] + q[i];
    }
    for (size_t i = 1; i < nx; i++) {
        out[i] -= q[i - 1];
    }
    if (row + nx < s->web->n) {
        down_row(s, row, y, q);
        for (size_t i = 0; i < nx; i++) {
            out[i] += q[i];
        }
    }
    if (row) {
        down_row(s, row - nx, y, q);
        for (size_t i = 0; i < nx; i++) {
            out[i] -= q[i];
        }
    }
}

static void multiply_links(thaw_solver *s, const float *restrict y, float *restrict out)
{
    const thaw_web *web = s->web;
    float *restrict link = s->link;
    const float *restrict w = s->w;
#pragma omp parallel for schedule(static) if (web->n_links > FEW_LINKS)
    for (int32_t l = 0; l < web->n_links; l++) {
        const int32_t a = web->from[l], b = web->below[a];
        const float flow = s->gl[a] * ((y[a] - y[b]) + s->zl[a] * (w[a] + w[b]));
        out[a] += flow;
        link[a] = flow + s->spill[a] * y[a];
    }
    for (int32_t r = 0; r < web->n_rounds; r++) {
#pragma omp parallel for schedule(static) if (web->round_start[r + 1] - web->round_start[r] > FEW_LINKS)
        for (int32_t l = web->round_start[r]; l < web->round_start[r + 1]; l++) {
            out[web->round_to[l]] -= link[web->round_from[l]];
        }
    }
}

/* out = (diagonal + linearised web) y */
static void multiply(thaw_solver *s, const float *restrict y, float *restrict out)
{
    const size_t nx = (size_t)s->web->nx, n = s->web->n;
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        s->w[k] = s->lean[k] * y[k];
    }
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < n; row += nx) {
        multiply_row(s, row, y, out + row);
    }
    multiply_links(s, y, out);
}

/* p = r + beta (p - omega v) */
static void turn(size_t n, const float *restrict r, float beta, float omega, const float *restrict v, float *restrict p)
{
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        p[k] = r[k] + beta * (p[k] - omega * v[k]);
    }
}

/* out = a + scale b */
static void combine(size_t n, const float *restrict a, float scale, const float *restrict b, float *restrict out)
{
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        out[k] = a[k] + scale * b[k];
    }
}

static void add_both(size_t n, float alpha, const float *restrict p, float omega, const float *restrict s, float *restrict y)
{
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        y[k] += alpha * p[k] + omega * s[k];
    }
}

static int iterate(thaw_solver *s, double enough)
{
    const size_t n = s->web->n;
    double rho = 1.0, alpha = 1.0, omega = 1.0, left = dot(s, s->r, s->r);
    int round = 0;
    /* At least once: what an earlier step leaves as a first guess would drain cells that are dry. */
    while (round < MAX_ROUNDS && (left > enough || (round == 0 && left > 0.0))) {
        double rho_next = dot(s, s->shadow, s->r);
        turn(n, s->r, (float)(rho_next / rho * (alpha / omega)), (float)omega, s->v, s->p);
        rho = rho_next;
        thaw_multigrid_apply(s->mg, s->p, s->ps);
        multiply(s, s->ps, s->v);
        alpha = rho / dot(s, s->shadow, s->v);
        combine(n, s->r, (float)-alpha, s->v, s->s);
        thaw_multigrid_apply(s->mg, s->s, s->ss);
        multiply(s, s->ss, s->t);
        double tt = dot(s, s->t, s->t);
        omega = tt > 0.0 ? dot(s, s->t, s->s) / tt : 0.0;
        add_both(n, (float)alpha, s->ps, (float)omega, s->ss, s->y);
        combine(n, s->s, (float)-omega, s->t, s->r);
        left = dot(s, s->r, s->r);
        round++;
        if (!(rho != 0.0 && omega != 0.0)) {
            break; /* broken down: the caller's error estimate decides */
        }
    }
    return round;
}

int thaw_solver_run(thaw_solver *solver, const double *b, double goal, double *y)
{
    const size_t n = solver->web->n;
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        solver->r[k] = solver->shadow[k] = (float)b[k];
        solver->p[k] = solver->v[k] = solver->y[k] = 0.0f;
    }
    int rounds = iterate(solver, goal * goal * (double)n);
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        y[k] = (double)solver->y[k];
    }
    return rounds;
}
