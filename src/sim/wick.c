#include "sim/wick.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "base/alloc.h"

#define GAMMA 1.7071067811865475
/* du/ds of very dry cloth is as good as zero; this keeps the diagonal finite. */
#define LEAST_SLOPE 1e-9
/* A single cell may err by so many times the tolerance of the mean. */
#define WORST_TO_RMS 40.0
/* Corrections of a stage in single precision. */
#define MOST_PASSES 3
/* A step is done again with exits shut, so many times, where more comes out of the tub than this share of what goes
 * there, or into any cell more than this share of its pores; what comes into cells that are shut then. Chosen: shutting
 * down to 1e-3 of the pores left the same dye in the tub to 0.1 %, and cost up to twice the rounds. */
#define MOST_SHUTS 3
#define BACK_SHARE 0.02
#define BACK_MOST 0.25
#define BACK_SHUT 0.01
/* A calm step that is longer than the one before by more than this starts anew: at 1 + sqrt 2 the formula turns unstable. */
#define LONGEST_RATIO 1.5

thaw_status thaw_wick_create(const thaw_retention *retention, const thaw_web *web,
                             const double *volume_m, thaw_wick *out, thaw_error *err)
{
    thaw_wick w = {.retention = retention, .web = web, .volume_m = volume_m, .solver_tolerance = 1e-4};
    double **arrays[] = {&w.u, &w.p, &w.k, &w.spill, &w.lean, &w.diagonal, &w.rhs, &w.y1, &w.y2, &w.correction, &w.rate, &w.trial,
                         &w.gx, &w.gy, &w.gl, &w.fx, &w.fy, &w.fl};
    for (size_t a = 0; a < sizeof arrays / sizeof *arrays; a++) {
        if (!(*arrays[a] = thaw_allocate(web->n, sizeof(double), err))) {
            goto fail;
        }
    }
    w.drift = thaw_allocate(web->n, sizeof(float), err);
    w.shut = thaw_allocate(web->n, sizeof *w.shut, err);
    if (!w.drift || !w.shut || thaw_solver_create(web, &w.solver, err) != THAW_OK) {
        goto fail;
    }
    *out = w;
    return THAW_OK;
fail:
    thaw_wick_destroy(&w);
    return THAW_ERR_MEMORY;
}

void thaw_wick_destroy(thaw_wick *wick)
{
    double *arrays[] = {wick->u, wick->p, wick->k, wick->spill, wick->lean, wick->diagonal, wick->rhs, wick->y1, wick->y2, wick->correction, wick->rate,
                        wick->trial, wick->gx, wick->gy, wick->gl, wick->fx, wick->fy, wick->fl};
    for (size_t a = 0; a < sizeof arrays / sizeof *arrays; a++) {
        thaw_release(arrays[a]);
    }
    thaw_release(wick->shut);
    thaw_release(wick->drift);
    thaw_solver_destroy(&wick->solver);
    *wick = (thaw_wick){0};
}

void thaw_wick_refresh(thaw_wick *wick)
{
    thaw_solver_refresh(&wick->solver);
}

/* Stage fluxes into gx, gy, gl at saturation s. */
static void stage_flux(thaw_wick *w, const double *s)
{
    thaw_retention_evaluate(w->retention, w->web->n, s, w->u, w->p, w->k);
    thaw_web_flux(w->web, s, w->u, w->p, w->k, w->gx, w->gy, w->gl);
    if (w->any_shut) {
#pragma omp parallel for schedule(static)
        for (size_t k = 0; k < w->web->n; k++) {
            w->gl[k] = w->shut[k] ? 0.0 : w->gl[k];
        }
    }
}

/* Jacobian at s: diagonal V / (du/ds gamma dt), slopes of gravity and run-off. A Jacobian that is
 * too large costs accuracy in one step, one that is too small stability. Needs p of the state. */
