#include "sheet_multigrid.h"

#include <stdlib.h>

#define DAMPING 0.8f
#define COARSEST 4
#define COARSEST_SWEEPS 20
#define DYE_SWEEPS 2
#define SMALL 64                   /* rows; smaller levels are not worth a second thread */

static float *field(size_t n)
{
    return calloc(n, sizeof(float));
}

int sheet_multigrid_create(int n, sheet_multigrid *out)
{
    sheet_multigrid mg = {0};
    const size_t cells = (size_t)n * (size_t)n, rimmed = ((size_t)n + 2) * ((size_t)n + 2);
    int fine = 1;
    for (int size = n; size >= COARSEST && mg.n_levels < SHEET_MOST_LEVELS; size /= 2) {
        const size_t room = ((size_t)size + 2) * ((size_t)size + 2);
        sheet_level *l = &mg.level[mg.n_levels++];
        *l = (sheet_level){.n = size, .a = field(room), .w = field(room), .b = field(room), .r = field(room)};
        fine = fine && l->a && l->w && l->b && l->r;
    }
    float **plain[] = {&mg.west, &mg.east, &mg.north, &mg.south, &mg.pivot, &mg.right};
    float **with_rim[] = {&mg.u, &mg.c, &mg.per_s, &mg.z};
    for (size_t i = 0; i < sizeof plain / sizeof *plain; i++) {
        fine = (*plain[i] = field(cells)) && fine;
    }
    for (size_t i = 0; i < sizeof with_rim / sizeof *with_rim; i++) {
        fine = (*with_rim[i] = field(rimmed)) && fine;
    }
    if (!fine) {
        sheet_multigrid_destroy(&mg);
        return 0;
    }
    *out = mg;
    return 1;
}

void sheet_multigrid_destroy(sheet_multigrid *mg)
{
    float *plain[] = {mg->west, mg->east, mg->north, mg->south, mg->pivot, mg->right, mg->u, mg->c, mg->per_s, mg->z};
    for (int l = 0; l < mg->n_levels; l++) {
        free(mg->level[l].a);
        free(mg->level[l].w);
        free(mg->level[l].b);
        free(mg->level[l].r);
    }
    for (size_t i = 0; i < sizeof plain / sizeof *plain; i++) {
        free(plain[i]);
    }
    *mg = (sheet_multigrid){0};
}

static void repeat_rim(int n, float *a)
{
    const size_t w = (size_t)n + 2, last = (size_t)n;
    for (size_t i = 1; i <= last; i++) {
        a[i] = a[w + i];
        a[(last + 1) * w + i] = a[last * w + i];
        a[i * w] = a[i * w + 1];
        a[i * w + last + 1] = a[i * w + last];
    }
    a[0] = a[1];
    a[last + 1] = a[last];
    a[(last + 1) * w] = a[(last + 1) * w + 1];
    a[(last + 1) * w + last + 1] = a[(last + 1) * w + last];
}

/* out = mean of four, times scale */
static void coarsen(const sheet_level *fine, const float *restrict in, const sheet_level *coarse, float *restrict out)
{
    const size_t wf = (size_t)fine->n + 2, wc = (size_t)coarse->n + 2, n = (size_t)coarse->n;
#pragma omp parallel for schedule(static) if (n > SMALL)
    for (size_t j = 0; j < n; j++) {
        const float *restrict upper = in + (2 * j + 1) * wf + 1, *restrict lower = upper + wf;
        for (size_t i = 0; i < n; i++) {
            out[(j + 1) * wc + i + 1] = 0.25f * (upper[2 * i] + upper[2 * i + 1] + lower[2 * i] + lower[2 * i + 1]);
        }
    }
}

static void set_water(sheet_multigrid *mg, const sheet *p, const double *s, double gamma)
{
    const size_t n = (size_t)p->n, w = n + 2;
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < n; j++) {
        for (size_t i = 0; i < n; i++) {
            const float v = (float)s[j * n + i];
            mg->level[0].a[(j + 1) * w + i + 1] = 1.0f / (v * v * v);
        }
    }
    for (int l = 0; l < mg->n_levels; l++) {
        sheet_level *here = &mg->level[l];
        here->g = (float)(gamma * SHEET_D1_M2_S * here->n * here->n / (SHEET_SIDE_M * SHEET_SIDE_M));
        if (l > 0) {
            coarsen(&mg->level[l - 1], mg->level[l - 1].a, here, here->a);
        }
    }
}

/* What comes from one neighbour, per unit of its m, and what goes to it, per unit of the cell's: both times gamma. */
static inline float coming(float q, float spread, float per_s)
{
    return (spread + (q > 0.0f ? q : 0.0f)) * per_s;
}

