#include "look/ice_view.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "base/alloc.h"
#include "look/bundle_view.h"
#include "look/colour.h"
#include "look/kubelka.h"
#include "look/render.h"

/* Looks, chosen by eye. */
#define CLEAR       0.50   /* of the middle of a piece: how much it hides what lies below */
#define RIM         0.82   /* of its rim */
#define GLINT       0.35   /* how much lighter the side towards the lamp is */
#define POWDER_SEEN 0.20   /* share of powder on ice that colours it at a time */
#define MARGIN      0.04   /* of a square, round the cloth */
static const double ice_linear[3] = {0.66, 0.74, 0.80};
static const unsigned char tray_bytes[3] = {149, 145, 140}; /* of bundle_view.c */

static int inside(double value, int n)
{
    return value < 0.0 ? 0 : value > n ? n : (int)value;
}

static void draw_disc(const thaw_ice_disc *disc, const double decode[256], const thaw_encoder *encoder, thaw_image *on)
{
    const double x = (disc->x_m + THAW_BUNDLE_MARGIN_M) / on->pixel_m, y = (disc->y_m + THAW_BUNDLE_MARGIN_M) / on->pixel_m;
    const double r = disc->radius_m / on->pixel_m;
    for (int py = inside(y - r, on->height); py < inside(y + r + 1.0, on->height); py++) {
        for (int px = inside(x - r, on->width); px < inside(x + r + 1.0, on->width); px++) {
            const double dx = px + 0.5 - x, dy = py + 0.5 - y, far = hypot(dx, dy);
            const double edge = fmin(1.0, fmax(0.0, r - far + 0.5)); /* smooth rim */
            if (edge <= 0.0) {
                continue;
            }
            const double u = fmin(1.0, far / r), alpha = edge * (CLEAR + (RIM - CLEAR) * u * u * u);
            const double light = 1.0 - GLINT * (0.6 * dx + 0.8 * dy) / fmax(r, 1.0);
            uint8_t *rgb = on->rgb + 3 * ((size_t)py * (size_t)on->width + (size_t)px);
            double mixed[3];
            for (int c = 0; c < 3; c++) {
                mixed[c] = (1.0 - alpha) * decode[rgb[c]] + alpha * fmin(1.0, light * disc->rgb[c]);
            }
            thaw_colour_bytes(encoder, mixed, rgb);
        }
    }
}

/* Serial, from the lowest up: the same whatever the threads. */
thaw_status thaw_look_ice(const thaw_ice_disc *discs, int n, thaw_image *on, thaw_error *err)
{
    double decode[256];
    thaw_encoder *encoder = NULL;
    thaw_status status = thaw_encoder_create(&encoder, err);
    if (status != THAW_OK) {
        return status;
    }
    for (int v = 0; v < 256; v++) {
        decode[v] = thaw_colour_decode(v / 255.0);
    }
    for (int i = n - 1; i >= 0; i--) {
        if (discs[i].radius_m > 0.0) {
            draw_disc(&discs[i], decode, encoder, on);
        }
    }
    thaw_encoder_destroy(encoder);
    return THAW_OK;
}

void thaw_look_powder(const thaw_print *print, const double *powder_kg_m2, double rgb[3])
{
    double seen[THAW_MAX_COMPONENTS], xyz[3], white[3];
    thaw_print one = {.nx = 1, .ny = 1, .cell_m = print->cell_m, .cloth = print->cloth, .n_components = print->n_components};
    for (int c = 0; c < print->n_components; c++) {
        seen[c] = POWDER_SEEN * powder_kg_m2[c];
        one.components[c] = print->components[c];
        one.rows[c] = print->rows[c];
        one.fixed_kg_m2[c] = &seen[c];
    }
    thaw_look_cells(&one, false, xyz, NULL);
    one.n_components = 0;
    thaw_look_cells(&one, false, white, NULL);
    thaw_colour_linear(xyz, rgb);
    thaw_colour_linear(white, white);
    for (int c = 0; c < 3; c++) { /* what the dye takes away, from the colour of ice */
        rgb[c] = ice_linear[c] * fmin(1.0, fmax(0.0, rgb[c] / white[c]));
    }
}

static void fill_square(int side, int left, thaw_image *on)
{
    for (int y = 0; y < side; y++) {
        for (int x = 0; x < side; x++) {
            memcpy(on->rgb + 3 * ((size_t)y * (size_t)on->width + (size_t)(left + x)), tray_bytes, 3);
        }
    }
}

void thaw_look_fit_image(const thaw_image *image, int side, int left, thaw_image *on)
{
    const int x = left + (side - image->width) / 2, y = (side - image->height) / 2;
    fill_square(side, left, on);
    for (int row = 0; row < image->height; row++) {
        memcpy(on->rgb + 3 * ((size_t)(y + row) * (size_t)on->width + (size_t)x),
               image->rgb + 3 * (size_t)row * (size_t)image->width, 3 * (size_t)image->width);
    }
}

/* Mean of a plane over the cells from (x0, y0) to (x1, y1), in cells, parts of cells counted as parts. */
static double mean_over(const double *plane, int nx, double x0, double y0, double x1, double y1)
{
    double sum = 0.0, weight = 0.0;
    for (int j = (int)y0; j < y1; j++) {
        const double wy = fmin(y1, j + 1.0) - fmax(y0, j);
        for (int i = (int)x0; i < x1; i++) {
            const double w = wy * (fmin(x1, i + 1.0) - fmax(x0, i));
            sum += w * plane[(size_t)j * (size_t)nx + (size_t)i];
            weight += w;
        }
    }
    return sum / weight;
}

thaw_status thaw_look_fit_cloth(const thaw_print *print, int side, int left, thaw_image *on, thaw_error *err)
{
    const int nx = print->nx, ny = print->ny;
    const size_t n = (size_t)nx * (size_t)ny;
    const double per_pixel = (nx > ny ? nx : ny) / (side * (1.0 - 2.0 * MARGIN)); /* cells */
    const int width = (int)fmax(1.0, nx / per_pixel), height = (int)fmax(1.0, ny / per_pixel);
    thaw_encoder *encoder = NULL;
    double *xyz = thaw_allocate(3 * n, sizeof *xyz, err);
    thaw_status status = xyz ? thaw_encoder_create(&encoder, err) : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        status = thaw_look_cells(print, true, xyz, err);
    }
    if (status == THAW_OK) {
        fill_square(side, left, on);
    }
    for (int y = 0; status == THAW_OK && y < height; y++) {
        for (int x = 0; x < width; x++) {
            double mean[3], rgb[3];
            for (int c = 0; c < 3; c++) {
                mean[c] = mean_over(xyz + (size_t)c * n, nx, (double)x * nx / width, (double)y * ny / height,
                                    (double)(x + 1) * nx / width, (double)(y + 1) * ny / height);
            }
            thaw_colour_linear(mean, rgb);
            thaw_colour_fit(rgb);
            const size_t at = (size_t)((side - height) / 2 + y) * (size_t)on->width + (size_t)(left + (side - width) / 2 + x);
            thaw_colour_bytes(encoder, rgb, on->rgb + 3 * at);
        }
    }
    thaw_encoder_destroy(encoder);
    thaw_release(xyz);
    return status;
}
