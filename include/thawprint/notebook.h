/* A page for the project notebook: one HTML file that holds a run, and from which the run can be repeated. */
#ifndef THAWPRINT_NOTEBOOK_H
#define THAWPRINT_NOTEBOOK_H

#include <stdbool.h>
#include <stddef.h>

#include "thawprint/preview.h"
#include "thawprint/scenario.h"
#include "thawprint/status.h"

#define THAW_NOTEBOOK_FRAMES 24    /* of a run, where nothing else is asked for */
#define THAW_NOTEBOOK_AS_FOUND (-1)

typedef struct thaw_notebook_options {
    const char *folder;            /* that `preview` wrote: what belongs to the scenario is used as it is, and a record.json
                                    * goes onto the page; NULL: run */
    const char *date;              /* as it is printed; NULL or empty: a line to write it on */
    int frames;                    /* as for a preview; THAW_NOTEBOOK_AS_FOUND: those of the folder, else the usual number */
    int chances;                   /* 0: none, or those of the folder; else 2 .. THAW_CHANCES_MOST */
    bool only_luck;
    const char *scratch;           /* folder for chances while they run; it must not hold anything else */
    bool without_ranges;
    int threads;                   /* 0: as many as the machine has */
    thaw_progress_fn progress;     /* may be NULL */
    void *user;
} thaw_notebook_options;

typedef struct thaw_notebook thaw_notebook;

/* Makes the page of a scenario. The caller destroys *out; untouched on failure. Chances that are done stay in `scratch`
 * on failure, and the same call goes on. */
thaw_status thaw_notebook_make(const thaw_scenario *scenario, const thaw_notebook_options *options, thaw_notebook **out,
                               thaw_error *err);
void thaw_notebook_destroy(thaw_notebook *notebook);

/* Was it run now? Else all came from the folder. */
bool thaw_notebook_was_run(const thaw_notebook *notebook);
int thaw_notebook_frame_count(const thaw_notebook *notebook);
size_t thaw_notebook_size(const thaw_notebook *notebook); /* of the page, bytes */
/* The figures on the page; names live as long as the notebook. */
const thaw_preview_figures *thaw_notebook_figures(const thaw_notebook *notebook);

/* The same as JSON text, as figures.json has it; lives as long as the notebook. */
const char *thaw_notebook_json(const thaw_notebook *notebook);

/* Writes `page` ("my.html", no folders) into `dir`, and if it was run with frames, the film beside it under the page's
 * name: "my-melt.webp", "my-melt.png". All or none. */
thaw_status thaw_notebook_write(const thaw_notebook *notebook, const char *dir, const char *page, thaw_error *err);

/* Writes the scenario of a page, and the pictures it names, into `dir`, all or none, and sees that the scenario still has
 * the digest that the page states. THAW_ERR_SCENARIO if it is no such page or was changed: then nothing is written,
 * but for a digest that differs, which is told after writing. */
thaw_status thaw_notebook_take_out(const char *page, const char *dir, thaw_error *err);

#endif
