/* The solver of a water step and the Courant number, by their own definitions, at several numbers of threads; cells in spate. */
#include "check.h"

#include <math.h>
#include <stdlib.h>

#include "base/crew.h"
#include "base/random.h"
#include "sim/carry.h"
#include "sim/spate.h"
#include "sim/solve.h"
#include "sim/wick.h"

enum { SIDE = 160, N = SIDE * SIDE };

typedef struct folded {
    int32_t below[N];
    thaw_web web;
    double diagonal[N], lean[N], spill[N], b[N], y[N], fx[N], fy[N], fl[N], found[N];
} folded;

static double draw(uint32_t stream, size_t k)
{
    return thaw_random_uniform(3, stream, k);
}

/* Every row of four rests on the row two below it, some cells on nothing. */
static folded *open_folded(void)
{
    thaw_error err = {0};
    folded *f = calloc(1, sizeof *f);
    assert_non_null(f);
    for (size_t k = 0; k < N; k++) {
        f->below[k] = k + 2 * SIDE < N && (k / SIDE) % 4 < 3 && k % 11 ? (int32_t)(k + 2 * SIDE) : -1;
    }
    assert_int_equal(thaw_web_create(SIDE, SIDE, 0.1, f->below, NULL, &f->web, &err), THAW_OK);
    for (size_t k = 0; k < N; k++) {
        f->web.gx[k] = (k + 1) % SIDE ? 0.2 + draw(101, k) : 0.0;
        f->web.gy[k] = k + SIDE < N ? 0.2 + draw(102, k) : 0.0;
        f->web.gl[k] = f->below[k] >= 0 ? 50.0 * draw(103, k) : 0.0;
        f->diagonal[k] = 0.5 + draw(104, k);
        f->spill[k] = k % 5 ? 0.0 : 20.0;
        f->lean[k] = 3.0 * draw(106, k);
        f->web.zx[k] = 0.2 * (draw(107, k) - 0.5);
        f->web.zy[k] = 0.2 * (draw(108, k) - 0.5);
        f->web.zl[k] = f->below[k] >= 0 ? 0.05 : 0.0;
        f->b[k] = draw(105, k) - 0.3;
    }
    return f;
}

static void close_folded(folded *f)
{
    thaw_web_destroy(&f->web);
    free(f);
}

/* Root of the mean square of b - A y, computed in double precision from the flows. */
static double left_over(folded *f)
{
    double sum = 0.0;
    const thaw_web_slope slope = {f->lean, f->spill};
    thaw_web_linear_flux(&f->web, &slope, 1.0, 0, f->y, f->fx, f->fy, f->fl);
    thaw_web_gather(&f->web, f->fx, f->fy, f->fl, NULL, f->found);
    for (size_t k = 0; k < N; k++) {
        const double r = f->b[k] - f->diagonal[k] * f->y[k] + f->found[k];
        sum += r * r;
    }
    return sqrt(sum / N);
}

static void a_solve_leaves_no_more_than_its_goal_and_the_same_bits_at_any_number_of_threads(void **state)
{
    (void)state;
    thaw_error err = {0};
    folded *f = open_folded();
    double *first = calloc(N, sizeof *first);
    thaw_solver solver;
    const double goal = 3e-4;
    const thaw_web_slope slope = {f->lean, f->spill};
    assert_int_equal(thaw_solver_create(&f->web, &solver, &err), THAW_OK);
    assert_true(left_over(f) > 100.0 * goal);
    for (int threads = 1; threads <= 3; threads++) {
        const int before = thaw_crew_set_threads(threads);
        thaw_solver_set(&solver, f->diagonal, &slope);
        const int rounds = thaw_solver_run(&solver, f->b, goal, f->y);
        thaw_crew_set_threads(before);
        assert_in_range(rounds, 1, 30);
        assert_true(left_over(f) < 1.1 * goal);
        if (threads == 1) {
            memcpy(first, f->y, N * sizeof *first);
        }
        assert_memory_equal(first, f->y, N * sizeof *first);
    }
    thaw_solver_destroy(&solver);
    free(first);
    close_folded(f);
}

