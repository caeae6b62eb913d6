/* Laying the ice on the bundle and sprinkling the dye powder over it. */
#ifndef THAW_SETUP_LAY_H
#define THAW_SETUP_LAY_H

#include "model/bundle.h"
#include "model/dye_list.h"
#include "model/heap.h"
#include "model/specification.h"
#include "thawprint/status.h"

/* Pieces with lognormal size are dropped one by one, each to the lowest of a few places a hand might
 * choose inside its zone, until the mass is used. */
thaw_status thaw_lay_ice(const thaw_specification *spec, const thaw_bundle *bundle, thaw_heap *out, thaw_error *err);
/* Dye and soda ash fall in handfuls and as an even sprinkle, on the highest ice at the place or, between
 * pieces and under the ice, on the cloth; dye as liquid likewise, with its water. */
thaw_status thaw_lay_dye(const thaw_specification *spec, const thaw_bundle *bundle, const thaw_dye_list *dyes,
                         thaw_heap *heap, thaw_error *err);
void thaw_heap_release(thaw_heap *heap);

#endif
