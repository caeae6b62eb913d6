/* Preconditioner for the sheet: (I - gamma J) z = r, lower triangular in (s, m, F).
 *   s: a w - gamma D1 Laplace w = r with w = s^3 z, a = s^-3: one V-cycle, single precision, cell-centred, bilinear
 *      interpolation, two damped Jacobi sweeps down and two up;
 *   m: what w moves of the dye goes to the right-hand side; upwind transport and bonding by sweeps in two colours.
 * Cell-centred multigrid from memory. */
#ifndef THAW_BENCH_SHEET_MULTIGRID_H
#define THAW_BENCH_SHEET_MULTIGRID_H

#include "sheet_problem.h"

#define SHEET_MOST_LEVELS 10

typedef struct sheet_level {
    int n;
    float *a, *w, *b, *r;          /* own, (n + 2)^2: diagonal, answer, right-hand side, scratch */
    float g;                       /* gamma D1 / dx^2 */
} sheet_level;

typedef struct sheet_multigrid {
    int n_levels;
    sheet_level level[SHEET_MOST_LEVELS];
    /* Transport of m: what comes from each neighbour per unit of its m, times gamma; 1 / diagonal. */
    float *west, *east, *north, *south, *pivot; /* own, cells */
    float *u, *c, *per_s;          /* own, (n + 2)^2: potential, concentration, 1 / s at the state */
    float *z;                      /* own, (n + 2)^2: answer for m */
    float *right;                  /* own, cells */
    double gamma;
} sheet_multigrid;

int sheet_multigrid_create(int n, sheet_multigrid *out);
void sheet_multigrid_destroy(sheet_multigrid *mg);
void sheet_multigrid_set(sheet_multigrid *mg, const sheet *p, const double *y, double gamma);
void sheet_multigrid_solve(sheet_multigrid *mg, const sheet *p, const double *r, double *z);

#endif
