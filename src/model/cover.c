#include "model/cover.h"

#include <math.h>

#include "base/alloc.h"

#define SAMPLES 4

thaw_status thaw_cover_create(double width_m, double length_m, double square_m, thaw_cover *out, thaw_error *err)
{
    thaw_cover c = {.square_m = square_m};
    c.nx = (int)ceil(width_m / square_m - 1e-9);
    c.ny = (int)ceil(length_m / square_m - 1e-9);
    c.nx = c.nx < 1 ? 1 : c.nx;
    c.ny = c.ny < 1 ? 1 : c.ny;
    c.start = thaw_allocate((size_t)c.nx * (size_t)c.ny + 1, sizeof *c.start, err);
    if (!c.start) {
        return THAW_ERR_MEMORY;
    }
    *out = c;
    return THAW_OK;
}

void thaw_cover_destroy(thaw_cover *cover)
{
    thaw_release(cover->start);
    thaw_release(cover->entry);
    thaw_release(cover->share);
    *cover = (thaw_cover){0};
}

static int clamp_index(double x, double square_m, int n)
{
    int i = (int)floor(x / square_m);
    return i < 0 ? 0 : (i >= n ? n - 1 : i);
}

size_t thaw_cover_square(const thaw_cover *cover, double x_m, double y_m)
{
    int i = clamp_index(x_m, cover->square_m, cover->nx);
    int j = clamp_index(y_m, cover->square_m, cover->ny);
    return (size_t)j * (size_t)cover->nx + (size_t)i;
}

/* Share of square (i, j) under the disc, by sampling; a disc smaller than the sampling counts by
 * its area in the square that holds its centre. */
static double disc_share(const thaw_cover *cover, int i, int j, double x, double y, double r)
{
    const double h = cover->square_m;
    int inside = 0;
    for (int b = 0; b < SAMPLES; b++) {
        for (int a = 0; a < SAMPLES; a++) {
            double dx = (i + (a + 0.5) / SAMPLES) * h - x, dy = (j + (b + 0.5) / SAMPLES) * h - y;
            inside += dx * dx + dy * dy <= r * r;
        }
    }
    if (r < h) {
        int home = clamp_index(x, h, cover->nx) == i && clamp_index(y, h, cover->ny) == j;
        double whole = 3.141592653589793 * r * r / (h * h);
        return home ? fmin(1.0, whole) : 0.0;
    }
    return (double)inside / (SAMPLES * SAMPLES);
}

typedef struct reach {
    int i0, i1, j0, j1;
} reach;

static reach reach_of(const thaw_cover *cover, double x, double y, double r)
{
    double h = cover->square_m, side = r < h ? 0.0 : r;
    return (reach){clamp_index(x - side, h, cover->nx), clamp_index(x + side, h, cover->nx),
                   clamp_index(y - side, h, cover->ny), clamp_index(y + side, h, cover->ny)};
}

static thaw_status make_room(thaw_cover *cover, size_t needed, thaw_error *err)
{
    if (needed <= cover->room) {
        return THAW_OK;
    }
    thaw_release(cover->entry);
    thaw_release(cover->share);
    cover->room = 0;
    cover->entry = thaw_allocate(needed, sizeof *cover->entry, err);
    cover->share = thaw_allocate(needed, sizeof *cover->share, err);
    if (!cover->entry || !cover->share) {
        return THAW_ERR_MEMORY;
    }
    cover->room = needed;
    return THAW_OK;
}

thaw_status thaw_cover_build(thaw_cover *cover, int n, const double *x_m, const double *y_m,
                             const double *radius_m, thaw_error *err)
{
    const size_t n_squares = (size_t)cover->nx * (size_t)cover->ny;
    /* First round counts, second round fills: start[] moves one place on while filling. */
    for (size_t q = 0; q <= n_squares; q++) {
        cover->start[q] = 0;
    }
    for (int round = 0; round < 2; round++) {
        for (int e = 0; e < n; e++) {
            if (!(radius_m[e] > 0.0)) {
                continue;
            }
            reach box = reach_of(cover, x_m[e], y_m[e], radius_m[e]);
            for (int j = box.j0; j <= box.j1; j++) {
                for (int i = box.i0; i <= box.i1; i++) {
                    double share = disc_share(cover, i, j, x_m[e], y_m[e], radius_m[e]);
                    size_t q = (size_t)j * (size_t)cover->nx + (size_t)i;
                    if (share > 0.0 && round) {
                        cover->entry[cover->start[q]] = e;
                        cover->share[cover->start[q]] = (float)share;
                    }
                    cover->start[q] += share > 0.0;
                }
            }
        }
        if (round) {
            break;
        }
        int32_t total = 0;
        for (size_t q = 0; q <= n_squares; q++) {
            int32_t count = q < n_squares ? cover->start[q] : 0;
            cover->start[q] = total;
            total += count;
        }
        if (make_room(cover, (size_t)total + 1, err) != THAW_OK) {
            return THAW_ERR_MEMORY;
        }
    }
    for (size_t q = n_squares; q > 0; q--) {
        cover->start[q] = cover->start[q - 1];
    }
    cover->start[0] = 0;
    return THAW_OK;
}

int thaw_cover_find(const thaw_cover *cover, double x_m, double y_m, int after, const double *cx_m,
                    const double *cy_m, const double *radius_m)
{
    size_t q = thaw_cover_square(cover, x_m, y_m);
    for (int32_t l = cover->start[q]; l < cover->start[q + 1]; l++) {
        int e = cover->entry[l];
        double dx = cx_m[e] - x_m, dy = cy_m[e] - y_m;
        if (e > after && dx * dx + dy * dy <= radius_m[e] * radius_m[e]) {
            return e;
        }
    }
    return -1;
}
