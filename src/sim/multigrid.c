#include "sim/multigrid.h"

#include <stdbool.h>
#include <string.h>

#include "base/alloc.h"
#include "sim/forest.h"

#define MAX_LEVELS 12
#define COARSEST_CELLS 48
#define COARSEST_PAIRS 4
/* With an undamped sweep after it, modes between 0.4 and 2 of M^-1 A shrink to less than a half. */
#define DAMPING 0.55f
/* Levels smaller than this are not worth waking a second thread. */
#define SMALL_LEVEL 5000
#define MOST_COLUMNS 16384

typedef struct level {
    int nx, ny;
    size_t n;
    thaw_forest forest;            /* own */
    int32_t *below;                /* own: the cell that each rests on, or -1 */
    float *gx, *gy, *gl;           /* own: edges to the right, to the next row, to below */
    float *shift;                  /* own: diagonal without the edges */
    float *spill;                  /* own: run-off to the cell below per unit of x, one way */
    float *edges;                  /* own: sum of what flows out of a cell in the plane, per unit of x */
    /* What a cell gets from its neighbour to the right and below it in the plane, and gives to them: with gravity not
     * the same. Own on the finest level, gx and gy on the others. */
    float *from_right, *to_right, *from_next, *to_next;
    /* By place in the forest. */
    float *push, *pull;            /* own: parts of a cell's value that go to its parent, and come from it */
    float *inverse;                /* own: 1 / diagonal after the children are eliminated */
    float *t;                      /* own: scratch */
    float *x, *b, *r;              /* own; x and b of the finest level are the caller's */
} level;

struct thaw_multigrid {
    int n_levels;
    level levels[MAX_LEVELS];
};

