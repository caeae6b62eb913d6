#include "sim/multigrid.h"

#include <string.h>

#include "base/alloc.h"

#define MAX_LEVELS 12
#define MOST_ROUNDS 4096           /* links of one cell of the coarsest level */
#define COARSEST_CELLS 48
#define COARSEST_SWEEPS 8
#define DAMPING 0.75f
/* Levels smaller than this are not worth waking a second thread. */
#define SMALL_LEVEL 20000

typedef struct level {
    int nx, ny;
    size_t n;
    float *gx, *gy;                /* own */
    int32_t *start, *other;        /* own: CSR of links between layers, both directions */
    int32_t *upper;                /* own: finest level, upper cell of the entry's link */
    float *weight;                 /* own */
    /* The same entries in rounds: within a round every cell stands once. */
    int32_t n_rounds;
    int32_t round_start[MOST_ROUNDS + 1];
    int32_t *round_row, *round_other, *round_entry; /* own */
    float *round_weight;           /* own */
    int32_t *parent;               /* own: entry of the next level that this entry adds to, or -1 */
    float *shift;                  /* own: diagonal without the edges */
    float *edges;                  /* own: sum of the edges of a cell */
    float *diagonal, *inverse;     /* own: shift + edges; damping / that */
    float *x, *b, *r;              /* own */
} level;

struct thaw_multigrid {
    int n_levels;
    level levels[MAX_LEVELS];
};

static void level_destroy(level *l)
{
    void *blocks[] = {l->gx, l->gy, l->start, l->other, l->upper, l->weight, l->round_row, l->round_other, l->round_entry, l->round_weight, l->parent, l->shift, l->edges, l->diagonal, l->inverse, l->x, l->b, l->r};
    for (size_t i = 0; i < sizeof blocks / sizeof *blocks; i++) {
        thaw_release(blocks[i]);
    }
}

void thaw_multigrid_destroy(thaw_multigrid *mg)
{
    if (mg) {
        for (int l = 0; l < mg->n_levels; l++) {
            level_destroy(&mg->levels[l]);
        }
        thaw_release(mg);
    }
}

static thaw_status level_create(level *l, int nx, int ny, size_t n_entries, thaw_error *err)
{
    *l = (level){.nx = nx, .ny = ny, .n = (size_t)nx * (size_t)ny};
    float **fields[] = {&l->gx, &l->gy, &l->shift, &l->edges, &l->diagonal, &l->inverse, &l->x, &l->b, &l->r};
    for (size_t f = 0; f < sizeof fields / sizeof *fields; f++) {
        if (!(*fields[f] = thaw_allocate(l->n, sizeof(float), err))) {
            return THAW_ERR_MEMORY;
        }
    }
    l->start = thaw_allocate(l->n + 1, sizeof(int32_t), err);
    l->other = thaw_allocate(n_entries + 1, sizeof(int32_t), err);
    l->parent = thaw_allocate(n_entries + 1, sizeof(int32_t), err);
    l->upper = thaw_allocate(n_entries + 1, sizeof(int32_t), err);
    l->round_row = thaw_allocate(n_entries + 1, sizeof(int32_t), err);
    l->round_other = thaw_allocate(n_entries + 1, sizeof(int32_t), err);
    l->round_entry = thaw_allocate(n_entries + 1, sizeof(int32_t), err);
    l->round_weight = thaw_allocate(n_entries + 1, sizeof(float), err);
    if (!l->upper || !l->round_row || !l->round_other || !l->round_entry || !l->round_weight) {
        return THAW_ERR_MEMORY;
    }
    l->weight = thaw_allocate(n_entries + 1, sizeof(float), err);
    return l->start && l->other && l->parent && l->weight ? THAW_OK : THAW_ERR_MEMORY;
}

/* Finest level: two entries a link, at its upper and at its lower cell. */
static void fill_finest(level *l, const thaw_web *web)
{
    for (int32_t i = 0; i < web->n_links; i++) {
        l->start[web->from[i] + 1]++;
        l->start[web->below[web->from[i]] + 1]++;
    }
    for (size_t k = 0; k < l->n; k++) {
        l->start[k + 1] += l->start[k];
    }
    for (int32_t i = 0; i < web->n_links; i++) {
        int32_t a = web->from[i], b = web->below[a];
        int32_t ea = l->start[a]++, eb = l->start[b]++;
        l->other[ea] = b;
        l->other[eb] = a;
        l->upper[ea] = l->upper[eb] = a;
    }
    for (size_t k = l->n; k > 0; k--) {
        l->start[k] = l->start[k - 1];
    }
    l->start[0] = 0;
}

