/* Cloths, dyes, mixtures and blends of one's own: what is computed from them, what is written back, what is refused. */
#include "check.h"

#include "base/alloc.h"
#include "data/cloths.h"
#include "data/dyes.h"
#include "scenario/own.h"
#include "thawprint/thawprint.h"

static const char OWN[] = "own-cloths:\n"
                          "  - { name: sail canvas, like: cotton twill, mass: 340 g/m2, thickness: 0.72 mm }\n"
                          "  - name: net\n"
                          "    fibre: silk\n"
                          "    mass: 20.3 g/m2\n"
                          "    thickness: 0.11 mm\n"
                          "    conductivity: 0.21 mm/s\n"
                          "    entry-head: 0.83 in\n"
                          "    pick-up: 131.3 %\n"
                          "own-dyes:\n"
                          "  - { name: foam, like: turquoise }\n"
                          "  - name: squid ink\n"
                          "    generic: 'a \"mix\" \\ # of ink'\n"
                          "    like: navy black\n"
                          "    grain: 81.7 um\n"
                          "    fixation: 17.3 %/h\n"
                          "    bands: [[600, 60.1, 1.07], [450, 77.7, 0.33]]\n"
                          "own-colours:\n"
                          "  - { name: storm, parts: { navy: 3, squid ink: 1.7 parts } }\n"
                          "  - { name: calm, parts: { foam: 1, blue: 1 } }\n";
static const char PIECE[] = "cloth: { kind: %s, width: 12 cm, length: 10 cm%s }\n"
                            "ice: [{ kind: cubes, mass: 100 g }]\n"
                            "dye: [%s]\nleave: 3 h\ndetail: draft\n";

static thaw_status try_parse(const char *text, thaw_scenario **out, thaw_error *err)
{
    return thaw_scenario_parse(text, strlen(text), "own.yaml", 0.0, out, err);
}

/* Own things, then a piece of `kind` with `more` in its cloth section and these powders. */
static thaw_scenario *piece(const char *own, const char *kind, const char *more, const char *powders)
{
    char text[4096];
    thaw_scenario *scenario = NULL;
    thaw_error err = {0};
    int n = snprintf(text, sizeof text, "%s", own);
    snprintf(text + n, sizeof text - (size_t)n, PIECE, kind, more, powders);
    if (try_parse(text, &scenario, &err) != THAW_OK) {
        fail_msg("%s", err.text);
    }
    return scenario;
}

static void a_cloth_like_another_keeps_conductivity_over_porosity(void **state)
{
    (void)state;
    thaw_scenario *s = piece(OWN, "Sail Canvas", "", "{ colour: blue, mass: 50 mg }");
    const thaw_cloth_kind *own = s->spec.cloth, *like = thaw_cloths_find("cotton twill");
    assert_string_equal(own->name, "sail canvas");
    assert_close(own->pore_m, 0.72e-3 - 0.340 / 1520.0, 1e-12);
    assert_close(own->conductivity_m_s * own->thickness_m / own->pore_m,
                 like->conductivity_m_s * like->thickness_m / like->pore_m, 1e-12);
    assert_close(own->entry_head_m, like->entry_head_m, 0.0);
    assert_close(s->spec.pickup_kg_kg, like->pickup_kg_kg, 0.0);
    thaw_scenario_destroy(s);
}

static void a_cloth_of_a_fibre_takes_from_the_fibre_what_is_not_said(void **state)
{
    (void)state;
    thaw_scenario *s = piece(OWN, "net", "", "{ colour: blue, mass: 5 mg }");
    const thaw_cloth_kind *net = s->spec.cloth;
    assert_close(net->bound_kg_kg, 0.30, 0.0);
    assert_close(net->reaction_ratio, 0.8, 0.0);
    assert_close(net->protein_share, 1.0, 0.0);
    assert_close(net->capacity_kg_kg, 0.040, 0.0);
    assert_close(net->pore_m, 0.11e-3 - 0.0203 / 1340.0, 1e-12);
    assert_close(net->entry_head_m, 0.83 * 0.0254, 1e-12);
    assert_close(net->conductivity_spread, 3.0, 0.0);
    assert_close(net->lambda, 0.7, 0.0);
    thaw_scenario_destroy(s);
}

