/* What the search knows of the pieces: the squares they touch, in each way they may lie. */
#ifndef THAW_STUDY_LAY_SHAPES_H
#define THAW_STUDY_LAY_SHAPES_H

#include "study/lay.h"
#include "study/lay_footprint.h"

/* A piece is flipped left to right where it is mirrored or turned, but not both, and top to bottom where it is turned. */
#define THAW_FLIPS 4
static inline int thaw_flip_of(bool is_mirrored, bool is_turned)
{
    return (is_mirrored != is_turned) + 2 * is_turned;
}

typedef struct thaw_lay_shapes {
    int n;
    int nx, ny;                    /* of the cloth, whole steps */
    struct {
        thaw_footprint covers[THAW_FLIPS]; /* own; half the gap about the piece is covered too */
        int nx, ny;                /* steps that its box takes */
        int most_i, most_j;        /* of its place on the cloth; below 0: it is too wide, too long */
        double area_m2;
    } of[THAW_MAX_PIECES];
} thaw_lay_shapes;

/* The caller releases *out, also on failure; it was zeroed before. */
thaw_status thaw_lay_shapes_make(const thaw_lay_task *task, thaw_lay_shapes *out, thaw_error *err);
void thaw_lay_shapes_release(thaw_lay_shapes *shapes);

/* May `self` lie there, on the cloth or `beyond_end` of it, with all others that are placed? */
bool thaw_lay_is_free(const thaw_lay_shapes *shapes, const thaw_lay *lay, int self, int i, int j, bool is_turned, bool beyond_end);

/* Places `self` as far up, then as far left, as it goes, at rows 0 .. most_j; false if nowhere. */
bool thaw_lay_fill_in(const thaw_lay_shapes *shapes, thaw_lay *lay, int self, bool may_be_straight, bool may_be_turned, int most_j);

#endif
