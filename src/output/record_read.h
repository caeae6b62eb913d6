/* record.json: what was seen when the cloth was dyed for real. Every key is optional. */
#ifndef THAW_OUTPUT_RECORD_READ_H
#define THAW_OUTPUT_RECORD_READ_H

#include "model/page.h"

/* Keys that are not known are passed over. `path` is for messages. THAW_ERR_SCENARIO with what is wrong; *out is
 * untouched on failure. */
thaw_status thaw_page_record_read(const char *text, size_t n, const char *path, thaw_page_record *out, thaw_error *err);

#endif
