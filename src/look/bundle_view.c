#include "look/bundle_view.h"

#include <math.h>
#include <stddef.h>

#include "base/alloc.h"
#include "base/error.h"
#include "look/colour.h"
#include "look/render.h"

/* Looks, chosen by eye. */
#define MARGIN_M       THAW_BUNDLE_MARGIN_M
#define CUT_CELLS      4.0   /* corners further apart than this do not hang together */
#define SMOOTH_M       0.004 /* cloth is not seen finer than this in the light */
#define HOLLOW_M       0.012 /* reach of the contact shadow */
#define HOLLOW_DEPTH_M 0.012 /* a hollow this deep loses 1 - 1/e of SHADOW */
#define SHADOW         0.55
#define LIGHT_TILT     0.45 /* how strongly slopes take light */
#define MAX_SLOPE      1.0
#define SAMPLES        2 /* along each side of a pixel, against jagged edges */
#define MAX_PIXELS     10000
static const double tray_linear[3] = {0.300, 0.283, 0.262};

/* Fields of width * height samples, SAMPLES by SAMPLES to a pixel; heights below 0 are bare tray.
 */
typedef struct view {
    const thaw_bundle *bundle;
    int width, height;            /* samples */
    double pixel_m;               /* edge of a sample */
    double *cells;                /* own: linear light of each cell, three planes */
    float *z;                     /* own: height of the highest surface, m */
    float *light;                 /* own: linear light, three values a sample */
    float *soft, *wide, *scratch; /* own: blurred heights */
    uint8_t *rgb;                 /* own until handed over */
    thaw_encoder *encoder;        /* own */
} view;

typedef struct corner {
    double x, y, z; /* samples, samples, m */
    double light[3];
} corner;

static corner corner_of(const view *v, size_t k)
{
    const thaw_bundle *b = v->bundle;
    corner c = {
        (b->x_m[k] + MARGIN_M) / v->pixel_m, (b->y_m[k] + MARGIN_M) / v->pixel_m, b->z_m[k], {0}};
    for (int i = 0; i < 3; i++) {
        c.light[i] = v->cells[(size_t)i * b->n + k];
    }
    return c;
}

static void put(view *v, int px, int py, const corner c[3], const double w[3])
{
    size_t at = (size_t)py * (size_t)v->width + (size_t)px;
    float z = (float)(w[0] * c[0].z + w[1] * c[1].z + w[2] * c[2].z);
    if (z <= v->z[at]) {
        return;
    }
    v->z[at] = z;
    for (int i = 0; i < 3; i++) {
        v->light[3 * at + (size_t)i] =
            (float)(w[0] * c[0].light[i] + w[1] * c[1].light[i] + w[2] * c[2].light[i]);
    }
}

static int bound(double value, int n)
{
    return value < 0.0 ? 0 : value > n - 1 ? n - 1 : (int)value;
}

/* Every sample whose centre lies in the triangle. */
static void draw_triangle(view *v, const corner c[3])
{
    double ax = c[1].x - c[0].x, ay = c[1].y - c[0].y;
    double bx = c[2].x - c[0].x, by = c[2].y - c[0].y;
    double area = ax * by - ay * bx;
    if (fabs(area) < 1e-9) {
        return;
    }
    int x0 = bound(fmin(c[0].x, fmin(c[1].x, c[2].x)) - 0.5, v->width);
    int x1 = bound(fmax(c[0].x, fmax(c[1].x, c[2].x)) + 0.5, v->width);
    int y0 = bound(fmin(c[0].y, fmin(c[1].y, c[2].y)) - 0.5, v->height);
    int y1 = bound(fmax(c[0].y, fmax(c[1].y, c[2].y)) + 0.5, v->height);
    for (int py = y0; py <= y1; py++) {
        for (int px = x0; px <= x1; px++) {
            double dx = px + 0.5 - c[0].x, dy = py + 0.5 - c[0].y;
            double w1 = (dx * by - dy * bx) / area, w2 = (ax * dy - ay * dx) / area;
            double w[3] = {1.0 - w1 - w2, w1, w2};
            if (w[0] >= -1e-9 && w1 >= -1e-9 && w2 >= -1e-9) {
                put(v, px, py, c, w);
            }
        }
    }
}

static bool hangs_together(const view *v, const corner *a, const corner *b)
{
    double limit = CUT_CELLS * v->bundle->cell_m / v->pixel_m;
    double dx = a->x - b->x, dy = a->y - b->y;
    return dx * dx + dy * dy <= limit * limit;
}

