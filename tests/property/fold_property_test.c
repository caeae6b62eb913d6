/* What holds for every bundle, whatever chance decides. */
#include "folded.h"

#include <stdbool.h>


#ifdef _OPENMP
#include <omp.h>
#endif

static const thaw_cloth_kind cloth = {.name = "test cloth", .thickness_m = 0.0006};

static thaw_specification scrunched(double share, uint64_t seed)
{
    thaw_specification spec = {
        .cloth = &cloth, .width_m = 0.72, .length_m = 0.60, .cell_m = 0.004, .seed = seed};
    spec.folds[spec.n_folds++] = (thaw_fold){.kind = THAW_FOLD_SCRUNCH, .share = share};
    return spec;
}

static thaw_specification pleated(int pleats, double waviness_m, uint64_t seed)
{
    thaw_specification spec = {
        .cloth = &cloth, .width_m = 0.72, .length_m = 0.60, .cell_m = 0.004, .seed = seed};
    spec.folds[spec.n_folds++] = (thaw_fold){
        .kind = THAW_FOLD_ACCORDION, .pleats = pleats, .along = THAW_ALONG_LENGTH, .waviness_m = waviness_m};
    return spec;
}

/* Relative excess length of the step from k to q = k + 1 or k + nx. */
static double strain(const thaw_bundle *b, size_t k, size_t q)
{
    double dx = b->x_m[q] - b->x_m[k], dy = b->y_m[q] - b->y_m[k], dz = b->z_m[q] - b->z_m[k];
    return sqrt(dx * dx + dy * dy + dz * dz) / b->cell_m - 1.0;
}

typedef struct strain_figures {
    double rms, most;
} strain_figures;

static strain_figures strains(const thaw_bundle *b)
{
    strain_figures f = {0};
    size_t nx = (size_t)b->nx, n = 0;
    for (size_t k = 0; k < b->n; k++)
        for (int way = 0; way < 2; way++) {
            size_t q = way ? k + nx : k + 1;
            if (way ? q >= b->n : q % nx == 0)
                continue;
            double e = strain(b, k, q);
            f.rms += e * e;
            f.most = fmax(f.most, e);
            n++;
        }
    f.rms = sqrt(f.rms / (double)n);
    return f;
}

static double plan_area(const thaw_bundle *b)
{
    int covered = 0;
    for (int s = 0; s < b->tray_nx * b->tray_ny; s++)
        covered += b->top[s] >= 0;
    return covered * b->tray_m * b->tray_m;
}

static double mean_layers(const thaw_bundle *b)
{
    double sum = 0.0;
    for (int s = 0; s < b->tray_nx * b->tray_ny; s++)
        sum += b->layers[s];
    return sum * b->tray_m * b->tray_m / plan_area(b);
}

static const double shares[] = {0.15, 0.25, 0.45, 0.70, 0.90};
enum { N_SHARES = sizeof shares / sizeof shares[0] };

static void a_scrunch_leaves_the_share_of_area_asked_for(void **state)
{
    (void)state;
    for (int i = 0; i < N_SHARES; i++)
        for (uint64_t seed = 1; seed <= 2; seed++) {
            thaw_specification spec = scrunched(shares[i], seed);
            thaw_bundle b = folded(&spec);
            assert_close(plan_area(&b) / (0.72 * 0.60) / shares[i], 1.0, 0.15);
            thaw_bundle_release(&b);
        }
}

static void scrunched_cloth_neither_stretches_nor_tears(void **state)
{
    (void)state;
    for (int i = 0; i < N_SHARES; i++)
        for (uint64_t seed = 1; seed <= 2; seed++) {
            thaw_specification spec = scrunched(shares[i], seed);
            thaw_bundle b = folded(&spec);
            strain_figures f = strains(&b);
            assert_at_most(f.rms, 0.05);
            assert_at_most(f.most, 1.0); /* neighbours within two cells */
            thaw_bundle_release(&b);
        }
}

static void pleated_cloth_neither_stretches_nor_tears(void **state)
{
    (void)state;
    for (int pleats = 2; pleats <= 12; pleats += 5) {
        thaw_specification spec = pleated(pleats, 0.004, 3);
        thaw_bundle b = folded(&spec);
        strain_figures f = strains(&b);
        assert_at_most(f.most, 1.0);
        thaw_bundle_release(&b);
    }
}

static void a_heap_is_a_few_centimetres_high(void **state)
{
    (void)state;
    for (int i = 0; i < N_SHARES - 1; i++) {
        thaw_specification spec = scrunched(shares[i], 7);
        thaw_bundle b = folded(&spec);
        assert_at_most(0.008, b.height_m);
        assert_at_most(b.height_m, 0.08);
        thaw_bundle_release(&b);
    }
}

static void a_tighter_scrunch_has_more_layers(void **state)
{
    (void)state;
    double before = 1e9;
    for (int i = 0; i < N_SHARES; i++) {
        thaw_specification spec = scrunched(shares[i], 7);
        thaw_bundle b = folded(&spec);
        double layers = mean_layers(&b);
        assert_at_most(layers, before);
        assert_at_most(0.65 / shares[i], layers);
        assert_at_most(layers, 1.35 / shares[i]);
        before = layers;
        thaw_bundle_release(&b);
    }
}

