#include "sim/carry.h"

#include <math.h>
#include <string.h>

#include "sim/spate.h"

#define LANES 8

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
    for (int32_t l = 0; l < web->n_links; l++) {
        const int32_t a = web->from[l];
        out[web->to[l]] += positive(-e->fl[a]) + e->diffusivity_m2_s * e->dl[a];
    }
}

/* Exchange of the cells of a row with all their neighbours for unit diffusivity, but for those above. */
static void spread_row(const thaw_web *web, const thaw_carry_edges *e, size_t row, float *restrict out)
{
    const size_t nx = (size_t)web->nx;
    for (size_t i = 0; i < nx; i++) {
        out[i] = e->dx[row + i] + e->dy[row + i] + e->dl[row + i];
    }
    for (size_t i = 1; i < nx; i++) {
        out[i] += e->dx[row + i - 1];
    }
    for (size_t i = 0; row && i < nx; i++) {
        out[i] += e->dy[row - nx + i];
    }
}

static double largest(size_t n, const double *restrict rows)
{
    double most = 0.0;
    for (size_t j = 0; j < n; j++) {
        most = rows[j] > most ? rows[j] : most;
    }
    return most;
}

/* Largest leaving x inverse. */
static double worst_of(const thaw_web *web, const float *restrict inverse, const float *restrict leaving, double *restrict rows)
{
    const size_t nx = (size_t)web->nx, ny = (size_t)web->ny;
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < ny; j++) {
        float most = 0.0f;
        for (size_t k = j * nx; k < (j + 1) * nx; k++) {
            const float ratio = leaving[k] * inverse[k];
            most = ratio > most ? ratio : most;
        }
        rows[j] = (double)most;
    }
    return largest(ny, rows);
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
    return worst_of(web, inverse, leaving, rows);
}

void thaw_carry_leaving(const thaw_web *web, const thaw_carry_edges *edges, float *restrict water, float *restrict spread)
{
    const size_t nx = (size_t)web->nx;
    thaw_carry_edges still = *edges;
    still.diffusivity_m2_s = 0.0f;
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < web->n; row += nx) {
        leaving_row(web, &still, row, water + row);
        spread_row(web, edges, row, spread + row);
    }
    for (int32_t l = 0; l < web->n_links; l++) {
        const int32_t a = web->from[l], b = web->to[l];
        water[b] += positive(-edges->fl[a]);
        spread[b] += edges->dl[a];
    }
}

double thaw_carry_courant_of(const thaw_web *web, float diffusivity_m2_s, const float *restrict water,
                             const float *restrict spread, const float *restrict inverse, float *restrict ratio,
                             double *restrict rows)
{
    const size_t nx = (size_t)web->nx, ny = (size_t)web->ny;
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < ny; j++) {
        float most = 0.0f;
        for (size_t k = j * nx; k < (j + 1) * nx; k++) {
            ratio[k] = (water[k] + diffusivity_m2_s * spread[k]) * inverse[k];
            most = ratio[k] > most ? ratio[k] : most;
        }
        rows[j] = (double)most;
    }
    return largest(ny, rows);
}

/* Concentration at the face between b (upwind) and c (downwind), a lies behind b; nu is the local
 * Courant number; above 1 the face takes the upwind cell. van Leer: phi = (r + |r|) / (1 + r), written
 * without a division by c - b. */
static inline float face(float a, float b, float c, float nu)
{
    float behind = b - a, ahead = c - b;
    float product = behind * ahead, sum = behind + ahead;
    /* = phi ahead / 2; where the signs differ the division is by 1 and its result is dropped. */
    float slope = (product > 0.0f ? product : 0.0f) / (product > 0.0f ? sum : 1.0f);
    return b + positive(1.0f - nu) * slope;
}

/* Part of a cell that is renewed in half a step by what flows in; a cell that fills up from next to nothing
 * is renewed by half, so that the mixture stays between its neighbours. */
