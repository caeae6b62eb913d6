/* The unfolded cloth as a picture. */
#ifndef THAW_LOOK_RENDER_H
#define THAW_LOOK_RENDER_H

#include <stdbool.h>

#include "model/image.h"
#include "model/print.h"
#include "thawprint/status.h"

/* `scale` pixels per cell (1 .. 16), out->pixel_m = cell_m / scale, row 0 of the picture is row 0
 * of the cloth. Wet shows all dye on the cloth, dry only what is bonded. Dye is interpolated
 * between cells and then coloured, so that a paler rim between two colours is what the dyes make
 * it. The caller frees out->rgb with thaw_release; on failure *out is untouched. */
thaw_status thaw_look_render(const thaw_print *print, bool wet, int scale, thaw_image *out,
                             thaw_error *err);

/* XYZ of each cell, three planes of nx * ny values one after the other. */
thaw_status thaw_look_cells(const thaw_print *print, bool wet, double *xyz, thaw_error *err);

#endif
