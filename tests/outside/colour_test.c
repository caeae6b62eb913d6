/* Colours against published and independently computed values. */
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>

#include <lcms2.h>

#include "outside.h"
#include "data/dyes.h"
#include "data/observer.h"
#include "look/colour.h"
#include "look/kubelka.h"
#include "look/render.h"

#define DATA        THAW_SOURCE_DIR "/tests/outside/data/"
#define CLOTH_KG_M2 0.250

static FILE *open_data(const char *path)
{
    FILE *file = fopen(path, "r");
    if (!file) {
        print_error("cannot open %s\n", path);
    }
    assert_non_null(file);
    return file;
}

static void all_published_ciede2000_pairs_agree_to_the_last_digit(void **state)
{
    (void)state;
    FILE *file = open_data(DATA "ciede2000_pairs.csv");
    char line[256];
    int n = 0;
    while (fgets(line, sizeof line, file)) {
        cmsCIELab a, b;
        double expected;
        if (sscanf(line, "%*d,%lf,%lf,%lf,%lf,%lf,%lf,%lf", &a.L, &a.a, &a.b, &b.L, &b.a, &b.b,
                   &expected) != 7) {
            continue;
        }
        assert_close(cmsCIE2000DeltaE(&a, &b, 1.0, 1.0, 1.0), expected, 5.1e-5);
        assert_close(cmsCIE2000DeltaE(&b, &a, 1.0, 1.0, 1.0), expected, 5.1e-5);
        n++;
    }
    fclose(file);
    assert_int_equal(n, 34);
}

/* Cloth of one cell, dyed with `owg` per cent of a colour of which 70 % is fixed; dry or soaked. */
static void dyed_lab(const char *name, double owg, bool wet, double lab[3])
{
    const double soaked = 1.0;
    thaw_cloth_kind cloth = {.mass_kg_m2 = CLOTH_KG_M2, .colour_yield = 1.0};
    thaw_print print = {.nx = 1, .ny = 1, .cell_m = 0.002, .cloth = &cloth, .saturation = &soaked};
    double fixed[THAW_MAX_PARTS], xyz[3];
    const thaw_colour *colour = thaw_colours_find(name);
    assert_non_null(colour);
    for (int p = 0; p < colour->n_parts; p++) {
        fixed[p] = 0.01 * owg * 0.7 * CLOTH_KG_M2 * colour->parts[p].share;
        print.rows[p] = colour->parts[p].component;
        print.components[p] = thaw_components_at(print.rows[p]);
        print.fixed_kg_m2[p] = &fixed[p];
        print.n_components++;
    }
    assert_int_equal(thaw_look_cells(&print, wet, xyz, NULL), THAW_OK);
    thaw_colour_lab(xyz, lab);
}

static void every_swatch_of_the_palette_is_reproduced(void **state)
{
    (void)state;
    FILE *file = open_data(DATA "swatches.csv");
    char line[256], name[64];
    int n = 0;
    while (fgets(line, sizeof line, file)) {
        double owg, expected[3], lab[3];
        if (sscanf(line, "%63[^,],%lf,%lf,%lf,%lf", name, &owg, &expected[0], &expected[1],
                   &expected[2]) != 5) {
            continue;
        }
        dyed_lab(name, owg, false, lab);
        for (int c = 0; c < 3; c++) {
            assert_close(lab[c], expected[c], 0.05);
        }
        n++;
    }
    fclose(file);
    assert_int_equal(n, 72);
}

static void bare_cotton_has_the_colour_it_was_given(void **state)
{
    (void)state;
    double lab[3];
    dyed_lab("blue", 0.0, false, lab);
    assert_close(lab[0], 95.3, 0.06);
    assert_close(lab[1], -0.5, 0.06);
    assert_close(lab[2], 3.7, 0.06);
}

/* Lightness of soaked cloth, computed apart from this library with K/S doubled: as the swatches. */
static void soaking_darkens_as_doubled_absorption_does(void **state)
{
    (void)state;
    const struct {
        const char *name;
        double owg, dry, wet;
    } rows[] = {{"magenta", 1.0, 51.6, 44.0},
                {"turquoise", 1.0, 66.2, 59.0},
                {"navy", 1.0, 35.4, 27.0},
                {"navy", 0.0, 95.3, 93.0}};
    for (int i = 0; i < 4; i++) {
        double lab[3];
        dyed_lab(rows[i].name, rows[i].owg, false, lab);
        assert_close(lab[0], rows[i].dry, 0.06);
        dyed_lab(rows[i].name, rows[i].owg, true, lab);
        assert_close(lab[0], rows[i].wet, 0.6);
    }
}

static void undyed_warm_fibre_is_as_yellow_as_unbleached_linen(void **state)
{
    (void)state;
    thaw_cloth_kind cloth = {.mass_kg_m2 = CLOTH_KG_M2, .colour_yield = 1.0, .white_warmth = 1.0};
    thaw_print print = {.nx = 1, .ny = 1, .cell_m = 0.002, .cloth = &cloth};
    double xyz[3], lab[3];
    assert_int_equal(thaw_look_cells(&print, false, xyz, NULL), THAW_OK);
    thaw_colour_lab(xyz, lab);
    assert_close(lab[2], 12.0, 2.0);
    assert_close(lab[1], 1.0, 1.5);
    assert_true(lab[0] > 82.0 && lab[0] < 93.0);
}