static inline float renewed(float inflow, float half, float inverse)
{
    const float part = half * positive(inflow) * inverse;
    return part < 0.5f ? part : 0.5f;
}

/* Concentration as flow along the row alone would leave it after half a step, by first-order upwind. */
static void half_along(size_t nx, const float *restrict q, float half, const float *restrict c,
                       const float *restrict inverse, float *restrict out)
{
    const size_t last = nx - 1;
    out[0] = c[0];
    for (size_t i = 1; i < last; i++) {
        out[i] = c[i] + renewed(q[i - 1], half, inverse[i]) * (c[i - 1] - c[i]) +
                 renewed(-q[i], half, inverse[i]) * (c[i + 1] - c[i]);
    }
    if (last) {
        out[0] += renewed(-q[0], half, inverse[0]) * (c[1] - c[0]);
        out[last] = c[last] + renewed(q[last - 1], half, inverse[last]) * (c[last - 1] - c[last]);
    }
}

/* The same by flow across the rows: q0 comes from the row before (c0), q1 goes to the row after (c2). */
static void half_across(size_t nx, const float *restrict q0, const float *restrict q1, float half,
                        const float *restrict c0, const float *restrict c1, const float *restrict c2,
                        const float *restrict inverse, float *restrict out)
{
    for (size_t i = 0; i < nx; i++) {
        out[i] = c1[i] + renewed(q0[i], half, inverse[i]) * (c0[i] - c1[i]) +
                 renewed(-q1[i], half, inverse[i]) * (c2[i] - c1[i]);
    }
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

/* Down the links and out of the lowest layer. */
static void layer_flux(const thaw_web *web, const thaw_carry_edges *edges, float share, const float *restrict c,
                       float *restrict gl)
{
    const float spread = share * edges->diffusivity_m2_s;
    const float *restrict fl = edges->fl, *restrict dl = edges->dl;
    const int32_t *restrict below = web->below;
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < web->n; row += (size_t)web->nx) {
        for (size_t k = row; k < row + (size_t)web->nx; k++) {
            const float q = share * fl[k];
            const size_t b = below && below[k] >= 0 ? (size_t)below[k] : k; /* nothing comes back out of the tub */
            gl[k] = q * (q > 0.0f ? c[k] : c[b]) + spread * dl[k] * (c[k] - c[b]);
        }
    }
}

/* What the cells of a row give away. */
static void giving_row(const thaw_web *web, size_t row, const float *restrict gx, const float *restrict gy,
                       const float *restrict gl, float *restrict out)
{
    const size_t nx = (size_t)web->nx;
    for (size_t i = 0; i < nx; i++) {
        out[i] = positive(gx[row + i]) + positive(gl[row + i]);
    }
    for (size_t i = 1; i < nx; i++) {
        out[i] += positive(-gx[row + i - 1]);
    }
    for (size_t i = 0; row + nx < web->n && i < nx; i++) {
        out[i] += positive(gy[row + i]);
    }
    for (size_t i = 0; row && i < nx; i++) {
        out[i] += positive(-gy[row - nx + i]);
    }
}

/* Share of what a cell would give that it may give, so that it keeps no less than nothing; in place of
 * `giving`. Returns whether any cell must hold back. */
static int allow(const thaw_web *web, const double *restrict mobile, float *restrict giving, double *restrict rows)
{
    const size_t nx = (size_t)web->nx, ny = (size_t)web->ny;
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < ny; j++) {
        int some = 0;
        for (size_t k = j * nx; k < (j + 1) * nx; k++) {
            const float has = 0.999999f * (float)mobile[k];
            /* A cell a rounding below nothing that gives nothing is not short: no 0 / 0. */
            const int short_of = giving[k] > positive(has);
            giving[k] = short_of ? positive(has) / giving[k] : 1.0f;
            some |= short_of;
        }
        rows[j] = some;
    }
    int any = 0;
    for (size_t j = 0; j < ny; j++) {
        any |= rows[j] > 0.0;
    }
    return any;
}

