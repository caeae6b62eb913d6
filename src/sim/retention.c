#include "sim/retention.h"

#include <math.h>

void thaw_retention_init(thaw_retention *retention, double lambda)
{
    const double h = 1.0 / THAW_RETENTION_NODES, b = 1.0 / lambda;
    retention->lambda = lambda;
    retention->u_full = 1.0 / (3.0 * lambda + 1.0);
    retention->film_slope = THAW_FILM_SLOPE;
    for (int i = 0; i <= THAW_RETENTION_NODES; i++) {
        double s0 = i * h, s1 = s0 + h;
        double y0 = pow(s0, b), y1 = pow(s1, b);
        double m0 = s0 > 0.0 ? h * b * y0 / s0 : (b > 1.0 ? 0.0 : h * y1 / h);
        double m1 = h * b * y1 / s1;
        double *c = retention->table[i];
        c[0] = y0;
        c[1] = m0;
        c[2] = 3.0 * (y1 - y0) - 2.0 * m0 - m1;
        c[3] = 2.0 * (y0 - y1) + m0 + m1;
    }
}

static inline double power_of(const thaw_retention *r, double s)
{
    double x = s * THAW_RETENTION_NODES;
    int i = (int)x;
    double t = x - i;
    const double *c = r->table[i];
    return c[0] + t * (c[1] + t * (c[2] + t * c[3]));
}

void thaw_retention_evaluate(const thaw_retention *retention, size_t n, const double *restrict s,
                             double *restrict u, double *restrict p, double *restrict k)
{
    const double u_full = retention->u_full, film_slope = retention->film_slope;
#pragma omp parallel for schedule(static)
    for (size_t i = 0; i < n; i++) {
        double v = s[i] > THAW_DRY_SATURATION ? fmin(s[i], 1.0) : THAW_DRY_SATURATION; /* NaN too */
        double over = s[i] > 1.0 ? (s[i] - 1.0) * film_slope : 0.0;
        double wet = s[i] < THAW_DRY_SATURATION ? 0.0 : 1.0;
        double e = power_of(retention, v);
        double cube = v * v * v;
        u[i] = wet * (cube * e * u_full) + over;
        p[i] = 1.0 / e - over;
        k[i] = wet * (cube * e * e);
    }
}

void thaw_retention_slope(const thaw_retention *retention, size_t n, const double *restrict s,
                          double *restrict slope)
{
    const double per_lambda = 1.0 / retention->lambda, film_slope = retention->film_slope;
#pragma omp parallel for schedule(static)
    for (size_t i = 0; i < n; i++) {
        double v = s[i] > THAW_DRY_SATURATION ? fmin(s[i], 1.0) : THAW_DRY_SATURATION; /* NaN too */
        slope[i] = s[i] > 1.0 ? film_slope : v * v * power_of(retention, v) * per_lambda;
    }
}
