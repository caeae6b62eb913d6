/* The fit of a kitchen on lessons whose answers are known by formula, so that no run is needed. */
#include "check.h"

#include "study/kitchen_fit.h"

#define JERSEY_SPREAD 1.1736547    /* ln 4.5 / 1.2815516: P90 is 4.5 times */

static double prior[2] = {JERSEY_SPREAD, JERSEY_SPREAD};

/* Melt goes as heat^-0.9, climb + 1 cm as conductivity^0.8 heat^0.1. */
static thaw_lesson lesson(int cloth, double heat, double conductivity)
{
    thaw_lesson l = {.forecast_melt_s = 6.0 * 3600.0, .forecast_climb_m = 0.25, .rinsed_s = NAN, .cloth = cloth,
                     .melt_as_forecast_s = 6.2 * 3600.0, .climb_as_forecast_m = 0.27};
    for (int h = 0; h < THAW_LESSON_HEATS; h++) {
        l.melt_at_heat[h] = l.melt_as_forecast_s * exp(-0.9 * thaw_lesson_heat_ln(h));
        l.climb_at_heat[h] = 0.28 * exp(0.1 * thaw_lesson_heat_ln(h)) - 0.01;
    }
    for (int c = 0; c < THAW_LESSON_CLOTHS; c++) {
        l.climb_at_cloth[c] = 0.28 * exp(0.8 * thaw_lesson_cloth_ln(c)) - 0.01;
    }
    l.melted_s = l.forecast_melt_s * pow(heat, -0.9);
    l.climb_m = 0.26 * pow(conductivity, 0.8) * pow(heat, 0.1) - 0.01;
    return l;
}

static void lessons_tell_what_their_formulas_say(void **state)
{
    (void)state;
    thaw_lesson l = lesson(0, 1.0, 1.0);
    assert_close(thaw_lesson_melt_s(&l, 0.0, 0.0), l.forecast_melt_s, 1e-6);
    assert_close(thaw_lesson_climb_m(&l, 0.0, 0.0), l.forecast_climb_m, 1e-9);
    assert_close(thaw_lesson_melt_s(&l, 0.3, 0.0), l.forecast_melt_s * exp(-0.27), 1e-3);
    assert_close(thaw_lesson_climb_m(&l, 0.2, -1.3), 0.26 * exp(0.02 - 1.04) - 0.01, 1e-6);
    assert_close(thaw_lesson_climb_m(&l, 0.0, -9.0), 0.0, 1e-3); /* never below nothing */
}

static void many_lessons_overrule_the_prior(void **state)
{
    (void)state;
    thaw_lesson lessons[40];
    thaw_kitchen_fit fit;
    for (int i = 0; i < 40; i++) {
        lessons[i] = lesson(i % 2, 1.3, i % 2 ? 2.0 : 0.5);
    }
    thaw_kitchen_fit_find(lessons, 40, -1, 2, prior, &fit);
    assert_close(exp(fit.heat_ln), 1.3, 0.02);
    assert_close(exp(fit.cloth_ln[0]), 0.5, 0.02);
    assert_close(exp(fit.cloth_ln[1]), 2.0, 0.08);
    /* Twenty facts of 0.15 / 0.8 each. */
    assert_close(fit.cloth_error[0], 0.15 / 0.8 / sqrt(20.0), 0.02);
    assert_close(fit.heat_error, 0.10 / 0.9 / sqrt(40.0), 0.005);
}

static void one_lesson_moves_heat_as_prior_and_fact_weigh(void **state)
{
    (void)state;
    thaw_lesson l = lesson(0, 1.3, 1.0);
    thaw_kitchen_fit fit;
    l.climb_m = NAN;
    thaw_kitchen_fit_find(&l, 1, -1, 1, prior, &fit);
    /* Two normals: prior 0 +- p, fact ln 1.3 +- 0.10 / 0.9. P90 of the prior is 1.15. */
    const double p = log(1.15) / 1.2815515655446004, s = THAW_FACT_MELT / 0.9;
    assert_close(thaw_kitchen_prior_heat(), p, 1e-9);
    assert_close(fit.heat_ln, log(1.3) * p * p / (p * p + s * s), 1e-4);
    assert_close(fit.heat_error, p * s / hypot(p, s), 1e-3);
    assert_close(fit.cloth_ln[0], 0.0, 1e-6); /* no climb: nothing is learnt of the cloth */
    assert_close(fit.cloth_error[0], prior[0], 1e-6);
}

static void what_is_left_out_does_not_count(void **state)
{
    (void)state;
    thaw_lesson lessons[3] = {lesson(0, 1.0, 1.0), lesson(0, 1.0, 1.0), lesson(0, 2.0, 0.2)};
    thaw_kitchen_fit with, without;
    thaw_kitchen_fit_find(lessons, 3, -1, 1, prior, &with);
    thaw_kitchen_fit_find(lessons, 3, 2, 1, prior, &without);
    assert_true(with.heat_ln > 0.05 && with.cloth_ln[0] < -0.3);
    assert_close(without.heat_ln, 0.0, 1e-4);
    assert_close(without.cloth_ln[0], 0.0, 1e-4);
}

static void wild_facts_stay_within_the_bounds(void **state)
{
    (void)state;
    thaw_lesson lessons[64];
    thaw_kitchen_fit fit;
    for (int i = 0; i < 64; i++) {
        lessons[i] = lesson(0, 30.0, 1e-4);
        lessons[i].climb_m = 0.0;
    }
    thaw_kitchen_fit_find(lessons, 64, -1, 1, prior, &fit);
    assert_close(exp(fit.heat_ln), 2.0, 1e-6);
    assert_close(exp(fit.cloth_ln[0]), 0.1, 1e-6);
    assert_true(isfinite(fit.heat_error) && isfinite(fit.cloth_error[0]));
}

static void a_piece_forecast_with_a_kitchen_counts_from_there(void **state)
{
    (void)state;
    /* Forecast with heat 1.2 and conductivity 0.7 already; what happened agrees: the factors are these, not 1. */
    thaw_lesson lessons[30];
    thaw_kitchen_fit fit;
    for (int i = 0; i < 30; i++) {
        lessons[i] = lesson(0, 1.0, 1.0); /* as forecast */
        lessons[i].heat_ln = log(1.2);
        lessons[i].cloth_ln = log(0.7);
        lessons[i].melt_as_forecast_s *= pow(1.2, -0.9);
        lessons[i].climb_as_forecast_m = 0.28 * pow(0.7, 0.8) - 0.01;
    }
    thaw_kitchen_fit_find(lessons, 30, -1, 1, prior, &fit);
    assert_close(exp(fit.heat_ln), 1.2, 0.02);
    assert_close(exp(fit.cloth_ln[0]), 0.7, 0.02);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lessons_tell_what_their_formulas_say),      cmocka_unit_test(many_lessons_overrule_the_prior),
        cmocka_unit_test(one_lesson_moves_heat_as_prior_and_fact_weigh), cmocka_unit_test(what_is_left_out_does_not_count),
        cmocka_unit_test(wild_facts_stay_within_the_bounds),         cmocka_unit_test(a_piece_forecast_with_a_kitchen_counts_from_there),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
