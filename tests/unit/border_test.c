/* The ice line for a wanted end: moving it, what would help, fronts, and the search on a narrow curtain. */
#include "curtain.h"

#include "setup/fold.h"
#include "study/climb_set.h"
#include "study/ice_line.h"
#include "study/trial.h"
#include "thawprint/border.h"

#define RUNS 6

/* Over an edge of 10 cm dye climbs some centimetres; over one of 1 cm, the free end far below, much farther. */
static const curtain HIGH = {10.0, 60.0, 15.0, 10.0, 5.0, 3.0, NULL}, LOW = {8.0, 80.0, 15.0, 1.0, -1.0, 4.0, "film"};

static void ends_and_certainties_are_read(void **state)
{
    (void)state;
    static const char *const bad_ends[] = {"", "40", "40 kg", "0 cm", "-3 cm", "11 m", "forty cm", "40 cm high", "nan cm"};
    static const char *const bad_shares[] = {"", "49 %", "96 %", "80 cm", "sure", "-80 %"};
    double x = 77.0;
    thaw_error err = {0};
    assert_done(thaw_border_read_end("16 in", &x, &err), &err);
    assert_close(x, 0.4064, 1e-12);
    assert_done(thaw_border_read_sure("90 %", &x, &err), &err);
    assert_close(x, 0.9, 1e-12);
    for (size_t i = 0; i < sizeof bad_ends / sizeof *bad_ends; i++) {
        err = (thaw_error){0};
        assert_int_equal(thaw_border_read_end(bad_ends[i], &x, &err), THAW_ERR_ARGUMENT);
        assert_non_null(strstr(err.text, bad_ends[i]));
    }
    for (size_t i = 0; i < sizeof bad_shares / sizeof *bad_shares; i++) {
        err = (thaw_error){0};
        assert_int_equal(thaw_border_read_sure(bad_shares[i], &x, &err), THAW_ERR_ARGUMENT);
    }
    assert_close(x, 0.9, 1e-12);
}

static void a_moved_line_keeps_amounts_to_the_area_and_the_way_of_the_cloth(void **state)
{
    (void)state;
    thaw_scenario *scenario = curtain_scenario(&HIGH);
    const thaw_specification *spec = &scenario->spec;
    thaw_specification moved;
    thaw_ice_line_move(spec, 0.30, false, &moved);
    assert_close(moved.hang.from_m, 0.30, 1e-12);
    assert_close(moved.ice[0].mass_kg, 2.0 * spec->ice[0].mass_kg, 1e-12);
    assert_close(moved.dye[1].mass_kg, 2.0 * spec->dye[1].mass_kg, 1e-12);
    assert_close(moved.hang.up_m, 0.10, 1e-12);
    assert_close(moved.hang.down_m, 0.05, 1e-12);
    thaw_ice_line_move(spec, 0.30, true, &moved);
    assert_close(moved.hang.down_m, 0.20, 1e-12);    /* 60 - 30 - 10 cm */
    assert_close(thaw_ice_line_free_end_m(&moved), -0.10, 1e-12);
    thaw_ice_line_move(spec, 0.52, false, &moved);   /* 8 cm left: not even up to the edge */
    assert_close(moved.hang.up_m, 0.08, 1e-12);
    assert_close(moved.hang.down_m, 0.0, 1e-12);
    thaw_ice_line_move(spec, spec->hang.from_m, false, &moved);
    assert_true(moved.ice[0].mass_kg == spec->ice[0].mass_kg && moved.hang.down_m == spec->hang.down_m);
    thaw_scenario_destroy(scenario);
}

static bool applies(thaw_remedy remedy, const thaw_specification *base, thaw_specification *changed)
{
    char what[160];
    *changed = *base;
    return thaw_remedy_apply(remedy, 0.40, changed, what, sizeof what);
}

