/* Rows of sim/carry: what crosses the edges of one row of cells, and what it does to them. Loops over neighbours without
 * branches, which vectorise. */
#ifndef THAW_SIM_CARRY_ROWS_H
#define THAW_SIM_CARRY_ROWS_H

#include <math.h>
#include <stddef.h>
#include <stdint.h>

#define THAW_CARRY_LANES 8

static inline float positive(float a)
{
    return a > 0.0f ? a : 0.0f;
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
static inline void half_along(size_t nx, const float *restrict q, float half, const float *restrict c,
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
static inline void half_across(size_t nx, const float *restrict q0, const float *restrict q1, float half,
                        const float *restrict c0, const float *restrict c1, const float *restrict c2,
                        const float *restrict inverse, float *restrict out)
{
    for (size_t i = 0; i < nx; i++) {
        out[i] = c1[i] + renewed(q0[i], half, inverse[i]) * (c0[i] - c1[i]) +
                 renewed(-q1[i], half, inverse[i]) * (c2[i] - c1[i]);
    }
}

/* Both kernels pick the upwind side first, so that a face costs one division. inverse: 1 / capacity. */
static inline void row_flux(size_t nx, const float *restrict q, const float *restrict d, float share, float spread,
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

static inline void column_flux(size_t nx, const float *restrict q, const float *restrict d, float share, float spread,
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
static inline void layer_row(size_t nx, size_t row, const int32_t *restrict onto, const float *restrict q, const float *restrict d,
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

/* out += what the cells of a row give away but to the row before. */
static inline void give_row(size_t nx, const float *restrict gx, const float *restrict gy, const float *restrict gl,
                            float *restrict out)
{
    out[0] += positive(gx[0]) + positive(gl[0]) + positive(gy[0]);
    for (size_t i = 1; i < nx; i++) {
        out[i] += positive(gx[i]) + positive(gl[i]) + positive(gy[i]) + positive(-gx[i - 1]);
    }
}

/* out += what they give to the row before; gy0: what comes from there. */
static inline void give_back_row(size_t nx, const float *restrict gy0, float *restrict out)
{
    for (size_t i = 0; i < nx; i++) {
        out[i] += positive(-gy0[i]);
    }
}

/* Flows to the right as far as their givers allow them. */
static inline void hold_back_right(size_t nx, const float *restrict allowed, const float *restrict g, float *restrict held)
{
    for (size_t i = 0; i + 1 < nx; i++) {
        held[i] = g[i] * (g[i] > 0.0f ? allowed[i] : allowed[i + 1]);
    }
    held[nx - 1] = 0.0f;
}

/* The same between two rows, or along the links: allowed1 is what the far ends are allowed. */
static inline void hold_back(size_t nx, const float *restrict allowed, const float *restrict allowed1,
                             const float *restrict g, float *restrict held)
{
    for (size_t i = 0; i < nx; i++) {
        held[i] = g[i] * (g[i] > 0.0f ? allowed[i] : allowed1[i]);
    }
}

/* What leaves the lowest layer of a row; in lanes, so that it vectorises. */
static inline double to_tub(size_t nx, size_t row, const int32_t *restrict onto, const float *restrict down)
{
    double lanes[THAW_CARRY_LANES] = {0}, sum = 0.0;
    size_t i = 0;
    for (; i + THAW_CARRY_LANES <= nx; i += THAW_CARRY_LANES) {
        for (size_t v = 0; v < THAW_CARRY_LANES; v++) {
            lanes[v] += (size_t)onto[i + v] == row + i + v ? (double)down[i + v] : 0.0;
        }
    }
    for (; i < nx; i++) {
        sum += (size_t)onto[i] == row + i ? (double)down[i] : 0.0;
    }
    for (size_t v = 0; v < THAW_CARRY_LANES; v++) {
        sum += lanes[v];
    }
    return sum;
}

/* Take the fluxes of one row; gy0: those that come from the row before, NULL for the first. */
static inline void settle_row(size_t nx, const float *restrict right, const float *restrict next, const float *restrict gy0,
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

#endif
