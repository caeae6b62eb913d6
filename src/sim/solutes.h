/* Soda ash and the dyes, carried through an inner step of the water. They do not act on each other while
 * they are carried, so each thread takes whole solutes; the result does not depend on who takes which. */
#ifndef THAW_SIM_SOLUTES_H
#define THAW_SIM_SOLUTES_H

#include "sim/engine.h"

/* Scratch of as many solutes as can be carried at once. */
thaw_status thaw_lanes_create(size_t n, int ny, int n_solutes, thaw_engine *engine, thaw_error *err);
void thaw_lanes_destroy(thaw_engine *engine);

/* Melt that lands brings its dye along, then everything goes with the water that wick moved in inner_s, a
 * part of macro_s. What leaves the lowest layer is added to the tub. */
void thaw_solutes_carry(thaw_engine *engine, double inner_s, double macro_s);

#endif
