/* What holds for folds along straight creases: fan, triangle, radial. */
#include "folded.h"

#include <stdbool.h>

#include "setup/reflect.h"

static const thaw_cloth_kind cloth = {.name = "test cloth", .thickness_m = 0.0006};
static const double pi = 3.14159265358979323846;

static thaw_specification square(double side_m, thaw_fold fold)
{
    thaw_specification spec = {
        .cloth = &cloth, .width_m = side_m, .length_m = side_m, .cell_m = 0.004, .seed = 11, .n_folds = 1};
    spec.folds[0] = fold;
    return spec;
}

static const thaw_fold folds[] = {
    {.kind = THAW_FOLD_ACCORDION, .pleats = 5, .along = THAW_ALONG_LENGTH, .waviness_m = 0.003},
    {.kind = THAW_FOLD_FAN, .pleats = 5, .point = THAW_POINT_TOP_LEFT, .waviness_m = 0.002},
    {.kind = THAW_FOLD_FAN, .pleats = 4, .point = THAW_POINT_BOTTOM_RIGHT},
    {.kind = THAW_FOLD_FAN, .pleats = 9, .point = THAW_POINT_LEFT, .waviness_m = 0.002},
    {.kind = THAW_FOLD_RADIAL, .order = 2},
    {.kind = THAW_FOLD_RADIAL, .order = 7, .waviness_m = 0.003},
    {.kind = THAW_FOLD_TRIANGLE, .shape = THAW_TRIANGLE_RIGHT, .along = THAW_ALONG_WIDTH},
    {.kind = THAW_FOLD_TRIANGLE, .shape = THAW_TRIANGLE_EQUAL, .along = THAW_ALONG_LENGTH, .waviness_m = 0.002},
};
enum { N_FOLDS = sizeof folds / sizeof folds[0] };

static double plan_step(const thaw_bundle *b, size_t k, size_t q)
{
    return hypot(b->x_m[q] - b->x_m[k], b->y_m[q] - b->y_m[k]) / b->cell_m;
}

/* Whether fn holds for every step to the next cell along x and along y. */
static size_t count_steps(const thaw_bundle *b, bool (*fn)(const thaw_bundle *, size_t, size_t), size_t *all)
{
    size_t nx = (size_t)b->nx, n = 0;
    *all = 0;
    for (size_t k = 0; k < b->n; k++)
        for (int way = 0; way < 2; way++) {
            size_t q = way ? k + nx : k + 1;
            if (way ? q >= b->n : q % nx == 0)
                continue;
            ++*all;
            n += fn(b, k, q);
        }
    return n;
}

static bool is_long_in_plan(const thaw_bundle *b, size_t k, size_t q)
{
    return plan_step(b, k, q) > 1.25;
}

static bool is_long(const thaw_bundle *b, size_t k, size_t q)
{
    return hypot(plan_step(b, k, q), (b->z_m[q] - b->z_m[k]) / b->cell_m) > 2.0;
}

/* At a crease the cloth goes round what lies between. */
static void neighbours_stay_neighbours_but_where_cloth_goes_round_a_stack(void **state)
{
    (void)state;
    for (int i = 0; i < N_FOLDS; i++) {
        thaw_specification spec = square(0.48, folds[i]);
        thaw_bundle b = folded(&spec);
        size_t all, n = count_steps(&b, is_long_in_plan, &all);
        assert_int_equal(n, 0);
        n = count_steps(&b, is_long, &all);
        assert_at_most((double)n, 0.01 * (double)all);
        assert_at_most(b.height_m, 40 * 1.3 * cloth.thickness_m);
        thaw_bundle_release(&b);
    }
}

static void layers_times_area_is_the_cloth(void **state)
{
    (void)state;
    for (int i = 0; i < N_FOLDS; i++) {
        thaw_specification spec = square(0.48, folds[i]);
        spec.cell_m = 0.002;
        thaw_bundle b = folded(&spec);
        double sum = 0.0;
        for (int s = 0; s < b.tray_nx * b.tray_ny; s++)
            sum += b.layers[s] * b.tray_m * b.tray_m;
        assert_close(sum / (0.48 * 0.48), 1.0, 0.05); /* squares at the rim count whole */
        thaw_bundle_release(&b);
    }
}

