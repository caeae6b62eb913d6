#include "base/picture.h"

#include <string.h>

#include <png.h>

#include "base/alloc.h"
#include "base/error.h"

/* libpng's own words, without a full stop. */
static thaw_status refuse(png_image *image, thaw_error *err)
{
    char why[sizeof image->message];
    memcpy(why, image->message, sizeof why);
    why[sizeof why - 1] = '\0';
    png_image_free(image);
    return thaw_fail(err, THAW_ERR_SCENARIO, "the PNG is broken or cut short (%s)", why[0] ? why : "unreadable");
}

/* A PNG ends with an IEND chunk; without it the file was cut, even if its last rows can still be guessed. */
static int has_end(const unsigned char *bytes, size_t n)
{
    static const unsigned char end[8] = {0, 0, 0, 0, 'I', 'E', 'N', 'D'};
    for (size_t at = 8; n >= 12 && at <= n - 12;) {
        const size_t length = ((size_t)bytes[at] << 24) | ((size_t)bytes[at + 1] << 16) | ((size_t)bytes[at + 2] << 8) |
                              bytes[at + 3];
        if (memcmp(bytes + at, end, sizeof end) == 0) {
            return 1;
        }
        if (length > n - 12 - at) {
            return 0;
        }
        at += length + 12;
    }
    return 0;
}

thaw_status thaw_picture_decode(const void *bytes, size_t n, thaw_picture *out, thaw_error *err)
{
    return thaw_picture_decode_within(bytes, n, THAW_PICTURE_MOST, out, err);
}

thaw_status thaw_picture_decode_within(const void *bytes, size_t n, unsigned most, thaw_picture *out, thaw_error *err)
{
    png_image image;
    memset(&image, 0, sizeof image);
    image.version = PNG_IMAGE_VERSION;
    if (n < 8 || png_sig_cmp(bytes, 0, 8) != 0) {
        return thaw_fail(err, THAW_ERR_SCENARIO, "is not a PNG picture");
    }
    if (!png_image_begin_read_from_memory(&image, bytes, n)) {
        return refuse(&image, err);
    }
    if (image.width > most || image.height > most) {
        const unsigned width = image.width, height = image.height;
        png_image_free(&image);
        return thaw_fail(err, THAW_ERR_SCENARIO, "the PNG is %u x %u pixels; at most %u x %u are read", width, height,
                         most, most);
    }
    if (!has_end(bytes, n)) {
        strcpy(image.message, "the end is missing");
        return refuse(&image, err);
    }
    image.format = PNG_FORMAT_RGBA;
    uint8_t *rgba = thaw_allocate(PNG_IMAGE_SIZE(image), 1, err);
    if (!rgba) {
        png_image_free(&image);
        return THAW_ERR_MEMORY;
    }
    if (!png_image_finish_read(&image, NULL, rgba, 0, NULL) || PNG_IMAGE_FAILED(image)) {
        thaw_release(rgba);
        return refuse(&image, err);
    }
    *out = (thaw_picture){(int)image.width, (int)image.height, rgba};
    png_image_free(&image);
    return THAW_OK;
}
