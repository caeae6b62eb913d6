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
/* Basins of standing water, and how they mix: drops and weak convection, nobody stirs. Estimate. */
#define BASIN_M 0.04
#define MIXING_M2_S 3e-7

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

static int basin_at(const thaw_pool *p, double x_m, double y_m)
{
    const int i = (int)(x_m / BASIN_M), j = (int)(y_m / BASIN_M);
    return (j < 0 ? 0 : (j < p->basins_y ? j : p->basins_y - 1)) * p->basins_x +
           (i < 0 ? 0 : (i < p->basins_x ? i : p->basins_x - 1));
}

static thaw_status allocate_basins(const thaw_bundle *b, thaw_pool *p, thaw_error *err)
{
    p->basins_x = (int)(b->width_m / BASIN_M) + 1;
    p->basins_y = (int)(b->length_m / BASIN_M) + 1;
    p->n_basins = p->basins_x * p->basins_y;
    double **arrays[2 * THAW_MAX_POWDERS + 3] = {&p->amount, &p->room, &p->taken};
    int n = 3;
    for (int c = 0; c < p->n_solutes; c++) {
        arrays[n++] = &p->held_kg[c];
        arrays[n++] = &p->arrives[c];
    }
    for (int a = 0; a < n; a++) {
        if (!(*arrays[a] = thaw_allocate((size_t)p->n_basins, sizeof(double), err))) {
            return THAW_ERR_MEMORY;
        }
    }
    p->basin = thaw_allocate(b->n, sizeof *p->basin, err);
    for (size_t k = 0; p->basin && k < b->n; k++) {
        p->basin[k] = basin_at(p, b->x_m[k], b->y_m[k]);
    }
    return p->basin ? THAW_OK : THAW_ERR_MEMORY;
}