static void remedies_change_what_they_say_and_only_where_it_applies(void **state)
{
    (void)state;
    thaw_scenario *low = curtain_scenario(&LOW), *high = curtain_scenario(&HIGH);
    thaw_specification c;
    assert_true(applies(THAW_REMEDY_LEVEL, &low->spec, &c) && thaw_ice_line_free_end_m(&c) >= 0.0);
    assert_false(applies(THAW_REMEDY_LEVEL, &high->spec, &c)); /* its end is above the rack */
    assert_true(applies(THAW_REMEDY_EDGE, &low->spec, &c));
    assert_close(c.hang.up_m, 0.20, 1e-12);
    assert_true(thaw_ice_line_free_end_m(&c) >= -1e-12 && c.hang.up_m + c.hang.down_m <= 0.65 + 1e-12);
    assert_true(applies(THAW_REMEDY_LESS_ICE, &low->spec, &c));
    assert_close(c.ice[0].mass_kg, 0.5 * low->spec.ice[0].mass_kg, 1e-12);
    assert_true(applies(THAW_REMEDY_DRIER, &low->spec, &c));
    assert_close(c.pickup_kg_kg, 0.75 * low->spec.pickup_kg_kg, 1e-12);
    assert_true(applies(THAW_REMEDY_SHORTER, &low->spec, &c));
    assert_close(c.leave_s, 2.0 * 3600.0, 1e-9);
    assert_true(applies(THAW_REMEDY_OPEN, &low->spec, &c) && !c.covered);
    assert_false(applies(THAW_REMEDY_OPEN, &high->spec, &c)); /* no film */
    assert_true(applies(THAW_REMEDY_TIE, &low->spec, &c));
    assert_close(c.hang.tie_m, 0.38, 1e-12);
    assert_true(applies(THAW_REMEDY_ALL, &low->spec, &c) && !c.covered && c.hang.tie_m > 0.0 && c.hang.up_m > 0.19);
    low->spec.pickup_kg_kg = low->spec.cloth->bound_kg_kg + 0.08;
    assert_false(applies(THAW_REMEDY_DRIER, &low->spec, &c));  /* dry enough as it is */
    thaw_scenario_destroy(low);
    thaw_scenario_destroy(high);
}

static void fronts_end_where_the_climb_does_and_fixed_dye_never_goes_back(void **state)
{
    (void)state;
    thaw_scenario *scenario = curtain_scenario(&HIGH);
    thaw_fronts fronts;
    thaw_preview_figures with, without;
    thaw_error err = {0};
    thaw_trial trial = {&scenario->spec, 2, 6, 0.01, &fronts};
    assert_done(thaw_trial_run(&trial, NULL, NULL, &with, &err), &err);
    trial.fronts = NULL;
    assert_done(thaw_trial_run(&trial, NULL, NULL, &without, &err), &err);
    assert_true(with.climb_m[1] == without.climb_m[1] && with.fixed_share == without.fixed_share); /* looking changes nothing */
    assert_int_equal(fronts.n, THAW_FRONT_TIMES);
    assert_int_equal(fronts.n_dyes, with.n_dyes);
    assert_true(with.climb_m[1] > 0.0);
    assert_true(fronts.rinsed_m[0][THAW_FRONT_TIMES - 1] == with.climb_m[1]);
    for (int c = 0; c < with.n_dyes; c++) {
        assert_true(fronts.rinsed_m[1 + c][THAW_FRONT_TIMES - 1] == with.dyes[c].climb_m[1]);
    }
    for (int t = 1; t < THAW_FRONT_TIMES; t++) {
        assert_true(fronts.t_s[t] > fronts.t_s[t - 1]);
        for (int r = 0; r <= fronts.n_dyes; r++) {
            assert_true(fronts.rinsed_m[r][t] >= fronts.rinsed_m[r][t - 1]);
            assert_true(fronts.wet_m[r][t] >= fronts.rinsed_m[r][t]);
        }
    }
    thaw_scenario_destroy(scenario);
}

static thaw_border *run_border(const thaw_scenario *scenario, double end_m, double sure, int threads)
{
    thaw_error err = {0};
    thaw_border *border = NULL;
    const thaw_border_options asked = {.end_m = end_m, .sure = sure, .chances = RUNS, .threads = threads};
    assert_done(thaw_border_run(scenario, &asked, &border, &err), &err);
    return border;
}

