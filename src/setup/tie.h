/* Bindings: thread, tape or rubber bands round the bundle press the cloth under them together. */
#ifndef THAW_SETUP_TIE_H
#define THAW_SETUP_TIE_H

#include "model/bundle.h"
#include "model/specification.h"

/* Binds the bundle so far: sets bundle->tie of the cells under each band. */
void thaw_tie_bind(const thaw_fold *fold, thaw_bundle *bundle);
/* Raises the tightness of one cell to at least so much. */
void thaw_tie_press(thaw_bundle *bundle, size_t k, double tightness);

/* What pressing leaves of the pore volume and of the flow along the cloth. 1 where nothing is tied. */
double thaw_tie_volume_left(double tightness);
double thaw_tie_flow_left(double tightness);

/* After the contacts: pressed layers pass on less, and what falls on a band runs off it to the nearest cloth
 * that is free. */
void thaw_tie_close(thaw_bundle *bundle);
/* Conductivity and pore volume (n each, relative to those of the cloth) of pressed cells. */
void thaw_tie_thin(const thaw_bundle *bundle, double *conductivity, double *volume);

#endif
