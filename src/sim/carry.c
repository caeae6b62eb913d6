#include "sim/carry.h"

#include <math.h>
#include <string.h>

#include "sim/spate.h"

#define LANES 8
#define MOST_COLUMNS 16384

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

/* Down the links of a row and out of the lowest layer. onto: what each cell rests on, its own number for the lowest,
 * so nothing comes back out of the tub. */
static void layer_row(size_t nx, size_t row, const int32_t *restrict onto, const float *restrict q, const float *restrict d,
                      float share, float spread, const float *restrict c, float *restrict gl)
{
    const float *restrict here = c + row;
    for (size_t i = 0; i < nx; i++) {
        gl[i] = c[onto[i]]; /* apart, so that the rest vectorises */
    }
    for (size_t i = 0; i < nx; i++) {
        const float flow = share * q[i], under = gl[i];
        gl[i] = flow * (flow > 0.0f ? here[i] : under) + spread * d[i] * (here[i] - under);
    }
}

static void layer_flux(const thaw_web *web, const thaw_carry_edges *edges, float share, const float *restrict c,
                       float *restrict gl)
{
    const size_t nx = (size_t)web->nx;
    const float spread = share * edges->diffusivity_m2_s;
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < web->n; row += nx) {
        layer_row(nx, row, web->onto + row, edges->fl + row, edges->dl + row, share, spread, c, gl + row);
    }
}

/* What the cells of a row give away; gy0: flows from the row before, NULL for the first. */
static void giving_row(size_t nx, const float *restrict gx, const float *restrict gy, const float *restrict gy0,
                       const float *restrict gl, float *restrict out)
{
    for (size_t i = 0; gy0 && i < nx; i++) {
        out[i] = positive(gx[i]) + positive(gl[i]) + positive(gy[i]) + positive(-gy0[i]);
    }
    for (size_t i = 0; !gy0 && i < nx; i++) {
        out[i] = positive(gx[i]) + positive(gl[i]) + positive(gy[i]);
    }
    for (size_t i = 1; i < nx; i++) {
        out[i] += positive(-gx[i - 1]);
    }
}

/* What cells give away, all they have to say on it before anything moves. out: n. */
static void add_up_giving(const thaw_web *web, const float *restrict gx, const float *restrict gy, const float *restrict gl,
                          float *restrict out)
{
    const size_t nx = (size_t)web->nx;
    const int32_t *restrict onto = web->onto;
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < web->n; row += nx) {
        giving_row(nx, gx + row, gy + row, row ? gy + row - nx : NULL, gl + row, out + row);
    }
    /* Nothing rises out of the tub. */
    for (size_t row = 0; web->n_links && row < web->n; row += nx) {
        float up[MOST_COLUMNS]; /* apart: else the compiler makes branches, which are often guessed wrong */
        for (size_t i = 0; i < nx; i++) {
            up[i] = positive(-gl[row + i]);
        }
        for (size_t i = 0; i < nx; i++) {
            out[onto[row + i]] += up[i];
        }
    }
}

/* Share of what a cell would give that it may give, so that it keeps no less than nothing; in place of
 * `giving`. */
static void allow(const thaw_web *web, const double *restrict mobile, float *restrict giving)
{
    const size_t nx = (size_t)web->nx;
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < web->n; row += nx) {
        for (size_t k = row; k < row + nx; k++) {
            const float has = positive(0.999999f * (float)mobile[k]);
            /* A cell a rounding below nothing that gives nothing is not short: no 0 / 0. */
            const int short_of = giving[k] > has;
            giving[k] = (short_of ? has : 1.0f) / (short_of ? giving[k] : 1.0f);
        }
    }
}

/* Flows of a row as far as their givers allow them; allowed1: of the next row, NULL for the last. */
static void hold_back_row(size_t nx, const float *restrict allowed, const float *restrict allowed1, float *restrict gx,
                          float *restrict gy)
{
    for (size_t i = 0; i + 1 < nx; i++) {
        gx[i] *= gx[i] > 0.0f ? allowed[i] : allowed[i + 1];
    }
    for (size_t i = 0; allowed1 && i < nx; i++) {
        gy[i] *= gy[i] > 0.0f ? allowed[i] : allowed1[i];
    }
}

