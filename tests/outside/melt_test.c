/* Ice on a tray, cloth in a room: the melt and warmth of the program, driven on a tiny set-up or as a whole,
 * against exact solutions, measured melt rates and common practice. */
#define _POSIX_C_SOURCE 200809L /* popen */
#include "calibration.h"
#include "figures.h"
#include "study/outcome.h"
#include "base/alloc.h"
#include "data/cloths.h"
#include "data/ices.h"
#include "sim/melt.h"

#define PI         3.141592653589793
#define ICE_POINT  THAW_ICE_POINT_K
#define SQUARE_M   0.008
#define NO_FLANK   1e12 /* packing that makes a heap too low to have a side */

/* One entry of ice in the middle of a tray of n by n squares, with or without wet cloth on it. */
typedef struct bed {
    double x_m, y_m, mass_kg, count, start_k, area_factor;
    thaw_bundle bundle;
    thaw_heap heap;
    thaw_warmth warmth;
    thaw_melt melt;
    thaw_heat_ledger heat;
} bed;

static void bare_tray(bed *b, int n)
{
    thaw_warmth *w = &b->warmth;
    thaw_error err = {0};
    *w = (thaw_warmth){.nx = n, .ny = n, .n = (size_t)n * (size_t)n, .square_m = SQUARE_M};
    double **arrays[] = {&w->dry_j_k, &w->water_kg, &w->cloth_share, &w->thickness_m, &w->energy_j, &w->t_k, &w->open,
                         &w->contact_w_k, &w->dryness, &w->evaporated_kg, &w->left_kg, &w->landed_kg, &w->spare};
    for (size_t a = 0; a < sizeof arrays / sizeof *arrays; a++) {
        *arrays[a] = thaw_allocate(w->n, sizeof(double), &err);
        assert_non_null(*arrays[a]);
    }
    for (size_t q = 0; q < w->n; q++) {
        w->t_k[q] = ICE_POINT;
        w->open[q] = w->dryness[q] = 1.0;
    }
    b->bundle = (thaw_bundle){.width_m = n * SQUARE_M, .length_m = n * SQUARE_M};
}

/* Cloth and water all over the tray. */
static void wet_cloth(bed *b, double dry_kg_m2, double water_kg_m2, double thickness_m, double t_k)
{
    thaw_warmth *w = &b->warmth;
    for (size_t q = 0; q < w->n; q++) {
        w->cloth_share[q] = 1.0;
        w->thickness_m[q] = thickness_m;
        w->dry_j_k[q] = dry_kg_m2 * THAW_CLOTH_HEAT_J_KGK * SQUARE_M * SQUARE_M;
        w->water_kg[q] = water_kg_m2 * SQUARE_M * SQUARE_M;
        w->energy_j[q] = (w->dry_j_k[q] + w->water_kg[q] * THAW_WATER_HEAT_J_KGK) * (t_k - ICE_POINT);
        w->t_k[q] = t_k;
    }
}

static void lay(bed *b, double mass_kg, double count, double area_factor, double packing)
{
    thaw_error err = {0};
    b->x_m = b->y_m = 0.5 * b->bundle.width_m;
    b->mass_kg = mass_kg;
    b->count = count;
    b->area_factor = area_factor;
    if (b->start_k <= 0.0) {
        b->start_k = ICE_POINT;
    }
    b->heap = (thaw_heap){.n = 1, .x_m = &b->x_m, .y_m = &b->y_m, .mass_kg = &b->mass_kg, .count = &b->count,
                          .start_k = &b->start_k, .area_factor = &b->area_factor, .packing = packing,
                          .mass_total_kg = mass_kg};
    assert_int_equal(thaw_melt_create(&b->heap, &b->bundle, &b->warmth, &b->melt, &err), THAW_OK);
}

static void clear(bed *b)
{
    thaw_melt_destroy(&b->melt);
    thaw_warmth_destroy(&b->warmth);
}

