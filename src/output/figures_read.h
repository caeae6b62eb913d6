/* figures.json back to figures: what output/figures_json.c wrote. */
#ifndef THAW_OUTPUT_FIGURES_READ_H
#define THAW_OUTPUT_FIGURES_READ_H

#include <stddef.h>

#include "thawprint/preview.h"

/* What the figures came from. */
typedef struct thaw_figures_origin {
    char digest[24], version[24], seed[24];
} thaw_figures_origin;

#define THAW_READ_NAME 96

/* Where the names of the dyes are kept. */
typedef struct thaw_figures_names {
    char name[THAW_PREVIEW_MAX_DYES][THAW_DYE_NAME], generic[THAW_PREVIEW_MAX_DYES][THAW_READ_NAME];
} thaw_figures_names;

/* Numbers have the six digits of the file; null is NaN, and infinite for the upper end of a range whose lower end is
 * known. Ledgers and the runs behind the ranges are not read. THAW_ERR_FILE if it is no such file. Outputs untouched on
 * failure; names are borrowed from *names. */
thaw_status thaw_figures_read(const char *text, size_t n, thaw_preview_figures *figures, thaw_figures_names *names,
                              thaw_figures_origin *origin, thaw_error *err);

#endif
