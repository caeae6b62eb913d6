/* A small lightly scrunched twill under crushed ice with navy on it, from which tests of the set-up start. */
#ifndef THAW_TESTS_SETUP_CLOTH_H
#define THAW_TESTS_SETUP_CLOTH_H

#include "small.h"

#include "data/cloths.h"
#include "data/dyes.h"
#include "data/ices.h"

static inline thaw_area whole_area(void)
{
    return (thaw_area){.name = "all", .shape = THAW_AREA_BOX, .x1 = 1.0, .y1 = 1.0};
}

static inline thaw_ice_zone ice_zone(const char *kind, double mass_kg)
{
    const thaw_ice_kind *ice = thaw_ices_find(kind);
    return (thaw_ice_zone){.kind = ice, .mass_kg = mass_kg, .diameter_m = ice->diameter_m, .start_k = ice->start_k,
                           .area = whole_area()};
}

/* The demo with another cloth: side_m of twill, scrunched to half, ice_kg of crushed ice, dye_kg of navy, 12 h. */
static inline thaw_scenario *setup_cloth(double side_m, double ice_kg, double dye_kg)
{
    thaw_scenario *scenario = small_scenario("tide-backdrop", 1.0);
    thaw_specification *spec = &scenario->spec;
    spec->cloth = thaw_cloths_find("cotton twill");
    spec->pickup_kg_kg = spec->cloth->pickup_kg_kg;
    spec->width_m = spec->length_m = side_m;
    spec->n_folds = 1;
    spec->folds[0] = (thaw_fold){.kind = THAW_FOLD_SCRUNCH, .share = 0.5};
    spec->n_ice = 1;
    spec->ice[0] = ice_zone("crushed", ice_kg);
    spec->n_dye = 1;
    spec->dye[0] = (thaw_dye_zone){.colour = thaw_colours_find("navy"), .mass_kg = dye_kg, .area = whole_area()};
    spec->leave_s = 12.0 * 3600.0;
    return scenario;
}

#endif
