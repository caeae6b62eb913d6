/* Quantities with units: parsing is strict, printing comes back to the same bits. */
#include "base/quantity.h"
#include "base/random.h"
#include "base/words.h"
#include "check.h"

static int open_units(void **state)
{
    thaw_units *units = NULL;
    if (thaw_units_create(&units, NULL) != THAW_OK) {
        return -1;
    }
    *state = units;
    return 0;
}

static int close_units(void **state)
{
    thaw_units_destroy(*state);
    return 0;
}

static void units_people_write_are_known(void **state)
{
    static const struct {
        thaw_quantity kind;
        const char *text;
        double si;
    } cases[] = {
        {THAW_LENGTH, "120 cm", 1.2},
        {THAW_LENGTH, "120cm", 1.2},
        {THAW_LENGTH, "1.5 yd", 1.3716},
        {THAW_LENGTH, "18 in", 0.4572},
        {THAW_LENGTH, "2 ft", 0.6096},
        {THAW_LENGTH, "3 mm", 0.003},
        {THAW_LENGTH, "+1e2 cm", 1.0},
        {THAW_LENGTH, ".5 m", 0.5},
        {THAW_MASS, "250 g", 0.25},
        {THAW_MASS, "2 kg", 2.0},
        {THAW_MASS, "1 lb", 0.45359237},
        {THAW_MASS, "2 lbs", 0.90718474},
        {THAW_MASS, "16 oz", 0.45359237},
        {THAW_TIME, "24 h", 86400.0},
        {THAW_TIME, "90 min", 5400.0},
        {THAW_TIME, "2 days", 172800.0},
        {THAW_TEMPERATURE, "20 degC", 293.15},
        {THAW_TEMPERATURE, "20 °C", 293.15},
        {THAW_TEMPERATURE, "32 degF", 273.15},
        {THAW_TEMPERATURE, "212 °F", 373.15},
        {THAW_TEMPERATURE, "-5 degC", 268.15},
        {THAW_SPEED, "0.1 m/s", 0.1},
        {THAW_SPEED, "3.6 km/h", 1.0},
        {THAW_CONCENTRATION, "40 g/L", 40.0},
        {THAW_CONCENTRATION, "1 oz/fl oz", 958.6114},
        {THAW_AREAL_MASS, "8 momme", 0.03472},
        {THAW_AREAL_MASS, "250 g/m2", 0.25},
        {THAW_SHARE, "70 %", 0.7},
        {THAW_SHARE, "40 g/kg", 0.04},
    };
    char why[240];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double si = -1.0;
        if (!thaw_quantity_parse(*state, cases[i].kind, cases[i].text, &si, why, sizeof why)) {
            fail_msg("%s: %s", cases[i].text, why);
        }
        assert_close(si, cases[i].si, 1e-7 * fabs(cases[i].si));
    }
}

static void percent_is_exact(void **state)
{
    char why[240];
    double share = 0.0;
    assert_true(thaw_quantity_parse(*state, THAW_SHARE, "70 %", &share, why, sizeof why));
    assert_true(share == 0.7);
}

