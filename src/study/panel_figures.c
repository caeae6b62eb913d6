#include "study/panel_figures.h"

#include <math.h>
#include <string.h>

#include "base/alloc.h"
#include "look/climb.h"
#include "look/measure.h"

/* Part of a print: nx by ny cells that stand in `cells`, -1 for one without dye. */
typedef struct part {
    thaw_print print;
    int32_t *cells;                /* own */
    double *planes;                /* own */
} part;

static void release(part *p)
{
    thaw_release(p->cells);
    thaw_release(p->planes);
    *p = (part){0};
}

static const double *take(const double *from, const int32_t *cells, size_t n, double *to)
{
    for (size_t k = 0; from && k < n; k++) {
        to[k] = cells[k] >= 0 ? from[cells[k]] : 0.0;
    }
    return from ? to : NULL;
}

/* Fills the planes of a part whose cells are listed. */
static thaw_status fill(const thaw_print *print, int nx, int ny, part *p, thaw_error *err)
{
    const size_t n = (size_t)nx * (size_t)ny;
    p->planes = thaw_allocate(n * (size_t)(2 * print->n_components + 1), sizeof *p->planes, err);
    if (!p->planes) {
        return THAW_ERR_MEMORY;
    }
    p->print = *print;
    p->print.nx = nx;
    p->print.ny = ny;
    double *at = p->planes;
    for (int c = 0; c < print->n_components; c++) {
        p->print.fixed_kg_m2[c] = take(print->fixed_kg_m2[c], p->cells, n, at);
        p->print.loose_kg_m2[c] = take(print->loose_kg_m2[c], p->cells, n, at + n);
        at += 2 * n;
    }
    p->print.saturation = take(print->saturation, p->cells, n, at);
    return THAW_OK;
}

/* A cell of the panel, or of any for -1. */
static bool is_of(const thaw_bundle *b, size_t k, int panel)
{
    return panel < 0 ? b->panel[k] != 0 : b->panel[k] == panel + 1;
}

/* All cells of one panel, or of all for -1, in one row. */
static thaw_status pick_panel(const thaw_bundle *b, const thaw_print *print, int panel, part *p, thaw_error *err)
{
    int n = 0;
    p->cells = thaw_allocate(b->n, sizeof *p->cells, err);
    for (size_t k = 0; p->cells && k < b->n; k++) {
        if (is_of(b, k, panel)) {
            p->cells[n++] = (int32_t)k;
        }
    }
    return p->cells ? fill(print, n, 1, p, err) : THAW_ERR_MEMORY;
}

typedef struct rectangle {
    int i, j, nx, ny;
} rectangle;

/* Heights of unbroken cloth above a row; the largest rectangle under them by a stack of rising heights. */
static rectangle largest_in_row(const int *height, int nx, int row, int *stack, rectangle best)
{
    int n = 0;
    for (int i = 0; i <= nx; i++) {
        const int here = i < nx ? height[i] : 0;
        while (n > 0 && height[stack[n - 1]] >= here) {
            const int high = height[stack[--n]], from = n > 0 ? stack[n - 1] + 1 : 0;
            if ((i - from) * high > best.nx * best.ny) {
                best = (rectangle){from, row - high + 1, i - from, high};
            }
        }
        stack[n++] = i;
    }
    return best;
}

static thaw_status find_rectangle(const thaw_bundle *b, rectangle *out, thaw_error *err)
{
    int *height = thaw_allocate((size_t)b->nx, sizeof *height, err);
    int *stack = thaw_allocate((size_t)b->nx + 1, sizeof *stack, err);
    rectangle best = {0, 0, 0, 0};
    int n_panels = 0;
    for (size_t k = 0; k < b->n; k++) {
        n_panels = b->panel[k] > n_panels ? b->panel[k] : n_panels;
    }
    for (int p = 1; height && stack && p <= n_panels; p++) {
        memset(height, 0, (size_t)b->nx * sizeof *height);
        for (int j = 0; j < b->ny; j++) {
            for (int i = 0; i < b->nx; i++) {
                height[i] = b->panel[(size_t)j * (size_t)b->nx + (size_t)i] == p ? height[i] + 1 : 0;
            }
            best = largest_in_row(height, b->nx, j, stack, best);
        }
    }
    const bool done = height && stack;
    thaw_release(height);
    thaw_release(stack);
    *out = best;
    return done ? THAW_OK : THAW_ERR_MEMORY;
}

static thaw_status pick_rectangle(const thaw_bundle *b, const thaw_print *print, part *p, thaw_error *err)
{
    rectangle r;
    thaw_status status = find_rectangle(b, &r, err);
    if (status != THAW_OK) {
        return status;
    }
    p->cells = thaw_allocate((size_t)r.nx * (size_t)r.ny, sizeof *p->cells, err);
    for (int j = 0; p->cells && j < r.ny; j++) {
        for (int i = 0; i < r.nx; i++) {
            p->cells[j * r.nx + i] = (r.j + j) * b->nx + r.i + i;
        }
    }
    return p->cells ? fill(print, r.nx, r.ny, p, err) : THAW_ERR_MEMORY;
}

