/* Carrying a solute: what moves arrives, nothing is lost or owed, and smooth profiles keep their shape. */
#include "outside.h"

#include "base/alloc.h"
#include "sim/carry.h"

#define PI 3.141592653589793

typedef struct strip {
    size_t n;
    thaw_web web;
    float *f[12];                  /* fx fy fl dx dy dl inverse conc cx cy cl giving */
    double *mobile, *rows;
} strip;

static void open_sheet(strip *s, int nx, int ny, const int32_t *below)
{
    thaw_error err = {0};
    *s = (strip){.n = (size_t)nx * (size_t)ny};
    assert_int_equal(thaw_web_create(nx, ny, 0.05, below, NULL, &s->web, &err), THAW_OK);
    for (int i = 0; i < 12; i++) {
        s->f[i] = thaw_allocate(s->n, sizeof(float), &err);
    }
    s->mobile = thaw_allocate(s->n, sizeof(double), &err);
    s->rows = thaw_allocate((size_t)ny, sizeof(double), &err);
}

static void open_strip(strip *s, int n)
{
    open_sheet(s, n, 1, NULL);
}

static void close_strip(strip *s)
{
    for (int i = 0; i < 12; i++) {
        thaw_release(s->f[i]);
    }
    thaw_release(s->mobile);
    thaw_release(s->rows);
    thaw_web_destroy(&s->web);
}

static void step(strip *s, double share)
{
    double tub = 0.0;
    thaw_carry_edges edges = {s->f[0], s->f[1], s->f[2], s->f[3], s->f[4], s->f[5], 0.0f};
    const thaw_carry_work work = {s->f[7], s->f[11], s->f[8], s->f[9], s->f[10], s->rows};
    thaw_carry_step(&s->web, &edges, share, s->f[6], s->mobile, &work, &tub);
    assert_close(tub, 0.0, 0.0);
}

static double total(const strip *s)
{
    double sum = 0.0;
    for (size_t k = 0; k < s->n; k++) {
        sum += s->mobile[k];
    }
    return sum;
}

/* A bell moved over 0.3 of a strip of length 1; mean error over all of it, the top too, where a limiter
 * must flatten. */
static double bell_error(int n, float courant)
{
    strip s;
    open_strip(&s, n);
    for (size_t k = 0; k < s.n; k++) {
        double x = ((double)k + 0.5) / n;
        s.mobile[k] = exp(-pow((x - 0.35) / 0.08, 2.0));
        s.f[0][k] = k + 1 < s.n ? courant : 0.0f;
        s.f[6][k] = 1.0f;
    }
    double before = total(&s), sum = 0.0;
    int steps = (int)(0.3 * n / (double)courant + 0.5);
    for (int i = 0; i < steps; i++) {
        step(&s, 1.0);
    }
    double moved = (double)courant * steps / n;
    assert_close(total(&s), before, 1e-12 * before);
    for (size_t k = 0; k < s.n; k++) {
        double from = ((double)k + 0.5) / n - moved - 0.35;
        assert_true(s.mobile[k] >= 0.0 && s.mobile[k] <= 1.0 + 1e-6);
        sum += fabs(s.mobile[k] - exp(-pow(from / 0.08, 2.0))) / n;
    }
    close_strip(&s);
    return sum;
}

/* Not at 0.5 alone: there the leading error of the scheme happens to vanish. */
static void a_bell_travels_with_second_order(void **state)
{
    (void)state;
    const float courant[] = {0.1f, 0.25f, 0.5f, 0.8f};
    for (int i = 0; i < 4; i++) {
        double e[3] = {bell_error(100, courant[i]), bell_error(200, courant[i]), bell_error(400, courant[i])};
        const double first = log2(e[0] / e[1]), second = log2(e[1] / e[2]);
        char check[128];
        print_message("  bell, Courant %.2f: error %.2e %.2e %.2e, order %.2f %.2f\n", (double)courant[i], e[0], e[1],
                      e[2], first, second);
        snprintf(check, sizeof check, "dye along a strip, Courant %.2g: 200 and 400 cells", (double)courant[i]);
        outside_order(check, "a bell moved by the flow", 2.0, 1.7, second);
    }
}

