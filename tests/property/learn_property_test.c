/* Six pieces made in a kitchen whose room gives 1.3 times the heat and whose cloths lead half the water: `learn` finds both, and
 * a piece held out is foretold better with what the others tell. */
#include "check.h"

#include <stdlib.h>

#include "base/random.h"
#include "thawprint/learn.h"
#include "thawprint/preview.h"
#include "thawprint/record.h"

#define PIECES 6
#define HEAT 1.3
#define CONDUCTIVITY 0.5
#define MELT_NOISE 0.04
#define CLIMB_NOISE 0.05

static const char TRUTH[] = "kitchen:\n  heat: 1.3\n  cloths:\n    - { kind: cotton single jersey, conductivity: 0.5 }\n"
                            "    - { kind: cotton twill, conductivity: 0.5 }\n";

static char folders[PIECES][40];

static void write_text(const char *path, const char *text)
{
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    assert_true(fputs(text, file) >= 0);
    assert_int_equal(fclose(file), 0);
}

static void describe(int i, char *out, size_t size)
{
    static const double ice_kg[PIECES] = {0.35, 0.4, 0.5, 0.35, 0.45, 0.4};
    static const int rooms[PIECES] = {18, 20, 22, 24, 21, 19};
    snprintf(out, size,
             "title: Piece %d\ncloth: { kind: %s, width: 14 cm, length: 75 cm }\nfold: [ accordion: { pleats: 3, along: length } ]\n"
             "hang: { from: 27 cm, up: 6 cm }\nice: [ { kind: crushed, mass: %g kg } ]\ndye: [ { colour: navy, mass: 1 g } ]\n"
             "room: { temperature: %d degC }\nleave: 9 h\nseed: %d\ndetail: draft\n",
             i + 1, i % 2 ? "cotton twill" : "cotton single jersey", ice_kg[i], rooms[i], i + 1);
}

static double normal(uint64_t i)
{
    double u[4];
    thaw_random_uniform4(41, 900, i, u);
    return sqrt(-2.0 * log(u[0])) * cos(2.0 * acos(-1.0) * u[1]);
}

static thaw_preview *run(const char *path, const char *kitchen)
{
    thaw_scenario *scenario = NULL;
    thaw_preview *preview = NULL;
    thaw_error err = {0};
    const thaw_preview_options options = {.threads = 1, .without_ranges = true};
    if (thaw_scenario_load_kitchen(path, NULL, NULL, kitchen, NULL, 0, &scenario, &err) != THAW_OK ||
        thaw_preview_run(scenario, &options, &preview, &err) != THAW_OK) {
        print_error("%s\n", err.text);
        fail();
    }
    thaw_scenario_destroy(scenario);
    return preview;
}

/* Forecast with the tables, made in the other kitchen, recorded with an eye's noise. */
static int make_pieces(void **state)
{
    (void)state;
    write_text("learn_truth.yaml", TRUTH);
    for (int i = 0; i < PIECES; i++) {
        char text[600], melted[32], climbed[32];
        thaw_error err = {0};
        thaw_record *record = NULL;
        describe(i, text, sizeof text);
        write_text("learn_piece.yaml", text);
        snprintf(folders[i], sizeof folders[i], "learn_piece_%d", i + 1);
        thaw_preview *forecast = run("learn_piece.yaml", NULL), *truth = run("learn_piece.yaml", "learn_truth.yaml");
        assert_int_equal(thaw_preview_write(forecast, folders[i], &err), THAW_OK);
        const thaw_preview_figures *f = thaw_preview_get_figures(truth);
        assert_true(f->melted);
        snprintf(melted, sizeof melted, "%.4f h", f->melt_all_s / 3600.0 * (1.0 + MELT_NOISE * normal(2 * (uint64_t)i)));
        snprintf(climbed, sizeof climbed, "%.3f cm", 100.0 * f->climb_m[1] * (1.0 + CLIMB_NOISE * normal(2 * (uint64_t)i + 1)));
        const thaw_record_options facts = {.melted = melted, .climbed = climbed};
        assert_int_equal(thaw_record_open(folders[i], &facts, &record, &err), THAW_OK);
        assert_int_equal(thaw_record_write(record, &err), THAW_OK);
        thaw_record_destroy(record);
        thaw_preview_destroy(forecast);
        thaw_preview_destroy(truth);
    }
    remove("learn_piece.yaml");
    remove("learn_truth.yaml");
    return 0;
}

