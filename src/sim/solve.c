#include "sim/solve.h"

#include <string.h>

#include "base/alloc.h"

#define MAX_ROUNDS 40

thaw_status thaw_solver_create(const thaw_web *web, thaw_solver *out, thaw_error *err)
{
    thaw_solver s = {.web = web};
    double **arrays[] = {&s.r, &s.shadow, &s.p, &s.v, &s.s, &s.t, &s.ps, &s.ss, &s.hx, &s.hy, &s.hl};
    for (size_t a = 0; a < sizeof arrays / sizeof *arrays; a++) {
        if (!(*arrays[a] = thaw_allocate(web->n, sizeof(double), err))) {
            goto fail;
        }
    }
    s.rows = thaw_allocate((size_t)web->ny, sizeof(double), err);
    if (!s.rows || thaw_multigrid_create(web, &s.mg, err) != THAW_OK) {
        goto fail;
    }
    *out = s;
    return THAW_OK;
fail:
    thaw_solver_destroy(&s);
    return THAW_ERR_MEMORY;
}

void thaw_solver_destroy(thaw_solver *solver)
{
    double *arrays[] = {solver->r, solver->shadow, solver->p, solver->v, solver->s, solver->t, solver->ps,
                        solver->ss, solver->hx, solver->hy, solver->hl};
    for (size_t a = 0; a < sizeof arrays / sizeof *arrays; a++) {
        thaw_release(arrays[a]);
    }
    thaw_release(solver->rows);
    thaw_multigrid_destroy(solver->mg);
    *solver = (thaw_solver){0};
}

double thaw_solver_dot(thaw_solver *solver, const double *a, const double *b)
{
    const size_t nx = (size_t)solver->web->nx, ny = (size_t)solver->web->ny;
    double *rows = solver->rows;
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < ny; j++) {
        double lanes[8] = {0};
        const double *ra = a + j * nx, *rb = b + j * nx;
        size_t i = 0;
        for (; i + 8 <= nx; i += 8) {
            for (int v = 0; v < 8; v++) {
                lanes[v] += ra[i + (size_t)v] * rb[i + (size_t)v];
            }
        }
        double sum = 0.0;
        for (; i < nx; i++) {
            sum += ra[i] * rb[i];
        }
        for (int v = 0; v < 8; v++) {
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

/* out = (diagonal + linearised web) y */
static void multiply(thaw_solver *s, const double *diagonal, const thaw_web_slope *slope, const double *y, double *out)
{
    const size_t n = s->web->n;
    thaw_web_linear_flux(s->web, slope, 1.0, 0, y, s->hx, s->hy, s->hl);
    thaw_web_gather(s->web, s->hx, s->hy, s->hl, NULL, out);
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        out[k] = diagonal[k] * y[k] - out[k];
    }
}

/* p = r + beta (p - omega v) */
static void turn(size_t n, const double *restrict r, double beta, double omega, const double *restrict v,
                 double *restrict p)
{
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        p[k] = r[k] + beta * (p[k] - omega * v[k]);
    }
}

/* out = a + scale b */
static void combine(size_t n, const double *restrict a, double scale, const double *restrict b, double *restrict out)
{
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        out[k] = a[k] + scale * b[k];
    }
}

static void add_both(size_t n, double alpha, const double *restrict p, double omega, const double *restrict s,
                     double *restrict y)
{
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        y[k] += alpha * p[k] + omega * s[k];
    }
}

int thaw_solver_run(thaw_solver *solver, const double *diagonal, const thaw_web_slope *slope, const double *b,
                    double goal, double *y)
{
    const size_t n = solver->web->n;
    double *r = solver->r, *p = solver->p, *v = solver->v, *s = solver->s, *t = solver->t;
    double rho = 1.0, alpha = 1.0, omega = 1.0;
    int round = 0;
    multiply(solver, diagonal, slope, y, v);
    combine(n, b, -1.0, v, r);
    memcpy(solver->shadow, r, n * sizeof *r);
    memset(p, 0, n * sizeof *p);
    memset(v, 0, n * sizeof *v);
    const double enough = goal * goal * (double)n;
    double left = thaw_solver_dot(solver, r, r);
    while (round < MAX_ROUNDS && left > enough) {
        double rho_next = thaw_solver_dot(solver, solver->shadow, r);
        turn(n, r, rho_next / rho * (alpha / omega), omega, v, p);
        rho = rho_next;
        thaw_multigrid_apply(solver->mg, p, solver->ps);
        multiply(solver, diagonal, slope, solver->ps, v);
        alpha = rho / thaw_solver_dot(solver, solver->shadow, v);
        combine(n, r, -alpha, v, s);
        thaw_multigrid_apply(solver->mg, s, solver->ss);
        multiply(solver, diagonal, slope, solver->ss, t);
        double tt = thaw_solver_dot(solver, t, t);
        omega = tt > 0.0 ? thaw_solver_dot(solver, t, s) / tt : 0.0;
        add_both(n, alpha, solver->ps, omega, solver->ss, y);
        combine(n, s, -omega, t, r);
        left = thaw_solver_dot(solver, r, r);
        round++;
        if (!(rho != 0.0 && omega != 0.0)) {
            break; /* broken down: the caller's error estimate decides */
        }
    }
    return round;
}
