/* Cloth drawn up along rows of stitches. */
#ifndef THAW_SETUP_GATHER_H
#define THAW_SETUP_GATHER_H

#include "model/bundle.h"
#include "setup/creases.h"

/* Changes the places, and binds the cloth along the rows: bundle->tie must be there. */
void thaw_gather_cells(const thaw_hands *hands, thaw_bundle *bundle);

#endif
