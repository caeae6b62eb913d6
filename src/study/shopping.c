#include "study/shopping.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/error.h"
#include "data/water.h"
#include "data/workroom.h"
#include "study/packets.h"

static double dry_kg(const thaw_specification *spec)
{
    return spec->cloth->mass_kg_m2 * thaw_specification_area_m2(spec);
}

static void fill_soak(const thaw_specification *spec, thaw_supplies_figures *f)
{
    const double taken_m3 = spec->pickup_kg_kg * f->cloth_kg / 1000.0;
    const double bath_m3 = fmax(THAW_BATH_M3_KG * f->cloth_kg, THAW_BATH_LEAST_TIMES * taken_m3);
    f->bath_m3 = THAW_BATH_STEP_M3 * ceil(bath_m3 / THAW_BATH_STEP_M3 - 1e-9);
    f->soda_kg_m3 = spec->soda_kg_m3;
    f->soda_kg = f->bath_m3 * spec->soda_kg_m3;
    f->soda_mol_m3 = spec->soda_kg_m3 / THAW_SODA_KG_MOL;
    f->cups_low = spec->soda_kg_m3 * THAW_GALLON_M3 / (THAW_SODA_BULK_HIGH_KG_M3 * THAW_CUP_M3);
    f->cups_high = spec->soda_kg_m3 * THAW_GALLON_M3 / (THAW_SODA_BULK_LOW_KG_M3 * THAW_CUP_M3);
    f->soak_least_s = THAW_SOAK_LEAST_S;
    f->soak_most_s = THAW_SOAK_MOST_S;
    f->pickup_kg_kg = spec->pickup_kg_kg;
    f->wrung_kg = f->cloth_kg * (1.0 + spec->pickup_kg_kg);
    snprintf(f->wring, sizeof f->wring, "%s",
             spec->pickup_kg_kg <= THAW_SPUN_PICKUP    ? "spin in a machine"
             : spec->pickup_kg_kg <= THAW_WRUNG_PICKUP ? "by hand, firmly"
                                                       : "hardly: let it drip");
    f->taken_soda_kg = taken_m3 * spec->soda_kg_m3;
    f->starts_dry = spec->starts_dry;
    for (int z = 0; z < spec->n_soda; z++) {
        f->sprinkled_soda_kg += spec->soda[z].mass_kg;
    }
}

/* The line of a colour, a new one if there is none. Powder and liquid are measured apart. */
static thaw_supplies_colour *line_of(thaw_supplies_figures *f, const char *name, bool is_liquid)
{
    for (int i = 0; i < f->n_colours; i++) {
        if (strcmp(f->colours[i].name, name) == 0 && (f->colours[i].water_m3 > 0.0) == is_liquid) {
            return &f->colours[i];
        }
    }
    if (f->n_colours == THAW_SUPPLIES_COLOURS) {
        return NULL;
    }
    thaw_supplies_colour *line = &f->colours[f->n_colours++];
    snprintf(line->name, sizeof line->name, "%s", name);
    return line;
}

static bool add_powder(thaw_supplies_figures *f, const char *name, double mass_kg, double water_m3)
{
    thaw_supplies_colour *line = line_of(f, name, water_m3 > 0.0);
    if (line) {
        line->mass_kg += mass_kg;
        line->water_m3 += water_m3;
    }
    return line != NULL;
}

/* A mixture of one's own is weighed from its parts. */
static bool add_zone(const thaw_scenario *scenario, const thaw_dye_zone *zone, thaw_supplies_figures *f)
{
    const thaw_own_colour *own = thaw_shelf_own_colour(scenario->shelf, zone->colour);
    double parts = 0.0;
    bool fits = true;
    if (!own || own->recipe.n == 0) {
        return add_powder(f, zone->colour->name, zone->mass_kg, zone->volume_m3);
    }
    for (int i = 0; i < own->recipe.n; i++) {
        parts += own->recipe.of[i].parts;
    }
    for (int i = 0; i < own->recipe.n; i++) {
        const double share = own->recipe.of[i].parts / parts;
        const char *name = own->recipe.of[i].name;
        fits = add_powder(f, name, share * zone->mass_kg, share * zone->volume_m3) && fits;
        thaw_supplies_colour *line = fits ? line_of(f, name, zone->volume_m3 > 0.0) : NULL;
        if (line && !line->part_of[0]) {
            snprintf(line->part_of, sizeof line->part_of, "%s", strstr(own->colour.name, " + ") ? "your mixture" : own->colour.name);
        }
    }
    return fits;
}

