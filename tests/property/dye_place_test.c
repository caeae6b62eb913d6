/* How dye is put on: over the ice, under it, dry or as liquid, and soda ash as powder. One lightly scrunched twill of
 * 48 cm under crushed ice, 4 mm cells. */
#include "setup_cloth.h"

#include <stdlib.h>

#define SPECK 2.0                  /* a speck holds so many times the mean of what lies round it: clouds alone hardly do */
#define BURST 3                    /* cells that a speck spreads over: 12 mm */
#define REACH 2                    /* cells round it that count */

static double dye_on(const thaw_engine *e, size_t k)
{
    double sum = 0.0;
    for (int c = 0; c < e->dyes->n; c++) {
        sum += e->state.fixed_kg_m2[c][k];
    }
    return sum;
}

/* What a speck has spread round it: dye on the cells 1 to BURST cells off, beyond the mean of those a little farther out. */
static double burst_of(const thaw_engine *e, int i, int j)
{
    const int nx = e->bundle->nx, ny = e->bundle->ny;
    double near = 0.0, far = 0.0, n_near = 0.0, n_far = 0.0;
    for (int b = -BURST - 2; b <= BURST + 2; b++) {
        for (int a = -BURST - 2; a <= BURST + 2; a++) {
            const int x = i + a, y = j + b, square = a * a + b * b;
            if (square == 0 || x < 0 || y < 0 || x >= nx || y >= ny || square > (BURST + 2) * (BURST + 2)) {
                continue;
            }
            const bool is_near = square <= BURST * BURST;
            *(is_near ? &near : &far) += dye_on(e, (size_t)(y * nx + x));
            *(is_near ? &n_near : &n_far) += 1.0;
        }
    }
    return fmax(0.0, near - n_near * far / n_far);
}

/* Cells that are darker than their eight neighbours and hold SPECK times the mean of the 24 cells round them; and what their
 * bursts hold of all dye. */
static int count_specks(const thaw_engine *e, double *in_bursts)
{
    const int nx = e->bundle->nx, ny = e->bundle->ny;
    double most = 0.0, all = 0.0, bursts = 0.0;
    int specks = 0;
    for (size_t k = 0; k < e->bundle->n; k++) {
        most = fmax(most, dye_on(e, k));
        all += dye_on(e, k);
    }
    for (int j = REACH; j < ny - REACH; j++) {
        for (int i = REACH; i < nx - REACH; i++) {
            const double here = dye_on(e, (size_t)(j * nx + i));
            double round = 0.0;
            bool peak = here > 0.02 * most;
            for (int b = -REACH; b <= REACH; b++) {
                for (int a = -REACH; a <= REACH; a++) {
                    const double there = dye_on(e, (size_t)((j + b) * nx + i + a));
                    round += a || b ? there / ((2 * REACH + 1) * (2 * REACH + 1) - 1) : 0.0;
                    peak = peak && (abs(a) > 1 || abs(b) > 1 || !(a || b) || here > there);
                }
            }
            if (peak && here > SPECK * round) {
                specks++;
                bursts += burst_of(e, i, j);
            }
        }
    }
    *in_bursts = bursts / all;
    return specks;
}

static int specks_of(bool under, uint64_t seed, double *in_bursts)
{
    thaw_scenario *scenario = setup_cloth(0.48, 1.0, 1e-3);
    thaw_outcome work;
    scenario->spec.dye[0].under_ice = under;
    scenario->spec.dye[0].lumps = 0.2;
    scenario->spec.seed = seed;
    run_small(&scenario->spec, &work);
    const int specks = count_specks(&work.engine, in_bursts);
    print_message("  %s, seed %d: %d specks, %.1f %% of the dye in their bursts\n", under ? "under" : "over", (int)seed, specks,
                  100.0 * *in_bursts);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
    return specks;
}

static void powder_under_the_ice_leaves_specks_and_bursts_that_the_same_powder_over_it_does_not(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= 2; seed++) {
        double under, over;
        assert_true(specks_of(true, seed, &under) > 3 * specks_of(false, seed, &over));
        assert_true(under > 4.0 * over); /* a few local maxima of any cloud count in both */
    }
}

static void lay(thaw_scenario *scenario, thaw_outcome *work)
{
    thaw_error err = {0};
    *work = (thaw_outcome){.spec = &scenario->spec};
    assert_done(thaw_outcome_prepare(work, &err), &err);
}

static double on_ice_kg(const thaw_heap *h, double *const *amounts)
{
    double sum = 0.0;
    for (int c = 0; c < h->n_components; c++) {
        for (int i = 0; amounts[c] && i < h->n * THAW_HEAP_SIDES; i++) {
            sum += amounts[c][i];
        }
    }
    return sum;
}

