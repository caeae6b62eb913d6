#include "setup/scrunch_sheet.h"

#include <math.h>
#include <string.h>

#include "base/alloc.h"
#include "setup/spline.h"

enum { FINEST = 8 /* times as fine as at first */, BINS_MAX = 1 << 18, SHADOW_SIDE = 384, SHADOW_SAMPLES = 4 };

thaw_status thaw_sheet_create(double width_m, double length_m, int nx, int ny, thaw_sheet *out, thaw_error *err)
{
    thaw_sheet s = {.nx = nx, .ny = ny, .hx_m = width_m / (nx - 1), .hy_m = length_m / (ny - 1)};
    s.n_max = (size_t)(FINEST * (nx - 1) + 1) * (size_t)(FINEST * (ny - 1) + 1);
    s.bins_max = BINS_MAX;
    s.p = thaw_allocate(3 * s.n_max, sizeof(double), err);
    s.last = thaw_allocate(3 * s.n_max, sizeof(double), err);
    s.push = thaw_allocate(3 * s.n_max, sizeof(double), err);
    s.spare = thaw_allocate(3 * s.n_max, sizeof(double), err);
    s.bin = thaw_allocate(s.n_max, sizeof *s.bin, err);
    s.bin_nodes = thaw_allocate(s.n_max, sizeof *s.bin_nodes, err);
    s.bin_start = thaw_allocate(BINS_MAX + 1, sizeof *s.bin_start, err);
    s.shadow = thaw_allocate((size_t)SHADOW_SIDE * SHADOW_SIDE, 1, err);
    if (!s.p || !s.last || !s.push || !s.spare || !s.bin || !s.bin_nodes || !s.bin_start || !s.shadow) {
        thaw_sheet_destroy(&s);
        return THAW_ERR_MEMORY;
    }
    for (int j = 0; j < ny; j++)
        for (int i = 0; i < nx; i++) {
            double *p = s.p + 3 * ((size_t)j * (size_t)nx + (size_t)i);
            p[0] = i * s.hx_m;
            p[1] = j * s.hy_m;
        }
    *out = s;
    return THAW_OK;
}

void thaw_sheet_destroy(thaw_sheet *sheet)
{
    thaw_release(sheet->p);
    thaw_release(sheet->last);
    thaw_release(sheet->push);
    thaw_release(sheet->spare);
    thaw_release(sheet->bin);
    thaw_release(sheet->bin_nodes);
    thaw_release(sheet->bin_start);
    thaw_release(sheet->shadow);
    *sheet = (thaw_sheet){0};
}

/* Weights around one place: values and slopes along u and along v. */
typedef struct patch {
    int i, j;                      /* node before the place */
    double u[4], du[4], v[4], dv[4];
} patch;

/* Coordinate of node i of a row; beyond the rim the sheet is carried on straight. */
static double rimless(const double *row, int count, int i)
{
    if (i < 0)
        return 2.0 * row[0] - row[3];
    if (i >= count)
        return 2.0 * row[3 * (count - 1)] - row[3 * (count - 2)];
    return row[3 * i];
}

/* Value and slope along u of coordinate c on the four rows around the place. */
static void along_rows(const thaw_sheet *sheet, const patch *at, int c, double value[4], double slope[4])
{
    for (int b = 0; b < 4; b++) {
        int j = at->j - 1 + b;
        value[b] = slope[b] = 0.0;
        if (j < 0 || j >= sheet->ny)
            continue;
        const double *row = sheet->p + 3 * (size_t)j * (size_t)sheet->nx + c;
        for (int a = 0; a < 4; a++) {
            double x = rimless(row, sheet->nx, at->i - 1 + a);
            value[b] += at->u[a] * x;
            slope[b] += at->du[a] * x;
        }
    }
    if (at->j == 0) {
        value[0] = 2.0 * value[1] - value[2];
        slope[0] = 2.0 * slope[1] - slope[2];
    }
    if (at->j + 2 >= sheet->ny) {
        value[3] = 2.0 * value[2] - value[1];
        slope[3] = 2.0 * slope[2] - slope[1];
    }
}

