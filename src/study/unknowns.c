#include "study/unknowns.h"

#include <math.h>

#include "base/random.h"
#include "data/cloths.h"

#define Z90 1.2815515655446004     /* standard normal quantile of 90 % */
#define DRAUGHT_LEAST_M_S 0.05     /* still air is never quite still */

enum {
    ROOM, HUMIDITY, DRAUGHT, HEAT, PIECES, SHED, POWDER,
    CONDUCTIVITY, ENTRY_HEAD, PICKUP, STRENGTH,
    FIXATION, HYDROLYSIS, SORPTION, SOLUBILITY,
    N_UNKNOWNS
};

/* All spreads are estimates. Those of the cloth's conductivity and entry head are for cloth that states none; the
 * cloth's own go before. */
static const struct unknown {
    const char *name;
    double p90;
    bool is_factor;
} UNKNOWNS[N_UNKNOWNS] = {
    [ROOM] = {"room temperature, K", 2.0, false},        /* one thermometer, a day and a night */
    [HUMIDITY] = {"room humidity", 0.15, false},
    [DRAUGHT] = {"draught", 2.0, true},
    [HEAT] = {"exchange of heat with the room", 1.15, true},  /* stacking, rack, what the model leaves out */
    [PIECES] = {"size of the pieces of ice", 1.25, true},
    [SHED] = {"odds that melt runs off over full cloth", 2.0, true},
    [POWDER] = {"powder that is really sprinkled", 1.1, true},
    [CONDUCTIVITY] = {"conductivity of a cloth that states no spread", 2.0, true},
    [ENTRY_HEAD] = {"entry head of a cloth that states no spread", 1.2, true},
    [PICKUP] = {"water left by wringing", 1.1, true},
    [STRENGTH] = {"depth of colour for the same fixed dye", 1.15, true},
    [FIXATION] = {"rate at which the dye fixes", 1.4, true},
    [HYDROLYSIS] = {"rate at which the dye dies", 1.4, true},
    [SORPTION] = {"sorption of the dye", 1.5, true},
    [SOLUBILITY] = {"solubility of the dye", 1.5, true},
};

int thaw_unknowns_count(void)
{
    return N_UNKNOWNS;
}

void thaw_unknowns_at(int i, const char **name, double *p90, bool *is_factor)
{
    *name = UNKNOWNS[i].name;
    *p90 = UNKNOWNS[i].p90;
    *is_factor = UNKNOWNS[i].is_factor;
}

/* Standard normal quantile, by bisection: Phi(z) = erfc(-z / sqrt 2) / 2. */
static double normal_quantile(double p)
{
    double low = -9.0, high = 9.0;
    for (int i = 0; i < 60; i++) {
        const double z = 0.5 * (low + high);
        const bool is_below = 0.5 * erfc(-z * sqrt(0.5)) < p;
        low = is_below ? z : low;
        high = is_below ? high : z;
    }
    return 0.5 * (low + high);
}

/* Which of the n strata of input i falls to a member: its rank among n random numbers, so a permutation. */
static int stratum(uint64_t seed, int i, int member, int n)
{
    const uint64_t first = (uint64_t)i * (uint64_t)n;
    const double own = thaw_random_uniform(seed, THAW_STREAM_UNKNOWN, first + (uint64_t)member);
    int rank = 0;
    for (int m = 0; m < n; m++) {
        rank += thaw_random_uniform(seed, THAW_STREAM_UNKNOWN, first + (uint64_t)m) < own;
    }
    return rank;
}

/* Normal score of an input, in units of its distance from P50 to P90. */
static double draw(uint64_t seed, int i, int member, int n)
{
    double u[4];
    thaw_random_uniform4(seed, THAW_STREAM_UNKNOWN, (uint64_t)i * (uint64_t)n + (uint64_t)member, u);
    return normal_quantile((stratum(seed, i, member, n) + u[1]) / n) / Z90;
}

/* What a cloth says of itself: factors from P50 down to P10 and up to P90. */
static double cloth_factor(double z, double low, double high, double otherwise)
{
    const double up = high > 1.0 ? high : otherwise, down = low > 0.0 && low < 1.0 ? 1.0 / low : otherwise;
    return exp(z * log(z > 0.0 ? up : down));
}

