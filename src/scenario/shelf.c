#include "scenario/shelf.h"

#include <stddef.h>

#include "base/words.h"
#include "data/cloths.h"
#include "data/dyes.h"

const thaw_cloth_kind *thaw_shelf_find_cloth(const thaw_shelf *shelf, const char *name)
{
    for (int i = 0; i < shelf->n_cloths; i++) {
        if (thaw_words_same(name, shelf->cloths[i].name)) {
            return &shelf->cloths[i].kind;
        }
    }
    return thaw_cloths_find(name);
}

const thaw_colour *thaw_shelf_find_colour(const thaw_shelf *shelf, const char *name)
{
    for (int i = 0; i < thaw_colours_count(); i++) {
        if (thaw_words_same(name, thaw_colours_at(i)->name)) {
            return thaw_colours_at(i);
        }
    }
    for (int i = 0; i < shelf->n_dyes; i++) {
        if (thaw_words_same(name, shelf->dyes[i].name)) {
            return &shelf->dyes[i].colour;
        }
    }
    for (int i = 0; i < shelf->n_colours; i++) {
        if (thaw_words_same(name, shelf->colours[i].name)) {
            return &shelf->colours[i].colour;
        }
    }
    return NULL;
}

const thaw_component *thaw_shelf_find_dye(const thaw_shelf *shelf, const char *name)
{
    for (int i = 0; i < thaw_components_count(); i++) {
        if (thaw_words_same(name, thaw_components_at(i)->name)) {
            return thaw_components_at(i);
        }
    }
    for (int i = 0; i < shelf->n_dyes; i++) {
        if (thaw_words_same(name, shelf->dyes[i].name)) {
            return &shelf->dyes[i].component;
        }
    }
    return NULL;
}

const thaw_component *thaw_shelf_component(const thaw_shelf *shelf, int component)
{
    int own = component - THAW_FIRST_OWN_DYE;
    return own < 0              ? thaw_components_at(component)
           : own < shelf->n_dyes ? &shelf->dyes[own].component
                                 : NULL;
}

const thaw_own_cloth *thaw_shelf_own_cloth(const thaw_shelf *shelf, const thaw_cloth_kind *kind)
{
    for (int i = 0; i < shelf->n_cloths; i++) {
        if (&shelf->cloths[i].kind == kind) {
            return &shelf->cloths[i];
        }
    }
    return NULL;
}

const thaw_own_colour *thaw_shelf_own_colour(const thaw_shelf *shelf, const thaw_colour *colour)
{
    for (int i = 0; i < shelf->n_colours; i++) {
        if (&shelf->colours[i].colour == colour) {
            return &shelf->colours[i];
        }
    }
    for (int i = 0; i < THAW_MAX_DYE_ZONES; i++) {
        if (&shelf->mixed[i].colour == colour) {
            return &shelf->mixed[i];
        }
    }
    return NULL;
}

bool thaw_shelf_is_mixture(const thaw_shelf *shelf, const char *name)
{
    return thaw_shelf_own_colour(shelf, thaw_shelf_find_colour(shelf, name)) != NULL;
}

static int add_name(const char **names, int n, int most, const char *name)
{
    if (n < most) {
        names[n++] = name;
    }
    return n;
}

int thaw_shelf_cloth_names(const thaw_shelf *shelf, const char **names, int most)
{
    int n = 0;
    for (int i = 0; i < thaw_cloths_count(); i++) {
        n = add_name(names, n, most, thaw_cloths_at(i)->name);
    }
    for (int i = 0; i < shelf->n_cloths; i++) {
        n = add_name(names, n, most, shelf->cloths[i].name);
    }
    return n;
}

int thaw_shelf_colour_names(const thaw_shelf *shelf, const char **names, int most)
{
    int n = 0;
    for (int i = 0; i < thaw_colours_count(); i++) {
        n = add_name(names, n, most, thaw_colours_at(i)->name);
    }
    for (int i = 0; i < shelf->n_dyes; i++) {
        n = add_name(names, n, most, shelf->dyes[i].name);
    }
    for (int i = 0; i < shelf->n_colours; i++) {
        n = add_name(names, n, most, shelf->colours[i].name);
    }
    return n;
}

int thaw_shelf_dye_names(const thaw_shelf *shelf, const char **names, int most)
{
    int n = 0;
    for (int i = 0; i < thaw_components_count(); i++) {
        n = add_name(names, n, most, thaw_components_at(i)->name);
    }
    for (int i = 0; i < shelf->n_dyes; i++) {
        n = add_name(names, n, most, shelf->dyes[i].name);
    }
    return n;
}
