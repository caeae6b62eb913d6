/* WebP bytes of a picture and of a sequence of pictures. The only place that knows libwebp. */
#ifndef THAW_OUTPUT_WEBP_H
#define THAW_OUTPUT_WEBP_H

#include <stddef.h>

#include "model/image.h"
#include "thawprint/status.h"

#define THAW_WEBP_LOSSLESS 101
#define THAW_WEBP_MOST 16383       /* pixels along a side */

/* quality 0 .. 100, or THAW_WEBP_LOSSLESS. The same picture gives the same bytes at any number of threads. The caller
 * frees *bytes with thaw_release; outputs untouched on failure. */
thaw_status thaw_webp_encode(const thaw_image *image, int quality, unsigned char **bytes, size_t *n, thaw_error *err);

/* One still picture, as thaw_webp_encode gives it. Owns nothing. */
typedef struct thaw_webp_still {
    const unsigned char *bytes;
    size_t n;
    int show_ms;
} thaw_webp_still;

/* An animated file that shows the stills one after the other, for ever. They stay whole in it, so that
 * thaw_webp_still_at gives them back bit by bit; all have the same size. */
thaw_status thaw_webp_animate(const thaw_webp_still *stills, int n_stills, unsigned char **bytes, size_t *n, thaw_error *err);
/* Number of stills of a file; 0 if it is no animated WebP. */
int thaw_webp_count(const unsigned char *file, size_t n_file);
/* Still i, from 0, as a file of its own, and its size in pixels. The caller frees *bytes. */
thaw_status thaw_webp_still_at(const unsigned char *file, size_t n_file, int i, unsigned char **bytes, size_t *n,
                               int *width, int *height, thaw_error *err);

#endif
