#include "sim/engine.h"

#include <math.h>

#include "base/crew.h"
#include "base/error.h"
#include "sim/bounds.h"
#include "sim/powder.h"
#include "sim/solutes.h"

#define LEAST_INNER_S 1e-3
#define MOBILITY_DRIFT 0.02        /* the web follows the temperature of the cloth in steps of this share */
#define MOBILITY_STEEPEST 0.032    /* per K, of rho/mu over that at 20 C: 0.028 at most from 0 to 40 C (IAPWS) */
/* Water is calm while steps depart from where the ones before led by less than this share of the tolerance, once one
 * has departed by half of that. */
#define CALM_SHARE 0.1
#define DRY_ENOUGH 0.1             /* cloth below this saturation dries more slowly, to nothing at 0 */
/* The first water in dry cloth is soon drawn on into it: what is not yet more than this does not evaporate. */
#define FRONT_KEEPS 0.03
#define DRAWN_MOST 0.3            /* share of its water that a cell may lose to the air in a macro step */
/* Fitted, no source: chosen because without it a trial run lost 85 % of its dye to the tub. */
#define SHED_MOST 0.8
#define SHED_FROM 0.9
#define SHED_REACH 2               /* squares */
#define FEW_CELLS 20000           /* with fewer, handing loops to threads costs more than they save */

double thaw_engine_sum_kg(const thaw_engine *engine, const double *per_area)
{
    const size_t nx = (size_t)engine->bundle->nx;
    double total = 0.0;
    for (size_t k = 0; k < engine->bundle->n; k += nx) {
        double row = 0.0;
        for (size_t i = 0; i < nx; i++) {
            row += per_area[k + i];
        }
        total += row;
    }
    return total * engine->bundle->cell_m * engine->bundle->cell_m;
}

double thaw_engine_powder_kg(const thaw_engine *engine, int c)
{
    double sum = 0.0;
    for (int p = 0; p < engine->drip.n_points; p++) {
        sum += engine->drip.powder_kg[c][p];
    }
    return sum;
}

static void mark(const thaw_engine *e, thaw_engine_stage stage)
{
    if (e->mark) {
        e->mark(e->mark_user, stage);
    }
}

/* Conductances follow the viscosity of the water in each square; only when they have moved enough. */
static void warm_the_web(thaw_engine *e)
{
    double drift_k = 0.0, drift = 0.0;
    for (size_t q = 0; q < e->warmth.n; q++) {
        drift_k = fmax(drift_k, fabs(e->warmth.t_k[q] - e->warm_k[q]));
    }
    if (drift_k * MOBILITY_STEEPEST < MOBILITY_DRIFT) {
        return; /* no need to look closer */
    }
    double *mobility = e->warmth.spare; /* free from here to the end of the macro step */
#pragma omp parallel for schedule(static) reduction(max : drift)
    for (size_t q = 0; q < e->warmth.n; q++) {
        mobility[q] = thaw_water_mobility_ratio(e->warmth.t_k[q]);
        drift = fmax(drift, fabs(mobility[q] - e->warm_at[q]));
    }
    if (drift < MOBILITY_DRIFT) {
        return;
    }
#pragma omp parallel for schedule(static)
    for (size_t q = 0; q < e->warmth.n; q++) {
        e->warm_at[q] = mobility[q] * thaw_water_suction_ratio(e->warmth.t_k[q]);
    }
    const size_t nx = (size_t)e->bundle->nx, n = e->bundle->n;
    const int32_t *sq = e->warmth.square_of_cell;
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        double here = e->warm_at[sq[k]];
        if ((k + 1) % nx) {
            e->web.gx[k] = e->mobility0x[k] * 0.5 * (here + e->warm_at[sq[k + 1]]);
        }
        if (k + nx < n) {
            e->web.gy[k] = e->mobility0y[k] * 0.5 * (here + e->warm_at[sq[k + nx]]);
        }
        if (e->bundle->below[k] >= 0) {
            e->web.gl[k] = e->mobility0l[k] * 0.5 * (here + e->warm_at[sq[e->bundle->below[k]]]);
        }
    }
    thaw_wick_refresh(&e->wick);
    for (size_t q = 0; q < e->warmth.n; q++) {
        e->warm_at[q] = mobility[q];
        e->warm_k[q] = e->warmth.t_k[q];
    }
}

