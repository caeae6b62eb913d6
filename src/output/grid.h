/* A sheet of panels in rows: each a heading, a picture and lines of text under it, all pictures at one scale. As a
 * picture for the screen, or as one page of a PDF. */
#ifndef THAW_OUTPUT_GRID_H
#define THAW_OUTPUT_GRID_H

#include <stddef.h>

#include "model/image.h"
#include "thawprint/status.h"

#define THAW_GRID_MOST 64

typedef struct thaw_panel {
    const char *heading;
    const thaw_image *image;       /* NULL: a blank place, text only */
    const char *lines;             /* under the picture, may have line breaks; NULL: none */
} thaw_panel;

/* A ramp of greys with words at its ends. */
typedef struct thaw_ramp {
    const char *white, *dark;      /* NULL: no ramp on the sheet */
} thaw_ramp;

typedef struct thaw_grid {
    const char *title, *note;      /* note: at the foot, may be NULL */
    int n_panels, n_columns;
    const thaw_panel *panels;
    thaw_ramp ramp;
} thaw_grid;

/* The caller frees out->rgb; untouched on failure. */
thaw_status thaw_grid_image(const thaw_grid *grid, thaw_image *out, thaw_error *err);

/* One page that fits on A4 and on Letter: what both can print. The caller frees *bytes; untouched on failure. The
 * same grid gives the same bytes. */
thaw_status thaw_grid_pdf(const thaw_grid *grid, unsigned char **bytes, size_t *n_bytes, thaw_error *err);

/* A map of shares 0 .. 1 in the greys of the ramp, one pixel a cell. */
thaw_status thaw_grid_grey(const float *map, int nx, int ny, double cell_m, thaw_image *out, thaw_error *err);

#endif
