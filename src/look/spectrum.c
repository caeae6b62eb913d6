#include "look/spectrum.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <string.h>

#include "base/alloc.h"
#include "base/error.h"

#define PI            3.141592653589793
#define TAPER_SHARE   0.1
#define LONGEST_LAG_M 0.15
#define LAG_SHARE     3 /* lags up to n / 3: beyond it too few pairs are left */
#define COLUMNS       8 /* transformed together, so that rows are read by cache lines */
#define NO_VARIANCE   1e-9

/* Not the complex type of C: its products test for NaN, and clang lacks CMPLX with some C
 * libraries. */
typedef struct cplx {
    double re, im;
} cplx;

/* mx, my: padded sizes, powers of two. rows: ny transformed rows of mx / 2 + 1 values. */
typedef struct transform {
    int nx, ny, mx, my, lags_x, lags_y;
    double *taper_x, *taper_y; /* own */
    cplx *turn_x, *turn_y;     /* own: exp(-2 pi i k / m) */
    cplx *rows, *scratch;      /* own */
    double *power_x, *power_y; /* own: power summed over the other axis */
    double power, fine;
} transform;

static int padded(int n)
{
    int m = 2;
    while (m < n) {
        m *= 2;
    }
    return m;
}

/* Radix-2, in place, m a power of two. */
static void fft(int m, const cplx *turn, cplx *v)
{
    for (int i = 1, j = 0; i < m; i++) {
        int bit = m >> 1;
        for (; j & bit; bit >>= 1) {
            j ^= bit;
        }
        j ^= bit;
        if (i < j) {
            cplx swap = v[i];
            v[i] = v[j];
            v[j] = swap;
        }
    }
    for (int half = 1; half < m; half *= 2) {
        int stride = m / (2 * half);
        for (int i = 0; i < m; i += 2 * half) {
            for (int k = 0; k < half; k++) {
                cplx w = turn[k * stride], even = v[i + k], odd = v[i + k + half];
                double re = odd.re * w.re - odd.im * w.im, im = odd.re * w.im + odd.im * w.re;
                v[i + k + half] = (cplx){even.re - re, even.im - im};
                v[i + k] = (cplx){even.re + re, even.im + im};
            }
        }
    }
}

static double taper_at(int i, int n)
{
    double edge = TAPER_SHARE * n;
    double from_edge = fmin(i + 0.5, n - i - 0.5);
    return from_edge >= edge ? 1.0 : 0.5 - 0.5 * cos(PI * from_edge / edge);
}

static void prepare_axis(int n, int m, double *taper, cplx *turn)
{
    for (int i = 0; i < n; i++) {
        taper[i] = taper_at(i, n);
    }
    for (int k = 0; k < m / 2; k++) {
        turn[k] = (cplx){cos(2.0 * PI * k / m), -sin(2.0 * PI * k / m)};
    }
}

static int lags(int n, double cell_m)
{
    int most = (int)(LONGEST_LAG_M / cell_m);
    int share = n / LAG_SHARE;
    return share < most ? share : most;
}

static thaw_status transform_create(transform *t, int nx, int ny, double cell_m, thaw_error *err)
{
    t->nx = nx;
    t->ny = ny;
    t->lags_x = lags(nx, cell_m);
    t->lags_y = lags(ny, cell_m);
    t->mx = padded(nx + t->lags_x);
    t->my = padded(ny + t->lags_y);
    size_t mx = (size_t)t->mx, my = (size_t)t->my, longer = mx > my ? mx : my;
    bool done = (t->taper_x = thaw_allocate((size_t)nx, sizeof(double), err)) &&
                (t->taper_y = thaw_allocate((size_t)ny, sizeof(double), err)) &&
                (t->turn_x = thaw_allocate(mx / 2, sizeof(cplx), err)) &&
                (t->turn_y = thaw_allocate(my / 2, sizeof(cplx), err)) &&
                (t->rows = thaw_allocate((size_t)ny * (mx / 2 + 1), sizeof(cplx), err)) &&
                (t->scratch = thaw_allocate(COLUMNS * longer, sizeof(cplx), err)) &&
                (t->power_x = thaw_allocate(mx, sizeof(double), err)) &&
                (t->power_y = thaw_allocate(my, sizeof(double), err));
    if (!done) {
        return THAW_ERR_MEMORY;
    }
    prepare_axis(nx, t->mx, t->taper_x, t->turn_x);
    prepare_axis(ny, t->my, t->taper_y, t->turn_y);
    return THAW_OK;
}

static void transform_release(transform *t)
{
    thaw_release(t->taper_x);
    thaw_release(t->taper_y);
    thaw_release(t->turn_x);
    thaw_release(t->turn_y);
    thaw_release(t->rows);
    thaw_release(t->scratch);
    thaw_release(t->power_x);
    thaw_release(t->power_y);
}

/* Mean under the taper, so that the tapered field has none left. */
static double tapered_mean(const transform *t, const double *field)
{
    double sum = 0.0, weight = 0.0;
    for (int j = 0; j < t->ny; j++) {
        for (int i = 0; i < t->nx; i++) {
            double w = t->taper_x[i] * t->taper_y[j];
            sum += w * field[(size_t)j * (size_t)t->nx + (size_t)i];
            weight += w;
        }
    }
    return sum / weight;
}

