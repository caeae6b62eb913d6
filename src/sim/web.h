/* The web of neighbours in which water moves: the four in the plane of the cloth and the one that a
 * cell rests on. Every edge has a conductance; water crossing it in a second, per area of cloth, is
 *   q = g [ (u_a - u_b) + k_ab (z_a - z_b) / h_e ],   k_ab = (u_a - u_b) / (p_b - p_a),
 * so the secant conductivity k_ab makes the static profile exact.
 * In plane g = d K_s h_e / dx^2; between layers g = contact K_z h_e / d. Units m/s.
 * Water the cloth cannot hold runs down: a cell fuller than `full` loses rate x (V x excess(s - full) + deep), deep of
 * the depth V (s - full), to the cell below, or from the lowest layer to the tub. That flow is part of the edge to the
 * cell below. */
#ifndef THAW_SIM_WEB_H
#define THAW_SIM_WEB_H

#include <stddef.h>
#include <stdint.h>

#include "thawprint/status.h"

/* No cell carries more others than this: a cell of tray has only so many places beside it. */
#define THAW_WEB_ROUNDS 64

typedef struct thaw_web {
    int nx, ny;
    size_t n;
    double head_m;                 /* h_e */
    double *gx, *gy;               /* own, n: edge to the right, edge to the next row; 0 at the border */
    double *gl;                    /* own, n: edge to the cell below; 0 where there is none */
    const double *volume_m;        /* n: V, for the run-off; NULL for none */
    double *full;                  /* own, n: saturation above which water runs down, 1 unless changed */
    double spill_per_s;            /* rate of the run-off */
    const int32_t *below;          /* n, -1 where there is none */
    int32_t *onto;                 /* own, n: the cell below, or the cell itself where there is none */
    /* Links as plain lists, so that loops over them have no branches. Round r holds the r-th link that
     * arrives at a cell: within a round every cell arrives once, so threads do not meet. */
    int32_t n_links, n_rounds;
    int32_t *from, *to;            /* own, n_links: cells that rest on another, in order, and on which */
    int32_t round_start[THAW_WEB_ROUNDS + 1];
    int32_t *round_from, *round_to; /* own, n_links */
    int32_t *above_start, *above;  /* own, n + 1, n_links: cells that rest on cell k are above[above_start[k]] and on */
    double *zx, *zy, *zl;          /* own, n: (z_a - z_b) / h_e along each edge */
} thaw_web;

/* Surplus above full, with a round corner so that the flow sets in smoothly, and its slope. */
#define THAW_WEB_CORNER 0.05
static inline double thaw_web_excess(double x)
{
    double part = x * x * (0.5 / THAW_WEB_CORNER);
    return x <= 0.0 ? 0.0 : (x < THAW_WEB_CORNER ? part : x - 0.5 * THAW_WEB_CORNER);
}
static inline double thaw_web_excess_slope(double x)
{
    return x <= 0.0 ? 0.0 : (x < THAW_WEB_CORNER ? x / THAW_WEB_CORNER : 1.0);
}

/* Water that stands deeper than the gaps between folds is free and finds its way the faster the deeper it is, as over a
 * weir: more than in proportion. Depth from which it does: estimate, a gap of loosely lying cloth. */
#define THAW_WEB_DEEP_M 0.002
static inline double thaw_web_deep_m(double depth_m)
{
    const double free = depth_m - THAW_WEB_DEEP_M;
    return free > 0.0 ? free * free / THAW_WEB_DEEP_M : 0.0;
}
static inline double thaw_web_deep_slope(double depth_m)
{
    const double free = depth_m - THAW_WEB_DEEP_M;
    return free > 0.0 ? 2.0 * free / THAW_WEB_DEEP_M : 0.0;
}

/* Make a web without conductances; below may be NULL for a flat sheet. z_m may be NULL. */
thaw_status thaw_web_create(int nx, int ny, double head_m, const int32_t *below, const double *z_m,
                            thaw_web *out, thaw_error *err);
void thaw_web_destroy(thaw_web *web);
/* Water across each edge, m/s, from cell a to b (right / next row / below): fx, fy, fl of n. */
void thaw_web_flux(const thaw_web *web, const double *restrict s, const double *restrict u, const double *restrict p,
                   const double *restrict k, double *restrict fx, double *restrict fy,
                   double *restrict fl);
/* out[below] += fl over all links. */
void thaw_web_receive(const thaw_web *web, const double *restrict fl, double *restrict out);
/* out = inflow minus outflow of the edge fluxes plus source (may be NULL), per cell. */
void thaw_web_gather(const thaw_web *web, const double *restrict fx, const double *restrict fy,
                     const double *restrict fl, const double *restrict source, double *restrict out);
/* out = mean of s and the highest s among the cell and its neighbours. */
void thaw_web_lift(const thaw_web *web, const double *restrict s, double *restrict out);

/* The edges' flow linearised in y = (du/ds) ds about a state:
 *   dq = g [ (y_a - y_b) + (z_a - z_b) / h_e (m_a y_a + m_b y_b) ], and spill y_a more down,
 * m = half of dk/du = (3 lambda + 2) / (2 p), 0 where over-full. */
typedef struct thaw_web_slope {
    const double *lean;            /* n: m */
    const double *spill;           /* n: run-off per unit of y */
} thaw_web_slope;

/* f = scale dq(y), or f += scale dq(y) where `add` is set. */
void thaw_web_linear_flux(const thaw_web *web, const thaw_web_slope *slope, double scale, int add,
                          const double *restrict y, double *restrict fx, double *restrict fy, double *restrict fl);

#endif
