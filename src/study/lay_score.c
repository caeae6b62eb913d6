#include "study/lay_score.h"

#include <math.h>
#include <string.h>

#include "base/alloc.h"
#include "base/error.h"
#include "look/colour.h"
#include "study/lay_footprint.h"

#define FINEST_M 5e-4              /* between places looked at */

/* ---- the cloth ---- */

static float amount_of(const double lab[3], const double bare[3])
{
    const double dl = lab[0] - bare[0], da = lab[1] - bare[1], db = lab[2] - bare[2];
    return (float)fmin(1.0, sqrt(dl * dl + da * da + db * db) / THAW_FULL_AMOUNT);
}

static void fill_row(const thaw_views *v, const thaw_image *picture, int m, int j)
{
    for (int i = 0; i < v->nx; i++) {
        const uint8_t *p = picture->rgb + 3 * ((size_t)j * (size_t)v->nx + (size_t)i);
        float *cell = v->cells + 4 * (((size_t)m * (size_t)v->ny + (size_t)j) * (size_t)v->nx + (size_t)i);
        double linear[3], xyz[3], lab[3];
        for (int c = 0; c < 3; c++) {
            linear[c] = thaw_colour_decode(p[c] / 255.0);
        }
        thaw_colour_xyz(linear, xyz);
        thaw_colour_lab(xyz, lab);
        for (int c = 0; c < 3; c++) {
            cell[c] = (float)lab[c];
        }
        cell[3] = amount_of(lab, v->bare);
    }
}

thaw_status thaw_views_create(const thaw_image *pictures, int n, const double bare[3], thaw_views *out, thaw_error *err)
{
    if (n < 1 || n > THAW_VIEWS_MOST) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "1 to %d outcomes can be looked at", THAW_VIEWS_MOST);
    }
    thaw_views v = {n, pictures[0].width, pictures[0].height, pictures[0].pixel_m, {bare[0], bare[1], bare[2]}, NULL};
    v.cells = thaw_allocate((size_t)n * (size_t)v.nx * (size_t)v.ny, 4 * sizeof *v.cells, err);
    if (!v.cells) {
        return THAW_ERR_MEMORY;
    }
    for (int m = 0; m < n; m++) {
        for (int j = 0; j < v.ny; j++) {
            fill_row(&v, &pictures[m], m, j);
        }
    }
    *out = v;
    return THAW_OK;
}

void thaw_views_release(thaw_views *views)
{
    thaw_release(views->cells);
    views->cells = NULL;
}

/* ---- places on the piece ---- */

static double along(const double unit[2], double x, double y)
{
    return unit[0] * x + unit[1] * y;
}

/* Least and most of the outline along a unit vector. */
static void find_span(const thaw_polygon *outline, const double unit[2], double span[2])
{
    span[0] = INFINITY;
    span[1] = -INFINITY;
    for (int i = 0; i < outline->n; i++) {
        const double at = along(unit, outline->at[i][0], outline->at[i][1]);
        span[0] = fmin(span[0], at);
        span[1] = fmax(span[1], at);
    }
}

static int share_of(double at, const double span[2], int n)
{
    const int k = (int)((at - span[0]) / (span[1] - span[0]) * n);
    return k < 0 ? 0 : k >= n ? n - 1 : k;
}

static int count_places(const thaw_pattern_piece *piece, double step, double width_m, double length_m, thaw_probes *out)
{
    const double across[2] = {piece->down[1], -piece->down[0]};
    double down_span[2], across_span[2];
    int n = 0;
    find_span(&piece->outline, piece->down, down_span);
    find_span(&piece->outline, across, across_span);
    for (int j = 0; j * step < length_m; j++) {
        for (int i = 0; i * step < width_m; i++) {
            const double x = (i + 0.5) * step, y = (j + 0.5) * step;
            if (thaw_shape_holds(&piece->outline, x, y)) {
                if (out) {
                    out->at[n][0] = (float)x;
                    out->at[n][1] = (float)y;
                    out->band[n] = (uint8_t)(THAW_BANDS - 1 - share_of(along(piece->down, x, y), down_span, THAW_BANDS));
                    out->patch[n] = (uint8_t)(2 * share_of(along(piece->down, x, y), down_span, THAW_PATCH_ROWS) +
                                              share_of(along(across, x, y), across_span, 2));
                }
                n++;
            }
        }
    }
    return n;
}

