/* Figures on cloths whose answers are known, and the pictures of the bundle. */
#include <stdlib.h>

#include "base/alloc.h"
#include "check.h"
#include "data/dyes.h"
#include "look/bundle_view.h"
#include "look/fold_map.h"
#include "look/measure.h"
#include "look/spectrum.h"

#define NX     200
#define NY     180
#define N      (NX * NY)
#define CELL_M 0.002
#define TWO_PI 6.283185307179586
#define DEEP   0.004 /* kg/m2, 2 % on weight of goods */

static const thaw_cloth_kind cotton = {.mass_kg_m2 = 0.2, .colour_yield = 1.0};
static double field[N], first[N], second[N];

/* A wave of L*-like values along x, or along y. */
static void wave(double length_m, bool along_x)
{
    for (int k = 0; k < N; k++) {
        double at = CELL_M * (along_x ? k % NX : k / NX);
        field[k] = 50.0 + 8.0 * sin(TWO_PI * at / length_m);
    }
}

static thaw_spectrum spectrum_of(void)
{
    thaw_spectrum s;
    assert_int_equal(thaw_spectrum_measure(field, NX, NY, CELL_M, THAW_FINE_M, &s, NULL), THAW_OK);
    return s;
}

static void a_short_wave_is_fine_and_a_long_one_is_not(void **state)
{
    (void)state;
    wave(0.012, true);
    assert_true(spectrum_of().fine_share > 0.99);
    wave(0.012, false);
    assert_true(spectrum_of().fine_share > 0.99);
    wave(0.040, true);
    assert_true(spectrum_of().fine_share < 0.01);
}

/* Two waves of amplitudes 3 and 4: the finer holds 9 / 25 of the variance. */
static void fineness_is_the_share_of_variance(void **state)
{
    (void)state;
    for (int k = 0; k < N; k++) {
        double x = CELL_M * (k % NX), y = CELL_M * (k / NX);
        field[k] = 3.0 * sin(TWO_PI * x / 0.010) + 4.0 * sin(TWO_PI * y / 0.045 + 0.7);
    }
    assert_close(spectrum_of().fine_share, 0.36, 0.01);
}

/* The autocorrelation of a wave is cos(2 pi lag / length): 1/e at length x acos(1/e) / (2 pi). */
static void grain_of_a_wave_is_its_length_times_0_19(void **state)
{
    (void)state;
    double share = acos(exp(-1.0)) / TWO_PI;
    for (int i = 0; i < 3; i++) {
        double length_m = 0.030 + 0.015 * i;
        wave(length_m, true);
        assert_close(spectrum_of().grain_x_m, share * length_m, 0.0003);
        wave(length_m, false);
        assert_close(spectrum_of().grain_y_m, share * length_m, 0.0003);
        /* Across its crests nothing changes: the longest lag there is. */
        assert_true(spectrum_of().grain_x_m > 0.1);
    }
}

/* The taper thins out pairs of cells far apart; a wave as long as a quarter of the cloth would seem
 * 2 % shorter if that were not made good. */
static void the_taper_does_not_shorten_a_long_grain(void **state)
{
    (void)state;
    wave(0.100, true);
    assert_close(spectrum_of().grain_x_m, acos(exp(-1.0)) / TWO_PI * 0.100, 0.0003);
}

static void an_even_field_has_no_grain(void **state)
{
    (void)state;
    wave(1e9, true);
    thaw_spectrum s = spectrum_of();
    assert_close(s.fine_share, 0.0, 0.0);
    assert_close(s.grain_x_m, 0.0, 0.0);
}

/* Against a plain sum, in the middle and at a corner where the window is clipped. */
static void broad_zones_are_taken_out_by_the_clipped_window_mean(void **state)
{
    (void)state;
    for (int k = 0; k < N; k++) {
        field[k] = (double)((k * 7919) % 1009);
    }
    memcpy(first, field, sizeof field);
    int half = 25, places[][2] = {{0, 0}, {100, 90}, {NX - 1, NY - 3}, {10, 60}};
    assert_int_equal(thaw_spectrum_take_out_zones(field, NX, NY, half, NULL), THAW_OK);
    for (int p = 0; p < 4; p++) {
        double sum = 0.0;
        int n = 0;
        for (int k = 0; k < N; k++) {
            if (abs(k % NX - places[p][0]) <= half && abs(k / NX - places[p][1]) <= half) {
                sum += first[k];
                n++;
            }
        }
        int k = places[p][1] * NX + places[p][0];
        assert_close(field[k], first[k] - sum / n, 1e-8);
    }
}