static double share_of(const thaw_colour *colour, int component)
{
    double share = 0.0;
    for (int p = 0; p < colour->n_parts; p++) {
        share += colour->parts[p].component == component ? colour->parts[p].share : 0.0;
    }
    return share;
}

static void a_mixture_holds_the_dyes_of_its_parts(void **state)
{
    (void)state;
    thaw_scenario *s = piece(OWN, "cotton lawn", "",
                             "{ colour: { Blue: 2 parts, violet: 1 part }, mass: 5 mg }, { colour: storm, mass: 5 mg },"
                             "{ colour: { navy: 1, magenta: 1 }, mass: 5 mg }");
    const thaw_colour *mix = s->spec.dye[0].colour, *storm = s->spec.dye[1].colour, *red = s->spec.dye[2].colour;
    assert_int_equal(mix->n_parts, 2);
    assert_close(share_of(mix, thaw_colours_find("blue")->parts[0].component), 2.0 / 3.0, 1e-15);
    assert_close(share_of(mix, thaw_colours_find("violet")->parts[0].component), 1.0 / 3.0, 1e-15);
    assert_string_equal(mix->name, "2 blue + 1 violet");
    assert_int_equal(storm->n_parts, 3);
    assert_close(share_of(storm, THAW_FIRST_OWN_DYE + 1), 1.7 / 4.7, 1e-15);
    int magenta = thaw_colours_find("magenta")->parts[0].component;
    assert_close(share_of(storm, magenta), 0.12 * 3.0 / 4.7, 1e-15);
    assert_int_equal(red->n_parts, 2); /* the red in navy and magenta are one dye */
    assert_close(share_of(red, magenta), 0.5 + 0.5 * 0.12, 1e-15);
    thaw_scenario_destroy(s);
}

static void a_blend_dyes_by_its_share_that_takes_dye(void **state)
{
    (void)state;
    const thaw_cloth_kind *pure = thaw_cloths_find("cotton jersey");
    thaw_scenario *s = piece("", "cotton jersey", ", fibres: { cotton: 60 %, polyester: 40 % }",
                             "{ colour: blue, mass: 5 mg }");
    const thaw_cloth_kind *blend = s->spec.cloth;
    assert_close(blend->idle_share, 0.4, 1e-12);
    assert_close(blend->capacity_kg_kg, pure->capacity_kg_kg, 1e-15);
    assert_close(blend->bound_kg_kg, 0.6 * 0.30 + 0.4 * 0.01, 1e-12);
    assert_close(blend->pore_m, pure->pore_m - pure->mass_kg_m2 * 0.4 * (1.0 / 1380.0 - 1.0 / 1520.0), 1e-12);
    assert_string_equal(blend->name, "cotton single jersey of cotton 60 %, polyester 40 %");
    thaw_scenario_destroy(s);
    s = piece("", "cotton jersey", ", fibres: { rayon: 95 %, elastane: 5 % }", "{ colour: blue, mass: 5 mg }");
    blend = s->spec.cloth;
    assert_close(blend->idle_share, 0.05, 1e-12);
    assert_close(blend->capacity_kg_kg, 0.070, 1e-12);
    assert_close(blend->colour_yield, 1.4, 1e-12);
    thaw_scenario_destroy(s);
    s = piece("", "silk habotai", ", fibres: { silk: 30 %, cotton: 50 %, nylon: 20 % }", "{ colour: blue, mass: 5 mg }");
    assert_close(s->spec.cloth->protein_share, 0.3 / 0.8, 1e-12); /* of the fibre that takes dye */
    thaw_scenario_destroy(s);
}

static char *resolved(const thaw_scenario *scenario)
{
    char *text = NULL;
    thaw_error err = {0};
    assert_int_equal(thaw_scenario_resolved(scenario, &text, &err), THAW_OK);
    return text;
}

static void assert_same_cloth(const thaw_cloth_kind *a, const thaw_cloth_kind *b)
{
    assert_string_equal(a->name, b->name);
    assert_string_equal(a->fibre, b->fibre);
    assert_true(a->idle_share == b->idle_share);
    for (int f = 0; f < THAW_CLOTH_FIGURES; f++) {
        const thaw_figure_row *row = thaw_cloth_row((thaw_cloth_figure)f);
        assert_true(thaw_figure_value(row, a) == thaw_figure_value(row, b));
    }
}

