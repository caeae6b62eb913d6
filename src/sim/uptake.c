#include "sim/uptake.h"

#include <math.h>

#include "base/alloc.h"
#include "sim/powder.h"
#include "sim/protein.h"
#include "sim/retention.h"

#define T20_K 293.15
#define SORPTION_J_MOL 20000.0     /* heat of sorption: estimate */
#define SODA_20_KG_M3 20.0f
#define SODA_LEAST_KG_M3 0.05f     /* below this nothing reacts: estimate */
#define ALKALI_MOST 1.4f
#define SALT_LEAST 0.2f            /* sorption left in soft water, (soda/20)^1/2 does not fall below: estimate */
#define SORBED_MOST_KG_KG 0.060f   /* ceiling of sorbed dye: estimate */
#define CAPACITY_COTTON_KG_KG 0.045
/* Dye needs water to react (hand-dyeing FAQ: keep it moist). Below this saturation cloth is drying out, its bound water
 * with it, and bonding slows, to nothing in air-dry cloth: estimate. Jersey that drains over 1.5 m keeps 0.08. */
#define MOIST ((float)THAW_MOIST_SATURATION)
#define AIR_DRY ((float)THAW_AIR_DRY_SATURATION)

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
    u.kd_ratio = thaw_allocate(warmth->n, sizeof(float), err);
    u.protein_ratio = thaw_allocate(warmth->n, sizeof(float), err);
    u.soluble_ratio = thaw_allocate(warmth->n, sizeof(double), err);
    if (!u.hold_m3_kg_m2 || !u.rows || !u.kd_ratio || !u.protein_ratio || !u.soluble_ratio) {
        goto fail;
    }
    for (int c = 0; c < dyes->n; c++) {
        u.fix_per_s[c] = thaw_allocate(warmth->n, sizeof(float), err);
        u.hydrolyse_per_s[c] = thaw_allocate(warmth->n, sizeof(float), err);
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
    thaw_release(u->protein_ratio);
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
#pragma omp parallel for schedule(static)
    for (size_t q = 0; q < u->warmth->n; q++) {
        const double t = u->warmth->t_k[q];
        u->kd_ratio[q] = (float)arrhenius(-SORPTION_J_MOL, t);
        u->protein_ratio[q] = (float)arrhenius(-THAW_PROTEIN_LESS_J_MOL, t);
        const double speed = thaw_powder_speed_ratio(t);
        u->soluble_ratio[q] = thaw_powder_solubility_ratio(t);
        for (int c = 0; c < u->dyes->n; c++) {
            const thaw_component *d = u->dyes->components[c];
            u->fix_per_s[c][q] =
                (float)(d->fixation_per_s * u->spec->cloth->reaction_ratio * arrhenius(d->fixation_j_mol, t));
            u->hydrolyse_per_s[c][q] = (float)(d->hydrolysis_per_s * arrhenius(d->hydrolysis_j_mol, t));
            u->dissolve_per_s[c][q] = speed / thaw_powder_life_s(d);
        }
    }
}

/* A block of neighbours in a row, so that inner loops run over cells: without branches, they vectorise. Rates and
 * shares are computed in single precision; amounts are double, and what one form loses another gains in full. */
#define BLOCK 64
typedef struct block {
    int n, n_dyes;                 /* cells; dyes of which any cell holds some */
    int dye[THAW_MAX_COMPONENTS];
    double *mobile[THAW_MAX_COMPONENTS], *fixed[THAW_MAX_COMPONENTS], *dead[THAW_MAX_COMPONENTS]; /* n each, by component */
    const int32_t *square;
    double *hold;
    float liquid_m[BLOCK], soda_kg_m3[BLOCK];
    float alpha[BLOCK], bonding[BLOCK]; /* speed of hydrolysis and of bonding over those in 20 g/L of soda ash */
} block;

static inline double lower(double a, double b)
{
    return a < b ? a : b;
}

static inline double higher(double a, double b)
{
    return a > b ? a : b;
}

static inline float lower_f(float a, float b)
{
    return a < b ? a : b;
}

static inline float higher_f(float a, float b)
{
    return a > b ? a : b;
}

/* How far the moisture of the cloth lets dye react: 1 in damp cloth, 0 in air-dry cloth. */
static inline float moisture(double saturation)
{
    return lower_f(1.0f, higher_f(0.0f, ((float)saturation - AIR_DRY) * (1.0f / (MOIST - AIR_DRY))));
}

/* Speeds in the soda and moisture of each cell. */
static void set_speeds(const thaw_uptake *u, const double *saturation, block *b)
{
    const float protein = (float)u->spec->cloth->protein_share, cellulose = 1.0f - protein;
    for (int i = 0; i < b->n; i++) {
        const float root = sqrtf(higher_f(b->soda_kg_m3[i], 0.0f) / SODA_20_KG_M3);
        const float alkali = b->soda_kg_m3[i] < SODA_LEAST_KG_M3 ? 0.0f : lower_f(ALKALI_MOST, root);
        b->alpha[i] = alkali * moisture(saturation[i]);
        b->bonding[i] = b->alpha[i];
    }
    for (int i = 0; protein > 0.0f && i < b->n; i++) {
        const float speed = thaw_protein_bonding(thaw_protein_free(b->soda_kg_m3[i])) * u->protein_ratio[b->square[i]];
        b->bonding[i] = cellulose * b->alpha[i] + protein * speed * moisture(saturation[i]);
    }
}

