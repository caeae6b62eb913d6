#include "data/water.h"

#include <math.h>

double thaw_water_viscosity_pa_s(double t_k)
{
    double x = t_k / 300.0;
    return 1e-6 * (280.68 * pow(x, -1.9) + 511.45 * pow(x, -7.7) + 61.131 * pow(x, -19.6) +
                   0.45903 * pow(x, -40.0));
}

double thaw_water_density_kg_m3(double t_k)
{
    double t = t_k - THAW_ICE_POINT_K;
    double top = 999.83952 +
                 t * (16.945176 +
                      t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12))));
    return top / (1.0 + 16.87985e-3 * t);
}

double thaw_water_tension_n_m(double t_k)
{
    double x = 1.0 - t_k / 647.096;
    return 0.2358 * pow(x, 1.256) * (1.0 - 0.625 * x);
}

static double fluidity(double t_k)
{
    return thaw_water_density_kg_m3(t_k) / thaw_water_viscosity_pa_s(t_k);
}

double thaw_water_mobility_ratio(double t_k)
{
    return fluidity(t_k) / fluidity(293.15);
}

double thaw_water_suction_ratio(double t_k)
{
    return thaw_water_tension_n_m(t_k) / thaw_water_density_kg_m3(t_k) *
           (thaw_water_density_kg_m3(293.15) / thaw_water_tension_n_m(293.15));
}

double thaw_water_latent_vaporisation_j_kg(double t_k)
{
    return 2500.9e3 - 2370.0 * (t_k - THAW_ICE_POINT_K);
}

double thaw_air_saturation_pa(double t_k)
{
    if (t_k >= 273.16) {
        return exp(-5800.2206 / t_k + 1.3914993 - 4.8640239e-2 * t_k + 4.1764768e-5 * t_k * t_k -
                   1.4452093e-8 * t_k * t_k * t_k + 6.5459673 * log(t_k));
    }
    return exp(-5674.5359 / t_k + 6.3925247 - 9.677843e-3 * t_k + 6.2215701e-7 * t_k * t_k +
               2.0747825e-9 * t_k * t_k * t_k - 9.484024e-13 * t_k * t_k * t_k * t_k +
               4.1635019 * log(t_k));
}

thaw_air thaw_air_at(double t_k)
{
    const double cp = 1006.0, molar_ratio = 0.622;
    thaw_air air;
    double density = THAW_PRESSURE_PA / (287.05 * t_k);
    double viscosity = 1.458e-6 * pow(t_k, 1.5) / (t_k + 110.4);
    air.conductivity_w_mk = 2.648e-3 * pow(t_k, 1.5) / (t_k + 245.4 * pow(10.0, -12.0 / t_k));
    air.expansion_per_k = 1.0 / t_k;
    air.kinematic_m2_s = viscosity / density;
    air.diffusivity_m2_s = air.conductivity_w_mk / (density * cp);
    air.prandtl = air.kinematic_m2_s / air.diffusivity_m2_s;
    double vapour = 2.178e-5 * pow(t_k / 273.15, 1.81); /* Massman 1998, from memory */
    double lewis = air.diffusivity_m2_s / vapour;
    air.psychrometric_pa_k = cp * THAW_PRESSURE_PA * pow(lewis, 2.0 / 3.0) /
                             (molar_ratio * thaw_water_latent_vaporisation_j_kg(THAW_ICE_POINT_K));
    return air;
}

static double rayleigh(const thaw_air *air, double length_m, double dt_k)
{
    return THAW_GRAVITY_M_S2 * air->expansion_per_k * fabs(dt_k) * length_m * length_m * length_m /
           (air->kinematic_m2_s * air->diffusivity_m2_s);
}

static double blend(double natural, double forced)
{
    return cbrt(natural * natural * natural + forced * forced * forced);
}

double thaw_air_film_sphere(const thaw_air *air, double diameter_m, double dt_k, double v_m_s)
{
    /* Churchill 1983 (natural) and Ranz-Marshall 1952 (forced); only the excess over the still
     * limit Nu = 2 is blended. */
    double bracket = pow(1.0 + pow(0.469 / air->prandtl, 9.0 / 16.0), 4.0 / 9.0);
    double natural = 0.589 * pow(rayleigh(air, diameter_m, dt_k), 0.25) / bracket;
    double forced = 0.6 * sqrt(v_m_s * diameter_m / air->kinematic_m2_s) * cbrt(air->prandtl);
    return (2.0 + blend(natural, forced)) * air->conductivity_w_mk / diameter_m;
}

static double forced_plate(const thaw_air *air, double length_m, double v_m_s)
{
    return 0.664 * sqrt(v_m_s * length_m / air->kinematic_m2_s) * cbrt(air->prandtl) *
           air->conductivity_w_mk / length_m;
}

double thaw_air_film_cold_up(const thaw_air *air, double length_m, double dt_k, double v_m_s)
{
    /* McAdams, stably stratified side: 0.27 Ra^(1/4), L = area / perimeter. Air passes over the
     * whole bed, about four such lengths. */
    double natural = 0.27 * pow(rayleigh(air, length_m, dt_k), 0.25) * air->conductivity_w_mk / length_m;
    return blend(natural, forced_plate(air, 4.0 * length_m, v_m_s));
}

double thaw_air_film_vertical(const thaw_air *air, double height_m, double dt_k, double v_m_s)
{
    /* Churchill-Chu 1975, laminar form. */
    double bracket = pow(1.0 + pow(0.492 / air->prandtl, 9.0 / 16.0), 4.0 / 9.0);
    double natural = (0.68 + 0.670 * pow(rayleigh(air, height_m, dt_k), 0.25) / bracket) *
                     air->conductivity_w_mk / height_m;
    return blend(natural, forced_plate(air, height_m, v_m_s));
}