static void assert_same_dye(const thaw_component *a, const thaw_component *b)
{
    assert_string_equal(a->name, b->name);
    assert_string_equal(a->generic, b->generic);
    assert_int_equal(a->n_bands, b->n_bands);
    assert_memory_equal(a->bands, b->bands, (size_t)a->n_bands * sizeof a->bands[0]);
    for (int f = 0; f < THAW_DYE_FIGURES; f++) {
        const thaw_figure_row *row = thaw_dye_row((thaw_dye_figure)f);
        assert_true(thaw_figure_value(row, a) == thaw_figure_value(row, b));
    }
}

static void what_is_used_is_written_back_to_the_last_bit(void **state)
{
    (void)state;
    static const char *const kinds[] = {"sail canvas", "net"};
    for (int i = 0; i < 2; i++) {
        thaw_scenario *first = piece(OWN, kinds[i], i ? "" : ", fibres: { cotton: 63.7 %, polyester: 36.3 % }",
                                     "{ colour: storm, mass: 5 mg }, { colour: { lemon yellow: 1.3, squid ink: 0.7 },"
                                     " mass: 3 mg }, { colour: squid ink, mass: 1 mg }");
        thaw_scenario *again = NULL;
        thaw_error err = {0};
        char *text = resolved(first);
        assert_null(strstr(text, "foam")); /* not used */
        assert_null(strstr(text, "calm"));
        if (try_parse(text, &again, &err) != THAW_OK) {
            fail_msg("%s", err.text);
        }
        assert_same_cloth(first->spec.cloth, again->spec.cloth);
        assert_same_dye(&first->shelf->dyes[1].component, again->spec.own_dyes[0]);
        for (int z = 0; z < 3; z++) {
            const thaw_colour *a = first->spec.dye[z].colour, *b = again->spec.dye[z].colour;
            assert_string_equal(a->name, b->name);
            assert_int_equal(a->n_parts, b->n_parts);
            for (int p = 0; p < a->n_parts; p++) {
                assert_true(a->parts[p].share == b->parts[p].share);
                assert_string_equal(thaw_shelf_component(first->shelf, a->parts[p].component)->name,
                                    thaw_shelf_component(again->shelf, b->parts[p].component)->name);
            }
        }
        char digest[2][17], *second = NULL;
        thaw_scenario_digest(first, digest[0]);
        thaw_scenario_digest(again, digest[1]);
        assert_string_equal(digest[0], digest[1]);
        if (i == 1) { /* the title is the file's name, which is the same here */
            second = resolved(again);
            assert_string_equal(text, second);
        }
        thaw_text_free(text);
        thaw_text_free(second);
        thaw_scenario_destroy(first);
        thaw_scenario_destroy(again);
    }
}

static void the_nearer_entry_of_a_name_holds(void **state)
{
    (void)state;
    const char *file = "own-cloths: [{ name: net, like: silk habotai, mass: 30 g/m2 }]\n"
                       "own-dyes: [{ name: squid ink, like: navy }]\n";
    char text[4096];
    thaw_shelf *shelf = NULL;
    thaw_scenario *scenario = NULL;
    thaw_error err = {0};
    int n = snprintf(text, sizeof text, "%s", OWN);
    snprintf(text + n, sizeof text - (size_t)n, PIECE, "net", "", "{ colour: squid ink, mass: 5 mg }");
    assert_int_equal(thaw_shelf_create(&shelf, &err), THAW_OK);
    assert_int_equal(thaw_own_parse(file, strlen(file), "dyes.yaml", shelf, &err), THAW_OK);
    assert_int_equal(thaw_scenario_parse_with(text, strlen(text), "own.yaml", 0.0, shelf, NULL, 0, &scenario, &err), THAW_OK);
    assert_close(scenario->spec.cloth->mass_kg_m2, 0.0203, 1e-12);
    assert_close(scenario->spec.own_dyes[0]->grain_m, 81.7e-6, 1e-12);
    assert_int_equal(scenario->shelf->n_cloths, 2);
    thaw_scenario_destroy(scenario);
}

