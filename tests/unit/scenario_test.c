#define _POSIX_C_SOURCE 200809L

/* Scenario files: defaults, resolved text, digest, faults, files. */
#include <stdlib.h>

#include "base/alloc.h"
#include "base/file.h"
#include "check.h"
#include "scenario/estimate.h"
#include "scenario/scenario.h"
#include "thawprint/catalogue.h"

static const char SMALL[] = "cloth: { kind: cotton twill, width: 30 cm, length: 20 cm }\n"
                            "ice: [{ kind: cubes, mass: 500 g }]\n"
                            "dye: [{ colour: turquoise, mass: 1 g }]\n";

/* Everything that can be said, in numbers that have no short binary form. */
static const char RICH[] =
    "title: 'Sea \"fog\" \\ and tide'\n"
    "cloth: { kind: cotton jersey, width: 18.3 in, length: 0.77 yd }\n"
    "prepare: { soda-ash: 2.3 oz/gal, pick-up: 133.3 % }\n"
    "fold:\n"
    "  - accordion: { pleats: 7, along: width, waviness: 0.13 in }\n"
    "  - scrunch: { to: 37.7 % }\n"
    "hang: { from: 9.7 in, up: 0.31 ft, down: 0.2 yd }\n"
    "ice:\n"
    "  - { kind: cubes, mass: 1.1 lb, size: 1.13 in, temperature: 17 degF, area: ring }\n"
    "  - { kind: snow, mass: 7 oz, area: { disc: [33.3 %, 41 %, 17.7 %] } }\n"
    "dye:\n"
    "  - { colour: navy, mass: 0.07 oz, area: { box: [1.1 %, 2.3 %, 70.7 %, 98.9 %] } }\n"
    "  - { colour: lemon yellow, mass: 700 mg, clumps: 77.7 %, area: centre third }\n"
    "room: { temperature: 71.3 degF, humidity: 43.21 %, draught: 0.7 mph, cover: film }\n"
    "leave: 17.7 h\n"
    "seed: 18446744073709551615\n"
    "detail: draft\n";

/* The other ways of putting on, standing and weather. */
static const char SET_UPS[] =
    "cloth: { kind: cotton jersey, width: 18.3 in, length: 0.77 yd }\n"
    "prepare: { soda-ash: 0 g/L, start: dry }\n"
    "ice:\n"
    "  - { kind: cubes, depth: 1.7 in, size: 1.13 in, area: { ring: [33.3 %, 41 %, 7.1 in, 1.9 in] } }\n"
    "  - { kind: block, mass: 3.3 lb, at: 2.7 h, area: { lines: [31.7 deg, 3.3 in, 0.7 in] } }\n"
    "dye:\n"
    "  - { colour: navy, on-weight: 1.7 %, place: under ice, area: { wedge: [50 %, 50 %, 17 deg, 71.3 deg] } }\n"
    "  - { colour: navy, strength: 17.3 g/L, volume: 3.3 floz, area: { band: [1 in, 2 in, 7.7 in, 3 in, 0.9 in] } }\n"
    "  - { colour: navy, mass: 1 g, area: { polygon: [[3.3 %, 0 %], [97.1 %, 7 %], [50 %, 99 %]] } }\n"
    "  - { colour: navy, mass: 1 g, place: under ice, lumps: 33.1 %, area: { wedges: [50 %, 50 %, 7, 17 deg] } }\n"
    "  - { colour: navy, mass: 1 g, area: { rings: [50 %, 50 %, 2.7 in, 0.7 in] } }\n"
    "soda-ash: [{ mass: 0.3 oz, area: { disc: [7.7 in, 7.7 in, 3.1 in] }, clumps: 33.3 % }, { on-weight: 7.7 % }]\n"
    "set-up: { stand: bucket, width: 31 in, length: 32 in, drain: 0.7 h }\n"
    "room: { temperature: [{ 0 h: 51.3 degF }, { 7.7 h: 71.3 degF }], wind: 7 mph, sky: open, cloud: 33.3 % }\n";

static thaw_scenario *parse(const char *text)
{
    thaw_scenario *scenario = NULL;
    thaw_error err = {0};
    if (thaw_scenario_parse(text, strlen(text), "dir/Test cloth.yaml", 0.0, &scenario, &err) !=
        THAW_OK) {
        fail_msg("%s", err.text);
    }
    return scenario;
}

