#include "sim/pool.h"

#include <math.h>

#include "base/alloc.h"
#include "sim/engine.h"

#define BIN_M 0.0005
#define HIGHEST_M 1.0
/* Room left round the bundle in a tub: estimate. Colander and bucket are as wide as the bundle. */
#define TUB_MARGIN_M 0.05
/* Time in which standing water falls to 1/e: estimates; holes under wet cloth, and a narrow bucket with a hole. */
#define COLANDER_DRAINS_S 120.0
#define BUCKET_DRAINS_S 3600.0
/* From bath to the nearest open face of the cloth: still layer / D = 0.8 mm / 4e-10 m2/s. And through each layer
 * between, with the water that fills the gaps of loose folds. Estimates: nobody stirs, and dyers find that cloth
 * left in a little bath keeps its pattern. */
#define OPEN_S_M 2e6
#define LAYER_S_M 2e6
/* The same for heat, bath to cloth, and room to bath by its surface and by the bottom. Estimates. */
#define HEAT_W_M2K 50.0
#define ROOM_W_M2K 10.0
/* At most so much of the standing water goes into the cloth in one step. */
#define GIVEN_MOST 0.5
#define LEAST_KG 1e-6

static void set_vessel(const thaw_specification *spec, const thaw_bundle *b, thaw_pool *p)
{
    const thaw_vessel *v = &spec->vessel;
    const double box_m2 = b->width_m * b->length_m;
    const double tub_m2 = (b->width_m + 2.0 * TUB_MARGIN_M) * (b->length_m + 2.0 * TUB_MARGIN_M);
    p->area_m2 = v->width_m > 0.0 ? fmax(v->width_m * v->length_m, box_m2) : (v->stand == THAW_IN_TUB ? tub_m2 : box_m2);
    p->drain_s = v->drain_s > 0.0               ? v->drain_s
                 : v->stand == THAW_IN_COLANDER ? COLANDER_DRAINS_S
                 : v->stand == THAW_IN_BUCKET   ? BUCKET_DRAINS_S
                                                : 0.0;
    p->beside_m2 = p->area_m2 - box_m2;
}

thaw_status thaw_pool_create(const thaw_specification *spec, const thaw_bundle *bundle, thaw_pool *out, thaw_error *err)
{
    thaw_pool p = {.is_set = spec->vessel.stand != THAW_ON_RACK, .thickness_m = spec->cloth->thickness_m,
                   .cell_m2 = bundle->cell_m * bundle->cell_m};
    if (p.is_set) {
        set_vessel(spec, bundle, &p);
        p.n_bins = (int)(HIGHEST_M / BIN_M);
        p.cells = thaw_allocate((size_t)p.n_bins, sizeof *p.cells, err);
        if (!p.cells) {
            return THAW_ERR_MEMORY;
        }
        for (size_t k = 0; k < thaw_bundle_first_hung(bundle); k++) {
            const int bin = (int)(fmax(0.0, bundle->z_m[k]) / BIN_M);
            p.cells[bin < p.n_bins ? bin : p.n_bins - 1] += 1.0;
        }
    }
    *out = p;
    return THAW_OK;
}

void thaw_pool_destroy(thaw_pool *pool)
{
    thaw_release(pool->cells);
    *pool = (thaw_pool){0};
}

/* Water below a level: the vessel less the cloth in it. */
static double water_below_m3(const thaw_pool *p, double level_m)
{
    double cloth_m3 = 0.0;
    for (int b = 0; b < p->n_bins && b * BIN_M < level_m; b++) {
        cloth_m3 += p->cells[b] * p->cell_m2 * fmin(p->thickness_m, level_m - b * BIN_M);
    }
    return p->area_m2 * level_m - cloth_m3;
}

