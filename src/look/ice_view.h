/* Ice on a picture of the bundle from above, and pictures fitted into a square of the tray. */
#ifndef THAW_LOOK_ICE_VIEW_H
#define THAW_LOOK_ICE_VIEW_H

#include "model/image.h"
#include "model/print.h"
#include "thawprint/status.h"

/* A piece as a disc; its colour as linear light. */
typedef struct thaw_ice_disc {
    double x_m, y_m, radius_m;     /* radius 0: gone */
    double rgb[3];
} thaw_ice_disc;

/* Draws n discs, the first highest, on a picture of thaw_look_bundle. */
thaw_status thaw_look_ice(const thaw_ice_disc *discs, int n, thaw_image *on, thaw_error *err);

/* Colour of ice with powder on it, kg/m2 of each dye of the print; linear light. */
void thaw_look_powder(const thaw_print *print, const double *powder_kg_m2, double rgb[3]);

/* Every cell of the wet cloth, unfolded, over a square of `side` pixels from column `left` of `on`, with a margin of the
 * tray round it. */
thaw_status thaw_look_fit_cloth(const thaw_print *print, int side, int left, thaw_image *on, thaw_error *err);
/* A picture of at most side x side pixels into the middle of such a square; the rest is tray. */
void thaw_look_fit_image(const thaw_image *image, int side, int left, thaw_image *on);

#endif
