/* Frames of a melt as files: an animated WebP, a PNG strip that everything can show, and a table. */
#ifndef THAW_OUTPUT_FILM_H
#define THAW_OUTPUT_FILM_H

#include "model/image.h"
#include "model/page.h"
#include "thawprint/status.h"

/* Animated, the last frame longest. The caller frees *bytes; untouched on failure. */
thaw_status thaw_film_webp(const thaw_page_frame *frames, int n, unsigned char **bytes, size_t *n_bytes, thaw_error *err);

#define THAW_STRIP_FRAMES 12

/* Pictures with their times under them, in two columns. The caller frees out->rgb. */
typedef struct thaw_strip_frame {
    const thaw_image *image;
    double time_s;
} thaw_strip_frame;
thaw_status thaw_film_strip(const char *title, const thaw_strip_frame *frames, int n, thaw_image *out, thaw_error *err);

/* "frame,time_h,ice_kg,wet_share" under a line that names the scenario. The caller frees *out. */
thaw_status thaw_film_table(const thaw_page_frame *frames, int n, const char *digest, const char *seed, const char *version,
                            char **out, thaw_error *err);
/* Frames from a film and its table, if they belong to the digest, seed and version; *n is 0 if they do not. The caller
 * frees the pictures. */
thaw_status thaw_film_read(const unsigned char *webp, size_t n_webp, const char *table, const char *digest, const char *seed,
                           const char *version, thaw_page_frame frames[THAW_PAGE_MOST_FRAMES], int *n, thaw_error *err);

#endif
