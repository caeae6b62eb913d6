/* Cells and what they rest on, as trees: the roots are the cells of the lowest layer. Cells are put into an
 * order of their own in which a parent stands before its children and the children of neighbours stand side by
 * side, so that loops up and down the layers run through memory. The trees are dealt into chunks; threads take
 * whole chunks, so no two meet, and the result does not depend on who takes which. */
#ifndef THAW_SIM_FOREST_H
#define THAW_SIM_FOREST_H

#include <stddef.h>
#include <stdint.h>

#include "thawprint/status.h"

typedef struct thaw_forest {
    size_t n;
    int32_t n_chunks;
    int32_t *chunk;                /* own, n_chunks + 1: first place of each chunk */
    int32_t *rooted;               /* own, n_chunks: first place of each chunk that is not a root */
    int32_t *cell;                 /* own, n: cell at a place */
    int32_t *parent;               /* own, n: place of what it rests on; a root's own place */
} thaw_forest;

/* below: n, the cell that each rests on or -1; NULL where nothing rests on anything. Links form no ring. */
thaw_status thaw_forest_create(size_t n, const int32_t *below, thaw_forest *out, thaw_error *err);
void thaw_forest_destroy(thaw_forest *forest);

#endif
