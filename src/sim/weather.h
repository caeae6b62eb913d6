/* The room round the work: what heat and vapour it gives to a wet or icy surface. */
#ifndef THAW_SIM_WEATHER_H
#define THAW_SIM_WEATHER_H

#include <stdbool.h>

#include "data/water.h"
#include "model/specification.h"

typedef struct thaw_weather {
    double room_k, vapour_pa, draught_m_s;
    bool covered;                  /* film over the work: no draught, no vapour exchange */
    double heat_ratio;             /* on all exchange with the room, 1 at best estimate */
    thaw_air air;                  /* at film temperature */
    double film_top_w_m2k;         /* over the whole bed */
    double film_hung_w_m2k;        /* each side of hanging cloth */
    double below_w_m2k;            /* from rack and tub to the underside */
} thaw_weather;

/* W/m2 into a surface at t_k, by cause. Latent heat is positive for condensation. */
typedef struct thaw_surface_heat {
    double air, latent, radiation;
} thaw_surface_heat;

thaw_weather thaw_weather_of(const thaw_specification *spec, double bed_area_m2, double bed_perimeter_m);
/* q = h (Ta - T) + h (e_a - e_s(T)) / gamma* + eps sigma (Ta^4 - T^4), Lewis relation for the middle
 * term (ASHRAE Fundamentals). */
thaw_surface_heat thaw_weather_heat(const thaw_weather *weather, double film_w_m2k, double t_k, double emissivity);

#endif
