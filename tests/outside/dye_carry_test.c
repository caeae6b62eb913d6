/* How dye travels with water through cloth, and how powder dissolves, against closed forms. */
#include "bench.h"
#include "outside.h"

#include "data/cloths.h"
#include "data/dyes.h"
#include "sim/carry.h"
#include "sim/drip.h"

#define SOAK_KG_M3    40.0 /* usual soda pre-soak */
#define ZERO_C        273.15
#define PI            3.141592653589793
#define OGATA         "Ogata and Banks 1961, leading term, with retardation"
#define DISSOLUTION   "rho d2 / (8 D c_s), diffusion from a grain"

static const thaw_cloth_kind *cotton(void)
{
    const thaw_cloth_kind *cloth = thaw_cloths_find("cotton twill");
    assert_non_null(cloth);
    return cloth;
}

/* ---- transport ---- */

typedef struct strip {
    thaw_web web;
    float *f[12];                  /* fx fy fl dx dy dl inverse conc cx cy cl giving */
    double *capacity_m, *mobile, rows[1];
} strip;

static void open_strip(strip *s, int n)
{
    thaw_error err = {0};
    *s = (strip){.capacity_m = column((size_t)n), .mobile = column((size_t)n)};
    assert_int_equal(thaw_web_create(n, 1, 0.05, NULL, NULL, &s->web, &err), THAW_OK);
    for (int i = 0; i < 12; i++) {
        s->f[i] = calloc((size_t)n, sizeof(float));
        assert_non_null(s->f[i]);
    }
}

static void close_strip(strip *s)
{
    for (int i = 0; i < 12; i++) {
        free(s->f[i]);
    }
    free(s->capacity_m);
    free(s->mobile);
    thaw_web_destroy(&s->web);
}

static void lay_bell(strip *s, double centre, double width, double amount)
{
    for (size_t k = 0; k < s->web.n; k++) {
        s->mobile[k] = amount * exp(-pow(((double)k - centre) / width, 2.0));
    }
}

/* Mean place and square spread, in cells. */
static void moments(const strip *s, double *mean, double *square)
{
    double sum = 0.0, first = 0.0, second = 0.0;
    for (size_t k = 0; k < s->web.n; k++) {
        sum += s->mobile[k];
        first += s->mobile[k] * (double)k;
    }
    for (size_t k = 0; k < s->web.n; k++) {
        second += s->mobile[k] * pow((double)k - first / sum, 2.0);
    }
    *mean = first / sum;
    *square = second / sum;
}

static void carry(strip *s, bench *b, double diffusivity_m2_s, int steps)
{
    double tub = 0.0;
    thaw_carry_edges edges = {s->f[0], s->f[1], s->f[2], s->f[3], s->f[4], s->f[5], (float)diffusivity_m2_s};
    for (int i = 0; i < steps; i++) {
        memcpy(b->state.mobile_kg_m2[0], s->mobile, b->n * sizeof *s->mobile);
        wait_s(b, 0.0, 1); /* sorption settles, nothing reacts */
        thaw_uptake_capacity(&b->uptake, 0, b->n, b->state.saturation, s->capacity_m);
        for (size_t k = 0; k < b->n; k++) {
            s->f[6][k] = (float)(1.0 / s->capacity_m[k]);
        }
        const thaw_carry_work work = {s->f[7], s->f[11], s->f[8], s->f[9], s->f[10], s->rows};
        thaw_carry_step(&s->web, &edges, 1.0, s->f[6], s->mobile, &work, &tub);
    }
}

/* How far a bell of this dye goes while the water goes 100 cells. */
static double travelled(double kd_m3_kg, double saturation)
{
    enum { N = 240 };
    thaw_component dye = *dye_of("RD");
    const thaw_component *dyes = &dye;
    dye.kd_m3_kg = kd_m3_kg;
    bench b;
    strip s;
    open_bench(&b, cotton(), N, 1, &dyes, ZERO_C + 20.0, saturation, 20.0);
    open_strip(&s, N);
    for (size_t k = 0; k + 1 < N; k++) {
        s.f[0][k] = (float)(0.5 * saturation * cotton()->pore_m);
    }
    double before, after, square;
    lay_bell(&s, 60.0, 8.0, 1e-8);
    moments(&s, &before, &square);
    carry(&s, &b, 0.0, 200);
    moments(&s, &after, &square);
    close_strip(&s);
    close_bench(&b);
    return after - before;
}