static void what_is_not_said_has_a_default(void **state)
{
    (void)state;
    thaw_scenario *scenario = parse(SMALL);
    const thaw_specification *spec = thaw_scenario_specification(scenario);
    assert_string_equal(spec->name, "Test-cloth");
    assert_string_equal(thaw_scenario_title(scenario), "Test-cloth");
    assert_string_equal(spec->cloth->name, "cotton twill");
    assert_close(spec->width_m, 0.3, 1e-12);
    assert_close(spec->pickup_kg_kg, spec->cloth->pickup_kg_kg, 0.0);
    assert_close(spec->soda_kg_m3, 40.0, 0.0);
    assert_int_equal(spec->n_folds, 0);
    assert_close(spec->ice[0].diameter_m, 0.0335, 0.0);
    assert_close(spec->ice[0].start_k, 265.15, 1e-9);
    assert_string_equal(spec->ice[0].area.name, "all");
    assert_close(spec->dye[0].clumping, 0.5, 0.0);
    assert_close(spec->room_k, 293.15, 1e-9);
    assert_close(spec->leave_s, 86400.0, 0.0);
    assert_close(spec->cell_m, 0.002, 0.0);
    thaw_scenario_destroy(scenario);
}

static void the_edge_of_a_cube_gives_the_sphere_of_equal_volume(void **state)
{
    (void)state;
    thaw_scenario *scenario = parse("cloth: { kind: silk habotai, width: 1 m, length: 1 m }\n"
                                    "ice: [{ kind: cubes, mass: 1 kg, size: 27 mm }]\ndye: none\n");
    double d_m = thaw_scenario_specification(scenario)->ice[0].diameter_m;
    assert_close(d_m * d_m * d_m * 3.14159265358979 / 6.0, 0.027 * 0.027 * 0.027, 1e-9);
    thaw_scenario_destroy(scenario);
}

static void assert_same_area(const thaw_area *a, const thaw_area *b)
{
    assert_string_equal(a->name, b->name);
    assert_int_equal(a->in_metres, b->in_metres);
    assert_int_equal(a->wide_in_metres, b->wide_in_metres);
    assert_true(a->width == b->width && a->spacing == b->spacing && a->from_deg == b->from_deg && a->to_deg == b->to_deg);
    assert_int_equal(a->n_corners, b->n_corners);
    assert_memory_equal(a->corners, b->corners, sizeof a->corners);
    assert_int_equal(a->shape, b->shape);
    assert_true(a->x0 == b->x0 && a->y0 == b->y0 && a->x1 == b->x1 && a->y1 == b->y1);
    assert_true(a->inner == b->inner);
}

static void assert_same_zones(const thaw_specification *a, const thaw_specification *b)
{
    assert_int_equal(a->n_ice, b->n_ice);
    for (int i = 0; i < a->n_ice; i++) {
        assert_ptr_equal(a->ice[i].kind, b->ice[i].kind);
        assert_true(a->ice[i].mass_kg == b->ice[i].mass_kg);
        assert_true(a->ice[i].diameter_m == b->ice[i].diameter_m);
        assert_true(a->ice[i].start_k == b->ice[i].start_k);
        assert_true(a->ice[i].depth_m == b->ice[i].depth_m && a->ice[i].at_s == b->ice[i].at_s);
        assert_same_area(&a->ice[i].area, &b->ice[i].area);
    }
    assert_int_equal(a->n_dye, b->n_dye);
    for (int i = 0; i < a->n_dye; i++) {
        assert_ptr_equal(a->dye[i].colour, b->dye[i].colour);
        assert_true(a->dye[i].mass_kg == b->dye[i].mass_kg);
        assert_true(a->dye[i].clumping == b->dye[i].clumping);
        assert_true(a->dye[i].volume_m3 == b->dye[i].volume_m3 && a->dye[i].lumps == b->dye[i].lumps);
        assert_int_equal(a->dye[i].under_ice, b->dye[i].under_ice);
        assert_same_area(&a->dye[i].area, &b->dye[i].area);
    }
    assert_int_equal(a->n_soda, b->n_soda);
    for (int i = 0; i < a->n_soda; i++) {
        assert_true(a->soda[i].mass_kg == b->soda[i].mass_kg && a->soda[i].clumping == b->soda[i].clumping);
        assert_same_area(&a->soda[i].area, &b->soda[i].area);
    }
}

