#include "thawprint/record.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "api/run_folder.h"
#include "base/alloc.h"
#include "base/error.h"
#include "base/file.h"
#include "base/photo.h"
#include "base/quantity.h"
#include "look/colour.h"
#include "look/measure.h"
#include "look/straighten.h"
#include "output/png.h"
#include "output/record_json.h"
#include "thawprint/version.h"

#define PHOTO_BYTES   ((size_t)64 << 20)
#define PICTURE_MOST  1600         /* pixels of record-photo.png along its longer side */
#define PICTURE_PIXEL_M 1e-3       /* and no finer than this */

struct thaw_record {
    thaw_run_folder folder;
    thaw_facts facts;              /* joined */
    bool is_new, has_picture;
    thaw_image picture;            /* own: of a new photograph */
};

/* Faults of the options, a line each. */
typedef struct complaints {
    char text[4096];
    size_t used;
} complaints;

static void complain_of(complaints *c, const char *format, ...) __attribute__((format(printf, 2, 3)));

static void complain_of(complaints *c, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    if (c->used > 0 && c->used + 1 < sizeof c->text) {
        c->text[c->used++] = '\n';
        c->text[c->used] = '\0';
    }
    const int n = vsnprintf(c->text + c->used, sizeof c->text - c->used, format, args);
    va_end(args);
    c->used += n > 0 ? (size_t)n : 0;
    c->used = c->used < sizeof c->text ? c->used : sizeof c->text - 1;
}

static void read_quantity(const thaw_units *units, const char *flag, const char *text, thaw_quantity kind, double most,
                          const char *allowed, double per_unit, double *out, complaints *c)
{
    char why[240];
    double si = 0.0;
    if (!text) {
        return;
    }
    if (!thaw_quantity_parse(units, kind, text, &si, why, sizeof why)) {
        complain_of(c, "--%s: %s", flag, why);
    } else if (!(si >= 0.0 && si <= most)) {
        complain_of(c, "--%s: `%.40s` is too %s; allowed: %s", flag, text, si < 0.0 ? "small" : "large", allowed);
    } else {
        *out = si / per_unit;
    }
}

/* n numbers parted by commas. */
static bool read_places(const char *flag, const char *text, int n, const char *example, double *out, complaints *c)
{
    const char *at = text;
    for (int i = 0; i < n; i++) {
        char why[240], number[64];
        const size_t length = strcspn(at, ",");
        snprintf(number, sizeof number, "%.*s", (int)length, at);
        const char *from = number + strspn(number, " ");
        const char *rest = thaw_number_parse(from, &out[i], why, sizeof why);
        const bool is_last = i == n - 1;
        if (!rest || *(rest + strspn(rest, " ")) || !isfinite(out[i]) || (at[length] == ',') == is_last) {
            complain_of(c, "--%s `%.80s`: %d numbers of pixels parted by commas are wanted, as %s", flag, text, n, example);
            return false;
        }
        at += length + (is_last ? 0 : 1);
    }
    return true;
}

static void add_remark(const char *remark, thaw_facts *facts, complaints *c)
{
    const size_t used = strlen(facts->remarks), n = strlen(remark);
    if (n == 0 || used + n + 2 > sizeof facts->remarks) {
        complain_of(c, n == 0 ? "--remark: is empty" : "--remark: with what is there already it is longer than %d bytes",
                    THAW_RECORD_REMARKS - 2);
        return;
    }
    snprintf(facts->remarks + used, sizeof facts->remarks - used, "%s%s", used ? "\n" : "", remark);
}

/* What belongs to a photograph. */
typedef struct photo_options {
    bool has_corners, has_white;
    thaw_corners corners;
    double white_at[2];
} photo_options;

static thaw_status read_options(const thaw_record_options *o, thaw_facts *facts, photo_options *photo, thaw_error *err)
{
    static const char corners_example[] = "120,80,1900,95,1870,1480,140,1450", white_example[] = "2010,300";
    complaints c = {.used = 0};
    thaw_units *units = NULL;
    thaw_status status = thaw_units_create(&units, err);
    if (status != THAW_OK) {
        return status;
    }
    read_quantity(units, "melted", o->melted, THAW_TIME, 336.0 * 3600.0, "0 h to 14 days", 3600.0, &facts->melted_h, &c);
    read_quantity(units, "rinsed", o->rinsed, THAW_TIME, 336.0 * 3600.0, "0 h to 14 days", 3600.0, &facts->rinsed_h, &c);
    read_quantity(units, "climbed", o->climbed, THAW_LENGTH, 10.0, "0 cm to 10 m", 0.01, &facts->climb_cm, &c);
    read_quantity(units, "white", o->white, THAW_SHARE, 1.0, "0 % to 100 %", 0.01, &facts->white_percent, &c);
    thaw_units_destroy(units);
    if (o->remark) {
        add_remark(o->remark, facts, &c);
    }
    if (!o->photo && (o->corners || o->white_at)) {
        complain_of(&c, "--%s goes with --photo", o->corners ? "corners" : "white-at");
    }
    if (o->photo && o->corners) {
        double *at = &photo->corners.at[0][0];
        photo->has_corners = read_places("corners", o->corners, 8, corners_example, at, &c);
    }
    if (o->photo && o->white_at) {
        photo->has_white = read_places("white-at", o->white_at, 2, white_example, photo->white_at, &c);
    }
    return c.used ? thaw_fail(err, THAW_ERR_ARGUMENT, "%s", c.text) : THAW_OK;
}

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
    thaw_picture photo;            /* own */
    thaw_corners corners;
    double factors[3];
} developing;

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

