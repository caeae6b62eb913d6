/* Position-based dynamics: every constraint moves its nodes straight to where it holds, one after
 * the other and many times; with small steps the sheet follows as stiff cloth would. Sweeps run in
 * a fixed order, so the result does not depend on threads. */
#include "setup/scrunch_sheet.h"

#include <math.h>
#include <string.h>

/* name, value, unit, source: all estimates, tuned by eye on crumpled cloth */
static const double stretch_stiffness = 1.0;
static const double shear_stiffness = 0.7;   /* woven cloth gives on the bias */
static const double repulsion_stiffness = 0.5;
static const double plate_softness = 0.25;    /* share of the overshoot taken away a step */
static const double table_friction = 0.3;     /* share of the sliding on the table lost a step */

/* Linearised length constraint without a square root: exact near the rest length. */
static inline void hold(double *a, double *b, double rest2, double stiffness)
{
    double dx = b[0] - a[0], dy = b[1] - a[1], dz = b[2] - a[2];
    double f = stiffness * (rest2 / (dx * dx + dy * dy + dz * dz + rest2) - 0.5);
    a[0] -= f * dx;
    a[1] -= f * dy;
    a[2] -= f * dz;
    b[0] += f * dx;
    b[1] += f * dy;
    b[2] += f * dz;
}

/* Pairs of two rows: no two share a node, so they may be taken side by side. */
static void hold_rows(double *restrict a, double *restrict b, int n, double rest2, double stiffness)
{
    for (int i = 0; i < n; i++)
        hold(a + 3 * i, b + 3 * i, rest2, stiffness);
}

/* All pairs (k, k + di + dj * nx) of row j. */
static void hold_row(thaw_sheet *s, int j, int di, int dj, double rest2, double stiffness)
{
    int first = di < 0 ? -di : 0, last = di > 0 ? s->nx - di : s->nx;
    ptrdiff_t other = 3 * ((ptrdiff_t)dj * s->nx + di);
    double *row = s->p + 3 * (ptrdiff_t)j * s->nx;
    if (j + dj >= s->ny)
        return;
    if (dj > 0) {
        hold_rows(row + 3 * first, row + 3 * first + other, last - first, rest2, stiffness);
        return;
    }
    for (int phase = 0; phase < 2 * di; phase++) /* pairs in a row share nodes: take them in turns */
        for (int i = phase; i < last; i += 2 * di)
            hold(row + 3 * i, row + 3 * i + other, rest2, stiffness);
}

static void hold_around(thaw_sheet *s, int j, double bending)
{
    double hx2 = s->hx_m * s->hx_m, hy2 = s->hy_m * s->hy_m;
    hold_row(s, j, 2, 0, 4.0 * hx2, bending);
    hold_row(s, j, 0, 2, 4.0 * hy2, bending);
    hold_row(s, j, 1, 1, hx2 + hy2, shear_stiffness);
    hold_row(s, j, -1, 1, hx2 + hy2, shear_stiffness);
    hold_row(s, j, 1, 0, hx2, stretch_stiffness);
    hold_row(s, j, 0, 1, hy2, stretch_stiffness);
}

static void sweep_lengths(thaw_sheet *s, double bending, int sweep)
{
    for (int j = 0; j < s->ny; j++)
        hold_around(s, sweep % 2 ? s->ny - 1 - j : j, bending);
}

typedef struct bin_grid {
    double low[3], size_m;
    int n[3];
    int near;                      /* nodes so close along the sheet may be as close in space */
} bin_grid;

static bin_grid fit_bins(const thaw_sheet *s)
{
    size_t n = (size_t)s->nx * (size_t)s->ny;
    double high[3];
    bin_grid g = {.size_m = s->radius_m, .near = (int)ceil(s->radius_m / fmin(s->hx_m, s->hy_m))};
    for (size_t c = 0; c < 3; c++) {
        g.low[c] = high[c] = s->p[c];
        for (size_t k = 1; k < n; k++) {
            double x = s->p[3 * k + c];
            g.low[c] = x < g.low[c] ? x : g.low[c];
            high[c] = x > high[c] ? x : high[c];
        }
    }
    for (;; g.size_m *= 1.25) { /* a wide flat heap gets larger bins rather than more memory */
        double total = 1.0;
        for (int c = 0; c < 3; c++) {
            double count = floor((high[c] - g.low[c]) / g.size_m) + 1.0;
            total *= count;
            g.n[c] = count < s->bins_max ? (int)count : s->bins_max;
        }
        if (total <= s->bins_max)
            return g;
    }
}

