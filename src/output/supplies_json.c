#include "output/supplies_json.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>

#include "output/json_text.h"

#define N(array) (sizeof(array) / sizeof *(array))
#define G 1000.0
#define L 1000.0
#define H (1.0 / 3600.0)
#define ICE_POINT_K 273.15

typedef struct entry {
    const char *key;
    double value;
} entry;

static json_t *number(double value)
{
    return isfinite(value) ? json_real(value) : json_null();
}

static int add(json_t *object, const entry *entries, size_t n)
{
    int failed = 0;
    for (size_t i = 0; i < n; i++) {
        failed = json_object_set_new(object, entries[i].key, number(entries[i].value)) || failed;
    }
    return failed;
}

static json_t *cloth_part(const thaw_supplies_figures *f)
{
    json_t *o = json_object();
    const entry entries[] = {{"dry_g", f->cloth_kg * G}, {"pick_up_percent", f->pickup_kg_kg * 100.0}, {"wrung_g", f->wrung_kg * G}};
    return thaw_json_whole(o, json_object_set_new(o, "kind", json_string(f->cloth)) ||
                                json_object_set_new(o, "wring", json_string(f->wring)) || add(o, entries, N(entries)));
}

static json_t *soak_part(const thaw_supplies_figures *f)
{
    json_t *o = json_object();
    const entry entries[] = {{"water_L", f->bath_m3 * L},
                             {"soda_ash_g", f->soda_kg * G},
                             {"soda_ash_g_per_L", f->soda_kg_m3},
                             {"soda_ash_mol_per_L", f->soda_mol_m3 / L},
                             {"cups_per_us_gallon_low", f->cups_low},
                             {"cups_per_us_gallon_high", f->cups_high},
                             {"least_min", f->soak_least_s / 60.0},
                             {"most_min", f->soak_most_s / 60.0},
                             {"soda_ash_in_the_cloth_g", f->taken_soda_kg * G},
                             {"soda_ash_sprinkled_g", f->sprinkled_soda_kg * G}};
    return thaw_json_whole(o, add(o, entries, N(entries)) || json_object_set_new(o, "dried_after", json_boolean(f->starts_dry)));
}

static json_t *packets_part(const thaw_supplies_figures *f, const thaw_supplies_colour *c)
{
    json_t *array = json_array();
    int failed = 0;
    for (int p = 0; p < f->n_packets; p++) {
        json_t *o = json_object();
        const entry entries[] = {{"size_g", f->packets[p].mass_kg * G}, {"price", f->packets[p].price}};
        failed = add(o, entries, N(entries)) || json_object_set_new(o, "count", json_integer(c->packets[p])) ||
                 json_array_append_new(array, o) || failed;
    }
    return thaw_json_whole(array, failed);
}

static json_t *colours_part(const thaw_supplies_figures *f)
{
    json_t *array = json_array();
    int failed = 0;
    for (int i = 0; i < f->n_colours; i++) {
        const thaw_supplies_colour *c = &f->colours[i];
        json_t *o = json_object();
        const entry entries[] = {{"mass_g", c->mass_kg * G},
                                 {"on_weight_of_goods_percent", c->on_weight * 100.0},
                                 {"level_teaspoons_low", c->spoons_low},
                                 {"level_teaspoons_high", c->spoons_high},
                                 {"water_mL", c->water_m3 * 1e6},
                                 {"left_over_g", c->left_kg * G},
                                 {"cost", c->cost}};
        failed = json_object_set_new(o, "colour", json_string(c->name)) ||
                 (c->part_of[0] && json_object_set_new(o, "part_of", json_string(c->part_of))) || add(o, entries, N(entries)) ||
                 json_object_set_new(o, "packets", packets_part(f, c)) || json_array_append_new(array, o) || failed;
    }
    return thaw_json_whole(array, failed);
}

static json_t *powder_part(const thaw_supplies_figures *f)
{
    json_t *o = json_object();
    const entry entries[] = {{"mass_g", f->dye_kg * G},
                             {"on_weight_of_goods_percent", f->on_weight * 100.0},
                             {"cost", f->cost},
                             {"most_that_can_bond_g", f->capacity_kg * G},
                             {"weigh_instead_g", f->instead_kg * G},
                             {"bonds_g", f->fixed_kg * G},
                             {"washed_away_g", f->washed_kg * G},
                             {"half_the_powder_bonds_share_of_this", f->half_fixed}};
    return thaw_json_whole(o, add(o, entries, N(entries)) || json_object_set_new(o, "colours", colours_part(f)));
}

