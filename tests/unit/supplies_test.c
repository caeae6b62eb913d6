/* What to weigh out: figures by hand, the clock, packets, and times that are those of a preview. */
#define _POSIX_C_SOURCE 200809L

#include "setup_cloth.h"

#include <stdlib.h>
#include <unistd.h>

#include "base/alloc.h"
#include "base/random.h"
#include "data/workroom.h"
#include "study/drying.h"
#include "study/packets.h"
#include "study/shopping.h"
#include "thawprint/supplies.h"

/* ---- the clock ---- */

static void clocks_people_write_are_read(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        int day, minute;
    } cases[] = {{"Sat 09:00", 5, 540}, {"saturday 9 am", 5, 540},  {"Sun 12:05 am", 6, 5}, {"21:30", -1, 1290},
                 {"mon 0:00", 0, 0},    {"  Thu  7:15pm", 3, 1155}, {"12 pm", -1, 720},     {"Wednes 23:59", 2, 1439}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        thaw_clock clock = {0};
        thaw_error err = {0};
        assert_done(thaw_clock_read(cases[i].text, &clock, &err), &err);
        assert_true(clock.is_set);
        assert_int_equal(clock.day, cases[i].day);
        assert_int_equal(clock.minute, cases[i].minute);
    }
}

static void what_is_no_clock_is_refused_and_nothing_touched(void **state)
{
    (void)state;
    static const char *const texts[] = {"", "Sat", "noon", "Sat 24:00", "Sat 9", "Sat 09:60", "13 pm", "0 am", "Sa 09:00",
                                        "Sat 9:5", "Sat 09:00 today", "9:00:00", "-1:00", "Satu rday 9:00", "Sat 123:00"};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        thaw_clock clock = {.day = 77};
        thaw_error err = {0};
        assert_int_equal(thaw_clock_read(texts[i], &clock, &err), THAW_ERR_ARGUMENT);
        assert_int_equal(clock.day, 77);
        assert_non_null(strstr(err.text, "Sat 09:00"));
    }
    thaw_error err = {0};
    thaw_clock clock;
    thaw_clock_read("Satuday 9:00", &clock, &err);
    assert_non_null(strstr(err.text, "did you mean `Saturday`?"));
}

static void the_clock_goes_over_midnight_and_the_week(void **state)
{
    (void)state;
    const thaw_clock sunday = {true, 6, 22 * 60 + 30}, nameless = {true, -1, 22 * 60 + 30}, none = {0};
    char text[48];
    thaw_clock_write(&sunday, 2.0 * 3600.0, text, sizeof text);
    assert_string_equal(text, "Mon 00:30");
    thaw_clock_write(&sunday, 0.0, text, sizeof text);
    assert_string_equal(text, "Sun 22:30");
    thaw_clock_write(&nameless, 26.0 * 3600.0, text, sizeof text);
    assert_string_equal(text, "00:30 +2 d");
    thaw_clock_write(&none, 26.5 * 3600.0, text, sizeof text);
    assert_string_equal(text, "+26:30");
    thaw_clock_write(&sunday, NAN, text, sizeof text);
    assert_string_equal(text, "unknown");
}

/* ---- packets ---- */

static void packets_with_and_without_prices_are_read(void **state)
{
    (void)state;
    thaw_packet p[THAW_SUPPLIES_PACKETS];
    thaw_error err = {0};
    int n = 0;
    assert_done(thaw_packets_read("10 g, 25g = 6.90 ,1 oz=8", p, &n, &err), &err);
    assert_int_equal(n, 3);
    assert_close(p[0].mass_kg, 0.010, 1e-12);
    assert_true(isnan(p[0].price));
    assert_close(p[1].price, 6.90, 1e-12);
    assert_close(p[2].mass_kg, 0.028349523125, 1e-12);
}

