/* What is kept of a preview until it is written. */
#ifndef THAW_API_PREVIEW_RESULT_H
#define THAW_API_PREVIEW_RESULT_H

#include "base/file.h"
#include "model/image.h"
#include "model/page.h"
#include "scenario/scenario.h"
#include "thawprint/preview.h"

/* In the order of the files that show them. */
enum { THAW_PICTURE_DRY, THAW_PICTURE_WET, THAW_PICTURE_BUNDLE, THAW_PICTURE_FOLD, THAW_PICTURES };

struct thaw_preview {
    thaw_preview_figures figures;
    thaw_image images[THAW_PICTURES]; /* own */
    thaw_image panels;                /* own: the sheet of a garment, else without rgb */
    char *curve, *resolved;           /* own */
    int n_pictures;
    struct {
        char name[64];
        char *bytes;               /* own: a painted area, as it was read */
        size_t n;
    } pictures[THAW_MAX_PICTURES];
    /* Names of the dyes: those of one's own live on the scenario's shelf, which may be gone before the preview. */
    char dye_names[THAW_PREVIEW_MAX_DYES][THAW_DYE_NAME], dye_generics[THAW_PREVIEW_MAX_DYES][THAW_OWN_TEXT];
    char title[128], digest[17];
    uint64_t seed;
    int n_frames;
    thaw_page_frame frames[THAW_PAGE_MOST_FRAMES]; /* own their pictures */
    thaw_image strip;              /* own; no pixels without frames */
};

/* All files of a preview into a batch, which the caller commits. */
thaw_status thaw_preview_add(const thaw_preview *preview, thaw_batch *batch, thaw_error *err);

#endif