static void draw_square(view *v, size_t k)
{
    size_t nx = (size_t)v->bundle->nx;
    const thaw_bundle *b = v->bundle;
    if (b->cut && !(thaw_bundle_joins_right(b, k) && thaw_bundle_joins_down(b, k) && thaw_bundle_joins_right(b, k + nx) &&
                    thaw_bundle_joins_down(b, k + 1))) {
        return;
    }
    corner c[4] = {corner_of(v, k), corner_of(v, k + 1), corner_of(v, k + nx),
                   corner_of(v, k + nx + 1)};
    for (int i = 0; i < 4; i++) {
        for (int j = i + 1; j < 4; j++) {
            if (!hangs_together(v, &c[i], &c[j])) {
                return;
            }
        }
    }
    draw_triangle(v, (corner[3]){c[0], c[1], c[2]});
    draw_triangle(v, (corner[3]){c[3], c[2], c[1]});
}

/* Serial: where two surfaces meet at the same height the first drawn stays, whatever the threads.
 */
static void draw_cloth(view *v)
{
    size_t n_pixels = (size_t)v->width * (size_t)v->height;
    for (size_t p = 0; p < n_pixels; p++) {
        v->z[p] = -1.0f;
    }
    for (int j = 0; j + 1 < v->bundle->ny - v->bundle->hung_rows; j++) {
        for (int i = 0; i + 1 < v->bundle->nx; i++) {
            draw_square(v, (size_t)j * (size_t)v->bundle->nx + (size_t)i);
        }
    }
}

/* Running mean of 2 * half + 1 values along a line of n, edges repeated. */
static void mean_line(const float *in, float *out, int n, size_t stride, int half)
{
    double sum = 0.0;
    for (int i = -half; i <= half; i++) {
        sum += in[(size_t)(i < 0 ? 0 : i < n ? i : n - 1) * stride];
    }
    for (int i = 0; i < n; i++) {
        out[(size_t)i * stride] = (float)(sum / (2 * half + 1));
        int gone = i - half, come = i + half + 1;
        sum += in[(size_t)(come < n ? come : n - 1) * stride] -
               in[(size_t)(gone < 0 ? 0 : gone) * stride];
    }
}

/* Two running means each way: close to a Gaussian of about reach_m. */
static void blur(const view *v, float *field, double reach_m)
{
    int half = (int)(reach_m / v->pixel_m + 0.5);
    half = half < 1 ? 1 : half;
    for (int pass = 0; pass < 2; pass++) {
        for (int y = 0; y < v->height; y++) {
            size_t row = (size_t)y * (size_t)v->width;
            mean_line(field + row, v->scratch + row, v->width, 1, half);
        }
        for (int x = 0; x < v->width; x++) {
            mean_line(v->scratch + x, field + x, v->height, (size_t)v->width, half);
        }
    }
}

static void blur_heights(view *v)
{
    size_t n_pixels = (size_t)v->width * (size_t)v->height;
    for (size_t p = 0; p < n_pixels; p++) {
        v->soft[p] = v->wide[p] = fmaxf(v->z[p], 0.0f);
    }
    blur(v, v->soft, SMOOTH_M);
    blur(v, v->wide, HOLLOW_M);
}

static double limited_slope(double dz, double dx)
{
    return fmin(fmax(dz / dx, -MAX_SLOPE), MAX_SLOPE);
}

/* Share of light at a sample: level ground 1, slopes facing the lamp more, hollows less. */
static double shade(const view *v, int x, int y)
{
    size_t at = (size_t)y * (size_t)v->width + (size_t)x, w = (size_t)v->width;
    size_t left = x > 0 ? at - 1 : at, right = x + 1 < v->width ? at + 1 : at;
    size_t up = y > 0 ? at - w : at, down = y + 1 < v->height ? at + w : at;
    bool bare = v->z[at] < 0.0f;
    double sx = limited_slope((double)v->soft[right] - (double)v->soft[left], 2.0 * v->pixel_m);
    double sy = limited_slope((double)v->soft[down] - (double)v->soft[up], 2.0 * v->pixel_m);
    double tilt =
        (1.0 + LIGHT_TILT * (0.6 * sx + 0.8 * sy)) / sqrt(1.0 + 0.5 * (sx * sx + sy * sy));
    double hollow = fmax((double)v->wide[at] - fmax((double)v->z[at], 0.0), 0.0);
    return (bare ? 1.0 : fmax(tilt, 0.2)) * (1.0 - SHADOW * (1.0 - exp(-hollow / HOLLOW_DEPTH_M)));
}