static thaw_print two_dye_print(const char *a, const char *b)
{
    memset(first, 0, sizeof first);
    memset(second, 0, sizeof second);
    thaw_print print = {.nx = NX, .ny = NY, .cell_m = CELL_M, .cloth = &cotton, .n_components = 2};
    print.rows[0] = thaw_colours_find(a)->parts[0].component;
    print.rows[1] = thaw_colours_find(b)->parts[0].component;
    print.components[0] = thaw_components_at(print.rows[0]);
    print.components[1] = thaw_components_at(print.rows[1]);
    print.fixed_kg_m2[0] = first;
    print.fixed_kg_m2[1] = second;
    return print;
}

static thaw_look_figures measure(const thaw_print *print, const char *a, const char *b)
{
    thaw_look_figures f;
    const thaw_colour *colours[2] = {thaw_colours_find(a), thaw_colours_find(b)};
    assert_int_equal(thaw_look_measure(print, 2, colours, &f, NULL), THAW_OK);
    return f;
}

static void a_cloth_dyed_on_a_quarter_is_white_on_the_rest(void **state)
{
    (void)state;
    thaw_print print = two_dye_print("blue", "orange");
    for (int k = 0; k < N; k++) {
        first[k] = k % NX < NX / 4 ? DEEP : 0.0;
    }
    thaw_look_figures f = measure(&print, "blue", "orange");
    assert_close(f.white_share, 0.75, 1e-12);
    assert_close(f.bleed_share, 0.0, 0.0);
    assert_close(f.palette[0].share, 0.75, 1e-12);
    assert_close(f.palette[1].share, 0.25, 1e-12);
    assert_close(f.palette[2].share, 0.0, 0.0);
    assert_close(f.palette[0].lab[0], 95.3, 0.1);
    /* Swatch of blue at 2 % with nothing lost: between those of 2 % and 4 % fixed by 0.7. */
    assert_true(f.palette[1].lab[0] > 36.0 && f.palette[1].lab[0] < 44.0);
    assert_true(f.palette[1].rgb[2] > f.palette[1].rgb[0] + 80);
}

/* Half the cloth orange, half blue, with both on a tenth of it between. */
static void only_where_two_dyes_lie_together_has_bled(void **state)
{
    (void)state;
    thaw_print print = two_dye_print("blue", "orange");
    for (int k = 0; k < N; k++) {
        int i = k % NX;
        first[k] = i < NX * 55 / 100 ? DEEP : 0.0;
        second[k] = i >= NX * 45 / 100 ? DEEP : 0.0;
    }
    assert_close(measure(&print, "blue", "orange").bleed_share, 0.10, 1e-12);
    /* A trace of the other dye is no bleed. */
    for (int k = 0; k < N; k++) {
        first[k] = DEEP;
        second[k] = 0.03 * DEEP;
    }
    assert_close(measure(&print, "blue", "orange").bleed_share, 0.0, 0.0);
}

/* Purple is fuchsia and cerulean: where it splits, its own parts are no bleed; the same dyes
 * sprinkled as two colours are. */
static void a_mixture_that_splits_has_not_bled(void **state)
{
    (void)state;
    thaw_print print = two_dye_print("fuchsia", "cerulean");
    for (int k = 0; k < N; k++) {
        double u = (double)(k % NX) / NX;
        first[k] = DEEP * u;
        second[k] = DEEP * (1.0 - u);
    }
    assert_close(measure(&print, "purple", "purple").bleed_share, 0.0, 0.0);
    double bled = measure(&print, "fuchsia", "cerulean").bleed_share;
    assert_true(bled > 0.6 && bled < 0.8);
}

