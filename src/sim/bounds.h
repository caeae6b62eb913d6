/* What can be: no cell over-full beyond reason, nothing negative, no NaN. */
#ifndef THAW_SIM_BOUNDS_H
#define THAW_SIM_BOUNDS_H

#include "sim/engine.h"

/* Is the saturation that a step proposes in range? Too much drawn from or piled on a cell asks for a shorter step, and so
 * does a solver that broke down: NaN is not in the range either. */
bool thaw_bounds_fit(const thaw_engine *engine);
/* Is the state? THAW_ERR_UNPHYSICAL with what is amiss, and where. */
thaw_status thaw_bounds_check(const thaw_engine *engine, thaw_error *err);

#endif
