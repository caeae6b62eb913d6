/* In what the work stands, the air round it, and the ice: the books close in each, and each does what a dyer sees. */
#include "grain.h"
#include "setup_cloth.h"

#include "api/preview_result.h"

#include <stdlib.h>

#include "look/measure.h"

#define HOURS 3600.0

static void in_a_tub(thaw_specification *s) { s->vessel.stand = THAW_IN_TUB; }
static void in_a_colander(thaw_specification *s) { s->vessel.stand = THAW_IN_COLANDER; }
static void in_a_bucket(thaw_specification *s)
{
    s->vessel = (thaw_vessel){.stand = THAW_IN_BUCKET, .drain_s = 0.5 * HOURS};
}
static void under_film(thaw_specification *s) { s->covered = true; }
static void dry(thaw_specification *s) { s->starts_dry = true; }
static void dripping(thaw_specification *s)
{
    s->pickup_kg_kg = s->cloth->bound_kg_kg + 1000.0 * s->cloth->pore_m / s->cloth->mass_kg_m2;
}
static void outdoors(thaw_specification *s)
{
    s->n_hours = 3;
    s->hours[0] = (thaw_hour){0.0, 283.15};
    s->hours[1] = (thaw_hour){4.0 * HOURS, 296.15};
    s->hours[2] = (thaw_hour){9.0 * HOURS, 280.15};
    s->room_k = s->hours[0].t_k;
    s->draught_m_s = 3.0;
    s->outdoors = true;
    s->cloud = 0.2;
}
static void dye_under(thaw_specification *s)
{
    s->dye[0].under_ice = true;
    s->dye[0].lumps = 0.3;
}
static void dye_on_both_sides(thaw_specification *s)
{
    s->dye[s->n_dye++] = (thaw_dye_zone){.colour = thaw_colours_find("turquoise"), .mass_kg = 0.5e-3, .under_ice = true,
                                         .area = whole_area(), .clumping = 1.0};
}
static void liquid(thaw_specification *s) { s->dye[0].volume_m3 = 40e-6; }
static void liquid_under_in_a_tub(thaw_specification *s)
{
    liquid(s);
    s->dye[0].under_ice = true;
    in_a_tub(s);
}
static void soda_on_top(thaw_specification *s)
{
    s->n_soda = 2;
    s->soda[0] = (thaw_dye_zone){.mass_kg = 2e-3, .area = whole_area(), .clumping = 0.5};
    s->soda[1] = (thaw_dye_zone){.mass_kg = 1e-3, .area = whole_area(), .under_ice = true};
}
static void soda_on_top_in_a_tub(thaw_specification *s)
{
    soda_on_top(s);
    in_a_tub(s);
}
static void more_ice_later(thaw_specification *s)
{
    s->ice[0].mass_kg *= 0.5;
    s->ice[s->n_ice] = ice_zone("cubes", 0.2);
    s->ice[s->n_ice++].at_s = 5.0 * HOURS;
}
static void snow_on_a_block(thaw_specification *s)
{
    s->ice[s->n_ice++] = ice_zone("block", 0.3);
    s->ice[s->n_ice++] = ice_zone("snow", 0.1);
}
static void hanging_from_a_tub(thaw_specification *s)
{
    s->hang = (thaw_hang){.is_set = true, .from_m = 0.5 * s->length_m, .up_m = 0.05, .down_m = 0.5 * s->length_m - 0.05};
    in_a_tub(s);
}

static const struct way {
    const char *name;
    void (*change)(thaw_specification *spec);
} WAYS[] = {
    {"tub", in_a_tub},
    {"colander", in_a_colander},
    {"bucket", in_a_bucket},
    {"film", under_film},
    {"dry", dry},
    {"dripping", dripping},
    {"outdoors", outdoors},
    {"dye under", dye_under},
    {"dye on both sides", dye_on_both_sides},
    {"liquid", liquid},
    {"liquid under, tub", liquid_under_in_a_tub},
    {"soda on top", soda_on_top},
    {"soda on top, tub", soda_on_top_in_a_tub},
    {"more ice later", more_ice_later},
    {"snow on a block", snow_on_a_block},
    {"hanging from a tub", hanging_from_a_tub},
};

