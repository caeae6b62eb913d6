/* The table of melt calibration, row by row, each within its own tolerance. Rows that need ice on a tray are
 * in melt_test.c; rows that the program does not model are named below with the reason. */
#include "calibration.h"
#include "data/water.h"
#include "sim/weather.h"

#define ICE_POINT THAW_ICE_POINT_K

static void constants_agree_with_the_calibration_table(void **state)
{
    (void)state;
    calibration_close("K01", THAW_LATENT_FUSION_J_KG);
    calibration_close("K02", THAW_ICE_DENSITY_KG_M3);
    calibration_close("K04", thaw_water_density_kg_m3(ICE_POINT + 20.0));
    calibration_close("K05", thaw_water_tension_n_m(ICE_POINT));
    calibration_close("K06", thaw_water_latent_vaporisation_j_kg(ICE_POINT + 0.01));
    calibration_close("K08", thaw_water_latent_vaporisation_j_kg(ICE_POINT + 20.0));
    calibration_close("K09", thaw_water_tension_n_m(ICE_POINT + 20.0));
    calibration_close("F04", 1e3 * sqrt(thaw_water_tension_n_m(ICE_POINT) /
                                        (thaw_water_density_kg_m3(ICE_POINT) * THAW_GRAVITY_M_S2)));
}

/* One heat capacity for ice of -10 to 0 C; the table's ends are 1.8 % to either side of it. With one value
 * the table allows 80 at -10 C; at 0 C it makes no such allowance. */
static void one_heat_capacity_of_ice_lies_between_those_of_the_table(void **state)
{
    (void)state;
    calibration_row cold = calibration_find("K07"), warm = calibration_find("K03");
    outside_within("K03, K07: one heat capacity of ice for -10 to 0 C", warm.field[CAL_SOURCE], "J/kg K",
                   strtod(cold.field[CAL_VALUE], NULL), strtod(warm.field[CAL_VALUE], NULL), THAW_ICE_HEAT_J_KGK);
}

static void moist_air_agrees_with_the_calibration_table(void **state)
{
    (void)state;
    calibration_close("P01", thaw_air_saturation_pa(ICE_POINT + 5.0));
    calibration_close("P02", thaw_air_saturation_pa(ICE_POINT + 25.0));
    double low = 0.0, high = 21.0, vapour_pa = 0.5 * thaw_air_saturation_pa(ICE_POINT + 21.0);
    for (int i = 0; i < 60; i++) {
        double t = 0.5 * (low + high);
        if (thaw_air_saturation_pa(ICE_POINT + t) < vapour_pa) {
            low = t;
        } else {
            high = t;
        }
    }
    calibration_close("P06", low);
}

/* Air with the figures of a worked example. */
static thaw_air example_air(double conductivity_w_mk, double expansion_per_k)
{
    return (thaw_air){.conductivity_w_mk = conductivity_w_mk, .expansion_per_k = expansion_per_k,
                      .kinematic_m2_s = 1.42e-5, .diffusivity_m2_s = 1.997e-5, .prandtl = 0.711};
}

/* Seconds in which a sphere melts whose film is ours: rho L dR = (h + h_r) dT dt. */
static double sphere_melts_s(const thaw_air *air, double diameter_m, double v_m_s, double film_dt_k, double radiation_w_m2k,
                             double dt_k)
{
    const int n = 20000;
    double seconds = 0.0;
    for (int i = 0; i < n; i++) {
        double film = thaw_air_film_sphere(air, diameter_m * (i + 0.5) / n, film_dt_k, v_m_s);
        seconds += THAW_ICE_DENSITY_KG_M3 * THAW_LATENT_FUSION_J_KG * 0.5 * diameter_m / n / ((film + radiation_w_m2k) * dt_k);
    }
    return seconds;
}

static void a_film_round_a_sphere_melts_it_in_the_exact_time(void **state)
{
    (void)state;
    thaw_air still = example_air(0.0245, 0.0), air = example_air(0.025, 1.0 / 283.15);
    double re = 100.0, d = 0.01;
    calibration_close("N04", thaw_air_film_sphere(&air, d, 0.0, re * air.kinematic_m2_s / d) * d / air.conductivity_w_mk);
    calibration_close("M02", sphere_melts_s(&still, 0.002, 0.0, 0.0, 0.0, 20.0));
    calibration_close("M03", sphere_melts_s(&air, 0.0075, 0.3, 0.0, 0.0, 20.0));
    calibration_close("M04", sphere_melts_s(&air, 0.030, 0.0, 20.0, 5.0, 20.0));
}

