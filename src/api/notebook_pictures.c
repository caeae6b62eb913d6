#include "api/notebook_sources.h"
#include "base/alloc.h"
#include "output/shrink.h"
#include "output/webp.h"

#define BEST_QUALITY 88
#define WORST_QUALITY 16
#define QUALITY_STEP 12

/* How large each picture is at most, and whether it has text and lines, which want no loss. */
static const struct {
    int most_pixels;
    bool lossless;
} kinds[THAW_PAGE_SLOTS] = {
    [THAW_PAGE_DRY] = {1600, false},    [THAW_PAGE_WET] = {1600, false},   [THAW_PAGE_BUNDLE] = {1000, false},
    [THAW_PAGE_FOLD] = {1600, true},    [THAW_PAGE_TYPICAL] = {1200, false}, [THAW_PAGE_OTHERS] = {1600, false},
    [THAW_PAGE_WHITE] = {1200, false},  [THAW_PAGE_COLOURS] = {1600, false}, [THAW_PAGE_PHOTO] = {1400, false},
    [THAW_PAGE_BORDER] = {1200, false}, [THAW_PAGE_LAY] = {1000, false},
};

void thaw_notebook_pictures_release(thaw_page_picture pictures[THAW_PAGE_SLOTS])
{
    for (int s = 0; s < THAW_PAGE_SLOTS; s++) {
        thaw_release(pictures[s].bytes);
        pictures[s] = (thaw_page_picture){0};
    }
}

static thaw_status pack_one(const thaw_image *image, int slot, int quality, thaw_page_picture *out, thaw_error *err)
{
    thaw_image small = {0};
    const bool lossless = kinds[slot].lossless && quality == BEST_QUALITY;
    thaw_status status = thaw_image_shrink(image, kinds[slot].most_pixels, &small, err);
    if (status == THAW_OK) {
        status = thaw_webp_encode(&small, lossless ? THAW_WEBP_LOSSLESS : quality, &out->bytes, &out->n, err);
    }
    out->width = small.width;
    out->height = small.height;
    thaw_release(small.rgb);
    return status;
}

static thaw_status pack_all(const thaw_notebook_sources *sources, int quality, thaw_page_picture pictures[THAW_PAGE_SLOTS],
                            size_t *total, thaw_error *err)
{
    *total = 0;
    for (int s = 0; s < THAW_PAGE_SLOTS; s++) {
        if (sources->images[s].rgb) {
            thaw_status status = pack_one(&sources->images[s], s, quality, &pictures[s], err);
            if (status != THAW_OK) {
                return status;
            }
            *total += pictures[s].n;
        }
    }
    if (pictures[THAW_PAGE_PHOTO].bytes) {
        *total += pictures[THAW_PAGE_DRY].n; /* stands beside the photo again */
    }
    return THAW_OK;
}

thaw_status thaw_notebook_pack(const thaw_notebook_sources *sources, size_t others,
                               thaw_page_picture pictures[THAW_PAGE_SLOTS], thaw_error *err)
{
    size_t total = 0;
    for (int quality = BEST_QUALITY;; quality -= QUALITY_STEP) {
        thaw_status status = pack_all(sources, quality, pictures, &total, err);
        if (status != THAW_OK) {
            thaw_notebook_pictures_release(pictures);
            return status;
        }
        if ((total + others) / 3 * 4 < THAW_NOTEBOOK_MOST || quality - QUALITY_STEP < WORST_QUALITY) { /* as base64 */
            return THAW_OK;
        }
        thaw_notebook_pictures_release(pictures);
    }
}
