/* A crumple: cloth gathered where a picture is dark. */
#include "folded.h"

#include <stdlib.h>

#include "data/cloths.h"

#define SIDE 64

static thaw_specification crumpled(thaw_mask *mask, double to, uint64_t seed)
{
    thaw_specification spec = {.cloth = thaw_cloths_find("cotton poplin"), .width_m = 0.48, .length_m = 0.48, .cell_m = 0.004,
                               .seed = seed, .n_folds = 1};
    spec.folds[0] = (thaw_fold){.kind = THAW_FOLD_CRUMPLE, .share = to};
    spec.folds[0].painted = (thaw_area){.name = "picture", .shape = THAW_AREA_PICTURE, .mask = mask};
    return spec;
}

/* A disc of the grey in the middle. */
static void paint_disc(uint8_t *amount, double radius, uint8_t grey)
{
    for (int j = 0; j < SIDE; j++)
        for (int i = 0; i < SIDE; i++)
            amount[j * SIDE + i] = hypot(i + 0.5 - SIDE / 2.0, j + 0.5 - SIDE / 2.0) < radius * SIDE ? grey : 0;
}

/* A strip along the first rows, as a hem. */
static void paint_hem(uint8_t *amount, double share)
{
    for (int j = 0; j < SIDE; j++)
        memset(amount + j * SIDE, j < share * SIDE ? 255 : 0, SIDE);
}

/* Plan area over cloth area of the cells within (or beyond) so much of the way from the middle to the side: each square of
 * the tray is shared out among the cells over it. */
static double area_left(const thaw_bundle *b, double from, double to)
{
    size_t n_squares = (size_t)b->tray_nx * (size_t)b->tray_ny;
    double *count = calloc(n_squares, sizeof *count), area = 0.0, n = 0.0;
    for (size_t k = 0; k < b->n; k++)
        count[b->tray[k]] += 1.0;
    for (size_t k = 0; k < b->n; k++) {
        const double u = ((double)(k % (size_t)b->nx) + 0.5) / b->nx - 0.5, v = ((double)(k / (size_t)b->nx) + 0.5) / b->ny - 0.5;
        const double r = hypot(u, v);
        if (r >= from && r < to) {
            area += 1.0 / count[b->tray[k]];
            n += 1.0;
        }
    }
    free(count);
    return area / n;
}

static void cloth_is_gathered_where_it_is_dark_and_keeps_its_lengths(void **state)
{
    (void)state;
    uint8_t amount[SIDE * SIDE];
    thaw_mask mask = {SIDE, SIDE, amount};
    paint_disc(amount, 0.25, 255);
    for (uint64_t seed = 1; seed <= 3; seed++) {
        double rms, longest;
        thaw_specification spec = crumpled(&mask, 0.3, seed);
        thaw_bundle b = folded(&spec); /* every cell has one place: see there */
        measure_steps(&b, &rms, &longest);
        assert_close(area_left(&b, 0.0, 0.2), 0.3, 0.1);
        /* Drawn in, but not gathered: pleats that run out from the disc. */
        const double far = area_left(&b, 0.42, 0.5);
        assert_true(far > 0.6 && far < 0.97);
        /* As for a scrunch, which is led by the same hands. */
        assert_at_most(rms, 0.05);
        assert_at_most(longest, 2.0);
        thaw_bundle_release(&b);
    }
}

static void the_darker_the_tighter(void **state)
{
    (void)state;
    static const uint8_t greys[] = {40, 128, 255};
    uint8_t amount[SIDE * SIDE];
    thaw_mask mask = {SIDE, SIDE, amount};
    double last = 1.0;
    for (size_t g = 0; g < sizeof greys / sizeof *greys; g++) {
        paint_disc(amount, 0.25, greys[g]);
        thaw_specification spec = crumpled(&mask, 0.3, 2);
        thaw_bundle b = folded(&spec);
        const double left = area_left(&b, 0.0, 0.2);
        /* The page promises to^(darkness). */
        assert_close(left, pow(0.3, greys[g] / 255.0), 0.15);
        assert_true(left < last);
        last = left;
        thaw_bundle_release(&b);
    }
}

/* A hem that is gathered alone: what lies well away from it stays in one layer. */
static void what_is_white_and_far_off_lies_flat(void **state)
{
    (void)state;
    uint8_t amount[SIDE * SIDE];
    thaw_mask mask = {SIDE, SIDE, amount};
    paint_hem(amount, 0.25);
    thaw_specification spec = crumpled(&mask, 0.3, 4);
    thaw_bundle b = folded(&spec);
    size_t single = 0, n = 0, hem = 0, n_hem = 0;
    for (size_t k = 0; k < b.n; k++) {
        const double v = ((double)(k / (size_t)b.nx) + 0.5) / b.ny;
        single += v > 0.75 && b.layers[b.tray[k]] == 1;
        n += v > 0.75;
        hem += v < 0.2 && b.layers[b.tray[k]] > 1;
        n_hem += v < 0.2;
    }
    assert_true((double)single > 0.9 * (double)n);
    assert_true((double)hem > 0.3 * (double)n_hem); /* an upright fold counts as one layer */
    thaw_bundle_release(&b);
}

static void the_same_seed_gives_the_same_fold_and_another_seed_another(void **state)
{
    (void)state;
    uint8_t amount[SIDE * SIDE];
    thaw_mask mask = {SIDE, SIDE, amount};
    paint_disc(amount, 0.3, 200);
    thaw_specification spec = crumpled(&mask, 0.4, 5);
    thaw_bundle a = folded(&spec), b = folded(&spec);
    assert_memory_equal(a.x_m, b.x_m, a.n * sizeof *a.x_m);
    assert_memory_equal(a.z_m, b.z_m, a.n * sizeof *a.z_m);
    thaw_bundle_release(&b);
    spec.seed = 6;
    b = folded(&spec);
    assert_true(memcmp(a.z_m, b.z_m, a.n * sizeof *a.z_m) != 0);
    thaw_bundle_release(&a);
    thaw_bundle_release(&b);
}

/* After another fold the picture lies over the bundle as it is then. */
static void a_crumple_works_on_what_other_folds_left(void **state)
{
    (void)state;
    uint8_t amount[SIDE * SIDE];
    thaw_mask mask = {SIDE, SIDE, amount};
    paint_disc(amount, 0.3, 255);
    thaw_specification spec = crumpled(&mask, 0.4, 5);
    spec.n_folds = 2;
    spec.folds[1] = spec.folds[0];
    spec.folds[0] = (thaw_fold){.kind = THAW_FOLD_ACCORDION, .pleats = 2, .along = THAW_ALONG_LENGTH, .waviness_m = 0.002};
    thaw_bundle b = folded(&spec);
    assert_at_most(b.length_m, 0.27);
    thaw_bundle_release(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cloth_is_gathered_where_it_is_dark_and_keeps_its_lengths),
        cmocka_unit_test(the_darker_the_tighter),
        cmocka_unit_test(what_is_white_and_far_off_lies_flat),
        cmocka_unit_test(the_same_seed_gives_the_same_fold_and_another_seed_another),
        cmocka_unit_test(a_crumple_works_on_what_other_folds_left),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
