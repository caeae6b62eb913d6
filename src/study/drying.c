#include "study/drying.h"

#include <math.h>

#include "sim/weather.h"

/* As far as humidity and draught may be off: study/unknowns.c. */
#define HUMIDITY_OFF 0.15
#define DRAUGHT_FACTOR 2.0
#define LEAST_DRAUGHT_M_S 0.05
#define COLDEST_BELOW_ROOM_K 30.0

/* kg/m2s from one side of cloth at the temperature at which its heat balances. */
static double evaporation_kg_m2s(const thaw_weather *w)
{
    double low = w->room_k - COLDEST_BELOW_ROOM_K, high = w->room_k + 5.0;
    for (int i = 0; i < 60; i++) {
        const double t = 0.5 * (low + high);
        const thaw_surface_heat q = thaw_weather_heat_aside(w, w->film_hung_w_m2k, t, THAW_EMISSIVITY_CLOTH);
        const bool gains = q.air + q.latent + q.radiation > 0.0;
        low = gains ? t : low;
        high = gains ? high : t;
    }
    const double t = 0.5 * (low + high);
    const thaw_surface_heat q = thaw_weather_heat_aside(w, w->film_hung_w_m2k, t, THAW_EMISSIVITY_CLOTH);
    return fmax(0.0, -q.latent / thaw_water_latent_vaporisation_j_kg(t));
}

static double dry_s(const thaw_specification *spec, double humidity, double draught_m_s)
{
    thaw_specification hung = *spec;
    hung.covered = false;
    hung.humidity = fmin(1.0, fmax(0.0, humidity));
    hung.draught_m_s = draught_m_s;
    hung.hang.up_m = hung.hang.down_m = 0.5 * spec->length_m; /* over a line */
    const thaw_weather w = thaw_weather_of(&hung, spec->width_m * spec->length_m, 2.0 * (spec->width_m + spec->length_m));
    const double water_kg_m2 = spec->cloth->pickup_kg_kg * spec->cloth->mass_kg_m2, rate = 2.0 * evaporation_kg_m2s(&w);
    return rate > 1e-9 ? water_kg_m2 / rate : INFINITY;
}

thaw_drying thaw_drying_find(const thaw_specification *spec)
{
    const double still = fmax(LEAST_DRAUGHT_M_S, spec->draught_m_s);
    return (thaw_drying){.low_s = dry_s(spec, spec->humidity - HUMIDITY_OFF, still * DRAUGHT_FACTOR),
                         .usual_s = dry_s(spec, spec->humidity, spec->draught_m_s),
                         .high_s = dry_s(spec, spec->humidity + HUMIDITY_OFF, spec->draught_m_s / DRAUGHT_FACTOR)};
}
