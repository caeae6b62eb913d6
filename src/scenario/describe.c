/* The table of every resolved value, its unit and where it came from. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "data/garments.h"
#include "scenario/areas.h"
#include "scenario/estimate.h"
#include "scenario/fold_keys.h"
#include "scenario/scenario.h"
#include "scenario/sections.h"
#include "scenario/writer.h"

static const char *origin_word(thaw_origin origin)
{
    switch (origin) {
    case THAW_FROM_DEFAULT:
        return "default";
    case THAW_FROM_FILE:
        return "given";
    case THAW_FROM_CLOTH:
        return "from the cloth";
    case THAW_FROM_ICE:
        return "from the ice";
    case THAW_FROM_CALLER:
        return "command line";
    }
    return "";
}

static void add_row(thaw_writer *w, const char *name, const char *value, thaw_origin origin)
{
    thaw_writer_add(w, "  %-22s %-28s %s\n", name, value, origin_word(origin));
}

static void add_quantity(thaw_writer *w, const thaw_units *units, const char *name,
                         thaw_quantity kind, double si, thaw_origin origin)
{
    char text[64];
    thaw_quantity_show(units, kind, si, text, sizeof text);
    add_row(w, name, text, origin);
}

static void add_cloth(thaw_writer *w, const thaw_scenario *s)
{
    const thaw_specification *spec = &s->spec;
    const thaw_cloth_kind *cloth = spec->cloth;
    add_row(w, "cloth.kind", cloth->name, THAW_FROM_FILE);
    if (spec->garment.n_panels == 0) {
        add_quantity(w, s->units, "cloth.width", THAW_LENGTH, spec->width_m, THAW_FROM_FILE);
        add_quantity(w, s->units, "cloth.length", THAW_LENGTH, spec->length_m, THAW_FROM_FILE);
    }
    add_quantity(w, s->units, "  weight", THAW_AREAL_MASS, cloth->mass_kg_m2, THAW_FROM_CLOTH);
    add_quantity(w, s->units, "  dry mass", THAW_MASS,
                 cloth->mass_kg_m2 * thaw_specification_area_m2(spec), THAW_FROM_CLOTH);
    if (cloth->idle_share > 0.0) {
        add_quantity(w, s->units, "  takes dye", THAW_SHARE, 1.0 - cloth->idle_share, THAW_FROM_FILE);
    }
    add_quantity(w, s->units, "prepare.soda-ash", THAW_CONCENTRATION, spec->soda_kg_m3,
                 s->origins.soda);
    add_quantity(w, s->units, "prepare.pick-up", THAW_SHARE, spec->pickup_kg_kg, s->origins.pickup);
    if (spec->starts_dry) {
        add_row(w, "prepare.start", "dry", THAW_FROM_FILE);
    }
}

static void add_garment(thaw_writer *w, const thaw_scenario *s)
{
    const thaw_garment *g = &s->spec.garment;
    const thaw_garment_shape *shape = thaw_garments_at(g->shape);
    char name[80], text[96];
    if (g->n_panels == 0) {
        return;
    }
    add_row(w, "garment", shape ? shape->name : "panels of one's own", THAW_FROM_FILE);
    for (int i = 0; shape && i < THAW_GARMENT_SIZES && shape->sizes[i].key; i++) {
        snprintf(name, sizeof name, "  %s", shape->sizes[i].key);
        add_quantity(w, s->units, name, THAW_LENGTH, g->sizes_m[i], s->origins.garment_sizes[i]);
    }
    if (shape) {
        add_row(w, "  first", g->bottom_first ? "bottom" : "top", s->origins.garment_first);
    }
    for (int p = 0; p < g->n_panels; p++) {
        snprintf(name, sizeof name, "  %s", g->panels[p].name);
        snprintf(text, sizeof text, "layer %d, %.0f cm2", g->panels[p].layer + 1,
                 1e4 * thaw_garment_panel_area_m2(&g->panels[p]));
        add_row(w, name, text, THAW_FROM_FILE);
    }
    snprintf(text, sizeof text, "%d", g->n_seams);
    add_row(w, "  seams", text, THAW_FROM_FILE);
}

static void add_folds(thaw_writer *w, const thaw_scenario *s)
{
    if (s->spec.n_folds == 0) {
        add_row(w, "fold", "flat", s->origins.fold);
    }
    for (int i = 0; i < s->spec.n_folds; i++) {
        const thaw_fold *fold = &s->spec.folds[i];
        char name[40], text[64];
        int n = 0;
        const thaw_fold_key *keys = thaw_fold_keys_of(fold->kind, &n);
        snprintf(name, sizeof name, "fold: %s", thaw_fold_keys_name(fold->kind));
        add_row(w, name, "", THAW_FROM_FILE);
        for (int k = 0; k < n; k++) {
            snprintf(name, sizeof name, "  %s", keys[k].name);
            if (thaw_fold_keys_print(&keys[k], s->units, fold, false, text, sizeof text)) {
                add_row(w, name, text, s->origins.folds[i].keys[k]);
            }
        }
    }
}

/* Where the free end comes to hang decides whether it siphons. */
static void add_hang(thaw_writer *w, const thaw_scenario *s)
{
    const thaw_hang *hang = &s->spec.hang;
    char end[64], text[96];
    double end_m = hang->up_m - hang->down_m;
    if (!hang->is_set) {
        return;
    }
    add_quantity(w, s->units, "hang.from", THAW_LENGTH, hang->from_m, THAW_FROM_FILE);
    add_quantity(w, s->units, "  up", THAW_LENGTH, hang->up_m, THAW_FROM_FILE);
    add_quantity(w, s->units, "  down", THAW_LENGTH, hang->down_m,
                 s->origins.hang_down == THAW_FROM_FILE ? THAW_FROM_FILE : THAW_FROM_CLOTH);
    if (hang->tie_m > 0.0) {
        add_quantity(w, s->units, "  tie", THAW_LENGTH, hang->tie_m, THAW_FROM_FILE);
    }
    thaw_quantity_show(s->units, THAW_LENGTH, fabs(end_m), end, sizeof end);
    if (fabs(end_m) < 0.0005) {
        snprintf(text, sizeof text, "level with the rack");
    } else {
        snprintf(text, sizeof text, "%s %s the rack", end, end_m > 0.0 ? "above" : "below");
    }
    add_row(w, "  free end", text, THAW_FROM_CLOTH);
}

