#include "study/lay_footprint.h"

#include <math.h>

#include "base/alloc.h"

#define STEP  THAW_LAY_STEP_M
#define TOUCH 1e-9                 /* m: an edge along the side of a square does not touch it */
#define BITS  64

bool thaw_shape_holds(const thaw_polygon *shape, double x, double y)
{
    bool inside = false;
    for (int i = 0, j = shape->n - 1; i < shape->n; j = i++) {
        const double *a = shape->at[i], *b = shape->at[j];
        if ((a[1] > y) != (b[1] > y) && x < a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0])) {
            inside = !inside;
        }
    }
    return inside;
}

static void set_bits(uint64_t *row, int from, int to)
{
    for (int i = from; i <= to; i++) {
        row[i / BITS] |= (uint64_t)1 << (i % BITS);
    }
}

/* Squares of row j that the edge passes through. */
static void mark_edge(const thaw_footprint *c, const double *a, const double *b, int j, uint64_t *row)
{
    const double top = (c->j0 + j) * STEP + TOUCH, bottom = (c->j0 + j + 1) * STEP - TOUCH;
    const double *upper = a[1] <= b[1] ? a : b, *lower = a[1] <= b[1] ? b : a;
    if (upper[1] > bottom || lower[1] < top) {
        return;
    }
    double from = upper[0], to = lower[0];
    const double slope = lower[1] > upper[1] ? (lower[0] - upper[0]) / (lower[1] - upper[1]) : 0.0;
    if (upper[1] < top) {
        from = upper[0] + (top - upper[1]) * slope;
    }
    if (lower[1] > bottom) {
        to = upper[0] + (bottom - upper[1]) * slope;
    }
    const double least = fmin(from, to) + TOUCH, most = fmax(from, to) - TOUCH;
    const int first = (int)floor(fmin(least, most) / STEP) - c->i0, last = (int)floor(fmax(least, most) / STEP) - c->i0;
    set_bits(row, first < 0 ? 0 : first, last >= c->nx ? c->nx - 1 : last);
}

/* Squares whose middle lies inside, between one crossing and the next. */
static void fill_row(const thaw_footprint *c, const thaw_polygon *shape, int j, double *crossings, uint64_t *row)
{
    const double y = (c->j0 + j + 0.5) * STEP;
    int n = 0;
    for (int i = 0; i < shape->n; i++) {
        const double *a = shape->at[i], *b = shape->at[i + 1 < shape->n ? i + 1 : 0];
        if ((a[1] > y) != (b[1] > y)) {
            double x = a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]);
            int k = n++;
            for (; k > 0 && crossings[k - 1] > x; k--) {
                crossings[k] = crossings[k - 1];
            }
            crossings[k] = x;
        }
    }
    for (int k = 0; k + 1 < n; k += 2) {
        const int first = (int)ceil(crossings[k] / STEP - 0.5) - c->i0, last = (int)floor(crossings[k + 1] / STEP - 0.5) - c->i0;
        set_bits(row, first < 0 ? 0 : first, last >= c->nx ? c->nx - 1 : last);
    }
}

thaw_status thaw_footprint_make(const thaw_polygon *shape, thaw_footprint *out, thaw_error *err)
{
    const thaw_extent e = thaw_polygon_extent(shape);
    thaw_footprint c = {.i0 = (int)floor((e.x0 + TOUCH) / STEP), .j0 = (int)floor((e.y0 + TOUCH) / STEP)};
    c.nx = (int)ceil((e.x1 - TOUCH) / STEP) - c.i0;
    c.ny = (int)ceil((e.y1 - TOUCH) / STEP) - c.j0;
    c.words = (c.nx + BITS - 1) / BITS;
    double *crossings = thaw_allocate((size_t)shape->n, sizeof *crossings, err);
    c.bits = crossings ? thaw_allocate((size_t)c.ny * (size_t)c.words, sizeof *c.bits, err) : NULL;
    if (!c.bits) {
        thaw_release(crossings);
        return THAW_ERR_MEMORY;
    }
    for (int j = 0; j < c.ny; j++) {
        uint64_t *row = c.bits + (size_t)j * (size_t)c.words;
        fill_row(&c, shape, j, crossings, row);
    }
    for (int i = 0; i < shape->n; i++) {
        const double *a = shape->at[i], *b = shape->at[i + 1 < shape->n ? i + 1 : 0];
        const int first = (int)floor(fmin(a[1], b[1]) / STEP) - c.j0 - 1, last = (int)floor(fmax(a[1], b[1]) / STEP) - c.j0 + 1;
        for (int j = first < 0 ? 0 : first; j <= last && j < c.ny; j++) {
            mark_edge(&c, a, b, j, c.bits + (size_t)j * (size_t)c.words);
        }
    }
    thaw_release(crossings);
    *out = c;
    return THAW_OK;
}

void thaw_footprint_release(thaw_footprint *cover)
{
    thaw_release(cover->bits);
    cover->bits = NULL;
}

/* Rows a and b, b beginning d >= 0 bits to the right of a. */
static bool rows_meet(const uint64_t *a, int a_words, const uint64_t *b, int b_words, int d)
{
    const int skip = d / BITS, shift = d % BITS;
    for (int w = 0; w < b_words && w + skip < a_words; w++) {
        if (a[w + skip] & (b[w] << shift)) {
            return true;
        }
        if (shift && w + skip + 1 < a_words && (a[w + skip + 1] & (b[w] >> (BITS - shift)))) {
            return true;
        }
    }
    return false;
}

bool thaw_footprint_meet(const thaw_footprint *a, int ai, int aj, const thaw_footprint *b, int bi, int bj)
{
    const int ax = ai + a->i0, ay = aj + a->j0, bx = bi + b->i0, by = bj + b->j0;
    const int top = ay > by ? ay : by, end = ay + a->ny < by + b->ny ? ay + a->ny : by + b->ny;
    if (ax >= bx + b->nx || bx >= ax + a->nx) {
        return false;
    }
    if (bx < ax) {
        return thaw_footprint_meet(b, bi, bj, a, ai, aj);
    }
    for (int j = top; j < end; j++) {
        if (rows_meet(a->bits + (size_t)(j - ay) * (size_t)a->words, a->words,
                      b->bits + (size_t)(j - by) * (size_t)b->words, b->words, bx - ax)) {
            return true;
        }
    }
    return false;
}