/* A round bell carried slantwise over a sheet of 1 x 1; the flow is (u, v) in parts of the water of a cell
 * per step. L1 error over all of it. */
static double slant_error(int n, float u, float v)
{
    strip s;
    open_sheet(&s, n, n, NULL);
    const double x0 = 0.5 - (u > 0.0f ? 0.15 : -0.15), y0 = 0.5 - (v > 0.0f ? 0.15 : -0.15) * (double)fabsf(v / u);
    for (size_t k = 0; k < s.n; k++) {
        const size_t i = k % (size_t)n, j = k / (size_t)n;
        const double x = ((double)i + 0.5) / n - x0, y = ((double)j + 0.5) / n - y0;
        s.mobile[k] = exp(-(x * x + y * y) / (0.08 * 0.08));
        s.f[0][k] = i + 1 < (size_t)n ? u : 0.0f;
        s.f[1][k] = j + 1 < (size_t)n ? v : 0.0f;
        s.f[6][k] = 1.0f;
    }
    const int steps = (int)(0.3 * n / (double)fabsf(u) + 0.5);
    const double before = total(&s);
    for (int i = 0; i < steps; i++) {
        step(&s, 1.0);
    }
    assert_close(total(&s), before, 1e-12 * before);
    double sum = 0.0, least = 0.0, most = 0.0;
    for (size_t k = 0; k < s.n; k++) {
        const double x = ((double)(k % (size_t)n) + 0.5 - (double)u * steps) / n - x0;
        const double y = ((double)(k / (size_t)n) + 0.5 - (double)v * steps) / n - y0;
        sum += fabs(s.mobile[k] - exp(-(x * x + y * y) / (0.08 * 0.08))) / ((double)n * n);
        least = fmin(least, s.mobile[k]);
        most = fmax(most, s.mobile[k]);
    }
    close_strip(&s);
    assert_at_most(-1e-9, least);
    assert_at_most(most, 1.0 + 1e-6);
    return sum;
}

/* The step goes with the cell, as in the program: the flow leaving a cell stays below 0.8 of its water. */
static void a_bell_travels_slantwise_with_second_order(void **state)
{
    (void)state;
    const float flow[][2] = {{0.4f, 0.4f}, {0.5f, 0.25f}, {-0.3f, 0.15f}, {0.2f, -0.2f}};
    for (int i = 0; i < 4; i++) {
        double e[3];
        for (int r = 0; r < 3; r++) {
            e[r] = slant_error(60 << r, flow[i][0], flow[i][1]);
        }
        const double first = log2(e[0] / e[1]), second = log2(e[1] / e[2]);
        print_message("  slantwise bell, Courant %.2f %.2f: error %.2e %.2e %.2e, order %.2f %.2f\n", (double)flow[i][0],
                      (double)flow[i][1], e[0], e[1], e[2], first, second);
        char check[128];
        snprintf(check, sizeof check, "dye slantwise over a sheet, Courant %.2g and %.2g: 120 and 240 cells",
                 (double)flow[i][0], (double)flow[i][1]);
        outside_order(check, "a round bell moved by the flow", 2.0, 1.7, second);
    }
}

