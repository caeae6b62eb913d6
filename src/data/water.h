/* Water, ice and moist air as functions of temperature. Temperatures in kelvin unless said. */
#ifndef THAW_DATA_WATER_H
#define THAW_DATA_WATER_H

#define THAW_ICE_POINT_K           273.15
#define THAW_GRAVITY_M_S2          9.80665      /* standard */
#define THAW_STEFAN_BOLTZMANN      5.670374e-8  /* W/m2K4, CODATA 2018 */
#define THAW_GAS_CONSTANT          8.314462618  /* J/mol K, CODATA 2018 */
#define THAW_LATENT_FUSION_J_KG    333427.0     /* 0 C, 1 atm: IAPWS R10-06(2009) with IAPWS-95 */
#define THAW_ICE_DENSITY_KG_M3     916.72       /* 0 C, 1 atm: IAPWS R10-06(2009) */
#define THAW_ICE_HEAT_J_KGK        2060.0       /* mean of -10 .. 0 C, IAPWS R10-06(2009) */
#define THAW_WATER_DENSITY_KG_M3   999.8        /* 0 .. 10 C, IAPWS-95, constant in the model */
#define THAW_WATER_HEAT_J_KGK      4200.0       /* 0 .. 25 C within 0.5 %, IAPWS-95 */
#define THAW_ICE_VAPOUR_PA         611.66       /* over ice and water at 0 C */
#define THAW_PRESSURE_PA           101325.0
#define THAW_EMISSIVITY_ICE        0.97         /* from memory: usual tables */
#define THAW_EMISSIVITY_CLOTH      0.95         /* wet cotton, from memory: usual tables */
#define THAW_CLOTH_HEAT_J_KGK      1300.0       /* dry cotton, from memory */

/* Dynamic viscosity, Pa s, 0-110 C: IAPWS SR6-08(2011). */
double thaw_water_viscosity_pa_s(double t_k);
/* Density, kg/m3, 0-100 C: Kell 1975. */
double thaw_water_density_kg_m3(double t_k);
/* Surface tension against air, N/m: IAPWS R1-76(2014). */
double thaw_water_tension_n_m(double t_k);
/* K_s(T) / K_s(20 C) = (rho/mu) / (rho/mu at 20 C). */
double thaw_water_mobility_ratio(double t_k);
/* h_e(T) / h_e(20 C) = (sigma/rho) / (sigma/rho at 20 C). */
double thaw_water_suction_ratio(double t_k);
/* Latent heat of vaporisation, J/kg, 0-30 C: linear fit to IAPWS-95. */
double thaw_water_latent_vaporisation_j_kg(double t_k);
/* Saturation vapour pressure, Pa, over water above 0.01 C and over ice below: Hyland-Wexler as in
 * ASHRAE Fundamentals 2017, chapter 1, equations 5 and 6. */
double thaw_air_saturation_pa(double t_k);

/* Air at film temperature t_k and 1 atm. */
typedef struct thaw_air {
    double conductivity_w_mk;      /* US Standard Atmosphere 1976 */
    double expansion_per_k;        /* ideal gas */
    double kinematic_m2_s;         /* Sutherland / ideal gas */
    double diffusivity_m2_s;       /* thermal */
    double prandtl;
    double psychrometric_pa_k;     /* gamma*: latent = h_c (e_a - e_s) / gamma* */
} thaw_air;
thaw_air thaw_air_at(double t_k);

/* Mean film coefficients, W/m2K, natural and forced blended as (n^3 + f^3)^(1/3).
 * dt_k: air minus surface (absolute value used). */
double thaw_air_film_sphere(const thaw_air *air, double diameter_m, double dt_k, double v_m_s);
/* Cold plate facing up (the top of an ice bed); length_m = area / perimeter. */
double thaw_air_film_cold_up(const thaw_air *air, double length_m, double dt_k, double v_m_s);
/* Vertical flank of given height. */
double thaw_air_film_vertical(const thaw_air *air, double height_m, double dt_k, double v_m_s);

#endif
