#include "sim/powder.h"

#include <math.h>

#include "data/water.h"

#define T20_K 293.15
#define SOLUTION_J_MOL 20e3
/* Middle grain by mass over middle grain by number: exp(3 ln^2 1.7) with sigma_g 1.7, an estimate. */
#define BY_MASS 2.32
#define GRAIN_KG_M3 1300.0
#define ALL_SIZES 0.70             /* mean life of powder of all those sizes / life of that grain: computed */

double thaw_powder_solubility_ratio(double t_k)
{
    return exp(-SOLUTION_J_MOL / THAW_GAS_CONSTANT * (1.0 / t_k - 1.0 / T20_K));
}

double thaw_powder_life_s(const thaw_component *dye)
{
    const double grain_m = BY_MASS * dye->grain_m;
    return ALL_SIZES * GRAIN_KG_M3 * grain_m * grain_m / (8.0 * dye->diffusivity_m2_s * dye->solubility_kg_m3);
}

double thaw_powder_speed_ratio(double t_k)
{
    const double mobility = thaw_water_viscosity_pa_s(T20_K) / thaw_water_viscosity_pa_s(t_k) * t_k / T20_K;
    return mobility * thaw_powder_solubility_ratio(t_k);
}