/* Dry cloth in dry air asks for next to nothing: squares of that are nought in single precision. */
static void a_solve_for_next_to_nothing_gives_numbers(void **state)
{
    (void)state;
    thaw_error err = {0};
    folded *f = open_folded();
    thaw_solver solver;
    const thaw_web_slope slope = {f->lean, f->spill};
    assert_int_equal(thaw_solver_create(&f->web, &solver, &err), THAW_OK);
    thaw_solver_set(&solver, f->diagonal, &slope);
    for (double size = 1e-18; size > 1e-44; size *= 0.1) {
        double b[N], y[N];
        for (size_t k = 0; k < N; k++) {
            b[k] = size * f->b[k];
        }
        thaw_solver_run(&solver, b, 0.0, y);
        for (size_t k = 0; k < N; k++) {
            if (!isfinite(y[k])) {
                fail_msg("%g at size %g", y[k], size);
            }
        }
    }
    thaw_solver_destroy(&solver);
    close_folded(f);
}

static void the_courant_number_is_the_same_with_sums_shared_by_many_solutes(void **state)
{
    (void)state;
    folded *f = open_folded();
    float *a = calloc(10 * (size_t)N, sizeof *a);
    double rows[SIDE];
    assert_non_null(a);
    float *const at[10] = {a, a + N, a + 2 * N, a + 3 * N, a + 4 * N, a + 5 * N, a + 6 * N, a + 7 * N, a + 8 * N, a + 9 * N};
    for (size_t k = 0; k < N; k++) {
        for (int e = 0; e < 6; e++) {
            const int inside = e % 3 == 0 ? (k + 1) % SIDE != 0 : e % 3 == 1 ? k + SIDE < N : f->below[k] >= 0 || e == 2;
            at[e][k] = inside ? (float)(draw(110 + (uint32_t)e, k) - (e < 3 ? 0.5 : 0.0)) : 0.0f;
        }
        at[6][k] = (float)(0.5 + draw(120, k));
    }
    const thaw_carry_edges edges = {at[0], at[1], at[2], at[3], at[4], at[5], 0.3f};
    const double whole = thaw_carry_courant(&f->web, &edges, at[6], at[7], rows);
    thaw_carry_leaving(&f->web, &edges, at[8], at[9]);
    assert_close(thaw_carry_courant_of(&f->web, 0.3f, at[8], at[9], at[6], at[7], rows), whole, 1e-5 * whole);
    free(a);
    close_folded(f);
}

/* One fast cell in a row of slow ones: enough that it goes in spate. */
enum { ROW = 64, FAST = 30 };

