#include "look/render.h"

#include <stddef.h>

#include "base/alloc.h"
#include "base/error.h"
#include "look/colour.h"
#include "look/interpolate.h"
#include "look/kubelka.h"

#define CHUNK      THAW_KUBELKA_CHUNK
#define BAND_ROWS  32 /* cloth rows held at picture width at a time */
#define BAND_EDGE  2  /* rows beyond the band that slopes at its edge need */
#define HELD_ROWS  (BAND_ROWS + 2 * BAND_EDGE)
#define MAX_SCALE  16
#define MAX_PLANES (THAW_MAX_COMPONENTS + 1)

/* One picture in work. Planes: one per dye, and last the saturation if wet. Each holds HELD_ROWS
 * rows of cloth, from row first_row on, stretched to picture width. */
typedef struct painter {
    const thaw_print *print;
    thaw_kubelka kubelka;
    thaw_encoder *encoder; /* own */
    int scale, width, n_planes, first_row;
    double *planes; /* own */
    double *cells;  /* own: HELD_ROWS rows of cell values, scratch */
    uint8_t *rgb;   /* own until handed over */
} painter;

static double *held(const painter *p, int plane, int row)
{
    return p->planes + ((size_t)plane * HELD_ROWS + (size_t)row) * (size_t)p->width;
}

static double cell_value(const painter *p, int plane, size_t k)
{
    if (plane < p->kubelka.n_dyes) {
        return thaw_kubelka_dye(&p->kubelka, p->print, plane, k);
    }
    return p->print->saturation[k];
}

/* Stretch one row of cloth, for every plane. */
static void hold_row(const painter *p, int row)
{
    int nx = p->print->nx, ny = p->print->ny;
    int j = p->first_row + row;
    j = j < 0 ? 0 : j >= ny ? ny - 1 : j;
    double *cells = p->cells + (size_t)row * (size_t)nx;
    for (int plane = 0; plane < p->n_planes; plane++) {
        for (int i = 0; i < nx; i++) {
            cells[i] = cell_value(p, plane, (size_t)j * (size_t)nx + (size_t)i);
        }
        thaw_interpolate_row(nx, p->scale, cells, held(p, plane, row));
    }
}

static void paint_chunk(const painter *p, int n, double values[][CHUNK], uint8_t *out)
{
    double xyz[3][CHUNK];
    const double *saturation = p->n_planes > p->kubelka.n_dyes ? values[p->kubelka.n_dyes] : NULL;
    thaw_kubelka_xyz(&p->kubelka, n, values, saturation, xyz);
    for (int q = 0; q < n; q++) {
        double at[3] = {xyz[0][q], xyz[1][q], xyz[2][q]}, rgb[3];
        thaw_colour_linear(at, rgb);
        thaw_colour_fit(rgb);
        thaw_colour_bytes(p->encoder, rgb, out + 3 * q);
    }
}

static void paint_row(const painter *p, int y)
{
    double values[MAX_PLANES][CHUNK];
    double t;
    int row = thaw_interpolate_place(y, p->scale, &t) - p->first_row;
    for (int x = 0; x < p->width; x += CHUNK) {
        int n = p->width - x < CHUNK ? p->width - x : CHUNK;
        for (int plane = 0; plane < p->n_planes; plane++) {
            const double *rows[4];
            for (int r = 0; r < 4; r++) {
                rows[r] = held(p, plane, row - 1 + r) + x;
            }
            thaw_interpolate_between(n, rows, t, values[plane]);
        }
        paint_chunk(p, n, values, p->rgb + 3 * ((size_t)y * (size_t)p->width + (size_t)x));
    }
}