static void level_destroy(level *l)
{
    float *with_gravity[] = {l->from_right, l->to_right, l->from_next, l->to_next};
    for (size_t i = 0; l->from_right != l->gx && i < sizeof with_gravity / sizeof *with_gravity; i++) {
        thaw_release(with_gravity[i]);
    }
    void *blocks[] = {l->below, l->gx, l->gy, l->gl, l->shift, l->spill, l->edges, l->push, l->pull, l->inverse, l->t, l->x, l->b, l->r};
    for (size_t i = 0; i < sizeof blocks / sizeof *blocks; i++) {
        thaw_release(blocks[i]);
    }
    thaw_forest_destroy(&l->forest);
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

static thaw_status level_create(level *l, int nx, int ny, bool finest, thaw_error *err)
{
    *l = (level){.nx = nx, .ny = ny, .n = (size_t)nx * (size_t)ny};
    float **fields[] = {&l->gx, &l->gy, &l->gl, &l->shift, &l->spill, &l->edges, &l->push, &l->pull, &l->inverse, &l->t, &l->r, &l->x, &l->b};
    float **with_gravity[] = {&l->from_right, &l->to_right, &l->from_next, &l->to_next};
    const size_t n_fields = sizeof fields / sizeof *fields - (finest ? 2 : 0);
    for (size_t f = 0; f < n_fields; f++) {
        if (!(*fields[f] = thaw_allocate(l->n, sizeof(float), err))) {
            return THAW_ERR_MEMORY;
        }
    }
    for (size_t f = 0; f < 4; f++) {
        *with_gravity[f] = finest ? thaw_allocate(l->n, sizeof(float), err) : (f < 2 ? l->gx : l->gy);
        if (!*with_gravity[f]) {
            return THAW_ERR_MEMORY;
        }
    }
    l->below = thaw_allocate(l->n, sizeof(int32_t), err);
    return l->below ? THAW_OK : THAW_ERR_MEMORY;
}

static size_t coarse_of(const level *fine, size_t k, size_t coarse_nx)
{
    size_t nx = (size_t)fine->nx;
    return (k / nx / 2) * coarse_nx + (k % nx) / 2;
}

/* Height of the cells above the lowest layer, in layers; for blocks the mean of their cells. */
static void finest_height(const level *l, float *height)
{
    for (size_t p = 0; p < l->n; p++) {
        const size_t up = (size_t)l->forest.parent[p];
        height[l->forest.cell[p]] = up == p ? 0.0f : height[l->forest.cell[up]] + 1.0f;
    }
}

static void coarse_height(const level *fine, const float *height, const level *coarse, float *out)
{
    const size_t cnx = (size_t)coarse->nx, fnx = (size_t)fine->nx;
    for (size_t c = 0; c < coarse->n; c++) {
        float sum = 0.0f;
        int cells = 0;
        for (size_t j = 2 * (c / cnx); j < 2 * (c / cnx) + 2 && j < (size_t)fine->ny; j++) {
            for (size_t i = 2 * (c % cnx); i < 2 * (c % cnx) + 2 && i < fnx; i++) {
                sum += height[j * fnx + i];
                cells++;
            }
        }
        out[c] = sum / (float)cells;
    }
}

/* The block on which most cells of block c rest, among those that lie lower: so links form no ring. */
static int32_t rests_on(const level *fine, const level *coarse, const float *height, size_t c)
{
    const size_t cnx = (size_t)coarse->nx, fnx = (size_t)fine->nx;
    int32_t block[4], votes[4] = {0}, found = 0, best = -1;
    for (size_t child = 0; child < 4; child++) {
        size_t i = 2 * (c % cnx) + (child & 1), j = 2 * (c / cnx) + (child >> 1);
        if (i >= fnx || j >= (size_t)fine->ny || fine->below[j * fnx + i] < 0) {
            continue;
        }
        int32_t on = (int32_t)coarse_of(fine, (size_t)fine->below[j * fnx + i], cnx), v = 0;
        if (!(height[on] < height[c])) {
            continue;
        }
        while (v < found && block[v] != on) {
            v++;
        }
        block[v] = on;
        found += v == found;
        votes[v]++;
    }
    for (int32_t v = 0; v < found; v++) {
        best = best < 0 || votes[v] > votes[best] ? v : best;
    }
    return best < 0 ? -1 : block[best];
}

static thaw_status add_levels(thaw_multigrid *mg, float *height, float *next, thaw_error *err)
{
    finest_height(&mg->levels[0], height);
    while (mg->n_levels < MAX_LEVELS && mg->levels[mg->n_levels - 1].n > COARSEST_CELLS) {
        level *fine = &mg->levels[mg->n_levels - 1];
        level *coarse = &mg->levels[mg->n_levels++];
        if (level_create(coarse, (fine->nx + 1) / 2, (fine->ny + 1) / 2, false, err) != THAW_OK) {
            return THAW_ERR_MEMORY;
        }
        coarse_height(fine, height, coarse, next);
        for (size_t c = 0; c < coarse->n; c++) {
            coarse->below[c] = rests_on(fine, coarse, next, c);
        }
        memcpy(height, next, coarse->n * sizeof *height);
        if (thaw_forest_create(coarse->n, coarse->below, &coarse->forest, err) != THAW_OK) {
            return THAW_ERR_MEMORY;
        }
    }
    return THAW_OK;
}

thaw_status thaw_multigrid_create(const thaw_web *web, thaw_multigrid **out, thaw_error *err)
{
    thaw_multigrid *mg = thaw_allocate(1, sizeof *mg, err);
    float *height = thaw_allocate(web->n, sizeof *height, err), *next = thaw_allocate(web->n, sizeof *next, err);
    thaw_status status = THAW_ERR_MEMORY;
    if (mg && height && next) {
        mg->n_levels = 1;
        status = level_create(&mg->levels[0], web->nx, web->ny, true, err);
    }
    if (status == THAW_OK) {
        for (size_t k = 0; k < web->n; k++) {
            mg->levels[0].below[k] = web->below ? web->below[k] : -1;
        }
        status = thaw_forest_create(web->n, web->below, &mg->levels[0].forest, err);
    }
    if (status == THAW_OK) {
        status = add_levels(mg, height, next, err);
    }
    thaw_release(height);
    thaw_release(next);
    if (status != THAW_OK) {
        thaw_multigrid_destroy(mg);
        return status;
    }
    thaw_multigrid_refresh(mg, web);
    *out = mg;
    return THAW_OK;
}

/* A cell's own share in the flow through its edges in the plane. Those at the border are 0. */
static void sum_edges(level *l)
{
    const size_t nx = (size_t)l->nx;
#pragma omp parallel for schedule(static) if (l->n > SMALL_LEVEL)
    for (size_t row = 0; row < l->n; row += nx) {
        const float *restrict right = l->to_right + row, *restrict left = l->from_right + row, *restrict next = l->to_next + row;
        float *restrict sum = l->edges + row;
        for (size_t i = 0; i < nx; i++) {
            sum[i] = right[i] + next[i];
        }
        for (size_t i = 1; i < nx; i++) {
            sum[i] += left[i - 1];
        }
        for (size_t i = 0; row && i < nx; i++) {
            sum[i] += l->from_next[row - nx + i];
        }
    }
}

static void refresh_coarse(level *coarse, const level *fine)
{
    const size_t cnx = (size_t)coarse->nx, fnx = (size_t)fine->nx;
#pragma omp parallel for schedule(static) if (fine->n > SMALL_LEVEL)
    for (size_t c = 0; c < coarse->n; c++) {
        const size_t i0 = 2 * (c % cnx), j0 = 2 * (c / cnx);
        float gx = 0.0f, gy = 0.0f, gl = 0.0f;
        for (size_t j = j0; j < j0 + 2 && j < (size_t)fine->ny; j++) {
            for (size_t i = i0; i < i0 + 2 && i < fnx; i++) {
                const size_t k = j * fnx + i;
                gx += i > i0 && i + 1 < fnx ? 0.5f * fine->gx[k] : 0.0f;
                gy += j > j0 && j + 1 < (size_t)fine->ny ? 0.5f * fine->gy[k] : 0.0f;
                /* Links inside a block are gone. */
                gl += fine->below[k] >= 0 && coarse_of(fine, (size_t)fine->below[k], cnx) != c ? fine->gl[k] : 0.0f;
            }
        }
        coarse->gx[c] = gx;
        coarse->gy[c] = gy;
        coarse->gl[c] = coarse->below[c] >= 0 ? gl : 0.0f;
    }
}

void thaw_multigrid_refresh(thaw_multigrid *mg, const thaw_web *web)
{
    level *finest = &mg->levels[0];
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < finest->n; k++) {
        finest->gx[k] = (float)web->gx[k];
        finest->gy[k] = (float)web->gy[k];
        finest->gl[k] = finest->below[k] >= 0 ? (float)web->gl[k] : 0.0f;
    }
    for (int l = 0; l < mg->n_levels; l++) {
        if (l > 0) {
            refresh_coarse(&mg->levels[l], &mg->levels[l - 1]);
        }
    }
    for (int l = 1; l < mg->n_levels; l++) {
        sum_edges(&mg->levels[l]);
    }
}

