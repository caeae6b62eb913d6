#include "sim/carry.h"

#include <math.h>
#include <string.h>

static inline float positive(float a)
{
    return a > 0.0f ? a : 0.0f;
}

/* What may leave the cells of a row in the step: water outflow and diffusive exchange, per area. */
static void leaving_row(const thaw_web *web, const thaw_carry_edges *e, size_t row, float *restrict out)
{
    const size_t nx = (size_t)web->nx;
    const float d = e->diffusivity_m2_s;
    for (size_t i = 0; i < nx; i++) {
        const size_t k = row + i;
        out[i] = positive(e->fx[k]) + positive(e->fy[k]) + positive(e->fl[k]) + d * (e->dx[k] + e->dy[k] + e->dl[k]);
    }
    for (size_t i = 1; i < nx; i++) {
        const size_t k = row + i - 1;
        out[i] += positive(-e->fx[k]) + d * e->dx[k];
    }
    for (size_t i = 0; row && i < nx; i++) {
        const size_t k = row - nx + i;
        out[i] += positive(-e->fy[k]) + d * e->dy[k];
    }
}

/* The same for what rises through links from below. */
static void leaving_up(const thaw_web *web, const thaw_carry_edges *e, float *restrict out)
{
    for (int32_t r = 0; r < web->n_rounds; r++) {
        for (int32_t l = web->round_start[r]; l < web->round_start[r + 1]; l++) {
            const int32_t a = web->round_from[l];
            out[web->round_to[l]] += positive(-e->fl[a]) + e->diffusivity_m2_s * e->dl[a];
        }
    }
}

double thaw_carry_courant(const thaw_web *web, const thaw_carry_edges *edges,
                          const float *restrict inverse, float *restrict leaving, double *restrict rows)
{
    const size_t nx = (size_t)web->nx, ny = (size_t)web->ny;
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < ny; j++) {
        float *restrict out = leaving + j * nx;
        leaving_row(web, edges, j * nx, out);
    }
    leaving_up(web, edges, leaving);
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < ny; j++) {
        const float *restrict out = leaving + j * nx;
        double worst = 0.0;
        for (size_t i = 0; i < nx; i++) {
            double ratio = (double)(out[i] * inverse[j * nx + i]);
            worst = ratio > worst ? ratio : worst;
        }
        rows[j] = worst;
    }
    double worst = 0.0;
    for (size_t j = 0; j < ny; j++) {
        worst = rows[j] > worst ? rows[j] : worst;
    }
    return worst;
}

/* Concentration at the face between b (upwind) and c (downwind), a lies behind b; nu is the local
 * Courant number. van Leer: phi = (r + |r|) / (1 + r), written without a division by c - b. */
static inline float face(float a, float b, float c, float nu)
{
    float behind = b - a, ahead = c - b;
    float product = behind * ahead, sum = behind + ahead;
    /* = phi ahead / 2; where the signs differ the division is by 1 and its result is dropped. */
    float slope = (product > 0.0f ? product : 0.0f) / (product > 0.0f ? sum : 1.0f);
    return b + (1.0f - nu) * slope;
}

/* Both kernels pick the upwind side first, so that a face costs one division. inverse: 1 / capacity. */
static void row_flux(size_t nx, const float *restrict q, const float *restrict d, float share, float spread,
                     const float *restrict c, const float *restrict inverse, float *restrict g)
{
    /* c has two cells of padding on both sides of the row: the border repeats. */
    for (size_t i = 0; i + 1 < nx; i++) {
        const float flow = share * q[i];
        const int forth = flow > 0.0f;
        const float back = forth ? c[i + 1] : c[i + 4];
        const float here = forth ? c[i + 2] : c[i + 3];
        const float ahead = forth ? c[i + 3] : c[i + 2];
        const float nu = fabsf(flow) * (forth ? inverse[i] : inverse[i + 1]);
        g[i] = flow * face(back, here, ahead, nu) + spread * d[i] * (c[i + 2] - c[i + 3]);
    }
    g[nx - 1] = 0.0;
}

