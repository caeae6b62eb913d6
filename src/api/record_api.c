#include "thawprint/record.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "api/picture_file.h"
#include "api/record_photo.h"
#include "api/run_folder.h"
#include "base/alloc.h"
#include "base/error.h"
#include "base/file.h"
#include "base/quantity.h"
#include "output/record_json.h"
#include "thawprint/version.h"


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

/* Well-formed UTF-8 without control signs. */
static bool is_text(const char *text)
{
    const unsigned char *at = (const unsigned char *)text;
    while (*at) {
        const int more = *at < 0x80 ? 0 : *at >= 0xC2 && *at < 0xE0 ? 1 : *at >= 0xE0 && *at < 0xF0 ? 2 : *at >= 0xF0 && *at < 0xF5 ? 3 : -1;
        if (more < 0 || (more == 0 && (*at < 0x20 || *at == 0x7F) && *at != '\n' && *at != '\t')) {
            return false;
        }
        for (int i = 1; i <= more; i++) {
            if ((at[i] & 0xC0u) != 0x80u) {
                return false;
            }
        }
        at += more + 1;
    }
    return true;
}

static void add_remark(const char *remark, thaw_facts *facts, complaints *c)
{
    const size_t used = strlen(facts->remarks), n = strlen(remark);
    if (!is_text(remark)) {
        complain_of(c, "--remark: is no text (UTF-8, without control signs)");
        return;
    }
    if (n == 0 || used + n + 2 > sizeof facts->remarks) {
        complain_of(c, n == 0 ? "--remark: is empty" : "--remark: with what is there already it is longer than %d bytes",
                    THAW_RECORD_REMARKS - 2);
        return;
    }
    snprintf(facts->remarks + used, sizeof facts->remarks - used, "%s%s", used ? "\n" : "", remark);
}

static thaw_status read_options(const thaw_record_options *o, thaw_facts *facts, thaw_photo_asked *photo, thaw_error *err)
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
    if (facts->melted_h > facts->rinsed_h) { /* false where either is unknown */
        complain_of(&c, "--melted: the last ice went after %.3g h, and it was rinsed after %.3g h: nobody saw it go then", facts->melted_h,
                    facts->rinsed_h);
    }
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

static bool says_anything(const thaw_record_options *o)
{
    return o->melted || o->rinsed || o->climbed || o->white || o->remark || o->photo;
}

thaw_status thaw_record_open(const char *folder, const thaw_record_options *options, thaw_record **out, thaw_error *err)
{
    thaw_photo_asked photo = {.has_corners = false};
    thaw_record *r = thaw_allocate(1, sizeof *r, err);
    thaw_status status = r ? thaw_run_folder_open(folder, &r->folder, err) : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        r->facts = r->folder.facts;
        r->is_new = says_anything(options);
        status = read_options(options, &r->facts, &photo, err);
    }
    if (status == THAW_OK && options->photo) {
        status = thaw_photo_take(options->photo, &photo, r->folder.scenario, &r->facts.photo, &r->picture, err);
        r->has_picture = status == THAW_OK;
        r->facts.has_photo = r->facts.has_photo || r->has_picture;
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
    char digest[17];
    thaw_scenario_digest(r->folder.scenario, digest);
    const thaw_picture_words words = {thaw_record_title(r), "photograph of the finished cloth, made straight", digest,
                                      thaw_scenario_seed(r->folder.scenario)};
    return thaw_picture_add(batch, THAW_RECORD_PHOTO, &r->picture, &words, err);
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