/* What went in is what the scenario asks for. */
static void check_put_in(const thaw_specification *s, const thaw_engine *e)
{
    double ice = 0.0, dye = 0.0, poured = 0.0, soda = 0.0, weighed = 0.0;
    for (int z = 0; z < s->n_ice; z++) {
        ice += s->ice[z].mass_kg;
    }
    for (int z = 0; z < s->n_dye; z++) {
        dye += s->dye[z].mass_kg;
        poured += s->dye[z].volume_m3 * THAW_WATER_DENSITY_KG_M3;
    }
    for (int z = 0; z < s->n_soda; z++) {
        soda += s->soda[z].mass_kg;
    }
    for (int c = 0; c < e->dyes->n; c++) {
        weighed += e->weighed_kg[c];
    }
    soda += s->soda_kg_m3 * s->pickup_kg_kg * s->cloth->mass_kg_m2 * s->width_m * s->length_m / THAW_WATER_DENSITY_KG_M3;
    assert_close(e->water.melt_kg + e->melt.left_kg + e->melt.later_kg, ice, 1e-9 * ice);
    assert_close(weighed, dye, 1e-9 * dye);
    assert_close(e->water.poured_kg, poured, 1e-9 * (poured + 1e-12));
    assert_close(e->soda_start_kg, soda, 1e-9 * soda);
}

static void the_books_close_in_every_set_up(void **state)
{
    (void)state;
    for (size_t w = 0; w < sizeof WAYS / sizeof *WAYS; w++) {
        thaw_scenario *scenario = setup_cloth(0.24, 0.4, 1e-3);
        thaw_outcome work;
        WAYS[w].change(&scenario->spec);
        run_small(&scenario->spec, &work);
        const thaw_engine *e = &work.engine;
        print_message("  %s: water %.0e heat %.0e soda %.0e, melted %.2f h\n", WAYS[w].name, thaw_engine_water_error(e),
                      thaw_engine_heat_error(e), thaw_engine_soda_error(e), e->melt_all_s / HOURS);
        assert_at_most(thaw_engine_water_error(e), 1e-9);
        assert_at_most(thaw_engine_heat_error(e), 1e-9);
        assert_at_most(thaw_engine_soda_error(e), 1e-9);
        for (int c = 0; c < e->dyes->n; c++) {
            assert_at_most(thaw_engine_dye_error(e, c), 1e-9);
            assert_true(thaw_engine_sum_kg(e, e->state.fixed_kg_m2[c]) > 0.0);
        }
        check_put_in(&scenario->spec, e);
        thaw_outcome_clear(&work);
        thaw_scenario_destroy(scenario);
    }
}

static void every_set_up_gives_the_same_bytes_at_any_number_of_threads(void **state)
{
    (void)state;
    thaw_preview *one = NULL, *three = NULL;
    thaw_error err = {0};
    thaw_scenario *scenario = setup_cloth(0.16, 0.1, 0.5e-3);
    thaw_specification *spec = &scenario->spec;
    spec->leave_s = 2.0 * HOURS;
    soda_on_top_in_a_tub(spec);
    dye_on_both_sides(spec);
    spec->dye[0].volume_m3 = 10e-6;
    spec->dye[1].lumps = 0.3;
    const thaw_preview_options single = {.threads = 1}, several = {.threads = 3};
    assert_done(thaw_preview_run(scenario, &single, &one, &err), &err);
    assert_done(thaw_preview_run(scenario, &several, &three, &err), &err);
    char *figures[2] = {NULL, NULL};
    assert_done(thaw_preview_json(one, &figures[0], &err), &err);
    assert_done(thaw_preview_json(three, &figures[1], &err), &err);
    assert_string_equal(figures[0], figures[1]);
    thaw_text_free(figures[0]);
    thaw_text_free(figures[1]);
    const thaw_image *a = &one->images[THAW_PICTURE_WET], *b = &three->images[THAW_PICTURE_WET];
    assert_memory_equal(a->rgb, b->rgb, 3 * (size_t)a->width * (size_t)a->height);
    thaw_preview_destroy(one);
    thaw_preview_destroy(three);
    thaw_scenario_destroy(scenario);
}

