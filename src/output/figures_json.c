#include "output/figures_json.h"

#include <inttypes.h>
#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include <jansson.h>

#include "output/json_text.h"

#define N(table)       (sizeof(table) / sizeof(table)[0])

/* A number under its key. */
typedef struct entry {
    const char *key;
    double value;
} entry;

/* All of these take over what they are given; -1 or NULL on failure, which jansson passes on. */
static json_t *number(double value)
{
    return isfinite(value) ? json_real(value) : json_null();
}

static json_t *numbers(const entry *entries, size_t n)
{
    json_t *object = json_object();
    for (size_t i = 0; i < n; i++) {
        if (json_object_set_new(object, entries[i].key, number(entries[i].value))) {
            json_decref(object);
            return NULL;
        }
    }
    return object;
}

static json_t *melt_part(const thaw_preview_figures *f)
{
    entry entries[] = {{"time_99_percent_h", f->melt_most_s / 3600.0},
                       {"time_99_percent_p10_h", f->melt_most_range_s[0] / 3600.0},
                       {"time_99_percent_p90_h", f->melt_most_range_s[1] / 3600.0},
                       {"time_all_h", f->melt_all_s / 3600.0},
                       {"time_all_p10_h", f->melt_all_range_s[0] / 3600.0},
                       {"time_all_p90_h", f->melt_all_range_s[1] / 3600.0},
                       {"ice_left_kg", f->ice_left_kg}};
    json_t *object = numbers(entries, N(entries));
    if (json_object_set_new(object, "all_melted", json_boolean(f->melted))) {
        json_decref(object);
        return NULL;
    }
    return object;
}

static json_t *setup_part(const thaw_preview_figures *f)
{
    entry entries[] = {{"cloth_kg", f->cloth_kg},
                       {"ice_kg", f->ice_kg},
                       {"dye_kg", f->dye_kg},
                       {"dye_on_weight_of_goods", f->depth_owg},
                       {"layers_mean", f->layers_mean},
                       {"bundle_width_m", f->bundle_width_m},
                       {"bundle_length_m", f->bundle_length_m},
                       {"bundle_height_m", f->bundle_height_m}};
    return numbers(entries, N(entries));
}

static json_t *time_part(const thaw_preview_figures *f)
{
    entry entries[] = {{"leave_h", f->leave_s / 3600.0},
                       {"ready_h", f->ready_s / 3600.0},
                       {"ready_p10_h", f->ready_range_s[0] / 3600.0},
                       {"ready_p90_h", f->ready_range_s[1] / 3600.0},
                       {"fixed_share", f->fixed_share},
                       {"fixed_share_p10", f->fixed_share_range[0]},
                       {"fixed_share_p90", f->fixed_share_range[1]},
                       {"fixed_share_of_end", f->fixed_share_of_end},
                       {"dried_share", f->dried_share}};
    return numbers(entries, N(entries));
}

static json_t *look_part(const thaw_preview_figures *f)
{
    entry entries[] = {{"white_share", f->white_share},
                       {"white_share_p10", f->white_range[0]},
                       {"white_share_p90", f->white_range[1]},
                       {"fineness", f->fineness},
                       {"fineness_p10", f->fineness_range[0]},
                       {"fineness_p90", f->fineness_range[1]},
                       {"grain_weft_mm", f->grain_weft_m * 1000.0},
                       {"grain_weft_p10_mm", f->grain_weft_range_m[0] * 1000.0},
                       {"grain_weft_p90_mm", f->grain_weft_range_m[1] * 1000.0},
                       {"grain_warp_mm", f->grain_warp_m * 1000.0},
                       {"grain_warp_p10_mm", f->grain_warp_range_m[0] * 1000.0},
                       {"grain_warp_p90_mm", f->grain_warp_range_m[1] * 1000.0},
                       {"bleed_share", f->bleed_share},
                       {"bleed_share_p10", f->bleed_range[0]},
                       {"bleed_share_p90", f->bleed_range[1]},
                       {"depth_lightness", f->depth},
                       {"unevenness_lightness", f->unevenness},
                       {"dry_minus_wet_lightness", f->wet_dry_lightness}};
    return numbers(entries, N(entries));
}

/* Over the width of the cloth. */
#define CLIMB(m)                                                                                       \
    {"climb_tenth_cm", 100.0 * (m)[0]}, {"climb_median_cm", 100.0 * (m)[1]}, {"climb_nine_tenths_cm", 100.0 * (m)[2]}

static json_t *hang_part(const thaw_preview_figures *f)
{
    entry entries[] = {{"length_cm", 100.0 * f->hang_m}, {"free_end_drip_g", 1000.0 * f->free_end_kg}, CLIMB(f->climb_m),
                       {"climb_median_p10_cm", 100.0 * f->climb_range_m[0]}, {"climb_median_p90_cm", 100.0 * f->climb_range_m[1]}};
    return f->hang_m > 0.0 ? numbers(entries, N(entries)) : json_null();
}