static void set_jacobian(thaw_wick *w, const double *s, bool calm, double gamma_dt)
{
    const size_t n = w->web->n;
    const double lean = 0.5 * (3.0 * w->retention->lambda + 2.0);
    /* A cell that fills within the step conducts as a fuller one: take the slope half way to its
     * fullest neighbour, else it overshoots. In calm water none fills. */
    if (!calm) {
        thaw_web_lift(w->web, s, w->trial);
    }
    const double *at = calm ? s : w->trial;
    thaw_retention_slope(w->retention, n, at, w->rate);
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        double per_y = w->volume_m[k] / fmax(w->rate[k], LEAST_SLOPE);
        w->lean[k] = s[k] < 1.0 ? lean / w->p[k] : 0.0;
        const double over = at[k] - w->web->full[k];
        const double steep = thaw_web_excess_slope(over) + thaw_web_deep_slope(w->volume_m[k] * over);
        w->spill[k] = w->web->volume_m && !w->shut[k] ? w->web->spill_per_s * per_y * steep : 0.0;
        w->diagonal[k] = per_y / gamma_dt;
    }
    const thaw_web_slope slope = {w->lean, w->spill};
    thaw_solver_set(&w->solver, w->diagonal, &slope);
}

static void scale(size_t n, double factor, double *restrict a)
{
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        a[k] *= factor;
    }
}

/* f += factor g on the three kinds of edge. */
static void add_fluxes(thaw_wick *w, double factor)
{
    const double *from[] = {w->gx, w->gy, w->gl};
    double *to[] = {w->fx, w->fy, w->fl};
    for (int e = 0; e < 3; e++) {
        const double *restrict g = from[e];
        double *restrict f = to[e];
#pragma omp parallel for schedule(static)
        for (size_t k = 0; k < w->web->n; k++) {
            f[k] += factor * g[k];
        }
    }
}

static void copy_fluxes(thaw_wick *w, double factor)
{
    const double *from[] = {w->gx, w->gy, w->gl};
    double *to[] = {w->fx, w->fy, w->fl};
    for (int e = 0; e < 3; e++) {
        const double *restrict g = from[e];
        double *restrict f = to[e];
#pragma omp parallel for schedule(static)
        for (size_t k = 0; k < w->web->n; k++) {
            f[k] = factor * g[k];
        }
    }
}

/* (V k - gamma dt (J y)) / gamma dt for the fluxes so far in gx, gy, gl; what rhs then lacks of 0 is the residual
 * of y, in double precision. less: NULL, or what to take off twice. */
static double residual(thaw_wick *w, double gamma_dt, const double *source, const double *less, const double *y)
{
    const size_t n = w->web->n;
    thaw_web_gather(w->web, w->gx, w->gy, w->gl, source, w->rhs);
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        const double rate = less ? w->rhs[k] - 2.0 * less[k] : w->rhs[k];
        w->rhs[k] = rate / gamma_dt - w->diagonal[k] * y[k];
    }
    return sqrt(thaw_solver_square(&w->solver, w->rhs) / (double)n);
}

/* Solve k = F + gamma dt J k for y = slope k, from what y holds. gx, gy, gl hold F and become the stage's
 * fluxes. The solver works in single precision on what is missing, more than once if it is asked for much. */
static int solve_stage(thaw_wick *w, double gamma_dt, double dt_s, const double *source, const double *less, double *y)
{
    const size_t n = w->web->n;
    const thaw_web_slope slope = {w->lean, w->spill};
    /* A residual r shifts the saturation by r gamma dt^2 / V. */
    const double goal = w->solver_tolerance * w->volume_m[0] / (gamma_dt * dt_s);
    int rounds = 0;
    thaw_web_linear_flux(w->web, &slope, gamma_dt, 1, y, w->gx, w->gy, w->gl);
    for (int pass = 0; pass < MOST_PASSES; pass++) {
        const double left = residual(w, gamma_dt, source, less, y), gain = THAW_SOLVER_GAIN * left;
        if (pass && left <= goal) {
            break;
        }
        rounds += thaw_solver_run(&w->solver, w->rhs, fmax(goal, gain), w->correction);
#pragma omp parallel for schedule(static)
        for (size_t k = 0; k < n; k++) {
            y[k] += w->correction[k];
        }
        thaw_web_linear_flux(w->web, &slope, gamma_dt, 1, w->correction, w->gx, w->gy, w->gl);
        if (!(gain > goal)) {
            break;
        }
    }
    return rounds;
}

