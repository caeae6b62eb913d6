/* Ranges of a small run: the same at any number of threads, about the number, open to a stop. */
#include "small.h"

#ifdef _OPENMP
#include <omp.h>
#endif

#include "study/doubt.h"

static bool stop_at_once(void *user, double share)
{
    (void)share;
    ++*(int *)user;
    return false;
}

static thaw_preview_figures figures_of(const thaw_specification *spec)
{
    thaw_preview_figures f = {0};
    thaw_outcome work;
    thaw_print print;
    thaw_error err = {0};
    run_small(spec, &work);
    assert_done(thaw_outcome_conclude(&work, &print, &f, &err), &err);
    thaw_outcome_clear(&work);
    return f;
}

static void assert_about(double value, const double range[2])
{
    assert_true(isfinite(value));
    assert_true(range[0] <= value && value <= range[1]);
    assert_true(range[0] < range[1]);
}

static void ranges_hold_the_number_and_do_not_depend_on_threads(void **state)
{
    (void)state;
    thaw_error err = {0};
    thaw_scenario *scenario = small_scenario("tide-backdrop", 0.2);
    const thaw_preview_figures one = figures_of(&scenario->spec);
    thaw_preview_figures by_threads[3];
    memset(by_threads, 0, sizeof by_threads);
    for (int t = 0; t < 3; t++) {
        memcpy(&by_threads[t], &one, sizeof one);
#ifdef _OPENMP
        omp_set_num_threads(t + 1);
#endif
        assert_done(thaw_doubt_find(&scenario->spec, NULL, NULL, NULL, &by_threads[t], &err), &err);
        assert_int_equal(by_threads[t].n_members, THAW_DOUBT_MEMBERS);
    }
    assert_memory_equal(&by_threads[0], &by_threads[1], sizeof one);
    assert_memory_equal(&by_threads[0], &by_threads[2], sizeof one);
    assert_about(one.melt_most_s, by_threads[0].melt_most_range_s);
    assert_about(one.melt_all_s, by_threads[0].melt_all_range_s);
    assert_about(one.fixed_share, by_threads[0].fixed_share_range);
    assert_about(one.grain_weft_m, by_threads[0].grain_weft_range_m);
    assert_about(one.bleed_share, by_threads[0].bleed_range);
    thaw_scenario_destroy(scenario);
}

/* Two kelvin are a tenth of what drives the melt at 20 C and more than a quarter at 7 C. */
static void a_cool_room_makes_the_melt_time_less_sure(void **state)
{
    (void)state;
    thaw_error err = {0};
    double width[2];
    thaw_scenario *scenario = small_scenario("tide-backdrop", 0.1);
    scenario->spec.leave_s = 3600.0 * 60.0;
    for (int i = 0; i < 2; i++) {
        scenario->spec.room_k = 273.15 + (i ? 7.0 : 20.0);
        thaw_preview_figures f = {.melted = true, .melt_most_s = 3600.0};
        assert_done(thaw_doubt_find(&scenario->spec, NULL, NULL, NULL, &f, &err), &err);
        width[i] = log(f.melt_most_range_s[1] / f.melt_most_range_s[0]);
    }
    print_message("  P90 / P10 of the melt time: %.2f at 20 C, %.2f at 7 C\n", exp(width[0]), exp(width[1]));
    assert_true(width[1] > 1.05 * width[0]);
    thaw_scenario_destroy(scenario);
}

static void a_stop_ends_the_set_and_leaves_the_figures(void **state)
{
    (void)state;
    thaw_error err = {0};
    thaw_scenario *scenario = small_scenario("tide-backdrop", 0.1);
    thaw_preview_figures f = {.white_share = 0.25};
    int asked = 0;
#ifdef _OPENMP
    omp_set_num_threads(1);
#endif
    assert_int_equal(thaw_doubt_find(&scenario->spec, NULL, stop_at_once, &asked, &f, &err), THAW_ERR_CANCELLED);
    assert_int_equal(asked, 1);
    assert_int_equal(f.n_members, 0);
    assert_true(f.white_share == 0.25 && f.white_range[1] == 0.0);
    thaw_scenario_destroy(scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ranges_hold_the_number_and_do_not_depend_on_threads),
        cmocka_unit_test(a_cool_room_makes_the_melt_time_less_sure),
        cmocka_unit_test(a_stop_ends_the_set_and_leaves_the_figures),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
