/* A picture with its words, as a PNG alone or among the files of a batch. */
#ifndef THAW_API_PICTURE_FILE_H
#define THAW_API_PICTURE_FILE_H

#include "base/file.h"
#include "model/image.h"

typedef struct thaw_picture_words {
    const char *title, *meaning;
    const char *digest;            /* of the scenario; NULL: it comes from none, and seed means nothing */
    uint64_t seed;
} thaw_picture_words;

/* The caller frees *bytes. */
thaw_status thaw_picture_png(const thaw_image *image, const thaw_picture_words *words, unsigned char **bytes, size_t *n,
                             thaw_error *err);
thaw_status thaw_picture_add(thaw_batch *batch, const char *name, const thaw_image *image, const thaw_picture_words *words,
                             thaw_error *err);

#endif