/* Liquid dye is squirted on over the first minute. */
#define POUR_S 60.0

/* Part of all liquid that comes in the step, and the heat it brings to each piece of ice. */
static void set_pour(thaw_engine *e, double dt_s)
{
    const thaw_heap *h = e->heap;
    const double t = e->state.time_s, share = (fmin(POUR_S, t + dt_s) - fmin(POUR_S, t)) / POUR_S;
    const double j_kg = THAW_WATER_HEAT_J_KGK * (e->spec->room_k - THAW_ICE_POINT_K);
    if (!h->poured_kg) {
        return;
    }
    e->drip.pour_share = share;
    e->drip.missed_kg += share * h->poured_lost_kg;
    e->water.poured_kg += share * h->poured_lost_kg;
    for (int i = 0; i < h->n; i++) {
        double kg = 0.0;
        for (int side = 0; side < THAW_HEAP_SIDES; side++) {
            kg += share * h->poured_kg[i * THAW_HEAP_SIDES + side];
        }
        e->water.poured_kg += kg;
        e->melt.pour_j[i] = j_kg * kg;
    }
    for (size_t k = 0; share > 0.0 && k < e->bundle->n; k++) {
        e->water.poured_kg += share * h->wetted_kg[k];
    }
}

/* Heat of liquid that wets cloth comes when its water has come: before, thin cloth would be far too hot with it. */
static void warm_by_pour(thaw_engine *e)
{
    const double share = e->heap->poured_kg ? e->drip.pour_share : 0.0;
    const double j_kg = THAW_WATER_HEAT_J_KGK * (e->spec->room_k - THAW_ICE_POINT_K);
    for (size_t k = 0; share > 0.0 && k < e->bundle->n; k++) {
        const double j = j_kg * share * e->heap->wetted_kg[k];
        e->warmth.energy_j[e->warmth.square_of_cell[k]] += j;
        e->heat.poured += j;
    }
}

/* Fibres that started dry fill with bound water before any flows past them for long. Estimate. */
#define DRINK_S 60.0

static void drink(thaw_engine *e, double dt_s)
{
    const double part = 1.0 - exp(-dt_s / DRINK_S), area = e->bundle->cell_m * e->bundle->cell_m;
    for (size_t k = 0; e->thirst_kg_m2 && k < e->bundle->n; k++) {
        const double per_s = e->volume_m[k] * THAW_WATER_DENSITY_KG_M3;
        const double there = per_s * fmax(0.0, e->state.saturation[k] - FRONT_KEEPS);
        const double taken = part * fmin(there, e->thirst_kg_m2[k]);
        e->state.saturation[k] -= taken / per_s;
        e->thirst_kg_m2[k] -= taken;
        e->water.drunk_kg += taken * area;
    }
}

/* Soda ash that lies on the cloth as grains. */
static void dissolve_soda(thaw_engine *e, double dt_s)
{
    const double bound_m = e->spec->cloth->bound_kg_kg * e->spec->cloth->mass_kg_m2 / THAW_WATER_DENSITY_KG_M3;
    double *grains = e->heap->has_soda ? e->state.powder_kg_m2[e->dyes->n] : NULL;
    for (size_t k = 0; grains && k < e->bundle->n; k++) {
        if (grains[k] > 0.0) {
            const double t_k = e->warmth.t_k[e->warmth.square_of_cell[k]];
            const double room = (e->volume_m[k] * e->state.saturation[k] + bound_m) * thaw_soda_solubility_kg_m3(t_k) -
                                e->state.soda_kg_m2[k];
            const double ready = grains[k] * (1.0 - exp(-dt_s / thaw_soda_life_s(t_k)));
            const double gone = fmax(0.0, fmin(room, ready));
            grains[k] -= gone;
            e->state.soda_kg_m2[k] += gone;
        }
    }
}

