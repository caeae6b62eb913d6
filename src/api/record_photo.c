#include "api/record_photo.h"

#include <math.h>
#include <string.h>

#include "base/alloc.h"
#include "base/error.h"
#include "base/file.h"
#include "base/photo.h"
#include "look/colour.h"
#include "look/measure.h"
#include "look/unmix.h"

#define PHOTO_BYTES     ((size_t)64 << 20)
#define PICTURE_MOST    1600       /* pixels of the picture that is kept, along its longer side */
#define PICTURE_PIXEL_M 1e-3       /* and no finer than this */

static thaw_status load_photo(const char *path, thaw_picture *out, thaw_error *err)
{
    char *bytes = NULL;
    size_t n = 0;
    bool whole = false;
    thaw_error why = {0};
    if (thaw_file_look(path) == THAW_FILE_MISSING) {
        return thaw_fail(err, THAW_ERR_SCENARIO, "%s: there is no such photograph", path);
    }
    if (thaw_file_look(path) == THAW_FILE_FOLDER) {
        return thaw_fail(err, THAW_ERR_SCENARIO, "%s: is a folder, not a photograph", path);
    }
    thaw_status status = thaw_file_read(path, PHOTO_BYTES, &bytes, &n, &whole, err);
    if (status != THAW_OK) {
        return status;
    }
    status = whole ? thaw_photo_decode(bytes, n, out, &why) : THAW_ERR_SCENARIO;
    thaw_release(bytes);
    if (status != THAW_OK) {
        return thaw_fail(err, status, "%s: %s", path, whole ? why.text : "larger than 64 MiB");
    }
    return THAW_OK;
}

/* XYZ planes to L*a*b* in place. */
static void to_lab(double *planes, size_t n)
{
    for (size_t k = 0; k < n; k++) {
        const double xyz[3] = {planes[k], planes[n + k], planes[2 * n + k]};
        double lab[3];
        thaw_colour_lab(xyz, lab);
        for (size_t c = 0; c < 3; c++) {
            planes[c * n + k] = lab[c];
        }
    }
}

static void keep_figures(const thaw_look_figures *look, thaw_photo_figures *out)
{
    out->fineness = look->fineness;
    out->grain_weft_mm = 1e3 * look->grain_weft_m;
    out->grain_warp_mm = 1e3 * look->grain_warp_m;
    out->white_percent = 100.0 * look->white_share;
    out->n_palette = THAW_PALETTE;
    for (int i = 0; i < THAW_PALETTE; i++) {
        memcpy(out->palette[i].rgb, look->palette[i].rgb, sizeof out->palette[i].rgb);
        memcpy(out->palette[i].lab, look->palette[i].lab, sizeof out->palette[i].lab);
        out->palette[i].share = look->palette[i].share;
    }
}

/* A photograph on its way to figures: at the cells of the forecast, so that both are measured alike. */
typedef struct developing {
    const thaw_specification *spec;
    const thaw_shelf *shelf;
    thaw_picture photo;            /* own */
    thaw_corners corners;
    double factors[3];
} developing;

/* The dyes of the scenario; false where a photograph cannot tell them apart. */
static bool list_dyes(const developing *d, thaw_print *print)
{
    const thaw_specification *spec = d->spec;
    for (int z = 0; z < spec->n_dye; z++) {
        for (int p = 0; p < spec->dye[z].colour->n_parts; p++) {
            const int row = spec->dye[z].colour->parts[p].component;
            int found = 0;
            while (found < print->n_components && print->rows[found] != row) {
                found++;
            }
            if (found == print->n_components && print->n_components == THAW_UNMIX_DYES) {
                return false;
            }
            if (found == print->n_components) {
                print->rows[found] = row;
                print->components[print->n_components++] = thaw_shelf_component(d->shelf, row);
            }
        }
    }
    return print->n_components > 0;
}

/* How much of the cloth shows two dyes or more: amounts of dye from the colours, then as for a forecast. */
static thaw_status measure_bleed(const developing *d, int nx, int ny, const double *xyz, double *bleed, thaw_error *err)
{
    thaw_print print = {.nx = nx, .ny = ny, .cell_m = d->spec->cell_m, .cloth = d->spec->cloth};
    const thaw_colour *colours[THAW_MAX_DYE_ZONES];
    const size_t n = (size_t)nx * (size_t)ny;
    double *amounts[THAW_UNMIX_DYES];
    thaw_look_figures look = {0};
    *bleed = NAN;
    if (!list_dyes(d, &print)) {
        return THAW_OK;
    }
    double *planes = thaw_allocate((size_t)print.n_components * n, sizeof *planes, err);
    if (!planes) {
        return THAW_ERR_MEMORY;
    }
    for (int c = 0; c < print.n_components; c++) {
        amounts[c] = planes + (size_t)c * n;
        print.fixed_kg_m2[c] = amounts[c];
    }
    for (int z = 0; z < d->spec->n_dye; z++) {
        colours[z] = d->spec->dye[z].colour;
    }
    thaw_status status = thaw_look_unmix(&print, xyz, amounts, err);
    if (status == THAW_OK) {
        status = thaw_look_measure(&print, d->spec->n_dye, colours, &look, err);
    }
    thaw_release(planes);
    if (status == THAW_OK) {
        *bleed = 100.0 * look.bleed_share;
    }
    return status;
}

