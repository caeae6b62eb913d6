#include "sim/powder.h"

#include <math.h>

#include "data/water.h"

#define T20_K 293.15
#define SOLUTION_J_MOL 20e3
/* Middle grain by mass over middle grain by number: exp(3 ln^2 1.7) with sigma_g 1.7, an estimate. */
#define BY_MASS 2.32
#define GRAIN_KG_M3 1300.0
#define ALL_SIZES 0.70             /* mean life of powder of all those sizes / life of that grain: computed */

/* Dense soda ash: grains of about 0.3 mm (estimate), 2530 kg/m3; D as in solutes.c. */
#define SODA_GRAIN_M 300e-6
#define SODA_KG_M3 2530.0
#define SODA_M2_S (1.3e-9 * 0.88)
/* 7.0, 12.2, 21.8, 29.4, 39.7 g in 100 g of water at 0, 10, 20, 25, 30 C (Seidell, by a table of substances); above
 * 30 C held there. */
static const double SODA_SOLUBLE[][2] = {{273.15, 70.0}, {283.15, 122.0}, {293.15, 218.0}, {298.15, 294.0}, {303.15, 397.0}};

double thaw_soda_solubility_kg_m3(double t_k)
{
    const int n = (int)(sizeof SODA_SOLUBLE / sizeof *SODA_SOLUBLE);
    int i = 0;
    while (i + 2 < n && t_k > SODA_SOLUBLE[i + 1][0]) {
        i++;
    }
    const double part = (t_k - SODA_SOLUBLE[i][0]) / (SODA_SOLUBLE[i + 1][0] - SODA_SOLUBLE[i][0]);
    return SODA_SOLUBLE[i][1] + fmin(1.0, fmax(0.0, part)) * (SODA_SOLUBLE[i + 1][1] - SODA_SOLUBLE[i][1]);
}

double thaw_soda_life_s(double t_k)
{
    const double d = SODA_M2_S * thaw_water_viscosity_pa_s(T20_K) / thaw_water_viscosity_pa_s(t_k) * t_k / T20_K;
    return ALL_SIZES * SODA_KG_M3 * SODA_GRAIN_M * SODA_GRAIN_M / (8.0 * d * thaw_soda_solubility_kg_m3(t_k));
}

double thaw_powder_solubility_ratio(double t_k)
{
    return exp(-SOLUTION_J_MOL / THAW_GAS_CONSTANT * (1.0 / t_k - 1.0 / T20_K));
}

double thaw_powder_life_s(const thaw_component *dye)
{
    const double grain_m = BY_MASS * dye->grain_m;
    return ALL_SIZES * GRAIN_KG_M3 * grain_m * grain_m / (8.0 * dye->diffusivity_m2_s * dye->solubility_kg_m3);
}

/* Lumps as setup lays them: 0.3 mg at GRAIN_KG_M3. */
#define LUMP_M 760e-6

double thaw_lump_life_s(const thaw_component *dye)
{
    return GRAIN_KG_M3 * LUMP_M * LUMP_M / (8.0 * dye->diffusivity_m2_s * dye->solubility_kg_m3);
}

double thaw_powder_speed_ratio(double t_k)
{
    const double mobility = thaw_water_viscosity_pa_s(T20_K) / thaw_water_viscosity_pa_s(t_k) * t_k / T20_K;
    return mobility * thaw_powder_solubility_ratio(t_k);
}