static void cross_to_unit(const double a[3], const double b[3], double out[3])
{
    out[0] = a[1] * b[2] - a[2] * b[1];
    out[1] = a[2] * b[0] - a[0] * b[2];
    out[2] = a[0] * b[1] - a[1] * b[0];
    double length = sqrt(out[0] * out[0] + out[1] * out[1] + out[2] * out[2]);
    for (int c = 0; c < 3; c++)
        out[c] = length > 0.0 ? out[c] / length : (c == 2);
}

void thaw_sheet_at(const thaw_sheet *sheet, double u, double v, double place[3], double normal[3])
{
    patch at = {.i = (int)fmin(floor(u), sheet->nx - 2), .j = (int)fmin(floor(v), sheet->ny - 2)};
    double along_u[3] = {0.0}, along_v[3] = {0.0};
    thaw_spline_catmull(u - at.i, at.u, at.du);
    thaw_spline_catmull(v - at.j, at.v, at.dv);
    for (int c = 0; c < 3; c++) {
        double value[4], slope[4];
        along_rows(sheet, &at, c, value, slope);
        place[c] = 0.0;
        for (int b = 0; b < 4; b++) {
            place[c] += at.v[b] * value[b];
            along_u[c] += at.v[b] * slope[b];
            along_v[c] += at.dv[b] * value[b];
        }
    }
    cross_to_unit(along_u, along_v, normal);
}

void thaw_sheet_refine(thaw_sheet *sheet)
{
    int nx = 2 * sheet->nx - 1, ny = 2 * sheet->ny - 1;
    double normal[3];
#pragma omp parallel for schedule(static) default(none) shared(sheet, nx, ny) private(normal)
    for (int j = 0; j < ny; j++)
        for (int i = 0; i < nx; i++)
            thaw_sheet_at(sheet, 0.5 * i, 0.5 * j, sheet->spare + 3 * ((size_t)j * (size_t)nx + (size_t)i), normal);
    double *p = sheet->p;
    sheet->p = sheet->spare;
    sheet->spare = p;
    sheet->nx = nx;
    sheet->ny = ny;
    sheet->hx_m *= 0.5;
    sheet->hy_m *= 0.5;
    memcpy(sheet->last, sheet->p, 3 * (size_t)nx * (size_t)ny * sizeof(double));
}

static void cast_shadow(const thaw_sheet *sheet, size_t k, const double low[2], double bin_m)
{
    const double *a = sheet->p + 3 * k, *b = a + 3, *c = a + 3 * sheet->nx, *d = c + 3;
    for (int j = 0; j < SHADOW_SAMPLES; j++)
        for (int i = 0; i < SHADOW_SAMPLES; i++) {
            double s = (i + 0.5) / SHADOW_SAMPLES, t = (j + 0.5) / SHADOW_SAMPLES;
            double x = (1 - t) * ((1 - s) * a[0] + s * b[0]) + t * ((1 - s) * c[0] + s * d[0]);
            double y = (1 - t) * ((1 - s) * a[1] + s * b[1]) + t * ((1 - s) * c[1] + s * d[1]);
            sheet->shadow[(int)((y - low[1]) / bin_m) * SHADOW_SIDE + (int)((x - low[0]) / bin_m)] = 1;
        }
}

double thaw_sheet_plan_area(const thaw_sheet *sheet)
{
    size_t n = (size_t)sheet->nx * (size_t)sheet->ny;
    double low[2] = {sheet->p[0], sheet->p[1]}, high[2] = {low[0], low[1]};
    for (size_t k = 0; k < n; k++)
        for (int c = 0; c < 2; c++) {
            low[c] = fmin(low[c], sheet->p[3 * k + (size_t)c]);
            high[c] = fmax(high[c], sheet->p[3 * k + (size_t)c]);
        }
    double span = fmax(high[0] - low[0], high[1] - low[1]);
    double bin_m = fmax(span / (SHADOW_SIDE - 2), 0.35 * fmax(sheet->hx_m, sheet->hy_m));
    memset(sheet->shadow, 0, (size_t)SHADOW_SIDE * SHADOW_SIDE);
    for (int j = 0; j + 1 < sheet->ny; j++)
        for (int i = 0; i + 1 < sheet->nx; i++)
            cast_shadow(sheet, (size_t)j * (size_t)sheet->nx + (size_t)i, low, bin_m);
    int covered = 0;
    for (size_t s = 0; s < (size_t)SHADOW_SIDE * SHADOW_SIDE; s++)
        covered += sheet->shadow[s];
    return covered * bin_m * bin_m;
}