/* Share of cells with less than a tenth of the mean dye, and of cells that hold two dyes, each at least a fifth. */
static void stain(const thaw_engine *e, double *white, double *mixed)
{
    const size_t n = e->bundle->n;
    double mean = 0.0;
    int pale = 0, both = 0;
    for (size_t k = 0; k < n; k++) {
        mean += (e->state.fixed_kg_m2[0][k] + e->state.fixed_kg_m2[1][k]) / (double)n;
    }
    for (size_t k = 0; k < n; k++) {
        const double a = e->state.fixed_kg_m2[0][k], b = e->state.fixed_kg_m2[1][k];
        pale += a + b < 0.1 * mean;
        both += a + b >= 0.1 * mean && fmin(a, b) > 0.2 * (a + b);
    }
    *white = (double)pale / (double)n;
    *mixed = (double)both / (double)n;
}

static void a_tub_leaves_less_white_and_mixes_more_than_a_rack(void **state)
{
    (void)state;
    double white[2], mixed[2];
    for (int tub = 0; tub < 2; tub++) {
        thaw_scenario *scenario = setup_cloth(0.40, 0.5, 1e-3);
        thaw_specification *spec = &scenario->spec;
        thaw_outcome work;
        spec->folds[0].share = 0.3;
        spec->vessel.stand = tub ? THAW_IN_TUB : THAW_ON_RACK;
        spec->n_dye = 2;
        spec->dye[0].colour = thaw_colours_find("golden yellow");
        spec->dye[0].area.x1 = 0.3;
        spec->dye[1] = spec->dye[0];
        spec->dye[1].colour = thaw_colours_find("magenta");
        spec->dye[1].area.x0 = 0.7;
        spec->dye[1].area.x1 = 1.0;
        run_small(spec, &work);
        assert_int_equal(work.dyes.n, 2);
        stain(&work.engine, &white[tub], &mixed[tub]);
        print_message("  %s: white %.3f, mixed %.3f, water %.1f mm\n", tub ? "tub" : "rack", white[tub], mixed[tub],
                      1e3 * work.engine.pool.level_m);
        thaw_outcome_clear(&work);
        thaw_scenario_destroy(scenario);
    }
    assert_true(white[1] < 0.7 * white[0]);
    assert_true(mixed[1] > 1.5 * mixed[0]);
}

/* Standing water holds less the faster it drains; a tub keeps all that left the cloth. */
static void what_drains_faster_stands_lower(void **state)
{
    (void)state;
    static const double drains_s[] = {0.0, 2.0 * HOURS, 0.25 * HOURS};
    double stands[3];
    for (int d = 0; d < 3; d++) {
        thaw_scenario *scenario = setup_cloth(0.24, 0.4, 1e-3);
        thaw_outcome work;
        scenario->spec.leave_s = 3.0 * HOURS;
        scenario->spec.vessel = (thaw_vessel){.stand = d ? THAW_IN_BUCKET : THAW_IN_TUB, .drain_s = drains_s[d],
                                              .width_m = 0.3, .length_m = 0.3};
        run_small(&scenario->spec, &work);
        const thaw_engine *e = &work.engine;
        stands[d] = e->pool.kg;
        if (d == 0) { /* but for what ran off in the last step */
            assert_close(e->pool.kg, e->water.tub_kg, 0.1 * e->water.tub_kg);
            for (size_t k = 0; k < e->bundle->n; k++) {
                if (e->bundle->z_m[k] + e->spec->cloth->thickness_m < e->pool.level_m) {
                    assert_true(e->state.saturation[k] >= 0.9);
                }
            }
        }
        thaw_outcome_clear(&work);
        thaw_scenario_destroy(scenario);
    }
    print_message("  stands: tub %.3f kg, slow %.3f kg, fast %.3f kg\n", stands[0], stands[1], stands[2]);
    assert_true(stands[0] > stands[1] && stands[1] > stands[2]);
}

