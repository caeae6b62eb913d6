/* The patterns that are shipped, on the cloths they are meant for: the lay found beats a thousand lays by chance, made by a
 * sampler that knows nothing of the search; and the gown of two tides comes out as its pattern says it should. */
#define _POSIX_C_SOURCE 200809L

#include "patterns.h"
#include "small.h"

#include <stdlib.h>
#include <unistd.h>

#include "api/chances_set.h"
#include "api/pieces_result.h"
#include "look/colour.h"
#include "look/swatch.h"

#define CHANCES 2
#define RANDOM_LAYS 1000

static const struct {
    const char *scenario, *pattern;
} shipped[] = {{"two-tides", "seal-maiden"}, {"harbour-awning", "lighthouse-keeper"}};
#define N_SHIPPED ((int)(sizeof shipped / sizeof *shipped))

typedef struct work {
    char dir[64];
    thaw_scenario *scenario;
    thaw_pattern *pattern;
    thaw_pieces *pieces;
    thaw_views views;
} work;
static work works[N_SHIPPED]; /* run once, looked at by every test */

static void make_views(work *w)
{
    thaw_error err = {0};
    thaw_image pictures[CHANCES];
    double linear[3], xyz[3], bare[3];
    thaw_swatch swatch;
    for (int m = 0; m < CHANCES; m++) {
        pictures[m] = thaw_chances_picture(w->pieces->chances, m);
        assert_non_null(pictures[m].rgb);
    }
    assert_done(thaw_look_swatch(w->scenario->spec.cloth, 0, NULL, NULL, &swatch, &err), &err);
    for (int c = 0; c < 3; c++) {
        linear[c] = thaw_colour_decode(swatch.rgb[c] / 255.0);
    }
    thaw_colour_xyz(linear, xyz);
    thaw_colour_lab(xyz, bare);
    assert_done(thaw_views_create(pictures, CHANCES, bare, &w->views, &err), &err);
}

static int run_all(void **state)
{
    (void)state;
    for (int i = 0; i < N_SHIPPED; i++) {
        char path[1024];
        thaw_error err = {0};
        work *w = &works[i];
        strcpy(w->dir, "/tmp/thaw-pieces-XXXXXX");
        assert_non_null(mkdtemp(w->dir));
        snprintf(path, sizeof path, "%s/scenarios/%s.yaml", THAW_SOURCE_DIR, shipped[i].scenario);
        assert_done(thaw_scenario_load(path, &w->scenario, &err), &err);
        assert_done(thaw_scenario_set_detail(w->scenario, "draft", &err), &err);
        snprintf(path, sizeof path, "%s/scenarios/patterns/%s.yaml", THAW_SOURCE_DIR, shipped[i].pattern);
        assert_done(thaw_pattern_load(path, &w->pattern, &err), &err);
        const thaw_pieces_options options = {.set = {.n = CHANCES}};
        assert_done(thaw_pieces_run(w->scenario, w->pattern, &options, w->dir, &w->pieces, &err), &err);
        assert_true(thaw_pieces_get_figures(w->pieces)->fits);
        make_views(w);
    }
    return 0;
}

static int clear_all(void **state)
{
    (void)state;
    for (int i = 0; i < N_SHIPPED; i++) {
        char command[160];
        snprintf(command, sizeof command, "rm -r %.60s", works[i].dir);
        assert_int_equal(system(command), 0);
        thaw_views_release(&works[i].views);
        thaw_pieces_destroy(works[i].pieces);
        thaw_pattern_destroy(works[i].pattern);
        thaw_scenario_destroy(works[i].scenario);
    }
    return 0;
}