/* Lumps of dye on wet cloth crumble. */
static void crumble(thaw_engine *e, double dt_s)
{
    for (int c = 0; c < e->dyes->n; c++) {
        double *lumps = e->state.lump_kg_m2[c], *powder = e->state.powder_kg_m2[c];
        const double life_s = thaw_lump_life_s(e->dyes->components[c]);
        for (size_t k = 0; lumps && k < e->bundle->n; k++) {
            if (lumps[k] > 0.0 && e->state.saturation[k] > DRY_ENOUGH) {
                const double speed = thaw_powder_speed_ratio(e->warmth.t_k[e->warmth.square_of_cell[k]]);
                const double gone = lumps[k] * (1.0 - exp(-dt_s * speed / life_s));
                lumps[k] -= gone;
                powder[k] += gone;
            }
        }
    }
}

double thaw_engine_lumps_kg(const thaw_engine *engine, int c)
{
    return engine->state.lump_kg_m2[c] ? thaw_engine_sum_kg(engine, engine->state.lump_kg_m2[c]) : 0.0;
}

void thaw_engine_weigh(thaw_engine *e)
{
    thaw_warmth_weigh(&e->warmth, e->bundle, e->state.saturation, e->volume_m,
                      e->spec->cloth->bound_kg_kg * e->spec->cloth->mass_kg_m2, e->square_water);
    for (size_t k = 0; e->thirst_kg_m2 && k < e->bundle->n; k++) {
        e->square_water[e->warmth.square_of_cell[k]] -= e->thirst_kg_m2[k] * e->bundle->cell_m * e->bundle->cell_m;
    }
}

/* How freely a top cell evaporates: fully while damp, less as it dries, and in one macro step no more
 * than a part of what it holds. */
static double freedom(const thaw_engine *e, int32_t cell, double most_m)
{
    const double s = e->state.saturation[cell];
    const double kept = e->thirst_kg_m2 ? FRONT_KEEPS : 2.0 * THAW_DRY_SATURATION;
    const double holds = DRAWN_MOST * e->volume_m[cell] * fmax(0.0, s - kept);
    return fmin(fmin(1.0, s / DRY_ENOUGH), holds / (most_m * e->seen[cell] + 1e-30));
}

/* Water (m) that the driest cloth could lose in dt: surface as warm as the room. */
static double evaporation_most_m(const thaw_engine *e, double dt_s)
{
    thaw_surface_heat q = thaw_weather_heat(&e->weather, e->weather.film_top_w_m2k, e->weather.room_k, 0.0);
    return fmax(0.0, -q.latent) * dt_s /
           (thaw_water_latent_vaporisation_j_kg(THAW_ICE_POINT_K) * THAW_WATER_DENSITY_KG_M3);
}

/* How far each square may evaporate: mean freedom of its top cells. */
static void set_dryness(thaw_engine *e, double dt_s)
{
    thaw_warmth *w = &e->warmth;
    e->most_m = evaporation_most_m(e, dt_s);
    for (size_t q = 0; q < w->n; q++) {
        w->dryness[q] = w->spare[q] = 0.0;
    }
    size_t n_tray = (size_t)e->bundle->tray_nx * (size_t)e->bundle->tray_ny;
    for (size_t t = 0; t < n_tray; t++) {
        int32_t top = e->bundle->top[t], q = w->square_of_tray[t];
        if (top >= 0) {
            w->dryness[q] += freedom(e, top, e->most_m);
            w->spare[q] += 1.0;
        }
    }
    for (size_t q = 0; q < w->n; q++) {
        w->dryness[q] = w->spare[q] > 0.0 ? w->dryness[q] / w->spare[q] : 0.0;
    }
}

/* Cloth that is full through all its layers for a few centimetres round sheds most of what lands on it:
 * it runs over the outside of the folds and off the edges without washing through. */