thaw_status thaw_pool_create(const thaw_specification *spec, const thaw_bundle *bundle, int n_dyes, thaw_pool *out,
                             thaw_error *err)
{
    thaw_pool p = {.is_set = spec->vessel.stand != THAW_ON_RACK, .thickness_m = spec->cloth->thickness_m,
                   .cell_m2 = bundle->cell_m * bundle->cell_m, .n_solutes = n_dyes + 1};
    if (p.is_set) {
        set_vessel(spec, bundle, &p);
        p.n_bins = (int)(HIGHEST_M / BIN_M);
        p.cells = thaw_allocate((size_t)p.n_bins, sizeof *p.cells, err);
        if (!p.cells || allocate_basins(bundle, &p, err) != THAW_OK) {
            thaw_pool_destroy(&p);
            return THAW_ERR_MEMORY;
        }
        for (size_t k = 0; k < thaw_bundle_first_hung(bundle); k++) {
            if (!thaw_bundle_is_cloth(bundle, k)) {
                continue;
            }
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
    thaw_release(pool->basin);
    thaw_release(pool->amount);
    thaw_release(pool->room);
    thaw_release(pool->taken);
    for (int c = 0; c < THAW_MAX_POWDERS; c++) {
        thaw_release(pool->held_kg[c]);
        thaw_release(pool->arrives[c]);
    }
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
/* Of solute c; soda ash comes after the dyes. */
static double *tub_solute_kg(thaw_engine *e, int c)
{
    return c < e->dyes->n ? &e->tub_dye_kg[c] : &e->tub_soda_kg;
}
static double all_solute_kg(thaw_engine *e, int c)
{
    const bool missed = c < e->dyes->n || e->heap->has_soda;
    return *tub_solute_kg(e, c) + (missed ? e->drip.missed_dye_kg[c] : 0.0);
}
static double *mobile_of(thaw_engine *e, int c)
{
    return c < e->dyes->n ? e->state.mobile_kg_m2[c] : e->state.soda_kg_m2;
}

static void look(thaw_engine *e)
{
    thaw_pool *p = &e->pool;
    p->seen_kg = tub_kg(e);
    p->seen_j = e->heat.runoff;
    for (int c = 0; c < p->n_solutes; c++) {
        p->seen_solute_kg[c] = all_solute_kg(e, c);
    }
}

/* What left a lowest cell is its water times its concentration, as near as weights need it; what ran off over full
 * cloth is known by the squares it fell on. */
void thaw_pool_note(thaw_engine *e)
{
    thaw_pool *p = &e->pool;
    const double bound_m = e->spec->cloth->bound_kg_kg * e->spec->cloth->mass_kg_m2 / THAW_WATER_DENSITY_KG_M3;
    for (size_t k = 0; p->is_set && k < e->bundle->n; k++) {
        const double left = e->bundle->below[k] < 0 ? e->wick.fl[k] * p->cell_m2 : 0.0;
        const double liquid_m = e->volume_m[k] * fmax(0.0, e->state.saturation[k]);
        for (int c = 0; left > 0.0 && c < p->n_solutes; c++) {
            const double holds_m = c < e->dyes->n ? e->dyes->components[c]->kd_m3_kg * e->uptake.hold_m3_kg_m2[k] : bound_m;
            p->arrives[c][p->basin[k]] += left * fmax(0.0, mobile_of(e, c)[k]) / (liquid_m + holds_m + 1e-9);
        }
    }
}

/* Dye in the melt that ran off over full cloth in the step just routed. */
static void note_spilt(thaw_engine *e)
{
    const thaw_warmth *w = &e->warmth;
    for (int c = 0; c < e->drip.n_powders; c++) {
        double *spilt = e->drip.spilt_kg[c];
        for (size_t q = 0; spilt && q < w->n; q++) {
            const double x = ((double)(q % (size_t)w->nx) + 0.5) * w->square_m;
            const double y = ((double)(q / (size_t)w->nx) + 0.5) * w->square_m;
            e->pool.arrives[c][basin_at(&e->pool, x, y)] += spilt[q];
            spilt[q] = 0.0;
        }
    }
}

/* What arrived goes to the basins by the weights noted, evenly where nothing was. */
static void share_out(thaw_pool *p, int c, double kg, double stays)
{
    double sum = 0.0;
    for (int b = 0; b < p->n_basins; b++) {
        sum += p->arrives[c][b];
    }
    for (int b = 0; b < p->n_basins; b++) {
        const double part = sum > 0.0 ? p->arrives[c][b] / sum : 1.0 / p->n_basins;
        p->held_kg[c][b] = stays * (p->held_kg[c][b] + part * kg);
        p->arrives[c][b] = 0.0;
    }
}

/* Neighbours exchange by mixing: all hold the same water. Explicit, in parts that are stable. */
static void mix(thaw_pool *p, int c, double dt_s)
{
    const double most = MIXING_M2_S * dt_s / (BASIN_M * BASIN_M);
    const int parts = 1 + (int)(most / 0.2);
    double *held = p->held_kg[c], *gains = p->amount;
    for (int part = 0; part < parts; part++) {
        for (int b = 0; b < p->n_basins; b++) {
            gains[b] = 0.0;
        }
        for (int b = 0; b < p->n_basins; b++) {
            const int next[2] = {(b + 1) % p->basins_x ? b + 1 : b, b + p->basins_x < p->n_basins ? b + p->basins_x : b};
            for (int d = 0; d < 2; d++) {
                const double flow = most / parts * (held[b] - held[next[d]]);
                gains[b] -= flow;
                gains[next[d]] += flow;
            }
        }
        for (int b = 0; b < p->n_basins; b++) {
            held[b] += gains[b];
        }
    }
}

/* What ran off since the last look stands now; the drain takes its part of all. */
static void gather(thaw_engine *e, double dt_s)
{
    thaw_pool *p = &e->pool;
    const double stays = p->drain_s > 0.0 ? exp(-dt_s / p->drain_s) : 1.0;
    p->kg = stays * (p->kg + tub_kg(e) - p->seen_kg);
    p->energy_j = stays * (p->energy_j + e->heat.runoff - p->seen_j);
    note_spilt(e);
    for (int c = 0; c < p->n_solutes; c++) {
        share_out(p, c, all_solute_kg(e, c) - p->seen_solute_kg[c], stays);
        mix(p, c, dt_s);
    }
}

static bool is_under(const thaw_engine *e, size_t k)
{
    return thaw_bundle_is_cloth(e->bundle, k) && e->bundle->z_m[k] + 0.5 * e->pool.thickness_m < e->pool.level_m;
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

/* Water that cell k lacks below the level, m. */
static double lack_m(const thaw_engine *e, size_t k)
{
    return is_under(e, k) ? e->volume_m[k] * fmax(0.0, 1.0 - e->state.saturation[k]) : 0.0;
}

/* Cells take solute c with the water, from their basin. taken: water that goes from each, kg. */
static void fill_solute(thaw_engine *e, int c, double part, const double *taken)
{
    thaw_pool *p = &e->pool;
    double *mobile = mobile_of(e, c), *held = p->held_kg[c];
    const double basin_kg = p->kg / p->n_basins;
    double lost = 0.0;
    for (size_t k = 0; k < thaw_bundle_first_hung(e->bundle); k++) {
        const int b = p->basin[k];
        if (taken[b] > 0.0) {
            const double mine = part * lack_m(e, k) * THAW_WATER_DENSITY_KG_M3 * p->cell_m2 / taken[b];
            mobile[k] += mine * fmin(GIVEN_MOST, taken[b] / basin_kg) * held[b] / p->cell_m2;
        }
    }
    for (int b = 0; b < p->n_basins; b++) {
        const double goes = fmin(GIVEN_MOST, taken[b] / basin_kg) * held[b];
        held[b] -= goes;
        lost += goes;
    }
    *tub_solute_kg(e, c) -= lost;
}

/* Cloth below the level fills up, with what is dissolved in the water and its warmth. */
static void fill(thaw_engine *e, double dt_s)
{
    thaw_pool *p = &e->pool;
    const size_t n = thaw_bundle_first_hung(e->bundle);
    const double per_m = THAW_WATER_DENSITY_KG_M3 * p->cell_m2;
    double wanted = 0.0;
    for (int b = 0; b < p->n_basins; b++) {
        p->taken[b] = 0.0;
    }
    for (size_t k = 0; k < n; k++) {
        wanted += per_m * lack_m(e, k);
    }
    if (!(wanted > 0.0)) {
        return;
    }
    const double part = fmin(1.0, GIVEN_MOST * p->kg / wanted), given = part * wanted;
    for (size_t k = 0; k < n; k++) {
        const double kg = part * lack_m(e, k) * per_m;
        const int32_t q = e->warmth.square_of_cell[k];
        e->source[k] += kg / per_m / dt_s;
        e->warmth.landed_kg[q] += kg;
        e->warmth.energy_j[q] += kg / p->kg * p->energy_j;
        p->taken[p->basin[k]] += kg;
    }
    for (int c = 0; c < p->n_solutes; c++) {
        fill_solute(e, c, part, p->taken);
    }
    e->heat.runoff -= given / p->kg * p->energy_j;
    p->energy_j -= given / p->kg * p->energy_j;
    e->tub_kg -= given;
    p->kg -= given;
}

/* Part of the way to equilibrium that a cell goes in dt_s: through the layers to the nearer open face. */
static double way(const thaw_engine *e, size_t k, double capacity_m, double dt_s)
{
    const thaw_bundle *b = e->bundle;
    const int above = b->depth[k], below = b->layers[b->tray[k]] - above - 1;
    const double resistance = OPEN_S_M + LAYER_S_M * (below < above ? (below > 0 ? below : 0) : above);
    return 1.0 - exp(-dt_s / (resistance * fmax(capacity_m, 1e-9)));
}

/* Every cell below the level goes its way towards its basin, and the basin towards its cells: with
 * M' = M + f (C c' - M) the concentration c' that keeps the sum is known at once. */
static void exchange(thaw_engine *e, int c, const double *capacity_m, double dt_s)
{
    thaw_pool *p = &e->pool;
    const size_t n = thaw_bundle_first_hung(e->bundle);
    const double area = p->cell_m2, basin_m3 = p->kg / THAW_WATER_DENSITY_KG_M3 / p->n_basins;
    double *mobile = mobile_of(e, c), lost = 0.0;
    for (int b = 0; b < p->n_basins; b++) {
        p->amount[b] = p->held_kg[c][b];
        p->room[b] = basin_m3;
    }
    for (size_t k = 0; k < n; k++) {
        if (is_under(e, k)) {
            const double f = way(e, k, capacity_m[k], dt_s);
            p->amount[p->basin[k]] += f * mobile[k] * area;
            p->room[p->basin[k]] += f * capacity_m[k] * area;
        }
    }
    for (size_t k = 0; k < n; k++) {
        if (is_under(e, k)) {
            const int b = p->basin[k];
            const double gains = way(e, k, capacity_m[k], dt_s) * (capacity_m[k] * p->amount[b] / p->room[b] - mobile[k]);
            mobile[k] += gains;
            p->held_kg[c][b] -= gains * area;
            lost += gains * area;
        }
    }
    *tub_solute_kg(e, c) -= lost;
}

static void exchange_solutes(thaw_engine *e, double dt_s)
{
    double *capacity = e->lanes[0].capacity;
    for (int c = 0; c < e->pool.n_solutes; c++) {
        if (c < e->dyes->n) {
            thaw_uptake_capacity(&e->uptake, c, e->bundle->n, e->state.saturation, capacity);
        } else {
            thaw_uptake_soda_capacity(&e->uptake, e->bundle->n, e->state.saturation, capacity);
        }
        exchange(e, c, capacity, dt_s);
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
