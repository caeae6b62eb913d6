#include "sheet_problem.h"

#include <math.h>
#include <stdlib.h>

#define SAMPLES 16                 /* a cell and direction, for the raster of a disc */
#define DISC_M 6e-3
#define DISCS 24

/* Places of the discs, m. */
static const double discs[DISCS][2] = {
    {0.307543915, 0.432718348}, {0.376815418, 0.123595307}, {0.158076491, 0.421834585},
    {0.022422040, 0.397765072}, {0.386651937, 0.235250078}, {0.159394916, 0.148075782},
    {0.137240010, 0.224735101}, {0.252092199, 0.274608782}, {0.477930130, 0.384624483},
    {0.306202446, 0.474921668}, {0.119042001, 0.093697536}, {0.301768218, 0.040213324},
    {0.036412928, 0.256848857}, {0.234454772, 0.441897176}, {0.309444077, 0.256494117},
    {0.248561780, 0.133856864}, {0.025425252, 0.108504986}, {0.338334776, 0.112279093},
    {0.189986703, 0.021717751}, {0.401821956, 0.091052097}, {0.143095680, 0.424952791},
    {0.254503773, 0.409689113}, {0.314269897, 0.361214636}, {0.062087978, 0.268926158},
};

/* Share of each cell that disc d covers is added to out, the sum over all cells being 1. */
static void add_disc(const sheet *p, int d, double *scratch)
{
    const double h = p->dx_m / SAMPLES;
    double sum = 0.0;
    for (size_t k = 0; k < p->cells; k++) {
        const double x0 = (double)(k % (size_t)p->n) * p->dx_m - discs[d][0], y0 = (double)(k / (size_t)p->n) * p->dx_m - discs[d][1];
        int hits = 0;
        if (fabs(x0) < DISC_M + p->dx_m && fabs(y0) < DISC_M + p->dx_m) {
            for (int j = 0; j < SAMPLES; j++) {
                for (int i = 0; i < SAMPLES; i++) {
                    const double x = x0 + (i + 0.5) * h, y = y0 + (j + 0.5) * h;
                    hits += x * x + y * y < DISC_M * DISC_M;
                }
            }
        }
        scratch[k] = hits;
        sum += hits;
    }
    const double each = SHEET_IN_M3 / DISCS / SHEET_ON_S / (p->dx_m * p->dx_m);
    for (size_t k = 0; k < p->cells; k++) {
        p->source_m_s[k] += each * scratch[k] / sum;
    }
}

int sheet_create(int n, int pulses, sheet *out)
{
    const size_t rimmed = ((size_t)n + 2) * ((size_t)n + 2);
    sheet p = {.n = n, .cells = (size_t)n * (size_t)n, .dx_m = SHEET_SIDE_M / n, .pulses = pulses};
    p.source_m_s = calloc(p.cells, sizeof(double));
    p.u = calloc(rimmed, sizeof(double));
    p.c = calloc(rimmed, sizeof(double));
    if (!p.source_m_s || !p.u || !p.c) {
        sheet_destroy(&p);
        return 0;
    }
    for (int d = 0; d < DISCS; d++) {
        add_disc(&p, d, p.u);
    }
    *out = p;
    return 1;
}

void sheet_destroy(sheet *p)
{
    free(p->source_m_s);
    free(p->u);
    free(p->c);
    *p = (sheet){0};
}

double sheet_rate(const sheet *p, double t_s, double *until_s)
{
    if (t_s >= SHEET_ON_S - 1e-6) {
        *until_s = SHEET_END_S;
        return 0.0;
    }
    if (!p->pulses) {
        *until_s = SHEET_ON_S;
        return 1.0;
    }
    const double half = SHEET_ON_S / (2.0 * p->pulses);
    const double i = floor(t_s / half + 1e-6);
    *until_s = (i + 1.0) * half;
    return fmod(i, 2.0) < 0.5 ? 2.0 : 0.0;
}

void sheet_repeat_rim(int n, double *a)
{
    const size_t w = (size_t)n + 2, last = (size_t)n;
    for (size_t i = 1; i <= last; i++) {
        a[i] = a[w + i];
        a[(last + 1) * w + i] = a[last * w + i];
        a[i * w] = a[i * w + 1];
        a[i * w + last + 1] = a[i * w + last];
    }
}

