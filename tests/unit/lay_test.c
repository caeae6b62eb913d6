/* Parts of the search for a lay: squares touched, scores by hand, room that is or is not there. */
#include "patterns.h"

#include <stdlib.h>

#include "study/lay_score.h"

/* ---- squares ---- */

/* A square is covered where GEOS finds that shape and square share area, and nowhere else. */
static void covers_are_the_squares_that_are_touched(void **state)
{
    (void)state;
    for (uint64_t s = 0; s < 6; s++) {
        dice d = {s, 0};
        thaw_error err = {0};
        thaw_polygon p = random_outline(&d, 0.05);
        thaw_footprint c = {0};
        const double m[6] = {1.0, 0.0, 0.0, 1.0, between(&d, -0.01, 0.01), between(&d, -0.01, 0.01)};
        thaw_polygon_map(&p, m);
        assert_int_equal(thaw_footprint_make(&p, &c, &err), THAW_OK);
        for (int j = -1; j <= c.ny; j++) {
            for (int i = -1; i <= c.nx; i++) {
                const double x = (c.i0 + i) * THAW_LAY_STEP_M, y = (c.j0 + j) * THAW_LAY_STEP_M, e = THAW_LAY_STEP_M;
                double corners[4][2] = {{x, y}, {x + e, y}, {x + e, y + e}, {x, y + e}}, area = 0.0;
                const thaw_polygon square = {4, corners};
                assert_int_equal(thaw_polygon_shared(&p, &square, &area, &err), THAW_OK);
                const bool inside = i >= 0 && j >= 0 && i < c.nx && j < c.ny;
                const bool covered = inside && (c.bits[j * c.words + i / 64] >> (i % 64) & 1);
                if (area > 1e-12) {
                    assert_true(covered);
                } else if (area == 0.0) {
                    assert_false(covered);
                }
            }
        }
        thaw_footprint_release(&c);
        thaw_polygon_release(&p);
    }
}

static void rectangles_side_by_side_do_not_meet(void **state)
{
    (void)state;
    thaw_error err = {0};
    double corners[4][2] = {{0.0, 0.0}, {0.3, 0.0}, {0.3, 0.2}, {0.0, 0.2}};
    const thaw_polygon p = {4, corners};
    thaw_footprint c = {0};
    assert_int_equal(thaw_footprint_make(&p, &c, &err), THAW_OK);
    assert_true(c.nx == 150 && c.ny == 100);
    for (int i = -160; i <= 160; i++) {
        for (int j = -110; j <= 110; j += 5) {
            assert_int_equal(thaw_footprint_meet(&c, 7, 3, &c, 7 + i, 3 + j), abs(i) < 150 && abs(j) < 100);
        }
    }
    thaw_footprint_release(&c);
}

/* ---- scores ---- */

/* Cloth whose amount rises from nothing at its top to whole at its foot, in greys. */
static void graded_views(thaw_views *v, double cell, int nx, int ny)
{
    *v = (thaw_views){.n = 1, .nx = nx, .ny = ny, .cell_m = cell, .bare = {95.0, 0.0, 0.0}};
    v->cells = thaw_allocate((size_t)nx * (size_t)ny, 4 * sizeof *v->cells, NULL);
    assert_non_null(v->cells);
    for (int j = 0; j < ny; j++) {
        for (int i = 0; i < nx; i++) {
            float *c = v->cells + 4 * (j * nx + i);
            c[3] = (float)((j + 0.5) / ny);
            c[0] = (float)(95.0 - THAW_FULL_AMOUNT * (double)c[3]);
            c[1] = c[2] = 0.0f;
        }
    }
}

static double score_of(const thaw_views *v, thaw_wish_kind kind, const double *lab, double x, double y, double width, double length, bool turned)
{
    double corners[4][2] = {{0.0, 0.0}, {width, 0.0}, {width, length}, {0.0, length}}, score[THAW_MAX_WISHES] = {0};
    thaw_pattern_piece piece = {.outline = {4, corners}, .down = {0.0, 1.0}, .n_cut = 1, .n_wishes = 1, .wishes = {{.kind = kind}}};
    thaw_probes probes = {0};
    thaw_error err = {0};
    if (lab) {
        memcpy(piece.wishes[0].lab, lab, sizeof piece.wishes[0].lab);
    }
    assert_int_equal(thaw_probes_create(&piece, 20000, &probes, &err), THAW_OK);
    thaw_score_piece(v, 0, &piece, &probes, x, y, turned, turned, score, NULL);
    thaw_probes_release(&probes);
    return score[0];
}

