/* What takes minutes: like compared with like, and whether a chance of white comes true as often as it says. Built with
 * -DTHAW_SLOW=ON, run by `ctest -L slow`. */
#include "small.h"

#include "base/alloc.h"
#include "base/crew.h"
#include "study/chance.h"
#include "study/paired.h"

#define TRIES 100
#define MEMBERS 8
#define OUTCOMES 200

/* A hand's breadth of twill with ice and dye on its left half, so that the other may stay white. */
static thaw_scenario *little_cloth(void)
{
    const thaw_area left = {.name = "left half", .shape = THAW_AREA_BOX, .x1 = 0.5, .y1 = 1.0};
    thaw_scenario *scenario = small_scenario("tide-backdrop", 0.14);
    scenario->spec.leave_s = 6.0 * 3600.0;
    for (int z = 0; z < scenario->spec.n_ice; z++) {
        scenario->spec.ice[z].area = left;
        scenario->spec.ice[z].mass_kg *= 0.5;
    }
    for (int z = 0; z < scenario->spec.n_dye; z++) {
        scenario->spec.dye[z].area = left;
        scenario->spec.dye[z].mass_kg *= 0.5;
    }
    return scenario;
}

typedef struct job {
    thaw_set_plan plan;
    thaw_member *members;          /* own */
} job;

static void run_member(void *user, int m, bool first)
{
    job *j = user;
    thaw_error err = {0};
    (void)first;
    if (thaw_member_run(&j->plan, m, NULL, NULL, &j->members[m], &err) != THAW_OK) {
        print_error("%s\n", err.text);
    }
}

static job run_set(const thaw_specification *spec, int n)
{
    job j = {.plan = {.spec = spec, .n = n, .cell_m = spec->cell_m}};
    j.members = thaw_allocate((size_t)n, sizeof *j.members, NULL);
    assert_non_null(j.members);
    thaw_crew_set_threads(2);
    thaw_crew_run(n, run_member, &j);
    for (int m = 0; m < n; m++) {
        assert_true(j.members[m].came_through);
    }
    return j;
}

static void release_set(job *j)
{
    for (int m = 0; m < j->plan.n; m++) {
        thaw_member_release(&j->members[m]);
    }
    thaw_release(j->members);
}

/* Each try has its own two seeds: pairs have nothing in common. */
static bool finds_a_difference(thaw_scenario *scenario, int try)
{
    thaw_specification a = scenario->spec, b = scenario->spec;
    thaw_paired all[THAW_MEMBER_NUMBERS];
    bool any = false;
    a.seed = 1000u + 2u * (uint64_t)try;
    b.seed = a.seed + 1u;
    job one = run_set(&a, MEMBERS), other = run_set(&b, MEMBERS);
    for (int h = 0; h < thaw_headline_count(); h++) {
        double x[MEMBERS], y[MEMBERS], scratch[MEMBERS];
        for (int m = 0; m < MEMBERS; m++) {
            x[m] = one.members[m].numbers[h];
            y[m] = other.members[m].numbers[h];
        }
        all[h] = thaw_paired_find(x, y, MEMBERS, thaw_headline_at(h)->spread, scratch);
    }
    thaw_paired_judge(all, thaw_headline_count());
    for (int h = 0; h < thaw_headline_count(); h++) {
        if (all[h].is_clear) {
            print_message("  try %d: %s, p %.4f\n", try, thaw_headline_at(h)->name, all[h].p);
        }
        any = any || all[h].is_clear;
    }
    release_set(&one);
    release_set(&other);
    return any;
}

static void like_and_like_show_no_clear_difference_in_95_of_100_tries(void **state)
{
    (void)state;
    thaw_scenario *scenario = little_cloth();
    int wrong = 0;
    for (int t = 0; t < TRIES; t++) {
        wrong += finds_a_difference(scenario, t);
    }
    print_message("  a clear difference in %d of %d tries\n", wrong, TRIES);
    assert_true(wrong <= 5);
    thaw_scenario_destroy(scenario);
}

/* Cells are alike over some millimetres, so a decile holds far fewer independent places than cells: one in 25 counts.
 * What the first half says is itself a share of 100; both halves' scatter goes into the error. */
static void a_chance_of_white_comes_true_as_often_as_it_says(void **state)
{
    (void)state;
    const int half = OUTCOMES / 2;
    thaw_scenario *scenario = little_cloth();
    job set = run_set(&scenario->spec, OUTCOMES);
    const size_t n = (size_t)set.members[0].nx * (size_t)set.members[0].ny;
    double said[10] = {0}, came[10] = {0}, cells[10] = {0};
    for (size_t k = 0; k < n; k++) {
        int first = 0, second = 0;
        for (int m = 0; m < half; m++) {
            first += set.members[2 * m].lead[k] == THAW_LEAD_WHITE;
            second += set.members[2 * m + 1].lead[k] == THAW_LEAD_WHITE;
        }
        const int decile = first == half ? 9 : first * 10 / half;
        said[decile] += (double)first / half;
        came[decile] += (double)second / half;
        cells[decile] += 1.0;
    }
    int judged = 0;
    for (int d = 0; d < 10; d++) {
        if (cells[d] < 25.0) {
            continue;
        }
        const double p = said[d] / cells[d], q = came[d] / cells[d], mid = 0.5 * (p + q);
        const double each = mid * (1.0 - mid) / half, error = sqrt(each * (1.0 + 25.0 / cells[d]));
        print_message("  said %.3f, came %.3f, %4.0f cells, allowed %.3f\n", p, q, cells[d], 3.0 * error);
        assert_true(fabs(p - q) <= 3.0 * error + 1e-12);
        judged++;
    }
    assert_true(judged >= 5);
    release_set(&set);
    thaw_scenario_destroy(scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_chance_of_white_comes_true_as_often_as_it_says),
        cmocka_unit_test(like_and_like_show_no_clear_difference_in_95_of_100_tries),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
