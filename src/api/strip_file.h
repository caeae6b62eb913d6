/* Which file of cloths a strip test may write without loss. */
#ifndef THAW_API_STRIP_FILE_H
#define THAW_API_STRIP_FILE_H

#include <stddef.h>
#include <stdint.h>

#include "thawprint/strip.h"

/* How such a file begins, and its last line, in front of the sum of all bytes before that line. */
#define THAW_STRIP_HEAD "# Measured by a strip test"
#define THAW_STRIP_SUM  "# sum "

uint32_t thaw_strip_sum(const char *text, size_t n);

/* See thaw_strip_cloth_file. */
thaw_status thaw_strip_choose_file(const char *dir, const char *name, char out[THAW_STRIP_FILE], thaw_error *err);

#endif
