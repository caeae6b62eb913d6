#include "sim/uptake.h"

#include <math.h>

#include "base/alloc.h"
#include "sim/powder.h"

#define T20_K 293.15
#define SORPTION_J_MOL 20000.0     /* heat of sorption: estimate */
#define SODA_20_KG_M3 20.0
#define SODA_LEAST_KG_M3 0.05      /* below this nothing reacts: estimate */
#define ALKALI_MOST 1.4
#define SALT_LEAST 0.2             /* sorption left in soft water, (soda/20)^1/2 does not fall below: estimate */
#define SORBED_MOST_KG_KG 0.060    /* ceiling of sorbed dye: estimate */
#define CAPACITY_COTTON_KG_KG 0.045

/* Fibre that takes dye, kg/m2. */
static double live_mass(const thaw_cloth_kind *cloth)
{
    return cloth->mass_kg_m2 * (1.0 - cloth->idle_share);
}

thaw_status thaw_uptake_create(const thaw_specification *spec, const thaw_dye_list *dyes, const thaw_warmth *warmth,
                               const double *volume_m, size_t n_rows, size_t n_cells, thaw_uptake *out, thaw_error *err)
{
    thaw_uptake u = {.spec = spec, .dyes = dyes, .warmth = warmth, .volume_m = volume_m};
    u.hold_m3_kg_m2 = thaw_allocate(n_cells, sizeof(double), err);
    u.rows = thaw_allocate(n_rows * THAW_FORECAST_TIMES, sizeof(double), err);
    u.kd_ratio = thaw_allocate(warmth->n, sizeof(double), err);
    u.soluble_ratio = thaw_allocate(warmth->n, sizeof(double), err);
    if (!u.hold_m3_kg_m2 || !u.rows || !u.kd_ratio || !u.soluble_ratio) {
        goto fail;
    }
    for (int c = 0; c < dyes->n; c++) {
        u.fix_per_s[c] = thaw_allocate(warmth->n, sizeof(double), err);
        u.hydrolyse_per_s[c] = thaw_allocate(warmth->n, sizeof(double), err);
        u.dissolve_per_s[c] = thaw_allocate(warmth->n, sizeof(double), err);
        if (!u.fix_per_s[c] || !u.hydrolyse_per_s[c] || !u.dissolve_per_s[c]) {
            goto fail;
        }
    }
    for (size_t k = 0; k < n_cells; k++) {
        u.hold_m3_kg_m2[k] = live_mass(spec->cloth);
    }
    *out = u;
    return THAW_OK;
fail:
    thaw_uptake_destroy(&u);
    return THAW_ERR_MEMORY;
}

void thaw_uptake_destroy(thaw_uptake *u)
{
    thaw_release(u->hold_m3_kg_m2);
    thaw_release(u->rows);
    thaw_release(u->kd_ratio);
    thaw_release(u->soluble_ratio);
    for (int c = 0; c < THAW_MAX_COMPONENTS; c++) {
        thaw_release(u->fix_per_s[c]);
        thaw_release(u->hydrolyse_per_s[c]);
        thaw_release(u->dissolve_per_s[c]);
    }
    *u = (thaw_uptake){0};
}

static double arrhenius(double j_mol, double t_k)
{
    return exp(-j_mol / THAW_GAS_CONSTANT * (1.0 / t_k - 1.0 / T20_K));
}

/* Everything that depends on temperature alone, once per square. */
static void set_rates(thaw_uptake *u)
{
    for (size_t q = 0; q < u->warmth->n; q++) {
        const double t = u->warmth->t_k[q];
        u->kd_ratio[q] = arrhenius(-SORPTION_J_MOL, t);
        const double speed = thaw_powder_speed_ratio(t);
        u->soluble_ratio[q] = thaw_powder_solubility_ratio(t);
        for (int c = 0; c < u->dyes->n; c++) {
            const thaw_component *d = u->dyes->components[c];
            u->fix_per_s[c][q] = d->fixation_per_s * u->spec->cloth->reaction_ratio * arrhenius(d->fixation_j_mol, t);
            u->hydrolyse_per_s[c][q] = d->hydrolysis_per_s * arrhenius(d->hydrolysis_j_mol, t);
            u->dissolve_per_s[c][q] = speed / thaw_powder_life_s(d);
        }
    }
}

