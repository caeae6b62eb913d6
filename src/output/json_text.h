/* A JSON value as text on our own memory. */
#ifndef THAW_OUTPUT_JSON_TEXT_H
#define THAW_OUTPUT_JSON_TEXT_H

#include <jansson.h>

#include "thawprint/status.h"

/* Takes over root, which may be NULL: memory ran out on the way. Six significant digits, indented, a line break at the
 * end. The caller frees *out with thaw_release; untouched on failure. */
thaw_status thaw_json_text(json_t *root, char **out, thaw_error *err);
/* The part, or NULL where something failed; it is released then. */
json_t *thaw_json_whole(json_t *part, int failed);

#endif
