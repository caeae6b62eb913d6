/* Every word that `thawprint list` tells is one that a scenario may say: each entry of each list goes through a tiny run.
 * A list or a shape that this test does not know how to write fails it. */
#include "small.h"

#include "data/garments.h"

#define PLAIN_CLOTH "cloth: { kind: cotton twill, width: 6 cm, length: 6 cm }\n"
#define PLAIN_ICE   "ice: [{ kind: crushed, mass: 10 g }]\n"
#define PLAIN_DYE   "dye: [{ colour: turquoise, mass: 50 mg }]\n"
#define SHORT       "leave: 10 min\ndetail: draft\n"

/* Through reading, writing back, folding, ten minutes under ice, and figures. */
static void run_text(const char *what, const char *text, thaw_preview_figures *figures)
{
    thaw_scenario *scenario = NULL, *again = NULL;
    thaw_error err = {0};
    thaw_outcome work;
    thaw_print print;
    char *resolved = NULL;
    if (thaw_scenario_parse(text, strlen(text), THAW_SOURCE_DIR "/scenarios/tiny.yaml", 0.0, &scenario, &err) != THAW_OK) {
        fail_msg("%s: %s", what, err.text);
    }
    assert_done(thaw_scenario_resolved(scenario, &resolved, &err), &err);
    assert_done(thaw_scenario_parse(resolved, strlen(resolved), THAW_SOURCE_DIR "/scenarios/tiny.yaml", 0.0, &again, &err), &err);
    run_small(thaw_scenario_specification(again), &work);
    *figures = (thaw_preview_figures){0};
    assert_done(thaw_outcome_conclude(&work, &print, figures, &err), &err);
    if (!(figures->water_error < 1e-9 && figures->heat_error < 1e-9 && figures->soda_error < 1e-9)) {
        fail_msg("%s: books off by %g, %g, %g", what, figures->water_error, figures->heat_error, figures->soda_error);
    }
    thaw_outcome_clear(&work);
    thaw_text_free(resolved);
    thaw_scenario_destroy(scenario);
    thaw_scenario_destroy(again);
}

static void write_cloth(const char *name, char *out, size_t size)
{
    snprintf(out, size, "cloth: { kind: %s, width: 8 cm, length: 8 cm }\n" PLAIN_ICE PLAIN_DYE SHORT, name);
}

/* A blend with it, as whole cloth of it may have no make in the table. */
static void write_fibre(const char *name, char *out, size_t size)
{
    snprintf(out, size,
             "cloth: { kind: cotton twill, width: 8 cm, length: 8 cm, fibres: { %s: 60 %%, %s: 40 %% } }\n" PLAIN_ICE PLAIN_DYE SHORT,
             strcmp(name, "cotton") == 0 ? "linen" : "cotton", name);
}

static void write_colour(const char *name, char *out, size_t size)
{
    snprintf(out, size, PLAIN_CLOTH PLAIN_ICE "dye: [{ colour: %s, mass: 50 mg }]\n" SHORT, name);
}

/* No colour of the table may have it: then a scenario says it by a dye of one's own that is like it. */
static void write_dye(const char *name, char *out, size_t size)
{
    snprintf(out, size, PLAIN_CLOTH PLAIN_ICE "own-dyes:\n  - { name: mine, like: %s }\ndye: [{ colour: mine, mass: 50 mg }]\n" SHORT, name);
}

static void write_ice(const char *name, char *out, size_t size)
{
    snprintf(out, size, PLAIN_CLOTH "ice: [{ kind: %s, mass: 60 g }]\n" PLAIN_DYE SHORT, name);
}

static void write_garment(const char *name, char *out, size_t size)
{
    int n = snprintf(out, size, "cloth: { kind: cotton twill }\ngarment: { shape: %s", name);
    for (int i = 0; i < thaw_garments_count(); i++) {
        const thaw_garment_shape *shape = thaw_garments_at(i);
        for (int s = 0; strcmp(shape->name, name) == 0 && s < THAW_GARMENT_SIZES && shape->sizes[s].key; s++) {
            n += snprintf(out + n, size - (size_t)n, ", %s: %g cm", shape->sizes[s].key, 100.0 * shape->sizes[s].lowest_m);
        }
    }
    snprintf(out + n, size - (size_t)n, " }\n" PLAIN_ICE PLAIN_DYE SHORT);
}

