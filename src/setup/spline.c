#include "setup/spline.h"

#include <math.h>

#include "base/random.h"

void thaw_spline_weights(double t, double w[4])
{
    double s = 1.0 - t, t2 = t * t, t3 = t2 * t;
    w[0] = s * s * s / 6.0;
    w[1] = (3.0 * t3 - 6.0 * t2 + 4.0) / 6.0;
    w[2] = (-3.0 * t3 + 3.0 * t2 + 3.0 * t + 1.0) / 6.0;
    w[3] = t3 / 6.0;
}

void thaw_spline_catmull(double t, double w[4], double slope[4])
{
    double t2 = t * t, t3 = t2 * t;
    w[0] = 0.5 * (-t3 + 2.0 * t2 - t);
    w[1] = 0.5 * (3.0 * t3 - 5.0 * t2 + 2.0);
    w[2] = 0.5 * (-3.0 * t3 + 4.0 * t2 + t);
    w[3] = 0.5 * (t3 - t2);
    slope[0] = 0.5 * (-3.0 * t2 + 4.0 * t - 1.0);
    slope[1] = 0.5 * (9.0 * t2 - 10.0 * t);
    slope[2] = 0.5 * (-9.0 * t2 + 8.0 * t + 1.0);
    slope[3] = 0.5 * (3.0 * t2 - 2.0 * t);
}

double thaw_spline_noise(uint64_t seed, uint32_t stream, uint64_t first, double x)
{
    double floor_x = floor(x), w[4], sum = 0.0, square = 0.0;
    thaw_spline_weights(x - floor_x, w);
    for (uint64_t i = 0; i < 4; i++) {
        sum += w[i] * thaw_random_normal(seed, stream, first + (uint64_t)floor_x + i);
        square += w[i] * w[i];
    }
    return sum / sqrt(square); /* the weights alone would make it quieter between lattice points */
}
