/* What a scenario uses of cloths, dyes and mixtures of one's own, written so that it runs again without their files. */
#include "data/cloths.h"
#include "data/dyes.h"
#include "scenario/own.h"

static void add_figure(thaw_writer *w, const thaw_units *units, const thaw_figure_row *row, const void *thing)
{
    char text[64];
    double value = thaw_figure_value(row, thing);
    thaw_writer_add(w, "    %s: ", row->key);
    if (row->quantity == THAW_QUANTITY_KINDS) {
        thaw_writer_number(w, value);
        thaw_writer_add(w, "\n");
    } else {
        thaw_quantity_print(units, row->quantity, value, text, sizeof text);
        thaw_writer_add(w, "%s\n", text);
    }
}

static const thaw_cloth_kind *make_of(const thaw_scenario *s)
{
    const thaw_shelf *shelf = s->shelf;
    return shelf->blend.make ? shelf->blend.make : shelf->kitchen.plain ? shelf->kitchen.plain : s->spec.cloth;
}

static void write_cloth(thaw_writer *w, const thaw_scenario *s)
{
    const thaw_own_cloth *own = thaw_shelf_own_cloth(s->shelf, make_of(s));
    if (own) {
        thaw_writer_add(w, "own-cloths:\n  - name: %s\n    fibre: %s\n", own->name, own->kind.fibre);
        for (int f = 0; f < THAW_CLOTH_FIGURES; f++) {
            add_figure(w, s->units, thaw_cloth_row((thaw_cloth_figure)f), &own->kind);
        }
    }
}

static void write_dye(thaw_writer *w, const thaw_units *units, const thaw_own_dye *own)
{
    const thaw_component *dye = &own->component;
    thaw_writer_add(w, "  - name: %s\n    generic: ", own->name);
    thaw_writer_quoted(w, own->generic);
    thaw_writer_add(w, "\n");
    for (int f = 0; f < THAW_DYE_FIGURES; f++) {
        add_figure(w, units, thaw_dye_row((thaw_dye_figure)f), dye);
    }
    thaw_writer_add(w, "    bands: [");
    for (int b = 0; b < dye->n_bands; b++) {
        const double band[3] = {dye->bands[b].centre_nm, dye->bands[b].width_nm, dye->bands[b].height};
        for (int i = 0; i < 3; i++) {
            thaw_writer_add(w, "%s", i ? ", " : b ? ", [" : "[");
            thaw_writer_number(w, band[i]);
        }
        thaw_writer_add(w, "]");
    }
    thaw_writer_add(w, "]\n");
}

static bool uses_dye(const thaw_specification *spec, int component)
{
    for (int z = 0; z < spec->n_dye; z++) {
        for (int p = 0; p < spec->dye[z].colour->n_parts; p++) {
            if (spec->dye[z].colour->parts[p].component == component) {
                return true;
            }
        }
    }
    return false;
}

static void write_recipe(thaw_writer *w, const thaw_recipe *recipe)
{
    thaw_writer_add(w, "{ ");
    for (int i = 0; i < recipe->n; i++) {
        thaw_writer_add(w, "%s%s: ", i ? ", " : "", recipe->of[i].name);
        thaw_writer_number(w, recipe->of[i].parts);
    }
    thaw_writer_add(w, " }");
}

static bool uses_colour(const thaw_specification *spec, const thaw_colour *colour)
{
    for (int z = 0; z < spec->n_dye; z++) {
        if (spec->dye[z].colour == colour) {
            return true;
        }
    }
    return false;
}

void thaw_own_write(thaw_writer *w, const thaw_scenario *s)
{
    const thaw_shelf *shelf = s->shelf;
    bool begun = false;
    write_cloth(w, s);
    for (int i = 0; i < shelf->n_dyes; i++) {
        if (uses_dye(&s->spec, THAW_FIRST_OWN_DYE + i)) {
            thaw_writer_add(w, "%s", begun ? "" : "own-dyes:\n");
            write_dye(w, s->units, &shelf->dyes[i]);
            begun = true;
        }
    }
    begun = false;
    for (int i = 0; i < shelf->n_colours; i++) {
        if (uses_colour(&s->spec, &shelf->colours[i].colour)) {
            thaw_writer_add(w, "%s  - name: %s\n    parts: ", begun ? "" : "own-colours:\n", shelf->colours[i].name);
            write_recipe(w, &shelf->colours[i].recipe);
            thaw_writer_add(w, "\n");
            begun = true;
        }
    }
}

void thaw_own_write_colour(thaw_writer *w, const thaw_scenario *s, const thaw_colour *colour)
{
    const thaw_own_colour *own = thaw_shelf_own_colour(s->shelf, colour);
    bool is_shelved = own >= s->shelf->colours && own < s->shelf->colours + THAW_MAX_OWN_COLOURS;
    if (own && !is_shelved) {
        write_recipe(w, &own->recipe);
    } else {
        thaw_writer_add(w, "%s", colour->name);
    }
}

void thaw_own_write_kind(thaw_writer *w, const thaw_scenario *s)
{
    const thaw_blend *blend = &s->shelf->blend;
    char text[64];
    thaw_writer_add(w, "  kind: %s\n", make_of(s)->name);
    if (!blend->make) {
        return;
    }
    thaw_writer_add(w, "  fibres: { ");
    for (int i = 0; i < blend->n; i++) {
        thaw_quantity_print(s->units, THAW_SHARE, blend->shares[i], text, sizeof text);
        thaw_writer_add(w, "%s%s: %s", i ? ", " : "", blend->fibres[i]->name, text);
    }
    thaw_writer_add(w, " }\n");
}
