/* A made-up garment under ice: what is no cloth takes no part, folds keep its cells, books close, and a border at the
 * hem runs out below the chest. */
#include "setup_cloth.h"
#include "folded.h"

#include <stdlib.h>

#include "data/garments.h"

#define HOURS 3600.0

static thaw_specification *dress(thaw_scenario *scenario, int shape, double scale)
{
    thaw_specification *spec = &scenario->spec;
    const thaw_garment_shape *row = thaw_garments_at(shape);
    spec->garment = (thaw_garment){.shape = -1};
    for (int s = 0; s < THAW_GARMENT_SIZES && row->sizes[s].key; s++) {
        spec->garment.sizes_m[s] = scale * row->sizes[s].cuts_m[1];
    }
    thaw_garments_cut_out(shape, &spec->garment);
    spec->width_m = spec->garment.width_m;
    spec->length_m = spec->garment.length_m;
    return spec;
}

static void every_fold_gives_every_cell_of_cloth_one_place(void **state)
{
    (void)state;
    static const thaw_fold folds[] = {
        {.kind = THAW_FOLD_ACCORDION, .pleats = 4, .along = THAW_ALONG_LENGTH, .waviness_m = 0.003},
        {.kind = THAW_FOLD_SCRUNCH, .share = 0.5},
        {.kind = THAW_FOLD_FAN, .pleats = 4, .point = THAW_POINT_TOP, .waviness_m = 0.002},
        {.kind = THAW_FOLD_TRIANGLE, .along = THAW_ALONG_LENGTH, .waviness_m = 0.002},
        {.kind = THAW_FOLD_RADIAL, .order = 3, .waviness_m = 0.002},
        {.kind = THAW_FOLD_TWIST, .arms = 8, .share = 0.5},
        {.kind = THAW_FOLD_ROLL, .along = THAW_ALONG_LENGTH, .pole_m = 0.05},
        {.kind = THAW_FOLD_GATHER, .along = THAW_ALONG_WIDTH, .number = 3, .share = 0.5, .stitch_m = 0.01, .band_m = 0.005,
         .tightness = 0.9},
        {.kind = THAW_FOLD_KNOT, .point = THAW_POINT_BOTTOM_LEFT, .size_m = 0.12, .tightness = 0.9},
        {.kind = THAW_FOLD_TIE, .along = THAW_ALONG_LENGTH, .number = 2, .band_m = 0.01, .tightness = 0.9},
    };
    thaw_scenario *scenario = setup_cloth(0.3, 0.2, 0.001);
    thaw_specification *spec = dress(scenario, 0, 0.6);
    size_t n_cloth = 0;
    for (size_t f = 0; f < sizeof folds / sizeof *folds; f++) {
        spec->n_folds = 1;
        spec->folds[0] = folds[f];
        thaw_bundle b = folded(spec); /* valid: see there */
        size_t here = 0, sewn = 0;
        for (size_t k = 0; k < b.n; k++) {
            here += thaw_bundle_is_cloth(&b, k);
            sewn += thaw_bundle_is_sewn(&b, k);
        }
        n_cloth = n_cloth ? n_cloth : here;
        assert_int_equal(here, n_cloth);
        assert_true(sewn > 100);
        thaw_bundle_release(&b);
    }
    thaw_scenario_destroy(scenario);
}

/* The same rectangle as plain cloth and as a garment of one panel: nothing may differ. */
static void a_panel_that_is_a_rectangle_is_plain_cloth(void **state)
{
    (void)state;
    thaw_scenario *scenario = setup_cloth(0.16, 0.1, 0.0004);
    thaw_specification *spec = &scenario->spec;
    thaw_outcome plain, panel;
    spec->leave_s = 3.0 * HOURS;
    run_small(spec, &plain);
    thaw_specification dressed = *spec;
    dressed.garment = (thaw_garment){.n_panels = 1, .n_layers = 1, .shape = -1, .width_m = 0.16, .length_m = 0.16,
                                     .panels = {{"cloth", 0, 4, {{0.0, 0.0}, {0.16, 0.0}, {0.16, 0.16}, {0.0, 0.16}}}}};
    run_small(&dressed, &panel);
    assert_int_equal(plain.bundle.n, panel.bundle.n);
    for (int c = 0; c < plain.dyes.n; c++) {
        assert_memory_equal(plain.engine.state.fixed_kg_m2[c], panel.engine.state.fixed_kg_m2[c],
                            plain.bundle.n * sizeof(double));
    }
    thaw_outcome_clear(&plain);
    thaw_outcome_clear(&panel);
    thaw_scenario_destroy(scenario);
}

