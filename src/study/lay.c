#include "study/lay.h"

#include <math.h>
#include <stdlib.h>

#include "base/alloc.h"
#include "base/error.h"
#include "base/random.h"
#include "study/lay_shapes.h"

#define TRIES       16             /* orders in which pieces are filled in */
#define TOUCH_M2    1e-8           /* of two pieces that only touch */
#define MOST_STEPS  (1 << 20)
#define STREAM_FIT  (THAW_STREAM_LAY + 31)

void thaw_lay_list(const thaw_pattern_sheet *sheet, thaw_lay *out)
{
    *out = (thaw_lay){.total = NAN};
    for (int p = 0; p < sheet->n; p++) {
        for (int c = 0; c < sheet->pieces[p].n_cut && out->n < THAW_MAX_CUTS; c++) {
            out->at[out->n++] = (thaw_laid){.piece = p, .number = c + 1, .score = NAN,
                                            .is_mirrored = sheet->pieces[p].is_mirrored && c % 2 == 1};
        }
    }
}

thaw_status thaw_laid_outline(const thaw_pattern_sheet *sheet, const thaw_laid *laid, const thaw_polygon *line, thaw_polygon *out,
                              thaw_error *err)
{
    const thaw_extent e = thaw_polygon_extent(&sheet->pieces[laid->piece].outline);
    const int f = thaw_flip_of(laid->is_mirrored, laid->is_turned);
    const double x = laid->i * THAW_LAY_STEP_M, y = laid->j * THAW_LAY_STEP_M;
    const double m[6] = {f & 1 ? -1.0 : 1.0, 0.0, 0.0, f & 2 ? -1.0 : 1.0, f & 1 ? x + e.x1 : x, f & 2 ? y + e.y1 : y};
    thaw_status status = thaw_polygon_copy((const double(*)[2])line->at, line->n, out, err);
    if (status == THAW_OK) {
        thaw_polygon_map(out, m);
    }
    return status;
}

/* ---- does it fit? ---- */

typedef struct ranked {
    double key;
    int at;
} ranked;

static int by_key(const void *a, const void *b)
{
    const ranked *x = a, *y = b;
    return x->key != y->key ? (x->key < y->key) - (x->key > y->key) : x->at - y->at;
}

/* Large ones first: by area, length, width; further tries shuffle that by chance. */
static void order_try(const thaw_lay_shapes *shapes, const thaw_lay *lay, uint64_t seed, int try, ranked *out)
{
    for (int k = 0; k < lay->n; k++) {
        const int p = lay->at[k].piece;
        const double sizes[3] = {shapes->of[p].area_m2, (double)shapes->of[p].ny, (double)shapes->of[p].nx};
        const double luck = try < 3 ? 1.0
                                    : exp(0.8 * (thaw_random_uniform(seed, STREAM_FIT, (uint64_t)try * THAW_MAX_CUTS + (uint64_t)k) - 0.5));
        out[k] = (ranked){sizes[try % 3] * luck, k};
    }
    qsort(out, (size_t)lay->n, sizeof *out, by_key);
}

/* Returns the area placed; *end: the row behind the last piece. */
static double fill_all(const thaw_lay_task *task, const thaw_lay_shapes *shapes, const ranked *order, bool beyond_end, thaw_lay *lay,
                       int *end)
{
    double placed = 0.0;
    *end = 0;
    for (int k = 0; k < lay->n; k++) {
        lay->at[k].is_placed = false;
    }
    for (int k = 0; k < lay->n; k++) {
        thaw_laid *laid = &lay->at[order[k].at];
        const thaw_pattern_piece *piece = &task->sheet->pieces[laid->piece];
        const int most_j = beyond_end ? *end : shapes->of[laid->piece].most_j;
        if (thaw_lay_fill_in(shapes, lay, order[k].at, true, piece->may_turn && !task->one_way, most_j)) {
            const int foot = laid->j + shapes->of[laid->piece].ny;
            *end = foot > *end ? foot : *end;
            placed += shapes->of[laid->piece].area_m2;
        }
    }
    return placed;
}

