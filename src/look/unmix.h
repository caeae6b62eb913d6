/* From colours back to dye: the amounts of up to three known dyes that give a cell its colour, by Kubelka-Munk run
 * backwards. Three numbers of a colour tell three dyes; of more than three there is no one answer. */
#ifndef THAW_LOOK_UNMIX_H
#define THAW_LOOK_UNMIX_H

#include "model/print.h"
#include "thawprint/status.h"

#define THAW_UNMIX_DYES 3

/* print: size, cloth and 1 to THAW_UNMIX_DYES components. xyz: planes of its cells. amounts: that many planes, filled with
 * kg/m2, none below 0: the least difference in L*a*b* (Levenberg 1944, Marquardt 1963). THAW_ERR_ARGUMENT for more dyes. */
thaw_status thaw_look_unmix(const thaw_print *print, const double *xyz, double *const *amounts, thaw_error *err);

#endif
