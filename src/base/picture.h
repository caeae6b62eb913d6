/* Reading a painted picture: any PNG that libpng reads, as 8-bit sRGB with alpha. */
#ifndef THAW_BASE_PICTURE_H
#define THAW_BASE_PICTURE_H

#include <stddef.h>
#include <stdint.h>

#include "thawprint/status.h"

/* No wider or higher than this: a painted area needs no more, and a small file may claim a huge picture. */
#define THAW_PICTURE_MOST 4096

typedef struct thaw_picture {
    int width, height;
    uint8_t *rgba;                 /* own, 4 * width * height, rows top to bottom */
} thaw_picture;

/* THAW_ERR_SCENARIO with what is wrong where the bytes are no PNG, broken, cut short or too large. On failure *out
 * is untouched. Release out->rgba with thaw_release. */
thaw_status thaw_picture_decode(const void *bytes, size_t n, thaw_picture *out, thaw_error *err);
/* The same up to another width and height. */
thaw_status thaw_picture_decode_within(const void *bytes, size_t n, unsigned most, thaw_picture *out, thaw_error *err);

#endif
