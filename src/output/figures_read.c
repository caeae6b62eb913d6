#include "output/figures_read.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include <jansson.h>

#include "base/error.h"

#define AT(member) offsetof(thaw_preview_figures, member)
#define AT_DYE(member) offsetof(thaw_dye_account, member)
#define N(table) (sizeof(table) / sizeof(table)[0])

/* A number of the file, in `per` of SI each. An upper end of a range is infinite where only its lower end is known. */
typedef struct row {
    const char *part, *key;
    size_t at;
    double per;
    bool is_upper;
} row;

static const row ROWS[] = {
    {"setup", "cloth_kg", AT(cloth_kg), 1.0, false},
    {"setup", "ice_kg", AT(ice_kg), 1.0, false},
    {"setup", "dye_kg", AT(dye_kg), 1.0, false},
    {"setup", "dye_on_weight_of_goods", AT(depth_owg), 1.0, false},
    {"setup", "layers_mean", AT(layers_mean), 1.0, false},
    {"setup", "bundle_width_m", AT(bundle_width_m), 1.0, false},
    {"setup", "bundle_length_m", AT(bundle_length_m), 1.0, false},
    {"setup", "bundle_height_m", AT(bundle_height_m), 1.0, false},
    {"melt", "time_99_percent_h", AT(melt_most_s), 3600.0, false},
    {"melt", "time_99_percent_p10_h", AT(melt_most_range_s[0]), 3600.0, false},
    {"melt", "time_99_percent_p90_h", AT(melt_most_range_s[1]), 3600.0, true},
    {"melt", "time_all_h", AT(melt_all_s), 3600.0, false},
    {"melt", "time_all_p10_h", AT(melt_all_range_s[0]), 3600.0, false},
    {"melt", "time_all_p90_h", AT(melt_all_range_s[1]), 3600.0, true},
    {"melt", "ice_left_kg", AT(ice_left_kg), 1.0, false},
    {"time", "leave_h", AT(leave_s), 3600.0, false},
    {"time", "ready_h", AT(ready_s), 3600.0, false},
    {"time", "ready_p10_h", AT(ready_range_s[0]), 3600.0, false},
    {"time", "ready_p90_h", AT(ready_range_s[1]), 3600.0, true},
    {"time", "fixed_share", AT(fixed_share), 1.0, false},
    {"time", "fixed_share_p10", AT(fixed_share_range[0]), 1.0, false},
    {"time", "fixed_share_p90", AT(fixed_share_range[1]), 1.0, false},
    {"time", "fixed_share_of_end", AT(fixed_share_of_end), 1.0, false},
    {"look", "white_share", AT(white_share), 1.0, false},
    {"look", "white_share_p10", AT(white_range[0]), 1.0, false},
    {"look", "white_share_p90", AT(white_range[1]), 1.0, false},
    {"look", "fineness", AT(fineness), 1.0, false},
    {"look", "fineness_p10", AT(fineness_range[0]), 1.0, false},
    {"look", "fineness_p90", AT(fineness_range[1]), 1.0, false},
    {"look", "grain_weft_mm", AT(grain_weft_m), 1e-3, false},
    {"look", "grain_weft_p10_mm", AT(grain_weft_range_m[0]), 1e-3, false},
    {"look", "grain_weft_p90_mm", AT(grain_weft_range_m[1]), 1e-3, false},
    {"look", "grain_warp_mm", AT(grain_warp_m), 1e-3, false},
    {"look", "grain_warp_p10_mm", AT(grain_warp_range_m[0]), 1e-3, false},
    {"look", "grain_warp_p90_mm", AT(grain_warp_range_m[1]), 1e-3, false},
    {"look", "bleed_share", AT(bleed_share), 1.0, false},
    {"look", "bleed_share_p10", AT(bleed_range[0]), 1.0, false},
    {"look", "bleed_share_p90", AT(bleed_range[1]), 1.0, false},
    {"look", "depth_lightness", AT(depth), 1.0, false},
    {"look", "unevenness_lightness", AT(unevenness), 1.0, false},
    {"look", "dry_minus_wet_lightness", AT(wet_dry_lightness), 1.0, false},
};

/* Only where cloth hangs. */
static const row HANG_ROWS[] = {
    {"hang", "length_cm", AT(hang_m), 0.01, false},
    {"hang", "free_end_drip_g", AT(free_end_kg), 1e-3, false},
    {"hang", "climb_tenth_cm", AT(climb_m[0]), 0.01, false},
    {"hang", "climb_median_cm", AT(climb_m[1]), 0.01, false},
    {"hang", "climb_nine_tenths_cm", AT(climb_m[2]), 0.01, false},
    {"hang", "climb_median_p10_cm", AT(climb_range_m[0]), 0.01, false},
    {"hang", "climb_median_p90_cm", AT(climb_range_m[1]), 0.01, false},
};

