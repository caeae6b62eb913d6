/* Which squares of a fine grid a shape touches: the test for pieces that overlap while places are tried. A shape is taken
 * for all squares it touches, so that what passes never overlaps; what is refused may lack up to a square. */
#ifndef THAW_STUDY_LAY_COVER_H
#define THAW_STUDY_LAY_COVER_H

#include <stdint.h>

#include "base/polygon.h"

#define THAW_LAY_STEP_M 0.002      /* edge of a square; places are whole steps */

typedef struct thaw_cover {
    int i0, j0;                    /* of its first square, steps from the shape's place */
    int nx, ny, words;             /* squares; words in a row */
    uint64_t *bits;                /* own: ny rows, the lowest bit leftmost */
} thaw_cover;

thaw_status thaw_cover_make(const thaw_polygon *shape, thaw_cover *out, thaw_error *err);
void thaw_cover_release(thaw_cover *cover);
/* Do they share a square, a at (ai, aj), b at (bi, bj)? */
bool thaw_cover_meet(const thaw_cover *a, int ai, int aj, const thaw_cover *b, int bi, int bj);
/* Is the middle of the shape's even-odd inside at x, y? */
bool thaw_shape_holds(const thaw_polygon *shape, double x, double y);

#endif
