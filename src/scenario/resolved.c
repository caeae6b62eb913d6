/* The scenario as YAML with every value explicit; what stands for "as usual" (rack, ceiling, over the ice, powder,
 * all at once) is left out, so that scenarios without it keep their digest. Reading it gives the same specification to the
 * last bit, which is why quantities go through thaw_quantity_print. */
#include <stdio.h>

#include "scenario/areas.h"
#include "scenario/fold_keys.h"
#include "scenario/kitchen.h"
#include "scenario/own.h"
#include "scenario/scenario.h"
#include "scenario/sections.h"
#include "scenario/writer.h"

static void add_quantity(thaw_writer *w, const thaw_units *units, const char *key,
                         thaw_quantity kind, double si)
{
    char text[64];
    thaw_quantity_print(units, kind, si, text, sizeof text);
    thaw_writer_add(w, "%s: %s\n", key, text);
}

static void write_cloth(thaw_writer *w, const thaw_scenario *scenario)
{
    const thaw_specification *spec = &scenario->spec;
    const thaw_units *units = scenario->units;
    thaw_writer_add(w, "cloth:\n");
    thaw_own_write_kind(w, scenario);
    if (spec->garment.n_panels == 0) {
        add_quantity(w, units, "  width", THAW_LENGTH, spec->width_m);
        add_quantity(w, units, "  length", THAW_LENGTH, spec->length_m);
    }
    thaw_section_garment_write(w, units, &spec->garment);
    thaw_writer_add(w, "prepare:\n");
    add_quantity(w, units, "  soda-ash", THAW_CONCENTRATION, spec->soda_kg_m3);
    add_quantity(w, units, "  pick-up", THAW_SHARE, spec->pickup_kg_kg);
    if (spec->starts_dry) {
        thaw_writer_add(w, "  start: dry\n");
    }
}

static void write_folds(thaw_writer *w, const thaw_specification *spec, const thaw_units *units)
{
    thaw_writer_add(w, spec->n_folds ? "fold:\n" : "fold: flat\n");
    for (int i = 0; i < spec->n_folds; i++) {
        int n = 0;
        const thaw_fold_key *keys = thaw_fold_keys_of(spec->folds[i].kind, &n);
        thaw_writer_add(w, "  - %s:\n", thaw_fold_keys_name(spec->folds[i].kind));
        for (int k = 0; k < n; k++) {
            char text[64];
            if (thaw_fold_keys_print(&keys[k], units, &spec->folds[i], true, text, sizeof text)) {
                thaw_writer_add(w, "      %s: %s\n", keys[k].name, text);
            }
        }
    }
}

static void write_hang(thaw_writer *w, const thaw_specification *spec, const thaw_units *units)
{
    if (spec->hang.is_set) {
        thaw_writer_add(w, "hang:\n");
        add_quantity(w, units, "  from", THAW_LENGTH, spec->hang.from_m);
        add_quantity(w, units, "  up", THAW_LENGTH, spec->hang.up_m);
        add_quantity(w, units, "  down", THAW_LENGTH, spec->hang.down_m);
        if (spec->hang.tie_m > 0.0) {
            add_quantity(w, units, "  tie", THAW_LENGTH, spec->hang.tie_m);
        }
    }
}

static void write_ice(thaw_writer *w, const thaw_specification *spec, const thaw_units *units)
{
    char area[2048];
    thaw_writer_add(w, spec->n_ice ? "ice:\n" : "ice: none\n");
    for (int i = 0; i < spec->n_ice; i++) {
        const thaw_ice_zone *zone = &spec->ice[i];
        thaw_areas_print(units, &zone->area, area, sizeof area);
        thaw_writer_add(w, "  - kind: %s\n", zone->kind->name);
        if (zone->depth_m > 0.0) {
            add_quantity(w, units, "    depth", THAW_LENGTH, zone->depth_m);
        } else {
            add_quantity(w, units, "    mass", THAW_MASS, zone->mass_kg);
        }
        thaw_writer_add(w, "    area: %s\n", area);
        add_quantity(w, units, "    diameter", THAW_LENGTH, zone->diameter_m);
        add_quantity(w, units, "    temperature", THAW_TEMPERATURE, zone->start_k);
        if (zone->at_s > 0.0) {
            add_quantity(w, units, "    at", THAW_TIME, zone->at_s);
        }
    }
}