static void step(bed *b, const thaw_weather *weather, double dt_s)
{
    thaw_error err = {0};
    assert_int_equal(thaw_melt_cover(&b->melt, &b->warmth, dt_s, &err), THAW_OK);
    thaw_warmth_step(&b->warmth, weather, dt_s, &b->heat);
    thaw_melt_step(&b->melt, &b->warmth, weather, dt_s, &b->heat);
}

/* Seconds until all is gone; the last, partly used step counts by the rate of the one before. */
static double gone_s(bed *b, const thaw_weather *weather, double dt_s)
{
    double t_s = 0.0, melted = 0.0, before = b->melt.left_kg;
    for (int i = 0; i < 100000; i++) {
        step(b, weather, dt_s);
        if (!(b->melt.left_kg > 0.0)) {
            return t_s + dt_s * fmin(1.0, before / melted);
        }
        t_s += dt_s;
        melted = before - b->melt.left_kg;
        before = b->melt.left_kg;
    }
    fail();
    return 0.0;
}

static double radiation_w_m2(double room_k)
{
    return 0.97 * 5.670374e-8 * (pow(room_k, 4.0) - pow(ICE_POINT, 4.0));
}

/* A slab: ice so fine that it closes the tray like a sheet, under film and without sides or cloth. */
static double slab_gone_s(double start_k, double h_w_m2k, double dt_k)
{
    bed b = {.start_k = start_k};
    thaw_weather weather = {.room_k = ICE_POINT + dt_k, .covered = true, .air = thaw_air_at(ICE_POINT + 0.5 * dt_k)};
    weather.film_top_w_m2k = h_w_m2k - radiation_w_m2(weather.room_k) / dt_k;
    bare_tray(&b, 10);
    lay(&b, 916.7 * 0.010 * 0.08 * 0.08, 1e24, 1.0, NO_FLANK);
    double t_s = gone_s(&b, &weather, 60.0);
    clear(&b);
    return t_s;
}

static void a_drained_slab_melts_in_the_exact_time(void **state)
{
    (void)state;
    calibration_close("M05", slab_gone_s(ICE_POINT, 10.0, 20.0));
}

static void a_cold_slab_takes_longer_by_the_heat_that_warms_it(void **state)
{
    (void)state;
    figures f;
    figures_run("water_air.py", &f);
    double expected = figures_at(&f, "ice cold content", -10.0) / figures_at(&f, "fusion", 0.0);
    outside_close("longer melt of a slab from -10 C, as a share", "IAPWS R10-06(2009), by the iapws package", "", expected,
                  slab_gone_s(ICE_POINT - 10.0, 10.0, 20.0) / slab_gone_s(ICE_POINT, 10.0, 20.0) - 1.0, 1e-3);
}

/* A sphere that hangs free gives the air its whole surface, one that lies gives the lowest quarter to what it
 * lies on: here to nothing, so that it takes 4/3 of the time. Chunks alone are known to 30 %. */
static void a_lone_piece_melts_about_as_fast_as_a_free_sphere(void **state)
{
    (void)state;
    static const double mm[3] = {20.0, 33.5, 80.0};
    static const char *words[3] = {"sphere of 20 mm lying alone at 21 C, dry still air",
                                   "sphere of 33.5 mm lying alone at 21 C, dry still air",
                                   "sphere of 80 mm lying alone at 21 C, dry still air"};
    figures f;
    figures_run("water_air.py", &f);
    for (int i = 0; i < 3; i++) {
        thaw_specification spec = {.room_k = ICE_POINT + 21.0};
        thaw_weather weather = thaw_weather_of(&spec, 0.2, 1.8);
        weather.covered = true; /* no vapour */
        bed b = {0};
        bare_tray(&b, 50);
        lay(&b, 916.72 * PI / 6.0 * pow(1e-3 * mm[i], 3.0), 1.0, 1.0, 0.57);
        double expected = 4.0 / 3.0 * figures_at(&f, "free sphere", mm[i]) / 60.0;
        outside_close(words[i], "Churchill 1983 and radiation, worked apart for three quarters of a sphere", "min", expected,
                      gone_s(&b, &weather, 30.0) / 60.0, 0.3 * expected);
        clear(&b);
    }
}

