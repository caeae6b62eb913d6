/* Reading a photograph: a JPEG, upright as its Exif orientation says, or a PNG. The only place that knows libjpeg. */
#ifndef THAW_BASE_PHOTO_H
#define THAW_BASE_PHOTO_H

#include "base/picture.h"

/* No wider or higher than this, nor more pixels: 64 million are what the finest telephones take. */
#define THAW_PHOTO_MOST   12000
#define THAW_PHOTO_PIXELS 65000000.0

/* Taken as sRGB; an embedded profile is not looked at. THAW_ERR_SCENARIO with what is wrong where the bytes are neither,
 * broken, cut short or too large. On failure *out is untouched. Release out->rgba with thaw_release. */
thaw_status thaw_photo_decode(const void *bytes, size_t n, thaw_picture *out, thaw_error *err);

#endif
