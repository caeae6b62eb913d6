#include "output/record_read.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include <jansson.h>

#include "base/error.h"

typedef struct reader {
    const char *path;
    thaw_error *err;
    thaw_status status;
} reader;

static double number(reader *r, const json_t *object, const char *key, double least, double most)
{
    const json_t *value = json_object_get(object, key);
    const double x = json_is_number(value) ? json_number_value(value) : NAN;
    if (value && !json_is_null(value) && !(x >= least && x <= most)) {
        r->status = thaw_fail(r->err, THAW_ERR_SCENARIO, "%s: %s: a number from %g to %g is wanted", r->path, key, least, most);
    }
    return x;
}

static void text(reader *r, const json_t *object, const char *key, char *out, size_t size)
{
    const json_t *value = json_object_get(object, key);
    if (value && !json_is_null(value) && (!json_is_string(value) || json_string_length(value) >= size)) {
        r->status = thaw_fail(r->err, THAW_ERR_SCENARIO, "%s: %s: text of at most %zu bytes is wanted", r->path, key, size - 1);
    } else if (json_is_string(value)) {
        snprintf(out, size, "%s", json_string_value(value));
    }
}

/* A colour is "#rrggbb", or an object that has it as srgb, perhaps with its share. */
static void colours(reader *r, const json_t *array, thaw_page_record *out)
{
    for (size_t i = 0; i < json_array_size(array) && out->n_colours < THAW_RECORD_COLOURS; i++) {
        const json_t *one = json_array_get(array, i), *share = json_object_get(one, "share");
        const char *hex = json_string_value(json_is_object(one) ? json_object_get(one, "srgb") : one);
        unsigned c[3];
        if (!hex || strlen(hex) != 7 || sscanf(hex, "#%2x%2x%2x", &c[0], &c[1], &c[2]) != 3) {
            r->status = thaw_fail(r->err, THAW_ERR_SCENARIO, "%s: palette: colour %zu is not like \"#1c6e8c\"", r->path, i + 1);
            return;
        }
        for (int k = 0; k < 3; k++) {
            out->colours[out->n_colours].rgb[k] = (unsigned char)c[k];
        }
        out->colours[out->n_colours++].share = json_is_number(share) ? json_number_value(share) : NAN;
    }
}

static void photo(reader *r, const json_t *object, thaw_page_record *out)
{
    const json_t *figures = json_object_get(object, "figures");
    text(r, object, "file", out->photo, sizeof out->photo);
    if (strchr(out->photo, '/') || out->photo[0] == '.') {
        r->status = thaw_fail(r->err, THAW_ERR_SCENARIO, "%s: photo: file: a name without folders is wanted", r->path);
    }
    out->photo_fineness = number(r, figures, "fineness", 0.0, 1.0);
    out->photo_grain_mm = number(r, figures, "grain_mm", 0.0, 1e4);
    out->photo_white_percent = number(r, figures, "white_percent", 0.0, 100.0);
    out->photo_bleed_percent = number(r, figures, "bleed_percent", 0.0, 100.0);
    colours(r, json_object_get(figures, "palette"), out);
}

thaw_status thaw_page_record_read(const char *bytes, size_t n, const char *path, thaw_page_record *out, thaw_error *err)
{
    json_error_t fault;
    json_t *root = json_loadb(bytes, n, JSON_REJECT_DUPLICATES, &fault);
    if (!root) {
        return thaw_fail(err, THAW_ERR_SCENARIO, "%s:%d:%d: %s", path, fault.line, fault.column, fault.text);
    }
    if (!json_is_object(root)) {
        json_decref(root);
        return thaw_fail(err, THAW_ERR_SCENARIO, "%s: an object in braces is wanted", path);
    }
    reader r = {path, err, THAW_OK};
    thaw_page_record found = {.is_set = true};
    found.melted_h = number(&r, root, "melted_h", 0.0, 1e4);
    found.rinsed_h = number(&r, root, "rinsed_h", 0.0, 1e4);
    found.climb_cm = number(&r, root, "climb_cm", 0.0, 1e4);
    found.white_percent = number(&r, root, "white_percent", 0.0, 100.0);
    text(&r, root, "remarks", found.remarks, sizeof found.remarks);
    photo(&r, json_object_get(root, "photo"), &found);
    json_decref(root);
    if (r.status == THAW_OK) {
        *out = found;
    }
    return r.status;
}