static void sorbed_dye_lags_behind_the_water_as_the_retardation_factor_says(void **state)
{
    (void)state;
    static const double kds[] = {3.5, 6.0, 10.0, 18.0}; /* L/kg */
    for (int w = 0; w < 2; w++) {
        const double s = w ? 0.5 : 1.0, water = s * cotton()->pore_m * 1000.0 / cotton()->mass_kg_m2;
        const double tracer = travelled(0.0, s);
        assert_close(tracer, 100.0, 0.1);
        for (size_t i = 0; i < sizeof kds / sizeof *kds; i++) {
            char check[96];
            snprintf(check, sizeof check, "speed of water / of dye, Kd %.1f L/kg, %.2f kg water per kg", kds[i], water);
            const double expected = 1.0 + kds[i] / water;
            outside_close(check, "1 + Kd / W, linear chromatography", "", expected, tracer / travelled(1e-3 * kds[i], s),
                          0.005 * expected);
        }
    }
}

/* A spot in water at rest, cells of 1 mm. */
static void a_spot_at_rest_spreads_as_2_d_t_over_the_retardation(void **state)
{
    (void)state;
    enum { N = 200 };
    static const char *const ids[] = {"YL", "FU", "TQ"};
    for (int i = 0; i < 3; i++) {
        const thaw_component *dye = dye_of(ids[i]);
        const double cell = 1e-3, dt = 600.0, water = cotton()->pore_m * 1000.0 / cotton()->mass_kg_m2;
        bench b;
        strip s;
        char check[96];
        double mean, before, after;
        open_bench(&b, cotton(), N, 1, &dye, ZERO_C + 20.0, 1.0, 20.0);
        open_strip(&s, N);
        for (size_t k = 0; k + 1 < N; k++) {
            s.f[3][k] = (float)(dt * cotton()->pore_m / (cell * cell));
        }
        lay_bell(&s, 100.0, 8.0, 1e-8);
        moments(&s, &mean, &before);
        carry(&s, &b, dye->diffusivity_m2_s, 500);
        moments(&s, &mean, &after);
        const double expected = 2.0 * dye->diffusivity_m2_s * 500.0 * dt / (1.0 + 1e3 * dye->kd_m3_kg / water) / (cell * cell);
        snprintf(check, sizeof check, "square spread gained by a spot of %s in 83 h", dye->name);
        outside_close(check, "2 D t / R, Einstein 1905", "mm2", expected, after - before, 0.005 * expected);
        close_strip(&s);
        close_bench(&b);
    }
}

/* A sharp front that creeps along while it spreads: c / c0 = erfc((x - v t / R) / sqrt(4 D t / R)) / 2. Water at
 * 2 mm/h and cells of 1 mm, so that what the scheme smears would show beside what diffusion does. */
static void a_dye_front_creeps_along_and_spreads_as_ogata_and_banks_say(void **state)
{
    (void)state;
    enum { N = 240, FRONT = 120, STEPS = 400 };
    const thaw_component *dye = dye_of("FU");
    const double cell = 1e-3, dt = 900.0, speed = 2e-3 / 3600.0, water = cotton()->pore_m * 1000.0 / cotton()->mass_kg_m2;
    const double slower = 1.0 + 1e3 * dye->kd_m3_kg / water, t = STEPS * dt;
    bench b;
    strip s;
    open_bench(&b, cotton(), N, 1, &dye, ZERO_C + 20.0, 1.0, 20.0);
    open_strip(&s, N);
    for (size_t k = 0; k < N; k++) {
        s.mobile[k] = k < FRONT ? 1e-8 : 0.0;
        s.f[0][k] = k + 1 < N ? (float)(speed * dt / cell * cotton()->pore_m) : 0.0f;
        s.f[3][k] = k + 1 < N ? (float)(dt * cotton()->pore_m / (cell * cell)) : 0.0f;
    }
    carry(&s, &b, dye->diffusivity_m2_s, STEPS);
    double worst = 0.0, wide = 0.0, expected_wide = 0.0;
    for (int k = FRONT / 2; k < N; k++) { /* behind this the emptying end of the strip may show */
        const double x = (k + 0.5 - FRONT) * cell;
        const double exact = 0.5 * erfc((x - speed * t / slower) / sqrt(4.0 * dye->diffusivity_m2_s * t / slower));
        const double ours = s.mobile[k] / 1e-8;
        worst = fmax(worst, fabs(ours - exact));
        wide += ours * (1.0 - ours);
        expected_wide += exact * (1.0 - exact);
    }
    outside_error("front of fuchsia in water that creeps at 2 mm/h, after 100 h: c / c0 of the worst cell", OGATA, worst, 0.01);
    outside_close("front of fuchsia in water that creeps at 2 mm/h, after 100 h: width, sum of c (c0 - c)", OGATA, "mm",
                  expected_wide, wide, 0.03 * expected_wide);
    close_strip(&s);
    close_bench(&b);
}