static void set_shed(thaw_engine *e)
{
    const thaw_warmth *w = &e->warmth;
    const double odds = exp(e->spec->shed_ln), most = SHED_MOST * odds / (1.0 - SHED_MOST + SHED_MOST * odds);
    const double bound = e->spec->cloth->bound_kg_kg / THAW_CLOTH_HEAT_J_KGK; /* kg per J/K of dry cloth */
    for (int j = 0; j < w->ny; j++) {
        for (int i = 0; i < w->nx; i++) {
            double water = 0.0, room = 0.0;
            for (int b = j - SHED_REACH < 0 ? 0 : j - SHED_REACH; b <= j + SHED_REACH && b < w->ny; b++) {
                for (int a = i - SHED_REACH < 0 ? 0 : i - SHED_REACH; a <= i + SHED_REACH && a < w->nx; a++) {
                    size_t q = (size_t)b * (size_t)w->nx + (size_t)a;
                    water += w->water_kg[q] - bound * w->dry_j_k[q];
                    room += e->holds_kg[q];
                }
            }
            double fill = room > 0.0 ? water / room : 0.0;
            e->shed[(size_t)j * (size_t)w->nx + (size_t)i] =
                most * fmin(1.0, fmax(0.0, (fill - SHED_FROM) / (1.0 - SHED_FROM)));
        }
    }
}

/* Water to and from each cell over the macro step, m/s: melt landed, evaporation or dew on top. */
static void set_sources(thaw_engine *e, double dt_s)
{
    thaw_warmth *w = &e->warmth;
    const double per_cell = 1.0 / (THAW_WATER_DENSITY_KG_M3 * e->bundle->cell_m * e->bundle->cell_m * dt_s);
    for (size_t k = 0; k < e->bundle->n; k++) {
        e->source[k] = 0.0;
    }
    for (int l = 0; l < e->drip.n_landings; l++) {
        const thaw_landing *drop = &e->drip.landings[l];
        e->source[drop->cell] += drop->water_kg * per_cell;
        w->landed_kg[w->square_of_cell[drop->cell]] += drop->water_kg;
    }
    size_t n_tray = (size_t)e->bundle->tray_nx * (size_t)e->bundle->tray_ny;
    for (size_t t = 0; t < n_tray; t++) {
        int32_t top = e->bundle->top[t], q = w->square_of_tray[t];
        if (top >= 0 && w->evaporated_kg[q] != 0.0) {
            double total = w->dryness[q] * w->spare[q];
            /* Dew that turns to a trace of vapour within the step has no cell that is free to give it. */
            double weight = w->evaporated_kg[q] > 0.0 && total > 0.0 ? freedom(e, top, e->most_m) / total
                                                                     : 1.0 / w->spare[q];
            e->source[top] -= weight * w->evaporated_kg[q] * per_cell;
        }
    }
    for (size_t q = 0; q < w->n; q++) {
        if (w->spare[q] > 0.0) {
            e->water.evaporated_kg += w->evaporated_kg[q];
        }
    }
}

/* Water that left the lowest layer in this inner step. */
static void drain_to_tub(thaw_engine *e)
{
    const double per_cell = THAW_WATER_DENSITY_KG_M3 * e->bundle->cell_m * e->bundle->cell_m;
    for (size_t k = 0; k < e->bundle->n; k++) {
        if (e->bundle->below[k] < 0 && e->wick.fl[k] != 0.0) {
            double left = e->wick.fl[k] * per_cell;
            e->tub_kg += left;
            e->free_end_kg += k >= thaw_bundle_first_hung(e->bundle) ? left : 0.0;
            e->warmth.left_kg[e->warmth.square_of_cell[k]] += left;
        }
    }
}