static void add_sample(const view *v, int x, int y, double rgb[3])
{
    size_t at = (size_t)y * (size_t)v->width + (size_t)x;
    double light = shade(v, x, y) / (SAMPLES * SAMPLES);
    for (int i = 0; i < 3; i++) {
        rgb[i] += light * (v->z[at] < 0.0f ? tray_linear[i] : (double)v->light[3 * at + (size_t)i]);
    }
}

static void colour_row(const view *v, int row)
{
    int n = v->width / SAMPLES;
    for (int column = 0; column < n; column++) {
        double rgb[3] = {0.0, 0.0, 0.0};
        for (int s = 0; s < SAMPLES * SAMPLES; s++) {
            add_sample(v, column * SAMPLES + s % SAMPLES, row * SAMPLES + s / SAMPLES, rgb);
        }
        thaw_colour_fit(rgb);
        thaw_colour_bytes(v->encoder, rgb, v->rgb + 3 * ((size_t)row * (size_t)n + (size_t)column));
    }
}

static void view_release(view *v)
{
    thaw_release(v->cells);
    thaw_release(v->z);
    thaw_release(v->light);
    thaw_release(v->soft);
    thaw_release(v->wide);
    thaw_release(v->scratch);
    thaw_release(v->rgb);
    thaw_encoder_destroy(v->encoder);
}

static thaw_status view_create(view *v, thaw_error *err)
{
    size_t n = (size_t)v->width * (size_t)v->height;
    bool done = (v->cells = thaw_allocate(3 * v->bundle->n, sizeof *v->cells, err)) &&
                (v->z = thaw_allocate(n, sizeof *v->z, err)) &&
                (v->light = thaw_allocate(3 * n, sizeof *v->light, err)) &&
                (v->soft = thaw_allocate(n, sizeof *v->soft, err)) &&
                (v->wide = thaw_allocate(n, sizeof *v->wide, err)) &&
                (v->scratch = thaw_allocate(n, sizeof *v->scratch, err)) &&
                (v->rgb = thaw_allocate(3 * n / (SAMPLES * SAMPLES), 1, err));
    return done ? thaw_encoder_create(&v->encoder, err) : THAW_ERR_MEMORY;
}

static thaw_status cells_linear(view *v, const thaw_print *print, bool wet, thaw_error *err)
{
    size_t n = v->bundle->n;
    thaw_status status = thaw_look_cells(print, wet, v->cells, err);
    for (size_t k = 0; k < n && status == THAW_OK; k++) {
        double xyz[3] = {v->cells[k], v->cells[n + k], v->cells[2 * n + k]}, rgb[3];
        thaw_colour_linear(xyz, rgb);
        thaw_colour_fit(rgb);
        for (int i = 0; i < 3; i++) {
            v->cells[(size_t)i * n + k] = rgb[i];
        }
    }
    return status;
}

thaw_status thaw_look_bundle(const thaw_print *print, const thaw_bundle *bundle, bool wet,
                             double pixel_m, thaw_image *out, thaw_error *err)
{
    double width = ceil((bundle->width_m + 2.0 * MARGIN_M) / pixel_m);
    double height = ceil((bundle->length_m + 2.0 * MARGIN_M) / pixel_m);
    if (print->nx != bundle->nx || print->ny != bundle->ny || !(pixel_m > 0.0) ||
        !(width <= MAX_PIXELS && height <= MAX_PIXELS)) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "the bundle cannot be drawn with pixels of %g m",
                         pixel_m);
    }
    view v = {.bundle = bundle,
              .width = SAMPLES * (int)width,
              .height = SAMPLES * (int)height,
              .pixel_m = pixel_m / SAMPLES};
    thaw_status status = view_create(&v, err);
    if (status == THAW_OK) {
        status = cells_linear(&v, print, wet, err);
    }
    if (status == THAW_OK) {
        draw_cloth(&v);
        blur_heights(&v);
#pragma omp parallel for schedule(static) default(none) shared(v)
        for (int row = 0; row < v.height / SAMPLES; row++) {
            colour_row(&v, row);
        }
        *out = (thaw_image){(int)width, (int)height, pixel_m, v.rgb};
        v.rgb = NULL;
    }
    view_release(&v);
    return status;
}
