/* A picture slopes from cell to cell, so along an outline it needs cells beyond it: they stand in for the nearest cell
 * of cloth. Afterwards what lies outside the outlines is painted over. */
#include "look/dressed.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "base/alloc.h"
#include "look/render.h"

#define REACH 2 /* cells beyond an outline that a slope at it needs */
#define MARGIN_CELLS 1

static size_t nearest_cloth(const thaw_bundle *b, size_t k)
{
    const int i = (int)(k % (size_t)b->nx), j = (int)(k / (size_t)b->nx), first = i / b->sheet_nx * b->sheet_nx;
    int best = REACH * REACH * 2 + 1;
    size_t found = k;
    for (int y = j - REACH; y <= j + REACH; y++) {
        for (int x = i - REACH; x <= i + REACH; x++) {
            const int far = (x - i) * (x - i) + (y - j) * (y - j);
            if (y < 0 || y >= b->ny || x < first || x >= first + b->sheet_nx || far >= best) {
                continue;
            }
            const size_t q = (size_t)y * (size_t)b->nx + (size_t)x;
            if (thaw_bundle_is_cloth(b, q)) {
                best = far;
                found = q;
            }
        }
    }
    return found;
}

static void copy_plane(size_t n, const int32_t *of, const double *from, double *to)
{
    for (size_t k = 0; k < n; k++) {
        to[k] = from[of[k]];
    }
}

/* A print whose cells beyond the outlines look like those within; *planes is released by the caller. */
static thaw_status fill_out(const thaw_print *print, const thaw_bundle *b, thaw_print *out, double **planes, thaw_error *err)
{
    const int n_planes = 2 * print->n_components + 1;
    int32_t *of = thaw_allocate(b->n, sizeof *of, err);
    double *all = thaw_allocate(b->n * (size_t)n_planes, sizeof *all, err);
    if (!of || !all) {
        thaw_release(of);
        thaw_release(all);
        return THAW_ERR_MEMORY;
    }
    for (size_t k = 0; k < b->n; k++) {
        of[k] = (int32_t)(thaw_bundle_is_cloth(b, k) ? k : nearest_cloth(b, k));
    }
    *out = *print;
    for (int c = 0; c < print->n_components; c++) {
        double *fixed = all + (size_t)(2 * c) * b->n, *loose = fixed + b->n;
        copy_plane(b->n, of, print->fixed_kg_m2[c], fixed);
        out->fixed_kg_m2[c] = fixed;
        if (print->loose_kg_m2[c]) {
            copy_plane(b->n, of, print->loose_kg_m2[c], loose);
            out->loose_kg_m2[c] = loose;
        }
    }
    if (print->saturation) {
        double *saturation = all + (size_t)(2 * print->n_components) * b->n;
        copy_plane(b->n, of, print->saturation, saturation);
        out->saturation = saturation;
    }
    thaw_release(of);
    *planes = all;
    return THAW_OK;
}

static bool is_covered(const thaw_garment *g, int layer, double x_m, double y_m)
{
    for (int p = 0; p < g->n_panels; p++) {
        if (g->panels[p].layer == layer && thaw_garment_panel_holds(&g->panels[p], x_m, y_m)) {
            return true;
        }
    }
    return false;
}

static void paint_ground(const thaw_bundle *b, const thaw_garment *g, int scale, thaw_image *image)
{
    const int wide = b->sheet_nx * scale;
#pragma omp parallel for schedule(static) default(none) shared(b, g, scale, image, wide)
    for (int y = 0; y < image->height; y++) {
        for (int x = 0; x < image->width; x++) {
            if (!is_covered(g, x / wide, (x % wide + 0.5) * image->pixel_m, (y + 0.5) * image->pixel_m)) {
                memset(image->rgb + 3 * ((size_t)y * (size_t)image->width + (size_t)x), THAW_DRESSED_GROUND, 3);
            }
        }
    }
}

thaw_status thaw_look_dressed(const thaw_print *print, const thaw_bundle *bundle, const thaw_garment *garment, bool wet,
                              int scale, thaw_image *out, thaw_error *err)
{
    thaw_print whole;
    thaw_image image = {0};
    double *planes = NULL;
    if (!bundle->panel) {
        return thaw_look_render(print, wet, scale, out, err);
    }
    thaw_status status = fill_out(print, bundle, &whole, &planes, err);
    if (status == THAW_OK) {
        status = thaw_look_render(&whole, wet, scale, &image, err);
    }
    if (status == THAW_OK) {
        paint_ground(bundle, garment, scale, &image);
        *out = image;
    }
    thaw_release(planes);
    return status;
}

static int bound(int i, int n)
{
    return i < 0 ? 0 : i > n ? n : i;
}

thaw_status thaw_look_panel(const thaw_image *image, const thaw_bundle *bundle, const thaw_garment *garment, int panel,
                            thaw_image *out, thaw_error *err)
{
    const thaw_garment_panel *p = &garment->panels[panel];
    const int scale = image->width / bundle->nx, left = p->layer * bundle->sheet_nx * scale, margin = MARGIN_CELLS * scale;
    double low[2] = {p->corners[0][0], p->corners[0][1]}, high[2] = {low[0], low[1]};
    for (int i = 1; i < p->n_corners; i++) {
        for (int d = 0; d < 2; d++) {
            low[d] = fmin(low[d], p->corners[i][d]);
            high[d] = fmax(high[d], p->corners[i][d]);
        }
    }
    const int wide = bundle->sheet_nx * scale;
    const int x0 = bound((int)(low[0] / image->pixel_m) - margin, wide), x1 = bound((int)(high[0] / image->pixel_m) + 1 + margin, wide);
    const int y0 = bound((int)(low[1] / image->pixel_m) - margin, image->height);
    const int y1 = bound((int)(high[1] / image->pixel_m) + 1 + margin, image->height);
    thaw_image cut = {.width = x1 - x0, .height = y1 - y0, .pixel_m = image->pixel_m};
    cut.rgb = thaw_allocate((size_t)cut.width * (size_t)cut.height, 3, err);
    if (!cut.rgb) {
        return THAW_ERR_MEMORY;
    }
    for (int y = 0; y < cut.height; y++) {
        memcpy(cut.rgb + 3 * (size_t)y * (size_t)cut.width,
               image->rgb + 3 * ((size_t)(y0 + y) * (size_t)image->width + (size_t)(left + x0)), 3 * (size_t)cut.width);
    }
    *out = cut;
    return THAW_OK;
}
