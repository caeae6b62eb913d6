#include "study/doubt.h"

#include <math.h>

#include "sim/weather.h"

/* P10 and P90 of inputs about what the scenario says. All estimates. */
#define ROOM_K 2.0                 /* one thermometer, a day and a night */
#define HUMIDITY 0.15
#define DRAUGHT_RATIO 2.0
#define DRAUGHT_LEAST_M_S 0.05     /* still air is never quite still */
#define SIZE_RATIO 1.25            /* diameter of the pieces */
#define SIZE_POWER 0.5             /* of the melt time: 1 for pieces alone, 0 for a level bed */
#define MELT_RATIO 1.15            /* rest: stacking, rack, what the model leaves out */
#define RATE_RATIO 1.5             /* rate constants of a dye */
#define ODDS_RATIO 1.8             /* fixed : lost, with sorption, run-off and wash-out */
#define MOST_RATIO 3.0             /* of one input: beyond, a factor says nothing */
#define CURE_J_MOL 84000.0

static double bed_heat(const thaw_specification *spec, double area_m2, double perimeter_m)
{
    const thaw_weather w = thaw_weather_of(spec, area_m2, perimeter_m);
    const thaw_surface_heat q = thaw_weather_heat(&w, w.film_top_w_m2k, THAW_ICE_POINT_K, THAW_EMISSIVITY_ICE);
    return q.air + q.latent + q.radiation + w.below_w_m2k * (spec->room_k - THAW_ICE_POINT_K);
}

/* Half the logarithm between two outcomes, squared. Near freezing one of them may not melt at all. */
static double part(double low, double high)
{
    const double most = log(MOST_RATIO);
    const double half = low > 0.0 && high > 0.0 ? fmin(most, 0.5 * fabs(log(high / low))) : most;
    return half * half;
}

static double melt_parts(const thaw_specification *spec, double area_m2, double perimeter_m)
{
    thaw_specification low = *spec, high = *spec;
    low.room_k -= ROOM_K;
    high.room_k += ROOM_K;
    double sum = part(bed_heat(&low, area_m2, perimeter_m), bed_heat(&high, area_m2, perimeter_m));
    low = high = *spec;
    low.humidity = fmax(0.0, spec->humidity - HUMIDITY);
    high.humidity = fmin(1.0, spec->humidity + HUMIDITY);
    sum += part(bed_heat(&low, area_m2, perimeter_m), bed_heat(&high, area_m2, perimeter_m));
    low = high = *spec;
    low.draught_m_s = spec->draught_m_s / DRAUGHT_RATIO;
    high.draught_m_s = fmax(DRAUGHT_LEAST_M_S, spec->draught_m_s) * DRAUGHT_RATIO;
    sum += part(bed_heat(&low, area_m2, perimeter_m), bed_heat(&high, area_m2, perimeter_m));
    const double size = SIZE_POWER * log(SIZE_RATIO), rest = log(MELT_RATIO);
    return sum + size * size + rest * rest;
}

thaw_doubt thaw_doubt_of(const thaw_specification *spec, double bed_area_m2, double bed_perimeter_m)
{
    const double rate = log(RATE_RATIO);
    const double warm = CURE_J_MOL / THAW_GAS_CONSTANT * ROOM_K / (spec->room_k * spec->room_k);
    return (thaw_doubt){.melt = exp(sqrt(melt_parts(spec, bed_area_m2, bed_perimeter_m))),
                        .cure = exp(sqrt(rate * rate + warm * warm)),
                        .fixed = ODDS_RATIO};
}