/* Makes sure that no cell gives away more than it has. allowed: scratch of n. */
static void hold_back(const thaw_web *web, const double *restrict mobile, float *restrict allowed,
                      float *restrict gx, float *restrict gy, float *restrict gl, double *restrict rows)
{
    const size_t nx = (size_t)web->nx, ny = (size_t)web->ny;
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < web->n; row += nx) {
        giving_row(web, row, gx, gy, gl, allowed + row);
    }
    /* Without a branch, which would often be guessed wrong: half of (|g| - g) is what rises. */
    for (int32_t l = 0; l < web->n_links; l++) {
        const float g = gl[web->from[l]];
        allowed[web->to[l]] += 0.5f * (fabsf(g) - g);
    }
    if (!allow(web, mobile, allowed, rows)) {
        return;
    }
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < ny; j++) {
        const size_t row = j * nx;
        const int here = rows[j] > 0.0, next = j + 1 < ny && rows[j + 1] > 0.0;
        for (size_t k = row; here && k + 1 < row + nx; k++) {
            gx[k] *= gx[k] > 0.0f ? allowed[k] : allowed[k + 1];
        }
        for (size_t k = row; (here || next) && k < row + nx && k + nx < web->n; k++) {
            gy[k] *= gy[k] > 0.0f ? allowed[k] : allowed[k + nx];
        }
        for (size_t k = row; here && k < row + nx; k++) {
            gl[k] *= gl[k] > 0.0f ? allowed[k] : 1.0f;
        }
    }
    for (int32_t l = 0; l < web->n_links; l++) {
        const float g = gl[web->from[l]], down = positive(g), up = g - down;
        gl[web->from[l]] = down + up * allowed[web->to[l]];
    }
}

/* mobile[below] += gl over all links. */
static void receive(const thaw_web *web, const float *restrict gl, double *restrict mobile)
{
    for (int32_t l = 0; l < web->n_links; l++) {
        mobile[web->to[l]] += (double)gl[web->from[l]];
    }
}

#define MOST_COLUMNS 16384

/* c, and what crosses the edges in the plane. along: scratch of n. */
static void plane_flux(const thaw_web *web, const thaw_carry_edges *edges, float share, const float *restrict inverse,
                       const double *restrict mobile, float *restrict c, float *restrict along, float *restrict gx,
                       float *restrict gy)
{
    const size_t nx = (size_t)web->nx, ny = (size_t)web->ny;
    const float spread = share * edges->diffusivity_m2_s, half = 0.5f * share;
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < web->n; row += nx) {
        for (size_t k = row; k < row + nx; k++) {
            c[k] = (float)mobile[k] * inverse[k];
        }
        half_along(nx, edges->fx + row, half, c + row, inverse + row, along + row);
    }
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < ny; j++) {
        const size_t row = j * nx, before = j ? row - nx : row, after = j + 1 < ny ? row + nx : row;
        float across[MOST_COLUMNS + 4]; /* c after half a step across the rows; the border repeats */
        across[2] = across[nx + 1] = 0.0f; /* a row is never empty, but the compiler cannot know */
        half_across(nx, edges->fy + before, edges->fy + row, half, c + before, c + row, c + after, inverse + row,
                    across + 2);
        across[0] = across[1] = across[2];
        across[nx + 2] = across[nx + 3] = across[nx + 1];
        row_flux(nx, edges->fx + row, edges->dx + row, share, spread, across, inverse + row, gx + row);
        if (j + 1 < ny) {
            const size_t ahead = j + 2 < ny ? row + 2 * nx : row + nx;
            column_flux(nx, edges->fy + row, edges->dy + row, share, spread, along + before, along + row,
                        along + row + nx, along + ahead, inverse + row, inverse + row + nx, gy + row);
        }
    }
}