static void set_dye(sheet_multigrid *mg, const sheet *p, const double *y, double gamma)
{
    const size_t n = (size_t)p->n, w = n + 2;
    const float per_area = (float)(gamma / (p->dx_m * p->dx_m)), g = (float)SHEET_D1_M2_S * per_area;
    sheet_potential(p, y);
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < w; j++) {
        for (size_t k = j * w; k < (j + 1) * w; k++) {
            mg->u[k] = (float)p->u[k];
            mg->c[k] = (float)p->c[k];
            mg->per_s[k] = 0.0f;
        }
        for (size_t i = 0; j > 0 && j <= n && i < n; i++) {
            mg->per_s[j * w + i + 1] = (float)(1.0 / y[(j - 1) * n + i]);
        }
    }
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < n; j++) {
        for (size_t i = 0; i < n; i++) {
            const size_t k = (j + 1) * w + i + 1, o = j * n + i;
            const size_t other[4] = {k - 1, k + 1, k - w, k + w};
            float *const to[4] = {mg->west, mg->east, mg->north, mg->south};
            float out = 0.0f;
            for (int e = 0; e < 4; e++) {
                const float q = g * (mg->u[other[e]] - mg->u[k]), inside = mg->per_s[other[e]] > 0.0f ? 1.0f : 0.0f;
                const float spread = inside * (float)SHEET_DM_M2_S * per_area * (float)y[o];
                to[e][o] = coming(q, spread, mg->per_s[other[e]]);
                out += coming(-q, spread, mg->per_s[k]);
            }
            mg->pivot[o] = 1.0f / (1.0f + (float)(gamma * SHEET_FIX_PER_S) + out);
        }
    }
}

void sheet_multigrid_set(sheet_multigrid *mg, const sheet *p, const double *y, double gamma)
{
    mg->gamma = gamma;
    set_water(mg, p, y, gamma);
    set_dye(mg, p, y, gamma);
}

/* r = b - A w, or the damped correction of a sweep, into r. */
static void residual(const sheet_level *l, int sweep)
{
    const size_t n = (size_t)l->n, w = n + 2;
    repeat_rim(l->n, l->w);
#pragma omp parallel for schedule(static) if (n > SMALL)
    for (size_t j = 0; j < n; j++) {
        const float *restrict x = l->w + (j + 1) * w + 1, *restrict b = l->b + (j + 1) * w + 1;
        const float *restrict up = x - w, *restrict down = x + w, *restrict a = l->a + (j + 1) * w + 1;
        float *restrict r = l->r + (j + 1) * w + 1;
        const float g = l->g;
        for (size_t i = 0; i < n; i++) {
            r[i] = b[i] - a[i] * x[i] + g * (x[(ptrdiff_t)i - 1] + x[i + 1] + up[i] + down[i] - 4.0f * x[i]);
        }
        for (size_t i = 0; sweep && i < n; i++) {
            r[i] = DAMPING * r[i] / (a[i] + 4.0f * g);
        }
    }
}

static void sweeps(const sheet_level *l, int n_sweeps)
{
    const size_t n = (size_t)l->n, w = n + 2;
    for (int s = 0; s < n_sweeps; s++) {
        residual(l, 1);
#pragma omp parallel for schedule(static) if (n > SMALL)
        for (size_t j = 1; j <= n; j++) {
            for (size_t k = j * w + 1; k <= j * w + n; k++) {
                l->w[k] += l->r[k];
            }
        }
    }
}

/* First sweep from nothing. */
static void start(const sheet_level *l)
{
    const size_t n = (size_t)l->n, w = n + 2;
#pragma omp parallel for schedule(static) if (n > SMALL)
    for (size_t j = 1; j <= n; j++) {
        for (size_t k = j * w + 1; k <= j * w + n; k++) {
            l->w[k] = DAMPING * l->b[k] / (l->a[k] + 4.0f * l->g);
        }
    }
}

static void add_coarse(const sheet_level *fine, const sheet_level *coarse)
{
    const size_t wf = (size_t)fine->n + 2, wc = (size_t)coarse->n + 2, n = (size_t)coarse->n;
    repeat_rim(coarse->n, coarse->w);
#pragma omp parallel for schedule(static) if (n > SMALL)
    for (size_t j = 0; j < 2 * n; j++) {
        const float *restrict near = coarse->w + (j / 2 + 1) * wc + 1;
        const float *restrict far = j % 2 ? near + wc : near - wc;
        float *restrict out = fine->w + (j + 1) * wf + 1;
        for (size_t i = 0; i < n; i++) {
            const ptrdiff_t c = (ptrdiff_t)i;
            const float here = 0.75f * near[c] + 0.25f * far[c];
            out[2 * i] += 0.75f * here + 0.25f * (0.75f * near[c - 1] + 0.25f * far[c - 1]);
            out[2 * i + 1] += 0.75f * here + 0.25f * (0.75f * near[c + 1] + 0.25f * far[c + 1]);
        }
    }
}

