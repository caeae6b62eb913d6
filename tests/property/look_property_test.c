/* What must hold for any amounts of any dyes. */
#include <stdlib.h>

#ifdef _OPENMP
#include <omp.h>
#endif

#include "base/alloc.h"
#include "base/random.h"
#include "check.h"
#include "data/dyes.h"
#include "look/colour.h"
#include "look/kubelka.h"
#include "look/measure.h"
#include "look/render.h"

#define NX     37
#define NY     41
#define N      (NX * NY)
#define N_DYES 4

static const thaw_cloth_kind cotton = {.mass_kg_m2 = 0.2, .colour_yield = 1.0};

/* A cloth with a random amount of each of four dyes in every cell. */
typedef struct sample {
    double fixed[N_DYES][N], loose[N_DYES][N], saturation[N];
    thaw_print print;
} sample;

static void use_threads(int n)
{
#ifdef _OPENMP
    omp_set_num_threads(n);
#else
    (void)n;
#endif
}

static double uniform(uint64_t index)
{
    return thaw_random_uniform(7, THAW_STREAM_TEST, index);
}

static void fill(sample *s)
{
    s->print = (thaw_print){.nx = NX,
                            .ny = NY,
                            .cell_m = 0.002,
                            .cloth = &cotton,
                            .n_components = N_DYES,
                            .saturation = s->saturation};
    for (int d = 0; d < N_DYES; d++) {
        s->print.rows[d] = 3 * d + 1;
        s->print.components[d] = thaw_components_at(s->print.rows[d]);
        s->print.fixed_kg_m2[d] = s->fixed[d];
        s->print.loose_kg_m2[d] = s->loose[d];
        for (int k = 0; k < N; k++) {
            double u = uniform((uint64_t)(d * N + k)),
                   v = uniform((uint64_t)((N_DYES + d) * N + k));
            s->fixed[d][k] = u < 0.4 ? 0.0 : 0.008 * u * u;
            s->loose[d][k] = 0.002 * v;
        }
    }
    for (int k = 0; k < N; k++) {
        s->saturation[k] = uniform((uint64_t)(9 * N + k));
    }
}

static int setup(void **state)
{
    sample *s = malloc(sizeof *s);
    if (!s) {
        return -1;
    }
    fill(s);
    *state = s;
    return 0;
}

static int teardown(void **state)
{
    free(*state);
    return 0;
}

static void luminances(const thaw_print *print, bool wet, double y[N])
{
    static double xyz[3 * N];
    assert_int_equal(thaw_look_cells(print, wet, xyz, NULL), THAW_OK);
    memcpy(y, xyz + N, N * sizeof *y);
}

static void kubelka_munk_and_its_inverse_round_trip(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 1000; i++) {
        double ratio = exp(-7.0 + 11.0 * uniform(i));
        double r = thaw_kubelka_reflectance(ratio, THAW_GLOSS_DRY);
        assert_true(r > THAW_GLOSS_DRY && r < 1.0);
        assert_close(thaw_kubelka_ratio(r, THAW_GLOSS_DRY) / ratio, 1.0, 1e-9);
        /* The textbook form, where it does not cancel. */
        if (ratio < 10.0) {
            double textbook = 1.0 + ratio - sqrt(ratio * ratio + 2.0 * ratio);
            assert_close(thaw_kubelka_reflectance(ratio, 0.0), textbook, 1e-12);
        }
    }
}

static void zero_dye_leaves_bare_cloth_to_the_last_bit(void **state)
{
    sample *s = *state;
    thaw_print bare = s->print;
    double with[N], without[N];
    memset(s->fixed, 0, sizeof s->fixed);
    bare.n_components = 0;
    luminances(&s->print, false, with);
    luminances(&bare, false, without);
    assert_memory_equal(with, without, sizeof with);
    /* A dye present elsewhere must not tint the cells without it. */
    s->fixed[1][5] = 0.004;
    luminances(&s->print, false, with);
    assert_true(with[5] < without[5] - 0.1);
    with[5] = without[5];
    assert_memory_equal(with, without, sizeof with);
}

static void more_dye_is_never_lighter_in_any_of_xyz(void **state)
{
    sample *s = *state;
    static double before[3 * N], after[3 * N];
    for (int d = 0; d < N_DYES; d++) {
        assert_int_equal(thaw_look_cells(&s->print, false, before, NULL), THAW_OK);
        for (int k = 0; k < N; k++) {
            s->fixed[d][k] += 1e-4 + 0.002 * uniform((uint64_t)k);
        }
        assert_int_equal(thaw_look_cells(&s->print, false, after, NULL), THAW_OK);
        for (int k = 0; k < 3 * N; k++) {
            assert_true(after[k] < before[k]);
        }
    }
}

static void wet_cloth_is_darker_than_dry(void **state)
{
    sample *s = *state;
    double dry[N], wet[N];
    memset(s->loose, 0, sizeof s->loose);
    luminances(&s->print, false, dry);
    luminances(&s->print, true, wet);
    for (int k = 0; k < N; k++) {
        assert_true(wet[k] < dry[k]);
    }
}

static void loose_dye_shows_wet_and_is_gone_dry(void **state)
{
    sample *s = *state;
    double dry[N], wet[N], dry_rinsed[N], wet_rinsed[N];
    luminances(&s->print, false, dry);
    luminances(&s->print, true, wet);
    memset(s->loose, 0, sizeof s->loose);
    luminances(&s->print, false, dry_rinsed);
    luminances(&s->print, true, wet_rinsed);
    assert_memory_equal(dry, dry_rinsed, sizeof dry);
    for (int k = 0; k < N; k++) {
        assert_true(wet[k] < wet_rinsed[k]);
    }
}