/* Sort the entries of the rows into rounds. */
static void fill_rounds(level *l)
{
    int32_t at = 0;
    for (l->n_rounds = 0; l->n_rounds < MOST_ROUNDS; l->n_rounds++) {
        l->round_start[l->n_rounds] = at;
        for (size_t k = 0; k < l->n; k++) {
            int32_t e = l->start[k] + l->n_rounds;
            if (e < l->start[k + 1]) {
                l->round_row[at] = (int32_t)k;
                l->round_other[at] = l->other[e];
                l->round_entry[at++] = e;
            }
        }
        if (at == l->round_start[l->n_rounds]) {
            break;
        }
    }
    l->round_start[l->n_rounds] = at;
}

static size_t coarse_of(const level *fine, size_t k, size_t coarse_nx)
{
    size_t nx = (size_t)fine->nx;
    return (k / nx / 2) * coarse_nx + (k % nx) / 2;
}

/* Links of the coarse level: links of the four children, equal ends joined. Counts only when
 * coarse->other is too small is impossible: there are never more entries than fine ones. */
static void fill_coarse(level *coarse, level *fine, int32_t *mark)
{
    const size_t cnx = (size_t)coarse->nx, fnx = (size_t)fine->nx;
    int32_t e = 0;
    for (size_t c = 0; c < coarse->n; c++) {
        mark[c] = -1;
    }
    for (size_t c = 0; c < coarse->n; c++) {
        const int32_t first = e;
        coarse->start[c] = e;
        for (int child = 0; child < 4; child++) {
            size_t i = 2 * (c % cnx) + (size_t)(child & 1), j = 2 * (c / cnx) + (size_t)(child >> 1);
            if (i >= fnx || j >= (size_t)fine->ny) {
                continue;
            }
            for (int32_t f = fine->start[j * fnx + i]; f < fine->start[j * fnx + i + 1]; f++) {
                size_t other = coarse_of(fine, (size_t)fine->other[f], cnx);
                if (other == c) {
                    fine->parent[f] = -1;
                    continue;
                }
                if (mark[other] < first) {
                    mark[other] = e;
                    coarse->other[e++] = (int32_t)other;
                }
                fine->parent[f] = mark[other];
            }
        }
    }
    coarse->start[coarse->n] = e;
}

thaw_status thaw_multigrid_create(const thaw_web *web, thaw_multigrid **out, thaw_error *err)
{
    thaw_multigrid *mg = thaw_allocate(1, sizeof *mg, err);
    int32_t *mark = thaw_allocate(web->n, sizeof *mark, err);
    size_t n_entries = 2 * (size_t)web->n_links;
    if (!mg || !mark) {
        goto fail;
    }
    mg->n_levels = 1;
    if (level_create(&mg->levels[0], web->nx, web->ny, n_entries, err) != THAW_OK) {
        goto fail;
    }
    fill_finest(&mg->levels[0], web);
    fill_rounds(&mg->levels[0]);
    while (mg->n_levels < MAX_LEVELS && mg->levels[mg->n_levels - 1].n > COARSEST_CELLS) {
        level *fine = &mg->levels[mg->n_levels - 1];
        level *coarse = &mg->levels[mg->n_levels++];
        n_entries = (size_t)fine->start[fine->n];
        if (level_create(coarse, (fine->nx + 1) / 2, (fine->ny + 1) / 2, n_entries, err) != THAW_OK) {
            goto fail;
        }
        fill_coarse(coarse, fine, mark);
        fill_rounds(coarse);
    }
    thaw_release(mark);
    thaw_multigrid_refresh(mg, web);
    *out = mg;
    return THAW_OK;
fail:
    thaw_release(mark);
    thaw_multigrid_destroy(mg);
    return THAW_ERR_MEMORY;
}