thaw_status thaw_panel_figures_look(const thaw_outcome *work, const thaw_print *print, int n_colours,
                                    const thaw_colour *const *colours, thaw_look_figures *out, double *dry, double *wet,
                                    thaw_error *err)
{
    part all = {0}, square = {0};
    thaw_look_figures texture;
    thaw_status status = pick_panel(&work->bundle, print, -1, &all, err);
    if (status == THAW_OK) {
        status = pick_rectangle(&work->bundle, print, &square, err);
    }
    if (status == THAW_OK) {
        status = thaw_look_measure(&all.print, n_colours, colours, out, err);
    }
    if (status == THAW_OK) {
        status = thaw_look_measure(&square.print, n_colours, colours, &texture, err);
    }
    if (status == THAW_OK) {
        status = thaw_look_lightness(&all.print, false, dry, err);
    }
    if (status == THAW_OK) {
        status = thaw_look_lightness(&all.print, true, wet, err);
    }
    if (status == THAW_OK) {
        out->fineness = texture.fineness;
        out->grain_weft_m = texture.grain_weft_m;
        out->grain_warp_m = texture.grain_warp_m;
    }
    release(&all);
    release(&square);
    return status;
}

thaw_status thaw_panel_figures_climb(const thaw_outcome *work, const thaw_print *print, int panel, thaw_climb *all,
                                     thaw_climb *each, thaw_error *err)
{
    const thaw_bundle *b = &work->bundle;
    const size_t first = thaw_bundle_first_hung(b), nx = (size_t)b->nx;
    part p = {0};
    int n = 0;
    p.cells = thaw_allocate(b->n - first, sizeof *p.cells, err);
    if (!p.cells) {
        return THAW_ERR_MEMORY;
    }
    for (size_t i = 0; i < nx; i++) {
        n += is_of(b, first + i, panel);
    }
    for (int j = 0, at = 0; j < b->hung_rows; j++) {
        for (size_t i = 0; i < nx; i++) {
            if (is_of(b, first + i, panel)) {
                const size_t k = first + (size_t)j * nx + i;
                p.cells[at++] = thaw_bundle_is_cloth(b, k) ? (int32_t)k : -1;
            }
        }
    }
    const thaw_climb unknown = {NAN, NAN, NAN};
    *all = unknown;
    for (int c = 0; c < print->n_components; c++) {
        each[c] = unknown;
    }
    thaw_status status = n > 0 ? fill(print, n, b->hung_rows, &p, err) : THAW_OK;
    if (status == THAW_OK && n > 0) {
        status = thaw_look_climb(&p.print, 0, all, each, err);
    }
    release(&p);
    return status;
}

static thaw_status fill_panel(const thaw_outcome *work, const thaw_print *print, int n_colours,
                              const thaw_colour *const *colours, int panel, thaw_panel_account *out, thaw_error *err)
{
    const thaw_garment_panel *own = &work->spec->garment.panels[panel];
    thaw_look_figures look;
    thaw_climb climb, each[THAW_MAX_COMPONENTS];
    part p = {0};
    thaw_status status = pick_panel(&work->bundle, print, panel, &p, err);
    if (status == THAW_OK) {
        status = thaw_look_measure(&p.print, n_colours, colours, &look, err);
    }
    if (status == THAW_OK) {
        *out = (thaw_panel_account){.cloth_kg = thaw_garment_panel_area_m2(own) * work->spec->cloth->mass_kg_m2,
                                    .white_share = look.white_share, .bleed_share = look.bleed_share, .depth = look.depth,
                                    .climb_m = {NAN, NAN, NAN}};
        memcpy(out->name, own->name, sizeof out->name);
        const double area = print->cell_m * print->cell_m;
        for (int c = 0; c < print->n_components; c++) {
            for (int k = 0; k < p.print.nx; k++) {
                out->fixed_kg += area * p.print.fixed_kg_m2[c][k];
            }
        }
    }
    if (status == THAW_OK && work->bundle.hung_rows > 0) {
        status = thaw_panel_figures_climb(work, print, panel, &climb, each, err);
        memcpy(out->climb_m, (double[3]){climb.low_m, climb.median_m, climb.high_m}, sizeof out->climb_m);
    }
    release(&p);
    return status;
}

thaw_status thaw_panel_figures_fill(const thaw_outcome *work, const thaw_print *print, int n_colours,
                                    const thaw_colour *const *colours, thaw_preview_figures *figures, thaw_error *err)
{
    thaw_status status = THAW_OK;
    figures->n_panels = work->spec->garment.n_panels;
    for (int p = 0; status == THAW_OK && p < figures->n_panels; p++) {
        status = fill_panel(work, print, n_colours, colours, p, &figures->panels[p], err);
    }
    return status;
}
