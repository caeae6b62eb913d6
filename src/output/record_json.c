#include "output/record_json.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include "base/error.h"
#include "output/json_text.h"

#define N(table) (sizeof(table) / sizeof(table)[0])

/* A number of a struct under its key, and what it may be. */
typedef struct slot {
    const char *key;
    size_t offset;
    double scale;                  /* number in the file x scale = number in the struct */
    double lowest, highest;
} slot;

#define FACT(member) offsetof(thaw_facts, member)
#define PHOTO(member) offsetof(thaw_photo_figures, member)

static const slot FACTS[] = {
    {"melted_h", FACT(melted_h), 1.0, 0.0, 400.0},
    {"rinsed_h", FACT(rinsed_h), 1.0, 0.0, 400.0},
    {"climb_cm", FACT(climb_cm), 1.0, 0.0, 1000.0},
    {"white_percent", FACT(white_percent), 1.0, 0.0, 100.0},
};

static const slot PHOTOS[] = {
    {"fineness", PHOTO(fineness), 1.0, 0.0, 1.0},
    {"grain_weft_mm", PHOTO(grain_weft_mm), 1.0, 0.0, 1000.0},
    {"grain_warp_mm", PHOTO(grain_warp_mm), 1.0, 0.0, 1000.0},
    {"white_percent", PHOTO(white_percent), 1.0, 0.0, 100.0},
    {"bleed_percent", PHOTO(bleed_percent), 1.0, 0.0, 100.0},
    {"pixel_mm", PHOTO(pixel_mm), 1.0, 0.0, 1000.0},
};

static double *number_at(void *base, size_t offset)
{
    return (double *)((char *)base + offset);
}

/* NULL after an error. */
static json_t *load(const char *text, size_t n, const char *path, thaw_error *err)
{
    json_error_t why;
    json_t *root = json_loadb(text, n, JSON_REJECT_DUPLICATES, &why);
    if (!root) {
        thaw_fail(err, THAW_ERR_SCENARIO, "%s:%d:%d: not valid JSON: %s", path, why.line, why.column, why.text);
    } else if (!json_is_object(root)) {
        json_decref(root);
        root = NULL;
        thaw_fail(err, THAW_ERR_SCENARIO, "%s: a JSON object is wanted, { ... }", path);
    }
    return root;
}

/* NaN where the key is missing or null. */
static thaw_status take(const json_t *object, const slot *s, const char *path, void *base, thaw_error *err)
{
    const json_t *value = json_object_get(object, s->key);
    *number_at(base, s->offset) = NAN;
    if (!value || json_is_null(value)) {
        return THAW_OK;
    }
    if (!json_is_number(value)) {
        return thaw_fail(err, THAW_ERR_SCENARIO, "%s: %s: a number is wanted", path, s->key);
    }
    const double number = json_number_value(value);
    if (!(number >= s->lowest && number <= s->highest)) {
        return thaw_fail(err, THAW_ERR_SCENARIO, "%s: %s: %g is not allowed; %g to %g is", path, s->key, number, s->lowest, s->highest);
    }
    *number_at(base, s->offset) = number * s->scale;
    return THAW_OK;
}

static void take_colours(const json_t *array, thaw_photo_figures *out)
{
    const size_t n = json_array_size(array);
    for (size_t i = 0; i < n && i < 5; i++) {
        const json_t *entry = json_array_get(array, i);
        const char *hex = json_string_value(json_object_get(entry, "srgb"));
        unsigned rgb[3];
        if (!hex || sscanf(hex, "#%2x%2x%2x", &rgb[0], &rgb[1], &rgb[2]) != 3) {
            return;
        }
        static const char *const axes[3] = {"L", "a", "b"};
        for (int c = 0; c < 3; c++) {
            out->palette[i].rgb[c] = (unsigned char)rgb[c];
            out->palette[i].lab[c] = json_number_value(json_object_get(entry, axes[c]));
        }
        out->palette[i].share = json_number_value(json_object_get(entry, "share"));
        out->n_palette = (int)i + 1;
    }
}

static thaw_status take_photo(const json_t *photo, const char *path, thaw_facts *facts, thaw_error *err)
{
    const json_t *figures = json_object_get(photo, "figures");
    thaw_status status = THAW_OK;
    facts->has_photo = json_is_object(photo);
    for (size_t i = 0; i < N(PHOTOS) && status == THAW_OK; i++) {
        status = take(figures, &PHOTOS[i], path, &facts->photo, err);
    }
    facts->photo.is_straightened = json_is_true(json_object_get(photo, "straightened"));
    facts->photo.is_balanced = json_is_true(json_object_get(photo, "balanced"));
    take_colours(json_object_get(figures, "palette"), &facts->photo);
    return status;
}