/* Water up to a level in an empty vessel, and round a cloth that takes its room. */
static void the_level_is_the_water_and_the_cloth_in_it(void **state)
{
    (void)state;
    thaw_scenario *scenario = setup_cloth(0.24, 0.4, 1e-3);
    thaw_outcome work = {.spec = &scenario->spec};
    thaw_error err = {0};
    scenario->spec.n_folds = 0;
    scenario->spec.vessel = (thaw_vessel){.stand = THAW_IN_TUB, .width_m = 0.3, .length_m = 0.4};
    assert_done(thaw_outcome_prepare(&work, &err), &err);
    const thaw_pool *p = &work.engine.pool;
    const double cloth_m3 = 0.24 * 0.24 * scenario->spec.cloth->thickness_m;
    assert_close(p->area_m2, 0.12, 1e-12);
    assert_close(thaw_pool_level_m(p, 1e-3), (1e-3 + cloth_m3) / 0.12, 1e-9);
    assert_close(thaw_pool_level_m(p, 0.0), 0.0, 1e-9);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
}

/* How far turquoise got up and over an edge 3 cm high, after the hours. */
static double front_m(bool film, double hours)
{
    thaw_scenario *scenario = setup_cloth(0.60, 0.5, 2e-3);
    thaw_specification *spec = &scenario->spec;
    thaw_outcome work;
    spec->width_m = 0.10;
    spec->n_folds = 0;
    spec->dye[0].colour = thaw_colours_find("turquoise");
    spec->hang = (thaw_hang){.is_set = true, .from_m = 0.15, .up_m = 0.06, .down_m = 0.39};
    spec->covered = film;
    spec->humidity = 0.4;
    spec->draught_m_s = 0.3;
    spec->leave_s = hours * HOURS;
    run_small(spec, &work);
    const thaw_engine *e = &work.engine;
    const size_t nx = (size_t)e->bundle->nx, first = thaw_bundle_first_hung(e->bundle);
    double front = 0.0;
    for (size_t row = first; row < e->bundle->n; row += nx) {
        double mean = 0.0;
        for (size_t i = 0; i < nx; i++) {
            mean += (e->state.mobile_kg_m2[0][row + i] + e->state.fixed_kg_m2[0][row + i]) / (double)nx;
        }
        front = mean > 1e-4 ? (double)((row - first) / nx + 1) * e->bundle->cell_m : front;
    }
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
    return front;
}

static void film_keeps_a_border_climbing_longer_than_open_air(void **state)
{
    (void)state;
    const double film[] = {front_m(true, 4.0), front_m(true, 8.0)}, open[] = {front_m(false, 4.0), front_m(false, 8.0)};
    print_message("  from 4 to 8 h: film %.3f -> %.3f m, open %.3f -> %.3f m\n", film[0], film[1], open[0], open[1]);
    assert_true(film[1] - film[0] > 0.05);
    assert_true(open[1] - open[0] < 0.01);
    assert_true(film[1] > open[1]);
}

static void warmer_hours_melt_sooner_and_the_clear_sky_holds_it_back(void **state)
{
    (void)state;
    double melted_h[4];
    for (int way = 0; way < 4; way++) {
        thaw_scenario *scenario = setup_cloth(0.24, 0.4, 1e-3);
        thaw_specification *spec = &scenario->spec;
        thaw_outcome work;
        spec->leave_s = 24.0 * HOURS;
        spec->room_k = 285.15;
        spec->outdoors = way >= 2;
        spec->cloud = way == 2 ? 1.0 : 0.0;
        if (way == 1) {
            spec->n_hours = 2;
            spec->hours[0] = (thaw_hour){0.0, 285.15};
            spec->hours[1] = (thaw_hour){1.0 * HOURS, 298.15};
        }
        run_small(spec, &work);
        melted_h[way] = work.engine.melt_all_s / HOURS;
        thaw_outcome_clear(&work);
        thaw_scenario_destroy(scenario);
    }
    print_message("  12 C %.2f h, warming to 25 C %.2f h, under cloud %.2f h, clear %.2f h\n", melted_h[0], melted_h[1],
                  melted_h[2], melted_h[3]);
    assert_true(melted_h[1] < 0.8 * melted_h[0]);
    assert_close(melted_h[2], melted_h[0], 1e-9);
    assert_true(melted_h[3] > 1.1 * melted_h[0]);
}

