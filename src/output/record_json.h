/* record.json, written and read back. */
#ifndef THAW_OUTPUT_RECORD_JSON_H
#define THAW_OUTPUT_RECORD_JSON_H

#include <stddef.h>

#include "thawprint/record.h"

#define THAW_RECORD_PHOTO "record-photo.png"

/* All of them: `path` is for messages; THAW_ERR_SCENARIO where the text is no JSON or a value does not fit; outputs
 * untouched on failure. */

/* What a record holds; keys that are not known are passed over. */
thaw_status thaw_record_read(const char *text, size_t n, const char *path, thaw_facts *out, thaw_error *err);
/* The record as text; `before` (NULL: none) keeps its keys that are not known. The caller releases *out. */
thaw_status thaw_record_text(const char *before, size_t n, const thaw_facts *facts, const char *version, char **out, thaw_error *err);

#endif
