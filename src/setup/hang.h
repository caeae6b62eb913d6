/* Cloth led out of the bundle: up to an edge, across it and down. */
#ifndef THAW_SETUP_HANG_H
#define THAW_SETUP_HANG_H

#include "model/bundle.h"
#include "model/specification.h"

/* Number of rows that lie in the bundle, of ny; ny where nothing hangs. */
int thaw_hang_first_row(const thaw_specification *spec, int ny);
/* Height over the rack of a place `along_m` beyond the ice line, by the path alone. */
double thaw_hang_height_m(const thaw_specification *spec, double along_m);
/* Places for the rows from first_row on; the rows before are laid and measured. */
void thaw_hang_lay(const thaw_specification *spec, int first_row, thaw_bundle *bundle);

#endif