static void ice_laid_on_later_lies_there_from_then_on(void **state)
{
    (void)state;
    thaw_scenario *scenario = setup_cloth(0.24, 0.3, 1e-3);
    thaw_specification *spec = &scenario->spec;
    thaw_outcome work;
    spec->ice[spec->n_ice] = ice_zone("cubes", 0.2);
    spec->ice[spec->n_ice++].at_s = 6.0 * HOURS;
    run_small(spec, &work);
    const thaw_curve *c = &work.engine.curve;
    double before = 0.0, after = 0.0;
    for (int i = 0; i < c->n; i++) {
        before = c->t_s[i] <= 6.0 * HOURS ? c->ice_kg[i] : before;
        after = c->t_s[i] <= 6.1 * HOURS ? c->ice_kg[i] : after;
    }
    print_message("  ice before 6 h %.3f kg, after %.3f kg, all gone at %.2f h\n", before, after, work.engine.melt_all_s / HOURS);
    assert_close(before, 0.0, 1e-12);
    assert_true(after > 0.15);
    assert_true(work.engine.melt_all_s > 6.5 * HOURS);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
}

static void ice_by_depth_is_the_ice_of_its_layer(void **state)
{
    (void)state;
    thaw_scenario *scenario = setup_cloth(0.24, 0.0, 1e-3);
    thaw_outcome work = {.spec = &scenario->spec};
    thaw_error err = {0};
    scenario->spec.n_folds = 0;
    scenario->spec.ice[0].depth_m = 0.04;
    scenario->spec.ice[0].area.x1 = 0.5;
    assert_done(thaw_outcome_prepare(&work, &err), &err);
    const double layer_m3 = 0.04 * 0.12 * 0.24;
    assert_close(work.heap.mass_total_kg, 916.72 * 0.55 * layer_m3, 1e-6);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
}

/* A broken block on one half, crushed ice on the other. Flat cloth, so that cloth and plan are the same. */
static void two_kinds_of_ice_leave_two_grains(void **state)
{
    (void)state;
    thaw_scenario *scenario = setup_cloth(0.72, 0.0, 4e-3);
    thaw_specification *spec = &scenario->spec;
    thaw_outcome work;
    spec->n_folds = 0;
    spec->n_ice = 2;
    spec->ice[0] = ice_zone("block", 4.0);
    spec->ice[0].area = (thaw_area){.name = "box", .shape = THAW_AREA_BOX, .x0 = 0.5, .x1 = 1.0, .y1 = 1.0};
    spec->ice[1] = ice_zone("crushed", 4.0);
    spec->ice[1].area = (thaw_area){.name = "box", .shape = THAW_AREA_BOX, .x0 = 0.0, .x1 = 0.5, .y1 = 1.0};
    run_small(spec, &work);
    const int n = work.bundle.nx;
    const double fine = grain_of(&work, n / 20, n / 2 - n / 20, n / 20, n - n / 20);
    const double coarse = grain_of(&work, n / 2 + n / 20, n - n / 20, n / 20, n - n / 20);
    print_message("  grain under crushed %.1f mm, under block %.1f mm\n", 1e3 * fine, 1e3 * coarse);
    assert_true(coarse > 1.15 * fine);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_level_is_the_water_and_the_cloth_in_it),
        cmocka_unit_test(ice_by_depth_is_the_ice_of_its_layer),
        cmocka_unit_test(the_books_close_in_every_set_up),
        cmocka_unit_test(every_set_up_gives_the_same_bytes_at_any_number_of_threads),
        cmocka_unit_test(a_tub_leaves_less_white_and_mixes_more_than_a_rack),
        cmocka_unit_test(what_drains_faster_stands_lower),
        cmocka_unit_test(film_keeps_a_border_climbing_longer_than_open_air),
        cmocka_unit_test(warmer_hours_melt_sooner_and_the_clear_sky_holds_it_back),
        cmocka_unit_test(ice_laid_on_later_lies_there_from_then_on),
        cmocka_unit_test(two_kinds_of_ice_leave_two_grains),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
