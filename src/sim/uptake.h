/* Dye between water and fibre, cell by cell.
 * Sorption: all components share the fibre (Langmuir), S_i = Kd_i c_i / theta kg per kg cloth,
 *   theta = 1 + sum Kd_j c_j / S_most, Kd_i = Kd20_i exp(20 kJ/R (1/T - 1/T20)) (soda / 20 g/L)^1/2.
 * Bonding: d fixed/dt = k_fix alpha sorbed (1 - load), d hydrolysed/dt = k_hyd alpha (dissolved + sorbed),
 *   alpha = min(1.4, (soda / 20 g/L)^1/2), Arrhenius in the cloth's temperature, load = fixed over the
 *   ceiling of the cloth, summed over components. Sources: docs and the component table.
 * On silk and wool sorption and bonding follow soda as sim/protein.h says; a blend takes each in its share.
 * Cloth that has dried out does not react. */
#ifndef THAW_SIM_UPTAKE_H
#define THAW_SIM_UPTAKE_H

#include "model/dye_list.h"
#include "model/state.h"
#include "sim/warmth.h"

#define THAW_FORECAST_TIMES 32
/* Below this dye bonds more slowly, to nothing in air-dry cloth. Estimate: uptake.c. */
#define THAW_MOIST_SATURATION 0.05

typedef struct thaw_uptake {
    const thaw_specification *spec;
    const thaw_dye_list *dyes;
    const thaw_warmth *warmth;
    const double *volume_m;
    double *hold_m3_kg_m2;         /* own, n: capacity_i = V s + Kd20_i hold */
    float *kd_ratio;               /* own, squares: Kd(T) / Kd(20 C) */
    float *protein_ratio;          /* own, squares: how much less bonding to protein slows in the cold */
    float *fix_per_s[THAW_MAX_COMPONENTS], *hydrolyse_per_s[THAW_MAX_COMPONENTS]; /* own, squares */
    double *dissolve_per_s[THAW_MAX_COMPONENTS]; /* own, squares */
    double *soluble_ratio;         /* own, squares: solubility(T) / solubility(20 C) */
    double *rows;                  /* own */
} thaw_uptake;

thaw_status thaw_uptake_create(const thaw_specification *spec, const thaw_dye_list *dyes, const thaw_warmth *warmth,
                               const double *volume_m, size_t n_rows, size_t n_cells, thaw_uptake *out, thaw_error *err);
void thaw_uptake_destroy(thaw_uptake *uptake);

/* dt_s of grains dissolving on the cloth, sorption, bonding and hydrolysis at the present temperature. */
void thaw_uptake_step(thaw_uptake *uptake, int nx, int ny, double dt_s, thaw_state *state);
/* Liquid volume plus what sorbs of component c, m3/m2 for n cells. */
void thaw_uptake_capacity(const thaw_uptake *uptake, int c, size_t n, const double *restrict saturation, double *restrict capacity_m);
/* The same for soda ash: it sits in flowing and bound water alike. */
void thaw_uptake_soda_capacity(const thaw_uptake *uptake, size_t n, const double *restrict saturation, double *restrict capacity_m);
/* Fixed dye (kg, all components, whole cloth) if the cloth stayed as it is from now, at n_times (<= THAW_FORECAST_TIMES)
 * growing times from now; nothing is changed. cell_area_m2 turns kg/m2 into kg. */
void thaw_uptake_forecast(thaw_uptake *uptake, int nx, int ny, const thaw_state *state, double cell_area_m2,
                          int n_times, const double *times_s, double *fixed_kg);

#endif
