/* The folded cloth: where each cloth cell lies, and which cell it touches below.
 * Cloth cells are squares of cell_m; cell k = j * nx + i, i along the weft (width), j along the
 * warp (length). Invariants: every cell has exactly one place; below[k] is -1 or a cell that lies
 * lower (z_m[below[k]] < z_m[k]), so links never form a ring. */
#ifndef THAW_MODEL_BUNDLE_H
#define THAW_MODEL_BUNDLE_H

#include <stddef.h>
#include <stdint.h>

typedef struct thaw_bundle {
    int nx, ny;
    size_t n;                      /* nx * ny */
    double cell_m;
    double *x_m, *y_m, *z_m;       /* own, n: place of the cell; x, y >= 0 on the tray, z up, lowest cell about 0 */
    int32_t *below;                /* own, n: the cell it rests on, or -1 where nothing is below */
    float *contact;                /* own, n: contact share of that link, 0 (no touch) .. 0.3 (pressed) */
    int32_t *order;                /* own, n: cells from highest to lowest */
    /* Tray grid: squares of tray_m over the bounding box of the bundle. */
    int tray_nx, tray_ny;
    double tray_m;                 /* = cell_m */
    int32_t *tray;                 /* own, n: tray square of each cell */
    int32_t *top;                  /* own, tray_nx * tray_ny: highest cell over the square, -1 where bare tray */
    uint16_t *layers;              /* own, tray_nx * tray_ny: number of cloth layers over the square */
    uint16_t *depth;               /* own, n: number of layers above the cell */
    double width_m, length_m;      /* plan box */
    double height_m;
} thaw_bundle;

#endif
