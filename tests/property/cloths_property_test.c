/* Every cloth of the table, wrung out as it usually is, goes through a small run: books close, dye gets onto it. */
#include "small.h"

#include "data/cloths.h"

/* 12 x 10 cm with 3 % of powder on the weight of the cloth. */
static thaw_scenario *small_piece(const thaw_cloth_kind *cloth)
{
    char text[400];
    const double powder_mg = 1e6 * 0.03 * 0.12 * 0.10 * cloth->mass_kg_m2;
    thaw_scenario *scenario = NULL;
    thaw_error err = {0};
    snprintf(text, sizeof text,
             "cloth: { kind: %s, width: 12 cm, length: 10 cm }\n"
             "fold: [{ scrunch: { to: 60 %% } }]\n"
             "ice: [{ kind: cubes, mass: 120 g }]\n"
             "dye: [{ colour: purple, mass: %.3f mg }, { colour: emerald green, mass: %.3f mg, area: left half }]\n"
             "leave: 24 h\ndetail: draft\n",
             cloth->name, 0.7 * powder_mg, 0.3 * powder_mg);
    assert_done(thaw_scenario_parse(text, strlen(text), "small.yaml", 0.0, &scenario, &err), &err);
    return scenario;
}

static void the_books_of_every_cloth_close(void **state)
{
    (void)state;
    for (int i = 0; i < thaw_cloths_count(); i++) {
        const char *name = thaw_cloths_at(i)->name;
        thaw_scenario *scenario = small_piece(thaw_cloths_at(i));
        thaw_preview *preview = NULL;
        thaw_error err = {0};
        const thaw_preview_options options = {.threads = 1};
        assert_done(thaw_preview_run(scenario, &options, &preview, &err), &err);
        const thaw_preview_figures *f = thaw_preview_get_figures(preview);
        print_message("  %-22s fixed %2.0f %%, water %.0e, heat %.0e, soda %.0e, %ld steps\n", name,
                      100.0 * f->fixed_share, f->water_error, f->heat_error, f->soda_error, f->steps);
        assert_at_most(fabs(f->water_error), 1e-9);
        assert_at_most(fabs(f->heat_error), 1e-9);
        assert_at_most(fabs(f->soda_error), 1e-9);
        assert_int_equal(f->n_dyes, 4);
        for (int d = 0; d < f->n_dyes; d++) {
            assert_at_most(fabs(f->dyes[d].ledger_error), 1e-9);
            assert_true(f->dyes[d].fixed_kg > 0.0);
        }
        assert_true(f->fixed_share > 0.02 && f->fixed_share < 0.9);
        thaw_preview_destroy(preview);
        thaw_scenario_destroy(scenario);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(the_books_of_every_cloth_close)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
