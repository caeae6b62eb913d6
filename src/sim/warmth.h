/* Temperature of the cloth on squares of the tray (about 8 mm): room above where no ice covers it,
 * rack and tub below, ice in contact, water coming, going and moving sideways, conduction along the
 * wet cloth. Hanging cloth has the room on both sides and no rack. Energy counts from 0 C liquid water and dry cloth; melt arrives with none. */
#ifndef THAW_SIM_WARMTH_H
#define THAW_SIM_WARMTH_H

#include <stddef.h>

#include "model/bundle.h"
#include "model/specification.h"
#include "sim/weather.h"
#include "thawprint/status.h"

/* Everything in joule, summed over the run; closes as
 *   air + condensation + radiation + below + poured = melt + cold + (cloth - cloth_start) + runoff. */
typedef struct thaw_heat_ledger {
    double air, condensation, radiation, below;
    double poured;                 /* brought by liquid dye */
    double melt, cold;             /* latent heat, and warming of the ice to 0 C */
    double cloth_start, cloth, runoff; /* runoff: in the water of the tub, with what the tub got from the room */
} thaw_heat_ledger;

typedef struct thaw_warmth {
    int nx, ny;
    size_t n;                      /* squares */
    double square_m;
    int32_t *square_of_cell;       /* own: tray square of each cloth cell */
    int32_t *square_of_tray;       /* own: of each cell of the fine tray grid */
    double *dry_j_k, *water_kg;    /* own: heat capacity of the cloth, water in it now */
    double *cloth_share;           /* own: share of the square with cloth under it */
    double *thickness_m;           /* own: of all layers */
    double *energy_j, *t_k;        /* own */
    double *hung;                  /* own: 1 where cloth hangs in the open air, else 0; NULL where none does */
    double *open;                  /* own: share not under ice, set by the melt */
    double *contact_w_k;           /* own: conductance to ice, set by the melt */
    double *dryness;               /* own: 1 wet .. 0 too dry to evaporate, set by the engine */
    double *evaporated_kg;         /* own: in the last step, negative for dew */
    double *left_kg;               /* own: water gone to the tub since the last step, set by the engine */
    double *landed_kg;             /* own: melt landed since the last step */
    double *spare;                 /* own */
} thaw_warmth;

/* Share of a square's cloth that hangs. */
static inline double thaw_warmth_hung(const thaw_warmth *w, size_t q)
{
    return w->hung ? w->hung[q] : 0.0;
}

thaw_status thaw_warmth_create(const thaw_specification *spec, const thaw_bundle *bundle, double square_m,
                               thaw_warmth *out, thaw_error *err);
void thaw_warmth_destroy(thaw_warmth *warmth);
/* Total water of each square from the cloth cells (flowing + bound), kg/m2 per cell. */
void thaw_warmth_weigh(thaw_warmth *warmth, const thaw_bundle *bundle, const double *saturation,
                       const double *volume_m, double bound_kg_m2, double *water_kg);
/* Start: everything at t_k. */
void thaw_warmth_start(thaw_warmth *warmth, double t_k, const double *water_kg, thaw_heat_ledger *ledger);
/* After the water has moved: enthalpy goes along. water_kg is the new content. */
void thaw_warmth_move(thaw_warmth *warmth, const double *water_kg, thaw_heat_ledger *ledger);
/* dt_s of exchange with room, rack and ice. Contact heat given to the ice: contact_w_k (t - 0 C) dt. */
void thaw_warmth_step(thaw_warmth *warmth, const thaw_weather *weather, double dt_s, thaw_heat_ledger *ledger);

#endif