/* Water and everything in it over one macro step. */
static thaw_status move_water(thaw_engine *e, double macro_s, thaw_error *err)
{
    double done = 0.0;
    while (done < macro_s) {
        double dt = fmin(e->inner_s, macro_s - done), error;
        if (macro_s - done - dt < 0.05 * dt) {
            dt = macro_s - done;
        }
        const bool calm = e->is_calm;
        if (calm) {
            e->n_rounds += thaw_wick_calm_step(&e->wick, dt, e->state.saturation, e->source, e->next, &error);
        } else {
            e->n_rounds += thaw_wick_step(&e->wick, dt, e->state.saturation, e->source, e->next, &error);
        }
        const double departure = thaw_wick_departure(&e->wick, dt, e->state.saturation, e->next);
        error = calm ? fmax(departure, error) : error;
        const bool fits = isfinite(error) && thaw_bounds_fit(e);
        /* A calm step that is not taken has used up the flows of the one before, so the next must be in full. */
        e->is_calm = fits && error <= e->tolerance.water &&
                     departure <= (calm ? CALM_SHARE : 0.5 * CALM_SHARE) * e->tolerance.water;
        if (calm && !e->is_calm) {
            e->n_rejected++;
            continue; /* in full */
        }
        if (!fits || error > e->tolerance.water) {
            e->n_rejected++;
            e->inner_s = dt * (fits ? fmax(0.3, 0.8 * sqrt(e->tolerance.water / error)) : 0.3);
            if (e->inner_s < LEAST_INNER_S) {
                return thaw_fail(err, THAW_ERR_UNPHYSICAL,
                                 "the water step at %.2f h would have to be shorter than %g s; error %g", 
                                 e->state.time_s / 3600.0, LEAST_INNER_S, error);
            }
            continue;
        }
        thaw_wick_note(&e->wick, dt, e->state.saturation, e->next);
        mark(e, THAW_STAGE_CARRY);
        thaw_solutes_carry(e, dt, macro_s);
        mark(e, THAW_STAGE_WATER);
        double *old = e->state.saturation;
        e->state.saturation = e->next;
        e->next = old;
        drain_to_tub(e);
        thaw_pool_note(e);
        done += dt;
        e->n_inner++;
        double grow = fmin(2.0, 0.8 * sqrt(e->tolerance.water / fmax(error, 1e-12)));
        if (dt >= 0.999 * e->inner_s || grow < 1.0) {
            e->inner_s = dt * grow;
        }
    }
    return THAW_OK;
}

static void note_melt(thaw_engine *e, double before_kg, double dt_s)
{
    const double total = e->heap->mass_total_kg, now = e->melt.left_kg + e->melt.later_kg;
    if (total > 0.0 && e->melt_most_s < 0.0 && now <= 0.01 * total) {
        double part = (before_kg - 0.01 * total) / fmax(before_kg - now, 1e-300);
        e->melt_most_s = e->state.time_s + dt_s * fmin(1.0, fmax(0.0, part));
    }
    if (total > 0.0 && e->melt_all_s < 0.0 && now <= 0.0) {
        e->melt_all_s = e->state.time_s + dt_s * e->melt.last_share;
    }
}

static void note_curve(thaw_engine *e, double before_kg, double dt_s)
{
    thaw_curve *c = &e->curve;
    if (c->n >= c->room) {
        return;
    }
    double heat = 0.0, capacity = 0.0;
    for (size_t q = 0; q < e->warmth.n; q++) {
        heat += e->warmth.energy_j[q];
        capacity += e->warmth.dry_j_k[q] + e->warmth.water_kg[q] * THAW_WATER_HEAT_J_KGK;
    }
    c->t_s[c->n] = e->state.time_s;
    c->ice_kg[c->n] = e->melt.left_kg;
    c->melt_kg_s[c->n] = (before_kg - e->melt.left_kg) / dt_s;
    c->cloth_k[c->n] = THAW_ICE_POINT_K + heat / capacity;
    c->fixed_kg[c->n] = 0.0;
    for (int d = 0; d < e->dyes->n; d++) {
        c->fixed_kg[c->n] += thaw_engine_sum_kg(e, e->state.fixed_kg_m2[d]);
    }
    c->n++;
}

