/* Where melt goes: down from piece to piece at drip points that stay where they are until a third of
 * the diameter is gone, and from the lowest onto the cloth. What falls on a piece, water or powder, leaves
 * it at the drip point nearest to where it fell; powder dissolves in the water that passes and goes along. */
#ifndef THAW_SIM_DRIP_H
#define THAW_SIM_DRIP_H

#include "model/bundle.h"
#include "model/dye_list.h"
#include "sim/melt.h"
#include "sim/splash.h"

typedef struct thaw_drip {
    const thaw_heap *heap;
    const thaw_bundle *bundle;
    const thaw_dye_list *dyes;
    uint64_t seed;
    int n_points;
    int *first_point;              /* own, n + 1: points of each entry */
    int *epoch;                    /* own, n: how often its points were drawn */
    double *epoch_kg;              /* own, n: mass when drawn */
    double *px, *py, *share;       /* own, points: place in units of the radius; share of the flow */
    double *flow_kg;               /* own, points: water that leaves there in the step */
    int n_powders;                 /* the dyes, and soda ash where it is sprinkled */
    double *powder_kg[THAW_MAX_POWDERS]; /* own, points: still dry on the piece, nearest to the point */
    double *flow_dye_kg[THAW_MAX_POWDERS]; /* own, points */
    thaw_splash splash;            /* own */
    double *pour_kg, *pour_dye_kg[THAW_MAX_POWDERS]; /* own, points: liquid to be poured on; NULL where there is none */
    double pour_share;             /* part of all liquid that comes in the step, set by the engine */
    int n_wetted;                  /* cells on which liquid comes straight */
    double dissolve_s[THAW_MAX_POWDERS], soluble_kg_kg[THAW_MAX_POWDERS];
    /* What came down in the step. */
    int n_landings, room;
    thaw_landing *landings;        /* own */
    double *landed_dye_kg[THAW_MAX_POWDERS]; /* own, room each */
    double *fallen_kg_m2[THAW_MAX_POWDERS]; /* not own: dry powder on the cloth, of the state */
    double *spilt_kg[THAW_MAX_POWDERS]; /* own, squares: dye that ran off over full cloth, by where it fell; NULL if not kept */
    const double *shed;            /* squares of the cover: share of what lands that runs off over full cloth */
    double missed_kg, missed_dye_kg[THAW_MAX_POWDERS]; /* beside the cloth or over it, summed over the run */
} thaw_drip;

thaw_status thaw_drip_create(const thaw_heap *heap, const thaw_bundle *bundle, const thaw_dye_list *dyes,
                             uint64_t seed, double *const *fallen_kg_m2, thaw_drip *out, thaw_error *err);
void thaw_drip_destroy(thaw_drip *drip);
/* Keep where dye runs off over full cloth, on the n squares of the melt's cover; who reads it empties it. */
thaw_status thaw_drip_keep_spilt(thaw_drip *drip, size_t n_squares, thaw_error *err);
/* Route what the melt released over dt_s. shed: for each square of the melt's cover the share of what
 * lands there that runs off over the wet cloth into the tub. */
void thaw_drip_step(thaw_drip *drip, const thaw_melt *melt, const double *shed, double dt_s);

#endif