/* Water flows and cells fill and empty: an even concentration must not notice. */
static void an_even_concentration_stays_even(void **state)
{
    (void)state;
    enum { N = 50 };
    strip s;
    open_strip(&s, N);
    double liquid[N];
    for (int k = 0; k < N; k++) {
        liquid[k] = 1.0 + 0.3 * sin(0.4 * k);
        s.f[0][k] = k + 1 < N ? (float)(0.2 * sin(2.0 * PI * k / N)) : 0.0f;
        s.mobile[k] = 3.0 * liquid[k];
    }
    for (int i = 0; i < 3; i++) {
        for (int k = 0; k < N; k++) {
            s.f[6][k] = (float)(1.0 / liquid[k]);
        }
        step(&s, 1.0);
        for (int k = 0; k < N; k++) {
            liquid[k] += (k ? (double)s.f[0][k - 1] : 0.0) - (double)s.f[0][k];
        }
    }
    for (int k = 0; k < N; k++) {
        assert_close(s.mobile[k] / liquid[k], 3.0, 5e-6); /* flows are single precision */
    }
    close_strip(&s);
}

/* Rough amounts in rough flow, half of the cells resting on the other half, at the longest step allowed. */
static void no_cell_gives_away_more_than_it_has(void **state)
{
    (void)state;
    enum { N = 40 };
    strip s;
    int32_t below[N * N];
    for (int k = 0; k < N * N; k++) {
        below[k] = k % N < N / 2 ? k + N / 2 : -1;
    }
    open_sheet(&s, N, N, below);
    for (size_t k = 0; k < s.n; k++) {
        const double at = (double)k + 1.0;
        s.mobile[k] = k % 7 == 0 ? 1.0 : (k % 3 == 0 ? 1e-9 : 0.0);
        s.f[0][k] = (k + 1) % N ? (float)sin(12.9 * at) : 0.0f;
        s.f[1][k] = k + N < s.n ? (float)sin(78.2 * at) : 0.0f;
        s.f[2][k] = (float)fabs(sin(37.7 * at));
        s.f[6][k] = 1.0f;
    }
    const thaw_carry_edges edges = {s.f[0], s.f[1], s.f[2], s.f[3], s.f[4], s.f[5], 0.0f};
    thaw_carry_courant(&s.web, &edges, s.f[6], s.f[7], s.rows);
    for (size_t k = 0; k < s.n; k++) {
        s.f[6][k] = 1.0f / s.f[7][k]; /* in one step every cell could just be emptied */
    }
    const double share = 0.8 / thaw_carry_courant(&s.web, &edges, s.f[6], s.f[7], s.rows), before = total(&s);
    double tub = 0.0;
    assert_close(share, 0.8, 1e-6);
    for (int i = 0; i < 200; i++) {
        const thaw_carry_work work = {s.f[7], s.f[11], s.f[8], s.f[9], s.f[10], s.rows};
        thaw_carry_step(&s.web, &edges, share, s.f[6], s.mobile, &work, &tub);
        for (size_t k = 0; k < s.n; k++) {
            assert_true(s.mobile[k] >= 0.0);
        }
    }
    assert_true(tub > 0.1 * before);
    assert_close(total(&s) + tub, before, 1e-12 * before);
    close_strip(&s);
}

/* Rounding can leave a cell a hair below nothing; that must not spoil its neighbours. */
static void a_cell_just_below_nothing_spoils_no_other(void **state)
{
    (void)state;
    enum { N = 10 };
    strip s;
    open_strip(&s, N);
    for (int k = 0; k < N; k++) {
        s.f[6][k] = 1.0f;
    }
    s.mobile[4] = -1e-25;
    s.mobile[7] = 1.0;
    step(&s, 1.0);
    for (int k = 0; k < N; k++) {
        assert_true(isfinite(s.mobile[k]));
    }
    assert_close(s.mobile[7], 1.0, 0.0);
    close_strip(&s);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_bell_travels_with_second_order),
        cmocka_unit_test(a_bell_travels_slantwise_with_second_order),
        cmocka_unit_test(no_cell_gives_away_more_than_it_has),
        cmocka_unit_test(a_cell_just_below_nothing_spoils_no_other),
        cmocka_unit_test(an_even_concentration_stays_even),
    };
    return outside_main(tests, argc, argv);
}