static void sum_edges(level *l)
{
    const size_t nx = (size_t)l->nx;
    for (size_t k = 0; k < l->n; k++) {
        float sum = (k + 1) % nx ? l->gx[k] : 0.0f;
        sum += k % nx ? l->gx[k - 1] : 0.0f;
        sum += k + nx < l->n ? l->gy[k] : 0.0f;
        sum += k >= nx ? l->gy[k - nx] : 0.0f;
        for (int32_t e = l->start[k]; e < l->start[k + 1]; e++) {
            sum += l->weight[e];
        }
        l->edges[k] = sum;
    }
}

static void refresh_coarse(level *coarse, const level *fine)
{
    const size_t cnx = (size_t)coarse->nx, fnx = (size_t)fine->nx;
    for (size_t c = 0; c < coarse->n; c++) {
        coarse->gx[c] = coarse->gy[c] = 0.0f;
    }
    for (int32_t e = 0; e < coarse->start[coarse->n]; e++) {
        coarse->weight[e] = 0.0f;
    }
    for (size_t k = 0; k < fine->n; k++) {
        size_t i = k % fnx, j = k / fnx, c = coarse_of(fine, k, cnx);
        if ((i & 1) && i + 1 < fnx) {
            coarse->gx[c] += 0.5f * fine->gx[k];
        }
        if ((j & 1) && k + fnx < fine->n) {
            coarse->gy[c] += 0.5f * fine->gy[k];
        }
        for (int32_t e = fine->start[k]; e < fine->start[k + 1]; e++) {
            if (fine->parent[e] >= 0) {
                coarse->weight[fine->parent[e]] += fine->weight[e];
            }
        }
    }
}

static void spread_weights(level *l)
{
    for (int32_t i = 0; i < l->round_start[l->n_rounds]; i++) {
        l->round_weight[i] = l->weight[l->round_entry[i]];
    }
}

void thaw_multigrid_refresh(thaw_multigrid *mg, const thaw_web *web)
{
    level *finest = &mg->levels[0];
    for (size_t k = 0; k < finest->n; k++) {
        finest->gx[k] = (float)web->gx[k];
        finest->gy[k] = (float)web->gy[k];
    }
    for (int32_t e = 0; e < finest->start[finest->n]; e++) {
        finest->weight[e] = (float)web->gl[finest->upper[e]];
    }
    for (int l = 0; l < mg->n_levels; l++) {
        if (l > 0) {
            refresh_coarse(&mg->levels[l], &mg->levels[l - 1]);
        }
        sum_edges(&mg->levels[l]);
        spread_weights(&mg->levels[l]);
    }
}

/* out[coarse] = sum of the four children. */
static void restrict_sum(const level *fine, const float *restrict in, const level *coarse, float *restrict out)
{
    const size_t fnx = (size_t)fine->nx, cnx = (size_t)coarse->nx;
#pragma omp parallel for schedule(static) if (fine->n > SMALL_LEVEL)
    for (size_t j = 0; j < (size_t)coarse->ny; j++) {
        const float *upper = in + 2 * j * fnx;
        const int lower = 2 * j + 1 < (size_t)fine->ny;
        for (size_t i = 0; i < cnx; i++) {
            const size_t k = 2 * i;
            const int right = k + 1 < fnx;
            float sum = upper[k] + (right ? upper[k + 1] : 0.0f);
            if (lower) {
                sum += upper[fnx + k] + (right ? upper[fnx + k + 1] : 0.0f);
            }
            out[j * cnx + i] = sum;
        }
    }
}

void thaw_multigrid_set_diagonal(thaw_multigrid *mg, const float *diagonal)
{
    level *finest = &mg->levels[0];
    memcpy(finest->shift, diagonal, finest->n * sizeof *diagonal);
    for (int l = 1; l < mg->n_levels; l++) {
        restrict_sum(&mg->levels[l - 1], mg->levels[l - 1].shift, &mg->levels[l], mg->levels[l].shift);
    }
    for (int l = 0; l < mg->n_levels; l++) {
        level *here = &mg->levels[l];
#pragma omp parallel for schedule(static) if (here->n > SMALL_LEVEL)
        for (size_t k = 0; k < here->n; k++) {
            here->diagonal[k] = here->shift[k] + here->edges[k];
            here->inverse[k] = DAMPING / here->diagonal[k];
        }
    }
}

