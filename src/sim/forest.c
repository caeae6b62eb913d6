#include "sim/forest.h"

#include "base/alloc.h"

/* Enough chunks to share out evenly, each large enough to be worth it. */
#define CHUNKS 16
#define SMALL_CHUNK 512

/* Children of each cell: those of k are child[start[k]] .. child[start[k + 1] - 1]. */
typedef struct brood {
    int32_t *start, *child;        /* own */
} brood;

static thaw_status list_children(size_t n, const int32_t *below, brood *out, thaw_error *err)
{
    brood b = {thaw_allocate(n + 2, sizeof(int32_t), err), thaw_allocate(n + 1, sizeof(int32_t), err)};
    if (!b.start || !b.child) {
        thaw_release(b.start);
        thaw_release(b.child);
        return THAW_ERR_MEMORY;
    }
    for (size_t k = 0; below && k < n; k++) {
        if (below[k] >= 0) {
            b.start[below[k] + 2]++;
        }
    }
    for (size_t k = 0; k < n; k++) {
        b.start[k + 2] += b.start[k + 1];
    }
    for (size_t k = 0; below && k < n; k++) {
        if (below[k] >= 0) {
            b.child[b.start[below[k] + 1]++] = (int32_t)k;
        }
    }
    *out = b;
    return THAW_OK;
}

/* Put the children of every cell from place `first` on behind what stands there; returns the end. */
static int32_t add_children(thaw_forest *f, const brood *b, int32_t first, int32_t end)
{
    for (int32_t p = first; p < end; p++) {
        const int32_t k = f->cell[p];
        for (int32_t c = b->start[k]; c < b->start[k + 1]; c++) {
            f->cell[end] = b->child[c];
            f->parent[end++] = p;
        }
    }
    return end;
}

/* Roots in order of their cells, as many to a chunk as fill it when every tree has the mean size. */
static void deal(thaw_forest *f, const int32_t *below, const brood *b)
{
    const int32_t n = (int32_t)f->n, most = n / CHUNKS > SMALL_CHUNK ? n / CHUNKS : SMALL_CHUNK;
    int32_t end = 0, first = 0, roots = 0;
    for (int32_t k = 0; k < n; k++) {
        roots += !below || below[k] < 0;
    }
    const int32_t per_chunk = (int32_t)((int64_t)most * roots / n) + 1;
    int32_t taken = 0;
    for (int32_t k = 0; k < n; k++) {
        if (below && below[k] >= 0) {
            continue;
        }
        f->cell[end] = k;
        f->parent[end] = end;
        end++;
        if (++taken == per_chunk) {
            f->rooted[f->n_chunks] = end;
            end = add_children(f, b, first, end);
            f->chunk[++f->n_chunks] = first = end;
            taken = 0;
        }
    }
    if (taken > 0) {
        f->rooted[f->n_chunks] = end;
        f->chunk[++f->n_chunks] = add_children(f, b, first, end);
    }
}

thaw_status thaw_forest_create(size_t n, const int32_t *below, thaw_forest *out, thaw_error *err)
{
    thaw_forest f = {.n = n};
    brood b = {0};
    f.chunk = thaw_allocate(CHUNKS + n / SMALL_CHUNK + 3, sizeof(int32_t), err);
    f.rooted = thaw_allocate(CHUNKS + n / SMALL_CHUNK + 3, sizeof(int32_t), err);
    f.cell = thaw_allocate(n, sizeof(int32_t), err);
    f.parent = thaw_allocate(n, sizeof(int32_t), err);
    if (!f.chunk || !f.rooted || !f.cell || !f.parent || list_children(n, below, &b, err) != THAW_OK) {
        thaw_forest_destroy(&f);
        return THAW_ERR_MEMORY;
    }
    deal(&f, below, &b);
    thaw_release(b.start);
    thaw_release(b.child);
    *out = f;
    return THAW_OK;
}

void thaw_forest_destroy(thaw_forest *forest)
{
    thaw_release(forest->chunk);
    thaw_release(forest->rooted);
    thaw_release(forest->cell);
    thaw_release(forest->parent);
    *forest = (thaw_forest){0};
}
