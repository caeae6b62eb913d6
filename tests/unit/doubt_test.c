/* What differs between the members of a set, and the ranges that come of it. */
#include "check.h"

#include "base/alloc.h"
#include "data/cloths.h"
#include "study/doubt.h"
#include "study/unknowns.h"

#define MEMBERS 8

static const thaw_cloth_kind cloth = {.name = "test cloth", .conductivity_m_s = 2e-4, .entry_head_m = 0.04,
                                      .bound_kg_kg = 0.3, .colour_yield = 1.0};

static thaw_specification work_of(uint64_t seed)
{
    return (thaw_specification){.cloth = &cloth, .room_k = 293.15, .humidity = 0.5, .draught_m_s = 0.1,
                                .pickup_kg_kg = 1.0, .n_ice = 1, .ice = {{.diameter_m = 0.03}}, .n_dye = 1,
                                .dye = {{.mass_kg = 0.005}}, .seed = seed};
}

/* Standard normal scores of the conductivity of each member: its P90 is a factor 2. */
static void scores(uint64_t seed, double *z)
{
    const thaw_specification spec = work_of(seed);
    for (int m = 0; m < MEMBERS; m++) {
        thaw_variation v;
        thaw_unknowns_vary(&spec, m, MEMBERS, false, &v);
        z[m] = log(v.spec.cloth->conductivity_m_s / cloth.conductivity_m_s) / log(2.0) * 1.2815515655446;
    }
}

/* A Latin hypercube: each eighth of the spread holds one member. Phi = erfc(-z / sqrt 2) / 2. */
static void every_part_of_an_input_s_spread_has_one_member(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed < 20; seed++) {
        double z[MEMBERS];
        int held[MEMBERS] = {0};
        scores(seed, z);
        for (int m = 0; m < MEMBERS; m++) {
            const int part = (int)(0.5 * erfc(-z[m] * sqrt(0.5)) * MEMBERS);
            assert_in_range(part, 0, MEMBERS - 1);
            held[part]++;
        }
        for (int part = 0; part < MEMBERS; part++) {
            assert_int_equal(held[part], 1);
        }
    }
}

/* Inputs must not rise and fall together: over 200 sets two of them correlate within three standard errors. */
static void inputs_are_independent_of_each_other(void **state)
{
    (void)state;
    double sum = 0.0, squares = 0.0;
    const int n_sets = 200;
    for (int s = 0; s < n_sets; s++) {
        const thaw_specification spec = work_of(1000u + (uint64_t)s);
        double product = 0.0;
        for (int m = 0; m < MEMBERS; m++) {
            thaw_variation v;
            thaw_unknowns_vary(&spec, m, MEMBERS, false, &v);
            product += log(v.cloth.conductivity_m_s / cloth.conductivity_m_s) * (v.spec.room_k - spec.room_k);
        }
        sum += product;
        squares += product * product;
    }
    assert_at_most(fabs(sum) / sqrt(squares), 3.0);
}

/* A cloth at the limits of what a file may say, as unsure as a file may say. */
static void members_have_cloths_that_a_file_may_have(void **state)
{
    (void)state;
    const thaw_figure_row *speed = thaw_cloth_row(THAW_CLOTH_CONDUCTIVITY), *head = thaw_cloth_row(THAW_CLOTH_ENTRY_HEAD);
    thaw_cloth_kind net = cloth;
    thaw_specification spec = work_of(3);
    int n_at = 0;
    net.lambda = 2.0;
    net.conductivity_spread = 100.0;
    net.entry_low = 0.01;
    net.entry_high = 100.0;
    spec.cloth = &net;
    for (int m = 0; m < MEMBERS; m++) {
        thaw_variation v;
        thaw_unknowns_vary(&spec, m, MEMBERS, false, &v);
        assert_true(v.cloth.conductivity_m_s >= speed->lowest && v.cloth.conductivity_m_s <= speed->highest);
        assert_true(v.cloth.entry_head_m >= 0.005 * net.lambda && v.cloth.entry_head_m <= head->highest);
        n_at += v.cloth.entry_head_m == 0.005 * net.lambda || v.cloth.entry_head_m == head->highest;
    }
    assert_true(n_at > 0 && n_at < MEMBERS); /* some had to be held, others not */
}

