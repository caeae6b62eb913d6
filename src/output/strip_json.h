/* strip.json: what a strip test gave, with its readings. */
#ifndef THAW_OUTPUT_STRIP_JSON_H
#define THAW_OUTPUT_STRIP_JSON_H

#include "thawprint/strip.h"

/* fit_m: what the fit gives at each reading. The caller releases *out; untouched on failure. */
thaw_status thaw_strip_json_text(const thaw_strip_figures *figures, const double *t_s, const double *height_m,
                                 const double *fit_m, const char *version, char **out, thaw_error *err);

#endif
