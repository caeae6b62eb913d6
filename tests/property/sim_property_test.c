/* What must hold for every run: books that close, chance that repeats, bare cloth that stays bare. */
#include "small.h"

#include "api/preview_result.h"


/* The books start from what the scenario asks for, and no ice goes missing between heap and melt. */
static void check_what_went_in(const thaw_specification *spec, const thaw_engine *e)
{
    double ice = 0.0, dye = 0.0, weighed = 0.0;
    for (int z = 0; z < spec->n_ice; z++) {
        ice += spec->ice[z].mass_kg;
    }
    for (int z = 0; z < spec->n_dye; z++) {
        dye += spec->dye[z].mass_kg;
    }
    for (int c = 0; c < e->dyes->n; c++) {
        weighed += e->weighed_kg[c];
    }
    assert_close(e->water.melt_kg + e->melt.left_kg, ice, 1e-9 * ice);
    assert_close(weighed, dye, 1e-9 * dye);
}

static void run_and_check_books(const char *name)
{
    thaw_scenario *scenario = small_scenario(name, 0.2);
    thaw_outcome work;
    run_small(thaw_scenario_specification(scenario), &work);
    const thaw_engine *e = &work.engine;
    print_message("%s: water %.1e heat %.1e soda %.1e\n", name, thaw_engine_water_error(e), thaw_engine_heat_error(e),
                  thaw_engine_soda_error(e));
    assert_at_most(thaw_engine_water_error(e), 1e-9);
    assert_at_most(thaw_engine_heat_error(e), 1e-9);
    assert_at_most(thaw_engine_soda_error(e), 1e-9);
    check_what_went_in(thaw_scenario_specification(scenario), e);
    assert_true(e->dyes->n > 0);
    for (int c = 0; c < e->dyes->n; c++) {
        assert_true(e->weighed_kg[c] > 0.0);
        assert_at_most(thaw_engine_dye_error(e, c), 1e-9);
        assert_true(thaw_engine_sum_kg(e, e->state.fixed_kg_m2[c]) > 0.0);
    }
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
}

static void the_books_close_for_the_tide_backdrop(void **state)
{
    (void)state;
    run_and_check_books("tide-backdrop");
}

static void the_books_close_for_the_herons_cape(void **state)
{
    (void)state;
    run_and_check_books("herons-cape");
}

static void the_books_close_for_the_moon_scarf(void **state)
{
    (void)state;
    run_and_check_books("moon-scarf");
}

static void cloth_without_dye_stays_bare(void **state)
{
    (void)state;
    for (int with_ice = 0; with_ice < 2; with_ice++) {
        thaw_scenario *scenario = small_scenario("tide-backdrop", 0.15);
        scenario->spec.n_dye = 0;
        scenario->spec.n_ice = with_ice ? scenario->spec.n_ice : 0;
        thaw_preview *preview = NULL;
        thaw_error err = {0};
        assert_done(thaw_preview_run(scenario, NULL, &preview, &err), &err);
        const thaw_image *dry = &preview->images[THAW_PICTURE_DRY];
        for (int p = 1; p < dry->width * dry->height; p++) {
            assert_memory_equal(dry->rgb + 3 * p, dry->rgb, 3);
        }
        assert_close(thaw_preview_get_figures(preview)->white_share, 1.0, 0.0);
        thaw_preview_destroy(preview);
        thaw_scenario_destroy(scenario);
    }
}

static void picture_of(uint64_t seed, int threads, thaw_preview **out)
{
    thaw_scenario *scenario = small_scenario("tide-backdrop", 0.1);
    scenario->spec.leave_s = 2.0 * 3600.0;
    thaw_scenario_set_seed(scenario, seed);
    thaw_preview_options options = {.threads = threads};
    thaw_error err = {0};
    assert_done(thaw_preview_run(scenario, &options, out, &err), &err);
    thaw_scenario_destroy(scenario);
}

static int same_picture(const thaw_preview *a, const thaw_preview *b, int which)
{
    const thaw_image *x = &a->images[which], *y = &b->images[which];
    return x->width == y->width && x->height == y->height &&
           memcmp(x->rgb, y->rgb, 3 * (size_t)x->width * (size_t)x->height) == 0;
}