static void what_is_no_cloth_holds_nothing_and_the_books_close(void **state)
{
    (void)state;
    static const thaw_stand stands[] = {THAW_ON_RACK, THAW_IN_TUB};
    for (size_t v = 0; v < sizeof stands / sizeof *stands; v++) {
        thaw_scenario *scenario = setup_cloth(0.3, 0.25, 0.001);
        thaw_specification *spec = dress(scenario, 0, 0.4);
        thaw_preview_figures figures = {0};
        thaw_print print;
        thaw_outcome work;
        thaw_error err = {0};
        spec->vessel.stand = stands[v];
        spec->leave_s = 6.0 * HOURS;
        run_small(spec, &work);
        const thaw_state *s = &work.engine.state;
        for (size_t k = 0; k < work.bundle.n; k++) {
            if (thaw_bundle_is_cloth(&work.bundle, k)) {
                continue;
            }
            assert_true(s->saturation[k] == 0.0 && s->soda_kg_m2[k] == 0.0);
            for (int c = 0; c < s->n_components; c++) {
                assert_true(s->mobile_kg_m2[c][k] == 0.0 && s->fixed_kg_m2[c][k] == 0.0 && s->powder_kg_m2[c][k] == 0.0);
            }
        }
        assert_done(thaw_outcome_conclude(&work, &print, &figures, &err), &err);
        assert_at_most(figures.water_error, 1e-9);
        assert_at_most(figures.heat_error, 1e-9);
        assert_at_most(figures.soda_error, 1e-9);
        for (int c = 0; c < figures.n_dyes; c++) {
            assert_at_most(figures.dyes[c].ledger_error, 1e-9);
        }
        double cloth_kg = 0.0, fixed_kg = 0.0, all_fixed_kg = 0.0;
        for (int p = 0; p < figures.n_panels; p++) {
            cloth_kg += figures.panels[p].cloth_kg;
            fixed_kg += figures.panels[p].fixed_kg;
        }
        for (int c = 0; c < figures.n_dyes; c++) {
            all_fixed_kg += figures.dyes[c].fixed_kg;
        }
        assert_close(cloth_kg, figures.cloth_kg, 1e-12);
        assert_close(fixed_kg, all_fixed_kg, 1e-9 * all_fixed_kg);
        thaw_outcome_clear(&work);
        thaw_scenario_destroy(scenario);
    }
}

/* Water wicks through a seam as through cloth: one panel is fed, the other drinks along the seam only. */
static void dye_crosses_a_seam(void **state)
{
    (void)state;
    thaw_scenario *scenario = setup_cloth(0.3, 0.06, 0.001);
    thaw_specification *spec = &scenario->spec;
    double reached[2];
    for (int sewn = 0; sewn < 2; sewn++) {
        spec->n_folds = 0;
        spec->leave_s = 8.0 * HOURS;
        spec->ice[0].area = (thaw_area){.name = "left half", .shape = THAW_AREA_BOX, .x1 = 0.4, .y1 = 1.0};
        spec->dye[0].area = spec->ice[0].area;
        /* Beside each other in one layer, and the left one under the ice. */
        spec->garment = (thaw_garment){.n_panels = 2, .n_layers = 1, .shape = -1, .width_m = 0.16, .length_m = 0.08,
                                       .n_seams = sewn, .seams = {{{0, 1}, {1, 3}, {2, 0}}},
                                       .panels = {{"left", 0, 4, {{0.0, 0.0}, {0.08, 0.0}, {0.08, 0.08}, {0.0, 0.08}}},
                                                  {"right", 0, 4, {{0.08, 0.0}, {0.16, 0.0}, {0.16, 0.08}, {0.08, 0.08}}}}};
        spec->width_m = 0.16;
        spec->length_m = 0.08;
        thaw_preview_figures figures = {0};
        thaw_print print;
        thaw_outcome work;
        thaw_error err = {0};
        run_small(spec, &work);
        assert_done(thaw_outcome_conclude(&work, &print, &figures, &err), &err);
        reached[sewn] = figures.panels[1].fixed_kg / figures.panels[0].fixed_kg;
        thaw_outcome_clear(&work);
    }
    /* Drips of pieces that lie across the edge reach the other panel either way. */
    assert_true(reached[1] > 1.5 * reached[0] && reached[1] > 0.02);
    thaw_scenario_destroy(scenario);
}

