/* Dye powder in water: grains dissolve by diffusion, whether they lie on ice or on cloth. */
#ifndef THAW_SIM_POWDER_H
#define THAW_SIM_POWDER_H

#include "model/materials.h"

/* Solubility at t_k / solubility at 20 C: van 't Hoff with 20 kJ/mol, an estimate. */
double thaw_powder_solubility_ratio(double t_k);
/* Mean life in seconds of powder in plenty of water at 20 C: rho d^2 / (8 D c_s) of the middle grain, times
 * the mean over grains of all sizes. */
double thaw_powder_life_s(const thaw_component *dye);
/* How much faster it dissolves at t_k than at 20 C: D (Stokes-Einstein) and solubility. */
double thaw_powder_speed_ratio(double t_k);

/* Time constant in which a lump on wet cloth of 20 C crumbles and dissolves, as a grain of its size; powder of all
 * sizes is what it turns into. */
double thaw_lump_life_s(const thaw_component *dye);
/* Soda ash sprinkled as powder: mean life in plenty of water, and what water takes of it. */
double thaw_soda_life_s(double t_k);
double thaw_soda_solubility_kg_m3(double t_k);

#endif