/* Slanting cloth counts by the room that it takes in the plan. */
static void layers_are_the_plan_area_of_the_cloth_over_that_of_the_heap(void **state)
{
    (void)state;
    for (int i = 0; i < N_SHARES; i++) {
        thaw_specification spec = scrunched(shares[i], 7);
        spec.cell_m = 0.002;
        thaw_bundle b = folded(&spec);
        double sum = 0.0;
        for (size_t k = 0; k + (size_t)b.nx + 1 < b.n; k++) {
            double ux = b.x_m[k + 1] - b.x_m[k], uy = b.y_m[k + 1] - b.y_m[k];
            double vx = b.x_m[k + (size_t)b.nx] - b.x_m[k], vy = b.y_m[k + (size_t)b.nx] - b.y_m[k];
            sum += (k + 1) % (size_t)b.nx ? fabs(ux * vy - uy * vx) : 0.0;
        }
        assert_close(mean_layers(&b) / (sum / plan_area(&b)), 1.0, 0.08);
        thaw_bundle_release(&b);
    }
}

static void a_scrunch_is_not_a_rotation_or_a_ripple(void **state)
{
    (void)state;
    thaw_specification spec = scrunched(0.25, 7);
    thaw_bundle b = folded(&spec);
    int down = 0;
    for (size_t k = 0; k + (size_t)b.nx + 1 < b.n; k++) {
        double ux = b.x_m[k + 1] - b.x_m[k], uy = b.y_m[k + 1] - b.y_m[k];
        double vx = b.x_m[k + (size_t)b.nx] - b.x_m[k], vy = b.y_m[k + (size_t)b.nx] - b.y_m[k];
        down += ux * vy - uy * vx < 0.0;
    }
    /* Layers come in threes, face up, down and up, but not every fold is complete. */
    assert_at_most(0.15 * (double)b.n, down);
    assert_at_most(down, 0.5 * (double)b.n);
    thaw_bundle_release(&b);
}

static void following_the_cells_below_always_ends(void **state)
{
    (void)state;
    thaw_specification spec = scrunched(0.25, 4);
    thaw_bundle b = folded(&spec);
    size_t linked = 0;
    for (size_t k = 0; k < b.n; k++) {
        int32_t at = (int32_t)k;
        int steps = 0;
        while (b.below[at] >= 0) {
            assert_true(b.z_m[b.below[at]] < b.z_m[at]);
            at = b.below[at];
            assert_true(++steps < 500);
        }
        linked += steps > 0;
    }
    assert_true(linked > b.n / 2);
    thaw_bundle_release(&b);
}

static void links_join_cells_that_lie_over_each_other(void **state)
{
    (void)state;
    thaw_specification spec = scrunched(0.25, 4);
    thaw_bundle b = folded(&spec);
    for (size_t k = 0; k < b.n; k++) {
        if (b.below[k] < 0)
            continue;
        size_t q = (size_t)b.below[k];
        assert_at_most(hypot(b.x_m[q] - b.x_m[k], b.y_m[q] - b.y_m[k]), 0.8 * b.cell_m + 1e-12);
    }
    thaw_bundle_release(&b);
}

static void what_is_seen_from_above_has_nothing_over_it(void **state)
{
    (void)state;
    thaw_specification spec = scrunched(0.35, 4);
    thaw_bundle b = folded(&spec);
    int seen = 0, covered = 0;
    for (int s = 0; s < b.tray_nx * b.tray_ny; s++)
        if (b.top[s] >= 0) {
            seen++;
            covered += b.depth[b.top[s]] > 0;
        }
    assert_at_most(covered, 0.08 * seen);
    thaw_bundle_release(&b);
}

static void layers_times_area_is_the_cloth(void **state)
{
    (void)state;
    for (int pleats = 2; pleats <= 10; pleats++) {
        thaw_specification spec = pleated(pleats, 0.0, 1);
        spec.cell_m = 0.001; /* the rim counts as whole squares */
        spec.width_m = 0.2;
        thaw_bundle b = folded(&spec);
        assert_close(mean_layers(&b) * plan_area(&b) / (0.2 * 0.60), 1.0, 0.03);
        thaw_bundle_release(&b);
    }
    thaw_specification flat = pleated(2, 0.0, 1);
    flat.n_folds = 0;
    thaw_bundle b = folded(&flat);
    assert_close(mean_layers(&b) * plan_area(&b) / (0.72 * 0.60), 1.0, 0.03);
    thaw_bundle_release(&b);
}

