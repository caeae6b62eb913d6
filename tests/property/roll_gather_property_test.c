/* What holds for cloth rolled round a pole, and for cloth drawn up along stitches. */
#include "folded.h"

static const thaw_cloth_kind cloth = {.name = "test cloth", .thickness_m = 0.0006};
static const double gap_m = 1.3 * 0.0006, pi = 3.14159265358979323846;

static thaw_specification one_fold(thaw_fold fold)
{
    thaw_specification spec = {
        .cloth = &cloth, .width_m = 0.40, .length_m = 0.48, .cell_m = 0.004, .seed = 11, .n_folds = 1};
    spec.folds[0] = fold;
    return spec;
}

static double longest_step(const thaw_bundle *b)
{
    double rms, longest;
    measure_steps(b, &rms, &longest);
    return longest;
}

static void a_roll_keeps_lengths_and_is_as_thick_as_its_turns(void **state)
{
    (void)state;
    for (int slant = 0; slant < 2; slant++)
        for (int along = 0; along < 2; along++)
            for (double pole = 0.02; pole < 0.09; pole += 0.03) {
                thaw_specification spec = one_fold((thaw_fold){.kind = THAW_FOLD_ROLL,
                                                               .along = (thaw_direction)along,
                                                               .slant = (thaw_slant)slant,
                                                               .pole_m = pole});
                thaw_bundle b = folded(&spec);
                assert_at_most(longest_step(&b), 1.05);
                double way = slant ? sqrt(0.5) * 0.88 : along == THAW_ALONG_WIDTH ? 0.40 : 0.48;
                /* Area of the end of the roll: that of the cloth seen from its edge, and the pole. */
                double outer = sqrt(pole * pole + 4.0 / pi * way * gap_m);
                assert_close(b.height_m, outer, 2.5 * gap_m);
                assert_close(along == THAW_ALONG_WIDTH ? b.width_m : b.length_m, outer, 0.006);
                thaw_bundle_release(&b);
            }
}

/* The line through the middle of the roll meets each turn twice. */
static void a_roll_has_two_layers_for_each_turn(void **state)
{
    (void)state;
    for (double pole = 0.02; pole < 0.09; pole += 0.02) {
        thaw_specification spec = one_fold((thaw_fold){.kind = THAW_FOLD_ROLL, .along = THAW_ALONG_LENGTH, .pole_m = pole});
        spec.cell_m = 0.002;
        thaw_bundle b = folded(&spec);
        double outer = sqrt(pole * pole + 4.0 / pi * 0.48 * gap_m), turns = 0.5 * (outer - pole) / gap_m, sum = 0.0;
        int row = b.tray_ny / 2, n = 0, most = 0;
        for (int t = 0; t < b.tray_nx * b.tray_ny; t++) /* standing sides are not layers upon layers */
            most = b.layers[t] > most ? b.layers[t] : most;
        assert_at_most(most, 2.0 * turns + 6.0);
        for (int i = 5; i < b.tray_nx - 5; i++) {
            sum += b.layers[row * b.tray_nx + i];
            n++;
        }
        assert_close(sum / n, 2.0 * turns, 1.3); /* where the cloth begins and ends */
        thaw_bundle_release(&b);
    }
}

/* Across the pole nothing passes but what drips. */
static void a_pole_keeps_layers_apart(void **state)
{
    (void)state;
    thaw_specification spec = one_fold((thaw_fold){.kind = THAW_FOLD_ROLL, .along = THAW_ALONG_LENGTH, .pole_m = 0.06});
    thaw_bundle b = folded(&spec);
    int across = 0;
    for (size_t k = 0; k < b.n; k++)
        if (b.below[k] >= 0 && b.z_m[k] - b.z_m[b.below[k]] > 0.05) {
            across++;
            assert_at_most((double)b.contact[k], 1e-6);
        }
    assert_true(across > 50);
    thaw_bundle_release(&b);
}

static thaw_fold gather(double share, int rows)
{
    return (thaw_fold){.kind = THAW_FOLD_GATHER, .along = THAW_ALONG_WIDTH, .share = share, .number = rows,
                       .stitch_m = 0.012, .band_m = 0.008, .tightness = 0.9};
}

static void gathers_are_as_long_as_asked_and_do_not_tear(void **state)
{
    (void)state;
    for (double share = 0.2; share < 0.9; share += 0.2) {
        thaw_specification spec = one_fold(gather(share, 3));
        thaw_bundle b = folded(&spec);
        assert_close(b.width_m / 0.40, share, 0.06); /* a pleat at each end sticks out */
        assert_at_most(longest_step(&b), 1.6);
        thaw_bundle_release(&b);
        spec.cell_m = 0.001; /* squares at the edges of pleats count whole */
        b = folded(&spec);
        double layers = 0.0;
        for (int s = 0; s < b.tray_nx * b.tray_ny; s++)
            layers += b.layers[s] * b.tray_m * b.tray_m;
        assert_close(layers / (0.40 * 0.48), 1.0, 0.2);
        thaw_bundle_release(&b);
    }
}

static void the_thread_presses_the_rows_and_nothing_else(void **state)
{
    (void)state;
    thaw_specification spec = one_fold(gather(0.4, 3));
    thaw_bundle b = folded(&spec);
    double pressed_m = 0.0;
    for (int j = 0; j < b.ny; j++) {
        double y = (j + 0.5) * b.cell_m, nearest = 1.0;
        for (int i = 0; i < 3; i++)
            nearest = fmin(nearest, fabs(y - 0.48 * (i + 0.5) / 3.0));
        for (int i = 0; i < b.nx; i++) {
            assert_true(b.tie[j * b.nx + i] == b.tie[j * b.nx]);
            assert_true((b.tie[j * b.nx] > 1e-6f) == (nearest < 0.006 - 1e-9));
        }
        pressed_m += (double)b.tie[j * b.nx] / 0.9 * b.cell_m;
    }
    assert_close(pressed_m, 3 * 0.008, 1e-6);
    thaw_bundle_release(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_roll_keeps_lengths_and_is_as_thick_as_its_turns),
        cmocka_unit_test(a_roll_has_two_layers_for_each_turn),
        cmocka_unit_test(a_pole_keeps_layers_apart),
        cmocka_unit_test(gathers_are_as_long_as_asked_and_do_not_tear),
        cmocka_unit_test(the_thread_presses_the_rows_and_nothing_else),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