/* First stage: k1 = F(s) + gamma dt J k1; rate becomes k1 V, trial becomes s + dt k1. */
static int first_stage(thaw_wick *w, double dt_s, const double *s, const double *source)
{
    const size_t n = w->web->n;
    stage_flux(w, s);
    set_jacobian(w, s, false, GAMMA * dt_s);
    int rounds = solve_stage(w, GAMMA * dt_s, dt_s, source, NULL, w->y1);
    thaw_web_gather(w->web, w->gx, w->gy, w->gl, source, w->rate);
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        w->trial[k] = s[k] + dt_s * w->rate[k] / w->volume_m[k];
    }
    copy_fluxes(w, 0.5);
    return rounds;
}

/* Second stage: k2 = F(s + dt k1) - 2 k1 + gamma dt J k2. */
static int second_stage(thaw_wick *w, double dt_s, const double *source)
{
    stage_flux(w, w->trial);
    int rounds = solve_stage(w, GAMMA * dt_s, dt_s, source, w->rate, w->y2);
    add_fluxes(w, 0.5);
    return rounds;
}

/* Over-full is over-full: how far matters little and follows at once. */
static inline double up_to_full(double s)
{
    return s < 1.0 ? s : 1.0;
}

/* Largest |a|, by rows. */
static double largest(thaw_wick *w, const double *a)
{
    const size_t nx = (size_t)w->web->nx;
    double worst = 0.0;
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < w->web->n; row += nx) {
        double most = 0.0;
        for (size_t i = 0; i < nx; i++) {
            most = fabs(a[row + i]) > most ? fabs(a[row + i]) : most;
        }
        w->solver.rows[row / nx] = most;
    }
    for (size_t j = 0; j < (size_t)w->web->ny; j++) {
        worst = w->solver.rows[j] > worst ? w->solver.rows[j] : worst;
    }
    return worst;
}

static double size_of(thaw_wick *w, const double *difference)
{
    const double rms = sqrt(thaw_solver_square(&w->solver, difference) / (double)w->web->n);
    return fmax(rms, largest(w, difference) / WORST_TO_RMS);
}

static inline double from_tub(const thaw_wick *w, size_t k)
{
    return w->web->below && w->web->below[k] < 0 ? fmax(0.0, -w->fl[k]) : 0.0;
}

/* Water falls into the tub and does not come back. The flow over a brim is linear within a stage, so a lowest cell that
 * its neighbours draw below its brim would be fed out of the tub, and would feed them. Is that more than a trifle? */
static int is_fed_back(thaw_wick *w)
{
    const size_t nx = (size_t)w->web->nx, ny = (size_t)w->web->ny;
    double *rows_back = w->solver.rows, *rows_out = rows_back + ny, back = 0.0, out = 0.0, most = 0.0;
#pragma omp parallel for schedule(static) reduction(max : most)
    for (size_t j = 0; j < ny; j++) {
        double came = 0.0, went = 0.0;
        for (size_t k = j * nx; w->web->below && k < (j + 1) * nx; k++) {
            const double from = from_tub(w, k);
            came += from;
            went += w->web->below[k] < 0 ? from + w->fl[k] : 0.0;
            most = fmax(most, from / w->volume_m[k]);
        }
        rows_back[j] = came;
        rows_out[j] = went;
    }
    for (size_t j = 0; j < ny; j++) {
        back += rows_back[j];
        out += rows_out[j];
    }
    return most > BACK_MOST || back > BACK_SHARE * out;
}

/* Cells that get any now keep shut for the rest of the step. Returns whether there were some. */
static int shut_exits(thaw_wick *w)
{
    int some = 0;
#pragma omp parallel for schedule(static) reduction(| : some)
    for (size_t k = 0; k < w->web->n; k++) {
        const int back = from_tub(w, k) > BACK_SHUT * w->volume_m[k];
        w->shut[k] |= (uint8_t)back;
        some |= back;
    }
    w->any_shut |= some;
    return some;
}

/* What still comes back is kept out; correction becomes what each cell lacks by it, which counts as an error. */
static void keep_out(thaw_wick *w)
{
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < w->web->n; k++) {
        const double back = from_tub(w, k);
        w->fl[k] += back;
        w->correction[k] = back / w->volume_m[k];
    }
}

static void open_exits(thaw_wick *w)
{
    memset(w->shut, 0, w->web->n);
    w->any_shut = 0;
}

