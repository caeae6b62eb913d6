/* The size of the pieces sets the pattern. Fineness and grain: a lightly scrunched twill of 80 cm, seven tenths of its area
 * when scrunched, 8 kg of ice, 8 g of dye, three seeds (grain one). Overlap of colours: a cushion of 60 cm scrunched to four
 * tenths under 4.5 kg, as scenarios/coral-cushion.yaml, for on light scrunches it is level. All under film; the same cloth,
 * crumple and amounts under each kind of ice. More seeds and other amounts were run by hand: docs/model.md has the tables. */
#include "small.h"

#include "data/dyes.h"
#include "data/ices.h"

enum { SEEDS = 3, BLEED_SEEDS = 4, GRAIN_SEEDS = 1, CRUSHED = 0, CUBES, BLOCK, KINDS };
static const char *const kinds[KINDS] = {"crushed", "cubes", "block"};
static const char *const three[] = {"golden yellow", "turquoise", "magenta"};

typedef struct cloth_work {
    double side_m, scrunched_to, ice_kg, dye_kg;
} cloth_work;

static const cloth_work light = {.side_m = 0.8, .scrunched_to = 0.7, .ice_kg = 8.0, .dye_kg = 8e-3};
static const cloth_work tight = {.side_m = 0.6, .scrunched_to = 0.4, .ice_kg = 4.5, .dye_kg = 4.5e-3};

static thaw_preview_figures run_under(const cloth_work *work, const char *ice, int n_colours, const char *const *colours,
                                      uint64_t seed)
{
    thaw_scenario *scenario = small_scenario("tide-backdrop", 1.0);
    thaw_specification *spec = &scenario->spec;
    thaw_error err = {0};
    thaw_preview *preview = NULL;
    thaw_scenario_set_seed(scenario, seed);
    spec->width_m = spec->length_m = work->side_m;
    spec->folds[0].share = work->scrunched_to;
    spec->covered = true;
    spec->n_ice = 1;
    spec->ice[0].kind = thaw_ices_find(ice);
    spec->ice[0].diameter_m = spec->ice[0].kind->diameter_m;
    spec->ice[0].start_k = spec->ice[0].kind->start_k;
    spec->ice[0].mass_kg = work->ice_kg;
    spec->n_dye = n_colours;
    for (int z = 0; z < n_colours; z++) {
        spec->dye[z].colour = thaw_colours_find(colours[z]);
        spec->dye[z].mass_kg = work->dye_kg / n_colours;
        spec->dye[z].clumping = n_colours > 1 ? 0.5 : 0.0;
        spec->dye[z].area = (thaw_area){.name = "part", .shape = THAW_AREA_BOX, .x0 = (double)z / n_colours,
                                        .x1 = (z + 1.0) / n_colours, .y1 = 1.0};
    }
    assert_done(thaw_preview_run(scenario, NULL, &preview, &err), &err);
    const thaw_preview_figures figures = *thaw_preview_get_figures(preview);
    thaw_preview_destroy(preview);
    thaw_scenario_destroy(scenario);
    return figures;
}

/* Mean and standard deviation over the seeds. */
static double mean_of(const double *value, int n, double *spread)
{
    double mean = 0.0, squares = 0.0;
    for (int i = 0; i < n; i++) {
        mean += value[i] / n;
    }
    for (int i = 0; i < n; i++) {
        squares += pow(value[i] - mean, 2.0);
    }
    *spread = sqrt(squares / (n - 1));
    print_message("  mean %.3f, standard deviation over the seeds %.3f\n", mean, *spread);
    return mean;
}

static void fineness_falls_from_crushed_ice_to_cubes_to_block(void **state)
{
    (void)state;
    double fineness[KINDS][SEEDS], mean[KINDS], spread[KINDS];
    for (int kind = 0; kind < KINDS; kind++) {
        for (int i = 0; i < SEEDS; i++) {
            const thaw_preview_figures f = run_under(&light, kinds[kind], 3, three, (uint64_t)i + 1);
            print_message("  %s %d: fineness %.3f, two or more dyes on %.3f\n", kinds[kind], i + 1, f.fineness, f.bleed_share);
            fineness[kind][i] = f.fineness;
        }
        mean[kind] = mean_of(fineness[kind], SEEDS, &spread[kind]);
    }
    for (int kind = CRUSHED; kind < BLOCK; kind++) {
        assert_true(mean[kind] - mean[kind + 1] > fmax(spread[kind], spread[kind + 1]));
    }
}

static void colours_side_by_side_overlap_more_under_crushed_ice_than_under_block(void **state)
{
    (void)state;
    double bleed[2][BLEED_SEEDS], mean[2], spread[2];
    for (int side = 0; side < 2; side++) {
        const char *kind = kinds[side ? BLOCK : CRUSHED];
        for (int i = 0; i < BLEED_SEEDS; i++) {
            bleed[side][i] = run_under(&tight, kind, 3, three, (uint64_t)i + 1).bleed_share;
            print_message("  %s %d: two or more dyes on %.3f\n", kind, i + 1, bleed[side][i]);
        }
        mean[side] = mean_of(bleed[side], BLEED_SEEDS, &spread[side]);
    }
    assert_true(mean[0] - mean[1] > fmax(spread[0], spread[1]));
}

static void grain_is_larger_under_block_than_under_crushed_ice(void **state)
{
    (void)state;
    static const char *const one[] = {"navy"};
    for (uint64_t seed = 1; seed <= GRAIN_SEEDS; seed++) {
        const thaw_preview_figures fine = run_under(&light, "crushed", 1, one, seed), coarse = run_under(&light, "block", 1, one, seed);
        print_message("  %d: crushed %.1f %.1f mm, block %.1f %.1f mm\n", (int)seed, 1e3 * fine.grain_weft_m,
                      1e3 * fine.grain_warp_m, 1e3 * coarse.grain_weft_m, 1e3 * coarse.grain_warp_m);
        assert_true(coarse.grain_weft_m > 1.2 * fine.grain_weft_m);
        assert_true(coarse.grain_warp_m > 1.2 * fine.grain_warp_m);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fineness_falls_from_crushed_ice_to_cubes_to_block),
        cmocka_unit_test(colours_side_by_side_overlap_more_under_crushed_ice_than_under_block),
        cmocka_unit_test(grain_is_larger_under_block_than_under_crushed_ice),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
