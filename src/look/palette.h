/* Typical colours of a picture: k-means in L*a*b*. */
#ifndef THAW_LOOK_PALETTE_H
#define THAW_LOOK_PALETTE_H

#include <stddef.h>

#include "model/figures.h"
#include "thawprint/status.h"

/* n colours, lab[0 .. n-1] L*, then a*, then b*. They are first counted in boxes of 4 units; centres move to the mean of
 * their boxes until they rest. Of 24 starts the one that leaves the least squared distance counts: in the first each next centre is
 * the box with the largest (share x squared distance to the nearest centre), in the others it is drawn with that chance
 * (k-means++: Arthur and Vassilvitskii 2007), the same for any seed of a scenario. Fills out->palette, largest share first;
 * where there are fewer distinct colours than places, the rest repeats the first with share 0. */
thaw_status thaw_palette_find(const double *lab, size_t n, thaw_look_figures *out, thaw_error *err);

#endif
