/* What a dyer sees must come out of the computation: white where no ice lay, colours that part on their way,
 * more powder that never makes lighter cloth. */
#include "small.h"

#include <stdlib.h>

#include "data/dyes.h"
#include "look/colour.h"
#include "look/render.h"

enum { L, A, B };

/* L*, a*, b* of the rinsed, dry cloth, cell after cell, with the given fixed dye; the caller frees it. */
static double *lab_of(const thaw_outcome *work, double *const *fixed_kg_m2)
{
    const thaw_engine *e = &work->engine;
    const size_t n = e->state.n;
    thaw_error err = {0};
    double *xyz = calloc(3 * n, sizeof *xyz), *lab = calloc(3 * n, sizeof *lab);
    thaw_print print = {.nx = work->bundle.nx, .ny = work->bundle.ny, .cell_m = work->bundle.cell_m,
                        .cloth = work->spec->cloth, .n_components = e->dyes->n, .saturation = e->state.saturation};
    assert_non_null(xyz);
    assert_non_null(lab);
    for (int c = 0; c < e->dyes->n; c++) {
        print.components[c] = e->dyes->components[c];
        print.rows[c] = e->dyes->rows[c];
        print.fixed_kg_m2[c] = print.loose_kg_m2[c] = fixed_kg_m2[c];
    }
    assert_done(thaw_look_cells(&print, false, xyz, &err), &err);
    for (size_t k = 0; k < n; k++) {
        thaw_colour_lab((double[]){xyz[k], xyz[n + k], xyz[2 * n + k]}, lab + 3 * k);
    }
    free(xyz);
    return lab;
}

static double *dry_lab(const thaw_outcome *work)
{
    return lab_of(work, work->engine.state.fixed_kg_m2);
}

static double depth(const thaw_engine *e, size_t k)
{
    double sum = 0.0;
    for (int c = 0; c < e->dyes->n; c++) {
        sum += e->state.fixed_kg_m2[c][k];
    }
    return sum;
}

/* The demo's cloth at 0.7 of its size, scrunched; ice as deep as there and dye as dense, but on the left half
 * of the bundle only. White: so little dye that L* falls by less than 5 and the hue shows by less than 5. */
static void the_half_without_ice_stays_mostly_white(void **state)
{
    (void)state;
    thaw_scenario *scenario = small_scenario("tide-backdrop", 0.7);
    thaw_specification *spec = &scenario->spec;
    const thaw_area left = {.name = "left half", .shape = THAW_AREA_BOX, .x1 = 0.5, .y1 = 1.0};
    thaw_outcome work;
    spec->n_dye = 1;
    spec->dye[0].colour = thaw_colours_find("navy");
    for (int z = 0; z < spec->n_ice; z++) {
        spec->ice[z].mass_kg *= 0.5;
        spec->ice[z].area = left;
    }
    spec->dye[0].area = left;
    run_small(spec, &work);
    const thaw_bundle *b = &work.bundle;
    double *lab = dry_lab(&work), bare[3] = {0.0, 0.0, 0.0};
    for (size_t k = 0; k < b->n; k++) {
        if (lab[3 * k] > bare[L]) {
            memcpy(bare, lab + 3 * k, sizeof bare);
        }
    }
    size_t cells[2] = {0, 0}, white[2] = {0, 0};
    for (size_t k = 0; k < b->n; k++) {
        const double *c = lab + 3 * k;
        const int right = b->x_m[k] > 0.5 * b->width_m;
        cells[right]++;
        white[right] += bare[L] - c[L] < 5.0 && hypot(c[A] - bare[A], c[B] - bare[B]) < 5.0;
    }
    const double kept = (double)white[1] / (double)cells[1], missed = (double)white[0] / (double)cells[0];
    print_message("  white: %.3f of the half without ice, %.3f of the half under it\n", kept, missed);
    assert_true(kept > 0.5);
    assert_at_most(missed, 0.2);
    free(lab);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
}

