/* How dye is put on: over the ice, under it, dry or as liquid, and soda ash as powder. One lightly scrunched twill of
 * 48 cm under crushed ice, 4 mm cells. */
#include "small.h"

#include <stdlib.h>

#include "data/dyes.h"
#include "data/ices.h"

#define SPECK 1.3                  /* a speck holds so many times the mean of what lies round it */
#define REACH 2                    /* cells round it that count */

static thaw_scenario *plain_cloth(double dye_kg)
{
    thaw_scenario *scenario = small_scenario("tide-backdrop", 1.0);
    thaw_specification *spec = &scenario->spec;
    spec->width_m = spec->length_m = 0.48;
    spec->n_folds = 1;
    spec->folds[0] = (thaw_fold){.kind = THAW_FOLD_SCRUNCH, .share = 0.5};
    spec->n_ice = 1;
    spec->ice[0].kind = thaw_ices_find("crushed");
    spec->ice[0].diameter_m = spec->ice[0].kind->diameter_m;
    spec->ice[0].start_k = spec->ice[0].kind->start_k;
    spec->ice[0].mass_kg = 1.0;
    spec->ice[0].area = (thaw_area){.name = "all", .shape = THAW_AREA_BOX, .x1 = 1.0, .y1 = 1.0};
    spec->n_dye = 1;
    spec->dye[0] = (thaw_dye_zone){.colour = thaw_colours_find("navy"), .mass_kg = dye_kg, .area = spec->ice[0].area};
    spec->leave_s = 12.0 * 3600.0;
    return scenario;
}

static double dye_on(const thaw_engine *e, size_t k)
{
    double sum = 0.0;
    for (int c = 0; c < e->dyes->n; c++) {
        sum += e->state.fixed_kg_m2[c][k];
    }
    return sum;
}

/* Cells that are darker than their eight neighbours and hold SPECK times the mean of the 24 cells round them. */
static int count_specks(const thaw_engine *e)
{
    const int nx = e->bundle->nx, ny = e->bundle->ny;
    double most = 0.0;
    int specks = 0;
    for (size_t k = 0; k < e->bundle->n; k++) {
        most = fmax(most, dye_on(e, k));
    }
    for (int j = REACH; j < ny - REACH; j++) {
        for (int i = REACH; i < nx - REACH; i++) {
            const double here = dye_on(e, (size_t)(j * nx + i));
            double round = 0.0;
            bool peak = here > 0.02 * most;
            for (int b = -REACH; b <= REACH; b++) {
                for (int a = -REACH; a <= REACH; a++) {
                    const double there = dye_on(e, (size_t)((j + b) * nx + i + a));
                    round += a || b ? there / ((2 * REACH + 1) * (2 * REACH + 1) - 1) : 0.0;
                    peak = peak && (abs(a) > 1 || abs(b) > 1 || !(a || b) || here > there);
                }
            }
            specks += peak && here > SPECK * round;
        }
    }
    return specks;
}

static int specks_of(bool under, double dye_kg, uint64_t seed)
{
    thaw_scenario *scenario = plain_cloth(dye_kg);
    thaw_outcome work;
    scenario->spec.dye[0].under_ice = under;
    scenario->spec.dye[0].lumps = 0.2;
    scenario->spec.seed = seed;
    run_small(&scenario->spec, &work);
    const int specks = count_specks(&work.engine);
    print_message("  %s, %.1f g, seed %d: %d specks\n", under ? "under" : "over", 1e3 * dye_kg, (int)seed, specks);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
    return specks;
}

static void powder_under_the_ice_leaves_specks(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= 3; seed++) {
        for (int grams = 1; grams <= 4; grams += 3) {
            const int over = specks_of(false, 1e-3 * grams, seed), under = specks_of(true, 1e-3 * grams, seed);
            (void)(under > over);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(powder_under_the_ice_leaves_specks),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
