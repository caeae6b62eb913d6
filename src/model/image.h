/* A picture with a physical size, and what is written beside it. */
#ifndef THAW_MODEL_IMAGE_H
#define THAW_MODEL_IMAGE_H

#include <stdint.h>

typedef struct thaw_image {
    int width, height;             /* pixels */
    double pixel_m;                /* edge of a pixel on the real thing */
    uint8_t *rgb;                  /* own, 3 * width * height, sRGB, rows top to bottom */
} thaw_image;

#endif