/* ---- powder ---- */

#define GRAIN_UM 116.0             /* median by mass of a powder whose median by number is 50 um, sigma_g 1.7 */
/* Table: 66 s for a grain of 50 um at 0 C in water that takes 40 g/L. */
static double grain_life_s(double um, double soluble_kg_m3)
{
    return 66.0 * um * um / 2500.0 * 40.0 / soluble_kg_m3;
}

/* Share left at time t of a lognormal powder whose grains shrink by diffusion: each (1 - t / life)^(3/2). */
static double powder_left(double t_s, double soluble_kg_m3)
{
    double sum = 0.0, weight = 0.0;
    for (double z = -5.0; z <= 5.0; z += 0.01) {
        const double w = exp(-0.5 * z * z), life = grain_life_s(GRAIN_UM * pow(1.7, z), soluble_kg_m3);
        sum += t_s < life ? w * pow(1.0 - t_s / life, 1.5) : 0.0;
        weight += w;
    }
    return sum / weight;
}

/* Time at which half is left, and the mean time a gram stays dry: 0.4 life(median) exp(2 ln2 1.7). */
static double powder_half_s(double soluble_kg_m3)
{
    double t = 0.0;
    while (powder_left(t, soluble_kg_m3) > 0.5) {
        t += 1.0;
    }
    return t;
}

static double powder_mean_s(double soluble_kg_m3)
{
    return 0.4 * grain_life_s(GRAIN_UM, soluble_kg_m3) * exp(2.0 * log(1.7) * log(1.7));
}

typedef struct dissolution {
    double mean_s, half_s;         /* mean time a gram stays dry; time at which half is left */
} dissolution;

static void note_powder(dissolution *d, double t_s, double dt_s, double before, double after)
{
    d->mean_s += 0.5 * dt_s * (before + after);
    d->half_s = after > 0.5 ? t_s + dt_s : d->half_s;
}

#define POWDER_STEP_S 2.0
#define AT_0C         0.55         /* solubility at 0 C / at 20 C */

static dissolution dissolve_on_cloth(const thaw_component *dye)
{
    bench b;
    dissolution d = {0.0, 0.0};
    open_bench(&b, cotton(), 1, 1, &dye, ZERO_C, 1.0, SOAK_KG_M3);
    const double all = b.state.powder_kg_m2[0][0] = 1e-6, *now = b.state.powder_kg_m2[0];
    for (double t = 0.0; *now > 1e-6 * all; t += POWDER_STEP_S) {
        const double before = *now;
        wait_s(&b, POWDER_STEP_S, 1);
        note_powder(&d, t, POWDER_STEP_S, before / all, *now / all);
    }
    close_bench(&b);
    return d;
}