/* What one cell holds, gathered so that a step touches the big arrays once. */
typedef struct cell_dye {
    double mobile[THAW_MAX_COMPONENTS], fixed[THAW_MAX_COMPONENTS], dead[THAW_MAX_COMPONENTS];
    double liquid_m, soda_kg_m3, hold;
    int32_t square;
} cell_dye;

static double alkali(double soda_kg_m3)
{
    return soda_kg_m3 < SODA_LEAST_KG_M3 ? 0.0 : fmin(ALKALI_MOST, sqrt(soda_kg_m3 / SODA_20_KG_M3));
}

/* Two rounds of theta starting from the last one: it changes slowly. */
static void settle_sorption(const thaw_uptake *u, cell_dye *cell)
{
    const double salt = fmin(ALKALI_MOST, sqrt(cell->soda_kg_m3 / SODA_20_KG_M3));
    const double kd = u->kd_ratio[cell->square] * fmax(SALT_LEAST, salt);
    const double most = live_mass(u->spec->cloth) * kd;
    for (int round = 0; round < 2; round++) {
        double theta = 1.0;
        for (int c = 0; c < u->dyes->n; c++) {
            double kd20 = u->dyes->components[c]->kd_m3_kg;
            theta += kd20 * kd * cell->mobile[c] / (cell->liquid_m + kd20 * cell->hold) / SORBED_MOST_KG_KG;
        }
        cell->hold = most / theta;
    }
}

/* (1 - exp(-x)) to 1e-4 for x < 1 and never above 1. */
static double spent(double x)
{
    return x / (1.0 + x * (0.5 + x * (1.0 / 12.0)));
}

static void react(const thaw_uptake *u, cell_dye *cell, double alpha, double dt_s)
{
    const double ceiling = u->spec->cloth->capacity_kg_kg / CAPACITY_COTTON_KG_KG * live_mass(u->spec->cloth);
    double load = 0.0;
    for (int c = 0; c < u->dyes->n; c++) {
        load += cell->fixed[c] / (ceiling * u->dyes->components[c]->capacity_kg_kg);
    }
    const double free = fmax(0.0, 1.0 - load);
    for (int c = 0; c < u->dyes->n; c++) {
        if (!(cell->mobile[c] > 0.0)) {
            continue;
        }
        double kd_hold = u->dyes->components[c]->kd_m3_kg * cell->hold;
        double fix = u->fix_per_s[c][cell->square] * alpha * free * kd_hold / (cell->liquid_m + kd_hold);
        double dead = u->hydrolyse_per_s[c][cell->square] * alpha;
        double rate = fix + dead;
        if (rate > 0.0) {
            double gone = cell->mobile[c] * fmin(1.0, spent(rate * dt_s));
            double bonded = gone * (fix / rate);
            cell->mobile[c] -= gone;
            cell->fixed[c] += bonded;
            cell->dead[c] += gone - bonded;
        }
    }
}

static void gather_cell(const thaw_uptake *u, const thaw_state *s, size_t k, cell_dye *cell)
{
    const thaw_cloth_kind *cloth = u->spec->cloth;
    const double bound = cloth->bound_kg_kg * cloth->mass_kg_m2 / THAW_WATER_DENSITY_KG_M3;
    cell->square = u->warmth->square_of_cell[k];
    cell->liquid_m = u->volume_m[k] * s->saturation[k];
    cell->soda_kg_m3 = s->soda_kg_m2[k] / (cell->liquid_m + bound);
    cell->hold = u->hold_m3_kg_m2[k];
    for (int c = 0; c < u->dyes->n; c++) {
        cell->mobile[c] = s->mobile_kg_m2[c][k];
        cell->fixed[c] = s->fixed_kg_m2[c][k];
        cell->dead[c] = s->hydrolysed_kg_m2[c][k];
    }
}

