#include "thawprint/scenario.h"

#include <stdio.h>
#include <string.h>

#include "api/read_file.h"
#include "base/alloc.h"
#include "base/error.h"
#include "base/file.h"
#include "base/words.h"
#include "scenario/demo_text.h"
#include "scenario/estimate.h"
#include "scenario/kitchen.h"
#include "scenario/scenario.h"
#include "scenario/writer.h"
#include "thawprint/version.h"

#define LARGEST_FILE ((size_t)1 << 20)

static thaw_status check_kind(const char *path, const char *what, thaw_error *err)
{
    switch (thaw_file_look(path)) {
    case THAW_FILE_MISSING:
        return thaw_fail(err, THAW_ERR_SCENARIO, "%s: there is no such %s file", path, what);
    case THAW_FILE_FOLDER:
        return thaw_fail(err, THAW_ERR_SCENARIO, "%s: is a folder, not a %s file", path, what);
    default:
        return THAW_OK; /* what else is wrong, opening it will tell */
    }
}

thaw_status thaw_scenario_read_file(const char *path, const char *what, char **text, size_t *n, thaw_error *err)
{
    bool whole = false;
    thaw_status status = check_kind(path, what, err);
    if (status == THAW_OK) {
        status = thaw_file_read(path, LARGEST_FILE, text, n, &whole, err);
    }
    if (status == THAW_OK && !whole) {
        thaw_release(*text);
        *text = NULL;
        status = thaw_fail(err, THAW_ERR_SCENARIO, "%s: larger than 1 MiB, no %s is", path, what);
    }
    return status;
}

/* A file of one's own: the one named, or the usual one beside the scenario if there is one. */
static thaw_status add_own(thaw_shelf *shelf, const char *scenario, const char *given, const char *usual,
                           thaw_error *err)
{
    const char *slash = strrchr(scenario, '/');
    int folder = slash ? (int)(slash - scenario) + 1 : 0;
    size_t size = (size_t)folder + strlen(usual) + 1;
    if (given) {
        return thaw_shelf_add_file(shelf, given, err);
    }
    char *path = thaw_allocate(size, 1, err);
    if (!path) {
        return THAW_ERR_MEMORY;
    }
    snprintf(path, size, "%.*s%s", folder, scenario, usual);
    bool there = strcmp(path, scenario) != 0 && thaw_file_look(path) == THAW_FILE_REGULAR;
    thaw_status status = there ? thaw_shelf_add_file(shelf, path, err) : THAW_OK;
    thaw_release(path);
    return status;
}

/* Faults of both files together. */
static thaw_status fill_shelf(thaw_shelf *shelf, const char *path, const char *cloths, const char *dyes,
                              thaw_error *err)
{
    thaw_error second = {0};
    thaw_status status = add_own(shelf, path, cloths, "cloths.yaml", err);
    if (status != THAW_OK && status != THAW_ERR_SCENARIO) {
        return status;
    }
    if (cloths && dyes && strcmp(cloths, dyes) == 0) {
        return status;
    }
    thaw_status also = add_own(shelf, path, dyes, "dyes.yaml", &second);
    if (also != THAW_OK && status != THAW_OK) {
        size_t used = strlen(err->text);
        snprintf(err->text + used, sizeof err->text - used, "\n%s", second.text);
    } else if (also != THAW_OK) {
        *err = second;
        status = also;
    }
    return status;
}

thaw_status thaw_scenario_load(const char *path, thaw_scenario **out, thaw_error *err)
{
    return thaw_scenario_load_own(path, NULL, NULL, out, err);
}

thaw_status thaw_scenario_load_own(const char *path, const char *cloths, const char *dyes, thaw_scenario **out,
                                   thaw_error *err)
{
    return thaw_scenario_load_varied(path, cloths, dyes, NULL, 0, out, err);
}

thaw_status thaw_scenario_load_varied(const char *path, const char *cloths, const char *dyes,
                                      const thaw_override *overrides, int n_overrides, thaw_scenario **out, thaw_error *err)
{
    return thaw_scenario_load_kitchen(path, cloths, dyes, NULL, overrides, n_overrides, out, err);
}

/* A file of cloths is no kitchen: one that says nothing of it was meant for something else. */
static thaw_status add_kitchen(thaw_shelf *shelf, const char *path, thaw_error *err)
{
    thaw_status status = path ? thaw_shelf_add_file(shelf, path, err) : THAW_OK;
    if (status == THAW_OK && path && !shelf->kitchen.is_set) {
        status = thaw_fail(err, THAW_ERR_SCENARIO, "%s: holds no kitchen; `thawprint learn` writes one", path);
    }
    return status;
}