static void assert_same(const thaw_specification *a, const thaw_specification *b)
{
    assert_string_equal(a->title, b->title);
    assert_ptr_equal(a->cloth, b->cloth);
    assert_true(a->width_m == b->width_m && a->length_m == b->length_m);
    assert_true(a->pickup_kg_kg == b->pickup_kg_kg && a->soda_kg_m3 == b->soda_kg_m3);
    assert_int_equal(a->n_folds, b->n_folds);
    for (int i = 0; i < a->n_folds; i++) {
        assert_int_equal(a->folds[i].kind, b->folds[i].kind);
        assert_int_equal(a->folds[i].pleats, b->folds[i].pleats);
        assert_int_equal(a->folds[i].along, b->folds[i].along);
        assert_true(a->folds[i].waviness_m == b->folds[i].waviness_m);
        assert_true(a->folds[i].share == b->folds[i].share);
    }
    assert_same_zones(a, b);
    assert_true(a->room_k == b->room_k && a->humidity == b->humidity);
    assert_true(a->draught_m_s == b->draught_m_s && a->leave_s == b->leave_s);
    assert_int_equal(a->covered, b->covered);
    assert_int_equal(a->starts_dry, b->starts_dry);
    assert_int_equal(a->vessel.stand, b->vessel.stand);
    assert_true(a->vessel.width_m == b->vessel.width_m && a->vessel.length_m == b->vessel.length_m);
    assert_true(a->vessel.drain_s == b->vessel.drain_s && a->cloud == b->cloud);
    assert_int_equal(a->outdoors, b->outdoors);
    assert_int_equal(a->n_hours, b->n_hours);
    assert_memory_equal(a->hours, b->hours, sizeof a->hours);
    assert_true(a->seed == b->seed);
    assert_int_equal(a->detail, b->detail);
    assert_true(a->cell_m == b->cell_m);
}

static void check_reload(thaw_scenario *first)
{
    char *text = NULL, *again = NULL, digest[17], digest_again[17];
    assert_int_equal(thaw_scenario_resolved(first, &text, NULL), THAW_OK);
    thaw_scenario *second = parse(text);
    assert_int_equal(thaw_scenario_resolved(second, &again, NULL), THAW_OK);
    assert_string_equal(text, again);
    assert_same(&first->spec, &second->spec);
    thaw_scenario_digest(first, digest);
    thaw_scenario_digest(second, digest_again);
    assert_string_equal(digest, digest_again);
    thaw_text_free(text);
    thaw_text_free(again);
    thaw_scenario_destroy(second);
    thaw_scenario_destroy(first);
}

static void the_resolved_text_reloads_to_the_same_specification(void **state)
{
    (void)state;
    check_reload(parse(SMALL));
    check_reload(parse(RICH));
    check_reload(parse(SET_UPS));
}

static void shipped_scenarios_load_and_reload(void **state)
{
    (void)state;
    static const char *const files[] = {"tide-backdrop", "herons-cape", "moon-scarf", "gull-cloth"};
    for (int i = 0; i < 4; i++) {
        char path[600];
        thaw_scenario *scenario = NULL;
        thaw_error err = {0};
        snprintf(path, sizeof path, "%s/scenarios/%s.yaml", THAW_SOURCE_DIR, files[i]);
        if (thaw_scenario_load(path, &scenario, &err) != THAW_OK) {
            fail_msg("%s", err.text);
        }
        assert_string_equal(thaw_scenario_name(scenario), files[i]);
        check_reload(scenario);
    }
}

static void the_demo_is_the_shipped_file(void **state)
{
    (void)state;
    thaw_scenario *demo = NULL, *file = NULL;
    char a[17], b[17];
    assert_int_equal(thaw_scenario_demo(&demo, NULL), THAW_OK);
    assert_int_equal(
        thaw_scenario_load(THAW_SOURCE_DIR "/scenarios/tide-backdrop.yaml", &file, NULL), THAW_OK);
    thaw_scenario_digest(demo, a);
    thaw_scenario_digest(file, b);
    assert_string_equal(a, b);
    thaw_scenario_destroy(demo);
    thaw_scenario_destroy(file);
}

static void the_digest_knows_the_seed_but_not_the_title(void **state)
{
    (void)state;
    char titled_text[400], a[17], b[17], c[17], d[17];
    snprintf(titled_text, sizeof titled_text, "title: Other\n%s", SMALL);
    thaw_scenario *plain = parse(SMALL), *titled = parse(titled_text);
    thaw_scenario_digest(plain, a);
    thaw_scenario_digest(titled, b);
    thaw_scenario_set_seed(titled, 99);
    thaw_scenario_digest(titled, c);
    assert_int_equal(thaw_scenario_set_detail(plain, "draft", NULL), THAW_OK);
    thaw_scenario_digest(plain, d);
    assert_string_equal(a, b);
    assert_string_not_equal(a, c);
    assert_string_not_equal(a, d);
    thaw_scenario_destroy(plain);
    thaw_scenario_destroy(titled);
}

