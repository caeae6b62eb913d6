/* Each shipped scenario at small size against the figures it gave before (figures.txt). Sides near 24 cm, cells of 6 mm, three
 * hours; set-ups in full, cells of 9 mm: what is watched is that nothing changes unasked, not what is true.
 * golden_test write: stores the figures anew. golden_test waver: how far they move when rounding does.
 *
 * Tolerances. On one machine a build gives the same bits. Another compiler or mathematical library changes last digits, which
 * crumpling and first drops could blow up. `waver` changes width and room temperature by a part in 1e12; that moved depth by
 * 5e-4 L*, unevenness by 2e-4, shares of dye by 4e-6, colours (CIEDE2000, means over ninths of the cloth) by 0.002 at most over
 * all scenarios, and no count at all. Allowed is some twenty times that; of what is counted in cells, three cells. */
#include "small.h"

#include <stdlib.h>

#include "look/colour.h"
#include "look/render.h"

#define SIDE_M 0.24
#define CELL_M 0.006
#define SET_UP_CELL_M 0.009
#define HOURS  3600.0
#define PATCHES 3
#define N_COLOURS (PATCHES * PATCHES)

static const char *const scenarios[] = {
    "tide-backdrop", "herons-cape",  "moon-scarf",    "anemone-bed",    "sun-fan",     "starfish",    "flag-locker", "compass-rose",
    "whirlpool",     "mast-stripes", "fish-scales",   "octopus-head",   "harbour-awning", "gull-cloth", "breaker-shirt",
    "coral-cushion", "midnight-cushion",
    "set-ups/ebb-water",    "set-ups/foam-hem",     "set-ups/harbour-lights", "set-ups/ice-floes",   "set-ups/net-mender",
    "set-ups/night-watch",  "set-ups/painted-waves", "set-ups/pebble-beach",  "set-ups/rock-pool",   "set-ups/salt-crust",
    "set-ups/sea-witchs-well", "set-ups/second-frost",
};
enum { N_SCENARIOS = sizeof scenarios / sizeof *scenarios };

enum { WHITE, DEPTH, UNEVEN, BLEED, FIXED, TUB, ICE, LAYERS, WIDTH, LENGTH, N_FIGURES };
static const struct {
    const char *name;
    double tolerance;
} figures[N_FIGURES] = {
    [WHITE] = {"white share", 0.002},      [DEPTH] = {"depth, L*", 0.01},      [UNEVEN] = {"unevenness, L*", 0.005},
    [BLEED] = {"bleed share", 0.002},      [FIXED] = {"fixed share", 2e-5},    [TUB] = {"share to the tub", 1e-4},
    [ICE] = {"share of ice left", 1e-5},   [LAYERS] = {"layers", 0.005},       [WIDTH] = {"bundle width, m", 1e-5},
    [LENGTH] = {"bundle length, m", 1e-5},
};
static const double colour_tolerance = 0.05;

typedef struct record {
    double figures[N_FIGURES], lab[N_COLOURS][3];
} record;

static void mean_colours(const thaw_print *print, const thaw_bundle *b, double lab[N_COLOURS][3])
{
    const size_t n = (size_t)print->nx * (size_t)print->ny;
    double *xyz = malloc(3 * n * sizeof *xyz), sums[N_COLOURS][3] = {{0.0}}, count[N_COLOURS] = {0.0};
    thaw_error err = {0};
    assert_non_null(xyz);
    assert_done(thaw_look_cells(print, false, xyz, &err), &err);
    for (size_t k = 0; k < n; k++) {
        const int i = (int)(k % (size_t)print->nx) * PATCHES / print->nx, j = (int)(k / (size_t)print->nx) * PATCHES / print->ny;
        if (thaw_bundle_is_cloth(b, k)) {
            for (size_t c = 0; c < 3; c++) {
                sums[j * PATCHES + i][c] += xyz[c * n + k];
            }
            count[j * PATCHES + i] += 1.0;
        }
    }
    for (int p = 0; p < N_COLOURS; p++) {
        const double some = count[p] > 0.0 ? count[p] : 1.0;
        const double at[3] = {sums[p][0] / some, sums[p][1] / some, sums[p][2] / some};
        thaw_colour_lab(at, lab[p]);
    }
    free(xyz);
}