static void the_lay_beats_a_thousand_by_chance(void **state)
{
    (void)state;
    for (int i = 0; i < N_SHIPPED; i++) {
        const work *w = &works[i];
        const thaw_specification *spec = thaw_scenario_specification(w->scenario);
        double best = 0.0, sum = 0.0, overlap = 0.0, beyond = 0.0;
        dice d = {1000 + (uint64_t)i, 0};
        for (int n = 0; n < RANDOM_LAYS; n++) {
            thaw_error err = {0};
            thaw_lay lay;
            assert_true(random_lay(&d, &w->pattern->sheet, spec->width_m, spec->length_m, false, &lay));
            if (n % 50 == 0) { /* the sampler itself is judged, too */
                geos_faults(&w->pattern->sheet, &lay, spec->width_m, spec->length_m, &overlap, &beyond);
                assert_at_most(overlap, 1e-12);
                assert_at_most(beyond, 1e-12);
            }
            assert_done(thaw_lay_judge(&w->pattern->sheet, &w->views, &lay, &err), &err);
            best = fmax(best, lay.total);
            sum += lay.total / RANDOM_LAYS;
        }
        print_message("%s: found %.1f; %d by chance: mean %.1f, best %.1f\n", shipped[i].pattern, w->pieces->lay.total, RANDOM_LAYS, sum, best);
        assert_true(w->pieces->lay.total > best);
        geos_faults(&w->pattern->sheet, &w->pieces->lay, spec->width_m, spec->length_m, &overlap, &beyond);
        assert_at_most(overlap, 1e-9);
        assert_at_most(beyond, 1e-9);
    }
}

static const thaw_piece_place *place_of(const thaw_pieces_figures *f, const char *name, int number)
{
    for (int i = 0; i < f->n; i++) {
        if (strcmp(f->places[i].name, name) == 0 && f->places[i].number == number) {
            return &f->places[i];
        }
    }
    fail();
    return NULL;
}

/* Skirts from the two dyed ends, hems outward; bodice and sleeves from the white middle. */
static void the_gown_comes_from_both_tides(void **state)
{
    (void)state;
    const thaw_pieces_figures *f = thaw_pieces_get_figures(works[0].pieces);
    const thaw_piece_place *front = place_of(f, "skirt front", 1), *back = place_of(f, "skirt back", 1);
    const thaw_piece_place *upper = front->top_m < back->top_m ? front : back, *lower = upper == front ? back : front;
    assert_true(upper->is_turned);  /* its hem towards the upper end */
    assert_false(lower->is_turned);
    assert_true(upper->top_m + 0.5 * upper->length_m < 0.4 * f->cloth_length_m);
    assert_true(lower->top_m + 0.5 * lower->length_m > 0.6 * f->cloth_length_m);
    assert_true(upper->score > 60.0 && lower->score > 60.0);
    static const struct {
        const char *name;
        int number;
    } white[] = {{"bodice front", 1}, {"bodice back", 1}, {"sleeve", 1}, {"sleeve", 2}};
    for (int i = 0; i < 4; i++) {
        const thaw_piece_place *p = place_of(f, white[i].name, white[i].number);
        assert_true(p->top_m > 0.15 * f->cloth_length_m && p->top_m + p->length_m < 0.85 * f->cloth_length_m);
        assert_true(p->score > 95.0);
    }
}

/* The same files, to the byte, from another number of threads. */
static void files_are_the_same_at_any_number_of_threads(void **state)
{
    (void)state;
    const work *w = &works[1];
    char command[800];
    thaw_error err = {0};
    for (int t = 1; t <= 3; t++) {
        char dir[80];
        thaw_pieces *again = NULL;
        const thaw_pieces_options options = {.set = {.n = CHANCES, .threads = t}};
        snprintf(dir, sizeof dir, "%s/%d", w->dir, t);
        snprintf(command, sizeof command, "mkdir -p %s && cp -R %s/members %s/members", dir, w->dir, dir);
        assert_int_equal(system(command), 0);
        assert_done(thaw_pieces_run(w->scenario, w->pattern, &options, dir, &again, &err), &err);
        assert_done(thaw_pieces_write(again, dir, "a4", NULL, &err), &err);
        thaw_pieces_destroy(again);
        snprintf(command, sizeof command, "test ! -e %s/members && test -s %s/lay.png && diff -r %s/1 %s", dir, dir, w->dir, dir);
        assert_int_equal(system(command), 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_lay_beats_a_thousand_by_chance),
        cmocka_unit_test(the_gown_comes_from_both_tides),
        cmocka_unit_test(files_are_the_same_at_any_number_of_threads),
    };
    return cmocka_run_group_tests(tests, run_all, clear_all);
}
