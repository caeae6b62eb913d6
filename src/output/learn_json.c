#include "output/learn_json.h"

#include <math.h>
#include <stdbool.h>

#include "output/json_text.h"

static json_t *number(double value)
{
    return isfinite(value) ? json_real(value) : json_null();
}

/* An object that failed on the way is let go; NULL goes on through jansson to the root. */
static json_t *checked(json_t *object, int failed)
{
    if (failed) {
        json_decref(object);
        return NULL;
    }
    return object;
}

static json_t *factor_part(const thaw_learnt_factor *f)
{
    json_t *object = json_object();
    return checked(object, json_object_set_new(object, "factor", number(f->value)) |
                               json_object_set_new(object, "p10", number(f->low)) |
                               json_object_set_new(object, "p90", number(f->high)));
}

static json_t *number_part(const thaw_lesson_number *n)
{
    json_t *object = json_object();
    return checked(object, json_object_set_new(object, "fact", number(n->fact)) |
                               json_object_set_new(object, "before", number(n->before)) |
                               json_object_set_new(object, "after", number(n->after)) |
                               json_object_set_new(object, "held_out", number(n->held_out)));
}

static json_t *errors_part(const double errors[3])
{
    json_t *object = json_object();
    return checked(object, json_object_set_new(object, "before", number(errors[0])) |
                               json_object_set_new(object, "after", number(errors[1])) |
                               json_object_set_new(object, "held_out", number(errors[2])));
}

static json_t *pieces_part(const thaw_learn_figures *f)
{
    json_t *array = json_array();
    int failed = 0;
    for (int i = 0; i < f->n; i++) {
        json_t *object = json_object();
        failed |= json_object_set_new(object, "title", json_string(f->pieces[i].title)) |
                  json_object_set_new(object, "cloth", json_string(f->pieces[i].cloth)) |
                  json_object_set_new(object, "melt_h", number_part(&f->pieces[i].melt_h)) |
                  json_object_set_new(object, "climb_cm", number_part(&f->pieces[i].climb_cm));
        failed |= json_array_append_new(array, object);
    }
    return checked(array, failed);
}

static json_t *cloths_part(const thaw_learn_figures *f)
{
    json_t *array = json_array();
    int failed = 0;
    for (int c = 0; c < f->n_cloths; c++) {
        json_t *object = json_object();
        failed |= json_object_set_new(object, "cloth", json_string(f->cloths[c].name)) |
                  json_object_set_new(object, "pieces", json_integer(f->cloths[c].n_climbs)) |
                  json_object_set_new(object, "conductivity", factor_part(&f->cloths[c].conductivity));
        failed |= json_array_append_new(array, object);
    }
    return checked(array, failed);
}

thaw_status thaw_learn_json_text(const thaw_learn_figures *f, const char *version, char **out, thaw_error *err)
{
    json_t *root = json_object();
    int failed = json_object_set_new(root, "version", json_string(version)) | json_object_set_new(root, "heat", factor_part(&f->heat)) |
                 json_object_set_new(root, "cloths", cloths_part(f)) |
                 json_object_set_new(root, "melt_error", errors_part(f->melt_error)) |
                 json_object_set_new(root, "climb_error", errors_part(f->climb_error)) |
                 json_object_set_new(root, "foretells_better", json_boolean(f->is_better)) |
                 json_object_set_new(root, "pieces", pieces_part(f));
    return thaw_json_text(checked(root, failed), out, err);
}