static void write_fold(const char *name, char *out, size_t size)
{
    char fold[80];
    snprintf(fold, sizeof fold, strcmp(name, "crumple") == 0 ? "{ crumple: { picture: anemones.png } }" : "%s", name);
    snprintf(out, size, "cloth: { kind: cotton twill, width: 20 cm, length: 20 cm }\nfold: [ %s ]\n" PLAIN_ICE PLAIN_DYE SHORT, fold);
}

static void write_area(const char *name, char *out, size_t size)
{
    snprintf(out, size, PLAIN_CLOTH "ice: [{ kind: crushed, mass: 10 g, area: %s }]\ndye: [{ colour: turquoise, mass: 50 mg, area: %s }]\n" SHORT,
             name, name);
}

static const struct {
    const char *word, *values;
} shapes[] = {
    {"box", "[10 %, 0 %, 50 %, 100 %]"}, {"disc", "[50 %, 50 %, 2 cm]"},       {"oval", "[10 %, 0 %, 50 %, 100 %]"},
    {"ring", "[50 %, 50 %, 3 cm, 1 cm]"}, {"band", "[0 cm, 0 cm, 5 cm, 8 cm, 2 cm]"}, {"wedge", "[50 %, 50 %, 0 deg, 90 deg]"},
    {"lines", "[20 deg, 3 cm, 1 cm]"},   {"rings", "[50 %, 50 %, 3 cm, 1 cm]"}, {"wedges", "[50 %, 50 %, 4, 30 deg]"},
    {"polygon", "[[0 %, 0 %], [100 %, 0 %], [50 %, 100 %]]"},
};

static void write_shape(const char *name, char *out, size_t size)
{
    char area[120] = "";
    for (size_t s = 0; s < sizeof shapes / sizeof *shapes; s++) {
        if (strcmp(shapes[s].word, name) == 0) {
            snprintf(area, sizeof area, "{ %s: %s }", name, shapes[s].values);
        }
    }
    assert_true(area[0] != '\0'); /* a shape that this test does not know */
    write_area(area, out, size);
}

static void write_set_up(const char *name, char *out, size_t size)
{
    snprintf(out, size, PLAIN_CLOTH "set-up: %s\n" PLAIN_ICE PLAIN_DYE SHORT, name);
}

static const struct {
    const char *kind;
    void (*write)(const char *name, char *out, size_t size);
} writers[] = {
    {"cloths", write_cloth}, {"fibres", write_fibre},     {"colours", write_colour}, {"dyes", write_dye},     {"ices", write_ice},
    {"folds", write_fold},   {"garments", write_garment}, {"areas", write_area},     {"shapes", write_shape}, {"set-ups", write_set_up},
    {"wishes", NULL},
};

/* Wishes are said of a piece of a pattern, not in a scenario. */
static void try_wish(const char *name)
{
    thaw_pattern *pattern = NULL;
    thaw_error err = {0};
    char word[64];
    assert_done(thaw_pattern_load(THAW_SOURCE_DIR "/scenarios/patterns/lighthouse-keeper.yaml", &pattern, &err), &err);
    snprintf(word, sizeof word, "%.*s", (int)strcspn(name, ","), name); /* "turquoise, ..." stands for every colour */
    assert_done(thaw_pattern_set_wish(pattern, "apron", word, &err), &err);
    thaw_pattern_destroy(pattern);
}

static void every_entry_of_every_list_runs(void **state)
{

    (void)state;
    const char *const *kinds = thaw_catalogue_kinds();
    for (int k = 0; kinds[k]; k++) {
        size_t w = 0;
        while (w < sizeof writers / sizeof *writers && strcmp(writers[w].kind, kinds[k]) != 0) {
            w++;
        }
        if (w == sizeof writers / sizeof *writers) {
            fail_msg("no entry of the list `%s` is tried", kinds[k]);
        }
        assert_true(thaw_catalogue_count(kinds[k]) > 0);
        for (int i = 0; i < thaw_catalogue_count(kinds[k]); i++) {
            char text[1000];
            const char *name = thaw_catalogue_name(kinds[k], i);
            thaw_preview_figures figures;
            if (!writers[w].write) {
                try_wish(name);
                continue;
            }
            writers[w].write(name, text, sizeof text);
            run_text(name, text, &figures);
            assert_true(figures.n_dyes > 0 && figures.dye_kg > 0.0);
        }
        print_message("  %-9s %d\n", kinds[k], thaw_catalogue_count(kinds[k]));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_entry_of_every_list_runs),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
