/* Brooks-Corey cloth in dimensionless form: suction head psi = h_e p(s), conductivity K = K_s k(s),
 * matric flux potential Phi = integral of K over psi = K_s h_e u(s) (Brooks & Corey 1964).
 *   e = s^(1/lambda), p = 1/e, k = s^3 e^2, u = s^3 e / (3 lambda + 1), du/ds = s^2 e / lambda.
 * Over-full cloth (s > 1) holds water in films and in the gaps between folds, which fill as psi falls from h_e to
 * nothing: p = 1 - slope (s - 1), k = 1. e(s) comes from a cubic Hermite table, exact at its nodes. */
#ifndef THAW_SIM_RETENTION_H
#define THAW_SIM_RETENTION_H

#include <stddef.h>

#include "thawprint/status.h"

#define THAW_RETENTION_NODES 1024
/* Below this the cloth counts as dry: nothing flows, and p stays finite. */
#define THAW_DRY_SATURATION 1e-3
/* Cloth as dry as the air of a room. Part of what it keeps stands in the pores of the model: fronts into cloth that is
 * drier still take the solver many steps. */
#define THAW_AIR_DRY_SATURATION 0.02

/* du/ds above s = 1, where nothing better is known. The engine takes V over the water between the folds: see runoff.h. */
#define THAW_FILM_SLOPE 0.3

typedef struct thaw_retention {
    double lambda;
    double u_full;                 /* u(1) */
    double film_slope;             /* du/ds above 1: THAW_FILM_SLOPE unless changed after init */
    double table[THAW_RETENTION_NODES + 1][4]; /* cubic coefficients of e on each interval */
} thaw_retention;

void thaw_retention_init(thaw_retention *retention, double lambda);

/* u, p and k for n cells. */
void thaw_retention_evaluate(const thaw_retention *retention, size_t n, const double *restrict s,
                             double *restrict u, double *restrict p, double *restrict k);
/* du/ds for n cells. */
void thaw_retention_slope(const thaw_retention *retention, size_t n, const double *restrict s,
                          double *restrict slope);

#endif