/* Each faulty text and fragments of the report, which must all be there. */
static void faults_have_their_place_and_remedy(void **state)
{
    (void)state;
    static const struct fault_case {
        const char *own, *kind, *more, *powders, *fragments[4];
    } cases[] = {
        {"own-cloths:\n  - { name: denim, like: cotton twill }\n", "linen", "", "{ colour: blue, mass: 5 mg }",
         {"own.yaml:2:13: own-cloths.name: `denim` cannot be used as a name", "taken by a table"}},
        {"own-cloths:\n  - { name: sail, like: coton twill, mass: 340 }\n", "sail", "", "{ colour: blue, mass: 5 mg }",
         {"own.yaml:2:25: own-cloths.like: `coton twill`", "did you mean `cotton twill`?",
          "own.yaml:2:44: own-cloths.mass: `340` has no unit", "allowed: 10 g/m2 to 2000 g/m2"}},
        {"own-cloths:\n  - { name: sail, fibre: acrylic }\n", "linen", "", "{ colour: blue, mass: 5 mg }",
         {"own.yaml:2:26: own-cloths.fibre: acrylic has no groups", "`own-cloths.thickness` is missing"}},
        {"own-cloths:\n  - { name: sail, like: linen, mass: 800 g/m2 }\n", "linen", "", "{ colour: blue, mass: 5 mg }",
         {"own.yaml:2:13: sail: pores of"}},
        {"own-cloths:\n  - { name: sail, like: linen, lambda: 0.7 m }\n", "linen", "", "{ colour: blue, mass: 5 mg }",
         {"own.yaml:2:40: own-cloths.lambda: `0.7 m` is not a plain number", "allowed: 0.3 to 5"}},
        {"own-cloths:\n  - { name: sail, like: linen, lambda: 5, entry-head: 24.9 mm }\n", "linen", "",
         "{ colour: blue, mass: 5 mg }", {"own.yaml:2:13: sail: an entry-head of 24.9 mm does not go with lambda 5",
                                          "allowed with lambda 5: entry-head from 25 mm"}},
        {"own-cloths:\n  - { name: sail, like: linen, entry-head: 4.9 mm, conductivity: 10.1 mm/s }\n", "linen", "",
         "{ colour: blue, mass: 5 mg }", {"allowed: 5 mm to 1 m", "allowed: 0.0001 mm/s to 10 mm/s"}},
        {"own-cloths:\n  - { name: sail, like: linen }\n  - { name: Sail, like: linen }\n", "linen", "",
         "{ colour: blue, mass: 5 mg }", {"own.yaml:3:13: `Sail` is given twice"}},
        {"own-dyes:\n  - { name: ink: 3, like: navy }\n", "linen", "", "{ colour: blue, mass: 5 mg }", {"own.yaml:2:"}},
        {"own-dyes:\n  - { name: ink, like: nvy, solubility: 60 m }\n", "linen", "", "{ colour: blue, mass: 5 mg }",
         {"own.yaml:2:24: own-dyes.like: `nvy` is not known", "did you mean `navy`",
          "own.yaml:2:41: own-dyes.solubility: `m` is the wrong kind of unit"}},
        {"own-dyes:\n  - { name: ink, bands: [[553, 16]] }\n", "linen", "", "{ colour: blue, mass: 5 mg }",
         {"own.yaml:2:26: own-dyes.bands: three numbers", "`own-dyes.fixation` is missing"}},
        {"own-dyes: [{ name: turquoise, like: navy }]\n", "linen", "", "{ colour: blue, mass: 5 mg }",
         {"own.yaml:1:20: own-dyes.name: `turquoise` cannot be used"}},
        {"own-colours:\n  - { name: fog, parts: { blue: 1, nvy: 2 } }\n", "linen", "", "{ colour: fog, mass: 5 mg }",
         {"own.yaml:2:36: own-colours.parts: `nvy` is not known",
          "did you mean `navy`?"}},
        {"own-colours:\n  - { name: fog, parts: { blue: 1 } }\n  - { name: mist, parts: { fog: 1 } }\n", "linen", "",
         "{ colour: fog, mass: 5 mg }", {"own.yaml:3:28: own-colours.parts: `fog` is a mixture of your own"}},
        {"", "linen", "", "{ colour: { blue: 2, violet: 0 }, mass: 5 mg }",
         {"own.yaml:3:36: dye.colour: `0` is not a number of parts"}},
        {"", "linen", "", "{ colour: { blue: 2, Blue: 1 }, mass: 5 mg }", {"dye.colour: `blue` is given twice"}},
        {"", "linen", "", "{ colour: { black: 1, olive green: 1, chocolate brown: 1, purple: 1, emerald green: 1 }, mass: 5 mg }",
         {"own.yaml:3:17: dye.colour: more than 8 different dyes"}},
        {"", "polyester satin", "", "{ colour: blue, mass: 5 mg }",
         {"own.yaml:1:16: cloth.kind: `polyester satin`: polyester has no groups", "fibres: { cotton: 60 %, polyester: 40 % }"}},
        {"", "nylon", "", "{ colour: blue, mass: 5 mg }", {"nylon takes reactive dye only hot and in acid"}},
        {"", "acrylic knit", "", "{ colour: blue, mass: 5 mg }", {"`acrylic knit`: acrylic has no groups"}},
        {"", "\"cotton 60 %, polyester 40 %\"", "", "{ colour: blue, mass: 5 mg }",
         {"own.yaml:1:16: cloth.kind: `cotton 60 %, polyester 40 %` names fibres", "fibres: {"}},
        {"", "linen", ", fibres: { cotton: 60 %, polyester: 30 % }", "{ colour: blue, mass: 5 mg }",
         {"cloth.fibres: these make 90 %"}},
        {"", "linen", ", fibres: { polyester: 95 %, cotton: 5 % }", "{ colour: blue, mass: 5 mg }",
         {"only 5 % of this cloth takes dye", "polyester has no groups"}},
        {"", "linen", ", fibres: { coton: 100 % }", "{ colour: blue, mass: 5 mg }",
         {"own.yaml:1:62: cloth.fibres: `coton` is not known", "did you mean `cotton`?"}},
        {"", "linen", ", fibres: cotton", "{ colour: blue, mass: 5 mg }", {"lines of `fibre: share` are wanted here"}},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[4096];
        thaw_scenario *scenario = NULL;
        thaw_error err = {0};
        int n = snprintf(text, sizeof text, "%s", cases[i].own);
        snprintf(text + n, sizeof text - (size_t)n, PIECE, cases[i].kind, cases[i].more, cases[i].powders);
        assert_int_equal(try_parse(text, &scenario, &err), THAW_ERR_SCENARIO);
        assert_null(scenario);
        for (int f = 0; f < 4 && cases[i].fragments[f]; f++) {
            if (!strstr(err.text, cases[i].fragments[f])) {
                fail_msg("no `%s` in\n%s", cases[i].fragments[f], err.text);
            }
        }
    }
}