static void bad_packets_are_refused_with_what_is_wrong(void **state)
{
    (void)state;
    static const struct {
        const char *text, *said;
    } cases[] = {{"", "sizes are wanted"},       {"10", "`10`"},           {"10 cm", "`10 cm`"},       {"10 g = cheap", "`cheap`"},
                 {"10 g = 3,20", "`20`"},        {"0 g", "1 g to 25 kg"},  {"10 g = -1", "`-1`"},      {"10 g,,25 g", "sizes are wanted"},
                 {"1g,2g,3g,4g,5g", "more than"}, {"10 g = 3.2.1", "3.2.1"}, {"nan g", "`nan g`"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        thaw_packet p[THAW_SUPPLIES_PACKETS];
        thaw_error err = {0};
        int n = 77;
        assert_int_equal(thaw_packets_read(cases[i].text, p, &n, &err), THAW_ERR_ARGUMENT);
        assert_int_equal(n, 77);
        if (!strstr(err.text, cases[i].said)) {
            print_error("%s: %s\n", cases[i].text, err.text);
            fail();
        }
    }
}

/* All ways with up to `most` packets of each size. */
static double best_by_trying(const thaw_packet *p, double need_kg, bool priced)
{
    double best = INFINITY;
    for (int a = 0; a <= 30; a++) {
        for (int b = 0; b <= 30; b++) {
            for (int c = 0; c <= 30; c++) {
                const double kg = a * p[0].mass_kg + b * p[1].mass_kg + c * p[2].mass_kg;
                const double cost = a * p[0].price + b * p[1].price + c * p[2].price;
                if (kg >= need_kg - 1e-9) {
                    best = fmin(best, priced ? cost : kg);
                }
            }
        }
    }
    return best;
}

static void no_choice_of_packets_is_better(void **state)
{
    (void)state;
    for (uint64_t t = 0; t < 60; t++) {
        double u[4], v[4];
        int count[THAW_SUPPLIES_PACKETS];
        thaw_error err = {0};
        thaw_random_uniform4(5, 900, t, u);
        thaw_random_uniform4(6, 900, t, v);
        const bool priced = t % 2 == 0;
        thaw_packet p[3];
        for (int i = 0; i < 3; i++) {
            p[i] = (thaw_packet){(5.0 + floor(40.0 * u[i])) * 1e-3, priced ? 1.0 + floor(100.0 * v[i]) / 10.0 : NAN};
        }
        const double need_kg = 1e-3 * (1.0 + floor(90.0 * u[3]));
        assert_done(thaw_packets_choose(p, 3, need_kg, count, &err), &err);
        double kg = 0.0, cost = 0.0;
        for (int i = 0; i < 3; i++) {
            kg += count[i] * p[i].mass_kg;
            cost += count[i] * p[i].price;
        }
        assert_true(kg >= need_kg - 1e-9);
        assert_close(priced ? cost : kg, best_by_trying(p, need_kg, priced), 1e-6);
    }
}

static void packets_of_everyday(void **state)
{
    (void)state;
    const thaw_packet p[] = {{0.010, NAN}, {0.025, NAN}};
    int count[THAW_SUPPLIES_PACKETS];
    thaw_error err = {0};
    assert_done(thaw_packets_choose(p, 2, 0.024, count, &err), &err); /* 1 g left beats 6 g */
    assert_int_equal(count[0], 0);
    assert_int_equal(count[1], 1);
    assert_done(thaw_packets_choose(p, 2, 0.033, count, &err), &err);
    assert_int_equal(count[0], 1);
    assert_int_equal(count[1], 1);
    assert_done(thaw_packets_choose(p, 2, 0.050, count, &err), &err); /* two packets, not five */
    assert_int_equal(count[1], 2);
    assert_done(thaw_packets_choose(p, 2, 0.0, count, &err), &err);
    assert_int_equal(count[0] + count[1], 0);
    assert_int_equal(thaw_packets_choose(p, 2, 1e9, count, &err), THAW_ERR_ARGUMENT);
}

/* ---- what is weighed ---- */

static thaw_supplies_figures list_of(thaw_scenario *scenario)
{
    thaw_error err = {0};
    thaw_ice_cover cover;
    thaw_supplies_figures f = {.n_packets = 1, .packets = {{0.010, 2.50}}};
    assert_done(thaw_ice_cover_find(&scenario->spec, &cover, &err), &err);
    assert_done(thaw_shopping_fill(scenario, &cover, &f, &err), &err);
    return f;
}

/* 50 cm of twill at 250 g/m2 is 62.5 g; 110 % of it is water. */
static void the_list_is_what_a_hand_computes(void **state)
{
    (void)state;
    thaw_scenario *scenario = setup_cloth(0.5, 0.8, 0.0015);
    scenario->spec.soda_kg_m3 = 40.0;
    scenario->spec.ice[1] = ice_zone("cubes", 0.4);
    scenario->spec.n_ice = 2;
    const thaw_supplies_figures f = list_of(scenario);
    assert_close(f.cloth_kg, 0.0625, 1e-12);
    assert_close(f.bath_m3, 0.0005, 1e-12);          /* 8 L/kg x 0.0625 kg = 0.5 L; twice 0.06875 L is less */
    assert_close(f.soda_kg, 0.020, 1e-12);           /* 40 g/L x 0.5 L */
    assert_close(f.soda_mol_m3, 40.0 / 0.1059876, 0.1); /* 2 x 22.98977 + 12.011 + 3 x 15.999 = 105.988 g/mol */
    assert_close(f.wrung_kg, 0.0625 * 2.1, 1e-12);
    assert_close(f.taken_soda_kg, 0.00275, 1e-12);   /* 68.75 mL x 40 g/L */
    assert_close(f.on_weight, 0.024, 1e-12);         /* 1.5 g on 62.5 g */
    assert_close(f.capacity_kg, 0.045 * 0.0625, 1e-12);
    assert_int_equal(f.n_colours, 1);
    assert_close(f.colours[0].spoons_low, 0.375, 1e-12); /* 4 g and 2 g to the spoon */
    assert_close(f.colours[0].spoons_high, 0.75, 1e-12);
    assert_int_equal(f.colours[0].packets[0], 1);
    assert_close(f.colours[0].left_kg, 0.0085, 1e-12);
    assert_close(f.cost, 2.50, 1e-12);
    assert_false(f.is_pale || f.is_heavy || f.is_too_much);
    assert_true(isnan(f.instead_kg));
    assert_int_equal(f.n_ices, 2);
    assert_close(f.ices[0].heap_m3, 0.8 / (0.55 * 916.72), 1e-9); /* 1.587 L at 504 kg/m3 */
    assert_close(f.ices[1].heap_m3, 0.4 / (0.57 * 916.72), 1e-9); /* 0.766 L at 523 kg/m3 */
    assert_close(f.ice_kg, 1.2, 1e-12);
    thaw_scenario_destroy(scenario);
}

/* The practice table: one cup to the US gallon is 31 to 69 g/L, the soak 15 to 30 minutes. */
static void a_cup_to_the_gallon_is_what_practice_says(void **state)
{
    (void)state;
    assert_close(THAW_SODA_BULK_LOW_KG_M3 * THAW_CUP_M3 / THAW_GALLON_M3, 31.0, 0.5);
    assert_close(THAW_SODA_BULK_HIGH_KG_M3 * THAW_CUP_M3 / THAW_GALLON_M3, 69.0, 0.5);
    thaw_scenario *scenario = setup_cloth(0.5, 0.8, 0.0015);
    scenario->spec.soda_kg_m3 = 31.25;
    assert_close(list_of(scenario).cups_high, 1.0, 1e-3);
    scenario->spec.soda_kg_m3 = 68.75;
    assert_close(list_of(scenario).cups_low, 1.0, 1e-3);
    assert_close(list_of(scenario).soak_least_s, 15.0 * 60.0, 1e-9);
    assert_close(list_of(scenario).soak_most_s, 30.0 * 60.0, 1e-9);
    thaw_scenario_destroy(scenario);
}

static void much_ice_covers_and_little_does_not(void **state)
{
    (void)state;
    thaw_scenario *much = setup_cloth(0.3, 2.0, 0.001), *little = setup_cloth(0.3, 0.02, 0.001);
    const thaw_supplies_figures many = list_of(much), few = list_of(little);
    assert_true(many.ice_covers > 0.95 && many.ice_covers <= 1.0 + 1e-9);
    assert_true(few.ice_covers > 0.0 && few.ice_covers < 0.3);
    assert_close(many.ice_area_m2, 0.045, 0.012); /* half of 0.09 m2, scrunched */
    /* A depth instead of a mass comes to the mass of that heap. */
    much->spec.ice[0].depth_m = 0.03;
    const thaw_supplies_figures deep = list_of(much);
    assert_close(deep.ice_heap_m3, 0.03 * deep.ice_area_m2, 0.1 * deep.ice_heap_m3);
    thaw_scenario_destroy(much);
    thaw_scenario_destroy(little);
}

static void a_mixture_is_weighed_from_its_parts(void **state)
{
    (void)state;
    static const char text[] = "cloth: { kind: silk habotai, width: 40 cm, length: 40 cm }\nice: none\n"
                               "dye:\n  - { colour: { navy: 2, violet: 1 }, mass: 3 g }\n  - { colour: navy, mass: 1 g }\n";
    thaw_scenario *scenario = NULL;
    thaw_error err = {0};
    assert_done(thaw_scenario_parse(text, strlen(text), "m.yaml", 0.0, &scenario, &err), &err);
    const thaw_supplies_figures f = list_of(scenario);
    assert_int_equal(f.n_colours, 2);
    assert_string_equal(f.colours[0].name, "navy");
    assert_close(f.colours[0].mass_kg, 0.003, 1e-12);
    assert_string_equal(f.colours[1].name, "violet");
    assert_close(f.colours[1].mass_kg, 0.001, 1e-12);
    assert_true(f.is_too_much);                       /* 4 g on 5.6 g of silk */
    assert_close(f.instead_kg, 0.04 * f.cloth_kg, 1e-12);
    assert_close(f.soda_most_s, 6.0 * 3600.0, 1e-9);
    thaw_scenario_destroy(scenario);
}

static void damper_air_dries_more_slowly_and_full_air_never(void **state)
{
    (void)state;
    thaw_scenario *scenario = setup_cloth(0.3, 1.0, 0.001);
    double before_s = 0.0;
    for (int i = 2; i <= 8; i += 2) {
        scenario->spec.humidity = 0.1 * i;
        const thaw_drying d = thaw_drying_find(&scenario->spec);
        assert_true(d.usual_s > before_s && d.low_s < d.usual_s && d.usual_s < d.high_s);
        before_s = d.usual_s;
    }
    scenario->spec.humidity = 1.0;
    assert_true(isinf(thaw_drying_find(&scenario->spec).usual_s));
    thaw_scenario_destroy(scenario);
}

/* ---- times ---- */

static void remove_folder(const char *dir)
{
    char command[200];
    snprintf(command, sizeof command, "rm -rf '%s'", dir);
    assert_int_equal(system(command), 0);
}

static thaw_chance_number number_of(const thaw_chances *set, const char *key)
{
    const thaw_chances_figures *f = thaw_chances_get_figures(set);
    for (int i = 0; i < f->n_numbers; i++) {
        if (strcmp(f->numbers[i].key, key) == 0) {
            return f->numbers[i];
        }
    }
    fail();
    return f->numbers[0];
}

static void times_are_those_of_a_preview_with_as_many_chances(void **state)
{
    (void)state;
    char one[] = "/tmp/thawprint-test-XXXXXX", two[] = "/tmp/thawprint-test-XXXXXX";
    thaw_error err = {0};
    thaw_chances *set = NULL;
    thaw_supplies *supplies = NULL;
    thaw_scenario *scenario = setup_cloth(0.12, 0.1, 0.3e-3);
    int n_run = 0;
    assert_non_null(mkdtemp(one));
    assert_non_null(mkdtemp(two));
    const thaw_chances_options chances = {.n = 4, .threads = 2};
    const thaw_supplies_options asked = {.chances = 4, .threads = 1, .dir = two};
    assert_done(thaw_chances_run(scenario, &chances, one, &n_run, &err), &err);
    assert_done(thaw_chances_gather(scenario, &chances, one, &set, &err), &err);
    assert_done(thaw_supplies_run(scenario, &asked, &supplies, &err), &err);
    const thaw_supplies_figures *f = thaw_supplies_get_figures(supplies);
    const thaw_chance_number gone = number_of(set, "melt_all_h"), ready = number_of(set, "ready_h");
    assert_close(f->ice_gone.p10, 3600.0 * gone.p10, 1e-6);
    assert_close(f->ice_gone.p50, 3600.0 * gone.p50, 1e-6);
    assert_close(f->ice_gone.p90, 3600.0 * gone.p90, 1e-6);
    assert_close(f->ready.p10, 3600.0 * ready.p10, 1e-6);
    assert_close(f->ready.p90, 3600.0 * ready.p90, 1e-6);
    assert_true(f->ice_gone.p10 > 0.0 && f->ice_gone.p10 < f->ice_gone.p90);
    assert_true(f->rinse_s >= f->ice_gone.p90 && f->rinse_s >= f->ready.p50 && f->rinse_safe_s >= f->rinse_s);
    assert_true(f->colder_ice_gone_s > f->ice_gone.p50 && f->colder_ready_s > f->ready.p50);
    assert_close(f->fixed_kg + f->washed_kg, 0.3e-3, 1e-9);
    assert_true(f->half_fixed > 0.3 && f->half_fixed < 1.01);
    assert_int_equal(f->n_members, 4);
    assert_done(thaw_supplies_write(supplies, scenario, two, &err), &err);
    thaw_supplies_destroy(supplies);
    thaw_chances_destroy(set);
    thaw_scenario_destroy(scenario);
    remove_folder(one);
    remove_folder(two);
}

static void without_chances_times_are_those_of_the_preview(void **state)
{
    (void)state;
    thaw_error err = {0};
    thaw_supplies *supplies = NULL;
    thaw_preview *preview = NULL;
    thaw_scenario *scenario = setup_cloth(0.12, 0.1, 0.3e-3);
    const thaw_supplies_options asked = {.threads = 2};
    const thaw_preview_options usual = {.threads = 1};
    assert_done(thaw_supplies_run(scenario, &asked, &supplies, &err), &err);
    assert_done(thaw_preview_run(scenario, &usual, &preview, &err), &err);
    const thaw_supplies_figures *f = thaw_supplies_get_figures(supplies);
    const thaw_preview_figures *p = thaw_preview_get_figures(preview);
    assert_true(f->ice_gone.p50 == p->melt_all_s && f->ice_gone.p90 == p->melt_all_range_s[1]);
    assert_true(f->ready.p10 == p->ready_range_s[0] && f->ready.p50 == p->ready_s);
    assert_int_equal(f->n_members, p->n_members);
    thaw_supplies_destroy(supplies);
    thaw_preview_destroy(preview);
    thaw_scenario_destroy(scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(clocks_people_write_are_read),
        cmocka_unit_test(what_is_no_clock_is_refused_and_nothing_touched),
        cmocka_unit_test(the_clock_goes_over_midnight_and_the_week),
        cmocka_unit_test(packets_with_and_without_prices_are_read),
        cmocka_unit_test(bad_packets_are_refused_with_what_is_wrong),
        cmocka_unit_test(no_choice_of_packets_is_better),
        cmocka_unit_test(packets_of_everyday),
        cmocka_unit_test(the_list_is_what_a_hand_computes),
        cmocka_unit_test(a_cup_to_the_gallon_is_what_practice_says),
        cmocka_unit_test(much_ice_covers_and_little_does_not),
        cmocka_unit_test(a_mixture_is_weighed_from_its_parts),
        cmocka_unit_test(damper_air_dries_more_slowly_and_full_air_never),
        cmocka_unit_test(without_chances_times_are_those_of_the_preview),
        cmocka_unit_test(times_are_those_of_a_preview_with_as_many_chances),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