static void a_picture_is_the_same_for_1_2_and_3_threads(void **state)
{
    sample *s = *state;
    thaw_image first = {0}, other = {0};
    use_threads(1);
    assert_int_equal(thaw_look_render(&s->print, true, 3, &first, NULL), THAW_OK);
    assert_int_equal(first.width, 3 * NX);
    assert_int_equal(first.height, 3 * NY);
    for (int n = 2; n <= 3; n++) {
        use_threads(n);
        assert_int_equal(thaw_look_render(&s->print, true, 3, &other, NULL), THAW_OK);
        assert_memory_equal(first.rgb, other.rgb, 9 * N * 3);
        thaw_release(other.rgb);
    }
    use_threads(2);
    thaw_release(first.rgb);
}

/* The middle pixel of every cell lies on the cell centre at an odd scale. */
static void pixels_at_cell_centres_show_the_cell(void **state)
{
    sample *s = *state;
    thaw_image one = {0}, three = {0};
    assert_int_equal(thaw_look_render(&s->print, false, 1, &one, NULL), THAW_OK);
    assert_int_equal(thaw_look_render(&s->print, false, 3, &three, NULL), THAW_OK);
    for (int j = 0; j < NY; j++) {
        for (int i = 0; i < NX; i++) {
            const uint8_t *small = one.rgb + 3 * (j * NX + i);
            const uint8_t *large = three.rgb + 3 * ((3 * j + 1) * 3 * NX + 3 * i + 1);
            assert_memory_equal(small, large, 3);
        }
    }
    thaw_release(one.rgb);
    thaw_release(three.rgb);
}

/* Sharp dots of one dye: between cells the green light stays between that of bare cloth and of the
 * dot. */
static void interpolation_does_not_ring(void **state)
{
    sample *s = *state;
    memset(s->fixed, 0, sizeof s->fixed);
    for (int k = 0; k < N; k += 7) {
        s->fixed[1][k] = 0.004;
    }
    thaw_image one = {0}, four = {0};
    assert_int_equal(thaw_look_render(&s->print, false, 1, &one, NULL), THAW_OK);
    assert_int_equal(thaw_look_render(&s->print, false, 4, &four, NULL), THAW_OK);
    uint8_t low = one.rgb[1], high = one.rgb[3 + 1];
    assert_true(low + 50 < high);
    for (int p = 0; p < 16 * N; p++) {
        uint8_t green = four.rgb[3 * p + 1];
        assert_true(green >= low && green <= high);
    }
    thaw_release(one.rgb);
    thaw_release(four.rgb);
}

static void fitting_into_the_gamut_keeps_luminance_and_hue(void **state)
{
    (void)state;
    int outside = 0;
    for (uint64_t i = 0; i < 2000; i++) {
        double u[4];
        thaw_random_uniform4(3, THAW_STREAM_TEST, i, u);
        double before[3] = {1.4 * u[0] - 0.2, 1.4 * u[1] - 0.2, 1.4 * u[2] - 0.2}, after[3], a[3],
               b[3];
        thaw_colour_xyz(before, a);
        if (a[1] < 0.01 || a[1] > 0.99) {
            continue; /* such luminance has no colour in the gamut */
        }
        memcpy(after, before, sizeof after);
        thaw_colour_fit(after);
        thaw_colour_xyz(after, b);
        assert_close(b[1], a[1], 2e-6);
        for (int c = 0; c < 3; c++) {
            assert_true(after[c] >= 0.0 && after[c] <= 1.0);
        }
        /* On the line from grey through the colour: cross product of both differences is nothing.
         */
        double p[3], q[3];
        for (int c = 0; c < 3; c++) {
            p[c] = before[c] - a[1];
            q[c] = after[c] - a[1];
        }
        assert_close(p[0] * q[1] - p[1] * q[0], 0.0, 1e-5);
        assert_close(p[1] * q[2] - p[2] * q[1], 0.0, 1e-5);
        outside += memcmp(before, after, sizeof before) != 0;
    }
    assert_true(outside > 500);
}

static void wet_less_light_than_dry_on_the_whole_cloth(void **state)
{
    sample *s = *state;
    double wet, dry;
    assert_int_equal(thaw_look_lightness(&s->print, true, &wet, NULL), THAW_OK);
    assert_int_equal(thaw_look_lightness(&s->print, false, &dry, NULL), THAW_OK);
    assert_true(dry - wet > 3.0 && dry - wet < 30.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(kubelka_munk_and_its_inverse_round_trip),
        cmocka_unit_test_setup_teardown(zero_dye_leaves_bare_cloth_to_the_last_bit, setup,
                                        teardown),
        cmocka_unit_test_setup_teardown(more_dye_is_never_lighter_in_any_of_xyz, setup, teardown),
        cmocka_unit_test_setup_teardown(wet_cloth_is_darker_than_dry, setup, teardown),
        cmocka_unit_test_setup_teardown(loose_dye_shows_wet_and_is_gone_dry, setup, teardown),
        cmocka_unit_test_setup_teardown(a_picture_is_the_same_for_1_2_and_3_threads, setup,
                                        teardown),
        cmocka_unit_test_setup_teardown(pixels_at_cell_centres_show_the_cell, setup, teardown),
        cmocka_unit_test_setup_teardown(interpolation_does_not_ring, setup, teardown),
        cmocka_unit_test(fitting_into_the_gamut_keeps_luminance_and_hue),
        cmocka_unit_test_setup_teardown(wet_less_light_than_dry_on_the_whole_cloth, setup,
                                        teardown),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
