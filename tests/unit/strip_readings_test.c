/* The file of a strip test: what it may look like, what is refused, and where the message points. */
#include "check.h"

#include "base/alloc.h"
#include "scenario/strip_readings.h"

static thaw_status parse(const char *text, thaw_strip_readings *out, thaw_error *err)
{
    *err = (thaw_error){0};
    return thaw_strip_readings_parse(text, strlen(text), "r.csv", out, err);
}

static void headings_with_units_are_read_in_many_forms(void **state)
{
    (void)state;
    static const char *const texts[] = {
        "time (min), height (cm)\n1,2\n20,6.5\n",
        "# a strip\n\nHeight [cm];Time [min]\r\n2;1\r\n6.5;20\r\n",
        "time_min\theight_cm\n1\t2 # first\n20\t6.5",
        "\xEF\xBB\xBFtime min, height cm\n 1 , 2\n20,6.5\n\n",
    };
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        thaw_strip_readings r = {0};
        thaw_error err;
        if (parse(texts[i], &r, &err) != THAW_OK) {
            print_error("%s\n", err.text);
            fail();
        }
        assert_int_equal(r.n, 2);
        assert_close(r.t_s[0], 60.0, 1e-9);
        assert_close(r.t_s[1], 1200.0, 1e-9);
        assert_close(r.height_m[0], 0.02, 1e-12);
        assert_close(r.height_m[1], 0.065, 1e-12);
    }
}

static void all_faults_come_together_with_their_places(void **state)
{
    (void)state;
    thaw_strip_readings r = {.n = -1};
    thaw_error err;
    assert_int_equal(parse("time (min), height (mm)\n1, x\n2\n0.001, 5\n3, 5000\n4, 1e400\n5, nan\n", &r, &err), THAW_ERR_SCENARIO);
    static const char *const wanted[] = {"r.csv:2:4: height: `x`", "r.csv:3:1: 1 value", "r.csv:4:1: time: 0.001 min is too small",
                                         "r.csv:5:4: height: 5000 mm is too large", "r.csv:6:4:", "r.csv:7:4: height: `nan`"};
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++) {
        if (!strstr(err.text, wanted[i])) {
            print_error("no `%s` in\n%s\n", wanted[i], err.text);
            fail();
        }
    }
    assert_int_equal(r.n, -1);
}

static void headings_at_fault_are_named(void **state)
{
    (void)state;
    static const char *const cases[][2] = {
        {"tiem (min), height (mm)\n1,2\n9,3\n", "did you mean `time`"}, {"time (min), time (s)\n1,2\n9,3\n", "there twice"},
        {"time, height (mm)\n1,2\n9,3\n", "has no unit"},              {"time (kg), height (mm)\n1,2\n9,3\n", "wrong kind of unit"},
        {"time (min)\n1\n", "1 column where two"},                     {"", "empty"},
        {"# nothing\n", "empty"},                                      {"time (min), height (mm)\n", "0 readings"},
        {"time (min), height (mm)\n1, 20\n", "1 reading;"},            {"time (min), height (mm)\n1, 20\n2, 25\n", "too close together"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        thaw_strip_readings r;
        thaw_error err;
        assert_int_equal(parse(cases[i][0], &r, &err), THAW_ERR_SCENARIO);
        if (!strstr(err.text, cases[i][1])) {
            print_error("no `%s` in\n%s\n", cases[i][1], err.text);
            fail();
        }
    }
}

static void too_many_readings_are_refused(void **state)
{
    (void)state;
    static char text[8192];
    thaw_strip_readings r;
    thaw_error err;
    size_t used = (size_t)snprintf(text, sizeof text, "time (s), height (mm)\n");
    for (int i = 0; i <= THAW_STRIP_MOST; i++) {
        used += (size_t)snprintf(text + used, sizeof text - used, "%d, 20\n", 10 + i);
    }
    assert_int_equal(parse(text, &r, &err), THAW_ERR_SCENARIO);
    assert_non_null(strstr(err.text, "more than 200 readings"));
}

static void without_memory_nothing_is_read(void **state)
{
    (void)state;
    const char *text = "time (min), height (cm)\n1,2\n20,6.5\n";
    for (long n = 1; n <= 2; n++) {
        thaw_strip_readings r = {.n = -1};
        thaw_error err;
        thaw_allocate_fail_at(n);
        assert_int_equal(parse(text, &r, &err), THAW_ERR_MEMORY);
        thaw_allocate_fail_at(0);
        assert_int_equal(r.n, -1);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(headings_with_units_are_read_in_many_forms), cmocka_unit_test(all_faults_come_together_with_their_places),
        cmocka_unit_test(headings_at_fault_are_named),                cmocka_unit_test(too_many_readings_are_refused),
        cmocka_unit_test(without_memory_nothing_is_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
