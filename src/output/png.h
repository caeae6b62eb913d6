/* PNG bytes of a picture. The only place that knows libpng. */
#ifndef THAW_OUTPUT_PNG_H
#define THAW_OUTPUT_PNG_H

#include <stddef.h>

#include "model/image.h"
#include "thawprint/status.h"

/* A remark inside the file: keyword of 1 .. 79 ASCII characters ("Title", "Scenario digest"), value
 * in UTF-8. Plain ASCII goes out as tEXt, anything else as iTXt. */
typedef struct thaw_png_text {
    const char *key, *value;
} thaw_png_text;

/* 8-bit RGB, sRGB chunk (perceptual), pHYs from image->pixel_m, texts in the order given. The same
 * picture and texts give the same bytes. The caller frees *bytes with thaw_release; on failure both
 * outputs are untouched. */
thaw_status thaw_png_encode(const thaw_image *image, const thaw_png_text *texts, int n_texts,
                            unsigned char **bytes, size_t *n_bytes, thaw_error *err);

#endif
