/* Random numbers against the published known answers of Philox, a second implementation of it, and the
 * distributions they are to follow. Limits of the Kolmogorov-Smirnov checks are those passed by 999 of 1000
 * honest samples: sqrt(n) D below 1.95. */
#define _POSIX_C_SOURCE 200809L /* popen */
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>

#include <Random123/philox.h>

#include "outside.h"
#include "base/random.h"
#include "data/cloths.h"
#include "data/ices.h"
#include "data/water.h"
#include "setup/fold.h"
#include "setup/lay.h"

#define PI         3.141592653589793
#define KNOWN      "kat_vectors of the Random123 distribution, philox4x32 10"
#define KOLMOGOROV "Kolmogorov's limit for one sample in 1000"
#define SCRIPT     "/usr/bin/python3 " THAW_SOURCE_DIR "/tests/outside/philox.py"
#define N          100000

static void known_answers_of_philox_come_out_word_for_word(void **state)
{
    (void)state;
    static const struct {
        philox4x32_ctr_t counter;
        philox4x32_key_t key;
        uint32_t answer[4];
    } known[] = {
        {{{0, 0, 0, 0}}, {{0, 0}}, {0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8}},
        {{{0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff}},
         {{0xffffffff, 0xffffffff}},
         {0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd}},
        {{{0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344}},
         {{0xa4093822, 0x299f31d0}},
         {0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1}},
    };
    int right = 0;
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        philox4x32_ctr_t out = philox4x32(known[i].counter, known[i].key);
        for (int w = 0; w < 4; w++) {
            right += out.v[w] == known[i].answer[w];
        }
    }
    outside_close("words of the known answers that come out", KNOWN, "of 12", 12, right, 0.0);
    double u[4];
    right = 0;
    thaw_random_uniform4(0, 0, 0, u);
    for (int w = 0; w < 4; w++) {
        right += u[w] == ((double)known[0].answer[w] + 0.5) * 0x1p-32;
    }
    outside_close("words of seed 0, stream 0, index 0 that come out", KNOWN, "of 4", 4, right, 0.0);
}

static void seed_stream_and_index_give_what_a_second_philox_gives(void **state)
{
    (void)state;
    FILE *pipe = popen(SCRIPT, "r");
    assert_non_null(pipe);
    char line[256];
    int all = 0, right = 0;
    while (fgets(line, sizeof line, pipe)) {
        uint64_t seed, index;
        uint32_t stream, word[4];
        double u[4];
        assert_int_equal(sscanf(line, "%" SCNu64 ",%" SCNu32 ",%" SCNu64 ",%" SCNu32 ",%" SCNu32 ",%" SCNu32 ",%" SCNu32,
                                &seed, &stream, &index, &word[0], &word[1], &word[2], &word[3]), 7);
        thaw_random_uniform4(seed, stream, index, u);
        for (int w = 0; w < 4; w++) {
            right += u[w] == ((double)word[w] + 0.5) * 0x1p-32;
            all++;
        }
    }
    assert_int_equal(pclose(pipe), 0);
    assert_int_equal(all, 600);
    outside_close("numbers for 150 seeds, streams and indices that agree", "Salmon and others 2011, written anew in Python",
                  "of 600", 600, right, 0.0);
}

