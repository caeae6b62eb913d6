/* Sets of runs by synthetic members: files, the typical one, maps, quantiles, and which differences are clear. */
#include "check.h"

#include "base/alloc.h"
#include "output/member_file.h"
#include "study/chance.h"
#include "study/paired.h"

#define NX 30
#define NY 20

static const thaw_colour red = {.name = "red"}, blue = {.name = "blue"};

static thaw_specification two_colours(void)
{
    return (thaw_specification){.n_dye = 3, .dye = {{.colour = &red}, {.colour = &blue}, {.colour = &red}}};
}

/* A member of one grey; `lead` everywhere but in the first row, which is white. */
static thaw_member plain_member(uint8_t grey, uint8_t lead, double number)
{
    thaw_member m = {.came_through = true, .n_numbers = thaw_headline_count(), .nx = NX, .ny = NY, .cell_m = 0.004};
    m.rgb = thaw_allocate(3 * NX * NY, 1, NULL);
    m.lead = thaw_allocate(NX * NY, 1, NULL);
    memset(m.rgb, grey, 3 * NX * NY);
    memset(m.lead, lead, NX * NY);
    memset(m.lead, THAW_LEAD_WHITE, NX);
    for (int h = 0; h < m.n_numbers; h++) {
        m.numbers[h] = number + h;
    }
    return m;
}

static void a_member_survives_its_file(void **state)
{
    (void)state;
    thaw_member m = plain_member(77, 1, 0.1), back = {0};
    m.numbers[0] = INFINITY;
    m.numbers[1] = NAN;
    m.numbers[2] = 1.0 / 3.0;
    const thaw_member_place place = {"abc-all", 3, 12};
    char *bytes = NULL;
    size_t n = 0;
    assert_int_equal(thaw_member_encode(&m, &place, &bytes, &n, NULL), THAW_OK);
    assert_int_equal(thaw_member_decode(bytes, n, &place, &back, NULL), THAW_OK);
    assert_true(isinf(back.numbers[0]) && isnan(back.numbers[1]) && back.numbers[2] == 1.0 / 3.0);
    assert_int_equal(back.nx, NX);
    assert_int_equal(back.ny, NY);
    assert_true(back.cell_m == 0.004 && back.came_through);
    assert_memory_equal(back.rgb, m.rgb, 3 * NX * NY);
    assert_memory_equal(back.lead, m.lead, NX * NY);
    thaw_member_release(&back);
    thaw_member_release(&m);
    thaw_release(bytes);
}

static void a_file_cut_short_or_of_another_set_is_not_taken(void **state)
{
    (void)state;
    thaw_member m = plain_member(77, 1, 0.1), back = {.nx = 5};
    const thaw_member_place place = {"abc-all", 3, 12};
    const thaw_member_place others[] = {{"abd-all", 3, 12}, {"abc-all", 4, 12}, {"abc-all", 3, 13}};
    char *bytes = NULL;
    size_t n = 0;
    assert_int_equal(thaw_member_encode(&m, &place, &bytes, &n, NULL), THAW_OK);
    for (size_t i = 0; i < 3; i++) {
        assert_int_equal(thaw_member_decode(bytes, n, &others[i], &back, NULL), THAW_ERR_FILE);
    }
    char *cut = thaw_allocate(n + 1, 1, NULL);
    for (size_t length = 0; length < n; length += 1 + length / 30) {
        memset(cut, 0, n + 1);
        memcpy(cut, bytes, length);
        assert_int_equal(thaw_member_decode(cut, length, &place, &back, NULL), THAW_ERR_FILE);
        assert_int_equal(back.nx, 5);
        assert_null(back.rgb);
    }
    thaw_release(cut);
    thaw_member_release(&m);
    thaw_release(bytes);
}

static void a_file_with_a_changed_byte_is_not_taken(void **state)
{
    (void)state;
    thaw_member m = plain_member(77, 1, 0.1), back = {.nx = 5};
    const thaw_member_place place = {"abc-all", 3, 12};
    char *bytes = NULL;
    size_t n = 0;
    assert_int_equal(thaw_member_encode(&m, &place, &bytes, &n, NULL), THAW_OK);
    for (size_t i = 0; i < n; i++) {
        for (int bit = 0; bit < 8; bit++) {
            bytes[i] = (char)(bytes[i] ^ (1 << bit));
            assert_int_equal(thaw_member_decode(bytes, n, &place, &back, NULL), THAW_ERR_FILE);
            bytes[i] = (char)(bytes[i] ^ (1 << bit));
        }
    }
    assert_int_equal(back.nx, 5);
    thaw_member_release(&m);
    thaw_release(bytes);
}

