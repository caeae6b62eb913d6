/* Garments: what a scenario may say of them, and their panels as cells. */
#include "folded.h"

#include <stdlib.h>

#include "data/cloths.h"
#include "data/garments.h"
#include "scenario/garment_checks.h"
#include "scenario/scenario.h"
#include "setup/fold.h"

static void find_sizes(int shape, int cut, thaw_garment *g)
{
    const thaw_garment_shape *row = thaw_garments_at(shape);
    for (int s = 0; s < THAW_GARMENT_SIZES && row->sizes[s].key; s++) {
        g->sizes_m[s] = row->sizes[s].cuts_m[cut];
    }
}

static void every_shape_in_every_size_is_drawn_well(void **state)
{
    (void)state;
    for (int shape = 0; shape < thaw_garments_count(); shape++) {
        for (int cut = 0; cut < THAW_GARMENT_CUTS; cut++) {
            for (int turned = 0; turned < 2; turned++) {
                thaw_garment g = {.bottom_first = turned == 1};
                int edges[2];
                find_sizes(shape, cut, &g);
                thaw_garments_cut_out(shape, &g);
                for (int p = 0; p < g.n_panels; p++) {
                    assert_false(thaw_garment_crossing(&g.panels[p], edges));
                    for (int o = 0; o < p; o++) {
                        if (g.panels[o].layer == g.panels[p].layer) {
                            assert_at_most(thaw_garment_overlap_m2(&g.panels[o], &g.panels[p]), 1e-4);
                        }
                    }
                }
                for (int s = 0; s < g.n_seams; s++) {
                    assert_close(thaw_seam_length_m(&g, &g.seams[s], 0), thaw_seam_length_m(&g, &g.seams[s], 1), 1e-9);
                    assert_at_most(thaw_seam_gap_m(&g, &g.seams[s]), 1e-9);
                }
            }
        }
    }
}

static void an_outline_that_crosses_or_doubles_back_is_found(void **state)
{
    (void)state;
    int edges[2] = {0, 0};
    thaw_garment_panel bow = {.n_corners = 4, .corners = {{0, 0}, {1, 1}, {1, 0}, {0, 1}}};
    thaw_garment_panel spike = {.n_corners = 4, .corners = {{0, 0}, {1, 0}, {0.5, 0}, {0, 1}}};
    thaw_garment_panel twice = {.n_corners = 4, .corners = {{0, 0}, {1, 0}, {1, 0}, {0, 1}}};
    thaw_garment_panel touch = {.n_corners = 5, .corners = {{0, 0}, {2, 0}, {2, 2}, {1, 0}, {0, 2}}};
    thaw_garment_panel good = {.n_corners = 5, .corners = {{0, 0}, {2, 0}, {2, 2}, {1, 1}, {0, 2}}};
    assert_true(thaw_garment_crossing(&bow, edges));
    assert_int_equal(edges[0], 1);
    assert_int_equal(edges[1], 3);
    assert_true(thaw_garment_crossing(&spike, edges));
    assert_true(thaw_garment_crossing(&twice, edges));
    assert_true(thaw_garment_crossing(&touch, edges));
    assert_false(thaw_garment_crossing(&good, edges));
    assert_close(thaw_garment_panel_area_m2(&good), 3.0, 1e-12);
}

static thaw_specification dressed(int shape, int cut, double cell_m)
{
    thaw_specification spec = {.cloth = thaw_cloths_find("cotton single jersey"), .cell_m = cell_m, .seed = 7};
    find_sizes(shape, cut, &spec.garment);
    thaw_garments_cut_out(shape, &spec.garment);
    spec.width_m = spec.garment.width_m;
    spec.length_m = spec.garment.length_m;
    return spec;
}

static void cells_of_cloth_cover_the_area_of_the_panels(void **state)
{
    (void)state;
    for (int shape = 0; shape < thaw_garments_count(); shape++) {
        thaw_specification spec = dressed(shape, 0, 0.004);
        thaw_bundle b = folded(&spec);
        double count[THAW_MAX_PANELS] = {0.0};
        for (size_t k = 0; k < b.n; k++) {
            if (b.panel[k]) {
                count[b.panel[k] - 1] += b.cell_m * b.cell_m;
            }
        }
        for (int p = 0; p < spec.garment.n_panels; p++) {
            /* No edge is off by more than half a cell. */
            const thaw_garment_panel *own = &spec.garment.panels[p];
            double round_m = 0.0;
            for (int i = 0; i < own->n_corners; i++) {
                const double *a = own->corners[i], *c = own->corners[(i + 1) % own->n_corners];
                round_m += hypot(c[0] - a[0], c[1] - a[1]);
            }
            assert_close(count[p], thaw_garment_panel_area_m2(own), 0.5 * b.cell_m * round_m);
        }
        thaw_bundle_release(&b);
    }
}

