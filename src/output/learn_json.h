/* learn.json: what was learnt, piece by piece. */
#ifndef THAW_OUTPUT_LEARN_JSON_H
#define THAW_OUTPUT_LEARN_JSON_H

#include "thawprint/learn.h"

/* The caller releases *out; untouched on failure. */
thaw_status thaw_learn_json_text(const thaw_learn_figures *figures, const char *version, char **out, thaw_error *err);

#endif
