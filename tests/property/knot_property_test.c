/* What holds for a corner that is knotted. */
#include "folded.h"

static const thaw_cloth_kind cloth = {.name = "test cloth", .thickness_m = 0.0006};

static thaw_specification knotted(thaw_point corner, double size_m)
{
    thaw_specification spec = {
        .cloth = &cloth, .width_m = 0.48, .length_m = 0.48, .cell_m = 0.004, .seed = 11, .n_folds = 1};
    spec.folds[0] = (thaw_fold){.kind = THAW_FOLD_KNOT, .point = corner, .size_m = size_m, .tightness = 0.9};
    return spec;
}

static void check_steps(const thaw_bundle *b)
{
    double rms, longest;
    measure_steps(b, &rms, &longest);
    assert_at_most(longest, 2.0);
    assert_at_most(rms, 0.12);
}

static void knotted_cloth_hardly_stretches_and_does_not_tear(void **state)
{
    (void)state;
    for (double size = 0.08; size < 0.17; size += 0.04) {
        thaw_specification spec = knotted(THAW_POINT_TOP_LEFT, size);
        thaw_bundle b = folded(&spec);
        check_steps(&b);
        assert_at_most(0.012, b.height_m); /* a knot stands up */
        assert_at_most(b.height_m, 0.06);
        thaw_bundle_release(&b);
    }
}

static void two_knots_leave_each_other_alone(void **state)
{
    (void)state;
    thaw_specification spec = knotted(THAW_POINT_TOP_LEFT, 0.12), one = spec;
    spec.folds[spec.n_folds++] = (thaw_fold){.kind = THAW_FOLD_KNOT, .point = THAW_POINT_BOTTOM_RIGHT, .size_m = 0.12,
                                             .tightness = 0.9};
    thaw_bundle a = folded(&one), b = folded(&spec);
    check_steps(&b);
    assert_close(b.height_m, a.height_m, 0.004);
    thaw_bundle_release(&a);
    thaw_bundle_release(&b);
}

static void every_corner_is_knotted_like_the_first(void **state)
{
    (void)state;
    thaw_specification first = knotted(THAW_POINT_TOP_LEFT, 0.12);
    thaw_bundle a = folded(&first);
    for (int corner = THAW_POINT_TOP_RIGHT; corner <= THAW_POINT_BOTTOM_LEFT; corner++) {
        thaw_specification spec = knotted((thaw_point)corner, 0.12);
        thaw_bundle b = folded(&spec);
        int right = corner == THAW_POINT_TOP_RIGHT || corner == THAW_POINT_BOTTOM_RIGHT;
        int bottom = corner == THAW_POINT_BOTTOM_LEFT || corner == THAW_POINT_BOTTOM_RIGHT;
        for (int j = 0; j < a.ny; j++)
            for (int i = 0; i < a.nx; i++) {
                int k = j * a.nx + i, q = (bottom ? a.ny - 1 - j : j) * a.nx + (right ? a.nx - 1 - i : i);
                assert_close(right ? b.width_m - b.x_m[q] : b.x_m[q], a.x_m[k], 1e-9);
                assert_close(bottom ? b.length_m - b.y_m[q] : b.y_m[q], a.y_m[k], 1e-9);
                assert_close(b.z_m[q], a.z_m[k], 1e-9);
                assert_true(b.tie[q] == a.tie[k]);
            }
        thaw_bundle_release(&b);
    }
    thaw_bundle_release(&a);
}

static void only_the_corner_is_pressed(void **state)
{
    (void)state;
    thaw_specification spec = knotted(THAW_POINT_TOP_LEFT, 0.12);
    thaw_bundle b = folded(&spec);
    int pressed = 0;
    for (int j = 0; j < b.ny; j++)
        for (int i = 0; i < b.nx; i++) {
            int k = j * b.nx + i;
            double d = sqrt(0.5) * (i + 0.5 + j + 0.5) * b.cell_m;
            assert_true((b.tie[k] > 0.0f) == (d < 0.12 - 1e-9));
            pressed += b.tie[k] > 0.8f;
        }
    assert_true(pressed > 100);
    thaw_bundle_release(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(knotted_cloth_hardly_stretches_and_does_not_tear),
        cmocka_unit_test(two_knots_leave_each_other_alone),
        cmocka_unit_test(every_corner_is_knotted_like_the_first),
        cmocka_unit_test(only_the_corner_is_pressed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
