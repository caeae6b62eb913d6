/* Lays of fifty random pattern sets: nothing overlaps, all lies on the cloth, grain kept, judged by GEOS on outlines that
 * the test puts on the cloth itself. */
#include "patterns.h"

#include "base/crew.h"

#define SETS   50
#define WIDTH  0.9
#define LENGTH 1.2
#define TOUCH_M2 1e-9              /* a hundredth of a square millimetre is 1e-8 */

static void check_way(const thaw_pattern_sheet *sheet, const thaw_lay *lay, bool one_way)
{
    int first = -1, counts[THAW_MAX_PIECES] = {0};
    for (int k = 0; k < lay->n; k++) {
        const thaw_laid *l = &lay->at[k];
        const thaw_pattern_piece *p = &sheet->pieces[l->piece];
        assert_true(l->is_placed);
        assert_int_equal(l->is_mirrored, p->is_mirrored && l->number % 2 == 0);
        assert_int_equal(l->number, ++counts[l->piece]);
        if (one_way) { /* all alike */
            first = first < 0 ? l->is_turned : first;
            assert_int_equal(l->is_turned, first);
        } else if (!p->may_turn) {
            assert_false(l->is_turned);
        }
    }
    for (int p = 0; p < sheet->n; p++) {
        assert_int_equal(counts[p], sheet->pieces[p].n_cut);
    }
}

static void pieces_never_overlap_and_keep_the_grain(void **state)
{
    (void)state;
    int n_fit = 0;
    double worst = 0.0;
    thaw_pattern_sheet *sheet = thaw_allocate(1, sizeof *sheet, NULL);
    thaw_lay_room *room = thaw_allocate(1, sizeof *room, NULL);
    for (int s = 0; s < SETS; s++) {
        dice d = {100 + (uint64_t)s, 0};
        thaw_error err = {0};
        thaw_lay lay;
        thaw_views views = {0};
        double overlap, beyond;
        random_sheet(&d, WIDTH * LENGTH, between(&d, 0.15, 0.7), sheet);
        const thaw_lay_task task = {sheet, WIDTH, LENGTH, sheet->one_way, 7};
        assert_int_equal(thaw_lay_fit(&task, room, &err), THAW_OK);
        if (!room->fits) {
            assert_true(room->length_m > LENGTH);
            release_sheet(sheet);
            continue;
        }
        geos_faults(sheet, &room->lay, WIDTH, LENGTH, &overlap, &beyond);
        assert_at_most(overlap, TOUCH_M2);
        assert_at_most(beyond, TOUCH_M2);
        random_views(&d, WIDTH, LENGTH, 0.01, 2, &views);
        if (thaw_lay_find(&task, &views, room, NULL, NULL, &lay, &err) != THAW_OK) {
            print_error("set %d: %s\n", s, err.text);
            fail();
        }
        geos_faults(sheet, &lay, WIDTH, LENGTH, &overlap, &beyond);
        assert_at_most(overlap, TOUCH_M2);
        assert_at_most(beyond, TOUCH_M2);
        worst = fmax(worst, fmax(overlap, beyond));
        check_way(sheet, &lay, sheet->one_way);
        n_fit++;
        thaw_views_release(&views);
        release_sheet(sheet);
    }
    print_message("%d of %d sets fit; largest overlap %.2g mm2\n", n_fit, SETS, worst * 1e6);
    assert_true(n_fit >= 35);
    thaw_release(room);
    thaw_release(sheet);
}

/* The gap is kept: pieces grown by half of it, all but a hair, share nothing either. */
static void the_gap_is_kept(void **state)
{
    (void)state;
    dice d = {9, 0};
    thaw_error err = {0};
    thaw_pattern_sheet *sheet = thaw_allocate(1, sizeof *sheet, NULL);
    thaw_lay_room *room = thaw_allocate(1, sizeof *room, NULL);
    thaw_lay lay;
    thaw_views views = {0};
    random_sheet(&d, WIDTH * LENGTH, 0.4, sheet);
    sheet->gap_m = 0.01;
    const thaw_lay_task task = {sheet, WIDTH, LENGTH, false, 7};
    assert_int_equal(thaw_lay_fit(&task, room, &err), THAW_OK);
    assert_true(room->fits);
    random_views(&d, WIDTH, LENGTH, 0.01, 1, &views);
    assert_int_equal(thaw_lay_find(&task, &views, room, NULL, NULL, &lay, &err), THAW_OK);
    GEOSContextHandle_t g = GEOS_init_r();
    for (int k = 0; k < lay.n; k++) {
        GEOSGeometry *a = geos_of(g, &sheet->pieces[lay.at[k].piece], &lay.at[k]);
        for (int l = 0; l < k; l++) {
            GEOSGeometry *b = geos_of(g, &sheet->pieces[lay.at[l].piece], &lay.at[l]);
            double far = 0.0;
            assert_true(GEOSDistance_r(g, a, b, &far));
            assert_true(far >= 0.01 - 1e-6);
            GEOSGeom_destroy_r(g, b);
        }
        GEOSGeom_destroy_r(g, a);
    }
    GEOS_finish_r(g);
    thaw_views_release(&views);
    release_sheet(sheet);
    thaw_release(room);
    thaw_release(sheet);
}

static void the_lay_is_the_same_at_any_number_of_threads(void **state)
{
    (void)state;
    dice d = {4, 0};
    thaw_error err = {0};
    thaw_pattern_sheet *sheet = thaw_allocate(1, sizeof *sheet, NULL);
    thaw_lay_room *room = thaw_allocate(1, sizeof *room, NULL);
    thaw_lay *lays = thaw_allocate(3, sizeof *lays, NULL);
    thaw_views views = {0};
    random_sheet(&d, WIDTH * LENGTH, 0.4, sheet);
    random_views(&d, WIDTH, LENGTH, 0.01, 3, &views);
    const thaw_lay_task task = {sheet, WIDTH, LENGTH, false, 7};
    const int before = thaw_crew_size();
    for (int t = 0; t < 3; t++) {
        thaw_crew_set_threads(t + 1);
        assert_int_equal(thaw_lay_fit(&task, room, &err), THAW_OK);
        assert_true(room->fits);
        assert_int_equal(thaw_lay_find(&task, &views, room, NULL, NULL, &lays[t], &err), THAW_OK);
    }
    thaw_crew_set_threads(before);
    for (int t = 1; t < 3; t++) {
        assert_true(lays[t].total == lays[0].total);
        for (int k = 0; k < lays[0].n; k++) {
            const thaw_laid *a = &lays[0].at[k], *b = &lays[t].at[k];
            assert_true(a->i == b->i && a->j == b->j && a->is_turned == b->is_turned);
        }
    }
    thaw_views_release(&views);
    release_sheet(sheet);
    thaw_release(lays);
    thaw_release(room);
    thaw_release(sheet);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pieces_never_overlap_and_keep_the_grain),
        cmocka_unit_test(the_gap_is_kept),
        cmocka_unit_test(the_lay_is_the_same_at_any_number_of_threads),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
