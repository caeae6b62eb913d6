/* Observed orders of the water step where the answer is smooth: no front, no full or dry cloth. Uneven
 * conductivity and a slope are part of it, so that every term of the edge flux counts. The order follows
 * from three resolutions, each a third or a half of the one before (Richardson 1911). */
#include "outside.h"

#include <stdbool.h>

#include "column.h"

#define PI 3.141592653589793
#define SIDE_M 0.06
#define END_S 100.0
#define COARSEST 9
#define RICHARDSON "three resolutions, Richardson 1911"

static double conductivity(double x, double y)
{
    return exp(0.4 * sin(2.0 * PI * x) * cos(PI * y));
}

/* s from 0.25 to 0.85, level at the borders as they let nothing through. */
static double start(double x, double y)
{
    return 0.55 + 0.2 * cos(PI * x) + 0.1 * cos(2.0 * PI * y);
}

static void smooth_open(sheet *t, int n)
{
    const cloth of = {.conductivity_m_s = 5e-5, .head_m = 0.05, .porosity = 0.7, .pore_m = 0.35e-3, .lambda = 0.7,
                      .film_slope = THAW_FILM_SLOPE};
    const double h = 1.0 / n;
    double *z_m = column_numbers((size_t)(n * n), 0.0);
    for (int k = 0; k < n * n; k++) { /* slopes that end level at the borders */
        z_m[k] = 0.008 * cos(PI * (k % n + 0.5) * h) + 0.005 * cos(PI * (k / n + 0.5) * h);
    }
    sheet_open(t, &of, n, n, SIDE_M * h, z_m);
    free(z_m);
    for (int k = 0; k < n * n; k++) {
        const double x = (k % n + 0.5) * h, y = (k / n + 0.5) * h;
        t->web.gx[k] *= 2.0 / (1.0 / conductivity(x, y) + 1.0 / conductivity(x + h, y));
        t->web.gy[k] *= 2.0 / (1.0 / conductivity(x, y) + 1.0 / conductivity(x, y + h));
        t->s[k] = start(x, y);
    }
    t->wick.solver_tolerance = 1e-10;
    thaw_wick_refresh(&t->wick);
}

/* A step as the engine takes it; a calm one follows a step that was noted. */
static void engine_step(sheet *t, double dt_s, bool calm)
{
    double error;
    if (calm) {
        thaw_wick_calm_step(&t->wick, dt_s, t->s, t->source, t->next, &error);
    } else {
        sheet_step(t, dt_s);
    }
    thaw_wick_note(&t->wick, dt_s, t->s, t->next);
    sheet_take(t);
}

/* calm: but for the first step. Then steps are long and short in turn. */
static void smooth_run(sheet *t, int steps, bool calm)
{
    double low = 1.0, high = 0.0;
    for (int i = 0; i < steps; i++) {
        engine_step(t, END_S / steps * (calm ? (i % 2 ? 0.9 : 1.1) : 1.0), calm && i > 0);
    }
    for (size_t k = 0; k < t->n; k++) {
        low = fmin(low, t->s[k]);
        high = fmax(high, t->s[k]);
    }
    assert_true(low > 0.2 && high < 0.9);
}

/* Root mean square of a minus b at the coarsest grid's points, which all grids share. */
static double apart(const sheet *a, const sheet *b)
{
    double squares = 0.0;
    for (int j = 0; j < COARSEST; j++) {
        for (int i = 0; i < COARSEST; i++) {
            const int pa = a->nx / COARSEST, pb = b->nx / COARSEST;
            const size_t ka = (size_t)((j * pa + pa / 2) * a->nx + i * pa + pa / 2);
            const size_t kb = (size_t)((j * pb + pb / 2) * b->nx + i * pb + pb / 2);
            squares += pow(a->s[ka] - b->s[kb], 2.0);
        }
    }
    return sqrt(squares / (COARSEST * COARSEST));
}