/* What dye and soda ash have in common, after the first key of the entry. */
static void write_powder(thaw_writer *w, const thaw_dye_zone *zone, const thaw_units *units)
{
    char area[2048];
    thaw_areas_print(units, &zone->area, area, sizeof area);
    thaw_writer_add(w, "    area: %s\n", area);
    add_quantity(w, units, "    clumps", THAW_SHARE, zone->clumping);
    if (zone->volume_m3 > 0.0) {
        add_quantity(w, units, "    volume", THAW_VOLUME, zone->volume_m3);
    }
    if (zone->under_ice) {
        thaw_writer_add(w, "    place: under ice\n");
    }
    if (zone->colour && zone->volume_m3 <= 0.0 && (zone->under_ice || zone->lumps > 0.0)) {
        add_quantity(w, units, "    lumps", THAW_SHARE, zone->lumps);
    }
}

static void write_dye(thaw_writer *w, const thaw_scenario *scenario)
{
    const thaw_specification *spec = &scenario->spec;
    const thaw_units *units = scenario->units;
    thaw_writer_add(w, spec->n_dye ? "dye:\n" : "dye: none\n");
    for (int i = 0; i < spec->n_dye; i++) {
        thaw_writer_add(w, "  - colour: ");
        thaw_own_write_colour(w, scenario, spec->dye[i].colour);
        thaw_writer_add(w, "\n");
        add_quantity(w, units, "    mass", THAW_MASS, spec->dye[i].mass_kg);
        write_powder(w, &spec->dye[i], units);
    }
    thaw_writer_add(w, spec->n_soda ? "soda-ash:\n" : "");
    for (int i = 0; i < spec->n_soda; i++) {
        add_quantity(w, units, "  - mass", THAW_MASS, spec->soda[i].mass_kg);
        write_powder(w, &spec->soda[i], units);
    }
}

static void write_set_up(thaw_writer *w, const thaw_specification *spec, const thaw_units *units)
{
    const thaw_vessel *v = &spec->vessel;
    if (v->stand == THAW_ON_RACK) {
        return;
    }
    thaw_writer_add(w, "set-up:\n  stand: %s\n", thaw_stand_word(v->stand));
    if (v->width_m > 0.0) {
        add_quantity(w, units, "  width", THAW_LENGTH, v->width_m);
        add_quantity(w, units, "  length", THAW_LENGTH, v->length_m);
    }
    if (v->drain_s > 0.0) {
        add_quantity(w, units, "  drain", THAW_TIME, v->drain_s);
    }
}

static void write_air(thaw_writer *w, const thaw_specification *spec, const thaw_units *units)
{
    if (spec->n_hours == 0) {
        add_quantity(w, units, "  temperature", THAW_TEMPERATURE, spec->room_k);
        return;
    }
    thaw_writer_add(w, "  temperature:\n");
    for (int i = 0; i < spec->n_hours; i++) {
        char at[64], key[80];
        thaw_quantity_print(units, THAW_TIME, spec->hours[i].at_s, at, sizeof at);
        snprintf(key, sizeof key, "    - %s", at);
        add_quantity(w, units, key, THAW_TEMPERATURE, spec->hours[i].t_k);
    }
}

size_t thaw_scenario_write_body(const thaw_scenario *scenario, char *out, size_t size)
{
    thaw_writer w = {out, size, 0};
    const thaw_specification *spec = &scenario->spec;
    const thaw_units *units = scenario->units;
    thaw_own_write(&w, scenario);
    thaw_kitchen_write(&w, scenario);
    write_cloth(&w, scenario);
    write_folds(&w, spec, units);
    write_hang(&w, spec, units);
    write_ice(&w, spec, units);
    write_dye(&w, scenario);
    write_set_up(&w, spec, units);
    thaw_writer_add(&w, "room:\n");
    write_air(&w, spec, units);
    add_quantity(&w, units, "  humidity", THAW_SHARE, spec->humidity);
    add_quantity(&w, units, "  draught", THAW_SPEED, spec->draught_m_s);
    thaw_writer_add(&w, "  cover: %s\n", spec->covered ? "film" : "none");
    if (spec->outdoors) {
        thaw_writer_add(&w, "  sky: open\n");
        add_quantity(&w, units, "  cloud", THAW_SHARE, spec->cloud);
    }
    add_quantity(&w, units, "leave", THAW_TIME, spec->leave_s);
    thaw_writer_add(&w, "seed: %llu\n", (unsigned long long)spec->seed);
    thaw_writer_add(&w, "detail: %s\n", thaw_detail_word(spec->detail));
    return w.used;
}