thaw_status thaw_probes_create(const thaw_pattern_piece *piece, int wanted, thaw_probes *out, thaw_error *err)
{
    const thaw_extent e = thaw_polygon_extent(&piece->outline);
    double step = sqrt(thaw_polygon_area(&piece->outline) / wanted);
    thaw_probes p = {.width_m = e.x1, .length_m = e.y1};
    while ((p.n = count_places(piece, step, e.x1, e.y1, NULL)) < wanted / 2 && step > FINEST_M) {
        step *= 0.7; /* a narrow piece falls between places far apart */
    }
    const size_t n = (size_t)(p.n > 0 ? p.n : 1);
    p.at = thaw_allocate(n, sizeof *p.at, err);
    p.band = thaw_allocate(n, 1, err);
    p.patch = thaw_allocate(n, 1, err);
    if (!p.at || !p.band || !p.patch) {
        thaw_probes_release(&p);
        return THAW_ERR_MEMORY;
    }
    count_places(piece, step, e.x1, e.y1, &p);
    *out = p;
    return THAW_OK;
}

void thaw_probes_release(thaw_probes *probes)
{
    thaw_release(probes->at);
    thaw_release(probes->band);
    thaw_release(probes->patch);
    *probes = (thaw_probes){0};
}

/* ---- scores ---- */

typedef struct sums {
    double lab[3], square, amount, miss[THAW_MAX_WISHES];
    double band[THAW_BANDS], in_band[THAW_BANDS];
    double patch[THAW_PATCHES][3], in_patch[THAW_PATCHES];
} sums;

static void look(const thaw_views *v, int m, const thaw_pattern_piece *piece, const thaw_probes *p, double x, double y, bool flip_x,
                 bool flip_y, sums *s)
{
    const float *cells = v->cells + 4 * (size_t)m * (size_t)v->nx * (size_t)v->ny;
    const double x0 = flip_x ? x + p->width_m : x, y0 = flip_y ? y + p->length_m : y;
    const double per = 1.0 / v->cell_m, sx = flip_x ? -1.0 : 1.0, sy = flip_y ? -1.0 : 1.0;
    for (int k = 0; k < p->n; k++) {
        int i = (int)((x0 + sx * (double)p->at[k][0]) * per), j = (int)((y0 + sy * (double)p->at[k][1]) * per);
        i = i < 0 ? 0 : i >= v->nx ? v->nx - 1 : i;
        j = j < 0 ? 0 : j >= v->ny ? v->ny - 1 : j;
        const float *c = cells + 4 * ((size_t)j * (size_t)v->nx + (size_t)i);
        for (int q = 0; q < 3; q++) {
            s->lab[q] += (double)c[q];
            s->square += (double)c[q] * (double)c[q];
            s->patch[p->patch[k]][q] += (double)c[q];
        }
        s->amount += (double)c[3];
        s->band[p->band[k]] += (double)c[3];
        s->in_band[p->band[k]] += 1.0;
        s->in_patch[p->patch[k]] += 1.0;
        for (int w = 0; w < piece->n_wishes; w++) {
            if (piece->wishes[w].kind == THAW_WISH_COLOUR) {
                const double *t = piece->wishes[w].lab;
                const double dl = (double)c[0] - t[0], da = (double)c[1] - t[1], db = (double)c[2] - t[2];
                s->miss[w] += fmin(1.0, sqrt(dl * dl + da * da + db * db) / THAW_FULL_MISS);
            }
        }
    }
}

/* Mean amount of bands first .. end - 1. */
static double amount_between(const sums *s, int first, int end)
{
    double amount = 0.0, n = 0.0;
    for (int b = first; b < end; b++) {
        amount += s->band[b];
        n += s->in_band[b];
    }
    return n > 0.0 ? amount / n : 0.0;
}