static json_t *palette_part(const thaw_preview_figures *f)
{
    json_t *array = json_array();
    for (int i = 0; i < f->n_palette; i++) {
        char hex[8];
        const unsigned char *c = f->palette[i].rgb;
        snprintf(hex, sizeof hex, "#%02x%02x%02x", (unsigned)c[0], (unsigned)c[1], (unsigned)c[2]);
        entry entries[] = {{"share", f->palette[i].share},
                           {"L", f->palette[i].lab[0]},
                           {"a", f->palette[i].lab[1]},
                           {"b", f->palette[i].lab[2]}};
        json_t *object = json_object();
        int failed = json_object_set_new(object, "srgb", json_string(hex));
        json_t *rest = numbers(entries, N(entries));
        failed = failed || json_object_update(object, rest);
        json_decref(rest);
        if (json_array_append_new(array, object) || failed) {
            json_decref(array);
            return NULL;
        }
    }
    return array;
}

static json_t *dyes_part(const thaw_preview_figures *f)
{
    json_t *array = json_array();
    for (int i = 0; i < f->n_dyes; i++) {
        const thaw_dye_account *d = &f->dyes[i];
        entry entries[] = {
            {"weighed_g", d->weighed_kg * 1000.0}, {"fixed_g", d->fixed_kg * 1000.0},
            {"rinsed_g", d->rinsed_kg * 1000.0},   {"tub_g", d->tub_kg * 1000.0},
            {"left_on_ice_g", d->ice_kg * 1000.0}, {"ledger_error", d->ledger_error},
            CLIMB(d->climb_m)};
        json_t *object = json_object();
        int failed = json_object_set_new(object, "name", json_string(d->name)) ||
                     json_object_set_new(object, "generic_name", json_string(d->generic));
        json_t *rest = numbers(entries, N(entries));
        failed = failed || json_object_update(object, rest);
        json_decref(rest);
        if (json_array_append_new(array, object) || failed) {
            json_decref(array);
            return NULL;
        }
    }
    return array;
}

static json_t *panels_part(const thaw_preview_figures *f)
{
    json_t *array = json_array();
    for (int i = 0; i < f->n_panels; i++) {
        const thaw_panel_account *p = &f->panels[i];
        entry entries[] = {{"cloth_g", p->cloth_kg * 1000.0}, {"fixed_g", p->fixed_kg * 1000.0},
                           {"white_share", p->white_share},   {"bleed_share", p->bleed_share},
                           {"depth_lightness", p->depth},     CLIMB(p->climb_m)};
        json_t *object = json_object();
        int failed = json_object_set_new(object, "name", json_string(p->name));
        json_t *rest = numbers(entries, N(entries));
        failed = failed || json_object_update(object, rest);
        json_decref(rest);
        if (json_array_append_new(array, object) || failed) {
            json_decref(array);
            return NULL;
        }
    }
    return array;
}

static json_t *ledger_part(const thaw_preview_figures *f)
{
    entry entries[] = {{"water_error", f->water_error},
                       {"water_start_kg", f->water_start_kg},
                       {"water_melt_kg", f->water_melt_kg},
                       {"water_condensed_kg", f->water_condensed_kg},
                       {"water_evaporated_kg", f->water_evaporated_kg},
                       {"water_tub_kg", f->water_tub_kg},
                       {"water_end_kg", f->water_end_kg},
                       {"heat_error", f->heat_error},
                       {"heat_air_J", f->heat_air_j},
                       {"heat_condensation_J", f->heat_condensation_j},
                       {"heat_radiation_J", f->heat_radiation_j},
                       {"heat_below_J", f->heat_below_j},
                       {"heat_melt_J", f->heat_melt_j},
                       {"heat_runoff_J", f->heat_runoff_j},
                       {"soda_error", f->soda_error},
                       {"soda_start_kg", f->soda_start_kg},
                       {"soda_tub_kg", f->soda_tub_kg},
                       {"soda_end_kg", f->soda_end_kg}};
    return numbers(entries, N(entries));
}

static json_t *whole(const thaw_preview_figures *f, const thaw_figures_head *head)
{
    char seed[24];
    snprintf(seed, sizeof seed, "%" PRIu64, head->seed);
    json_t *root = json_object();
    int failed = json_object_set_new(root, "title", json_string(head->title)) ||
                 json_object_set_new(root, "scenario_digest", json_string(head->digest)) ||
                 json_object_set_new(root, "seed", json_string(seed)) ||
                 json_object_set_new(root, "thawprint_version", json_string(head->version)) ||
                 json_object_set_new(root, "setup", setup_part(f)) ||
                 json_object_set_new(root, "melt", melt_part(f)) ||
                 json_object_set_new(root, "time", time_part(f)) ||
                 json_object_set_new(root, "look", look_part(f)) ||
                 json_object_set_new(root, "hang", hang_part(f)) ||
                 json_object_set_new(root, "palette", palette_part(f)) ||
                 json_object_set_new(root, "dyes", dyes_part(f)) ||
                 json_object_set_new(root, "ledgers", ledger_part(f)) ||
                 json_object_set_new(root, "steps", json_integer(f->steps));
    failed = failed || (f->n_panels > 0 && json_object_set_new(root, "panels", panels_part(f)));
    if (failed) {
        json_decref(root);
        return NULL;
    }
    return root;
}

thaw_status thaw_figures_json(const thaw_preview_figures *figures, const thaw_figures_head *head,
                              char **out, thaw_error *err)
{
    return thaw_json_text(whole(figures, head), out, err);
}