static void an_unknown_detail_changes_nothing(void **state)
{
    (void)state;
    thaw_scenario *scenario = parse(SMALL);
    thaw_error err = {0};
    assert_int_equal(thaw_scenario_set_detail(scenario, "fein", &err), THAW_ERR_ARGUMENT);
    assert_non_null(strstr(err.text, "did you mean `fine`?"));
    assert_int_equal(scenario->spec.detail, THAW_DETAIL_NORMAL);
    thaw_scenario_destroy(scenario);
}

static void faults_come_in_line_order_and_leave_the_output_alone(void **state)
{
    (void)state;
    static const char text[] = "seed: 1.5\n"
                               "cloth: { kind: wood, width: 1 m, length: 0 m }\n"
                               "colour: red\n"
                               "ice: none\n"
                               "dye: [{ colour: red, mass: 1e6 kg }]\n";
    static const char *const wanted[] = {"f.yaml:1:7: seed",          "f.yaml:2:16: cloth.kind",
                                         "f.yaml:2:42: cloth.length", "f.yaml:3:1: key",
                                         "f.yaml:5:17: dye.colour",   "f.yaml:5:28: dye.mass"};
    thaw_scenario *untouched = (thaw_scenario *)&state;
    thaw_scenario *out = untouched;
    thaw_error err = {0};
    assert_int_equal(thaw_scenario_parse(text, strlen(text), "f.yaml", 0.0, &out, &err),
                     THAW_ERR_SCENARIO);
    assert_ptr_equal(out, untouched);
    const char *at = err.text;
    for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
        at = strstr(at, wanted[i]);
        if (!at) {
            fail_msg("`%s` is missing or out of order in\n%s", wanted[i], err.text);
        }
    }
}

static void a_run_larger_than_memory_is_refused(void **state)
{
    (void)state;
    thaw_scenario *out = NULL;
    thaw_error err = {0};
    /* 150 x 100 cells of 520 bytes: 7.8 MB. */
    assert_int_equal(thaw_scenario_parse(SMALL, strlen(SMALL), "s.yaml", 7.7e6, &out, &err),
                     THAW_ERR_SCENARIO);
    assert_non_null(strstr(err.text, "s.yaml:1:37: too many cells: 150 x 100 cells need about"));
    assert_int_equal(thaw_scenario_parse(SMALL, strlen(SMALL), "s.yaml", 7.9e6, &out, NULL),
                     THAW_OK);
    thaw_scenario_destroy(out);
}

/* Cut, doubled and scrambled files must give a fault or a scenario, never harm. */
static void damaged_files_do_no_harm(void **state)
{
    (void)state;
    char text[sizeof RICH + 1];
    int refused = 0;
    for (unsigned i = 0; i < 1200; i++) {
        thaw_scenario *out = NULL;
        thaw_error err = {0};
        unsigned at = (i * 7919u) % (unsigned)(sizeof RICH - 1);
        memcpy(text, RICH, sizeof RICH);
        if (i % 3 == 0) {
            text[at] = '\0';
        } else {
            text[at] = "[]{}:#-\t\n\"'&*!|>%@,\x80"[i % 20];
        }
        thaw_status status = thaw_scenario_parse(text, strlen(text), "d.yaml", 0.0, &out, &err);
        if (status == THAW_OK) {
            thaw_scenario_destroy(out);
        } else {
            assert_int_equal(status, THAW_ERR_SCENARIO);
            assert_memory_equal(err.text, "d.yaml:", 7);
            refused++;
        }
    }
    assert_true(refused > 400 && refused < 1200);
}

static void a_failing_allocation_is_reported(void **state)
{
    (void)state;
    for (long n = 1;; n++) {
        thaw_scenario *out = NULL;
        thaw_error err = {0};
        thaw_allocate_fail_at(n);
        thaw_status status = thaw_scenario_parse(SMALL, strlen(SMALL), "s.yaml", 0.0, &out, &err);
        thaw_allocate_fail_at(0);
        if (status == THAW_OK) {
            thaw_scenario_destroy(out);
            assert_true(n > 1);
            return;
        }
        assert_int_equal(status, THAW_ERR_MEMORY);
        assert_null(out);
        assert_true(n < 100);
    }
}

