#include "api/picture_file.h"

#include <stdio.h>

#include "base/alloc.h"
#include "output/png.h"
#include "thawprint/version.h"

thaw_status thaw_picture_png(const thaw_image *image, const thaw_picture_words *words, unsigned char **bytes, size_t *n,
                             thaw_error *err)
{
    char seed[24];
    snprintf(seed, sizeof seed, "%llu", (unsigned long long)words->seed);
    const thaw_png_text texts[] = {{"Title", words->title},
                                   {"Description", words->meaning},
                                   {"Software", "thawprint " THAW_VERSION},
                                   {"Scenario digest", words->digest},
                                   {"Seed", seed}};
    return thaw_png_encode(image, texts, words->digest ? 5 : 3, bytes, n, err);
}

thaw_status thaw_picture_add(thaw_batch *batch, const char *name, const thaw_image *image, const thaw_picture_words *words,
                             thaw_error *err)
{
    unsigned char *bytes = NULL;
    size_t n = 0;
    thaw_status status = thaw_picture_png(image, words, &bytes, &n, err);
    if (status == THAW_OK) {
        status = thaw_batch_add(batch, name, bytes, n, err);
    }
    thaw_release(bytes);
    return status;
}
