/* The fit of the wicking strip test: what it returns, what it refuses. */
#include "check.h"

#include "base/alloc.h"
#include "study/strip_rise.h"

static thaw_strip_curve curve;

static int compute_curve(void **state)
{
    (void)state;
    thaw_error err = {0};
    return thaw_strip_curve_compute(0.7, &curve, &err);
}

static const double times_s[] = {20.0, 60.0, 180.0, 420.0, 900.0};

/* Readings of a cloth that is known, each off by its share of the doubt. */
static void read_strip(const thaw_strip_cloth *cloth, const double *off, double doubt_m, thaw_strip_reading *readings)
{
    double height_m[5];
    thaw_error err = {0};
    assert_int_equal(thaw_strip_rise(&curve, cloth, 5, times_s, height_m, &err), THAW_OK);
    for (int i = 0; i < 5; i++) {
        readings[i] = (thaw_strip_reading){.t_s = times_s[i], .height_m = height_m[i] + off[i] * doubt_m, .doubt_m = doubt_m};
    }
}

static void exact_readings_give_the_cloth_back(void **state)
{
    (void)state;
    const thaw_strip_cloth cloths[] = {{2e-4, 0.04}, {2e-3, 0.02}, {1e-4, 0.06}};
    const double none[5] = {0};
    for (int c = 0; c < 3; c++) {
        thaw_strip_reading readings[5];
        thaw_strip_estimate fit;
        thaw_error err = {0};
        read_strip(&cloths[c], none, 1e-3, readings);
        assert_int_equal(thaw_strip_fit(&curve, 5, readings, &fit, &err), THAW_OK);
        assert_close(fit.cloth.speed_m_s / cloths[c].speed_m_s, 1.0, 1e-6);
        assert_close(fit.cloth.head_m / cloths[c].head_m, 1.0, 1e-6);
        assert_at_most(fit.rms_m, 1e-9);
        assert_true(fit.correlation < -0.5 && fit.correlation > -1.0);
    }
}

static void standard_errors_follow_doubt_and_scatter(void **state)
{
    (void)state;
    const thaw_strip_cloth cloth = {3e-4, 0.04};
    const double none[5] = {0}, wild[5] = {6.0, -6.0, 6.0, -6.0, 6.0};
    thaw_strip_reading readings[5];
    thaw_strip_estimate fine, coarse, scattered;
    thaw_error err = {0};
    read_strip(&cloth, none, 1e-3, readings);
    assert_int_equal(thaw_strip_fit(&curve, 5, readings, &fine, &err), THAW_OK);
    read_strip(&cloth, none, 2e-3, readings);
    assert_int_equal(thaw_strip_fit(&curve, 5, readings, &coarse, &err), THAW_OK);
    read_strip(&cloth, wild, 1e-3, readings);
    assert_int_equal(thaw_strip_fit(&curve, 5, readings, &scattered, &err), THAW_OK);
    assert_close(coarse.log_speed_error / fine.log_speed_error, 2.0, 1e-5);
    assert_close(coarse.log_head_error / fine.log_head_error, 2.0, 1e-5);
    assert_true(scattered.log_head_error > 2.0 * fine.log_head_error);
    assert_true(scattered.rms_m > 1e-3);
}

static void the_time_scale_is_that_of_the_cloth(void **state)
{
    (void)state;
    /* Twice K_s / phi at half the time: the same height. */
    const thaw_strip_cloth slow = {2e-4, 0.04}, fast = {4e-4, 0.04};
    const double long_s = 600.0, short_s = 300.0;
    double a, b;
    thaw_error err = {0};
    assert_int_equal(thaw_strip_rise(&curve, &slow, 1, &long_s, &a, &err), THAW_OK);
    assert_int_equal(thaw_strip_rise(&curve, &fast, 1, &short_s, &b, &err), THAW_OK);
    assert_close(a, b, 1e-12);
}

static void readings_that_tell_nothing_are_refused(void **state)
{
    (void)state;
    /* h = sqrt(t): gravity does not show, so any h_e will do. */
    const thaw_strip_reading early[] = {{1.0, 0.01, 1e-4}, {4.0, 0.02, 1e-4}, {9.0, 0.03, 1e-4}};
    thaw_strip_estimate fit = {.rms_m = -1.0};
    thaw_error err = {0};
    assert_int_equal(thaw_strip_fit(&curve, 3, early, &fit, &err), THAW_ERR_SCENARIO);
    assert_true(fit.rms_m == -1.0);
    assert_non_null(strstr(err.text, "later"));
}

static void wrong_arguments_are_refused(void **state)
{
    (void)state;
    const thaw_strip_reading readings[] = {{30.0, 0.03, 1e-3}, {-60.0, 0.04, 1e-3}};
    const thaw_strip_cloth none = {0.0, 0.04}, cloth = {2e-4, 0.04};
    const double never = 0.0;
    thaw_strip_estimate fit;
    thaw_strip_curve other;
    double height_m;
    assert_int_equal(thaw_strip_fit(&curve, 1, readings, &fit, NULL), THAW_ERR_ARGUMENT);
    assert_int_equal(thaw_strip_fit(&curve, 2, readings, &fit, NULL), THAW_ERR_ARGUMENT);
    assert_int_equal(thaw_strip_rise(&curve, &none, 1, times_s, &height_m, NULL), THAW_ERR_ARGUMENT);
    assert_int_equal(thaw_strip_rise(&curve, &cloth, 1, &never, &height_m, NULL), THAW_ERR_ARGUMENT);
    assert_int_equal(thaw_strip_curve_compute(0.1, &other, NULL), THAW_ERR_ARGUMENT);
    assert_int_equal(thaw_strip_curve_compute((double)NAN, &other, NULL), THAW_ERR_ARGUMENT);
}

static void a_curve_without_memory_fails_cleanly(void **state)
{
    (void)state;
    for (long n = 1; n <= 30; n++) {
        thaw_strip_curve other = {.lambda = -1.0};
        thaw_error err = {0};
        thaw_allocate_fail_at(n);
        assert_int_equal(thaw_strip_curve_compute(0.7, &other, &err), THAW_ERR_MEMORY);
        thaw_allocate_fail_at(0);
        assert_true(other.lambda == -1.0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(exact_readings_give_the_cloth_back),
        cmocka_unit_test(standard_errors_follow_doubt_and_scatter),
        cmocka_unit_test(the_time_scale_is_that_of_the_cloth),
        cmocka_unit_test(readings_that_tell_nothing_are_refused),
        cmocka_unit_test(wrong_arguments_are_refused),
        cmocka_unit_test(a_curve_without_memory_fails_cleanly),
    };
    return cmocka_run_group_tests(tests, compute_curve, NULL);
}