static void more_dyes_than_are_followed_are_refused(void **state)
{
    (void)state;
    char text[6000], powders[3000] = "";
    thaw_scenario *scenario = NULL;
    thaw_error err = {0};
    size_t n = (size_t)snprintf(text, sizeof text, "own-dyes:\n"), m = 0;
    for (int i = 0; i < 17; i++) {
        n += (size_t)snprintf(text + n, sizeof text - n, "  - { name: ink %d, like: navy }\n", i);
    }
    for (int i = 0; i < 15; i++) {
        m += (size_t)snprintf(powders + m, sizeof powders - m, "{ colour: ink %d, mass: 5 mg }, ", i);
    }
    snprintf(powders + m, sizeof powders - m, "{ colour: { ink 15: 1, ink 16: 1 }, mass: 5 mg }");
    snprintf(text + n, sizeof text - n, PIECE, "linen", "", powders);
    assert_int_equal(try_parse(text, &scenario, &err), THAW_ERR_SCENARIO);
    assert_non_null(strstr(err.text, "dye: 17 different dyes; at most 16 are followed"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_cloth_like_another_keeps_conductivity_over_porosity),
        cmocka_unit_test(a_cloth_of_a_fibre_takes_from_the_fibre_what_is_not_said),
        cmocka_unit_test(a_mixture_holds_the_dyes_of_its_parts),
        cmocka_unit_test(a_blend_dyes_by_its_share_that_takes_dye),
        cmocka_unit_test(what_is_used_is_written_back_to_the_last_bit),
        cmocka_unit_test(the_nearer_entry_of_a_name_holds),
        cmocka_unit_test(faults_have_their_place_and_remedy),
        cmocka_unit_test(more_dyes_than_are_followed_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