static void smooth_water_converges_with_order_two_in_space(void **state)
{
    (void)state;
    sheet t[3];
    int n = COARSEST;
    for (int i = 0; i < 3; i++) {
        smooth_open(&t[i], n);
        smooth_run(&t[i], 100, false);
        n *= 3;
    }
    const double first = apart(&t[0], &t[1]), second = apart(&t[1], &t[2]);
    const double order = log(first / second) / log(3.0);
    print_message("  %d and %d cells: %.2e apart; %d and %d: %.2e; observed order in space %.2f\n", t[0].nx, t[1].nx, first,
                  t[1].nx, t[2].nx, second, order);
    assert_true(second > 1e-6); /* else rounding is tested */
    outside_order("smooth water in uneven sloping cloth, in space: 9, 27, 81 cells", RICHARDSON, 2.0, 1.8, order);
    assert_true(order < 2.5);
    for (int i = 0; i < 3; i++) {
        sheet_close(&t[i]);
    }
}

static double order_in_time(int fewest, bool calm)
{
    sheet t[4];
    double off[3];
    for (int i = 0; i < 4; i++) {
        smooth_open(&t[i], 3 * COARSEST);
        smooth_run(&t[i], fewest << i, calm);
    }
    for (int i = 0; i < 3; i++) {
        off[i] = apart(&t[i], &t[i + 1]);
        print_message("  %d and %d steps: %.2e apart\n", fewest << i, fewest << (i + 1), off[i]);
    }
    const double order = log2(off[1] / off[2]);
    print_message("  observed order in time %.2f, %.2f\n", log2(off[0] / off[1]), order);
    assert_true(off[2] > 1e-7); /* else rounding is tested */
    for (int i = 0; i < 4; i++) {
        sheet_close(&t[i]);
    }
    return order;
}

static void smooth_water_converges_with_order_two_in_time(void **state)
{
    (void)state;
    const double order = order_in_time(20, false);
    outside_order("smooth water in uneven sloping cloth, in time: 40, 80, 160 steps", RICHARDSON, 2.0, 1.8, order);
    assert_true(order < 2.5);
}

static void calm_water_converges_with_order_two_in_time(void **state)
{
    (void)state;
    const double order = order_in_time(40, true);
    outside_order("smooth water in calm steps, long and short in turn: 80, 160, 320 steps", RICHARDSON, 2.0, 1.8, order);
    assert_true(order < 2.5);
}

/* What leads on in a straight line departs by nothing, what turns by half of the turn, over-full cloth by its suction. */
static void a_departure_is_half_of_the_turn(void **state)
{
    (void)state;
    sheet t;
    smooth_open(&t, COARSEST);
    for (size_t k = 0; k < t.n; k++) {
        t.s[k] = 0.5;
        t.next[k] = 0.51;
    }
    assert_true(isinf(thaw_wick_departure(&t.wick, 10.0, t.s, t.next)));
    thaw_wick_note(&t.wick, 10.0, t.s, t.next);
    assert_true(thaw_wick_departure(&t.wick, 10.0, t.s, t.next) < 1e-8);
    assert_true(fabs(thaw_wick_departure(&t.wick, 20.0, t.s, t.next) - 0.005) < 1e-8);
    for (size_t k = 0; k < t.n; k++) {
        t.s[k] = 1.5;
        t.next[k] = 1.5;
    }
    assert_true(fabs(thaw_wick_departure(&t.wick, 10.0, t.s, t.next) - 0.005 * THAW_FILM_SLOPE) < 1e-8);
    sheet_close(&t);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(smooth_water_converges_with_order_two_in_space),
        cmocka_unit_test(smooth_water_converges_with_order_two_in_time),
        cmocka_unit_test(calm_water_converges_with_order_two_in_time),
        cmocka_unit_test(a_departure_is_half_of_the_turn),
    };
    return outside_main(tests, argc, argv);
}