static double life_h(double room_c)
{
    thaw_specification spec = {.room_k = ICE_POINT + room_c, .humidity = 0.5, .draught_m_s = 0.1};
    thaw_weather weather = thaw_weather_of(&spec, 0.2, 1.8);
    bed b = {0};
    bare_tray(&b, 75);
    /* A block of 40 x 20 x 10 cm has 1.45 times the surface of the sphere of its volume. */
    lay(&b, 916.7 * 0.4 * 0.2 * 0.1, 1.0, 1.45, 0.57);
    double t_s = gone_s(&b, &weather, 120.0);
    clear(&b);
    return t_s / 3600.0;
}

static void a_carved_block_lives_longer_in_the_cold_as_carvers_say(void **state)
{
    (void)state;
    outside_within("X07: life of a block of 40 x 20 x 10 cm at 10 C / at 22 C", calibration_find("X07").field[CAL_SOURCE], "",
                   1.7, 100.0, life_h(10.0) / life_h(22.0));
}

/* Thirty grams on a plate, here a damp cloth of 0.5 kg/m2 with 1 kg/m2 of water, at first as warm as the room. */
static void a_cube_of_thirty_grams_melts_in_the_time_of_home_tests(void **state)
{
    (void)state;
    thaw_specification spec = {.room_k = ICE_POINT + 24.0, .humidity = 0.5, .draught_m_s = 0.1};
    thaw_weather weather = thaw_weather_of(&spec, 0.04, 0.8);
    bed b = {.start_k = ICE_POINT - 8.0};
    bare_tray(&b, 25);
    wet_cloth(&b, 0.5, 1.0, 0.002, spec.room_k);
    lay(&b, 0.030, 1.0, 1.24, 0.57);
    outside_within("X06: a cube of 30 g on a plate at 24 C", calibration_find("X06").field[CAL_SOURCE], "min", 90.0 / 1.5,
                   120.0 * 1.5, gone_s(&b, &weather, 30.0) / 60.0);
    clear(&b);
}

/* Settled snow that covers one square metre without sides, at 5 C and 80 %. Melt per day and degree, mm of
 * water; no sun. */
static double degree_day_mm(double wind_m_s)
{
    const double hours = 6.0, dt_k = 5.0;
    const thaw_ice_kind *snow = thaw_ices_find("snow");
    thaw_specification spec = {.room_k = ICE_POINT + dt_k, .humidity = 0.8, .draught_m_s = wind_m_s};
    thaw_weather weather = thaw_weather_of(&spec, 1.0, 4.0);
    const double grain_kg = 916.7 * PI / 6.0 * pow(snow->diameter_m, 3.0), side_m = 0.4;
    bed b = {0};
    bare_tray(&b, 50);
    lay(&b, 30.0 * side_m * side_m, 30.0 * side_m * side_m / grain_kg, snow->area_factor, NO_FLANK);
    for (int i = 0; i < (int)(hours * 30.0); i++) {
        step(&b, &weather, 120.0);
    }
    double mm = b.melt.melted_kg / (side_m * side_m);
    clear(&b);
    return mm * 24.0 / hours / dt_k;
}

/* The measured factors are means over a season of all weathers, sun included. */
static void snow_melts_with_the_degree_day_factors_of_open_sites(void **state)
{
    (void)state;
    calibration_row deep = calibration_find("X02");
    calibration_close("X01", degree_day_mm(3.0));
    outside_within("X02: degree-day factor, deep packs, 3 m/s", deep.field[CAL_SOURCE], "mm/C/day", 3.0, 5.0,
                   degree_day_mm(3.0));
    outside_within("degree-day factor in 0.5 m/s, all climates", deep.field[CAL_SOURCE], "mm/C/day", 1.0, 12.0,
                   degree_day_mm(0.5));
    outside_within("degree-day factor in 5 m/s, all climates", deep.field[CAL_SOURCE], "mm/C/day", 1.0, 12.0,
                   degree_day_mm(5.0));
}

