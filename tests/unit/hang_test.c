/* Cloth led out of the bundle: where it hangs, and how far dye is said to have climbed on it. */
#include "folded.h"

#include <stdlib.h>

#include "data/cloths.h"
#include "data/dyes.h"
#include "look/climb.h"
#include "setup/hang.h"
#include "setup/lay_area.h"

#define CELL_M 0.004

static thaw_specification hung_cloth(double from_m, double up_m, double down_m)
{
    thaw_specification spec = {.cloth = thaw_cloths_at(0), .width_m = 0.20, .length_m = 0.60, .cell_m = CELL_M, .seed = 3};
    spec.hang = (thaw_hang){.is_set = true, .from_m = from_m, .up_m = up_m, .down_m = down_m};
    return spec;
}

static void the_path_goes_up_across_and_down(void **state)
{
    (void)state;
    thaw_specification spec = hung_cloth(0.20, 0.10, 0.18);
    assert_close(thaw_hang_height_m(&spec, 0.0), 0.0, 1e-12);
    assert_close(thaw_hang_height_m(&spec, 0.07), 0.07, 1e-12);
    assert_close(thaw_hang_height_m(&spec, 0.10), 0.10, 1e-12);
    assert_close(thaw_hang_height_m(&spec, 0.21), 0.10, 1e-12); /* 12 cm lie across the edge */
    assert_close(thaw_hang_height_m(&spec, 0.22), 0.10, 1e-12);
    assert_close(thaw_hang_height_m(&spec, 0.30), 0.02, 1e-12);
    assert_close(thaw_hang_height_m(&spec, 0.40), -0.08, 1e-12);
}

static void cloth_from_a_flat_sheet_follows_the_path(void **state)
{
    (void)state;
    thaw_specification spec = hung_cloth(0.20, 0.10, 0.18);
    thaw_bundle b = folded(&spec);
    assert_int_equal(b.hung_rows, 100);
    assert_close(b.length_m, 0.20, 1e-9);
    assert_close(b.height_m, spec.cloth->thickness_m, 1e-12);
    for (size_t k = thaw_bundle_first_hung(&b); k < b.n; k++) {
        double along_m = ((double)(k / (size_t)b.nx) - 50.0 + 0.5) * CELL_M;
        assert_close(b.z_m[k], thaw_hang_height_m(&spec, along_m), 1e-9);
    }
    thaw_bundle_release(&b);
}

static void every_hanging_cell_has_a_place_to_itself(void **state)
{
    (void)state;
    thaw_specification spec = hung_cloth(0.24, 0.15, 0.21);
    spec.folds[spec.n_folds++] = (thaw_fold){.kind = THAW_FOLD_SCRUNCH, .share = 0.5};
    thaw_bundle b = folded(&spec);
    for (size_t k = 0; k < b.n; k++) {
        bool hangs = k >= thaw_bundle_first_hung(&b);
        if (hangs) {
            assert_int_equal(b.top[b.tray[k]], (int)k);
            assert_int_equal(b.layers[b.tray[k]], 1);
            assert_true(b.y_m[k] > b.length_m + 0.15); /* no piece of ice reaches so far */
        } else {
            assert_true(b.x_m[k] <= b.width_m && b.y_m[k] <= b.length_m);
        }
        assert_true(hangs || b.below[k] < (int32_t)thaw_bundle_first_hung(&b));
    }
    thaw_bundle_release(&b);
}

/* The rest of the cloth must not change what hands do to the bundle. */
static void the_bundle_is_that_of_the_folded_part_alone(void **state)
{
    (void)state;
    thaw_specification spec = hung_cloth(0.24, 0.15, 0.21), alone = spec;
    spec.folds[spec.n_folds++] = (thaw_fold){.kind = THAW_FOLD_ACCORDION, .pleats = 3, .along = THAW_ALONG_LENGTH};
    spec.folds[spec.n_folds++] = (thaw_fold){.kind = THAW_FOLD_SCRUNCH, .share = 0.6};
    alone = spec;
    alone.hang = (thaw_hang){0};
    alone.length_m = 0.24;
    thaw_bundle b = folded(&spec), a = folded(&alone);
    assert_int_equal(thaw_bundle_first_hung(&b), a.n);
    assert_int_equal(a.hung_rows, 0);
    assert_close(b.width_m, a.width_m, 0.0);
    assert_close(b.length_m, a.length_m, 0.0);
    for (size_t k = 0; k < a.n; k++) {
        assert_close(b.x_m[k], a.x_m[k], 0.0);
        assert_close(b.y_m[k], a.y_m[k], 0.0);
        assert_close(b.z_m[k], a.z_m[k], 0.0);
        assert_int_equal(b.below[k], a.below[k]);
        assert_int_equal(b.depth[k], a.depth[k]);
        assert_close((double)b.contact[k], (double)a.contact[k], 0.0);
    }
    thaw_bundle_release(&a);
    thaw_bundle_release(&b);
}

