/* Folding by hand-checkable cases. */
#include "folded.h"

#include "base/alloc.h"
#include "setup/contact.h"

static const thaw_cloth_kind cloth = {.name = "test cloth", .thickness_m = 0.0006};

static thaw_specification cloth_of(double width_m, double length_m)
{
    return (thaw_specification){
        .cloth = &cloth, .width_m = width_m, .length_m = length_m, .cell_m = 0.004, .seed = 11};
}

static thaw_specification pleated(double width_m, double length_m, int pleats, double waviness_m)
{
    thaw_specification spec = cloth_of(width_m, length_m);
    spec.folds[spec.n_folds++] = (thaw_fold){
        .kind = THAW_FOLD_ACCORDION, .pleats = pleats, .along = THAW_ALONG_WIDTH, .waviness_m = waviness_m};
    return spec;
}

static void flat_cloth_lies_as_it_is(void **state)
{
    (void)state;
    thaw_specification spec = cloth_of(0.20, 0.12);
    spec.folds[spec.n_folds++] = (thaw_fold){.kind = THAW_FOLD_FLAT};
    thaw_bundle b = folded(&spec);
    assert_int_equal(b.nx, 50);
    assert_int_equal(b.ny, 30);
    assert_int_equal(b.tray_nx, 50);
    assert_int_equal(b.tray_ny, 30);
    assert_close(b.width_m, 0.20, 1e-9);
    assert_close(b.length_m, 0.12, 1e-9);
    for (size_t k = 0; k < b.n; k++) {
        assert_close(b.x_m[k], ((double)(k % 50) + 0.5) * 0.004, 1e-9);
        assert_close(b.y_m[k], ((double)(k / 50) + 0.5) * 0.004, 1e-9);
        assert_close(b.z_m[k], 0.0, 0.0);
        assert_int_equal(b.below[k], -1);
        assert_int_equal(b.depth[k], 0);
        assert_int_equal(b.top[b.tray[k]], (int)k);
        assert_int_equal(b.layers[b.tray[k]], 1);
    }
    thaw_bundle_release(&b);
}

static void a_cloth_of_one_cell_can_be_folded_flat(void **state)
{
    (void)state;
    thaw_specification spec = cloth_of(0.004, 0.004);
    thaw_bundle b = folded(&spec);
    assert_int_equal(b.n, 1);
    assert_int_equal(b.top[0], 0);
    thaw_bundle_release(&b);
}

static void straight_pleats_lie_exactly_on_each_other(void **state)
{
    (void)state;
    thaw_specification spec = pleated(0.48, 0.20, 6, 0.0); /* pleats of 80 mm, 20 cells */
    thaw_bundle b = folded(&spec);
    for (int j = 0; j < b.ny; j++)
        for (int i = 20; i < b.nx; i++) {
            int crease = i / 20 * 20, mirror = 2 * crease - 1 - i;
            assert_close(b.x_m[j * b.nx + i], b.x_m[j * b.nx + mirror], 1e-9);
            assert_close(b.y_m[j * b.nx + i], b.y_m[j * b.nx + mirror], 1e-9);
            assert_close(b.z_m[j * b.nx + i] - b.z_m[j * b.nx + mirror], 1.3 * cloth.thickness_m, 1e-9);
        }
    thaw_bundle_release(&b);
}

static void each_pleat_rests_on_the_one_before(void **state)
{
    (void)state;
    thaw_specification spec = pleated(0.48, 0.20, 6, 0.0);
    thaw_bundle b = folded(&spec);
    for (int j = 0; j < b.ny; j++)
        for (int i = 0; i < b.nx; i++) {
            int k = j * b.nx + i, pleat = i / 20;
            assert_int_equal(b.depth[k], 5 - pleat);
            if (pleat == 0)
                assert_int_equal(b.below[k], -1);
            else
                assert_int_equal(b.below[k], j * b.nx + 2 * 20 * pleat - 1 - i);
        }
    for (int s = 0; s < b.tray_nx * b.tray_ny; s++)
        assert_int_equal(b.layers[s], 6);
    thaw_bundle_release(&b);
}