/* The edge's flow is g ((y_a - y_b) + z (m_a y_a + m_b y_b)), see sim/web.h. */
static void set_gravity(level *l, const thaw_web *web, const double *restrict lean)
{
    const size_t nx = (size_t)l->nx;
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < l->n; row += nx) {
        for (size_t k = row; k + 1 < row + nx; k++) {
            l->to_right[k] = (float)(web->gx[k] * (1.0 + web->zx[k] * lean[k]));
            l->from_right[k] = (float)(web->gx[k] * (1.0 - web->zx[k] * lean[k + 1]));
        }
        for (size_t k = row; k < row + nx && k + nx < l->n; k++) {
            l->to_next[k] = (float)(web->gy[k] * (1.0 + web->zy[k] * lean[k]));
            l->from_next[k] = (float)(web->gy[k] * (1.0 - web->zy[k] * lean[k + nx]));
        }
    }
    sum_edges(l);
}

/* sum = children of row j of a coarse level. */
static void restrict_row(const level *fine, const float *restrict in, const level *coarse, size_t j, float *restrict out)
{
    const size_t fnx = (size_t)fine->nx, cnx = (size_t)coarse->nx, pairs = fnx / 2;
    const float *restrict upper = in + 2 * j * fnx;
    const float *restrict lower = 2 * j + 1 < (size_t)fine->ny ? upper + fnx : NULL;
    float *restrict sum = out + j * cnx;
    for (size_t i = 0; i < pairs; i++) {
        sum[i] = upper[2 * i] + upper[2 * i + 1];
    }
    for (size_t i = 0; lower && i < pairs; i++) {
        sum[i] += lower[2 * i] + lower[2 * i + 1];
    }
    if (pairs < cnx) {
        sum[pairs] = upper[2 * pairs] + (lower ? lower[2 * pairs] : 0.0f);
    }
}