static thaw_status take_photo(const char *path, const photo_options *asked, thaw_record *r, thaw_error *err)
{
    developing d = {.spec = thaw_scenario_specification(r->folder.scenario), .factors = {1.0, 1.0, 1.0}};
    thaw_photo_figures figures = {.is_straightened = asked->has_corners, .is_balanced = asked->has_white};
    double xyz[3], white[3];
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
        status = draw_photo(&d, &r->picture, err);
    }
    if (status == THAW_OK) {
        r->has_picture = true;
        r->facts.has_photo = true;
        r->facts.photo = figures;
    }
    thaw_release(d.photo.rgba);
    return status;
}

static bool says_anything(const thaw_record_options *o)
{
    return o->melted || o->rinsed || o->climbed || o->white || o->remark || o->photo;
}

thaw_status thaw_record_open(const char *folder, const thaw_record_options *options, thaw_record **out, thaw_error *err)
{
    photo_options photo = {.has_corners = false};
    thaw_record *r = thaw_allocate(1, sizeof *r, err);
    thaw_status status = r ? thaw_run_folder_open(folder, &r->folder, err) : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        r->facts = r->folder.facts;
        r->is_new = says_anything(options);
        status = read_options(options, &r->facts, &photo, err);
    }
    if (status == THAW_OK && options->photo) {
        status = take_photo(options->photo, &photo, r, err);
    }
    if (status == THAW_OK) {
        *out = r;
    } else {
        thaw_record_destroy(r);
    }
    return status;
}

void thaw_record_destroy(thaw_record *record)
{
    if (record) {
        thaw_run_folder_close(&record->folder);
        thaw_release(record->picture.rgb);
        thaw_release(record);
    }
}

const thaw_facts *thaw_record_facts(const thaw_record *record)
{
    return &record->facts;
}

const thaw_preview_figures *thaw_record_forecast(const thaw_record *record)
{
    return &record->folder.forecast;
}

const char *thaw_record_title(const thaw_record *record)
{
    return thaw_scenario_title(record->folder.scenario);
}

double thaw_record_cell_m(const thaw_record *record)
{
    return thaw_scenario_specification(record->folder.scenario)->cell_m;
}

bool thaw_record_is_new(const thaw_record *record)
{
    return record->is_new;
}

thaw_status thaw_record_json(const thaw_record *record, char **out, thaw_error *err)
{
    return thaw_record_text(record->folder.record, record->folder.record_n, &record->facts, thaw_version(), out, err);
}

static thaw_status add_picture(const thaw_record *r, thaw_batch *batch, thaw_error *err)
{
    unsigned char *bytes = NULL;
    size_t n = 0;
    const thaw_png_text texts[] = {{"Title", thaw_record_title(r)},
                                   {"Description", "photograph of the finished cloth, made straight"},
                                   {"Software", "thawprint " THAW_VERSION}};
    thaw_status status = thaw_png_encode(&r->picture, texts, (int)(sizeof texts / sizeof *texts), &bytes, &n, err);
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, THAW_RECORD_PHOTO, bytes, n, err);
    }
    thaw_release(bytes);
    return status;
}

thaw_status thaw_record_write(const thaw_record *record, thaw_error *err)
{
    thaw_batch *batch = NULL;
    char *json = NULL;
    thaw_status status = thaw_record_json(record, &json, err);
    if (status == THAW_OK) {
        status = thaw_batch_create(record->folder.path, &batch, err);
    }
    if (status == THAW_OK && record->has_picture) {
        status = add_picture(record, batch, err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, "record.json", json, strlen(json), err);
    }
    if (status == THAW_OK) {
        status = thaw_batch_commit(batch, err);
    }
    thaw_batch_destroy(batch);
    thaw_release(json);
    return status;
}
