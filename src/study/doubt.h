/* How far the headline numbers may be off because nobody knows the room, the ice and the dye exactly: P10 and
 * P90 as factors on the forecast. Each input moves alone to its P10 and P90; their effects, in the logarithm, add
 * as independent errors do. Effects on melting come from the model's own heat balance at an ice surface; those on
 * the dye from Arrhenius' law. The table of inputs is in docs/figures.md. */
#ifndef THAW_STUDY_DOUBT_H
#define THAW_STUDY_DOUBT_H

#include "model/specification.h"

typedef struct thaw_doubt {
    double melt;                   /* P90 / P50 = P50 / P10 of the melt time */
    double cure;                   /* of the time from the end of the melt until the dye has fixed */
    double fixed;                  /* of the odds fixed : not fixed */
} thaw_doubt;

/* bed_area_m2, bed_perimeter_m: of the bundle seen from above. */
thaw_doubt thaw_doubt_of(const thaw_specification *spec, double bed_area_m2, double bed_perimeter_m);

#endif
