/* Which ice lies over which square of the tray: for each square the entries that cover part of it,
 * highest first, with the share of the square that each covers. */
#ifndef THAW_MODEL_COVER_H
#define THAW_MODEL_COVER_H

#include <stddef.h>
#include <stdint.h>

#include "thawprint/status.h"

typedef struct thaw_cover {
    int nx, ny;
    double square_m;
    int32_t *start;                /* own, nx * ny + 1 */
    int32_t *entry;                /* own */
    float *share;                  /* own, 0 .. 1 */
    size_t room;                   /* number of list places allocated */
} thaw_cover;

thaw_status thaw_cover_create(double width_m, double length_m, double square_m, thaw_cover *out, thaw_error *err);
void thaw_cover_destroy(thaw_cover *cover);
/* Lists anew for n discs (index order = highest first); radius 0 leaves a disc out. */
thaw_status thaw_cover_build(thaw_cover *cover, int n, const double *x_m, const double *y_m,
                             const double *radius_m, thaw_error *err);
/* Square at a place; places outside fall into the nearest one. */
size_t thaw_cover_square(const thaw_cover *cover, double x_m, double y_m);
/* First entry with an index above `after` whose disc covers the place, or -1. */
int thaw_cover_find(const thaw_cover *cover, double x_m, double y_m, int after, const double *cx_m,
                    const double *cy_m, const double *radius_m);

#endif
