/* The bundle from above, as it lies on the tray. */
#ifndef THAW_LOOK_BUNDLE_VIEW_H
#define THAW_LOOK_BUNDLE_VIEW_H

#include <stdbool.h>

#include "model/bundle.h"
#include "model/image.h"
#include "model/print.h"
#include "thawprint/status.h"

/* Bare tray on each side of the picture. */
#define THAW_BUNDLE_MARGIN_M 0.030

/* The cloth as surfaces: each square between four neighbouring cell centres is two triangles, the
 * highest wins. Squares whose corners lie apart on the tray (a cut between panels) are left out.
 * Soft light from the upper left; places below their surroundings are a little darker; the tray is
 * a warm grey. A margin of 3 cm is left on each side, so pixel (0, 0) lies 3 cm left of and beyond
 * the bundle's corner. The print and the bundle must have the same cells. The caller frees out->rgb
 * with thaw_release; on failure *out is untouched. */
thaw_status thaw_look_bundle(const thaw_print *print, const thaw_bundle *bundle, bool wet,
                             double pixel_m, thaw_image *out, thaw_error *err);

#endif
