#include "output/pieces_json.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>

#include "output/json_text.h"

static json_t *number(double value)
{
    return isfinite(value) ? json_real(value) : json_null();
}

static int set_number(json_t *o, const char *key, double value)
{
    return json_object_set_new(o, key, number(value));
}

static json_t *outline_of(const thaw_polygon *p)
{
    json_t *all = json_array();
    for (int i = 0; i < p->n; i++) {
        json_t *pair = json_array();
        const int failed = json_array_append_new(pair, json_real(p->at[i][0])) || json_array_append_new(pair, json_real(p->at[i][1])) ||
                           json_array_append(all, pair);
        json_decref(pair);
        if (failed) {
            json_decref(all);
            return NULL;
        }
    }
    return all;
}

static json_t *wishes_of(const thaw_piece_place *place)
{
    json_t *all = json_array();
    int failed = 0;
    for (int w = 0; w < place->n_wishes; w++) {
        json_t *o = json_object();
        failed = json_object_set_new(o, "wish", json_string(place->wishes[w].text)) || set_number(o, "score", place->wishes[w].mean) ||
                 set_number(o, "least", place->wishes[w].least) || set_number(o, "most", place->wishes[w].most) || failed;
        failed = json_array_append_new(all, o) || failed;
    }
    if (failed) {
        json_decref(all);
        return NULL;
    }
    return all;
}

static json_t *place_of(const thaw_piece_place *p, const thaw_polygon *outline)
{
    json_t *o = json_object();
    int failed = json_object_set_new(o, "piece", json_string(p->name)) || json_object_set_new(o, "number", json_integer(p->number)) ||
                 json_object_set_new(o, "of", json_integer(p->n_cut)) || json_object_set_new(o, "placed", json_boolean(p->is_placed)) ||
                 json_object_set_new(o, "mirrored", json_boolean(p->is_mirrored)) || set_number(o, "width_m", p->width_m) ||
                 set_number(o, "length_m", p->length_m) || set_number(o, "score", p->score) ||
                 json_object_set_new(o, "wishes", wishes_of(p));
    if (p->is_placed) {
        failed = failed || json_object_set_new(o, "head_to_foot", json_boolean(p->is_turned)) || set_number(o, "left_m", p->left_m) ||
                 set_number(o, "top_m", p->top_m) || json_object_set_new(o, "outline_m", outline_of(outline)) ||
                 json_object_set_new(o, "picture", json_string(p->picture));
    }
    if (failed) {
        json_decref(o);
        return NULL;
    }
    return o;
}

thaw_status thaw_lay_json(const thaw_pieces_figures *figures, const thaw_pieces_head *head, char **out, thaw_error *err)
{
    json_t *root = json_object(), *places = json_array();
    char seed[24];
    snprintf(seed, sizeof seed, "%" PRIu64, head->seed);
    int failed = json_object_set_new(root, "version", json_string(head->version)) ||
                 json_object_set_new(root, "title", json_string(head->title)) ||
                 json_object_set_new(root, "pattern", json_string(head->pattern)) ||
                 json_object_set_new(root, "scenario_digest", json_string(head->digest)) ||
                 json_object_set_new(root, "seed", json_string(seed)) ||
                 json_object_set_new(root, "fits", json_boolean(figures->fits)) ||
                 set_number(root, "cloth_width_m", figures->cloth_width_m) || set_number(root, "cloth_length_m", figures->cloth_length_m) ||
                 set_number(root, "pieces_m2", figures->pieces_m2) || set_number(root, "length_needed_m", figures->length_needed_m) ||
                 set_number(root, "width_needed_m", figures->width_needed_m) ||
                 json_object_set_new(root, "chances", json_integer(figures->n_chances)) || set_number(root, "score", figures->total);
    for (int i = 0; i < figures->n; i++) {
        failed = json_array_append_new(places, place_of(&figures->places[i], &head->outlines[i])) || failed;
    }
    failed = json_object_set_new(root, "pieces", places) || failed;
    if (failed) {
        json_decref(root);
        root = NULL;
    }
    return thaw_json_text(root, out, err);
}