thaw_status thaw_scenario_load_kitchen(const char *path, const char *cloths, const char *dyes, const char *kitchen,
                                       const thaw_override *overrides, int n_overrides, thaw_scenario **out, thaw_error *err)
{
    char *text = NULL;
    size_t n = 0;
    thaw_shelf *shelf = NULL;
    thaw_status status = thaw_scenario_read_file(path, "scenario", &text, &n, err);
    if (status == THAW_OK) {
        status = thaw_shelf_create(&shelf, err);
    }
    if (status == THAW_OK) {
        status = fill_shelf(shelf, path, cloths, dyes, err);
    }
    if (status == THAW_OK) {
        shelf->kitchen.is_set = shelf->kitchen.is_set && !kitchen; /* the one that was named holds */
        status = add_kitchen(shelf, kitchen, err);
    }
    if (status == THAW_OK) {
        status = thaw_scenario_parse_with(text, n, path, thaw_memory_available(), shelf, overrides, n_overrides, out, err);
    } else {
        thaw_shelf_destroy(shelf);
    }
    thaw_release(text);
    return status;
}

thaw_status thaw_scenario_demo(thaw_scenario **out, thaw_error *err)
{
    return thaw_scenario_parse(thaw_demo_text, strlen(thaw_demo_text), "tide-backdrop.yaml",
                               thaw_memory_available(), out, err);
}

thaw_status thaw_scenario_set_detail(thaw_scenario *scenario, const char *word, thaw_error *err)
{
    static const char *const words[] = {"draft", "normal", "fine"};
    char why[200];
    int found = thaw_detail_find(word);
    if (found < 0) {
        const char *near = thaw_words_nearest(word, words, 3);
        return thaw_fail(err, THAW_ERR_ARGUMENT,
                         "detail `%.40s` is not known%s%s%s; known: draft, normal, fine", word,
                         near ? "; did you mean `" : "", near ? near : "", near ? "`?" : "");
    }
    thaw_specification changed = scenario->spec;
    changed.detail = (thaw_detail)found;
    changed.cell_m = thaw_detail_cell_m(changed.detail);
    thaw_estimate estimate = thaw_estimate_run(&changed);
    if (!thaw_estimate_fits(&estimate, thaw_memory_available(), why, sizeof why)) {
        return thaw_fail(err, THAW_ERR_MEMORY, "detail `%s` makes too many cells: %s", word, why);
    }
    scenario->spec = changed;
    scenario->origins.detail = THAW_FROM_CALLER;
    return THAW_OK;
}

void thaw_scenario_set_seed(thaw_scenario *scenario, uint64_t seed)
{
    scenario->spec.seed = seed;
    scenario->origins.seed = THAW_FROM_CALLER;
}

uint64_t thaw_scenario_seed(const thaw_scenario *scenario)
{
    return scenario->spec.seed;
}

const char *thaw_scenario_name(const thaw_scenario *scenario)
{
    return scenario->spec.name;
}

const char *thaw_scenario_title(const thaw_scenario *scenario)
{
    return scenario->spec.title;
}

int thaw_scenario_kitchen(const thaw_scenario *scenario, char *out, size_t size)
{
    const thaw_kitchen *kitchen = &scenario->shelf->kitchen;
    if (!kitchen->is_set) {
        return snprintf(out, size, "%s", "");
    }
    return kitchen->plain ? snprintf(out, size, "heat exchange x %.3g, conductivity of %s x %.3g", kitchen->heat,
                                     thaw_kitchen_cloth(scenario), thaw_kitchen_conductivity(scenario))
                          : snprintf(out, size, "heat exchange x %.3g; nothing learnt of %s", kitchen->heat, thaw_kitchen_cloth(scenario));
}

thaw_status thaw_scenario_resolved(const thaw_scenario *scenario, char **out, thaw_error *err)
{
    char digest[17];
    size_t size = THAW_RESOLVED_MAX + 1024;
    char *text = thaw_allocate(size, 1, err);
    if (!text) {
        return THAW_ERR_MEMORY;
    }
    thaw_scenario_digest(scenario, digest);
    thaw_writer w = {text, size, 0};
    thaw_writer_add(&w, "# Every value as thawprint %s resolved it; digest %s.\ntitle: ", THAW_VERSION, digest);
    thaw_writer_quoted(&w, scenario->spec.title);
    thaw_writer_add(&w, "\n");
    size_t used = w.used + thaw_scenario_write_body(scenario, text + w.used, size - w.used);
    if (used >= size) {
        thaw_release(text);
        return thaw_fail(err, THAW_ERR_MEMORY, "the resolved scenario is too long");
    }
    *out = text;
    return THAW_OK;
}

thaw_status thaw_scenario_describe(const thaw_scenario *scenario, char **out, thaw_error *err)
{
    size_t n = thaw_scenario_write_table(scenario, NULL, 0);
    char *text = thaw_allocate(n + 1, 1, err);
    if (!text) {
        return THAW_ERR_MEMORY;
    }
    thaw_scenario_write_table(scenario, text, n + 1);
    *out = text;
    return THAW_OK;
}

void thaw_text_free(char *text)
{
    thaw_release(text);
}

void thaw_scenario_digest(const thaw_scenario *scenario, char out[17])
{
    char body[THAW_RESOLVED_MAX];
    thaw_scenario_write_body(scenario, body, sizeof body);
    uint64_t hash = 0xcbf29ce484222325u; /* FNV-1a, 64 bits */
    for (const char *at = body; *at; at++) {
        hash = (hash ^ (unsigned char)*at) * 0x100000001b3u;
    }
    snprintf(out, 17, "%016llx", (unsigned long long)hash);
}