static void pleats_of_any_width_give_their_number_of_layers(void **state)
{
    (void)state;
    for (int pleats = 2; pleats <= 9; pleats++) {
        thaw_specification spec = pleated(0.50, 0.20, pleats, 0.0);
        thaw_bundle b = folded(&spec);
        assert_close(b.width_m, 0.50 / pleats, 1.01 * b.cell_m);
        for (int s = 0; s < b.tray_nx * b.tray_ny; s++) /* edges of pleats end in different squares */
            if (s % b.tray_nx >= 2 && s % b.tray_nx < b.tray_nx - 2)
                assert_int_equal(b.layers[s], pleats);
        thaw_bundle_release(&b);
    }
}

static void pleats_along_the_length_shorten_the_length(void **state)
{
    (void)state;
    thaw_specification spec = pleated(0.20, 0.48, 6, 0.0);
    spec.folds[0].along = THAW_ALONG_LENGTH;
    thaw_bundle b = folded(&spec);
    assert_close(b.width_m, 0.20, 1e-9);
    assert_close(b.length_m, 0.08, 1e-9);
    thaw_bundle_release(&b);
}

static void folds_follow_one_another(void **state)
{
    (void)state;
    thaw_specification spec = pleated(0.48, 0.40, 4, 0.0);
    spec.folds[spec.n_folds++] =
        (thaw_fold){.kind = THAW_FOLD_ACCORDION, .pleats = 5, .along = THAW_ALONG_LENGTH};
    thaw_bundle b = folded(&spec);
    assert_close(b.width_m, 0.12, 1e-9);
    assert_close(b.length_m, 0.08, 1e-9);
    for (int s = 0; s < b.tray_nx * b.tray_ny; s++)
        assert_int_equal(b.layers[s], 20);
    thaw_bundle_release(&b);
}

/* The edge of the second layer, row by row, is where the first crease lies in the plan. */
static void creases_wander_as_much_as_asked(void **state)
{
    (void)state;
    thaw_specification spec = pleated(0.80, 4.0, 4, 0.003);
    thaw_bundle b = folded(&spec);
    double sum = 0.0, square = 0.0;
    for (int j = 0; j < b.ny; j++) {
        double edge = 0.0;
        for (int i = 0; i < b.nx / 2; i++)
            edge = fmax(edge, b.x_m[j * b.nx + i]);
        sum += edge;
        square += edge * edge;
    }
    double mean = sum / b.ny, rms = sqrt(square / b.ny - mean * mean);
    assert_at_most(0.002, rms);
    assert_at_most(rms, 0.0045);
    thaw_bundle_release(&b);
}

enum { LEAF = 40, ROWS = 100 };

/* Two leaves of one cloth, the second laid back over the first at a height. */
static thaw_bundle two_leaves(double height_m)
{
    thaw_error err = {0};
    thaw_bundle b = {.nx = 2 * LEAF, .ny = ROWS, .n = 2 * LEAF * ROWS, .cell_m = 0.004};
    b.x_m = thaw_allocate(b.n, sizeof(double), &err);
    b.y_m = thaw_allocate(b.n, sizeof(double), &err);
    b.z_m = thaw_allocate(b.n, sizeof(double), &err);
    for (int k = 0; k < (int)b.n; k++) {
        int i = k % b.nx, leaf = i / LEAF;
        b.x_m[k] = ((leaf ? 2 * LEAF - 1 - i : i) + 0.5) * b.cell_m;
        b.y_m[k] = (k / b.nx + 0.5) * b.cell_m;
        b.z_m[k] = leaf * height_m;
    }
    b.width_m = LEAF * b.cell_m;
    b.length_m = ROWS * b.cell_m;
    b.height_m = height_m + cloth.thickness_m;
    assert_int_equal(thaw_contact_link(cloth.thickness_m, 5, &b, &err), THAW_OK);
    assert_true(thaw_bundle_is_valid(&b));
    return b;
}