/* One piece of ice over a small cloth, with water running over it. */
static dissolution dissolve_on_ice(const thaw_component *dye)
{
    enum { SIDE = 10, N = SIDE * SIDE };
    thaw_error err = {0};
    int32_t top[N];
    for (int k = 0; k < N; k++) {
        top[k] = k;
    }
    double fallen[N] = {0.0}, shed[N] = {0.0}, t_k = ZERO_C;
    double share[N], thickness[N], open[N], contact[N];
    for (int k = 0; k < N; k++) {
        share[k] = 1.0;
        thickness[k] = 1e-3;
        open[k] = contact[k] = 0.0;
    }
    thaw_bundle bundle = {.nx = SIDE, .ny = SIDE, .n = N, .cell_m = 0.008, .tray_nx = SIDE, .tray_ny = SIDE,
                          .tray_m = 0.008, .top = top, .width_m = 0.08, .length_m = 0.08};
    thaw_warmth warmth = {.nx = SIDE, .ny = SIDE, .n = N, .square_m = 0.008, .t_k = &t_k, .cloth_share = share,
                          .thickness_m = thickness, .open = open, .contact_w_k = contact};
    double place = 0.04, mass = 0.02, one = 1.0, powder = 1e-6, sides[THAW_HEAP_SIDES] = {powder};
    thaw_heap heap = {.n = 1, .x_m = &place, .y_m = &place, .mass_kg = &mass, .count = &one, .start_k = &t_k,
                      .area_factor = &one, .packing = 0.6, .mass_total_kg = mass, .n_components = 1,
                      .powder_kg = {sides}};
    thaw_dye_list dyes = {.n = 1, .components = {dye}};
    double *const fallen_kg_m2[THAW_MAX_COMPONENTS] = {fallen};
    thaw_melt melt = {0};
    thaw_drip drip = {0};
    assert_int_equal(thaw_melt_create(&heap, &bundle, &warmth, &melt, &err), THAW_OK);
    assert_int_equal(thaw_melt_cover(&melt, &warmth, 0.0, &err), THAW_OK);
    assert_int_equal(thaw_drip_create(&heap, &bundle, &dyes, 1, fallen_kg_m2, &drip, &err), THAW_OK);
    dissolution d = {0.0, 0.0};
    for (double t = 0.0, left = powder; left > 1e-6 * powder; t += POWDER_STEP_S) {
        const double before = left;
        melt.released_kg[0] = 1e-3; /* plenty: solubility does not bind */
        thaw_drip_step(&drip, &melt, shed, POWDER_STEP_S);
        left = 0.0;
        for (int p = 0; p < drip.n_points; p++) {
            left += drip.powder_kg[0][p];
        }
        note_powder(&d, t, POWDER_STEP_S, before / powder, left / powder);
    }
    thaw_drip_destroy(&drip);
    thaw_melt_destroy(&melt);
    return d;
}

/* Diffusivity is known to 15 %, the density of the grains to 10 %: a quarter. */
static void a_gram_of_powder_stays_dry_as_long_as_grains_of_all_sizes_do(void **state)
{
    (void)state;
    const thaw_component *dye = dye_of("RD");
    const double mean = powder_mean_s(AT_0C * dye->solubility_kg_m3);
    outside_close("mean time a lognormal powder stays dry on cloth at 0 C", DISSOLUTION, "s", mean,
                  dissolve_on_cloth(dye).mean_s, 0.25 * mean);
    outside_close("mean time a lognormal powder stays dry on ice at 0 C", DISSOLUTION, "s", mean,
                  dissolve_on_ice(dye).mean_s, 0.25 * mean);
}

/* The program has one exponential in place of grains of all sizes: a factor of 1.5. */
static void half_of_a_powder_is_gone_as_soon_as_grains_of_all_sizes_say(void **state)
{
    (void)state;
    const thaw_component *dye = dye_of("RD");
    const double half = powder_half_s(AT_0C * dye->solubility_kg_m3);
    outside_within("half of a lognormal powder gone on cloth at 0 C", DISSOLUTION, "s", half / 1.5, half * 1.5,
                   dissolve_on_cloth(dye).half_s);
    outside_within("half of a lognormal powder gone on ice at 0 C", DISSOLUTION, "s", half / 1.5, half * 1.5,
                   dissolve_on_ice(dye).half_s);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sorbed_dye_lags_behind_the_water_as_the_retardation_factor_says),
        cmocka_unit_test(a_spot_at_rest_spreads_as_2_d_t_over_the_retardation),
        cmocka_unit_test(a_dye_front_creeps_along_and_spreads_as_ogata_and_banks_say),
        cmocka_unit_test(a_gram_of_powder_stays_dry_as_long_as_grains_of_all_sizes_do),
        cmocka_unit_test(half_of_a_powder_is_gone_as_soon_as_grains_of_all_sizes_say),
    };
    return outside_main(tests, argc, argv);
}