void sheet_potential(const sheet *p, const double *y)
{
    const size_t n = (size_t)p->n, w = n + 2;
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < n; j++) {
        const double *restrict s = y + j * n, *restrict m = y + p->cells + j * n;
        double *restrict u = p->u + (j + 1) * w + 1, *restrict c = p->c + (j + 1) * w + 1;
        for (size_t i = 0; i < n; i++) {
            u[i] = 0.25 * s[i] * s[i] * s[i] * s[i];
            c[i] = m[i] / s[i];
        }
    }
    sheet_repeat_rim(p->n, p->u);
    sheet_repeat_rim(p->n, p->c);
}

/* Dye per area and second that comes from a neighbour in which the water stands at u2 and the dye at c2. */
static inline double inflow(double q, double c, double c2, double spread)
{
    return q * (q > 0.0 ? c2 : c) + spread * (c2 - c);
}

static void rate_row(const sheet *p, double rate, size_t j, const double *restrict y, double *restrict dy)
{
    const size_t n = (size_t)p->n, w = n + 2, N = p->cells;
    const double per_area = 1.0 / (p->dx_m * p->dx_m), g = SHEET_D1_M2_S * per_area, d = 0.5 * SHEET_DM_M2_S * per_area;
    const double *restrict u = p->u + (j + 1) * w + 1, *restrict c = p->c + (j + 1) * w + 1;
    const double *restrict s = y + j * n, *restrict m = y + N + j * n, *restrict source = p->source_m_s + j * n;
    const double *restrict sn = j ? s - n : s, *restrict ss = j + 1 < n ? s + n : s;
    double *restrict ds = dy + j * n, *restrict dm = dy + N + j * n, *restrict df = dy + 2 * N + j * n;
    for (size_t i = 0; i < n; i++) {
        const size_t l = i ? i - 1 : 0, r = i + 1 < n ? i + 1 : i;
        const double qw = g * (u[(ptrdiff_t)i - 1] - u[i]), qe = g * (u[i + 1] - u[i]);
        const double qn = g * (u[(ptrdiff_t)i - (ptrdiff_t)w] - u[i]), qs = g * (u[i + w] - u[i]);
        const double in = rate * source[i] / SHEET_PORES_M;
        ds[i] = qw + qe + qn + qs + in;
        dm[i] = inflow(qw, c[i], c[(ptrdiff_t)i - 1], d * (s[l] + s[i])) + inflow(qe, c[i], c[i + 1], d * (s[r] + s[i])) +
                inflow(qn, c[i], c[(ptrdiff_t)i - (ptrdiff_t)w], d * (sn[i] + s[i])) +
                inflow(qs, c[i], c[i + w], d * (ss[i] + s[i])) + SHEET_IN_KG_M3 * in - SHEET_FIX_PER_S * m[i];
        df[i] = SHEET_FIX_PER_S * SHEET_PORES_M * m[i];
    }
}

void sheet_rhs(const sheet *p, double rate, const double *y, double *dy)
{
    sheet_potential(p, y);
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < (size_t)p->n; j++) {
        rate_row(p, rate, j, y, dy);
    }
}

double sheet_difference(size_t n, const double *a, const double *b)
{
    double off = 0.0, all = 0.0;
    for (size_t k = 0; k < n; k++) {
        off += fabs(a[k] - b[k]);
        all += fabs(b[k]);
    }
    return off / all;
}

void sheet_books(const sheet *p, const double *s, const double *m, const double *fixed, sheet_result *out)
{
    const double area = p->dx_m * p->dx_m, dye = SHEET_IN_M3 * SHEET_IN_KG_M3;
    const double water = SHEET_PORES_M * SHEET_SIDE_M * SHEET_SIDE_M * SHEET_START + SHEET_IN_M3;
    double sum_s = 0.0, sum_dye = 0.0;
    for (size_t k = 0; k < p->cells; k++) {
        sum_s += SHEET_PORES_M * s[k] * area;
        sum_dye += (SHEET_PORES_M * m[k] + fixed[k]) * area;
    }
    out->water_error = fabs(sum_s - water) / water;
    out->dye_error = fabs(sum_dye - dye) / dye;
}