static void paint(painter *p)
{
    int ny = p->print->ny;
    for (int j = 0; j < ny; j += BAND_ROWS) {
        p->first_row = j - BAND_EDGE;
#pragma omp parallel for schedule(static) default(none) shared(p)
        for (int row = 0; row < HELD_ROWS; row++) {
            hold_row(p, row);
        }
        int end = (j + BAND_ROWS < ny ? j + BAND_ROWS : ny) * p->scale;
#pragma omp parallel for schedule(static) default(none) shared(p, j, end)
        for (int y = j * p->scale; y < end; y++) {
            paint_row(p, y);
        }
    }
}

static void painter_release(painter *p)
{
    thaw_encoder_destroy(p->encoder);
    thaw_release(p->planes);
    thaw_release(p->cells);
    thaw_release(p->rgb);
}

static thaw_status painter_prepare(painter *p, const thaw_print *print, bool wet, int scale,
                                   thaw_error *err)
{
    p->print = print;
    p->scale = scale;
    p->width = print->nx * scale;
    thaw_kubelka_prepare(print, wet, &p->kubelka);
    p->n_planes = p->kubelka.n_dyes + (wet && print->saturation ? 1 : 0);
    thaw_status status = thaw_encoder_create(&p->encoder, err);
    if (status != THAW_OK) {
        return status;
    }
    size_t width = (size_t)p->width;
    p->planes = thaw_allocate((size_t)p->n_planes * HELD_ROWS * width, sizeof *p->planes, err);
    p->cells =
        p->planes ? thaw_allocate(HELD_ROWS * (size_t)print->nx, sizeof *p->cells, err) : NULL;
    p->rgb = p->cells ? thaw_allocate(width * (size_t)print->ny * (size_t)scale, 3, err) : NULL;
    return p->rgb ? THAW_OK : THAW_ERR_MEMORY;
}

thaw_status thaw_look_render(const thaw_print *print, bool wet, int scale, thaw_image *out,
                             thaw_error *err)
{
    if (scale < 1 || scale > MAX_SCALE || print->nx < 1 || print->ny < 1) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "a picture needs 1 to %d pixels per cell",
                         MAX_SCALE);
    }
    painter p = {0};
    thaw_status status = painter_prepare(&p, print, wet, scale, err);
    if (status == THAW_OK) {
        paint(&p);
        out->width = p.width;
        out->height = print->ny * scale;
        out->pixel_m = print->cell_m / scale;
        out->rgb = p.rgb;
        p.rgb = NULL;
    }
    painter_release(&p);
    return status;
}

static void cells_row(const thaw_print *print, const thaw_kubelka *kubelka, int j, double *out)
{
    double dye[THAW_MAX_COMPONENTS][CHUNK], xyz[3][CHUNK];
    size_t n_cells = (size_t)print->nx * (size_t)print->ny;
    for (int i = 0; i < print->nx; i += CHUNK) {
        int n = print->nx - i < CHUNK ? print->nx - i : CHUNK;
        size_t k = (size_t)j * (size_t)print->nx + (size_t)i;
        for (int d = 0; d < kubelka->n_dyes; d++) {
            for (int q = 0; q < n; q++) {
                dye[d][q] = thaw_kubelka_dye(kubelka, print, d, k + (size_t)q);
            }
        }
        const double *saturation = print->saturation ? print->saturation + k : NULL;
        thaw_kubelka_xyz(kubelka, n, dye, saturation, xyz);
        for (int c = 0; c < 3; c++) {
            for (int q = 0; q < n; q++) {
                out[(size_t)c * n_cells + k + (size_t)q] = xyz[c][q];
            }
        }
    }
}

thaw_status thaw_look_cells(const thaw_print *print, bool wet, double *xyz, thaw_error *err)
{
    if (print->nx < 1 || print->ny < 1) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "a print without cells has no colour");
    }
    thaw_kubelka kubelka;
    thaw_kubelka_prepare(print, wet, &kubelka);
#pragma omp parallel for schedule(static) default(none) shared(print, kubelka, xyz)
    for (int j = 0; j < print->ny; j++) {
        cells_row(print, &kubelka, j, xyz);
    }
    return THAW_OK;
}