/* Share of the covered squares, off the rim, that hold exactly so many layers. */
static double share_with(const thaw_bundle *b, int layers, double radius_m, double x_m, double y_m)
{
    int n = 0, all = 0;
    for (int j = 2; j < b->tray_ny - 2; j++)
        for (int i = 2; i < b->tray_nx - 2; i++) {
            double r = hypot((i + 0.5) * b->tray_m - x_m, (j + 0.5) * b->tray_m - y_m);
            bool inside = r < radius_m && r > 0.03;
            for (int dj = -2; dj <= 2; dj++)
                for (int di = -2; di <= 2; di++)
                    inside = inside && b->layers[(j + dj) * b->tray_nx + i + di] > 0;
            if (!inside)
                continue;
            all++;
            n += b->layers[j * b->tray_nx + i] == layers;
        }
    assert_true(all > 20);
    return (double)n / all;
}

static void a_radial_fold_has_two_layers_for_each_repeat(void **state)
{
    (void)state;
    for (int order = 2; order <= 8; order++) {
        thaw_specification spec = square(0.48, (thaw_fold){.kind = THAW_FOLD_RADIAL, .order = order});
        thaw_bundle b = folded(&spec);
        /* The tip of the wedge is where the middle of the cloth lies. */
        size_t k = (size_t)(b.ny / 2) * (size_t)b.nx + (size_t)(b.nx / 2);
        assert_at_most(0.97, share_with(&b, 2 * order, 0.22, b.x_m[k], b.y_m[k]));
        thaw_bundle_release(&b);
    }
}

static void a_fan_has_as_many_layers_as_pleats(void **state)
{
    (void)state;
    for (int pleats = 2; pleats <= 8; pleats++) {
        thaw_specification spec =
            square(0.48, (thaw_fold){.kind = THAW_FOLD_FAN, .pleats = pleats, .point = THAW_POINT_TOP_LEFT});
        thaw_bundle b = folded(&spec);
        assert_at_most(0.97, share_with(&b, pleats, 0.46, b.x_m[0], b.y_m[0]));
        thaw_bundle_release(&b);
    }
}

/* Where the place of the cloth lies, between its four cells. */
static bool place_at(const thaw_bundle *b, double u_m, double v_m, double out[2])
{
    double u = u_m / b->cell_m - 0.5, v = v_m / b->cell_m - 0.5;
    if (!(u >= 0.0 && v >= 0.0 && u < b->nx - 1 && v < b->ny - 1))
        return false;
    size_t k = (size_t)v * (size_t)b->nx + (size_t)u, nx = (size_t)b->nx;
    double s = u - floor(u), t = v - floor(v);
    const double *of[2] = {b->x_m, b->y_m};
    for (int c = 0; c < 2; c++)
        out[c] = (1.0 - t) * ((1.0 - s) * of[c][k] + s * of[c][k + 1]) + t * ((1.0 - s) * of[c][k + nx] + s * of[c][k + nx + 1]);
    return true;
}

static void a_radial_fold_looks_the_same_after_a_part_of_a_turn(void **state)
{
    (void)state;
    for (int order = 2; order <= 9; order++) {
        thaw_specification spec = square(0.48, (thaw_fold){.kind = THAW_FOLD_RADIAL, .order = order});
        thaw_bundle b = folded(&spec);
        double c = cos(2.0 * pi / order), d = sin(2.0 * pi / order), worst = 0.0;
        int seen = 0;
        for (size_t k = 0; k < b.n; k++) {
            double x = ((double)(k % (size_t)b.nx) + 0.5) * b.cell_m - 0.24, y = ((double)(k / (size_t)b.nx) + 0.5) * b.cell_m - 0.24;
            double at[2];
            if (!place_at(&b, 0.24 + c * x - d * y, 0.24 + d * x + c * y, at))
                continue;
            worst = fmax(worst, hypot(at[0] - b.x_m[k], at[1] - b.y_m[k]));
            seen++;
        }
        assert_true(seen > 5000);
        assert_at_most(worst, 0.75 * b.cell_m); /* between cells on both sides of a crease */
        thaw_bundle_release(&b);
    }
}

/* ... and no other part of a turn does. */
static void a_radial_fold_of_order_five_is_not_one_of_four(void **state)
{
    (void)state;
    thaw_specification spec = square(0.48, (thaw_fold){.kind = THAW_FOLD_RADIAL, .order = 5});
    thaw_bundle b = folded(&spec);
    double apart = 0.0;
    for (int j = 0; j < b.ny; j++)
        for (int i = 0; i < b.nx; i++) {
            int k = j * b.nx + i, q = i * b.nx + b.nx - 1 - j; /* a quarter turn */
            apart = fmax(apart, hypot(b.x_m[k] - b.x_m[q], b.y_m[k] - b.y_m[q]));
        }
    assert_at_most(0.02, apart);
    thaw_bundle_release(&b);
}