static void cloth_that_leaves_a_heap_is_nowhere_steeper_than_a_plumb_line(void **state)
{
    (void)state;
    thaw_specification spec = hung_cloth(0.24, 0.18, 0.18);
    spec.folds[spec.n_folds++] = (thaw_fold){.kind = THAW_FOLD_SCRUNCH, .share = 0.5};
    thaw_bundle b = folded(&spec);
    double highest = 0.0;
    for (size_t k = thaw_bundle_first_hung(&b); k < b.n; k++) {
        double rise = b.z_m[k] - b.z_m[k - (size_t)b.nx];
        assert_at_most(fabs(rise), 1.0001 * CELL_M);
        highest = fmax(highest, b.z_m[k]);
    }
    assert_close(highest, 0.18, CELL_M);
    thaw_bundle_release(&b);
}

static void areas_mean_the_bundle(void **state)
{
    (void)state;
    thaw_specification spec = hung_cloth(0.20, 0.10, 0.30);
    const thaw_area all = {.name = "all", .shape = THAW_AREA_BOX, .x1 = 1.0, .y1 = 1.0};
    thaw_bundle b = folded(&spec);
    assert_true(thaw_area_on_cloth(&all, &b, 0.10, 0.19));
    assert_false(thaw_area_on_cloth(&all, &b, 0.10, b.y_m[b.n - 1]));
    thaw_bundle_release(&b);
}

/* Ten columns; in column i turquoise lies up to row 10 + i, navy to row 5, rows from 4 on hang. */
static void climb_is_the_last_row_that_shows_dye(void **state)
{
    (void)state;
    enum { NX = 10, NY = 40 };
    static double turquoise[NX * NY], navy[NX * NY];
    thaw_print print = {.nx = NX, .ny = NY, .cell_m = 0.01, .cloth = thaw_cloths_at(0), .n_components = 2};
    thaw_climb all, each[2];
    thaw_error err = {0};
    for (int j = 0; j < NY; j++) {
        for (int i = 0; i < NX; i++) {
            turquoise[j * NX + i] = j <= 10 + i ? 1e-3 : 1e-9; /* a trace is not seen */
            navy[j * NX + i] = j <= 5 ? 1e-3 : 0.0;
        }
    }
    print.fixed_kg_m2[0] = turquoise;
    print.fixed_kg_m2[1] = navy;
    for (int c = 0; c < 2; c++) {
        print.components[c] = thaw_components_at(c);
        print.rows[c] = c;
    }
    assert_int_equal(thaw_look_climb(&print, 4, &all, each, &err), THAW_OK);
    assert_close(all.low_m, 0.07, 1e-9);
    assert_close(all.median_m, 0.11, 1e-9);
    assert_close(all.high_m, 0.15, 1e-9);
    assert_close(each[0].median_m, 0.11, 1e-9);
    assert_close(each[1].low_m, 0.02, 1e-9);
    assert_close(each[1].high_m, 0.02, 1e-9);
    assert_int_equal(thaw_look_climb(&print, NY, &all, each, &err), THAW_ERR_ARGUMENT);
}

static void bare_cloth_shows_no_climb(void **state)
{
    (void)state;
    static double nothing[6];
    thaw_print print = {.nx = 2, .ny = 3, .cell_m = 0.01, .cloth = thaw_cloths_at(0), .n_components = 1};
    thaw_climb all, each[1];
    print.components[0] = thaw_components_at(0);
    print.fixed_kg_m2[0] = nothing;
    assert_int_equal(thaw_look_climb(&print, 1, &all, each, NULL), THAW_OK);
    assert_close(all.high_m, 0.0, 0.0);
    assert_close(each[0].high_m, 0.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_path_goes_up_across_and_down),
        cmocka_unit_test(cloth_from_a_flat_sheet_follows_the_path),
        cmocka_unit_test(every_hanging_cell_has_a_place_to_itself),
        cmocka_unit_test(the_bundle_is_that_of_the_folded_part_alone),
        cmocka_unit_test(cloth_that_leaves_a_heap_is_nowhere_steeper_than_a_plumb_line),
        cmocka_unit_test(areas_mean_the_bundle),
        cmocka_unit_test(climb_is_the_last_row_that_shows_dye),
        cmocka_unit_test(bare_cloth_shows_no_climb),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