static int clear(void **state)
{
    (void)state;
    for (int i = 0; i < PIECES; i++) {
        char path[400];
        for (int k = 0; k < thaw_preview_file_count(); k++) {
            snprintf(path, sizeof path, "%s/%s", folders[i], thaw_preview_file_name(k));
            remove(path);
        }
        snprintf(path, sizeof path, "%s/record.json", folders[i]);
        remove(path);
        remove(folders[i]);
    }
    return 0;
}

static void six_records_tell_heat_and_conductivity(void **state)
{
    (void)state;
    const char *names[PIECES];
    thaw_learnt *learnt = NULL;
    thaw_error err = {0};
    const thaw_learn_options options = {.threads = 1};
    for (int i = 0; i < PIECES; i++) {
        names[i] = folders[i];
    }
    if (thaw_learn_run(names, PIECES, &options, &learnt, &err) != THAW_OK) {
        print_error("%s\n", err.text);
        fail();
    }
    const thaw_learn_figures *f = thaw_learnt_get_figures(learnt);
    printf("heat x %.3f (%.3f to %.3f); melt off by %.3f before, %.3f after, %.3f held out; climb %.3f, %.3f, %.3f\n", f->heat.value,
           f->heat.low, f->heat.high, f->melt_error[0], f->melt_error[1], f->melt_error[2], f->climb_error[0], f->climb_error[1],
           f->climb_error[2]);
    assert_int_equal(f->n_melts, PIECES);
    assert_int_equal(f->n_climbs, PIECES);
    assert_close(f->heat.value / HEAT, 1.0, 0.15);
    assert_int_equal(f->n_cloths, 2);
    for (int c = 0; c < f->n_cloths; c++) {
        printf("%s x %.3f (%.3f to %.3f)\n", f->cloths[c].name, f->cloths[c].conductivity.value, f->cloths[c].conductivity.low,
               f->cloths[c].conductivity.high);
        assert_close(f->cloths[c].conductivity.value / CONDUCTIVITY, 1.0, 0.15);
    }
    /* Held out: well below what the tables give. */
    assert_true(f->is_better);
    assert_at_most(f->melt_error[2], 0.6 * f->melt_error[0]);
    assert_at_most(f->climb_error[2], 0.6 * f->climb_error[0]);
    /* What is foretold before learning is the forecast itself. */
    for (int i = 0; i < PIECES; i++) {
        thaw_record *record = NULL;
        const thaw_record_options none = {0};
        assert_int_equal(thaw_record_open(folders[i], &none, &record, &err), THAW_OK);
        const thaw_preview_figures *forecast = thaw_record_forecast(record);
        assert_close(f->pieces[i].melt_h.before, forecast->melt_all_s / 3600.0, 0.05 * f->pieces[i].melt_h.before);
        assert_close(f->pieces[i].climb_cm.before, 100.0 * forecast->climb_m[1], 0.5);
        thaw_record_destroy(record);
    }
    assert_int_equal(thaw_learnt_write(learnt, "learn_out", &err), THAW_OK);
    thaw_learnt_destroy(learnt);
}

/* The file goes into a scenario, comes back from the resolved one, and shows. */
static void the_kitchen_written_is_one_that_a_scenario_takes(void **state)
{
    (void)state;
    char text[600], said[200], *resolved = NULL, *again = NULL;
    thaw_scenario *scenario = NULL, *second = NULL;
    thaw_error err = {0};
    describe(0, text, sizeof text);
    write_text("learn_piece.yaml", text);
    assert_int_equal(thaw_scenario_load_kitchen("learn_piece.yaml", NULL, NULL, "learn_out/kitchen.yaml", NULL, 0, &scenario, &err), THAW_OK);
    assert_true(thaw_scenario_kitchen(scenario, said, sizeof said) > 0);
    assert_non_null(strstr(said, "heat exchange x 1."));
    assert_non_null(strstr(said, "conductivity of cotton single jersey x 0."));
    assert_int_equal(thaw_scenario_resolved(scenario, &resolved, &err), THAW_OK);
    write_text("learn_piece.yaml", resolved);
    assert_int_equal(thaw_scenario_load("learn_piece.yaml", &second, &err), THAW_OK);
    assert_int_equal(thaw_scenario_resolved(second, &again, &err), THAW_OK);
    assert_string_equal(resolved, again);
    thaw_text_free(resolved);
    thaw_text_free(again);
    thaw_scenario_destroy(scenario);
    thaw_scenario_destroy(second);
    remove("learn_piece.yaml");
    remove("learn_out/kitchen.yaml");
    remove("learn_out/learn.json");
    remove("learn_out");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(six_records_tell_heat_and_conductivity),
        cmocka_unit_test(the_kitchen_written_is_one_that_a_scenario_takes),
    };
    return cmocka_run_group_tests(tests, make_pieces, clear);
}
