/* Cloth pinched in the middle and turned until it lies in a disc of spiral pleats. */
#ifndef THAW_SETUP_TWIST_H
#define THAW_SETUP_TWIST_H

#include "model/bundle.h"
#include "model/specification.h"
#include "thawprint/status.h"

/* gap_m: from the middle of one layer of cloth to that of the next. On failure the places are untouched. */
thaw_status thaw_twist_cells(const thaw_fold *fold, double gap_m, thaw_bundle *bundle, thaw_error *err);

#endif