/* out[coarse] = sum of the four children. */
static void restrict_sum(const level *fine, const float *restrict in, const level *coarse, float *restrict out)
{
#pragma omp parallel for schedule(static) if (fine->n > SMALL_LEVEL)
    for (size_t j = 0; j < (size_t)coarse->ny; j++) {
        restrict_row(fine, in, coarse, j, out);
    }
}

/* Eliminate the links of a level: Gauss along the trees, from the tips to the roots. rise (z along the links) and
 * lean are those of the finest level; NULL without gravity. */
static void factorise(level *l, const double *rise, const double *lean)
{
    const int32_t *restrict cell = l->forest.cell, *restrict parent = l->forest.parent;
    float *restrict d = l->t;
#pragma omp parallel for schedule(dynamic, 1) if (l->n > SMALL_LEVEL)
    for (int32_t c = 0; c < l->forest.n_chunks; c++) {
        const int32_t first = l->forest.chunk[c], end = l->forest.chunk[c + 1];
        for (int32_t p = first; p < end; p++) {
            d[p] = l->shift[cell[p]] + l->edges[cell[p]];
        }
        for (int32_t p = end - 1; p >= first; p--) {
            const int32_t k = cell[p], b = cell[parent[p]];
            const float z = lean ? (float)rise[k] : 0.0f, g = l->gl[k];
            const float down = g * (1.0f + (lean ? z * (float)lean[k] : 0.0f)) + l->spill[k];
            const float up = g * (1.0f - (lean ? z * (float)lean[b] : 0.0f));
            const float inverse = 1.0f / (d[p] + down);
            const int root = parent[p] == p;
            l->inverse[p] = inverse;
            l->push[p] = root ? 0.0f : down * inverse;
            l->pull[p] = root ? 0.0f : up * inverse;
            d[parent[p]] += root ? 0.0f : up * (1.0f - l->push[p]);
        }
    }
}

/* What runs off inside a block stays in it. */
static void restrict_spill(const level *fine, level *coarse)
{
    const size_t cnx = (size_t)coarse->nx, fnx = (size_t)fine->nx;
#pragma omp parallel for schedule(static) if (fine->n > SMALL_LEVEL)
    for (size_t c = 0; c < coarse->n; c++) {
        const size_t j0 = 2 * (c / cnx), i0 = 2 * (c % cnx);
        float sum = 0.0f;
        for (size_t j = j0; j < j0 + 2 && j < (size_t)fine->ny; j++) {
            for (size_t k = j * fnx + i0; k < j * fnx + i0 + 2 && k < (j + 1) * fnx; k++) {
                const int32_t b = fine->below[k];
                sum += b < 0 || coarse_of(fine, (size_t)b, cnx) != c ? fine->spill[k] : 0.0f;
            }
        }
        coarse->spill[c] = sum;
    }
}

void thaw_multigrid_set(thaw_multigrid *mg, const thaw_web *web, const double *diagonal, const thaw_web_slope *slope)
{
    level *finest = &mg->levels[0];
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < finest->n; k++) {
        finest->shift[k] = (float)diagonal[k];
        finest->spill[k] = (float)slope->spill[k];
    }
    set_gravity(finest, web, slope->lean);
    for (int l = 1; l < mg->n_levels; l++) {
        restrict_sum(&mg->levels[l - 1], mg->levels[l - 1].shift, &mg->levels[l], mg->levels[l].shift);
        restrict_spill(&mg->levels[l - 1], &mg->levels[l]);
    }
    for (int l = 0; l < mg->n_levels; l++) {
        factorise(&mg->levels[l], web->zl, l ? NULL : slope->lean);
    }
}