static void the_same_seed_gives_the_same_bytes_at_any_number_of_threads(void **state)
{
    (void)state;
    thaw_preview *one = NULL, *two = NULL, *three = NULL, *other = NULL;
    picture_of(5, 1, &one);
    picture_of(5, 2, &two);
    picture_of(5, 3, &three);
    picture_of(6, 1, &other);
    for (int p = 0; p < THAW_PICTURES; p++) {
        assert_true(same_picture(one, two, p));
        assert_true(same_picture(one, three, p));
    }
    assert_string_equal(one->curve, two->curve);
    char *figures[2] = {NULL, NULL};
    thaw_error err = {0};
    assert_done(thaw_preview_json(one, &figures[0], &err), &err);
    assert_done(thaw_preview_json(two, &figures[1], &err), &err);
    assert_string_equal(figures[0], figures[1]);
    thaw_text_free(figures[0]);
    thaw_text_free(figures[1]);
    assert_false(same_picture(one, other, THAW_PICTURE_DRY));
    thaw_preview_destroy(one);
    thaw_preview_destroy(two);
    thaw_preview_destroy(three);
    thaw_preview_destroy(other);
}

/* A scenario in the text of a file, run. The caller clears *work and destroys the scenario. */
static thaw_scenario *run_text(const char *text, const char *name, thaw_outcome *work)
{
    thaw_error err = {0};
    thaw_scenario *scenario = NULL;
    assert_done(thaw_scenario_parse(text, strlen(text), name, 0.0, &scenario, &err), &err);
    run_small(&scenario->spec, work);
    return scenario;
}

/* A roll laid in a triangle: cells that are neighbours in the cloth lie on top and at the bottom of a bundle of many
 * layers. Water that fell the whole way from one to the next made cells swing and steps of 0.4 s, 9000 an hour. */
static void a_thick_bundle_folded_over_takes_no_shorter_steps(void **state)
{
    (void)state;
    static const char text[] = "cloth: { kind: cotton lawn, width: 8 cm, length: 11.6 cm }\n"
                               "fold: [ roll: { along: width, pole: 2.3 cm }, scrunch: { to: 54 % }, triangle: { along: length } ]\n"
                               "ice: [ { kind: snow, mass: 60 g } ]\ndye: [ { colour: orange, mass: 300 mg } ]\n"
                               "leave: 1 h\nseed: 833\ndetail: draft\n";
    thaw_outcome work;
    thaw_scenario *scenario = run_text(text, "roll.yaml", &work);
    print_message("  %ld steps for an hour\n", work.engine.n_inner);
    assert_at_most((double)work.engine.n_inner, 1000.0);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
}

/* Dew settles on the cold, dry cloth and would go again within the step: from cells that hold nothing. */
static void dry_cloth_in_a_warm_and_humid_room_gives_no_water_that_it_has_not(void **state)
{
    (void)state;
    static const char text[] = "cloth: { kind: viscose challis, width: 9.8 cm, length: 10.5 cm }\nprepare: { start: dry }\n"
                               "fold: [ tie: { along: length, number: 1, band: 7 mm, tightness: 60 % }, scrunch: { to: 58 % },\n"
                               "        accordion: { pleats: 2, along: length } ]\n"
                               "ice:\n  - { kind: block, mass: 123 g, area: { polygon: [[0 %, 0 %], [60 %, 10 %], [50 %, 83 %]] } }\n"
                               "  - { kind: block, mass: 58.6 g }\ndye: [ { colour: turquoise, mass: 300 mg } ]\n"
                               "room: { temperature: 42 degC, humidity: 61 %, draught: 1.1 m/s }\nleave: 20 min\nseed: 175\ndetail: draft\n";
    thaw_outcome work;
    thaw_scenario *scenario = run_text(text, "dry.yaml", &work);
    assert_at_most(thaw_engine_water_error(&work.engine), 1e-12);
    assert_at_most(thaw_engine_heat_error(&work.engine), 1e-12);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
}

/* Liquid dye on cloth under film, both as warm as the room, before any ice: the book of heat closes to what is there, though
 * next to nothing is exchanged. */
static void heat_is_booked_where_hardly_any_is_exchanged(void **state)
{
    (void)state;
    static const char text[] = "own-cloths: [ { name: sailcloth, like: cotton twill, thickness: 0.336 mm, mass: 126.7 g/m2, bound-water: 5.9 %, pick-up: 50.4 % } ]\n"
                               "cloth: { kind: sailcloth, width: 10.0 cm, length: 5.7 cm }\nfold: [ fan: { pleats: 2, from: bottom right } ]\n"
                               "ice: [ { kind: block, mass: 18.9 g, area: { box: [16 %, 48 %, 76 %, 60 %] }, at: 4.4 h } ]\n"
                               "dye:\n  - { colour: navy, strength: 33.9 g/L, volume: 1.1 mL, clumps: 90 % }\n"
                               "  - { colour: violet, strength: 24.9 g/L, volume: 5.9 mL, area: middle third, clumps: 16 %, place: under ice }\n"
                               "room: { temperature: 21.0 degC, humidity: 70 %, wind: 1.5 m/s, cover: film }\nleave: 2.81 h\nseed: 119\ndetail: draft\n";
    thaw_outcome work;
    thaw_scenario *scenario = run_text(text, "still.yaml", &work);
    const thaw_heat_ledger *h = &work.engine.heat;
    const double in = h->air + h->condensation + h->radiation + h->below + h->poured;
    print_message("  of %.3g J %.3g J are exchanged\n", h->cloth_start + h->poured, fabs(h->air) + fabs(h->radiation) + fabs(h->below));
    assert_at_most(fabs(in - h->cloth + h->cloth_start - h->runoff), 1e-9 * (h->cloth_start + h->poured));
    assert_at_most(thaw_engine_heat_error(&work.engine), 1e-9);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
}

