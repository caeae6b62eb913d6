/* How far dye climbs along hanging cloth. A place shows dye where its rinsed, dry colour differs by more
 * than CIEDE2000 = 5 from bare cloth: plainly seen side by side; two such colours just told apart differ by
 * about 1. In each column of cells the farthest such place counts; 0 where there is none. */
#ifndef THAW_LOOK_CLIMB_H
#define THAW_LOOK_CLIMB_H

#include "model/figures.h"
#include "model/print.h"
#include "thawprint/status.h"

#define THAW_CLIMB_VISIBLE 5.0

/* Rows from first_row on hang. `all`: every dye together; each[c]: component c as if it were alone. On
 * failure the outputs are untouched. */
thaw_status thaw_look_climb(const thaw_print *print, int first_row, thaw_climb *all, thaw_climb *each,
                            thaw_error *err);

#endif