/* t = (diagonal + links)^-1 b in one chunk of the forest, by place. Its roots come first. */
static void solve_trees(const level *l, int32_t first, int32_t roots, int32_t end, const float *restrict b)
{
    const int32_t *restrict cell = l->forest.cell, *restrict parent = l->forest.parent;
    const float *restrict push = l->push, *restrict pull = l->pull, *restrict inverse = l->inverse;
    float *restrict t = l->t;
    for (int32_t p = first; p < end; p++) {
        t[p] = b[cell[p]];
    }
    for (int32_t p = end - 1; p >= roots; p--) {
        t[parent[p]] += push[p] * t[p];
    }
    for (int32_t p = first; p < roots; p++) {
        t[p] *= inverse[p];
    }
    for (int32_t p = roots; p < end; p++) {
        t[p] = t[p] * inverse[p] + pull[p] * t[parent[p]];
    }
}

/* A chunk of cells side by side that rest on nothing: no order of their own, no trees. */
static void relax_flat(int32_t n, float keep, float damping, const float *restrict inverse, const float *restrict b,
                       float *restrict x)
{
    for (int32_t i = 0; keep > 0.0f && i < n; i++) {
        x[i] = keep * x[i] + damping * (b[i] * inverse[i]);
    }
    for (int32_t i = 0; !(keep > 0.0f) && i < n; i++) {
        x[i] = damping * (b[i] * inverse[i]);
    }
}

/* x = keep x + damping (diagonal + links)^-1 b; keep 0 does not look at x. */
static void relax(const level *l, thaw_team team, float keep, float damping, const float *restrict b, float *restrict x)
{
    const size_t last = thaw_team_end(team, (size_t)l->forest.n_chunks);
    const int32_t *restrict cell = l->forest.cell;
    const float *restrict t = l->t;
    for (size_t c = thaw_team_first(team, (size_t)l->forest.n_chunks); c < last; c++) {
        const int32_t first = l->forest.chunk[c], end = l->forest.chunk[c + 1], k = cell[first];
        if (l->forest.rooted[c] == end && cell[end - 1] - k == end - 1 - first) {
            relax_flat(end - first, keep, damping, l->inverse + first, b + k, x + k);
            continue;
        }
        solve_trees(l, first, l->forest.rooted[c], end, b);
        for (int32_t p = first; keep > 0.0f && p < end; p++) {
            x[cell[p]] = keep * x[cell[p]] + damping * t[p];
        }
        for (int32_t p = first; !(keep > 0.0f) && p < end; p++) {
            x[cell[p]] = damping * t[p];
        }
    }
    thaw_team_wait(team);
}

/* out = keep b + sign N x for one row, N: what comes through the edges in the plane, 0 at the border. */
static void neighbours_row(const level *l, size_t row, float keep, float sign, const float *restrict x,
                           const float *restrict b, float *restrict out)
{
    const size_t nx = (size_t)l->nx, before = row ? row - nx : 0, after = row + nx < l->n ? row + nx : row;
    const float *restrict right = l->from_right + row, *restrict left = l->to_right + row, *restrict here = x + row;
    const float *restrict next = l->from_next + row, *restrict upper = l->to_next + before;
    const float *restrict below = x + after, *restrict above = x + before, up = row ? 1.0f : 0.0f;
    float *restrict sum = out + row;
    for (size_t i = 0; i < nx; i++) {
        sum[i] = keep * b[row + i] + sign * (next[i] * below[i] + up * upper[i] * above[i]);
    }
    for (size_t i = 0; i + 1 < nx; i++) {
        sum[i] += sign * right[i] * here[i + 1];
    }
    for (size_t i = 1; i < nx; i++) {
        sum[i] += sign * left[i - 1] * here[i - 1];
    }
}

/* A row of the coarse correction at the height of row j of the fine level, its border repeated on both sides. */
static void between_rows(const level *coarse, size_t j, float *restrict out)
{
    const size_t cnx = (size_t)coarse->nx, here = j / 2;
    const size_t other = j % 2 ? (here + 1 < (size_t)coarse->ny ? here + 1 : here) : (here ? here - 1 : 0);
    const float *restrict c = coarse->x + here * cnx, *restrict d = coarse->x + other * cnx;
    for (size_t i = 0; i < cnx; i++) {
        out[i + 1] = 0.75f * c[i] + 0.25f * d[i];
    }
    out[0] = out[1];
    out[cnx + 1] = out[cnx];
}

