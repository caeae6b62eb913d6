/* The statistics of sets against the GNU Scientific Library. */
#include "outside.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>

#include "base/random.h"
#include "study/chance.h"
#include "study/paired.h"

#define GSL "GNU Scientific Library, computed in the test"

static void student_tails_agree_with_a_statistics_library(void **state)
{
    (void)state;
    double worst = 0.0;
    for (int nu = 1; nu <= 400; nu = nu < 12 ? nu + 1 : 2 * nu) {
        for (double t = 0.0; t < 40.0; t = 1.15 * t + 0.01) {
            const double expected = 2.0 * gsl_cdf_tdist_Q(t, nu);
            worst = fmax(worst, fabs(thaw_student_tail(t, nu) - expected) / fmax(expected, 1e-12)); /* its far tail is approximate */
        }
    }
    outside_error("two-sided tail of Student's t, 1 to 384 degrees, worst relative", GSL, worst, 1e-9);
}

static void quantiles_agree_with_a_statistics_library(void **state)
{
    (void)state;
    double worst = 0.0;
    for (int n = 1; n < 60; n++) {
        double values[60], sorted[60];
        for (int i = 0; i < n; i++) {
            values[i] = sorted[i] = thaw_random_normal(5, THAW_STREAM_TEST, (uint64_t)(100 * n + i));
        }
        gsl_sort(sorted, 1, (size_t)n);
        for (double p = 0.0; p <= 1.0; p += 0.05) {
            const double expected = gsl_stats_quantile_from_sorted_data(sorted, 1, (size_t)n, p);
            worst = fmax(worst, fabs(thaw_quantile(values, n, p) - expected));
        }
    }
    outside_error("quantiles of 1 to 59 normal numbers, worst", GSL, worst, 1e-12);
}

/* Under no difference a test at 5 % errs in 5 of 100: 2000 sets of 12 pairs of one lognormal, 12 numbers each. */
static void nothing_is_called_clear_where_nothing_differs(void **state)
{
    (void)state;
    const int tries = 2000, n = 12, numbers = 12;
    int wrong = 0;
    for (int t = 0; t < tries; t++) {
        thaw_paired all[12];
        for (int h = 0; h < numbers; h++) {
            double a[12], b[12], scratch[12];
            for (int i = 0; i < n; i++) {
                double z[2];
                thaw_random_normal2(11, THAW_STREAM_TEST, (uint64_t)((t * numbers + h) * n + i), z);
                a[i] = exp(0.3 * z[0]);
                b[i] = exp(0.3 * z[1]);
            }
            all[h] = thaw_paired_find(a, b, n, THAW_SPREAD_RATIO, scratch);
        }
        thaw_paired_judge(all, numbers);
        int any = 0;
        for (int h = 0; h < numbers; h++) {
            any += all[h].is_clear;
        }
        wrong += any > 0;
    }
    /* 0.05 and three standard errors */
    outside_within("comparisons of like with like in which something is called clear, share of 2000", "Holm 1979: at most 0.05",
                  "", 0.0, 0.065, (double)wrong / tries);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(student_tails_agree_with_a_statistics_library),
        cmocka_unit_test(quantiles_agree_with_a_statistics_library),
        cmocka_unit_test(nothing_is_called_clear_where_nothing_differs),
    };
    return outside_main(tests, argc, argv);
}
