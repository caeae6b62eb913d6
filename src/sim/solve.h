/* Preconditioned BiCGStab (van der Vorst 1992) for (diagonal + linearised web) y = b; gravity and
 * run-off make it unsymmetric. The preconditioner is one multigrid cycle for the symmetric part. */
#ifndef THAW_SIM_SOLVE_H
#define THAW_SIM_SOLVE_H

#include "sim/multigrid.h"
#include "sim/web.h"

typedef struct thaw_solver {
    const thaw_web *web;
    thaw_multigrid *mg;            /* own */
    double *r, *shadow, *p, *v, *s, *t, *ps, *ss; /* own, n */
    double *hx, *hy, *hl;          /* own, n: edge flows of a product */
    double *rows;                  /* own, ny: sums by row, so that the bits do not depend on threads */
} thaw_solver;

thaw_status thaw_solver_create(const thaw_web *web, thaw_solver *out, thaw_error *err);
void thaw_solver_destroy(thaw_solver *solver);
/* y holds the first guess and the answer; stops when the root mean square of the residual is at most
 * `goal` or after 40 rounds. The
 * multigrid must have been given its diagonal. Returns the number of rounds. */
int thaw_solver_run(thaw_solver *solver, const double *diagonal, const thaw_web_slope *slope, const double *b,
                    double goal, double *y);
/* Sum of a[k] b[k], same bits at any number of threads. */
double thaw_solver_dot(thaw_solver *solver, const double *a, const double *b);

#endif
