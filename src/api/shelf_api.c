#include "thawprint/shelf.h"

#include <string.h>

#include "api/catalogue_detail.h"
#include "api/read_file.h"
#include "base/alloc.h"
#include "scenario/own.h"

thaw_status thaw_shelf_create(thaw_shelf **out, thaw_error *err)
{
    thaw_shelf *shelf = thaw_allocate(1, sizeof *shelf, err);
    if (!shelf) {
        return THAW_ERR_MEMORY;
    }
    *out = shelf;
    return THAW_OK;
}

void thaw_shelf_destroy(thaw_shelf *shelf)
{
    thaw_release(shelf);
}

thaw_status thaw_shelf_add_file(thaw_shelf *shelf, const char *path, thaw_error *err)
{
    char *text = NULL;
    size_t n = 0;
    thaw_status status = thaw_scenario_read_file(path, "cloths and dyes", &text, &n, err);
    if (status == THAW_OK) {
        status = thaw_own_parse(text, n, path, shelf, err);
    }
    thaw_release(text);
    return status;
}

int thaw_shelf_count(const thaw_shelf *shelf, const char *kind)
{
    return strcmp(kind, "cloths") == 0    ? shelf->n_cloths
           : strcmp(kind, "dyes") == 0    ? shelf->n_dyes
           : strcmp(kind, "colours") == 0 ? shelf->n_dyes + shelf->n_colours
                                          : 0;
}

/* Dyes first, then mixtures. */
static const thaw_colour *colour_at(const thaw_shelf *shelf, int i)
{
    return i < shelf->n_dyes ? &shelf->dyes[i].colour : &shelf->colours[i - shelf->n_dyes].colour;
}

const char *thaw_shelf_name(const thaw_shelf *shelf, const char *kind, int i)
{
    if (i < 0 || i >= thaw_shelf_count(shelf, kind)) {
        return NULL;
    }
    return strcmp(kind, "cloths") == 0 ? shelf->cloths[i].name
           : strcmp(kind, "dyes") == 0 ? shelf->dyes[i].name
                                       : colour_at(shelf, i)->name;
}

const char *thaw_shelf_remark(const thaw_shelf *shelf, const char *kind, int i)
{
    if (!thaw_shelf_name(shelf, kind, i)) {
        return NULL;
    }
    bool is_mixture = strcmp(kind, "colours") == 0 && i >= shelf->n_dyes;
    return strcmp(kind, "cloths") == 0 ? "your own" : is_mixture ? "your own mixture" : shelf->dyes[i].generic;
}

size_t thaw_shelf_detail(const thaw_shelf *shelf, const char *kind, int i, char *out, size_t size)
{
    thaw_writer w = {out, size, 0};
    if (!thaw_shelf_name(shelf, kind, i)) {
        return 0;
    }
    if (strcmp(kind, "cloths") == 0) {
        thaw_detail_cloth(&w, &shelf->cloths[i].kind);
    } else if (strcmp(kind, "dyes") == 0) {
        thaw_detail_dye(&w, &shelf->dyes[i].component);
    } else {
        const thaw_component *parts[THAW_MAX_PARTS];
        const thaw_colour *colour = colour_at(shelf, i);
        for (int p = 0; p < colour->n_parts; p++) {
            parts[p] = thaw_shelf_component(shelf, colour->parts[p].component);
        }
        thaw_detail_colour(&w, colour, parts);
    }
    return w.used;
}
