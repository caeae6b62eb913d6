#include "look/measure.h"

#include <math.h>
#include <string.h>

#include "base/alloc.h"
#include "look/colour.h"
#include "look/kubelka.h"
#include "look/palette.h"
#include "look/render.h"
#include "look/spectrum.h"

static size_t cell_count(const thaw_print *print)
{
    return (size_t)print->nx * (size_t)print->ny;
}

/* Three planes, L* a* b*; the caller frees them. NULL on failure. */
static double *lab_planes(const thaw_print *print, bool wet, thaw_error *err)
{
    size_t n = cell_count(print);
    double *planes = thaw_allocate(3 * n, sizeof *planes, err);
    if (!planes || thaw_look_cells(print, wet, planes, err) != THAW_OK) {
        thaw_release(planes);
        return NULL;
    }
#pragma omp parallel for schedule(static) default(none) shared(planes, n)
    for (size_t k = 0; k < n; k++) {
        double xyz[3] = {planes[k], planes[n + k], planes[2 * n + k]}, lab[3];
        thaw_colour_lab(xyz, lab);
        planes[k] = lab[0];
        planes[n + k] = lab[1];
        planes[2 * n + k] = lab[2];
    }
    return planes;
}

void thaw_look_bare(const thaw_cloth_kind *cloth, double xyz[3])
{
    thaw_print bare = {.nx = 1, .ny = 1, .cell_m = 1.0, .cloth = cloth};
    thaw_look_cells(&bare, false, xyz, NULL);
}

static void bare_lab(const thaw_print *print, double lab[3])
{
    double xyz[3];
    thaw_look_bare(print->cloth, xyz);
    thaw_colour_lab(xyz, lab);
}

static bool is_white(const double *lab, size_t n, size_t k, const double bare[3])
{
    double da = lab[n + k] - bare[1], db = lab[2 * n + k] - bare[2];
    return fabs(lab[k] - bare[0]) <= THAW_WHITE_LIGHTNESS &&
           da * da + db * db <= THAW_WHITE_CHROMA * THAW_WHITE_CHROMA;
}

/* belongs[c][i]: component i of the print is part of colour c. */
static void list_parts(const thaw_print *print, const thaw_colour *colour,
                       bool belongs[THAW_MAX_COMPONENTS])
{
    for (int i = 0; i < print->n_components; i++) {
        belongs[i] = false;
        for (int p = 0; p < colour->n_parts; p++) {
            belongs[i] = belongs[i] || colour->parts[p].component == print->rows[i];
        }
    }
}

static double depth_of(const thaw_component *component)
{
    double sum = 0.0;
    for (int b = 0; b < THAW_OBSERVER_BANDS; b++) {
        sum += thaw_kubelka_absorption(component, thaw_observer_at(b)->nm);
    }
    return sum;
}

/* Which components belong to which colour, and how much depth a kilogram of each lends. */
typedef struct depths {
    bool (*belongs)[THAW_MAX_COMPONENTS]; /* own */
    double weight[THAW_MAX_COMPONENTS];
} depths;

static thaw_status find_depths(const thaw_print *print, int n_colours, const thaw_colour *const *colours, depths *out,
                               thaw_error *err)
{
    out->belongs = thaw_allocate((size_t)n_colours, sizeof *out->belongs, err);
    if (!out->belongs) {
        return THAW_ERR_MEMORY;
    }
    for (int c = 0; c < n_colours; c++) {
        list_parts(print, colours[c], out->belongs[c]);
    }
    for (int i = 0; i < print->n_components; i++) {
        out->weight[i] = depth_of(print->components[i]);
    }
    return THAW_OK;
}

/* The colour that accounts for most of the depth of cell k, the depth it lends and that of all. */
static int leading(const thaw_print *print, int n_colours, const depths *d, size_t k, double *most, double *total)
{
    int lead = 0;
    *total = *most = 0.0;
    for (int i = 0; i < print->n_components; i++) {
        *total += d->weight[i] * print->fixed_kg_m2[i][k];
    }
    for (int c = 0; c < n_colours; c++) {
        double own = 0.0;
        for (int i = 0; i < print->n_components; i++) {
            own += d->belongs[c][i] ? d->weight[i] * print->fixed_kg_m2[i][k] : 0.0;
        }
        lead = own > *most ? c : lead;
        *most = fmax(*most, own);
    }
    return lead;
}