static void the_table_names_every_value(void **state)
{
    (void)state;
    thaw_scenario *scenario = parse(RICH);
    char *text = NULL;
    assert_int_equal(thaw_scenario_describe(scenario, &text, NULL), THAW_OK);
    static const char *const wanted[] = {"cloth.kind", "pick-up",  "accordion", "waviness",
                                         "scrunch",    "ice.kind", "clumps",    "room.cover",
                                         "seed",       "grid",     "memory",    "time"};
    for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
        assert_non_null(strstr(text, wanted[i]));
    }
    thaw_text_free(text);
    thaw_scenario_destroy(scenario);
}

static void the_catalogue_knows_its_bounds(void **state)
{
    (void)state;
    for (const char *const *kind = thaw_catalogue_kinds(); *kind; kind++) {
        int n = thaw_catalogue_count(*kind);
        assert_true(n > 0);
        assert_non_null(thaw_catalogue_name(*kind, n - 1));
        assert_non_null(thaw_catalogue_remark(*kind, 0));
        assert_null(thaw_catalogue_name(*kind, n));
        assert_null(thaw_catalogue_name(*kind, -1));
    }
    assert_int_equal(thaw_catalogue_count("puppets"), -1);
    assert_null(thaw_catalogue_name("puppets", 0));
}

static void files_appear_together_or_not_at_all(void **state)
{
    (void)state;
    char root[] = "/tmp/thawprint-test-XXXXXX", dir[100], path[140];
    assert_non_null(mkdtemp(root));
    snprintf(dir, sizeof dir, "%s/a/b", root);
    snprintf(path, sizeof path, "%s/one.txt", dir);
    thaw_batch *batch = NULL;
    assert_int_equal(thaw_batch_create(dir, &batch, NULL), THAW_OK);
    assert_int_equal(thaw_batch_add(batch, "one.txt", "1", 1, NULL), THAW_OK);
    thaw_batch_destroy(batch);
    snprintf(path, sizeof path, "%s/a", root);
    assert_int_equal(thaw_file_look(path), THAW_FILE_MISSING);
    batch = NULL;
    assert_int_equal(thaw_batch_create(dir, &batch, NULL), THAW_OK);
    assert_int_equal(thaw_batch_add(batch, "one.txt", "12", 2, NULL), THAW_OK);
    assert_int_equal(thaw_batch_commit(batch, NULL), THAW_OK);
    thaw_batch_destroy(batch);
    char *text = NULL;
    size_t n = 0;
    bool whole = false;
    snprintf(path, sizeof path, "%s/one.txt", dir);
    assert_int_equal(thaw_file_read(path, 2, &text, &n, &whole, NULL), THAW_OK);
    assert_true(whole && n == 2 && strcmp(text, "12") == 0);
    thaw_text_free(text);
    assert_int_equal(thaw_file_read(path, 1, &text, &n, &whole, NULL), THAW_OK);
    assert_true(!whole && n == 1);
    thaw_text_free(text);
    thaw_error err = {0};
    snprintf(dir, sizeof dir, "%s/a/b/one.txt/c", root);
    assert_int_equal(thaw_folder_make(dir, &err), THAW_ERR_FILE);
    char clean[160];
    snprintf(clean, sizeof clean, "rm -r %s", root);
    assert_int_equal(system(clean), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_not_said_has_a_default),
        cmocka_unit_test(the_edge_of_a_cube_gives_the_sphere_of_equal_volume),
        cmocka_unit_test(the_resolved_text_reloads_to_the_same_specification),
        cmocka_unit_test(shipped_scenarios_load_and_reload),
        cmocka_unit_test(the_demo_is_the_shipped_file),
        cmocka_unit_test(the_digest_knows_the_seed_but_not_the_title),
        cmocka_unit_test(an_unknown_detail_changes_nothing),
        cmocka_unit_test(faults_come_in_line_order_and_leave_the_output_alone),
        cmocka_unit_test(a_run_larger_than_memory_is_refused),
        cmocka_unit_test(damaged_files_do_no_harm),
        cmocka_unit_test(a_failing_allocation_is_reported),
        cmocka_unit_test(the_table_names_every_value),
        cmocka_unit_test(the_catalogue_knows_its_bounds),
        cmocka_unit_test(files_appear_together_or_not_at_all),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
