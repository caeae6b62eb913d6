/* What a notebook page is made from: out of a run, or out of the folder of one. */
#ifndef THAW_API_NOTEBOOK_SOURCES_H
#define THAW_API_NOTEBOOK_SOURCES_H

#include "model/image.h"
#include "model/page.h"
#include "thawprint/notebook.h"

typedef struct thaw_notebook_sources {
    thaw_image images[THAW_PAGE_SLOTS]; /* own; no pixels: none */
    char *json, *curve;            /* own: figures.json, melt-curve.csv */
    int n_frames;
    thaw_page_frame frames[THAW_PAGE_MOST_FRAMES]; /* own */
    int n_chances;                 /* that came through */
    bool has_record;
    thaw_facts record;
} thaw_notebook_sources;

void thaw_notebook_sources_release(thaw_notebook_sources *sources);

/* From the folder of the options, which a preview of the scenario wrote. *usable is false, and *sources empty, where
 * what lies there is not whole, not of this scenario and version, or less than the options ask for. */
thaw_status thaw_notebook_read_run(const thaw_scenario *scenario, const thaw_notebook_options *options,
                                   thaw_notebook_sources *sources, bool *usable, thaw_error *err);
/* What border and pieces drew there of the same scenario, seed and detail, if they did. */
thaw_status thaw_notebook_read_plans(const thaw_scenario *scenario, const char *folder, thaw_notebook_sources *sources, thaw_error *err);
/* record.json and its photo from the folder, if there is one. */
thaw_status thaw_notebook_read_record(const char *folder, thaw_notebook_sources *sources, thaw_error *err);

/* Packs every picture, so that together with `others` bytes the page stays under THAW_NOTEBOOK_MOST. */
thaw_status thaw_notebook_pack(const thaw_notebook_sources *sources, size_t others,
                               thaw_page_picture pictures[THAW_PAGE_SLOTS], thaw_error *err);
void thaw_notebook_pictures_release(thaw_page_picture pictures[THAW_PAGE_SLOTS]);

#define THAW_NOTEBOOK_MOST ((size_t)8 << 20) /* bytes of a page */

#endif
