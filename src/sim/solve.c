#include "sim/solve.h"

#include <float.h>
#include <math.h>
#include <string.h>

#include "base/alloc.h"

#define MAX_ROUNDS 40
#define LANES 16

static float **arrays_of(thaw_solver *s, size_t i)
{
    float **all[] = {&s->y, &s->r, &s->shadow, &s->p, &s->v, &s->s, &s->t, &s->ps, &s->ss};
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
    s.meeting = thaw_allocate(1, sizeof *s.meeting, err);
    s.rows = thaw_allocate(2 * THAW_SOLVER_SUMS * (size_t)web->ny, sizeof(double), err);
    if (!s.rows || !s.meeting || thaw_multigrid_create(web, &s.mg, err) != THAW_OK) {
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
    thaw_release(solver->meeting);
    thaw_multigrid_destroy(solver->mg);
    *solver = (thaw_solver){0};
}

void thaw_solver_refresh(thaw_solver *solver)
{
    thaw_multigrid_refresh(solver->mg, solver->web);
}

void thaw_solver_set(thaw_solver *solver, const double *diagonal, const thaw_web_slope *slope)
{
    thaw_multigrid_set(solver->mg, solver->web, diagonal, slope);
}

/* Sum of a b along a row: in lanes, so that it vectorises. */
static double row_dot(size_t nx, const float *restrict a, const float *restrict b)
{
    double lanes[LANES] = {0}, sum = 0.0;
    size_t i = 0;
    for (; i + LANES <= nx; i += LANES) {
        for (size_t v = 0; v < LANES; v++) {
            lanes[v] += (double)a[i + v] * (double)b[i + v];
        }
    }
    for (; i < nx; i++) {
        sum += (double)a[i] * (double)b[i];
    }
    for (size_t v = 0; v < LANES; v++) {
        sum += lanes[v];
    }
    return sum;
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

/* What a sum over rows is made of. Every thread adds up all rows by itself, in order; two sets in turn, so that
 * nobody writes into what another still reads. */
typedef struct sums {
    double *rows[THAW_SOLVER_SUMS];
} sums;

static sums take_sums(const thaw_solver *s, int turn)
{
    const size_t ny = (size_t)s->web->ny;
    sums out;
    for (size_t i = 0; i < THAW_SOLVER_SUMS; i++) {
        out.rows[i] = s->rows + ((size_t)(turn % 2) * THAW_SOLVER_SUMS + i) * ny;
    }
    return out;
}

static double total(const thaw_solver *s, const double *rows)
{
    double sum = 0.0;
    for (size_t j = 0; j < (size_t)s->web->ny; j++) {
        sum += rows[j];
    }
    return sum;
}

/* a.b and, where d is given, a.d */
static void dots(const thaw_solver *s, thaw_team team, int turn, const float *a, const float *b, const float *d, double out[2])
{
    const size_t nx = (size_t)s->web->nx, ny = (size_t)s->web->ny;
    const sums part = take_sums(s, turn);
    for (size_t j = thaw_team_first(team, ny); j < thaw_team_end(team, ny); j++) {
        part.rows[0][j] = row_dot(nx, a + j * nx, b + j * nx);
        part.rows[1][j] = d ? row_dot(nx, a + j * nx, d + j * nx) : 0.0;
    }
    thaw_team_wait(team);
    out[0] = total(s, part.rows[0]);
    out[1] = total(s, part.rows[1]);
}

/* p = r + beta (p - omega v) */
static void turn_to(const thaw_solver *s, thaw_team team, float beta, float omega)
{
    const float *restrict r = s->r, *restrict v = s->v;
    float *restrict p = s->p;
    for (size_t k = thaw_team_first(team, s->web->n); k < thaw_team_end(team, s->web->n); k++) {
        p[k] = r[k] + beta * (p[k] - omega * v[k]);
    }
    thaw_team_wait(team);
}

/* s = r - alpha v; returns its square. */
static double first_half(const thaw_solver *s, thaw_team team, int turn, float alpha)
{
    const size_t nx = (size_t)s->web->nx, ny = (size_t)s->web->ny;
    const sums part = take_sums(s, turn);
    for (size_t j = thaw_team_first(team, ny); j < thaw_team_end(team, ny); j++) {
        const float *restrict r = s->r + j * nx, *restrict v = s->v + j * nx;
        float *restrict out = s->s + j * nx;
        for (size_t i = 0; i < nx; i++) {
            out[i] = r[i] - alpha * v[i];
        }
        part.rows[0][j] = row_dot(nx, s->s + j * nx, s->s + j * nx);
    }
    thaw_team_wait(team);
    return total(s, part.rows[0]);
}

/* y += alpha ps + omega ss, r = s - omega t; out: r.r and shadow.r */
static void second_half(const thaw_solver *s, thaw_team team, int turn, float alpha, float omega, double out[2])
{
    const size_t nx = (size_t)s->web->nx, ny = (size_t)s->web->ny;
    const sums part = take_sums(s, turn);
    for (size_t j = thaw_team_first(team, ny); j < thaw_team_end(team, ny); j++) {
        const float *restrict p = s->ps + j * nx, *restrict q = s->ss + j * nx;
        const float *restrict half = s->s + j * nx, *restrict t = s->t + j * nx;
        float *restrict y = s->y + j * nx, *restrict r = s->r + j * nx;
        for (size_t i = 0; i < nx; i++) {
            y[i] += alpha * p[i] + omega * q[i];
            r[i] = half[i] - omega * t[i];
        }
        part.rows[0][j] = row_dot(nx, s->r + j * nx, s->r + j * nx);
        part.rows[1][j] = row_dot(nx, s->r + j * nx, s->shadow + j * nx);
    }
    thaw_team_wait(team);
    out[0] = total(s, part.rows[0]);
    out[1] = total(s, part.rows[1]);
}

static void end_half_way(const thaw_solver *s, thaw_team team, float alpha)
{
    for (size_t k = thaw_team_first(team, s->web->n); k < thaw_team_end(team, s->web->n); k++) {
        s->y[k] += alpha * s->ps[k];
    }
}

/* All threads of the team go through this together and come to the same figures. */
static int iterate(const thaw_solver *s, thaw_team team, double enough)
{
    double rho = 1.0, alpha = 1.0, omega = 1.0, found[2];
    int round = 0, turn = 0;
    dots(s, team, turn++, s->r, s->r, s->shadow, found);
    /* At least once: what an earlier step leaves as a first guess would drain cells that are dry. */
    while (round < MAX_ROUNDS && (found[0] > enough || (round == 0 && found[0] > 0.0))) {
        const double beta = found[1] / rho * (alpha / omega);
        rho = found[1];
        turn_to(s, team, (float)beta, (float)omega);
        thaw_multigrid_apply(s->mg, team, s->p, s->ps, s->v);
        dots(s, team, turn++, s->shadow, s->v, NULL, found);
        alpha = rho / found[0];
        round++;
        if (!(fabs(alpha) <= (double)FLT_MAX)) {
            break; /* so little is missing that its products are nought in single precision: dry cloth in dry air */
        }
        if (first_half(s, team, turn++, (float)alpha) <= enough) {
            end_half_way(s, team, (float)alpha);
            break;
        }
        thaw_multigrid_apply(s->mg, team, s->s, s->ss, s->t);
        dots(s, team, turn++, s->t, s->t, s->s, found);
        omega = found[0] > 0.0 ? found[1] / found[0] : 0.0;
        second_half(s, team, turn++, (float)alpha, (float)omega, found);
        if (!(rho != 0.0 && omega != 0.0)) {
            break; /* broken down: the caller's error estimate decides */
        }
    }
    return round;
}

int thaw_solver_run(thaw_solver *solver, const double *b, double goal, double *y)
{
    const size_t n = solver->web->n;
    const double enough = goal * goal * (double)n;
    int rounds = 0;
#pragma omp parallel
    {
        const thaw_team team = thaw_team_here(solver->meeting);
        const size_t first = thaw_team_first(team, n), end = thaw_team_end(team, n);
        for (size_t k = first; k < end; k++) {
            solver->r[k] = solver->shadow[k] = (float)b[k];
            solver->p[k] = solver->v[k] = solver->y[k] = 0.0f;
        }
        thaw_team_wait(team);
        const int mine = iterate(solver, team, enough);
        thaw_team_wait(team);
        if (team.rank == 0) {
            rounds = mine;
        }
        for (size_t k = first; k < end; k++) {
            y[k] = (double)solver->y[k];
        }
    }
    return rounds;
}
