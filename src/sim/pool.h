/* Water that stands round the work in a tub, a colander or a bucket. What runs off the cloth gathers there, and
 * a drain may let it go again. Cloth below the level is kept full and exchanges dye, soda ash and heat with it:
 * the deeper a cell lies between other layers, the more slowly. The standing water is mixed. All of it is part
 * of what the books call the tub; what the cloth takes back is taken from there.
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
    double dye_kg[THAW_MAX_COMPONENTS], soda_kg;
    /* What the books of the tub said when the pool last looked. */
    double seen_kg, seen_j, seen_dye_kg[THAW_MAX_COMPONENTS], seen_soda_kg;
    double thickness_m;            /* of the cloth */
    double cell_m2;
    int n_bins;
    double *cells;                 /* own, n_bins: cells that lie so high, for the level */
} thaw_pool;

thaw_status thaw_pool_create(const thaw_specification *spec, const thaw_bundle *bundle, thaw_pool *out, thaw_error *err);
void thaw_pool_destroy(thaw_pool *pool);
/* Height at which water_m3 stands round the cloth, above the bottom. */
double thaw_pool_level_m(const thaw_pool *pool, double water_m3);

/* dt_s of draining, wetting the cloth below the level (adds to engine->source) and exchange. */
struct thaw_engine;
void thaw_pool_step(struct thaw_engine *engine, double dt_s);

#endif