static double packets_cost(const thaw_supplies_figures *f, const thaw_supplies_colour *c)
{
    double cost = 0.0;
    for (int p = 0; p < f->n_packets; p++) {
        cost += c->packets[p] > 0 ? c->packets[p] * f->packets[p].price : 0.0;
    }
    return cost;
}

static double packets_kg(const thaw_supplies_figures *f, const thaw_supplies_colour *c)
{
    double kg = 0.0;
    for (int p = 0; p < f->n_packets; p++) {
        kg += c->packets[p] * f->packets[p].mass_kg;
    }
    return kg;
}

static thaw_status fill_powder(const thaw_scenario *scenario, thaw_supplies_figures *f, thaw_error *err)
{
    const thaw_specification *spec = &scenario->spec;
    for (int z = 0; z < spec->n_dye; z++) {
        if (!add_zone(scenario, &spec->dye[z], f)) {
            return thaw_fail(err, THAW_ERR_ARGUMENT, "more than %d colours to weigh out", THAW_SUPPLIES_COLOURS);
        }
        f->dye_kg += spec->dye[z].mass_kg;
    }
    for (int i = 0; i < f->n_colours; i++) {
        thaw_supplies_colour *c = &f->colours[i];
        c->on_weight = c->mass_kg / f->cloth_kg;
        c->spoons_low = c->mass_kg / THAW_SPOON_HIGH_KG;
        c->spoons_high = c->mass_kg / THAW_SPOON_LOW_KG;
        thaw_status status = thaw_packets_choose(f->packets, f->n_packets, c->mass_kg, c->packets, err);
        if (status != THAW_OK) {
            return status;
        }
        c->left_kg = packets_kg(f, c) - c->mass_kg;
        c->cost = packets_cost(f, c);
        f->cost += c->cost;
    }
    f->on_weight = f->dye_kg / f->cloth_kg;
    f->capacity_kg = spec->cloth->capacity_kg_kg * (1.0 - spec->cloth->idle_share) * f->cloth_kg;
    f->is_too_much = f->dye_kg > f->capacity_kg;
    f->is_pale = f->on_weight < THAW_DEPTH_PALE;
    f->is_heavy = f->on_weight > THAW_DEPTH_HEAVY;
    f->instead_kg = f->is_too_much || f->is_heavy ? fmin(THAW_DEPTH_USUAL * f->cloth_kg, f->capacity_kg) : NAN;
    return THAW_OK;
}

static void fill_ice(const thaw_specification *spec, const thaw_ice_cover *cover, thaw_supplies_figures *f)
{
    for (int z = 0; z < spec->n_ice; z++) {
        const thaw_ice_zone *zone = &spec->ice[z];
        thaw_supplies_ice *ice = NULL;
        for (int i = 0; i < f->n_ices && !ice; i++) {
            ice = strcmp(f->ices[i].kind, zone->kind->name) == 0 && f->ices[i].at_s == zone->at_s ? &f->ices[i] : NULL;
        }
        if (!ice) {
            ice = &f->ices[f->n_ices++];
            snprintf(ice->kind, sizeof ice->kind, "%s", zone->kind->name);
            ice->at_s = zone->at_s;
        }
        const double heap_m3 = cover->zone_kg[z] / (zone->kind->packing * THAW_ICE_DENSITY_KG_M3);
        ice->mass_kg += cover->zone_kg[z];
        ice->heap_m3 += heap_m3;
        f->ice_kg += cover->zone_kg[z];
        f->ice_heap_m3 += heap_m3;
    }
    f->ice_area_m2 = cover->area_m2;
    f->ice_covers = cover->share;
}

thaw_status thaw_shopping_fill(const thaw_scenario *scenario, const thaw_ice_cover *cover, thaw_supplies_figures *figures,
                               thaw_error *err)
{
    const thaw_specification *spec = &scenario->spec;
    const char *fibre = spec->cloth->fibre ? spec->cloth->fibre : "";
    snprintf(figures->cloth, sizeof figures->cloth, "%s", spec->cloth->name);
    figures->cloth_kg = dry_kg(spec);
    figures->soda_most_s = strstr(fibre, "silk") || strstr(fibre, "wool") ? THAW_SILK_MOST_S : INFINITY;
    fill_soak(spec, figures);
    fill_ice(spec, cover, figures);
    return fill_powder(scenario, figures, err);
}