/* Cloth of one square that takes heat from below alone: T = Tinf - (Tinf - T0) exp(-t / tau). */
static double warmed_c(double dt_s)
{
    bed b = {0};
    thaw_weather weather = {.room_k = ICE_POINT + 21.0, .covered = true, .air = thaw_air_at(ICE_POINT + 10.5)};
    bare_tray(&b, 1);
    wet_cloth(&b, 1.5, 4.5, 0.01, ICE_POINT + 2.0);
    b.warmth.open[0] = 0.0;
    weather.below_w_m2k = (1.5 * THAW_CLOTH_HEAT_J_KGK + 4.5 * THAW_WATER_HEAT_J_KGK) / 1200.0;
    for (int i = 0; i < (int)lround(1800.0 / dt_s); i++) {
        thaw_warmth_step(&b.warmth, &weather, dt_s, &b.heat);
    }
    double t_c = b.warmth.t_k[0] - ICE_POINT;
    thaw_warmth_destroy(&b.warmth);
    return t_c;
}

static void cloth_without_ice_warms_along_the_exact_curve(void **state)
{
    (void)state;
    calibration_close("F01", warmed_c(0.002));
    outside_close("F01 in the steps of 2 min that a run takes", "exact solution", "C", 16.7605, warmed_c(120.0), 0.5);
}

/* Where wet cloth comes to rest: 0.2 m2 of 0.3 kg with 0.9 kg of water, film 3 W/m2 K, evaporating freely. */
static bed cloth_on_a_rack(double t_k)
{
    bed b = {0};
    bare_tray(&b, 1);
    wet_cloth(&b, 1.5, 4.5, 0.006, t_k);
    return b;
}

static double rests_at_c(double room_c, double humidity, double below_w_m2k)
{
    thaw_specification spec = {.room_k = ICE_POINT + room_c, .humidity = humidity};
    thaw_weather weather = thaw_weather_of(&spec, 0.2, 1.8);
    bed b = cloth_on_a_rack(ICE_POINT + 10.0);
    weather.film_top_w_m2k = 3.0;
    weather.below_w_m2k = below_w_m2k;
    for (int i = 0; i < 2000; i++) {
        thaw_warmth_step(&b.warmth, &weather, 60.0, &b.heat);
    }
    double t_c = b.warmth.t_k[0] - ICE_POINT;
    thaw_warmth_destroy(&b.warmth);
    return t_c;
}

static void wet_cloth_comes_to_rest_where_a_balance_solved_apart_says(void **state)
{
    (void)state;
    static const struct {
        double room_c, humidity, free_c, rack_c;
        const char *free, *rack;
    } rows[] = {
        {21, 0.30, 15.1, 16.6, "wet cloth, both faces free, 21 C, 30 %", "one face on a rack, 21 C, 30 %"},
        {21, 0.70, 18.6, 19.2, "wet cloth, both faces free, 21 C, 70 %", "one face on a rack, 21 C, 70 %"},
        {25, 0.50, 20.3, 21.4, "wet cloth, both faces free, 25 C, 50 %", "one face on a rack, 25 C, 50 %"},
    };
    const char *apart = "heat balance solved apart, film 3, rack 5 W/m2 K";
    calibration_close("F03", rests_at_c(21.0, 0.5, 0.0));
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        outside_close(rows[i].free, apart, "C", rows[i].free_c, rests_at_c(rows[i].room_c, rows[i].humidity, 0.0), 0.25);
        outside_close(rows[i].rack, apart, "C", rows[i].rack_c, rests_at_c(rows[i].room_c, rows[i].humidity, 5.0), 0.25);
    }
}

