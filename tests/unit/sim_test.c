/* Parts of the simulation by known values: random numbers, water, air films, retention, ice cover. */
#include "check.h"

#include <stdlib.h>

#include <Random123/philox.h>

#include "base/random.h"
#include "data/water.h"
#include "model/cover.h"
#include "sim/melt.h"
#include "sim/retention.h"
#include "sim/weather.h"
#include "sim/web.h"

#define PI 3.141592653589793

/* Random123, kat_vectors, lines "philox4x32 10". */
static void philox_gives_its_published_known_answers(void **state)
{
    (void)state;
    static const struct {
        uint32_t counter[4], key[2], answer[4];
    } known[] = {
        {{0, 0, 0, 0}, {0, 0}, {0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8}},
        {{0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff},
         {0xffffffff, 0xffffffff},
         {0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd}},
        {{0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344},
         {0xa4093822, 0x299f31d0},
         {0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1}},
    };
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        philox4x32_ctr_t counter;
        philox4x32_key_t key;
        memcpy(counter.v, known[i].counter, sizeof counter.v);
        memcpy(key.v, known[i].key, sizeof key.v);
        philox4x32_ctr_t out = philox4x32(counter, key);
        assert_memory_equal(out.v, known[i].answer, sizeof out.v);
    }
}

/* Seed is the key, low word first; index then stream make the counter. */
static void random_numbers_are_those_of_philox_on_seed_stream_and_index(void **state)
{
    (void)state;
    const uint64_t seed = 0x299f31d0a4093822u, index = 0x85a308d3243f6a88u;
    philox4x32_ctr_t counter = {{0x243f6a88, 0x85a308d3, 0x13198a2e, 0}};
    philox4x32_key_t key = {{0xa4093822, 0x299f31d0}};
    philox4x32_ctr_t bits = philox4x32(counter, key);
    double u[4];
    thaw_random_uniform4(seed, 0x13198a2e, index, u);
    for (int i = 0; i < 4; i++) {
        assert_close(u[i], (bits.v[i] + 0.5) / 4294967296.0, 0.0);
    }
    thaw_random_uniform4(0, 0, 0, u);
    assert_close(u[0], ((double)0x6627e8d5 + 0.5) / 4294967296.0, 0.0);
}

static void normal_numbers_have_mean_0_variance_1_and_streams_do_not_correlate(void **state)
{
    (void)state;
    const int n = 200000;
    double sum = 0.0, square = 0.0, cross = 0.0;
    for (int i = 0; i < n; i++) {
        double a = thaw_random_normal(5, THAW_STREAM_TEST, (uint64_t)i);
        double b = thaw_random_normal(5, THAW_STREAM_DRIP, (uint64_t)i);
        sum += a;
        square += a * a;
        cross += a * b;
    }
    const double sigma = 1.0 / sqrt(n); /* five of them: one false alarm in a million */
    assert_close(sum / n, 0.0, 5.0 * sigma);
    assert_close(square / n, 1.0, 5.0 * sqrt(2.0) * sigma);
    assert_close(cross / n, 0.0, 5.0 * sigma);
}

static void water_agrees_with_the_iapws_figures(void **state)
{
    (void)state;
    char line[512];
    int rows = 0;
    FILE *file = fopen(THAW_SOURCE_DIR "/tests/outside/data/water_properties.csv", "r");
    assert_non_null(file);
    while (fgets(line, sizeof line, file)) {
        double v[9];
        char *at = line;
        if (line[0] == '#' || line[0] == 'T') {
            continue;
        }
        for (int i = 0; i < 9; i++) {
            v[i] = strtod(at, &at);
            at += *at == ',';
        }
        /* The table's 0 C row was evaluated at the triple point. */
        const double t_k = v[0] > 0.0 ? v[0] + 273.15 : 273.16;
        assert_close(thaw_water_density_kg_m3(t_k), v[1], 0.006);
        assert_close(thaw_water_density_kg_m3(t_k), v[2], 0.001);
        assert_close(thaw_water_viscosity_pa_s(t_k) * 1e3, v[3], 5e-5 * v[3]);
        assert_close(thaw_water_viscosity_pa_s(t_k) * 1e3, v[4], 6e-6 * v[4]);
        assert_close(thaw_water_tension_n_m(t_k) * 1e3, v[5], 2e-4);
        assert_close(thaw_water_mobility_ratio(t_k), v[7], 6e-5 * v[7]);
        assert_close(thaw_water_suction_ratio(t_k), v[8], 1e-5);
        rows++;
    }
    fclose(file);
    assert_int_equal(rows, 12);
}