static void draw_all(const thaw_specification *spec, int member, int n, double *by)
{
    const thaw_cloth_kind *cloth = spec->cloth;
    for (int i = 0; i < N_UNKNOWNS; i++) {
        const double z = draw(spec->seed, i, member, n), p90 = UNKNOWNS[i].p90, spread = cloth->conductivity_spread;
        by[i] = i == CONDUCTIVITY ? cloth_factor(z, spread > 1.0 ? 1.0 / spread : 0.0, spread, p90)
                : i == ENTRY_HEAD ? cloth_factor(z, cloth->entry_low, cloth->entry_high, p90)
                : UNKNOWNS[i].is_factor ? exp(z * log(p90))
                                        : z * p90;
    }
}

static void draw_none(double *by)
{
    for (int i = 0; i < N_UNKNOWNS; i++) {
        by[i] = UNKNOWNS[i].is_factor ? 1.0 : 0.0;
    }
}

/* A seed of its own for each member, never the scenario's. */
static uint64_t member_seed(uint64_t seed, int member)
{
    double u[4];
    thaw_random_uniform4(seed, THAW_STREAM_MEMBER, (uint64_t)member, u);
    return (uint64_t)(u[0] * 0x1p32) << 32 | (uint64_t)(u[1] * 0x1p32);
}

static double between(double low, double value, double high)
{
    return fmin(high, fmax(low, value));
}

static void vary_work(thaw_specification *s, const double *by)
{
    s->room_k += by[ROOM];
    for (int h = 0; h < s->n_hours; h++) {
        s->hours[h].t_k += by[ROOM];
    }
    s->humidity = between(0.0, s->humidity + by[HUMIDITY], 1.0);
    s->draught_m_s = by[DRAUGHT] > 1.0 ? fmax(DRAUGHT_LEAST_M_S, s->draught_m_s) * by[DRAUGHT] : s->draught_m_s * by[DRAUGHT];
    s->heat_ln += log(by[HEAT]); /* about what a kitchen was found to have */
    s->shed_ln = log(by[SHED]);
    s->pickup_kg_kg = fmax(s->pickup_kg_kg * by[PICKUP], s->cloth->bound_kg_kg);
    for (int z = 0; z < s->n_ice; z++) {
        s->ice[z].diameter_m *= by[PIECES];
    }
    for (int z = 0; z < s->n_dye; z++) {
        s->dye[z].mass_kg *= by[POWDER];
    }
}

/* However wide the spreads, no cloth that a file may not have. */
static void vary_cloth(thaw_cloth_kind *cloth, const double *by)
{
    const thaw_figure_row *speed = thaw_cloth_row(THAW_CLOTH_CONDUCTIVITY), *head = thaw_cloth_row(THAW_CLOTH_ENTRY_HEAD);
    const double least_m = thaw_cloth_least_head_m(cloth->lambda, head->lowest);
    cloth->conductivity_m_s = between(speed->lowest, cloth->conductivity_m_s * by[CONDUCTIVITY], speed->highest);
    cloth->entry_head_m = between(least_m, cloth->entry_head_m * by[ENTRY_HEAD], head->highest);
}

void thaw_unknowns_vary(const thaw_specification *spec, int member, int n_members, bool only_luck, thaw_variation *out)
{
    double by[N_UNKNOWNS];
    if (only_luck) {
        draw_none(by);
    } else {
        draw_all(spec, member, n_members, by);
    }
    out->spec = *spec;
    out->spec.seed = member_seed(spec->seed, member);
    if (!only_luck) {
        vary_work(&out->spec, by);
    }
    out->cloth = *spec->cloth;
    vary_cloth(&out->cloth, by);
    out->cloth.colour_yield *= by[STRENGTH];
    out->spec.cloth = &out->cloth;
    out->fixation = by[FIXATION];
    out->hydrolysis = by[HYDROLYSIS];
    out->sorption = by[SORPTION];
    out->solubility = by[SOLUBILITY];
}

thaw_component thaw_variation_dye(const thaw_variation *variation, const thaw_component *dye)
{
    thaw_component d = *dye;
    d.fixation_per_s *= variation->fixation;
    d.hydrolysis_per_s *= variation->hydrolysis;
    d.kd_m3_kg *= variation->sorption;
    d.solubility_kg_m3 *= variation->solubility;
    return d;
}
