/* Bytes that grow as they are written. */
#ifndef THAW_BASE_BYTES_H
#define THAW_BASE_BYTES_H

#include <stdbool.h>
#include <stddef.h>

#include "thawprint/status.h"

/* Zeroed to begin with; bytes[n] is 0, so that text is a string. The owner releases bytes with thaw_release. */
typedef struct thaw_bytes {
    unsigned char *bytes;          /* own */
    size_t n, room;
} thaw_bytes;

/* False without memory, and nothing is changed then. */
bool thaw_bytes_append(thaw_bytes *to, const void *data, size_t n, thaw_error *err);

#endif