static void add_ice(thaw_writer *w, const thaw_scenario *s)
{
    if (s->spec.n_ice == 0) {
        add_row(w, "ice", "none", THAW_FROM_FILE);
    }
    for (int i = 0; i < s->spec.n_ice; i++) {
        const thaw_ice_zone *zone = &s->spec.ice[i];
        char area[2048];
        thaw_areas_show(s->units, &zone->area, area, sizeof area);
        add_row(w, "ice.kind", zone->kind->name, THAW_FROM_FILE);
        if (zone->depth_m > 0.0) {
            add_quantity(w, s->units, "  depth", THAW_LENGTH, zone->depth_m, THAW_FROM_FILE);
        } else {
            add_quantity(w, s->units, "  mass", THAW_MASS, zone->mass_kg, THAW_FROM_FILE);
        }
        add_row(w, "  area", area, s->origins.ice[i].area);
        add_quantity(w, s->units, "  diameter", THAW_LENGTH, zone->diameter_m,
                     s->origins.ice[i].size);
        add_quantity(w, s->units, "  temperature", THAW_TEMPERATURE, zone->start_k,
                     s->origins.ice[i].temperature);
        if (zone->at_s > 0.0) {
            add_quantity(w, s->units, "  at", THAW_TIME, zone->at_s, s->origins.ice[i].at);
        }
    }
}

static void add_powder(thaw_writer *w, const thaw_scenario *s, const thaw_dye_zone *zone, thaw_origin from_area,
                       thaw_origin from_clumps, thaw_origin from_place)
{
    char area[2048];
    thaw_areas_show(s->units, &zone->area, area, sizeof area);
    if (zone->volume_m3 > 0.0) {
        add_quantity(w, s->units, "  volume", THAW_VOLUME, zone->volume_m3, THAW_FROM_FILE);
        add_quantity(w, s->units, "  strength", THAW_CONCENTRATION, zone->mass_kg / zone->volume_m3, THAW_FROM_FILE);
    }
    add_row(w, "  area", area, from_area);
    add_quantity(w, s->units, "  clumps", THAW_SHARE, zone->clumping, from_clumps);
    add_row(w, "  place", zone->under_ice ? "under ice" : "over ice", from_place);
}

static void add_dye(thaw_writer *w, const thaw_scenario *s)
{
    if (s->spec.n_dye == 0) {
        add_row(w, "dye", "none", THAW_FROM_FILE);
    }
    for (int i = 0; i < s->spec.n_dye; i++) {
        const thaw_dye_zone *zone = &s->spec.dye[i];
        add_row(w, "dye.colour", zone->colour->name, THAW_FROM_FILE);
        add_quantity(w, s->units, "  mass", THAW_MASS, zone->mass_kg, THAW_FROM_FILE);
        add_powder(w, s, zone, s->origins.dye[i].area, s->origins.dye[i].clumps, s->origins.dye[i].place);
        if (zone->volume_m3 <= 0.0) {
            add_quantity(w, s->units, "  lumps", THAW_SHARE, zone->lumps, s->origins.dye[i].lumps);
        }
    }
    for (int i = 0; i < s->spec.n_soda; i++) {
        add_quantity(w, s->units, "soda-ash.mass", THAW_MASS, s->spec.soda[i].mass_kg, THAW_FROM_FILE);
        add_powder(w, s, &s->spec.soda[i], s->origins.soda_zones[i].area, s->origins.soda_zones[i].clumps,
                   s->origins.soda_zones[i].place);
    }
}