/* Minutes until the distance to the resting temperature is 1/e of what it was, from 2 C. */
static double lag_min(bool covered, double rest_c)
{
    thaw_specification spec = {.room_k = ICE_POINT + 21.0, .humidity = 0.5, .covered = covered};
    thaw_weather weather = thaw_weather_of(&spec, 0.2, 1.8);
    bed b = cloth_on_a_rack(ICE_POINT + 2.0);
    double t_s = 0.0;
    weather.film_top_w_m2k = 3.0;
    while (rest_c - (b.warmth.t_k[0] - ICE_POINT) > exp(-1.0) * (rest_c - 2.0)) {
        thaw_warmth_step(&b.warmth, &weather, 5.0, &b.heat);
        t_s += 5.0;
    }
    thaw_warmth_destroy(&b.warmth);
    return t_s / 60.0;
}

static void wet_cloth_warms_with_the_time_constants_worked_apart(void **state)
{
    (void)state;
    const char *apart = "C / (A (h (1 + s / gamma) + h_r + U)), worked apart";
    outside_close("time constant of wet cloth under film", apart, "min", 26.0, lag_min(true, 21.0), 2.0);
    outside_close("time constant of wet cloth in the open", apart, "min", 18.0, lag_min(false, rests_at_c(21.0, 0.5, 5.0)),
                  2.0);
}

/* A cosine of warmth along cloth that exchanges nothing dies out with exp(-a (pi/L)^2 t); on squares, the
 * wave decays by 2 (1 - cos(pi/n)) / h^2 in place of (pi/L)^2, 0.02 % less at 64 squares. */
static void warmth_spreads_along_wet_cloth_as_fourier_says(void **state)
{
    (void)state;
    const int n = 64;
    bed b = {0};
    thaw_weather weather = {.room_k = ICE_POINT + 10.0, .covered = true, .air = thaw_air_at(ICE_POINT + 5.0)};
    bare_tray(&b, n);
    wet_cloth(&b, 0.5, 1.5, 0.004, ICE_POINT + 10.0);
    const double capacity = 0.5 * THAW_CLOTH_HEAT_J_KGK + 1.5 * THAW_WATER_HEAT_J_KGK, length = n * SQUARE_M;
    for (int q = 0; q < n * n; q++) {
        b.warmth.open[q] = 0.0;
        b.warmth.energy_j[q] *= 1.0 + 0.5 * cos(PI * (q % n + 0.5) / n);
    }
    /* Conductivity of wet folded cotton 0.40 W/m K; a third of the wave is left. */
    const double rate = 0.40 * 0.004 / capacity * pow(PI / length, 2.0);
    const int steps = (int)lround(1.1 / rate / 60.0);
    for (int i = 0; i < steps; i++) {
        thaw_warmth_step(&b.warmth, &weather, 60.0, &b.heat);
    }
    double wave = 0.0;
    for (int q = 0; q < n * n; q++) {
        double dt_k = b.warmth.energy_j[q] / (capacity * SQUARE_M * SQUARE_M) - 10.0;
        wave += 2.0 * dt_k * cos(PI * (q % n + 0.5) / n) / (n * n);
    }
    double expected = 5.0 * exp(-rate * 60.0 * steps);
    outside_close("a wave of 5 K over 0.5 m of wet cloth, after 35 h", "Fourier's solution", "K", expected, wave,
                  0.002 * expected);
    thaw_warmth_destroy(&b.warmth);
}

/* The whole program: 1.5 m2 of cotton scrunched to a heap of 0.45 x 0.35 m; cells of 8 mm, coarser than a
 * scenario allows, as the melt needs no finer ones. */
typedef struct outcome {
    double all_h, left_kg;         /* all_h < 0: not gone */
} outcome;

