/* A whole run on the scales: what was put in is found again. Weighed from the cells, pieces and the tub,
 * not taken from the books that the program closes itself. */
#include "outside.h"

#include "small.h"

#define MASS  "conservation of mass"
#define PARTS 1e-6                 /* of what was put in */

static double over_cells(const thaw_engine *e, const double *per_m2, const double *times)
{
    double sum = 0.0;
    for (size_t k = 0; k < e->state.n; k++) {
        sum += per_m2[k] * (times ? times[k] : 1.0);
    }
    return sum * e->bundle->cell_m * e->bundle->cell_m;
}

/* kg of water in the pores. */
static double soaked_kg(const thaw_engine *e)
{
    return THAW_WATER_DENSITY_KG_M3 * over_cells(e, e->volume_m, e->state.saturation);
}

static double ice_kg(const thaw_engine *e)
{
    double sum = 0.0;
    for (int i = 0; i < e->heap->n; i++) {
        sum += e->melt.mass_kg[i];
    }
    return sum;
}

/* Grams that came in and grams found, to a few parts in a million. */
static void weigh(const char *name, const char *what, double in_kg, double found_kg)
{
    char check[128];
    assert_true(in_kg > 0.0);
    snprintf(check, sizeof check, "%s: %s found / put in, off by", name, what);
    outside_error(check, MASS, fabs(found_kg / in_kg - 1.0), PARTS);
}

static void weigh_dyes(const char *name, const thaw_engine *e, const thaw_specification *spec)
{
    double in = 0.0, found = 0.0;
    for (int z = 0; z < spec->n_dye; z++) {
        in += spec->dye[z].mass_kg;
    }
    for (int c = 0; c < e->dyes->n; c++) {
        found += over_cells(e, e->state.powder_kg_m2[c], NULL) + over_cells(e, e->state.mobile_kg_m2[c], NULL) +
                 over_cells(e, e->state.fixed_kg_m2[c], NULL) + over_cells(e, e->state.hydrolysed_kg_m2[c], NULL);
        found += e->tub_dye_kg[c] + e->drip.missed_dye_kg[c];
        for (int p = 0; p < e->drip.n_points; p++) {
            found += e->drip.powder_kg[c][p];
        }
    }
    weigh(name, "dye on cloth, on ice and in the tub", in, found);
}

static void weigh_a_run(const char *name)
{
    thaw_scenario *scenario = small_scenario(name, 0.2);
    const thaw_specification *spec = thaw_scenario_specification(scenario);
    thaw_outcome work = {.spec = spec};
    thaw_error err = {0};
    assert_done(thaw_outcome_prepare(&work, &err), &err);
    thaw_engine *e = &work.engine;
    const double soaked = soaked_kg(e), ice = ice_kg(e), soda = over_cells(e, e->state.soda_kg_m2, NULL);
    assert_done(thaw_engine_run(e, NULL, NULL, &err), &err);
    /* Dew comes in, evaporation goes out; both are heat of vapour over the latent heat. */
    const double air = e->water.evaporated_kg - e->melt.condensed_kg, tub = e->tub_kg + e->drip.missed_kg;
    assert_true(tub > 0.1 * ice && e->drip.missed_kg > 0.0);
    weigh(name, "water in cloth, ice, air and tub", soaked + ice, soaked_kg(e) + ice_kg(e) + air + tub);
    weigh(name, "soda in cloth and tub", soda, over_cells(e, e->state.soda_kg_m2, NULL) + e->tub_soda_kg);
    weigh_dyes(name, e, spec);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
}

static void all_that_is_put_on_the_small_backdrop_is_found_again(void **state)
{
    (void)state;
    weigh_a_run("tide-backdrop");
}

static void all_that_is_put_on_the_small_cape_is_found_again(void **state)
{
    (void)state;
    weigh_a_run("herons-cape");
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_that_is_put_on_the_small_backdrop_is_found_again),
        cmocka_unit_test(all_that_is_put_on_the_small_cape_is_found_again),
    };
    return outside_main(tests, argc, argv);
}
