/* The doubt on the headline numbers: grows with what is not known, and is what the heat balance makes of it. */
#include "check.h"

#include "data/water.h"
#include "study/doubt.h"

static thaw_specification room(double celsius, double draught_m_s)
{
    return (thaw_specification){.room_k = celsius + 273.15, .humidity = 0.5, .draught_m_s = draught_m_s};
}

static thaw_doubt doubt(double celsius, double draught_m_s)
{
    const thaw_specification spec = room(celsius, draught_m_s);
    return thaw_doubt_of(&spec, 0.4, 2.6);
}

/* Two kelvin are a tenth of what drives the melt at 20 C and more than a quarter at 7 C. */
static void a_cool_room_makes_the_melt_time_less_sure(void **state)
{
    (void)state;
    const thaw_doubt warm = doubt(20.0, 0.1), cool = doubt(7.0, 0.1);
    print_message("  melt time times or over %.2f at 20 C, %.2f at 7 C\n", warm.melt, cool.melt);
    assert_true(warm.melt > 1.15 && warm.melt < 1.6);
    assert_true(cool.melt > 1.05 * warm.melt);
}

/* Rates within 1.5, and 84 kJ/mol over +-2 K at 20 C: a factor 1.27; together 1.60. */
static void the_cure_is_as_unsure_as_rates_and_warmth(void **state)
{
    (void)state;
    assert_close(doubt(20.0, 0.1).cure, exp(hypot(log(1.5), 84000.0 / 8.314462618 * 2.0 / (293.15 * 293.15))), 1e-9);
    assert_close(doubt(20.0, 0.1).cure, 1.60, 0.01);
}

static void every_factor_is_at_least_one_in_any_room(void **state)
{
    (void)state;
    for (double t = 1.0; t < 40.0; t += 3.0) {
        for (double draught = 0.0; draught < 4.0; draught += 0.5) {
            const thaw_doubt d = doubt(t, draught);
            assert_true(d.melt > 1.0 && d.melt < 10.0);
            assert_true(d.cure > 1.0 && d.fixed > 1.0);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_cool_room_makes_the_melt_time_less_sure),
        cmocka_unit_test(the_cure_is_as_unsure_as_rates_and_warmth),
        cmocka_unit_test(every_factor_is_at_least_one_in_any_room),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