static void symmetric_folds_place_mirror_images_on_each_other(void **state)
{
    (void)state;
    const thaw_fold symmetric[] = {
        {.kind = THAW_FOLD_RADIAL, .order = 5},
        {.kind = THAW_FOLD_RADIAL, .order = 6},
        {.kind = THAW_FOLD_FAN, .pleats = 6, .point = THAW_POINT_LEFT},
        {.kind = THAW_FOLD_ACCORDION, .pleats = 4, .along = THAW_ALONG_LENGTH},
    };
    for (int f = 0; f < 4; f++) {
        thaw_specification spec = square(0.48, symmetric[f]);
        thaw_bundle b = folded(&spec);
        for (int j = 0; j < b.ny; j++)
            for (int i = 0; i < b.nx; i++) {
                int k = j * b.nx + i, q = (b.ny - 1 - j) * b.nx + i;
                assert_at_most(hypot(b.x_m[k] - b.x_m[q], b.y_m[k] - b.y_m[q]), 1e-9);
            }
        thaw_bundle_release(&b);
    }
}

/* A strip of 12 squares, each of two right triangles; of 12 half squares, each of an equal triangle and scraps. */
static void a_strip_folds_into_one_triangle(void **state)
{
    (void)state;
    for (int shape = 0; shape < 2; shape++) {
        thaw_specification spec = square(0.96, (thaw_fold){.kind = THAW_FOLD_TRIANGLE,
                                                          .shape = (thaw_triangle_shape)shape,
                                                          .along = THAW_ALONG_WIDTH});
        spec.length_m = 0.08;
        thaw_bundle b = folded(&spec);
        double side = shape == THAW_TRIANGLE_EQUAL ? 2.0 * 0.08 / sqrt(3.0) : 0.08;
        assert_at_most(b.width_m, side + 2.0 * b.cell_m);
        assert_at_most(b.length_m, 0.08 + 2.0 * b.cell_m);
        double area = 0.0, most = 0.0;
        for (int s = 0; s < b.tray_nx * b.tray_ny; s++) {
            area += b.top[s] >= 0 ? b.tray_m * b.tray_m : 0.0;
            most = fmax(most, b.layers[s]);
        }
        assert_close(area / (0.5 * side * 0.08), 1.0, 0.15); /* the rim */
        assert_at_most(fabs(most - 0.96 * 0.08 / (0.5 * side * 0.08)), 1.5);
        thaw_bundle_release(&b);
    }
}

static void what_is_turned_comes_down_upside_down(void **state)
{
    (void)state;
    thaw_specification spec = square(0.16, (thaw_fold){.kind = THAW_FOLD_FLAT});
    thaw_bundle b = folded(&spec);
    for (size_t k = 0; k < b.n; k++)
        b.z_m[k] = 0.0001 * (double)(k % 20 / 2 % 3); /* a low relief */
    double *before = b.z_m;
    double kept[1600];
    assert_int_equal(b.n, 1600);
    memcpy(kept, before, sizeof kept);
    thaw_reflect r;
    thaw_error err = {0};
    size_t moved = 0;
    assert_int_equal(thaw_reflect_create(&b, 0.001, &r, &err), THAW_OK);
    thaw_crease crease = {.x_m = 0.08, .y_m = 0.0, .nx = 1.0, .ny = 0.0};
    assert_int_equal(thaw_reflect_turn(&r, &crease, &moved, &err), THAW_OK);
    assert_int_equal(moved, 800);
    assert_int_equal(thaw_reflect_finish(&r, &err), THAW_OK);
    for (int j = 0; j < 40; j++)
        for (int i = 20; i < 39; i++) {
            int k = 40 * j + i, under = 40 * j + 39 - i;
            assert_close(b.x_m[k], b.x_m[under], 1e-12);
            assert_at_most(kept[under] + 0.001 - 1e-12, b.z_m[k]); /* nothing lies in anything */
        }
    /* Of two cells that lie on the same, the one that lay higher comes down lower. */
    assert_at_most(b.z_m[40 * 5 + 24], b.z_m[40 * 5 + 22] + 1e-12);
    thaw_reflect_destroy(&r);
    thaw_bundle_release(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(neighbours_stay_neighbours_but_where_cloth_goes_round_a_stack),
        cmocka_unit_test(layers_times_area_is_the_cloth),
        cmocka_unit_test(a_radial_fold_has_two_layers_for_each_repeat),
        cmocka_unit_test(a_fan_has_as_many_layers_as_pleats),
        cmocka_unit_test(a_radial_fold_looks_the_same_after_a_part_of_a_turn),
        cmocka_unit_test(a_radial_fold_of_order_five_is_not_one_of_four),
        cmocka_unit_test(symmetric_folds_place_mirror_images_on_each_other),
        cmocka_unit_test(a_strip_folds_into_one_triangle),
        cmocka_unit_test(what_is_turned_comes_down_upside_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
