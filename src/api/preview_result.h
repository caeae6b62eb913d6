/* Inside of a preview: what is kept, and the working parts while it runs. */
#ifndef THAW_API_PREVIEW_RESULT_H
#define THAW_API_PREVIEW_RESULT_H

#include <stdio.h>

#include "model/dye_list.h"
#include "model/image.h"
#include "model/print.h"
#include "scenario/scenario.h"
#include "sim/engine.h"
#include "thawprint/preview.h"

/* In the order of the files that show them. */
enum { THAW_PICTURE_DRY, THAW_PICTURE_WET, THAW_PICTURE_BUNDLE, THAW_PICTURE_FOLD, THAW_PICTURES };

struct thaw_preview {
    thaw_preview_figures figures;
    thaw_image images[THAW_PICTURES]; /* own */
    char *curve, *resolved;           /* own */
    int n_pictures;
    struct {
        char name[64];
        char *bytes;               /* own: a painted area, as it was read */
        size_t n;
    } pictures[THAW_MAX_PICTURES];
    char title[128], digest[17];
    uint64_t seed;
};

typedef struct thaw_preview_work {
    const thaw_specification *spec;
    thaw_dye_list dyes;
    thaw_bundle bundle;            /* own */
    thaw_heap heap;                /* own */
    thaw_engine engine;            /* own */
} thaw_preview_work;

/* Fold, lay ice and dye, make the engine. work->spec is set, the rest zeroed. */
thaw_status thaw_preview_prepare(thaw_preview_work *work, thaw_error *err);
void thaw_preview_clear(thaw_preview_work *work);
/* Figures that come from the books; before the look joins dead and living dye. */
void thaw_preview_account(thaw_preview_work *work, thaw_preview_figures *figures);
/* Figures that come from the picture. */
thaw_status thaw_preview_measure(const thaw_preview_work *work, const thaw_print *print, thaw_preview_figures *figures,
                                 thaw_error *err);

#endif
