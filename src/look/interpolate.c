#include "look/interpolate.h"

static double slope(double before, double after)
{
    double product = before * after;
    return product > 0.0 ? 2.0 * product / (before + after) : 0.0;
}

static double hermite(double a, double b, double c, double d, double t)
{
    double step = c - b;
    double m0 = slope(b - a, step), m1 = slope(step, d - c);
    double s = 1.0 - t;
    return b * s * s * (1.0 + 2.0 * t) + c * t * t * (3.0 - 2.0 * t) + t * s * (m0 * s - m1 * t);
}

int thaw_interpolate_place(int p, int scale, double *t)
{
    /* Whole numbers: in half steps of a pixel the centre lies at 2p + 1 - scale. */
    int half = 2 * p + 1 - scale, cell = 2 * scale;
    int before = half < 0 ? -1 : half / cell;
    *t = (double)(half - before * cell) / cell;
    return before;
}

static int clamp(int i, int n)
{
    return i < 0 ? 0 : i >= n ? n - 1 : i;
}

void thaw_interpolate_row(int n, int scale, const double *in, double *out)
{
    for (int p = 0; p < n * scale; p++) {
        double t;
        int i = thaw_interpolate_place(p, scale, &t);
        out[p] = hermite(in[clamp(i - 1, n)], in[clamp(i, n)], in[clamp(i + 1, n)],
                         in[clamp(i + 2, n)], t);
    }
}

void thaw_interpolate_between(int n, const double *const rows[4], double t, double *out)
{
    for (int p = 0; p < n; p++) {
        out[p] = hermite(rows[0][p], rows[1][p], rows[2][p], rows[3][p], t);
    }
}