#define HANDFULS 20                /* more on one spot at once than stands is refused */

/* Snow put by the handful on a narrow ring of a thin roll, in a hot wind: 30 g melt in ten seconds, and all of it runs through a
 * few cells that a band presses to a third of their pores. It must run off them, not stand there 2 cm deep. */
static void a_flood_through_a_few_cells_runs_off(void **state)
{
    (void)state;
    static const char head[] = "cloth: { kind: cotton twill, width: 9.7 cm, length: 9.9 cm }\n"
                               "fold: [ roll: { along: length, pole: 0.5 cm }, tie: { along: length, number: 2, band: 8 mm, tightness: 98 % },\n"
                               "        tie: { along: width, number: 1, band: 8 mm, tightness: 68 % } ]\n"
                               "dye: [ { colour: golden yellow, mass: 300 mg } ]\n"
                               "room: { temperature: 36.7 degC, humidity: 64 %, draught: 3.7 m/s }\nleave: 20 min\nseed: 860\ndetail: draft\nice:\n";
    char text[sizeof head + HANDFULS * 96];
    size_t n = (size_t)snprintf(text, sizeof text, "%s", head);
    for (int i = 0; i < HANDFULS; i++) {
        n += (size_t)snprintf(text + n, sizeof text - n, "  - { kind: snow, mass: %.3f g, area: { rings: [50 %%, 50 %%, 2.9 cm, 0.6 cm] } }\n",
                              46.7 / HANDFULS);
    }
    thaw_outcome work;
    thaw_scenario *scenario = run_text(text, "flood.yaml", &work);
    assert_at_most(thaw_engine_water_error(&work.engine), 1e-12);
    assert_at_most(thaw_engine_dye_error(&work.engine, 0), 1e-9);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
}

/* How often a cell passes on its water in a quarter of an hour, in the mean, after a day under film. */
static double turnover(const thaw_engine *e)
{
    double passed = 0.0, held = 0.0;
    for (size_t k = 0; k < e->bundle->n; k++) {
        passed += fabs(e->wick.fx[k]) + fabs(e->wick.fy[k]) + fabs(e->wick.fl[k]);
        held += e->volume_m[k] * e->state.saturation[k];
    }
    return passed / held * 900.0 / e->wick.before_s;
}

static void water_in_a_scrunched_bundle_comes_to_rest(void **state)
{
    (void)state;
    thaw_scenario *scenario = small_scenario("tide-backdrop", 0.3);
    thaw_outcome work;
    scenario->spec.covered = true;
    run_small(thaw_scenario_specification(scenario), &work);
    const double turns = turnover(&work.engine);
    print_message("  water passed on %.3f times in 15 min\n", turns);
    assert_at_most(work.engine.melt.left_kg, 0.0);
    assert_at_most(turns, 0.1);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
}

/* Water that ran over brims in the steps looked at, from layer to layer. */
typedef struct brims {
    double down_m, back_m;
    int n_steps;
} brims;

/* What ran over the brim of cell k in the last step, as both stages of wick.c have it. */
static double over_brim_m(const thaw_engine *e, size_t k)
{
    const thaw_wick *w = &e->wick;
    const double *at[] = {e->next, w->trial}, *y[] = {w->y1, w->y2}; /* next: what was before the step */
    const double dt_s = w->before_s, gamma = 1.0 + sqrt(0.5), v = e->volume_m[k];
    double sum = 0.0;
    for (int stage = 0; stage < 2; stage++) {
        const double over = at[stage][k] - e->web.full[k];
        const double rate = e->web.spill_per_s * (v * thaw_web_excess(over) + thaw_web_deep_m(v * over));
        sum += 0.5 * dt_s * (rate + gamma * dt_s * w->spill[k] * y[stage][k]);
    }
    return sum;
}

/* Only a step in both stages has been taken where water is not calm. */
static thaw_status look_at_brims(void *user, const thaw_engine *e, thaw_error *err)
{
    brims *b = user;
    (void)err;
    if (e->is_calm || !(e->wick.before_s > 0.0)) {
        return THAW_OK;
    }
    b->n_steps++;
    for (size_t k = 0; k < e->bundle->n; k++) {
        const double m = e->bundle->below[k] >= 0 ? over_brim_m(e, k) : 0.0;
        b->down_m += fmax(0.0, m);
        b->back_m -= fmin(0.0, m);
    }
    return THAW_OK;
}

