#include "output/compare_json.h"

#include <math.h>

#include "output/json_text.h"

static json_t *number(double value)
{
    return isfinite(value) ? json_real(value) : json_null();
}

static json_t *one_number(const thaw_chance_number *n, const thaw_compared_number *c, bool is_first)
{
    json_t *o = json_object();
    int failed = json_object_set_new(o, "unit", json_string(n->unit)) || json_object_set_new(o, "p10", number(c->p10)) ||
                 json_object_set_new(o, "p50", number(c->p50)) || json_object_set_new(o, "p90", number(c->p90));
    if (!is_first) {
        failed = failed || json_object_set_new(o, "difference", number(c->difference)) ||
                 json_object_set_new(o, "by_chance_alone", number(c->p)) ||
                 json_object_set_new(o, "clear", json_boolean(c->is_clear));
    }
    if (failed) {
        json_decref(o);
        return NULL;
    }
    return o;
}

static json_t *one_set(const thaw_compare_table *t, int i)
{
    const thaw_chances_figures *f = t->figures[i];
    json_t *o = json_object(), *numbers = json_object();
    int failed = json_object_set_new(o, "label", json_string(t->labels[i])) ||
                 json_object_set_new(o, "scenario_digest", json_string(t->digests[i])) ||
                 json_object_set_new(o, "chances", json_integer(f->n)) ||
                 json_object_set_new(o, "came_through", json_integer(f->n_came_through));
    for (int h = 0; h < f->n_numbers; h++) {
        failed = json_object_set_new(numbers, f->numbers[h].key,
                                     one_number(&f->numbers[h], &t->numbers[i * f->n_numbers + h], i == 0)) ||
                 failed;
    }
    failed = json_object_set_new(o, "numbers", numbers) || failed;
    if (failed) {
        json_decref(o);
        return NULL;
    }
    return o;
}

thaw_status thaw_compare_json(const thaw_compare_table *table, char **out, thaw_error *err)
{
    json_t *root = json_object(), *sets = json_array();
    int failed = json_object_set_new(root, "version", json_string(table->version));
    for (int i = 0; i < table->n; i++) {
        failed = json_array_append_new(sets, one_set(table, i)) || failed;
    }
    failed = json_object_set_new(root, "compared", sets) || failed;
    if (failed) {
        json_decref(root);
        root = NULL;
    }
    return thaw_json_text(root, out, err);
}