static void members_have_seeds_and_luck_of_their_own(void **state)
{
    (void)state;
    const thaw_specification spec = work_of(7);
    uint64_t seeds[MEMBERS];
    for (int m = 0; m < MEMBERS; m++) {
        thaw_variation v;
        thaw_unknowns_vary(&spec, m, MEMBERS, false, &v);
        seeds[m] = v.spec.seed;
        assert_true(seeds[m] != spec.seed);
        for (int other = 0; other < m; other++) {
            assert_true(seeds[m] != seeds[other]);
        }
        assert_true(v.spec.humidity >= 0.0 && v.spec.humidity <= 1.0);
        assert_true(v.spec.pickup_kg_kg >= cloth.bound_kg_kg);
        assert_ptr_equal(v.spec.cloth, &v.cloth);
    }
}

/* Student's t of 7 degrees of freedom at 90 % is 1.415 (any handbook). Members at +-s alternately have the
 * standard deviation s sqrt(8/7). */
static void a_range_is_student_s_t_times_the_spread(void **state)
{
    (void)state;
    double members[MEMBERS], range[2];
    for (int m = 0; m < MEMBERS; m++) {
        members[m] = 10.0 * exp(m % 2 ? 0.2 : -0.2);
    }
    thaw_doubt_range(30.0, members, MEMBERS, THAW_SPREAD_RATIO, range);
    const double half = 1.4149239276488585 * 0.2 * sqrt(8.0 / 7.0);
    assert_close(range[0], 30.0 * exp(-half), 1e-9);
    assert_close(range[1], 30.0 * exp(half), 1e-9);
}

static void ranges_of_shares_stay_shares(void **state)
{
    (void)state;
    const double members[MEMBERS] = {0.0, 0.9, 0.1, 0.99, 0.5, 0.02, 0.7, 1.0};
    for (double middle = 0.0; middle <= 1.0; middle += 0.25) {
        double range[2];
        thaw_doubt_range(middle, members, MEMBERS, THAW_SPREAD_ODDS, range);
        assert_true(range[0] >= 0.0 && range[0] <= middle && middle <= range[1] && range[1] <= 1.0);
    }
}

static void what_a_member_did_not_reach_leaves_the_range_open(void **state)
{
    (void)state;
    const double members[MEMBERS] = {3.0, 4.0, 5.0, 4.0, INFINITY, 3.5, NAN, 4.5};
    const double few[MEMBERS] = {3.0, 4.0, 5.0, NAN, NAN, NAN, NAN, NAN};
    double range[2];
    thaw_doubt_range(4.0, members, MEMBERS, THAW_SPREAD_RATIO, range);
    assert_true(range[0] > 2.0 && range[0] < 4.0);
    assert_true(isinf(range[1]));
    thaw_doubt_range(4.0, few, MEMBERS, THAW_SPREAD_RATIO, range);
    assert_true(isnan(range[0]) && isnan(range[1]));
    thaw_doubt_range(NAN, members, MEMBERS, THAW_SPREAD_RATIO, range);
    assert_true(isnan(range[0]) && isnan(range[1]));
}

static bool stands_in(const char *line, FILE *page)
{
    char read[256];
    rewind(page);
    while (fgets(read, sizeof read, page)) {
        if (!strcmp(read, line)) {
            return true;
        }
    }
    return false;
}

static void the_table_of_inputs_is_sound_and_stands_in_the_docs(void **state)
{
    (void)state;
    FILE *page = fopen(THAW_SOURCE_DIR "/docs/figures.md", "r");
    assert_non_null(page);
    for (int i = 0; i < thaw_unknowns_count(); i++) {
        const char *name;
        double p90;
        bool is_factor;
        thaw_unknowns_at(i, &name, &p90, &is_factor);
        assert_non_null(name);
        assert_true(p90 > (is_factor ? 1.0 : 0.0));
        char line[256];
        snprintf(line, sizeof line, "| %s | %s %g |\n", name, is_factor ? "x" : "+", p90);
        if (!stands_in(line, page)) {
            print_error("not in docs/figures.md: %s", line);
            fail();
        }
    }
    fclose(page);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_part_of_an_input_s_spread_has_one_member),
        cmocka_unit_test(inputs_are_independent_of_each_other),
        cmocka_unit_test(members_have_cloths_that_a_file_may_have),
        cmocka_unit_test(members_have_seeds_and_luck_of_their_own),
        cmocka_unit_test(a_range_is_student_s_t_times_the_spread),
        cmocka_unit_test(ranges_of_shares_stay_shares),
        cmocka_unit_test(what_a_member_did_not_reach_leaves_the_range_open),
        cmocka_unit_test(the_table_of_inputs_is_sound_and_stands_in_the_docs),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