/* r = b - A x for one row: in the plane first, free of branches, then the links. Edges at the border
 * are 0, so reading across a row's end does no harm; only the very first and last cell need care. */
static void residual_row(const level *l, size_t row, const float *restrict x, const float *restrict b,
                         float *restrict r)
{
    const size_t nx = (size_t)l->nx;
    const float *restrict gx = l->gx, *restrict diagonal = l->diagonal;
    float *restrict out = r + row;
    for (size_t i = 0; i < nx; i++) {
        out[i] = b[row + i] - diagonal[row + i] * x[row + i];
    }
    for (size_t i = 0; i + 1 < nx; i++) {
        out[i] += gx[row + i] * x[row + i + 1];
    }
    for (size_t i = 1; i < nx; i++) {
        out[i] += gx[row + i - 1] * x[row + i - 1];
    }
    if (row + nx < l->n) {
        const float *restrict gy = l->gy + row, *restrict other = x + row + nx;
        for (size_t i = 0; i < nx; i++) {
            out[i] += gy[i] * other[i];
        }
    }
    if (row >= nx) {
        const float *restrict gy = l->gy + row - nx, *restrict other = x + row - nx;
        for (size_t i = 0; i < nx; i++) {
            out[i] += gy[i] * other[i];
        }
    }
}

static void residual(const level *l, const float *restrict x, const float *restrict b, float *restrict r)
{
#pragma omp parallel for schedule(static) if (l->n > SMALL_LEVEL)
    for (size_t j = 0; j < (size_t)l->ny; j++) {
        residual_row(l, j * (size_t)l->nx, x, b, r);
    }
    for (int32_t round = 0; round < l->n_rounds; round++) {
#pragma omp parallel for schedule(static) if (l->round_start[round + 1] - l->round_start[round] > SMALL_LEVEL)
        for (int32_t i = l->round_start[round]; i < l->round_start[round + 1]; i++) {
            r[l->round_row[i]] += l->round_weight[i] * x[l->round_other[i]];
        }
    }
}

/* x += damping r / diagonal. */
static void relax(const level *l, float *restrict x, const float *restrict r)
{
    const float *restrict inverse = l->inverse;
#pragma omp parallel for schedule(static) if (l->n > SMALL_LEVEL)
    for (size_t k = 0; k < l->n; k++) {
        x[k] += r[k] * inverse[k];
    }
}

static void start(const level *l, float *restrict x, const float *restrict b)
{
    const float *restrict inverse = l->inverse;
#pragma omp parallel for schedule(static) if (l->n > SMALL_LEVEL)
    for (size_t k = 0; k < l->n; k++) {
        x[k] = b[k] * inverse[k];
    }
}

static void add_coarse(const level *fine, float *restrict x, const level *coarse)
{
    const size_t fnx = (size_t)fine->nx, cnx = (size_t)coarse->nx;
#pragma omp parallel for schedule(static) if (fine->n > SMALL_LEVEL)
    for (size_t j = 0; j < (size_t)fine->ny; j++) {
        const float *c = coarse->x + j / 2 * cnx;
        for (size_t i = 0; i < fnx; i++) {
            x[j * fnx + i] += c[i / 2];
        }
    }
}

static void cycle(thaw_multigrid *mg, int depth)
{
    level *l = &mg->levels[depth];
    start(l, l->x, l->b);
    if (depth + 1 == mg->n_levels) {
        for (int sweep = 1; sweep < COARSEST_SWEEPS; sweep++) {
            residual(l, l->x, l->b, l->r);
            relax(l, l->x, l->r);
        }
        return;
    }
    level *coarse = &mg->levels[depth + 1];
    residual(l, l->x, l->b, l->r);
    restrict_sum(l, l->r, coarse, coarse->b);
    cycle(mg, depth + 1);
    add_coarse(l, l->x, coarse);
    residual(l, l->x, l->b, l->r);
    relax(l, l->x, l->r);
}

void thaw_multigrid_apply(thaw_multigrid *mg, const float *r, float *y)
{
    level *finest = &mg->levels[0];
    memcpy(finest->b, r, finest->n * sizeof *r);
    cycle(mg, 0);
    memcpy(y, finest->x, finest->n * sizeof *y);
}