static void scores_are_as_defined(void **state)
{
    (void)state;
    thaw_views v;
    graded_views(&v, 0.002, 100, 200); /* 20 x 40 cm */
    const double half[3] = {75.0, 0.0, 0.0}, far[3] = {75.0, 0.0, 200.0};
    /* All of it: mean amount a half; an even fade to the hem; greys spread evenly over 40. */
    assert_close(score_of(&v, THAW_WISH_WHITE, NULL, 0, 0, 0.2, 0.4, false), 50.0, 0.3);
    assert_close(score_of(&v, THAW_WISH_COLOURED, NULL, 0, 0, 0.2, 0.4, false), 50.0, 0.3);
    assert_close(score_of(&v, THAW_WISH_HEM, NULL, 0, 0, 0.2, 0.4, false), 100.0, 0.5);
    assert_close(score_of(&v, THAW_WISH_HEM, NULL, 0, 0, 0.2, 0.4, true), 0.0, 0.5);
    assert_close(score_of(&v, THAW_WISH_EVEN, NULL, 0, 0, 0.2, 0.4, false), 100.0 * (1.0 - 40.0 / sqrt(12.0) / THAW_FULL_UNEVEN), 0.3);
    assert_close(score_of(&v, THAW_WISH_COLOUR, half, 0, 0, 0.2, 0.4, false), 100.0 * (1.0 - 10.0 / THAW_FULL_MISS), 0.3);
    assert_close(score_of(&v, THAW_WISH_COLOUR, far, 0, 0, 0.2, 0.4, false), 0.0, 0.3);
    /* The upper and the lower tenth. */
    assert_close(score_of(&v, THAW_WISH_WHITE, NULL, 0, 0, 0.2, 0.04, false), 95.0, 0.3);
    assert_close(score_of(&v, THAW_WISH_COLOURED, NULL, 0, 0.36, 0.2, 0.04, false), 95.0, 0.3);
    thaw_views_release(&v);
}

static void a_step_scores_between_all_one_way_and_a_fade(void **state)
{
    (void)state;
    thaw_views v;
    graded_views(&v, 0.002, 100, 200);
    for (int k = 0; k < 100 * 200; k++) { /* half the cloth */
        v.cells[4 * k + 3] = 0.5f;
    }
    const double same = score_of(&v, THAW_WISH_HEM, NULL, 0, 0, 0.2, 0.4, false);
    for (int k = 0; k < 100 * 200; k++) {
        v.cells[4 * k + 3] = k >= 100 * 100 ? 1.0f : 0.0f;
    }
    const double step = score_of(&v, THAW_WISH_HEM, NULL, 0, 0, 0.2, 0.4, false);
    assert_close(same, 25.0, 0.5);
    assert_close(step, 75.0, 0.5);
    thaw_views_release(&v);
}

/* Cells one by one, by GEOS which are inside, against the places looked at. */
static void places_looked_at_stand_for_all_cells(void **state)
{
    (void)state;
    dice d = {21, 0};
    thaw_views v = {0};
    thaw_error err = {0};
    random_views(&d, 0.5, 0.5, 0.004, 1, &v);
    for (int t = 0; t < 4; t++) {
        thaw_pattern_piece piece = {.outline = random_outline(&d, 0.3), .down = {0.0, 1.0}, .n_cut = 1, .n_wishes = 1};
        const bool flip_x = t & 1, flip_y = t & 2;
        const thaw_extent e = thaw_polygon_extent(&piece.outline);
        const double x0 = between(&d, 0.0, 0.5 - e.x1), y0 = between(&d, 0.0, 0.5 - e.y1);
        double amount = 0.0, covered = 0.0, score[THAW_MAX_WISHES];
        thaw_polygon laid = {0, NULL};
        assert_int_equal(thaw_polygon_copy((const double(*)[2])piece.outline.at, piece.outline.n, &laid, &err), THAW_OK);
        const double m[6] = {flip_x ? -1.0 : 1.0, 0.0, 0.0, flip_y ? -1.0 : 1.0, flip_x ? x0 + e.x1 : x0, flip_y ? y0 + e.y1 : y0};
        thaw_polygon_map(&laid, m);
        for (int k = 0; k < v.nx * v.ny; k++) {
            const double x = k % v.nx * v.cell_m, y = k / v.nx * v.cell_m, c = v.cell_m;
            double corners[4][2] = {{x, y}, {x + c, y}, {x + c, y + c}, {x, y + c}}, area = 0.0;
            const thaw_polygon cell = {4, corners};
            assert_int_equal(thaw_polygon_shared(&laid, &cell, &area, &err), THAW_OK);
            amount += area * (double)v.cells[4 * k + 3];
            covered += area;
        }
        thaw_probes probes = {0};
        piece.wishes[0].kind = THAW_WISH_COLOURED;
        assert_int_equal(thaw_probes_create(&piece, 4000, &probes, &err), THAW_OK);
        assert_true(probes.n > 3000 && probes.n < 5000);
        thaw_score_piece(&v, 0, &piece, &probes, x0, y0, flip_x, flip_y, score, NULL);
        assert_close(score[0], 100.0 * amount / covered, 0.7);
        thaw_probes_release(&probes);
        thaw_polygon_release(&laid);
        thaw_polygon_release(&piece.outline);
    }
    thaw_views_release(&v);
}