static void cycle(sheet_multigrid *mg, int depth)
{
    const sheet_level *l = &mg->level[depth];
    start(l);
    if (depth + 1 == mg->n_levels) {
        sweeps(l, COARSEST_SWEEPS);
        return;
    }
    sweeps(l, 1);
    residual(l, 0);
    coarsen(l, l->r, &mg->level[depth + 1], mg->level[depth + 1].b);
    cycle(mg, depth + 1);
    add_coarse(l, &mg->level[depth + 1]);
    sweeps(l, 2);
}

/* Right-hand side of m: r_m + gamma J_ms z_s, from w = s^3 z_s in level 0 and c. */
static void move_dye(sheet_multigrid *mg, const sheet *p, const double *r, const double *zs)
{
    const size_t n = (size_t)p->n, w = n + 2;
    const float g = (float)(mg->gamma * SHEET_D1_M2_S / (p->dx_m * p->dx_m));
    const float *x = mg->level[0].w, *u = mg->u, *c = mg->c;
    repeat_rim(p->n, mg->level[0].w);
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < n; j++) {
        for (size_t i = 0; i < n; i++) {
            const size_t k = (j + 1) * w + i + 1, o = j * n + i;
            const size_t other[4] = {k - 1, k + 1, k - w, k + w};
            const ptrdiff_t step[4] = {-1, 1, -(ptrdiff_t)n, (ptrdiff_t)n};
            float sum = 0.0f;
            for (int e = 0; e < 4; e++) {
                const int inside = mg->per_s[other[e]] > 0.0f, comes = u[other[e]] > u[k];
                const float q = g * (u[other[e]] - u[k]);
                const size_t from = comes ? other[e] : k;
                const float z = inside ? (float)zs[comes ? (size_t)((ptrdiff_t)o + step[e]) : o] : 0.0f;
                sum += g * (x[other[e]] - x[k]) * c[from] - q * c[from] * mg->per_s[from] * z;
            }
            mg->right[o] = (float)r[o] + sum;
        }
    }
}

static void solve_dye(sheet_multigrid *mg, const sheet *p)
{
    const size_t n = (size_t)p->n, w = n + 2;
    float *z = mg->z;
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < n; j++) {
        for (size_t i = 0; i < n; i++) {
            z[(j + 1) * w + i + 1] = mg->right[j * n + i] * mg->pivot[j * n + i];
        }
    }
    for (int half = 0; half < 2 * DYE_SWEEPS; half++) {
#pragma omp parallel for schedule(static)
        for (size_t j = 0; j < n; j++) {
            for (size_t i = (j + (size_t)half) % 2; i < n; i += 2) {
                const size_t k = (j + 1) * w + i + 1, o = j * n + i;
                z[k] = mg->pivot[o] * (mg->right[o] + mg->west[o] * z[k - 1] + mg->east[o] * z[k + 1] +
                                       mg->north[o] * z[k - w] + mg->south[o] * z[k + w]);
            }
        }
    }
}

void sheet_multigrid_solve(sheet_multigrid *mg, const sheet *p, const double *r, double *z)
{
    const size_t n = (size_t)p->n, w = n + 2, cells = p->cells;
    const double fixes = mg->gamma * SHEET_FIX_PER_S * SHEET_PORES_M;
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < n; j++) {
        for (size_t i = 0; i < n; i++) {
            mg->level[0].b[(j + 1) * w + i + 1] = (float)r[j * n + i];
        }
    }
    cycle(mg, 0);
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < n; j++) {
        for (size_t i = 0; i < n; i++) {
            const size_t k = (j + 1) * w + i + 1;
            z[j * n + i] = (double)(mg->level[0].w[k] * mg->level[0].a[k]);
        }
    }
    move_dye(mg, p, r + cells, z);
    solve_dye(mg, p);
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < n; j++) {
        for (size_t i = 0; i < n; i++) {
            const size_t o = j * n + i;
            z[cells + o] = (double)mg->z[(j + 1) * w + i + 1];
            z[2 * cells + o] = r[2 * cells + o] + fixes * z[cells + o];
        }
    }
}
