/* Bytes as text and back (RFC 4648, with padding). */
#ifndef THAW_OUTPUT_BASE64_H
#define THAW_OUTPUT_BASE64_H

#include "base/bytes.h"

/* False without memory. */
bool thaw_base64_append(thaw_bytes *to, const void *data, size_t n, thaw_error *err);
/* n characters of base64 to bytes behind `to`; THAW_ERR_FILE if they are none. */
thaw_status thaw_base64_decode(const char *text, size_t n, thaw_bytes *to, thaw_error *err);

#endif