static double mean_contact(double gap_m)
{
    thaw_bundle b = two_leaves(gap_m + cloth.thickness_m);
    double sum = 0.0;
    int n = 0;
    for (int k = 0; k < (int)b.n; k++)
        if (b.below[k] >= 0) {
            sum += (double)b.contact[k];
            n++;
        }
    assert_at_most(0.75 * LEAF * ROWS, n); /* beside the bend the leaves are one panel */
    thaw_bundle_release(&b);
    return sum / n;
}

static void contact_is_a_tenth_when_stacked_and_fades_with_the_gap(void **state)
{
    (void)state;
    double stacked = mean_contact(0.0002);
    assert_close(stacked, 0.1, 0.012);
    assert_close(mean_contact(0.0035) / stacked, 1.0, 0.02);
    assert_close(mean_contact(0.007) / stacked, exp(-1.0), 0.02);
    assert_at_most(mean_contact(0.04), 1e-5);
}

static void contact_is_uneven_over_a_few_cells(void **state)
{
    (void)state;
    thaw_bundle b = two_leaves(0.0008);
    double mean = 0.0, square = 0.0, near = 0.0, far = 0.0;
    int n = 0;
    for (int j = 0; j < ROWS; j++)
        for (int i = LEAF; i < 2 * LEAF - 12; i++) {
            double here = log((double)b.contact[j * b.nx + i]), next = log((double)b.contact[j * b.nx + i + 1]);
            double away = log((double)b.contact[j * b.nx + i + 12]);
            mean += here;
            square += here * here;
            near += (here - next) * (here - next);
            far += (here - away) * (here - away);
            n++;
        }
    mean /= n;
    assert_close(sqrt(square / n - mean * mean), 0.5, 0.06);
    assert_at_most(near, 0.5 * far);
    thaw_bundle_release(&b);
}

/* Flat, then straight up for 20 cells, then flat again on top. */
static void a_standing_panel_does_not_rest_on_itself(void **state)
{
    (void)state;
    thaw_error err = {0};
    thaw_bundle b = {.nx = 60, .ny = 10, .n = 600, .cell_m = 0.002};
    b.x_m = thaw_allocate(b.n, sizeof(double), &err);
    b.y_m = thaw_allocate(b.n, sizeof(double), &err);
    b.z_m = thaw_allocate(b.n, sizeof(double), &err);
    for (int k = 0; k < 600; k++) {
        int i = k % 60, risen = i < 20 ? 0 : i < 40 ? i - 20 : 20;
        b.x_m[k] = (i - risen + 0.5) * b.cell_m;
        b.y_m[k] = (k / 60 + 0.5) * b.cell_m;
        b.z_m[k] = risen * b.cell_m;
    }
    b.width_m = 40 * b.cell_m;
    b.length_m = 10 * b.cell_m;
    b.height_m = 21 * b.cell_m;
    assert_int_equal(thaw_contact_link(cloth.thickness_m, 5, &b, &err), THAW_OK);
    for (int k = 0; k < 600; k++) {
        assert_int_equal(b.below[k], -1);
        assert_int_equal(b.depth[k], 0);
    }
    thaw_bundle_release(&b);
}

static void a_hole_between_cells_is_filled_from_around(void **state)
{
    (void)state;
    thaw_error err = {0};
    thaw_bundle b = {.nx = 5, .ny = 5, .n = 25, .cell_m = 0.004};
    b.x_m = thaw_allocate(b.n, sizeof(double), &err);
    b.y_m = thaw_allocate(b.n, sizeof(double), &err);
    b.z_m = thaw_allocate(b.n, sizeof(double), &err);
    for (int k = 0; k < 25; k++) {
        b.x_m[k] = (k % 5 + 0.5) * b.cell_m;
        b.y_m[k] = (k / 5 + 0.5) * b.cell_m;
    }
    b.x_m[12] += b.cell_m; /* leaves its square empty */
    b.z_m[7] = 0.0001;
    b.width_m = b.length_m = 5 * b.cell_m;
    b.height_m = 0.001;
    assert_int_equal(thaw_contact_link(cloth.thickness_m, 5, &b, &err), THAW_OK);
    assert_int_equal(b.top[12], 7);
    assert_int_equal(b.layers[12], 1);
    thaw_bundle_release(&b);
}