static void the_palette_orders_three_colours_by_share(void **state)
{
    (void)state;
    thaw_print print = two_dye_print("golden yellow", "navy");
    for (int k = 0; k < N; k++) {
        int i = k % NX;
        first[k] = i < NX / 2 ? DEEP : 0.0;
        second[k] = i >= NX * 8 / 10 ? DEEP : 0.0;
    }
    thaw_look_figures f = measure(&print, "golden yellow", "navy");
    assert_close(f.palette[0].share, 0.5, 1e-12);
    assert_close(f.palette[1].share, 0.3, 1e-12);
    assert_close(f.palette[2].share, 0.2, 1e-12);
    assert_true(f.palette[0].lab[2] > 70.0);
    assert_close(f.palette[1].lab[0], 95.3, 0.1);
    assert_true(f.palette[2].lab[0] < 35.0);
}

/* Dye along waves of 25 mm: fineness small, grain that of the wave. */
static void figures_of_dyed_waves_are_those_of_the_wave(void **state)
{
    (void)state;
    thaw_print print = two_dye_print("blue", "orange");
    for (int k = 0; k < N; k++) {
        first[k] = 0.0020 + 0.0002 * sin(TWO_PI * CELL_M * (k % NX) / 0.025);
    }
    thaw_look_figures f = measure(&print, "blue", "orange");
    assert_true(f.fineness < 0.05);
    assert_close(f.grain_weft_m, 0.1901 * 0.025, 0.0004);
    for (int k = 0; k < N; k++) {
        first[k] = 0.0020 + 0.0002 * sin(TWO_PI * CELL_M * (k / NX) / 0.0125);
    }
    f = measure(&print, "blue", "orange");
    assert_true(f.fineness > 0.95);
    assert_close(f.grain_warp_m, 0.1901 * 0.0125, 0.0006);
}

static void measuring_fails_cleanly_at_every_allocation(void **state)
{
    (void)state;
    thaw_print print = two_dye_print("blue", "orange");
    const thaw_colour *colours[1] = {thaw_colours_find("blue")};
    long failures = 0;
    for (;;) {
        thaw_error err = {0};
        thaw_look_figures f = {.white_share = -1.0};
        thaw_allocate_fail_at(failures + 1);
        thaw_status status = thaw_look_measure(&print, 1, colours, &f, &err);
        thaw_allocate_fail_at(0);
        if (status == THAW_OK) {
            break;
        }
        assert_int_equal(status, THAW_ERR_MEMORY);
        assert_close(f.white_share, -1.0, 0.0);
        failures++;
    }
    assert_true(failures >= 8);
}

/* A sheet folded once across its length: rows 0 .. 19 lie below, 20 .. 39 above, mirrored. */
#define BX 30
#define BY 40
#define BN (BX * BY)
static double bx[BN], by[BN], bz[BN];
static uint16_t depth[BN], layers[BX * BY / 2];

static thaw_bundle folded_once(void)
{
    for (int k = 0; k < BN; k++) {
        int i = k % BX, j = k / BX;
        bx[k] = (i + 0.5) * CELL_M;
        by[k] = ((j < BY / 2 ? j : BY - 1 - j) + 0.5) * CELL_M;
        bz[k] = j < BY / 2 ? 0.0 : 0.001;
        depth[k] = j < BY / 2;
        layers[k / 2] = 2;
    }
    return (thaw_bundle){.nx = BX,
                         .ny = BY,
                         .n = BN,
                         .cell_m = CELL_M,
                         .x_m = bx,
                         .y_m = by,
                         .z_m = bz,
                         .tray_nx = BX,
                         .tray_ny = BY / 2,
                         .tray_m = CELL_M,
                         .depth = depth,
                         .layers = layers,
                         .width_m = BX * CELL_M,
                         .length_m = BY / 2 * CELL_M,
                         .height_m = 0.001};
}

static void the_bundle_shows_the_upper_layer_on_a_tray(void **state)
{
    (void)state;
    thaw_bundle bundle = folded_once();
    thaw_print print = two_dye_print("blue", "orange");
    print.nx = BX;
    print.ny = BY;
    for (int k = 0; k < BN; k++) {
        first[k] = k / BX < BY / 2 ? DEEP : 0.0;  /* below */
        second[k] = k / BX < BY / 2 ? 0.0 : DEEP; /* above */
    }
    thaw_image image = {0};
    assert_int_equal(thaw_look_bundle(&print, &bundle, false, CELL_M, &image, NULL), THAW_OK);
    assert_int_equal(image.width, BX + 30);
    const uint8_t *middle = image.rgb + 3 * (image.height / 2 * image.width + image.width / 2);
    assert_true(middle[0] > middle[2] + 100);
    const uint8_t *tray = image.rgb;
    assert_true(abs(tray[0] - tray[2]) < 20 && tray[0] > 120 && tray[0] < 170);
    thaw_release(image.rgb);
    thaw_error err = {0};
    print.nx = 7;
    image.rgb = NULL;
    assert_int_equal(thaw_look_bundle(&print, &bundle, false, CELL_M, &image, &err),
                     THAW_ERR_ARGUMENT);
    assert_null(image.rgb);
}