static void the_perfect_white_is_d65(void **state)
{
    (void)state;
    thaw_cloth_kind cloth = {.mass_kg_m2 = 1.0};
    thaw_print print = {.cloth = &cloth};
    thaw_kubelka kubelka;
    thaw_kubelka_prepare(&print, false, &kubelka);
    double sum[3] = {0.0, 0.0, 0.0};
    for (int b = 0; b < THAW_OBSERVER_BANDS; b++) {
        for (int c = 0; c < 3; c++) {
            sum[c] += kubelka.weight[c][b];
        }
    }
    double total = sum[0] + sum[1] + sum[2];
    assert_close(sum[0] / total, 0.3127, 5e-5); /* CIE 15, D65, 2 degrees */
    assert_close(sum[1] / total, 0.3290, 5e-5);
    double lab[3], rgb[3];
    thaw_colour_lab(sum, lab);
    assert_close(lab[0], 100.0, 1e-9);
    assert_close(lab[1], 0.0, 1e-9);
    assert_close(lab[2], 0.0, 1e-9);
    thaw_colour_linear(sum, rgb);
    for (int c = 0; c < 3; c++) {
        assert_close(rgb[c], 1.0, 5e-4);
    }
}

static void the_tables_sum_as_published(void **state)
{
    (void)state;
    double sum[3] = {0.0, 0.0, 0.0};
    for (int b = 0; b < THAW_OBSERVER_BANDS; b++) {
        const thaw_observer_band *o = thaw_observer_at(b);
        assert_close(o->nm, 380.0 + 10.0 * b, 0.0);
        sum[0] += o->x;
        sum[1] += o->y;
        sum[2] += o->z;
    }
    /* The integrals of the three functions are equal by definition of the observer. */
    assert_close(sum[0], 10.682, 0.001);
    assert_close(sum[1], 10.685, 0.001);
    assert_close(sum[2], 10.677, 0.001);
    assert_null(thaw_observer_at(THAW_OBSERVER_BANDS));
}

/* Values of IEC 61966-2-1: the curve at its knee and at mid grey, and Y of the primaries. */
static void srgb_has_its_known_values(void **state)
{
    (void)state;
    assert_close(thaw_colour_encode(0.0031308), 0.04045, 1e-5);
    assert_close(thaw_colour_decode(0.5), 0.21404114, 1e-8);
    assert_close(thaw_colour_decode(128.0 / 255.0), 0.21586050, 1e-8);
    assert_close(thaw_colour_encode(0.18), 0.46135613, 1e-7);
    double y[3] = {0.2126, 0.7152, 0.0722};
    for (int c = 0; c < 3; c++) {
        double rgb[3] = {0.0, 0.0, 0.0}, xyz[3];
        rgb[c] = 1.0;
        thaw_colour_xyz(rgb, xyz);
        assert_close(xyz[1], y[c], 5e-5);
    }
    /* L*a*b* of the sRGB primary red under D65: 53.24 80.09 67.20. */
    double lab[3], red[3] = {1.0, 0.0, 0.0}, xyz[3];
    thaw_colour_xyz(red, xyz);
    thaw_colour_lab(xyz, lab);
    assert_close(lab[0], 53.24, 0.01);
    assert_close(lab[1], 80.09, 0.02);
    assert_close(lab[2], 67.20, 0.02);
}

static void every_colour_adds_up_and_names_are_unique(void **state)
{
    (void)state;
    assert_int_equal(thaw_components_count(), 13);
    assert_int_equal(thaw_colours_count(), 18);
    for (int i = 0; i < thaw_colours_count(); i++) {
        const thaw_colour *colour = thaw_colours_at(i);
        double sum = 0.0;
        for (int p = 0; p < colour->n_parts; p++) {
            sum += colour->parts[p].share;
            assert_non_null(thaw_components_at(colour->parts[p].component));
        }
        assert_close(sum, 1.0, 1e-12);
        assert_ptr_equal(thaw_colours_find(colour->name), colour);
    }
    assert_null(thaw_colours_find("seaglass"));
    assert_null(thaw_colours_at(-1));
    assert_null(thaw_components_at(13));
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_published_ciede2000_pairs_agree_to_the_last_digit),
        cmocka_unit_test(every_swatch_of_the_palette_is_reproduced),
        cmocka_unit_test(bare_cotton_has_the_colour_it_was_given),
        cmocka_unit_test(soaking_darkens_as_doubled_absorption_does),
        cmocka_unit_test(undyed_warm_fibre_is_as_yellow_as_unbleached_linen),
        cmocka_unit_test(the_perfect_white_is_d65),
        cmocka_unit_test(the_tables_sum_as_published),
        cmocka_unit_test(srgb_has_its_known_values),
        cmocka_unit_test(every_colour_adds_up_and_names_are_unique),
    };
    return outside_main(tests, argc, argv);
}
