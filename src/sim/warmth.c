#include "sim/warmth.h"

#include <math.h>

#include "base/alloc.h"

#define WET_CLOTH_W_MK 0.40        /* wet folded cotton: estimate between 0.3 and 0.45, from memory */
#define PARTS 64                   /* runs of squares that threads share out */
#define LOOSENESS 1.3              /* height of a layer / thickness of the cloth: estimate */

thaw_status thaw_warmth_create(const thaw_specification *spec, const thaw_bundle *bundle, double square_m,
                               thaw_warmth *out, thaw_error *err)
{
    thaw_warmth w = {.square_m = square_m};
    w.nx = (int)ceil(thaw_bundle_plan_width_m(bundle) / square_m - 1e-9);
    w.ny = (int)ceil(thaw_bundle_plan_length_m(bundle) / square_m - 1e-9);
    w.nx = w.nx < 1 ? 1 : w.nx;
    w.ny = w.ny < 1 ? 1 : w.ny;
    w.n = (size_t)w.nx * (size_t)w.ny;
    double **arrays[] = {&w.dry_j_k, &w.water_kg, &w.cloth_share, &w.thickness_m, &w.energy_j, &w.t_k, &w.open,
                         &w.contact_w_k, &w.dryness, &w.evaporated_kg, &w.left_kg, &w.landed_kg, &w.spare};
    for (size_t a = 0; a < sizeof arrays / sizeof *arrays; a++) {
        if (!(*arrays[a] = thaw_allocate(w.n, sizeof(double), err))) {
            goto fail;
        }
    }
    size_t n_tray = (size_t)bundle->tray_nx * (size_t)bundle->tray_ny;
    w.square_of_cell = thaw_allocate(bundle->n, sizeof(int32_t), err);
    w.square_of_tray = thaw_allocate(n_tray, sizeof(int32_t), err);
    if (!w.square_of_cell || !w.square_of_tray) {
        goto fail;
    }
    if (bundle->hung_rows > 0 && !(w.hung = thaw_allocate(w.n, sizeof(double), err))) {
        goto fail;
    }
    const double tray_share = bundle->tray_m * bundle->tray_m / (square_m * square_m);
    for (size_t t = 0; t < n_tray; t++) {
        int i = (int)(((double)(t % (size_t)bundle->tray_nx) + 0.5) * bundle->tray_m / square_m);
        int j = (int)(((double)(t / (size_t)bundle->tray_nx) + 0.5) * bundle->tray_m / square_m);
        i = i < w.nx ? i : w.nx - 1;
        j = j < w.ny ? j : w.ny - 1;
        int32_t q = j * w.nx + i;
        w.square_of_tray[t] = q;
        if (bundle->top[t] >= 0) {
            w.cloth_share[q] = fmin(1.0, w.cloth_share[q] + tray_share);
        }
    }
    const double cell_area = bundle->cell_m * bundle->cell_m;
    for (size_t k = 0; k < bundle->n; k++) {
        int32_t q = w.square_of_tray[bundle->tray[k]];
        w.square_of_cell[k] = q;
        if (!thaw_bundle_is_cloth(bundle, k)) {
            continue;
        }
        if (k >= thaw_bundle_first_hung(bundle)) {
            w.hung[q] = 1.0;
        }
        w.dry_j_k[q] += cell_area * spec->cloth->mass_kg_m2 * THAW_CLOTH_HEAT_J_KGK;
        w.thickness_m[q] += cell_area / (square_m * square_m) * spec->cloth->thickness_m * LOOSENESS;
    }
    for (size_t q = 0; q < w.n; q++) {
        w.open[q] = w.dryness[q] = 1.0;
        if (w.dry_j_k[q] > 0.0 && w.cloth_share[q] <= 0.0) {
            w.cloth_share[q] = tray_share;
        }
    }
    *out = w;
    return THAW_OK;
fail:
    thaw_warmth_destroy(&w);
    return THAW_ERR_MEMORY;
}

void thaw_warmth_destroy(thaw_warmth *w)
{
    void *blocks[] = {w->square_of_cell, w->square_of_tray, w->dry_j_k, w->water_kg, w->cloth_share,
                      w->thickness_m, w->energy_j, w->t_k, w->open, w->hung, w->contact_w_k, w->dryness,
                      w->evaporated_kg, w->left_kg, w->landed_kg, w->spare};
    for (size_t b = 0; b < sizeof blocks / sizeof *blocks; b++) {
        thaw_release(blocks[b]);
    }
    *w = (thaw_warmth){0};
}

