/* Ice melting on the bundle: heat to every piece, what melts, what drips.
 * Heat to a piece at 0 C: radiation and room air by the area seen from above and by its sides where
 * nothing lies beside it, and the cloth it rests on. Covering is by squares of the tray, from above down: a piece gets
 * what those above leave open, so shading never makes area. */
#ifndef THAW_SIM_MELT_H
#define THAW_SIM_MELT_H

#include "model/cover.h"
#include "model/heap.h"
#include "sim/warmth.h"
#include "sim/weather.h"

typedef struct thaw_melt {
    const thaw_heap *heap;
    thaw_cover cover;              /* own */
    double *mass_kg, *cold_j;      /* own, n: what is left; heat still needed to reach 0 C (>= 0) */
    double *loses_kg_s;            /* own, n: in the last step */
    double *middle_kg;             /* own, n: what will be left in the middle of the step, by that */
    double *radius_m;              /* own, n: of the disc seen from above in the middle of the step, 0 when gone */
    double *exposed_m2, *facing_m2; /* own, n: plan area seen from above; resting on cloth */
    double *contact_w_k;           /* own, n */
    double *heat_j;                /* own, n: contact heat offered in the step */
    double *pour_j;                /* own, n: heat of liquid poured on in the step, set by the engine; NULL where none is */
    double *released_kg;           /* own, n: melt and condensate let go in the step */
    double *open;                  /* own, squares: open share, smoothed over a piece and its surroundings */
    double *spare;                 /* own, squares */
    double bundle_thickness_m;
    double left_kg, melted_kg, condensed_kg; /* left: of what has been laid on */
    double later_kg, added_s;      /* still to be laid on; what was due by then has been */
    double laid_s;                 /* when ice was last laid on */
    double last_share;             /* part of the step after which none was left of the pieces that ended in it */
    double height_m, lone;         /* of the heap that is left: mean height; 1 single pieces .. 0 pieces on pieces */
} thaw_melt;

thaw_status thaw_melt_create(const thaw_heap *heap, const thaw_bundle *bundle, const thaw_warmth *warmth,
                             thaw_melt *out, thaw_error *err);
void thaw_melt_destroy(thaw_melt *melt);
/* Lay on what is due at t_s. */
void thaw_melt_add(thaw_melt *melt, double t_s);
/* When the next ice is due after t_s; HUGE_VAL if none is. */
double thaw_melt_next_s(const thaw_melt *melt, double t_s);
/* Covering of the tray and contact with the cloth for the ice that is left in the middle of the dt_s to come; sets open
 * and contact in warmth. Call before thaw_warmth_step. */
thaw_status thaw_melt_cover(thaw_melt *melt, thaw_warmth *warmth, double dt_s, thaw_error *err);
/* dt_s of melting with the cloth as thaw_warmth_step left it; heat the ice could not use goes back. */
void thaw_melt_step(thaw_melt *melt, thaw_warmth *warmth, const thaw_weather *weather, double dt_s,
                    thaw_heat_ledger *ledger);

#endif
