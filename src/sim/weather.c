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

double thaw_weather_air_k(const thaw_specification *spec, double t_s)
{
    const thaw_hour *h = spec->hours;
    int i = 0;
    if (spec->n_hours == 0) {
        return spec->room_k;
    }
    while (i < spec->n_hours && h[i].at_s <= t_s) {
        i++;
    }
    if (i == 0 || i == spec->n_hours) {
        return h[i == 0 ? 0 : i - 1].t_k;
    }
    const double part = (t_s - h[i - 1].at_s) / (h[i].at_s - h[i - 1].at_s);
    return h[i - 1].t_k + part * (h[i].t_k - h[i - 1].t_k);
}

double thaw_weather_sky(double room_k, double vapour_pa, double cloud)
{
    const double clear = fmin(1.0, 1.24 * pow(0.01 * vapour_pa / room_k, 1.0 / 7.0));
    return cloud + (1.0 - cloud) * clear;
}

static thaw_weather weather_at(const thaw_specification *spec, double room_k, double bed_area_m2, double bed_perimeter_m)
{
    thaw_weather w = {.room_k = room_k, .covered = spec->covered, .bed_area_m2 = bed_area_m2,
                      .bed_perimeter_m = bed_perimeter_m};
    w.vapour_pa = spec->humidity * thaw_air_saturation_pa(room_k);
    w.sky_loss = spec->outdoors ? 1.0 - thaw_weather_sky(room_k, w.vapour_pa, spec->cloud) : 0.0;
    w.draught_m_s = spec->covered ? 0.0 : spec->draught_m_s;
    w.air = thaw_air_at(0.5 * (room_k + THAW_ICE_POINT_K));
    double length = fmax(0.02, bed_area_m2 / bed_perimeter_m);
    w.film_top_w_m2k = thaw_air_film_cold_up(&w.air, length, room_k - THAW_ICE_POINT_K, w.draught_m_s);
    w.film_top_w_m2k *= spec->covered ? COVERED_FILM_SHARE : 1.0;
    double height_m = fmax(LEAST_LEG_M, fmax(spec->hang.up_m, spec->hang.down_m));
    w.film_hung_w_m2k = thaw_air_film_vertical(&w.air, height_m, room_k - wet_bulb_k(&w), w.draught_m_s);
    w.film_hung_w_m2k *= spec->covered ? COVERED_FILM_SHARE : 1.0;
    w.heat_more = expm1(spec->heat_ln);
    w.below_w_m2k = BELOW_W_M2K * (1.0 + w.heat_more);
    return w;
}

thaw_weather thaw_weather_of(const thaw_specification *spec, double bed_area_m2, double bed_perimeter_m)
{
    return weather_at(spec, spec->room_k, bed_area_m2, bed_perimeter_m);
}

void thaw_weather_turn(const thaw_specification *spec, double t_s, thaw_weather *weather)
{
    if (spec->n_hours > 0) {
        *weather = weather_at(spec, thaw_weather_air_k(spec, t_s), weather->bed_area_m2, weather->bed_perimeter_m);
    }
}

static thaw_surface_heat heat_seeing(const thaw_weather *weather, double film_w_m2k, double t_k, double emissivity,
                                     double sky_loss)
{
    thaw_surface_heat q;
    double a = weather->room_k, a4 = a * a * a * a, t4 = t_k * t_k * t_k * t_k;
    const double film = (1.0 + weather->heat_more) * film_w_m2k;
    q.air = film * (a - t_k);
    q.latent = weather->covered ? 0.0
                                : film * (weather->vapour_pa - thaw_air_saturation_pa(t_k)) /
                                      weather->air.psychrometric_pa_k;
    q.radiation = (1.0 + weather->heat_more) * emissivity * THAW_STEFAN_BOLTZMANN * (a4 - t4 - sky_loss * a4);
    return q;
}

thaw_surface_heat thaw_weather_heat(const thaw_weather *weather, double film_w_m2k, double t_k, double emissivity)
{
    return heat_seeing(weather, film_w_m2k, t_k, emissivity, weather->sky_loss);
}

thaw_surface_heat thaw_weather_heat_aside(const thaw_weather *weather, double film_w_m2k, double t_k, double emissivity)
{
    return heat_seeing(weather, film_w_m2k, t_k, emissivity, 0.5 * weather->sky_loss);
}
