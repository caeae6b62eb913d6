/* Pictures of a garment: all layers side by side, cut along the outlines of the panels. */
#ifndef THAW_LOOK_DRESSED_H
#define THAW_LOOK_DRESSED_H

#include <stdbool.h>

#include "model/bundle.h"
#include "model/garment.h"
#include "model/image.h"
#include "model/print.h"
#include "thawprint/status.h"

/* Grey of what is no cloth, sRGB. */
#define THAW_DRESSED_GROUND 205

/* As thaw_look_render; of plain cloth it is the same picture. The caller frees out->rgb; untouched on failure. */
thaw_status thaw_look_dressed(const thaw_print *print, const thaw_bundle *bundle, const thaw_garment *garment, bool wet,
                              int scale, thaw_image *out, thaw_error *err);

/* The box of one panel out of such a picture, or out of any with a whole number of pixels to a cell. The caller frees
 * out->rgb; untouched on failure. */
thaw_status thaw_look_panel(const thaw_image *image, const thaw_bundle *bundle, const thaw_garment *garment, int panel,
                            thaw_image *out, thaw_error *err);

#endif