static void add_set_up(thaw_writer *w, const thaw_scenario *s)
{
    const thaw_vessel *v = &s->spec.vessel;
    add_row(w, "set-up.stand", thaw_stand_word(v->stand), s->origins.stand);
    if (v->width_m > 0.0) {
        add_quantity(w, s->units, "  width", THAW_LENGTH, v->width_m, s->origins.vessel);
        add_quantity(w, s->units, "  length", THAW_LENGTH, v->length_m, s->origins.vessel);
    }
    if (v->drain_s > 0.0) {
        add_quantity(w, s->units, "  drain", THAW_TIME, v->drain_s, s->origins.drain);
    }
}

static void add_kitchen(thaw_writer *w, const thaw_scenario *s)
{
    const thaw_kitchen *kitchen = &s->shelf->kitchen;
    char text[64];
    if (!kitchen->is_set) {
        return;
    }
    snprintf(text, sizeof text, "x %.4g exchange of heat", kitchen->heat);
    add_row(w, "kitchen.heat", text, THAW_FROM_FILE);
    if (kitchen->plain) {
        snprintf(text, sizeof text, "x %.4g conductivity", kitchen->changed.conductivity_m_s / kitchen->plain->conductivity_m_s);
        add_row(w, "kitchen.cloths", text, THAW_FROM_FILE);
    }
}

static void add_room(thaw_writer *w, const thaw_scenario *s)
{
    const thaw_specification *spec = &s->spec;
    char seed[32];
    add_quantity(w, s->units, "room.temperature", THAW_TEMPERATURE, spec->room_k,
                 s->origins.temperature);
    for (int i = 0; i < spec->n_hours; i++) {
        char at[64], name[80];
        thaw_quantity_show(s->units, THAW_TIME, spec->hours[i].at_s, at, sizeof at);
        snprintf(name, sizeof name, "  at %s", at);
        add_quantity(w, s->units, name, THAW_TEMPERATURE, spec->hours[i].t_k, THAW_FROM_FILE);
    }
    add_quantity(w, s->units, "room.humidity", THAW_SHARE, spec->humidity, s->origins.humidity);
    add_quantity(w, s->units, "room.draught", THAW_SPEED, spec->draught_m_s, s->origins.draught);
    add_row(w, "room.cover", spec->covered ? "film" : "none", s->origins.cover);
    if (spec->outdoors) {
        add_row(w, "room.sky", "open", s->origins.sky);
        add_quantity(w, s->units, "  cloud", THAW_SHARE, spec->cloud, s->origins.sky);
    }
    add_quantity(w, s->units, "leave", THAW_TIME, spec->leave_s, s->origins.leave);
    snprintf(seed, sizeof seed, "%llu", (unsigned long long)spec->seed);
    add_row(w, "seed", seed, s->origins.seed);
    add_row(w, "detail", thaw_detail_word(spec->detail), s->origins.detail);
}

static void add_size(thaw_writer *w, const thaw_specification *spec)
{
    thaw_estimate e = thaw_estimate_run(spec);
    thaw_writer_add(w, "\n  grid    %.0f x %.0f cells of %g mm, %d dyes\n", e.nx, e.ny,
                    spec->cell_m * 1000.0, e.components);
    thaw_writer_add(w, "  memory  about %.0f MiB\n", e.bytes / 0x1p20 + 1.0);
    if (e.seconds < 90.0) {
        thaw_writer_add(w, "  time    roughly %.0f s on one thread\n", e.seconds + 1.0);
    } else {
        thaw_writer_add(w, "  time    roughly %.0f min on one thread\n", e.seconds / 60.0);
    }
}

size_t thaw_scenario_write_table(const thaw_scenario *scenario, char *out, size_t size)
{
    thaw_writer w = {out, size, 0};
    thaw_writer_add(&w, "%s\n\n", scenario->spec.title);
    add_cloth(&w, scenario);
    add_garment(&w, scenario);
    add_folds(&w, scenario);
    add_hang(&w, scenario);
    add_ice(&w, scenario);
    add_dye(&w, scenario);
    add_set_up(&w, scenario);
    add_kitchen(&w, scenario);
    add_room(&w, scenario);
    add_size(&w, &scenario->spec);
    return w.used;
}
