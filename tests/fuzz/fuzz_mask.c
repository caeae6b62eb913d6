/* Any bytes as a painted PNG: a reason, or pixels that are all there. */
#include "fuzz.h"

#include "base/alloc.h"
#include "base/picture.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    thaw_picture picture = {0};
    thaw_error err = {0};
    char *bytes = as_text(data, size);
    const thaw_status status = thaw_picture_decode(bytes, size, &picture, &err);
    unsigned sum = 0;
    if (status != THAW_OK) {
        demand_reason(status, &err);
        demand(picture.rgba == NULL, "outputs are untouched on failure", NULL);
    } else {
        demand(picture.width > 0 && picture.width <= THAW_PICTURE_MOST, "width is within its limit", NULL);
        demand(picture.height > 0 && picture.height <= THAW_PICTURE_MOST, "height is within its limit", NULL);
        for (size_t i = 0; i < 4 * (size_t)picture.width * (size_t)picture.height; i++) {
            sum += picture.rgba[i];
        }
        demand(sum <= 255u * 4u * (unsigned)picture.width * (unsigned)picture.height, "pixels can be read", NULL);
    }
    thaw_release(picture.rgba);
    free(bytes);
    return 0;
}
