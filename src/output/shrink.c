#include "output/shrink.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "base/alloc.h"

/* Mean light over part of the picture, parts of pixels counted as parts. Light is taken as the square of the code
 * value: near enough to the curve of sRGB for an average. */
static void mean_over(const thaw_image *image, double x0, double y0, double x1, double y1, uint8_t out[3])
{
    double sum[3] = {0.0, 0.0, 0.0}, weight = 0.0;
    for (int y = (int)y0; y < y1 && y < image->height; y++) {
        const double wy = fmin(y1, y + 1.0) - fmax(y0, y);
        for (int x = (int)x0; x < x1 && x < image->width; x++) {
            const double w = wy * (fmin(x1, x + 1.0) - fmax(x0, x));
            const uint8_t *rgb = image->rgb + 3 * ((size_t)y * (size_t)image->width + (size_t)x);
            for (int c = 0; c < 3; c++) {
                sum[c] += w * rgb[c] * rgb[c];
            }
            weight += w;
        }
    }
    for (int c = 0; c < 3; c++) {
        out[c] = (uint8_t)(sqrt(sum[c] / weight) + 0.5);
    }
}

thaw_status thaw_image_shrink(const thaw_image *image, int most, thaw_image *out, thaw_error *err)
{
    const int longer = image->width > image->height ? image->width : image->height;
    const double times = longer > most ? (double)longer / most : 1.0;
    thaw_image small = {(int)fmax(1.0, floor(image->width / times + 0.5)), (int)fmax(1.0, floor(image->height / times + 0.5)),
                        image->pixel_m * times, NULL};
    const double dx = (double)image->width / small.width, dy = (double)image->height / small.height;
    small.rgb = thaw_allocate((size_t)small.width * (size_t)small.height, 3, err);
    if (!small.rgb) {
        return THAW_ERR_MEMORY;
    }
    if (longer <= most) {
        memcpy(small.rgb, image->rgb, 3 * (size_t)small.width * (size_t)small.height);
        *out = small;
        return THAW_OK;
    }
#pragma omp parallel for schedule(static) default(none) shared(image, small, dx, dy)
    for (int y = 0; y < small.height; y++) {
        for (int x = 0; x < small.width; x++) {
            mean_over(image, x * dx, y * dy, (x + 1) * dx, (y + 1) * dy,
                      small.rgb + 3 * ((size_t)y * (size_t)small.width + (size_t)x));
        }
    }
    *out = small;
    return THAW_OK;
}
