/* One time step of water in the folded cloth:
 *   V ds/dt = sum over edges of inflow + source,   edges as in sim/web.h.
 * ROS2 (Verwer, Spee, Blom & Hundsdorfer 1999), gamma = 1 + 1/sqrt(2), two stages, L-stable, second
 * order for any approximate Jacobian. Nothing comes back out of the tub: a cell that rests on none has no negative
 * flow down. The step is taken from the edge fluxes themselves, so water is
 * kept to rounding whatever the tolerance of the solver. */
#ifndef THAW_SIM_WICK_H
#define THAW_SIM_WICK_H

#include "sim/retention.h"
#include "sim/solve.h"
#include "sim/web.h"

typedef struct thaw_wick {
    const thaw_retention *retention;
    const thaw_web *web;
    const double *volume_m;        /* V, pore volume per area, n */
    double solver_tolerance;       /* rms error of saturation that the solver may leave in a stage */
    thaw_solver solver;            /* own */
    double *u, *p, *k;             /* own scratch, n */
    double *spill, *lean;          /* own: slope of the web, n */
    double *diagonal, *rhs, *y1, *y2, *correction, *rate, *trial;
    uint8_t *shut;                 /* own, n: lowest cell whose surplus its neighbours draw away: lets nothing go in this step */
    int any_shut;
    double *gx, *gy, *gl;          /* fluxes of a stage */
    float *drift;                  /* own: change of s per second in the step noted last */
    double before_s;               /* its length; 0: none that counts */
    double *fx, *fy, *fl;          /* own: result, water over the step across each edge, m */
} thaw_wick;

thaw_status thaw_wick_create(const thaw_retention *retention, const thaw_web *web,
                             const double *volume_m, thaw_wick *out, thaw_error *err);
void thaw_wick_destroy(thaw_wick *wick);

/* From s over dt_s to s_new; source in m/s (n). Edge water in wick->fx, fy, fl. *error is the root
 * mean square of the difference to the embedded first-order step, in saturation (a fortieth of the
 * largest, if that is more). Returns rounds of
 * the linear solver. s and s_new must differ. */
int thaw_wick_step(thaw_wick *wick, double dt_s, const double *s, const double *source, double *s_new,
                   double *error);
/* The same in one stage, by the second backward differentiation formula with variable steps (Euler's at first), linearised
 * at s: for calm water. Starts from the fluxes of the step before, which stand in wick->fx, fy, fl. *error is only
 * what had to be kept from coming out of the tub; see thaw_wick_departure. */
int thaw_wick_calm_step(thaw_wick *wick, double dt_s, const double *s, const double *source, double *s_new,
                        double *error);
/* Half of how far s_new lies from where the step noted last led, as an error (see thaw_wick_step), with over-full cloth by
 * its suction; infinite where none was noted. */
double thaw_wick_departure(thaw_wick *wick, double dt_s, const double *s, const double *s_new);
/* A step of dt_s from s to s_new counts. */
void thaw_wick_note(thaw_wick *wick, double dt_s, const double *s, const double *s_new);
/* Tell the solver that the web's conductances have changed. */
void thaw_wick_refresh(thaw_wick *wick);

#endif
