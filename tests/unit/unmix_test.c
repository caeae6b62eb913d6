/* Colours of known amounts of dye give the amounts back. */
#include "check.h"

#include "base/alloc.h"
#include "base/random.h"
#include "data/cloths.h"
#include "data/dyes.h"
#include "look/render.h"
#include "look/unmix.h"

#define NX 20
#define NY 15
#define N (NX * NY)

static const thaw_component *component(const char *name)
{
    for (int i = 0; i < thaw_components_count(); i++) {
        if (strcmp(thaw_components_at(i)->name, name) == 0) {
            return thaw_components_at(i);
        }
    }
    fail();
    return NULL;
}

static thaw_print print_of(int n_dyes, const char *const *names, double amounts[][N])
{
    thaw_print print = {.nx = NX, .ny = NY, .cell_m = 0.004, .cloth = thaw_cloths_find("cotton twill"), .n_components = n_dyes};
    for (int d = 0; d < n_dyes; d++) {
        print.components[d] = component(names[d]);
        print.rows[d] = d;
        print.fixed_kg_m2[d] = amounts[d];
    }
    return print;
}

/* From nothing to a deep shade, each dye missing on some cells. */
static void sprinkle(int n_dyes, double amounts[][N])
{
    for (int d = 0; d < n_dyes; d++) {
        for (int k = 0; k < N; k++) {
            const double u = thaw_random_uniform(5, 901, (uint64_t)(d * N + k));
            amounts[d][k] = u < 0.25 ? 0.0 : 4e-3 * (u - 0.25) * (u - 0.25); /* up to 1 % of the cloth */
        }
    }
}

static void colours_of_one_to_three_dyes_give_the_amounts_back(void **state)
{
    (void)state;
    static const char *const names[] = {"turquoise", "fuchsia", "golden yellow"};
    static double amounts[3][N], found[3][N], xyz[3 * N];
    double *out[3] = {found[0], found[1], found[2]};
    for (int n = 1; n <= 3; n++) {
        thaw_error err = {0};
        sprinkle(n, amounts);
        thaw_print print = print_of(n, names, amounts);
        assert_int_equal(thaw_look_cells(&print, false, xyz, &err), THAW_OK);
        assert_int_equal(thaw_look_unmix(&print, xyz, out, &err), THAW_OK);
        double worst = 0.0;
        for (int d = 0; d < n; d++) {
            for (int k = 0; k < N; k++) {
                worst = fmax(worst, fabs(found[d][k] - amounts[d][k]));
            }
        }
        printf("%d dyes: worst amount off by %.2g kg/m2 of up to %.2g\n", n, worst, 4e-3 * 0.5625);
        assert_at_most(worst, 0.01 * 4e-3 * 0.5625);
    }
}

static void colours_that_no_amount_gives_still_have_a_nearest(void **state)
{
    (void)state;
    static const char *const names[] = {"turquoise"};
    static double amounts[1][N], found[1][N], xyz[3 * N];
    double *out[1] = {found[0]};
    thaw_error err = {0};
    thaw_print print = print_of(1, names, amounts);
    for (int k = 0; k < N; k++) {
        xyz[k] = 0.4;              /* a red, a white beyond white, a black */
        xyz[N + k] = k % 3 == 0 ? 0.2 : k % 3 == 1 ? 1.3 : 0.0;
        xyz[2 * N + k] = 0.02;
    }
    assert_int_equal(thaw_look_unmix(&print, xyz, out, &err), THAW_OK);
    for (int k = 0; k < N; k++) {
        assert_true(isfinite(found[0][k]) && found[0][k] >= 0.0);
    }
}

static void more_than_three_dyes_are_refused(void **state)
{
    (void)state;
    static const char *const names[] = {"turquoise", "fuchsia", "golden yellow", "turquoise"};
    static double amounts[4][N], xyz[3 * N];
    double *out[4] = {amounts[0], amounts[1], amounts[2], amounts[3]};
    thaw_error err = {0};
    thaw_print print = print_of(4, names, amounts);
    assert_int_equal(thaw_look_unmix(&print, xyz, out, &err), THAW_ERR_ARGUMENT);
    print.n_components = 0;
    assert_int_equal(thaw_look_unmix(&print, xyz, out, NULL), THAW_ERR_ARGUMENT);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(colours_of_one_to_three_dyes_give_the_amounts_back),
        cmocka_unit_test(colours_that_no_amount_gives_still_have_a_nearest),
        cmocka_unit_test(more_than_three_dyes_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