static void members_of_different_cloths_are_not_joined(void **state)
{
    (void)state;
    thaw_error err = {0};
    thaw_specification spec = {0};
    thaw_set_summary s;
    thaw_member members[2] = {plain_member(9, 0, 1.0), plain_member(8, 0, 2.0)};
    members[0].nx--;
    assert_int_equal(thaw_set_summarise(&spec, members, 2, &s, &err), THAW_ERR_FILE);
    thaw_member_release(&members[0]);
    thaw_member_release(&members[1]);
}

static void the_typical_member_is_the_one_nearest_to_all(void **state)
{
    (void)state;
    const thaw_specification spec = two_colours();
    const uint8_t greys[] = {40, 250, 120, 110, 100, 10};
    thaw_member members[7];
    for (int m = 0; m < 6; m++) {
        members[m] = plain_member(greys[m], (uint8_t)(m % 2), m);
    }
    members[6] = (thaw_member){.n_numbers = thaw_headline_count()}; /* did not come through */
    thaw_set_summary s;
    thaw_error err = {0};
    assert_int_equal(thaw_set_summarise(&spec, members, 7, &s, &err), THAW_OK);
    assert_int_equal(s.n_came_through, 6);
    assert_true(s.typical == 4 || s.typical == 3); /* the middle of the greys in L* */
    assert_int_equal(s.n_others, 5);
    assert_int_equal(s.others[4], 1); /* the farthest */
    assert_int_equal(s.n_colours, 2);
    for (int k = 0; k < NX * NY; k++) {
        assert_close((double)s.white[k], k < NX ? 1.0 : 0.0, 1e-6);
        assert_close((double)s.lead[0][k], k < NX ? 0.0 : 0.5, 1e-6);
        assert_close((double)s.lead[1][k], k < NX ? 0.0 : 0.5, 1e-6);
    }
    assert_close(s.quantiles[2][1], 2.0 + 2.5, 1e-12); /* median of 0 .. 5, and 2 for the headline */
    thaw_set_summary_release(&s);
    for (int m = 0; m < 6; m++) {
        thaw_member_release(&members[m]);
    }
}

static void one_member_is_no_set(void **state)
{
    (void)state;
    const thaw_specification spec = two_colours();
    thaw_member members[3] = {{0}, plain_member(9, 0, 1.0), {0}};
    thaw_set_summary s = {.typical = 9};
    thaw_error err = {0};
    assert_int_equal(thaw_set_summarise(&spec, members, 3, &s, &err), THAW_ERR_UNPHYSICAL);
    assert_int_equal(s.typical, 9);
    thaw_member_release(&members[1]);
}

static void quantiles_pass_over_what_is_not_known(void **state)
{
    (void)state;
    double values[] = {3.0, NAN, 1.0, INFINITY, 2.0}, none[] = {NAN, NAN};
    assert_close(thaw_quantile(values, 5, 0.0), 1.0, 0.0);
    double again[] = {3.0, NAN, 1.0, INFINITY, 2.0};
    assert_close(thaw_quantile(again, 5, 0.5), 2.5, 1e-15);
    double last[] = {3.0, NAN, 1.0, INFINITY, 2.0};
    assert_true(isinf(thaw_quantile(last, 5, 0.9)));
    assert_true(isnan(thaw_quantile(none, 2, 0.5)));
}

/* Step-down by hand at 5 %: .005 x 4 and .01 x 3 hold, .03 x 2 does not, nor does what comes after. */
static void a_quantile_among_infinite_times_is_infinite(void **state)
{
    (void)state;
    double all[4] = {INFINITY, INFINITY, INFINITY, INFINITY}, half[4] = {INFINITY, 3.0, 2.0, INFINITY};
    assert_true(isinf(thaw_quantile(all, 4, 0.5)));
    assert_true(isinf(thaw_quantile(half, 4, 0.5)));
    assert_close(thaw_quantile(half, 4, 0.1), 2.3, 1e-12);
}