/* Half for more colour in the lower third than in the upper, as much as an even fade has (2/3); half for how near the bands
 * are to that fade, from full at the hem to none. Nearness alone would not tell half a piece dyed from all of it half dyed. */
static double hem_score(const sums *s, int n)
{
    const double contrast = amount_between(s, 0, THAW_BANDS / 3) - amount_between(s, THAW_BANDS - THAW_BANDS / 3, THAW_BANDS);
    double apart = 0.0;
    for (int b = 0; b < THAW_BANDS; b++) {
        if (s->in_band[b] > 0.0) {
            const double wanted = 1.0 - (b + 0.5) / THAW_BANDS;
            apart += s->in_band[b] / n * fabs(s->band[b] / s->in_band[b] - wanted);
        }
    }
    return 50.0 * fmin(1.0, fmax(0.0, 1.5 * contrast)) + 50.0 * fmax(0.0, 1.0 - 2.0 * apart);
}

static double even_score(const sums *s, int n)
{
    double spread = s->square / n;
    for (int q = 0; q < 3; q++) {
        spread -= s->lab[q] / n * (s->lab[q] / n);
    }
    return 100.0 * fmax(0.0, 1.0 - sqrt(fmax(0.0, spread)) / THAW_FULL_UNEVEN);
}

static double wish_score(const sums *s, const thaw_pattern_piece *piece, int w, int n)
{
    switch (piece->wishes[w].kind) {
    case THAW_WISH_WHITE:
        return 100.0 * (1.0 - s->amount / n);
    case THAW_WISH_COLOURED:
        return 100.0 * s->amount / n;
    case THAW_WISH_HEM:
        return hem_score(s, n);
    case THAW_WISH_EVEN:
        return even_score(s, n);
    case THAW_WISH_COLOUR:
        return 100.0 * (1.0 - s->miss[w] / n);
    default:
        return 0.0;                /* a match is between two */
    }
}

void thaw_score_piece(const thaw_views *views, int m, const thaw_pattern_piece *piece, const thaw_probes *probes, double x, double y,
                      bool flip_x, bool flip_y, double score[THAW_MAX_WISHES], thaw_patches *patches)
{
    sums s = {0};
    const int n = probes->n > 0 ? probes->n : 1;
    look(views, m, piece, probes, x, y, flip_x, flip_y, &s);
    for (int w = 0; w < piece->n_wishes; w++) {
        score[w] = wish_score(&s, piece, w, n);
    }
    for (int k = 0; patches && k < THAW_PATCHES; k++) {
        patches->weight[k] = (float)(s.in_patch[k] / n);
        for (int q = 0; q < 3; q++) {
            patches->lab[k][q] = s.in_patch[k] > 0.0 ? (float)(s.patch[k][q] / s.in_patch[k]) : 0.0f;
        }
    }
}

/* Mean difference over patches that both have, weighted by the smaller share. */
static double alike(const thaw_patches *a, const int *of_a, const thaw_patches *b, const int *of_b, int n)
{
    double apart = 0.0, weight = 0.0;
    for (int k = 0; k < n; k++) {
        const float *p = a->lab[of_a[k]], *q = b->lab[of_b[k]];
        const double w = fmin((double)a->weight[of_a[k]], (double)b->weight[of_b[k]]);
        const double dl = (double)(p[0] - q[0]), da = (double)(p[1] - q[1]), db = (double)(p[2] - q[2]);
        apart += w * sqrt(dl * dl + da * da + db * db);
        weight += w;
    }
    return weight > 0.0 ? 100.0 * fmax(0.0, 1.0 - apart / weight / THAW_FULL_APART) : 0.0;
}

double thaw_score_pair(const thaw_patches *a, const thaw_patches *b)
{
    static const int same[THAW_PATCHES] = {0, 1, 2, 3, 4, 5, 6, 7};
    return alike(a, same, b, same, THAW_PATCHES);
}

double thaw_score_halves(const thaw_patches *patches)
{
    static const int left[THAW_PATCH_ROWS] = {0, 2, 4, 6}, right[THAW_PATCH_ROWS] = {1, 3, 5, 7};
    return alike(patches, left, patches, right, THAW_PATCH_ROWS);
}