static outcome melt_on_cotton(const char *ice, double mass_kg, double room_c, double humidity, double wind_m_s, double hours)
{
    thaw_specification spec = {.cloth = thaw_cloths_find("cotton twill"), .width_m = 1.0, .length_m = 1.5, .n_folds = 1,
                               .n_ice = 1, .room_k = ICE_POINT + room_c, .humidity = humidity, .draught_m_s = wind_m_s,
                               .leave_s = 3600.0 * hours, .seed = 1, .cell_m = 0.008};
    const thaw_ice_kind *kind = thaw_ices_find(ice);
    spec.pickup_kg_kg = spec.cloth->pickup_kg_kg;
    spec.folds[0] = (thaw_fold){.kind = THAW_FOLD_SCRUNCH, .share = 0.45 * 0.35 / 1.5};
    spec.ice[0] = (thaw_ice_zone){.kind = kind, .mass_kg = mass_kg, .diameter_m = kind->diameter_m, .start_k = kind->start_k,
                                  .area = {.x1 = 1.0, .y1 = 1.0}};
    thaw_outcome work = {.spec = &spec};
    thaw_error err = {0};
    thaw_status status = thaw_outcome_prepare(&work, &err);
    status = status == THAW_OK ? thaw_engine_run(&work.engine, NULL, NULL, &err) : status;
    if (status != THAW_OK) {
        print_error("%s\n", err.text);
        fail();
    }
    outcome o = {work.engine.melt_all_s / 3600.0, work.engine.melt.left_kg};
    thaw_outcome_clear(&work);
    return o;
}

static void a_bag_of_cubes_is_gone_in_four_to_nine_hours(void **state)
{
    (void)state;
    outcome o = melt_on_cotton("cubes", 4.5, 20.0, 0.5, 0.1, 9.0);
    outside_roughly("X08: 4.5 kg of cubes on 1.5 m2 of scrunched cotton, 20 C", NO_SOURCE, "h", 4.0, 9.0,
                    o.all_h < 0.0 ? 99.0 : o.all_h);
}

static void snow_outdoors_takes_a_night(void **state)
{
    (void)state;
    outcome o = melt_on_cotton("snow", 2.0, 5.0, 0.8, 0.5, 14.0);
    outside_roughly("X09: 2 kg of snow outdoors at 5 C, cloudy", NO_SOURCE, "h", 8.0, 14.0, o.all_h < 0.0 ? 99.0 : o.all_h);
}

static void a_bagful_of_snow_near_freezing_outlasts_the_night(void **state)
{
    (void)state;
    outcome o = melt_on_cotton("snow", 4.5, 2.0, 0.8, 0.5, 8.0);
    outside_roughly("4.5 kg of snow outdoors at 2 C, left after 8 h", NO_SOURCE, "kg", 0.05, 4.5, o.left_kg);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_drained_slab_melts_in_the_exact_time),
        cmocka_unit_test(a_cold_slab_takes_longer_by_the_heat_that_warms_it),
        cmocka_unit_test(a_lone_piece_melts_about_as_fast_as_a_free_sphere),
        cmocka_unit_test(a_carved_block_lives_longer_in_the_cold_as_carvers_say),
        cmocka_unit_test(a_cube_of_thirty_grams_melts_in_the_time_of_home_tests),
        cmocka_unit_test(snow_melts_with_the_degree_day_factors_of_open_sites),
        cmocka_unit_test(cloth_without_ice_warms_along_the_exact_curve),
        cmocka_unit_test(wet_cloth_comes_to_rest_where_a_balance_solved_apart_says),
        cmocka_unit_test(wet_cloth_warms_with_the_time_constants_worked_apart),
        cmocka_unit_test(warmth_spreads_along_wet_cloth_as_fourier_says),
        cmocka_unit_test(a_bag_of_cubes_is_gone_in_four_to_nine_hours),
        cmocka_unit_test(snow_outdoors_takes_a_night),
        cmocka_unit_test(a_bagful_of_snow_near_freezing_outlasts_the_night),
    };
    return outside_main(tests, argc, argv);
}