static void run_scenario(const char *name, bool waver, record *out)
{
    thaw_scenario *scenario = small_scenario(name, 1.0);
    thaw_specification *spec = &scenario->spec;
    thaw_preview_figures f = {0};
    thaw_print print;
    thaw_outcome work;
    thaw_error err = {0};
    double weighed = 0.0, tub = 0.0;
    /* Set-ups place things in cm and are small as they are. */
    const bool is_set_up = strchr(name, '/') != NULL;
    if (!is_set_up) {
        shrink(scenario, SIDE_M / sqrt(thaw_specification_area_m2(spec)));
    }
    spec->cell_m = is_set_up ? SET_UP_CELL_M : CELL_M;
    spec->leave_s = fmin(spec->leave_s, 3.0 * HOURS);
    spec->width_m *= waver ? 1.0 + 1e-12 : 1.0;
    spec->room_k *= waver ? 1.0 + 1e-12 : 1.0;
    run_small(spec, &work);
    assert_done(thaw_outcome_conclude(&work, &print, &f, &err), &err);
    for (int d = 0; d < f.n_dyes; d++) {
        weighed += f.dyes[d].weighed_kg;
        tub += f.dyes[d].tub_kg;
    }
    *out = (record){.figures = {[WHITE] = f.white_share, [DEPTH] = f.depth, [UNEVEN] = f.unevenness, [BLEED] = f.bleed_share,
                                [FIXED] = f.fixed_share, [TUB] = tub / weighed, [ICE] = f.ice_left_kg / f.ice_kg,
                                [LAYERS] = f.layers_mean, [WIDTH] = f.bundle_width_m, [LENGTH] = f.bundle_length_m}};
    mean_colours(&print, &work.bundle, out->lab);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
}

static void write_record(FILE *to, const char *name, const record *r)
{
    fprintf(to, "%s", name);
    for (int i = 0; i < N_FIGURES; i++) {
        fprintf(to, " %.7f", r->figures[i]);
    }
    for (int p = 0; p < N_COLOURS; p++) {
        fprintf(to, "  %.3f %.3f %.3f", r->lab[p][0], r->lab[p][1], r->lab[p][2]);
    }
    fprintf(to, "\n");
}

static bool read_record(FILE *from, const char *name, record *r)
{
    char word[64];
    bool whole = fscanf(from, "%63s", word) == 1 && strcmp(word, name) == 0;
    for (int i = 0; whole && i < N_FIGURES; i++) {
        whole = fscanf(from, "%lf", &r->figures[i]) == 1;
    }
    for (int i = 0; whole && i < 3 * N_COLOURS; i++) {
        whole = fscanf(from, "%lf", &r->lab[i / 3][i % 3]) == 1;
    }
    return whole;
}

static FILE *open_stored(const char *mode)
{
    FILE *stored = fopen(THAW_SOURCE_DIR "/tests/golden/figures.txt", mode);
    assert_non_null(stored);
    return stored;
}

static void shipped_scenarios_give_the_figures_they_gave(void **state)
{
    (void)state;
    FILE *stored = open_stored("r");
    int amiss = 0;
    for (int s = 0; s < N_SCENARIOS; s++) {
        record before, now;
        if (!read_record(stored, scenarios[s], &before)) {
            fail_msg("figures.txt has not the scenarios of this test: golden_test write");
        }
        run_scenario(scenarios[s], false, &now);
        for (int i = 0; i < N_FIGURES; i++) {
            if (!(fabs(now.figures[i] - before.figures[i]) <= figures[i].tolerance)) {
                print_error("  %s: %s was %g, is %g\n", scenarios[s], figures[i].name, before.figures[i], now.figures[i]);
                amiss++;
            }
        }
        for (int p = 0; p < N_COLOURS; p++) {
            const double far = thaw_colour_difference(now.lab[p], before.lab[p]);
            if (!(far <= colour_tolerance)) {
                print_error("  %s: colour of ninth %d is off by %.2f\n", scenarios[s], p + 1, far);
                amiss++;
            }
        }
    }
    fclose(stored);
    assert_int_equal(amiss, 0);
}

static int store(void)
{
    FILE *stored = open_stored("w");
    for (int s = 0; s < N_SCENARIOS; s++) {
        record r;
        run_scenario(scenarios[s], false, &r);
        write_record(stored, scenarios[s], &r);
    }
    return fclose(stored);
}

static int waver(void)
{
    double most[N_FIGURES] = {0.0}, colour = 0.0;
    for (int s = 0; s < N_SCENARIOS; s++) {
        record a, b;
        run_scenario(scenarios[s], false, &a);
        run_scenario(scenarios[s], true, &b);
        for (int i = 0; i < N_FIGURES; i++) {
            most[i] = fmax(most[i], fabs(a.figures[i] - b.figures[i]));
        }
        for (int p = 0; p < N_COLOURS; p++) {
            colour = fmax(colour, thaw_colour_difference(a.lab[p], b.lab[p]));
        }
        printf("%-24s", scenarios[s]);
        for (int i = 0; i < N_FIGURES; i++) {
            printf(" %.1e", fabs(a.figures[i] - b.figures[i]));
        }
        printf("\n");
    }
    for (int i = 0; i < N_FIGURES; i++) {
        printf("%-20s %g\n", figures[i].name, most[i]);
    }
    printf("%-20s %g\n", "colour", colour);
    return 0;
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shipped_scenarios_give_the_figures_they_gave),
    };
    if (argc > 1) {
        return strcmp(argv[1], "write") == 0 ? store() : waver();
    }
    return cmocka_run_group_tests(tests, NULL, NULL);
}
