/* A border: two metres of jersey, one end bundled under ice, the rest over a low edge, twelve hours. */
#include "outside.h"
#include "small.h"

#define TOLD NO_SOURCE
#define TOLD_LOW_CM 60.0
#define TOLD_HIGH_CM 70.0

/* down_m < 0: as the scenario has it, straight down from the edge. */
static thaw_preview_figures climb(double down_m, bool with_ranges)
{
    thaw_error err = {0};
    thaw_preview *preview = NULL;
    thaw_scenario *scenario = small_scenario("gull-cloth", 1.0);
    const thaw_preview_options options = {.threads = 2, .without_ranges = !with_ranges};
    if (down_m >= 0.0) {
        scenario->spec.hang.down_m = down_m;
    }
    assert_done(thaw_preview_run(scenario, &options, &preview, &err), &err);
    const thaw_preview_figures figures = *thaw_preview_get_figures(preview);
    thaw_preview_destroy(preview);
    thaw_scenario_destroy(scenario);
    return figures;
}

/* What is told must lie in what is forecast, of which little is known: P10 and P90 span a decade. */
static void a_border_of_jersey_climbs_as_dyers_tell_within_the_stated_range(void **state)
{
    (void)state;
    const thaw_preview_figures f = climb(-1.0, true);
    char ours[PLENTY];
    const double low = 100.0 * f.climb_range_m[0], high = 100.0 * f.climb_range_m[1];
    snprintf(ours, sizeof ours, "%.0f cm (%.0f to %.0f)", 10.0 * round(10.0 * f.climb_m[1]), 5.0 * floor(low / 5.0),
             10.0 * floor(high / 10.0));
    outside_row("climb of dye along jersey over an edge of 3 cm, free end far below, 12 h", TOLD, "60 to 70 cm", ours,
                "the range meets it", low <= TOLD_HIGH_CM && high >= TOLD_LOW_CM);
    assert_true(low <= TOLD_HIGH_CM && high >= TOLD_LOW_CM);
}

static void a_free_end_below_the_ice_draws_dye_farther(void **state)
{
    (void)state;
    const double level_cm = 100.0 * climb(0.03, false).climb_m[1], below_cm = 100.0 * climb(-1.0, false).climb_m[1];
    char ours[PLENTY];
    snprintf(ours, sizeof ours, "%.0f and %.0f cm", 5.0 * round(level_cm / 5.0), 5.0 * round(below_cm / 5.0));
    outside_row("the same with the free end level with the rack, and 147 cm below the edge", TOLD, "farther below", ours,
                "by a quarter", below_cm >= 1.25 * level_cm);
    assert_at_most(1.25 * level_cm, below_cm);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_border_of_jersey_climbs_as_dyers_tell_within_the_stated_range),
        cmocka_unit_test(a_free_end_below_the_ice_draws_dye_farther),
    };
    return outside_main(tests, argc, argv);
}