static thaw_status measure_bleed(const thaw_print *print, int n_colours, const thaw_colour *const *colours,
                                 const double *lab, const double bare[3], double *out, thaw_error *err)
{
    depths d = {0};
    size_t n = cell_count(print), bled = 0;
    thaw_status status = find_depths(print, n_colours, colours, &d, err);
    for (size_t k = 0; status == THAW_OK && n_colours > 0 && k < n; k++) {
        double most, total;
        leading(print, n_colours, &d, k, &most, &total);
        bled += most < THAW_BLEED_SINGLE * total && !is_white(lab, n, k, bare);
    }
    thaw_release(d.belongs);
    if (status == THAW_OK) {
        *out = (double)bled / (double)n;
    }
    return status;
}

static double white_share(const double *lab, size_t n, const double bare[3])
{
    size_t white = 0;
    for (size_t k = 0; k < n; k++) {
        white += is_white(lab, n, k, bare);
    }
    return (double)white / (double)n;
}

static void measure_depth(const double *lightness, size_t n, const double bare[3], thaw_look_figures *out)
{
    double sum = 0.0, squares = 0.0;
    for (size_t k = 0; k < n; k++) {
        const double paler = bare[0] - lightness[k];
        sum += paler;
        squares += paler * paler;
    }
    out->depth = sum / (double)n;
    out->unevenness = sqrt(fmax(0.0, squares / (double)n - out->depth * out->depth));
}

/* Uses up the lightness plane. */
static thaw_status measure_texture(double *lightness, int nx, int ny, double cell_m,
                                   thaw_look_figures *out, thaw_error *err)
{
    thaw_spectrum spectrum;
    int half = (int)(0.5 * THAW_ZONE_M / cell_m + 0.5);
    thaw_status status = thaw_spectrum_take_out_zones(lightness, nx, ny, half, err);
    if (status == THAW_OK) {
        status = thaw_spectrum_measure(lightness, nx, ny, cell_m, THAW_FINE_M, &spectrum, err);
    }
    if (status == THAW_OK) {
        out->fineness = spectrum.fine_share;
        out->grain_weft_m = spectrum.grain_x_m;
        out->grain_warp_m = spectrum.grain_y_m;
    }
    return status;
}

thaw_status thaw_look_measure_lab(double *lab, int nx, int ny, double cell_m, const double bare[3],
                                  thaw_look_figures *out, thaw_error *err)
{
    thaw_look_figures figures = *out;
    const size_t n = (size_t)nx * (size_t)ny;
    figures.white_share = white_share(lab, n, bare);
    measure_depth(lab, n, bare, &figures);
    thaw_status status = thaw_palette_find(lab, n, &figures, err);
    if (status == THAW_OK) {
        status = measure_texture(lab, nx, ny, cell_m, &figures, err);
    }
    if (status == THAW_OK) {
        *out = figures;
    }
    return status;
}

thaw_status thaw_look_measure(const thaw_print *print, int n_colours,
                              const thaw_colour *const *colours, thaw_look_figures *out,
                              thaw_error *err)
{
    thaw_look_figures figures = {0};
    double bare[3];
    double *lab = lab_planes(print, false, err);
    if (!lab) {
        return err && err->status != THAW_OK ? err->status : THAW_ERR_MEMORY;
    }
    bare_lab(print, bare);
    thaw_status status =
        measure_bleed(print, n_colours, colours, lab, bare, &figures.bleed_share, err);
    if (status == THAW_OK) {
        status = thaw_look_measure_lab(lab, print->nx, print->ny, print->cell_m, bare, &figures, err);
    }
    if (status == THAW_OK) {
        *out = figures;
    }
    thaw_release(lab);
    return status;
}

thaw_status thaw_look_lead(const thaw_print *print, int n_colours, const thaw_colour *const *colours, uint8_t *out,
                           thaw_error *err)
{
    size_t n = cell_count(print);
    double bare[3], *lab = lab_planes(print, false, err);
    depths d = {0};
    thaw_status status = lab ? find_depths(print, n_colours, colours, &d, err) : THAW_ERR_MEMORY;
    bare_lab(print, bare);
    for (size_t k = 0; status == THAW_OK && k < n; k++) {
        double most, total;
        const int lead = leading(print, n_colours, &d, k, &most, &total);
        out[k] = n_colours == 0 || is_white(lab, n, k, bare) ? THAW_LEAD_WHITE : (uint8_t)lead;
    }
    thaw_release(d.belongs);
    thaw_release(lab);
    return status;
}

thaw_status thaw_look_lightness(const thaw_print *print, bool wet, double *out, thaw_error *err)
{
    size_t n = cell_count(print);
    double *lab = lab_planes(print, wet, err), sum = 0.0;
    if (!lab) {
        return err && err->status != THAW_OK ? err->status : THAW_ERR_MEMORY;
    }
    for (size_t k = 0; k < n; k++) {
        sum += lab[k];
    }
    *out = sum / (double)n;
    thaw_release(lab);
    return THAW_OK;
}