static void column_flux(size_t nx, const float *restrict q, const float *restrict d, float share, float spread,
                        const float *restrict c0, const float *restrict c1,
                        const float *restrict c2, const float *restrict c3,
                        const float *restrict inverse1, const float *restrict inverse2,
                        float *restrict g)
{
    for (size_t i = 0; i < nx; i++) {
        const float flow = share * q[i];
        const int forth = flow > 0.0f;
        const float back = forth ? c0[i] : c3[i];
        const float here = forth ? c1[i] : c2[i];
        const float ahead = forth ? c2[i] : c1[i];
        const float nu = fabsf(flow) * (forth ? inverse1[i] : inverse2[i]);
        g[i] = flow * face(back, here, ahead, nu) + spread * d[i] * (c1[i] - c2[i]);
    }
}

/* Down the links and out of the lowest layer; returns what goes to the tub. */
static double layer_flux(const thaw_web *web, const thaw_carry_edges *edges, float share, const float *restrict c,
                         float *restrict gl, double *restrict rows)
{
    const size_t nx = (size_t)web->nx;
    const float spread = share * edges->diffusivity_m2_s;
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < web->n; row += nx) {
        double tub = 0.0;
        for (size_t k = row; k < row + nx; k++) {
            gl[k] = share * edges->fl[k] * c[k];
            tub += web->below && web->below[k] >= 0 ? 0.0 : (double)gl[k];
        }
        rows[row / nx] = tub;
    }
#pragma omp parallel for schedule(static) if (web->n_links > 20000)
    for (int32_t l = 0; l < web->n_links; l++) {
        const int32_t a = web->from[l], b = web->below[a];
        const float q = share * edges->fl[a];
        gl[a] = q * (q > 0.0f ? c[a] : c[b]) + spread * edges->dl[a] * (c[a] - c[b]);
    }
    double tub = 0.0;
    for (size_t j = 0; j < (size_t)web->ny; j++) {
        tub += rows[j];
    }
    return tub;
}

/* mobile[below] += gl over all links. */
static void receive(const thaw_web *web, const float *restrict gl, double *restrict mobile)
{
    for (int32_t r = 0; r < web->n_rounds; r++) {
#pragma omp parallel for schedule(static) if (web->round_start[r + 1] - web->round_start[r] > 20000)
        for (int32_t l = web->round_start[r]; l < web->round_start[r + 1]; l++) {
            mobile[web->round_to[l]] += (double)gl[web->round_from[l]];
        }
    }
}

#define MOST_COLUMNS 16384

void thaw_carry_step(const thaw_web *web, const thaw_carry_edges *edges, double share_of_step,
                     const float *restrict inverse, double *restrict mobile, float *restrict c,
                     float *restrict gx, float *restrict gy, float *restrict gl,
                     double *restrict rows, double *tub)
{
    const size_t nx = (size_t)web->nx, ny = (size_t)web->ny;
    const float share = (float)share_of_step, spread = share * edges->diffusivity_m2_s;
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < web->n; k++) {
        c[k] = (float)mobile[k] * inverse[k];
    }
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < ny; j++) {
        const size_t row = j * nx;
        float padded[MOST_COLUMNS + 4];
        padded[0] = padded[1] = c[row];
        memcpy(padded + 2, c + row, nx * sizeof *c);
        padded[nx + 2] = padded[nx + 3] = c[row + nx - 1];
        row_flux(nx, edges->fx + row, edges->dx + row, share, spread, padded, inverse + row, gx + row);
        if (j + 1 < ny) {
            const size_t back = j ? row - nx : row, ahead = j + 2 < ny ? row + 2 * nx : row + nx;
            column_flux(nx, edges->fy + row, edges->dy + row, share, spread, c + back, c + row, c + row + nx,
                        c + ahead, inverse + row, inverse + row + nx, gy + row);
        }
    }
    *tub += layer_flux(web, edges, share, c, gl, rows);
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < web->n; row += nx) {
        double *restrict m = mobile + row;
        for (size_t i = 0; i < nx; i++) {
            m[i] -= (double)gx[row + i] + (double)gl[row + i];
        }
        for (size_t i = 1; i < nx; i++) {
            m[i] += (double)gx[row + i - 1];
        }
        for (size_t i = 0; row + nx < web->n && i < nx; i++) {
            m[i] -= (double)gy[row + i];
        }
        for (size_t i = 0; row && i < nx; i++) {
            m[i] += (double)gy[row - nx + i];
        }
    }
    receive(web, gl, mobile);
}