/* Grains on the cloth dissolve as far as the water in the cell takes them. */
static void dissolve_grains(const thaw_uptake *u, thaw_state *s, size_t k, double dt_s, cell_dye *cell)
{
    for (int c = 0; c < u->dyes->n; c++) {
        double powder = s->powder_kg_m2[c][k];
        if (powder > 0.0) {
            const thaw_component *d = u->dyes->components[c];
            double room = (cell->liquid_m + d->kd_m3_kg * cell->hold) * d->solubility_kg_m3 * u->soluble_ratio[cell->square] -
                          cell->mobile[c];
            double ready = powder * fmin(1.0, spent(u->dissolve_per_s[c][cell->square] * dt_s));
            double gone = fmax(0.0, fmin(room, ready));
            s->powder_kg_m2[c][k] = powder - gone;
            cell->mobile[c] += gone;
        }
    }
}

void thaw_uptake_step(thaw_uptake *uptake, int nx, int ny, double dt_s, thaw_state *state)
{
    const int n_dyes = uptake->dyes->n;
    set_rates(uptake);
#pragma omp parallel for schedule(static)
    for (int j = 0; j < ny; j++) {
        for (size_t k = (size_t)j * (size_t)nx; k < (size_t)(j + 1) * (size_t)nx; k++) {
            cell_dye cell;
            gather_cell(uptake, state, k, &cell);
            dissolve_grains(uptake, state, k, dt_s, &cell);
            settle_sorption(uptake, &cell);
            uptake->hold_m3_kg_m2[k] = cell.hold;
            react(uptake, &cell, alkali(cell.soda_kg_m3), dt_s);
            for (int c = 0; c < n_dyes; c++) {
                state->mobile_kg_m2[c][k] = cell.mobile[c];
                state->fixed_kg_m2[c][k] = cell.fixed[c];
                state->hydrolysed_kg_m2[c][k] = cell.dead[c];
            }
        }
    }
}

void thaw_uptake_capacity(const thaw_uptake *uptake, int c, size_t n, const double *restrict saturation, double *restrict capacity_m)
{
    const double kd = uptake->dyes->components[c]->kd_m3_kg;
    const double *restrict hold = uptake->hold_m3_kg_m2, *restrict volume = uptake->volume_m;
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        capacity_m[k] = volume[k] * saturation[k] + kd * hold[k];
    }
}

void thaw_uptake_soda_capacity(const thaw_uptake *uptake, size_t n, const double *restrict saturation, double *restrict capacity_m)
{
    const thaw_cloth_kind *cloth = uptake->spec->cloth;
    const double bound = cloth->bound_kg_kg * cloth->mass_kg_m2 / THAW_WATER_DENSITY_KG_M3;
    const double *restrict volume = uptake->volume_m;
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        capacity_m[k] = volume[k] * saturation[k] + bound;
    }
}

/* Carry one cell on and add its fixed dye at each time to sum[]. */
static void forecast_cell(const thaw_uptake *u, const thaw_state *state, size_t k, int n_times,
                          const double *times_s, double *sum)
{
    const int parts = 4;
    cell_dye cell;
    double now = 0.0;
    gather_cell(u, state, k, &cell);
    const double alpha = alkali(cell.soda_kg_m3);
    for (int t = 0; t < n_times; t++) {
        for (int p = 0; p < parts; p++) {
            react(u, &cell, alpha, (times_s[t] - now) / parts);
        }
        now = times_s[t];
        for (int c = 0; c < u->dyes->n; c++) {
            sum[t] += cell.fixed[c];
        }
    }
}

void thaw_uptake_forecast(thaw_uptake *uptake, int nx, int ny, const thaw_state *state, double cell_area_m2,
                          int n_times, const double *times_s, double *fixed_kg)
{
    double *rows = uptake->rows;
    const int n = n_times < THAW_FORECAST_TIMES ? n_times : THAW_FORECAST_TIMES;
#pragma omp parallel for schedule(static)
    for (int j = 0; j < ny; j++) {
        double *sum = rows + (size_t)j * THAW_FORECAST_TIMES;
        for (int t = 0; t < n; t++) {
            sum[t] = 0.0;
        }
        for (size_t k = (size_t)j * (size_t)nx; k < (size_t)(j + 1) * (size_t)nx; k++) {
            forecast_cell(uptake, state, k, n, times_s, sum);
        }
    }
    for (int t = 0; t < n; t++) {
        fixed_kg[t] = 0.0;
        for (int j = 0; j < ny; j++) {
            fixed_kg[t] += cell_area_m2 * rows[(size_t)j * THAW_FORECAST_TIMES + (size_t)t];
        }
    }
}
