/* Water that stands round the work in a tub, a colander or a bucket. What runs off the cloth gathers there, and
 * a drain may let it go again. Cloth below the level is kept full and exchanges dye, soda ash and heat with it:
 * the deeper a cell lies between other layers, the more slowly. The level is one; dye and soda ash are kept by
 * basins of a few centimetres over the plan, all with the same water, which mix slowly with their neighbours, since
 * nobody stirs. All of it is part of what the books call the tub; what the cloth takes back is taken from there.
 * Left out: evaporation from the standing water, and ice that floats. */
#ifndef THAW_SIM_POOL_H
#define THAW_SIM_POOL_H

#include <stdbool.h>

#include "model/bundle.h"
#include "model/specification.h"
#include "thawprint/status.h"

typedef struct thaw_pool {
    bool is_set;                   /* false on a rack: nothing stands */
    double area_m2, drain_s;       /* of the bottom; see thaw_vessel */
    double beside_m2;              /* bottom that no cloth covers */
    double kg, energy_j, level_m;  /* standing water; energy from 0 C */
    int basins_x, basins_y, n_basins;
    int32_t *basin;                /* own, one a cell */
    int n_solutes;                 /* the dyes, then soda ash */
    double *held_kg[THAW_MAX_POWDERS]; /* own, basins: solutes */
    double *arrives[THAW_MAX_POWDERS]; /* own, basins: weights of what ran off the cloth since the last step */
    double *amount, *room, *taken; /* own, basins: scratch */
    /* What the books of the tub said when the pool last looked. */
    double seen_kg, seen_j, seen_solute_kg[THAW_MAX_POWDERS];
    double thickness_m;            /* of the cloth */
    double cell_m2;
    int n_bins;
    double *cells;                 /* own, n_bins: cells that lie so high, for the level */
} thaw_pool;

thaw_status thaw_pool_create(const thaw_specification *spec, const thaw_bundle *bundle, int n_dyes, thaw_pool *out,
                             thaw_error *err);
void thaw_pool_destroy(thaw_pool *pool);
/* Height at which water_m3 stands round the cloth, above the bottom. */
double thaw_pool_level_m(const thaw_pool *pool, double water_m3);

/* dt_s of draining, wetting the cloth below the level (adds to engine->source) and exchange. */
struct thaw_engine;
/* After an inner step: note where dye and soda ash ran off. */
void thaw_pool_note(struct thaw_engine *engine);
void thaw_pool_step(struct thaw_engine *engine, double dt_s);

#endif
