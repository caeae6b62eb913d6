/* Scrunching: a squeezed sheet that cannot stretch, gathered by hands and pressed flat. */
#ifndef THAW_SETUP_SCRUNCH_H
#define THAW_SETUP_SCRUNCH_H

#include <stdint.h>

#include "model/bundle.h"
#include "model/specification.h"
#include "thawprint/status.h"

typedef struct thaw_scrunch {
    double share;                  /* plan area after / before; with a mask, where that is black */
    const thaw_mask *mask;         /* over the plan box: how much is gathered where; NULL: everywhere alike */
    double thickness_m;            /* of one cloth layer */
    uint64_t seed;
    uint64_t first;                /* index of the first random number that belongs to this fold */
} thaw_scrunch;

/* Takes the bundle so far as one sheet over its plan box and crumples it: changes x, y, z of every
 * cell. On failure the places are untouched. */
thaw_status thaw_scrunch_cells(const thaw_scrunch *scrunch, thaw_bundle *bundle, thaw_error *err);

#endif
