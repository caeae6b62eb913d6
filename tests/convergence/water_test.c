/* Water in cloth against exact solutions, with the observed orders of convergence. */
#include "outside.h"

#include "column.h"

#define PI 3.141592653589793

/* Cloth of the exact solutions. */
static const cloth ideal = {.conductivity_m_s = 5e-5, .head_m = 0.05, .porosity = 0.7, .pore_m = 0.35e-3,
                                  .lambda = 1.0, .film_slope = THAW_FILM_SLOPE};

static void open_exact(sheet *t, int nx, int ny, double cell_m, const double *z_m)
{
    sheet_open(t, &ideal, nx, ny, cell_m, z_m);
    t->wick.solver_tolerance = 1e-10;
}

static double advance(sheet *t, double dt_s)
{
    double error = sheet_step(t, dt_s);
    sheet_take(t);
    return error;
}

static void advance_many(sheet *t, double dt_s, int steps)
{
    for (int i = 0; i < steps; i++) {
        advance(t, dt_s);
    }
}

/* Barenblatt 1952, Pattle 1959, in two dimensions: u_t = D0 div(u^m grad u) from a point. */
#define SPOT_M3 1e-6
#define SPOT "Barenblatt 1952; Pattle 1959"

static double spot_scale(void)
{
    const double m = 3.0, mass_m2 = SPOT_M3 / ideal.pore_m;
    return pow(mass_m2 / (4.0 * PI), m / (m + 1.0));
}

static double spot_radius(double t_s)
{
    const double m = 3.0, d0 = ideal.conductivity_m_s * ideal.head_m / ideal.porosity;
    return sqrt(spot_scale() * 4.0 * (m + 1.0) / m) * pow(d0 * t_s, 1.0 / (2.0 * (m + 1.0)));
}

static double spot(double r_m, double t_s)
{
    const double m = 3.0, d0 = ideal.conductivity_m_s * ideal.head_m / ideal.porosity, b = m / (4.0 * (m + 1.0));
    const double shrink = pow(d0 * t_s, -1.0 / (m + 1.0));
    const double inside = spot_scale() - b * r_m * r_m * shrink;
    return inside > 0.0 ? shrink * pow(inside, 1.0 / m) : 0.0;
}

/* Known to 8 digits from a calculation apart from this one. */
static void the_spot_has_its_published_size(void **state)
{
    (void)state;
    assert_close(spot_radius(300.0), 0.042268375, 5e-9);
    assert_close(spot(0.0, 300.0), 0.67871855, 5e-9);
    assert_close(spot(0.5 * spot_radius(300.0), 300.0), 0.61665672, 5e-9);
    assert_close(spot_radius(3600.0), 0.057665121, 5e-9);
    assert_close(spot(0.0, 3600.0), 0.36466527, 5e-9);
}

/* A quarter of the spot: the borders are lines of symmetry. */
static void spot_open(sheet *t, int n, double t_s)
{
    open_exact(t, n, n, 0.06 / n, NULL);
    for (size_t k = 0; k < t->n; k++) {
        double x = ((double)(k % (size_t)n) + 0.5) * t->cell_m, y = ((double)(k / (size_t)n) + 0.5) * t->cell_m;
        t->s[k] = spot(hypot(x, y), t_s);
    }
}

typedef struct spot_error {
    double smooth, whole;          /* mean |error|: inside half the radius; over the spot and its front */
} spot_error;

static spot_error spot_errors(const sheet *t, double t_s)
{
    spot_error e = {0};
    int inside = 0;
    for (size_t k = 0; k < t->n; k++) {
        double x = ((double)(k % (size_t)t->nx) + 0.5) * t->cell_m, y = ((double)(k / (size_t)t->nx) + 0.5) * t->cell_m;
        double r = hypot(x, y), off = fabs(t->s[k] - spot(r, t_s));
        e.whole += off / (double)t->n;
        if (r < 0.5 * spot_radius(t_s)) {
            e.smooth += off;
            inside++;
        }
    }
    e.smooth /= inside;
    return e;
}

static void a_spot_spreads_as_the_exact_solution_says(void **state)
{
    (void)state;
    const int sizes[] = {16, 32, 64, 128};
    spot_error e[4];
    for (int i = 0; i < 4; i++) {
        sheet t;
        spot_open(&t, sizes[i], 300.0);
        advance_many(&t, 2.0, 300);
        e[i] = spot_errors(&t, 900.0);
        sheet_close(&t);
        print_message("  spot, %3d cells over 60 mm: mean error %.2e in the smooth part, %.2e over all\n", sizes[i],
                      e[i].smooth, e[i].whole);
    }
    /* Over three doublings: how the front cuts the cells makes single ratios wander. */
    const double smooth = log2(e[0].smooth / e[3].smooth) / 3.0, whole = log2(e[0].whole / e[3].whole) / 3.0;
    print_message("  observed order in space %.2f in the smooth part, %.2f over all\n", smooth, whole);
    assert_at_most(e[3].smooth, 1e-4);
    assert_at_most(e[3].whole, 5e-4);
    outside_order("spreading spot of water, in space, inside half its radius: 16 to 128 cells", SPOT, 2.0, 1.5, smooth);
    outside_order("spreading spot of water, in space, with its front: 16 to 128 cells", SPOT, 1.0, 0.9, whole);
}

