/* Where cloth lets go of water it cannot hold. Water leaves into air only where no suction is left (a seepage face,
 * psi = 0); between psi = h_e, where the pores are full, and there, it fills the gaps between the folds. Drops
 * gather at spaced exits of the lowest layer; elsewhere a film hangs on and flows along the cloth to the exits. */
#ifndef THAW_SIM_RUNOFF_H
#define THAW_SIM_RUNOFF_H

#include <stdbool.h>

#include "model/bundle.h"
#include "sim/web.h"

/* Water that the folds of a heap hold between them, per area of cloth, when no suction is left. */
#define THAW_BETWEEN_FOLDS_M 0.25e-3

/* Saturation at which no suction is left. film_slope: of the retention curve above s = 1. */
double thaw_runoff_brim(double film_slope);

/* Sets web->full, and the rate of the run-off. pore_m: pore volume per area. stands: on the bottom of a vessel, where
 * no film hangs from below. */
thaw_status thaw_runoff_set(const thaw_bundle *bundle, double film_slope, double pore_m, bool stands, thaw_web *web,
                            thaw_error *err);

#endif