/* The flow over a brim is linear within a stage, so it may turn round. From the tub that is kept out (wick.c); between
 * layers it must be as small as is let pass there. */
static void hardly_any_water_rises_over_a_brim(void **state)
{
    (void)state;
    static const char *const folds[] = {"accordion: { pleats: 5 }", "scrunch: { to: 30 % }"};
    for (int f = 0; f < 2; f++) {
        char text[400];
        thaw_error err = {0};
        thaw_scenario *scenario = NULL;
        brims b = {0};
        const int n = snprintf(text, sizeof text, "cloth: { kind: cotton twill, width: 24 cm, length: 24 cm }\nfold: [ %s ]\n"
                                                  "ice: [ { kind: crushed, mass: 700 g } ]\ndye: none\nleave: 5 h\ndetail: draft\n", folds[f]);
        assert_done(thaw_scenario_parse(text, (size_t)n, "brim.yaml", 0.0, &scenario, &err), &err);
        thaw_outcome work = {.spec = &scenario->spec};
        assert_done(thaw_outcome_prepare(&work, &err), &err);
        work.engine.watch = look_at_brims;
        work.engine.watch_user = &b;
        assert_done(thaw_engine_run(&work.engine, NULL, NULL, &err), &err);
        print_message("  %s: %d steps, %.2g of what went down came back\n", folds[f], b.n_steps, b.back_m / b.down_m);
        assert_true(b.n_steps >= 10 && b.down_m > 0.0);
        assert_at_most(b.back_m, 0.02 * b.down_m);
        thaw_outcome_clear(&work);
        thaw_scenario_destroy(scenario);
    }
}

/* Fixed dye (kg, all of them) and when the last ice went, with macro steps so many times finer than usual. */
static void run_in_steps(const char *name, double finer, double *fixed_kg, double *gone_s)
{
    thaw_scenario *scenario = small_scenario(name, 0.2);
    thaw_outcome work = {.spec = thaw_scenario_specification(scenario)};
    thaw_error err = {0};
    assert_done(thaw_outcome_prepare(&work, &err), &err);
    thaw_engine *e = &work.engine;
    e->tolerance.macro_share /= finer;
    e->tolerance.macro_melt_s /= finer;
    e->tolerance.macro_batch_s /= finer;
    assert_done(thaw_engine_run(e, NULL, NULL, &err), &err);
    *fixed_kg = 0.0;
    for (int c = 0; c < e->dyes->n; c++) {
        *fixed_kg += thaw_engine_sum_kg(e, e->state.fixed_kg_m2[c]);
    }
    *gone_s = e->melt_all_s;
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
}

static void finer_steps_give_nearly_the_same(void **state)
{
    (void)state;
    static const char *names[] = {"tide-backdrop", "herons-cape", "moon-scarf"};
    for (int i = 0; i < 3; i++) {
        double fixed_kg[2], gone_s[2];
        run_in_steps(names[i], 1.0, &fixed_kg[0], &gone_s[0]);
        run_in_steps(names[i], 8.0, &fixed_kg[1], &gone_s[1]);
        print_message("%s: fixed %.4f and %.4f g, ice gone %.1f and %.1f min\n", names[i], 1e3 * fixed_kg[0], 1e3 * fixed_kg[1],
                      gone_s[0] / 60.0, gone_s[1] / 60.0);
        assert_close(fixed_kg[0], fixed_kg[1], 0.05 * fixed_kg[1]);
        assert_close(gone_s[0], gone_s[1], 0.015 * gone_s[1]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(water_in_a_scrunched_bundle_comes_to_rest),
        cmocka_unit_test(the_books_close_for_the_tide_backdrop),
        cmocka_unit_test(the_books_close_for_the_herons_cape),
        cmocka_unit_test(the_books_close_for_the_moon_scarf),
        cmocka_unit_test(heat_is_booked_where_hardly_any_is_exchanged),
        cmocka_unit_test(cloth_without_dye_stays_bare),
        cmocka_unit_test(dry_cloth_in_a_warm_and_humid_room_gives_no_water_that_it_has_not),
        cmocka_unit_test(a_flood_through_a_few_cells_runs_off),
        cmocka_unit_test(hardly_any_water_rises_over_a_brim),
        cmocka_unit_test(finer_steps_give_nearly_the_same),
        cmocka_unit_test(a_thick_bundle_folded_over_takes_no_shorter_steps),
        cmocka_unit_test(the_same_seed_gives_the_same_bytes_at_any_number_of_threads),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