static void what_goes_under_the_ice_lies_on_the_cloth_and_nowhere_else(void **state)
{
    (void)state;
    thaw_scenario *scenario = setup_cloth(0.24, 0.5, 1e-3);
    thaw_outcome work;
    lay(scenario, &work);
    const double over_kg = on_ice_kg(&work.heap, work.heap.powder_kg);
    assert_true(over_kg > 0.5e-3);
    thaw_outcome_clear(&work);
    scenario->spec.dye[0].under_ice = true;
    lay(scenario, &work);
    assert_close(on_ice_kg(&work.heap, work.heap.powder_kg), 0.0, 0.0);
    thaw_outcome_clear(&work);
    scenario->spec.dye[0].volume_m3 = 50e-6;
    lay(scenario, &work);
    double water = 0.0, dye = 0.0;
    for (size_t k = 0; k < work.bundle.n; k++) {
        water += work.heap.wetted_kg[k];
        for (int c = 0; c < work.heap.n_components; c++) {
            dye += work.heap.wetted_dye_kg[c][k];
        }
    }
    assert_close(water + work.heap.poured_lost_kg, 50e-6 * THAW_WATER_DENSITY_KG_M3, 1e-12);
    assert_at_most(dye, 1e-3 * (1.0 + 1e-9));
    assert_true(dye >= 0.9e-3);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
}

/* Where cloth slopes two cells and more lie over one square of the tray. */
static void grains_fall_on_all_cloth_that_lies_open_to_the_sky(void **state)
{
    (void)state;
    thaw_scenario *scenario = setup_cloth(0.48, 1.0, 2e-3);
    thaw_outcome work;
    int open = 0, bare = 0;
    scenario->spec.dye[0].under_ice = true;
    scenario->spec.dye[0].clumping = 0.0;
    lay(scenario, &work);
    const thaw_bundle *b = &work.bundle;
    for (size_t k = 0; k < b->n; k++) {
        if (b->depth[k] == 0 && b->top[b->tray[k]] != (int32_t)k) {
            open++;
            bare += work.heap.fallen_kg_m2[0][k] == 0.0;
        }
    }
    print_message("  open but not the highest over their square %d cells, of these bare %d\n", open, bare);
    assert_true(open > 200);
    assert_true(bare < 0.25 * open);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
}

/* Handfuls are uneven, an even sprinkle is not: spread of what 1 cm2 of cloth gets, over the mean. */
static double unevenness_of(double clumping)
{
    thaw_scenario *scenario = setup_cloth(0.24, 0.5, 2e-3);
    thaw_outcome work;
    double sum = 0.0, square = 0.0;
    int n = 0;
    scenario->spec.n_folds = 0;
    scenario->spec.dye[0].under_ice = true;
    scenario->spec.dye[0].clumping = clumping;
    lay(scenario, &work);
    const int nx = work.bundle.nx;
    for (int j = 0; j + 3 <= work.bundle.ny; j += 3) {
        for (int i = 0; i + 3 <= nx; i += 3, n++) {
            double here = 0.0;
            for (int p = 0; p < 9; p++) {
                here += work.heap.fallen_kg_m2[0][(j + p / 3) * nx + i + p % 3];
            }
            sum += here;
            square += here * here;
        }
    }
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
    return sqrt(square / n - sum / n * sum / n) / (sum / n);
}

static void handfuls_lie_less_evenly_than_a_sprinkle(void **state)
{
    (void)state;
    const double even = unevenness_of(0.0), handfuls = unevenness_of(1.0);
    print_message("  even %.2f, handfuls %.2f\n", even, handfuls);
    assert_true(handfuls > 3.0 * even);
}

static double fixed_share(thaw_scenario *scenario)
{
    thaw_outcome work;
    double fixed = 0.0, weighed = 0.0;
    run_small(&scenario->spec, &work);
    for (int c = 0; c < work.dyes.n; c++) {
        fixed += thaw_engine_sum_kg(&work.engine, work.engine.state.fixed_kg_m2[c]);
        weighed += work.engine.weighed_kg[c];
    }
    thaw_outcome_clear(&work);
    return fixed / weighed;
}

static void soda_ash_on_top_fixes_dye_where_none_was_soaked_in(void **state)
{
    (void)state;
    thaw_scenario *scenario = setup_cloth(0.24, 0.3, 1e-3);
    scenario->spec.soda_kg_m3 = 0.0;
    const double without = fixed_share(scenario);
    scenario->spec.n_soda = 1;
    scenario->spec.soda[0] = (thaw_dye_zone){.mass_kg = 3e-3, .area = whole_area()};
    const double over = fixed_share(scenario);
    scenario->spec.soda[0].under_ice = true;
    const double under = fixed_share(scenario);
    print_message("  fixed without %.3f, soda over the ice %.3f, under it %.3f\n", without, over, under);
    assert_close(without, 0.0, 0.0);
    assert_true(over > 0.02);
    assert_true(under > 0.02);
    thaw_scenario_destroy(scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(powder_under_the_ice_leaves_specks_and_bursts_that_the_same_powder_over_it_does_not),
        cmocka_unit_test(what_goes_under_the_ice_lies_on_the_cloth_and_nowhere_else),
        cmocka_unit_test(grains_fall_on_all_cloth_that_lies_open_to_the_sky),
        cmocka_unit_test(handfuls_lie_less_evenly_than_a_sprinkle),
        cmocka_unit_test(soda_ash_on_top_fixes_dye_where_none_was_soaked_in),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