static void each_side_of_a_seam_is_sewn_to_the_other(void **state)
{
    (void)state;
    thaw_specification spec = dressed(0, 0, 0.004);
    thaw_bundle b = folded(&spec);
    size_t pairs = 0, linked = 0;
    double length_m = 0.0;
    for (size_t k = 0; k < b.n; k++) {
        const int32_t q = b.seam[k];
        if (q < 0) {
            continue;
        }
        assert_int_equal(b.seam[q], k);
        assert_true(b.panel[k] && b.panel[q] && b.panel[k] != b.panel[q]);
        /* They lie on each other, or in neighbouring squares where the edge slants. */
        assert_at_most(hypot(b.x_m[k] - b.x_m[q], b.y_m[k] - b.y_m[q]), 1.5 * b.cell_m);
        pairs += b.panel[k] == 1;
        linked += thaw_bundle_is_sewn(&b, k);
    }
    assert_int_equal(pairs, linked);
    for (int s = 0; s < spec.garment.n_seams; s++) {
        length_m += thaw_seam_length_m(&spec.garment, &spec.garment.seams[s], 0);
    }
    /* A slanting edge passes fewer cells than its length has: at 45 degrees 0.71. */
    assert_true((double)pairs * b.cell_m > 0.85 * length_m && (double)pairs * b.cell_m < 1.15 * length_m);
    thaw_bundle_release(&b);
}

static void front_and_back_are_cut_apart_in_the_grid(void **state)
{
    (void)state;
    thaw_specification spec = dressed(3, 0, 0.004); /* tote: handles are sewn on within a layer */
    thaw_bundle b = folded(&spec);
    int sewn_on = 0;
    for (size_t k = 0; k < b.n; k++) {
        if (thaw_bundle_joins_right(&b, k)) {
            assert_true(b.panel[k] && b.panel[k] == b.panel[k + 1]);
        }
        if (thaw_bundle_joins_down(&b, k)) {
            const uint8_t here = b.panel[k], lower = b.panel[k + (size_t)b.nx];
            assert_true(here && lower);
            sewn_on += here != lower;
        }
    }
    /* Two handles of two ends of 3 cm each, which hold the middles of 7 or 8 cells. */
    assert_in_range(sewn_on, 4 * 7, 4 * 8);
    thaw_bundle_release(&b);
}

static thaw_status parse(const char *text, thaw_scenario **out, thaw_error *err)
{
    return thaw_scenario_parse(text, strlen(text), "s.yaml", 0.0, out, err);
}

#define REST "\nice: none\ndye: none\n"

static void resolved_garments_come_back_to_the_last_bit(void **state)
{
    (void)state;
    static const char *const texts[] = {
        "cloth: { kind: cotton twill }\ngarment: { shape: camisole, size: large, strap: 9 cm, first: bottom }" REST,
        "cloth: { kind: cotton twill }\ngarment:\n  panels:\n    - { name: back, outline: [[-7 cm, 3 in], [1 ft, 3 in], [33.3 cm, "
        "40 cm]] }\n    - { name: front, outline: [[-7 cm, 3 in], [1 ft, 3 in], [33.3 cm, 40 cm]] }\n  seams: [[back 2-1, front "
        "2-1]]" REST};
    for (size_t t = 0; t < sizeof texts / sizeof *texts; t++) {
        thaw_scenario *first = NULL, *second = NULL;
        thaw_error err = {0};
        char *once = NULL, *twice = NULL;
        if (parse(texts[t], &first, &err) != THAW_OK) {
            fail_msg("%s", err.text);
        }
        assert_int_equal(thaw_scenario_resolved(first, &once, &err), THAW_OK);
        assert_int_equal(parse(once, &second, &err), THAW_OK);
        assert_int_equal(thaw_scenario_resolved(second, &twice, &err), THAW_OK);
        assert_string_equal(once, twice);
        assert_memory_equal(&thaw_scenario_specification(first)->garment.panels,
                            &thaw_scenario_specification(second)->garment.panels,
                            sizeof thaw_scenario_specification(first)->garment.panels);
        thaw_text_free(once);
        thaw_text_free(twice);
        thaw_scenario_destroy(first);
        thaw_scenario_destroy(second);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_shape_in_every_size_is_drawn_well),
        cmocka_unit_test(an_outline_that_crosses_or_doubles_back_is_found),
        cmocka_unit_test(cells_of_cloth_cover_the_area_of_the_panels),
        cmocka_unit_test(each_side_of_a_seam_is_sewn_to_the_other),
        cmocka_unit_test(front_and_back_are_cut_apart_in_the_grid),
        cmocka_unit_test(resolved_garments_come_back_to_the_last_bit),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