/* Coarse cells are 10 mm. The set is run again here, at the answer. */
static void the_line_found_puts_the_wanted_share_at_the_wanted_end(void **state)
{
    (void)state;
    thaw_scenario *scenario = curtain_scenario(&HIGH);
    thaw_border *border = run_border(scenario, 0.25, 0.8, 2);
    const thaw_border_figures *f = thaw_border_get_figures(border);
    thaw_specification moved;
    thaw_climb_set set;
    thaw_error err = {0};
    double scratch[RUNS];
    assert_true(f->is_met && f->n_remedies == 0);
    assert_true(f->line_m >= 0.05 && f->line_m < 0.25);
    assert_close(f->ends.sure_m, 0.25, 0.0051);
    assert_true(f->naive.sure_m > f->ends.sure_m && f->naive.p50_m > 0.25);
    thaw_ice_line_move(&scenario->spec, f->line_m, false, &moved);
    assert_done(thaw_climb_set_run(&moved, RUNS, NULL, NULL, &set, &err), &err);
    assert_close(thaw_climb_set_end_m(&set, 0.8, scratch), 0.25, 0.02);
    assert_close(f->amount, f->line_m / 0.15, 1e-12);
    assert_int_equal(f->n_fronts, 4); /* all, turquoise, and navy with its magenta */
    assert_string_equal(f->fronts[1].name, "navy (its magenta part)");
    assert_string_equal(f->fronts[2].name, "turquoise");
    assert_string_equal(f->fronts[3].name, "navy (its navy part)");
    assert_close(f->fronts[0].rinsed_m[1][THAW_BORDER_TIMES - 1], f->ends.p50_m, 1e-9);
    thaw_climb_set_release(&set);
    thaw_border_destroy(border);
    thaw_scenario_destroy(scenario);
}

static void the_answer_is_the_same_at_any_number_of_threads(void **state)
{
    (void)state;
    thaw_scenario *scenario = curtain_scenario(&HIGH);
    char *texts[2] = {NULL, NULL};
    thaw_error err = {0};
    for (int i = 0; i < 2; i++) {
        thaw_border *border = run_border(scenario, 0.25, 0.8, 1 + 2 * i);
        assert_done(thaw_border_json(border, &texts[i], &err), &err);
        thaw_border_destroy(border);
    }
    assert_string_equal(texts[0], texts[1]);
    thaw_text_free(texts[0]);
    thaw_text_free(texts[1]);
    thaw_scenario_destroy(scenario);
}

static void what_cannot_be_met_is_said_and_remedies_hold_when_run_again(void **state)
{
    (void)state;
    thaw_scenario *scenario = curtain_scenario(&LOW);
    thaw_border *border = run_border(scenario, 0.14, 0.9, 2);
    const thaw_border_figures *f = thaw_border_get_figures(border);
    int helps = 0;
    assert_false(f->is_met);
    assert_true(f->ends.sure_m > 0.14 && f->line_m < 0.08);
    assert_true(f->free_end_m < 0.0);
    assert_true(f->n_remedies >= 6);
    static const thaw_remedy again[] = {THAW_REMEDY_LEVEL, THAW_REMEDY_EDGE, THAW_REMEDY_OPEN};
    for (size_t a = 0; a < sizeof again / sizeof *again; a++) {
        const thaw_remedy r = again[a];
        thaw_specification base, changed;
        thaw_climb_set set;
        thaw_error err = {0};
        double scratch[RUNS];
        char what[160];
        thaw_ice_line_move(&scenario->spec, f->line_m, true, &base);
        changed = base;
        assert_true(thaw_remedy_apply(r, 0.14, &changed, what, sizeof what));
        assert_done(thaw_climb_set_run(&changed, RUNS, NULL, NULL, &set, &err), &err);
        const double after_m = thaw_climb_set_end_m(&set, 0.9, scratch);
        bool found = false;
        for (int i = 0; i < f->n_remedies; i++) {
            if (strcmp(f->remedies[i].key, thaw_remedy_key(r)) == 0) {
                found = true;
                assert_true(f->remedies[i].after_m == after_m && f->remedies[i].is_enough == (after_m <= 0.14));
                helps += after_m < f->ends.sure_m - 0.01;
                print_message("  %.0f -> %.0f cm  %s\n", 100.0 * f->remedies[i].before_m, 100.0 * after_m, f->remedies[i].what);
            }
        }
        assert_true(found);
        thaw_climb_set_release(&set);
    }
    assert_true(helps >= 2);
    thaw_border_destroy(border);
    thaw_scenario_destroy(scenario);
}

static bool stop_at_once(void *user, const char *phase, double share, double hours)
{
    (void)phase;
    (void)share;
    (void)hours;
    *(int *)user += 1;
    return false;
}