static bool same(const thaw_bundle *a, const thaw_bundle *b)
{
    size_t squares = (size_t)a->tray_nx * (size_t)a->tray_ny;
    return a->n == b->n && a->tray_nx == b->tray_nx && a->tray_ny == b->tray_ny &&
           !memcmp(a->x_m, b->x_m, a->n * sizeof *a->x_m) && !memcmp(a->y_m, b->y_m, a->n * sizeof *a->y_m) &&
           !memcmp(a->z_m, b->z_m, a->n * sizeof *a->z_m) && !memcmp(a->below, b->below, a->n * sizeof *a->below) &&
           !memcmp(a->contact, b->contact, a->n * sizeof *a->contact) &&
           !memcmp(a->order, b->order, a->n * sizeof *a->order) &&
           !memcmp(a->depth, b->depth, a->n * sizeof *a->depth) &&
           !memcmp(a->tray, b->tray, a->n * sizeof *a->tray) && !memcmp(a->top, b->top, squares * sizeof *a->top) &&
           !memcmp(a->layers, b->layers, squares * sizeof *a->layers);
}

static void one_seed_is_one_bundle_and_another_seed_another(void **state)
{
    (void)state;
    thaw_specification spec = scrunched(0.4, 21), other = scrunched(0.4, 22);
    thaw_bundle a = folded(&spec), b = folded(&spec), c = folded(&other);
    assert_true(same(&a, &b));
    assert_false(same(&a, &c));
    double apart = 0.0;
    for (size_t k = 0; k < a.n; k++)
        apart += fabs(a.z_m[k] - c.z_m[k]) / (double)a.n;
    assert_at_most(0.002, apart); /* another crumple, not the same with noise */
    thaw_bundle_release(&a);
    thaw_bundle_release(&b);
    thaw_bundle_release(&c);
}

static void threads_do_not_change_a_bit(void **state)
{
    (void)state;
#ifdef _OPENMP
    thaw_specification spec = pleated(3, 0.004, 5);
    spec.folds[spec.n_folds++] = (thaw_fold){.kind = THAW_FOLD_SCRUNCH, .share = 0.5};
    int before = omp_get_max_threads();
    omp_set_num_threads(1);
    thaw_bundle one = folded(&spec);
    for (int threads = 2; threads <= 3; threads++) {
        omp_set_num_threads(threads);
        thaw_bundle more = folded(&spec);
        assert_true(same(&one, &more));
        thaw_bundle_release(&more);
    }
    omp_set_num_threads(before);
    thaw_bundle_release(&one);
#else
    skip();
#endif
}

/* Mean place of the four fine cells that make up coarse cell k, less the place of that cell. */
static double apart(const thaw_bundle *coarse, const double *coarse_m, const thaw_bundle *fine, const double *fine_m,
                    size_t k)
{
    size_t nx = (size_t)fine->nx, f = 2 * (k / (size_t)coarse->nx) * nx + 2 * (k % (size_t)coarse->nx);
    return 0.25 * (fine_m[f] + fine_m[f + 1] + fine_m[f + nx] + fine_m[f + nx + 1]) - coarse_m[k];
}

/* Both bundles are shifted to the corner, each by its own outermost cell: leave out the mean. */
static double spread_apart(const thaw_bundle *coarse, const double *coarse_m, const thaw_bundle *fine,
                           const double *fine_m)
{
    double mean = 0.0, square = 0.0;
    for (size_t k = 0; k < coarse->n; k++)
        mean += apart(coarse, coarse_m, fine, fine_m, k) / (double)coarse->n;
    for (size_t k = 0; k < coarse->n; k++) {
        double d = apart(coarse, coarse_m, fine, fine_m, k) - mean;
        square += d * d / (double)coarse->n;
    }
    return sqrt(square);
}

static void the_crumple_does_not_depend_on_the_cells(void **state)
{
    (void)state;
    thaw_specification coarse_spec = scrunched(0.4, 9), fine_spec = scrunched(0.4, 9);
    fine_spec.cell_m = 0.002;
    thaw_bundle coarse = folded(&coarse_spec), fine = folded(&fine_spec);
    assert_at_most(spread_apart(&coarse, coarse.x_m, &fine, fine.x_m), 0.0003);
    assert_at_most(spread_apart(&coarse, coarse.y_m, &fine, fine.y_m), 0.0003);
    assert_at_most(spread_apart(&coarse, coarse.z_m, &fine, fine.z_m), 0.0003);
    thaw_bundle_release(&coarse);
    thaw_bundle_release(&fine);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_scrunch_leaves_the_share_of_area_asked_for),
        cmocka_unit_test(scrunched_cloth_neither_stretches_nor_tears),
        cmocka_unit_test(pleated_cloth_neither_stretches_nor_tears),
        cmocka_unit_test(a_heap_is_a_few_centimetres_high),
        cmocka_unit_test(a_tighter_scrunch_has_more_layers),
        cmocka_unit_test(layers_are_the_plan_area_of_the_cloth_over_that_of_the_heap),
        cmocka_unit_test(a_scrunch_is_not_a_rotation_or_a_ripple),
        cmocka_unit_test(following_the_cells_below_always_ends),
        cmocka_unit_test(links_join_cells_that_lie_over_each_other),
        cmocka_unit_test(what_is_seen_from_above_has_nothing_over_it),
        cmocka_unit_test(layers_times_area_is_the_cloth),
        cmocka_unit_test(one_seed_is_one_bundle_and_another_seed_another),
        cmocka_unit_test(threads_do_not_change_a_bit),
        cmocka_unit_test(the_crumple_does_not_depend_on_the_cells),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