static void transform_rows(transform *t, const double *field)
{
    double mean = tapered_mean(t, field);
    size_t kept = (size_t)t->mx / 2 + 1;
    for (int j = 0; j < t->ny; j++) {
        memset(t->scratch, 0, (size_t)t->mx * sizeof(cplx));
        for (int i = 0; i < t->nx; i++) {
            double value = field[(size_t)j * (size_t)t->nx + (size_t)i] - mean;
            t->scratch[i].re = value * t->taper_x[i] * t->taper_y[j];
        }
        fft(t->mx, t->turn_x, t->scratch);
        memcpy(t->rows + (size_t)j * kept, t->scratch, kept * sizeof(cplx));
    }
}

/* A real field has equal power at +f and -f, so half the columns stand for all. */
static void add_column(transform *t, int kx, const cplx *column, double cell_m, double fine_m)
{
    double twice = kx == 0 || kx == t->mx / 2 ? 1.0 : 2.0;
    double fx = kx / (t->mx * cell_m), limit = 1.0 / (fine_m * fine_m), sum = 0.0;
    for (int ky = 0; ky < t->my; ky++) {
        int away = ky <= t->my / 2 ? ky : t->my - ky;
        double fy = away / (t->my * cell_m);
        double re = column[ky].re, im = column[ky].im;
        double power = twice * (re * re + im * im);
        sum += power;
        t->power_y[ky] += power;
        t->fine += fx * fx + fy * fy > limit ? power : 0.0;
    }
    t->power_x[kx] = sum / twice;
    t->power_x[(t->mx - kx) % t->mx] = sum / twice;
    t->power += sum;
}

static void transform_columns(transform *t, double cell_m, double fine_m)
{
    int kept = t->mx / 2 + 1;
    for (int first = 0; first < kept; first += COLUMNS) {
        int n = kept - first < COLUMNS ? kept - first : COLUMNS;
        memset(t->scratch, 0, COLUMNS * (size_t)t->my * sizeof(cplx));
        for (int j = 0; j < t->ny; j++) {
            for (int c = 0; c < n; c++) {
                t->scratch[c * t->my + j] = t->rows[(size_t)j * (size_t)kept + (size_t)(first + c)];
            }
        }
        for (int c = 0; c < n; c++) {
            fft(t->my, t->turn_y, t->scratch + c * t->my);
            add_column(t, first + c, t->scratch + c * t->my, cell_m, fine_m);
        }
    }
}

static double taper_overlap(const double *taper, int n, int lag)
{
    double sum = 0.0;
    for (int i = 0; i + lag < n; i++) {
        sum += taper[i] * taper[i + lag];
    }
    return sum;
}

/* First lag, in cells and parts of one, at which the autocorrelation is 1/e. */
static double grain(int n, int m, int n_lags, const double *power, const double *taper,
                    const cplx *turn, cplx *scratch)
{
    for (int k = 0; k < m; k++) {
        scratch[k] = (cplx){power[k], 0.0};
    }
    fft(m, turn, scratch); /* power is even, so forward and back are the same */
    double scale = taper_overlap(taper, n, 0) / scratch[0].re;
    double last = 1.0, target = exp(-1.0);
    for (int lag = 1; lag <= n_lags; lag++) {
        double alike = scale * scratch[lag].re / taper_overlap(taper, n, lag);
        if (alike <= target) {
            return lag - 1 + (last - target) / (last - alike);
        }
        last = alike;
    }
    return n_lags;
}

thaw_status thaw_spectrum_measure(const double *field, int nx, int ny, double cell_m, double fine_m,
                                  thaw_spectrum *out, thaw_error *err)
{
    transform t = {0};
    thaw_status status = transform_create(&t, nx, ny, cell_m, err);
    if (status == THAW_OK) {
        transform_rows(&t, field);
        transform_columns(&t, cell_m, fine_m);
        memset(out, 0, sizeof *out);
        double variance = t.power / ((double)t.mx * t.my) / ((double)nx * ny);
        if (variance > NO_VARIANCE) {
            out->fine_share = t.fine / t.power;
            out->grain_x_m =
                cell_m * grain(nx, t.mx, t.lags_x, t.power_x, t.taper_x, t.turn_x, t.scratch);
            out->grain_y_m =
                cell_m * grain(ny, t.my, t.lags_y, t.power_y, t.taper_y, t.turn_y, t.scratch);
        }
    }
    transform_release(&t);
    return status;
}

thaw_status thaw_spectrum_take_out_zones(double *field, int nx, int ny, int half, thaw_error *err)
{
    size_t wide = (size_t)nx + 1;
    double *sums = thaw_allocate(wide * ((size_t)ny + 1), sizeof *sums, err);
    if (!sums) {
        return THAW_ERR_MEMORY;
    }
    for (int j = 0; j < ny; j++) {
        double row = 0.0;
        for (int i = 0; i < nx; i++) {
            row += field[(size_t)j * (size_t)nx + (size_t)i];
            sums[((size_t)j + 1) * wide + (size_t)i + 1] =
                sums[(size_t)j * wide + (size_t)i + 1] + row;
        }
    }
    for (int j = 0; j < ny; j++) {
        size_t j0 = (size_t)(j < half ? 0 : j - half),
               j1 = (size_t)(j + half < ny ? j + half + 1 : ny);
        for (int i = 0; i < nx; i++) {
            size_t i0 = (size_t)(i < half ? 0 : i - half),
                   i1 = (size_t)(i + half < nx ? i + half + 1 : nx);
            double sum = sums[j1 * wide + i1] - sums[j0 * wide + i1] - sums[j1 * wide + i0] +
                         sums[j0 * wide + i0];
            field[(size_t)j * (size_t)nx + (size_t)i] -= sum / (double)((j1 - j0) * (i1 - i0));
        }
    }
    thaw_release(sums);
    return THAW_OK;
}
