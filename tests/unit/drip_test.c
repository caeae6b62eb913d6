/* Where melt and powder go on a piece of ice, and the heat that water takes along through the cloth. */
#include "check.h"

#include "data/dyes.h"
#include "sim/drip.h"
#include "sim/warmth.h"

enum { SIDE = 40, N = SIDE * SIDE };
#define TRAY_M 0.004
#define MIDDLE_M (0.5 * SIDE * TRAY_M)

/* One block of ice in the middle of a flat cloth, powder of one dye on its left and another on its right. */
typedef struct table {
    int32_t top[N];
    double fallen[N], share[N], thickness[N], nothing[N];
    double middle, mass, one, t_k, sides[2][THAW_HEAP_SIDES];
    thaw_bundle bundle;
    thaw_warmth warmth;
    thaw_heap heap;
    thaw_dye_list dyes;
    thaw_melt melt;
    thaw_drip drip;
} table;

static void lay(table *t)
{
    thaw_error err = {0};
    *t = (table){.middle = MIDDLE_M, .mass = 0.25, .one = 1.0, .t_k = THAW_ICE_POINT_K};
    for (int k = 0; k < N; k++) {
        t->top[k] = k;
        t->share[k] = 1.0;
        t->thickness[k] = 1e-3;
    }
    t->sides[0][THAW_HEAP_SIDES / 2] = t->sides[1][0] = 1e-6;
    t->bundle = (thaw_bundle){.nx = SIDE, .ny = SIDE, .n = N, .cell_m = TRAY_M, .tray_nx = SIDE, .tray_ny = SIDE,
                              .tray_m = TRAY_M, .top = t->top, .width_m = SIDE * TRAY_M, .length_m = SIDE * TRAY_M};
    t->warmth = (thaw_warmth){.nx = SIDE, .ny = SIDE, .n = N, .square_m = TRAY_M, .t_k = &t->t_k, .cloth_share = t->share,
                              .thickness_m = t->thickness, .open = t->nothing, .contact_w_k = t->nothing};
    t->heap = (thaw_heap){.n = 1, .x_m = &t->middle, .y_m = &t->middle, .mass_kg = &t->mass, .count = &t->one,
                          .start_k = &t->t_k, .area_factor = &t->one, .packing = 0.6, .mass_total_kg = t->mass,
                          .n_components = 2, .powder_kg = {t->sides[0], t->sides[1]}};
    t->dyes = (thaw_dye_list){.n = 2, .components = {thaw_components_at(0), thaw_components_at(1)}};
    double *const fallen[THAW_MAX_COMPONENTS] = {t->fallen, t->fallen};
    assert_int_equal(thaw_melt_create(&t->heap, &t->bundle, &t->warmth, &t->melt, &err), THAW_OK);
    assert_int_equal(thaw_melt_cover(&t->melt, &t->warmth, 0.0, &err), THAW_OK);
    assert_int_equal(thaw_drip_create(&t->heap, &t->bundle, &t->dyes, 5, fallen, &t->drip, &err), THAW_OK);
}

static void clear(table *t)
{
    thaw_drip_destroy(&t->drip);
    thaw_melt_destroy(&t->melt);
}

static void powder_on_one_side_of_a_big_piece_comes_down_on_that_side(void **state)
{
    (void)state;
    static table t;
    double at[2] = {0.0, 0.0}, dye[2] = {0.0, 0.0}, water = 0.0, melt = 0.0;
    lay(&t);
    for (int step = 0; step < 30; step++) {
        t.melt.released_kg[0] = 1e-3;
        melt += 1e-3;
        thaw_drip_step(&t.drip, &t.melt, t.nothing, 60.0);
        for (int l = 0; l < t.drip.n_landings; l++) {
            water += t.drip.landings[l].water_kg;
            for (int c = 0; c < 2; c++) {
                dye[c] += t.drip.landed_dye_kg[c][l];
                at[c] += t.drip.landed_dye_kg[c][l] * ((t.drip.landings[l].cell % SIDE + 0.5) * TRAY_M - MIDDLE_M);
            }
        }
    }
    assert_true(dye[0] > 0.9e-6 && dye[1] > 0.9e-6);
    assert_true(at[0] / dye[0] < -0.2 * t.melt.radius_m[0]);
    assert_true(at[1] / dye[1] > 0.2 * t.melt.radius_m[0]);
    assert_close(water + t.drip.missed_kg, melt, 1e-12 * melt);
    for (int c = 0; c < 2; c++) {
        double left = 0.0;
        for (int p = 0; p < t.drip.n_points; p++) {
            left += t.drip.powder_kg[c][p];
        }
        assert_close(left + dye[c] + t.drip.missed_dye_kg[c], 1e-6, 1e-18);
    }
    clear(&t);
}

/* Twenty times its content of ice-cold water runs through a warm square into its neighbour and off. */
static void a_square_through_which_much_water_runs_stays_between_the_temperatures_of_what_came(void **state)
{
    (void)state;
    double dry[2] = {1.0, 1.0}, water[2], energy[2], t_k[2], evaporated[2] = {0.0, 0.0}, left[2], landed[2], spare[2];
    const double start[2] = {0.01, 0.01};
    thaw_warmth w = {.nx = 2, .ny = 1, .n = 2, .square_m = 0.008, .dry_j_k = dry, .water_kg = water, .energy_j = energy,
                     .t_k = t_k, .evaporated_kg = evaporated, .left_kg = left, .landed_kg = landed, .spare = spare};
    thaw_heat_ledger ledger = {0};
    thaw_warmth_start(&w, 293.15, start, &ledger);
    const double first = energy[0] + energy[1];
    for (int step = 0; step < 50; step++) {
        landed[0] = 0.2; /* comes in at 0 C, goes sideways, and off the other square */
        landed[1] = left[0] = 0.0;
        left[1] = 0.2;
        thaw_warmth_move(&w, start, &ledger);
        for (int q = 0; q < 2; q++) {
            assert_true(t_k[q] >= THAW_ICE_POINT_K && t_k[q] <= 293.15);
        }
        assert_close(energy[0] + energy[1] + ledger.runoff, first, 1e-12 * first);
    }
    assert_close(t_k[1], THAW_ICE_POINT_K, 1e-6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(powder_on_one_side_of_a_big_piece_comes_down_on_that_side),
        cmocka_unit_test(a_square_through_which_much_water_runs_stays_between_the_temperatures_of_what_came),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