static int ascending(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double flat(double x)
{
    return x;
}

static double bell(double x)
{
    return 0.5 * erfc(-x / sqrt(2.0));
}

/* sqrt(n) D; sorts the values. */
static double kolmogorov(double *values, size_t n, double (*distribution)(double))
{
    double most = 0.0;
    qsort(values, n, sizeof *values, ascending);
    for (size_t i = 0; i < n; i++) {
        double f = distribution(values[i]);
        most = fmax(most, fmax((double)(i + 1) / (double)n - f, f - (double)i / (double)n));
    }
    return sqrt((double)n) * most;
}

static const uint64_t seeds[3] = {1, 7, 20240501};
static const uint32_t streams[3] = {THAW_STREAM_CLOTH, THAW_STREAM_ICE_SIZE, THAW_STREAM_DRIP};

static void uniform_numbers_pass_kolmogorov_and_smirnov(void **state)
{
    (void)state;
    double *x = malloc(N * sizeof *x), most = 0.0, sum = 0.0, square = 0.0;
    assert_non_null(x);
    for (int s = 0; s < 3; s++) {
        for (int t = 0; t < 3; t++) {
            for (uint64_t i = 0; i < N / 4; i++) {
                thaw_random_uniform4(seeds[s], streams[t], i, &x[4 * i]);
            }
            for (int i = 0; i < N; i++) {
                sum += x[i];
                square += (x[i] - 0.5) * (x[i] - 0.5);
            }
            most = fmax(most, kolmogorov(x, N, flat));
        }
    }
    free(x);
    outside_within("uniform numbers, largest sqrt(n) D of 9 samples of 100 000", KOLMOGOROV, "", 0.0, 1.95, most);
    /* Four standard errors of 900 000 numbers: of the mean sqrt(1/12/n), of the variance sqrt(1/180/n). */
    outside_close("mean of uniform numbers", "exact", "", 0.5, sum / (9.0 * N), 4.0 * sqrt(1.0 / 12.0 / (9.0 * N)));
    outside_close("variance of uniform numbers", "exact", "", 1.0 / 12.0, square / (9.0 * N),
                  4.0 * sqrt(1.0 / 180.0 / (9.0 * N)));
}

static void normal_numbers_pass_kolmogorov_and_smirnov(void **state)
{
    (void)state;
    double *z = malloc(N * sizeof *z), most = 0.0, power[5] = {0}, pair = 0.0, next = 0.0;
    assert_non_null(z);
    for (int s = 0; s < 3; s++) {
        for (int t = 0; t < 3; t++) {
            for (uint64_t i = 0; i < N / 2; i++) {
                thaw_random_normal2(seeds[s], streams[t], i, &z[2 * i]);
                pair += z[2 * i] * z[2 * i + 1];
                next += i ? z[2 * i] * z[2 * i - 1] : 0.0;
            }
            for (int i = 0; i < N; i++) {
                for (int p = 1; p < 5; p++) {
                    power[p] += pow(z[i], p) / (9.0 * N);
                }
            }
            most = fmax(most, kolmogorov(z, N, bell));
        }
    }
    free(z);
    /* Four standard errors; variances of z, z^2, z^3, z^4 are 1, 2, 15, 96. */
    const double four = 4.0 / sqrt(9.0 * N), half = 4.0 / sqrt(4.5 * N);
    outside_within("normal numbers, largest sqrt(n) D of 9 samples of 100 000", KOLMOGOROV, "", 0.0, 1.95, most);
    outside_close("mean of normal numbers", "exact", "", 0.0, power[1], four);
    outside_close("variance of normal numbers", "exact", "", 1.0, power[2], four * sqrt(2.0));
    outside_close("third moment of normal numbers", "exact", "", 0.0, power[3], four * sqrt(15.0));
    outside_close("fourth moment of normal numbers", "exact", "", 3.0, power[4], four * sqrt(96.0));
    outside_close("correlation of the two of a pair", "exact", "", 0.0, pair / (4.5 * N), half);
    outside_close("correlation of one pair with the next", "exact", "", 0.0, next / (4.5 * N), half);
}

/* Spreads that the program uses: cubes, crushed ice and snow, unevenness of cloth. */
static void lognormal_numbers_have_their_mean_and_spread(void **state)
{
    (void)state;
    static const double sigma[3] = {0.10, 0.35, 0.50};
    double mean_error = 0.0, square_error = 0.0, cube_error = 0.0;
    for (int s = 0; s < 3; s++) {
        double sum[4] = {0};
        for (uint64_t i = 0; i < 9 * N; i++) {
            double x = exp(sigma[s] * thaw_random_normal(7, THAW_STREAM_TEST, i));
            sum[1] += x / (9.0 * N);
            sum[2] += x * x / (9.0 * N);
            sum[3] += x * x * x / (9.0 * N);
        }
        double v = sigma[s] * sigma[s];
        mean_error = fmax(mean_error, fabs(sum[1] / exp(0.5 * v) - 1.0));
        square_error = fmax(square_error, fabs(sum[2] / exp(2.0 * v) - 1.0));
        cube_error = fmax(cube_error, fabs(sum[3] / exp(4.5 * v) - 1.0));
    }
    /* Four standard errors at sigma 0.5: sqrt((exp(k^2 v) - 1) / n) for the k-th moment. */
    const char *exact = "exact: exp(k^2 sigma^2 / 2)";
    outside_error("lognormal numbers, sigma 0.1, 0.35, 0.5: relative error of the mean", exact, mean_error,
                  4.0 * sqrt((exp(0.25) - 1.0) / (9.0 * N)));
    outside_error("lognormal numbers, relative error of the mean square", exact, square_error,
                  4.0 * sqrt((exp(1.0) - 1.0) / (9.0 * N)));
    outside_error("lognormal numbers, relative error of the mean cube", exact, cube_error,
                  4.0 * sqrt((exp(2.25) - 1.0) / (9.0 * N)));
}

/* Two kilograms of crushed ice on flat cloth, as laid: median 7.5 mm, sigma 0.35. The last piece is
 * what was left over: one of thousands. */
static void pieces_of_crushed_ice_have_lognormal_sizes(void **state)
{
    (void)state;
    const thaw_ice_kind *crushed = thaw_ices_find("crushed");
    thaw_specification spec = {.cloth = thaw_cloths_at(0), .width_m = 0.4, .length_m = 0.5, .n_ice = 1, .seed = 3,
                               .cell_m = 0.004};
    spec.ice[0] = (thaw_ice_zone){.kind = crushed, .mass_kg = 2.0, .diameter_m = 0.0075, .start_k = 268.15,
                                  .area = {.x1 = 1.0, .y1 = 1.0}};
    thaw_bundle bundle = {0};
    thaw_heap heap = {0};
    thaw_error err = {0};
    assert_int_equal(thaw_fold_bundle(&spec, &bundle, &err), THAW_OK);
    assert_int_equal(thaw_lay_ice(&spec, &bundle, &heap, &err), THAW_OK);
    double *z = malloc((size_t)heap.n * sizeof *z), cube = 0.0;
    assert_non_null(z);
    for (int i = 0; i < heap.n; i++) {
        double d3 = 6.0 * heap.mass_kg[i] / heap.count[i] / (PI * THAW_ICE_DENSITY_KG_M3);
        cube += d3 / pow(0.0075, 3.0) / heap.n;
        z[i] = log(cbrt(d3) / 0.0075) / 0.35;
    }
    const double v = 0.35 * 0.35, expected = exp(4.5 * v);
    outside_within("sizes of 2 kg of crushed ice, sqrt(n) D against the lognormal", KOLMOGOROV, "", 0.0, 1.95,
                   kolmogorov(z, (size_t)heap.n, bell));
    outside_close("mean volume of crushed ice / volume of the median piece", "exact: exp(9 sigma^2 / 2)", "", expected, cube,
                  4.0 * expected * sqrt((exp(9.0 * v) - 1.0) / heap.n));
    free(z);
    thaw_heap_release(&heap);
    thaw_bundle_release(&bundle);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(known_answers_of_philox_come_out_word_for_word),
        cmocka_unit_test(seed_stream_and_index_give_what_a_second_philox_gives),
        cmocka_unit_test(uniform_numbers_pass_kolmogorov_and_smirnov),
        cmocka_unit_test(normal_numbers_pass_kolmogorov_and_smirnov),
        cmocka_unit_test(lognormal_numbers_have_their_mean_and_spread),
        cmocka_unit_test(pieces_of_crushed_ice_have_lognormal_sizes),
    };
    return outside_main(tests, argc, argv);
}