/* 0.61121 kPa and 2.3393 kPa: ASHRAE Fundamentals 2017, chapter 1, table 2, from memory. */
static void saturation_pressure_agrees_with_the_tables_and_is_continuous_at_the_ice_point(void **state)
{
    (void)state;
    assert_close(thaw_air_saturation_pa(273.15), 611.2, 0.5);
    assert_close(thaw_air_saturation_pa(293.15), 2339.3, 1.5);
    assert_close(thaw_air_saturation_pa(273.159999), thaw_air_saturation_pa(273.160001), 0.1);
}

/* Tray top of 0.5 x 0.4 m and a cube of 27 mm edge (sphere of 33.5 mm) in 0.1 m/s, computed apart
 * from this program with the same correlations. */
static void air_films_agree_with_figures_computed_apart(void **state)
{
    (void)state;
    static const struct {
        double t_c, tray, cube;
    } rows[] = {{10, 2.57, 8.55}, {15, 2.74, 8.84}, {21, 2.91, 9.12}, {30, 3.10, 9.48}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        thaw_air air = thaw_air_at(273.15 + 0.5 * rows[i].t_c);
        assert_close(thaw_air_film_cold_up(&air, 0.2 / 1.8, rows[i].t_c, 0.1), rows[i].tray, 0.01); /* 0.3 %: the forced part of the table is not spelled out */
        assert_close(thaw_air_film_sphere(&air, 0.0335, rows[i].t_c, 0.1), rows[i].cube, 0.006);
    }
}

/* The same table, 21 C and 50 % humidity: 61 + 31 + 106 W/m2. */
static void ice_in_a_room_gets_the_expected_heat_from_air_vapour_and_walls(void **state)
{
    (void)state;
    thaw_specification spec = {.room_k = 294.15, .humidity = 0.5, .draught_m_s = 0.1};
    thaw_weather weather = thaw_weather_of(&spec, 0.2, 1.8);
    thaw_surface_heat q = thaw_weather_heat(&weather, weather.film_top_w_m2k, 273.15, THAW_EMISSIVITY_ICE);
    assert_close(q.air, 61.0, 0.6);
    assert_close(q.latent, 31.0, 0.6);
    assert_close(q.radiation, 106.0, 0.6);
}

static void retention_agrees_with_powers(void **state)
{
    (void)state;
    const double lambdas[] = {0.3, 0.5, 0.7, 1.0, 2.0};
    for (size_t l = 0; l < sizeof lambdas / sizeof *lambdas; l++) {
        thaw_retention r;
        const double lambda = lambdas[l];
        thaw_retention_init(&r, lambda);
        for (double s = 0.02; s <= 1.0; s += 0.00137) {
            double u, p, k, slope;
            thaw_retention_evaluate(&r, 1, &s, &u, &p, &k);
            thaw_retention_slope(&r, 1, &s, &slope);
            const double e = pow(s, 1.0 / lambda), near = 3e-6;
            assert_close(p * e, 1.0, near);
            assert_close(k / (s * s * s * e * e), 1.0, 2.0 * near);
            assert_close(u * (3.0 * lambda + 1.0) / (s * s * s * e), 1.0, near);
            assert_close(slope * lambda / (s * s * e), 1.0, near);
        }
    }
}

static void overfull_cloth_goes_on_without_a_jump_and_dry_cloth_lets_nothing_flow(void **state)
{
    (void)state;
    thaw_retention r;
    thaw_retention_init(&r, 0.7);
    const double s[] = {1.0, 1.0 + 1e-9, 1.5, 0.5 * THAW_DRY_SATURATION};
    double u[4], p[4], k[4];
    thaw_retention_evaluate(&r, 4, s, u, p, k);
    assert_close(u[1], u[0], 1e-8);
    assert_close(p[1], p[0], 1e-8);
    assert_close(k[1], k[0], 1e-8);
    assert_close(u[2] - u[0], 0.5 * THAW_FILM_SLOPE, 1e-12);
    assert_close(p[0] - p[2], 0.5 * THAW_FILM_SLOPE, 1e-12); /* so the secant conductivity of a film is 1 */
    assert_close(u[3], 0.0, 0.0);
    assert_close(k[3], 0.0, 0.0);
}

