/* The fronts of the dyes over time, with their spread, as a labelled picture. */
#ifndef THAW_OUTPUT_FRONTS_CHART_H
#define THAW_OUTPUT_FRONTS_CHART_H

#include "model/image.h"
#include "thawprint/border.h"
#include "thawprint/status.h"

/* The caller frees out->rgb; untouched on failure. */
thaw_status thaw_fronts_chart(const thaw_border_figures *figures, const char *title, thaw_image *out, thaw_error *err);

#endif
