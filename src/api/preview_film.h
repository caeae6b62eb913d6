/* Frames of a preview: kept as WebP, written as files. */
#ifndef THAW_API_PREVIEW_FILM_H
#define THAW_API_PREVIEW_FILM_H

#include "api/preview_result.h"
#include "base/file.h"
#include "study/frames.h"

/* Packs the frames of a run into the preview, and draws the strip. */
thaw_status thaw_preview_film_keep(const thaw_frames *frames, thaw_preview *preview, thaw_error *err);
/* Adds the files of the film to the batch. */
thaw_status thaw_preview_film_add(const thaw_preview *preview, thaw_batch *batch, thaw_error *err);
/* The film, and its strip as PNG, alone; the caller frees *bytes. */
thaw_status thaw_preview_film_webp(const thaw_preview *preview, unsigned char **bytes, size_t *n, thaw_error *err);
thaw_status thaw_preview_film_png(const thaw_preview *preview, unsigned char **bytes, size_t *n, thaw_error *err);

#endif
