#include "sim/weather.h"

#include <math.h>

/* Underside of the bundle on an open rack over a tub: estimate, 2 (closed tub) .. 10 (open, moving air). */
#define BELOW_W_M2K 5.0
/* Hanging cloth is at least so high: keeps the film finite where nothing hangs. */
#define LEAST_LEG_M 0.1
/* Film over the tub: the bed sits in its own still air. Estimate. */
#define COVERED_FILM_SHARE 0.5

/* Temperature to which wet cloth far from the ice tends: where air gives as much as vapour takes. */
static double wet_bulb_k(const thaw_weather *w)
{
    double low = THAW_ICE_POINT_K - 20.0, high = w->room_k;
    for (int i = 0; i < 40; i++) {
        double t = 0.5 * (low + high);
        double gain = w->room_k - t + (w->vapour_pa - thaw_air_saturation_pa(t)) / w->air.psychrometric_pa_k;
        low = gain > 0.0 ? t : low;
        high = gain > 0.0 ? high : t;
    }
    return 0.5 * (low + high);
}

thaw_weather thaw_weather_of(const thaw_specification *spec, double bed_area_m2, double bed_perimeter_m)
{
    thaw_weather w = {.room_k = spec->room_k, .covered = spec->covered};
    w.vapour_pa = spec->humidity * thaw_air_saturation_pa(spec->room_k);
    w.draught_m_s = spec->covered ? 0.0 : spec->draught_m_s;
    w.air = thaw_air_at(0.5 * (spec->room_k + THAW_ICE_POINT_K));
    double length = fmax(0.02, bed_area_m2 / bed_perimeter_m);
    w.film_top_w_m2k = thaw_air_film_cold_up(&w.air, length, spec->room_k - THAW_ICE_POINT_K, w.draught_m_s);
    w.film_top_w_m2k *= spec->covered ? COVERED_FILM_SHARE : 1.0;
    double height_m = fmax(LEAST_LEG_M, fmax(spec->hang.up_m, spec->hang.down_m));
    w.film_hung_w_m2k = thaw_air_film_vertical(&w.air, height_m, spec->room_k - wet_bulb_k(&w), w.draught_m_s);
    w.film_hung_w_m2k *= spec->covered ? COVERED_FILM_SHARE : 1.0;
    w.heat_ratio = exp(spec->heat_ln);
    w.below_w_m2k = BELOW_W_M2K * w.heat_ratio;
    return w;
}

thaw_surface_heat thaw_weather_heat(const thaw_weather *weather, double film_w_m2k, double t_k, double emissivity)
{
    thaw_surface_heat q;
    double a = weather->room_k, a4 = a * a * a * a, t4 = t_k * t_k * t_k * t_k;
    const double film = weather->heat_ratio * film_w_m2k;
    q.air = film * (a - t_k);
    q.latent = weather->covered ? 0.0
                                : film * (weather->vapour_pa - thaw_air_saturation_pa(t_k)) /
                                      weather->air.psychrometric_pa_k;
    q.radiation = weather->heat_ratio * emissivity * THAW_STEFAN_BOLTZMANN * (a4 - t4);
    return q;
}
