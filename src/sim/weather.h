/* The room round the work: what heat and vapour it gives to a wet or icy surface. */
#ifndef THAW_SIM_WEATHER_H
#define THAW_SIM_WEATHER_H

#include <stdbool.h>

#include "data/water.h"
#include "model/specification.h"

typedef struct thaw_weather {
    double room_k, vapour_pa, draught_m_s;
    bool covered;                  /* film over the work: no draught, no vapour exchange */
    double heat_more;              /* share by which all exchange with the room is more than the best estimate */
    thaw_air air;                  /* at film temperature */
    double film_top_w_m2k;         /* over the whole bed */
    double film_hung_w_m2k;        /* each side of hanging cloth */
    double below_w_m2k;            /* from rack and tub to the underside */
    double sky_loss;               /* 1 - emissivity of the sky, outdoors; 0 under a ceiling */
    double bed_area_m2, bed_perimeter_m;
} thaw_weather;

/* W/m2 into a surface at t_k, by cause. Latent heat is positive for condensation. */
typedef struct thaw_surface_heat {
    double air, latent, radiation;
} thaw_surface_heat;

/* Air at t_s: straight between the hours given, held before the first and after the last. */
double thaw_weather_air_k(const thaw_specification *spec, double t_s);
/* Emissivity of the sky over air of room_k and vapour_pa, `cloud` of it covered. Clear: 1.24 (e / T)^(1/7), e in hPa
 * (Brutsaert 1975, Water Resources Research 11, 742); clouds radiate as black: c + (1 - c) clear (Crawford & Duchon
 * 1999, J. Appl. Meteorology 38, 474). Both formulas from memory. */
double thaw_weather_sky(double room_k, double vapour_pa, double cloud);
/* The weather of the start. */
thaw_weather thaw_weather_of(const thaw_specification *spec, double bed_area_m2, double bed_perimeter_m);
/* The weather at t_s into one made by thaw_weather_of; untouched where nothing changes with the hours. */
void thaw_weather_turn(const thaw_specification *spec, double t_s, thaw_weather *weather);
/* q = h (Ta - T) + h (e_a - e_s(T)) / gamma* + eps sigma (Ta^4 - T^4), Lewis relation for the middle
 * term (ASHRAE Fundamentals). */
thaw_surface_heat thaw_weather_heat(const thaw_weather *weather, double film_w_m2k, double t_k, double emissivity);
/* The same for an upright surface, which outdoors sees half of the sky. */
thaw_surface_heat thaw_weather_heat_aside(const thaw_weather *weather, double film_w_m2k, double t_k, double emissivity);

#endif
