/* Drops on a slope, where two cells lie over each square of the tray. */
#include "check.h"

#include "sim/splash.h"

enum { CELLS = 6, SQUARES = 3 };
#define SQUARE_M 0.02 /* wider than a patch: a drop wets its own square alone */

typedef struct slope {
    int32_t tray[CELLS], top[SQUARES];
    uint16_t depth[CELLS];
    float tie[CELLS];
    thaw_bundle bundle;
} slope;

static void lay(slope *s)
{
    *s = (slope){.tray = {0, 0, 1, 1, 2, 2}, .top = {0, 2, 4}};
    s->bundle = (thaw_bundle){.nx = CELLS, .ny = 1, .n = CELLS, .cell_m = SQUARE_M, .tray_nx = SQUARES, .tray_ny = 1,
                              .tray_m = SQUARE_M, .tray = s->tray, .top = s->top, .depth = s->depth};
}

/* A drop of 1 g with .2 g of dye on the middle square: what comes to each cell. */
static int drop(const thaw_bundle *bundle, double water_kg[CELLS], double dye_kg[CELLS])
{
    thaw_error err = {0};
    thaw_splash splash;
    thaw_landing landings[CELLS];
    double dye[1] = {0.2e-3}, landed[CELLS], *const of_dye[1] = {landed};
    assert_int_equal(thaw_splash_create(bundle, 1, &splash, &err), THAW_OK);
    assert_true(thaw_splash_room(&splash) <= CELLS);
    assert_int_equal(thaw_splash_hits(&splash, 1.5 * SQUARE_M, 0.5 * SQUARE_M), 1);
    assert_int_equal(thaw_splash_hits(&splash, -0.5 * SQUARE_M, 0.5 * SQUARE_M), 0);
    thaw_splash_add(&splash, 1.5 * SQUARE_M, 0.5 * SQUARE_M, 1, 0.4e-3, dye);
    thaw_splash_add(&splash, 1.6 * SQUARE_M, 0.5 * SQUARE_M, 1, 0.6e-3, (double[1]){0.0});
    const int n = thaw_splash_take(&splash, landings, of_dye);
    for (int k = 0; k < CELLS; k++) {
        water_kg[k] = dye_kg[k] = 0.0;
    }
    for (int l = 0; l < n; l++) {
        water_kg[landings[l].cell] += landings[l].water_kg;
        dye_kg[landings[l].cell] += landed[l];
    }
    assert_int_equal(thaw_splash_take(&splash, landings, of_dye), 0);
    thaw_splash_destroy(&splash);
    return n;
}

static void cells_side_by_side_on_a_slope_share_a_drop(void **state)
{
    (void)state;
    slope s;
    double water[CELLS], dye[CELLS];
    lay(&s);
    assert_int_equal(drop(&s.bundle, water, dye), 2);
    for (int k = 2; k <= 3; k++) {
        assert_close(water[k], 0.5e-3, 1e-15);
        assert_close(dye[k], 0.1e-3, 1e-15);
    }
}

static void cloth_under_cloth_and_cloth_beside_a_band_get_none_of_it(void **state)
{
    (void)state;
    slope s;
    double water[CELLS], dye[CELLS];
    lay(&s);
    s.depth[3] = 1;
    assert_int_equal(drop(&s.bundle, water, dye), 1);
    assert_close(water[2], 1e-3, 1e-15);
    assert_close(dye[2], 0.2e-3, 1e-15);
    lay(&s);
    s.bundle.tie = s.tie;
    s.top[1] = 5; /* a band on the square: the nearest free cell takes its drops */
    assert_int_equal(drop(&s.bundle, water, dye), 1);
    assert_close(water[5], 1e-3, 1e-15);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cells_side_by_side_on_a_slope_share_a_drop),
        cmocka_unit_test(cloth_under_cloth_and_cloth_beside_a_band_get_none_of_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