static void excess_is_nothing_below_full_smooth_at_the_corner_and_then_one_to_one(void **state)
{
    (void)state;
    assert_close(thaw_web_excess(-0.3), 0.0, 0.0);
    assert_close(thaw_web_excess(0.0), 0.0, 0.0);
    assert_close(thaw_web_excess(1.0) - thaw_web_excess(0.4), 0.6, 1e-15);
    double before = 0.0;
    for (double x = -0.02; x < 0.2; x += 0.00013) {
        const double h = 1e-6, here = thaw_web_excess(x);
        assert_true(here >= before && here <= fmax(0.0, x));
        assert_close(thaw_web_excess_slope(x), (thaw_web_excess(x + h) - thaw_web_excess(x - h)) / (2.0 * h), 2e-5);
        before = here;
    }
}

#define N_DISCS 400

typedef struct discs {
    double x[N_DISCS], y[N_DISCS], r[N_DISCS];
} discs;

static void strew(discs *d, double width_m, double length_m)
{
    for (int i = 0; i < N_DISCS; i++) {
        double u[4];
        thaw_random_uniform4(3, THAW_STREAM_TEST, (uint64_t)i, u);
        d->x[i] = u[0] * width_m;
        d->y[i] = u[1] * length_m;
        d->r[i] = 0.001 + 0.04 * u[2] * u[2];
    }
}

static void a_disc_inside_the_tray_covers_its_own_area(void **state)
{
    (void)state;
    thaw_cover cover = {0};
    thaw_error err = {0};
    assert_int_equal(thaw_cover_create(0.4, 0.3, 0.008, &cover, &err), THAW_OK);
    for (double r = 0.001; r < 0.06; r *= 1.3) {
        const double x = 0.2031, y = 0.1517, h2 = 0.008 * 0.008, whole = PI * r * r;
        double sum = 0.0;
        assert_int_equal(thaw_cover_build(&cover, 1, &x, &y, &r, &err), THAW_OK);
        for (int32_t l = 0; l < cover.start[cover.nx * cover.ny]; l++) {
            assert_true(cover.share[l] > 0.0f && cover.share[l] <= 1.0f);
            sum += h2 * (double)cover.share[l];
        }
        /* Below one square a disc counts in that square only, and never for more than all of it. */
        assert_close(sum, r < 0.008 ? fmin(h2, whole) : whole, 0.06 * whole);
    }
    thaw_cover_destroy(&cover);
}

/* Flat cloth of 0.2 x 0.16 m in cells of 8 mm, as the melt sees it. */
static thaw_warmth bare_warmth(int nx, int ny, double square_m)
{
    thaw_warmth w = {.nx = nx, .ny = ny, .n = (size_t)nx * (size_t)ny, .square_m = square_m};
    double **arrays[] = {&w.cloth_share, &w.thickness_m, &w.open, &w.contact_w_k};
    for (size_t a = 0; a < sizeof arrays / sizeof *arrays; a++) {
        *arrays[a] = calloc(w.n, sizeof(double));
        assert_non_null(*arrays[a]);
    }
    for (size_t q = 0; q < w.n; q++) {
        w.cloth_share[q] = 1.0;
        w.thickness_m[q] = 0.001;
    }
    return w;
}

