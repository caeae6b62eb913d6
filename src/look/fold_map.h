/* Where each part of the cloth lies in the bundle, as two plain pictures in shades of one hue. */
#ifndef THAW_LOOK_FOLD_MAP_H
#define THAW_LOOK_FOLD_MAP_H

#include "model/bundle.h"
#include "model/image.h"
#include "model/legend.h"
#include "thawprint/status.h"

/* unfolded: the cloth flat, lightest where it lies on top of the bundle, darker the more layers lie
 * above. Lines mark equal places on the tray every 10 cm: whole lines across the tray (x), broken
 * lines along it (y); none across a cut. plan: the bundle from above, darker the more layers lie
 * there, bare tray white, with the same lines. Steps of lightness are even, so both read in black
 * and white. Pixels are about 1 mm in both. The caller frees both rgb with thaw_release; on failure
 * both are untouched. */
thaw_status thaw_look_fold_map(const thaw_bundle *bundle, thaw_image *unfolded, thaw_image *plan,
                               thaw_error *err);

/* The key to both pictures. */
void thaw_look_fold_legend(const thaw_bundle *bundle, thaw_legend *out);

#endif
