#include "thawprint/catalogue.h"

#include <stddef.h>
#include <string.h>

#include "api/catalogue_detail.h"
#include "data/cloths.h"
#include "data/dyes.h"
#include "data/fibres.h"
#include "data/garments.h"
#include "data/ices.h"
#include "scenario/area_shapes.h"
#include "scenario/areas.h"
#include "scenario/pattern_file.h"
#include "scenario/sections.h"

static const char *cloth_name(int i)
{
    const thaw_cloth_kind *row = thaw_cloths_at(i);
    return row ? row->name : NULL;
}

static const char *cloth_remark(int i)
{
    const thaw_cloth_kind *row = thaw_cloths_at(i);
    return row ? row->remark : NULL;
}

static const char *colour_name(int i)
{
    const thaw_colour *row = thaw_colours_at(i);
    return row ? row->name : NULL;
}

/* What the colour is made of: one dye by its generic name, or a mixture. */
static const char *colour_remark(int i)
{
    const thaw_colour *row = thaw_colours_at(i);
    if (!row) {
        return NULL;
    }
    const thaw_component *only = thaw_components_at(row->parts[0].component);
    return row->n_parts == 1 && only ? only->generic : "mixture: may split at its edges";
}

static const char *dye_name(int i)
{
    const thaw_component *row = thaw_components_at(i);
    return row ? row->name : NULL;
}

static const char *dye_remark(int i)
{
    const thaw_component *row = thaw_components_at(i);
    return row ? row->generic : NULL;
}

static const char *fibre_name(int i)
{
    const thaw_fibre *row = thaw_fibres_at(i);
    return row ? row->name : NULL;
}

static const char *fibre_remark(int i)
{
    const thaw_fibre *row = thaw_fibres_at(i);
    return !row ? NULL : row->refusal ? row->refusal : "takes fibre-reactive dye";
}

static const char *ice_name(int i)
{
    const thaw_ice_kind *row = thaw_ices_at(i);
    return row ? row->name : NULL;
}

static const char *ice_remark(int i)
{
    const thaw_ice_kind *row = thaw_ices_at(i);
    return row ? row->remark : NULL;
}

static const char *stand_name(int i)
{
    return thaw_stand_word((thaw_stand)i);
}

static const char *garment_name(int i)
{
    const thaw_garment_shape *row = thaw_garments_at(i);
    return row ? row->name : NULL;
}

static const char *garment_remark(int i)
{
    const thaw_garment_shape *row = thaw_garments_at(i);
    return row ? row->remark : NULL;
}

static const struct table {
    const char *kind;
    int (*count)(void);
    const char *(*name)(int i);
    const char *(*remark)(int i);
} TABLES[] = {
    {"cloths", thaw_cloths_count, cloth_name, cloth_remark},
    {"fibres", thaw_fibres_count, fibre_name, fibre_remark},
    {"colours", thaw_colours_count, colour_name, colour_remark},
    {"dyes", thaw_components_count, dye_name, dye_remark},
    {"ices", thaw_ices_count, ice_name, ice_remark},
    {"garments", thaw_garments_count, garment_name, garment_remark},
    {"folds", thaw_folds_count, thaw_folds_name, thaw_folds_remark},
    {"areas", thaw_areas_count, thaw_areas_name, thaw_areas_remark},
    {"shapes", thaw_shapes_count, thaw_shapes_word, thaw_shapes_form},
    {"set-ups", thaw_stands_count, stand_name, thaw_stands_remark},
    {"wishes", thaw_wishes_count, thaw_wishes_word, thaw_wishes_remark},
};

#define N_TABLES ((int)(sizeof TABLES / sizeof TABLES[0]))

static const struct table *find_table(const char *kind)
{
    for (int i = 0; i < N_TABLES; i++) {
        if (strcmp(kind, TABLES[i].kind) == 0) {
            return &TABLES[i];
        }
    }
    return NULL;
}

const char *const *thaw_catalogue_kinds(void)
{
    static const char *const kinds[] = {"cloths", "fibres", "colours", "dyes",    "ices",
                                        "garments", "folds",  "areas",  "shapes",  "set-ups", "wishes", NULL};
    return kinds;
}

int thaw_catalogue_count(const char *kind)
{
    const struct table *table = find_table(kind);
    return table ? table->count() : -1;
}

const char *thaw_catalogue_name(const char *kind, int i)
{
    const struct table *table = find_table(kind);
    return table && i >= 0 && i < table->count() ? table->name(i) : NULL;
}

const char *thaw_catalogue_remark(const char *kind, int i)
{
    const struct table *table = find_table(kind);
    return table && i >= 0 && i < table->count() ? table->remark(i) : NULL;
}

size_t thaw_catalogue_detail(const char *kind, int i, char *out, size_t size)
{
    thaw_writer w = {out, size, 0};
    if (strcmp(kind, "cloths") == 0 && thaw_cloths_at(i)) {
        thaw_detail_cloth(&w, thaw_cloths_at(i));
    }
    if (strcmp(kind, "dyes") == 0 && thaw_components_at(i)) {
        thaw_detail_dye(&w, thaw_components_at(i));
    }
    if (strcmp(kind, "colours") == 0 && thaw_colours_at(i)) {
        const thaw_component *parts[THAW_MAX_PARTS];
        for (int p = 0; p < thaw_colours_at(i)->n_parts; p++) {
            parts[p] = thaw_components_at(thaw_colours_at(i)->parts[p].component);
        }
        thaw_detail_colour(&w, thaw_colours_at(i), parts);
    }
    return w.used;
}

size_t thaw_catalogue_legend(const char *kind, char *out, size_t size)
{
    thaw_writer w = {out, size, 0};
    thaw_detail_legend(&w, kind);
    return w.used;
}