/* The same along the links. under: scratch of nx. */
static void hold_back_links(size_t nx, size_t row, const int32_t *restrict onto, const float *restrict allowed,
                            float *restrict under, float *restrict gl)
{
    for (size_t i = 0; i < nx; i++) {
        under[i] = allowed[onto[i]];
    }
    for (size_t i = 0; i < nx; i++) {
        gl[i] *= gl[i] > 0.0f ? allowed[row + i] : under[i];
    }
}

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
        } else {
            memset(gy + row, 0, nx * sizeof *gy);
        }
    }
}

/* What leaves the lowest layer of a row; in lanes, so that it vectorises. */
static double to_tub(size_t nx, size_t row, const int32_t *restrict onto, const float *restrict down)
{
    double lanes[LANES] = {0}, sum = 0.0;
    size_t i = 0;
    for (; i + LANES <= nx; i += LANES) {
        for (size_t v = 0; v < LANES; v++) {
            lanes[v] += (size_t)onto[i + v] == row + i + v ? (double)down[i + v] : 0.0;
        }
    }
    for (; i < nx; i++) {
        sum += (size_t)onto[i] == row + i ? (double)down[i] : 0.0;
    }
    for (size_t v = 0; v < LANES; v++) {
        sum += lanes[v];
    }
    return sum;
}

/* Take the fluxes of one row; gy0: those that come from the row before, NULL for the first. */
static void settle_row(size_t nx, const float *restrict right, const float *restrict next, const float *restrict gy0,
                       const float *restrict down, double *restrict m)
{
    const float before = gy0 ? gy0[0] : 0.0f;
    m[0] = m[0] - ((double)right[0] + (double)down[0]) - (double)next[0] + (double)before;
    for (size_t i = 1; gy0 && i < nx; i++) {
        m[i] = m[i] - ((double)right[i] + (double)down[i]) + (double)right[i - 1] - (double)next[i] + (double)gy0[i];
    }
    for (size_t i = 1; !gy0 && i < nx; i++) {
        m[i] = m[i] - ((double)right[i] + (double)down[i]) + (double)right[i - 1] - (double)next[i];
    }
}

/* What came down the links of a row; the lowest layer's went into the tub. */
static void receive_row(size_t nx, size_t row, const int32_t *restrict onto, const float *restrict down, double *restrict mobile)
{
    float in[MOST_COLUMNS]; /* apart, as above */
    for (size_t i = 0; i < nx; i++) {
        in[i] = (size_t)onto[i] == row + i ? 0.0f : down[i];
    }
    for (size_t i = 0; i < nx; i++) {
        mobile[onto[i]] += (double)in[i];
    }
}

/* Move what the givers allow; returns what leaves the lowest layer. Links lead anywhere, so with them the rows go one
 * after the other. */
static double settle(const thaw_web *web, const float *restrict allowed, float *restrict gx, float *restrict gy,
                     float *restrict gl, double *restrict mobile, double *restrict rows)
{
    const size_t nx = (size_t)web->nx;
    double tub = 0.0;
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < web->n; row += nx) {
        float under[MOST_COLUMNS];
        hold_back_row(nx, allowed + row, row + nx < web->n ? allowed + row + nx : NULL, gx + row, gy + row);
        hold_back_links(nx, row, web->onto + row, allowed, under, gl + row);
        rows[row / nx] = to_tub(nx, row, web->onto + row, gl + row);
    }
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < web->n; row += nx) {
        settle_row(nx, gx + row, gy + row, row ? gy + row - nx : NULL, gl + row, mobile + row);
    }
    for (size_t row = 0; web->n_links && row < web->n; row += nx) {
        receive_row(nx, row, web->onto + row, gl + row, mobile);
    }
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
    add_up_giving(web, gx, gy, gl, c);
    allow(web, mobile, c);
    *tub += settle(web, c, gx, gy, gl, mobile, rows);
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
