/* Air by the hour, the sky, and soda ash in water: the tables and formulas as they stand. */
#include "check.h"

#include "sim/powder.h"
#include "sim/weather.h"

static void air_runs_straight_between_the_hours(void **state)
{
    (void)state;
    const thaw_specification spec = {.room_k = 290.0, .n_hours = 2, .hours = {{3600.0, 280.0}, {10800.0, 300.0}}};
    assert_close(thaw_weather_air_k(&spec, 0.0), 280.0, 0.0);
    assert_close(thaw_weather_air_k(&spec, 7200.0), 290.0, 1e-12);
    assert_close(thaw_weather_air_k(&spec, 9000.0), 295.0, 1e-12);
    assert_close(thaw_weather_air_k(&spec, 1e6), 300.0, 0.0);
    const thaw_specification still = {.room_k = 290.0};
    assert_close(thaw_weather_air_k(&still, 1e6), 290.0, 0.0);
}

/* 15 C and 10 hPa: 1.24 (10 / 288.15)^(1/7) = 0.76719. */
static void the_sky_takes_heat_and_clouds_give_it_back(void **state)
{
    (void)state;
    assert_close(thaw_weather_sky(288.15, 1000.0, 0.0), 0.76719, 1e-5);
    assert_close(thaw_weather_sky(288.15, 1000.0, 1.0), 1.0, 1e-15);
    assert_close(thaw_weather_sky(288.15, 1000.0, 0.5), 0.5 + 0.5 * 0.76719, 1e-5);
    thaw_specification spec = {.room_k = 288.15, .humidity = 0.6, .draught_m_s = 1.0};
    const thaw_weather room = thaw_weather_of(&spec, 0.2, 1.8);
    spec.outdoors = true;
    const thaw_weather yard = thaw_weather_of(&spec, 0.2, 1.8);
    const double loss = 1.0 - thaw_weather_sky(288.15, yard.vapour_pa, 0.0);
    const double t4 = 288.15 * 288.15 * 288.15 * 288.15 * THAW_STEFAN_BOLTZMANN;
    const thaw_surface_heat up = thaw_weather_heat(&yard, 5.0, 273.15, 1.0), in = thaw_weather_heat(&room, 5.0, 273.15, 1.0);
    assert_close(in.radiation - up.radiation, loss * t4, 1e-9);
    assert_close(in.radiation - thaw_weather_heat_aside(&yard, 5.0, 273.15, 1.0).radiation, 0.5 * loss * t4, 1e-9);
    assert_close(in.air, up.air, 0.0);
}

static void the_weather_turns_with_the_hours_only_where_there_are_any(void **state)
{
    (void)state;
    thaw_specification spec = {.room_k = 280.0, .humidity = 0.5};
    thaw_weather w = thaw_weather_of(&spec, 0.2, 1.8);
    const thaw_weather start = w;
    thaw_weather_turn(&spec, 1e4, &w);
    assert_memory_equal(&w, &start, sizeof w);
    spec.n_hours = 2;
    spec.hours[0] = (thaw_hour){0.0, 280.0};
    spec.hours[1] = (thaw_hour){3600.0, 300.0};
    thaw_weather_turn(&spec, 3600.0, &w);
    spec.room_k = 300.0;
    const thaw_weather warm = thaw_weather_of(&spec, 0.2, 1.8);
    assert_close(w.room_k, 300.0, 0.0);
    assert_close(w.film_top_w_m2k, warm.film_top_w_m2k, 0.0);
    assert_close(w.vapour_pa, warm.vapour_pa, 0.0);
}

/* Between the rows of the table, and faster in the warmth. */
static void soda_ash_dissolves_as_its_table_says(void **state)
{
    (void)state;
    assert_close(thaw_soda_solubility_kg_m3(273.15), 70.0, 1e-9);
    assert_close(thaw_soda_solubility_kg_m3(288.15), 170.0, 1e-9);
    assert_close(thaw_soda_solubility_kg_m3(293.15), 218.0, 1e-9);
    assert_close(thaw_soda_solubility_kg_m3(260.0), 70.0, 1e-9);
    assert_close(thaw_soda_solubility_kg_m3(330.0), 397.0, 1e-9);
    assert_true(thaw_soda_life_s(273.15) > 3.0 * thaw_soda_life_s(293.15));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(air_runs_straight_between_the_hours),
        cmocka_unit_test(the_sky_takes_heat_and_clouds_give_it_back),
        cmocka_unit_test(the_weather_turns_with_the_hours_only_where_there_are_any),
        cmocka_unit_test(soda_ash_dissolves_as_its_table_says),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