static void the_fold_map_is_light_on_top_and_dark_below(void **state)
{
    (void)state;
    thaw_bundle bundle = folded_once();
    thaw_image flat = {0}, plan = {0};
    thaw_legend legend;
    assert_int_equal(thaw_look_fold_map(&bundle, &flat, &plan, NULL), THAW_OK);
    thaw_look_fold_legend(&bundle, &legend);
    assert_int_equal(flat.width, 2 * BX);
    assert_int_equal(plan.height, BY);
    assert_int_equal(legend.n, 2);
    assert_int_equal(legend.layers[1], 1);
    const uint8_t *below = flat.rgb + 3 * (5 * flat.width + 5);
    const uint8_t *above = flat.rgb + 3 * ((flat.height - 5) * flat.width + 5);
    assert_memory_equal(above, legend.rgb[0], 3);
    assert_memory_equal(below, legend.rgb[1], 3);
    assert_memory_equal(plan.rgb, legend.rgb[1], 3);
    assert_true(above[1] > below[1] + 120);
    thaw_release(flat.rgb);
    thaw_release(plan.rgb);
}

/* On one wide flat layer the lines run at every 10 cm of its own plane. */
static void lines_of_place_stand_every_10_cm(void **state)
{
    (void)state;
    static double wide_x[130 * 2], wide_y[130 * 2], wide_z[130 * 2];
    static uint16_t none[130 * 2], one[130 * 2];
    for (int k = 0; k < 130 * 2; k++) {
        wide_x[k] = (k % 130 + 0.5) * CELL_M;
        wide_y[k] = (k / 130 + 0.5) * CELL_M;
        one[k] = 1;
    }
    thaw_bundle bundle = {.nx = 130,
                          .ny = 2,
                          .n = 260,
                          .cell_m = CELL_M,
                          .x_m = wide_x,
                          .y_m = wide_y,
                          .z_m = wide_z,
                          .tray_nx = 130,
                          .tray_ny = 2,
                          .depth = none,
                          .layers = one};
    thaw_image flat = {0}, plan = {0};
    assert_int_equal(thaw_look_fold_map(&bundle, &flat, &plan, NULL), THAW_OK);
    for (int x = 0; x < flat.width; x++) {
        bool dark = flat.rgb[3 * x + 1] < 100;
        assert_int_equal(dark, x == 99 || x == 199);
        assert_int_equal(plan.rgb[3 * x + 1] < 100, x == 99 || x == 199);
    }
    thaw_release(flat.rgb);
    thaw_release(plan.rgb);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_short_wave_is_fine_and_a_long_one_is_not),
        cmocka_unit_test(fineness_is_the_share_of_variance),
        cmocka_unit_test(grain_of_a_wave_is_its_length_times_0_19),
        cmocka_unit_test(the_taper_does_not_shorten_a_long_grain),
        cmocka_unit_test(an_even_field_has_no_grain),
        cmocka_unit_test(broad_zones_are_taken_out_by_the_clipped_window_mean),
        cmocka_unit_test(a_cloth_dyed_on_a_quarter_is_white_on_the_rest),
        cmocka_unit_test(only_where_two_dyes_lie_together_has_bled),
        cmocka_unit_test(a_mixture_that_splits_has_not_bled),
        cmocka_unit_test(the_palette_orders_three_colours_by_share),
        cmocka_unit_test(figures_of_dyed_waves_are_those_of_the_wave),
        cmocka_unit_test(measuring_fails_cleanly_at_every_allocation),
        cmocka_unit_test(the_bundle_shows_the_upper_layer_on_a_tray),
        cmocka_unit_test(the_fold_map_is_light_on_top_and_dark_below),
        cmocka_unit_test(lines_of_place_stand_every_10_cm),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