static void sort_bins(thaw_sheet *s, const bin_grid *g)
{
    int n = s->nx * s->ny, bins = g->n[0] * g->n[1] * g->n[2];
    memset(s->bin_start, 0, (size_t)(bins + 1) * sizeof *s->bin_start);
    for (int k = 0; k < n; k++) {
        int at[3];
        for (int c = 0; c < 3; c++)
            at[c] = (int)((s->p[3 * k + c] - g->low[c]) / g->size_m);
        s->bin[k] = (at[1] * g->n[0] + at[0]) * g->n[2] + at[2];
        s->bin_start[s->bin[k]]++;
    }
    int sum = 0;
    for (int b = 0; b <= bins; b++) {
        sum += s->bin_start[b];
        s->bin_start[b] = sum;
    }
    for (int k = n - 1; k >= 0; k--)
        s->bin_nodes[--s->bin_start[s->bin[k]]] = k;
}

static inline void part(thaw_sheet *s, int near, int k, int q)
{
    double *a = s->p + 3 * k, *b = s->p + 3 * q, r2 = s->radius_m * s->radius_m;
    double dx = b[0] - a[0], dy = b[1] - a[1], dz = b[2] - a[2], d2 = dx * dx + dy * dy + dz * dz;
    if (d2 >= r2)
        return;
    int di = q % s->nx - k % s->nx, dj = q / s->nx - k / s->nx;
    if (di * di <= near * near && dj * dj <= near * near)
        return;
    double f = repulsion_stiffness * 0.5 * (s->radius_m / sqrt(d2 + 1e-12) - 1.0);
    a[0] -= f * dx;
    a[1] -= f * dy;
    a[2] -= f * dz;
    b[0] += f * dx;
    b[1] += f * dy;
    b[2] += f * dz;
}

/* Bins run along z first, so the bins z-1 .. z+1 of one column are one run of nodes. */
static void part_from_column(thaw_sheet *s, const bin_grid *g, int k, int bx, int by, int bz)
{
    if (bx < 0 || bx >= g->n[0] || by < 0 || by >= g->n[1])
        return;
    int column = (by * g->n[0] + bx) * g->n[2];
    int low = bz > 0 ? bz - 1 : 0, high = bz + 1 < g->n[2] ? bz + 1 : g->n[2] - 1;
    for (int c = s->bin_start[column + low]; c < s->bin_start[column + high + 1]; c++)
        if (s->bin_nodes[c] > k)
            part(s, g->near, k, s->bin_nodes[c]);
}

static void keep_apart(thaw_sheet *s)
{
    bin_grid g = fit_bins(s);
    sort_bins(s, &g);
    int n = s->nx * s->ny;
    for (int k = 0; k < n; k++) {
        int bz = s->bin[k] % g.n[2], column = s->bin[k] / g.n[2];
        int bx = column % g.n[0], by = column / g.n[0];
        for (int y = by - 1; y <= by + 1; y++)
            for (int x = bx - 1; x <= bx + 1; x++)
                part_from_column(s, &g, k, x, y, bz);
    }
}

static void move_on(thaw_sheet *s, const thaw_sheet_step *step)
{
    size_t n = (size_t)s->nx * (size_t)s->ny;
    for (size_t c = 0; c < 3 * n; c++) {
        double at = s->p[c], moved = step->keep * (at - s->last[c]);
        s->last[c] = at + s->push[c]; /* a push leads the cloth and leaves no speed behind */
        s->p[c] = at + s->push[c] + moved;
    }
    for (size_t k = 0; k < n; k++) {
        double *p = s->p + 3 * k;
        p[2] -= step->gravity_m;
        if (p[2] <= step->plate_m)
            continue;
        p[2] -= plate_softness * (p[2] - step->plate_m);
        for (size_t c = 0; c < 2; c++) { /* the palm takes the tops of ridges along and lays them over */
            p[c] += step->drag_m[c];
            s->last[3 * k + c] += step->drag_m[c];
        }
    }
}

static void rest(thaw_sheet *s, double grip)
{
    size_t n = (size_t)s->nx * (size_t)s->ny;
    for (size_t k = 0; k < n; k++) {
        double *p = s->p + 3 * k;
        double held = p[2] > 0.0 ? grip : fmax(grip, table_friction);
        p[2] = fmax(p[2], 0.0);
        for (size_t c = 0; c < 2; c++)
            p[c] -= held * (p[c] - s->last[3 * k + c]);
    }
}

void thaw_sheet_advance(thaw_sheet *sheet, const thaw_sheet_step *step)
{
    move_on(sheet, step);
    keep_apart(sheet);
    for (int sweep = 0; sweep < step->sweeps; sweep++)
        sweep_lengths(sheet, step->bending, sweep);
    rest(sheet, step->grip);
}
