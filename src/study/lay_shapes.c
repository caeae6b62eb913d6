#include "study/lay_shapes.h"

#include <math.h>
#include <stdlib.h>

#define COARSE 5                   /* steps between places that are looked at first */
#define SLACK  1e-9                /* m */
#define MOST_PLACES 4096

static thaw_status make_covers(const thaw_pattern_sheet *sheet, int p, thaw_lay_shapes *out, thaw_error *err)
{
    const thaw_pattern_piece *piece = &sheet->pieces[p];
    const thaw_extent e = thaw_polygon_extent(&piece->outline);
    thaw_status status = THAW_OK;
    for (int f = 0; status == THAW_OK && f < THAW_FLIPS; f++) {
        const double m[6] = {f & 1 ? -1.0 : 1.0, 0.0, 0.0, f & 2 ? -1.0 : 1.0, f & 1 ? e.x1 : 0.0, f & 2 ? e.y1 : 0.0};
        thaw_polygon shape = {0, NULL};
        status = sheet->gap_m > 0.0
                     ? thaw_polygon_grow(&piece->outline, 0.5 * sheet->gap_m, &shape, err)
                     : thaw_polygon_copy((const double(*)[2])piece->outline.at, piece->outline.n, &shape, err);
        if (status == THAW_OK) {
            thaw_polygon_map(&shape, m);
            status = thaw_footprint_make(&shape, &out->of[p].covers[f], err);
        }
        thaw_polygon_release(&shape);
    }
    return status;
}

thaw_status thaw_lay_shapes_make(const thaw_lay_task *task, thaw_lay_shapes *out, thaw_error *err)
{
    const double step = THAW_LAY_STEP_M;
    thaw_status status = THAW_OK;
    out->nx = (int)floor((task->width_m + SLACK) / step);
    out->ny = (int)floor((task->length_m + SLACK) / step);
    for (int p = 0; status == THAW_OK && p < task->sheet->n; p++) {
        const thaw_extent e = thaw_polygon_extent(&task->sheet->pieces[p].outline);
        out->n = p + 1;
        out->of[p].nx = (int)ceil((e.x1 - SLACK) / step);
        out->of[p].ny = (int)ceil((e.y1 - SLACK) / step);
        out->of[p].most_i = (int)floor((task->width_m - e.x1 + SLACK) / step);
        out->of[p].most_j = (int)floor((task->length_m - e.y1 + SLACK) / step);
        out->of[p].area_m2 = thaw_polygon_area(&task->sheet->pieces[p].outline);
        status = make_covers(task->sheet, p, out, err);
    }
    return status;
}

void thaw_lay_shapes_release(thaw_lay_shapes *shapes)
{
    for (int p = 0; p < shapes->n; p++) {
        for (int f = 0; f < THAW_FLIPS; f++) {
            thaw_footprint_release(&shapes->of[p].covers[f]);
        }
    }
    shapes->n = 0;
}

static const thaw_footprint *cover_of(const thaw_lay_shapes *shapes, const thaw_laid *laid, bool is_turned)
{
    return &shapes->of[laid->piece].covers[thaw_flip_of(laid->is_mirrored, is_turned)];
}

bool thaw_lay_is_free(const thaw_lay_shapes *shapes, const thaw_lay *lay, int self, int i, int j, bool is_turned, bool beyond_end)
{
    const thaw_laid *own = &lay->at[self];
    const thaw_footprint *cover = cover_of(shapes, own, is_turned);
    if (i < 0 || j < 0 || i > shapes->of[own->piece].most_i || (!beyond_end && j > shapes->of[own->piece].most_j)) {
        return false;
    }
    for (int k = 0; k < lay->n; k++) {
        const thaw_laid *other = &lay->at[k];
        if (k != self && other->is_placed &&
            thaw_footprint_meet(cover, i, j, cover_of(shapes, other, other->is_turned), other->i, other->j)) {
            return false;
        }
    }
    return true;
}

/* ---- filling in ---- */

static int by_value(const void *a, const void *b)
{
    return *(const int *)a - *(const int *)b;
}

/* Places along one side worth looking at: every few steps, and beside the boxes of pieces that are placed. */
static int list_places(const thaw_lay_shapes *shapes, const thaw_lay *lay, int self, int most, bool is_down, int *out)
{
    const int own = is_down ? shapes->of[lay->at[self].piece].ny : shapes->of[lay->at[self].piece].nx;
    int stride = COARSE, n = 0;
    while (most / stride > MOST_PLACES / 2) {
        stride *= 2;
    }
    for (int at = 0; at <= most; at += stride) {
        out[n++] = at;
    }
    out[n++] = most;
    for (int k = 0; k < lay->n && n + 2 < MOST_PLACES; k++) {
        const thaw_laid *l = &lay->at[k];
        const int from = is_down ? l->j : l->i, size = is_down ? shapes->of[l->piece].ny : shapes->of[l->piece].nx;
        if (k != self && l->is_placed && from + size <= most) {
            out[n++] = from + size;
        }
        if (k != self && l->is_placed && from - own >= 0 && from - own <= most) {
            out[n++] = from - own;
        }
    }
    qsort(out, (size_t)n, sizeof *out, by_value);
    return n;
}

/* Up, then left, until neither goes. */
static void slide(const thaw_lay_shapes *shapes, const thaw_lay *lay, int self, bool is_turned, int *i, int *j)
{
    bool moved = true;
    while (moved) {
        moved = false;
        while (thaw_lay_is_free(shapes, lay, self, *i, *j - 1, is_turned, true)) {
            --*j;
            moved = true;
        }
        while (thaw_lay_is_free(shapes, lay, self, *i - 1, *j, is_turned, true)) {
            --*i;
            moved = true;
        }
    }
}

static bool find_first(const thaw_lay_shapes *shapes, const thaw_lay *lay, int self, bool is_turned, int most_j, int *out_i, int *out_j)
{
    int across[MOST_PLACES], down[MOST_PLACES];
    const int most_i = shapes->of[lay->at[self].piece].most_i;
    if (most_i < 0 || most_j < 0) {
        return false;
    }
    const int n_across = list_places(shapes, lay, self, most_i, false, across);
    const int n_down = list_places(shapes, lay, self, most_j, true, down);
    for (int b = 0; b < n_down; b++) {
        for (int a = 0; a < n_across; a++) {
            if (thaw_lay_is_free(shapes, lay, self, across[a], down[b], is_turned, true)) {
                *out_i = across[a];
                *out_j = down[b];
                slide(shapes, lay, self, is_turned, out_i, out_j);
                return true;
            }
        }
    }
    return false;
}

bool thaw_lay_fill_in(const thaw_lay_shapes *shapes, thaw_lay *lay, int self, bool may_be_straight, bool may_be_turned, int most_j)
{
    thaw_laid *own = &lay->at[self];
    bool found = false;
    for (int turned = 0; turned < 2; turned++) {
        int i = 0, j = 0;
        if ((turned ? may_be_turned : may_be_straight) && find_first(shapes, lay, self, turned, most_j, &i, &j) &&
            (!found || j < own->j || (j == own->j && i < own->i))) {
            own->i = i;
            own->j = j;
            own->is_turned = turned;
            found = true;
        }
    }
    own->is_placed = found;
    return found;
}