static void refuse(const thaw_specification *spec)
{
    thaw_bundle b = {.nx = 77};
    thaw_error err = {0};
    assert_int_equal(thaw_fold_bundle(spec, &b, &err), THAW_ERR_ARGUMENT);
    assert_int_equal(b.nx, 77);
    assert_null(b.x_m);
    assert_true(strlen(err.text) > 0);
}

static void impossible_folds_are_refused(void **state)
{
    (void)state;
    thaw_specification one = pleated(0.2, 0.2, 1, 0.0), none = cloth_of(0.001, 0.2), tight = cloth_of(0.2, 0.2);
    tight.folds[tight.n_folds++] = (thaw_fold){.kind = THAW_FOLD_SCRUNCH, .share = 0.05};
    refuse(&one);
    refuse(&none);
    refuse(&tight);
}

static void lack_of_memory_leaves_the_output_untouched(void **state)
{
    (void)state;
    thaw_specification spec = pleated(0.2, 0.2, 3, 0.002);
    spec.folds[spec.n_folds++] = (thaw_fold){.kind = THAW_FOLD_SCRUNCH, .share = 0.5};
    thaw_bundle b = {.nx = 77};
    int n = 0;
    for (;;) {
        thaw_error err = {0};
        thaw_allocate_fail_at(++n);
        thaw_status status = thaw_fold_bundle(&spec, &b, &err);
        thaw_allocate_fail_at(0);
        if (status == THAW_OK)
            break;
        assert_int_equal(status, THAW_ERR_MEMORY);
        assert_int_equal(b.nx, 77);
        assert_null(b.x_m);
    }
    assert_true(n > 20); /* the loop has met every allocation */
    thaw_bundle_release(&b);
}

static void a_damaged_bundle_is_not_valid(void **state)
{
    (void)state;
    thaw_specification spec = pleated(0.48, 0.20, 6, 0.0);
    thaw_bundle b = folded(&spec);
    int32_t last = (int32_t)b.n - 1, rest = b.below[last];
    b.below[rest] = last; /* a ring */
    assert_false(thaw_bundle_is_valid(&b));
    b.below[rest] = rest + 1; /* of the same height */
    assert_false(thaw_bundle_is_valid(&b));
    thaw_bundle_release(&b);

    b = folded(&spec);
    int32_t first = b.order[0];
    b.order[0] = b.order[1];
    assert_false(thaw_bundle_is_valid(&b));
    b.order[0] = first;
    assert_true(thaw_bundle_is_valid(&b));
    b.z_m[5] = NAN;
    assert_false(thaw_bundle_is_valid(&b));
    thaw_bundle_release(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(flat_cloth_lies_as_it_is),
        cmocka_unit_test(a_cloth_of_one_cell_can_be_folded_flat),
        cmocka_unit_test(straight_pleats_lie_exactly_on_each_other),
        cmocka_unit_test(each_pleat_rests_on_the_one_before),
        cmocka_unit_test(pleats_of_any_width_give_their_number_of_layers),
        cmocka_unit_test(pleats_along_the_length_shorten_the_length),
        cmocka_unit_test(folds_follow_one_another),
        cmocka_unit_test(creases_wander_as_much_as_asked),
        cmocka_unit_test(contact_is_a_tenth_when_stacked_and_fades_with_the_gap),
        cmocka_unit_test(contact_is_uneven_over_a_few_cells),
        cmocka_unit_test(a_standing_panel_does_not_rest_on_itself),
        cmocka_unit_test(a_hole_between_cells_is_filled_from_around),
        cmocka_unit_test(impossible_folds_are_refused),
        cmocka_unit_test(lack_of_memory_leaves_the_output_untouched),
        cmocka_unit_test(a_damaged_bundle_is_not_valid),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
