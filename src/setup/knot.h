/* A corner of the cloth gathered into a strand and knotted. */
#ifndef THAW_SETUP_KNOT_H
#define THAW_SETUP_KNOT_H

#include "model/bundle.h"
#include "model/specification.h"

/* Changes the places and binds the knot: bundle->tie must be there. gap_m: from the middle of one layer of cloth
 * to that of the next. */
void thaw_knot_cells(const thaw_fold *fold, double gap_m, thaw_bundle *bundle);

#endif