void thaw_warmth_weigh(thaw_warmth *warmth, const thaw_bundle *bundle, const double *saturation,
                       const double *volume_m, double bound_kg_m2, double *water_kg)
{
    const double area = bundle->cell_m * bundle->cell_m;
    for (size_t q = 0; q < warmth->n; q++) {
        water_kg[q] = 0.0;
    }
    for (size_t k = 0; k < bundle->n; k++) {
        if (!thaw_bundle_is_cloth(bundle, k)) {
            continue;
        }
        double content = saturation[k] * volume_m[k] * THAW_WATER_DENSITY_KG_M3 + bound_kg_m2;
        water_kg[warmth->square_of_cell[k]] += area * content;
    }
}

static double capacity(const thaw_warmth *w, size_t q)
{
    return w->dry_j_k[q] + w->water_kg[q] * THAW_WATER_HEAT_J_KGK;
}

static void set_temperatures(thaw_warmth *w, thaw_heat_ledger *ledger)
{
    ledger->cloth = 0.0;
    for (size_t q = 0; q < w->n; q++) {
        double c = capacity(w, q);
        w->t_k[q] = THAW_ICE_POINT_K + (c > 0.0 ? w->energy_j[q] / c : 0.0);
        ledger->cloth += w->energy_j[q];
    }
}

void thaw_warmth_start(thaw_warmth *warmth, double t_k, const double *water_kg, thaw_heat_ledger *ledger)
{
    for (size_t q = 0; q < warmth->n; q++) {
        warmth->water_kg[q] = water_kg[q];
        warmth->energy_j[q] = capacity(warmth, q) * (t_k - THAW_ICE_POINT_K);
    }
    set_temperatures(warmth, ledger);
    ledger->cloth_start = ledger->cloth;
}

/* Heat that part of the water of a square takes along when it goes and the rest stays. */
static double leave(const thaw_warmth *w, size_t q, double goes_kg, double stays_kg)
{
    const double going = THAW_WATER_HEAT_J_KGK * goes_kg;
    return goes_kg > 0.0 ? w->energy_j[q] * going / (w->dry_j_k[q] + THAW_WATER_HEAT_J_KGK * stays_kg + going) : 0.0;
}

/* Water leaves at the temperature of everything the square held in the step, so that a square through which
 * many times its content runs keeps a temperature between those of what came in. */
void thaw_warmth_move(thaw_warmth *warmth, const double *water_kg, thaw_heat_ledger *ledger)
{
    /* Water that moved sideways is pooled: givers give theirs, takers take the mix. */
    double pool_j = 0.0, gained_kg = 0.0;
    for (size_t q = 0; q < warmth->n; q++) {
        double sideways = water_kg[q] - warmth->water_kg[q] - warmth->landed_kg[q] + warmth->left_kg[q] +
                          warmth->evaporated_kg[q];
        warmth->spare[q] = sideways;
        if (sideways < 0.0) {
            double given = leave(warmth, q, -sideways, water_kg[q] + warmth->left_kg[q]);
            pool_j += given;
            warmth->energy_j[q] -= given;
        } else {
            gained_kg += sideways;
        }
    }
    for (size_t q = 0; q < warmth->n; q++) {
        if (warmth->spare[q] > 0.0) {
            warmth->energy_j[q] += pool_j * warmth->spare[q] / gained_kg;
        }
        double runoff = leave(warmth, q, warmth->left_kg[q], water_kg[q]);
        warmth->energy_j[q] -= runoff;
        ledger->runoff += runoff;
        warmth->water_kg[q] = water_kg[q];
        warmth->left_kg[q] = warmth->landed_kg[q] = 0.0;
    }
    if (!(gained_kg > 0.0)) {
        ledger->runoff += pool_j;
    }
    set_temperatures(warmth, ledger);
}