static void holm_stops_at_the_first_that_is_not_clear(void **state)
{
    (void)state;
    const double p[] = {0.01, 0.04, 0.03, 0.005};
    const bool clear[] = {true, false, false, true};
    thaw_paired all[4];
    for (int i = 0; i < 4; i++) {
        all[i] = (thaw_paired){.p = p[i]};
    }
    thaw_paired_judge(all, 4);
    for (int i = 0; i < 4; i++) {
        assert_int_equal(all[i].is_clear, clear[i]);
    }
}

/* Differences 1, 2, 3: mean 2, standard error 1 / sqrt 3, t = 3.4641 with 2 degrees; P = 1 - t / sqrt(t^2 + 2),
 * the closed form for 2 degrees. */
static void a_paired_test_by_hand(void **state)
{
    (void)state;
    const double a[] = {10.0, 20.0, 30.0, NAN}, b[] = {11.0, 22.0, 33.0, 5.0};
    double scratch[4];
    const thaw_paired r = thaw_paired_find(a, b, 4, THAW_SPREAD_PLAIN, scratch);
    const double t = 2.0 * sqrt(3.0);
    assert_int_equal(r.n, 3);
    assert_close(r.mean, 2.0, 1e-14);
    assert_close(r.difference, 2.0, 1e-14);
    assert_close(r.p, 1.0 - t / sqrt(t * t + 2.0), 1e-12);
    assert_close(r.high - r.low, 2.0 * 4.302652729696 / sqrt(3.0), 1e-6); /* t of 2 degrees at 97.5 %: any handbook */
}

/* Sign test by hand: of 8 coins none heads, 2 / 256; of 8 three, 2 (1 + 8 + 28 + 56) / 256. */
static void times_beyond_the_rinse_count_by_their_sign(void **state)
{
    (void)state;
    const double never = INFINITY;
    const double a[9] = {10, 11, 12, 13, 14, 15, 16, 17, never};
    const double longer[9] = {11, 12, never, never, 15, never, 17, never, never};
    const double mixed[9] = {9, 10, 11, never, never, never, never, never, never};
    double scratch[9];
    const thaw_paired all = thaw_paired_find(a, longer, 9, THAW_SPREAD_RATIO, scratch);
    assert_int_equal(all.n, 8);
    assert_close(all.p, 2.0 / 256.0, 1e-12);
    assert_true(all.difference > 0.0);
    const thaw_paired some = thaw_paired_find(a, mixed, 9, THAW_SPREAD_RATIO, scratch);
    assert_close(some.p, 2.0 * 93.0 / 256.0, 1e-12);
    assert_true(some.difference > 0.0 && isinf(some.difference));
    const thaw_paired back = thaw_paired_find(longer, a, 9, THAW_SPREAD_RATIO, scratch);
    assert_close(back.p, all.p, 1e-12);
    assert_true(back.difference < 0.0);
}

static void no_difference_at_all_is_not_clear_and_a_constant_one_is(void **state)
{
    (void)state;
    const double a[] = {1.0, 2.0, 4.0}, b[] = {2.0, 4.0, 8.0};
    double scratch[3];
    assert_true(thaw_paired_find(a, a, 3, THAW_SPREAD_RATIO, scratch).p == 1.0);
    thaw_paired r = thaw_paired_find(a, b, 3, THAW_SPREAD_RATIO, scratch);
    thaw_paired_judge(&r, 1);
    assert_true(r.is_clear);
    assert_close(r.mean, log(2.0), 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_member_survives_its_file),
        cmocka_unit_test(a_file_cut_short_or_of_another_set_is_not_taken),
        cmocka_unit_test(a_file_with_a_changed_byte_is_not_taken),
        cmocka_unit_test(members_of_different_cloths_are_not_joined),
        cmocka_unit_test(the_typical_member_is_the_one_nearest_to_all),
        cmocka_unit_test(one_member_is_no_set),
        cmocka_unit_test(quantiles_pass_over_what_is_not_known),
        cmocka_unit_test(a_quantile_among_infinite_times_is_infinite),
        cmocka_unit_test(holm_stops_at_the_first_that_is_not_clear),
        cmocka_unit_test(a_paired_test_by_hand),
        cmocka_unit_test(times_beyond_the_rinse_count_by_their_sign),
        cmocka_unit_test(no_difference_at_all_is_not_clear_and_a_constant_one_is),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