static const row DYE_ROWS[] = {
    {NULL, "weighed_g", AT_DYE(weighed_kg), 1e-3, false},
    {NULL, "fixed_g", AT_DYE(fixed_kg), 1e-3, false},
    {NULL, "rinsed_g", AT_DYE(rinsed_kg), 1e-3, false},
    {NULL, "tub_g", AT_DYE(tub_kg), 1e-3, false},
    {NULL, "left_on_ice_g", AT_DYE(ice_kg), 1e-3, false},
    {NULL, "climb_tenth_cm", AT_DYE(climb_m[0]), 0.01, false},
    {NULL, "climb_median_cm", AT_DYE(climb_m[1]), 0.01, false},
    {NULL, "climb_nine_tenths_cm", AT_DYE(climb_m[2]), 0.01, false},
};

/* False if a value is there but no number or null, or if it is missing. */
static bool read_rows(const json_t *root, const row *rows, size_t n, void *to)
{
    double before = NAN;
    for (size_t i = 0; i < n; i++) {
        const json_t *value = json_object_get(rows[i].part ? json_object_get(root, rows[i].part) : root, rows[i].key);
        if (!json_is_number(value) && !json_is_null(value)) {
            return false;
        }
        double number = json_is_number(value) ? json_number_value(value) * rows[i].per : NAN;
        if (rows[i].is_upper && isnan(number) && isfinite(before)) {
            number = INFINITY;
        }
        *(double *)(void *)((char *)to + rows[i].at) = before = number;
    }
    return true;
}

static bool read_hex(const char *text, unsigned char rgb[3])
{
    unsigned r, g, b;
    char rest;
    if (!text || strlen(text) != 7 || sscanf(text, "#%2x%2x%2x%c", &r, &g, &b, &rest) != 3) {
        return false;
    }
    rgb[0] = (unsigned char)r;
    rgb[1] = (unsigned char)g;
    rgb[2] = (unsigned char)b;
    return true;
}

static bool read_palette(const json_t *array, thaw_preview_figures *f)
{
    const size_t n = json_array_size(array);
    f->n_palette = n < N(f->palette) ? (int)n : (int)N(f->palette);
    for (int i = 0; i < f->n_palette; i++) {
        const json_t *one = json_array_get(array, (size_t)i);
        const char *keys[] = {"L", "a", "b"};
        f->palette[i].share = json_number_value(json_object_get(one, "share"));
        for (int k = 0; k < 3; k++) {
            f->palette[i].lab[k] = json_number_value(json_object_get(one, keys[k]));
        }
        if (!read_hex(json_string_value(json_object_get(one, "srgb")), f->palette[i].rgb)) {
            return false;
        }
    }
    return json_is_array(array);
}

static void keep_text(const json_t *object, const char *key, char *out, size_t size)
{
    const char *text = json_string_value(json_object_get(object, key));
    snprintf(out, size, "%s", text ? text : "");
}

static bool read_dyes(const json_t *array, thaw_preview_figures *f, thaw_figures_names *names)
{
    const size_t n = json_array_size(array);
    f->n_dyes = n < THAW_PREVIEW_MAX_DYES ? (int)n : THAW_PREVIEW_MAX_DYES;
    for (int i = 0; i < f->n_dyes; i++) {
        const json_t *one = json_array_get(array, (size_t)i);
        keep_text(one, "name", names->name[i], sizeof names->name[i]);
        keep_text(one, "generic_name", names->generic[i], sizeof names->generic[i]);
        f->dyes[i].name = names->name[i];
        f->dyes[i].generic = names->generic[i];
        if (!read_rows(one, DYE_ROWS, N(DYE_ROWS), &f->dyes[i])) {
            return false;
        }
    }
    return json_is_array(array);
}

static bool read_all(const json_t *root, thaw_preview_figures *f, thaw_figures_names *names)
{
    const json_t *hang = json_object_get(root, "hang");
    f->melted = json_is_true(json_object_get(json_object_get(root, "melt"), "all_melted"));
    for (int i = 0; i < 3; i++) {
        f->climb_m[i] = NAN;
    }
    f->climb_range_m[0] = f->climb_range_m[1] = NAN;
    return read_rows(root, ROWS, N(ROWS), f) &&
           (!json_is_object(hang) || read_rows(root, HANG_ROWS, N(HANG_ROWS), f)) &&
           read_palette(json_object_get(root, "palette"), f) && read_dyes(json_object_get(root, "dyes"), f, names);
}

thaw_status thaw_figures_read(const char *text, size_t n, thaw_preview_figures *figures, thaw_figures_names *names,
                              thaw_figures_origin *origin, thaw_error *err)
{
    json_error_t fault;
    thaw_preview_figures found = {0};
    json_t *root = json_loadb(text, n, JSON_REJECT_DUPLICATES, &fault);
    if (!root) {
        return thaw_fail(err, THAW_ERR_FILE, "figures.json:%d:%d: %s", fault.line, fault.column, fault.text);
    }
    thaw_status status = read_all(root, &found, names)
                             ? THAW_OK
                             : thaw_fail(err, THAW_ERR_FILE, "figures.json: is not what this version of thawprint writes");
    if (status == THAW_OK) {
        *figures = found;
        keep_text(root, "scenario_digest", origin->digest, sizeof origin->digest);
        keep_text(root, "thawprint_version", origin->version, sizeof origin->version);
        keep_text(root, "seed", origin->seed, sizeof origin->seed);
    }
    json_decref(root);
    return status;
}