/* Conduction between squares that hold cloth; explicit, in as many parts as stability asks. */
static void conduct(thaw_warmth *w, double dt_s)
{
    double stiffest = 0.0;
    for (size_t q = 0; q < w->n; q++) {
        if (w->dry_j_k[q] > 0.0) {
            stiffest = fmax(stiffest, 4.0 * WET_CLOTH_W_MK * w->thickness_m[q] / capacity(w, q));
        }
    }
    int parts = 1 + (int)(dt_s * stiffest / 0.8);
    const double dt = dt_s / parts;
    for (int p = 0; p < parts; p++) {
        for (size_t q = 0; q < w->n; q++) {
            double c = capacity(w, q);
            w->spare[q] = c > 0.0 ? w->energy_j[q] / c : 0.0;
        }
        for (size_t q = 0; q < w->n; q++) {
            size_t next[2] = {q + 1, q + (size_t)w->nx};
            int inside[2] = {(q + 1) % (size_t)w->nx != 0, q + (size_t)w->nx < w->n};
            for (int d = 0; d < 2; d++) {
                if (inside[d] && w->dry_j_k[q] > 0.0 && w->dry_j_k[next[d]] > 0.0) {
                    double thin = fmin(w->thickness_m[q], w->thickness_m[next[d]]);
                    double flow = dt * WET_CLOTH_W_MK * thin * (w->spare[q] - w->spare[next[d]]);
                    w->energy_j[q] -= flow;
                    w->energy_j[next[d]] += flow;
                }
            }
        }
    }
}

/* One square: implicit in its own temperature, every flux linear in it, so the books close. gained: J from the
 * air, as latent heat, by radiation, from below. */
static void exchange(thaw_warmth *w, size_t q, const thaw_weather *weather, double dt_s, double *gained)
{
    const double area = w->square_m * w->square_m * w->cloth_share[q], hung = thaw_warmth_hung(w, q);
    const double open = (1.0 + hung) * area * w->open[q];
    const double c = capacity(w, q), t0 = THAW_ICE_POINT_K + w->energy_j[q] / c;
    const double film = hung > 0.0 ? weather->film_hung_w_m2k : weather->film_top_w_m2k;
    thaw_surface_heat (*const see)(const thaw_weather *, double, double, double) =
        hung > 0.0 ? thaw_weather_heat_aside : thaw_weather_heat;
    thaw_surface_heat heat = see(weather, film, t0, THAW_EMISSIVITY_CLOTH);
    const double step = 0.01;
    thaw_surface_heat next = see(weather, film, t0 + step, THAW_EMISSIVITY_CLOTH);
    double dryness = heat.latent < 0.0 ? w->dryness[q] : 1.0;
    double slope_latent = dryness * (next.latent - heat.latent) / step;
    double slope_radiation = (next.radiation - heat.radiation) / step;
    double below = (1.0 - hung) * area * weather->below_w_m2k;
    double pull = open * (film - slope_latent - slope_radiation) + below + w->contact_w_k[q];
    double push = open * (heat.air + dryness * heat.latent + heat.radiation) + below * (weather->room_k - t0) -
                  w->contact_w_k[q] * (t0 - THAW_ICE_POINT_K);
    double change = dt_s * push / (c + dt_s * pull);
    double air = dt_s * open * (heat.air - film * change);
    double latent = dt_s * open * (dryness * heat.latent + slope_latent * change);
    if (heat.latent >= 0.0 && latent < 0.0) { /* dew at first, and warm enough for vapour within the step */
        latent *= w->dryness[q];
    }
    double radiation = dt_s * open * (heat.radiation + slope_radiation * change);
    double under = dt_s * below * (weather->room_k - t0 - change);
    w->t_k[q] = t0 + change;
    w->energy_j[q] += air + latent + radiation + under -
                      dt_s * w->contact_w_k[q] * (w->t_k[q] - THAW_ICE_POINT_K);
    w->evaporated_kg[q] = -latent / thaw_water_latent_vaporisation_j_kg(THAW_ICE_POINT_K);
    gained[0] += air;
    gained[1] += latent;
    gained[2] += radiation;
    gained[3] += under;
}

void thaw_warmth_step(thaw_warmth *warmth, const thaw_weather *weather, double dt_s, thaw_heat_ledger *ledger)
{
    conduct(warmth, dt_s);
    double gained[PARTS][4] = {{0.0}}; /* added up in order: the bits do not depend on threads */
#pragma omp parallel for schedule(static)
    for (size_t part = 0; part < PARTS; part++) {
        for (size_t q = warmth->n * part / PARTS; q < warmth->n * (part + 1) / PARTS; q++) {
            warmth->evaporated_kg[q] = 0.0;
            if (warmth->dry_j_k[q] > 0.0) {
                exchange(warmth, q, weather, dt_s, gained[part]);
            }
        }
    }
    for (int part = 0; part < PARTS; part++) {
        ledger->air += gained[part][0];
        ledger->condensation += gained[part][1];
        ledger->radiation += gained[part][2];
        ledger->below += gained[part][3];
    }
}
