#include "output/strip_json.h"

#include <math.h>

#include "output/json_text.h"

#define KELVIN 273.15

static json_t *number(double value)
{
    return isfinite(value) ? json_real(value) : json_null();
}

/* All of these take over what they are given; a failure inside leaves NULL or -1, which jansson passes on. */
static json_t *value_part(const thaw_strip_value *v, double per_unit)
{
    json_t *object = json_object();
    int failed = json_object_set_new(object, "value", number(v->value / per_unit)) |
                 json_object_set_new(object, "p05", v->low > 0.0 ? number(v->low / per_unit) : json_null()) |
                 json_object_set_new(object, "p95", number(v->high / per_unit));
    if (failed) {
        json_decref(object);
        return NULL;
    }
    return object;
}

static json_t *readings_part(int n, const double *t_s, const double *height_m, const double *fit_m)
{
    json_t *array = json_array();
    for (int i = 0; i < n; i++) {
        json_t *object = json_object();
        int failed = json_object_set_new(object, "time_s", number(t_s[i])) |
                     json_object_set_new(object, "height_mm", number(1e3 * height_m[i])) |
                     json_object_set_new(object, "fit_mm", number(1e3 * fit_m[i]));
        if (json_array_append_new(array, object) || failed) {
            json_decref(array);
            return NULL;
        }
    }
    return array;
}

thaw_status thaw_strip_json_text(const thaw_strip_figures *f, const double *t_s, const double *height_m,
                                 const double *fit_m, const char *version, char **out, thaw_error *err)
{
    json_t *root = json_object();
    int failed = json_object_set_new(root, "version", json_string(version)) |
                 json_object_set_new(root, "water_degC", number(f->water_k - KELVIN)) |
                 json_object_set_new(root, "conductivity_over_porosity_20C_mm_s", value_part(&f->speed_m_s, 1e-3)) |
                 json_object_set_new(root, "entry_head_20C_mm", value_part(&f->head_m, 1e-3)) |
                 json_object_set_new(root, "rms_mm", number(1e3 * f->rms_m)) |
                 json_object_set_new(root, "rms_percent", number(100.0 * f->rms_share)) |
                 json_object_set_new(root, "readings", readings_part(f->n_readings, t_s, height_m, fit_m));
    if (f->name) {
        failed |= json_object_set_new(root, "cloth", json_string(f->name)) |
                  json_object_set_new(root, "like", json_string(f->like)) |
                  json_object_set_new(root, "conductivity_20C_mm_s", value_part(&f->conductivity_m_s, 1e-3));
    }
    if (f->question[0]) {
        failed |= json_object_set_new(root, "question", json_string(f->question));
    }
    if (failed) {
        json_decref(root);
        root = NULL;
    }
    return thaw_json_text(root, out, err);
}
