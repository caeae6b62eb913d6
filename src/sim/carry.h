/* One solute carried by water in the folded cloth:
 *   dM/dt = - sum over edges (q c + D exchange) + source,   c = M / capacity,
 * capacity = liquid + what sorbs at the same c, per area (m3/m2), so retardation comes out by
 * itself. In plane: upwind with a van Leer limited second-order correction for time and space
 * (flux-limited Lax-Wendroff), stable while the water leaving a cell in a step stays below its
 * capacity. Each direction starts from the concentration that flow in the other would leave after half
 * a step (Lin & Rood 1996, Mon. Weather Rev. 124, 2046, with first-order upwind inside): without it oblique
 * flow is first order. No cell gives away more than it has. Proof: convergence/carry_test. Between layers and to the tub: upwind. Flows are computed in single
 * precision and what leaves one cell enters the next to the last bit, so amounts (double) are kept
 * to rounding. Explicit; the caller chooses the step by thaw_carry_courant. */
#ifndef THAW_SIM_CARRY_H
#define THAW_SIM_CARRY_H

#include "sim/web.h"

typedef struct thaw_carry_edges {
    const float *fx, *fy, *fl;     /* water across each edge in the step, m (a to b) */
    const float *dx, *dy, *dl;     /* exchange in the step for unit diffusivity, s/m: liquid / distance^2 x dt */
    float diffusivity_m2_s;        /* of this solute at 20 C; warmth is in dx, dy, dl */
} thaw_carry_edges;

typedef struct thaw_spate thaw_spate;

/* Largest (water leaving + diffusive exchange) / capacity over the cells. inverse: 1 / capacity. leaving: scratch of n. */
double thaw_carry_courant(const thaw_web *web, const thaw_carry_edges *edges,
                          const float *restrict inverse, float *restrict leaving, double *restrict rows);

/* The same in two: what many solutes share, once (water leaving a cell, exchange for unit diffusivity; n each), and
 * the Courant number of one of them, for each cell in ratio, and the largest. */
void thaw_carry_leaving(const thaw_web *web, const thaw_carry_edges *edges, float *restrict water, float *restrict spread);
double thaw_carry_courant_of(const thaw_web *web, float diffusivity_m2_s, const float *restrict water,
                             const float *restrict spread, const float *restrict inverse, float *restrict ratio,
                             double *restrict rows);

/* Scratch of n each: concentration, what cells give away, flows; rows: one a row. */
typedef struct thaw_carry_work {
    float *c, *giving, *gx, *gy, *gl;
    double *rows;
} thaw_carry_work;

/* M after the step; what leaves the lowest layer is added to *tub (sum over cells, per area). `share` of the edge water
 * (1/number of sub-steps) is used. inverse = 1 / capacity at the start of the step, so that an even concentration stays
 * even while cells fill or empty. spate: cells that are carried in shorter steps, see sim/spate.h; NULL for none. */
void thaw_carry_part(const thaw_web *web, const thaw_carry_edges *edges, double share, const float *restrict inverse,
                     double *restrict mobile, const thaw_carry_work *work, thaw_spate *spate, double *tub);
/* The same with no cell in spate. */
void thaw_carry_step(const thaw_web *web, const thaw_carry_edges *edges, double share, const float *restrict inverse,
                     double *restrict mobile, const thaw_carry_work *work, double *tub);

#endif
