/* Flat folding as a sequence of reflections about lines: at each fold the part of the cloth beyond a
 * crease is flipped over it and laid on top of the rest. */
#ifndef THAW_SETUP_REFLECT_H
#define THAW_SETUP_REFLECT_H

#include <stddef.h>
#include <stdint.h>

#include "model/bundle.h"
#include "thawprint/status.h"

/* A line, or a curve that strays a little from one. */
typedef struct thaw_crease {
    double x_m, y_m;               /* a point of the line */
    double nx, ny;                 /* unit normal, towards the part that moves */
    const double *stray_m;         /* NULL for a straight crease: how far along the normal it lies off, ... */
    int n_stray;
    double stray_from_m, stray_step_m; /* ... every so much of the way along it from the point, towards growing y (x if level) */
} thaw_crease;

/* A bundle being folded. What stayed behind at a fold is laid, on top of all that was laid before, and no
 * longer moves; the rest is still in the hands, as thick as the bundle was, and turned over at every fold. */
typedef struct thaw_reflect {
    thaw_bundle *b;                /* x, y, z of its cells change; z of a cell in the hands is that before the folds */
    double gap_m;                  /* from the middle of one layer of cloth to that of the next */
    int n_turns;
    uint8_t *part;                 /* own, n: see reflect.c */
} thaw_reflect;

/* All of the bundle is in the hands. */
thaw_status thaw_reflect_create(thaw_bundle *bundle, double gap_m, thaw_reflect *out, thaw_error *err);
void thaw_reflect_destroy(thaw_reflect *reflect);
/* Flip what lies beyond the crease over it and lay the rest. *moved is the number of cells that moved; nothing
 * moves if none lies more than half a cell beyond. On failure the bundle is not to be used. */
thaw_status thaw_reflect_turn(thaw_reflect *reflect, const thaw_crease *crease, size_t *moved, thaw_error *err);
/* Lay what is still in the hands, and take up all. */
thaw_status thaw_reflect_finish(thaw_reflect *reflect, thaw_error *err);

#endif
