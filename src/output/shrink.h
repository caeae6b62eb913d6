/* A picture made smaller, for a page. */
#ifndef THAW_OUTPUT_SHRINK_H
#define THAW_OUTPUT_SHRINK_H

#include "model/image.h"
#include "thawprint/status.h"

/* At most `most` pixels along each side; a picture that fits is copied. Light is averaged, not code values. The caller
 * frees out->rgb; untouched on failure. */
thaw_status thaw_image_shrink(const thaw_image *image, int most, thaw_image *out, thaw_error *err);

#endif