/* Flat damp cotton with one colour in the middle. */
static void run_centre(const char *colour, double grams, thaw_scenario **scenario, thaw_outcome *work)
{
    *scenario = small_scenario("tide-backdrop", 0.25);
    thaw_specification *spec = &(*scenario)->spec;
    spec->n_folds = 0;
    spec->n_dye = 1;
    spec->dye[0].colour = thaw_colours_find(colour);
    assert_non_null(spec->dye[0].colour);
    spec->dye[0].mass_kg = 1e-3 * grams;
    spec->dye[0].area = (thaw_area){.name = "centre", .shape = THAW_AREA_DISC, .x0 = 0.3, .y0 = 0.3, .x1 = 0.7, .y1 = 0.7};
    run_small(spec, work);
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The cloth as it would be if the dyes had stayed together: as deep everywhere, in the mean proportions. */
static double *lab_together(const thaw_outcome *work)
{
    const thaw_engine *e = &work->engine;
    double total = 0.0, *fixed[THAW_MAX_COMPONENTS];
    for (int c = 0; c < e->dyes->n; c++) {
        total += thaw_engine_sum_kg(e, e->state.fixed_kg_m2[c]);
    }
    for (int c = 0; c < e->dyes->n; c++) {
        const double share = thaw_engine_sum_kg(e, e->state.fixed_kg_m2[c]) / total;
        fixed[c] = calloc(e->state.n, sizeof(double));
        assert_non_null(fixed[c]);
        for (size_t k = 0; k < e->state.n; k++) {
            fixed[c][k] = share * depth(e, k);
        }
    }
    double *lab = lab_of(work, fixed);
    for (int c = 0; c < e->dyes->n; c++) {
        free(fixed[c]);
    }
    return lab;
}

/* Over the halo, cells with 1 to 30 % of the dye of the deepest: P10 to P90 of the angle between the hue and
 * that of the dyes kept together at the same depth. Hue turns with depth alone too; that is not counted. */
static double parting_degrees(const char *colour)
{
    thaw_scenario *scenario;
    thaw_outcome work;
    run_centre(colour, 0.3, &scenario, &work);
    const thaw_engine *e = &work.engine;
    double *lab = dry_lab(&work), *kept = lab_together(&work), *angle = calloc(e->state.n, sizeof *angle), most = 0.0;
    size_t n = 0;
    assert_non_null(angle);
    for (size_t k = 0; k < e->state.n; k++) {
        most = fmax(most, depth(e, k));
    }
    for (size_t k = 0; k < e->state.n; k++) {
        const double *c = lab + 3 * k, *d = kept + 3 * k, part = depth(e, k) / most;
        if (part > 0.01 && part < 0.3) {
            angle[n++] = atan2(c[B] * d[A] - c[A] * d[B], c[A] * d[A] + c[B] * d[B]) * 57.295779513082323;
        }
    }
    assert_true(n > 100);
    qsort(angle, n, sizeof *angle, by_size);
    const double range = angle[n - 1 - n / 10] - angle[n / 10];
    print_message("  %s: hue parts by %.1f degrees over %zu cells of the halo\n", colour, range, n);
    free(angle);
    free(lab);
    free(kept);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
    return range;
}

/* Navy is a disazo navy with some bluish red; they travel and bond at different rates. */
static void a_mixture_parts_into_hues_and_a_single_dye_does_not(void **state)
{
    (void)state;
    assert_true(parting_degrees("navy") > 4.0);
    assert_true(parting_degrees("purple") > 4.0);
    assert_at_most(parting_degrees("magenta"), 1e-6);
}

/* The same cloth, ice and chance with more and more powder. */
static void more_powder_is_never_lighter(void **state)
{
    (void)state;
    double before = 101.0;
    for (double grams = 0.05; grams < 2.0; grams *= 2.0) {
        thaw_scenario *scenario;
        thaw_outcome work;
        run_centre("blue", grams, &scenario, &work);
        double *lab = dry_lab(&work), mean = 0.0;
        for (size_t k = 0; k < work.engine.state.n; k++) {
            mean += lab[3 * k] / (double)work.engine.state.n;
        }
        print_message("  %.2f g: L* %.2f\n", grams, mean);
        assert_true(mean < before);
        before = mean;
        free(lab);
        thaw_outcome_clear(&work);
        thaw_scenario_destroy(scenario);
    }
}

/* Run time itself is not tested; the work is. A water step that creeps would show here. */
static void the_water_takes_few_steps(void **state)
{
    (void)state;
    static const char *names[] = {"tide-backdrop", "herons-cape", "moon-scarf"};
    for (int i = 0; i < 3; i++) {
        thaw_scenario *scenario = small_scenario(names[i], 0.4);
        thaw_outcome work;
        run_small(&scenario->spec, &work);
        const thaw_engine *e = &work.engine;
        const double each = (double)(e->n_inner + e->n_rejected) / e->curve.n;
        const double rounds = (double)e->n_rounds / (double)(e->n_inner + e->n_rejected);
        const double parts = (double)e->n_carry / (double)e->n_inner / (1.0 + e->dyes->n);
        print_message("  %s: %.2f tries a step, %.1f solver rounds a try, each solute carried in %.1f parts\n", names[i], each,
                      rounds, parts);
        assert_at_most(each, 4.0);
        assert_at_most(rounds, 60.0);
        assert_at_most(parts, 15.0);
        thaw_outcome_clear(&work);
        thaw_scenario_destroy(scenario);
    }
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_half_without_ice_stays_mostly_white),
        cmocka_unit_test(a_mixture_parts_into_hues_and_a_single_dye_does_not),
        cmocka_unit_test(more_powder_is_never_lighter),
        cmocka_unit_test(the_water_takes_few_steps),
    };
    if (argc > 1) { /* one by name */
        cmocka_set_test_filter(argv[1]);
    }
    return cmocka_run_group_tests(tests, NULL, NULL);
}