static void react(thaw_engine *e, double dt_s)
{
    mark(e, THAW_STAGE_UPTAKE);
    thaw_uptake_step(&e->uptake, e->bundle->nx, e->bundle->ny, dt_s, &e->state);
}

/* Steps 1-7 of engine.h. */
static thaw_status macro_step(thaw_engine *e, double dt_s, thaw_error *err)
{
    thaw_weather_turn(e->spec, e->state.time_s + 0.5 * dt_s, &e->weather);
    set_pour(e, dt_s);
    const double before_kg = e->melt.left_kg;
    mark(e, THAW_STAGE_MELT);
    thaw_status status = thaw_melt_cover(&e->melt, &e->warmth, dt_s, err);
    if (status != THAW_OK) {
        return status;
    }
    set_dryness(e, dt_s);
    double *tops = e->square_water; /* number of top cells, kept while warmth uses its scratch */
    for (size_t q = 0; q < e->warmth.n; q++) {
        tops[q] = e->warmth.spare[q];
    }
    thaw_warmth_step(&e->warmth, &e->weather, dt_s, &e->heat);
    thaw_melt_step(&e->melt, &e->warmth, &e->weather, dt_s, &e->heat);
    set_shed(e);
    thaw_drip_step(&e->drip, &e->melt, e->shed, dt_s);
    for (size_t q = 0; q < e->warmth.n; q++) {
        e->warmth.spare[q] = tops[q];
    }
    set_sources(e, dt_s);
    thaw_pool_step(e, dt_s);
    if (e->reacts_first) {
        react(e, dt_s);
    }
    mark(e, THAW_STAGE_WATER);
    warm_the_web(e);
    status = move_water(e, dt_s, err);
    if (status != THAW_OK) {
        return status;
    }
    mark(e, THAW_STAGE_BOOKS);
    drink(e, dt_s);
    thaw_engine_weigh(e);
    warm_by_pour(e);
    thaw_warmth_move(&e->warmth, e->square_water, &e->heat);
    crumble(e, dt_s);
    if (!e->reacts_first) {
        react(e, dt_s);
    }
    e->reacts_first = !e->reacts_first;
    mark(e, THAW_STAGE_BOOKS);
    dissolve_soda(e, dt_s);
    note_melt(e, before_kg + e->melt.later_kg, dt_s);
    e->state.time_s += dt_s;
    note_curve(e, before_kg, dt_s);
    return thaw_bounds_check(e, err);
}

/* Short where most happens: powder goes into the first melt, and water into the cloth, within minutes. No step passes the
 * time at which more ice is laid on. */
static double macro_length(const thaw_engine *e)
{
    const double t = e->state.time_s, to_ice = thaw_melt_next_s(&e->melt, t) - t;
    const double graded = fmax(e->tolerance.macro_first_s, e->tolerance.macro_share * (t - e->melt.laid_s));
    double most = e->melt.left_kg > 0.0 ? e->tolerance.macro_melt_s : e->tolerance.macro_batch_s;
    if (e->pool.is_set) {
        most = fmin(most, e->tolerance.macro_pool_s);
    }
    return fmin(fmin(graded, most), to_ice);
}

static void close_books(thaw_engine *e)
{
    for (size_t k = 0; k < e->bundle->n; k++) {
        e->increment[k] = e->volume_m[k] * e->state.saturation[k] * THAW_WATER_DENSITY_KG_M3;
    }
    e->water.end_kg = thaw_engine_sum_kg(e, e->increment) + e->water.drunk_kg;
    e->water.melt_kg = e->melt.melted_kg;
    e->water.condensed_kg = e->melt.condensed_kg;
    e->water.tub_kg = e->tub_kg + e->drip.missed_kg;
    e->soda_end_kg = thaw_engine_sum_kg(e, e->state.soda_kg_m2);
    if (e->heap->has_soda) {
        const int soda = e->dyes->n;
        e->soda_end_kg += thaw_engine_sum_kg(e, e->state.powder_kg_m2[soda]) + thaw_engine_powder_kg(e, soda);
        e->tub_soda_kg += e->drip.missed_dye_kg[soda];
    }
}

