#include "output/border_json.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>

#include "output/json_text.h"

#define CM 100.0

static json_t *cm(double m)
{
    return isfinite(m) ? json_real(m * CM) : json_null();
}

static json_t *ends_part(const thaw_border_ends *e)
{
    json_t *o = json_object();
    return thaw_json_whole(o, json_object_set_new(o, "ice_up_to_cm", cm(e->line_m)) ||
                                json_object_set_new(o, "p10_cm", cm(e->p10_m)) || json_object_set_new(o, "p50_cm", cm(e->p50_m)) ||
                                json_object_set_new(o, "p90_cm", cm(e->p90_m)) ||
                                json_object_set_new(o, "as_sure_as_asked_cm", cm(e->sure_m)));
}

static json_t *tried_part(const thaw_border_figures *f)
{
    json_t *array = json_array();
    int failed = 0;
    for (int i = 0; i < f->n_tried; i++) {
        failed = json_array_append_new(array, ends_part(&f->tried[i])) || failed;
    }
    return thaw_json_whole(array, failed);
}

static json_t *curve(const double m[THAW_BORDER_TIMES], double times)
{
    json_t *array = json_array();
    int failed = 0;
    for (int t = 0; t < THAW_BORDER_TIMES; t++) {
        failed = json_array_append_new(array, isfinite(m[t]) ? json_real(times * m[t]) : json_null()) || failed;
    }
    return thaw_json_whole(array, failed);
}

static json_t *curves(double m[3][THAW_BORDER_TIMES])
{
    json_t *o = json_object();
    return thaw_json_whole(o, json_object_set_new(o, "p10_cm", curve(m[0], CM)) ||
                                json_object_set_new(o, "p50_cm", curve(m[1], CM)) ||
                                json_object_set_new(o, "p90_cm", curve(m[2], CM)));
}

static json_t *fronts_part(const thaw_border_figures *f)
{
    json_t *array = json_array();
    int failed = 0;
    for (int r = 0; r < f->n_fronts; r++) {
        thaw_border_front front = f->fronts[r];
        json_t *o = json_object();
        failed = json_object_set_new(o, "dye", json_string(front.name)) ||
                 json_object_set_new(o, "seen_wet", curves(front.wet_m)) ||
                 json_object_set_new(o, "if_rinsed_then", curves(front.rinsed_m)) || json_array_append_new(array, o) || failed;
    }
    return thaw_json_whole(array, failed);
}

static json_t *remedies_part(const thaw_border_figures *f)
{
    json_t *array = json_array();
    int failed = 0;
    for (int i = 0; i < f->n_remedies; i++) {
        const thaw_border_remedy *r = &f->remedies[i];
        json_t *o = json_object();
        failed = json_object_set_new(o, "remedy", json_string(r->key)) || json_object_set_new(o, "what", json_string(r->what)) ||
                 json_object_set_new(o, "before_cm", cm(r->before_m)) || json_object_set_new(o, "after_cm", cm(r->after_m)) ||
                 json_object_set_new(o, "enough", json_boolean(r->is_enough)) || json_array_append_new(array, o) || failed;
    }
    return thaw_json_whole(array, failed);
}

thaw_status thaw_border_text(const thaw_border_figures *figures, const thaw_border_head *head, char **out, thaw_error *err)
{
    const thaw_border_figures *f = figures;
    char seed[24];
    json_t *root = json_object();
    snprintf(seed, sizeof seed, "%" PRIu64, head->seed);
    int failed = json_object_set_new(root, "title", json_string(head->title)) ||
                 json_object_set_new(root, "scenario_digest", json_string(head->digest)) ||
                 json_object_set_new(root, "seed", json_string(seed)) ||
                 json_object_set_new(root, "thawprint_version", json_string(head->version)) ||
                 json_object_set_new(root, "wanted_end_cm", cm(f->end_m)) ||
                 json_object_set_new(root, "sure_percent", json_real(100.0 * f->sure)) ||
                 json_object_set_new(root, "runs", json_integer(f->n)) ||
                 json_object_set_new(root, "came_through", json_integer(f->n_came_through)) ||
                 json_object_set_new(root, "met", json_boolean(f->is_met)) ||
                 json_object_set_new(root, "ice_up_to_cm", cm(f->line_m)) ||
                 json_object_set_new(root, "off_by_cm", cm(f->doubt_m)) ||
                 json_object_set_new(root, "ice_up_to_in_the_file_cm", cm(f->file_line_m)) ||
                 json_object_set_new(root, "amount_times", json_real(f->amount)) ||
                 json_object_set_new(root, "ice_kg", json_real(f->ice_kg)) ||
                 json_object_set_new(root, "dye_g", json_real(1000.0 * f->dye_kg)) ||
                 json_object_set_new(root, "free_end_over_the_rack_cm", cm(f->free_end_m)) ||
                 json_object_set_new(root, "siphons", json_boolean(f->free_end_m < 0.0 && f->n_dripping > 0)) ||
                 json_object_set_new(root, "runs_that_dripped_from_the_free_end", json_integer(f->n_dripping)) ||
                 json_object_set_new(root, "dripped_median_g", json_real(1000.0 * f->drip_kg[0])) ||
                 json_object_set_new(root, "dripped_most_g", json_real(1000.0 * f->drip_kg[1])) ||
                 json_object_set_new(root, "dye_ends", ends_part(&f->ends)) ||
                 json_object_set_new(root, "with_ice_up_to_the_wanted_end", ends_part(&f->naive)) ||
                 json_object_set_new(root, "tried", tried_part(f)) ||
                 json_object_set_new(root, "times_h", curve(f->times_s, 1.0 / 3600.0)) ||
                 json_object_set_new(root, "fronts", fronts_part(f)) ||
                 json_object_set_new(root, "would_help", remedies_part(f));
    return thaw_json_text(thaw_json_whole(root, failed), out, err);
}