static void what_makes_no_border_is_refused(void **state)
{
    (void)state;
    thaw_scenario *scenario = curtain_scenario(&HIGH), *twill = small_scenario("tide-backdrop", 0.1);
    thaw_border *border = NULL;
    thaw_error err = {0};
    thaw_border_options asked = {.end_m = 0.25, .sure = 0.8};
    assert_int_equal(thaw_border_run(twill, &asked, &border, &err), THAW_ERR_SCENARIO);
    assert_non_null(strstr(err.text, "hang:"));
    err = (thaw_error){0};
    asked.end_m = 0.58;
    assert_int_equal(thaw_border_run(scenario, &asked, &border, &err), THAW_ERR_ARGUMENT);
    assert_non_null(strstr(err.text, "60 cm long"));
    err = (thaw_error){0};
    asked.end_m = 0.03;
    assert_int_equal(thaw_border_run(scenario, &asked, &border, &err), THAW_ERR_ARGUMENT);
    err = (thaw_error){0};
    asked = (thaw_border_options){.end_m = 0.25, .sure = 0.99};
    assert_int_equal(thaw_border_run(scenario, &asked, &border, &err), THAW_ERR_ARGUMENT);
    err = (thaw_error){0};
    int asked_times = 0;
    asked = (thaw_border_options){.end_m = 0.25, .sure = 0.8, .progress = stop_at_once, .user = &asked_times};
    assert_int_equal(thaw_border_run(scenario, &asked, &border, &err), THAW_ERR_CANCELLED);
    assert_true(asked_times > 0);
    assert_null(border);
    scenario->spec.n_dye = 0;
    err = (thaw_error){0};
    asked.progress = NULL;
    assert_int_equal(thaw_border_run(scenario, &asked, &border, &err), THAW_ERR_SCENARIO);
    thaw_scenario_destroy(scenario);
    thaw_scenario_destroy(twill);
}

static void a_tie_lies_on_its_band_and_the_resolved_file_has_it(void **state)
{
    (void)state;
    thaw_scenario *scenario = curtain_scenario(&HIGH), *again = NULL;
    thaw_bundle bundle = {0};
    thaw_error err = {0};
    char *text = NULL, *back = NULL;
    scenario->spec.hang.tie_m = 0.30;
    assert_done(thaw_fold_bundle(&scenario->spec, &bundle, &err), &err);
    for (size_t k = 0; k < bundle.n; k++) {
        const double middle_m = ((double)(k / (size_t)bundle.nx) + 0.5) * bundle.cell_m;
        const double off_m = fabs(middle_m - 0.30), inner_m = 0.01 - 0.5 * bundle.cell_m, outer_m = 0.01 + 0.5 * bundle.cell_m;
        assert_true(off_m <= inner_m - 1e-9 ? bundle.tie[k] > 0.89f : off_m >= outer_m + 1e-9 ? bundle.tie[k] == 0.0f : true);
    }
    thaw_bundle_release(&bundle);
    assert_done(thaw_scenario_resolved(scenario, &text, &err), &err);
    assert_non_null(strstr(text, "  tie: 30 cm"));
    assert_done(thaw_scenario_parse(text, strlen(text), "curtain.yaml", 0.0, &again, &err), &err);
    assert_true(again->spec.hang.tie_m == 0.30);
    assert_done(thaw_scenario_resolved(again, &back, &err), &err);
    assert_string_equal(text, back);
    thaw_text_free(text);
    thaw_text_free(back);
    thaw_scenario_destroy(again);
    thaw_scenario_destroy(scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ends_and_certainties_are_read),
        cmocka_unit_test(a_moved_line_keeps_amounts_to_the_area_and_the_way_of_the_cloth),
        cmocka_unit_test(remedies_change_what_they_say_and_only_where_it_applies),
        cmocka_unit_test(fronts_end_where_the_climb_does_and_fixed_dye_never_goes_back),
        cmocka_unit_test(the_line_found_puts_the_wanted_share_at_the_wanted_end),
        cmocka_unit_test(the_answer_is_the_same_at_any_number_of_threads),
        cmocka_unit_test(what_cannot_be_met_is_said_and_remedies_hold_when_run_again),
        cmocka_unit_test(what_makes_no_border_is_refused),
        cmocka_unit_test(a_tie_lies_on_its_band_and_the_resolved_file_has_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