/* x += the coarse level, between its cells by bilinear interpolation. */
static void add_coarse(const level *fine, thaw_team team, float *restrict x, const level *coarse)
{
    const size_t fnx = (size_t)fine->nx, pairs = fnx / 2;
    float t[MOST_COLUMNS / 2 + 2];
    for (size_t j = thaw_team_first(team, (size_t)fine->ny); j < thaw_team_end(team, (size_t)fine->ny); j++) {
        float *restrict row = x + j * fnx;
        between_rows(coarse, j, t);
        for (size_t i = 0; i < pairs; i++) {
            row[2 * i] += 0.75f * t[i + 1] + 0.25f * t[i];
            row[2 * i + 1] += 0.75f * t[i + 1] + 0.25f * t[i + 2];
        }
        if (2 * pairs < fnx) {
            row[2 * pairs] += 0.75f * t[pairs + 1] + 0.25f * t[pairs];
        }
    }
    thaw_team_wait(team);
}

/* M = diagonal + links, N = edges in the plane, A = M - N. A sweep is x = (1 - w) x + w M^-1 (b + N x). */
static void sweep(level *l, thaw_team team, float w, const float *restrict b, float *restrict x)
{
    for (size_t j = thaw_team_first(team, (size_t)l->ny); j < thaw_team_end(team, (size_t)l->ny); j++) {
        neighbours_row(l, j * (size_t)l->nx, 1.0f, 1.0f, x, b, l->r);
    }
    thaw_team_wait(team);
    relax(l, team, 1.0f - w, w, l->r, x);
}

/* What a first undamped sweep leaves, b - A x = N x, summed over blocks. */
static void restrict_residual(level *l, level *coarse, thaw_team team, const float *restrict b, const float *restrict x)
{
    const size_t nx = (size_t)l->nx, ny = (size_t)l->ny;
    for (size_t j = thaw_team_first(team, (size_t)coarse->ny); j < thaw_team_end(team, (size_t)coarse->ny); j++) {
        for (size_t row = 2 * j; row < 2 * j + 2 && row < ny; row++) {
            neighbours_row(l, row * nx, 0.0f, 1.0f, x, b, l->r);
        }
        restrict_row(l, l->r, coarse, j, coarse->b);
    }
    thaw_team_wait(team);
}

/* The last sweep of a level is undamped: whatever a coarse level did across the stiff links is then undone in
 * full, while damping would leave a share of it, which is more than everything else. The first is undamped
 * too. Small levels are left to one thread. */
static void cycle(thaw_multigrid *mg, thaw_team team, int depth, const float *b, float *x)
{
    level *l = &mg->levels[depth];
    if (team.size > 1 && l->n < SMALL_LEVEL) {
        if (team.rank == 0) {
            cycle(mg, thaw_team_alone(), depth, b, x);
        }
        thaw_team_wait(team);
        return;
    }
    relax(l, team, 0.0f, 1.0f, b, x);
    if (depth + 1 < mg->n_levels) {
        level *coarse = &mg->levels[depth + 1];
        restrict_residual(l, coarse, team, b, x);
        cycle(mg, team, depth + 1, coarse->b, coarse->x);
        add_coarse(l, team, x, coarse);
    }
    const int pairs = depth + 1 < mg->n_levels ? 1 : COARSEST_PAIRS;
    for (int pair = 0; pair < pairs; pair++) {
        sweep(l, team, DAMPING, b, x);
        sweep(l, team, 1.0f, b, x);
    }
}

/* The last sweep solved M y = r' for the r' that it left behind, so A y = r' - N y: no need to go through the links. */
void thaw_multigrid_apply(thaw_multigrid *mg, thaw_team team, const float *r, float *y, float *product)
{
    level *l = &mg->levels[0];
    cycle(mg, team, 0, r, y);
    for (size_t j = thaw_team_first(team, (size_t)l->ny); j < thaw_team_end(team, (size_t)l->ny); j++) {
        neighbours_row(l, j * (size_t)l->nx, 1.0f, -1.0f, y, l->r, product);
    }
    thaw_team_wait(team);
}
