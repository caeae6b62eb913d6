/* Preconditioned BiCGStab (van der Vorst 1992) for (diagonal + linearised web) y = b; gravity and
 * run-off make it unsymmetric. The preconditioner is one multigrid cycle, which brings the product with it. A round may end after its first half.
 * Single precision: the caller takes its step from fluxes, so what is left here moves a little water
 * to the wrong place but loses none. */
#ifndef THAW_SIM_SOLVE_H
#define THAW_SIM_SOLVE_H

#include "sim/multigrid.h"
#include "sim/web.h"

#define THAW_SOLVER_SUMS 2         /* sums at a time */

typedef struct thaw_solver {
    const thaw_web *web;
    thaw_multigrid *mg;            /* own */
    thaw_meeting *meeting;         /* own */
    float *y;                      /* own, n: answer */
    float *r, *shadow, *p, *v, *s, *t, *ps, *ss; /* own, n */
    double *rows;                  /* own, 2 x THAW_SOLVER_SUMS x ny: sums by row, so that the bits do not depend on threads */
} thaw_solver;

thaw_status thaw_solver_create(const thaw_web *web, thaw_solver *out, thaw_error *err);
void thaw_solver_destroy(thaw_solver *solver);
/* Take over the web's present conductances. */
void thaw_solver_refresh(thaw_solver *solver);
/* Take over a Jacobian; diagonal of n. */
void thaw_solver_set(thaw_solver *solver, const double *diagonal, const thaw_web_slope *slope);
/* The answer is y (n); stops when the root mean square of the residual is at most `goal` or after 40 rounds.
 * Single precision: ask for no more than THAW_SOLVER_GAIN of the mean square root of b at a time. Returns the
 * number of rounds. */
#define THAW_SOLVER_GAIN 1e-4
int thaw_solver_run(thaw_solver *solver, const double *b, double goal, double *y);
/* Sum of a[k]^2, same bits at any number of threads. */
double thaw_solver_square(thaw_solver *solver, const double *a);

#endif