/* What leaves the lowest layer of a row; in lanes, so that it vectorises. */
static double to_tub(size_t nx, const int32_t *restrict below, const float *restrict down)
{
    double lanes[LANES] = {0}, sum = 0.0;
    size_t i = 0;
    for (; below && i + LANES <= nx; i += LANES) {
        for (size_t v = 0; v < LANES; v++) {
            lanes[v] += below[i + v] >= 0 ? 0.0 : (double)down[i + v];
        }
    }
    for (; i < nx; i++) {
        sum += below && below[i] >= 0 ? 0.0 : (double)down[i];
    }
    for (size_t v = 0; v < LANES; v++) {
        sum += lanes[v];
    }
    return sum;
}

/* Take the fluxes of one row; returns what leaves the lowest layer. */
static double settle_row(const thaw_web *web, size_t row, const float *restrict gx, const float *restrict gy,
                         const float *restrict gl, double *restrict m)
{
    const size_t nx = (size_t)web->nx;
    const float *restrict down = gl + row, *restrict right = gx + row, *restrict next = gy + row;
    const double left = to_tub(nx, web->below ? web->below + row : NULL, down);
    if (row && row + nx < web->n) {
        const float *restrict before = next - nx;
        m[0] = m[0] - ((double)right[0] + (double)down[0]) - (double)next[0] + (double)before[0];
        for (size_t i = 1; i < nx; i++) {
            m[i] = m[i] - ((double)right[i] + (double)down[i]) + (double)right[i - 1] - (double)next[i] + (double)before[i];
        }
        return left;
    }
    for (size_t i = 0; i < nx; i++) {
        m[i] -= (double)right[i] + (double)down[i];
    }
    for (size_t i = 1; i < nx; i++) {
        m[i] += (double)right[i - 1];
    }
    for (size_t i = 0; row + nx < web->n && i < nx; i++) {
        m[i] -= (double)next[i];
    }
    for (size_t i = 0; row && i < nx; i++) {
        m[i] += (double)gy[row - nx + i];
    }
    return left;
}

static double settle(const thaw_web *web, const float *restrict gx, const float *restrict gy, const float *restrict gl,
                     double *restrict mobile, double *restrict rows)
{
    const size_t nx = (size_t)web->nx;
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < web->n; row += nx) {
        rows[row / nx] = settle_row(web, row, gx, gy, gl, mobile + row);
    }
    double tub = 0.0;
    for (size_t j = 0; j < (size_t)web->ny; j++) {
        tub += rows[j];
    }
    return tub;
}

void thaw_carry_part(const thaw_web *web, const thaw_carry_edges *edges, double share_of_step,
                     const float *restrict inverse, double *restrict mobile, float *restrict c,
                     float *restrict gx, float *restrict gy, float *restrict gl,
                     double *restrict rows, thaw_spate *spate, double *tub)
{
    const float share = (float)share_of_step;
    plane_flux(web, edges, share, inverse, mobile, c, gl, gx, gy);
    layer_flux(web, edges, share, c, gl);
    if (spate) {
        thaw_spate_take_out(spate, web, gx, gy, gl);
    }
    hold_back(web, mobile, c, gx, gy, gl, rows);
    *tub += settle(web, gx, gy, gl, mobile, rows);
    receive(web, gl, mobile);
    if (spate && spate->n > 0) {
        *tub += thaw_spate_carry(spate, share, inverse, mobile);
    }
}

void thaw_carry_step(const thaw_web *web, const thaw_carry_edges *edges, double share,
                     const float *restrict inverse, double *restrict mobile, float *restrict c,
                     float *restrict gx, float *restrict gy, float *restrict gl,
                     double *restrict rows, double *tub)
{
    thaw_carry_part(web, edges, share, inverse, mobile, c, gx, gy, gl, rows, NULL, tub);
}
