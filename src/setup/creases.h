/* The folds that are sequences of reflections: accordion, fan, triangle, radial. */
#ifndef THAW_SETUP_CREASES_H
#define THAW_SETUP_CREASES_H

#include "model/bundle.h"
#include "model/specification.h"
#include "thawprint/status.h"

/* Each folds the bundle so far. `first` is the index of the first random number that belongs to the fold,
 * gap_m the way from the middle of one layer to that of the next. On failure the places are not to be used. */
typedef struct thaw_hands {
    const thaw_fold *fold;
    uint64_t seed, first;
    double gap_m;
} thaw_hands;

thaw_status thaw_creases_accordion(const thaw_hands *hands, thaw_bundle *bundle, thaw_error *err);
thaw_status thaw_creases_fan(const thaw_hands *hands, thaw_bundle *bundle, thaw_error *err);
thaw_status thaw_creases_triangle(const thaw_hands *hands, thaw_bundle *bundle, thaw_error *err);
thaw_status thaw_creases_radial(const thaw_hands *hands, thaw_bundle *bundle, thaw_error *err);

/* Plan box of the bundle so far, with the half cell that the outermost cells stand for. */
typedef struct thaw_plan_box {
    double x0, y0, x1, y1;
} thaw_plan_box;
thaw_plan_box thaw_plan_box_of(const thaw_bundle *bundle);

#endif