static void open_block(thaw_uptake *u, const thaw_state *s, size_t first, int n, block *b)
{
    const thaw_cloth_kind *cloth = u->spec->cloth;
    const float bound = (float)(cloth->bound_kg_kg * cloth->mass_kg_m2 / THAW_WATER_DENSITY_KG_M3);
    const double *volume = u->volume_m + first, *saturation = s->saturation + first, *soda = s->soda_kg_m2 + first;
    b->n = n;
    b->square = u->warmth->square_of_cell + first;
    b->hold = u->hold_m3_kg_m2 + first;
    for (int i = 0; i < n; i++) {
        b->liquid_m[i] = (float)(volume[i] * saturation[i]);
        b->soda_kg_m3[i] = (float)soda[i] / (b->liquid_m[i] + bound);
    }
    set_speeds(u, saturation, b);
    for (int c = 0; c < u->dyes->n; c++) {
        b->mobile[c] = s->mobile_kg_m2[c] + first;
        b->fixed[c] = s->fixed_kg_m2[c] + first;
        b->dead[c] = s->hydrolysed_kg_m2[c] + first;
    }
}

/* Which dyes are there at all. */
static void list_dyes(const thaw_uptake *u, block *b)
{
    b->n_dyes = 0;
    for (int c = 0; c < u->dyes->n; c++) {
        int any = 0;
        for (int i = 0; i < b->n; i++) {
            any |= b->mobile[c][i] != 0.0;
        }
        if (any) {
            b->dye[b->n_dyes++] = c;
        }
    }
}

/* Two rounds of theta starting from the last one: it changes slowly. */
static void settle_sorption(const thaw_uptake *u, block *b)
{
    const int n = b->n;
    const float *restrict liquid_m = b->liquid_m, mass_kg_m2 = (float)live_mass(u->spec->cloth);
    const float protein = (float)u->spec->cloth->protein_share;
    double *restrict hold = b->hold;
    float kd[BLOCK], theta[BLOCK];
    for (int i = 0; i < n; i++) {
        const float salt = lower_f(ALKALI_MOST, sqrtf(higher_f(b->soda_kg_m3[i], 0.0f) / SODA_20_KG_M3));
        kd[i] = higher_f(SALT_LEAST, salt);
    }
    for (int i = 0; protein > 0.0f && i < n; i++) {
        kd[i] += protein * (thaw_protein_sorption(thaw_protein_free(b->soda_kg_m3[i]), kd[i]) - kd[i]);
    }
    for (int i = 0; i < n; i++) {
        kd[i] *= u->kd_ratio[b->square[i]];
    }
    for (int round = 0; round < 2; round++) {
        for (int i = 0; i < n; i++) {
            theta[i] = 1.0f;
        }
        for (int d = 0; d < b->n_dyes; d++) {
            const float kd20 = (float)u->dyes->components[b->dye[d]]->kd_m3_kg;
            const double *restrict mobile = b->mobile[b->dye[d]];
            for (int i = 0; i < n; i++) {
                theta[i] += kd20 * kd[i] * (float)mobile[i] / ((liquid_m[i] + kd20 * (float)hold[i]) * SORBED_MOST_KG_KG);
            }
        }
        for (int i = 0; i < n; i++) {
            hold[i] = (double)(mass_kg_m2 * kd[i] / theta[i]);
        }
    }
}

/* (1 - exp(-x)) to 1e-4 for x < 1 and never above 1. */
static inline double spent(double x)
{
    return x / (1.0 + x * (0.5 + x * (1.0 / 12.0)));
}

static void react_dye(const thaw_uptake *u, block *b, int c, const float *restrict free, double dt_s)
{
    const float kd = (float)u->dyes->components[c]->kd_m3_kg, dt = (float)dt_s;
    const float *restrict fix_per_s = u->fix_per_s[c], *restrict dead_per_s = u->hydrolyse_per_s[c];
    double *restrict mobile = b->mobile[c], *restrict fixed = b->fixed[c], *restrict dead = b->dead[c];
    const double *restrict hold = b->hold;
    const float *restrict liquid_m = b->liquid_m, *restrict alpha = b->alpha, *restrict bonding = b->bonding;
    const int32_t *restrict square = b->square;
    const int n = b->n;
    for (int i = 0; i < n; i++) {
        const float kd_hold = kd * (float)hold[i];
        const float fix = fix_per_s[square[i]] * bonding[i] * free[i] * kd_hold / (liquid_m[i] + kd_hold);
        const float rate = fix + dead_per_s[square[i]] * alpha[i];
        const float share = rate > 0.0f ? fix / (rate > 0.0f ? rate : 1.0f) : 0.0f, x = rate * dt;
        const float part = lower_f(1.0f, x / (1.0f + x * (0.5f + x * (1.0f / 12.0f)))); /* see spent() */
        const double gone = higher(mobile[i], 0.0) * (double)part;
        const double bonded = gone * (double)share;
        mobile[i] -= gone;
        fixed[i] += bonded;
        dead[i] += gone - bonded;
    }
}

