/* Big pieces in the middle and crushed ice round them, as dyers lay it. Flat cloth, so that cloth and plan are the same. */
#include "grain.h"
#include "setup_cloth.h"

#define HOURS 3600.0

/* Grain in the middle over grain round it. */
static double coarser(const char *middle_kind, uint64_t seed)
{
    thaw_scenario *scenario = setup_cloth(0.64, 0.0, 3e-3);
    thaw_specification *spec = &scenario->spec;
    thaw_outcome work;
    spec->seed = seed;
    spec->n_folds = 0;
    spec->leave_s = 9.0 * HOURS;
    spec->n_ice = 2;
    /* Somewhat larger than the area `centre`, and what lies round it; about as much ice to the area. */
    spec->ice[0] = ice_zone(middle_kind, 0.8);
    spec->ice[0].area = (thaw_area){.name = "centre", .shape = THAW_AREA_DISC, .x0 = 0.2, .y0 = 0.2, .x1 = 0.8, .y1 = 0.8};
    spec->ice[1] = ice_zone("crushed", 1.8);
    spec->ice[1].area = (thaw_area){.name = "ring", .shape = THAW_AREA_RING, .x1 = 1.0, .y1 = 1.0, .inner = 0.6};
    run_small(spec, &work);
    const int n = work.bundle.nx, from = (int)(0.29 * n), to = (int)(0.71 * n), edge = n / 40, rim = (int)(0.18 * n);
    const double middle = grain_of(&work, from, to, from, to);
    /* Four strips along the edges. */
    const double strips[] = {grain_of(&work, edge, rim, from, to), grain_of(&work, n - rim, n - edge, from, to),
                             grain_of(&work, from, to, edge, rim), grain_of(&work, from, to, n - rim, n - edge)};
    double round = 0.0;
    for (int s = 0; s < 4; s++) {
        round += 0.25 * strips[s];
    }
    print_message("  %s in the middle, seed %d: grain %.1f mm, round it %.1f mm (%.1f, %.1f, %.1f, %.1f)\n", middle_kind,
                  (int)seed, 1e3 * middle, 1e3 * round, 1e3 * strips[0], 1e3 * strips[1], 1e3 * strips[2], 1e3 * strips[3]);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
    return middle / round;
}

static void big_ice_in_the_middle_and_crushed_round_it_leave_a_coarser_middle(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= 3; seed++) {
        /* The same ice all over is measured beside it: a strip may come out otherwise than a square. */
        const double alike = coarser("crushed", seed), big = coarser("block", seed);
        assert_true(big > 1.15 && big > 1.15 * alike);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(big_ice_in_the_middle_and_crushed_round_it_leave_a_coarser_middle),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
