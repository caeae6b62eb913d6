#include "study/paired.h"

#include <math.h>

#include "study/chance.h"

#define LEVEL 0.05
#define LEAST_PAIRS 3

/* Continued fraction of the incomplete beta function, by Lentz's method. */
static double beta_fraction(double a, double b, double x)
{
    const double tiny = 1e-300;
    double c = 1.0, d = 1.0 - (a + b) * x / (a + 1.0);
    d = 1.0 / (fabs(d) < tiny ? tiny : d);
    double f = d;
    for (int m = 1; m < 500; m++) {
        for (int half = 0; half < 2; half++) {
            const double up = half ? -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
                                   : m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
            d = 1.0 + up * d;
            d = 1.0 / (fabs(d) < tiny ? tiny : d);
            c = 1.0 + up / (fabs(c) < tiny ? tiny : c);
            f *= c * d;
        }
        if (fabs(c * d - 1.0) < 1e-15) {
            break;
        }
    }
    return f;
}

/* I_x(a, b); the fraction converges fast below the mean, beyond it I_x(a, b) = 1 - I_{1-x}(b, a). */
static double beta_share(double a, double b, double x)
{
    if (x <= 0.0 || x >= 1.0) {
        return x <= 0.0 ? 0.0 : 1.0;
    }
    const double front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x));
    return x < (a + 1.0) / (a + b + 2.0) ? front * beta_fraction(a, b, x) / a
                                         : 1.0 - front * beta_fraction(b, a, 1.0 - x) / b;
}

double thaw_student_tail(double t, double nu)
{
    return beta_share(0.5 * nu, 0.5, nu / (nu + t * t));
}

/* By bisection. */
double thaw_student_quantile(double p, double nu)
{
    double low = 0.0, high = 1e6;
    for (int i = 0; i < 200; i++) {
        const double t = 0.5 * (low + high);
        low = thaw_student_tail(t, nu) > p ? t : low;
        high = thaw_student_tail(t, nu) > p ? high : t;
    }
    return 0.5 * (low + high);
}

/* P of a split as uneven, or more so, of n fair coins: two-sided, exact. */
static double sign_tail(int fewer, int n)
{
    double sum = 0.0;
    for (int i = 0; i <= fewer; i++) {
        sum += exp(lgamma(n + 1.0) - lgamma(i + 1.0) - lgamma(n - i + 1.0) - n * log(2.0));
    }
    return fmin(1.0, 2.0 * sum);
}

/* Some time did not come before the rinse: it is more than any that did, by nobody knows how much. */
static thaw_paired find_by_signs(const double *a, const double *b, int n, double *scratch)
{
    thaw_paired r = {.p = 1.0, .difference = NAN, .mean = NAN, .low = NAN, .high = NAN};
    int more = 0, less = 0;
    for (int i = 0; i < n; i++) {
        const bool counts = !isnan(a[i]) && !isnan(b[i]) && !(isinf(a[i]) && isinf(b[i]));
        if (counts) {
            more += b[i] > a[i];
            less += b[i] < a[i];
            scratch[r.n++] = b[i] - a[i];
        }
    }
    if (more + less > 0) {
        r.difference = thaw_quantile(scratch, r.n, 0.5);
        r.p = r.n < LEAST_PAIRS ? 1.0 : sign_tail(more < less ? more : less, more + less);
    }
    return r;
}

thaw_paired thaw_paired_find(const double *a, const double *b, int n, thaw_spread spread, double *scratch)
{
    thaw_paired r = {.p = 1.0, .difference = NAN, .mean = NAN, .low = NAN, .high = NAN};
    double sum = 0.0, squares = 0.0;
    for (int i = 0; i < n; i++) {
        if ((isinf(a[i]) && isfinite(b[i])) || (isfinite(a[i]) && isinf(b[i]))) {
            return find_by_signs(a, b, n, scratch);
        }
    }
    for (int i = 0; i < n; i++) {
        if (isfinite(a[i]) && isfinite(b[i])) {
            const double d = thaw_spread_to(b[i], spread) - thaw_spread_to(a[i], spread);
            sum += d;
            squares += d * d;
            scratch[r.n++] = b[i] - a[i];
        }
    }
    if (r.n > 0) {
        r.difference = thaw_quantile(scratch, r.n, 0.5);
        r.mean = sum / r.n;
    }
    if (r.n < LEAST_PAIRS) {
        return r;
    }
    const double variance = fmax(0.0, squares / r.n - r.mean * r.mean) * r.n / (r.n - 1);
    const double error = sqrt(variance / r.n), half = thaw_student_quantile(LEVEL, r.n - 1) * error;
    r.low = r.mean - half;
    r.high = r.mean + half;
    r.p = error > 0.0 ? thaw_student_tail(r.mean / error, r.n - 1) : r.mean == 0.0 ? 1.0 : 0.0;
    return r;
}

void thaw_paired_judge(thaw_paired *all, int n)
{
    for (int i = 0; i < n; i++) {
        int smaller = 0;
        double worst = 0.0; /* the largest adjusted value among those that come no later */
        for (int j = 0; j < n; j++) {
            const bool before = all[j].p < all[i].p || (all[j].p == all[i].p && j <= i);
            if (before) {
                int rank = 0;
                for (int k = 0; k < n; k++) {
                    rank += all[k].p < all[j].p || (all[k].p == all[j].p && k < j);
                }
                worst = fmax(worst, (n - rank) * all[j].p);
                smaller++;
            }
        }
        all[i].is_clear = smaller > 0 && worst <= LEVEL;
    }
}
