/* Any bytes as a photograph, JPEG or PNG: a reason, or pixels that are all there. */
#include "fuzz.h"

#include "base/alloc.h"
#include "base/photo.h"

/* So that the fuzzer is not busy with pictures of nothing: those that claim more pixels than this are passed by. */
#define PIXELS_MOST 4000000.0

/* Width times height as a PNG or a frame of a JPEG says, 0 where none is found. */
static double claimed_pixels(const uint8_t *data, size_t size)
{
    double most = 0.0;
    if (size > 24 && data[0] == 0x89) {
        const double w = (double)((uint32_t)data[16] << 24 | (uint32_t)data[17] << 16 | (uint32_t)data[18] << 8 | data[19]);
        const double h = (double)((uint32_t)data[20] << 24 | (uint32_t)data[21] << 16 | (uint32_t)data[22] << 8 | data[23]);
        return w * h;
    }
    for (size_t i = 0; i + 8 < size; i++) {
        if (data[i] == 0xFF && data[i + 1] >= 0xC0 && data[i + 1] <= 0xCF) {
            const double h = data[i + 5] * 256.0 + data[i + 6], w = data[i + 7] * 256.0 + data[i + 8];
            most = w * h > most ? w * h : most;
        }
    }
    return most;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    thaw_picture picture = {0};
    thaw_error err = {0};
    unsigned long sum = 0;
    if (claimed_pixels(data, size) > PIXELS_MOST && claimed_pixels(data, size) <= THAW_PHOTO_PIXELS) {
        return 0;
    }
    char *bytes = as_text(data, size);
    const thaw_status status = thaw_photo_decode(bytes, size, &picture, &err);
    if (status != THAW_OK) {
        demand_reason(status, &err);
        demand(status == THAW_ERR_SCENARIO, "bad bytes are the fault of the file", err.text);
        demand(picture.rgba == NULL, "outputs are untouched on failure", NULL);
    } else {
        demand(picture.width > 0 && picture.width <= THAW_PHOTO_MOST, "width is within its limit", NULL);
        demand(picture.height > 0 && picture.height <= THAW_PHOTO_MOST, "height is within its limit", NULL);
        for (size_t i = 0; i < 4 * (size_t)picture.width * (size_t)picture.height; i++) {
            sum += picture.rgba[i];
        }
        demand(sum <= 255ul * 4ul * (unsigned long)picture.width * (unsigned long)picture.height, "pixels can be read", NULL);
    }
    thaw_release(picture.rgba);
    free(bytes);
    return 0;
}
