/* A photograph of the finished cloth: made straight, balanced, measured as a forecast is. */
#ifndef THAW_API_RECORD_PHOTO_H
#define THAW_API_RECORD_PHOTO_H

#include <stdbool.h>

#include "look/straighten.h"
#include "model/image.h"
#include "scenario/scenario.h"
#include "thawprint/record.h"

typedef struct thaw_photo_asked {
    bool has_corners, has_white;
    thaw_corners corners;
    double white_at[2];
} thaw_photo_asked;

/* Figures and the straightened picture, whose rgb the caller releases. THAW_ERR_SCENARIO where the file is at fault,
 * THAW_ERR_ARGUMENT where the places are; outputs untouched on failure. */
thaw_status thaw_photo_take(const char *path, const thaw_photo_asked *asked, const thaw_scenario *scenario, thaw_photo_figures *out,
                            thaw_image *picture, thaw_error *err);

#endif