/* Both stages, and the flows over the step. */
static int take_stages(thaw_wick *w, double dt_s, const double *s, const double *source)
{
    int rounds = first_stage(w, dt_s, s, source);
    rounds += second_stage(w, dt_s, source);
    scale(w->web->n, dt_s, w->fx);
    scale(w->web->n, dt_s, w->fy);
    scale(w->web->n, dt_s, w->fl);
    return rounds;
}

int thaw_wick_step(thaw_wick *wick, double dt_s, const double *s, const double *source, double *s_new,
                   double *error)
{
    const size_t n = wick->web->n;
    open_exits(wick);
    int rounds = take_stages(wick, dt_s, s, source);
    for (int pass = 0; pass < MOST_SHUTS && is_fed_back(wick) && shut_exits(wick); pass++) {
        rounds += take_stages(wick, dt_s, s, source);
    }
    keep_out(wick);
    thaw_web_gather(wick->web, wick->fx, wick->fy, wick->fl, NULL, wick->rhs);
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        s_new[k] = s[k] + (wick->rhs[k] + dt_s * source[k]) / wick->volume_m[k];
        wick->rate[k] = fabs(up_to_full(s_new[k]) - up_to_full(wick->trial[k])) + wick->correction[k];
    }
    *error = size_of(wick, wick->rate);
    return rounds;
}

/* g = keep g + more f on the three kinds of edge. */
static void blend_fluxes(thaw_wick *w, double keep, double more)
{
    const double *from[] = {w->fx, w->fy, w->fl};
    double *to[] = {w->gx, w->gy, w->gl};
    for (int e = 0; e < 3; e++) {
        const double *restrict f = from[e];
        double *restrict g = to[e];
#pragma omp parallel for schedule(static)
        for (size_t k = 0; k < w->web->n; k++) {
            g[k] = keep * g[k] + more * f[k];
        }
    }
}

/* With r = dt / dt before: s' - s = r^2 / (1 + 2 r) (s - s before) + (1 + r) / (1 + 2 r) dt F(s'), written in fluxes. */
int thaw_wick_calm_step(thaw_wick *wick, double dt_s, const double *s, const double *source, double *s_new, double *error)
{
    const size_t n = wick->web->n;
    const double r = wick->before_s > 0.0 && dt_s <= LONGEST_RATIO * wick->before_s ? dt_s / wick->before_s : 0.0;
    const double gamma = (1.0 + r) / (1.0 + 2.0 * r);
    open_exits(wick);
    stage_flux(wick, s);
    set_jacobian(wick, s, true, gamma * dt_s);
    blend_fluxes(wick, gamma, r * r / ((1.0 + 2.0 * r) * dt_s));
    const int rounds = solve_stage(wick, gamma * dt_s, dt_s, source, NULL, wick->y1);
    copy_fluxes(wick, dt_s);
    keep_out(wick);
    thaw_web_gather(wick->web, wick->fx, wick->fy, wick->fl, NULL, wick->rhs);
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        s_new[k] = s[k] + (wick->rhs[k] + dt_s * source[k]) / wick->volume_m[k];
    }
    *error = size_of(wick, wick->correction);
    return rounds;
}

/* What over-full cloth holds counts by the suction that it takes off. */
static inline double pressed(double s, double film_slope)
{
    return s < 1.0 ? s : 1.0 + film_slope * (s - 1.0);
}

double thaw_wick_departure(thaw_wick *wick, double dt_s, const double *s, const double *s_new)
{
    const double slope = wick->retention->film_slope;
    if (!(wick->before_s > 0.0)) {
        return INFINITY;
    }
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < wick->web->n; k++) {
        const double led = s[k] + dt_s * (double)wick->drift[k];
        wick->rate[k] = 0.5 * (pressed(s_new[k], slope) - pressed(led, slope));
    }
    return size_of(wick, wick->rate);
}

void thaw_wick_note(thaw_wick *wick, double dt_s, const double *s, const double *s_new)
{
    const double per_s = 1.0 / dt_s;
    wick->before_s = dt_s;
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < wick->web->n; k++) {
        wick->drift[k] = (float)(per_s * (s_new[k] - s[k]));
    }
}