static void a_cell_in_spate_keeps_an_even_concentration_even_and_every_grain(void **state)
{
    (void)state;
    thaw_error err = {0};
    thaw_web web;
    thaw_spate spate;
    float f[13][ROW] = {{0}};
    double rows[1], mobile[ROW], tub = 0.0, before = 0.0, after = 0.0;
    assert_int_equal(thaw_web_create(ROW, 1, 0.1, NULL, NULL, &web, &err), THAW_OK);
    assert_int_equal(thaw_spate_create(ROW, 1, &spate, &err), THAW_OK);
    /* Water runs through; the fast cell holds little of it. Each cell but the ends gains as much as it loses. */
    for (int k = 0; k < ROW; k++) {
        f[0][k] = k + 1 < ROW ? 0.5f : 0.0f;
        f[3][k] = k + 1 < ROW ? 0.1f : 0.0f;
        f[6][k] = k == FAST ? 40.0f : 1.0f;
        f[7][k] = k == 0 ? -0.5f : k + 1 == ROW ? 0.5f : 0.0f; /* net */
        mobile[k] = 3.0 / (double)f[6][k];
        before += mobile[k];
    }
    const thaw_carry_edges edges = {f[0], f[1], f[2], f[3], f[4], f[5], 1.0f};
    const thaw_carry_work work = {f[8], f[9], f[10], f[11], f[12], rows};
    thaw_carry_leaving(&web, &edges, f[8], f[9]);
    const double worst = thaw_carry_courant_of(&web, 1.0f, f[8], f[9], f[6], f[10], rows);
    assert_true(worst > 20.0);
    assert_int_equal(thaw_spate_choose(&spate, &web, &edges, f[10], f[7], worst, 1.5), 1);
    assert_int_equal(spate.n, 1);
    thaw_carry_part(&web, &edges, 1.0, f[6], mobile, &work, &spate, &tub);
    for (int k = 0; k < ROW; k++) {
        after += mobile[k];
        const double kept = k == 0 ? 1.5 : k + 1 == ROW ? 4.5 : 3.0 / (double)f[6][k];
        assert_close(mobile[k], kept, 1e-5);
    }
    assert_close(after + tub, before, 1e-12 * before);
    /* Dye in the fast cell alone is washed on, none of it is less than nothing. */
    for (int k = 0; k < ROW; k++) {
        mobile[k] = k == FAST ? 1.0 : 0.0;
    }
    thaw_carry_part(&web, &edges, 1.0, f[6], mobile, &work, &spate, &tub);
    after = 0.0;
    for (int k = 0; k < ROW; k++) {
        assert_true(mobile[k] >= 0.0);
        after += mobile[k];
    }
    assert_close(after, 1.0, 1e-12);
    assert_true(mobile[FAST] < 0.1 && mobile[FAST + 1] > 3.0 * mobile[FAST - 1]);
    thaw_spate_destroy(&spate);
    thaw_web_destroy(&web);
}

/* Two wet cells beside each other with nothing below: drops hang under the first, the second lets them go at once and
 * draws the water of the first to itself. In one long step the first gets far below its brim. */
static void water_that_fell_into_the_tub_does_not_come_back(void **state)
{
    (void)state;
    thaw_error err = {0};
    thaw_web web;
    thaw_wick wick;
    thaw_retention retention;
    const int32_t below[2] = {-1, -1};
    const double volume_m[2] = {1.5e-4, 1.5e-4}, source[2] = {0.0, 0.0};
    thaw_retention_init(&retention, 0.7);
    retention.film_slope = 1.4;
    assert_int_equal(thaw_web_create(2, 1, 0.1, below, NULL, &web, &err), THAW_OK);
    web.gx[0] = 1e-5;
    web.volume_m = volume_m;
    web.spill_per_s = retention.film_slope;
    web.full[0] = 2.9;
    web.full[1] = 1.7;
    assert_int_equal(thaw_wick_create(&retention, &web, volume_m, &wick, &err), THAW_OK);
    for (double dt_s = 0.5; dt_s < 500.0; dt_s *= 2.0) {
        const double s[2] = {2.95, 2.0};
        double next[2], error;
        thaw_wick_step(&wick, dt_s, s, source, next, &error);
        assert_true(wick.fl[0] >= 0.0);
        assert_true(wick.fl[1] >= 0.0);
        assert_close(volume_m[0] * (s[0] - next[0] + s[1] - next[1]), wick.fl[0] + wick.fl[1], 1e-17);
        assert_at_most(error, 0.01); /* so the step is taken as it is */
        assert_true(next[0] >= 1.0);
        assert_true(next[1] >= 1.0);
    }
    thaw_wick_destroy(&wick);
    thaw_web_destroy(&web);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_solve_leaves_no_more_than_its_goal_and_the_same_bits_at_any_number_of_threads),
        cmocka_unit_test(a_solve_for_next_to_nothing_gives_numbers),
        cmocka_unit_test(the_courant_number_is_the_same_with_sums_shared_by_many_solutes),
        cmocka_unit_test(water_that_fell_into_the_tub_does_not_come_back),
        cmocka_unit_test(a_cell_in_spate_keeps_an_even_concentration_even_and_every_grain),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