static void try_orders(const thaw_lay_task *task, const thaw_lay_shapes *shapes, bool is_narrow, thaw_lay_room *room)
{
    ranked order[THAW_MAX_CUTS];
    thaw_lay lay;
    double most = -1.0;
    int end = 0, least = MOST_STEPS;
    thaw_lay_list(task->sheet, &lay);
    for (int t = 0; t < TRIES && !room->fits; t++) {
        order_try(shapes, &lay, task->seed, t, order);
        const double placed = fill_all(task, shapes, order, false, &lay, &end);
        room->fits = placed >= room->pieces_m2 * (1.0 - 1e-9);
        if (placed > most) {
            most = placed;
            room->lay = lay;
        }
    }
    for (int t = 0; t < TRIES && !room->fits && !is_narrow; t++) {
        order_try(shapes, &lay, task->seed, t, order);
        fill_all(task, shapes, order, true, &lay, &end);
        least = end < least ? end : least;
    }
    if (room->fits) {
        for (int k = 0; k < room->lay.n; k++) {
            const thaw_laid *l = &room->lay.at[k];
            end = k == 0 || l->j + shapes->of[l->piece].ny > end ? l->j + shapes->of[l->piece].ny : end;
        }
        least = end;
    }
    room->length_m = is_narrow ? NAN : least * THAW_LAY_STEP_M;
}

thaw_status thaw_lay_fit(const thaw_lay_task *task, thaw_lay_room *out, thaw_error *err)
{
    thaw_lay_room room = {.fits = false};
    thaw_lay_shapes *shapes = thaw_allocate(1, sizeof *shapes, err);
    thaw_status status = shapes ? thaw_lay_shapes_make(task, shapes, err) : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        bool is_narrow = false;
        for (int p = 0; p < task->sheet->n; p++) {
            room.pieces_m2 += task->sheet->pieces[p].n_cut * shapes->of[p].area_m2;
            room.width_m = fmax(room.width_m, thaw_polygon_extent(&task->sheet->pieces[p].outline).x1);
            is_narrow = is_narrow || shapes->of[p].most_i < 0;
        }
        try_orders(task, shapes, is_narrow, &room);
        *out = room;
    }
    if (shapes) {
        thaw_lay_shapes_release(shapes);
    }
    thaw_release(shapes);
    return status;
}

/* ---- is it right? ---- */

thaw_status thaw_lay_check(const thaw_lay_task *task, const thaw_lay *lay, thaw_error *err)
{
    thaw_polygon *outlines = thaw_allocate((size_t)lay->n, sizeof *outlines, err);
    thaw_status status = outlines ? THAW_OK : THAW_ERR_MEMORY;
    for (int k = 0; status == THAW_OK && k < lay->n; k++) {
        const thaw_pattern_piece *piece = &task->sheet->pieces[lay->at[k].piece];
        status = thaw_laid_outline(task->sheet, &lay->at[k], &piece->outline, &outlines[k], err);
        const thaw_extent e = thaw_polygon_extent(&outlines[k]);
        if (status == THAW_OK && !(e.x0 > -1e-8 && e.y0 > -1e-8 && e.x1 < task->width_m + 1e-8 && e.y1 < task->length_m + 1e-8)) {
            status = thaw_fail(err, THAW_ERR_UNPHYSICAL, "%s lies beyond the edge of the cloth", piece->name);
        }
        for (int l = 0; status == THAW_OK && l < k; l++) {
            double shared = 0.0;
            status = thaw_polygon_shared(&outlines[k], &outlines[l], &shared, err);
            if (status == THAW_OK && shared > TOUCH_M2) {
                status = thaw_fail(err, THAW_ERR_UNPHYSICAL, "%s and %s overlap by %.3g cm2", piece->name,
                                   task->sheet->pieces[lay->at[l].piece].name, shared * 1e4);
            }
        }
    }
    for (int k = 0; outlines && k < lay->n; k++) {
        thaw_polygon_release(&outlines[k]);
    }
    thaw_release(outlines);
    return status;
}
