/* Where the lowest layer lets go of water it cannot hold: drops gather at spaced exits and fall as
 * soon as the cloth there is over-full; elsewhere a film up to FILM of the pores hangs on and flows
 * along the cloth to the exits. */
#ifndef THAW_SIM_RUNOFF_H
#define THAW_SIM_RUNOFF_H

#include <stdbool.h>

#include "model/bundle.h"
#include "sim/web.h"

/* Sets web->full of the lowest layer and of hanging cloth, and the rate of the run-off. film_slope: of the
 * retention curve above s = 1. stands: on the bottom of a vessel, where no film hangs from below. */
thaw_status thaw_runoff_set(const thaw_bundle *bundle, double film_slope, bool stands, thaw_web *web, thaw_error *err);

#endif