double thaw_pool_level_m(const thaw_pool *pool, double water_m3)
{
    double low = 0.0, high = HIGHEST_M;
    for (int i = 0; i < 40; i++) {
        const double middle = 0.5 * (low + high);
        if (water_below_m3(pool, middle) < water_m3) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return low;
}

/* What the books of the tub hold now. */
static double tub_kg(const thaw_engine *e)
{
    return e->tub_kg + e->drip.missed_kg;
}
static double tub_dye_kg(const thaw_engine *e, int c)
{
    return e->tub_dye_kg[c] + e->drip.missed_dye_kg[c];
}
static double tub_soda_kg(const thaw_engine *e)
{
    return e->tub_soda_kg + (e->heap->has_soda ? e->drip.missed_dye_kg[e->dyes->n] : 0.0);
}

static void look(thaw_engine *e)
{
    thaw_pool *p = &e->pool;
    p->seen_kg = tub_kg(e);
    p->seen_j = e->heat.runoff;
    p->seen_soda_kg = tub_soda_kg(e);
    for (int c = 0; c < e->dyes->n; c++) {
        p->seen_dye_kg[c] = tub_dye_kg(e, c);
    }
}

/* What ran off since the last look stands now; the drain takes its part of all. */
static void gather(thaw_engine *e, double dt_s)
{
    thaw_pool *p = &e->pool;
    const double stays = p->drain_s > 0.0 ? exp(-dt_s / p->drain_s) : 1.0;
    p->kg = stays * (p->kg + tub_kg(e) - p->seen_kg);
    p->energy_j = stays * (p->energy_j + e->heat.runoff - p->seen_j);
    p->soda_kg = stays * (p->soda_kg + tub_soda_kg(e) - p->seen_soda_kg);
    for (int c = 0; c < e->dyes->n; c++) {
        p->dye_kg[c] = stays * (p->dye_kg[c] + tub_dye_kg(e, c) - p->seen_dye_kg[c]);
    }
}

static bool is_under(const thaw_engine *e, size_t k)
{
    return e->bundle->z_m[k] + 0.5 * e->pool.thickness_m < e->pool.level_m;
}

/* Heat from the room, implicit. */
static void warm(thaw_engine *e, double dt_s)
{
    thaw_pool *p = &e->pool;
    const double holds = p->kg * THAW_WATER_HEAT_J_KGK, pull = dt_s * ROOM_W_M2K * p->beside_m2;
    const double air = e->weather.room_k - THAW_ICE_POINT_K;
    const double gained = pull * (air * holds - p->energy_j) / (holds + pull);
    p->energy_j += gained;
    e->heat.below += gained;
    e->heat.runoff += gained;
}

/* Cloth below the level fills up, with what is dissolved in the water and its warmth. */
static void fill(thaw_engine *e, double dt_s)
{
    thaw_pool *p = &e->pool;
    const size_t n = thaw_bundle_first_hung(e->bundle);
    const double per_m = THAW_WATER_DENSITY_KG_M3 * p->cell_m2;
    double wanted = 0.0;
    for (size_t k = 0; k < n; k++) {
        wanted += is_under(e, k) ? per_m * e->volume_m[k] * fmax(0.0, 1.0 - e->state.saturation[k]) : 0.0;
    }
    if (!(wanted > 0.0)) {
        return;
    }
    const double part = fmin(1.0, GIVEN_MOST * p->kg / wanted), given = part * wanted;
    const double share = given / p->kg; /* of everything in the pool */
    for (size_t k = 0; k < n; k++) {
        const double lacks_m = is_under(e, k) ? part * e->volume_m[k] * fmax(0.0, 1.0 - e->state.saturation[k]) : 0.0;
        const double mine = lacks_m * per_m / given * share;
        const int32_t q = e->warmth.square_of_cell[k];
        e->source[k] += lacks_m / dt_s;
        e->warmth.landed_kg[q] += lacks_m * per_m;
        e->warmth.energy_j[q] += mine * p->energy_j;
        e->state.soda_kg_m2[k] += mine * p->soda_kg / p->cell_m2;
        for (int c = 0; c < e->dyes->n; c++) {
            e->state.mobile_kg_m2[c][k] += mine * p->dye_kg[c] / p->cell_m2;
        }
    }
    e->tub_kg -= given;
    p->kg -= given;
    e->heat.runoff -= share * p->energy_j;
    p->energy_j -= share * p->energy_j;
    e->tub_soda_kg -= share * p->soda_kg;
    p->soda_kg -= share * p->soda_kg;
    for (int c = 0; c < e->dyes->n; c++) {
        e->tub_dye_kg[c] -= share * p->dye_kg[c];
        p->dye_kg[c] -= share * p->dye_kg[c];
    }
}

/* Part of the way to equilibrium that a cell goes in dt_s: through the layers to the nearer open face. */
static double way(const thaw_engine *e, size_t k, double capacity_m, double dt_s)
{
    const thaw_bundle *b = e->bundle;
    const int above = b->depth[k], below = b->layers[b->tray[k]] - above - 1;
    const double resistance = OPEN_S_M + LAYER_S_M * (below < above ? (below > 0 ? below : 0) : above);
    return 1.0 - exp(-dt_s / (resistance * fmax(capacity_m, 1e-9)));
}

/* Every cell below the level goes its way towards the bath, and the bath towards the cells: with M' = M + f (C c' - M)
 * the concentration c' that keeps the sum is known at once. Returns what the bath lost, kg. */
static double exchange(thaw_engine *e, const double *capacity_m, double dt_s, double bath_kg, double *mobile)
{
    const size_t n = thaw_bundle_first_hung(e->bundle);
    const double area = e->pool.cell_m2;
    double amount = bath_kg, room_m3 = e->pool.kg / THAW_WATER_DENSITY_KG_M3, lost = 0.0;
    for (size_t k = 0; k < n; k++) {
        if (is_under(e, k)) {
            const double f = way(e, k, capacity_m[k], dt_s);
            amount += f * mobile[k] * area;
            room_m3 += f * capacity_m[k] * area;
        }
    }
    const double conc = amount / room_m3;
    for (size_t k = 0; k < n; k++) {
        if (is_under(e, k)) {
            const double gains = way(e, k, capacity_m[k], dt_s) * (capacity_m[k] * conc - mobile[k]);
            mobile[k] += gains;
            lost += gains * area;
        }
    }
    return lost;
}

static void exchange_solutes(thaw_engine *e, double dt_s)
{
    thaw_pool *p = &e->pool;
    double *capacity = e->lanes[0].capacity;
    thaw_uptake_soda_capacity(&e->uptake, e->bundle->n, e->state.saturation, capacity);
    double lost = exchange(e, capacity, dt_s, p->soda_kg, e->state.soda_kg_m2);
    p->soda_kg -= lost;
    e->tub_soda_kg -= lost;
    for (int c = 0; c < e->dyes->n; c++) {
        thaw_uptake_capacity(&e->uptake, c, e->bundle->n, e->state.saturation, capacity);
        lost = exchange(e, capacity, dt_s, p->dye_kg[c], e->state.mobile_kg_m2[c]);
        p->dye_kg[c] -= lost;
        e->tub_dye_kg[c] -= lost;
    }
}

/* The same for heat, by squares. */
static void exchange_heat(thaw_engine *e, double dt_s)
{
    thaw_warmth *w = &e->warmth;
    thaw_pool *p = &e->pool;
    double *wet_m2 = w->spare, heat = p->energy_j, holds = p->kg * THAW_WATER_HEAT_J_KGK;
    for (size_t q = 0; q < w->n; q++) {
        wet_m2[q] = 0.0;
    }
    for (size_t k = 0; k < thaw_bundle_first_hung(e->bundle); k++) {
        const int32_t q = w->square_of_cell[k];
        if (is_under(e, k)) {
            wet_m2[q] = fmin(wet_m2[q] + p->cell_m2, w->square_m * w->square_m);
        }
    }
    for (size_t q = 0; q < w->n; q++) {
        const double c = w->dry_j_k[q] + w->water_kg[q] * THAW_WATER_HEAT_J_KGK;
        wet_m2[q] = wet_m2[q] > 0.0 ? 1.0 - exp(-dt_s * HEAT_W_M2K * wet_m2[q] / c) : 0.0; /* from here on the way */
        heat += wet_m2[q] * w->energy_j[q];
        holds += wet_m2[q] * c;
    }
    const double warmth_k = heat / holds;
    for (size_t q = 0; q < w->n; q++) {
        const double c = w->dry_j_k[q] + w->water_kg[q] * THAW_WATER_HEAT_J_KGK;
        const double gains = wet_m2[q] * (c * warmth_k - w->energy_j[q]);
        w->energy_j[q] += gains;
        p->energy_j -= gains;
        e->heat.runoff -= gains;
    }
}

void thaw_pool_step(thaw_engine *e, double dt_s)
{
    thaw_pool *p = &e->pool;
    if (!p->is_set) {
        return;
    }
    gather(e, dt_s);
    p->level_m = 0.0;
    if (p->kg > LEAST_KG) {
        p->level_m = thaw_pool_level_m(p, p->kg / THAW_WATER_DENSITY_KG_M3);
        warm(e, dt_s);
        fill(e, dt_s);
        exchange_solutes(e, dt_s);
        exchange_heat(e, dt_s);
    }
    look(e);
}
