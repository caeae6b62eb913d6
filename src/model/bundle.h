/* The folded cloth: where each cloth cell lies, and which cell it touches below. The last rows may hang
 * instead: up from the rack, over an edge and down, as one flat sheet in the open air that touches nothing.
 * In the plan the hanging sheet is spread out beyond the bundle, so that every cell has its own place and
 * neither ice nor powder falls on it; z_m is where it truly hangs.
 * Cloth cells are squares of cell_m; cell k = j * nx + i, i along the weft (width), j along the
 * warp (length). Invariants: every cell has exactly one place; below[k] is -1 or a cell that lies
 * lower (z_m[below[k]] < z_m[k]), so links never form a ring.
 * A garment has its layers side by side along i, sheet_nx columns each. Cells outside the outlines are no cloth:
 * they hold nothing, touch nothing, and no square of the tray has one on top; their place means nothing. Two panels
 * that are sewn together one upon the other are joined by the link `below` of their cells along the seam. */
#ifndef THAW_MODEL_BUNDLE_H
#define THAW_MODEL_BUNDLE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct thaw_bundle {
    int nx, ny;
    int sheet_nx;                  /* columns of a layer of a garment; 0: plain cloth */
    uint8_t *panel;                /* own, n: 1 + panel of the cell, 0 no cloth; NULL: plain cloth, as are the next two */
    uint8_t *cut;                  /* own, n: THAW_CUT_... */
    int32_t *seam;                 /* own, n: the cell of another layer that it is sewn to, or -1 */
    size_t n;                      /* nx * ny */
    double cell_m;
    double *x_m, *y_m, *z_m;       /* own, n: place of the cell; x, y >= 0 on the tray, z up from the lowest cell on the rack; a hanging end may be lower */
    int32_t *below;                /* own, n: the cell it rests on, or -1 where nothing is below */
    float *contact;                /* own, n: contact share of that link, 0 (no touch) .. 0.3 (pressed) */
    float *tie;                    /* own, n: how tightly a band presses the cell, 0 not at all .. 1; NULL where nothing is tied */
    int32_t *order;                /* own, n: cells from highest to lowest */
    int hung_rows;                 /* the last rows of the cloth, which hang; 0 where none do */
    /* Tray grid: squares of tray_m over the plan box of the whole. */
    int tray_nx, tray_ny;
    double tray_m;                 /* = cell_m */
    int32_t *tray;                 /* own, n: tray square of each cell */
    int32_t *top;                  /* own, tray_nx * tray_ny: cell that takes what falls on the square: the highest, or beside a band the nearest free one; -1 where bare tray */
    uint16_t *layers;              /* own, tray_nx * tray_ny: number of cloth layers over the square */
    uint16_t *depth;               /* own, n: number of layers above the cell */
    double width_m, length_m;      /* plan box of what lies on the rack, from the corner of the tray */
    double height_m;               /* of what lies on the rack */
    double hang_width_m, hang_length_m; /* far corner of the hanging sheet in the plan; 0 where nothing hangs */
} thaw_bundle;

/* Up to so much air between them wet cloth sags to touch what lies below: look notes. */
#define THAW_BUNDLE_SAGS_M 0.004

/* A cell is not joined to the next one in its row, or to that of the next row. */
#define THAW_CUT_RIGHT 1u
#define THAW_CUT_DOWN  2u

static inline bool thaw_bundle_is_cloth(const thaw_bundle *b, size_t k)
{
    return !b->panel || b->panel[k] != 0;
}
static inline bool thaw_bundle_joins_right(const thaw_bundle *b, size_t k)
{
    return (k + 1) % (size_t)b->nx != 0 && !(b->cut && (b->cut[k] & THAW_CUT_RIGHT));
}
static inline bool thaw_bundle_joins_down(const thaw_bundle *b, size_t k)
{
    return k + (size_t)b->nx < b->n && !(b->cut && (b->cut[k] & THAW_CUT_DOWN));
}
/* The link to the cell below is a seam. */
static inline bool thaw_bundle_is_sewn(const thaw_bundle *b, size_t k)
{
    return b->seam && b->below[k] >= 0 && b->seam[k] == b->below[k];
}
/* Plan box of the whole. */
static inline double thaw_bundle_plan_width_m(const thaw_bundle *b)
{
    return b->hang_width_m > b->width_m ? b->hang_width_m : b->width_m;
}
static inline double thaw_bundle_plan_length_m(const thaw_bundle *b)
{
    return b->hang_length_m > b->length_m ? b->hang_length_m : b->length_m;
}
/* First cell that hangs; n where none does. */
static inline size_t thaw_bundle_first_hung(const thaw_bundle *b)
{
    return b->n - (size_t)b->hung_rows * (size_t)b->nx;
}

#endif