static void radiation_agrees_with_the_calibration_table(void **state)
{
    (void)state;
    thaw_specification spec = {.room_k = ICE_POINT + 20.5, .humidity = 0.5};
    thaw_weather weather = thaw_weather_of(&spec, 0.2, 1.8);
    thaw_surface_heat q = thaw_weather_heat(&weather, 2.5, ICE_POINT + 19.5, THAW_EMISSIVITY_CLOTH);
    outside_close("X05: radiation to a wall indoors, per K", calibration_find("X05").field[CAL_SOURCE], "W/m2 K", 5.42,
                  q.radiation, 0.15 * 5.42);
}

static const struct {
    const char *id, *reason; /* reason: NULL if checked here, "melt_test.c" if there */
} fate[] = {
    {"K01", NULL}, {"K02", NULL}, {"K03", NULL}, {"K04", NULL}, {"K05", NULL}, {"K06", NULL}, {"K07", NULL},
    {"K08", NULL}, {"K09", NULL}, {"P01", NULL}, {"P02", NULL}, {"P06", NULL}, {"N04", NULL}, {"M02", NULL},
    {"M03", NULL}, {"M04", NULL}, {"X05", NULL}, {"F04", NULL},
    {"M05", "melt_test.c"}, {"X01", "melt_test.c"}, {"X02", "melt_test.c"}, {"X06", "melt_test.c"},
    {"X07", "melt_test.c"}, {"X08", "melt_test.c"}, {"X09", "melt_test.c"}, {"F01", "melt_test.c"},
    {"F03", "melt_test.c"},
    {"X03", "water_air_test.c"},
    {"P03", "not modelled: no wet bulb is computed, and pressure is one atmosphere"},
    {"P04", "not modelled: no humidity ratio is computed, and pressure is one atmosphere"},
    {"P05", "not modelled: no adiabatic wet bulb is computed; how near a wet surface comes is in water_air_test.c"},
    {"N01", "not modelled: the laminar form is used, up to Ra 1e9, far above a heap of ice"},
    {"N02", "not modelled: no film helped by buoyancy over a plate; the top of an ice bed is hindered by it"},
    {"N03", "not modelled: no air flows through the bed"},
    {"S01", "not modelled: melt drains, no layer of water grows on the ice"},
    {"S02", "not modelled: as S01"},
    {"S03", "not modelled: as S01"},
    {"S04", "not modelled: as S01"},
    {"S05", "not modelled: as S01"},
    {"M01", "not modelled: films follow from air and size, none is a given constant"},
    {"M06", "not modelled: as S01"},
    {"X04", "not modelled: ice is taken to be at 0 C to its skin, the lower edge of the row"},
    {"T01", "not modelled: no insulated box"},
    {"T02", "not modelled: no insulated box"},
    {"F02", "not modelled: one temperature through the thickness of the cloth"},
    {"F09", "not modelled: drip points come by size of piece, not by an unstable film"},
    {"F10", "not modelled: drops have no mass of their own"},
};
#define N_FATE (sizeof fate / sizeof *fate)

static void every_row_of_the_calibration_table_is_checked_or_said_not_to_be_modelled(void **state)
{
    (void)state;
    calibration_row row;
    size_t rows = 0;
    FILE *file = fopen(CALIBRATION, "r");
    assert_non_null(file);
    while (calibration_next(file, &row)) {
        size_t f = 0;
        while (f < N_FATE && strcmp(fate[f].id, row.field[CAL_ID]) != 0) {
            f++;
        }
        if (f == N_FATE) {
            print_error("row %s of the table is neither checked nor named\n", row.field[CAL_ID]);
            fail();
        }
        if (fate[f].reason) {
            printf("%s (%s, %s): %s\n", fate[f].id, row.field[CAL_QUANTITY], row.field[CAL_SETUP], fate[f].reason);
        }
        rows++;
    }
    fclose(file);
    assert_int_equal(rows, N_FATE);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(constants_agree_with_the_calibration_table),
        cmocka_unit_test(one_heat_capacity_of_ice_lies_between_those_of_the_table),
        cmocka_unit_test(moist_air_agrees_with_the_calibration_table),
        cmocka_unit_test(a_film_round_a_sphere_melts_it_in_the_exact_time),
        cmocka_unit_test(radiation_agrees_with_the_calibration_table),
        cmocka_unit_test(every_row_of_the_calibration_table_is_checked_or_said_not_to_be_modelled),
    };
    return outside_main(tests, argc, argv);
}