/* A pair that lies mirrored about the middle of cloth that is alike left and right matches wholly. */
static void a_mirrored_pair_matches_across_a_mirrored_cloth(void **state)
{
    (void)state;
    const int nx = 100, ny = 60;
    thaw_views v = {.n = 1, .nx = nx, .ny = ny, .cell_m = 0.004, .bare = {95.0, 0.0, 0.0}};
    v.cells = thaw_allocate((size_t)(nx * ny), 4 * sizeof *v.cells, NULL);
    for (int k = 0; k < nx * ny; k++) {
        const int from_edge = k % nx < nx / 2 ? k % nx : nx - 1 - k % nx;
        v.cells[4 * k] = (float)(95 - from_edge);
        v.cells[4 * k + 1] = (float)(k / nx);
    }
    double corners[4][2] = {{0.0, 0.0}, {0.12, 0.0}, {0.08, 0.2}, {0.02, 0.2}};
    const thaw_pattern_piece piece = {.outline = {4, corners}, .down = {0.0, 1.0}, .n_cut = 2, .is_mirrored = true, .n_wishes = 1,
                                      .wishes = {{.kind = THAW_WISH_MATCH}}};
    thaw_probes probes = {0};
    thaw_patches left, right, moved;
    double score[THAW_MAX_WISHES];
    thaw_error err = {0};
    assert_int_equal(thaw_probes_create(&piece, 4000, &probes, &err), THAW_OK);
    thaw_score_piece(&v, 0, &piece, &probes, 0.02, 0.02, false, false, score, &left);
    thaw_score_piece(&v, 0, &piece, &probes, 0.4 - 0.02 - 0.12, 0.02, true, false, score, &right);
    thaw_score_piece(&v, 0, &piece, &probes, 0.4 - 0.02 - 0.12, 0.02, false, false, score, &moved);
    assert_close(thaw_score_pair(&left, &right), 100.0, 1.0);
    assert_true(thaw_score_pair(&left, &moved) < 80.0);
    assert_true(thaw_score_halves(&left) < 80.0);
    thaw_probes_release(&probes);
    thaw_views_release(&v);
}

/* ---- room ---- */

static thaw_lay_room fit(double width, double length, const double sizes[][2], const int *cut, int n)
{
    static thaw_pattern_sheet sheet; /* large; a test has one thread */
    double corners[8][4][2];
    thaw_lay_room room;
    thaw_error err = {0};
    memset(&sheet, 0, sizeof sheet);
    for (int p = 0; p < n; p++) {
        const double w = sizes[p][0], h = sizes[p][1], at[4][2] = {{0.0, 0.0}, {w, 0.0}, {w, h}, {0.0, h}};
        memcpy(corners[p], at, sizeof at);
        sheet.pieces[p] = (thaw_pattern_piece){.outline = {4, corners[p]}, .n_cut = cut[p], .may_turn = true};
    }
    sheet.n = n;
    const thaw_lay_task task = {&sheet, width, length, false, 1};
    assert_int_equal(thaw_lay_fit(&task, &room, &err), THAW_OK);
    return room;
}

static void room_is_found_where_it_is_just_there(void **state)
{
    (void)state;
    thaw_lay_room r = fit(1.2, 1.0, (const double[][2]){{0.6, 0.5}}, (int[]){4}, 1);
    assert_true(r.fits);
    assert_close(r.length_m, 1.0, 1e-9);
    r = fit(1.0, 1.0, (const double[][2]){{0.4, 0.6}, {0.6, 0.4}, {0.6, 0.6}, {0.4, 0.4}}, (int[]){1, 1, 1, 1}, 4);
    assert_true(r.fits);
    r = fit(0.5, 0.5, (const double[][2]){{0.5, 0.5}}, (int[]){1}, 1);
    assert_true(r.fits);
}

static void what_is_lacking_is_told(void **state)
{
    (void)state;
    thaw_lay_room r = fit(1.2, 1.0, (const double[][2]){{0.6, 0.5}}, (int[]){5}, 1);
    assert_false(r.fits);
    assert_close(r.length_m, 1.5, 1e-9);
    int placed = 0;
    for (int k = 0; k < r.lay.n; k++) {
        placed += r.lay.at[k].is_placed;
    }
    assert_int_equal(placed, 4);
    r = fit(1.2, 1.0, (const double[][2]){{0.6, 0.5}, {1.3, 0.1}}, (int[]){1, 1}, 2);
    assert_false(r.fits);
    assert_true(isnan(r.length_m));
    assert_close(r.width_m, 1.3, 1e-12);
    r = fit(1.2, 1.0, (const double[][2]){{0.6, 1.1}}, (int[]){1}, 1);
    assert_false(r.fits);
    assert_close(r.length_m, 1.1, 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(covers_are_the_squares_that_are_touched),
        cmocka_unit_test(rectangles_side_by_side_do_not_meet),
        cmocka_unit_test(scores_are_as_defined),
        cmocka_unit_test(a_step_scores_between_all_one_way_and_a_fade),
        cmocka_unit_test(places_looked_at_stand_for_all_cells),
        cmocka_unit_test(a_mirrored_pair_matches_across_a_mirrored_cloth),
        cmocka_unit_test(room_is_found_where_it_is_just_there),
        cmocka_unit_test(what_is_lacking_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