static void what_is_not_strictly_a_quantity_is_refused(void **state)
{
    static const struct {
        thaw_quantity kind;
        const char *text, *reason;
    } cases[] = {
        {THAW_LENGTH, "120", "no unit"},
        {THAW_LENGTH, "", "number"},
        {THAW_LENGTH, "cm", "number"},
        {THAW_LENGTH, "12 kg", "wrong kind"},
        {THAW_LENGTH, "12 cm 3", "not a unit"},
        {THAW_LENGTH, "12 cm @ 3", "not a unit"},
        {THAW_LENGTH, "12 cm x", "not a unit"},
        {THAW_LENGTH, "12 cm cm", "wrong kind"},
        {THAW_LENGTH, "1,2 m", "comma"},
        {THAW_LENGTH, "nan m", "finite"},
        {THAW_LENGTH, "NaN", "finite"},
        {THAW_LENGTH, "inf m", "finite"},
        {THAW_LENGTH, "-Infinity m", "finite"},
        {THAW_LENGTH, ".inf m", "finite"},
        {THAW_LENGTH, "1e999 m", "too large"},
        {THAW_LENGTH, "0x10 m", "not a unit"},
        {THAW_LENGTH, "1.2.3 m", "not a unit"},
        {THAW_LENGTH, "- 1 m", "number"},
        {THAW_LENGTH, "1 (m)", "not a unit"},
        {THAW_LENGTH, "1 2 m", "not a unit"},
        {THAW_MASS, "4 fl oz", "wrong kind"},
        {THAW_TEMPERATURE, "20 C", "wrong kind"},
        {THAW_TEMPERATURE, "20 degree", "wrong kind"},
        {THAW_SHARE, "30 degree", "wrong kind"},
        {THAW_SHARE, "0.5", "no unit"},
        {THAW_TIME, "1 h since 1990", "not a unit"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char why[240] = "";
        double si = 77.0;
        bool accepted =
            thaw_quantity_parse(*state, cases[i].kind, cases[i].text, &si, why, sizeof why);
        if (accepted || !strstr(why, cases[i].reason)) {
            fail_msg("`%s`: accepted %d, `%s` lacks `%s`", cases[i].text, accepted, why,
                     cases[i].reason);
        }
        assert_true(si == 77.0);
    }
}

static void a_unit_longer_than_any_is_refused(void **state)
{
    char text[600] = "1 ", why[240];
    double si = 0.0;
    for (int i = 0; i < 80; i++) {
        strcat(text, "oz ");
    }
    assert_false(thaw_quantity_parse(*state, THAW_MASS, text, &si, why, sizeof why));
}

static void printed_quantities_come_back_to_the_same_bits(void **state)
{
    char text[64], why[240];
    for (int kind = 0; kind < THAW_QUANTITY_KINDS; kind++) {
        for (uint64_t i = 0; i < 400; i++) {
            double u = thaw_random_uniform(5, THAW_STREAM_TEST, i);
            double si = i % 2 ? pow(10.0, 8.0 * u - 4.0) : floor(1000.0 * u) / 1000.0;
            double back = -1.0;
            thaw_quantity_print(*state, (thaw_quantity)kind, si, text, sizeof text);
            assert_true(
                thaw_quantity_parse(*state, (thaw_quantity)kind, text, &back, why, sizeof why));
            if (back != si) {
                fail_msg("%.17g printed as %s came back as %.17g", si, text, back);
            }
        }
    }
}

static void short_values_print_short(void **state)
{
    char text[64];
    thaw_quantity_print(*state, THAW_LENGTH, 1.2, text, sizeof text);
    assert_string_equal(text, "120 cm");
    thaw_quantity_print(*state, THAW_SHARE, 0.7, text, sizeof text);
    assert_string_equal(text, "70 %");
    thaw_quantity_print(*state, THAW_TEMPERATURE, 293.15, text, sizeof text);
    assert_string_equal(text, "20 degC");
    thaw_quantity_show(*state, THAW_LENGTH, 0.1 + 0.2, text, sizeof text);
    assert_string_equal(text, "30 cm");
}

static void distance_counts_single_steps(void **state)
{
    (void)state;
    assert_int_equal(thaw_words_distance("tide", "tide"), 0);
    assert_int_equal(thaw_words_distance("tide", "TIDE"), 0);
    assert_int_equal(thaw_words_distance("tide", "tied"), 1);
    assert_int_equal(thaw_words_distance("tide", "side"), 1);
    assert_int_equal(thaw_words_distance("tide", "tides"), 1);
    assert_int_equal(thaw_words_distance("", "tide"), 4);
    assert_int_equal(thaw_words_distance("kitten", "sitting"), 3);
}

static void the_nearest_word_is_found_or_none(void **state)
{
    (void)state;
    static const char *const known[] = {"cotton twill", "silk habotai", "turquoise"};
    assert_ptr_equal(thaw_words_nearest("turqiose", known, 3), known[2]);
    assert_ptr_equal(thaw_words_nearest("twill", known, 3), known[0]);
    assert_null(thaw_words_nearest("granite", known, 3));
    assert_null(thaw_words_nearest("", known, 3));
    assert_null(thaw_words_nearest("x", known, 0));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(units_people_write_are_known),
        cmocka_unit_test(percent_is_exact),
        cmocka_unit_test(what_is_not_strictly_a_quantity_is_refused),
        cmocka_unit_test(a_unit_longer_than_any_is_refused),
        cmocka_unit_test(printed_quantities_come_back_to_the_same_bits),
        cmocka_unit_test(short_values_print_short),
        cmocka_unit_test(distance_counts_single_steps),
        cmocka_unit_test(the_nearest_word_is_found_or_none),
    };
    return cmocka_run_group_tests(tests, open_units, close_units);
}
