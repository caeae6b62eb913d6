/* Which squares of a fine grid a shape touches: the test for pieces that overlap while places are tried. A shape is taken
 * for all squares it touches, so that what passes never overlaps; what is refused may lack up to a square. */
#ifndef THAW_STUDY_LAY_FOOTPRINT_H
#define THAW_STUDY_LAY_FOOTPRINT_H

#include <stdint.h>

#include "base/polygon.h"

#define THAW_LAY_STEP_M 0.002      /* edge of a square; places are whole steps */

typedef struct thaw_footprint {
    int i0, j0;                    /* of its first square, steps from the shape's place */
    int nx, ny, words;             /* squares; words in a row */
    uint64_t *bits;                /* own: ny rows, the lowest bit leftmost */
} thaw_footprint;

thaw_status thaw_footprint_make(const thaw_polygon *shape, thaw_footprint *out, thaw_error *err);
void thaw_footprint_release(thaw_footprint *cover);
/* Do they share a square, a at (ai, aj), b at (bi, bj)? */
bool thaw_footprint_meet(const thaw_footprint *a, int ai, int aj, const thaw_footprint *b, int bi, int bj);
/* Is the middle of the shape's even-odd inside at x, y? */
bool thaw_shape_holds(const thaw_polygon *shape, double x, double y);

#endif