static thaw_status measure_photo(const developing *d, thaw_photo_figures *out, thaw_error *err)
{
    const thaw_specification *spec = d->spec;
    const int nx = (int)round(spec->width_m / spec->cell_m), ny = (int)round(spec->length_m / spec->cell_m);
    const size_t n = (size_t)nx * (size_t)ny;
    double xyz[3], bare[3], *planes = thaw_allocate(3 * n, sizeof *planes, err);
    thaw_look_figures look = {0};
    if (!planes) {
        return THAW_ERR_MEMORY;
    }
    thaw_look_bare(spec->cloth, xyz);
    thaw_colour_lab(xyz, bare);
    thaw_status status = thaw_straighten(&d->photo, &d->corners, d->factors, nx, ny, planes, err);
    if (status == THAW_OK) {
        status = thaw_straighten_sharpen(planes, nx, ny, err);
    }
    if (status == THAW_OK) {
        status = measure_bleed(d, nx, ny, planes, &out->bleed_percent, err);
    }
    if (status == THAW_OK) {
        to_lab(planes, n);
        status = thaw_look_measure_lab(planes, nx, ny, spec->cell_m, bare, &look, err);
    }
    if (status == THAW_OK) {
        keep_figures(&look, out);
    }
    thaw_release(planes);
    return status;
}

static thaw_status draw_photo(const developing *d, thaw_image *out, thaw_error *err)
{
    const double longer = fmax(d->spec->width_m, d->spec->length_m), pixel_m = fmax(PICTURE_PIXEL_M, longer / PICTURE_MOST);
    const int nx = (int)fmax(1.0, round(d->spec->width_m / pixel_m)), ny = (int)fmax(1.0, round(d->spec->length_m / pixel_m));
    const size_t n = (size_t)nx * (size_t)ny;
    double *planes = thaw_allocate(3 * n, sizeof *planes, err);
    uint8_t *rgb = planes ? thaw_allocate(3 * n, 1, err) : NULL;
    thaw_encoder *encoder = NULL;
    thaw_status status = rgb ? thaw_encoder_create(&encoder, err) : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        status = thaw_straighten(&d->photo, &d->corners, d->factors, nx, ny, planes, err);
    }
    for (size_t k = 0; status == THAW_OK && k < n; k++) {
        const double xyz[3] = {planes[k], planes[n + k], planes[2 * n + k]};
        double linear[3];
        thaw_colour_linear(xyz, linear);
        thaw_colour_fit(linear);
        thaw_colour_bytes(encoder, linear, rgb + 3 * k);
    }
    thaw_encoder_destroy(encoder);
    thaw_release(planes);
    if (status == THAW_OK) {
        *out = (thaw_image){nx, ny, pixel_m, rgb};
    } else {
        thaw_release(rgb);
    }
    return status;
}

/* Size of a pixel of the photograph on the cloth, the coarser way. */
static double pixel_mm(const developing *d)
{
    const double (*p)[2] = d->corners.at;
    const double across = fmin(hypot(p[1][0] - p[0][0], p[1][1] - p[0][1]), hypot(p[2][0] - p[3][0], p[2][1] - p[3][1]));
    const double along = fmin(hypot(p[3][0] - p[0][0], p[3][1] - p[0][1]), hypot(p[2][0] - p[1][0], p[2][1] - p[1][1]));
    return 1e3 * fmax(d->spec->width_m / across, d->spec->length_m / along);
}

thaw_status thaw_photo_take(const char *path, const thaw_photo_asked *asked, const thaw_scenario *scenario, thaw_photo_figures *out,
                            thaw_image *picture, thaw_error *err)
{
    developing d = {.spec = thaw_scenario_specification(scenario), .shelf = scenario->shelf, .factors = {1.0, 1.0, 1.0}};
    thaw_photo_figures figures = {.is_straightened = asked->has_corners, .is_balanced = asked->has_white};
    double xyz[3], white[3];
    if (d.spec->garment.n_panels > 0) {
        return thaw_fail(err, THAW_ERR_SCENARIO, "a photo is measured of a plain piece of cloth, and this is a garment");
    }
    thaw_status status = load_photo(path, &d.photo, err);
    if (status != THAW_OK) {
        return status;
    }
    d.corners = asked->has_corners ? asked->corners : thaw_corners_of(&d.photo);
    status = thaw_corners_check(&d.corners, &d.photo, err);
    if (status == THAW_OK && asked->has_white) {
        thaw_look_bare(d.spec->cloth, xyz);
        thaw_colour_linear(xyz, white);
        status = thaw_balance_find(&d.photo, asked->white_at[0], asked->white_at[1], white, d.factors, err);
    }
    if (status == THAW_OK) {
        figures.pixel_mm = pixel_mm(&d);
        status = measure_photo(&d, &figures, err);
    }
    if (status == THAW_OK) {
        status = draw_photo(&d, picture, err);
    }
    if (status == THAW_OK) {
        *out = figures;
    }
    thaw_release(d.photo.rgba);
    return status;
}
