/* How long wet cloth takes to dry, hung up in the room. */
#ifndef THAW_STUDY_DRYING_H
#define THAW_STUDY_DRYING_H

#include "model/specification.h"

typedef struct thaw_drying {
    double low_s, usual_s, high_s; /* infinite where the air takes no water */
} thaw_drying;

/* Wrung to the usual pick-up, both sides free, in the air of the room at its start: each side at the temperature at
 * which air and radiation bring what evaporation takes. low and high: humidity and draught at P10 and P90 of what nobody
 * knows (study/unknowns.c), both the same way. Film over the work is taken off; humidity of 100 % never dries. */
thaw_drying thaw_drying_find(const thaw_specification *spec);

#endif