static json_t *ice_part(const thaw_supplies_figures *f)
{
    json_t *o = json_object(), *array = json_array();
    const entry entries[] = {{"mass_kg", f->ice_kg}, {"litres_heaped", f->ice_heap_m3 * L}, {"area_m2", f->ice_area_m2},
                             {"covers_share", f->ice_covers}};
    int failed = add(o, entries, N(entries));
    for (int i = 0; i < f->n_ices; i++) {
        const thaw_supplies_ice *ice = &f->ices[i];
        json_t *one = json_object();
        const entry values[] = {{"mass_kg", ice->mass_kg}, {"litres_heaped", ice->heap_m3 * L}, {"after_h", ice->at_s * H}};
        failed = json_object_set_new(one, "kind", json_string(ice->kind)) || add(one, values, N(values)) ||
                 json_array_append_new(array, one) || failed;
    }
    failed = json_object_set_new(o, "kinds", array) || failed;
    return thaw_json_whole(o, failed);
}

static json_t *time_part(const thaw_supplies_time *t)
{
    json_t *o = json_object();
    const entry entries[] = {{"p10_h", t->p10 * H}, {"p50_h", t->p50 * H}, {"p90_h", t->p90 * H}};
    return thaw_json_whole(o, add(o, entries, N(entries)));
}

static json_t *clock_of(const thaw_supplies_figures *f, double after_ice_s)
{
    char text[48];
    thaw_clock_write(&f->start, f->ice_on_s + after_ice_s, text, sizeof text);
    return isfinite(after_ice_s) && f->start.is_set ? json_string(text) : json_null();
}

static json_t *clocks_part(const thaw_supplies_figures *f)
{
    json_t *o = json_object();
    return thaw_json_whole(o, json_object_set_new(o, "soak", clock_of(f, -f->ice_on_s)) ||
                                json_object_set_new(o, "ice_on", clock_of(f, 0.0)) ||
                                json_object_set_new(o, "ice_gone_p10", clock_of(f, f->ice_gone.p10)) ||
                                json_object_set_new(o, "ice_gone_p90", clock_of(f, f->ice_gone.p90)) ||
                                json_object_set_new(o, "rinse_not_before", clock_of(f, f->rinse_s)) ||
                                json_object_set_new(o, "rinse_to_be_sure", clock_of(f, f->rinse_safe_s)) ||
                                json_object_set_new(o, "rinse_as_the_file_says", clock_of(f, f->leave_s)));
}

static json_t *colder_part(const thaw_supplies_figures *f)
{
    json_t *o = json_object();
    const entry entries[] = {{"room_degC", f->colder_k - ICE_POINT_K}, {"ice_gone_h", f->colder_ice_gone_s * H},
                             {"ready_h", f->colder_ready_s * H}, {"dry_h", f->colder_dry_s * H}};
    return thaw_json_whole(o, f->colder_k > 0.0 && add(o, entries, N(entries)));
}

static json_t *timetable_part(const thaw_supplies_figures *f)
{
    json_t *o = json_object();
    const entry entries[] = {{"ice_on_h_after_the_start", f->ice_on_s * H},
                             {"leave_h", f->leave_s * H},
                             {"fixed_share_of_end_then", f->fixed_share_of_end},
                             {"rinse_not_before_h", f->rinse_s * H},
                             {"rinse_to_be_sure_h", f->rinse_safe_s * H},
                             {"dry_low_h", f->dry_low_s * H},
                             {"dry_h", f->dry_s * H},
                             {"dry_high_h", f->dry_high_s * H},
                             {"room_degC", f->room_k - ICE_POINT_K},
                             {"left_a_day_longer_ice_gone_h", f->longer_ice_gone_s * H},
                             {"left_a_day_longer_ready_h", f->longer_ready_s * H}};
    return thaw_json_whole(o, add(o, entries, N(entries)) || json_object_set_new(o, "runs", json_integer(f->n_members)) ||
                                json_object_set_new(o, "ice_gone", time_part(&f->ice_gone)) ||
                                json_object_set_new(o, "ready", time_part(&f->ready)) ||
                                json_object_set_new(o, "clock", clocks_part(f)) ||
                                json_object_set_new(o, "colder_room", colder_part(f)));
}

thaw_status thaw_supplies_text(const thaw_supplies_figures *figures, const thaw_supplies_head *head, char **out,
                               thaw_error *err)
{
    char seed[24];
    json_t *root = json_object();
    snprintf(seed, sizeof seed, "%" PRIu64, head->seed);
    int failed = json_object_set_new(root, "title", json_string(head->title)) ||
                 json_object_set_new(root, "scenario_digest", json_string(head->digest)) ||
                 json_object_set_new(root, "seed", json_string(seed)) ||
                 json_object_set_new(root, "thawprint_version", json_string(head->version)) ||
                 json_object_set_new(root, "cloth", cloth_part(figures)) ||
                 json_object_set_new(root, "soak", soak_part(figures)) ||
                 json_object_set_new(root, "powder", powder_part(figures)) ||
                 json_object_set_new(root, "ice", ice_part(figures)) ||
                 json_object_set_new(root, "timetable", timetable_part(figures));
    return thaw_json_text(thaw_json_whole(root, failed), out, err);
}
