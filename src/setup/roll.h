/* Cloth rolled round a pole that lies on the rack. */
#ifndef THAW_SETUP_ROLL_H
#define THAW_SETUP_ROLL_H

#include "model/bundle.h"
#include "model/specification.h"

/* gap_m: from the middle of one layer of cloth to that of the next. */
void thaw_roll_cells(const thaw_fold *fold, double gap_m, thaw_bundle *bundle);

#endif