static thaw_status watch(const thaw_engine *e, thaw_error *err)
{
    return e->watch ? e->watch(e->watch_user, e, err) : THAW_OK;
}

static thaw_status run_steps(thaw_engine *engine, thaw_engine_progress progress, void *user, thaw_error *err)
{
    const double end = engine->spec->leave_s;
    engine->is_calm = false; /* whoever runs the engine in turns may have changed its state */
    engine->wick.before_s = 0.0;
    thaw_melt_add(&engine->melt, engine->state.time_s);
    thaw_status status = watch(engine, err);
    if (status != THAW_OK) {
        return status;
    }
    while (engine->state.time_s < end) {
        thaw_melt_add(&engine->melt, engine->state.time_s);
        double dt = fmin(macro_length(engine), end - engine->state.time_s);
        status = macro_step(engine, dt, err);
        if (status == THAW_OK) {
            status = watch(engine, err);
        }
        if (status != THAW_OK) {
            return status;
        }
        /* Most of the work is done while ice melts; this keeps the bar honest enough. */
        if (progress && !progress(user, engine->state.time_s / end, engine->state.time_s)) {
            return thaw_fail(err, THAW_ERR_CANCELLED, "stopped after %.2f simulated hours", engine->state.time_s / 3600.0);
        }
    }
    close_books(engine);
    return THAW_OK;
}

thaw_status thaw_engine_run(thaw_engine *engine, thaw_engine_progress progress, void *user, thaw_error *err)
{
    if (engine->bundle->n >= FEW_CELLS) {
        return run_steps(engine, progress, user, err);
    }
    const int before = thaw_crew_set_threads(1);
    thaw_status status = run_steps(engine, progress, user, err);
    thaw_crew_set_threads(before);
    return status;
}

static double relative(double difference, double scale)
{
    return scale > 0.0 ? fabs(difference) / scale : 0.0;
}

double thaw_engine_water_error(const thaw_engine *e)
{
    const thaw_water_ledger *w = &e->water;
    double in = w->start_kg + w->melt_kg + w->condensed_kg + w->poured_kg, out = w->end_kg + w->tub_kg + w->evaporated_kg;
    return relative(in - out, w->start_kg + w->melt_kg + w->poured_kg);
}

double thaw_engine_heat_error(const thaw_engine *e)
{
    const thaw_heat_ledger *h = &e->heat;
    double in = h->air + h->condensation + h->radiation + h->below + h->poured;
    double used = h->melt + h->cold + h->cloth - h->cloth_start + h->runoff;
    /* With what was there and came, as in the book of water: cloth as warm as the room exchanges next to nothing. */
    const double there = fabs(h->cloth_start) + fabs(h->poured);
    return relative(in - used, there + fabs(h->air) + fabs(h->condensation) + fabs(h->radiation) + fabs(h->below) + h->melt);
}

double thaw_engine_soda_error(const thaw_engine *e)
{
    return relative(e->soda_start_kg - e->soda_end_kg - e->tub_soda_kg, e->soda_start_kg);
}

double thaw_engine_dye_error(const thaw_engine *e, int c)
{
    const thaw_state *s = &e->state;
    double found = thaw_engine_powder_kg(e, c) + thaw_engine_sum_kg(e, s->powder_kg_m2[c]) +
                   thaw_engine_sum_kg(e, s->mobile_kg_m2[c]) + thaw_engine_sum_kg(e, s->fixed_kg_m2[c]) +
                   thaw_engine_sum_kg(e, s->hydrolysed_kg_m2[c]) + e->tub_dye_kg[c] + e->drip.missed_dye_kg[c] + thaw_engine_lumps_kg(e, c);
    return relative(found - e->weighed_kg[c], e->weighed_kg[c]);
}