/* Mean dye of the panel between two shares of the length of the cloth, kg/m2. */
static double mean_between(const thaw_outcome *work, const thaw_print *print, int panel, double from, double to)
{
    const thaw_bundle *b = &work->bundle;
    double sum = 0.0, n = 0.0;
    for (size_t k = 0; k < b->n; k++) {
        const double at = ((double)(k / (size_t)b->nx) + 0.5) / b->ny;
        if (b->panel[k] == panel + 1 && at >= from && at < to) {
            for (int c = 0; c < print->n_components; c++) {
                sum += print->fixed_kg_m2[c][k];
            }
            n += 1.0;
        }
    }
    return sum / n;
}

/* The shipped shirt at three fifths of its size. */
static void a_border_at_the_hem_runs_out_below_the_chest_front_and_back(void **state)
{
    (void)state;
    thaw_scenario *scenario = small_scenario("breaker-shirt", 1.0);
    thaw_specification *spec = &scenario->spec;
    thaw_garment *g = &spec->garment;
    for (int s = 0; s < THAW_GARMENT_SIZES; s++) {
        g->sizes_m[s] *= 0.6;
    }
    thaw_garments_cut_out(g->shape, g);
    spec->width_m = g->width_m;
    spec->length_m = g->length_m;
    spec->hang.from_m *= 0.6;
    spec->hang.down_m = spec->length_m - spec->hang.from_m - spec->hang.up_m;
    spec->ice[0].mass_kg *= 0.36;
    for (int z = 0; z < spec->n_dye; z++) {
        spec->dye[z].mass_kg *= 0.36;
    }
    spec->leave_s = 8.0 * HOURS;
    thaw_preview_figures figures = {0};
    thaw_print print;
    thaw_outcome work;
    thaw_error err = {0};
    run_small(spec, &work);
    assert_done(thaw_outcome_conclude(&work, &print, &figures, &err), &err);
    const double ice_line = spec->hang.from_m / spec->length_m;
    const double chest = 1.0 - 0.44 * g->sizes_m[0] / spec->length_m; /* where the sleeves begin */
    for (int p = 0; p < 2; p++) {
        const double hem = mean_between(&work, &print, p, 0.0, ice_line);
        const double before = mean_between(&work, &print, p, ice_line, ice_line + 0.02 / spec->length_m);
        const double next = mean_between(&work, &print, p, ice_line + 0.02 / spec->length_m, ice_line + 0.06 / spec->length_m);
        const double above = mean_between(&work, &print, p, chest, 1.0);
        assert_true(hem > 0.0 && before > 0.1 * hem);
        assert_true(next < before);
        assert_at_most(above, 0.005 * hem);
        assert_true(figures.panels[p].climb_m[1] > 0.01);
        assert_at_most(figures.panels[p].climb_m[2], (chest - ice_line) * spec->length_m);
        assert_true(figures.panels[p].white_share > 0.3 && figures.panels[p].white_share < 0.8);
    }
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_fold_gives_every_cell_of_cloth_one_place),
        cmocka_unit_test(a_panel_that_is_a_rectangle_is_plain_cloth),
        cmocka_unit_test(what_is_no_cloth_holds_nothing_and_the_books_close),
        cmocka_unit_test(dye_crosses_a_seam),
        cmocka_unit_test(a_border_at_the_hem_runs_out_below_the_chest_front_and_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