/* Without a front: a wave of saturation that evens out; reference with steps 16 times shorter than the finest. */
static void wave_open(sheet *t)
{
    const int n = 24;
    open_exact(t, n, n, 0.06 / n, NULL);
    for (size_t k = 0; k < t->n; k++) {
        double x = ((double)(k % (size_t)n) + 0.5) / n, y = ((double)(k / (size_t)n) + 0.5) / n;
        t->s[k] = 0.55 + 0.2 * cos(PI * x) + 0.1 * cos(2.0 * PI * y);
    }
}

static void time_steps_converge_with_order_two(void **state)
{
    (void)state;
    double error[3];
    sheet exact;
    wave_open(&exact);
    advance_many(&exact, 200.0 / 2560.0, 2560);
    for (int i = 0; i < 3; i++) {
        sheet t;
        const int steps = 40 << i;
        wave_open(&t);
        advance_many(&t, 200.0 / steps, steps);
        error[i] = 0.0;
        for (size_t k = 0; k < t.n; k++) {
            error[i] = fmax(error[i], fabs(t.s[k] - exact.s[k]));
        }
        sheet_close(&t);
        print_message("  wave, %3d steps: largest error %.2e\n", steps, error[i]);
    }
    sheet_close(&exact);
    const double first = log2(error[0] / error[1]), second = log2(error[1] / error[2]);
    print_message("  observed order in time %.2f, %.2f\n", first, second);
    assert_true(error[0] > 1e-7); /* else nothing is tested */
    outside_order("a wave of saturation that evens out, in time: 80 and 160 steps", "itself with 2560 steps", 2.0, 1.8, second);
    assert_true(second < 2.5);
}

/* A strip that stands in free water (psi = 0, which a film reaches at s = 1 + 1 / its slope), z up from it. */
#define STRIP 60
#define STRIP_M 0.30

static void strip_open(sheet *t, double *z_m)
{
    const double cell = STRIP_M / STRIP;
    for (int j = 0; j < STRIP; j++) {
        z_m[j] = (STRIP - 1 - j) * cell;
    }
    open_exact(t, 1, STRIP, cell, z_m);
    t->volume[STRIP - 1] = 1e3; /* the tub */
    t->s[STRIP - 1] = 1.0 + 1.0 / THAW_FILM_SLOPE;
}

/* Brooks and Corey 1964; below h_e the cloth is full. */
static double profile(double z_m)
{
    return z_m <= ideal.head_m ? 1.0 + (1.0 - z_m / ideal.head_m) / THAW_FILM_SLOPE : ideal.head_m / z_m;
}

static void the_static_profile_of_a_hanging_strip_stays_as_it_is(void **state)
{
    (void)state;
    sheet t;
    double z_m[STRIP];
    strip_open(&t, z_m);
    for (int j = 0; j < STRIP; j++) {
        t.s[j] = profile(z_m[j]);
    }
    advance_many(&t, 600.0, 20);
    for (int j = 0; j < STRIP; j++) {
        assert_close(t.s[j], profile(z_m[j]), 1e-5);
    }
    sheet_close(&t);
}

/* Steps grow while the error stays small. */
static void settle(sheet *t, double end_s)
{
    double dt = 1.0, now = 0.0;
    while (now < end_s) {
        double error;
        thaw_wick_step(&t->wick, dt, t->s, t->source, t->next, &error);
        if (!(error < 1e-3)) {
            dt *= 0.3;
            assert_true(dt > 1e-4);
            continue;
        }
        now += dt;
        dt *= error < 2.5e-4 ? 1.5 : 1.0;
        double *old = t->s;
        t->s = t->next;
        t->next = old;
    }
}

static void a_strip_settles_to_the_brooks_corey_profile_from_wet_and_from_damp(void **state)
{
    (void)state;
    const double starts[] = {1.0, 0.12};
    for (int i = 0; i < 2; i++) {
        sheet t;
        double z_m[STRIP], worst = 0.0;
        strip_open(&t, z_m);
        for (int j = 0; j < STRIP - 1; j++) {
            t.s[j] = starts[i];
        }
        settle(&t, 3e9);
        for (int j = 0; j < STRIP; j++) {
            worst = fmax(worst, fabs(t.s[j] - profile(z_m[j])) / profile(z_m[j]));
        }
        char check[128];
        snprintf(check, sizeof check, "strip that settles from saturation %.2g: largest relative error of its profile", starts[i]);
        outside_error(check, "Brooks & Corey 1964", worst, 1e-3);
        sheet_close(&t);
    }
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_spot_has_its_published_size),
        cmocka_unit_test(a_spot_spreads_as_the_exact_solution_says),
        cmocka_unit_test(time_steps_converge_with_order_two),
        cmocka_unit_test(the_static_profile_of_a_hanging_strip_stays_as_it_is),
        cmocka_unit_test(a_strip_settles_to_the_brooks_corey_profile_from_wet_and_from_damp),
    };
    return outside_main(tests, argc, argv);
}
