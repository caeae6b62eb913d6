#include "setup/unevenness.h"

#include <math.h>

#include "base/alloc.h"
#include "base/random.h"

/* Share of ln K from each cause; squares add to 0.5^2. */
#define CELL_SIGMA 0.22
#define BLOTCH_SIGMA 0.33
#define YARN_SIGMA 0.21            /* each of warp and weft */
#define VOLUME_SIGMA 0.05
#define BLOTCH_M 0.004             /* half-width of the smoothing window */
#define YARN_LONG_M 0.025

/* Running mean over 2 h + 1 cells along one line with the given stride; edges repeat. */
static void smooth_line(const double *in, double *out, int n, size_t stride, int h)
{
    double sum = 0.0;
    for (int i = -h; i <= h; i++) {
        int c = i < 0 ? 0 : (i >= n ? n - 1 : i);
        sum += in[(size_t)c * stride];
    }
    for (int i = 0; i < n; i++) {
        out[(size_t)i * stride] = sum / (2 * h + 1);
        int add = i + h + 1 >= n ? n - 1 : i + h + 1, drop = i - h < 0 ? 0 : i - h;
        sum += in[(size_t)add * stride] - in[(size_t)drop * stride];
    }
}

static void smooth(double *field, double *spare, int nx, int ny, int hx, int hy)
{
    for (int round = 0; round < 2; round++) {
        for (int j = 0; j < ny; j++) {
            smooth_line(field + (size_t)j * (size_t)nx, spare + (size_t)j * (size_t)nx, nx, 1, hx);
        }
        for (int i = 0; i < nx; i++) {
            smooth_line(spare + i, field + i, ny, (size_t)nx, hy);
        }
    }
}

/* Add sigma x (unit-variance smooth noise) to out. */
static void add_noise(uint64_t seed, uint64_t kind, int nx, int ny, int hx, int hy, double sigma,
                      double *noise, double *spare, double *out)
{
    const size_t n = (size_t)nx * (size_t)ny;
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < n; k++) {
        noise[k] = thaw_random_normal(seed, THAW_STREAM_CLOTH, (kind << 40) + k);
    }
    if (hx > 0 || hy > 0) {
        smooth(noise, spare, nx, ny, hx, hy);
    }
    double sum = 0.0;
    for (size_t k = 0; k < n; k++) {
        sum += noise[k] * noise[k];
    }
    double scale = sigma / sqrt(sum / (double)n + 1e-300);
    for (size_t k = 0; k < n; k++) {
        out[k] += scale * noise[k];
    }
}

thaw_status thaw_unevenness_fill(uint64_t seed, int nx, int ny, double cell_m, double *conductivity,
                                 double *volume, thaw_error *err)
{
    const size_t n = (size_t)nx * (size_t)ny;
    double *noise = thaw_allocate(n, sizeof(double), err), *spare = thaw_allocate(n, sizeof(double), err);
    thaw_status status = noise && spare ? THAW_OK : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        int blotch = (int)lround(BLOTCH_M / cell_m), yarn = (int)lround(YARN_LONG_M / cell_m);
        for (size_t k = 0; k < n; k++) {
            conductivity[k] = volume[k] = 0.0;
        }
        add_noise(seed, 1, nx, ny, 0, 0, CELL_SIGMA, noise, spare, conductivity);
        add_noise(seed, 2, nx, ny, blotch, blotch, BLOTCH_SIGMA, noise, spare, conductivity);
        add_noise(seed, 3, nx, ny, yarn, 0, YARN_SIGMA, noise, spare, conductivity);
        add_noise(seed, 4, nx, ny, 0, yarn, YARN_SIGMA, noise, spare, conductivity);
        add_noise(seed, 5, nx, ny, blotch, blotch, VOLUME_SIGMA, noise, spare, volume);
        for (size_t k = 0; k < n; k++) {
            conductivity[k] = exp(conductivity[k]);
            volume[k] = exp(volume[k]);
        }
    }
    thaw_release(noise);
    thaw_release(spare);
    return status;
}