thaw_status thaw_record_read(const char *text, size_t n, const char *path, thaw_facts *out, thaw_error *err)
{
    thaw_facts facts = {0};
    json_t *root = load(text, n, path, err);
    thaw_status status = root ? THAW_OK : THAW_ERR_SCENARIO;
    for (size_t i = 0; i < N(FACTS) && status == THAW_OK; i++) {
        status = take(root, &FACTS[i], path, &facts, err);
    }
    const json_t *remarks = json_object_get(root, "remarks");
    if (status == THAW_OK && remarks && !json_is_null(remarks) && !json_is_string(remarks)) {
        status = thaw_fail(err, THAW_ERR_SCENARIO, "%s: remarks: text is wanted", path);
    }
    if (status == THAW_OK) {
        snprintf(facts.remarks, sizeof facts.remarks, "%s", json_is_string(remarks) ? json_string_value(remarks) : "");
        status = take_photo(json_object_get(root, "photo"), path, &facts, err);
    }
    json_decref(root);
    if (status == THAW_OK) {
        *out = facts;
    }
    return status;
}

/* ---- writing ---- */

static int set_number(json_t *object, const char *key, double value)
{
    return isfinite(value) ? json_object_set_new(object, key, json_real(value)) : 0;
}

static json_t *palette_part(const thaw_photo_figures *p)
{
    json_t *array = json_array();
    int failed = 0;
    for (int i = 0; i < p->n_palette; i++) {
        char hex[8];
        json_t *object = json_object();
        snprintf(hex, sizeof hex, "#%02x%02x%02x", (unsigned)p->palette[i].rgb[0], (unsigned)p->palette[i].rgb[1],
                 (unsigned)p->palette[i].rgb[2]);
        failed |= json_object_set_new(object, "srgb", json_string(hex)) | set_number(object, "share", p->palette[i].share) |
                  set_number(object, "L", p->palette[i].lab[0]) | set_number(object, "a", p->palette[i].lab[1]) |
                  set_number(object, "b", p->palette[i].lab[2]);
        failed |= json_array_append_new(array, object);
    }
    if (failed) {
        json_decref(array);
        return NULL;
    }
    return array;
}

static json_t *photo_part(const thaw_photo_figures *p)
{
    json_t *figures = json_object(), *photo = json_object();
    int failed = 0;
    for (size_t i = 0; i < N(PHOTOS); i++) {
        failed |= set_number(figures, PHOTOS[i].key, *(const double *)((const char *)p + PHOTOS[i].offset));
    }
    failed |= set_number(figures, "grain_mm", sqrt(p->grain_weft_mm * p->grain_warp_mm)) |
              json_object_set_new(figures, "palette", palette_part(p));
    failed |= json_object_set_new(photo, "file", json_string(THAW_RECORD_PHOTO)) |
              json_object_set_new(photo, "straightened", json_boolean(p->is_straightened)) |
              json_object_set_new(photo, "balanced", json_boolean(p->is_balanced)) | json_object_set_new(photo, "figures", figures);
    if (failed) {
        json_decref(photo);
        return NULL;
    }
    return photo;
}

thaw_status thaw_record_text(const char *before, size_t n, const thaw_facts *facts, const char *version, char **out, thaw_error *err)
{
    json_t *root = before ? json_loadb(before, n, 0, NULL) : json_object();
    int failed = !root || json_object_set_new(root, "version", json_string(version));
    for (size_t i = 0; i < N(FACTS) && !failed; i++) {
        failed = set_number(root, FACTS[i].key, *(const double *)((const char *)facts + FACTS[i].offset));
    }
    if (!failed && facts->remarks[0]) {
        failed = json_object_set_new(root, "remarks", json_string(facts->remarks));
    }
    if (!failed && facts->has_photo) {
        failed = json_object_set_new(root, "photo", photo_part(&facts->photo));
    }
    if (failed) {
        json_decref(root);
        return thaw_fail(err, THAW_ERR_MEMORY, "the record could not be put into JSON (are the remarks UTF-8?)");
    }
    return thaw_json_text(root, out, err);
}
