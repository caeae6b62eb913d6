/* What holds for twisted cloth and for the knife pleats it is made of. */
#include "folded.h"

#include "setup/pleat.h"

static const thaw_cloth_kind cloth = {.name = "test cloth", .thickness_m = 0.0006};
static const double pi = 3.14159265358979323846;

static thaw_specification twisted(int arms, double share, thaw_turn turn)
{
    thaw_specification spec = {
        .cloth = &cloth, .width_m = 0.48, .length_m = 0.48, .cell_m = 0.004, .seed = 11, .n_folds = 1};
    spec.folds[0] = (thaw_fold){.kind = THAW_FOLD_TWIST, .arms = arms, .share = share, .turn = turn};
    return spec;
}

static void pleats_go_on_from_one_to_the_next_and_do_not_stretch(void **state)
{
    (void)state;
    const double plans[] = {0.02, 0.05, 0.1};
    for (int i = 0; i < 3; i++) {
        double w = plans[i], at = 0.0, sum = 0.0, h = 1e-5;
        thaw_pleat first = thaw_pleat_of(0.0, 0.1, w), last = thaw_pleat_of(0.1, 0.1, w);
        assert_close(first.along, 0.0, 1e-12);
        assert_close(last.along, w, 1e-12);
        if (w < 0.1) /* the last layer of a pleat lies one below the first of the next */
            assert_close(first.layers - last.layers, 1.0, 1e-9);
        for (double c = h; c < 0.1; c += h) {
            thaw_pleat p = thaw_pleat_of(c, 0.1, w);
            assert_at_most(fabs(p.along - at), h + 1e-12);
            at = p.along;
            sum += (p.along - 0.5 * w) * h / 0.1;
        }
        assert_close(thaw_pleat_bias(0.1, w), sum, 2.0 * h);
    }
}

static void twisted_cloth_hardly_stretches_and_does_not_tear(void **state)
{
    (void)state;
    for (int arms = 8; arms <= 24; arms += 8)
        for (double share = 0.2; share < 0.7; share += 0.2) {
            thaw_specification spec = twisted(arms, share, THAW_TURN_RIGHT);
            thaw_bundle b = folded(&spec);
            double strain, longest;
            measure_steps(&b, &strain, &longest);
            assert_at_most(strain, 0.12);
            assert_at_most(longest, 2.0);
            thaw_bundle_release(&b);
        }
}

/* The pinched middle stays as large as it is. */
static void a_twist_leaves_the_share_of_area_asked_for(void **state)
{
    (void)state;
    for (double share = 0.2; share < 0.7; share += 0.2) {
        thaw_specification spec = twisted(16, share, THAW_TURN_RIGHT);
        spec.cell_m = 0.002; /* squares at the edges of pleats count whole */
        thaw_bundle b = folded(&spec);
        double layers = 0.0, r2 = 0.0;
        for (int s = 0; s < b.tray_nx * b.tray_ny; s++)
            layers += b.layers[s];
        for (int i = 0; i < b.nx; i++) { /* cells of the edge in the middle of a side */
            double x = b.x_m[i] - b.x_m[b.nx / 2 + b.nx * (b.ny / 2)], y = b.y_m[i] - b.y_m[b.nx / 2 + b.nx * (b.ny / 2)];
            double r = hypot(0.24, (i + 0.5) * b.cell_m - 0.24);
            r2 += (x * x + y * y) / (r * r) / b.nx;
        }
        assert_close(r2 / share, 1.0, 0.2);
        assert_close(layers * b.tray_m * b.tray_m / (0.48 * 0.48), 1.0, 0.15);
        thaw_bundle_release(&b);
    }
}

/* A quarter turn of the cloth is a quarter turn of the bundle: 8, 12, 16 arms go into quarters. */
static void a_twist_turns_with_the_cloth(void **state)
{
    (void)state;
    for (int arms = 8; arms <= 16; arms += 4) {
        thaw_specification spec = twisted(arms, 0.3, THAW_TURN_LEFT);
        thaw_bundle b = folded(&spec);
        int n = b.nx, off = 0;
        size_t m = (size_t)(n / 2) * (size_t)n + (size_t)(n / 2); /* the four cells round the middle */
        double x0 = 0.25 * (b.x_m[m] + b.x_m[m - 1] + b.x_m[m - (size_t)n] + b.x_m[m - (size_t)n - 1]);
        double y0 = 0.25 * (b.y_m[m] + b.y_m[m - 1] + b.y_m[m - (size_t)n] + b.y_m[m - (size_t)n - 1]);
        for (int j = 0; j < n; j++)
            for (int i = 0; i < n; i++) {
                int k = j * n + i, q = i * n + n - 1 - j;
                double dx = b.x_m[k] - x0, dy = b.y_m[k] - y0;
                off += hypot(b.x_m[q] - x0 + dy, b.y_m[q] - y0 - dx) > 1e-6 || fabs(b.z_m[q] - b.z_m[k]) > 1e-6;
            }
        assert_at_most(off, 8); /* cells that lie on the line where a pleat begins may round to either side */
        thaw_bundle_release(&b);
    }
}

static void left_is_the_mirror_of_right(void **state)
{
    (void)state;
    thaw_specification right = twisted(12, 0.3, THAW_TURN_RIGHT), left = twisted(12, 0.3, THAW_TURN_LEFT);
    thaw_bundle a = folded(&right), b = folded(&left);
    double turned = 0.0;
    for (int j = 0; j < a.ny; j++)
        for (int i = 0; i < a.nx; i++) {
            int k = j * a.nx + i, q = (a.ny - 1 - j) * a.nx + i;
            assert_close(a.x_m[k], b.x_m[q], 1e-9);
            assert_close(a.y_m[k], b.length_m - b.y_m[q], 1e-9);
        }
    /* Right is clockwise as seen from above, where y runs down: the outer cloth is led to the left of the
     * inner one, so from the middle outward the angle grows. */
    size_t m = (size_t)(a.ny / 2) * (size_t)a.nx + (size_t)(a.nx / 2);
    for (int i = a.nx / 2 + 15; i < a.nx - 1; i++) {
        size_t k = (size_t)(a.ny / 2) * (size_t)a.nx + (size_t)i;
        double one = atan2(a.y_m[k] - a.y_m[m], a.x_m[k] - a.x_m[m]);
        double two = atan2(a.y_m[k + 1] - a.y_m[m], a.x_m[k + 1] - a.x_m[m]);
        turned += remainder(two - one, 2.0 * pi);
    }
    assert_at_most(0.5, turned);
    thaw_bundle_release(&a);
    thaw_bundle_release(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pleats_go_on_from_one_to_the_next_and_do_not_stretch),
        cmocka_unit_test(twisted_cloth_hardly_stretches_and_does_not_tear),
        cmocka_unit_test(a_twist_leaves_the_share_of_area_asked_for),
        cmocka_unit_test(a_twist_turns_with_the_cloth),
        cmocka_unit_test(left_is_the_mirror_of_right),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
