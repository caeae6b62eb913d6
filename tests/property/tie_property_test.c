/* A tie holds dye out, through every layer it is put round, and only there. */
#include "small.h"

#include "setup/fold.h"
#include "setup/tie.h"

static void pressing_leaves_less_the_tighter_it_is(void **state)
{
    (void)state;
    assert_close(thaw_tie_volume_left(0.0), 1.0, 0.0);
    assert_close(thaw_tie_flow_left(0.0), 1.0, 0.0);
    for (int i = 1; i <= 20; i++) {
        double tight = 0.05 * i, looser = tight - 0.05;
        assert_true(thaw_tie_volume_left(tight) < thaw_tie_volume_left(looser));
        assert_true(thaw_tie_flow_left(tight) < thaw_tie_flow_left(looser));
        assert_true(thaw_tie_flow_left(tight) <= thaw_tie_volume_left(tight)); /* flow suffers more than content */
        assert_true(thaw_tie_flow_left(tight) > 0.0);
    }
}

static void a_tie_goes_round_every_layer(void **state)
{
    (void)state;
    thaw_scenario *scenario = small_scenario("harbour-awning", 0.7);
    thaw_specification *spec = &scenario->spec;
    thaw_bundle b = {0};
    thaw_error err = {0};
    assert_done(thaw_fold_bundle(spec, &b, &err), &err);
    int tied = 0, free = 0;
    for (size_t k = 0; k < b.n; k++) {
        double nearest = 1.0;
        for (int i = 1; i <= 4; i++)
            nearest = fmin(nearest, fabs(b.y_m[k] - i / 5.0 * b.length_m));
        tied += b.tie[k] > 0.0f;
        free += b.tie[k] == 0.0f;
        if (nearest < 0.006 - 0.5 * b.cell_m)
            assert_close((double)b.tie[k], 0.9, 1e-6);
        if (nearest > 0.006 + 0.5 * b.cell_m)
            assert_close((double)b.tie[k], 0.0, 0.0);
    }
    assert_true(tied > 0 && free > 5 * tied);
    for (int s = 0; s < b.tray_nx * b.tray_ny; s++) /* what falls on a band runs off it */
        if (b.top[s] >= 0)
            assert_true((double)b.tie[b.top[s]] < 0.25);
    thaw_bundle_release(&b);
    thaw_scenario_destroy(scenario);
}

static void a_tie_of_a_bundle_laid_flat_is_a_stripe(void **state)
{
    (void)state;
    thaw_scenario *scenario = small_scenario("harbour-awning", 0.7);
    thaw_specification *spec = &scenario->spec;
    thaw_bundle b = {0};
    thaw_error err = {0};
    spec->n_folds = 1;
    spec->folds[0] = (thaw_fold){.kind = THAW_FOLD_TIE, .along = THAW_ALONG_WIDTH, .number = 1, .at = 0.25,
                                 .band_m = 0.006, .tightness = 0.5};
    assert_done(thaw_fold_bundle(spec, &b, &err), &err);
    double sum_m = 0.0; /* a band of any breadth presses as much cloth as it is broad */
    for (int i = 0; i < b.nx; i++) {
        sum_m += (double)b.tie[i] / 0.5 * b.cell_m;
        assert_true(b.tie[i] == b.tie[i + (b.ny - 1) * b.nx]);
    }
    assert_close(sum_m, 0.006, 1e-6);
    thaw_bundle_release(&b);
    thaw_scenario_destroy(scenario);
}

/* Mean fixed dye under the ties / mean elsewhere, 3 cm and more off any tie. */
static double mark_of(double tightness)
{
    thaw_scenario *scenario = small_scenario("harbour-awning", 0.7);
    thaw_specification *spec = &scenario->spec;
    thaw_outcome work;
    spec->folds[1].tightness = tightness;
    run_small(spec, &work);
    const thaw_bundle *b = &work.bundle;
    double under = 0.0, off = 0.0;
    int n_under = 0, n_off = 0;
    for (size_t k = 0; k < b->n; k++) {
        double fixed = 0.0, nearest = 1.0;
        for (int c = 0; c < work.dyes.n; c++)
            fixed += work.engine.state.fixed_kg_m2[c][k];
        for (int i = 1; i <= 4; i++)
            nearest = fmin(nearest, fabs(b->y_m[k] - i / 5.0 * b->length_m));
        under += nearest < 0.004 ? fixed : 0.0;
        n_under += nearest < 0.004;
        off += nearest > 0.03 ? fixed : 0.0;
        n_off += nearest > 0.03;
    }
    assert_true(n_under > 0 && n_off > 0 && off > 0.0);
    assert_at_most(thaw_engine_water_error(&work.engine), 1e-9);
    for (int c = 0; c < work.dyes.n; c++)
        assert_at_most(thaw_engine_dye_error(&work.engine, c), 1e-9);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
    return under / n_under / (off / n_off);
}

static void a_tight_tie_leaves_a_pale_mark_and_a_loose_one_hardly_any(void **state)
{
    (void)state;
    double tight = mark_of(0.9), loose = mark_of(0.1);
    assert_at_most(tight, 0.5);
    assert_at_most(0.7, loose);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pressing_leaves_less_the_tighter_it_is),
        cmocka_unit_test(a_tie_goes_round_every_layer),
        cmocka_unit_test(a_tie_of_a_bundle_laid_flat_is_a_stripe),
        cmocka_unit_test(a_tight_tie_leaves_a_pale_mark_and_a_loose_one_hardly_any),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