static void shading_shares_out_the_tray_and_never_makes_area(void **state)
{
    (void)state;
    discs d;
    double mass[N_DISCS], count[N_DISCS], start[N_DISCS], factor[N_DISCS];
    thaw_bundle bundle = {.width_m = 0.2, .length_m = 0.16};
    thaw_warmth w = bare_warmth(25, 20, 0.008);
    thaw_melt melt = {0};
    thaw_error err = {0};
    strew(&d, bundle.width_m, bundle.length_m);
    for (int i = 0; i < N_DISCS; i++) {
        mass[i] = THAW_ICE_DENSITY_KG_M3 * 4.0 / 3.0 * PI * d.r[i] * d.r[i] * d.r[i];
        count[i] = factor[i] = 1.0;
        start[i] = 268.15;
    }
    thaw_heap heap = {.n = N_DISCS, .x_m = d.x, .y_m = d.y, .mass_kg = mass, .count = count, .start_k = start,
                      .area_factor = factor, .packing = 0.57, .mass_total_kg = 1.0};
    assert_int_equal(thaw_melt_create(&heap, &bundle, &w, &melt, &err), THAW_OK);
    assert_int_equal(thaw_melt_cover(&melt, &w, 0.0, &err), THAW_OK);
    double seen = 0.0, facing = 0.0, open = 0.0;
    for (int i = 0; i < N_DISCS; i++) {
        assert_true(melt.exposed_m2[i] >= 0.0 && melt.facing_m2[i] >= 0.0);
        assert_true(melt.exposed_m2[i] <= 1.2 * PI * d.r[i] * d.r[i] + 1e-12);
        seen += melt.exposed_m2[i];
        facing += melt.facing_m2[i];
    }
    for (size_t q = 0; q < w.n; q++) {
        assert_true(w.open[q] >= 0.0 && w.open[q] <= 1.0);
        open += w.open[q] * 0.008 * 0.008;
    }
    assert_true(open > 0.0 && seen > 0.5 * 0.2 * 0.16);
    assert_close(seen + open, 0.2 * 0.16, 1e-12);
    assert_close(facing, seen, 1e-12);
    thaw_melt_destroy(&melt);
    free(w.cloth_share);
    free(w.thickness_m);
    free(w.open);
    free(w.contact_w_k);
}

static void the_piece_found_at_a_place_is_the_next_one_below_that_covers_it(void **state)
{
    (void)state;
    discs d;
    thaw_cover cover = {0};
    thaw_error err = {0};
    int found_some = 0;
    strew(&d, 0.4, 0.3);
    assert_int_equal(thaw_cover_create(0.4, 0.3, 0.008, &cover, &err), THAW_OK);
    assert_int_equal(thaw_cover_build(&cover, N_DISCS, d.x, d.y, d.r, &err), THAW_OK);
    for (int i = 0; i < 500; i++) {
        double u[4];
        thaw_random_uniform4(4, THAW_STREAM_TEST, (uint64_t)i, u);
        const double x = 0.4 * u[0], y = 0.3 * u[1];
        const int after = (int)(u[2] * N_DISCS) - 1;
        int found = thaw_cover_find(&cover, x, y, after, d.x, d.y, d.r);
        assert_true(found == -1 || found > after);
        if (found >= 0) {
            assert_true(hypot(d.x[found] - x, d.y[found] - y) <= d.r[found]);
            found_some++;
        }
        /* Nothing big between them is missed; small ones and rims are sampled. */
        for (int e = after + 1; e < (found < 0 ? N_DISCS : found); e++) {
            assert_true(d.r[e] < 0.016 || hypot(d.x[e] - x, d.y[e] - y) > d.r[e] - 0.008);
        }
    }
    assert_true(found_some > 100);
    thaw_cover_destroy(&cover);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(philox_gives_its_published_known_answers),
        cmocka_unit_test(random_numbers_are_those_of_philox_on_seed_stream_and_index),
        cmocka_unit_test(normal_numbers_have_mean_0_variance_1_and_streams_do_not_correlate),
        cmocka_unit_test(water_agrees_with_the_iapws_figures),
        cmocka_unit_test(saturation_pressure_agrees_with_the_tables_and_is_continuous_at_the_ice_point),
        cmocka_unit_test(air_films_agree_with_figures_computed_apart),
        cmocka_unit_test(ice_in_a_room_gets_the_expected_heat_from_air_vapour_and_walls),
        cmocka_unit_test(retention_agrees_with_powers),
        cmocka_unit_test(overfull_cloth_goes_on_without_a_jump_and_dry_cloth_lets_nothing_flow),
        cmocka_unit_test(excess_is_nothing_below_full_smooth_at_the_corner_and_then_one_to_one),
        cmocka_unit_test(a_disc_inside_the_tray_covers_its_own_area),
        cmocka_unit_test(shading_shares_out_the_tray_and_never_makes_area),
        cmocka_unit_test(the_piece_found_at_a_place_is_the_next_one_below_that_covers_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