static void react(const thaw_uptake *u, block *b, double dt_s)
{
    const double ceiling = u->spec->cloth->capacity_kg_kg / CAPACITY_COTTON_KG_KG * live_mass(u->spec->cloth);
    float free[BLOCK] = {0};
    for (int c = 0; c < u->dyes->n; c++) {
        const float per_most = (float)(1.0 / (ceiling * u->dyes->components[c]->capacity_kg_kg));
        for (int i = 0; i < b->n; i++) {
            free[i] += (float)b->fixed[c][i] * per_most;
        }
    }
    for (int i = 0; i < b->n; i++) {
        free[i] = higher_f(0.0f, 1.0f - free[i]);
    }
    for (int d = 0; d < b->n_dyes; d++) {
        react_dye(u, b, b->dye[d], free, dt_s);
    }
}

/* Grains on the cloth dissolve as far as the water in the cell takes them. Few cells hold any. */
static void dissolve_grains(const thaw_uptake *u, thaw_state *s, size_t first, double dt_s, block *b)
{
    for (int c = 0; c < u->dyes->n; c++) {
        double *powder = s->powder_kg_m2[c] + first;
        const thaw_component *d = u->dyes->components[c];
        for (int i = 0; i < b->n; i++) {
            if (powder[i] > 0.0) {
                const int32_t q = b->square[i];
                double room = ((double)b->liquid_m[i] + d->kd_m3_kg * b->hold[i]) * d->solubility_kg_m3 * u->soluble_ratio[q] -
                              b->mobile[c][i];
                double ready = powder[i] * lower(1.0, spent(u->dissolve_per_s[c][q] * dt_s));
                double gone = higher(0.0, lower(room, ready));
                powder[i] -= gone;
                b->mobile[c][i] += gone;
            }
        }
    }
}

void thaw_uptake_step(thaw_uptake *uptake, int nx, int ny, double dt_s, thaw_state *state)
{
    set_rates(uptake);
#pragma omp parallel for schedule(static)
    for (int j = 0; j < ny; j++) {
        for (int i = 0; i < nx; i += BLOCK) {
            block b;
            const size_t first = (size_t)j * (size_t)nx + (size_t)i;
            open_block(uptake, state, first, nx - i < BLOCK ? nx - i : BLOCK, &b);
            dissolve_grains(uptake, state, first, dt_s, &b);
            list_dyes(uptake, &b);
            settle_sorption(uptake, &b);
            react(uptake, &b, dt_s);
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

/* Dye of a block, to be changed without changing the cloth. */
typedef struct dye_copy {
    double mobile[THAW_MAX_COMPONENTS][BLOCK], fixed[THAW_MAX_COMPONENTS][BLOCK], dead[THAW_MAX_COMPONENTS][BLOCK];
} dye_copy;

static void copy_dye(const thaw_uptake *u, block *b, dye_copy *copy)
{
    for (int c = 0; c < u->dyes->n; c++) {
        for (int i = 0; i < b->n; i++) {
            copy->mobile[c][i] = b->mobile[c][i];
            copy->fixed[c][i] = b->fixed[c][i];
            copy->dead[c][i] = b->dead[c][i];
        }
        b->mobile[c] = copy->mobile[c];
        b->fixed[c] = copy->fixed[c];
        b->dead[c] = copy->dead[c];
    }
}

/* Carry a block on and add its fixed dye at each time to sum[]. */
static void forecast_block(thaw_uptake *u, const thaw_state *state, size_t first, int n, int n_times,
                           const double *times_s, double *sum)
{
    const int parts = 4;
    block b;
    dye_copy copy;
    double now = 0.0;
    open_block(u, state, first, n, &b);
    list_dyes(u, &b);
    copy_dye(u, &b, &copy);
    for (int t = 0; t < n_times; t++) {
        for (int p = 0; p < parts; p++) {
            react(u, &b, (times_s[t] - now) / parts);
        }
        now = times_s[t];
        for (int i = 0; i < n; i++) {
            for (int c = 0; c < u->dyes->n; c++) {
                sum[t] += b.fixed[c][i];
            }
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
        for (int i = 0; i < nx; i += BLOCK) {
            forecast_block(uptake, state, (size_t)j * (size_t)nx + (size_t)i, nx - i < BLOCK ? nx - i : BLOCK, n, times_s, sum);
        }
    }
    for (int t = 0; t < n; t++) {
        fixed_kg[t] = 0.0;
        for (int j = 0; j < ny; j++) {
            fixed_kg[t] += cell_area_m2 * rows[(size_t)j * THAW_FORECAST_TIMES + (size_t)t];
        }
    }
}
